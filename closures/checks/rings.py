"""Do the rings of hooks and eyes lie on cloth? They are all that is sewn, and an eye reaches out past its edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.cures import section_of
from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.placing.sewn_metal import metal_reach_mm, outline_mm, ring_radius_mm

if TYPE_CHECKING:
    from closures.checks.checked import Checked


def rings_off_the_cloth(checked: Checked) -> list[Finding]:
    """Find eyes whose rings reach past the finished edge: there is nothing to sew them to."""
    found = []
    fastener = checked.fastener
    for lap, marks in checked.on_laps():
        reach = metal_reach_mm(fastener, lap.name)
        radius = ring_radius_mm(outline_mm(fastener.rim_mm, fastener.extent_mm)[1])
        inside = reach - lap.past_edge_mm
        if not marks or not reach or not lap.past_edge_mm or inside >= radius - SAME_MM:
            continue
        lies = f"{checked.show(-inside)} past the finished edge: they are not on cloth, and cannot be sewn"
        if inside >= 0.0:
            lies = (
                f"{checked.show(inside)} inside the finished edge, and each reaches {checked.show(radius)} about it: "
                "a part of them is not on cloth, and cannot be sewn"
            )
        text = (
            f"The bow of the eye stands {checked.show(lap.past_edge_mm)} past the edge, and the middle of its rings "
            f"lies {lies}. Take a smaller gap, or longer hooks and eyes; "
            f"tell how long yours is by cap under {section_of(checked)}."
        )
        found.append(Finding("edge distance", "fail", text, "geometry", lap.name, None, inside, radius, "least"))
    return found
