"""Tables of measured points: across and down, offsets from a chord, or tape and level."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Sequence
from itertools import pairwise

from closures.curve import Point
from closures.edges.points import smooth_through
from closures.errors import ClosureError, EdgeError, Fault
from closures.frozen import frozen
from closures.lengths import format_length, parse_length_mm
from closures.plan.shown import shown_beside

# As many points as may stand in a plan.
_MOST_ROWS = 1000

# What the columns of a table may be; a table without a heading is the first of these.
_FORMS = (("across", "down"), ("along", "offset"), ("along", "level"), ("along", "level", "leans"))

# A tape of cloth is read to about this; it is how far a point found from tape and level can be trusted.
_TAPE_MM = 1.0

# Rounds after which the directions between tape readings have settled, far beyond what a tape shows.
_ROUNDS = 8

_HEADING = re.compile(r"([a-z]+) ?(?:[(\[]? ?(mm|cm|in) ?[)\]]?)?")


@frozen
class Measured:
    """Points from a table.

    Attributes:
        points: across and down in mm, first end first.
        notes: how well they lie on one smooth curve.
    """

    points: tuple[Point, ...]
    notes: tuple[str, ...]


def read_table_of_points(data: bytes, where: str, units: str) -> Measured:
    """Read a table of measured points.

    The columns are ``across, down``; or ``along, offset``, from a straight chord that runs straight down from
    (0, 0), offsets to the right; or ``along, level``, a tape laid along the edge and the height at each reading,
    with a third column ``leans`` (right or left) where the edge does not lean to the right all the way.

    Args:
        data: the bytes of the file: a row to a point, columns parted by commas, semicolons or tabs.
        where: its name, for messages.
        units: what a bare number means.

    Raises:
        EdgeError: it is not such a table; holds every fault found.
    """
    rows = _rows(data, where)
    form, rows, column_units = _form(rows, where, units)
    faults: list[Fault] = []
    values: list[tuple[float, float]] = []
    leans: list[str] = []
    for line, row in rows:
        place = f"{where}, line {line}"
        if len(row) != len(form):
            faults.append(Fault(place, f"{len(row)} columns, not {len(form)}", f"Write {', '.join(form)}."))
            continue
        try:
            first, second = (
                parse_length_mm(_plain(cell), unit, least_mm=None, where=f"{place}, {name}")
                for cell, name, unit in zip(row[:2], form, column_units, strict=False)
            )
        except ClosureError as error:
            faults += error.faults
            continue
        lean = row[2].strip().lower() if len(form) == 3 else "right"
        if lean not in ("right", "left", ""):
            faults.append(Fault(place, f"'{lean[:20]}' is neither right nor left", "Write right or left."))
        values.append((first, second))
        leans.append(lean or "right")
    if faults:
        raise EdgeError.of(tuple(faults[:20]))
    if len(values) < 2:
        raise EdgeError("an edge needs two points at least", where=where, mend="Measure more points.")
    if form == ("across", "down"):
        return Measured(tuple(values), _fit_in_words(values, where, units))
    if form == ("along", "offset"):
        points = tuple((offset, along) for along, offset in values)
        return Measured(points, _fit_in_words(points, where, units))
    return _from_tape(values, leans, where, units)


def _rows(data: bytes, where: str) -> list[tuple[int, list[str]]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise EdgeError("the table is not text in UTF-8", where=where, mend="Save it as CSV in UTF-8.") from None
    first = text.partition("\n")[0]
    sign = next((sign for sign in ("\t", ";") if sign in first), ",")
    rows = []
    try:
        # A lone carriage return ends a row as well, as some spreadsheets write it.
        for line, row in enumerate(csv.reader(io.StringIO(text, newline=None), delimiter=sign), 1):
            cells = [cell.strip() for cell in row]
            if any(cells) and not cells[0].startswith("#"):
                rows.append((line, cells))
            if len(rows) > _MOST_ROWS + 1:
                raise EdgeError(f"more than {_MOST_ROWS} rows", where=where, mend="Leave some of the points out.")
    except csv.Error:
        raise EdgeError("this is not a table", where=where, mend="Save it as CSV.") from None
    if not rows:
        raise EdgeError("the table is empty", where=where, mend="Write a row to a point: across, down.")
    return rows


def _form(
    rows: list[tuple[int, list[str]]], where: str, units: str
) -> tuple[tuple[str, ...], list[tuple[int, list[str]]], tuple[str, ...]]:
    line, head = rows[0]
    if not any(cell[:1].isalpha() for cell in head):
        return _FORMS[0], rows, (units, units)
    matches = [_HEADING.fullmatch(" ".join(cell.lower().split())) for cell in head]
    names = tuple(match[1] if match else "" for match in matches)
    if names not in _FORMS:
        raise EdgeError(
            f"the columns {', '.join(head)[:60]} are not known",
            where=f"{where}, line {line}",
            mend="Head them: across, down; or along, offset; or along, level.",
        )
    return names, rows[1:], tuple((match[2] if match else None) or units for match in matches)


def _plain(cell: str) -> str | float:
    """A bare number as a number, for it takes the units of its column."""
    try:
        return float(cell) if re.fullmatch(r"[+-]?\d+(\.\d*)?|[+-]?\.\d+", cell) else cell
    except ValueError:
        return cell


def _fit_in_words(points: Sequence[Point], where: str, units: str) -> tuple[str, ...]:
    """How far the point that stands out most lies from the curve through the others."""
    through = f"The edge is a smooth curve through all {len(points)} points of {where}"
    if len(points) < 5:
        return (f"{through}; with fewer than 5, a slip of the tape would not show.",)
    off = []
    for n in range(1, len(points) - 1):
        # Three neighbours on either side tell the curve there as well as all of them.
        near = [*points[max(0, n - 3) : n], *points[n + 1 : n + 4]]
        off.append((smooth_through(near, where).nearest(points[n]).distance_mm, n + 1))
    worst, number = max(off)
    shown = format_length(worst, "in" if units == "in" else "mm")
    return (
        f"{through}. Furthest from the curve through its neighbours: point {number}, by {shown}. "
        "Measure it again if that is more than your tape is out.",
    )


def _from_tape(values: list[tuple[float, float]], leans: list[str], where: str, units: str) -> Measured:
    """Points from distances along the edge and heights: the way sideways is what is left of each step."""
    begin_level = values[0][1]
    angles: list[float] = []
    show = shown_beside(units)
    for n, ((s0, y0), (s1, y1)) in enumerate(pairwise(values), 2):
        step, drop = s1 - s0, y1 - y0
        if not step > 0:
            raise EdgeError(f"row {n} is not further along", where=where, mend="Write the rows from the first end.")
        if abs(drop) > step + _TAPE_MM:
            raise EdgeError(
                f"between rows {n - 1} and {n} the level changes by {show(abs(drop))} on {show(step)} of tape",
                where=where,
                mend="No edge can do that: measure both again.",
            )
        # From straight down; positive to the right.
        side = 1.0 if leans[n - 1] == "right" else -1.0
        angles.append(side * math.acos(max(-1.0, min(1.0, drop / step))))
    steps = [b[0] - a[0] for a, b in pairwise(values)]
    drops = [b[1] - a[1] for a, b in pairwise(values)]
    turns = _turns(angles)
    for _ in range(_ROUNDS):
        # A chord is shorter than the tape by sin(half turn) / half turn, as on a circle.
        shares = [math.sin(t / 2) / (t / 2) if abs(t) > 1e-9 else 1.0 for t in turns]
        angles = [
            math.copysign(math.acos(max(-1.0, min(1.0, d / (h * share)))), a)
            for d, h, share, a in zip(drops, steps, shares, angles, strict=True)
        ]
        turns = _turns(angles)
    points = [(0.0, begin_level)]
    doubt = 0.0
    for h, d, a, t in zip(steps, drops, angles, turns, strict=True):
        share = math.sin(t / 2) / (t / 2) if abs(t) > 1e-9 else 1.0
        points.append((points[-1][0] + h * share * math.sin(a), points[-1][1] + d))
        # d across / d level is cot of the lean; a step that runs straight down is all doubt.
        doubt = max(doubt, _TAPE_MM / max(abs(math.sin(a)), math.sqrt(2 * _TAPE_MM / h)))
    note = (
        f"From tape and level: a slip of {format_length(_TAPE_MM, 'mm')} in one reading moves the edge sideways by up "
        f"to {format_length(doubt, 'in' if units == 'in' else 'mm')}. Where the edge runs nearly straight down, "
        "across and down is the better way."
    )
    return Measured(tuple(points), (note,))


def _turns(angles: Sequence[float]) -> list[float]:
    """How far the edge turns within each step, by the directions of the steps beside it."""
    if len(angles) < 2:
        return [0.0] * len(angles)
    between = [b - a for a, b in pairwise(angles)]
    inner = [(a + b) / 2 for a, b in pairwise(between)]
    return [between[0], *inner, between[-1]]
