"""All sizes of a lap as one long piece: each size with its own line, every mark with its size beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of
from closures.drawing.ink.rigid import along_x
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import Group, Item
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.join_places import OVERLAP_MM, Thing
from closures.drawing.paper.joins import (
    JOIN_MARGIN_MM,
    RING_ARM_MM,
    RING_OFF_MM,
    draw_join_after,
    draw_join_before,
    lines_end_mm,
    tight_joins,
    words_laid_on,
    words_on_top,
)
from closures.drawing.paper.parts import Part, Strip
from closures.drawing.paper.piece import SHEET_WORDS, LongPiece, Piece, piece_of
from closures.drawing.sheets.lanes import letter_rows
from closures.drawing.sheets.lettered import Lettered
from closures.drawing.sheets.nest import (
    SeenSize,
    crosses_of,
    ends_of,
    lines_of,
    marks_of,
    seen_sizes,
    size_slugs,
)
from closures.drawing.sheets.nest_words import ROW_MM, Grain, label_marks, labels_reach_mm
from closures.drawing.sheets.size_lines import size_pens
from closures.drawing.sheets.spread import Spread
from closures.drawing.sheets.view import Spot
from closures.placing.nothing_set import nothing_set

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.drawing.ink.rigid import Rigid
    from closures.drawing.ink.shapes import Pen, Point
    from closures.jobs.sizes.sized import Sizes
    from closures.plan.band import Face

_MARK_MM = 2.8
_STEP_MM = 6.0
_ROWS_MM = 8.0


_BESIDE_MM = 5.0
"""Along the strip: an edge of a size that lies further off is none beside the words."""


# An edge 10 mm off is then known to 0.05 mm, less than sizes differ by; only speed goes by it.
_SAMPLE_MM = 2.0
_NOTHING_MM = 1e-6
"""More than sums of distances are off by rounding."""


class _Nest:
    """All sizes of a lap, with the base's closing line, drawn out straight at both ends, to measure by."""

    def __init__(self, sizes: Sizes, lap: LapName, face: Face, run: str) -> None:
        self.sizes, self.lap, self.face, self.run = sizes, lap, face, run
        self.type = type_scale(sizes.plan.has_large_letters)
        self.seen = seen_sizes(sizes, lap, face == "inside")
        self.base = next(one for one in self.seen if one.size is sizes.base)
        self.pens: Sequence[Pen] = size_pens(len(self.seen), self.base.index)
        self.slugs = size_slugs(sizes)
        self.line = self.base.view.lap.line
        places = [self._along(one.at(point)) for one in self.seen for point in _outline(one)]
        # The names of the ends stand in rows beyond them, half of the sizes on either side.
        rows = ROW_MM * self.type.grown * (math.ceil(len(self.seen) / 2) - 0.5)
        self.before = max(0.0, -min(along for along, _ in places)) + rows
        self.length = self.before + max(self.line.length_mm, max(along for along, _ in places)) + rows
        marks = [mark for one in self.seen for mark in marks_of(one, sizes.plan.units)]
        ends = [mark for one in self.seen for mark in ends_of(one)]
        self.labels_mm = labels_reach_mm([*marks, *ends], self.type)
        self.edge = max(0.0, -min(depth for _, depth in places)) + self.labels_mm
        self.inner = max(0.0, max(depth for _, depth in places)) + self.labels_mm
        self.marks = [(self.before + self._along(mark.at)[0], mark) for mark in (*marks, *ends)]
        self.spot = cache(self._spot)
        # Points of each size's edge, and how many of them lay between that at the same share of its length and the
        # nearest when it was asked for last.
        self._samples = [_samples_of(one.view.lap.edge) for one in self.seen]
        self._ahead = [0] * len(self.seen)

    def _along(self, point: Point) -> tuple[float, float]:
        """How far along the drawn-out line a point lies, and how far from it, inwards positive."""
        sign = self.base.view.sign
        x, y = sign * point[0], point[1]
        near = self.line.nearest((x, y))
        tangent = self.line.tangent_at(near.along_mm)
        dx, dy = x - near.point[0], y - near.point[1]
        beyond = dx * tangent[0] + dy * tangent[1]
        nx, ny = self.base.view.lap.inward(tangent)
        return near.along_mm + (beyond if near.along_mm in (0.0, self.line.length_mm) else 0.0), dx * nx + dy * ny

    def _spot(self, along_mm: float) -> Spot:
        """A place of the drawn-out line, its depths those of all sizes and their labels."""
        own = along_mm - self.before
        inside = self._inside(along_mm)
        (x, y), along, inward = self.base.view.stand_on_line(inside)
        at = (x + (own - inside) * along[0], y + (own - inside) * along[1])
        return Spot(at, along, inward, at, self.edge, self.inner)

    def _inside(self, along_mm: float) -> float:
        return min(max(along_mm - self.before, 0.0), self.line.length_mm)

    def outermost_edge_at(self, along_mm: float) -> Point | None:
        """The place beside the base's line on that finished edge of a size which lies furthest out; None beyond all."""
        spot = self.spot(along_mm)
        own = self.line.point_at(self._inside(along_mm))
        beyond = abs(along_mm - self.before - self._inside(along_mm))
        (x, y), (ex, ey), (ax, ay) = spot.at, spot.to_edge, spot.along
        # No edge lies further out than any point of it is far off: what may lie furthest out is looked for first.
        share = self._inside(along_mm) / self.line.length_mm
        off = [self._off_at_most(k, own, share) for k in range(len(self.seen))]
        found: tuple[float, int, Point] | None = None
        for k in sorted(range(len(off)), key=lambda n: -off[n]):
            if found is not None and off[k] + beyond + _NOTHING_MM < found[0]:
                break
            view = self.seen[k].view
            px, py = view.point(*view.lap.edge.nearest_point(own)[1])
            # A shorter size has ended there: its end lies beside another place of the strip.
            if abs((px - x) * ax + (py - y) * ay) <= _BESIDE_MM:
                out = (px - x) * ex + (py - y) * ey
                if found is None or (out, -k) > (found[0], -found[1]):
                    found = (out, k, (px, py))
        return None if found is None else found[2]

    def _off_at_most(self, k: int, own: Point, share: float) -> float:
        """How far off a place a point of a size's edge is that lies near to it."""
        samples = self._samples[k]
        last = len(samples) - 1
        first = round(share * last)
        at = min(max(first + self._ahead[k], 0), last)
        off = math.dist(own, samples[at])
        for step in (1, -1):
            while 0 <= at + step <= last and (next_off := math.dist(own, samples[at + step])) < off:
                at, off = at + step, next_off
        self._ahead[k] = at - first
        return off


