"""The order of work: how to mark, the steps with their stop, the parts as they stack, and how to undo it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.advice import advise
from closures.checks.finding import share_in_words
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.stack_picture import not_drawn, stack_picture
from closures.drawing.extras.worn_front import worn_front
from closures.drawing.own_work import knit_sections
from closures.drawing.paper.words import Chapter, ChapterPart, Notice, Section
from closures.placing.edge_to_edge import worn_apart

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.advice.advice import Advice
    from closures.advice.order import Order, Told
    from closures.catalogue.values import LapName


_LAPS: tuple[LapName, ...] = ("over", "under")


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    advice = advise(drawn.placement, drawn.findings, drawn.catalogue, drawn.swap, faces=drawn.faces)
    own: list[ChapterPart] = [
        *([] if drawn.swap is None else worn_front(drawn.swap)),
        *_stacks(drawn, advice.halves),
    ]
    knit = knit_sections(drawn.placement, drawn.catalogue)
    if drawn.set_run:
        # A garment's set tells once, for all of its openings, in which order to work, how to mark and what to heed.
        return (Chapter("How it is set", (*own, *knit, *_removal(advice))),)
    return (_chapter(advice, own, knit, drawn.mended_first),)


def order_of_sizes(drawn: Drawn, advice: Advice, size: str, first: Sequence[Notice]) -> Chapter:
    """Write the order of work of all sizes; what is knitted stands with each size.

    Args:
        drawn: the base.
        advice: of all sizes.
        size: name of the base, whose marks the pictures tell.
        first: what it begins with.
    """
    return _chapter(advice, _stacks(drawn, advice.halves, f"Size {size}: "), (), first)


def _chapter(
    advice: Advice, own: Sequence[ChapterPart], knit: Sequence[ChapterPart], first: Sequence[Notice]
) -> Chapter:
    parts: list[ChapterPart] = [
        *first,
        *own,
        *(Section(heading, tuple(lines)) for heading, lines in advice.notes),
        *knit,
        *([Section("How to mark", advice.marking)] if advice.marking else []),
        *_steps(advice.order),
        *_removal(advice),
        *([Section("Heed", tuple(advice.cautions))] if advice.cautions else []),
    ]
    return Chapter("Order of work", tuple(parts))


def _removal(advice: Advice) -> list[Section]:
    return [Section("To take one off again", (advice.order.removal,))] if advice.order.removal else []


def _stacks(drawn: Drawn, halves: str, whose: str = "") -> list[ChapterPart]:
    """The parts from the side: of laps that lie on each other as they stack, of edges that meet each lap alone."""
    if drawn.placement.is_withheld:
        # Parts that are not bought are set in no order.
        return []
    placement, told = drawn.placement, (halves, *not_drawn(drawn.findings, drawn.placement.side_word))
    headed = [(share, f"{whose}{share_in_words(share)}" if placement.is_mixed else "") for share in placement.shares]
    if not placement.laps.garment.is_meeting:
        pictures = [stack_picture(share, heading=head) for share, head in headed]
        return [Section("The parts, in the order they stack", told), *pictures]
    alone = [
        stack_picture(share, (lap,), heading=head if lap == _LAPS[0] else "") for share, head in headed for lap in _LAPS
    ]
    meet = "" if worn_apart(placement) else "the edges meet, and "
    return [Section(f"The parts on each lap: {meet}neither lies on the other", told), *alone]


def _steps(order: Order) -> list[ChapterPart]:
    before = [step for step in order.steps if order.stop_before is None or step.n < order.stop_before]
    after = order.steps[len(before) :]
    told: list[ChapterPart] = [
        Section("Order of work: tick the number of each step when it is right", tuple(_told(one) for one in before), 1)
    ]
    if after:
        told.append(Notice(order.stop.removeprefix("Stop. "), "STOP"))
        told.append(Section("", tuple(_told(step) for step in after), after[0].n))
    return told


def _told(step: Told) -> str:
    return f"{step.text} Right when: {step.done}"


EXTRA = Extra(
    "order",
    "the order of work, the parts as they stack, and how to mark",
    40,
    *switched("order"),
    on_strap=True,
    chapters=_chapters,
)
