"""Rows on straps: waistbands, cuffs and bibs, and the rules that they are held against."""

import io
import itertools
import re

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.app.job import advice_of, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.checks.rules import check, worst
from closures.errors import ClosureError, PlanError
from closures.placing.strap.placed_strap import place_strap
from closures.plan.reading import read_plan
from closures.report.figures import report_figures
from closures.report.parts import count_parts

CAP_15 = '[closure]\nkind = "post snap"\nsize = "24 L"\ncap = "15 mm"\ngrip = ["2.0 mm", "3.5 mm"]\n'
DENIM = '[[layer]]\nthickness = "0.9 mm"\ncount = 4\n[[layer]]\nthickness = "0.4 mm"\n'
FOUR = 'between_rims = "4 mm"\nrim_to_edge = "4 mm"\n'


def row(text, closure=CAP_15, rest=""):
    plan = read_plan(f'title = "Row"\n[row]\n{text}\n{closure}\n{rest}'.encode(), "row.toml")
    return place_strap(plan, load_catalogue())


def findings_of(placement):
    return check(placement, load_catalogue())


def failed(placement):
    return {(f.rule, f.lap) for f in findings_of(placement) if f.result == "fail"}


def figures(placement):
    return report_figures(placement, findings_of(placement), ())["row"]


WAISTBAND = f'piece = "waistband"\nlength = "760 mm"\nheight = "35 mm"\noverlap = "45 mm"\n{FOUR}'


def test_waistband_one_above_the_other_fails_both_ways():
    # By hand: 25 - 10 = 15 = one cap, so the rims touch; 10 - 7.5 = 2.5 from the lower edge, 4 wanted.
    placement = row(WAISTBAND + 'over = [["12 mm", "10 mm"], ["12 mm", "25 mm"]]')
    assert failed(placement) == {
        (rule, lap) for rule in ("edge distance", "neighbour distance") for lap in ("over", "under")
    }
    for finding in findings_of(placement):
        if finding.result == "fail":
            assert finding.found_mm == pytest.approx({"edge distance": 10.0, "neighbour distance": 0.0}[finding.rule])


def test_waistband_side_by_side_passes():
    # By hand: 33 - 12 = 21 at least 15 + 4; 12 - 7.5 = 4.5 to the end; 35 / 2 - 7.5 = 10 to either edge.
    placement = row(WAISTBAND + 'over = ["12 mm", "33 mm"]')
    assert failed(placement) == set()
    told = {(f.rule, f.lap): f for f in findings_of(placement) if f.rule == "neighbour distance"}
    assert told["neighbour distance", "over"].found_mm == pytest.approx(6.0)
    assert figures(placement)["rows"] == {"over": [12.0, 33.0], "under": [12.0, 33.0]}
    assert [mark.n for mark in placement.marks if mark.over and mark.under] == [1, 2]


@pytest.mark.parametrize(("apart", "result"), [(18.99, "fail"), (19.0, "pass")])
def test_waistband_own_distance_between_rims_decides(apart, result):
    placement = row(WAISTBAND.replace("45", "60") + f'over = ["12 mm", "{12 + apart} mm"]')
    rooms = [f for f in findings_of(placement) if f.rule == "neighbour distance"]
    assert {f.result for f in rooms} == {result}
    assert {f.source for f in rooms} == {"the plan"}


def test_waistband_layers_are_too_thick_by_half_a_millimetre():
    # 4 x 0.9 + 0.4 = 4.0 under a grip that ends at 3.5.
    placement = row(WAISTBAND + 'over = ["12 mm", "33 mm"]', rest=DENIM)
    assert failed(placement) == {("layer thickness", "over"), ("layer thickness", "under")}
    texts = [f.text for f in findings_of(placement) if f.rule == "layer thickness"]
    assert all("too short by 0.5 mm" in text for text in texts)
    assert all("seam allowances in it are trimmed" in text and "longer posts" in text for text in texts)


