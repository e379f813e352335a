"""Does the body pass: the head through the neck, shoulders or seat through every ring that stays closed.

Five rules. Their eases are our own, common practice at best, and a body gives, bends and slips as no tape
does: what they find is a reason to try it on, never a promise. Lengths in mm; a level is measured straight
down.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from closures.frozen import frozen
from closures.jobs.gape.body import Girth
from closures.jobs.gape.tables import figure, usual_lengths_mm

Verdict = Literal["pass", "warn", "fail"]
Way = Literal["over the head", "stepping in"]


@frozen
class Ring:
    """A girth of the closed garment at one level; `at_mm` is the level, `round_mm` the girth (stretched, in a knit)."""

    name: str
    at_mm: float
    round_mm: float


@frozen
class Open:
    """A stretch of levels over which the garment is open while it is put on.

    Attributes:
        name: what opens.
        from_mm, to_mm: levels, mm. The ring at either end is whole; an opening that runs out at the neck or the
            hem, where no ring is, goes from minus infinity or to infinity.
    """

    name: str
    from_mm: float
    to_mm: float


@frozen
class Passage:
    """What a rule finds.

    Attributes:
        rule: its number.
        what: what passes through what.
        needs_mm, has_mm: what must be there and what is, in mm.
        result: "warn" where it lacks no more than the ease that we add.
        girth: the girth of the body that it rests on.
        ease_mm: what we add to the body for it.
        at_mm: the level that decides; None where no level does.
    """

    rule: int
    what: str
    needs_mm: float
    has_mm: float
    result: Verdict
    girth: Girth
    ease_mm: float
    at_mm: float | None = None


def slit_for_head_mm(head_mm: float, neck_mm: float, ease_mm: float) -> float:
    """How long a slit must be for the head to pass: rule 1.

    Args:
        head_mm: girth of the head.
        neck_mm: neck edge of the closed garment, stretched as far as it gives.
        ease_mm: added to the head.

    >>> slit_for_head_mm(510, 320, 20)
    105.0
    """
    return max((head_mm + ease_mm - neck_mm) / 2, 0.0)


def head_passes(head: Girth, neck_mm: float, slit_mm: float) -> Passage:
    """Rule 1: the stretched neck edge and twice the slit go round the head with its ease."""
    ease = figure("head ease, woven").range.low
    needs = slit_for_head_mm(head.mm, neck_mm, ease)
    bare = slit_for_head_mm(head.mm, neck_mm, 0.0)
    return Passage(1, "the head through the neck", needs, slit_mm, _verdict(slit_mm, needs, bare), head, ease)


def over_shoulders_mm(shoulders: Girth | None, chest: Girth | None) -> tuple[float, Girth, float] | None:
    """What a ring must measure to be drawn over the head and the shoulders.

    Args:
        shoulders: round both arms, hanging.
        chest: where the arms go in first.

    Returns:
        The girth, what it rests on and the ease in it: the shoulders where they are known, else the chest with its
        ease for raised arms; None where neither is known.
    """
    if shoulders is not None:
        return shoulders.mm, shoulders, 0.0
    if chest is None:
        return None
    ease = figure("chest ease, arms up").range.low
    return chest.mm + ease, chest, ease


def over_seat_mm(seat: Girth) -> tuple[float, Girth, float]:
    """What a ring must measure to be stepped into: the seat and its ease."""
    ease = figure("seat ease").range.low
    return seat.mm + ease, seat, ease


def rings_pass(way: Way, needed: tuple[float, Girth, float], rings: Sequence[Ring], opened: Sequence[Open]) -> Passage:
    """Rules 2 and 3: every ring that stays closed lets the body through.

    Args:
        way: over the head (rule 2) or stepping in (rule 3).
        needed: what a ring must measure, what it rests on and the ease in it.
        rings: of the closed garment, at least one.
        opened: where the garment is open meanwhile.

    Returns:
        The verdict on the tightest ring that stays closed; where none stays closed, on the widest, which passes.
    """
    needs, girth, ease = needed
    rule, body = (2, "the shoulders") if way == "over the head" else (3, "the seat")
    closed = tuple(ring for ring in _between(rings, opened) if not _is_open(ring.at_mm, opened))
    if not closed:
        widest = max(rings, key=lambda ring: ring.round_mm)
        what = f"{body} through the opened garment: no ring that was told stays closed"
        return Passage(rule, what, needs, max(needs, widest.round_mm), "pass", girth, ease)
    tightest = min(closed, key=lambda ring: ring.round_mm)
    result = _verdict(tightest.round_mm, needs, needs - ease)
    what = f"{body} through the ring at the {tightest.name}"
    return Passage(rule, what, needs, tightest.round_mm, result, girth, ease, tightest.at_mm)


def tight_stretches_mm(rings: Sequence[Ring], needs_mm: float) -> tuple[tuple[float, float], ...]:
    """The stretches of levels where the closed garment measures less than is needed.

    Args:
        rings: of the closed garment; between two of them the girth is taken in proportion.
        needs_mm: what a ring must measure.

    Returns:
        Stretches (from, to) in mm of level, rising. What lies outside the rings is not told.
    """
    ordered = sorted(rings, key=lambda ring: ring.at_mm)
    if len(ordered) == 1:
        at = ordered[0].at_mm
        return ((at, at),) if ordered[0].round_mm < needs_mm else ()
    found: list[tuple[float, float]] = []
    for above, below in pairwise(ordered):
        low, high = above.at_mm, below.at_mm
        if above.round_mm >= needs_mm and below.round_mm >= needs_mm:
            continue
        if above.round_mm >= needs_mm:
            low = _level_of(above, below, needs_mm)
        elif below.round_mm >= needs_mm:
            high = _level_of(above, below, needs_mm)
        if found and found[-1][1] == low:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return tuple(found)


def must_reach_mm(rings: Sequence[Ring], needs_mm: float) -> float | None:
    """Rule 4: the level down to which an opening from above must reach; None where none is needed."""
    tight = tight_stretches_mm(rings, needs_mm)
    return tight[-1][1] if tight else None


def opening_reaches(
    way: Way, needed: tuple[float, Girth, float], rings: Sequence[Ring], opened: Sequence[Open]
) -> Passage | None:
    """Rule 4: what is open reaches down past every ring that is too tight.

    Returns:
        The verdict, as levels: what must be reached and what is reached without a break; None where no ring is
        too tight and no opening is needed for this.
    """
    needs, girth, ease = needed
    tight = tight_stretches_mm(rings, needs)
    if not tight:
        return None
    reach = tight[-1][1]
    has = _reached_from(tight[0][0], tight, opened)
    bare = must_reach_mm(rings, needs - ease)
    result = _verdict(has, reach, tight[0][0] if bare is None else bare)
    what = f"the opening down to where the closed garment lets the body through, {way}"
    return Passage(4, what, reach, has, result, girth, ease, reach)


def zip_for_mm(top_stop_mm: float, reach_mm: float) -> tuple[float, float | None]:
    """The zip that a second opening takes: its length, and the shortest usual one that is long enough.

    Args:
        top_stop_mm: level of its top stop.
        reach_mm: level that it must reach.

    Returns:
        The least length, and the usual length; None for the latter where none is as long.
    """
    least = max(reach_mm - top_stop_mm, 0.0)
    return least, next((mm for mm in usual_lengths_mm("zip") if mm >= least), None)


def cuff_passes(hand: Girth, cuff_mm: float) -> Passage:
    """Rule 5: a cuff that stays closed goes over the hand with its ease."""
    return _ring_over("the hand through the cuff", hand, cuff_mm, figure("hand ease").range.low)


def hem_passes(heel: Girth, hem_mm: float) -> Passage:
    """Rule 5: a trouser hem that stays closed goes over heel and ankle with its ease."""
    return _ring_over("the heel through the hem", heel, hem_mm, figure("heel ease").range.low)


def _ring_over(what: str, girth: Girth, has_mm: float, ease_mm: float) -> Passage:
    needs = girth.mm + ease_mm
    return Passage(5, what, needs, has_mm, _verdict(has_mm, needs, girth.mm), girth, ease_mm)


def _verdict(has: float, needs: float, bare: float) -> Verdict:
    if has >= needs:
        return "pass"
    return "warn" if has >= bare else "fail"


def _level_of(above: Ring, below: Ring, round_mm: float) -> float:
    part = (round_mm - above.round_mm) / (below.round_mm - above.round_mm)
    return above.at_mm + part * (below.at_mm - above.at_mm)


def _is_open(at_mm: float, opened: Sequence[Open]) -> bool:
    """At its two ends a slit is closed: the ring there is whole."""
    return any(stretch.from_mm < at_mm < stretch.to_mm for stretch in opened)


def _between(rings: Sequence[Ring], opened: Sequence[Open]) -> tuple[Ring, ...]:
    """The rings told, and those just where what is open begins and ends."""
    ordered = sorted(rings, key=lambda ring: ring.at_mm)
    found = list(ordered)
    for stretch in opened:
        for at in (stretch.from_mm, stretch.to_mm):
            for above, below in pairwise(ordered):
                if above.at_mm < at < below.at_mm:
                    part = (at - above.at_mm) / (below.at_mm - above.at_mm)
                    name = f"{'end' if at == stretch.to_mm else 'start'} of the {stretch.name}"
                    found.append(Ring(name, at, above.round_mm + part * (below.round_mm - above.round_mm)))
    return tuple(found)


def _reached_from(top_mm: float, tight: Sequence[tuple[float, float]], opened: Sequence[Open]) -> float:
    """How far down everything tight is open, from the top of the first tight stretch."""
    reached = top_mm
    for low, high in tight:
        reached = max(reached, low)
        for stretch in sorted(opened, key=lambda stretch: stretch.from_mm):
            # One that starts just where the other ends leaves a whole ring between them.
            if stretch.from_mm < reached < stretch.to_mm:
                reached = max(reached, min(stretch.to_mm, high))
        if reached < high:
            return reached
    return tight[-1][1]
