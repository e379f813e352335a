"""The rule `evenness` at its limits, and what it says forces a gap and would end it. The limits are our own rule."""

import math
import random
import re
from collections import Counter
from dataclasses import replace

import pytest
from told import checks_of, report_of

from closures.app.job import check_plan
from closures.plan.reading import read_plan
from closures.spacing import Anchor, Clear, Wish
from closures.spacing.choice import best_row, can_look_even
from closures.spacing.forced import looks_even

PLAN = """
[edge]
straight = "{length} mm"
[band]
width = "32 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
{spacing}
{rest}
"""
BUST = '[[anchor]]\nname = "bust"\nalong = "{} mm"'


def evenness(length, spacing, rest=""):
    return checks_of(report_of(PLAN.format(length=length, spacing=spacing, rest=rest)), "evenness")


@pytest.mark.parametrize(
    ("gap", "result"),
    [(79.999, "pass"), (80.0, "pass"), (80.001, "warn"), (40.0, "pass"), (39.999, "warn")],
)
def test_departure_of_a_third_of_the_pitch_is_the_limit(gap, result):
    # Two closures, one gap; the limits leave no other count.
    limits = 'closest = "35 mm"' if gap < 60 else 'closest = "45 mm"'
    (check,) = evenness(gap + 40, f'pitch = "60 mm"\n{limits}')
    assert check["result"] == result
    assert check["limit_mm"] == pytest.approx(20.0)


@pytest.mark.parametrize(("gap", "is_even"), [(45.001, True), (45.0, True), (44.999, False)])
def test_spread_of_a_quarter_of_the_pitch_is_the_limit(gap, is_even):
    # A gap to the anchor and one of 60 mm after it.
    spacing = 'pitch = "60 mm"\nclosest = "40 mm"'
    (check,) = evenness(20 + gap + 60 + 20, spacing, BUST.format(20 + gap))
    assert ("cannot look even" not in check["text"]) == is_even


@pytest.mark.parametrize(("gap", "result"), [(66.0, "pass"), (66.1, "warn"), (54.0, "pass"), (53.9, "warn")])
def test_a_pitch_that_an_anchor_does_not_allow_is_said_from_a_tenth_on(gap, result):
    # One closure more or fewer in a row of ten: our own rule.
    (check,) = evenness(40 + gap + 180, 'pitch = "60 mm"', BUST.format(20 + gap))
    assert check["result"] == result
    assert ("anchor bust at" in check["text"]) == (result == "warn")


@pytest.mark.parametrize("gap", [52.0, 60.0, 68.0])
def test_what_the_ends_alone_make_of_a_pitch_is_no_look(gap):
    (check,) = evenness(40 + 2 * gap, 'pitch = "60 mm"')
    assert check["result"] == "pass" and "looks even" in check["text"]


@pytest.mark.parametrize(("gap", "result"), [(47.8, "pass"), (46.6, "warn")])
def test_count_is_held_against_the_mean_of_its_gaps(gap, result):
    # Gaps of 47.8 and 60: mean 53.9, spread 12.2, at most 13.475; 46.6 and 60: mean 53.3, 13.4, at most 13.325.
    (check,) = evenness(20 + gap + 60 + 20, "count = 3", BUST.format(20 + gap))
    assert check["result"] == result


def test_row_is_looked_at_as_it_is_worn():
    # 79.9 mm worn, a little under a third from the pitch; marked before the wash they are 84.1.
    wash = '[shrinkage]\nalong = "5 %"\nmeasured = "washed"'
    (check,) = evenness(79.9 + 40, 'pitch = "60 mm"\nclosest = "45 mm"', wash)
    assert (check["result"], check["found_mm"]) == ("pass", pytest.approx(19.9))


def test_one_closure_and_gaps_that_differ_on_purpose_are_not_looked_at():
    assert evenness(40, "count = 1") == []
    assert evenness(640, "count = 6", '[sheets]\nclosing = "wide gap"') == []


def test_look_names_what_forces_the_gap_and_changes_that_end_it():
    (check,) = evenness(691.3, 'pitch = "76.2 mm"', BUST.format(38))
    assert check["result"] == "warn"
    assert check["mark"] == 1
    assert "a gap of 18 mm, not the 76.2 mm wanted" in check["text"]
    assert "What forces it: the first closure, 20 mm from the first end; anchor bust at 38 mm." in check["text"]
    moved = re.search(r"anchor bust moved (\S+) mm toward the first end", check["text"])
    (after,) = evenness(691.3, 'pitch = "76.2 mm"', BUST.format(38 - float(moved[1])))
    assert after["result"] == "pass"


def test_look_at_a_zone_that_is_jumped_names_the_zone():
    (check,) = evenness(
        500, 'pitch = "60 mm"', '[[clear]]\nname = "belt"\nroom = "centre"\nalong = ["160 mm", "300 mm"]'
    )
    assert check["result"] == "warn"
    assert "What forces it: clear zone belt, 160 mm to 300 mm." in check["text"]


@pytest.mark.parametrize(("length", "result"), [(88.9, "pass"), (88.901, "warn")])
def test_single_closure_has_the_whole_line_as_its_gap(length, result):
    # 3 1/2 in, the upper end of the gaps on the front of a shirt (Indian Council of Agricultural Research).
    plan = PLAN.format(length=length, spacing="count = 1", rest="").replace(
        'last = "20 mm"', f'last = "{length - 20} mm"'
    )
    (check,) = checks_of(report_of(plan), "widest gap")
    assert check["result"] == result
    assert check["found_mm"] == pytest.approx(length, abs=1e-3)


