"""What lies flat on clothes, such as a sleeve's slit or the flap of a pocket, beside what somebody wears."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.plan.plan import Plan


def on_clothes(plans: Sequence[Plan]) -> Iterator[Plan]:
    """Tell every flat opening of a garment that it is on clothes, where another of its openings is one that is worn.

    Args:
        plans: of all its openings.

    Yields:
        The plans, in their order.
    """
    flat = [plan.garment is not None and plan.garment.opens == "flat" for plan in plans]
    for plan, is_flat in zip(plans, flat, strict=True):
        wish = plan.garment
        yield (
            plan if wish is None or not is_flat or all(flat) else replace(plan, garment=replace(wish, on_clothes=True))
        )
