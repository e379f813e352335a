"""A thickness that no button of its width has is refused: the buttonhole would be as much too long (common practice)."""

from __future__ import annotations

import pytest

from closures.app.job import check_plan
from closures.errors import ClosureError
from closures.plan.reading import read_plan


def plan(kind: str, size: str, thickness: str, more: str = "") -> bytes:
    return (
        '[edge]\nstraight = "640 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "50 mm"\nlap = "right over left"\n'
        f'[closure]\nkind = "{kind}"\nsize = "{size}"\nthickness = "{thickness}"\n[spacing]\nfirst = "60 mm"\n'
        f'last = "100 mm"\ncount = 7\n{more}'
    ).encode()


# 18 L is 11.43 mm across (V-B-871F: 0.635 mm to the line), half of it 5.715 mm; 40 L is 25.4 mm.
@pytest.mark.parametrize(
    ("kind", "size", "thickness", "refused"),
    [
        ("sew-through button", "18 L", "5.7 mm", False),
        ("sew-through button", "18 L", "5.72 mm", True),
        ("sew-through button", "18 L", "40 mm", True),
        ("sew-through button", "40 L", "12.7 mm", False),
        ("sew-through button", "40 L", "13 mm", True),
        ("shank button", "18 L", "11.4 mm", False),
        ("shank button", "18 L", "11.5 mm", True),
    ],
)
def test_a_button_is_no_thicker_than_one_of_its_width(kind: str, size: str, thickness: str, refused: bool) -> None:
    text = plan(kind, size, thickness)
    if not refused:
        assert check_plan(read_plan(text, "p.toml")).placement.fastener.kind == kind
        return
    with pytest.raises(ClosureError, match=r"\[closure\] thickness: .* mm across is told to be") as told:
        check_plan(read_plan(text, "p.toml"))
    assert "Measure its thickness again" in str(told.value)
    assert ('kind = "shank button" or kind = "ball button"' in str(told.value)) == (kind == "sew-through button")


def test_the_slip_of_a_point_is_told_with_the_hole_that_it_would_cut() -> None:
    """11.43 + 40 mm (Bulletin 576: diameter and thickness)."""
    with pytest.raises(ClosureError, match=r"its buttonhole would be 51\.4 mm long"):
        check_plan(read_plan(plan("sew-through button", "18 L", "40 mm"), "p.toml"))


def test_a_closure_that_differs_is_held_to_it_where_it_is_told() -> None:
    more = '[[differs]]\nmark = 1\nkind = "sew-through button"\nsize = "16 L"\nthickness = "22 mm"\n'
    with pytest.raises(ClosureError, match=r"\[\[differs\]\] 1 thickness: a button 10\.2 mm across"):
        check_plan(read_plan(plan("sew-through button", "18 L", "3 mm", more), "p.toml"))


# A ball of 11.43 mm, within a tenth of that, 1.143 mm (our own rule): its hole is half its girth, whatever is told.
@pytest.mark.parametrize(
    ("thickness", "refused"),
    [("11.43 mm", False), ("12.57 mm", False), ("10.29 mm", False), ("12.58 mm", True), ("10.28 mm", True),
     ("20 mm", True), ("40 mm", True)],
)  # fmt: skip
def test_a_ball_is_as_thick_as_it_is_wide(thickness: str, refused: bool) -> None:
    text = plan("ball button", "18 L", thickness)
    if not refused:
        assert check_plan(read_plan(text, "p.toml")).placement.fastener.is_ball
        return
    with pytest.raises(ClosureError, match=r"\[closure\] thickness: a ball 11\.4 mm across is told to be") as told:
        check_plan(read_plan(text, "p.toml"))
    assert "Leave thickness out" in str(told.value) and 'write kind = "shank button"' in str(told.value)
    check_plan(read_plan(text.replace(f'thickness = "{thickness}"\n'.encode(), b""), "p.toml"))


@pytest.mark.parametrize(("kind", "told"), [("shank button", "a button"), ("ball button", "a ball")])
def test_a_plan_in_inches_is_told_inches_first(kind: str, told: str) -> None:
    """18 L is 0.45 in, 7/16 in to the nearest sixteenth."""
    text = b'units = "in"\n' + plan(kind, "18 L", "3/4 in")
    with pytest.raises(ClosureError, match=rf"{told} 7/16 in \(11\.4 mm\) across is told to be 3/4 in \(19\.1 mm\)"):
        check_plan(read_plan(text, "p.toml"))
