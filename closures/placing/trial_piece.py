"""The trial piece of a row: what a closure is tried on before any is set, of the same cloth, layers and backing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import clamped_layers

if TYPE_CHECKING:
    from closures.placing.placement import Placement


def trial_piece(placement: Placement) -> str:
    """Name the trial piece of a row: the same where closure, layers, backing and patch are, so that one serves both.

    Rows that differ in any of them have a piece each: a closure that sits right in one stack may rattle in another. A
    buttonhole is tried as far from the edge and in the same grain as it is worked, and closures that differ as they do.
    """
    plan = placement.row.plan
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
    made = (placement.row.side_word, _kinds(placement.row), _by_the_edge(placement.row))
    return repr((what, worked, clamped_layers(plan), backing, patch, plan.bands, made))


def _kinds(row: Placement) -> tuple[tuple[str, str | None, tuple[int, ...]], ...]:
    """Which marks are of which kind; empty where all are of one."""
    if not row.is_mixed:
        return ()
    return tuple(
        (share.fastener.name, share.plan.closure.hole, tuple(mark.n for mark in share.marks)) for share in row.shares
    )


def _by_the_edge(row: Placement) -> tuple[str, ...]:
    """How far from the edges a row of buttonholes lies, and at what; empty where it has none, or lies on a strap."""
    if row.strap is not None or all(share.fastener.mark.buttonhole_lap is None for share in row.shares):
        return ()
    # Left and right sides are cut alike.
    at = str(row.laps.garment.opens).split()[-1]
    return (at, *(f"{lap.inset_mm:.2f}" for lap in row.laps.both))


def tried_with(placement: Placement) -> str:
    """Say how many closures are bought for the trial piece, a sentence; nothing where it is the one that is tried."""
    # Of closures that differ what is bought for the trial is told of the row.
    trial = placement.row.plan.closure.trial
    if trial == 1:
        return ""
    if not trial:
        return " Nothing is bought for it: take spare parts."
    return f" The parts to buy have {trial} closures for it: where the first is not right, try again with the next."
