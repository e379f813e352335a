"""What was typed and waits goes along with its row, where a change adds rows to a plan or takes some out."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.plan.editing import value_of

if TYPE_CHECKING:
    from closures.app.web.bench import Bench

_ROW = re.compile(r"([a-z_]+)\.(\d+)\.(.+)")


def moved_along(before: str, bench: Bench) -> Bench:
    """Name what waits as its rows are numbered now.

    Args:
        before: the plan's text as it stood when it was typed.
        bench: the plan after a change, with what waits named as it was.

    Returns:
        The plan; what waited in a row that is gone goes with it.
    """
    waits = bench.refusal
    if waits is None or before == bench.step.text:
        return bench

    def named(name: str) -> str:
        found = _ROW.fullmatch(name)
        if found is None:
            return name
        n = _number_now(found[1], int(found[2]), before, bench.step.text)
        return "" if n is None else f"{found[1]}.{n}.{found[3]}"

    words = {named(name): why for name, why in waits.words.items() if named(name)}
    typed = None if waits.typed is None else {named(name): told for name, told in waits.typed.items() if named(name)}
    if not words and not waits.sentences:
        return replace(bench, refusal=None)
    places = tuple(named(name) for name in waits.places if named(name))
    return replace(bench, refusal=replace(waits, words=words, typed=typed, places=places))


def _number_now(section: str, n: int, before: str, after: str) -> int | None:
    """Which number a row has after a change; a row that is not added yet stands after all others."""
    old, new = (held if isinstance(held := value_of(text, section), list) else [] for text in (before, after))
    if len(old) == len(new):
        return n
    if n >= len(old):
        return n - len(old) + len(new)
    return next((k for k, row in enumerate(new) if row == old[n]), None)
