"""A measured point that is mistyped is asked about, at the ends of the edge too; sound shapes are not.

No text tells how far off a mistyped point lies: which point it is, is known here, since it was mistyped on purpose.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable, Iterator

import pytest

from closures.app.job import check_plan
from closures.catalogue.loading import load_catalogue
from closures.checks.usual import doubting_edge
from closures.edges.points import read_points
from closures.edges.reading import read_edges
from closures.edges.strays import Stray, stray_point
from closures.errors import EdgeError, SpacingError
from closures.plan.reading import read_plan

Points = list[tuple[float, float]]

PLAN = """
title = "Tern jacket"
units = "mm"
[edge]
points = {points}
[garment]
opens = "front"
pieces = "pair"
[band]
width = "30 mm"
cut = "shaped"
lap = "right over left"
[closure]
kind = "prong snap"
size = "15 L"
[spacing]
pitch = "70 mm"
[[layer]]
cloth = "poplin"
count = 2
"""


def front(*offs: float) -> Points:
    return [(off, 100.0 * k) for k, off in enumerate(offs)]


@pytest.mark.parametrize(
    ("offs", "number", "meant"),
    [
        ((0, 40, 62, 70, 72, 37), 6, 73),
        ((0, 4, 12, 61, 25, 30), 4, None),
        ((41, 16, 17, 21, 28, 38), 1, 14),
        ((0, 5, 12, 21, 32, 450), 6, 45),
    ],
    ids=["digits changed over at the hem", "in the middle", "digits changed over at the neck", "a digit too many"],
)
def test_a_mistyped_point_is_found_with_the_figure_that_was_meant(
    offs: tuple[float, ...], number: int, meant: float | None
) -> None:
    found = stray_point(front(*offs), "mm")
    assert found is not None and (found.number, found.meant_mm) == (number, meant)


def test_a_point_at_an_end_is_read_in_the_figures_of_inches_where_those_were_told() -> None:
    offs = [25.4 * off for off in (0, 1.2, 1.9, 2.2, 2.3, 3.2)]
    assert stray_point(front(*offs), "mm") is None
    found = stray_point(front(*offs), "in")
    assert found == Stray(6, pytest.approx(20.32), pytest.approx(81.28), pytest.approx(58.42), is_end=True)


def test_the_look_at_the_last_point_tells_both_figures_and_that_a_bend_is_sound() -> None:
    points = [[x, y] for x, y in front(0, 40, 62, 70, 72, 37)]
    answer = check_plan(read_plan(PLAN.format(points=points).encode(), "plan.toml"))
    told = [one.text for one in answer.findings if one.rule == "finished edge"]
    assert len(told) == 1 and "Point 6 of the measured edge, its last, lies 31 mm off" in told[0]
    assert "told as 73 mm in place of 37 mm it would lie there" in told[0] and "all is well" in told[0]


def bust(chance: random.Random, shares: list[float], length: float) -> Points:
    deep, at, wide = chance.uniform(5, 60), chance.uniform(0.3, 0.6), chance.uniform(0.15, 0.35)
    return [(deep * math.exp(-(((t - at) / wide) ** 2)), length * t) for t in shares]


def straight_then_slanting(chance: random.Random, shares: list[float], length: float) -> Points:
    at, slant = chance.uniform(0.3, 0.95), chance.uniform(0.1, 1.2)
    return [(max(0.0, t - at) * length * slant, length * t) for t in shares]


def straight_then_curved(chance: random.Random, shares: list[float], length: float) -> Points:
    at, bend = chance.uniform(0.3, 0.95), chance.uniform(0.1, 1.5)
    return [(max(0.0, t - at) ** 2 * length * bend, length * t) for t in shares]


def curved_then_straight(chance: random.Random, shares: list[float], length: float) -> Points:
    return [(x, length - y) for x, y in reversed(straight_then_curved(chance, shares, length))]


def neckline(chance: random.Random, shares: list[float], _: float) -> Points:
    radius, turn = chance.uniform(100, 1500), chance.uniform(0.2, 1.5)
    return [(radius - radius * math.cos(turn * t), radius * math.sin(turn * t)) for t in shares]


def waved(chance: random.Random, shares: list[float], length: float) -> Points:
    deep, times, begins = chance.uniform(5, 60), chance.uniform(0.3, 1.2), chance.uniform(0, 2 * math.pi)
    return [(deep * math.sin(begins + 2 * math.pi * times * t), length * t) for t in shares]


def sound(shape: Callable[[random.Random, list[float], float], Points], many: int) -> Iterator[Points]:
    """Shapes as they are measured: a few points, evenly along the edge, read to the millimetre."""
    chance = random.Random(shape.__name__)
    for _ in range(many):
        count = chance.randint(5, 12)
        points = shape(chance, [k / (count - 1) for k in range(count)], chance.uniform(350, 700))
        yield [(float(round(x)), float(round(y))) for x, y in points]


@pytest.mark.parametrize(
    "shape", [bust, straight_then_slanting, straight_then_curved, curved_then_straight, neckline, waved]
)
def test_of_sound_shapes_hardly_one_in_a_hundred_is_asked_about_at_an_end(
    shape: Callable[[random.Random, list[float], float], Points],
) -> None:
    asked = [found for points in sound(shape, 1000) if (found := stray_point(points, "mm")) and found.meant_mm]
    assert len(asked) <= 12


@pytest.mark.parametrize(
    ("offs", "number"),
    [((15, 15, 15, 15, 15, 75), 6), ((0, 0, 0, 0, 0, 0, 55), 7), ((75, 16, 17, 19, 21), 1), ((60, 0, 0, 0, 0, 0), 1)],
)
def test_a_point_that_alone_tells_a_bend_at_an_end_is_asked_about(offs: tuple[float, ...], number: int) -> None:
    found = stray_point(front(*offs), "mm")
    assert found is not None and (found.number, found.meant_mm, found.is_end) == (number, None, True)
    answer = check_plan(read_plan(PLAN.format(points=[list(one) for one in front(*offs)]).encode(), "plan.toml"))
    told = [one.text for one in answer.findings if "it alone tells that the edge bends there" in one.text]
    assert len(told) == 1 and f"Point {number} of the measured edge" in told[0]


@pytest.mark.parametrize(
    "points",
    [
        [(30, 0), (12, 15), (3, 40), (0, 100), (0, 200), (0, 300), (0, 400)],
        [(28, 0), (0, 40), (0, 140), (0, 240), (0, 340), (0, 440)],
        [(0, 0), (0, 100), (0, 200), (0, 300), (4, 360), (22, 400), (50, 420)],
    ],
    ids=["rounded neck", "slanting neck, measured near", "rounded hem"],
)
def test_an_end_that_is_measured_nearer_where_it_bends_is_not_asked_about(points: Points) -> None:
    assert stray_point(points, "mm") is None


@pytest.mark.parametrize(
    ("shape", "most"),
    [
        (bust, 2),
        (straight_then_curved, 12),
        (curved_then_straight, 12),
        (neckline, 2),
        (waved, 2),
        (straight_then_slanting, 85),
    ],
)
def test_of_sound_shapes_few_are_asked_about_where_the_last_point_alone_tells_a_bend(
    shape: Callable[[random.Random, list[float], float], Points], most: int
) -> None:
    """A corner before the last of even points is told by that point alone: one of them in twelve is asked about."""
    found = [stray_point(points, "mm") for points in sound(shape, 1000)]
    assert sum(one is not None and one.is_end and one.meant_mm is None for one in found) <= most


def test_of_straight_fronts_with_a_figure_mistyped_at_an_end_most_are_found() -> None:
    chance = random.Random(9)
    found = of = 0
    for _ in range(400):
        count, step, off = chance.randint(5, 11), chance.choice((40, 60, 80, 100)), chance.randint(15, 90)
        points = [*((0.0, float(step * k)) for k in range(count - 1)), (float(off), float(step * (count - 1)))]
        of += 1
        found += getattr(stray_point(points, "mm"), "number", None) == count
    assert found > 0.8 * of


def test_of_ends_whose_digits_were_changed_over_many_are_found() -> None:
    """Not all can be: where the figure that was meant is far off where the edge leads, so is a sound bend."""
    found = of = 0
    for shape in (bust, neckline, waved):
        for points in sound(shape, 300):
            digits = f"{abs(points[-1][0]):g}"
            changed = float(digits[::-1])
            if len(digits) == 2 and abs(changed - abs(points[-1][0])) >= 20:
                of += 1
                mistyped = [*points[:-1], (math.copysign(changed, points[-1][0]), points[-1][1])]
                found += getattr(stray_point(mistyped, "mm"), "number", None) == len(points)
    assert of > 50 and found > of / 4


ON_A_FRONT = [(0.0, 0.0), (22.4, 199.1), (8.3, 399.3), (20.0, 600.0)]


@pytest.mark.parametrize(
    ("points", "is_guessed"),
    [
        (ON_A_FRONT, True),
        ([(x, y / 2) for x, y in ON_A_FRONT], True),
        ([(x / 4, y) for x, y in ON_A_FRONT], False),
        ([(0.0, 0.0), (0.0, 600.0)], False),
        ([(200 * math.sin(t / 20), 200 * (1 - math.cos(t / 20))) for t in range(12)], False),
    ],
    ids=["four over a front", "nearer, as bent", "nearly straight", "straight", "close to each other"],
)
def test_line_between_few_points_that_bend_is_said_to_be_a_guess(points: Points, is_guessed: bool) -> None:
    """Halfway along an arc of chord c that turns by the angle a, the line lies c a / 8 off the chord."""
    notes = read_points(points, "points", 0.2).notes
    assert bool(notes) == is_guessed
    assert not notes or (f"through {len(points)} points" in notes[0] and "it is guessed" in notes[0])


def test_edge_typed_in_cm_on_which_no_row_fits_is_asked_for_its_unit() -> None:
    points = [(0.0, 0.0), (0.9, 7.5), (2.2, 14.9), (1.0, 29.9), (1.0, 44.9), (2.0, 60.0)]
    text = PLAN.format(points=[list(one) for one in points]).replace(
        'pitch = "70 mm"', 'first = "16 mm"\nlast = "40 mm"\ncount = 9'
    )
    with pytest.raises(
        SpacingError, match=r"Look in which unit its figures were measured\. Was it meant as 60\.\d+ cm"
    ):
        check_plan(read_plan(text.encode(), "plan.toml"))
    longer = PLAN.format(points=[[0, 0], [3, 210]]).replace(
        'pitch = "70 mm"', 'first = "16 mm"\nlast = "40 mm"\ncount = 19'
    )
    with pytest.raises(SpacingError) as told:
        check_plan(read_plan(longer.encode(), "plan.toml"))
    assert "in which unit" not in str(told.value)


@pytest.mark.parametrize("noise_mm", [0.0, 0.3])
def test_edge_refused_for_rough_points_names_what_smooths_it(noise_mm: float) -> None:
    """A line that goes to and fro with its points leaves no room beside it, and no smaller inset is a cure of that."""
    noise = random.Random(4)
    points = [[20 * math.sin(y / 60) + noise.gauss(0, noise_mm), float(y)] for y in range(0, 601, 3)]
    plan = read_plan(PLAN.format(points=points).encode(), "plan.toml")
    edges = read_edges(plan)
    with pytest.raises(EdgeError) as told, doubting_edge(plan, edges, load_catalogue()):
        raise EdgeError("it runs into another part of the edge", where="the closing line", mend="")
    is_rough = re.search(r'its points are out by 0\.\d+ mm.* write read_within = "0\.\d5? mm"', str(told.value))
    assert bool(is_rough) == bool(noise_mm)
