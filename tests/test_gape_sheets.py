"""The pull coupon, the pictures of measuring and the rings of the body, as drawn."""

import math

import pytest

from closures.app.job import place_plan
from closures.drawing.extras.registry import asked_for
from closures.drawing.ink.shapes import Circle, Group
from closures.jobs.gape.asking import MEASURES
from closures.plan.reading import read_plan

PLAN = """
[edge]
straight = "600 mm"
[band]
width = "32 mm"
inset = "14 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "50 mm"
count = 8
[body]
seat = "1000 mm"
[way_in]
rings = [{ at = "waist", level = "400 mm", round = "800 mm" }, { at = "hem", level = "620 mm", round = "1200 mm" }]
last_opens = 3
"""


def pages(*names, text=PLAN):
    plan = asked_for(read_plan(text.encode(), "dress.toml"), names)
    return place_plan(plan).further


def items_of(sheet):
    def within(items):
        for item in items:
            yield item
            if isinstance(item, Group):
                yield from within(item.items)

    return list(within(sheet.drawing))


def circles(sheet):
    return [item for item in items_of(sheet) if isinstance(item, Circle)]


def test_pull_coupon_holds_one_gap_of_both_laps_at_full_size():
    first, reading = pages("pull-coupon")
    groups = [item for item in items_of(first) if isinstance(item, Group) and item.id.startswith("pull-coupon-")]
    assert {group.id for group in groups} == {f"pull-coupon-{lap}-{n}" for lap in ("over", "under") for n in (1, 2)}
    for lap in ("over", "under"):
        (one,), (other,) = (
            [
                c
                for g in groups
                if g.id == f"pull-coupon-{lap}-{n}"
                for c in g.items
                if isinstance(c, Circle) and c.role == "centre"
            ]
            for n in (1, 2)
        )
        # Seven gaps of (600 - 15 - 50) / 7 mm.
        assert math.dist((one.x, one.y), (other.x, other.y)) == pytest.approx(535 / 7, abs=1e-6)
    assert "hang it and read it" in reading.telling.lap_words


def test_pull_coupon_takes_the_pitch_that_the_plan_tells():
    first, _ = pages("pull-coupon", text=PLAN + '[pull]\ncoupon_pitch = "90 mm"\n')
    assert any("90 mm" in line for line in first.telling.check)


def test_measuring_draws_every_measurement():
    sheets = pages("measuring")
    words = " ".join(getattr(item, "text", "") for sheet in sheets for item in items_of(sheet))
    for measure in MEASURES:
        assert measure.title in words


def test_rings_of_body_and_garment_are_drawn_to_one_scale():
    (sheet, *_) = pages("way-in")
    found = sorted(circle.r for circle in circles(sheet))
    # The waist, the hem, and twice the seat with 20 mm of ease.
    waist, body, again, hem = found
    assert body == pytest.approx(again)
    assert waist / body == pytest.approx(800 / 1020)
    assert hem / body == pytest.approx(1200 / 1020)


def test_plan_that_asks_no_way_in_has_no_rings():
    assert pages("way-in", text=PLAN[: PLAN.index("[body]")]) == ()
