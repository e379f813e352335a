"""Cutting into pages: no mark in a join, few pages, nothing lost."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.drawing.paper.cuts import KEEP_MM, OVERLAP_MM, Stake, cut_axis, windows
from closures.drawing.paper.frame import EDGE_MM, LEAST_RULE_MM, frame_around, frame_of
from closures.drawing.paper.pages import cut_grid, tiles_of

# ISO 216 and ANSI/ASME Y14.1; the roll's width is common practice.
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0)}


def stakes_at(*places: float, rim_mm: float = 5.0) -> list[Stake]:
    return [Stake(n, at, rim_mm) for n, at in enumerate(places, 1)]


def clearance(line: float, at: float) -> float:
    """From a centre to the join's strip, which ends with the overlap."""
    return max(line - at, at - line - OVERLAP_MM)


def test_short_length_is_not_cut() -> None:
    assert cut_axis(0.0, 100.0, 100.0, stakes_at(50.0)).lines == ()


def test_length_one_over_needs_two_pages() -> None:
    assert len(cut_axis(0.0, 100.01, 100.0, ()).lines) == 1


def test_pages_without_marks_are_alike() -> None:
    pieces = windows(0.0, 1000.0, cut_axis(0.0, 1000.0, 265.0, ()).lines)
    lengths = [high - low for low, high in pieces]
    assert max(lengths) - min(lengths) < OVERLAP_MM + 1.0


def test_join_at_a_mark_moves_away() -> None:
    # Eight closures on 1400 mm at 185.714 mm, on a tile of 277 mm: one of them lies where even
    # pages would meet.
    places = [50 + k * 1300 / 7 for k in range(8)]
    even = cut_axis(0.0, 1400.0, 277.0, ()).lines
    assert any(clearance(line, at) < KEEP_MM for line in even for at in places)
    cuts = cut_axis(0.0, 1400.0, 277.0, stakes_at(*places))
    assert cuts.near == ()
    assert min(clearance(line, at) for line in cuts.lines for at in places) >= KEEP_MM
    assert len(cuts.lines) == len(even)


def test_rims_keep_out_of_joins_where_no_page_is_lost() -> None:
    cuts = cut_axis(0.0, 500.0, 277.0, stakes_at(243.0, rim_mm=15.0))
    (line,) = cuts.lines
    assert clearance(line, 243.0) >= 15.0


def test_words_keep_out_of_joins_where_no_page_is_lost() -> None:
    (line,) = cut_axis(0.0, 500.0, 277.0, (), [(235.0, 255.0)]).lines
    assert line + OVERLAP_MM <= 235.0 or line >= 255.0


def test_words_that_one_join_must_cross_are_spared_by_the_others() -> None:
    # The first join can lie from 92 to 148 and all of that is lettered; the second has room beside its word.
    words = [(60.0, 175.0), (262.0, 272.0)]
    cuts = cut_axis(0.0, 400.0, 160.0, (), words)
    crossed = [any(a < line + OVERLAP_MM and line < b for a, b in words) for line in cuts.lines]
    assert crossed == [True, False]


def test_marks_too_dense_for_a_join_are_named() -> None:
    places = [10.0 + 9.0 * k for k in range(50)]
    cuts = cut_axis(0.0, 460.0, 200.0, stakes_at(*places))
    named = {n for n, at in enumerate(places, 1) if any(clearance(line, at) < KEEP_MM for line in cuts.lines)}
    assert named and set(cuts.near) == named
    # Even so no centre lies on a line: they pass midway between two marks.
    assert min(abs(line - at) for line in cuts.lines for at in places) >= 4.0


@settings(max_examples=200, deadline=None)
@given(
    st.floats(60, 3000),
    st.floats(90, 400),
    st.lists(st.floats(0, 1), min_size=1, max_size=30),
)
def test_cut_axis_loses_nothing_and_keeps_its_word(length: float, room: float, shares: list[float]) -> None:
    stakes = stakes_at(*sorted(share * length for share in shares))
    cuts = cut_axis(0.0, length, room, stakes)
    pieces = windows(0.0, length, cuts.lines)
    assert pieces[0][0] == 0.0 and pieces[-1][1] == length
    for (_, high), (low, _) in pairwise(pieces):
        assert high - low == pytest.approx(OVERLAP_MM)
    assert all(high - low <= room + 1e-6 for low, high in pieces)
    too_near = {s.n for s in stakes for line in cuts.lines if clearance(line, s.at) < KEEP_MM - 1e-9}
    assert too_near == set(cuts.near)


