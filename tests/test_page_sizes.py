"""All sizes beside each other on the page: what it says of a choice is what the choice comes to once it is taken."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

pytest.importorskip("jinja2", reason="the page is an extra")

from closures.app.sizing import check_sizes
from closures.app.web.beginnings import beginnings, plan_begun
from closures.app.web.fields import values_of
from closures.app.web.placed import plan_of
from closures.app.web.size_grid import grid_of
from closures.app.web.table import Hand, Table
from closures.app.web.telling import banner
from closures.lengths import format_length

if TYPE_CHECKING:
    from closures.app.web.bench import Bench

ANSWERS = {"band.lap": "right over left", "closure": "prong snap|16 L", "longer": "14 mm"}


def cells(html: str, table: str) -> list[list[str]]:
    """The rows of a table, as words."""
    body = html.split(f'<table class="{table} in-full">')[1].split("<tbody>")[1].split("</tbody>")[0]
    rows = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in re.findall(r"<tr[^>]*>.*?</tr>", body, re.S)]
    return [[" ".join(re.sub(r"<[^>]+>", " ", cell).split()) for cell in row] for row in rows]


@pytest.mark.parametrize("extra", [{}, {"spacing.count": "7"}, {"sizes.hold": "count"}], ids=["gap", "count", "held"])
def test_every_choice_costs_what_it_says_once_it_is_taken(extra: dict[str, str]) -> None:
    table = Table()
    text = plan_begun(beginnings()["sizes"], ANSWERS | {"edge.straight": "600 mm"} | extra)
    bench = table.lay(text.encode(), "plan.toml", {})
    before = grid_of(bench)
    choices = before.split("size-choices")[1]
    forms = re.findall(r"<form(.*?)</form>", choices, re.S)
    told = [row for row in cells(before, "size-choices") if not row[0].endswith("in hand")]
    assert len(forms) == len(told) >= 2
    pitch_mm = check_sizes(plan_of(bench)).held.pitch_mm
    assert pitch_mm is not None
    for form, row in zip(forms, told, strict=True):
        typed = dict(re.findall(r'name="([a-z.]+)" value="([^"]+)"', form))
        assert typed.pop("do") == "redraw"
        taken = table.change(bench.name, Hand("redraw", typed))
        assert taken.refusal is None, taken.refusal
        run = check_sizes(plan_of(taken))
        gaps = [gap for size in run.placed for gap in size.placement.spacing.gaps_mm]
        assert row[1] == str(sum(len(size.placement.marks) for size in run.placed))
        assert row[2] == " to ".join(dict.fromkeys(format_length(one, "mm") for one in (min(gaps), max(gaps))))
        assert row[3] == format_length(max(abs(gap - pitch_mm) for gap in gaps), "mm")
        table.change(bench.name, Hand("undo", {}))


def test_every_size_stands_with_its_own_count_and_gaps() -> None:
    table = Table()
    bench = table.lay(
        plan_begun(beginnings()["sizes"], ANSWERS | {"edge.straight": "600 mm"}).encode(), "plan.toml", {}
    )
    run, rows = check_sizes(plan_of(bench)), cells(grid_of(bench), "size-grid")
    assert len(rows) == len(run.all) == 8
    for size, row in zip(run.placed, rows, strict=True):
        assert row[0].removesuffix(" base") == f"Show size {size.name}" and row[1] == str(len(size.placement.marks))
    assert rows[3][0].endswith("base")


def test_size_that_cannot_be_placed_says_why_in_its_row() -> None:
    answers = ANSWERS | {"edge.straight": "600 mm", "longer": "180 mm", "spacing.count": "6", "sizes.hold": "count"}
    bench = Table().lay(plan_begun(beginnings()["sizes"], answers).encode(), "plan.toml", {})
    rows = cells(grid_of(bench), "size-grid")
    refused = check_sizes(plan_of(bench)).refused
    assert refused and {one.name for one in refused} == {
        row[0].split()[2] for row in rows if "cannot be placed" in row[1]
    }


@pytest.mark.parametrize(
    ("spacing", "told"),
    [
        ({"spacing.pitch": "76 mm"}, "the wanted gap"),
        ({"spacing.count": "7"}, "the base’s mean gap"),
    ],
    ids=["wanted", "counted"],
)
def test_costs_say_which_gap_they_are_held_against(spacing: dict[str, str], told: str) -> None:
    answers = ANSWERS | {"edge.straight": "600 mm"} | spacing
    bench = Table().lay(plan_begun(beginnings()["sizes"], answers).encode(), "plan.toml", {})
    held_mm = check_sizes(plan_of(bench)).held.pitch_mm
    assert held_mm is not None
    assert f"at most off {told} of {format_length(held_mm, 'mm')}." in grid_of(bench)


def in_eight_sizes() -> tuple[Table, Bench]:
    table = Table()
    text = plan_begun(beginnings()["sizes"], ANSWERS | {"edge.straight": "600 mm"})
    return table, table.lay(text.encode(), "plan.toml", {})


def test_size_that_is_shown_can_be_taken_out_and_the_base_is_shown_then() -> None:
    table, bench = in_eight_sizes()
    shown = table.change(bench.name, Hand("size", {"size": "22"}))
    assert shown.step.size == "22"
    fewer = values_of(shown.step.text) | {"sizes.names": "8, 10, 12, 14, 16, 18, 20"}
    after = table.change(bench.name, Hand("redraw", fewer))
    assert after.refusal is None and after.step.size == ""
    assert plan_of(after).sizes.names[-1] == "20"  # type: ignore[union-attr]
    # One that is still there stays in sight.
    table.change(bench.name, Hand("size", {"size": "20"}))
    fewer["sizes.names"] = "10, 12, 14, 16, 18, 20"
    assert table.change(bench.name, Hand("redraw", fewer)).step.size == "20"


@pytest.mark.parametrize("names", ["8, 10, 12", "S, M, L"])
def test_sizes_without_the_one_that_was_drawn_are_told_by_the_field_of_that_one(names: str) -> None:
    table, bench = in_eight_sizes()
    values = values_of(bench.step.text)
    refused = table.change(bench.name, Hand("redraw", values | {"sizes.names": names}))
    assert refused.refusal is not None and set(refused.refusal.words) == {"sizes.names", "sizes.base"}
    assert refused.refusal.words["sizes.names"].startswith("“The size that was drawn”: There is no size 14")
    assert "The size that was drawn" in banner(refused)["waits"]
    # Told together, they are taken, and nothing waits any more.
    both = values | {"sizes.names": names, "sizes.base": names.split(", ")[1]}
    after = table.change(bench.name, Hand("redraw", both))
    assert after.refusal is None and plan_of(after).sizes.base == names.split(", ")[1]  # type: ignore[union-attr]
