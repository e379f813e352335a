"""The pattern pieces of both laps' bands."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.piece_cloths import cloth_of_piece, is_caught, lie_behind
from closures.drawing.extras.extra import Drawn, Extra
from closures.drawing.extras.measured import Rectangle, measured_piece, notches_in_words
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED, along_x
from closures.drawing.ink.shapes import FOLD, LINE, Item, Pen, line, polygon, strokes
from closures.drawing.paper.join_places import Thing
from closures.drawing.paper.parts import Part
from closures.drawing.paper.piece import LongPiece
from closures.drawing.paper.words import Chapter, Section
from closures.drawing.sheets.lettered import PARTED_BY, Lettered
from closures.drawing.sheets.outlined_strip import Outlined, outlined_piece
from closures.drawing.sheets.subject import Subject
from closures.jobs.table.bands import (
    NOTCHES,
    along_bands,
    band_pieces,
    end_to_end_mm,
    rectangle_mm,
    straight_between_mm,
)
from closures.placing.interfaced import INNER_HALF, behind_folded
from closures.plan.bands import BandsWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.drawing.ink.shapes import Point
    from closures.drawing.paper.piece import Piece
    from closures.drawing.sheets.view import Spot
    from closures.jobs.table.bands import BandPiece
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

_SEAM = Pen(0.3, (3.2, 1.6))
_NOTCH = Pen(0.7)
_NOTCH_REACH_MM = 6.0
_END_MM = 30.0
"""So much of an end stays at the least where a straight piece is broken off: its name stands on it. Our own rule."""

_USUAL_ALLOWANCE_MM = 10.0
# From a band's length to the lengthwise threads, as the plan says that it is cut.
_GRAIN_DEG = {"cross": 90.0, "bias": 45.0}


def _is_asked(plan: Plan) -> bool:
    return plan.bands is not None


def _asked(plan: Plan) -> Plan:
    if plan.bands is not None or plan.gauge is not None or plan.state in ("sewn band", "finished"):
        # A band that is sewn or knitted already is not cut again.
        return plan
    return replace(plan, bands=BandsWish(_USUAL_ALLOWANCE_MM, as_told=True))


def _pieces(drawn: Drawn) -> tuple[LongPiece, ...]:
    """Draw every piece as it lies with the right side of its cloth up: a facing is turned over."""
    return tuple(_piece(drawn, piece) for piece in band_pieces(drawn.placement))


def _piece(drawn: Drawn, piece: BandPiece) -> LongPiece:
    placement = along_bands(drawn.placement)
    subject = Subject(placement, piece.lap, {piece.lap: "inside" if piece.mirrored else "outside"}, type=drawn.type)
    view = subject.view(UNTURNED)
    allowance = _allowance_mm(placement)
    shapes: list[Item] = [
        polygon((view.point(*point) for point in piece.cut), LINE),
        polygon((view.point(*point) for point in piece.finished), _SEAM),
    ]
    if piece.fold is not None:
        shapes.append(line(*(view.point(*point) for point in piece.fold), pen=FOLD))
    shapes.append(strokes([(view.point(*one.start), view.point(*one.end)) for one in piece.notches], _NOTCH))
    lap_line, lap = subject.lap.line, subject.lap
    at = [lap_line.nearest(notch.start).along_mm for notch in piece.notches]
    things = tuple(Thing(along - _NOTCH_REACH_MM, along + _NOTCH_REACH_MM) for along in at)
    straight = None if _is_printed_whole(placement) else straight_between_mm(piece, subject.lap)
    if straight is not None:
        # Its ends are cut as they are drawn, and named: neither is broken off.
        length = lap_line.length_mm
        ends = (max(straight[0], _END_MM), min(straight[1], length - _END_MM))
        things += (Thing(0.0, min(ends[0], length)), Thing(max(ends[1], 0.0), length))
    corners = [(lap_line.nearest(point), point) for point in piece.cut]
    # Of a folded piece one side reaches as far again beyond the fold.
    towards_edge = max(
        (near.distance_mm for near, point in corners if _is_outside(lap_line, near, point, lap)), default=0.0
    )

    def depths(spot: Spot) -> tuple[float, float]:
        return (max(towards_edge, spot.to_edge_mm + allowance), spot.to_inner_mm + allowance)

    name = f"{piece.name}, {piece.lap} lap"
    return outlined_piece(
        Outlined(
            name,
            subject,
            tuple(shapes),
            depths,
            allowance,
            lambda part: _rows(drawn, piece, part),
            lambda view, part: (),
            things,
            drawn.opening,
            without_squares=True,
            may_break=straight is not None,
            shorter=None if straight is None else _by_measures(drawn, piece, subject, name),
            grain_deg=_GRAIN_DEG.get(placement.plan.along_an_edge[1].cut or "", 0.0),
        )
    )


def _is_printed_whole(placement: Placement) -> bool:
    """Whether the plan asks for every piece at full size."""
    wish = placement.plan.sheets
    return wish is not None and wish.whole


def _by_measures(drawn: Drawn, piece: BandPiece, subject: Subject, name: str) -> Piece | None:
    """The same by its measures, for paper that is too short for it; None where it is no rectangle."""
    if rectangle_mm(piece) is None:
        return None
    placement, view = along_bands(drawn.placement), subject.view(UNTURNED)
    lap, units = subject.lap, placement.plan.units
    turn = along_x(view.point(*lap.line.start), view.point(*lap.line.end))

    def at(point: Point) -> Point:
        return turn.point(view.point(*point))

    across, down = zip(*(at(point) for point in piece.cut), strict=True)
    left, top, middle = min(across), min(down), (min(down) + max(down)) / 2
    edge_above = at(lap.edge.start)[1] < middle
    notches = ((at(one.start)[0] - left, at(one.start)[1] < middle) for one in piece.notches)
    sides = ("finished edge", "inner edge") if edge_above else ("inner edge", "finished edge")
    grain = _GRAIN_DEG.get(placement.plan.along_an_edge[1].cut or "", 0.0)
    shape = Rectangle(
        max(across) - left,
        max(down) - top,
        placement.ends[0],
        edge_above,
        sides if piece.fold is None else ("", ""),
        allowance := _allowance_mm(placement),
        piece.fold is not None,
        tuple(sorted(notches)),
        -grain if subject.is_flipped else grain,
    )
    seam = " / ".join(both_ways(allowance, units))
    what = (
        f"{piece.whose} · right side of the cloth up",
        _cut(drawn, piece),
        _behind_drawn(piece),
        f"dashed line: seam, {seam} within every side" if allowance else "",
        "dotted line: fold, the finished edge, in the middle" if piece.fold is not None else "",
    )
    rows = (PARTED_BY.join(filter(None, what)), *notches_in_words(shape, units), drawn.sheet_words)
    head = drawn.of_opening(f"{piece.name.upper()}, {piece.lap} lap")
    return measured_piece(name, head, piece.lap == "over", shape, rows, units, drawn.type)


def _is_outside(lap_line, near, point, lap) -> bool:  # type: ignore[no-untyped-def]
    """Whether a corner lies on the edge's side of the closing line, beside it."""
    x, y = lap.inward(lap_line.tangent_at(near.along_mm))
    inside = (point[0] - near.point[0]) * x + (point[1] - near.point[1]) * y
    return inside < 0 and math.isclose(-inside, near.distance_mm, rel_tol=0.05)


