"""Cures of a refused plan that hold at once: what they say to write is taken."""

import pytest

from closures.errors import PlanError
from closures.plan.reading import read_plan

PLAN = """
[edge]
straight = "600 mm"
reverse = true
[garment]
opens = "{opens}"
[band]
width = "38 mm"
lap = "{lap}"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "50 mm"
count = 8
"""


def told(text: str) -> str:
    with pytest.raises(PlanError, match=r".") as error:
        read_plan(text, "p.toml")
    return str(error.value)


@pytest.mark.parametrize(("word", "meant"), [("yes", "true"), ("No", "false"), ("on", "true"), ("off", "false")])
def test_yes_without_quotes_is_cured_with_true(word, meant):
    plan = PLAN.format(opens="front", lap="right over left")
    assert told(plan.replace("= true", f"= {word}")).endswith(
        f"Write true or false, without quotes: reverse = {meant}."
    )
    read_plan(plan.replace("= true", f"= {meant}"), "p.toml")


def test_a_size_in_bare_figures_is_told_how_to_write_it_in_one_round():
    plan = PLAN.format(opens="front", lap="right over left").replace('"16 L"', "16")
    assert '16 is not a size. Write "16 L" for lines, "16 mm" for mm, or "16" where' in told(plan)


@pytest.mark.parametrize(
    ("opens", "lap", "laps"),
    [
        ("front", "right", ("right over left", "left over right")),
        ("left side", "right", ("front over back", "back over front")),
        ("flat", "top", ("upper over lower", "lower over upper")),
    ],
)
def test_a_lap_is_offered_of_the_sides_that_the_opening_has(opens, lap, laps):
    said = told(PLAN.format(opens=opens, lap=lap))
    assert f'rite "{laps[0]}" or "{laps[1]}", ' in said and said.count(" over ") in (2, 4), said
    for one in laps:
        read_plan(PLAN.format(opens=opens, lap=one), "p.toml")