@pytest.mark.parametrize(
    ("piece", "closure", "over", "result"),
    [
        pytest.param("waistband", CAP_15, '["16 mm"]', "warn", id="one snap on a waistband"),
        pytest.param("waistband", CAP_15, '["16 mm", "45 mm"]', "pass", id="two snaps share the pull"),
        pytest.param("cuff", CAP_15, '["16 mm"]', None, id="a cuff does not pull so"),
        pytest.param(
            "waistband", '[closure]\nkind = "hook and bar"\nsize = "one size"\n', '["16 mm"]', None, id="a hook"
        ),
    ],
)
def test_waistband_with_one_snap_is_told_that_it_pops(piece, closure, over, result):
    placement = row(
        f'piece = "{piece}"\nlength = "760 mm"\nheight = "35 mm"\noverlap = "80 mm"\nover = {over}', closure
    )
    pull = [f for f in findings_of(placement) if f.rule == "side pull"]
    assert [f.result for f in pull] == ([] if result is None else [result])
    if result == "warn":
        assert "add a hook and bar or an inner button" in pull[0].text
        assert pull[0].source == "common practice"


@pytest.mark.parametrize(
    ("told", "over", "under", "mend"),
    [
        # 25 mm shared alike; two of 12.7 mm want 25.4.
        ('overlap = "25 mm"', 12.5, 12.5, "Let the ends overlap by 25.4 mm or more"),
        ('overlap = "25.4 mm"', 12.7, 12.7, ""),
        ('overlap = "30 mm"', 12.7, 17.3, ""),
        ('target = "225 mm"', 12.5, 12.5, "Let the ends overlap by 25.4 mm or more"),
        # What is told stays where it is told.
        ('overlap = "25 mm"\nover = ["13 mm"]', 13.0, 12.0, "Let the ends overlap by 25.7 mm or more"),
        ('overlap = "40 mm"\nover = ["10 mm"]', 10.0, 30.0, "Move it in."),
    ],
)
def test_short_overlap_that_is_told_alone_leaves_either_tip_alike(told, over, under, mend):
    button = '[closure]\nkind = "sew-through button"\nsize = "18 L"\n'
    placement = row(f'piece = "cuff"\nlength = "250 mm"\nheight = "65 mm"\n{told}\n', button)
    places = [placement.strap.over[0].from_tip_mm, placement.strap.under[0].from_tip_mm]
    assert places == [pytest.approx(over), pytest.approx(under)]
    looks = [f.text for f in findings_of(placement) if f.rule == "end distance" and f.result == "warn"]
    assert bool(looks) == bool(mend) and all(mend in text for text in looks), looks


CUFF = 'piece = "cuff"\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "33 mm"]\n'


def test_cuff_closes_at_224_and_204():
    # By hand: 250 - 13 - 13 and 250 - 13 - 33.
    told = figures(row(CUFF))
    assert [s["middle_mm"] for s in told["settings"]] == pytest.approx([224, 204], abs=0.01)
    assert [s["is_target"] for s in told["settings"]] == [True, False]
    assert [s["inside_mm"] for s in told["settings"]] == [None, None]


def test_cuff_pair_takes_two_caps_and_four_studs():
    told = figures(row(CUFF + "pair = true"))
    assert {part["part"]: part["count"] for part in told["parts"]} == {"cap": 2, "socket": 2, "stud": 4, "post": 4}
    assert told["cut_pieces"] == 4


@pytest.mark.parametrize(("target", "n"), [("224 mm", 1), ("204 mm", 2)])
def test_cuff_target_chooses_the_setting(target, n):
    assert row(CUFF + f'target = "{target}"').strap.target.n == n


