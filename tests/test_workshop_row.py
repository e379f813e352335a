"""Shrinkage, stripes, a gap that differs on purpose, and who wears it: how they change the row and what is told."""

from __future__ import annotations

import json
import math
import re
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import Answer, check_plan, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.checks.finding import Finding
from closures.errors import PlanError, SpacingError
from closures.placing.buttonhole import buttonhole_for
from closures.plan.reading import read_plan

PLAN = """
title = "Chimney coat"
[edge]
{edge}
[garment]
pieces = "separate"

[band]
width = "40 mm"
lap = "{lap}"
[closure]
kind = "{kind}"
size = "{size}"
[spacing]
{spacing}
[[layer]]
cloth = "oxford"
count = 2
{more}
"""
STRAIGHT = 'straight = "620 mm"'
CURVED = 'points = [["0 mm","0 mm"], ["16 mm","150 mm"], ["30 mm","320 mm"], ["0 mm","620 mm"]]'
ARC = 'arc = { length = "600 mm", radius = "420 mm", bows = "out" }'
EVEN = 'first = "20 mm"\nlast = "40 mm"\ncount = 8'
FREE = 'first = { from = "10 mm", to = "60 mm" }\nlast = { from = "20 mm", to = "90 mm" }\ncount = 7'


@cache
def answer(
    more: str = "",
    edge: str = STRAIGHT,
    spacing: str = EVEN,
    kind: str = "prong snap",
    size: str = "16 L",
    lap: str = "right over left",
) -> Answer:
    text = PLAN.format(edge=edge, more=more, spacing=spacing, kind=kind, size=size, lap=lap)
    return check_plan(read_plan(text.encode(), "coat.toml"))


def washed(state: str, along: float, across: float = 0.0) -> str:
    return f'[shrinkage]\nalong = "{along:g} %"\nacross = "{across:g} %"\nmeasured = "{state}"'


def test_shrinkage_of_a_washed_measure_makes_the_sheets_longer() -> None:
    # (620 - 60) / 7 = 80 mm worn; 3 % more is cut so that it comes to that: 80 / 0.97.
    placement = answer(washed("washed", 3)).placement
    assert placement.washed is not None
    assert placement.washed.gaps_mm == pytest.approx([80.0] * 7)
    assert placement.spacing.gaps_mm == pytest.approx([80.0 / 0.97] * 7)
    assert placement.laps.line.length_mm == pytest.approx(620 / 0.97)
    assert placement.marks[0].along_mm == pytest.approx(20 / 0.97)


def test_shrinkage_of_an_unwashed_measure_leaves_the_sheets_and_tells_what_is_worn() -> None:
    placement = answer(washed("unwashed", 3)).placement
    assert placement.washed is not None
    assert placement.spacing.gaps_mm == pytest.approx([80.0] * 7)
    assert placement.washed.gaps_mm == pytest.approx([80.0 * 0.97] * 7)


@pytest.mark.parametrize("lap", ["right over left", "left over right"])
def test_shrinkage_across_moves_both_laps_alike(lap: str) -> None:
    plain, shrunk = answer(lap=lap).placement, answer(washed("washed", 0, 4), lap=lap).placement
    for one, other in zip(plain.marks, shrunk.marks, strict=True):
        assert one.over and other.over and one.under and other.under
        assert other.over.edge_distance_mm == pytest.approx(one.over.edge_distance_mm / 0.96)
        assert other.under.edge_distance_mm == pytest.approx(one.under.edge_distance_mm / 0.96)
        assert other.along_mm == pytest.approx(one.along_mm)


def test_shrinkage_stretches_levels_from_the_upper_end_of_the_edge() -> None:
    lower = 'points = [["0 mm", "200 mm"], ["0 mm", "820 mm"]]'
    for mark in answer(washed("washed", 3), lower).placement.marks:
        assert mark.level_mm == pytest.approx(mark.along_mm)


