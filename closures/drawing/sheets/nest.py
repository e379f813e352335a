"""The nest: every size of a lap on one drawing, each in a layer of its own.

Told apart in black and white: the base is a whole line, every other size has dashes of its own, and
every mark and every end of an edge bears the name of its size in a frame.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED, Rigid
from closures.drawing.ink.shapes import FINE, INK, Circle, Group, Item, Layers, Path, Pen, Point, mapped, strokes
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.sheets.nest_words import LEADER_FROM_MM, Grain, NestMark, label_marks
from closures.drawing.sheets.sheet import Sheet, set_on_sheet
from closures.drawing.sheets.sheet_text import KeepClear, LapDrawing, Orientation, SheetText
from closures.drawing.sheets.size_lines import closing_pen, size_pens
from closures.drawing.sheets.view import View
from closures.frozen import frozen
from closures.jobs.sizes.sized import run_of
from closures.placing.nothing_set import nothing_set

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.placing.marking import LapMark
    from closures.plan.band import Face

DOT_MM = 0.3
_RING_MM, _LEAST_RING_MM = 0.9, 0.45
_RING = Pen(0.18, fill=1.0)
_CROSS_MM = 2.6
# Rings and arms of neighbouring marks leave this much white between them.
_BETWEEN_MM = 0.3


@frozen
class SeenSize:
    """One size as it lies on the nest."""

    index: int
    size: Sized
    view: View
    shift: Point
    marks: tuple[LapMark, ...]
    turn: Rigid = UNTURNED

    def at(self, point: Point) -> Point:
        """Where a point of the garment lies."""
        x, y = self.view.point(*point)
        return self.turn.point((x + self.shift[0], y + self.shift[1]))

    def direction(self, x: float, y: float) -> Point:
        """Which way a direction of the garment points."""
        return self.turn.direction(self.view.direction(x, y))

    def path(self, pen: Pen, curve: Curve) -> Path:
        """A curve as it lies, drawn with a pen."""
        return Path(self.turn.commands(mapped(self.view.path(curve), 1.0, 1.0, *self.shift)), pen)


def nest_sheet(sizes: Sizes, lap: LapName, face: Face) -> Sheet:
    """Draw all sizes of a lap on one sheet.

    Args:
        sizes: placed.
        lap: which layer.
        face: which face of the cloth lies up; "inside" turns the drawing over.

    Returns:
        The sheet; each size is a layer, and all of them show.
    """
    flipped = face == "inside"
    seen = seen_sizes(sizes, lap, flipped)
    base = next(one for one in seen if one.size is sizes.base)
    pens = size_pens(len(seen), base.index)
    line = base.view.lap.line
    start, end = base.at(line.start), base.at(line.end)
    grain = Grain(abs(end[1] - start[1]) >= abs(end[0] - start[0]))
    drawn = {one.index: lines_of(one, pens[one.index]) for one in seen}
    box = union(box_of(item) for items in drawn.values() for item in items)
    low, high = grain.split((box[0], box[1])), grain.split((box[2], box[3]))
    spots = [spot for one in seen for spot in marks_of(one, sizes.plan.units)]
    ends = [spot for one in seen for spot in ends_of(one)]
    labels = label_marks([*spots, *ends], grain, (low[1], high[1]), type_scale(sizes.plan.has_large_letters))
    slugs = size_slugs(sizes)
    crosses = crosses_of(seen, spots, slugs)
    items = tuple(
        Group(
            f"size-{slugs[one.size.name]}",
            f"size {one.size.name}",
            (*drawn[one.index], *labels[one.index], *crosses[one.index]),
            one.size.name,
        )
        for one in seen
    )
    text = nest_text(sizes, seen, pens, lap, face)
    keep = tuple(
        KeepClear(k, *spot.at, LEADER_FROM_MM, f"{spot.n} of size {spot.name}") for k, spot in enumerate(spots, 1)
    )
    edge = base.path(pens[base.index], base.view.lap.edge)
    sheet = set_on_sheet(LapDrawing(items, edge, keep, _orientations(base)), lap, face, flipped, text, f"nest-{lap}")
    names = tuple(one.size.name for one in seen)
    return replace(sheet, layers=Layers(names, "Sizes"))


def marks_of(one: SeenSize, units: str) -> list[NestMark]:
    return [NestMark(one.index, one.size.name, m.n, one.at(m.at), both_ways(m.along_mm, units)[0]) for m in one.marks]


def ends_of(one: SeenSize) -> list[NestMark]:
    edge = one.view.lap.edge
    named = zip((edge.start, edge.end), one.view.laps.garment.ends, strict=True)
    return [NestMark(one.index, one.size.name, 0, one.at(point), word) for point, word in named]


def seen_sizes(sizes: Sizes, lap: LapName, flipped: bool) -> list[SeenSize]:
    base = sizes.base.placement.laps[lap].line.start
    wish = sizes.plan.sizes
    seen = []
    for index, size in enumerate(sizes.placed):
        laps = size.placement.laps
        view = View(laps, laps[lap], flipped)
        shift = (0.0, 0.0)
        if wish is not None and wish.laid == "first end":
            start = view.lap.line.start
            shift = (view.sign * (base[0] - start[0]), base[1] - start[1])
        seen.append(SeenSize(index, size, view, shift, size.placement.all_on(lap)))
    return seen


def lines_of(one: SeenSize, pen: Pen) -> list[Path]:
    lap = one.view.lap
    lines = [lap.line, *(other.laps[lap.name].line for other in one.size.placement.beside if len(other.marks) > 1)]
    return [one.path(pen, lap.edge), *(one.path(closing_pen(pen), line) for line in lines)]


def crosses_of(seen: Sequence[SeenSize], spots: Sequence[NestMark], slugs: dict[str, str]) -> dict[int, list[Item]]:
    """Draw every mark as a dot in a ring, with a cross where there is room: none reaches into a neighbour's."""
    crosses: dict[int, list[Item]] = {one.index: [] for one in seen}
    by_size = {(spot.size, spot.n): spot for spot in spots}
    ordered = sorted(spots, key=lambda spot: spot.at[1])
    for one in seen:
        for mark in one.marks:
            spot = by_size.get((one.index, mark.n))
            if spot is None:
                # It lies on another part.
                continue
            tx, ty = one.direction(*mark.tangent)
            free = (_nearest_mm(spot, ordered) - _BETWEEN_MM) / 2
            arm, ring = min(_CROSS_MM, free), min(_RING_MM, free)
            parts: list[Item] = []
            if ring >= _LEAST_RING_MM:
                parts.append(Circle(*spot.at, ring, _RING, "ring"))
            if arm > _RING_MM + 0.2:
                x, y = spot.at
                parts.append(
                    strokes(
                        (
                            ((x + u * _RING_MM, y + v * _RING_MM), (x + u * arm, y + v * arm))
                            for u, v in ((tx, ty), (-tx, -ty), (-ty, tx), (ty, -tx))
                        ),
                        FINE,
                    )
                )
            parts.append(Circle(*spot.at, DOT_MM, INK, "centre"))
            name = f"{one.view.lap.name}-{slugs[spot.name]}-{spot.n}"
            crosses[one.index].append(Group(name, _mark_title(one, spot), tuple(parts), tag="Figure"))
    return crosses


