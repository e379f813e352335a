"""A whole garment in words and in figures: its openings, what lies between them, what to buy, the order of work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from closures.lengths import format_length
from closures.placing.run_mark import joint_mark, run_mark
from closures.report.shopping import bought_figures, bought_in_words, packs_in_words
from closures.report.tally import tally
from closures.report.telling import plain, rounded
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.advice.whole_order import SharedStep
    from closures.checks.finding import Finding
    from closures.jobs.whole.clearances import Clearance
    from closures.placing.placement import Placement
    from closures.plan.garment_file import GarmentFile
    from closures.report.shopping import Bought

_RESULTS = {"pass": "good", "warn": "look", "fail": "FAIL"}


def garment_figures(
    garment: GarmentFile,
    reports: Mapping[str, Any],
    clearances: Sequence[Clearance],
    bought: Sequence[Bought],
    steps: Sequence[SharedStep],
) -> dict[str, Any]:
    """Put a garment into plain figures.

    Args:
        garment: as told.
        reports: each opening's own report by its name, as its plan gives it alone.
        clearances: what lies between openings.
        bought: the parts of all.
        steps: the order of work.
    """
    return {
        "title": garment.title,
        "run": joint_mark([reports[opening.name]["run"] for opening in garment.openings]),
        "openings": [
            {"name": opening.name, "plan": opening.plan, "report": reports[opening.name]}
            for opening in garment.openings
        ],
        "clearances": [
            {
                "between": list(one.names),
                "marks": [one.first_mark, one.second_mark],
                "result": one.result,
                "found_mm": rounded(one.found_mm),
                "limit_mm": rounded(one.limit_mm),
                "text": one.text,
            }
            for one in clearances
        ],
        "parts": [
            {
                **bought_figures(row),
                "openings": list(row.openings),
                "packs": row.packs,
            }
            for row in bought
        ],
        "work": [{"text": step.text, "done": step.done, "openings": list(step.openings)} for step in steps],
    }


def garment_terminal(
    garment: GarmentFile,
    worked: Sequence[tuple[str, Placement, Sequence[Finding]]],
    clearances: Sequence[Clearance],
    bought: Sequence[Bought],
) -> str:
    """Write the summary for a terminal, without a final line break."""
    rows = [("opening", "closures", "gaps", "to look at", "result")]
    for name, placement, findings in worked:
        rows.append((name, *_cells(placement, findings)))
    table = text_table(rows)
    notes = [f"{name}: {note}" for name, note in _strap_notes(worked)]
    between = [f"{_RESULTS[one.result]}  {one.text}" for one in clearances]
    buy = [bought_in_words(row) for row in bought]
    return "\n".join(
        [
            *(garment.title, "", *table),
            *(["", *notes] if notes else []),
            *(["", *between] if between else []),
            *("", "To buy:", *buy, *packs_in_words(bought)),
        ]
    )


def garment_page(
    garment: GarmentFile,
    worked: Sequence[tuple[str, Placement, Sequence[Finding]]],
    clearances: Sequence[Clearance],
    bought: Sequence[Bought],
    steps: Sequence[SharedStep],
    files: Mapping[str, str],
    advice: Sequence[tuple[str, Sequence[str]]] = (),
) -> bytes:
    """Write the page that sums up a garment, in Markdown.

    Args:
        garment: as told.
        worked: each opening's name, placement and findings.
        clearances, bought, steps: as for `garment_figures`.
        files: the file of each opening's own report, by name.
        advice: how to mark, whom it is for and what to heed: headings with their sentences.
    """
    run = joint_mark([run_mark(placement) for _, placement, _ in worked])
    lines = [
        f"# {plain(garment.title)}",
        "",
        f"Run mark {run}: sheets and files with the same mark have the same holes. It stands on every page of "
        "marking.pdf; the files of one opening bear that opening's own.",
        "",
    ]
    failed = [(name, finding.text) for name, _, findings in worked for finding in findings if finding.result == "fail"]
    failed += [(one.first, one.text) for one in clearances if one.result == "fail"]
    if failed:
        lines += ["**A check failed.** Look at it before anything is pierced:", ""]
        lines += [f"- {plain(name)}: {plain(text)}" for name, text in failed]
        lines += [""]
    lines += [
        "| opening | closures | gaps | to look at | result | run mark | its own page |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, placement, findings in worked:
        cells = (plain(name), *_cells(placement, findings), run_mark(placement), f"[{files[name]}]({files[name]})")
        lines.append(f"| {' | '.join(cells)} |")
    notes = _strap_notes(worked)
    if notes:
        lines += ["", "## Read before you cut", "", *(f"- {plain(name)}: {plain(note)}" for name, note in notes)]
    if clearances:
        lines += ["", "## Between the openings", ""]
        lines += [f"- {_RESULTS[one.result]}: {plain(one.text)}" for one in clearances]
    looks = [(name, finding.text) for name, _, findings in worked for finding in findings if finding.result == "warn"]
    if looks:
        lines += ["", "## To look at", ""]
        lines += [f"- {plain(name)}: {plain(text)}" for name, text in dict.fromkeys(looks)]
    lines += [
        "",
        "## To buy",
        "",
        "| part | count | spare and trial | in all | packs | for |",
        "|---|---:|---:|---:|---:|---|",
    ]
    for row in bought:
        packs = "-" if row.packs is None else str(row.packs)
        name = f"{row.part} ({row.kind} {row.size})"
        lines.append(
            f"| {name} | {row.count} | {row.extra} | {row.total} | {packs} | {plain(', '.join(row.openings))} |"
        )
    lines += [line for sentence in packs_in_words(bought) for line in ("", plain(sentence))]
    lines += ["", "## Order of work", ""]
    names = {name for name, _, _ in worked}
    for n, step in enumerate(steps, start=1):
        if step.is_first_final:
            lines += ["", "**From here on nothing can be undone. Every trial must be right before.**", ""]
        whose = "All openings" if len(names) > 1 and set(step.openings) == names else ", ".join(step.openings)
        source = f" *({plain(step.source)})*" if step.source else ""
        lines.append(
            f"{n}. **{plain(whose[:1].upper() + whose[1:])}:** {plain(step.text)} "
            f"Right when: {plain(step.done)}{source}"
        )
    for heading, sentences in advice:
        lines += ["", f"## {heading}", "", *(f"- {plain(sentence)}" for sentence in sentences)]
    return ("\n".join(lines) + "\n").encode()


def _strap_notes(worked: Sequence[tuple[str, Placement, Sequence[Finding]]]) -> list[tuple[str, str]]:
    """What is to know of each belt or row before it is cut, such as how the waist was taken, by the opening's name."""
    return [
        (name, note) for name, placement, _ in worked if placement.strap is not None for note in placement.strap.notes
    ]


def _cells(placement: Placement, findings: Sequence[Finding]) -> tuple[str, str, str, str]:
    spacing, units = placement.spacing, placement.plan.units
    if not spacing.gaps_mm:
        gaps = "-"
    elif spacing.spread_mm < 0.05:
        gaps = format_length(spacing.largest_mm, units)
    else:
        gaps = f"{format_length(spacing.smallest_mm, units)} to {format_length(spacing.largest_mm, units)}"
    fails, looks, _ = tally(findings)
    worst = "fail" if fails else "warn" if looks else "pass"
    return str(len(placement.marks)), gaps, str(fails + looks), _RESULTS[worst]
