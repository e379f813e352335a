"""A whole garment in words and in figures: its openings, what lies between them, what to buy, the order of work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from closures.placing.run_mark import joint_mark, run_mark
from closures.report.openings import HEAD, Worked, between_of, cells_of, found_of, measured_of
from closures.report.shopping import bought_figures, packs_in_words
from closures.report.telling import plain, rounded

if TYPE_CHECKING:
    from closures.advice.whole_order import SharedStep
    from closures.jobs.whole.clearances import Clearance
    from closures.plan.garment_file import GarmentFile
    from closures.report.shopping import Bought


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


def garment_page(
    garment: GarmentFile,
    worked: Worked,
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
    failed = [f"{whose}, {at}: {text}" for whose, at, text in found_of(worked, "fail")]
    failed += [text for _, text in between_of(clearances, "fail")]
    if failed:
        lines += ["**A check failed.** Look at it before anything is pierced:", ""]
        lines += [f"- **FAIL** · {plain(one)}" for one in failed]
        lines += [""]
    lines += [f"| {' | '.join(HEAD)} | run mark | its own page |", "|---|---:|---|---:|---:|---|---|---|"]
    for name, placement, findings in worked:
        told = cells_of(name, placement, findings, clearances)
        cells = (plain(name), *told, run_mark(placement), f"[{files[name]}]({files[name]})")
        lines.append(f"| {' | '.join(cells)} |")
    lines += ["", "## Read before you cut", ""]
    lines += [f"- {plain(whose)}: {plain(line)}" for whose, line in measured_of(worked)]
    between = between_of(clearances, "warn", "pass")
    if between:
        lines += ["", "## Between the openings", "", *(f"- {word}: {plain(text)}" for word, text in between)]
    looks = [f"{whose}, {at}: {text}" for whose, at, text in found_of(worked, "warn")]
    if looks:
        lines += ["", "## To look at", "", *(f"- {plain(one)}" for one in looks)]
    lines += [
        "",
        "## To buy",
        "",
        "| part | count | spare and trial | in all | packs | for |",
        "|---|---:|---:|---:|---:|---|",
    ]
    for row in bought:
        packs = "-" if row.packs is None else str(row.packs)
        name = f"{row.part} ({row.name})"
        lines.append(
            f"| {name} | {row.count} | {row.extra} | {row.total} | {packs} | {plain(', '.join(row.openings))} |"
        )
    lines += [line for sentence in packs_in_words(bought) for line in ("", plain(sentence))]
    lines += ["", "## Order of work", ""]
    names = {name for name, _, _ in worked}
    for n, step in enumerate(steps, start=1):
        if step.is_first_final:
            lines += ["", f"**{plain(step.stop)}**", ""]
        whose = "All openings" if len(names) > 1 and set(step.openings) == names else ", ".join(step.openings)
        source = f" *({plain(step.source)})*" if step.source else ""
        lines.append(
            f"{n}. **{plain(whose[:1].upper() + whose[1:])}:** {plain(step.text)} "
            f"Right when: {plain(step.done)}{source}"
        )
    for heading, sentences in advice:
        lines += ["", f"## {heading}", "", *(f"- {plain(sentence)}" for sentence in sentences)]
    return ("\n".join(lines) + "\n").encode()
