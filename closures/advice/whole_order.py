"""One order of work for several openings: what is the same for all is said once, as early as suits all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.kept import MARKING
from closures.advice.order import Order, Told, all_steps, stop_in_words
from closures.advice.wording import filled
from closures.frozen import frozen
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.advice.advice import Advice
    from closures.placing.placement import Placement

_STATES = (None, "cut pieces", "sewn band", "finished")
_ON_PIECES = ("front", "back", "flat", None)
_SEAMS = ("shoulder", "side", "inseam", "crotch")
"""Common practice: openings in the middle of a piece are made while it lies flat, then follow the seams as they are
sewn: shoulders, sides, inseams and what closes between the legs."""

_LAID = (*MARKING, "bound mark")
"""Steps that lay a sheet and mark by it."""

_ON_THE_WHOLE = (
    "try flat",
    "try filled",
    "try laced",
    "try",
    "try off the child",
    "try children",
    "count parts",
    "try on a child",
    "try laced on a child",
    "another offer",
    "first wash",
    "measure washed",
)
"""Steps that ask for everything to be set: nothing is tried on or washed while some buttonhole is still to be cut."""

_PUT_ON_HELD_BACK = {
    "take magnets from a child": ("note the old", "try on a child", "try laced on a child", "another offer"),
    "change the plan": ("try on a child", "try laced on a child"),
    "keep old magnets from a child": ("note the old",),
    "ask the clinic of magnets in it": ("note the old",),
    "keep old magnets from the implant": ("note the old",),
}
"""Steps that keep a garment from somebody, with those of its other openings that would have it put on."""


@frozen
class SharedStep:
    """One step of the whole garment.

    Attributes:
        text, done: what to do, and when it is done right.
        source: where it comes from, empty where it is nobody's in particular.
        openings: the openings that it is done on, in order.
        is_first_final: nothing that is done from here on can be undone.
        key: of its row in the table.
        stop: of the first that is final, why nothing can be undone from there on and what must be known before.
    """

    text: str
    done: str
    source: str
    openings: tuple[str, ...]
    is_first_final: bool
    key: str = ""
    stop: str = ""


def shared_order(orders: Mapping[str, Order]) -> tuple[SharedStep, ...]:
    """Put the orders of several openings together.

    A step that several openings have is done on all of them together, once each of them has come so far. Every opening
    keeps its own order; openings take turns in the order given.

    Args:
        orders: of each opening by name, in the order in which they are worked.

    Returns:
        The steps. What keeps the garment, or what is planned, from somebody stands first. The cloth of all is washed,
        pressed and tried before a seam of any is sewn, and what carries a belt is sewn to the pieces before they are
        faced and closed. Everything that can be undone stands before everything that cannot, as in each order alone;
        what is tried and washed stands last, once every opening is set.
    """
    orders = _held_back(orders)
    last = {name: [step for step in order.steps if step.key in _ON_THE_WHOLE] for name, order in orders.items()}
    making = {name: [step for step in order.steps if step not in last[name]] for name, order in orders.items()}
    before = {name: [step for step in making[name] if not _is_final(step, order)] for name, order in orders.items()}
    after = {name: [step for step in making[name] if _is_final(step, order)] for name, order in orders.items()}
    for name, steps in before.items():
        # What others do when nothing can be undone any more is done with them.
        later = [step for other, own in after.items() if other != name for step in own]
        while steps and any(_is_same(steps[-1], step) for step in later):
            after[name].insert(0, steps.pop())
    prepares = {step.key for step in all_steps() if step.prepares}
    prepared = {name: [step for step in steps if step.key in prepares] for name, steps in before.items()}
    sewn = {name: [step for step in steps if step.key not in prepares] for name, steps in before.items()}
    on_seams = {name: _till_carriers(steps) for name, steps in sewn.items()}
    rest = {name: steps[len(on_seams[name]) :] for name, steps in sewn.items()}
    held = {step.key for step in all_steps() if step.held}
    kept = {name: [step for step in steps if step.key in held] for name, steps in prepared.items()}
    prepared = {name: [step for step in steps if step.key not in held] for name, steps in prepared.items()}
    first, then = [*_merged(kept), *_merged(prepared), *_merged(on_seams), *_merged(rest)], _merged(after)
    stop = _stop_of(orders, len(first) + 1)
    return (
        *(_shared(step, names, False) for step, names in first),
        *(_shared(step, names, n == 0, stop if n == 0 else "") for n, (step, names) in enumerate(then)),
        *(_shared(step, names, False) for step, names in _merged(last)),
    )


def _stop_of(orders: Mapping[str, Order], before: int) -> str:
    """The stop before a step of several orders together, with what each of them asks for."""
    proved = [told for order in orders.values() for told in order.proved]
    return stop_in_words(before, [order.why for order in orders.values()], proved)


def _held_back(orders: Mapping[str, Order]) -> Mapping[str, Order]:
    """Leave out of every opening what asks somebody to put on what another keeps from them."""
    keys = {step.key for order in orders.values() for step in order.steps}
    off = {held for key, held_back in _PUT_ON_HELD_BACK.items() if key in keys for held in held_back}
    if not off:
        return orders
    return {
        name: replace(order, steps=tuple(step for step in order.steps if step.key not in off))
        for name, order in orders.items()
    }


def in_making_order(placements: Mapping[str, Placement]) -> tuple[str, ...]:
    """Put the openings of a garment in the order in which a garment is made.

    What is still cut pieces comes before what is sewn, and that before what is finished. Of those, openings in the
    middle of a piece come first, then seams in the order in which they are sewn, then cuffs, waistbands and other rows
    on a strip, and belts last (common practice). What stands alike keeps the order in which it is told.

    Args:
        placements: of each opening by name, as told.
    """

    def place(name: str) -> tuple[int, int]:
        plan, opens = placements[name].plan, placements[name].laps.garment.opens
        if plan.belt is not None:
            part = len(_SEAMS) + 2
        elif plan.row is not None:
            part = len(_SEAMS) + 1
        elif opens in _ON_PIECES:
            part = 0
        else:
            part = _SEAMS.index(str(opens).split()[-1]) + 1
        # What says nothing of its state is worked as cut pieces.
        return (max(_STATES.index(plan.state), 1), part)

    return tuple(sorted(placements, key=place))


def shared_notes(advices: Mapping[str, Advice]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Put together how the openings of a garment are marked, whom it is for, and what to heed; each sentence once.

    Args:
        advices: of each opening by name, in the order in which they are worked.

    Returns:
        Headings with their sentences; what does not hold for all openings begins with those that it concerns.
    """
    told: dict[str, dict[str, list[str]]] = {}
    for name, advice in advices.items():
        for heading, lines in (("How to mark", advice.marking), *advice.notes, ("Heed", advice.cautions)):
            for line in lines:
                told.setdefault(heading, {}).setdefault(line, []).append(name)
    # What to heed stands last, though a later opening has a heading more.
    headings = [heading for heading in told if heading != "Heed"] + ["Heed"] * ("Heed" in told)
    return tuple(
        (
            heading,
            tuple(
                line if len(names) == len(advices) else f"{filled(in_a_row(names), {})}: {line}"
                for line, names in told[heading].items()
            ),
        )
        for heading in headings
    )


