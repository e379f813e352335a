"""The built-in catalogue against what was published, and how it is asked."""

import re
from pathlib import Path

import pytest

import closures
from closures.catalogue.loading import load_catalogue
from closures.errors import CatalogueError

CATALOGUE = load_catalogue()
KINDS = CATALOGUE.kinds()


# US Federal Specification V-B-871F: a line is 1/40 in, so 0.635 mm.
@pytest.mark.parametrize(
    ("lines", "cap_mm"),
    [(16, 10.16), (18, 11.43), (20, 12.70), (24, 15.24), (30, 19.05), (32, 20.32), (40, 25.40)],
)
def test_button_by_line_has_a_fortieth_inch_to_the_line(lines: int, cap_mm: float) -> None:
    button = CATALOGUE.fastener("sew-through button", f"{lines} L")
    assert button.cap_mm == pytest.approx(cap_mm, abs=1e-12)
    assert button.cap is not None
    assert button.cap.provenance.kind == "derived"
    assert button.cap.provenance.key == "FED871"


# The figures are from memory or reckoned from the size's name; each has to say which.
@pytest.mark.parametrize(
    ("kind", "size", "cap_mm", "inner_mm", "hole_mm", "grip_mm"),
    [
        ("prong snap", "14 L", 8.89, 8, None, (0.4, 1.0)),
        ("prong snap", "15 L", 9.525, 8.5, None, (0.4, 1.2)),
        ("prong snap", "16 L", 10.16, 9, None, (0.5, 1.5)),
        ("prong snap", "18 L", 11.43, 10, None, (0.6, 1.8)),
        ("capped prong snap", "16 L", 10.16, 9, None, (0.5, 1.5)),
        ("capped prong snap", "24 L", 15.24, 13, None, (1.0, 2.5)),
        ("long prong snap", "18 L", 11.43, 10, None, (1.5, 2.8)),
        ("post snap", "20 L", 12.7, 12, 4.0, (1.0, 2.5)),
        ("post snap", "24 L", 15.24, 12.5, 4.5, (1.2, 3.0)),
        ("long post snap", "17 mm", 17, 13, 5.0, (2.5, 4.0)),
        ("leather post snap", "16 L", 10.16, 9, 3.0, (1.0, 2.5)),
        ("leather post snap", "24 L", 15.24, 13, 4.5, (2.0, 3.2)),
        ("leather post snap", "24 L long", 15.24, 13, 4.5, (3.2, 5.0)),
        ("plastic snap", "16", 10.7, 10, 1.2, (0.4, 1.2)),
        ("plastic snap", "20 short", 12.4, 11.5, 1.2, (0.3, 0.9)),
        ("plastic snap", "20", 12.4, 11.5, 1.2, (0.7, 1.6)),
        ("plastic snap", "20 long", 12.4, 11.5, 1.2, (1.4, 2.6)),
        ("plastic snap", "24", 14.2, 13, 1.2, (0.8, 2.0)),
        ("sew-on snap", "4/0", 6, None, None, None),
        ("sew-on snap", "4", 15, None, None, None),
        ("magnetic snap", "14 mm", 14, None, None, (0.5, 2.0)),
        ("tack button", "27 L", 17.145, 8.5, 2, (1.5, 4.0)),
        ("shank button", "40 L", 25.4, None, None, None),
        ("hook and bar", "one size", 15, None, None, None),
        ("eyelet", "5.5 mm", 10, None, 6.3, (0.5, 3.0)),
    ],
    ids=lambda value: str(value) if isinstance(value, str) else "",
)
def test_fastener_of_the_table_has_its_figures(
    kind: str,
    size: str,
    cap_mm: float,
    inner_mm: float | None,
    hole_mm: float | None,
    grip_mm: tuple[float, float] | None,
) -> None:
    found = CATALOGUE.fastener(kind, size)
    assert (found.kind, found.size) == (kind, size)
    assert found.cap_mm == pytest.approx(cap_mm, abs=1e-9)
    assert (None if found.inner is None else found.inner.value) == inner_mm
    assert found.hole is not None
    assert (None if found.hole.diameter is None else found.hole.diameter.value) == hole_mm
    assert (None if found.grip is None else (found.grip[0].value, found.grip[1].value)) == grip_mm
    # Common practice: 6 mm for a tool, 1 mm for the needle that sews on buttons, balls, hooks and small snaps.
    room_mm = 1 if cap_mm and found.setting in ("sew-on", "covered snap", "sewn button", "hook", "loop") else 6
    assert found.least_pitch.value == pytest.approx(cap_mm + room_mm, abs=1e-9)
    assert found.least_pitch.provenance.kind == "common practice"


