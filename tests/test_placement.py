"""Placement: marks on straight and curved edges against closed forms, levels, zones and laps."""

import math

import pytest
from edge_files import edges_of

from closures.catalogue.loading import load_catalogue
from closures.errors import EdgeError, SpacingError
from closures.placing.placement import place
from closures.plan.reading import read_plan

BAND = '[garment]\npieces = "separate"\n[band]\nwidth = "40 mm"\nlap = "{lap}"\n'
SNAP = '[closure]\nkind = "prong snap"\nsize = "16 L"\n'


def placed(edge, spacing, band=BAND, rest="", lap="right over left", drawing=None):
    plan = read_plan(f"{edge}\n{band.format(lap=lap)}\n{SNAP}\n[spacing]\n{spacing}\n{rest}".encode(), "test.toml")
    return place(plan, edges_of(plan, drawing), load_catalogue())


def along(placement):
    return [mark.along_mm for mark in placement.marks]


def test_marks_on_a_straight_edge_divide_the_length_evenly():
    # Even spacing: 18 in from first to last, 6 buttons, 3.6 in apart (a 2023 sewing handout).
    row = placed('[edge]\nstraight = "20 in"', 'first = "1 in"\nlast = "1 in"\ncount = 6')
    assert [gap / 25.4 for gap in row.spacing.gaps_mm] == pytest.approx([3.6] * 5, abs=1e-9)
    assert [mark.y_mm for mark in row.marks] == pytest.approx([25.4 * (1 + 3.6 * i) for i in range(6)], abs=1e-9)
    assert {mark.x_mm for mark in row.marks} == {-20.0}


def test_marks_of_left_over_right_lie_on_the_other_hand():
    row = placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 6", lap="left over right")
    assert {mark.x_mm for mark in row.marks} == {20.0}
    assert (row.laps.over.side, row.laps.under.side) == ("left", "right")


def test_marks_on_an_arc_lie_on_the_parallel_circle():
    # Closed form: an arc of radius 420 bowing out, inset 20, closes on a circle of radius 400.
    row = placed(
        '[edge]\narc = { length = "600 mm", radius = "420 mm", bows = "out" }', "first = 15\nlast = 40\ncount = 8"
    )
    turn = 600 / 420
    assert row.laps.line.length_mm == pytest.approx(400 * turn, abs=1e-9)
    gap = (400 * turn - 55) / 7
    assert row.spacing.gaps_mm == pytest.approx([gap] * 7, abs=1e-9)
    chord = 2 * 420 * math.sin(turn / 2)
    centre = (-420 * math.cos(turn / 2), chord / 2)
    for i, mark in enumerate(row.marks):
        angle = -turn / 2 + (15 + i * gap) / 400
        exact = (centre[0] + 400 * math.cos(angle), centre[1] + 400 * math.sin(angle))
        assert (mark.x_mm, mark.y_mm) == pytest.approx(exact, abs=1e-6)
        assert mark.over.edge_distance_mm == pytest.approx(20, abs=1e-9)
        assert mark.under.edge_distance_mm == pytest.approx(20, abs=1e-9)
    assert row.marks[0].straight_to_next_mm == pytest.approx(2 * 400 * math.sin(gap / 800), abs=1e-9)


def test_anchor_level_meets_the_closing_line_and_not_the_edge():
    row = placed(
        '[edge]\narc = { length = "600 mm", radius = "420 mm", bows = "out" }',
        "first = 15\nlast = { from = 20, to = 80 }\npitch = 75",
        rest='[[anchor]]\nname = "bust point"\nlevel = "220 mm"',
    )
    (mark,) = [mark for mark in row.marks if mark.anchor == "bust point"]
    assert mark.level_mm == pytest.approx(220, abs=1e-9)
    assert mark.shift_mm == pytest.approx(0, abs=1e-9)
    # Circle of radius 400 about the arc's own centre: the line meets level 220 there.
    chord = 2 * 420 * math.sin(600 / 420 / 2)
    x = -420 * math.cos(600 / 420 / 2) + math.sqrt(400**2 - (220 - chord / 2) ** 2)
    assert mark.x_mm == pytest.approx(x, abs=1e-7)


