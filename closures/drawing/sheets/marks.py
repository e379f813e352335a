"""What a mark looks like on the lap that carries it.

Terms: the *rim* is the outer boundary of the largest part; to *prick through* is to push a pin
or an awl through paper and cloth at the centre. A dashed rim shows where the part will lie; a
whole line is something that is cut or made in the cloth.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import (
    FINE,
    INK,
    LINE,
    PAPER,
    RIM_NOT_CUT,
    Circle,
    Command,
    Group,
    Item,
    Path,
    Pen,
    Point,
    line,
    polygon,
    strokes,
)
from closures.frozen import frozen
from closures.placing.sewn_metal import outline_mm, ring_radius_mm

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener, LapName
    from closures.placing.buttonhole import Buttonhole

DOT_RADIUS_MM = 0.3
STAYS_RADIUS_MM = 0.7
"""The middle of a closure that stays: an open ring, since a dot is where a mark is made."""
_OUTLINED = ("hook", "eye", "bar", "loop")
RINGED = ("prick", "hole", "stitch points", "button", "shank", "two slits", "bore")
"""Styles of which a closure that stays is drawn by its rim."""
_CROSS_GAP_MM = 0.9
_CROSS_PAST_RIM_MM = 2.0
_LEAST_RIM_MM = 2.5
_SHANK_MM = 1.2
_HOLE_PEN = Pen(0.35, fill=1.0)
FOOT = Pen(0.5)
"""The ticks at the feet of a loop."""
FOOT_TICK_MM = 2.0


@frozen
class Look:
    """What is needed to draw a mark, in mm.

    Attributes:
        style: one of the catalogue's mark styles.
        rim_mm: centre to rim; 0 where no figure is known.
        hole_mm: diameter of the hole or bore, 0 for none.
        extent_mm: width across the line and height along it of a part that is not round.
        buttonhole: the buttonhole, for that style.
        is_taped: it comes on a tape: it has no rings that are sewn.
        arms_mm: how far the arms of its cross may reach along the line, before they meet those of the next mark.
        stays: its closure is there already and stays: no sign says to make anything there.
    """

    style: str
    rim_mm: float
    hole_mm: float = 0.0
    extent_mm: tuple[float, float] | None = None
    buttonhole: Buttonhole | None = None
    is_taped: bool = False
    arms_mm: float = math.inf
    stays: bool = False

    @property
    def is_round(self) -> bool:
        """Whether all its ink lies round its centre: that of a hook, an eye or a slit lies to one side."""
        return self.rim_mm > 0 and self.style not in ("hook", "eye", "bar", "buttonhole", "loop")


@frozen
class Stand:
    """Where a mark stands: its centre, and unit directions towards the last end and the edge."""

    x: float
    y: float
    along: Point
    to_edge: Point

    def at(self, u: float, v: float) -> Point:
        """Find the place `u` mm towards the last end and `v` mm towards the edge from the centre."""
        return (
            self.x + u * self.along[0] + v * self.to_edge[0],
            self.y + u * self.along[1] + v * self.to_edge[1],
        )

    def curve(self, *commands: Command, pen: Pen) -> Path:
        """Draw a path whose points are (u, v) pairs as in `at`."""
        placed: list[Command] = []
        for name, *rest in commands:
            numbers = [float(value) for value in rest]
            points = [self.at(u, v) for u, v in zip(numbers[0::2], numbers[1::2], strict=True)]
            placed.append((name, *(value for point in points for value in point)))
        return Path(tuple(placed), pen)


def look_of(fastener: Fastener, lap: LapName, buttonhole: Buttonhole | None) -> Look:
    """Find what marks of a fastener look like on one lap."""
    style = fastener.mark.on(lap)
    hole = 0.0 if fastener.hole is None or fastener.hole.diameter is None else fastener.hole.diameter.value
    return Look(style, fastener.rim_mm, hole, fastener.extent_mm, buttonhole, fastener.is_taped)


def reach_mm(look: Look) -> float:
    """How far a mark's ink reaches from its centre, in mm."""
    reach = max(look.rim_mm, _LEAST_RIM_MM) + _CROSS_PAST_RIM_MM
    if look.style in ("hook", "eye"):
        return max(reach, (look.extent_mm or (max(2 * look.rim_mm, 6.0), 0.0))[0] + 1.5)
    if look.style == "loop" and look.extent_mm is not None:
        return max(reach, look.extent_mm[0] + 1.5)
    if look.style == "buttonhole" and look.buttonhole is not None:
        return max(reach, look.buttonhole.before_mm + 1.5, look.buttonhole.after_mm + 1.5)
    return reach


def draw_mark(lap: LapName, n: int, title: str, stand: Stand, look: Look) -> Group:
    """Draw one mark, its centre exactly at ``stand.x, stand.y``."""
    draw = _STYLES.get(look.style, _prick)
    centre = Circle(stand.x, stand.y, DOT_RADIUS_MM, INK, "centre")
    if look.stays:
        draw, centre = _staying, Circle(stand.x, stand.y, STAYS_RADIUS_MM, FINE, "centre")
    return Group(f"{lap}-{n}", title, (*draw(stand, look), centre))


