"""What was measured at the table of the pull across a closing line, of the band and of the closure's hold.

Everything is optional: what is not measured is taken as a range from tables, said to be wide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Fit = Literal["close", "usual", "easy"]


@dataclass(frozen=True, slots=True)
class ProfileWish:
    """The pull at one place, as a share of the pull where it was measured.

    Attributes:
        at: an anchor's name; None where a level is told.
        level_mm: straight down from the level zero.
        share: 1 for the same pull.
    """

    at: str | None
    level_mm: float | None
    share: float


@dataclass(frozen=True, slots=True)
class PullWish:
    """What was measured; None for what was not.

    Attributes:
        scale_g: what a luggage scale shows when one open closure's lines are drawn until they meet, the wearer
            standing; scale_sitting_g, scale_deep_g: sitting, and in a deep breath.
        at: the anchor where it was measured.
        pitch_mm: of the closures when it was measured; None for that of the row.
        strip: stretch of a strip 50 mm wide under 500 g, as a share; worn: stretch of the garment as worn.
        overhang_mm: of a strip of the finished band at 41.5 degrees; mass_g_m2: what that strip weighs.
        bias: stretch of a bias strip 50 mm wide under 25 g, as a share.
        opens_n: what opens the coupon's closure, the least of several readings, N.
        fit: how the garment fits.
        girth_mm: of the body where the front pulls.
        profile: how the pull differs along the line; empty where nothing is told.
        coupon_pull_n_m: what hung from the pull coupon, for each metre of its width.
        coupon_lift_mm, coupon_apart_mm: what was read on it.
        coupon_pitch_mm: of its two closures; None for the widest gap of the row.
    """

    scale_g: float | None = None
    scale_sitting_g: float | None = None
    scale_deep_g: float | None = None
    at: str | None = None
    pitch_mm: float | None = None
    strip: float | None = None
    worn: float | None = None
    overhang_mm: float | None = None
    mass_g_m2: float | None = None
    bias: float | None = None
    opens_n: float | None = None
    fit: Fit = "usual"
    girth_mm: float | None = None
    profile: tuple[ProfileWish, ...] = ()
    coupon_pull_n_m: float | None = None
    coupon_lift_mm: float | None = None
    coupon_apart_mm: float | None = None
    coupon_pitch_mm: float | None = None

    @property
    def has_pull(self) -> bool:
        """Whether the pull itself was measured: by the scale, or by a strip and the stretch as worn."""
        return self.scale_g is not None or (self.strip is not None and self.worn is not None)
