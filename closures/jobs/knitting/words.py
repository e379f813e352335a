"""A row told to a knitter: a line to read beside the needles, and the list to knit by."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from closures.jobs.knitting.instructions import is_of_wrong_side
from closures.lengths import format_length

if TYPE_CHECKING:
    from closures.jobs.knitting.instructions import Knitted
    from closures.placing.knitted import KnittedHole
    from closures.plan.top import Units


_FEWEST_REPEATS = 3
"""Fewer are quicker read out than counted."""

_FIRST = "; row 1, the first after the stitches are picked up, is of the wrong side"


def knitting_line(knitted: Knitted) -> str:
    """Tell the whole row in one sentence, as it is read beside the needles."""
    first, *between, last = knitted.plain
    parts = [_steps(knitted, first)]
    for gap, times in ((gap, len(list(run))) for gap, run in groupby(between)):
        once = f"{_closure(knitted)}, {_steps(knitted, gap)}"
        parts += [once] * times if times < _FEWEST_REPEATS else [f"({once}) {times} times"]
    parts += [_closure(knitted), _steps(knitted, last)]
    words = ", ".join(parts)
    begin = f"From the {knitted.begins_at}"
    if knitted.picked_up is not None:
        begin = f"Picked up from the {knitted.picked_up[0]}, right side facing"
        if knitted.hole is not None and knitted.hole.over == "stitches":
            side = "wrong" if knitted.from_wrong_side else "right"
            begin += f"; the row of the buttonholes, a {side}-side row, from the {knitted.begins_at}"
    return f"{begin}: {words}; {_steps(knitted, knitted.total)} in all."


def list_to_knit_by(knitted: Knitted, units: Units) -> list[str]:
    """List the band row by row, or the rows of a band that is picked up; whole sentences, to be numbered.

    Where the plan does not tell how many stitches or rows the band is wide, what lies across it is told as lengths.
    """
    return _rows(knitted, units) if knitted.step == "row" else _stitches(knitted, units)


def _rows(knitted: Knitted, units: Units) -> list[str]:
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
            said.append(f"Row {at}, a {_side(at)}-side row, {_named(knitted, n)}: {_across(knitted, hole, at, units)}")
            said.append(f"Row {at + 1}: cast on {hole.counts} over {gap}.")
            made = at + 1
        else:
            said += _plain(made + 1, at)
            parts = "two halves" if knitted.second is None else "three parts"
            where = f", parted {_parted(knitted, hole, units)} from the free edge"
            said.append(f"Rows {at + 1} to {at + hole.counts}, {_named(knitted, n)}: work the {parts} apart{where}.")
            made = at + hole.counts
    said += _plain(made + 1, knitted.total)
    return said


def _plain(low: int, high: int, first: str = "") -> list[str]:
    """Rows without a buttonhole; `first` is what to know of row 1."""
    if high < low:
        return []
    know = first if low == 1 else ""
    return [
        f"Row {low}: as set{know}." if low == high else f"Rows {low} to {high}: as set ({high - low + 1} rows){know}."
    ]


def _named(knitted: Knitted, n: int) -> str:
    """The closure whose hole it is, and that of the second column beside it."""
    return f"closure {n}" if knitted.second is None else f"closures {n} and {n + knitted.beside}"


def _side(row: int) -> str:
    return "right" if row % 2 else "wrong"


def _parted(knitted: Knitted, hole: KnittedHole, units: Units) -> str:
    """How far from the free edge a row is parted, for one buttonhole or for two that lie in it."""
    second = knitted.second
    if hole.before is None:
        far = [format_length(one.from_edge_mm, units) for one in (hole, second) if one is not None]
        return " and ".join(far)
    return f"after {hole.before} stitches" + ("" if second is None else f" and after {second.before}")


def _across(knitted: Knitted, hole: KnittedHole, row: int, units: Units) -> str:
    """One row of a buttonhole, in the order in which it is worked."""
    second = knitted.second
    if hole.before is None or hole.after is None:
        lies = "the buttonhole lies" if second is None else "each buttonhole lies"
        far = _parted(knitted, hole, units)
        return f"cast off {hole.counts} where {lies}, from {far} off the free edge inwards, work the rest."
    # From the free edge: plain, cast off and plain in turn.
    counts = [hole.before, hole.counts, hole.after]
    if second is not None and second.before is not None and second.after is not None:
        counts[2:] = [second.before - hole.before - hole.counts, second.counts, second.after]
    from_free = knitted.right_from_free == (row % 2 == 1)
    told = ", ".join(
        f"{'cast off' if n % 2 else 'work'} {count}" for n, count in enumerate(counts if from_free else counts[::-1])
    )
    if from_free:
        return f"from the free edge {told}{', work the front' if knitted.band_last else ''}."
    if knitted.band_last:
        return f"work the front up to the last {sum(counts)} stitches, the band; {told}, to the free edge."
    return f"from the seam edge {told}, to the free edge."


def _stitches(knitted: Knitted, units: Units) -> list[str]:
    """The list of a band that is picked up: how many stitches before, in and between the holes, and in which row."""
    hole, (begin, end) = knitted.hole, knitted.picked_up or (knitted.begins_at, knitted.other_end)
    whose = knitted.whose or ("over lap" if hole is None else "lap with the buttonholes")
    said = [
        f"On the {whose}, the right side facing, pick up {knitted.total} stitches along the edge from the {begin} to "
        f"the {end}; on the other lap from the {end} to the {begin}."
    ]
    if hole is None:
        counted = f"stitches from the {knitted.begins_at}"
        return [
            *said,
            *(f"After {at} {counted}: closure {n}." for n, at in zip(knitted.marks, knitted.at, strict=True)),
        ]
    # Rows are counted from the edge outwards, and the second column lies further in.
    made = 0
    for one in (hole,) if knitted.second is None else (knitted.second, hole):
        told, made = _hole_rows(knitted, one, made, units)
        said += told
    if hole.before is not None and hole.after is not None:
        own = hole.counts if hole.over == "rows" else 0
        said += _plain(made + 1, hole.before + own + hole.after)
    return said


def _hole_rows(knitted: Knitted, hole: KnittedHole, made: int, units: Units) -> tuple[list[str], int]:
    """The rows of one column's buttonholes, after so many that are made; and how many are made then."""
    # A picked-up band grows towards its free edge, from which a hole is told: what is left of its width is knitted.
    own_mm = hole.length_mm if hole.over == "rows" else 0.0
    when = format_length(max(knitted.band_mm - hole.from_edge_mm - own_mm, 0.0), units)
    left = (
        f"The buttonholes then lie {format_length(hole.from_edge_mm, units)} from its free edge. Where the plan tells "
        "how many rows the band is wide, this list tells their row by its number."
    )
    if hole.over == "rows":
        parted = f"parted after {', '.join(str(at) for at in knitted.at)} stitches from the {knitted.begins_at}"
        if hole.after is None:
            rows = f"For {hole.counts} rows, begun when the band measures {when} from where it was picked up"
            return [f"{rows}, work in parts, {parted}. {left}"], made
        low, high = hole.after + 1, hole.after + hole.counts
        rows = f"Row {low}" if low == high else f"Rows {low} to {high}"
        return [*_plain(made + 1, hole.after, _FIRST), f"{rows}: work in parts, {parted}."], high
    plain = knitted.plain
    wrong = is_of_wrong_side(hole)
    begin, end = knitted.begins_at, knitted.other_end
    if wrong != knitted.from_wrong_side:
        # The row of the second column runs the other way.
        plain, begin, end = plain[::-1], end, begin
    words = ", ".join((f"work {plain[0]}", *(f"cast off {hole.counts}, work {gap}" for gap in plain[1:])))
    if hole.after is None:
        return [
            f"As set until the band measures {when} from where it was picked up{_FIRST}. {left}",
            f"The row of the buttonholes, the right-side row nearest to that, from the {begin} to the {end}: {words}.",
            f"Next row: cast on {hole.counts} over each gap.",
        ], made
    at, side = hole.after, "wrong" if wrong else "right"
    return [
        *_plain(made + 1, at - 1, _FIRST),
        f"Row {at}, a {side}-side row, from the {begin} to the {end}: {words}.",
        f"Row {at + 1}: cast on {hole.counts} over each gap.",
    ], at + 1


def holes_in_words(knitted: Knitted, units: Units) -> list[str]:
    """What stands under the list: a hole in the other band, and how long a hole comes out; empty lines between."""
    hole = knitted.hole
    if hole is None:
        return []
    return [
        *_hidden_words(knitted, units),
        f"A hole over {hole.in_words} is {format_length(hole.length_mm, units)} long; the button asks for "
        f"{format_length(hole.wanted_mm, units)}. Knitting gives: try one in the swatch (common practice).",
    ]


def _hidden_words(knitted: Knitted, units: Units) -> list[str]:
    if knitted.hidden is None:
        return []
    hole, n, level = knitted.hidden
    unit = "stitches" if knitted.step == "row" else "rows"
    far = format_length(hole.from_edge_mm, units) if hole.before is None else f"{hole.before} {unit}"
    return [
        f"The under lap's band has one buttonhole, closure {n}: over {hole.in_words}, level with closure {level}, "
        f"{far} from the under lap's free edge.",
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
        return f"2 buttonholes, each over {hole.in_words}{rows}"
    return f"buttonhole over {hole.in_words}{rows}"
