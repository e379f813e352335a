"""The best row on given places, against every row there is."""

from __future__ import annotations

import math
import random
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
from closures.spacing.wish import Apart, Rooms

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
    if wish.count is None and max(off, default=0.0) <= (wish.pitch_mm or 0.0) / 3 and goodness(wish, row)[1] < 1e-6:
        off = []
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


def own_zones(rooms: Rooms, row: tuple[float, ...], anchors: tuple[Anchor, ...]) -> list[tuple[Clear, ...]]:
    """What is closed to each closure of a row, read off its words: of those that tell of one the last counts."""
    closed = []
    for n in range(1, len(row) + 1):
        own = rooms.clear
        for one in rooms.apart:
            met = [a for a in anchors if a.name == one.anchor]
            nearest = [min(range(len(row)), key=lambda k: (abs(row[k] - a.at_mm), k)) + 1 for a in met]
            if n in one.marks or n - len(row) - 1 in one.marks or n in nearest:
                own = one.clear
        closed.append(own)
    return closed


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", range(150))
def test_row_on_places_whose_closures_keep_off_by_unlike_amounts_is_the_best_of_all_rows(seed: int) -> None:
    """Every subset of the places is tried, each mark held off by its own; the same order of goodness as without."""
    rng = random.Random(seed)
    places = sorted(rng.sample([n * 5.0 for n in range(61)], rng.randint(5, 11)))
    tight = tuple(
        Clear(f"z{n}", low, low + rng.uniform(4, 25))
        for n in range(rng.choice([1, 2]))
        for low in [rng.uniform(0, 270)]
    )

    def by(mm: float) -> tuple[Clear, ...]:
        return tuple(Clear(zone.name, zone.low_mm - mm, zone.high_mm + mm) for zone in tight)

    anchors = tuple(
        Anchor(name, rng.uniform(20, 280), rng.choice([12.0, 40.0])) for name in ("a", "b")[: rng.choice([0, 1, 1, 2])]
    )
    small, sizes = by(rng.choice([0.0, 4.0])), [by(rng.choice([6.0, 12.0, 25.0])) for _ in range(3)]
    apart = [Apart((rng.choice([1, 2, 3, -1, -2]),), None, its) for its in sizes[: rng.choice([0, 1, 2])]]
    apart += [Apart((), anchor.name, sizes[2]) for anchor in anchors[: rng.choice([0, 1, 2])]]
    rooms = Rooms(small, tuple(apart) or (Apart((2,), None, sizes[0]),))
    ends = [(0.0, rng.choice([60.0, 150.0, 290.0])) for _ in range(2)]
    wish = Wish(
        300.0, ends[0], ends[1], rng.choice([1.0, 15.0]), rng.choice([math.inf, 120.0]), anchors=anchors, clear=small
    )
    kind = rng.choice(["pitch", "count", "both"])
    wish = replace(
        wish,
        pitch_mm=rng.choice([20.0, 45.0, 70.0]) if kind != "count" else None,
        count=rng.randint(1, 6) if kind != "pitch" else None,
        rooms=rooms,
    )
    every = [
        row
        for n in range(1, len(places) + 1)
        for row in combinations(places, n)
        if keeps(replace(wish, clear=()), row)
        and not any(
            z.low_mm + SAME < p < z.high_mm - SAME
            for p, zones in zip(row, own_zones(rooms, row, anchors), strict=True)
            for z in zones
        )
    ]
    if not every:
        with pytest.raises(SpacingError):
            best_on_places(wish, places)
        return
    row = best_on_places(wish, places).positions_mm
    assert row in every
    best = min(goodness(wish, one) for one in every)
    looks_even = wish.pitch_mm and best[0] <= wish.pitch_mm / 3 + SAME and best[1] <= wish.pitch_mm / 4 + SAME
    if wish.count is not None or looks_even:
        assert goodness(wish, row) == pytest.approx(best, abs=SAME)
    else:
        assert departures(wish, row) == pytest.approx(min(departures(wish, one) for one in every), abs=SAME)


