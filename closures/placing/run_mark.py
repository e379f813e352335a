"""The run mark: a short word made from what a plan came to. Equal marks, equal holes.

Made from what is drawn on cloth: where every centre lies on its lap, which closure, what goes into the cloth there, and
the finished edge that a template is laid on. Words, paper and the face of the sheets have no part in it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from hashlib import sha256
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.placing.placement import Placement

# No vowel, so that no word comes of it, and nothing that is read as something else in poor print.
_SIGNS = "23456789BCDFGHJKMNPQRTVWXZ"
_COUNT = 6
# To this, places are told apart: a fifth of what two prints of one page may differ by.
_STEP_MM = 0.01
_POINTS_ON_EDGE = 16

MARK_FORM = re.compile(rf"\b[{_SIGNS}]{{3}}-[{_SIGNS}]{{3}}\b")
"""How a run mark looks in a text."""


def run_mark(placement: Placement) -> str:
    """Make the run mark of a placement, such as "K7Q-M3X"."""
    # What is drawn for a part of the row belongs to the sheets of the whole.
    placement = placement.row
    told: list[object] = []
    for lap in placement.laps.both:
        told += [lap.name, lap.side, _curve(lap.edge)]
        told += [(mark.n, _steps(mark.x_mm), _steps(mark.y_mm)) for mark in placement.all_on(lap.name)]
    for share in placement.shares:
        told += [sorted(mark.n for mark in share.marks), _closure(share)]
    told.append(sorted(placement.sewn_apart))
    strap = placement.strap
    if strap is not None:
        told += [_steps(strap.finished_mm), _steps(strap.width_mm)]
    return _word("|".join(map(repr, told)))


def joint_mark(marks: Sequence[str]) -> str:
    """Make the run mark of a set of several sizes or openings from theirs."""
    return marks[0] if len(marks) == 1 else _word("|".join(marks))


def marks_in(content: bytes) -> tuple[str, ...]:
    """Find the run marks that a file bears, in order, each once: after the word "run", or under it in a table."""
    text = content.decode("utf-8", "ignore")
    named = re.compile(rf'(?i:\brun(?: mark)?)["\s:*,]+({MARK_FORM.pattern})')
    # A table names its column once, in its first line.
    is_table = text.partition("\n")[0].rstrip().endswith(",run")
    return tuple(dict.fromkeys((MARK_FORM if is_table else named).findall(text)))


def _word(text: str) -> str:
    number = int.from_bytes(sha256(text.encode()).digest()[:8])
    signs = ""
    for _ in range(_COUNT):
        number, k = divmod(number, len(_SIGNS))
        signs += _SIGNS[k]
    return f"{signs[: _COUNT // 2]}-{signs[_COUNT // 2 :]}"


def _steps(mm: float) -> int:
    return round(mm / _STEP_MM)


def _curve(curve: Curve) -> tuple[int, ...]:
    length = curve.length_mm
    points = (curve.point_at(length * k / _POINTS_ON_EDGE) for k in range(_POINTS_ON_EDGE + 1))
    return (_steps(length), *(_steps(side) for point in points for side in point))


def _closure(placement: Placement) -> str:
    """What is set, and the measures that its hole, slit or buttonhole is worked out from."""
    fastener, plan = placement.fastener, placement.plan
    hole = fastener.hole
    parts: list[object] = [fastener.kind, fastener.size, plan.closure.halves]
    parts.append(_steps(fastener.cap_mm) if fastener.cap else None)
    if hole is not None:
        parts += [hole.way, None if hole.diameter is None else _steps(hole.diameter.value)]
    if fastener.mark.buttonhole_lap is not None:
        thickness = fastener.thickness
        parts += [plan.closure.hole, None if thickness is None else [_steps(end.value) for end in thickness]]
        parts += [repr(layer) for layer in plan.layers]
        parts.append(repr(plan.shrinkage))
    return repr(parts)
