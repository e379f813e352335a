"""The words on a lap's drawing: labels of marks and anchors, and what stands at joins and breaks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import LINE, line
from closures.drawing.paper.joins import words_laid_on, words_on_top
from closures.drawing.sheets.labels import WIDEST_MM, Label, Line, block_size, place_label, wrapped_lines
from closures.drawing.sheets.lettered import Lettered
from closures.frozen import frozen
from closures.lengths import TOLD_ALIKE_MM
from closures.placing.column import FOR_SHOW
from closures.placing.nothing_set import nothing_set
from closures.placing.role import face_of, is_for_show

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.drawing.ink.room import Room
    from closures.drawing.ink.shapes import Item, Weight
    from closures.drawing.paper.parts import Part
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot, View
    from closures.placing.meeting import PlacedAnchor
    from closures.placing.placement import LapMark, Placement

LABELS_APART_MM = 1.6
"""Between the labels of neighbours, so that two rows of figures never read as one."""

_TO_BORDER_MM = 3.0
_WIDE_MM, _NARROW_MM = 60.0, 20.0
"""What differs is told in lines no wider; in one line it finds no room where marks stand beside the row too."""
_SAME_PLACE_MM = 1.0
_TICK_MM = 2.6


@frozen
class Form:
    """How a label is set: with how many figures, beside its number or under it."""

    figures: int
    stacked: bool


"""What a sheet says on its face where every closure is there and stays."""

FORMS = (Form(2, False), Form(2, True), Form(1, False), Form(1, True))
"""The forms of a label, the fullest first. A lap keeps to one: a figure that one mark alone lacks is looked for."""


def mark_labels(subject: Subject, view: View, marks: Sequence[LapMark]) -> list[Label]:
    """Number marks, with how far along they lie, all of a lap in one form: the fullest for which its row has room."""
    form = form_of(subject, view)
    shared = _shared_places(subject)
    return [_mark_label(subject, view, mark, form, mark.n in shared) for mark in marks]


def form_of(subject: Subject, view: View) -> Form:
    """The fullest form in which neighbours' labels stand apart; of all too wide the one that takes least of the row."""
    if subject.form is not None:
        return subject.form
    taken = {form: _takes_mm(subject, view, form) for form in FORMS}
    room = subject.closest_mm - LABELS_APART_MM
    return next((form for form, mm in taken.items() if mm <= room), min(taken, key=lambda form: taken[form]))


def labels_mm(subject: Subject, view: View) -> tuple[float, float]:
    """How wide and how high the figures beside a lap's marks are set."""
    form = form_of(subject, view)
    sizes = [block_size(_label(subject, view, mark, form, ())) for mark in subject.placement.on(subject.name)]
    return (max(width for width, _ in sizes), max(height for _, height in sizes))


def _takes_mm(subject: Subject, view: View, form: Form) -> float:
    """How much of the row the largest label of a lap takes in a form; a strip is laid so that its row runs across."""
    marks = subject.placement.on(subject.name)
    labels = [_label(subject, view, mark, form, ()) for mark in marks]
    if subject.is_strip:
        return max((block_size(label)[0] for label in labels), default=0.0)
    return max((_along_mm(*pair) for pair in zip(labels, map(view.spot_of, marks), strict=True)), default=0.0)


def _mark_label(subject: Subject, view: View, mark: LapMark, form: Form, shares_its_place: bool) -> Label:
    """Number a mark in one form."""
    spot = view.spot_of(mark)
    size = subject.type.figure
    more: list[Line] = [Line("stays", size, "semibold")] if mark.n in subject.placement.staying else []
    helper = subject.placement.helper
    if mark.n in subject.placement.sewn_apart and helper is not None:
        more += [Line(f"{helper.name}", size, "semibold"), Line("sewn on, not pierced", size)]
    elif mark.n in subject.differing:
        # Grown with the letters: else a single word would be broken in its middle.
        widest = (_NARROW_MM if subject.placement.beside else _WIDE_MM) * subject.type.grown
        told = _what_differs(subject.placement, mark.n, subject.name)
        more += wrapped_lines(told, size, "semibold", widest) if told else ()
    label = replace(_label(subject, view, mark, form, more), shares_its_place=shares_its_place)
    if _leaves_the_band(label, spot) and not _leaves_the_band(replace(label, away=spot.to_edge), spot):
        # A second column stands by the inner line of its band: words beyond that would ask for wider paper.
        return replace(label, away=spot.to_edge)
    return label


