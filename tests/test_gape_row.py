"""The row under its pull: worked figures, what may be told in mm, how it must rise and fall, and getting in."""

import json
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.app.job import check_plan, place_plan, result_files
from closures.app.pulling import beside_of, gape_of, pulling_figures, pulling_terminal
from closures.errors import EdgeError, PlanError
from closures.jobs.gape.row import judge_row
from closures.plan.reading import read_plan

PLAN = """
[edge]
straight = "{length} mm"
[garment]
pieces = "separate"

[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "50 mm"
count = {count}
"""
MEASURED = """
[pull]
scale = "120 g"
pitch = "76 mm"
overhang = "76 mm"
weight = "280 g/m2"
"""


def answer_of(more, count=8, length=597):
    return check_plan(read_plan((PLAN.format(count=count, length=length) + more).encode(), "blouse.toml"))


def gape(more, **row):
    return gape_of(answer_of(more, **row))


def test_plan_without_pull_says_nothing_of_gape():
    assert gape_of(answer_of("")) is None
    assert pulling_figures(answer_of("")) == {}


def test_worked_example_lies_within_the_ranges_that_are_told():
    # 7 gaps of 76 mm: by hand N 3.5 and a load of 1.2 N; in a deep breath, with 122 N/m, the load is 122 x 76 mm.
    found = gape(MEASURED + 'scale_deep = "945 g"\n')
    for gap in found.gaps:
        assert gap.pitch_mm == pytest.approx(76)
        assert gap.number.low < 3.5 < gap.number.high
        assert gap.band == "ripples"
    assert found.most_load.load_n.low < 122 * 0.076 < found.most_load.load_n.high
    assert [name for name, _ in found.states] == ["at ease", "in a deep breath"]


def test_stiffness_from_an_overhang_is_a_range_as_the_method_reads_high():
    stiffness = gape(MEASURED).known.stiffness
    # Lammens and others, 2014: up to 72 % high.
    assert (stiffness.range.low, stiffness.range.high) == pytest.approx((151 / 1.72, 151), rel=0.01)


def test_no_length_is_told_without_a_measured_pull():
    for more in (
        "[pull]\n",
        '[pull]\nfit = "close"\noverhang = "76 mm"\nweight = "280 g/m2"\nbias = "4 %"\nopens_at = "12 N"\n',
    ):
        answer = answer_of(more)
        figures = pulling_figures(answer)
        assert all(gap["pull_apart_mm"] is None and gap["lift_mm"] is None for gap in figures["gape"])
        report = result_files(place_plan(answer.placement.plan), "a4")["report.md"].decode()
        section = report[report.index("## Will it gape") :].split("\n## ")[0]
        terminal = pulling_terminal(answer, 1000)
        # What would help names lengths of the row itself, which are drawn and not foretold.
        for told, until in ((section, "What would help"), (terminal, "What would help")):
            assert not re.search(r"\d\s*mm", told[: told.index(until)]), told
        assert not re.search(r"(lift|drawn apart|drawn off)[^.]*\d\s*mm", section + terminal)
        assert "nothing is told in mm" in section


def test_measured_pull_tells_the_drawing_apart_as_a_range():
    figures = pulling_figures(answer_of(MEASURED))
    for gap in figures["gape"]:
        low, high = gap["pull_apart_mm"]
        assert 0 < low < high


def test_every_number_has_a_range_and_says_what_it_rests_on():
    figures = pulling_figures(answer_of("[pull]\n"))
    for gap in figures["gape"]:
        assert gap["number"][0] < gap["number"][1]
        assert gap["load_n"][0] < gap["load_n"][1]
    assert figures["hold"]["load_n"][0] < figures["hold"]["load_n"][1]
    for one in figures["gape_rests_on"]:
        assert one["range"][0] < one["range"][1]
        assert one["text"]
        assert one["measured"] is False
    assert "not tried on cloth" in figures["gape_note"]
    json.dumps(figures, allow_nan=False)


