"""A strip to step along the closing line with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import FINE, HEAVY, INK, LINE, Align, Circle, Group, Item, Words, line
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section
from closures.drawing.sheets.labels import Label, Line, place_label, target_of
from closures.jobs.table.strip import stride_mm, strides

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.jobs.table.strip import Stride
    from closures.placing.placement import Placement

_BASE_MM = 9.0
# Of their size, how far words stand beside figures, and from row to row under them; our own rule.
_APART, _BELOW = 1.5, 1.6


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw every stride of the strip."""
    rows = strides(drawn.placement)
    last = {row.lap: row.n for row in rows}
    return tuple(_stride(drawn, row, row.n == last[row.lap]) for row in rows)


def _stride(drawn: Drawn, row: Stride, is_last: bool) -> Piece:
    placement, size = drawn.placement, drawn.type.figure
    units, length = placement.plan.units, row.length_mm
    begins = placement.ends[0] if row.n == 1 else f"from {both_ways(row.from_mm, units)[0]}"
    name = f"stride {row.n}" if row.lap is None else f"stride {row.n} ({row.whose})"
    ends = f"go on with stride {row.n + 1} here"
    if is_last:
        ends = placement.ends[1] if _comes_to_end(placement, row) else "no closure further on"
    room = Room()
    base = line((0.0, 0.0), (length, 0.0), pen=LINE)
    bars = [line((x, -_BASE_MM + 5.0), (x, 4.0), pen=HEAVY) for x in (0.0, length)]
    items: list[Item] = [base, *bars]
    for bar in bars:
        room.take(box_of(bar))
    left = Words(0.0, -_BASE_MM + 2.2, drawn.of_opening(f"{name}, {begins}"), size, "start", 0.0, "semibold")
    items.append(left)
    right = max(length, width_of(left.text, size, "semibold") + width_of(ends, size, "semibold") + 6.0)
    align: Align = "end"
    items.append(Words(right, -_BASE_MM + 2.2, ends, size, align, 0.0, "semibold"))
    for words in items[-2:]:
        room.take(box_of(words))
    for _, at in row.marks:
        dot = (line((at, -2.2), (at, 2.2), pen=FINE), Circle(at, 0.0, 0.3, INK, "centre"))
        items += dot
        room.take_target(target_of((at, 0.0), (0.0, 1.0), 0.0, 2.2, (at - 0.6, -2.4, at + 0.6, 2.4)))
    for number, at in row.marks:
        first, second = both_ways(at, units)
        lines = (Line(first, size, "semibold"), Line(second, size))
        label = Label(str(number), drawn.type.number, lines, (at, 0.0), (0.0, 1.0), 2.2, kind="mark")
        items += place_label(label, room)
    items.append(_sheet_words(drawn.sheet_words, size, right, items, room))
    key = f"stride-{row.n}" if row.lap is None else f"stride-{row.lap}-{row.n}"
    group = Group(key, f"{name}, {begins}", tuple(items))
    told = ", ".join(f"mark {number} at {both_ways(at, units)[0]}" for number, at in row.marks) or "no mark"
    return piece_of(name, [group], f"{name.capitalize()}, of the step-along strip, {begins}: {told}.")


def _sheet_words(text: str, size: float, right: float, items: Sequence[Item], room: Room) -> Words:
    """The sheet's name at an end of the lowest row of figures, or under that where it would be read on from them."""
    low = max(box_of(item)[3] for item in items)
    ends: tuple[tuple[Align, float], ...] = (("end", right), ("start", 0.0))
    for align, x in ends:
        words = Words(x, low, text, size, align)
        x0, y0, x1, y1 = box_of(words)
        if room.is_free((x0 - _APART * size, y0, x1 + _APART * size, y1)):
            return words
    return Words(right, low + _BELOW * size, text, size, "end")


def _comes_to_end(placement: Placement, row: Stride) -> bool:
    return row.from_mm + row.length_mm > placement.laps[row.lap or "over"].line.length_mm - 1e-6


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    # A stride is whole on one ruler only: rounded on the other it would add up, stride after stride.
    units = drawn.placement.plan.units
    first, last = drawn.placement.ends
    step = both_ways(stride_mm(units), units)[0]
    rows = strides(drawn.placement)
    count = max(row.n for row in rows)
    all_come = all(_comes_to_end(drawn.placement, row) for row in rows if row.n == count)
    named = "stride that names it" if count == 1 else "strides that name it"
    own = f"The under lap has a line of its own: step along it with the {named}."
    other = own if any(row.lap for row in rows) else "Do the same on the other lap."
    rounded = f"Every distance is reckoned from the {first} and rounded once"
    if count == 1:
        # A row that ends early on a long line leaves no piece for the rest of it.
        comes = f"; its right end comes to lie at the {last}." if all_come else "."
        closures = "closure" if len(drawn.placement.marks) == 1 else "closures"
        told: tuple[str, ...] = (
            f"Cut the stride out, or copy it by ruler. Lay its left end on the {first}, along the closing line{comes} "
            f"Mark the {closures}. {other}",
            f"{rounded}.",
        )
    else:
        further = f"and so on to the {last if all_come else 'last of them'}"
        further = further if count > 2 else f"it ends at the {last}" if all_come else "as the last"
        told = (
            f"Cut the strides apart, or copy them by ruler. Lay stride 1 with its left end on the {first}, along the "
            f"closing line. Mark the closures, and mark its right end: {step}.",
            f"Lay stride 2 with its left end there, {further}. {other}",
            f"{rounded}; only whole strides are stepped.",
        )
    return (Chapter("Step along", (Section("", (*told, *drawn.marked_within)),)),)


EXTRA = Extra(
    "strip",
    "running distances, and a strip to step along with",
    50,
    *switched("strip"),
    pieces=_pieces,
    chapters=_chapters,
    serves_alike=True,
    for_setting=True,
)