def one_order(orders: Mapping[str, Order], also: Mapping[str, Order] | None = None) -> Order:
    """Put the orders of closures that differ together as the order of one row.

    Args:
        orders: of each kind of closure by its name, in the order in which they are worked.
        also: of what closes nothing, such as buttons for show.

    Returns:
        The order; a step that only some have begins with their names. Everything that can be undone stands first, and
        the stop asks for what each of them asks for.
    """
    all_of = {**orders, **_as_late(also or {}, list(orders.values()))}
    shared = _laid_once(shared_order(all_of))
    steps = tuple(
        Told(
            n,
            step.key,
            step.text if set(orders) <= set(step.openings) else _named(step),
            step.done,
            step.source,
        )
        for n, step in enumerate(shared, start=1)
    )
    # Steps that were laid together before the stop have one number.
    stop_before = next((n for n, one in enumerate(shared, start=1) if one.is_first_final), None)
    stop = "" if stop_before is None else _stop_of(all_of, stop_before)
    removals = dict.fromkeys(order.removal for order in orders.values() if order.removal)
    return Order(steps, stop_before, stop, " ".join(removals))


def _laid_once(steps: Sequence[SharedStep]) -> list[SharedStep]:
    """Make one step of those that lay the same sheet and mark on it, each what is of its own kind.

    One that comes later is done with the first, where nothing that its own closures need, and no stop, lies between.
    """
    groups: list[list[SharedStep]] = []
    for step in steps:
        first = _first_laid(step, groups)
        if first is None:
            groups.append([step])
        else:
            first.append(step)
    return [group[0] if len(group) == 1 else _of_one_sheet(group) for group in groups]


