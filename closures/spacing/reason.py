"""Say in words why a row has the count and the gaps it has."""

import math

from closures.lengths import SAME_MM
from closures.series import how_many
from closures.spacing.gates import narrow, need_and_room
from closures.spacing.measure import measure
from closures.spacing.search import least_departure
from closures.spacing.wish import MOST_CLOSURES, Show, Wish

_EQUAL_MM = 0.005
"""Gaps that differ by less than this are called equal: ten times finer than anyone can mark."""

_NAMED = 3
"""Up to so many anchors and clear zones are named one by one."""

"""Where a reason goes on to speak of other rows."""


def reason_for(wish: Wish, places: tuple[float, ...], show: Show) -> str:
    """Say why a best row is as it is: its gaps, and what one closure fewer or more would give."""
    if len(places) == 1:
        return "1 closure, so there are no gaps."
    row = measure(wish, places, "")
    sentence = f"{how_many(len(places), 'closure')}: {gaps_in_words(row.gaps_mm, show)}"
    if wish.pitch_mm is None or row.departure_mm is None:
        return f"{sentence}, {_why_uneven(wish, row.spread_mm, show)}."
    sentence += off_in_words(row.departure_mm, wish.pitch_mm, show)
    fewer = _neighbour(wish, wish.pitch_mm, len(places) - 1, row.departure_mm, show)
    more = _neighbour(wish, wish.pitch_mm, len(places) + 1, row.departure_mm, show)
    unmet = unmet_pitch(wish, show)
    return f"{sentence}. With {fewer}; with {more}." + (f" {unmet[0].upper()}{unmet[1:]}." if unmet else "")


def unmet_pitch(wish: Wish, show: Show) -> str:
    """Say why no gap can have the pitch that is wanted; nothing where one can."""
    pitch_mm = wish.pitch_mm
    if pitch_mm is not None and pitch_mm < wish.closest_mm - SAME_MM:
        whose = "the fastener takes" if wish.closest_mm <= wish.least_mm + SAME_MM else "the plan's closest allows"
        return f"a pitch of {show(pitch_mm)} is less than the {show(wish.closest_mm)} that {whose}"
    if pitch_mm is not None and pitch_mm > wish.widest_mm + SAME_MM:
        return f"a pitch of {show(pitch_mm)} is more than the {show(wish.widest_mm)} that widest allows"
    return ""


def off_in_words(departure_mm: float, pitch_mm: float, show: Show) -> str:
    """Say how far the gaps are from the pitch, after a comma; never by a length that is shown as nothing."""
    if departure_mm <= _EQUAL_MM:
        return ", exactly the pitch wanted"
    if show(departure_mm) == show(0.0):
        return ", the pitch wanted to less than a tape shows"
    return f", at most {show(departure_mm)} off the pitch of {show(pitch_mm)}"


def gaps_in_words(gaps: tuple[float, ...], show: Show) -> str:
    """Say how many gaps there are and how long."""
    smallest, largest = min(gaps), max(gaps)
    if len(gaps) == 1:
        return f"1 gap of {show(gaps[0])}"
    if largest - smallest <= _EQUAL_MM or show(smallest) == show(largest):
        return f"{len(gaps)} gaps of {show(sum(gaps) / len(gaps))}"
    return f"{len(gaps)} gaps from {show(smallest)} to {show(largest)}"


def _why_uneven(wish: Wish, spread_mm: float, show: Show) -> str:
    if spread_mm <= _EQUAL_MM:
        return "all equal" if wish.count != 2 else "the only one"
    if show(spread_mm) == show(0.0):
        return "all equal to less than a tape shows"
    held = [f"anchor {anchor.name}" for anchor in wish.anchors] + [f"clear zone {zone.name}" for zone in wish.clear]
    if len(held) > _NAMED:
        held = ["the anchors"] * bool(wish.anchors) + ["the clear zones"] * bool(wish.clear)
    kept = " and ".join(held)
    return f"uneven by {show(spread_mm)}; no row of {wish.count} that keeps to {kept} is more even"


def _neighbour(wish: Wish, pitch_mm: float, count: int, departure_mm: float, show: Show) -> str:
    if count == 1:
        return "1 there would be no gap at all"
    if count > MOST_CLOSURES:
        return f"{count} there would be too many"
    known = least_departure(wish, pitch_mm, count, max(departure_mm - _EQUAL_MM, 0.0))
    if known is None:
        return f"{count} the limits cannot be kept"
    off = known.value
    need, room = (pair.slope for pair in need_and_room(*narrow(known.gates, math.inf)))
    if need <= room + _EQUAL_MM:
        gap = min(max(pitch_mm, need, wish.closest_mm), room, wish.widest_mm)
        plural = "gaps" if count > 2 else "gap"
        return f"{count} the {plural} would be {show(gap)}"
    if show(off) == show(departure_mm):
        return f"{count} some gap would be as far off it, and the gaps less even"
    return f"{count} some gap would be {show(off)} off it"
