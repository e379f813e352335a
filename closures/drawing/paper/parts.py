"""Where a long strip is cut into parts, each for one piece of paper: arithmetic along its line.

Terms: a *join* is where two parts meet: the later part is trimmed there and laid on the earlier one, which goes on
for the *overlap* beyond it. A *break* is where a stretch that holds nothing is left out, its length written. A *thing*
is a mark with its rim, its buttonhole and its figures, or whatever else no join may enter.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import field, replace
from functools import cache
from itertools import pairwise

from closures.drawing.paper.breaks import (
    BEYOND_MM,
    LEAST_LEFT_OUT_MM,
    Edge,
    Section,
    breaks_of,
    sections_of,
)
from closures.drawing.paper.join_places import (
    BEYOND_A_JOIN_MM,
    CLEAR_MM,
    LEAST_CLEAR_MM,
    OVERLAP_MM,
    Closed,
    Thing,
    between_close,
    open_near,
)
from closures.drawing.paper.letters import letter_of
from closures.frozen import frozen

_STEP_MM = 1.0
_LEAST_PART_MM = 30.0
_FEW_PARTS, _LEAST_ROW_MM = 4, 100.0
_SHARES = (0.3, 0.4, 0.6, 0.7)
# Of three parts and more, how long the last is: as much as is left beside the squares of a page.
_LAST_SHARES = (0.12, 0.2, 0.27)

SizeOf = Callable[[float, float], tuple[float, float]]
Fits = Callable[[float, float], bool]


class NoPlaceForJoinError(ValueError):
    """Things stand so close that a join would cut one, wherever it were laid."""


@frozen
class Part:
    """A part of a strip.

    Attributes:
        low_mm, high_mm: from and to along the line; at a join, the join's line.
        before, after: what it begins and ends with.
        left_out_mm: what the break after it leaves out, 0 without one.
        left_out_before_mm: the same of a break before it.
        number, count: which of how many of its strip.
        letter_before, letter_after: of the joins; empty without one.
    """

    low_mm: float
    high_mm: float
    before: Edge
    after: Edge
    left_out_mm: float = 0.0
    left_out_before_mm: float = 0.0
    number: int = 1
    count: int = 1
    letter_before: str = ""
    letter_after: str = ""

    @property
    def drawn_to_mm(self) -> float:
        """To where it is drawn: beyond a join by the overlap, beyond a break by its words."""
        return self.high_mm + BEYOND_MM[self.after]

    @property
    def drawn_from_mm(self) -> float:
        """From where it is drawn: before a break by its words."""
        return self.low_mm - (BEYOND_MM["break"] if self.before == "break" else 0.0)


@frozen
class Strip:
    """What is cut: its length, and what lies on it.

    Attributes:
        length_mm: along its line.
        things: in any order.
        size: about how much room a part takes that is drawn from here to there, in mm.
        fits: tells whether it fits an empty page.
        may_break: whether stretches that hold nothing may be left out.
        least_last_mm: how long the last part is to be, where joins allow it: a stub has no room for its words.
        spared: what a join goes through only where nothing else fits: cut in two, it is named and hatched twice.
        spare_mm: by how much a part that begins with a break, and one that ends with one, takes less than is reckoned.
        breaks_from_mm: stretches that hold nothing may be left out where they are so long, though they fit a page.
        known: where joins may not lie, as far as that was asked.
    """

    length_mm: float
    things: tuple[Thing, ...]
    size: SizeOf
    fits: Fits
    may_break: bool = True
    least_last_mm: float = 0.0
    spared: tuple[Thing, ...] = ()
    spare_mm: tuple[float, float] = (0.0, 0.0)
    breaks_from_mm: float = math.inf
    known: dict[tuple[float, float], Closed] = field(default_factory=dict, compare=False, repr=False)

    def closed(self, beyond: float, clear: float = CLEAR_MM) -> Closed:
        """The stretches in which no join may lie."""
        found = self.known.get((beyond, clear))
        if found is None:
            found = self.known[beyond, clear] = Closed(self.things, beyond, clear)
        return found

    def room(self, part: Part) -> tuple[float, float]:
        """About how much room a part takes, in mm."""
        width, height = self.size(part.drawn_from_mm, part.drawn_to_mm)
        ends = zip((part.before, part.after), self.spare_mm, strict=True)
        return width - sum(spare for edge, spare in ends if edge == "break"), height

    def cut_through(self, parts: Sequence[Part]) -> int:
        """How many joins go through what is to be spared."""
        joins = [part.low_mm for part in parts if part.before == "join"]
        return sum(one.low_mm < place < one.high_mm for place in joins for one in self.spared)


def ways_to_cut(strip: Strip, caps_mm: tuple[float, ...] = ()) -> tuple[tuple[Part, ...], ...]:
    """Cut a strip in several good ways, of which the one is taken that needs the fewest pages with all else.

    Args:
        strip: what is cut.
        caps_mm: how long the free rows of a page are: parts are tried as well of which each fills one of them, for
            pages take those where alike ones leave room that is of no use. Without any only alike ones are.

    Returns:
        Each a list of parts in order, without numbers and letters: whole to its end, or with the tail beyond the last
        thing broken off; in the fewest parts, and in one or two more, of like length or as long as they can be.

    Raises:
        NoPlaceForJoinError: a join would cut what lies on the strip, wherever it were laid.
        ValueError: not even the shortest part fits a page.
    """
    found: dict[tuple[Part, ...], None] = {}
    spared = [one for one in strip.spared if strip.fits(one.low_mm, one.high_mm)]
    if spared:
        # A join keeps a little off what it spares, and may well lay its overlap on it.
        things = (*strip.things, *(_narrowed(one, CLEAR_MM - LEAST_CLEAR_MM) for one in spared))
        with suppress(ValueError):
            found = dict.fromkeys(ways_to_cut(replace(strip, things=things, spared=(), known={}), caps_mm))
    for sections in _broken(strip):
        ways = [_cut_section(strip, section, caps_mm) for section in sections]
        for k in range(max(len(one) for one in ways)):
            parts = tuple(part for one in ways for part in one[min(k, len(one) - 1)])
            found[parts] = found[_without_empty(strip, parts)] = None
    return tuple(found)


def _broken(strip: Strip) -> list[tuple[Section, ...]]:
    """Leave out stretches that hold nothing and are longer than a page, or as long as may be, and the tail or not."""
    if not strip.may_break or not strip.things:
        return [sections_of(strip.length_mm, ())]

    def stays(low: float, high: float) -> bool:
        return high - low < strip.breaks_from_mm and strip.fits(low, high)

    ways = [gaps for kept in (strip.fits, stays) for gaps in breaks_of(strip.things, strip.length_mm, kept)]
    return [sections_of(strip.length_mm, gaps) for gaps in dict.fromkeys(map(tuple, ways))]


def _without_empty(strip: Strip, parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Leave out every part that holds nothing, between others or beside a break, where those beside it still fit."""
    held = (*strip.things, *strip.spared)
    if not strip.may_break or not held:
        return parts
    found, k = list(parts), 1
    while k < len(found):
        part, low, high = found[k], found[k].low_mm, found[k].high_mm
        left_out = high - low + part.left_out_before_mm + part.left_out_mm
        if (
            part.after != "end"
            and left_out >= LEAST_LEFT_OUT_MM
            and not any(one.low_mm < high and low < one.high_mm for one in held)
        ):
            beside = [replace(found[k - 1], after="break", left_out_mm=left_out)]
            beside += [replace(one, before="break", left_out_before_mm=left_out) for one in found[k + 1 : k + 2]]
            if all(strip.fits(one.drawn_from_mm, one.drawn_to_mm) for one in beside):
                found[k - 1 : k + 2] = beside
                continue
        k += 1
    return tuple(found)


