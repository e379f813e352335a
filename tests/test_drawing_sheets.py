"""Sheets: what a lap's drawing shows and says, and that nothing on it is in the way of anything else."""

import math
from dataclasses import replace
from functools import cache

import pytest
from paper_sets import PLAN, USUAL, answer_of, words_on_lines

from closures.app.job import Answer, check_plan, place_plan
from closures.checks.finding import Finding
from closures.drawing.ink.extents import box_of, grown, is_apart
from closures.drawing.ink.lettering import CAP_HEIGHT, width_of
from closures.drawing.ink.room import points_on
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Words
from closures.drawing.ink.type_scale import LEAST_CAPITALS_MM
from closures.drawing.paper.whole_sheet import whole_furniture
from closures.drawing.sheets.drawing import draw_sheets
from closures.drawing.sheets.sheet import Sheet, failures_in_words
from closures.plan.reading import read_plan

PLANS = {
    "curved front": """
        title = "Furrow dress"
        units = "mm"
        [edge]
        points = [["0 mm","0 mm"], ["14 mm","90 mm"], ["24 mm","200 mm"], ["12 mm","330 mm"], ["0 mm","620 mm"]]
        [garment]
        pieces = "separate"

        [band]
        width = "38 mm"
        lap = "right over left"
        [closure]
        kind = "prong snap"
        size = "16 L"
        [spacing]
        first = "16 mm"
        last = { from = "40 mm", to = "90 mm" }
        pitch = "76 mm"
        [[anchor]]
        name = "bust point"
        level = "235 mm"
        within = "2 mm"
        [[clear]]
        name = "belt"
        level = ["385 mm", "395 mm"]
    """,
    "buttoned coat in inches": """
        title = "Harbour coat"
        units = "in"
        [edge]
        straight = "24 in"
        [garment]
        pieces = "separate"

        [band]
        width = "2 1/2 in"
        lap = "left over right"
        [closure]
        kind = "sew-through button"
        size = "32 L"
        hole = "across"
        [spacing]
        first = "1 in"
        last = "3 in"
        count = 6
    """,
    "dense hooks": """
        title = "Corset back"
        units = "mm"
        [edge]
        straight = "320 mm"
        [garment]
        pieces = "separate"

        [band]
        width = "30 mm"
        inset = "12 mm"
        lap = "right over left"
        [closure]
        kind = "hook and eye"
        size = "2"
        cap = "6 mm"
        [spacing]
        first = "10 mm"
        last = "10 mm"
        count = 26
    """,
    "arched flap": """
        title = "Pebble romper"
        units = "mm"
        [edge]
        arc = { length = "330 mm", radius = "140 mm", bows = "in" }
        [garment]
        pieces = "separate"

        [band]
        width = "26 mm"
        lap = "left over right"
        [closure]
        kind = "plastic snap"
        size = "20"
        [spacing]
        first = "14 mm"
        last = "14 mm"
        count = 7
    """,
}
SIDES = [(name, lap, face) for name in PLANS for lap in ("over", "under") for face in ("outside", "inside")]


@cache
def answer(name: str) -> Answer:
    return check_plan(read_plan(PLANS[name].encode(), f"{name}.toml"))


@cache
def sheet(name: str, lap: str, face: str = "outside", findings: tuple[Finding, ...] = ()) -> Sheet:
    found = answer(name)
    over, under = draw_sheets(found.placement, findings, found.catalogue, face)  # type: ignore[arg-type]
    return over if lap == "over" else under


def furniture(drawn: Sheet) -> tuple[Item, ...]:
    """Everything round a sheet's drawing but the rules."""
    return whole_furniture(drawn.box, drawn.text, drawn.orientations, drawn.lap == "over")[2]


def leaves(items: tuple[Item, ...]) -> list[Item]:
    flat: list[Item] = []
    for item in items:
        flat += leaves(item.items) if isinstance(item, Group) else [item]
    return flat


def words_on(items: tuple[Item, ...]) -> list[Words]:
    return [item for item in leaves(items) if isinstance(item, Words)]


