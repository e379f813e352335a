"""A belt worked out: from a waist, or a length, to the places of its closures."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.errors import PlanError, SpacingError, in_section
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.single_layer import made_of
from closures.placing.strap.advice import rounded_up, written
from closures.placing.strap.outline import lay_out, rounded_tip
from closures.placing.strap.settings import closest_pair, merged, middle_index, settings_at
from closures.placing.strap.thickness import notes_on_layers, strap_thickness_mm
from closures.placing.strap.values import SAME_SEAT_MM, Carriers, Seat, SizeRow, Strap, inside_mm, middle_over_inside_mm
from closures.said import for_author

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.plan.belt import BeltWish
    from closures.plan.plan import Plan


_LEAST_ROUND_MM = 120.0
"""A belt that closes at less goes round nobody, our own rule: a bare 28 to 50 is in inches, a bare 60 to 120 in cm."""


@frozen
class _Ends:
    """Where the closures of a belt sit, in mm from either tip.

    Attributes:
        caps: on the over end.
        outer: where the outermost cap sits on the under end in each setting, loosest first.
        studs: on the under end.
    """

    caps: tuple[float, ...]
    outer: tuple[float, ...]
    studs: tuple[float, ...]

    def overlaps(self) -> tuple[float, ...]:
        """From tip to tip, loosest first."""
        return tuple(self.caps[0] + outer for outer in self.outer)


def make_belt(plan: Plan, belt: BeltWish, fastener: Fastener, catalogue: Catalogue) -> Strap:
    """Work out a belt.

    Args:
        plan: for its layers and units.
        belt: what is asked.
        fastener: the closure, with its least pitch.
        catalogue: cloths and rules.

    Returns:
        The belt, its settings and the places on both ends.

    Raises:
        PlanError: the thickness is not told.
        SpacingError: settings that collide, or a length that cannot serve the target.
        CatalogueError: a cloth that the catalogue does not hold.
    """
    if belt.worn > belt.settings:
        raise PlanError(
            f"there are {belt.settings} settings",
            where=in_section("belt", "worn"),
            mend=f"Write worn = {belt.settings} or less, or more settings.",
        )
    reckoner = _Reckoner(plan, belt, fastener, catalogue)
    reckoner.refuse_collisions()
    wanted = belt.sizes[middle_index(len(belt.sizes))][1] if belt.sizes else (belt.waist_mm or belt.target_mm or 0.0)
    finished = reckoner.finished_mm(wanted) if belt.length_mm is None else belt.length_mm
    ends = reckoner.ends(finished - reckoner.middle_mm(wanted), finished)
    overlaps = ends.overlaps()
    target = worn_index(belt)
    half = belt.width_mm / 2
    over = tuple(Seat(cap, half) for cap in ends.caps)
    under = tuple(Seat(stud, half) for stud in ends.studs)
    waist = None if belt.target_mm is not None else wanted
    rule = catalogue.rule("belting extra").value
    point, buckle = (catalogue.rule(key).value for key in ("belt cover, point", "belt cover, buckle"))
    made = made_of(plan, catalogue)
    ways = settings_at(overlaps, target, finished, ends.caps[0], reckoner.thickness, len(ends.caps))
    return Strap(
        section="belt",
        piece="belt",
        finished_mm=finished,
        width_mm=belt.width_mm,
        thickness_mm=reckoner.thickness,
        measured=belt.measured,
        ends=belt.ends,
        made=made,
        allowance_mm=belt.allowance_mm,
        under_allowance_mm=belt.under_allowance_mm,
        settings=ways,
        over=over,
        under=under,
        between_rims_mm=belt.between_rims_mm,
        rim_to_edge_mm=belt.rim_to_edge_mm,
        layout=lay_out(over, under, overlaps[target], finished, belt.width_mm, belt.ends, belt.lap, belt.corner_mm),
        carriers=_carriers(belt, ways[target].inside_mm or ways[target].middle_mm, catalogue),
        sizes=reckoner.size_rows(),
        least_step_mm=reckoner.least,
        notes=(
            *reckoner.notes(len(ends.studs)),
            *rounded_tip(belt.ends, belt.corner_mm, belt.width_mm, plan),
            *notes_on_layers(made, plan.layers, catalogue),
        ),
        corner_mm=belt.corner_mm,
        belting_mm=None if waist is None else (_round(waist, belt) + rule.value, rule.provenance.text),
        cover_mm=None if waist is None else (point.value, buckle.value, point.provenance.text),
    )


def worn_index(belt: BeltWish) -> int:
    """Which setting is worn, from 0, the loosest."""
    return belt.worn - 1 if belt.worn else middle_index(belt.settings)


class _Reckoner:
    """The arithmetic of one belt."""

    def __init__(self, plan: Plan, belt: BeltWish, fastener: Fastener, catalogue: Catalogue) -> None:
        self.belt = belt
        self.units = plan.units
        thickness = strap_thickness_mm(belt.thickness_mm, plan.layers, catalogue)
        if thickness is None:
            such_as = {"mm": "3.2 mm", "in": "1/8 in"}[plan.units]
            raise PlanError(
                "its thickness is not known, and its inside and its middle differ by more than three times that",
                where=in_section("belt", "thickness"),
                mend=f'Add thickness = "{such_as}", measured, or a [[layer]] for each cloth in it.',
            )
        self.thickness = thickness
        own = belt.between_rims_mm
        self.least = fastener.least_pitch.value if own is None else fastener.cap_mm + own
        usual = max(
            fastener.rim_mm + catalogue.rule("edge warn extra").value.value, catalogue.rule("ends least").value.value
        )
        self.free = usual if belt.free_mm is None else belt.free_mm
        self.reach = belt.caps_mm[-1] - belt.caps_mm[0]
        self.past = worn_index(belt) * belt.step_mm

    def show(self, mm: float) -> str:
        return format_length(mm, self.units)

    def middle_mm(self, wanted_mm: float) -> float:
        """The closed length along the middle that a waist, or a target, comes to.

        Something of thickness t between body and belt makes the belt 2 pi t longer; how the inside of the
        belt and its middle differ is derived at `inside_mm`.
        """
        round_it = wanted_mm + 2 * math.pi * self.belt.between_mm
        if self.belt.measured != "inside":
            return round_it
        if self.belt.length_mm is None:
            return middle_over_inside_mm(round_it, self.thickness, self.free + self.reach + self.past)
        # Of a strap of a given length the more is left over for the lap the shorter it closes: s = L - c - m.
        radius = round_it / (2 * math.pi) + self.thickness / 2
        share = self.thickness / radius
        return (2 * math.pi * radius + share * (self.belt.length_mm - self.belt.caps_mm[0])) / (1 + share)

    def finished_mm(self, wanted_mm: float) -> float:
        """The shortest strap that serves: its first stud stands `free` from the under end's tip."""
        return self.middle_mm(wanted_mm) + self.belt.caps_mm[0] + self.free + self.reach + self.past

    def ends(self, overlap_mm: float, finished_mm: float) -> _Ends:
        """Place the closures for an overlap at the target.

        Raises:
            SpacingError: the length does not serve.
        """
        belt = self.belt
        caps = belt.caps_mm
        closed = finished_mm - overlap_mm
        least = closed + caps[0] + self.free + self.reach + self.past
        longer = (
            f"Write length = {self.show(rounded_up(least, self.units))} or more, or leave it out to have it worked out."
        )
        if finished_mm <= closed + SAME_SEAT_MM:
            raise SpacingError(
                f"a belt of {self.show(finished_mm)} does not reach round {self.show(closed)}",
                where=in_section("belt", "length"),
                mend=longer,
            )
        if finished_mm < least - SAME_SEAT_MM:
            raise SpacingError(
                f"a belt of {self.show(finished_mm)} that closes at {self.show(closed)} laps by "
                f"{self.show(overlap_mm)}, and its {belt.settings} settings with {self.show(self.free)} free at the "
                f"under end's tip need {self.show(least - closed)}",
                where=in_section("belt", "length"),
                mend=f"{longer} Fewer settings, a smaller step or a smaller free do it too.",
            )
        first = overlap_mm - caps[0] - self.past
        outer = tuple(first + i * belt.step_mm for i in range(belt.settings))
        tightest = caps[0] + outer[-1]
        if finished_mm <= tightest + SAME_SEAT_MM and closed >= _LEAST_ROUND_MM:
            steps_mm = (belt.settings - 1) * belt.step_mm
            key, mm = ("step", belt.step_mm) if steps_mm > caps[0] else ("caps", caps[0])
            raise SpacingError(
                f"at its tightest the ends lap by {self.show(tightest)}, and the whole belt is "
                f"{self.show(finished_mm)} long",
                where=in_section("belt", key),
                mend=f"Look at the unit of {self.show(mm)}; else ask for fewer settings, a smaller step or caps nearer "
                "the tip.",
            )
        if finished_mm - tightest < tightest:
            raise SpacingError(
                f"at its tightest the ends lap by {self.show(tightest)}, more than once round the "
                f"{self.show(max(finished_mm - tightest, 0.0))} that are left of it",
                where=in_section("belt"),
                mend=(
                    f"A belt that closes at {self.show(closed)} goes round nobody: write the unit behind the waist, "
                    "in or cm."
                    if closed < _LEAST_ROUND_MM
                    else "Ask for fewer settings, a smaller step or caps nearer the tip, or write a shorter length."
                ),
            )
        offsets = [cap - caps[0] for cap in caps]
        return _Ends(caps, outer, tuple(merged(on - offset for on in outer for offset in offsets)))

    def refuse_collisions(self) -> None:
        """Refuse settings, or caps, that would bring two studs nearer than the fastener allows."""
        belt, least = self.belt, self.least
        if belt.settings > 1 and belt.step_mm < least - SAME_SEAT_MM:
            raise SpacingError(
                f"settings {self.show(belt.step_mm)} apart collide: this fastener needs {self.show(least)} from "
                "centre to centre",
                where=in_section("belt", "step"),
                mend=f"Write step = {self.show(rounded_up(least, self.units))} or more, or take a smaller size.",
            )
        offsets = [cap - belt.caps_mm[0] for cap in belt.caps_mm]
        rests = merged(i * belt.step_mm - offset for i in range(belt.settings) for offset in offsets)
        nearest = closest_pair(rests)
        if nearest is None or nearest[1] - nearest[0] >= least - SAME_SEAT_MM:
            return
        raise SpacingError(
            f"with caps {self._caps_in_words()} and a step of {self.show(belt.step_mm)} two studs would stand "
            f"{self.show(nearest[1] - nearest[0])} apart, and this fastener needs {self.show(least)}",
            where=in_section("belt", "caps"),
            mend=f"Put the caps a multiple of the step apart: {self._multiple_in_words()}.",
        )

    def _caps_in_words(self) -> str:
        gaps = [b - a for a, b in pairwise(self.belt.caps_mm)]
        return " and ".join(self.show(gap) for gap in gaps) + " apart"

    def _multiple_in_words(self) -> str:
        caps, step = self.belt.caps_mm, self.belt.step_mm
        least = math.ceil((self.least - SAME_SEAT_MM) / step)
        places = [caps[0]]
        for before, cap in pairwise(caps):
            places.append(places[-1] + step * max(least, round((cap - before) / step)))
        return "caps = [" + ", ".join(f'"{written(place, self.units)}"' for place in places) + "]"

    def notes(self, studs: int) -> tuple[str, ...]:
        """What a user should know of the waist and of the studs."""
        return (*self._waist_note(), *self._stud_notes(studs))

    def _waist_note(self) -> tuple[str, ...]:
        """Say how the waist was taken, since clothing beneath is counted once, and what the other would give."""
        belt = self.belt
        if belt.waist_mm is None and not belt.sizes:
            return ()
        if not belt.between_mm:
            return (
                "The waist is taken as measured over what is worn beneath. Was it measured on the body, "
                + for_author("tell over under [belt]: ")
                + "each millimetre of clothing makes the belt 6.3 mm longer.",
            )
        more = self.show(2 * math.pi * belt.between_mm)
        return (
            f"The waist is taken as measured on the body, and {self.show(belt.between_mm)} of clothing beneath makes "
            f"the belt {more} longer. Was it measured over that clothing, "
            + for_author("leave over out under [belt], and ")
            + f"the belt is {more} shorter.",
        )

    def _stud_notes(self, studs: int) -> tuple[str, ...]:
        belt = self.belt
        offsets = [cap - belt.caps_mm[0] for cap in belt.caps_mm]
        odd = [
            gap for gap in offsets if abs(gap / belt.step_mm - round(gap / belt.step_mm)) * belt.step_mm > SAME_SEAT_MM
        ]
        if not odd or belt.settings == 1:
            return ()
        even = [round(offset / belt.step_mm) * belt.step_mm for offset in offsets]
        would = len(merged(i * belt.step_mm - offset for i in range(belt.settings) for offset in even))
        return (
            f"The caps stand {self._caps_in_words()}, which is no multiple of the step of {self.show(belt.step_mm)}: "
            f"each cap needs studs of its own, {studs} in all. {self._multiple_in_words()} would do with {would}.",
        )

    def size_rows(self) -> tuple[SizeRow, ...]:
        """Work out every size of the chart."""
        belt = self.belt
        if not belt.sizes:
            return ()
        extra = belt.allowance_mm + belt.under_allowance_mm
        rows = []
        for name, waist in belt.sizes:
            finished = self.finished_mm(waist)
            overlaps = self.ends(finished - self.middle_mm(waist), finished).overlaps()
            middles = tuple(finished - overlap for overlap in overlaps)
            first = self.belt.caps_mm[0]
            served = sorted(self._waist_at(finished - lap, lap - first) for lap in (overlaps[0], overlaps[-1]))
            rows.append((name, waist, finished, finished + extra, middles, (served[0], served[-1])))
        nexts: list[float | None] = [b[5][0] - a[5][1] for a, b in pairwise(rows)]
        return tuple(SizeRow(*row, to_next) for row, to_next in zip(rows, [*nexts, None], strict=True))

    def _waist_at(self, middle: float, on_mm: float) -> float:
        on_strap = inside_mm(middle, self.thickness, on_mm) if self.belt.measured == "inside" else middle
        return (middle if on_strap is None else on_strap) - 2 * math.pi * self.belt.between_mm


def _round(waist_mm: float, belt: BeltWish) -> float:
    """The way round what is worn under a belt: at a distance t from the waist it is 2 pi t longer."""
    return waist_mm + 2 * math.pi * belt.between_mm


def _carriers(belt: BeltWish, round_mm: float, catalogue: Catalogue) -> Carriers | None:
    """Carriers evenly round the garment: with three, both side seams and the centre back (common practice).

    Args:
        belt: how many and how wide.
        round_mm: round the garment beneath the belt, which is its inside as it is worn: its middle is longer.
        catalogue: how long each is cut.
    """
    if not belt.carriers:
        return None
    extra = catalogue.rule("carrier extra").value
    count = belt.carriers
    where = "both side seams and centre back" if count == 3 else "evenly round from the closure"
    places = tuple(round_mm * k / (count + 1) for k in range(1, count + 1))
    return Carriers(belt.width_mm + extra.value, places, where, extra.provenance.text)
