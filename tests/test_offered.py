"""A change that is offered: the nearest of all that pass."""

from __future__ import annotations

import pytest

from closures.offered import nearest_that_passes


@pytest.mark.parametrize(
    ("passing", "found"),
    [
        (range(0, 1), 0),
        (range(5, 100), 5),
        (range(37, 39), 37),
        ((3, 40, 41), 3),
        (range(64, 65), 64),
        (range(65, 100), None),
        ((), None),
    ],
    ids=["at once", "from there on", "a short stretch", "two stretches", "the furthest", "too far", "nowhere"],
)
def test_nearest_of_all_that_pass_is_found_however_short_the_stretch_is(passing: range, found: int | None) -> None:
    assert nearest_that_passes(lambda steps: steps, lambda made: made in passing) == found


def test_search_ends_where_nothing_further_can_be_made() -> None:
    tried: list[int] = []
    assert nearest_that_passes(lambda steps: steps if steps < 7 else None, tried.append) is None
    assert tried == [0, 1, 2, 3, 4, 5, 6]


def test_what_does_not_come_in_steps_is_tried_once() -> None:
    tried: list[str] = []
    assert nearest_that_passes(lambda steps: "the same", tried.append) is None
    assert tried == ["the same"]
