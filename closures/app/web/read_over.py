"""A text of the plan was read, and does not hold what was put in since it was begun: that is named and kept."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.web.bench import Dropped, Refusal
from closures.app.web.fields import REPEATED, field_named, label_of, values_of
from closures.app.web.typed_unit import units_of, with_unit, with_units_typed
from closures.plan.editing import value_of

if TYPE_CHECKING:
    from closures.app.web.bench import Bench


def keeping_what_was_put_in(before: Bench, read: Bench, begun: str | None) -> Bench:
    """Name what stood in fields that a text took the place of without its hand having changed it.

    Args:
        before: the plan before the text was read.
        read: the plan after.
        begun: the plan's text as it was when the hand began to change it; None where the page does not say.
    """
    text, waits = before.step.text, {} if before.refusal is None else before.refusal.typed or {}
    began = _in_units(text if begun is None else begun)
    put_in = {**_in_units(text), **with_units_typed(waits, units_of(text))}
    now, stands = _in_units(read.step.text), values_of(read.step.text)
    other = {one.name for one in REPEATED if _count(text, one.name) != _count(read.step.text, one.name)}
    found = []
    for name in dict.fromkeys((*put_in, *began)):
        typed = put_in.get(name, "").strip()
        if field_named(name) is None or typed in (began.get(name, "").strip(), now.get(name, "").strip()):
            continue
        place = "" if name.partition(".")[0] in other else name
        found.append(Dropped(label_of(name, text), typed, stands.get(name, ""), place, True))
    if not found:
        return read
    return replace(read, refusal=replace(read.refusal or Refusal(), is_partly=True, dropped=tuple(found)))


def _in_units(text: str) -> Mapping[str, str]:
    """What stands in every field, each length with its unit; nothing where a text is no plan."""
    try:
        return {name: with_unit(name, told, units_of(text)) for name, told in values_of(text).items()}
    except tomllib.TOMLDecodeError:
        return {}


def _count(text: str, section: str) -> int:
    held = value_of(text, section)
    return len(held) if isinstance(held, list) else 0
