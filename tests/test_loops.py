"""Loops and buttons on edges that meet: the loop goes over its button, and the button lies where it reaches."""

from __future__ import annotations

import io
import json
import math
import re

import pdfplumber
import pytest

from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.stack_parts import figure_of
from closures.drawing.extras.stack_picture import stack_picture
from closures.drawing.extras.stencil import stencil_svg
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.shapes import Path, Words
from closures.errors import ClosureError
from closures.placing.looped import loop_of
from closures.plan.reading import read_plan

BODICE = """
title = "Willow bodice"
[edge]
straight = "300 mm"
[garment]
opens = "back"
edges = "meeting"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "loop and ball button"
size = "16 L"
[loop]
feet = "8 mm"
[spacing]
first = "15 mm"
last = "15 mm"
count = 16
"""
FLAT = (
    BODICE.replace("ball button", "button")
    .replace('"16 L"', '"20 L"\nthickness = "3 mm"')
    .replace("count = 16", "count = 12")
)


def report_of(text: str):
    return json.loads(result_files(place_plan(read_plan(text.encode(), "plan.toml")), "a4")["report.json"])


def test_a_ball_goes_through_half_its_girth_and_an_eighth_and_the_loop_reaches_to_its_middle():
    # New Mexico State University, Guide C-231: half the girth and 1/8 in. 16 L is 10.16 mm (Federal Specification
    # V-B-871F): 15.96 + 3.175 = 19.13; twice that round the opening, 8 of it the edge between the feet.
    loop = report_of(BODICE)["loop"]
    assert loop["length_mm"] == pytest.approx(2 * (math.pi * 10.16 / 2 + 3.175) - 8, abs=0.01)
    # A triangle of two legs over its feet, by hand: 15.13 squared less 4 squared is 14.6 squared.
    assert loop["reach_mm"] == pytest.approx(14.60, abs=0.01)
    assert loop["cut_mm"] == pytest.approx(loop["length_mm"] + 20, abs=0.01)


def test_a_flat_button_goes_through_its_diameter_and_thickness():
    # University of Minnesota, Bulletin 576: 12.7 + 3.
    near = FLAT.replace('lap = "right', 'under_inset = "11 mm"\nlap = "right')
    assert report_of(near)["loop"]["length_mm"] == pytest.approx(2 * 15.7 - 8, abs=0.02)
    with pytest.raises(ClosureError, match="does not go over it"):
        report_of(near.replace("11 mm", "10.9 mm"))


@pytest.mark.parametrize("gap", ["0 mm", "4 mm"])
def test_closed_with_their_gap_the_loop_ends_at_the_middle_of_its_button(gap: str):
    text = BODICE.replace('edges = "meeting"', f'edges = "meeting"\ngap = "{gap}"')
    report, placement = report_of(text), check_plan(read_plan(text.encode(), "plan.toml")).placement
    assert [mark.along_mm for mark in placement.on("over")] == pytest.approx([15 + 18 * k for k in range(16)])
    for over, under in zip(placement.on("over"), placement.on("under"), strict=True):
        assert over.edge_distance_mm == pytest.approx(0) and over.along_mm == pytest.approx(under.along_mm)
        assert under.edge_distance_mm + float(gap.split()[0]) == pytest.approx(report["loop"]["reach_mm"], abs=1e-3)


@pytest.mark.parametrize("size", ["14 L", "16 L", "18 L", "20 L", "24 L"])
@pytest.mark.parametrize("kind", ["loop and button", "loop and ball button"])
def test_button_that_nobody_placed_lies_as_far_in_as_is_wanted(kind: str, size: str):
    text = (
        BODICE.replace("loop and ball button", kind).replace('"16 L"', f'"{size}"').replace("count = 16", "count = 9")
    )
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    assert {one.result for one in answer.findings if one.rule == "edge distance"} == {"pass"}
    # ASDP garment standards: half the button and 1/4 in; or further, where its loop reaches to.
    placement = answer.placement
    inset = placement.plan.band.under_inset_mm
    assert inset >= placement.fastener.rim_mm + 6.35 - 1e-9
    assert loop_of(placement).reach_mm == pytest.approx(inset)


