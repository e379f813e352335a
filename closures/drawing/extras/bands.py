"""The pattern pieces of both laps' bands, each on a sheet of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra
from closures.drawing.extras.page_sheet import Page, extra_sheet
from closures.drawing.extras.piece import clear_of, first_end_arrow, grain, lettered_rows, outline
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import HEAVY, LINE, Group, Item, Path, Pen, line, strokes
from closures.drawing.sheets.lap_drawing import course_of
from closures.drawing.sheets.view import View
from closures.jobs.table.bands import NOTCHES, band_pieces
from closures.plan.bands import BandsWish

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.bands import BandPiece
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

_SEAM = Pen(0.25, (3.2, 1.6))
_FOLD = Pen(0.5, (9.0, 1.6, 1.6, 1.6))
_NOTCH = Pen(0.7)
_WORDS_AT_MM = 120.0


def band_sheets(placement: Placement, pieces: Sequence[BandPiece], failures: str) -> tuple[Sheet, ...]:
    """Draw every piece as it lies with the right side of its cloth up.

    A facing shows its right side to the wearer, so it is drawn turned over.
    """
    return tuple(_sheet(placement, piece, failures) for piece in pieces)


def _sheet(placement: Placement, piece: BandPiece, failures: str) -> Sheet:
    lap = placement.laps[piece.lap]
    view = View(placement.laps, lap, piece.mirrored)
    wish = placement.plan.bands
    allowance = 0.0 if wish is None else wish.allowance_mm
    units = placement.plan.units
    name = piece.name.upper()
    heading = f"{name}, {piece.lap.upper()} LAP — {piece.whose} — right side of the cloth up"
    many = "one notch" if NOTCHES[piece.side] == 1 else "two notches side by side"
    cut = [f"cut {piece.cloth} of cloth"]
    if piece.interfacing:
        cut.append(f"cut {piece.interfacing} of interfacing, without the allowance")
    added = " / ".join(both_ways(allowance, units)) if allowance else "none"
    lines: tuple[str, ...] = (
        f"{', '.join(cut).capitalize()}.",
        f"Seam allowance: {added}, added already. Whole line: cut; dashed line: seam.",
        f"Every edge that is matched has {many}: the {piece.whose}. The other side has "
        f"{'two' if NOTCHES[piece.side] == 1 else 'one'}.",
        "Lay it with this side up on the right side of single cloth, so that the words can be read.",
    )
    turn = 0.0 if wish is None else wish.turn_mm
    if turn and piece.name == "facing":
        lines = (
            *lines,
            f"Turn {' / '.join(both_ways(turn, units))} under at the inner edge; it is counted in the stack.",
        )
    page = Page(f"{piece.name.replace(' ', '-')}-{piece.lap}", heading, failures, piece.lap, (("Cutting", lines),))
    edge = Path(view.path(lap.edge), HEAVY)
    # No mark is drawn on a band, so none is named.
    course = tuple(replace(one, mark=0) for one in course_of(placement, view))
    return extra_sheet(placement, page, _draw(piece, view, edge), clear_of(placement, view), course, edge)


def _draw(piece: BandPiece, view: View, edge: Path) -> list[Item]:
    lap = view.lap
    shapes: list[Item] = [outline(piece.cut, view, LINE), outline(piece.finished, view, _SEAM)]
    if piece.fold is not None:
        shapes.append(line(*(view.point(*point) for point in piece.fold), pen=_FOLD))
    notches = [(view.point(*notch.start), view.point(*notch.end)) for notch in piece.notches]
    name = f"{piece.name.replace(' ', '-')}-{piece.lap}"
    items: list[Item] = [
        Group(name, f"{piece.name}, {piece.lap} lap", tuple(shapes)),
        Group(f"{name}-notches", "notches", (strokes(notches, _NOTCH),)),
    ]
    # On the first page of a long piece, so that no join runs through the words.
    middle = view.spot(min(view.row_mm / 2, _WORDS_AT_MM))
    across = lap.width_mm / 2 - middle.to_edge_mm
    rows = [
        f"{piece.name.upper()}, {piece.lap} lap",
        f"{piece.whose} · this side up",
        f"cut {piece.cloth} cloth" + (f", {piece.interfacing} interfacing" if piece.interfacing else ""),
    ]
    room = min(view.row_mm * 0.3, 70.0)
    items += lettered_rows(rows, middle.moved(0.0, across), middle.along, room, lap.width_mm - 6.0)
    at = view.spot(view.row_mm * 0.78)
    items += grain(at.moved(0.0, across), at.along, min(60.0, view.row_mm * 0.18), "grain")
    items += first_end_arrow(view, view.row_mm * 0.05 + 4.0, across)
    return items


_USUAL_ALLOWANCE_MM = 10.0


def _is_asked(plan: Plan) -> bool:
    return plan.bands is not None


def _asked(plan: Plan) -> Plan:
    state = None if plan.garment is None else plan.garment.state
    if plan.bands is not None or plan.gauge is not None or state in ("sewn band", "finished"):
        # A band that is sewn or knitted already is not cut again.
        return plan
    has_interfacing = any("fusible" in (layer.cloth or "") or "fusible" in layer.structure for layer in plan.layers)
    return replace(plan, bands=BandsWish(_USUAL_ALLOWANCE_MM, interfacing=1 if has_interfacing else 0))


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    return band_sheets(drawn.placement, band_pieces(drawn.placement), drawn.failures)


EXTRA = Extra("bands", "the pattern pieces of both laps' bands", 10, _is_asked, _asked, sheets=_sheets)
