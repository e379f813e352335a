"""What can be measured at the table, and which of it would narrow the answer most."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.jobs.gape.tables import figure
from closures.plan.garment import drawn_hardest

if TYPE_CHECKING:
    from closures.jobs.gape.known import InputName, Known
    from closures.placing.placement import Placement

BY_COMMAND = "closures place PLAN --also pull-coupon"
"""How the pull coupon is printed, as the steps have it."""

_AMONG = "the closure open where the row is drawn hardest, its neighbours closed"
_ALONE = "the one closure of the row open, and closed whatever else holds the laps"

MeasureName = Literal["scale", "overhang", "bias", "opens", "coupon"]


@frozen
class Measure:
    """Something to measure at the table.

    Attributes:
        name: of its picture.
        keys: of `[pull]` that it fills.
        of: the input that it replaces.
        title: in a few words.
        how: what to do, in steps.
        is_alone: the row has one closure, and no neighbours of it are spoken of or drawn.
    """

    name: MeasureName
    keys: tuple[str, ...]
    of: InputName
    title: str
    how: tuple[str, ...]
    is_alone: bool = False


MEASURES: tuple[Measure, ...] = (
    Measure(
        "scale",
        ("scale", "scale_sitting", "scale_deep", "at", "pitch"),
        "pull",
        "The pull across the line, with a luggage scale",
        (
            "Put what will be worn on, or a tacked trial of it, closed by its closures or by basting, not by pins; "
            f"leave {_AMONG}. What nobody wears is not asked.",
            "Catch one lap at the line with the hook of a luggage scale, over a folded scrap so that the cloth is "
            "not torn, and hold the other lap still.",
            "Draw along the body until the two lines meet. Read it standing at ease, sitting, and in a deep breath, "
            "each three times; write the middle one.",
        ),
    ),
    Measure(
        "overhang",
        ("overhang", "weight"),
        "stiffness",
        "The stiffness of the finished band, by its overhang",
        (
            "Make a strip of the finished band, 30 mm wide and 200 mm long: the same layers, treated alike and running "
            "as they run in the band. Weigh it; divide by its length and width for g/m2.",
            "Fold a card to a slope that falls away at 41.5 degrees from a level edge: 88.5 mm down for 100 mm along.",
            "Push the strip over the edge, a ruler on top of it, until its tip touches the slope. Measure how far it "
            "hangs over, of both ends and both faces, and write the middle of the four.",
        ),
    ),
    Measure(
        "bias",
        ("bias",),
        "shear",
        "How easily the band shears, by a bias strip",
        (
            "Cut a strip 50 mm wide on the bias from a piece made like the finished band. Mark 100 mm on it.",
            "Hang 25 g from it, all across its width. Read by how many mm the 100 mm grew: that is the percentage.",
        ),
    ),
    Measure(
        "opens",
        ("opens_at",),
        "hold",
        "What opens the closure, on the trial coupon",
        (
            "Set one whole closure on the trial coupon, in the same layers.",
            "Draw it open with the scale, square to the cloth and sideways, five times each; again after it was "
            "opened ten times, and after it was cleaned as the garment will be. The least reading counts.",
        ),
    ),
    Measure(
        "coupon",
        ("coupon_rises", "coupon_weight", "coupon_lift", "coupon_apart", "coupon_pitch"),
        "stiffness",
        "Everything at once, with the pull coupon",
        (
            f"Print the pull coupon ({BY_COMMAND}), make both laps of it like the garment, and close its two closures.",
            "Fix the upper lap to a table's edge and hang weights from the lower one, spread by a rod.",
            "Write the weight at which the free edge begins to rise, and under a greater weight the lift and the "
            "pull-apart of one lap's line, read against the printed scale.",
        ),
    ),
)


def measures_for(placement: Placement) -> tuple[Measure, ...]:
    """What can be measured of a row: no strip is cut on the bias from a band that is knitted, since it would run.

    The pull is read in the way in which the place is drawn hardest: a breath does nothing to a crotch.
    """
    hardest = drawn_hardest(placement.plan.garment)
    is_alone = not placement.spacing.gaps_mm
    among = _ALONE if is_alone else _AMONG
    return tuple(
        replace(
            one,
            how=tuple(step.replace("in a deep breath", hardest).replace(_AMONG, among) for step in one.how),
            is_alone=is_alone,
        )
        for one in MEASURES
        if one.name != "bias" or placement.plan.gauge is None
    )


@frozen
class Narrowing:
    """What measuring one thing would do to the gape number.

    Attributes:
        measure: what to measure.
        now, then: the most over the least that the number may be, now and with it measured.
    """

    measure: Measure
    now: float
    then: float

    @property
    def text(self) -> str:
        """One sentence for people."""
        what = self.measure.title[0].lower() + self.measure.title[1:]
        return (
            f"What would narrow the gape number most is to measure {what}: now its greatest value is "
            f"{_times(self.now)} its least, then {_times(self.then)}."
        )


def most_narrowing(known: Known, ratio: float) -> Narrowing | None:
    """Find the measurement that would narrow the gape number most.

    Args:
        known: what it rests on.
        ratio: the most over the least that the number may be now.

    Returns:
        It; None where all that counts was measured.
    """
    measured = {
        "pull": (MEASURES[0], figure("scale reading").range.ratio),
        "stiffness": (MEASURES[1], figure("overhang reading").range.ratio),
    }
    best = None
    for one in (known.pull, known.stiffness):
        measure, after = measured[one.name]
        if one.is_measured or not math.isfinite(one.range.ratio):
            continue
        then = ratio / one.range.ratio * after
        if best is None or then < best.then:
            best = Narrowing(measure, ratio, then)
    return best


def _times(ratio: float) -> str:
    return f"{ratio:.0f} times" if ratio >= 10 else f"{ratio:.1f} times"
