"""The closures that are there now, and the holes that they leave.

Terms: an *old hole* is what an old closure leaves in the cloth: the slit of a buttonhole, or the
round spot of a post, an awl or a ring of prongs. It is *made* when it is cut or pierced already,
and only *drawn* on a pattern that nobody has cut yet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.curve import Curve, Line
from closures.errors import EdgeError, PlanError, in_section, naming
from closures.frozen import frozen
from closures.lengths import SAME_MM, format_length
from closures.placing.buttonhole import buttonhole_for
from closures.placing.thick_button import refuse_thick
from closures.placing.usual_row import Usual
from closures.plan.shown import shown_beside
from closures.series import a_or_an

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.placing.lap import Laps
    from closures.plan.closure import ClosureWish
    from closures.plan.plan import Plan
    from closures.plan.shown import Show
    from closures.plan.swap import HoleWish, SwapWish
    from closures.plan.top import Units

_OURS = "as this program has it"

Point = tuple[float, float]
Way = Literal["along", "across", "round"]

# A slit that follows a curve is looked at in chords; a hundredth of what a figure may be off.
_SAGITTA_MM = 1e-4


@frozen
class OldHole:
    """One hole that an old closure leaves in one lap.

    Attributes:
        n: number of the old closure, from 1 at the first end.
        lap: the lap that it is in.
        way: of a slit, along or across the closing line; "round" for any other hole.
        length_mm: of the slit, or the diameter.
        slit: the slit, from its end nearer the first end or the edge; None for a round hole.
        centre: the middle of a round hole; the place of the closure for a slit.
        made: it is in the cloth, not only on paper.
    """

    n: int
    lap: LapName
    way: Way
    length_mm: float
    slit: Curve | None
    centre: Point
    made: bool

    def nearest_mm(self, point: Point) -> float:
        """The shortest distance from a point to the hole, 0 inside it."""
        if self.slit is not None:
            return self.slit.nearest(point).distance_mm
        return max(math.dist(point, self.centre) - self.length_mm / 2, 0.0)

    def farthest_mm(self, point: Point) -> float:
        """The distance from a point to the part of the hole that is furthest from it."""
        if self.slit is None:
            return math.dist(point, self.centre) + self.length_mm / 2
        return max(math.dist(point, place) for place in self.slit.approximate_polyline(_SAGITTA_MM))

    @property
    def ends(self) -> tuple[Point, Point]:
        """The two ends of a slit; of a round hole its middle twice."""
        return (self.centre, self.centre) if self.slit is None else (self.slit.start, self.slit.end)


@frozen
class OldRow:
    """The closures that are there now.

    Attributes:
        fastener: which.
        places_mm: along the closing line from its first end.
        holes: what they leave, lap by lap; empty for closures that leave nothing to heed.
        made: they are in the cloth, not only on paper.
        notes: what was assumed, a line each, with how to change it.
        is_turned: which lap carries which half of them is changed over.
        is_length_told: how long their buttonholes are was told; else it is what new ones for their button would be.
    """

    fastener: Fastener
    places_mm: tuple[float, ...]
    holes: tuple[OldHole, ...]
    made: bool
    notes: tuple[str, ...]
    is_turned: bool = False
    is_length_told: bool = True

    @property
    def has_buttonholes(self) -> bool:
        """Whether there are slits among the holes."""
        return any(hole.slit is not None for hole in self.holes)

    def is_round_on(self, lap: LapName) -> bool:
        """Whether what is left in a lap is round, and no slit."""
        return self.fastener.leaves.on(lap) != "buttonhole"

    def hole_on(self, lap: LapName) -> str:
        """What a hole in a lap is called."""
        return "hole" if self.is_round_on(lap) else "buttonhole"

    @property
    def is_unlike(self) -> bool:
        """Whether the two laps have unlike holes: a slit, and the hole of what held its button."""
        return len({self.hole_on(hole.lap) for hole in self.holes}) > 1


def old_row(swap: SwapWish, laps: Laps, catalogue: Catalogue, plan: Plan, *, is_turned: bool = False) -> OldRow:
    """Find the old closures on the closing line, with the holes that they leave.

    A buttonhole reaches past its button by 3 mm, or as the plan says: towards the edge where it
    runs across the line, towards the first end where it runs along it (Univ. of Minnesota,
    Bulletin 576; ICAR; ASDP). Where the plan gives no length it is what `buttonhole_for` gives a new one for that
    button, in that cloth.

    Args:
        swap: what the plan says of them.
        laps: the closing line and both laps.
        catalogue: fasteners and rules.
        plan: for its layers, the new closure, and the units in which lengths are told first.
        is_turned: which lap carries which half of them is changed over.

    Returns:
        The row; its lengths in mm.

    Raises:
        CatalogueError: a kind or size that the catalogue does not hold.
        EdgeError: a place or a hole that does not lie on the closing line.
        PlanError: what the plan says of the holes does not suit the closure.
    """
    units, thickness = plan.units, _thickness_mm(swap, plan.closure)
    with naming(in_section("swap")):
        fastener = catalogue.fastener(swap.kind, swap.size, cap_mm=swap.cap_mm, thickness_mm=thickness)
    fastener = fastener.turned() if is_turned else fastener
    refuse_thick(fastener, swap.thickness_mm, catalogue, in_section("swap", "thickness"), units)
    places = _places(swap, laps.line.length_mm, units)
    _refuse_off_the_end(swap, fastener, places, laps.line.length_mm, units)
    wish = swap.hole
    made = wish is None or wish.made
    notes: tuple[str, ...] = (
        () if wish is not None else (Usual("The old holes are made", _OURS, "hole under [swap]").told,)
    )
    if is_turned and made and swap.halves is None:
        notes += (
            Usual("The old closures lie as the new are told, halves turned", _OURS, "halves under [closure]").told,
        )
    carried = fastener.mark.buttonhole_lap
    if carried is None:
        if wish is not None and wish.way is not None:
            raise PlanError(
                f"{a_or_an(fastener.kind)} has no buttonhole, so its hole runs neither along the line nor across it",
                where=in_section("swap", "hole"),
                mend="Write hole = { made = true } or hole = { made = false }.",
            )
        _refuse_overlapping(swap, fastener, places, 0.0, units)
        return OldRow(fastener, places, _holes_of_parts(fastener, places, laps, made), made, notes, is_turned)
    if wish is None or wish.way is None:
        raise PlanError(
            f"{a_or_an(fastener.kind)} has buttonholes, and the plan does not say how they lie",
            where=in_section("swap", "hole"),
            mend=(
                'Write hole = { way = "along", length = "16 mm", made = true }. Write "across" where they lie across, '
                "and made = false where they are on the pattern alone."
            ),
        )
    is_told = wish.length_mm is not None
    length = wish.length_mm or _as_new_mm(fastener, wish, plan, catalogue)
    if not is_told:
        what = (
            "The old buttonholes are as long as new ones for their button would be worked, "
            f"{format_length(length, units)}"
        )
        notes += (Usual(what, _OURS, "length in hole under [swap]").told,)
        _refuse_untold(fastener, wish, length, places, laps.line.length_mm, catalogue, units)
    _refuse_overlapping(swap, fastener, places, length if wish.way == "along" else 0.0, units)
    slits = _slits(replace(wish, length_mm=length), places, laps, carried, catalogue, shown_beside(units))
    holes = (*slits, *_holes_of_parts(fastener, places, laps, made))
    return OldRow(fastener, places, holes, made, notes, is_turned, is_told)


def _thickness_mm(swap: SwapWish, new: ClosureWish) -> float | None:
    """The thickness of the old button that was measured: the new one's too where it is the same button again."""
    is_same = (swap.kind, swap.size, swap.cap_mm) == (new.kind, new.size, new.cap_mm)
    return new.thickness_mm if swap.thickness_mm is None and is_same else swap.thickness_mm