def _samples_of(curve: Curve) -> list[Point]:
    """Points along a curve, in their order."""
    found: list[Point] = []
    for segment in curve.segments:
        count = max(1, round(segment.length_mm / _SAMPLE_MM))
        found += [segment.point(n / count) for n in range(count)]
    return [*found, curve.end]


def _outline(one: SeenSize) -> list[Point]:
    """Points of a size's lines, in the garment's frame."""
    curves = (one.view.lap.edge, one.view.lap.line)
    return [c.point_at(c.length_mm * k / 60) for c in curves for k in range(61)]


def nest_piece(sizes: Sizes, lap: LapName, face: Face, run: str = "") -> LongPiece:
    """Make the nest of a lap ready to be cut into parts.

    Args:
        sizes: placed.
        lap: which layer.
        face: which face of the cloth lies up.
        run: the run mark in words.
    """
    nest = _Nest(sizes, lap, face, run)

    @cache
    def size_with(more_mm: float) -> tuple[Spread, Callable[[float, float], Point]]:
        """The room that a part takes, which is found once for all ways to hold a page."""
        reach = RING_OFF_MM + RING_ARM_MM

        @cache
        def sides(along: float) -> tuple[Point, Point]:
            one = nest.spot(along)
            return one.moved(0.0, -one.to_edge_mm - reach), one.moved(0.0, one.to_inner_mm + reach + more_mm)

        spread = Spread(nest.spot, sides, nest.length, RING_ARM_MM)
        return spread, cache(lambda low, high: _room_of(nest, spread, low, high))

    def strip_for(fits_page: Callable[[Point], bool], more_mm: float) -> Strip:
        spread, size = size_with(more_mm)

        @cache
        def fits(low: float, high: float) -> bool:
            return not spread.is_too_long(fits_page, low, high) and fits_page(size(low, high))

        return Strip(nest.length, things, size, fits, may_break=False)

    things = tuple(Thing(along - _MARK_MM, along + _MARK_MM) for along, mark in nest.marks)
    return LongPiece(
        f"{lap}, all sizes", strip_for, lambda part: replace(_draw(nest, part), tight=tight_joins(things, part))
    )


