"""The offers of a swap: as figures for programs, as text for a terminal, as a part of the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from closures.advice.swap_facts import removal_of_old
from closures.jobs.swap.told import KEPT_PLACES
from closures.lengths import format_length
from closures.placing.tape import tape_in_words
from closures.plan.shown import shown_beside
from closures.report.parts import count_parts
from closures.report.telling import rounded

if TYPE_CHECKING:
    from closures.checks.finding import Finding
    from closures.jobs.swap.clash import Clash
    from closures.jobs.swap.needs import LapNeed
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.old_row import OldHole
    from closures.jobs.swap.swap import Swap
    from closures.plan.top import Units

_ROW_WIDTH = 72
_RESULTS = {"pass": "good", "warn": "look", "fail": "FAIL"}


def swap_figures(swap: Swap) -> dict[str, Any]:
    """Put a swap into plain figures: the parts of report.json that a plan without one does not have.

    Lengths are in mm, in the frame of the user's drawing.
    """
    old = swap.old
    return {
        "swap": {
            "from": {
                "kind": old.fastener.kind,
                "size": old.fastener.size,
                "cap_mm": None if old.fastener.cap is None else rounded(old.fastener.cap_mm),
                "along_mm": [rounded(place) for place in old.places_mm],
                "made": old.made,
                "removal": removal_of_old(swap),
            },
            "holes": [_hole(hole) for hole in old.holes],
            "recommended": swap.recommended,
            "taken": swap.taken,
            "works": not swap.cannot,
            "cannot": list(swap.cannot),
            "would_work": list(swap.would),
            "lap_needs": [_need(need) for need in swap.needs],
            "pull": swap.pull,
            "buttonhole": None
            if swap.buttonhole is None
            else {
                "way": swap.buttonhole.way,
                "length_mm": rounded(swap.buttonhole.length_mm),
                "before_mm": rounded(swap.buttonhole.before_mm),
                "after_mm": rounded(swap.buttonhole.after_mm),
            },
            "lengthened": None
            if swap.lengthened is None
            else {"at_mm": rounded(swap.lengthened.at_mm), "by_mm": rounded(swap.lengthened.by_mm)},
            "notes": list(old.notes),
            "not_offered": [{"name": no.name, "why": no.why} for no in swap.not_offered],
        },
        "offers": [_offer(swap, offer) for offer in swap.offers],
    }


def _hole(hole: OldHole) -> dict[str, Any]:
    return {
        "n": hole.n,
        "lap": hole.lap,
        "way": hole.way,
        "length_mm": rounded(hole.length_mm),
        "made": hole.made,
        "ends_mm": [[rounded(x), rounded(y)] for x, y in hole.ends],
    }


def _need(need: LapNeed) -> dict[str, Any]:
    return {
        "lap": need.lap,
        "pieces": need.pieces,
        "have_mm": rounded(need.have_mm),
        "need_mm": rounded(need.need_mm),
        "least_mm": rounded(need.least_mm),
        "grow_mm": rounded(need.grow_mm),
        "behind_have_mm": rounded(need.behind_have_mm),
        "behind_need_mm": rounded(need.behind_need_mm),
        "widen_mm": rounded(need.widen_mm),
        "floors": [
            {"text": floor.text, "mm": rounded(floor.mm), "met": floor.is_met, "source": floor.source}
            for floor in need.floors
        ],
    }


def _offer(swap: Swap, offer: Offer) -> dict[str, Any]:
    spacing = offer.placement.spacing
    return {
        "n": offer.n,
        "name": offer.name,
        "why": offer.why,
        "recommended": offer.n == swap.recommended,
        "result": offer.result,
        "along_mm": [rounded(place) for place in offer.places_mm],
        "gaps_mm": [rounded(gap) for gap in spacing.gaps_mm],
        "largest_mm": rounded(spacing.largest_mm),
        "smallest_mm": rounded(spacing.smallest_mm),
        "anchors": [
            {"name": a.name, "mark": a.mark, "shift_mm": rounded(a.shift_mm), "met": a.is_met} for a in offer.anchors
        ],
        "clashes": [_clash(clash) for clash in offer.clashes],
        "unused_holes": list(offer.unused),
        "unused_under_holes": list(offer.unused_under),
        "holes_in_sight": list(offer.in_sight),
        "struck_out": list(offer.struck),
        "kept": list(offer.kept),
        "given_up": list(offer.given_up),
        "added_marks": list(offer.added),
        "same_as": offer.same_as,
        "changes": list(offer.changes),
        "parts": [{"part": p.part, "lap": p.lap, "count": p.total} for p in count_parts(offer.placement)],
        "lap_wide_enough": not any(need.grow_mm or need.widen_mm for need in swap.needs),
        "to_look_at": [
            {"rule": f.rule, "lap": f.lap, "mark": f.mark, "result": f.result, "text": f.text, "source": f.source}
            for f in offer.findings
            if f.result != "pass"
        ],
    }


def _clash(clash: Clash) -> dict[str, Any]:
    return {
        "mark": clash.mark,
        "hole": clash.hole,
        "lap": clash.lap,
        "distance_mm": rounded(clash.distance_mm),
        "kind": clash.kind,
        "spare_mm": rounded(clash.spare_mm),
    }


def swap_terminal(swap: Swap, *, width: int = 100) -> str:
    """Write all offers for a terminal.

    Args:
        swap: the offers.
        width: of the terminal, in signs.

    Returns:
        The text, without a final line break. A swap that cannot work says so first.
    """
    blocks = [_cannot(swap, width), _heading(swap, width)]
    blocks += [_offer_block(swap, offer, width) for offer in swap.offers]
    blocks += [_not_offered(swap, width), _laps(swap, width)]
    take = f"Take one: closures swap PLAN --take {swap.recommended}\n"
    name = swap.offers[swap.recommended - 1].name
    take += f'Have the plan keep it: take = "{name}" under [{"swap" if swap.offer.placement.plan.swap else "change"}]'
    return "\n\n".join([block for block in blocks if block] + [take])


def taken_terminal(swap: Swap, *, width: int = 100) -> str:
    """Write for a terminal which offer is in hand, and what it asks for."""
    offer = swap.offer
    recommended = ", the recommended one" if offer.n == swap.recommended else ""
    lines = [f"Swap: offer {offer.n} of {len(swap.offers)}{recommended}: {offer.name}."]
    return "\n".join([*lines, *(_wrapped(text, width, "- ", "  ") for text in offer.changes)])


def _wrapped(text: str, width: int, first: str = "", rest: str = "") -> str:
    import textwrap

    return "\n".join(textwrap.wrap(text, max(width, 50), initial_indent=first, subsequent_indent=rest))


def _cannot(swap: Swap, width: int) -> str:
    if not swap.cannot:
        return ""
    lines = ["This swap cannot work as it stands: every offer below fails a check."]
    lines += [_wrapped(text, width, "  - ", "    ") for text in swap.cannot]
    if swap.would:
        lines.append("Tried, and this would make it work:")
        lines += [_wrapped(text, width, "  - ", "    ") for text in swap.would]
    else:
        lines.append("No single change that was tried makes it work; change the closure and the laps together.")
    return "\n".join(lines)


def _heading(swap: Swap, width: int) -> str:
    old, placement = swap.old, swap.offers[0].placement
    plan, new = placement.plan, placement.fastener
    show = shown_beside(plan.units)
    lines = [
        plan.title,
        f"{len(old.places_mm)} × {old.fastener.name} to {new.name}, {placement.laps.garment.lap_in_words}",
        tape_in_words(placement),
        _wrapped(_now(swap), width, "", "  "),
    ]
    if old.holes:
        lines.append(_wrapped(holes_in_words(swap), width, "", "  "))
    if swap.lengthened:
        lines.append(
            f"pattern lengthened by {show(swap.lengthened.by_mm)} at {show(swap.lengthened.at_mm)} along; "
            "places, anchors and zones below moved down with it"
        )
    lines += [_wrapped(f"Assumed: {note}", width, "", "  ") for note in old.notes]
    return "\n".join(lines)


def holes_in_words(swap: Swap) -> str:
    """Say what the old closures leave in the cloth."""
    hole, made = swap.old.holes[0], "cut" if swap.old.has_buttonholes else "made"
    state = made if swap.old.made else "only drawn"
    show = shown_beside(swap.offer.placement.plan.units)
    if hole.slit is not None:
        how_sure = "" if swap.old.is_length_told else " if they are as new ones would be"
        told = f"buttonholes {show(hole.length_mm)} long{how_sure}, {hole.way} the closing line, {state}"
        part = next((one for one in swap.old.holes if one.slit is None), None)
        if part is None:
            return told
        return f"{told}; on the {part.lap} lap each leaves a hole of up to {show(part.length_mm)}"
    return f"each leaves a spot of up to {show(hole.length_mm)} on either lap, {state}"


def _offer_block(swap: Swap, offer: Offer, width: int) -> str:
    units = offer.placement.plan.units
    show = shown_beside(units)
    spacing, star = offer.placement.spacing, "  <- recommended" if offer.n == swap.recommended else ""
    star += "  <- taken by the plan" if offer.n == swap.taken != swap.recommended else ""
    same = f" (same places as offer {offer.same_as})" if offer.same_as else ""
    lines = [f"{offer.n}  {offer.name}{same}: {_RESULTS[offer.result]}{star}", _wrapped(offer.why, width, "   ", "   ")]
    lines += ["   " + line for line in _rows(swap, offer, min(_ROW_WIDTH, width - 12))]
    lines.append(
        _wrapped(
            f"{len(offer.places_mm)} at {_places(offer.places_mm, units)}; largest gap {show(spacing.largest_mm)}",
            width,
            "   ",
            "     ",
        )
    )
    lines += [_wrapped(line, width, "   ", "     ") for line in told_in_words(offer)]
    lines += [_wrapped(text, width, "   - ", "     ") for text in offer.changes]
    if to_buy(offer):
        lines.append(_wrapped(to_buy(offer), width, "   ", "     "))
    lines += [_wrapped(text, width, "   FAIL ", "     ") for text in failed_in_words(offer)]
    return "\n".join(lines)


def told_in_words(offer: Offer) -> tuple[str, ...]:
    """Tell of every anchor whether an offer meets it and how far off a mark sits, then what else it has otherwise."""
    units = offer.placement.plan.units
    return (
        *(
            f"{one.name}: {'met' if one.is_met else 'MISSED'}, mark {one.mark} {_shift(one.shift_mm, units)}"
            for one in offer.anchors
        ),
        *(f.text for f in offer.findings if f.rule == KEPT_PLACES),
    )


def to_buy(offer: Offer) -> str:
    """Tell the parts that an offer needs; empty where it needs none."""
    parts = ", ".join(f"{p.total} × {p.part} ({p.lap} lap)" for p in count_parts(offer.placement) if p.total)
    return f"To buy: {parts}." if parts else ""


def failed_in_words(offer: Offer) -> tuple[str, ...]:
    """Tell the checks that an offer fails, each once."""
    return tuple(_failed(f, offer.changes) for f in _once([f for f in offer.findings if f.result == "fail"]))


def _failed(finding: Finding, changes: Sequence[str]) -> str:
    """Name a failed check; its text stands only where what is to be done has not told it already."""
    name = f"{finding.rule}, {finding.lap} lap" if finding.lap else finding.rule
    told = any(change.endswith(finding.text) for change in changes)
    return f"{name}, as told above" if told else f"{name}: {finding.text}"


def _once(findings: Sequence[Any]) -> list[Any]:
    return list({(f.rule, f.lap, f.text): f for f in findings}.values())


def _rows(swap: Swap, offer: Offer, width: int) -> list[str]:
    """The old row above the new one: ``x`` an old closure, ``=`` its buttonhole, ``o`` a new one."""
    length = offer.placement.laps.line.length_mm
    last = max(width, 20) - 3
    old, new = [" "] * (last + 3), ["|", *("-" * (last + 1)), "|"]

    def column(along: float) -> int:
        return 1 + round(min(max(along / length, 0.0), 1.0) * last)

    for hole in swap.old.holes:
        if hole.way == "along" and hole.slit is not None:
            low, high = (offer.placement.laps[hole.lap].nearest_row(end) for end in hole.ends)
            old[column(low) : column(high) + 1] = "=" * (column(high) + 1 - column(low))
    for place in swap.old.places_mm:
        old[column(place)] = "x"
    for place in offer.places_mm:
        new[column(place)] = "o"
    return [f"old {''.join(old).rstrip()}", f"new {''.join(new)}"]


def _not_offered(swap: Swap, width: int) -> str:
    if not swap.not_offered:
        return ""
    return "\n".join(
        ["Not offered:", *(_wrapped(f"{no.name}: {no.why}", width, "- ", "  ") for no in swap.not_offered)]
    )


def _laps(swap: Swap, width: int) -> str:
    from closures.jobs.swap.needs import needs_in_words

    lines = ["The laps, and how the opening pulls:"]
    lines += [
        _wrapped(needs_in_words(need, swap.old.made, swap.offer.placement.plan.units), width, "- ", "  ")
        for need in swap.needs
    ]
    lines.append(_wrapped(swap.pull, width, "- ", "  "))
    if swap.old.made:
        lines.append(_wrapped(f"To take one off: {removal_of_old(swap)}", width, "- ", "  "))
    return "\n".join(lines)


def _now(swap: Swap) -> str:
    """Where the old closures are, and from which end each figure is measured, since a plan may have meant another."""
    placement, places = swap.offers[0].placement, swap.old.places_mm
    units, (first, last) = placement.plan.units, placement.ends
    rest = format_length(placement.laps.line.length_mm - places[-1], units)
    return f"now at {_places(places, units)} along from the {first}, the last {rest} from the {last}"


def _places(places: Sequence[float], units: Units) -> str:
    return f"{', '.join(format_length(place, units).removesuffix(f' {units}') for place in places)} {units}"


def _shift(mm: float, units: Units) -> str:
    if abs(mm) < 0.05:
        return "sits at it"
    return f"sits {format_length(abs(mm), units)} {'below' if mm > 0 else 'above'} it"
