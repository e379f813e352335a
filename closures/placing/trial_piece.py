"""The trial piece of a row: what a closure is tried on before any is set, of the same cloth, layers and backing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import clamped_layers

if TYPE_CHECKING:
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


def trial_piece(plan: Plan) -> str:
    """Name the trial piece of a plan: the same where closure, layers, backing and patch are, so that one serves both.

    Rows that differ in any of them have a piece each: a closure that sits right in one stack may rattle in another.
    """
    closure, sheets = plan.closure, plan.sheets
    what = (
        closure.trial,
        closure.kind,
        closure.size,
        closure.cap_mm,
        closure.grip_mm,
        closure.thickness_mm,
        closure.hole,
    )
    worked = (closure.bound, closure.halves, plan.differs, plan.gauge is not None, plan.state, plan.shrinkage)
    backing = None if sheets is None else sheets.backing
    patch = None if plan.swap is None else plan.swap.patch_mm
    return repr((what, worked, clamped_layers(plan), backing, patch, plan.bands))


def tried_with(placement: Placement) -> str:
    """Say how many closures are bought for the trial piece, a sentence; nothing where it is the one that is tried."""
    # Of closures that differ what is bought for the trial is told of the row.
    trial = placement.row.plan.closure.trial
    if trial == 1:
        return ""
    if not trial:
        words = " Nothing is bought for it: take spare parts, or tell trial under [closure]."
        return placement.plan.in_words(words)
    return f" The parts to buy have {trial} closures for it: where the first is not right, try again with the next."
