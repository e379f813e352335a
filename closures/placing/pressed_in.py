"""Seam allowances that are pressed into a band or a strap, and how far they reach under a closure.

What a plan tells of them (`[bands]` allowance, the allowance of a belt or a row; where a strap tells none, whoever cuts
it adds one, and its width is taken) and where a mark lies make known where they end. They are two plies more there than
the layers tell, and where they end a part that clamps would tilt.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.single_layer import lying_all_over, told_plies
from closures.placing.stack import layers_on
from closures.placing.strap.thickness import told_beyond

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap

At = Literal["finished edge", "inner edge", "long sides", "tip"]

_WHERE: dict[At, str] = {
    "finished edge": "at the finished edge",
    "inner edge": "at the inner edge of the band",
    "long sides": "along the long sides",
    "tip": "at the tip",
}

LEAST_TRIMMED_MM = 3.0
"""The narrowest that an allowance is trimmed to and still holds its seam: common practice."""
LEAST_TURNED_MM = 5.0
"""The narrowest turn of a lining that is stitched to leather 3 mm from its edge, so that the stitch lies well within it
and clips hold it: common practice."""
OWN_ALLOWANCE_MM = 10.0
"""What is taken for the allowance that whoever cuts a strap adds: as wide as that of bands (common practice)."""
LEAST_OFF_MM = 2.0
"""The narrowest strip that shears take off a seam allowance, so that nobody is told to cut less: our own rule."""
_TRIMMED_STEP_MM = 0.5
"""To so much is told what an allowance is trimmed to; one that is too wide by less is left as it is: our own rule."""
_TWO = 2


@frozen
class PressedIn:
    """An allowance that ends under a closure or near it, and that no layer tells.

    Attributes:
        mark, lap: which closure.
        at: the seam that it belongs to.
        allowance_mm: as it is cut.
        clear_mm: from where it ends to the rim, negative where it ends under the flange or past it.
        room_mm: the widest that keeps clear of the flange.
        is_taken: the plan tells none, and whoever cuts the piece adds it: its width is taken.
        is_lining: it is the turn of a lining, which is glued and stitched to leather.
        is_measured: the layers were measured with whatever lay there, and this ends under the flange all the same.
    """

    mark: int
    lap: LapName
    at: At
    allowance_mm: float
    clear_mm: float
    room_mm: float
    is_taken: bool = False
    is_lining: bool = False
    is_measured: bool = False

    @property
    def has_room(self) -> bool:
        """Whether it can be trimmed so far and hold."""
        return self.room_mm >= (LEAST_TURNED_MM if self.is_lining else LEAST_TRIMMED_MM) - SAME_MM


def pressed_in(placement: Placement, catalogue: Catalogue) -> tuple[PressedIn, ...]:
    """List the allowances that reach under a part which clamps the cloth, or near it.

    Args:
        placement: a row with all that lies beside it, or a share of one.
        catalogue: cloths, and how near the flange a layer may end.
    """
    ridge_mm = catalogue.rule("ridge").value.value
    found = []
    for mark in placement.all_marks:
        fastener = placement.fastener_of(mark.n)
        for lap in fastener.clamps:
            on = mark.on(lap)
            if on is None:
                continue
            is_measured = _is_measured(placement, lap, catalogue)
            for at, allowance_mm, far_mm in _seams(placement, lap, on, catalogue):
                if is_measured and allowance_mm >= far_mm + fastener.rim_mm - SAME_MM:
                    # It lies under the whole flange, where it was measured with the rest.
                    continue
                room_mm = far_mm - fastener.rim_mm - ridge_mm
                clear_mm = far_mm - fastener.rim_mm - allowance_mm
                if allowance_mm > room_mm + _TRIMMED_STEP_MM - SAME_MM and not (is_measured and clear_mm >= -SAME_MM):
                    strap = placement.strap
                    is_taken = strap is not None and adds_own_allowance(strap)
                    is_lining = strap is not None and bool(strap.lining)
                    found.append(
                        PressedIn(mark.n, lap, at, allowance_mm, clear_mm, room_mm, is_taken, is_lining, is_measured)
                    )
    return tuple(found)


def adds_own_allowance(strap: Strap) -> bool:
    """Whether whoever cuts a strap, or the lining of one of leather, adds an allowance that the plan does not tell."""
    is_lined = bool(strap.lining) and not strap.allowance_mm and not strap.is_made
    return strap.lacks_allowance or is_lined


def trimmed_mm(found: Sequence[PressedIn], at: At, lap: LapName) -> float | None:
    """To how many mm the allowances of one seam are trimmed; None where they need not or cannot be.

    Args:
        found: all that end under a closure or near it.
        at: the seam. All seams of a name are trimmed alike on both laps, but for tips: each is one of its own.
        lap: whose seam it is.
    """
    own = _of_seam(found, at, lap)
    rooms = [one.room_mm for one in own if one.has_room]
    if lies_raw(found, at, lap):
        return None
    if not rooms:
        return None
    to_mm = math.floor(min(rooms) / _TRIMMED_STEP_MM + SAME_MM) * _TRIMMED_STEP_MM
    least = LEAST_TURNED_MM if any(one.is_lining for one in own) else LEAST_TRIMMED_MM
    by_shears = min(one.allowance_mm for one in own) - LEAST_OFF_MM
    return by_shears if least - SAME_MM <= by_shears < to_mm else to_mm


def seam_in_words(at: At, strap: Strap | None) -> str:
    """Where a seam lies: one of the long sides of a strap that is folded is its fold."""
    if at == "long sides" and strap is not None and strap.fold:
        return "along the long side that is sewn"
    return _WHERE[at]


def is_laid_away(found: Sequence[PressedIn]) -> bool:
    """Whether the allowances between band and lap lie out of the band, where no part clamps them: within it they cannot
    be trimmed clear of every part.
    """
    return any(one.at == "inner edge" and not one.has_room for one in found)


def reaches_at_edge(found: Sequence[PressedIn]) -> bool:
    """Whether allowances of the finished edge end under a part, where they are closed in: they can be neither trimmed
    clear of it nor laid another way.
    """
    return any(one.at == "finished edge" and not one.has_room for one in found)


def lies_raw(found: Sequence[PressedIn], at: At, lap: LapName) -> bool:
    """Whether a lining is laid raw along one seam, since no turn that the stitch holds ends clear of every part."""
    return any(one.is_lining and not one.has_room for one in _of_seam(found, at, lap))


def _of_seam(found: Sequence[PressedIn], at: At, lap: LapName) -> list[PressedIn]:
    return [one for one in found if one.at == at and (at != "tip" or one.lap == lap)]


def _is_measured(placement: Placement, lap: LapName, catalogue: Catalogue) -> bool:
    """Whether layers of a band were measured and not named, with whatever lay there."""
    wishes = lying_all_over([wish for wish in placement.plan.layers if wish.on in (lap, "both")])
    layers = layers_on(lap, wishes, catalogue)
    return placement.strap is None and not all(layer.structures for layer in layers)


def _seams(placement: Placement, lap: LapName, on: LapMark, catalogue: Catalogue) -> Iterator[tuple[At, float, float]]:
    """The seams whose allowances no layer tells: which, how wide they are cut, and how far the mark lies from each."""
    plan = placement.plan
    if placement.strap is not None:
        yield from _of_strap(placement, lap, on, catalogue)
        return
    bands = plan.bands
    if bands is None or not bands.allowance_mm or placement.laps[lap].has_strip_without_edge:
        return
    wishes = [wish for wish in plan.layers if wish.on in (lap, "both")]
    width = placement.laps[lap].width_mm
    spans = [wish.across_mm for wish in wishes if wish.across_mm is not None]
    plies = told_plies(layers_on(lap, lying_all_over(wishes), catalogue))
    if not wishes or (plies is not None and plies > _TWO):
        # Told as more than band and facing.
        return
    if bands.made == "two pieces" and all(span.low_mm > SAME_MM for span in spans):
        yield "finished edge", bands.allowance_mm, on.edge_distance_mm
    if on.inner_distance_mm is not None and all(span.high_mm < width - SAME_MM for span in spans):
        yield "inner edge", bands.allowance_mm, on.inner_distance_mm


def _of_strap(
    placement: Placement, lap: LapName, on: LapMark, catalogue: Catalogue
) -> Iterator[tuple[At, float, float]]:
    strap, layers = placement.strap, placement.plan.layers
    # Leather ends raw, and the lining that is turned under behind it has its allowance all the same.
    if strap is None or (strap.is_cut_to_size and not strap.lining) or strap.is_made or not layers:
        return
    if told_plies(layers_on(lap, lying_all_over(layers), catalogue)) is None or (
        told_beyond(strap.made, layers, catalogue) is not None and strap.leather_within != "core"
    ):
        return
    along_mm, at_tip = strap.allowance_mm, strap.allowance_mm if lap == "over" else strap.under_allowance_mm
    if adds_own_allowance(strap):
        along_mm, at_tip = OWN_ALLOWANCE_MM, at_tip or OWN_ALLOWANCE_MM
    if along_mm and on.to_side_mm is not None:
        yield "long sides", along_mm, _to_sewn_side(strap, on, on.to_side_mm)
    if at_tip and on.to_end_mm is not None and all(wish.across_mm is None for wish in layers):
        yield "tip", at_tip, on.to_end_mm


def _to_sewn_side(strap: Strap, on: LapMark, to_nearer_mm: float) -> float:
    """From a centre to the nearest long side that has an allowance: a fold has none."""
    if not strap.fold:
        return to_nearer_mm
    return strap.width_mm / 2 + (on.y_mm if strap.fold == "lower edge" else -on.y_mm)
