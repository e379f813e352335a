"""Magnets in a finished band: judged through all layers, and through those alone that are left where it is opened.

The grip is the catalogue's; which layers a washer leaves is geometry, and that both ways are done common practice.
"""

from __future__ import annotations

import pytest

from closures.advice.advice import Advice
from closures.advice.order import Order
from closures.app.job import advice_of, check_plan
from closures.plan.reading import read_plan

PLAN = (
    '[edge]\nstraight = "560 mm"\n[garment]\nopens = "front"\nstate = "{state}"\n[band]\nwidth = "40 mm"\n'
    'lap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\nfirst = "30 mm"\n'
    'last = "60 mm"\ncount = 6\n[wearer]\nimplants = "none"\n{layers}'
)
TWO = '[[layer]]\ncloth = "wool flannel"\ncount = 2\n'
OPENED = "Where the band is opened for the washers"


def told(state: str = "finished", kind: str = "magnetic snap", size: str = "14 mm", layers: str = TWO) -> list:
    text = PLAN.format(state=state, kind=kind, size=size, layers=layers)
    found = check_plan(read_plan(text.encode(), "coat.toml")).findings
    return [one for one in found if one.rule in ("layer thickness", "backing") and one.result != "pass"]


def test_layers_left_where_a_band_is_opened_are_looked_at_as_those_of_an_open_band_are():
    opened, sewn = told(), told("sewn band")
    assert opened and all(one.text.startswith(OPENED) and one.result == "warn" for one in opened)
    assert {(one.rule, one.lap, one.found_mm) for one in opened} == {(one.rule, one.lap, one.found_mm) for one in sewn}


def test_a_lap_of_one_layer_has_no_band_to_open():
    layers = (
        '[[layer]]\ncloth = "wool flannel"\ncount = 2\non = "over"\n[[layer]]\ncloth = "boiled wool"\non = "under"\n'
    )
    assert {one.lap for one in told(layers=layers) if one.text.startswith(OPENED)} == {"over"}


@pytest.mark.parametrize(
    ("state", "kind", "size"), [("cut pieces", "magnetic snap", "14 mm"), ("finished", "sew-on snap", "3")]
)
def test_other_bands_and_other_kinds_are_not_asked(state: str, kind: str, size: str):
    assert not any(one.text.startswith(OPENED) for one in told(state, kind, size))


COATED = '[[layer]]\ncloth = "oilcloth"\ncount = 2\n'
LEATHER = '[[layer]]\ncloth = "leather 3 oz"\ncount = 2\n'


def steps_of(state: str, layers: str) -> tuple[Order, Advice]:
    text = PLAN.format(state=state, kind="magnetic snap", size="14 mm", layers=layers)
    advice = advice_of(check_plan(read_plan(text.encode(), "coat.toml")))
    return advice.order, advice


@pytest.mark.parametrize("state", ["finished", "sewn band"])
@pytest.mark.parametrize(("layers", "leaks"), [(COATED, True), (LEATHER, False)])
def test_band_of_cloth_that_keeps_its_holes_is_opened_after_the_stop(state: str, layers: str, leaks: bool):
    # That a needle's holes stay in coated cloth and leather, and let water through the former, is common practice.
    order, advice = steps_of(state, layers)
    opened = next(
        step for step in order.steps if "open the band" in step.text or step.text.startswith("Open the inner")
    )
    assert order.stop_before is not None and opened.n >= order.stop_before
    assert "the trial piece holds" in order.stop and "the sheets measure what they say" in order.stop
    assert "Every hole of its seam stays in" in opened.text and "through the same holes" in opened.text
    assert ("lets some through" in opened.text) is leaks and ("lets some through" in order.stop) is leaks
    assert any("every hole that no part fills" in caution for caution in advice.cautions) is leaks


def test_band_of_cloth_whose_holes_close_is_opened_before_the_stop():
    order, _ = steps_of("sewn band", TWO)
    opened = next(step for step in order.steps if step.text.startswith("Open the inner"))
    assert opened.n < (order.stop_before or 0) and "hole of its seam" not in opened.text
