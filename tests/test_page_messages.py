"""What the page says of wrong words in its fields: whole sentences in the words of fields, never of sections, keys, brackets or commands."""

from __future__ import annotations

import importlib.util
import itertools
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from closures.app.web.fields import FIELDS, with_fields
from closures.app.web.own_names import own_names
from closures.app.web.table import Hand, Table, files_beside, refusal
from closures.app.web.wording import in_fields, place_of, sentences_of
from closures.errors import ClosureError
from closures.plan.reading import read_plan

_spec = importlib.util.spec_from_file_location("page_wrong_words", Path(__file__).with_name("page_wrong.py"))
assert _spec is not None and _spec.loader is not None
page_wrong = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_wrong)
TEMPLATES = page_wrong.page_walks.TEMPLATES

PLANS = ("curved-front", "sash-belt", "shirt-swap", "eight-sizes", "striped-shirt")
"""A drawing, a strap, old closures, sizes, and a row on a straight edge: what stands beside a word says what goes with it."""
SECTIONS = sorted({field.section.name for field in FIELDS.values()})
BEGINS = re.compile(r"[A-Z0-9“'\"½(-]")


def is_plain(said: str, word: str) -> bool:
    """Whether a message begins as a sentence does and speaks of fields alone; what was typed may hold anything."""
    pieces = sorted({word, repr(word)[1:-1], *re.split(r"[\n,;]", word)}, key=len, reverse=True)
    for piece in pieces:
        if len(piece.strip()) > 1:
            said = said.replace(piece.strip(), "W")
    said = re.sub(r"'[^']*'", "'W'", said)
    return BEGINS.match(said) is not None and page_wrong.IN_A_FILE.search(said) is None


def told_in_reading(section: str) -> Iterator[tuple[str, str, str]]:
    """Every field of a section, every wrong word, and each message that reading such a plan gives."""
    texts = itertools.cycle([(TEMPLATES / name / "plan.toml").read_text("utf-8") for name in PLANS])
    for field in FIELDS.values():
        if field.section.name != section:
            continue
        name = field.name.replace(".", ".0.", 1) if field.section.repeated else field.name
        for word in page_wrong.WRONG:
            text = with_fields(next(texts), {name: word})
            try:
                read_plan(text.encode(), "plan.toml")
            except ClosureError as error:
                for fault in error.faults:
                    place = place_of(fault.where, text)
                    yield name, word, in_fields(sentences_of(fault.what, fault.mend), place, own_names(text, word))


@pytest.mark.in_turn(6)
@pytest.mark.parametrize("section", SECTIONS)
def test_wrong_words_in_every_field_are_told_in_the_words_of_fields(section: str) -> None:
    told = list(told_in_reading(section))
    assert told or all(one.kind.shape in ("text", "words") for one in FIELDS.values() if one.section.name == section)
    odd = {said: (name, word) for name, word, said in told if not is_plain(said, word)}
    assert odd == {}


@pytest.mark.parametrize(
    "name", ["curved-front", "from-dxf", "from-pdf", "closed-outline", "crossed-wrap", "back-dress"]
)
def test_what_no_drawing_holds_is_told_without_a_command(name: str) -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / name / "plan.toml"))
    for field in ("edge.path", "edge.from", "edge.to", "edge.via", "edge.under", "edge.known.path", "edge.level_zero"):
        for word in ("no such line", "page 9, 77", "163, 362"):
            after = table.change(bench.name, Hand("redraw", {field: word}))
            if after.refusal is not None:
                assert all(after.refusal.words) and is_plain(" ".join(after.refusal.words.values()), word), field
                assert all(is_plain(said, word) for said in after.refusal.sentences)
            table.change(bench.name, Hand("undo", {}))


def test_message_that_speaks_of_a_file_is_noticed() -> None:
    assert not is_plain("it is missing", "x") and not is_plain("Write [band] width", "x")
    assert not is_plain("It holds a: see closures edges a.svg.", "x") and not is_plain(
        "`closures edges` lists them.", "x"
    )
    assert is_plain("'[band]' is no length. Write 3 mm.", "[band]")
    said = refusal(ClosureError("nothing is drawn", mend="Draw it.")).sentences
    assert said == ("Nothing is drawn. Draw it.",)


