"""What to buy for all openings together, and in how many packs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.placing.lacing import lace_of
from closures.placing.tape import length_both_ways
from closures.report.parts import count_parts

if TYPE_CHECKING:
    from closures.jobs.whole.clearances import Worked
    from closures.plan.garment_file import GarmentFile


@dataclass(frozen=True, slots=True)
class Bought:
    """One part of one closure, for the whole garment.

    Attributes:
        kind, size: of the closure.
        part: its trade name, in the singular.
        count: how many the marks take.
        extra: spare and trial pieces.
        openings: the openings that take it, in order.
        packs: how many packs to buy; None where no pack is told.
    """

    kind: str
    size: str
    part: str
    count: int
    extra: int
    openings: tuple[str, ...]
    packs: int | None

    @property
    def total(self) -> int:
        """How many in all."""
        return self.count + self.extra


def shopping(garment: GarmentFile, worked: Sequence[Worked]) -> tuple[Bought, ...]:
    """Add the parts of all openings together.

    A part that goes on both laps, such as a prong ring, is one row. Packs are counted by closures: of a part of which a
    closure takes two, a pack of twelve closures holds twenty-four.

    Args:
        garment: for the packs.
        worked: its openings, placed.

    Returns:
        A row for each part, in the order in which they are first needed.
    """
    rows: dict[tuple[str, str, str, int | None], list[tuple[str, int, int, int]]] = {}
    for one in worked:
        for share in one.placement.shares:
            fastener = share.fastener
            each: dict[str, int] = {}
            for part in fastener.parts:
                each[part.name] = each.get(part.name, 0) + part.each
            for counted in count_parts(share):
                key = (fastener.kind, fastener.size, counted.part, garment.pack_of(one.opening))
                row = (one.opening.name, counted.count, counted.spare + counted.trial, each[counted.part])
                rows.setdefault(key, []).append(row)
    laces = [(one, lace) for one in worked if (lace := lace_of(one.placement)) is not None]
    bought = tuple(
        Bought(
            kind,
            size,
            part,
            sum(count for _, count, _, _ in found),
            sum(extra for _, _, extra, _ in found),
            tuple(dict.fromkeys(name for name, *_ in found)),
            None if pack is None else math.ceil(sum(c + e for _, c, e, _ in found) / (pack * found[0][3])),
        )
        for (kind, size, part, pack), found in rows.items()
    )
    return (
        *bought,
        *(
            Bought(
                "lace", length_both_ways(lace.cut_mm, one.placement.plan.units), "lace", 1, 0, (one.opening.name,), None
            )
            for one, lace in laces
        ),
    )
