"""Everything told of one job beside its figures, made from one set of facts, so that no two pages can differ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.advice.cautions import cautions_for, wearer_notes
from closures.advice.facts import Facts, facts_of
from closures.advice.halves import halves_in_words
from closures.advice.marking import marking_page, way_to_mark
from closures.advice.order import Order, order_of_work

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement


@dataclass(frozen=True, slots=True)
class Advice:
    """What is told of a job.

    Attributes:
        facts: that all of it follows from.
        order: the order of work.
        marking: how to mark the cloth in hand, and what to beware of; whole sentences.
        cautions: what to heed, each with where it comes from.
        notes: headings for those who wear it, each with its sentences.
        halves: which half goes where.
        signs: what the key of a sheet says of the signs whose meaning the cloth decides.
    """

    facts: Facts
    order: Order
    marking: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[tuple[str, tuple[str, ...]], ...]
    halves: str
    signs: Mapping[str, str]


def advise(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue, swap: Swap | None = None) -> Advice:
    """Say everything that is to be said of a job.

    Args:
        placement: the closures as placed.
        findings: what the checks found.
        catalogue: cloths and rules.
        swap: what was there before, and the offer taken; None where nothing was.
    """
    facts = facts_of(placement, findings, catalogue, swap)
    sign = way_to_mark(facts).sign
    return Advice(
        facts,
        order_of_work(facts),
        marking_page(facts),
        cautions_for(facts),
        wearer_notes(facts),
        halves_in_words(placement),
        {"mark": sign, "nest mark": f"{sign}, your size only"},
    )
