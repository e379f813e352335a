"""Squares and rules that show whether a page was printed at its true size."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from closures.drawing.ink.lettering import LEAST_FIGURE_HEIGHT, width_of, wrapped
from closures.drawing.ink.shapes import LINE, Align, Group, Item, Pen, Point, Words, line, rectangle, strokes
from closures.drawing.ink.type_scale import USUAL_TYPE

INCH_MM = 25.4
SQUARE_MM = 50.0
SQUARE_INCHES = 2
_Place = Callable[[float, float], Point]
_TICK = Pen(0.16)
_BASE = Pen(0.25)
RULE_FIGURE_MM = 1.6 / LEAST_FIGURE_HEIGHT
"""The usual size of a rule's figures, which are 1.6 mm high; larger ones want a deeper strip."""

_HEIGHT, _OFF_FIGURE_MM = 0.66, 3.1
_RULE_GAP_MM = 2.0


def square_50_mm(x: float, y: float, grown: float = 1.0) -> Group:
    """Draw the 50 mm square, its corner at (x, y), with what it is for; letters may be larger than usual."""
    if grown > 1.0:
        return _large_square_50_mm(x, y, grown)
    items: list[Item] = [rectangle((x, y, x + SQUARE_MM, y + SQUARE_MM), LINE)]
    middle = x + SQUARE_MM / 2
    items.append(Words(middle, y + 18.0, "50 mm", 8.0, "middle", 0.0, "bold"))
    rows = ("void unless this square", "measures 50 mm")
    items += [Words(middle, y + 26.0 + 4.4 * i, row, 3.7, "middle", 0.0, "semibold") for i, row in enumerate(rows)]
    small = USUAL_TYPE.figure
    advice = wrapped("Print at 100 %, with nothing fitted to the page. Measure it across and down.", small, 45.0)
    items += [Words(middle, y + 38.0 + 3.8 * i, row, small, "middle") for i, row in enumerate(advice)]
    return Group("square-50-mm", "50 mm square", tuple(items))


def _large_square_50_mm(x: float, y: float, grown: float) -> Group:
    """Draw it with as many rows as larger letters leave room for."""
    items: list[Item] = [rectangle((x, y, x + SQUARE_MM, y + SQUARE_MM), LINE)]
    middle, size, small = x + SQUARE_MM / 2, 3.7 * grown, USUAL_TYPE.figure * grown
    items.append(Words(middle, y + 9.0, "50 mm", 8.0, "middle", 0.0, "bold"))
    rows = wrapped("void unless this square measures 50 mm", size, SQUARE_MM - 4.0, "semibold")
    items += [
        Words(middle, y + 17.0 + 1.2 * size * i, row, size, "middle", 0.0, "semibold") for i, row in enumerate(rows)
    ]
    advice = wrapped("Print at 100 %, nothing fitted to the page.", small, SQUARE_MM - 4.0)
    low = y + SQUARE_MM - 2.4
    items += [Words(middle, low - 1.2 * small * i, row, small, "middle") for i, row in enumerate(reversed(advice))]
    return Group("square-50-mm", "50 mm square", tuple(items))


def square_2_in(x: float, y: float, inside: tuple[Item, ...], grown: float = 1.0) -> Group:
    """Draw the 2 in square, its corner at (x, y), round other things."""
    side = SQUARE_INCHES * INCH_MM
    label = Words(x + 1.8, y + 1.6 + 2.8 * grown, "2 in", 4.2 * grown, "start", 0.0, "bold")
    return Group("square-2-in", "2 in square", (rectangle((x, y, x + side, y + side), LINE), label, *inside))


def rule_deep_mm(figure_mm: float) -> float:
    """How much room a rule takes across, its figures on either side of it counted in."""
    return 10.0 + 2 * _HEIGHT * (figure_mm - RULE_FIGURE_MM)


@lru_cache(maxsize=32)
def rule_across(
    zero: Point, length_mm: float, figure_mm: float = RULE_FIGURE_MM, gap_mm: float = _RULE_GAP_MM
) -> Group:
    """Draw a rule that runs to the right from `zero`, in mm above and inches below its line, and a gap away from it."""
    x0, base = zero[0], zero[1] - gap_mm - rule_deep_mm(figure_mm) / 2

    def at(along: float, up: float) -> Point:
        return (x0 + along, base - up)

    return _rule("rule-across", f"rule across, {length_mm:g} mm", at, length_mm, 0.0, figure_mm)


@lru_cache(maxsize=32)
def rule_down(
    zero: Point,
    length_mm: float,
    reads_down: bool = False,
    figure_mm: float = RULE_FIGURE_MM,
    gap_mm: float = _RULE_GAP_MM,
) -> Group:
    """Draw a rule that runs down from `zero`, in mm left and inches right of its line.

    Its figures are read from the right, or, where it reads down, from the left like all else on a page of templates.
    """
    y0, base = zero[1], zero[0] - gap_mm - rule_deep_mm(figure_mm) / 2

    def at(along: float, up: float) -> Point:
        return (base - up, y0 + along)

    return _rule("rule-down", f"rule down, {length_mm:g} mm", at, length_mm, 90.0 if reads_down else -90.0, figure_mm)


def _rule(name: str, title: str, at: _Place, length_mm: float, angle_deg: float, figure_mm: float) -> Group:
    ticks = [(at(float(k), 0.0), at(float(k), _mm_tick(k))) for k in range(int(length_mm) + 1)]
    sixteenths = range(int(length_mm / INCH_MM * 16) + 1)
    ticks += [(at(k * INCH_MM / 16, 0.0), at(k * INCH_MM / 16, -_inch_tick(k))) for k in sixteenths]
    items: list[Item] = [line(at(0.0, 0.0), at(length_mm, 0.0), pen=_BASE), strokes(ticks, _TICK)]
    # A letter's height stands off the line on its own side whichever way the rule runs and is read.
    tall = _HEIGHT * figure_mm
    over, under = (0.0, -tall) if angle_deg <= 0.0 else (tall, 0.0)
    above, below = _OFF_FIGURE_MM + over, -_OFF_FIGURE_MM + under
    marks = [(10.0 * k, above, str(10 * k)) for k in range(int(length_mm / 10) + 1)]
    marks += [(INCH_MM * k, below, str(k)) for k in range(int(length_mm / INCH_MM) + 1)]
    for along, up, text in marks:
        items.append(Words(*at(along, up), text, figure_mm, "middle", angle_deg))
    way: Align = "start" if angle_deg >= 0.0 else "end"
    # Large letters of the unit reach up to the last figure: there they stand beyond it.
    end = 1.4 if 0.9 + tall < _OFF_FIGURE_MM else 0.8 + width_of(f"{length_mm:g}", figure_mm) / 2
    for up, unit in ((0.9 + over, "mm"), (-0.9 + under, "in")):
        items.append(Words(*at(length_mm + end, up), unit, figure_mm, way, angle_deg, "semibold"))
    return Group(name, title, tuple(items))


def _mm_tick(k: int) -> float:
    return 2.7 if k % 10 == 0 else 2.0 if k % 5 == 0 else 1.3


def _inch_tick(k: int) -> float:
    for part, length in ((16, 2.7), (8, 2.2), (4, 1.8), (2, 1.3)):
        if k % part == 0:
            return length
    return 0.8