def _mark_title(one: SeenSize, spot: NestMark) -> str:
    """A mark for those who hear the page: both laps lie on one sheet, and their marks are alike in all but this."""
    return f"size {spot.name}, mark {spot.n}, {spot.figure}: {one.view.lap.name} lap"


def _nearest_mm(spot: NestMark, ordered: Sequence[NestMark]) -> float:
    """How far the nearest mark of another size lies; marks on the very same place do not count."""
    reach = 2 * _CROSS_MM + _BETWEEN_MM
    far = reach
    for other in ordered:
        if abs(other.at[1] - spot.at[1]) < reach and other.size != spot.size:
            distance = math.dist(other.at, spot.at)
            if distance > DOT_MM:
                far = min(far, distance)
    return far


def size_slugs(sizes: Sizes) -> dict[str, str]:
    """Name every size by signs that file names and ids can hold, no two alike."""
    slugs: dict[str, str] = {}
    for k, size in enumerate(sizes.all, start=1):
        kept = "".join(char if char.isascii() and (char.isalnum() or char in "-_") else "-" for char in size.name)
        taken = kept != size.name or kept.casefold() in {slug.casefold() for slug in slugs.values()}
        slugs[size.name] = f"{kept}-{k}" if taken else kept
    return slugs


def _orientations(base: SeenSize) -> tuple[Orientation, ...]:
    found = []
    for mark in base.marks:
        (tx, ty), (ix, iy) = mark.tangent, base.view.lap.inward(mark.tangent)
        found.append(Orientation(base.at(mark.at), base.direction(-tx, -ty), base.direction(-ix, -iy), mark.n))
    return tuple(found)


