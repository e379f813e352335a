"""The plan: what the user asks for, as frozen values."""

from closures.plan.options import plan_from_options
from closures.plan.reading import read_plan
from closures.plan.values import (
    AnchorWish,
    ArcWish,
    BandWish,
    ClearWish,
    ClosureWish,
    EdgeWish,
    LayerWish,
    Plan,
    Range,
    SpacingWish,
)
from closures.plan.writing import write_plan

__all__ = [
    "AnchorWish",
    "ArcWish",
    "BandWish",
    "ClearWish",
    "ClosureWish",
    "EdgeWish",
    "LayerWish",
    "Plan",
    "Range",
    "SpacingWish",
    "plan_from_options",
    "read_plan",
    "write_plan",
]
