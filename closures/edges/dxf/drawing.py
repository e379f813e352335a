"""A DXF drawing as lines and points that a plan can name. Nothing else reads ezdxf.

Lines are named by layer, block or handle; what the layers mean follows the open practice for exchanging
sewn-product patterns (ASTM D6673, from memory), and a plan may say otherwise.
"""

from __future__ import annotations

import io
import logging
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from closures.curve import Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.affine import Affine
from closures.edges.drawing import MOST_MM, Drawn, DrawnPoint, PointKind, point_meant
from closures.edges.dxf.shapes import entity_point, entity_segments
from closures.edges.judged import judged_edge
from closures.edges.pieces import chain_with, join_named, one_line
from closures.edges.sampled import ReadLine
from closures.edges.svg.exact import NoSizeError
from closures.errors import DrawingError, OfDrawing, to_install
from closures.frozen import frozen
from closures.nearest import nearest_name, same_name

LAYER_NAMES = {
    "boundary": "1",
    "notches": "4",
    "grain line": "7",
    "internal lines": "8",
    "drill holes": "13",
    "sew line": "14",
}
"""What the layers of an exchanged pattern are called here: ASTM D6673, from memory."""

# Millimetres to a unit, by the number that the header keeps in $INSUNITS (DXF reference, header section).
_MM_OF_UNIT = {
    1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 10: 914.4, 13: 1e-3, 14: 100.0,
}  # fmt: skip

# Blocks inside blocks: patterns use two or three.
_MOST_DEPTH = 32

# So many entities in all when every block is drawn, and so many records in the file: the library takes some 50 us for
# each record, whatever it holds, and as many lines as this take 5 s and 200 MB.
_MOST_ENTITIES = 100_000

# Larger files are whole collections.
_MOST_BYTES = 12_000_000

# A group code of 0 with the name of what begins there; what follows a value of 0 is a number.
_RECORD = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Za-z]", re.MULTILINE)

# A block whose plane leans by more, as the sine, is not drawn flat.
_LEANS = 1e-3

# A circle no larger than this, or a line no longer, is a mark on the piece.
_SPOT_MM = 12.0

_PART = re.compile(r"(layer|block|handle|chain)\s+(.+)", re.IGNORECASE)


@frozen
class _Entity:
    """An entity where it is drawn.

    Attributes:
        handle: its own, with those of the inserts that it is drawn by before it.
        layer: the layer that it shows on.
        blocks: the blocks that it stands in.
        entity: the entity of the library.
        onto: from its own frame to mm, y down.
    """

    handle: str
    layer: str
    blocks: tuple[str, ...]
    entity: Any
    onto: Affine


