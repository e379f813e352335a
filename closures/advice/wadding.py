"""Where the wadding of quilted cloth is taken out from under a part; all of it is common practice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.figures import laps_in_order
from closures.checks.finding import numbers_in_words
from closures.lengths import format_length
from closures.placing.single_layer import MADE_ALREADY, all_over

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement

NOT_THICK = dict.fromkeys(("wadding out", "wadding where", "wadding done", "wadding of trial", "wadded"), "")


def laps_too_thick(
    placement: Placement, findings: Sequence[Finding], catalogue: Catalogue
) -> dict[LapName, tuple[list[int], bool]]:
    """The laps of wadded cloth whose stack is longer than what clamps it, or may be.

    Args:
        placement: closures of one kind.
        findings: of which those on the thickness of layers tell it.
        catalogue: where cloths are looked up.

    Returns:
        For each lap its marks, and whether the stack is too thick whatever the trial piece tells.
    """
    grip = placement.fastener.grip
    if grip is None:
        return {}
    found: dict[LapName, tuple[list[int], bool]] = {}
    for lap in placement.laps.both:
        cloths, _ = all_over(placement.plan, lap.name, catalogue)
        if not any("padded" in layer.structures for layer in cloths):
            continue
        thick = [
            one
            for one in findings
            if one.rule == "layer thickness"
            and one.result != "pass"
            and one.lap == lap.name
            and one.limit_mm == grip[1].value
        ]
        marks = [mark.n for mark in placement.new_on(lap.name)]
        if thick and marks:
            found[lap.name] = (marks, all(one.result == "fail" for one in thick))
    return found


def wadding_figures(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue) -> dict[str, str]:
    """Say where the wadding is taken out, how far, and when it is right; empty where it stays."""
    thick = laps_too_thick(placement, findings, catalogue)
    grip = placement.fastener.grip
    if not thick or grip is None:
        return NOT_THICK
    units = placement.plan.units
    # The wadding ends as far from the flange as any layer has to.
    across_mm = 2 * (placement.fastener.rim_mm + catalogue.rule("ridge").value.value)
    first = laps_in_order(placement)[0]
    strap = placement.strap
    # Of a band that is made, the lap that is set second is marked by the one set first; of a strap both ends at once.
    is_later = strap is None and placement.plan.state in MADE_ALREADY
    later = {lap for lap in thick if lap != first and is_later}
    where = " and ".join(
        f"at {numbers_in_words(marks)} of the {lap} {placement.side_word}"
        + (", once its marks are made," if lap in later else "")
        for lap, (marks, _) in sorted(thick.items(), key=lambda entry: entry[0] in later)
    )
    is_certain = all(certain for _, certain in thick.values())
    low, high = (format_length(one.value, units) for one in grip)
    return {
        "wadded": "the band" if strap is None else f"the {strap.piece}",
        "wadding out": "" if is_certain else "Where the trial piece came out too thick, ",
        "wadding where": f"{where.removesuffix(',')}, in a round place {format_length(across_mm, units)} across",
        "wadding done": f"squeezed there, the layers that are left measure {low} to {high}, which the part clamps",
        "wadding of trial": " Take the wadding out of it there first, as is done on the garment."
        if is_certain
        else " Where it bulges, make another with the wadding taken out there.",
    }
