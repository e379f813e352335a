"""What is known of the pull, the band and the hold: measured at the table, or a range from tables."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from closures.errors import PlanError
from closures.frozen import frozen
from closures.jobs.gape import formulas
from closures.jobs.gape.cloth import estimate_bending, estimate_shear, is_fused
from closures.jobs.gape.ranges import Between, exactly, joined, over
from closures.jobs.gape.tables import figure
from closures.lengths import unit_in_mm
from closures.placing.buttonhole import buttonhole_for
from closures.plan.garment import drawn_hardest
from closures.plan.pull import PullWish
from closures.plan.shown import Show, shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.placement import Placement

InputName = Literal["pull", "stiffness", "shear", "hold"]
_COUPON_BEYOND_MM = 15.0
"""Cloth of the pull coupon beyond either of its closures, so that its ends do not curl: our own rule."""

_HOLE_CLEAR_MM = 6.0
"""Cloth between the end of a buttonhole that lies along the line and the end of the pull coupon: our own rule."""


@frozen
class Input:
    """One thing that the answer rests on.

    Attributes:
        name: which.
        range: pull in N/m, stiffness in µN·m, shear in N, hold in N.
        is_measured: whether it was measured at the table.
        told: how it is known, for people.
    """

    name: InputName
    range: Between
    is_measured: bool
    told: str


@frozen
class Known:
    """Everything that the answer rests on.

    Attributes:
        pull: standing at ease; sitting, deep: None where they were not measured.
        stiffness, shear: of the over lap's band.
        hold: what opens the closure, None where it is no such closure.
        apart: factor on the formula of the pull-apart.
    """

    pull: Input
    stiffness: Input
    shear: Input
    hold: Input | None
    sitting: Input | None
    deep: Input | None
    apart: Between
    hardest_state: str = "in a deep breath"

    @property
    def hardest(self) -> Input:
        """The hardest pull that was told."""
        told = [one for one in (self.pull, self.sitting, self.deep) if one is not None]
        return max(told, key=lambda one: one.range.high)

    @property
    def states(self) -> tuple[tuple[str, Input], ...]:
        """The states in which the pull is known, at ease first."""
        named = (("at ease", self.pull), ("sitting", self.sitting), (self.hardest_state, self.deep))
        return tuple((name, one) for name, one in named if one is not None)


def known_of(placement: Placement, catalogue: Catalogue) -> Known:
    """Gather what a plan tells of its pull, its band and its closure, and ranges for the rest.

    Args:
        placement: along an edge.
        catalogue: cloths.
    """
    wish = placement.plan.pull or PullWish()
    base_mm = pitch_of_measure(placement, wish)
    pull = _pull(placement, wish, base_mm)

    def state(weight_g: float | None, name: str) -> Input | None:
        return None if weight_g is None else _by_scale(placement, weight_g, base_mm, name)

    fused = is_fused(placement.plan, catalogue)
    apart = figure("pull-apart").range if fused else figure("pull-apart, unfused").range
    if fused is None:
        apart = joined((figure("pull-apart").range, figure("pull-apart, unfused").range))
    if wish.coupon_apart_mm is not None:
        apart = exactly(1.0)
    return Known(
        pull,
        _stiffness(placement, wish, catalogue),
        _shear(placement, wish, catalogue),
        hold_of(placement.fastener, wish),
        state(wish.scale_sitting_g, "sitting"),
        state(wish.scale_deep_g, drawn_hardest(placement.plan.garment)),
        apart,
        drawn_hardest(placement.plan.garment),
    )


def pitch_of_measure(placement: Placement, wish: PullWish) -> float:
    """The pitch, mm, over which the scale's reading is spread: as told, or that of the row where it was read."""
    if wish.pitch_mm is not None:
        return wish.pitch_mm
    gaps, marks = placement.spacing.gaps_mm, placement.marks
    if not gaps:
        return placement.laps.line.length_mm
    if wish.at is not None:
        for i, mark in enumerate(marks):
            if mark.anchor == wish.at:
                beside = gaps[max(i - 1, 0) : i + 1]
                return sum(beside) / len(beside)
    return sum(gaps) / len(gaps)


def coupon_pitch_mm(placement: Placement) -> float:
    """From closure to closure on the pull coupon: as told, or the row's widest gap; 0 where there is neither."""
    wish = placement.plan.pull
    if wish is not None and wish.coupon_pitch_mm is not None:
        return wish.coupon_pitch_mm
    return placement.spacing.largest_mm


def coupon_beyond_mm(placement: Placement, catalogue: Catalogue) -> float:
    """Cloth of the pull coupon beyond either closure: more than usual where a buttonhole along the line reaches far."""
    hole = buttonhole_for(placement.fastener, placement.plan, catalogue)
    if hole is None or hole.way != "along":
        return _COUPON_BEYOND_MM
    return max(_COUPON_BEYOND_MM, max(hole.before_mm, hole.after_mm) + _HOLE_CLEAR_MM)


def coupon_width_mm(placement: Placement, catalogue: Catalogue) -> float:
    """How wide the pull coupon is, which what hangs from it pulls at."""
    return coupon_pitch_mm(placement) + 2 * coupon_beyond_mm(placement, catalogue)


def _read_pitch_mm(placement: Placement) -> float:
    pitch = coupon_pitch_mm(placement)
    if not pitch:
        raise PlanError(
            "a row of one closure has no gap, so the plan does not tell how far apart those of the pull coupon were",
            where="[pull]",
            mend="Write it as coupon_pitch, or leave out what was read from the pull coupon.",
        )
    return pitch