def test_a_button_further_in_takes_a_longer_loop():
    text = BODICE.replace('lap = "right', 'under_inset = "18 mm"\nlap = "right')
    loop = report_of(text)["loop"]
    assert loop["reach_mm"] == 18 and loop["length_mm"] == pytest.approx(2 * math.hypot(18, 4), abs=1e-3)


def test_each_side_carries_its_own_part_and_its_own_mark():
    files = result_files(place_plan(read_plan(BODICE.encode(), "plan.toml")), "a4")
    parts = [(part["part"], part["lap"], part["count"]) for part in json.loads(files["report.json"])["parts"]]
    assert parts == [("loop", "over", 16), ("button", "under", 16)]
    words = files["report.md"].decode()
    assert "30.3 mm from foot to foot" in words and "buttonhole" not in words.lower()
    assert "The wearer's right back carries the loops" in words and "carries the buttons" in words


def test_a_loop_that_stands_in_the_seam_is_sewn_before_the_edge_is_faced():
    words = result_files(place_plan(read_plan(BODICE.encode(), "plan.toml")), "a4")["report.md"].decode()
    assert "before the edge is faced" in words and "Face both edges" not in words


@pytest.mark.parametrize("feet", [8.0, 0.0])
def test_the_feet_are_seen_within_the_edge_where_the_paper_is_cut(feet: float):
    """Geometry: half the way between the feet to either side of the mark, on the edge, and inwards from there."""
    made = place_plan(read_plan(BODICE.replace('"8 mm"', f'"{feet:g} mm"').encode(), "plan.toml"))
    files = result_files(made, "a4")
    svg = files["over.svg"].decode()
    group = re.search(r'<g id="over-1".*?</g>', svg, re.S)
    assert group is not None
    centre = re.search(r'<circle [^>]*cx="([\d.]+)" cy="([\d.]+)"[^>]* r="0.3"', group[0])
    ticks = re.findall(r'<path [^>]*stroke-width="0.5"[^>]*>', group[0])
    assert centre is not None and len(ticks) == (1 if feet else 0)
    for tick in ticks:
        numbers = [float(one) for one in re.findall(r"-?[\d.]+", re.search(r' d="([^"]*)"', tick)[1])]
        (x, y), ends = (float(one) for one in centre.groups()), list(zip(numbers[::2], numbers[1::2], strict=True))
        away = [(math.dist((x, y), end)) for end in ends]
        assert away == pytest.approx([4.0, math.hypot(4.0, 2.0)] * 2, abs=0.01)
    key = " ".join(re.findall(r"<title>([^<]*)</title>", svg))
    assert ("short ticks: its feet" in key) == bool(feet) and "of a loop, its feet" in key
    texts = " ".join(step["text"] for step in json.loads(files["report.json"])["work"]["steps"])
    assert ("mark both feet instead, on the edge, 4 mm to either side of the dot" in texts) == bool(feet)
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as printed:
        cover = " ".join(printed.pages[0].extract_text().split())
    assert "cuts the loops of the over lap off" in cover and "the feet of each loop are sewn on there" in cover


