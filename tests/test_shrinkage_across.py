"""Figures that are offered for unwashed cloth, where lines lean: each holds by the way that it lies, once washed.

A wash takes a point (x, y) of the cloth to (x (1 - across), y (1 - along)). What lies between two parallels of unit
direction (c, s) is then (1 - across) (1 - along) / hypot((1 - across) c, (1 - along) s) times as much.
"""

from __future__ import annotations

import math
import re

import pytest

from closures.app.job import Answer, place_plan
from closures.errors import ClosureError
from closures.plan.reading import read_plan

LEVEL = '[["0 mm","0 mm"], ["760 mm","0 mm"]]'
SLANTED = '[["0 mm","0 mm"], ["460 mm","600 mm"]]'
UPRIGHT = '[["0 mm","0 mm"], ["0 mm","760 mm"]]'
WAYS = {UPRIGHT: (0.0, 1.0), SLANTED: (460 / math.hypot(460, 600), 600 / math.hypot(460, 600)), LEVEL: (1.0, 0.0)}
EDGES = pytest.mark.parametrize("points", [UPRIGHT, SLANTED, LEVEL], ids=["upright", "slanted", "level"])
# Grain up and grain across: it loses most down the drawing, or across it.
SHARES = pytest.mark.parametrize("shares", [(0.12, 0.01), (0.01, 0.12)], ids=["most down", "most across"])


def left(points: str, shares: tuple[float, float]) -> float:
    """By what a length square across the line becomes shorter in the wash."""
    (c, s), y, x = WAYS[points], 1 - shares[0], 1 - shares[1]
    return x * y / math.hypot(x * c, y * s)


def coat(points: str, shares: tuple[float, float], apart: str = "60 mm", band: str = "", more: str = "") -> Answer:
    band = band or 'width = "190 mm"\ninset = "28 mm"'
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {points}\n[band]\n{band}\n'
        'lap = "right over left"\ncut = "shaped"\n[closure]\nkind = "sew-through button"\nsize = "36 L"\n'
        'thickness = "4 mm"\n[spacing]\nfirst = "60 mm"\nlast = "300 mm"\ncount = 4\n'
        + (f'[column]\napart = "{apart}"\nworks = false\n' if apart else "")
        + f'[[layer]]\ncloth = "melton"\ncount = 2\n{more}[shrinkage]\nalong = "{100 * shares[0]:g} %"\n'
        f'across = "{100 * shares[1]:g} %"\nmeasured = "unwashed"\n'
    )
    return place_plan(read_plan(text.encode(), "coat.toml"))


def offered(text: str) -> float:
    found = re.search(r"Write ([0-9.]+) mm or more as apart", text)
    assert found, text
    return float(found[1])


@SHARES
@EDGES
def test_least_distance_of_columns_is_the_one_with_which_they_have_room_once_washed(
    points: str, shares: tuple[float, float]
) -> None:
    with pytest.raises(ClosureError, match="run into each other") as refused:
        coat(points, shares, "20 mm")
    figure = offered(str(refused.value))

    def said(apart: float) -> list[str]:
        return [one.result for one in coat(points, shares, f"{apart:g} mm").findings if one.rule == "columns apart"]

    assert said(figure) == ["pass"]
    assert "pass" not in said(figure - 1)


@SHARES
@EDGES
def test_columns_run_into_each_other_where_the_washed_ones_do(points: str, shares: tuple[float, float]) -> None:
    # 36 L are 22.86 mm: so far apart two of them touch.
    touching = 22.86 / left(points, shares)
    with pytest.raises(ClosureError, match="run into each other"):
        coat(points, shares, f"{touching - 0.05:.3f} mm")
    coat(points, shares, f"{touching + 0.05:.3f} mm")


# Diameter, thickness and an eighth in bulky cloth; and the cloth that is wanted beyond it.
HOLE = 22.86 + 4 + 3.175
RIDGE = 3.0


@pytest.mark.parametrize("state", ["washed", "unwashed"])
@pytest.mark.parametrize("short", [-0.3, -0.02, 0.02, 0.3])
@SHARES
@EDGES
def test_way_of_buttonholes_is_that_for_which_the_washed_band_has_room(
    points: str, shares: tuple[float, float], short: float, state: str
) -> None:
    # Across, a hole begins 1/8 in outside its mark.
    by = left(points, shares) if state == "unwashed" else 1.0
    inset = 30 / by
    width = inset + (HOLE - 3.175 + RIDGE - short) / by
    band = f'width = "{width:.5f} mm"\ninset = "{inset:.5f} mm"'
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {points}\n[band]\n{band}\n'
        'lap = "right over left"\ncut = "shaped"\n[closure]\nkind = "sew-through button"\nsize = "36 L"\n'
        'thickness = "4 mm"\n[spacing]\nfirst = "60 mm"\nlast = "300 mm"\ncount = 4\n'
        '[[layer]]\ncloth = "melton"\ncount = 2\n[shrinkage]\n'
        f'along = "{100 * shares[0]:g} %"\nacross = "{100 * shares[1]:g} %"\nmeasured = "{state}"\n'
    )
    placement = place_plan(read_plan(text.encode(), "coat.toml")).placement
    ways = (placement.plan.closure.hole, placement.as_worn.plan.closure.hole)
    assert ways == (("along", "along") if short > 0 else ("across", "across"))


