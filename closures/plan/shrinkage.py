"""What the cloth loses in its first wash."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.kinds import Place, choice, kind
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

WashState = Literal["washed", "unwashed"]

MOST_SHRINKAGE = 0.25
"""A quarter: cloth that loses more is felted on purpose, and no template foresees it."""

_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,4})?)\s*%?")


UNCARRIED = (1.0, 1.0)
"""What the buttonholes of a plan that nobody has carried to unwashed cloth are drawn longer by."""


@frozen
class ShrinkageWish:
    """What the cloth loses in the first wash.

    Attributes:
        along, across: shares of the length down and across the drawing, 0.03 for 3 %.
        measured: the state in which everything in the plan was measured.
        holes: what a buttonhole along the closing line, and one across it, is drawn longer by, so that washed it is as
            long as it must be; 1 in the state that is worn.
        stretched: by what lengths across and down the drawing are longer in this plan than it was told; 1 where it is
            as it was told.
        untold: which of the two the plan left out, so that nothing is lost that way.
    """

    along: float
    across: float
    measured: WashState
    holes: tuple[float, float] = UNCARRIED
    stretched: tuple[float, float] = (1.0, 1.0)
    untold: tuple[str, ...] = ()


@kind("percent")
def percent(value: object, place: Place) -> float:
    """Take a share in percent, ``3 %`` or a bare 3, and give it as a fraction of one."""
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    match = _PERCENT.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise place.error(f"{shown_value(value)} is not a percentage", 'Write one such as "3 %" or "2.5 %".')
    number = float(match[1])
    if "%" not in match[0] and 0.0 < number <= MOST_SHRINKAGE:
        raise place.error(
            f"{shown_value(value)} may be {number:g} % or a share, which is {100 * number:g} %",
            f'Write "{100 * number:g} %", or "{number:g} %" if so little is meant.',
        )
    share = number / 100.0
    if share > MOST_SHRINKAGE:
        raise place.error(
            f"{shown_value(value)} is more than cloth can be foreseen to lose",
            f"Keep it to {MOST_SHRINKAGE:.0%}, or wash the cloth first.",
        )
    return share


def _shrinkage(measured: WashState, along: float | None = None, across: float | None = None) -> ShrinkageWish:
    untold = tuple(key for key, share in (("along", along), ("across", across)) if share is None)
    return ShrinkageWish(along or 0.0, across or 0.0, measured, untold=untold)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "along" not in fields and "across" not in fields:
        yield "along", "neither along nor across is told", 'Add along = "3 %".'


_WASHINGS = {
    "washed": "the cloth is washed already",
    "to be washed": "the cloth is to be washed before it is marked",
    "never": "the cloth is never washed",
}


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.shrinkage is None or plan.garment is None:
        return
    if plan.garment.washing is not None:
        yield (
            "",
            f"sheets for cloth that still loses in a wash are asked for, and {_WASHINGS[plan.garment.washing]}: "
            f'[garment] tells washing = "{plan.garment.washing}"',
            "Measure the cloth as it is marked and leave [shrinkage] out; or leave washing out, where it is marked "
            "before its first wash.",
        )
    elif plan.garment.state == "finished" and plan.shrinkage.measured == "washed":
        yield (
            "measured",
            "sheets for unwashed cloth are asked for, and the garment is finished and was measured washed: [garment] "
            'tells state = "finished"',
            "Leave [shrinkage] out, to mark the washed garment itself; or write the state of the one that is to be "
            'marked, such as state = "cut pieces"; or measured = "unwashed", where it was never washed.',
        )


_CUT_TO_MEASURE = (
    "A strap is cut to its finished measures by its own sheets: wash its cloth first, let it shrink, and leave "
    "[shrinkage] out."
)
_OLD_AND_NEW = (
    "On a garment that is there, old and new places are measured as it lies, and lose alike in a wash: leave "
    "[shrinkage] out."
)


SHRINKAGE = Section(
    name="shrinkage",
    title="Shrinkage",
    meaning="What the cloth loses in its first wash: [how to](../how-to/shrinkage-and-stripes.md). At least one of "
    "`along` and `across`.",
    keys=(
        Key(
            "along",
            percent,
            '"3 %"',
            "down the drawing; at most 25 %",
            label="It loses, down the drawing",
            default="0",
        ),
        Key("across", percent, '"1 %"', "across it", label="and across it", default="0"),
        Key(
            "measured",
            choice("unwashed", "washed"),
            '"unwashed"',
            "the state in which all lengths of the plan were measured",
            label="The lengths here were measured",
            needed=True,
            note="Or washed: the state of the cloth when the lengths of this plan were measured.",
        ),
    ),
    value=_shrinkage,
    not_with=("belt", "row", "swap", "change"),
    instead=(
        ("belt", _CUT_TO_MEASURE),
        ("row", _CUT_TO_MEASURE),
        ("swap", _OLD_AND_NEW),
        ("change", _OLD_AND_NEW),
    ),
    complaints=_complaints,
    against=_against,
)
