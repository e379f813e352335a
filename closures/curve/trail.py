"""The parallels of segments one after the other, and where they cross each other."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

from closures.curve.algebra import grow_tree, pairs_that_meet
from closures.curve.drawn import approximate_chords
from closures.curve.line import Box, Line, Point
from closures.curve.segment import Segment
from closures.curve.self_crossing import chords_cross, placed_crossing
from closures.frozen import frozen

# Ends of pieces this near to each other join as they are; `Curve` allows ten times as much.
JOINED_MM = 1e-7

# Chords this close to the pieces find where they cross; two that come no nearer to crossing than this are
# not found, and lie less than twice as much too near.
_SAGITTA_MM = 0.002

# Gaps up to this are looked at for a crossing nearer than chords show, beginning so many gaps from their ends.
_SLIGHT_MM, _SHARES = 0.5, (0.5, 1.0, 2.0, 4.0)

# A cusp is looked at in halves of the way to it, down to this.
_CUSP_MM = 1e-6

# Two pieces whose settled places are further apart than this only pass each other.
_MEET_MM = 1e-6

Place = tuple[int, float]
"""A piece by its number and a parameter on it, in the order of the trail."""


@frozen
class Cut:
    """Where a trail crosses itself.

    Attributes:
        at: where it is there first.
        goes_on: where it is there again.
    """

    at: Place
    goes_on: Place


@dataclass(slots=True)
class Trail:
    """Pieces in the order of the curve that they run beside.

    Attributes:
        pieces: the pieces.
        breaks: numbers of the pieces that do not begin where the one before ends.
        cusps: for each piece whether it begins and whether it ends in a cusp.
        numbers: for each piece the number of the segment that it runs beside, or that follows it.
        overlaps: for pieces that begin at the inner side of a corner how far, in mm, they and the ones before
            would overlap were both straight.
    """

    pieces: list[Segment] = field(default_factory=list)
    breaks: list[int] = field(default_factory=list)
    cusps: list[tuple[bool, bool]] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    overlaps: dict[int, float] = field(default_factory=dict)
    _drawn_from: Point | None = None

    def add(self, piece: Segment, number: int, begins_in_cusp: bool = False, ends_in_cusp: bool = False) -> None:
        """Add a piece beside the segment of a number; a straight one after a mitre begins at its tip."""
        if self._drawn_from is not None and isinstance(piece, Line):
            piece = Line(self._drawn_from, piece.end)
        self._drawn_from = None
        if self.pieces and math.dist(self.pieces[-1].end, piece.start) > JOINED_MM:
            self.breaks.append(len(self.pieces))
        self.pieces.append(piece)
        self.cusps.append((begins_in_cusp, ends_in_cusp))
        self.numbers.append(number)

    def draw(self, start: Point, end: Point, number: int, *, grows: bool = False) -> None:
        """Draw a straight line on; where it grows, a straight piece that ends there is drawn out."""
        if math.dist(start, end) <= JOINED_MM:
            return
        last = self.pieces[-1] if self.pieces else None
        if grows and isinstance(last, Line) and math.dist(last.end, start) <= JOINED_MM:
            self.pieces[-1] = Line(last.start, end)
        else:
            self.add(Line(start, end), number)

    def draw_next_from(self, start: Point) -> None:
        """Let the next piece, a straight one, begin here."""
        self._drawn_from = start

    def point(self, place: Place) -> Point:
        """The point at a place."""
        return self.pieces[place[0]].point(place[1])

    def is_loop_within(self, cut: Cut, length_mm: float) -> bool:
        """Whether no more than so much of the trail lies between the two places of a crossing."""
        total = 0.0
        for n in range(cut.at[0], cut.goes_on[0] + 1):
            low, high = cut.at[1] if n == cut.at[0] else 0.0, cut.goes_on[1] if n == cut.goes_on[0] else 1.0
            total += self.pieces[n].length_to(high) - self.pieces[n].length_to(low)
            if total > length_mm:
                return False
        return True

    def run_end(self, place: Place) -> Place:
        """The end of the unbroken run that a place is on."""
        i = bisect_right(self.breaks, place[0])
        return ((self.breaks[i] if i < len(self.breaks) else len(self.pieces)) - 1, 1.0)

    def between(self, one: Place, other: Place) -> list[Segment]:
        """The pieces from one place to another on the same run, cut to them."""
        parts: list[Segment] = []
        for n in range(one[0], other[0] + 1):
            low, high = one[1] if n == one[0] else 0.0, other[1] if n == other[0] else 1.0
            if high <= low:
                continue
            piece = self.pieces[n]
            part = piece if (low, high) == (0.0, 1.0) else piece.part(low, high)
            if part.length_mm > JOINED_MM:
                parts.append(part)
        return parts

    def cuts(self) -> list[Cut]:
        """Find all places where the trail crosses itself, in the order in which it comes there first."""
        chords = self._chords()
        found: dict[tuple[int, int, int, int], Cut] = {}
        for n in self.breaks:
            for first, again in self._slight(n):
                self._keep(found, first, again)
        for i, j in pairs_that_meet(grow_tree([chord.box for chord in chords])):
            one, other = chords[i], chords[j]
            if j == i + 1 and math.dist(one.end, other.start) <= JOINED_MM:
                continue
            shares = chords_cross(one.start, one.end, other.start, other.end)
            if shares is None:
                continue
            t, u = placed_crossing(
                self.pieces[one.piece], one.at(shares[0]), self.pieces[other.piece], other.at(shares[1])
            )
            self._keep(found, (one.piece, t), (other.piece, u))
        return sorted(found.values(), key=lambda cut: (cut.at, cut.goes_on))

    def _slight(self, n: int) -> Iterator[tuple[Place, Place]]:
        """Where a piece may cross the one before it, overlapping by less than their chords can show.

        At a slight corner the overlap is known; beyond a slight fold it is of the size of the gap between cusps.
        """
        before, after = self.pieces[n - 1], self.pieces[n]
        gap = math.dist(before.end, after.start)
        reaches = [self.overlaps[n]] if n in self.overlaps else []
        if gap <= _SLIGHT_MM:
            reaches += [share * gap for share in _SHARES]
        for reach in reaches:
            if reach <= min(before.length_mm, after.length_mm) + JOINED_MM:
                t = before.at_length(max(0.0, before.length_mm - reach))
                u = after.at_length(min(reach, after.length_mm))
                t, u = placed_crossing(before, t, after, u)
                if t < 1 and u > 0:
                    yield (n - 1, t), (n, u)

    def _keep(self, found: dict[tuple[int, int, int, int], Cut], first: Place, again: Place) -> None:
        """Keep a crossing if it is one, once."""
        x, y = self.point(first)
        if first < again and math.dist((x, y), self.point(again)) <= _MEET_MM:
            cell = (first[0], again[0], round(x / _MEET_MM), round(y / _MEET_MM))
            found.setdefault(cell, Cut(first, again))

    def _chords(self) -> list[_Chord]:
        chords = []
        for n, (piece, (begins, ends)) in enumerate(zip(self.pieces, self.cusps, strict=True)):
            places = {0.0, *approximate_chords(piece, _SAGITTA_MM)}
            for is_cusp, end, way in ((begins, 0.0, 1.0), (ends, 1.0, -1.0)):
                step = 0.5 if is_cusp else 0.0
                while step and math.dist(piece.point(end), piece.point(end + way * step)) > _CUSP_MM:
                    places.add(end + way * step)
                    step /= 2
            ordered = sorted(places)
            points = [piece.point(t) for t in ordered]
            chords += [_Chord(n, *both) for both in zip(ordered, ordered[1:], points, points[1:], strict=False)]
        return chords


@frozen
class _Chord:
    piece: int
    low: float
    high: float
    start: Point
    end: Point

    @property
    def box(self) -> Box:
        (x0, y0), (x1, y1) = self.start, self.end
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def at(self, share: float) -> float:
        return self.low + share * (self.high - self.low)
