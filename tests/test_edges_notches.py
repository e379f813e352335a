"""A notch drawn as one straight line: the place that is meant lies where it meets the edge, whichever end it was begun at."""

from __future__ import annotations

import math

import pytest
from told import report_of

PLAN = """
drawing = "a.svg"
[garment]
opens = "front"
pieces = "pair"
[edge]
path = "edge"
level_zero = "zero"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 6
[[anchor]]
name = "bust"
{anchor}
"""


def svg(notch: str, zero: str = "M300 50 h1") -> bytes:
    body = f'<path id="edge" d="M300 50 L180 450"/><path id="bust" d="{notch}"/><path id="zero" d="{zero}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="500mm" viewBox="0 0 400 500">{body}</svg>'.encode()


# On the edge, 200 mm from its first end, and slanting off it by 12 mm level with the page.
X, Y = 300 - 200 * 120 / math.hypot(120, 400), 50 + 200 * 400 / math.hypot(120, 400)


@pytest.mark.parametrize(
    "notch",
    [
        f"M{X} {Y} h-12",
        f"M{X - 12} {Y} h12",
        f"M{X - 7} {Y - 3} L{X + 7} {Y + 3}",
        f"M{X + 7} {Y + 3} L{X - 7} {Y - 3}",
        f"M{X} {Y} l8 9",
        f"M{X + 8} {Y + 9} l-8 -9",
    ],
    ids=["from the edge", "to the edge", "across", "across, begun inside", "slanting", "slanting, begun outside"],
)
def test_notch_means_the_place_where_it_meets_the_edge(notch: str) -> None:
    report = report_of(PLAN.format(anchor='at = "bust"\nwithin = "0 mm"'), {"a.svg": svg(notch)})
    (mark,) = [mark for mark in report["marks"] if mark["anchor"] == "bust"]
    # The line lies 15 mm inside the straight edge, and its marks are square across from their places on it.
    assert math.dist((mark["x_mm"], mark["y_mm"]), (X, Y)) == pytest.approx(15.0, abs=2e-3)


@pytest.mark.parametrize("zero", ["M300 50 l12 -9", "M312 41 l-12 9"])
def test_level_zero_at_a_notch_is_where_it_meets_the_edge(zero: str) -> None:
    report = report_of(PLAN.format(anchor='level = "150 mm"\nwithin = "0 mm"'), {"a.svg": svg("M0 0 h1", zero)})
    (mark,) = [mark for mark in report["marks"] if mark["anchor"] == "bust"]
    assert mark["y_mm"] == pytest.approx(200, abs=2e-3)
