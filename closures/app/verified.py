"""Finished results are read back before they go anywhere: what does not keep what was promised, goes nowhere."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement
    from closures.verifying.promises import Promises, ReachPromised, SlitPromised, StepsPromised


def require_sound_results(placement: Placement, files: Mapping[str, bytes], catalogue: Catalogue) -> None:
    """Refuse finished files that do not keep what they must.

    Args:
        placement: for what was asked; not for where anything lies.
        files: name to content; one of them the report.
        catalogue: where the figures of a buttonhole are kept.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.verifying.verify import require_sound

    require_sound(files, promises_of(placement, catalogue))


def require_sound_size_results(
    placements: Mapping[str, Placement], files: Mapping[str, bytes], catalogue: Catalogue, cores: int = 1
) -> None:
    """The same of the files of several sizes, by the names of the sizes, on as many cores as are told.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.verifying.verify import require_sound_sizes

    promises = {name: promises_of(placement, catalogue) for name, placement in placements.items()}
    require_sound_sizes(files, promises, cores)


def require_sound_cutter_results(placement: Placement, files: Mapping[str, bytes]) -> None:
    """Refuse files for a cutter whose points are not the marks.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.report.figures import report_figures
    from closures.verifying.cutter import require_sound_cutter

    require_sound_cutter(files, report_figures(placement, (), ()), is_turned=placement.plan.is_turned)


def promises_of(placement: Placement, catalogue: Catalogue) -> Promises:
    """What the plan asks of its row; of the marks alone on a strap, and where marks were told."""
    from closures.verifying.promises import AnchorPromised, Promises, ZonePromised

    plan = placement.plan
    of_marks = Promises(
        slits=_slits_of(placement, catalogue), reaches=_reaches_of(placement), inside_mm=_insides_of(placement)
    )
    if plan.spacing is None or placement.strap is not None or plan.speaks_of_old:
        return of_marks
    if placement.washed is not None:
        return _worn_promises(placement, of_marks, catalogue)

    spacing = plan.spacing
    first, last = spacing.ends
    least = placement.least_pitch_mm
    odd = plan.sheets is not None and plan.sheets.closing == "wide gap"
    rim = placement.rim_mm
    # Each of a mixed row keeps off by its own size.
    own = {mark.n: placement.fastener_of(mark.n).rim_mm for mark in placement.marks} if placement.is_mixed else {}
    met = {anchor.name: anchor.along_mm for anchor in placement.anchors}
    closest, widest = max(least, spacing.closest_mm or 0.0), spacing.widest_mm
    if plan.tape is not None:
        closest = widest = plan.tape.pitch_mm
    return replace(
        of_marks,
        first_mm=(first.low_mm, first.high_mm),
        last_mm=(last.low_mm, last.high_mm),
        closest_mm=closest,
        widest_mm=math.inf if widest is None or odd else widest,
        count=spacing.count,
        anchors=tuple(
            AnchorPromised(
                wish.name, wish.within_mm, wish.level_mm, wish.along_mm if wish.at is None else met[wish.name]
            )
            for wish in plan.anchors
        ),
        zones=tuple(
            ZonePromised(
                zone.name,
                rim if zone.room == "rim" else 0.0,
                None if zone.level_mm is None else (zone.level_mm.low_mm, zone.level_mm.high_mm),
                None if zone.along_mm is None else (zone.along_mm.low_mm, zone.along_mm.high_mm),
                zone.room == "rim",
                own if zone.room == "rim" else {},
            )
            for zone in plan.clear
        ),
        steps=None if odd else _steps_of(placement, catalogue),
    )


def _worn_promises(placement: Placement, of_marks: Promises, catalogue: Catalogue) -> Promises:
    """What is asked of the row on the washed garment, on whose closing line all of it is told."""
    from closures.placing.sewn_metal import metal_reaches
    from closures.verifying.promises import AnchorPromised, WornPromised, ZonePromised

    plan, wish = placement.plan, placement.spacing.wish
    shrinkage, band, stand = plan.shrinkage, plan.band, plan.stand
    if wish is None or shrinkage is None or band is None:
        return of_marks
    odd = plan.sheets is not None and plan.sheets.closing == "wide gap"
    holes = None if stand is None else stand.holes
    return replace(
        of_marks,
        first_mm=wish.first,
        last_mm=wish.last,
        closest_mm=wish.closest_mm,
        widest_mm=math.inf if odd else wish.widest_mm,
        count=wish.count,
        anchors=tuple(AnchorPromised(one.name, one.within_mm, along_mm=one.at_mm) for one in wish.anchors),
        zones=tuple(ZonePromised(one.name, 0.0, along_mm=(one.low_mm, one.high_mm)) for one in wish.clear),
        steps=None if odd else _steps_of(placement, catalogue, 1.0 - shrinkage.along),
        worn=WornPromised(
            1.0 - shrinkage.across,
            1.0 - shrinkage.along,
            None if stand is None or stand.worn_mm is None else (stand.height_mm, stand.worn_mm),
            # Cut round the neck it loses inwards as its hole across does, and comes out where the front's do.
            {
                lap.name: mark.edge_distance_mm * holes[1]
                for lap in placement.laps.both
                if holes is not None and lap.stand is not None and lap.stand.further != 1.0
                if (mark := placement.as_worn.marks[0].on(lap.name)) is not None
            },
            dict(zip(("over", "under"), metal_reaches(placement.fastener), strict=True)),
        ),
    )


