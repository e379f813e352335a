"""What sentences say of the seams of a strap: to what allowances are trimmed there, and where a lining lies raw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.pressed_in import At, lies_raw, seam_in_words, trimmed_mm
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.placing.pressed_in import PressedIn
    from closures.placing.strap.values import Strap
    from closures.plan.top import Units

_SEAMS: tuple[tuple[At, LapName, str], ...] = (
    ("long sides", "over", ""),
    ("tip", "over", "at the over tip"),
    ("tip", "under", "at the under tip"),
)


def turned_of_strap(found: Sequence[PressedIn], strap: Strap | None, units: Units) -> dict[str, str]:
    """Say of each seam of a strap to what its allowances are trimmed, where a lining lies raw, and where neither does.

    Each tip is told by itself: the closures of the one may lie nearer to it than those of the other.
    """
    told: dict[str, list[str]] = {}
    for at, lap, tip in _SEAMS:
        where = tip or seam_in_words(at, strap)
        own = [one for one in found if one.at == at and (at != "tip" or one.lap == lap)]
        to_mm = trimmed_mm(found, at, lap)
        if lies_raw(found, at, lap):
            told.setdefault("raw", []).append(where)
        elif to_mm is not None:
            told.setdefault(f"to {format_length(to_mm, units)}", []).append(where)
        if not lies_raw(found, at, lap) and any(not one.has_room for one in own):
            told.setdefault("not clear", []).append(where)
    raw, not_clear = (_places(told.pop(name, [])) for name in ("raw", "not clear"))
    trimmed = in_a_row([f"{to} {_places(wheres)}" for to, wheres in told.items()]) if told else ""
    away = (
        f" ({not_clear} none that holds its seam ends clear of the part: take a smaller closure or set it further in)"
    )
    return {
        "strap trimmed": (f", the allowances trimmed {trimmed}" if trimmed else "") + (away if not_clear else ""),
        "strap raw": f"; {raw} a turn that the stitch holds would end under a part: cut the allowance off there, just "
        "inside that edge too, and glue the lining down raw"
        if raw
        else "",
    }


def _places(wheres: Sequence[str]) -> str:
    """Name seams of a strap; both tips together where they are alike."""
    both = {"at the over tip", "at the under tip"}
    told = [where for where in wheres if where not in both] if both <= set(wheres) else list(wheres)
    told += ["at the tips"] if both <= set(wheres) else []
    return in_a_row(told) if told else ""