def test_bib_counts_single_halves():
    # Plastic snaps have a cap behind either half: 1 stud over 3 sockets takes 4 caps.
    bib = 'piece = "bib"\nlength = "330 mm"\nheight = "32 mm"\nover = ["16 mm"]\nunder = ["16 mm", "36 mm", "56 mm"]'
    placement = row(bib, '[closure]\nkind = "plastic snap"\nsize = "20"\nhalves = "turned"\n')
    assert {p["part"]: p["count"] for p in figures(placement)["parts"]} == {"cap": 4, "socket": 3, "stud": 1}
    by_end = {(p.part, p.lap): p.count for p in count_parts(placement)}
    assert by_end == {("cap", "over"): 1, ("stud", "over"): 1, ("socket", "under"): 3, ("cap", "under"): 3}
    assert "1 of them holds" in placement.strap.notes[0]


def test_row_mate_beyond_the_other_tip_is_a_mark_of_one_end():
    # One stud 12 from its tip, three sockets above it: in the middle setting one socket lies past the under tip.
    placement = row('length = "300 mm"\nheight = "40 mm"\nover = ["16 mm", "46 mm", "76 mm"]\nunder = ["16 mm"]')
    told = [(mark.over and mark.over.from_tip_mm, mark.under and mark.under.from_tip_mm) for mark in placement.marks]
    assert told == [(pytest.approx(76), None), (pytest.approx(46), pytest.approx(16)), (pytest.approx(16), None)]
    assert [s.middle_mm for s in placement.strap.settings] == pytest.approx([268, 238, 208])


@pytest.mark.parametrize(("lap", "way"), [("", 1), ('lap = "right over left"', 1), ('lap = "left over right"', -1)])
def test_row_over_end_comes_from_the_side_that_the_lap_says(lap, way):
    # Seen from outside the wearer's right is on the left: its tip points to greater x.
    placement = row(CUFF + lap)
    assert placement.laps.over.tip.inwards == (-way, 0.0)
    assert placement.laps.under.tip.inwards == (way, 0.0)
    sides = (placement.laps.over.side, placement.laps.under.side)
    assert sides == ((None, None) if not lap else ("right", "left") if way == 1 else ("left", "right"))


places = st.lists(st.integers(10, 120), min_size=1, max_size=4, unique=True)


@settings(max_examples=150, deadline=None)
@given(places, places)
def test_row_settings_are_those_that_trying_every_overlap_finds(over, under):
    few = min(len(over), len(under))
    tried = [overlap for overlap in range(1, 300) if len({overlap - place for place in over} & set(under)) == few]
    text = f'length = "2000 mm"\nheight = "40 mm"\nover = {over}\nunder = {under}'
    if not tried:
        with pytest.raises(ClosureError, match="the halves cannot meet"):
            row(text)
        return
    assert [round(s.overlap_mm) for s in row(text).strap.settings] == tried


@settings(max_examples=60, deadline=None)
@given(places, places)
def test_row_that_cannot_meet_does_when_the_advice_is_followed(over, under):
    text = f'length = "2000 mm"\nheight = "40 mm"\nover = {over}\nunder = {under}'
    try:
        row(text)
    except ClosureError as error:
        name, _, written = str(error).rpartition("These would meet: ")[2].partition(" = ")
        old = over if name == "over" else under
        assert row(text.replace(f"{name} = {old}", f"{name} = {written.removesuffix('.')}")).strap.settings