@pytest.mark.parametrize(
    ("size", "low_kind", "high_kind"),
    # The leather trade's tables give the grip of 16 and 20 L, and the lower end of 24 L.
    [
        ("16 L", "published", "published"),
        ("20 L", "published", "published"),
        ("24 L", "published", "from memory"),
    ],
)
def test_grip_with_ends_of_two_origins_keeps_both(size: str, low_kind: str, high_kind: str) -> None:
    grip = CATALOGUE.fastener("leather post snap", size).grip
    assert grip is not None
    assert (grip[0].provenance.kind, grip[1].provenance.kind) == (low_kind, high_kind)


# MIL-B-286D, 1987.
def test_tack_button_is_listed_in_its_made_sizes() -> None:
    assert CATALOGUE.sizes("tack button") == ("22 L", "27 L", "30 L", "40 L")


@pytest.mark.parametrize("size", ["16 L", "16L", "16 line", "16 lines", "16 ligne", "16 l", "10.16 mm", "0.4 in"])
def test_size_written_as_an_equal_length_finds_the_label(size: str) -> None:
    assert CATALOGUE.fastener("prong snap", size).size == "16 L"


@pytest.mark.parametrize("size", ["600,5", "1,200"])
def test_fastener_of_a_size_with_a_comma_is_refused_in_words(size: str) -> None:
    with pytest.raises(
        CatalogueError, match=re.escape(f"there is no size '{size}' of sew-through button. Known sizes")
    ):
        CATALOGUE.fastener("sew-through button", size)


@pytest.mark.parametrize(
    ("kind", "size", "told"),
    [
        ("prong snap", "16", "Write 16 L (10.2 mm). Known"),
        ("sew-through button", "15", "Write 15 L (9.5 mm) or 15 mm. Known"),
        ("sew-through button", " 14 ", "Write 14 L (8.9 mm) or 14 mm. Known"),
        ("magnetic snap", "18", "Write 18 mm. Known"),
        ("eyelet", "4", "Write 4 mm. Known"),
    ],
)
def test_number_that_may_be_lines_or_mm_is_asked_for_with_what_can_be_had(kind: str, size: str, told: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(f"tells neither lines nor mm. {told}")):
        CATALOGUE.fastener(kind, size)


def test_number_that_is_no_size_either_way_is_answered_with_the_sizes() -> None:
    with pytest.raises(CatalogueError, match="there is no size '15' of post snap"):
        CATALOGUE.fastener("post snap", "15")
    # A cap that was measured tells which it is.
    assert CATALOGUE.fastener("post snap", "15", cap_mm=15.0).cap_mm == 15.0


