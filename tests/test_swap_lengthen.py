"""A pattern made longer: what moves, what stays, which edges can be cut, and how the row is divided again."""

from __future__ import annotations

import math

import pytest
from edge_files import edges_of

from closures.catalogue.loading import load_catalogue
from closures.errors import EdgeError
from closures.jobs.swap.swap import Swap, make_swap
from closures.plan.reading import read_plan

CATALOGUE = load_catalogue()
BAND = '[garment]\npieces = "separate"\n[band]\nwidth = "32 mm"\nlap = "right over left"\n'
NEW = '[closure]\nkind = "prong snap"\nsize = "16 L"\n'
LAYER = '[[layer]]\nthickness = "0.4 mm"\ncount = 2\n'
STRAIGHT = '[edge]\nstraight = "640 mm"\n'
COUNT = "[spacing]\nfirst = 40\nlast = 60\ncount = 7\n"
OLD = '[swap]\nkind = "sew-on snap"\nsize = "1"\nplaces = [60, 147, 234, 321, 408, 495, 582]\n'

# A neck that curves in, then straight down from y 120.
NECKED = b"""<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">
<path id="edge" d="M 120 20 C 120 60 160 70 160 120 L 160 600"/></svg>"""


def changed(at: str, by: str, edge: str = STRAIGHT, rest: str = "", spacing: str = COUNT, drawing=None) -> Swap:
    change = f'[change]\nlengthen = {{ at = "{at}", by = "{by}" }}\n'
    plan = read_plan("\n".join([edge, BAND, NEW, spacing, LAYER, rest, change]).encode(), "plan.toml")
    return make_swap(plan, edges_of(plan, drawing), CATALOGUE)


def offer_of(swap: Swap, kind: str):
    return next(offer for offer in swap.offers if offer.kind == kind)


def test_old_places_below_the_cut_move_and_those_above_stay():
    swap = changed("300 mm", "30 mm", rest=OLD)
    assert swap.old.places_mm == pytest.approx([60, 147, 234, 351, 438, 525, 612], abs=1e-9)
    assert swap.offers[0].placement.laps.line.length_mm == pytest.approx(670, abs=1e-9)
    assert offer_of(swap, "keep").placement.spacing.largest_mm == pytest.approx(117, abs=1e-9)


def test_same_count_on_a_longer_front_is_divided_again():
    # Univ. of Minnesota, 4-H M-35 (re-space evenly when length is altered), with a size chart's grade of
    # 1/4 in: six buttons over 18 in lie 3.60 in apart, over 18 1/4 in 3.65 in.
    spacing = '[spacing]\nfirst = "1 in"\nlast = "3 in"\ncount = 6\n'
    edge = '[edge]\nstraight = "22 in"\n'
    before = changed("9 in", "1/4 in", edge=edge, spacing=spacing)
    assert before.old.places_mm[1] - before.old.places_mm[0] == pytest.approx(3.6 * 25.4, abs=1e-9)
    again = before.offer
    assert again.kind == "ends"
    assert again.placement.spacing.gaps_mm == pytest.approx([3.65 * 25.4] * 5, abs=1e-6)


def test_anchors_and_zones_below_move_and_are_kept():
    rest = (
        '[[anchor]]\nname = "bust"\nlevel = 200\n[[anchor]]\nname = "waist"\nlevel = 400\nwithin = 1\n'
        '[[clear]]\nname = "belt"\nalong = [470, 490]\n'
    )
    swap = changed("300 mm", "30 mm", rest=rest + OLD)
    for offer in swap.offers:
        at = {anchor.name: anchor.along_mm for anchor in offer.placement.anchors}
        assert at == pytest.approx({"bust": 200, "waist": 430}, abs=1e-9)
        assert offer.placement.zones[0].stretches_mm == (pytest.approx((500, 520)),)
    for kind in ("ends", "best", "fewest"):
        assert all(anchor.is_met for anchor in offer_of(swap, kind).anchors)


