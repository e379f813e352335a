"""The pull coupon: one gap of both laps at full size, weights to hang from it, and scales to read what it does."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.advice.facts import facts_of
from closures.catalogue.values import LapName
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.figures import both_ways, lettered_along
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import CUT, FINE, HEAVY, LINE, Circle, Group, Words, line, rectangle, strokes
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section, Table
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.frozen import frozen
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

_TAIL_ALONG_MM = 22.0
"""How far the line goes on beyond a closure before a coupon that is too wide for its paper is broken off."""

_MIDDLE_MM = 90.0
"""How wide its middle part is, which bears the scale and the words."""

_BREAK_MM = 14.0
"""White between its parts, in which stands what is left out."""

_ZIGZAG_MM = 2.5


@frozen
class _Across:
    """Where a coupon's parts and closures lie from left to right.

    Attributes:
        parts_mm: from and to; one part where nothing is left out.
        closures_mm: of both closures.
        left_out_mm: between two parts.
    """

    parts_mm: tuple[tuple[float, float], ...]
    closures_mm: tuple[float, float]
    left_out_mm: float = 0.0

    @property
    def width_mm(self) -> float:
        """How wide the drawing is."""
        return self.parts_mm[-1][1]

    @property
    def words_mm(self) -> float:
        """How wide the part is in which the words stand."""
        low, high = self.parts_mm[len(self.parts_mm) // 2]
        return high - low


def _whole(beyond: float, pitch: float) -> _Across:
    return _Across(((0.0, pitch + 2 * beyond),), (beyond, beyond + pitch))


def _broken(beyond: float, pitch: float) -> _Across | None:
    """The same with a stretch left out on either side of the scale; None where the gap is too short for that."""
    left_out = (pitch - 2 * _TAIL_ALONG_MM - _MIDDLE_MM) / 2
    if left_out < _BREAK_MM:
        return None
    first = beyond + _TAIL_ALONG_MM
    second, third = first + _BREAK_MM, first + 2 * _BREAK_MM + _MIDDLE_MM
    parts = ((0.0, first), (second, second + _MIDDLE_MM), (third, third + first))
    return _Across(parts, (beyond, third + _TAIL_ALONG_MM), left_out)


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw the pieces of both laps."""
    if not coupon_pitch_mm(drawn.placement):
        return ()
    placement = drawn.placement
    beyond, pitch = coupon_beyond_mm(placement, drawn.catalogue), coupon_pitch_mm(placement)
    broken = _broken(beyond, pitch)
    found = []
    for lap in _LAPS:
        name, text = (
            f"pull coupon, {lap} lap",
            f"Pull coupon, {lap} lap: one gap of the row, with a scale in its middle",
        )
        shorter = None
        if broken is not None:
            told = f"{text}. Drawn shorter than it is: {_left_out(placement, broken)} on either side of the scale."
            shorter = piece_of(name, _piece(drawn, lap, broken), told, lap=lap)
        whole = _piece(drawn, lap, _whole(beyond, pitch))
        found.append(piece_of(name, whole, f"{text}.", lap=lap, shorter=shorter, without_squares=True))
    return tuple(found)


def _left_out(placement: Placement, across: _Across) -> str:
    return f"{both_ways(across.left_out_mm, placement.plan.units)[0]} left out"


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    """Tell how to make it, hang it and read it."""
    placement = drawn.placement
    if not coupon_pitch_mm(placement):
        told = "There is none: a row of one closure has no gap that could open between two."
        if not placement.plan.singles:
            told += " To try the cloth on one all the same, write under [pull] how long it is, as coupon_pitch."
        return (Chapter("Pull coupon", (Section("", (placement.plan.in_words(told),)),)),)
    pitch = both_ways(coupon_pitch_mm(placement), placement.plan.units)[0]
    facts = facts_of(placement.shares[0], drawn.findings, drawn.catalogue, drawn.swap, faces=drawn.faces)
    begin = f"Cut each piece once, from {facts.figures['trial cloth']}, in the same layers and grain"
    if placement.plan.gauge is not None:
        begin = "Knit each piece once, to its outline and in the gauge of the band"
    made = Section(
        "Make it like the garment",
        (
            f"{begin}, treated like the band. The two closures sit {pitch} from each other.",
            *_if_broken(drawn),
            "Finish the free edge as on the garment. Set both closures, and close them.",
            "Along the broken line the garment begins: clamp or hang it there, all across.",
        ),
    )
    return (Chapter("Pull coupon", (made, *_reading(placement, drawn.catalogue))),)


