"""All further pages and files that a plan can ask for, in the order in which they are used at the table.

A module of this room that holds an ``EXTRA`` is one of them: there is no list to add it to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING

from closures.drawing import extras
from closures.drawing.extras.extra import Drawn, Extra
from closures.drawing.shared_chapters import without_sides
from closures.errors import PlanError
from closures.jobs.whole.mirrored import mirrored
from closures.nearest import nearest_name
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.drawing.paper.piece import LongPiece, Piece
    from closures.drawing.paper.words import Chapter
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


@lru_cache(maxsize=1)
def all_extras() -> tuple[Extra, ...]:
    """List every further sheet, in the order of use."""
    modules = (import_module(f"{extras.__name__}.{found.name}") for found in iter_modules(extras.__path__))
    known = (getattr(module, "EXTRA", None) for module in modules)
    return tuple(sorted((one for one in known if isinstance(one, Extra)), key=lambda one: one.order))


def _of(placement: Placement) -> tuple[Extra, ...]:
    plan, is_strap = placement.plan, placement.plan.strap is not None
    asked = (one for one in all_extras() if (one.on_strap or not is_strap) and one.is_asked(plan))
    return tuple(
        one
        for one in asked
        if not (one.for_setting and placement.sets_nothing) and not (one.for_closing and placement.is_withheld)
    )


def asked_for(plan: Plan, also: Sequence[str] = ()) -> Plan:
    """Add to a plan's wishes what is asked for besides.

    Args:
        plan: the plan; what it says itself stands.
        also: names of further sheets, or "all".

    Returns:
        The plan with both.

    Raises:
        PlanError: a name that is not known, or that a belt or a row cannot have.
    """
    if not also:
        # Nor is any of them imported for a plan that asks for none.
        return plan
    names = [name.strip().lower() for name in also]
    known = {one.name: one for one in all_extras()}
    for name in names:
        if name not in (*known, "all"):
            near = nearest_name(name, (*known, "all"))
            mend = f"Did you mean {near}?" if near else f"Write one of {', '.join(known)}, or all."
            raise PlanError(f"'{name}' is not among the pages that can be made", where="--also", mend=mend)
    wanted = [one for one in all_extras() if "all" in names or one.name in names]
    if plan.strap is not None:
        clashing = sorted(one.name for one in wanted if not one.on_strap)
        if clashing and "all" not in names:
            raise PlanError(
                f"{', '.join(clashing)} cannot be made for a belt or a row: its own sheets tell it already",
                where="--also",
                mend="Leave it out.",
            )
        wanted = [one for one in wanted if one.on_strap]
    for one in wanted:
        plan = one.asked(plan)
        if one.name in names and not one.is_asked(plan):
            raise PlanError(f"this plan has nothing for {one.name}: {one.what}", where="--also", mend="Leave it out.")
    return plan


def goes_with(plan: Plan, name: str) -> bool:
    """Whether a plan can be asked for a page or file by its name."""
    try:
        asked_for(plan, (name,))
    except PlanError:
        return False
    return True


def further_pieces(drawn: Drawn) -> tuple[Piece | LongPiece, ...]:
    """Draw what a plan asks for at full size besides the laps, in the order of use.

    Raises:
        EdgeError: pieces of bands cannot be made.
    """
    return tuple(piece for one in _of(drawn.placement) for piece in one.pieces(drawn))


def further_pieces_of_all(openings: Sequence[Drawn]) -> tuple[tuple[str, Piece | LongPiece], ...]:
    """Draw what the plans of a garment ask for at full size, each with the openings it is for.

    Raises:
        EdgeError: pieces of bands cannot be made.
    """
    found: list[tuple[str, Piece | LongPiece]] = []
    for at, drawn in enumerate(openings):
        for one in _of(drawn.placement):
            if not one.serves_alike:
                served = _served(one, drawn, openings)
                if not served:
                    continue
                names = in_a_row(served)
                # What serves both sides says of neither that it is the left one or the right one.
                as_named = drawn if len(served) < 2 else replace(without_sides(openings)[at], opening=names)
                as_named = replace(as_named, alike=_all_of(served, without_sides(openings)))
                found += [(names, piece) for piece in one.pieces(as_named)]
                continue
            pieces = one.pieces(replace(drawn, opening=""))
            alike = [
                other.opening
                for other in openings
                if one in _of(other.placement) and one.pieces(replace(other, opening="")) == pieces
            ]
            if alike[:1] == [drawn.opening]:
                names = in_a_row(alike)
                found += [(names, piece) for piece in one.pieces(replace(drawn, opening=names))]
    return tuple(found)


def _served(one: Extra, drawn: Drawn, openings: Sequence[Drawn]) -> tuple[str, ...]:
    """The openings that a sheet of this one serves; none where that of one that comes before it serves it."""
    if not one.serves_sides and one.serves is None:
        return (drawn.opening,)
    alike = [
        other.opening
        for other in openings
        if other is drawn or (one in _of(other.placement) and _is_served(one, drawn, other))
    ]
    return tuple(alike) if alike[0] == drawn.opening else ()


def _all_of(served: Sequence[str], openings: Sequence[Drawn]) -> tuple[Drawn, ...]:
    return tuple(one for one in openings if one.opening in served) if len(served) > 1 else ()


def _is_served(one: Extra, drawn: Drawn, other: Drawn) -> bool:
    """Whether what is made for an opening serves another too."""
    return one.serves(drawn) == one.serves(other) if one.serves is not None else _is_other_side(drawn, other)


def _is_other_side(one: Drawn, other: Drawn) -> bool:
    """Whether an opening's plan is another's, turned over for the other side of the body."""
    try:
        turned = mirrored(one.placement.plan)
    except PlanError:
        return False
    return replace(turned, where="") == replace(other.placement.plan, where="")


def further_chapters_of_all(openings: Sequence[Drawn]) -> tuple[tuple[str, tuple[Chapter, ...]], ...]:
    """Write what the plans of a garment ask for in words, in the order of use, with the openings that it is for."""
    found: list[tuple[str, tuple[Chapter, ...]]] = []
    for drawn in openings:
        for one in _of(drawn.placement):
            served = _served(one, drawn, openings)
            chapters = one.chapters(replace(drawn, alike=_all_of(served, openings))) if served else ()
            found += [(in_a_row(served), chapters)] if chapters else []
    return tuple(found)


def further_files(
    placement: Placement,
    findings: Sequence[Finding],
    sheets: Sequence[Sheet],
    catalogue: Catalogue,
    swap: Swap | None = None,
    opening: str = "",
) -> dict[str, bytes]:
    """Make the files that a plan asks for besides the pages: for cutters, projectors, rolls, and to hand over.

    Args:
        placement: the closures as placed.
        findings: what the checks found.
        sheets: the marking templates.
        catalogue: where figures are kept.
        swap: the closures that were there before, None where there were none.
        opening: of a garment with several openings, the name of this one; else empty.

    Returns:
        Name to content. None of it is stretched for a printer: a roll is printed elsewhere.
    """
    drawn = Drawn(placement, findings, catalogue, sheets, swap, opening=opening)
    return {name: data for one in _of(placement) for name, data in one.files(drawn).items()}
