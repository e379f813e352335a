"""The sheets of a strap: one for each end, and for a pair both again, mirrored."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.sheets.sheet import Sheet, Telling, failures_in_words, set_on_sheet, signs_of_style
from closures.drawing.sheets.strap_end import End, draw_end, make_end
from closures.drawing.sheets.view import View
from closures.placing.strap.values import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap
    from closures.plan.band import Face

_ENDS: tuple[LapName, LapName] = ("over", "under")


def strap_sheets(
    placement: Placement,
    face: Face,
    findings: Sequence[Finding],
    buttonhole: Buttonhole | None,
    whole: bool,
) -> tuple[Sheet, ...]:
    """Draw both ends of a strap.

    Args:
        placement: of a strap.
        face: which face of the cloth lies up; "inside" turns the drawing over.
        findings: what the checks found.
        buttonhole: the buttonhole of a button, None for other closures.
        whole: draw the strap without a break.

    Returns:
        The over end, then the under end; for a pair those of the wearer's left piece, then mirrored
        those of the right.
    """
    strap = placement.strap
    sides = ("left", "right") if strap is not None and strap.pieces == 2 else ("",)
    return tuple(_end_sheet(placement, lap, face, findings, buttonhole, whole, side) for side in sides for lap in _ENDS)


def _end_sheet(
    placement: Placement,
    lap: LapName,
    face: Face,
    findings: Sequence[Finding],
    buttonhole: Buttonhole | None,
    whole: bool,
    side: str,
) -> Sheet:
    # Turned over by its face and turned over by its side is not turned at all.
    flipped = (face == "inside") != (side == "right")
    chosen = placement.laps[lap]
    end = make_end(placement, View(placement.laps, chosen, flipped), whole)
    name = f"{side} {end.strap.piece}, {lap} end" if side else f"{lap} end"
    words = (f"{name.upper()} · {face} up", f"{lap.upper()} END · {face} up", f"{lap.upper()} · {face} up", lap.upper())
    drawn = draw_end(placement, end, words, buttonhole)
    stem = f"{lap}-right" if side == "right" else ""
    return set_on_sheet(drawn, lap, face, flipped, _tell(placement, end, face, findings, side), stem)


def _tell(placement: Placement, end: End, face: Face, findings: Sequence[Finding], side: str) -> Telling:
    lap, strap, fastener, units = end.lap, end.strap, placement.fastener, placement.plan.units
    marks = placement.on(lap.name)
    cap = f", {both_ways(fastener.cap_mm, units)[0]} across" if fastener.cap_mm else ""
    where = f"{lap.name.upper()} END"
    if side:
        where = f"WEARER'S {side.upper()} {strap.piece.upper()}, {where}"
    elif lap.whose:
        where = f"{where} — {lap.whose}"
    check: tuple[str, ...] = ()
    if len(marks) > 1:
        first, last = marks[0], marks[-1]
        straight = math.dist(first.at, last.at)
        check = (f"mark {first.n} to mark {last.n}, straight:", _precise(straight, units))
    return Telling(
        placement.plan.title,
        f"{fastener.kind} {fastener.size}{cap} · {len(marks)} on this end",
        f"{where} — {face} face up",
        check,
        failures_in_words(findings),
        _signs(placement, end),
        ("tip", "upper edge"),
        tuple(block for block in (_sizes(strap, units), _settings(placement, strap), _cutting(strap, units)) if block),
    )


def _precise(mm: float, units: str) -> str:
    pair = (f"{mm:.1f} mm", both_ways(mm, "in")[0])
    return " / ".join(pair if units == "mm" else reversed(pair))


def _signs(placement: Placement, end: End) -> tuple[str, ...]:
    fastener, strap = placement.fastener, end.strap
    style = fastener.mark.on(end.lap.name)
    is_round = style not in ("hook", "eye", "bar")
    return (
        "edge",
        *(("cut",) if strap.allowance_mm or end.allowance_mm else ()),
        *(("fold",) if strap.made == "folded" else ()),
        "middle",
        "mark",
        *(("rim",) if fastener.cap_mm and is_round else ()),
        *signs_of_style(style),
    )


def _settings(placement: Placement, strap: Strap) -> tuple[str, tuple[str, ...]] | None:
    """Which mark of the under end the outermost closure of the over end takes, and the length that gives."""
    if len(strap.settings) < 2 or strap.sizes:
        return None
    units = placement.plan.units
    rows = ["With the over end's outermost closure"]
    for setting in strap.settings:
        on = next(
            (
                mark.n
                for mark in placement.marks
                if mark.under is not None and abs((mark.under.from_tip_mm or 0.0) - setting.outer_on_mm) <= SAME_MM
            ),
            None,
        )
        place = f"on {on}" if on is not None else f"lapping {both_ways(setting.overlap_mm, units)[0]}"
        worn = ", worn" if setting.is_target else ""
        rows.append(f"{place}{worn}: {' / '.join(both_ways(setting.middle_mm, units))}")
    return "Closes at, along its middle", tuple(rows)


def _cutting(strap: Strap, units: str) -> tuple[str, tuple[str, ...]] | None:
    """What to cut: length, width and how many; of a size chart each size tells it."""
    if strap.sizes:
        return None
    finished = " × ".join(both_ways(mm, units)[0] for mm in (strap.finished_mm, strap.width_mm))
    cut = " × ".join(both_ways(mm, units)[0] for mm in (strap.cut_mm, strap.cut_width_mm))
    many = strap.cut_pieces * strap.pieces
    fold = ", folded lengthwise" if strap.made == "folded" else ""
    return "Cutting", (f"finished {finished}", f"cut {many}: {cut}{fold}")


def _sizes(strap: Strap, units: str) -> tuple[str, tuple[str, ...]] | None:
    """Each size's length; the ends are the same for all."""
    if not strap.sizes:
        return None
    wide = both_ways(strap.cut_width_mm, units)[0]
    rows: list[str] = []
    for size in strap.sizes:
        loosest, tightest = (both_ways(middle, units)[0] for middle in (size.middle_mm[0], size.middle_mm[-1]))
        rows.append(f"{size.name}: cut {strap.cut_pieces}, {both_ways(size.cut_mm, units)[0]} × {wide}")
        rows.append(f"closes at {tightest} to {loosest}" if tightest != loosest else f"closes at {loosest}")
    return "Every size has these ends", tuple(rows)
