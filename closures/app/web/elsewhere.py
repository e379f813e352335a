"""A change that was asked of an older picture, since another window was faster: what was typed is named and kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.web.bench import Dropped, Refusal
from closures.app.web.fields import REPEATED, label_of, values_of
from closures.app.web.typed_unit import units_of, with_unit
from closures.plan.editing import value_of

if TYPE_CHECKING:
    from closures.app.web.bench import Bench
    from closures.app.web.table import Hand

_ELSEWHERE = (
    "This plan was changed in another window meanwhile, and your last change was not made. "
    "Here is how it stands now: make the change again if it is still wanted."
)


def not_taken(bench: Bench, hand: Hand) -> Refusal:
    """Say that a change was not made, and keep what was typed for it: taken, it would undo what the other window did.

    Args:
        bench: the plan as the other window left it.
        hand: what was asked of an older picture.
    """
    told = replace(bench.still(), sentences=(_ELSEWHERE,), is_elsewhere=True)
    if "text" in hand.typed:
        # A whole text stays in its place, where it can be read on.
        return replace(told, typed={**(told.typed or {}), "text": hand.typed["text"]})
    return replace(told, dropped=_dropped(bench, hand))


def _dropped(bench: Bench, hand: Hand) -> tuple[Dropped, ...]:
    """What was typed here and stands otherwise now. Without scripts a whole form is sent, and not what of it is new."""
    text = bench.step.text
    stands = {**values_of(text), **((bench.refusal.typed if bench.refusal else None) or {})}
    other = _other_rows(text, hand.rows)
    found = []
    for name, sent in hand.typed.items():
        typed = with_unit(name, sent.replace("\r\n", "\n").strip(), hand.units or units_of(text))
        section, _, key = name.rpartition(".")
        if (hand.mine is not None and name not in hand.mine) or typed == stands.get(name, "").strip() or not key:
            continue
        # A row of which another window took one out may be another one's now: what was typed there is put nowhere.
        place = "" if section.partition(".")[0] in other else name
        found.append(Dropped(label_of(name, text), typed, stands.get(name, ""), place, hand.mine is not None))
    return tuple(found)


def _other_rows(text: str, rows: Mapping[str, int]) -> frozenset[str]:
    """The sections that have another number of rows than the form from which was sent."""
    return frozenset(
        one.name for one in REPEATED if one.name in rows and rows[one.name] != len(value_of(text, one.name) or ())
    )