def nest_text(sizes: Sizes, seen: Sequence[SeenSize], pens: Sequence[Pen], lap: LapName, face: Face) -> SheetText:
    base = sizes.base.placement
    names = [one.size.name for one in seen]
    range_words = f"size {names[0]}" if len(names) == 1 else f"sizes {names[0]} to {names[-1]}"
    failed = [one.size.name for one in seen if one.size.result == "fail"]
    missing = [size.name for size in sizes.refused]
    failures = "; ".join(
        part
        for part in (
            f"size {', '.join(failed)}" if failed else "",
            f"not placed: size {', '.join(missing)}" if missing else "",
        )
        if part
    )
    laid = "as drawn" if sizes.plan.sizes is None else sizes.plan.sizes.laid
    lie = "as they were drawn" if laid == "as drawn" else f"with every {base.ends[0]} on the same place"
    samples = tuple(
        (pens[one.index], one.size.name + (" base" if one.size is sizes.base and sizes.has_base else ""))
        for one in seen
    )
    unset = nothing_set(base)
    marked = "mark the dots of your size only" if unset is None else "mark nothing"
    reading = (
        f"By each mark: its number, its size in a frame, and how far it lies from the {base.ends[0]} along the closing "
        f"line. Follow its leader to the dot, and {marked}.",
        f"The sizes lie {lie}. Dots alone are drawn here: clear zones, rims, buttonholes, slits and where stitches go "
        "are on the sheets of the single sizes, and nothing is cut by these.",
    )
    return SheetText(
        f"{sizes.plan.title}, {range_words}",
        f"{base.fastener.name} · {len(names)} sizes",
        " — ".join(
            word
            for word in (
                f"{lap.upper()} LAP",
                base.laps[lap].whose,
                f"{face} face up",
                base.cloth_state,
                "" if unset is None else unset.strip,
            )
            if word
        ),
        _checks(seen, sizes.plan.units),
        failures,
        ("nest edge", "nest line", "nest mark"),
        ways=(base.ends[0], "finished edge"),
        blocks=(("How to read it", reading),),
        samples=samples,
        run=run_of(sizes),
        grown=type_scale(sizes.plan.has_large_letters).grown,
    )


def _checks(seen: Sequence[SeenSize], units: str) -> tuple[str, ...]:
    told = []
    for one in seen:
        row = one.size.placement.on(one.view.lap.name)
        if len(row) > 1:
            first, last = row[0], row[-1]
            straight = both_ways(math.dist((first.x_mm, first.y_mm), (last.x_mm, last.y_mm)), units)[0]
            told.append(f"size {one.size.name}: mark 1 to {last.n}, {straight}")
    return ("Straight across, your size:", *told) if told else ()
