"""What a plan says of its sizes and of one wearer, written as TOML."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from closures.plan.by_size import BySize
from closures.plan.edge_writing import text_as_toml
from closures.plan.kinds import Range
from closures.plan.place import Move
from closures.plan.sizes import SizesWish
from closures.plan.wearer import FitWish

Quoted = Callable[[float], str]
Row = tuple[str, str | None]


def sizes(wish: SizesWish, quoted: Quoted) -> list[Row]:
    """Write `[sizes]`, key by key."""
    points = ", ".join(f"{_told(name)} = {moves(one, quoted)}" for name, one in wish.points)
    return [
        ("names", f"[{', '.join(map(_told, wish.names))}]"),
        ("base", _told(wish.base)),
        ("path", text_as_toml(wish.path)),
        ("under", text_as_toml(wish.under)),
        ("line", text_as_toml(wish.line)),
        ("level_zero", text_as_toml(wish.level_zero)),
        ("points", f"{{ {points} }}" if points else None),
        ("grade", moves(wish.grade, quoted)),
        ("steps", f"[{', '.join(map(repr, wish.steps))}]" if wish.steps else None),
        ("hold", None if wish.hold == "count" else _told(wish.hold)),
        ("level", _by_name(wish.level, quoted)),
        ("along", _by_name(wish.along, quoted)),
        ("clear", _by_name(wish.clear, quoted)),
        ("first", _by_size(wish.first, quoted)),
        ("last", _by_size(wish.last, quoted)),
        ("width", _by_size(wish.width, quoted)),
        ("inset", _by_size(wish.inset, quoted)),
        ("laid", None if wish.laid == "as drawn" else _told(wish.laid)),
    ]


def fit_rows(wish: FitWish, quoted: Quoted) -> list[Row]:
    """Write the keys of `[wearer]` that tell what differs for one wearer."""
    lines = ", ".join(
        f"{{ line = {_told(one.line)}, level = {quoted(one.level_mm)}, by = {quoted(one.by_mm)} }}"
        for one in wish.longer
    )
    return [
        ("size", text_as_toml(wish.size)),
        ("bust_level", _length(wish.bust_level_mm, quoted)),
        ("waist_level", _length(wish.waist_level_mm, quoted)),
        ("bust_girth", _length(wish.bust_girth_mm, quoted)),
        ("neck", quoted(wish.neck_mm) if wish.neck_mm else None),
        ("longer", f"[{lines}]" if lines else None),
    ]


def moves(told: Iterable[Move], quoted: Quoted) -> str | None:
    """Write a list of pairs of lengths, None where there is none."""
    written = ", ".join(f"[{quoted(across)}, {quoted(down)}]" for across, down in told)
    return f"[{written}]" if written else None


def _by_name(named: tuple[tuple[str, BySize], ...], quoted: Quoted) -> str | None:
    written = ", ".join(f"{_told(name)} = {_by_size(one, quoted, as_list=True)}" for name, one in named)
    return f"{{ {written} }}" if written else None


def _by_size(wish: BySize | None, quoted: Quoted, as_list: bool = False) -> str | None:
    if wish is None:
        return None
    if wish.step is not None:
        return f"{{ step = {_figure(wish.step, quoted, as_list)} }}"
    return "{ " + ", ".join(f"{_told(name)} = {_figure(one, quoted, as_list)}" for name, one in wish.table) + " }"


def _figure(value: Any, quoted: Quoted, as_list: bool) -> str:
    if isinstance(value, Range) and as_list:
        return f"[{quoted(value.low_mm)}, {quoted(value.high_mm)}]"
    if isinstance(value, Range):
        return f"{{ from = {quoted(value.low_mm)}, to = {quoted(value.high_mm)} }}"
    if isinstance(value, tuple):
        return f"[{quoted(value[0])}, {quoted(value[1])}]"
    return quoted(value)


def _length(mm: float | None, quoted: Quoted) -> str | None:
    return None if mm is None else quoted(mm)


def _told(text: str) -> str:
    return text_as_toml(text) or '""'
