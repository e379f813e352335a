"""The paths that a PDF page paints, with every matrix, form and layer applied (ISO 32000-1, section 8)."""

from __future__ import annotations

import math
import zlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from closures.curve import Cubic, Line, Point, Segment
from closures.edges.affine import Affine
from closures.edges.pdf.operators import Operand, operators
from closures.errors import DrawingError
from closures.frozen import frozen

# Forms inside forms: programs use three or four.
_MOST_DEPTH = 24

# A page of a pattern has some thousands of operators; these are for all pages of a file with all their forms.
_MOST_OPERATORS = 600_000
_MOST_BYTES = 40_000_000
_MOST_SAVED = 500

# Points of a path nearer than this, in page units, are one.
_NOTHING = 1e-6

_PAINTED = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*"}
_CLOSING = {"s", "b", "b*"}
_TAKEN = {"m": 2, "l": 2, "c": 6, "v": 4, "y": 4, "re": 4, "cm": 6}


@frozen
class PagePath:
    """One part of a path, as painted.

    Attributes:
        segments: end to end, in units of the page, y up.
        layer: name of the layer that it is on, empty where there is none.
        is_shown: no layer that it is on is switched off.
    """

    segments: tuple[Segment, ...]
    layer: str
    is_shown: bool = True


@frozen
class _State:
    """Where drawing goes, and on which layers."""

    onto: Affine
    layers: tuple[str, ...] = ()


class PageReader:
    """Reads the paths of the pages of one file.

    Args:
        where: the page, for messages.
        hidden: names of layers that are not shown.
        layer_of: finds the name of the layer that a property list stands for, None where it is no layer.
    """

    def __init__(self, where: str, hidden: set[str], layer_of: Callable[[Any], str | None]) -> None:
        self.where = where
        self.hidden = hidden
        self.layer_of = layer_of
        self.left = _MOST_OPERATORS
        self.bytes_left = _MOST_BYTES
        self.images = 0

    def read(self, contents: Iterator[Any], resources: Any, onto: Affine) -> Iterator[PagePath]:
        """Go through the paths of a page.

        Args:
            contents: its streams.
            resources: its resources.
            onto: from the page's own frame to where paths are wanted.

        Raises:
            DrawingError: it is too large, or forms lead back to themselves.
        """
        data = b"\n".join(self._decoded(stream) for stream in contents)
        yield from self._run(data, resources, _State(onto), 0)

    def _run(self, data: bytes, resources: Any, state: _State, depth: int) -> Iterator[PagePath]:
        saved: list[_State] = []
        marked: list[bool] = []
        pen = _Pen()
        for name, operands in operators(data):
            self.left -= 1
            if self.left < 0:
                raise self._too_large()
            if name in _TAKEN or name == "h":
                numbers = _numbers(operands, _TAKEN.get(name, 0))
                if numbers is None:
                    continue
                if name == "cm":
                    state = replace(state, onto=state.onto.after(Affine(*numbers)))
                else:
                    pen.draw(name, numbers, state.onto)
            elif name in _PAINTED:
                if name in _CLOSING:
                    pen.close()
                layer = state.layers[-1] if state.layers else ""
                is_shown = not self.hidden.intersection(state.layers)
                yield from (PagePath(part, layer, is_shown) for part in pen.parts())
                pen = _Pen()
            elif name == "n":
                pen = _Pen()
            elif name == "q":
                if len(saved) >= _MOST_SAVED:
                    raise self._too_large()
                saved.append(state)
            elif name == "Q":
                # Layers are opened and closed by marks of their own, not by q and Q.
                state = replace(saved.pop(), layers=state.layers) if saved else state
            elif name in ("BDC", "BMC"):
                layer_name = self._layer(name, operands, resources)
                marked.append(layer_name is not None)
                if layer_name is not None:
                    state = replace(state, layers=(*state.layers, layer_name))
            elif name == "EMC":
                if marked and marked.pop():
                    state = replace(state, layers=state.layers[:-1])
            elif name == "Do":
                yield from self._form(operands, resources, state, depth)

    def _form(self, operands: list[Operand], resources: Any, state: _State, depth: int) -> Iterator[PagePath]:
        form = _looked_up(resources, "/XObject", operands[-1] if operands else None)
        if form is None:
            return
        if form.get("/Subtype") == "/Image":
            self.images += 1
        if form.get("/Subtype") != "/Form":
            return
        if depth >= _MOST_DEPTH:
            raise DrawingError(
                f"forms lie more than {_MOST_DEPTH} deep in each other, or lead back to themselves",
                where=self.where,
                mend="Print the page to a new PDF.",
            )
        matrix = [float(value) for value in form.get("/Matrix", (1, 0, 0, 1, 0, 0))]
        if len(matrix) != 6:
            return
        inner = replace(state, onto=state.onto.after(Affine(*matrix)))
        layer = self.layer_of(form.get("/OC")) if "/OC" in form else None
        if layer is not None:
            inner = replace(inner, layers=(*inner.layers, layer))
        own = form.get("/Resources", resources)
        yield from self._run(self._decoded(form), own, inner, depth + 1)

    def _layer(self, name: str, operands: list[Operand], resources: Any) -> str | None:
        if name != "BDC" or len(operands) < 2 or operands[0] != "OC":
            return None
        return self.layer_of(_looked_up(resources, "/Properties", operands[1]))

    def _decoded(self, stream: Any) -> bytes:
        """The bytes of a stream, unpacked no further than a page may hold."""
        filters = stream.get("/Filter")
        named = [] if filters is None else [str(filters)] if not _is_list(filters) else [str(one) for one in filters]
        if named == ["/FlateDecode"] and "/DecodeParms" not in stream:
            unpacking = zlib.decompressobj()
            try:
                data = unpacking.decompress(stream.read_raw_bytes(), self.bytes_left + 1)
            except zlib.error:
                data = stream.read_bytes()
        else:
            raw = len(stream.read_raw_bytes())
            # Other packings grow a stream by no more than this, or are refused.
            if raw * (1 if not named else 50) > self.bytes_left:
                raise self._too_large()
            data = stream.read_bytes()
        self.bytes_left -= len(data)
        if self.bytes_left < 0:
            raise self._too_large()
        return bytes(data)

    def _too_large(self) -> DrawingError:
        return DrawingError(
            "the page holds more than any pattern page", where=self.where, mend="Print this page alone to a new PDF."
        )


