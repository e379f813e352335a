"""Stripes or checks that the closures keep to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from closures.frozen import frozen
from closures.plan.kinds import any_length, choice, more_than_nothing, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section


@frozen
class StripeWish:
    """Stripes or checks that the closures keep to.

    Attributes:
        every_mm: from one repeat to the next, straight down.
        at_mm: a repeat's level.
        on: closures sit on the repeats, or half way between them.
    """

    every_mm: float
    at_mm: float
    on: Literal["repeat", "between"] = "repeat"


def _stripe(every_mm: float, at_mm: float, on: Any = "repeat", across: bool = True) -> StripeWish:
    return StripeWish(every_mm, at_mm, on)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if fields.get("across") is False:
        yield (
            "across",
            "stripes that run lengthwise put a closure nowhere along the edge",
            "Leave [stripe] out, and choose the inset so that the closing line lies on a stripe.",
        )


STRIPE = Section(
    name="stripe",
    title="Stripes",
    meaning="Places that closures keep to: [how to](../how-to/shrinkage-and-stripes.md).",
    keys=(
        Key(
            "every",
            more_than_nothing,
            '"32 mm"',
            "from one repeat to the next, straight down",
            label="From repeat to repeat",
            needed=True,
        ),
        Key("at", any_length, '"24 mm"', "the level of one repeat", label="A repeat lies at the level", needed=True),
        Key(
            "on",
            choice("repeat", "between"),
            '"repeat"',
            "on repeats, or half way between them",
            label="Closures sit on",
            default='"repeat"',
        ),
        Key(
            "across",
            yes_or_no,
            "true",
            "the stripes run across the front; lengthwise ones place no closure",
            label="They run across",
            default="true",
        ),
    ),
    value=_stripe,
    not_with=("belt", "row", "swap", "change"),
    complaints=_complaints,
)