@pytest.mark.parametrize("across", [0.0, 4.0])
def test_shrinkage_lengthens_a_buttonhole_across_by_what_is_lost_across(across: float) -> None:
    button = PLAN.replace("[spacing]", 'cap = "11 mm"\nthickness = "3 mm"\nhole = "across"\n[spacing]').format(
        edge=STRAIGHT, more=washed("washed", 5, across), spacing=EVEN, kind="sew-through button", size="18 L",
        lap="right over left",
    )  # fmt: skip
    placement = check_plan(read_plan(button.encode(), "coat.toml")).placement
    hole = buttonhole_for(placement.fastener, placement.plan, load_catalogue())
    # Diameter and thickness: Univ. of Minnesota, Bulletin 576, 1965.
    assert hole is not None and hole.length_mm == pytest.approx((11 + 3) / (1 - across / 100))


@pytest.mark.parametrize("state", ["washed", "unwashed"])
@pytest.mark.parametrize("edge", [CURVED, ARC], ids=["curved", "arc"])
def test_row_on_a_curve_is_even_as_it_is_worn(edge: str, state: str) -> None:
    placement = answer(washed(state, 5, 1), edge).placement
    assert placement.washed is not None
    gaps = placement.washed.gaps_mm
    assert max(gaps) - min(gaps) < 0.001
    # The cloth's own line, shrunk by the two shares and measured in 4000 chords, gives the same gaps.
    line = placement.laps.line
    for a, b, gap in zip(placement.marks, placement.marks[1:], gaps, strict=False):
        steps = [line.point_at(a.along_mm + (b.along_mm - a.along_mm) * k / 500) for k in range(501)]
        worn = sum(math.hypot(0.99 * (q[0] - p[0]), 0.95 * (q[1] - p[1])) for p, q in pairwise(steps))
        assert worn == pytest.approx(gap, abs=0.05)


def test_shrinkage_moves_anchors_and_zones_with_the_cloth() -> None:
    more = '[[anchor]]\nname = "bust"\nlevel = "230 mm"\n[[clear]]\nname = "belt"\nlevel = ["390 mm", "430 mm"]\n'
    placement = answer(more + washed("washed", 3)).placement
    (mark,) = [mark for mark in placement.marks if mark.anchor == "bust"]
    assert mark.level_mm == pytest.approx(230 / 0.97, abs=1e-6)
    rim = placement.fastener.rim_mm
    for mark in placement.marks:
        assert mark.along_mm + rim <= 390 / 0.97 + 1e-6 or mark.along_mm - rim >= 430 / 0.97 - 1e-6


def test_report_of_shrinkage_gives_both_states() -> None:
    plan = read_plan(
        PLAN.format(edge=STRAIGHT, more=washed("washed", 3), spacing=EVEN, kind="prong snap", size="16 L", lap="right over left").encode(),
        "coat.toml",
    )  # fmt: skip
    files = result_files(place_plan(plan), "a4")
    told: dict[str, Any] = json.loads(files["report.json"])
    assert told["shrinkage"]["washed_gaps_mm"] == pytest.approx([80.0] * 7)
    assert told["spacing"]["gaps_mm"] == pytest.approx([82.4742] * 7, abs=1e-3)
    assert "The plan was measured on the washed cloth" in files["report.md"].decode()


@pytest.mark.parametrize(
    ("more", "told"),
    [
        pytest.param('[shrinkage]\nalong = "3 %"', "measured: it is missing", id="state not told"),
        pytest.param('[shrinkage]\nmeasured = "washed"', "neither along nor across", id="how much not told"),
        pytest.param('[shrinkage]\nalong = "3 mm"\nmeasured = "washed"', "not a percentage", id="a length"),
        pytest.param('[shrinkage]\nalong = "40 %"\nmeasured = "washed"', "more than cloth", id="too much"),
        pytest.param('[stripe]\nevery = "32 mm"', "at: it is missing", id="stripe without a place"),
        pytest.param('[stripe]\nevery = "32 mm"\nat = "24 mm"\nacross = false', "run lengthwise", id="lengthwise"),
        pytest.param('[sheets]\nbacking_width = "20 mm"', "goes with backing only", id="width without backing"),
        pytest.param('[sheets]\nclosing = "count"', "not one of numbers, wide gap", id="scheme not known"),
        pytest.param('[bands]\nallowance = "8 mm"\nturn = "10 mm"\nturn_cloth = "oxford"', "more than the allowance", id="turn"),
        pytest.param('[bands]\nallowance = "10 mm"\nturn = "8 mm"', "what is turned is not known", id="turned cloth"),
        pytest.param('[wearer]\nprofiles = ["chld"]', 'Write "child"', id="profile misspelt"),
        pytest.param('[wearer]\nprofiles = ["child", "child"]', "stands there twice", id="profile twice"),
    ],
)  # fmt: skip
def test_plan_that_makes_no_sense_is_refused_with_words(more: str, told: str) -> None:
    with pytest.raises(PlanError, match=told):
        answer(more)


