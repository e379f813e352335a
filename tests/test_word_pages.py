"""Pages of words as they are read: a heading stays with what it stands over, a row is whole, a sheet is worth printing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest
from paper_sets import STARTING, TEMPLATES, answer_of, groups

from closures.app.job import load_plan, place_plan
from closures.app.options import lettered_as
from closures.app.pages import booklet_of, marking_of
from closures.app.whole import shared_of, work_garment
from closures.catalogue.loading import load_catalogue
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.shapes import FINE, Box, Group, line
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.marking import make_set
from closures.drawing.paper.booklet import Booklet
from closures.drawing.paper.columns import MARGIN_MM, WordPage, word_pages
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.printed import Printed
from closures.drawing.paper.words import (
    Chapter,
    ChapterPart,
    Key,
    Notice,
    Picture,
    SampleRow,
    Section,
    Table,
    set_part,
)
from closures.errors import OutputError

HEADINGS, WORDS = ("H1", "H2"), ("H1", "H2", "P", "TR", "Figure")
# Every starting plan in both letterings; the papers in turn, so that each meets both.
PAPERS = ("a4", "letter", "a3", "roll")
CASES = [
    (name, PAPERS[(k // 4 + 2 * large) % 4 if k % 4 == 0 else (k + large) % 2], large)
    for k, name in enumerate(STARTING)
    for large in (False, True)
]
GARMENTS = sorted(path.parent.name for path in TEMPLATES.glob("*/garment.toml"))


def booklet(name: str, paper: str, large: bool) -> Booklet:
    plan = TEMPLATES / name / "plan.toml"
    return booklet_of(place_plan(lettered_as(load_plan(plan), large, None), plan), load_catalogue().paper(paper))


def word_sheets(made: Booklet) -> list[Printed]:
    return [*made.pages[: made.covers], *made.pages[made.covers + made.templates :]]


def set_on(page: Printed) -> Iterator[tuple[Group, Box]]:
    """What is set on a page below its head: headings, paragraphs, rows and figures, the outermost of each."""
    for item in page.items:
        if isinstance(item, Group) and item.id != "head":
            for one in [item] if item.tag in WORDS else [g for g in groups((item,)) if g.tag in WORDS]:
                yield one, box_of(one)


def hold(pages: list[Printed], last_of: set[int], where: str) -> None:
    for k, page in enumerate(pages):
        found = list(set_on(page))
        assert found, f"{where}, sheet {page.name}: nothing is set on it"
        # What goes on from the page before says whose it is.
        first, _ = min(found, key=lambda pair: (round(pair[1][1] / 5.0), pair[1][0]))
        assert first.tag not in ("P", "TR"), (where, page.name, first.title)
        bottom = page.height_mm - MARGIN_MM
        for group, box in found:
            assert box[3] <= bottom + 0.6 and box[2] <= page.width_mm - MARGIN_MM + 0.6, (where, page.name, group.title)
        for group, box in found:
            below = [one for one, other in found if other[1] > box[1] + 0.5 and other[0] < box[2] and other[2] > box[0]]
            if group.tag in HEADINGS:
                assert below, f"{where}, sheet {page.name}: '{group.title}' stands over nothing"
        low = max(box[3] for _, box in found)
        share = (low - 2 * MARGIN_MM) / (page.height_mm - 3 * MARGIN_MM)
        assert share >= 0.15 or k in last_of, f"{where}, sheet {page.name} is {share:.0%} full"


@pytest.mark.parametrize(("name", "paper", "large"), CASES)
def test_headings_rows_and_sheets_of_every_starting_plan_are_whole(name: str, paper: str, large: bool) -> None:
    try:
        made = booklet(name, paper, large)
    except OutputError:
        # What is refused on a small paper is held on a roll.
        paper, made = "roll", booklet(name, "roll", large)
    pages = word_sheets(made)
    hold(pages, {made.covers - 1, len(pages) - 1}, f"{name}, {paper}, {'large' if large else 'usual'}")
    assert made.covers <= 2 or paper not in PAPERS[:2]


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", GARMENTS)
def test_headings_rows_and_sheets_of_every_garment_are_whole(name: str, large: bool) -> None:
    from dataclasses import replace

    whole = work_garment(TEMPLATES / name / "garment.toml", large=large)
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    made = make_set(markings, whole.garment.title, load_catalogue().paper("a4"), shared=shared_of(whole))
    pages = word_sheets(made)
    hold(pages, {made.covers - 1, len(pages) - 1}, f"{name}, {'large' if large else 'usual'}")


@pytest.mark.parametrize("filler", range(30, 60))
def test_title_of_a_chapter_goes_over_with_a_table_that_finds_no_room(filler: int) -> None:
    rows = tuple((str(k), f"{k} mm") for k in range(9))
    chapters = (
        Chapter("One", (Section("", tuple(f"Line {k}." for k in range(filler)), tight=True),)),
        Chapter("Two", (Table("Short table", ("mark", "along"), rows, (1.0, 1.0)),)),
    )
    paper = load_catalogue().paper("a4")
    pages = word_pages(chapters, (210.0, 297.0), PageWords("Words", paper.name), type_scale(True))
    printed = [Printed(str(k), 210.0, 297.0, (), page.items) for k, page in enumerate(pages, 1)]
    for page in printed:
        found = list(set_on(page))
        names = [group.title for group, _ in found]
        assert ("Two" in names) == ("Short table" in names)
        # A short table is parted only where that saves a sheet; its head stands again then.
        count = sum(group.tag == "TR" for group, _ in found)
        assert count in (0, 10) or (count == 11 and len(pages) == 1)


@pytest.mark.parametrize("numbered", [False, True])
@pytest.mark.parametrize("filler", range(20, 60))
def test_short_list_is_broken_after_no_single_line(filler: int, numbered: bool) -> None:
    words, scale = PageWords("Kelp smock", "A4"), type_scale(False)
    long = Section("Steps", tuple(f"step {k}" for k in range(filler)))
    items = tuple(f"item {k}" for k in range(4))
    pages = word_pages(
        (Chapter("", (long, Section("To have at hand", items, tight=True))),), (210.0, 160.0), words, scale
    )
    places = [
        (number, box_of(group)[0])
        for number, page in enumerate(pages)
        for group in groups(page.items)
        if group.title in items
    ]
    assert len(places) == 4 and places[0] == places[1] and places[2] == places[3]


def test_page_of_words_off_a_roll_is_cut_below_its_last_word() -> None:
    made = booklet_of(answer_of("calm-front"), load_catalogue().paper("roll"))
    cover = made.pages[0]
    low = max(box_of(item)[3] for item in cover.items)
    # It was as long as the roll is wide, 610 mm, and three quarters of it were white.
    assert cover.width_mm == 610.0 and low < cover.height_mm < low + 12.5 < 250.0


_TALL = tuple(f"{n}: {'words ' * 40}" for n in range(60))
_SIGN = SampleRow((line((-5.0, 0.0), (5.0, 0.0), pen=FINE),), "words " * 60)
_GOES_ON = {
    "section": Section("How to", _TALL),
    "section without a heading": Section("", _TALL),
    "table": Table("How to", ("mark", "does"), tuple((str(k), one) for k, one in enumerate(_TALL)), (1.0, 4.0)),
    "wide table": Table(
        "How to", ("mark", "does"), tuple((str(k), one) for k, one in enumerate(_TALL)), (1.0, 4.0), wide=True
    ),
    "key": Key("How to", (_SIGN,) * 60),
}


def _told(pages: Sequence[WordPage]) -> list[list[tuple[str, float]]]:
    """The headings of each page, with how far from its left they stand."""
    return [
        [(one.title, box_of(one)[0]) for one in groups(page.items) if one.tag in HEADINGS and one.id != "head"]
        for page in pages
    ]


@pytest.mark.parametrize("part", _GOES_ON.values(), ids=_GOES_ON)
def test_page_and_column_that_go_on_say_of_what(part: ChapterPart) -> None:
    pages = word_pages((Chapter("Work", (part,)),), (210.0, 297.0), PageWords("Smock", "A4"), type_scale(False))
    told = _told(pages)
    assert len(pages) > 1
    assert [page[0][0] for page in told] == ["Work"] + ["Work (continued)"] * (len(pages) - 1), told
    if not part.heading:
        return
    columns = 1 if isinstance(part, Table) and part.wide else 2
    assert [title for title, _ in told[0][1:]] == ["How to"] + ["How to (continued)"] * (columns - 1)
    for page in told[1:-1]:
        assert [title for title, _ in page[1:]] == ["How to (continued)"] * columns
        assert [x > 100.0 for _, x in page[1:]] == [False, True][:columns]


@pytest.mark.parametrize("wide", [False, True])
@pytest.mark.parametrize("lines", range(34, 60, 3))
def test_notice_that_comes_overleaf_stands_under_the_name_of_its_chapter(lines: int, wide: bool) -> None:
    section = Section("How to", tuple(f"{n}: {'words ' * 20}" for n in range(lines)))
    chapter = Chapter("Work", (section, Notice("Hold at once. " * 30, "STOP", wide)))
    pages = word_pages(
        (chapter, Chapter("Next", (Section("", ("End.",)),))),
        (210.0, 297.0),
        PageWords("Smock", "A4"),
        type_scale(False),
    )
    for page, told in zip(pages, _told(pages), strict=True):
        if any(one.title.startswith("Hold") for one in groups(page.items)):
            assert told[0][0].startswith("Work"), told
        if any(one.title == "End." for one in groups(page.items)):
            assert "Next" in [title for title, _ in told] and "Next (continued)" not in str(told)


def test_chapter_on_a_sheet_of_its_own_is_not_said_to_be_of_the_one_before() -> None:
    chapters = (Chapter("Work", (Section("", ("One.",)),)), Chapter("Own", (Section("", ("Two.",)),), own_sheet=True))
    pages = word_pages(chapters, (210.0, 297.0), PageWords("Smock", "A4"), type_scale(False))
    assert [[title for title, _ in page] for page in _told(pages)] == [["Work"], ["Own"]]


def test_section_that_begins_overleaf_names_its_chapter() -> None:
    sections = tuple(Section(f"Part {n}", (f"{n}: {'words ' * 330}",)) for n in range(12))
    pages = word_pages((Chapter("Work", sections),), (210.0, 297.0), PageWords("Smock", "A4"), type_scale(False))
    told = [[one.title for one in groups(page.items) if one.tag in HEADINGS and one.id != "head"] for page in pages]
    assert len(pages) > 1 and all(page[0] == "Work (continued)" for page in told[1:]), told


@pytest.mark.parametrize("filler", range(20, 60, 4))
def test_picture_that_comes_overleaf_stands_under_the_heading_of_its_section(filler: int) -> None:
    section = Section("How to", tuple(f"{n}: {'words ' * 12}" for n in range(filler)))
    picture = Picture((line((0.0, 0.0), (150.0, 60.0), pen=FINE),), (150.0, 60.0), "a slope")
    pages = word_pages(
        (Chapter("Work", (section, picture)),), (210.0, 160.0), PageWords("Smock", "A4"), type_scale(False)
    )
    last = [one for one in groups(pages[-1].items) if one.id != "head"]
    assert any(one.title.startswith("How to") for one in last if one.tag in HEADINGS), [one.title for one in last]
    assert any(one.title == "a slope" for one in last)


def test_heading_that_names_its_chapter_does_not_say_it_twice_overleaf() -> None:
    part = Section("Order of work: tick each step", ("First.", "Then."))
    assert all(block.continued is None for block in set_part(part, 90.0, 190.0, type_scale(False), "Order of work"))
    assert set_part(part, 90.0, 190.0, type_scale(False), "Other")[1].continued is not None
