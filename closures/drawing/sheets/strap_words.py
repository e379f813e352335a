"""The words on a strap's end: distances from its tip, what each setting closes at, the length left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.drawing.ink.figures import both_ways, lettered_along
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import LINE, Item, Point, Weight, arrow
from closures.drawing.sheets.labels import Label, Line, block_size, place_label
from closures.drawing.sheets.lanes import letter_rows
from closures.drawing.sheets.lap_words import LABELS_APART_MM
from closures.drawing.sheets.lettered import Lettered, in_two_rows
from closures.placing.nothing_set import nothing_set

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.paper.parts import Part
    from closures.drawing.sheets.strap_view import End
    from closures.placing.placement import LapMark

_ABOVE_MM = 1.0
_STRIDE_MM = 0.5
_LANES_BEYOND = 8
_OFF_CORNER_MM = 1.5


def mark_labels(end: End, marks: Sequence[LapMark]) -> Iterator[list[Label]]:
    """Number marks in every way that may keep the number inside the finished edge, on which the paper is cut.

    The ways that say most beside a number come first; what goes out stands on the other side of its mark: what it
    closes at, then the figures. A label without a head is such a part.
    """
    beside = [_mark_label(end, mark) for mark in marks]
    # Two spaces between words at least: figures of neighbours in one row must not read as one.
    apart = max(LABELS_APART_MM, width_of("  ", end.subject.type.figure))
    closest = _closest_mm(end, max((block_size(label)[0] for label in beside), default=0.0) + apart) - apart
    under = _narrowed([replace(label, stacked=True) for label in beside], closest)
    broken = [replace(label, lines=tuple(_broken(label.lines))) for label in under]
    ways = (
        beside,
        [part for label in beside for part in _parted(label, 2)],
        under,
        broken,
        [part for label in under for part in _parted(label, 2)],
        [part for label in beside for part in _parted(label, 1)],
        [part for label in under for part in _parted(label, 1)],
        [_unit_under(part) for label in under for part in _parted(label, 1)],
    )
    for labels in ways:
        if all(block_size(one)[0] <= closest for one in labels):
            yield labels
    for short in (*ways[-3:-1], [part for label in under for part in _alone(label)]):
        # What would run into its neighbour's is left out: the cover tells it (`untold`).
        heads = [one for one in short if one.head]
        if all(block_size(one)[0] <= closest for one in heads):
            yield short if all(block_size(one)[0] <= closest for one in short) else heads
    yield broken


def _narrowed(labels: Sequence[Label], widest_mm: float) -> list[Label]:
    """Leave the figures in the other units out of all, where those of neighbours would run into each other."""
    seconds = [one for label in labels for one in label.lines[1:2]]
    if all(width_of(one.text, one.size_mm, one.weight) <= widest_mm for one in seconds):
        return list(labels)
    return [replace(label, lines=(*label.lines[:1], *label.lines[2:])) for label in labels]


def _unit_under(label: Label) -> Label:
    """Set the unit of a figure under a number on a line of its own, as "152.7" and "mm"."""
    halves = [one.text.rpartition(" ") for one in label.lines if label.head]
    lines = [replace(one, text=text) for one, (a, _, b) in zip(label.lines, halves, strict=False) for text in (a, b)]
    return replace(label, lines=tuple(lines)) if label.head else label


def _alone(label: Label) -> tuple[Label, Label]:
    """Part a number from all its lines, which go to the other side of the mark."""
    away = (-label.away[0], -label.away[1])
    lines = tuple(_broken(label.lines))
    named = replace(label, lines=(), stacked=False)
    return named, replace(named, head="", head_mm=0.0, lines=lines, away=away)


def _parted(label: Label, figures: int) -> tuple[Label, ...]:
    """Part a label from what its mark closes at, which goes to the other side of the mark; of its figures keep some."""
    closes = tuple(one for one in label.lines if one.text.startswith("closes "))
    rest = tuple(one for one in label.lines if one not in closes)
    named = replace(label, lines=(*rest[:figures], *rest[2:]))
    if not closes:
        return (named,)
    away = (-label.away[0], -label.away[1])
    lines = closes if figures > 1 and not label.stacked else tuple(_broken(closes))
    return (named, replace(label, head="", head_mm=0.0, lines=lines, away=away, stacked=False))


def _closest_mm(end: End, at_least: float) -> float:
    """How far apart neighbours stand along the strap."""
    places = sorted(mark.from_tip_mm or 0.0 for mark in end.carried())
    # Marks one above the other have their words on either side of the strap.
    return min((b - a for a, b in pairwise(places) if b - a > _ABOVE_MM), default=at_least)


def _broken(lines: Sequence[Line]) -> Iterator[Line]:
    """Set what a mark closes at on two lines."""
    for one in lines:
        word, _, figure = one.text.partition(" ")
        yield from (replace(one, text=word), replace(one, text=figure)) if word == "closes" else (one,)


def _mark_label(end: End, mark: LapMark) -> Label:
    """Number a mark of an end: with the distance from its tip, the height where heights differ, and on the under end
    the length that the strap closes at when the outermost closure sits there."""
    units, size = end.subject.units, end.subject.type.figure
    first, second = both_ways(mark.from_tip_mm or 0.0, units)
    lines = [Line(first, size, "semibold"), Line(second, size)]
    if end.strap.has_heights:
        lines.append(Line(f"{both_ways(end.half - mark.y_mm, units)[0]} up", size))
    if end.lap.name == "under" and not end.strap.sizes:
        setting = end.strap.closes_at(mark.from_tip_mm or 0.0, end.half - mark.y_mm)
        if setting is not None and len(end.strap.settings) > 1:
            weight: Weight = "semibold" if setting.is_target else "regular"
            lines.append(Line(f"closes {both_ways(setting.middle_mm, units)[0]}", size, weight))
    away = (0.0, -1.0) if mark.y_mm < -1e-6 else (0.0, 1.0)
    reaches = end.subject.reaches_mm
    # A strap's marks may lie one above the other: words beside one would lie on the next.
    return Label(
        str(mark.n), end.subject.type.number, tuple(lines), end.view.point(*mark.at), away, max(reaches), kind="mark"
    )


def untold(whole: Sequence[Label], labels: Sequence[Label]) -> tuple[str, ...]:
    """The numbers of marks whose distance from the tip is not among their labels, though it is among the whole ones."""
    told = [(one.at, " ".join(row.text for row in one.lines)) for one in labels]
    return tuple(
        one.head for one in whole if not any(at == one.at and text.startswith(one.lines[0].text) for at, text in told)
    )


def letter_tip(end: End, room: Room) -> tuple[Item, ...]:
    """Point out of the tip."""
    start = -end.allowance_mm - 2.0
    tail, head = end.at(start, 0.0), end.at(start - 7.0, 0.0)
    room.take_strip(tail, head, 1.4)
    size = end.subject.type.name
    x, y = end.at(start - 3.5, -0.5 * size - 1.4)
    half = width_of("tip", size, "semibold") / 2
    room.take_strip((x - half, y), (x + half, y), 0.5 * size)
    return (*arrow(tail, head, LINE, 2.6), lettered_along("tip", (x, y), (1.0, 0.0), size, "semibold"))


def break_rows(end: End) -> list[tuple[str, Weight]]:
    """What is said across the break: how much is left out, for every size where there are several."""
    strap, units = end.strap, end.subject.units
    other = "under" if end.lap.name == "over" else "over"
    rows: list[tuple[str, Weight]] = [(f"left out, to the {other} end's break:", "regular")]
    if not strap.sizes:
        return [*rows, (" · ".join(both_ways(end.left_out_mm, units)), "semibold")]
    for size in strap.sizes:
        left_out = end.left_out_mm + size.finished_mm - strap.finished_mm
        rows.append((f"{size.name}: {' · '.join(both_ways(left_out, units))}", "semibold"))
    return rows


def letter_far_end(end: End, room: Room) -> tuple[Item, ...]:
    """Name the far tip of an end that is drawn whole."""
    other = "under" if end.lap.name == "over" else "over"
    away: Point = (-end.to_tip[0], -end.to_tip[1])
    scale = end.subject.type
    named = (Line(f"{other} end,", scale.name, "semibold"), Line("marked apart", scale.figure))
    return place_label(Label("", 0.0, named, end.at(end.depth_mm + end.far_allowance_mm, 0.0), away, 1.0), room)


def letter_names(
    rows: Sequence[Lettered], end: End, part: Part, room: Room
) -> tuple[tuple[Item, ...], tuple[Lettered, ...]]:
    """Letter within the finished edge what must stay on the paper, in one row or in two.

    Returns:
        What was lettered, and the rows that found no room there.
    """
    items: tuple[Item, ...] = ()
    left: list[Lettered] = []
    for row in rows:
        # A name is parted only behind its comma, so that what is read back knows it.
        first, comma, last = row.text.rpartition(", ")
        parted = replace(row, text=f"{first},\n{last}") if comma else row
        forms = (row, parted if row.sign == "corner" else in_two_rows(row))
        ways = (letter_rows((one,), end.spot, part.low_mm, part.high_mm, room, True) for one in forms)
        found = next(filter(None, ways), ())
        items += found
        if not found:
            left.append(row)
    return items, tuple(left)


def strap_rows(end: End, part: Part, tail: str) -> tuple[Lettered, ...]:
    """What is lettered on the cloth of an end."""
    small, large = end.subject.type.figure, end.subject.type.text
    number = f" {part.number} of {part.count}" if part.count > 1 else ""
    upper = _named_side(end, "upper edge")
    failing = (Lettered("CHECK FAILED: see the cover", small, "bold"),) if end.subject.failures else ()
    unset = nothing_set(end.subject.placement)
    record = () if unset is None else (Lettered(unset.strip, small, "bold"),)
    return (
        *failing,
        *record,
        Lettered(f"{end.name.upper()}{number}", large, "bold", "corner", end.lap.name == "over"),
        Lettered(f"{end.subject.face} face up", large, "bold"),
        Lettered(upper, small, "semibold", "edge", near_edge=True),
        Lettered("tip", small, "semibold", "first end"),
        *((Lettered(tail, small, "regular"),) if tail else ()),
    )


def letter_allowance(end: End, part: Part, room: Room) -> tuple[Item, ...]:
    """Say what lies between the finished edge and the cut line."""
    wide, units, size = end.strap.allowance_mm, end.subject.units, end.subject.type.figure
    items: tuple[Item, ...] = ()
    if wide:
        shown = both_ways(wide, units)[0]
        inside = wide >= 1.2 * size
        depth = end.half + (wide / 2 if inside else wide + 0.6 * size + 0.6)
        named = f"seam allowance {shown}"
        texts: tuple[str, ...] = (f"{named}, cut the cloth on the outer line", named, f"allowance {shown}")
        if nothing_set(end.subject.placement) is not None:
            # What is held back is not cut before the plan was changed.
            texts = texts[1:]
        elif end.strap.is_of_leather:
            # It ends raw; what may be turned under is its lining.
            lined = f"{named} of the lining alone; cut leather on the inner line"
            short = "cut leather on the inner line"
            texts = (lined, short) if end.strap.lining else (short,)
        sides = {"": (depth, -depth), "upper edge": (depth,), "lower edge": (-depth,)}[end.strap.fold]
        tried = (_along_side(end, part, text, size, down, room) for text in texts for down in sides)
        items = next(filter(None, tried), ())
    if part.low_mm > 0.0 or end.allowance_mm < 1.2 * size:
        return items
    tip = both_ways(end.allowance_mm, units)[0]
    # A figure alone says nothing: where no words find room the cover tells the allowance.
    words = (f"turn in {tip}",) if end.allowance_mm != wide else () if items else (f"allowance {tip}",)
    for text in words if end.is_square else ():
        items = (*items, *_along_tip(end, text, size, room))
    return items


def _along_tip(end: End, text: str, size_mm: float, room: Room) -> tuple[Item, ...]:
    """Set words along the allowance beyond a tip, as near its middle as they meet nothing, as arms of marks."""
    half, reach = width_of(text, size_mm) / 2, 0.4 * size_mm
    most = max(end.upper_mm, end.lower_mm) - half
    shifts = [_STRIDE_MM * k for k in range(max(0, int(most / _STRIDE_MM) + 1))]
    for down in (way * shift for shift in shifts for way in (1.0, -1.0)):
        if down + half > end.lower_mm or half - down > end.upper_mm:
            continue
        at = end.at(-end.allowance_mm / 2, down)
        strip = (at[0], at[1] - half + reach), (at[0], at[1] + half - reach), reach
        if room.is_free_strip(*strip):
            room.take_strip(*strip)
            return (lettered_along(text, at, (0.0, -1.0), size_mm, "regular"),)
    return ()


def letter_lower_edge(end: End, part: Part, room: Room, is_beyond: bool) -> tuple[Item, ...]:
    """Name the lower side, with an arrow to its finished edge: in the allowance or inside; or beyond the cut line."""
    size, wide = end.subject.type.figure, end.lower_mm - end.half
    near = [end.half + wide / 2] if wide >= 1.2 * size else []
    near.append(end.half - 0.5 * size - 0.6)
    beyond = [end.lower_mm + 0.5 * size + 0.8 + k * size for k in range(_LANES_BEYOND)]
    for depth in beyond if is_beyond else near:
        items = _along_side(end, part, _named_side(end, "lower edge"), size, depth, room, has_arrow=True)
        if items:
            return items
    return ()


def _named_side(end: End, side: Literal["upper edge", "lower edge"]) -> str:
    """Name a long side, and say where it is the fold."""
    return f"{side}, on the fold" if end.strap.fold == side else side


def _along_side(
    end: End, part: Part, text: str, size_mm: float, down_mm: float, room: Room, has_arrow: bool = False
) -> tuple[Item, ...]:
    """Set words along the strap at a depth, as near the tip as they meet nothing; an arrow to the lower edge before."""
    sign = 2.2 if has_arrow else 0.0
    half = width_of(text, size_mm, "semibold" if has_arrow else "regular") / 2 + 0.65 + sign
    straight_mm = 0.0 if end.is_square else end.half
    # Beside the edges a square tip's allowance has room for words; at another tip they end where it is straight.
    low = -end.allowance_mm if part.low_mm <= 0.0 and end.is_square and abs(down_mm) > end.half else part.low_mm
    low = max(low, straight_mm - 2 * half)
    for k in range(int((part.high_mm - low - 2 * half) / _STRIDE_MM) + 1):
        x, y = end.at(low + half + _STRIDE_MM * k, down_mm)
        high = 0.4 * size_mm
        strip = (x - half + high, y), (x + half - high, y), high
        if not room.is_free_strip(*strip):
            continue
        left, reach = x - half + 1.4, 0.38 * size_mm
        # From below the arrow goes all the way: beside the cut line its head would name the wrong one of the two.
        tail, head = (y - reach, y + reach) if down_mm < end.half else (y + reach, end.at(0.0, end.half)[1])
        inwards = (end.at(0.0, 0.0)[0] - left) * end.to_tip[0]
        if has_arrow and not straight_mm + _OFF_CORNER_MM <= inwards <= part.high_mm - _OFF_CORNER_MM:
            continue
        if has_arrow and down_mm > end.lower_mm and not room.lets_through((left, tail), (left, head)):
            continue
        room.take_strip(*strip)
        words = lettered_along(text, (x + sign, y), (1.0, 0.0), size_mm, "semibold" if has_arrow else "regular")
        return (*arrow((left, tail), (left, head), LINE, 1.8), words) if has_arrow else (words,)
    return ()