def _label(subject: Subject, view: View, mark: LapMark, form: Form, more: Sequence[Line]) -> Label:
    spot = view.spot_of(mark)
    figures = both_ways(mark.along_mm, subject.units)[: form.figures]
    size = subject.type.figure
    lines = [Line(text, size, "regular" if k else "semibold") for k, text in enumerate(figures)]
    reach, beside = subject.reaches_at(mark.n)
    return Label(
        str(mark.n),
        subject.type.number,
        (*lines, *more),
        spot.at,
        spot.inward,
        subject.inward_at(mark.n) or reach,
        beside,
        kind="mark",
        stacked=form.stacked,
    )


def _shared_places(subject: Subject) -> set[int]:
    """The numbers of marks at whose place another stands, as a hidden button does behind one for show."""
    cells: dict[tuple[int, int], list[LapMark]] = {}
    for mark in subject.placement.all_on(subject.name):
        i, j = (math.floor(place / _SAME_PLACE_MM) for place in mark.at)
        cells.setdefault((i, j), []).append(mark)
    found: set[int] = set()
    for (i, j), marks in cells.items():
        near = [one for di in (-1, 0, 1) for dj in (-1, 0, 1) for one in cells.get((i + di, j + dj), ())]
        for mark in marks:
            if any(one.n != mark.n and math.dist(one.at, mark.at) < _SAME_PLACE_MM for one in near):
                found.add(mark.n)
    return found


def _leaves_the_band(label: Label, spot: Spot) -> bool:
    """Whether a label reaches beyond the band where it lies nearest to its mark."""
    width, height = block_size(label)
    deep = label.reach_mm + abs(spot.inward[0]) * width + abs(spot.inward[1]) * height + _TO_BORDER_MM
    return deep > (spot.to_inner_mm if label.away == spot.inward else spot.to_edge_mm)


def _along_mm(label: Label, spot: Spot) -> float:
    """How much of the row a label takes."""
    width, height = block_size(label)
    return abs(spot.along[0]) * width + abs(spot.along[1]) * height


def _what_differs(placement: Placement, n: int, lap: LapName) -> str:
    """Name what is set at a mark that is not as the others are; of a hidden part on which face it lies.

    Empty where it is another hole alone, and this lap has none.
    """
    row, own = placement.fastener, placement.share_of(n)
    if placement.is_hidden(n):
        face = face_of(placement, n, lap)
        return f"{own.fastener.name}, hidden" + ("" if face == "through" else f", on the {face}")
    if placement.is_second_column(n):
        return _in_second_column(placement, own, lap)
    if (own.fastener.kind, own.fastener.size) != (row.kind, row.size):
        return f"{own.fastener.name}"
    if own.plan.closure.halves != placement.plan.closure.halves:
        return f"{own.fastener.name}, {'turned' if own.plan.closure.halves == 'turned' else 'not turned'}"
    way, of_row = own.plan.closure.hole, placement.plan.closure.hole
    # On cloth that shrinks unlike along its bends every hole has a length of its own, and the way of the row.
    is_told = way != of_row and own.fastener.mark.buttonhole_lap == lap
    return f"hole {way or 'along'}" if is_told else ""


def _in_second_column(placement: Placement, own: Placement, lap: LapName) -> str:
    """Name a mark of the second column, with what the rest of that column is not."""
    row, column, is_shown = placement.plan.closure, own.plan.closure, is_for_show(own)
    name = FOR_SHOW if is_shown else "second column"
    if column.kind != row.kind:
        return f"{name}, {column.kind} {column.size}"
    if column.size != row.size:
        return f"{name}, {column.size}"
    if column.hole != row.hole and not is_shown and own.fastener.mark.buttonhole_lap == lap:
        return f"{name}, hole {column.hole or 'along'}"
    return name


