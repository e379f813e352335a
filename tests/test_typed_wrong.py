"""Figures that were perhaps typed wrong, and keys that say nothing of what they stand beside: each is told or refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.errors import ClosureError
from closures.plan.reading import read_plan

FRONT = """
[garment]
opens = "front"
[edge]
straight = {straight}
[band]
width = "{width}"
lap = "right over left"
[closure]
kind = "{kind}"
size = "{size}"
{more}
[spacing]
{spacing}
"""


def plan(width="30 mm", kind="prong snap", size="16 L", more="", straight='"600 mm"', spacing="count = 3"):
    text = FRONT.format(width=width, kind=kind, size=size, more=more, straight=straight, spacing=spacing)
    return read_plan(text.encode(), "front.toml")


# 120 mm is our own rule: a facing of one row is hardly ever wider, and 36 cm is 36 mm typed wrong.
@pytest.mark.parametrize(("width", "is_told"), [("120 mm", False), ("120.1 mm", True), ("36 cm", True)])
@pytest.mark.parametrize(("kind", "size"), [("prong snap", "16 L"), ("hook and eye", "2")])
def test_band_wider_than_any_is_looked_at_with_its_figure(width: str, is_told: bool, kind: str, size: str) -> None:
    cap = 'cap = "9 mm"' if kind == "hook and eye" else ""
    findings = check_plan(plan(width=width, kind=kind, size=size, more=cap)).findings
    told = [f.text for f in findings if "seldom wider than 120 mm" in f.text]
    assert len(told) == is_told
    if width == "36 cm":
        assert told[0].startswith("The band is 360 mm wide") and "check width under [band], and its unit" in told[0]


@pytest.mark.parametrize(("apart", "is_told"), [("80 mm", False), ("70 mm", True)])
def test_band_of_two_columns_may_be_wider_by_as_much_as_they_are_apart(apart: str, is_told: bool) -> None:
    column = f'[column]\napart = "{apart}"\n'
    text = (
        FRONT.format(
            width="195 mm", kind="sew-through button", size="24 L", more="", straight='"600 mm"', spacing="count = 3"
        )
        + column
    )
    told = check_plan(read_plan(text.encode(), "front.toml")).findings
    assert bool([f for f in told if "seldom wider" in f.text]) == is_told


@pytest.mark.parametrize("where", ["closure", "differs", "single"])
def test_way_of_a_buttonhole_is_refused_of_a_closure_that_has_none(where: str) -> None:
    more = {
        "closure": 'hole = "across"',
        "differs": '[[differs]]\nmark = 2\nhole = "across"',
        "single": '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "300 mm"\nhole = "across"',
    }[where]
    with pytest.raises(ClosureError, match="a prong snap has no buttonhole that could run across") as refused:
        check_plan(plan(more=more))
    assert "hole" in str(refused.value) and "Leave hole out" in str(refused.value)


def test_bound_is_refused_where_no_closure_of_the_row_has_a_buttonhole() -> None:
    with pytest.raises(ClosureError, match="a prong snap has no buttonhole that could be bound") as refused:
        check_plan(plan(more="bound = true"))
    assert "[closure] bound" in str(refused.value) and "Leave bound out" in str(refused.value)
    assert check_plan(plan(more="bound = false")).placement.marks
    button = '[[differs]]\nmark = 2\nkind = "sew-through button"\nsize = "18 L"\nthickness = "3 mm"'
    assert check_plan(plan(more=f"bound = true\n{button}")).placement.differing


@pytest.mark.parametrize(
    ("layers", "is_refused"),
    [
        pytest.param('[[layer]]\ncloth = "linen"', True, id="one layer"),
        pytest.param('[[layer]]\ncloth = "linen"\n[[layer]]\ncloth = "satin"\non = "under"', True, id="lined beneath"),
        pytest.param('[[layer]]\ncloth = "linen"\ncount = 2', False, id="faced"),
        pytest.param('[[layer]]\nthickness = "1 mm"', False, id="measured, and may be several"),
        pytest.param("", False, id="not told"),
    ],
)
def test_bound_is_refused_in_a_single_layer_that_has_no_facing_to_open(layers: str, is_refused: bool) -> None:
    """UMN576: a bound buttonhole is made before the facing is sewn on, which is opened behind it."""
    button = plan(kind="sew-through button", size="20 L", more=f"bound = true\n{layers}")
    if not is_refused:
        assert check_plan(button).placement.marks
        return
    with pytest.raises(ClosureError, match="a single layer of cloth on the over lap") as refused:
        check_plan(button)
    assert "[closure] bound" in str(refused.value) and "Tell the facing" in str(refused.value)


def test_snap_among_buttons_whose_holes_run_across_is_taken() -> None:
    more = 'hole = "across"\n[[differs]]\nmark = 2\nkind = "prong snap"\nsize = "16 L"'
    assert check_plan(plan(kind="sew-through button", size="18 L", more=more)).placement.differing


def test_number_without_a_unit_among_lengths_in_mm_is_told() -> None:
    assumed = check_plan(plan(straight="600")).placement.assumed
    assert any("though other lengths have their unit: straight = 600 under [edge]" in line for line in assumed)
    assert not any("without a unit" in line for line in check_plan(plan()).placement.assumed)


def test_plan_refused_for_a_number_without_a_unit_names_it() -> None:
    """A front of 24 beside mm is refused for its ends, and no cure of those is any use."""
    with pytest.raises(ClosureError) as refused:
        check_plan(plan(straight="24"))
    assert "other lengths have their unit: straight = 24 under [edge]" in str(refused.value.faults[-1])
    with pytest.raises(ClosureError) as refused:
        check_plan(plan(straight='"24 mm"'))
    assert "unit" not in str(refused.value)


def test_number_without_a_unit_among_inches_is_asked_before_anything_is_placed() -> None:
    """24 beside inches is no 24 mm that nobody wrote: one snap on it would be placed, and every check pass."""
    spacing = 'pitch = "3 in"\nfirst = "5/8 in"\nlast = { from = 1, to = 2 }'
    told = {"width": "30 mm", "kind": "prong snap", "size": "16 L", "more": ""}
    text = FRONT.format(**told, straight="24", spacing=spacing)
    with pytest.raises(ClosureError) as refused:
        check_plan(read_plan(text, "plan.toml"))
    assert [str(fault) for fault in refused.value.faults] == [
        'plan.toml, [edge] straight: 24 has no unit, and other lengths are in inches. Write "24 in" or "24 mm".',
        "plan.toml, [spacing] last: 1 and 2 have no unit, and other lengths are in inches. "
        'Write each with its unit, such as "1 in" or "1 mm".',
    ]
    for units, mm in (("in", 24 * 25.4), ("mm", 24.0)):
        told_units = read_plan(f'units = "{units}"\n{text}', "plan.toml")
        assert told_units.edge.straight_mm == pytest.approx(mm)


BELT_OF_BARE_NUMBERS = """
[belt]
waist = 28
width = 1.5
[closure]
kind = "prong snap"
size = "16 L"
"""


def test_plan_without_any_unit_says_that_its_numbers_were_taken_as_mm() -> None:
    front = FRONT.format(width="30", kind="prong snap", size="16 L", more="", straight="600", spacing="count = 8")
    taken = "No length of the plan has a unit: all are taken as mm."
    bare = front.replace(" mm", "").replace(" in", "")
    assert any(line.startswith(taken) for line in check_plan(read_plan(bare, "plan.toml")).placement.assumed)
    for one in (front.replace("straight = 600", 'straight = "600 mm"'), f'units = "mm"\n{bare}'):
        assert not any(line.startswith(taken) for line in check_plan(read_plan(one, "plan.toml")).placement.assumed)


@pytest.mark.parametrize(
    "text",
    [BELT_OF_BARE_NUMBERS, FRONT.format(width="1", kind="prong snap", size="16 L", more="", straight="24", spacing="")],
)
def test_refusal_of_a_plan_without_any_unit_asks_what_its_numbers_are(text: str) -> None:
    """A belt of 28 mm cannot be, and what would mend such a belt is of no use to who meant 28 in."""
    with pytest.raises(ClosureError) as refused:
        check_plan(read_plan(text.replace('"1"', "1").replace('"24"', "24"), "plan.toml"))
    asked = "plan.toml: no length of the plan has a unit, so all were taken as mm. If they are inches, write units ="
    assert str(refused.value.faults[-1]).startswith(asked), str(refused.value)


def test_inches_in_a_name_are_no_length() -> None:
    named = '[[anchor]]\nname = "3 in"\nalong = "300 mm"\nwithin = "40 mm"'
    assert check_plan(plan(straight="600", more=named)).placement.marks


def test_single_closure_at_the_very_end_of_the_edge_is_written(tmp_path: Path) -> None:
    # Where the band ends a line crosses the closing line at that very mark, and was taken for it.
    files = result_files(place_plan(plan(spacing='count = 1\nfirst = "0 mm"\nlast = "600 mm"')), "a4")
    assert "over.svg" in files
