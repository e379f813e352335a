"""Sentences of the tables: figures in the place of their braces, agreeing with how many marks they speak of."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_GARMENT = re.compile(r"\b([Tt]he|[Tt]his) garment\b")
_ONE_HOLE = re.compile(r"(?:button)?hole \d+")
_BY_COUNT = re.compile(r"\{([^{}?|]+)\?([^{}|]*)\|([^{}|]*)\}")


def put(text: str, figures: Mapping[str, str]) -> str:
    """Put figures in the place of the words in braces.

    A sentence agrees with how many marks it speaks of by ``{first marks?the hole|the holes}``: what stands before the
    bar is taken where that figure names a single mark, what stands after it where it names several.
    """
    for name, told in figures.items():
        text = text.replace(f"{{{name}}}", told)

    def agreed(found: re.Match[str]) -> str:
        name, one, many = found.groups()
        if name not in figures:
            return found[0]
        return one if is_one(figures[name]) else many

    return _BY_COUNT.sub(agreed, text)


def is_one(named: str) -> bool:
    """Whether marks or holes that are named in words are a single one."""
    return named.startswith("mark ") or _ONE_HOLE.fullmatch(named) is not None


def called(text: str, *, is_worn: bool) -> str:
    """Name what is made: a duvet, a cushion or a bag, which nobody wears, is no garment."""
    return text if is_worn else _GARMENT.sub(r"\1 finished piece", text)


def filled(text: str, figures: Mapping[str, str]) -> str:
    """Put figures in the place of the words in braces, and begin with a capital."""
    text = put(text, figures)
    return text[:1].upper() + text[1:]
