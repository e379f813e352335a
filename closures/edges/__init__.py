"""The finished edges and the closing line, however the plan tells them, in one frame.

Millimetres, x to the right, y down, seen from outside with the garment closed. A drawing made from
the inside is turned over on reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.edges.points import smooth_through
from closures.edges.shapes import arc_edge, straight_edge
from closures.errors import DrawingError, EdgeError

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.svg_tree import Tree
    from closures.plan.values import EdgeWish, Plan


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """A point of the drawing that the plan names.

    Attributes:
        name: its id.
        x_mm, y_mm: where it lies.
    """

    name: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Edges:
    """What the garment is marked from.

    Attributes:
        over: the over lap's finished edge, first end to last end.
        under: the under lap's own, where it is drawn.
        line: the closing line, where it is drawn.
        level_zero_y: the y from which levels are measured downwards, in mm.
        points: points of the drawing that the plan names.
    """

    over: Curve
    under: Curve | None
    line: Curve | None
    level_zero_y: float
    points: tuple[NamedPoint, ...]


def read_edges(plan: Plan, drawing: bytes | None) -> Edges:
    """Read the edges that a plan tells.

    Args:
        plan: the plan.
        drawing: the bytes of its drawing, None where it names none.

    Returns:
        Curves in mm. Those of a drawing and measured points are turned over where they were seen
        from inside; the under edge and the closing line run the way of the over edge.

    Raises:
        DrawingError: the drawing cannot be read or does not hold what the plan names.
        EdgeError: the edge cannot be made.
    """
    wish, band, _ = plan.along_an_edge
    inside = band.seen_from == "inside"
    tree = _tree(plan, wish, drawing)

    def drawn(name: str) -> Curve:
        from closures.edges.svg import read_path

        curve = read_path(_needed(plan, tree, name), name)
        return curve.mirrored() if inside else curve

    if wish.path is not None:
        over = drawn(wish.path)
    elif wish.points is not None:
        over = smooth_through(wish.points, f"{plan.where}, [edge] points")
        over = over.mirrored() if inside else over
        _refuse_crossing(over, f"{plan.where}, [edge] points")
    elif wish.straight_mm is not None:
        over = straight_edge(wish.straight_mm)
    elif wish.arc is not None:
        # The over lap's cloth lies on the right hand of the edge for "right over left", towards -x.
        outwards = 1 if band.lap == "right over left" else -1
        towards = outwards if wish.arc.bows == "out" else -outwards
        over = arc_edge(wish.arc.length_mm, wish.arc.radius_mm, 1 if towards > 0 else -1)
    else:
        raise EdgeError(
            "there is no edge", where=f"{plan.where}, [edge]", mend="Write path, points, straight or arc."
        )
    over = over.reversed() if wish.reverse else over
    under = None if wish.under is None else _same_way(drawn(wish.under), over)
    line = None if wish.line is None else _same_way(drawn(wish.line), over)
    points: tuple[NamedPoint, ...] = ()
    zero = over.start[1]
    if isinstance(wish.level_zero, str):
        from closures.edges.svg import read_point

        x, y = read_point(_needed(plan, tree, wish.level_zero), wish.level_zero)
        points = (NamedPoint(wish.level_zero, -x if inside else x, y),)
        zero = y
    elif wish.level_zero is not None:
        zero = float(wish.level_zero)
    return Edges(over, under, line, zero, points)


def _needed(plan: Plan, tree: Tree | None, name: str) -> Tree:
    if tree is None:
        raise DrawingError(
            f'"{name}" is an id in a drawing, and there is no drawing',
            where=f"{plan.where}, [edge]",
            mend='Name the drawing above the sections: drawing = "front.svg".',
        )
    return tree


def _tree(plan: Plan, wish: EdgeWish, drawing: bytes | None) -> Tree | None:
    names = (wish.path, wish.under, wish.line, wish.level_zero)
    if drawing is None or not any(isinstance(name, str) for name in names):
        return None
    from closures.edges.svg_tree import Tree

    return Tree(drawing, plan.drawing or "drawing")


def _same_way(curve: Curve, over: Curve) -> Curve:
    """Turn a curve to run the way of the over edge: of its two ways the one with nearer ends."""
    as_drawn = math.dist(curve.start, over.start) + math.dist(curve.end, over.end)
    turned = math.dist(curve.end, over.start) + math.dist(curve.start, over.end)
    return curve if as_drawn <= turned else curve.reversed()


def _refuse_crossing(curve: Curve, where: str) -> None:
    crossings = curve.crosses_itself()
    if crossings:
        x, y = crossings[0]
        raise EdgeError(
            f"the edge crosses itself at x {x:.1f}, y {y:.1f} mm",
            where=where,
            mend="Write the points in order, from the first end to the last.",
        )


__all__ = ["Edges", "NamedPoint", "read_edges"]
