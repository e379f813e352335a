"""An edge that is one circular arc."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from closures.frozen import frozen
from closures.plan.kinds import choice, more_than_nothing
from closures.plan.section import Complaint, Fields, Key, Section


@frozen
class ArcWish:
    """An edge that is one circular arc.

    Attributes:
        length_mm: measured on the arc.
        radius_mm: of the arc.
        bows: "out" where the edge bows away from the cloth, "in" where it bows into it.
    """

    length_mm: float
    radius_mm: float
    bows: Literal["in", "out"]


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "length" in fields and "radius" in fields and fields["length"] >= 2 * math.pi * fields["radius"]:
        yield "length", "the arc is longer than its circle", "Write a shorter length or a larger radius."


ARC = Section(
    name="arc",
    keys=(
        Key(
            "length",
            more_than_nothing,
            '"600 mm"',
            "along the arc, less than its whole circle",
            label="Length along the arc",
            needed=True,
            option="--arc",
            says="An edge that is one arc, of this length.",
        ),
        Key(
            "radius",
            more_than_nothing,
            '"420 mm"',
            "of the arc",
            label="Radius",
            needed=True,
            option="--radius",
            says="The radius of that arc.",
        ),
        Key(
            "bows",
            choice("out", "in"),
            '"out"',
            "away from the cloth, or into it",
            label="It bows",
            needed=True,
            note='"out": away from the cloth, "in": into it.',
            option="--bows",
            says="The arc bows out (away from the cloth) or in.",
        ),
    ),
    value=ArcWish,
    complaints=_complaints,
)