def _as_new_mm(fastener: Fastener, wish: HoleWish, plan: Plan, catalogue: Catalogue) -> float:
    """How long a buttonhole would be that is worked now for the old button."""
    new = buttonhole_for(fastener, replace(plan, closure=replace(plan.closure, hole=wish.way)), catalogue)
    return 0.0 if new is None else new.length_mm


def _refuse_off_the_end(
    swap: SwapWish, fastener: Fastener, places: Sequence[float], line_mm: float, units: Units
) -> None:
    """Refuse old closures that would hang over an end of the edge: they sit on cloth.

    Raises:
        PlanError: one of them does.
    """
    ends = ((1, "first", places[0]), (len(places), "last", line_mm - places[-1]))
    for n, end, room in ends:
        if room < fastener.rim_mm - SAME_MM:
            raise PlanError(
                f"old closure {n} would lie {format_length(room, units)} from the {end} end, and is "
                f"{format_length(2 * fastener.rim_mm, units)} wide: a part of it would hang over the end of the cloth",
                where=in_section("swap", end if swap.places_mm is None else "places"),
                mend="Measure to its middle, from the end of the edge as it is after sewing, and write the unit with "
                "each figure.",
            )


def _refuse_overlapping(
    swap: SwapWish, fastener: Fastener, places: Sequence[float], slit_mm: float, units: Units
) -> None:
    """Refuse old closures that cannot all be there: each is as wide as it is, and a hole along the line as long.

    Raises:
        PlanError: two of them overlap.
    """
    least = max(2 * fastener.rim_mm, slit_mm)
    for n, (one, other) in enumerate(pairwise(places), 1):
        if other - one < least - SAME_MM:
            what = "buttonholes are" if slit_mm > 2 * fastener.rim_mm else "closures are"
            far = "long" if slit_mm > 2 * fastener.rim_mm else "wide"
            raise PlanError(
                f"old closures {n} and {n + 1} would lie {format_length(other - one, units)} apart, and the {what} "
                f"{format_length(least, units)} {far}: they cannot both be there",
                where=in_section("swap", "count" if swap.places_mm is None else "places"),
                mend="See which unit the figures are in, and write it with each, such as 14.7 cm or 5 3/4 in.",
            )


