"""Figures that nobody can have meant are asked about, and no repair makes a row of them."""

import pytest

from closures.app.job import check_plan
from closures.errors import SpacingError
from closures.plan.reading import read_plan
from closures.spacing import NoSpacing

FRONT = """
[garment]
opens = "front"
pieces = "pair"
[edge]
straight = "600 mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = {first}
last = {last}
pitch = "75 mm"
"""


@pytest.mark.parametrize("told", ['"900 mm"', '"15 m"', '{ from = "601 mm", to = "700 mm" }'])
@pytest.mark.parametrize("key", ["first", "last"])
def test_an_end_beyond_the_whole_line_is_asked_about(key: str, told: str) -> None:
    """15 mm or 90 mm may be meant: a range from where a row can be up to 900 mm would leave the neck open."""
    text = FRONT.format(**{"first": '"15 mm"', "last": '"20 mm"', key: told})
    with pytest.raises(
        SpacingError, match="lies beyond the other end: the whole closing line is 600 mm long"
    ) as refused:
        check_plan(read_plan(text.encode(), "plan.toml"))
    assert not isinstance(refused.value, NoSpacing)
    assert f"[spacing] {key}" in str(refused.value) and "its unit" in str(refused.value)


def test_an_end_that_lies_on_the_line_is_no_slip() -> None:
    text = FRONT.format(first='{ from = "15 mm", to = "900 mm" }', last='"20 mm"')
    assert len(check_plan(read_plan(text.encode(), "plan.toml")).placement.marks) > 1
