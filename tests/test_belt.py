"""Belts: settings, lengths and places against closed forms and published worked examples."""

import itertools
import json
import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from closures.advice.advice import advise
from closures.app.command import app
from closures.catalogue.loading import load_catalogue
from closures.checks.rules import check
from closures.drawing.sheets.sheet import failures_in_words
from closures.errors import ClosureError
from closures.placing.strap.placed_strap import place_strap
from closures.plan.reading import read_plan
from closures.report.figures import report_figures
from closures.report.page import report_page

INCH = 25.4
SNAP = '[closure]\nkind = "prong snap"\nsize = "16 L"\ngrip = ["1 mm", "4 mm"]\n'
EXACT_MM = 0.01


def belt(text, closure=SNAP, units="mm", rest=""):
    plan = read_plan(f'title = "Belt"\nunits = "{units}"\n[belt]\n{text}\n{closure}\n{rest}'.encode(), "belt.toml")
    return place_strap(plan, load_catalogue())


def figures(placement):
    return report_figures(placement, check(placement, load_catalogue()), ())["belt"]


SCENARIO = """
target = "760 mm"
width = "38 mm"
thickness = "3.2 mm"
settings = 5
step = "25 mm"
caps = ["20 mm", "70 mm"]
free = "30 mm"
"""


@pytest.mark.parametrize("length", ["", 'length = "910 mm"'], ids=["worked out", "given"])
def test_belt_of_910_closes_at_760_and_25_either_way(length):
    # By hand: 910 - 20 - (80, 105, 130, 155, 180); the inner cap, 50 further in, 50 nearer the under tip.
    told = figures(belt(SCENARIO + length))
    assert told["finished_mm"] == pytest.approx(910, abs=EXACT_MM)
    assert told["rows"]["over"] == pytest.approx([20, 70], abs=EXACT_MM)
    assert told["rows"]["under"] == pytest.approx([30, 55, 80, 105, 130, 155, 180], abs=EXACT_MM)
    assert [s["outer_on_mm"] for s in told["settings"]] == pytest.approx([80, 105, 130, 155, 180], abs=EXACT_MM)
    assert [s["middle_mm"] for s in told["settings"]] == pytest.approx([810, 785, 760, 735, 710], abs=EXACT_MM)
    for setting in told["settings"]:
        drawn = drawn_middle_mm(setting["inside_mm"], 3.2, setting["outer_on_mm"])
        assert drawn == pytest.approx(setting["middle_mm"], abs=0.002)
        assert setting["is_target"] == (setting["n"] == 3)
    assert told["measured"] == "middle"


def drawn_middle_mm(inside, thickness, on, climb=0.0, steps=200_000):
    """The middle of a strap, drawn as a spiral: from the stud once round to the cap on it, the over end outermost.

    Over the under end's tip it climbs by a thickness, within so many mm.
    """
    radius = inside / math.tau + thickness / 2
    stud, ramp = on / radius, climb / radius

    def at(angle):
        share = 1.0 if not ramp and angle > math.tau else (angle - math.tau) / ramp + 0.5 if ramp else 0.0
        share = min(1.0, max(0.0, share))
        out = radius + thickness * (3 - 2 * share) * share * share
        return (out * math.cos(angle), out * math.sin(angle))

    drawn = [at(stud + math.tau * i / steps) for i in range(steps + 1)]
    steps_mm = sorted(math.dist(a, b) for a, b in pairwise(drawn))
    # An abrupt climb goes straight up, which is no length along the strap.
    return sum(steps_mm) if ramp or not stud else sum(steps_mm[:-1]) + steps_mm[-2]