def _rows(drawn: Drawn, piece: BandPiece, part: Part) -> tuple[Lettered, ...]:
    scale = drawn.type
    number = f" {part.number} of {part.count}" if part.count > 1 else ""
    head = drawn.of_opening(f"{piece.name.upper()}, {piece.lap} lap{number}")
    return (
        Lettered(head, scale.text, "bold", "corner", piece.lap == "over"),
        Lettered(f"{piece.whose} · right side of the cloth up", scale.figure),
        Lettered(_cut(drawn, piece), scale.figure),
        *((Lettered(behind, scale.figure),) if (behind := _behind_drawn(piece)) else ()),
        *((Lettered("dotted line: fold, the finished edge", scale.figure),) if piece.fold is not None else ()),
        Lettered("grain", scale.figure, "semibold", "grain"),
        Lettered(along_bands(drawn.placement).ends[0], scale.figure, "semibold", "first end"),
        *_end_to_end(drawn, piece, part),
        Lettered(drawn.sheet_words, scale.figure, "regular"),
    )


def _cut(drawn: Drawn, piece: BandPiece) -> str:
    """How many are cut, of what."""
    behind = lie_behind(drawn.placement, piece, drawn.catalogue)
    return ", ".join((f"cut {piece.cloth} of {cloth_of_piece(drawn.placement, piece, drawn.catalogue)}", *behind))


def _end_to_end(drawn: Drawn, piece: BandPiece, part: Part) -> tuple[Lettered, ...]:
    """What proves a piece that was broken off: how long it is once so much lies between its parts as was left out."""
    if "break" not in (part.before, part.after):
        return ()
    long = end_to_end_mm(piece, along_bands(drawn.placement).laps[piece.lap])
    told = " · ".join(both_ways(long, drawn.placement.plan.units))
    return (Lettered(f"end to end{PARTED_BY}{told}", drawn.type.figure),)


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    placement = drawn.placement
    pieces = band_pieces(placement)
    if not pieces:
        return ()
    every = dict.fromkeys(cloth_of_piece(placement, piece, drawn.catalogue) for piece in pieces)
    is_small = any(rectangle_mm(piece) is not None for piece in pieces) and not _is_printed_whole(placement)
    small = (
        ("A rectangle that is too long for the paper, or takes a sheet more, is drawn small: cut it by its measures.",)
        if is_small
        else ()
    )
    sections = [Section("", (*_general(placement, " or ".join(every)), *small))]
    sections += [
        Section(
            f"{one.name}, {one.lap} lap".capitalize(),
            _lines(placement, one, drawn.catalogue),
        )
        for one in pieces
    ]
    return (Chapter("Cutting the bands", (*drawn.mended_first, *sections)),)


