"""On which face of a lap its marks come to be seen, whatever face its sheet lies on: one answer for every page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.comparing import lie_flat
from closures.advice.figures import laps_in_order
from closures.placing.marked_face import faces_marked, marked_through, measured_beyond
from closures.series import numbered

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.plan.band import Face

_LAPS: tuple[LapName, LapName] = ("over", "under")


def faces_seen(placement: Placement, catalogue: Catalogue, laid: Mapping[LapName, Face]) -> Mapping[LapName, Face]:
    """Tell which face of either lap the marks of a share are made on: measured there, or shown there by the other lap.

    Args:
        placement: the share.
        catalogue: where cloths are looked up.
        laid: which face of either lap its sheet lies on.
    """
    up = faces_marked(placement, catalogue, laid)
    second = laps_in_order(placement)[1]
    shown = _face_shown(placement, second)
    if shown is None or second in measured_beyond(placement, catalogue, laid):
        return up
    return {**up, second: shown}


def edges_meet(placement: Placement) -> bool:
    """Whether the edges of a placement meet, as its plan tells or as eyelets do where it tells nothing."""
    edges = getattr(getattr(placement.plan, "garment", None), "edges", None)
    return edges == "meeting" or (edges is None and placement.fastener.setting == "eyelet")


def _face_shown(placement: Placement, second: LapName) -> Face | None:
    """On which face of the lap that is set second its places are shown by the other: the one that meets it.

    Returns:
        That of a lap that lies on the other, or beneath it; None where each lap is marked by its own sheet: edges that
        meet, the ends of a strap, a tape, and laps that do not lie flat on each other.
    """
    is_lapped = placement.strap is None and not edges_meet(placement)
    is_of_both = all(placement.on(lap) for lap in _LAPS) and not placement.fastener.is_taped
    if not (is_lapped and is_of_both) or not lie_flat(placement):
        return None
    return "inside" if second == "over" else "outside"


def marked_within_in_words(placement: Placement, catalogue: Catalogue, laid: Mapping[LapName, Face]) -> tuple[str, ...]:
    """Say which laps are marked on their inside, where a page gives figures and no sheet that tells its face.

    A mark that is made on the inside and must be seen outside is told of no inside: its part goes in from there.

    Args:
        placement: the whole row.
        catalogue: where cloths are looked up.
        laid: which face of either lap its sheet lies on.
    """
    found = []
    for lap in _LAPS:
        shares = [share for share in placement.shares if share.on(lap)]
        inside = [share for share in shares if _is_seen_within(share, catalogue, laid, lap)]
        if inside:
            marks = numbered("mark", sorted(mark.n for share in inside for mark in share.on(lap)))
            which = "" if len(inside) == len(shares) else f", {marks}"
            found.append(f"The {lap} {placement.side_word}{which}: mark its inside, not its outside.")
    return tuple(found)


def _is_seen_within(share: Placement, catalogue: Catalogue, laid: Mapping[LapName, Face], lap: LapName) -> bool:
    is_within = faces_seen(share, catalogue, laid)[lap] == "inside"
    is_brought_out = laid[lap] == "inside" and lap in marked_through(share, catalogue, laid)
    return is_within and not is_brought_out
