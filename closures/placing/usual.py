"""What holds where a plan does not say: the row, the way of buttonholes, the inset, interfacing.

The shortest plan is an edge, a width, a lap, a kind and a size. Everything that is filled in here is told in one line,
with where it comes from and how to change it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.lengths import format_length
from closures.offered import at_least
from closures.placing.buttonhole import buttonhole_for
from closures.placing.edge_to_edge import from_to
from closures.placing.plies import interfacings_told, is_sewn_here, laid_as_sewn, plies_on
from closures.placing.shrinkage import as_measured, banded
from closures.placing.stack import layers_on, worked_cloths
from closures.placing.usual_gap import is_of_coat_cloth
from closures.placing.usual_row import Usual, usual_row
from closures.plan.bands import MOST_INTERFACINGS
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.placing.usual_row import Told, UsualLength
    from closures.plan.plan import Plan


def with_usual(
    plan: Plan,
    fastener: Fastener,
    told: Told,
    catalogue: Catalogue,
    beyond_mm: Sequence[tuple[float, float]] = ((0.0, 0.0), (0.0, 0.0)),
) -> tuple[Plan, tuple[UsualLength, ...], tuple[str, ...]]:
    """Fill in what a plan leaves open.

    Args:
        plan: with an edge.
        fastener: its closure.
        told: what it tells along the closing line.
        catalogue: where the usual figures are kept.
        beyond_mm: how much further inside its edge than the band's inset says a mark lies, on the over and the under
            lap: of hooks and eyes on unwashed cloth, whose insets are those of their threads.

    Returns:
        The plan with its spacing complete, what was filled in there, and a line for everything that was filled in.
    """
    # First, since a hole along the line asks for room at either end.
    plan, way = with_usual_way(plan, fastener, catalogue)
    spacing, row = usual_row(plan, fastener, told, catalogue)
    plan, cut = _with_interfacing(plan, catalogue)
    lines = (*(one.line(plan.units) for one in row), *_insets(plan, beyond_mm), *cut, *_kept_lengths(plan))
    return replace(laid_as_sewn(plan, catalogue), spacing=spacing), row, (*(line.told for line in lines), *way)


def _kept_lengths(plan: Plan) -> list[Usual]:
    """Tell the way in which the cloth loses nothing in its first wash, because the plan does not tell what it loses."""
    if plan.shrinkage is None:
        return []
    ways = {"along": "Down the drawing", "across": "Across the drawing"}
    return [
        Usual(f"{ways[key]} the cloth loses nothing in its first wash", "not told", f"{key} under [shrinkage]")
        for key in plan.shrinkage.untold
    ]


def with_usual_way(
    plan: Plan, fastener: Fastener, catalogue: Catalogue, unwashed: float = 1.0
) -> tuple[Plan, tuple[str, ...]]:
    """Fill in which way buttonholes run, where a plan leaves it open: across where it pulls, along on a narrow band.

    Args:
        plan: with a band, or a strap.
        fastener: its closure.
        catalogue: where the lengths of buttonholes come from.
        unwashed: by what a width is more in this plan than once washed; the band is judged as it is worn.
    """
    if fastener.mark.buttonhole_lap is None or plan.closure.hole is not None:
        return plan, ()
    if plan.gauge is not None:
        why, way = "as a narrow knitted band has them", "along"
    elif plan.band is None:
        why, way = "along the strap, where it pulls", "across"
    else:
        # A coat has a coat's buttonholes whoever wears it.
        is_flat = plan.garment is not None and plan.garment.opens == "flat"
        is_coat = not is_flat and is_of_coat_cloth(plan, catalogue)
        old_way = None if plan.swap is None or plan.swap.hole is None else plan.swap.hole.way
        pulls = is_coat or fastener.setting == "tack button"
        room = _room_across_mm(plan, fastener, catalogue, unwashed) if pulls or old_way == "across" else 0.0
        # The same button fits as it did; a larger one may want more room across than the band has.
        is_same = plan.swap is not None and (plan.swap.kind, plan.swap.size) == (plan.closure.kind, plan.closure.size)
        why, way = "as on the band of a shirt", "along"
        if old_way is not None and (old_way == "along" or is_same or room >= 0):
            # Buttonholes that are cut stay good where a button comes to lie there again.
            why, way = "as the old ones lie", old_way
        elif pulls and room >= 0:
            why, way = "as a coat has them, where it pulls" if is_coat else "where it pulls", "across"
        elif pulls:
            by, _ = as_measured(plan)
            short = at_least(-room * unwashed * by, plan.units)
            whose = "a coat's, which" if is_coat else "those of a tack button, which"
            why = f"since this band is {short} too narrow beside the closing line for {whose} run across"
    source = f"published: {catalogue.source('NMSU231').text}"
    source = source if plan.gauge is None and why != "as the old ones lie" else "common practice"
    runs = f"{way} the closing line, {why}" if plan.gauge is not None or plan.band is not None else why
    line = Usual(f"Buttonholes {runs}", source, "hole under [closure]")
    hole: Literal["along", "across"] = "across" if way == "across" else "along"
    return replace(plan, closure=replace(plan.closure, hole=hole)), (line.told,)


def _room_across_mm(plan: Plan, fastener: Fastener, catalogue: Catalogue, unwashed: float) -> float:
    """What the worn band has to spare beyond buttonholes across the line and a little cloth; negative: it lacks."""
    across = replace(plan, closure=replace(plan.closure, hole="across"), shrinkage=None)
    hole, least = buttonhole_for(fastener, across, catalogue), catalogue.rule("ridge").value.value
    if plan.band is None or hole is None:
        return 0.0
    band = banded(plan.band, 1.0 / unwashed)
    behind = band.width_mm - band.inset_mm
    return min(band.inset_mm - hole.before_mm, behind - hole.after_mm) - least


def _insets(plan: Plan, beyond_mm: Sequence[tuple[float, float]]) -> list[Usual]:
    """Where the closing line lies: in the middle of the band, where no inset is told; and on the under lap, if only
    the over lap's is told and the two come out different.
    """
    # In the figures in which they would be written: on a sheet for cloth of the other state they are others, by the way
    # that the edge runs.
    by, state = as_measured(plan)
    band = None if plan.band is None else banded(plan.band, by)
    if band is not None and band.assumes_inset and (plan.edge is None or plan.edge.line is None):
        what = (
            f"The closing line lies {format_length(band.inset_mm, plan.units)} from the finished edge{state}, mid-band"
        )
        return [Usual(what, "as this program has it", "inset under [band]")]
    if band is None or not band.assumes_under_inset or band.inset_mm == band.under_inset_mm:
        return []
    if plan.edge is not None and plan.edge.under is not None and plan.edge.under_lies == "closed":
        # Where the under lap's edge is drawn closed, the line on that lap is the over lap's own.
        return []
    over_mm, under_mm = (
        [mm + more * by for more in beyond]
        for mm, beyond in zip((band.inset_mm, band.under_inset_mm), beyond_mm, strict=True)
    )
    both_mm = [sum(pair) for pair in zip(over_mm, under_mm, strict=True)]
    under, over, overlap = (
        from_to(*(format_length(mm, plan.units) for mm in span)) for span in (under_mm, over_mm, both_mm)
    )
    what = (
        f"The under lap's line lies {under} from its edge{state}, half its width, and not {over} as on the over lap: "
        f"the laps overlap by {overlap}"
    )
    return [Usual(what, "as this program has it", "under_inset under [band]")]


def _with_interfacing(plan: Plan, catalogue: Catalogue) -> tuple[Plan, list[Usual]]:
    """Fill in how many interfacings are cut for a band: as many as its layers tell, so that every stack counts them.

    Where the layers are not known for what they are, one, but none of leather, and none of pieces asked for besides
    the plan.
    """
    bands = plan.bands
    between = _between(plan, catalogue) if is_sewn_here(plan) else []
    if bands is None or bands.interfacing is not None:
        return plan, between
    laps: tuple[LapName, ...] = ("over", "under")
    leather = {lap: _is_leather(plan, lap, catalogue) for lap in laps}
    told = {lap: interfacings_told(plan, lap, catalogue) for lap in laps}
    unknown = {lap: 0 if bands.as_told or leather[lap] else 1 for lap in laps}
    cut = {lap: unknown[lap] if (of := told[lap]) is None else min(of, MOST_INTERFACINGS) for lap in laps}
    most = max(cut.values())
    bare = tuple(lap for lap in laps if not cut[lap])
    of_laps = tuple(cut.items()) if len(set(cut.values())) > 1 else ()
    plan = replace(plan, bands=replace(bands, interfacing=most, of_laps=of_laps))
    return plan, between + ([] if bands.as_told else _uncut(bare, leather))


def _between(plan: Plan, catalogue: Catalogue) -> list[Usual]:
    """Tell which of three plies is taken to lie between band and facing, where the plan does not say it."""
    laps: tuple[LapName, ...] = ("over", "under")
    found = [plies for lap in laps if (plies := plies_on(plan, lap, catalogue)) is not None and not plies.is_settled]
    told = dict.fromkeys(
        (in_a_row([layer.name for layer in plies.within]), "" if plies.facing is None else plies.facing.name)
        for plies in found
        if plies.within
    )
    is_folded = plan.bands is not None and plan.bands.made == "folded"
    return [
        Usual(
            f"{within[:1].upper()}{within[1:]} is sewn in between the band and its facing, which is of {facing}"
            if not is_folded
            else f"{within[:1].upper()}{within[1:]} is sewn in between the halves of the folded band",
            "as this program has it",
            "as under [[layer]]",
        )
        for within, facing in told
    ]


def _is_leather(plan: Plan, lap: LapName, catalogue: Catalogue) -> bool:
    return "leather" in worked_cloths(layers_on(lap, plan.layers, catalogue), plan, plan.closure.kind)


def _uncut(bare: Sequence[LapName], leather: Mapping[LapName, bool]) -> list[Usual]:
    """Tell of which bands no interfacing is cut, and why."""
    heat = ("leather may not bear the heat of a fusible", "common practice")
    untold = ("no layer tells one", "as this program has it")
    why = {lap: heat if leather[lap] else untold for lap in bare}
    lines = []
    for reason, basis in dict.fromkeys(why.values()):
        of = [lap for lap in bare if why[lap] == (reason, basis)]
        whose = "the bands" if len(of) > 1 else f"the {of[0]} lap's band"
        lines.append(Usual(f"No interfacing is cut for {whose}: {reason}", basis, "interfacing under [bands]"))
    return lines
