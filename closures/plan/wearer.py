"""Who wears the garment, and what differs for that wearer from the printed pattern."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.nearest import nearest_name
from closures.plan.kinds import Faults, Place, any_length, choice, kind, more_than_nothing, some_of, text
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

ProfileName = Literal["weak hands", "single hand", "quick change", "child", "child under three", "implants"]
Market = Literal["EU", "US", "elsewhere"]
MOST_LINES = 20


@frozen
class LongerWish:
    """A pattern made longer at a named line, as the wearer needs it.

    Attributes:
        line: what the line is called.
        level_mm: its level on the printed pattern.
        by_mm: how much longer; shorter where it is negative.
    """

    line: str
    level_mm: float
    by_mm: float


@frozen
class FitWish:
    """What differs from the printed pattern for one wearer.

    Attributes:
        size: the size that is cut, None where the plan has one size only.
        bust_level_mm, waist_level_mm: the wearer's own, measured like the plan's levels, after any change of
            length; they win over everything else.
        bust_girth_mm: round the bust, from which the bust level is reckoned where it was not measured.
        neck_mm: level of the pit of the neck, from which a reckoned bust level is measured; None where levels begin
            at the neck and nothing else is told.
        longer: changes of length.
    """

    size: str | None = None
    bust_level_mm: float | None = None
    waist_level_mm: float | None = None
    bust_girth_mm: float | None = None
    neck_mm: float | None = None
    longer: tuple[LongerWish, ...] = ()


@frozen
class WearerWish:
    """Who wears the garment.

    Attributes:
        profiles: sets of rules and notes that are asked for, each once; `Plan.profiles` has those that the body tells
            besides.
        implants: what the wearer and those who help answered to the question on implants; "allowed" where somebody has
            one, and their clinic or its maker allows these magnets.
        fit: what differs from the printed pattern; None where nothing does.
        sold: where the garment is sold or given out; empty where the plan does not say.
    """

    profiles: tuple[ProfileName, ...] = ()
    implants: Literal["none", "some", "allowed", "not asked"] = "not asked"
    fit: FitWish | None = None
    sold: tuple[Market, ...] = ()


def _wearer(profiles: Any = (), implants: Any = "not asked", sold: Any = (), **fit: Any) -> WearerWish:
    return WearerWish(profiles, implants, FitWish(**fit) if fit else None, sold)


@kind("list of tables", "tables")
def length_changes(value: object, place: Place) -> tuple[LongerWish, ...]:
    """Take a list of named lines and how much longer the pattern becomes there."""
    example = 'Write [{ line = "above the waist", level = "300 mm", by = "15 mm" }].'
    if not isinstance(value, list) or not 0 < len(value) <= MOST_LINES:
        raise place.error(f"{shown_value(value)} changes no length", example)
    faults = Faults()
    read = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, dict) or set(one) != {"line", "level", "by"}:
            raise inner.error(f"{shown_value(one)} does not tell a line, a level and a length", example)
        line = faults.read(text, one["line"], inner.inner("line"))
        level = faults.read(any_length, one["level"], inner.inner("level"))
        by = faults.read(any_length, one["by"], inner.inner("by"))
        if by == 0:
            raise inner.error("nothing is added and nothing taken away", "Leave this line out.")
        read.append(LongerWish(line, level, by))
    faults.raise_if_any()
    return tuple(read)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "bust_girth" in fields and "bust_level" in fields:
        yield "bust_girth", "the bust level was measured, so none is reckoned", "Leave bust_girth out."


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell what `[wearer]` names that the rest of the plan does not hold."""
    sizes, fit = plan.sizes, plan.fit
    if fit is None:
        return
    if plan.edge is None or plan.swap is not None:
        mend = "Leave bust_level, waist_level, bust_girth and longer out."
        yield "", "only a plan of new closures along an edge is fitted", mend
    begins = None if plan.edge is None else plan.edge.level_zero
    begins = begins if begins is not None or sizes is None else sizes.level_zero
    if fit.bust_girth_mm is not None and fit.neck_mm is None and begins is not None:
        # Told from a shoulder, and reckoned from the neck, a bust would lie too high by what is between them.
        mend = (
            'Write neck = "30 mm" where the pit of the neck lies 30 mm below the place that levels are counted from, '
            'or neck = "0 mm" where it lies level with it.'
        )
        what = (
            "it is missing: a bust level is reckoned from the pit of the neck, and levels are told to begin elsewhere"
        )
        yield "neck", what, mend
    if sizes is not None and fit.size is None:
        mend = f'Add size = "{sizes.base}", the size that is cut.'
        yield "size", "it is missing, and the plan has several sizes", mend
    if sizes is not None and fit.size is not None and fit.size not in sizes.names:
        near = nearest_name(fit.size, sizes.names)
        mend = f"Did you mean {near}?" if near else f"There are {', '.join(sizes.names)}."
        yield "size", f"there is no size {shown_value(fit.size)}", mend
    if sizes is None and fit.size is not None:
        yield "size", "the plan has one size only", "Leave size out, or add [sizes]."


WEARER = Section(
    name="wearer",
    title="Wearer",
    meaning="Who wears it, and what differs for that wearer from the printed pattern.",
    keys=(
        Key(
            "profiles",
            some_of("weak hands", "single hand", "quick change", "child", "child under three", "implants"),
            '["weak hands"]',
            "sets of rules and notes that are asked for",
            label="Notes and rules for",
            default="none",
        ),
        Key(
            "implants",
            choice("none", "some", "allowed", "not asked"),
            '"none"',
            'what wearer and carers answered; `"allowed"` where somebody has one, and their clinic, or for a device of '
            "another kind its maker, allows these magnets in writing",
            label="Implants: wearer and carers answered",
            default='"not asked"',
        ),
        Key(
            "sold",
            some_of("EU", "US", "elsewhere"),
            '["EU"]',
            "where the garment is sold or given out: of the rules for children's clothing only those are told",
            label="Sold in",
            default="the rules of the EU and of the US are told",
        ),
        Key(
            "size",
            text,
            '"12"',
            "of a plan with `[sizes]`, the size that is cut; needed there",
            label="The size that is cut",
        ),
        Key(
            "bust_level",
            any_length,
            '"221 mm"',
            "the wearer's own; it wins over the printed one",
            label="Bust level, measured",
        ),
        Key("waist_level", any_length, '"405 mm"', "likewise", label="Waist level, measured"),
        Key(
            "bust_girth",
            more_than_nothing,
            '"96 cm"',
            "lets the bust level be reckoned where it was not measured, with a warning. Not with `bust_level`",
            label="Round the bust",
        ),
        Key(
            "neck",
            any_length,
            '"0 mm"',
            "level of the pit of the neck, from which a reckoned level is measured. Only with `bust_girth`, and needed "
            "with it where `level_zero` is told",
            label="Level of the pit of the neck",
            default="0, the first end of the edge",
        ),
        Key(
            "longer",
            length_changes,
            '[{ line = "above the waist", level = "300 mm", by = "15 mm" }]',
            "the pattern is cut at each line, and everything below it moves",
            label="Made longer or shorter at",
        ),
    ),
    value=_wearer,
    only_with=(("neck", "bust_girth"),),
    complaints=_complaints,
    against=_against,
)
