"""A placement as text for a terminal: the row drawn in signs, the marks as a table, what to look at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.checks.finding import share_in_words
from closures.placing.counted_from import level_zero_told
from closures.placing.easing import under_gaps_in_words
from closures.placing.nothing_set import nothing_set
from closures.placing.tape import tape_in_words
from closures.placing.taped import taped_in_words
from closures.report.page import RESULT_WORDS, marks_in_words
from closures.report.parts import count_parts, lace_in_words, loops_in_words, to_change_spare
from closures.report.tally import grouped, lap_in_words, tally
from closures.report.telling import number_of
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement
    from closures.plan.top import Units

_ROW_WIDTH = 72
_COLOURS = {"fail": "31", "warn": "33", "pass": "32", "bold": "1"}


def report_terminal(
    placement: Placement, findings: Sequence[Finding], *, colour: bool = False, width: int = 100
) -> str:
    """Write the report for a terminal.

    Args:
        placement: the closures as placed.
        findings: what the rules say of it.
        colour: whether the terminal takes colours; they only repeat what the words say.
        width: of the terminal, in signs.

    Returns:
        The text, without a final line break.
    """
    blocks = (
        _head(placement, colour),
        _row(placement, width),
        _table(placement),
        _checks(findings, colour, width, placement),
        _parts(placement),
    )
    return "\n\n".join(blocks)


def _row(placement: Placement, width: int) -> str:
    if placement.strap is None:
        return draw_row(placement, min(_ROW_WIDTH, width - 2))
    from closures.report.strap import strap_words

    return strap_words(placement)


def _head(placement: Placement, colour: bool) -> str:
    plan = placement.plan
    title = _ink(plan.title, "bold", colour)
    lap = f", {placement.laps.garment.lap_in_words}" if plan.lap else ""
    what = f"{placement.fastener.name}{lap}"
    what += "".join(f"\n{share_in_words(share)}" for share in placement.shares[1:])
    tape = tape_in_words(placement)
    assumed = (f"Assumed: {line}" for line in placement.assumed)
    lines = (
        tape,
        placement.spacing.reason,
        *under_gaps_in_words(placement),
        *level_zero_told(placement),
        *placement.notes,
        *assumed,
    )
    return "\n".join((title, what, *lines))


def draw_row(placement: Placement, width: int) -> str:
    """Draw the closing line with its closures: ``o`` a mark, ``x`` a clear zone, ``^`` an anchor.

    Args:
        placement: the closures as placed.
        width: of the drawing, in signs.

    Returns:
        The names of both ends where they have some of their own, the row with the first end on the left, and the
        anchors where there are any: a line each.
    """
    length = placement.laps.line.length_mm
    last = max(width, 20) - 3

    def column(along: float) -> int:
        return 1 + round(along / length * last)

    row = ["|", *("-" * (last + 1)), "|"]
    for zone in placement.zones:
        for low, high in zone.stretches_mm:
            for at in range(column(low), column(high) + 1):
                row[at] = "x"
    for mark in placement.marks:
        row[column(mark.along_mm)] = "o"
    first, last_name = placement.ends
    named = placement.laps.garment.opens is not None or first != "first end"
    lines = [f"{first}{last_name:>{len(row) - len(first)}}"] if named else []
    lines.append("".join(row))
    if placement.anchors:
        below = [" "] * len(row)
        for anchor in placement.anchors:
            below[column(anchor.along_mm)] = "^"
        lines.append("".join(below).rstrip())
    return "\n".join(lines)


def _table(placement: Placement) -> str:
    if placement.strap is not None:
        from closures.report.strap import table_of_ends

        return table_of_ends(placement)
    # The plan's own units stand first, and the gaps are told in them.
    own: Units = placement.plan.units
    other: Units = "in" if own == "mm" else "mm"
    gaps = dict(zip((mark.n for mark in placement.marks), [None, *placement.spacing.gaps_mm], strict=True))
    row = gaps.keys()
    # Where not all lie on one line, the distance along alone tells no place.
    edges = [f"from {lap} edge, {own}" for lap in ("over", "under")] if placement.beside else []
    rows = [("mark", f"along, {own}", f"along, {other}", f"gap, {own}", *edges, "sits at")]
    for mark in placement.all_marks:
        gap = gaps.get(mark.n)
        laps = (mark.over, mark.under) if edges else ()
        rows.append(
            (
                str(mark.n),
                number_of(mark.along_mm, own),
                number_of(mark.along_mm, other),
                "" if gap is None else number_of(gap, own),
                *("" if on is None else number_of(on.edge_distance_mm, own) for on in laps),
                (mark.anchor or "") if mark.n in row else "beside the row",
            )
        )
    return "\n".join(text_table(rows, right=range(len(rows[0]) - 1)))


def _checks(findings: Sequence[Finding], colour: bool, width: int, placement: Placement) -> str:
    import textwrap

    lines = []
    for finding, marks in grouped(findings):
        if finding.result == "pass":
            continue
        word = RESULT_WORDS[finding.result]
        lap = f", {lap_in_words(finding, placement.side_word)}" if finding.lap else ""
        text = f"{finding.rule}{lap}{marks_in_words(marks)}: {finding.text}"
        wrapped = textwrap.wrap(text, max(width - 6, 40), subsequent_indent=" " * 6)
        lines.append(f"{_ink(word, finding.result, colour)}  " + "\n".join(wrapped))
    *_, good = tally(findings)
    if good:
        lines.append(f"{_ink('good', 'pass', colour)}  {good} check{'' if good == 1 else 's'} passed.")
    if placement.washed is not None:
        used = "the garment as it is worn" if placement.laps.garment.opens != "flat" else "the piece as it is used"
        lines.append(f"The checks judge {used}, washed; the marks above lie on the unwashed cloth.")
    return "\n".join(lines)


def _parts(placement: Placement) -> str:
    counted = count_parts(placement)
    closure = placement.plan.closure
    alike = all((part.spare, part.trial) == (closure.spare, closure.trial) for part in counted)
    parts = []
    for part in counted:
        # What is had once serves what is made alike, and is told where it is counted.
        own = "" if alike else _more(part.spare, part.trial)
        among = f", {own} among them" if own else ""
        parts.append(f"{part.total} × {part.named} ({part.lap} {placement.side_word}){among}")
    each = " of each kind and size" if len({part.closure for part in counted}) > 1 else ""
    more = _more(closure.spare, closure.trial)
    told = f", {more}{each} counted in" if alike and more else ""
    change = f" {to_change_spare(placement)}" if more else ""
    unset = nothing_set(placement)
    if unset is not None:
        return f"To buy: nothing. {unset.to_buy}"
    return "\n".join(
        (
            *([f"To buy: {(', ' if alike else '; ').join(parts)}{told}.{change}"] if parts else []),
            *lace_in_words(placement),
            *taped_in_words(placement),
            *loops_in_words(placement),
        )
    )


def _ink(text: str, name: str, colour: bool) -> str:
    return f"\x1b[{_COLOURS[name]}m{text}\x1b[0m" if colour else text


def _more(spare: int, trial: int) -> str:
    """How many are spare and how many for a trial piece; empty where there are none."""
    more = [f"{spare} spare"] if spare else []
    more += [f"{trial} for a trial piece"] if trial else []
    return " and ".join(more)
