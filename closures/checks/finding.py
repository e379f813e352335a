"""What a rule says of a placement."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.said import Said, on_page
from closures.series import in_a_row, numbered

if TYPE_CHECKING:
    from closures.placing.placement import Placement

Result = Literal["pass", "warn", "fail"]
LimitIs = Literal["least", "most"]


@frozen
class Finding:
    """One answer of one rule.

    Attributes:
        rule: the rule's name as users read it, for example ``edge distance``.
        result: pass, warn or fail.
        text: what was found, against what, and what to do, in whole sentences. Where a page is to tell it in words,
            and not by its figures, it says both what it says to a plan's author and what stands there.
        source: where the limit comes from.
        lap: the lap it speaks of, None for both.
        mark: the number of the mark, None for the whole row.
        found_mm: the figure found.
        limit_mm: the figure it is held against.
        limit_is: what that figure is of what is found: the least that is wanted, or the most; None where what is found
            misses it by no figure.
        is_if_opened: it holds only where a closed band is opened to work in it.
    """

    rule: str
    result: Result
    text: str
    source: str
    lap: str | None = None
    mark: int | None = None
    found_mm: float | None = None
    limit_mm: float | None = None
    limit_is: LimitIs | None = None
    is_if_opened: bool = False

    @property
    def in_words(self) -> str:
        """What was found, in words of whoever sews; empty where no more than its figures is told on a page."""
        return on_page(self.text) if isinstance(self.text, Said) else ""


def numbers_in_words(numbers: Sequence[int]) -> str:
    """Write ascending mark numbers for people: ``mark 3`` or ``marks 1 to 4 and 7``; empty where there are none."""
    return numbered("mark", numbers)


def share_in_words(share: Placement, marks: Sequence[int] | None = None) -> str:
    """Name closures that are set alike, or some of them: ``Mark 1 (sew-through button 16 L, hole across)``."""
    fastener = share.fastener
    hole = f", hole {share.plan.closure.hole or 'along'}" if fastener.mark.buttonhole_lap is not None else ""
    named = numbers_in_words([mark.n for mark in share.marks] if marks is None else marks)
    return f"{named.capitalize()} ({fastener.name}{hole})"


def cut_in_words(cuts: Sequence[tuple[float, Sequence[int]]], show: Callable[[float], str]) -> str:
    """How long buttonholes are cut, each length with its marks where they differ."""
    if len(cuts) == 1:
        return show(cuts[0][0])
    return in_a_row([f"{show(length)} (at {numbers_in_words(marks)})" for length, marks in cuts], "or")
