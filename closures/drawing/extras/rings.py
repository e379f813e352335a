"""The body's rings and the garment's rings at each level, side by side: does the body get in."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import wrapped
from closures.drawing.ink.shapes import CUT, FINE, HEAVY, Circle, Words, line
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Chapter, ChapterPart, Picture, Section
from closures.jobs.gape.getting_in import judge_way_in

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Weight
    from closures.jobs.gape.getting_in import WayIn
    from closures.jobs.gape.way_in import Passage, Ring
    from closures.placing.placement import Placement

_ROOM_MM = 26.0
_TEXT_MM = USUAL_TYPE.figure
_WIDE_MM = 88.0


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    """Draw each ring of the garment with the ring of the body that must pass it; none where nothing is asked."""
    way_in = judge_way_in(drawn.placement.as_told)
    if way_in is None:
        return ()
    parts: list[ChapterPart] = [Section("Does the body get in", _told(way_in))]
    parts += _ring_pictures(drawn.placement, way_in)
    parts += [_other_picture(drawn.placement, one.passage) for one in way_in.found if one.passage.rule == 5]
    return (Chapter("Will it go on: rings of the body and of the closed garment", tuple(parts)),)


def _told(way_in: WayIn) -> tuple[str, ...]:
    words = {"pass": "Good", "warn": "Look", "fail": "FAIL"}
    how = "" if way_in.way is None else f" Rings are drawn for putting it on {way_in.way}."
    first = "A whole line is the garment, a broken one the body with its ease, all to one scale and as if round."
    return (first + how, *(f"{words[one.passage.result]}: {one.text}" for one in way_in.found))


def _ring_pictures(placement: Placement, way_in: WayIn) -> list[Picture]:
    judged = next((one.passage for one in way_in.found if one.passage.rule in (2, 3)), None)
    if judged is None:
        return []
    widest = max(judged.needs_mm, *(ring.round_mm for ring in way_in.rings))
    return [
        _ring_picture(placement, ring, judged, _ROOM_MM / 2 / (widest / (2 * math.pi)), _is_open(way_in, ring))
        for ring in sorted(way_in.rings, key=lambda ring: ring.at_mm)
    ]


def _is_open(way_in: WayIn, ring: Ring) -> bool:
    return any(stretch.from_mm < ring.at_mm < stretch.to_mm for stretch in way_in.opened)


def _ring_picture(placement: Placement, ring: Ring, judged: Passage, scale: float, is_open: bool) -> Picture:
    units = placement.plan.units
    items = _pair(ring.round_mm, judged.needs_mm, scale)
    show = both_ways(ring.round_mm, units)[0]
    level = both_ways(ring.at_mm, units)[0]
    needs = both_ways(judged.needs_mm, units)[0]
    if is_open:
        verdict = "open while it is put on: it need not pass"
    elif ring.round_mm >= judged.needs_mm:
        verdict = "stays closed, and passes"
    else:
        verdict = f"stays closed, and lacks {both_ways(judged.needs_mm - ring.round_mm, units)[0]}"
    lines = (
        f"{ring.name}, at the level {level}",
        f"closed, the garment measures {show}",
        f"the body needs {needs}",
        verdict,
    )
    return _with_words(items, lines)


def _other_picture(placement: Placement, passage: Passage) -> Picture:
    units = placement.plan.units
    scale = _ROOM_MM / 2 / (max(passage.has_mm, passage.needs_mm) / (2 * math.pi))
    lacking = passage.needs_mm - passage.has_mm
    verdict = "passes" if lacking <= 0 else f"lacks {both_ways(lacking, units)[0]}"
    lines = (
        passage.what,
        f"closed, the garment measures {both_ways(passage.has_mm, units)[0]}",
        f"the body needs {both_ways(passage.needs_mm, units)[0]}",
        verdict,
    )
    return _with_words(_pair(passage.has_mm, passage.needs_mm, scale), lines)


def _pair(garment_mm: float, body_mm: float, scale: float) -> list[Item]:
    middle = _ROOM_MM / 2
    garment, body = (round_mm / (2 * math.pi) * scale for round_mm in (garment_mm, body_mm))
    return [Circle(middle, middle, garment, HEAVY), Circle(middle, middle, body, CUT)]


def _with_words(items: list[Item], lines: tuple[str, ...]) -> Picture:
    x, y = _ROOM_MM + 4.0, 0.0
    words: list[Item] = []
    for n, text in enumerate(lines):
        weight: Weight = "semibold" if n in (0, len(lines) - 1) else "regular"
        for row in wrapped(text, _TEXT_MM, _WIDE_MM - x, weight):
            y += 1.26 * _TEXT_MM
            words.append(Words(x, y, row, _TEXT_MM, "start", 0.0, weight))
    height = max(_ROOM_MM, y) + 2.0
    rule = line((0.0, height), (_WIDE_MM, height), pen=FINE)
    return Picture((*items, *words, rule), (_WIDE_MM, height), "; ".join(lines))


EXTRA = Extra(
    "way-in", "rings of the body and of the garment, level by level", 29, *switched("way_in"), chapters=_chapters
)
