"""One order of work for several openings: what is the same for all is said once, as early as suits all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.advice.order import Order, Told


@dataclass(frozen=True, slots=True)
class SharedStep:
    """One step of the whole garment.

    Attributes:
        text, done: what to do, and when it is done right.
        source: where it comes from, empty where it is nobody's in particular.
        openings: the openings that it is done on, in order.
        is_first_final: nothing that is done from here on can be undone.
    """

    text: str
    done: str
    source: str
    openings: tuple[str, ...]
    is_first_final: bool


def shared_order(orders: Mapping[str, Order]) -> tuple[SharedStep, ...]:
    """Put the orders of several openings together.

    A step that several openings have is done on all of them together, once each of them has come so far. Every opening
    keeps its own order; openings take turns in the order given.

    Args:
        orders: of each opening by name, in the order in which they are worked.

    Returns:
        The steps. Everything that can be undone stands before everything that cannot, as in each order alone.
    """
    before = {name: [step for step in order.steps if not _is_final(step, order)] for name, order in orders.items()}
    after = {name: [step for step in order.steps if _is_final(step, order)] for name, order in orders.items()}
    first, then = _merged(before), _merged(after)
    return (
        *(_shared(step, names, False) for step, names in first),
        *(_shared(step, names, n == 0) for n, (step, names) in enumerate(then)),
    )


def _is_final(step: Told, order: Order) -> bool:
    return order.stop_before is not None and step.n >= order.stop_before


def _shared(step: Told, names: tuple[str, ...], is_first_final: bool) -> SharedStep:
    return SharedStep(step.text, step.done, step.source, names, is_first_final)


def _merged(left: Mapping[str, Sequence[Told]]) -> list[tuple[Told, tuple[str, ...]]]:
    rows = {name: list(steps) for name, steps in left.items()}
    merged: list[tuple[Told, tuple[str, ...]]] = []
    while any(rows.values()):
        name = next(name for name, steps in rows.items() if steps)
        seen = {name}
        # An opening that has the same step, but something else to do first, does that first.
        while True:
            step = rows[name][0]
            behind = [other for other, steps in rows.items() if other not in seen and _later(steps, step.text)]
            if not behind:
                break
            name = behind[0]
            seen.add(name)
        sharing = tuple(other for other, steps in rows.items() if steps and steps[0].text == step.text)
        merged.append((step, sharing))
        for other in sharing:
            rows[other].pop(0)
    return merged


def _later(steps: Sequence[Told], text: str) -> bool:
    return bool(steps) and steps[0].text != text and any(step.text == text for step in steps[1:])
