"""A point at a corner of the edge comes to lie at the corner of the closing line, wherever the drawing stands."""

import itertools
import math

import pytest

from closures.app.job import check_plan
from closures.curve import Curve, Line
from closures.curve.arc import Arc
from closures.curve.cubic import Cubic
from closures.errors import EdgeError
from closures.placing.foot import foot_of
from closures.plan.reading import read_plan

PLAN = """
drawing = "bent.svg"
[garment]
opens = "back"
pieces = "pair"
[edge]
path = "e"
[band]
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = { from = 12, to = 47 }
last = { from = 12, to = 64 }
pitch = 74
[[anchor]]
name = "bend"
at = "n"
within = "4 mm"
"""


def drawing(dx: float, dy: float, bend: tuple[float, float]) -> bytes:
    corners = [(x + dx, y + dy) for x, y in ((0.0, 0.0), bend, (-46.0 + 2.0 * bend[0] / 3.0, 540.0))]
    path = "L".join(f"{x:.9f} {y:.9f}" for x, y in corners)
    x, y = corners[1]
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="1400mm" height="1800mm" viewBox="0 0 1400 1800">'
        f'<path id="e" fill="none" stroke="black" d="M{path}"/><circle id="n" cx="{x:.9f}" cy="{y:.9f}" r="1"/></svg>'
    ).encode()


@pytest.mark.parametrize("bend", [(-46.0, 184.0), (31.0, 184.0)], ids=["to one side", "to the other"])
def test_anchor_at_a_corner_stays_wherever_the_drawing_is_moved(bend: tuple[float, float]) -> None:
    plan = read_plan(PLAN.encode(), "plan.toml")
    found = []
    for k in range(8):
        svg = drawing(400.0 + 77.25 * k, 300.0 + 31.5 * k / 7, bend)
        placement = check_plan(plan, {"bent.svg": svg}).placement
        found.append((placement.anchors[0].along_mm, *placement.spacing.positions_mm))
        ((corner, _),) = placement.laps.line.corners()
        assert found[-1][0] == pytest.approx(corner, abs=1e-6)
    assert all(one == pytest.approx(found[0], abs=1e-6) for one in found)


def bent(turn_deg: float) -> Curve:
    way = math.radians(turn_deg)
    return Curve((Line((-200.0, 0.0), (0.0, 0.0)), Line((0.0, 0.0), (200.0 * math.cos(way), 200.0 * math.sin(way)))))


@pytest.mark.parametrize("turn_deg", [3.0, 12.0, 45.0, 90.0])
@pytest.mark.parametrize("noise", [-0.01, -1e-13, 0.0, 1e-13, 0.01])
def test_two_feet_about_a_corner_give_the_corner(turn_deg: float, noise: float) -> None:
    half = math.radians(turn_deg / 2.0)
    # On the line that halves the corner, inside it, 18 mm from both lines.
    out = 18.0 / math.cos(half)
    foot = foot_of(bent(turn_deg), (-out * math.sin(half) + noise, out * math.cos(half)))
    assert foot.is_corner and foot.feet_mm is not None
    assert foot.along_mm == pytest.approx(200.0, abs=0.02)
    assert foot.feet_mm[1] - foot.feet_mm[0] == pytest.approx(2 * 18.0 * math.tan(half), abs=0.05)


def test_one_foot_is_the_nearest_place_also_where_many_segments_meet() -> None:
    points = [(100.0 * math.sin(k / 500), 100.0 * math.cos(k / 500)) for k in range(600)]
    line = Curve(tuple(Line(a, b) for a, b in itertools.pairwise(points)))
    for at in ((70.0, 90.0), (70.0, 60.0), (0.0, 150.0)):
        foot = foot_of(line, at)
        assert foot.feet_mm is None and foot.along_mm == line.nearest(at).along_mm


def test_point_between_two_arms_is_no_corner_and_is_refused() -> None:
    arms = Curve((Line((0.0, 0.0), (0.0, 200.0)), Line((0.0, 200.0), (36.0, 200.0)), Line((36.0, 200.0), (36.0, 0.0))))
    foot = foot_of(arms, (18.0, 60.0))
    assert not foot.is_corner and foot.feet_mm == pytest.approx((60.0, 376.0))


def test_anchor_equally_near_to_two_arms_is_refused() -> None:
    svg = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600">'
        b'<path id="e" fill="none" stroke="black" d="M200 100L200 400L290 400L290 100"/>'
        b'<circle id="n" cx="245" cy="200" r="1"/></svg>'
    )
    with pytest.raises(EdgeError, match="two places on the closing line are equally near to it, "):
        check_plan(read_plan(PLAN.encode(), "plan.toml"), {"bent.svg": svg})


U_BEND = "M200 100 C200 500 300 500 300 100"  # one cubic whose two arms lie alike about x = 250


def test_point_between_the_arms_of_one_bent_curve_is_refused() -> None:
    svg = drawing_of(U_BEND, (250.0, 200.0))
    plan = PLAN.replace('width = "36 mm"', 'width = "60 mm"')
    with pytest.raises(EdgeError, match="two places on the closing line are equally near to it, "):
        check_plan(read_plan(plan.encode(), "plan.toml"), {"bent.svg": svg})


def test_point_on_one_arm_of_the_bent_curve_lies_there() -> None:
    cubic = Curve((Cubic((200.0, 100.0), (200.0, 500.0), (300.0, 500.0), (300.0, 100.0)),))
    foot = foot_of(cubic, (220.0, 200.0))
    assert foot.feet_mm is None and foot.along_mm == cubic.nearest((220.0, 200.0)).along_mm


@pytest.mark.parametrize("off", [0.0, 1e-13, 0.02])
def test_centre_of_an_arc_has_no_one_foot(off: float) -> None:
    arc = Curve((Arc((0.0, 0.0), 40.0, 0.3, 2.0),))
    foot = foot_of(arc, (off, -off))
    assert foot.feet_mm is not None and not foot.is_corner
    near = foot_of(arc, (-10.0, 20.0))
    assert near.feet_mm is None and near.distance_mm == pytest.approx(40.0 - math.hypot(10.0, 20.0))


def drawing_of(path: str, at: tuple[float, float]) -> bytes:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600">'
        f'<path id="e" fill="none" stroke="black" d="{path}"/><circle id="n" cx="{at[0]}" cy="{at[1]}" r="1"/>'
        '<path id="u" fill="none" stroke="black" d="M400 100L400 250L380 400"/></svg>'
    ).encode()


APART = PLAN.split("[[anchor]]", maxsplit=1)[0].replace('"pair"', '"separate"').replace('"back"', '"front"')


def apart(path: str, match: str):
    told = APART.replace('path = "e"', f'path = "e"\nunder = "u"\nunder_lies = "apart"\nmatch = {match}')
    return check_plan(read_plan(told.encode(), "plan.toml"), {"bent.svg": drawing_of(path, (0.0, 0.0))}).placement


def test_match_at_a_corner_is_told() -> None:
    placement = apart("M200 100L200 250L180 400", '[[["200 mm", "250 mm"], ["400 mm", "250 mm"]]]')
    told = [line for line in placement.assumed if "of match lies at a corner" in line]
    assert len(told) == 1 and ("over lap" in told[0]) != ("under lap" in told[0])


def test_match_between_two_arms_is_refused() -> None:
    with pytest.raises(EdgeError, match="two places on the over lap's closing line are equally near"):
        apart("M200 100L200 400L260 400L260 300", '[[["230 mm", "340 mm"], ["400 mm", "250 mm"]]]')
