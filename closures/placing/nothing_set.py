"""Where nothing of a row is set, and what every page says of it.

Either all its closures are there and stay, so that its strips are a record; or what is planned fails for whoever wears
it, so that it is *withheld*: nothing of it is bought, marked, cut or set before the plan was changed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.placing.cords import SOURCE as CORDS_FROM
from closures.placing.cords import asks_for_age, cords_of_a_child, is_barred

if TYPE_CHECKING:
    from closures.placing.placement import Placement


@frozen
class Withheld:
    """Why what is planned must not be set for whoever wears it.

    Attributes:
        found: what fails, and what to do, in whole sentences: as the check tells it.
        change: what is done and changed in the plan before anything is bought, in whole sentences.
        source: key of the source that it comes from; empty where none is listed.
        basis: what it rests on where no source is listed.
    """

    found: str
    change: str
    source: str
    basis: str = "published: medical press"


@frozen
class NothingSet:
    """What pages say of a row of which nothing is set; whole sentences but for the first two.

    Attributes:
        heading: what the first section of a cover is headed by.
        strip: what is lettered along a strip.
        to_buy: why nothing is bought.
        to_back: why no backing is laid.
        hand_over: what a page says that hands the row over.
        before: what waits, where a check failed.
        laid: what is done with the strips; `{}` stands for which, where not all are meant.
    """

    heading: str
    strip: str
    to_buy: str
    to_back: str
    hand_over: str
    before: str
    laid: str


ALL_STAY = NothingSet(
    "A record of what is there: nothing is to be set",
    "RECORD: all stay, mark nothing",
    "All closures of the row are there, and stay.",
    "every closure is there already and stays",
    "All closures are there and stay: nothing is to be set. This is a record.",
    "Read the report before it is worn again.",
    "Cut the strips{} along the finished edge, lay that edge on the edge of the cloth, and mark nothing: "
    "they show where closures are that stay.",
)
HELD_BACK = NothingSet(
    "Held back: nothing is set of what is planned",
    "HELD BACK: mark nothing",
    "What is planned is held back for the sake of whoever wears it: change the plan first, as the checks say.",
    "what is planned is held back for the sake of whoever wears it",
    "What is planned is held back for the sake of whoever wears it: nothing of it is set, and the plan is changed "
    "first.",
    "Buy, mark, cut and set nothing of it before the plan was changed.",
    "Mark nothing by the strips{}: what is planned there is held back, and they are printed anew once the plan was "
    "changed.",
)

ASK_FIRST = "Ask about implants first: the cautions of this job say whom and which."
ASK_OF_IMPLANTS = f'{ASK_FIRST} Then write implants = "none" or "some" under [wearer].'

_SWALLOWED = Withheld(
    "No magnets on anything for young children: magnets that come off get swallowed. Take another kind.",
    "No magnets go on anything for young children: magnets that come off get swallowed. Take another kind of closure.",
    "",
)
_NOT_ALLOWED = Withheld(
    "Somebody has an implant: no magnets before their clinic has been asked. Take another kind of closure. Only where "
    'the answer, in writing, allows these magnets write implants = "allowed" under [wearer].',
    "The plan says that somebody has an implant: no magnets before their clinic was asked, or for a device of another "
    "kind its maker. Only where the answer, in writing, allows these magnets have the plan say so; where it does not, "
    "or none comes, take another kind of closure.",
    "FDA",
)
_NOT_ANSWERED = Withheld(
    ASK_OF_IMPLANTS,
    "Ask about implants, in the words that stand under the cautions, before a pack is bought or opened, and have the "
    "plan say the answer.",
    "FDA",
)


_HOW_OLD = (
    ' Of a child of seven or more tell its age under [body], as in sex = "girl" and age = "8 years": then the lace is '
    "looked at, and no longer held back."
)

_OF_AGE = " Of a child of seven or more have the plan say its age: then the lace is looked at, and no longer held back."


def withheld(placement: Placement) -> tuple[Withheld, ...]:
    """What fails for whoever wears it, of the closures themselves; a check that fails for a wearer is one of these.

    Args:
        placement: closures of one kind, or a row of several: one magnet or eyelet of a row is enough.
    """
    return (*_magnets(placement), *_lace(placement))


def _magnets(placement: Placement) -> tuple[Withheld, ...]:
    if all(share.fastener.family != "magnetic snap" for share in placement.shares):
        return ()
    plan = placement.plan
    answer = "not asked" if plan.wearer is None else plan.wearer.implants
    is_asked = plan.wearer is not None and "implants" in plan.wearer.profiles
    found = [_NOT_ALLOWED] if answer == "some" else [_NOT_ANSWERED] if answer == "not asked" and is_asked else []
    return (*([_SWALLOWED] if plan.is_for_child else []), *found)


def _lace(placement: Placement) -> tuple[Withheld, ...]:
    if not is_barred(placement):
        return ()
    told, is_asked = cords_of_a_child(placement), asks_for_age(placement)
    return (Withheld(told + _HOW_OLD * is_asked, told + _OF_AGE * is_asked, "", CORDS_FROM),)


def nothing_set(placement: Placement) -> NothingSet | None:
    """What pages say of a row of which nothing is set; None where something is."""
    return ALL_STAY if placement.is_all_there else HELD_BACK if placement.is_withheld else None
