"""What would help a front that gapes: each change is made to the plan, placed and reckoned anew, then ranked.

Changes that cannot be placed are left out. What a change does is told as a ratio, since both rows share
everything that is not known.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.errors import ClosureError
from closures.frozen import frozen
from closures.jobs.gape.formulas import RIPPLES_ABOVE
from closures.jobs.gape.row import judge_row
from closures.jobs.gape.tables import figure
from closures.lengths import format_length
from closures.spacing.measure import measure

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.jobs.gape.known import Input
    from closures.jobs.gape.ranges import Between
    from closures.jobs.gape.row import Gape
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

HelpName = Literal["closer", "helper", "stiffer", "inset", "ease", "larger"]
Again = Callable[["Plan"], "Placement"]
# A change that leaves more than this of the worst gape number helps nothing that can be seen: our own rule.
_WORTH = 0.95
_NARROWER = 2 / 3
_MOST_TRIES = 3
# The formulas were held against the solved strip for gaps of 30 to 120 mm; closer rows are not judged: our own
# rule.
_CLOSEST_JUDGED_MM = 30.0


@frozen
class Help:
    """One change and what it comes to.

    Attributes:
        name: which.
        title: what is changed, in a few words.
        number: the worst gape number then, at ease.
        times: the worst gape number then over now.
        hold_times: the greatest load over what opens the closure, then over now.
        text: what it comes to and what it costs, in a sentence or two.
    """

    name: HelpName
    title: str
    number: Between
    times: float
    hold_times: float
    text: str

    @property
    def is_worth(self) -> bool:
        """Whether it makes the front calmer."""
        return self.times <= _WORTH

    @property
    def is_of_use(self) -> bool:
        """Whether it changes what it is for: how calm the front lies, or of a larger closure how it holds."""
        return self.is_worth or (self.name == "larger" and self.hold_times <= _WORTH)

    @property
    def is_calm(self) -> bool:
        """Whether the middle of the range lies calm then."""
        return self.number.middle <= RIPPLES_ABOVE


@frozen
class Helps:
    """All changes that were tried.

    Attributes:
        ranked: the most helpful first.
        closures_alone: whether more closures alone could make the front calm, in words.
    """

    ranked: tuple[Help, ...]
    closures_alone: str


def find_helps(placement: Placement, gape: Gape, catalogue: Catalogue, again: Again) -> Helps:
    """Try what would help.

    Args:
        placement: the row as it is, in the state of the cloth in which its plan was measured.
        gape: what it comes to.
        catalogue: fasteners and rules.
        again: places a changed plan on the same edge.

    Returns:
        The changes, ranked; none where the row lies calm whatever is not known.
    """
    worst = gape.worst
    if worst is None or worst.number.high <= RIPPLES_ABOVE:
        return Helps((), "")
    trial = _Trial(placement, gape, catalogue, again)
    found = [*trial.closer(), *trial.helper(), *trial.stiffer(), *trial.inset(), *trial.ease(), *trial.larger()]
    return Helps(tuple(sorted(found, key=lambda one: (one.times, one.hold_times))), trial.closures_alone())


@frozen
class _Trial:
    placement: Placement
    gape: Gape
    catalogue: Catalogue
    again: Again

    @property
    def worst(self) -> Between:
        worst = self.gape.worst
        if worst is None:
            raise ValueError("a row of one closure has no gap")
        return worst.number

    def closer(self) -> Iterator[Help]:
        """More closures: as many as make it calm, or half as many again where none do."""
        gaps = len(self.gape.gaps)
        calm = math.ceil(gaps * math.sqrt(self.worst.middle)) + 1
        most = self._most_closures()
        first = min(calm if calm <= most else math.ceil(1.5 * gaps) + 1, most)
        for count in range(max(first, gaps + 2), min(first + _MOST_TRIES, most + 1)):
            row = self._placed(self._with_count(count))
            if row is not None:
                pitch = format_length(row.as_told.spacing.largest_mm, self.placement.plan.units)
                yield self._help(
                    "closer", f"{count} closures in place of {gaps + 1}", row, f"No gap is wider than {pitch}."
                )
                return

    def helper(self) -> Iterator[Help]:
        """A hidden closure in the middle of the worst gap."""
        worst = self.gape.worst
        if worst is None:
            return
        places = list(self.placement.as_worn.spacing.positions_mm)
        places.insert(worst.gap, worst.start_mm + worst.pitch_mm / 2)
        row = self._at(tuple(places))
        only = self._help("helper", "", row, "")
        others = (
            "The other gaps stay as they are" if only.times > _WORTH else "It stands in the middle of the worst gap"
        )
        text = f"{others}: a small flat snap between marks {worst.from_mark} and {worst.to_mark}, sewn to the inside."
        yield replace(only, title=f"a hidden helper between marks {worst.from_mark} and {worst.to_mark}", text=text)

    def stiffer(self) -> Iterator[Help]:
        """A stiffer interfacing."""
        more = figure("a stiffer interfacing")
        known = self.gape.known
        stiffness = replace(known.stiffness, range=known.stiffness.range.times(more.range.low, more.range.high))
        then = judge_row(self.placement, self.catalogue, replace(known, stiffness=stiffness))
        yield self._told(
            "stiffer", "a stiffer interfacing", then, f"{more.text.capitalize()} ({more.provenance.text})."
        )

    def inset(self) -> Iterator[Help]:
        """The line nearer to the edge, as far as the edge distance allows."""
        plan, lap = self.placement.plan, self.placement.laps.over
        if plan.band is None or plan.edge is None or plan.edge.line is not None:
            return
        least = self.placement.fastener.rim_mm + self.catalogue.rule("edge warn extra").value.value
        narrower = max(lap.inset_mm * _NARROWER, least)
        if narrower > 0.97 * lap.inset_mm:
            return
        under = plan.band.under_inset_mm - (lap.inset_mm - narrower)
        band = replace(plan.band, inset_mm=narrower, under_inset_mm=max(under, least))
        row = self._placed(replace(plan, band=band))
        if row is not None:
            show = format_length(narrower, plan.units)
            yield self._help("inset", f"the line {show} from the edge", row, "A wider inset would be worse.")

    def ease(self) -> Iterator[Help]:
        """More ease."""
        half, known = figure("more ease"), self.gape.known

        def eased(share: float) -> Gape:
            def less(one: Input) -> Input:
                return replace(one, range=one.range.times(share, share))

            sitting = None if known.sitting is None else less(known.sitting)
            deep = None if known.deep is None else less(known.deep)
            changed = replace(known, pull=less(known.pull), sitting=sitting, deep=deep)
            return judge_row(self.placement, self.catalogue, changed)

        yield self._told("ease", "more ease", eased(half.range.low), f"{half.text.capitalize()}.")

    def larger(self) -> Iterator[Help]:
        """The next larger closure of the kind."""
        plan, own = self.placement.plan, self.placement.fastener
        if self.gape.known.hold is None or plan.closure.cap_mm is not None:
            return
        bigger = [f for f in self.catalogue.fasteners if f.kind == own.kind and f.cap_mm > own.cap_mm + 0.1]
        if not bigger:
            return
        chosen = min(bigger, key=lambda f: f.cap_mm)
        closure = replace(plan.closure, size=chosen.size, grip_mm=None)
        pull = None if plan.pull is None else replace(plan.pull, opens_n=None)
        row = self._placed(replace(plan, closure=closure, pull=pull))
        if row is None:
            return
        from closures.jobs.gape.known import hold_of
        from closures.plan.pull import PullWish

        known = replace(self.gape.known, hold=hold_of(row.fastener, pull or PullWish()))
        then = judge_row(row, self.catalogue, known)
        text = "It holds more, and lets the row gape as before: this is for a snap that springs open."
        yield self._told("larger", chosen.name, then, text)

    def closures_alone(self) -> str:
        """Whether more closures alone would make the front calm."""
        row = None
        for fewer in range(_MOST_TRIES):
            row = self._placed(self._with_count(self._most_closures() - fewer))
            if row is not None:
                break
        if row is None:
            return ""
        then = judge_row(row, self.catalogue, self.gape.known)
        states = [(name, gap) for name, gap in then.states if gap.number.middle > RIPPLES_ABOVE]
        if not states:
            return ""
        name, gap = states[-1]
        pitch = format_length(row.as_told.spacing.largest_mm, self.placement.plan.units)
        numbers = f"{gap.number.low:.2g} to {gap.number.high:.2g}"
        return (
            f"More closures alone would not make it calm {name}: even {len(row.marks)} of them, one every {pitch}, "
            f"leave a gape number of {numbers}. It wants a stiffer band or more ease."
        )

    def _most_closures(self) -> int:
        spacing = self.placement.spacing
        span = spacing.positions_mm[-1] - spacing.positions_mm[0]
        return int(span / max(self.placement.fastener.least_pitch.value, _CLOSEST_JUDGED_MM)) + 1

    def _with_count(self, count: int) -> Plan:
        plan = self.placement.plan
        spacing = plan.along_an_edge[2]
        return replace(plan, spacing=replace(spacing, count=count, pitch_mm=None, closest_mm=None))

    def _placed(self, plan: Plan) -> Placement | None:
        try:
            return self.again(plan)
        except ClosureError:
            return None

    def _at(self, places: tuple[float, ...]) -> Placement:
        """The same row with a further place; nothing but its places is looked at."""
        from closures.spacing.wish import Wish

        worn = self.placement.as_worn
        length = worn.laps.line.length_mm
        wish = Wish(length, (0.0, length), (0.0, length), 1.0, math.inf, None, len(places), (), (), 1.0)
        return replace(worn, spacing=measure(wish, places, ""))

    def _help(self, name: HelpName, title: str, row: Placement, text: str) -> Help:
        return self._told(name, title, judge_row(row, self.catalogue, self.gape.known), text)

    def _told(self, name: HelpName, title: str, then: Gape, text: str) -> Help:
        worst = then.worst
        if worst is None:
            raise ValueError("a row of one closure has no gap")
        return Help(
            name, title, worst.number, worst.number.middle / self.worst.middle, _strain(then) / _strain(self.gape), text
        )


def _strain(gape: Gape) -> float:
    hold = gape.known.hold
    return gape.most_load.load_n.middle / (1.0 if hold is None else hold.range.middle)
