"""The orders of work of every cloth that the catalogue names, so that a new one brings no page against another."""

from __future__ import annotations

import pytest
from test_advice_jobs import cloth, contradictions, front, out_of_order, whole_set

from closures.catalogue.loading import load_catalogue

CLOTHS = [one.name for one in load_catalogue().cloths if one.structure != "fusible"]
KINDS = {"sew-on snap": ("2/0", ""), "sew-through button": ("24 L", 'thickness = "3 mm"\nhole = "along"')}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", CLOTHS)
def test_no_two_pages_of_a_cloth_contradict_each_other(name: str, kind: str) -> None:
    size, closure = KINDS[kind]
    text = whole_set(front(kind, size, closure=closure, rest=cloth(name)))
    assert contradictions(text) == [] and out_of_order(text) == []
