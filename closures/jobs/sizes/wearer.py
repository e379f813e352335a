"""The pattern fitted to one wearer, and what moved against the printed one.

Terms: the *printed* pattern is the plan as it stands; the *bust level* lies straight down from the level
zero, as every level of a plan; the *pit of the neck* is the hollow at its front.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.errors import PlanError, in_section
from closures.frozen import frozen
from closures.lengths import TOLD_ALIKE_MM, format_length
from closures.plan.anchors import AnchorWish, ClearWish
from closures.plan.ends import NAMES_OF_BUST, NAMES_OF_WAIST
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish
from closures.plan.shown import shown_beside
from closures.plan.wearer import FitWish
from closures.said import for_author
from closures.series import how_many

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan
    from closures.plan.shown import Show

_NAMES = {"bust": NAMES_OF_BUST, "waist": NAMES_OF_WAIST}
_FULL_NAMES = {"bust": "bust point", "waist": "waist"}


@frozen
class Moved:
    """One mark of the fitted pattern beside the printed one, in mm.

    Attributes:
        n: its number.
        along_mm, level_mm: where it lies now.
        printed_along_mm, printed_level_mm: where the mark of that number is printed, None where there is none.
    """

    n: int
    along_mm: float
    level_mm: float
    printed_along_mm: float | None
    printed_level_mm: float | None

    @property
    def by_mm(self) -> float | None:
        """How far it moved along the closing line, positive towards the last end; None for a mark that is new."""
        return None if self.printed_along_mm is None else self.along_mm - self.printed_along_mm


@frozen
class Fit:
    """What a wearer's own measures came to.

    Attributes:
        wish: what the plan says about the wearer.
        printed: the pattern as printed, None where it cannot be placed at all.
        moved: every mark of the fitted pattern.
        changes: what was changed and what followed from it, sentence by sentence.
        findings: what is to be known of the measures.
    """

    wish: FitWish
    printed: Placement | None
    moved: tuple[Moved, ...]
    changes: tuple[str, ...]
    findings: tuple[Finding, ...]


def printed_plan(plan: Plan) -> Plan:
    """The plan as printed, without what differs for the wearer."""
    wearer = plan.wearer
    return plan if wearer is None else replace(plan, wearer=replace(wearer, fit=None))


def fitted_plan(plan: Plan, fit: FitWish, catalogue: Catalogue) -> Plan:
    """Make the plan that fits the wearer.

    Args:
        plan: as printed, of one size.
        fit: what differs.
        catalogue: for the bust level that a girth lets expect.

    Returns:
        A plain plan: levels below a changed length moved, the wearer's own levels in place of the printed ones.

    Raises:
        PlanError: two anchors could be meant, or something told along the line would have to move.
    """
    edge, _, _ = plan.along_an_edge
    cuts = tuple((one.level_mm, one.by_mm) for one in fit.longer)
    show = shown_beside(plan.units)
    anchors = tuple(_moved_anchor(anchor, cuts, show) for anchor in plan.anchors)
    for part, level in (("bust", _bust_level(fit, catalogue)), ("waist", fit.waist_level_mm)):
        if level is not None:
            anchors = _with_level(anchors, part, level)
    return replace(
        plan,
        title=f"{plan.title}, fitted",
        edge=replace(edge, longer=(*edge.longer, *cuts)),
        anchors=anchors,
        clear=tuple(_moved_zone(zone, cuts, show) for zone in plan.clear),
        layers=tuple(_kept_layer(layer, n, cuts, show) for n, layer in enumerate(plan.layers, start=1)),
    )


def make_fit(plan: Plan, fit: FitWish, printed: Placement | None, fitted: Placement, catalogue: Catalogue) -> Fit:
    """Hold a fitted pattern against the printed one.

    Args:
        plan: as printed.
        fit: what differs.
        printed, fitted: both placed.
        catalogue: for the scatter of a reckoned bust level.
    """
    before = () if printed is None else printed.marks
    moved = tuple(
        Moved(
            mark.n,
            mark.along_mm,
            mark.level_mm,
            before[i].along_mm if i < len(before) else None,
            before[i].level_mm if i < len(before) else None,
        )
        for i, mark in enumerate(fitted.marks)
    )
    changes = (*_changes(plan, fit, catalogue), *_results(plan, printed, fitted, moved))
    return Fit(fit, printed, moved, changes, _findings(plan, fit, catalogue))


def _bust_level(fit: FitWish, catalogue: Catalogue) -> float | None:
    """The wearer's own bust level, or the one that women of that girth have on average."""
    if fit.bust_level_mm is not None or fit.bust_girth_mm is None:
        return fit.bust_level_mm
    constant = catalogue.rule("bust level, constant").value.value
    part = catalogue.rule("bust level, part of girth").value.value
    return (fit.neck_mm or 0.0) + constant + part * fit.bust_girth_mm


def _with_level(anchors: Sequence[AnchorWish], part: str, level_mm: float) -> tuple[AnchorWish, ...]:
    """Put the wearer's own level in place of the printed anchor's; where there is none, add it."""
    meant = [a for a in anchors if any(word in a.name.casefold() for word in _NAMES[part])]
    if len(meant) > 1:
        raise PlanError(
            f"{len(meant)} anchors could be the {part}: {', '.join(anchor.name for anchor in meant)}",
            where=in_section("wearer", f"{part}_level"),
            mend=f"Let one anchor only have {part} in its name.",
        )
    if not meant:
        return (*anchors, AnchorWish(_FULL_NAMES[part], level_mm=level_mm))
    own = replace(meant[0], level_mm=level_mm, along_mm=None, at=None, which=None)
    return tuple(own if anchor is meant[0] else anchor for anchor in anchors)


