"""What belts and rows have in common: places on their ends, the shape of a tip, how they are cut."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM, format_both, shown_value
from closures.plan.band import lap_order
from closures.plan.kinds import Faults, Place, choice, kind, length, more_than_nothing, pair
from closures.plan.section import Key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.plan.section import Complaint, Fields

TipShape = Literal["square", "pointed", "rounded"]
Making = Literal["two pieces", "folded", "one layer"]

MOST_SPOTS = 100
"""Closures on one end of a strap: far beyond any belt."""


@frozen
class SpotWish:
    """A place on one end of a strap.

    Attributes:
        from_tip_mm: along the strap from the end's tip to the centre.
        height_mm: from the lower edge up to the centre; None for the middle.
    """

    from_tip_mm: float
    height_mm: float | None = None


@kind("list of lengths", "list", in_mm=True)
def lengths(value: object, place: Place) -> tuple[float, ...]:
    """Take a list of lengths, and give them in mm, smallest first."""
    if not isinstance(value, list) or not value:
        raise place.error(
            f"{_counted(value)} is not a list of distances", 'Write one or more, such as ["20 mm", "70 mm"].'
        )
    _refuse_many(value, place)
    faults = Faults()
    read = [faults.read(more_than_nothing, one, place.inner(f"number {n}")) for n, one in enumerate(value, 1)]
    faults.raise_if_any()
    if len(set(read)) < len(read):
        raise place.error("two of them are at one distance", "Write every place once.")
    return tuple(sorted(read))


@kind("list of places", "list")
def spots(value: object, place: Place) -> tuple[SpotWish, ...]:
    """Take a list of places: each a distance from the tip, or that and a height from the lower edge."""
    if not isinstance(value, list) or not value:
        raise place.error(
            f"{_counted(value)} is not a list of places",
            'Write one or more distances from the tip, such as ["13 mm", "33 mm"], or with heights from the '
            'lower edge [["12 mm", "10 mm"], ["12 mm", "25 mm"]].',
        )
    _refuse_many(value, place)
    read_pair = pair(more_than_nothing, "the distance from the tip and the height", "12 mm", "10 mm")
    faults = Faults()
    read = []
    for n, one in enumerate(value, 1):
        inner = place.inner(f"number {n}")
        if isinstance(one, list):
            both = faults.read(read_pair, one, inner)
            read.append(None if both is None else SpotWish(*both))
        else:
            only = faults.read(more_than_nothing, one, inner)
            read.append(None if only is None else SpotWish(only))
    faults.raise_if_any()
    if len(set(read)) < len(read):
        raise place.error("two of them are one place", "Write every place once.")
    return tuple(spot for spot in read if spot is not None)


def _refuse_many(value: list[object], place: Place) -> None:
    if len(value) > MOST_SPOTS:
        raise place.error(f"{len(value)} places are too many", f"Keep it to {MOST_SPOTS}.")


def _counted(value: object) -> str:
    return f"a list of {len(value)}" if isinstance(value, list) else shown_value(value)


def corner_complaints(fields: Fields, across: str) -> Iterator[Complaint]:
    """Complain of a radius that no corner has, or that the strap has no room for.

    Args:
        fields: of the section.
        across: the key that tells how wide the strap is.
    """
    corner, wide = fields.get("corner"), fields.get(across)
    if corner is None:
        return
    if fields.get("ends", "square") != "rounded":
        yield "corner", "only a rounded tip has such corners", 'Write ends = "rounded" with it, or leave it out.'
    elif wide is not None and corner > wide / 2 + SAME_MM:
        yield (
            "corner",
            f"two corners of {format_both(corner)} have no room on {format_both(wide)} of {across}",
            f"Write {format_both(wide / 2)} or less: half of it makes half a circle.",
        )


KEYS_OF_BOTH = (
    Key("thickness", more_than_nothing, '"3.2 mm"', "of the strap", label="Thickness", default="from the layers"),
    Key(
        "ends",
        choice("square", "pointed", "rounded"),
        '"square"',
        "shape of the over end's tip",
        label="The over end's tip",
        default='"square"',
    ),
    Key(
        "corner",
        more_than_nothing,
        '"15 mm"',
        "radius of the two corners of a rounded tip",
        label="Radius of its rounded corners",
        default="15 mm on a cuff; else half the width, which makes half a circle",
    ),
    Key(
        "allowance",
        length(),
        '"1/2 in"',
        "cloth beyond the finished edge of the over end",
        label="Seam allowance of the over end",
        default="0",
    ),
    Key(
        "under_allowance",
        length(),
        '"1 in"',
        "of the under end",
        label="Seam allowance of the under end",
        default="`allowance`",
    ),
    Key(
        "made",
        choice("two pieces", "folded", "one layer"),
        '"two pieces"',
        "how it is cut",
        label="Cut as",
        default='"two pieces"; "one layer" where the layers are one of leather, or one of what is made already',
    ),
    Key(
        "lap",
        lap_order,
        '"right over left"',
        "the wearer's side that lies on top",
        label="Which side lies on top",
        default="not told",
    ),
    Key(
        "between_rims",
        length(),
        '"4 mm"',
        "your own least distance from rim to rim",
        label="Least distance from rim to rim",
        default="as usual",
    ),
    Key(
        "rim_to_edge",
        length(),
        '"4 mm"',
        "your own least distance from rim to edge",
        label="Least distance from rim to edge",
        default="as usual",
    ),
)
"""Keys that a belt and a row both have."""