def test_nothing_measured_is_wider_than_anything_measured():
    assert gape("[pull]\n").worst.number.ratio > gape(MEASURED).worst.number.ratio * 3


def test_most_useful_measurement_is_named():
    assert "luggage scale" in pulling_terminal(answer_of("[pull]\n"), 200)
    told = pulling_terminal(answer_of('[pull]\nscale = "120 g"\n'), 200)
    assert "overhang" in told
    assert "would narrow" not in pulling_terminal(answer_of(MEASURED), 200)


@settings(deadline=None, max_examples=25)
@given(st.integers(20, 3000), st.floats(1.1, 3), st.integers(4, 12))
def test_more_pull_is_never_calmer_and_more_closures_never_worse(grams, more, count):
    def worst(scale=grams, n=count):
        text = MEASURED.replace("120 g", f"{scale} g")
        return gape(text, count=n).worst.number

    here = worst()
    harder, closer = worst(scale=round(grams * more) + 1), worst(n=count + 1)
    assert harder.low >= here.low and harder.high >= here.high
    assert closer.low <= here.low and closer.high <= here.high


def test_stiffer_band_is_never_worse():
    soft, stiff = (gape(MEASURED.replace('"76 mm"\nweight', f'"{mm} mm"\nweight')).worst.number for mm in (60, 90))
    assert stiff.high < soft.high and stiff.low < soft.low


def test_unequal_gaps_each_have_their_own_number():
    anchors = '[[anchor]]\nname = "bust point"\nlevel = "200 mm"\n' + MEASURED + 'at = "bust point"\n'
    found = gape(anchors)
    assert len({round(gap.pitch_mm, 2) for gap in found.gaps}) > 1
    at_bust = [
        gap
        for gap in found.gaps
        if 200 in (round(p) for p in answer_of(anchors).placement.spacing.positions_mm[gap.gap - 1 : gap.gap + 1])
    ]
    away = [gap for gap in found.gaps if gap not in at_bust]
    # Away from the anchor the front may be drawn less, so the least falls and the most does not.
    assert min(gap.number.low for gap in away) < min(gap.number.low for gap in at_bust)


def test_told_profile_halves_the_pull_where_it_is_half():
    both = '[[anchor]]\nname = "bust"\nlevel = "91 mm"\nwithin = "1 mm"\n[[anchor]]\nname = "waist"\nlevel = "547 mm"\nwithin = "1 mm"\n'
    found = gape(both + MEASURED + 'at = "bust"\nelsewhere = [{ at = "waist", times = 0.5 }]\n')
    first, last = found.gaps[0], found.gaps[-1]
    assert last.pull_n_m.high / first.pull_n_m.high == pytest.approx(0.5 * (1 + (1 / 12)), rel=0.05)


def test_edge_that_bows_out_is_judged_worse_and_one_that_bows_in_better():
    def bowed(way):
        text = PLAN.format(count=8, length=597).replace(
            'straight = "597 mm"', f'arc = {{ length = "597 mm", radius = "600 mm", bows = "{way}" }}'
        )
        return gape_of(check_plan(read_plan((text + MEASURED).encode(), "x.toml"))).worst

    out, into, straight = bowed("out"), bowed("in"), gape(MEASURED).worst
    assert out.radius_mm > 0 > into.radius_mm
    assert (
        out.number.high / out.pitch_mm**2
        > straight.number.high / straight.pitch_mm**2
        > into.number.low / into.pitch_mm**2
    )


def test_coupon_replaces_estimates():
    weights = '[pull]\nscale = "120 g"\ncoupon_rises = "35 g"\ncoupon_weight = "400 g"\ncoupon_apart = "1.5 mm"\ncoupon_pitch = "76 mm"\n'
    found = gape(weights)
    assert found.known.stiffness.is_measured and found.known.shear.is_measured
    gap = found.gaps[0]
    # The coupon is 76 + 2 x 15 mm wide: 35 g on it is the calm pull that was read, and 120 g over 76 mm what is borne.
    share = (120 / 76) / (35 / 106)
    assert gap.number.low < share < gap.number.high
    assert gap.apart_mm.low < 1.5 * (120 / 76) / (400 / 106) < gap.apart_mm.high


