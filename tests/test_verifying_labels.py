"""Whose number it is: rows of small type below a number count to it however they are set."""

from __future__ import annotations

import pytest

from closures.verifying.labels import Label, is_number_of


def words(text: str, starts: float, wide: float, below: float, line: tuple[complex, ...] = ()) -> Label:
    box = (starts, below, starts + wide, below + 2)
    return Label(text, box, 2.9, line, "", complex(starts, below + 2), complex(starts + wide, below + 2), 1 + 0j)


@pytest.mark.parametrize("starts", [10.0, 9.0, 9.5], ids=["to the left", "to the right", "centred"])
def test_leader_that_ends_at_the_last_row_of_a_number_is_its_own(starts: float) -> None:
    # The second row is 1 mm wider than the first. The leader comes from mark 2 and ends below it; mark 1 is nearer.
    leader = (40 + 30j, 12 + 13j)
    labels = [words("2", 10.5, 4, 0, leader), words("41 mm", 10, 9, 5), words("1 5/8 in", starts, 10, 9)]
    marks = [20 + 0j, 45 + 32j]
    assert is_number_of(2, marks[1], labels, marks)
    assert not is_number_of(2, marks[0], labels, marks)


def test_row_set_aside_is_none_of_the_numbers_own() -> None:
    leader = (40 + 30j, 12 + 13j)
    labels = [words("2", 10.5, 4, 0, leader), words("41 mm", 10, 9, 5), words("seam", 12, 10, 9)]
    assert not is_number_of(2, 45 + 32j, labels, [20 + 0j, 45 + 32j])
