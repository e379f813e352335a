"""Two rows beside each other: the one that was kept to compare, and the one in hand, with what tells them apart."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.app.web.ink import tag, words
from closures.app.web.placed import answer_of
from closures.lengths import format_length
from closures.placing.counted import closures_of
from closures.report.tally import grouped

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.web.bench import Bench

_WIDE, _PAD, _STEP, _HEAD = 600.0, 12.0, 46.0, 18.0


def compared(bench: Bench) -> dict[str, Any] | None:
    """Tell the kept row beside the row in hand; None where none was kept.

    Returns:
        The picture, and a list of what is told with both figures.
    """
    if bench.beside is None:
        return None
    kept, now = answer_of(bench, bench.beside), answer_of(bench)
    told = zip(_told(kept, now), _told(now, now), strict=True)
    rows = [(name, one, other, one != other) for (name, one), (_, other) in told]
    return {"picture": _two_rows(kept, now), "rows": rows, "is_same": bench.beside.text == bench.step.text}


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
        ("Smallest gap", format_length(min(gaps), units) if gaps else "none"),
        ("Largest gap", format_length(max(gaps), units) if gaps else "none"),
        (f"From the {first}", format_length(marks[0].along_mm, units) if marks else "none"),
        (f"To the {last}", format_length(length - marks[-1].along_mm, units) if marks else "none"),
        ("Checks", "every one passes" if not fails + looks else f"{fails} failed, {looks} to look at"),
    ]


def _two_rows(kept: Answer, now: Answer) -> str:
    """Both rows laid straight, one above the other at one scale, their first ends on the left."""
    longest = max(one.placement.laps.as_worn.line.length_mm for one in (kept, now))
    scale = (_WIDE - 2 * _PAD) / longest
    drawn = []
    for n, (name, answer) in enumerate((("kept", kept), ("now", now))):
        y = _HEAD + n * _STEP + 14.0
        length = answer.placement.laps.as_worn.line.length_mm
        drawn.append(words(name, (_PAD, y - 18.0), 12.0, "number"))
        drawn.append(tag("path", d=f"M{_PAD} {y}h{length * scale:.2f}", class_="closing"))
        for mark in answer.placement.marks:
            x = _PAD + mark.along_mm * scale
            drawn.append(tag("circle", cx=x, cy=y, r=5.0, class_="part"))
    return tag(
        "svg",
        "".join(drawn),
        viewBox=f"0 0 {_WIDE:.0f} {_HEAD + 2 * _STEP:.0f}",
        role="img",
        aria_label="Both rows laid straight: the kept one above, the one in hand below.",
        class_="two-rows",
    )
