"""The sections [pull], [body] and [way_in]: what they take, what they refuse, and that they read back."""

import pytest

from closures.errors import PlanError
from closures.plan.reading import read_plan

PLAN = """
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
[[anchor]]
name = "bust point"
level = "220 mm"
within = "50 mm"
[[anchor]]
name = "waist"
level = "400 mm"
within = "50 mm"
"""
ALL = """
[pull]
scale = "120 g"
scale_sitting = "0.3 kg"
scale_deep = "2 lb"
at = "bust point"
pitch = "3 in"
strip = "4 %"
overhang = "76 mm"
weight = "8 oz/yd2"
bias = 4.7
opens_at = "1.2 kg"
fit = "close"
girth = "94 cm"
elsewhere = [{ at = "waist", times = 0.5 }]
coupon_rises = "60 g"
coupon_weight = "400 g"
coupon_lift = "6 mm"
coupon_apart = "1.5 mm"
coupon_pitch = "76 mm"
[body]
head = "56 cm"
seat = "102 cm"
age = "2 years"
sex = "girl"
share = 50
[way_in]
neck = "320 mm"
slit = "4 in"
rings = [{ at = "bust", level = "220 mm", round = "96 cm" }, { at = "waist", level = "400 mm", round = "74 cm" }]
ends_in = "hem"
last_opens = 6
zip = { where = "left side", from = "150 mm", to = "400 mm" }
cuff = "21 cm"
hem = "34 cm"
way = "stepping in"
"""


def plan_of(more):
    return read_plan((PLAN + more).encode(), "dress.toml")


def test_everything_that_is_told_is_read_in_its_unit():
    plan = plan_of(ALL)
    pull, body, way_in = plan.pull, plan.body, plan.way_in
    assert (pull.scale_g, pull.scale_sitting_g) == (120, 300)
    assert pull.scale_deep_g == pytest.approx(907.18474)
    assert pull.mass_g_m2 == pytest.approx(271.25, abs=0.01)
    assert pull.bias == 0.047
    assert pull.opens_n == pytest.approx(11.772)
    assert pull.is_measured
    assert (body.age_months, body.head_mm, body.share) == (24, 560, 50)
    assert way_in.rings[1].round_mm == 740
    assert way_in.zip.to_mm == 400


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ('[pull]\nscale = "120"\n', "is not a weight"),
        ("[pull]\nscale = 120\n", "is not a weight"),
        ('[pull]\nscale = "0 g"\n', "is nothing"),
        ('[pull]\nscale = "900 kg"\n', "more than can be meant"),
        ('[pull]\nopens_at = "12"\n', "is not a force"),
        ('[pull]\noverhang = "76 mm"\n', "goes with weight only"),
        ('[pull]\nworn = "2 %"\n', "goes with strip only"),
        ('[pull]\nscale = "120 g"\nstrip = "4 %"\nworn = "2 %"\n', "the scale told the pull already"),
        ('[pull]\nscale = "120 g"\nscale_deep = "100 g"\n', "less than the reading standing"),
        ('[pull]\ncoupon_weight = "400 g"\n', "nothing was read under it"),
        ('[pull]\nscale = "120 g"\nat = "bust"\n', "there is no anchor"),
        ('[pull]\nelsewhere = [{ at = "hip", times = 1.0 }]\n', "there is no anchor 'hip'"),
        ('[pull]\nelsewhere = [{ at = "waist", times = 50 }]\n', "not a number from 0 to 10"),
        ('[pull]\nelsewhere = [{ at = "waist", times = 0.5 }, { at = "waist", times = 0.7 }]\n', "told twice"),
        ('[pull]\nscale = "120 g"\nat = "waist"\nelsewhere = [{ at = "waist", times = 0.7 }]\n', "it is 1 there"),
        ('[pull]\nbias = "400 %"\n', "more than can be meant"),
        ('[body]\nsex = "boy"\n', "a child's tables go by age"),
        ('[body]\nsex = "woman"\nage = "30 years"\n', "grown people are not told by age"),
        ('[body]\nsex = "boy"\nage = "two"\n', "is not an age"),
        ('[body]\nage = "24 months"\n', 'sex: age is told, and not whose tables it is looked up in. Add sex = "girl"'),
        ('[way_in]\nneck = "320 mm"\n', "whose body is to get in is not told"),
        ('[body]\nhead = "50 cm"\n[way_in]\nslit = "10 cm"\n', "nothing is told that the body must pass"),
        ('[body]\nhead = "50 cm"\n[way_in]\nrings = [{ at = "bust", round = "96 cm" }]\n', "a place, a level and a girth"),
        (
            '[body]\nhead = "50 cm"\n[way_in]\ncuff = "20 cm"\nzip = { where = "side", from = "400 mm", to = "150 mm" }\n',
            "ends above where it begins",
        ),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_with_the_cure(more, told):
    with pytest.raises(PlanError) as caught:
        plan_of(more)
    assert told in str(caught.value)


@pytest.mark.parametrize(("keys", "key"), [('scale = "120 g"\nat = "waist"', "at"), (
    'elsewhere = [{ at = "waist", times = 0.5 }]', "elsewhere")])  # fmt: skip
def test_pull_at_one_of_two_anchors_of_one_name_asks_which(keys, key):
    with pytest.raises(PlanError) as caught:
        plan_of(f'[[anchor]]\nname = "waist"\nalong = "480 mm"\n[pull]\n{keys}\n')
    told = f"dress.toml, [pull] {key}: 2 anchors are called 'waist', one at the level 400 mm and one 480 mm along. Give each"
    assert told in str(caught.value)


def test_body_of_a_belt_has_no_way_in():
    belt = '[belt]\nwaist = "30 in"\nwidth = "32 mm"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n[pull]\nfit = "close"\n'
    with pytest.raises(PlanError, match="does not go with"):
        read_plan(belt.encode(), "belt.toml")


@pytest.mark.parametrize("told", ["18 Monate", "two", "2 1/0 years", "2 1/7 years", "1/2"])
def test_age_that_cannot_be_read_is_told_once(told):
    with pytest.raises(PlanError) as caught:
        plan_of(f'[body]\nsex = "boy"\nage = "{told}"\n')
    (fault,) = caught.value.faults
    assert "is not an age" in str(fault) and "24 months or 2 years" in str(fault)


def test_sex_that_cannot_be_read_beside_an_age_is_told_once():
    with pytest.raises(PlanError) as caught:
        plan_of('[body]\nsex = "Junge"\nage = "24 months"\n')
    assert len(caught.value.faults) == 1


@pytest.mark.parametrize(
    ("told", "months"),
    [
        ("2 1/2 years", 30), ("2½ years", 30), ("2 ½ years", 30), ("2-1/2 years", 30), ("1/2 year", 6), ("1 1/4 years", 15),
        ("2.5 years", 30), ("30 months", 30), ("17 years", 204),
    ],
)  # fmt: skip
def test_age_is_taken_as_people_tell_it(told, months):
    assert plan_of(f'[body]\nsex = "boy"\nage = "{told}"\n').body.age_months == months
