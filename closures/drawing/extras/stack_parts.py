"""How each part of a closure looks from the side, with its mating side down, for the picture of the stack."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import INK, LINE, Item, Path, Pen, line, polygon, strokes

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener

HALF_MM = 13.0
_BODY = Pen(0.35, fill=0.92)
_DARK = Pen(0.35, fill=0.75)
_ROUND = 4 * (2**0.5 - 1) / 3
"""How far the handles of a quarter of a circle reach, as a share of its radius."""
_LOOP_OUT_MM, _LOOP_HALF_MM = 6.0, 1.8
"""How far past its edge a loop is drawn, and half as high as it is there; not to scale, as all parts."""
Figure = Callable[[], tuple[Item, ...]]


def figure_of(fastener: Fastener, name: str) -> Figure:
    """Find how a part looks from the side; of one name, parts differ by how they go into the cloth."""
    if name == "cap" and fastener.hole is not None and fastener.hole.way == "pierced":
        return _prong_cap
    if name == "button" and fastener.is_ball:
        return _ball_button
    if name == "button" and fastener.kind == "shank button":
        return _shank_button
    return _FIGURES.get(name, _plate)


def _dome() -> Path:
    return Path(
        (
            ("M", -HALF_MM, 0.4),
            ("C", -HALF_MM, -2.6, -6.0, -2.9, 0.0, -2.9),
            ("C", 6.0, -2.9, HALF_MM, -2.6, HALF_MM, 0.4),
            ("Z",),
        ),
        _BODY,
    )


def _cap() -> tuple[Item, ...]:
    return (_dome(), polygon(((-1.0, 0.4), (1.0, 0.4), (0.5, 3.0), (-0.5, 3.0)), _DARK))


def _prongs(top: float) -> list[Item]:
    return [polygon(((x - 0.7, top), (x + 0.7, top), (x, 2.9)), INK) for x in (-9.0, -4.5, 4.5, 9.0)]


def _prong_cap() -> tuple[Item, ...]:
    return (_dome(), *_prongs(0.4))


def _socket() -> tuple[Item, ...]:
    # Its hollow opens towards the stud.
    shape = (
        (-9.5, -2.0),
        (9.5, -2.0),
        (9.5, 0.0),
        (6.0, 2.8),
        (3.6, 2.8),
        (3.6, -0.2),
        (-3.6, -0.2),
        (-3.6, 2.8),
        (-6.0, 2.8),
        (-9.5, 0.0),
    )
    return (polygon(shape, _BODY),)


def _stud() -> tuple[Item, ...]:
    # Its knob stands towards the socket.
    shape = (
        (-9.5, -2.2),
        (9.5, -2.2),
        (9.5, -0.6),
        (3.0, -0.6),
        (2.6, 0.6),
        (3.3, 2.0),
        (2.4, 3.0),
        (-2.4, 3.0),
        (-3.3, 2.0),
        (-2.6, 0.6),
        (-3.0, -0.6),
        (-9.5, -0.6),
    )
    return (polygon(shape, _BODY),)


def _ring() -> tuple[Item, ...]:
    ring = polygon(((-HALF_MM, -2.6), (HALF_MM, -2.6), (HALF_MM, -0.8), (-HALF_MM, -0.8)), _BODY)
    return (ring, *_prongs(-0.8))


def _post() -> tuple[Item, ...]:
    head = polygon(((-8.0, -2.6), (8.0, -2.6), (8.0, -1.2), (-8.0, -1.2)), _BODY)
    return (head, polygon(((-1.7, -1.2), (1.7, -1.2), (1.7, 3.0), (-1.7, 3.0)), _DARK))


def _button() -> tuple[Item, ...]:
    return (
        polygon(((-11.0, -1.2), (11.0, -1.2), (11.0, 1.4), (-11.0, 1.4)), _BODY),
        line((-2.0, -1.2), (-2.0, -2.8), pen=LINE),
        line((2.0, -1.2), (2.0, -2.8), pen=LINE),
    )


def _shank_button() -> tuple[Item, ...]:
    loop = Path((("M", -2.4, -0.6), ("C", -2.4, -3.6, 2.4, -3.6, 2.4, -0.6)), Pen(0.6))
    return (polygon(((-11.0, -0.6), (11.0, -0.6), (9.0, 2.2), (-9.0, 2.2)), _BODY), loop)


def _ball_button() -> tuple[Item, ...]:
    loop = Path((("M", -1.6, -1.4), ("C", -1.6, -3.8, 1.6, -3.8, 1.6, -1.4)), Pen(0.6))
    r, k = 2.6, _ROUND * 2.6
    top, middle, low = 0.8 - r, 0.8, 0.8 + r
    ball = Path(
        (
            ("M", -r, middle),
            ("C", -r, middle - k, -k, top, 0.0, top),
            ("C", k, top, r, middle - k, r, middle),
            ("C", r, middle + k, k, low, 0.0, low),
            ("C", -k, low, -r, middle + k, -r, middle),
            ("Z",),
        ),
        _BODY,
    )
    return (loop, ball)


def _hook() -> tuple[Item, ...]:
    bend = Path(
        (("M", 9.0, -1.6), ("L", -6.0, -1.6), ("C", -10.5, -1.6, -10.5, 2.4, -6.0, 2.4), ("L", 0.0, 2.4)), Pen(0.9)
    )
    return (bend,)


def loop_past_an_edge(sewn_mm: float, edge: float, y: float) -> Item:
    """A loop of cord that comes out to the left past an edge, from where its ends are sewn to where it is open."""
    tip, high = edge - _LOOP_OUT_MM, _LOOP_HALF_MM
    return Path(
        (
            ("M", edge + sewn_mm, y),
            ("L", edge, y),
            ("C", edge - 2.0, y - high, tip, y - 1.2 * high, tip, y),
            ("C", tip, y + 1.2 * high, edge - 2.0, y + high, edge, y),
        ),
        Pen(0.9),
    )


def _bar() -> tuple[Item, ...]:
    shape = Path(
        (("M", -9.0, -2.0), ("L", -6.0, -2.0), ("L", -4.0, 1.6), ("L", 4.0, 1.6), ("L", 6.0, -2.0), ("L", 9.0, -2.0)),
        Pen(0.9),
    )
    return (shape,)


def _plate() -> tuple[Item, ...]:
    return (polygon(((-9.5, -1.4), (9.5, -1.4), (9.5, 1.4), (-9.5, 1.4)), _BODY),)


def _eyelet() -> tuple[Item, ...]:
    flange = polygon(((-9.5, -2.6), (9.5, -2.6), (9.5, -1.2), (-9.5, -1.2)), _BODY)
    tubes = [polygon(((x, -1.2), (x + 1.2, -1.2), (x + 1.2, 2.8), (x, 2.8)), _DARK) for x in (-4.6, 3.4)]
    return (flange, *tubes)


def slit() -> tuple[Item, ...]:
    """A buttonhole, seen from above: it has no parts."""
    bars = strokes((((x, -1.6), (x, 1.6)) for x in (-9.0, 9.0)), Pen(0.9))
    return (line((-9.0, 0.0), (9.0, 0.0), pen=Pen(0.9)), bars)


_FIGURES: dict[str, Figure] = {
    "cap": _cap,
    "socket": _socket,
    "socket half": _socket,
    "stud": _stud,
    "ball half": _stud,
    "prong ring": _ring,
    "post": _post,
    "tack": _post,
    "button": _button,
    "tack button": _button,
    "hook": _hook,
    "eye": _bar,
    "round eye": _bar,
    "straight eye": _bar,
    "bar": _bar,
    "eyelet": _eyelet,
}