def test_over_end_lies_a_thickness_further_out():
    # Outermost cap on 130 of a strap that closes at 760 along its middle: its inside is 746.45, within 0.05.
    told = figures(belt(SCENARIO))
    (target,) = [s for s in told["settings"] if s["is_target"]]
    assert target["inside_mm"] == pytest.approx(746.45, abs=0.05)
    # A real strap climbs over some 60 mm, which takes it 0.1 mm more; this is what the abrupt climb leaves out.
    assert drawn_middle_mm(target["inside_mm"], 3.2, 130, climb=60.0) == pytest.approx(760, abs=0.15)
    # Without the lap's own thickness a belt for 700 mm round the body would be 3.7 mm too tight.
    told = figures(belt(SCENARIO.replace('target = "760 mm"', 'waist = "700 mm"')))
    (target,) = [s for s in told["settings"] if s["is_target"]]
    assert target["inside_mm"] == pytest.approx(700, abs=1e-3)
    assert target["middle_mm"] - 700 - math.pi * 3.2 == pytest.approx(3.7, abs=0.05)


@pytest.mark.parametrize("length_mm", [880, 910, 950])
def test_belt_of_a_given_length_closes_round_the_waist_with_the_lap_that_it_leaves(length_mm):
    # The more is left over for the lap, the more of the over end lies a thickness further out (geometry, as drawn).
    text = SCENARIO.replace('target = "760 mm"', f'waist = "700 mm"\nlength = "{length_mm} mm"')
    told = figures(belt(text))
    (target,) = [s for s in told["settings"] if s["is_target"]]
    assert target["inside_mm"] == pytest.approx(700, abs=1e-3)
    assert target["middle_mm"] == pytest.approx(drawn_middle_mm(700, 3.2, target["outer_on_mm"]), abs=0.002)
    assert target["outer_on_mm"] == pytest.approx(length_mm - 20 - target["middle_mm"], abs=1e-3)


def test_belt_counts_parts_per_half():
    told = figures(belt(SCENARIO))
    assert {part["part"]: part["count"] for part in told["parts"]} == {"prong ring": 9, "socket": 2, "stud": 7}
    post = '[closure]\nkind = "leather post snap"\nsize = "16 L"\n'
    told = figures(belt(SCENARIO, post))
    assert {part["part"]: part["count"] for part in told["parts"]} == {"cap": 2, "socket": 2, "stud": 7, "post": 7}


def test_belt_marks_lie_on_one_line_and_a_cap_on_its_stud_is_one_mark():
    placement = belt(SCENARIO)
    assert [mark.along_mm for mark in placement.marks] == pytest.approx([30, 55, 80, 105, 130, 155, 180])
    assert {mark.y_mm for mark in placement.marks} == {0.0}
    both = {mark.n: (mark.over.from_tip_mm, mark.under.from_tip_mm) for mark in placement.marks if mark.over}
    assert both == {3: pytest.approx((70, 80)), 5: pytest.approx((20, 130))}
    assert all(mark.under is not None for mark in placement.marks)


@pytest.mark.parametrize(
    ("measured", "inside"),
    [
        # Round a waist w under clothing t thick: w + 2 pi t, along the inside or along the middle.
        pytest.param("", "inside", id="waist is measured inside"),
        pytest.param('measured = "middle"', "middle", id="waist measured along the middle"),
    ],
)
def test_belt_over_clothing_is_longer_by_two_pi_thicknesses(measured, inside):
    text = SCENARIO.replace('target = "760 mm"', f'waist = "700 mm"\nover = "4 mm"\n{measured}')
    told = figures(belt(text))
    (target,) = [s for s in told["settings"] if s["is_target"]]
    assert target[f"{inside}_mm"] == pytest.approx(700 + 2 * math.pi * 4, abs=1e-3)
    assert target["outer_on_mm"] == pytest.approx(30 + 50 + 2 * 25, abs=1e-3)
    drawn = drawn_middle_mm(target["inside_mm"], 3.2, target["outer_on_mm"])
    assert target["middle_mm"] == pytest.approx(drawn, abs=0.002)
    assert told["finished_mm"] == pytest.approx(target["middle_mm"] + 20 + 30 + 50 + 2 * 25, abs=1e-3)


