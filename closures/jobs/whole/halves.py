"""Openings that a body has twice and a garment file tells once: half of them would be bought and drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from closures.jobs.whole.clearances import Clearance

if TYPE_CHECKING:
    from closures.jobs.whole.frames import Worked

_OTHER = {
    "left side": "right side",
    "right side": "left side",
    "left shoulder": "right shoulder",
    "right shoulder": "left shoulder",
}


def told_once(worked: Sequence[Worked]) -> Iterator[Clearance]:
    """Say of each crotch half, inseam, side or shoulder that it is told for one side of the body alone.

    A plan of a side or a shoulder names which it is; one of a crotch or an inseam does not, so that is a look, unless
    its ends are named for both sides of the body or ``mirrored = false`` says that it is there once.

    Args:
        worked: all openings of the garment.
    """
    all_opens = [one.placement.laps.garment.opens for one in worked]
    for one, opens in zip(worked, all_opens, strict=True):
        name = one.opening.name
        if one.opening.mirrored is not None or opens is None:
            continue
        if opens in ("crotch", "inseam") and all_opens.count(opens) == 1 and not _reaches_over(one):
            whole = "a half from the centre to one leg" if opens == "crotch" else "the inseam of one leg"
            yield _once(
                "warn",
                name,
                f"{name} is drawn and bought once. Is it {whole}, add an [[opening]] of the same plan with mirrored = "
                "true; is it all that there is, write mirrored = false.",
            )
        elif opens in _OTHER and _OTHER[opens] not in all_opens:
            yield _once(
                "pass",
                name,
                f"{name} is drawn and bought for the {opens} alone; an [[opening]] with mirrored = true adds the "
                f"{_OTHER[opens]}.",
            )


def _reaches_over(one: Worked) -> bool:
    """Whether the ends of a row are named for both sides of the body: from the right leg to the left."""
    first, last = (end.casefold().split() for end in one.placement.ends)
    return ("right" in first and "left" in last) or ("left" in first and "right" in last)


def _once(result: Literal["pass", "warn"], name: str, text: str) -> Clearance:
    return Clearance(result, name, None, None, None, None, None, text)
