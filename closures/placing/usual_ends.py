"""Ends and gaps that nobody told, where more must be known first: which closure lies there, and what a wash takes.

Which closure of a row that differs comes to lie next to an end is known when the row is found. And what is usual is
usual of the garment as it is worn: told of cloth that still shrinks, it is put into the figures of that cloth, once,
and from there on it is as if the plan had told it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import EdgeError, SpacingError
from closures.lengths import SAME_MM
from closures.offered import up_mm
from closures.placing.carrying import carry_along, prepared_in_both
from closures.placing.differing import differing_in, fastener_of
from closures.placing.usual_gap import FEW_WANTED, is_of_coat_cloth, widest_gap
from closures.placing.usual_row import Found, in_words
from closures.plan.kinds import Range
from closures.plan.spacing import SpacingWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.edges.reading import Edges
    from closures.placing.placed import Prepared
    from closures.placing.usual_row import AtEnds, UsualLength
    from closures.plan.closure import ClosureWish
    from closures.plan.plan import Plan
    from closures.spacing import Spacing

Spaced = tuple["Prepared", "Prepared", "Spacing"]
"""A plan prepared as it is worn and as it is marked, and its row as it is worn."""


def spaced_anew(spaced: Callable[[Found], Spaced], catalogue: Catalogue) -> Spaced:
    """Space a row; once more where what nobody told of it would be told otherwise by who saw the row.

    Args:
        spaced: spaces the row, given what is known of it.
        catalogue: fasteners, and the gaps that are usual.
    """
    return _not_wide(lambda wide: _ends_by_their_own(spaced, wide, catalogue), catalogue)


def _not_wide(spaced: Callable[[bool], Spaced], catalogue: Catalogue) -> Spaced:
    """Space a row; once more where nobody told its gaps and one is wider than is usual, with the usual as the widest.

    Nothing is spaced anew where that would only add closures that are hard to work, nor in the cloth of coats, whose
    gaps are judged by that. Where no row has narrower gaps, the first stands, and the checks judge it.

    Args:
        spaced: spaces the row, given whether it is known to be wide.
        catalogue: the gaps that are usual.
    """
    found = spaced(False)
    worn, _, row = found
    plan = worn.plan
    few = bool(FEW_WANTED & plan.profiles)
    if few or "pitch" not in {one.key for one in worn.usual} or is_of_coat_cloth(plan, catalogue):
        return found
    widest = widest_gap(plan, worn.fastener, catalogue)
    told_mm = None if plan.spacing is None else plan.spacing.widest_mm
    if widest is None or told_mm is not None or max(row.gaps_mm, default=0.0) <= widest.mm + SAME_MM:
        return found
    try:
        return spaced(True)
    except (SpacingError, EdgeError):
        return found


def _ends_by_their_own(spaced: Callable[[Found], Spaced], is_wide: bool, catalogue: Catalogue) -> Spaced:
    """Space a row; once more where a closure that differs comes to lie next to an end that nobody told, for that one.

    Where the row that keeps its distance has another closure there, or none of that number, the first row stands, and
    the checks judge it.

    Args:
        spaced: spaces the row, given what is known of it.
        is_wide: as of `Found`.
        catalogue: fasteners.
    """
    found = spaced(Found(None, is_wide))
    plan = found[0].plan
    if not plan.differs or not {"first", "last"} & {one.key for one in found[0].usual}:
        return found
    ends = _last_beyond(found, catalogue) or _at_ends(found, catalogue)
    if all(closure == plan.closure for closure, _ in ends):
        return found
    try:
        again = spaced(Found(ends, is_wide))
        return again if _at_ends(again, catalogue) == ends else found
    except (SpacingError, EdgeError):
        return found


def _last_beyond(spaced: Spaced, catalogue: Catalogue) -> AtEnds | None:
    """What is set next to either end where a number past the row may tell its last, which wants less room; or None."""
    prepared, worn, row = spaced
    plan, count = prepared.plan, len(row.positions_mm)
    numbers = [wish.marks or (() if wish.mark is None else (wish.mark,)) for wish in plan.differs]
    last = max((max(of, default=0) for of in numbers), default=0)
    if last <= count:
        return None
    within = tuple(wish for wish, of in zip(plan.differs, numbers, strict=True) if max(of, default=0) <= count)
    first, _ = _at_ends((replace(prepared, plan=replace(plan, differs=within)), worn, row), catalogue)
    nth = next(nth for nth, of in enumerate(numbers, start=1) if last in of)
    closure = plan.differs[nth - 1].closure(plan.closure)
    return first, (closure, fastener_of(closure, catalogue, "differs", nth))


def _at_ends(spaced: Spaced, catalogue: Catalogue) -> AtEnds:
    prepared, _, row = spaced
    plan = prepared.plan
    differing = differing_in(plan, row, prepared.anchors, prepared.laps.garment.ends, catalogue)

    def at(n: int) -> tuple[ClosureWish, Fastener]:
        own = (plan.closure, prepared.fastener)
        return next(((one.closure, one.fastener) for one in differing if n in one.marks), own)

    return at(1), at(len(row.positions_mm))


def prepared_with_usual(
    plan: Plan, edges: Edges, prepare: Callable[[Plan, Edges], Prepared]
) -> tuple[Prepared, Prepared]:
    """Prepare a plan with a shrinkage in both states, with what is usual once washed where it tells nothing.

    Args:
        plan: as it was told.
        edges: likewise.
        prepare: prepares a plan in one state.
    """
    worn, marked = prepared_in_both(plan, edges, prepare)
    if not worn.usual:
        return worn, marked
    usual = tuple(_as_told(one, worn, marked) for one in worn.usual)
    spacing = plan.spacing or SpacingWish()
    for one in usual:
        spacing = one.put_in(spacing)
    again, there = prepared_in_both(replace(plan, spacing=spacing), edges, prepare)
    lines = tuple(one.line(plan.units, _state(plan, was)).told for one, was in zip(usual, worn.usual, strict=True))
    return replace(again, usual=usual), replace(there, usual=usual, assumed=(*there.assumed, *lines))


def _as_told(usual: UsualLength, worn: Prepared, marked: Prepared) -> UsualLength:
    """A length that is usual once washed, in the figures in which the plan was told."""
    plan, lines = marked.plan, (worn.laps.line, marked.laps.line)
    if plan.shrinkage is None or plan.shrinkage.measured == "washed":
        return usual
    low, high = usual.span.low_mm, usual.span.high_mm
    whole, there = (line.length_mm for line in lines)

    def told(mm: float) -> float:
        if usual.key in ("pitch", "widest") or not 0.0 < mm < whole:
            return mm * there / whole
        if usual.key == "first":
            return carry_along(mm, *lines, plan)
        return there - carry_along(whole - mm, *lines, plan)

    wide = max(told(high) - told(low), 0.0)
    if usual.is_exact:
        return replace(usual, span=Range(told(low), told(low) + wide))
    # As it would be written, rounded so that it is still enough once washed; a range keeps its length.
    least = up_mm(told(low), plan.units)
    return replace(usual, span=Range(least, least + wide))


def _state(plan: Plan, once_washed: UsualLength) -> str:
    """Of what cloth a figure is, with what it is once washed where that is another."""
    if plan.shrinkage is None or plan.shrinkage.measured == "washed":
        return " on the washed garment"
    return f" on the unwashed cloth, {in_words(once_washed.span, plan.units)} once washed"
