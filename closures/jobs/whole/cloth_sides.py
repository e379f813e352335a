"""Two edges of one piece that meet at a corner of it, and whether both are told with its cloth on one side."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, product
from typing import TYPE_CHECKING

from closures.edges.hand import lies_in_words, viewers_side
from closures.jobs.whole.clearances import Clearance, is_told_clear
from closures.jobs.whole.frames import PENCIL_MM, is_one_drawing
from closures.said import for_author

if TYPE_CHECKING:
    from closures.curve import Curve, Point
    from closures.edges.hand import Hand
    from closures.jobs.whole.frames import Worked

# Edges that run on from each other almost straight show no side: our own rule.
_LEAST_TURN_DEG = 20.0
# Where an edge lies is looked at in so many places of it: our own rule.
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Places in which two edges are held against each other; geometry."""
_PLACES = (0.1, 0.25, 0.5, 0.75, 1.0)


def cloth_told_apart(worked: Sequence[Worked]) -> Iterator[Clearance]:
    """Look at edges that meet at a corner of one drawing, of which the cloth is told on two sides.

    A piece lies on one side of its outline: at a corner each of two edges lies on the side of the other on which the
    cloth is, or, at one that turns inwards, neither does. Where one does and the other does not, one of them is told
    the wrong way round, or they are of two pieces. Of one edge that two openings read, the cloth lies on one side too.

    Args:
        worked: all openings of the garment.
    """
    drawn = [one for one in worked if one.placement.strap is None and not one.opening.mirrored]
    for first, second in combinations(drawn, 2):
        if not is_one_drawing(first, second) or first.placement.plan.is_turned != second.placement.plan.is_turned:
            continue
        if _is_one_edge(first, second):
            if not is_told_clear(first, second):
                yield from _on_both_sides(first, second)
            continue
        sides = [_side_of(one, other) for one, other in ((first, second), (second, first))]
        towards = [
            None if side is None else side == one.placement.as_told.laps.over.cloth_on
            for one, side in zip((first, second), sides, strict=True)
        ]
        if None in towards or towards[0] == towards[1]:
            continue
        wrong, right = (first, second) if not towards[0] else (second, first)
        lies, names = _cloth_lies(wrong), (wrong.opening.name, right.opening.name)
        text = (
            f"{first.opening.name} and {second.opening.name} meet at a corner of one drawing, and their cloth is told "
            f"on two sides: that of {names[0]} {lies} its edge as drawn, away from the edge of {names[1]}, and that of "
            f"{names[1]} {_cloth_lies(right)} its own, towards that of {names[0]}. Of one piece, one of them is told "
            "the wrong way round"
            + for_author(": look at lap and seen_from under [band], and at cloth, shows and reverse under [edge].", ".")
            + " If they are edges of two pieces, all is well."
        )
        yield Clearance("warn", *names, None, None, None, None, text)


def _is_one_edge(first: Worked, second: Worked) -> bool:
    """Whether two openings read one edge of a drawing, from whichever end."""
    edge, its = (one.placement.as_told.laps.over.edge for one in (first, second))
    if abs(edge.length_mm - its.length_mm) > PENCIL_MM:
        return False
    return any(
        all(
            math.dist(edge.point_at(share * edge.length_mm), its.point_at(own * its.length_mm)) <= PENCIL_MM
            for share, own in ((share, 1.0 - share if is_reversed else share) for share in _SHARES)
        )
        for is_reversed in (False, True)
    )


def _on_both_sides(first: Worked, second: Worked) -> Iterator[Clearance]:
    """Look at one edge of which the cloth is told on either side."""
    lies = [_cloth_lies(one) for one in (first, second)]
    if lies[0] == lies[1]:
        return
    names = first.opening.name, second.opening.name
    text = (
        f"{names[0]} and {names[1]} are told along one edge of one drawing, and their cloth on its two sides: that of "
        f"{names[0]} {lies[0]} it as drawn, and that of {names[1]} {lies[1]} it. A piece lies on one side of its edge: "
        "the row of one of them lies off the cloth."
    ) + for_author(
        " Where one is the other's mirror image, as a right side is of a left one, tell it by the same plan with "
        "mirrored = true; else look at lap and seen_from under [band]. If two pieces share that line, write clear_of = "
        f'["{names[0]}"] in the [[opening]] {names[1]}.',
        " If two pieces share that line, all is well.",
    )
    yield Clearance("warn", *names, None, None, None, None, text)


def _cloth_lies(one: Worked) -> str:
    """On which side of its edge the cloth of an opening lies, as the user's drawing shows it: "lies left of"."""
    over = one.placement.as_told.laps.over
    side = viewers_side(over.cloth_on, over.edge.start, over.edge.end, one.placement.plan.is_turned)
    return f"lies {lies_in_words(side)}"


def _side_of(one: Worked, other: Worked) -> Hand | None:
    """The hand of an edge on which another lies that meets it at an end; None where they do not, or that shows none."""
    edge, its = (each.placement.as_told.laps.over.edge for each in (one, other))
    for at_end, its_end in product((False, True), repeat=2):
        corner = edge.end if at_end else edge.start
        if math.dist(corner, its.end if its_end else its.start) > PENCIL_MM:
            continue
        return _hand_of(edge, at_end, its, its_end)
    return None


def _hand_of(edge: Curve, at_end: bool, its: Curve, its_end: bool) -> Hand | None:
    corner = edge.end if at_end else edge.start
    tx, ty = edge.tangent_at(edge.length_mm if at_end else 0.0)
    hands: set[Hand] = set()
    for share in _PLACES:
        x, y = its.point_at(its.length_mm * (1.0 - share if its_end else share))
        hands |= _hand((tx, ty), (x - corner[0], y - corner[1]))
    return next(iter(hands)) if len(hands) == 1 else None


def _hand(along: Point, way: Point) -> set[Hand]:
    """On which hand of a direction another points; both where it hardly turns from it."""
    sine = (along[0] * way[1] - along[1] * way[0]) / math.hypot(*way)
    if abs(sine) < math.sin(math.radians(_LEAST_TURN_DEG)):
        return {"right", "left"}
    # Down is further in a drawing's figures: somebody who walks down it has what is seen on the left at the right hand.
    return {"right"} if sine > 0 else {"left"}
