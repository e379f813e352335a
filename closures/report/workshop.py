"""What the work at the table adds to the report: figures for programs, sections for the page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from closures.advice.faces_seen import marked_within_in_words
from closures.advice.piece_cloths import cloth_of_piece, lie_behind
from closures.jobs.swap.patches import PATCH_BEHIND
from closures.jobs.table.backing import back_laps
from closures.jobs.table.bands import NOTCHES, BandPiece, band_pieces
from closures.jobs.table.counting import closing_scheme
from closures.jobs.table.strip import stride_mm, strides
from closures.lengths import format_inches, format_length, format_mm
from closures.placing.layers_between import is_only_measured
from closures.placing.marked_face import faces_to_mark
from closures.placing.nothing_set import nothing_set
from closures.report.advice import listed
from closures.report.telling import rounded

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.jobs.table.backing import Backing
    from closures.jobs.table.printer import Correction
    from closures.placing.placement import Mark, Placement
    from closures.plan.band import Face


def workshop_figures(
    placement: Placement, findings: Sequence[Finding], catalogue: Catalogue, correction: Correction | None = None
) -> dict[str, Any]:
    """Put what the plan asks for the table into plain figures; only what it asks for has a key.

    Args:
        placement: the closures as placed; all its lengths stay true whatever the pages are stretched by.
        findings: what the checks found.
        catalogue: rules.
        correction: how the pages are stretched for one printer.
    """
    plan = placement.plan
    figures: dict[str, Any] = {}
    figures |= correction_figures(correction)
    if plan.shrinkage is not None and placement.washed is not None:
        figures["shrinkage"] = {
            "along": plan.shrinkage.along,
            "across": plan.shrinkage.across,
            "measured": plan.shrinkage.measured,
            "washed_length_mm": rounded(placement.washed.length_mm),
            "washed_along_mm": [rounded(place) for place in placement.washed.positions_mm],
            "washed_gaps_mm": [rounded(gap) for gap in placement.washed.gaps_mm],
        }
        if beside := placement.washed.worn.beside:
            figures["shrinkage"]["washed_beside_mm"] = [rounded(mark.along_mm) for one in beside for mark in one.marks]
    if plan.stripe is not None:
        figures["stripe"] = {
            "every_mm": rounded(plan.stripe.every_mm),
            "at_mm": rounded(plan.stripe.at_mm),
            "on": plan.stripe.on,
            "repeats": [repeat_of(placement, mark) for mark in placement.marks],
        }
    backings = back_laps(placement, findings, catalogue)
    if backings:
        figures["backing"] = [
            {
                "lap": backing.lap,
                "form": backing.form,
                "width_mm": rounded(backing.pieces[0].width_mm) if backing.pieces else None,
                "along_mm": _along_mm(backing),
                "copies": sum(piece.copies for piece in backing.pieces),
                "cloth": backing.cloth,
                "reasons": list(backing.reasons),
                "trouble": backing.trouble,
                "without": [one.mark for one in backing.left_out],
            }
            for backing in backings
        ]
    pieces = band_pieces(placement)
    if pieces:
        figures["bands"] = [
            {
                "piece": piece.name,
                "lap": piece.lap,
                "side": piece.side,
                "cloth": piece.cloth,
                "of": cloth_of_piece(placement, piece, catalogue),
                "interfacing": piece.interfacing,
                "behind": lie_behind(placement, piece, catalogue),
                "notches": len(piece.notches),
            }
            for piece in pieces
        ]
    if plan.sheets is not None and plan.sheets.strip and placement.strap is None:
        figures["strides"] = [
            {
                "n": row.n,
                "lap": row.lap or "both",
                "from_mm": rounded(row.from_mm),
                "marks": [{"n": n, "mm": rounded(at)} for n, at in row.marks],
            }
            for row in strides(placement)
        ]
    if plan.wearer is not None:
        figures["wearer"] = {"profiles": list(plan.wearer.profiles), "implants": plan.wearer.implants}
    return figures


def _along_mm(backing: Backing) -> float | None:
    """Of patches behind slits, how long each is along the closing line; None of what is round, and of a strip."""
    along = None if not backing.pieces else backing.pieces[0].along_mm
    return None if along is None else rounded(along)


def repeat_of(placement: Placement, mark: Mark) -> float | None:
    """Which repeat a mark lies on, counted from the one that the plan names; halves lie between. None on a stand."""
    stripe, level_mm = placement.plan.stripe, mark.level_mm
    if stripe is None:
        raise ValueError("the plan tells no stripe")
    if placement.plan.stand is not None and mark.n == 1:
        return None
    return round(2 * (level_mm - stripe.at_mm) / stripe.every_mm) / 2


def workshop_sections(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    faces: Mapping[LapName, Face],
    correction: Correction | None = None,
) -> list[str]:
    """Write the sections of the page, in Markdown; only those that the plan asks for, and an offer for a long row."""
    sections = [correction_section(correction), _shrinkage(placement), _stripe(placement)]
    if placement.strap is None:
        within = marked_within_in_words(placement, catalogue, faces or faces_to_mark(placement, catalogue))
        sections += [
            _bands(placement, catalogue),
            _backing(placement, findings, catalogue),
            _strides(placement, within),
            _closing(placement),
        ]
    return [section for section in sections if section]


def correction_figures(correction: Correction | None) -> dict[str, Any]:
    """What the pages are stretched by for one printer; empty where they are not."""
    if correction is None:
        return {}
    told = {"across": round(correction.across, 6), "down": round(correction.down, 6), "measured": correction.measured}
    return {"print_correction": told}


def correction_section(correction: Correction | None) -> str:
    """Tell of a stretch for one printer in a section of a page; empty where there is none."""
    if correction is None:
        return ""
    return (
        f"## Printer\n\nThe pages are stretched for a printer that prints {correction.measured}. The figures of this "
        "report, and every SVG, are true and not stretched."
    )


def _shrinkage(placement: Placement) -> str:
    wish, washed = placement.plan.shrinkage, placement.washed
    if wish is None or washed is None:
        return ""
    units = placement.plan.units
    gaps = [format_length(gap, units) for gap in washed.gaps_mm]
    used = "the garment as it is worn" if placement.laps.garment.opens != "flat" else "the piece as it is used"
    return listed(
        "Shrinkage",
        (
            f"{100 * wish.along:g} % along and {100 * wish.across:g} % across, in the first wash; both laps alike.",
            f"The plan was measured on the {wish.measured} cloth. Everything drawn is for the unwashed cloth, as "
            "it is cut and marked, and so is every figure of this report but those of the checks.",
            f"The checks judge {used}, washed, in its lengths. Only what is sewn before the wash is "
            "judged unwashed: how a band goes round its curve, and how two lines are eased together.",
            *_stand(placement),
            f"Washed, the closing line is {format_length(washed.length_mm, units)} long, with gaps of "
            f"{', '.join(dict.fromkeys(gaps)) or 'none'}.",
            "Wash and measure a square of 500 mm of your own cloth, with what will be fused to it: a figure from a "
            "label is a guess, and fused cloth shrinks less than bare cloth.",
        ),
    )


def _stand(placement: Placement) -> Iterator[str]:
    """What a collar stand, cut on a grain of its own, comes to."""
    stand, wish, units = placement.plan.stand, placement.plan.shrinkage, placement.plan.units
    if stand is not None and stand.worn_mm is not None and wish is not None:
        way = "round the neck" if stand.grain == "round" else "up its height"
        lost = 1.0 - stand.worn_mm / stand.height_mm
        cut, worn = format_length(stand.height_mm, units), format_length(stand.worn_mm, units)
        yield (
            f"The lengthwise threads of the collar stand run {way}: it loses {100 * lost:g} % in height, and is "
            f"{cut} high, its seams off, to be worn at {worn}."
        )


def _stripe(placement: Placement) -> str:
    stripe = placement.plan.stripe
    if stripe is None:
        return ""
    units = placement.plan.units
    rows = [
        "## Stripes",
        "",
        f"A repeat every {format_length(stripe.every_mm, units)}, one at level "
        f"{format_length(stripe.at_mm, units)}; "
        f"closures sit {'on repeats' if stripe.on == 'repeat' else 'half way between repeats'}"
        f"{'' if placement.plan.stand is None else ', the one of the collar stand half way up it'}. Of "
        "all rows that keep to "
        "these places, this is the best by the usual rule.",
        "",
        f"| mark | repeat | level, {units} | along, {units} |",
        "|---:|---:|---:|---:|",
    ]
    for mark in placement.marks:
        level, along = (format_length(mm, units).removesuffix(f" {units}") for mm in (mark.level_mm, mark.along_mm))
        repeat = repeat_of(placement, mark)
        rows.append(f"| {mark.n} | {'the stand' if repeat is None else f'{repeat:g}'} | {level} | {along} |")
    return "\n".join(rows)


def _notches_in_words(pieces: Sequence[BandPiece]) -> str:
    told = {piece.whose: NOTCHES[piece.side] for piece in pieces}
    words = [f"{'one notch' if many == 1 else 'two side by side'}: the {whose}" for whose, many in told.items()]
    # In the trade one notch usually tells the front and two the back (from memory), so whose marks these are is said.
    return (
        f"{'; '.join(words)}.".capitalize()
        + " These are marks of this set; on patterns one notch often means the front."
    )


def _bands(placement: Placement, catalogue: Catalogue) -> str:
    pieces = band_pieces(placement)
    if not pieces:
        return ""
    rows = ["## Bands", "", "| piece | lap | side | cut | of | behind it |", "|---|---|---|---:|---|---|"]
    rows += [
        f"| {p.name} | {p.lap} | {p.side} | {p.cloth} | {cloth_of_piece(placement, p, catalogue)} | "
        f"{', '.join(lie_behind(placement, p, catalogue)) or 'none'} |"
        for p in pieces
    ]
    rows += ["", _notches_in_words(pieces)]
    return "\n".join(rows)


def _none_cut(placement: Placement, findings: Sequence[Finding]) -> str:
    """Say why no backing is cut: in the words of the check that looked at the layers, of the laps looked at alone."""
    told = [finding for finding in findings if finding.rule == "backing"]
    if not told:
        return "Whether any is needed is not known: the plan tells no layers that closures would hold in."
    if wanted := dict.fromkeys(finding.text for finding in told if finding.result != "pass"):
        unset = nothing_set(placement)
        why = "" if unset is None else f": {unset.to_back}"
        return f"No piece is cut for it{why}. The checks say of the cloth: {' '.join(wanted)}"
    laps = {finding.lap for finding in told}
    where = "" if laps >= {"over", "under"} or None in laps else f" on the {' and '.join(filter(None, laps))} lap"
    reasons = tuple(dict.fromkeys(finding.text.removesuffix(".") for finding in told))
    stacks = [on.stack for mark in placement.row.marks for on in (mark.over, mark.under) if on is not None]
    if any(stack is not None and is_only_measured(stack.layers) for stack in stacks) and placement.plan.tape is None:
        return f"Whether any is needed{where} is not known. {'. '.join(reasons)}{_filled(findings)}."
    reasons = tuple(reason[0].lower() + reason[1:] for reason in reasons)
    return f"None is needed{where}: {'; '.join(reasons)}{_filled(findings)}."


def _filled(findings: Sequence[Finding]) -> str:
    """What the checks of the layers say of the grip; nothing where none was judged."""
    judged = [finding for finding in findings if finding.rule == "layer thickness" and finding.limit_mm is not None]
    if not judged:
        return ""
    if all(finding.result == "pass" for finding in findings if finding.rule == "layer thickness"):
        return ", and fills its grip"
    return ". Whether the layers fill its grip is for the checks and the trial piece to tell"


def _backing(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue) -> str:
    wish = placement.plan.sheets
    if wish is None or wish.backing is None:
        return ""
    if (unset := nothing_set(placement)) is not None:
        return f"## Backing\n\nNone is laid: {unset.to_back}."
    backings = back_laps(placement, findings, catalogue)
    if not backings:
        if any(part == PATCH_BEHIND for part, _, _ in placement.besides):
            return "## Backing\n\nThe cloth itself needs none. Patches go behind old holes, as the swap says."
        return f"## Backing\n\n{_none_cut(placement, findings)}"
    lines = []
    for backing in backings:
        why = " ".join((*backing.without, *backing.reasons))
        if backing.trouble:
            lines.append(f"**{backing.lap} lap:** {backing.trouble} {why}")
            continue
        piece = backing.pieces[0]
        size = backing.size(lambda mm: format_length(mm, placement.plan.units))
        what = f"{backing.form}, {size}, cut {piece.copies}"
        named = backing.cloth or backing.stay
        cloth = f" of {named}" if named else ""
        lines.append(f"**{backing.lap} lap:** {what}{cloth}, {backing.side}; {backing.grain}. {why}")
    return listed("Backing", lines)


def _strides(placement: Placement, within: Sequence[str]) -> str:
    wish = placement.plan.sheets
    if wish is None or not wish.strip or placement.sets_nothing:
        return ""
    units = placement.plan.units
    found, first = strides(placement), placement.ends[0]
    count = max(row.n for row in found)
    how = (
        f"On a strip of paper as long as the line, mark the distances. Lay it on the {first}, and mark what it tells."
        if count == 1
        else f"On a strip of paper {format_length(stride_mm(units), units)} long, half a sheet, mark the distances of "
        f"one stride after the other. Lay stride 1 on the {first}, mark its closures and its far end, lay stride 2 "
        f"there{', and so on' if count > 2 else ''}."
    )
    told = " ".join((f"{how} Every distance is reckoned from the {first} and rounded once: nothing adds up.", *within))
    rows = ["## Without a printer", "", told]
    before: str | None = None
    for row in found:
        if row.whose != before:
            before = row.whose
            rows += ["", f"The {row.whose} has a line and figures of its own:", ""] if row.whose else [""]
            rows += [
                "| stride | begins at, mm | mark | on the strip, mm | on the strip, in |",
                "|---:|---:|---:|---:|---:|",
            ]
        for number, at in row.marks:
            mm, inches = format_mm(at).removesuffix(" mm"), format_inches(at).removesuffix(" in")
            rows.append(f"| {row.n} | {format_mm(row.from_mm).removesuffix(' mm')} | {number} | {mm} | {inches} |")
    return "\n".join(rows)


def _closing(placement: Placement) -> str:
    scheme = closing_scheme(placement)
    return "" if scheme is None or placement.is_withheld else listed("Closing without counting", scheme.lines)
