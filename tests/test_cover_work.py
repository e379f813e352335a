"""What a cover says of the work that no strip shows: who prints the default sheets has no other page of it."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from paper_sets import TEMPLATES, answer_of, groups, words_on

from closures.app.job import advice_of, load_plan, place_plan
from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.sheet import lap_sheet
from closures.jobs.knitting.instructions import knit
from closures.jobs.knitting.words import list_to_knit_by
from closures.jobs.table.strip import strides
from closures.plan.reading import read_plan
from closures.plan.sheets import SheetsWish


@cache
def paragraphs(name: str, order: bool = False) -> list[str]:
    """Every paragraph of the pages of a starting plan, covers first."""
    path = TEMPLATES / name / "plan.toml"
    plan = load_plan(path)
    if order:
        plan = replace(plan, sheets=replace(plan.sheets or SheetsWish(), order=True))
    made = booklet_of(place_plan(plan, path), load_catalogue().paper("a4"))
    covers = made.pages if order else made.pages[: made.covers]
    return [one.title for page in covers for one in groups(page.items) if one.tag == "P"]


def test_cover_of_a_swap_tells_all_that_becomes_of_the_old_closures_before_a_part_is_set() -> None:
    swap = answer_of("shirt-swap").swap
    assert swap is not None
    changes = swap.offer.changes
    # Old buttonholes under new rims: they are closed and backed first, or a part bites into a slit.
    assert any("back each with a patch" in change for change in changes)
    assert set(changes) <= set(paragraphs("shirt-swap"))


@pytest.mark.parametrize(("name", "count"), [("curved-front", 1), ("waistband", 0)])
def test_key_of_a_cover_tells_the_corner_that_every_strip_of_a_lap_bears(name: str, count: int) -> None:
    said = [words.text for words in words_on(booklet_of(answer_of(name), load_catalogue().paper("a4")).pages[0].items)]
    assert " ".join(said).count("points to the edge and the first end") == count


@pytest.mark.parametrize("name", ["cardigan-rows", "cardigan-band"])
def test_cover_of_a_knitted_band_holds_its_list_and_marks_nothing_that_is_knitted(name: str) -> None:
    answer = answer_of(name)
    knitted = knit(answer.placement, answer.catalogue)
    told = paragraphs(name)
    if knitted is None:
        assert not any("knitted by the list" in one for one in told)
        return
    assert set(list_to_knit_by(knitted, "mm")) <= set(told)
    (step,) = [one for one in told if "knitted by the list" in one]
    assert step.startswith("The over lap is knitted")
    (cut,) = [one for one in told if "along the finished edge" in one and one.startswith("Cut")]
    assert cut.startswith("Cut all other pieces")


def test_list_to_knit_by_is_printed_once_where_the_order_of_work_is_printed_too() -> None:
    answer = answer_of("cardigan-rows")
    knitted = knit(answer.placement, answer.catalogue)
    assert knitted is not None
    told = paragraphs("cardigan-rows", order=True)
    lines = set(list_to_knit_by(knitted, "mm"))
    assert [told.count(line) for line in lines] == [1] * len(lines)


@pytest.mark.parametrize("name", ["cardigan-rows", "hook-back", "loop-back"])
def test_strip_to_step_along_is_one_for_both_laps_where_a_tape_tells_the_same_on_both(name: str) -> None:
    placement = answer_of(name).placement
    # The under lap has a line of its own, for another inset or another edge, and no other figure on it.
    assert placement.laps.under.pins_mm
    assert {row.lap for row in strides(placement)} == {None}


def test_sheet_names_the_way_of_a_hole_only_where_it_differs_and_only_on_the_lap_that_has_holes() -> None:
    def told(name: str) -> list[tuple[str, str]]:
        answer = answer_of(name)
        return [
            (subject.name, one.text)
            for subject in subjects_of(answer.placement, answer.findings, answer.catalogue)
            for one in words_on(lap_sheet(subject).drawing)
            if one.text in ("across", "along", "hole across", "hole along")
        ]

    # One buttonhole across on the stand; every hole of the smock has its own length in unwashed cloth, and one way.
    assert told("stand-shirt") == [("over", "hole across")]
    assert told("linen-smock") == []


UNLIKE = """
title = "Teasel shirt"
[edge]
straight = "500 mm"
[garment]
opens = "front"
pieces = "pair"
state = "cut pieces"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
pitch = "80 mm"
[[layer]]
cloth = "poplin"
count = 2
[[differs]]
mark = 1
kind = "sew-through button"
size = "18 L"
"""


@pytest.mark.parametrize(
    ("name", "change", "named"),
    [
        ("stand-shirt", None, ["1 to 8", "2 to 8"]),
        ("double-breasted", None, ["1 to 4"]),
        ("double-breasted", ("[column]", "[column]\nworks = true"), ["1 to 4", "5 to 8"]),
        ("", None, ["1 to 5", "2 to 5"]),
    ],
)
def test_every_straight_way_that_an_order_of_work_names_stands_among_the_check_distances(
    name: str, change: tuple[str, str] | None, named: list[str]
) -> None:
    path = TEMPLATES / name / "plan.toml"
    text = path.read_text() if name else UNLIKE
    assert change is None or change[0] in text
    plan = read_plan((text if change is None else text.replace(*change)).encode(), "plan.toml")
    answer = place_plan(plan, path)
    told = {
        (f"{first} to {last}", mm)
        for step in advice_of(answer).order.steps
        for first, last, mm in re.findall(r"rom mark (\d+) to mark (\d+) it is ([\d.]+) mm", step.done)
    }
    told |= {
        (f"{first} to {last}", mm)
        for step in advice_of(answer).order.steps
        for mm, first, last in re.findall(r"it is ([\d.]+) mm from mark (\d+) to mark (\d+)", step.done)
    }
    assert sorted({marks for marks, _ in told}) == named
    made = booklet_of(answer, load_catalogue().paper("a4"))
    rows = [
        tuple(cell.title for cell in groups(row.items) if cell.tag != "Artifact")
        for page in made.pages[: made.covers]
        for row in groups(page.items)
        if row.tag == "TR"
    ]
    listed = {(marks, mm) for marks, _, mm, *_ in (row for row in rows if len(row) == 4)}
    assert told <= listed
    # A column for show is marked with the row, and proved by a way of its own.
    assert ("5 to 8" in {marks for marks, _ in listed}) == (name == "double-breasted")
