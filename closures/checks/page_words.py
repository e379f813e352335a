"""What a printed page says of a finding: its rule in a dressmaker's words and by how much it is missed.

A finding's own text is for whoever wrote the plan, and says by which keys it is mended. Pages go to people who never
see a plan, so they say none of that: each rule has words of its own here, and its figures are those of the finding.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.lengths import SAME_MM, format_inches, format_mm

if TYPE_CHECKING:
    from closures.checks.finding import Finding, Result
    from closures.plan.top import Units

PAGE_WORDS = {
    "edge distance": "how far the parts lie from the finished edge",
    "stand": "how high the collar stand is, and whether its closure sits on it",
    "neighbour distance": "how much room lies between one closure and the next",
    "columns apart": "how much room lies between what stands beside the row and the row",
    "band width": "how much of the band lies behind the parts",
    "layer thickness": "whether what the parts clamp is as thick as they need it",
    "ridge": "whether a layer or an allowance ends under a part or beside it",
    "overlap": "whether the laps lie on each other where the closures sit",
    "backing": "whether the closures hold in what lies behind them",
    "backing pieces": "whether a backing has the room to be cut",
    "cloth": "whether the cloth suits these closures and is told as it is",
    "washing": "whether the cloth bears the wash that it is to have",
    "curve": "whether a straight band bears the bend of this edge",
    "corner": "how far the parts lie from a corner of the edge",
    "widest gap": "how far one closure lies from the next: a wide gap gapes",
    "evenness": "whether the gaps of the row are alike",
    "strain point": "whether a closure sits where it strains",
    "clear zone": "whether what is to stay clear is clear",
    "end distance": "how far the first and the last closure lie from the ends of the edge",
    "lace": "whether the lace is as long as it must be",
    "loop": "whether the loops are sewn in far enough",
    "named places": "whether places of one name lie where they should to each other",
    "sizes compared": "whether the sizes go up together, each a step from the next",
    "girth": "whether the girths that are told go together",
    "length": "whether the strap is as long as one usually is",
    "round": "whether the strap goes round what it is for",
    "gauge": "whether the stitches and rows that are told go together",
    "tape": "whether the tape keeps to its edge and its ends",
    "buttonhole": "how much room lies round each buttonhole",
    "turned button": "whether a button is to be hidden, as it is set here",
    "finished edge": "whether the row was laid from the finished edge, and not from a seam line",
    "garment": "whether the sheets are for the opening and the side that are meant",
    "ends": "whether the edge was taken from the right end",
    "two lines": "whether both laps close on the lines that are meant",
    "old hole": "how near old holes lie to the new closures",
    "kept closures": "whether closures that stay hold as new ones would",
    "old buttonhole": "how long the old buttonholes are",
    "kept places": "whether old places that stay keep to the row that is wished",
    "side pull": "how many closures share the pull",
    "bust level": "whether the bust level was measured on the wearer",
    "measured cap": "whether the part was measured as wide as its size is",
    "wearer": "whether these closures are for whoever wears them",
    "way in": "whether the body gets in and out",
}
"""What each rule asks, for those who sew, by its name."""

_IN_HUNDREDTHS = {"layer thickness", "backing"}
"""Rules whose figures are thicknesses: told in hundredths of a mm, as the report tells them."""
_SHOWN: dict[Units, Callable[[float], str]] = {
    "mm": format_mm,
    "in": lambda mm: f"{format_inches(mm)} ({format_mm(mm)})",
}
_SIGNS: dict[Result, str] = {"fail": "FAIL", "warn": "Look", "pass": "Good"}


def missed_in_words(finding: Finding, units: Units) -> str:
    """Say what was found beside the limit that it misses, half a sentence; empty where it misses none in figures."""
    found, limit = finding.found_mm, finding.limit_mm
    if found is None or limit is None or abs(found - limit) < SAME_MM:
        return ""
    show: Callable[[float], str] = partial(format_mm, decimals=2) if finding.rule in _IN_HUNDREDTHS else _SHOWN[units]

    is_missed = found > limit if finding.limit_is == "most" else found < limit
    if finding.limit_is is None or not is_missed:
        return ""
    # Where both are alike as they are shown, the one lies just beyond the other.
    just = show(found) == show(limit)
    if finding.limit_is == "most":
        return f"{f'just over {show(limit)}' if just else show(found)}, where {show(limit)} is the most"
    if limit <= SAME_MM:
        return f"{show(limit - found)} too little"
    if found < -SAME_MM:
        return f"{show(-found)} too far in, where {show(limit)} clear of it is the least"
    return f"{f'just under {show(limit)}' if just else show(found)}, where {show(limit)} is the least"


def findings_on_page(findings: Sequence[Finding], side_word: str, units: Units) -> tuple[str, ...]:
    """Say what fails and what is to be looked at, a sentence for each rule and lap: failures first.

    Args:
        findings: of all rules.
        side_word: what lies over or under, a lap or the end of a strap.
        units: those of the plan.
    """
    told = []
    for result in ("fail", "warn"):
        for (rule, on), own in _groups(findings, result, side_word).items():
            marks = numbers_in_words(sorted({one.mark for one in own if one.mark is not None}))
            where = ", ".join(filter(None, (rule, on, marks)))
            told.append(f"{_SIGNS[result]}: {where}: {_found_in_words(rule, own, units)}")
    return tuple(told)


def _found_in_words(rule: str, findings: Sequence[Finding], units: Units) -> str:
    """Say what was found: in the words of those that have some, and of the others by how much they miss their limit."""
    words = dict.fromkeys(one.in_words for one in findings if one.in_words)
    figure = worst_missed([one for one in findings if not one.in_words], units)
    if words:
        return " ".join((*words, *([f"{figure[0].upper()}{figure[1:]}."] if figure else [])))
    return f"{figure}. This asks {PAGE_WORDS[rule]}." if figure else f"This asks {PAGE_WORDS[rule]}."


def worst_missed(findings: Sequence[Finding], units: Units) -> str:
    """Say what the worst of some findings is beside the limit that it misses, or nothing."""
    missed = [one for one in findings if missed_in_words(one, units)]
    told = missed_in_words(max(missed, key=_missing_mm), units) if missed else ""
    return f"at worst {told}" if told and len({one.found_mm for one in findings}) > 1 else told


def _groups(findings: Sequence[Finding], result: str, side_word: str) -> dict[tuple[str, str], list[Finding]]:
    found: dict[tuple[str, str | None], list[Finding]] = {}
    for one in findings:
        if one.result == result:
            found.setdefault((one.rule, one.lap), []).append(one)
    told: dict[tuple[str, str], list[Finding]] = {}
    for (rule, lap), own in found.items():
        other = found.get((rule, "under" if lap == "over" else "over")) if lap else None
        alike = other is not None and [(a.mark, a.text) for a in own] == [(b.mark, b.text) for b in other]
        where = "" if lap is None else f"both {side_word}s" if alike else f"{lap} {side_word}"
        told.setdefault((rule, where), own)
    return told


def _missing_mm(finding: Finding) -> float:
    if finding.found_mm is None or finding.limit_mm is None:
        return -1.0
    return abs(finding.found_mm - finding.limit_mm)