def group(drawn: Sheet, name: str) -> Group:
    (only,) = [item for item in drawn.drawing if isinstance(item, Group) and item.id == name]
    return only


def centre(drawn: Sheet, n: int) -> Circle:
    (only,) = [i for i in group(drawn, f"{drawn.lap}-{n}").items if isinstance(i, Circle) and i.role == "centre"]
    return only


def overlaps(boxes: list[tuple[float, float, float, float]]) -> list[tuple[int, int]]:
    return [
        (i, j)
        for i, one in enumerate(boxes)
        for j in range(i + 1, len(boxes))
        if not is_apart(grown(one, -0.05), grown(boxes[j], -0.05))
    ]


@pytest.mark.parametrize(("name", "lap", "face"), SIDES, ids=["-".join(side) for side in SIDES])
def test_words_of_a_sheet_do_not_overlap(name: str, lap: str, face: str) -> None:
    drawn = sheet(name, lap, face)
    words = words_on((*furniture(drawn), *drawn.drawing))
    level = [w for w in words if not w.angle_deg]
    found = overlaps([box_of(w) for w in level])
    assert [(level[i].text, level[j].text) for i, j in found] == []


def test_overlap_of_words_would_be_seen() -> None:
    words = [Words(0, 0, "7", 7.0), Words(1, 1, "8", 7.0)]
    assert overlaps([box_of(w) for w in words]) == [(0, 1)]


@pytest.mark.parametrize(("name", "lap", "face"), SIDES, ids=["-".join(side) for side in SIDES])
def test_words_of_a_sheet_stand_on_no_line_and_no_mark(name: str, lap: str, face: str) -> None:
    drawn = sheet(name, lap, face)
    inked = [
        point
        for item in group(drawn, "band").items
        if isinstance(item, Path)
        for point in points_on(item.commands, 1.0)
    ]
    marks = [box_of(item) for item in drawn.drawing if isinstance(item, Group) and item.id.startswith(f"{lap}-")]
    for words in words_on((group(drawn, "words"),)):
        if words.angle_deg % 90.0:
            continue
        x0, y0, x1, y1 = grown(box_of(words), -0.1)
        assert not [p for p in inked if x0 < p[0] < x1 and y0 < p[1] < y1], words.text
        assert all(is_apart((x0, y0, x1, y1), mark) for mark in marks), words.text


@pytest.mark.parametrize(("name", "lap", "face"), SIDES, ids=["-".join(side) for side in SIDES])
def test_marks_stand_where_the_report_says(name: str, lap: str, face: str) -> None:
    drawn = sheet(name, lap, face)
    ox, oy = drawn.origin_mm
    assert drawn.flipped == (face == "inside")
    for mark in answer(name).placement.marks:
        dot = centre(drawn, mark.n)
        x = ox - mark.x_mm if drawn.flipped else mark.x_mm + ox
        assert (dot.x, dot.y) == pytest.approx((x, mark.y_mm + oy), abs=1e-9)


@pytest.mark.parametrize("name", PLANS)
def test_both_laps_mark_the_same_points(name: str) -> None:
    over, under = sheet(name, "over"), sheet(name, "under")
    for mark in answer(name).placement.marks:
        one, other = centre(over, mark.n), centre(under, mark.n)
        moved = (
            other.x - under.origin_mm[0] + over.origin_mm[0],
            other.y - under.origin_mm[1] + over.origin_mm[1],
        )
        assert (one.x, one.y) == pytest.approx(moved, abs=1e-9)


@pytest.mark.parametrize(("name", "lap", "face"), SIDES, ids=["-".join(side) for side in SIDES])
def test_everything_lies_on_the_sheet(name: str, lap: str, face: str) -> None:
    drawn = sheet(name, lap, face)
    frame, rules, items = whole_furniture(drawn.box, drawn.text, drawn.orientations, lap == "over")
    assert drawn.size_mm == (frame.width_mm, frame.height_mm)
    for item in (*rules, *items, *drawn.drawing):
        x0, y0, x1, y1 = box_of(item)
        assert x0 >= 9.5 and y0 >= 9.5 and x1 <= frame.width_mm - 9.5 and y1 <= frame.height_mm - 9.5