def _staying(stand: Stand, look: Look) -> tuple[Item, ...]:
    """What is there: the part by its whole rim or its outline; its old buttonhole is drawn with what was before."""
    if look.style in _OUTLINED:
        drawn = _STYLES[look.style](stand, look)
        return tuple(item for item in drawn if getattr(item, "pen", None) == LINE)
    if look.style == "buttonhole":
        return ()
    return (Circle(stand.x, stand.y, max(look.rim_mm, _LEAST_RIM_MM), LINE, "rim"),)


def _rim(stand: Stand, look: Look) -> tuple[Item, ...]:
    return (Circle(stand.x, stand.y, look.rim_mm, RIM_NOT_CUT, "rim"),) if look.rim_mm else ()


def _cross(stand: Stand, look: Look, gap_mm: float = _CROSS_GAP_MM) -> Item:
    far = max(look.rim_mm, _LEAST_RIM_MM) + _CROSS_PAST_RIM_MM
    # Beside a near neighbour it ends at its own rim: arms that met would leave no place for a join.
    near = max(min(far, look.arms_mm), look.rim_mm, gap_mm)
    ways = ((1.0, 0.0, near), (-1.0, 0.0, near), (0.0, 1.0, far), (0.0, -1.0, far))
    arms = [(u, v, to) for u, v, to in ways if to > gap_mm]
    return strokes(((stand.at(u * gap_mm, v * gap_mm), stand.at(u * to, v * to)) for u, v, to in arms), FINE)


def _prick(stand: Stand, look: Look) -> tuple[Item, ...]:
    return (*_rim(stand, look), _cross(stand, look))


def _hole(stand: Stand, look: Look) -> tuple[Item, ...]:
    radius = look.hole_mm / 2 or 0.75
    hole = Circle(stand.x, stand.y, radius, _HOLE_PEN, "hole")
    return (*_rim(stand, look), _cross(stand, look, radius + 0.6), hole)


def _stitch_points(stand: Stand, look: Look) -> tuple[Item, ...]:
    far = 0.55 * max(look.rim_mm, _LEAST_RIM_MM)
    points = [stand.at(u * far, v * far) for u in (-1, 1) for v in (-1, 1)]
    return (
        *_rim(stand, look),
        _cross(stand, look),
        *(Circle(x, y, 0.4, INK, "stitch") for x, y in points),
    )


def _button(stand: Stand, look: Look) -> tuple[Item, ...]:
    # Two sew-through holes stand about 1/6 of a diameter either side of the middle, and the stitches through them lie
    # in line with the buttonhole: common practice.
    far = max(look.rim_mm / 3, 1.2)
    u, v = look.buttonhole.way_in((1.0, 0.0), (0.0, -1.0)) if look.buttonhole is not None else (1.0, 0.0)
    points = [stand.at(side * far * u, side * far * v) for side in (-1, 1)]
    return (
        *_rim(stand, look),
        _cross(stand, look, far + 1.4),
        *(Circle(x, y, 0.6, _HOLE_PEN, "stitch") for x, y in points),
    )


def _shank(stand: Stand, look: Look) -> tuple[Item, ...]:
    # It is sewn on in one place, at the mark itself: common practice.
    shank = Circle(stand.x, stand.y, _SHANK_MM, LINE, "stitch")
    return (*_rim(stand, look), _cross(stand, look, _SHANK_MM + _CROSS_GAP_MM), shank)


def _buttonhole(stand: Stand, look: Look) -> tuple[Item, ...]:
    slit = look.buttonhole
    if slit is None:
        return _prick(stand, look)
    # It reaches past the mark: across, towards the edge; along, towards the first end.
    u, v = slit.way_in((1.0, 0.0), (0.0, -1.0))

    def turn(a: float, b: float) -> Point:
        return stand.at(a * u - b * v, a * v + b * u)

    start, end = -slit.before_mm, slit.after_mm
    bars = [(turn(a, -1.6), turn(a, 1.6)) for a in (start, end)]
    return (
        *_rim(stand, look),
        _cross(stand, look),
        Path((("M", *turn(start, 0.0)), ("L", *turn(end, 0.0))), Pen(0.5)),
        strokes(bars, Pen(0.5)),
        Circle(stand.x, stand.y, _CROSS_GAP_MM, PAPER),
    )


def _two_slits(stand: Stand, look: Look) -> tuple[Item, ...]:
    # Where the prongs stand differs from maker to maker: the washer is the template, so these
    # only show which way the slits run.
    far, half = 0.45 * max(look.rim_mm, _LEAST_RIM_MM), 0.3 * max(look.rim_mm, _LEAST_RIM_MM)
    slits = [(stand.at(-half, v), stand.at(half, v)) for v in (-far, far)]
    return (*_rim(stand, look), _cross(stand, look, far + 1.0), strokes(slits, Pen(0.5)))


