"""What the page calls its fields and rows where it says what is wrong with them."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

from closures import check_plan
from closures.app.web.answers import whole_page
from closures.app.web.fields import BY_NAME, label_of
from closures.app.web.own_names import own_names
from closures.app.web.table import Hand, Table, files_beside, refusal
from closures.app.web.wording import in_fields, of_a_placed, of_a_plan
from closures.errors import ClosureError
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


NAMED = ["under_width of mine", "clear zone [2]", "pitch 4. the second", "leave first out"]


@pytest.mark.parametrize("name", NAMED)
def test_name_stays_as_its_user_wrote_it_wherever_the_page_speaks_of_it(name: str) -> None:
    own = own_names({"anchor": [{"name": name}]})
    said = f"anchor {name} is not met: write count = 8 under [spacing]. Leave {name}, and add [[layer]]."
    told = in_fields(said, "spacing", own)
    assert told.count(name) == 2 and "anchor" not in told.replace(name, "") and "[" not in told.replace(name, "")
    assert "“How many”: 8" in told and "fill in “Layers”" in told
    assert of_a_plan(f"{name}: the anchor gives way.", own=own) == f"{name}: the fixed place gives way."


def test_word_that_a_plan_chooses_is_no_name() -> None:
    own = own_names({"layer": [{"on": "under"}], "edge": {"arc": {"bows": "out"}}})
    assert own == ()
    said = "It goes with rings only. Add rings, or leave outlines out."
    assert "empty “Pieces of the drawing that go round”" in in_fields(said, "way_in.outlines", own)


def test_gap_that_is_wanted_has_one_name_on_the_page() -> None:
    table = Table()
    for name in ("curved-front", "hook-back", "hook-tape", "eight-sizes", "shirt-swap"):
        html = whole_page(table.lay(*files_beside(TEMPLATES / name / "plan.toml")))
        html = re.sub(r"<textarea id=.text.*?</textarea>", "", html, flags=re.DOTALL)
        shown = re.sub(r"<[^>]*>", "\0", html)
        assert re.findall(r"[^\0]*\b(?:pitch|anchors?|clear zone)\b[^\0]*", shown) == []


ASKED = {
    "way_in.outlines": (
        '[{ path = "front" }]',
        "Add “Closed, it measures”, or empty “Pieces of the drawing that go round”",
    ),
    "pull.pitch": ('"90 mm"', "Add “Scale at the open closure, standing”, or empty “From closure to closure there”"),
    "tape.pitch": ('"19 mm"', "“Wanted gap” under “Count and gaps” is told beside it"),
    "edge.to": ('"200 mm"', "Add “The edge begins at”, or empty “and ends at”"),
}


@pytest.mark.parametrize("name", ASKED)
def test_what_is_asked_beside_a_field_names_fields_and_no_key(name: str) -> None:
    value, told = ASKED[name]
    bench = Table().lay(*files_beside(TEMPLATES / "shirt-front" / "plan.toml"))
    section, key = name.split(".")
    text = f"{bench.step.text}\n[{section}]\n{key} = {value}\n"
    if section == "edge":
        text = bench.step.text.replace("[edge]\n", f"[edge]\n{key} = {value}\n")
    with pytest.raises(ClosureError) as refused:
        read_plan(text.encode(), "plan.toml")
    said = " ".join(refusal(refused.value, {}, text).sentences)
    assert told in said and not re.search(r"\b(?:Add|leave|Leave) [a-z_]+(?:,| out)", said)


def test_ways_to_mend_a_row_call_fixed_places_as_their_heading_does() -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "hook-back" / "plan.toml"))
    after = table.change(bench.name, Hand("redraw", {"spacing.closest": "250 mm"}))
    assert after.refusal is not None and after.refusal.offers
    told = " ".join(words for words, _ in after.refusal.offers)
    assert "fixed place waist" in told and "anchor" not in told


def test_table_that_is_typed_as_it_cannot_be_is_told_how_to_write_it_in_the_field() -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "eight-sizes" / "plan.toml"))
    for typed, said in (
        ("4 mm", "'4 mm' tells nothing by size. Write 8 = 201 mm, 10 = 205 mm, or step = 4 mm from the base."),
        ("step = 1 mm, step = 2 mm", "'step' is told twice. Tell it once."),
    ):
        after = table.change(bench.name, Hand("redraw", {"sizes.inset": typed}))
        assert after.refusal is not None and after.refusal.words == {"sizes.inset": said}
        assert after.step.text == bench.step.text


def test_fields_of_tables_say_how_they_are_written() -> None:
    html = whole_page(Table().lay(*files_beside(TEMPLATES / "shirt-front" / "plan.toml")))
    told = re.search(
        r'aria-describedby="h-way_in.rings".*?<span class="hint" id="h-way_in.rings">(.*?)</div>', html, re.S
    )
    assert told is not None
    assert re.sub(r"<[^>]*>", "", told[1]).startswith("Each on a line of its own, written as here: at = bust, level =")


def test_a_field_is_emptied_and_a_key_left_out() -> None:
    assert in_fields("the text is empty: Write something, or leave it out.", "top.title").endswith("or empty it.")
    assert in_fields("no points are read. Leave it out.", "edge.read_within").endswith("Empty it.")