def _moved_level(level_mm: float, cuts: Sequence[tuple[float, float]]) -> float:
    """Where a level lies after the pattern became longer at some others; the level zero may move too."""
    return level_mm + sum(by * ((level_mm > at) - (at < 0.0)) for at, by in cuts)


def _moved_anchor(anchor: AnchorWish, cuts: Sequence[tuple[float, float]], show: Show) -> AnchorWish:
    if anchor.level_mm is not None:
        return replace(anchor, level_mm=_moved_level(anchor.level_mm, cuts))
    if anchor.along_mm is not None:
        _refuse_below(f'[[anchor]] "{anchor.name}"', anchor.along_mm, cuts, "level", show)
    return anchor


def _moved_zone(zone: ClearWish, cuts: Sequence[tuple[float, float]], show: Show) -> ClearWish:
    if zone.level_mm is not None:
        low, high = (_moved_level(mm, cuts) for mm in (zone.level_mm.low_mm, zone.level_mm.high_mm))
        return replace(zone, level_mm=Range(min(low, high), max(low, high)))
    if zone.along_mm is not None:
        _refuse_below(f'[[clear]] "{zone.name}"', zone.along_mm.high_mm, cuts, "level", show)
    return zone


def _kept_layer(layer: LayerWish, nth: int, cuts: Sequence[tuple[float, float]], show: Show) -> LayerWish:
    if layer.along_mm is not None:
        _refuse_below(f"[[layer]] {nth}", layer.along_mm.high_mm, cuts, "across", show)
    return layer


def _refuse_below(where: str, along_mm: float, cuts: Sequence[tuple[float, float]], key: str, show: Show) -> None:
    """Refuse what is told along the line and might lie below a cut.

    A place so far along lies at most as far down, so above the highest cut nothing has to move.
    """
    highest = min((at for at, _ in cuts), default=None)
    if highest is not None and along_mm > highest:
        raise PlanError(
            f"it reaches {show(along_mm)} along the closing line, and the length changes at level {show(highest)}",
            where=where,
            mend=f"Give its {key} instead of its along, so that it is known whether it moves.",
        )


def _changes(plan: Plan, fit: FitWish, catalogue: Catalogue) -> list[str]:
    def show(mm: float) -> str:
        return format_length(mm, plan.units)

    told = []
    for one in fit.longer:
        word = "longer" if one.by_mm > 0 else "shorter"
        line = f"{one.line[:1].upper()}{one.line[1:]}"
        told.append(f"{line}, at level {show(one.level_mm)}: {show(abs(one.by_mm))} {word}.")
    cuts = tuple((one.level_mm, one.by_mm) for one in fit.longer)
    for part, level in (("bust", _bust_level(fit, catalogue)), ("waist", fit.waist_level_mm)):
        if level is None:
            continue
        printed = next((a for a in plan.anchors if any(word in a.name.casefold() for word in _NAMES[part])), None)
        own = "the wearer's own" if part == "waist" or fit.bust_level_mm is not None else "reckoned from the girth"
        if printed is None or printed.level_mm is None:
            told.append(f"{_FULL_NAMES[part].capitalize()}: at level {show(level)}, {own}.")
            continue
        away = level - _moved_level(printed.level_mm, cuts)
        way = "as printed" if abs(away) < TOLD_ALIKE_MM else f"{show(abs(away))} {'lower' if away > 0 else 'higher'}"
        told.append(f"{printed.name[:1].upper()}{printed.name[1:]}: at level {show(level)}, {own}; {way}.")
    return told


def _results(plan: Plan, printed: Placement | None, fitted: Placement, moved: Sequence[Moved]) -> list[str]:
    if printed is None:
        return ["The pattern as printed cannot be placed, so nothing can be held against it."]

    def show(mm: float) -> str:
        return format_length(mm, plan.units)

    counts = len(printed.marks), len(fitted.marks)
    told = [f"{how_many(counts[1], 'closure')}, {'as printed' if counts[0] == counts[1] else f'not {counts[0]}'}."]
    off = [abs(one.by_mm) for one in moved if one.by_mm is not None]
    if off and max(off) >= TOLD_ALIKE_MM:
        several = sum(by >= TOLD_ALIKE_MM for by in off)
        told.append(f"{several} of {len(off)} printed marks moved, by up to {show(max(off))} along the closing line.")
    elif off:
        told.append("No printed mark moved.")
    return told


def _findings(plan: Plan, fit: FitWish, catalogue: Catalogue) -> tuple[Finding, ...]:
    level = _bust_level(fit, catalogue)
    if fit.bust_girth_mm is None or fit.bust_level_mm is not None or level is None:
        return ()
    scatter = catalogue.rule("bust level, scatter").value

    def show(mm: float) -> str:
        return format_length(mm, plan.units)

    taken: str = ""
    if fit.neck_mm is None:
        taken = " It is counted from the first end of the edge, taken as the pit of the neck" + for_author(
            ": where that lies elsewhere, write its level as neck.", "."
        )
    return (
        Finding(
            "bust level",
            "warn",
            f"The bust level, {show(level)}, is only reckoned from a girth of {show(fit.bust_girth_mm)}: one wearer in "
            f"three lies more than {show(scatter.value)} off it. "
            + for_author("Measure it and write bust_level.", "Measure it.")
            + taken,
            scatter.provenance.text,
            found_mm=level,
            limit_mm=scatter.value,
        ),
    )