@pytest.mark.parametrize(
    ("opens", "told"),
    [("0.5 N", "it will spring open"), ("1.2 N", "may reach"), ("3 N", "more than a third"), ("30 N", "well below")],
)
def test_hold_is_told_against_what_opens_the_closure(opens, told):
    assert told in pulling_figures(answer_of(MEASURED + f'opens_at = "{opens}"\n'))["hold"]["text"]


def test_child_is_claimed_nothing():
    more = MEASURED + '[wearer]\nprofiles = ["child"]\n'
    text = pulling_figures(answer_of(more))["hold"]["text"]
    assert "nothing of what a child's garment must stand" in text
    for word in ("safe", "compliant"):
        assert word not in text


WAY_IN = """
[body]
seat = "1021 mm"
[way_in]
rings = [{ at = "bust", level = "0 mm", round = "960 mm" }, { at = "waist", level = "180 mm", round = "740 mm" }, { at = "seat", level = "400 mm", round = "1060 mm" }, { at = "hem", level = "590 mm", round = "1200 mm" }]
"""


def test_last_closure_that_must_open_is_named():
    answer = answer_of(WAY_IN + "last_opens = 5\n")
    (reach,) = [f for f in answer.findings if f.rule == "way in" and f.limit_mm == pytest.approx(386.94, abs=0.01)]
    # Marks lie every 76 mm from 15 mm on: the sixth, at 395 mm, is the first at or below 386.9.
    assert reach.result == "fail"
    assert "closure 6 is the last that must open" in reach.text
    assert answer.result == "fail"
    again = answer_of(WAY_IN + "last_opens = 6\n")
    assert {f.result for f in again.findings if f.rule == "way in"} == {"pass"}


def test_zip_beside_the_row_tells_its_length():
    zip_ = 'last_opens = 3\nzip = { where = "left side", from = "150 mm", to = "340 mm" }\n'
    answer = answer_of(WAY_IN + zip_)
    told = [f.text for f in answer.findings if f.rule == "way in" and f.result == "fail"]
    assert any("must be 236.9 mm long at least (the next usual length is 250 mm)" in text for text in told)


def test_row_that_ends_in_a_free_hem_lets_the_body_in():
    answer = answer_of(WAY_IN + 'ends_in = "hem"\n')
    assert {f.result for f in answer.findings if f.rule == "way in"} == {"pass"}


def test_head_of_a_boy_of_two_asks_for_the_worked_slit():
    more = '[body]\nsex = "boy"\nage = "24 months"\n[way_in]\nneck = "320 mm"\nslit = "100 mm"\n'
    (found,) = [f for f in answer_of(more).findings if f.rule == "way in"]
    assert (found.limit_mm, found.result) == (105, "warn")
    assert "Centers for Disease Control" in found.source
    assert "464 mm to 510 mm" in found.text
    figures = pulling_figures(answer_of(more))["way_in"]
    assert figures[0]["needs_mm"] == 105 and figures[0]["rule"] == 1


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ('[body]\nseat = "1 m"\n[way_in]\nneck = "320 mm"\n', "the head is neither told nor in the tables"),
        (WAY_IN + "last_opens = 9\n", "closure 9 is not there"),
        ('[body]\nsex = "boy"\nage = "9 years"\n[way_in]\ncuff = "180 mm"\n', "the hand is neither told"),
    ],
)
def test_girth_that_is_lacking_is_asked_for(more, told):
    with pytest.raises(PlanError, match=told):
        answer_of(more)


def test_judging_another_row_of_the_same_garment_keeps_what_was_measured():
    base = answer_of(MEASURED)
    known = gape_of(base).known
    other = answer_of(MEASURED, count=12)
    moved = judge_row(other.placement, other.catalogue, known)
    assert moved.known is known
    assert moved.worst.number.high < gape_of(base).worst.number.high
    assert replace(known) == known


