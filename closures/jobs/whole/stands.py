"""The stand of a collar that a garment tells twice: as what continues a front's row, and as a piece of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.jobs.whole.clearances import Clearance
from closures.plan.ends import is_stand
from closures.said import for_author

if TYPE_CHECKING:
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

_ALIKE_MM = 0.5
"""A stand's height told in another unit, rounded, is the same height: half of what a ruler shows (our own)."""


def stands_told_twice(told: Sequence[tuple[Opening, Plan]]) -> Iterator[Clearance]:
    """Look at a collar with closures of its own beside a front whose row a stand continues.

    Both have the button and the buttonhole of the stand: they would be bought, printed and worked twice. A collar that
    is worn over the stand may have its own, so that it is a look.

    Args:
        told: every opening with its plan.
    """
    for front, plan in told:
        for collar, own in told if plan.stand is not None else ():
            if not _is_a_stand(collar, own, plan):
                continue
            text = (
                "The stand of the collar is told twice: "
                + for_author(f"[stand] in {front.plan}", front.name)
                + " sets a closure half way up it, and "
                f"{collar.name} is a collar with closures of its own. Where it is one stand, its closure would be "
                f"bought, printed and worked twice"
                + for_author(f": leave the [[opening]] {collar.name} out, or leave [stand] out of {front.plan}.", ".")
                + " Where it is another collar, all is well."
            )
            yield Clearance("warn", front.name, collar.name, None, None, None, None, text)


def _is_a_stand(opening: Opening, plan: Plan, front: Plan) -> bool:
    """Whether a strap or two laps may be the stand that a front tells: called so, or as long as it is high."""
    if plan.belt is not None or plan.stand is not None:
        return False
    if plan.row is not None and plan.row.piece == "collar":
        return True
    is_called = is_stand(opening.name)
    return is_called or (plan.row is None and _opens(plan) == _opens(front) and _is_as_high(plan, front))


def _is_as_high(plan: Plan, front: Plan) -> bool:
    straight_mm = None if plan.edge is None else plan.edge.straight_mm
    if straight_mm is None or front.stand is None:
        return False
    return abs(straight_mm - front.stand.height_mm) <= _ALIKE_MM


def _opens(plan: Plan) -> str:
    return "front" if plan.garment is None or plan.garment.opens is None else plan.garment.opens
