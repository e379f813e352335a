"""Cloth that a fastener clamps."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import field
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.lengths import is_length
from closures.plan import sound
from closures.plan.kinds import Range, choice, cloth_name, some_of, span, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

Purpose = Literal["", "outer", "outer and facing", "interlining", "facing", "lining"]
PURPOSES = ("outer", "outer and facing", "interlining", "facing", "lining")
"""What a layer may be for, as plans write it; the two in one are two plies of one cloth."""

MOST_LAYERS = 100

STRUCTURES = ("woven", "knit", "pile", "sheer", "leather", "coated", "padded")
"""How a cloth may be made, as plans write it; a coated knit is both."""

_LAYER = re.compile(
    r"(?:(?P<count>[0-9]{1,9}) ?[x×] ?)?(?P<what>.+?)(?: on (?P<on>[a-z]+))?"
    rf"(?: as (?P<as>{'|'.join(sorted(PURPOSES, key=len, reverse=True))}))?",
    re.IGNORECASE,
)


@frozen
class LayerWish:
    """Cloth that a fastener clamps; cloth, thickness_mm or both are set.

    Attributes:
        cloth: a name in the catalogue or in the user's supplies.
        thickness_mm: of one layer, measured.
        structure: words on how it is made, beside those that the catalogue has for the cloth.
        clamped: the thickness was measured squeezed; None where the plan does not say.
        purpose: what it is for; empty where the plan does not say. It moves no hole, and is in no run mark.
        is_taken: the program put it where it lies, since the plan does not say what it is for; no plan tells this.
        on: the lap or laps it lies on.
        count: how many times it lies there.
        across_mm: where it lies, from the finished edge inwards; None for the whole band.
        along_mm: where it lies along the line; None for all of it.
    """

    cloth: str | None = None
    thickness_mm: float | None = None
    on: Literal["over", "under", "both"] = "both"
    count: int = 1
    across_mm: Range | None = None
    along_mm: Range | None = None
    structure: tuple[str, ...] = ()
    clamped: bool | None = None
    purpose: Purpose = field(default="", repr=False)
    is_taken: bool = field(default=False, repr=False)

    @property
    def lies_all_over(self) -> bool:
        """Whether it lies over the whole of what it lies on, and not on a stretch of it."""
        return self.across_mm is None and self.along_mm is None


def _row(written: str) -> dict[str, Any] | tuple[str, str]:
    """Read ``2 x cotton sateen on over``, or ``0.26 mm``."""
    match = _LAYER.fullmatch(" ".join(written.split()))
    if match is None:
        return {"cloth": written}
    count = {} if match["count"] is None else {"count": int(match["count"])}
    on = {} if match["on"] is None else {"on": match["on"]}
    on |= {} if match["as"] is None else {"as": match["as"].lower()}
    return {**count, **on, "thickness" if is_length(match["what"]) else "cloth": match["what"]}


BOTH_SIDES: Purpose = "outer and facing"
NAMED = {
    "outer": "the outer cloth",
    "outer and facing": "the outer cloth and the facing",
    "interlining": "an interlining",
    "facing": "the facing",
    "lining": "the lining",
}
"""What a layer is for, as sentences call it."""
_ONCE = ("outer", "facing", "lining")
"""What is one ply of a lap; interlinings may be several."""
_LAPS = ("over", "under")


def _complaints(fields: Fields) -> Iterator[Complaint]:
    for key in ("across", "along"):
        if key in fields and fields[key].low_mm == fields[key].high_mm:
            yield key, "it begins where it ends, and lies nowhere", "Write where it begins and where it ends."
    purpose, count = fields.get("as"), fields.get("count", 1)
    if purpose == BOTH_SIDES and count != len(_LAPS):
        yield "as", f"that is two plies, and count tells {count}", "Write count = 2; or what this one ply is for alone."
    elif purpose in _ONCE and count > 1:
        both = "" if purpose == "lining" else f'; or write as = "{BOTH_SIDES}", where two plies of this cloth are both'
        mend = f"Give each ply a [[layer]] of its own, with what it is for{both}."
        yield "as", f"one ply is {NAMED[purpose]}, and count tells {count}", mend


def _against(plan: Plan) -> Iterator[Complaint]:
    for purpose in _ONCE:
        for lap in _LAPS:
            own = [one for one in plan.layers if one.on in (lap, "both") and one.lies_all_over]
            told = [one for one in own if purpose in one.purpose.split(" and ")]
            if len(told) > 1:
                names = " and ".join(one.cloth or "a measured layer" for one in told)
                yield (
                    "as",
                    f"more than one is {NAMED[purpose]} of the {lap} lap: {names}",
                    "Let one of them be it, and write what the others are for; or tell which lap each lies on, or "
                    "which stretch of it, by across or along.",
                )
                break


LAYER = Section(
    name="layer",
    title="Layers",
    meaning="Cloth that a fastener clamps, told from the outside of the garment inwards: the first of a lap is what "
    "is marked.",
    keys=(
        Key(
            "cloth",
            cloth_name,
            '"cotton sateen"',
            "[of the catalogue](cloths.md) or of your supplies",
            label="Cloth",
        ),
        Key(
            "thickness",
            sound.cloth_thickness,
            '"0.26 mm"',
            "of one layer, measured",
            label="How thick, measured",
            default="the cloth's",
        ),
        Key(
            "structure",
            some_of(*STRUCTURES),
            '["knit"]',
            "how it is made, beside what the catalogue says of the cloth",
            label="Made as",
            default="the cloth's",
        ),
        Key(
            "clamped",
            yes_or_no,
            "true",
            "whether the thickness was measured squeezed",
            label="The thickness was measured squeezed",
            default="true for a bare `thickness`, else false",
        ),
        Key(
            "on",
            choice("over", "under", "both"),
            '"both"',
            "the lap it lies on",
            label="On",
            default='"both"',
        ),
        Key(
            "as",
            choice(*PURPOSES),
            '"interlining"',
            "what it is for: the cloth outside, what is fused or sewn in behind that, the facing, or a lining behind "
            'it; `"outer and facing"` of two plies of one cloth',
            label="What it is for",
            default="the order tells it: the first lies outside; asked for where it does not",
            field="purpose",
        ),
        Key("count", whole(1, MOST_LAYERS), "2", "how many times it lies there", label="How many times", default="1"),
        Key(
            "across",
            span(),
            '["0 mm", "12 mm"]',
            "where it lies, from the finished edge inwards",
            label="From the finished edge inwards",
            hint="The whole band if left empty",
            default="the whole band",
        ),
        Key(
            "along",
            span(),
            '["0 mm", "15 mm"]',
            "where it lies along the line",
            label="Along the line",
            hint="All of it if left empty",
            default="all of it",
        ),
    ),
    value=LayerWish,
    repeated=True,
    named_by="cloth",
    only_with=(("clamped", "thickness"),),
    some_of=(("cloth", "thickness"),),
    option="--layer",
    says='A cloth or a thickness: "2 x cotton sateen on over". Repeat it.',
    row=_row,
    complaints=_complaints,
    against=_against,
)
