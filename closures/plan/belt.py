"""A belt that closes at several settings.

Terms: the *over end* lies on top when the belt is closed, the *under end* beneath it; the *tip* is the finished end of
either. A *setting* is one way to close it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Literal

from closures.frozen import frozen
from closures.lengths import format_both, shown_value
from closures.plan.band import LapOrder
from closures.plan.kinds import Faults, Place, choice, kind, length, more_than_nothing, text, whole
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.strap import KEYS_OF_BOTH, Making, TipShape, corner_complaints, lengths

MOST_SETTINGS = 60
"""At the least step of any fastener this is half a metre of studs."""

MOST_CARRIERS = 24
MOST_SIZES = 40


@frozen
class BeltWish:
    """A belt with evenly stepped settings; exactly one of waist_mm, target_mm and sizes is set.

    Attributes:
        width_mm: finished.
        settings: how many, 0 where the plan does not say.
        worn: which of them is the target, the loosest being 1; 0 for the middle one, with an even number the looser of
            the middle two.
        step_mm: from one setting to the next; 0 where the plan does not say.
        caps_mm: closures of the over end, from its tip, nearest first; empty where the plan does not say.
        waist_mm: round the body or the garment where the belt sits.
        target_mm: length of the closed belt at the target setting.
        sizes: name and waist of each size, smallest first.
        between_mm: thickness of what lies between body and belt.
        measured: where waist, sizes or target are measured on the strap.
        thickness_mm: of the strap; None where the layers tell it.
        free_mm: least distance from the under end's tip to its first stud; None for the usual.
        length_mm: finished, tip to tip; None to have it worked out.
        ends: the shape of the over end's tip.
        corner_mm: radius of a rounded tip's corners; None where the plan does not say.
        allowance_mm, under_allowance_mm: beyond the finished edge of either end, for seam or fold.
        made: how it is cut; None where it follows from the layers.
        lap: the wearer's side that lies on top, None where it is not told.
        carriers: how many belt loops.
        between_rims_mm, rim_to_edge_mm: the user's own least distances, None for the usual.
    """

    width_mm: float
    settings: int = 0
    worn: int = 0
    step_mm: float = 0.0
    caps_mm: tuple[float, ...] = ()
    waist_mm: float | None = None
    target_mm: float | None = None
    sizes: tuple[tuple[str, float], ...] = ()
    between_mm: float = 0.0
    measured: Literal["inside", "middle"] = "inside"
    thickness_mm: float | None = None
    free_mm: float | None = None
    length_mm: float | None = None
    ends: TipShape = "square"
    corner_mm: float | None = None
    allowance_mm: float = 0.0
    under_allowance_mm: float = 0.0
    made: Making | None = None
    lap: LapOrder | None = None
    carriers: int = 3
    between_rims_mm: float | None = None
    rim_to_edge_mm: float | None = None


@kind("table, name to waist", "table", parts=more_than_nothing)
def size_chart(value: object, place: Place) -> tuple[tuple[str, float], ...]:
    """Take a table of sizes, name to waist, and give it smallest first."""
    if not isinstance(value, dict) or not value:
        told = f"a list of {len(value)}" if isinstance(value, list) else shown_value(value)
        raise place.error(f"{told} is not a table of sizes", 'Write { S = "26 in", M = "28 in", L = "30 in" }.')
    if len(value) > MOST_SIZES:
        raise place.error(f"{len(value)} sizes are too many", f"Keep it to {MOST_SIZES}.")
    faults = Faults()
    read = [
        (faults.read(text, name, place.inner("name")), faults.read(more_than_nothing, waist, place.inner(name)))
        for name, waist in value.items()
    ]
    faults.raise_if_any()
    return tuple(sorted(read, key=lambda row: row[1]))


def _belt(**given: Any) -> BeltWish:
    given.setdefault("measured", "middle" if "target_mm" in given else "inside")
    given.setdefault("under_allowance_mm", given.get("allowance_mm", 0.0))
    return BeltWish(**given)


def _rows(chart: object) -> tuple[tuple[str, float], ...]:
    return chart if isinstance(chart, tuple) else ()


def _complaints(fields: Fields) -> Iterator[Complaint]:
    yield from corner_complaints(fields, "width")
    if "over" in fields and "target" in fields:
        yield (
            "over",
            "a target is the length of the closed belt already, with all that lies under it",
            "Leave over out, or give the waist instead of the target.",
        )
    over, rounds = fields.get("over"), [fields.get("waist"), *(size for _, size in _rows(fields.get("sizes")))]
    least = min((one for one in rounds if isinstance(one, float)), default=None)
    # Our own rule: no clothing is as thick as half the body in it. A length round the body may have been written here.
    if isinstance(over, float) and least is not None and over >= least / math.tau:
        yield (
            "over",
            f"clothing {format_both(over)} thick would be as thick as half the body",
            "Write how thick what lies between body and belt is, such as 4 mm or 3/16 in; where the waist was "
            "measured over it, leave this out.",
        )
    settings, worn = fields.get("settings"), fields.get("worn")
    if isinstance(settings, int) and isinstance(worn, int) and worn > settings:
        yield "worn", f"there are {settings} settings", f"Write worn = {settings} or less, or more settings."
    if "sizes" in fields and "length" in fields:
        yield "length", "every size has its own length", "Leave length out, or give one waist instead of sizes."


BELT = Section(
    name="belt",
    title="Belt",
    meaning="A belt that closes at several settings.",
    keys=(
        Key(
            "waist",
            more_than_nothing,
            '"28 in"',
            "round the body or the garment where the belt sits",
            label="Waist",
        ),
        Key(
            "target",
            more_than_nothing,
            '"760 mm"',
            "of the closed belt, at the setting that is worn",
            label="Closed length it is worn at",
        ),
        Key(
            "sizes",
            size_chart,
            '{ S = "26 in", M = "28 in", L = "30 in" }',
            "name to waist; every size is listed",
            label="Sizes and their waists",
        ),
        Key(
            "over",
            length(),
            '"4 mm"',
            "thickness of what lies between body and belt, another belt among it. Not with `target`",
            label="Thickness of clothing under it",
            default="0",
            field="between_mm",
        ),
        Key(
            "measured",
            choice("inside", "middle"),
            '"inside"',
            "where on the belt's thickness the waist or target is measured",
            label="Measured on its",
            default='"inside"; `"middle"` with a target',
        ),
        Key("width", more_than_nothing, '"38 mm"', "finished", label="Width", needed=True),
        Key(
            "settings",
            whole(1, MOST_SETTINGS),
            "5",
            "how many",
            label="Settings",
            default="5",
        ),
        Key(
            "worn",
            whole(1, MOST_SETTINGS),
            "2",
            "the setting that the waist or the target is for, counted from the loosest, which is 1",
            label="It is worn at setting",
            hint="The middle one if left empty; the loosest is 1",
            default="the middle one; of an even number the looser of the middle two",
        ),
        Key(
            "step",
            more_than_nothing,
            '"1 in"',
            "from one setting to the next",
            label="From setting to setting",
            default="1 in",
        ),
        Key(
            "caps",
            lengths,
            '["20 mm", "70 mm"]',
            "closures of the over end, each from its tip",
            label="Closures of the over end, from its tip",
            default="clear of the tip; of snaps two, two steps apart",
        ),
        Key(
            "free",
            more_than_nothing,
            '"30 mm"',
            "least distance from the under end's tip to its first stud",
            label="Under end's tip to its first stud, at least",
            default="as usual",
        ),
        Key(
            "length",
            more_than_nothing,
            '"910 mm"',
            "finished, tip to tip. Not with `sizes`",
            label="Finished length",
            default="worked out",
        ),
        Key("carriers", whole(0, MOST_CARRIERS), "3", "belt loops", label="Belt loops", default="3"),
        *KEYS_OF_BOTH,
    ),
    value=_belt,
    one_of=(("waist", "target", "sizes"),),
    complaints=_complaints,
    instead_of=("edge", "band", "spacing"),
    not_with=("row", "anchor", "clear", "swap", "change"),
)
