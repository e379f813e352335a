"""What two parts of a plan tell of one thing must agree: what does not is refused in words, with a way to mend it."""

from __future__ import annotations

import pytest

from closures.app.job import place_plan
from closures.errors import ClosureError
from closures.plan.reading import read_plan

SHIRT = """
title = "Teasel shirt"
[edge]
straight = "500 mm"
[garment]
opens = "front"
{garment}
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "2.5 mm"
{closure}
[spacing]
{first}
last = "60 mm"
count = 6
{more}
"""


def placed(garment: str = "", closure: str = "", more: str = "", first: str = 'first = "40 mm"'):
    text = SHIRT.format(garment=garment, closure=closure, more=more, first=first)
    return place_plan(read_plan(text.encode(), "shirt.toml")).placement


def shrinks(measured: str) -> str:
    return f'[shrinkage]\nalong = "4 %"\nmeasured = "{measured}"\n'


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
@pytest.mark.parametrize(
    ("washing", "told"),
    [("washed", "is washed already"), ("to be washed", "is to be washed before"), ("never", "is never washed")],
)
def test_cloth_whose_washing_is_told_does_not_shrink_as_well(washing: str, told: str, measured: str):
    with pytest.raises(ClosureError, match=f"the cloth {told}.*leave \\[shrinkage\\] out"):
        placed(f'washing = "{washing}"', more=shrinks(measured))
    assert placed(f'washing = "{washing}"').plan.shrinkage is None
    assert placed(more=shrinks(measured)).plan.shrinkage is not None


def test_a_finished_garment_that_was_measured_washed_shrinks_no_more():
    with pytest.raises(ClosureError, match=r'state = "finished".*Leave \[shrinkage\] out'):
        placed('state = "finished"', more=shrinks("washed"))
    assert placed('state = "finished"', more=shrinks("unwashed")).plan.shrinkage is not None


def test_the_hole_of_a_stand_runs_one_way():
    stand = '[stand]\nheight = "32 mm"\nhole = "{}"\n[[differs]]\nat = "stand"\nhole = "along"\n'
    plan = {"more": stand.format("across")}
    with pytest.raises(ClosureError, match=r"told to run along, and \[stand\] tells that it runs across"):
        placed(**plan, first="")
    placed(more=stand.format("along"), first="")


@pytest.mark.parametrize(("kind", "size"), [("plastic snap", "20"), ("prong snap", "16 L")])
def test_a_single_closure_that_would_show_is_not_hidden(kind: str, size: str):
    single = f'[[single]]\nkind = "{kind}"\nsize = "{size}"\nalong = "200 mm"\n'
    with pytest.raises(ClosureError, match=rf"a {kind} goes through the lap.*sewn to the inside"):
        placed(more=f"{single}hidden = true\n")
    placed(more=single)


@pytest.mark.parametrize(("kind", "size"), [("tack button", "22 L"), ("eyelet", "5.5 mm")])
def test_what_is_driven_or_spread_from_the_face_that_shows_is_not_hidden(kind: str, size: str):
    single = f'[[single]]\nkind = "{kind}"\nsize = "{size}"\nalong = "200 mm"\nhidden = true\n'
    with pytest.raises(ClosureError, match=rf"an? {kind} goes through the lap.*sewn to the inside"):
        placed(more=single)


GAUGE = '[gauge]\nstitches = 22\nrows = 30\nline = "band rows"\n'
BANDS = '[bands]\nallowance = "10 mm"\n'


@pytest.mark.parametrize(
    ("told", "what"),
    [
        pytest.param({"closure": "bound = true", "more": GAUGE}, "knitted in, and .* bound with cloth", id="bound"),
        pytest.param({"garment": 'state = "finished"', "more": GAUGE}, "its band is to be knitted", id="knitted"),
        pytest.param({"garment": 'state = "finished"', "more": BANDS}, "bands to cut are asked for", id="cut"),
        pytest.param({"more": BANDS + GAUGE}, "bands to cut from cloth are asked for", id="both"),
    ],
)
def test_a_band_is_made_in_one_way_and_once(told: dict[str, str], what: str):
    with pytest.raises(ClosureError, match=f"{what}.*Leave"):
        placed(**told)


@pytest.mark.parametrize("more", [GAUGE, BANDS])
def test_a_band_that_is_told_once_is_read(more: str):
    text = SHIRT.format(garment='state = "cut pieces"', closure="", more=more, first='first = "40 mm"')
    assert read_plan(text.encode(), "shirt.toml").state == "cut pieces"
