"""The best row against mixed-integer programs solved from outside (HiGHS); see `spacing_solver`."""

from dataclasses import replace

import pytest
from spacing_plans import compare, is_near, random_wish

from closures.spacing.best import best_spacing
from closures.spacing.wish import Anchor, Clear, Wish


def test_random_rows_have_the_figures_that_the_solver_finds():
    """A sample of what `spacing_plans` runs over by hand."""
    kinds = []
    for seed in range(36):
        kind, ours, theirs = compare(random_wish(seed))
        kinds.append(kind)
        assert is_near(ours, theirs), (seed, ours, theirs)
    assert all(kinds.count(kind) >= 4 for kind in ("none", "count", "looks even", "spoils only itself"))


BUST = Wish(480.0, (15.9, 15.9), (40.0, 60.0), 12.0, pitch_mm=76.2, anchors=(Anchor("bust", 34.0),))


@pytest.mark.parametrize(
    "wish",
    [
        pytest.param(BUST, id="a bust 18 mm below the first closure"),
        pytest.param(replace(BUST, clear=(Clear("belt", 250.0, 300.0),)), id="and a belt"),
        pytest.param(replace(BUST, widest_mm=90.0, anchors=(*BUST.anchors, Anchor("waist", 160.0, 3.0))), id="two"),
        pytest.param(replace(BUST, pitch_mm=None, count=7), id="a count"),
    ],
)
def test_row_with_a_forced_gap_has_the_figures_that_the_solver_finds(wish):
    _, ours, theirs = compare(wish)
    assert is_near(ours, theirs), (ours, theirs)


def test_forced_gap_spoils_only_itself():
    found = best_spacing(replace(BUST, length_mm=691.3))
    assert found.gaps_mm[0] == pytest.approx(18.1)
    assert len(found.positions_mm) == 10
    assert all(abs(gap - 76.2) < 1.0 for gap in found.gaps_mm[1:])


def test_row_a_little_worse_is_told_from_the_best():
    wish = replace(BUST, length_mm=691.3)
    _, ours, theirs = compare(wish)
    assert not is_near([*ours[:-1], ours[-1] + 0.03], theirs)
