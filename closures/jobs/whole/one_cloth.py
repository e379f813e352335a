"""The one cloth of a garment, and its one button: what several of its plans measured of them is the same in each."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from closures.checks.told_layers import MOST_UNLIKE_MEASURED
from closures.jobs.whole.tellers import Told, lengths_apart, verb
from closures.lengths import format_length
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.plan.plan import Plan

_ONE_PART_MM = 0.4
"""So far two measurements of one part lie apart, by a rule and by a gauge: our own rule."""


def thicknesses_apart(told: Told) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Look at a cloth that one plan measured far thicker than another, both free or both pressed.

    Yields:
        What is to be looked at, and the names of the openings.
    """
    layers = [(opening.name, plan, layer) for opening, plan in told for layer in plan.layers]
    for cloth, is_clamped in dict.fromkeys((layer.cloth, bool(layer.clamped)) for _, _, layer in layers):
        measured = [
            (layer.thickness_mm, name, format_length(layer.thickness_mm, plan.units))
            for name, plan, layer in layers
            if layer.thickness_mm is not None and layer.cloth == cloth and bool(layer.clamped) == is_clamped
        ]
        names = tuple(dict.fromkeys(name for _, name, _ in measured))
        if cloth is None or len(names) < 2:
            continue
        thick = [mm for mm, _, _ in measured]
        if max(thick) <= MOST_UNLIKE_MEASURED * min(thick):
            continue
        by_words: dict[str, list[str]] = {}
        for _, name, words in measured:
            if name not in by_words.setdefault(words, []):
                by_words[words].append(name)
        each = in_a_row([f"{in_a_row(some)} {verb(some, 'tell')} {words}" for words, some in by_words.items()])
        yield (
            f"Of one {cloth}, {each} as the thickness of a layer. One cloth has one: measure one layer of it again, "
            "and write the same thickness into the [[layer]] of each plan; where they are two cloths, leave cloth out "
            "beside the thickness, or give each a name of its own.",
            names,
        )


def closures_apart(told: Told) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Look at a closure of one kind and size that plans measured unlike: its buttonholes come out unlike too.

    Yields:
        What is to be looked at, and the names of the openings.
    """
    for kind, size in dict.fromkeys((plan.closure.kind, plan.closure.size) for _, plan in told):
        of_it = [one for one in told if (one[1].closure.kind, one[1].closure.size) == (kind, size)]
        for key in ("cap", "thickness"):
            unlike = lengths_apart(of_it, partial(_measured_mm, key=key), key, _ONE_PART_MM)
            if unlike:
                names = tuple(one.name for one, plan in of_it if _measured_mm(plan, key) is not None)
                yield (
                    f"Of one {kind} {size}, {unlike} under [closure]. Where it is one closure, measure it again, and "
                    "write the same into each of these plans; where they are two, buy and label each by its measure.",
                    names,
                )


def _measured_mm(plan: Plan, key: str) -> float | None:
    found: float | None = getattr(plan.closure, f"{key}_mm")
    return found
