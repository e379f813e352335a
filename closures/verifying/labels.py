"""Whose number it is: every number of a mark must belong to that mark, by a leader that ends at it or by nearness."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import takewhile

from closures.frozen import frozen
from closures.verifying.measured import Point
from closures.verifying.page_read import Lettered, Stroke

_AT_WORDS_MM = 2.3
"""How far a leader ends from the words that it comes from."""
_ONE_PLACE_MM = 0.05
"""Marks of two columns may fall on one place: what is nearest to one is so to both."""
_LEADER_POINTS = (2, 3)

Box = tuple[float, float, float, float]


@frozen
class Label:
    """Words on a part.

    Attributes:
        text: what they say.
        box: round their capitals: left, top, right, bottom.
        height_mm: of their letters, 0 where they are outlines.
        line: the line that was drawn just before them, empty where none was, or none that could be a leader.
        layer: the name of their layer.
        starts, ends: where the first of their capitals stands on its line, and where the last ends.
        onward: which way one reads on, of length 1; 0 where they are outlines.
    """

    text: str
    box: Box
    height_mm: float
    line: tuple[complex, ...]
    layer: str
    starts: complex
    ends: complex
    onward: complex

    @property
    def middle(self) -> complex:
        """The middle of the words."""
        x0, y0, x1, y1 = self.box
        return complex((x0 + x1) / 2, (y0 + y1) / 2)


def label_of(words: Lettered, true: Callable[[Point], complex]) -> Label:
    """Put words where the printer puts them."""
    places = [true(corner) for corner in words.corners]
    xs, ys = [place.real for place in places], [place.imag for place in places]
    line = tuple(true(point) for point in _leader(words.stroke))
    box = (min(xs), min(ys), max(xs), max(ys))
    onward = places[1] - places[0] if len(places) > 1 else 0j
    ends = places[1] if len(places) > 1 else places[0]
    return Label(words.text, box, words.height_mm, line, words.layer, places[0], ends, onward / (abs(onward) or 1.0))


def _leader(stroke: Stroke | None) -> tuple[Point, ...]:
    """The points of a line that could be a leader."""
    if stroke is None or stroke.is_dashed or stroke.is_closed or len(stroke.points) not in _LEADER_POINTS:
        return ()
    return stroke.points


def is_number_of(n: int, at: complex, labels: Sequence[Label], marks: Sequence[complex], size: str = "") -> bool:
    """Tell whether a mark's number stands where it can only be that mark's.

    Args:
        n: the number.
        at: where the mark is.
        labels: all words of the part, in the order in which they are drawn.
        marks: where all marks of the part are.
        size: of the mark, where sizes lie on each other; its number is followed by its size.
    """
    others = [mark for mark in marks if abs(mark - at) > _ONE_PLACE_MM]
    own = [k for k, label in enumerate(labels) if label.text == str(n)]
    if size:
        own = [k for k in own if labels[k].layer == size and [one.text for one in labels[k + 1 : k + 2]] == [size]]
        return any(labels[k].line and _is_nearest(labels[k].line[0], at, others) for k in own)
    # Smaller figures of the same words may stand on the part for something else.
    tallest = max((labels[k].height_mm for k in own), default=0.0)
    return any(_belongs(k, at, labels, others) for k in own if labels[k].height_mm >= tallest - 1e-6)


def _belongs(k: int, at: complex, labels: Sequence[Label], others: Sequence[complex]) -> bool:
    label = labels[k]
    if label.line and _off(_block(k, labels), label.line[-1]) <= _AT_WORDS_MM:
        return _is_nearest(label.line[0], at, others)
    return _is_nearest(label.middle, at, others)


def _block(k: int, labels: Sequence[Label]) -> Box:
    """A number with the lines of small type that stand beside it and begin below each other, however turned."""
    rows = list(takewhile(lambda one: not one.text.isdigit() and not one.line, labels[k + 1 : k + 6]))
    boxes = [labels[k].box, *(one.box for one in rows if _is_below(one, rows[0]))]
    left, top, right, bottom = zip(*boxes, strict=True)
    return (min(left), min(top), max(right), max(bottom))


def _is_below(one: Label, first: Label) -> bool:
    """Tell whether words begin or end where the line of words above them does, or have one middle with it."""
    apart = [one.starts - first.starts, one.ends - first.ends]
    apart.append((apart[0] + apart[1]) / 2)
    return first.onward != 0 and any(abs((by * first.onward.conjugate()).real) < _ONE_PLACE_MM for by in apart)


def _is_nearest(place: complex, at: complex, others: Sequence[complex]) -> bool:
    return all(abs(place - at) < abs(place - other) for other in others)


def _off(box: Box, at: complex) -> float:
    return math.hypot(max(box[0] - at.real, at.real - box[2], 0.0), max(box[1] - at.imag, at.imag - box[3], 0.0))
