"""The front ends of a collar stand, at full size: each with its closure half way up it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import share_in_words
from closures.drawing.extras.extra import Drawn, Extra
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import wrapped
from closures.drawing.ink.shapes import CLOSING, FINE, HEAVY, Group, Item, Weight, Words, line
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.lengths import format_length
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")
_LEAST_LONG_MM = 72.0
_PAST_MM = 16.0
# Words that stand above and below the stand's own lines.
_ROW = 1.2


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    return () if drawn.placement.plan.stand is None else tuple(_piece(drawn, lap) for lap in _LAPS)


def _closure_in_words(share: Placement, lap: LapName) -> str:
    """What is set at mark 1 on this lap: its button, where the buttonhole is on the other."""
    if share.fastener.mark.buttonhole_lap in (None, lap):
        return share_in_words(share, (1,))
    return f"Mark 1 ({share.fastener.name}, sewn on)"


def _piece(drawn: Drawn, lap: LapName) -> Piece:
    placement, size = drawn.placement, drawn.type.figure
    stand, chosen, share = placement.plan.stand, placement.laps[lap], placement.share_of(1)
    if stand is None:
        raise ValueError("the plan tells no stand")
    look = look_of(share.fastener, lap, buttonhole_for(share.fastener, share.plan, drawn.catalogue))
    # Its own, where it shrinks otherwise than the front: so far from its edge it is marked on every sheet.
    inset_mm = next(mark.edge_distance_mm for mark in placement.on(lap) if mark.n == 1)
    long = max(_LEAST_LONG_MM, inset_mm + reach_mm(look) + _PAST_MM)
    up = drawn.face_marked(share, lap)
    is_right = (chosen.cloth_on == "right") == (up == "outside")
    # Seen with the line running down, the cloth on the right hand lies to the left of its edge.
    front, far, away = (long, 0.0, 1.0) if is_right else (0.0, long, -1.0)
    at = front - away * inset_mm
    top, seam = _ROW * size + 1.0, _ROW * size + 1.0 + stand.height_mm
    middle = long / 2
    # Tails hang a fifth of the type: on the heavy line they would be lost.
    above = top - 0.28 * size - 0.6
    mark = draw_mark(
        lap, 1, f"the stand's closure, {lap} lap", Stand(at, top + stand.first_mm, (0.0, 1.0), (away, 0.0)), look
    )
    inset, half = (" / ".join(both_ways(mm, placement.plan.units)) for mm in (inset_mm, stand.first_mm))
    whose = f", {chosen.whose}" if chosen.whose else ""
    head = drawn.of_opening(f"{lap.upper()} LAP{whose}: front end of the collar stand")
    title = wrapped(head, size, long - 2.0, "semibold")
    rows = [
        *title,
        *wrapped(_closure_in_words(share, lap), size, long - 2.0),
        *wrapped(f"{inset} from the front end, {half} from the upper edge", size, long - 2.0),
        *wrapped("Mark it once: here before the stand is sewn on, or by the strip after that", size, long - 2.0),
        *wrapped(f"{up} face up · {drawn.sheet_words}", size, long - 2.0),
    ]
    items: list[Item] = [
        line((far, top), (front, top), (front, seam), pen=HEAVY),
        line((far, seam), (front, seam), pen=FINE),
        line((at, top), (at, seam), pen=CLOSING),
        Group(f"stand-{lap}", mark.title, mark.items),
        Words(middle, above, "upper edge of the stand", size, "middle"),
        Words(middle, seam + _ROW * size, "neck seam", size, "middle", 0.0, "semibold"),
        Words(
            front - away * 0.45 * size - (0.0 if is_right else -0.55 * size),
            top + stand.first_mm,
            "front",
            size,
            "middle",
            -90.0,
        ),
    ]
    base = seam + 2 * _ROW * size + 1.5
    for k, row in enumerate(rows):
        weight: Weight = "semibold" if k < len(title) else "regular"
        items.append(Words(middle, base + _ROW * size * (k + 0.5), row, size, "middle", 0.0, weight))
    high = format_length(stand.height_mm, placement.plan.units)
    text = f"The front end of the collar stand, {lap} lap, {high} high, with its closure."
    return piece_of(f"collar stand, {lap} lap", items, text, lap=lap)


def _asked(plan: Plan) -> bool:
    return plan.stand is not None


EXTRA = Extra(
    "stand", "the front ends of a collar stand; comes with [stand]", 10, _asked, lambda plan: plan, pieces=_pieces
)