@pytest.mark.parametrize(
    ("kind", "size", "label"),
    [
        ("leather post snap", "24 line long", "24 L long"),
        ("leather post snap", "15.24 mm long", "24 L long"),
        ("plastic snap", "20 Long", "20 long"),
        ("plastic snap", "20", "20"),
        ("sew-on snap", "1", "1"),
        ("eyelet", "0.4 cm", "4 mm"),
        ("hook and bar", "", "one size"),
    ],
)
def test_size_with_other_words_finds_its_own_label(kind: str, size: str, label: str) -> None:
    assert CATALOGUE.fastener(kind, size).size == label


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("prong snap", "prong snap"),
        ("Prong Snap", "prong snap"),
        ("prong snap, open ring", "prong snap"),
        ("prong snap, capped", "capped prong snap"),
        ("post snap, leather", "leather post snap"),
        ("sew on snap", "sew-on snap"),
        ("Flat buttons", "sew-through button"),
        ("prong snaps", "prong snap"),
    ],
)
def test_kind_is_found_by_its_other_names(written: str, kind: str) -> None:
    assert CATALOGUE.describe(written).kind == kind


def test_kind_misspelt_names_the_nearest() -> None:
    with pytest.raises(CatalogueError, match=r"no kind of closure 'prong snpa'.*Did you mean prong snap\?"):
        CATALOGUE.fastener("prong snpa", "16 L")


@pytest.mark.parametrize("name", ["popper", "poppers", "Snaps", "snap fastener", "Snap Fasteners"])
def test_kind_that_may_be_several_names_them(name: str) -> None:
    with pytest.raises(CatalogueError, match=r"may be one of several kinds.*sew-on snap"):
        CATALOGUE.fastener(name, "16 L")


@pytest.mark.parametrize("name", ["button", "Buttons"])
def test_a_button_is_asked_which(name: str) -> None:
    with pytest.raises(CatalogueError, match=r"Write which one: sew-through button, shank button, ball button, tack"):
        CATALOGUE.fastener(name, "18 L")


def test_a_word_for_one_kind_alone_is_not_told_as_several() -> None:
    with pytest.raises(CatalogueError, match=r"'magnet' is called otherwise here. Write magnetic snap."):
        CATALOGUE.fastener("magnet", "18 mm")


@pytest.mark.parametrize("name", ["zipper", "Zips", "hook and loop", "hook-and-loop tape"])
def test_what_holds_along_its_whole_length_is_said_to_have_no_marks(name: str) -> None:
    with pytest.raises(
        CatalogueError, match=r"is no kind of closure here: .* has no places to mark. Known kinds: prong"
    ):
        CATALOGUE.fastener(name, "16 L")


def test_size_of_another_kind_names_that_kind() -> None:
    with pytest.raises(CatalogueError, match=r"no size '20 L' of prong snap.*14 L, .*of capped prong snap"):
        CATALOGUE.fastener("prong snap", "20 L")


def test_size_missing_is_asked_for() -> None:
    with pytest.raises(CatalogueError, match="prong snap needs a size"):
        CATALOGUE.fastener("prong snap", "")


# 5/8 in is 25 line: 5/8 x 40.
@pytest.mark.parametrize(("size", "cap_mm"), [("5/8 in", 15.875), ("23 L", 14.605), ("21 mm", 21.0)])
def test_button_between_listed_sizes_is_reckoned(size: str, cap_mm: float) -> None:
    button = CATALOGUE.fastener("sew-through button", size)
    assert button.cap_mm == pytest.approx(cap_mm, abs=1e-9)
    assert button.thickness is not None


@pytest.mark.parametrize("size", ["13 L", "41 L", "2 in"])
def test_button_beyond_the_made_sizes_needs_a_measured_cap(size: str) -> None:
    with pytest.raises(CatalogueError, match=f"no size '{size}'.*give it as the cap"):
        CATALOGUE.fastener("sew-through button", size)
    assert CATALOGUE.fastener("sew-through button", size, cap_mm=30.0).cap_mm == 30.0


