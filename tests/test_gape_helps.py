"""What would help, and the row that is spaced for calm: against brute force, and against what must hold."""

import itertools
import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from closures.app.job import check_plan
from closures.app.pulling import beside_of, gape_of, helps_of
from closures.errors import PlanError, SpacingError
from closures.jobs.gape.search import Weights, fewest_within, least_worst
from closures.plan.reading import read_plan
from closures.report.gape import helping_lines
from closures.spacing.wish import Anchor, Clear, Wish

PLAN = """
[edge]
straight = "600 mm"
[band]
width = "32 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "50 mm"
{spacing}
"""
PULL = """
[pull]
scale = "{grams} g"
pitch = "76 mm"
overhang = "76 mm"
weight = "280 g/m2"
opens_at = "12 N"
"""
PROFILE = """
at = "bust"
elsewhere = [{ at = "waist", times = 0.3 }]
[[anchor]]
name = "bust"
level = "200 mm"
within = "60 mm"
[[anchor]]
name = "waist"
level = "400 mm"
within = "60 mm"
"""


def answer_of(spacing="count = 8", grams=120, more=""):
    text = PLAN.format(spacing=spacing) + PULL.format(grams=grams) + more
    return check_plan(read_plan(text.encode(), "blouse.toml"))


def helps(**asked):
    answer = answer_of(**asked)
    return helps_of(answer, gape_of(answer))


def test_helps_are_ranked_and_each_says_what_it_comes_to():
    found = helps()
    assert {one.name for one in found.ranked} == {"closer", "helper", "stiffer", "inset", "ease", "larger"}
    times = [one.times for one in found.ranked]
    assert times == sorted(times)
    for one in found.ranked:
        assert one.number.low < one.number.high
        assert one.title and one.text


def test_help_is_what_the_changed_plan_comes_to():
    closer = next(one for one in helps().ranked if one.name == "closer")
    count = int(closer.title.split()[0])
    changed = gape_of(answer_of(spacing=f"count = {count}"))
    assert closer.number == changed.worst.number
    assert closer.is_calm


def test_more_ease_halves_the_number_and_a_larger_snap_changes_only_the_hold():
    by_name = {one.name: one for one in helps().ranked}
    assert by_name["ease"].times == pytest.approx(0.5)
    assert by_name["larger"].times == pytest.approx(1, abs=0.01)
    assert by_name["larger"].hold_times < 0.5
    assert by_name["inset"].times < 1


def test_helper_helps_where_one_gap_is_worse_than_the_rest():
    wide = helps(
        spacing='count = 7\nclosest = "20 mm"', more='[[clear]]\nname = "belt"\nlevel = ["215 mm", "355 mm"]\n'
    )
    helper = next(one for one in wide.ranked if one.name == "helper")
    assert helper.is_worth
    even = next(one for one in helps().ranked if one.name == "helper")
    assert not even.is_worth


def test_only_what_helps_is_listed_as_help_and_the_rest_is_named_apart():
    found = helps()
    lines = helping_lines(found)
    even = next(one for one in found.ranked if one.name == "helper")
    numbered = [line for line in lines if re.match(r"  \d+\. ", line)]
    assert not any(even.title in line for line in numbered) and len(numbered) == len(found.ranked) - 1
    assert any(line.startswith("Tried too, and hardly any help here: ") and even.title in line for line in lines)
    # A larger closure of which nothing is known to hold more is no help against springing open.
    larger = replace(next(one for one in found.ranked if one.name == "larger"), hold_times=1.0)
    as_found = replace(found, ranked=(*(one for one in found.ranked if one.name != "larger"), larger))
    assert not any("as near to what opens it" in line for line in helping_lines(as_found))
    assert any(f"; {larger.title}." in line for line in helping_lines(as_found))


def test_hard_pull_says_that_more_closures_alone_would_not_do():
    assert "More closures alone would not make it calm" in helps(grams=3000).closures_alone
    assert helps(grams=60).closures_alone == ""


def test_calm_front_is_offered_nothing():
    assert helps(grams=5).ranked == ()


def wish(**changed):
    usual = {
        "length_mm": 600.0, "first": (15.0, 15.0), "last": (50.0, 50.0), "closest_mm": 16.0, "widest_mm": math.inf,
        "pitch_mm": None, "count": 5, "anchors": (), "clear": (), "least_mm": 16.0,
    }  # fmt: skip
    return Wish(**(usual | changed))


@given(st.integers(2, 12), st.floats(0.1, 5))
@settings(deadline=None, max_examples=20)
def test_even_pull_on_a_free_line_gives_the_even_row(count, weight):
    row = least_worst(wish(), Weights(((0.0, weight),)), count)
    assert row is not None
    gaps = [b - a for a, b in pairwise(row.places)]
    assert gaps == pytest.approx([535 / (count - 1)] * (count - 1), abs=1e-3)


