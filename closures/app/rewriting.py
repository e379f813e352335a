"""A change that would mend a row, written as the user's own key and unit on the plan's own text."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from closures.frozen import frozen
from closures.lengths import format_length
from closures.plan.as_written import step_of, written_like
from closures.plan.editing import as_toml, remove_section, set_key, value_of

if TYPE_CHECKING:
    from closures.plan.plan import Plan
    from closures.plan.top import Units
    from closures.spacing import NoSpacing, Wish
    from closures.spacing.mending import End, Offer

_FINE_MM = {"mm": Fraction(1, 10), "in": Fraction(254, 160)}
"""The steps that a refusal itself speaks in."""

_LEAST_STRETCH_MM = 1.0
"""A clear zone that would be shorter than this is not shortened."""


@frozen
class Made:
    """A plan's text with a change.

    Attributes:
        text: the text.
        words: what changed, for people.
        lines: the same as it stands in the plan.
    """

    text: str
    words: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    def put(self, section: str, key: str, value: Any, words: str, nth: int = 0, name: str = "") -> Made:
        """The same with a key set."""
        place = f'[[{section}]] "{name}"' if nth else f"[{section}]"
        line = f"{place} {key} = {as_toml(value)}"
        return Made(set_key(self.text, section, key, value, nth), (*self.words, words), (*self.lines, line))


@frozen
class Change:
    """How a change is written.

    Attributes:
        plan: as it was read.
        error: its refusal.
        fine: whether lengths come in the steps that the refusal speaks in, not in those that the unit is usually
            written in.
        further: so many steps beyond the line's own figure, to the side that helps.
    """

    plan: Plan
    error: NoSpacing
    fine: bool
    further: int

    def write(self, made: Made, offer: Offer) -> Made | None:
        """Write one change into a text; None where the plan has no key for it, or none that can take it.

        Args:
            made: the text so far.
            offer: the change.
        """
        if offer.key == "count":
            counted = isinstance(value_of(made.text, "spacing", "count"), int)
            return made.put("spacing", "count", offer.wish.count, offer.words) if counted else None
        if offer.key == "widest":
            return self._limit(made, "widest", offer.wish.widest_mm, 1, "gaps of up to")
        if offer.key == "closest":
            return self._limit(made, "closest", offer.wish.closest_mm, -1, "gaps down to")
        if offer.key == "first":
            return self._end(made, "first", self._wish.first, offer.wish.first)
        if offer.key == "last":
            return self._end(made, "last", self._wish.last, offer.wish.last)
        if offer.key == "at":
            return self._moved(made, offer)
        if offer.key == "within":
            return self._within(made, offer)
        if offer.key == "out":
            return self._left_out(made, offer)
        return self._shorter(made, offer)

    def _show(self, mm: float) -> str:
        return format_length(mm, self.plan.units)

    def _step(self, old: object) -> Fraction:
        return _FINE_MM[self.plan.units] if self.fine else Fraction(repr(step_of(old, self.plan.units)))

    def _rounded(self, mm: float, old: object, way: int) -> float:
        """Round to a step, up where the way is 1 and down where it is -1, and some steps further."""
        step = self._step(old)
        steps = math.ceil(Fraction(repr(round(mm * way, 9))) / step) + self.further
        return float(way * steps * step)

    def _written(self, mm: float, old: object) -> str | int | float:
        return written_like(mm, old, self.plan.units)

    def _limit(self, made: Made, key: str, mm: float, way: int, words: str) -> Made | None:
        old = value_of(made.text, "spacing", key)
        if old is None:
            return None
        new = self._rounded(mm, old, way)
        if new <= 0 or (key == "closest" and new < self._wish.least_mm):
            return None
        return made.put("spacing", key, self._written(new, old), f"{words} {self._show(new)}")

    @property
    def _wish(self) -> Wish:
        return self.error.wish

    def _end(self, made: Made, key: End, before: tuple[float, float], after: tuple[float, float]) -> Made:
        held = value_of(made.text, "spacing", key)
        olds = [held.get("from"), held.get("to")] if isinstance(held, dict) else [held, held]
        told = []
        for was, new, old, way in zip(before, after, olds, (-1, 1), strict=True):
            if was == new and _is_one(old):
                told.append((was, old))
                continue
            # A distance that this program took itself may have any decimals: it is written as people read it.
            mm = _to_fine(was, way, self.plan.units) if was == new else self._rounded(new, old, way)
            mm = min(max(mm, 0.0), self._wish.length_mm)
            told.append((mm, self._written(mm, old)))
        low, high = (self._show(mm) for mm, _ in told)
        words = f"the {key} closure {low} to {high} from the {self._wish.end_called(key)}"
        return made.put("spacing", key, {"from": told[0][1], "to": told[1][1]}, words)

    def _moved(self, made: Made, offer: Offer) -> Made | None:
        nth, to_mm = offer.index + 1, offer.wish.anchors[offer.index].at_mm
        from_mm = self._wish.anchors[offer.index].at_mm
        level = value_of(made.text, "anchor", "level", nth)
        if level is not None and self.error.level_at is not None:
            was, new = self.error.level_at(from_mm), self.error.level_at(to_mm)
            mm = self._rounded(new, level, 1 if new >= was else -1)
            words = f"anchor {offer.name} moved to level {self._show(mm)}"
            return made.put("anchor", "level", self._written(mm, level), words, nth, offer.name)
        along = value_of(made.text, "anchor", "along", nth)
        if along is None:
            return None
        mm = min(max(self._rounded(to_mm, along, 1 if to_mm > from_mm else -1), 0.0), self._wish.length_mm)
        words = f"anchor {offer.name} moved to {self._show(mm)} along"
        return made.put("anchor", "along", self._written(mm, along), words, nth, offer.name)

    def _within(self, made: Made, offer: Offer) -> Made | None:
        nth = offer.index + 1
        row = value_of(made.text, "anchor", (), nth)
        if row is None:
            # It follows from another section, as the waist does from who wears it.
            return None
        old = next((row[key] for key in ("within", "level", "along") if key in row), None)
        mm = min(self._rounded(offer.wish.anchors[offer.index].within_mm, old, 1), self._wish.length_mm)
        words = f"anchor {offer.name} met within {self._show(mm)}"
        return made.put("anchor", "within", self._written(mm, old), words, nth, offer.name)

    def _zones(self, name: str) -> list[int]:
        return [n for n, zone in enumerate(self.plan.clear, start=1) if zone.name == name]

    def _left_out(self, made: Made, offer: Offer) -> Made:
        text = made.text
        for nth in reversed(self._zones(offer.name)):
            text = remove_section(text, "clear", nth)
        line = f'[[clear]] "{offer.name}" taken out'
        return Made(text, (*made.words, offer.words), (*made.lines, line))

    def _shorter(self, made: Made, offer: Offer) -> Made | None:
        found = self._zones(offer.name)
        if len(found) != 1:
            return None
        nth, zone = found[0], next(zone for zone in self._wish.clear if zone.name == offer.name)
        wish, is_first = self.plan.clear[nth - 1], offer.key == "low"
        end = zone.low_mm if is_first else zone.high_mm
        new_end = end + offer.by_mm if is_first else end - offer.by_mm
        if wish.level_mm is not None and self.error.level_at is not None:
            key, low, high = "level", wish.level_mm.low_mm, wish.level_mm.high_mm
            moved = self.error.level_at(new_end) - self.error.level_at(end)
            at_low = moved > 0 or (moved == 0 and is_first)
        elif wish.along_mm is not None:
            key, low, high = "along", wish.along_mm.low_mm, wish.along_mm.high_mm
            at_low, moved = is_first, new_end - end
        else:
            return None
        held = value_of(made.text, "clear", key, nth)
        olds = held if isinstance(held, list) else [None, None]
        if at_low:
            low = self._rounded(low + moved, olds[0], 1)
        else:
            high = self._rounded(high + moved, olds[1], -1)
        if high - low < _LEAST_STRETCH_MM:
            return None
        two = [olds[0], self._written(high, olds[1])] if not at_low else [self._written(low, olds[0]), olds[1]]
        words = (
            f"clear zone {offer.name} from {'level ' if key == 'level' else ''}{self._show(low)} to {self._show(high)}"
        )
        return made.put("clear", key, two, words, nth, offer.name)


def _to_fine(mm: float, way: int, units: Units) -> float:
    """Round to the steps that a refusal speaks in, up where the way is 1 and down where it is -1."""
    return float(way * math.ceil(Fraction(repr(round(mm * way, 9))) / _FINE_MM[units]) * _FINE_MM[units])


def _is_one(old: object) -> bool:
    """Whether what stood there is one length, which may stand for either end of a range as it is."""
    from closures.plan.one_line import two_of

    if isinstance(old, str):
        return not isinstance(two_of(old), list)
    return isinstance(old, int | float)
