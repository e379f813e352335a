"""How far the gaps of a row depart from the one that is wanted, largest first: the list by which rows are compared.

Of two rows the better is the one whose list is smaller at the first place where the lists differ. A shorter list
counts as followed by zeros. So one gap that is forced far off spoils only itself: whatever it is, the next gap
decides, and then the one after that.

A list is kept as runs of equal departures, (departure in mm, how many gaps), because gaps between two fixed places
are equal. Lists may be compared before the rest of their rows is known: what both rows go on with changes nothing.
"""

Departures = tuple[tuple[float, int], ...]

SAME_DEPARTURE_MM = 0.01
"""Departures that differ by less are one: a fiftieth of a pen line, and well above any rounding."""

_NONE_MM = 1e-9
"""A departure up to this is none at all: rounding."""


def with_gaps(departures: Departures, departure_mm: float, gaps: int) -> Departures:
    """Add equal gaps to a list.

    Args:
        departures: the list, largest first.
        departure_mm: of each gap that is added.
        gaps: how many are added.
    """
    if gaps == 0 or departure_mm <= _NONE_MM:
        return departures
    at = 0
    for known, _ in departures:
        if known < departure_mm:
            break
        at += 1
    return (*departures[:at], (departure_mm, gaps), *departures[at:])


def joined(ours: Departures, others: Departures) -> Departures:
    """Join the lists of two parts of a row."""
    return tuple(sorted(ours + others, reverse=True))


def compare(ours: Departures, others: Departures) -> float:
    """Compare two lists at the first place where they differ by more than `SAME_DEPARTURE_MM`.

    Returns:
        ours less the other there; 0 where they differ nowhere.
    """
    if ours is others:
        return 0.0
    # In plain steps: rows past a hundred fixed places are compared some hundred thousand times.
    i = j = ours_left = others_left = 0
    mine = theirs = 0.0
    while True:
        if not ours_left:
            mine, ours_left = ours[i] if i < len(ours) else (0.0, 0)
            i += 1
        if not others_left:
            theirs, others_left = others[j] if j < len(others) else (0.0, 0)
            j += 1
        differ = mine - theirs
        if differ > SAME_DEPARTURE_MM or differ < -SAME_DEPARTURE_MM:
            return differ
        if not ours_left or not others_left:
            return 0.0  # what is left of the longer list is smaller still
        if ours_left < others_left:
            ours_left, others_left = 0, others_left - ours_left
        else:
            ours_left, others_left = ours_left - others_left, 0
