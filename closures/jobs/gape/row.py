"""The whole row: the gape number of each gap, the load on each closure, and what can be said of them.

Computed, and not tried on cloth. Lengths come out only where the pull itself was measured.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.jobs.gape import formulas
from closures.jobs.gape.formulas import BANDS, Band, band_of
from closures.jobs.gape.known import Input, Known, known_of
from closures.jobs.gape.profile import Profile, profile_of
from closures.jobs.gape.ranges import Between, exactly, over
from closures.jobs.gape.tables import figure
from closures.lengths import SAME_MM

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement

# A curvature is averaged over so many places of a gap.
_SAMPLES = 9
# Ends of ranges that agree in so many digits are one: what differs beyond them is rounding.
_TOLD_DIGITS = 9


@frozen
class Gap:
    """One gap between two closures.

    Attributes:
        gap: its number; it lies between marks `gap` and `gap + 1`.
        start_mm: place of its first closure, along the line.
        pitch_mm: centre to centre, along the line.
        calm_n_m: the pull that it bears calmly.
        pull_n_m: the pull across it.
        number: the gape number.
        apart_mm: pull-apart of one lap's line; None where the pull was not measured.
        lift_mm: lift of the free edge; None likewise.
        radius_mm: of the closing line there, positive where the free edge lies on the outside; None where straight.
    """

    gap: int
    start_mm: float
    pitch_mm: float
    calm_n_m: Between
    pull_n_m: Between
    number: Between
    apart_mm: Between | None
    lift_mm: Between | None
    radius_mm: float | None

    @property
    def from_mark(self) -> int:
        """The mark at its first end."""
        return self.gap

    @property
    def to_mark(self) -> int:
        """The mark at its last end."""
        return self.gap + 1

    @property
    def band(self) -> Band:
        """What the middle of the range means."""
        return band_of(self.number.middle)

    @property
    def bands(self) -> tuple[Band, ...]:
        """Everything that the range may mean, the calmest first."""
        low, high = BANDS.index(band_of(self.number.low)), BANDS.index(band_of(self.number.high))
        return BANDS[low : high + 1]


@frozen
class Load:
    """What closure `mark` carries, `load_n`, in N."""

    mark: int
    load_n: Between


@frozen
class Gape:
    """What a row comes to under its pull.

    Attributes:
        known: what it rests on.
        gaps: from the first end, at ease.
        loads: of each closure, under the hardest pull that was told.
        states: the worst gap in each state in which the pull is known.
        profile: how the pull differs along the line.
    """

    known: Known
    gaps: tuple[Gap, ...]
    loads: tuple[Load, ...]
    states: tuple[tuple[str, Gap], ...]
    profile: Profile

    @property
    def worst(self) -> Gap | None:
        """The gap with the greatest number; None for a row of one closure."""
        return max(self.gaps, key=lambda gap: _rank(gap.number), default=None)

    @property
    def most_load(self) -> Load:
        """The closure that carries most."""
        return max(self.loads, key=lambda load: _rank(load.load_n))


def _rank(found: Between) -> tuple[float, float]:
    """What is worse: the greater most, and of those that are alike but for their last digits the greater middle."""
    return (float(f"{found.high:.{_TOLD_DIGITS}g}"), found.middle)


def judge_row(placement: Placement, catalogue: Catalogue, known: Known | None = None) -> Gape:
    """Reckon every gap and every closure of a row.

    Args:
        placement: along an edge.
        catalogue: cloths.
        known: what it rests on, where that was settled on another row; else the plan's.
    """
    # A front gapes on the wearer: of cloth that shrinks the washed garment is judged.
    placement = placement.as_worn
    if placement.laps.over.inset_mm <= SAME_MM:
        raise EdgeError(
            "the closing line lies on the finished edge, where no band is left whose gaping could be reckoned",
            where=in_section("band", "inset"),
            mend="Write how far the closures lie from the edge, or leave [pull] out.",
        )
    known = known_of(placement, catalogue) if known is None else known
    profile = profile_of(placement)
    gaps = _gaps(placement, known, known.pull, profile)
    states = []
    for name, state in known.states:
        under = _gaps(placement, known, state, profile)
        if under:
            states.append((name, max(under, key=lambda gap: _rank(gap.number))))
    return Gape(known, gaps, _loads(placement, known.hardest, profile), tuple(states), profile)


def _gaps(placement: Placement, known: Known, pull: Input, profile: Profile) -> tuple[Gap, ...]:
    places = placement.spacing.positions_mm
    return tuple(_gap(placement, known, pull, profile, n, ends) for n, ends in enumerate(pairwise(places), start=1))


def _gap(placement: Placement, known: Known, pull: Input, profile: Profile, n: int, ends: tuple[float, float]) -> Gap:
    pitch = ends[1] - ends[0]
    curvature = _curvature(placement, ends)
    spread, ratio = figure("calm pull").range, figure("stretch over shear").range
    flat = over(formulas.calm_pull_n_m, known.stiffness.range, exactly(pitch), exactly(placement.laps.over.inset_mm))
    curve = over(formulas.curve_share, exactly(curvature), exactly(pitch), ratio) if curvature else exactly(1.0)
    calm = flat.times(spread.low * curve.low, spread.high * curve.high)
    share = profile.over(*ends)
    drawn = pull.range.times(share.low, share.high)
    number = over(formulas.gape_number, drawn, calm)
    apart = lift = None
    if pull.is_measured:
        cap = exactly(placement.fastener.cap_mm)
        apart = over(formulas.pull_apart_mm, drawn, exactly(pitch), cap, known.shear.range)
        apart = apart.times(known.apart.low, known.apart.high)
        spread = figure("lift").range
        lift = over(formulas.lift_mm, number).times(spread.low, spread.high)
    radius = 1 / curvature if curvature else None
    return Gap(n, ends[0], pitch, calm, drawn, number, apart, lift, radius)


def _curvature(placement: Placement, ends: tuple[float, float]) -> float:
    """Mean curvature of a gap, 1/mm, positive where the over lap's free edge lies outside; 0 where nearly flat."""
    start, end = ends
    at = [start + (end - start) * (i + 0.5) / _SAMPLES for i in range(_SAMPLES)]
    mean = sum(curvature_at(placement, place) for place in at) / _SAMPLES
    # A line that bends by less than a metre in ten is straight to a sewer, and to the formula.
    return mean if abs(mean) > 1e-4 else 0.0


def curvature_at(placement: Placement, along_mm: float) -> float:
    """Curvature of the closing line, 1/mm, positive where the over lap's free edge lies on the outside."""
    # A centre on the right hand counts as positive, and so does cloth there.
    towards_cloth = 1.0 if placement.laps.over.cloth_on == "right" else -1.0
    return towards_cloth * placement.laps.line.curvature_at(along_mm)


def _loads(placement: Placement, pull: Input, profile: Profile) -> tuple[Load, ...]:
    """Each closure carries the pull from halfway to the one before to halfway to the next; an end one as much again."""
    places = placement.spacing.positions_mm
    length = placement.laps.line.length_mm
    found = []
    for i, at in enumerate(places):
        before = (at - places[i - 1]) / 2 if i else None
        after = (places[i + 1] - at) / 2 if i + 1 < len(places) else None
        # Beyond an end closure the line is drawn too, as far as there is cloth.
        low = at - (before if before is not None else min(at, after if after is not None else at))
        high = at + (after if after is not None else min(length - at, before if before is not None else length - at))
        share = profile.over(low, high)
        found.append(
            Load(i + 1, over(formulas.closure_load_n, pull.range.times(share.low, share.high), exactly(high - low)))
        )
    return tuple(found)
