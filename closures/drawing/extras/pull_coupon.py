"""The pull coupon: one gap of both laps at full size, weights to hang from it, and scales to read what it does."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
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
    from closures.drawing.ink.shapes import Box, Item, Point, Weight
    from closures.placing.placement import Placement

_Span = tuple[float, float]

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


_BESIDE_END_MM = 10.0
"""Band that is drawn beside either end of one too deep for its paper, to lay the rest by: common practice."""

_LEAST_LEFT_OUT_MM = 40.0
"""Of a band, less than this is not left out: it would save hardly more than the white that stands for it."""


@frozen
class _Across:
    """Where a coupon's parts and closures lie from left to right.

    Attributes:
        parts_mm: from and to; one part where nothing is left out.
        closures_mm: of both closures.
        left_out_mm: between two parts.
    """

    parts_mm: tuple[_Span, ...]
    closures_mm: _Span
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


@frozen
class _Deep:
    """How deep a coupon's band is drawn, from its free edge on.

    Attributes:
        band_mm: from the free edge to the broken line, as drawn.
        inset_mm: from the free edge to the closures, as drawn.
        break_mm: from and to of the white in it; None where nothing is left out.
        left_out_mm: what that white stands for.
    """

    band_mm: float
    inset_mm: float
    break_mm: _Span | None = None
    left_out_mm: float = 0.0


def _shallow(drawn: Drawn, lap: LapName) -> _Deep | None:
    """A band with a stretch left out on the roomier side of its closures; None where it is too narrow for that."""
    own = drawn.placement.laps[lap]
    reach = max(_reach_mm(drawn, lap), _SCALE_MM / 2) + _TAIL_ALONG_MM
    before = (_BESIDE_END_MM, own.inset_mm - reach)
    behind = (own.inset_mm + reach, own.width_mm - _BESIDE_END_MM)
    low, high = max(before, behind, key=lambda stretch: stretch[1] - stretch[0])
    left_out = high - low
    if left_out < _LEAST_LEFT_OUT_MM:
        return None
    drawn_less = left_out - _BREAK_MM
    inset = own.inset_mm - (drawn_less if low < own.inset_mm else 0.0)
    return _Deep(own.width_mm - drawn_less, inset, (low, low + _BREAK_MM), left_out)


def _reach_mm(drawn: Drawn, lap: LapName) -> float:
    fastener = drawn.placement.fastener
    return reach_mm(look_of(fastener, lap, buttonhole_for(fastener, drawn.placement.plan, drawn.catalogue)))


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw the pieces of both laps."""
    if not coupon_pitch_mm(drawn.placement):
        return ()
    return tuple(_piece_of_lap(drawn, lap) for lap in _LAPS)


def _piece_of_lap(drawn: Drawn, lap: LapName) -> Piece:
    """The piece of a lap, and in its place on paper too small for it one with the least left out that makes it fit."""
    placement = drawn.placement
    beyond, pitch = coupon_beyond_mm(placement, drawn.catalogue), coupon_pitch_mm(placement)
    deeps = [_Deep(placement.laps[lap].width_mm, placement.laps[lap].inset_mm), _shallow(drawn, lap)]
    ways = [
        (across, deep)
        for deep in deeps
        if deep is not None
        for across in (_whole(beyond, pitch), _broken(beyond, pitch))
        if across is not None
    ]
    found = []
    for across, deep in ways:
        text = f"Pull coupon, {lap} lap: one gap of the row, with a scale in its middle."
        if across.left_out_mm:
            told = _left_out(placement, across.left_out_mm)
            text += f" Drawn shorter than it is: {told} on either side of the scale."
        if deep.left_out_mm:
            text += f" Drawn less deep than it is: {_left_out(placement, deep.left_out_mm)} of the band."
        items = _piece(drawn, lap, across, deep)
        found.append(piece_of(f"pull coupon, {lap} lap", items, text, lap=lap, without_squares=True))
    return reduce(lambda shorter, longer: replace(longer, shorter=shorter), reversed(found))


def _left_out(placement: Placement, mm: float) -> str:
    return f"{both_ways(mm, placement.plan.units)[0]} left out"


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    """Tell how to make it, hang it and read it."""
    placement = drawn.placement
    if not coupon_pitch_mm(placement):
        told = "There is none: a row of one closure has no gap that could open between two."
        if not placement.plan.singles:
            told += " To try the cloth on one all the same, the plan must tell how long it is to be."
        return (Chapter("Pull coupon", (Section("", (told,)),)),)
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
    told = []
    if _broken(coupon_beyond_mm(placement, catalogue), coupon_pitch_mm(placement)) is not None:
        width = both_ways(coupon_width_mm(placement, catalogue), placement.plan.units)[0]
        told.append(
            f"The coupon is {width} wide. On paper that is too narrow for it three parts are drawn: lay them on the "
            "cloth so far from each other as is written between them, their edges in line."
        )
    if any(_shallow(drawn, lap) for lap in _LAPS):
        told.append(
            "On paper that is too small for the whole band a stretch of it is left out: lay both parts "
            "on the cloth so far from each other as is written between them, their sides in line."
        )
    return tuple(told)


