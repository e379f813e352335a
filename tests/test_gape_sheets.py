"""The pull coupon, the pictures of measuring and the rings of the body, as drawn."""

import math

import pytest
from paper_sets import extra_of, groups, leaves

from closures.app.job import place_plan
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.registry import asked_for, further_pieces
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.shapes import Circle, Words
from closures.errors import PlanError
from closures.jobs.gape.asking import MEASURES
from closures.jobs.gape.formulas import calm_pull_n_m
from closures.jobs.gape.known import coupon_width_mm, known_of
from closures.jobs.gape.tables import figure
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


def made(name, text=PLAN):
    """The shapes and the words of a further sheet."""
    plan = asked_for(read_plan(text.encode(), "dress.toml"), [name])
    return extra_of(place_plan(plan), name)


def test_pull_coupon_holds_one_gap_of_both_laps_at_full_size():
    items, words = made("pull-coupon")
    found = [group for group in groups(items) if group.id.startswith("pull-coupon-")]
    assert {group.id for group in found} == {f"pull-coupon-{lap}-{n}" for lap in ("over", "under") for n in (1, 2)}
    for lap in ("over", "under"):
        (one,), (other,) = (
            [
                c
                for g in found
                if g.id == f"pull-coupon-{lap}-{n}"
                for c in g.items
                if isinstance(c, Circle) and c.role == "centre"
            ]
            for n in (1, 2)
        )
        # Seven gaps of (600 - 15 - 50) / 7 mm.
        assert math.dist((one.x, one.y), (other.x, other.y)) == pytest.approx(535 / 7, abs=1e-6)
    assert "Hang it and read it" in words


def test_pull_coupon_is_as_wide_as_a_hole_along_the_line_asks_and_is_read_by_that_width():
    # A 28 L button, 17.8 mm and 3 mm thick, takes a hole of 21 mm, of which all but 3.2 mm lie past the mark.
    text = PLAN.replace(
        '"prong snap"\nsize = "16 L"', '"sew-through button"\nsize = "28 L"\nthickness = "3 mm"\nhole = "along"'
    )
    plan = read_plan((text + '[pull]\ncoupon_rises = "60 g"\n').encode(), "dress.toml")
    answer = place_plan(asked_for(plan, ["pull-coupon"]))
    items, _ = extra_of(answer, "pull-coupon")
    boxes = [box_of(group) for group in groups(items) if group.id.startswith("pull-coupon-over-")]
    width = coupon_width_mm(answer.placement, answer.catalogue)
    assert all(box[2] - box[0] > 20.0 for box in boxes)
    assert min(box[0] for box in boxes) > 4.9 and max(box[2] for box in boxes) < width - 4.9
    # 60 g hang from the whole width: a scale's grams over its length, 9.80665 m/s2 (ISO 80000-4).
    pitch, inset = answer.placement.spacing.largest_mm, answer.placement.laps.over.inset_mm
    known = known_of(answer.placement, answer.catalogue).stiffness
    by_hand = 0.060 * 9.80665 / (width / 1000) * figure("coupon reading").range.low
    assert known.is_measured
    assert known.range.low * calm_pull_n_m(1.0, pitch, inset) == pytest.approx(by_hand, rel=1e-3)


def test_pull_coupon_takes_the_pitch_that_the_plan_tells():
    _, words = made("pull-coupon", text=PLAN + '[pull]\ncoupon_pitch = "90 mm"\n')
    assert "The two closures sit 90 mm from each other" in words


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("inset", ["9 mm", "14 mm"])
@pytest.mark.parametrize("pitch", ["4 mm", "15 mm", "90 mm"])
def test_words_of_the_pull_coupon_stay_within_its_cutting_line_and_off_its_marks(pitch, inset, large):
    more = "[sheets]\nlarge = true\n" if large else ""
    text = f'{PLAN.replace("14 mm", inset)}[pull]\ncoupon_pitch = "{pitch}"\n{more}'
    answer = place_plan(asked_for(read_plan(text.encode(), "dress.toml"), ["pull-coupon"]))
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue)
    pieces = [piece for piece in further_pieces(drawn) if piece.name.startswith("pull coupon")]
    assert len(pieces) == 2
    for piece in pieces:
        left, top, right, bottom = box_of(piece.items[0])
        words = [item for item in leaves(piece.items) if isinstance(item, Words)]
        assert drawn.run.split()[1] in " ".join(item.text for item in words)
        for item in words:
            x0, y0, x1, y1 = box_of(item)
            assert left < x0 and x1 < right and top < y0 and y1 < bottom, item.text
            for mark in (group for group in groups(piece.items) if group.id):
                a, b, c, d = box_of(mark)
                assert x1 < a or c < x0 or y1 < b or d < y0, item.text
        assert "free edge" in " ".join(item.text for item in words)


ONE = """
[edge]
straight = "60 mm"
[band]
width = "32 mm"
inset = "14 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "20 L"
[spacing]
first = "20 mm"
last = "40 mm"
count = 1
"""


def test_row_of_one_closure_has_no_gap_to_hang_weights_from():
    items, words = made("pull-coupon", text=ONE)
    assert items == () and "a row of one closure has no gap" in words and "Set both" not in words
    assert "pull coupon" not in made("measuring", text=ONE)[1]
    # One that is told is made all the same, with both closures.
    items, words = made("pull-coupon", text=ONE + '[pull]\ncoupon_pitch = "90 mm"\n')
    assert items and "The two closures sit 90 mm from each other" in words


@pytest.mark.parametrize("read", ['coupon_rises = "100 g"', 'coupon_apart = "2 mm"\ncoupon_weight = "400 g"'])
def test_what_was_read_from_a_coupon_of_no_gap_asks_how_long_it_was(read):
    plan = read_plan(f"{ONE}[pull]\n{read}\n".encode(), "neck.toml")
    answer = place_plan(plan)
    with pytest.raises(PlanError, match=r"how far apart.*coupon_pitch"):
        known_of(answer.placement, answer.catalogue)
    longer = place_plan(read_plan(f'{ONE}[pull]\ncoupon_pitch = "90 mm"\n{read}\n'.encode(), "neck.toml"))
    assert known_of(longer.placement, longer.catalogue)


def test_measuring_draws_every_measurement():
    _, words = made("measuring")
    for measure in MEASURES:
        assert measure.title in words


def test_rings_of_body_and_garment_are_drawn_to_one_scale():
    items, _ = made("way-in")
    found = sorted(item.r for item in leaves(items) if isinstance(item, Circle))
    # The waist, the hem, and twice the seat with 20 mm of ease.
    waist, body, again, hem = found
    assert body == pytest.approx(again)
    assert waist / body == pytest.approx(800 / 1020)
    assert hem / body == pytest.approx(1200 / 1020)


def test_plan_that_asks_no_way_in_has_no_rings():
    assert made("way-in", text=PLAN[: PLAN.index("[body]")]) == ((), "")


def test_measuring_points_at_the_coupon_of_its_own_set():
    plan = asked_for(read_plan(PLAN.encode(), "dress.toml"), ["measuring", "pull-coupon"])
    _, words = extra_of(place_plan(plan), "measuring")
    assert "it lies among these sheets" in words and "--also pull-coupon" not in words
    assert "--also pull-coupon" in made("measuring")[1]