@pytest.mark.parametrize("name", ["curved-front", "cuff", "hook-back", "waistband", "shirt-swap", "laced-bodice"])
def test_words_round_a_whole_sheet_are_large_where_large_ones_are_asked_for(name: str) -> None:
    """The drawing grew, and the title, the key and the check distances beside it did not."""
    for drawn in answer_of(name, large=True).sheets:
        frame, rules, items = whole_furniture(drawn.box, drawn.text, drawn.orientations, drawn.lap == "over")
        assert drawn.size_mm == (frame.width_mm, frame.height_mm)
        said = [one for one in words_on(items) if one.text not in ("1:1", "over", "under")]
        assert drawn.title in [one.text for one in said]
        # Within a square to measure, and in a head of one row each, a long name is set smaller, and never as small as usual.
        small = [one for one in said if one.size_mm * CAP_HEIGHT < 1.5 * LEAST_CAPITALS_MM - 1e-6]
        assert {one.text for one in small} <= {drawn.text.lap_words, drawn.text.closure, *drawn.text.ways}
        assert all(one.size_mm * CAP_HEIGHT >= LEAST_CAPITALS_MM for one in small)
        assert not words_on_lines((*items, *rules)), name
        boxes = [(one.text, grown(box_of(one), -0.1)) for one in words_on(items)]
        for k, (text, box) in enumerate(boxes):
            assert all(is_apart(box, other) for _, other in boxes[:k]), text
        for item in (*rules, *items, *drawn.drawing):
            x0, y0, x1, y1 = box_of(item)
            assert x0 >= 9.5 and y0 >= 9.5 and x1 <= frame.width_mm - 9.5 and y1 <= frame.height_mm - 9.5


@pytest.mark.parametrize(("name", "lap", "face"), SIDES, ids=["-".join(side) for side in SIDES])
def test_sheet_says_which_lap_and_face_and_where_the_ends_lie(name: str, lap: str, face: str) -> None:
    drawn = sheet(name, lap, face)
    said = [w.text for w in words_on((*furniture(drawn), *drawn.drawing))]
    side = answer(name).placement.laps.over.side if lap == "over" else answer(name).placement.laps.under.side
    assert f"{lap.upper()} LAP — wearer's {side} — {face} face up" in said
    for words in (
        "50 mm",
        "2 in",
        "void unless this square",
        "measures 50 mm",
        "first end",
        "last end",
        "finished edge",
    ):
        assert words in said
    for mark in answer(name).placement.marks:
        assert str(mark.n) in said


def test_corner_points_to_the_edge_on_opposite_sides_of_the_two_laps() -> None:
    over, under = sheet("curved front", "over"), sheet("curved front", "under")
    for one, other in zip(over.orientations, under.orientations, strict=True):
        assert one.to_first_end == other.to_first_end
        assert one.to_edge == pytest.approx((-other.to_edge[0], -other.to_edge[1]))


def test_corner_and_edge_agree_on_the_drawing() -> None:
    for name, lap, face in SIDES:
        drawn = sheet(name, lap, face)
        edge = list(points_on(drawn.edge.commands, 1.0))
        for course in drawn.orientations:
            nearest = min(edge, key=lambda point: math.dist(point, course.at))
            way = (nearest[0] - course.at[0], nearest[1] - course.at[1])
            assert (way[0] * course.to_edge[0] + way[1] * course.to_edge[1]) / math.hypot(*way) > 0.99


def test_running_distances_are_rounded_once_each() -> None:
    said = {w.text for w in words_on(sheet("buttoned coat in inches", "over").drawing)}
    # 24 in, first at 1 in, last at 21 in, six buttons: every 4 in.
    for k in range(6):
        assert f"{1 + 4 * k} in" in said
    assert "127 mm" in said