@pytest.mark.parametrize("shelf", [False, True], ids=["column", "shelf"])
@pytest.mark.parametrize("failing", [False, True], ids=["passed", "failed"])
@pytest.mark.parametrize("turned", [False, True], ids=["upright", "turned"])
@pytest.mark.parametrize("paper", PAPERS)
def test_frame_keeps_to_the_printable_paper(paper: str, turned: bool, failing: bool, shelf: bool) -> None:
    width, height = sorted(PAPERS[paper], reverse=turned)
    frame = frame_of(width, height, failing, shelf)
    squares = [(x, y, x + side, y + side) for (x, y), side in ((frame.square_50_at, 50), (frame.square_2_in_at, 50.8))]
    boxes = [frame.corner, frame.head, frame.tile, *squares, *([frame.failure] if frame.failure else [])]
    boxes += [region for region in frame.regions if region[3] > region[1]]
    for k, (x0, y0, x1, y1) in enumerate(boxes):
        assert x0 >= EDGE_MM and y0 >= EDGE_MM and x1 <= width - EDGE_MM + 1e-9 and y1 <= height - EDGE_MM + 1e-9
        for a0, b0, a1, b1 in boxes[k + 1 :]:
            assert x1 <= a0 or a1 <= x0 or y1 <= b0 or b1 <= y0
    assert frame.across_mm >= LEAST_RULE_MM and frame.down_mm >= LEAST_RULE_MM
    assert frame.zero[0] + frame.across_mm <= width - EDGE_MM
    assert frame.zero[1] + frame.down_mm <= height - EDGE_MM


@pytest.mark.parametrize("size", [(1.0, 1.0), (90.0, 1500.0), (1500.0, 90.0)], ids=str)
def test_frame_around_holds_its_drawing(size: tuple[float, float]) -> None:
    frame = frame_around(size, 60.0, True)
    assert frame.tile[2] - frame.tile[0] >= size[0] - 1e-9
    assert frame.tile[3] - frame.tile[1] >= size[1] - 1e-9
    assert min(frame.across_mm, frame.down_mm) >= LEAST_RULE_MM


def test_grid_leaves_empty_pages_out() -> None:
    # Along the top and down the right: the lower left holds nothing.
    pieces = [(0.0, 0.0, 300.0, 20.0), (280.0, 0.0, 300.0, 300.0)]
    grid = cut_grid((0.0, 0.0, 300.0, 300.0), (180.0, 180.0), (), (), pieces)
    assert set(grid.cells) == {(0, 0), (1, 0), (1, 1)}


def test_grid_of_corners_only_keeps_the_pages_between() -> None:
    pieces = [(0.0, 0.0, 20.0, 20.0), (280.0, 280.0, 300.0, 300.0)]
    grid = cut_grid((0.0, 0.0, 300.0, 300.0), (180.0, 180.0), (), (), pieces)
    assert len(grid.cells) == 4


def test_tiles_share_each_join_letter_and_ring_with_one_neighbour() -> None:
    pieces = [(0.0, 0.0, 300.0, 300.0)]
    tiles = tiles_of(cut_grid((0.0, 0.0, 300.0, 300.0), (180.0, 180.0), (), (), pieces), (), pieces)
    assert [tile.name for tile in tiles] == ["A1", "A2", "B1", "B2"]
    by_letter: dict[str, list[tuple[str, str, float, object]]] = {}
    for tile in tiles:
        for join in tile.joins:
            by_letter.setdefault(join.letter, []).append((tile.name, join.other, join.at_mm, join.rings))
    assert len(by_letter) == 4
    for (one, other, at, rings), (two, back, at_too, rings_too) in by_letter.values():
        assert (one, other) == (back, two) and at == at_too and rings == rings_too
