"""Is a lace long enough to be tied, and longer than that, to let its wearer in?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.placing.lacing import HELD_MM, TIED_MM, lace_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.checks.checked import Checked
    from closures.placing.lacing import Lace
    from closures.plan.lacing import LacingWish

_MOST_APART_MM = 200.0
"""Between edges that a lace draws together: our own rule."""

_MOST_TIED_MM = 1500.0
"""Of a lace at either end to tie, once round a waist and into a bow: our own rule."""


def check_lace(checked: Checked) -> list[Finding]:
    """Is more left of the lace at either end, as it is worn, than the plan tells to tie?"""
    lace, wish = lace_of(checked.placement), checked.placement.plan.lacing
    if lace is None or wish is None:
        return []
    return [*_far_apart(checked), *_long_ends(checked, wish), *_to_tie(checked, lace, wish)]


def _far_apart(checked: Checked) -> Iterator[Finding]:
    garment = checked.placement.plan.garment
    most = 0.0 if garment is None else max(garment.gap_mm, garment.gap_last_mm or 0.0)
    yield from _beyond(
        most,
        _MOST_APART_MM,
        f"The laced edges are told to stand {checked.show(most)} apart as they are worn, and more than "
        f"{checked.show(_MOST_APART_MM)} is seldom laced over. Look at gap and gap_last under [garment] and their "
        "unit: the length of the lace hangs on them. How far they stand to get in is let_out under [lacing].",
    )


def _long_ends(checked: Checked, wish: LacingWish) -> Iterator[Finding]:
    tied = wish.tied_mm or 0.0
    yield from _beyond(
        tied,
        _MOST_TIED_MM,
        f"{checked.show(tied)} of the lace are told to tie at either end, and more than "
        f"{checked.show(_MOST_TIED_MM)} are seldom left there: somebody treads on them or is caught. Look at tied "
        "under [lacing] and its unit; the edges that stand apart to get in are let_out.",
    )


def _beyond(mm: float, most_mm: float, text: str) -> Iterator[Finding]:
    if mm > most_mm + SAME_MM:
        yield Finding("lace", "warn", text, "our own rule", None, None, mm, most_mm, "most")


def _to_tie(checked: Checked, lace: Lace, wish: LacingWish) -> list[Finding]:
    left = (lace.cut_mm - lace.worn_mm) / 2
    cut, show = checked.show_up(lace.cut_mm), checked.show
    if left < HELD_MM - SAME_MM:
        text = (
            f"The lace is cut to {cut}, and {show(left)} of it are left at either end as it is worn: too little to "
            f"tie, or to hold it by, for which {show(HELD_MM)} are reckoned. A bow takes about {show(TIED_MM)}: write "
            "that as tied under [lacing], or leave tied out."
        )
        return [Finding("lace", "warn", text, "our own rule", None, None, left, HELD_MM, "least")]
    if not lace.is_cut_to_open or lace.let_out_mm is None:
        if left < TIED_MM - SAME_MM:
            text = (
                f"The lace is cut to {cut}: {show(lace.tied_mm)} at either end are there to tie, as is told; a bow "
                f"takes about {show(TIED_MM)}."
            )
            return [Finding("lace", "pass", text, "our own rule")]
        text = f"The lace is cut to {cut}: {show(lace.tied_mm)} at either end are there to tie, as is told or usual."
        return [Finding("lace", "pass", text, "geometry")]
    told = "is told" if wish.tied_mm is not None else "is usual"
    text = (
        f"To stand {show(lace.let_out_mm)} apart for the wearer to get in, the lace is cut to {cut}, and as it is worn "
        f"{show(left)} hang at either end, where {show(lace.tied_mm)} to tie {told}. Tie or tuck them so that nobody "
        "treads on them or is caught; or leave let_out out under [lacing], and lace it anew each time."
    )
    return [Finding("lace", "warn", text, "geometry", None, None, left, lace.tied_mm, "most")]
