"""A plan made of options: the same plan as a file's, and faults that name the option."""

import re
from collections.abc import Mapping
from typing import Any

import pytest

from closures.errors import PlanError
from closures.plan.anchors import AnchorWish, ClearWish
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish
from closures.plan.options import OPTIONS, plan_from_options
from closures.plan.reading import read_plan

SMALL: Mapping[str, Any] = {
    "straight": "24 in",
    "band": "1 1/2 in",
    "lap": "right over left",
    "closure": "prong snap",
    "size": "16 L",
    "first": "5/8 in",
    "last": "2 in",
    "count": 8,
}


def test_plan_from_options_equals_the_plan_of_a_file() -> None:
    file = b"""
    title = "Closures"
    [edge]
    straight = "24 in"
    [band]
    width = "1 1/2 in"
    lap = "right over left"
    [closure]
    kind = "prong snap"
    size = "16 L"
    [spacing]
    first = "5/8 in"
    last = "2 in"
    count = 8
    """
    assert plan_from_options(**SMALL) == read_plan(file, "")


def test_plan_from_options_with_every_option_equals_the_plan_of_a_file() -> None:
    file = b"""
    title = "Fern coat"
    units = "in"
    drawing = "front.svg"
    supplies = "pack.toml"
    [edge]
    arc = { length = 24, radius = 17, bows = "in" }
    under = "under-edge"
    line = "closing-line"
    reverse = true
    level_zero = "-40 mm"
    [band]
    width = 1.5
    under_width = 2
    inset = "3/4 in"
    under_inset = 1
    lap = "left over right"
    seen_from = "inside"
    [closure]
    kind = "button"
    size = "24 L"
    cap = "15 mm"
    grip = ["0.5 mm", "1.5 mm"]
    thickness = "3 mm"
    hole = "along"
    halves = "turned"
    spare = 2
    trial = 1
    [spacing]
    first = { from = "1/2 in", to = "3/4 in" }
    last = { from = 1, to = 2 }
    pitch = 3
    widest = "3 1/2 in"
    closest = 1
    """
    made = plan_from_options(
        title="Fern coat",
        units="in",
        drawing="front.svg",
        supplies="pack.toml",
        arc="24",
        radius="17",
        bows="in",
        under="under-edge",
        line="closing-line",
        reverse=True,
        level_zero="-40 mm",
        band="1.5",
        under_band="2",
        inset="3/4 in",
        under_inset="1",
        lap="left over right",
        seen_from="inside",
        closure="button",
        size="24 L",
        cap="15 mm",
        grip="0.5 mm to 1.5 mm",
        thickness="3 mm",
        hole="along",
        halves="turned",
        spare=2,
        trial=1,
        first="1/2 in to 3/4 in",
        last="1 to 2",
        pitch="3",
        widest="3 1/2 in",
        closest="1",
    )
    assert made == read_plan(file, "")


def test_plan_from_options_without_a_title_is_called_closures() -> None:
    made = plan_from_options(**SMALL)
    assert (made.title, made.where) == ("Closures", "")


@pytest.mark.parametrize(
    ("text", "anchor"),
    [
        ("bust point @ 9 1/4 in", AnchorWish("bust point", level_mm=234.95)),
        ("bust point@235", AnchorWish("bust point", level_mm=235.0)),
        ("yoke @ -10 mm", AnchorWish("yoke", level_mm=-10.0)),
        ("waist @ along 16 in", AnchorWish("waist", along_mm=406.4)),
        ("waist @ 16 in within 1/8 in", AnchorWish("waist", level_mm=406.4, within_mm=3.175)),
        ("a @ b @ 3 mm", AnchorWish("a @ b", level_mm=3.0)),
    ],
)
def test_plan_from_options_anchor_is_a_name_at_a_place(text: str, anchor: AnchorWish) -> None:
    assert plan_from_options(**SMALL, units="mm", anchor=[text]).anchors == (anchor,)


def test_plan_from_options_clear_is_a_name_at_a_stretch() -> None:
    made = plan_from_options(**SMALL, units="mm", clear=["belt @ 15 in to 17 in", "pocket @ along 10 to 20"])
    assert made.clear == (
        ClearWish("belt", level_mm=Range(381.0, 431.8)),
        ClearWish("pocket", along_mm=Range(10.0, 20.0)),
    )


