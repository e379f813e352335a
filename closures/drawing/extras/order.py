"""The order of work as pages: how to mark, the steps with their stop, the parts as they stack, and how to undo it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.advice import advise
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import TEXT_WIDTH_MM, Page, extra_sheet, paged, text_block
from closures.drawing.extras.stack_picture import stack_picture
from closures.drawing.extras.worn_front import worn_front
from closures.drawing.ink.lettering import wrapped
from closures.drawing.ink.shapes import Item, Pen, Words, moved, polygon, rectangle
from closures.drawing.paper.column import Block

if TYPE_CHECKING:
    from closures.advice.advice import Advice
    from closures.advice.order import Told
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement

_STOP_MM = 3.4
_STOP_LEADING_MM = 4.6


def order_sheets(placement: Placement, failures: str, advice: Advice, swap: Swap | None = None) -> tuple[Sheet, ...]:
    """Set the order of work on as many pages as it needs.

    Args:
        placement: for the closure and its laps.
        failures: failed checks in words.
        advice: what is told of this job.
        swap: what was there before, None where nothing was.
    """
    picture = stack_picture(placement)
    head = text_block("The parts, in the order they stack", (advice.halves,))
    shown = Block(
        head.height_mm + 4.0 + picture.height_mm,
        (*head.items, *(moved(item, 0.0, head.height_mm + 4.0) for item in picture.items)),
    )
    order = advice.order
    blocks = [
        *([] if swap is None else [worn_front(swap)]),
        shown,
        *(text_block(heading, lines) for heading, lines in advice.notes),
    ]
    blocks.append(text_block("How to mark", advice.marking))
    before = [step for step in order.steps if order.stop_before is None or step.n < order.stop_before]
    after = order.steps[len(before) :]
    blocks.append(
        text_block(
            "Order of work: tick the number of each step when it is right",
            [_told(step) for step in before],
            numbered_from=1,
        )
    )
    if after:
        blocks.append(_stop(order.stop))
        blocks.append(text_block("", [_told(step) for step in after], numbered_from=after[0].n))
    blocks.append(text_block("To take one off again", (order.removal,)))
    blocks.append(text_block("Heed", advice.cautions))
    pages = paged(blocks)
    return tuple(extra_sheet(placement, _face(n, len(pages), failures), items) for n, items in enumerate(pages, 1))


def _told(step: Told) -> str:
    return f"{step.text} Right when: {step.done}"


def _face(n: int, count: int, failures: str) -> Page:
    stem = "order" if n == 1 else f"order-{n}"
    of = f", part {n} of {count}" if count > 1 else ""
    return Page(stem, f"ORDER OF WORK{of}", failures)


def _stop(text: str) -> Block:
    """The stop before the first step that cannot be undone, in a frame with an eight-sided sign."""
    inner = TEXT_WIDTH_MM - 28.0
    rows = wrapped(text.removeprefix("Stop. "), _STOP_MM, inner, "semibold")
    height = max(17.0, _STOP_LEADING_MM * len(rows) + 6.0)
    x, y, r = 12.0, height / 2, 6.6
    cut = 0.414 * r
    corners = ((-r, -cut), (-cut, -r), (cut, -r), (r, -cut), (r, cut), (cut, r), (-cut, r), (-r, cut))
    items: list[Item] = [
        rectangle((0.3, 0.3, TEXT_WIDTH_MM - 0.3, height - 0.3), Pen(0.7)),
        polygon(((x + a, y + b) for a, b in corners), Pen(0.7, fill=0.0)),
        Words(x, y + 1.3, "STOP", 4.0, "middle", 0.0, "bold", 1.0),
    ]
    base = (height - _STOP_LEADING_MM * (len(rows) - 1)) / 2 + 1.1
    items += [Words(24.0, base + _STOP_LEADING_MM * k, row, _STOP_MM, weight="semibold") for k, row in enumerate(rows)]
    return Block(height, tuple(items))


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    advice = advise(drawn.placement, drawn.findings, drawn.catalogue, drawn.swap)
    return order_sheets(drawn.placement, drawn.failures, advice, drawn.swap)


EXTRA = Extra(
    "order",
    "the order of work, the parts as they stack, and how to mark",
    40,
    *switched("order"),
    on_strap=True,
    sheets=_sheets,
)