@pytest.mark.parametrize(
    ("spacing", "reason", "cure"),
    [
        # Least of a snap of 16 L: its cap of 10.16 mm and the room between rims, 6 mm.
        ('pitch = "10 mm"', "a pitch of 10 mm is less than the 16.2 mm that the fastener takes", "a pitch of 16.2 mm"),
        (
            'pitch = "10 mm"\nclosest = "30 mm"',
            "a pitch of 10 mm is less than the 30 mm that the plan's closest",
            "of 30 mm",
        ),
        ('pitch = "90 mm"\nwidest = "40 mm"', "a pitch of 90 mm is more than the 40 mm that widest allows", "of 40 mm"),
    ],
    ids=["fastener", "closest", "widest"],
)
def test_pitch_that_no_gap_may_have_is_named_as_what_forces_the_row(spacing, reason, cure):
    (check,) = evenness(640, spacing)
    assert check["result"] == "warn"
    assert f"What forces it: {reason}" in check["text"]
    assert check["text"].endswith(f"{cure}.")


HIDDEN = """
[edge]
straight = "640 mm"
[garment]
opens = "front"
[band]
width = "180 mm"
inset = "150 mm"
under_inset = "26 mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "20 L"
{halves}
[spacing]
first = "60 mm"
last = "580 mm"
count = 1
"""


@pytest.mark.parametrize(("halves", "result"), [('halves = "turned"', "pass"), ("", "warn")])
def test_the_whole_line_is_no_gap_of_a_hidden_button_that_a_plan_of_its_own_tells(halves, result):
    (check,) = checks_of(report_of(HIDDEN.format(halves=halves)), "widest gap")
    assert check["result"] == result
    assert ("which a plan of its own tells" in check["text"]) == (result == "pass")


def test_figures_tell_of_a_row_whether_it_looks_even_as_the_row_itself_does() -> None:
    """What would end an uneven row is tried a hundred times on a drag: most of that asks for no row, but for its figures."""
    chance, told = random.Random(20), Counter[tuple[bool | None, bool]]()
    for n in range(600):
        pitch, length, first = chance.uniform(20, 100), chance.uniform(60, 700), chance.uniform(0, 25)
        anchors = [
            Anchor(f"a{k}", min(first + pitch * (k + chance.uniform(0.8, 1.2)), length), chance.choice((0, 1, 3)))
            for k in range(chance.randrange(4))
        ]
        zone = chance.uniform(0, length)
        wish = Wish(
            length,
            (first, first + chance.choice((0, 5, 30))),
            (0.0, chance.choice((5, 25, 60))),
            chance.choice((0.1, 8, pitch * 0.7)),
            chance.choice((math.inf, pitch * 1.4)),
            None if n % 3 == 0 else pitch,
            None if n % 3 == 1 else chance.randrange(2, 12),
            tuple(anchors),
            (Clear("seam", zone, zone + chance.uniform(0, 50)),) if n % 2 else (),
        )
        row, by_figures = best_row(wish), can_look_even(wish)
        is_even = row is not None and looks_even(wish, row)
        told[by_figures, is_even] += 1
        assert by_figures in (None, is_even), wish
    assert min(told[True, True], told[False, False]) > 60 and told[None, True] + told[None, False] < 30


def test_figure_that_lies_at_its_limit_is_left_to_the_row() -> None:
    # From 0 to 100 with one at 60 mm: gaps of 60 and 40 mm, a spread of 20 and a mean of 50.
    wish = Wish(100.0, (0.0, 0.0), (0.0, 0.0), 1.0, count=3, anchors=(Anchor("waist", 60.0, 0.0),), even_spread=0.4)
    assert can_look_even(wish) is None
    row = best_row(replace(wish, even_departure=0.5))
    assert row == pytest.approx((0.0, 60.0, 100.0), abs=1e-4)
    assert can_look_even(replace(wish, even_departure=0.5)) is None
    assert can_look_even(replace(wish, even_departure=0.5, even_spread=0.41)) is True
    assert can_look_even(replace(wish, even_departure=0.5, even_spread=0.39)) is False


def test_no_cure_is_told_of_a_row_on_stripes_that_was_tried_on_rows_off_them() -> None:
    """A zone of 130 mm leaves one gap of 200 mm; a smaller one that helps a free row may leave no repeat free."""
    text = (
        '[garment]\nopens = "front"\n[edge]\nstraight = "560 mm"\n[band]\nwidth = "34 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "sew-through button"\nsize = "20 L"\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\n'
        'pitch = "80 mm"\n[[clear]]\nname = "belt"\nalong = ["310 mm", "440 mm"]\n'
    )
    striped = text + '[stripe]\nevery = "40 mm"\nat = "20 mm"\n'

    def told(plan: str) -> str:
        findings = check_plan(read_plan(plan.encode(), "plan.toml")).findings
        return next(one.text for one in findings if one.rule == "evenness" and one.result == "warn")

    assert "would just bring it within " in told(text) and "there is a gap of 200 mm" in told(striped)
    assert "end" not in told(striped).split("not the 80 mm wanted.")[1]
