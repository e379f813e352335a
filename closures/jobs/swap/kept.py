"""Closures that are there and stay: what the rules say of setting one is no longer to be done, and is looked at."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.said import to_both

if TYPE_CHECKING:
    from collections.abc import Iterable

    from closures.placing.placement import Placement

KEPT_CLOSURES = "kept closures"
"""The rule of closures that stay: what a new one there would be warned of."""

_OF_SETTING = {
    "edge distance": "it lies nearer to the finished edge than a new one should",
    "band width": "the band behind it is narrower than behind a new one it should be",
    "layer thickness": "the layers that are told do not suit what it clamps",
    "ridge": "a layer ends under its flange or near it",
    "backing": "it holds in less than a new one should",
    "cloth": "the cloth that is told bears the holes of this kind badly",
    "corner": "it lies nearer to a corner than a new one should",
    "buttonhole": "its buttonhole has less room than a new one should have",
    "neighbour distance": "its neighbour lies nearer than beside a new one it should",
    "end distance": "it lies otherwise from the end than a new one should",
    "clear zone": "it lies where nothing should be set",
    "backing pieces": "",
    "overlap": "it lies where the laps hold badly on each other",
}
"""Rules on how a closure is set, with what each found of one that was set long ago, as half a sentence (our own rule:
which of them speak of setting; the others speak of the closed garment, and hold as they are)."""


def as_they_stay(findings: Iterable[Finding], placement: Placement) -> tuple[Finding, ...]:
    """Tell what rules on setting found of closures that stay as something to look at: nothing is set there.

    Args:
        findings: of all rules.
        placement: the row, with the marks whose closures stay.

    Returns:
        The findings; none on how to set where nothing is set.
    """
    if not placement.staying:
        return tuple(findings)
    return tuple(told for one in findings if (told := _as_it_stays(one, placement)) is not None)


def _as_it_stays(finding: Finding, placement: Placement) -> Finding | None:
    if finding.rule not in _OF_SETTING or not _speaks_of_kept(finding, placement):
        return finding
    if finding.is_if_opened:
        # The band behind what stays is not opened: what holds only then, holds of no closure that is there.
        return None
    if finding.mark is None or finding.result == "pass":
        # The figures of what is there are worth a record; how to cut a hole, or what the layers are, is not asked.
        is_told = finding.result == "pass" and finding.rule != "buttonhole"
        return finding if is_told or not placement.is_all_there else None
    if finding.rule == "backing pieces":
        # None is cut for what is held already.
        return None
    found = _OF_SETTING[finding.rule]
    text = (
        f"{found[0].upper()}{found[1:]}. It is there and stays: pull at it, square to the cloth and sideways; what "
        "gives way is mended as the order of work tells."
    )
    return replace(finding, rule=KEPT_CLOSURES, result="warn", text=to_both(text), source="our own rule")


def _speaks_of_kept(finding: Finding, placement: Placement) -> bool:
    """Whether a finding speaks of closures that stay, and of no new one."""
    if finding.mark is None:
        return placement.is_all_there
    beside = {finding.mark + 1} if finding.rule == "neighbour distance" else set()
    last = placement.marks[-1].n if placement.marks else 0
    return {finding.mark, *(n for n in beside if n <= last)} <= placement.staying