@pytest.mark.parametrize(("count", "target"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3), (6, 3)])
def test_belt_target_is_the_middle_or_the_looser_of_the_middle_two(count, target):
    told = figures(belt(SCENARIO.replace("settings = 5", f"settings = {count}")))
    assert [s["n"] for s in told["settings"] if s["is_target"]] == [target]
    assert told["settings"][target - 1]["middle_mm"] == pytest.approx(760, abs=1e-3)


@pytest.mark.parametrize("worn", [1, 2, 5])
def test_belt_closes_at_its_target_in_the_setting_that_is_worn(worn):
    # By hand: 760 + 20 + 30 + 50 and a step for each setting that is looser; the loosest setting's outer cap sits at 80.
    told = figures(belt(SCENARIO + f"worn = {worn}"))
    assert told["finished_mm"] == pytest.approx(860 + 25 * (worn - 1), abs=1e-3)
    assert [s["n"] for s in told["settings"] if s["is_target"]] == [worn]
    wanted = [760 + 25 * (worn - n) for n in range(1, 6)]
    assert [s["middle_mm"] for s in told["settings"]] == pytest.approx(wanted, abs=1e-3)
    assert told["settings"][0]["outer_on_mm"] == pytest.approx(80, abs=1e-3)


def test_belt_five_holes_an_inch_apart_serve_36_to_40_in():
    # Worked example: five holes 1 in apart, the middle one at 38 in: 36, 37, 38, 39, 40 in (leather trade).
    text = 'waist = "38 in"\nwidth = "1 1/2 in"\nthickness = "3 mm"\nsettings = 5\nstep = "1 in"\ncaps = ["3/4 in"]'
    told = figures(belt(text, units="in"))
    inside = [setting["inside_mm"] / INCH for setting in told["settings"]]
    assert inside[2] == pytest.approx(38, abs=1e-3)
    # Along the middle the holes are an inch apart; the inside moves a little less, for the tighter the belt the more of it
    # lies on the under end.
    middle = [setting["middle_mm"] / INCH for setting in told["settings"]]
    assert [a - b for a, b in pairwise(middle)] == pytest.approx([1, 1, 1, 1], abs=1e-3)
    assert inside == pytest.approx([40, 39, 38, 37, 36], abs=0.05)


def test_belt_carrier_for_two_inches_is_cut_three_and_a_half():
    # Worked example: a belt 2 in wide takes carriers of 3 1/2 in (a magazine answer of 2000).
    text = SCENARIO.replace('width = "38 mm"', 'width = "2 in"')
    told = figures(belt(text))
    carriers = told["carriers"]
    assert carriers["cut_mm"] == pytest.approx(3.5 * INCH, abs=1e-3)
    # Common practice: at both side seams and the centre back, a quarter, a half and three quarters round the garment.
    # The belt's inside lies on it; its middle, 760 mm here, runs half the belt further out.
    inside = told["settings"][2]["inside_mm"]
    assert 740 < inside < 750
    assert carriers["round_mm"] == pytest.approx([inside / 4, inside / 2, inside * 3 / 4], abs=1e-3)
    assert carriers["where"] == "both side seams and centre back"


def test_carriers_divide_the_way_round_the_garment_and_not_the_middle_of_the_belt():
    # 840 mm round the body and 7 mm of coat: 840 + 14 pi = 883.98 mm round the coat (geometry), in five equal parts.
    text = SCENARIO.replace('target = "760 mm"', 'waist = "840 mm"\nover = "7 mm"\ncarriers = 4')
    for thickness in ("1 mm", "5 mm", "9 mm"):
        told = figures(belt(text.replace('thickness = "3.2 mm"', f'thickness = "{thickness}"')))
        assert told["carriers"]["round_mm"] == pytest.approx(
            [(840 + 14 * math.pi) * k / 5 for k in range(1, 5)], abs=0.01
        )


