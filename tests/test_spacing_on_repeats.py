"""The best row on given places, against every row there is."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.errors import SpacingError
from closures.spacing import Anchor, Clear, Wish
from closures.spacing.best import best_spacing
from closures.spacing.odd_gap import with_wide_first_gap
from closures.spacing.repeats import best_on_places

SAME = 1e-5


def keeps(wish: Wish, row: tuple[float, ...]) -> bool:
    gaps = [b - a for a, b in pairwise(row)]
    return (
        wish.first[0] - SAME <= row[0] <= wish.first[1] + SAME
        and wish.last[0] - SAME <= wish.length_mm - row[-1] <= wish.last[1] + SAME
        and all(wish.closest_mm - SAME <= gap <= wish.widest_mm + SAME for gap in gaps)
        and all(min(abs(p - a.at_mm) for p in row) <= a.within_mm + SAME for a in wish.anchors)
        and not any(z.low_mm + SAME < p < z.high_mm - SAME for z in wish.clear for p in row)
        and (wish.count is None or len(row) == wish.count)
        and (len(row) > 1 or wish.length_mm <= wish.widest_mm)
    )


def goodness(wish: Wish, row: tuple[float, ...]) -> tuple[float, ...]:
    """Give departure (with no gap the whole line is the gap), spread and shift; without a pitch the last two."""
    gaps = [b - a for a, b in pairwise(row)]
    spread = max(gaps) - min(gaps) if gaps else 0.0
    shift = max((min(abs(p - a.at_mm) for p in row) for a in wish.anchors), default=0.0)
    if wish.pitch_mm is None:
        return (round(spread, 6), round(shift, 6))
    departure = max(abs(gap - wish.pitch_mm) for gap in gaps or [wish.length_mm])
    # What differs by rounding alone must not decide which row is the best.
    return (round(departure, 6), round(spread, 6), round(shift, 6))


def departures(wish: Wish, row: tuple[float, ...]) -> list[float]:
    """List the departures, largest first, followed by zeros."""
    gaps = [b - a for a, b in pairwise(row)] or [wish.length_mm]
    off = sorted((round(abs(gap - (wish.pitch_mm or 0.0)), 6) for gap in gaps), reverse=True)
    return [*off, *[0.0] * 60][:60]


def order_of_all_rows(wish: Wish, row: tuple[float, ...]) -> tuple[list[float], float, int, tuple[float, ...]]:
    """Give what settles a tie: departures, ends, closures, places; docs/explanation/spacing.md tells the order."""
    first, last = wish.middles
    wanted = (last - first) / (wish.count - 1) if wish.count else wish.pitch_mm or 0.0
    off = sorted((round(abs(b - a - wanted), 6) for a, b in pairwise(row)), reverse=True)
    ends = round((row[0] - first) ** 2 + (row[-1] - last) ** 2, 6)
    return [*off, *[0.0] * 60][:60], ends, -len(row), row


def best_by_trying(wish: Wish, places: list[float]) -> tuple[str, list[float]] | None:
    """Give what decides, and the best of it: the figures, or the list of departures."""
    every = [row for n in range(1, len(places) + 1) for row in combinations(sorted(places), n) if keeps(wish, row)]
    if not every:
        return None
    best = list(min(goodness(wish, row) for row in every))
    if wish.pitch_mm is None or (best[0] <= wish.pitch_mm / 3 + SAME and best[1] <= wish.pitch_mm / 4 + SAME):
        return "figures", best
    return "list", min(departures(wish, row) for row in every)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Wish, list[float]]:
    places = draw(st.lists(st.integers(0, 60).map(lambda n: n * 5.0), min_size=2, max_size=11, unique=True))
    length = 300.0
    anchors = draw(
        st.lists(
            st.builds(Anchor, st.just("a"), st.integers(0, 300).map(float), st.sampled_from([0.0, 12.0, 40.0])),
            max_size=2,
        )
    )
    zones = draw(st.lists(st.integers(0, 280).map(lambda low: Clear("z", float(low), low + 20.0)), max_size=1))
    wish = Wish(
        length_mm=length,
        first=(0.0, draw(st.sampled_from([60.0, 150.0, 290.0]))),
        last=(0.0, draw(st.sampled_from([60.0, 150.0, 290.0]))),
        closest_mm=draw(st.sampled_from([1.0, 15.0])),
        widest_mm=draw(st.sampled_from([math.inf, 120.0])),
        count=draw(st.integers(1, 6)),
        anchors=tuple(anchors),
        clear=tuple(zones),
    )
    if draw(st.booleans()):
        wish = replace(wish, count=None, pitch_mm=draw(st.sampled_from([20.0, 45.0, 70.0])))
    return wish, places


@pytest.mark.long
@settings(max_examples=250, deadline=None)
@given(cases())
def test_row_on_places_is_the_best_of_all_rows(case: tuple[Wish, list[float]]) -> None:
    wish, places = case
    best = best_by_trying(wish, places)
    if best is None:
        with pytest.raises(SpacingError):
            best_on_places(wish, places)
        return
    row = best_on_places(wish, places).positions_mm
    assert keeps(wish, row)
    assert set(row) <= set(places)
    what, figures = best
    found = list(goodness(wish, row)) if what == "figures" else departures(wish, row)
    assert found == pytest.approx(figures, abs=SAME)


@pytest.mark.long
@settings(max_examples=250, deadline=None)
@given(cases())
def test_of_equally_good_rows_on_places_the_one_order_of_all_rows_decides(case: tuple[Wish, list[float]]) -> None:
    wish, places = case
    every = [row for n in range(2, len(places) + 1) for row in combinations(sorted(places), n) if keeps(wish, row)]
    best = best_by_trying(wish, places)
    if not every or best is None or best[0] != "figures" or wish.count == 1:
        return
    row = best_on_places(wish, places).positions_mm
    if len(row) == 1:
        return
    alike = [one for one in every if goodness(wish, one) == tuple(best[1])]
    assert order_of_all_rows(wish, row) == min(order_of_all_rows(wish, one) for one in alike)


@pytest.mark.parametrize("every", [5, 10, 20, 40])
def test_stripes_on_which_the_even_row_lies_leave_it_where_it_was(every: int) -> None:
    wish = Wish(600.0, (20.0, 60.0), (40.0, 120.0), 15.0, count=7)
    expected = pytest.approx([40.0 + 80 * k for k in range(7)])
    assert best_spacing(wish).positions_mm == expected
    assert best_on_places(wish, [float(k) for k in range(0, 601, every)]).positions_mm == expected


def test_row_that_ends_where_another_may_begin_is_kept():
    # 150 lies in both ranges. From 0 to 150 departs by 130; one closure, with the whole line as its gap, by 280.
    wish = Wish(300.0, (0.0, 150.0), (0.0, 150.0), 1.0, pitch_mm=20.0)
    assert best_on_places(wish, [0.0, 150.0]).positions_mm == (0.0, 150.0)


def test_of_rows_that_depart_alike_the_one_nearer_to_the_middle_of_the_last_range_is_kept():
    # Gaps of 40 and of 140 both depart from 90 by 50; 160 and 60 are left at the end, and 90 is the middle.
    wish = Wish(200.0, (0.0, 0.0), (0.0, 180.0), 1.0, pitch_mm=90.0)
    assert best_on_places(wish, [0.0, 40.0, 140.0]).positions_mm == (0.0, 140.0)


def test_departure_of_just_a_third_of_the_pitch_can_look_even_whatever_the_rounding():
    # Rows of 30 and of 60 mm both depart from 45 by 15, a third; from 35.79 on, the sums are off by 1e-14 mm.
    wish = Wish(200.0, (0.0, 60.0), (0.0, 30.0), 1.0, pitch_mm=45.0)
    for begin in (35.0, 35.792939856926935):
        assert best_on_places(wish, [begin + 30 * k for k in range(-1, 6)]).spread_mm == pytest.approx(0.0, abs=1e-9)


def test_row_of_equally_even_ones_is_the_one_nearest_to_its_anchor():
    # One gap is as even as another: 0 to 240 misses the anchor by 3, 5 to 240 by 2.
    wish = Wish(300.0, (0.0, 60.0), (0.0, 60.0), 1.0, count=2, anchors=(Anchor("a", 3.0, 12.0),))
    assert best_on_places(wish, [0.0, 5.0, 240.0]).positions_mm == (5.0, 240.0)


@pytest.mark.parametrize(
    ("count", "expected"),
    [
        # 24 + 32 k up to 600: seven closures over 18 repeats stand three repeats, 96 mm, apart.
        pytest.param(7, [24 + 96 * k for k in range(7)], id="three repeats apart"),
        pytest.param(10, [24 + 64 * k for k in range(10)], id="two repeats apart"),
    ],
)
def test_row_on_even_repeats_is_even_where_that_can_be(count: int, expected: list[float]) -> None:
    wish = Wish(620.0, (10.0, 60.0), (20.0, 90.0), 12.0, count=count)
    assert best_on_places(wish, [24.0 + 32 * k for k in range(19)]).positions_mm == pytest.approx(expected)


def test_anchor_off_the_repeats_is_refused_with_the_nearest() -> None:
    wish = Wish(620.0, (10.0, 60.0), (20.0, 90.0), 12.0, count=7, anchors=(Anchor("bust", 230.0, 5.0),))
    with pytest.raises(SpacingError, match=r"anchor bust lies 14\.00 mm from the nearest repeat"):
        best_on_places(wish, [24.0 + 32 * k for k in range(19)])


def test_too_many_places_are_refused() -> None:
    wish = Wish(5000.0, (0.0, 10.0), (0.0, 10.0), 1.0, count=2)
    with pytest.raises(SpacingError, match="too many"):
        best_on_places(wish, [float(n) for n in range(5000)])


EVEN = Wish(620.0, (10.0, 10.0), (20.0, 20.0), 12.0, count=8)


def test_wide_first_gap_keeps_the_ends_and_all_other_gaps_alike() -> None:
    # (590 - 9) / 7 = 83 mm, and 83 + 9 = 92 mm for the first.
    row = with_wide_first_gap(EVEN, best_spacing(EVEN), 9.0)
    assert row.gaps_mm == pytest.approx([92.0, *[83.0] * 6])
    assert (row.positions_mm[0], row.positions_mm[-1]) == (10.0, 600.0)


@pytest.mark.parametrize(
    ("wish", "told"),
    [
        pytest.param(replace(EVEN, widest_mm=90.0), "wider than the widest", id="too wide"),
        pytest.param(replace(EVEN, closest_mm=83.5), "closer than the closest", id="too close"),
        pytest.param(
            replace(EVEN, anchors=(Anchor("waist", 10 + 590 / 7, 1.0),)), "anchor waist would be missed", id="anchor"
        ),
        pytest.param(replace(EVEN, clear=(Clear("belt", 100.0, 104.0),)), "clear zone belt", id="zone"),
        pytest.param(replace(EVEN, count=3), "too few", id="few"),
        pytest.param(replace(EVEN, anchors=(Anchor("waist", 100.0),)), "differ already", id="uneven"),
    ],
)
def test_wide_first_gap_that_breaks_a_rule_is_refused(wish: Wish, told: str) -> None:
    with pytest.raises(SpacingError, match=told):
        with_wide_first_gap(wish, best_spacing(wish), 9.0)


def test_anchor_met_at_the_very_end_of_its_reach_is_met_whatever_the_rounding() -> None:
    places = [24.0 * n + 4e-14 * n for n in range(1, 25)]
    wish = Wish(620.0, (15.0, 60.0), (40.0, 110.0), 16.16, count=14, anchors=(Anchor("chest", 165.0, 3.0),))
    row = best_on_places(wish, places)
    assert len(row.positions_mm) == 14
    assert min(abs(place - 165) for place in row.positions_mm) == pytest.approx(3.0)
