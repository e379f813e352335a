"""The pages are read back as they are printed and taped: what is moved, missing, doubled or out of scale is seen."""

import io
import re
from functools import cache

import pikepdf
import pytest
from paper_sets import ODD, PLAN, TEMPLATES, USUAL, answer_of, dots_of
from work import calls_of

from closures.app.job import load_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.app.verified import promises_of
from closures.app.whole import garment_files, work_garment
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.jobs.table.printer import Correction
from closures.plan.garment_file import slug
from closures.plan.reading import read_plan
from closures.verifying.page_read import read_pages
from closures.verifying.pages import Wanted, faults_of_pages
from closures.verifying.sheet_read import read_sheet
from closures.verifying.verify import UnsoundError, require_sound, require_sound_garment

NUMBER = re.escape(f"{USUAL_TYPE.number:.4f}".rstrip("0"))
"""How a page says that a mark's number is set."""


@cache
def files_of(name, correction=None):
    return result_files(answer_of(name), "a4", correction)


def told_of(pdf, name="curved-front", stretch=(1.0, 1.0)):
    files = files_of(name)
    wanted = [Wanted("", lap, "", read_sheet(files[f"{lap}.svg"])) for lap in ("over", "under")]
    return " | ".join(faults_of_pages(pdf, wanted, stretch))