def _allowance_mm(placement: Placement) -> float:
    wish = placement.plan.bands
    return 0.0 if wish is None else wish.allowance_mm


def _general(placement: Placement, material: str) -> tuple[str, ...]:
    wish, allowance = placement.plan.bands, _allowance_mm(placement)
    added = " / ".join(both_ways(allowance, placement.plan.units)) if allowance else "none"
    fold = "; dotted line: fold, which is the finished edge" if wish is not None and wish.made == "folded" else ""
    return (
        f"Seam allowance: {added}, added already. Whole line: cut; dashed line: seam{fold}.",
        f"Lay each piece with its words up on the right side of single {material}.",
    )


def _behind(piece: BandPiece) -> str:
    """Behind what of a folded band its interfacing lies; empty where none is cut, or all of it takes one."""
    if piece.fold is None or not piece.interfacing:
        return ""
    which = f": the half {_by_notches(piece)}" if piece.notches and piece.interfacing == 1 else ""
    return f"interfacing behind {behind_folded(piece.interfacing, piece.half)}{which}"


def _by_notches(piece: BandPiece) -> str:
    """Which half of a folded band takes one interfacing, by its notches: they are on that which lies outside."""
    many = "notch" if len(piece.notches) == 1 else "notches"
    return f"without {many}" if piece.half == INNER_HALF else f"with the {many}"


def _behind_drawn(piece: BandPiece) -> str:
    """The same in the few words that a piece has room for."""
    if not _behind(piece):
        return ""
    if piece.interfacing == 1 and piece.notches:
        return f"interfacing: the half {_by_notches(piece).replace('the ', '')}, to the fold"
    half = "inner half" if piece.half == INNER_HALF else "outer half"
    return f"interfacing: {half if piece.interfacing == 1 else 'each half'}, to the fold"


def _interfacing_size(placement: Placement, piece: BandPiece, catalogue: Catalogue) -> str:
    """How large an interfacing is cut: of a folded band as one half, since it ends at the fold.

    What is caught in the seams is cut with their allowance, and ends at the fold without one.
    """
    caught = is_caught(placement, piece.lap, catalogue)
    how = "with the allowance" if caught else "without the allowance"
    if piece.fold is None:
        return how
    how += ", none at the fold" if caught else ""
    lap = along_bands(placement).laps[piece.lap]
    if (sides := rectangle_mm(piece)) is None:
        return f"as large as one half {how}"
    # Along its edge, and from there to its inner edge: a short band is wider than it is long.
    added_mm, long_mm = 2 * _allowance_mm(placement), end_to_end_mm(piece, lap)
    wide_mm = (sum(sides) - long_mm - added_mm) / 2
    own = (long_mm, wide_mm + added_mm / 2) if caught else (long_mm - added_mm, wide_mm)
    long, wide = (" / ".join(both_ways(mm, placement.plan.units)) for mm in own)
    return f"{long} long and {wide} wide, as large as one half {how}"


def _lines(placement: Placement, piece: BandPiece, catalogue: Catalogue) -> tuple[str, ...]:
    cut = [f"cut {piece.cloth} of {cloth_of_piece(placement, piece, catalogue)}"]
    if within := lie_behind(placement, piece, catalogue):
        cut += [f"cut {one}" for one in within]
        cut.append(_interfacing_size(placement, piece, catalogue))
    many = "one notch" if NOTCHES[piece.side] == 1 else "two notches side by side"
    other = "two" if NOTCHES[piece.side] == 1 else "one"
    lines = [f"{', '.join(cut).capitalize()}."]
    if behind := _behind(piece):
        lines.append(f"Lay the {behind}.")
    if (sides := rectangle_mm(piece)) is not None:
        long, wide = (" / ".join(both_ways(mm, placement.plan.units)) for mm in sides)
        lines.append(f"It is a rectangle, {long} long and {wide} wide with the allowance.")
    lines += [
        f"Every edge that is matched has {many}: the {piece.whose}. The other side has {other}.",
    ]
    wish = placement.plan.bands
    if wish is not None and wish.turn_mm and piece.name != "band":
        turn = " / ".join(both_ways(wish.turn_mm, placement.plan.units))
        where = "the inner edge of its inner half" if piece.fold is not None else "the inner edge"
        lines.append(f"Turn {turn} under at {where}; it is counted in the stack.")
    return tuple(lines)


EXTRA = Extra(
    "bands", "the pattern pieces of both laps' bands", 10, _is_asked, _asked, pieces=_pieces, chapters=_chapters
)
