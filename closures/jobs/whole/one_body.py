"""The one body that a garment goes round: girths that one plan tells are held against those of another."""

from __future__ import annotations

from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

from closures.checks.girths import is_unlike, unlike_belt, unlike_girth
from closures.jobs.whole.tellers import Told, lengths_apart
from closures.lengths import format_length
from closures.said import for_author

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan
    from closures.plan.way_in import RingWish

_CLOSED = {"neck": "neck edge", "cuff": "cuff that stays closed", "hem": "trouser hem"}
"""What a garment has one of, by its key under ``[way_in]``."""


def two_necks(told: Told) -> Iterator[tuple[str, str]]:
    """Refuse two girths of one neck edge, cuff or hem.

    Yields:
        What is wrong and how to mend it.
    """
    for key, what in _CLOSED.items():
        unlike = lengths_apart(told, partial(_closed_mm, key=key), key)
        if unlike:
            yield (
                f"one garment has one {what}, and under [way_in] {unlike}",
                f"Under [way_in] write the same {key} into each of these plans, or leave it out of all but one.",
            )


def _closed_mm(plan: Plan, key: str) -> float | None:
    found: float | None = None if plan.way_in is None else getattr(plan.way_in, f"{key}_mm")
    return found


def unlike_girths(told: Told) -> Iterator[tuple[str, tuple[str, str]]]:
    """Look at girths that lie far apart: rings of one name, what is told of a body, and what goes round it.

    Yields:
        What is to be looked at, and the names of both openings.
    """
    for name in dict.fromkeys(ring.name.casefold() for _, plan in told for ring in _rings(plan)):
        unlike = lengths_apart(told, partial(_ring_mm, name=name), "round")
        if unlike:
            first, *_, last = (one.name for one, plan in told if _ring_mm(plan, name) is not None)
            yield (
                f"Of the closed garment at the {name}, "
                + for_author("under [way_in] ")
                + unlike
                + ". A garment has one girth there: measure it again"
                + for_author(", and write the same into each of these plans")
                + "; where these are two places, or two pieces that "
                "are worn together, give each a name of its own.",
                (first, last),
            )
    for (opening, plan), (other, own) in combinations(told, 2):
        yield from _of_another(opening, plan, other, own)
        yield from _of_another(other, own, opening, plan)
        strap, beside = _strap_round(plan), _strap_round(own)
        if strap is not None and beside is not None and is_unlike(strap[1], (beside[1],)):
            (first, first_mm), (second, second_mm) = strap, beside
            yield (
                f"{opening.name} tells a {first} round {format_length(first_mm, plan.units)} and {other.name} a "
                f"{second} round {format_length(second_mm, plan.units)}: girths of one body seldom lie so far apart. "
                "Look at both and their units.",
                (opening.name, other.name),
            )
        one_mm, other_mm = (None if each.pull is None else each.pull.girth_mm for each in (plan, own))
        if one_mm is not None and other_mm is not None and is_unlike(one_mm, (other_mm,)):
            girths = [format_length(mm, plan.units) for mm in (one_mm, other_mm)]
            yield (
                for_author("Under [pull], ")
                + f"{opening.name} tells "
                + for_author("girth =", "a girth of")
                + f" {girths[0]} and {other.name} tells "
                + for_author("girth =", "one of")
                + f" {girths[1]}: girths of one body seldom lie so far apart. Look at both and their units.",
                (opening.name, other.name),
            )


def _of_another(opening: Opening, plan: Plan, other: Opening, own: Plan) -> Iterator[tuple[str, tuple[str, str]]]:
    """What is unlikely of a plan beside the body that another tells, and that it does not tell itself."""
    body = own.body
    if body is None or plan.body is not None:
        return

    def show(mm: float) -> str:
        return format_length(mm, plan.units)

    is_child = own.is_for_child
    text = unlike_girth(plan, body, show, is_child=is_child) or unlike_belt(plan, body, show, is_child=is_child)
    if text:
        yield text + f" {opening.name} tells the one, and {other.name} the body.", (opening.name, other.name)


def _strap_round(plan: Plan) -> tuple[str, float] | None:
    """What goes round the trunk closed, belt or waistband, and how long that is told to be; None where nothing does."""
    if plan.belt is not None:
        wanted = [mm for mm in (plan.belt.waist_mm, plan.belt.target_mm) if mm is not None]
        return ("belt", wanted[0]) if wanted else None
    row = plan.row
    if row is None or row.piece != "waistband":
        return None
    return "waistband", row.length_mm if row.target_mm is None else row.target_mm


def _rings(plan: Plan) -> tuple[RingWish, ...]:
    return () if plan.way_in is None else plan.way_in.rings


def _ring_mm(plan: Plan, name: str) -> float | None:
    return next((ring.round_mm for ring in _rings(plan) if ring.name.casefold() == name), None)
