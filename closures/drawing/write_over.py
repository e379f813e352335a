"""The step of a cover that saves the words which are cut off with the paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.drawing.paper.booklet import Templates


def write_over(templates: Templates) -> tuple[str, ...]:
    """Tell which words of a strap's ends and of narrow pieces are cut off, unless somebody writes them over."""
    told: dict[str, list[str]] = {}
    for laid in templates.laying.pieces:
        for words in laid.piece.cut_off:
            told.setdefault(laid.piece.name, []).append(words)
    if not told:
        return ()
    listed = "; ".join(f"{name}: {', '.join(words)}" for name, words in told.items())
    return (
        f"Outside the line on which paper is cut stand, and are cut off: {listed}. Write them over inside it first.",
    )
