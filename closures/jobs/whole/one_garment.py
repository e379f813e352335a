"""What one garment has once, though each of its plans may tell it: its wearer, its state, the wash of one cloth.

What one opening tells of the wearer holds for those that tell nothing. What openings tell differently is refused where
the garment cannot be both, and is a look where it can: a belt may be newly cut for a finished garment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING, Any

from closures.errors import Fault, PlanError
from closures.frozen import frozen
from closures.jobs.whole.clearances import Clearance
from closures.jobs.whole.named import misnamed_openings
from closures.jobs.whole.on_clothes import on_clothes
from closures.jobs.whole.one_body import two_necks, unlike_girths
from closures.jobs.whole.one_cloth import by_cloth, closures_apart, gauges_apart, stripes_apart, thicknesses_apart
from closures.jobs.whole.one_wearer import carried, size_told, two_wearers, wearer_told, with_wearer
from closures.jobs.whole.stands import stands_told_twice
from closures.jobs.whole.tellers import Told, in_words, is_apart, opens_of, tellers, verb
from closures.jobs.whole.told_rows import (
    behind_elsewhere,
    belts_on_each_other,
    pairs_twice,
    rows_twice,
    straps_not_turned,
    whole_twice,
    zones_astray,
)
from closures.lengths import format_length
from closures.said import for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.garment_file import GarmentFile, Opening
    from closures.plan.plan import Plan


_LOOKS: tuple[Callable[[Told], Iterator[tuple[str, tuple[str, ...]]]], ...] = (
    belts_on_each_other,
    zones_astray,
    straps_not_turned,
    unlike_girths,
    gauges_apart,
    stripes_apart,
    thicknesses_apart,
    closures_apart,
)
"""What is looked at between two openings."""


@frozen
class OneGarment:
    """The plans of one garment.

    Attributes:
        plans: in the order of the openings, each with the wearer that any of them tells.
        notes: what was carried from one to another, and what differs and may be right.
        size: that is cut, as its plans tell it; None where they have one alone.
    """

    plans: tuple[Plan, ...]
    notes: tuple[Clearance, ...]
    size: str | None


def as_one_garment(garment: GarmentFile, plans: Sequence[Plan]) -> OneGarment:
    """Hold what the plans of a garment tell of it against each other, and carry the wearer.

    Args:
        garment: as it was read.
        plans: one for each of its openings, in order.

    Raises:
        PlanError: openings tell what cannot hold of one garment together.
    """
    told = tuple(zip(garment.openings, plans, strict=True))
    faults = [Fault(garment.where, *one) for one in _found_wrong(garment, told)]
    if faults:
        raise PlanError.of(tuple(faults))
    wearer = wearer_told(told)
    notes = (
        *carried(told, wearer),
        *stands_told_twice(told),
        *_worked_apart(told),
        *_washed_apart(told),
        *_grain_turned(told),
        *_lapped_apart(told),
        *_gaps_apart(told),
        *_carried_apart(told),
        *(_note("warn", names, text) for find in _LOOKS for text, names in find(told)),
    )
    return OneGarment(with_wearer(on_clothes(plans), wearer), notes, size_told(told))


def _found_wrong(garment: GarmentFile, told: Told) -> Iterator[tuple[str, str]]:
    yield from misnamed_openings(told)
    yield from rows_twice(told)
    yield from pairs_twice(told)
    yield from whole_twice(told)
    yield from behind_elsewhere(told)
    yield from two_wearers(told)
    yield from two_necks(told)
    yield from _states(told)
    yield from _washes(told)
    yield from _packs_of_tape(garment, told)


def _packs_of_tape(garment: GarmentFile, told: Told) -> Iterator[tuple[str, str]]:
    """Refuse packs of what is bought by its length: no count of closures says how much of it a pack holds."""
    taped = [opening for opening, plan in told if plan.tape is not None]
    names = [opening.name for opening in taped if opening.pack is not None]
    if not names and garment.pack is not None and len(taped) == len(told):
        names = [opening.name for opening in taped]
    if names:
        yield (
            f"pack says how many closures are in one pack, and those of {in_a_row(names)} come on a tape, which is "
            "bought by its length",
            "Leave pack out there: how much tape to buy is told with the parts.",
        )


def _washing(plan: Plan) -> str | None:
    return None if plan.garment is None else plan.garment.washing


def _states(told: Told) -> Iterator[tuple[str, str]]:
    body = [one for one in told if not is_apart(one[1])]
    finished = [opening.name for opening, plan in body if plan.state == "finished"]
    others = [(opening, plan) for opening, plan in body if plan.state != "finished"]
    if not finished or not others:
        return
    names = [opening.name for opening, _ in others]
    states = list(dict.fromkeys(plan.state or "no state, which is worked as cut pieces" for _, plan in others))
    files = in_a_row(list(dict.fromkeys(opening.plan for opening, _ in others)))
    yield (
        f"one garment is in one state, and {in_a_row(finished)} {verb(finished, 'be')} finished while "
        f"{in_a_row(names)} {verb(names, 'tell')} {in_a_row(states)}",
        f'Under [garment] write state = "finished" into {files}; or tell the state of {in_a_row(finished)} as '
        "it is, where the garment is still being made.",
    )


def _tells_no_wash(plan: Plan) -> bool:
    """Whether a plan can have no ``[shrinkage]``."""
    return plan.strap is not None or plan.speaks_of_old


def _washes(told: Told) -> Iterator[tuple[str, str]]:
    for cloth, of_it in by_cloth(told):
        washings = tellers(of_it, _washing)
        if len(washings) > 1:
            yield (
                f"the {cloth} of one garment is washed or is not, and {in_words(washings, 'washing')}",
                "Under [garment] write the same washing into each of these plans.",
            )
        shrinks = [opening.name for opening, plan in of_it if plan.shrinkage is not None]
        others = [one for one, plan in of_it if plan.shrinkage is None and not _tells_no_wash(plan)]
        if shrinks and others:
            names, files = [one.name for one in others], list(dict.fromkeys(one.plan for one in others))
            yield (
                f"the {cloth} of one garment is washed or is not, and {in_a_row(shrinks)} {verb(shrinks, 'tell')} "
                f"what it loses in its first wash while {in_a_row(names)} {verb(names, 'tell')} nothing, as of "
                "cloth that was washed",
                f"Write [shrinkage] into {in_a_row(files)} too; or wash the cloth first, and leave "
                "[shrinkage] out of all.",
            )
        losses = tellers(of_it, _loses)
        if len({tuple(sorted(one)) for one in losses}) > 1:
            yield (
                f"the {cloth} of one garment loses the same wherever it is cut, and {_losses_in_words(losses)}",
                "Under [shrinkage] write the same along and across into each of these plans, the two exchanged where a "
                "piece is cut on the other grain; or tell a piece of other cloth by a [[layer]] of its own.",
            )


def _loses(plan: Plan) -> tuple[float, float] | None:
    """What the cloth of a plan loses down and across; None where it tells nothing."""
    return None if plan.shrinkage is None else (plan.shrinkage.along, plan.shrinkage.across)


def _losses_in_words(losses: dict[tuple[float, float], list[str]]) -> str:
    return in_a_row(
        [
            f"{in_a_row(names)} {verb(names, 'tell')} {100 * along:g} % along and {100 * across:g} % across"
            for (along, across), names in losses.items()
        ]
    )


def _worked_apart(told: Told) -> Iterator[Clearance]:
    body = [one for one in told if not is_apart(one[1])]
    for (opening, plan), is_finished in product(told, (True, False)):
        if not is_apart(plan) or (plan.state == "finished") == is_finished:
            continue
        others = [other.name for other, own in body if (own.state == "finished") == is_finished]
        if not others:
            continue
        how = "finished" if is_finished else "still being made"
        own_how = "worked as cut pieces" if plan.state in (None, "cut pieces") else str(plan.state)
        yield _note(
            "warn",
            (opening.name, *others),
            f"{in_a_row(others)} {verb(others, 'be')} {how}, and {opening.name} is {own_how}. That is right where "
            f"{opening.name} is a piece of its own, such as one newly made for a garment that is there"
            + for_author("; else tell the same state under [garment] of both plans.", "."),
        )


def _washed_apart(told: Told) -> Iterator[Clearance]:
    for cloth, of_it in by_cloth(told):
        shrinks = [opening.name for opening, plan in of_it if plan.shrinkage is not None]
        for opening, plan in of_it:
            if shrinks and _tells_no_wash(plan):
                yield _note(
                    "warn",
                    (opening.name, *shrinks),
                    f"The sheets of {in_a_row(shrinks)} are for {cloth} before its first wash, and those of "
                    f"{opening.name} for {cloth} that was washed: cut {opening.name} from a piece that was washed "
                    "beforehand.",
                )


def _grain_turned(told: Told) -> Iterator[Clearance]:
    for cloth, of_it in by_cloth(told):
        losses = tellers(of_it, _loses)
        if len(losses) == 2 and len({tuple(sorted(one)) for one in losses}) == 1:
            names = tuple(name for some in losses.values() for name in some)
            yield _note(
                "warn",
                names,
                f"Of one {cloth}, {_losses_in_words(losses)}. That is right where one is cut on the other grain"
                + for_author("; else tell the same under [shrinkage] of both plans.", "."),
            )


def _lapped_apart(told: Told) -> Iterator[Clearance]:
    """Ask about openings in one place of which each has another side on top, such as a fly and its waistband.

    A row on the body's other side is mirrored, and the front lies over the back as it did. A waistband may be a strap:
    it closes where the opening does that it runs over, and at the front where nothing is told, as every row.
    """
    lapped = [(opening, plan) for opening, plan in told if _lap(plan) is not None]
    places = [(_place_of(opening, plan, told), _sides(plan)) for opening, plan in lapped]
    for opens, sides in dict.fromkeys(places):
        here = [one for one, place in zip(lapped, places, strict=True) if place == (opens, sides)]
        found = tellers(here, _lap)
        if len(found) > 1:
            sections = in_a_row(list(dict.fromkeys(_section_of_lap(plan) for _, plan in here)))
            yield _note(
                "warn",
                tuple(name for names in found.values() for name in names),
                f"At one {opens}, "
                + in_words(found, "lap")
                + ". What closes together closes the same way, as a fly and its waistband do"
                + for_author(f": write the same lap under {sections} of both plans.", ".")
                + " Where each has an edge of its own, apart from the other's, this is right as it is.",
            )


def _gaps_apart(told: Told) -> Iterator[Clearance]:
    """Ask about openings in one place whose edges meet with unlike gaps: where one edge runs on, so does its gap."""
    meeting = [
        (opening, plan)
        for opening, plan in told
        if plan.garment is not None and plan.garment.is_meeting and not opening.mirrored
    ]
    for opens in dict.fromkeys(opens_of(plan) for _, plan in meeting):
        found = tellers([one for one in meeting if opens_of(one[1]) == opens], _gap_in_words)
        if len(found) > 1:
            names = tuple(name for some in found.values() for name in some)
            each = in_a_row([f"{in_a_row(some)} {verb(some, 'tell')} {gap}" for gap, some in found.items()])
            yield _note(
                "warn",
                names,
                f"At one {opens}, {each}. Where they lie on one edge, it lies as far from the other edge at the end of "
                "one as where the next begins"
                + for_author(": write the gap that it has there under [garment] of both plans.", ".")
                + " Where each has an edge of its own, this is right as it is.",
            )


def _carried_apart(told: Told) -> Iterator[Clearance]:
    """Ask about edges that meet in one place of which each has its hooks, or its loops, on another side."""
    meeting = [
        (opening, plan)
        for opening, plan in told
        if plan.garment is not None and plan.garment.is_meeting and plan.lacing is None and not opening.mirrored
    ]
    for opens in dict.fromkeys(opens_of(plan) for _, plan in meeting):
        found = tellers([one for one in meeting if opens_of(one[1]) == opens], _lap_told)
        if len(found) > 1:
            yield _note(
                "warn",
                tuple(name for names in found.values() for name in names),
                f"At one {opens}, "
                + in_words(found, "lap")
                + ", by which hooks or loops sit on one side in the one and on "
                "the other side in the other. What is closed together has them on one side"
                + for_author(": write the same lap under [band] of both plans.", ".")
                + " Where they are openings of their own, this is right as it is.",
            )


def _gap_in_words(plan: Plan) -> str:
    wish = plan.garment
    if wish is None:
        return ""
    first = format_length(wish.gap_mm, plan.units)
    if wish.gap_last_mm is None or wish.gap_last_mm == wish.gap_mm:
        return f"a gap of {first}"
    return f"a gap of {first} to {format_length(wish.gap_last_mm, plan.units)}"


def _place_of(opening: Opening, plan: Plan, told: Told) -> str:
    """Where an opening of a garment closes: a strap that tells no place, where the opening does that it runs over.

    Both sides of a garment are one place, and so are both shoulders: they close the same way.
    """
    if opening.crossing is not None and (plan.garment is None or plan.garment.opens is None):
        return next((opens_of(own) for one, own in told if one.name == opening.crossing.over), "front")
    return opens_of(plan).removeprefix("left ").removeprefix("right ")


def _sides(plan: Plan) -> frozenset[str]:
    """The two sides that a lap is told of: of others the one says nothing of the other's."""
    return frozenset((_lap(plan) or "").split(" over "))


def _lap_told(plan: Plan) -> str | None:
    return None if plan.band is None else plan.band.lap


def _section_of_lap(plan: Plan) -> str:
    return "[belt]" if plan.belt is not None else "[row]" if plan.row is not None else "[band]"


def _lap(plan: Plan) -> str | None:
    """Which side lies on top; None where nothing does, or it is not told."""
    if plan.strap is not None:
        return plan.strap.lap
    is_meeting = plan.garment is not None and plan.garment.is_meeting
    return None if plan.band is None or is_meeting else plan.band.lap


def _note(result: Any, names: tuple[str, ...], text: str) -> Clearance:
    return Clearance(result, names[0], names[1], None, None, None, None, text, names[2:])
