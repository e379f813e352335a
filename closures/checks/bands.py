"""Do the layers of a lap tell what is cut for its band: band and facing, and the interfacing behind them?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.placing.interfaced import lays_interfacing
from closures.placing.plies import plies_on
from closures.placing.single_layer import BAND_AND_FACING, all_over, is_interfacing
from closures.said import for_author

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.placing.stack import Stack


def unlike_bands(checked: Checked) -> list[Finding]:
    """Ask of layers over the whole band that are more or fewer than the band and the facing that are cut for it."""
    plan = checked.placement.plan
    if plan.bands is None or checked.placement.is_withheld:
        return []
    findings = []
    for lap, _ in checked.on_laps():
        # A backing and patches are no part of the band, and what lies on a stretch of it is no ply of it.
        layers, _ = all_over(plan, lap.name, checked.catalogue)
        # A lining behind the facing that is cut is no piece of the band.
        told = plies_on(plan, lap.name, checked.catalogue)
        lining = () if told is None or not told.of("facing") else told.of("lining")
        plies = sum(layer.plies for layer in layers) - len(lining)
        sewn_in = plan.bands.interfacings_of(lap.name) if len({layer.name for layer in layers}) > 1 else 0
        is_measured = any(not layer.structures for layer in layers)
        if not layers or is_measured or BAND_AND_FACING <= plies <= BAND_AND_FACING + sewn_in:
            continue
        # Pieces that were asked for besides the plan are not written in it.
        none = "let these pieces be" if plan.bands.as_told else "ask for no [bands]"
        text = (
            f"The layers tell {plies} {'ply' if plies == 1 else 'plies'} of cloth over the whole of this lap, and the "
            + for_author("band and facing of [bands]", "band and facing")
            + f" that are cut come to {BAND_AND_FACING}: every thickness is one of the layers."
            + for_author(
                f" Let count in the [[layer]]s come to {BAND_AND_FACING}; or tell by across or along where one of "
                f"them lies; or {none}, where other pieces are cut."
            )
            + " Where more is sewn in than is cut here, all is well."
        )
        findings.append(Finding("layer thickness", "warn", text, "our own rule", lap.name))
    return findings


def untold_interfacing(checked: Checked) -> list[Finding]:
    """Ask for the interfacing that a plan has cut for a band and that no layer tells: no figure counts it."""
    plan = checked.placement.plan
    if checked.placement.is_withheld:
        # No band is cut of what is held back.
        return []
    text = (
        for_author("The interfacing of [bands]", "The interfacing that is cut for the band")
        + " is not in the layers, so it is in no figure"
        + for_author(
            ': name it there, such as cloth = "medium fusible" in a [[layer]] of its own, or write interfacing = 0 '
            "under [bands].",
            ".",
        )
    )
    return [
        Finding("layer thickness", "warn", text, "our own rule", lap.name)
        for lap, marks in checked.on_laps()
        if lays_interfacing(plan, lap)
        and (stacks := [on_lap.stack for _, on_lap in marks if on_lap.stack is not None])
        and not any(_may_tell_interfacing(stack) for stack in stacks)
    ]


def _may_tell_interfacing(stack: Stack) -> bool:
    """Whether a layer is made for it, was measured with whatever lay there, or lies besides band and facing."""
    if any(is_interfacing(layer) or not layer.structures for layer in stack.layers):
        return True
    plies = sum(layer.plies for layer in stack.layers if layer.purpose != "lining")
    return len({layer.name for layer in stack.layers}) > 1 and plies > BAND_AND_FACING
