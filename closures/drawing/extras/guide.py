"""What goes into a pattern's envelope: every size, its marks and its parts, as figures and a small picture."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import FRAME, INK, Circle, Item, Path, Pen, Words, mapped, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Chapter, ChapterPart, Picture, Section, Table
from closures.drawing.sheets.size_lines import size_pens
from closures.jobs.sizes.sized import kinds_in_words
from closures.lengths import format_inches, format_mm
from closures.placing.counted import closures_of
from closures.placing.edge_to_edge import apart_in_words
from closures.placing.tape import unwashed_in_words
from closures.series import how_many

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.drawing.ink.shapes import Point
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.placing.marking import Mark

PartsOf = Callable[["Sized"], tuple[tuple[str, str], ...]]
"""The parts of one garment of a size, and how many to have of each."""

_PICTURE_MM = (60.0, 96.0)
_OFF_DOTS_MM = 2.6
_MARKS_IN_TABLE = 10
_AT_ANCHOR_MM = 0.05
_AT_ANCHOR = "*"


def size_guide(sizes: Sizes, parts_of: PartsOf) -> Chapter:
    """Write the guide.

    Args:
        sizes: placed.
        parts_of: counts the parts of a size.
    """
    names = [size.name for size in sizes.placed]
    parts: list[ChapterPart] = [
        Section("How to use it", _told(sizes)),
        _picture(sizes),
        *(table for unit in _units(sizes) for table in _distances(sizes, unit)),
        size_table(sizes, parts_of),
        Section("", _foot(sizes)),
    ]
    return Chapter(f"Where the closures sit, sizes {names[0]} to {names[-1]}", tuple(parts))


def _told(sizes: Sizes) -> tuple[str, ...]:
    base = sizes.base.placement
    over, under = (lap.whose for lap in base.laps.both)
    fastener = base.fastener
    cap = f", {both_ways(fastener.cap_mm, base.plan.units)[0]} {fastener.cap_way}" if fastener.cap_mm else ""
    closure = f"{fastener.name}{cap}"
    lies = f"The {over} lies on top (over lap), the {under} beneath (under lap)."
    if base.laps.garment.is_meeting:
        apart = apart_in_words(base, lambda mm: both_ways(mm, base.plan.units)[0])
        meet = f"are worn {apart}" if apart else "meet"
        lies = (
            f"The edges {meet}, and neither lies on top. The {over} is called the over lap, the {under} the under lap."
        )
    whose = "Mark both laps from the same figures." if len(sizes.marked_by) == 1 else "Each lap has tables of its own."
    return (
        f"{closure[0].upper()}{closure[1:]}. {lies}",
        f"What is kept in every size: {_held_words(sizes)}{_held_in(sizes)}.",
        *((state.strip(),) if (state := unwashed_in_words(base)) else ()),
        f"Every figure is the distance of a mark from the {base.ends[0]}, on the closing line, measured along that "
        f"line with the tape left in place. {whose}{_star(sizes)}",
        "On the nested sheets each size has a line of its own; by each mark stand its number, its size in a frame, "
        f"and this figure. Size {sizes.base.name} is drawn in a whole line.",
        "Measure the bust level on the wearer before you cut: a printed one fits nobody but by chance.",
    )


def _units(sizes: Sizes) -> tuple[str, str]:
    """Both units, the plan's own first: what is read first is what the table at hand is in."""
    return ("in", "mm") if sizes.plan.units == "in" else ("mm", "in")


def _star(sizes: Sizes) -> str:
    """What the star of the tables means; said before them, for what comes after may stand overleaf."""
    starred = any(_is_at_anchor(mark) for size in sizes.placed for mark in size.placement.all_marks)
    anchors = ", ".join(dict.fromkeys(anchor.name for anchor in sizes.base.placement.anchors))
    star = f" A star ({_AT_ANCHOR}) stands by a mark that sits at: {anchors}." if starred and anchors else ""
    return f"{star} Size {sizes.base.name} is set in bold."


def _held_in(sizes: Sizes) -> str:
    """Of which state of cloth that shrinks the held gap is: the figures beside it are of unwashed cloth."""
    shrinkage, hold = sizes.plan.shrinkage, "count" if sizes.plan.sizes is None else sizes.plan.sizes.hold
    return "" if shrinkage is None or hold == "count" else f", as the {shrinkage.measured} garment has it"


def _held_words(sizes: Sizes) -> str:
    wish = sizes.plan.sizes
    hold = "count" if wish is None else wish.hold
    mm = sizes.held.pitch_mm
    pitch = "" if mm is None else "{} ({})".format(*both_ways(mm, sizes.plan.units))
    if hold == "count":
        return f"the count, {how_many(sizes.held.count, 'closure')}"
    if hold == "pitch":
        return f"the gap, {pitch} or as near as can be"
    return f"gaps near {pitch}, with counts chosen for all sizes together"