BARE_PLAN = """{units}[edge]
arc = {{ length = 600, radius = 420, bows = "out" }}
[garment]
opens = "front"
pieces = "pair"
[band]
width = 36
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = 15
last = {{ from = 40, to = 80 }}
count = 6
[[layer]]
thickness = {thick}
count = 2
"""


@pytest.mark.parametrize(
    ("units", "thick", "said"),
    [
        (
            "",
            "0.4",
            "No length of the plan has a unit: all are taken as mm. To change it: write their unit behind them.",
        ),
        (
            "",
            '"0.4 mm"',
            "“Length along the arc”: 600 under “Edge”, “Radius”: 420 under “Edge”, “Finished width”: 36 under",
        ),
        (
            "",
            '"0.4 mm"',
            "“Room after the last closure”: 40, 80 under “Count and gaps”. To change it: write their unit behind",
        ),
        ('units = "mm"\n', '"0.016 in"', "Numbers without a unit are mm, though other lengths are in inches: “Length"),
    ],
)
def test_numbers_without_a_unit_are_told_by_their_fields(units: str, thick: str, said: str) -> None:
    from closures.app.job import check_plan
    from closures.app.web.wording import of_a_placed
    from closures.plan.reading import read_plan

    plan = read_plan(BARE_PLAN.format(units=units, thick=thick).encode(), "plan.toml")
    told = " ".join(of_a_placed(line, plan) for line in check_plan(plan, {}).placement.assumed)
    assert said in told
    assert not re.search(r"[\[\]]|\w = |\bunits\b", told)


@pytest.mark.parametrize("name", ["band.lap", "anchor.0.name"])
def test_field_that_is_emptied_is_called_by_name_once(name: str) -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    told = table.change(bench.name, Hand("redraw", {name: ""})).refusal
    assert told is not None and told.words[name].startswith("It is not told yet. Such as: ")


@pytest.mark.parametrize(
    ("was", "written", "said"),
    [
        ('path = "over-edge"', 'path = "over-ege"', "Line in the drawing, “over-ege”: Nothing in the drawing"),
        ('"shoulder-point"', '"side-seam"', "Levels are measured from, “side-seam”: It is a line"),
        ('level = "9 1/4 in"', 'at = "nich"', "Fixed places, “bust point”, A point of the drawing, “nich”: Nothing in"),
    ],
)
def test_thing_that_is_not_in_the_drawing_is_told_with_the_field_that_names_it(
    was: str, written: str, said: str
) -> None:
    made, name, beside = files_beside(TEMPLATES / "curved-front" / "plan.toml")
    text = made.decode()
    assert text.count(was) == 1
    text = text.replace(was, written)
    with pytest.raises(ClosureError) as refused:
        Table().lay(text.encode(), name, beside)
    told = refusal(refused.value, None, text)
    assert told.sentences[0].startswith(said) and ", id " not in told.sentences[0] and len(told.places) == 1
    # Two fields that name the same thing: none of them is said to be wrong.
    both = text.replace('"shoulder-point"', '"over-ege"')
    if "over-ege" in written:
        assert refusal(refused.value, None, both).sentences[0].startswith('front.svg, id "over-ege": ')


def test_plan_of_a_drawing_is_called_as_its_drawing_until_it_has_a_title() -> None:
    from closures.app.web.drawings import plan_text

    typed = {"edge.path": "over-edge", "garment.opens": "front", "garment.pieces": "pair", "band.width": "38 mm"}
    typed |= {"band.lap": "right over left", "closure.kind": "prong snap", "closure.size": "14 L"}
    assert read_plan(plan_text("mill dress.svg", typed).encode(), "plan.toml").title == "mill dress"
    assert read_plan(plan_text("mill.svg", {**typed, ".title": "Mill"}).encode(), "plan.toml").title == "Mill"
