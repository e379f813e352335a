"""The true parallel of a curve: the points at a distance to one hand that no part of the curve is nearer to.

The parallel of each segment is exact. Where they leave a gap, on the outer side of a corner, their end
tangents are drawn out until they meet; where they overlap, on the inner side of a corner or of a curve that
turns more tightly than the distance, they are trimmed where they cross, as cloth is mitred or laid in a
tuck. What lies nearer to another part of the curve is found by where the parallel crosses itself: between
two crossings all of it is nearer, or none.
"""

from __future__ import annotations

import math
from bisect import bisect_right

from closures.curve.algebra import turn_between
from closures.curve.arc import Arc
from closures.curve.curve import Curve, Nearest
from closures.curve.folds import unfolded
from closures.curve.line import Line, Point
from closures.curve.segment import Segment
from closures.curve.trail import JOINED_MM, Cut, Place, Trail
from closures.errors import EdgeError

# How much nearer than it should a parallel may come to an end of the edge.
ALLOWED_MM = 0.01

# While a curve turns by less than a right angle and never more tightly than d, a disc of radius d that
# touches it cannot reach it again: seen along the tangent at the touch, the curve is a graph whose sine of
# slope grows no faster than that of the disc's own rim.
_RIGHT_ANGLE = math.pi / 2 + 1e-9

# A mitre at this turn reaches 2.2 times the distance; the outer side of a sharper corner is rounded.
MOST_MITRE_DEG = 125.0

# A corner's tip lies no further from where its sides are trimmed than this many distances (a turn of 151
# degrees). What is cut off further out is a tongue of cloth, and the band would leave its edge bare.
MOST_REACH = 4.0

# An edge that turns with this radius turns no corner: a distance beyond it is a slip, and no band is so
# wide. Our own rule; rounded corners of collars, cuffs and hems have 5 to 40 mm.
WIDEST_CORNER_MM = 50.0

# A loop no longer than this is trimmed without asking how near it comes.
_CRUMB_MM = 0.01

# A parallel this much nearer than its distance lies near another part of the curve; sums are good to a
# thousandth of it.
_NEARER_MM = 1e-8

# Corners that turn less are none.
_CORNER_DEG = 5.0

# In so many places what is cut off the edge is looked at.
_LOOKED_AT = 24


def parallel(curve: Curve, d: float, name: str = "closing line") -> Curve:
    """Make the true parallel of a curve.

    Args:
        curve: the edge.
        d: in mm, positive to the right hand.
        name: what the parallel is, for messages.

    Returns:
        A curve whose every point lies d from this one, but for the mitres on the outer side of corners.

    Raises:
        EdgeError: it folds in a wide curve, there is no room at one of the ends, or a tongue of the edge is
            too narrow to hold it; the message names the place and the radius or the width.
    """
    if not math.isfinite(d):
        raise EdgeError(f"{d} mm is not a distance", where=name)
    if d == 0:
        return curve
    try:
        return _Parallel(curve, d, name, MOST_MITRE_DEG).made()
    except EdgeError as refusal:
        # The tip of a mitre may reach over another part of the edge where a rounded corner has room.
        try:
            return _Parallel(curve, d, name, 0.0).made()
        except EdgeError:
            raise refusal from None