def test_zone_and_layer_across_the_cut_grow_with_it():
    rest = '[[clear]]\nname = "pocket"\nalong = [280, 310]\n[[layer]]\nthickness = 0.3\nalong = [290, 320]\n'
    swap = changed("300 mm", "30 mm", rest=rest)
    assert swap.offers[0].placement.zones[0].stretches_mm == (pytest.approx((280, 340)),)
    span = swap.offers[0].placement.plan.layers[1].along_mm
    assert (span.low_mm, span.high_mm) == pytest.approx((290, 350))


def test_arc_is_cut_where_it_runs_straight_down_and_stays_smooth():
    edge = '[edge]\narc = { length = 600, radius = 900, bows = "out" }\n'
    swap = changed("295 mm", "30 mm", edge=edge, rest=OLD.replace("582", "560"))
    line = swap.offers[0].placement.laps.line
    # The line of radius 884 is 600 x 884 / 900 long, and is cut in its middle.
    length = 600 * 884 / 900
    assert line.length_mm == pytest.approx(length + 30, abs=1e-6)
    assert swap.lengthened.at_mm == pytest.approx(length / 2, abs=1e-6)
    assert all(abs(turn) < 1e-6 for _, turn in line.corners(0.0))
    (x0, y0), (x1, y1) = line.point_at(length / 2), line.point_at(length / 2 + 30)
    assert (x1 - x0, y1 - y0) == pytest.approx((0, 30), abs=1e-6)


def test_drawn_edge_is_cut_below_its_neck():
    edge = 'drawing = "front.svg"\n[edge]\npath = "edge"\n'
    plain = read_plan("\n".join([edge, BAND, NEW, COUNT, LAYER]).encode(), "plan.toml")
    before = edges_of(plain, NECKED).over.length_mm
    swap = changed("400 mm", "25 mm", edge=edge, drawing=NECKED)
    laps = swap.offers[0].placement.laps
    assert laps.over.edge.length_mm == pytest.approx(before + 25, abs=1e-6)
    assert laps.over.edge.end == pytest.approx((160, 625), abs=1e-6)


def test_measured_points_are_cut_where_they_run_straight():
    edge = "[edge]\npoints = [[0, 0], [10, 100], [10, 200], [10, 300], [10, 400], [10, 500]]\n"
    swap = changed("350 mm", "20 mm", edge=edge, spacing=COUNT.replace("7", "5"))
    assert swap.offers[0].placement.laps.over.edge.end == pytest.approx((10, 520), abs=1e-6)


@pytest.mark.parametrize(
    ("edge", "at", "match"),
    [
        pytest.param(STRAIGHT, "700 mm", "lies 700 mm along, but the closing line is 640 mm long", id="past the end"),
        pytest.param(
            'drawing = "f.svg"\n[edge]\npath = "edge"\n', "60 mm", "leans by .* straight down from", id="neck"
        ),
        pytest.param(
            '[edge]\narc = { length = 600, radius = 900, bows = "out" }\n', "100 mm", "leans by .* degrees", id="arc"
        ),
    ],
)
def test_cut_that_would_leave_a_corner_is_refused_with_where_it_would_not(edge, at, match):
    with pytest.raises(EdgeError, match=match):
        changed(at, "30 mm", edge=edge, drawing=NECKED)


def test_leaning_straight_edge_has_no_place_to_be_cut():
    edge = "[edge]\npoints = [[0, 0], [100, 500]]\n"
    with pytest.raises(EdgeError, match="runs straight down nowhere"):
        changed("250 mm", "30 mm", edge=edge, spacing=COUNT.replace("7", "5"))


def test_lean_is_told_in_degrees_of_the_drawn_edge():
    edge = "[edge]\npoints = [[0, 0], [100, 500]]\n"
    with pytest.raises(EdgeError, match=f"leans by {math.degrees(math.atan2(100, 500)):.1f} degrees"):
        changed("250 mm", "30 mm", edge=edge, spacing=COUNT.replace("7", "5"))
