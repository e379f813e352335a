"""Backing pieces on sheets, at full size."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import Page, extra_sheet, paged, text_block
from closures.drawing.extras.piece import clear_of, cross, grain, lettered_rows, outline
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import CLOSING, Group, Item, Path, Pen
from closures.drawing.sheets.lap_drawing import course_of
from closures.drawing.sheets.view import View
from closures.jobs.table.backing import back_laps

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.backing import Backing, BackingPiece
    from closures.placing.placement import Placement

_RIM = Pen(0.18, (1.2, 0.9))


def backing_sheets(placement: Placement, backings: Sequence[Backing], failures: str) -> tuple[Sheet, ...]:
    """Draw the backing of every lap that has one; one that cannot be cut is told in words."""
    sheets: list[Sheet] = []
    for backing in backings:
        if backing.pieces:
            sheets.append(_sheet(placement, backing, failures))
        else:
            blocks = [text_block("No backing can be cut", (backing.trouble, *backing.reasons))]
            page = Page(f"backing-{backing.lap}", _heading(placement, backing), failures, backing.lap)
            sheets += [extra_sheet(placement, page, items) for items in paged(blocks)]
    return tuple(sheets)


def _heading(placement: Placement, backing: Backing) -> str:
    lap = placement.laps[backing.lap]
    side = f" — {lap.whose}" if lap.whose else ""
    return f"BACKING, {backing.lap.upper()} LAP{side} — outside face up"


def _sheet(placement: Placement, backing: Backing, failures: str) -> Sheet:
    lap = placement.laps[backing.lap]
    view = View(placement.laps, lap, False)
    piece = backing.pieces[0]
    units = placement.plan.units
    width = " / ".join(both_ways(piece.width_mm, units))
    what = f"cut {piece.copies} of {backing.cloth or 'interfacing, or cloth that does not stretch'}"
    blocks = (
        ("Why", backing.reasons),
        (
            "Cutting",
            (
                f"{backing.form.capitalize()}, {width} {'across' if backing.form == 'patches' else 'wide'}: {what}.",
                f"It lies {backing.side}.",
                f"Grain: {backing.grain}.",
                "It is drawn as it lies, seen from outside. To cut with the wrong side up, turn the paper over.",
                "The dashed rings are the flanges: the piece reaches 5 mm or more past each.",
            ),
        ),
    )
    items = _strip(placement, backing, piece, view) if backing.form == "strip" else _patch(placement, piece, view)
    page = Page(f"backing-{backing.lap}", _heading(placement, backing), failures, backing.lap, blocks)
    edge = Path(view.path(view.lap.line), CLOSING)
    clear = clear_of(placement, view) if backing.form == "strip" else ()
    return extra_sheet(placement, page, items, clear, course_of(placement, view), edge)


def _rims(placement: Placement, piece: BackingPiece, view: View) -> list[Item]:
    from closures.drawing.ink.shapes import Circle

    rim = placement.fastener.rim_mm
    marks = [mark for mark in placement.on(view.lap.name) if mark.n in piece.marks]
    return [Circle(*view.point(*mark.at), rim, _RIM, "rim") for mark in marks] if rim else []


def _strip(placement: Placement, backing: Backing, piece: BackingPiece, view: View) -> list[Item]:
    marks = [mark for mark in placement.on(view.lap.name) if mark.n in piece.marks]
    shape = Group(f"backing-{backing.lap}", f"backing strip, {backing.lap} lap", (outline(piece.outline, view),))
    items: list[Item] = [
        shape,
        *_rims(placement, piece, view),
        *(cross(m, view, f"backing-{backing.lap}-mark") for m in marks),
    ]
    for k, (one, other) in enumerate(pairwise(marks)):
        spot = view.spot_on_line((one.along_mm + other.along_mm) / 2)
        room = other.along_mm - one.along_mm - 2 * placement.fastener.rim_mm - 6.0
        if k == 0 or len(marks) == 2:
            rows = (f"BACKING {backing.lap} lap", view.lap.whose, f"cut {piece.copies}")
            items += lettered_rows([row for row in rows if row], spot.at, spot.along, room, piece.width_mm - 4.0)
        elif k % 3 == 1:
            items += grain(spot.at, spot.along, min(34.0, room))
    return items


def _patch(placement: Placement, piece: BackingPiece, view: View) -> list[Item]:
    """A patch is drawn once, by itself, with how many to cut."""
    mark = next(mark for mark in placement.on(view.lap.name) if mark.n == piece.marks[0])
    spot = view.spot_of(mark)
    low = spot.moved(piece.width_mm / 2 + 6.0, 0.0)
    rows = (f"cut {piece.copies}", "one under each closure")
    rims = _rims(placement, piece, view)[:1]
    ring = Group(f"backing-{view.lap.name}", f"backing patch, {view.lap.name} lap", (outline(piece.outline, view),))
    beside = spot.moved(0.0, piece.width_mm / 2 + 7.0)
    return [
        ring,
        *rims,
        cross(mark, view, f"backing-{view.lap.name}-mark"),
        *lettered_rows(rows, low, (1.0, 0.0), 60.0, 12.0),
        *grain(beside, spot.along, 30.0, "closing line, and grain"),
    ]


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    return backing_sheets(drawn.placement, back_laps(drawn.placement, drawn.findings), drawn.failures)


EXTRA = Extra(
    "backing",
    "pieces that back the closures, where they are needed",
    20,
    *switched("backing", "as needed"),
    sheets=_sheets,
)
