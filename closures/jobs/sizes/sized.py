"""What the sizes of a pattern come to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.of_run import COMPARED
from closures.checks.rules import worst
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.counted_from import level_zero_told
from closures.placing.marking import are_along_alike
from closures.placing.run_mark import joint_mark, run_mark
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding, Result
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.sizes.counts import OneCount
    from closures.jobs.sizes.hold import Cost, Held, Kept
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


@frozen
class Sized:
    """One size, placed.

    Attributes:
        name: of the size.
        placement, findings: as `place` alone gives them for the plan of this size.
        sheets: its own marking templates, empty where only checks were asked for.
        kept: what was held.
        costs: what holding the count and holding the pitch come to.
    """

    name: str
    placement: Placement
    findings: tuple[Finding, ...]
    sheets: tuple[Sheet, ...]
    kept: Kept
    costs: tuple[Cost, ...]

    @property
    def result(self) -> Result:
        """The worst result of any rule."""
        return worst(self.findings)

    @property
    def plan_alone(self) -> Plan:
        """The plain plan of this size as the run has it, with what holding it against the other sizes found."""
        found = tuple(one.text for one in self.findings if one.rule == COMPARED)
        return replace(self.placement.told_plan, of_run=found)

    @property
    def pages_file(self) -> str:
        """The file of its own pages; it has one where it has sheets."""
        return f"marking-{self.sheets[0].name.removeprefix('over-')}.pdf"


@frozen
class RefusedSize:
    """One size that cannot be placed.

    Attributes:
        name: of the size.
        why: what is wrong, where, and how to mend it.
        costs: what was tried.
    """

    name: str
    why: str
    costs: tuple[Cost, ...] = ()


@frozen
class Sizes:
    """All sizes of a pattern.

    Attributes:
        plan: with its sizes.
        held: what the base gives to hold.
        all: every size in the plan's order.
        catalogue: what was looked up in.
        nest: the sheets that show all sizes on each other, over lap first; empty where only checks were asked for.
        one_count: the single count that would serve all sizes; None where none would, or not all were asked for.
    """

    plan: Plan
    held: Held
    all: tuple[Sized | RefusedSize, ...]
    catalogue: Catalogue
    nest: tuple[Sheet, ...] = ()
    one_count: OneCount | None = None

    @property
    def placed(self) -> tuple[Sized, ...]:
        """The sizes that could be placed, in the plan's order."""
        return tuple(size for size in self.all if isinstance(size, Sized))

    @property
    def refused(self) -> tuple[RefusedSize, ...]:
        """The sizes that could not."""
        return tuple(size for size in self.all if isinstance(size, RefusedSize))

    @property
    def base(self) -> Sized:
        """The base; where it could not be placed, the first size that could."""
        wanted = "" if self.plan.sizes is None else self.plan.sizes.base
        return next((size for size in self.placed if size.name == wanted), self.placed[0])

    @property
    def base_name(self) -> str:
        """The name of the plan's base, also where only other sizes are wanted."""
        return self.base.name if self.plan.sizes is None else self.plan.sizes.base

    @property
    def has_base(self) -> bool:
        """Whether the base is among the sizes; else the first of them stands for it in drawings."""
        return self.base.name == self.base_name

    @property
    def marked_by(self) -> tuple[LapName, ...]:
        """The laps whose figures are told: the over lap's where they serve both, else each lap's own."""
        is_alike = all(are_along_alike(size.placement.all_marks) for size in self.placed)
        return ("over",) if is_alike else ("over", "under")

    @property
    def result(self) -> Result:
        """The worst of all sizes; a size that could not be placed fails."""
        if self.refused or any(size.result == "fail" for size in self.placed):
            return "fail"
        return "warn" if any(size.result == "warn" for size in self.placed) else "pass"


def run_of(sizes: Sizes) -> str:
    """The run mark of all sizes that could be placed, together."""
    return joint_mark([run_mark(size.placement) for size in sizes.placed])


def assumed_in_words(sizes: Sizes) -> list[str]:
    """Say what was filled in where the plan does not say, each once; of some sizes only with their names."""
    return _each_once(sizes, lambda placement: placement.assumed)


def levels_in_words(sizes: Sizes) -> list[str]:
    """Say from where the sizes count their levels, where the plan tells that: each once, with its sizes."""
    return _each_once(sizes, level_zero_told)


def _each_once(sizes: Sizes, lines_of: Callable[[Placement], tuple[str, ...]]) -> list[str]:
    told: dict[str, list[str]] = {}
    for size in sizes.placed:
        for line in lines_of(size.placement):
            told.setdefault(line, []).append(size.name)
    every = len(sizes.placed)
    return [line if len(names) == every else f"Size {', '.join(names)}: {line}" for line, names in told.items()]


def kinds_in_words(sizes: Sizes) -> list[str]:
    """Say which marks are not as the row has them, and where those beside it lie, of sizes alike together."""
    told: dict[str, list[str]] = {}
    for size in sizes.placed:
        for share in size.placement.shares[1:]:
            numbers = ", ".join(str(mark.n) for mark in share.marks)
            marks = f"mark {numbers}" if len(share.marks) == 1 else f"marks {numbers}"
            hole = share.plan.closure.hole
            runs = f", its buttonhole {hole}" if hole and share.fastener.mark.buttonhole_lap is not None else ""
            lies = _beside(size.placement, share)
            told.setdefault(f", {marks}{lies}: {share.fastener.name}{runs}.", []).append(size.name)
    return [f"{_sizes_named(names, sizes)}{what}" for what, names in told.items()]


def _sizes_named(names: Sequence[str], sizes: Sizes) -> str:
    if len(names) == len(sizes.placed) > 1:
        return "Every size"
    return f"Size {names[0]}" if len(names) == 1 else f"Sizes {in_a_row(names)}"


def _beside(placement: Placement, share: Placement) -> str:
    """Where a share lies that is not in the row."""
    first = share.marks[0]
    if first.n <= len(placement.marks):
        return ""
    far = " and ".join(
        f"{format_length(on.edge_distance_mm, placement.plan.units)} inside the {lap} lap's edge"
        for lap, on in (("over", first.over), ("under", first.under))
        if on is not None
    )
    return f", beside the row, {far}"
