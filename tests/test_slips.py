"""Figures that nobody can have meant are asked about, and no repair makes a row of them."""

import re

import pytest
from fronts import FRONT

from closures.app.job import check_plan
from closures.errors import SpacingError
from closures.plan.reading import read_plan
from closures.spacing import NoSpacing


def told_ends(first: str = '"15 mm"', last: str = '"20 mm"') -> str:
    return re.sub(r"(?m)^last = .*$", f"last = {last}", FRONT).replace('first = "15 mm"', f"first = {first}")


@pytest.mark.parametrize("told", ['"900 mm"', '"15 m"', '{ from = "601 mm", to = "700 mm" }'])
@pytest.mark.parametrize("key", ["first", "last"])
def test_an_end_beyond_the_whole_line_is_asked_about(key: str, told: str) -> None:
    """15 mm or 90 mm may be meant: a range from where a row can be up to 900 mm would leave the neck open."""
    text = told_ends(**{key: told})
    with pytest.raises(
        SpacingError, match="lies beyond the other end: the whole closing line is 600 mm long"
    ) as refused:
        check_plan(read_plan(text.encode(), "plan.toml"))
    assert not isinstance(refused.value, NoSpacing)
    assert f"[spacing] {key}" in str(refused.value) and "its unit" in str(refused.value)


def test_an_end_that_lies_on_the_line_is_no_slip() -> None:
    text = told_ends(first='{ from = "15 mm", to = "900 mm" }')
    assert len(check_plan(read_plan(text.encode(), "plan.toml")).placement.marks) > 1