def _refuse_untold(
    fastener: Fastener,
    wish: HoleWish,
    slit_mm: float,
    places: Sequence[float],
    line_mm: float,
    catalogue: Catalogue,
    units: Units,
) -> None:
    """Refuse buttonholes of which nobody told how long they are, and that cannot be as long as new ones would be.

    Raises:
        PlanError: two of them would meet, one would run past an end, or past its button.
    """
    past, show = _past_mm(wish, catalogue), shown_beside(units)
    why = ""
    if past >= slit_mm:
        why = f"reach no {show(past)} past their button"
    elif wish.way == "along":
        narrow = min((other - one for one, other in pairwise(places)), default=math.inf)
        ends = (places[0] - past, line_mm - (places[-1] - past + slit_mm))
        if 2 * fastener.rim_mm <= narrow < slit_mm - SAME_MM:
            why = f"do not fit between closures that lie {show(narrow)} apart"
        elif min(ends) < 0:
            why = f"would run {show(-min(ends))} past the {'first' if ends[0] < ends[1] else 'last'} end"
    if why:
        raise PlanError(
            f"nobody told how long the old buttonholes are, and new ones for their button, {show(slit_mm)} long, {why}",
            where=in_section("swap", "hole"),
            mend="Measure one from end to end of its slit, and write that as length.",
        )


def _past_mm(wish: HoleWish, catalogue: Catalogue) -> float:
    return catalogue.rule("buttonhole past line").value.value if wish.past_mm is None else wish.past_mm