def test_buttonhole_runs_across_and_past_the_mark_towards_the_edge() -> None:
    # Length is diameter and thickness, its end 1/8 in past the mark: Univ. of Minnesota, Bulletin 576, 1965.
    drawn = sheet("buttoned coat in inches", "over")
    thickness = answer("buttoned coat in inches").placement.fastener.thickness
    assert thickness is not None
    slit = max(
        (i for i in group(drawn, "over-1").items if isinstance(i, Path) and len(i.commands) == 2),
        key=lambda path: box_of(path)[2] - box_of(path)[0],
    )
    x0, y0, x1, y1 = box_of(slit)
    # Of a button that is not measured, the middle of the usual thicknesses.
    thick = (thickness[0].value + thickness[1].value) / 2
    assert x1 - x0 == pytest.approx(0.635 * 32 + thick) and y0 == pytest.approx(y1)
    way = drawn.orientations[0].to_edge[0]
    past = (x1 - centre(drawn, 1).x) if way > 0 else (centre(drawn, 1).x - x0)
    assert past == pytest.approx(25.4 / 8)


def test_clear_zone_is_hatched_between_its_levels() -> None:
    drawn = sheet("curved front", "over")
    zones = [item for item in drawn.drawing if isinstance(item, Group) and item.id.startswith("clear-belt")]
    assert len(zones) == 1
    _, y0, _, y1 = box_of(zones[0].items[0])
    oy = drawn.origin_mm[1]
    # The band leans a little, so the hatched part of it reaches a little past the levels of its line.
    assert y0 - oy == pytest.approx(385.0, abs=3.0) and y1 - oy == pytest.approx(395.0, abs=3.0)


def test_failed_checks_stand_on_both_sheets_and_pages() -> None:
    findings = (
        Finding("edge distance", "fail", "", "", "over", 3),
        Finding("edge distance", "fail", "", "", "over", 5),
        Finding("curve", "fail", "", ""),
        Finding("ridge", "warn", "", "", "under", 2),
    )
    assert failures_in_words(findings, "lap") == "edge distance, over lap: marks 3 and 5; curve"
    for lap in ("over", "under"):
        words = words_on(furniture(sheet("curved front", lap, "outside", findings)))
        assert any(w.text.startswith("CHECK FAILED: edge distance") for w in words)
    assert not any("FAILED" in w.text for w in words_on(furniture(sheet("curved front", "over"))))


def test_laps_that_fail_alike_are_named_together_and_runs_of_marks_are_short() -> None:
    findings = tuple(Finding("band width", "fail", "", "", lap, n) for lap in ("over", "under") for n in range(1, 15))
    apart = (*findings, Finding("layer thickness", "fail", "", "", "under", 2))
    assert failures_in_words(apart, "lap") == "band width, both laps: marks 1 to 14; layer thickness, under lap: mark 2"


def test_failures_too_many_for_the_strip_are_counted_and_still_point_to_the_report() -> None:
    names = (
        "edge distance",
        "neighbour distance",
        "band width",
        "layer thickness",
        "buttonhole",
        "clear zone",
        "ridge",
    )
    findings = tuple(Finding(name, "fail", "", "", "over", n) for n, name in enumerate(names, 1))
    drawn = sheet("curved front", "over", "outside", findings)
    told = " ".join(w.text for w in words_on(furniture(drawn)) if "CHECK FAILED" in w.text or "mark " in w.text)
    told = told[told.index("CHECK FAILED") :]
    assert all(f"{name}, over lap: mark" in told for name in names) or "more. See the report." in told


@pytest.mark.parametrize("lap", ["over", "under"])
@pytest.mark.parametrize("level", range(100, 260, 20))
def test_name_of_the_edge_meets_no_leader_of_an_anchor(lap: str, level: int) -> None:
    text = PLANS["curved front"].replace('level = "235 mm"', f'level = "{level} mm"').replace('within = "2 mm"', "")
    found = check_plan(read_plan(text.encode(), "plan.toml"), None)
    drawn = next(one for one in draw_sheets(found.placement, (), found.catalogue, "outside") if one.lap == lap)
    words = group(drawn, "words")
    assert "finished edge" in [one.text for one in words_on((words,))]
    leaders = [[p for p in points_on(item.commands, 0.5)] for item in leaves((words,)) if isinstance(item, Path)]
    for one in words_on((words,)):
        if one.text == "finished edge":
            turn = math.radians(-one.angle_deg)
            half = width_of(one.text, one.size_mm, one.weight) / 2
            for x, y in (point for leader in leaders for point in leader):
                along = (x - one.x) * math.cos(turn) - (y - one.y) * math.sin(turn)
                below = (x - one.x) * math.sin(turn) + (y - one.y) * math.cos(turn)
                assert not (abs(along) < half and -0.7 * one.size_mm < below < 0.2 * one.size_mm)


