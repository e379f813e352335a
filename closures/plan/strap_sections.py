"""The sections of a plan that stand for a strap: `[belt]` and `[row]`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from closures.plan.kinds import choice, length, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.strap_kinds import lengths, size_chart, spots
from closures.plan.strap_values import BeltWish, RowWish

MOST_SETTINGS = 60
"""At the least step of any fastener this is half a metre of studs."""

MOST_CARRIERS = 24

_MORE_THAN_NOTHING = length(zero=False)
_OF_BOTH = (
    Key("thickness", _MORE_THAN_NOTHING, '"3.2 mm"'),
    Key("ends", choice("square", "pointed", "rounded"), '"square"'),
    Key("allowance", length(), '"1/2 in"'),
    Key("under_allowance", length(), '"1 in"'),
    Key("made", choice("two pieces", "folded", "one layer"), '"two pieces"'),
    Key("lap", choice("right over left", "left over right"), '"right over left"'),
    Key("between_rims", length(), '"4 mm"'),
    Key("rim_to_edge", length(), '"4 mm"'),
)
_RENAMED = {"over": "between_mm", "caps": "caps_mm"}
_PLAIN = ("settings", "sizes", "measured", "ends", "made", "lap", "carriers")


def _belt(**given: Any) -> BeltWish:
    fields = {key if key in _PLAIN else _RENAMED.get(key, f"{key}_mm"): value for key, value in given.items()}
    fields.setdefault("measured", "middle" if "target" in given else "inside")
    fields.setdefault("under_allowance_mm", fields.get("allowance_mm", 0.0))
    return BeltWish(**fields)


_ROW_PLAIN = ("over", "under", "piece", "pair", "ends", "made", "lap")


def _row(**given: Any) -> RowWish:
    fields = {key if key in _ROW_PLAIN else f"{key}_mm": value for key, value in given.items()}
    fields.setdefault("under_allowance_mm", fields.get("allowance_mm", 0.0))
    return RowWish(**fields)


def _belt_complaints(fields: Fields) -> Iterator[Complaint]:
    if "over" in fields and "target" in fields:
        yield (
            "over",
            "a target is the length of the closed belt already, with all that lies under it",
            "Leave over out, or give the waist instead of the target.",
        )
    if "sizes" in fields and "length" in fields:
        yield "length", "every size has its own length", "Leave length out, or give one waist instead of sizes."


def _row_complaints(fields: Fields) -> Iterator[Complaint]:
    if not {"under", "overlap", "target"} & set(fields):
        yield (
            "under",
            "it is missing, and without it an overlap or a target is needed to work it out from",
            'Add under = ["13 mm", "33 mm"], or overlap = "45 mm".',
        )
    if "target" in fields and "overlap" in fields:
        yield "target", "it says the same as overlap", "Keep one of them."
    height = fields.get("height")
    for key in ("over", "under"):
        for spot in fields.get(key, ()):
            if height is not None and spot.height_mm is not None and spot.height_mm >= height:
                yield (
                    key,
                    f"a height of {spot.height_mm:g} mm from the lower edge is off the strap, {height:g} mm high",
                    "Write a height less than that of the strap.",
                )


BELT = Section(
    name="belt",
    field="belt",
    keys=(
        Key("waist", _MORE_THAN_NOTHING, '"28 in"'),
        Key("target", _MORE_THAN_NOTHING, '"760 mm"'),
        Key("sizes", size_chart, '{ S = "26 in", M = "28 in", L = "30 in" }'),
        Key("over", length(), '"4 mm"'),
        Key("measured", choice("inside", "middle"), '"inside"'),
        Key("width", _MORE_THAN_NOTHING, '"38 mm"', needed=True),
        Key("settings", whole(1, MOST_SETTINGS), "5", needed=True),
        Key("step", _MORE_THAN_NOTHING, '"1 in"', needed=True),
        Key("caps", lengths, '["20 mm", "70 mm"]', needed=True, note="From the over end's tip."),
        Key("free", _MORE_THAN_NOTHING, '"30 mm"'),
        Key("length", _MORE_THAN_NOTHING, '"910 mm"'),
        Key("carriers", whole(0, MOST_CARRIERS), "3"),
        *_OF_BOTH,
    ),
    make=_belt,
    one_of=(("waist", "target", "sizes"),),
    complaints=_belt_complaints,
    instead_of=("edge", "band", "spacing"),
    not_with=("row", "anchor", "clear", "swap", "change"),
)

ROW = Section(
    name="row",
    field="row",
    keys=(
        Key("length", _MORE_THAN_NOTHING, '"250 mm"', needed=True),
        Key("height", _MORE_THAN_NOTHING, '"65 mm"', needed=True),
        Key("over", spots, '["13 mm"]', needed=True, note="From the over end's tip."),
        Key("under", spots, '["13 mm", "33 mm"]'),
        Key("piece", choice("waistband", "cuff", "collar", "bib", "wing", "strap"), '"cuff"'),
        Key("overlap", _MORE_THAN_NOTHING, '"45 mm"'),
        Key("target", _MORE_THAN_NOTHING, '"224 mm"'),
        Key("pair", yes_or_no, "true"),
        *_OF_BOTH,
    ),
    make=_row,
    complaints=_row_complaints,
    instead_of=("edge", "band", "spacing"),
    not_with=("anchor", "clear", "swap", "change"),
)
