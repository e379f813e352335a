"""The sizes of a pattern, of which the other sections tell the base.

Terms: the *base* is the size that was drawn; a *step* is the way from one size to the next; to *grade*
is to move each control point of the base by so much a step; a *move* is (across, down).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.nearest import nearest_name
from closures.plan.by_size import (
    BySize,
    by_name,
    by_size,
    one_or_two_lengths,
    points_by_size,
    size_names,
    step_numbers,
    with_size,
)
from closures.plan.kinds import any_length, choice, length, length_or_range, more_than_nothing, span, text
from closures.plan.place import Move, moves
from closures.plan.section import Complaint, Fields, Key, Section, Table

if TYPE_CHECKING:
    from closures.plan.plan import Plan

Hold = Literal["count", "pitch", "best"]
Laid = Literal["as drawn", "first end"]

IDS = ("path", "under", "line", "level_zero")
"""Keys of `[edge]` that name something in the drawing, and of `[sizes]` that do so for every size."""

_TABLES = ("first", "last", "width", "inset")


@frozen
class SizesWish:
    """The sizes of a pattern.

    Attributes:
        names: the sizes, smallest first.
        base: the one that was drawn, whose figures stand in the other sections.
        path, under, line, level_zero: ids in the drawing in which ``{size}`` stands for the name.
        points: measured points of each size.
        grade: how far the edge moves a step: at its first and its last end, or at every control point.
        steps: how many steps each size lies from the base; empty where neighbours are one step apart.
        hold: what stays the same across the sizes.
        level, along: anchors and where they lie in each size.
        clear: clear zones and where they lie in each size.
        first, last: first end to first centre, last centre to last end.
        width, inset: finished width of the band, finished edge to closing line; of both laps where they are alike.
        laid: how the sizes lie on each other on the nested sheet.
    """

    names: tuple[str, ...]
    base: str
    path: str | None = None
    under: str | None = None
    line: str | None = None
    level_zero: str | None = None
    points: tuple[tuple[str, tuple[Move, ...]], ...] = ()
    grade: tuple[Move, ...] = ()
    steps: tuple[float, ...] = ()
    hold: Hold = "count"
    level: tuple[tuple[str, BySize], ...] = ()
    along: tuple[tuple[str, BySize], ...] = ()
    clear: tuple[tuple[str, BySize], ...] = ()
    first: BySize | None = None
    last: BySize | None = None
    width: BySize | None = None
    inset: BySize | None = None
    laid: Laid = "as drawn"

    def steps_to(self, name: str) -> float:
        """How many steps a size lies above the base; negative below it."""
        if self.steps:
            return self.steps[self.names.index(name)]
        return float(self.names.index(name) - self.names.index(self.base))


def _tables(fields: Fields) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every table by size: its key, and the sizes that it names."""
    for key in ("level", "along", "clear"):
        for name, one in fields.get(key, ()):
            yield f"{key} {shown_value(name)}", tuple(size for size, _ in one.table)
    for key in _TABLES:
        if key in fields:
            yield key, tuple(size for size, _ in fields[key].table)
    if "points" in fields:
        yield "points", tuple(size for size, _ in fields["points"])


def _complaints(fields: Fields) -> Iterator[Complaint]:
    names = fields.get("names")
    if names is None:
        return
    if "base" in fields and fields["base"] not in names:
        near = nearest_name(fields["base"], names)
        mend = f"Did you mean {near}?" if near else f"There are {', '.join(names)}."
        yield "base", f"there is no size {fields['base']}", mend
    if "steps" in fields and len(fields["steps"]) != len(names):
        yield "steps", f"{len(fields['steps'])} steps for {len(names)} sizes", "Write one number for each size."
    elif "steps" in fields and fields.get("base") in names and fields["steps"][names.index(fields["base"])] != 0:
        yield "steps", "the base lies some steps from itself", f"Write 0 for size {fields['base']}."
    ways = [key for key in ("path", "points", "grade") if key in fields]
    if len(ways) > 1:
        yield ways[1], f"{ways[0]} tells each size's edge already", "Keep one of them."
    for key, told in _tables(fields):
        for size in told:
            if size not in names:
                near = nearest_name(size, names)
                yield key, f"there is no size {shown_value(size)}", f"Did you mean {near}?" if near else "Leave it out."


