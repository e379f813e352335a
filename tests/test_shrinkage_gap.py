"""Edges that meet on cloth that shrinks: the gap, a loop's reach and the feet of both halves are as worn.

A wash takes a point (x, y) of the cloth to (x (1 - across), y (1 - along)). Everything here is measured on marks that
were washed so, from the unwashed places of the sheets. Of a hook and an eye only the rings are sewn: these are washed,
and the metal then leads back from them by the length that it keeps.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from shrinking_edges import BENT, LEVEL, SLANTED, UPRIGHT

from closures.app.job import Answer, place_plan, result_files
from closures.app.verified import promises_of
from closures.curve import Curve
from closures.errors import EdgeError
from closures.lengths import format_length
from closures.placing.lacing import lace_of
from closures.placing.lap import Lap
from closures.placing.looped import loop_of
from closures.placing.marking import LapMark
from closures.placing.placed import Placement
from closures.plan.reading import read_plan
from closures.verifying.verify import UnsoundError, require_sound

STRAIGHT = pytest.mark.parametrize("points", [UPRIGHT, SLANTED, LEVEL], ids=["upright", "slanted", "level"])
STATES = pytest.mark.parametrize("state", ["washed", "unwashed"])


def meeting(points: str, state: str, gap: str = "10 mm", band: str = "", closure: str = "", more: str = "") -> Answer:
    closure = closure or 'kind = "hook and eye"\nsize = "2"'
    text = (
        f'[garment]\nopens = "back"\npieces = "pair"\nedges = "meeting"\ngap = "{gap}"\n[edge]\npoints = {points}\n'
        f'[band]\nwidth = "40 mm"\nlap = "right over left"\ncut = "shaped"\n{band}\n[closure]\n{closure}\n'
        f'[spacing]\ncount = 5\nfirst = "25 mm"\nlast = "25 mm"\n{more}'
        f'[shrinkage]\nalong = "10 %"\nacross = "2 %"\nmeasured = "{state}"\n'
    )
    return place_plan(read_plan(text.encode(), "gap.toml"))


def washed_edge(edge: Curve) -> list[tuple[float, float]]:
    steps = 20_000
    points = (edge.point_at(edge.length_mm * k / steps) for k in range(steps + 1))
    return [(0.98 * x, 0.9 * y) for x, y in points]


def from_edge(edge: list[tuple[float, float]], at: tuple[float, float]) -> tuple[float, int]:
    """How far a mark lies from its edge, once both are washed, and beside which of its points."""
    x, y = 0.98 * at[0], 0.9 * at[1]
    return min((math.hypot(x - a, y - b), k) for k, (a, b) in enumerate(edge))


def halves_of(found: Answer) -> list[tuple[tuple[float, int], tuple[float, int]]]:
    placement = found.placement
    over, under = (washed_edge(lap.edge) for lap in placement.laps.both)
    pairs = zip(placement.on("over"), placement.on("under"), strict=True)
    if placement.fastener.family == "hook":
        laps = placement.laps
        return [(metal(over, laps.over, one), metal(under, laps.under, other)) for one, other in pairs]
    return [(from_edge(over, one.at), from_edge(under, other.at)) for one, other in pairs]


# Of size 2 of no told size: 6 mm long and 4 wide, with rings of a fifth of that.
REACH_MM = 6 - 4 / 5


def metal(edge: list[tuple[float, float]], lap: Lap, mark: LapMark) -> tuple[float, int]:
    """How far a working end lies from the washed edge, with a sign, and beside which of its points."""
    (x, y), (nx, ny), (tx, ty) = mark.at, lap.inward(mark.tangent), mark.tangent
    rings = (0.98 * (x + REACH_MM * nx), 0.9 * (y + REACH_MM * ny))
    # Sewn by two rings beside each other, it lies square to the way that leads from one to the other.
    long = math.hypot(0.98 * tx, 0.9 * ty)
    wx, wy = lap.inward((0.98 * tx / long, 0.9 * ty / long))
    end = (rings[0] - REACH_MM * wx, rings[1] - REACH_MM * wy)
    return min((math.dist(end, point), k) for k, point in enumerate(edge))


@STATES
@pytest.mark.parametrize("gap", [0, 4])
@pytest.mark.parametrize("share", [8, 15])
def test_rings_of_hook_and_eye_are_sewn_where_the_wash_brings_them_right(share: int, gap: int, state: str) -> None:
    closure = 'kind = "hook and eye"\nsize = "2"\ncap = "9 mm"'
    text = (
        f'[garment]\nopens = "back"\nedges = "meeting"\ngap = "{gap} mm"\n[edge]\nstraight = "390 mm"\n[band]\n'
        f'width = "26 mm"\nlap = "right over left"\n[closure]\n{closure}\n[spacing]\nfirst = "15 mm"\n'
        f'last = "15 mm"\ncount = 6\n[shrinkage]\nalong = "3 %"\nacross = "{share} %"\nmeasured = "{state}"\n'
    )
    answer = place_plan(read_plan(text.encode(), "gap.toml"))
    files = result_files(answer, "a4")
    left = 1 - share / 100
    # 9 mm long and 4.5 wide: its rings, of 0.9, lie 8.1 behind its end, which lies 1/8 in inside the worn edge.
    inside = {"over": (3.175 + 8.1) / left, "under": (8.1 - 3.175 - gap) / left}
    past = 0.0
    for lap in answer.placement.laps.both:
        rings = re.findall(
            r'class="ring" cx="([\d.]+)"|cx="([\d.]+)"[^>]*class="ring"', files[f"{lap.name}.svg"].decode()
        )
        centres = [mark.at[0] for mark in answer.placement.on(lap.name)]
        assert len(rings) == 12
        sign = lap.inward((0.0, 1.0))[0]
        depth = (centres[0] - lap.edge.point_at(100.0)[0]) * sign
        assert depth + 8.1 == pytest.approx(inside[lap.name], abs=1e-6)
        past = -depth
    told = format_length(past, "mm")
    assert f"The dot of an eye lies {told} past the edge" in files["report.md"].decode()


def test_hook_told_of_unwashed_cloth_is_drawn_where_it_is_told() -> None:
    found = meeting(UPRIGHT, "unwashed", "0 mm", band='inset = "5 mm"').placement
    assert found.on("over")[0].edge_distance_mm == pytest.approx(5)
    # Its rings 5.2 further in come to 98 %, and the metal leads back by 5.2.
    assert found.as_worn.on("over")[0].edge_distance_mm == pytest.approx(0.98 * 10.2 - 5.2)
    with pytest.raises(EdgeError, match="the end of a hook stands out past it once washed"):
        meeting(UPRIGHT, "unwashed", "0 mm", band='inset = "0.1 mm"')


@pytest.mark.in_turn(3)
@STATES
@pytest.mark.parametrize("inset", ["", 'inset = "15 mm"'])
def test_sheets_of_hooks_on_a_bent_edge_are_read_back_by_their_rings(inset: str, state: str) -> None:
    """Washed as the cloth, a dot beside which none is sewn comes out up to 0.04 mm off: the sheets were held back."""
    assert "over.svg" in result_files(meeting(BENT, state, band=inset), "a4")


@STATES
def test_row_beside_the_one_asked_for_is_held_back_by_its_rings(state: str) -> None:
    answer = meeting(BENT, state)
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    require_sound(files, promises)
    off = replace(promises, last_mm=(promises.last_mm[0] + 0.03, promises.last_mm[1] + 0.03))
    with pytest.raises(UnsoundError, match="the last closure lies"):
        require_sound(files, off)


def told_of_hooks(placement: Placement) -> str:
    return next((line for line in placement.assumed if "ook" in line and "inside" in line), "")


@pytest.mark.parametrize("inset", ["", 'inset = "15 mm"'])
def test_hook_inset_on_bent_unwashed_cloth_is_told_from_the_least_to_the_most(inset: str) -> None:
    """Its rings shrink towards the edge by what is lost square across there: 2 % upright, 10 % level; the metal none."""
    placement = meeting(BENT, "unwashed", "0 mm", band=inset).placement
    found = [mark.edge_distance_mm for mark in placement.on("over")]
    told = told_of_hooks(placement)
    figures = re.search(r"lie?s? ([\d.]+) mm to ([\d.]+) mm inside", told)
    assert figures is not None
    low, high = map(float, figures.groups())
    # In the plan's figures: what an end lies further in than its threads is the reach times 1 / left less 1.
    more = [REACH_MM * (1 / left - 1) for left in (0.98, 0.9)]
    threads = 15 - more[1] if inset else 25.4 / 8 / 0.9
    assert (low, high) == (pytest.approx(threads + more[0], abs=0.05), pytest.approx(threads + more[1], abs=0.05))
    assert all(low - 0.05 <= mm <= high + 0.05 for mm in found)
    assert min(found) == pytest.approx(low, abs=0.05) and max(found) == pytest.approx(high, abs=0.05)


def jogged(at_mm: float, radius_mm: float, deg: float) -> Placement:
    """Hooks on a straight edge that slants by so much on some millimetres of it, between two arcs."""
    turn = math.radians(deg)
    aside, down = radius_mm * (1 - math.cos(turn)), radius_mm * math.sin(turn)
    arcs = (
        f"A {radius_mm} {radius_mm} 0 0 1 {250 - aside:.9f} {at_mm + down:.9f} "
        f"A {radius_mm} {radius_mm} 0 0 0 {250 - 2 * aside:.9f} {at_mm + 2 * down:.9f}"
    )
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="1000mm" viewBox="0 0 500 1000">'
        f'<path id="e" d="M 250 10 V {at_mm} {arcs} V 910"/></svg>'
    )
    text = (
        'drawing = "f.svg"\n[garment]\nopens = "back"\npieces = "pair"\nedges = "meeting"\n[edge]\npath = "e"\n'
        '[band]\nwidth = "18 mm"\nlap = "right over left"\ncut = "shaped"\n[closure]\nkind = "hook and eye"\n'
        'size = "2"\n[spacing]\ncount = 5\nfirst = "25 mm"\nlast = "25 mm"\n'
        '[shrinkage]\nalong = "10 %"\nacross = "2 %"\nmeasured = "unwashed"\n'
    )
    return place_plan(read_plan(text.encode(), "gap.toml"), {"f.svg": svg.encode()}).placement


@pytest.mark.parametrize(("at_mm", "radius_mm", "deg"), [(300, 20, 50), (303, 20, 50), (297, 25, 40), (437, 20, 70)])
def test_hook_inset_keeps_clear_of_the_edge_however_short_the_stretch_that_shrinks_most(
    at_mm: float, radius_mm: float, deg: float
) -> None:
    """Looked at every 14 mm, an edge that slants on 7 mm of it was told up to 0.2 mm too little.

    By itself: two lines 1 mm apart are washed as points, and the distance between them is measured, at 5,000 slants.
    """
    lefts = []
    for k in range(5001):
        slant = math.radians(deg) * k / 5000
        along, across = (
            (0.98 * math.sin(slant), 0.9 * math.cos(slant)),
            (0.98 * math.cos(slant), -0.9 * math.sin(slant)),
        )
        lefts.append(abs(along[0] * across[1] - along[1] * across[0]) / math.hypot(*along))
    least, most = min(lefts), max(lefts)
    figures = re.search(r"lies ([\d.]+) mm to ([\d.]+) mm inside", told_of_hooks(jogged(at_mm, radius_mm, deg)))
    assert figures is not None
    threads = 25.4 / 8 / least
    assert float(figures[1]) == pytest.approx(threads + REACH_MM * (1 / most - 1), abs=0.0501)
    assert float(figures[2]) == pytest.approx(threads + REACH_MM * (1 / least - 1), abs=0.0501)


@STRAIGHT
def test_hook_inset_on_a_straight_edge_is_one_figure(points: str) -> None:
    assert told_of_hooks(meeting(points, "unwashed", "0 mm", band='inset = "15 mm"').placement) == ""
    assert " to " not in told_of_hooks(meeting(points, "unwashed", "0 mm").placement).split("inside")[0]


def test_hook_and_eye_on_laps_each_lie_by_their_own_rings() -> None:
    text = (
        '[garment]\nopens = "back"\n[edge]\nstraight = "390 mm"\n[band]\nwidth = "26 mm"\ninset = "4 mm"\n'
        'under_inset = "12 mm"\nlap = "right over left"\n[closure]\nkind = "hook and eye"\nsize = "2"\ncap = "9 mm"\n'
        '[spacing]\nfirst = "15 mm"\nlast = "15 mm"\ncount = 6\n[shrinkage]\nalong = "3 %"\nacross = "8 %"\n'
        'measured = "washed"\n'
    )
    answer = place_plan(read_plan(text.encode(), "laps.toml"))
    # Where edges lap the eye is a straight one: it is sewn down at both its ends, beside the place where the hook holds.
    for lap, inside, back in (("over", 4, 8.1), ("under", 12, 0.0)):
        for mark in answer.placement.on(lap):
            assert mark.edge_distance_mm == pytest.approx((inside + back) / 0.92 - back)
    assert b"over-6" in result_files(answer, "a4")["over.svg"]


def test_hooks_of_unlike_lengths_in_a_row_that_shrinks_are_refused() -> None:
    more = '[[differs]]\nkind = "hook and eye"\nsize = "3"\ncap = "14 mm"\nmark = 3\n'
    with pytest.raises(EdgeError, match="a hook keeps its length while the cloth shrinks"):
        meeting(UPRIGHT, "washed", more=more)


@STATES
@STRAIGHT
def test_bow_stands_out_by_the_gap_that_is_worn_whatever_the_cloth_was_measured_in(points: str, state: str) -> None:
    for (hook, _), (bow, _) in halves_of(meeting(points, state)):
        # An eighth of an inch inside the worn edge; and as much past it, with the gap.
        assert hook == pytest.approx(3.175, abs=0.001)
        assert bow == pytest.approx(3.175 + 10, abs=0.001)


@STATES
@pytest.mark.parametrize("inset", ["", 'inset = "15 mm"'])
def test_gap_is_the_same_all_along_a_bent_edge_once_washed(inset: str, state: str) -> None:
    for (hook, _), (bow, _) in halves_of(meeting(BENT, state, band=inset)):
        assert bow - hook == pytest.approx(10, abs=0.02)


@STATES
@pytest.mark.parametrize("gap", ["0 mm", "10 mm"])
def test_both_halves_have_one_foot_on_their_washed_edges_also_round_a_bend(gap: str, state: str) -> None:
    found = meeting(BENT, state, gap, band='inset = "15 mm"')
    for (_, one), (_, other) in halves_of(found):
        # Samples lie 0.03 mm apart.
        assert abs(one - other) <= 1


LOOPS = 'kind = "loop and button"\nsize = "20 L"\nthickness = "3 mm"'


@STATES
@STRAIGHT
def test_loop_that_nobody_told_reaches_the_button_across_the_worn_gap(points: str, state: str) -> None:
    found = meeting(points, state, "4 mm", closure=LOOPS)
    loop = loop_of(found.placement)
    assert loop is not None
    for (at_edge, _), (button, _) in halves_of(found):
        assert at_edge == pytest.approx(0, abs=0.02)
        # 20 L are 12.7 mm: half of it and 1/4 in inside its edge, as worn.
        assert button == pytest.approx(12.7 / 2 + 6.35, abs=0.001)
        assert loop.reach_mm == pytest.approx(button + 4, abs=0.001)


@STATES
@STRAIGHT
def test_loop_reaches_as_far_as_the_told_button_lies_once_washed(points: str, state: str) -> None:
    found = meeting(points, state, "4 mm", 'under_inset = "16 mm"', LOOPS)
    loop = loop_of(found.placement)
    assert loop is not None
    for _, (button, _) in halves_of(found):
        assert loop.reach_mm == pytest.approx(button + 4, abs=0.001)
        if state == "washed":
            assert button == pytest.approx(16, abs=0.001)


def test_button_told_too_near_is_refused_in_the_figures_of_the_plan_and_the_one_offered_is_taken() -> None:
    with pytest.raises(EdgeError, match="a loop to a button 9 mm inside its edge") as refused:
        meeting(LEVEL, "unwashed", "4 mm", 'under_inset = "9 mm"', LOOPS)
    told = str(refused.value)
    offered = told.split("Write ")[1].split(" or more")[0]
    assert "under.svg" in result_files(meeting(LEVEL, "unwashed", "4 mm", f'under_inset = "{offered}"', LOOPS), "a4")


@STATES
@STRAIGHT
def test_lace_is_as_long_as_the_worn_garment_asks_for(points: str, state: str) -> None:
    more = '[lacing]\nway = "ladder"\n'
    eyelets = 'kind = "eyelet"\nsize = "5.5 mm"'
    found = meeting(points, state, "30 mm", 'inset = "15 mm"', eyelets, more)
    lace = lace_of(found.placement)
    assert lace is not None
    across = [one + other + 30 for (one, _), (other, _) in halves_of(found)]
    at = [(0.98 * mark.at[0], 0.9 * mark.at[1]) for mark in found.placement.on("over")]
    assert lace.across_mm == pytest.approx(across[0], abs=0.001)
    # Both ends run down their own side from pair to pair, and cross level at every pair; a bar at the first.
    assert lace.worn_mm == pytest.approx(across[0] + 2 * math.dist(at[0], at[-1]) + 2 * sum(across[1:]), abs=0.01)


@pytest.mark.parametrize(("state", "begin"), [("washed", "6.4 mm"), ("unwashed", "7.1 mm")])
def test_loop_far_from_its_end_is_told_where_to_begin_in_the_figures_of_the_plan(state: str, begin: str) -> None:
    # Half of 12.7 mm from the worn end; down the drawing 10 % goes.
    said = [one.text for one in meeting(UPRIGHT, state, "4 mm", closure=LOOPS).findings if one.rule == "end distance"]
    assert f"here from {begin} on" in said[0]
