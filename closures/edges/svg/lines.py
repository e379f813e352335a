"""Lines and points of an SVG drawing, in mm.

The drawing's own origin stays: the point (0, 0) of its user units is (0, 0) here, and width,
height and viewBox only give the scale.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.curve import Curve, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.affine import Affine
from closures.edges.boundary import reason_of
from closures.edges.drawing import MOST_MM, point_meant
from closures.edges.judged import closed, judged_edge
from closures.edges.sampled import ReadLine
from closures.edges.svg.commands import placed_parts, shape_commands
from closures.edges.svg.exact import bare, made_exact, tag_of
from closures.edges.svg.path_data import Command, check_path_data, check_points, read_path_data
from closures.edges.svg.tree import Tree
from closures.errors import DrawingError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from xml.etree.ElementTree import Element


def read_paths(data: bytes, ids: Iterable[str], where: str = "drawing") -> dict[str, Curve]:
    """Read lines of a drawing.

    Args:
        data: the bytes of an SVG file.
        ids: ids of paths, lines, polylines, clones of one, or groups that hold just one.
        where: the file's name, for messages.

    Returns:
        A curve in mm for each id, as drawn, x to the right and y down.

    Raises:
        DrawingError: the drawing cannot be read, or an id does not name one open line.
    """
    tree = Tree(data, where)
    return {name: read_path(tree, name).curve for name in ids}


def read_path(tree: Tree, name: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
    """Read one line of a drawing; see `read_paths`."""
    where = tree.at(name)
    root, shape = _placed(tree, name)
    check_shape(shape, where)
    segments = _segments(root, shape, tree, where)
    if not segments:
        raise no_length(where)
    return judged_edge(segments, where, within_mm)


def read_point(tree: Tree, name: str) -> Point:
    """Read the place of a point-like thing; see `point_meant`.

    Args:
        tree: the drawing.
        name: the id.

    Returns:
        The point in mm, as drawn.

    Raises:
        DrawingError: the id does not name one shape, or one too large to be a point.
    """
    where = tree.at(name)
    root, shape = _placed(tree, name)
    moved = Affine() if root is None else transform_of(root, where)
    parts = drawn_parts(shape, moved, tree, where)
    if not parts:
        raise no_length(where)
    return point_meant(parts, where)


def _placed(tree: Tree, name: str) -> tuple[Element | None, Element]:
    """A shape, and the drawing cut down to it; none where nothing moves it: most lines need no reader of drawings."""
    element = tree.element(name)
    return (None, element) if tree.transforms_of(element, tree.at(name)) == [] else tree.alone(name)


def _segments(root: Element | None, shape: Element, tree: Tree, where: str) -> list[Segment]:
    moved = Affine() if root is None else transform_of(root, where)
    return [segment for part in drawn_parts(shape, moved, tree, where) for segment in part]


def check_shape(shape: Element, where: str) -> None:
    """Refuse a shape that is no open line, told from what is written."""
    tag = tag_of(shape)
    if tag in ("polygon", "rect", "circle", "ellipse"):
        raise closed(where)
    if tag == "path":
        check_path_data(shape.attrib.get("d", ""), where)


def no_length(where: str) -> DrawingError:
    """The refusal of a line without a length."""
    return DrawingError("this line has no length", where=where, mend="Draw it again.")


def transform_of(root: Element, where: str) -> Affine:
    """All that moves the one shape under a root, by attributes and by style.

    Only that is asked of the reader of drawings: the shape itself is read here.
    """
    import io
    from xml.etree import ElementTree

    import svgelements

    for one in root.iter():
        # What stands for a shape has a length, so that it is not passed over.
        for key, stand_in in _STAND_INS.get(tag_of(one), ()):
            one.attrib[key] = stand_in
    source = io.BytesIO(ElementTree.tostring(root))
    try:
        drawing = svgelements.SVG.parse(source, reify=False, on_error="raise")
        shapes = [one for one in drawing.elements() if isinstance(one, svgelements.Shape)]
    except (ValueError, TypeError, IndexError, AttributeError, ZeroDivisionError) as error:
        raise DrawingError(
            f"this cannot be read{reason_of(error)}", where=where, mend="Save the drawing as plain SVG."
        ) from None
    if len(shapes) != 1:
        raise DrawingError(
            "nothing is drawn here: it is hidden",
            where=where,
            mend="Show it in the drawing (display), or draw it again.",
        )
    origin = str(shapes[0].values.get("transform-origin", "0"))
    if any(word.strip("0. pxm%") for word in origin.split()) or origin.strip("0. pxm%"):
        raise DrawingError(
            "it is turned about a transform-origin, which is not read",
            where=where,
            mend="Apply the transforms in the drawing program, or save as plain SVG.",
        )
    return _affine(shapes[0].transform)


_STAND_INS = {
    "path": (("d", "M0 0H1"),),
    "polyline": (("points", "0,0 1,0"),),
    "polygon": (("points", "0,0 1,0 1,1"),),
    "line": (("x1", "0"), ("y1", "0"), ("x2", "1"), ("y2", "0")),
    "circle": (("r", "1"),),
    "ellipse": (("rx", "1"), ("ry", "1")),
    "rect": (("x", "0"), ("y", "0"), ("width", "1"), ("height", "1")),
}


def plain_transform(transforms: Sequence[str]) -> Affine:
    """Transforms one inside the other, the innermost first; quicker than reading a drawing of them."""
    onto = Affine()
    for text in transforms:
        import svgelements

        onto = _affine(svgelements.Matrix(text)).after(onto)
    return onto


def _affine(matrix: Any) -> Affine:
    return Affine(*(float(matrix[i]) for i in range(6)))


def drawn_parts(shape: Element, moved: Affine, tree: Tree, where: str) -> list[list[Segment]]:
    """Segments of each separate part of a shape in mm, those of no length left out.

    Args:
        shape: as it stands in the drawing.
        moved: all that moves it, in user units.
        tree: the drawing.
        where: the place for messages.
    """
    onto = Affine(tree.scale.x, 0.0, 0.0, tree.scale.y, 0.0, 0.0).after(moved)
    if not onto.is_usable:
        raise DrawingError(
            "its transform leaves nothing of it", where=where, mend="Apply the transforms while drawing."
        )
    parts = placed_parts(_commands(shape, tree, where), onto)
    for segment in (segment for part in parts for segment in part):
        if not max(map(abs, (*segment.start, *segment.end))) <= MOST_MM:
            raise DrawingError(
                f"it reaches beyond {MOST_MM / 1000:.0f} m", where=where, mend="Check the drawing's scale."
            )
    return parts


def _commands(shape: Element, tree: Tree, where: str) -> list[Command]:
    tag = tag_of(shape)
    if tag == "path":
        return read_path_data(shape.attrib.get("d", ""), where)
    if tag in ("polyline", "polygon"):
        check_points(shape.attrib.get("points", ""), where)
        return shape_commands(shape)
    return shape_commands(made_exact(bare(shape), tree.sheet, where))
