"""What a strap came to, as figures and as sections of the page."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from closures.lengths import format_length, format_mm
from closures.placing.nothing_set import nothing_set
from closures.placing.strap.carrier_words import carriers_in_words, evenly_in_words
from closures.placing.strap.settings import setting_in_words
from closures.placing.strap.values import NO_ALLOWANCE
from closures.report.parts import count_parts
from closures.report.telling import both, number_of, plain, rounded
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Setting, Strap
    from closures.plan.top import Units


def strap_figures(placement: Placement) -> dict[str, Any]:
    """Put a strap into plain figures, under the name of the plan's section that it stands in.

    Returns:
        One key, ``belt`` or ``row``, or nothing where closures run along an edge; lengths in mm.
    """
    strap = placement.strap
    if strap is None:
        return {}
    figures: dict[str, Any] = {
        "piece": strap.piece,
        "pieces": strap.pieces,
        "finished_mm": rounded(strap.finished_mm),
        "cut_mm": rounded(strap.cut_mm),
        "width_mm": rounded(strap.width_mm),
        "cut_width_mm": rounded(strap.cut_width_mm),
        "cut_pieces": strap.cut_pieces * strap.pieces,
        "thickness_mm": rounded(strap.thickness_mm),
        "overlap_mm": rounded(strap.target.overlap_mm),
        "settings": [_setting(setting) for setting in strap.settings],
        "rows": {
            "over": [rounded(spot.from_tip_mm) for spot in strap.over],
            "under": [rounded(spot.from_tip_mm) for spot in strap.under],
        },
        "heights": {
            "over": [rounded(spot.height_mm) for spot in strap.over],
            "under": [rounded(spot.height_mm) for spot in strap.under],
        },
        "parts": [{"part": part, "count": count} for part, count in parts_in_all(placement)],
        "notes": list(strap.notes),
    }
    if strap.section == "belt":
        figures |= _belt(strap)
    return {strap.section: figures}


def _setting(setting: Setting) -> dict[str, Any]:
    return {
        "n": setting.n,
        "outer_on_mm": rounded(setting.outer_on_mm),
        "overlap_mm": rounded(setting.overlap_mm),
        "middle_mm": rounded(setting.middle_mm),
        "inside_mm": rounded(setting.inside_mm),
        "is_target": setting.is_target,
        "engaged": setting.engaged,
    }


def _belt(strap: Strap) -> dict[str, Any]:
    carriers = strap.carriers
    return {
        "measured": strap.measured,
        "least_step_mm": rounded(strap.least_step_mm),
        "carriers": None
        if carriers is None
        else {
            "count": len(carriers.round_mm),
            "cut_mm": rounded(carriers.cut_mm),
            "round_mm": [rounded(place) for place in carriers.round_mm],
            "where": carriers.where,
        },
        "belting_mm": None if strap.belting_mm is None else rounded(strap.belting_mm[0]),
        "sizes": [
            {
                "size": size.name,
                "waist_mm": rounded(size.waist_mm),
                "finished_mm": rounded(size.finished_mm),
                "cut_mm": rounded(size.cut_mm),
                "middle_mm": [rounded(middle) for middle in size.middle_mm],
                "serves_mm": [rounded(end) for end in size.serves_mm],
                "to_next_mm": rounded(size.to_next_mm),
            }
            for size in strap.sizes
        ],
    }


def parts_in_all(placement: Placement) -> list[tuple[str, int]]:
    """Count every part by its name alone, whichever end carries it: what is bought as single halves."""
    counts: Counter[str] = Counter()
    for part in count_parts(placement):
        counts[part.part] += part.count
    return list(counts.items())


def strap_sections(placement: Placement) -> tuple[str, ...]:
    """Write the sections of the page that only a strap has, in Markdown."""
    strap = placement.strap
    if strap is None:
        return ()
    return tuple(
        section
        for section in (
            _lengths(placement, strap),
            _settings(placement, strap),
            _sizes(strap, placement.plan.units),
            _places(placement, strap),
            "" if placement.is_withheld else _carriers(strap, placement.plan.units),
        )
        if section
    )


def _cut(strap: Strap, each: str, units: Units) -> str:
    """How many pieces are cut, how large, and of what where the two are of two cloths."""
    folded = f", folded lengthwise, its {strap.fold} on the fold" if strap.fold else ""
    cut = f"{both(strap.cut_mm, units)} long and {both(strap.cut_width_mm, units)} wide"
    if not strap.lining:
        if strap.leather_within:
            # Leather is not cut as the cloth is: how large each is stands beside it.
            own = f"{both(strap.finished_mm, units)} long and {both(strap.width_mm, units)} wide"
            return f"{'in all ' * (strap.pieces > 1)}{strap.cloths_in_words}: the cloth {cut}, the leather {own}"
        of_each = f": {'in all ' * (strap.pieces > 1)}{strap.cloths_in_words}" if strap.cloths else ""
        return f"{strap.cut_pieces}{each}, {cut}{folded}{of_each}"
    half, own = strap.cut_pieces // 2, f"{both(strap.finished_mm, units)} long and {both(strap.width_mm, units)} wide"
    return f"{half} of the leather{each}, {own}; {half} of the lining{each}, {cut}, of {strap.lining_in_words}"


def _lengths(placement: Placement, strap: Strap) -> str:
    units, of = placement.plan.units, plain(strap.in_size)
    each = " for each of the pair" if strap.pieces == 2 else ""
    lined = ""
    if strap.stiffened_in_words:
        lined += f"; {strap.stiffened_in_words}"
    cut = f"- **Cut{of}:** {_cut(strap, each, units)}{lined}{_without_allowance(strap)}"
    unset = nothing_set(placement)
    if strap.is_made:
        cut = "- **Cut:** nothing, since it is made already"
    elif unset is not None:
        cut = f"- **Cut:** nothing: {unset.to_back}"
    thick = "not known" if strap.thickness_mm is None else format_mm(strap.thickness_mm, 2)
    rows = [
        f"## The {strap.piece}",
        "",
        f"- **Finished{of}:** {both(strap.finished_mm, units)} from tip to tip, {both(strap.width_mm, units)} wide",
        cut,
        f"- **Thickness:** {thick}",
        f"- **Worn at{of}:** {both(strap.target.middle_mm, units)} along the middle{_inside(strap.target, units)}, "
        f"the ends lapping by {both(strap.target.overlap_mm, units)}",
    ]
    if strap.least_step_mm is not None:
        rows.append(f"- **Settings** can come as near as {both(strap.least_step_mm, units)} with this fastener")
    if strap.belting_mm is not None:
        length, source = strap.belting_mm
        taken = both(length, units)
        told = f"a buckle belt worn in its place takes {taken} of belting *({source})*"
        if strap.cover_mm is not None:
            point, buckle = (both(mm, units) for mm in strap.cover_mm[:2])
            told += f"; a cover of cloth for it is cut {point} longer at the point, for the seam, and {buckle} at the "
            told += f"buckle, for the fold *({strap.cover_mm[2]})*"
        rows.append(f"- **For comparison,** {told}")
    rows += [f"- {note}" for note in strap.notes]
    return "\n".join(rows)


def _without_allowance(strap: Strap) -> str:
    """What is to be added where a strap is sewn and the plan tells no allowance, as a half clause."""
    if strap.lacks_allowance and strap.leather_within:
        return "; no seam allowance in the cloth: add yours on every side, or write allowance"
    return f", {NO_ALLOWANCE}, or write allowance" if strap.lacks_allowance else ""


def _inside(setting: Setting, units: Units) -> str:
    return "" if setting.inside_mm is None else f" and {both(setting.inside_mm, units)} along the inside"


def _settings(placement: Placement, strap: Strap) -> str:
    rows = [
        "## Settings",
        "",
        "The middle runs halfway through the thickness; the inside lies on the body and is shorter by "
        "π × thickness, and by the climb of the over end onto the under end.",
        "",
        "| setting | outermost closure on, mm | closes at, middle, mm | in | inside, mm | in | |",
        "|---|---:|---:|---:|---:|---:|---|",
    ]
    for s in strap.settings:
        inside = ("", "") if s.inside_mm is None else (number_of(s.inside_mm), number_of(s.inside_mm, "in"))
        rows.append(
            f"| {setting_in_words(s, placement)} | {number_of(s.outer_on_mm)} | {number_of(s.middle_mm)} "
            f"| {number_of(s.middle_mm, 'in')} | {inside[0]} | {inside[1]} | {'worn' if s.is_target else ''} |"
        )
    return "\n".join(rows)


def _sizes(strap: Strap, units: Units) -> str:
    if not strap.sizes:
        return ""
    rows = [
        "## Sizes",
        "",
        "Both ends are the same in every size; only the length between them differs.",
        "",
        f"| size | waist | finished, mm |{'' if strap.is_made else ' cut, mm | cut, in |'} serves, mm | serves, in "
        "| to the next size |",
        f"|---|---:|---:|{'' if strap.is_made else '---:|---:|'}---:|---:|---|",
    ]
    for size in strap.sizes:
        low, high = size.serves_mm
        cut = "" if strap.is_made else f"| {number_of(size.cut_mm)} | {number_of(size.cut_mm, 'in')} "
        rows.append(
            f"| {plain(size.name)} | {both(size.waist_mm, units)} | {number_of(size.finished_mm)} {cut}"
            f"| {number_of(low)} to {number_of(high)} | {number_of(low, 'in')} to {number_of(high, 'in')} "
            f"| {_next(size.to_next_mm, units)} |"
        )
    return "\n".join(rows)


def _next(gap_mm: float | None, units: Units) -> str:
    if gap_mm is None:
        return ""
    if gap_mm > 0:
        return f"gap of {both(gap_mm, units)} that no size serves"
    return f"overlap of {both(-gap_mm, units)}" if gap_mm < 0 else "meets it"


def _places(placement: Placement, strap: Strap) -> str:
    heights = strap.has_heights
    rows = [
        "## Where the marks lie",
        "",
        "Measure each from its own end's tip, along the strap"
        + (", and up from the lower edge" if heights else ", on the middle line")
        + ". A mark with both distances is a closure and its mate when the strap is worn.",
        "",
        "| mark | over end, from the tip, mm | in | under end, from the tip, mm | in |"
        + (" up from the lower edge, mm |" if heights else ""),
        "|---:|---:|---:|---:|---:|" + ("---:|" if heights else ""),
    ]
    for mark in placement.marks:
        cells = []
        for on_end in (mark.over, mark.under):
            from_tip = None if on_end is None else on_end.from_tip_mm
            cells += ["", ""] if from_tip is None else [number_of(from_tip), number_of(from_tip, "in")]
        up = f" {number_of(strap.width_mm / 2 - mark.y_mm)} |" if heights else ""
        rows.append(f"| {mark.n} | {' | '.join(cells)} |{up}")
    return "\n".join(rows)


def _carriers(strap: Strap, units: Units) -> str:
    carriers = strap.carriers
    if carriers is None:
        return ""
    cut, places, unwashed = carriers_in_words(carriers, units)
    others = plain(evenly_in_words(carriers, strap))
    return "\n".join(
        (
            "## Carriers",
            "",
            f"- {len(carriers.round_mm)}, each cut {cut} long: the belt's width, ease and two "
            f"turnings *({carriers.source})*",
            f"- Where: {carriers.where}; from the closure at centre front round the garment {', '.join(places)}"
            f"{others} *(common practice)*{unwashed}",
        )
    )


def strap_words(placement: Placement) -> str:
    """Say in a line or two, for a terminal, how long a strap is and what it closes at."""
    strap = placement.strap
    if strap is None:
        return ""
    units = placement.plan.units
    many = len(strap.settings) > 1
    lengths = ", ".join(
        f"{format_length(setting.middle_mm, units)}{' (worn)' if many and setting.is_target else ''}"
        for setting in strap.settings
    )
    sides = f"{both(strap.cut_mm, units)} × {both(strap.cut_width_mm, units)}"
    cut = "" if placement.sets_nothing else f", cut {sides}{_without_allowance(strap)}"
    if strap.lining and not placement.sets_nothing:
        cut = f", the leather cut to that, {both(strap.width_mm, units)} wide; the lining {sides}, of "
        cut += strap.lining_in_words
    lines = [
        f"Finished{strap.in_size} {both(strap.finished_mm, units)}{', made already' if strap.is_made else cut}",
        f"Closes along its middle{strap.in_size} at {lengths}",
        *(
            f"Size {size.name}: finished {both(size.finished_mm, units)}"
            f"{'' if strap.is_made or placement.sets_nothing else f', cut {both(size.cut_mm, units)}'}, serves "
            f"{format_length(size.serves_mm[0], units)} to {format_length(size.serves_mm[1], units)}"
            for size in strap.sizes
        ),
        *strap.notes,
    ]
    return "\n".join(lines)


def table_of_ends(placement: Placement) -> str:
    """Write the marks of both ends as columns, each distance from its own end's tip."""
    strap = placement.strap
    is_mm = placement.plan.units == "mm"
    first, second = ("mm", "in") if is_mm else ("in", "mm")

    def pair(mm: float | None) -> tuple[str, str]:
        if mm is None:
            return ("", "")
        return (number_of(mm), number_of(mm, "in")) if is_mm else (number_of(mm, "in"), number_of(mm))

    rows: list[list[str]] = [["mark", f"over end, {first}", second, f"under end, {first}", second]]
    for mark in placement.marks:
        over, under = (None if on_end is None else on_end.from_tip_mm for on_end in (mark.over, mark.under))
        rows.append([str(mark.n), *pair(over), *pair(under)])
    if strap is not None and strap.has_heights:
        rows[0] += [f"up, {first}", second]
        for row, mark in zip(rows[1:], placement.marks, strict=True):
            row += pair(strap.width_mm / 2 - mark.y_mm)
    return "\n".join([*text_table(rows, right=range(len(rows[0]))), "Each distance is from its own end's tip."])