@pytest.mark.parametrize(
    ("text", "message"),
    [
        pytest.param(
            'length = "250 mm"\nheight = "65 mm"\nover = ["13 mm", "40 mm"]\nunder = ["13 mm", "33 mm"]',
            r"\[row\]: the halves cannot meet: over 13 mm and 40 mm and under 13 mm and 33 mm .* never bring more than 1 "
            r'of 2 together. These would meet: under = \["13 mm", "40 mm"\]',
            id="other distances",
        ),
        pytest.param(
            'length = "250 mm"\nheight = "65 mm"\nover = [["13 mm", "20 mm"]]\nunder = [["13 mm", "40 mm"]]',
            "the halves cannot meet: no closure of one end has the height of one on the other",
            id="other heights",
        ),
        pytest.param(
            CUFF + 'target = "210 mm"',
            r"\[row\] target: no setting closes at 210 mm; these do: 224 mm, 204 mm",
            id="a target that no setting gives",
        ),
        pytest.param(
            CUFF + 'overlap = "30 mm"',
            r"\[row\] overlap: no setting has an overlap of 30 mm; these are: 26 mm, 46",
            id="an overlap that no setting gives",
        ),
        pytest.param(
            CUFF.replace("250", "80"), r"\[row\] length: at its tightest the ends lap by 46 mm", id="too short"
        ),
        pytest.param(
            CUFF.replace("250", "46"), r"lap by 46 mm, and the whole piece is 46 mm long", id="shorter than it laps"
        ),
        pytest.param(
            CUFF.replace("250", "30"), r"\[row\] under: a place 33 mm from the tip is off the strap", id="off it"
        ),
        pytest.param(
            'length = "250 mm"\nheight = "65 mm"\nover = ["50 mm"]\noverlap = "45 mm"',
            r"overlap: with an overlap of 45 mm .* lies beyond the under end",
            id="overlap too small",
        ),
        pytest.param(
            'length = "250 mm"\nheight = "65 mm"\nover = [["13 mm", "65 mm"]]\noverlap = "45 mm"',
            r"a height of 65 mm \(2 9/16 in\) from the lower edge is off the strap, 65 mm \(2 9/16 in\) high",
            id="height off it",
        ),
        pytest.param(CUFF + 'target = "224 mm"\noverlap = "26 mm"', "target: it says the same as overlap", id="both"),
        pytest.param(CUFF.replace('["13 mm"]', "[]"), "over: a list of 0 is not a list of places", id="no places"),
        pytest.param(
            CUFF.replace('"65 mm"', '"260 mm"') + 'ends = "rounded"',
            "ends: a rounded tip is half as deep",
            id="no room for the tip",
        ),
    ],
)
def test_row_that_cannot_be_is_refused_with_what_would_do(text, message):
    with pytest.raises(ClosureError, match=message):
        row(text)


@pytest.mark.parametrize(
    ("ends", "place", "aside", "room"),
    [
        # Half a width of 20: at a right-angled point the way to the edge is (20 - 0) / sqrt 2.
        pytest.param("square", 20, 0, 20, id="square"),
        pytest.param("pointed", 20, 0, 20 / 2**0.5, id="pointed"),
        pytest.param("pointed", 30, 10, 20 / 2**0.5, id="pointed, aside"),
        pytest.param("rounded", 20, 0, 20, id="rounded, at its centre"),
        pytest.param("rounded", 8, 16, 0, id="rounded, on the edge: 12-16-20"),
        pytest.param("rounded", 4, 12, 0, id="rounded, on the edge: 16-12-20"),
        pytest.param("pointed", 5, 10, -5 / 2**0.5, id="off a pointed tip"),
    ],
)
def test_room_to_a_shaped_tip_is_the_closed_form(ends, place, aside, room):
    text = f'length = "300 mm"\nheight = "40 mm"\nends = "{ends}"\n'
    places = f'over = [["{place} mm", "{20 + aside} mm"]]\nunder = [["30 mm", "{20 + aside} mm"]]'
    (mark,) = row(text + places).marks
    assert mark.over.to_end_mm == pytest.approx(room, abs=1e-6)
    assert mark.over.to_side_mm == pytest.approx(20 - aside, abs=1e-9)


def test_closure_off_a_shaped_tip_fails_and_is_told():
    text = 'length = "300 mm"\nheight = "40 mm"\nends = "pointed"\n'
    placement = row(text + 'over = [["5 mm", "30 mm"]]\nunder = [["30 mm", "30 mm"]]')
    findings = [f for f in findings_of(placement) if f.rule == "edge distance" and "off the cloth" in f.text]
    assert [(f.lap, f.result) for f in findings] == [("over", "fail")]


