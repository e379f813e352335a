"""Closures that differ beside clear zones on bowed edges, held against a computation that shares nothing with the program.

The closing line of an arc is an arc: where it lies at a level is a sine. Of every half millimetre of it each closure may
lie where its own rim, and its own slit straight along the line, keep out of the zones; whether a row of whole steps has
its gaps in a range is then a matter of sets (dynamic programming, Bellman 1957). Sizes of buttons: 1 line is 0.635 mm
(US Federal Specification V-B-871F); a buttonhole is as long as diameter and thickness (Univ. of Minnesota Agricultural
Extension, Bulletin 576), and reaches 1/8 in past its button (ICAR).
"""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from closures.app.job import check_plan
from closures.errors import SpacingError
from closures.plan.reading import read_plan

STEP_MM = 0.5
LINE_MM, INSET_MM, PAST_MM, THICK_MM = 0.635, 30.0, 25.4 / 8, 3.0


class Bow:
    """The closing line of an arc whose chord runs straight down from (0, 0)."""

    def __init__(self, long: float, radius: float, bows: str) -> None:
        self.half = long / radius / 2
        self.radius = radius - INSET_MM if bows == "out" else radius + INSET_MM
        self.long = self.radius * 2 * self.half
        self.middle = radius * math.sin(self.half)

    def level(self, along: float) -> float:
        return self.middle + self.radius * math.sin(along / self.radius - self.half)

    def slope(self, along: float) -> float:
        return math.cos(along / self.radius - self.half)


def may_lie(
    bow: Bow, along: float, lines: int, zones: list[tuple[float, float]], *, has_slit: bool, slack: float
) -> bool:
    """Whether a button of so many lines keeps out of all zones, by as much as the slack and more."""
    level, rim = bow.level(along), lines * LINE_MM / 2
    spans = [(level - rim, level + rim)]
    if has_slit:
        below = lines * LINE_MM + THICK_MM - PAST_MM
        spans.append((level - PAST_MM * bow.slope(along), level + below * bow.slope(along)))
    return all(high <= low_z - slack or low >= high_z + slack for low, high in spans for low_z, high_z in zones)


def spread_of(bits: int, low: int, high: int) -> int:
    """Every place of a set moved on by each whole number of steps of a range."""
    moved, wide, want = bits, 1, high - low + 1
    while wide < want:
        by = min(wide, want - wide)
        moved |= moved << by
        wide += by
    return moved << low


def has_row(free: list[int], first: int, last: int, low: int, high: int) -> bool:
    """Whether a row of whole steps has all its gaps in a range: sets of places, a bit for each."""
    at = free[0] & first
    for own in free[1:]:
        at = spread_of(at, low, high) & own
    return bool(at & last)


def mask(places: int, holds) -> int:
    return sum(1 << k for k in range(places) if holds(k * STEP_MM))


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", range(220))
def test_closures_that_differ_keep_off_zones_on_a_bow_by_their_own_and_lie_as_evenly_as_can_be(seed: int) -> None:
    rng = random.Random(seed)
    long, bows, has_slit = rng.randint(260, 620), rng.choice(["out", "in"]), rng.random() < 0.5
    radius = rng.randint(max(long // 2, 260), 1200)
    bow = Bow(long, radius, bows)
    count, deep = rng.randint(3, 8), bow.level(bow.long)
    zones = []
    for _ in range(rng.choice([1, 1, 2])):
        low = rng.uniform(25, deep - 60)
        zones.append((round(low, 1), round(low + rng.uniform(4, 45), 1)))
    small, large = rng.choice([16, 18, 20]), rng.choice([30, 36, 40])
    told = rng.choice(["first", "last", "number", "two"])
    marks = {
        "first": [1],
        "last": [count],
        "number": [rng.randint(1, count)],
        "two": sorted(rng.sample(range(1, count + 1), 2)),
    }
    first, last = (rng.randint(14, 20), rng.randint(24, 70)), (rng.randint(14, 20), rng.randint(24, 90))
    clear = "".join(
        f'[[clear]]\nname = "zone {n}"\nlevel = ["{low} mm", "{high} mm"]\n' for n, (low, high) in enumerate(zones)
    )
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\n'
        f'arc = {{ length = "{long} mm", radius = "{radius} mm", bows = "{bows}" }}\n[band]\nwidth = "60 mm"\n'
        f'inset = "30 mm"\nlap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "{small} L"\n'
        f'thickness = "3 mm"\nhole = "{"along" if has_slit else "across"}"\n[spacing]\ncount = {count}\nclosest = "30 mm"\n'
        f'first = {{ from = "{first[0]} mm", to = "{first[1]} mm" }}\nlast = {{ from = "{last[0]} mm", to = "{last[1]} mm" }}\n'
        f'{clear}[[differs]]\nmarks = {marks[told]}\nsize = "{large} L"\nthickness = "3 mm"\n'
    )
    sizes = [large if n in marks[told] else small for n in range(1, count + 1)]
    places = math.floor(bow.long / STEP_MM) + 1
    free = [
        mask(places, lambda s, lines=lines: may_lie(bow, s, lines, zones, has_slit=has_slit, slack=1e-6))
        for lines in sizes
    ]
    ends = (
        mask(places, lambda s: first[0] <= s <= first[1]),
        mask(places, lambda s: last[0] <= bow.long - s <= last[1]),
    )
    least = round(30 / STEP_MM)
    try:
        placement = check_plan(read_plan(text.encode(), "bow.toml")).placement
    except SpacingError:
        assert not has_row(free, *ends, least, places)
        return
    row = placement.spacing.positions_mm
    assert placement.laps.line.length_mm == pytest.approx(bow.long, abs=1e-6)
    for place, lines, one in zip(row, sizes, placement.marks, strict=True):
        assert one.level_mm == pytest.approx(bow.level(place), abs=1e-6)
        assert may_lie(bow, place, lines, zones, has_slit=has_slit, slack=-1e-4), (place, lines, zones)
    gaps = [after - before for before, after in pairwise(row)]
    assert min(gaps) >= 30 - 1e-6
    # The most steps between which a row of whole steps would be more even than the one that was found.
    wide = math.ceil((max(gaps) - min(gaps)) / STEP_MM - 1e-6) - 1
    if wide >= 0:
        better = [low for low in range(least, places // (count - 1) + 1) if has_row(free, *ends, low, low + wide)]
        assert not better, (better[0] * STEP_MM, gaps)
