"""A lap as a long piece: what a join may not enter, how much room a part takes, and its drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, words_among
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED, along_x
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.join_places import LEAST_CLEAR_MM, OVERLAP_MM, Thing
from closures.drawing.paper.joins import JOIN_MARGIN_MM, RING_ARM_MM, spare_at_breaks, tight_joins
from closures.drawing.paper.parts import Part, Strip
from closures.drawing.paper.piece import SHEET_WORDS, LongPiece, Piece, piece_of
from closures.drawing.sheets.lap_drawing import draw_lap
from closures.drawing.sheets.lap_words import form_of, labels_mm, strip_rows
from closures.drawing.sheets.marks import Stand, draw_mark
from closures.drawing.sheets.spread import Spread
from closures.drawing.sheets.zones import beside_mm

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Point
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot, View
    from closures.placing.placement import LapMark

_END_MM = 5.6
_MARGIN_MM = 2.0
_LABEL_GAP_MM = 3.4
_ANCHOR_MM = 3.0
_BORDER_MM = 1.0
_LEAST_LAST_MM = 60.0
_NEARLY_MM = 8.0
"""By so much, and a little more, the room for a whole strip is reckoned too large at the most."""


def lap_piece(subject: Subject, may_break: bool = True, run: str = "") -> LongPiece:
    """Make a lap ready to be cut into parts.

    Args:
        subject: the lap.
        may_break: whether stretches that hold nothing may be left out.
        run: the run mark, to be lettered on every part.
    """
    subject = replace(subject, is_strip=True, known={})
    subject = replace(subject, form=form_of(subject, subject.view(UNTURNED)))
    spot = cache(subject.view(UNTURNED).spot_on_line)
    things = tuple(_things(subject))

    @cache
    def size_with(more_mm: float) -> tuple[Spread, Callable[[float, float], Point]]:
        """The room that a part takes, which is found once for all ways to hold a page."""
        growth = _label_growth_mm(subject, spot) + more_mm

        @cache
        def sides(along: float) -> tuple[Point, Point]:
            one = spot(along)
            margin = max(_MARGIN_MM, beside_mm(subject, one, along))
            return one.moved(0.0, -one.to_edge_mm - margin), one.moved(0.0, one.to_inner_mm + _MARGIN_MM + growth)

        spread = Spread(spot, sides, subject.length_mm, RING_ARM_MM + 0.6)
        return spread, cache(lambda low, high: _room_of(subject, spread, low, high))

    @cache
    def whole_mm() -> Point:
        """The room that the whole strip takes as it is drawn."""
        return draw(Part(0.0, subject.length_mm, "end", "end")).size_mm

    def strip_for(fits_page: Callable[[Point], bool], more_mm: float) -> Strip:
        spread, reckoned = size_with(more_mm)

        @cache
        def size(low: float, high: float) -> Point:
            width, height = reckoned(low, high)
            is_whole = low <= 0.0 and high >= subject.length_mm
            if is_whole and not fits_page((width, height)) and fits_page((width - _NEARLY_MM, height - _NEARLY_MM)):
                # A strip that may just fit is not cut for a few millimetres that were reckoned too many.
                return whole_mm()
            return width, height

        @cache
        def fits(low: float, high: float) -> bool:
            return not spread.is_too_long(fits_page, low, high) and fits_page(size(low, high))

        # Words came to stand far out, as they do beside a stub: the next try leaves none.
        least_last = _LEAST_LAST_MM if more_mm else 0.0
        spare = spare_at_breaks(subject.type.figure, _BORDER_MM)
        return Strip(subject.length_mm, things, size, fits, may_break, least_last, _zones(subject), spare)

    def draw(part: Part) -> Piece:
        return _draw(subject, spot, part, run, tight_joins(things, part))

    return LongPiece(subject.strip, strip_for, draw)


def _things(subject: Subject) -> list[Thing]:
    """Marks with their figures, anchors, and what is left of old closures."""
    # Room for figures as well, but between close marks they give way to the join: they are set after it.
    label = min(1.2 * subject.type.figure + 0.6, subject.closest_mm / 2 - LEAST_CLEAR_MM)
    feet = [subject.foot_mm(mark) for mark in subject.placement.all_on(subject.name)]
    things = [Thing(foot - label, foot + label) for foot in feet]
    things += [_ink_of(subject, mark) for mark in subject.placement.all_on(subject.name)]
    anchors = [subject.lap.along(anchor.along_mm) for anchor in subject.placement.anchors]
    things += [Thing(at - _ANCHOR_MM, at + _ANCHOR_MM) for at in anchors]
    if subject.swap is not None:
        old = subject.swap.old
        reach = max(old.fastener.rim_mm, 3.0)
        things += [Thing(at - reach, at + reach) for at in map(subject.lap.along, old.places_mm)]
        for hole in old.holes:
            if hole.lap == subject.name and hole.slit is not None:
                ends = [subject.lap.line.nearest(end).along_mm for end in hole.ends]
                things.append(Thing(min(ends) - 2.0, max(ends) + 2.0))
    return things


def _zones(subject: Subject) -> tuple[Thing, ...]:
    """From where to where clear zones reach along a lap."""
    along, length = subject.lap.along, subject.length_mm
    stretches = [stretch for zone in subject.placement.zones for stretch in zone.stretches_mm]
    return tuple(Thing(along(max(0.0, low)), min(length, along(high))) for low, high in stretches)


def _ink_of(subject: Subject, mark: LapMark) -> Thing:
    """From where to where along the line a mark's ink reaches, as joins square to that line would meet it."""
    x0, y0, x1, y1 = box_of(
        draw_mark(subject.name, 0, "", Stand(0.0, 0.0, (1.0, 0.0), (0.0, -1.0)), subject.look_at(mark.n))
    )
    ix, iy = subject.lap.inward(mark.tangent)
    stand = Stand(mark.x_mm, mark.y_mm, mark.tangent, (-ix, -iy))
    corners = (stand.at(u, -v) for u in (x0, x1) for v in (y0, y1))
    places = [subject.lap.line.nearest(corner).along_mm for corner in corners]
    return Thing(min(places), max(places))


