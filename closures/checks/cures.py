"""What to write in a plan to move a closure: each is told by the keys of the section that places it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.placing.lap import Lap

SINGLE, DIFFERS, COLUMN, INNER, ROW = "[[single]]", "[[differs]]", "[column]", "inner under [column]", "[closure]"


def section_of(checked: Checked) -> str:
    """The section that tells what is set in hand: the row's own closures, or those that are not like them."""
    share, row = checked.placement, checked.placement.row
    n = share.marks[0].n
    if row.is_single(n):
        return SINGLE
    if n > len(row.marks):
        return COLUMN if row.is_second_column(n) else INNER
    own = row.differing[0].marks if row.differing else {n}
    return ROW if n in own else DIFFERS


def further_in(checked: Checked, lap: Lap, by: str) -> str:
    """What brings a line further in: an inset does it only where neither the line nor the edge beside it is drawn."""
    section = section_of(checked)
    if section == SINGLE:
        return f"{_single_inset(lap.name, is_less=False)} by {by}"
    if section in (COLUMN, INNER) and lap.name == "over":
        return f"Widen apart under {COLUMN} by {by}"
    if checked.placement.strap is None:
        edge, band, _ = checked.placement.plan.along_an_edge
        is_beside = lap.name == "under" and edge.under is not None and edge.under_lies == "closed"
        if edge.line is not None or is_beside:
            return f"Deepen the overlap by {by} in the drawing, at the {lap.name} lap's edge,"
        if lap.name == "under" and (section not in (COLUMN, INNER) or band.is_under_inset_told):
            return f"Widen the under lap's inset, under_inset, by {by}"
    return f"Widen the inset by {by}"


def nearer_to_edge(checked: Checked, lap: LapName) -> str:
    """What brings the end of a hook nearer to the edge of the lap that carries it."""
    section = section_of(checked)
    if section == SINGLE:
        return f"{_single_inset(lap, is_less=True)}."
    if section in (COLUMN, INNER):
        return "Give the columns a closure that lies further in, such as a snap."
    if section == DIFFERS and checked.placement.row.fastener.family != "hook":
        # A band has one inset: to lessen it would move the closures that are none of its kind.
        return f"Tell it under {SINGLE}, with an inset of its own: that of [band] is the whole row's."
    return f"Lessen {'the inset' if lap == 'over' else 'under_inset'}."


def off_the_band(checked: Checked, lap: LapName) -> str:
    """What brings a rim back on a band that ends before it; without a full stop."""
    section = section_of(checked)
    moved = "move the closing line"
    if section == SINGLE:
        told = _single_inset(lap, is_less=True)
        moved = f"{told[0].lower()}{told[1:]}"
    elif checked.placement.row.plan.column is not None and (section in (COLUMN, INNER)) == (lap == "over"):
        _, band, _ = checked.placement.plan.along_an_edge
        moved = "lessen under_inset" if lap == "under" and band.is_under_inset_told else f"lessen apart under {COLUMN}"
    return f"Widen the band, {moved} or take a smaller size"


def _single_inset(lap: LapName, *, is_less: bool) -> str:
    """A single closure is told from the over lap's edge, and lies the further from the under lap's the less that is."""
    return f"{'Lessen' if is_less == (lap == 'over') else 'Widen'} its inset under {SINGLE}"
