"""Pictures that are looked at on the page and never printed, and a plan's supplies, by their names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.web.offered import offer_picture
from closures.app.web.placed import answer_of
from closures.app.web.pulled import pulled_picture

if TYPE_CHECKING:
    from closures.app.web.bench import Bench

STACK = "stack.svg"


def looked_at(name: str, bench: Bench) -> bytes | None:
    """Find a picture, or the plan's supplies, by its name; None where it is neither.

    A drawing that is called as a sheet is, such as over.svg, is not given out in its place.
    """
    answer = answer_of(bench)
    if name == answer.placement.plan.supplies and name in bench.files:
        return bench.files[name]
    if name == STACK:
        from closures.drawing.extras.stack_picture import draw_stacks

        return draw_stacks(answer.placement)
    return offer_picture(name, answer) or pulled_picture(name, answer)
