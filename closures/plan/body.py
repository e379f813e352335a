"""Girths of the body that must get into the garment."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan.kinds import choice, more_than_nothing, whole
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.weights import age

if TYPE_CHECKING:
    from closures.plan.plan import Plan

Who = Literal["girl", "boy", "woman", "man"]
_GROWN_MONTHS = 216
"""The age of eighteen years, from which nobody is a girl or a boy here; our own rule."""
OF_THREE_MONTHS = 36
"""The age of three years, in months; geometry of the calendar."""
OF_SEVEN_MONTHS = 84
"""The age of seven years, up to which EN 14682 allows no cords at hood and neck: from memory, not looked up."""


@frozen
class BodyWish:
    """A wearer's girths in mm, None where not measured; or whose tables stand in for them.

    Attributes:
        head_mm, neck_mm, shoulders_mm, chest_mm, waist_mm, seat_mm, hand_mm, heel_mm: as measured; the shoulders
            round both arms, the heel over heel and ankle.
        age_months: of a child.
        sex: whose tables.
        share: how many in a hundred are no larger.
    """

    head_mm: float | None = None
    neck_mm: float | None = None
    shoulders_mm: float | None = None
    chest_mm: float | None = None
    waist_mm: float | None = None
    seat_mm: float | None = None
    hand_mm: float | None = None
    heel_mm: float | None = None
    age_months: float | None = None
    sex: Who | None = None
    share: int = 95


def who_by_age(body: BodyWish | None) -> frozenset[Literal["child", "child under three"]]:
    """Which children's profiles a body tells by its age, or by whose tables it names."""
    if body is None or (body.age_months is None and body.sex not in ("girl", "boy")):
        return frozenset()
    if body.age_months is not None and body.age_months < OF_THREE_MONTHS:
        return frozenset(("child", "child under three"))
    return frozenset(("child",))


def _complaints(fields: Fields) -> Iterator[Complaint]:
    sex = fields.get("sex")
    if sex in ("woman", "man") and "age" in fields:
        yield "age", "grown people are not told by age", "Leave age out, or write girl or boy."
    if sex in ("girl", "boy") and fields.get("age", 0) > _GROWN_MONTHS:
        yield "age", f"that is no {sex}'s age", "Write woman or man and no age, or look at the number and its unit."
    if sex in ("girl", "boy") and "age" not in fields:
        yield "age", "a child's tables go by age", 'Add age = "24 months".'
    if sex is None and "age" in fields:
        mend = 'Add sex = "girl" or sex = "boy", as the tables have them, or leave age out.'
        yield "sex", "age is told, and not whose tables it is looked up in", mend


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell a body that is not of the wearer whom the profiles name."""
    body, told = plan.body, set(() if plan.wearer is None else plan.wearer.profiles)
    if body is None or not told & {"child", "child under three"}:
        return
    if body.sex in ("woman", "man"):
        yield (
            "sex",
            f"{body.sex} is grown, and profiles under [wearer] tell a child",
            "Write girl or boy with an age, or leave the child out of profiles.",
        )
    if body.age_months is not None and body.age_months >= OF_THREE_MONTHS and "child under three" in told:
        yield (
            "age",
            f"{body.age_months:g} months are three years or more, and profiles under [wearer] tell a child under three",
            'Write profiles = ["child"], or the age that is meant.',
        )


BODY = Section(
    name="body",
    title="Girths of the wearer",
    meaning="Girths of the wearer, to judge whether the body gets in: [how to](../how-to/will-it-go-on.md). What is "
    "measured wins; the rest is taken from tables where `sex` names them.",
    keys=(
        Key("head", more_than_nothing, '"56 cm"', "round the head above the ears", label="Head"),
        Key("neck", more_than_nothing, '"37 cm"', "round the base of the neck", label="Neck"),
        Key("shoulders", more_than_nothing, '"103 cm"', "round both shoulders, arms hanging", label="Shoulders round"),
        Key("chest", more_than_nothing, '"95 cm"', "round the fullest part", label="Chest"),
        Key("waist", more_than_nothing, '"80 cm"', "round the waist", label="Waist"),
        Key("seat", more_than_nothing, '"102 cm"', "round the fullest part", label="Seat"),
        Key("hand", more_than_nothing, '"20 cm"', "round the knuckles", label="Hand"),
        Key("heel", more_than_nothing, '"32 cm"', "round heel and ankle", label="Heel and ankle"),
        Key(
            "age",
            age,
            '"24 months"',
            "of a child, whose rules and notes then hold as by `profiles`; under three the usual gaps are smaller",
            label="Age of a child",
            field="age_months",
        ),
        Key("sex", choice("girl", "boy", "woman", "man"), '"boy"', "whose tables", label="Tables of"),
        Key(
            "share",
            whole(5, 95),
            "95",
            "how many in a hundred are no larger",
            label="So many in a hundred are no larger",
            default="95",
        ),
    ),
    value=BodyWish,
    only_with=(("share", "sex"),),
    complaints=_complaints,
    against=_against,
)
