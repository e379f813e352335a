"""Spacing: numbers in, numbers out.

`best_spacing` places a row of closures on a line of a given length; `evaluate_spacing` measures a row that
is already there. Nothing here knows of curves, cloth or fasteners.
"""

from closures.spacing.advice import NoSpacing
from closures.spacing.best import best_spacing, evaluate_spacing
from closures.spacing.wish import Anchor, Clear, Shift, Spacing, Wish

__all__ = ["Anchor", "Clear", "NoSpacing", "Shift", "Spacing", "Wish", "best_spacing", "evaluate_spacing"]