def _narrowed(thing: Thing, by_mm: float) -> Thing:
    """The thing, narrower at both ends, of which its middle is left at least."""
    middle = (thing.low_mm + thing.high_mm) / 2
    return Thing(min(middle, thing.low_mm + by_mm), max(middle, thing.high_mm - by_mm))


def numbered(parts: Sequence[Part], first_letter: int) -> tuple[Part, ...]:
    """Number the parts of a strip and give every join a letter of its own.

    Args:
        parts: in order.
        first_letter: how many letters are taken by joins of other strips.
    """
    letters = [letter_of(first_letter + k) for k in range(len(parts))]
    joined = iter(letters)
    after = [next(joined) if part.after == "join" else "" for part in parts]
    before = ["", *after[:-1]]
    return tuple(
        replace(part, number=k + 1, count=len(parts), letter_before=before[k], letter_after=after[k])
        for k, part in enumerate(parts)
    )


def _cut_section(strip: Strip, section: Section, caps_mm: tuple[float, ...]) -> list[tuple[Part, ...]]:
    """Cut one section: as long parts as can be, and alike ones, in the fewest and in a few more."""
    if strip.fits(section.drawn_from, section.drawn_to):
        fewest = 1
        ways: list[tuple[tuple[float, float], ...] | None] = [((section.low, section.high),)]
    else:
        try:
            greedy = _greedily(strip, section, _furthest_clear)
        except NoPlaceForJoinError:
            # A join that was laid back for more clearance may have left too much for the next part.
            greedy = _greedily(strip, section, _furthest_at_all)
        fewest = len(greedy)
        ways = [greedy]
    for count in range(max(2, fewest), fewest + 3):
        ways.append(_alike(strip, section, count))
        if caps_mm and count > 2:
            ways += [_alike(strip, section, count, (1 - last) / (count - 1)) for last in _LAST_SHARES]
    if caps_mm and 1 < fewest <= _FEW_PARTS:
        ways += _filling(strip, section, caps_mm, fewest + 1)
    if fewest == 1:
        # A short strip shares its page more easily in two parts of unlike length.
        ways += [_alike(strip, section, 2, share) for share in _SHARES]
    made: dict[tuple[float, float, bool, bool], Part] = {}
    return [_as_parts(section, cuts, made) for cuts in dict.fromkeys(ways) if cuts is not None]


