"""The exact parallel of a curve, its corners mitred, or a refusal that names the place.

Parallel pieces of the segments are made first and then joined. At a corner they either leave a
gap, on its outer side, which is closed by drawing out their end tangents until they meet; or they
overlap, on its inner side, and both are cut where they truly cross.
"""

from __future__ import annotations

import math

from closures.curve.clearance import Piece, find_collision
from closures.curve.curve import Curve, Segment, turn_between
from closures.curve.line import Line, Point
from closures.curve.roots import root_of
from closures.errors import EdgeError

# A share of 1 - d k that is left where the parallel has all but shrunk to a cusp.
_FOLD = 1e-9

# Ends of pieces this near to each other join as they are; `Curve` allows ten times as much.
_JOINED_MM = 1e-7

# A mitre at this turn reaches 2.2 times the distance; a sharper corner has no parallel worth having.
MOST_TURN_DEG = 125.0

# A parallel piece shorter than this may vanish between its neighbours without a word.
_CRUMB_MM = 0.01

# Steps in which a crossing is looked for backwards from a corner.
_STEPS_BACK = 24


def offset_curve(curve: Curve, d: float, name: str) -> Curve:
    """Make the parallel of a curve; see `Curve.offset`."""
    if not math.isfinite(d):
        raise EdgeError(f"{d} mm is not a distance", where=name)
    if d == 0:
        return curve
    _refuse_folds(curve, d, name)
    pieces: list[Piece] = []
    for number, segment in enumerate(curve.segments):
        base, beside = segment.parallel(d)
        if pieces:
            _join(curve, pieces, Piece(base, beside, number), d, name)
        else:
            pieces.append(Piece(base, beside, number))
    parallel = Curve(tuple(piece.beside for piece in pieces))
    hit = find_collision(curve, pieces, d)
    if hit is not None:
        point, other = hit
        raise EdgeError(
            f"it cannot lie {_mm(d)} from the edge: at x {point[0]:.1f}, y {point[1]:.1f} mm it runs "
            f"into another part of the edge, {_place(curve, other.along_mm)}, "
            f"which is only {other.distance_mm:.1f} mm away",
            where=name,
            mend="Take a smaller distance from the edge, or open the edge out there.",
        )
    return parallel


def _refuse_folds(curve: Curve, d: float, name: str) -> None:
    tight = curve.tightest("right" if d > 0 else "left")
    if abs(d) < tight.radius_mm * (1 - _FOLD):
        return
    # Rounded down, so that the advice is not the radius itself.
    room_mm = math.floor(tight.radius_mm * 10) / 10
    raise EdgeError(
        f"it cannot lie {_mm(d)} from the edge: {_place(curve, tight.along_mm)} the edge turns "
        f"with a radius of {tight.radius_mm:.1f} mm towards that side",
        where=name,
        mend=f"Stay under {room_mm:.1f} mm from the edge, or ease the curve there.",
    )


def _join(curve: Curve, pieces: list[Piece], after: Piece, d: float, name: str) -> None:
    """Add a piece to those before it, cutting or drawing out both where there is a corner."""
    before = pieces[-1]
    if math.dist(before.beside.end, after.beside.start) <= _JOINED_MM:
        pieces.append(after)
        return
    turn = turn_between(before.base.tangent(1.0), after.base.tangent(0.0))
    if abs(math.degrees(turn)) > MOST_TURN_DEG:
        raise EdgeError(
            f"it cannot follow the edge: {_place(curve, curve.starts[after.number])} the edge has a "
            f"corner that turns by {abs(math.degrees(turn)):.0f}° (radius 0 mm)",
            where=name,
            mend=f"Open the corner to a turn of at most {MOST_TURN_DEG:.0f}°, or round it.",
        )
    if turn * d < 0:
        pieces += _mitre(before, after)
        return
    while True:
        cut = _crossing(pieces[-1], after, d)
        if cut is not None:
            t, u = cut
            last = pieces[-1]
            last.beside = last.beside.part(0.0, t)
            last.high = last.low + (last.high - last.low) * t
            after.beside = _from_exactly(after.beside.part(u, 1.0), last.beside.end)
            after.low = u
            pieces.append(after)
            return
        if len(pieces) > 1 and pieces[-1].beside.length_mm <= _CRUMB_MM:
            pieces.pop()
            continue
        lost = min((pieces[-1], after), key=lambda piece: piece.base.length_mm)
        raise EdgeError(
            f"it cannot lie {_mm(d)} from the edge: {_place(curve, curve.starts[after.number])} the edge "
            f"has a corner of {abs(math.degrees(turn)):.0f}° (radius 0 mm), and the "
            f"{lost.base.length_mm:.1f} mm of edge beside it is too short to keep that distance",
            where=name,
            mend="Take a smaller distance from the edge, or ease the corner into a curve.",
        )


