"""Which layers the halves of a magnetic snap go through, and where their washers and tabs show.

On a lap whose band can be opened the washer lies between its layers. On one of a single layer tabs and washer lie on
the face away from the other lap: of the over lap that is the outside. All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.holes_left import seam_opened

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.values import LapName

_LAPS: tuple[LapName, LapName] = ("over", "under")
_WITHIN = ", through the layers that meet the other lap and their backing alone"
_EITHER_WAY = ", through all layers, or where the band was opened through those that meet the other lap"


def magnet_figures(words: Set[str], lead: LapName, single: Sequence[LapName]) -> dict[str, str]:
    """What sentences name of magnets, lap by lap; all empty where there are none.

    One magnet of a row keeps its whole band open, whatever else closes it.

    Args:
        words: the facts of the job.
        lead: the lap whose half is set first.
        single: the laps of a single layer, whose bands have no inner side.
    """
    names = ("within lead", "within other", "washer lead", "washer other", "washer shows", "washer shows other")
    told = dict.fromkeys((*names, "back within", "opened bands", "on laps opened", "shut is right", "seam opened"), "")
    if "any magnetic" not in words:
        return told
    if "on: strap" in words:
        return told | {"washer shows": " Washers between the layers, before they are closed, do not show; others do."}
    opened = [lap for lap in _LAPS if lap not in single]
    other: LapName = "under" if lead == "over" else "over"
    for half, lap in (("lead", lead), ("other", other)):
        if lap in opened:
            told[f"within {half}"] = _EITHER_WAY if "state: finished" in words else _WITHIN
            told[f"washer {half}"] = "" if "state: finished" in words else " between the layers"
    shows = {half: _shows(lap) for half, lap in (("lead", lead), ("other", other)) if lap in single}
    if len(shows) == len(_LAPS):
        shows = {
            "lead": " Washer and tabs show on the face of either lap that lies away from the other, which is the "
            "outside of the over lap; a patch or a ribbon over them hides them."
        }
    told |= {"washer shows": shows.get("lead", ""), "washer shows other": shows.get("other", "")}
    if not opened:
        return told
    both = len(opened) == len(_LAPS)
    if "state: finished" not in words:
        told["back within"] = " on the layers that meet the other lap,"
    return told | {
        "seam opened": seam_opened(words),
        "opened bands": "both bands" if both else f"the band of the {opened[0]} lap",
        "on laps opened": "on both laps" if both else f"on the {opened[0]} lap",
        "shut is right": "No washer and no tab is seen on either face, and the bands lie flat"
        if both
        else f"No washer and no tab is seen on either face of the {opened[0]} lap, and its band lies flat",
    }


def _shows(lap: LapName) -> str:
    face = "the outside" if lap == "over" else "the inside"
    return f" Its one layer leaves washer and tabs to be seen on {face} of that lap; a patch or a ribbon hides them."
