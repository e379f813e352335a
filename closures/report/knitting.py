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
    figures = {
        "step": knitted.step,
        "step_mm": rounded(knitted.step_mm),
        "total": knitted.total,
        "begins_at": knitted.begins_at,
        "marks": list(knitted.marks),
        "before_each": list(knitted.at),
        "own": knitted.own,
        "plain": list(knitted.plain),
        "hole": None if knitted.hole is None else _hole_figures(knitted.hole),
    }
    if knitted.second is not None:
        figures["second_hole"] = _hole_figures(knitted.second)
    if knitted.hidden is not None:
        hole, n, level = knitted.hidden
        figures["hidden_hole"] = {"mark": n, "level_with": level, **_hole_figures(hole)}
    return figures


def _hole_figures(hole: KnittedHole) -> dict[str, Any]:
    return {
        "counts": hole.counts,
        "over": hole.over,
        "before": hole.before,
        "after": hole.after,
        "length_mm": rounded(hole.length_mm),
        "wanted_mm": rounded(hole.wanted_mm),
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
            each = f"closures {n} and {n + knitted.beside}" if knitted.beside else f"closure {n}"
            said.append(f"After row {at}: mark {each} with a thread.")
            made = max(made, at)
        elif hole.over == "stitches":
            said += _plain(made + 1, at - 1)
            gap = "the gap" if knitted.second is None else "each gap"
            said.append(f"Row {at}, {_named(knitted, n)}: {_across(hole, knitted.second)}")
            said.append(f"Row {at + 1}: cast on {hole.counts} over {gap}.")
            made = at + 1
        else:
            said += _plain(made + 1, at)
            second = knitted.second
            also = "" if second is None else f" and after {second.before}"
            parts = "two halves" if second is None else "three parts"
            where = "" if hole.before is None else f", parted after {hole.before} stitches{also} from the free edge"
            said.append(f"Rows {at + 1} to {at + hole.counts}, {_named(knitted, n)}: work the {parts} apart{where}.")
            made = at + hole.counts
    said += _plain(made + 1, knitted.total)
    return said


def _plain(low: int, high: int) -> list[str]:
    if high < low:
        return []
    return [f"Row {low}: as set." if low == high else f"Rows {low} to {high}: as set ({high - low + 1} rows)."]


def _named(knitted: Knitted, n: int) -> str:
    """The closure whose hole it is, and that of the second column beside it."""
    return f"closure {n}" if knitted.second is None else f"closures {n} and {n + knitted.beside}"


def _across(hole: KnittedHole, second: KnittedHole | None) -> str:
    if hole.before is None:
        lies = "the buttonhole lies" if second is None else "either buttonhole lies"
        return f"cast off {hole.counts} where {lies}, work the rest."
    if second is not None and second.before is not None:
        between = second.before - hole.before - hole.counts
        return (
            f"from the free edge work {hole.before}, cast off {hole.counts}, work {between}, cast off {second.counts}, "
            f"work {second.after}."
        )
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
    if knitted.second is not None:
        far = knitted.second.before
        row += " and again in that of the second column" if far is None else f" and again after {far} rows"
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
        *_hidden_words(knitted),
        f"A hole over {_over(hole)} is {format_length(hole.length_mm, units)} long; the button asks for "
        f"{format_length(hole.wanted_mm, units)}. Knitting gives: try one in the swatch (common practice).",
    ]


def _hidden_words(knitted: Knitted) -> list[str]:
    if knitted.hidden is None:
        return []
    hole, n, level = knitted.hidden
    far = ""
    if hole.before is not None:
        unit = "stitches" if knitted.step == "row" else "rows"
        far = f", {hole.before} {unit} from the under lap's free edge"
    return [
        f"The under lap's band has one buttonhole, closure {n}: over {_over(hole)}, level with closure {level}{far}.",
        "",
    ]


def _steps(knitted: Knitted, count: int) -> str:
    word = knitted.step if count == 1 else {"row": "rows", "stitch": "stitches"}[knitted.step]
    return f"{'knit ' if knitted.step == 'row' else ''}{count} {word}"


def _closure(knitted: Knitted) -> str:
    hole = knitted.hole
    if hole is None:
        return "a closure"
    rows = " in 2 rows" if knitted.step == "row" and hole.over == "stitches" else ""
    if knitted.second is not None:
        return f"2 buttonholes, each over {_over(hole)}{rows}"
    return f"buttonhole over {_over(hole)}{rows}"


def _over(hole: KnittedHole) -> str:
    one = {"stitches": "stitch", "rows": "row"}[hole.over]
    return f"{hole.counts} {one if hole.counts == 1 else hole.over}"
