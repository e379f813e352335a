"""Cloth that a fastener clamps."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Literal

from closures.frozen import frozen
from closures.lengths import is_length
from closures.plan import sound
from closures.plan.kinds import Range, choice, cloth_name, some_of, span, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section

MOST_LAYERS = 100

STRUCTURES = ("woven", "knit", "pile", "sheer", "leather", "coated", "padded")
"""How a cloth may be made, as plans write it; a coated knit is both."""

_LAYER = re.compile(r"(?:(?P<count>[0-9]{1,9}) ?[x×] ?)?(?P<what>.+?)(?: on (?P<on>[a-z]+))?", re.IGNORECASE)


@frozen
class LayerWish:
    """Cloth that a fastener clamps; cloth, thickness_mm or both are set.

    Attributes:
        cloth: a name in the catalogue or in the user's supplies.
        thickness_mm: of one layer, measured.
        structure: words on how it is made, beside those that the catalogue has for the cloth.
        clamped: the thickness was measured squeezed; None where the plan does not say.
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


def _row(written: str) -> dict[str, Any] | tuple[str, str]:
    """Read ``2 x cotton sateen on over``, or ``0.26 mm``."""
    match = _LAYER.fullmatch(" ".join(written.split()))
    if match is None:
        return {"cloth": written}
    count = {} if match["count"] is None else {"count": int(match["count"])}
    on = {} if match["on"] is None else {"on": match["on"]}
    return {**count, **on, "thickness" if is_length(match["what"]) else "cloth": match["what"]}


def _complaints(fields: Fields) -> Iterator[Complaint]:
    for key in ("across", "along"):
        if key in fields and fields[key].low_mm == fields[key].high_mm:
            yield key, "it begins where it ends, and lies nowhere", "Write where it begins and where it ends."


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
)