def test_everything_for_the_table_is_written_and_read_again() -> None:
    more = """
[sheets]
coupon = true
order = true
strip = true
handover = true
backing = "patches"
backing_cloth = "medium fusible"
backing_width = "25.4 mm"
closing = "numbers"
stencil = true
stencil_hole = "1.5 mm"
roll = true
projector = true
[bands]
allowance = "10 mm"
turn = "8 mm"
turn_cloth = "oxford"
interfacing = 2
[shrinkage]
along = "3.3 %"
across = 1.25
measured = "unwashed"
[stripe]
every = "32 mm"
at = "-24 mm"
on = "between"
[wearer]
profiles = ["weak hands", "implants"]
implants = "none"
"""
    text = PLAN.format(edge=STRAIGHT, more=more, spacing=EVEN, kind="prong snap", size="16 L", lap="right over left")
    plan = read_plan(text.encode(), "coat.toml")
    assert plan.shrinkage is not None and plan.shrinkage.along == 0.033


STRIPE = '[stripe]\nevery = "32 mm"\nat = "24 mm"\nacross = true'


@pytest.mark.parametrize(("on", "shift"), [("repeat", 0.0), ("between", 0.5)])
@pytest.mark.parametrize("edge", [STRAIGHT, CURVED, ARC], ids=["straight", "curved", "arc"])
def test_closures_sit_on_repeats_by_level(edge: str, on: str, shift: float) -> None:
    placement = answer(f'{STRIPE}\non = "{on}"', edge, FREE).placement
    for mark in placement.marks:
        repeat = (mark.level_mm - 24) / 32 - shift
        assert repeat == pytest.approx(round(repeat), abs=1e-6)
    assert len(placement.marks) == 7


def test_closures_on_repeats_of_a_straight_edge_stand_whole_repeats_apart() -> None:
    # 24, 120, ... 600: three repeats of 32 mm each, within 10 to 60 of the one end and 20 to 90 of the other.
    placement = answer(STRIPE, STRAIGHT, FREE).placement
    assert [mark.along_mm for mark in placement.marks] == pytest.approx([24 + 96 * k for k in range(7)])
    files = result_files(
        place_plan(
            read_plan(
                PLAN.format(edge=STRAIGHT, more=STRIPE, spacing=FREE, kind="prong snap", size="16 L", lap="right over left").encode(),
                "coat.toml",
            )
        ),
        "a4",
    )  # fmt: skip
    assert json.loads(files["report.json"])["stripe"]["repeats"] == [3 * k for k in range(7)]
    assert "| 2 | 3 | 120 | 120 |" in files["report.md"].decode()


def test_stripe_that_no_row_can_keep_is_refused_with_what_would_do() -> None:
    with pytest.raises(SpacingError, match=r"with each closure on a repeat\. .*would do: .*the first closure 20 mm to"):
        answer(STRIPE, STRAIGHT, EVEN)


def test_wide_first_gap_is_half_a_cap_and_3_mm_more() -> None:
    # Cap 10.16 (16 lines): 5.08 + 3, in whole mm 9; (560 - 9) / 7 = 78.714.
    placement = answer('[sheets]\nclosing = "wide gap"').placement
    rest = (560 - 9) / 7
    assert placement.spacing.gaps_mm == pytest.approx([rest + 9, *[rest] * 6])
    assert placement.spacing.gaps_mm[0] - placement.spacing.gaps_mm[1] > placement.fastener.rim_mm


def test_wide_gap_closed_off_by_one_misses_by_more_than_half_a_cap() -> None:
    placement = answer('[sheets]\nclosing = "wide gap"').placement
    places = [mark.along_mm for mark in placement.marks]
    # Over closure k on under closure k + 1: lined up at the first pair, the second is already out.
    offset = places[1] - places[0]
    out = [abs(places[k] + offset - places[k + 1]) for k in range(1, len(places) - 1)]
    assert min(out) > placement.fastener.rim_mm


