"""What the page calls its fields and rows where it says what is wrong with them."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

from closures import check_plan
from closures.app.web.answers import whole_page
from closures.app.web.fields import BY_NAME, label_of
from closures.app.web.table import Table, files_beside
from closures.app.web.wording import of_a_placed, of_a_plan
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"

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


BELT = """
[belt]
waist = "700 mm"
width = "35 mm"
thickness = "2 mm"
lap = "right over left"
[closure]
kind = "leather post snap"
size = "24 L"
"""


@pytest.mark.parametrize(
    ("over", "told"),
    [
        ("", "tell “Thickness of clothing under it” under “Belt”:"),
        ("1.5 mm", "empty “Thickness of clothing under it” "),
    ],
)
def test_how_the_waist_was_taken_is_told_in_the_words_of_the_fields(over: str, told: str) -> None:
    text = BELT.replace("thickness", f'over = "{over}"\nthickness') if over else BELT
    strap = check_plan(read_plan(text.encode(), "plan.toml")).placement.strap
    assert strap is not None
    waist = next(of_a_plan(note) for note in strap.notes if note.startswith("The waist"))
    assert told in waist and "[" not in waist and "over under" not in waist


def test_groups_that_messages_send_to_stand_on_the_page_by_those_names() -> None:
    form = files("closures.app.web").joinpath("templates", "form.html").read_text("utf-8")
    headings = re.findall(r"<h3>([^<{]+)</h3>", form)
    for name in ("spacing", "anchor", "clear", "closure", "garment", "band", "edge", "layer", "pull"):
        assert any(BY_NAME[name].title in heading.split(" · ") for heading in headings), BY_NAME[name].title


def test_page_calls_a_numbered_place_a_mark_as_the_sheets_do() -> None:
    table = Table()
    for name in ("curved-front", "side-opening", "sash-belt"):
        html = whole_page(table.lay(*files_beside(TEMPLATES / name / "plan.toml")))
        assert "mark 2" in html and re.findall(r"\bclosures? \d+\b", html.split("<h2>The plan as text")[0]) == []


def test_name_that_holds_a_word_of_the_plan_stays_as_its_user_wrote_it() -> None:
    rows = '[[anchor]]\nname = "my anchor point"\nalong = "200 mm"\n'
    text = (
        'units = "mm"\n[edge]\nstraight = "600 mm"\n[band]\nwidth = "36 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n'
        + rows
    )
    plan = read_plan(text.encode(), "plan.toml")
    said = "anchor my anchor point lies beside the clear zone."
    assert of_a_placed(said, plan) == "fixed place my anchor point lies beside the clear stretch."
