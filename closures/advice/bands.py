"""What sentences name of the bands of a job: how knitted ones end, what is backed, what a bound buttonhole lies on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

_BAND_ENDS = {
    "stitches": "Cast both bands off, no tighter than the knitting is long",
    "front rows": "Cast both bands off with their fronts",
    "band rows": "Cast both bands off, and sew them to the fronts",
}
"""How knitted bands end, by what is counted along them (common practice)."""


def _are_buttons(row: Placement) -> bool:
    return all(share.fastener.mark.buttonhole_lap is not None for share in row.shares)


def bands_figures(placement: Placement, words: frozenset[str]) -> dict[str, str]:
    """Gather what sentences name of bands: how knitted ones end and are backed, what stays a bound hole."""
    gauge = placement.plan.gauge
    stay = "interfacing" if "fusible" in words else "a stay of thin firm cloth where no interfacing lies behind it"
    return {
        "bands end": "" if gauge is None else _BAND_ENDS[gauge.line],
        # All closures of a row share its bands: they are backed once, for all of them.
        "backed bands": "the band that carries the buttons" if _are_buttons(placement.row) else "both bands",
        "bound stay": stay,
        **_sewn(placement),
    }


def _sewn(placement: Placement) -> dict[str, str]:
    """How band and facing come together: in two pieces along the edge, or as one that is folded there."""
    bands = placement.plan.bands
    if bands is not None and bands.made == "folded":
        folded = "Fold both bands along the finished edge, wrong sides together"
        return {"band sewn": f"{folded}, sew them down on their inner side", "band sewn open": folded} | {
            "edges faced": "Face both edges, turn them"
        }
    sewn = "Sew band and facing of both laps together"
    told = {"band sewn": f"{sewn}, turn them", "band sewn open": f"{sewn} along the edge, turn them"}
    told |= {"edges faced": "Face both edges, turn them"}
    if bands is not None or not is_of_one_layer(placement.plan):
        return told
    one = "Finish both edges as a single layer is finished, cut clean, stitched or bound (the plan tells one layer; a "
    one += "facing or a ribbon behind it is one more, to be told there)"
    return told | {"band sewn": one, "edges faced": one}


def is_of_one_layer(plan: Plan) -> bool:
    """Whether the laps are of a single layer of named cloth, with no facing behind it: none to turn or to sew in."""
    laps = [[layer for layer in plan.layers if layer.on in (lap, "both")] for lap in ("over", "under")]
    return all(
        len(own) == 1 and own[0].count == 1 and own[0].cloth is not None and own[0].thickness_mm is None for own in laps
    )