def _mitre(before: Piece, after: Piece) -> list[Piece]:
    """Draw out both pieces along their tangents until they meet; straight ones just grow."""
    end, start = before.beside.end, after.beside.start
    (ax, ay), (bx, by) = before.base.tangent(1.0), after.base.tangent(0.0)
    wide = ax * by - ay * bx
    reach = ((start[0] - end[0]) * by - (start[1] - end[1]) * bx) / wide
    tip = (end[0] + ax * reach, end[1] + ay * reach)
    added: list[Piece] = []
    if isinstance(before.beside, Line):
        before.beside = Line(before.beside.start, tip)
    elif math.dist(end, tip) > _JOINED_MM:
        line = Line(end, tip)
        added.append(Piece(line, line, before.number))
    if isinstance(after.beside, Line):
        after.beside = Line(tip, after.beside.end)
    elif math.dist(tip, start) > _JOINED_MM:
        line = Line(tip, start)
        added.append(Piece(line, line, after.number))
    return [*added, after]


def _crossing(before: Piece, after: Piece, d: float) -> tuple[float, float] | None:
    """Parameters at which two pieces cross at the inner side of a corner, or None.

    A point of the first piece is past the crossing as long as it lies nearer than d to the
    second piece's segment; the foot of the crossing there is the second parameter.
    """
    if isinstance(before.beside, Line) and isinstance(after.beside, Line):
        return _crossing_of_lines(before.beside, after.beside)
    feet: dict[float, float] = {}

    def clearance(t: float) -> float:
        found = after.base.nearest(*before.beside.point(t), math.inf)
        if found is None:
            return math.nan
        feet[t] = found[1]
        return found[0] - abs(d)

    inside = 1.0
    for step in range(1, _STEPS_BACK + 1):
        outside = 1.0 - step / _STEPS_BACK
        if clearance(outside) > 0:
            t = root_of(clearance, outside, inside)
            clearance(t)
            return (t, feet[t]) if t > 0 and 0 < feet[t] < 1 else None
        inside = outside
    return None


def _crossing_of_lines(one: Line, other: Line) -> tuple[float, float] | None:
    (ax, ay), (bx, by) = one.derivative(0.0), other.derivative(0.0)
    wx, wy = other.start[0] - one.start[0], other.start[1] - one.start[1]
    wide = ax * by - ay * bx
    if wide == 0:
        return None
    t, u = (wx * by - wy * bx) / wide, (wx * ay - wy * ax) / wide
    return (t, u) if 0 < t <= 1 and 0 <= u < 1 else None


def _from_exactly(segment: Segment, start: Point) -> Segment:
    """Begin a straight segment at the very point where the one before ends."""
    return Line(start, segment.end) if isinstance(segment, Line) else segment


def _place(curve: Curve, along_mm: float) -> str:
    x, y = curve.point_at(min(along_mm, curve.length_mm))
    return f"at {along_mm:.1f} mm along the edge (x {x:.1f}, y {y:.1f} mm)"


def _mm(d: float) -> str:
    return f"{abs(d):.4g} mm"