def _steps_of(placement: Placement, catalogue: Catalogue, worn: float = 1.0) -> StepsPromised | None:
    """The stripe or the knitting that closures keep to; what is measured on the cloth to be marked is `worn` of it."""
    from closures.verifying.promises import StepsPromised

    plan = placement.plan
    stripe, gauge = plan.stripe, plan.gauge
    if stripe is not None:
        at = stripe.at_mm + (stripe.every_mm / 2 if stripe.on == "between" else 0.0)
        return StepsPromised(stripe.every_mm * worn, at * worn, by_level=True, from_n=1 if plan.stand is None else 2)
    if gauge is None:
        return None
    from closures.jobs.knitting.instructions import knit
    from closures.placing.buttonhole import buttonhole_for
    from closures.placing.knitted import step_along

    hole = buttonhole_for(placement.fastener, plan, catalogue)
    before = hole.before_mm if hole is not None and hole.way == "along" else 0.0
    if gauge.line != "front rows":
        return StepsPromised(step_along(gauge, placement.laps.line.length_mm), before_mm=before)
    knitted = knit(placement, catalogue)
    if knitted is None:
        return None
    # Knitted upwards, a hole along the line ends where it begins for somebody who goes down the line.
    own = knitted.own if before and gauge.cast_on == "last" else 0
    rows = sorted(zip(knitted.marks, knitted.at, strict=True))
    return StepsPromised(
        gauge.step_mm,
        by_level=True,
        before_mm=before,
        rows=tuple(at + own for _, at in rows),
        rows_in_all=knitted.total,
        from_first=gauge.cast_on == "first",
    )


def _insides_of(placement: Placement) -> dict[str, float]:
    """How far inside its edge each lap's row was asked to lie; not where the line or a lap's edge beside it is drawn.

    Of cloth that still shrinks the sheets show another inset than was told, and on a bend no single one.
    """
    plan = placement.plan
    if plan.edge is None or plan.band is None or placement.washed is not None:
        return {}
    found: dict[str, float] = {}
    if plan.edge.line is None:
        found["over"] = abs(plan.band.inset_mm)
    if plan.edge.under is None or plan.edge.under_lies == "apart":
        # The bow of an eye lies so far outside its edge.
        found["under"] = abs(plan.band.under_inset_mm)
    return found


def _reaches_of(placement: Placement) -> dict[tuple[str, int], ReachPromised]:
    """How each hook, eye, bar and loop lies, as the user's own drawing does."""
    from closures.verifying.promises import ReachPromised

    turn = -1.0 if placement.plan.is_turned else 1.0
    found: dict[tuple[str, int], ReachPromised] = {}
    for share in placement.shares:
        extent = share.fastener.extent_mm
        for lap in share.laps.both:
            style = share.fastener.mark.on(lap.name)
            if style not in ("hook", "eye", "bar", "loop"):
                continue
            for mark in share.on(lap.name):
                # A hook and an eye are sewn in from where they meet, a loop reaches out, a bar lies along the line.
                tip = lap.tip
                inward = lap.inward(mark.tangent) if tip is None else tip.inwards
                along = mark.tangent if tip is None else (0.0, 1.0)
                x, y = along if style == "bar" else inward
                x, y = (-x, -y) if style == "loop" else (x, y)
                reach = None if extent is None else max(extent) / 2 if style == "bar" else extent[0]
                found[lap.name, mark.n] = ReachPromised((turn * x, y), reach)
    return found


def _slits_of(placement: Placement, catalogue: Catalogue) -> dict[tuple[str, int], SlitPromised]:
    """The buttonhole of every mark that has one, as the user's own drawing lies: a plan of the other face turns it."""
    from closures.placing.buttonhole import slits_of
    from closures.verifying.promises import SlitPromised

    turn = -1.0 if placement.plan.is_turned else 1.0
    found: dict[tuple[str, int], SlitPromised] = {}
    for at, slit in slits_of(placement, catalogue).items():
        if at[1] in placement.staying:
            # What is there already is drawn as it is told, and nothing is promised of it.
            continue
        (a, b), (c, d) = slit.ends_mm
        found[at] = SlitPromised(slit.way, ((turn * a, b), (turn * c, d)))
    return found
