"""A finished band that is opened for magnets, so that no washer shows: do the layers within it bear them?

Both ways are told of a finished garment, through all layers and through those alone that meet the other lap; the stack
of either is another, and both are judged.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.cloth import check_backing, check_layer_thickness
from closures.placing.single_layer import single_laps
from closures.placing.stack import clamped_layers, layers_on, stack_under
from closures.plan.garment import GarmentWish
from closures.said import led_by

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.checks.finding import Finding
    from closures.placing.placement import LapMark

_OPENED = "Where the band is opened for the washers, by the layers that are left there: "


def check_opened_band(checked: Checked) -> list[Finding]:
    """Do thickness and backing hold too where a closed band is opened for magnets?"""
    placement = checked.placement
    plan = placement.plan
    is_asked = plan.state == "finished" and placement.strap is None and plan.gauge is None
    if checked.fastener.family != "magnetic snap" or not is_asked:
        return []
    ridge_mm = checked.catalogue.rule("ridge").value.value
    laps: list[LapName] = [lap for lap in ("over", "under") if lap not in single_laps(plan, checked.catalogue)]

    def opened(on: LapMark | None, lap: LapName, row_mm: float) -> LapMark | None:
        if on is None or lap not in laps:
            return on
        wishes = clamped_layers(plan, is_backed=placement.is_backed(on.n, lap))
        layers = layers_on(lap, wishes, checked.catalogue)
        stack = stack_under(layers, on.edge_distance_mm, row_mm, checked.rim_mm, ridge_mm, lap)
        return replace(on, stack=stack)

    marks = tuple(
        replace(mark, over=opened(mark.over, "over", mark.along_mm), under=opened(mark.under, "under", mark.along_mm))
        for mark in placement.marks
    )
    garment = replace(plan.garment or GarmentWish(), state="sewn band")
    other = replace(checked, placement=replace(placement, plan=replace(plan, garment=garment), marks=marks))
    found = [*check_layer_thickness(other), *check_backing(other)]
    return [
        replace(one, result="warn", text=led_by(_OPENED, one.text), is_if_opened=True)
        for one in found
        if one.result != "pass" and one.lap in laps
    ]