@pytest.mark.parametrize(
    ("spacing", "offered"), [(EVEN, True), (EVEN.replace("8", "7"), False)], ids=["long row", "short row"]
)
def test_scheme_is_offered_for_a_long_row(spacing: str, offered: bool) -> None:
    plan = read_plan(
        PLAN.format(edge=STRAIGHT, more="", spacing=spacing, kind="prong snap", size="16 L", lap="right over left").encode(),
        "coat.toml",
    )  # fmt: skip
    text = result_files(place_plan(plan), "a4")["report.md"].decode()
    assert ("easily closed off by one" in text) is offered


def wearer(found: Answer) -> list[tuple[str, str]]:
    return [(finding.result, finding.text) for finding in found.findings if finding.rule == "wearer"]


@pytest.mark.parametrize(
    ("kind", "size", "more", "result", "told"),
    [
        pytest.param("magnetic snap", "14 mm", "", "warn", "Ask about implants first", id="the question comes before magnets"),
        pytest.param("magnetic snap", "14 mm", '[wearer]\nprofiles = ["implants"]', "fail", "Ask about implants first", id="asked for, not answered"),
        pytest.param("magnetic snap", "14 mm", '[wearer]\nimplants = "some"', "fail", "clinic", id="an implant"),
        pytest.param("magnetic snap", "14 mm", '[wearer]\nimplants = "none"', "pass", "Nobody asked", id="none"),
        pytest.param("magnetic snap", "14 mm", '[wearer]\nprofiles = ["child"]\nimplants = "none"', "fail", "swallowed", id="a child"),
        pytest.param("prong snap", "16 L", '[wearer]\nprofiles = ["implants"]', "pass", "No magnets", id="no magnets"),
        pytest.param("prong snap", "16 L", '[wearer]\nprofiles = ["weak hands"]', "warn", "small for such hands", id="small"),
        pytest.param("capped prong snap", "24 L", '[wearer]\nprofiles = ["single hand"]', "pass", "push and a pull", id="large snap"),
        pytest.param("sew-through button", "30 L", '[wearer]\nprofiles = ["weak hands"]', "pass", "Large enough", id="large button"),
        pytest.param("prong snap", "16 L", '[wearer]\nprofiles = ["quick change"]', "warn", "8 closures take long", id="many"),
    ],
)  # fmt: skip
def test_profile_looks_and_warns(kind: str, size: str, more: str, result: str, told: str) -> None:
    found = wearer(answer(more, kind=kind, size=size))
    assert (result, told) in [(one, next((told for _ in [0] if told in text), "")) for one, text in found]


def test_profile_claims_nothing() -> None:
    plan = read_plan(
        PLAN.format(
            edge=STRAIGHT, spacing=EVEN, kind="prong snap", size="16 L", lap="right over left",
            more='[sheets]\norder = true\n[wearer]\nprofiles = ["child", "weak hands", "quick change", "single hand", "implants"]',
        ).encode(),
        "coat.toml",
    )  # fmt: skip
    text = result_files(place_plan(plan), "a4")["report.md"].decode()
    assert "a laboratory" in text and "It certifies neither the pull" in text
    assert re.findall(r"\b(?:safe|compliant|banned|certified|approved|passes the)\b", text, re.IGNORECASE) == []


def test_question_on_implants_comes_before_the_magnetic_kind_is_listed() -> None:
    output = CliRunner().invoke(app, ["fasteners", "magnetic snap"]).output
    assert output.index("pacemaker") < output.index("magnetic snap, in mm")
    assert "pacemaker" not in CliRunner().invoke(app, ["fasteners", "prong snap"]).output


# One front as it is worn, 600 mm long: mark 1 lies 17.5 mm from the neck and 12 mm from the edge, and six gaps are 87.1.
# The limits, from a rim of 5.715 mm, 18 L: 5.715 + 6.35 = 12.065 mm from the edge, 11.43 + 6.35 = 17.78 from the neck,
# 88.9 from one to the next.
WORN = """
[edge]
straight = "{0:.9f} mm"
[garment]
opens = "front"
[band]
width = "{1:.9f} mm"
inset = "{2:.9f} mm"
under_inset = "{2:.9f} mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "2.5 mm"
[spacing]
first = "{3:.9f} mm"
last = "{4:.9f} mm"
count = 7
[[layer]]
cloth = "linen"
count = 2
"""