@EDGES
@SHARES
def test_wider_inset_that_is_asked_for_is_enough_and_hardly_more(points: str, shares: tuple[float, float]) -> None:
    def told(inset: float) -> list[str]:
        found = coat(points, shares, "", f'width = "120 mm"\ninset = "{inset:.2f} mm"')
        return [one.text for one in found.findings if one.rule == "edge distance" and one.result != "pass"]

    first = told(17.2)
    by = [float(re.search(r"Widen .*inset.* by ([0-9.]+) mm", text)[1]) for text in first]  # type: ignore[index]
    assert by and told(17.2 + max(by)) == []
    assert told(17.2 + max(by) - 0.15)


BENT = (
    '[["0 mm","0 mm"], ["0 mm","150 mm"], ["0 mm","300 mm"], ["-25 mm","400 mm"], ["-110 mm","470 mm"], '
    '["-210 mm","490 mm"]]'
)


def bent(spacing: str, more: str = "", points: str = BENT) -> Answer:
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {points}\n[band]\nwidth = "40 mm"\n'
        'inset = "20 mm"\nunder_inset = "20 mm"\ncut = "shaped"\nlap = "left over right"\n[closure]\n'
        f'kind = "prong snap"\nsize = "16 L"\n[spacing]\n{spacing}\n{more}'
        '[shrinkage]\nalong = "20 %"\nacross = "0 %"\nmeasured = "unwashed"\n'
    )
    return place_plan(read_plan(text.encode(), "bent.toml"))


@pytest.mark.parametrize(("along", "by"), [(100, 0.8), (560, 1.0)], ids=["straight down", "nearly level"])
def test_anchor_holds_a_closure_as_near_as_it_was_told_of_the_cloth_where_it_lies(along: float, by: float) -> None:
    anchor = f'[[anchor]]\nname = "strain"\nalong = "{along} mm"\nwithin = "10 mm"\n'
    found = bent('first = "25 mm"\nlast = "25 mm"\ncount = 7', anchor)
    (placed,) = found.placement.as_worn.anchors
    assert placed.within_mm == pytest.approx(10 * by, rel=0.03)
    line = found.placement.laps.line
    marks = [line.nearest((mark.x_mm, mark.y_mm)).along_mm for mark in found.placement.marks]
    assert min(abs(mark - along) for mark in marks) <= 10.05


def test_end_that_is_offered_for_a_range_is_far_enough_in_where_the_edge_runs_level() -> None:
    def said(last: str, more: str = "") -> list[str]:
        found = bent(f'first = "25 mm"\nlast = {last}\ncount = 7', more).findings
        return [one.text for one in found if one.rule == "end distance" and one.result == "warn"]

    length = bent('first = "25 mm"\nlast = "25 mm"\ncount = 7').placement.laps.line.length_mm
    near = f'[[anchor]]\nname = "tip"\nalong = "{length - 9:.3f} mm"\n'
    (text,) = said('{ from = "8 mm", to = "30 mm" }', near)
    offer = re.search(r"Let last under \[spacing\] begin at ([0-9.]+) mm", text)
    assert offer
    # There it loses next to nothing: what is told is worn, and by the mean of the line 1.8 mm more was asked for.
    assert float(offer[1]) == pytest.approx(12.7, abs=0.2)
    assert said(f'"{offer[1]} mm"') == []


def test_band_and_inset_of_either_lap_are_narrower_once_washed_by_what_is_lost_across() -> None:
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {UPRIGHT}\n[band]\nwidth = "40 mm"\n'
        'under_width = "50 mm"\ninset = "18 mm"\nunder_inset = "22 mm"\nlap = "right over left"\n[closure]\n'
        'kind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 4\nfirst = "20 mm"\nlast = "20 mm"\n'
        '[shrinkage]\nalong = "1 %"\nacross = "12 %"\nmeasured = "unwashed"\n'
    )
    placement = place_plan(read_plan(text.encode(), "band.toml")).placement
    for laps, by in ((placement.laps, 1.0), (placement.as_worn.laps, 0.88)):
        assert [lap.width_mm for lap in laps.both] == pytest.approx([40 * by, 50 * by])
        assert [lap.inset_mm for lap in laps.both] == pytest.approx([18 * by, 22 * by])
        for lap in laps.both:
            # Its lines lie where these say.
            assert lap.edge.nearest(lap.line.point_at(200)).distance_mm == pytest.approx(lap.inset_mm)
            assert lap.inner is not None
            assert lap.edge.nearest(lap.inner.point_at(200)).distance_mm == pytest.approx(lap.width_mm)
