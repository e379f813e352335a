"""Girths of the closed garment taken from the pieces of its drawing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.edges.outlines import width_at_mm
from closures.errors import DrawingError

if TYPE_CHECKING:
    from closures.edges.reading import Edges
    from closures.plan.plan import Plan
    from closures.plan.way_in import RingWish, WayInWish


def with_drawn_girths(plan: Plan, edges: Edges) -> Plan:
    """Put the girths that the drawing tells where the plan leaves them to it.

    Args:
        plan: its way in may name pieces that go round the body.
        edges: what the drawing holds.

    Returns:
        The plan, every ring with its girth.

    Raises:
        DrawingError: a piece does not reach a level, or nothing of it is left there.
    """
    wish = plan.way_in
    if wish is None or all(ring.round_mm is not None for ring in wish.rings):
        return plan
    rings = tuple(ring if ring.round_mm is not None else _drawn(ring, wish, edges, plan) for ring in wish.rings)
    return replace(plan, way_in=replace(wish, rings=rings))


def _drawn(ring: RingWish, wish: WayInWish, edges: Edges, plan: Plan) -> RingWish:
    total = 0.0
    for piece, (outline, zero) in zip(wish.outlines, edges.outlines, strict=True):
        width = width_at_mm(outline, zero + ring.level_mm)
        if width is None or width <= piece.less_mm:
            raise DrawingError(
                f"'{piece.path}' has no width left at the level of '{ring.name}'",
                where=plan.drawing or "drawing",
                mend="Check the level, the piece's zero and its less; or tell the girth with round.",
            )
        total += piece.cut * (width - piece.less_mm)
    return replace(ring, round_mm=total, name=f"{ring.name} (from the drawing)")