def _filling(
    strip: Strip, section: Section, caps_mm: Sequence[float], most: int
) -> list[tuple[tuple[float, float], ...]]:
    """Cut parts of which each is as long as one of the free rows of a page, in every order of those rows."""
    found: list[tuple[tuple[float, float], ...]] = []

    def within(cap: float) -> Strip:
        return replace(strip, fits=lambda low, high: strip.fits(low, high) and max(strip.size(low, high)) <= cap)

    capped = [within(cap) for cap in caps_mm if cap >= _LEAST_ROW_MM]

    @cache
    def places(start: float) -> tuple[float, ...]:
        reached: dict[float, None] = {}
        for one in capped:
            with suppress(ValueError):
                reached[_furthest(one, start, section.high, _furthest_clear)] = None
        return tuple(reached)

    def go_on(cuts: tuple[float, ...]) -> None:
        if strip.fits(cuts[-1], section.drawn_to):
            found.append(_spans((*cuts, section.high)))
        if len(cuts) < most:
            for place in places(cuts[-1]):
                go_on((*cuts, place))

    go_on((section.low,))
    return found


def _as_parts(
    section: Section, spans: Sequence[tuple[float, float]], made: dict[tuple[float, float, bool, bool], Part]
) -> tuple[Part, ...]:
    """The parts of a section; most ways to cut it have some in common, which are made once."""
    last = len(spans) - 1
    parts: list[Part] = []
    for k, (low, high) in enumerate(spans):
        which = (low, high, k == 0, k == last)
        if which not in made:
            made[which] = Part(
                low,
                high,
                section.before if k == 0 else "join",
                section.after if k == last else "join",
                section.left_out if k == last else 0.0,
                section.left_out_before if k == 0 else 0.0,
            )
        parts.append(made[which])
    return tuple(parts)


