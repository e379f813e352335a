"""Carriers of a belt that would stand on an opening: one that is sewn over it holds it shut, or hides its closures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.jobs.whole.clearances import Clearance, level_zero_y, strap_width_mm
from closures.jobs.whole.frames import is_one_drawing
from closures.said import for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.jobs.whole.frames import Worked

# The garment's seams as shares of the way round it from a closure at centre front (common practice: a quarter of it
# lies from the front to a side). One that is nearer to an opening there than this opening's band is wide stands on it:
# our own rule.
_SEAMS = {"left side": (0.25, 0.75), "right side": (0.25, 0.75), "back": (0.5,)}

BESIDE = "Sew that one beside the opening, clear of both laps"


def on_openings(belt: Worked, worked: Sequence[Worked]) -> dict[str, tuple[int, ...]]:
    """The openings that carriers of a belt would stand on, by what opens, with the carriers, counted from 1.

    Of a side either of two carriers is meant: which of them stands on the right one, a belt does not say.
    """
    strap = belt.placement.strap
    if strap is None or strap.carriers is None:
        return {}
    places = strap.carriers.round_mm
    # They stand evenly, so the whole way round is one part more than there are.
    whole_mm = places[0] * (len(places) + 1)
    found: dict[str, tuple[int, ...]] = {}
    for one in worked:
        opens, band = one.placement.laps.garment.opens or "", one.placement.plan.band
        if band is None or opens not in _SEAMS or _is_clear(belt, one) or not _runs_there(belt, one, worked):
            continue
        near = tuple(
            n
            for n, place in enumerate(places, start=1)
            if any(abs(place - share * whole_mm) < band.width_mm for share in _SEAMS[opens])
        )
        if near:
            found[opens] = near
    return found


def carriers_on_openings(worked: Sequence[Worked]) -> Iterator[Clearance]:
    """Say of each belt which of its carriers would stand on an opening of the garment."""
    for belt in worked:
        for opens, numbers in on_openings(belt, worked).items():
            which = in_a_row([str(n) for n in numbers], "or")
            one = next(one for one in worked if one.placement.laps.garment.opens == opens)
            text = (
                f"Carrier {which} of the {belt.opening.name} would stand where the {opens} opens: sewn over the "
                f"opening it holds it shut, and on a closure it is in its way. {BESIDE}"
            ) + for_author(
                "; or write another number of carriers under [belt], 0 for none. Where the belt does not pass that "
                f'opening, write clear_of = ["{one.opening.name}"] in the [[opening]] {belt.opening.name}.',
                ". Where the belt does not pass that opening, all is well.",
            )
            yield Clearance("warn", belt.opening.name, one.opening.name, None, None, None, None, text)


def _is_clear(belt: Worked, one: Worked) -> bool:
    return one.opening.name in belt.opening.clear_of or belt.opening.name in one.opening.clear_of


def _runs_there(belt: Worked, one: Worked, worked: Sequence[Worked]) -> bool:
    """Whether the belt passes an opening, as far as one drawing shows it; where none does, it may."""
    crossing = belt.opening.crossing
    if crossing is None:
        return True
    over = next(other for other in worked if other.opening.name == crossing.over)
    if over is not one and not is_one_drawing(over, one):
        return True
    middle, half = crossing.level_mm + level_zero_y(over.placement.as_told), strap_width_mm(belt.placement) / 2
    _, low, _, high = one.placement.as_told.laps.over.edge.box
    return low - half <= middle <= high + half
