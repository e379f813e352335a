"""What holds of a belt or a strap where its plan does not say, and that what it does say stays as it was said."""

import math
from itertools import pairwise

import pytest

from closures.app.job import advice_of, check_plan
from closures.catalogue.loading import load_catalogue
from closures.placing.strap.placed_strap import place_strap
from closures.plan.reading import read_plan

CHINO = '[[layer]]\ncloth = "chino"\ncount = 2\n'
SNAP = '[closure]\nkind = "prong snap"\nsize = "18 L"\n'


def placed(text: str, closure: str = SNAP):
    return place_strap(read_plan(f'title = "Plain"\n{text}\n{closure}{CHINO}'.encode(), "plan.toml"), load_catalogue())


def belt(more: str = "", closure: str = SNAP):
    return placed(f'[belt]\nwidth = "2 in"\nwaist = "30 in"\n{more}', closure)


def test_belt_of_which_little_is_told_has_five_settings_an_inch_apart():
    # The leather trade punches five holes 1 in apart, worn on the middle one.
    placement = belt()
    lengths = [setting.middle_mm for setting in placement.strap.settings]
    assert len(lengths) == 5
    assert {round(a - b, 6) for a, b in pairwise(lengths)} == {25.4}
    told = " ".join(placement.assumed)
    assert all(words in told for words in ("5 settings", "25.4 mm from one setting", "Closures of the over end"))
    assert "leather trade" in told
    # No source tells how far the second closure lies from the first.
    assert "the second, two steps on so that the end lies straight: our own rule)" in told


def test_snaps_of_a_belt_come_in_twos_two_steps_apart_and_buttons_alone():
    # 1/2 in from the tip (an industry patternmaker); a snap turns about one place, a buttonhole does not (common practice).
    assert belt().plan.belt.caps_mm == pytest.approx((12.7, 12.7 + 50.8))
    button = '[closure]\nkind = "sew-through button"\nsize = "24 L"\n'
    assert len(belt(closure=button).plan.belt.caps_mm) == 1
    assert len(belt("settings = 1").plan.belt.caps_mm) == 1


def test_large_cap_stands_further_from_the_tip_and_in_wider_steps():
    # Half the cap and 1/4 in (ASDP) is 12.85 mm of a rim of 6.5 mm; no closure nearer to the next than its own least.
    large = '[closure]\nkind = "capped prong snap"\nsize = "20 L"\n'
    placement = belt(closure=large)
    assert placement.plan.belt.caps_mm[0] == pytest.approx(max(12.7, placement.fastener.rim_mm + 6.35))
    assert placement.plan.belt.step_mm == pytest.approx(max(25.4, placement.fastener.least_pitch.value))


def test_what_a_belt_says_is_neither_changed_nor_told_as_assumed():
    placement = belt('settings = 3\nstep = "30 mm"\ncaps = ["20 mm"]')
    assert (placement.plan.belt.settings, placement.plan.belt.step_mm, placement.plan.belt.caps_mm) == (
        3,
        30.0,
        (20.0,),
    )
    assert not any("setting" in words or "over end" in words for words in placement.assumed)


def test_strap_of_which_no_place_is_told_has_one_on_either_end():
    placement = placed('[row]\nlength = "300 mm"\nheight = "40 mm"')
    assert [len(placement.plan.row.over), len(placement.plan.row.under)] == [1, 1]
    assert placement.plan.row.over[0].from_tip_mm == pytest.approx(12.7)
    told = " ".join(placement.assumed)
    assert "12.7 mm from its tip" in told and "lap by 25.4 mm" in told


def test_overlap_of_a_strap_still_gives_its_under_place():
    placement = placed('[row]\nlength = "300 mm"\nheight = "40 mm"\noverlap = "40 mm"')
    assert placement.plan.row.under == ()
    assert [spot.from_tip_mm for spot in placement.strap.under] == [pytest.approx(40.0 - 12.7)]


def test_hook_of_a_waistband_stands_an_eighth_of_an_inch_inside_its_end():
    # NMSU232 and ASDP: 1/8 in.
    hook = '[closure]\nkind = "hook and bar"\nsize = "one size"\n'
    placement = placed('[row]\nlength = "760 mm"\nheight = "40 mm"', hook)
    assert placement.plan.row.over[0].from_tip_mm == pytest.approx(3.175)
    # The bar has no end to show: all of it lies on its own end of the band.
    assert placement.plan.row.under[0].from_tip_mm > placement.fastener.rim_mm > 3.175