def letter_anchor(subject: Subject, view: View, anchor: PlacedAnchor, room: Room) -> tuple[Item, ...]:
    """Show an anchor by a tick across the finished edge at its place, and name it beside the tick."""
    along = min(subject.lap.along(anchor.along_mm), subject.length_mm)
    spot = view.spot_on_line(along)
    marks = subject.placement.on(subject.name)
    nearest = min(marks, key=lambda mark: abs(mark.along_mm - along), default=None)
    near = float("inf") if nearest is None else abs(nearest.along_mm - along)
    # As wide as the letters grow, but where it would stand in the way of a zone's name: in more rows a name that stands
    # beyond the band takes more paper.
    widest = WIDEST_MM * (1.0 if subject.placement.zones else subject.type.grown)
    lines = list(wrapped_lines(anchor.name, subject.type.name, "semibold", widest))
    if near > TOLD_ALIKE_MM:
        lines.append(Line(" · ".join(both_ways(along, subject.units)), subject.type.figure))
    is_far = subject.is_piece_whole
    # The edge of a piece that lies far off is met elsewhere than square across the row.
    (x, y), (ex, ey) = spot.at if is_far else spot.edge_at, spot.to_edge
    ends = ((x - _TICK_MM * ex, y - _TICK_MM * ey), (x + _TICK_MM * ex, y + _TICK_MM * ey))
    tick = line(*ends, pen=LINE)
    room.take_path(tick.commands)
    label = Label("", 0.0, tuple(lines), (x, y), spot.inward, _TICK_MM)
    width, height = block_size(label)
    deep = abs(ex) * width + abs(ey) * height + _TICK_MM + 2.0
    is_by_mark = nearest is not None and near < subject.reaches_at(nearest.n)[1]
    if deep > spot.to_edge_mm - (subject.edgeward_at(nearest.n) if nearest is not None and is_by_mark else 0.0):
        # There is no room for the name between the edge and what lies within.
        label = replace(label, away=spot.to_edge)
    return (tick, *place_label(label, room))


def join_words(subject: Subject, part: Part, is_after: bool) -> tuple[str, ...]:
    """What is said at a join, the fullest wording first."""
    strips = (subject.strip, subject.name) if subject.opening else (subject.strip,)
    if is_after:
        return words_on_top(strips, part.number + 1, part.letter_after, part.count)
    return words_laid_on(strips, part.number - 1, part.letter_before, is_lap=True)


def break_rows(subject: Subject, part: Part, is_after: bool) -> list[tuple[str, Weight]]:
    """What is said at a break: how much is left out, and to where."""
    length = " · ".join(both_ways(part.left_out_mm if is_after else part.left_out_before_mm, subject.units))
    if is_after and part.number == part.count:
        where = f"to the {subject.ends[1]}"
    else:
        where = f"to {subject.strip} {part.number + (1 if is_after else -1)}"
    return [(f"left out: {length}", "semibold"), (f"along the closing line, {where}", "regular")]


def strip_rows(subject: Subject, part: Part, sheet: str, run: str) -> tuple[Lettered, ...]:
    """What is lettered along a strip: its lap, its part, its face, its page, its ways."""
    small, large = subject.type.figure, subject.type.text
    number = f" {part.number} of {part.count}" if part.count > 1 else ""
    is_over = subject.name == "over"
    opening = f"{subject.opening.upper()}, " if subject.opening else ""
    head = f"{opening}{subject.name.upper()} LAP{number} · {subject.face} face up"
    tail = " · ".join(words for words in (sheet, run) if words)
    failing = (Lettered("CHECK FAILED: see the cover", small, "bold"),) if subject.failures else ()
    unset = nothing_set(subject.placement)
    record = () if unset is None else (Lettered(unset.strip, small, "bold"),)
    return (
        *failing,
        *record,
        Lettered(head, large, "bold", "corner", is_over),
        Lettered(_edge_words(subject), small, "semibold", "edge", near_edge=True),
        Lettered(subject.ends[0], small, "semibold", "first end"),
        *((Lettered(subject.placement.cloth_state, small, "bold"),) if subject.placement.cloth_state else ()),
        *((Lettered(tail, small, "regular"),) if tail else ()),
    )


def _edge_words(subject: Subject) -> str:
    """What the heavy line of a strip is: the finished edge, or a border within which or past which that lies."""
    if not subject.is_cut_off:
        return "finished edge"
    whole = subject.whole_lap
    most = both_ways(whole.edge_lies_mm[1] - subject.lap.inset_mm, subject.units)[0]
    # Where two fronts cross, the lower one's edge runs through the strip.
    reach = "from within it to" if whole.edge_within(0.0, whole.line.length_mm) else "up to"
    return f"border; the finished edge lies {reach} {most} further"