def _spans(cuts: Sequence[float]) -> tuple[tuple[float, float], ...]:
    return tuple(pairwise(cuts))


Choose = Callable[[Strip, float, float], float | None]


def _greedily(strip: Strip, section: Section, choose: Choose) -> tuple[tuple[float, float], ...]:
    """Cut each part as long as it can be."""
    cuts = [section.low]
    while not strip.fits(cuts[-1], section.drawn_to):
        cuts.append(_furthest(strip, cuts[-1], section.high, choose))
    return _spans([*cuts, section.high])


def _furthest(strip: Strip, start: float, end: float, choose: Choose) -> float:
    """The furthest good place for a join at which the part from `start` still fits, its overlap counted in."""
    low, high = start + _LEAST_PART_MM, end - OVERLAP_MM
    if high < low or not strip.fits(start, low + OVERLAP_MM):
        raise ValueError("a part of the strip does not fit the page")
    fitting = _furthest_fitting(strip, start, low, high)
    before_last = end - strip.least_last_mm
    place = choose(strip, low, min(fitting, before_last)) if before_last >= low else None
    if place is None:
        place = choose(strip, low, fitting)
    if place is None:
        raise NoPlaceForJoinError("what lies on the strip stands too close for a join")
    return place


def _furthest_fitting(strip: Strip, start: float, low: float, high: float) -> float:
    """How far a part from `start` may reach for it to fit with its overlap; to `low` it does."""
    # Longer parts take more room: halve the range until a step is left.
    fitting, not_fitting = low, high + _STEP_MM
    while not_fitting - fitting > _STEP_MM / 4:
        middle = (fitting + not_fitting) / 2
        if strip.fits(start, middle + OVERLAP_MM):
            fitting = middle
        else:
            not_fitting = middle
    return fitting


def _furthest_clear(strip: Strip, low: float, high: float) -> float | None:
    """The furthest place well clear of things; where there is none, one of those that are about as clear as can be."""
    for beyond in BEYOND_A_JOIN_MM:
        place = strip.closed(beyond).furthest(low, high)
        if place is not None:
            return place
    return max(between_close(strip.things, low, high), default=None)


def _furthest_at_all(strip: Strip, low: float, high: float) -> float | None:
    """The furthest place that is clear of things by the least that must be."""
    return strip.closed(0.0, LEAST_CLEAR_MM).furthest(low, high)


def _alike(strip: Strip, section: Section, count: int, first: float = 0.0) -> tuple[tuple[float, float], ...] | None:
    """Cut parts of like length at the nearest open places, or all but the last so long a share of all; else None."""
    cuts = [section.low]
    closed = [strip.closed(beyond) for beyond in BEYOND_A_JOIN_MM]
    for k in range(1, count):
        target = section.low + (section.high - section.low) * (k * first or k / count) - OVERLAP_MM / 2
        low, high = cuts[-1] + _LEAST_PART_MM, section.high - _LEAST_PART_MM
        place = _first_fitting(strip, cuts[-1], open_near(strip.things, closed, target, low, high))
        if place is None:
            return None
        cuts.append(place)
    return _spans([*cuts, section.high]) if strip.fits(cuts[-1], section.drawn_to) else None


def _first_fitting(strip: Strip, start: float, places: Iterable[float]) -> float | None:
    """The first of some places for a join to which the part from `start` fits a page."""
    too_far = math.inf
    for place in places:
        # A longer part takes more room: what lies further than a place that was too far is not asked again.
        if place < too_far:
            if strip.fits(start, place + OVERLAP_MM):
                return place
            too_far = place
    return None
