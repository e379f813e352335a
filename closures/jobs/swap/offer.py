"""One offer: a row of the new closures, held against the rules and the old holes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.checks.rules import check, worst
from closures.curve import Curve, Line
from closures.frozen import frozen
from closures.jobs.swap.clash import Clash, clashes_with
from closures.jobs.swap.covers import room_from_holes_mm
from closures.jobs.swap.kept import as_they_stay
from closures.jobs.swap.made_whole import check_holes
from closures.jobs.swap.patches import Patch, cloth_words_of, layers_with, patches_for, with_besides
from closures.jobs.swap.served import check_length_told, serves_again
from closures.jobs.swap.taken_up import taken_up
from closures.lengths import SAME_MM
from closures.placing.buttonhole import buttonhole_for
from closures.placing.placement import place_on
from closures.placing.role import face_of_part
from closures.plan.shown import shown_beside
from closures.spacing import best_spacing

if TYPE_CHECKING:
    from collections.abc import Collection

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Result
    from closures.jobs.swap.hiding import Hiding
    from closures.jobs.swap.old_row import OldHole, OldRow
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Mark, Placement, Prepared
    from closures.plan.shown import Show
    from closures.plan.swap import OfferKind
    from closures.spacing import Spacing, Wish

# A new closure this near to an old place is at it: a hundredth of what counts as well placed.
AT_MM = 0.01

FALSE_BUTTONS: tuple[OfferKind, ...] = ("hidden", "hidden helper")
"""The offers in which the old buttons come back for show."""


@frozen
class Anchored:
    """What an offer does to an anchor.

    Attributes:
        name: of the anchor.
        mark: the nearest mark.
        shift_mm: how far it sits from it, positive towards the last end.
        is_met: whether that is within what the plan allows.
    """

    name: str
    mark: int
    shift_mm: float
    is_met: bool


@frozen
class Offer:
    """A row of the new closures in place of the old ones.

    Attributes:
        n: its number in the list.
        kind: how it was found.
        name: the same for people.
        why: what speaks for it, in a sentence.
        placement: the row.
        findings: what the rules say of it, with those on old holes.
        clashes: the old holes that it meets or hides.
        kept: numbers of the old closures whose places stay.
        given_up: numbers of those whose places are left.
        added: numbers of the marks at new places.
        come_off: numbers of the old closures that are taken off the garment; none of one that is only drawn.
        unused: numbers of the old closures whose made holes stay in sight.
        unused_under: numbers of those whose holes stay in the under lap, which the over lap covers, and that are not
            told with `unused`.
        reused: pairs of mark and old closure whose buttonhole serves again.
        struck: numbers of the old closures that are struck out on a pattern.
        anchors: one for each anchor.
        patches: those behind old holes that closures stand at.
        changes: what is to be done, in order, in sentences.
        same_as: number of an earlier offer with the same places, None where there is none.
        hiding: how the snaps lie hidden under buttons for show, None where they do not.
        cloth: what the layers are, in words such as ``cloth: leather``.
        buttonhole: of its closures, through the patches as well; None for closures without.
    """

    n: int
    kind: OfferKind
    name: str
    why: str
    placement: Placement
    findings: tuple[Finding, ...]
    clashes: tuple[Clash, ...]
    kept: tuple[int, ...]
    given_up: tuple[int, ...]
    added: tuple[int, ...]
    come_off: tuple[int, ...]
    unused: tuple[int, ...]
    unused_under: tuple[int, ...]
    reused: tuple[tuple[int, int], ...]
    struck: tuple[int, ...]
    anchors: tuple[Anchored, ...]
    patches: tuple[Patch, ...] = ()
    changes: tuple[str, ...] = ()
    same_as: int | None = None
    hiding: Hiding | None = None
    cloth: frozenset[str] = frozenset()
    buttonhole: Buttonhole | None = None

    @property
    def places_mm(self) -> tuple[float, ...]:
        """The places along the closing line."""
        return self.placement.spacing.positions_mm

    @property
    def result(self) -> Result:
        """The worst result of any rule."""
        return worst(self.findings)

    @property
    def overlaps(self) -> tuple[Clash, ...]:
        """The clashes where a hole is in the way."""
        return tuple(clash for clash in self.clashes if clash.kind == "overlaps")

    @property
    def is_within(self) -> bool:
        """Whether its parts lie on the inside of the lap that is seen, so that nothing outside goes through them."""
        lap = laps_in_sight(self.placement)[0]
        return face_of_part(self.placement.fastener, lap, is_meeting=self.placement.laps.garment.is_meeting) == "inside"

    @property
    def in_sight(self) -> tuple[int, ...]:
        """Numbers of the old holes that a wearer would see beside the new closures, sewn shut or not.

        A closed buttonhole under a button for show looks as it always did, and is no hole in sight.
        """
        if self.kind in FALSE_BUTTONS:
            return ()
        laps = laps_in_sight(self.placement)
        return tuple(sorted({*self.unused, *(clash.hole for clash in self.overlaps if clash.lap in laps)}))

    @property
    def change_count(self) -> int:
        """How many places differ from the old row: given up, taken, or both at once."""
        return max(len(self.given_up), len(self.added))


@frozen
class Shop:
    """What every offer is made from.

    Attributes:
        prepared: the closing line, ready for the new closures.
        old: the old row.
        catalogue: rules, fasteners, cloths.
        patch_mm: radius of a patch at each new closure, 0 for none.
        buttonhole: of the new closure, None for closures without.
    """

    prepared: Prepared
    old: OldRow
    catalogue: Catalogue
    patch_mm: float
    buttonhole: Buttonhole | None = field(default=None)

    @property
    def show(self) -> Show:
        """Writes a length for people."""
        return shown_beside(self.prepared.plan.units)

    @property
    def hole_room_mm(self) -> float:
        """How far a new rim keeps from an old hole."""
        return room_from_holes_mm(self.prepared.plan, self.prepared.fastener, self.old, self.catalogue)

    @property
    def is_same(self) -> bool:
        """Whether the new closure is the old one again, after a change of the pattern."""
        new, old = self.prepared.fastener, self.old.fastener
        hole = next(iter(self.old.holes), None)
        turned = self.buttonhole is not None and hole is not None and hole.way != self.buttonhole.way
        turned |= self.old.is_turned != (self.prepared.plan.closure.halves == "turned")
        return (new.kind, new.size, new.cap_mm) == (old.kind, old.size, old.cap_mm) and not turned

    def cover_mm(self, lap: LapName) -> float:
        """Radius of what lies over an old hole at a new closure, seen from outside: what is sewn within hides none."""
        new, garment = self.prepared.fastener, self.prepared.laps.garment
        is_within = face_of_part(new, lap, is_meeting=garment.is_meeting) == "inside"
        return self.patch_mm if is_within else max(new.rim_mm, self.patch_mm)

    def best(self, wish: Wish) -> Placement:
        """Place the best row of a wish on this line.

        Raises:
            SpacingError: there is none.
        """
        from closures.placing.placement import shown_in

        units = self.prepared.plan.units
        step = 0.1 if units == "mm" else 25.4 / 16
        spacing: Spacing = best_spacing(wish, show=shown_in(units), step_mm=step)
        placement = place_on(self.prepared, spacing.positions_mm, self.catalogue)
        return replace(placement, spacing=replace(placement.spacing, reason=spacing.reason))

    def row(self, places_mm: Sequence[float]) -> Placement:
        """Place a row that is given."""
        return place_on(self.prepared, places_mm, self.catalogue)


def make_shop(prepared: Prepared, old: OldRow, catalogue: Catalogue, patch_mm: float) -> Shop:
    """Gather what offers are made from.

    Args:
        prepared: the closing line with the new closure.
        old: the old row on the same line.
        catalogue: rules, fasteners, cloths.
        patch_mm: radius of a patch at each new closure, 0 for none.
    """
    return Shop(prepared, old, catalogue, patch_mm, buttonhole_for(prepared.fastener, prepared.plan, catalogue))


def make_offer(
    shop: Shop,
    n: int,
    kind: OfferKind,
    name: str,
    why: str,
    placement: Placement,
    hiding: Hiding | None = None,
) -> Offer:
    """Hold a row against the rules and the old holes.

    Args:
        shop: what offers are made from.
        n, kind, name, why: as in `Offer`.
        placement: the row.
        hiding: as in `Offer`.

    Returns:
        The offer, without its sentences.
    """
    old, marks = shop.old, placement.marks
    at = {
        i: mark.n for i, place in enumerate(old.places_mm, 1) for mark in marks if abs(mark.along_mm - place) <= AT_MM
    }
    reused = tuple((at[hole.n], hole.n) for hole in old.holes if hole.n in at and serves_again(shop, hole))
    in_use = _in_use(shop, at) | taken_up(shop, placement)
    slits = {mark.n: slit for mark in marks if (slit := _new_slit(shop, placement, mark.n)) is not None}
    added = tuple(mark.n for mark in marks if mark.n not in at.values())
    apart = frozenset(added) if kind == "hidden helper" and placement.fastener.family != "sew-on snap" else frozenset()
    staying = frozenset(at.values()) if shop.is_same and old.made and kind not in FALSE_BUTTONS else frozenset()
    if staying and placement.unbacked:
        # What stays is backed no more, and takes the backing from no new one.
        anew = place_on(shop.prepared, placement.spacing.positions_mm, shop.catalogue, staying)
        placement, marks = replace(placement, marks=anew.marks, unbacked=anew.unbacked), anew.marks
    placement = replace(placement, staying=staying)
    # What was never taken off meets no old hole anew.
    own = [mark for mark in marks if mark.n not in apart | staying]
    button_mm = 0.0 if hiding is None else old.fastener.rim_mm
    cover_mm: dict[LapName, float] = {lap: max(shop.cover_mm(lap), button_mm) for lap in ("over", "under")}
    clashes = _clashes(shop, placement, own, cover_mm, slits, in_use)
    patches = patches_for(placement, old, clashes, shop.catalogue)
    thicker = replace(placement, plan=layers_with(placement.plan, patches, placement.fastener.family))
    buttonhole = buttonhole_for(placement.fastener, thicker.plan, shop.catalogue)
    if buttonhole != shop.buttonhole:
        # A patch of bulky cloth asks for longer buttonholes, which may meet more, and reach further in the patch.
        shop = replace(shop, buttonhole=buttonhole)
        slits = {mark.n: slit for mark in marks if (slit := _new_slit(shop, placement, mark.n)) is not None}
        clashes = _clashes(shop, placement, own, cover_mm, slits, in_use)
        patches = patches_for(thicker, old, clashes, shop.catalogue)
    placement = with_besides(shop.prepared, placement, patches, apart, hiding, shop.catalogue)
    untouched = set(_usual_not_taken(shop, kind, placement))
    assumed = (line for line in placement.assumed if line not in untouched)
    placement = replace(placement, assumed=(*assumed, *old.notes))
    cloth = frozenset(cloth_words_of(placement, shop.catalogue, old))
    unused, unused_under = _unused(placement, old, clashes, in_use)
    holes = (
        *check_holes(shop, placement, clashes, in_use, patches, cloth, slits),
        *check_length_told(shop, in_use, reused, buttonhole),
    )
    return Offer(
        n=n,
        kind=kind,
        name=name,
        why=why,
        placement=placement,
        findings=(*as_they_stay(check(placement, shop.catalogue), placement), *holes),
        clashes=clashes,
        kept=tuple(at),
        given_up=tuple(i for i in range(1, len(old.places_mm) + 1) if i not in at),
        added=added,
        come_off=()
        if not old.made
        else tuple(i for i in range(1, len(old.places_mm) + 1) if i not in at or not staying),
        unused=unused,
        unused_under=unused_under,
        reused=reused,
        struck=()
        if old.made
        else tuple(n for n in range(1, len(old.places_mm) + 1) if n not in at or not shop.is_same),
        anchors=_anchored(placement),
        patches=patches,
        hiding=hiding,
        cloth=cloth,
        buttonhole=buttonhole,
    )


_BY_PITCH: tuple[OfferKind, ...] = ("ends", "best", "clear")
"""The offers that are divided by the wished gaps; the others go by the old places."""


def _usual_not_taken(shop: Shop, kind: OfferKind, placement: Placement) -> Iterator[str]:
    """List the lines on what is usual that an offer does not go by: it tells only what was taken."""
    along = placement.spacing.positions_mm
    ends = {"first": along[0], "last": placement.laps.line.length_mm - along[-1]}
    for one in shop.prepared.usual:
        at = ends.get(one.key)
        is_met = at is not None and one.span.low_mm - SAME_MM <= at <= one.span.high_mm + SAME_MM
        if not (is_met if one.key != "pitch" else kind in _BY_PITCH):
            yield one.line(shop.prepared.plan.units).told


def _clashes(
    shop: Shop,
    placement: Placement,
    marks: Sequence[Mark],
    cover_mm: Mapping[LapName, float],
    slits: Mapping[int, Curve],
    in_use: Collection[tuple[int, int, LapName]],
) -> tuple[Clash, ...]:
    new, holes = placement.fastener, shop.old.holes
    lap = new.mark.buttonhole_lap
    return clashes_with(marks, holes, new.rim_mm, cover_mm, shop.hole_room_mm, shop.catalogue, slits, in_use, lap)


def _in_use(shop: Shop, at: Mapping[int, int]) -> frozenset[tuple[int, int, LapName]]:
    """Mark, hole and lap where a new closure uses an old hole, or is the old one that was never taken off."""
    return frozenset(
        (at[hole.n], hole.n, hole.lap)
        for hole in shop.old.holes
        if hole.n in at and (shop.is_same or serves_again(shop, hole))
    )


def laps_in_sight(placement: Placement) -> tuple[LapName, ...]:
    """The laps of which a wearer sees the outside: the under lap of edges that are lapped lies beneath the other."""
    return ("over", "under") if placement.laps.garment.is_meeting else ("over",)


def unused_in_sight(old: OldRow, offer: Offer) -> tuple[OldHole, ...]:
    """The old holes in the laps that are seen which no new closure stands at."""
    return tuple(hole for hole in old.holes if hole.n in offer.unused and hole.lap in laps_in_sight(offer.placement))


def _unused(
    placement: Placement, old: OldRow, clashes: Sequence[Clash], in_use: Collection[tuple[int, int, LapName]]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Old closures whose made holes no new closure stands at or uses: those in sight, and more in the under lap."""
    told = {(clash.hole, clash.lap) for clash in clashes} | {(n, lap) for _, n, lap in in_use}
    left = {(hole.n, hole.lap) for hole in old.holes if hole.made} - told
    seen = {n for n, lap in left if lap in laps_in_sight(placement)}
    covered = {n for n, lap in left if lap not in laps_in_sight(placement)}
    return tuple(sorted(seen)), tuple(sorted(covered if old.is_unlike else covered - seen))


def _new_slit(shop: Shop, placement: Placement, n: int) -> Curve | None:
    """The buttonhole of a mark as it lies in the cloth."""
    new = shop.buttonhole
    if new is None:
        return None
    lap = placement.laps[placement.fastener.mark.buttonhole_lap or "under"]
    mark = placement.marks[n - 1].on(lap.name)
    if mark is None:
        return None
    if new.way == "along":
        low, high = max(mark.along_mm - new.before_mm, 0.0), min(mark.along_mm + new.after_mm, lap.line.length_mm)
        return lap.line.stretch(low, high) if high > low else None
    start, end = (lap.moved_in(mark.at, mark.tangent, by) for by in (-new.before_mm, new.after_mm))
    return Curve((Line(start, end),))


def _anchored(placement: Placement) -> tuple[Anchored, ...]:
    found = []
    for anchor in placement.anchors:
        mark = min(placement.marks, key=lambda m: abs(m.along_mm - anchor.along_mm))
        shift = mark.along_mm - anchor.along_mm
        near = anchor.within_mm + SAME_MM
        found.append(Anchored(anchor.name, mark.n, shift, abs(shift) <= near))
    return tuple(found)
