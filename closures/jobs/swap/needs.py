"""What the new closures need of each lap against what it has, and which pieces must grow.

Terms: a lap's *reach* is how far it goes past the closing line, from the centres to its finished edge;
*behind* is the rest of the band, from the centres to where it is sewn on.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement

# The floors in print, least first; kept side by side because they differ.
_FLOORS = ("edge floor, half the diameter", "edge floor, three quarters", "edge floor, whole diameter")


@frozen
class Floor:
    """One rule on how far a lap must reach past its closing line.

    Attributes:
        text: the rule.
        mm: what it asks of this closure.
        source: where it comes from.
        is_met: whether the lap has so much.
    """

    text: str
    mm: float
    source: str
    is_met: bool


@frozen
class LapNeed:
    """One lap against the new closure, in mm.

    Attributes:
        lap: which.
        pieces: the pattern pieces that make it.
        have_mm: the least distance from a centre to its finished edge.
        need_mm: what is usual; under it the tool warns.
        least_mm: what a closure can hang on with; under it the tool fails it.
        floors: every rule, with its source.
        behind_have_mm, behind_need_mm: from the centres to the inner line of the band, likewise.
    """

    lap: LapName
    pieces: str
    have_mm: float
    need_mm: float
    least_mm: float
    floors: tuple[Floor, ...]
    behind_have_mm: float
    behind_need_mm: float

    @property
    def grow_mm(self) -> float:
        """How much further the lap must reach; 0 where it is wide enough."""
        lacking = self.need_mm - self.have_mm
        return lacking if lacking > SAME_MM else 0.0

    @property
    def widen_mm(self) -> float:
        """How much wider the band must be behind its closing line."""
        lacking = self.behind_need_mm - self.behind_have_mm
        return lacking if lacking > SAME_MM else 0.0


def lap_needs(placement: Placement, catalogue: Catalogue) -> tuple[LapNeed, ...]:
    """Hold both laps against the new closure.

    Half the width and 1/4 in past the line: Association of Sewing and Design Professionals, garment
    standards. The other floors in print are given beside it.

    Args:
        placement: any row of the new closures on this closing line.
        catalogue: the rules.

    Returns:
        The over lap, then the under lap; a lap on which no part is set is left out.
    """
    rim, cap = placement.fastener.rim_mm, placement.fastener.cap_mm
    if placement.fastener.family == "hook":
        rules = [("hook from edge", catalogue.rule("hook from edge").value.value)]
    else:
        rules = [(key, rim + catalogue.rule(key).value.value) for key in ("edge warn extra", "edge fail extra")]
        rules += [(key, cap * catalogue.rule(key).value.value) for key in _FLOORS]
    behind = 0.0 if placement.fastener.family == "hook" else rim + catalogue.rule("ridge").value.value
    needs = []
    for lap in placement.laps.both:
        carried = [on for mark in placement.new_marks if (on := mark.on(lap.name)) is not None]
        if not carried:
            continue
        have = min(on.edge_distance_mm for on in carried)
        inner = [
            lap.width_mm - on.edge_distance_mm if on.inner_distance_mm is None else on.inner_distance_mm
            for on in carried
        ]
        floors = tuple(
            Floor(catalogue.rule(key).text, mm, catalogue.rule(key).value.provenance.text, have >= mm - SAME_MM)
            for key, mm in rules
        )
        least = rules[1][1] if len(rules) > 1 else rules[0][1]
        needs.append(
            LapNeed(
                lap.name,
                _pieces(lap.name, placement.laps.garment.piece(lap.name)),
                have,
                rules[0][1],
                least,
                floors,
                min(inner),
                behind,
            )
        )
    return tuple(needs)


def _pieces(lap: LapName, piece: str) -> str:
    if lap == "over":
        return f"the {piece}, its band and its facing"
    return f"the {piece}'s underlap, its band and its facing"


def needs_in_words(need: LapNeed, made: bool, units: str = "mm") -> str:
    """Say in a sentence or two whether a lap is wide enough, and what must grow."""
    show = shown_beside(units)
    text = (
        f"The {need.lap} lap reaches {show(need.have_mm)} past the closing line; "
        f"{show(need.need_mm)} is usual for this closure and {show(need.least_mm)} the least."
    )
    if need.have_mm < need.least_mm - SAME_MM:
        how = "sew a strip on, as the cloth cannot grow," if made else "cut them wider"
        text += f" It must grow by {show(need.grow_mm)}: {need.pieces} ({how} at the finished edge)."
    elif need.grow_mm:
        # Nobody sews strips on to a finished front for what is usual alone.
        more = (
            "a smaller closure would have what is usual"
            if made
            else f"cut wider by {show(need.grow_mm)}, {need.pieces} have it"
        )
        text += f" It is less than is usual, and no less than it must be: {more}."
    if need.widen_mm:
        text += f" Behind the line the band must be {show(need.widen_mm)} wider: {need.pieces}."
    if not need.grow_mm and not need.widen_mm:
        text += " It is wide enough."
    return text
