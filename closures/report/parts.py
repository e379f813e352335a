"""What to buy: the parts of every closure, lap by lap, with spare and trial pieces."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.jobs.swap.patches import PATCH_BEHIND, parts_outside
from closures.placing.lacing import lace_of
from closures.placing.looped import loop_of
from closures.placing.nothing_set import nothing_set
from closures.placing.tape import length_both_ways
from closures.placing.taped import tape_to_buy_mm, taped_in_words
from closures.report.unlike import Measures, apart_by, in_words, measures_of
from closures.said import for_author

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.placing.lacing import Lace
    from closures.placing.placement import Placement


@frozen
class PartCount:
    """How many of one part to have at hand.

    Attributes:
        part: its trade name, in the singular.
        lap: the lap that carries it.
        count: how many the marks take.
        spare: how many to have over.
        trial: how many the trial pieces take.
        closure: kind and size of what it belongs to, where a row has more than one; else empty.
    """

    part: str
    lap: str
    count: int
    spare: int
    trial: int
    closure: str = ""

    @property
    def named(self) -> str:
        """Its name, with what it belongs to where a row has more than one."""
        return f"{self.part}, {self.closure}" if self.closure else self.part

    @property
    def total(self) -> int:
        """How many in all."""
        return self.count + self.spare + self.trial


def count_parts(placement: Placement) -> tuple[PartCount, ...]:
    """Count the parts, in the order in which they stack, over lap first.

    Args:
        placement: the closures as placed; a mark counts only on a lap that carries it, and twice in a pair; one
            whose closure is another, sewn on, counts as that.

    Returns:
        One row for each part and lap.
    """
    if placement.is_withheld:
        return ()
    if placement.is_mixed:
        return _parts_of_shares(placement)
    closure = placement.plan.closure
    pieces = 1 if placement.strap is None else placement.strap.pieces
    tried = closure.trial * (2 if placement.is_partly_patched else 1)
    own = [mark for mark in placement.new_marks if mark.n not in placement.sewn_apart]
    carried = {
        "over": sum(mark.over is not None for mark in own),
        "under": sum(mark.under is not None for mark in own),
    }
    if not placement.new_marks:
        # Nothing is set, and so nothing is tried, nor had over.
        closure, tried = replace(closure, spare=0, trial=0), 0
    # What comes on a tape is bought by its length alone.
    parts = tuple(
        PartCount(
            part.name,
            part.lap,
            carried[part.lap] * part.each * pieces,
            closure.spare * part.each,
            tried * part.each,
        )
        for part in placement.fastener.parts
        if placement.plan.tape is None
    )
    behind = closure.trial if placement.patched else 0
    besides = tuple(
        PartCount(part, lap, count, 0, behind if part == PATCH_BEHIND else 0) for part, lap, count in placement.besides
    )
    patches = tuple(PartCount(part, lap, count, 0, closure.trial) for part, lap, count in parts_outside(placement))
    return tuple(row for row in (*parts, *patches, *besides) if row.total)


def _parts_of_shares(placement: Placement) -> tuple[PartCount, ...]:
    """Count the parts of closures that differ; what differs in its buttonhole alone takes the same parts.

    Spare and trial pieces are had once of one kind and size, wherever it is set.
    """
    had_over = set[str]()
    rows: dict[tuple[str, str, str], PartCount] = {}
    named: dict[str, set[Measures]] = {}
    for share in placement.shares:
        named.setdefault(share.fastener.name, set()).add(measures_of(share))
    for share in placement.shares:
        unlike = in_words(apart_by(measures_of(share), named[share.fastener.name]))
        name = f"{share.fastener.name}, {unlike}" if unlike else share.fastener.name
        for one in count_parts(share):
            key = (name, one.part, one.lap)
            had = rows.get(key, PartCount(one.part, one.lap, 0, 0, 0))
            spare, trial = (0, 0) if name in had_over else (one.spare, one.trial)
            rows[key] = PartCount(one.part, one.lap, had.count + one.count, had.spare + spare, had.trial + trial, name)
        had_over.add(name)
    is_mixed = len({name for name, _, _ in rows}) > 1
    return tuple(rows.values() if is_mixed else (replace(row, closure="") for row in rows.values()))


def to_change_spare(placement: Placement) -> str:
    """Say how spare and trial pieces are changed, a sentence."""
    return placement.plan.in_words("To change that: spare or trial under [closure].")


def lengths_to_buy(placement: Placement) -> tuple[tuple[str, float], ...]:
    """What is bought by its length, each with how many mm one garment takes, spare and trial pieces counted in."""
    if placement.is_withheld:
        return ()
    lace, loop, closure = lace_of(placement), loop_of(placement), placement.plan.closure
    found = [] if lace is None else [("lace", lace.cut_mm)]
    if loop is not None:
        found.append(("cord for loops", loop.cut_mm * (len(placement.marks) + closure.spare + closure.trial)))
    if placement.plan.tape is not None:
        found.append(("either tape", tape_to_buy_mm(placement)))
    return tuple(found)


def lace_in_words(placement: Placement) -> tuple[str, ...]:
    """Tell how long a lace must be, with the gap, drawn together and let out; of eyelets without one, that none is.

    Nothing of one that is held back.
    """
    lace = lace_of(placement)
    if placement.is_withheld:
        return ()
    if lace is None:
        return _unlisted_lace(placement)
    units = placement.plan.units
    show = partial(length_both_ways, units=units)
    worn, cut = show(lace.worn_mm), show(lace.cut_mm)
    gap, across = (
        told[0]
        if told[0] == told[1]
        else f"{told[0]} at the {placement.ends[0]} to {told[1]} at the {placement.ends[1]}"
        for ends in ((lace.gap_mm, lace.gap_last_mm), (lace.across_mm, lace.across_last_mm))
        for told in [[show(mm) for mm in ends]]
    )
    is_even = lace.gap_mm == lace.gap_last_mm
    changes = "grows" if lace.gap_last_mm > lace.gap_mm else "narrows"
    way = "crossed from side to side" if lace.way == "crossed" else "as a ladder"
    tied = show((lace.cut_mm - lace.worn_mm) / 2 if lace.is_cut_to_open else lace.tied_mm)
    return (
        f"Lace of {cut}, rounded up: {worn} through the eyelets, {way}, and {tied} at either end to tie.",
        f"That is with a gap of {gap} between the edges all along, {across} from eyelet to eyelet."
        if is_even
        else f"That is with a gap that {changes} evenly from {gap}; from eyelet to eyelet from {across}.",
        f"Drawn together, it runs {show(lace.together_mm)} through the eyelets.",
        _let_out(lace, show),
    )


def _unlisted_lace(placement: Placement) -> tuple[str, ...]:
    """Say of eyelets whose lace nobody told that none is among what is to buy, and why."""
    if all(share.fastener.family != "eyelet" for share in placement.shares):
        return ()
    told = "No lace or cord is listed: the plan does not tell how it is laced."
    garment = placement.plan.garment
    if placement.strap is not None:
        return (told,)
    if garment is not None and garment.is_meeting:
        return (told + for_author(placement.plan.in_words(" Write [lacing], and its length is told.")),)
    mend = ' Of edges that meet, write edges = "meeting" under [garment] and [lacing].'
    return (told + for_author(placement.plan.in_words(mend)),)


def _let_out(lace: Lace, show: Callable[[float], str]) -> str:
    """Tell how far a lace lets the edges open while it is in all its eyelets, a sentence."""
    if lace.let_out_mm is not None and lace.opened_mm is not None:
        left = show((lace.cut_mm - lace.opened_mm) / 2)
        return (
            f"Let out till the edges stand {show(lace.let_out_mm)} apart all along, to get in, it runs "
            f"{show(lace.opened_mm)} through the eyelets and {left} is left at either end."
        )
    return (
        f"With {show(lace.held_mm)} held at either end it lets the edges open to {show(math.floor(lace.most_mm))} all "
        "along, and no further: who needs more to get in laces it anew each time"
    ) + for_author(", or tells let_out under [lacing].", ".")


def loops_in_words(placement: Placement) -> tuple[str, ...]:
    """Tell how long each loop is and how much cord all take; nothing where there are none."""
    loop, closure = loop_of(placement), placement.plan.closure
    if loop is None:
        return ()
    show = partial(length_both_ways, units=placement.plan.units)
    total = len(placement.marks) + closure.spare + closure.trial
    cord = dict(lengths_to_buy(placement))["cord for loops"]
    return (
        f"Loops: {show(loop.length_mm)} of cord from foot to foot, cut {show(loop.cut_mm)} with what is sewn in at "
        f"either end; drawn straight each reaches {show(loop.reach_mm)} past the edge, to the button's middle. "
        f"To buy: {show(cord)} of cord for {total}, spare and trial counted in.",
    )


def parts_in_words(placement: Placement) -> tuple[str, ...]:
    """Tell what to have at hand, a line for each part and lap."""
    unset = nothing_set(placement)
    if unset is not None:
        return (unset.to_buy,)
    rows = []
    for part in count_parts(placement):
        more = [f"{part.spare} spare" if part.spare else "", f"{part.trial} for trial" if part.trial else ""]
        named = ", ".join(one for one in more if one)
        rows.append(
            f"{part.total} × {part.named}, {part.lap} {placement.side_word}"
            + (f" ({named} among them)" if named else "")
        )
    lace = lace_of(placement)
    laced = lace_in_words(placement)
    # Far more is left to tie than was asked for where the lace is cut to let its wearer in: what it is for is told too.
    laced = (laced[0], laced[-1]) if lace is not None and lace.is_cut_to_open else laced[:1]
    return (*rows, *laced, *taped_in_words(placement), *loops_in_words(placement))