REFUSED = {
    "laps": (
        BODICE.replace('edges = "meeting"\n', "").replace('[loop]\nfeet = "8 mm"\n', ""),
        "closes edges that meet",
    ),
    "an inset": (BODICE.replace('lap = "right', 'inset = "3 mm"\nlap = "right'), "sewn to the edge itself"),
    "too near": (BODICE.replace('lap = "right', 'under_inset = "9 mm"\nlap = "right'), "does not go over it"),
    "wide feet": (BODICE.replace('"8 mm"', '"20 mm"'), "leave no loop"),
    "a wide gap": (BODICE.replace('edges = "meeting"', 'edges = "meeting"\ngap = "20 mm"'), "ends in the gap"),
    "turned": (BODICE.replace('size = "16 L"', 'size = "16 L"\nhalves = "turned"'), "carries the loops"),
    "a hook among them": (
        BODICE + '[[differs]]\nmark = 1\nkind = "hook and eye"\nsize = "2"\n',
        "does not lie where",
    ),
    "a loop among hooks": (
        BODICE.replace("loop and ball button", "hook and eye").replace('"16 L"', '"2"')
        + '[[differs]]\nmark = 1\nkind = "loop and button"\nsize = "16 L"\n',
        "closes a whole row",
    ),
    "on a cuff": (
        '[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\nover = ["13 mm"]\nunder = ["13 mm"]\n'
        '[closure]\nkind = "loop and button"\nsize = "16 L"\n',
        "closes a whole row along an edge",
    ),
    "a tape on a cuff": (
        '[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\nover = ["13 mm"]\nunder = ["13 mm"]\n'
        '[closure]\nkind = "snap tape"\nsize = "any"\n',
        "closes a whole row along an edge",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_loops_cannot_do_is_refused_in_words(name: str):
    text, told = REFUSED[name]
    with pytest.raises(ClosureError, match=re.escape(told)) as refused:
        check_plan(read_plan(text.encode(), "plan.toml"))
    assert all(fault.mend for fault in refused.value.faults)


@pytest.mark.parametrize(("kind", "size", "lap", "feet"), [
    ("loop and ball button", "16 L", "over", (-4.0, 4.0)), ("hook and eye", "2", "under", (0.0,)),
])  # fmt: skip
def test_a_stencil_has_notches_in_the_edge_where_a_hole_would_lie_on_it_or_past_it(kind, size, lap, feet):
    plan = BODICE.replace("loop and ball button", kind).replace("16 L", size)
    plan = plan if "loop" in kind else plan.replace('[loop]\nfeet = "8 mm"\n', "")
    placement = check_plan(read_plan(plan.encode(), "plan.toml")).placement
    drawn = stencil_svg(placement, lap).decode()
    other = stencil_svg(placement, "under" if lap == "over" else "over").decode()
    assert 'class="centre"' not in drawn and other.count('class="centre"') == 16
    (edge,) = re.findall(r'id="outline">.*?d="M ?(\S+)[ ,]', drawn, re.S)
    cut = re.search(rf'id="{lap}-1">.*?</g>', drawn, re.S).group()
    notches = [[float(n) for n in re.findall(r"-?[\d.]+", d)] for d in re.findall(r' d="([^"]+)"', cut)]
    assert len(notches) == len(feet)
    along = placement.marks[0].along_mm
    for (x0, y0, x1, y1, x2, y2), foot in zip(notches, feet, strict=True):
        # On the edge, its middle at the foot, and open towards the edge.
        assert x0 == x2 == pytest.approx(float(edge), abs=0.01) and abs(x1 - x0) == pytest.approx(2.0)
        assert y1 - 5.0 == pytest.approx(along + foot, abs=0.01) and {y0, y2} == {y1 - 1.0, y1 + 1.0}


@pytest.mark.parametrize(
    ("first", "result", "says"),
    [("4 mm", "fail", "hangs"), ("8 mm", "pass", "begin and end right there"), ("25 mm", "warn", "may part above it")],
)
def test_loops_begin_right_at_the_end(first: str, result: str, says: str) -> None:
    """A 16 L ball is 10.16 mm across: from 5.08 mm on nothing hangs past the end; common practice, no source."""
    text = BODICE.replace('first = "15 mm"', f'first = "{first}"').replace("count = 16", "count = 12")
    assert f'first = "{first}"' in text
    told = [one for one in report_of(text)["checks"] if one["rule"] == "end distance" and one["mark"] == 1]
    assert [(one["result"], says in one["text"]) for one in told] == [(result, True)]


def test_gap_of_loops_rests_on_no_source_of_hooks() -> None:
    (told,) = [one for one in report_of(BODICE)["checks"] if one["rule"] == "widest gap"]
    assert "gap of loops" in told["text"] and "hook" not in told["text"] and told["source"] == "our own rule"


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_feet_of_loops_are_marked_further_apart_on_cloth_that_still_shrinks_and_the_loop_is_as_worn(
    measured: str,
) -> None:
    wash = f'[shrinkage]\nalong = "8 %"\nacross = "3 %"\nmeasured = "{measured}"\n'
    answer = place_plan(read_plan((BODICE + wash).encode(), "plan.toml"))
    dry, washed = loop_of(place_plan(read_plan(BODICE.encode(), "plan.toml")).placement), loop_of(answer.placement)
    assert dry is not None and washed is not None
    # Down the edge the cloth keeps 92 %: so 8.70 mm come to 8.
    assert washed.marked_mm == pytest.approx(8 / 0.92) and washed.feet_mm == 8 == dry.marked_mm
    assert (washed.length_mm, washed.cut_mm) == pytest.approx((dry.length_mm, dry.cut_mm))
    assert answer.placement.fastener.extent_mm == pytest.approx((dry.reach_mm, 8 / 0.92))
    worn = loop_of(answer.placement.as_worn)
    assert worn is not None and (worn.marked_mm, worn.reach_mm) == pytest.approx((8, dry.reach_mm))
    files = result_files(answer, "a4")
    assert json.loads(files["report.json"])["loop"]["marked_mm"] == pytest.approx(8 / 0.92, abs=0.001)
    # They are sewn on where they are marked: 8.7 mm apart, twice the 4.3 to either side of the dot.
    steps = files["report.md"].decode()
    assert "4.3 mm to either side of the dot" in steps
    assert "its feet 8.7 mm apart as they are marked (8 mm once washed)" in steps


def spaced(feet: str, ends: str, count: int, more: str = "") -> str:
    wide = BODICE.replace('"8 mm"', f'"{feet}"').replace("count = 16", f"count = {count}")
    wide = wide.replace('first = "15 mm"\nlast = "15 mm"\n', f'first = "{ends}"\nlast = "{ends}"\n' if ends else "")
    return wide + more


def failures(text: str) -> list:
    found = check_plan(read_plan(text.encode(), "plan.toml")).findings
    return [one for one in found if one.result == "fail"]


SHRINKS = '[shrinkage]\nalong = "10 %"\nacross = "5 %"\nmeasured = "unwashed"\n'


@pytest.mark.parametrize(
    ("feet", "ends", "more", "begin", "closer"),
    [
        # Half of 16 is 8: from 6 mm the foot stands at -2.
        ("16 mm", "6 mm", "", "8 mm", "12 mm"),
        ("16 mm", "7.9 mm", "", "8 mm", "15.8 mm"),
        # Nearer than half a 16 L ball, 5.08, the button would hang past the end with any feet.
        ("16 mm", "5 mm", "", "8 mm", None),
        # Marked 18 / 0.9 = 20 apart.
        ("18 mm", "9 mm", SHRINKS, "10 mm", "16.2 mm"),
        ("18 mm", "9.9 mm", SHRINKS, "10 mm", "17.8 mm"),
    ],
)
def test_a_foot_past_an_end_of_the_edge_fails_and_either_cure_ends_it(feet, ends, more, begin, closer) -> None:
    told = failures(spaced(feet, ends, 13, more))
    assert [(one.rule, one.mark, one.source) for one in told] == [
        ("end distance", 1, "geometry"), ("end distance", 13, "geometry"),
    ]  # fmt: skip
    for one, name in zip(told, ("first", "last"), strict=True):
        assert f"Write {name} under [spacing] of at least {begin}" in one.text and "a foot of its loop" in one.text
        assert (f"feet under [loop] of at most {closer}" in one.text) == (closer is not None)
    assert not failures(spaced(feet, begin, 13, more))
    if closer is not None:
        assert not failures(spaced(closer, ends, 13, more))


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
@pytest.mark.parametrize(("feet", "half"), [("18 mm", 9.0), ("4 mm", 5.08)])
def test_ends_that_nobody_told_leave_room_for_feet_and_button_on_cloth_that_still_shrinks(feet, half, measured) -> None:
    text = spaced(feet, "", 9, SHRINKS.replace("unwashed", measured))
    placement = check_plan(read_plan(text.encode(), "plan.toml")).placement
    first, last = placement.marks[0].along_mm, placement.laps.line.length_mm - placement.marks[-1].along_mm
    # 10 % goes down the edge; what is told is written to a tenth of a mm.
    assert half / 0.9 - 1e-6 <= min(first, last) and max(first, last) <= half / 0.9 + 0.1
    assert not failures(text)


@pytest.mark.parametrize(("more", "by", "count"), [("", 1.0, 17), (SHRINKS, 0.9, 16)])
def test_feet_that_cross_those_of_the_next_loop_fail_and_those_that_touch_pass(more: str, by: float, count: int):
    # From 10 to 290 mm 14 gaps are of 20, 18 as worn.
    gap = 280 / (count - 1) * by
    told = failures(spaced("18 mm", "10 mm", count, more))
    assert [(one.rule, one.mark) for one in told] == [("neighbour distance", n) for n in range(1, count)]
    room = math.floor(gap * 10 + 1e-6) / 10
    assert all(one.found_mm == pytest.approx(gap) and one.limit_mm == 18 for one in told)
    assert f"at most {room:g} mm" in told[0].text and f"{18 / by:g} mm or more" in told[0].text
    assert not failures(spaced(f"{room} mm", "10 mm", count, more))
    assert not failures(spaced("18 mm", "10 mm", 15, more))


def test_feet_that_are_marked_past_an_end_of_a_bent_edge_fail_though_worn_they_lie_on_it() -> None:
    """Across 2 % goes and down 20: near the ends of this edge less than along the whole, by which feet are marked."""
    text = spaced("16 mm", "8 mm", 9, '[shrinkage]\nalong = "20 %"\nacross = "2 %"\nmeasured = "washed"\n')
    text = text.replace('straight = "300 mm"', "points = [[0, 0], [50, 0], [50, 250]]")
    text = text.replace("[garment]", '[garment]\npieces = "pair"').replace(
        'lap = "right', 'cut = "shaped"\nlap = "right'
    )
    placement = check_plan(read_plan(text.encode(), "plan.toml")).placement
    half, marks, length = loop_of(placement).marked_mm / 2, placement.marks, placement.laps.line.length_mm
    past = (half - marks[0].along_mm, half - length + marks[-1].along_mm)
    assert min(past) > 0.3 and placement.as_worn.marks[0].along_mm == pytest.approx(8)
    told = [one for one in failures(text) if one.rule == "end distance"]
    assert [one.mark for one in told] == [1, 9]
    for one in told:
        name, begin, feet = re.search(r"Write (\w+) .* of at least (\S+ mm), or .* at most (\S+ mm)", one.text).groups()
        for mended in (text.replace(f'{name} = "8 mm"', f'{name} = "{begin}"'), text.replace('"16 mm"', f'"{feet}"')):
            assert mended != text
            assert one.mark not in [it.mark for it in failures(mended) if it.rule == "end distance"]


@pytest.mark.parametrize(
    ("state", "layers", "at"),
    [
        ("cut pieces", '[[layer]]\ncloth = "poplin"\ncount = 2\n', 1 / 2),
        # The cloth, its fusible and its facing are drawn alike high: the loop lies behind the fusible.
        ("cut pieces", '[[layer]]\ncloth = "poplin"\ncount = 2\n[[layer]]\ncloth = "light fusible"\n', 2 / 3),
        ("cut pieces", "", 1 / 2),
        ("finished", '[[layer]]\ncloth = "poplin"\ncount = 2\n', None),
    ],
    ids=["faced", "fused", "layers not told", "finished"],
)
def test_picture_of_the_parts_draws_a_loop_past_the_edge_where_it_is_sewn(state: str, layers: str, at: float | None):
    """It is sewn to the edge before the facing, as the order of work tells, and so comes out between the two."""
    text = BODICE.replace('edges = "meeting"', f'edges = "meeting"\nstate = "{state}"') + layers
    items = stack_picture(place_plan(read_plan(text.encode(), "plan.toml")).placement, ("over",)).items
    (cord,) = [box_of(one) for one in items if isinstance(one, Path) and one.pen.width_mm == 0.9]
    cloth = union(box_of(one) for one in items if isinstance(one, Path) and one.pen.fill == 1.0)
    middle = (cord[1] + cord[3]) / 2
    assert cord[0] < cloth[0] - 4.0 and cloth[0] + 4.0 < cord[2] < cloth[2]
    if at is None:
        assert middle > cloth[3]
    else:
        assert middle == pytest.approx(cloth[1] + at * (cloth[3] - cloth[1]), abs=0.01)
    words = [one.text for one in items if isinstance(one, Words)]
    assert ("between the cloth and its facing" in words) == (at is not None) and "loop" in words


def test_loops_in_one_layer_of_cloth_are_caught_by_a_strip() -> None:
    """Common practice: without a facing, a strip sewn over the ends of the loops and turned to the inside holds them."""
    one = re.sub(r"\[\[layer\]\][^\[]*", "", BODICE) + '[[layer]]\ncloth = "cotton poplin"\n'
    words = result_files(place_plan(read_plan(one.encode(), "plan.toml")), "a4")["report.md"].decode()
    work = words.partition("## Order of work")[2]
    told = work.index("here with a strip of thin cloth or a ribbon: the plan tells one layer of cloth")
    sewn = work.index("sew the strip over their ends along that line, turn it to the inside and sew it down")
    assert told < sewn
    assert "Face the edge" not in work and "face the edge" not in work
    assert "Finish the edge of the under lap as a single layer is finished" in work
    two = result_files(place_plan(read_plan(f"{one}count = 2\n".encode(), "plan.toml")), "a4")["report.md"].decode()
    assert "face the edge and turn it" in two and "strip" not in two.partition("## Order of work")[2]


@pytest.mark.parametrize(
    ("cloth", "marked"), [("cotton poplin", "Baste along"), ("leather 2 oz", "Lay paper tape along")]
)
def test_edge_of_loops_is_marked_as_its_cloth_bears(cloth: str, marked: str) -> None:
    text = re.sub(r"\[\[layer\]\][^\[]*", "", BODICE) + f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    words = result_files(place_plan(read_plan(text.encode(), "plan.toml")), "a4")["report.md"].decode()
    assert f"{marked} the finished edge of the over lap" in words


@pytest.mark.parametrize(
    ("kind", "is_ball"), [("loop and ball button", True), ("ball button", True), ("loop and button", False)]
)
def test_picture_of_the_parts_draws_a_ball_button_as_a_ball(kind: str, is_ball: bool):
    fastener = next(one for one in load_catalogue().fasteners if one.kind == kind)
    body = max((box_of(item) for item in figure_of(fastener, "button")()), key=lambda box: box[2] - box[0])
    assert ((body[2] - body[0]) < 1.5 * (body[3] - body[1])) == is_ball


def test_the_trial_of_a_loop_on_a_made_edge_is_sewn_to_a_made_edge() -> None:
    text = (
        '[edge]\nstraight = "300 mm"\n[garment]\nopens = "back"\nstate = "{state}"\nedges = "meeting"\n[band]\n'
        'width = "24 mm"\nlap = "right over left"\n[closure]\nkind = "loop and ball button"\nsize = "16 L"\n[loop]\n'
        'feet = "4 mm"\n[spacing]\ncount = 14\n[[layer]]\ncloth = "silk charmeuse"\ncount = 2\n'
    )
    told = {}
    for state in ("sewn band", "cut pieces"):
        plan = read_plan(text.replace("{state}", state).encode(), "l.toml")
        told[state] = " ".join(step.text for step in advice_of(check_plan(plan)).order.steps)
    assert "Sew one loop to an edge that is finished as the garment's is, and pass" in told["sewn band"]
    assert "Sew one loop into a scrap of the edge, and pass" in told["cut pieces"]