def _room_of(nest: _Nest, spread: Spread, low: float, high: float) -> Point:
    width, height = spread.size(max(0.0, low), min(nest.length, high))
    return (width + 2 * JOIN_MARGIN_MM + _ROWS_MM, height + 2.0)


def _draw(nest: _Nest, part: Part) -> Piece:
    far = min(part.high_mm + OVERLAP_MM, nest.length)
    turn = along_x(nest.spot(part.low_mm).at, nest.spot(far).at)
    seen = [replace(one, turn=turn) for one in nest.seen]
    own = [mark for along, mark in nest.marks if part.low_mm <= along <= part.high_mm]
    turned = [replace(mark, at=turn.point(mark.at)) for mark in own]

    def spot(along_mm: float) -> Spot:
        return _turned(nest.spot(along_mm), turn)

    room = Room()
    joins = _joins(nest, part, spot, room)
    reach = _reach(nest, part, spot)
    uncovered = _uncovered(part, spot)
    labels = label_marks(turned, Grain(False), reach, nest.type, uncovered)
    crosses = crosses_of(seen, [mark for mark in turned if mark.n], nest.slugs)
    clip = _clip(nest, part, turn)
    layers: list[Item] = []
    for one in seen:
        name = one.size.name
        told = (
            f"size {name}, {one.view.lap.name} lap, part {part.number} of {part.count}: its edge and its closing line"
        )
        drawn = lines_of(one, nest.pens[one.index])
        lines = Group(f"lines-{nest.slugs[name]}", told, tuple(drawn), clip=clip, tag="Figure")
        inside = (lines, *labels.get(one.index, ()), *crosses[one.index])
        layers.append(Group(f"size-{nest.slugs[name]}", f"size {name}", inside, name))
        for item in inside:
            if item is not lines:
                room.take(box_of(item))
        for path in drawn:
            room.take_path(path.commands)

    def edge_at(along_mm: float) -> Point | None:
        at = nest.outermost_edge_at(along_mm)
        if at is None:
            return None
        # No line is drawn past a join: an arrow that ended there would point at another piece, or at nothing.
        x, y = turn.point(at)
        low, high = uncovered(y)
        return (x, y) if low <= x <= high else None

    words = letter_rows(_rows(nest, part), spot, part.low_mm, part.high_mm, room, edge_at=edge_at)
    of = f" {part.number} of {part.count}" if part.count > 1 else ""
    names = [one.size.name for one in seen]
    text = f"{nest.lap.capitalize()} lap{of}, sizes {names[0]} to {names[-1]} on each other."
    return piece_of(
        f"{nest.lap}, all sizes{of}",
        (*layers, *joins, *words),
        text,
        lap=nest.lap,
        strip=f"{nest.lap}, all sizes",
        number=part.number,
        count=part.count,
        letters=tuple(letter for letter in (part.letter_before, part.letter_after) if letter),
        along_mm=(part.low_mm - nest.before, part.high_mm - nest.before),
    )