def _label_growth_mm(subject: Subject, spot: Callable[[float], Spot]) -> float:
    """How far figures come to stand beyond the band, where they find no room on it."""
    marks = subject.placement.on(subject.name)
    if not marks:
        return 0.0
    width, height = labels_mm(subject, subject.view(UNTURNED))
    across, along = subject.reaches_mm
    across = max(subject.inward_at(mark.n) or across for mark in marks)
    inner = min(spot(mark.along_mm).to_inner_mm for mark in marks)
    above = across + 2.0 + height <= inner
    beside = height + 2.2 <= inner and subject.closest_mm >= 2 * along + width + 4.0
    crowded = subject.closest_mm < width + 2.0
    return (height if crowded else 0.0) if above or beside else height + 2.0


def _room_of(subject: Subject, spread: Spread, low: float, high: float) -> Point:
    """About how much room a part takes, lying along x: it is measured again when it is drawn."""
    length = subject.length_mm
    low, high = max(0.0, low), min(length, high)
    width, height = spread.size(low, high)
    # Larger letters reach further beyond an end, and beyond the overlap of a join.
    end = _END_MM + 0.9 * (subject.type.name - USUAL_TYPE.name)
    border = _BORDER_MM + 0.5 * (subject.type.figure - USUAL_TYPE.figure)
    ends = (end if low <= 0.0 else JOIN_MARGIN_MM) + (end if high >= length else border)
    return (width + ends, height + 2.0)


def _draw(subject: Subject, spot: Callable[[float], Spot], part: Part, run: str, tight: tuple[str, ...]) -> Piece:
    view = subject.view(along_x(spot(part.low_mm).at, spot(min(part.high_mm + OVERLAP_MM, subject.length_mm)).at))
    drawn = draw_lap(subject, view, part, strip_rows(subject, part, SHEET_WORDS, run))
    low_words, high_words = (both_ways(mm, subject.units)[0] for mm in (part.low_mm, part.high_mm))
    of = f" {part.number} of {part.count}" if part.count > 1 else ""
    text = f"{subject.strip.capitalize()} lap{of}, {low_words} to {high_words} along the closing line."
    return piece_of(
        f"{subject.strip}{of}",
        drawn.items,
        text,
        lap=subject.name,
        strip=subject.strip,
        number=part.number,
        count=part.count,
        letters=tuple(letter for letter in (part.letter_before, part.letter_after) if letter),
        along_mm=(part.low_mm, part.high_mm),
        tight=tight,
        breaks="break" in (part.before, part.after),
        breaks_off=part.after == "break" and part.number == part.count,
        cut_off=()
        if subject.is_cut_off or subject.whole_lap.past_edge_mm
        else _past_the_edge(subject, view, drawn.items),
    )


def _past_the_edge(subject: Subject, view: View, items: Sequence[Item]) -> tuple[str, ...]:
    """Name the numbers of marks, the lap's name and its face that stand outside the finished edge."""
    numbers, names = set[int](), dict[str, None]()
    spots = {str(mark.n): view.spot_of(mark) for mark in subject.placement.all_on(subject.name)}
    for words in words_among(items):
        if words.weight != "bold":
            continue
        x0, y0, x1, y1 = box_of(words)
        at = ((x0 + x1) / 2, (y0 + y1) / 2)
        spot = spots.get(words.text) or view.spot_nearest(at)
        deep = (at[0] - spot.at[0]) * spot.inward[0] + (at[1] - spot.at[1]) * spot.inward[1]
        if deep > -spot.to_edge_mm:
            continue
        if words.text in spots:
            numbers.add(int(words.text))
        elif "face up" in words.text or words.text.startswith(subject.name.upper()):
            names["which face is up" if "LAP" not in words.text else "its name"] = None
    told = ", ".join(map(str, sorted(numbers)))
    return ((f"number{'s' if len(numbers) > 1 else ''} {told}",) if numbers else ()) + tuple(names)