def _hook(stand: Stand, look: Look) -> tuple[Item, ...]:
    width, height = outline_mm(look.rim_mm, look.extent_mm)
    b, r = height / 4, ring_radius_mm(height)
    far = _from_rings(look, width, r)
    # The mark is the working end: the inside of the bend, from which the hook reaches away from the edge.
    bend = stand.curve(
        ("M", -b, far),
        ("L", -b, -b),
        ("C", -b, b / 3, b, b / 3, b, -b),
        ("L", b, far),
        pen=LINE,
    )
    return (bend, *_rings(stand, look, b + r / 2, width, r), _cross(stand, look))


def _from_rings(look: Look, width: float, r: float) -> float:
    """Where the metal comes from its rings, or off its tape."""
    return -width if look.is_taped else -width + 2 * r


def _rings(stand: Stand, look: Look, off: float, width: float, r: float) -> tuple[Item, ...]:
    """The two rings, so far off the middle, by which a hook or an eye is sewn on; none of what a tape holds."""
    if look.is_taped:
        return ()
    places = [stand.at(u, -width + r) for u in (-off, off)]
    return tuple(Circle(x, y, r, LINE, "ring") for x, y in places)


def _eye(stand: Stand, look: Look) -> tuple[Item, ...]:
    width, height = outline_mm(look.rim_mm, look.extent_mm)
    a, b, r = width / 2, height / 2, ring_radius_mm(height)
    far = _from_rings(look, width, r)
    # The mark is the working end: the bow that the hook catches.
    loop = stand.curve(
        ("M", -b / 2, far),
        ("C", -1.6 * b, a * -0.6, -b, 0.0, 0.0, 0.0),
        ("C", b, 0.0, 1.6 * b, a * -0.6, b / 2, far),
        pen=LINE,
    )
    return (loop, *_rings(stand, look, b / 2 + r, width, r), _cross(stand, look))


def _loop(stand: Stand, look: Look) -> tuple[Item, ...]:
    # The mark lies on the edge, half way between the feet, and the loop reaches past the edge. The paper is cut along
    # that edge: what is to be marked must be seen within it.
    reach, feet = look.extent_mm or (max(look.rim_mm, 4.0), 0.0)
    a, b = feet / 2, max(feet / 2, reach / 4)
    bow = stand.curve(
        ("M", -a, 0.0),
        ("C", -b, reach * 0.5, -b, reach, 0.0, reach),
        ("C", b, reach, b, reach * 0.5, a, 0.0),
        pen=LINE,
    )
    far = a + _CROSS_PAST_RIM_MM
    near = FOOT_TICK_MM if a else _CROSS_GAP_MM
    cross = strokes(
        (
            (stand.at(u * start, v * start), stand.at(u * far, v * far))
            for u, v, start in ((1, 0, _CROSS_GAP_MM), (-1, 0, _CROSS_GAP_MM), (0, -1, near))
        ),
        FINE,
    )
    feet_ticks = strokes(((stand.at(u, 0.0), stand.at(u, -FOOT_TICK_MM)) for u in (-a, a)), FOOT) if a else None
    return (bow, *((feet_ticks,) if feet_ticks else ()), cross)


def _bar(stand: Stand, look: Look) -> tuple[Item, ...]:
    width, height = look.extent_mm or (max(look.rim_mm, 4.0), max(2 * look.rim_mm, 8.0))
    u, v = max(width, height) / 2, min(width, height) / 6
    plate = polygon((stand.at(-u, -v), stand.at(u, -v), stand.at(u, v), stand.at(-u, v)), LINE)
    ends = [stand.at(s * (u - v - 0.4), 0.0) for s in (-1, 1)]
    return (plate, *(Circle(x, y, 0.5, INK, "stitch") for x, y in ends), _cross(stand, look))


def _bore(stand: Stand, look: Look) -> tuple[Item, ...]:
    radius = look.hole_mm / 2 or look.rim_mm / 2
    cross = strokes(
        ((stand.at(u * 0.6, v * 0.6), stand.at(u * radius, v * radius)) for u, v in ((1, 0), (-1, 0), (0, 1), (0, -1))),
        FINE,
    )
    return (
        *_rim(stand, look),
        Circle(stand.x, stand.y, radius, _HOLE_PEN, "hole"),
        cross,
        _ticks(stand, look),
    )


def _ticks(stand: Stand, look: Look) -> Item:
    near = max(look.rim_mm, _LEAST_RIM_MM)
    return line(stand.at(-near, 0.0), stand.at(-near - _CROSS_PAST_RIM_MM, 0.0), pen=FINE)


_STYLES: dict[str, Callable[[Stand, Look], tuple[Item, ...]]] = {
    "prick": _prick,
    "hole": _hole,
    "stitch points": _stitch_points,
    "button": _button,
    "shank": _shank,
    "buttonhole": _buttonhole,
    "two slits": _two_slits,
    "hook": _hook,
    "eye": _eye,
    "bar": _bar,
    "bore": _bore,
    "loop": _loop,
}