WAVE = b"""<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">
<path id="edge" d="M 20 100 C 60 20 140 180 180 100"/></svg>"""
WAVE_EDGE = 'drawing = "wave.svg"\n[edge]\npath = "edge"'


def test_level_that_meets_the_line_twice_asks_which():
    rest = '[[anchor]]\nname = "hip"\nlevel = "4 mm"'
    with pytest.raises(EdgeError, match=r'"hip".*meets the closing line 2 times: 1 at .* which = 1'):
        placed(
            WAVE_EDGE,
            "first = 5\nlast = { from = 1, to = 60 }\npitch = 40",
            rest=rest,
            drawing=WAVE,
            band='[garment]\npieces = "separate"\n[band]\nwidth = "20 mm"\nlap = "{lap}"\n',
        )


def test_level_off_the_line_names_the_levels_it_has():
    rest = '[[anchor]]\nname = "hip"\nlevel = "900 mm"'
    with pytest.raises(EdgeError, match=r"level 900\.0 mm does not meet .* levels 0\.0 mm and 500\.0 mm"):
        placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 6", rest=rest)


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ('level = "36 in"', "level 36 in does not meet the closing line, which runs between levels 0 in and 20 in"),
        (
            'along = "21 in"',
            "it lies 21 in along, but the closing line is 20 in long. Give an along between 0 and 20 in",
        ),
    ],
)
def test_anchor_off_the_line_is_told_in_the_inches_of_its_plan(told, says):
    rest = f'[[anchor]]\nname = "hip"\n{told}'
    with pytest.raises(EdgeError, match=says):
        placed('units = "in"\n[edge]\nstraight = "20 in"', 'first = "1 in"\nlast = "1 in"\ncount = 6', rest=rest)


def test_clear_zone_keeps_rims_out_by_level():
    zone = '[[clear]]\nname = "belt"\nlevel = ["240 mm", "260 mm"]'
    row = placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 7", rest=zone)
    rim = row.fastener.cap_mm / 2
    assert all(not 240 - rim + 1e-9 < a < 260 + rim - 1e-9 for a in along(row))
    # Without the zone the fourth of seven would sit on 250.
    assert 250 in placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 7").spacing.positions_mm


def test_clear_zone_for_centres_lets_rims_in():
    zone = '[[clear]]\nname = "belt"\nlevel = ["240 mm", "249 mm"]\nroom = "centre"'
    row = placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 7", rest=zone)
    assert 250 in row.spacing.positions_mm


def test_clear_zone_along_a_curve_measures_the_rim_straight():
    edge = '[edge]\narc = { length = "600 mm", radius = "420 mm", bows = "out" }'
    zone = '[[clear]]\nname = "tie"\nalong = ["280 mm", "300 mm"]'
    row = placed(edge, "first = 15\nlast = { from = 20, to = 60 }\npitch = 75", rest=zone)
    ((low, high),) = row.zones[0].closed_mm
    rim = row.fastener.cap_mm / 2
    line = row.laps.line
    assert math.dist(line.point_at(low), line.point_at(280)) == pytest.approx(rim, abs=1e-6)
    assert math.dist(line.point_at(high), line.point_at(300)) == pytest.approx(rim, abs=1e-6)
    # On a circle of radius 400 a chord of 5.08 is an arc of 2 x 400 x asin(5.08 / 800).
    assert 280 - low == pytest.approx(800 * math.asin(rim / 800), abs=1e-6)


def test_clear_zone_at_the_very_end_keeps_the_end_free_too():
    zone = '[[clear]]\nname = "collar"\nlevel = ["-10 mm", "30 mm"]'
    row = placed('[edge]\nstraight = "500 mm"', "first = { from = 0, to = 60 }\nlast = 20\ncount = 6", rest=zone)
    assert along(row)[0] >= 30 + row.fastener.cap_mm / 2 - 1e-9


def test_clear_zone_wholly_off_the_line_is_told():
    with pytest.raises(EdgeError, match=r'"belt".*wholly off the closing line'):
        placed(
            '[edge]\nstraight = "500 mm"',
            "first = 20\nlast = 20\ncount = 6",
            rest='[[clear]]\nname = "belt"\nlevel = ["600 mm", "640 mm"]',
        )


