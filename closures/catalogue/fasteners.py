"""Rows of kinds and fasteners, made into values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import get_args

from closures.catalogue.by_lap import Leaves, LeftWay, MarkStyle
from closures.catalogue.names import both_ways, find_size, folded, length_mm, lines_of
from closures.catalogue.rows import Row
from closures.catalogue.values import (
    SEWN_SETTINGS,
    Family,
    Fastener,
    Figure,
    Hole,
    HoleWay,
    Kind,
    LapName,
    MarkWay,
    Part,
    Provenance,
    SettingName,
    Source,
)
from closures.frozen import frozen
from closures.nearest import nearest_name

_KIND_KEYS = (
    "name",
    "aliases",
    "family",
    "over",
    "under",
    "mark",
    "leaves",
    "hole",
    "clamps",
    "setting",
    "note",
    "size_is_diameter",
    "ball",
    "apart_from_mark",
)
FASTENER_KEYS = (
    "kind",
    "size",
    "sizes",
    "like",
    "cap",
    "inner",
    "hole",
    "grip",
    "least_pitch",
    "thickness",
    "extent",
    "note",
)


@frozen
class Measures:
    """The figures of one size; None for what is not known. Lengths in mm."""

    cap: Figure | None = None
    inner: Figure | None = None
    hole: Hole | None = None
    grip: tuple[Figure, Figure] | None = None
    least_pitch: Figure | None = None
    thickness: tuple[Figure, Figure] | None = None
    extent: tuple[Figure, Figure] | None = None
    note: str = ""


@frozen
class RimToRim:
    """What lies at the least between two rims.

    Attributes:
        tool: where a tool sets either of the two.
        needle: where both are sewn on.
    """

    tool: Figure
    needle: Figure

    def of(self, setting: SettingName, cap: Figure | None) -> Figure:
        """Between two that are set so and are so wide; of a width that is not known what a tool wants."""
        return self.needle if setting in SEWN_SETTINGS and cap is not None else self.tool


def make_fastener(kind: Kind, size: str, measures: Measures, rim_to_rim: RimToRim) -> Fastener:
    """Join what holds for a kind with the figures of one size.

    The least pitch, where no row gives one, is the cap and the room that the tool or the
    needle needs from rim to rim.
    """
    pitch = measures.least_pitch or _least_pitch(measures.cap, rim_to_rim.of(kind.setting, measures.cap))
    return Fastener(
        kind=kind.name,
        size=size,
        family=kind.family,
        cap=measures.cap,
        inner=measures.inner,
        hole=measures.hole or Hole(kind.hole),
        grip=measures.grip,
        least_pitch=pitch,
        thickness=measures.thickness,
        extent=measures.extent,
        parts=kind.parts,
        mark=kind.mark,
        leaves=kind.leaves,
        setting=kind.setting,
        note=measures.note or kind.note,
        clamps=kind.clamps,
        halves=kind.halves,
        is_ball=kind.is_ball,
        is_apart_from_mark=kind.is_apart_from_mark,
    )


def _least_pitch(cap: Figure | None, rim_to_rim: Figure) -> Figure:
    cap_mm = 0.0 if cap is None else cap.value
    source = "cap and the room from rim to rim"
    return Figure(cap_mm + rim_to_rim.value, Provenance(rim_to_rim.provenance.kind, source))


def by_line(lines: float, sources: Mapping[str, Source]) -> Figure:
    """The diameter of so many button lines (US Federal Specification V-B-871F)."""
    source = f"1/40 in to the line, {sources['FED871'].text}"
    return Figure(lines * 254 / 400, Provenance("derived", source, "FED871"))


def read_kinds(rows: Iterable[Row]) -> dict[str, Kind]:
    """Read the kinds, by name, in the order of the file."""
    kinds = (_read_kind(row) for row in rows)
    return {kind.name: kind for kind in kinds if kind is not None}


def _read_kind(row: Row) -> Kind | None:
    row.check_keys(_KIND_KEYS)
    halves = row.provenance()
    if "setting" not in row.table:
        row.fault("setting", "missing", f"Write one of: {', '.join(get_args(SettingName))}.")
    laps: tuple[LapName, ...] = get_args(LapName)
    mark = row.table.get("mark", {})
    ways: tuple[MarkWay, ...] = get_args(MarkWay)
    if not isinstance(mark, dict) or any(mark.get(lap) not in ways for lap in laps):
        row.fault("mark", f"{mark!r} is no pair of marks", f"Known marks: {', '.join(ways)}.")
        return None
    leaves = row.table.get("leaves", {})
    left: tuple[LeftWay, ...] = get_args(LeftWay)
    if not isinstance(leaves, dict) or any(leaves.get(lap) not in left for lap in laps):
        row.fault("leaves", f"{leaves!r} does not tell what both laps keep", f"Known: {', '.join(left)}.")
        return None
    if halves is None:
        return None
    return Kind(
        name=row.text("name", is_required=True),
        aliases=row.texts("aliases"),
        family=row.one_of("family", get_args(Family), "press-set snap"),
        parts=tuple(Part(part, lap) for lap in laps for part in row.texts(lap)),
        mark=MarkStyle(mark["over"], mark["under"]),
        leaves=Leaves(leaves["over"], leaves["under"]),
        hole=row.one_of("hole", get_args(HoleWay), "none"),
        clamps=tuple(lap for lap in laps if lap in row.texts("clamps")),
        setting=row.one_of("setting", get_args(SettingName), "prong ring"),
        note=row.text("note"),
        halves=halves,
        size_is_diameter=row.flag("size_is_diameter"),
        is_ball=row.flag("ball"),
        is_apart_from_mark=row.flag("apart_from_mark"),
    )


def kind_names(kinds: Iterable[Kind]) -> dict[str, str]:
    """Every name of every kind, folded, with the kind's own name."""
    names: dict[str, str] = {}
    for kind in kinds:
        for name in (kind.name, *kind.aliases):
            names.setdefault(folded(name), kind.name)
    return names