def _turned(spot: Spot, turn: Rigid) -> Spot:
    return Spot(
        turn.point(spot.at),
        turn.direction(spot.along),
        turn.direction(spot.inward),
        turn.point(spot.edge_at),
        spot.to_edge_mm,
        spot.to_inner_mm,
    )


def _reach(nest: _Nest, part: Part, spot: Callable[[float], Spot]) -> tuple[float, float]:
    """From and to across the part of what is drawn of all sizes, in the turned frame."""
    count = 12
    spots = [spot(part.low_mm + (part.high_mm - part.low_mm) * k / count) for k in range(count + 1)]
    edge = [one.moved(0.0, -one.to_edge_mm + nest.labels_mm)[1] for one in spots]
    inner = [one.moved(0.0, one.to_inner_mm - nest.labels_mm)[1] for one in spots]
    return (min(*edge, *inner), max(*edge, *inner))


def _uncovered(part: Part, spot: Callable[[float], Spot]) -> Callable[[float], tuple[float, float]]:
    """From and to along the part, so far across it, of what lies on its own side of its joins."""
    low, high = spot(part.low_mm), spot(part.high_mm)

    def at(join: Spot, across: float) -> float:
        return join.at[0] + (across - join.at[1]) * join.inward[0] / join.inward[1]

    def between(across: float) -> tuple[float, float]:
        return (
            at(low, across) if part.letter_before else -math.inf,
            at(high, across) if part.letter_after else math.inf,
        )

    return between


def _joins(nest: _Nest, part: Part, spot: Callable[[float], Spot], room: Room) -> list[Item]:
    size, items = nest.type.figure, []
    if part.letter_before:
        words = words_laid_on((nest.lap,), part.number - 1, part.letter_before, is_lap=True)
        items.append(draw_join_before(spot(part.low_mm), part.letter_before, words, size, room))
    if part.letter_after:
        words = words_on_top((nest.lap,), part.number + 1, part.letter_after, part.count)
        items.append(draw_join_after(spot(part.high_mm), part.letter_after, words, size, room))
    return [*items]


def _clip(nest: _Nest, part: Part, turn: Rigid) -> tuple[Point, ...]:
    if part.count == 1:
        return ()
    low, high = part.low_mm, part.high_mm
    count = max(1, math.ceil((high - low) / _STEP_MM))
    spots = [nest.spot(low + (high - low) * k / count) for k in range(count + 1)]
    edge = [one.moved(0.0, -one.to_edge_mm) for one in spots]
    inner = [one.moved(0.0, one.to_inner_mm) for one in spots]
    if part.after == "join":
        # Straight across, as the words beyond are lettered, however the line bends there.
        edge.append(spots[-1].moved(lines_end_mm(), -spots[-1].to_edge_mm))
        inner.append(spots[-1].moved(lines_end_mm(), spots[-1].to_inner_mm))
    return tuple(turn.point(point) for point in (*edge, *reversed(inner)))


def _rows(nest: _Nest, part: Part) -> tuple[Lettered, ...]:
    number = f" {part.number} of {part.count}" if part.count > 1 else ""
    names = [one.size.name for one in nest.seen]
    tail = " · ".join(words for words in (SHEET_WORDS, nest.run) if words)
    state = nest.base.size.placement.cloth_state
    unset = nothing_set(nest.base.size.placement)
    return (
        *(() if unset is None else (Lettered(unset.strip, nest.type.figure, "bold"),)),
        *((Lettered(state, nest.type.figure, "bold"),) if state else ()),
        Lettered(
            f"{nest.lap.upper()} LAP{number} · {nest.face} face up",
            nest.type.text,
            "bold",
            "corner",
            nest.lap == "over",
        ),
        Lettered(f"sizes {', '.join(names)}", nest.type.figure),
        Lettered("dots alone: cut nothing by this strip", nest.type.figure),
        Lettered(nest.base.size.placement.ends[0], nest.type.figure, "semibold", "first end"),
        Lettered("finished edge", nest.type.figure, "semibold", "edge", near_edge=True),
        Lettered(tail, nest.type.figure, "regular"),
    )