def _places(swap: SwapWish, line_mm: float, units: Units) -> tuple[float, ...]:
    if swap.places_mm is not None:
        places: tuple[float, ...] = swap.places_mm
    else:
        first, last, count = swap.first_mm or 0.0, swap.last_mm or 0.0, swap.count or 1
        span = line_mm - first - last
        if span < 0 or (count > 1 and span == 0):
            raise EdgeError(
                f"first and last leave no room on a closing line of {format_length(line_mm, units)}",
                where=in_section("swap"),
                mend="first is measured from the first end of the edge down to the first old closure, last from the "
                "last old closure on to the last end, such as the hem. Check both, and the edge.",
            )
        places = tuple(first + span * i / (count - 1) for i in range(count)) if count > 1 else (first,)
    if places[-1] > line_mm:
        raise EdgeError(
            f"the last place lies {format_length(places[-1], units)} along, but the closing line is "
            f"{format_length(line_mm, units)} long",
            where=in_section("swap", "places"),
            mend="Measure the places along the closing line from its first end.",
        )
    return places


def _slits(
    wish: HoleWish, places: Sequence[float], laps: Laps, lap: LapName, catalogue: Catalogue, show: Show
) -> tuple[OldHole, ...]:
    past = _past_mm(wish, catalogue)
    length = wish.length_mm or 0.0
    if past >= length:
        raise PlanError(
            f"a buttonhole of {show(length)} that reaches {show(past)} past its button lies wholly beside it",
            where=in_section("swap", "hole"),
            mend="Check length and past.",
        )
    way: Way = "along" if wish.way == "along" else "across"
    holes = []
    for n, place in enumerate(places, 1):
        slit = (
            _slit_along(n, place - past, place - past + length, laps, lap, show)
            if way == "along"
            else _slit_across(place, past, length, laps, lap)
        )
        holes.append(OldHole(n, lap, way, length, slit, laps[lap].at(place), wish.made))
    return tuple(holes)


def _slit_along(n: int, start: float, end: float, laps: Laps, lap: LapName, show: Show) -> Curve:
    if start < 0 or end > laps.line.length_mm:
        raise EdgeError(
            f"buttonhole {n} would run from {show(start)} to {show(end)}, past the end of the closing line "
            f"({show(0.0)} to {show(laps.line.length_mm)})",
            where=in_section("swap"),
            mend="Check its place, its length and how far it reaches past its button.",
        )
    on = laps[lap]
    return on.line.stretch(on.along(start), on.along(end))


def _slit_across(place: float, past: float, length: float, laps: Laps, lap: LapName) -> Curve:
    on = laps[lap]
    at, tangent = on.at(place), on.line.tangent_at(on.along(place))
    return Curve((Line(on.moved_in(at, tangent, -past), on.moved_in(at, tangent, length - past)),))


def _holes_of_parts(fastener: Fastener, places: Sequence[float], laps: Laps, made: bool) -> tuple[OldHole, ...]:
    """What the parts leave that went through the cloth, lap by lap, buttonholes apart."""
    return tuple(
        OldHole(n, lap.name, "round", diameter, None, lap.at(place), made)
        for lap in laps.both
        if (diameter := left_by(fastener, lap.name))
        for n, place in enumerate(places, 1)
    )


def left_by(fastener: Fastener, lap: LapName) -> float:
    """Diameter in mm of the spot that a closure leaves in a lap when it is taken off; 0 where steam closes it.

    A post, a tack or an awl leaves its hole; a ring of prongs, or two tabs, leave pricks no further apart than the
    flange is wide. What is left in which lap stands in the table of kinds.
    """
    way = fastener.leaves.on(lap)
    if way == "hole" and fastener.hole is not None:
        diameter = fastener.hole.diameter_high or fastener.hole.diameter
        return 0.0 if diameter is None else diameter.value
    if way in ("pricks", "slits"):
        return fastener.cap_mm if fastener.inner is None else fastener.inner.value
    return 0.0
