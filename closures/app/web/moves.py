"""What hands do to a plan: move a fixed place or a clear stretch, lock a mark, choose units.

Every function takes a plan's text and gives a text with that one change; lengths are mm along the closing line from its
first end. What is moved is written in the unit that stood there, to its usual step.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, TypeVar

from closures.errors import ClosureError, PlanError, in_section
from closures.frozen import frozen
from closures.lengths import unit_in_mm
from closures.plan.as_written import step_of, to_fine, to_step, written_like
from closures.plan.bare import with_units
from closures.plan.editing import add_section, remove_key, remove_section, set_aside, set_key, value_of

if TYPE_CHECKING:
    from closures.placing.lap import Laps
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

Thing = TypeVar("Thing")
Part = Literal["whole", "from", "to"]
Steps = Callable[[str, int, str], float]
"""How far a key moves a thing, in mm: of what, which from 0, and which part of it."""

# A closure within this of a fixed place sits at it: a hundredth of what counts as well placed.
_AT_MM = 0.01
# A lock is written so fine: half of its last step is less than `_AT_MM`.
_MM_DECIMALS, _INCH_DECIMALS = 2, 4
# The rest of the row may follow it by half of the last figure that the page shows.
_ROW_STAYS_MM = 0.05


@frozen
class InHand:
    """A plan that hands change.

    Attributes:
        text: as it stands.
        plan: the same, read.
        placement: where everything lies now.
    """

    text: str
    plan: Plan
    placement: Placement

    @property
    def laps(self) -> Laps:
        """The two laps."""
        return self.placement.laps.as_worn

    def held(self, section: str, key: str, nth: int) -> object:
        """What stands under a key."""
        return value_of(self.text, section, key, nth)

    def snapped(self, mm: float, old: object) -> float:
        """Round a place to the step of the unit that stood there, and keep it on the line."""
        return self.on_line(to_step(mm, old, self.plan.units), old)

    def on_line(self, mm: float, old: object) -> float:
        """Keep a place on the line, in figures that a person writes: near its very end in finer ones than elsewhere."""
        return to_fine(max(mm, 0.0), old, self.plan.units, self.laps.line.length_mm)

    def written(self, mm: float, old: object) -> str | int | float:
        """Write a length in the unit that stood there."""
        return written_like(mm, old, self.plan.units)


def steps_in(text: str, plan: Plan) -> Steps:
    """Tell how far a key moves each thing of a plan: to the next step of the unit in which it is told."""

    def step(what: str, n: int, part: str) -> float:
        row = value_of(text, what, (), n + 1) or {}
        held = next((row[key] for key in ("level", "along") if key in row), None)
        if isinstance(held, list):
            held = held[1 if part == "to" else 0]
        return step_of(held, plan.units)

    return step


def move_anchor(hand: InHand, n: int, along_mm: float) -> str:
    """Move the nth fixed place, from 0; one told by its level stays told by its level.

    Raises:
        PlanError: there is no such place.
    """
    wish = _nth(hand.plan.anchors, n, "fixed place")
    nth, text = n + 1, remove_key(hand.text, "anchor", "which", n + 1)
    if wish.level_mm is not None:
        old = hand.held("anchor", "level", nth)
        level = _as_level(hand, min(max(along_mm, 0.0), hand.laps.line.length_mm), old)
        if level is not None:
            return set_key(text, "anchor", "level", hand.written(level, old), nth)
    old = hand.held("anchor", "along", nth) or hand.held("anchor", "level", nth)
    written = hand.written(hand.snapped(along_mm, old), old)
    for key in ("level", "at"):
        text = set_aside(text, "anchor", key, nth)
    return set_key(text, "anchor", "along", written, nth)


def move_zone(hand: InHand, n: int, part: Part, along_mm: float) -> str:
    """Move the nth clear stretch, from 0, or one of its ends.

    Args:
        hand: the plan, and where the stretch lies now.
        n: which stretch.
        part: the whole, by its middle, or one end.
        along_mm: where that comes to lie.

    Raises:
        PlanError: there is no such stretch, or it lies in several pieces.
    """
    wish = _nth(hand.plan.clear, n, "clear stretch")
    stretches = hand.placement.zones[n].stretches_mm
    if len(stretches) != 1:
        raise PlanError(
            "it meets the line more than once and cannot be moved along it",
            where=in_section("clear", name=wish.name, is_repeated=True),
            mend="Write its levels.",
        )
    key = "along" if wish.level_mm is None else "level"
    held = hand.held("clear", key, n + 1)
    ends = held if isinstance(held, list) else [None, None]
    (low, high), length = stretches[0], hand.laps.line.length_mm
    if part == "whole":
        half = (high - low) / 2
        low_to = hand.on_line(min(hand.snapped(along_mm - half, ends[0]), length - 2 * half), ends[0])
        low, high = low_to, low_to + 2 * half
    elif part == "from":
        # Two ends of a stretch do not pass each other: a step stays between them.
        low = min(hand.snapped(along_mm, ends[0]), high - step_of(ends[0], hand.plan.units))
    else:
        high = max(hand.snapped(along_mm, ends[1]), low + step_of(ends[1], hand.plan.units))
    return _with_stretch(hand, n + 1, key, ends, hand.on_line(low, ends[0]), hand.on_line(high, ends[1]))


def lock_mark(hand: InHand, n: int, *, exactly: bool = False) -> str:
    """Fix mark n where it is: a fixed place that nothing may stray from.

    Args:
        hand: the plan.
        n: which mark.
        exactly: write every digit of its place; else as fine as a hair, which a person can read.

    Raises:
        PlanError: there is no such mark, or these closures do not run along an edge.
    """
    mark = _nth(hand.placement.marks, n - 1, "mark")
    if hand.plan.spacing is None:
        raise PlanError("closures of a belt or a row sit where the plan says", mend="Change the places instead.")
    taken = {anchor.name.casefold() for anchor in hand.plan.anchors}
    # It names no place: a lock that is moved would stand under the old one.
    name = next(name for n in range(1, len(taken) + 2) if (name := f"lock {n}") not in taken)
    return add_section(hand.text, "anchor", {"name": name, "along": _along_of(hand, mark.along_mm, exactly=exactly)})


def _along_of(hand: InHand, along_mm: float, *, exactly: bool) -> str | int | float:
    written = hand.written(along_mm, None)
    if exactly or str(written).endswith(" in"):
        return written
    if hand.plan.units == "in":
        inches = along_mm / float(unit_in_mm("in"))
        return f"{round(inches, _INCH_DECIMALS):g} in"
    return hand.written(round(along_mm, _MM_DECIMALS), None)


def locked(hand: InHand, n: int, place: Callable[[str], Placement]) -> str:
    """Fix mark n where it is, in figures that a person can read where the row stays as it is with them.

    Args:
        hand: the plan.
        n: which mark.
        place: places a text; raises where it cannot be.

    Raises:
        PlanError: as `lock_mark`.
    """
    near = lock_mark(hand, n)
    try:
        after = [mark.along_mm for mark in place(near).marks]
    except ClosureError:
        return lock_mark(hand, n, exactly=True)
    before = [mark.along_mm for mark in hand.placement.marks]
    stays = len(after) == len(before) and all(abs(a - b) < _ROW_STAYS_MM for a, b in zip(after, before, strict=True))
    return near if stays else lock_mark(hand, n, exactly=True)


def unlock_mark(hand: InHand, n: int) -> str:
    """Let mark n go again.

    Raises:
        PlanError: there is no such mark, or no lock holds it.
    """
    lock = lock_of(hand.plan, hand.placement, n)
    if lock is None:
        raise PlanError(f"mark {n} is not locked", mend="Lock it first.")
    return remove_section(hand.text, "anchor", lock + 1)


def lock_of(plan: Plan, placement: Placement, n: int) -> int | None:
    """Find the lock that holds mark n, as an index of the plan's fixed places."""
    if not 1 <= n <= len(placement.marks):
        return None
    along = placement.marks[n - 1].along_mm
    return next(
        (
            i
            for i, wish in enumerate(plan.anchors)
            if wish.along_mm is not None and wish.within_mm == 0.0 and abs(wish.along_mm - along) < _AT_MM
        ),
        None,
    )


