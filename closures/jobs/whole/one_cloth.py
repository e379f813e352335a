"""The one cloth of a garment, and its one button: what several of its plans measured of them is the same in each."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from closures.checks.told_layers import MOST_UNLIKE_MEASURED
from closures.jobs.whole.tellers import Told, lengths_apart, tellers, verb
from closures.lengths import format_length
from closures.plan.gauge import USUAL_OVER_MM
from closures.said import for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

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
            f"Of one {cloth}, {each} as the thickness of a layer. One cloth has one: measure one layer of it again"
            + for_author(
                ", and write the same thickness into the [[layer]] of each plan; where they are two cloths, leave "
                "cloth out beside the thickness, or give each a name of its own.",
                ".",
            ),
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
                    f"Of one {kind} {size}, "
                    + unlike
                    + for_author(" under [closure]")
                    + ". Where it is one closure, measure it again"
                    + for_author(", and write the same into each of these plans")
                    + "; where they are two, buy and label each by its measure.",
                    names,
                )


def _measured_mm(plan: Plan, key: str) -> float | None:
    found: float | None = getattr(plan.closure, f"{key}_mm")
    return found


def _cloth(plan: Plan) -> str | None:
    """The plan's own cloth, which stands first among its layers; None where it is not told by name."""
    return plan.layers[0].cloth if plan.layers else None


def by_cloth(told: Told) -> Iterator[tuple[str, Told]]:
    for cloth in dict.fromkeys(_cloth(plan) for _, plan in told):
        if cloth is not None:
            yield cloth, [one for one in told if _cloth(one[1]) == cloth]


def gauges_apart(told: Told) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Ask about bands of one cloth that are knitted in two gauges."""
    return _told_apart(
        told,
        _gauge_in_words,
        "to 10 cm. One yarn, needle and pattern have one gauge: measure again"
        + for_author(", and write the same stitches and rows under [gauge] of both plans.", ".")
        + " Where they are knitted unlike, this is right as it is.",
    )


def stripes_apart(told: Told) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Ask about one cloth that is told with two repeats."""
    return _told_apart(
        told,
        _repeat_in_words,
        "from one repeat to the next. One cloth has one repeat: measure it again over ten of them"
        + for_author(", and write the same under [stripe] of both plans.", ".")
        + " Where one is cut on the other grain, this is right as it is.",
    )


def _told_apart(told: Told, tells: Callable[[Plan], str | None], mend: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Ask about one cloth of which plans tell something otherwise that it has once."""
    for cloth, of_it in by_cloth(told):
        found = tellers(of_it, tells)
        if len(found) > 1:
            each = in_a_row([f"{in_a_row(some)} {verb(some, 'tell')} {what}" for what, some in found.items()])
            names = tuple(name for some in found.values() for name in some)
            yield f"Of one {cloth}, {each} " + mend, names


def _repeat_in_words(plan: Plan) -> str | None:
    return None if plan.stripe is None else format_length(plan.stripe.every_mm, plan.units)


def _gauge_in_words(plan: Plan) -> str | None:
    """A gauge to a tenth of a stitch; None where nothing is knitted."""
    gauge = plan.gauge
    if gauge is None:
        return None
    to_ten = USUAL_OVER_MM / gauge.over_mm
    return f"{round(gauge.stitches * to_ten, 1):g} stitches and {round(gauge.rows * to_ten, 1):g} rows"
