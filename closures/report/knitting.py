"""A row told to a knitter: a line for the terminal, a list for the page, figures for programs."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from closures.lengths import format_length
from closures.report.telling import rounded

if TYPE_CHECKING:
    from closures.jobs.knitting.instructions import Knitted
    from closures.placing.knitted import KnittedHole
    from closures.plan.top import Units


_FEWEST_REPEATS = 3
"""Fewer are quicker read out than counted."""


def knitting_figures(knitted: Knitted) -> dict[str, Any]:
    """Put it into plain figures."""
    hole = knitted.hole
    return {
        "step": knitted.step,
        "step_mm": rounded(knitted.step_mm),
        "total": knitted.total,
        "begins_at": knitted.begins_at,
        "marks": list(knitted.marks),
        "before_each": list(knitted.at),
        "own": knitted.own,
        "plain": list(knitted.plain),
        "hole": None
        if hole is None
        else {
            "counts": hole.counts,
            "over": hole.over,
            "before": hole.before,
            "after": hole.after,
            "length_mm": rounded(hole.length_mm),
            "wanted_mm": rounded(hole.wanted_mm),
        },
    }


def knitting_line(knitted: Knitted) -> str:
    """Tell the whole row in one sentence, as it is read beside the needles."""
    first, *between, last = knitted.plain
    parts = [_steps(knitted, first)]
    for gap, times in ((gap, len(list(run))) for gap, run in groupby(between)):
        once = f"{_closure(knitted)}, {_steps(knitted, gap)}"
        parts += [once] * times if times < _FEWEST_REPEATS else [f"({once}) {times} times"]
    parts += [_closure(knitted), _steps(knitted, last)]
    words = ", ".join(parts)
    begin = f"From the {knitted.begins_at}" if knitted.step == "row" else f"Picked up from the {knitted.begins_at}"
    return f"{begin}: {words}; {_steps(knitted, knitted.total)} in all."


def knitting_section(knitted: Knitted, units: Units) -> str:
    """Write the list to knit by, as a section of the report's page."""
    lines = ["## Knit it", "", knitting_line(knitted), ""]
    lines += [f"{n}. {words}" for n, words in enumerate(_list(knitted), start=1)]
    lines += ["", *_hole_words(knitted, units)]
    return "\n".join(lines).rstrip()


def _list(knitted: Knitted) -> list[str]:
    return _rows(knitted) if knitted.step == "row" else _stitches(knitted)


def _rows(knitted: Knitted) -> list[str]:
    """The list of a band that is counted in rows; the hole of closure k lies between row n and the next."""
    hole, made, said = knitted.hole, 0, []
    for n, at in zip(knitted.marks, knitted.at, strict=True):
        if hole is None:
            said += _plain(made + 1, at) if at > made else []
            said.append(f"After row {at}: mark closure {n} with a thread.")
            made = max(made, at)
        elif hole.over == "stitches":
            said += _plain(made + 1, at - 1)
            said.append(f"Row {at}, closure {n}: {_across(hole)}")
            said.append(f"Row {at + 1}: cast on {hole.counts} over the gap.")
            made = at + 1
        else:
            said += _plain(made + 1, at)
            where = "" if hole.before is None else f", parted after {hole.before} stitches from the free edge"
            said.append(f"Rows {at + 1} to {at + hole.counts}, closure {n}: work the two halves apart{where}.")
            made = at + hole.counts
    said += _plain(made + 1, knitted.total)
    return said


def _plain(low: int, high: int) -> list[str]:
    if high < low:
        return []
    return [f"Row {low}: as set." if low == high else f"Rows {low} to {high}: as set ({high - low + 1} rows)."]


def _across(hole: KnittedHole) -> str:
    if hole.before is None:
        return f"cast off {hole.counts} where the buttonhole lies, work the rest."
    return f"from the free edge work {hole.before}, cast off {hole.counts}, work {hole.after}."


def _stitches(knitted: Knitted) -> list[str]:
    """The list of a band that is picked up: how many stitches before, in and between the holes."""
    hole = knitted.hole
    said = [
        f"Pick up {knitted.total} stitches along the edge, from the {knitted.begins_at} to the {knitted.other_end}."
    ]
    if hole is None:
        return [*said, *(f"After {at} stitches: closure {n}." for n, at in zip(knitted.marks, knitted.at, strict=True))]
    row = "in the row of the buttonholes" if hole.before is None else f"after {hole.before} rows"
    if hole.over == "rows":
        parted = ", ".join(str(at) for at in knitted.at)
        return [*said, f"For {hole.counts} rows, {row}, work in parts, parted after {parted} stitches."]
    first, *works = knitted.plain
    words = ", ".join((f"work {first}", *(f"cast off {hole.counts}, work {gap}" for gap in works)))
    return [*said, f"The row of the buttonholes, {row}: {words}.", f"Next row: cast on {hole.counts} over each gap."]


def _hole_words(knitted: Knitted, units: Units) -> list[str]:
    hole = knitted.hole
    if hole is None:
        return []
    return [
        f"A hole over {_over(hole)} is {format_length(hole.length_mm, units)} long; the button asks for "
        f"{format_length(hole.wanted_mm, units)}. Knitting gives: try one in the swatch (common practice)."
    ]


def _steps(knitted: Knitted, count: int) -> str:
    word = knitted.step if count == 1 else {"row": "rows", "stitch": "stitches"}[knitted.step]
    return f"{'knit ' if knitted.step == 'row' else ''}{count} {word}"


def _closure(knitted: Knitted) -> str:
    hole = knitted.hole
    if hole is None:
        return "a closure"
    rows = " in 2 rows" if knitted.step == "row" and hole.over == "stitches" else ""
    return f"buttonhole over {_over(hole)}{rows}"


def _over(hole: KnittedHole) -> str:
    one = {"stitches": "stitch", "rows": "row"}[hole.over]
    return f"{hole.counts} {one if hole.counts == 1 else hole.over}"