def test_belt_tells_what_a_buckle_belt_for_this_waist_takes():
    # Worked example: waist 30 in takes 36 in of belting (Univ. of Minnesota, Bulletin 580, 1964).
    told = figures(belt(SCENARIO.replace('target = "760 mm"', 'waist = "30 in"')))
    assert told["belting_mm"] == pytest.approx(36 * INCH, abs=1e-3)
    assert figures(belt(SCENARIO))["belting_mm"] is None


def test_cover_of_a_buckle_belt_is_longer_by_its_seam_and_its_fold():
    # 1/2 in at the point and 1 in at the buckle (Univ. of Nebraska, EC73-412, 1973).
    placement = belt(SCENARIO.replace('target = "760 mm"', 'waist = "30 in"'))
    told = report_page(placement, (), (), advise(placement, (), load_catalogue())).decode()
    assert "12.7 mm (1/2 in) longer at the point, for the seam, and 25.4 mm (1 in) at the buckle, for the fold" in told
    assert "Belts and Buckles, University of Nebraska" in told


def test_buckle_belt_over_a_coat_goes_round_the_coat():
    # 6 mm of coat all round make the way 2 pi x 6 longer (geometry).
    told = figures(belt(SCENARIO.replace('target = "760 mm"', 'waist = "30 in"\nover = "6 mm"')))
    assert told["belting_mm"] == pytest.approx(36 * INCH + 2 * math.pi * 6, abs=1e-3)


def test_belt_of_one_layer_of_leather_is_cut_once_and_told_no_two_layers():
    text = SCENARIO.replace('thickness = "3.2 mm"', "") + '[[layer]]\ncloth = "leather 8 oz"\n'
    answer = belt(text)
    assert figures(answer)["cut_pieces"] == 1
    findings = [f for f in check(answer, load_catalogue()) if f.rule == "backing"]
    assert {(f.text, f.source) for f in findings} == {("Leather bears a closure in one layer.", "common practice")}
    two = text.replace('"leather 8 oz"', '"canvas 10 oz"\ncount = 2')
    assert figures(belt(two))["cut_pieces"] == 2


@pytest.mark.parametrize(
    ("keys", "length", "width", "pieces"),
    [
        pytest.param("", 910, 38, 2, id="no allowance"),
        pytest.param('allowance = "1/2 in"', 910 + 25.4, 38 + 25.4, 2, id="both ends"),
        # Belt cover: 1/2 in at the point for the seam, 1 in at the buckle for the fold
        # (Univ. of Nebraska, EC73-412, 1973).
        pytest.param('allowance = "1/2 in"\nunder_allowance = "1 in"', 910 + 38.1, 38 + 25.4, 2, id="each end its own"),
        pytest.param('allowance = "10 mm"\nmade = "folded"', 930, 2 * 38 + 20, 1, id="folded lengthwise"),
        pytest.param('allowance = "10 mm"\nmade = "one layer"', 930, 58, 1, id="one layer"),
    ],
)
def test_belt_cut_length_and_width_add_the_allowances(keys, length, width, pieces):
    told = figures(belt(SCENARIO + keys))
    assert (told["cut_mm"], told["cut_width_mm"]) == pytest.approx((length, width), abs=1e-3)
    assert told["cut_pieces"] == pieces


def test_belt_thickness_is_the_sum_of_the_layers_that_lie_all_over():
    text = SCENARIO.replace('thickness = "3.2 mm"', "")
    layers = (
        '[[layer]]\nthickness = "0.8 mm"\ncount = 2\n[[layer]]\nthickness = "0.3 mm"\n'
        '[[layer]]\nthickness = "0.5 mm"\non = "over"\n[[layer]]\nthickness = "0.7 mm"\nacross = ["0 mm", "12 mm"]\n'
    )
    placement = belt(text, rest=layers)
    assert placement.strap.thickness_mm == pytest.approx(1.9)
    # Each end clamps its own stack: half a millimetre more above.
    assert placement.marks[4].over.stack.typical_mm == pytest.approx(2.4)
    assert placement.marks[4].under.stack.typical_mm == pytest.approx(1.9)


