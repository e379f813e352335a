"""Pieces that touch, joined into the lines that they are."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise

from closures.curve import Arc, Curve, Line, Point, Segment
from closures.edges.drawing import CLOSED_MM, Drawn
from closures.edges.sampled import ending_at
from closures.errors import DrawingError

# Ends no further apart than this are meant as one: the width of a fine pen.
TOUCH_MM = 0.2

# A piece that goes straight back over the one before it does not go on from it (within 2 degrees).
_STRAIGHT_BACK = -0.9995

# Where a piece is looked at to see whether it lies wholly over another.
_LOOKED_AT = 9

# Two pieces whose ends and middles all lie this close are one line drawn twice.
_TWICE_MM = 0.01

# Just inside its ends, where no other piece touches it, is looked where a named piece lies along the line.
_INSIDE = 0.01

# Ends closer than this need no mending: the curve takes them as they are.
_JOINED_MM = 1e-7

# Where more ends than this lie together, which of them goes on cannot be told.
_MOST_MEETING = 64

# So few pieces at most are looked through for ones that lie over each other.
_MOST_OVERLAPPING = 60

Chain = tuple[Segment, ...]


def join_pieces(pieces: Sequence[Drawn]) -> list[Chain]:
    """Join pieces whose ends touch into chains; see `join_named`."""
    return [chain.segments for chain in join_named(pieces)]


def one_line(pieces: Sequence[Drawn], where: str) -> Drawn:
    """Join pieces into the one line that they are.

    Args:
        pieces: all that bear a name.
        where: the name, for messages.

    Raises:
        DrawingError: they are several lines that do not touch.
    """
    chains = join_named(pieces)
    if len(chains) != 1:
        listed = ", ".join(f'"{chain.name}"' for chain in chains[:5])
        raise DrawingError(f"these are {len(chains)} lines that do not touch", where=where, mend=f"Name one: {listed}.")
    return chains[0]


def join_named(pieces: Sequence[Drawn]) -> list[Drawn]:
    """Join pieces whose ends touch into chains.

    Where several begin at the same place, the one that goes on most straightly is taken.

    Args:
        pieces: in mm, in any order and either way round.

    Returns:
        Chains of segments, end to end, each running as its first piece was drawn, and named like that piece,
        with ``chain`` before the last word where it is made of several.
    """
    left = _once_each(pieces)
    waiting = _Ends(left)
    chains: list[Drawn] = []
    for n, piece in enumerate(left):
        if not waiting.take(n):
            continue
        before = len(waiting.used)
        chain = _grown(piece.segments, waiting)
        if math.dist(chain[0].start, chain[-1].end) >= CLOSED_MM:
            chain = _turned(_grown(_turned(chain), waiting))
        name = piece.name if len(waiting.used) == before else chain_name(piece.name)
        chains.append(Drawn(name, chain, piece.layer))
    return chains


def chain_name(name: str) -> str:
    """What the chain is called that a piece belongs to: ``page 3, 17`` is in ``page 3, chain 17``."""
    first, _, last = name.removeprefix("handle ").rpartition(" ")
    return f"{first} chain {last}".lstrip()


def chain_with(pieces: Sequence[Drawn], piece: Drawn) -> list[Drawn]:
    """The chain that a piece is part of.

    Args:
        pieces: all that could belong to it, the piece among them.
        piece: one of them.
    """
    chains = join_named([piece, *(one for one in pieces if one is not piece)])
    return [Drawn(chain_name(piece.name), chains[0].segments, piece.layer)]


def join_overlapping(chains: Sequence[Chain]) -> list[Chain]:
    """Join chains that run over each other at their ends, as on pages that are printed with an overlap."""
    done = list(chains)
    joined = len(done) <= _MOST_OVERLAPPING
    if joined:
        done = _without_covered(done)
    while joined and len(done) > 1:
        joined = False
        for i, one in enumerate(done):
            for j, other in enumerate(done):
                both = _laid_over(one, other) if i != j else None
                if both is not None:
                    done = [both, *(chain for k, chain in enumerate(done) if k not in (i, j))]
                    joined = True
                    break
            if joined:
                break
    return done


def _without_covered(chains: list[Chain]) -> list[Chain]:
    """Leave out chains that lie wholly over a longer one."""
    curves = sorted((Curve(chain) for chain in chains), key=lambda curve: -curve.length_mm)
    kept: list[Curve] = []
    for curve in curves:
        places = [curve.point_at(curve.length_mm * i / _LOOKED_AT) for i in range(_LOOKED_AT + 1)]
        if not any(all(one.nearest(place).distance_mm <= TOUCH_MM for place in places) for one in kept):
            kept.append(curve)
    # In the order in which they came, so that the first still tells which way the edge runs.
    return [chain for chain in chains if any(chain is curve.segments for curve in kept)]


def _laid_over(one: Chain, other: Chain) -> Chain | None:
    """The two as one where the second's beginning lies over the first's end, in any of their ways."""
    for a in (one, _turned(one)):
        for b in (other, _turned(other)):
            first, second = Curve(a), Curve(b)
            on_second, on_first = second.nearest(first.end), first.nearest(second.start)
            if max(on_second.distance_mm, on_first.distance_mm) > TOUCH_MM:
                continue
            # At both ends of both it would be the same line twice, or a ring.
            if 0 < on_second.along_mm < second.length_mm - TOUCH_MM and on_first.along_mm > TOUCH_MM:
                rest = second.stretch(on_second.along_mm, second.length_mm).segments
                return _linked(a, rest)
    return None


def as_listed(chain: Chain, listed: Sequence[Sequence[Drawn]], names: Sequence[str], where: str) -> Chain:
    """Turn a chain to run as its pieces are listed: the first ends where the second begins.

    A piece that lies wholly over another tells nothing.

    Args:
        chain: of all the pieces.
        listed: the lines of each name of the list.
        names: as the plan lists them.
        where: the place for messages.

    Raises:
        DrawingError: the pieces lie in another order than they are listed in, or are a ring.
    """
    curve = Curve(chain)
    if math.dist(curve.start, curve.end) <= TOUCH_MM:
        raise DrawingError(
            "these pieces together are closed, and an edge needs two ends",
            where=where,
            mend="Say from where to where the edge runs: write from and to under [edge].",
        )
    found = [(*_reach(lines, curve), name) for lines, name in zip(listed, names, strict=True)]
    told = [
        one
        for one in found
        if not any(_lies_in(one, other) and not _lies_in(other, one) for other in found if other is not one)
    ]
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(told)]
    if all(min(step) >= -TOUCH_MM for step in steps):
        return chain
    if all(max(step) <= TOUCH_MM for step in steps):
        return _turned(chain)
    order = ", ".join(f'"{name}"' for _, _, name in sorted(found, key=lambda one: one[:2]))
    raise DrawingError(
        "the pieces are listed in another order than they lie along the line",
        where=where,
        mend=f"List them from the edge's first end to its last: path = [{order}], or the other way about.",
    )


def _reach(lines: Sequence[Drawn], curve: Curve) -> tuple[float, float]:
    """From where to where along a line its pieces of one name lie."""
    parts = [Curve(line.segments) for line in lines]
    places = [part.point_at(share * part.length_mm) for part in parts for share in (_INSIDE, 1.0 - _INSIDE)]
    found = [curve.nearest(place).along_mm for place in places]
    return min(found), max(found)


def _lies_in(one: tuple[float, float, str], other: tuple[float, float, str]) -> bool:
    return other[0] - TOUCH_MM <= one[0] and one[1] <= other[1] + TOUCH_MM


class _Ends:
    """The ends of pieces that are not used yet, found by where they lie."""

    def __init__(self, pieces: Sequence[Drawn]) -> None:
        self.pieces = pieces
        self.used: set[int] = set()
        self.cells: dict[tuple[int, int], list[int]] = defaultdict(list)
        for n, piece in enumerate(pieces):
            for end in {_cell(piece.start), _cell(piece.end)}:
                self.cells[end].append(n)

    def take(self, n: int) -> bool:
        if n in self.used:
            return False
        self.used.add(n)
        return True

    def _begins_at(self, n: int, place: Point) -> bool:
        """Whether a piece has an end at a place, to a hundredth of a mm, and goes on from there."""
        piece = self.pieces[n]
        at_start, at_end = (math.dist(end, place) <= _TWICE_MM for end in (piece.start, piece.end))
        return at_start != at_end

    def next_to(self, chain: Chain) -> Chain | None:
        """Take the piece that goes on from the end of a chain, turned to run away from it."""
        end, towards = chain[-1].end, chain[-1].tangent(1.0)
        best: tuple[float, int, Chain] | None = None
        cells = [self.cells.get(cell, ()) for cell in _cells_about(end, TOUCH_MM)]
        if sum(map(len, cells)) > _MOST_MEETING:
            return None
        near = {n for cell in cells for n in cell} - self.used
        if not near:
            return None
        # Strokes shorter than a pen is wide have other ends near: what begins at this very place goes on.
        touch = _TWICE_MM if any(self._begins_at(n, end) for n in near) else TOUCH_MM
        for n in sorted(near):
            piece = self.pieces[n]
            if piece.is_closed:
                continue
            for begins, is_turned in ((piece.start, False), (piece.end, True)):
                if math.dist(begins, end) <= touch:
                    segments = _turned(piece.segments) if is_turned else piece.segments
                    tx, ty = segments[0].tangent(0.0)
                    straight = towards[0] * tx + towards[1] * ty
                    if straight > _STRAIGHT_BACK and (best is None or straight > best[0] + 1e-9):
                        best = (straight, n, segments)
        if best is None:
            return None
        self.used.add(best[1])
        return best[2]


def _grown(segments: Chain, waiting: _Ends) -> Chain:
    parts = [segments]
    start = segments[0].start
    while True:
        if math.dist(parts[-1][-1].end, start) < CLOSED_MM and sum(map(len, parts)) > 1:
            break
        found = waiting.next_to(parts[-1])
        if found is None:
            break
        parts.append(found)
    # Linked pairwise from the front, each piece is copied once.
    chain: list[Segment] = list(parts[0])
    for part in parts[1:]:
        last, first = _meeting(chain[-1], part[0])
        chain[-1:] = [last]
        chain += [first, *part[1:]]
    return _ring(tuple(chain))


def _ring(chain: Chain) -> Chain:
    """A chain whose ends touch, with its ends at one place."""
    gap = math.dist(chain[0].start, chain[-1].end)
    if len(chain) < 3 or not _JOINED_MM < gap <= TOUCH_MM:
        return chain
    last, first = _meeting(chain[-1], chain[0])
    return (first, *chain[1:-1], last)


def _linked(one: Chain, other: Chain) -> Chain:
    last, first = _meeting(one[-1], other[0])
    return (*one[:-1], last, first, *other[1:])


def _meeting(before: Segment, after: Segment) -> tuple[Segment, Segment]:
    """Two segments moved by their ends to the middle of the gap between them."""
    a, b = before.end, after.start
    if math.dist(a, b) <= _JOINED_MM:
        return before, after
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return _moved_to(before, middle), _moved_to(after.reversed(), middle).reversed()


def _moved_to(segment: Segment, end: Point) -> Segment:
    """A segment that ends at the middle of a gap; one too short to be moved stays."""
    if isinstance(segment, Line) and math.dist(segment.start, end) <= _JOINED_MM:
        return segment
    if isinstance(segment, Arc) and math.dist(segment.start, segment.end) <= TOUCH_MM:
        return segment
    return ending_at(segment, end)


def _turned(chain: Iterable[Segment]) -> Chain:
    return tuple(segment.reversed() for segment in reversed(tuple(chain)))


def _once_each(pieces: Sequence[Drawn]) -> list[Drawn]:
    """Leave out pieces that are drawn a second time."""
    kept: list[Drawn] = []
    seen: dict[tuple[int, int], list[tuple[Point, Point, Point, float]]] = defaultdict(list)
    for piece in pieces:
        ends = sorted((piece.start, piece.end))
        middle = piece.segments[len(piece.segments) // 2].point(0.5)
        sign = (ends[0], ends[1], middle, piece.length_mm)
        near = [one for cell in _cells_about(middle, _TWICE_MM) for one in seen.get(cell, ())]
        if any(
            abs(one[3] - sign[3]) < _TWICE_MM and all(math.dist(one[k], sign[k]) < _TWICE_MM for k in (0, 1, 2))  # type: ignore[arg-type]
            for one in near
        ):
            continue
        seen[_cell(middle)].append(sign)
        kept.append(piece)
    return kept


def _cell(point: Point) -> tuple[int, int]:
    return (math.floor(point[0] / TOUCH_MM), math.floor(point[1] / TOUCH_MM))


def _cells_about(point: Point, reach: float) -> list[tuple[int, int]]:
    """The cells in which what is no further from a point than this may lie."""
    x, y = point
    across = {math.floor((x - reach) / TOUCH_MM), math.floor(x / TOUCH_MM), math.floor((x + reach) / TOUCH_MM)}
    down = {math.floor((y - reach) / TOUCH_MM), math.floor(y / TOUCH_MM), math.floor((y + reach) / TOUCH_MM)}
    return [(i, j) for i in across for j in down]
