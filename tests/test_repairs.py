"""Repairs of plans that no row meets: told as the plan's own lines, tried, and taken by the command."""

from __future__ import annotations

import re

import pytest
from repair_plans import held
from typer.testing import CliRunner

import closures
from closures.app.command import app
from closures.app.repairing import repairs

RUN = CliRunner()
PLAN = """# Changed by hand since.
[edge]
straight = "600 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = 20   # from the neck
last = "3 cm"
count = 6
widest = "80 mm"
"""
# 550 mm in 5 gaps are 110 each; 550 / 80 = 6.9 gaps, so 8 closures. 5 gaps of 80 are 400: 150 mm less.
REPAIRS = (
    ("[spacing] count = 8",),
    ('[spacing] widest = "110 mm"',),
    # These leave 170 and 180 mm open at an end, with no gap above 80 mm: they come last.
    ("[spacing] first = {from = 20, to = 170}",),
    ('[spacing] last = {from = "3 cm", to = "18 cm"}',),
)


@pytest.fixture
def plan(tmp_path):
    path = tmp_path / "front.toml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def test_repairs_are_the_plans_own_keys_in_the_units_that_stood_there():
    found = repairs(PLAN, "front.toml", {})
    assert tuple(repair.lines for repair in found) == REPAIRS
    assert all(repair.text.startswith("# Changed by hand since.\n[edge]\n") for repair in found)
    assert "first = {from = 20, to = 170}   # from the neck\n" in found[2].text
    for repair in found:
        closures.check_plan(closures.read_plan(repair.text.encode(), "front.toml"), {})


def test_repair_that_leaves_an_end_open_says_so_and_comes_last():
    words = [repair.words for repair in repairs(PLAN, "front.toml", {})]
    assert words[:2] == [("8 closures",), ("gaps of up to 110 mm",)]
    assert words[2][0].endswith("from the first end, which leaves 170 mm open at the first end")
    assert words[3][0].endswith("from the last end, which leaves 180 mm open at the last end")


def test_ends_are_called_as_the_garment_calls_them(plan):
    plan.write_text(PLAN.replace("[band]", '[garment]\nopens = "front"\npieces = "pair"\n[band]'), encoding="utf-8")
    said = RUN.invoke(app, ["check", str(plan)]).stderr
    assert "the first closure 20 mm from the neck; the last closure 30 mm from the hem" in said
    assert "20 mm to 170 mm from the neck, which leaves 170 mm open at the neck" in said
    assert "first end" not in said
    assert "last end" not in said


def test_distance_that_was_taken_is_written_with_no_more_decimals_than_people_read():
    # A dress's last closure is taken a part of the length above the hem: of an arc that has endless decimals.
    arc = 'arc = { length = "613.7 mm", radius = "900 mm", bows = "out" }'
    text = (
        PLAN.replace('straight = "600 mm"', arc)
        .replace("count = 6", "count = 4")
        .replace('last = "3 cm"\n', "")
        .replace("[band]", "[garment]\nopens = 'front'\npieces = 'pair'\n[band]")
    )
    found = [line for repair in repairs(text, "front.toml", {}) for line in repair.lines]
    (line,) = [line for line in found if line.startswith("[spacing] last")]
    assert re.fullmatch(r'\[spacing\] last = \{from = "\d+(\.\d)? mm", to = "\d+ mm"\}', line)


def test_plan_that_places_has_no_repair():
    assert repairs(PLAN.replace("count = 6", "count = 8"), "front.toml", {}) == ()


@pytest.mark.parametrize(
    ("anchor", "lines"),
    [
        # The zone keeps rims out: 5.08 mm beyond 250 to 300 mm. 290 is 15.08 mm from its end: 16 whole millimetres.
        pytest.param('level = "290 mm"', ('[[anchor]] "waist" level = "306 mm"',), id="by level"),
        pytest.param('along = "29 cm"', ('[[anchor]] "waist" along = "30.6 cm"',), id="along, in cm"),
        pytest.param("along = 290", ('[[anchor]] "waist" along = 306',), id="a bare number"),
    ],
)
def test_anchor_is_moved_in_the_way_it_was_told(anchor, lines):
    zone = '[[clear]]\nname = "belt"\nlevel = ["250 mm", "300 mm"]\n'
    text = PLAN.replace("count = 6", "pitch = 60") + f'[[anchor]]\nname = "waist"\n{anchor}\n{zone}'
    found = repairs(text, "front.toml", {})
    assert found[0].lines == lines
    assert [repair.lines for repair in found[2:]] == [
        # A rim about 290 reaches from 284.92 to 295.08 mm.
        ('[[clear]] "belt" level = ["296 mm", "300 mm"]',),
        ('[[clear]] "belt" level = ["250 mm", "284 mm"]',),
        ('[[clear]] "belt" taken out',),
    ]


