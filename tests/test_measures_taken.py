"""Measures that nothing made has are refused with the range that is taken: a slip of the unit is no measure."""

import pytest
from told import refusal_of, report_of

from closures.catalogue.loading import load_catalogue

PLAN = """
[edge]
straight = "400 mm"
[band]
width = "38 mm"
lap = "right over left"
[garment]
opens = "front"
{garment}
[closure]
{closure}
[spacing]
first = "15 mm"
last = "15 mm"
count = 5
[[layer]]
thickness = "{layer}"
count = 2
{more}
"""
MEETING = 'edges = "meeting"\n'
BUTTON = 'kind = "sew-through button"\nsize = "18 L"\n'
LOOP = 'kind = "loop and button"\nsize = "18 L"'
LACE = 'kind = "eyelet"\nsize = "5.5 mm"'
SNAP = 'kind = "prong snap"\nsize = "16 L"\n'


def plan(closure: str = BUTTON, garment: str = "", more: str = "", layer: str = "0.3 mm") -> str:
    return PLAN.format(closure=closure, garment=garment, more=more, layer=layer)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (plan(LOOP, MEETING, '[loop]\nsewn = "10 m"'), "[loop] sewn: '10 m' is more than"),
        (plan('kind = "hook and eye"\nsize = "2"', MEETING + 'gap = "40 m"'), "[garment] gap: '40 m' is more than"),
        (plan(LACE, MEETING + 'gap = "4 mm"\ngap_last = "30 m"', "[lacing]"), "[garment] gap_last: '30 m' is more than"),
        (plan(LACE, MEETING, '[lacing]\ntied = "40 m"'), "[lacing] tied: '40 m' is more than"),
        (plan(LACE, MEETING, '[lacing]\nlet_out = "40 m"'), "[lacing] let_out: '40 m' is more than"),
        (plan(BUTTON + 'cap = "0.1 mm"'), "[closure] cap: '0.1 mm' is less than"),
        (plan(BUTTON + 'cap = "1 m"'), "[closure] cap: '1 m' is more than"),
        (plan(BUTTON + 'thickness = "2 m"'), "[closure] thickness: '2 m' is more than"),
        (plan(SNAP + 'grip = ["0.5 mm", "3 m"]'), "[closure] grip: 3000 mm is more than"),
        (plan(layer="3 m"), "[[layer]] 1 thickness: '3 m' is more than"),
        (plan(more='[[differs]]\nmark = 1\nsize = "20 L"\ncap = "0.1 mm"'), "[[differs]] 1 cap: '0.1 mm' is less than"),
        (plan(more='[[single]]\nalong = "9 mm"\nkind = "sew-on snap"\nsize = "1"\ncap = "0.1 mm"'), "[[single]] 1 cap"),
        (plan(more='[column]\napart = "14 m"'), "[column] apart: '14 m' is more than"),
        (plan(more='[stand]\nheight = "3 m"'), "[stand] height: '3 m' is more than"),
    ],
)  # fmt: skip
def test_measure_that_nothing_made_has_is_refused_with_what_is_taken(text, told):
    refused = refusal_of(text)
    assert f"test.toml, {told}" in refused
    assert " mm is taken (our own rule, beyond what is made)." in refused


def test_measure_at_its_bound_is_taken_and_just_past_it_refused():
    for text, is_taken in (("2 mm", True), ("1.99 mm", False), ("120 mm", True), ("120.1 mm", False)):
        assert (refusal_of(plan(BUTTON + f'cap = "{text}"')).count("is taken") == 0) == is_taken


def test_every_closure_of_the_catalogue_may_be_told_as_measured():
    for one in load_catalogue().fasteners:
        for key, figure in (("cap", one.cap), ("grip", None if one.grip is None else one.grip[1])):
            if figure is not None:
                low, high = (2.0, 120.0) if key == "cap" else (0.1, 60.0)
                assert low < figure.value < high, (one.kind, one.size, key)


