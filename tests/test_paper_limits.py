"""A sample of what `paper_limits.py` tells by hand, and that it would notice."""

from __future__ import annotations

import pytest
from paper_limits import can_pack, frames_of, told_of_random, told_of_small
from paper_sets import STARTING, answer_of

from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.drawing.ink.shapes import Item
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.columns import word_pages
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.words import Chapter, Table


def test_random_plans_keep_what_pages_must() -> None:
    *faults, told = told_of_random(5, 11)
    assert faults == [] and told.startswith("5 random plans")


def test_small_plans_take_no_more_sheets_than_need_be() -> None:
    assert list(told_of_small(3, 5)) == ["3 small plans, 0 of them on more sheets than need be."]


def test_search_finds_what_fits_and_what_does_not() -> None:
    frame = frames_of("a4", "Smock")[0]
    width, height = frame.body[2] - frame.body[0], frame.body[3] - frame.body[1]
    assert can_pack([(width, 30.0), (width, 30.0)], frame, 1)
    assert not can_pack([(width, 30.0)] * int(height / 30.0 + 1), frame, 1)
    assert can_pack([(width, 30.0)] * int(height / 30.0 + 1), frame, 2)


@pytest.mark.parametrize("name", STARTING)
def test_cover_of_every_starting_plan_is_one_sheet(name: str) -> None:
    assert booklet_of(answer_of(name), load_catalogue().paper("a4")).covers == 1


def test_head_of_a_table_stands_again_where_a_column_begins_within_it() -> None:
    rows = tuple((str(n), f"{n}.5") for n in range(1, 151))
    chapter = Chapter("Marks", (Table("Where", ("mark", "along, mm"), rows, (1.0, 2.0)),))
    pages = word_pages((chapter,), (210.0, 297.0), PageWords("Smock", "A4"), USUAL_TYPE)

    def heads(items: tuple[Item, ...]) -> int:
        return sum((getattr(one, "text", "") == "along, mm") + heads(getattr(one, "items", ())) for one in items)

    assert [heads(page.items) for page in pages] == [2] * len(pages) and len(pages) > 1
