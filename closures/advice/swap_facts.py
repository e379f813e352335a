"""What follows from closures that were there before, and from the offer that is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.cloth_facts import material_of
from closures.advice.phrases import phrases_of
from closures.advice.settings import setting_of
from closures.advice.wording import filled
from closures.jobs.swap.changes import SAME_LENGTH_MM
from closures.jobs.swap.patches import least_cover_mm, told_on_laps
from closures.jobs.swap.words import (
    PRONGS,
    counted,
    held_by,
    keeps_holes,
    shut_in_words,
)
from closures.plan.shown import shown_beside
from closures.series import numbered, runs_of

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap


def swap_words(swap: Swap) -> set[str]:
    """The facts of a swap, with those of the offer in hand."""
    offer = swap.offer
    serves, more = swap.old.made and bool(offer.reused), _more_mm(swap)
    setting = setting_of(swap.old.fastener.setting)
    flags = {
        "swap": True,
        "old sewn on": "sewn on" in setting.facts or setting.key in ("hook tape", "snap tape", "loop"),
        "old made": swap.old.made,
        "old come off": swap.old.made and bool(_off(swap)),
        "holes to close": bool(_to_close(swap)),
        "holes unused": swap.old.made and bool(offer.unused) and bool(offer.in_sight),
        "holes past": swap.old.made and bool(_past(swap)),
        "old buttonholes serve": serves and not new_hole_marks(swap),
        "holes serve as they are": serves and not new_hole_marks(swap) and not more,
        "holes to lengthen": serves and more > 0,
        "holes to shorten": serves and more < 0,
        "patch": _patch_mm(swap) > 0,
    }
    kinds = ["hidden" if offer.kind == "hidden helper" else offer.kind]
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
    return () if lap is None else tuple(m.n for m in swap.offer.placement.marks if m.on(lap) and m.n not in again)


def _more_mm(swap: Swap) -> float:
    """How much longer than the old buttonholes that serve again the new ones are; 0 where they are as long."""
    used = next((hole for hole in swap.old.holes if hole.n in {n for _, n in swap.offer.reused}), None)
    if used is None or swap.buttonhole is None:
        return 0.0
    more = swap.buttonhole.length_mm - used.length_mm
    return more if abs(more) > SAME_LENGTH_MM else 0.0


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
    off = _off(swap)
    which = "" if len(off) == len(old.places_mm) else f", {runs_of(off)}"
    show = shown_beside(offer.placement.plan.units)
    helper = offer.placement.helper
    return {
        "old count": f"{old.fastener.kind if len(off) == 1 else counted(len(off), old.fastener.kind)}{which}",
        "old lap": f"the {laps[0]} lap" if len(laps) == 1 else "both laps",
        "how off": _how_off(swap),
        "nothing left": "No thread" if "old sewn on" in words else "No piece of a part",
        "off for good": "yes" if _SPENT in removal_of_old(swap) else "",
        "holes unused": numbered(hole, offer.unused),
        "holes past": numbered(hole, _past(swap)),
        "cover across": show(least_cover_mm(old, catalogue)) if offer.in_sight else "",
        "holes closed": numbered(hole, _to_close(swap)),
        "false buttons": counted(len(offer.kept), "button"),
        "false marks": numbers_of_marks(offer),
        "false place": "the closed buttonholes of the" if old.made and old.has_buttonholes else "the",
        "false cloth": "each to the cloth inside its ring, " if offer.hiding == "ring" else "",
        "show cloth": "to the cloth inside its ring, " if offer.hiding == "ring" else "",
        "show is tried": "Its holes lie well inside the ring, it hides the ring"
        if offer.hiding == "ring"
        else "It hides what is beneath",
        "helper": "" if helper is None else f"a small {helper.name}",
        "helper marks": numbered("mark", sorted(offer.placement.sewn_apart)),
        "old hole marks": numbered("mark", sorted(mark for mark, _ in offer.reused)),
        "old holes": f"the old {numbered(hole, sorted(reused))}",
        "hole change": show(abs(_more_mm(swap))),
        "shut": _shut_each(swap, words, _to_close(swap)),
        "shut in sight": _shut_in_sight(swap, words, numbered(hole, offer.unused)),
        "back the hole": _back_the_hole(swap, held_by(words)),
        "patch": f"{show(_patch_mm(swap))} across",
        "hold patch": held_by(words),
        "button to try": _button_to_try(swap),
    }


def _button_to_try(swap: Swap) -> str:
    """Where the button for show of the trial comes from, while those that will be sewn on still hold the garment."""
    if not swap.old.made:
        return "one of the buttons for show"
    return "a spare button of those on the garment now, or where there is none the lowest of them, snipped off first,"


def _shut_each(swap: Swap, words: Set[str], holes: Sequence[int]) -> str:
    setting, is_round, is_one = swap.old.fastener.setting, not swap.old.has_buttonholes, len(holes) == 1
    shut = shut_in_words(words, setting, is_round)
    if setting in PRONGS or is_round:
        return shut if is_one else shut.replace(" it", " each", 1)
    return f"lay its edges together, {shut}" if is_one else f"lay the edges of each together, {_them(shut)}"


def _them(shut: str) -> str:
    return shut.replace(" it ", " them ")


def _shut_in_sight(swap: Swap, words: Set[str], holes: str) -> str:
    """What is done with old holes that stay in sight."""
    if swap.old.fastener.setting in PRONGS:
        return f"Let what stays in sight close, {holes}: {_shut_each(swap, words, swap.offer.unused)}"
    if keeps_holes(words):
        each = "it" if len(swap.offer.unused) == 1 else "each"
        edges = "its edges" if each == "it" else "the edges of each"
        how = f"with {edges} laid together on it, " if swap.old.has_buttonholes else ""
        patch = f"{held_by(words)} a patch of the {material_of(frozenset(words))}'s colour flat behind {each}"
        return f"Back what stays in sight, {holes}: {patch} on the inside, {how}and no stitch through it"
    return f"Sew shut what stays in sight, {holes}, with thread of the cloth's colour"


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


def _back_the_hole(swap: Swap, hold: str) -> str:
    """What closed holes are backed with: the patches that were counted, or any backing; `hold` is how it is held."""
    show = shown_beside(swap.offer.placement.plan.units)
    told: dict[str, dict[int, None]] = {}
    for patch in swap.offer.patches:
        told.setdefault(patch.told(show), {})[patch.hole] = None
    word = "buttonhole" if swap.old.has_buttonholes else "hole"
    backed = {hole for holes in told.values() for hole in holes}
    # What a patch on the outside hides, that patch holds too.
    rest = [hole for hole in _to_close(swap) if hole not in backed]
    outside = f"leave {numbered(word, rest)} to the patch that goes over {'it' if len(rest) == 1 else 'each'}"
    outside = outside if rest else ""
    if not told:
        return outside
    behind = "it" if len(backed) == 1 else "each"
    if len(told) < 2 and not rest:
        return f"{hold} {next(iter(told))} flat behind {behind} on the inside"
    each = told_on_laps(swap.offer.patches, show, lambda holes: numbered(word, holes))
    backing = f"{hold} a patch flat behind {behind} on the inside: {each}"
    return f"{backing}; {outside}" if outside else backing


def _patch_mm(swap: Swap) -> float:
    wish = swap.offer.placement.plan.swap
    return 0.0 if wish is None or wish.patch_mm is None else wish.patch_mm


def _off(swap: Swap) -> tuple[int, ...]:
    """Numbers of the old closures that are taken off."""
    same = (swap.old.fastener.kind, swap.old.fastener.size) == (
        swap.offer.placement.fastener.kind,
        swap.offer.placement.fastener.size,
    )
    if same:
        return swap.offer.given_up
    return tuple(range(1, len(swap.old.places_mm) + 1))


def _to_close(swap: Swap) -> tuple[int, ...]:
    if not swap.old.made:
        return ()
    closed = {clash.hole for clash in swap.offer.clashes}
    return tuple(sorted(closed))
