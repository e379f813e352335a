"""The look of the row: whether its gaps are alike, what forces the one that is not, and what would end that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.offered import STEP_MM
from closures.placing.easing import gaps_on_under
from closures.placing.told_pitch import misses_pitch
from closures.spacing.wish import scaled

if TYPE_CHECKING:
    from closures.checks.checked import Checked

_KEPT = ("anchor", "clear")
"""Places that a plan tells beside its gaps: what holds a row at them is no mere length that is shared out; geometry."""


def check_evenness(checked: Checked) -> list[Finding]:
    """Can the row look even, and if not, what forces it?"""
    placement = checked.placement
    wish = placement.spacing.wish
    places = placement.spacing.positions_mm
    if wish is None or len(places) < 2 or _is_uneven_on_purpose(checked):
        return []
    from closures.spacing.forced import forced_stretch, looks_even, unlike_by, what_would_end_it

    # A row is as even unwashed as it is worn: it is told in the plan's own figures, which its cures change.
    by = checked.told_along
    wish, places = scaled(wish, by), tuple(place * by for place in places)
    unwashed = " These are lengths of the unwashed cloth, as the plan tells them." if checked.is_told_unwashed else ""
    forced = forced_stretch(wish, places, checked.show)
    found = abs(forced.gap_mm - forced.wanted_mm)
    limit, source = wish.even_departure * forced.wanted_mm, checked.source("even departure")
    wanted = f"the {checked.show(forced.wanted_mm)} wanted" if wish.pitch_mm else "the mean of all gaps"
    if looks_even(wish, places):
        if (uneven := _uneven_on_under(checked, forced.wanted_mm, limit, wanted)) is not None:
            return [uneven]
        missed = checked.limit_mm("pitch missed")
        is_kept = any(kind in _KEPT for kind, _ in forced.rules)
        told = placement.plan.spacing
        if wish.pitch_mm and is_kept and misses_pitch(forced.gap_mm, wish.pitch_mm, told, checked.catalogue):
            text = (
                f"The row looks even, and yet its gaps are up to {checked.show(found)} off {wanted}, "
                f"{found / wish.pitch_mm:.0%}. What holds it there: {'; '.join(forced.holds)}. Look whether that place "
                f"or the gap counts for more.{unwashed}"
            )
            source, limit = checked.source("pitch missed"), missed * wish.pitch_mm
            return [Finding("evenness", "warn", text, source, None, forced.first + 1, found, limit, "most")]
        text = f"The row looks even: no gap is further than {checked.show(found)} from {wanted}.{unwashed}"
        return [Finding("evenness", "pass", text, source, None, None, found, limit, "most")]
    gaps = forced.last - forced.first
    many = f"there are {gaps} gaps of" if gaps > 1 else "there is a gap of"
    text = (
        f"The row cannot look even: from mark {forced.first + 1} to {forced.last + 1} {many} "
        f"{checked.show(forced.gap_mm)}, not {wanted}."
    )
    within = "of that"
    if found <= limit + SAME_MM:
        # No gap is too far from the one wanted: they are too unlike each other.
        found, limit = unlike_by(places), wish.even_spread * forced.wanted_mm
        within = "between the widest and the narrowest"
        text += (
            f" The widest gap and the narrowest differ by {checked.show(found)}, and {checked.show(limit)} is the most."
        )
    if forced.holds:
        text += f" What forces it: {'; '.join(forced.holds)}."
    if placement.plan.stripe is not None or placement.plan.gauge is not None:
        # A cure is tried on a row that may lie anywhere: what it would do on repeats, or on whole rows, is not known.
        return [Finding("evenness", "warn", text + unwashed, source, None, forced.first + 1, found, limit, "most")]
    step_mm = STEP_MM[placement.plan.units]
    cures = tuple(what_would_end_it(wish, forced, checked.show, step_mm))
    if cures:
        text += f" Any one of these would just bring it within {checked.show(limit)} {within}: {'; '.join(cures)}."
    else:
        text += " No single change of these ends it."
    text += unwashed
    return [Finding("evenness", "warn", text, source, None, forced.first + 1, found, limit, "most")]


def _uneven_on_under(checked: Checked, wanted_mm: float, limit_mm: float, wanted: str) -> Finding | None:
    """What pins make of a row that is even on the over lap alone."""
    off = [(abs(gap * checked.told_along - wanted_mm), n) for n, gap in enumerate(gaps_on_under(checked.placement), 1)]
    found, n = max(off, default=(0.0, 1), key=lambda one: one[0])
    if found <= limit_mm + SAME_MM:
        return None
    text = (
        f"The row looks even on the over lap, but not on the under lap: from mark {n} to {n + 1} the gap there is "
        f"{checked.show(found)} off {wanted}. The pins of match carry it so: check that both stand at the right notch."
    )
    return Finding("evenness", "warn", text, checked.source("even departure"), "under", n, found, limit_mm, "most")


def _is_uneven_on_purpose(checked: Checked) -> bool:
    """Tell whether the plan itself asks for gaps that differ."""
    plan = checked.placement.plan
    calm = plan.spacing is not None and plan.spacing.aim == "calm"
    # What takes the place of old closures keeps to their places, and its offers weigh the gaps themselves.
    return calm or plan.swap is not None or (plan.sheets is not None and plan.sheets.closing == "wide gap")
