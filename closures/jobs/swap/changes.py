"""What an offer asks for, in order: what to take off, to close, to cover, to back, to cut and to buy."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence, Set
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words as marks_in_words
from closures.jobs.swap.clash import is_room_to_cover
from closures.jobs.swap.covers import hole_past_button_mm, least_cover_mm, past_in_words
from closures.jobs.swap.hiding import is_seen_through
from closures.jobs.swap.made_whole import backing_in_words, held_on
from closures.jobs.swap.needs import needs_in_words
from closures.jobs.swap.offer import FALSE_BUTTONS, laps_in_sight, unused_in_sight
from closures.jobs.swap.patches import parts_outside, patch_at, told_on_laps
from closures.jobs.swap.pull import SNAPS
from closures.jobs.swap.served import SAME_LENGTH_MM, served_in_words
from closures.jobs.swap.taken_up import taken_up_in_words
from closures.jobs.swap.words import PRONGS, counted, cover_in_words, for_holes, held_by, keeps_holes, shut_in_words
from closures.placing.backing_cut import PAST_FLANGE_MM
from closures.placing.interfaced import rewaxed
from closures.said import for_author
from closures.series import in_a_row, numbered, runs_of

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.jobs.swap.clash import Clash
    from closures.jobs.swap.needs import LapNeed
    from closures.jobs.swap.offer import Offer, Shop


def changes_of(shop: Shop, offer: Offer, needs: tuple[LapNeed, ...]) -> tuple[str, ...]:
    """Say what is to be done for an offer.

    Args:
        shop: what offers are made from.
        offer: the offer.
        needs: what the laps lack.

    Returns:
        Sentences, in the order of the work.
    """
    parts: tuple[Callable[[], Iterator[str]], ...] = (
        lambda: _held_back(offer),
        lambda: _places(shop, offer),
        lambda: _take_off(shop, offer),
        lambda: _close(shop, offer),
        lambda: _patches(shop, offer),
        lambda: _new_holes(shop, offer),
        lambda: _laps(shop, needs),
        lambda: _backing(offer),
        lambda: _hidden(shop, offer),
    )
    if offer.placement.is_withheld:
        # A closure that is never set is no reason to take one off, or to close its hole.
        parts = parts[:2]
    return tuple(sentence for part in parts for sentence in part())


def _held_back(offer: Offer) -> Iterator[str]:
    if offer.placement.is_withheld:
        yield (
            "Held back for the sake of whoever wears it: nothing of what follows is done before the plan was changed."
        )


def _places(shop: Shop, offer: Offer) -> Iterator[str]:
    total, same = len(shop.old.places_mm), bool(offer.placement.staying)
    if not offer.given_up and not offer.added:
        which = "The one old place stays" if total == 1 else f"{_all_of(total)} old places stay"
        closures = "its closure with it" if total == 1 else "their closures with them"
        yield f"{which}, and {closures}: nothing is to be set." if same else f"{which}."
        return
    if offer.kept:
        # Old closures and marks are counted apart, and only marks stand on the sheets.
        marks = sorted(offer.placement.staying)
        on_sheets = f", on the sheets {marks_in_words(marks)}" if marks and tuple(marks) != offer.kept else ""
        closures = ", and their closures with them" if same else ""
        yield f"Old places that stay{closures}: {runs_of(offer.kept)}{on_sheets}."
    if offer.given_up:
        yield f"Old places given up: {runs_of(offer.given_up)}."
    if offer.added:
        yield f"Marks at new places: {runs_of(offer.added)}."


def _all_of(total: int) -> str:
    return "Both" if total == 2 else f"All {total}"


def _take_off(shop: Shop, offer: Offer) -> Iterator[str]:
    old, total = shop.old, len(shop.old.places_mm)
    carried = " and ".join(f"{lap} lap" for lap in ("over", "under") if old.fastener.parts_on(lap))
    if offer.struck:
        lap = old.fastener.mark.buttonhole_lap
        holes = f" and what is cut for them on the {lap} lap" if old.has_buttonholes else ""
        which = f"all {total}" if len(offer.struck) == total else runs_of(offer.struck)
        yield f"Strike out on the pattern: {old.fastener.kind}s, {which} ({carried}){holes}."
    elif len(offer.come_off) == total:
        yield f"Take off {counted(total, old.fastener.kind)} ({carried})."
    elif offer.come_off:
        kind = old.fastener.kind if len(offer.come_off) == 1 else f"{old.fastener.kind}s"
        yield f"Take off {kind} {runs_of(offer.come_off)} ({carried})."


def _close(shop: Shop, offer: Offer) -> Iterator[str]:
    if not shop.old.made or not shop.old.holes:
        return
    yield from taken_up_in_words(shop, offer)
    cloth = offer.cloth
    alike: dict[tuple[LapName, float, str], list[int]] = defaultdict(list)
    for clash in _nearest_to_each(offer.overlaps):
        patch = patch_at(offer.patches, clash)
        if patch is None:
            continue
        alike[clash.lap, round(clash.distance_mm, 2), backing_in_words(shop, patch, cloth)].append(clash.hole)
    for (lap, distance, backing), holes in alike.items():
        each, away = "each" if len(set(holes)) > 1 else "it", shop.show(abs(distance))
        if not distance:
            lies = f"{each} reaches"
        else:
            lies = f"{each} runs {away} under" if distance < 0 else f"{each} lies {away} from"
        what = "a new rim" if shop.buttonhole is None else "a new rim or buttonhole"
        shut = _shut(shop, offer, lap)
        verb = "Back" if shut.startswith("leave") else "Close"
        many = len(set(holes))
        how = f"{for_holes(shut, many)}, and {for_holes(backing, many)}"
        yield f"{verb} {numbered(shop.old.hole_on(lap), holes)} ({lap} lap; {lies} {what}): {how}."
    by_hole: dict[str, list[Clash]] = defaultdict(list)
    for clash in offer.clashes:
        if clash.kind == "covered":
            by_hole[shop.old.hole_on(clash.lap)].append(clash)
    for hole, covered in by_hole.items():
        spare = min(clash.spare_mm for clash in covered)
        laps = " and ".join(dict.fromkeys(f"{clash.lap} lap" for clash in covered))
        yield (
            f"Hidden: {numbered(hole, [clash.hole for clash in covered])} ({laps}), under {_cover(shop, offer)} "
            f"with {shop.show(spare)} to spare. {_hold(shop, offer, covered)}: a closure holds only in whole cloth."
        )
    seen = laps_in_sight(offer.placement)[0]
    if offer.unused:
        closed = _close_in_sight(shop, cloth, _shut(shop, offer, seen))
        which = numbered(shop.old.hole_on(seen), offer.unused)
        across = least_cover_mm(shop.old, shop.catalogue)
        is_free = is_room_to_cover(offer.placement, unused_in_sight(shop.old, offer), across)
        what = cover_in_words(cloth, is_for_child=shop.prepared.plan.is_for_child)
        cover = f", or cover each with {what}, at least {shop.show(across)} across" if is_free else ""
        yield f"Left in sight: {which}. {closed}{cover}."
    if offer.unused_under:
        closed = _close_in_sight(shop, cloth, _shut(shop, offer, "under"))
        which = numbered(shop.old.hole_on("under"), offer.unused_under)
        yield f"Left on the under lap, where the over lap lies on it: {which}. {closed}."
    past = [n for n in offer.in_sight if n not in offer.unused]
    if past:
        which = numbered(shop.old.hole_on(seen), past)
        least = f"at least {shop.show(least_cover_mm(shop.old, shop.catalogue))} across"
        size = past_in_words(shop.old, offer, shop.show, least)
        before = "" if offer.is_within else " on before the part is set,"
        laid = f"A patch on the outside,{before} {size}, covers each."
        yield f"Seen past the new closures, also when closed: {which}. {laid}"


def _nearest_to_each(clashes: Sequence[Clash]) -> tuple[Clash, ...]:
    """Of each old hole the clash with the new closure that comes nearest to it: it is closed once."""
    near: dict[tuple[LapName, int], Clash] = {}
    for clash in clashes:
        at = (clash.lap, clash.hole)
        if at not in near or clash.distance_mm < near[at].distance_mm:
            near[at] = clash
    return tuple(near.values())


def _patches(shop: Shop, offer: Offer) -> Iterator[str]:
    """How many patches there are, how large, on which face each lies, and by what it is laid."""
    behind: dict[tuple[LapName, str], dict[int, None]] = {}
    for patch in offer.patches:
        behind.setdefault((patch.lap, patch.told(shop.show)), {})[patch.hole] = None
    for (lap, told), holes in behind.items():
        each = "" if len(holes) == 1 else "each "
        yield (
            f"Patches on the inside of the {lap} lap: {len(holes)}, {each}{told}, behind "
            f"{numbered(shop.old.hole_on(lap), list(holes))}, laid by the hole before anything is marked."
        )
    for _, lap, count in parts_outside(offer.placement):
        size = shop.show(2 * shop.patch_mm)
        face = "outside" if lap == "over" else "inside"
        yield (
            f"Patches on the {face} of the {lap} lap: {count}, {size} across, one at every new closure, its middle at "
            "the dot of the mark, put on by the sheet before the part is set."
        )


def _shut(shop: Shop, offer: Offer, lap: LapName) -> str:
    """How the old holes of a lap are shut."""
    return shut_in_words(offer.cloth, shop.old.fastener.setting, shop.old.is_round_on(lap))


def _close_in_sight(shop: Shop, cloth: Set[str], shut: str) -> str:
    if shop.old.fastener.setting in PRONGS:
        return f"{shut[0].upper()}{shut[1:]}".replace(" it", " each", 1)
    if keeps_holes(cloth):
        return (
            f"{held_by(cloth).capitalize()} a patch behind each on the inside{rewaxed(cloth)}, "
            f"{shop.show(PAST_FLANGE_MM)} past it all round, without a stitch through the hole"
        )
    return "Sew each shut"


def _hold(shop: Shop, offer: Offer, covered: Sequence[Clash]) -> str:
    """How a hidden hole is made whole."""
    patches = [patch for clash in covered if (patch := patch_at(offer.patches, clash)) is not None]
    cloth = offer.cloth
    told = told_on_laps(patches, shop.show, by="" if keeps_holes(cloth) else "with ")
    shut = _shut(shop, offer, covered[0].lap)
    back = f"{held_by(cloth)} {told} flat behind it{rewaxed(cloth)}" if keeps_holes(cloth) else f"back it {told}"
    many = len({clash.hole for clash in covered})
    shut, back = for_holes(shut, many), for_holes(back, many)
    return f"{shut[0].upper()}{shut[1:]}, and {back} first" if told else f"{shut[0].upper()}{shut[1:]} first"


def _cover(shop: Shop, offer: Offer) -> str:
    rims = {"the new closure": shop.prepared.fastener.rim_mm, "the patch": shop.patch_mm}
    if offer.kind in FALSE_BUTTONS:
        rims["the old button"] = shop.old.fastener.rim_mm
    return max(rims, key=lambda name: rims[name])


def _new_holes(shop: Shop, offer: Offer) -> Iterator[str]:
    new = offer.buttonhole
    if new is None:
        return
    yield from served_in_words(shop, offer)
    ends = tuple(f"the {end}" for end in offer.placement.ends) if new.way == "along" else ("the edge", "the garment")
    lap = shop.prepared.fastener.mark.buttonhole_lap
    fresh = [m.n for m in offer.placement.new_marks if m.n not in {mark for mark, _ in offer.reused}]
    long = shop.show(new.length_mm)
    if fresh:
        yield (
            f"Work {counted(len(fresh), 'buttonhole')} on the {lap} lap, {marks_in_words(fresh)}: {long} long, "
            f"{new.way} the closing line, from {shop.show(new.before_mm)} past the mark "
            f"towards {ends[0]} to {shop.show(new.after_mm)} towards {ends[1]}."
        )
    through = [clash for clash in offer.clashes if clash.lap == lap and shop.old.fastener.family != "button"]
    if through:
        cloth = offer.cloth
        ways = {_DONE[held_on(shop, patch_at(offer.patches, clash), cloth)] for clash in through}
        hold = in_a_row(sorted(ways), "or")
        yield f"Cut no buttonhole through an old hole before a backing is {hold} behind both."


def _laps(shop: Shop, needs: tuple[LapNeed, ...]) -> Iterator[str]:
    for need in needs:
        if need.grow_mm or need.widen_mm:
            yield needs_in_words(need, shop.old.made, shop.prepared.plan.units)


_DONE = {
    "sew": "sewn",
    "fuse": "fused",
    "fuse or sew": "fused or sewn",
    "glue": "glued",
    "tape or glue": "taped or glued",
}
"""What is held in a way is, once it is done."""


def _backing(offer: Offer) -> Iterator[str]:
    for rule in ("backing", "layer thickness", "ridge"):
        told: dict[tuple[str | None, str], list[int]] = defaultdict(list)
        for finding in offer.findings:
            if finding.rule == rule and finding.result != "pass":
                told[finding.lap, finding.text].append(finding.mark or 0)
        for (lap, text), marks in told.items():
            alike = told.get(("under" if lap == "over" else "over", text)) == marks
            if alike and lap == "under":
                # It was told of both laps.
                continue
            where = ", both laps" if alike else f", {lap} lap" if lap else ""
            at = f", {marks_in_words(marks)}" if any(marks) else ""
            # On a page the cover tells what the checks found.
            yield for_author(f"{rule.capitalize()}{where}{at}: {text}")


def _hidden(shop: Shop, offer: Offer) -> Iterator[str]:
    new = shop.prepared.fastener
    if offer.kind in FALSE_BUTTONS:
        those = "those taken off will do" if shop.old.made else "they are bought besides"
        yield (
            f"Last, sew {counted(len(offer.kept), 'button')} on the over lap for show, one over each old place: "
            f"{those}."
        )
        if offer.hiding == "ring":
            over = "over the closed and backed buttonhole" if shop.old.made else "through all layers"
            yield (
                f"Each ring bites {over}, and the button is sewn to the outer cloth inside it and hides it"
                f"{_past_the_button(shop)}. Sew one on the trial piece first: its holes must lie well inside the ring. "
                "A sew-on snap on the inner layer pierces nothing."
            )
        elif offer.hiding == "sewn":
            yield f"Sew both halves to the inner layers alone{_past_the_button(shop)}."
        elif offer.hiding == "beneath":
            yield (
                "Set each part of the over lap through its inner layers alone (facing and interfacing), before the "
                "band is closed, so that its outer layer covers every part; the first layer of the plan is taken to "
                "be the outer one, and is left out of what those parts clamp."
            )
    apart = sorted(offer.placement.sewn_apart)
    helper = offer.placement.helper
    if apart and helper is not None:
        across = f", {shop.show(helper.cap_mm)} across" if helper.cap_mm else ""
        yield (
            f"The helper at {numbered('mark', apart)} is a small {helper.kind} "
            f"{helper.size}{across}, on the inner faces: nothing is pierced for it, and it does not show."
        )
    elif offer.kind in ("helper", "behind helper") and new.family in SNAPS:
        seen = is_seen_through(offer.placement.plan, shop.catalogue, "sewn")
        shows = "though it is seen through the sheer cloth" if seen else "and does not show"
        yield f"The helper need not match: a small sew-on snap on the inner faces does as well, {shows}."


def _past_the_button(shop: Shop) -> str:
    """How much of a closed buttonhole is seen past the button for show, as a half clause."""
    if not shop.old.made:
        return ""
    past = max((hole_past_button_mm(hole, shop.old.fastener.rim_mm) for hole in shop.old.holes), default=0.0)
    return f"; {shop.show(past)} of the closed buttonhole show past it, as before" if past > SAME_LENGTH_MM else ""
