"""The kinds of value that the work at the table needs: percents, and names from a list."""

from __future__ import annotations

import re
from typing import Any

from closures.lengths import shown_value
from closures.nearest import nearest_name
from closures.plan.kinds import Kind, Place

_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,4})?)\s*%?")
MOST_SHRINKAGE = 0.25
"""A quarter: cloth that loses more is felted on purpose, and no template foresees it."""


def percent(value: object, place: Place) -> float:
    """Take a share in percent, ``3 %`` or a bare 3, and give it as a fraction of one."""
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    match = _PERCENT.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise place.error(f"{shown_value(value)} is not a percentage", 'Write one such as "3 %" or "2.5 %".')
    share = float(match[1]) / 100.0
    if share > MOST_SHRINKAGE:
        raise place.error(
            f"{shown_value(value)} is more than cloth can be foreseen to lose",
            f"Keep it to {MOST_SHRINKAGE:.0%}, or wash the cloth first.",
        )
    return share


def some_of(*words: str) -> Kind:
    """Take one or several of a few words, each once."""
    listed = ", ".join(f'"{word}"' for word in words)

    def read(value: object, place: Place) -> tuple[Any, ...]:
        given = [value] if isinstance(value, str) else value
        if not isinstance(given, list) or not given:
            raise place.error(f"{shown_value(value)} is not a list of names", f"Write some of {listed}.")
        read: list[str] = []
        for one in given:
            word = " ".join(one.lower().split()) if isinstance(one, str) else ""
            if word not in words:
                near = nearest_name(word, words) if word else None
                mend = f'Write "{near}".' if near else f"Write some of {listed}."
                raise place.error(f"{shown_value(one)} is not one of {', '.join(words)}", mend)
            if word in read:
                raise place.error(f"{shown_value(one)} stands there twice", "Write every name once.")
            read.append(word)
        return tuple(read)

    return read