@pytest.mark.parametrize(
    ("kind", "size", "mend"),
    [
        ("sew-through button", "11,5 mm", "Write 11.5 mm. Known"),
        ("sew-through button", "L18", "Write 18 L. Known"),
        ("prong snap", "line 16", "Write 16 L. Known"),
        ("sew-through button", "11,5", "Write 11.5 L (7.3 mm) or 11.5 mm. Known"),
        # No size of a snap is meant, and a comma before three figures may part thousands.
        ("prong snap", "L13", ". Known sizes"),
        ("sew-through button", "1,250 mm", ". Known sizes"),
    ],
)
def test_size_that_is_written_otherwise_is_told_as_it_is_written_here(kind: str, size: str, mend: str) -> None:
    with pytest.raises(CatalogueError) as told:
        CATALOGUE.fastener(kind, size)
    assert mend in str(told.value) and ("Write" in str(told.value)) == ("Write" in mend)


def test_measures_of_the_user_win_and_say_so() -> None:
    found = CATALOGUE.fastener("prong snap", "16 L", cap_mm=10.4, grip_mm=(0.6, 1.4))
    assert found.cap is not None and found.grip is not None
    assert (found.cap.value, found.grip[0].value, found.grip[1].value) == (10.4, 0.6, 1.4)
    for figure in (found.cap, *found.grip):
        assert figure.provenance.kind == "measured by the user"
    assert found.least_pitch.value == pytest.approx(16.4)
    assert found.inner is not None and found.inner.provenance.kind == "from memory"


def test_unknown_size_with_a_measured_cap_has_no_grip_of_its_own() -> None:
    assert CATALOGUE.fastener("prong snap", "16 M", cap_mm=10.4).grip is None
    found = CATALOGUE.fastener("prong snap", "16 M", cap_mm=10.4, grip_mm=(0.5, 1.0))
    assert found.grip is not None and found.grip[1].value == 1.0


def test_eyelet_of_unknown_bore_is_refused() -> None:
    assert CATALOGUE.fastener("eyelet", "5 mm", cap_mm=9.5).hole.diameter.value == 5.8  # type: ignore[union-attr]
    with pytest.raises(CatalogueError, match="tells no bore"):
        CATALOGUE.fastener("eyelet", "small", cap_mm=9.5)


def test_thickness_measured_replaces_the_range() -> None:
    usual = CATALOGUE.fastener("sew-through button", "30 L").thickness
    measured = CATALOGUE.fastener("sew-through button", "30 L", thickness_mm=3.2).thickness
    assert usual is not None and (usual[0].value, usual[1].value) == (2, 4)
    assert measured is not None and (measured[0].value, measured[1].value) == (3.2, 3.2)


@pytest.mark.parametrize(
    ("measures", "message"),
    [
        ({"cap_mm": 0.0}, "cap of 0.0"),
        ({"cap_mm": float("nan")}, "cap of nan"),
        ({"thickness_mm": -1.0}, "thickness of -1.0"),
        ({"grip_mm": (2.0, 1.0)}, "grip from 2.0 to 1.0"),
        ({"grip_mm": (0.0, float("inf"))}, "grip from 0.0 to inf"),
    ],
    ids=["no cap", "nan cap", "negative thickness", "grip falling", "grip endless"],
)
def test_measures_without_sense_are_refused(measures: dict[str, object], message: str) -> None:
    with pytest.raises(CatalogueError, match=message):
        CATALOGUE.fastener("prong snap", "16 L", **measures)  # type: ignore[arg-type]


