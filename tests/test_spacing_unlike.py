"""Rows whose closures keep off clear zones by unlike amounts: held against rows that are found otherwise.

Rows of closures that are alike are the reference where nothing differs; where something does, every row on a lattice of
whole millimetres, of which the best is found step by step (the shortest way of dynamic programming, Bellman 1957).
"""

import math
import random
from dataclasses import replace
from itertools import pairwise

import pytest

from closures.spacing import NoSpacing, best_spacing
from closures.spacing.choice import best_row
from closures.spacing.search import counts_of
from closures.spacing.unlike import closed_in, keeps_off
from closures.spacing.wish import Anchor, Apart, Clear, Rooms, Wish, scaled


def drawn(rng: random.Random) -> Wish:
    """A wish with zones and anchors, of which about a third has no row."""
    long = rng.uniform(120, 700)
    first, last = rng.uniform(0, 40), rng.uniform(0, 60)
    clear = []
    for n in range(rng.choice([1, 1, 2, 3])):
        low = rng.uniform(0, long)
        clear.append(Clear(f"zone {n}", low, min(low + rng.uniform(5, 90), long)))
    anchors = tuple(
        Anchor(f"anchor {n}", rng.uniform(20, long - 20), rng.choice([0.0, 2.0, 10.0]))
        for n in range(rng.choice([0, 1, 1, 2]))
    )
    kind = rng.choice(["pitch", "count", "both"])
    return Wish(
        long,
        (first, first + rng.choice([0, 0, 20])),
        (last, last + rng.choice([0, 0, 30])),
        rng.choice([12.0, 20.0]),
        rng.choice([math.inf, math.inf, 150.0]),
        rng.uniform(35, 110) if kind != "count" else None,
        rng.randint(2, 11) if kind != "pitch" else None,
        anchors,
        tuple(clear),
    )


@pytest.mark.parametrize("seed", range(120))
def test_closures_told_apart_that_are_alike_have_the_row_of_closures_that_are(seed: int) -> None:
    wish = drawn(random.Random(seed))
    anchor = wish.anchors[0].name if wish.anchors else None
    known = best_row(wish)
    found = best_row(replace(wish, rooms=Rooms(wish.clear, (Apart((1, -1), anchor, wish.clear),))))
    assert (found is None) == (known is None)
    if known is not None and found is not None:
        assert found == pytest.approx(known, abs=0.01)


def lattice(wish: Wish, count: int, closed: list[tuple[Clear, ...]], gaps: range) -> bool:
    """Whether a row of a count on whole millimetres has all its gaps in a range."""
    long = int(wish.length_mm)

    def is_free(k: int, place: int) -> bool:
        # Where one zone ends and the next begins, no place is left.
        ends, begins = {zone.high_mm for zone in closed[k]}, {zone.low_mm for zone in closed[k]}
        return place not in ends & begins and not any(zone.low_mm < place < zone.high_mm for zone in closed[k])

    low, high = (math.ceil(wish.first[0]), math.floor(wish.first[1]))
    at = {place for place in range(low, high + 1) if is_free(0, place)}
    for k in range(1, count):
        at = {place + gap for place in at for gap in gaps if place + gap <= long and is_free(k, place + gap)}
    return any(wish.last[0] <= wish.length_mm - place <= wish.last[1] for place in at)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", range(60))
