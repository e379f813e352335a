"""What a drawing shows beside an edge of its own: the piece that it is an edge of, and a seam line within it.

A piece that is drawn whole, as one closed line, shows on which side of the edge its cloth lies: the edge runs along
that line, or evenly inside it, by an allowance that is cut off or by a facing that is grown on and folded back.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.edges.hand import other_hand
from closures.edges.ring import LEAST_AREA_MM2, MOST_LINES, RING_MM, closed_up, ring_of, twice_area_of
from closures.edges.within import LEAST_ALLOWANCE_MM, MOST_ALLOWANCE_MM, Within, named_cut, open_within
from closures.errors import DrawingError
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.edges.dents import Dent
    from closures.edges.drawing import Drawing, Drawn
    from closures.edges.hand import Hand
    from closures.edges.strays import Stray

MOST_LISTED = 600
"""Of a drawing of more lines not all are looked at."""

MOST_FACING_MM = 80.0
"""No facing that is grown on is wider: an edge further inside a closed line lies somewhere on that piece."""

_EVEN_MM, _EVEN_SHARE = 1.0, 0.35
"""How far from its middle figure an allowance may stray at a place, in mm or as a share: one may grow along an edge."""

_ALIKE = 0.5
"""Cosine of 60 degrees: a line that turns from the edge by more does not run beside it."""

_ODD_PLACES = 4
"""So many of the places may lie otherwise, as at notches."""

_LEAST_ALONG = 0.6
"""A line shorter than this share of an edge does not run along most of it, though its ends may lie near."""

_PLACES = tuple(0.1 + 0.05 * k for k in range(17))
"""Where an edge is held against a closed line: not near its ends, where neckline and hem run close."""


@frozen
class Piece:
    """The piece that an edge is an edge of.

    Attributes:
        outline: closed, in mm.
        inside: the hand on which it lies for somebody who walks the edge.
        name: of its closed line; empty where it is drawn line by line, or where several tell the same.
        away_mm: how far inside the outline the edge lies, in the middle.
        is_one_line: it is one closed line beside the edge, and not made of the edge and the lines round the piece.
    """

    outline: Curve
    inside: Hand
    name: str = ""
    away_mm: float = 0.0
    is_one_line: bool = False

    @property
    def is_on(self) -> bool:
        """Whether the edge lies on the outline."""
        return self.away_mm <= RING_MM

    @property
    def is_doubtful(self) -> bool:
        """Whether the edge lies further inside than an allowance: then the piece tells enough to ask, and no more."""
        return self.away_mm > MOST_ALLOWANCE_MM

    def walked_back(self) -> Piece:
        """The same for somebody who walks the edge from its other end."""
        return replace(self, inside=other_hand(self.inside))

    def turned(self) -> Piece:
        """The same turned over, x to -x."""
        return replace(self.walked_back(), outline=self.outline.mirrored())


@frozen
class Seen:
    """What lies beside an edge.

    Attributes:
        piece: that it is an edge of; None where nothing tells, or two pieces tell two sides.
        within: a line that the edge may have been taken for: the cutting line was named, and the piece is sewn within
            it. None where there is none, where several run so, as in a nest of sizes, or where one runs evenly outside
            the edge: then the edge is the inner one already.
        called_cut: the name or the layer by which the edge is called a line that is cut along; else empty.
        stray: of an edge that was measured, a point that may be mistyped.
        dents: notches drawn into the lines that were named, across which the edge was carried on.
        rough_mm: what the points that stand for the edge are out by, where that is more than they were taken to be.
    """

    piece: Piece | None = None
    within: Within | None = None
    called_cut: str = ""
    stray: Stray | None = None
    dents: tuple[Dent, ...] = ()
    rough_mm: float = 0.0

    def walked_back(self) -> Seen:
        """The same for somebody who walks the edge from its other end."""
        piece = None if self.piece is None else self.piece.walked_back()
        return replace(self, piece=piece, within=None if self.within is None else self.within.walked_back())


NOTHING_SEEN = Seen()
"""Of an edge that no drawing shows, or beside which nothing tells."""


def seen_beside(
    edge: Curve, drawing: Drawing, is_turned: bool = False, names: Sequence[str] = (), told: Sequence[str] = ()
) -> Seen:
    """Look what lies beside an edge.

    Args:
        edge: as it lies here, in mm, x right and y down.
        drawing: that it came from.
        is_turned: what was drawn was turned over on reading, x to -x.
        names: what the plan calls the edge, or its pieces.
        told: other lines that the plan tells the meaning of.
    """
    lines, as_drawn = _listed(drawing), edge.mirrored() if is_turned else edge
    held = [(line, at) for line in lines if _is_closed(line) and (at := _beside(as_drawn, line)) is not None]
    piece = _piece(as_drawn, lines, held)
    within = _within(held)
    if within is None and not any(at.is_around and at.away_mm > RING_MM for _, at in held):
        around = [at.around for _, at in held] + ([] if piece is None else [piece.outline])
        within = open_within({*names, *told}, _open_beside(as_drawn, lines, around))
    if is_turned:
        piece, within = None if piece is None else piece.turned(), None if within is None else within.walked_back()
    return Seen(piece, within, named_cut(names, [line for name in names for line in drawing.lines(name)]))


def _open_beside(edge: Curve, lines: Sequence[Drawn], around: Sequence[Curve]) -> Iterator[tuple[Drawn, float, Hand]]:
    """Go through the open lines that run evenly along most of the edge, and are no part of a piece's outline."""
    for line in lines:
        if _is_closed(line) or line.length_mm < _LEAST_ALONG * edge.length_mm:
            continue
        found = _feet(edge, Curve(tuple(line.segments)))
        if found is None:
            continue
        even, away_mm = found
        hands, runs = [foot.to_right for foot in even], [foot.alike for foot in even]
        is_along = min(hands) * max(hands) > 0 and min(runs) * max(runs) > 0
        if is_along and RING_MM < away_mm <= MOST_ALLOWANCE_MM and not any(_lies_on(line, one) for one in around):
            yield line, away_mm, "right" if hands[0] > 0 else "left"


