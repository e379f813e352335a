"""What to buy for all openings together, and in how many packs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from closures.frozen import frozen
from closures.placing.column import FOR_SHOW
from closures.placing.tape import length_both_ways
from closures.placing.trial_piece import trial_piece
from closures.report.parts import count_parts, lengths_to_buy
from closures.report.unlike import Measures, apart_by, in_words, measures_of
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.jobs.whole.frames import Worked
    from closures.placing.placement import Placement
    from closures.plan.garment_file import GarmentFile


@frozen
class Bought:
    """One part of one closure, for the whole garment.

    Attributes:
        kind, size: of the closure.
        part: its trade name, in the singular.
        count: how many the marks take.
        extra: spare and trial pieces.
        openings: the openings that take it, in order.
        packs: how many packs to buy; None where no pack is told.
        pack: closures in one pack, None where none is told.
        unlike: by what it is told from another of its name, empty where there is none.
    """

    kind: str
    size: str
    part: str
    count: int
    extra: int
    openings: tuple[str, ...]
    packs: int | None
    pack: int | None = None
    unlike: str = ""

    @property
    def name(self) -> str:
        """The closure's kind and size, and by what it is told from another of that name."""
        return f"{self.kind} {self.size}, {self.unlike}" if self.unlike else f"{self.kind} {self.size}"

    @property
    def total(self) -> int:
        """How many in all."""
        return self.count + self.extra


@frozen
class Needed:
    """One part that one row needs.

    Attributes:
        kind, size, part, count: as of what is bought.
        spare, trial: pieces to have over, and for the trial piece.
        each: how many of it one closure takes.
        by: the opening or the plan that needs it.
        pack: closures in one pack, None where none is told.
        tried_on: the trial piece; what is tried on one is had once.
        measures: of the closure, by which it may differ from another of its name.
    """

    kind: str
    size: str
    part: str
    count: int
    spare: int
    trial: int
    each: int
    by: str
    pack: int | None = None
    tried_on: str = ""
    measures: Measures = ()


def needed_by(
    placement: Placement, by: str, pack: int | None = None, tried_on: str | None = None
) -> tuple[Needed, ...]:
    """List the parts of one row: of every kind that it carries, and what it takes by length.

    A button sewn on for show is bought as the one that closes, of the same packs. Spare and trial pieces are had once
    of one kind and size, wherever it is set.

    Args:
        placement: of the row.
        by: the opening or the plan that needs them.
        pack: closures in one pack, None where none is told.
        tried_on: the trial piece, the same for rows that share one; None where the row has its own.
    """
    rows = []
    tried_on = by if tried_on is None else tried_on
    had_over = set[tuple[str, str, Measures]]()
    for share in placement.shares:
        fastener, measures = share.fastener, measures_of(share)
        kind = fastener.kind.removesuffix(f" {FOR_SHOW}")
        is_had = (kind, fastener.size, measures) in had_over
        each: dict[str, int] = {}
        for part in fastener.parts:
            each[part.name] = each.get(part.name, 0) + part.each
        rows += [
            Needed(
                kind,
                fastener.size,
                one.part,
                one.count,
                0 if is_had else one.spare,
                0 if is_had else one.trial,
                each.get(one.part, 1),
                by,
                pack,
                tried_on,
                measures,
            )
            for one in count_parts(share)
        ]
        had_over.add((kind, fastener.size, measures))
    fastener, units = placement.fastener, placement.plan.units
    for what, mm in lengths_to_buy(placement):
        length = length_both_ways(mm, units)
        if what == "lace":
            rows.append(Needed(what, length, what, 1, 0, 0, 1, by))
        else:
            rows.append(Needed(fastener.kind, fastener.size, f"{length} of {what}", 1, 0, 0, 1, by))
    return tuple(rows)


def added_up(needed: Iterable[Needed]) -> tuple[Bought, ...]:
    """Add the parts of several rows together.

    A part that goes on both laps, such as a prong ring, is one row. Packs are counted by closures: of a part of which a
    closure takes two, a pack of twelve closures holds twenty-four.

    Returns:
        A row for each part, in the order in which they are first needed.
    """
    all_needed = tuple(needed)
    named: dict[tuple[str, str], set[Measures]] = {}
    for one in all_needed:
        named.setdefault((one.kind, one.size), set()).add(one.measures)
    rows: dict[tuple[str, str, str, int | None, Measures], list[Needed]] = {}
    for one in all_needed:
        apart = apart_by(one.measures, named[one.kind, one.size])
        rows.setdefault((one.kind, one.size, one.part, one.pack, apart), []).append(one)
    return tuple(
        Bought(
            kind,
            size,
            part,
            count := sum(one.count for one in found),
            extra := sum(one.spare for one in found) + _for_trials(found),
            tuple(dict.fromkeys(one.by for one in found)),
            None if pack is None else math.ceil((count + extra) / (pack * found[0].each)),
            pack,
            in_words(apart),
        )
        for (kind, size, part, pack, apart), found in rows.items()
    )


def _for_trials(found: Sequence[Needed]) -> int:
    """How many the trial pieces take: rows that share one need it once, and as much of it as any of them."""
    takes: dict[str, dict[str, int]] = {}
    for one in found:
        by = takes.setdefault(one.tried_on, {})
        by[one.by] = by.get(one.by, 0) + one.trial
    return sum(max(by.values()) for by in takes.values())


def shopping(garment: GarmentFile, worked: Sequence[Worked]) -> tuple[Bought, ...]:
    """Add the parts of all openings of a garment together; those of one stack are tried on one piece.

    Args:
        garment: for the packs.
        worked: its openings, placed.
    """
    return added_up(
        row
        for one in worked
        for row in needed_by(one.placement, one.opening.name, garment.pack_of(one.opening), trial_piece(one.placement))
    )


def packs_in_words(bought: Sequence[Bought]) -> tuple[str, ...]:
    """Say how many packs of each closure there are to buy: a pack holds every part, and stands in each row."""
    most: dict[tuple[str, int | None], list[int]] = {}
    for row in bought:
        if row.packs is not None:
            most.setdefault((row.name, row.pack), []).append(row.packs)
    told = [
        f"{max(packs)} {'pack' if max(packs) == 1 else 'packs'} of {name}"
        + (f", {pack} in each" if len({one for same, one in most if same == name}) > 1 else "")
        for (name, pack), packs in most.items()
        if len(packs) > 1
    ]
    if not told:
        return ()
    return (f"A pack holds whole closures, all parts of each: {in_a_row(told)} in all, not as many for every part.",)


def bought_figures(row: Bought) -> dict[str, Any]:
    """Put a row of what is bought into plain figures."""
    return {
        "closure": {"kind": row.kind, "size": row.size} | ({"told_apart_by": row.unlike} if row.unlike else {}),
        "part": row.part,
        "count": row.count,
        "spare_and_trial": row.extra,
        "total": row.total,
    }


def bought_in_words(row: Bought) -> str:
    """Tell a row of what is bought in a line, such as "12 × cap, plastic snap 20: front"."""
    packs = "" if row.packs is None else f", {row.packs} pack{'' if row.packs == 1 else 's'}"
    extra = f" ({row.extra} of them spare and trial)" if row.extra else ""
    return f"{row.total} × {row.part}, {row.name}{extra}{packs}: {', '.join(row.openings)}"
