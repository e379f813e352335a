"""What follows from closures that were there before, and from the offer that is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.cloth_facts import material_of
from closures.advice.phrases import phrases_of
from closures.advice.settings import setting_of
from closures.advice.wording import filled
from closures.jobs.swap.clash import is_room_to_cover
from closures.jobs.swap.covers import least_cover_mm, past_in_words
from closures.jobs.swap.offer import laps_in_sight, unused_in_sight
from closures.jobs.swap.patches import told_on_laps
from closures.jobs.swap.served import OLD_LENGTH, served_again
from closures.jobs.swap.words import (
    PRONGS,
    counted,
    held_by,
    keeps_holes,
    shut_in_words,
)
from closures.placing.backing_cut import PAST_FLANGE_MM
from closures.placing.interfaced import rewaxed
from closures.plan.shown import shown_beside
from closures.series import in_a_row, numbered, runs_of

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap


def swap_words(swap: Swap, catalogue: Catalogue) -> set[str]:
    """The facts of a swap, with those of the offer in hand."""
    offer, old = swap.offer, swap.old
    seen = unused_in_sight(old, offer)
    # The buttonholes of buttons that stay are as they were, and no new button goes through them.
    served = served_again(old, offer) if old.made else None
    is_untold = served is not None and served.is_measured_first
    more = 0.0 if served is None or is_untold else served.more_mm
    setting = setting_of(swap.old.fastener.setting)
    flags = {
        "swap": True,
        "old sewn on": "sewn on" in setting.facts or setting.key in ("hook tape", "snap tape", "loop"),
        "old made": swap.old.made,
        "old come off": bool(offer.come_off),
        # Whether they stay or come off: they are there as the work begins.
        "magnets in it": swap.old.made and swap.old.fastener.setting == "magnetic",
        "holes to close": bool(_to_close(swap)),
        "slits to close": any(not old.is_round_on(lap) for lap in _to_close(swap)),
        "holes unused": swap.old.made and bool(offer.unused) and bool(offer.in_sight),
        "room to cover": bool(seen) and is_room_to_cover(offer.placement, seen, least_cover_mm(old, catalogue)),
        "holes left": swap.old.made and bool((offer.unused and offer.in_sight) or offer.unused_under),
        "holes past": swap.old.made and bool(_past(swap)),
        "old buttonholes serve": served is not None and not new_hole_marks(swap),
        "holes serve as they are": served is not None and not new_hole_marks(swap) and not more and not is_untold,
        "holes to lengthen": more > 0,
        "holes to shorten": more < 0,
        "holes to measure": any(one.rule == OLD_LENGTH for one in offer.findings),
        "holes to fit": is_untold,
        "patch": _patch_mm(swap) > 0,
    }
    kinds = [{"hidden helper": "hidden", "behind helper": "behind"}.get(offer.kind, offer.kind)]
    kinds += ["helper"] if offer.placement.sewn_apart else []
    hiding = set() if offer.hiding is None else {f"hiding: {offer.hiding}"}
    return {flag for flag, holds in flags.items() if holds} | {f"offer: {kind}" for kind in kinds} | hiding


def _past(swap: Swap) -> tuple[int, ...]:
    """Old holes of which something is seen past a new closure."""
    return tuple(n for n in swap.offer.in_sight if n not in swap.offer.unused)


def new_hole_marks(swap: Swap) -> tuple[int, ...]:
    """Numbers of the marks whose buttonholes are cut anew: those at which no old one, cut long ago, serves again."""
    again = {mark for mark, _ in swap.offer.reused} if swap.old.made else set()
    lap = swap.offer.placement.fastener.mark.buttonhole_lap
    return () if lap is None else tuple(m.n for m in swap.offer.placement.new_marks if m.on(lap) and m.n not in again)


def swap_figures(swap: Swap, words: Set[str], catalogue: Catalogue) -> dict[str, str]:
    """What the sentences of a swap name.

    Args:
        swap: with the offer in hand.
        words: the facts of the job.
        catalogue: rules.
    """
    old, offer = swap.old, swap.offer
    reused = [hole for _, hole in offer.reused]
    hole = "buttonhole" if old.has_buttonholes else "hole"
    laps = [lap for lap in ("over", "under") if old.fastener.parts_on(lap)]
    off = offer.come_off
    which = "" if len(off) == len(old.places_mm) else f", {runs_of(off)},"
    show = shown_beside(offer.placement.plan.units)
    helper = offer.placement.helper
    served = served_again(old, offer)
    return {
        "old count": f"{old.fastener.kind if len(off) == 1 else counted(len(off), old.fastener.kind)}{which}",
        "old lap": f"the {laps[0]} lap" if len(laps) == 1 else "both laps",
        "how off": _how_off(swap),
        "nothing left": "No thread" if "old sewn on" in words else "No piece of a part",
        "off for good": "yes" if _SPENT in removal_of_old(swap) else "",
        "kept marks": numbered("mark", sorted(offer.placement.staying)),
        "holes unused": numbered(hole, offer.unused),
        "through the cover": "" if offer.is_within else _THROUGH,
        "holes past": numbered(hole, _past(swap)),
        "cover across": show(least_cover_mm(old, catalogue)) if offer.in_sight else "",
        "cover past": past_in_words(old, offer, show, f"{show(least_cover_mm(old, catalogue))} or more across")
        if _past(swap)
        else "",
        "holes closed": _holes_closed(swap),
        "past open holes": _past_open_holes(swap),
        "openings cut": _openings_cut(swap),
        "false buttons": counted(len(offer.kept), "button"),
        "false marks": numbers_of_marks(offer),
        "false place": "the closed {false marks?buttonhole|buttonholes} of the"
        if old.made and old.has_buttonholes
        else "the",
        "false cloth": "{false marks?|each }to the cloth inside its ring, " if offer.hiding == "ring" else "",
        "show cloth": "to the cloth inside its ring, " if offer.hiding == "ring" else "",
        "show is tried": "Its holes lie well inside the ring, it hides the ring"
        if offer.hiding == "ring"
        else "It hides what is beneath",
        "helper": "" if helper is None else f"a small {helper.name}",
        "helper marks": numbered("mark", sorted(offer.placement.sewn_apart)),
        "old length": show(old.holes[0].length_mm) if old.has_buttonholes else "",
        "old hole marks": numbered("mark", sorted(mark for mark, _ in offer.reused)),
        "old holes": f"the old {numbered(hole, sorted(reused))}",
        "hole change": "" if served is None else show(abs(served.more_mm)),
        "shut": _shut_all(swap, words),
        "shut in sight": _shut_in_sight(swap, words),
        "left is right": _left_is_right(swap, words),
        "back the hole": _back_the_hole(swap, words),
        "patch": f"{show(_patch_mm(swap))} across",
        "hold patch": held_by(words),
        "rewaxed": rewaxed(words),
        "button to try": _button_to_try(swap),
    }


_THROUGH = ": the parts go through it. It is one layer more: tell the plan of it, and look at the stack again"


def _button_to_try(swap: Swap) -> str:
    """Where the button for show of the trial comes from, while those that will be sewn on still hold the garment."""
    if not swap.old.made:
        return "one of the buttons for show"
    return "a spare button of those on the garment now, or where there is none the lowest of them, snipped off first,"


def _holes_closed(swap: Swap) -> str:
    """The old holes that are closed, by lap where each has its own."""
    by_lap = _to_close(swap)
    each = {lap: numbered(swap.old.hole_on(lap), holes) for lap, holes in by_lap.items()}
    if len(set(each.values())) > 1 or (swap.old.is_unlike and "under" in each):
        return in_a_row([f"{told} of the {lap} lap" for lap, told in each.items()])
    return next(iter(each.values()), "")


def _shut_all(swap: Swap, words: Set[str]) -> str:
    """How the closed holes are shut, slits apart from what is round."""
    told = {swap.old.hole_on(lap): _shut_each(swap, words, lap, holes) for lap, holes in _to_close(swap).items()}
    if len(told) < 2:
        return next(iter(told.values()), "")
    return "; ".join(f"of the {hole}s, {how}" for hole, how in told.items())


def _shut_each(swap: Swap, words: Set[str], lap: LapName, holes: Sequence[int]) -> str:
    setting, is_round, is_one = swap.old.fastener.setting, swap.old.is_round_on(lap), len(holes) == 1
    shut = shut_in_words(words, setting, is_round)
    if setting in PRONGS or is_round:
        return shut if is_one else shut.replace(" it", " each", 1)
    return f"lay its edges together, {shut}" if is_one else f"lay the edges of each together, {_them(shut)}"


def _them(shut: str) -> str:
    return shut.replace(" it ", " them ")


def _shut_in_sight(swap: Swap, words: Set[str]) -> str:
    """What is done with old holes that stay: those in sight, and those that the over lap lies on."""
    offer, seen = swap.offer, laps_in_sight(swap.offer.placement)[0]
    told = [_shut_left(swap, words, seen, offer.unused, "stays in sight")] if offer.unused and offer.in_sight else []
    told += (
        [_shut_left(swap, words, "under", offer.unused_under, "stays on the under lap")] if offer.unused_under else []
    )
    return ". ".join(told)


def _shut_left(swap: Swap, words: Set[str], lap: LapName, left: Sequence[int], stays: str) -> str:
    holes = numbered(swap.old.hole_on(lap), left)
    if swap.old.fastener.setting in PRONGS:
        return f"Let what {stays} close, {holes}: {_shut_each(swap, words, lap, left)}"
    if keeps_holes(words):
        each = "it" if len(left) == 1 else "each"
        edges = "its edges" if each == "it" else "the edges of each"
        how = "" if swap.old.is_round_on(lap) else f"with {edges} laid together on it, "
        patch = f"{held_by(words)} a patch of the {material_of(frozenset(words))}'s colour flat behind {each}"
        patch += f"{rewaxed(words)}, {shown_beside(swap.offer.placement.plan.units)(PAST_FLANGE_MM)} past it all round,"
        return f"Back what {stays}, {holes}: {patch} on the inside, {how}and no stitch through it"
    return f"Sew shut what {stays}, {holes}, with thread of the cloth's colour"


def _are_open_holes(swap: Swap) -> bool:
    """Whether there are buttonholes that were cut long ago and serve again, behind which no backing lies."""
    return bool(swap.old.made and swap.old.has_buttonholes and swap.offer.reused)


def _openings_cut(swap: Swap) -> str:
    """What is cut out of backing pieces that are drawn, before they are laid."""
    # Patches are cut for new closures alone: where closures stay, none lies over a buttonhole that is there.
    if not _are_open_holes(swap) or swap.offer.placement.staying:
        return ""
    if len(swap.offer.reused) == 1:
        return " First cut the opening out that is drawn about the buttonhole that serves again."
    return " First cut the openings out that are drawn about the buttonholes that serve again."


def _past_open_holes(swap: Swap) -> str:
    """Where a backing lies that is cut without a drawing."""
    if not _are_open_holes(swap):
        return ""
    stays = bool(swap.offer.placement.staying)
    if len(swap.offer.reused) == 1:
        which = "stays" if stays else "serves again"
        return f" (none over the buttonhole that {which}: end it before that, or cut it away round it)"
    which = "stay" if stays else "serve again"
    return f" (none over the buttonholes that {which}: end it before each, or cut it away round each)"


def _left_is_right(swap: Swap, words: Set[str]) -> str:
    """When old holes that stay are closed right: by a thread only where a thread is worked, by a patch where one is."""
    seen = swap.offer.unused if swap.offer.in_sight else ()
    each, none = (
        ("The", "the place does not open") if len(seen) + len(swap.offer.unused_under) == 1 else ("Each", "none opens")
    )
    if swap.old.fastener.setting in PRONGS:
        return f"{each} place lies flat" if keeps_holes(words) else f"{each} place lies flat, and no thread stands out"
    if keeps_holes(words):
        return f"{each} patch lies flat, and pulled across, {none}"
    return f"Pulled across, {none}, and no thread stands out"


# How the table of settings says of a kind that what comes off is lost.
_SPENT = "The parts cannot be used again."


def removal_of_old(swap: Swap) -> str:
    """How an old closure comes off, and what it leaves in this cloth; old cloth was washed long ago."""
    return filled(setting_of(swap.old.fastener.setting).removal, phrases_of(swap.offer.cloth))


def _how_off(swap: Swap) -> str:
    """How the old closures come off, and whether they can be used again."""
    removal = removal_of_old(swap)
    first = removal.split(": ")[0].split(". ")[0].rstrip(".")
    return f"{first}. {_SPENT}" if _SPENT in removal else f"{first}."


def numbers_of_marks(offer: Offer) -> str:
    """The marks at old places, by number."""
    return numbered("mark", tuple(mark.n for mark in offer.placement.marks if mark.n not in offer.added))


def _back_the_hole(swap: Swap, words: Set[str]) -> str:
    """What closed holes are backed with: the patches that were counted, or any backing."""
    hold, wax = held_by(words), rewaxed(words)
    show = shown_beside(swap.offer.placement.plan.units)
    old = swap.old
    told = {patch.told(show) for patch in swap.offer.patches}
    backed = {patch.hole for patch in swap.offer.patches}
    # What a patch on the outside hides, that patch holds too.
    rest = {lap: [hole for hole in holes if hole not in backed] for lap, holes in _to_close(swap).items()}
    left_open = dict.fromkeys(numbered(old.hole_on(lap), holes) for lap, holes in rest.items() if holes)
    over = "it" if len({hole for holes in rest.values() for hole in holes}) == 1 else "each"
    outside = f"leave {in_a_row(list(left_open))} to the patch that goes over {over}" if left_open else ""
    if not told:
        return outside
    behind = "it" if len(backed) == 1 and not old.is_unlike else "each"
    if len(told) < 2 and not left_open:
        return f"{hold} {next(iter(told))} flat behind {behind} on the inside{wax}"
    each = told_on_laps(swap.offer.patches, show, lambda lap, holes: numbered(old.hole_on(lap), holes))
    backing = f"{hold} a patch flat behind {behind} on the inside{wax}: {each}"
    return f"{backing}; {outside}" if outside else backing


def _patch_mm(swap: Swap) -> float:
    wish = swap.offer.placement.plan.swap
    return 0.0 if wish is None or wish.patch_mm is None else wish.patch_mm


def _to_close(swap: Swap) -> dict[LapName, tuple[int, ...]]:
    """The old holes that are closed, by the lap that they are in; nothing of a lap without."""
    if not swap.old.made:
        return {}
    laps: tuple[LapName, ...] = ("over", "under")
    closed = {lap: {clash.hole for clash in swap.offer.clashes if clash.lap == lap} for lap in laps}
    return {lap: tuple(sorted(holes)) for lap, holes in closed.items() if holes}
