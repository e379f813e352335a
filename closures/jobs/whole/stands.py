"""The stand of a collar that a garment tells twice: as what continues a front's row, and as a piece of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.jobs.whole.clearances import Clearance

if TYPE_CHECKING:
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

_STANDS = frozenset(("collar", "stand", "neckband"))


def stands_told_twice(told: Sequence[tuple[Opening, Plan]]) -> Iterator[Clearance]:
    """Look at a collar with closures of its own beside a front whose row a stand continues.

    Both have the button and the buttonhole of the stand: they would be bought, printed and worked twice. A collar that
    is worn over the stand may have its own, so that it is a look.

    Args:
        told: every opening with its plan.
    """
    for front, plan in told:
        for collar, own in told if plan.stand is not None else ():
            if not _is_a_stand(collar, own):
                continue
            text = (
                f"The stand of the collar is told twice: [stand] in {front.plan} sets a closure half way up it, and "
                f"{collar.name} is a collar with closures of its own. Where it is one stand, its closure would be "
                f"bought, printed and worked twice: leave the [[opening]] {collar.name} out, or leave [stand] out of "
                f"{front.plan}. Where it is another collar, all is well."
            )
            yield Clearance("warn", front.name, collar.name, None, None, None, None, text)


def _is_a_stand(opening: Opening, plan: Plan) -> bool:
    if plan.row is None:
        return False
    return plan.row.piece == "collar" or not _STANDS.isdisjoint(re.findall(r"[a-z]+", opening.name.casefold()))
