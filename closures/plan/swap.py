"""Closures that are there already, and what was changed on the pattern since."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan import sound
from closures.plan.kinds import (
    choice,
    closure_kind,
    closure_size,
    cloth_name,
    length,
    more_than_nothing,
    rising,
    whole,
    yes_or_no,
)
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.kinds import Place
    from closures.plan.plan import Plan

OfferKind = Literal[
    "keep", "ends", "best", "fewest", "clear", "helper", "hidden", "behind", "hidden helper", "behind helper"
]

OFFERS: Mapping[OfferKind, str] = {
    "keep": "keep every old place",
    "ends": "keep the two ends, divide anew between them",
    "best": "the best spacing there is",
    "fewest": "the fewest changes",
    "clear": "the best spacing clear of every old hole",
    "helper": "keep every old place, with a helper at a strain point",
    "hidden": "hidden under false buttons",
    "behind": "a snap behind each old hole",
    "hidden helper": "hidden under false buttons, with a helper at a strain point",
    "behind helper": "a snap behind each old hole, with a helper at a strain point",
}
"""Ways to a new row, as people call them; a plan tells the one it takes by its name, which no other wish changes."""

MOST_OLD = 200
"""Old closures of one opening: each is met with every new one, and no garment has as many."""


@frozen
class HoleWish:
    """The hole that an old closure has in the cloth.

    Attributes:
        made: it is cut or pierced already; False where it is only drawn on a pattern.
        way: of a buttonhole, along the closing line or across it; None for any other hole.
        length_mm: of a buttonhole; None where it follows from the button.
        past_mm: how far a buttonhole reaches past its closure, towards the edge (across) or the
            first end (along); None where it is as usual.
    """

    made: bool
    way: Literal["along", "across"] | None = None
    length_mm: float | None = None
    past_mm: float | None = None


@frozen
class SwapWish:
    """The closures that are there now; either places_mm, or first_mm, last_mm and count are set.

    Attributes:
        kind, size: as the catalogue or the user's pack names them.
        cap_mm: diameter of the largest part, measured.
        thickness_mm: of a button, measured.
        places_mm: along the closing line from its first end, ascending.
        first_mm, last_mm: first end to first centre, last centre to last end, of an even row.
        count: how many the even row has.
        hole: what they leave in the cloth; None where nothing is said.
        halves: which lap carries which half of them; None where the plan does not say.
        patch_mm: diameter of a patch that goes on at every new closure; None for none.
        patch_cloth: what patches are of, those and the ones behind old holes; None where the plan does not say.
        take: name of the offer that is taken, one of `OFFERS`; None for the recommended one.
    """

    kind: str
    size: str
    cap_mm: float | None = None
    thickness_mm: float | None = None
    places_mm: tuple[float, ...] | None = None
    first_mm: float | None = None
    last_mm: float | None = None
    count: int | None = None
    hole: HoleWish | None = None
    patch_mm: float | None = None
    patch_cloth: str | None = None
    take: str | None = None
    halves: Literal["usual", "turned"] | None = None


@frozen
class LengthenWish:
    """A pattern made longer: what lies below a place moves down.

    Attributes:
        at_mm: the place, along the closing line from its first end.
        by_mm: how much longer.
    """

    at_mm: float
    by_mm: float


@frozen
class ChangeWish:
    """What was changed on the pattern since the old closures were placed.

    Attributes:
        lengthen: where it was made longer, and by how much.
        take: name of the offer that is taken, one of `OFFERS`; None for the recommended one.
    """

    lengthen: LengthenWish
    take: str | None = None


def _complaints(fields: Fields) -> Iterator[Complaint]:
    row = [name for name in ("last", "count") if name not in fields]
    if "first" in fields and row:
        yield "first", f"an even row needs {' and '.join(row)} as well", "Add it, or give all the places."


def _against(plan: Plan) -> Iterator[Complaint]:
    swap, change = plan.swap, plan.change
    if swap is not None and change is not None and None not in (swap.take, change.take):
        yield "take", "one offer is taken, and take under [swap] tells it too", "Leave one of them out."


def _read_offer(value: object, place: Place) -> str:
    if isinstance(value, (int, float)) or (isinstance(value, str) and value.strip().isdecimal()):
        raise place.error(
            f"{shown_value(value)} is a number, and other wishes number the offers anew",
            f'Write the name of the offer, as closures swap lists it: take = "{OFFERS["keep"]}".',
        )
    return str(choice(*OFFERS.values()).read(value, place))


_TAKE = Key(
    "take",
    replace(choice(*OFFERS.values()), read=_read_offer),
    f'"{OFFERS["keep"]}"',
    "the offer that is taken, by its name as `closures swap` lists them",
    label="The offer that is taken",
    default="the recommended one",
)


_HOLE = Section(
    name="hole",
    keys=(
        Key(
            "made",
            yes_or_no,
            "true",
            "cut or pierced already; false where it is only drawn on a pattern",
            label="Are the old holes made already?",
            needed=True,
            note="true: cut or pierced already, false: only drawn.",
        ),
        Key(
            "way",
            choice("along", "across"),
            '"along"',
            "which way an old buttonhole runs",
            label="The old buttonhole runs",
            default="no buttonhole",
        ),
        Key(
            "length",
            more_than_nothing,
            '"16 mm"',
            "of an old buttonhole. Only with `way`",
            label="Its length",
            default="asked for; reckoned as of a new one for its button",
        ),
        Key(
            "past",
            length(),
            '"3 mm"',
            "how far it reaches past its button, towards the edge or the first end. Only with `way`",
            label="How far it reaches past its button",
            default="1/8 in",
        ),
    ),
    value=HoleWish,
    only_with=(("length", "way"), ("past", "way")),
)

SWAP = Section(
    name="swap",
    title="What is there now",
    meaning="The closures that are there now and are to be swapped for those of `[closure]`: "
    "[how to](../how-to/swaps.md). An even row needs `first`, `last` and `count`.",
    keys=(
        Key("kind", closure_kind, '"sew-through button"', "of the old closures", label="Old kind", needed=True),
        Key("size", closure_size, '"18 L"', "of the old closures", label="Old size", needed=True),
        Key(
            "cap",
            sound.cap,
            '"11.4 mm"',
            "largest part across, measured",
            label="Largest part, measured",
            default="the catalogue's",
        ),
        Key(
            "thickness",
            sound.button_thickness,
            '"3 mm"',
            "of an old button, measured",
            label="Thickness of the button",
            default="the catalogue's",
        ),
        Key(
            "places",
            rising(MOST_OLD),
            '["60 mm", "147 mm", "234 mm"]',
            "along the closing line from its first end",
            label="Where they are, along the line",
        ),
        Key(
            "first",
            length(),
            '"60 mm"',
            "from the first end, such as the neck, to the first old centre, of an even row",
            label="Room before the first old one",
        ),
        Key(
            "last",
            length(),
            '"58 mm"',
            "from the last old centre to the last end, such as the hem, of an even row: not from the first end",
            label="Room after the last old one",
        ),
        Key("count", whole(1, MOST_OLD), "7", "how many the even row has", label="How many"),
        Key(
            "hole",
            _HOLE,
            '{ way = "along", length = "16 mm", past = "3 mm", made = true }',
            "what the old closures leave in the cloth; needed for buttons",
            label="What they leave in the cloth",
            default="made, for all but buttons",
        ),
        Key(
            "halves",
            choice("usual", "turned"),
            '"usual"',
            "which lap carries which half of the old closures; turned: the other way round than usual, such as a "
            "button on the over lap. Asked for where those of `[closure]` are turned and are others",
            label="Their halves",
            default="as those of `[closure]` where they are the same again, else usual",
        ),
        Key(
            "patch",
            more_than_nothing,
            '"25 mm"',
            "diameter of a patch sewn on the outside at every new closure: it hides what lies under it",
            label="A patch at every new closure, across",
            default="none",
        ),
        Key(
            "patch_cloth",
            cloth_name,
            '"cotton poplin"',
            "what patches are of, those of `patch` and those that go behind old holes; counted in the stack",
            label="Patches of",
            default="behind old holes the first layer that is no interfacing; where that is bulky, has a pile or is "
            "a knit, cotton poplin",
        ),
        _TAKE,
    ),
    value=SwapWish,
    one_of=(("places", "first"),),
    only_with=(("last", "first"), ("count", "first")),
    complaints=_complaints,
)

_LENGTHEN = Section(
    name="lengthen",
    keys=(
        Key(
            "at",
            more_than_nothing,
            '"300 mm"',
            "the cut, along the closing line from its first end; the edge must run straight down there",
            label="Where, along the line",
            needed=True,
        ),
        Key("by", more_than_nothing, '"30 mm"', "how much longer", label="How much longer", needed=True),
    ),
    value=LengthenWish,
)

CHANGE = Section(
    name="change",
    title="A longer pattern",
    meaning="What was changed on the pattern since the old closures were placed.",
    keys=(
        Key(
            "lengthen",
            _LENGTHEN,
            '{ at = "300 mm", by = "30 mm" }',
            "the pattern was made longer",
            label="Made longer",
            needed=True,
        ),
        _TAKE,
    ),
    value=ChangeWish,
    against=_against,
)
