"""Fixed places and clear stretches: where a closure must sit, and where none may."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.closure import MOST_CLOSURES
from closures.plan.drawn import against_anchors
from closures.plan.kinds import Range, any_length, choice, length, span, text, whole
from closures.plan.one_line import two_of
from closures.plan.place import PlaceWish, place_on_line
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

_ANCHOR = re.compile(r"(?P<along>along )?(?P<at>.*?)(?: within (?P<within>.+))?", re.IGNORECASE)
_CLEAR = re.compile(r"(?P<along>along\s+)?(?P<at>.*)", re.IGNORECASE)


@frozen
class AnchorWish:
    """A place where a closure must sit; exactly one of level_mm, along_mm and at is set.

    Attributes:
        name: what it is called.
        level_mm: straight down from the level zero; negative above it.
        along_mm: on the closing line from its first end.
        at: a notch or another point of the drawing; the place on the closing line that is nearest to it.
        within_mm: how far the closure may sit from it, along the closing line.
        which: the crossing meant where the line meets the level more than once, 1 for the
            one nearest the first end.
    """

    name: str
    level_mm: float | None = None
    along_mm: float | None = None
    within_mm: float = 0.0
    which: int | None = None
    at: PlaceWish | None = None


@frozen
class ClearWish:
    """A stretch where no closure may sit; exactly one of level_mm and along_mm is set.

    Attributes:
        name: what it is called.
        level_mm: the stretch as levels; along_mm: the stretch along the closing line.
        room: "rim" where no part of a closure may enter, "centre" where no centre may.
    """

    name: str
    level_mm: Range | None = None
    along_mm: Range | None = None
    room: Literal["rim", "centre"] = "rim"


def _anchor_row(written: str) -> dict[str, Any] | tuple[str, str]:
    """Read ``bust point @ 9 1/4 in within 1/8 in``, or ``waist @ along 16 in``."""
    name, at, place = written.rpartition("@")
    if not at:
        return _no_place(written), 'Write --anchor "bust point @ 9 1/4 in".'
    match = _ANCHOR.fullmatch(" ".join(place.split()))
    if match is None:
        return {"name": name, "level": place.strip()}
    within = {} if match["within"] is None else {"within": match["within"]}
    return {"name": name, **within, "along" if match["along"] else "level": match["at"]}


def _clear_row(written: str) -> dict[str, Any] | tuple[str, str]:
    """Read ``belt @ 15 in to 17 in``, or ``pocket @ along 14 in to 16 in``."""
    name, at, place = written.rpartition("@")
    if not at:
        return _no_place(written), 'Write --clear "belt @ 15 in to 17 in".'
    match = _CLEAR.fullmatch(place.strip())
    if match is None:
        return {"name": name, "level": place.strip()}
    return {"name": name, "along" if match["along"] else "level": two_of(match["at"])}


def _no_place(written: str) -> str:
    return f"{written[:60]!r} names no place"


def _against(plan: Plan) -> Iterator[Complaint]:
    """What is wrong between fixed places, and between them and the edge."""
    yield from against_anchors(plan)
    seen: set[str] = set()
    for anchor in plan.anchors:
        if anchor.name.casefold() in seen:
            yield (
                "name",
                f"two fixed places are called {shown_value(anchor.name)}, and nothing tells which of them is meant",
                "Give each [[anchor]] a name of its own.",
            )
        seen.add(anchor.name.casefold())


ANCHOR = Section(
    name="anchor",
    title="Fixed places",
    meaning="A place where a closure must sit.",
    keys=(
        Key("name", text, '"bust point"', "printed on the sheets", label="Name", needed=True),
        Key(
            "level",
            any_length,
            '"9 1/4 in"',
            "straight down from the level zero; may be negative",
            label="Straight down from where levels begin",
            hint="From the first end, such as the neck, where “Levels are measured from” is empty",
        ),
        Key("along", length(), '"8 in"', "on the closing line from its first end", label="Along the line"),
        Key(
            "at",
            place_on_line,
            '"notch-2"',
            "a notch, drill hole or other point of the drawing: the nearest place on the closing line, at a corner the "
            "corner itself",
            label="A point of the drawing",
        ),
        Key(
            "within",
            length(),
            '"1/8 in"',
            "how far the closure may sit from it, along the line",
            label="May be off by",
            hint="Nothing if left empty",
            default="0",
        ),
        Key(
            "which",
            whole(1, MOST_CLOSURES),
            "1",
            "where the line meets the level more than once: 1 is nearest the first end. Only with `level`",
            label="Which crossing of the level",
            hint="1 is the one where the row begins",
        ),
    ),
    value=AnchorWish,
    repeated=True,
    named_by="name",
    one_of=(("level", "along", "at"),),
    only_with=(("which", "level"),),
    against=_against,
    option="--anchor",
    says='A closure must sit here: "bust point @ 9 1/4 in". Repeat it.',
    row=_anchor_row,
)

CLEAR = Section(
    name="clear",
    title="Keep clear",
    meaning="A stretch where no closure may sit. Two that touch are one: none sits on the border between them.",
    keys=(
        Key("name", text, '"belt"', "printed on the sheets", label="Name", needed=True),
        Key(
            "level",
            span(least_mm=None),
            '["15 in", "17 in"]',
            "as levels",
            label="From one level to another",
            hint="From the first end, such as the neck, where “Levels are measured from” is empty",
        ),
        Key("along", span(), '["14 in", "16 in"]', "along the closing line", label="Along the line, from and to"),
        Key(
            "room",
            choice("rim", "centre"),
            '"rim"',
            "no part of a closure may enter, or no centre",
            label="What stays out",
            default='"rim"',
        ),
    ),
    value=ClearWish,
    repeated=True,
    named_by="name",
    one_of=(("level", "along"),),
    option="--clear",
    says='No closure may sit here: "belt @ 15 in to 17 in". Repeat it.',
    row=_clear_row,
)
