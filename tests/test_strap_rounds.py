"""What a belt goes round, and how thick it is, held against a body and against its own layers."""

from __future__ import annotations

import pytest

from closures.app.job import check_plan
from closures.plan.reading import read_plan

BELT = """
title = "Sedge belt"
[belt]
{told}
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
grip = ["0.5 mm", "4 mm"]
[[layer]]
thickness = "0.8 mm"
count = 2
"""


def looks(told: str) -> str:
    plan = read_plan(BELT.format(told=told).encode(), "belt.toml")
    return " ".join(one.text for one in check_plan(plan).findings if one.result == "warn")


@pytest.mark.parametrize(("thickness", "is_looked_at"), [("0.7 mm", True), ("0.9 mm", False), ("3.1 mm", False), ("3.3 mm", True), ("30 mm", True)])  # fmt: skip
def test_strap_that_is_told_more_than_twice_as_thick_or_thin_as_its_layers_is_looked_at(thickness, is_looked_at):
    """By hand: two layers of 0.8 mm are 1.6 mm, twice that 3.2 mm and half of it 0.8 mm (our own rule)."""
    told = looks(f'waist = "760 mm"\nthickness = "{thickness}"')
    assert (f"told {thickness} thick, and the layers that are told come to 1.6 mm" in told) is is_looked_at


@pytest.mark.parametrize(("waist", "than"), [("299 mm", "less"), ("300 mm", ""), ("2000 mm", ""), ("5000 mm", "more")])
def test_belt_that_goes_round_no_body_is_looked_at(waist, than):
    told = looks(f'waist = "{waist}"')
    assert (f"{waist} round is {than} than a belt goes round a body" in told) is bool(than)
