"""A placement as plain figures: the report that programs read.

Lengths are in mm, rounded once here to a ten-thousandth, a fifth of what the sheets may
differ from it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from closures.placing.counted_from import level_zero_told
from closures.placing.lacing import lace_of
from closures.placing.looped import loop_of
from closures.placing.run_mark import run_mark
from closures.placing.taped import left_over_mm, tape_mm, tape_to_buy_mm
from closures.report.parts import count_parts
from closures.report.telling import rounded

if TYPE_CHECKING:
    from closures.checks.finding import Finding
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.swap.swap import Swap
    from closures.placing.lap import Lap
    from closures.placing.placement import LapMark, Mark, Placement


def report_json(
    placement: Placement,
    findings: Sequence[Finding],
    sheets: Sequence[Sheet],
    swap: Swap | None = None,
    more: Mapping[str, Any] | None = None,
) -> bytes:
    """Write the report as JSON, the same bytes for the same placement; `more` are figures of the work at the table."""
    figures = report_figures(placement, findings, sheets)
    if swap is not None:
        from closures.report.offers import swap_figures

        figures |= swap_figures(swap)
    figures |= more or {}
    return (json.dumps(figures, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def report_figures(placement: Placement, findings: Sequence[Finding], sheets: Sequence[Sheet]) -> dict[str, Any]:
    """Put a placement into plain figures.

    Args:
        placement: the closures as placed.
        findings: what the rules say of it.
        sheets: the marking templates, empty where none are drawn.

    Returns:
        The report; every length in mm in the frame of the user's drawing, but what lies on a lap in that lap's own:
        of a pair the under lap's is the drawing turned over, x to -x. A radius is None where the line is straight.
    """
    plan, spacing, laps = placement.plan, placement.spacing, placement.laps
    radius = laps.line.tightest("both").radius_mm
    fastener = placement.fastener
    return {
        "title": plan.title,
        "run": run_mark(placement),
        "held_back": placement.is_withheld,
        "closure": {
            "kind": fastener.kind,
            "size": fastener.size,
            "cap_mm": rounded(fastener.cap_mm) if fastener.cap is not None else None,
            "grip_mm": None if fastener.grip is None else [rounded(end.value) for end in fastener.grip],
            "halves": plan.closure.halves,
        },
        **_differing(placement),
        "lap": plan.lap,
        "garment": {
            "opens": laps.garment.opens,
            "pieces": laps.garment.pieces,
            "state": laps.garment.state,
            "over_side": laps.garment.over_side,
            "under_side": laps.garment.under_side,
        },
        "units": plan.units,
        "closing_line": {
            "length_mm": rounded(laps.line.length_mm),
            "edge_length_mm": rounded(laps.over.edge.length_mm),
            "under_edge_length_mm": rounded(laps.under.edge.length_mm),
            "under_length_mm": rounded(laps.under.line.length_mm),
            "ends": list(laps.garment.ends),
            "tightest_radius_mm": None if math.isinf(radius) else rounded(radius),
        },
        "spacing": {
            "count": len(spacing.positions_mm),
            "gaps_mm": [rounded(gap) for gap in spacing.gaps_mm],
            "smallest_mm": rounded(spacing.smallest_mm),
            "largest_mm": rounded(spacing.largest_mm),
            "spread_mm": rounded(spacing.spread_mm),
            "departure_mm": rounded(spacing.departure_mm),
            "reason": spacing.reason,
        },
        "marks": [_mark(mark, plan.is_turned) for mark in placement.marks],
        **({"beside": [_mark(mark, plan.is_turned) for mark in others]} if (others := _beside(placement)) else {}),
        "anchors": [
            {"name": anchor.name, "along_mm": rounded(anchor.along_mm), "level_mm": rounded(anchor.level_mm)}
            for anchor in placement.anchors
        ],
        "clear_zones": [
            {"name": zone.name, "along_mm": [[rounded(low), rounded(high)] for low, high in zone.stretches_mm]}
            for zone in placement.zones
        ],
        **_lacing(placement),
        **_tape(placement),
        **_loops(placement),
        **({"match": _pins(laps.under)} if laps.is_apart else {}),
        **_strap(placement),
        "notes": [*level_zero_told(placement), *placement.notes],
        "assumed": list(placement.assumed),
        "checks": [_finding(finding) for finding in findings],
        "parts": [
            {
                "part": part.part,
                **({"closure": part.closure} if part.closure else {}),
                "lap": part.lap,
                "count": part.count,
                "spare": part.spare,
                "trial": part.trial,
                "total": part.total,
            }
            for part in count_parts(placement)
        ],
        "sheets": [sheet_figures(sheet, plan.is_turned) for sheet in sheets],
    }


def _differing(placement: Placement) -> dict[str, Any]:
    """The closures that differ, each kind with the marks where it is set."""
    if not placement.is_mixed:
        return {}
    return {
        "differs": [
            {
                "marks": [mark.n for mark in share.marks],
                "kind": share.fastener.kind,
                "size": share.fastener.size,
                "cap_mm": rounded(share.fastener.cap_mm) if share.fastener.cap is not None else None,
                "hole": (share.plan.closure.hole or "along") if share.fastener.mark.buttonhole_lap else None,
            }
            for share in placement.shares[1:]
        ]
    }


def _beside(placement: Placement) -> list[Mark]:
    return [mark for other in placement.beside for mark in other.marks]


def _loops(placement: Placement) -> dict[str, Any]:
    loop = loop_of(placement)
    if loop is None:
        return {}
    names = ("length_mm", "feet_mm", "marked_mm", "reach_mm", "sewn_mm", "cut_mm")
    return {"loop": {name: rounded(getattr(loop, name)) for name in names}}


def _tape(placement: Placement) -> dict[str, Any]:
    cut, tape = tape_mm(placement), placement.plan.tape
    if cut is None or tape is None:
        return {}
    left = [rounded(mm) for mm in left_over_mm(placement)]
    buy = rounded(tape_to_buy_mm(placement))
    return {"tape": {"pitch_mm": rounded(tape.pitch_mm), "cut_mm": rounded(cut), "buy_mm": buy, "left_over_mm": left}}


def _lacing(placement: Placement) -> dict[str, Any]:
    lace = lace_of(placement)
    if lace is None:
        return {}
    return {
        "lacing": {
            "way": lace.way,
            "gap_mm": rounded(lace.gap_mm),
            "gap_last_mm": rounded(lace.gap_last_mm),
            "across_mm": rounded(lace.across_mm),
            "across_last_mm": rounded(lace.across_last_mm),
            "worn_mm": rounded(lace.worn_mm),
            "together_mm": rounded(lace.together_mm),
            "tied_mm": rounded(lace.tied_mm),
            "cut_mm": rounded(lace.cut_mm),
            "let_out_mm": None if lace.let_out_mm is None else rounded(lace.let_out_mm),
            "opened_mm": None if lace.opened_mm is None else rounded(lace.opened_mm),
            "most_mm": rounded(lace.most_mm),
            "held_mm": rounded(lace.held_mm),
        }
    }


def sheet_figures(sheet: Sheet, is_turned: bool = False) -> dict[str, Any]:
    """Put where a sheet lies and how large it is into plain figures, in mm.

    Args:
        sheet: the sheet.
        is_turned: the user's drawing was turned over on reading; then a sheet that is drawn as seen from outside
            is the one that is flipped, for whoever holds the drawing.
    """
    return {
        "file": sheet.file,
        "lap": sheet.lap,
        "face": sheet.face,
        "flipped": sheet.flipped != is_turned,
        "origin_mm": [rounded(value) for value in sheet.origin_mm],
        "size_mm": [rounded(value) for value in sheet.size_mm],
    }


def _strap(placement: Placement) -> dict[str, Any]:
    if placement.strap is None:
        return {}
    from closures.report.strap import strap_figures

    return strap_figures(placement)


def _pins(under: Lap) -> list[dict[str, Any]]:
    """Where the laps keep step: along either line, and how much longer the under lap is up to there from the last."""
    found, before = [], (0.0, 0.0)
    for over, own in under.pins_mm:
        ease = (own - before[1]) - (over - before[0])
        found.append({"over_along_mm": rounded(over), "under_along_mm": rounded(own), "under_longer_mm": rounded(ease)})
        before = (over, own)
    return found


def _mark(mark: Mark, is_turned: bool) -> dict[str, Any]:
    """A mark in plain figures; x and y are those of the user's own drawing, also where it was seen from inside."""
    return {
        "n": mark.n,
        "along_mm": rounded(mark.along_mm),
        "level_mm": rounded(mark.level_mm),
        "x_mm": rounded(-mark.x_mm if is_turned else mark.x_mm),
        "y_mm": rounded(mark.y_mm),
        "anchor": mark.anchor,
        "shift_mm": rounded(mark.shift_mm),
        "straight_to_next_mm": rounded(mark.straight_to_next_mm),
        "over": _on_lap(mark.over, is_turned),
        "under": _on_lap(mark.under, is_turned),
    }


def _on_lap(on_lap: LapMark | None, is_turned: bool) -> dict[str, Any] | None:
    if on_lap is None:
        return None
    stack = on_lap.stack
    return {
        "along_mm": rounded(on_lap.along_mm),
        "x_mm": rounded(-on_lap.x_mm if is_turned else on_lap.x_mm),
        "y_mm": rounded(on_lap.y_mm),
        "edge_distance_mm": rounded(on_lap.edge_distance_mm),
        "stack_mm": None if stack is None else rounded(stack.typical_mm),
        "stack_low_mm": None if stack is None else rounded(stack.low_mm),
        "stack_high_mm": None if stack is None else rounded(stack.high_mm),
        "clamped_mm": None if stack is None else [rounded(end) for end in stack.clamped_mm],
        **({} if on_lap.from_tip_mm is None else {"from_tip_mm": rounded(on_lap.from_tip_mm)}),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "lap": finding.lap,
        "mark": finding.mark,
        "result": finding.result,
        "found_mm": rounded(finding.found_mm),
        "limit_mm": rounded(finding.limit_mm),
        "text": finding.text,
        "source": finding.source,
    }
