"""Every size of a pattern, and the pattern fitted to one wearer: one plan becomes a family of plain plans."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.handing_on import handing_on

if TYPE_CHECKING:
    from closures.sizes.family import plan_of_size
    from closures.sizes.hold import Cost, Held, chosen_hold, cost_of, held_of, pitch_of, plan_holding
    from closures.sizes.run import size_all
    from closures.sizes.sized import RefusedSize, Sized, Sizes
    from closures.sizes.wearer import Fit, Moved, fitted_plan, make_fit, printed_plan

__all__ = [
    "Cost",
    "Fit",
    "Held",
    "Moved",
    "RefusedSize",
    "Sized",
    "Sizes",
    "chosen_hold",
    "cost_of",
    "fitted_plan",
    "held_of",
    "make_fit",
    "pitch_of",
    "plan_holding",
    "plan_of_size",
    "printed_plan",
    "size_all",
]

__getattr__ = handing_on(
    __name__,
    {
        "closures.sizes.family": ("plan_of_size",),
        "closures.sizes.hold": ("Cost", "Held", "chosen_hold", "cost_of", "held_of", "pitch_of", "plan_holding"),
        "closures.sizes.run": ("size_all",),
        "closures.sizes.sized": ("RefusedSize", "Sized", "Sizes"),
        "closures.sizes.wearer": ("Fit", "Moved", "fitted_plan", "make_fit", "printed_plan"),
    },
)