def test_wishes_that_cannot_be_met_are_refused_with_what_would_do():
    with pytest.raises(SpacingError, match=r"Any one of these would do"):
        placed('[edge]\nstraight = "500 mm"', 'first = 20\nlast = 20\ncount = 4\nwidest = "80 mm"')


def test_under_lap_of_another_width_has_its_own_edge():
    band = '[garment]\npieces = "separate"\n[band]\nwidth = "40 mm"\ninset = "15 mm"\nunder_width = "50 mm"\nunder_inset = "25 mm"\nlap = "{lap}"\n'
    row = placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 6", band=band)
    assert {mark.x_mm for mark in row.marks} == {-15.0}
    assert row.laps.under.edge.start == pytest.approx((-40, 0))
    assert row.laps.under.inner.start == pytest.approx((10, 0))
    assert [(m.over.edge_distance_mm, m.under.edge_distance_mm) for m in row.marks] == [pytest.approx((15, 25))] * 6


FLAP = b"""<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="120mm" viewBox="0 0 200 120">
<path id="over" d="M 20 72 Q 100 92 180 72"/><path id="under" d="M 180 48 Q 100 28 20 48"/>
<path id="line" d="M 20 60 H 180"/></svg>"""


def test_two_curved_edges_share_one_straight_closing_line():
    row = placed(
        'drawing = "f.svg"\n[edge]\npath = "over"\nunder = "under"\nline = "line"',
        "first = 20\nlast = 20\ncount = 4",
        lap="left over right",
        drawing=FLAP,
    )
    assert along(row) == pytest.approx([20, 60, 100, 140])
    assert {round(mark.y_mm, 9) for mark in row.marks} == {60.0}
    # The two edges are mirror images in the line, so the distances agree mark by mark.
    for mark in row.marks:
        assert mark.over.edge_distance_mm == pytest.approx(mark.under.edge_distance_mm, abs=1e-9)
        assert 12 < mark.over.edge_distance_mm < 22


def test_under_lap_lies_beside_a_drawn_closing_line_by_its_own_inset_all_along():
    # Where the under lap's edge is not drawn, it runs with the line, whatever way the over lap's edge bends (geometry).
    row = placed(
        'drawing = "f.svg"\n[edge]\npath = "over"\nline = "line"',
        "first = 20\nlast = 20\ncount = 4",
        band='[garment]\npieces = "separate"\n[band]\nwidth = "40 mm"\nunder_inset = "9 mm"\nlap = "{lap}"\n',
        lap="left over right",
        drawing=FLAP,
    )
    assert [mark.under.edge_distance_mm for mark in row.marks] == pytest.approx([9.0] * 4, abs=1e-9)
    assert (row.laps.under.edge.start, row.laps.under.edge.end) == (pytest.approx((20, 51)), pytest.approx((180, 51)))
    assert row.marks[1].over.edge_distance_mm > row.marks[0].over.edge_distance_mm + 5


def test_closing_line_off_the_cloth_is_refused():
    with pytest.raises(EdgeError, match="not on the cloth of the over lap"):
        placed(
            'drawing = "f.svg"\n[edge]\npath = "over"\nunder = "under"\nline = "line"',
            "first = 20\nlast = 20\ncount = 4",
            lap="right over left",
            drawing=FLAP,
        )


def test_inset_beyond_the_radius_is_refused_with_it():
    with pytest.raises(EdgeError, match=r"radius.*90"):
        placed(
            '[edge]\narc = { length = "200 mm", radius = "90 mm", bows = "out" }',
            "first = 5\nlast = 5\ncount = 3",
            band='[garment]\npieces = "separate"\n[band]\nwidth = "200 mm"\nlap = "{lap}"\n',
        )


def test_layers_give_each_lap_a_stack_of_its_own():
    layers = '[[layer]]\nthickness = 0.8\ncount = 2\non = "over"\n[[layer]]\nthickness = 0.5\n'
    row = placed('[edge]\nstraight = "500 mm"', "first = 20\nlast = 20\ncount = 6", rest=layers)
    assert row.marks[0].over.stack.typical_mm == pytest.approx(2.1)
    assert row.marks[0].under.stack.typical_mm == pytest.approx(0.5)
