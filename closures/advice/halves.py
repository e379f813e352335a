"""Which half of a closure goes where."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.placing.placement import Placement


def halves_in_words(placement: Placement) -> str:
    """Say which half goes on which lap, by what convention, and whether it is turned."""
    fastener = placement.fastener
    told = []
    for lap in ("over", "under"):
        names = " and ".join(part.name for part in fastener.parts if part.lap == lap) or "buttonhole"
        told.append(f"{lap} lap: {names}")
    where = f"{'; '.join(told)}.".capitalize()
    if told[0].removeprefix("over lap: ") == told[1].removeprefix("under lap: "):
        return f"Both laps carry the same: {told[0].removeprefix('over lap: ')}."
    basis = "" if fastener.halves is None else f" ({fastener.halves.text})"
    if placement.plan.closure.halves == "turned":
        return f"{where} Turned on purpose: the halves are the other way round than usual{basis}."
    if placement.fastener.mark.buttonhole_lap is not None:
        # Nobody wants the buttonhole beneath and the button on the wrong face.
        return f"{where} That is the usual side of each half{basis}."
    basis = f" That is the usual side of each half{basis}." if basis else ""
    turned = placement.plan.in_words('To change them over, write halves = "turned" under [closure].')
    return f"{where}{basis} {turned}"