class DxfDrawing:
    """A DXF drawing.

    Args:
        data: the bytes of the file.
        where: its name, for messages.
        unit_mm: how long a unit is; None to take it from the header.
        layers: what the plan calls its layers, beside `LAYER_NAMES`.

    Raises:
        DrawingError: it cannot be read, its blocks lead back to themselves, or it is too large.
        NoSizeError: its header does not say the units.
    """

    def __init__(
        self, data: bytes, where: str, unit_mm: float | None = None, layers: Sequence[tuple[str, str]] = ()
    ) -> None:
        self.where = where
        if unit_mm is None and b"$INSUNITS" not in data and b"EOF" in data[-64:]:
            # Told before the whole file is read, which a list does once more in units of its own.
            raise _no_units(where)
        document = _read(data, where)
        unit = unit_mm if unit_mm is not None else _MM_OF_UNIT.get(int(document.header.get("$INSUNITS", 0)))
        if unit is None:
            raise _no_units(where)
        self.names = {**LAYER_NAMES, **{key.casefold(): name for key, name in layers}}
        self.hidden = {one.dxf.name.casefold() for one in document.layers if one.is_off() or one.is_frozen()}
        self.entities = list(_walk(document, where, Affine(unit, 0.0, 0.0, -unit, 0.0, 0.0)))
        self.drawn = [line for entity in self.entities if (line := self._line(entity)) is not None]

    def lines(self, name: str) -> Sequence[Drawn]:
        """The lines of a layer, a block or a handle, or several of these with commas between."""
        found, chained = self._found(name)
        handles = {entity.handle for entity in found}
        lines = [line for line in self.drawn if line.name.removeprefix("handle ") in handles]
        if not lines:
            raise DrawingError("nothing is drawn here that could be an edge", where=self._at(name))
        if chained:
            return chain_with([line for line in self.drawn if line.layer == lines[0].layer], lines[0])
        return lines

    def point(self, name: str) -> Point:
        """The place of a point, and that which a small shape or a notch was drawn for."""
        found, _ = self._found(name)
        if len(found) != 1:
            raise DrawingError(
                f"these are {len(found)} things, not one point", where=self._at(name), mend="Name it by its handle."
            )
        place = entity_point(found[0].entity)
        if place is not None:
            return found[0].onto(place)
        return point_meant([self.lines(name)[0].segments], self._at(name))

    def edge(self, name: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
        """The one open line with this name, its pieces joined where they touch."""
        return judged_edge(one_line(self.lines(name), self._at(name)).segments, self._at(name), within_mm)

    def all_lines(self) -> Iterator[Drawn]:
        """Every line of the layers that are shown, joined with what it touches on its layer."""
        layers: dict[str, list[Drawn]] = {}
        for line in self.drawn:
            if line.layer.casefold() not in self.hidden:
                layers.setdefault(line.layer, []).append(line)
        for lines in layers.values():
            yield from join_named(lines)

    def points(self) -> Iterator[DrawnPoint]:
        """Points, small circles, and short lines on the layer of notches."""
        drawn = {line.name: line for line in reversed(self.drawn)}
        for one in self.entities:
            on_notches = one.layer.casefold() == self.names["notches"].casefold()
            kind: PointKind = "notch" if on_notches else "drill hole"
            place = entity_point(one.entity)
            line = drawn.get(f"handle {one.handle}")
            if place is not None and (line is None or line.length_mm <= 4 * _SPOT_MM):
                x, y = one.onto(place)
                yield DrawnPoint(f"handle {one.handle}", kind, x, y)
            elif on_notches and line is not None and line.length_mm <= _SPOT_MM:
                yield DrawnPoint(f"handle {one.handle}", "notch", *line.start)

    def _line(self, one: _Entity) -> Drawn | None:
        segments: list[Segment] = [
            mapped for segment in entity_segments(one.entity) for mapped in one.onto.segments(segment)
        ]
        if not segments:
            return None
        if not max(max(map(abs, (*segment.start, *segment.end))) for segment in segments) <= MOST_MM:
            raise DrawingError(
                f"it reaches beyond {MOST_MM / 1000:.0f} m",
                where=self._at(f"handle {one.handle}"),
                mend="Check the drawing's units, or write scale under [edge].",
            )
        return Drawn(f"handle {one.handle}", tuple(segments), one.layer)

    def _found(self, name: str) -> tuple[list[_Entity], bool]:
        """The entities that a name stands for, and whether their whole chain is meant."""
        found, chained = self.entities, False
        whole = self._narrowed(found, name.strip())
        if whole:
            return whole, name.strip().lower().startswith("chain ")
        for part in name.split(","):
            found = self._narrowed(found, part.strip())
            chained |= part.strip().lower().startswith("chain ")
        if found:
            return found, chained
        known = [*self.names, *dict.fromkeys(one.layer for one in self.entities)]
        known += list(dict.fromkeys(block for one in self.entities for block in one.blocks))
        spelled = same_name(name, known)
        if spelled not in (None, name):
            return self._found(spelled)
        near = nearest_name(name, known)
        raise DrawingError(
            "no layer, block or handle in the drawing is called so",
            where=self._at(name),
            mend=f"Nearest: {near}." if near else "`closures edges` lists what is there.",
        )

    def _narrowed(self, found: list[_Entity], part: str) -> list[_Entity]:
        match = _PART.fullmatch(part)
        kind, word = (match[1].lower(), match[2].strip()) if match else ("", part)
        folded = word.casefold()
        layer = self.names.get(folded, word).casefold()
        ways = {
            "layer": lambda one: one.layer.casefold() == layer,
            "block": lambda one: folded in (block.casefold() for block in one.blocks),
            "handle": lambda one: one.handle.casefold() == folded,
        }
        if kind:
            return list(filter(ways["handle" if kind == "chain" else kind], found))
        return next((kept for way in ways.values() if (kept := list(filter(way, found)))), [])

    def _at(self, name: str) -> str:
        return OfDrawing(f'{self.where}, "{name}"', name)


def _no_units(where: str) -> NoSizeError:
    return NoSizeError(
        "the drawing does not say its units",
        where=where,
        mend='Write, under [edge], scale = "1 mm" or scale = "1 in"; or a known length in it.',
    )


_EXPORT_LESS = "Export the pattern piece alone, in one size."

_END = b"EOF"
"""What a DXF in text ends with."""


def _read(data: bytes, where: str) -> Any:
    try:
        from ezdxf import recover
        from ezdxf.lldxf.const import DXFError
    except ImportError as error:
        raise DrawingError(
            f"reading DXF needs a package that is not installed ({error.name})",
            where=where,
            mend=to_install("dxf"),
        ) from None
    if len(data) > _MOST_BYTES:
        raise DrawingError(
            f"the drawing is {len(data) / 1e6:.0f} MB, more than {_MOST_BYTES // 1_000_000}",
            where=where,
            mend=_EXPORT_LESS,
        )
    records = sum(1 for _ in _RECORD.finditer(data))
    if records > _MOST_ENTITIES:
        raise DrawingError(
            f"the drawing holds {records:,} records, more than {_MOST_ENTITIES:,}: each line is one, and in old DXF "
            "each point of a polyline",
            where=where,
            mend=f"{_EXPORT_LESS} As DXF 2000 or newer, with its lines as polylines, it holds far fewer.",
        )
    if data.startswith(b"AutoCAD Binary DXF"):
        raise DrawingError("this is a binary DXF", where=where, mend="Save it as DXF in text (ASCII).")
    if not data.rstrip(b"\0 \t\r\n\x1a").endswith(_END):
        # What is left of it could be read, and nobody would see which lines are missing.
        raise DrawingError(
            "this DXF ends before its end mark, EOF: it is cut off, as by a broken loading or copying",
            where=where,
            mend="Load or copy it anew from where it came from, or export it again, as DXF in text (ASCII).",
        )
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    try:
        return _whole(data)
    except _BROKEN:
        # Repairing takes twice as long, and most files need none.
        pass
    try:
        document, _ = recover.read(io.BytesIO(data))
    except (DXFError, *_BROKEN):
        raise DrawingError(
            "this is not a DXF drawing that can be read",
            where=where,
            mend="In your drawing program export it again, as DXF in text (ASCII), or as plain SVG in mm.",
        ) from None
    return document


# What the library raises on a broken file, beside its own errors.
_BROKEN = (OSError, ValueError, TypeError, KeyError, IndexError, AttributeError, RuntimeError, EOFError, StopIteration)


def _whole(data: bytes) -> Any:
    """Read a file that needs no repair; its audit leaves out what stands for nothing.

    Raises:
        ValueError: it needs some.
    """
    from ezdxf.filemanagement import dxf_stream_info, read
    from ezdxf.lldxf.const import DXFError

    try:
        encoding = dxf_stream_info(io.StringIO(data.decode("latin-1"), newline=None)).encoding
        text = io.TextIOWrapper(io.BytesIO(data), encoding=encoding, errors="surrogateescape")
        # From text that is here already: nothing is opened in the file system.
        document = read(text)
        document.audit()
    except DXFError as error:
        raise ValueError from error
    return document


def _too_many(where: str) -> DrawingError:
    return DrawingError(f"it draws more than {_MOST_ENTITIES:,} entities", where=where, mend=_EXPORT_LESS)


def _drawn_count(entities: Iterable[Any], known: dict[str, int], depth: int = 0) -> int:
    """How many entities are drawn once every block stands where it is inserted, each block counted once.

    Blocks in themselves, and blocks too deep, count as nothing: the walk names them.
    """
    count = 0
    for entity in entities:
        count += 1
        block = entity.block() if entity.dxftype() == "INSERT" and depth < _MOST_DEPTH else None
        if block is None:
            continue
        name = block.name.casefold()
        if name not in known:
            known[name] = 0
            known[name] = _drawn_count(block, known, depth + 1)
        count += known[name] * max(1, entity.mcount)
    return count


def _walk(document: Any, where: str, base: Affine) -> Iterator[_Entity]:
    """Go through all entities with every block drawn where it is inserted, in the order of the file."""
    if _drawn_count(document.modelspace(), {}) > _MOST_ENTITIES:
        raise _too_many(where)
    waiting: list[tuple[Any, str, str, tuple[str, ...], Affine]] = [
        (entity, "", "0", (), base) for entity in reversed(list(document.modelspace()))
    ]
    count = 0
    while waiting:
        entity, above, layer_above, blocks, onto = waiting.pop()
        count += 1
        if count > _MOST_ENTITIES:
            raise _too_many(where)
        own = entity.dxf.get("layer", "0")
        layer = layer_above if own == "0" and blocks else own
        handle = f"{above}{entity.dxf.get('handle') or '0'}"
        if entity.dxftype() != "INSERT":
            yield _Entity(handle, layer, blocks, entity, onto)
            continue
        name = entity.dxf.name
        if name.casefold() in (block.casefold() for block in blocks):
            raise DrawingError(f'block "{name}" is drawn inside itself', where=where, mend="Explode it, or delete it.")
        if len(blocks) >= _MOST_DEPTH:
            raise DrawingError(
                f"blocks lie more than {_MOST_DEPTH} deep in each other", where=where, mend="Explode the blocks."
            )
        block = entity.block()
        if block is None:
            continue
        inside = list(block)
        if len(waiting) + len(inside) * max(1, entity.mcount) > _MOST_ENTITIES:
            raise _too_many(where)
        for placed in reversed(list(_placings(entity))):
            inner = onto.after(placed)
            if inner.is_usable:
                waiting += [(one, f"{handle}/", layer, (*blocks, name), inner) for one in reversed(inside)]


def _placings(insert: Any) -> Iterator[Affine]:
    """The map of an insert, or the maps of all in its rows and columns."""
    for one in insert.multi_insert() if insert.mcount > 1 else (insert,):
        m = one.matrix44()
        x, y, origin = m.transform_direction((1, 0, 0)), m.transform_direction((0, 1, 0)), m.transform((0, 0, 0))
        if max(abs(x[2]), abs(y[2])) > _LEANS * max(math.hypot(*x), math.hypot(*y)):
            # Seen from above, what it draws would be too short.
            continue
        yield Affine(x[0], x[1], y[0], y[1], origin[0], origin[1])