def test_row_on_repeats_is_repaired_to_the_nearest_repeats():
    # Repeats at 24, 56, ... 568 mm: neither 20 from the first end nor 570, 30 from the last, is one of them.
    text = PLAN.replace("count = 6", "count = 8") + '[stripe]\nevery = "32 mm"\nat = "24 mm"\n'
    (repair,) = repairs(text.replace("80 mm", "100 mm"), "front.toml", {})
    assert repair.lines == (
        "[spacing] first = {from = 20, to = 24}",
        '[spacing] last = {from = "3 cm", to = "3.2 cm"}',
    )


@pytest.mark.in_turn(5)
@pytest.mark.long
@pytest.mark.parametrize("seed", range(24))
def test_every_repair_places_and_none_smaller_is_to_be_had(seed):
    result = held(seed)
    assert result is None or result[1]


def test_refusal_tells_the_repairs_by_number(plan):
    said = RUN.invoke(app, ["check", str(plan)])
    assert said.exit_code == 2
    assert (
        "Any one of these mends it, tried on this plan:\n  1. 8 closures\n       [spacing] count = 8\n" in said.stderr
    )
    assert "closures place front.toml --repair 1" in said.stderr


def test_check_tries_a_repair_and_writes_nothing(plan):
    said = RUN.invoke(app, ["check", str(plan), "--repair", "2"])
    assert said.exit_code == 0
    assert '[spacing] widest = "110 mm"' in said.stdout
    assert "5 gaps of 110 mm" in said.stdout
    assert [path.name for path in plan.parent.iterdir()] == ["front.toml"]
    assert plan.read_text() == PLAN


def test_place_writes_a_repair_into_the_plan_and_places_it(plan):
    said = RUN.invoke(app, ["place", str(plan), "--repair", "1"])
    assert said.exit_code == 0
    assert plan.read_text() == PLAN.replace("count = 6", "count = 8")
    assert (plan.parent / "front" / "over.svg").exists()


def test_place_that_cannot_write_its_results_leaves_the_plan_as_it_was(plan):
    (plan.parent / "front").write_text("not a folder")
    said = RUN.invoke(app, ["place", str(plan), "--repair", "1"])
    assert said.exit_code == 2
    assert plan.read_text() == PLAN
    assert sorted(path.name for path in plan.parent.iterdir()) == ["front", "front.toml"]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        pytest.param(["--repair", "9"], "there is no repair 9. Write a number from 1 to 4", id="none of that number"),
        pytest.param(["--repair", "1", "--set", "spacing.count = 8"], "cannot go with --repair", id="beside --set"),
    ],
)
def test_repair_that_cannot_be_taken_is_refused(plan, more, told):
    said = RUN.invoke(app, ["place", str(plan), *more])
    assert said.exit_code == 2
    assert told in said.stderr
    assert plan.read_text() == PLAN


def test_repair_of_a_plan_that_places_is_refused(plan):
    plan.write_text(PLAN.replace("count = 6", "count = 8"))
    said = RUN.invoke(app, ["check", str(plan), "--repair", "1"])
    assert said.exit_code == 2
    assert "no repair to take" in said.stderr


def test_anchor_that_follows_from_the_wearer_is_no_line_to_be_repaired():
    """Who wears it asks for a closure at the waist; the plan holds no anchor that a repair could be written into."""
    worn = PLAN + '\n[wearer]\nwaist_level = "25 mm"\n'
    found = repairs(worn, "front.toml", {})
    assert found
    for repair in found:
        assert "anchor" not in " ".join(repair.lines)
        closures.check_plan(closures.read_plan(repair.text.encode(), "front.toml"), {})
