"""Words that no column has room for stand on bare paper, and are never lost."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pdfplumber
import pytest

from closures.app.job import load_plan, place_plan, result_files
from closures.drawing.extras.registry import asked_for
from closures.drawing.ink.extents import boxes_of_words, is_apart
from closures.drawing.ink.shapes import Box
from closures.drawing.paper.column import words_block
from closures.drawing.paper.pages import Tile
from closures.drawing.paper.spare_paper import words_beside
from closures.jobs.table.printer import correction_for

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
ROOM: Box = (70.0, 45.0, 200.0, 285.0)
WHOLE = Tile("A1", 0, 0, (0.0, 0.0, 130.0, 240.0), (), ())
BLOCK = words_block("Cutting", ("Cut one of cloth.",))


def outline(x0: float, y0: float, x1: float, y1: float) -> list[Box]:
    return [(x0, y0, x1, y0), (x0, y1, x1, y1), (x0, y0, x0, y1), (x1, y0, x1, y1)]


@pytest.mark.parametrize(
    "piece",
    [
        pytest.param(outline(5, 5, 45, 235), id="upright"),
        pytest.param(outline(5, 5, 125, 90), id="lying"),
        pytest.param([(0, 10, 130, 10), (0, 100, 130, 100)], id="lying, its ends on other pages"),
    ],
)
def test_words_stand_clear_of_a_piece_and_never_on_it(piece: list[Box]) -> None:
    (items,), left = words_beside([(WHOLE, (70.0, 45.0))], [BLOCK], ROOM, piece)
    assert items and not left
    hull = (
        min(box[0] for box in piece) + 70,
        min(box[1] for box in piece) + 45,
        max(box[2] for box in piece) + 70,
        max(box[3] for box in piece) + 45,
    )
    assert all(is_apart(box, hull) for box in boxes_of_words(items))


def test_words_wait_where_the_piece_fills_the_page() -> None:
    (items,), left = words_beside([(WHOLE, (70.0, 45.0))], [BLOCK], ROOM, outline(2, 2, 128, 238))
    assert not items and left == (BLOCK,)


@pytest.mark.parametrize(
    ("name", "paper", "corrected", "wanted"),
    [
        pytest.param("linen-smock", "letter", True, {"Step along": 1, "Key": 2}, id="lying strip"),
        pytest.param("duvet-foot", "a4", True, {"Step along": 2}, id="full strip"),
        pytest.param("scooped-wrap", "a4", True, {"Key": 2, "Cutting": 4}, id="squares on a shelf"),
        pytest.param("side-opening", "a4", False, {"Cutting": 4, "Key": 2}, id="long key"),
    ],
)
def test_no_words_of_a_page_are_lost(name: str, paper: str, corrected: bool, wanted: dict[str, int]) -> None:
    at = TEMPLATES / name / "plan.toml"
    answer = place_plan(asked_for(load_plan(at), ["all"]), at)
    correction = correction_for(149.2, 150.6, 150.0) if corrected else None
    pdf = result_files(answer, paper, correction)["marking.pdf"]
    with pdfplumber.open(io.BytesIO(pdf)) as pages:
        # In the order in which they are set: read line by line, words beside the drawing would run into its own.
        words = "\n".join("".join(char["text"] for char in page.chars) for page in pages.pages)
    for heading, count in wanted.items():
        assert words.count(heading) >= count, heading
    assert words.count("Taping") == len(re.findall(r"page [A-Z]+1, 1 of (?!1,)", words))


def test_nothing_is_drawn_through_the_square_that_is_measured() -> None:
    at = TEMPLATES / "curved-front" / "plan.toml"
    pdf = result_files(place_plan(load_plan(at), at), "a4")["marking.pdf"]
    mm = 72 / 25.4
    with pdfplumber.open(io.BytesIO(pdf)) as pages:
        assert len(pages.pages) > 2
        for page in pages.pages:
            boxes = [*page.rects, *page.curves]
            square = next(
                box for box in boxes if abs(box["width"] - 50 * mm) < 0.02 and abs(box["height"] - 50 * mm) < 0.02
            )
            inside = [
                one
                for one in page.lines
                if square["top"] + 1 < one["top"] < square["bottom"] - 1
                and one["width"] > 20
                and one["x0"] < square["x1"] - 1
                and one["x1"] > square["x0"] + 1
            ]
            assert not inside
