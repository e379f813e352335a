"""The rule on corners: is a closure clear of the mitre or the tuck that a band makes where its edge turns?

Terms: a band is *mitred* where it is cut and sewn on the line that halves a corner; where an edge turns
in a curve tighter than the band is wide, the cloth too much on its inner side is laid in a *tuck* there.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import Checked
from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.placing.shrinkage import as_told

if TYPE_CHECKING:
    from closures.curve import Curve, Point

# A strip eased round the short strokes of a drawing takes turns up to about this (common practice); what turns less
# is no corner.
CORNER_DEG = 20.0

# A band is eased round a smaller corner, if it is made with care; round a larger one it is mitred or laid in a
# tuck. Our own rule.
_MITRED_DEG = 40.0


def check_corner(checked: Checked) -> list[Finding]:
    """Does every flange keep clear of the fold that the band has at a corner?"""
    clear, source = checked.limit_mm("ridge"), checked.source("ridge")
    findings = []
    for lap, marks in checked.on_laps():
        # Each lap is looked at on its own line: of two pieces only one may have the corner.
        for along, turn in lap.line.corners(CORNER_DEG):
            # The place is told as the plan's own drawing has it.
            x, y = (mm * by for mm, by in zip(lap.line.point_at(along), as_told(checked.placement.plan), strict=True))
            x = -x if checked.placement.plan.is_turned else x
            told = checked.told_place(lap.name, along)
            cloth = "eased round" if abs(turn) < _MITRED_DEG else "mitred or laid in a tuck"
            corner = (
                f"the corner of {abs(turn):.0f}° at {checked.show(told)} along the closing line "
                f"(x {x:.0f}, y {y:.0f} mm), where the band is {cloth}"
            )
            reach = max(lap.width_mm, 2 * lap.inset_mm)
            ends = _fold(lap.line, along, reach)
            rooms = sorted((_to_stretch(on_lap.at, *ends) - checked.rim_mm, mark.n) for mark, on_lap in marks)
            if not rooms:
                continue
            near = [(room, n) for room, n in rooms if room < clear - SAME_MM] or rooms[:1]
            for room, n in near:
                if room < -SAME_MM and abs(turn) < _MITRED_DEG:
                    text = (
                        f"The rim lies {checked.show(-room)} over {corner}. "
                        "Round the corner a little, or move the closure."
                    )
                    findings.append(Finding("corner", "warn", text, "our own rule", lap.name, n, room, 0.0, "least"))
                elif room < -SAME_MM:
                    text = (
                        f"The rim lies {checked.show(-room)} over {corner}. The cloth is thick and uneven there: move "
                        f"the closure, for example with [[clear]] along this stretch, or round the corner wide of it."
                    )
                    findings.append(Finding("corner", "fail", text, "geometry", lap.name, n, room, 0.0, "least"))
                elif room < clear - SAME_MM:
                    text = (
                        f"Only {checked.show_under(max(room, 0.0), clear)} lies between the rim and {corner}; "
                        f"{checked.show(clear)} keeps the flange flat. Move the closure or the corner a little."
                    )
                    findings.append(Finding("corner", "warn", text, source, lap.name, n, room, clear, "least"))
                else:
                    text = (
                        f"The nearest rim is {checked.show(room)} clear of {corner}; {checked.show(clear)} is wanted."
                    )
                    findings.append(Finding("corner", "pass", text, source, lap.name, n, room, clear, "least"))
    return findings


def _fold(line: Curve, along: float, reach: float) -> tuple[Point, Point]:
    """The line that halves a corner, so far to either side of it."""
    x, y = line.point_at(along)
    before, after = _tangent_before(line, along), line.tangent_at(along)
    # Square to the sum of the two directions; at a hairpin they cancel, and it runs on along them.
    bx, by = before[0] + after[0], before[1] + after[1]
    size = math.hypot(bx, by)
    ux, uy = (-by / size, bx / size) if size > SAME_MM else before
    return (x - reach * ux, y - reach * uy), (x + reach * ux, y + reach * uy)


def _tangent_before(line: Curve, along: float) -> Point:
    number = min(range(len(line.starts)), key=lambda n: abs(line.starts[n] - along))
    return line.segments[number - 1].tangent(1.0)


def _to_stretch(point: Point, one: Point, other: Point) -> float:
    """The distance from a point to a straight stretch, in mm."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    share = ((point[0] - one[0]) * dx + (point[1] - one[1]) * dy) / (dx * dx + dy * dy)
    share = min(1.0, max(0.0, share))
    return math.dist(point, (one[0] + share * dx, one[1] + share * dy))
