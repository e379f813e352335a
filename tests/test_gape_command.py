"""`closures pull`: the answer for people and for programs."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.command import app

EDGE = """
[edge]
straight = "600 mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "50 mm"
count = 8
"""
BELT = """
[belt]
waist = "30 in"
width = "32 mm"
settings = 3
step = "1 in"
caps = ["20 mm", "70 mm"]
[closure]
kind = "prong snap"
size = "16 L"
"""
MEASURED = """
[pull]
scale = "120 g"
overhang = "76 mm"
weight = "280 g/m2"
bias = "0.6 %"
opens_at = "12 N"
"""


@pytest.fixture
def run(tmp_path):
    def told(text, *options):
        plan = tmp_path / "plan.toml"
        plan.write_text(text)
        return CliRunner().invoke(app, ["pull", str(plan), *options])

    return told


def test_plan_without_pull_is_told_what_to_measure_first(run):
    result = run(EDGE)
    assert result.exit_code == 0
    text = " ".join(result.output.split())
    assert "So wide a range says one thing only: measure." in text
    assert text.index("1. The pull across the line") < text.index("2. The stiffness of the finished band")
    assert "not tried on cloth" in text


def test_plan_with_everything_measured_is_asked_for_nothing(run):
    text = " ".join(run(EDGE + MEASURED).output.split())
    # The coupon is a trial of its own, which the last line says where it was not read.
    assert "Everything was measured but the pull coupon" in text and "--also pull-coupon" in text
    read = " ".join(run(EDGE + MEASURED + 'coupon_rises = "150 g"\n').output.split())
    assert "Everything was measured." in read
    assert "one lap drawn apart by" in text


def test_figures_hold_rows_helps_and_what_is_left_to_measure(run):
    figures = json.loads(run(EDGE, "--json").output)
    assert [one["measure"] for one in figures["gape_to_measure"]] == ["scale", "overhang", "bias", "opens"]
    assert [row["for"] for row in figures["gape_rows"]] == ["even", "calm"]
    assert figures["gape_helps"]
    assert all(gap["pull_apart_mm"] is None for gap in figures["gape"])


def test_belt_is_refused_with_the_reason(run):
    result = run(BELT)
    assert result.exit_code == 2
    assert "no gaps along a band that could gape" in result.output + result.stderr


def test_edges_that_meet_are_not_asked_how_they_gape(run, tmp_path):
    text = (Path(__file__).resolve().parent.parent / "templates" / "laced-bodice" / "plan.toml").read_text("utf-8")
    result = run(text)
    assert result.exit_code == 2 and "these edges only meet" in result.output
    for more in ("pull-coupon", "measuring"):
        asked = CliRunner().invoke(
            app, ["place", str(tmp_path / "plan.toml"), "--out", str(tmp_path / "out"), "--also", more]
        )
        assert asked.exit_code == 2 and "this plan has nothing for" in asked.output


def test_knitted_band_is_asked_for_no_strip_on_the_bias(run):
    text = (Path(__file__).resolve().parent.parent / "templates" / "cardigan-rows" / "plan.toml").read_text("utf-8")
    result = run(text)
    assert result.exit_code == 0, result.output
    assert "What to measure" in result.output and "on the bias" not in result.output
    assert "on the bias" in run(EDGE).output
