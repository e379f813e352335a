"""Pages of words as they are read: a heading stays with what it stands over, a row is whole, a sheet is worth printing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from paper_sets import STARTING, TEMPLATES, answer_of, groups, words_on

from closures.app.job import load_plan, place_plan
from closures.app.options import lettered_as
from closures.app.pages import booklet_of, marking_of
from closures.app.whole import shared_of, work_garment
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.registry import asked_for
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import FINE, Box, Group, Words, line
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.marking import make_set
from closures.drawing.paper.blocks import set_part
from closures.drawing.paper.booklet import Booklet
from closures.drawing.paper.columns import MARGIN_MM, WordPage, word_pages
from closures.drawing.paper.head import head_of
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
        # A failed check stands before every heading.
        assert first.tag not in ("P", "TR") or first.title.startswith("A check failed: "), (
            where,
            page.name,
            first.title,
        )
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


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "paper", "large"), CASES)
def test_headings_rows_and_sheets_of_every_starting_plan_are_whole(name: str, paper: str, large: bool) -> None:
    try:
        made = booklet(name, paper, large)
    except OutputError:
        # What is refused on a small paper is held on a roll.
        paper, made = "roll", booklet(name, "roll", large)
    pages = word_sheets(made)
    hold(pages, {made.covers - 1, len(pages) - 1}, f"{name}, {paper}, {'large' if large else 'usual'}")
    # Two covers hold the work as well, what becomes of old closures and the list to knit by: in large letters, on three.
    most = 3 if large and name in ("shirt-swap", "cardigan-rows") else 2
    assert made.covers <= most or paper not in PAPERS[:2]


@pytest.mark.in_turn(3)
def test_long_title_stands_in_full_on_every_sheet_in_small_letters_where_it_takes_many_rows() -> None:
    """In its own large letters it took four rows on every sheet, and laps that share one no longer found room."""
    title = "A smock whose title is far longer than any head of any page could ever hold in one line of type"
    file = TEMPLATES / "curved-front" / "plan.toml"
    plan = asked_for(lettered_as(load_plan(file), True, None), ["all"])
    paper = load_catalogue().paper("a4")
    made, short = (
        booklet_of(place_plan(one, file), paper) for one in (replace(plan, title=title), replace(plan, title="Smock"))
    )
    heads = [
        [words for words in words_on((group,)) if not words.text.startswith("sheet ")]
        for page in made.pages
        for group in groups(page.items)
        if group.id == "head"
    ]
    assert len(heads) == len(made.pages) and made.templates <= short.templates + 1
    for number, rows in enumerate(heads):
        assert " ".join(words.text for words in rows) == title
        # Words begin on the cover and again after the strips; a sheet that lies across may have room for it in one row.
        begins = number in (0, made.covers + made.templates)
        size = type_scale(True).title if begins or len(rows) == 1 else type_scale(True).figure
        assert {words.size_mm for words in rows} == {size}


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("words", [12, 40, 90])
def test_title_of_any_length_keeps_off_the_number_of_its_sheet(words: int, large: bool) -> None:
    scale, right = type_scale(large), "sheet 88 of 88 · for A4 · run ABC-DEF"
    title = " ".join(["Saltmarsh"] * words)
    for is_first in (True, False):
        head = head_of(title, right, 180.0, scale, is_first)
        *rows, last = head.words((10.0, 10.0), 190.0, right)
        assert " ".join(row.text for row in rows) == title and last.text == right
        widths = [width_of(row.text, row.size_mm, row.weight) for row in rows]
        assert widths[0] + width_of(right, last.size_mm, last.weight) <= 180.0 and max(widths) <= 180.0
        assert rows[-1].y < 10.0 + head.deep_mm and 10.0 + head.deep_mm - rows[-1].y < scale.title


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", GARMENTS)
def test_headings_rows_and_sheets_of_every_garment_are_whole(name: str, large: bool) -> None:
    whole = work_garment(TEMPLATES / name / "garment.toml", large=large)
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    made = make_set(markings, whole.garment.title, load_catalogue().paper("a4"), shared=shared_of(whole))
    pages = word_sheets(made)
    hold(pages, {made.covers - 1, len(pages) - 1}, f"{name}, {'large' if large else 'usual'}")


def test_lines_come_closer_before_a_page_more_is_printed_and_letters_stay_as_large() -> None:
    def set_of(count: int) -> tuple[WordPage, ...]:
        section = Section("Rows", tuple(f"Line {k}." for k in range(count)), tight=True)
        return word_pages((Chapter("", (section,)),), (210.0, 297.0), PageWords("Smock", "A4"), type_scale(False))

    def rows_of(pages: tuple[WordPage, ...]) -> list[float]:
        (page,) = pages
        set_rows = [words for words in words_on(page.items) if words.text.startswith("Line ")]
        assert {words.size_mm for words in set_rows} == {type_scale(False).text}
        return [b.y - a.y for a, b in pairwise(set_rows) if b.y > a.y]

    most = next(count for count in range(100, 200) if len(set_of(count + 1)) > 1)
    text = type_scale(False).text
    assert max(rows_of(set_of(most))) < 1.26 * text <= min(rows_of(set_of(100)))
    # Closer than that, letters that hang down would meet those that stand up.
    assert min(rows_of(set_of(most))) >= 1.12 * text - 1e-9


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


_A4 = (210.0, 297.0)
_SHORT = tuple(Chapter(name, (Section("", (f"{name}. {'words ' * 30}", "words " * 30)),)) for name in ("One", "Two"))


def _pages(*chapters: Chapter, large: bool = False) -> tuple[WordPage, ...]:
    return word_pages(chapters, _A4, PageWords("Smock", "A4"), type_scale(large))


def _places(page: WordPage) -> dict[str, Box]:
    return {one.title: box_of(one) for one in groups(page.items) if one.tag in WORDS and one.id != "head"}


_MEASURES = 5


def _measure(n: int, wide: float) -> tuple[ChapterPart, ...]:
    """Something to measure: some words, the last of them a short line, and a picture under them."""
    section = Section(f"Measure {n}", (f"{n} first. {'words ' * 24}", f"{n} then. {'words ' * 24}", f"Write {n}."))
    return (section, Picture((line((0.0, 0.0), (wide, 30.0), pen=FINE),), (wide, 30.0), f"picture {n}"))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("wide", [80.0, 120.0])
def test_picture_stands_right_under_its_words_and_no_single_line_is_continued(wide: float, large: bool) -> None:
    # Where one sheet less does for it, as with seven of them, a picture may stand overleaf.
    parts = tuple(part for n in range(_MEASURES) for part in _measure(n, wide))
    pages = _pages(Chapter("Measuring", parts), large=large)
    for n in range(_MEASURES):
        (on,) = (places for places in map(_places, pages) if f"picture {n}" in places)
        words, picture = on[f"Write {n}."], on[f"picture {n}"]
        assert words[3] < picture[1] < words[3] + 6.0, (
            "other words stand between, or the picture is parted from its own"
        )
        assert abs(words[0] - picture[0]) < 0.5
        over = [on[title] for title in (f"Measure {n}", f"Measure {n} (continued)") if title in on]
        assert any(abs(title[0] - words[0]) < 0.5 and title[3] < words[1] for title in over)
    for places in map(_places, pages):
        for title, box in places.items():
            if title.endswith("(continued)") and title.startswith("Measure"):
                under = [name for name, one in places.items() if one[1] > box[1] and abs(one[0] - box[0]) < 0.5]
                assert not under[0].startswith("Write"), f"'{title}' stands over a single line"


def test_short_chapters_stand_beside_each_other_each_in_one_column() -> None:
    (page,) = _pages(*_SHORT)
    assert page.titles == ("One", "Two")
    places = _places(page)
    assert places["One"][0] < 20.0 < 100.0 < places["Two"][0] and abs(places["One"][1] - places["Two"][1]) < 0.5
    for name in ("One", "Two"):
        mine = [box for title, box in places.items() if title.startswith(f"{name}. ")]
        assert mine and all(abs(box[0] - places[name][0]) < 0.5 for box in mine)


@pytest.mark.parametrize("filler", range(36, 66, 3))
def test_short_chapters_cost_no_sheet_where_they_find_room_below_a_long_one(filler: int) -> None:
    long = Chapter("Work", (Section("", tuple(f"{n}: {'words ' * 20}" for n in range(filler))),))
    apart = _pages(long, *(Chapter(one.title, one.parts, own_sheet=True) for one in _SHORT))
    pages = _pages(long, *_SHORT)
    assert len(pages) <= len(apart) - 1
    assert [title for page in pages for title in page.titles] == ["Work", "One", "Two"]


def test_section_alone_has_its_heading_over_both_columns() -> None:
    rows = (("strikes", "", ""),)
    table = Table("What it took", ("", "try 1", "try 2"), rows, (4.0, 1.0, 1.0), wide=True)
    section = Section("Make this first", tuple(f"{n}: {'words ' * 30}" for n in range(4)))
    (page,) = _pages(Chapter("Trial", (section, table)))
    (told,) = _told((page,))
    assert [title for title, _ in told] == ["Trial", "Make this first", "What it took"]
    lefts = {round(box[0]) for title, box in _places(page).items() if title[:1].isdigit()}
    assert len(lefts) == 2, "it is set in one column, beside an empty one"


def test_key_of_many_signs_is_one_block_in_two_columns_of_their_own() -> None:
    sign = (line((-5.0, 0.0), (5.0, 0.0), pen=FINE),)
    rows = tuple(SampleRow(sign, f"{n} {'meaning ' * (8 if n == 0 else 1)}".strip()) for n in range(8))
    _, block = set_part(Key("What the signs mean", rows), 89.0, 186.0, type_scale(False))
    tops = {one.title[0]: box_of(one)[1] for one in groups(block.items) if one.tag == "P"}
    # The first is several lines long; those beside it keep to their own rows, and stand as close as ever.
    right = [tops[str(n)] for n in range(8) if tops[str(n)] < tops["1"] and n]
    assert len(right) >= 3, "a long meaning holds up what stands beside it"


def test_long_meaning_of_a_sign_is_set_over_both_columns_of_its_key() -> None:
    sign = (line((-5.0, 0.0), (5.0, 0.0), pen=FINE),)
    rows = tuple(SampleRow(sign, f"{n} {'meaning ' * (24 if n == 2 else 1)}".strip()) for n in range(8))
    _, block, below = set_part(Key("What the signs mean", rows), 89.0, 186.0, type_scale(False))
    told = {one.title[0] for one in groups(block.items) if one.tag == "P"}
    (long,) = [one for one in groups(below.items) if one.tag == "P"]
    assert told == set("0134567") and long.title.startswith("2 meaning")
    # In half of the column it took a dozen lines beside white paper.
    assert len([one for one in long.items if isinstance(one, Words)]) <= 5 and box_of(long)[2] > 89.0 / 2 + 15.0


def test_squares_on_a_cover_are_not_said_to_be_of_the_table_before_them() -> None:
    from closures.drawing.squares import squares_to_measure

    rows = tuple((str(k), f"{k} mm") for k in range(9))
    filler = Section("", tuple(f"Line {k}." for k in range(36)), tight=True)
    table = Table("Where each mark lies", ("mark", "along"), rows, (1.0, 1.0))
    pages = _pages(Chapter("", (filler, table, *squares_to_measure(type_scale(False)))))
    titles = [title for page in _told(pages) for title, _ in page]
    assert titles == ["Where each mark lies", "Measure these as well"]


def test_measures_and_stacks_fit_a_column_of_every_paper() -> None:
    from closures.drawing.extras.measuring import _PICTURE_WIDTH_MM, _PICTURES
    from closures.drawing.extras.stack_picture import WIDTH_MM, stack_picture
    from closures.drawing.ink.extents import union

    for name, draw in _PICTURES.items():
        assert union(box_of(item) for item in draw())[2] <= _PICTURE_WIDTH_MM <= 89.0, name
    for name in STARTING:
        for share in answer_of(name).placement.shares:
            picture = stack_picture(share)
            box = union(box_of(item) for item in picture.items)
            assert box[0] >= -0.1 and box[2] <= WIDTH_MM + 0.1 <= 89.1, name
            assert box[3] <= picture.size_mm[1] + 0.1, name


def test_words_after_a_column_of_figures_keep_off_it() -> None:
    rows = tuple((str(n), f"{n}0.5", "bust point" if n == 3 else "") for n in range(1, 6))
    table = Table("", ("mark", "to next, mm", "anchor"), rows, (1.0, 1.0, 1.0))
    for block in set_part(table, 60.0, 186.0, type_scale(False)):
        cells = {one.title: box_of(one) for one in groups(block.items) if one.tag in ("TD", "TH") and one.title}
        for figure, words in (("to next, mm", "anchor"), ("30.5", "bust point")):
            if words in cells:
                assert cells[words][0] - cells[figure][2] >= 4.5


@pytest.mark.parametrize(("name", "has"), [("curved-front", True), ("calm-front", True), ("linen-smock", False)])
def test_table_of_marks_has_a_column_for_anchors_where_there_are_any(name: str, has: bool) -> None:
    heads = [
        [one.title for one in groups((row,)) if one.tag == "TH"]
        for page in booklet(name, "a4", False).pages[:1]
        for row in groups(page.items)
        if row.tag == "TR" and any(one.title.startswith("along") for one in groups((row,)))
    ]
    assert len(heads) == 1 and ("anchor" in heads[0]) is has


def test_heads_and_words_of_the_table_of_marks_keep_to_one_line() -> None:
    page = booklet("double-breasted", "a4", False).pages[0]
    told = ("along, mm", "along, in", "to next, mm", "anchor", "beside the row")
    cells = [one for one in groups(page.items) if one.title in told]
    assert {one.title for one in cells} == set(told) and all(len(one.items) == 1 for one in cells)


def test_maps_of_a_cover_are_as_large_as_its_columns_allow() -> None:
    def high(paper: str) -> float:
        page = booklet("shirt-front", paper, False).pages[0]
        (figure,) = (one for one in groups(page.items) if one.tag == "Figure" and "lap, small" in one.title)
        box = box_of(figure)
        assert box[2] - box[0] <= (page.width_mm - 2 * MARGIN_MM) / 2
        return box[3] - box[1]

    # On A3 a column is half as wide again.
    assert high("a3") > 1.3 * high("a4")


@pytest.mark.parametrize("large", [False, True])
def test_figures_of_a_table_stay_whole_beside_names_of_any_length(large: bool) -> None:
    """With large letters "1" stood above "9/16" where an anchor's name took the room: read as 1, or as 9/16."""
    rows = (
        ("4", "6 3/8", "161.3", "1 9/16", "Schulterblätterzwischenraum beim Sitzen"),
        ("10", "17 3/4", "450.2", "", ""),
    )
    head = ("mark", "along, in", "along, mm", "to next, in", "anchor")
    table = Table("Where each mark lies", head, rows, (2.0, 3.4, 3.4, 3.4, 4.4))
    cells = {
        one.title: one.items for block in set_part(table, 86.0, 86.0, type_scale(large)) for one in groups(block.items)
    }
    for figure in ("4", "6 3/8", "161.3", "1 9/16", "10", "17 3/4", "450.2"):
        assert [words.text for words in cells[figure]] == [figure]
