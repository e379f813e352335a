"""What the wearer sees of a swap: the front before and after, side by side, small."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.shapes import FINE, INK, LINE, Circle, Item, Path, Pen, Words, line, mapped, moved
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Picture, Section
from closures.drawing.write.svg import write_shapes
from closures.jobs.swap.covers import hole_past_button_mm
from closures.jobs.swap.offer import FALSE_BUTTONS, laps_in_sight
from closures.lengths import SAME_MM

if TYPE_CHECKING:
    from closures.jobs.swap.old_row import OldHole
    from closures.jobs.swap.swap import Swap

_TALL_MM = 96.0
_APART_MM = 50.0
_TOP_MM = 14.0
# Small, or a button of a long front would be a dot: nothing here is to scale but where it lies along the edge.
_BUTTON_MM, _SNAP_MM, _HOLE_MM = 1.7, 1.4, 2.4
_SHOWS = Pen(0.3, fill=1.0)
_CLOSED = Pen(0.25, (0.7, 0.7))


def worn_front(swap: Swap) -> list[Section | Picture]:
    """Draw the closed front as it is seen from outside, before the swap and after the offer in hand.

    Args:
        swap: with its offer.

    Returns:
        Two fronts beside each other, with what each shows in words.
    """
    picture = _picture(swap)
    return [Section("The front as it is seen: before, and after this offer", (picture.text,)), picture]


def draw_worn_front(swap: Swap) -> bytes:
    """Draw the same picture as an SVG."""
    picture = _picture(swap)
    return write_shapes(picture.text, *picture.size_mm, picture.items)


def _picture(swap: Swap) -> Picture:
    items: list[Item] = []
    size = USUAL_TYPE.text
    for k, (name, drawn) in enumerate((("before", _before(swap)), ("after", _after(swap)))):
        items.append(Words(k * _APART_MM + 14.0, _TOP_MM - 5.0, name, size, "middle", 0.0, "semibold"))
        items += [moved(item, k * _APART_MM + 8.0, _TOP_MM) for item in drawn]
    return Picture(tuple(items), (2 * _APART_MM - 30.0, _TOP_MM + _TALL_MM + 4.0), front_in_words(swap))


def front_in_words(swap: Swap) -> str:
    """Tell what the picture of the offer in hand shows."""
    offer, old = swap.offer, swap.old
    if offer.kind in FALSE_BUTTONS:
        told = f"After: {len(offer.kept)} buttons for show, and no snap in sight."
        if offer.hiding == "beneath":
            told += " The outer layer of the over lap covers every part."
        if _past_buttons(swap):
            told += " The closed buttonholes (dashed) show past them, as before."
    else:
        told = f"After: {len(offer.placement.marks)} × {offer.placement.fastener.kind}"
        told += f", and {len(offer.in_sight)} old holes sewn shut (dashed)." if offer.in_sight and old.made else "."
    return f"Before: {len(old.places_mm)} × {old.fastener.kind}. {told} Drawn small; places are true along the edge."


def _past_buttons(swap: Swap) -> tuple[OldHole, ...]:
    """The closed buttonholes that buttons for show do not hide whole."""
    if swap.offer.hiding is None:
        return ()
    rim_mm = swap.old.fastener.rim_mm
    return tuple(hole for hole in swap.old.holes if hole.made and hole_past_button_mm(hole, rim_mm) > SAME_MM)


def _scale(swap: Swap) -> tuple[float, float, float]:
    laps = swap.offer.placement.laps
    curves = (laps.over.edge, laps.line, *(() if laps.over.inner is None else (laps.over.inner,)))
    x0, y0, x1, y1 = union(box_of(Path(curve.path(), LINE)) for curve in curves)
    scale = min(_TALL_MM / max(y1 - y0, 1.0), 30.0 / max(x1 - x0, 1.0))
    return scale, -scale * x0, -scale * y0


def _frame(swap: Swap) -> list[Item]:
    scale, dx, dy = _scale(swap)
    over = swap.offer.placement.laps.over
    items: list[Item] = [Path(mapped(over.edge.path(), scale, scale, dx, dy), Pen(0.4))]
    if over.inner is not None:
        items.append(Path(mapped(over.inner.path(), scale, scale, dx, dy), FINE))
        ends = ((0.0, 0.0), (over.edge.length_mm, over.inner.length_mm))
        items += [
            line(_place(swap, over.edge.point_at(one)), _place(swap, over.inner.point_at(other)), pen=FINE)
            for one, other in ends
        ]
    return items


def _place(swap: Swap, point: tuple[float, float]) -> tuple[float, float]:
    scale, dx, dy = _scale(swap)
    return scale * point[0] + dx, scale * point[1] + dy


def _button(x: float, y: float, way: str | None = "across") -> list[Item]:
    """Draw a button, its two holes in line with the buttonhole."""
    dx, dy = (0.5, 0.0) if way == "across" else (0.0, 0.5)
    return [Circle(x, y, _BUTTON_MM, _SHOWS), *(Circle(x + side * dx, y + side * dy, 0.22, INK) for side in (-1, 1))]


def _slit(x: float, y: float, way: str | None, pen: Pen) -> Item:
    if way == "across":
        return line((x - _HOLE_MM, y), (x + _HOLE_MM, y), pen=pen)
    return line((x, y - _HOLE_MM), (x, y + _HOLE_MM), pen=pen)


def _before(swap: Swap) -> list[Item]:
    items = _frame(swap)
    for place in swap.old.places_mm:
        x, y = _place(swap, swap.offer.placement.laps.line.point_at(place))
        if swap.old.fastener.family == "button":
            way = next((hole.way for hole in swap.old.holes), None)
            items += [_slit(x, y, way, FINE), *_button(x, y, way)]
        else:
            items.append(Circle(x, y, _SNAP_MM, _SHOWS))
    return items


def _after(swap: Swap) -> list[Item]:
    offer, items = swap.offer, _frame(swap)
    hidden, was = offer.kind in FALSE_BUTTONS, next((hole.way for hole in swap.old.holes), None)
    laps = laps_in_sight(offer.placement)
    seen = {hole.n: hole for hole in swap.old.holes if hole.made and hole.lap in laps and hole.n in offer.in_sight}
    seen |= {hole.n: hole for hole in _past_buttons(swap)}
    for hole in seen.values():
        items.append(_slit(*_place(swap, hole.centre), hole.way, _CLOSED))
    for mark in offer.placement.marks:
        x, y = _place(swap, (mark.x_mm, mark.y_mm))
        if hidden:
            items += [] if mark.n in offer.added else _button(x, y, was)
        elif offer.placement.fastener.family == "button":
            way = None if swap.buttonhole is None else swap.buttonhole.way
            items += [_slit(x, y, way, FINE), *_button(x, y, way)]
        elif offer.placement.fastener.family in ("press-set snap", "eyelet"):
            items += [Circle(x, y, _SNAP_MM, _SHOWS), Circle(x, y, 0.5 * _SNAP_MM, FINE)]
    return items
