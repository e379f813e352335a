"""Places that are told soundly and hardly meant: a first closure far below a neck, a last one far above a hem, a bust
right at a neck, a hidden closure beyond its row.

Another unit or another beginning of the tape puts them there, and nothing else in a plan shows it. A garment may be
made so, and then all is well: these are looked at, and nothing is refused.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.plan.ends import is_bust, may_be_neck
from closures.said import for_author, to_both

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.placing.placement import PlacedAnchor
    from closures.spacing.fixed_pitch import End


def far_below(checked: Checked, found_mm: float, usual_mm: float) -> Finding | None:
    """Does the first closure lie further below a neck than anything in the plan explains?

    Args:
        checked: the placement, worn.
        found_mm: from the first end to the first centre.
        usual_mm: what is usual there at least.
    """
    placement = checked.placement
    gap_mm = _gap_mm(checked)
    is_told = any(one is not None for one in (placement.plan.stand, placement.plan.column, placement.plan.swap))
    if gap_mm is None or is_told or not may_be_neck(placement.ends[0]) or _is_explained(checked, "first"):
        return None
    limit_mm = usual_mm + checked.limit_mm("first at most gaps") * gap_mm
    if found_mm <= limit_mm + SAME_MM:
        # What lies nearer than is usual is judged by that.
        return _exchanged(checked, found_mm, gap_mm) if found_mm > usual_mm + SAME_MM else None
    words = Words("first", f"from the {placement.ends[0]}", "above", "stay open there, as under a lapel,")
    return _left_open(checked, words, found_mm, gap_mm, limit_mm)


def far_above(checked: Checked, found_mm: float, usual_mm: float) -> Finding | None:
    """Does the last closure lie further above a hem than anything in the plan explains?

    Args:
        checked: the placement, worn.
        found_mm: from the last centre to the last end.
        usual_mm: what is usual there at least.
    """
    placement = checked.placement
    gap_mm = _gap_mm(checked)
    if gap_mm is None or placement.ends[1] != "hem" or placement.plan.swap is not None:
        return None
    limit_mm = usual_mm + checked.limit_mm("last at most gaps") * gap_mm
    if found_mm <= limit_mm + SAME_MM or _is_explained(checked, "last"):
        return None
    also = ", and whether the edge ends where the opening does"
    words = Words("last", "above the hem", "below", "fall open there,", also)
    return _left_open(checked, words, found_mm, gap_mm, limit_mm)


@frozen
class Words:
    """How an end that is left open is told of.

    Attributes:
        key: the end, as a plan calls it.
        lies: where its closure lies, after how far.
        side: on which side of it nothing closes.
        meant: what the opening may be meant to do there.
        also: what else is to be looked at.
    """

    key: End
    lies: str
    side: str
    meant: str
    also: str = ""


def _left_open(checked: Checked, words: Words, found_mm: float, gap_mm: float, limit_mm: float) -> Finding:
    """A look at an end that is left open further than anything in the plan explains."""
    text = (
        f"The {words.key} centre lies {checked.show(found_mm)} {words.lies}, and the gaps of the row are "
        f"{checked.show(gap_mm)}: nothing in the plan says what closes {words.side} it. If the opening is to "
        f"{words.meant} all is well. If not, see whether "
        + for_author(f"the figure of {words.key} under [spacing] and its unit are", "that figure and its unit are")
        + f" the ones meant{words.also}."
    )
    n = checked.placement.marks[0 if words.key == "first" else -1].n
    source = checked.source(f"{words.key} at most gaps")
    return Finding("end distance", "warn", text, source, None, n, found_mm, limit_mm, "most")


def _gap_mm(checked: Checked) -> float | None:
    """The mean gap of the row, or the pitch that a single closure was told with; None where neither is known."""
    gaps_mm, spacing = checked.placement.spacing.gaps_mm, checked.placement.plan.spacing
    if gaps_mm:
        return sum(gaps_mm) / len(gaps_mm)
    return None if spacing is None else spacing.pitch_mm


def _is_explained(checked: Checked, end: End) -> bool:
    """Whether the plan tells why its row begins or ends where it does, or what closes beyond."""
    placement = checked.placement
    at_mm = placement.marks[0 if end == "first" else -1].along_mm

    def is_beyond(mm: float) -> bool:
        return mm < at_mm if end == "first" else mm > at_mm

    if any(abs(one.along_mm - at_mm) <= one.within_mm + SAME_MM for one in placement.anchors):
        return True
    if any(is_beyond(mm) for zone in placement.zones for stretch in zone.stretches_mm for mm in stretch):
        return True
    return any(is_beyond(mark.along_mm) for line in placement.beside for mark in line.marks)


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
        "open at its beginning, all is well. If not, see whether the two "
        + for_author("figures, first and last under [spacing],", "figures")
        + " are exchanged."
    )
    return Finding("end distance", "warn", text, "our own rule", None, 1, found_mm, gap_mm)


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
    told = f"The hidden closure lies {checked.show(off_mm)} {side} mark of the row"
    text = told + for_author(f": {why}", ".")
    return Finding("end distance", "warn", text, "our own rule", None, hidden.n, off_mm, 0.0)


def bust_at_neck(checked: Checked, anchor: PlacedAnchor) -> Finding | None:
    """Does a place that is called the bust lie right at the neck, where there is none?"""
    placement = checked.placement
    limit_mm, end = checked.limit_mm("bust from the neck"), placement.ends[0]
    if not is_bust(anchor.name) or not may_be_neck(end) or anchor.along_mm >= limit_mm - SAME_MM:
        return None
    text = (
        f"{anchor.name} lies {checked.show(anchor.along_mm)} from the {end}, where a bust is only if the {end} is cut "
        "down to it: see whether its figure and its unit are the ones meant, and from where it was measured."
    )
    text = to_both(text)
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