# Which half on which lap: NMSU Guide C-232 and practitioners for press-set snaps, a school
# course and a trade article for sew-on snaps, common practice for the others.
@pytest.mark.parametrize(
    ("kind", "over", "under", "marks"),
    [
        ("prong snap", ["prong ring", "socket"], ["stud", "prong ring"], ("prick", "prick")),
        ("capped prong snap", ["cap", "socket"], ["stud", "prong ring"], ("prick", "prick")),
        ("post snap", ["cap", "socket"], ["stud", "post"], ("hole", "hole")),
        ("plastic snap", ["cap", "socket"], ["stud", "cap"], ("prick", "prick")),
        ("sew-on snap", ["ball half"], ["socket half"], ("stitch points", "stitch points")),
        ("magnetic snap", ["magnet half", "washer"], ["counter half", "washer"], ("two slits", "two slits")),
        ("tack button", [], ["tack button", "tack"], ("buttonhole", "hole")),
        ("sew-through button", [], ["button"], ("buttonhole", "button")),
        ("shank button", [], ["button"], ("buttonhole", "shank")),
        ("ball button", [], ["button"], ("buttonhole", "shank")),
        ("hook and eye", ["hook"], ["eye"], ("hook", "eye")),
        ("hook and bar", ["hook"], ["bar"], ("hook", "bar")),
        ("eyelet", ["eyelet", "washer"], ["eyelet", "washer"], ("bore", "bore")),
    ],
)
def test_parts_and_marks_lie_on_their_lap(kind: str, over: list[str], under: list[str], marks: tuple[str, str]) -> None:
    found = CATALOGUE.describe(kind).fasteners[0]
    assert [part.name for part in found.parts_on("over")] == over
    assert [part.name for part in found.parts_on("under")] == under
    assert (found.mark.over, found.mark.under) == marks


def test_halves_turned_change_laps_and_back() -> None:
    usual = CATALOGUE.fastener("sew-through button", "30 L")
    turned = CATALOGUE.fastener("sew-through button", "30 L", halves="turned")
    assert (turned.mark.over, turned.mark.under) == ("button", "buttonhole")
    assert [part.lap for part in turned.parts] == ["over"]
    assert turned.turned() == usual


def test_plastic_snap_takes_four_caps_for_three_sockets_and_one_stud() -> None:
    # A bib with one stud and three settings: every socket and every stud has a cap of its own.
    found = CATALOGUE.fastener("plastic snap", "20")
    caps = {lap: sum(p.each for p in found.parts_on(lap) if p.name == "cap") for lap in ("over", "under")}
    assert 3 * caps["over"] + 1 * caps["under"] == 4


@pytest.mark.parametrize("kind", KINDS)
def test_every_figure_of_a_kind_has_provenance(kind: str) -> None:
    for found in CATALOGUE.describe(kind).fasteners:
        hole = found.hole
        figures = [found.cap, found.inner, found.least_pitch]
        figures += [hole.diameter, hole.diameter_high] if hole else []
        for pair in (found.grip, found.thickness, found.extent):
            figures += list(pair or ())
        for figure in figures:
            if figure:
                origin = figure.provenance
                assert origin.source or origin.kind in ("common practice", "from memory")


# Each with the source it was read in; lengths published in inches are exact in mm.
@pytest.mark.parametrize(
    ("key", "value", "high", "source"),
    [
        ("line", 0.635, None, "FED871"),
        ("edge warn extra", 6.35, None, "ASDP"),
        ("edge fail extra", 3, None, ""),
        ("edge floor, half the diameter", 0.5, None, "ICAR"),
        ("edge floor, whole diameter", 1, None, "CARR"),
        ("ridge", 3, None, ""),
        ("rim to rim", 6, None, ""),
        ("rim to rim, sewn", 1, None, ""),
        ("gap, shirt front", 76.2, 88.9, "ICAR"),
        ("gap against gaping", 63.5, None, "THREADS"),
        ("ends least", 12.7, None, ""),
        ("gap, small sew-on snaps", 38.1, 44.45, "DOMART"),
        ("gap, placket without strain", 50.8, None, "NEWDR"),
        ("gap, skirt placket", 25.4, None, "BALDT"),
        ("gap, hooks at a fitted waist", 31.75, None, "NEWDR, DOMART"),
        ("buttonhole bulky extra", 3.175, None, "UMN576"),
        ("buttonhole girth extra", 3.175, None, "NMSU231"),
        ("buttonhole past line", 3.175, None, "UMN576, ICAR, ASDP"),
        ("halves meet", 1, None, ""),
        ("hook from edge", 3.175, None, "NMSU232, ASDP"),
        ("eyelet spacing", 25, None, ""),
        ("layers least", 2, None, "ICAR, NMSU232"),
        ("belting extra", 152.4, None, "UMN580"),
        ("belt cover, point", 12.7, None, "UNE73"),
        ("belt cover, buckle", 25.4, None, "UNE73"),
        ("pull force, 6 mm and over", 70, None, "EN17394"),
        ("small parts cylinder", 31.7, None, "CFR1501"),
        ("nickel release", 0.5, None, "REACH27"),
        ("bust level, constant", 52.6, None, "ANSUR2"),
    ],
)
def test_rule_has_the_published_figure(key: str, value: float, high: float | None, source: str) -> None:
    rule = CATALOGUE.rule(key)
    assert rule.value.value == pytest.approx(value, abs=1e-9)
    assert (None if rule.high is None else rule.high.value) == (None if high is None else pytest.approx(high))
    assert rule.value.provenance.key == source
    assert rule.text and rule.value.provenance.text


