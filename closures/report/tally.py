"""How many findings fail, want a look and are good: counted one way, as they are listed, wherever it is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.checks.finding import Finding

BOTH = "both"
"""The lap of what `grouped` put together from both."""
_ORDER = {"fail": 0, "warn": 1, "pass": 2}

_SPOIL_ALL = ("finished edge", "garment", "ends", "two lines")
"""Rules that ask whether the row lies on the right edge, the right way round and on the right side: told before those
that ask for one figure more, as all others are worth nothing where these are wrong."""


def grouped(findings: Sequence[Finding]) -> list[tuple[Finding, list[int]]]:
    """Put findings that say the same of several marks together: failures first, and of each kind what spoils most.

    Returns:
        One finding for each group, with the numbers of its marks; what is wrong in the same words on both laps is one,
        of the lap `BOTH`.
    """
    rules = list(dict.fromkeys((*_SPOIL_ALL, *(finding.rule for finding in findings))))
    ordered = sorted(findings, key=lambda f: (_ORDER[f.result], rules.index(f.rule), f.lap or "", f.text, f.mark or 0))
    groups = groupby(ordered, key=lambda f: (f.result, f.rule, f.lap, f.text))
    result: list[tuple[Finding, list[int]]] = []
    of_over: dict[tuple[object, ...], int] = {}
    for _, members in groups:
        group = list(members)
        one, marks = group[0], [f.mark for f in group if f.mark is not None]
        said = (one.result, one.rule, one.text, *marks)
        # In their order the over lap comes first. What passes is one check for each lap.
        if one.lap == "under" and one.result != "pass" and said in of_over:
            result[of_over[said]] = (replace(one, lap=BOTH), marks)
            continue
        if one.lap == "over":
            of_over[said] = len(result)
        result.append((one, marks))
    return result


def lap_in_words(finding: Finding, side_word: str) -> str:
    """Name the lap that a finding is of, or the end of a strap; both where it is one of `BOTH`, nothing where none."""
    return f"both {side_word}s" if finding.lap == BOTH else f"{finding.lap} {side_word}" if finding.lap else ""


def tally(findings: Sequence[Finding]) -> tuple[int, int, int]:
    """Count what fails, what is to look at and what is good; what is said of several marks at once counts once."""
    counts = Counter(finding.result for finding, _ in grouped(findings))
    return counts["fail"], counts["warn"], counts["pass"]


def wrong_in_words(findings: Sequence[Finding]) -> str:
    """Say what is not good, such as "1 failed, 2 to look at"; that every check passes where nothing is."""
    fails, looks, _ = tally(findings)
    told = [f"{fails} failed"] if fails else []
    told += [f"{looks} to look at"] if looks else []
    return ", ".join(told) or "every check passes"


def tally_in_words(findings: Sequence[Finding]) -> str:
    """The same as a sentence, with how many are good: "2 to look at, 12 good.", "Every check passes: 14 good."."""
    fails, looks, good = tally(findings)
    told = wrong_in_words(findings)
    if not fails + looks:
        return f"Every check passes: {good} good."
    return f"{told}, {good} good." if good else f"{told}."