def test_buttonhole_across_runs_along_the_strap():
    closure = '[closure]\nkind = "sew-through button"\nsize = "24 L"\nthickness = "3 mm"\nhole = "{}"\n'
    text = 'length = "300 mm"\nheight = "22 mm"\nover = ["20 mm"]\nunder = ["20 mm"]'
    across = [f for f in findings_of(row(text, closure.format("across"))) if f.rule == "buttonhole"]
    along = [f for f in findings_of(row(text, closure.format("along"))) if f.rule == "buttonhole"]
    # 24 lines and 3 mm make 18.24; its end stands 1/8 in past the mark: 20 - 3.175 to the tip. Up and down the
    # strap 11 - (18.24 - 3.175) is less than nothing.
    assert (across[0].result, across[0].found_mm) == ("pass", pytest.approx(16.825))
    assert (along[0].result, along[0].found_mm) == ("fail", pytest.approx(11 - 15.065))


@pytest.mark.parametrize(
    ("lap", "made"), list(itertools.product(["right over left", "left over right"], ["folded", "one layer"]))
)
def test_row_turned_round_gives_the_same_figures(lap, made):
    plain, turned = row(CUFF), row(CUFF + f'lap = "{lap}"\nmade = "{made}"')
    assert figures(plain)["settings"] == figures(turned)["settings"]
    assert worst(findings_of(plain)) == worst(findings_of(turned))


def test_row_target_without_under_places_the_mates():
    # By hand: a strap of 400 closed at 370 laps by 30, so the mate of a closure 13 from its tip lies 17 from the other.
    placement = row('length = "400 mm"\nheight = "30 mm"\nover = ["13 mm"]\ntarget = "370 mm"')
    assert figures(placement)["rows"] == {"over": [13.0], "under": [17.0]}


@pytest.mark.parametrize(
    ("target", "says"),
    [
        pytest.param(400, "cannot lap and close at 400 mm", id="as long as the strap"),
        pytest.param(390, "target of less than 387 mm", id="the mate would lie off the under end"),
    ],
)
def test_row_target_that_no_mate_serves_is_refused(target, says):
    with pytest.raises(ClosureError, match=says):
        row(f'length = "400 mm"\nheight = "30 mm"\nover = ["13 mm"]\ntarget = "{target} mm"')


def test_row_of_buttons_is_not_told_in_halves():
    closure = '[closure]\nkind = "sew-through button"\nsize = "24 L"'
    notes = " ".join(
        row('length = "300 mm"\nheight = "50 mm"\nover = ["25 mm"]\nunder = ["25 mm", "50 mm"]', closure).strap.notes
    )
    assert "half" not in notes and "halves" not in notes and "not in pairs" in notes


@pytest.mark.parametrize(
    ("more", "lacks"),
    [("", True), ('allowance = "10 mm"\n', False), ('made = "one layer"\n', False)],
    ids=["none", "told", "one layer"],
)
def test_cover_and_step_say_where_no_seam_allowance_is_in_what_is_cut(more: str, lacks: bool) -> None:
    text = (
        f'title = "Oilcloth bib"\n[row]\nlength = "340 mm"\nheight = "40 mm"\npiece = "bib"\n{more}[closure]\nkind = "plastic snap"\n'
        'size = "20"\n[[layer]]\ncloth = "quilting cotton"\ncount = 2\n[sheets]\norder = true\n'
    )
    answer = place_plan(read_plan(text.encode(), "bib.toml"))
    pages = result_files(answer, "a4")["marking.pdf"]
    with pdfplumber.open(io.BytesIO(pages)) as pdf:
        words = " ".join(" ".join(page.extract_text() or "" for page in pdf.pages).split())
    assert ("no seam allowance in it: add yours on every side" in words) is lacks
    order = " ".join(step.text for step in advice_of(answer).order.steps)
    assert ("with your own seam allowance added on every side" in order) is lacks


