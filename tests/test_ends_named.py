"""Names of ends whose order on the body is known: rows begin at the upper one, and what says otherwise is refused."""

from __future__ import annotations

import pytest

from closures.app.job import check_plan
from closures.errors import ClosureError, PlanError
from closures.plan.ends import (
    begins_at_neck,
    closes_a_neck,
    is_below_neck,
    is_bust,
    is_neck,
    is_stand,
    may_be_neck,
    runs_upwards,
)
from closures.plan.reading import read_plan

# A front drawn as its line alone, from the neck at the top down, and from the hem up.
SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">'
    b'<path id="down" d="M 150 30 C 158 200 142 450 150 670"/><path id="up" d="M 150 670 C 142 450 158 200 150 30"/></svg>'
)


def plan(edge: str, ends: str, first: int, last: int, more: str = "", opens: str = "front") -> str:
    drawing = 'drawing = "f.svg"\n' if "path" in edge else ""
    spacing = f'last = "{last} mm"' if "[stand]" in more else f'first = "{first} mm"\nlast = "{last} mm"'
    return (
        f'{drawing}[edge]\n{edge}\n[garment]\nopens = "{opens}"\npieces = "pair"\nends = {ends}\n[band]\n'
        'width = "32 mm"\ninset = "16 mm"\nunder_inset = "16 mm"\nlap = "right over left"\ncut = "shaped"\n[closure]\n'
        f'kind = "sew-through button"\nsize = "18 L"\nthickness = "3 mm"\n[spacing]\n{spacing}\ncount = 7\n{more}'
    )


def answer(text: str):
    return check_plan(read_plan(text.encode(), "plan.toml"), {"f.svg": SVG})


@pytest.mark.parametrize("edge", ['path = "down"', 'path = "up"', 'straight = "640 mm"'])
def test_a_row_that_is_told_from_the_hem_up_is_refused_with_what_to_write(edge: str) -> None:
    with pytest.raises(PlanError, match=r"\[garment\] ends: the hem lies lower on the body than the neck") as refused:
        answer(plan(edge, '["hem", "neck"]', 110, 22))
    assert 'Write ends = ["neck", "hem"], and exchange first and last' in str(refused.value)
    assert "write reverse = true under [edge]" in str(refused.value)


def test_what_the_refusal_says_gives_one_row_however_the_edge_was_drawn() -> None:
    """The wearer's right front lies on the viewer's left: its cloth is left of the edge as drawn, whichever way it is."""
    rows = [
        answer(plan('path = "down"', '["neck", "hem"]', 22, 110)),
        answer(plan('path = "up"\nreverse = true', '["neck", "hem"]', 22, 110)),
    ]
    for found in rows:
        assert not [one for one in found.findings if one.rule == "ends" and one.result != "pass"]
        top, *_, low = found.placement.marks
        assert top.y_mm == pytest.approx(30 + 22, abs=1.0) and low.y_mm == pytest.approx(670 - 110, abs=1.0)
        assert all(mark.x_mm < 150 for mark in (top, low))


@pytest.mark.parametrize(
    ("ends", "refused"),
    [
        (("hem", "neck"), True),
        (("Hem", "back neck"), True),
        (("lower end", "top"), True),
        (("waist", "neck"), True),
        (("hem", "waist"), True),
        (("waist", "armhole"), True),
        (("lower edge", "upper edge"), True),
        (("hip", "waist"), True),
        (("hem", "hood"), True),
        (("waist", "hood"), True),
        (("ankle", "knee"), True),
        (("knee", "thigh"), True),
        (("hood", "hem"), False),
        (("hood", "neck"), False),
        (("neck", "hood"), False),
        (("knee", "ankle"), False),
        (("crotch", "ankle"), False),
        (("neck", "hem"), False),
        (("waist", "hem"), False),
        (("crossing", "waist"), False),
        (("lapel", "hem"), False),
        (("first end", "last end"), False),
        (("hem", "bottom"), False),
        (("cuff", "elbow"), False),
        (("lower waist", "neck"), False),
    ],
)
def test_every_pair_of_names_with_a_known_order_is_held_to_it(ends: tuple[str, str], refused: bool) -> None:
    assert runs_upwards(ends) is refused


@pytest.mark.parametrize(("opens", "refused"), [("back", True), ("left side", True), ("flat", False)])
def test_only_what_runs_down_the_body_has_an_upper_end(opens: str, refused: bool) -> None:
    lap = {"back": "right over left", "left side": "front over back", "flat": "upper over lower"}[opens]
    told = plan('straight = "640 mm"', '["hem", "neck"]', 110, 22, opens=opens).replace("right over left", lap)
    if opens == "flat":
        told = told.replace("[band]", "[band]\n# cloth\n").replace(
            'straight = "640 mm"', 'straight = "640 mm"\ncloth = "left"'
        )
    if refused:
        with pytest.raises(ClosureError, match="lies lower on the body"):
            answer(told)
    else:
        assert answer(told).placement.laps.garment.ends == ("hem", "neck")


@pytest.mark.parametrize(("first", "refused"), [("waist", True), ("lapel", True), ("neck", False), ("front", False)])
def test_a_stand_is_sewn_to_a_neck(first: str, refused: bool) -> None:
    told = plan('straight = "640 mm"', f'["{first}", "hem"]', 0, 100, '[stand]\nheight = "32 mm"\n')
    assert is_below_neck(first) is refused
    if refused:
        with pytest.raises(
            PlanError, match=rf"\[stand\]: the edge begins at the {first}, and a stand is sewn to a neck"
        ):
            answer(told)
    else:
        assert answer(told).placement.laps.garment.ends == ("stand's top", "hem")


@pytest.mark.parametrize("first", ["shoulder", "yoke", "yoke seam", "bust"])
def test_a_stand_is_not_sewn_to_what_lies_just_below_a_neck(first: str) -> None:
    """A collar's stand is sewn to the neckline, and a front that begins at a yoke's seam has none (common practice)."""
    assert is_below_neck(first)
    told = plan('straight = "640 mm"', f'["{first}", "hem"]', 0, 100, '[stand]\nheight = "32 mm"\n')
    with pytest.raises(PlanError, match=rf"the edge begins at the {first}, and a stand is sewn to a neck"):
        answer(told)
    assert not any(is_below_neck(name) for name in ("neck", "neckline", "collar", "hood", "top"))


# Which of the questions a name answers with yes.
@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("neck", "neck, maybe, begins"),
        ("Neckline", "neck"),
        ("collar 2", "neck, stand"),
        ("collar2", "neck, stand"),
        ("stand's top", "begins, stand"),
        ("neckband", "stand"),
        ("first end", "maybe"),
        ("lapel", "begins"),
        ("Bust point", "bust"),
        ("apex", "bust"),
        ("hem", ""),
        ("standard hem", ""),
    ],
)
def test_a_name_tells_the_same_of_the_body_wherever_it_is_asked(name: str, told: str) -> None:
    asked = {"neck": is_neck, "maybe": may_be_neck, "begins": begins_at_neck, "stand": is_stand, "bust": is_bust}
    assert ", ".join(word for word, ask in asked.items() if ask(name)) == told


@pytest.mark.parametrize(
    ("ends", "is_told"),
    [
        (("neck", "lower edge"), True),
        (("top", "Collar seam"), True),
        (("upper", "lower"), False),
        (("waist", "hem"), False),
    ],
)
def test_a_short_edge_closes_a_neck_by_either_end(ends: tuple[str, str], is_told: bool) -> None:
    assert closes_a_neck(ends) is is_told
