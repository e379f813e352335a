"""Is any gap of the row wider than was wished, or than is usual?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.checked import first_least
from closures.checks.finding import Finding
from closures.checks.garment import heavy_layer, may_be_a_coat
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.easing import gaps_on_under
from closures.placing.usual_gap import AGE_TOLD, BABYWEAR, FEW_WANTED, is_of_untold_age, usual_gap_key, widest_gap

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.placing.placement import Placement

_FAR_OVER = 2.0
"""Times the widest that is usual: a pitch over this may be meant in another unit; our own rule."""

_OURS = "our own rule"


def _against_gaping(checked: Checked, usually: str) -> str:
    if not FEW_WANTED & checked.placement.plan.profiles:
        return usually
    return "look at it on the wearer, and stiffen or widen the overlap before you add closures, since few are wanted"


@frozen
class _Widest:
    """How wide a gap may be.

    Attributes:
        limit_mm: the widest that is not told.
        source: where the limit comes from.
        told: what it is, after "wider than".
        fits: how a row that keeps it is told, after its largest gap.
        is_unwashed: it was told of cloth that is still to shrink, and the gaps on that cloth are held against it.
    """

    limit_mm: float
    source: str
    told: str
    fits: str
    is_unwashed: bool = False


def check_widest_gap(checked: Checked) -> list[Finding]:
    """Is any gap wider than was wished, or, where nothing was wished, than is usual?"""
    widest = _widest(checked)
    # On a bent edge of cloth that is still to shrink, no one figure of the worn garment is what was told.
    held = checked.placement if widest is None or not widest.is_unwashed else checked.marked or checked.placement
    gaps = held.spacing.gaps_mm
    if not gaps:
        return [_of_one(checked, held, widest)]
    place, largest = first_least(list(enumerate(gaps, 1)), lambda entry: -entry[1])
    if widest is None:
        text = f"The largest gap is {checked.show(largest)}; no limit is known for such an opening."
        return [Finding("widest gap", "pass", text, _OURS, None, place, largest, None)]
    limit, source, told = widest.limit_mm, widest.source, _told(checked, widest)
    wide: list[tuple[int, float, str | None]] = [
        (i, gap, None) for i, gap in enumerate(gaps, 1) if gap > limit + SAME_MM
    ]
    # What is longer on the under lap gapes as what is longer on the over lap does.
    wide += [
        (i, own, "under")
        for i, (gap, own) in enumerate(zip(gaps, gaps_on_under(held), strict=False), 1)
        if gap <= limit + SAME_MM < own - SAME_MM
    ]
    if not wide:
        text = f"The largest gap is {checked.show(largest)}; {widest.fits}."
        return [Finding("widest gap", "pass", text, source, None, place, largest, limit, "most")]
    more = _against_gaping(checked, "use more closures or fix one there")
    return [
        Finding(
            "widest gap",
            "warn",
            f"The gap to the next mark is {checked.show(gap)}{f' on the {lap} lap' if lap else ''}, wider than {told}. "
            f"It may gape under strain: {more}.",
            source,
            lap,
            i,
            gap,
            limit,
            "most",
        )
        for i, gap, lap in sorted(wide, key=lambda one: one[0])
    ]


def _told(checked: Checked, widest: _Widest) -> str:
    """The limit as it is told; what names its figure itself does not have it named again."""
    return widest.told if widest.told[0].isdigit() else f"{widest.told} ({checked.show(widest.limit_mm)})"


def _of_one(checked: Checked, held: Placement, widest: _Widest | None) -> Finding:
    """A row of one closure has no gap: it is looked at where it holds more alone than a gap may be."""
    length, at, show = held.laps.line.length_mm, held.marks[0].along_mm, checked.show
    first, last = held.ends
    sides = f"{show(at)} to the {first} and {show(length - at)} to the {last}"
    if widest is None or length <= widest.limit_mm + SAME_MM:
        text = f"There is only one closure, so there is no gap; beside it lie {sides}."
        source, limit = (_OURS, None) if widest is None else (widest.source, widest.limit_mm)
        return Finding("widest gap", "pass", text, source, None, 1, length, limit)
    if widest.source != "the plan" and held.plan.closure.halves == "turned":
        text = (
            f"There is only one closure, and it is hidden, behind what closes the rest of {show(length)}, "
            "which a plan of its own tells: the whole line is no gap of this one."
        )
        return Finding("widest gap", "pass", text, "geometry", None, 1, length, None)
    text = (
        f"There is only one closure, so there is no gap, and it alone holds a line of {show(length)}, longer than "
        f"{_told(checked, widest)}: {sides} lie beside it. If a row of another plan closes those, all is well. If "
        f"not, they may gape: {_against_gaping(checked, 'use more closures')}."
    )
    return Finding("widest gap", "warn", text, widest.source, None, 1, length, widest.limit_mm, "most")


def _widest(checked: Checked) -> _Widest | None:
    """The limit for a placement's gaps; None where none is known."""
    _, _, wish = checked.placement.plan.along_an_edge
    marked = checked.marked if checked.is_told_unwashed else None
    _, _, told = (marked or checked.placement).plan.along_an_edge
    if told.widest_mm is not None and not told.is_widest_usual:
        where = ", both on the unwashed cloth" if checked.is_told_unwashed else ""
        most = f"at most {checked.show(told.widest_mm)} is wanted{where}"
        return _Widest(told.widest_mm, "the plan", "is wished", most, checked.is_told_unwashed)
    usual = _usual_gap(checked)
    # Nothing lies behind hooks, and small sewn-on snaps hold little: where they stand far apart the edges part between
    # them, whatever pitch was asked for.
    kept = checked.fastener.family in ("hook", "loop", "sew-on snap") and not _is_worn_by_nobody(checked)
    if usual is None or wish.pitch_mm is None or wish.pitch_mm <= usual.limit_mm or kept:
        return usual
    far_mm = _FAR_OVER * usual.limit_mm
    if wish.pitch_mm > far_mm + SAME_MM:
        twice = (
            f"{checked.show(far_mm)}, twice the widest that is usual here. If the figure of pitch and its unit are the "
            "ones meant, write widest beside it"
        )
        return _Widest(far_mm, _OURS, twice, f"at most {checked.show(far_mm)} is wanted")
    # Who asks for a wider pitch has wished for it, and for no more than an even row departs from it.
    limit = wish.pitch_mm * (1 + checked.limit_mm("even departure"))
    pitch = checked.quote(wish.pitch_mm, told.pitch_mm)
    most = f"a pitch of {pitch} was asked for, and at most {checked.show(limit)} goes with it"
    return _Widest(limit, checked.source("even departure"), "goes with the pitch that was asked for", most)