class _Parallel:
    """A parallel on its way."""

    def __init__(self, curve: Curve, d: float, name: str, most_mitre_deg: float) -> None:
        self.curve, self.d, self.name, self.most_mitre_deg = curve, d, name, most_mitre_deg
        self.trail = Trail()
        self.events: list[Place] = []

    def made(self) -> Curve:
        tight = self.curve.tightest("right" if self.d > 0 else "left")
        folds = abs(self.d) >= tight.radius_mm * (1 - 1e-9)
        if folds and tight.radius_mm > WIDEST_CORNER_MM:
            raise self._too_tight()
        self._lay_out()
        if not self.trail.pieces:
            raise self._too_tight()
        if not self.trail.breaks and not folds and self.curve.direction_range <= _RIGHT_ANGLE:
            return Curve(tuple(self.trail.pieces))
        return self._trimmed()

    def _lay_out(self) -> None:
        """The parallels of all segments in order, with what joins them on the outer side of corners."""
        before: Segment | None = None
        for number, segment in enumerate(self.curve.segments):
            parts = unfolded(segment, self.d)
            if before is not None:
                self._join(before, parts[0].base if parts and parts[0].begins else segment, number)
            for part in parts:
                self.trail.add(part.beside, number, not part.begins, not part.ends)
            before = parts[-1].base if parts and parts[-1].ends else segment

    def _join(self, one: Segment, other: Segment, number: int) -> None:
        d, trail = self.d, self.trail
        (ax, ay), (bx, by) = one.tangent(1.0), other.tangent(0.0)
        turn = turn_between((ax, ay), (bx, by))
        end = (one.end[0] - ay * d, one.end[1] + ax * d)
        start = (other.start[0] - by * d, other.start[1] + bx * d)
        if math.dist(end, start) <= JOINED_MM:
            return
        if turn * d >= 0:
            trail.overlaps[len(trail.pieces)] = abs(d * math.tan(turn / 2))
            return
        if abs(math.degrees(turn)) > self.most_mitre_deg:
            centre = one.end
            trail.add(Arc(centre, abs(d), math.atan2(end[1] - centre[1], end[0] - centre[0]), turn), number)
            trail.draw(trail.pieces[-1].end, start, number)
            return
        reach = ((start[0] - end[0]) * by - (start[1] - end[1]) * bx) / (ax * by - ay * bx)
        tip = (end[0] + ax * reach, end[1] + ay * reach)
        trail.draw(end, tip, number, grows=True)
        if isinstance(other, Line):
            trail.draw_next_from(tip)
        else:
            trail.draw(tip, start, number)

    def _trimmed(self) -> Curve:
        """Follow the trail; where it crosses itself go on where no part of the curve is nearer than d."""
        trail = self.trail
        cuts = trail.cuts()
        self.events = sorted({place for cut in cuts for place in (cut.at, cut.goes_on)})
        at: Place = (0, 0.0)
        last: Place = (len(trail.pieces) - 1, 1.0)
        done: list[Segment] = []
        if not self._is_free_after(at):
            raise self._no_room(self._nearest_after(at))
        for cut in cuts:
            if cut.at < at or cut.at > trail.run_end(at) or not self._leads_on(cut):
                continue
            done = _joined(done, trail.between(at, cut.at))
            self._refuse_tongue(cut)
            at = cut.goes_on
        stop = trail.run_end(at)
        if stop != last:
            raise self._no_room(stop)
        done = _joined(done, trail.between(at, last))
        if not done:
            raise self._too_tight()
        whole = Curve(tuple(done))
        for place in ((0, 0.0), last):
            if self.curve.nearest(trail.point(place)).distance_mm < abs(self.d) - ALLOWED_MM:
                raise self._no_room(place)
        for end in (self.curve.start, self.curve.end):
            if whole.nearest(end).distance_mm < abs(self.d) - ALLOWED_MM:
                raise self._no_room_at_end(end, whole.nearest(end))
        if cuts and whole.crosses_itself():
            raise self._no_room(at)
        return whole

    def _leads_on(self, cut: Cut) -> bool:
        """Whether the trail goes on at a crossing's second place, and not at its first."""
        if self.trail.is_loop_within(cut, _CRUMB_MM):
            return True
        return not self._is_free_after(cut.at) and self._is_free_after(cut.goes_on)

    def _is_free_after(self, place: Place) -> bool:
        """Whether no part of the curve is nearer than d to the trail just after a place."""
        stop = self.trail.run_end(place)
        after = bisect_right(self.events, place)
        if after < len(self.events):
            stop = min(stop, self.events[after])
        parts = self.trail.between(place, stop)
        if not parts:
            return False
        x, y = max(parts, key=lambda part: part.length_mm).point(0.5)
        limit = abs(self.d) - _NEARER_MM
        return self.curve.nearest_within((x, y), 0, len(self.curve.segments), limit) is None

    def _nearest_after(self, at: Place) -> Place:
        """The place between here and the next crossing that lies nearest to the curve."""
        n, low = at
        high = next((t for m, t in self.events if (m, t) > at and m == n), 1.0)
        places = [(n, low + (high - low) * i / _LOOKED_AT) for i in range(_LOOKED_AT + 1)]
        return min(places, key=lambda place: self.curve.nearest(self.trail.point(place)).distance_mm)

    def _refuse_tongue(self, cut: Cut) -> None:
        """Refuse to cut off more of the edge than a corner."""
        first, after = self.trail.numbers[cut.at[0]], self.trail.numbers[cut.goes_on[0]] + 1
        # Nothing between two feet is further from where they meet than d and half the way between them.
        if self.curve.starts[after] - self.curve.starts[first] <= 2 * (MOST_REACH - 1) * abs(self.d):
            return
        tip = self.trail.point(cut.at)
        one, other = (self._foot(place) for place in (cut.at, cut.goes_on))
        if other <= one:
            return
        looked = (one + (other - one) * i / _LOOKED_AT for i in range(1, _LOOKED_AT))
        furthest = max(looked, key=lambda s: math.dist(tip, self.curve.point_at(s)))
        reach = math.dist(tip, self.curve.point_at(furthest))
        if reach <= MOST_REACH * abs(self.d):
            return
        wide = math.dist(self.curve.point_at(one), self.curve.point_at(other))
        raise EdgeError(
            f"it cannot lie {_mm(self.d)} from the edge: from {_place(self.curve, one)} to {_place(self.curve, other)} "
            f"the edge runs round a tongue that is {wide:.1f} mm wide where it begins and reaches {reach:.0f} mm "
            "beyond the last place with room for it",
            where=self.name,
            mend=f"Take a distance under {math.floor(5 * wide) / 10:.1f} mm, half the tongue's width, or let the "
            "edge end before it.",
        )

    def _foot(self, place: Place) -> float:
        """Where on the edge a place of the trail belongs, in mm along."""
        x, y = self.trail.point(place)
        tx, ty = self.trail.pieces[place[0]].tangent(place[1])
        return self.curve.nearest((x + ty * self.d, y - tx * self.d)).along_mm

    def _too_tight(self) -> EdgeError:
        tight = self.curve.tightest("right" if self.d > 0 else "left")
        # Rounded down, so that the advice is not the radius itself.
        room_mm = math.floor(tight.radius_mm * 10) / 10
        return EdgeError(
            f"it cannot lie {_mm(self.d)} from the edge: {_place(self.curve, tight.along_mm)} the edge turns "
            f"with a radius of {tight.radius_mm:.1f} mm towards that side",
            where=self.name,
            mend=f"Stay under {room_mm:.1f} mm from the edge, or ease the curve there.",
        )

    def _no_room(self, place: Place) -> EdgeError:
        """The refusal where another part of the edge is too near, naming what brings it there."""
        at, own = self.trail.point(place), self._foot(place)
        near = self.curve.nearest(at)
        low, high = sorted((own, near.along_mm))
        corners = [one for one in self.curve.corners(_CORNER_DEG) if one[1] * self.d > 0 and low <= one[0] <= high]
        tight = self.curve.tightest("right" if self.d > 0 else "left")
        for along, turn in corners:
            borders = (0.0, *(s for s, _ in self.curve.corners(_CORNER_DEG) if s != along), self.curve.length_mm)
            beside = min(abs(along - border) for border in borders)
            if beside <= abs(self.d * math.tan(math.radians(turn) / 2)) and abs(turn) <= MOST_MITRE_DEG:
                return EdgeError(
                    f"it cannot lie {_mm(self.d)} from the edge: {_place(self.curve, along)} the edge has a corner of "
                    f"{abs(turn):.0f}° (radius 0 mm), and the {beside:.1f} mm of edge beside it is too short to "
                    "keep that distance",
                    where=self.name,
                    mend="Take a smaller distance from the edge, or open the corner out.",
                )
        if tight.radius_mm <= abs(self.d) and low <= tight.along_mm <= high <= low + MOST_REACH * abs(self.d):
            return self._too_tight()
        return EdgeError(
            f"it cannot lie {_mm(self.d)} from the edge: at x {at[0]:.1f}, y {at[1]:.1f} mm it runs "
            f"into another part of the edge, {_place(self.curve, near.along_mm)}, "
            f"which is only {near.distance_mm:.1f} mm away",
            where=self.name,
            mend="Take a smaller distance from the edge, or open the edge out there.",
        )

    def _no_room_at_end(self, end: Point, near: Nearest) -> EdgeError:
        x, y = near.point
        return EdgeError(
            f"it cannot lie {_mm(self.d)} from the edge: at x {x:.1f}, y {y:.1f} mm it comes within "
            f"{near.distance_mm:.1f} mm of the edge's own end at x {end[0]:.1f}, y {end[1]:.1f} mm",
            where=self.name,
            mend="Take a smaller distance from the edge, or let the edge end earlier.",
        )


def _joined(done: list[Segment], more: list[Segment]) -> list[Segment]:
    """Pieces one after the other; a straight one begins at the very point where the one before ends."""
    if done and more and isinstance(more[0], Line):
        more = [Line(done[-1].end, more[0].end), *more[1:]]
    elif done and more and isinstance(done[-1], Line):
        done = [*done[:-1], Line(done[-1].start, more[0].start)]
    return done + more


def _place(curve: Curve, along_mm: float) -> str:
    x, y = curve.point_at(min(along_mm, curve.length_mm))
    return f"at {along_mm:.1f} mm along the edge (x {x:.1f}, y {y:.1f} mm)"


# From here on four figures would be written with an exponent.
_MANY = 9999.5


def _mm(d: float) -> str:
    return f"{abs(d):.4g} mm" if abs(d) < _MANY else f"{abs(d):.0f} mm"