def test_no_row_on_whole_millimetres_is_more_even(seed: int) -> None:
    rng = random.Random(1000 + seed)
    count, long = rng.randint(3, 8), float(rng.randint(160, 420))
    low = float(rng.randint(30, int(long) - 60))
    other = float(rng.randint(10, int(long) - 40))
    tight = (Clear("belt", low, low + rng.randint(8, 50)), Clear("pocket", other, other + rng.randint(4, 30)))

    def by(mm: int) -> tuple[Clear, ...]:
        return tuple(Clear(zone.name, zone.low_mm - mm, zone.high_mm + mm) for zone in tight)

    large, small = rng.randint(6, 20), rng.randint(0, 5)
    number = rng.choice([1, -1, rng.randint(1, count)])
    rooms = Rooms(by(small), (Apart((number,), None, by(large)),))
    wish = Wish(
        long,
        (float(rng.randint(5, 20)), float(rng.randint(20, 60))),
        (float(rng.randint(5, 20)), float(rng.randint(20, 60))),
        15.0,
        count=count,
        clear=by(small),
        rooms=rooms,
    )
    row = best_row(wish)
    closed = [rooms.clear] * count
    closed[number - 1 if number > 0 else count - 1] = rooms.apart[0].clear
    found = math.inf
    if row is not None:
        assert keeps_off(wish, row) and closed_in(wish, row) == closed
        # Held against the stretches themselves as well: no centre lies in what is closed to it.
        assert not any(
            zone.low_mm + 1e-5 < place < zone.high_mm - 1e-5
            for place, zones in zip(row, closed, strict=True)
            for zone in zones
        )
        gaps = [b - a for a, b in pairwise(row)]
        assert min(gaps) >= 15 - 1e-6
        found = max(gaps) - min(gaps)
    # Of whole gaps that differ by less than was found the most that they can differ by holds all the others.
    spread = math.ceil(min(found, long) - 1e-6) - 1
    if spread >= 0:
        ranges = [range(least, least + spread + 1) for least in range(15, int(long / (count - 1)) + 1)]
        better = [gaps for gaps in ranges if lattice(wish, count, closed, gaps)]
        assert not better, f"a row with gaps in {better[0]} is there, where they were found to differ by {found}"


def test_closure_that_an_anchor_names_keeps_off_wherever_in_the_row_it_comes() -> None:
    """Gaps of 70 mm meet the waist with mark 4, whose own size reaches into the belt: one of 60 meets it no less."""
    small, large = Clear("belt", 225, 240), Clear("belt", 212, 253)
    wish = Wish(480, (0, 30), (0, 30), 20, pitch_mm=70, anchors=(Anchor("waist", 210, 12),), clear=(small,))
    own = replace(wish, rooms=Rooms((small,), (Apart((), "waist", (large,)),)))
    row = best_row(own)
    assert row is not None and keeps_off(own, row)
    near = min(row, key=lambda place: abs(place - 210))
    assert near <= 212 + 1e-6 and abs(near - 210) <= 12 + 1e-6


def test_advice_is_tried_with_what_each_closure_keeps_off_by_itself() -> None:
    zone = Clear("belt", 90, 110)
    large = Clear("belt", 70, 130)
    wish = Wish(200, (0, 0), (0, 0), 20, count=3, clear=(zone,), rooms=Rooms((zone,), (Apart((2,), None, (large,)),)))
    wish = replace(wish, anchors=(Anchor("waist", 80, 0),))
    with pytest.raises(NoSpacing) as refused:
        best_spacing(wish)
    assert "nor as near to it as some of these closures are large" in str(refused.value)
    assert refused.value.mends
    for (offer,) in (mend for mend in refused.value.mends if len(mend) == 1):
        row = best_row(offer.wish)
        assert row is not None and keeps_off(offer.wish, row)
    assert counts_of(replace(wish, count=None, pitch_mm=50)) == [4, 5, 6, 7, 8, 9, 10]


def test_row_so_many_times_as_long_keeps_off_by_as_much_more() -> None:
    small, large = Clear("belt", 120, 150), Clear("belt", 105, 165)
    wish = Wish(
        300, (10, 10), (10, 10), 20, count=5, clear=(small,), rooms=Rooms((small,), (Apart((3,), None, (large,)),))
    )
    row, longer = best_row(wish), best_row(scaled(wish, 1.25))
    assert row is not None and longer is not None
    assert longer == pytest.approx([place * 1.25 for place in row], abs=0.01)
    assert row[2] <= 105 + 1e-6 or row[2] >= 165 - 1e-6


@pytest.mark.parametrize(
    ("inside_mm", "keeps"), [(0.0, True), (1e-7, True), (0.001, False), (0.5, False), (5.0, False)]
)
def test_closure_on_the_border_of_what_is_closed_to_it_keeps_off_and_one_a_hair_within_does_not(
    inside_mm: float, keeps: bool
) -> None:
    zone = Clear("belt", 90, 110)
    wish = Wish(
        200, (0, 200), (0, 200), 20, count=2, clear=(zone,), rooms=Rooms((zone,), (Apart((2,), None, (zone,)),))
    )
    assert keeps_off(wish, (10.0, 90.0 + inside_mm)) is keeps
    assert keeps_off(wish, (10.0, 110.0 - inside_mm)) is keeps
