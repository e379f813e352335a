"""Old buttonholes that new buttons go through again: as they are, cut longer, partly sewn shut, or measured first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.frozen import frozen
from closures.said import for_author
from closures.series import numbered

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from closures.catalogue.values import LapName
    from closures.jobs.swap.offer import Offer, Shop
    from closures.jobs.swap.old_row import OldHole, OldRow
    from closures.placing.buttonhole import Buttonhole

OLD_LENGTH = "old buttonhole"
"""The rule of old buttonholes that nobody measured."""

SAME_LENGTH_MM = 0.01
"""Buttonholes whose lengths differ by no more are equally long."""


@frozen
class Served:
    """What becomes of the old buttonholes that new buttons go through again.

    Attributes:
        holes: those.
        more_mm: by how much they must be longer; below 0 shorter, 0 where they are as long.
        is_measured_first: nobody told how long they are, and another button goes through them: what is to be done is
            known once one is measured, since what is cut stays cut.
    """

    holes: tuple[OldHole, ...]
    more_mm: float
    is_measured_first: bool


def serves_again(shop: Shop, hole: OldHole) -> bool:
    """Whether a new button at the old place uses the old buttonhole: same lap, same way."""
    new, fastener = shop.buttonhole, shop.prepared.fastener
    style = fastener.mark.on(hole.lap)
    return new is not None and style == "buttonhole" and hole.way == new.way


def served_again(old: OldRow, offer: Offer) -> Served | None:
    """Find what becomes of them; None where none serves again, or the buttons of all stay."""
    if offer.placement.staying:
        # The same button that stays keeps its buttonhole as it is.
        return None
    return _served(old, offer.reused, offer.buttonhole)


def _served(old: OldRow, reused: Collection[tuple[int, int]], new: Buttonhole | None) -> Served | None:
    again = {n for _, n in reused}
    used = tuple(hole for hole in old.holes if hole.n in again and hole.slit is not None)
    if not used or new is None:
        return None
    more = new.length_mm - used[0].length_mm
    more = more if abs(more) > SAME_LENGTH_MM else 0.0
    return Served(used, more, old.made and not old.is_length_told and more != 0.0)


def served_in_words(shop: Shop, offer: Offer) -> Iterator[str]:
    """Say what is done with old buttonholes that new buttons go through."""
    served = served_again(shop.old, offer)
    if served is None or offer.buttonhole is None:
        return
    many = len(served.holes) > 1
    which = numbered("buttonhole", [hole.n for hole in served.holes])
    more, whole = served.more_mm, shop.show(offer.buttonhole.length_mm)
    if not shop.old.made:
        yield f"{which.capitalize()}: {f'draw anew, {whole} long' if more else 'stay' if many else 'stays'}."
    elif served.is_measured_first:
        yield (
            f"Measure {which} from end to end of the slit before anything is done to {'them' if many else 'it'}: "
            f"nobody told how long {'they are' if many else 'it is'}, and the new button asks for {whole}. One that is "
            "shorter is lengthened to that; one that is longer is sewn shut to that, or the button slips out."
        )
    elif more > 0:
        yield f"Lengthen {which} by {shop.show(more)}, to {whole}."
    elif more < 0:
        slips = "buttons slip" if many else "button slips"
        yield f"Sew {which} shut by {shop.show(-more)}, to {whole}, or the new {slips} out."
    else:
        yield f"{which.capitalize()}: {'each serves' if many else 'serves'} again."


def check_length_told(
    shop: Shop,
    in_use: Collection[tuple[int, int, LapName]],
    reused: Collection[tuple[int, int]],
    new: Buttonhole | None,
) -> tuple[Finding, ...]:
    """Is anything gone by how long an old buttonhole is, that nobody measured?

    Nothing is where the same button goes through the same hole again.

    Args:
        shop: what offers are made from.
        in_use: mark, hole and lap where a new closure uses an old hole, or is the old one.
        reused: pairs of mark and old closure whose buttonhole serves again.
        new: the buttonhole of the new closures, None for closures without.
    """
    old = shop.old
    slits = [hole for hole in old.holes if hole.slit is not None]
    if not slits or not old.made or old.is_length_told:
        return ()
    used = {(n, lap) for _, n, lap in in_use}
    served = None if shop.is_same else _served(old, reused, new)
    is_left = any((hole.n, hole.lap) not in used for hole in slits)
    if not is_left and not (served is not None and served.is_measured_first):
        return ()
    text = (
        "Nobody told how long the old buttonholes are: new ones for their button would be "
        f"{shop.show(slits[0].length_mm)}. Measure them from end to end of the slit before "
    )
    text += (
        "anything is marked, since all that keeps clear of them goes by it" if is_left else "any is cut or sewn shut"
    )
    told = for_author(", and write length in hole under [swap].", ".")
    return (Finding(OLD_LENGTH, "warn", text + told, "our own rule"),)
