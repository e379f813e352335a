"""Two rows beside each other: the one that was kept to compare, and the one in hand, with what tells them apart."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.app.web.ink import tag
from closures.app.web.placed import answer_of
from closures.lengths import format_length
from closures.placing.counted import closures_of
from closures.report.tally import grouped

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.web.bench import Bench

_WIDE, _HIGH, _PAD, _RIM = 600.0, 24.0, 10.0, 6.5


def compared(bench: Bench) -> dict[str, Any] | None:
    """Tell the kept row beside the row in hand; None where none was kept.

    Returns:
        A strip of each row, and what is told of them: its name, both figures, and whether they differ.
    """
    if bench.beside is None:
        return None
    kept, now = answer_of(bench, bench.beside), answer_of(bench)
    told = zip(_told(kept, now), _told(now, now), strict=True)
    figures = [(name, one, other, one != other) for (name, one), (_, other) in told]
    return {"strips": _strips(kept, now), "figures": figures, "is_same": bench.beside.text == bench.step.text}


def compare(bench: Bench, rest: list[str]) -> Bench:
    """Keep the row in hand to compare, let the kept one go, or take it back in place of the one in hand."""
    waits = bench.still()
    if rest == ["take"] and bench.beside is not None:
        taken = bench.taken(replace(bench.beside, gesture=""))
        return taken.refused(replace(waits, is_partly=True)) if waits.words else taken
    beside = bench.step if rest == ["keep"] else None
    refusal = replace(waits, is_partly=True) if waits.words else None
    return replace(bench, beside=beside, refusal=refusal, turn=bench.turn + 1)


def _told(answer: Answer, shown_as: Answer) -> list[tuple[str, str]]:
    placement, units = answer.placement, shown_as.placement.plan.units
    gaps, marks = placement.spacing.gaps_mm, placement.marks
    length = placement.laps.as_worn.line.length_mm
    results = [finding.result for finding, _ in grouped(answer.findings)]
    fails, looks = results.count("fail"), results.count("warn")
    first, last = placement.ends
    return [
        ("Closures", closures_of(placement)),
        ("Gaps from", format_length(min(gaps), units) if gaps else "none"),
        ("Gaps to", format_length(max(gaps), units) if gaps else "none"),
        (f"From the {first}", format_length(marks[0].along_mm, units) if marks else "none"),
        (f"To the {last}", format_length(length - marks[-1].along_mm, units) if marks else "none"),
        ("Checks", "all pass" if not fails + looks else f"{fails} failed, {looks} to look at"),
    ]


def _strips(kept: Answer, now: Answer) -> tuple[tuple[str, str], ...]:
    """Both rows laid straight at one scale, their first ends on the left, to lie one above the other."""
    longest = max(one.placement.laps.as_worn.line.length_mm for one in (kept, now))
    scale = (_WIDE - 2 * _PAD) / longest
    return tuple((name, _strip(name, answer, scale)) for name, answer in (("Kept", kept), ("Now", now)))


def _strip(name: str, answer: Answer, scale: float) -> str:
    line, middle = answer.placement.laps.as_worn.line, _HIGH / 2
    drawn = [tag("path", d=f"M{_PAD} {middle}h{line.length_mm * scale:.2f}", class_="closing")]
    for mark in answer.placement.marks:
        drawn.append(tag("circle", cx=_PAD + mark.along_mm * scale, cy=middle, r=_RIM, class_="part"))
    said = f"{name}, laid straight: {len(answer.placement.marks)} marks"
    return tag("svg", "".join(drawn), viewBox=f"0 0 {_WIDE:.0f} {_HIGH:.0f}", role="img", aria_label=said)
