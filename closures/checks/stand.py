"""Is a collar stand as high as its closure needs, and no higher than one is?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.checked import Checked, Limits, judge_least
from closures.checks.finding import Finding, Result
from closures.lengths import SAME_MM
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from collections.abc import Iterator


def check_stand(checked: Checked) -> list[Finding]:
    """Is a collar stand high enough for its closure, with cloth above and below it?"""
    stand, placement = checked.placement.plan.stand, checked.placement
    if stand is None:
        return []
    share = placement.share_of(1)
    hole = buttonhole_for(share.fastener, share.plan, checked.catalogue)
    reach = share.fastener.rim_mm
    if hole is not None and hole.way == "along":
        reach = max(reach, hole.before_mm, hole.after_mm)
    limits = Limits(
        checked.limit_mm("edge fail extra"), 0.0, checked.source("edge fail extra"), checked.source("edge fail extra")
    )

    def say(result: Result, found: float, limit: float) -> str:
        what = "buttonhole" if reach > share.fastener.rim_mm else "rim"
        if result == "fail":
            return (
                f"The {what} of the stand's closure reaches {checked.show(-found)} past the stand, which is "
                f"{checked.show(stand.height_mm)} high. Take a smaller one, or turn its buttonhole across."
            )
        lies = f"{checked.show(found)} of the stand lies above and below its closure"
        return f"{lies}; {checked.show(limit)} is wanted." + ("" if result == "pass" else " Take a smaller one.")

    return [
        *judge_least("stand", None, [(1, stand.first_mm - reach)], limits, say),
        *_high_stand(checked),
        *_stand_of_its_own(checked),
    ]


def _high_stand(checked: Checked) -> Iterator[Finding]:
    """Ask about a stand far higher than one that is worn round a neck: its closure would lie as much too high."""
    stand, most = checked.placement.plan.stand, checked.limit_mm("highest stand")
    if stand is None or stand.height_mm <= most + SAME_MM:
        return
    text = (
        f"The stand is told {checked.show(stand.height_mm)} high, and one is {checked.show(most)} at the most, or "
        "it stands in the way of the chin. See whether the figure of height under [stand] and its unit are the ones "
        "meant: it is the stand alone, without the collar that folds down over it."
    )
    yield Finding("stand", "warn", text, checked.source("highest stand"), None, 1, stand.height_mm, most, "most")


def _stand_of_its_own(checked: Checked) -> Iterator[Finding]:
    """Say where a stand on a grain of its own carries its closure, which is not where the front's lie on the sheet."""
    marked = checked.marked
    if marked is None or marked is checked.placement:
        return
    for lap in marked.laps.both:
        worn, cut = checked.placement.marks[0].on(lap.name), marked.marks[0].on(lap.name)
        if lap.stand is None or lap.stand.further == 1.0 or worn is None or cut is None:
            continue
        show = checked.show
        text = (
            f"The stand's lengthwise threads run round the neck, so its closure is marked {show(cut.edge_distance_mm)} "
            f"from the edge of the unwashed cloth, and comes out {show(worn.edge_distance_mm)} from it, where the "
            "front's do."
        )
        yield Finding("stand", "pass", text, "geometry", lap.name, 1, cut.edge_distance_mm)
