"""Patches behind old holes that a new closure stands over: how large, of what, and what they add to the stack.

Terms: a *patch* here lies on the inside, flat against a hole that was sewn shut; its *along* runs with the closing
line, its *across* square to it.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.jobs.swap.hiding import without_outer_layer
from closures.jobs.swap.patch_cloth import cloth_in_words, cloth_of_patch
from closures.placing.backing_cut import PAST_FLANGE_MM
from closures.placing.buttonhole import hole_at
from closures.placing.cloth_marks import faces_of, has_nap_alone, keeps_marks, keeps_marks_within, own_layers
from closures.placing.knitted import keeps_loops
from closures.placing.placement import place_on
from closures.placing.stack import layers_on, worked_cloths
from closures.placing.usual_gap import SMALL_SNAP_MM
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Point
    from closures.jobs.swap.clash import Clash
    from closures.jobs.swap.hiding import Hiding
    from closures.jobs.swap.old_row import OldHole, OldRow
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Mark, Placement, Prepared
    from closures.plan.plan import Plan
    from closures.plan.shown import Show

# So that the square root of a square never costs a millimetre of cloth.
_HAIR_MM = 1e-9
BITES = ("press-set snap", "magnetic snap", "eyelet")
"""The families that clamp what they bite into, and with it the patch."""
# A buttonhole is worked through the patch as well, and the shank of its button is as long as both are thick.
_COUNTED = (*BITES, "button")

_ALONG = "along the line centred on the hole"
_LIES = {
    None: "centred on the hole",
    "band": f"as wide as the band, {_ALONG}",
    "edge": f"from the finished edge inwards, {_ALONG}",
    "inner": f"from the inner edge of the band outwards, {_ALONG}",
}

PATCH_BEHIND = "patch behind an old hole"
"""What such a patch is called among the parts."""


@frozen
class Patch:
    """A patch behind one old hole, at one new closure.

    Attributes:
        mark: number of the new closure.
        lap: which.
        hole: number of the old one.
        along_mm, across_mm: its least size, where its middle lies behind that of the hole; whole mm.
        cut_at: across, where the band ends it: at the finished edge, the band's inner one, or both ("band").
        is_oblong: it is told both ways even where it is square, since a round one would leave out a corner.
        layer: the same as a layer of the lap; None where the plan tells no cloth that it could be of.
    """

    mark: int
    lap: LapName
    hole: int
    along_mm: float
    across_mm: float
    cut_at: Literal["edge", "inner", "band"] | None
    layer: LayerWish | None
    is_oblong: bool = False

    def size(self, show: Show) -> str:
        """Its size in words, and where its middle lies."""
        size = f"{show(self.along_mm)} along the line and {show(self.across_mm)} across"
        if self.along_mm == self.across_mm and not self.is_oblong:
            size = f"{show(self.along_mm)} across"
        return f"{size} ({_LIES[self.cut_at]})"

    def told(self, show: Show) -> str:
        """Its size in words, with what it is of."""
        cloth = "" if self.layer is None or self.layer.cloth is None else f" of {self.layer.cloth}"
        return f"a patch{cloth} of at least {self.size(show)}"


def patch_for(placement: Placement, old: OldRow, clash: Clash, catalogue: Catalogue) -> Patch:
    """Work out the patch behind an old hole that a new closure stands at.

    It is laid behind the hole before any mark is made, so its middle lies there. From there it takes in the flange with
    the room that keeps it flat, and the whole hole with what hides one (both in the table of rules); across, it ends
    with the band. Where a new buttonhole is cut there, it takes in the slit as well, and reaches past the slit, both
    its ends and the old hole as a backing reaches past a flange.

    Args:
        placement: the row.
        old: the old closures.
        clash: the hole and the closure.
        catalogue: rules.
    """
    on = placement.marks[clash.mark - 1].on(clash.lap)
    hole = next(hole for hole in old.holes if (hole.n, hole.lap) == (clash.hole, clash.lap))
    if on is None:
        raise ValueError("a hole is in the way only on a lap that carries the closure")
    flange = placement.fastener.rim_mm + catalogue.rule("ridge").value.value
    slit = hole_at(placement, placement.laps[clash.lap], on, catalogue) if clash.lap == _slit_lap(placement) else None
    spans = ((0.0, 0.0), (0.0, 0.0)) if slit is None else _spans_of_slit(slit)
    # Round a slit the patch carries what pulls on its ends, and must hold in whole cloth past the hole.
    past_hole = catalogue.rule("old hole hidden by").value.value if slit is None else PAST_FLANGE_MM
    lap = placement.laps[clash.lap]
    middle, along_half, across_half = _lying(hole, on.tangent, lap.inward(on.tangent))
    off_along, off_across = (_on(way, on.at, middle) for way in (on.tangent, lap.inward(on.tangent)))
    along, across = (
        max(abs(off) + flange, half + past_hole, off - low, high - off)
        for off, half, (low, high) in zip((off_along, off_across), (along_half, across_half), spans, strict=True)
    )
    from_edge = on.edge_distance_mm + off_across
    behind = on.inner_distance_mm
    to_inner = across if behind is None or behind <= 0 else min(across, behind - off_across)
    to_edge = min(across, from_edge)
    wide = math.ceil(to_edge + to_inner - _HAIR_MM)
    is_cut = (to_edge < across - _HAIR_MM, to_inner < across - _HAIR_MM)
    cut_at: Literal["edge", "inner", "band"] | None = "edge" if is_cut[0] else "inner" if is_cut[1] else None
    if behind is not None and behind > 0:
        band = math.floor(on.edge_distance_mm + behind + _HAIR_MM)
        if wide >= band:
            wide, cut_at = band, "band"
    layer = cloth_of_patch(placement.plan, clash.lap, catalogue)
    if layer is not None:
        at = on.along_mm + off_along
        layer = replace(
            layer,
            on=clash.lap,
            count=1,
            along_mm=Range(max(at - along, 0.0), at + along),
            across_mm=Range(max(from_edge - across, 0.0), from_edge + across),
        )
    return Patch(
        clash.mark,
        clash.lap,
        clash.hole,
        float(math.ceil(2 * along - _HAIR_MM)),
        float(wide),
        cut_at,
        layer,
        slit is not None or min(abs(off_along), abs(off_across)) > _HAIR_MM,
    )


def _spans_of_slit(slit: Buttonhole) -> tuple[tuple[float, float], tuple[float, float]]:
    """From where to where of its mark a patch behind a slit reaches: along the line to its last end, and inwards."""
    before, after = slit.before_mm, slit.after_mm
    long, wide = (-before - PAST_FLANGE_MM, after + PAST_FLANGE_MM), (-PAST_FLANGE_MM, PAST_FLANGE_MM)
    if slit.way == "along":
        return long, wide
    low, high = sorted((-before * slit.aslant, after * slit.aslant))
    return (low - PAST_FLANGE_MM, high + PAST_FLANGE_MM), long


def _on(way: Point, a: Point, b: Point) -> float:
    """How far b lies from a along a unit direction."""
    return (b[0] - a[0]) * way[0] + (b[1] - a[1]) * way[1]


def _lying(hole: OldHole, along: Point, inward: Point) -> tuple[Point, float, float]:
    """The middle of a hole, and how far the hole reaches from it along the line and across."""
    if hole.slit is None:
        return hole.centre, hole.length_mm / 2, hole.length_mm / 2
    (ax, ay), (bx, by) = hole.ends
    middle = ((ax + bx) / 2, (ay + by) / 2)
    return middle, abs(_on(along, middle, hole.ends[1])), abs(_on(inward, middle, hole.ends[1]))


def _slit_lap(placement: Placement) -> LapName | None:
    return placement.fastener.mark.buttonhole_lap


def patches_for(placement: Placement, old: OldRow, clashes: Sequence[Clash], catalogue: Catalogue) -> tuple[Patch, ...]:
    """List the patches that a row needs: one for each hole that a closure stands at, in the way or hidden by it.

    A hole that a patch on the outside hides is held by that patch.
    """
    swap = placement.plan.swap
    backs_all = swap is None or swap.patch_mm is None
    needing = [clash for clash in clashes if backs_all or clash.kind == "overlaps"]
    return _one_to_a_hole([patch_for(placement, old, clash, catalogue) for clash in needing])


def _one_to_a_hole(patches: Sequence[Patch]) -> tuple[Patch, ...]:
    """Let one patch, as large as the largest, serve all closures that stand at one hole: its middle lies behind it."""
    largest: dict[tuple[LapName, int], Patch] = {}
    for patch in patches:
        at = (patch.lap, patch.hole)
        largest[at] = patch if at not in largest else _taking_in(largest[at], patch)
    return tuple(replace(largest[patch.lap, patch.hole], mark=patch.mark) for patch in patches)


def _taking_in(one: Patch, other: Patch) -> Patch:
    """One patch in place of two behind the same hole."""
    wide = max(one, other, key=lambda patch: patch.across_mm)
    long = max(one, other, key=lambda patch: patch.along_mm)
    layer = wide.layer
    if layer is not None and long.layer is not None:
        layer = replace(layer, along_mm=long.layer.along_mm)
    is_oblong = one.is_oblong or other.is_oblong
    return replace(wide, along_mm=long.along_mm, layer=layer, is_oblong=is_oblong)


def each_once(patches: Sequence[Patch]) -> tuple[Patch, ...]:
    """Each patch once, however many closures stand at its hole."""
    return tuple({(patch.lap, patch.hole): patch for patch in patches}.values())


def patch_at(patches: Sequence[Patch], clash: Clash) -> Patch | None:
    """The patch behind the hole of a clash, None where it needs none."""
    return next((p for p in patches if (p.mark, p.lap, p.hole) == (clash.mark, clash.lap, clash.hole)), None)


def layers_with(plan: Plan, patches: Sequence[Patch], family: str) -> Plan:
    """Put patches among the layers of a plan, where the closure holds in them: clamped, worked or sewn through."""
    if family not in _COUNTED:
        return plan
    laid = (patch.layer for patch in each_once(patches) if patch.layer is not None)
    return replace(plan, layers=(*plan.layers, *laid))


def _patched(
    placement: Placement, patches: Sequence[Patch], apart: frozenset[int]
) -> tuple[frozenset[tuple[int, LapName]], frozenset[tuple[int, LapName]]]:
    """Where patches lie under closures, and where one is clamped of which nothing tells what it is of."""
    wish = placement.plan.swap
    behind = {(patch.mark, patch.lap): patch.layer is not None for patch in patches}
    outside: set[tuple[int, LapName]] = set()
    if wish is not None and wish.patch_mm is not None:
        laps: tuple[LapName, ...] = ("over", "under")
        outside = {(mark.n, lap) for mark in placement.new_marks for lap in laps if mark.on(lap) is not None}
    placed = frozenset(at for at in {*behind, *outside} if at[0] not in apart)
    if wish is None or wish.patch_cloth is not None or placement.fastener.family not in _COUNTED:
        return placed, frozenset()
    return placed, frozenset(at for at in placed if at in outside or not behind[at])


def told_on_laps(
    patches: Sequence[Patch], show: Show, holes: Callable[[LapName, Sequence[int]], str] | None = None, by: str = ""
) -> str:
    """Tell patches by their size, and which lap each is on where the two laps take unlike ones.

    Args:
        patches: behind old holes.
        show: writes a length.
        holes: writes the holes of a lap that patches of one size lie behind; None where they are told elsewhere.
        by: stands before each size.
    """
    alike: dict[tuple[str, str], dict[int, None]] = {}
    laps: dict[tuple[str, str], LapName] = {}
    sizes = {lap: {patch.told(show) for patch in patches if patch.lap == lap} for lap in ("over", "under")}
    is_unlike = bool(sizes["over"] and sizes["under"]) and sizes["over"] != sizes["under"]
    for patch in patches:
        lap = f"on the {patch.lap} lap " if is_unlike else ""
        told = (lap, patch.told(show))
        alike.setdefault(told, {})[patch.hole] = None
        laps.setdefault(told, patch.lap)
    each = [
        f"{told[0]}{by}{told[1]}" + (f" at {holes(laps[told], tuple(at))}" if holes else "")
        for told, at in alike.items()
    ]
    if holes:
        return "; ".join(each)
    return " and ".join(each) if is_unlike else " or ".join(each)


def parts_of(patches: Sequence[Patch]) -> tuple[tuple[str, LapName, int], ...]:
    """Count patches as parts, lap by lap."""
    counts = Counter(patch.lap for patch in each_once(patches))
    laps: tuple[LapName, ...] = ("over", "under")
    return tuple((PATCH_BEHIND, lap, counts[lap]) for lap in laps if counts[lap])


def parts_outside(placement: Placement) -> tuple[tuple[str, LapName, int], ...]:
    """Count the patches that go on at every new closure, lap by lap; nothing where none are told."""
    swap = placement.plan.swap
    if swap is None or swap.patch_mm is None:
        return ()
    own = [mark for mark in placement.all_marks if mark.n not in placement.sewn_apart | placement.staying]
    laps: tuple[LapName, ...] = ("over", "under")
    counts = {lap: sum(mark.on(lap) is not None for mark in own) for lap in laps}
    return tuple(("patch", lap, counts[lap]) for lap in laps if counts[lap])


def small_sewn_snap(beside: Fastener, catalogue: Catalogue) -> Fastener:
    """Choose the snap that is sewn on where nothing is pierced: the largest small one that is no wider than the row's.

    Args:
        beside: what the row is of; all that was asked of its width then holds of the helper as well.
        catalogue: where the snap is looked up.
    """
    sizes = sorted((one for one in catalogue.fasteners if one.kind == "sew-on snap"), key=lambda one: one.rim_mm)
    fits = [one for one in sizes if one.rim_mm <= min(SMALL_SNAP_MM / 2, beside.rim_mm)]
    return fits[-1] if fits else sizes[0]


def with_besides(
    prepared: Prepared,
    placement: Placement,
    patches: Sequence[Patch],
    apart: frozenset[int],
    hiding: Hiding | None,
    catalogue: Catalogue,
) -> Placement:
    """Count what an offer takes beside its closures: patches in stack and parts, a helper that is sewn on.

    Args:
        prepared: the closing line, ready for the new closures.
        placement: the row.
        patches: behind old holes.
        apart: numbers of marks with a helper that is sewn on.
        hiding: how the row lies hidden; what is set beneath the outer layer does not clamp it.
        catalogue: fasteners, cloths, rules.
    """
    plan = without_outer_layer(placement.plan, catalogue) if hiding == "beneath" else placement.plan
    plan = layers_with(plan, patches, placement.fastener.family)
    if plan.layers != placement.plan.layers:
        again = place_on(replace(prepared, plan=plan), placement.spacing.positions_mm, catalogue)
        placement = replace(placement, plan=plan, marks=again.marks)
    marks = tuple(_clamping_nothing(mark) if mark.n in apart else mark for mark in placement.marks)
    helpers: tuple[tuple[str, LapName, int], ...] = ()
    helper = small_sewn_snap(placement.fastener, catalogue) if apart else None
    if helper is not None:
        bought = f"of a small {helper.name}"
        helpers = ((f"ball half {bought}", "over", len(apart)), (f"socket half {bought}", "under", len(apart)))
    assumed = (*placement.assumed, *cloth_in_words(prepared.plan, [(one.lap, one.layer) for one in patches], catalogue))
    patched, uncounted = _patched(placement, patches, apart)
    return replace(
        placement,
        marks=marks,
        sewn_apart=apart,
        helper=helper,
        besides=(*helpers, *parts_of(patches)),
        assumed=assumed,
        is_beneath=hiding == "beneath",
        patched=patched,
        uncounted=uncounted,
    )


def _clamping_nothing(mark: Mark) -> Mark:
    over, under = (None if on is None else replace(on, stack=None) for on in (mark.over, mark.under))
    return replace(mark, over=over, under=under)


_LAPS: tuple[LapName, LapName] = ("over", "under")


def laps_with_holes(old: OldRow) -> tuple[LapName, ...]:
    """The laps in which old holes are, in order; both where there are none."""
    found = {hole.lap for hole in old.holes}
    return tuple(lap for lap in _LAPS if lap in found or not found)


def cloth_words_of(placement: Placement, catalogue: Catalogue, old: OldRow) -> set[str]:
    """What the laps are that have old holes, as the facts of a job name it: ``cloth: leather``."""
    wishes = own_layers(placement.plan)
    told = {lap: layers_on(lap, wishes, catalogue) for lap in _LAPS}
    # Of a lap of which no layer is told no more is known than of the other.
    layers = [layer for lap in laps_with_holes(old) for layer in told[lap]]
    layers = layers or [layer for own in told.values() for layer in own]
    nap = {"pile"} if has_nap_alone(layers, catalogue) else set()
    words = {f"cloth: {cloth}" for cloth in worked_cloths(layers, placement.plan, placement.fastener.kind) - nap}
    words |= {"marks"} if keeps_marks(layers, placement.plan, catalogue) else set()
    faces = faces_of(placement.plan, catalogue)
    words |= {"marks within"} if keeps_marks_within(layers, faces, placement.plan, catalogue) else set()
    return words | ({"loops keep"} if keeps_loops(layers, placement.plan, catalogue) else set())
