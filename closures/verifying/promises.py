"""What was promised of a row, as plain figures: what the user asked for, and what the closure itself needs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import field
from itertools import permutations

from closures.frozen import frozen
from closures.verifying.measured import Measured, Point, measured

Span = tuple[float, float]


@frozen
class AnchorPromised:
    """A place where a closure must sit, on the level or along the line."""

    name: str
    within_mm: float
    level_mm: float | None = None
    along_mm: float | None = None


@frozen
class ZonePromised:
    """A stretch where none may sit, between levels or along the line, how far it keeps centres off, and slits too.

    Attributes:
        own_mm: of a row whose closures differ, how far it keeps each of them off, by its number.
    """

    name: str
    room_mm: float
    level_mm: Span | None = None
    along_mm: Span | None = None
    keeps_slits: bool = False
    own_mm: Mapping[int, float] = field(default_factory=dict)


def with_touching(zones: tuple[ZonePromised, ...]) -> tuple[ZonePromised, ...]:
    """The zones, and every two that keep centres off and touch as one more: none may sit on the border between them."""
    found = list(zones)
    for one, other in permutations((zone for zone in zones if zone.room_mm == 0.0), 2):
        level, along = _joined(one.level_mm, other.level_mm), _joined(one.along_mm, other.along_mm)
        if level or along:
            found.append(ZonePromised(f"{one.name} and {other.name}", 0.0, level, along))
    return tuple(found)


def _joined(one: Span | None, other: Span | None) -> Span | None:
    """Two stretches as one where the second begins as the first ends."""
    return None if one is None or other is None or one[1] != other[0] else (one[0], other[1])


@frozen
class SlitPromised:
    """The buttonhole of a mark.

    Attributes:
        way: "across" or "along" the closing line.
        ends_mm: from the mark to both its ends, x and y of each in the lap's own frame: the one nearer the edge
            (across) or the first end (along) comes first.
    """

    way: str
    ends_mm: tuple[Span, Span]


@frozen
class StepsPromised:
    """Places that closures keep to: repeats of a stripe, rows or stitches of knitting.

    Attributes:
        every_mm: from one to the next.
        level_mm: a level at which one lies; None where they are counted from closure to closure.
        by_level: they lie level with each other; else they are counted along the line.
        before_mm: how far before its mark, along the line, what keeps to them lies: a buttonhole's beginning.
        from_n: the first mark that keeps to them: a collar stand's has a place of its own.
        rows: of rows that lie level, how many are told to lie between the corner where knitting begins and what keeps
            to them, for each mark in the order of the line; None where none are.
        rows_in_all: how many the whole front is told to have.
        from_first: knitting begins at the first end of the edge, else at the last.
    """

    every_mm: float
    level_mm: float | None = None
    by_level: bool = False
    before_mm: float = 0.0
    from_n: int = 1
    rows: tuple[int, ...] | None = None
    rows_in_all: int = 0
    from_first: bool = False


@frozen
class WornPromised:
    """The row is promised on the washed garment, of which the sheets show the cloth before.

    Attributes:
        across, along: what a mm of the sheet is worn, across and down.
        stand: how high a collar stand is on the sheet, and how high when worn; None where there is none.
        inside_mm: by lap, how far inside its edge a stand's closure lies on the sheet, where that is not how far the
            front's do: it lies on a line of its own then.
        metal_mm: by lap, from a mark to the rings by which a hook or an eye is sewn: these are washed, not the mark.
    """

    across: float
    along: float
    stand: tuple[float, float] | None = None
    inside_mm: Mapping[str, float] = field(default_factory=dict)
    metal_mm: Mapping[str, float] = field(default_factory=dict)

    def worn(
        self, line: Measured, points: Iterable[Point], lap: str = "", drawn: Iterable[Point] = ()
    ) -> tuple[Measured, list[float]]:
        """A line of a sheet as it is worn, and how far along that each of some points lies.

        Args:
            line, points: of the sheet.
            lap: whose they are.
            drawn: of a part that lies on the side of the line on which its metal is sewn.
        """
        reach = self.metal_mm.get(lap, 0.0)
        if self.stand is None and reach:
            way = 1.0 if sum(line.side_of(point) for point in drawn) > 0.0 else -1.0
            rings = [self._at(point) for point in line.moved(way * reach)]
            worn = measured(measured(rings).moved(-way * reach))
            own = [self._at(line.moved_at(line.place_of(point)[0], way * reach)) for point in points]
            # The line of the rings runs beside that of the ends: square across, a place of one is one of the other.
            return worn, [worn.place_of(ring)[0] for ring in own]
        if self.stand is None:
            worn = measured([self._at(point) for point in line.points])
            return worn, [worn.place_of(self._at(point))[0] for point in points]
        height, comes_to = self.stand
        # A stand is straight, and shrinks by a share of its own towards the seam.
        (x0, y0), (x1, y1) = line.points[0], line.points[1]
        part = height / math.dist((x0, y0), (x1, y1))
        seam = (x0 + part * (x1 - x0), y0 + part * (y1 - y0))
        by = comes_to / height

        def at(point: Point) -> Point:
            (x, y), (a, b) = self._at(seam), seam
            is_above = line.place_of(point)[0] <= height
            return (x + by * (point[0] - a), y + by * (point[1] - b)) if is_above else self._at(point)

        below = [self._at(point) for point, along in zip(line.points, line.along_mm, strict=True) if along > height]
        worn = measured([at((x0, y0)), self._at(seam), *below])
        return worn, [worn.place_of(at(point))[0] for point in points]

    def _at(self, point: Point) -> Point:
        return (point[0] * self.across, point[1] * self.along)


@frozen
class ReachPromised:
    """How the part at a mark lies: which way it reaches from it, and how far.

    Attributes:
        way: unit direction, in the lap's own frame.
        reach_mm: from the mark to its far end; None where no figure is known, and only the way is held.
    """

    way: Span
    reach_mm: float | None


@frozen
class Promises:
    """What a row must keep.

    Attributes:
        first_mm, last_mm: from the first end to the first centre, and from the last centre to the last end.
        closest_mm, widest_mm: every gap, along the line.
        count: how many closures, None where that was free.
        anchors, zones: where closures must and must not sit.
        slits: the buttonhole of each mark that has one, by its lap and number.
        reaches: how the hook, eye, bar or loop of each mark that has one lies, by its lap and number.
        steps: the places that closures keep to.
        worn: the row is promised on the washed garment; None where the sheets show it as it is worn.
        inside_mm: by lap, how far inside its finished edge the row lies, where the edge and an inset tell it.
    """

    first_mm: Span = (0.0, math.inf)
    last_mm: Span = (0.0, math.inf)
    closest_mm: float = 0.0
    widest_mm: float = math.inf
    count: int | None = None
    anchors: tuple[AnchorPromised, ...] = ()
    zones: tuple[ZonePromised, ...] = ()
    slits: Mapping[tuple[str, int], SlitPromised] = field(default_factory=dict)
    reaches: Mapping[tuple[str, int], ReachPromised] = field(default_factory=dict)
    steps: StepsPromised | None = None
    worn: WornPromised | None = None
    inside_mm: Mapping[str, float] = field(default_factory=dict)
