"""The sections of a plan as a table: which keys each has, what they hold, which go together.

A new section is one more row of `SECTIONS`, and a field of `Plan`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from closures.plan.kinds import (
    Kind,
    choice,
    grip,
    id_or_level,
    length,
    length_or_range,
    points,
    span,
    text,
    whole,
    yes_or_no,
)
from closures.plan.values import (
    AnchorWish,
    ArcWish,
    BandWish,
    ClearWish,
    ClosureWish,
    EdgeWish,
    LayerWish,
    SpacingWish,
)

MOST_CLOSURES = 5000
"""Ten metres at 2 mm: far beyond any opening, and an answer still comes in reasonable time."""

MOST_LAYERS = 100

Fields = Mapping[str, Any]
Complaint = tuple[str, str, str]
"""The key, what is wrong, and how to mend it."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a section.

    Attributes:
        name: as it stands in the plan.
        kind: what reads its value, or the section of a table within the section.
        example: a value as it would be written.
        needed: it cannot be left out.
        note: what a user who left it out should know.
    """

    name: str
    kind: Kind | Section
    example: str
    needed: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a plan.

    Attributes:
        name: as it stands in the plan, empty for the keys before the first section.
        field: the field of Plan that holds it.
        keys: what may stand in it.
        make: makes the value, called with the keys that were given.
        needed: it cannot be left out.
        repeated: it stands any number of times, as ``[[anchor]]``.
        one_of: groups of keys of which exactly one is given.
        only_with: a key, and the key it makes no sense without.
        complaints: what is wrong between keys that are each right.
    """

    name: str
    field: str
    keys: tuple[Key, ...]
    make: Callable[..., Any]
    needed: bool = False
    repeated: bool = False
    one_of: tuple[tuple[str, ...], ...] = ()
    only_with: tuple[tuple[str, str], ...] = ()
    complaints: Callable[[Fields], Iterator[Complaint]] = lambda fields: iter(())

    def key(self, name: str) -> Key | None:
        """Find a key by its name."""
        return next((key for key in self.keys if key.name == name), None)


def _arc(length: float, radius: float, bows: Any) -> ArcWish:
    return ArcWish(length_mm=length, radius_mm=radius, bows=bows)


def _edge(straight: float | None = None, **given: Any) -> EdgeWish:
    return EdgeWish(straight_mm=straight, **given)


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


def _arc_complaints(fields: Fields) -> Iterator[Complaint]:
    if "length" in fields and "radius" in fields and fields["length"] >= 2 * math.pi * fields["radius"]:
        yield "length", "the arc is longer than its circle", "Write a shorter length or a larger radius."


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

ARC = Section(
    name="arc",
    field="arc",
    keys=(
        Key("length", _MORE_THAN_NOTHING, '"600 mm"', needed=True),
        Key("radius", _MORE_THAN_NOTHING, '"420 mm"', needed=True),
        Key(
            "bows",
            choice("out", "in"),
            '"out"',
            needed=True,
            note='"out": away from the cloth, "in": into it.',
        ),
    ),
    make=_arc,
    complaints=_arc_complaints,
)

EDGE = Section(
    name="edge",
    field="edge",
    keys=(
        Key("path", text, '"over-edge"'),
        Key("points", points, '[["0 mm", "0 mm"], ["6 mm", "80 mm"]]'),
        Key("straight", _MORE_THAN_NOTHING, '"24 in"'),
        Key("arc", ARC, '{ length = "600 mm", radius = "420 mm", bows = "out" }'),
        Key("under", text, '"under-edge"'),
        Key("line", text, '"closing-line"'),
        Key("reverse", yes_or_no, "true"),
        Key("level_zero", id_or_level, '"shoulder-point"'),
    ),
    make=_edge,
    needed=True,
    one_of=(("straight", "arc", "points", "path"),),
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
        Key("within", length(), '"1/8 in"'),
        Key("which", whole(1, MOST_CLOSURES), "1"),
    ),
    make=_in_mm(AnchorWish, "level", "along", "within"),
    repeated=True,
    one_of=(("level", "along"),),
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

SECTIONS = (EDGE, BAND, CLOSURE, SPACING, ANCHOR, CLEAR, LAYER)