def test_rule_unknown_names_the_nearest() -> None:
    with pytest.raises(CatalogueError, match=r"no rule 'rim to rims'.*rim to rim\?"):
        CATALOGUE.rule("rim to rims")


# A belt over a waist of 30 in takes 36 in of belting: University of Minnesota Bulletin 580, 1964.
def test_belting_of_a_thirty_inch_waist_is_thirty_six_inches() -> None:
    assert 30 * 25.4 + CATALOGUE.rule("belting extra").value.value == pytest.approx(36 * 25.4)


# ISO 216, and ANSI/ASME Y14.1 for Letter (8.5 x 11 in).
@pytest.mark.parametrize(
    ("key", "width_mm", "height_mm"),
    [("a4", 210, 297), ("a3", 297, 420), ("letter", 8.5 * 25.4, 11 * 25.4), ("roll", 610, None)],
)
def test_paper_has_its_size(key: str, width_mm: float, height_mm: float | None) -> None:
    paper = CATALOGUE.paper(key)
    assert paper.width_mm == pytest.approx(width_mm)
    assert (paper.height_mm is None) if height_mm is None else paper.height_mm == pytest.approx(height_mm)
    assert CATALOGUE.paper(key.upper()) == paper


def test_paper_unknown_names_the_nearest() -> None:
    with pytest.raises(CatalogueError, match=r"no paper 'a44'.*a4"):
        CATALOGUE.paper("a44")


def test_source_of_every_key_is_known() -> None:
    assert CATALOGUE.source("UMN576").year == 1965
    keys = {key for rule in CATALOGUE.rules.values() for key in rule.value.provenance.key.split(", ") if key}
    assert {CATALOGUE.source(key).key for key in keys} == keys


def test_every_source_is_named_by_a_row() -> None:
    """A source that no row leans on only looks as if it had been used."""
    tables = [path for path in Path(closures.__file__).parent.rglob("*.toml") if path.name != "sources.toml"]
    told = [
        one for path in tables for one in re.findall(r"source = (\[.*?\]|\".*?\")", path.read_text(encoding="utf-8"))
    ]
    named = {key for one in told for key in re.findall(r"\"(.*?)\"", one)}
    assert [key for key in CATALOGUE.sources if key not in named] == []


def test_built_in_catalogue_is_read_once() -> None:
    assert load_catalogue() is load_catalogue()


def test_every_rule_is_used_by_a_check_a_default_or_a_text() -> None:
    package = Path(closures.__file__).parent
    text = "".join(path.read_text(encoding="utf-8") for path in package.rglob("*.py"))
    text += "".join(path.read_text(encoding="utf-8") for path in (package / "advice").glob("*.toml"))
    families = ("fibre density, ", "clamped part, ", "strip bears, ", "usual, ")
    unused = [
        key
        for key in CATALOGUE.rules
        if f'"{key}"' not in text and f"<{key}>" not in text and not key.startswith(families)
    ]
    assert unused == []