def _if_broken(drawn: Drawn) -> tuple[str, ...]:
    placement, catalogue = drawn.placement, drawn.catalogue
    if _broken(coupon_beyond_mm(placement, catalogue), coupon_pitch_mm(placement)) is None:
        return ()
    width = both_ways(coupon_width_mm(placement, catalogue), placement.plan.units)[0]
    return (
        f"The coupon is {width} wide. On paper that is too narrow for it three parts are drawn: lay them on the cloth "
        "so far from each other as is written between them, their edges in line.",
    )


def _rows(text: str, size: float, width: float, weight: Weight = "regular") -> list[tuple[str, Weight]]:
    return [(row, weight) for row in wrapped(text, size, width - 2 * _MARGIN_MM, weight)]


def _piece(drawn: Drawn, lap: LapName, across: _Across) -> list[Item]:
    placement, size = drawn.placement, drawn.type.figure
    own, up = placement.laps[lap], drawn.face_marked(placement.shares[0], lap)
    # The over lap's free edge lies below, the under lap's above: closed, the over lap is hung up by its tail.
    is_over = lap == "over"
    width, beyond = across.words_mm, across.closures_mm[0]
    rows = [
        *_rows(drawn.of_opening(f"{lap.upper()} LAP, {up} face up"), size, width, "semibold"),
        *_rows("clamp to a table's edge" if is_over else "hang the weights here", size, width),
        *_rows(f"pull coupon · {drawn.sheet_words}", size, width),
    ]
    if across.left_out_mm:
        pitch = both_ways(coupon_pitch_mm(placement), placement.plan.units)[0]
        rows += _rows(f"drawn shorter: the closures sit {pitch} from each other", size, width, "semibold")
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
    items: list[Item] = []
    for k, (low, high) in enumerate(across.parts_mm):
        items += _outline(low, high, height, k > 0, k < len(across.parts_mm) - 1)
        items += [
            line((low, edge_y), (high, edge_y), pen=HEAVY),
            line((low, band_y), (high, band_y), pen=CUT),
        ]
    for n, x in enumerate(across.closures_mm, 1):
        stand = Stand(x, line_y, (1.0, 0.0), (0.0, -inwards))
        mark = draw_mark(lap, n, f"closure {n} of the pull coupon, {lap} lap", stand, look)
        items.append(Group(f"pull-coupon-{lap}-{n}", mark.title, mark.items))
    middle = sum(across.closures_mm) / 2
    items += _scale(middle, line_y)
    for (_, left), (right, _) in pairwise(across.parts_mm):
        words = _left_out(placement, across)
        items.append(lettered_along(words, ((left + right) / 2, height / 2), (0.0, -1.0), size, "semibold"))
    top = band_y + inwards * tail / 2 - words_mm / 2
    for k, (text, weight) in enumerate(rows):
        items.append(Words(middle, top + _LEAD * size * (k + 0.75), text, size, "middle", 0.0, weight))
    if not meets:
        items.append(Words(_MARGIN_MM, edge_y + inwards * 2.0 + (0.0 if is_over else 2.2), "free edge", size))
    return items


def _outline(low: float, high: float, height: float, broken_before: bool, broken_after: bool) -> list[Item]:
    """Draw round a part, with a zigzag where it is broken off."""
    if not broken_before and not broken_after:
        return [rectangle((low, 0.0, high, height), LINE)]
    items: list[Item] = [line((low, y), (high, y), pen=LINE) for y in (0.0, height)]
    for x, is_broken in ((low, broken_before), (high, broken_after)):
        turns = ((0.0, 0.4), (_ZIGZAG_MM, 0.45), (-_ZIGZAG_MM, 0.55), (0.0, 0.6)) if is_broken else ()
        places = [(x, 0.0), *((x + off, share * height) for off, share in turns), (x, height)]
        items.append(line(*places, pen=FINE if is_broken else LINE))
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
    serves_sides=True,
    for_setting=True,
)
