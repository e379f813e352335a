"""Ease: how much longer one of two lines that are sewn to one length is, between the places that are sewn level.

Terms: a *stretch* lies between two such places: the ends of the lines, a neck seam, and the pins of `match`. What is
longer within it is eased in within it: no stretch lends its length to the next.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM, format_length
from closures.placing.lap import square_across
from closures.placing.stand import SEAM
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.placing.lap import Laps
    from closures.placing.pins import Knots
    from closures.placing.placement import Placement
    from closures.plan.top import Units

# Edges whose lengths differ by more than this share are not sewn to one length: our own rule.
MOST_EASE = 0.03
# Notches are set to a millimetre on either lap, our own rule: on a short stretch no less than both can be refused, and
# no less than one is looked at.
_NOTCHES_MM, _NOTCH_MM = 2.0, 1.0
# Two lines that differ by more than either of these want a look: our own rule.
_LOOK_MM, _LOOK_SHARE = 3.0, 0.005
# Gaps of both laps that differ by less are told as one: our own rule.
_TOLD_MM = 0.5


@frozen
class Stretch:
    """A stretch of both lines, from one place where they are sewn level to the next.

    Attributes:
        begins, ends: what the places are called, such as "neck" and "pin 1"; pins are counted from the first end.
        from_mm, to_mm: where it begins and ends, along the over lap's line and along the under lap's.
        is_pinned: a pin of `match` bounds it.
    """

    begins: str
    ends: str
    from_mm: tuple[float, float]
    to_mm: tuple[float, float]
    is_pinned: bool = False

    @property
    def over_mm(self) -> float:
        """How long it is on the over lap."""
        return self.to_mm[0] - self.from_mm[0]

    @property
    def under_mm(self) -> float:
        """How long it is on the under lap."""
        return self.to_mm[1] - self.from_mm[1]

    @property
    def longer_mm(self) -> float:
        """How much longer it is on the under lap, negative where the over lap is the longer."""
        return self.under_mm - self.over_mm

    @property
    def longer_lap(self) -> str:
        """Which lap is the longer."""
        return "under" if self.longer_mm >= 0 else "over"

    @property
    def look_mm(self) -> float:
        """What it may differ by without a look."""
        limit = min(_LOOK_MM, _LOOK_SHARE * self.over_mm)
        return max(limit, _NOTCH_MM) if self.is_pinned else limit

    @property
    def can_be_eased(self) -> bool:
        """Whether one may be eased to the other's length, where a pin bounds it: whole lines have no allowance."""
        return abs(self.longer_mm) <= max(MOST_EASE * self.over_mm, _NOTCHES_MM) + SAME_MM

    @property
    def wants_a_look(self) -> bool:
        """Whether what is to be eased in is told as a look."""
        return abs(self.longer_mm) > self.look_mm + SAME_MM

    def differs_more_than(self, whole: Stretch) -> bool:
        """Whether more is to be eased in within it than both lines differ by from end to end."""
        return abs(self.longer_mm) > abs(whole.longer_mm) + SAME_MM

    def wants_a_look_beside(self, whole: Stretch) -> bool:
        """Whether it is told as a look where the whole lines want none: no pin makes less ease a thing to look at.

        Unless all of it falls on so short a stretch that it is more there than can be eased in of a long one.
        """
        is_short = abs(self.longer_mm) > MOST_EASE * self.over_mm + SAME_MM
        return self.wants_a_look and (not self.is_pinned or is_short or self.differs_more_than(whole))


def stretches_of(laps: Laps) -> tuple[Stretch, ...]:
    """The stretches between which two laps keep step, from the first end; empty where both have one line."""
    knots, seam_mm = laps.under.pins_mm, None if laps.under.stand is None else laps.under.stand.height_mm
    return _stretches(knots, laps.garment.ends, seam_mm)


def whole_of(stretches: tuple[Stretch, ...]) -> Stretch:
    """All stretches as one."""
    first, last = stretches[0], stretches[-1]
    return Stretch(first.begins, last.ends, first.from_mm, last.to_mm)


def between_marks(line: Placement) -> Stretch | None:
    """From the first mark of a line to its last, of those that both laps carry; None where fewer than two are."""
    both = [(mark.n, mark.over, mark.under) for mark in line.marks if mark.over is not None and mark.under is not None]
    if len(both) < 2:
        return None
    (n, over, under), (last, last_over, last_under) = both[0], both[-1]
    ends = ((over.along_mm, under.along_mm), (last_over.along_mm, last_under.along_mm))
    return Stretch(f"mark {n}", f"mark {last}", *ends)


