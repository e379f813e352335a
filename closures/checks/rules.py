"""The rules that a placement is held against.

A rule is a function from a `Checked` to findings; a new one is one more function in one of
the families here, and one more name in `RULES`. The ends of a strap have rules of their own for
what lies round a mark, and the same ones for what it clamps. No rule changes a placement.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from closures.checks.backing_pieces import check_backing_pieces
from closures.checks.bearing import check_bearing, check_washing
from closures.checks.checked import Checked
from closures.checks.cloth import check_backing, check_layer_thickness
from closures.checks.columns import check_columns
from closures.checks.corner import check_corner
from closures.checks.curve import check_curve
from closures.checks.evenness import check_evenness
from closures.checks.finding import Finding, Result, share_in_words
from closures.checks.finished_edge import check_finished_edge
from closures.checks.gaps import check_widest_gap
from closures.checks.garment import (
    check_ends,
    check_opening,
    check_taken_inset,
    check_two_lines,
    check_wrap,
)
from closures.checks.girths import check_girths, check_slit, check_strap_length
from closures.checks.knitting import check_gauge
from closures.checks.lace import check_lace
from closures.checks.loops import check_loops
from closures.checks.measured_cap import check_measured_cap
from closures.checks.named import check_named_places
from closures.checks.of_run import check_sizes_compared
from closures.checks.opened import check_opened_band
from closures.checks.overlap import check_overlap
from closures.checks.place import (
    check_band_width,
    check_buttonhole,
    check_edge_distance,
    check_neighbour_distance,
)
from closures.checks.ridge import check_ridge
from closures.checks.row import check_clear_zone, check_end_distance, check_strain_point
from closures.checks.side_pull import check_side_pull, check_side_pull_on_laps
from closures.checks.stand import check_stand
from closures.checks.strap import (
    check_buttons_between,
    check_strap_buttonholes,
    check_strap_edges,
    check_strap_neighbours,
    check_strap_round,
    check_strap_tips,
)
from closures.checks.tape import check_tape
from closures.checks.told_layers import check_told_layers
from closures.checks.turned import check_turned_button
from closures.checks.wearer import check_wearer

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement

_OF_THE_STACK = (
    check_layer_thickness,
    check_ridge,
    check_backing,
    check_opened_band,
    check_told_layers,
    check_bearing,
    check_washing,
)

# What a fastener clamps is the same question on an edge and on a strap, and so is who wears it.
CLOTH_RULES = (*_OF_THE_STACK, check_measured_cap, check_turned_button, check_wearer, check_girths)

RULES = (
    check_edge_distance,
    check_neighbour_distance,
    check_columns,
    check_band_width,
    check_overlap,
    *_OF_THE_STACK,
    check_backing_pieces,
    check_curve,
    check_corner,
    check_widest_gap,
    check_evenness,
    check_strain_point,
    check_clear_zone,
    check_end_distance,
    check_tape,
    check_lace,
    check_loops,
    check_gauge,
    check_buttonhole,
    check_measured_cap,
    check_turned_button,
    check_side_pull_on_laps,
    check_stand,
    check_wearer,
    check_finished_edge,
    check_opening,
    check_wrap,
    check_ends,
    check_taken_inset,
    check_two_lines,
    check_named_places,
    check_sizes_compared,
    check_girths,
    check_slit,
)

# Cloth that shrinks is judged as it is worn, washed. These two ask what is sewn before that, while the cloth is larger:
# a band is led round its curve, and two lines are eased together.
WHILE_SEWN = (check_curve, check_two_lines)

# These repeat lengths of the plan, which must be told as they stand there.
AS_TOLD = (check_finished_edge, check_opening, check_wrap, check_ends, check_taken_inset, check_named_places)

STRAP_RULES = (
    check_strap_edges,
    check_strap_neighbours,
    check_strap_tips,
    check_strap_buttonholes,
    check_buttons_between,
    check_strap_round,
    check_strap_length,
    check_side_pull,
)

# Asked of all closures that are set alike; the others are asked of the row as a whole.
OWN_RULES = (
    check_edge_distance,
    check_band_width,
    check_overlap,
    check_layer_thickness,
    check_ridge,
    check_backing,
    check_opened_band,
    check_bearing,
    check_corner,
    check_buttonhole,
    check_measured_cap,
    check_turned_button,
    check_wearer,
)


def check(placement: Placement, catalogue: Catalogue, *, is_trial: bool = False) -> tuple[Finding, ...]:
    """Hold a placement against every rule.

    Args:
        placement: the closures as placed.
        catalogue: where limits, cloths and other sizes are looked up.
        is_trial: it is what a finding would offer: nothing is offered in its turn.

    Returns:
        The findings, rule by rule. A lap that passes a rule everywhere gives one finding,
        at its tightest mark; a mark that does not gives one of its own.
    """
    worn = placement.as_worn
    again = None if is_trial else partial(check, catalogue=catalogue, is_trial=True)
    checked = Checked(worn, catalogue, _unwashed(placement), placement, again)
    if placement.strap is not None:
        ends = [finding for strap_rule in STRAP_RULES for finding in strap_rule(checked, placement.strap)]
        return (*ends, *(finding for rule in CLOTH_RULES for finding in rule(checked)))
    views = {
        **dict.fromkeys(WHILE_SEWN, Checked(placement, catalogue)),
        **dict.fromkeys(AS_TOLD, Checked(placement.as_told, catalogue)),
    }
    shares = _shares_as_worn(placement, catalogue) if placement.is_mixed else []
    found: list[Finding] = []
    for rule in RULES:
        is_shared = shares and rule in OWN_RULES
        found += _of_shares([(one, rule(one)) for one in shares]) if is_shared else rule(views.get(rule, checked))
    return tuple(found)


def _unwashed(placement: Placement) -> tuple[float, float]:
    whole = placement.row
    if whole.plan.shrinkage is None or whole.washed is None:
        return (1.0, 1.0)
    return (whole.laps.line.length_mm / whole.washed.length_mm, whole.plan.shrinkage.holes[1])


def _shares_as_worn(placement: Placement, catalogue: Catalogue) -> list[Checked]:
    """Each share as it is worn, with how it is marked: a stand's buttonhole alone may be cut otherwise, unwashed."""
    worn = placement.as_worn
    if worn is placement:
        return [Checked(share, catalogue) for share in placement.shares]
    lines = zip((placement, *placement.beside), (worn, *worn.beside), strict=True)
    return [
        Checked(_as_worn(share, line, worn), catalogue, _unwashed(share), share)
        for marked, line in lines
        for share in marked.alike(placement)
    ]


def _as_worn(share: Placement, line: Placement, worn: Placement) -> Placement:
    own = {mark.n for mark in share.marks}
    return replace(
        line,
        plan=replace(line.plan, closure=share.plan.closure, differs=()),
        fastener=share.fastener,
        marks=tuple(mark for mark in line.marks if mark.n in own),
        differing=(),
        beside=(),
        whole=worn,
    )


def _of_shares(told: list[tuple[Checked, list[Finding]]]) -> list[Finding]:
    """Name what each finding speaks of; what is said of all alike is said once."""
    found: list[Finding] = []
    for share, findings in told:
        for finding in findings:
            if all(finding in others for _, others in told):
                found += [] if finding in found else [finding]
            else:
                found.append(replace(finding, text=f"{share_in_words(share.placement)}: " + finding.text))
    return found


def worst(findings: tuple[Finding, ...]) -> Result:
    """The worst result among findings: fail, else warn, else pass."""
    results = {finding.result for finding in findings}
    return "fail" if "fail" in results else "warn" if "warn" in results else "pass"
