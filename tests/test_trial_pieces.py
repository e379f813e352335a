"""What is drawn on trial pieces beside their closure: the finished edge, or a strap's tip, and how far it lies off."""

from __future__ import annotations

import pytest
from paper_sets import extra_of, groups, words_on

from closures.app.job import Answer, place_plan
from closures.drawing.extras import coupon
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.stack_picture import stack_picture
from closures.drawing.ink.extents import box_of, is_apart
from closures.drawing.ink.shapes import CUT, FINE, INK, Circle, Path, Words
from closures.drawing.paper.piece import Piece
from closures.plan.reading import read_plan

MEETING = """
title = "Edges that meet"
units = "in"
[edge]
straight = "14 in"
[garment]
opens = "front"
edges = "meeting"
[band]
width = "1 1/4 in"
lap = "right over left"
[closure]
kind = "{kind}"
size = "{size}"
[spacing]
first = "1/2 in"
last = "1/2 in"
pitch = "1 1/4 in"
[[layer]]
cloth = "coutil"
count = 2
[sheets]
coupon = true
"""
WAISTBAND = """
title = "Waistband"
[row]
piece = "waistband"
length = "820 mm"
height = "40 mm"
overlap = "45 mm"
allowance = "10 mm"
made = "folded"
lap = "left over right"
[closure]
kind = "hook and bar"
size = "one size"
[[layer]]
cloth = "wool suiting"
count = 2
[sheets]
coupon = true
"""

SNAPS = (
    MEETING.format(kind="sew-on snap", size="2/0")
    .replace('edges = "meeting"', 'pieces = "separate"')
    .replace('width = "1 1/4 in"', 'width = "25 mm"')
    .replace('units = "in"', "")
)


def pieces_of(text: str) -> tuple[Answer, tuple[Piece, ...]]:
    """A plan's answer, and its trial pieces."""
    found = place_plan(read_plan(text.encode(), "plan.toml"))
    drawn = Drawn(found.placement, found.findings, found.catalogue, found.sheets, found.swap)
    return found, coupon.EXTRA.pieces(drawn)


def off_mm(piece: Piece) -> float:
    """How far the line of the edge lies from the closure, towards that side of the piece to which its corner points."""
    (edge,) = (box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == CUT)
    (mark,) = (group for group in groups(piece.items) if str(group.id).startswith("coupon-"))
    (centre,) = (item for item in mark.items if isinstance(item, Circle) and item.role == "centre")
    assert edge[0] == edge[2]
    lines = [one for one in piece.items if isinstance(one, Path) and one.pen not in (CUT, FINE)]
    border, corner = map(box_of, lines[:2])
    way = 1.0 if corner[0] + corner[2] > border[0] + border[2] else -1.0
    return way * (edge[0] - centre.x)


@pytest.mark.parametrize(("kind", "size"), [("hook and eye", "3"), ("loop and ball button", "18 L")])
def test_trial_pieces_of_edges_that_meet_show_both_edges(kind: str, size: str) -> None:
    """An eye stands past its edge and a loop on it: their pieces showed no edge at all."""
    found, pieces = pieces_of(MEETING.format(kind=kind, size=size))
    insets = {lap: found.placement.laps[lap].inset_mm for lap in ("over", "under")}  # type: ignore[index]
    assert min(insets.values()) <= 0.0
    for piece in pieces:
        assert off_mm(piece) == pytest.approx(insets[piece.lap], abs=1e-6)
        assert "finished edge" in [one.text for one in words_on(piece.items)]
    told = extra_of(found, "coupon")[1]
    assert (
        "past it on the piece of the under lap" if kind == "hook and eye" else "on it on the piece of the over lap"
    ) in told


def test_trial_piece_of_a_waistbands_hook_shows_how_far_it_stands_from_the_tip() -> None:
    """A hook and bar takes its stress at the hook: 3.2 mm (1/8 in) from the end, as the sheet has it."""
    found, pieces = pieces_of(WAISTBAND)
    over, under = pieces
    assert off_mm(over) == pytest.approx(found.placement.strap.over[0].from_tip_mm, abs=1e-6)  # type: ignore[union-attr]
    assert {"tip", "3.2 mm"} <= {one.text for one in words_on(over.items)}
    # The bar's tip lies further off than its piece reaches.
    assert "tip" not in {one.text for one in words_on(under.items)}
    told = extra_of(found, "coupon")[1]
    assert "3.2 mm from the closure of the over end" in told


@pytest.mark.parametrize("text", [MEETING.format(kind="hook and eye", size="3"), WAISTBAND])
def test_no_tick_strikes_the_figure_of_a_distance_shorter_than_it(text: str) -> None:
    for piece in pieces_of(text)[1]:
        for figure in words_on(piece.items):
            if figure.text in ("1/8 in", "3.2 mm"):
                x0, _, x1, _ = box_of(figure)
                ticks = [box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == FINE]
                under = [y0 for a, y0, b, y1 in ticks if a == b and y1 - y0 < 5.0 and x0 < a < x1]
                assert under
                # The stroke of a fraction reaches a fifth of its size below the line it stands on.
                assert all(figure.y + 0.2 * figure.size_mm < y0 for y0 in under)


def test_figure_of_a_thin_stack_lies_over_no_other_words() -> None:
    """Upright beside two layers of lawn, 0.32 mm, it struck through the name of the lap."""
    text = MEETING.format(kind="hook and eye", size="3").replace("coutil", "cotton lawn")
    found = place_plan(read_plan(text.encode(), "plan.toml"))
    told = [one for one in stack_picture(found.placement).items if isinstance(one, Words)]
    upright = [one for one in told if one.angle_deg]
    assert [one.text for one in upright] == ["0.32 mm"] * 2
    for one in upright:
        assert all(is_apart(box_of(one), box_of(other)) for other in told if other is not one)


@pytest.mark.parametrize("text", [MEETING.format(kind="hook and eye", size="3"), WAISTBAND, SNAPS])
def test_figure_of_a_distance_stands_clear_of_its_arrow(text: str) -> None:
    for piece in pieces_of(text)[1]:
        heads = [box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == INK]
        for figure in words_on(piece.items):
            if figure.text in ("1/8 in", "3.2 mm", "12.5 mm"):
                x0, _, x1, _ = box_of(figure)
                tops = [
                    y0 for a, y0, b, y1 in heads if a < x1 and b > x0 and y0 > figure.y - 1.0 and y1 < figure.y + 4.0
                ]
                assert all(figure.y < y0 - 0.3 for y0 in tops)