def hold_of(fastener: Fastener, wish: PullWish) -> Input | None:
    """What opens the closure, pulled square to the cloth; None for closures that no pull opens."""
    if wish.opens_n is not None:
        reading = figure("opening reading")
        told = f"measured: {wish.opens_n:.3g} N, the least of the readings; {reading.text}"
        return Input("hold", exactly(wish.opens_n).times(reading.range.low, reading.range.high), True, told)
    key = _hold_key(fastener)
    if key is None:
        return None
    found = figure(key)
    return Input("hold", found.range, False, f"not measured; {found.told}")


def _hold_key(fastener: Fastener) -> str | None:
    if fastener.family == "sew-on snap":
        return "opens, sew-on snap"
    if fastener.family == "magnetic snap":
        return "opens, magnet"
    if fastener.family == "button":
        return "holds, button"
    if fastener.family != "press-set snap":
        return None
    lines = fastener.cap_mm / unit_in_mm("line")
    if lines <= 16.5:
        return "opens, small snap"
    return "opens, middle snap" if lines <= 20.5 else "opens, large snap"


def _show(placement: Placement) -> Show:
    return shown_beside(placement.plan.units)


def _by_scale(placement: Placement, weight_g: float, pitch_mm: float, state: str) -> Input:
    reading = figure("scale reading")
    pull = over(
        formulas.pull_of_scale_n_m, exactly(weight_g).times(reading.range.low, reading.range.high), exactly(pitch_mm)
    )
    told = f"measured {state}: {weight_g:g} g over {_show(placement)(pitch_mm)} from closure to closure; {reading.text}"
    return Input("pull", pull, True, told)


def _pull(placement: Placement, wish: PullWish, pitch_mm: float) -> Input:
    if wish.scale_g is not None:
        return _by_scale(placement, wish.scale_g, pitch_mm, "at ease")
    if wish.strip is not None and wish.worn is not None:
        reading = figure("strip reading")
        pull = exactly(formulas.pull_of_strip_n_m(wish.strip, wish.worn)).times(reading.range.low, reading.range.high)
        told = (
            f"measured: stretched by {wish.worn:.1%} as worn, a strip by {wish.strip:.1%} under 500 g; {reading.text}"
        )
        return Input("pull", pull, True, told)
    pressure, body = figure(f"pressure, {wish.fit}"), figure("round body")
    girth, whose = _girth(placement, wish)
    radius = girth.times(1 / (2 * math.pi), 1 / (2 * math.pi))
    pull = over(formulas.pull_of_pressure_n_m, pressure.range, radius).times(body.range.low, body.range.high)
    told = f"not measured; pressure on the body times its radius: {pressure.told}, {whose}; {body.text}"
    return Input("pull", pull, False, told)


def _girth(placement: Placement, wish: PullWish) -> tuple[Between, str]:
    plan = placement.plan
    body = plan.body
    if wish.girth_mm is not None:
        return exactly(wish.girth_mm), "round the body as told"
    if body is not None and body.chest_mm is not None:
        return exactly(body.chest_mm), "round the chest as told"
    found = figure("girth, child" if plan.is_for_child else "girth, adult")
    return found.range, found.text


def _stiffness(placement: Placement, wish: PullWish, catalogue: Catalogue) -> Input:
    if wish.coupon_rises_g is not None:
        pitch, inset = _read_pitch_mm(placement), placement.laps.over.inset_mm
        reading = figure("coupon reading")
        calm = exactly(formulas.pull_of_scale_n_m(wish.coupon_rises_g, coupon_width_mm(placement, catalogue)))
        # The stiffness with which the formula gives what was read, so that the coupon's own gap comes out as read.
        each = formulas.calm_pull_n_m(1.0, pitch, inset)
        found = calm.times(reading.range.low / each, reading.range.high / each)
        told = f"from the pull coupon: its edge begins to rise under {wish.coupon_rises_g:g} g; {reading.text}"
        return Input("stiffness", found, True, told)
    if wish.overhang_mm is not None and wish.mass_g_m2 is not None:
        reading = figure("overhang reading")
        found = exactly(formulas.bending_stiffness_unm(wish.mass_g_m2, wish.overhang_mm))
        told = f"measured: {wish.mass_g_m2:.0f} g/m², overhang {_show(placement)(wish.overhang_mm)}; {reading.told}"
        return Input("stiffness", found.times(reading.range.low, reading.range.high), True, told)
    found, told = estimate_bending(placement.plan, catalogue)
    return Input("stiffness", found, False, f"not measured; {told}")


def _shear(placement: Placement, wish: PullWish, catalogue: Catalogue) -> Input:
    width = placement.laps.over.width_mm
    if wish.coupon_apart_mm is not None and wish.coupon_weight_g is not None:
        pitch, cap = _read_pitch_mm(placement), placement.fastener.cap_mm
        reading = figure("coupon reading")
        pull = formulas.pull_of_scale_n_m(wish.coupon_weight_g, coupon_width_mm(placement, catalogue))
        # The pull-apart goes with one over the shear stiffness.
        found = exactly(formulas.pull_apart_mm(pull, pitch, cap, 1.0) / wish.coupon_apart_mm)
        apart = _show(placement)(wish.coupon_apart_mm)
        told = f"from the pull coupon: {apart} under {wish.coupon_weight_g:g} g; {reading.text}"
        return Input("shear", found.times(reading.range.low, reading.range.high), True, told)
    if wish.bias is not None:
        reading = figure("bias reading")
        found = exactly(formulas.shear_stiffness_n(formulas.shear_rigidity_n_m(wish.bias), width))
        told = f"measured: a bias strip stretches by {wish.bias:.1%} under 25 g; {reading.text}"
        return Input("shear", found.times(reading.range.low, reading.range.high), True, told)
    rigidity, told = estimate_shear(placement.plan, catalogue)
    return Input("shear", over(formulas.shear_stiffness_n, rigidity, exactly(width)), False, f"not measured; {told}")
