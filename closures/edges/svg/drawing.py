"""An SVG drawing as lines and points that a plan can name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.curve import Point
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.drawing import MOST_LINES, Drawn, DrawnPoint, PointKind
from closures.edges.judged import judged_edge
from closures.edges.pieces import join_pieces
from closures.edges.sampled import ReadLine
from closures.edges.svg.exact import is_unsized, pixels_of
from closures.edges.svg.lines import drawn_parts, plain_transform, read_path, read_point, transform_of
from closures.edges.svg.tree import Tree
from closures.errors import DrawingError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# Each shape is read with all that moves it: so many take some ten seconds.
_MOST_SHAPES = 20_000

# A shape no larger than this is a mark on the piece, not a line of it.
_SPOT_MM = 12.0

# Words in a name or a layer by which a small shape is known.
_SPOT_WORDS: tuple[tuple[str, PointKind], ...] = (
    ("notch", "notch"),
    ("drill", "drill hole"),
    ("hole", "drill hole"),
    ("point", "point"),
)
_NUMBERED = re.compile(r"[a-z]*[-_ ]*[0-9][-_0-9]*|", re.IGNORECASE)


class SvgDrawing:
    """An SVG drawing.

    Args:
        data: the bytes of the file.
        where: its name, for messages.
        unit_mm: how long a user unit is; None to take it from the drawing.

    Raises:
        DrawingError: it is not an SVG drawing, or does not say its size and nobody else does.
    """

    def __init__(self, data: bytes, where: str, unit_mm: float | None = None) -> None:
        self.where = where
        self.tree = Tree(data, where, unit_mm)
        self.tree.longest_lines = self._longest_lines

    def _longest_lines(self) -> list[str]:
        """Names of what could be an edge, the longest first; none of a drawing of too many shapes."""
        try:
            return [line.name for line in sorted(self.all_lines(), key=lambda line: -line.length_mm)]
        except DrawingError:
            return []

    @property
    def pixels(self) -> tuple[float, float, float] | None:
        """Width and height in px and px to a unit, where the size is told in px or without a unit."""
        return pixels_of(self.tree.root)

    @property
    def is_unsized(self) -> bool:
        """Whether no width and no height is told."""
        return is_unsized(self.tree.root)

    def lines(self, name: str) -> Sequence[Drawn]:
        """The lines of one shape, or of all shapes in a group or layer."""
        shapes = self.tree.shapes_in(name)
        if len(shapes) > MOST_LINES:
            raise DrawingError(f"it holds {len(shapes)} shapes", where=self.tree.at(name), mend="Name the line itself.")
        found = [line for one in shapes for line in self._drawn(one, name if len(shapes) == 1 else "")]
        if not found:
            raise DrawingError("nothing is drawn here", where=self.tree.at(name), mend="Name a line that is drawn.")
        return found

    def point(self, name: str) -> Point:
        """The place that a small shape or a notch was drawn for."""
        return read_point(self.tree, name)

    def edge(self, name: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
        """The one open line with this name; the pieces of a group are joined where they touch."""
        if len(self.tree.shapes_in(name)) > 1:
            chains = join_pieces(self.lines(name))
            if len(chains) == 1:
                return judged_edge(chains[0], self.tree.at(name), within_mm)
        return read_path(self.tree, name, within_mm)

    def all_lines(self) -> Iterator[Drawn]:
        """Every line that is drawn; what cannot be read is passed over."""
        if len(self.tree.shapes) > _MOST_SHAPES:
            raise DrawingError(
                f"it holds {len(self.tree.shapes)} shapes", where=self.where, mend="Save the pattern piece alone."
            )
        for one in self.tree.shapes:
            if self.tree.is_drawn(one):
                try:
                    yield from self._drawn(one)
                except DrawingError:
                    continue

    def points(self) -> Iterator[DrawnPoint]:
        """Small shapes that are a notch, a hole or a point: by their name or layer, or a closed one that has a name.

        What a drawing program numbers, such as circle12, has no name that a person gave it.
        """
        for one in self.tree.shapes:
            name = self.tree.name_of(one)
            words = f"{name} {self.tree.layer_of(one)}".casefold()
            kind = next((kind for word, kind in _SPOT_WORDS if word in words), None)
            is_named = not _NUMBERED.fullmatch(name)
            if not (kind or is_named) or not self.tree.is_drawn(one):
                continue
            try:
                lines = self._drawn(one)
                x, y = self.point(name)
            except DrawingError:
                continue
            is_closed = all(line.is_closed for line in lines)
            if lines and max(line.length_mm for line in lines) <= 4 * _SPOT_MM and (kind or is_closed):
                yield DrawnPoint(name, kind or "point", x, y)

    def _drawn(self, shape: Element, called: str = "") -> list[Drawn]:
        name = called or self.tree.name_of(shape)
        where = self.tree.at(name)
        transforms = self.tree.transforms_of(shape)
        if transforms is None:
            root, inner = self.tree.alone(name, shape)
            moved = transform_of(root, where)
        else:
            inner, moved = shape, plain_transform(transforms)
        layer = self.tree.layer_of(shape)
        return [Drawn(name, tuple(part), layer) for part in drawn_parts(inner, moved, self.tree, where)]
