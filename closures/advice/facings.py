"""What becomes of the inner edge of a facing, or of the half that is folded within; all of it is common practice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.holes_left import keeps_needle_holes, shows_needle_holes
from closures.advice.piece_cloths import cloths_of_facing, named_cloth, two_cloths
from closures.lengths import format_length
from closures.placing.role import is_for_show
from closures.placing.single_layer import all_over
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement

_BY_HAND = "by hand, into the allowances of that seam, or by machine from outside, in the line of the seam"
_BY_MACHINE = "by machine from outside, once, in the line of the seam, where no new hole is seen"


def faced_laps(placement: Placement) -> tuple[LapName, ...]:
    """The laps whose band has an inner edge to make, of facing or inner half; not a front that reaches far past."""
    if placement.strap is not None or placement.plan.bands is None:
        return ()
    return tuple(lap.name for lap in placement.laps.both if not lap.is_far)


def band_and_facing(placement: Placement, catalogue: Catalogue) -> dict[str, str]:
    """What sentences name of bands and facings of two cloths; all empty where both are of one."""
    bands = placement.plan.bands
    if bands is None or bands.made == "folded":
        return {"band of": "", "both of": ""}
    two = {lap: pair for lap in faced_laps(placement) if (pair := two_cloths(placement, lap, catalogue)) is not None}
    if not two:
        return {"band of": "", "both of": ""}
    told = {lap: tuple(map(named_cloth, pair)) for lap, pair in two.items()}
    if len(two) == len(faced_laps(placement)) and len(set(told.values())) == 1:
        band, facing = next(iter(told.values()))
        return {"band of": f" of {band}", "both of": f"the band of {band}, the facing of {facing}"}
    each = [f"on the {lap} lap the band of {band}, the facing of {facing}" for lap, (band, facing) in told.items()]
    return {"band of": " of its own cloth", "both of": "; ".join(each)}


def facing_figures(placement: Placement, words: Set[str], catalogue: Catalogue) -> dict[str, str]:
    """Say how the inner edge of a band is turned or neatened, and held down; empty where no band is cut."""
    laps, bands = faced_laps(placement), placement.plan.bands
    if not laps or bands is None:
        return dict.fromkeys(("facing inner", "facing inner done"), "")
    made = frozenset[str]().union(*(cloths_of_facing(placement, lap, catalogue) for lap in laps))
    told = {f"cloth: {word}" for word in made} | ({"marks"} & words)
    keeps = keeps_needle_holes(told) or shows_needle_holes(told)
    whose = "each facing" if len(laps) > 1 else f"the facing of the {laps[0]} lap"
    if bands.made == "folded":
        whose = "each band's inner half" if len(laps) > 1 else f"the inner half of the {laps[0]} lap's band"
    if bands.turn_mm:
        held = "hold the turn with clips" if keeps else "tack the turn"
        edge = f"Turn {format_length(bands.turn_mm, placement.plan.units)} under along the inner edge of {whose}, and "
        edge += held
    else:
        edge = _flat_edge(whose, made)
    left_open = _left_open(laps, words)
    glued = [lap for lap in laps if lap not in left_open and is_glued_at_slits(placement, lap, catalogue)]
    how = _BY_MACHINE if keeps else _BY_HAND
    shut = [lap for lap in laps if lap not in left_open]
    lines = [edge]
    if glued:
        round_mm = format_length(_GLUED_MM, placement.plan.units)
        sheets = " and ".join(f"the {lap} lap" for lap in glued)
        lines.insert(
            0,
            f"Fold the facing of {sheets} away, and draw each buttonhole with chalk on the wrong side of the leather, "
            "as far from the finished edge and along it as its sheet has it. Glue the cloth behind the leather to it "
            f"there, {round_mm} round each slit, with a glue that its pack names for leather: else the cloth frays at "
            "the slit, and once it is sewn down nothing reaches between the layers",
        )
    if shut:
        which = "it" if len(shut) == len(laps) else f"that of the {shut[0]} lap"
        lies = "over" if bands.allowance_mm else "to"
        lines.append(f"Lay {which} {lies} the seam of its band, and sew it down there: {how}")
    if left_open:
        which = "It" if len(left_open) == len(laps) else f"That of the {in_a_row(left_open)} lap"
        lines.append(f"{which} is sewn down once the parts are in")
    raw = "It is cut clean" if _ends_raw(made) else "No thread frays out of it"
    frays = "The turn is as wide as told" if bands.turn_mm else raw
    lies = ", it lies flat along the seam of its band, and nothing puckers" if shut else ", and it reaches the seam of "
    done = f"{frays}{lies}{'' if shut else 'its band all along'}."
    return {"facing inner": ". ".join(lines) + ".", "facing inner done": done}


_GLUED_MM = 5.0
"""How far round a slit in leather the cloth behind it is glued, past the box that is stitched 2 mm from it: common
practice."""
_FRAYS = {"woven", "sheer", "knit", "silk", "satin"}
"""What ravels or runs where it is slit: common practice."""


def is_glued_at_slits(placement: Placement, lap: LapName, catalogue: Catalogue) -> bool:
    """Whether some buttonhole of a lap is slit through leather with a cloth behind it that frays."""
    slit = [
        share
        for share in placement.row.shares
        if share.fastener.mark.buttonhole_lap == lap and not share.plan.closure.bound and not is_for_show(share)
    ]
    layers = all_over(placement.plan, lap, catalogue)[0]
    if not slit or not layers:
        return False
    return "leather" in layers[0].structures and bool(_FRAYS & layers[-1].structures)


def _ends_raw(made: Set[str]) -> bool:
    """Whether a facing is of leather alone, which does not fray."""
    return "leather" in made and not made & {"woven", "knit"}


def _flat_edge(whose: str, made: Set[str]) -> str:
    """How an edge is made that the plan turns nowhere under: flat, since a turn would be one layer more."""
    if _ends_raw(made):
        return f"Leave the inner edge of {whose} as it is cut: leather does not fray"
    return (
        f"Neaten the inner edge of {whose} flat, overcast or bound (to turn it under would lay one layer more there: "
        "the figures count none)"
    )


def _left_open(laps: Sequence[LapName], words: Set[str]) -> list[LapName]:
    """The laps whose band stays open on its inner side till parts are set within it."""
    if "hiding: beneath" in words:
        return [lap for lap in laps if lap == "over"]
    return list(laps) if "opened for magnets" in words else []