def read_fasteners(
    rows: Iterable[Row],
    kinds: dict[str, Kind],
    known: Mapping[tuple[str, str], Fastener],
    rim_to_rim: RimToRim,
) -> dict[tuple[str, str], Fastener]:
    """Read rows of fasteners.

    A row of a kind and size that is known already keeps what it does not give itself, with
    its own provenance. A row of a new kind names the known kind that it is set like, and
    that kind is added to `kinds`.

    Args:
        rows: of one file.
        kinds: the kinds known so far, by name; new ones are added.
        known: the fasteners known so far.
        rim_to_rim: the room that the tool or the needle needs.

    Returns:
        The fasteners of these rows, by kind and size. Faults are left in the rows.
    """
    read: dict[tuple[str, str], Fastener] = {}
    names = kind_names(kinds.values())
    for row in rows:
        row.check_keys(FASTENER_KEYS)
        kind = _kind_of(row, kinds, names)
        provenance = row.provenance()
        if kind is None:
            continue
        for written in _sizes_of(row):
            labels = [s for k, s in known if k == kind.name]
            size = find_size(written, labels) or written if labels else written
            if may_mean := both_ways(written, labels):
                row.fault("size", f"{written!r} tells neither lines nor mm", f"Write {' or '.join(may_mean)}.")
            base = known.get((kind.name, size))
            if (kind.name, size) in read:
                row.fault("size", f"{kind.name} {size} stands in this file twice", "Keep one of the rows.")
            measures = _read_measures(row, kind, written, base, provenance)
            if measures is not None:
                read[kind.name, size] = make_fastener(kind, size, measures, rim_to_rim)
    return read


def _kind_of(row: Row, kinds: dict[str, Kind], names: dict[str, str]) -> Kind | None:
    """The row's kind; a new one that is set like a known one is added to the kinds and the names."""
    name = row.text("kind", is_required=True)
    if not name:
        return None
    if folded(name) in names:
        return kinds[names[folded(name)]]
    like = row.text("like")
    if folded(like) in names:
        kinds[name] = replace(kinds[names[folded(like)]], name=name, aliases=(), note=row.text("note"))
        names[folded(name)] = name
        return kinds[name]
    if like:
        row.fault("like", f"there is no kind {like!r} to be set like", _meant(like, names.values()))
    else:
        meant = _meant(name, (*names, *names.values()))
        row.fault(
            "kind",
            f"there is no kind {name!r}",
            f'{meant} For a kind of your own, add like = "..." with the known kind that is set the same way.'.lstrip(),
        )
    return None


def _sizes_of(row: Row) -> tuple[str, ...]:
    if "sizes" in row.table:
        return row.texts("sizes")
    size = row.table.get("size")
    if isinstance(size, int) and not isinstance(size, bool):
        return (str(size),)
    text = row.text("size", is_required=True)
    return (text,) if text else ()


def _read_measures(
    row: Row, kind: Kind, size: str, base: Fastener | None, provenance: Provenance | None
) -> Measures | None:
    faults_before = len(row.faults)
    cap = _read_cap(row, size, provenance)
    hole = _read_hole(row, kind, size, provenance)
    extent = row.figures("extent", provenance, (2,), is_rising=False)
    measures = Measures(
        cap=cap,
        inner=row.figure("inner", provenance),
        hole=hole,
        grip=row.range_("grip", provenance),
        least_pitch=row.figure("least_pitch", provenance),
        thickness=row.range_("thickness", provenance),
        extent=None if extent is None else (extent[0], extent[1]),
        note=row.text("note"),
    )
    if base is not None:
        measures = _over_base(measures, base)
    if measures.cap is None and kind.family != "hook" and len(row.faults) == faults_before:
        row.fault("cap", "missing", "Measure the diameter of the largest part, and write cap = 10.2, in mm.")
    return measures if len(row.faults) == faults_before and provenance is not None else None


def _read_cap(row: Row, size: str, provenance: Provenance | None) -> Figure | None:
    if row.table.get("cap") != "by line":
        return row.figure("cap", provenance)
    lines = lines_of(size.removesuffix(" long"))
    if lines is None:
        row.fault("cap", f"the size {size!r} names no lines", "Write the diameter in mm.")
        return None
    return by_line(lines, row.sources)


def _read_hole(row: Row, kind: Kind, size: str, provenance: Provenance | None) -> Hole | None:
    found = row.range_("hole", provenance)
    if found is not None:
        return Hole(kind.hole, found[0], found[1] if found[1].value > found[0].value else None)
    bore_mm = length_mm(size) if kind.hole == "bore" else None
    if bore_mm is None or provenance is None:
        return None
    return Hole(kind.hole, Figure(bore_mm, provenance))


def _over_base(own: Measures, base: Fastener) -> Measures:
    """A row's own figures, and the known fastener's where it has none; the least pitch follows the cap."""
    return Measures(
        cap=own.cap or base.cap,
        inner=own.inner or base.inner,
        hole=base.hole if own.hole is None or own.hole.diameter is None else own.hole,
        grip=own.grip or base.grip,
        least_pitch=own.least_pitch,
        thickness=own.thickness or base.thickness,
        extent=own.extent or base.extent,
        note=own.note or base.note,
    )


def _meant(name: str, known: Iterable[str]) -> str:
    near = nearest_name(name, tuple(known))
    return f"Did you mean {near}?" if near else ""
