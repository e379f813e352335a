"""A length that was typed keeps the unit that it was typed in, where the page's unit is changed under it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.web.fields import field_named, in_inches
from closures.plan.bare import written_out
from closures.plan.editing import value_of
from closures.plan.one_line import meant, shown

if TYPE_CHECKING:
    from closures.app.web.bench import Bench
    from closures.plan.top import Units


def units_of(text: str) -> Units:
    """What a bare number of a plan's text means."""
    return "in" if value_of(text, "", "units") == "in" else "mm"


def with_unit(name: str, told: str, units: Units) -> str:
    """Write the unit beside what was typed in a field, where it is a length that has none.

    Args:
        name: the field's, in the form; what is no field of a plan stays as it is.
        told: what was typed in it.
        units: what the page showed while it was typed.
    """
    found = field_named(name)
    if found is None or not told.strip():
        return told
    kind = found[0].kind
    value = meant(kind, in_inches(found[0], told, units))
    written = written_out(kind, value, units)
    return told if written == meant(kind, told) else shown(kind, written)


def with_units_typed(typed: Mapping[str, str], units: Units) -> dict[str, str]:
    """Write the unit beside every length that was typed without one, name by name."""
    return {name: with_unit(name, told, units) for name, told in typed.items()}


def waits_in_its_unit(before: str, bench: Bench) -> Bench:
    """Keep what was typed and waits in the meaning in which it was typed.

    Args:
        before: the plan's text while it was typed.
        bench: the plan after a change, which may have been of the units.
    """
    waits, units = bench.refusal, units_of(before)
    if waits is None or waits.typed is None or units_of(bench.step.text) == units:
        return bench
    return replace(bench, refusal=replace(waits, typed=with_units_typed(waits.typed, units)))
