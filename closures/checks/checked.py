"""A placement as the rules see it: marks lap by lap, limits with their sources, lengths in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, TypeVar

from closures.checks.finding import Finding, Result
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.offered import up_mm
from closures.placing.carrying import carry_along
from closures.placing.column_room import worst_told_across

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName, Rule
    from closures.placing.lap import Lap
    from closures.placing.placement import LapMark, Mark, Placement

_T = TypeVar("_T")
_ALIKE_MM = 1e-3


@frozen
class Checked:
    """What a rule is given.

    Attributes:
        placement: the closures as placed.
        catalogue: limits, cloths and other sizes.
        unwashed: by what a length of the placement, along the closing line and across it, comes to more on the cloth
            as it is marked, before a wash that makes it what the placement shows.
        marked: the same closures as they are marked, where a wash makes them what the placement shows.
        again: what all rules say of the closures placed otherwise, to try what is offered; None on such a trial.
    """

    placement: Placement
    catalogue: Catalogue
    unwashed: tuple[float, float] = (1.0, 1.0)
    marked: Placement | None = None
    again: Callable[[Placement], tuple[Finding, ...]] | None = None

    @property
    def told_along(self) -> float:
        """By what a length along the closing line comes to more in the plan's own figures."""
        return self.unwashed[0] if self.is_told_unwashed else 1.0

    @property
    def told_across(self) -> float:
        """By what a length across the closing line comes to more in the plan's own figures, at the most."""
        return worst_told_across(self.placement) if self.is_told_unwashed else 1.0

    @property
    def is_told_unwashed(self) -> bool:
        """Whether the plan was measured on cloth that is still to shrink to what the placement shows."""
        shrinkage = self.placement.plan.shrinkage
        return shrinkage is not None and shrinkage.measured == "unwashed" and self.unwashed != (1.0, 1.0)

    def told_place(self, lap: LapName, along_mm: float) -> float:
        """Where a place along a lap's line lies along it as the plan tells it."""
        if self.marked is None or not self.is_told_unwashed:
            return along_mm
        worn, marked = self.placement.laps[lap].line, self.marked.laps[lap].line
        return carry_along(along_mm, worn, marked, self.marked.plan)

    def told_from_end(self, name: str, mm: float) -> float:
        """How far from the "first" or "last" end of the closing line this is as the plan tells it."""
        if self.marked is None or not self.is_told_unwashed:
            return mm
        if name == "first":
            return self.told_place("over", mm)
        return self.marked.laps.line.length_mm - self.told_place("over", self.placement.laps.line.length_mm - mm)

    def quote(self, mm: float, told_mm: float | None) -> str:
        """A length along the line that the plan tells, as worn, with the plan's own figure where that is another."""
        if not self.is_told_unwashed or told_mm is None:
            return self.show(mm)
        return f"{self.show(mm)} ({self.show(told_mm)} in the plan, unwashed)"

    @property
    def fastener(self) -> Fastener:
        """The closure in hand."""
        return self.placement.fastener

    @property
    def rim_mm(self) -> float:
        """From a centre to the outer boundary of the largest part."""
        return self.placement.fastener.rim_mm

    def rule(self, key: str) -> Rule:
        """A limit of the catalogue, with its source."""
        return self.catalogue.rule(key)

    def limit_mm(self, key: str) -> float:
        """A limit's figure."""
        return self.catalogue.rule(key).value.value

    def source(self, key: str) -> str:
        """Where a limit comes from, in words."""
        return self.catalogue.rule(key).value.provenance.text

    def show(self, mm: float) -> str:
        """A length for people, in the plan's units; beside inches the mm, as limits are often small."""
        from closures.lengths import format_inches, format_mm

        if self.placement.plan.units == "mm":
            return format_mm(mm)
        return f"{format_inches(mm)} ({format_mm(mm)})"

    def show_under(self, mm: float, limit_mm: float) -> str:
        """A length that falls short of a limit; where rounding would tell both alike, it is just under that limit."""
        shown = self.show(mm)
        return f"just under {shown}" if shown == self.show(limit_mm) else shown

    def show_up(self, mm: float) -> str:
        """A length that is to be added, rounded up to what people measure by, so that what is shown is enough."""
        return self.show(up_mm(mm, self.placement.plan.units))

    def on_laps(self) -> Iterator[tuple[Lap, list[tuple[Mark, LapMark]]]]:
        """Each lap with the marks that it carries."""
        for lap in self.placement.laps.both:
            carried = [(mark, mark.on(lap.name)) for mark in self.placement.marks]
            yield lap, [(mark, on_lap) for mark, on_lap in carried if on_lap is not None]


@frozen
class Limits:
    """Two limits that a figure should not fall under.

    Attributes:
        warn_mm: under this it is told.
        fail_mm: under this it fails.
        warn_source, fail_source: where they come from.
    """

    warn_mm: float
    fail_mm: float
    warn_source: str
    fail_source: str

    def judge(self, found_mm: float) -> tuple[Result, float, str]:
        """The result for a figure, with the limit and the source that decide it."""
        if found_mm < self.fail_mm - SAME_MM:
            return "fail", self.fail_mm, self.fail_source
        if found_mm < self.warn_mm - SAME_MM:
            return "warn", self.warn_mm, self.warn_source
        return "pass", self.warn_mm, self.warn_source


def first_least(found: Iterable[_T], mm: Callable[[_T], float]) -> _T:
    """The least, and of those that differ by rounding alone the first: a drawing that is moved tells of the same mark.

    Raises:
        ValueError: there is none.
    """
    entries = list(found)
    least = min(map(mm, entries))
    return next(entry for entry in entries if mm(entry) <= least + _ALIKE_MM)


def judge_least(
    rule: str,
    lap: str | None,
    found: Sequence[tuple[int | None, float]],
    limits: Limits,
    say: Callable[[Result, float, float], str],
) -> list[Finding]:
    """Hold figures against a least value: a finding for each that falls short, or one for all that pass.

    Args:
        rule: the rule's name.
        lap: the lap, or None.
        found: mark number and figure in mm, for each place looked at.
        limits: what they are held against.
        say: the sentence for a result, a figure and a limit.

    Returns:
        The findings; none where nothing was looked at.
    """
    if not found:
        return []
    judged = [(mark, figure, *limits.judge(figure)) for mark, figure in found]
    short = [entry for entry in judged if entry[2] != "pass"]
    told = short or [first_least(judged, lambda entry: entry[1])]
    return [
        Finding(rule, result, say(result, figure, limit), source, lap, mark, figure, limit, "least")
        for mark, figure, result, limit, source in told
    ]
