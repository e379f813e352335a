"""What a mark is beside the row, and on which face of a lap its part lies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.column import FOR_SHOW

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.catalogue.values import Fastener, LapName
    from closures.placing.marking import Mark
    from closures.placing.placement import Placement

HELPER = "helper"
STAYS = "stays"
_ON_TOP = ("button", "loop")
"""Families whose under half is a button: it is sewn to the outside, also where nothing lies on top of it."""


def is_for_show(share: Placement) -> bool:
    """Whether a share is only sewn on for show: it has nothing on the under lap."""
    return share.fastener.kind.endswith(FOR_SHOW)


def role_of(placement: Placement, n: int) -> str:
    """What a mark is: ``row``, ``second column``, ``for show``, ``hidden``, ``single``, a sewn-on ``helper``, or one
    of the row that is there already and ``stays``.
    """
    if n in placement.staying:
        return STAYS
    if n in placement.sewn_apart:
        return HELPER
    if any(mark.n == n for mark in placement.marks):
        return "row"
    share = placement.share_of(n)
    if placement.is_hidden(n):
        return "hidden"
    if is_for_show(share):
        return FOR_SHOW
    return "second column" if placement.is_second_column(n) else "single"


def told_role(placement: Placement, n: int) -> str:
    """What a mark is, and whether what it stands for is only planned: held back for whoever wears it."""
    role = role_of(placement, n)
    return f"{role}, held back" if placement.is_withheld and role != STAYS else role


def face_of(placement: Placement, n: int, lap: LapName) -> str:
    """On which face of a lap the part of a mark lies, the garment seen from outside: ``outside``, ``inside`` or
    ``through`` what goes from face to face, as a buttonhole or a snap does.
    """
    if is_for_show(placement.share_of(n)):
        return "outside"
    return face_of_part(placement.fastener_of(n), lap, is_meeting=placement.laps.garment.is_meeting)


def face_of_part(fastener: Fastener, lap: LapName, *, is_meeting: bool) -> str:
    """On which face of a lap a part lies that closes, told as by `face_of`; of edges that meet, or are lapped."""
    parts = fastener.parts_on(lap)
    if not parts or (len(parts) > 1 and fastener.family != "magnetic snap"):
        return "through"
    # What meets the other half lies next to it; where edges meet, hook and eye lie on the inside of both.
    is_under = lap == "under" and not (is_meeting and fastener.family not in _ON_TOP)
    return "outside" if is_under else "inside"


def from_edge(placement: Placement, mark: Mark, lap: LapName, show: Callable[[float], str]) -> str:
    """How far in from a lap's edge a centre lies, in a table; the bow of an eye lies out past it.

    Args:
        placement: whose laps.
        mark: one of its marks.
        lap: of which lap.
        show: writes a length in mm as the table has it.
    """
    on_lap = mark.on(lap)
    if on_lap is None:
        return ""
    past = " past it" if placement.laps[lap].past_edge_mm else ""
    return show(on_lap.edge_distance_mm) + past


def tried_alike(placement: Placement) -> tuple[tuple[Placement, ...], ...]:
    """What needs a trial: nothing that is sewn on for show, and the shares that are made in the same way together."""
    found: dict[tuple[str, str, str | None], list[Placement]] = {}
    for share in placement.shares:
        if not is_for_show(share):
            key = (share.fastener.kind, share.fastener.size, share.plan.closure.hole)
            found.setdefault(key, []).append(share)
    return tuple(tuple(alike) for alike in found.values())