def test_nothing_between_edges_is_no_slip():
    for garment in ('gap = "0 mm"', 'gap = "500 mm"'):
        assert refusal_of(plan(LACE, MEETING + garment, "[lacing]")) == ""


def test_what_is_taken_of_a_lace_and_of_loops_is_told_in_a_line():
    assumed = report_of(plan(LACE, MEETING, "[lacing]"))["assumed"]
    assert (
        "300 mm of the lace is left to tie at either end (our own rule). To change it: tied under [lacing]." in assumed
    )
    assert not any(
        "left to tie" in one for one in report_of(plan(LACE, MEETING, '[lacing]\ntied = "300 mm"'))["assumed"]
    )
    assumed = report_of(plan(LOOP, MEETING))["assumed"]
    told = (
        "10 mm of each loop's cord is sewn in at either end (our own rule). Its two ends leave the edge together. To "
    )
    assert told + "change it: sewn and feet under [loop]." in assumed
    assert not any("sewn in" in one for one in report_of(plan(LOOP, MEETING, '[loop]\nsewn = "8 mm"'))["assumed"])


@pytest.mark.parametrize(
    ("cap", "told"),
    [
        # 16 lines of 1/40 in are 10.16 mm (Federal Specification V-B-871F).
        ("3 mm", "The prong snap was measured 3 mm across, and one of size 16 L is 10.2 mm"),
        ("20 mm", "The prong snap was measured 20 mm across, and one of size 16 L is 10.2 mm"),
        ("12.6 mm", ""),
        ("8.2 mm", ""),
    ],
)
def test_cap_far_from_what_its_size_is_is_looked_at(cap, told):
    """A slip in it made a narrow band look wide enough, and all checks passed."""
    found = [one for one in report_of(plan(SNAP + f'cap = "{cap}"'))["checks"] if one["rule"] == "measured cap"]
    assert [one["result"] for one in found] == (["warn"] if told else [])
    assert all(one["text"].startswith(told) for one in found)


def test_cap_of_the_old_closures_of_a_swap_is_held_against_their_size_too():
    old = '[swap]\nkind = "sew-on snap"\nsize = "1"\ncap = "19 mm"\nplaces = ["60 mm", "150 mm"]\n'
    found = [one["text"] for one in report_of(plan(SNAP, more=old))["checks"] if one["rule"] == "measured cap"]
    assert len(found) == 1 and found[0].startswith("The old sew-on snap was measured 19 mm across")


@pytest.mark.parametrize(
    ("points", "told"),
    [
        # 140 typed for 14, 41 for 14, and two figures changed over: each the only point off a smooth front.
        ("[[0,0],[150,6],[300,140],[450,14],[600,20]]", "Point 3 of the measured edge lies 130 mm off"),
        ("[[0,0],[150,6],[300,14],[450,41],[600,20]]", "Point 4 of the measured edge lies 24 mm off"),
        ("[[0,0],[150,6],[300,14],[450,14],[600,20]]", ""),
        # A rounded corner, a quarter of a circle, a front that turns at a notch: bends of several points.
        ("[[0,0],[0,200],[10,250],[50,290],[100,300]]", ""),
        ("[[0,0],[38,88],[100,170],[191,241],[300,290]]", ""),
        ("[[0,0],[0,150],[0,300],[60,420],[120,540]]", ""),
    ],
)
def test_point_that_alone_lies_off_a_smooth_edge_is_looked_at(points, told):
    text = plan().replace('straight = "400 mm"', f"points = {points}")
    text = text.replace('lap = "right over left"', 'lap = "right over left"\ncut = "shaped"')
    text = text.replace('opens = "front"', 'opens = "front"\npieces = "pair"')
    found = [one["text"] for one in report_of(text)["checks"] if one["rule"] == "finished edge"]
    assert [one for one in found if one.startswith("Point")] == [one for one in found if told and one.startswith(told)]
    assert any(one.startswith(told) for one in found) if told else not any("Point" in one for one in found)