@pytest.mark.parametrize("name", ["snap button", "snap buton", "Snap-buttn"])
def test_snap_that_is_called_a_button_is_asked_for_and_not_taken_for_another_kind(name):
    with pytest.raises(
        CatalogueError, match=r"may be one of several kinds. Write which one: prong snap, .*sew-on snap"
    ):
        load_catalogue().sizes(name)


@pytest.mark.parametrize(
    ("fibre", "kinds"), [("silk", "silk habotai, silk charmeuse"), ("Wool", "wool suiting, wool woven")]
)
def test_fibre_alone_is_asked_which_cloth_of_it(fibre: str, kinds: str) -> None:
    with pytest.raises(CatalogueError, match=f"Which one is it\\? {kinds}"):
        load_catalogue().cloth(fibre)


@pytest.mark.parametrize(
    ("name", "is_cloth"),
    [
        ("Viscose", "woven viscose"),
        ("rayon challis", "woven viscose"),
        ("cotton drill", "chino"),
        ("batiste", "cotton lawn"),
        ("double gauze", "double gauze"),
        ("velour", "knitted velour"),
        ("faux leather", "imitation leather"),
    ],
)
def test_cloth_is_known_by_the_name_that_shops_give_it(name: str, is_cloth: str) -> None:
    # Names as shops and books write them: common practice. Their figures are from memory, and say so.
    assert CATALOGUE.cloth(name).name == is_cloth


@pytest.mark.parametrize("name", ["leather", "garment leather"])
def test_leather_without_its_ounces_is_no_imitation_of_it(name: str) -> None:
    with pytest.raises(CatalogueError, match="goes by the ounce, such as leather 4 oz"):
        CATALOGUE.cloth(name)


# What the trade means by words for closures: common practice, where no source is named.
@pytest.mark.parametrize(
    ("told", "kind"),
    [
        ("shirt buttons", "sew-through button"),
        ("4-hole button", "sew-through button"),
        ("jean buttons", "tack button"),
        ("pearl snaps", "capped prong snap"),
        ("popper tape", "snap tape"),
        ("sew-on poppers", "sew-on snap"),
        ("plastic press studs", "plastic snap"),
        ("hooks and bars", "hook and bar"),
        ("trouser hook and bar", "hook and bar"),
        ("hooks and eyes", "hook and eye"),
        ("bra hooks", "hook tape"),
        ("loops and buttons", "loop and button"),
    ],
)
def test_kind_goes_by_what_the_trade_calls_it(told: str, kind: str) -> None:
    assert CATALOGUE.describe(told).kind == kind


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("press studs", r"may be one of several kinds. Write which one: prong snap, .*sew-on snap"),
        ("metal press studs", r"may be one of several kinds. Write which one: prong snap"),
        ("poppers", r"may be one of several kinds. Write which one: prong snap, plastic snap"),
        ("blazer buttons", r"may be one of several kinds. Write which one: sew-through button, shank button"),
        ("covered buttons", r"Write which one: shank button, ball button"),
        ("white shirt buttons", r"Did you mean sew-through button\?"),
        ("corset lacing", r"is called otherwise here. Write eyelet"),
        ("invisible zips", r"is no kind of closure here: a zip is sewn in"),
        ("touch tape", r"is no kind of closure here: hook and loop tape"),
        ("wooden toggles", r"is no kind of closure here: a toggle"),
        ("ribbon ties", r"is no kind of closure here: ties"),
        ("grippers", r"there is no kind of closure 'grippers' in the catalogue. Known kinds"),
    ],
)
def test_word_for_several_kinds_or_none_is_told_as_the_trade_has_it(told: str, said: str) -> None:
    with pytest.raises(CatalogueError, match=said):
        CATALOGUE.describe(told)
