"""The pull coupon, the pictures of measuring and the rings of the body, as drawn."""

import math
from dataclasses import replace

import pytest
from paper_sets import TEMPLATES, extra_of, groups, leaves, words_on

from closures.app.job import load_plan, place_plan
from closures.app.pages import booklet_of
from closures.app.web.pulled import pulled_picture
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.measuring import measure_picture
from closures.drawing.extras.registry import asked_for, further_pieces
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.shapes import CUT, HEAVY, Circle, Path, Words
from closures.drawing.ink.type_scale import LARGE_TYPE
from closures.errors import PlanError
from closures.jobs.gape.asking import MEASURES, measures_for
from closures.jobs.gape.formulas import calm_pull_n_m
from closures.jobs.gape.known import coupon_width_mm, known_of
from closures.jobs.gape.tables import figure
from closures.plan.reading import read_plan
from closures.plan.sheets import SheetsWish

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


@pytest.mark.parametrize(("text", "neighbours"), [(PLAN, 2), (ONE, 0)], ids=["a row", "one closure"])
def test_scale_is_read_at_an_open_closure_whose_neighbours_are_told_and_drawn_where_it_has_any(text, neighbours):
    _, words = made("measuring", text=text)
    assert ("its neighbours closed" in words) == ("drawn hardest" in words) == bool(neighbours)
    assert ("leave the one closure of the row open, and closed whatever else holds the laps" in words) != bool(
        neighbours
    )
    answer = place_plan(read_plan(text.encode(), "dress.toml"))
    (scale,) = [one for one in measures_for(answer.placement) if one.name == "scale"]
    drawn = measure_picture(scale).decode()
    # Of each closure of the picture its fill and its rim.
    assert (drawn.count(">closed<"), drawn.count("<circle")) == (neighbours, 2 * (1 + neighbours))
    assert pulled_picture("measure-scale.svg", answer).decode() == drawn


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


WIDE = """
[edge]
straight = "1100 mm"
[band]
width = "44 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "30 mm"
last = "60 mm"
count = 4
"""


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("paper", "is_whole"), [("a4", False), ("letter", False), ("a3", True), ("roll", True)])
def test_pull_coupon_wider_than_its_paper_is_drawn_shorter_with_what_is_left_out_written(paper, is_whole):
    answer = place_plan(asked_for(read_plan(WIDE.encode(), "cape.toml"), ["all"]))
    sheets = booklet_of(answer, load_catalogue().paper(paper)).pages
    marks = [group for page in sheets for group in groups(page.items) if group.id == "pull-coupon-over-2"]
    said = " ".join(item.text for page in sheets for item in words_on(page.items))
    assert len(marks) == 1
    # Gaps of (1100 - 30 - 60) / 3 mm: 22 mm by either closure and 90 mm about the middle are drawn.
    left_out = (1010 / 3 - 2 * 22 - 90) / 2
    assert (f"{left_out:.1f} mm left out" in said) is not is_whole
    assert ("drawn shorter: the closures sit 336.7 mm from each other" in said) is not is_whole


def test_parts_of_a_shorter_pull_coupon_come_to_the_whole_gap_when_laid_as_written():
    answer = place_plan(asked_for(read_plan(WIDE.encode(), "cape.toml"), ["pull-coupon"]))
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue)
    for piece in further_pieces(drawn):
        ends = [
            sum(box_of(next(one for one in leaves(g.items) if isinstance(one, Circle) and one.role == "centre"))[::2])
            / 2
            for n in (1, 2)
            for g in groups(piece.shorter.items)
            if g.id == f"pull-coupon-{piece.lap}-{n}"
        ]
        # Two gaps of white, 14 mm wide as drawn, stand for what is left out.
        assert ends[1] - ends[0] - 2 * 14.0 + 2 * (1010 / 3 - 134.0) / 2 == pytest.approx(1010 / 3, abs=1e-6)
        assert coupon_width_mm(answer.placement, answer.catalogue) == pytest.approx(1010 / 3 + 30.0)


def is_centre(item):
    return isinstance(item, Circle) and item.role == "centre"


def test_pull_coupon_too_deep_for_its_paper_leaves_out_as_much_of_its_band_as_it_says():
    path = TEMPLATES / "double-breasted" / "plan.toml"
    answer = place_plan(asked_for(load_plan(path), ["pull-coupon"]), path)
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue)
    for piece in further_pieces(drawn):
        lap = answer.placement.laps[piece.lap]
        heavy, cut = [], []
        for one in leaves(piece.shorter.items):
            if isinstance(one, Path) and one.pen in (HEAVY, CUT):
                (heavy if one.pen == HEAVY else cut).append(box_of(one)[1])
        (mark,) = [g for g in groups(piece.shorter.items) if g.id == f"pull-coupon-{piece.lap}-1"]
        (line_y,) = {(box_of(one)[1] + box_of(one)[3]) / 2 for one in leaves(mark.items) if is_centre(one)}
        told = [
            float(one.text.split(" mm")[0]) for one in words_on(piece.shorter.items) if one.text.endswith("left out")
        ]
        (edge_y,), (band_y,), (left_out,) = set(heavy), set(cut), told
        # White 14 mm deep stands for what is left out, on one side of the closures; all else is at true size.
        assert abs(band_y - edge_y) - 14.0 + left_out == pytest.approx(lap.width_mm, abs=0.06)
        off = abs(line_y - edge_y)
        assert min(abs(off - lap.inset_mm), abs(off - 14.0 + left_out - lap.inset_mm)) < 0.06
        assert left_out > 90.0


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pull_coupon_of_a_deep_facing_fits_small_paper_in_large_letters(paper):
    path = TEMPLATES / "double-breasted" / "plan.toml"
    plan = asked_for(load_plan(path), ["pull-coupon"])
    plan = replace(plan, sheets=replace(plan.sheets or SheetsWish(), large=True))
    sheets = booklet_of(place_plan(plan, path), load_catalogue().paper(paper)).pages
    marks = [group.id for page in sheets for group in groups(page.items) if group.id.startswith("pull-coupon-")]
    assert sorted(marks) == [f"pull-coupon-{lap}-{n}" for lap in ("over", "under") for n in (1, 2)]


def test_pictures_of_measuring_grow_with_large_letters():
    plan = read_plan((PLAN + "[sheets]\nlarge = true\nmeasuring = true\n").encode(), "dress.toml")
    sheets = booklet_of(place_plan(plan), load_catalogue().paper("a4")).pages
    (label,) = [one for page in sheets for one in words_on(page.items) if one.text == "its tip touches: measure"]
    assert label.size_mm == pytest.approx(LARGE_TYPE.figure)


def test_level_that_is_just_reached_is_told_once():
    plan = load_plan(TEMPLATES / "calm-front" / "plan.toml")
    findings = place_plan(plan, TEMPLATES / "calm-front" / "plan.toml").findings
    (text,) = [one.text for one in findings if "it must reach" in one.text]
    assert "it must reach the level 527.1 mm and does; closure 10" in text
