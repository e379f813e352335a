"""The one wearer of a garment: what its plans tell of that person is held against each other, and carried to all."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import partial
from typing import TYPE_CHECKING, Any

from closures.errors import PlanError
from closures.jobs.whole.clearances import Clearance
from closures.jobs.whole.tellers import Told, in_words, lengths_apart, tellers, verb
from closures.plan.body import OF_THREE_MONTHS, BodyWish
from closures.plan.wearer import ProfileName, WearerWish
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from closures.plan.plan import Plan

_OF_THE_WEARER = ("profiles", "implants", "sold")


def wearer_told(told: Told) -> dict[str, Any]:
    """What is told of the wearer, by key; of its profiles also those of a child that the body tells."""
    wearer = {key: value for key in _OF_THE_WEARER for value in tellers(told, partial(_of, key=key))}
    profiles = frozenset[ProfileName]().union(*(plan.profiles for _, plan in told))
    if "child under three" in profiles:
        profiles -= {"child"}
    return wearer | ({"profiles": tuple(sorted(profiles))} if profiles else {})


def need_one_size(plan: Plan, where: str) -> None:
    """Refuse a plan of several sizes of which none is told to be cut.

    Raises:
        PlanError: so it is.
    """
    if plan.sizes is not None and plan.fit is None:
        raise PlanError(
            "a plan of several sizes is not put together",
            where=where,
            mend="Name a plan of one size, or write the size that is cut under [wearer] of this one.",
        )


def size_told(told: Told) -> str | None:
    """The size that is cut, of plans that tell no two; None where none tells any."""
    return next(iter(tellers(told, _size)), None)


def with_wearer(plans: Iterable[Plan], wearer: dict[str, Any]) -> tuple[Plan, ...]:
    """Plans that all tell the same of their wearer."""
    return tuple(
        replace(plan, wearer=replace(plan.wearer or WearerWish(), **wearer)) if wearer else plan for plan in plans
    )


def two_wearers(told: Told) -> Iterator[tuple[str, str]]:
    """Refuse what cannot hold of one person: other profiles, or other girths.

    Yields:
        What is wrong and how to mend it.
    """
    for key in _OF_THE_WEARER:
        found = tellers(told, partial(_of, key=key))
        if len(found) > 1:
            yield (
                f"one garment has one wearer and is sold in the same places, and {in_words(found, key)}",
                f"Under [wearer] write the same {key} into each of these plans, or into one alone: it holds for all.",
            )
    sizes = tellers(told, _size)
    if len(sizes) > 1:
        yield (
            f"one garment is cut in one size, and {in_words(sizes, 'size')}",
            "Under [wearer] write the same size into each of these plans.",
        )
    for one in fields(BodyWish):
        key = one.name.removesuffix("_mm").removesuffix("_months")
        if one.name.endswith("_mm"):
            unlike = lengths_apart(told, partial(_girth_mm, name=one.name), key)
        else:
            found = tellers(told, partial(_of_the_body, name=one.name))
            unlike = in_words(found, key) if len(found) > 1 else ""
        if unlike:
            yield (
                f"one garment has one wearer, and under [body] {unlike}",
                f"Under [body] write the same {key} into each of these plans, or leave it out of all but one.",
            )
    young = [opening.name for opening, plan in told if plan.is_under_three]
    old = [
        opening.name
        for opening, plan in told
        if plan.body is not None and (plan.body.age_months or 0) >= OF_THREE_MONTHS and opening.name not in young
    ]
    if young and old:
        yield (
            f"one garment has one wearer: {in_a_row(young)} {verb(young, 'tell')} a child under three, and "
            f"{in_a_row(old)} {verb(old, 'tell')} an age of three or more",
            'Write profiles = ["child"] under [wearer], or the age that is meant under [body].',
        )
    grown = [opening.name for opening, plan in told if plan.body is not None and plan.body.sex in ("woman", "man")]
    children = [opening.name for opening, plan in told if plan.is_for_child]
    if grown and children:
        yield (
            f"one garment has one wearer: {in_a_row(children)} {verb(children, 'tell')} a child, and "
            f"{in_a_row(grown)} {verb(grown, 'tell')} the body of a grown person",
            "Under [body] write girl or boy with an age; or leave the child out of profiles under [wearer].",
        )


def _size(plan: Plan) -> str | None:
    return None if plan.fit is None else plan.fit.size


def _girth_mm(plan: Plan, name: str) -> float | None:
    found: float | None = None if plan.body is None else getattr(plan.body, name)
    return found


def _of_the_body(plan: Plan, name: str) -> str | None:
    """What a plan tells of the body, in words; None for nothing."""
    value = None if plan.body is None else getattr(plan.body, name)
    if value is None or (name == "share" and plan.body is not None and plan.body.sex is None):
        return None
    return f"{value:g} months" if name == "age_months" else str(value)


def carried(told: Told, wearer: dict[str, Any]) -> Iterator[Clearance]:
    """Tell of each plan what it does not tell itself of the wearer."""
    for opening, plan in told:
        lacking = {key: value for key in wearer if (value := _lacking(plan, key, wearer[key]))}
        if not lacking:
            continue
        first = next(other for other, own in told if any(not _lacking(own, *one) for one in lacking.items()))
        said = in_a_row([f"{key} ({_value_in_words(value)})" for key, value in lacking.items()])
        text = (
            f"{opening.name} does not tell {said}, and is worked as the garment's other plans tell: one garment has "
            "one wearer."
        )
        yield Clearance("pass", opening.name, first.name, None, None, None, None, text)


def _lacking(plan: Plan, key: str, value: Any) -> Any:
    """What is told of the wearer under a key, and not by this plan, nor by its body; nothing where it tells all."""
    if key != "profiles":
        return value if _of(plan, key) is None else None
    return tuple(one for one in value if one not in plan.profiles)


def _of(plan: Plan, key: str) -> Any:
    """What a plan tells of its wearer; None for nothing."""
    value = None if plan.wearer is None else getattr(plan.wearer, key)
    return None if not value or value == "not asked" else tuple(sorted(value)) if key != "implants" else value


def _value_in_words(value: str | Sequence[str]) -> str:
    return value if isinstance(value, str) else in_a_row(list(value))