def contrary_columns(row: Placement) -> tuple[Stretch, Stretch] | None:
    """The row and its second column, where one would have the under lap eased in and the other the over lap.

    On a curve that both laps are cut to alike either column lies near the edge of one lap and far in on the other:
    what is longer at the one is shorter at the other, and no lap is eased in and held at once. None where they agree.
    """
    if row.plan.column is None or not row.beside:
        return None
    near, far = between_marks(row), between_marks(row.beside[0])
    if near is None or far is None or near.longer_mm * far.longer_mm >= 0.0:
        return None
    return near, far


def refuse_pins(knots: Knots, ends: tuple[str, str], units: Units) -> None:
    """Refuse pins between which one lap would have to be eased in by more than cloth can be.

    Args:
        knots: the pins along both lines, and both ends of the lines last.
        ends: what the two ends of the lines are called.
        units: of the plan.

    Raises:
        EdgeError: naming the worst stretch.
    """
    if len(knots) < 2:
        return
    wrong = [one for one in _stretches(knots, ends) if not one.can_be_eased]
    if not wrong:
        return
    show = shown_beside(units)
    worst = max(wrong, key=lambda one: abs(one.longer_mm) / one.over_mm)
    raise EdgeError(
        f"from {worst.begins} to {worst.ends} the over lap is {show(worst.over_mm)} long and the under lap "
        f"{show(worst.under_mm)}: they differ by {too_much(abs(worst.longer_mm) / worst.over_mm)}, and no more "
        f"than {MOST_EASE:.0%} can be eased in",
        where=in_section("edge", "match"),
        mend="Pins are counted from the first end. Check that both notches of each pair are sewn level with each "
        "other, and stand on the right pieces: the over lap's first, then the under lap's.",
    )


def too_much(share: float) -> str:
    """Write a share that is more than can be eased in, with as many digits as show that it is more.

    >>> too_much(0.0304), too_much(0.052)
    ('3.04%', '5.2%')
    """
    most = f"{MOST_EASE:.6%}"
    return next(
        (text for n in range(1, 6) if float((text := f"{share:.{n}%}")[:-1]) > float(most[:-1])), f"{share:.6%}"
    )


def gaps_on_under(placement: Placement) -> tuple[float, ...]:
    """How long each gap of the row is on the under lap, in mm, where it has a line of its own; empty where not.

    Of edges that meet it is the gap plus what the under lap's finished edge is longer by there: their rows lie unlike
    far from the edges, and are of unlike lengths on a bend without anything to ease.
    """
    line, under = placement.laps.line, placement.laps.under
    if placement.strap is not None or not under.pins_mm:
        return ()
    rows = [mark.along_mm for mark in placement.marks]
    if under.facing is None:
        return tuple(b - a for a, b in pairwise([under.along(row) for row in rows]))
    over = [square_across(line.point_at(row), under.facing.edge) for row in rows]
    own = [square_across(under.at(row), under.facing.own) for row in rows]
    return tuple(
        (row - before) + (foot - last_foot) - (edge - last_edge)
        for (before, row), (last_foot, foot), (last_edge, edge) in zip(
            pairwise(rows), pairwise(own), pairwise(over), strict=True
        )
    )


def under_gaps_in_words(placement: Placement) -> tuple[str, ...]:
    """Tell the gaps of the under lap where pins make them others than those of the row; nothing where they do not."""
    under = gaps_on_under(placement)
    if not any(one.is_pinned for one in stretches_of(placement.laps)):
        return ()
    if all(abs(own - gap) < _TOLD_MM for own, gap in zip(under, placement.spacing.gaps_mm, strict=False)):
        return ()
    low, high = (format_length(mm, placement.plan.units) for mm in (min(under), max(under)))
    return (f"On the under lap, between its pins, the gaps are {low} to {high}.",)


def _stretches(knots: Knots, ends: tuple[str, str], seam_mm: float | None = None) -> tuple[Stretch, ...]:
    return tuple(_each(knots, ends, seam_mm))


def _each(knots: Knots, ends: tuple[str, str], seam_mm: float | None) -> Iterator[Stretch]:
    before, name, pin, was_pin = (0.0, 0.0), ends[0], 0, False
    for n, here in enumerate(knots, 1):
        is_last, is_seam = n == len(knots), n == 1 and seam_mm is not None
        is_pin = not is_last and not is_seam
        pin += is_pin
        called = ends[1] if is_last else SEAM if is_seam else f"pin {pin}"
        yield Stretch(name, called, before, here, is_pin or was_pin)
        before, name, was_pin = here, called, is_pin