def judged(state: str = "") -> tuple[Finding, ...]:
    """Told as worn, or unwashed, each length then so much more that 6 % along and 4 % across make it the same."""
    x, y = (0.96, 0.94) if state == "unwashed" else (1.0, 1.0)
    text = WORN.format(600 / y, 32 / x, 12 / x, 17.5 / y, 60 / y) + (washed(state, 6, 4) if state else "")
    return check_plan(read_plan(text.encode(), "front.toml")).findings


@pytest.mark.parametrize("state", ["washed", "unwashed"])
def test_one_garment_is_judged_alike_as_it_is_worn_whatever_it_was_measured_in(state: str) -> None:
    told = {(one.rule, one.lap, one.mark): one for one in judged(state)}
    for key, found, limit in (
        (("edge distance", "over", 1), 12.0, 12.065),
        (("end distance", None, 1), 17.5, 17.78),
    ):
        assert (told[key].result, told[key].found_mm, told[key].limit_mm) == ("warn", pytest.approx(found), pytest.approx(limit))  # fmt: skip
    (gap,) = (one for one in told.values() if one.rule == "widest gap")
    # (600 - 17.5 - 60) / 6 = 87.083.
    assert (gap.result, gap.found_mm) == ("pass", pytest.approx(87.0833, abs=1e-3))
    plain = [(one.rule, one.result, one.lap, one.mark) for one in judged()]
    assert [(one.rule, one.result, one.lap, one.mark) for one in told.values()] == plain


def test_what_a_look_tells_to_write_is_in_the_figures_of_the_plan() -> None:
    (edge, _) = (one for one in judged("unwashed") if one.rule == "edge distance" and one.mark == 1)
    # 0.065 mm are wanted as worn, 0.0677 in a plan of unwashed cloth: 12.5 mm there become 12.5677.
    assert edge.text.startswith("The centre lies 12 mm from the finished edge")
    assert "by 0.1 mm" in edge.text


@pytest.mark.parametrize(
    ("state", "told"), [("washed", "140 mm"), ("unwashed", "135.8 mm (140 mm in the plan, unwashed)")]
)
def test_a_pitch_that_was_asked_for_is_told_as_the_plan_has_it(state: str, told: str) -> None:
    # 3 % less than the 140 mm of the plan are 135.8 mm worn.
    spacing = 'first = "20 mm"\nlast = "40 mm"\npitch = "140 mm"'
    texts = {one.rule: one.text for one in answer(washed(state, 3), spacing=spacing).findings}
    assert f"a pitch of {told} was asked for" in texts["widest gap"]
    assert "further than 0 mm from the 140 mm wanted" in texts["evenness"]


def test_an_anchor_left_by_as_much_as_it_may_be_is_good_once_worn() -> None:
    # Marks at 20 and 143 mm worn: the bust, at 140 within 3 mm, has mark 2 just 3 mm off; unwashed that is 3.19 mm.
    bust = '[[anchor]]\nname = "bust"\nalong = "140 mm"\nwithin = "3 mm"\n'
    spacing = 'first = "20 mm"\nlast = "108 mm"\npitch = "123 mm"'
    found = answer(bust + washed("washed", 6), spacing=spacing).findings
    (one,) = (one for one in found if one.rule == "strain point")
    assert (one.result, one.found_mm) == ("pass", pytest.approx(3.0))


def test_strides_of_both_laps_part_at_the_same_marks_and_none_is_empty():
    from closures.jobs.table.strip import _strides

    # 14 in is twice a stride of 7 in; the lines of two laps, each reckoned by itself, differ by less than a hair there.
    step = 7 * 25.4
    for along in (2 * step, 2 * step - 1e-9, 2 * step + 1e-9):
        rows = _strides([(1, 10.0), (2, along)], 900.0, step, "over")
        assert [[n for n, _ in row.marks] for row in rows] == [[1], [], [2]]
    assert [row.n for row in _strides([(1, 10.0)], 900.0, step, None)] == [1]
    assert [row.n for row in _strides([(1, 10.0), (2, 890.0)], 900.0, step, None)] == [1, 2, 3, 4, 5, 6]