@pytest.mark.parametrize(
    ("made", "count", "says"),
    [
        ("", 2, ""),
        ("", 3, "tells 3 layers of cloth, and what is cut makes 2: the rest"),
        ('made = "folded"\n', 2, ""),
        ('made = "one layer"\n', 1, ""),
    ],
)
def test_strap_says_where_layers_and_pieces_that_are_cut_differ(made: str, count: int, says: str) -> None:
    layers = f'[[layer]]\ncloth = "chino"\ncount = {count}\n[[layer]]\ncloth = "light fusible"\n'
    notes = " ".join(row(f'length = "340 mm"\nheight = "40 mm"\n{made}', rest=layers).strap.notes)
    assert says in notes and (bool(says) or "what is cut makes" not in notes)


@pytest.mark.parametrize(
    ("more", "count", "says"),
    [
        ("", 1, "a strap is cut in two layers where made does not say otherwise, and the plan tells one layer"),
        ('made = "folded"\n', 1, 'made = "folded" makes two layers of it, and the plan tells one layer of cloth'),
        ('made = "one layer"\n', 1, ""),
        ("", 2, ""),
    ],
)
def test_strap_of_which_fewer_layers_are_told_than_are_cut_is_refused(more: str, count: int, says: str) -> None:
    # One number of layers: stacks, checks and the order of work all go by it.
    layers = f'[[layer]]\ncloth = "chino"\ncount = {count}\n[[layer]]\ncloth = "light fusible"\n'
    if not says:
        assert row(f'length = "340 mm"\nheight = "40 mm"\n{more}', rest=layers).strap is not None
        return
    with pytest.raises(PlanError, match=re.escape(says)):
        row(f'length = "340 mm"\nheight = "40 mm"\n{more}', rest=layers)


def test_finished_strap_is_of_as_many_layers_as_are_told() -> None:
    layers = '[garment]\nstate = "finished"\n[[layer]]\ncloth = "chino"\n'
    assert row('length = "340 mm"\nheight = "40 mm"\n', rest=layers).strap.made == "one layer"


def test_strap_in_one_layer_that_is_told_as_two_is_looked_at() -> None:
    text = (
        '[row]\nlength = "340 mm"\nheight = "40 mm"\nmade = "one layer"\n[closure]\nkind = "plastic snap"\n'
        'size = "20"\n[[layer]]\ncloth = "chino"\ncount = 2\n'
    )
    answer = place_plan(read_plan(text.encode(), "bib.toml"))
    told = [one.text for one in answer.findings if one.rule == "cloth" and one.result == "warn"]
    assert any("tells 2 layers of cloth and cuts" in one for one in told)


@pytest.mark.parametrize(("count", "is_refused"), [(1, True), (2, False)])
def test_bands_to_cut_of_one_layer_are_refused(count: int, is_refused: bool) -> None:
    text = (
        '[edge]\nstraight = "600 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n[closure]\n'
        'kind = "plastic snap"\nsize = "20"\n[spacing]\ncount = 5\n[bands]\nallowance = "10 mm"\n'
        f'[[layer]]\ncloth = "chino"\ncount = {count}\n'
    )
    if not is_refused:
        assert place_plan(read_plan(text.encode(), "coat.toml"))
        return
    with pytest.raises(PlanError, match="a band and its facing are two layers, and the plan tells one layer of cloth"):
        place_plan(read_plan(text.encode(), "coat.toml"))


def test_strap_says_nothing_of_layers_that_were_measured_and_not_named() -> None:
    layers = '[[layer]]\nthickness = "0.7 mm"\ncount = 4\n'
    assert row('length = "340 mm"\nheight = "40 mm"\n', rest=layers).strap.notes == ()
