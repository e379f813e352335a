"""Girths of the closed garment from the pieces of its drawing, against widths that are known."""

import math

import pytest

from closures.app.job import check_plan
from closures.errors import DrawingError, PlanError
from closures.plan.reading import read_plan

# A front whose side runs straight out from 250 to 350 mm, a round back of radius 200, and a C whose arms lie apart.
DRAWING = b"""<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="800mm" viewBox="0 0 900 800">
<path id="edge" d="M300 100 L300 700"/>
<path id="front" d="M50 100 L300 100 L300 700 L-50 700 Z"/>
<circle id="back" cx="600" cy="400" r="200"/>
<path id="gap" d="M0 0 L100 0 L100 100 L70 100 L70 30 L30 30 L30 100 L0 100 Z"/>
<circle id="back-zero" cx="600" cy="200" r="1"/>
</svg>"""
PLAN = """
drawing = "front.svg"
[edge]
path = "edge"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "50 mm"
count = 8
[body]
seat = "1000 mm"
[way_in]
last_opens = 4
rings = [{{ at = "waist", level = "{level} mm" }}, {{ at = "hem", level = "590 mm", round = "1300 mm" }}]
outlines = [{outlines}]
"""
FRONT = '{ path = "front", cut = 2, less = "40 mm" }'


def waist_of(outlines, level=300):
    plan = read_plan(PLAN.format(level=level, outlines=outlines).encode(), "dress.toml")
    return check_plan(plan, {"front.svg": DRAWING}).placement.plan.way_in.rings[0]


def test_girth_is_the_width_of_every_copy_less_what_it_loses():
    # Half way down the side lies at 0: 300 mm wide, twice, less 40 each.
    ring = waist_of(FRONT)
    assert ring.round_mm == pytest.approx(2 * (300 - 40), abs=1e-6)
    assert ring.name == "waist (from the drawing)"


def test_pieces_add_up_each_from_its_own_zero():
    back = '{ path = "back", cut = 1, zero = "back-zero" }'
    chord = 2 * math.sqrt(200**2 - 100**2)
    assert waist_of(f"{FRONT}, {back}").round_mm == pytest.approx(520 + chord, abs=0.01)


def test_what_lies_open_between_two_arms_is_not_counted():
    # The level zero is the top of the edge, at y 100: 40 mm above it is y 60.
    assert waist_of('{ path = "gap", cut = 1 }', level=-40).round_mm == pytest.approx(60, abs=1e-6)


def test_piece_that_does_not_reach_the_level_is_refused():
    with pytest.raises(DrawingError, match="no width left at the level of 'waist'"):
        waist_of('{ path = "gap" }', level=500)


def test_line_that_is_not_closed_is_refused():
    with pytest.raises(DrawingError, match="not one closed outline"):
        waist_of('{ path = "edge" }')


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        (('outlines = [{ path = "front", cut = 2, less = "40 mm" }]', ""), "the girth at 'waist' is not told"),
        (('path = "front"', 'way = "front"'), "is not a piece"),
        (('drawing = "front.svg"', ""), "the plan has no drawing"),
    ],
)
def test_what_is_lacking_is_asked_for(changed, told):
    text = PLAN.format(level=300, outlines=FRONT).replace(*changed)
    with pytest.raises(PlanError) as caught:
        read_plan(text.encode(), "dress.toml")
    assert told in str(caught.value)
