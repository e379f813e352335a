"""Places that are told soundly and hardly meant: a first closure far below a neck, a last one far above a hem, a bust
right at a neck, a hidden closure beyond its row.

Another unit or another beginning of the tape puts them there, and nothing else in a plan shows it. A garment may be
made so, and then all is well: these are looked at, and nothing is refused.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.placing.placement import PlacedAnchor

NAMES_OF_BUST = ("bust", "apex")
"""What is in the name of a place that is told at the bust."""
_NECKS = ("neck", "first end")
"""What the first end is called where a row may begin at a neck: an edge of which nobody told what opens is a front."""


def far_below(checked: Checked, found_mm: float, usual_mm: float) -> Finding | None:
    """Does the first closure lie further below a neck than anything in the plan explains?

    Args:
        checked: the placement, worn.
        found_mm: from the first end to the first centre.
        usual_mm: what is usual there at least.
    """
    placement = checked.placement
    gap_mm = _gap_mm(checked)
    if gap_mm is None or placement.ends[0] not in _NECKS or _is_explained(checked):
        return None
    gaps = checked.limit_mm("first at most gaps")
    limit_mm = usual_mm + gaps * gap_mm
    if found_mm <= limit_mm + SAME_MM:
        # What lies nearer than is usual is judged by that.
        return _exchanged(checked, found_mm, gap_mm) if found_mm > usual_mm + SAME_MM else None
    text = (
        f"The first centre lies {checked.show(found_mm)} from the {placement.ends[0]}, and the gaps of the row are "
        f"{checked.show(gap_mm)}: nothing in the plan says what closes above it. If the opening is to stay open there, "
        "as under a lapel, all is well. If not, see whether the figure of first under [spacing] and its unit are the "
        "ones meant."
    )
    source = checked.source("first at most gaps")
    return Finding("end distance", "warn", text, source, None, 1, found_mm, limit_mm)


def far_above(checked: Checked, found_mm: float, usual_mm: float) -> Finding | None:
    """Does the last closure lie further above a hem than anything in the plan explains?

    Args:
        checked: the placement, worn.
        found_mm: from the last centre to the last end.
        usual_mm: what is usual there at least.
    """
    placement = checked.placement
    plan, ends_mm = placement.plan, placement.marks[-1].along_mm
    gap_mm = _gap_mm(checked)
    if gap_mm is None or placement.ends[1] != "hem" or plan.swap is not None:
        return None
    limit_mm = usual_mm + checked.limit_mm("last at most gaps") * gap_mm
    if found_mm <= limit_mm + SAME_MM or _is_explained_below(checked, ends_mm):
        return None
    text = (
        f"The last centre lies {checked.show(found_mm)} above the hem, and the gaps of the row are "
        f"{checked.show(gap_mm)}: nothing in the plan says what closes below it. If the opening is to fall open there, "
        "all is well. If not, see whether the figure of last under [spacing] and its unit are the ones meant, and "
        "whether the edge ends where the opening does."
    )
    source = checked.source("last at most gaps")
    return Finding("end distance", "warn", text, source, None, placement.marks[-1].n, found_mm, limit_mm)


def _gap_mm(checked: Checked) -> float | None:
    """The mean gap of the row, or the pitch that a single closure was told with; None where neither is known."""
    gaps_mm, spacing = checked.placement.spacing.gaps_mm, checked.placement.plan.spacing
    if gaps_mm:
        return sum(gaps_mm) / len(gaps_mm)
    return None if spacing is None else spacing.pitch_mm


def _is_explained_below(checked: Checked, ends_mm: float) -> bool:
    """Whether the plan tells why its row ends where it does, or what closes below it."""
    placement = checked.placement
    if any(abs(one.along_mm - ends_mm) <= one.within_mm + SAME_MM for one in placement.anchors):
        return True
    if any(high > ends_mm for zone in placement.zones for _, high in zone.stretches_mm):
        return True
    return any(mark.along_mm > ends_mm for line in placement.beside for mark in line.marks)


def _exchanged(checked: Checked, found_mm: float, gap_mm: float) -> Finding | None:
    """Does the row begin more than a gap below the neck and run on to less than one before its other end?"""
    placement = checked.placement
    left_mm = placement.laps.line.length_mm - placement.marks[-1].along_mm
    if found_mm <= gap_mm + SAME_MM or left_mm >= gap_mm - SAME_MM:
        return None
    first, last = placement.ends
    text = (
        f"The first centre lies {checked.show(found_mm)} from the {first}, further than a gap of the row "
        f"({checked.show(gap_mm)}), and the last {checked.show(left_mm)} from the {last}. If the opening is to stay "
        "open at its beginning, all is well. If not, see whether first and last under [spacing] are exchanged."
    )
    return Finding("end distance", "warn", text, "our own rule", None, 1, found_mm, gap_mm)


def _is_explained(checked: Checked) -> bool:
    """Whether the plan tells why its row begins where it does, or what closes above it."""
    placement = checked.placement
    plan, begins_mm = placement.plan, placement.marks[0].along_mm
    if any(one is not None for one in (plan.stand, plan.column, plan.swap)):
        return True
    if any(abs(one.along_mm - begins_mm) <= one.within_mm + SAME_MM for one in placement.anchors):
        return True
    if any(low < begins_mm for zone in placement.zones for low, _ in zone.stretches_mm):
        return True
    return any(mark.along_mm < begins_mm for line in placement.beside for mark in line.marks)


def hidden_beyond_row(checked: Checked) -> Finding | None:
    """Does the hidden closure lie beyond the row that it is to hold, found a place for there or told there?"""
    placement = checked.placement
    column = placement.plan.column
    if column is None or column.inner is None or not placement.beside:
        return None
    hidden, marks = placement.beside[-1].marks[0], placement.marks
    low_mm, high_mm = marks[0].along_mm, marks[-1].along_mm
    if low_mm - SAME_MM <= hidden.along_mm <= high_mm + SAME_MM:
        return None
    off_mm = max(low_mm - hidden.along_mm, hidden.along_mm - high_mm)
    side = "before the first" if hidden.along_mm < low_mm else "beyond the last"
    why = "see whether its level within inner is the one meant."
    if column.inner.level_mm is None:
        why = (
            "between two marks it would come too near to one. Fewer closures leave it room, or a smaller one behind; "
            "or tell its level within inner."
        )
    text = f"The hidden closure lies {checked.show(off_mm)} {side} mark of the row: {why}"
    return Finding("end distance", "warn", text, "our own rule", None, hidden.n, off_mm, 0.0)


def bust_at_neck(checked: Checked, anchor: PlacedAnchor) -> Finding | None:
    """Does a place that is called the bust lie right at the neck, where there is none?"""
    placement = checked.placement
    limit_mm, end = checked.limit_mm("bust from the neck"), placement.ends[0]
    is_bust = any(word in anchor.name.casefold() for word in NAMES_OF_BUST)
    if not is_bust or end not in _NECKS or anchor.along_mm >= limit_mm - SAME_MM:
        return None
    text = (
        f"{anchor.name} lies {checked.show(anchor.along_mm)} from the {end}, where a bust is only if the {end} is cut "
        "down to it: see whether its figure and its unit are the ones meant, and from where it was measured."
    )
    nearest = min(placement.marks, key=lambda mark: abs(mark.along_mm - anchor.along_mm))
    return Finding(
        "strain point",
        "warn",
        text,
        checked.source("bust from the neck"),
        None,
        nearest.n,
        anchor.along_mm,
        limit_mm,
    )