TOLD = 'scale = "120 g"\npitch = "76 mm"\noverhang = "76 mm"\nweight = "280 g/m2"\n'
AS_WORN = """
[body]
seat = "98 cm"
[way_in]
way = "stepping in"
last_opens = 8
rings = [{ at = "waist", level = "300 mm", round = "70 cm" }, { at = "hip", level = "560 mm", round = "101 cm" }]
"""


def test_cloth_that_shrinks_is_judged_as_it_is_worn():
    # Told of the washed garment, the same garment is worn, whatever the cloth lost on the way.
    plain = answer_of(f"[pull]\n{TOLD}{AS_WORN}")
    shrunk = answer_of(f'[shrinkage]\nalong = "8 %"\nacross = "5 %"\nmeasured = "washed"\n[pull]\n{TOLD}{AS_WORN}')
    assert pulling_terminal(shrunk, 96) == pulling_terminal(plain, 96)
    assert pulling_figures(shrunk) == pulling_figures(plain)
    assert beside_of(shrunk).text("mm") == beside_of(plain).text("mm")


def test_row_measured_unwashed_is_judged_in_what_is_left_of_it():
    # 597 mm and 30 mm, less 8 in 100 along and 5 across, are 549.24 mm and 28.5 mm.
    wash = '[shrinkage]\nalong = "8 %"\nacross = "5 %"\nmeasured = "unwashed"\n'
    unwashed = gape(f"{wash}[pull]\n{TOLD}")
    by_hand = PLAN.replace('"30 mm"', '"28.5 mm"').replace('"15 mm"', '"13.8 mm"').replace('"50 mm"', '"46 mm"')
    text = by_hand.format(count=8, length=549.24) + f"[pull]\n{TOLD}"
    washed = gape_of(check_plan(read_plan(text.encode(), "blouse.toml")))
    for one, other in zip(unwashed.gaps, washed.gaps, strict=True):
        assert one.pitch_mm == pytest.approx(other.pitch_mm)
        assert one.number.middle == pytest.approx(other.number.middle)


def test_way_into_unwashed_cloth_is_refused():
    wash = '[shrinkage]\nalong = "8 %"\nmeasured = "unwashed"\n'
    with pytest.raises(PlanError, match=r"a body gets into the washed garment.*measured = \"washed\""):
        answer_of(wash + AS_WORN)


def test_line_on_the_finished_edge_is_refused_where_its_gape_is_asked():
    text = (PLAN.format(count=8, length=597) + MEASURED).replace('width = "30 mm"', 'width = "30 mm"\ninset = "0 mm"')
    with pytest.raises(EdgeError, match=r"\[band\] inset: the closing line lies on the finished edge"):
        gape_of(check_plan(read_plan(text.encode(), "blouse.toml")))


@pytest.mark.parametrize("last", [49, 50, 51, 55, 60, 70, 80])
def test_of_loads_that_are_as_high_the_surer_one_is_named(last: int):
    # Read at the bust, the pull is known there and may be as high elsewhere: mark 4, or one of its neighbours.
    text = PLAN.format(count=8, length=600).replace('"15 mm"', '"20 mm"').replace('"50 mm"', f'"{last} mm"')
    text += '[[anchor]]\nname = "bust point"\nlevel = "220 mm"\nwithin = "60 mm"\n'
    text += MEASURED.replace("[pull]", '[pull]\nat = "bust point"') + 'bias = "4.7 %"\nopens_at = "12 N"\n'
    found = gape_of(check_plan(read_plan(text.encode(), "blouse.toml")))
    highest = max(load.load_n.high for load in found.loads)
    alike = [load for load in found.loads if load.load_n.high == pytest.approx(highest, rel=1e-9)]
    assert found.most_load.load_n.middle == max(load.load_n.middle for load in alike)
