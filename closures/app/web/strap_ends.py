"""Both ends of a strap in the picture, each up to a break behind its row: what goes on round the body is not drawn.

Terms: a *break* is the zigzag at which a drawing of something long leaves out its middle.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from closures.app.web.ink import path_data, through
from closures.app.web.met import worn_laps
from closures.lengths import format_length

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.placing.lap import Laps
    from closures.placing.placement import Placement
    from closures.placing.tip import Tip

# A closed strap is shown so far past its row, in widths. Our own rule.
_WIDTHS = 1.5
# Of what lies between both rows each end has this share at most, so that no cloth is drawn twice. Our own rule.
_SHARE = 0.4
# How deep a break's zigzag is, in widths, and how many teeth it has. Our own rule.
_TOOTH, _TEETH = 0.12, 3


@lru_cache(maxsize=16)
def past_mm(laps: Laps) -> float:
    """How far either end of a closed strap is shown past its row, in mm."""
    return min(_WIDTHS * laps.over.width_mm, max(0.0, _SHARE * _between_rows_mm(laps)))


@lru_cache(maxsize=16)
def left_out_mm(laps: Laps) -> float:
    """How much of a strap lies between both breaks, in mm; 0 where nothing is left out."""
    return max(0.0, _between_rows_mm(laps) - 2 * past_mm(laps))


def left_out_in_words(placement: Placement) -> str:
    """Name what of a strap is left out between both breaks, as "420 mm of the belt"."""
    left = left_out_mm(worn_laps(placement))
    piece = "strap" if placement.strap is None else placement.strap.piece
    return f"{format_length(left, placement.plan.units)} of the {piece}" if left else f"the rest of the {piece}"


def break_mm(laps: Laps) -> float:
    """How far the teeth of a break reach past it, in mm."""
    return _TOOTH * laps.over.width_mm


def end_cloth(tip: Tip, laps: Laps) -> str:
    """An end's cloth from its tip to the break, as path data."""
    zigzag = through(_zigzag(tip, laps))
    return f"{end_edge(tip, laps)}L{zigzag[1:]}Z"


def end_edge(tip: Tip, laps: Laps) -> str:
    """An end's finished edge, from the break round the tip and back to it, as path data."""
    last, *_, first = _zigzag(tip, laps)
    return f"{through((first,))}L{path_data(tip.end.path())[1:]}L{through((last,))[1:]}"


def end_break(tip: Tip, laps: Laps) -> str:
    """The zigzag at which an end is broken off, as path data."""
    return through(_zigzag(tip, laps))


def _between_rows_mm(laps: Laps) -> float:
    """How much of a strap lies beyond the row of either end, in mm."""
    over, under = laps.over.tip, laps.under.tip
    if over is None or under is None:
        return 0.0
    long = over.distance_to(laps.over.edge.point_at(0.0))
    return long - _row_mm(over, laps) - _row_mm(under, laps)


def _row_mm(tip: Tip, laps: Laps) -> float:
    """How far the row reaches along an end, from its tip."""
    return max(tip.distance_to(laps.line.point_at(along)) for along in (0.0, laps.line.length_mm))


def _zigzag(tip: Tip, laps: Laps) -> list[Point]:
    """A break from the lower long side to the upper one."""
    (x, y), way, half = tip.at, tip.inwards[0], tip.half_mm
    far, steps = x + way * (_row_mm(tip, laps) + past_mm(laps)), 2 * _TEETH
    tooth = way * break_mm(laps)
    return [(far + (tooth if n % 2 else 0.0), y + half - 2 * half * n / steps) for n in range(steps + 1)]
