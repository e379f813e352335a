"""What one gap between two closures comes to, as plain formulas.

Units: a pull across the closing line in N/m, a force in N, a bending stiffness in µN·m (for each
metre of width, N·m²/m), a shear rigidity in N/m, a shear stiffness in N, lengths in mm, mass in
g/m² or g. None of the formulas for a gap (`calm_pull_n_m`, `lift_mm`, `pull_apart_mm`) was tried on
cloth: their constants were fitted to numerical runs of one lap, which `jobs/gape/model` repeats.
"""

from __future__ import annotations

import math
from typing import Literal

Band = Literal["calm", "ripples", "stands off"]
BANDS: tuple[Band, ...] = ("calm", "ripples", "stands off")

# Standard gravity, m/s2, to the three figures that the published methods use.
GRAVITY = 9.81
# 500 g hung from a strip 50 mm wide: 0.5 kg x 9.81 / 0.05 m.
STRIP_PULL_N_M = 98.1
# Shear rigidity from the stretch of a bias strip in %: CSIRO's Fabric Assurance by Simple Testing.
_BIAS_N_M = 123.0
# One lap, orthotropic, its free edge pressed to the body, band 30 mm, cap 10 mm: own runs, within 15 %.
_CALM = 170.0
CALM_SPREAD = 0.15
# The runs were made for this inset; with 10 and 20 mm the calm pull was 5.7 and 3.9 N/m for 4.5 N/m, which is
# a power of 0.55.
_USUAL_INSET_MM = 15.0
_INSET_POWER = 0.55
# What a curved line adds or takes: own runs of the solved strip, buckling pull at radii from 1500 to 300 mm and
# pitches from 51 to 102 mm, within some 25 %.
_CURVE = 0.19
# Lift of the free edge, own runs; on cloth within a factor of about three either way.
_LIFT_MM = 2.6
_LIFT_POWER = 0.4
LIFT_FACTOR = 3.0
# A shear beam of rectangular section under an even load: 8 x 5/6 = 6.67; the runs give 6.6.
_SHEAR = 6.6
# Above the first a band ripples, above the second it stands off: own reading of the runs.
RIPPLES_ABOVE = 1.0
STANDS_OFF_ABOVE = 5.0


def pull_of_scale_n_m(weight_g: float, pitch_mm: float) -> float:
    """The pull that a scale shows when one open closure's two lines are drawn until they meet.

    Args:
        weight_g: what the scale shows, g.
        pitch_mm: centre to centre of the closures there, mm; the open closure carries one pitch.

    >>> round(pull_of_scale_n_m(120, 76), 1)
    15.5
    """
    return weight_g * GRAVITY / pitch_mm


def pull_of_strip_n_m(strip: float, worn: float) -> float:
    """The pull of cloth that is stretched as it is worn, from a strip 50 mm wide under 500 g.

    Args:
        strip: stretch of the strip, as a share (0.04 for 4 %).
        worn: stretch of the garment where it is worn, likewise. Cloth stiffens as it stretches, so the
            strip should be stretched by about as much as the garment.
    """
    return STRIP_PULL_N_M * worn / strip


def pull_of_pressure_n_m(pressure_kpa: float, radius_mm: float) -> float:
    """The pull of a garment that presses on the body, by the law of a thin round wall: pressure x radius.

    Args:
        pressure_kpa: on the skin, kPa.
        radius_mm: of the body there, as if it were round, mm. A body is not: within a factor of two.
    """
    return pressure_kpa * radius_mm


def bending_length_mm(overhang_mm: float) -> float:
    """Half the overhang at which a strip's tip falls to 41.5 degrees: ASTM D1388, BS 3356."""
    return overhang_mm / 2