def with_page(pdf, page, change):
    """The file with the content of one page changed."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        contents = opened.pages[page].Contents
        text = contents[1].read_bytes().decode("latin-1")
        changed = change(text)
        assert changed != text
        opened.pages[page].Contents = pikepdf.Array([contents[0], opened.make_stream(changed.encode("latin-1"))])
        out = io.BytesIO()
        opened.save(out)
    return out.getvalue()


def shifted(pattern, dx, dy, which=0):
    """Moves what a pattern finds, by an own matrix round it."""

    def change(text):
        found = list(re.finditer(pattern, text, re.DOTALL))[which]
        return f"{text[: found.start()]}q 1 0 0 1 {dx} {dy} cm {found[0]} Q {text[found.end() :]}"

    return change


DOT = r"0 g (?:[\d.]+ ){2}m (?:(?:[\d.]+ ){6}c ){8} h f"
RING = r"0 G 0\.35 w \[\] 0 d (?:[\d.]+ ){2}m (?:(?:[\d.]+ ){6}c ){8} h S"
EDGE = r"0 G 0\.7 w \[\] 0 d [^S]*S"


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    "name", [*ODD, "curved-front", "cape-corner", "sash-belt", "cuff", "bib", "shirt-swap", "crossed-wrap"]
)
def test_pages_that_were_made_are_sound_and_every_mark_was_read(name):
    files = files_of(name)
    require_sound(files, None)
    answer = answer_of(name)
    dots = [disc for page in read_pages(files["marking.pdf"]) for disc in page.discs if disc.told.startswith("mark ")]
    inked = [disc for disc in dots if disc.is_inked and abs(disc.radius_mm - 0.3) < 1e-3]
    sides = len(answer.sheets) // 2
    assert len(inked) == sides * sum(len(answer.placement.on(lap)) for lap in ("over", "under"))


def test_reader_finds_what_another_program_finds():
    pdf = files_of("curved-front")["marking.pdf"]
    mine = [(n, *disc.at, disc.radius_mm) for n, page in enumerate(read_pages(pdf)) for disc in page.discs]
    # The other takes all for round that is as wide as high.
    others = [(dot.page, dot.x, dot.y, dot.r) for dot in dots_of(pdf)]
    for one in mine:
        assert any(one == pytest.approx(other, abs=1e-3) for other in others)
    for radius in (0.3, 1.8, 5.08):
        assert len({one for one in mine if abs(one[3] - radius) < 1e-3}) == len(
            {other for other in others if abs(other[3] - radius) < 1e-3}
        )


def first_page_of_parts(pdf):
    """Its index: the first on which a mark is told."""
    pages = read_pages(pdf)
    return next(
        n for n, page in enumerate(pages) if any(re.match("(size 8, )?mark ", disc.told) for disc in page.discs)
    )


def widened(text):
    """The 50 mm square, a tenth of a millimetre wider."""
    x, y = re.search(r"0 G 0\.35 w \[\] 0 d ([\d.]+) ([\d.]+) m [^h]*h S\nBT[^\n]*\n", text).groups()
    right = f"{float(x) + 50:.4f}".rstrip("0").rstrip(".")
    return text.replace(f"{right} {y} l", f"{float(right) + 0.1:.4f} {y} l", 1)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("change", "says"),
    [
        # Where a page has two marks of a strip, one that lies off turns the strip that is laid on them.
        (shifted(DOT, 0.02, 0.0), r"(over|under) lap: on page \d (mark \d+|the edge) lies 0\.0[0-3]"),
        (shifted(DOT, 0.04, 0.04, -1), r"(over|under) lap: on page \d mark \d+ lies 0\.0"),
        (shifted(RING, 0.02, 0.02), r"rings \w stand"),
        (shifted(RING, 0.4, 0.0), r"taped ring on ring, mark|rings \w stand"),
        (shifted(EDGE, 0.2, 0.2), r"lap: on page \d the edge lies 0\.[12]"),
        (lambda text: re.sub(DOT, "", text, count=1), r"lap: the pages have the marks"),
        (lambda text: re.sub(f"({DOT})", r"\1 \1", text, count=1), r"lap: the pages have the marks \[1, 1, 2|\[1, 2"),
        (lambda text: re.sub(RING, "", text, count=1), r"1 rings \w on one part"),
        (widened, r"page \d has no square that measures 50 mm"),
        (lambda text: f"q 1.001 0 0 1 0 0 cm {text} Q", r"page \d has no square that measures"),
        (lambda text: f"q -1 0 0 1 297 0 cm {text} Q", r"taped ring on ring|mark \d+ lies"),
        (lambda text: re.sub(rf"({NUMBER} Tf )<(..)>", lambda m: f"{m[1]}<{int(m[2], 16) + 1:02x}>", text, count=1),
         r"page \d does not letter the number of mark"),
    ],
    ids=["a mark", "another mark", "ring", "ring by more", "edge", "no mark", "mark twice", "no ring", "square", "scale", "mirrored",
         "number"],
)  # fmt: skip
def test_page_that_is_not_what_the_sheets_show_is_seen(change, says):
    pdf = files_of("curved-front")["marking.pdf"]
    assert not told_of(pdf)
    assert re.search(says, told_of(with_page(pdf, first_page_of_parts(pdf), change)))


def first_lost(opened):
    del opened.pages[0]


def one_more(opened):
    opened.pages.append(opened.pages[0])


def exchanged(opened):
    opened.pages.append(opened.pages[1])
    del opened.pages[1]


def shown_turned(opened):
    opened.pages[1].Rotate = 90


def cropped(opened):
    opened.pages[1].CropBox = pikepdf.Array([0, 0, 595, 700])


def of_less_paper(opened):
    left, low, right, high = opened.pages[1].MediaBox
    opened.pages[1].MediaBox = pikepdf.Array([left, low, float(right) / 2, high])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (first_lost, "page 1 of 2 does not say that it is sheet 1 of 2"),
        (one_more, "page 4 of 4 does not say that it is sheet 4 of 4"),
        (exchanged, "page 2 of 3 does not say that it is sheet 2 of 3"),
        (of_less_paper, "page 2 has a part that reaches beyond its paper"),
        # ISO 32000-1, table 30: what is shown and printed is the page so turned, and what lies within its crop box.
        (shown_turned, "shown turned, or a part of it alone"),
        (cropped, "shown turned, or a part of it alone"),
    ],
)
def test_pages_that_are_lost_or_shown_in_part_are_seen(change, says):
    # Each lap lies whole on a page of its own: no ring tells that a page stands elsewhere, or is the cover alone.
    files = files_of("shirt-front")
    require_sound(files, None)
    with pikepdf.open(io.BytesIO(files["marking.pdf"])) as opened:
        change(opened)
        out = io.BytesIO()
        opened.save(out)
    with pytest.raises(UnsoundError, match=says):
        require_sound({**files, "marking.pdf": out.getvalue()}, None)


def test_marks_that_are_told_as_each_other_are_seen():
    pdf = files_of("curved-front")["marking.pdf"]

    def swapped(text):
        one, other = re.findall(r"/Figure <</MCID (\d+)>>", text)[1:3]
        return text.replace(f"MCID {one}>>", "MCID x>>", 1).replace(f"MCID {other}>>", f"MCID {one}>>", 1).replace("MCID x>>", f"MCID {other}>>", 1)  # fmt: skip

    assert re.search(r"mark \d+ lies \d+", told_of(with_page(pdf, first_page_of_parts(pdf), swapped)))


@pytest.mark.parametrize("name", ["curved-front", "slant"])
def test_numbers_that_changed_places_are_seen(name):
    pdf = files_of(name)["marking.pdf"]
    assert not told_of(pdf, name)

    def swapped(text):
        numbers = list(re.finditer(rf"( {NUMBER} Tf )(<..>)( Tj)", text))
        one, other = numbers[0], numbers[1]
        return f"{text[: one.start(2)]}{other[2]}{text[one.end(2) : other.start(2)]}{one[2]}{text[other.end(2) :]}"

    told = told_of(with_page(pdf, first_page_of_parts(pdf), swapped), name)
    assert len(re.findall(r"the number of mark \d+ stands beside another mark", told)) == 2


def test_numbers_that_lie_turned_between_close_marks_are_their_own():
    """Words that lie along an upright strip reach from one mark to the next: their leader tells whose they are."""
    plan = (TEMPLATES / "shirt-front" / "plan.toml").read_text()
    for old, new in (("sew-through button", "shank button"), ('pitch = "3 1/4 in"', 'pitch = "1 1/2 in"')):
        assert old in plan
        plan = plan.replace(old, new)
    assert "marking.pdf" in result_files(place_plan(read_plan(plan.encode(), "plan.toml")), "a4")


def nested():
    plan = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(load_plan(plan), plan, only=("8", "14"))
    return sizes, size_files(sizes, "a4")


def test_page_that_is_enlarged_as_a_whole_is_seen():
    with pikepdf.open(io.BytesIO(files_of("curved-front")["marking.pdf"])) as opened:
        opened.pages[first_page_of_parts(files_of("curved-front")["marking.pdf"])].obj.UserUnit = 1.01
        out = io.BytesIO()
        opened.save(out)
    assert re.search(r"page \d has no square that measures 50 mm", told_of(out.getvalue()))


def test_pages_of_another_plan_are_seen():
    told = told_of(files_of("slant")["marking.pdf"])
    assert "the pages have the marks" in told and "taped ring on ring" in told


def test_stretch_for_a_printer_is_taken_out_and_another_is_seen():
    wide = Correction(1.004, 0.996, "99.6 by 100.4")
    pdf = files_of("curved-front", wide)["marking.pdf"]
    assert not told_of(pdf, stretch=(1.004, 0.996))
    assert "no square" in told_of(pdf) and "no square" in told_of(pdf, stretch=(1.004, 1.004))


@pytest.mark.in_turn(3)
def test_files_of_sizes_and_of_a_garment_are_read():
    sizes, files = nested()
    from closures.verifying.verify import require_sound_sizes

    def told_of_nest(change):
        page = first_page_of_parts(files["marking.pdf"])
        changed = {**files, "marking.pdf": with_page(files["marking.pdf"], page, change)}
        with pytest.raises(UnsoundError) as raised:
            require_sound_sizes(changed, {size.name: None for size in sizes.placed})
        return str(raised.value)

    for pen in (r"0\.6 w \[\]", r"0\.35 w \[5"):
        assert re.search(
            r"size (8|14): on page \d the edge lies 0\.[12]", told_of_nest(shifted(f"0 G {pen}[^S]*S", 0.2, 0.2))
        )
    one, other = (f"FEFF{ord(n):04X}" for n in "12")
    swap = {one: other, other: one}
    assert "the number of mark 2 stands beside another mark" in told_of_nest(
        lambda text: re.sub(f"<({one}|{other})>", lambda found: f"<{swap[found[1]]}>", text)
    )
    for name in ("marking.pdf", "marking-8.pdf"):
        moved = {**files, name: with_page(files[name], first_page_of_parts(files[name]), shifted(DOT, 0.03, 0.02))}
        with pytest.raises(UnsoundError, match=rf"{name}: (over|under) lap(, size 8)?: on page \d mark \d lies"):
            require_sound_sizes(moved, {size.name: None for size in sizes.placed})
    nest = files["nest-under.svg"].decode()
    begins = nest.index('id="under-14-2"')
    mark = nest[begins : nest.index("</g>", begins)]
    layer = nest.index('id="size-14"')
    edge = nest[nest.index("<path", layer) : nest.index("/>", layer)]
    for changed, said in (
        (
            nest.replace(mark, re.sub(r'class="centre" cx="[\d.]+"', 'class="centre" cx="100"', mark)),
            "size 14: mark 2 lies",
        ),
        (nest.replace('id="under-14-2"', 'id="under-14-22"'), "size 14 has no mark 2"),
        (
            nest.replace(edge, re.sub(r'd="M([\d.]+)', lambda at: f'd="M{float(at[1]) + 3}', edge)),
            "no line lies as far",
        ),
        (nest.replace("</svg>", '<g id="under-14-9"></g></svg>'), "it has a mark under-14-9 that no size tells"),
    ):
        with pytest.raises(UnsoundError, match=f"nest-under.svg: .*{said}"):
            require_sound_sizes({**files, "nest-under.svg": changed.encode()}, {one.name: None for one in sizes.placed})
    garment = work_garment(TEMPLATES / "whole-romper" / "garment.toml")
    files = garment_files(garment, "a4")
    openings = {name: f"{slug(name)}-" for name in ("front", "right crotch", "left crotch", "belt")}
    require_sound_garment(files, openings)
    page = first_page_of_parts(files["marking.pdf"])
    moved = {**files, "marking.pdf": with_page(files["marking.pdf"], page, shifted(DOT, 0.03, 0.02))}
    with pytest.raises(
        UnsoundError, match=r"marking\.pdf: (front|right crotch|left crotch|belt), (over|under) lap: on page \d mark"
    ):
        require_sound_garment(moved, openings)
    with pytest.raises(UnsoundError, match="has marks of a lap that is not among the sheets: BELT"):
        require_sound_garment(files, {name: prefix for name, prefix in openings.items() if name != "belt"})


@pytest.mark.in_turn(3)
def test_long_chain_of_parts_adds_up_no_rounding(monkeypatch):
    # With rings written to four places, as all else is, this one is out by 0.0015 mm and 8.5 m by 0.08 mm.
    told = {"edge": 'arc = { length = "3 m", radius = "2125 mm", bows = "out" }', "width": "36 mm"}
    text = PLAN.format(**{**USUAL, **told, "first": "20 mm", "last": "20 mm", "count": 40})
    files = result_files(place_plan(read_plan(text.encode(), "plan.toml"), {}), "a4")
    monkeypatch.setattr("closures.verifying.pages.ON_CHAIN_MM", 0.001)
    require_sound(files, None)


def test_faults_of_one_kind_are_told_by_the_worst():
    told = told_of(files_of("slant")["marking.pdf"])
    assert told.count("taped ring on ring") == 2
    off = [
        float(one)
        for one in re.findall(r"taped ring on ring, mark \d+ lies ([\d.]+) mm[^|]*\(and \d+ more like it\)", told)
    ]
    assert len(off) == 2 and min(off) > 1.0


def test_mark_alone_on_a_lap_is_held_by_its_edge():
    files = files_of("bib")
    assert len(read_sheet(files["over.svg"]).marks) == 1
    assert not told_of(files["marking.pdf"], "bib")
    assert "the edge lies" in told_of(
        with_page(files["marking.pdf"], first_page_of_parts(files["marking.pdf"]), shifted(DOT, 0.3, 0.0)), "bib"
    )


def test_sheet_of_the_other_face_is_not_taken_for_this_one():
    plan = TEMPLATES / "curved-front" / "plan.toml"
    inside = result_files(place_plan(load_plan(plan), plan, "inside"), "a4")
    assert "taped ring on ring" in told_of(inside["marking.pdf"])


def test_marks_alone_on_parts_that_are_broken_off_are_held_by_their_waves():
    points = [
        (0, 0),
        (-28, 30),
        (27, 66),
        (-26, 102),
        (28, 138),
        (-27, 174),
        (25, 210),
        (-26, 246),
        (24, 282),
        (0, 318),
    ]
    told = ", ".join(f'["{x} mm", "{y} mm"]' for x, y in points)
    text = PLAN.format(
        **{**USUAL, "edge": f"points = [{told}]", "width": "24 mm", "first": "14 mm", "last": "40 mm", "count": 3}
    )
    files = result_files(place_plan(read_plan(text.encode(), "plan.toml"), {}), "a4")
    pdf = files["marking.pdf"]
    moved = with_page(pdf, first_page_of_parts(pdf), shifted(DOT, 0.5, 0.5))
    with pytest.raises(UnsoundError, match="the edge lies"):
        require_sound({**files, "marking.pdf": moved}, None)


def test_part_whose_name_finds_no_room_near_by_is_named_further_out_and_read():
    # A table of points whose deep waves leave no straight lane beside the middle part.
    points = [(27.53, -0.14), (11.16, 23.34), (19.09, 53.62), (-7.31, 72.41), (18.36, 102.72), (-6.21, 126.41),
              (-11.99, 152.68), (21.64, 177.21), (12.47, 201.23), (20.10, 224.55)]  # fmt: skip
    told = ", ".join(f'["{x} mm", "{y} mm"]' for x, y in points)
    text = PLAN.format(
        **{**USUAL, "edge": f"points = [{told}]", "width": "24 mm", "first": "14 mm", "last": "40 mm", "count": 3}
    )
    files = result_files(place_plan(read_plan(text.encode(), "plan.toml"), {}), "a4")
    with pikepdf.open(io.BytesIO(files["marking.pdf"])) as opened:
        figures = [str(one.get("/T", "")) for one in opened.Root.StructTreeRoot.K[0].K for one in one.K if "/T" in one]
    parts = [name for name in figures if re.match("(Over|Under) lap \\d of", name)]
    named = [words.text for page in read_pages(files["marking.pdf"]) for words in page.words]
    assert len(parts) > 2
    assert sum(bool(re.match(r"(OVER|UNDER) LAP \d of", text)) for text in named) == len(parts)


SLIT = r"(0 G 0\.5 w \[\] 0 d )([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l S(?=\n0 G 0\.5 w)"


def with_slit(change):
    """A change of the first slit of a page: its middle and half of it, as complex figures, to new ends or to nothing."""

    def changed(found):
        a, b = (complex(float(found[k]), float(found[k + 1])) for k in (2, 4))
        ends = change((a + b) / 2, (b - a) / 2)
        drawn = " ".join(f"{at.real:.4f} {at.imag:.4f} {how}" for at, how in zip(ends, "ml", strict=False))
        return f"{found[1]}{drawn} S" if ends else ""

    return lambda text: re.sub(SLIT, changed, text, count=1)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda m, h: (m - h * 1j, m + h * 1j), "is not drawn as it is on the sheet"),
        (lambda m, h: (), "is not drawn as it is on the sheet"),
        (lambda m, h: (m - h + 0.11, m + h + 0.11), "is not drawn as it is on the sheet"),
        (lambda m, h: (m - h, m + h * 1.03), "is not drawn as it is on the sheet"),
        (lambda m, h: (m - h + 0.03, m + h + 0.03), ""),
        (lambda m, h: (m + h, m - h), ""),
    ],
    ids=["turned", "left out", "moved", "too long", "within what is allowed", "drawn from its other end"],
)
@pytest.mark.parametrize("name", ["shirt-front", "double-breasted", "short ends"])
def test_buttonhole_that_pages_do_not_draw_as_the_sheet_does_is_seen(name, change, says):
    pdf = files_of(name)["marking.pdf"]
    page = next(
        n for n, read in enumerate(read_pages(pdf)) if sum(disc.told.startswith("mark ") for disc in read.discs)
    )
    told = told_of_laps(with_page(pdf, page, with_slit(change)), name)
    assert (says in told) if says else not told, told


def told_of_laps(pdf, name):
    files = files_of(name)
    sheets = {lap: files[f"{lap}.svg"] for lap in ("over", "under") if f"{lap}.svg" in files}
    return " | ".join(faults_of_pages(pdf, [Wanted("", lap, "", read_sheet(svg)) for lap, svg in sheets.items()]))


def test_buttonhole_that_pages_draw_twice_is_seen():
    pdf = files_of("shirt-front")["marking.pdf"]
    twice = with_page(pdf, first_page_of_parts(pdf), lambda text: re.sub(f"({SLIT})", r"\1 \1", text, count=1))
    assert re.search(
        r"on page \d \d buttonholes are drawn on a part where there are \d", told_of_laps(twice, "shirt-front")
    )


def strap_with_buttonholes():
    plan = (TEMPLATES / "cuff" / "plan.toml").read_text()
    plan = re.sub(
        r"\[closure\].*?\n\n", '[closure]\nkind = "sew-through button"\nsize = "18 L"\n\n', plan, flags=re.DOTALL
    )
    answer = place_plan(read_plan(plan.encode(), "plan.toml"), TEMPLATES / "cuff" / "plan.toml")
    return result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)


def test_buttonhole_of_a_strap_runs_along_it_and_reaches_to_its_tip():
    files, promises = strap_with_buttonholes()
    require_sound(files, promises)
    ((first, last),) = {slit.ends_mm for (lap, _), slit in promises.slits.items() if lap == "over"}
    # Along the strap, as it is pulled; the button pulls towards the tip, where less of the hole lies (common practice).
    assert first[1] == last[1] == 0.0 and abs(first[0]) < abs(last[0])
    svg = files["over.svg"].decode()
    group = re.search(r'<g id="over-1">.*?</g>', svg)[0]
    x, y, u, _ = map(
        float,
        re.search(
            r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" fill="none" stroke="#\w+" stroke-width="0.5"', group
        ).groups(),
    )
    turned = svg.replace(group, re.sub(r'd="M[\d. ]+L[\d. ]+"', f'd="M{x} {y}L{x} {y + u - x}"', group, count=1))
    del files["marking.pdf"]
    with pytest.raises(UnsoundError, match="it runs across the line"):
        require_sound({**files, "over.svg": turned.encode()}, promises)


def test_reading_back_does_not_grow_with_a_front_that_holds_no_more_marks():
    """Each mark stands alone on its page, and its page is laid on the sheet by the edge."""

    def work(length):
        arc = f'arc = {{ length = "{length} mm", radius = "{length} mm", bows = "out" }}'
        text = PLAN.format(**(USUAL | {"edge": arc, "count": 6}))
        plan = read_plan(text.encode(), "plan.toml")
        answer = place_plan(plan, None)
        files = result_files(answer, "a4")
        return calls_of(lambda: require_sound(files, promises_of(answer.placement, answer.catalogue)))

    short, long = work(3_000), work(12_000)
    assert short < 2_500_000
    assert long < 2 * short


def test_marks_in_one_place_turn_no_strip_and_are_told_by_the_checks() -> None:
    """Without an inset of its own a hidden button lies on the row's closing line, on what closes there."""
    path = TEMPLATES / "hidden-button" / "plan.toml"
    text = re.sub(r"(\[\[single\]\].*?)\ninset = [^\n]*", r"\1", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    answer = place_plan(read_plan(text.encode(), "plan.toml"))
    assert "marking.pdf" in result_files(answer, "a4", None)
    assert any(one.rule == "columns apart" and one.result == "fail" for one in answer.findings)