def _with_base_edge(table: Table) -> Table:
    """Let `[sizes]` tell the edge: what it says of the base goes into `[edge]` where that says nothing."""
    sizes, edge = table.get("sizes"), table.get("edge", {})
    if not isinstance(sizes, dict) or not isinstance(edge, dict):
        return table
    base = sizes.get("base")
    told: dict[str, Any] = {
        key: sizes[key].replace("{size}", base)
        for key in IDS
        if isinstance(sizes.get(key), str) and isinstance(base, str)
    }
    if isinstance(sizes.get("points"), dict) and base in sizes["points"]:
        told["points"] = sizes["points"][base]
    return {**table, "edge": {**told, **edge}} if told else table


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell what `[sizes]` names that the rest of the plan does not hold."""
    sizes = plan.sizes
    if sizes is None:
        return
    known = {
        "level": [a.name for a in plan.anchors if a.level_mm is not None],
        "along": [a.name for a in plan.anchors if a.along_mm is not None],
        "clear": [zone.name for zone in plan.clear],
    }
    for key, told in (("level", sizes.level), ("along", sizes.along), ("clear", sizes.clear)):
        for name, _ in told:
            if name not in known[key]:
                near = nearest_name(name, known[key])
                what = "clear zone" if key == "clear" else f"anchor with {'a' if key == 'level' else 'an'} {key}"
                mend = f"Did you mean {near}?" if near else "Add it to the plan, or leave it out here."
                yield key, f"the plan has no {what} called {shown_value(name)}", mend
            elif known[key].count(name) > 1:
                what = f"the plan has {known[key].count(name)} places called {shown_value(name)}"
                yield key, what, "Give each a name of its own."


_EXAMPLE = '{ "bust point" = { step = "4 mm" } }'

SIZES = Section(
    name="sizes",
    title="Sizes",
    meaning="The sizes of a pattern, of which the other sections tell the base: [how to](../how-to/every-size.md). "
    "At most one of `path`, `points` and `grade`. A figure *by size* is a table such as "
    '`{ "8" = "201 mm", "10" = "205 mm" }`, or `{ step = "4 mm" }` from the base\'s own.',
    keys=(
        Key("names", size_names, '["8", "10", "12"]', "the sizes, smallest first", label="The sizes", needed=True),
        Key(
            "base",
            text,
            '"10"',
            "the size that was drawn",
            label="The size that was drawn",
            needed=True,
            note="The size that was drawn: the other sections hold its figures.",
        ),
        Key(
            "path",
            with_size,
            '"front-{size}"',
            "the edge of each size in the drawing; then `[edge]` needs none",
            label="The edge of each size",
            hint="A name in the drawing, {size} for the size",
        ),
        Key(
            "under",
            with_size,
            '"under-{size}"',
            "the under lap's own edge of each size",
            label="The under lap's own edge of each size",
        ),
        Key(
            "line",
            with_size,
            '"line-{size}"',
            "the closing line of each size",
            label="The closing line of each size",
        ),
        Key(
            "level_zero",
            with_size,
            '"shoulder-{size}"',
            "where levels of each size are measured from",
            label="Where levels of each size are measured from",
        ),
        Key(
            "points",
            points_by_size,
            '{ "8" = [["0 mm", "0 mm"], ["6 mm", "80 mm"]] }',
            "measured points of each size",
            label="Measured points of each size",
        ),
        Key(
            "grade",
            moves,
            '[["0 mm", "0 mm"], ["2 mm", "6 mm"]]',
            "how far the edge moves a step: its first and its last end, or every control point",
            label="How far the edge moves a step",
            hint="A line for each end or control point: across, down",
        ),
        Key(
            "steps",
            step_numbers,
            "[-1, 0, 1]",
            "how many steps each size lies from the base, which has 0",
            label="Steps from the base",
            default="one step from name to name",
        ),
        Key(
            "hold",
            choice("count", "pitch", "best"),
            '"count"',
            "what stays the same across the sizes",
            label="What stays the same",
            default='"count"',
        ),
        Key(
            "level",
            by_name(by_size(any_length, any_length), "table, anchor to level by size"),
            _EXAMPLE,
            "anchors that are told by level",
            label="Fixed places by level",
        ),
        Key(
            "along",
            by_name(by_size(length(), any_length), "table, anchor to length by size"),
            _EXAMPLE,
            "anchors that are told along the line",
            label="Fixed places along the line",
        ),
        Key(
            "clear",
            by_name(by_size(span(least_mm=None), one_or_two_lengths), "table, zone to stretch by size"),
            '{ belt = { step = "4 mm" } }',
            'a step moves both ends, or `["4 mm", "6 mm"]` each by its own',
            label="Clear stretches",
        ),
        Key(
            "first",
            by_size(length_or_range, any_length),
            '{ step = "1 mm" }',
            "first end to first centre",
            label="Room before the first closure",
            default="the base's",
        ),
        Key(
            "last",
            by_size(length_or_range, any_length),
            '{ step = "1 mm" }',
            "last centre to last end",
            label="Room after the last closure",
            default="the base's",
        ),
        Key(
            "width",
            by_size(more_than_nothing, any_length),
            '{ "8" = "28 mm", "10" = "30 mm" }',
            "finished width of the band; of both laps where they are alike",
            label="Finished width of the band",
            default="the base's",
        ),
        Key(
            "inset",
            by_size(length(), any_length),
            '{ step = "1 mm" }',
            "finished edge to closing line, likewise",
            label="Finished edge to the closing line",
            default="the base's where it is told, else half the width",
        ),
        Key(
            "laid",
            choice("as drawn", "first end"),
            '"as drawn"',
            "how the sizes lie on each other on the nested sheet",
            label="On the nested sheet they lie",
            default='"as drawn"',
        ),
    ),
    value=SizesWish,
    complaints=_complaints,
    against=_against,
    foreword=_with_base_edge,
    not_with=("belt", "row", "swap", "change"),
)