def _picture(sizes: Sizes) -> Picture:
    """Draw all edges and marks small, in a frame, with the first and the last size named."""
    pens = size_pens(len(sizes.placed), sizes.placed.index(sizes.base))
    paths = [Path(size.placement.laps.over.edge.path(), Pen(0.2)) for size in sizes.placed]
    lines = [Path(size.placement.laps.line.path(), Pen(0.2)) for size in sizes.placed]
    x0, y0, x1, y1 = union(box_of(path) for path in (*paths, *lines))
    width, height = _PICTURE_MM
    scale = min((width - 8.0) / max(x1 - x0, 1.0), (height - 12.0) / max(y1 - y0, 1.0))
    dx, dy = width / 2 - scale * (x0 + x1) / 2, (height - 4.0) / 2 - scale * (y0 + y1) / 2
    items: list[Item] = [rectangle((0.0, 0.0, width, height), FRAME)]
    for pen, path, size in zip(pens, paths, sizes.placed, strict=True):
        fine = Pen(0.3 if size is sizes.base else 0.12, tuple(part * 0.4 for part in pen.dash_mm))
        items.append(Path(mapped(path.commands, scale, scale, dx, dy), fine))
        items += [Circle(scale * m.x_mm + dx, scale * m.y_mm + dy, 0.25, INK) for m in size.placement.all_marks]
    items += _numbers(sizes, lambda x, y: (scale * x + dx, scale * y + dy))
    items.append(Words(width / 2, height - 2.4, "all sizes, not at true size", USUAL_TYPE.figure, "middle"))
    return Picture(tuple(items), _PICTURE_MM, "All sizes on each other, small, with their marks.")


def _numbers(sizes: Sizes, at: Callable[[float, float], Point]) -> list[Item]:
    """The number of every mark of the base, beside the dots of all sizes with that number."""
    base, size = sizes.base.placement, USUAL_TYPE.figure
    items: list[Item] = []
    last: Point | None = None
    for mark in base.marks:
        (ix, iy), drop = base.laps.over.inward(mark.tangent), 0.33 * size
        dots = [at(one.x_mm, one.y_mm) for of in sizes.placed for one in of.placement.marks if one.n == mark.n]
        x, y = max(dots, key=lambda dot: ix * dot[0] + iy * dot[1])
        place = (x + _OFF_DOTS_MM * ix, y + _OFF_DOTS_MM * iy)
        if last is None or math.dist(place, last) >= 1.2 * size:
            items.append(Words(place[0], place[1] + drop, str(mark.n), size, "middle", 0.0, "semibold"))
            last = place
    return items


def _distances(sizes: Sizes, units: str) -> list[Table]:
    """Every mark of every size, as many marks beside each other as there is room for; each lap by itself if need be."""
    return [table for lap in sizes.marked_by for table in _distances_on(sizes, lap, units)]


def _distances_on(sizes: Sizes, lap: LapName, units: str) -> list[Table]:
    whose = f", {lap} lap" if len(sizes.marked_by) > 1 else ""
    most = max(len(size.placement.all_marks) for size in sizes.placed)
    bold = (sizes.placed.index(sizes.base),)
    tables = []
    for start in range(0, most, _MARKS_IN_TABLE):
        stop = min(most, start + _MARKS_IN_TABLE)
        rows = []
        for size in sizes.placed:
            texts = [_figure(mark, lap, units) for mark in size.placement.all_marks[start:stop]]
            rows.append((size.name, *texts, *([""] * (stop - start - len(texts)))))
        part = f", {numbers_in_words(range(start + 1, stop + 1))}" if most > _MARKS_IN_TABLE else ""
        unit = "mm" if units == "mm" else "inches"
        title = f"From the {sizes.base.placement.ends[0]} to each mark{whose}, {unit}{part}"
        head = ("size", *(str(n + 1) for n in range(start, stop)))
        tables.append(Table(title, head, tuple(rows), (1.3, *([1.0] * (stop - start))), wide=True, bold_rows=bold))
    return tables


def _figure(mark: Mark, lap: LapName, units: str) -> str:
    along = mark.along_on(lap)
    written = format_mm(along) if units == "mm" else format_inches(along)
    return written.removesuffix(f" {units}") + (_AT_ANCHOR if _is_at_anchor(mark) else "")


def _is_at_anchor(mark: Mark) -> bool:
    return mark.anchor is not None and abs(mark.shift_mm or 0.0) <= _AT_ANCHOR_MM


def size_table(sizes: Sizes, parts_of: PartsOf) -> Table:
    """What each size takes: closures, gaps, checks, parts."""
    parts = {size.name: dict(parts_of(size)) for size in sizes.placed}
    names = list(dict.fromkeys(name for own in parts.values() for name in own))
    words = {"pass": "good", "warn": "look", "fail": "FAIL"}
    rows = []
    for size in sizes.placed:
        spacing = size.placement.spacing
        largest = both_ways(spacing.largest_mm, sizes.plan.units)[0] if spacing.gaps_mm else ""
        counts = (parts[size.name].get(name, "0") for name in names)
        rows.append((size.name, closures_of(size.placement), largest, words[size.result], *counts))
    title = "What each size takes, spare and trial pieces counted in"
    head = ("size", "closures", "largest gap", "checks", *names)
    shares = (1.2, 1.4, 1.8, 1.2, *([1.8] * len(names)))
    return Table(title, head, tuple(rows), shares, wide=True, bold_rows=(sizes.placed.index(sizes.base),))


def _foot(sizes: Sizes) -> tuple[str, ...]:
    told = list(kinds_in_words(sizes))
    if sizes.refused:
        told.append(f"Not placed: size {', '.join(size.name for size in sizes.refused)}. The report says why.")
    told.append("This is a guide and not a template: nothing on it is at true size.")
    return tuple(told)
