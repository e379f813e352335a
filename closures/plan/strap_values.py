"""What a plan says of a strap: a belt, or a waistband, cuff, collar, bib or wing.

Terms: the *over end* lies on top when the strap is closed, the *under end* beneath it; the
*tip* is the finished end of either. A *setting* is one way to close it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from closures.plan.values import LapOrder

TipShape = Literal["square", "pointed", "rounded"]
Making = Literal["two pieces", "folded", "one layer"]
Piece = Literal["waistband", "cuff", "collar", "bib", "wing", "strap"]


@dataclass(frozen=True, slots=True)
class SpotWish:
    """A place on one end of a strap.

    Attributes:
        from_tip_mm: along the strap from the end's tip to the centre.
        height_mm: from the lower edge up to the centre; None for the middle.
    """

    from_tip_mm: float
    height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class BeltWish:
    """A belt with evenly stepped settings; exactly one of waist_mm, target_mm and sizes is set.

    Attributes:
        width_mm: finished.
        settings: how many; with an odd number the middle one is the target, with an even
            number the looser of the middle two.
        step_mm: from one setting to the next.
        caps_mm: closures of the over end, from its tip, nearest first.
        waist_mm: round the body or the garment where the belt sits.
        target_mm: length of the closed belt at the target setting.
        sizes: name and waist of each size, smallest first.
        between_mm: thickness of what lies between body and belt.
        measured: where waist, sizes or target are measured on the strap.
        thickness_mm: of the strap; None where the layers tell it.
        free_mm: least distance from the under end's tip to its first stud; None for the usual.
        length_mm: finished, tip to tip; None to have it worked out.
        ends: the shape of the over end's tip.
        allowance_mm, under_allowance_mm: beyond the finished edge of either end, for seam or fold.
        made: how it is cut.
        lap: the wearer's side that lies on top, None where it is not told.
        carriers: how many belt loops.
        between_rims_mm, rim_to_edge_mm: the user's own least distances, None for the usual.
    """

    width_mm: float
    settings: int
    step_mm: float
    caps_mm: tuple[float, ...]
    waist_mm: float | None = None
    target_mm: float | None = None
    sizes: tuple[tuple[str, float], ...] = ()
    between_mm: float = 0.0
    measured: Literal["inside", "middle"] = "inside"
    thickness_mm: float | None = None
    free_mm: float | None = None
    length_mm: float | None = None
    ends: TipShape = "square"
    allowance_mm: float = 0.0
    under_allowance_mm: float = 0.0
    made: Making = "two pieces"
    lap: LapOrder | None = None
    carriers: int = 3
    between_rims_mm: float | None = None
    rim_to_edge_mm: float | None = None


@dataclass(frozen=True, slots=True)
class RowWish:
    """A strap whose closures the user places on both ends.

    Attributes:
        length_mm: finished, tip to tip.
        height_mm: finished width of the strap.
        over, under: the places on either end; `under` is empty where the overlap gives it.
        piece: what the strap is, for words and advice.
        overlap_mm: of the two ends when closed as usual; None for the middle setting.
        target_mm: closed length as usual, along the middle of the cloth; likewise.
        thickness_mm: of the strap; None where the layers tell it or nobody knows.
        pair: made twice, left and right mirrored; the plan is of the wearer's left one.
        ends, allowance_mm, under_allowance_mm, made, lap, between_rims_mm, rim_to_edge_mm: as of a belt.
    """

    length_mm: float
    height_mm: float
    over: tuple[SpotWish, ...]
    under: tuple[SpotWish, ...] = ()
    piece: Piece = "strap"
    overlap_mm: float | None = None
    target_mm: float | None = None
    thickness_mm: float | None = None
    pair: bool = False
    ends: TipShape = "square"
    allowance_mm: float = 0.0
    under_allowance_mm: float = 0.0
    made: Making = "two pieces"
    lap: LapOrder | None = None
    between_rims_mm: float | None = None
    rim_to_edge_mm: float | None = None
