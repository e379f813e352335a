"""The sections of a plan that tell its sizes, and one wearer: `[sizes]` and `[wearer]`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from closures.errors import Fault
from closures.lengths import shown_value
from closures.nearest import nearest_name
from closures.plan.kinds import choice, length, length_or_range, span, text
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.size_kinds import (
    by_name,
    by_size,
    length_changes,
    moves,
    one_or_two_lengths,
    points_by_size,
    size_names,
    step_numbers,
    with_size,
)
from closures.plan.size_values import FitWish, SizesWish
from closures.plan.values import Plan

_MORE_THAN_NOTHING = length(zero=False)
_ANY = length(least_mm=None)
_IDS = ("path", "under", "line", "level_zero")
_TABLES = ("first", "last", "width", "inset")


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


def _sizes_complaints(fields: Fields) -> Iterator[Complaint]:
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


def fit_of(given: Mapping[str, Any]) -> FitWish | None:
    """Make what differs for one wearer of the keys that were given; None of none."""
    plain = ("size", "longer")
    return FitWish(**{key if key in plain else f"{key}_mm": value for key, value in given.items()}) if given else None


def fit_complaints(fields: Fields) -> Iterator[Complaint]:
    """Tell what does not go together in what differs for one wearer."""
    if "bust_girth" in fields and "bust_level" in fields:
        yield "bust_girth", "the bust level was measured, so none is reckoned", "Leave bust_girth out."


SIZES = Section(
    name="sizes",
    field="sizes",
    keys=(
        Key("names", size_names, '["8", "10", "12"]', needed=True),
        Key("base", text, '"10"', needed=True, note="The size that was drawn: the other sections hold its figures."),
        Key("path", with_size, '"front-{size}"'),
        Key("under", with_size, '"under-{size}"'),
        Key("line", with_size, '"line-{size}"'),
        Key("level_zero", with_size, '"shoulder-{size}"'),
        Key("points", points_by_size, '{ "8" = [["0 mm", "0 mm"], ["6 mm", "80 mm"]] }'),
        Key("grade", moves, '[["0 mm", "0 mm"], ["2 mm", "6 mm"]]'),
        Key("steps", step_numbers, "[-1, 0, 1]"),
        Key("hold", choice("count", "pitch", "best"), '"count"'),
        Key("level", by_name(by_size(_ANY, _ANY)), '{ "bust point" = { step = "4 mm" } }'),
        Key("along", by_name(by_size(length(), _ANY)), '{ "bust point" = { step = "4 mm" } }'),
        Key("clear", by_name(by_size(span(least_mm=None), one_or_two_lengths)), '{ belt = { step = "4 mm" } }'),
        Key("first", by_size(length_or_range, _ANY), '{ step = "1 mm" }'),
        Key("last", by_size(length_or_range, _ANY), '{ step = "1 mm" }'),
        Key("width", by_size(_MORE_THAN_NOTHING, _ANY), '{ "8" = "28 mm", "10" = "30 mm" }'),
        Key("inset", by_size(length(), _ANY), '{ step = "1 mm" }'),
        Key("laid", choice("as drawn", "first end"), '"as drawn"'),
    ),
    make=SizesWish,
    complaints=_sizes_complaints,
    not_with=("belt", "row", "swap", "change"),
)

FIT_KEYS = (
    Key("size", text, '"12"'),
    Key("bust_level", _ANY, '"221 mm"'),
    Key("waist_level", _ANY, '"405 mm"'),
    Key("bust_girth", _MORE_THAN_NOTHING, '"96 cm"'),
    Key("neck", _ANY, '"0 mm"'),
    Key("longer", length_changes, '[{ line = "above the waist", level = "300 mm", by = "15 mm" }]'),
)
"""Keys of `[wearer]` that tell what differs from the printed pattern."""


def with_base_edge(table: Mapping[str, Any]) -> Mapping[str, Any]:
    """Let `[sizes]` tell the edge: what it says of the base goes into `[edge]` where that says nothing."""
    sizes, edge = table.get("sizes"), table.get("edge", {})
    if not isinstance(sizes, dict) or not isinstance(edge, dict):
        return table
    base = sizes.get("base")
    told: dict[str, Any] = {
        key: sizes[key].replace("{size}", base)
        for key in _IDS
        if isinstance(sizes.get(key), str) and isinstance(base, str)
    }
    if isinstance(sizes.get("points"), dict) and base in sizes["points"]:
        told["points"] = sizes["points"][base]
    return {**table, "edge": {**told, **edge}} if told else table


def size_faults(plan: Plan, where: str) -> Iterator[Fault]:
    """Tell what `[sizes]` and `[wearer]` name that the rest of the plan does not hold."""
    place = f"{where}, " if where else ""
    sizes, fit = plan.sizes, plan.fit
    if sizes is not None:
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
                    yield Fault(f"{place}[sizes] {key}", f"the plan has no {what} called {shown_value(name)}", mend)
        edge = plan.edge
        if edge is not None:
            for key in _IDS:
                told_id, own = getattr(sizes, key), getattr(edge, key)
                if told_id is not None and own != told_id.replace("{size}", sizes.base):
                    mend = f"Leave {key} out of [edge]: [sizes] tells it."
                    yield Fault(f"{place}[edge] {key}", f"it is not that of the base, size {sizes.base}", mend)
    if fit is not None:
        if plan.edge is None or plan.swap is not None:
            mend = "Leave bust_level, waist_level, bust_girth and longer out."
            yield Fault(f"{place}[wearer]", "only a plan of new closures along an edge is fitted", mend)
        if sizes is not None and fit.size is None:
            mend = f"Add size = {shown_value(sizes.base)}, the size that is cut."
            yield Fault(f"{place}[wearer] size", "it is missing, and the plan has several sizes", mend)
        if sizes is not None and fit.size is not None and fit.size not in sizes.names:
            near = nearest_name(fit.size, sizes.names)
            mend = f"Did you mean {near}?" if near else f"There are {', '.join(sizes.names)}."
            yield Fault(f"{place}[wearer] size", f"there is no size {shown_value(fit.size)}", mend)
        if sizes is None and fit.size is not None:
            yield Fault(f"{place}[wearer] size", "the plan has one size only", "Leave size out, or add [sizes].")
