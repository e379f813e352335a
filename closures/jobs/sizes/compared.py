"""Are the sizes of a run in step with each other: edges, levels and places that grow from size to size?

Each size is placed by itself, and a line that was named for another size, drawn at another scale or measured from
another point is sound by itself: only its neighbours show it.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.checks.of_run import found_in_run
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.counted_from import height_of_first_end
from closures.said import for_author

if TYPE_CHECKING:
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement
    from closures.plan.sizes import SizesWish

_SAME_MM = 2.0
"""What drawing and measuring may be out by: sizes that differ by no more are alike. Our own rule."""

_UNEVEN = 3.0
"""A step that is more than so many times as large as the others lie in the middle is looked at: where the grade breaks
between ranges of sizes, girths take one and a half to two times the step (common practice), and single figures that are
rounded and tried on vary more. Our own rule."""

_LEAST_JUMP_MM = 15.0
"""And only if it is larger than they are by so much: more than one step of most lengths of a body. Our own rule."""


@frozen
class _Run:
    """One figure over the sizes, in the order of their steps.

    Attributes:
        what: it is, in words that begin a sentence.
        names: of the sizes.
        steps: how many steps each lies from the base.
        figures: in mm.
        may_fall: it may as well be smaller in larger sizes.
    """

    what: str
    names: tuple[str, ...]
    steps: tuple[float, ...]
    figures: tuple[float, ...]
    may_fall: bool = False

    @property
    def rises_mm(self) -> float:
        """By how much the last figure is greater than the first."""
        return self.figures[-1] - self.figures[0]

    @property
    def is_falling(self) -> bool:
        """Whether it falls over the run and rises nowhere."""
        never_up = all(after <= before + _SAME_MM for before, after in pairwise(self.figures))
        return self.rises_mm < -_SAME_MM and never_up


def compare_sizes(sizes: SizesWish, placed: Sequence[tuple[str, Placement]]) -> tuple[Finding, ...]:
    """Hold the sizes of a run against each other.

    Args:
        sizes: of the plan.
        placed: every size that could be placed, with its name.

    Returns:
        What there is to look at, for every size alike; nothing where all go up together.
    """
    if len(placed) < 2:
        return ()
    placed = sorted(placed, key=lambda one: sizes.steps_to(one[0]))
    show = partial(format_length, units=placed[0][1].plan.units)
    runs = list(_runs(sizes, placed))
    length, *_ = runs
    if length.is_falling:
        texts: list[str] = [
            f"The finished edge grows shorter from size to size: {_listed(length, show)}. Sizes are named smallest "
            "first, and a step is added from each to the next: where these are named largest first, every step runs "
            "the wrong way." + for_author(" Write names from the smallest to the largest.")
        ]
    else:
        texts = [text for run in runs for text in _looked_at(run, show)]
    return tuple(found_in_run(texts))


def _runs(sizes: SizesWish, placed: Sequence[tuple[str, Placement]]) -> Iterator[_Run]:
    names, told = tuple(name for name, _ in placed), [placement.as_told for _, placement in placed]
    steps = tuple(sizes.steps_to(name) for name in names)

    def run(what: str, figure: Callable[[Placement], float], may_fall: bool = False) -> _Run:
        return _Run(what, names, steps, tuple(figure(one) for one in told), may_fall)

    yield run("The length of the finished edge", lambda one: one.laps.over.edge.length_mm)
    edge = told[0].plan.edge
    if edge is not None and edge.level_zero is not None:
        yield run(
            "The height of the place that levels are counted from, over the first end,",
            lambda one: height_of_first_end(one.laps) - one.laps.level_zero_mm,
            may_fall=True,
        )
    for n, anchor in enumerate(told[0].plan.anchors):
        for key in ("level_mm", "along_mm"):
            if getattr(anchor, key) is not None:
                what = f'The {key.removesuffix("_mm")} of "{anchor.name}"'
                yield run(what, lambda one, n=n, key=key: getattr(one.plan.anchors[n], key))  # type: ignore[misc]
    for n, zone in enumerate(told[0].plan.clear):
        for key in ("level_mm", "along_mm"):
            if getattr(zone, key) is not None:
                what = f'The beginning of "{zone.name}"'
                yield run(what, lambda one, n=n, key=key: getattr(one.plan.clear[n], key).low_mm)  # type: ignore[misc]


def _looked_at(run: _Run, show: Callable[[float], str]) -> Iterator[str]:
    """Tell where a figure falls while the sizes rise, else where one of its steps is unlike all others."""
    look = (
        f"All sizes: {_listed(run, show)}. Look at the line and the figures of these two: lines named for each other's "
        "size, one drawn at another scale, or a figure mistyped come out so. If it is meant so, all is well."
    )
    way = -1.0 if run.may_fall and run.rises_mm < -_SAME_MM else 1.0
    against = [
        f"from {show(before)} in size {name} to {show(after)} in size {next_name}"
        for (before, after), (name, next_name) in zip(pairwise(run.figures), pairwise(run.names), strict=True)
        if way * (after - before) < -_SAME_MM
    ]
    if against:
        yield f"{run.what} {'falls' if way > 0 else 'rises'} against the other sizes, {'; '.join(against)}. {look}"
        return
    jumps = [
        (after - before) / (step if (step := above - below) > 0 else 1.0)
        for (before, after), (below, above) in zip(pairwise(run.figures), pairwise(run.steps), strict=True)
    ]
    for n, jump in enumerate(jumps):
        others = [abs(one) for k, one in enumerate(jumps) if k != n]
        usual = statistics.median(others) if others else abs(jump)
        if abs(jump) > _UNEVEN * usual and abs(jump) - usual > _LEAST_JUMP_MM:
            yield (
                f"{run.what} changes by {show(abs(jump))} a step from size {run.names[n]} to size {run.names[n + 1]}, "
                f"and by some {show(usual)} a step elsewhere. {look}"
            )


def _listed(run: _Run, show: Callable[[float], str]) -> str:
    return ", ".join(f"{name} {show(figure)}" for name, figure in zip(run.names, run.figures, strict=True))