def _first_laid(step: SharedStep, groups: Sequence[list[SharedStep]]) -> list[SharedStep] | None:
    """The steps before this one that lay the same sheet, where this one can be done with them."""
    lay = _laying(step)
    if not lay or step.is_first_final:
        return None
    for group in reversed(groups):
        if any(set(step.openings) & set(one.openings) for one in group):
            return None
        if _laying(group[0]) == lay:
            return group
        if group[0].is_first_final:
            return None
    return None


def _laying(step: SharedStep) -> str:
    """The sentence in which a step of marking lays its sheet; empty where it lays none, or is of another kind."""
    begins, point, _ = step.text.partition(". ")
    return f"{begins}{point}" if step.key in _LAID and " sheet" in begins and point else ""


def _of_one_sheet(steps: Sequence[SharedStep]) -> SharedStep:
    lay = _laying(steps[0])
    done = [f"{in_a_row([name.partition(' (')[0] for name in step.openings])}: {step.done}" for step in steps]
    return replace(
        steps[0],
        text=lay + " ".join(step.text.removeprefix(lay) for step in steps),
        done=" ".join(done),
        openings=tuple(name for step in steps for name in step.openings),
    )


def _till_carriers(steps: Sequence[Told]) -> list[Told]:
    """The steps up to the carriers of a belt, whose ends are sewn into seams that others close (common practice)."""
    n = next((n for n, step in enumerate(steps, start=1) if step.key == "carriers"), 0)
    return list(steps[:n])


def _as_late(also: Mapping[str, Order], orders: Sequence[Order]) -> Mapping[str, Order]:
    """Let what is marked in the same way as the row wait for the row's own marks, on either side of the stop."""
    marked_late = any(step.key in MARKING and _is_final(step, order) for order in orders for step in order.steps)
    return {name: replace(order, stop_before=1) if marked_late else order for name, order in also.items()}


def _named(step: SharedStep) -> str:
    """A step with the closures that it is for, where it does not name their marks itself."""
    if all(name.partition(" (")[0].lower() in step.text for name in step.openings):
        return step.text
    return f"{'; '.join(step.openings)}: {step.text}"


def _is_final(step: Told, order: Order) -> bool:
    return order.stop_before is not None and step.n >= order.stop_before


def _shared(step: Told, names: tuple[str, ...], is_first_final: bool, stop: str = "") -> SharedStep:
    return SharedStep(step.text, step.done, step.source, names, is_first_final, step.key, stop)


def _merged(left: Mapping[str, Sequence[Told]]) -> list[tuple[Told, tuple[str, ...]]]:
    rows = {name: list(steps) for name, steps in left.items()}
    merged: list[tuple[Told, tuple[str, ...]]] = []
    while any(rows.values()):
        name = next(name for name, steps in rows.items() if steps)
        seen = {name}
        # An opening that has the same step, but something else to do first, does that first.
        while True:
            step = rows[name][0]
            behind = [other for other, steps in rows.items() if other not in seen and _later(steps, step)]
            if not behind:
                break
            name = behind[0]
            seen.add(name)
        sharing = tuple(other for other, steps in rows.items() if steps and _is_same(steps[0], step))
        merged.append((step, sharing))
        for other in sharing:
            rows[other].pop(0)
    return merged


def _later(steps: Sequence[Told], step: Told) -> bool:
    return bool(steps) and not _is_same(steps[0], step) and any(_is_same(other, step) for other in steps[1:])


def _is_same(one: Told, other: Told) -> bool:
    """Whether one step serves both: it is done, and is right, in the same words, and tried on the same piece."""
    return (one.text, one.done, one.tried_on) == (other.text, other.done, other.tried_on)