@pytest.mark.parametrize("ends", ["square", "rounded", "pointed"])
@pytest.mark.parametrize(
    ("kind", "size"), [("prong snap", "16 L"), ("prong snap", "18 L"), ("sew-through button", "40 L")]
)
@pytest.mark.parametrize("strap", ["belt", "row"])
def test_place_that_the_program_takes_itself_keeps_its_own_distance_to_the_tip(
    ends: str, kind: str, size: str, strap: str
):
    # The sides of a point stand at a right angle: d from the point is d / sqrt(2) from a side.
    told = {
        "belt": f'[belt]\nwaist = "700 mm"\nwidth = "60 mm"\nends = "{ends}"\nlap = "right over left"\n',
        "row": f'[row]\nlength = "700 mm"\nheight = "60 mm"\nends = "{ends}"\nlap = "right over left"\n',
    }[strap]
    text = f'{told}[closure]\nkind = "{kind}"\nsize = "{size}"\n{CHINO}'
    findings = check_plan(read_plan(text.encode(), "strap.toml")).findings
    tips = [f for f in findings if f.rule == "edge distance" and "tip" in f.text]
    assert tips and all(f.result == "pass" for f in tips)


# 40 L is 25.4 mm wide (US Federal Specification V-B-871F), so the way from its centre to the end is 12.7 and 1/4 in (ASDP).
@pytest.mark.parametrize(
    ("ends", "clear"), [("square", 12.7 + 6.35), ("rounded", 12.7 + 6.35), ("pointed", math.sqrt(2) * (12.7 + 6.35))]
)
def test_only_a_pointed_tip_keeps_a_closure_further_off_than_its_room_asks(ends: str, clear: float):
    # Half a circle is nowhere nearer than its own tip; each side of a right angle is 1 / sqrt(2) of the way to its point.
    button = '[closure]\nkind = "sew-through button"\nsize = "40 L"\n'
    told = 'lap = "right over left"\n'
    of_belt = placed(f'[belt]\nwidth = "60 mm"\nwaist = "700 mm"\nends = "{ends}"\n{told}', button).plan.belt
    assert of_belt.caps_mm == pytest.approx((clear,))
    row = f'[row]\nlength = "700 mm"\nheight = "60 mm"\nends = "{ends}"\n{told}'
    assert placed(row, button).plan.row.over[0].from_tip_mm == pytest.approx(clear)


@pytest.mark.parametrize(
    ("ends", "from_tip"), [("square", 3.175), ("rounded", 3.175), ("pointed", math.sqrt(2) * 3.175)]
)
def test_a_hook_stands_an_eighth_of_an_inch_inside_whatever_end_it_has(ends: str, from_tip: float):
    # NMSU232 and ASDP: 1/8 in; from either side of a point, which is a right angle.
    hook = '[closure]\nkind = "hook and bar"\nsize = "one size"\n'
    row = f'[row]\nlength = "760 mm"\nheight = "40 mm"\nends = "{ends}"\nlap = "right over left"'
    assert placed(row, hook).plan.row.over[0].from_tip_mm == pytest.approx(from_tip)


# Common practice: a belt has one button and several holes; a shirt's cuff is adjusted by two flat buttons.
@pytest.mark.parametrize(
    ("kind", "settings", "is_told"),
    [
        ("shank button", 4, True),
        ("shank button", 2, True),
        ("sew-through button", 3, True),
        ("sew-through button", 2, False),
        ("shank button", 1, False),
        ("prong snap", 4, False),
    ],
)
def test_a_strap_with_one_buttonhole_and_several_buttons_is_looked_at(kind, settings, is_told):
    size = "18 L" if kind == "prong snap" else "24 L"
    text = f'[belt]\nwidth = "2 in"\nwaist = "30 in"\nsettings = {settings}\n[closure]\nkind = "{kind}"\n'
    answer = check_plan(read_plan(f'{text}size = "{size}"\n{CHINO}'.encode(), "plan.toml"))
    told = [one.text for one in answer.findings if "One buttonhole goes over one of" in one.text]
    assert len(told) == is_told and all("in [row]" in one for one in told)
    done = " ".join(step.done for step in advice_of(answer).order.steps)
    assert ("the closed ends lie flat" in done) == ("button" in kind and not is_told)


def test_one_button_and_a_hole_for_each_setting_is_as_a_belt_has_it():
    text = (
        '[row]\nlength = "900 mm"\nheight = "40 mm"\nover = ["25 mm", "50 mm", "75 mm"]\nunder = ["25 mm"]\n'
        f'[closure]\nkind = "sew-through button"\nsize = "24 L"\n{CHINO}'
    )
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    assert not any("One buttonhole goes over one of" in one.text for one in answer.findings)
    assert len(answer.placement.strap.settings) == 3
