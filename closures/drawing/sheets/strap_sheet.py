"""The sheets of a strap: one for each end, and for a pair both again, mirrored."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.sheets.sheet import Sheet, failures_in_words, set_on_sheet, signs_of_mark
from closures.drawing.sheets.sheet_text import SheetText
from closures.drawing.sheets.strap_drawing import draw_end, whole_end
from closures.drawing.sheets.strap_view import End, make_end
from closures.drawing.sheets.strap_words import strap_rows
from closures.placing.nothing_set import nothing_set
from closures.placing.run_mark import run_mark
from closures.placing.strap.settings import marks_of, setting_in_words
from closures.placing.strap.values import NO_ALLOWANCE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.drawing.sheets.subject import Subject
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap

_ENDS: tuple[LapName, LapName] = ("over", "under")
_CUT_APART = (("edge", "finished edge: cut paper here"), ("cut", "cut line: cut cloth here"))


def strap_ends(subject: Subject, whole: bool) -> tuple[End, ...]:
    """Both ends of a strap; for a pair those of the wearer's left piece, then mirrored those of the right.

    Args:
        subject: either lap of a strap.
        whole: draw the strap without a break.
    """
    strap = subject.placement.strap
    sides = ("left", "right") if strap is not None and strap.pieces == 2 else ("",)
    return tuple(make_end(replace(subject, name=lap, known={}), side, whole) for side in sides for lap in _ENDS)


def strap_sheets(subject: Subject, findings: Sequence[Finding], whole: bool) -> tuple[Sheet, ...]:
    """Draw the sheets of both ends of a strap, in the order of `strap_ends`.

    Args:
        subject: either lap of a strap.
        findings: what the checks found.
        whole: draw the strap without a break.
    """
    return tuple(_end_sheet(end, findings) for end in strap_ends(subject, whole))


def _end_sheet(end: End, findings: Sequence[Finding]) -> Sheet:
    part = whole_end(end)
    drawn = draw_end(end, part, strap_rows(end, part, ""))
    stem = f"{end.lap.name}-right" if end.side == "right" else ""
    return set_on_sheet(
        drawn, end.lap.name, end.subject.face, end.view.flipped, _tell(end, findings, drawn.untold), stem
    )


_HELD_BACK = ("Cutting", ("held back: cut nothing before the plan was changed",))


def _tell(end: End, findings: Sequence[Finding], untold: Sequence[str]) -> SheetText:
    placement, face, side = end.subject.placement, end.subject.face, end.side
    lap, strap, fastener, units = end.lap, end.strap, placement.fastener, placement.plan.units
    marks = placement.on(lap.name)
    cap = f", {both_ways(fastener.cap_mm, units)[0]} {fastener.cap_way}" if fastener.cap_mm else ""
    where = f"{lap.name.upper()} END"
    if side:
        where = f"WEARER'S {side.upper()} {strap.piece.upper()}, {where}"
    elif lap.whose:
        where = f"{where} — {lap.whose}"
    signs = _signs(placement, end)
    check: tuple[str, ...] = ()
    if len(marks) > 1:
        first, last = marks[0], marks[-1]
        straight = math.dist(first.at, last.at)
        check = (f"mark {first.n} to mark {last.n}, straight:", " / ".join(both_ways(straight, units)))
    cutting = _HELD_BACK if placement.is_withheld else _cutting(strap, units)
    unset = nothing_set(placement)
    held = "" if unset is None else f" — {unset.strip}"
    blocks = (_from_tip(end, untold), _sizes(strap, units), _settings(placement, strap), cutting)
    return SheetText(
        placement.plan.title,
        f"{fastener.name}{cap} · {len(marks)} on this end",
        f"{where} — {face} face up{held}",
        check,
        failures_in_words(findings, placement.side_word),
        signs,
        ("tip", "upper edge"),
        tuple(block for block in blocks if block),
        run=run_mark(placement),
        reasons=failures_in_words(findings, placement.side_word, units),
        grown=end.subject.type.grown,
        sign_words=_CUT_APART if "cut" in signs and not placement.is_withheld else (),
    )


def _signs(placement: Placement, end: End) -> tuple[str, ...]:
    fastener, strap = placement.fastener, end.strap
    style = fastener.mark.on(end.lap.name)
    is_round = style not in ("hook", "eye", "bar")
    return (
        "edge",
        *(("cut",) if strap.allowance_mm or end.allowance_mm else ()),
        *(("fold",) if strap.made == "folded" else ()),
        "middle",
        *(("break",) if end.left_out_mm else ()),
        "mark",
        *(("rim",) if fastener.cap_mm and is_round else ()),
        *signs_of_mark(fastener, end.lap.name),
    )


def _from_tip(end: End, untold: Sequence[str]) -> tuple[str, tuple[str, ...]] | None:
    """How far those marks lie from their tip that do not say so themselves."""
    if not untold:
        return None
    marks = [mark for mark in end.carried() if str(mark.n) in untold]
    rows = [f"mark {mark.n}: {' / '.join(both_ways(mark.from_tip_mm or 0.0, end.subject.units))}" for mark in marks]
    return f"From the tip of the {end.lap.name} end", tuple(rows)


def _settings(placement: Placement, strap: Strap) -> tuple[str, tuple[str, ...]] | None:
    """Which mark of the under end the outermost closure of the over end takes, and the length that gives."""
    if len(strap.settings) < 2 or strap.sizes:
        return None
    units = placement.plan.units
    rows = ["With the over end's outermost closure"]
    for setting in strap.settings:
        lapping = "" if marks_of(setting, placement) else f", lapping {both_ways(setting.overlap_mm, units)[0]}"
        worn = ", worn" if setting.is_target else ""
        closed = " / ".join(both_ways(setting.middle_mm, units))
        rows.append(f"setting {setting_in_words(setting, placement)}{lapping}{worn}: {closed}")
    return "Closes at, along its middle", tuple(rows)


def _cutting(strap: Strap, units: str) -> tuple[str, tuple[str, ...]] | None:
    """What to cut: length, width and how many; of a size chart each size tells it."""
    if strap.sizes:
        return None
    finished = " × ".join(both_ways(mm, units)[0] for mm in (strap.finished_mm, strap.width_mm))
    if strap.is_made:
        return "Made already", (f"finished {finished}", "nothing is cut: lay a tape on yours")
    cut = " × ".join(both_ways(mm, units)[0] for mm in (strap.cut_mm, strap.cut_width_mm))
    many = strap.cut_pieces * strap.pieces
    fold = ", folded lengthwise" if strap.made == "folded" else ""
    lacking = (NO_ALLOWANCE,) if strap.lacks_allowance else ()
    stiff = (strap.stiffened_in_words,) if strap.interfacings else ()
    if strap.lining:
        half = many // 2
        lining = f"lining: cut {half} of {strap.lining_in_words}"
        return "Cutting", (f"finished {finished}", f"leather: cut {half}: {finished}", lining, *stiff)
    of_each = (strap.cloths_in_words,) if strap.cloths else ()
    if strap.leather_within:
        return "Cutting", (f"finished {finished}", f"cloth: cut {cut}", *of_each, *lacking, *stiff)
    return "Cutting", (f"finished {finished}", f"cut {many}: {cut}{fold}", *of_each, *lacking, *stiff)


def _sizes(strap: Strap, units: str) -> tuple[str, tuple[str, ...]] | None:
    """Each size's length; the ends are the same for all."""
    if not strap.sizes:
        return None
    wide = both_ways(strap.cut_width_mm, units)[0]
    rows: list[str] = []
    for size in strap.sizes:
        loosest, tightest = (both_ways(middle, units)[0] for middle in (size.middle_mm[0], size.middle_mm[-1]))
        many = "finished" if strap.is_made else f"cut {strap.cut_pieces},"
        rows.append(f"{size.name}: {many} {both_ways(size.cut_mm, units)[0]} × {wide}")
        rows.append(f"closes at {tightest} to {loosest}" if tightest != loosest else f"closes at {loosest}")
    rows += [words for words in (strap.cloths_in_words, strap.stiffened_in_words) if words]
    return "Every size has these ends", tuple(rows)
