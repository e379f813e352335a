"""What a tape that cannot be laid is offered: each way is laid and checked as its plan would be, before it is told."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.pulling import place_as_aimed
from closures.checks.rules import check
from closures.checks.usual import doubting_edge
from closures.errors import ClosureError
from closures.plan.kinds import Range
from closures.plan.spacing import SpacingWish
from closures.series import in_a_row
from closures.spacing.fixed_pitch import NoTape, TapeWay

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.edges.reading import Edges
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


def place_or_tell(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Place a row along an edge as the plan aims it; args and errors are those of `place`.

    What a tape is offered that cannot be laid fails no rule, and what is to be looked at with it is named.
    """
    try:
        with doubting_edge(plan, edges, catalogue):
            return place_as_aimed(plan, edges, catalogue)
    except NoTape as error:
        # Wherever the tape lies, this is to be looked at.
        always = _looks(_bare(plan), edges, catalogue) or {}

        def tried(way: TapeWay) -> str | None:
            looks = _looks(_written(plan, way), edges, catalogue)
            if looks is None:
                return None
            new = [rule for rule in looks if rule not in always]
            if any(looks[rule] == "fail" for rule in new):
                return None
            return f" (which gives a look at {in_a_row(new)})" if new else ""

        error.tell_tried(tried)
        raise


def _looks(plan: Plan, edges: Edges, catalogue: Catalogue) -> dict[str, str] | None:
    """The rules by which a plan is not good, with the worst result of each; None where it is refused."""
    try:
        placement = place_as_aimed(plan, edges, catalogue)
    except ClosureError:
        return None
    found: dict[str, str] = {}
    for one in check(placement, catalogue, is_trial=True):
        if one.result != "pass" and found.get(one.rule) != "fail":
            found[one.rule] = one.result
    return found


def _bare(plan: Plan) -> Plan:
    """The plan with its tape laid as is usual, and nothing that it must meet."""
    spacing = None if plan.spacing is None else replace(plan.spacing, first=None, last=None, count=None)
    return replace(plan, anchors=(), clear=(), spacing=spacing)


def _written(plan: Plan, way: TapeWay) -> Plan:
    """The plan with what a way tells."""
    spacing = plan.spacing or SpacingWish()
    spacing = replace(
        spacing,
        first=spacing.first if way.first is None else Range(*way.first),
        last=spacing.last if way.last is None else Range(*way.last),
        count=spacing.count if way.count is None else way.count,
    )
    anchors = tuple(
        replace(one, within_mm=way.within[1]) if way.within is not None and one.name == way.within[0] else one
        for one in plan.anchors
    )
    return replace(plan, spacing=spacing, anchors=anchors)
