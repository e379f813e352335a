"""The pull coupon: one gap of both laps at full size, weights to hang from it, and scales to read what it does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.facts import facts_of
from closures.catalogue.values import LapName
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import CUT, FINE, HEAVY, LINE, Circle, Group, Words, line, rectangle, strokes
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section, Table
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.jobs.gape.formulas import GRAVITY
from closures.jobs.gape.known import coupon_beyond_mm, coupon_pitch_mm, coupon_width_mm
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.drawing.ink.shapes import Item, Weight
    from closures.placing.placement import Placement

_TAIL_MM = 40.0
"""Cloth of the garment's side behind the band, to be clamped or hung from; more where the words need it."""

_MARGIN_MM = 2.0
_LEAD = 1.25

_SCALE_MM = 12.0
_WEIGHTS_G = (20, 50, 100, 200, 400, 800)
_LAPS: tuple[LapName, LapName] = ("over", "under")


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw the pieces of both laps."""
    if not coupon_pitch_mm(drawn.placement):
        return ()
    found = []
    for lap in _LAPS:
        items = _piece(drawn, lap)
        text = f"Pull coupon, {lap} lap: one gap of the row, with a scale in its middle."
        found.append(piece_of(f"pull coupon, {lap} lap", items, text, lap=lap))
    return tuple(found)


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    """Tell how to make it, hang it and read it."""
    placement = drawn.placement
    if not coupon_pitch_mm(placement):
        told = "There is none: a row of one closure has no gap that could open between two."
        if not placement.plan.singles:
            told += " To try the cloth on one all the same, write under [pull] how long it is, as coupon_pitch."
        return (Chapter("Pull coupon", (Section("", (placement.plan.in_words(told),)),)),)
    pitch = both_ways(coupon_pitch_mm(placement), placement.plan.units)[0]
    facts = facts_of(placement.shares[0], drawn.findings, drawn.catalogue, drawn.swap)
    begin = f"Cut each piece once, from {facts.figures['trial cloth']}, in the same layers and grain"
    if placement.plan.gauge is not None:
        begin = "Knit each piece once, to its outline and in the gauge of the band"
    made = Section(
        "Make it like the garment",
        (
            f"{begin}, treated like the band. The two closures sit {pitch} from each other.",
            "Finish the free edge as on the garment. Set both closures, and close them.",
            "Along the broken line the garment begins: clamp or hang it there, all across.",
        ),
    )
    return (Chapter("Pull coupon", (made, *_reading(placement, drawn.catalogue))),)


def _rows(text: str, size: float, width: float, weight: Weight = "regular") -> list[tuple[str, Weight]]:
    return [(row, weight) for row in wrapped(text, size, width - 2 * _MARGIN_MM, weight)]


def _piece(drawn: Drawn, lap: LapName) -> list[Item]:
    placement, size = drawn.placement, drawn.type.figure
    own = placement.laps[lap]
    pitch = coupon_pitch_mm(placement)
    # The over lap's free edge lies below, the under lap's above: closed, the over lap is hung up by its tail.
    is_over = lap == "over"
    beyond, width = coupon_beyond_mm(placement, drawn.catalogue), coupon_width_mm(placement, drawn.catalogue)
    rows = [
        *_rows(drawn.of_opening(f"{lap.upper()} LAP, outside face up"), size, width, "semibold"),
        *_rows("clamp to a table's edge" if is_over else "hang the weights here", size, width),
        *_rows(f"pull coupon · {drawn.sheet_words}", size, width),
    ]
    buttonhole = buttonhole_for(placement.fastener, placement.plan, drawn.catalogue)
    look = look_of(placement.fastener, lap, buttonhole)
    reach = reach_mm(look)
    meets = _MARGIN_MM + width_of("free edge", size) > beyond - reach and _MARGIN_MM + size > own.inset_mm - reach
    if meets:
        rows += _rows("free edge below" if is_over else "free edge above", size, width)
    words_mm = _LEAD * size * len(rows)
    tail = max(_TAIL_MM, words_mm + 4 * _MARGIN_MM)
    height = own.width_mm + tail
    edge_y = height if is_over else 0.0
    inwards = -1.0 if is_over else 1.0
    line_y, band_y = edge_y + inwards * own.inset_mm, edge_y + inwards * own.width_mm
    items: list[Item] = [
        rectangle((0.0, 0.0, width, height), LINE),
        line((0.0, edge_y), (width, edge_y), pen=HEAVY),
        line((0.0, band_y), (width, band_y), pen=CUT),
    ]
    for n, x in enumerate((beyond, beyond + pitch), 1):
        stand = Stand(x, line_y, (1.0, 0.0), (0.0, -inwards))
        mark = draw_mark(lap, n, f"closure {n} of the pull coupon, {lap} lap", stand, look)
        items.append(Group(f"pull-coupon-{lap}-{n}", mark.title, mark.items))
    middle = beyond + pitch / 2
    items += _scale(middle, line_y)
    top = band_y + inwards * tail / 2 - words_mm / 2
    for k, (text, weight) in enumerate(rows):
        items.append(Words(middle, top + _LEAD * size * (k + 0.75), text, size, "middle", 0.0, weight))
    if not meets:
        items.append(Words(_MARGIN_MM, edge_y + inwards * 2.0 + (0.0 if is_over else 2.2), "free edge", size))
    return items


def _scale(x: float, y: float) -> list[Item]:
    """A scale across the line in the middle of the gap, a mm to a stroke, to read how far the line is drawn off."""
    half = _SCALE_MM / 2
    segments = [((x, y - half), (x, y + half))]
    for k in range(-int(half), int(half) + 1):
        long = 3.0 if k == 0 else 2.2 if k % 5 == 0 else 1.2
        segments.append(((x - long, y + k), (x + long, y + k)))
    return [strokes(segments, FINE), Circle(x, y, 0.6, LINE)]


def _reading(placement: Placement, catalogue: Catalogue) -> tuple[Section, Table, Section]:
    told = Section(
        "Hang it and read it",
        (
            "Clamp the over lap's tail flat under a board at the edge of a table, all across, so that the coupon hangs "
            "down and its face lies against the table's side.",
            "Fold the under lap's tail over a knitting needle or a rod and hang a bag from both ends of it. Weigh the "
            "bag with what is in it.",
            "Add weight until the free edge just begins to leave what it lies on, in the middle. That weight is "
            "coupon_rises.",
            "Add more, for example to the pull of a deep breath. Weigh it: coupon_weight. Read how far the edge stands "
            "off (coupon_lift), with a ruler from the table, and how far the middle of one lap's line has gone off a "
            "thread stretched from closure to closure (coupon_apart). The strokes are 1 mm from each other.",
            placement.plan.in_words("Write them under [pull]. They replace what was estimated."),
        ),
        1,
    )
    rows = []
    for grams in _WEIGHTS_G:
        pull = grams * GRAVITY / coupon_width_mm(placement, catalogue)
        rows.append((str(grams), f"{pull:.1f}", "", ""))
    head = ("weight, g", "pull, N/m", "lift, mm", "off the thread, mm")
    table = Table("What it did", head, tuple(rows), (1.6, 1.6, 1.6, 2.2))
    return (told, table, Section("", ("The pull is the weight over the width of this coupon.",)))


EXTRA = Extra(
    "pull-coupon",
    "one gap of both laps, to hang weights from and read",
    32,
    *switched("pull_coupon"),
    pieces=_pieces,
    chapters=_chapters,
)