def bending_stiffness_unm(mass_g_m2: float, overhang_mm: float) -> float:
    """Bending stiffness of a strip from its overhang at 41.5 degrees, µN·m (ASTM D1388, BS 3356).

    Args:
        mass_g_m2: of the finished band, all its layers, g/m².
        overhang_mm: how far the strip hangs over, mm.

    >>> round(bending_stiffness_unm(168, 30), 2)
    5.56
    """
    return GRAVITY * 1e-6 * mass_g_m2 * bending_length_mm(overhang_mm) ** 3


def shear_rigidity_n_m(bias: float) -> float:
    """Shear rigidity of cloth from a bias strip 50 mm wide under 25 g, N/m.

    Args:
        bias: its stretch, as a share (0.047 for 4.7 %).

    >>> round(shear_rigidity_n_m(0.047), 1)
    26.2
    """
    return _BIAS_N_M / (bias * 100)


def shear_stiffness_n(rigidity_n_m: float, band_width_mm: float) -> float:
    """Shear stiffness of a whole band, N."""
    return rigidity_n_m * band_width_mm / 1000


def calm_pull_n_m(stiffness_unm: float, pitch_mm: float, inset_mm: float = _USUAL_INSET_MM) -> float:
    """The pull that a gap bears before its free edge ripples, N/m, within 15 % of the numerical runs.

    Args:
        stiffness_unm: bending stiffness of the finished band, µN·m.
        pitch_mm: centre to centre, mm.
        inset_mm: finished edge to closing line, mm.
    """
    inset = math.pow(_USUAL_INSET_MM / inset_mm, _INSET_POWER)
    return _CALM * stiffness_unm * 1e-6 / (pitch_mm / 1000) ** 2 * inset


def curve_share(curvature_1_mm: float, pitch_mm: float, stretch_over_shear: float) -> float:
    """What a curved closing line does to the calm pull, as a factor on it.

    Where the free edge lies on the outside of the curve, the pull presses the line together lengthwise as it
    would an arch, and the edge ripples sooner; on the inside it draws it taut.

    Args:
        curvature_1_mm: one over the radius, 1/mm; positive where the free edge lies on the outside.
        pitch_mm: centre to centre, mm.
        stretch_over_shear: tensile stiffness of the band over its shear rigidity.
    """
    bend = _CURVE * stretch_over_shear * pitch_mm * abs(curvature_1_mm)
    return 1 / (1 + bend) if curvature_1_mm > 0 else 1 + bend


def gape_number(pull_n_m: float, calm_n_m: float) -> float:
    """The pull over the pull that the gap bears calmly; it has no unit."""
    return pull_n_m / calm_n_m


def band_of(number: float) -> Band:
    """What a gape number means: calm up to 1, ripples up to 5, above that the edge stands off."""
    if number <= RIPPLES_ABOVE:
        return "calm"
    return "ripples" if number <= STANDS_OFF_ABOVE else "stands off"


def closure_load_n(pull_n_m: float, pitch_mm: float) -> float:
    """What one closure of an even row carries, N: the pull over one pitch."""
    return pull_n_m * pitch_mm / 1000


def lift_mm(number: float) -> float:
    """How far the free edge lifts in the middle of a gap, mm; on cloth within a factor of about three."""
    return 0.0 if number <= RIPPLES_ABOVE else _LIFT_MM * number**_LIFT_POWER


def pull_apart_mm(pull_n_m: float, pitch_mm: float, cap_mm: float, shear_n: float) -> float:
    """How far one lap's line is drawn off the straight in the middle of a gap, mm.

    Shear governs, so it grows with the square of the pitch. Within some 5 % of the runs for a fused band; for an
    unfused one up to three times too high.

    Args:
        pull_n_m: across the closing line, N/m.
        pitch_mm: centre to centre, mm.
        cap_mm: diameter of the cap, mm; half of it is held by the closures.
        shear_n: shear stiffness of the band, N.
    """
    free_mm = max(pitch_mm - cap_mm / 2, 0.0)
    return pull_n_m * (free_mm / 1000) ** 2 / (_SHEAR * shear_n) * 1000
