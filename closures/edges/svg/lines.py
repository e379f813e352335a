"""Lines and points of an SVG drawing, in mm.

The drawing's own origin stays: the point (0, 0) of its user units is (0, 0) here, and width,
height and viewBox only give the scale.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from closures.curve import Arc, Cubic, Curve, Line, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.boundary import reason_of
from closures.edges.drawing import MOST_MM
from closures.edges.judged import closed, judged_edge
from closures.edges.sampled import ReadLine
from closures.edges.svg.path_data import check_path_data, check_points
from closures.edges.svg.tree import Tree
from closures.errors import DrawingError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from xml.etree.ElementTree import Element

# Arcs that an uneven scale or a skew makes into ellipses are cut into cubics of a 32nd of a circle,
# which leave a circle of radius r by 1e-9 r.
_ARC_SHARE = 1 / 32

# Segments and gaps shorter than this are drawing noise.
_NOTHING_MM = 1e-6

# Where a transform keeps circles round, to this share.
_ROUND = 1e-9


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
    root, shape = tree.alone(name)
    check_shape(shape, where)
    drawn = drawn_shape(root, where)
    return judged_edge(drawn_segments(drawn, tree, where), where, within_mm)


def read_point(tree: Tree, name: str) -> Point:
    """Read the place of a point-like thing: the first point of a line, the centre of a closed shape.

    Args:
        tree: the drawing.
        name: the id.

    Returns:
        The point in mm, as drawn.

    Raises:
        DrawingError: the id does not name one shape.
    """
    where = tree.at(name)
    root, shape = tree.alone(name)
    tag = shape.tag.rsplit("}", 1)[-1]
    if tag == "path":
        check_path_data(shape.attrib.get("d", ""), where, one_open=False)
    elif tag in ("polyline", "polygon"):
        check_points(shape.attrib.get("points", ""), where)
    segments = drawn_segments(drawn_shape(root, where), tree, where)
    if tag in ("path", "line", "polyline"):
        return segments[0].start
    x0, y0, x1, y1 = Curve(tuple(segments)).box
    return ((x0 + x1) / 2, (y0 + y1) / 2)


def check_shape(shape: Element, where: str) -> None:
    tag = shape.tag.rsplit("}", 1)[-1]
    if tag in ("polygon", "rect", "circle", "ellipse"):
        raise closed(where)
    if tag == "path":
        check_path_data(shape.attrib.get("d", ""), where)
    elif tag == "polyline":
        check_points(shape.attrib.get("points", ""), where)


def drawn_shape(root: Element, where: str) -> Any:
    """The one shape under a root, with its transforms collected in one matrix, not yet applied."""
    import io
    from xml.etree import ElementTree

    import svgelements

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
            "nothing is drawn here: it is hidden, or has no length",
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
    return shapes[0]


def plain_shape(data: str, transforms: Sequence[str]) -> Any:
    """A path with the transforms about it, the innermost first; quicker than reading a drawing of it."""
    import svgelements

    shape = svgelements.Path(data)
    for text in transforms:
        shape.transform *= svgelements.Matrix(text)
    return shape


def drawn_segments(shape: Any, tree: Tree, where: str) -> list[Segment]:
    """Segments of a shape in mm, those of no length left out."""
    parts = drawn_parts(shape, tree, where)
    kept = [segment for part in parts for segment in part]
    if not kept:
        raise DrawingError("this line has no length", where=where, mend="Draw it again.")
    return kept


def drawn_parts(shape: Any, tree: Tree, where: str) -> list[list[Segment]]:
    """Segments of each separate part of a shape in mm, those of no length left out."""
    import svgelements

    matrix = shape.transform * svgelements.Matrix(tree.scale.x, 0, 0, tree.scale.y, 0, 0)
    a, b, c, d, e, f = (float(matrix[i]) for i in range(6))
    if not all(map(math.isfinite, (a, b, c, d, e, f))) or abs(a * d - b * c) < 1e-18:
        raise DrawingError(
            "its transform leaves nothing of it", where=where, mend="Apply the transforms while drawing."
        )

    def placed(p: Any) -> Point:
        return (a * p.x + c * p.y + e, b * p.x + d * p.y + f)

    plain = svgelements.Path(shape.segments(transformed=False))
    size = abs(a * d - b * c)
    is_round = math.hypot(a - d, b + c) < _ROUND * math.sqrt(size) or (
        math.hypot(a + d, b - c) < _ROUND * math.sqrt(size)
    )
    parts: list[list[Segment]] = []
    found: list[Segment] = []
    pen: Point | None = None
    for one in plain:
        kind = type(one).__name__
        if kind == "Move":
            pen = placed(one.end)
            found = []
            parts.append(found)
            continue
        if pen is None or one.end is None:
            continue
        if kind == "Arc" and one.sweep:
            found += _arc_pieces(one, matrix, placed, is_round)
        elif kind in ("Line", "Close", "Arc"):
            found.append(Line(pen, placed(one.end)))
        elif kind == "QuadraticBezier":
            found.append(_raised(pen, placed(one.control), placed(one.end)))
        else:
            found.append(_cubic(pen, placed(one.control1), placed(one.control2), placed(one.end)))
        pen = placed(one.end)
    for segment in (segment for part in parts for segment in part):
        if not max(map(abs, (*segment.start, *segment.end))) <= MOST_MM:
            raise DrawingError(
                f"it reaches beyond {MOST_MM / 1000:.0f} m", where=where, mend="Check the drawing's scale."
            )
    kept = [[segment for segment in part if segment.length_mm > _NOTHING_MM] for part in parts]
    return [part for part in kept if part]


def _arc_pieces(arc: Any, matrix: Any, placed: Any, is_round: bool) -> list[Segment]:
    """An arc as one where its circle stays round, else as cubics, put through the matrix at last."""
    import svgelements

    if is_round and abs(arc.rx - arc.ry) <= _ROUND * arc.rx:
        centre, start = placed(arc.center), placed(arc.start)
        radius = math.dist(centre, start)
        turned = 1 if matrix[0] * matrix[3] - matrix[1] * matrix[2] > 0 else -1
        angle = math.atan2(start[1] - centre[1], start[0] - centre[0])
        return [Arc(centre, radius, angle, turned * float(arc.sweep))]
    path = svgelements.Path(svgelements.Move(arc.start), arc)
    path.approximate_arcs_with_cubics(error=_ARC_SHARE)
    return [
        Cubic(placed(one.start), placed(one.control1), placed(one.control2), placed(one.end))
        for one in path
        if type(one).__name__ == "CubicBezier"
    ]


def _raised(p0: Point, q: Point, p3: Point) -> Segment:
    """A quadratic as the same cubic."""
    return _cubic(
        p0,
        (p0[0] + 2 / 3 * (q[0] - p0[0]), p0[1] + 2 / 3 * (q[1] - p0[1])),
        (p3[0] + 2 / 3 * (q[0] - p3[0]), p3[1] + 2 / 3 * (q[1] - p3[1])),
        p3,
    )


def _cubic(p0: Point, p1: Point, p2: Point, p3: Point) -> Segment:
    """A cubic, or the line that it is where its points lie on one in order."""
    chord = Line(p0, p3)
    if chord.length_mm > _NOTHING_MM:
        tx, ty = chord.tangent(0.0)
        shares = [(p[0] - p0[0]) * tx + (p[1] - p0[1]) * ty for p in (p1, p2)]
        beside = max(abs((p[1] - p0[1]) * tx - (p[0] - p0[0]) * ty) for p in (p1, p2))
        if beside < 1e-9 and 0 <= shares[0] <= shares[1] <= chord.length_mm:
            return chord
    elif max(math.dist(p0, p) for p in (p1, p2)) <= _NOTHING_MM:
        return chord
    return Cubic(p0, p1, p2, p3)
