"""Tags with numbers that pair on both laps, to cut apart and pin on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import TEXT_WIDTH_MM, Page, extra_sheet, paged, text_block
from closures.drawing.ink.shapes import INK, Group, Item, Pen, Words, rectangle
from closures.drawing.paper.column import Block
from closures.jobs.table.counting import closing_scheme

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.counting import Scheme
    from closures.placing.placement import Placement

_TAG_MM = (13.0, 11.0)
_GAP_MM = 1.4
_ACROSS = 4


def tag_sheets(placement: Placement, scheme: Scheme, failures: str) -> tuple[Sheet, ...]:
    """Draw a black tag for the over lap and a white one for the under lap beside it, for every number."""
    blocks = [text_block("Closing without counting", scheme.lines)]
    wide, high = _TAG_MM
    for k in range(0, len(scheme.labels), _ACROSS):
        items: list[Item] = []
        for i, label in enumerate(scheme.labels[k : k + _ACROSS]):
            x = i * (TEXT_WIDTH_MM / _ACROSS)
            for j, (pen, grey) in enumerate(((INK, 1.0), (Pen(0.5, fill=1.0), 0.0))):
                left = x + j * wide
                box = rectangle((left, 0.0, left + wide, high), pen)
                lap = "over" if j == 0 else "under"
                number = Words(left + wide / 2, 7.0, label, 7.0, "middle", 0.0, "bold", grey)
                name = Words(left + wide / 2, 9.9, lap, 2.3, "middle", 0.0, "semibold", grey)
                items.append(Group(f"tag-{lap}-{label}", f"number {label}, {lap} lap", (box, number, name)))
        blocks.append(Block(high + _GAP_MM - 4.5, tuple(items)))
    pages = paged(blocks)
    return tuple(
        extra_sheet(
            placement, Page("numbers" if n == 1 else f"numbers-{n}", "NUMBERS THAT PAIR — both laps", failures), items
        )
        for n, items in enumerate(pages, 1)
    )


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    scheme = closing_scheme(drawn.placement)
    return () if scheme is None or not scheme.labels else tag_sheets(drawn.placement, scheme, drawn.failures)


EXTRA = Extra("numbers", "numbers that pair on both laps", 60, *switched("closing", "numbers"), sheets=_sheets)
