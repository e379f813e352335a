"""What holds where a plan does not say: ends and gaps as the trade has them, by kind, cloth and place.

The shortest plan is an edge, a width, a lap, a kind and a size. Everything that is filled in here is told in one line,
with where it comes from and how to change it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import format_length
from closures.offered import at_least, up_mm
from closures.placing.buttonhole import buttonhole_for
from closures.placing.differing import fastener_of
from closures.placing.garment import ends_called
from closures.placing.shrinkage import as_measured, banded
from closures.placing.stack import layers_on, worked_cloths
from closures.plan.kinds import Range
from closures.plan.spacing import SpacingWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.plan.plan import Plan

_ROWS = 2.0
"""Every second row is worked from the right side, and may be the only one that carries a hole: geometry."""
SMALL_SNAP_MM = 8.0
"""The smallest sew-on snaps of the catalogue measure up to this across, from memory."""
_HEMMED = ("front", "back", "")
# What coats and jackets are made of and shirts are not, also where one layer is thin: our own rule.
_COATS = frozenset(("leather", "coated", "padded"))


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
        return f"{self.what} ({self.source}). To change it: {self.change}."


def with_usual(
    plan: Plan,
    fastener: Fastener,
    length_mm: float,
    catalogue: Catalogue,
    beyond_mm: tuple[float, float] = (0.0, 0.0),
) -> tuple[Plan, tuple[str, ...]]:
    """Fill in what a plan leaves open.

    Args:
        plan: with an edge.
        fastener: its closure.
        length_mm: of the closing line.
        catalogue: where the usual figures are kept.
        beyond_mm: how much further inside its edge than the band's inset says a mark lies, on the over and the under
            lap: of hooks and eyes on unwashed cloth, whose insets are those of their threads.

    Returns:
        The plan with its spacing complete, and a line for everything that was filled in.
    """
    spacing = plan.spacing or SpacingWish()
    told: list[Usual] = []
    # First, since a hole along the line asks for room at either end.
    plan, way = with_usual_way(plan, fastener, catalogue)
    pitch_mm, usual = _pitch(plan, fastener, catalogue)
    show = plan.units
    if spacing.pitch_mm is None and spacing.count is None:
        spacing = replace(spacing, pitch_mm=pitch_mm)
        told.append(
            Usual(
                f"Gaps of about {format_length(pitch_mm, show)}: {usual[0]}", usual[1], "pitch or count under [spacing]"
            )
        )
    if spacing.first is None:
        first_mm, why, source = _first(*_set_at(plan, fastener, 0, catalogue), catalogue)
        first = _on_from(first_mm, plan)
        spacing = replace(spacing, first=first)
        neck = f"{ends_called(plan.garment)[0]}{_on_what(plan)}"
        what = f"First closure {_in_words(first, plan)} from the {neck}, {why}"
        told.append(Usual(what, source, "first under [spacing]"))
    if spacing.last is None:
        there, at_last = _set_at(plan, fastener, 1, catalogue)
        is_other = there.closure != plan.closure
        spacing, line = _with_last(there, at_last, spacing, length_mm, catalogue, is_other)
        told.append(line)
    told += _insets(plan, beyond_mm)
    plan, cut = _with_interfacing(plan, catalogue)
    told += cut
    return replace(plan, spacing=spacing), (*(line.told for line in told), *way)


def _set_at(plan: Plan, fastener: Fastener, end: Literal[0, 1], catalogue: Catalogue) -> tuple[Plan, Fastener]:
    """What is set next to an end of the row, the first or the last: it keeps away from that end by its own size.

    Returns:
        The plan as it would be, were the whole row like that closure; and the closure.
    """
    count = None if plan.spacing is None else plan.spacing.count
    number = (1, count)[end]
    for nth, wish in enumerate(plan.differs, start=1):
        is_named = wish.at is not None and wish.at.casefold() == ends_called(plan.garment)[end].casefold()
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


def _in_words(span: Range, plan: Plan) -> str:
    low, high = (format_length(mm, plan.units) for mm in (span.low_mm, span.high_mm))
    if span.low_mm == span.high_mm:
        return low
    return f"{low} to {high}"


def _on_what(plan: Plan) -> str:
    return ", on a whole row or stitch" if plan.gauge is not None else "" if plan.stripe is None else ", on a repeat"


def with_usual_way(
    plan: Plan, fastener: Fastener, catalogue: Catalogue, unwashed: float = 1.0
) -> tuple[Plan, tuple[str, ...]]:
    """Fill in which way buttonholes run, where a plan leaves it open: across where it pulls, along on a narrow band.

    Args:
        plan: with a band, or a strap.
        fastener: its closure.
        catalogue: where the lengths of buttonholes come from.
        unwashed: by what a width is more in this plan than once washed; the band is judged as it is worn.
    """
    if fastener.mark.buttonhole_lap is None or plan.closure.hole is not None:
        return plan, ()
    if plan.gauge is not None:
        why, way = "as a narrow knitted band has them", "along"
    elif plan.band is None:
        why, way = "along the strap, where it pulls", "across"
    else:
        is_coat = usual_gap_key(plan, fastener, catalogue) == "gap, coat"
        pulls = is_coat or fastener.setting == "tack button"
        room = _room_across_mm(plan, fastener, catalogue, unwashed) if pulls else 0.0
        why, way = "as on the band of a shirt", "along"
        if pulls and room >= 0:
            why, way = "as a coat has them, where it pulls" if is_coat else "where it pulls", "across"
        elif pulls:
            by, _ = as_measured(plan)
            short = at_least(-room * unwashed * by, plan.units)
            whose = "a coat's, which" if is_coat else "those of a tack button, which"
            why = f"since this band is {short} too narrow beside the closing line for {whose} run across"
    source = f"published: {catalogue.source('NMSU231').text}"
    source = source if plan.gauge is None else "common practice"
    line = Usual(f"Buttonholes {way} the closing line, {why}", source, "hole under [closure]")
    hole: Literal["along", "across"] = "across" if way == "across" else "along"
    return replace(plan, closure=replace(plan.closure, hole=hole)), (line.told,)


def _room_across_mm(plan: Plan, fastener: Fastener, catalogue: Catalogue, unwashed: float) -> float:
    """What the worn band has to spare beyond buttonholes across the line and a little cloth; negative: it lacks."""
    across = replace(plan, closure=replace(plan.closure, hole="across"), shrinkage=None)
    hole, least = buttonhole_for(fastener, across, catalogue), catalogue.rule("ridge").value.value
    if plan.band is None or hole is None:
        return 0.0
    band = banded(plan.band, 1.0 / unwashed)
    behind = band.width_mm - band.inset_mm
    return min(band.inset_mm - hole.before_mm, behind - hole.after_mm) - least


def _insets(plan: Plan, beyond_mm: tuple[float, float]) -> list[Usual]:
    """Where the closing line lies: in the middle of the band, where no inset is told; and on the under lap, if only
    the over lap's is told and the two come out different.
    """
    # In the figures in which they would be written: on a sheet for cloth of the other state they are others, by the way
    # that the edge runs.
    by, state = as_measured(plan)
    band = None if plan.band is None else banded(plan.band, by)
    if band is not None and band.assumes_inset and (plan.edge is None or plan.edge.line is None):
        what = (
            f"The closing line lies {format_length(band.inset_mm, plan.units)} from the finished edge{state}, mid-band"
        )
        return [Usual(what, "as this program has it", "inset under [band]")]
    if band is None or not band.assumes_under_inset or band.inset_mm == band.under_inset_mm:
        return []
    if plan.edge is not None and plan.edge.under is not None and plan.edge.under_lies == "closed":
        # Where the under lap's edge is drawn closed, the line on that lap is the over lap's own.
        return []
    over_mm, under_mm = (
        mm + more * by for mm, more in zip((band.inset_mm, band.under_inset_mm), beyond_mm, strict=True)
    )
    under, over, overlap = (format_length(mm, plan.units) for mm in (under_mm, over_mm, over_mm + under_mm))
    what = (
        f"The under lap's line lies {under} from its edge{state}, half its width, and not {over} as on the over lap: "
        f"the laps overlap by {overlap}"
    )
    return [Usual(what, "as this program has it", "under_inset under [band]")]


def _opens(plan: Plan) -> str:
    return "" if plan.garment is None else plan.garment.opens or ""


def _pitch(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[float, tuple[str, str]]:
    """The gap that is usual for this kind, cloth and place, with what it is for and where it comes from."""
    key = usual_gap_key(plan, fastener, catalogue)
    rule = catalogue.rule(key)
    mm = rule.value.value if rule.high is None else (rule.value.value + rule.high.value) / 2
    return mm, (rule.text, rule.value.provenance.text)


def _with_interfacing(plan: Plan, catalogue: Catalogue) -> tuple[Plan, list[Usual]]:
    """Fill in how many interfacings are cut for a band: one, and none where it is of leather."""
    if plan.bands is None or plan.bands.interfacing is not None:
        return plan, []
    layers = [layer for lap in ("over", "under") for layer in layers_on(lap, plan.layers, catalogue)]
    if "leather" not in worked_cloths(layers, plan, plan.closure.kind):
        return replace(plan, bands=replace(plan.bands, interfacing=1)), []
    none = Usual(
        "No interfacing is cut for the bands: leather may not bear the heat of a fusible",
        "common practice",
        "interfacing under [bands]",
    )
    return replace(plan, bands=replace(plan.bands, interfacing=0)), [none]


def usual_gap_key(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> str:
    """Name the rule that holds the gap usual for this kind, cloth, place and wearer."""
    if fastener.family == "eyelet":
        return "eyelet spacing"
    if fastener.family == "loop":
        return "gap, loops"
    if fastener.family == "hook":
        return "gap, hooks at a fitted waist"
    opens = _opens(plan)
    if fastener.family == "sew-on snap" and "side" in opens:
        return "gap, skirt placket"
    if opens == "flat":
        return "gap, duvet"
    if plan.wearer is not None and plan.wearer.is_child:
        return "gap, babywear"
    if any(layer.is_bulky or layer.structures & _COATS for layer in layers_on("over", plan.layers, catalogue)):
        return "gap, coat"
    if fastener.family == "sew-on snap":
        return "gap, small sew-on snaps" if fastener.cap_mm <= SMALL_SNAP_MM else "gap, placket without strain"
    return "gap against gaping" if plan.pull is not None and plan.pull.fit == "close" else "gap, shirt front"


def _first(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[float, str, str]:
    """Where the first closure sits: a button its diameter and 1/4 in below a neck, a loop at it, others clear of it."""
    if fastener.mark.buttonhole_lap is not None and _opens(plan) in _HEMMED:
        extra = catalogue.rule("first buttonhole extra")
        mm = fastener.cap_mm + extra.value.value
        why = f"the button's diameter and {format_length(extra.value.value, plan.units)}"
        return mm, why, extra.value.provenance.text
    ends, warn = catalogue.rule("ends least"), catalogue.rule("edge warn extra")
    if fastener.family == "loop":
        # Told of cloth that still shrinks: the feet are marked further apart there, and a button comes to lie nearer to
        # the end. Told of the washed garment, both are as they are worn.
        wash = plan.shrinkage
        longer = wash.holes[0] if wash is not None and wash.measured == "unwashed" else 1.0
        mm = max(fastener.rim_mm, 0.0 if plan.loop is None else plan.loop.feet_mm / 2) * longer
        mm = mm if mm == fastener.rim_mm else up_mm(mm, plan.units)
        return mm, "right at it, as loops begin where edges meet", "common practice"
    mm = max(ends.value.value, fastener.rim_mm + warn.value.value)
    hole_mm = max(_hole_reaches(plan, fastener, catalogue))
    if hole_mm > mm:
        # As far in at either end: of a slit that reaches past its button by unlike much, the row would lie to one side.
        return up_mm(hole_mm, plan.units), "so that no buttonhole runs into an end", "as this program has it"
    return mm, "clear of the finished end", ends.value.provenance.text


def _hole_reaches(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[float, float]:
    """How far from either end a buttonhole along the line wants its mark, so that a little cloth is left beside it."""
    hole = None if plan.closure.hole != "along" else buttonhole_for(fastener, plan, catalogue)
    if hole is None:
        return 0.0, 0.0
    # What is wanted is wanted once washed.
    by = 1.0 if plan.shrinkage is None else plan.shrinkage.holes[0]
    least = by * catalogue.rule("ridge").value.value
    return hole.before_mm + least, hole.after_mm + least


def _with_last(
    plan: Plan,
    fastener: Fastener,
    spacing: SpacingWish,
    length_mm: float,
    catalogue: Catalogue,
    is_other: bool,
) -> tuple[SpacingWish, Usual]:
    """Leave room above a hem, or the same as at the first end where there is none or the edge is short.

    Args:
        plan, fastener: with what is set there, which is not the row's own closure where it `is_other`.
        spacing: the first end settled.
        length_mm: of the closing line.
        catalogue: where the usual figures are kept.
        is_other: it may want more room of its own than the first.
    """
    change = "last under [spacing]"
    first_mm = 0.0 if spacing.first is None else spacing.first.low_mm
    rule = catalogue.rule("last buttonhole intervals")
    gaps = rule.value.value
    count = spacing.count
    gap_mm = spacing.pitch_mm if spacing.pitch_mm is not None else (length_mm - first_mm) / ((count or 2) - 1 + gaps)
    low = max(gaps * gap_mm, _hole_reaches(plan, fastener, catalogue)[1])
    high = max(low, (gaps + 1) * gap_mm)
    walking = catalogue.rule("last above hem, for walking")
    has_hem = _opens(plan) in _HEMMED and fastener.family not in ("hook", "eyelet", "sew-on snap", "loop")
    if not has_hem or length_mm < first_mm + high + gap_mm or count == 1:
        first = spacing.first or Range(first_mm, first_mm)
        # Not a range: rather gaps a little off the pitch than one end that stands further in than the other.
        end = ends_called(plan.garment)[1]
        hole_mm = up_mm(_hole_reaches(plan, fastener, catalogue)[1], plan.units)
        if hole_mm > first.low_mm:
            last = _on_from(hole_mm, plan)
            what = f"Last closure {_in_words(last, plan)} from the {end}{_on_what(plan)}, as far as its buttonhole asks"
            return replace(spacing, last=last), Usual(what, "as this program has it", change)
        own_mm = max(
            catalogue.rule("ends least").value.value, fastener.rim_mm + catalogue.rule("edge warn extra").value.value
        )
        if is_other and own_mm > first.low_mm:
            last = _on_from(up_mm(own_mm, plan.units), plan)
            what = f"Last closure {_in_words(last, plan)} from the {end}{_on_what(plan)}, as far as its own size asks"
            return replace(spacing, last=last), Usual(what, catalogue.rule("ends least").value.provenance.text, change)
        what = f"Last closure {_in_words(first, plan)} from the {end}, as at the first"
        return replace(spacing, last=first), Usual(what, "common practice", change)
    high = max(high, walking.value.value)
    # Where nothing tells what opens, nothing tells that the edge ends at a hem.
    end = f"{'above' if _opens(plan) else 'from'} the {ends_called(plan.garment)[1]}"
    what = (
        f"Last closure {format_length(low, plan.units)} to {format_length(high, plan.units)} {end}, at least {gaps:g} "
        "gaps"
    )
    return replace(spacing, last=Range(low, high)), Usual(what, rule.value.provenance.text, change)