@given(
    st.lists(st.floats(0.2, 3), min_size=4, max_size=4),
    st.floats(60, 500),
    st.floats(0, 30),
    st.floats(100, 400),
    st.floats(10, 80),
)
@settings(deadline=None, max_examples=15, phases=(Phase.explicit, Phase.generate))
def test_no_row_on_a_fine_ladder_has_a_better_worst_gap(weights, anchor, within, zone, width):
    line = Weights(tuple(zip((0.0, 200.0, 400.0, 600.0), weights, strict=True)))
    asked = wish(
        first=(10.0, 40.0), last=(20.0, 60.0), widest_mm=400.0,
        anchors=(Anchor("bust", anchor, within),), clear=(Clear("belt", zone, zone + width),),
    )  # fmt: skip
    found = least_worst(asked, line, 4)
    rungs = sorted({*range(10, 581, 20), 40, 540, 580, anchor, anchor - within, anchor + within, zone, zone + width})

    def allowed(row):
        return (
            10 <= row[0] <= 40
            and 540 <= row[-1] <= 580
            and all(16 - 1e-6 <= b - a <= 400 + 1e-6 for a, b in pairwise(row))
            and any(abs(place - anchor) <= within + 1e-9 for place in row)
            and not any(zone < place < zone + width for place in row)
        )

    rows = [row for row in itertools.combinations(rungs, 4) if allowed(row)]
    if not rows:
        return
    assert found is not None
    assert allowed(found.places)
    best = min(max(line.cost(a, b) for a, b in pairwise(row)) for row in rows)
    assert found.worst <= best * (1 + 1e-5)


def test_row_that_cannot_be_is_not_made_up():
    assert least_worst(wish(widest_mm=50.0), Weights(((0.0, 1.0),)), 4) is None
    assert least_worst(wish(clear=(Clear("all", 10.0, 20.0),)), Weights(((0.0, 1.0),)), 4) is None


def test_fewest_is_the_least_count_within_the_bound():
    line = Weights(((0.0, 1.0),))
    assert fewest_within(wish(), line, (535 / 6) ** 2 * 1.0001, 100) == 7
    assert fewest_within(wish(), line, (535 / 6) ** 2 * 0.9999, 100) == 8
    assert fewest_within(wish(), line, 1.0, 100) is None


def test_row_for_calm_closes_up_where_the_front_is_drawn_hardest():
    even, calm = (gape_of(answer_of(spacing=f'count = 8\nfor = "{way}"', more=PROFILE)) for way in ("even", "calm"))
    assert calm.worst.number.middle < 0.9 * even.worst.number.middle
    numbers = [gap.number.middle for gap in calm.gaps]
    assert max(numbers) / min(numbers) < 1.2
    assert calm.gaps[-1].pitch_mm > 1.3 * calm.gaps[0].pitch_mm


def test_row_for_calm_says_what_is_lost_in_evenness():
    reason = answer_of(spacing='count = 8\nfor = "calm"', more=PROFILE).placement.spacing.reason
    assert "times that of the even row of 8" in reason
    assert "the gaps differ by" in reason


def test_row_for_calm_of_a_pitch_is_the_fewest_that_lie_calm():
    answer = answer_of(spacing='pitch = "76 mm"\nfor = "calm"', grams=40)
    count = len(answer.placement.marks)
    assert gape_of(answer).worst.band == "calm"
    fewer = gape_of(answer_of(spacing=f'count = {count - 1}\nfor = "calm"', grams=40))
    assert fewer.worst.band != "calm"


def test_two_rows_stand_side_by_side():
    beside = beside_of(answer_of(more=PROFILE))
    assert beside is not None
    assert beside.even.spacing.spread_mm < beside.calm.spacing.spread_mm
    assert beside.calm_gape.worst.number.middle < beside.even_gape.worst.number.middle


def test_row_for_calm_needs_a_pull_and_an_edge_that_keeps_to_nothing_else():
    text = PLAN.format(spacing='count = 8\nfor = "calm"')
    with pytest.raises(PlanError, match="how hard the front is drawn"):
        read_plan(text.encode(), "x.toml")
    with pytest.raises(PlanError, match="cannot keep to"):
        read_plan((text + PULL.format(grams=120) + '[stripe]\nevery = "20 mm"\nat = "0 mm"\n').encode(), "x.toml")


def test_row_for_calm_that_cannot_be_is_refused():
    with pytest.raises(SpacingError):
        answer_of(spacing='count = 8\nfor = "calm"\nwidest = "40 mm"')
