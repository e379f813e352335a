"""Notches drawn into an outline: the sewn edge runs straight on across them, and so do its marks.

That a notch marks the cut piece and is no shape of the sewn edge is common practice; the rest is geometry: every case is
held against the same outline drawn without it.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from told import report_of

from closures.curve import Curve, Line
from closures.edges.dents import without_notches

PLAN = """
drawing = "a.svg"
[garment]
opens = "front"
pieces = "pair"
state = "cut pieces"
[edge]
path = "e"
{stretch}
[band]
width = "36 mm"
lap = "right over left"
cut = "shaped"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "16 mm"
last = "40 mm"
count = 9
"""
LENGTH_MM = 600.0


def front(down: float) -> tuple[float, float]:
    """A point of a shaped front, so far down."""
    return 150.0 + 18.0 * math.sin(down / 140.0), 60.0 + down


def drawn(*notches: tuple[float, tuple[tuple[float, float], ...]], step: float = 0.7) -> list[tuple[float, float]]:
    """The front in short strokes; each notch at a height down it as places along it and inside it."""
    places: list[tuple[float, float]] = []
    count = round(LENGTH_MM / step)
    for k in range(count + 1):
        down = LENGTH_MM * k / count
        over = next((one for at, one in notches if at + one[0][0] <= down <= at + one[-1][0]), None)
        if over is None:
            places.append(front(down))
    for at, one in notches:
        (x0, y0), (x1, y1) = front(at - 0.5), front(at + 0.5)
        size = math.hypot(x1 - x0, y1 - y0)
        ux, uy = (x1 - x0) / size, (y1 - y0) / size
        x, y = front(at)
        new = [(x + u * ux - v * uy, y + u * uy + v * ux) for u, v in one]
        k = next(k for k, place in enumerate(places) if place[1] > y)
        places[k:k] = new
    return places


def svg(places: list[tuple[float, float]], *, closed: bool) -> bytes:
    data = "M " + " L ".join(f"{x:.3f} {y:.3f}" for x, y in places)
    if closed:
        data += " L 20 660 L 14 300 L 40 110 L 60 40 L 110 30 L 130 50 Z"
    body = f'<path id="e" fill="none" stroke="#000" d="{data}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">{body}</svg>'.encode()


def report(places: list[tuple[float, float]], *, closed: bool) -> dict:
    (x0, y0), (x1, y1) = places[0], places[-1]
    stretch = f'from = ["{x0} mm", "{y0} mm"]\nto = ["{x1} mm", "{y1} mm"]' if closed else ""
    return report_of(PLAN.format(stretch=stretch), {"a.svg": svg(places, closed=closed)})


def looks_of_notches(told: dict) -> list[str]:
    return [
        one["text"]
        for one in told["checks"]
        if one["rule"] == "finished edge" and "drawn into this edge" in one["text"]
    ]


NOTCHES = {
    "V of 12 by 6": ((-6, 0), (0, 6), (6, 0)),
    "V of 8 by 2": ((-4, 0), (0, 2), (4, 0)),
    "V outwards": ((-4, 0), (0, -4), (4, 0)),
    "U of 10 by 3": ((-5, 0), (-5, 3), (5, 3), (5, 0)),
    "tooth outwards": ((-3, 0), (-3, -5), (3, -5), (3, 0)),
    "slit": ((-0.3, 0), (0, 5), (0.3, 0)),
    "wide at its bottom": ((-2, 0), (-4, 5), (4, 5), (2, 0)),
}


@pytest.mark.parametrize("closed", [True, False], ids=["round a piece", "a line of its own"])
@pytest.mark.parametrize("name", NOTCHES)
def test_marks_lie_as_on_the_same_edge_drawn_without_its_notch(name: str, closed: bool) -> None:
    plain, found = (report(drawn(*more), closed=closed) for more in ((), ((110.0, NOTCHES[name]),)))
    assert not looks_of_notches(plain)
    for one, other in zip(plain["marks"], found["marks"], strict=True):
        assert math.dist((one["x_mm"], one["y_mm"]), (other["x_mm"], other["y_mm"])) < 0.005
    (text,) = looks_of_notches(found)
    deep = max(abs(v) for _, v in NOTCHES[name])
    assert text.startswith("A notch is drawn into this edge")
    assert abs(float(text.split(", ")[1].split(" mm")[0]) - deep) < 0.5
    assert f"y {60 + 110:.0f} mm" in text or f"y {60 + 109:.0f} mm" in text or f"y {60 + 111:.0f} mm" in text


def test_several_notches_are_told_together() -> None:
    told = report(drawn((110.0, NOTCHES["V of 12 by 6"]), (400.0, NOTCHES["U of 10 by 3"])), closed=True)
    (text,) = looks_of_notches(told)
    assert text.startswith("Notches are drawn into this edge") and text.count(" deep at x ") == 2


def polyline(*points: tuple[float, float]) -> Curve:
    return Curve(tuple(Line(a, b) for a, b in pairwise(points)))


@pytest.mark.parametrize(
    "edge",
    [
        pytest.param(polyline((0, 0), (0, 100), (6, 100), (6, 300)), id="step"),
        pytest.param(polyline((0, 0), (0, 100), (60, 300)), id="corner"),
        pytest.param(polyline((0, 0), (0, 100), (30, 130), (0, 160), (0, 300)), id="wide point"),
        pytest.param(polyline((0, 0), (0, 100), (0.6, 104), (0, 108), (0, 300)), id="crumb"),
        pytest.param(polyline(*((6.0 * (k % 2), 8.0 * k) for k in range(40))), id="zigzag"),
        pytest.param(polyline(*((8 * abs(math.sin(math.pi * k / 20)), 0.8 * k) for k in range(400))), id="scallops"),
    ],
)
def test_what_does_not_run_on_as_before_is_no_notch(edge: Curve) -> None:
    assert without_notches(edge) == (edge, ())