def test_long_title_is_fitted_to_the_head() -> None:
    found = answer("curved front")
    long = replace(found.placement, plan=replace(found.placement.plan, title="A very long title " * 12))
    drawn, _ = draw_sheets(long, (), found.catalogue)
    heads = [w for w in words_on(furniture(drawn)) if w.y < 40]
    assert all(box_of(w)[2] <= drawn.size_mm[0] - 9.9 for w in heads)
    assert overlaps([box_of(w) for w in heads]) == []


def test_check_distance_is_the_straight_way_from_first_to_last_mark() -> None:
    said = [w.text for w in words_on(furniture(sheet("dense hooks", "over")))]
    assert "300 mm / 11 13/16 in" in said


def test_mark_that_a_lap_does_not_carry_is_not_drawn_there() -> None:
    found = answer("buttoned coat in inches")
    marks = tuple(replace(m, under=None) if m.n == 2 else m for m in found.placement.marks)
    over, under = draw_sheets(replace(found.placement, marks=marks), (), found.catalogue)
    assert [m.n for m in over.keep_clear] == [1, 2, 3, 4, 5, 6]
    assert [m.n for m in under.keep_clear] == [1, 3, 4, 5, 6]
    assert "under-2" not in {item.id for item in under.drawing if isinstance(item, Group)}
    assert "6 on this lap" in over.text.closure and "5 on this lap" in under.text.closure


def test_single_mark_makes_a_sheet_without_a_check_distance() -> None:
    found = answer("dense hooks")
    lone = replace(found.placement, marks=found.placement.marks[:1])
    drawn, _ = draw_sheets(lone, (), found.catalogue)
    assert drawn.text.check == () and len(drawn.keep_clear) == 1


@pytest.mark.parametrize("size", ["24 L", "40 L"])
def test_button_with_a_shank_is_sewn_on_at_its_mark_alone(size: str) -> None:
    """Two holes were drawn, of a large one 8 mm apart: a shank is sewn on in one place. Common practice."""
    text = PLAN.format(**(USUAL | {"kind": "shank button", "size": size, "width": "60 mm"}))
    answer = place_plan(read_plan(text.encode(), "plan.toml"), None)
    mark = next(one for one in answer.sheets[1].drawing if isinstance(one, Group) and one.id == "under-1")
    circles = [one for one in leaves(mark.items) if isinstance(one, Circle)]
    (centre,) = [one for one in circles if one.role == "centre"]
    (shank,) = [one for one in circles if one.role == "stitch"]
    assert (shank.x, shank.y) == (centre.x, centre.y)
    assert "stitch ring" in answer.sheets[1].text.signs and "stitch" not in answer.sheets[1].text.signs


@pytest.mark.parametrize(("way", "is_level"), [("across", True), ("along", False)])
def test_stitches_of_a_button_lie_in_line_with_its_buttonhole(way: str, is_level: bool) -> None:
    text = PLAN.format(**(USUAL | {"kind": "sew-through button", "size": "18 L", "closure": f'hole = "{way}"'}))
    answer = place_plan(read_plan(text.encode(), "plan.toml"), None)
    mark = next(one for one in answer.sheets[1].drawing if isinstance(one, Group) and one.id == "under-1")
    circles = [one for one in leaves(mark.items) if isinstance(one, Circle) and one.role == "stitch"]
    (ax, ay), (bx, by) = ((one.x, one.y) for one in circles)
    # The closing line runs straight down.
    assert (abs(ax - bx) > 2.0) == is_level and (abs(ay - by) > 2.0) != is_level