@pytest.mark.parametrize(
    ("text", "layer"),
    [
        ("cotton sateen", LayerWish(cloth="cotton sateen")),
        ("2 x cotton sateen", LayerWish(cloth="cotton sateen", count=2)),
        ("3× felt on under", LayerWish(cloth="felt", count=3, on="under")),
        ("0.26 mm", LayerWish(thickness_mm=0.26)),
        ("2 x 0.26 mm on over", LayerWish(thickness_mm=0.26, count=2, on="over")),
        ("4 oz cloth", LayerWish(cloth="4 oz cloth")),
    ],
)
def test_plan_from_options_layer_is_a_cloth_or_a_thickness(text: str, layer: LayerWish) -> None:
    assert plan_from_options(**SMALL, layer=[text]).layers == (layer,)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"band": "1,5 in"}, r"^--band: '1,5 in' is not a length\. Write 1\.5 in"),
        ({"band": None}, r'^--band: it is missing\. Add --band "1 1/2 in"'),
        ({"lap": None}, r'^--lap: it is missing\. Add --lap "right over left"\. .*never guessed'),
        ({"size": None}, r'^--size: it is missing\. Add --size "16 L"'),
        ({"pitch": "3 in"}, r"there are --pitch and --count"),
        ({"count": 5001}, r"^--count: 5001 is too many"),
        ({"straight": None}, r'one of --straight, --arc, --path is needed.* such as --straight "24 in"'),
        (
            {"straight": None, "arc": "9 in", "bows": "in"},
            r'^--radius: it is missing\. Add --radius "420 mm"',
        ),
        ({"straight": None, "radius": "9 in", "bows": "in"}, r'^--arc: it is missing\. Add --arc "600 mm"'),
        ({"straight": None, "path": "edge"}, r'^--path: .*Add --drawing "front\.svg"\.$'),
        ({"first": "2 in to 1 in"}, r"^--first: the range runs backwards"),
        ({"first": "1 in to 2,5 in"}, r"^--first to: '2,5 in' is not a length"),
        ({"grip": "1 mm"}, r'^--grip: .*such as "0\.5 mm to 1\.5 mm"'),
        ({"units": "cm"}, r"^--units: 'cm' is not one of mm, in"),
        ({"anchor": ["bust point"]}, r'^--anchor number 1: .*Write --anchor "bust point @ 9 1/4 in"'),
        ({"anchor": ["a @ 3 mm", "b @ x"]}, r"^--anchor number 2, level: 'x' is not a length"),
        ({"anchor": ["a @ 3 mm within x"]}, r"^--anchor number 1, within: 'x' is not a length"),
        ({"anchor": ["@ 3 mm"]}, r"^--anchor number 1, name: the text is empty"),
        ({"clear": ["belt @ 15 in"]}, r'^--clear number 1, level: .*such as "15 in to 17 in"'),
        ({"clear": ["belt"]}, r'^--clear number 1: .*Write --clear "belt @ 15 in to 17 in"'),
        ({"layer": [""]}, r"^--layer number 1, cloth: the text is empty"),
        ({"layer": ["felt on top"]}, r"^--layer number 1, on: 'top' is not one of"),
        ({"layer": ["0 x felt"]}, r"^--layer number 1, count: 0 is too few"),
    ],
    ids=str,
)
def test_plan_from_options_with_one_thing_wrong_names_the_option(changed: dict[str, Any], told: str) -> None:
    with pytest.raises(PlanError, match=told) as refused:
        plan_from_options(**{**SMALL, **changed})
    assert len(refused.value.faults) == 1, str(refused.value)


def test_plan_from_options_of_nothing_tells_all_that_is_missing() -> None:
    with pytest.raises(PlanError, match="--straight") as refused:
        plan_from_options()
    assert [fault.where for fault in refused.value.faults] == [
        "the edge",
        "--band",
        "--lap",
        "--closure",
        "--size",
    ]


def test_every_option_stands_once_and_says_what_it_is() -> None:
    names = [option.name for option in OPTIONS]
    assert len(set(names)) == len(names)
    for option in OPTIONS:
        assert re.fullmatch(r"--[a-z]+(-[a-z]+)*", option.name)
        assert option.says.endswith("."), option.name


def test_plan_from_options_refuses_an_option_that_is_not_there() -> None:
    with pytest.raises(TypeError, match="no option 'colour'"):
        plan_from_options(colour="red")