def test_belt_stack_is_the_strap_itself_where_only_its_thickness_is_told():
    assert {mark.under.stack.typical_mm for mark in belt(SCENARIO).marks} == {3.2}


def test_belt_caps_off_the_step_need_studs_of_their_own():
    # Caps 40 apart, settings 25 apart: 5 settings x 2 caps, none shared, 10 studs and 10 or 15 mm between them.
    text = SCENARIO.replace('"70 mm"', '"60 mm"')
    snap = '[closure]\nkind = "prong snap"\nsize = "14 L"\ncap = "4 mm"\ngrip = ["1 mm", "4 mm"]\n'
    told = figures(belt(text, snap))
    assert len(told["rows"]["under"]) == 10
    expected = sorted(70 + 25 * i - offset for i in range(5) for offset in (0, 40))
    assert told["rows"]["under"] == pytest.approx(expected, abs=1e-3)
    assert "10 in all" in told["notes"][0] and "would do with 7" in told["notes"][0]


def test_belt_sizes_have_the_same_ends_and_tell_what_lies_between_them():
    text = SCENARIO.replace('target = "760 mm"', 'sizes = { L = "34 in", S = "26 in", M = "28 in" }')
    text = text.replace('step = "25 mm"', 'step = "1 in"').replace('"70 mm"', '"70.8 mm"')
    told = figures(belt(text))
    rows = {row["size"]: row for row in told["sizes"]}
    assert [row["size"] for row in told["sizes"]] == ["S", "M", "L"]
    for name, waist in (("S", 26), ("M", 28), ("L", 34)):
        served = [end / INCH for end in rows[name]["serves_mm"]]
        assert served == pytest.approx([waist - 2, waist + 2], abs=0.1)
        alone = figures(belt(text.replace('{ L = "34 in", S = "26 in", M = "28 in" }', f'{{ {name} = "{waist} in" }}')))
        assert alone["finished_mm"] == rows[name]["finished_mm"]
        assert alone["rows"] == told["rows"]
    # S serves to 28 in and M from 26 in: 2 in shared; M to 30 in and L from 32 in: 2 in that none serves.
    assert [row["to_next_mm"] for row in told["sizes"]] == pytest.approx([-2 * INCH, 2 * INCH, None], abs=4)
    # The sheets are of the middle size.
    assert told["finished_mm"] == rows["M"]["finished_mm"]


PLAN = st.fixed_dictionaries(
    {
        "waist": st.floats(700, 1500),
        "over": st.floats(0, 20),
        "thickness": st.floats(0.3, 6),
        "settings": st.integers(1, 8),
        "step": st.floats(18, 40),
        "caps": st.floats(12, 40),
        "second": st.integers(0, 3),
    }
)


