"""What the page calls its fields and rows where it says what is wrong with them."""

from __future__ import annotations

import pytest

from closures.app.web.fields import label_of

ROWS = """
[[anchor]]
name = "waist"
level = "200 mm"
[[layer]]
thickness = "1 mm"
"""

CALLED = {
    "a field that stands once": ("spacing.pitch", "Wanted gap"),
    "a row by its name": ("anchor.0.within", "Fixed places, “waist”, May be off by"),
    "a row without a name by its number": ("layer.0.count", "Layers (1), How many times"),
    "a row that is not added yet": ("anchor.1.name", "Fixed places, another, Name"),
    "a row of a section that has none": ("single.0.kind", "Single closures beside the row, another, Kind"),
}


@pytest.mark.parametrize(("name", "called"), CALLED.values(), ids=CALLED.keys())
def test_a_field_is_called_with_its_group_and_its_row(name: str, called: str) -> None:
    assert label_of(name, ROWS) == called


def test_a_row_that_is_no_table_is_called_by_its_number() -> None:
    assert label_of("anchor.0.name", "anchor = [1]") == "Fixed places (1), Name"
