"""What a plan says of its drawing, written as TOML."""

from __future__ import annotations

from collections.abc import Callable

from closures.plan.drawing import JoinWish, KnownWish, TilesWish, TraceWish
from closures.plan.place import LevelPlace, PlaceWish

Quoted = Callable[[float], str]
"""Writes a length in mm as it stands in a plan, with its quotes."""


def names(pieces: tuple[str, ...]) -> str | None:
    """Write a list of names."""
    return f"[{', '.join(map(_told, pieces))}]" if pieces else None


def place(wish: PlaceWish | None, quoted: Quoted) -> str | None:
    """Write a place on a line."""
    if wish is None or isinstance(wish, str):
        return text_as_toml(wish)
    if isinstance(wish, LevelPlace):
        which = "" if wish.which is None else f", which = {wish.which}"
        return f"{{ level = {quoted(wish.level_mm)}{which} }}"
    return _point(wish, quoted)


def known(wish: KnownWish | None, quoted: Quoted) -> str | None:
    """Write a known length."""
    return None if wish is None else f"{{ path = {_told(wish.path)}, length = {quoted(wish.length_mm)} }}"


def layers(named: tuple[tuple[str, str], ...]) -> str | None:
    """Write what the layers are called."""
    return f"{{ {', '.join(f'{_told(key)} = {_told(name)}' for key, name in named)} }}" if named else None


def tiles(wish: TilesWish | None, quoted: Quoted) -> str | None:
    """Write how pages lie beside each other."""
    if wish is None:
        return None
    return (
        f"{{ columns = {wish.columns}, rows = {wish.rows}, overlap = {quoted(wish.overlap_mm)}, "
        f"margin = {quoted(wish.margin_mm)}, first = {wish.first} }}"
    )


def joins(wishes: tuple[JoinWish, ...], quoted: Quoted) -> str | None:
    """Write which points of pages lie on each other."""
    if not wishes:
        return None
    rows = (
        f"{{ page = {one.page}, onto = {one.onto}, at = [{', '.join(_point(p, quoted) for p in one.at)}], "
        f"there = [{', '.join(_point(p, quoted) for p in one.there)}] }}"
        for one in wishes
    )
    return f"[{', '.join(rows)}]"


def trace(wish: TraceWish | None) -> str | None:
    """Write how an edge is followed on a picture."""
    if wish is None:
        return None
    through = ", ".join(f"[{x!r}, {y!r}]" for x, y in wish.through)
    by = f"sheet = {_told(wish.sheet)}" if wish.dpi is None and wish.sheet else f"dpi = {wish.dpi!r}"
    return f"{{ through = [{through}], {by}, follow = {_told(wish.follow)} }}"


def _point(point: tuple[float, float], quoted: Quoted) -> str:
    return f"[{quoted(point[0])}, {quoted(point[1])}]"


def _told(text: str) -> str:
    return text_as_toml(text) or '""'


def text_as_toml(text: str | None) -> str | None:
    """Write a TOML basic string; what it may not hold as it is, is escaped."""
    if text is None:
        return None
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(_escaped(sign) for sign in escaped) + '"'


def _escaped(sign: str) -> str:
    return f"\\u{ord(sign):04X}" if ord(sign) < 0x20 or ord(sign) == 0x7F else sign
