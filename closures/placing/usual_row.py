"""Which row is usual where a plan does not say: its gaps and its ends, by kind, cloth and place.

A place that the plan tells goes before an end that nobody told: where both cannot be, the end gives way, and says so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM, format_length
from closures.offered import up_mm
from closures.placing.buttonhole import hole_reaches
from closures.placing.differing import fastener_of
from closures.placing.garment import ends_called
from closures.placing.old_ends import old_ends
from closures.placing.usual_gap import is_of_coat_cloth, usual_gap
from closures.plan.ends import is_hip, may_be_hem
from closures.plan.kinds import Range
from closures.plan.spacing import SpacingWish
from closures.said import to_change

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.meeting import PlacedAnchor, PlacedZone
    from closures.plan.closure import ClosureWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units

# Of a count that nothing else holds, a last closure this part of a gap above the least is not much more: our own rule.
_NOT_MUCH_MORE = 0.25
_ROWS = 2.0
"""Every second row is worked from the right side, and may be the only one that carries a hole: geometry."""
_HEMMED = ("front", "back", "")
_SHORT_JACKET_MM = 600.0
"""The front edge of a jacket that ends at the hip or above it, and closes down to its hem: our own rule."""
_TO_THE_END = ("hook", "eyelet", "sew-on snap", "loop")

# A fixed place within half a gap of an end that nobody told is the closure at that end: our own rule.
_FIRST_SHARE = 0.5

_MAY_GAPE = ", since none was told and wider ones may gape"

EndName = Literal["first", "last"]

AtEnds = tuple[tuple["ClosureWish", "Fastener"], tuple["ClosureWish", "Fastener"]]
"""What is set next to the first end of a row and next to its last, where that is known."""


@frozen
class Usual:
    """One thing that was filled in.

    Attributes:
        what: what it came to, a sentence without its end.
        source: where it comes from.
        change: how to change it.
    """

    what: str
    source: str
    change: str

    @property
    def told(self) -> str:
        """The same in one line."""
        return f"{self.what} ({self.source})." + to_change(self.change)


@frozen
class UsualLength:
    """A length of the row that was filled in.

    Attributes:
        key: the key of the spacing.
        span: what it came to.
        before, after: the sentence on either side of the figure and of what garment it is.
        source: where it comes from.
        or_by: what else would change it.
        is_exact: whether it is the reach of a fixed place, and not to be rounded.
    """

    key: Literal["first", "last", "pitch", "widest"]
    span: Range
    before: str
    after: str
    source: str
    is_exact: bool = False
    or_by: str = ""

    def line(self, units: Units, state: str = "") -> Usual:
        """The same for people, with the state of the cloth that its figures are of."""
        change = "pitch or count" if self.key == "pitch" else self.key
        other = f"{self.or_by}, or " if self.or_by else ""
        what = self.before.replace("{}", in_words(self.span, units)) + state + self.after
        return Usual(what, self.source, f"{other}{change} under [spacing]")

    def put_in(self, spacing: SpacingWish) -> SpacingWish:
        """Write it where the plan left it open."""
        if self.key == "pitch":
            return replace(spacing, pitch_mm=self.span.low_mm)
        if self.key == "widest":
            return replace(spacing, widest_mm=self.span.low_mm, is_widest_usual=True)
        # What is carried from state to state and back comes out within rounding of the place it was.
        slack = SAME_MM if self.is_exact else 0.0
        span = Range(max(self.span.low_mm - slack, 0.0), self.span.high_mm + slack)
        return replace(spacing, first=span) if self.key == "first" else replace(spacing, last=span)


@frozen
class Found:
    """What is known where a row was spaced already and is to be spaced once more, the better for it.

    Attributes:
        at_ends: what is set next to either end.
        is_wide: it has gaps wider than is usual, though nobody told how wide they should be.
    """

    at_ends: AtEnds | None = None
    is_wide: bool = False


@frozen
class Told:
    """What a plan tells along a closing line, as it is met there.

    Attributes:
        length_mm: of the line.
        anchors, zones: the fixed places and the clear zones.
        least_mm: the least gap of the row.
        found: what is known of the row, where it was found already.
    """

    length_mm: float
    anchors: tuple[PlacedAnchor, ...] = ()
    zones: tuple[PlacedZone, ...] = ()
    least_mm: float = 0.0
    found: Found = Found()


def usual_row(
    plan: Plan, fastener: Fastener, told: Told, catalogue: Catalogue
) -> tuple[SpacingWish, tuple[UsualLength, ...]]:
    """Fill in what a plan leaves open of its row.

    Args:
        plan: with an edge, and with the way of its buttonholes settled.
        fastener: its closure.
        told: what the plan tells along the closing line.
        catalogue: where the usual figures are kept.

    Returns:
        The spacing complete, and everything that was filled in.
    """
    spacing = plan.spacing or SpacingWish()
    found: list[UsualLength] = []

    def fill(one: UsualLength) -> None:
        nonlocal spacing
        spacing = one.put_in(spacing)
        found.append(one)

    if spacing.pitch_mm is None and spacing.count is None:
        gap = usual_gap(plan, fastener, catalogue)
        span = Range(gap.mm, gap.mm)
        fill(UsualLength("pitch", span, "Gaps of about {}", f": {gap.text}", gap.source, or_by=gap.or_by))
        if told.found.is_wide and gap.widest is not None:
            widest = Range(gap.widest.mm, gap.widest.mm)
            fill(UsualLength("widest", widest, "Gaps of at most {}", _MAY_GAPE, gap.widest.source))
    if spacing.count == 1 and (spacing.first is None) != (spacing.last is None):
        # One closure that is told from one end: from the other it lies where that leaves it.
        anywhere = Range(0.0, told.length_mm)
        return replace(spacing, first=spacing.first or anywhere, last=spacing.last or anywhere), tuple(found)
    if spacing.first is None:
        first = _as_old("first", plan, told) or _usual_first(plan, fastener, told, catalogue)
        if spacing.count == 1 and told.length_mm < 2 * first.span.low_mm and not told.anchors and not told.zones:
            first = _in_the_middle(first, plan, fastener, told.length_mm, catalogue)
        fill(_given_way(first, spacing, told, plan))
    if spacing.last is None and spacing.count == 1:
        return replace(spacing, last=Range(0.0, told.length_mm)), tuple(found)
    if spacing.last is None:
        there, at_last = _set_at(plan, fastener, 1, told, catalogue)
        usual = _usual_last(there, at_last, spacing, told, catalogue, there.closure != plan.closure)
        last = _as_old("last", plan, told) or usual
        fill(_given_way(last, plan.spacing or SpacingWish(), told, plan))
    return spacing, tuple(found)


def _given_way(usual: UsualLength, told_of_row: SpacingWish, told: Told, plan: Plan) -> UsualLength:
    """Let an end that nobody told give way where a fixed place or a clear zone leaves no closure there.

    `told_of_row` is the spacing as far as it is told, `told` what else the plan tells along the line.
    """
    is_first = usual.key == "first"
    span, length = usual.span, told.length_mm

    def from_end(low: float, high: float) -> tuple[float, float]:
        return (low, high) if is_first else (length - high, length - low)

    why, is_exact = "", False
    closed = sorted((*from_end(*stretch), zone.name) for zone in told.zones for stretch in zone.closed_mm)
    for low, high, name in closed:
        if low < span.low_mm and span.high_mm < high < length:
            span = Range(high, high + (span.high_mm - span.low_mm))
            why = f"clear of '{name}'"
    reaches = [
        (*from_end(one.along_mm - one.within_mm, one.along_mm + one.within_mm), one.name) for one in told.anchors
    ]
    if reaches:
        low, high, name = min(reaches, key=lambda reach: reach[1])
        is_met = low <= span.high_mm and high >= span.low_mm
        beyond = max(told.least_mm, _FIRST_SHARE * (told_of_row.pitch_mm or 0.0))
        is_past = high >= span.low_mm + beyond and not _is_spent(told_of_row, told)
        if not is_met and not is_past:
            span = Range(max(low, 0.0), min(high, length))
            why, is_exact = f"at '{name}'", True
    if not why:
        return usual
    end = ends_called(plan.garment)[0 if is_first else 1]
    gives = f", {why}: the {in_words(usual.span, plan.units)} that would be usual gives way to what the plan tells"
    name = "First" if is_first else "Last"
    before = f"{name} closure {{}} from the {end}"
    return UsualLength(usual.key, span, before, gives, "as this program has it", is_exact)


def _is_spent(spacing: SpacingWish, told: Told) -> bool:
    """Whether the closures that were counted are all spoken for by places that were told."""
    ends = (spacing.first is not None) + (spacing.last is not None)
    return spacing.count is not None and spacing.count <= len(told.anchors) + ends


def _as_old(key: EndName, plan: Plan, told: Told) -> UsualLength | None:
    """The end of a row on a finished garment, where the old one has it; None where there is none."""
    both = old_ends(plan, told.length_mm)
    if both is None:
        return None
    n, name = (0, "First") if key == "first" else (1, "Last")
    before = f"{name} closure {{}} from the {ends_called(plan.garment)[n]}"
    return UsualLength(key, both[n], before, ", where the old one sits", "common practice")


def _usual_first(plan: Plan, fastener: Fastener, told: Told, catalogue: Catalogue) -> UsualLength:
    mm, why, source = _first(*_set_at(plan, fastener, 0, told, catalogue), catalogue)
    neck = f"{ends_called(plan.garment)[0]}{_on_what(plan)}"
    return UsualLength("first", _on_from(mm, plan), f"First closure {{}} from the {neck}", f", {why}", source)


def _in_the_middle(
    usual: UsualLength, plan: Plan, fastener: Fastener, length_mm: float, catalogue: Catalogue
) -> UsualLength:
    """The one closure of an edge too short for what is usual at either end: it, or its buttonhole, lies midway."""
    if plan.gauge is not None or plan.stripe is not None:
        return usual
    before, after = hole_reaches(plan, fastener, catalogue)
    mm = max((length_mm + before - after) / 2, 0.0)
    midway = ", midway on so short an edge"
    return replace(usual, span=Range(mm, mm), after=midway, source="as this program has it", is_exact=True)


def in_words(span: Range, units: Units) -> str:
    """A length or a range, for people."""
    low, high = (format_length(mm, units) for mm in (span.low_mm, span.high_mm))
    return low if low == high else f"{low} to {high}"


def _set_at(
    plan: Plan, fastener: Fastener, end: Literal[0, 1], told: Told, catalogue: Catalogue
) -> tuple[Plan, Fastener]:
    """What is set next to an end of the row, the first or the last: it keeps away from that end by its own size.

    Returns:
        The plan as it would be, were the whole row like that closure; and the closure.
    """
    if told.found.at_ends is not None:
        closure, there = told.found.at_ends[end]
        return replace(plan, closure=closure), there
    count = None if plan.spacing is None else plan.spacing.count
    number = (1, count)[end]
    for nth, wish in enumerate(plan.differs, start=1):
        called = (ends_called(plan.garment)[end].casefold(), ("first", "last")[end])
        is_named = wish.at is not None and wish.at.casefold() in called
        if is_named or (number is not None and number in (wish.mark, *wish.marks)):
            closure = wish.closure(plan.closure)
            return replace(plan, closure=closure), fastener_of(closure, catalogue, "differs", nth)
    return plan, fastener


def _on_from(least_mm: float, plan: Plan) -> Range:
    """From a distance on to the next place where a closure may lie, of those that lie on whole rows or on repeats."""
    every_mm = 0.0
    if plan.gauge is not None:
        every_mm = _ROWS * plan.gauge.step_mm
    elif plan.stripe is not None:
        every_mm = plan.stripe.every_mm
    return Range(least_mm, least_mm + every_mm)


def _on_what(plan: Plan) -> str:
    return ", on a whole row or stitch" if plan.gauge is not None else "" if plan.stripe is None else ", on a repeat"


def _opens(plan: Plan) -> str:
    return "" if plan.garment is None else plan.garment.opens or ""


def _first(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[float, str, str]:
    """Where the first closure sits: a button its diameter and 1/4 in below a neck, a loop at it, others clear of it."""
    is_below_neck = _opens(plan) in _HEMMED or ends_called(plan.garment)[0] == "neck"
    if fastener.mark.buttonhole_lap is not None and is_below_neck:
        extra = catalogue.rule("first buttonhole extra")
        mm = fastener.cap_mm + extra.value.value
        why = f"the button's diameter and {format_length(extra.value.value, plan.units)}"
        return mm, why, extra.value.provenance.text
    ends, warn = catalogue.rule("ends least"), catalogue.rule("edge warn extra")
    if fastener.family == "loop":
        mm = max(fastener.rim_mm, 0.0 if plan.loop is None else plan.loop.feet_mm / 2)
        mm = mm if mm == fastener.rim_mm else up_mm(mm, plan.units)
        return mm, "right at it, as loops begin where edges meet", "common practice"
    mm = max(ends.value.value, fastener.rim_mm + warn.value.value)
    hole_mm = max(hole_reaches(plan, fastener, catalogue))
    if hole_mm > mm:
        # As far in at either end: of a slit that reaches past its button by unlike much, the row would lie to one side.
        return up_mm(hole_mm, plan.units), "so that no buttonhole runs into an end", "as this program has it"
    return mm, "clear of the finished end", ends.value.provenance.text


def _usual_last(
    plan: Plan, fastener: Fastener, spacing: SpacingWish, told: Told, catalogue: Catalogue, is_other: bool
) -> UsualLength:
    """Leave room above a hem, or the same as at the first end where there is none or the edge is short.

    Args:
        plan, fastener: with what is set there, which is not the row's own closure where it `is_other`.
        spacing: the first end settled.
        told: for the length of the closing line.
        catalogue: where the usual figures are kept.
        is_other: it may want more room of its own than the first.
    """
    length_mm = told.length_mm
    first = spacing.first or Range(0.0, 0.0)
    rule = catalogue.rule("last buttonhole intervals")
    gaps = rule.value.value
    count = spacing.count
    gap_mm = (
        spacing.pitch_mm if spacing.pitch_mm is not None else (length_mm - first.low_mm) / ((count or 2) - 1 + gaps)
    )
    low = max(gaps * gap_mm, hole_reaches(plan, fastener, catalogue)[1])
    high = max(low, (gaps + 1) * gap_mm)
    end = ends_called(plan.garment)[1]
    # The band of a cardigan ends where the knitting does, a bodice at a seam, and both are held shut there.
    # What is drawn on over the head has a slit, which does not end at a hem.
    is_slit = plan.way_in is not None and plan.way_in.way == "over the head"
    to_the_end = plan.gauge is not None or not may_be_hem(end) or is_slit or fastener.family in _TO_THE_END
    has_hem = _opens(plan) in _HEMMED and not to_the_end
    is_short = (length_mm <= _SHORT_JACKET_MM or is_hip(end)) and is_of_coat_cloth(plan, catalogue)
    if has_hem and is_short and length_mm >= 2 * first.low_mm + gap_mm:
        return _near_the_hem(plan, fastener, first, gap_mm, catalogue)
    if has_hem and length_mm >= first.low_mm + high + gap_mm - SAME_MM:
        high = max(high, catalogue.rule("last above hem, for walking").value.value)
        if spacing.pitch_mm is None and plan.stripe is None and not told.anchors and not told.zones:
            # The gaps of a count follow from where the row ends: the most is told in those that come of it.
            most = gaps + _NOT_MUCH_MORE
            high = max(low, most * (length_mm - first.low_mm) / ((count or 2) - 1 + most))
        # Where nothing tells what opens, nothing tells that the edge ends at a hem.
        before = f"Last closure {{}} {'above' if _opens(plan) else 'from'} the {end}"
        source = f"the least: {rule.value.provenance.text}; the most: as this program has it"
        return UsualLength("last", Range(low, high), before, f", at least {gaps:g} gaps and not much more", source)
    # Not a range: rather gaps a little off the pitch than one end that stands further in than the other.
    before = f"Last closure {{}} from the {end}"
    ends = catalogue.rule("ends least").value
    hole_mm = up_mm(hole_reaches(plan, fastener, catalogue)[1], plan.units)
    own_mm = max(ends.value, fastener.rim_mm + catalogue.rule("edge warn extra").value.value)
    if hole_mm > first.low_mm:
        after = ", as far as its buttonhole asks"
        return UsualLength("last", _on_from(hole_mm, plan), before + _on_what(plan), after, "as this program has it")
    if is_other and own_mm > first.low_mm:
        own = _on_from(up_mm(own_mm, plan.units), plan)
        after = ", as far as its own size asks"
        return UsualLength("last", own, before + _on_what(plan), after, ends.provenance.text)
    if 2 * first.low_mm + told.least_mm > length_mm:
        own = _on_from(max(own_mm, hole_mm), plan)
        after = ", clear of the finished end, since the first lies past the middle"
        return UsualLength("last", own, before + _on_what(plan), after, ends.provenance.text)
    return UsualLength("last", first, before, ", as at the first", "common practice")


def _near_the_hem(plan: Plan, fastener: Fastener, first: Range, gap_mm: float, catalogue: Catalogue) -> UsualLength:
    """The last closure of a short jacket: from as far as the first to half a gap above the hem."""
    own_mm = max(
        catalogue.rule("ends least").value.value,
        fastener.rim_mm + catalogue.rule("edge warn extra").value.value,
        hole_reaches(plan, fastener, catalogue)[1],
    )
    least_mm = max(first.low_mm, up_mm(own_mm, plan.units))
    span = Range(least_mm, max(gap_mm / 2, _on_from(least_mm, plan).high_mm))
    before = f"Last closure {{}} from the {ends_called(plan.garment)[1]}{_on_what(plan)}"
    return UsualLength("last", span, before, ", as a short jacket closes down to its hem", "our own rule")
