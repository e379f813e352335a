"""The plan: what the user asks for, as frozen values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.handing_on import handing_on
from closures.plan.size_values import BySize, FitWish, LongerWish, SizesWish
from closures.plan.strap_values import BeltWish, Making, Piece, RowWish, SpotWish, TipShape
from closures.plan.values import (
    AnchorWish,
    ArcWish,
    BandWish,
    ChangeWish,
    ClearWish,
    ClosureWish,
    EdgeWish,
    Face,
    HoleWish,
    LayerWish,
    LengthenWish,
    Plan,
    Range,
    SpacingWish,
    SwapWish,
    Units,
)
from closures.plan.workshop_values import BandsWish, SheetsWish, ShrinkageWish, StripeWish, WearerWish

if TYPE_CHECKING:
    from closures.plan.options import plan_from_options
    from closures.plan.reading import read_plan
    from closures.plan.writing import write_plan

__all__ = [
    "AnchorWish",
    "ArcWish",
    "BandWish",
    "BandsWish",
    "BeltWish",
    "BySize",
    "ChangeWish",
    "ClearWish",
    "ClosureWish",
    "EdgeWish",
    "Face",
    "FitWish",
    "HoleWish",
    "LayerWish",
    "LengthenWish",
    "LongerWish",
    "Making",
    "Piece",
    "Plan",
    "Range",
    "RowWish",
    "SheetsWish",
    "ShrinkageWish",
    "SizesWish",
    "SpacingWish",
    "SpotWish",
    "StripeWish",
    "SwapWish",
    "TipShape",
    "Units",
    "WearerWish",
    "plan_from_options",
    "read_plan",
    "write_plan",
]

__getattr__ = handing_on(
    __name__,
    {
        "closures.plan.options": ("plan_from_options",),
        "closures.plan.reading": ("read_plan",),
        "closures.plan.writing": ("write_plan",),
    },
)
