"""What is said of several openings together: each thing once, with the openings that it is said of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.jobs.whole.clearances import nearest_of_each
from closures.lengths import format_length
from closures.placing.counted import closures_of
from closures.placing.counted_from import level_zero_told
from closures.placing.tape import tape_in_words
from closures.report.tally import grouped, lap_in_words, tally
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.checks.finding import Finding, Result
    from closures.jobs.whole.clearances import Clearance
    from closures.placing.placement import Placement

RESULTS: dict[Result, str] = {"pass": "good", "warn": "look", "fail": "FAIL"}

Worked = Sequence[tuple[str, "Placement", Sequence["Finding"]]]
"""Each opening's name, its placement and what the rules say of it."""


def found_of(worked: Worked, result: Result) -> Iterator[tuple[str, str, str]]:
    """Tell the findings of one result: of which openings, at which rule, lap and marks, and in which words.

    What holds of several openings word for word, as of both halves of a body, is told once.
    """
    whose: dict[tuple[str, str], list[str]] = {}
    for name, placement, findings in worked:
        for finding, marks in grouped(findings):
            if finding.result == result:
                lap = [lap_in_words(finding, placement.side_word)] if finding.lap else []
                at = ", ".join([finding.rule, *lap, *([numbers_in_words(marks)] if marks else [])])
                whose.setdefault((at, finding.text), []).append(name)
    for (at, text), names in whose.items():
        yield in_a_row(names), at, text


def between_of(clearances: Sequence[Clearance], *results: Result) -> list[tuple[str, str]]:
    """What lies between openings, of some results: how it stands, in a word, and what it is.

    Of good ones the nearest of each opening is told; `report.json` has them all.
    """
    told, left_out = nearest_of_each(clearances)
    lines = [(RESULTS[one.result], one.text) for one in told if one.result in results]
    if left_out and "pass" in results:
        pairs = "further pair clears each other" if left_out == 1 else "further pairs clear each other"
        lines.append((RESULTS["pass"], f"{left_out} {pairs}, no nearer than the nearest of either opening."))
    return lines


def measured_of(worked: Worked) -> list[tuple[str, str]]:
    """What to hold against one's own garment: how long each edge is, what was assumed, and what to know before a
    strap is cut."""
    told: dict[str, list[str]] = {}
    for name, placement, _ in worked:
        strap = () if placement.strap is None else placement.strap.notes
        assumed = [f"Assumed: {line}" for line in placement.assumed]
        for line in dict.fromkeys(
            (tape_in_words(placement), *level_zero_told(placement), *placement.notes, *assumed, *strap)
        ):
            told.setdefault(line, []).append(name)
    return [(in_a_row(names), line) for line, names in told.items()]


def gaps_as_worn(placement: Placement, until: str) -> str:
    """How long the gaps of a row are on the garment: the shortest and the longest, or the one length of all.

    Args:
        placement: the row; its sheets may be for the cloth before its first wash.
        until: the words between two lengths.

    Returns:
        The lengths, with a word where a wash comes before them; empty where there is no gap.
    """
    spacing, units = placement.as_worn.spacing, placement.plan.units
    if not spacing.gaps_mm:
        return ""
    shown = (spacing.largest_mm,) if spacing.spread_mm < 0.05 else (spacing.smallest_mm, spacing.largest_mm)
    ends = dict.fromkeys(format_length(gap, units) for gap in shown)
    return until.join(ends) + ("" if placement.washed is None else " once washed")


HEAD = ("opening", "closures", "gaps", "failed", "to look at", "result")


def cells_of(
    name: str, placement: Placement, findings: Sequence[Finding], clearances: Sequence[Clearance]
) -> tuple[str, ...]:
    """A row below `HEAD`, its name left out; what lies between openings counts for each whose closure it is."""
    gaps = gaps_as_worn(placement, " to ") or "-"
    own = [
        one.result for one in clearances if name == one.first or (name == one.second and one.second_mark is not None)
    ]
    fails, looks, _ = tally(findings)
    fails, looks = fails + own.count("fail"), looks + own.count("warn")
    worst: Result = "fail" if fails else "warn" if looks else "pass"
    return closures_of(placement), gaps, str(fails), str(looks), RESULTS[worst]