def _is_worn_by_nobody(checked: Checked) -> bool:
    garment = checked.placement.plan.garment
    return garment is not None and not garment.is_worn


def _usual_gap(checked: Checked) -> _Widest | None:
    plan = checked.placement.plan
    if plan.gauge is not None and plan.spacing is not None:
        # No source tells how far apart the buttons of a cardigan may stand.
        return None
    widest = widest_gap(plan, checked.fastener, checked.catalogue)
    if widest is None:
        return None
    key = usual_gap_key(plan, checked.fastener, checked.catalogue)
    mm, source = widest.usual_mm, widest.source
    if widest.is_of_a_shirt:
        coat_mm, show = checked.limit_mm("gap, coat"), checked.show
        may_be_one = key == "gap, shirt front" and bool(may_be_a_coat(checked))
        heavy = heavy_layer(checked) if may_be_one else None
        if heavy is not None:
            told = f"is usual on a coat or a jacket, and {heavy.name} may be of one"
            fits = f"about {show(coat_mm)} is usual on a coat or a jacket, and {show(mm)} on a shirt"
            return _Widest(coat_mm * (1 + checked.limit_mm("even departure")), _OURS, told, fits)
        if may_be_one:
            told = "is usual on a shirt front, if it is no coat or jacket"
            return _Widest(mm, source, told, f"at most {show(mm)} is wanted, and about {show(coat_mm)} on a coat")
        return _Widest(mm, source, "is usual on a shirt front", f"at most {checked.show(mm)} is wanted")
    limit, text = widest.mm, widest.rule.text
    told = f"{checked.show(limit)}, half as much again as the {checked.show(mm)} that is usual ({text})"
    fits = f"about {checked.show(mm)} is usual ({text}), and what is over {checked.show(limit)} is looked at"
    if key == BABYWEAR and is_of_untold_age(plan):
        told, fits = (f"{words}; of an older child tell {AGE_TOLD}" for words in (told, fits))
    return _Widest(limit, source, told, fits)
