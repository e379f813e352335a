"""What follows from closures that were there before, and from the offer that is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.figures import filled
from closures.advice.phrases import phrases_of
from closures.advice.settings import setting_of
from closures.jobs.swap.words import counted, numbers_in_words, shown_beside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap


def swap_words(swap: Swap) -> set[str]:
    """The facts of a swap, with those of the offer in hand."""
    offer = swap.offer
    flags = {
        "swap": True,
        "old made": swap.old.made,
        "old come off": swap.old.made and bool(_off(swap)),
        "holes to close": bool(_to_close(swap)),
        "holes in sight": swap.old.made and bool(offer.unused) and bool(offer.in_sight),
        "old buttonholes serve": bool(offer.reused) and len(offer.reused) == len(offer.placement.marks),
        "patch": _patch_mm(swap) > 0,
    }
    kinds = ["hidden" if offer.kind == "hidden helper" else offer.kind]
    kinds += ["helper"] if offer.placement.sewn_apart else []
    hiding = set() if offer.hiding is None else {f"hiding: {offer.hiding}"}
    return {flag for flag, holds in flags.items() if holds} | {f"offer: {kind}" for kind in kinds} | hiding


def swap_figures(swap: Swap) -> dict[str, str]:
    """What the sentences of a swap name."""
    old, offer = swap.old, swap.offer
    hole = "buttonhole" if old.has_buttonholes else "hole"
    laps = [lap for lap in ("over", "under") if old.fastener.parts_on(lap)]
    off = _off(swap)
    which = "" if len(off) == len(old.places_mm) else f", {numbers_in_words(off)}"
    show = shown_beside(offer.placement.plan.units)
    return {
        "old count": f"{counted(len(off), old.fastener.kind)}{which}",
        "old lap": " and ".join(f"{lap} lap" for lap in laps) or "under lap",
        "holes closed": _holes(hole, _to_close(swap)),
        "holes in sight": _holes(hole, offer.unused),
        "false buttons": counted(len(offer.kept), "button"),
        "false marks": numbers_of_marks(offer),
        "false place": "the closed buttonholes of the" if old.made and old.has_buttonholes else "the",
        "false cloth": "each to the cloth inside its ring, " if offer.hiding == "ring" else "",
        "helper marks": _holes("mark", sorted(offer.placement.sewn_apart)),
        "back the hole": _back_the_hole(swap),
        "patch": f"{show(_patch_mm(swap))} across",
        "patch laps": "on both laps",
    }


def removal_of_old(swap: Swap) -> str:
    """How an old closure comes off, and what it leaves in this cloth; old cloth was washed long ago."""
    stacks = [on.stack for lap in ("over", "under") for on in swap.offer.placement.on(lap) if on.stack is not None]
    words = {f"cloth: {structure}" for stack in stacks for structure in stack.structures}
    return filled(setting_of(swap.old.fastener.setting).removal, phrases_of(words))


def numbers_of_marks(offer: Offer) -> str:
    """The marks at old places, by number."""
    return _holes("mark", tuple(mark.n for mark in offer.placement.marks if mark.n not in offer.added))


def _back_the_hole(swap: Swap) -> str:
    """What closed holes are backed with: the patches that were counted, or any backing."""
    show = shown_beside(swap.offer.placement.plan.units)
    told: dict[str, dict[int, None]] = {}
    for patch in swap.offer.patches:
        told.setdefault(patch.told(show), {})[patch.hole] = None
    if len(told) < 2:
        return f"sew {next(iter(told))} flat behind it on the inside" if told else "back it from the inside"
    word = "buttonhole" if swap.old.has_buttonholes else "hole"
    each = [f"{size} at {_holes(word, tuple(holes))}" for size, holes in told.items()]
    return f"sew a patch flat behind it on the inside: {'; '.join(each)}"


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


def _holes(word: str, numbers: Sequence[int]) -> str:
    if not numbers:
        return ""
    return f"{word}{'s' if len(numbers) > 1 else ''} {numbers_in_words(numbers)}"
