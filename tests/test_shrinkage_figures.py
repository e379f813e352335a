"""Every figure of a plan as the wash leaves it: a length down loses `along`, a length across loses `across`."""

from __future__ import annotations

from dataclasses import replace

import pytest

from closures.app.job import check_plan
from closures.edges.reading import Edges, read_edges
from closures.lengths import format_length
from closures.placing.shrinkage import Factors, StandFactors, worn_and_marked
from closures.plan.plan import Plan
from closures.plan.reading import read_plan

UPRIGHT = """
[garment]
opens = "front"
pieces = "separate"
[edge]
points = [["0 mm","0 mm"], ["0 mm","500 mm"]]
[band]
width = "40 mm"
inset = "20 mm"
under_inset = "20 mm"
lap = "left over right"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = 5
first = "30 mm"
last = "50 mm"
"""
LOSES = '[shrinkage]\nalong = "10 %"\nacross = "2 %"\nmeasured = "unwashed"\n'


def worn(more: str) -> tuple[Plan, Edges]:
    plan = read_plan((UPRIGHT + more + LOSES).encode(), "upright.toml")
    return worn_and_marked(plan, replace(read_edges(plan), level_zero_y=10.0))[0]


def test_stripe_is_worn_by_what_is_lost_down_both_its_repeat_and_where_it_begins() -> None:
    plan, _ = worn('[stripe]\nevery = "20 mm"\nat = "7 mm"\non = "repeat"\n')
    assert plan.stripe is not None
    assert (plan.stripe.every_mm, plan.stripe.at_mm) == pytest.approx((20 * 0.9, 7 * 0.9))


def test_anchor_is_worn_by_what_is_lost_down_and_its_reach_along_the_line_too() -> None:
    plan, _ = worn('[[anchor]]\nname = "bust"\nlevel = "200 mm"\nwithin = "10 mm"\n')
    (anchor,) = plan.anchors
    assert (anchor.level_mm, anchor.within_mm) == pytest.approx((200 * 0.9, 10 * 0.9))


def test_layer_across_a_part_of_the_band_is_worn_by_what_is_lost_across() -> None:
    plan, _ = worn('[[layer]]\nthickness = "0.4 mm"\nacross = ["5 mm", "12 mm"]\n')
    (layer,) = plan.layers
    assert layer.across_mm is not None
    assert (layer.across_mm.low_mm, layer.across_mm.high_mm) == pytest.approx((5 * 0.98, 12 * 0.98))


def test_where_levels_begin_moves_down_the_drawing_as_the_cloth_does() -> None:
    assert worn("")[1].level_zero_y == pytest.approx(10 * 0.9)


def test_places_that_are_sewn_level_are_points_of_the_cloth_and_move_both_ways() -> None:
    plan = read_plan((UPRIGHT + LOSES).encode(), "upright.toml")
    assert plan.edge is not None
    pinned = replace(plan, edge=replace(plan.edge, match=(((100.0, 50.0), (200.0, 60.0)),)))
    (there, _), _ = worn_and_marked(pinned, read_edges(plan))
    assert there.edge is not None
    ((one, other),) = there.edge.match
    assert one == pytest.approx((98.0, 45.0)) and other == pytest.approx((196.0, 54.0))


def test_level_on_a_stand_is_stretched_by_its_own_share_from_the_seam_up() -> None:
    # The seam lies at level 4 and comes to 4 * 0.9; what lies 10 above it on the stand is 10 * 0.98 above it then.
    by = Factors(0.98, 0.9, 0.9, StandFactors(height_mm=30.0, seam_mm=4.0, up=0.98, level=0.98))
    assert by.level(-6.0) == pytest.approx(4 * 0.9 - 10 * 0.98)
    assert by.level(100.0) == pytest.approx(90.0)


def test_hook_of_a_single_closure_lies_an_eighth_of_an_inch_inside_the_washed_edge() -> None:
    more = '[[single]]\nkind = "hook and eye"\nsize = "2"\ncap = "9 mm"\nalong = "250 mm"\n'
    placement = check_plan(read_plan((UPRIGHT + more + LOSES).encode(), "upright.toml")).placement
    (marked,), (there,) = placement.beside, placement.as_worn.beside
    # New Mexico State Univ., Guide C-232: 1/8 in; across the edge 2 % are still to be lost, up to the rings that are
    # sewn, 8.1 mm behind its end: the metal keeps its length.
    assert there.on("over")[0].edge_distance_mm == pytest.approx(25.4 / 8, abs=1e-6)
    assert marked.on("over")[0].edge_distance_mm == pytest.approx((25.4 / 8 + 8.1) / 0.98 - 8.1, abs=1e-6)


@pytest.mark.parametrize("kind", ["hook and bar", "hook and eye"])
def test_assumed_insets_of_unwashed_hooks_are_one_figure_and_that_of_the_sheet(kind: str) -> None:
    size = 'size = "one size"' if kind == "hook and bar" else 'size = "2"\ncap = "9 mm"'
    plan = UPRIGHT.replace('inset = "20 mm"\nunder_inset = "20 mm"\n', "").replace("LOSES", "")
    plan = plan.replace('kind = "prong snap"\nsize = "16 L"', f'kind = "{kind}"\n{size}')
    loses = LOSES.replace('across = "2 %"', 'across = "6 %"')
    placement = check_plan(read_plan((plan + loses).encode(), "upright.toml")).placement
    over, under = (placement.on(lap)[0].edge_distance_mm for lap in ("over", "under"))
    told = " ".join(placement.assumed)
    both, over, under = (format_length(mm, "mm") for mm in (over + under, over, under))
    assert f"The end of each hook lies {over} inside the over lap's edge on the unwashed cloth" in told
    assert f"and not {over} as on the over lap: the laps overlap by {both} (" in told
    assert f"The under lap's line lies {under} from its edge" in told