class _Pen:
    """Collects one path, its points put through the matrix that holds when they are drawn."""

    def __init__(self) -> None:
        self.done: list[list[Segment]] = []
        self.part: list[Segment] = []
        self.begin: Point | None = None
        self.at: Point | None = None

    def draw(self, name: str, numbers: list[float], onto: Affine) -> None:
        points = [onto((numbers[i], numbers[i + 1])) for i in range(0, len(numbers), 2)]
        if name == "re":
            x, y, width, height = numbers
            corners = [onto(p) for p in ((x, y), (x + width, y), (x + width, y + height), (x, y + height))]
            self._move(corners[0])
            for corner in corners[1:]:
                self._line(corner)
            self.close()
        elif name == "m":
            self._move(points[0])
        elif self.at is None:
            return
        elif name == "l":
            self._line(points[0])
        elif name == "h":
            self.close()
        else:
            first = self.at if name == "v" else points[0]
            second = points[-1] if name == "y" else points[-2]
            self._cubic(first, second, points[-1])

    def close(self) -> None:
        if self.begin is not None and self.at is not None:
            self._line(self.begin)
            begin = self.begin
            self._move(begin)

    def parts(self) -> Iterator[tuple[Segment, ...]]:
        for part in (*self.done, self.part):
            if part and all(math.isfinite(segment.length_mm) for segment in part):
                yield tuple(part)

    def _move(self, point: Point) -> None:
        if self.part:
            self.done.append(self.part)
        self.part, self.begin, self.at = [], point, point

    def _line(self, point: Point) -> None:
        if self.at is not None and math.dist(self.at, point) > _NOTHING:
            self.part.append(Line(self.at, point))
            self.at = point

    def _cubic(self, first: Point, second: Point, end: Point) -> None:
        if self.at is None or max(math.dist(self.at, p) for p in (first, second, end)) <= _NOTHING:
            return
        self.part.append(Cubic(self.at, first, second, end))
        self.at = end


def _numbers(operands: list[Operand], count: int) -> list[float] | None:
    """The last few operands where all are finite numbers within reach."""
    taken = operands[len(operands) - count :] if count else []
    if len(taken) != count or not all(isinstance(one, float) and abs(one) < 1e9 for one in taken):
        return None
    return [float(one) for one in taken if isinstance(one, float)]


def _looked_up(resources: Any, kind: str, name: Operand | None) -> Any:
    if resources is None or not isinstance(name, str):
        return None
    table = resources.get(kind)
    return None if table is None else table.get(f"/{name}")


def _is_list(value: Any) -> bool:
    return not isinstance(value, str) and hasattr(value, "__iter__") and not str(value).startswith("/")
