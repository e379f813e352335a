"""Further pages: drawings and words that are put on sheets and printed like any other.

Everything here is a `Sheet`, so that it gets the same squares, rules, title and joins as a lap.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import wrapped
from closures.drawing.ink.shapes import LINE, Item, Path, Weight, Words, moved
from closures.drawing.paper.column import Block
from closures.drawing.sheets.lap_drawing import Course, KeepClear, LapDrawing
from closures.drawing.sheets.sheet import Sheet, Telling, set_on_sheet

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement

TEXT_WIDTH_MM = 116.0
TEXT_HEIGHT_MM = 208.0
"""What fits beside the column on upright A4 and Letter, with the strip for failed checks."""

_TEXT_MM = 3.2
_LEADING_MM = 4.3
_HEADING_MM = 4.2
_GAP_MM = 4.5


@dataclass(frozen=True, slots=True)
class Page:
    """What a further page says on its face.

    Attributes:
        stem: what it is called among the results.
        heading: what it is, in capitals where it names a lap.
        failures: failed checks in words.
        lap: the lap whose sign stands in the page's corner; "under" is the white one, for pages of both.
        blocks: words for the column beside the drawing.
        check: lines to check the drawing by.
    """

    stem: str
    heading: str
    failures: str = ""
    lap: LapName = "under"
    blocks: tuple[tuple[str, tuple[str, ...]], ...] = ()
    check: tuple[str, ...] = ()


def extra_sheet(
    placement: Placement,
    page: Page,
    items: Sequence[Item],
    keep_clear: tuple[KeepClear, ...] = (),
    course: tuple[Course, ...] = (),
    edge: Path | None = None,
) -> Sheet:
    """Put a drawing on a sheet of its own.

    Args:
        placement: for the title and the closure.
        page: what its face says.
        items: the drawing, in mm, anywhere.
        keep_clear: places that must not come near a join.
        course: which way the ends and the edge lie; empty where it shows no lap.
        edge: the line by which the map of its pages is known.
    """
    drawn = LapDrawing(tuple(items), edge or Path((), LINE), keep_clear, course)
    telling = Telling(
        placement.plan.title,
        closure_words(placement),
        page.heading,
        page.check,
        page.failures,
        (),
        ways=(placement.ends[0], "finished edge"),
        blocks=page.blocks,
    )
    return set_on_sheet(drawn, page.lap, "outside", False, telling, page.stem)


def closure_words(placement: Placement) -> str:
    """Name the closure: kind, size and how wide."""
    fastener = placement.fastener
    cap = f", {both_ways(fastener.cap_mm, placement.plan.units)[0]} across" if fastener.cap_mm else ""
    return f"{fastener.kind} {fastener.size}{cap}"


def text_block(
    heading: str, paragraphs: Iterable[str], width_mm: float = TEXT_WIDTH_MM, numbered_from: int | None = None
) -> Block:
    """Set a heading with paragraphs under it, numbered where a number to begin from is given."""
    items: list[Item] = []
    base = 0.0
    if heading:
        items.append(Words(0.0, 3.2, heading, _HEADING_MM, "start", 0.0, "bold"))
        base = 3.2 + 5.6
    else:
        base = 2.6
    for k, paragraph in enumerate(paragraphs):
        indent = 0.0
        if numbered_from is not None:
            indent = 7.0
            items.append(Words(0.0, base, f"{numbered_from + k}", _TEXT_MM, "start", 0.0, "bold"))
        rows = wrapped(paragraph, _TEXT_MM, width_mm - indent)
        items += [Words(indent, base + _LEADING_MM * i, row, _TEXT_MM) for i, row in enumerate(rows)]
        base += _LEADING_MM * len(rows) + 1.6
    return Block(base - _LEADING_MM, tuple(items))


def cells(
    rows: Sequence[Sequence[str]], columns: Sequence[float], base: float, row_mm: float, weight: Weight = "regular"
) -> list[Item]:
    """Letter a table: the left end of every column, the first baseline, the height of a row."""
    return [
        Words(x, base + row_mm * i, text, _TEXT_MM, "start", 0.0, weight)
        for i, row in enumerate(rows)
        for x, text in zip(columns, row, strict=True)
        if text
    ]


def paged(blocks: Sequence[Block], height_mm: float = TEXT_HEIGHT_MM) -> list[tuple[Item, ...]]:
    """Set blocks one under the other, on as many pages as they need."""
    pages: list[tuple[Item, ...]] = []
    items: list[Item] = []
    y = 0.0
    for block in blocks:
        if items and y + block.height_mm > height_mm:
            pages.append(tuple(items))
            items, y = [], 0.0
        items += [moved(item, 0.0, y) for item in block.items]
        y += block.height_mm + _GAP_MM
    if items:
        pages.append(tuple(items))
    return pages