@settings(max_examples=60, deadline=None)
@given(PLAN)
def test_belt_closes_as_measured_round_its_outline_in_every_setting(wish):
    """Walk the strap: from the under end's stud round to the over end's cap must be what the setting says."""
    second = wish["caps"] + wish["second"] * wish["step"]
    caps = [wish["caps"]] if wish["second"] == 0 else [wish["caps"], second]
    text = (
        f"waist = {wish['waist']:.6f}\nover = {wish['over']:.6f}\nthickness = {wish['thickness']:.6f}\nwidth = 40\n"
        f"settings = {wish['settings']}\nstep = {wish['step']:.6f}\ncaps = [{', '.join(f'{c:.6f}' for c in caps)}]"
    )
    placement = belt(text)
    strap = placement.strap
    under = [spot.from_tip_mm for spot in strap.under]
    for setting in strap.settings:
        for cap in strap.over:
            stud = setting.overlap_mm - cap.from_tip_mm
            assert min(abs(stud - place) for place in under) < EXACT_MM
            assert strap.finished_mm - stud - cap.from_tip_mm == pytest.approx(setting.middle_mm, abs=1e-6)
    on_body = strap.target.inside_mm - 2 * math.pi * wish["over"]
    assert on_body == pytest.approx(wish["waist"], abs=1e-4)
    least = min(b - a for a, b in itertools.pairwise(under)) if len(under) > 1 else math.inf
    assert least >= placement.fastener.least_pitch.value - 1e-6


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        pytest.param(
            [("settings = 5", "settings = 0")], r"settings: 0 is too few. Write 1 or more", id="settings of 0"
        ),
        pytest.param(
            [('step = "25 mm"', 'step = "10 mm"')],
            r"\[belt\] step: settings 10 mm apart collide: this fastener needs 16.2 mm.*step = 16.2 mm or more",
            id="step under the pitch",
        ),
        pytest.param(
            [('"70 mm"', '"60 mm"')],
            r"\[belt\] caps: with caps 40 mm apart .* two studs would stand 10 mm apart.*"
            r'caps = \["20 mm", "70 mm"\]',
            id="studs collide",
        ),
        pytest.param(
            [("free", 'length = "700 mm"\nfree')],
            r"\[belt\] length: a belt of 700 mm does not reach round 760 mm. Write length = 910 mm or more",
            id="shorter than the body",
        ),
        pytest.param(
            [("free", 'length = "880 mm"\nfree')],
            r"\[belt\] length: a belt of 880 mm that closes at 760 mm laps by 120 mm.* need 150 mm. "
            r"Write length = 910 mm or more",
            id="too short for its settings",
        ),
        pytest.param(
            [("free", 'length = "1700 mm"\nfree')],
            r"\[belt\]: at its tightest the ends lap by 990 mm, more than once round the 710 mm",
            id="laps more than once round",
        ),
        pytest.param(
            [('"25 mm"', '"25 in"')],
            r"\[belt\] step: at its tightest the ends lap by .* mm, and the whole belt is .* mm long\. "
            r"Look at the unit of 635 mm; else",
            id="a step in another unit",
        ),
        pytest.param(
            [('target = "760 mm"', "target = 28")],
            r"A belt that closes at 28 mm goes round nobody: write the unit behind the waist, in or cm",
            id="waist without its unit",
        ),
        pytest.param(
            [('thickness = "3.2 mm"', "")], r"\[belt\] thickness: its thickness is not known", id="no thickness"
        ),
        pytest.param([('target = "760 mm"', "")], "exactly one of waist, target, sizes is needed", id="no target"),
        pytest.param(
            [("free", 'over = "4 mm"\nfree')],
            "over: a target is the length of the closed belt already",
            id="over target",
        ),
        pytest.param(
            [('target = "760 mm"', 'sizes = { S = "26 in" }\nlength = "900 mm"')],
            "length: every size has its own length",
            id="length beside sizes",
        ),
        pytest.param([("free", "worn = 6\nfree")], "worn: there are 5 settings", id="worn at none"),
        pytest.param(
            [("settings = 5", "worn = 9")],
            "worn: there are 5 settings. Write worn = 5 or less",
            id="worn beyond the usual",
        ),
        pytest.param([('"20 mm", "70 mm"', "")], "caps: a list of 0 is not a list of distances", id="no caps"),
        pytest.param([('"20 mm", "70 mm"', '"20 mm", "20 mm"')], "two of them are at one distance", id="one cap twice"),
    ],
)
def test_belt_that_cannot_be_is_refused_with_what_would_do(changes, message):
    text = SCENARIO
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(ClosureError, match=message):
        belt(text)


def test_belt_refused_length_does_when_the_advice_is_followed():
    with pytest.raises(ClosureError, match=r"length = 910 mm or more"):
        belt(SCENARIO + 'length = "880 mm"')
    assert belt(SCENARIO + 'length = "910 mm"').strap.finished_mm == 910


