"""A placement as a page in Markdown, to follow at the table with a tape and without a printer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.lengths import format_mm
from closures.placing.counted_from import level_zero_told
from closures.placing.easing import under_gaps_in_words
from closures.placing.edge_to_edge import apart_in_words
from closures.placing.looped import loop_of
from closures.placing.marking import are_along_alike
from closures.placing.nothing_set import nothing_set
from closures.placing.role import from_edge
from closures.placing.run_mark import run_mark
from closures.placing.tape import tape_in_words
from closures.placing.taped import taped_in_words
from closures.report.advice import advice_sections
from closures.report.parts import count_parts, lace_in_words, loops_in_words, to_change_spare
from closures.report.tally import grouped, lap_in_words, tally_in_words
from closures.report.telling import both, number_of, plain

if TYPE_CHECKING:
    from closures.advice.advice import Advice
    from closures.checks.finding import Finding
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.top import Units

RESULT_WORDS = {"fail": "FAIL", "warn": "look", "pass": "good"}


def report_page(
    placement: Placement,
    findings: Sequence[Finding],
    sheets: Sequence[Sheet],
    advice: Advice,
    swap: Swap | None = None,
    more: Sequence[str] = (),
) -> bytes:
    """Write the report as a page.

    Args:
        placement: the closures as placed.
        findings: what the rules say of it.
        sheets: the marking templates that were drawn.
        advice: what is said about this job.
        swap: the offers, where old closures are there.
        more: further sections, on the work at the table.

    Returns:
        Markdown, UTF-8.
    """
    sections = (
        _head(placement),
        _swap(swap),
        *_ends_or_marks(placement),
        _checks(findings, placement.side_word),
        *more,
        _parts(placement),
        _lacing(placement),
        *advice_sections(advice),
        _sheets(sheets),
    )
    return ("\n\n".join(section for section in sections if section) + "\n").encode()


def _swap(swap: Swap | None) -> str:
    if swap is None:
        return ""
    from closures.report.offers_page import swap_page

    return swap_page(swap)


def _ends_or_marks(placement: Placement) -> Sequence[str]:
    if placement.strap is None:
        return [_marks(placement)]
    from closures.report.strap import strap_sections

    return strap_sections(placement)


def _head(placement: Placement) -> str:
    plan = placement.plan
    return "\n".join(
        (
            f"# {plain(plan.title)}",
            "",
            *(f"- **Closure:** {line}" for line in _closures(placement)),
            *_lap_in_words(placement),
            f"- **Count:** {' '.join((placement.spacing.reason, *under_gaps_in_words(placement)))}",
            f"- **Run mark:** {run_mark(placement)}. Sheets and files with the same mark have the same holes.",
            *(f"- **Edge:** {plain(note)}" for note in placement.notes),
            *(f"- **Assumed:** {plain(line)}" for line in placement.assumed),
        )
    )


def _closures(placement: Placement) -> list[str]:
    """What is set; of a row with closures that differ, each with its marks."""
    rows = []
    for share in placement.shares:
        fastener = share.fastener
        cap = f", {format_mm(fastener.cap_mm, 2)} {fastener.cap_way}" if fastener.cap else ""
        rows.append(f"{plain(fastener.kind)} {plain(fastener.size)}{cap}")
        if placement.is_mixed:
            hole = f", buttonhole {share.plan.closure.hole or 'along'}" if fastener.mark.buttonhole_lap else ""
            rows[-1] += f"{hole}: {numbers_in_words([mark.n for mark in share.marks])}"
    return rows


def _lap_in_words(placement: Placement) -> list[str]:
    plan, laps = placement.plan, placement.laps
    ends = "lap" if placement.strap is None else "end"
    rows = []
    if laps.garment.is_meeting:
        rows.append(f"- **Edges:** {edges_in_words(placement)}")
    elif plan.lap is not None:
        over, under = (lap.whose for lap in laps.both)
        rows.append(f"- **Lap:** the {over} lies on top (over {ends}), the {under} beneath (under {ends})")
    if placement.strap is None:
        line, edge = laps.line.length_mm, laps.over.edge.length_mm
        rows.append(f"- **Closing line:** {both(line, plan.units)} long; finished edge {both(edge, plan.units)}")
    rows.append(f"- **Tape:** {tape_in_words(placement)}")
    rows += [f"- **Levels:** {line}" for line in level_zero_told(placement)]
    return rows


def edges_in_words(placement: Placement) -> str:
    """Say of edges that meet which side is called what, and how far apart they are worn."""
    apart = apart_in_words(placement, lambda mm: both(mm, placement.plan.units))
    over, under = (lap.whose for lap in placement.laps.both)
    carries = [
        " and ".join(f"{one.name}s" for one in placement.fastener.parts_on(lap)[:1]) for lap in ("over", "under")
    ]
    lie = f"they are worn {apart}" if apart else "they meet"
    return (
        f"{lie}, and nothing lies on top. The {over} carries the {carries[0]} and is called the over lap here; the "
        f"{under} carries the {carries[1]} and is called the under lap"
    )


def _lacing(placement: Placement) -> str:
    lines = (*lace_in_words(placement), *taped_in_words(placement), *loops_in_words(placement))
    heading = "## Tape to cut" if placement.plan.tape is not None else "## Lacing"
    if loop_of(placement) is not None:
        heading = "## Loops"
    return "\n".join((heading, "", *(f"- {line}" for line in lines))) if lines else ""


def _whose_figures(placement: Placement) -> str:
    if are_along_alike(placement.all_marks):
        return "Both laps are marked from the same figures."
    return "The under lap has a line of its own: mark it from its own column."


def _marks(placement: Placement) -> str:
    own: Units = placement.plan.units
    other: Units = "in" if own == "mm" else "mm"
    under_head = "" if are_along_alike(placement.all_marks) else f"along the under lap's, {own} | "
    rows = [
        "## Where the marks lie",
        "",
        f"Measure every distance from the {placement.laps.garment.ends[0]}, along the closing line, with the tape "
        f"left in place: each figure is rounded once, and nothing adds up. {_whose_figures(placement)}",
        "",
        f"| mark | along, {own} | along, {other} | {under_head}gap, {own} | level, {own} | from over edge, {own} "
        f"| from under edge, {own} | sits at |",
        f"|---:|---:|---:|{'---:|' if under_head else ''}---:|---:|---:|---:|---|",
    ]
    show = partial(number_of, units=own)
    gaps: list[float | None] = [None, *placement.spacing.gaps_mm]
    for mark, gap in zip(placement.marks, gaps, strict=True):
        over, under = (from_edge(placement, mark, lap, show) for lap in ("over", "under"))
        own_along = "" if mark.under is None else number_of(mark.under.along_mm, own)
        rows.append(
            f"| {mark.n} | {number_of(mark.along_mm, own)} | {number_of(mark.along_mm, other)} "
            f"{f'| {own_along} ' if under_head else ''}"
            f"| {'' if gap is None else number_of(gap, own)} | {number_of(mark.level_mm, own)} | {over} | {under} "
            f"| {plain(mark.anchor or '')} |"
        )
    for mark in placement.all_marks[len(placement.marks) :]:
        over, under = (from_edge(placement, mark, lap, show) for lap in ("over", "under"))
        own_along = "" if mark.under is None else number_of(mark.under.along_mm, own)
        rows.append(
            f"| {mark.n} | {number_of(mark.along_mm, own)} | {number_of(mark.along_mm, other)} "
            f"{f'| {own_along} ' if under_head else ''}"
            f"|  | {number_of(mark.level_mm, own)} | {over} | {under} | {_beside(placement, mark.n)} |"
        )
    if spans := _spans(placement):
        rows += ["", f"First mark to last mark, straight across: {spans}. Check it on the taped sheets."]
    return "\n".join(rows)


def _beside(placement: Placement, n: int) -> str:
    share = placement.share_of(n)
    if placement.is_hidden(n):
        return "hidden"
    return "second column" if placement.is_second_column(n) else plain(share.fastener.kind)


def _spans(placement: Placement) -> str:
    """From the first mark to the last on either lap, once where both laps have one line."""
    laps, units = placement.laps, placement.plan.units
    told = {}
    for lap in laps.both:
        marks = placement.on(lap.name)
        if len(marks) > 1:
            told[lap.name] = f"**{both(math.dist(marks[0].at, marks[-1].at), units)}**"
    if placement.strap is not None or laps.under.pins_mm:
        return ", ".join(
            f"{text} on the {name} {'lap' if placement.strap is None else 'end'}" for name, text in told.items()
        )
    return next(iter(told.values()), "")


def _checks(findings: Sequence[Finding], side_word: str) -> str:
    rows = [
        "## Checks",
        "",
        f"{tally_in_words(findings)} These rules look at geometry and thickness only; a trial on the same cloth and "
        "layers decides.",
        "",
    ]
    for finding, marks in grouped(findings):
        limit = f" *({plain(finding.source)})*" if finding.source else ""
        rows.append(
            f"- **{RESULT_WORDS[finding.result]}** · {_where(finding, marks, side_word)}: {plain(finding.text)}{limit}"
        )
    return "\n".join(rows)


def _where(finding: Finding, marks: list[int], side_word: str) -> str:
    lap = f", {lap_in_words(finding, side_word)}" if finding.lap else ""
    return f"{finding.rule}{lap}{marks_in_words(marks)}"


def marks_in_words(marks: Sequence[int]) -> str:
    """Write mark numbers for people: ``, mark 3`` or ``, marks 1 to 4 and 7``; empty where there are none."""
    return f", {numbers_in_words(marks)}" if marks else ""


def _parts(placement: Placement) -> str:
    parts = count_parts(placement)
    unset = nothing_set(placement)
    if unset is not None:
        return f"## Parts\n\nNone to buy. {unset.to_buy}"
    if not parts:
        return ""
    rows = [
        "## Parts",
        "",
        f"| part | {placement.side_word} | for the marks | spare | trial | in all |",
        "|---|---|---:|---:|---:|---:|",
    ]
    rows += [f"| {p.named} | {p.lap} | {p.count} | {p.spare} | {p.trial} | {p.total} |" for p in parts]
    if any(p.spare or p.trial for p in parts):
        rows += ["", plain(f"Spare and trial pieces are among them. {to_change_spare(placement)}")]
    return "\n".join(rows)


def _sheets(sheets: Sequence[Sheet]) -> str:
    if not sheets:
        return ""
    rows = ["## Sheets", ""]
    for sheet in sheets:
        turned = ", drawn mirrored" if sheet.flipped else ""
        rows.append(
            f"- `{sheet.file}`: {_sheet_in_words(sheet)}, {sheet.face} face up{turned}, "
            f"{number_of(sheet.size_mm[0])} × {number_of(sheet.size_mm[1])} mm"
        )
    rows.append("- `marking.pdf`: both laps in pages, to print at actual size")
    rows += ["", "A sheet is void unless its squares measure 50 mm and 2 in, across and down."]
    return "\n".join(rows)


def _sheet_in_words(sheet: Sheet) -> str:
    return sheet.text.lap_words.split(" — ")[0].lower()
