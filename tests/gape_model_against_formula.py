"""Hold the simple formulas of a gap against the solved strip, over the range of inputs that garments have.

Run it by hand: python tests/gape_model_against_formula.py. It takes some minutes and prints, for each input that is
changed by itself and then for all of them at random, how far the formula is off: its figure over the solved one.
Computed on both sides, and not tried on cloth.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections.abc import Iterator
from dataclasses import replace

from closures.jobs.gape import formulas
from closures.jobs.gape.model.sheet import Cloth
from closures.jobs.gape.model.strip import Strip, calm_pull_n_m, solve

FUSED = Cloth(13e3, 13e3, 840.0, 150.0, 150.0, twist=0.35)
UNFUSED = Cloth(6e3, 6e3, 80.0, 30.0, 30.0, twist=0.35)
USUAL = Strip(76.0, 30.0, 15.0, 10.0, FUSED)
PULLS = (1.0, 2.0, 5.0, 10.0, 20.0, 35.0, 50.0)
GRID = (10, 8)


def changes() -> Iterator[tuple[str, Strip]]:
    """One input at a time."""
    for pitch in (30.0, 38.0, 51.0, 64.0, 76.0, 89.0, 102.0, 120.0):
        yield f"pitch {pitch:g} mm", replace(USUAL, pitch_mm=pitch)
    for inset in (8.0, 10.0, 12.0, 15.0, 20.0):
        yield f"inset {inset:g} mm", replace(USUAL, inset_mm=inset)
    for band in (20.0, 25.0, 30.0, 38.0, 50.0):
        yield f"band {band:g} mm", replace(USUAL, band_mm=band, inset_mm=min(15.0, band * 0.6))
    for cap in (6.0, 10.0, 15.0):
        yield f"cap {cap:g} mm", replace(USUAL, cap_mm=cap)
    for bend in (10.0, 50.0, 150.0, 400.0, 1000.0):
        yield (
            f"stiffness {bend:g} µN·m",
            replace(USUAL, cloth=replace(FUSED, bend_along_unm=bend, bend_across_unm=bend)),
        )
    for shear in (30.0, 80.0, 200.0, 840.0, 2000.0):
        yield f"shear {shear:g} N/m", replace(USUAL, cloth=replace(FUSED, shear_n_m=shear))
    for twist in (0.15, 0.35, 0.5):
        yield f"twist {twist:g}", replace(USUAL, cloth=replace(FUSED, twist=twist))
    for across in (0.5, 1.0, 2.0):
        cloth = replace(FUSED, bend_across_unm=150.0 * across)
        yield f"across {across:g} times as stiff as along", replace(USUAL, cloth=cloth)
    yield "an unfused band", replace(USUAL, cloth=UNFUSED)


def at_random(count: int, seed: int = 7) -> Iterator[tuple[str, Strip]]:
    """All inputs at once."""
    draw = random.Random(seed)
    for n in range(count):
        band = draw.uniform(22.0, 45.0)
        bend = 10 ** draw.uniform(1.0, 2.8)
        stretch = 10 ** draw.uniform(3.6, 4.4)
        shear = stretch / 10 ** draw.uniform(1.0, 1.7)
        cloth = Cloth(stretch, stretch, shear, bend, bend * draw.uniform(0.5, 1.5), twist=draw.uniform(0.2, 0.5))
        inset = draw.uniform(0.35, 0.6) * band
        yield f"random {n}", Strip(draw.uniform(38.0, 110.0), band, inset, draw.uniform(8.0, 15.0), cloth)


Ratios = tuple[float | None, float | None, float | None]


def ratios(strip: Strip) -> Ratios:
    """The formula over the solved strip: calm pull, pull-apart at 20 N/m, lift at 20 N/m where there is one."""
    formula = formulas.calm_pull_n_m(strip.cloth.bend_along_unm, strip.pitch_mm, strip.inset_mm)
    try:
        calm = formula / calm_pull_n_m(strip, *GRID)
    except ArithmeticError:
        return None, None, None
    shear = formulas.shear_stiffness_n(strip.cloth.shear_n_m, strip.band_mm)
    try:
        drawn = next(one for one in solve(strip, PULLS, *GRID) if one.pull_n_m == 20.0)
    except ArithmeticError:
        return calm, None, None
    apart = formulas.pull_apart_mm(20.0, strip.pitch_mm, strip.cap_mm, shear) / drawn.apart_mm
    lift = formulas.lift_mm(formulas.gape_number(20.0, formula))
    return calm, apart, lift / drawn.lift_mm if drawn.lift_mm > 0.5 and lift else None


def main(count: int = 40) -> None:
    """Print every ratio, and the spread of those at random."""
    print(f"{'':36} calm pull  pull-apart  lift      (formula over solved)")
    for name, strip in changes():
        print(_line(name, ratios(strip)), flush=True)
    found = []
    for name, strip in at_random(count):
        found.append(ratios(strip))
        print(_line(name, found[-1]), flush=True)
    for i, what in enumerate(("calm pull", "pull-apart", "lift")):
        values = sorted(value for one in found if (value := one[i]) is not None)
        tenths = statistics.quantiles(values, n=10)
        print(
            f"{what}: of {len(values)} at random eight in ten lie between {tenths[0]:.2f} and {tenths[-1]:.2f}, ",
            end="",
        )
        print(f"all between {values[0]:.2f} and {values[-1]:.2f}")


def _line(name: str, found: Ratios) -> str:
    cells = "".join(f"{'-' if value is None else format(value, '.2f'):>11}" for value in found)
    return f"{name:32}{cells}"


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