@pytest.mark.parametrize("other", ["edge", "band", "spacing", "row", "anchor", "clear"])
def test_belt_beside_a_section_that_does_not_go_with_it_is_told(other):
    body = {
        "edge": 'straight = "600 mm"',
        "band": 'width = "40 mm"\nlap = "right over left"',
        "spacing": "first = 20\nlast = 20\ncount = 3",
        "row": 'length = "250 mm"\nheight = "60 mm"\nover = ["13 mm"]\nunder = ["13 mm"]',
        "anchor": 'name = "a"\nalong = "20 mm"',
        "clear": 'name = "c"\nalong = ["20 mm", "30 mm"]',
    }[other]
    header = f"[[{other}]]" if other in ("anchor", "clear") else f"[{other}]"
    with pytest.raises(ClosureError) as caught:
        belt(SCENARIO, rest=f"{header}\n{body}")
    assert f"belt.toml, {header}: it does not go with [belt]" in str(caught.value)


def test_belt_layer_along_is_refused():
    with pytest.raises(ClosureError, match=r"\[\[layer\]\] 1 along: it goes with closures along an edge"):
        belt(SCENARIO, rest='[[layer]]\nthickness = "1 mm"\nalong = ["0 mm", "5 mm"]')


def test_sizes_of_a_belt_are_told_smallest_first():
    plan = belt(SCENARIO.replace('target = "760 mm"', 'sizes = { "X \\" L" = "34 in", S = "26 in" }')).plan
    assert [name for name, _ in plan.belt.sizes] == ["S", 'X " L']


def test_belt_refused_by_the_command_writes_nothing_and_exits_2(tmp_path):
    (tmp_path / "belt.toml").write_text(f'[belt]\n{SCENARIO}\nlength = "700 mm"\n{SNAP}')
    result = CliRunner().invoke(app, ["place", str(tmp_path / "belt.toml")])
    assert result.exit_code == 2
    assert "does not reach round 760 mm" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["belt.toml"]


def test_belt_checked_by_the_command_gives_the_belt_key(tmp_path):
    (tmp_path / "belt.toml").write_text(f"[belt]\n{SCENARIO}\n{SNAP}")
    result = CliRunner().invoke(app, ["check", str(tmp_path / "belt.toml"), "--json"])
    assert result.exit_code == 0, result.output
    report = json.loads(result.stdout)
    assert report["belt"]["finished_mm"] == 910
    assert report["lap"] is None and "row" not in report


@pytest.mark.parametrize(
    ("units", "finished"), [("mm", "Finished 910 mm (35 13/16 in)"), ("in", "Finished 35 13/16 in (910 mm)")]
)
def test_belt_is_told_in_the_plans_own_units_first(units, finished):
    from closures.report.strap import strap_sections, strap_words

    placement = belt(SCENARIO, units=units)
    page = "\n".join(strap_sections(placement))
    assert strap_words(placement).startswith(finished)
    assert f"**{finished.replace(' ', ':** ', 1)} from tip to tip" in page


def test_checks_of_a_belt_speak_of_its_ends():
    placement = belt(SCENARIO)
    findings = check(placement, load_catalogue())
    report = report_page(placement, findings, (), advise(placement, findings, load_catalogue())).decode()
    checks = report[report.index("## Checks") :]
    assert "edge distance, over end" in checks and "edge distance, under end" in checks
    assert "over lap" not in checks and "under lap" not in checks
    failing = [replace(one, result="fail") for one in findings]
    told = failures_in_words(failing, placement.side_word)
    assert "over end" in told and "lap" not in told


@pytest.mark.parametrize("told", ['waist = "900 mm"', 'sizes = { S = "900 mm", M = "960 mm" }'])
def test_belt_over_clothing_as_thick_as_half_the_body_is_refused(told: str) -> None:
    """900 mm round are 143.2 mm from the middle: what is thicker was measured round something, and made a belt of metres."""
    text = SCENARIO.replace('target = "760 mm"', told)
    with pytest.raises(
        ClosureError, match=r"over: clothing 144 mm \(5 11/16 in\) thick would be as thick as half the body"
    ):
        belt(text + 'over = "144 mm"\n')
    assert belt(text + 'over = "143 mm"\n').strap.finished_mm > 900
