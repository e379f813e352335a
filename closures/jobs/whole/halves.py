"""Openings that a body has twice and a garment file tells once: half of them would be bought and drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from closures.jobs.whole.clearances import Clearance
from closures.jobs.whole.tellers import are_both_sides, without_side
from closures.lengths import format_length
from closures.said import for_author

if TYPE_CHECKING:
    from closures.jobs.whole.frames import Worked
    from closures.placing.placement import Placement

_ALIKE_MM, _ALIKE_SHARE = 2.0, 0.01
"""Two sides that differ by no more were measured alike: our own rule."""
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
                f"{name} is drawn and bought once. "
                + for_author(
                    f"Is it {whole}, add an [[opening]] of the same plan with mirrored = true; is it all that there "
                    "is, write mirrored = false.",
                    f"Is it {whole}? Then its other half is not.",
                ),
            )
        elif opens in _OTHER and _OTHER[opens] not in all_opens:
            yield _once(
                "pass",
                name,
                f"{name} is drawn and bought for the {opens} alone"
                + for_author(f"; an [[opening]] with mirrored = true adds the {_OTHER[opens]}.", "."),
            )


def unlike_halves(worked: Sequence[Worked]) -> Iterator[Clearance]:
    """Look at the left and the right one of a garment that are unlike: one plan may have been changed alone.

    Args:
        worked: all openings of the garment.
    """
    for one, other in combinations(worked, 2):
        if one.opening.plan == other.opening.plan or not _are_halves(one, other):
            continue
        lengths = [_length_mm(each.placement) for each in (one, other)]
        counts = [len(each.placement.all_marks) for each in (one, other)]
        is_one_length = abs(lengths[0] - lengths[1]) <= max(_ALIKE_MM, _ALIKE_SHARE * max(lengths))
        if is_one_length and counts[0] == counts[1]:
            continue
        said = [
            f"{each.opening.name} is {format_length(mm, each.placement.plan.units)} long with {count} "
            f"{'closure' if count == 1 else 'closures'}"
            for each, mm, count in zip((one, other), lengths, counts, strict=True)
        ]
        yield Clearance(
            "warn",
            one.opening.name,
            other.opening.name,
            None,
            None,
            None,
            None,
            f"{said[0]}, and {said[1]}. The two sides of a body are alike: look whether one plan was changed and the "
            "other was not. Where the garment is unlike on its two sides, this is right as it is.",
        )


def _are_halves(one: Worked, other: Worked) -> bool:
    """Whether two openings are the left and the right one, by what opens, or by their names where they are straps."""
    opens = [each.placement.laps.garment.opens for each in (one, other)]
    if opens[0] in _OTHER:
        return _OTHER[opens[0]] == opens[1]
    is_strap = [each.placement.plan.strap is not None for each in (one, other)]
    names = [each.opening.name for each in (one, other)]
    return all(is_strap) and are_both_sides(*names) and without_side(names[0]) == without_side(names[1])


def _length_mm(placement: Placement) -> float:
    strap = placement.plan.row
    return placement.as_told.laps.over.edge.length_mm if strap is None else strap.length_mm


def _reaches_over(one: Worked) -> bool:
    """Whether the ends of a row are named for both sides of the body: from the right leg to the left."""
    first, last = (end.casefold().split() for end in one.placement.ends)
    return ("right" in first and "left" in last) or ("left" in first and "right" in last)


def _once(result: Literal["pass", "warn"], name: str, text: str) -> Clearance:
    return Clearance(result, name, None, None, None, None, None, text)
