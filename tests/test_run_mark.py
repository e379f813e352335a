"""The run mark: equal marks, equal holes; on every page, piece and file; read back by `closures same`."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path

import pdfplumber
import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import check_plan, cutter_files, load_plan, place_plan, result_files
from closures.drawing.extras.registry import asked_for
from closures.placing.run_mark import MARK_FORM, joint_mark, marks_in, run_mark
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
CURVED = TEMPLATES / "curved-front" / "plan.toml"
BUTTONS = b"""
title = "Slate"
[edge]
straight = "600 mm"
[garment]
pieces = "pair"
[band]
width = "32 mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "18 L"
[spacing]
first = "20 mm"
last = "80 mm"
count = 7
"""


def mark_of(text: bytes) -> str:
    return run_mark(check_plan(read_plan(text, "p.toml")).placement)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'title = "Slate"', b'title = "Another name"'),
        (b"count = 7", b'pitch = "83.333333 mm"'),
        (b'"600 mm"', b'"60 cm"'),
    ],
    ids=["title", "pitch that gives the same row", "another unit"],
)
def test_other_words_for_the_same_holes_keep_the_mark(old: bytes, new: bytes) -> None:
    assert mark_of(BUTTONS.replace(old, new)) == mark_of(BUTTONS)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"20 mm"', b'"20.1 mm"'),
        (b"count = 7", b"count = 8"),
        (b'"18 L"', b'"20 L"'),
        (b'"32 mm"', b'"34 mm"'),
        (b'"600 mm"\n', b'"601 mm"\n'),
        (b'"left over right"', b'"right over left"'),
        (b'size = "18 L"', b'size = "18 L"\nhole = "across"'),
        (b"count = 7\n", b'count = 7\n[[differs]]\nat = "last end"\nhole = "across"\n'),
    ],
    ids=["first", "count", "size", "inset", "edge", "lap", "way of the buttonholes", "way of one buttonhole"],
)
def test_other_holes_have_another_mark(old: bytes, new: bytes) -> None:
    assert mark_of(BUTTONS.replace(old, new)) != mark_of(BUTTONS)


def test_all_starting_plans_have_marks_of_their_own() -> None:
    plans = [path for path in sorted(TEMPLATES.glob("*/plan.toml"))]
    marks = [run_mark(check_plan(load_plan(path), path).placement) for path in plans]
    assert all(MARK_FORM.fullmatch(mark) for mark in marks)
    assert len(set(marks)) == len(marks)


def test_mark_of_a_set_is_that_of_its_only_member_or_its_own() -> None:
    assert joint_mark(["K7Q-M3X"]) == "K7Q-M3X"
    assert joint_mark(["K7Q-M3X", "B2C-D4F"]) not in ("K7Q-M3X", "B2C-D4F", joint_mark(["B2C-D4F", "K7Q-M3X"]))


def test_words_of_the_same_form_are_no_marks_unless_they_are_named_so() -> None:
    assert marks_in(b"size 234-567, run 345-678, K7Q-M3X") == ("345-678",)


@cache
def all_files() -> dict[str, bytes]:
    answer = place_plan(asked_for(load_plan(CURVED), ("all",)), CURVED)
    return result_files(answer, "a4") | cutter_files(answer)


@pytest.mark.in_turn(3)
def test_every_file_bears_the_mark() -> None:
    mark = run_mark(check_plan(load_plan(CURVED), CURVED).placement)
    assert {name: marks_in(content) for name, content in all_files().items()} == {name: (mark,) for name in all_files()}


@pytest.mark.in_turn(3)
def test_every_page_and_every_strip_bears_the_mark_in_its_words() -> None:
    mark = run_mark(check_plan(load_plan(CURVED), CURVED).placement)
    with pdfplumber.open(io.BytesIO(all_files()["marking.pdf"])) as pdf:
        for page in pdf.pages:
            words = page.extract_text()
            assert f"run {mark}" in words.splitlines()[0] + "".join(re.findall(r"sheet \d+ of \d+.*", words)), (
                page.page_number
            )
    from closures.app.pages import booklet_of
    from closures.catalogue.loading import load_catalogue
    from closures.drawing.ink.shapes import Group, Item, Words

    def texts(item: Item) -> list[str]:
        if isinstance(item, Group):
            return [text for part in item.items for text in texts(part)]
        return [item.text] if isinstance(item, Words) else []

    answer = place_plan(asked_for(load_plan(CURVED), ("all",)), CURVED)
    pieces = [
        item
        for page in booklet_of(answer, load_catalogue().paper("a4")).pages
        for item in page.items
        if isinstance(item, Group) and item.id == "piece"
    ]
    assert len(pieces) > 10
    assert [piece.title for piece in pieces if mark not in " ".join(texts(piece))] == []


def test_same_tells_a_file_that_holds_and_one_that_does_not(tmp_path: Path) -> None:
    plan = tmp_path / "shirt.toml"
    plan.write_bytes(BUTTONS)
    run = CliRunner().invoke
    assert run(app, ["place", str(plan)]).exit_code == 0
    made = tmp_path / "shirt"
    for name in ("over.svg", "marking.pdf", "report.json", "report.md"):
        held = run(app, ["same", str(made / name), str(plan)])
        assert (held.exit_code, held.stdout.split(":")[0]) == (0, "The same"), name
    mark = marks_in((made / "over.svg").read_bytes())[0]
    # As people type it: the mark without its dash, the plan first, the whole folder.
    for words in (
        [mark.lower(), plan],
        [mark.replace("-", ""), plan],
        [plan, mark],
        [plan, made / "over.svg"],
        [made, plan],
    ):
        assert run(app, ["same", *map(str, words)]).exit_code == 0, words
    two = run(app, ["same", mark, str(made / "over.svg")])
    assert two.exit_code == 2 and "Name the plan beside it" in two.stderr
    (made / "old.svg").write_text("<svg><!-- run AAA-BBB --></svg>".replace("AAA-BBB", "K7Q-M3X"))
    mixed = run(app, ["same", str(made), str(plan)])
    assert mixed.exit_code == 2 and "several run marks" in mixed.stderr
    (made / "old.svg").unlink()
    plan.write_bytes(BUTTONS.replace(b"count = 7", b"count = 8"))
    for what in (str(made / "marking.pdf"), mark):
        gone = run(app, ["same", what, str(plan)])
        assert gone.exit_code == 1 and gone.stdout.startswith("Not the same:"), what
        assert mark_of(plan.read_bytes()) in gone.stdout


def test_same_finds_sizes_and_openings_by_their_own_marks(tmp_path: Path) -> None:
    romper = TEMPLATES / "whole-romper" / "garment.toml"
    run = CliRunner().invoke
    assert run(app, ["place", str(romper), "--out", str(tmp_path / "r")]).exit_code == 0
    told = {path.name: run(app, ["same", str(path), str(romper)]).stdout for path in sorted((tmp_path / "r").iterdir())}
    assert all(text.startswith("The same:") for text in told.values())
    assert ", belt, as" in told["belt-over.svg"] and ", belt, as" not in told["marking.pdf"]


def test_same_refuses_a_file_without_a_mark(tmp_path: Path) -> None:
    bare = tmp_path / "bare.svg"
    bare.write_text("<svg/>")
    refused = CliRunner().invoke(app, ["same", str(bare), str(CURVED)])
    assert refused.exit_code == 2 and "no run mark" in refused.stderr


def test_marks_beside_the_row_count_as_well() -> None:
    text = (TEMPLATES / "double-breasted" / "plan.toml").read_bytes()
    marks = [mark_of(text), mark_of(text.replace(b'apart = "130 mm"', b'apart = "131 mm"'))]
    marks.append(mark_of(re.sub(rb"\ninner = [^\n]*", b"", text)))
    assert len(set(marks)) == 3
