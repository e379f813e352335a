"""The plan: what the user asks for, as frozen values."""

from closures.plan.options import plan_from_options
from closures.plan.reading import read_plan
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
