"""How near closures come to each other on one lap: rim to rim, rim to slit, slit to slit, by straight distances.

Terms: a *slit* is the buttonhole as it is cut; it goes through the lap, so that whatever is set on either face meets
it. A rim meets another only on the same face: a hidden button is sewn on behind one that shows, back to back.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.buttonhole import Buttonhole, buttonhole_for

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Point
    from closures.placing.lap import Lap
    from closures.placing.placed import Placement

Face = Literal["outside", "inside"]
Piece = Literal["rim", "buttonhole"]

_BOTH: frozenset[Face] = frozenset(("outside", "inside"))


@frozen
class Lying:
    """A closure as it lies on one lap whose line is straight about it. Lengths in mm, in the lap's own frame.

    Attributes:
        n: its number.
        at: its centre.
        rim_mm: from there to the rim.
        faces: those of the lap that its rim lies on, sewn on or closed.
        slit: both ends of its buttonhole, None where this lap carries none.
    """

    n: int
    at: Point
    rim_mm: float
    faces: frozenset[Face]
    slit: tuple[Point, Point] | None

    @property
    def reach_mm(self) -> float:
        """From its centre to the furthest that there is of it."""
        return max(self.rim_mm, *(math.dist(self.at, end) for end in self.slit or (self.at,)))

    def moved(self, way: Point) -> Lying:
        """The same, so far away."""
        x, y = way
        at = (self.at[0] + x, self.at[1] + y)
        if self.slit is None:
            return replace(self, at=at)
        (ax, ay), (bx, by) = self.slit
        return replace(self, at=at, slit=((ax + x, ay + y), (bx + x, by + y)))


@frozen
class Wanted:
    """What is to lie between two closures.

    Attributes:
        rims_mm: between two rims, for the tool.
        slit_mm: between a buttonhole and what lies beside it.
    """

    rims_mm: float
    slit_mm: float

    @classmethod
    def of(cls, catalogue: Catalogue) -> Wanted:
        """As the catalogue has it: `rim to rim`, and `ridge` about a buttonhole as at its ends."""
        return cls(catalogue.rule("rim to rim").value.value, catalogue.rule("ridge").value.value)


@frozen
class Room:
    """The tightest that lies between two closures of one lap.

    Attributes:
        first, second: their numbers.
        pieces: what of the first and of the second comes so near.
        mm: between them; not above 0 where they meet.
        wanted_mm: what is to lie between them.
    """

    first: int
    second: int
    pieces: tuple[Piece, Piece]
    mm: float
    wanted_mm: float

    @property
    def is_enough(self) -> bool:
        """Whether as much lies between them as is wanted."""
        return self.mm >= self.wanted_mm - SAME_MM

    @property
    def meets(self) -> bool:
        """Whether they touch or lie on each other."""
        return self.mm <= SAME_MM


def lying_on(placement: Placement, lap: LapName, catalogue: Catalogue) -> list[Lying]:
    """List what a row, or a column beside it, has on one lap.

    Args:
        placement: its own marks are listed, and nothing that lies beside it.
        lap: which lap.
        catalogue: where the figures of a buttonhole are kept.
    """
    found = []
    for share in placement.alike():
        hole = buttonhole_for(share.fastener, share.plan, catalogue)
        places = [(mark.n, mark.along_mm) for mark in share.marks if mark.on(lap) is not None]
        found += lying_at(share.laps[lap], share.fastener, hole, places)
    return found


def lying_at(lap: Lap, fastener: Fastener, hole: Buttonhole | None, places: Iterable[tuple[int, float]]) -> list[Lying]:
    """List closures on one lap.

    Args:
        lap: with the straight line that they lie on.
        fastener: what is set.
        hole: its buttonhole, on whichever lap.
        places: number and distance along the row of each.
    """
    faces = _faces(fastener, lap.name)
    found = []
    for n, along in places:
        at, slit = lap.at(along), None
        if hole is not None and fastener.mark.buttonhole_lap == lap.name:
            tangent = lap.line.tangent_at(lap.along(along))
            # Across, it reaches past the mark towards the edge; along, towards the first end.
            x, y = lap.inward(tangent) if hole.way == "across" else tangent
            before, after = -hole.before_mm, hole.after_mm
            slit = ((at[0] + before * x, at[1] + before * y), (at[0] + after * x, at[1] + after * y))
        found.append(Lying(n, at, fastener.rim_mm, faces, slit))
    return found


def _faces(fastener: Fastener, lap: LapName) -> frozenset[Face]:
    if fastener.hole is not None and fastener.hole.way not in ("buttonhole", "none"):
        # Pierced: there is a part on either face.
        return _BOTH
    if fastener.family == "button":
        # Closed, a button lies on the face of the other lap that it was pushed through to.
        return frozenset(("inside" if fastener.mark.buttonhole_lap == "under" else "outside",))
    # Sewn on between the laps.
    return frozenset(("inside" if lap == "over" else "outside",))


def room_between(one: Lying, other: Lying, wanted: Wanted) -> Room | None:
    """Find the tightest that lies between two closures of one lap; None where nothing of them can meet."""
    rooms = [Room(one.n, other.n, *found) for found in _rooms(one, other, wanted)]
    return min(rooms, key=lambda room: (not room.meets, room.mm - room.wanted_mm), default=None)


def _rooms(one: Lying, other: Lying, wanted: Wanted) -> Iterator[tuple[tuple[Piece, Piece], float, float]]:
    if one.faces & other.faces:
        apart = math.dist(one.at, other.at) - one.rim_mm - other.rim_mm
        yield ("rim", "rim"), apart, wanted.rims_mm
    if other.slit is not None:
        yield ("rim", "buttonhole"), _from_slit(one.at, other.slit) - one.rim_mm, wanted.slit_mm
    if one.slit is not None:
        yield ("buttonhole", "rim"), _from_slit(other.at, one.slit) - other.rim_mm, wanted.slit_mm
    if one.slit is not None and other.slit is not None:
        yield ("buttonhole", "buttonhole"), _between_slits(one.slit, other.slit), wanted.slit_mm


def too_near(some: Iterable[Lying], others: Iterable[Lying], wanted: Wanted) -> Iterator[Room]:
    """Find every two, one of either list, between which less lies than is wanted."""
    rest = [(other, other.reach_mm + max(wanted.rims_mm, wanted.slit_mm)) for other in others]
    for one in some:
        reach = one.reach_mm
        for other, far in rest:
            if math.dist(one.at, other.at) > reach + far:
                continue
            room = room_between(one, other, wanted)
            if room is not None and not room.is_enough:
                yield room


def _from_slit(point: Point, slit: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = slit
    dx, dy = bx - ax, by - ay
    share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (ax + share * dx, ay + share * dy))


def _between_slits(one: tuple[Point, Point], other: tuple[Point, Point]) -> float:
    (a, b), (c, d) = one, other
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return 0.0
    return min(_from_slit(a, other), _from_slit(b, other), _from_slit(c, one), _from_slit(d, one))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
