"""The trial coupon: one whole closure in the same cloth and layers, and a table to note how it went."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import TEXT_WIDTH_MM, Page, extra_sheet, text_block
from closures.drawing.extras.stack_picture import stack_picture
from closures.drawing.ink.figures import corner_figure
from closures.drawing.ink.shapes import FINE, INK, LINE, Group, Item, Pen, Words, line, moved, rectangle, strokes
from closures.drawing.paper.column import Block
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.drawing.sheets.sheet import Sheet
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Placement

_LEAST_MM = 54.0
_MOST_MM = 80.0
_ROOM_MM = 20.0
_PAGE_MM = 221.0
_FAILURE_MM = 8.5
_LAPS: tuple[LapName, LapName] = ("over", "under")
_SET_NOTES = (
    ("setting", "strikes or squeezes, over lap"),
    ("", "strikes or squeezes, under lap"),
    ("", "flat, central, nothing turns: yes or no"),
)
_SEWN_NOTES = (
    ("making", "length of the hole, or stitches to a hole or ring"),
    ("", "goes through or closes: easy, firm, too tight"),
    ("", "lies flat, nothing gapes between cloth and part"),
)
_NOTES = (
    ("opening", "opens by a pull square to the cloth: easy, firm, hard"),
    ("", "after 50 times: the same, looser"),
    ("washing", "after one wash: the same, looser, rust, puckers"),
    ("pull", "pulled by hand until the cloth gives, or not"),
)
_NOTE_ROW_MM = 6.4


def coupon_sheets(placement: Placement, failures: str, buttonhole: Buttonhole | None) -> tuple[Sheet, ...]:
    """Draw the coupon of both laps, the stack that they are made of, and the table of notes.

    Args:
        placement: the closures as placed; the stack is that of its thickest marks.
        failures: failed checks in words.
        buttonhole: the buttonhole of a button, None for other closures.
    """
    pieces, height = _pieces(placement, buttonhole)
    picture = stack_picture(placement)
    notes = _table(_SET_NOTES if placement.fastener.clamps else _SEWN_NOTES)
    title = Words(0.0, 3.2, "The stack, as it is set (thicker than life)", 4.2, "start", 0.0, "bold")
    top = [Group("coupon", "the trial pieces of both laps", tuple(pieces))]
    stack = [moved(item, 0.0, height + 6.0) for item in (title, *(moved(item, 0.0, 6.0) for item in picture.items))]
    below = height + 6.0 + 6.0 + picture.height_mm + 4.0
    blocks = (
        (
            "Make this first",
            (
                "Cut one piece for either lap from the same cloth, with the same layers, fused and pressed like the "
                "garment.",
                "Set one whole closure. Close it and open it. Note what it took.",
                "Change the setting, the size or the backing until it holds; only then pierce the garment.",
            ),
        ),
    )
    page = Page("coupon", "TRIAL COUPON — both laps — outside face up", failures, blocks=blocks)
    if below + notes.height_mm <= (_PAGE_MM - _FAILURE_MM if failures else _PAGE_MM):
        items = (*top, *stack, *(moved(item, 0.0, below) for item in notes.items))
        return (extra_sheet(placement, page, items),)
    second = Page("coupon-notes", "TRIAL COUPON — what it took", failures)
    return (extra_sheet(placement, page, (*top, *stack)), extra_sheet(placement, second, notes.items))


def coupon_side_mm(placement: Placement, buttonhole: Buttonhole | None) -> float:
    """Side of either coupon: the closure with room to hold the piece by."""
    reach = max(reach_mm(look_of(placement.fastener, lap, buttonhole)) for lap in _LAPS)
    return min(_MOST_MM, max(_LEAST_MM, 2 * reach + _ROOM_MM))


def _pieces(placement: Placement, buttonhole: Buttonhole | None) -> tuple[list[Item], float]:
    side = coupon_side_mm(placement, buttonhole)
    items: list[Item] = []
    beside = 2 * side + 4.0 <= TEXT_WIDTH_MM + 2.0
    for k, lap in enumerate(_LAPS):
        x, y = (k * (side + 4.0), 0.0) if beside else (0.0, k * (side + 4.0))
        items += [moved(item, x, y) for item in _piece(placement, lap, side, buttonhole)]
    return items, side if beside else 2 * side + 4.0


def _piece(placement: Placement, lap: LapName, side: float, buttonhole: Buttonhole | None) -> list[Item]:
    chosen = placement.laps[lap]
    away = 1.0 if chosen.cloth_on == "right" else -1.0
    middle = side / 2
    stand = Stand(middle, middle, (0.0, 1.0), (away, 0.0))
    mark = draw_mark(lap, 0, f"trial closure, {lap} lap", stand, look_of(placement.fastener, lap, buttonhole))
    whose = f", {chosen.whose}" if chosen.whose else ""
    corner_x = side - 7.0 if away > 0 else 7.0
    flag = corner_figure((corner_x, 7.0), (0.0, -1.0), (away, 0.0), 7.0, INK if lap == "over" else Pen(0.5, fill=1.0))
    parts = " + ".join(part.name for part in placement.fastener.parts_on(lap)) or "buttonhole"
    return [
        rectangle((0.0, 0.0, side, side), LINE),
        Group(f"coupon-{lap}", f"trial closure, {lap} lap", mark.items),
        flag,
        Words(middle, side - 8.2, f"{lap.upper()} LAP{whose}", 3.0, "middle", 0.0, "semibold"),
        Words(middle, side - 4.2, f"one {parts}", 2.8, "middle"),
    ]


def _table(first: Sequence[tuple[str, str]]) -> Block:
    head = text_block("What it took", ())
    items: list[Item] = list(head.items)
    top = 7.0
    columns = (0.0, 78.0, 90.7, 103.4, TEXT_WIDTH_MM)
    for k, name in enumerate(("try 1", "try 2", "try 3")):
        items.append(Words((columns[k + 1] + columns[k + 2]) / 2, top + 2.6, name, 2.9, "middle", 0.0, "semibold"))
    y = top + 4.0
    rules = [((0.0, y), (TEXT_WIDTH_MM, y))]
    for group, text in (*first, *_NOTES):
        if group:
            items.append(Words(0.0, y + 4.3, group, 3.1, "start", 0.0, "semibold"))
        items.append(Words(17.0, y + 4.3, text, 2.6))
        y += _NOTE_ROW_MM
        rules.append(((0.0, y), (TEXT_WIDTH_MM, y)))
    items.append(strokes(rules, FINE))
    items += [line((x, top + 4.0), (x, y), pen=FINE) for x in columns[1:-1]]
    items.append(Words(0.0, y + 5.2, "cloth, needle, die, date:", 2.9))
    return Block(y + 6.0, tuple(items))


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    placement = drawn.placement
    buttonhole = buttonhole_for(placement.fastener, placement.plan, drawn.catalogue)
    return coupon_sheets(placement, drawn.failures, buttonhole)


EXTRA = Extra("coupon", "a trial piece for either lap", 30, *switched("coupon"), on_strap=True, sheets=_sheets)
