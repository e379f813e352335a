"""All the offers of a swap: each way of placing the new closures that is worth a look."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.errors import SpacingError
from closures.frozen import frozen
from closures.jobs.swap.changes import changes_of
from closures.jobs.swap.clash import closed_by_hole, is_room_to_cover
from closures.jobs.swap.covers import least_cover_mm
from closures.jobs.swap.fewest import fewest_changes
from closures.jobs.swap.hiding import CannotHide, hiding_of, is_seen_through
from closures.jobs.swap.offer import AT_MM, FALSE_BUTTONS, Offer, Shop, make_offer, unused_in_sight
from closures.jobs.swap.pull import SNAPS
from closures.jobs.swap.told import told_otherwise
from closures.jobs.swap.words import counted, cover_in_words
from closures.offered import at_least
from closures.placing.old_ends import old_ends
from closures.plan.swap import OFFERS
from closures.said import for_author
from closures.series import runs_of
from closures.spacing import Clear

if TYPE_CHECKING:
    from closures.jobs.swap.hiding import Hiding
    from closures.jobs.swap.needs import LapNeed
    from closures.placing.placement import Placement
    from closures.plan.swap import OfferKind
    from closures.spacing import Wish

# Past the room that is asked for, so that rounding never puts a rim back into it.
_HAIR_MM = 1e-6


@frozen
class NotOffered:
    """A way that was tried and does not work.

    Attributes:
        name: as an offer would be called.
        why: what stands against it.
    """

    name: str
    why: str


@frozen
class _Way:
    """One way to a row; `make` gives the row and what speaks for it, or says why there is none."""

    kind: OfferKind
    make: Callable[[Shop], tuple[Placement, str]]

    @property
    def name(self) -> str:
        return OFFERS[self.kind]


class _No(Exception):
    """A way that does not work here; its text says why."""


def make_offers(
    shop: Shop, needs: Callable[[Placement], tuple[LapNeed, ...]]
) -> tuple[tuple[Offer, ...], tuple[NotOffered, ...]]:
    """Make every offer that this line, this closure and these old holes allow.

    Args:
        shop: what offers are made from.
        needs: what the laps lack for a row.

    Returns:
        The offers, numbered from 1, and the ways that do not work, with reasons.
    """
    offers: list[Offer] = []
    refused: list[NotOffered] = []
    for way in _ways(shop):
        try:
            placement, why = way.make(shop)
        except _No as no:
            refused.append(NotOffered(way.name, str(no)))
            continue
        except SpacingError as error:
            refused.append(NotOffered(way.name, "; ".join(f"{f.what}. {f.mend}" for f in error.faults)))
            continue
        hiding = _hiding(shop) if way.kind in FALSE_BUTTONS else None
        offer = make_offer(shop, len(offers) + 1, way.kind, way.name, why, placement, hiding)
        earlier = next((o.n for o in offers if _are_alike(o, offer)), None)
        offer = replace(offer, same_as=earlier)
        offers.append(replace(offer, changes=changes_of(shop, offer, needs(offer.placement))))
    return tuple(_looked_at(shop, offer, _what_hides(shop, offers, offer)) for offer in offers), tuple(refused)


def _looked_at(shop: Shop, offer: Offer, hides: str) -> Offer:
    """Add a look to an offer that keeps not to what was told, or beside whose closures old holes stay to be seen."""
    otherwise = tuple(told_otherwise(shop, offer))
    offer = replace(offer, findings=(*offer.findings, *otherwise)) if otherwise else offer
    if not offer.in_sight:
        return offer
    many = len(offer.in_sight) > 1
    hole = f"{'buttonhole' if shop.old.has_buttonholes else 'hole'}{'s' if many else ''}"
    text = (
        f"Old {hole} {runs_of(offer.in_sight)} "
        f"{'stay' if many else 'stays'} in sight beside the new closures, "
        f"also when {'they are' if many else 'it is'} shut."
    ) + for_author(f" {hides}")
    return replace(offer, findings=(*offer.findings, Finding("old hole", "warn", text, "common practice")))


def _what_hides(shop: Shop, offers: Sequence[Offer], offer: Offer) -> str:
    """What would hide the old holes: an offer where one does, and what else was tried and works."""
    if not shop.old.made or not shop.old.holes or not offers:
        return ""
    across = least_cover_mm(shop.old, shop.catalogue)
    ways = list(_covers(shop, offer, across))
    hiding = [one.n for one in offers if not one.in_sight and one.same_as is None]
    if hiding:
        ways.insert(0, f"offer{'s' if len(hiding) > 1 else ''} {runs_of(hiding)}")
        return f"What hides the old holes: {'; or '.join(ways)}."
    with suppress(_No, SpacingError):
        _middles(replace(shop, patch_mm=across / 2))
        with_what = "a snap behind each of them" if shop.old.has_buttonholes else "a closure at each of them"
        ways.append(f'patch = "{at_least(across, shop.prepared.plan.units)}" under [swap], with {with_what}')
    if not ways:
        return "No offer hides the old holes, and beside the new closures there is no room for a patch over them."
    return f"No offer hides the old holes. What would: {'; or '.join(ways)}."


def _covers(shop: Shop, offer: Offer, across_mm: float) -> Iterator[str]:
    """What would be laid over holes that stay in sight: under a part that stands there, or clear of all parts."""
    if offer.overlaps and not offer.is_within:
        yield "a patch over each at which a closure stands, under all of that, on before it is set"
    left = unused_in_sight(shop.old, offer)
    if offer.is_within or (left and is_room_to_cover(offer.placement, left, across_mm)):
        cover = cover_in_words(offer.cloth, is_for_child=shop.prepared.plan.is_for_child)
        yield f"{cover} afterwards, {shop.show(across_mm)} or more across"


def _are_alike(one: Offer, other: Offer) -> bool:
    return len(one.places_mm) == len(other.places_mm) and all(
        abs(a - b) <= AT_MM for a, b in zip(one.places_mm, other.places_mm, strict=True)
    )


def _ways(shop: Shop) -> Iterator[_Way]:
    old, new = shop.old, shop.prepared.fastener
    yield _Way("keep", _keep)
    yield _Way("ends", _ends)
    yield _Way("best", _best)
    yield _Way("fewest", _fewest)
    if old.made and old.holes and shop.buttonhole is None:
        yield _Way("clear", _clear)
    if shop.prepared.anchors:
        yield _Way("helper", _helper)
    # A button whose hole is in the under lap was hidden itself: nobody misses it, and its hole is not seen.
    if old.fastener.family == "button" and old.fastener.mark.buttonhole_lap != "under" and new.family in SNAPS:
        yield _Way("hidden", _hidden)
        if old.made and old.has_buttonholes:
            yield _Way("behind", _behind)
        if shop.prepared.anchors:
            yield _Way("hidden helper", _hidden_helper)
            if old.made and old.has_buttonholes:
                yield _Way("behind helper", _behind_helper)


def _keep(shop: Shop) -> tuple[Placement, str]:
    return shop.row(shop.old.places_mm), "Nothing is measured anew, and both laps keep their marks."


def _ends(shop: Shop) -> tuple[Placement, str]:
    places, line = shop.old.places_mm, shop.prepared.laps.line.length_mm
    first, last = places[0], line - places[-1]
    wish = replace(shop.prepared.wish, first=(first, first), last=(last, last))
    return shop.best(wish), "Neck and hem keep their look, and what lies between is even."


def _best(shop: Shop) -> tuple[Placement, str]:
    why = "The plan's own spacing, met as well as can be."
    if not _ends_as_old(shop):
        why = f"As if nothing had been there: {why[0].lower()}{why[1:]}"
    return shop.best(shop.prepared.wish), why


def _fewest(shop: Shop) -> tuple[Placement, str]:
    places = fewest_changes(shop.prepared.wish, shop.old.places_mm)
    if places is None:
        raise _No("No row keeps to the anchors, the clear zones and the limits on gaps.")
    kept = sum(any(abs(place - other) <= AT_MM for other in places) for place in shop.old.places_mm)
    return shop.row(places), f"{kept} of {counted(len(shop.old.places_mm), 'place')} stay, and no anchor is missed."


def _clear(shop: Shop) -> tuple[Placement, str]:
    laps = shop.prepared.laps
    room = shop.prepared.fastener.rim_mm + shop.hole_room_mm + _HAIR_MM
    zones = []
    for hole in shop.old.holes:
        low, high = closed_by_hole(hole, shop.old.places_mm[hole.n - 1], laps[hole.lap], room)
        zones.append(Clear(f"old hole {hole.n}", low, high))
    wish = _beside_the_old_ends(shop, zones)
    placement = shop.best(replace(wish, clear=(*wish.clear, *zones)))
    return placement, "Every part bites into whole cloth; the old holes are only closed or covered."


def _ends_as_old(shop: Shop) -> frozenset[str]:
    """Which ends of the row nobody told: those of the old one are taken there, on a garment that is finished."""
    prepared = shop.prepared
    if old_ends(prepared.plan, prepared.laps.line.length_mm) is None:
        return frozenset()
    return frozenset(one.key for one in prepared.usual if one.key in ("first", "last"))


def _beside_the_old_ends(shop: Shop, zones: Sequence[Clear]) -> Wish:
    """Let ends that only the old row gave lie in the nearest whole cloth beside its first and its last hole."""
    prepared, wish = shop.prepared, shop.prepared.wish
    length = prepared.laps.line.length_mm
    taken = _ends_as_old(shop)
    first, last = shop.old.places_mm[0], shop.old.places_mm[-1]
    least = shop.catalogue.rule("ends least").value.value
    ends = {"first": (first, [(one.low_mm, one.high_mm) for one in zones if one.low_mm < first < one.high_mm])}
    ends["last"] = (
        length - last,
        [(length - one.high_mm, length - one.low_mm) for one in zones if one.low_mm < last < one.high_mm],
    )
    for key, (at, closed) in ends.items():
        now = wish.first if key == "first" else wish.last
        if key in taken and closed and now[0] - AT_MM <= at <= now[1] + AT_MM:
            low = min(one for one, _ in closed) - _HAIR_MM
            # Where too little cloth is left beyond the hole, the row ends within it.
            span = (low if low >= least else at, max(one for _, one in closed) + _HAIR_MM)
            wish = replace(wish, first=span) if key == "first" else replace(wish, last=span)
    return wish


def _helper(shop: Shop) -> tuple[Placement, str]:
    places, names = _with_helpers(shop, shop.old.places_mm)
    return shop.row(places), f"The old row stays, and {names} no longer lies between two closures."


def _with_helpers(shop: Shop, places: Sequence[float]) -> tuple[tuple[float, ...], str]:
    """Add a place at each anchor that a row misses.

    Returns:
        All places, ascending, and the names of those anchors.
    """
    wish = shop.prepared.wish
    missed = [a for a in shop.prepared.anchors if min(abs(p - a.along_mm) for p in places) > a.within_mm + AT_MM]
    if not missed:
        old = "an old" if places == shop.old.places_mm else "a"
        raise _No(f"Every anchor has {old} closure at it.")
    added: list[float] = []
    for anchor in missed:
        at = anchor.along_mm
        if any(zone.low_mm < at < zone.high_mm for zone in wish.clear):
            raise _No(f"{anchor.name} lies in a clear zone.")
        if min(abs(place - at) for place in (*places, *added)) < wish.closest_mm - _HAIR_MM:
            raise _No(f"At {anchor.name} there is no room for one more beside those that stay.")
        added.append(at)
    return tuple(sorted((*places, *added))), " and ".join(anchor.name for anchor in missed)


def _hiding(shop: Shop) -> Hiding:
    try:
        return hiding_of(shop.prepared, shop.old, shop.catalogue)
    except CannotHide as cannot:
        raise _No(str(cannot)) from None


_BENEATH: Mapping[Hiding, str] = {
    "sewn": "snaps that are sewn to its inner layer alone",
    "ring": "snaps no wider than they are",
    "beneath": "snaps that its outer layer covers",
}


def _refuse_loose_parts(shop: Shop) -> None:
    if shop.prepared.plan.is_under_three:
        raise _No("Under three, what comes loose goes into the mouth: nothing is sewn on for show.")


def _hidden(shop: Shop) -> tuple[Placement, str]:
    _refuse_loose_parts(shop)
    beneath = _BENEATH[_hiding(shop)]
    return shop.row(shop.old.places_mm), (
        f"Outside it still looks buttoned: the buttons sit on the over lap for show, above {beneath}."
    )


def _hidden_helper(shop: Shop) -> tuple[Placement, str]:
    _refuse_loose_parts(shop)
    try:
        _hiding(shop)
    except _No:
        raise _No("As above: no button can be sewn on over these snaps, or it would not hide them.") from None
    if is_seen_through(shop.prepared.plan, shop.catalogue, "sewn"):
        raise _No("The cloth of the over lap is sheer, and a helper without a button over it is seen through it.")
    row, why = _helper(shop)
    return row, f"Outside it still looks buttoned, and the helper does not show. {why}"


def _behind(shop: Shop) -> tuple[Placement, str]:
    return shop.row(_middles(shop)), "Each snap sits at the middle of an old hole, which its cap or patch hides."


def _behind_helper(shop: Shop) -> tuple[Placement, str]:
    try:
        middles = _middles(shop)
    except _No:
        raise _No("As above: the old holes cannot be hidden each behind a snap.") from None
    places, names = _with_helpers(shop, middles)
    return shop.row(places), (
        f"Each snap sits at the middle of an old hole, which its cap or patch hides, and {names} no longer lies "
        "between two closures."
    )


def _middles(shop: Shop) -> tuple[float, ...]:
    """Where the middles of the old buttonholes lie along the closing line, where a snap there hides each."""
    holes = [hole for hole in shop.old.holes if hole.slit is not None]
    if any(hole.way != "along" for hole in holes):
        raise _No("The old buttonholes run across the line, so their middles lie beside it.")
    laps = shop.prepared.laps
    needed = least_cover_mm(shop.old, shop.catalogue)
    # Buttonholes lie in the over lap, and what is sewn to its inside hides none of them.
    across = 2 * min((shop.cover_mm(hole.lap) for hole in holes), default=math.inf)
    if across < needed - _HAIR_MM:
        longest = shop.show(max(hole.length_mm for hole in holes))
        what = f"A cap or patch of {shop.show(across)} does not hide" if across else "What is sewn inside cannot hide"
        raise _No(
            f"{what} a hole of {longest}; {'one' if across else 'a patch'} of {shop.show(needed)} would: "
            f'write patch = "{at_least(needed, shop.prepared.plan.units)}" in [swap].'
        )
    return tuple(sum(laps[hole.lap].nearest_row(end) for end in hole.ends) / 2 for hole in holes)
