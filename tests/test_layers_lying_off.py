"""Layers that lie nowhere on a lap are refused: passed over in silence, the stack would be told too thin."""

import pytest
from told import refusal_of

PLAN = """
[edge]
straight = "400 mm"
[garment]
opens = "front"
pieces = "separate"
[band]
width = "38 mm"
under_width = "50 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 5
[[layer]]
thickness = "0.4 mm"
clamped = true
[[layer]]
thickness = "0.7 mm"
clamped = true
"""
BELT = """
[belt]
width = "1 1/2 in"
settings = 4
step = "1 in"
caps = ["1 in", "4 in"]
target = "36 in"
thickness = "3 mm"
[closure]
kind = "post snap"
size = "24 L"
grip = ["2 mm", "8 mm"]
[[layer]]
thickness = "0.7 mm"
on = "over"
"""
WASH = '[shrinkage]\nalong = "10 %"\nacross = "10 %"\nmeasured = "{}"\n'


@pytest.mark.parametrize(
    ("layer", "told"),
    [
        ('along = ["460 mm", "480 mm"]', "[[layer]] 2 along: it begins 460 mm along, and the over lap's closing line is "
         "400 mm long: there it lies under no closure. Leave the layer out, or begin at less than 400 mm."),
        ('along = ["400 mm", "480 mm"]', "begins 400 mm along"),
        ('along = ["460 mm", "480 mm"]\non = "under"', "and the under lap's closing line is 400 mm long"),
        ('across = ["50 mm", "60 mm"]', "[[layer]] 2 across: it begins 50 mm inside the finished edge, and the over "
         "lap's band reaches 38 mm"),
        ('across = ["38 mm", "60 mm"]\non = "over"', "the over lap's band reaches 38 mm: there it lies under no "
         "closure. Leave the layer out, or begin at less than 38 mm."),
        ('across = ["38 mm", "60 mm"]', "the over lap's band reaches 38 mm: there it lies under no closure. Write on = "
         '"under", or begin at less than 38 mm.'),
        ('along = ["30 mm", "30 mm"]', "[[layer]] 2 along: it begins where it ends, and lies nowhere."),
        ('across = ["0 mm", "0 mm"]', "[[layer]] 2 across: it begins where it ends, and lies nowhere."),
    ],
)  # fmt: skip
def test_layer_that_lies_nowhere_on_a_lap_is_refused(layer, told):
    assert told in refusal_of(PLAN + layer)


@pytest.mark.parametrize(
    "layer",
    [
        'along = ["399.9 mm", "480 mm"]',
        'across = ["37.9 mm", "60 mm"]',
        'across = ["49.9 mm", "60 mm"]\non = "under"',
    ],
)
def test_layer_that_begins_on_the_lap_is_taken(layer):
    assert refusal_of(PLAN + layer) == ""


def test_layer_off_the_row_is_refused_in_the_figures_of_the_plan_whichever_cloth_it_tells():
    for measured in ("washed", "unwashed"):
        told = refusal_of(PLAN + 'along = ["460 mm", "480 mm"]\n' + WASH.format(measured))
        assert "begins 460 mm along, and the over lap's closing line is 400 mm long" in told
        assert refusal_of(PLAN + 'along = ["399 mm", "480 mm"]\n' + WASH.format(measured)) == ""


def test_layers_off_the_row_are_told_together():
    both = refusal_of(PLAN + 'along = ["460 mm", "480 mm"]\n[[layer]]\nthickness = 1\nacross = ["60 mm", "70 mm"]')
    assert both.count("\n") == 1
    assert "[[layer]] 2 along" in both and "[[layer]] 3 across" in both


def test_layer_past_the_end_of_a_strap_is_refused():
    told = refusal_of(BELT + 'across = ["5000 mm", "5010 mm"]')
    assert "[[layer]] 1 across: it begins 5000 mm from the tip, and the over end is " in told
    assert refusal_of(BELT + 'across = ["0 mm", "20 mm"]') == ""


def test_what_lies_off_the_line_is_told_all_at_once_whatever_tells_it():
    """Fixed places, clear zones, single closures and layers know nothing of each other: one run names every fault."""
    told = refusal_of(
        PLAN
        + 'along = ["460 mm", "480 mm"]\n'
        + '[[anchor]]\nname = "waist"\nlevel = "900 mm"\n[[anchor]]\nname = "hip"\nalong = "950 mm"\n'
        + '[[clear]]\nname = "belt"\nlevel = ["800 mm", "820 mm"]\n'
    )
    assert [line.split(",")[1].split(":")[0].strip() for line in told.split("\n")] == [
        '[[anchor]] "waist"', '[[anchor]] "hip"', "[[layer]] 2 along", '[[clear]] "belt"']  # fmt: skip


def test_single_closures_that_are_wrong_are_told_together_and_without_what_follows_from_them():
    one = '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "25 mm"\ninset = "90 mm"\n'
    other = '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "990 mm"\n'
    told = refusal_of(PLAN + one + other + '[[anchor]]\nname = "waist"\nlevel = "900 mm"\n')
    assert [part in told for part in ("[[single]] 1:", "[[single]] 2:", '[[anchor]] "waist"')] == [True] * 3
    assert told.count("\n") == 2
