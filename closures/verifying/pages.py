"""The pages of a finished PDF held against the finished sheets: marks, squares, joins and edges, part by part.

Parts are found by their borders, what they are by what is lettered on them, where they belong by the rings on which
they are taped. Laid ring on ring, the marks of every strip must come to lie as they do on the sheet of its lap.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from closures.frozen import frozen
from closures.verifying.labels import Label, is_number_of, label_of
from closures.verifying.measured import Measured, Point, measured
from closures.verifying.page_read import PageRead, read_pages
from closures.verifying.sheet_read import SheetRead
from closures.verifying.slits import SLIT_MM, faults_of_slits, is_like_slit
from closures.verifying.strip_names import name_among
from closures.verifying.turns import STILL, Turn, fitted, foot, laid_on, turned_about

ON_PART_MM = 0.005
"""How far two marks of one part may be out: figures on a page are written to four places, and it is turned."""
ON_CHAIN_MM = 0.05
"""The same after taping. Rings are written to six places: a chain of 74 parts, 8.5 m long, leaves 0.001 mm."""
EDGE_ON_PART_MM = 0.02
"""How far an edge may be out about the marks of its part: both are cut into chords to be compared."""
SQUARE_MM = 0.002
_SQUARES = {"50 mm": 50.0, "2 in": 50.8}
_RING_MM, _MIDDLE_MM, _LETTER_NEAR_MM = 1.8, {False: 0.3, True: 0.7}, 9.0
_HEAVY_MM, _NESTED_MM = 0.65, 0.3
"""How wide the edge is drawn that a strip is laid by, and the edge of a size among others, at least."""
_ALIKE_MM = 0.01
"""An edge that lies this near to another along all of it is the same: no other turn is tried."""
_FURTHER = re.compile(r"finished edge lies .*further")
"""What a part says whose bold line is not the edge, but where it is cut."""
_MARK = re.compile(r"(?:size .+, )?mark \d+[,:]|size .+, mark \d+")
_STAYS = re.compile(r"mark \d+, stays\b")
"""What is told of a closure that is there already: its middle is an open ring, and no dot."""
_LETTER = re.compile(r"[A-Z]{1,3}")
_SAMPLES = 8
_NEAR_MM, _SETTLED_BY, _ROUNDS = 60.0, 24, 60


@frozen
class Wanted:
    """A lap that the pages must show.

    Attributes:
        opening: the name of the opening where several share the pages, else empty.
        lap: ``over`` or ``under``.
        size: the name of the size where several share the pages, else empty.
        sheet: the finished sheet of that lap alone.
    """

    opening: str
    lap: str
    size: str
    sheet: SheetRead


@dataclass(slots=True)
class _Part:
    """A piece of a page: what is lettered on it, its rings by letter, its marks, heavy lines, and edges of sizes."""

    page: int
    words: list[str] = field(default_factory=list)
    rings: dict[str, list[complex]] = field(default_factory=dict)
    marks: list[tuple[str, complex]] = field(default_factory=list)
    edges: list[list[complex]] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    slits: list[tuple[complex, complex]] = field(default_factory=list)
    edges_of: dict[str, list[list[complex]]] = field(default_factory=dict)


def faults_of_pages(pdf: bytes, wanted: Sequence[Wanted], stretch: Point = (1.0, 1.0)) -> Iterator[str]:
    """Say what is wrong with the pages of one file.

    Args:
        pdf: the file.
        wanted: every lap that it must show, each with the sheet of its own.
        stretch: what the pages are multiplied by to make up for a printer, across and down the paper held upright.

    Returns:
        One sentence for each fault.

    Raises:
        ValueError: the file cannot be read.
    """
    parts: list[_Part] = []
    pages = read_pages(pdf)
    for number, page in enumerate(pages, 1):
        found, faults = _parts_of(page, number, stretch)
        parts += found
        yield from faults
        # A page that is lost or out of its place leaves the others as they were, but for how they are numbered.
        if not any(re.search(rf"\bsheet {number} of {len(pages)}\b", words.text) for words in page.words):
            yield f"page {number} of {len(pages)} does not say that it is sheet {number} of {len(pages)}"
    strips: dict[tuple[str, str], list[_Part]] = {}
    openings = {one.opening.upper() for one in wanted if one.opening}
    for part, own_name in zip(parts, _names_of(parts, openings), strict=True):
        if own_name is not None and (part.marks or part.rings):
            strips.setdefault(own_name, []).append(part)
    for opening, lap in dict.fromkeys((one.opening, one.lap) for one in wanted):
        own = strips.pop((opening.upper(), lap), [])
        name = f"{opening}, {lap} lap" if opening else f"{lap} lap"
        if any(_FURTHER.search(text) for part in own for text in part.words):
            for part in own:
                part.edges.clear()
        chains, faults = _chains(own)
        yield from (f"{name}: {fault}" for fault in faults)
        for one in wanted:
            if (one.opening, one.lap) == (opening, lap):
                told = f"{name}, size {one.size}" if one.size else name
                yield from (f"{told}: {fault}" for fault in _faults_of_lap(one, chains))
    for (opening, lap), own in strips.items():
        if any(part.marks for part in own):
            yield f"page {own[0].page} has marks of a lap that is not among the sheets: {opening} {lap}"


def _names_of(parts: Sequence[_Part], openings: Collection[str]) -> list[tuple[str, str] | None]:
    """What every part belongs to: what it says itself, or what the part says that it is taped to."""
    names = [name_among(part.words, openings) for part in parts]
    by_letter = {letter: name for part, name in zip(parts, names, strict=True) if name for letter in part.rings}
    for _ in parts:
        found = [
            name or next((by_letter[letter] for letter in part.rings if letter in by_letter), None)
            for part, name in zip(parts, names, strict=True)
        ]
        if found == names:
            break
        names = found
        by_letter |= {letter: name for part, name in zip(parts, names, strict=True) if name for letter in part.rings}
    return names


def _parts_of(page: PageRead, number: int, stretch: Point) -> tuple[list[_Part], list[str]]:
    """The pieces of a page, in mm as they come out of the printer that it is stretched for."""
    boxes = [s.box for s in page.strokes if s.is_dashed and s.is_closed and len(s.points) == 5 and _is_level(s.points)]
    boxes = [box for box in boxes if not any(_inside(box, other) for other in boxes if other != box)]
    if not boxes:
        return [], []
    parts = [_Part(number) for _ in boxes]
    across, down = stretch[::-1] if page.size_mm[0] > page.size_mm[1] else stretch
    ways = [(across, down), stretch] if stretch[0] != stretch[1] else [(across, down)]
    closed = [s.box for s in page.strokes if s.is_closed and not s.is_dashed]
    sides = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in closed]
    faults = []
    for x, y in ways:
        faults = [
            f"page {number} has no square that measures {name}"
            for name, side in _SQUARES.items()
            if not any(abs(w - side * x) <= SQUARE_MM and abs(h - side * y) <= SQUARE_MM for w, h in sides)
        ]
        if not faults:
            across, down = x, y
            break

    def true(at: Point) -> complex:
        return complex(at[0] / across, at[1] / down)

    letters: list[tuple[int, str, complex]] = []

    def part_at(at: Point) -> int | None:
        return next((k for k, (x0, y0, x1, y1) in enumerate(boxes) if x0 <= at[0] <= x1 and y0 <= at[1] <= y1), None)

    for words in page.words:
        if (k := part_at(words.at)) is not None:
            parts[k].words.append(words.text)
            parts[k].labels.append(label_of(words, true))
            if _LETTER.fullmatch(words.text):
                letters.append((k, words.text, true(words.at)))
    for stroke in page.strokes:
        if stroke.layer and stroke.width_mm >= _NESTED_MM * min(stretch) and not stroke.is_closed:
            if (k := part_at(stroke.shows_at)) is not None:
                parts[k].edges_of.setdefault(stroke.layer, []).append([true(point) for point in stroke.points])
            continue
        if is_like_slit(stroke, min(stretch)) and (k := part_at(stroke.points[0])) is not None:
            parts[k].slits.append((true(stroke.points[0]), true(stroke.points[1])))
        is_bold = stroke.width_mm >= _HEAVY_MM * min(stretch) and not stroke.is_dashed and not stroke.is_closed
        if is_bold and (k := part_at(stroke.points[len(stroke.points) // 2])) is not None:
            parts[k].edges.append([true(point) for point in stroke.points])
    for disc in page.discs:
        if (k := part_at(disc.at)) is None:
            continue
        at = true(disc.at)
        stays = bool(_STAYS.match(disc.told))
        if disc.is_inked != stays and abs(disc.radius_mm - _MIDDLE_MM[stays]) < 0.03 and _MARK.match(disc.told):
            parts[k].marks.append((disc.told, at))
        elif not disc.is_inked and abs(disc.radius_mm - _RING_MM) < 0.1:
            near = [(abs(place - at), letter) for j, letter, place in letters if j == k]
            if near and min(near)[0] < _LETTER_NEAR_MM:
                parts[k].rings.setdefault(min(near)[1], []).append(at)
    if not all(_inside(box, (0.0, 0.0, *page.size_mm)) for box in boxes):
        faults.append(f"page {number} has a part that reaches beyond its paper")
    # Dashes round a picture on a page of words make no part that anything is marked by.
    return parts, faults if any(part.marks for part in parts) else []


def _is_level(points: Sequence[Point]) -> bool:
    return all(min(abs(a[0] - b[0]), abs(a[1] - b[1])) < 1e-6 for a, b in pairwise(points))


def _inside(box: Sequence[float], other: Sequence[float]) -> bool:
    return other[0] <= box[0] and other[1] <= box[1] and box[2] <= other[2] and box[3] <= other[3]


def _chains(parts: Sequence[_Part]) -> tuple[list[list[tuple[_Part, Turn]]], list[str]]:
    """Lay parts on each other by their rings: every run of parts that hold together, each with its turn."""
    faults: list[str] = []
    by_letter: dict[str, list[_Part]] = {}
    for part in parts:
        for letter, rings in list(part.rings.items()):
            if len(rings) == 2:
                by_letter.setdefault(letter, []).append(part)
            else:
                faults.append(f"page {part.page} has {len(rings)} rings {letter} on one part, and needs two")
                del part.rings[letter]
    for letter, pair in by_letter.items():
        if len(pair) != 2:
            faults.append(f"rings {letter} stand on {len(pair)} parts, and belong on two")
            continue
        spans = [abs(part.rings[letter][1] - part.rings[letter][0]) for part in pair]
        if abs(spans[1] - spans[0]) > ON_PART_MM:
            faults.append(
                f"rings {letter} stand {spans[0]:.4f} mm apart on one part and {spans[1]:.4f} mm on the other"
            )
    chains, left = [], list(parts)
    while left:
        chain = [(left.pop(0), STILL)]
        for part, turn in chain:
            for letter in part.rings:
                for other in [one for one in by_letter.get(letter, ()) if any(one is here for here in left)]:
                    left = [one for one in left if one is not other]
                    chain.append((other, laid_on(other.rings[letter], part.rings[letter]).then(turn)))
        chains.append(chain)
    return chains, faults


def _faults_of_lap(one: Wanted, chains: Sequence[Sequence[tuple[_Part, Turn]]]) -> Iterator[str]:
    places = {n: complex(*at) for (lap, n), at in one.sheet.marks.items() if lap == one.lap}
    seen: list[int] = []
    for chain in chains:
        found: list[tuple[int, complex]] = []
        alone: list[tuple[_Part, Turn, list[tuple[int, complex]]]] = []
        for part, turn in chain:
            own = [(n, at) for told, at in part.marks if (n := _number(told, one.size)) is not None]
            seen += [n for n, _ in own]
            yield from (
                f"page {part.page} does not letter the number of mark {n}" for n, _ in own if str(n) not in part.words
            )
            every = [at for _, at in part.marks]
            yield from (
                f"on page {part.page} the number of mark {n} stands beside another mark"
                for n, at in own
                if str(n) in part.words and not is_number_of(n, at, part.labels, every, one.size)
            )
            own = [(n, at) for n, at in own if n in places]
            if _are_apart(own):
                lone = fitted(own, places)
                yield from _worst(
                    (off, f"on page {part.page} mark {n} lies {off:.4f} mm from where it is on the sheet")
                    for n, at in own
                    if not (off := abs(lone(at) - places[n])) <= ON_PART_MM
                )
                yield from _worst(_faults_of_edges(one, part, lone, EDGE_ON_PART_MM))
                yield from _faults_of_slits(one, part, own, lone, SLIT_MM)
            found += [(n, turn(at)) for n, at in own]
            alone += [(part, turn, own)] if own and not _are_apart(own) else []
        if not found:
            continue
        fit = fitted(found, places) if _are_apart(found) else _fitted_by_edge(found[0], places, chain, one)
        yield from _worst(
            (off, f"taped ring on ring, mark {n} lies {off:.4f} mm from where it is on the sheet")
            for n, at in found
            if not (off := abs(fit(at) - places[n])) <= ON_CHAIN_MM
        )
        yield from _worst(
            fault for part, turn in chain for fault in _faults_of_edges(one, part, turn.then(fit), ON_CHAIN_MM)
        )
        for part, turn, own in alone:
            yield from _faults_of_slits(one, part, own, turn.then(fit), SLIT_MM + ON_CHAIN_MM)
    if one.size and one.sheet.edges and not any(part.edges_of.get(one.size) for chain in chains for part, _ in chain):
        yield "the pages do not draw its edge"
    if sorted(seen) != sorted(places):
        yield f"the pages have the marks {sorted(seen)}, and the sheet {sorted(places)}"


def _faults_of_slits(
    one: Wanted, part: _Part, marks: Sequence[tuple[int, complex]], fit: Turn, most_mm: float
) -> Iterator[str]:
    # Sizes that share a page are drawn without buttonholes; each size has pages of its own.
    wanted = {} if one.size else {n: one.sheet.slits.get((one.lap, n), ()) for n, _ in marks}
    yield from (f"on page {part.page} {fault}" for fault in faults_of_slits(wanted, part.slits, fit, most_mm))


def _worst(faults: Iterable[tuple[float, str]]) -> Iterator[str]:
    """Of faults of one kind the one that is furthest out, and how many more there are."""
    if found := list(faults):
        more = f" (and {len(found) - 1} more like it)" if len(found) > 1 else ""
        yield max(found)[1] + more


def _number(told: str, size: str) -> int | None:
    """The number of a mark of one size, by what is said about it."""
    start = f"size {size}, mark " if size else "mark "
    found = re.match(r"\d+(?=[,:])", told[len(start) :]) if told.startswith(start) else None
    return None if found is None else int(found[0])


def _are_apart(found: Sequence[tuple[int, complex]]) -> bool:
    """Whether marks turn a strip by themselves: two that were told to lie in one place, which checks fail, do not."""
    return any(abs(at - found[0][1]) > ON_PART_MM for _, at in found[1:])


def _fitted_by_edge(
    found: tuple[int, complex],
    places: Mapping[int, complex],
    chain: Sequence[tuple[_Part, Turn]],
    one: Wanted,
) -> Turn:
    """The turn that lays a mark alone on that of the sheet, and its edge as well as can be on the edge there."""
    here, there = found[1], places[found[0]]
    drawn = [[turn(point) - here for point in edge] for part, turn in chain for edge in _edges(one, part)]
    wanted = [[complex(*point) - there for point in edge.points] for edge in one.sheet.edges]
    if not drawn or not wanted:
        return turned_about(here, there, 1 + 0j)
    pairs = [
        (edge[k], other[k]) for edge in (drawn[0], drawn[-1]) for other in (wanted[0], wanted[-1]) for k in (0, -1)
    ]
    pairs.append((foot(drawn), foot(wanted)))
    near = [point for edge in drawn for point in edge if abs(point) <= _NEAR_MM]
    near = near[:: max(1, len(near) // _SETTLED_BY)]
    lines = one.sheet.edges
    best, least = turned_about(here, there, 1 + 0j), math.inf
    starts = [other / point for point, other in pairs if point]
    for by in sorted(starts, key=lambda by: _furthest_of(one, chain, turned_about(here, there, by))):
        way = turned_about(here, there, _settled(by, near, there, lines))
        off = _furthest_of(one, chain, way)
        if off < least:
            best, least = way, off
        if least <= _ALIKE_MM:
            break
    return best


def _furthest_of(one: Wanted, chain: Sequence[tuple[_Part, Turn]], way: Turn) -> float:
    return max(_furthest(one, part, turn.then(way)) for part, turn in chain)


def _settled(by: complex, drawn: Sequence[complex], there: complex, lines: Sequence[Measured]) -> complex:
    """Turn an edge about its mark, which lies there, until it is as near to the lines as can be, point by point."""
    for _ in range(_ROUNDS):
        by /= abs(by)
        found = 0j
        for point in drawn:
            at = there + by * point
            line, (along, _) = min(
                ((line, line.place_of((at.real, at.imag))) for line in lines), key=lambda one: one[1][1]
            )
            found += (complex(*line.at(along)) - there) * point.conjugate()
        if not found or abs(found / abs(found) - by) < 1e-9:
            break
        by = found
    return by


def _faults_of_edges(one: Wanted, part: _Part, fit: Turn, most_mm: float) -> Iterator[tuple[float, str]]:
    """The edge that a strip is laid by must lie about its marks as it does on the sheet: how far out, and in words."""
    off = _furthest(one, part, fit) if _edges(one, part) else 0.0
    if not off <= most_mm:
        yield off, f"on page {part.page} the edge lies {off:.4f} mm from where it is on the sheet"


def _edges(one: Wanted, part: _Part) -> list[list[complex]]:
    return part.edges_of.get(one.size, []) if one.size else part.edges


def _furthest(one: Wanted, part: _Part, fit: Turn) -> float:
    """How far the drawn edges of a part lie from those of the sheet at most.

    A sheet may break off what the pages draw whole, or the other way round: the shorter is held against the longer.
    """
    drawn = [
        measured([((at := fit(point)).real, at.imag) for point in edge]) for edge in _edges(one, part) if len(edge) > 1
    ]
    shorter, longer = sorted((drawn, one.sheet.edges), key=lambda edges: sum(edge.length_mm for edge in edges))
    worst = 0.0
    for edge in shorter:
        step = max(1, (len(edge.points) - 1) // _SAMPLES)
        for point in [*edge.points[:-1:step], edge.points[-1]]:
            worst = max(worst, min((line.place_of(point)[1] for line in longer), default=math.inf))
    return worst
