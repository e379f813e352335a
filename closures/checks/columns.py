"""Rules on what lies beside the row: a second column, and the hidden closure on its line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.checks.checked import Checked, first_least
from closures.checks.finding import Finding
from closures.lengths import SAME_MM, format_length
from closures.placing.column import apart_in_words, hidden_places
from closures.placing.column_room import all_rooms

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.clearance import Room
    from closures.placing.placement import Placement

_NAME = "columns apart"


def check_columns(checked: Checked) -> list[Finding]:
    """Do the row, the second column and the hidden closure keep off each other, on each lap, rims and buttonholes?"""
    placement = checked.placement
    if not placement.beside:
        return []
    rooms = all_rooms(placement, checked.catalogue)
    if not rooms:
        return []
    short = _worst_of_each([(lap, room) for lap, room in rooms if not room.is_enough])
    if short:
        return [_told(checked, lap, room) for lap, room in short]
    _, least = first_least(rooms, lambda found: found[1].mm - found[1].wanted_mm)
    one, other = _pieces(least)
    text = (
        f"At least {checked.show(least.mm)} lies between two lines, {one} and {other}; "
        f"{checked.show(least.wanted_mm)} is wanted."
    )
    return [Finding(_NAME, "pass", text, _source(checked, least), None, None, least.mm, least.wanted_mm, "least")]


def ends_beside(checked: Checked) -> Iterator[Finding]:
    """Tell what hangs past an end of the edge, beside the row; what is usual there is asked of the row."""
    for line in checked.placement.beside:
        for mark in line.marks:
            rim_mm = line.fastener_of(mark.n).rim_mm
            ends = zip((mark.along_mm, line.laps.line.length_mm - mark.along_mm), checked.placement.ends, strict=True)
            for found, end in ends:
                if found < rim_mm - SAME_MM:
                    text = (
                        f"The centre of mark {mark.n} lies {checked.show(found)} from the {end}, and its rim hangs "
                        f"{checked.show(rim_mm - found)} past it. {_further_from_the_end(checked.placement, mark.n)}"
                    )
                    yield Finding("end distance", "fail", text, "geometry", None, mark.n, found, rim_mm, "least")


def _further_from_the_end(placement: Placement, n: int) -> str:
    if placement.is_single(n):
        return "Move it in, by its own along or level under [[single]]."
    if placement.is_second_column(n):
        return "Move the row in: the second column lies square across from it."
    return "Move it in, by level within inner under [column]."


def _worst_of_each(short: Sequence[tuple[LapName, Room]]) -> list[tuple[LapName, Room]]:
    """For each mark beside another line, on each lap, what is worst there."""
    found: dict[tuple[LapName, int], Room] = {}
    for lap, room in short:
        had = found.get((lap, room.second))
        if had is None or (not room.meets, room.mm - room.wanted_mm) < (not had.meets, had.mm - had.wanted_mm):
            found[lap, room.second] = room
    return [(lap, room) for (lap, _), room in found.items()]


def _told(checked: Checked, lap: LapName, room: Room) -> Finding:
    one, other = _pieces(room)
    if room.meets:
        text = f"T{other[1:]} lies on {one}" + (f", by {checked.show(-room.mm)}." if room.mm < 0 else ".")
    else:
        found = checked.show_under(room.mm, room.wanted_mm)
        text = f"Only {found} lies between {one} and {other}; {checked.show(room.wanted_mm)} is wanted."
    return Finding(
        _NAME,
        "fail" if room.meets else "warn",
        f"{text} {_mend(checked, room)}",
        _source(checked, room),
        lap,
        room.second,
        room.mm,
        room.wanted_mm,
        "least",
    )


def _pieces(room: Room) -> tuple[str, str]:
    return f"the {room.pieces[0]} of mark {room.first}", f"the {room.pieces[1]} of mark {room.second}"


def _source(checked: Checked, room: Room) -> str:
    return checked.source("rim to rim" if room.pieces == ("rim", "rim") else "ridge")


def _mend(checked: Checked, room: Room) -> str:
    placement = checked.placement
    if placement.is_single(room.second):
        return "Move it: another place along, or another inset, under [[single]]."
    hidden = _hidden_at(placement, room.second)
    if hidden is None:
        return apart_in_words(placement, checked.catalogue)
    if placement.plan.gauge is not None:
        return "Level with no closure of the row is it free. Take a smaller one, or leave inner out under [column]."
    units = placement.plan.units
    free = hidden_places(placement, hidden, checked.catalogue).free_levels(hidden.marks[0].level_mm, units)
    if free:
        where = " and at ".join(format_length(level, units) for level in free)
        return f"It would be free at {where}: write that as level, within inner under [column]."
    if any(mark.n == room.first for mark in placement.marks):
        return apart_in_words(placement, checked.catalogue)
    return "Nowhere on its line is it free. Take a smaller one, or fewer closures in the row."


def _hidden_at(placement: Placement, n: int) -> Placement | None:
    """The hidden closure of a column, where a mark is its own."""
    return next((one for one in placement.beside[1:] if any(mark.n == n for mark in one.marks)), None)