def _lies_on(line: Drawn, outline: Curve) -> bool:
    """Whether a line is a part of an outline: its ends and the ends of its pieces lie on it."""
    return all(outline.nearest(one.end).distance_mm <= RING_MM for one in line.segments)


def _listed(drawing: Drawing) -> list[Drawn]:
    """What is drawn; nothing where there is too much of it, or a line that cannot be listed."""
    try:
        found = list(islice(drawing.all_lines(), MOST_LISTED + 1))
    except DrawingError:
        return []
    return found if len(found) <= MOST_LISTED else []


def _is_closed(line: Drawn) -> bool:
    return len(line.segments) > 1 and math.dist(line.start, line.end) <= RING_MM


def _piece(edge: Curve, lines: Sequence[Drawn], held: Iterable[tuple[Drawn, _Beside]]) -> Piece | None:
    """The piece whose line runs along the edge, else that drawn line by line, else by allowance, else by a facing."""
    pieces = [
        Piece(Curve(tuple(closed_up(at.around.segments))), at.inside, line.name, at.away_mm, is_one_line=True)
        for line, at in held
        if at.is_around
    ]
    on = [one for one in pieces if one.is_on]
    ring = ring_of(edge.segments, lines) if len(lines) <= MOST_LINES and len({one.inside for one in on}) != 1 else None
    if ring is not None:
        return Piece(ring.outline, ring.inside)
    return _agreed(on or [one for one in pieces if not one.is_doubtful] or pieces)


def _agreed(pieces: Sequence[Piece]) -> Piece | None:
    """The piece that all tell; nameless where they are unlike, as of a nest of sizes."""
    if len({one.inside for one in pieces}) != 1:
        # None, or a facing drawn folded out beside its front, or two fronts drawn edge to edge.
        return None
    away = [one.away_mm for one in pieces]
    return pieces[0] if max(away) - min(away) <= RING_MM else replace(pieces[0], name="")


def _within(held: Iterable[tuple[Drawn, _Beside]]) -> Within | None:
    """The one line that runs inside the edge by an allowance, with none outside it."""
    even = [(line, at) for line, at in held if RING_MM < at.away_mm <= MOST_ALLOWANCE_MM]
    if len(even) != 1 or even[0][1].is_around or even[0][1].away_mm < LEAST_ALLOWANCE_MM:
        return None
    return Within(even[0][0].name, even[0][1].away_mm)


@frozen
class _Beside:
    """A closed line that runs evenly beside an edge, or on it: how far away, its inside, and whether it goes round."""

    away_mm: float
    inside: Hand
    is_around: bool
    around: Curve


@frozen
class _Foot:
    """A place of an edge held against a closed line: how far, which way that runs, and on which hand it lies."""

    away_mm: float
    alike: float
    to_right: float
    beyond_mm: float


def _feet(edge: Curve, line: Curve) -> tuple[list[_Foot], float] | None:
    """Hold places of an edge against a line: those where it runs evenly beside it, and how far away in the middle."""
    length = edge.length_mm
    feet: list[_Foot] = []
    far = 0
    for share in _PLACES:
        (x, y), (tx, ty) = edge.point_at(share * length), edge.tangent_at(share * length)
        found = line.nearest((x, y))
        far += found.distance_mm > MOST_FACING_MM
        if far > _ODD_PLACES:
            return None
        rx, ry = line.tangent_at(found.along_mm)
        dx, dy = found.point[0] - x, found.point[1] - y
        # As far again on the other hand a piece goes on; of a strip folded along its middle the other rim lies there.
        beyond = line.nearest((x - dx, y - dy)).distance_mm
        feet.append(_Foot(found.distance_mm, tx * rx + ty * ry, tx * dy - ty * dx, beyond))
    middle = sorted(foot.away_mm for foot in feet)[len(feet) // 2]
    slack = RING_MM - middle if middle <= RING_MM else max(_EVEN_MM, _EVEN_SHARE * middle)
    # Where the line runs across, the neckline or the hem lies nearer than the rim beside the edge.
    even = [foot for foot in feet if abs(foot.away_mm - middle) <= slack and abs(foot.alike) >= _ALIKE]
    if len(even) < len(feet) - _ODD_PLACES:
        return None
    told = feet[len(feet) // 2]
    return even, told.away_mm if told in even else middle


def _beside(edge: Curve, line: Drawn) -> _Beside | None:
    around = Curve(tuple(line.segments))
    area, found = twice_area_of(around.segments), _feet(edge, around)
    if found is None or abs(area) < 2 * LEAST_AREA_MM2:
        return None
    even, middle = found
    # An edge that runs now with the line and now against it lies across it.
    runs = [foot.alike for foot in even]
    if min(runs) * max(runs) <= 0:
        return None
    inside: Hand = "right" if area * runs[0] > 0 else "left"
    if middle <= RING_MM:
        return _Beside(middle, inside, True, around)
    # The rim of the edge's own piece lies on the far hand from the cloth, all the way.
    outwards = [foot.to_right if inside == "left" else -foot.to_right for foot in even]
    is_around = outwards[0] > 0.0
    if min(outwards) * max(outwards) <= 0.0 or (is_around and any(foot.beyond_mm < foot.away_mm for foot in even)):
        return None
    return _Beside(middle, inside, is_around, around)