def _rows(text: str, size: float, width: float, weight: Weight = "regular") -> list[tuple[str, Weight]]:
    return [(row, weight) for row in wrapped(text, size, width - 2 * _MARGIN_MM, weight)]


def _piece(drawn: Drawn, lap: LapName, across: _Across, deep: _Deep) -> list[Item]:
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
    if deep.break_mm is not None:
        band = both_ways(own.width_mm, placement.plan.units)[0]
        rows += _rows(f"drawn less deep: the broken line lies {band} from the free edge", size, width, "semibold")
    buttonhole = buttonhole_for(placement.fastener, placement.plan, drawn.catalogue)
    look = look_of(placement.fastener, lap, buttonhole)
    reach = _reach_mm(drawn, lap)
    meets = _MARGIN_MM + width_of("free edge", size) > beyond - reach and _MARGIN_MM + size > deep.inset_mm - reach
    if meets:
        rows += _rows("free edge below" if is_over else "free edge above", size, width)
    words_mm = _LEAD * size * len(rows)
    tail = max(_TAIL_MM, words_mm + 4 * _MARGIN_MM)
    height = deep.band_mm + tail
    edge_y = height if is_over else 0.0
    inwards = -1.0 if is_over else 1.0
    line_y, band_y = edge_y + inwards * deep.inset_mm, edge_y + inwards * deep.band_mm
    whites = [] if deep.break_mm is None else [sorted(edge_y + inwards * mm for mm in deep.break_mm)]
    steps = [0.0, *(y for white in whites for y in white), height]
    items: list[Item] = []
    for k, (low, high) in enumerate(across.parts_mm):
        for m in range(0, len(steps), 2):
            box = (low, steps[m], high, steps[m + 1])
            items += _outline(box, (k > 0, m > 0, k < len(across.parts_mm) - 1, m < len(steps) - 2))
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
        # Beside the larger part, where it meets no white that runs across.
        from_y, to_y = max(zip(steps[::2], steps[1::2], strict=True), key=lambda part: part[1] - part[0])
        words = _left_out(placement, across.left_out_mm)
        items.append(lettered_along(words, ((left + right) / 2, (from_y + to_y) / 2), (0.0, -1.0), size, "semibold"))
    for high_y, low_y in whites:
        words, base = _left_out(placement, deep.left_out_mm), (high_y + low_y) / 2 + 0.35 * size
        items.append(Words(middle, base, words, size, "middle", 0.0, "semibold"))
    top = band_y + inwards * tail / 2 - words_mm / 2
    for k, (text, weight) in enumerate(rows):
        items.append(Words(middle, top + _LEAD * size * (k + 0.75), text, size, "middle", 0.0, weight))
    if not meets:
        items.append(Words(_MARGIN_MM, edge_y + inwards * 2.0 + (0.0 if is_over else 2.2), "free edge", size))
    return items


def _outline(box: Box, broken: tuple[bool, bool, bool, bool]) -> list[Item]:
    """Draw round a part, with a zigzag where it is broken off: on its left, top, right, bottom."""
    if not any(broken):
        return [rectangle(box, LINE)]
    x0, y0, x1, y1 = box
    sides = (((x0, y0), (x0, y1)), ((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x0, y1), (x1, y1)))
    return [
        _broken_off(*side) if is_broken else line(*side, pen=LINE)
        for side, is_broken in zip(sides, broken, strict=True)
    ]


def _broken_off(start: Point, end: Point) -> Item:
    """A side with a zigzag in its middle."""
    (x0, y0), (x1, y1) = start, end
    off_x, off_y = (_ZIGZAG_MM, 0.0) if x0 == x1 else (0.0, _ZIGZAG_MM)
    turns = ((0.0, 0.0), (0.4, 0.0), (0.45, 1.0), (0.55, -1.0), (0.6, 0.0), (1.0, 0.0))
    places = [(x0 + share * (x1 - x0) + by * off_x, y0 + share * (y1 - y0) + by * off_y) for share, by in turns]
    return line(*places, pen=FINE)


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
            "Add weight until the free edge just begins to leave what it lies on, in the middle: write "
            "that weight down.",
            "Add more, for example to the pull of a deep breath. Weigh it. Read how far the edge stands off, its lift, "
            "with a ruler from the table, and how far apart the middle of one lap's line has gone from a thread "
            "stretched from closure to closure. The strokes are 1 mm from each other.",
            "Write down all four, with their units: told to the plan they replace what was estimated.",
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
