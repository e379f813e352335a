"""All offers of a swap in one picture: a row for each, the old closures above the line, the new ones on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import (
    CLOSING,
    FINE,
    INK,
    LINE,
    Circle,
    Group,
    Item,
    Pen,
    Words,
    line,
    moved,
    polygon,
    strokes,
)
from closures.drawing.sheets.old_marks import OLD, OLD_SLIT, lens, slanted
from closures.drawing.write.svg import write_shapes
from closures.series import how_many

if TYPE_CHECKING:
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap

_LINE_MM = 190.0
_LEFT_MM = 10.0
_TOP_MM = 24.0
_ROW_MM = 29.0
_OLD_UP_MM = 5.2
_RIGHT_MM = 10.0
_HALF_MM = 1.7
_ACROSS_MM = 2.9
_NEW = Pen(0.35, fill=1.0)
_DIAMOND = Pen(0.3, fill=1.0)
_RESULTS = {"pass": "every check passes", "warn": "something to look at", "fail": "A CHECK FAILS"}


def draw_offers(swap: Swap) -> bytes:
    """Draw every offer as a row, lying on its side, first end on the left.

    Args:
        swap: the offers.

    Returns:
        An SVG; it is a picture to look at, not to scale with the cloth.
    """
    placement = swap.offers[0].placement
    width = _LEFT_MM + _LINE_MM + _RIGHT_MM
    new, old = placement.fastener, swap.old.fastener
    title = f"{placement.plan.title}: {len(swap.old.places_mm)} × {old.kind} {old.size} to {new.kind} {new.size}"
    state = "cut or made" if swap.old.made else "only drawn, struck out"
    items: list[Item] = [
        Words(_LEFT_MM, 9.0, title, 4.6, weight="bold"),
        Words(
            _LEFT_MM,
            15.0,
            f"Above each line what was there ({state}), on it what comes; the {placement.ends[0]} is left.",
            3.1,
        ),
    ]
    for offer in swap.offers:
        top = _TOP_MM + _ROW_MM * (offer.n - 1)
        items.append(Group(f"offer-{offer.n}", offer.name, _row(swap, offer, top)))
    bottom = _TOP_MM + _ROW_MM * len(swap.offers)
    items.append(Group("key", "key", _key(swap, bottom + 2.0)))
    height = bottom + 8.0
    return write_shapes(title, width, height, items)


def _key(swap: Swap, y: float) -> tuple[Item, ...]:
    """Explain the signs in one line; old and new are apart by shape, kept and given up by the stroke."""
    low, high = (0.0, y), (6.0, y)
    slit: list[Item] = [lens(low, high, 0.9, OLD_SLIT if swap.old.made else OLD)]
    if not swap.old.made:
        slit.append(slanted(low, high))
    signs: list[tuple[list[Item], str]] = [
        ([Circle(3.0, y, _HALF_MM, _NEW), Circle(3.0, y, 0.35, INK)], "new"),
        ([_square(3.0, y, LINE)], "old, its place stays"),
        ([_square(3.0, y, OLD)], "old, its place is given up"),
    ]
    if swap.old.has_buttonholes:
        signs.append((slit, "old buttonhole"))
    if any(offer.overlaps for offer in swap.offers):
        signs.append(([line((3.0, y - 2.0), (3.0, y + 2.0), pen=FINE)], "old hole in the way"))
    items: list[Item] = []
    x = _LEFT_MM
    for sign, words in signs:
        items += [*(moved(item, x, 0.0) for item in sign), Words(x + 8.0, y + 0.9, words, 2.6)]
        x += 8.0 + width_of(words, 2.6) + 6.0
    return tuple(items)


def _square(x: float, y: float, pen: Pen) -> Item:
    corners = ((x - _HALF_MM, y - _HALF_MM), (x + _HALF_MM, y - _HALF_MM), (x + _HALF_MM, y + _HALF_MM))
    return polygon((*corners, (x - _HALF_MM, y + _HALF_MM)), pen)


def _row(swap: Swap, offer: Offer, top: float) -> tuple[Item, ...]:
    length = offer.placement.laps.line.length_mm
    y = top + 18.0

    def x(along: float) -> float:
        return _LEFT_MM + _LINE_MM * along / length

    units = offer.placement.plan.units
    head = f"{offer.n}  {offer.name}"
    star = "  recommended" if offer.n == swap.recommended else ""
    largest = both_ways(offer.placement.spacing.largest_mm, units)[0]
    holes = len({clash.hole for clash in offer.overlaps})
    told = [how_many(len(offer.places_mm), "closure"), f"largest gap {largest}", _RESULTS[offer.result]]
    if holes:
        told.insert(2, f"{holes} old hole{'s' if holes > 1 else ''} in the way")
    items: list[Item] = [
        Words(_LEFT_MM, top + 3.0, head, 3.6, weight="bold"),
        Words(_LEFT_MM + width_of(head, 3.6, "bold"), top + 3.0, star, 3.6, weight="semibold"),
        Words(_LEFT_MM, top + 7.4, " · ".join(told), 2.8),
        line((x(0.0), y), (x(length), y), pen=CLOSING),
        strokes((((x(end), y - 2.5), (x(end), y + 2.5)) for end in (0.0, length)), LINE),
    ]
    items += _old(swap, offer, x(0.0), y - _OLD_UP_MM, _LINE_MM / length)
    in_way = {clash.mark for clash in offer.overlaps}
    for mark in offer.placement.marks:
        at = x(mark.along_mm)
        items += [Circle(at, y, _HALF_MM, _NEW), Circle(at, y, 0.35, INK)]
        if mark.n in in_way:
            items.append(line((at, y - _HALF_MM), (at, y - _OLD_UP_MM + _HALF_MM), pen=FINE))
        items.append(Words(at, y + 5.4, str(mark.n), 2.6, "middle"))
    for anchor in offer.placement.anchors:
        at = x(anchor.along_mm)
        low = y + 7.6
        items.append(polygon(((at - 1.3, low), (at, low - 1.3), (at + 1.3, low), (at, low + 1.3)), _DIAMOND))
        items.append(Words(at + 2.2, low + 0.9, anchor.name, 2.6, weight="semibold"))
    return tuple(items)


def _old(swap: Swap, offer: Offer, left: float, y: float, scale: float) -> list[Item]:
    items: list[Item] = []
    laps = offer.placement.laps
    for hole in swap.old.holes:
        if hole.slit is None:
            continue
        one, other = ((left + scale * laps[hole.lap].nearest_row(end), y) for end in hole.ends)
        if hole.way == "across":
            # Across the line there is no scale: it is shown standing, as long as the row has room for.
            one, other = (one[0], y - _ACROSS_MM), (one[0], y + _ACROSS_MM)
        items.append(lens(one, other, 0.9, OLD_SLIT if hole.made else OLD))
        if not hole.made:
            items.append(slanted(one, other))
    for n, place in enumerate(swap.old.places_mm, 1):
        items.append(_square(left + scale * place, y, OLD if n in offer.given_up else LINE))
    return items
