"""The sections of a plan as a table: which keys each has, what they hold, which go together.

A new section is one more row of `SECTIONS`, and a field of `Plan`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from closures.plan.edge_kinds import place_on_line
from closures.plan.edge_sections import ARC as ARC
from closures.plan.edge_sections import EDGE
from closures.plan.kinds import choice, grip, length, length_or_range, rising, span, text, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.size_sections import SIZES
from closures.plan.strap_sections import BELT, ROW
from closures.plan.values import (
    AnchorWish,
    BandWish,
    ChangeWish,
    ClearWish,
    ClosureWish,
    HoleWish,
    LayerWish,
    LengthenWish,
    SpacingWish,
    SwapWish,
)
from closures.plan.workshop_sections import WORKSHOP_SECTIONS

MOST_CLOSURES = 5000
"""Ten metres at 2 mm: far beyond any opening, and an answer still comes in reasonable time."""

MOST_LAYERS = 100

MOST_OLD = 200
"""Old closures of one opening: each is met with every new one, and no garment has as many."""


def _band(
    width: float,
    lap: Any,
    under_width: float | None = None,
    inset: float | None = None,
    under_inset: float | None = None,
    seen_from: Any = "outside",
) -> BandWish:
    under_width_mm = width if under_width is None else under_width
    return BandWish(
        width_mm=width,
        under_width_mm=under_width_mm,
        inset_mm=width / 2 if inset is None else inset,
        under_inset_mm=under_width_mm / 2 if under_inset is None else under_inset,
        lap=lap,
        seen_from=seen_from,
    )


def _in_mm(make: Callable[..., Any], *lengths: str) -> Callable[..., Any]:
    """Make a value whose fields are the keys, some of them with _mm at their end."""

    def made(**given: Any) -> Any:
        return make(**{f"{name}_mm" if name in lengths else name: value for name, value in given.items()})

    return made


def _spacing_complaints(fields: Fields) -> Iterator[Complaint]:
    if "closest" in fields and "widest" in fields and fields["closest"] > fields["widest"]:
        yield "closest", "it is more than widest", "Write a closest that is no more than the widest."


_MORE_THAN_NOTHING = length(zero=False)

TOP = Section(
    name="",
    field="",
    keys=(
        Key("title", text, '"Summer dress"'),
        Key("units", choice("mm", "in"), '"mm"'),
        Key("drawing", text, '"front.svg"'),
        Key("supplies", text, '"my-pack.toml"'),
    ),
    make=dict,
)

BAND = Section(
    name="band",
    field="band",
    keys=(
        Key("width", _MORE_THAN_NOTHING, '"1 1/2 in"', needed=True),
        Key("under_width", _MORE_THAN_NOTHING, '"1 1/2 in"'),
        Key("inset", length(), '"3/4 in"'),
        Key("under_inset", length(), '"3/4 in"'),
        Key(
            "lap",
            choice("right over left", "left over right"),
            '"right over left"',
            needed=True,
            note="Or left over right: the sides are the wearer's own, and they are never guessed.",
        ),
        Key("seen_from", choice("outside", "inside"), '"outside"'),
    ),
    make=_band,
    needed=True,
)

CLOSURE = Section(
    name="closure",
    field="closure",
    keys=(
        Key("kind", text, '"prong snap"', needed=True),
        Key("size", text, '"16 L"', needed=True),
        Key("cap", _MORE_THAN_NOTHING, '"10.2 mm"'),
        Key("grip", grip, '["0.5 mm", "1.5 mm"]'),
        Key("thickness", _MORE_THAN_NOTHING, '"3 mm"'),
        Key("hole", choice("along", "across"), '"along"'),
        Key("halves", choice("usual", "turned"), '"usual"'),
        Key("spare", whole(0, MOST_CLOSURES), "2"),
        Key("trial", whole(0, MOST_CLOSURES), "1"),
    ),
    make=_in_mm(ClosureWish, "cap", "grip", "thickness"),
    needed=True,
)

SPACING = Section(
    name="spacing",
    field="spacing",
    keys=(
        Key("first", length_or_range, '"5/8 in"', needed=True),
        Key("last", length_or_range, '"2 in"', needed=True),
        Key("pitch", _MORE_THAN_NOTHING, '"3 in"'),
        Key("count", whole(1, MOST_CLOSURES), "8"),
        Key("widest", _MORE_THAN_NOTHING, '"3 1/2 in"'),
        Key("closest", _MORE_THAN_NOTHING, '"1 in"'),
    ),
    make=_in_mm(SpacingWish, "pitch", "widest", "closest"),
    needed=True,
    one_of=(("pitch", "count"),),
    complaints=_spacing_complaints,
)

ANCHOR = Section(
    name="anchor",
    field="anchors",
    keys=(
        Key("name", text, '"bust point"', needed=True),
        Key("level", length(least_mm=None), '"9 1/4 in"'),
        Key("along", length(), '"8 in"'),
        Key("at", place_on_line, '"notch-2"'),
        Key("within", length(), '"1/8 in"'),
        Key("which", whole(1, MOST_CLOSURES), "1"),
    ),
    make=_in_mm(AnchorWish, "level", "along", "within"),
    repeated=True,
    one_of=(("level", "along", "at"),),
    only_with=(("which", "level"),),
)

CLEAR = Section(
    name="clear",
    field="clear",
    keys=(
        Key("name", text, '"belt"', needed=True),
        Key("level", span(least_mm=None), '["15 in", "17 in"]'),
        Key("along", span(), '["14 in", "16 in"]'),
        Key("room", choice("rim", "centre"), '"rim"'),
    ),
    make=_in_mm(ClearWish, "level", "along"),
    repeated=True,
    one_of=(("level", "along"),),
)

LAYER = Section(
    name="layer",
    field="layers",
    keys=(
        Key("cloth", text, '"cotton sateen"'),
        Key("thickness", _MORE_THAN_NOTHING, '"0.26 mm"'),
        Key("on", choice("over", "under", "both"), '"both"'),
        Key("count", whole(1, MOST_LAYERS), "2"),
        Key("across", span(), '["0 mm", "12 mm"]'),
        Key("along", span(), '["0 mm", "15 mm"]'),
    ),
    make=_in_mm(LayerWish, "thickness", "across", "along"),
    repeated=True,
    one_of=(("cloth", "thickness"),),
)


def _swap_complaints(fields: Fields) -> Iterator[Complaint]:
    row = [name for name in ("last", "count") if name not in fields]
    if "first" in fields and row:
        yield "first", f"an even row needs {' and '.join(row)} as well", "Add it, or give all the places."


OLD_HOLE = Section(
    name="hole",
    field="hole",
    keys=(
        Key("made", yes_or_no, "true", needed=True, note="true: cut or pierced already, false: only drawn."),
        Key("way", choice("along", "across"), '"along"'),
        Key("length", _MORE_THAN_NOTHING, '"16 mm"'),
        Key("past", length(), '"3 mm"'),
    ),
    make=_in_mm(HoleWish, "length", "past"),
    only_with=(("length", "way"), ("past", "way")),
)

SWAP = Section(
    name="swap",
    field="swap",
    keys=(
        Key("kind", text, '"sew-through button"', needed=True),
        Key("size", text, '"18 L"', needed=True),
        Key("cap", _MORE_THAN_NOTHING, '"11.4 mm"'),
        Key("thickness", _MORE_THAN_NOTHING, '"3 mm"'),
        Key("places", rising(MOST_OLD), '["60 mm", "147 mm", "234 mm"]'),
        Key("first", length(), '"60 mm"'),
        Key("last", length(), '"58 mm"'),
        Key("count", whole(1, MOST_OLD), "7"),
        Key("hole", OLD_HOLE, '{ way = "along", length = "16 mm", past = "3 mm", made = true }'),
        Key("patch", _MORE_THAN_NOTHING, '"25 mm"'),
    ),
    make=_in_mm(SwapWish, "cap", "thickness", "places", "first", "last", "patch"),
    one_of=(("places", "first"),),
    only_with=(("last", "first"), ("count", "first")),
    complaints=_swap_complaints,
)

LENGTHEN = Section(
    name="lengthen",
    field="lengthen",
    keys=(
        Key("at", _MORE_THAN_NOTHING, '"300 mm"', needed=True),
        Key("by", _MORE_THAN_NOTHING, '"30 mm"', needed=True),
    ),
    make=_in_mm(LengthenWish, "at", "by"),
)

CHANGE = Section(
    name="change",
    field="change",
    keys=(Key("lengthen", LENGTHEN, '{ at = "300 mm", by = "30 mm" }', needed=True),),
    make=ChangeWish,
)

SECTIONS = (EDGE, BAND, BELT, ROW, CLOSURE, SPACING, ANCHOR, CLEAR, LAYER, SWAP, CHANGE, SIZES, *WORKSHOP_SECTIONS)