def in_units(hand: InHand, units: str) -> str:
    """Choose the units that people are answered in; a bare number is written out in the unit that it had.

    Raises:
        PlanError: they are neither mm nor in.
    """
    if units not in ("mm", "in"):
        raise PlanError(f"'{units[:20]}' is neither mm nor in", mend="Choose mm or in.")
    return set_key(with_units(hand.text, hand.plan.units), "", "units", units)


def _nth(things: tuple[Thing, ...], n: int, what: str) -> Thing:
    if not 0 <= n < len(things):
        raise PlanError(f"there is no such {what}", mend="Load the page anew.")
    return things[n]


def _with_stretch(hand: InHand, nth: int, key: str, ends: list[object], low: float, high: float) -> str:
    text = hand.text
    if key == "level":
        one, other = (_as_level(hand, place, old) for place, old in zip((low, high), ends, strict=True))
        if one is not None and other is not None and one != other:
            two = [hand.written(level, old) for level, old in zip(sorted((one, other)), ends, strict=True)]
            return set_key(text, "clear", "level", two, nth)
        text = set_aside(text, "clear", "level", nth)
    two = [hand.written(place, old) for place, old in zip((low, high), ends, strict=True)]
    return set_key(text, "clear", "along", two, nth)


def _as_level(hand: InHand, along_mm: float, old: object) -> float | None:
    """The level of a place, None where the line does not meet it just once, near that place.

    It is rounded as a length is read, and finer where the line runs so level that this would move the place.
    """
    laps, units = hand.laps, hand.plan.units
    exact = laps.line.point_at(along_mm)[1] - laps.level_zero_mm
    for level in (to_step(exact, old, units), to_fine(round(exact, 1), old, units)):
        met = laps.line.crossings_of_level(level + laps.level_zero_mm)
        if len(met) == 1 and abs(met[0] - along_mm) <= 0.6 * step_of(old, units):
            return level
    return None