def in_order(wish: Wish, ours: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Whether one row comes no later than another in the documented order; lists differ by more than 0.01 mm or not."""
    mine, theirs = order_of_all_rows(wish, ours), order_of_all_rows(wish, other)
    for a, b in zip(mine[0], theirs[0], strict=True):
        if abs(a - b) > 0.01:
            return a < b
    if abs(mine[1] - theirs[1]) > 1e-5 or mine[2] != theirs[2]:
        return (mine[1] if abs(mine[1] - theirs[1]) > 1e-5 else 0, mine[2]) < (
            theirs[1] if abs(mine[1] - theirs[1]) > 1e-5 else 0,
            theirs[2],
        )
    return next((a < b for a, b in zip(ours, other, strict=True) if abs(a - b) > 1e-5), True)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", [13, 142, 175, 189, 616, 654, *range(40)])
def test_row_that_lies_anywhere_comes_no_later_than_one_on_half_millimetres_that_is_as_good(seed: int) -> None:
    """Symmetrical wishes, in which ties are common: of equal gaps the ends decide, then more closures."""
    rng = random.Random(seed)
    long = rng.choice([40.0, 48.0, 60.0])
    first = rng.choice([(0.0, 0.0), (0.0, 6.0), (2.0, 10.0), (0.0, 12.0)])
    is_even = rng.random() < 0.7
    last = first if is_even else rng.choice([(0.0, 0.0), (0.0, 6.0), (2.0, 10.0)])
    kind = rng.choice(["count", "count", "pitch", "both"])
    zones, anchors = [], []
    for _ in range(rng.choice([0, 1, 1, 2])):
        low, wide = float(rng.randint(3, int(long) // 2)), float(rng.randint(1, 8))
        zones.append(Clear("z", low, low + wide))
        zones += [Clear("y", long - low - wide, long - low)] * is_even
    if rng.random() < 0.4:
        at, within = float(rng.randint(3, int(long) // 2)), float(rng.choice([0, 2, 5]))
        anchors.append(Anchor("a", at, within))
        if is_even and rng.random() < 0.5:
            anchors.append(Anchor("b", long - at, within))
    pitch = float(rng.choice([6, 8, 10, 12])) if kind != "count" else None
    count = rng.randint(2, 6) if kind != "pitch" else None
    wish = Wish(long, first, last, 2.0, math.inf, pitch, count, tuple(anchors), tuple(zones))
    try:
        other = best_on_places(wish, [k / 2 for k in range(int(2 * long) + 1)]).positions_mm
    except SpacingError:
        return
    row = best_spacing(wish).positions_mm
    if len(row) > 1 and len(other) > 1 and goodness(wish, row) == pytest.approx(goodness(wish, other), abs=1e-6):
        assert in_order(wish, row, other), (row, other)


@pytest.mark.parametrize(("at", "zones"), [(50, ((16, 24), (76, 84))), (48, ((14, 22), (74, 82)))])
def test_of_two_gaps_as_near_to_the_even_one_the_row_that_begins_nearer_to_the_first_end_is_taken(
    at: int, zones: tuple[tuple[int, int], ...]
) -> None:
    """By hand: 30 mm would be even, 26 and 34 are left, lists and ends are alike, and 34 begins 8 mm further up."""
    clear = tuple(Clear("z", float(low), float(high)) for low, high in zones)
    wish = Wish(100.0, (0.0, 40.0), (0.0, 40.0), 2.0, count=3, anchors=(Anchor("a", float(at)),), clear=clear)
    assert best_spacing(wish).positions_mm == pytest.approx((at - 34, at, at + 34))


def test_no_place_on_the_border_between_two_zones_that_touch_is_taken() -> None:
    wish = Wish(48.0, (0.0, 10.0), (0.0, 10.0), 2.0, count=3, clear=(Clear("a", 21.0, 24.0), Clear("b", 24.0, 27.0)))
    assert 24.0 not in best_on_places(wish, [k / 2 for k in range(97)]).positions_mm
