"""A sample of what `paper_limits.py` tells by hand, and that it would notice."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import paper_limits
import pytest
from paper_limits import can_pack, frames_of, hold_words, least_of, told_of_random, told_of_small
from paper_sets import ODD, STARTING, TEMPLATES, answer_of, groups, laid, leaves, words_on
from work import calls_of

from closures.app.job import load_plan, place_plan
from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue, paper_keys
from closures.drawing.ink.extents import box_of, is_apart
from closures.drawing.ink.shapes import Circle, Item
from closures.drawing.ink.type_scale import USUAL_TYPE, type_scale
from closures.drawing.paper import following as following_module
from closures.drawing.paper.booklet import Templates, lay_templates
from closures.drawing.paper.columns import word_pages
from closures.drawing.paper.cutting import choices
from closures.drawing.paper.following import apart_by, following
from closures.drawing.paper.join_places import LEAST_CLEAR_MM
from closures.drawing.paper.packing import GAP_MM, Laid, pack
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.parts import Part
from closures.drawing.paper.piece import Piece
from closures.drawing.paper.words import Chapter, Table
from closures.drawing.sheets.drawing import long_pieces, subjects_of
from closures.errors import OutputError


@pytest.mark.in_turn(3)
def test_random_plans_keep_what_pages_must() -> None:
    *faults, told = told_of_random(5, 11)
    assert faults == [] and told.startswith("5 random plans")


@pytest.mark.in_turn(3)
def test_further_pieces_that_are_refused_in_words_are_counted_and_are_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(name: str, paper: str, large: bool = False, everything: bool = False) -> None:
        if everything or (large and paper == "letter"):
            raise OutputError("no piece can be cut", mend="Leave these pieces out.")

    monkeypatch.setattr(paper_limits.test_paper, "test_nothing_is_cut_and_no_page_is_empty", refuses)
    *faults, told = told_of_random(1, 11)
    # Laps that are refused once their plan was placed are one.
    assert len(faults) == 1 and " on letter: refuses: " in faults[0]
    assert told.endswith("With all further sheets: 1 more.")


def test_small_plans_take_no_more_sheets_than_need_be() -> None:
    assert list(told_of_small(3, 5)) == ["3 small plans, 0 of them on more sheets than need be."]


@pytest.mark.parametrize("name", ["sixty", "ninety buttons", "eighty snaps"])
def test_sets_with_all_further_pieces_take_no_more_sheets_than_need_be(name: str) -> None:
    found = laid(name, everything=True).laying.pages
    # Asked one sheet further, the search must find the laying that there is.
    assert least_of(name, "a4", found + 1, everything=True) == found


def test_search_finds_what_fits_and_what_does_not() -> None:
    frame = frames_of("a4", "Smock")[0]
    width, height = frame.body[2] - frame.body[0], frame.body[3] - frame.body[1]
    assert can_pack([(width, 30.0), (width, 30.0)], frame, 1)
    assert not can_pack([(width, 30.0)] * int(height / 30.0 + 1), frame, 1)
    assert can_pack([(width, 30.0)] * int(height / 30.0 + 1), frame, 2)


def clear_of_marks(templates: Templates) -> list[float]:
    """How far the line of every join lies from the ink of every mark on its piece, in mm."""
    found = []
    for piece in (one.piece for one in templates.laying.pieces):
        inside = groups(piece.items)
        marks = [
            one for one in inside if one.id.rpartition("-")[0] == piece.lap and one.id.rpartition("-")[2].isdigit()
        ]
        for join in (one for one in inside if one.id.startswith("join-")):
            (ax, ay), (bx, by) = ((i.x, i.y) for i in leaves(join.items) if isinstance(i, Circle))
            far = math.dist((ax, ay), (bx, by))
            for x0, y0, x1, y1 in map(box_of, marks):
                corners = [((bx - ax) * (ay - y) - (ax - x) * (by - ay)) / far for x in (x0, x1) for y in (y0, y1)]
                found.append(0.0 if min(corners) < 0.0 < max(corners) else min(map(abs, corners)))
    return found


# Large letters change the room beside a mark, not that of a paper.
@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("paper", "large"), [*((paper, False) for paper in paper_keys()), ("a4", True)])
@pytest.mark.parametrize("pitch", [9, 10, 11.5, 15, 19.05, 25])
def test_join_between_close_hooks_enters_none_or_is_refused_in_words(pitch: float, paper: str, large: bool) -> None:
    try:
        templates = laid(f"hooks {pitch}", paper, large)
    except OutputError as error:
        # Hooks and eyes take about 9 mm of the row: nothing is left between them, and A3 is no 460 mm long.
        assert pitch == 9 and paper in ("a4", "letter", "a3")
        assert "a join between two sheets would cut one" in str(error)
        return
    assert all(clear >= LEAST_CLEAR_MM - 1e-6 for clear in clear_of_marks(templates))


@pytest.mark.parametrize("kind", ["hook tape", "snap tape"])
@pytest.mark.parametrize(("pitch", "cap"), [(8, 7), (10, 9), (13, 9)])
def test_tape_whose_crosses_would_meet_is_printed_on_a4(kind: str, pitch: int, cap: int) -> None:
    templates = laid(f"{kind} {pitch} {cap}", "a4")
    clear = clear_of_marks(templates)
    assert clear and min(clear) >= LEAST_CLEAR_MM - 1e-6


# On A4, Letter, A3, A0 and a roll, counted once: what comes to need more sheets is to be looked at. A part of the coat's
# front holds one button of its row, 120 mm apart, on A4 as on Letter: four for each lap.
SHEETS = {
    "back-dress": (1, 1, 1, 1, 1),
    "bib": (1, 1, 1, 1, 1),
    "calm-front": (3, 3, 1, 1, 1),
    "cape-corner": (2, 2, 1, 1, 1),
    "cardigan-band": (2, 3, 1, 1, 1),
    "cardigan-rows": (2, 2, 1, 1, 1),
    "closed-outline": (2, 2, 1, 1, 1),
    "crossed-wrap": (1, 2, 1, 1, 1),
    "crotch-flap": (1, 1, 1, 1, 1),
    "cuff": (2, 2, 1, 1, 1),
    "curved-front": (3, 3, 2, 1, 1),
    "double-breasted": (7, 8, 3, 1, 1),
    "duvet-foot": (6, 6, 3, 1, 1),
    "from-dxf": (2, 2, 1, 1, 1),
    "from-pdf": (2, 2, 1, 1, 1),
    "hidden-button": (1, 1, 1, 1, 1),
    "hook-back": (2, 2, 1, 1, 1),
    "hook-tape": (2, 2, 1, 1, 1),
    "jacket-placket": (3, 3, 1, 1, 1),
    "knit-jacket": (1, 2, 1, 1, 1),
    "laced-bodice": (2, 2, 1, 1, 1),
    "linen-smock": (2, 3, 1, 1, 1),
    "loop-back": (2, 2, 1, 1, 1),
    "sash-belt": (1, 1, 1, 1, 1),
    "scooped-wrap": (1, 1, 1, 1, 1),
    "shirt-front": (2, 3, 1, 1, 1),
    "shirt-swap": (3, 3, 1, 1, 1),
    "side-opening": (2, 2, 2, 1, 1),
    "stand-shirt": (2, 3, 1, 1, 1),
    "striped-shirt": (2, 2, 1, 1, 1),
    "waistband": (1, 1, 1, 1, 1),
}


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_starting_plans_take_no_more_sheets_than_they_did(name: str) -> None:
    pages = [laid(name, paper).laying.pages for paper in ("a4", "letter", "a3", "a0", "roll")]
    assert all(now <= then for now, then in zip(pages, SHEETS[name], strict=True)), pages


@pytest.mark.parametrize(
    ("name", "paper", "most"),
    [("cardigan-band", "a4", 0), ("linen-smock", "a4", 0), ("from-pdf", "letter", 0), ("duvet-foot", "letter", 5)],
)
def test_parts_of_a_lap_lie_on_as_few_sheets_that_follow_each_other_as_can_be(name: str, paper: str, most: int) -> None:
    pieces = [one for one in laid(name, paper).laying.pieces if one.piece.strip]
    assert apart_by([one.piece for one in pieces], [one.page for one in pieces]) <= most


def test_scattered_parts_are_counted_by_pages_further_and_by_pages_back() -> None:
    over, under = (
        [Piece(lap, (), (9.0, 9.0), "", strip=lap, number=k) for k in (1, 2, 3)] for lap in ("over", "under")
    )
    mixed = [one for pair in zip(over, under, strict=True) for one in pair]
    assert apart_by([*over, *under], (0, 0, 0, 1, 1, 1)) == 0
    assert apart_by(mixed, (0, 0, 1, 1, 2, 2)) == 4
    # The third part of the under lap lies before its second: a page back, as bad as three pages on.
    assert apart_by([*over, *under], (0, 0, 0, 0, 2, 1)) == 2 + 3
    assert apart_by([*over, Piece("tag", (), (9.0, 9.0), "")], (0, 0, 0, 5)) == 0


def strip_of(lap: str, *sizes: tuple[float, float]) -> list[Piece]:
    return [Piece(lap, (), size, "", strip=lap, number=k) for k, size in enumerate(sizes, 1)]


def boxes_of(pieces: list[Piece], found: tuple[Laid, ...]) -> list[tuple[int, tuple[float, float, float, float]]]:
    sizes = [piece.size_mm[::-1] if one.turned else piece.size_mm for piece, one in zip(pieces, found, strict=True)]
    return [(one.page, (*one.at, one.at[0] + w, one.at[1] + h)) for one, (w, h) in zip(found, sizes, strict=True)]


def assert_apart(pieces: list[Piece], found: tuple[Laid, ...], squares: tuple[tuple[float, ...], ...]) -> None:
    boxes = boxes_of(pieces, found)
    for (page, box), (other_page, other) in combinations(boxes, 2):
        assert page != other_page or is_apart(box, other)
    assert all(is_apart(box, square) for _, box in boxes for square in squares)


def test_pieces_that_find_room_among_all_and_not_alone_stay_where_they_were(monkeypatch: pytest.MonkeyPatch) -> None:
    """The packer goes by what it is given: what it lays on a page of many, it may lay otherwise by itself."""
    frame = frames_of("a4", "Smock")[0]
    parts = [*strip_of("over", *[(85.0, 100.0)] * 6), *strip_of("under", *[(85.0, 100.0)] * 6)]
    shuffled = [parts[(5 * k) % len(parts)] for k in range(len(parts))]
    packer = following_module.pack
    before = packer([piece.size_mm for piece in shuffled], frame.body, frame.squares, GAP_MM)
    assert following(shuffled, frame) != before
    monkeypatch.setattr(
        following_module, "pack", lambda sizes, *room: packer(sizes, *room) if len(sizes) == len(parts) else None
    )
    assert following(shuffled, frame) == before


@pytest.mark.parametrize("shape", [(40.0, 90.0), (85.0, 100.0), (60.0, 150.0)])
def test_parts_lie_in_the_order_of_their_strip_in_whatever_order_they_come(shape: tuple[float, float]) -> None:
    frame = frames_of("a4", "Smock")[0]
    parts = [*strip_of("over", *[shape] * 6), *strip_of("under", *[shape] * 6), Piece("tag", (), (40.0, 90.0), "")]
    for step in (1, 3, 5, 7):
        shuffled = [parts[(step * k) % len(parts)] for k in range(len(parts))]
        found = following(shuffled, frame)
        assert_apart(shuffled, found, frame.squares)
        for lap in ("over", "under"):
            places = sorted(
                (piece.number, at.page) for piece, at in zip(shuffled, found, strict=True) if piece.strip == lap
            )
            pages = [page for _, page in places]
            assert pages == sorted(pages) and pages[-1] - pages[0] <= len(set(pages)) - 1


def test_pieces_find_room_on_other_pages_where_one_can_be_done_without() -> None:
    """Columns that fill three pages to a twentieth of their width, by hand; the packer alone, in every order, takes four."""
    frame = frames_of("a4", "Smock")[0]
    wide, high = frame.body[2] - frame.body[0], frame.squares[0][1] - frame.body[1] - GAP_MM
    shares = (0.45, 0.25, 0.6, 0.1, 0.1, 0.5, 0.25, 0.05, 0.35, 0.1, 0.1, 0.15)
    parts = [Piece(f"part {k}", (), (share * wide - GAP_MM - 0.1, high), "") for k, share in enumerate(shares)]
    greedy = pack([piece.size_mm for piece in parts], frame.body, frame.squares, GAP_MM)
    assert greedy is not None and max(one.page for one in greedy) + 1 == 4
    found = following(parts, frame)
    assert_apart(parts, found, frame.squares)
    assert max(one.page for one in found) + 1 == 3


def test_pieces_of_a_broad_coat_find_one_sheet_less_in_another_order() -> None:
    """Its parts as they come on Letter; the packer, strip after strip or as they are read, and exchanges took ten sheets."""
    lap = [(122.3, 206.6), (128.5, 206.6), (128.5, 206.6), (108.9, 206.5)]
    whole = [
        (147.1, 31.1), (117.3, 31.1), (155.2, 33.8), (124.5, 31.1), (78.7, 93.6), (78.7, 78.7), (61.5, 67.5),
        (61.5, 77.6), (182.0, 26.5), (182.0, 21.6), (182.0, 21.6), (64.0, 34.0),
    ]  # fmt: skip
    laps = [piece for pair in zip(strip_of("over", *lap), strip_of("under", *lap), strict=True) for piece in pair]
    parts = [*laps, *(Piece(f"piece {k}", (), size, "") for k, size in enumerate(whole))]
    frame = frames_of("letter", "Smock")[1]
    found = following(parts, frame)
    assert_apart(parts, found, frame.squares)
    assert {one.page for one in found} == set(range(9))
    assert following(parts, frame) == found


def test_strips_begin_in_the_order_of_reading_where_that_scatters_none() -> None:
    frame = frames_of("a4", "Smock")[0]
    wide = frame.body[2] - frame.body[0]
    parts = [*strip_of("over", (wide, 110.0)), *strip_of("under", (wide, 120.0), (wide, 80.0))]
    assert [one.page for one in following(parts, frame)] == [0, 1, 1]
    assert [one.page for one in following(parts[::-1], frame)] == [0, 0, 1]


def test_both_ends_of_a_cuff_lie_on_one_sheet() -> None:
    """Three ends had room on the first sheet, and the fourth lay alone on the next, apart from the cuff's other end."""
    on = {one.piece.name: one.page for one in laid("cuff").laying.pieces}
    assert sorted(on.values()) == [0, 0, 1, 1]
    assert all(on[f"{side} cuff, over end"] == on[f"{side} cuff, under end"] for side in ("left", "right"))


def test_work_of_ordering_parts_stays_within_what_it_was() -> None:
    frame = frames_of("a4", "Smock")[0]
    laps = [strip_of(lap, *[(40.0, 60.0)] * 12) for lap in ("over", "under")]
    mixed = [one for pair in zip(*laps, strict=True) for one in pair]
    # 3,060,000 calls while every free place of every page was weighed, 679,000 while all strips were counted each time.
    assert calls_of(lambda: following(mixed, frame)) < 500_000


@pytest.mark.parametrize("large", [False, True])
def test_both_laps_of_a_long_edge_are_taped_from_sheet_to_sheet_as_they_come(large: bool) -> None:
    parts = [one for one in laid("duvet-foot", "a4", large).laying.pieces if one.piece.strip]
    for strip in ("over", "under"):
        own = sorted((one.piece.number, one.page) for one in parts if one.piece.strip == strip)
        pages = [page for _, page in own]
        assert pages == sorted(pages) and len(pages) > 3


def lap_parts(templates: Templates) -> list[tuple[object, ...]]:
    """From where to where each part of a lap goes, and how it begins and ends, in the order of reading."""
    parts = [one.piece for one in templates.laying.pieces if one.piece.lap and one.piece.along_mm]
    found = [(one.strip, one.number, one.count, one.along_mm, one.breaks, one.letters, one.items) for one in parts]
    return sorted(found, key=lambda one: one[:2])


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", STARTING)
def test_laps_are_cut_the_same_way_whatever_is_printed_beside_them(name: str, large: bool) -> None:
    """A coupon beside a lap must not turn a taped strip into loose pieces, though that would spare a sheet."""
    alone = laid(name, "letter", large)
    coupon = Piece("coupon", (), (90.0, 60.0), "")
    answer = answer_of(name, large)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    paper = load_catalogue().paper("letter")
    words = PageWords(answer.placement.plan.title, paper.name)
    beside = lay_templates(list(long_pieces(subjects)), [coupon] * 3, paper, words, type_scale(large))
    assert len(beside.laying.pieces) == len(alone.laying.pieces) + 3
    assert lap_parts(beside) == lap_parts(alone) != []


# Templates on A4 with all further pieces, counted once. Straight bands that were broken off between their notches took
# 7, 17, 11, 7, 5, 5 and 5.
WITH_ALL = {
    "calm-front": 5,
    "double-breasted": 10,
    "duvet-foot": 9,
    "jacket-placket": 5,
    "laced-bodice": 3,
    "loop-back": 3,
    "shirt-front": 4,
}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("name", "most"), WITH_ALL.items())
def test_straight_bands_take_no_sheet_beside_those_of_the_laps_and_what_is_tried(name: str, most: int) -> None:
    pieces = laid(name, everything=True).laying.pieces
    assert max(one.page for one in pieces) < most
    beside = {one.page for one in pieces if not one.piece.by_measures}
    assert {one.page for one in pieces if one.piece.by_measures} <= beside


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", ["double-breasted", "stand-shirt", "linen-smock"])
def test_bands_and_backing_are_cut_beside_laps_that_stay_as_they_are(name: str) -> None:
    alone, beside = lap_parts(laid(name, "letter")), laid(name, "letter", everything=True)
    laps = {one[0] for one in alone}
    assert [one[:5] for one in lap_parts(beside) if one[0] in laps] == [one[:5] for one in alone]
    letters = [letter for one in beside.laying.pieces for letter in one.piece.letters]
    # Each join has two parts, and a letter of its own in the whole set.
    assert sorted(letters) == sorted(2 * sorted(set(letters)))


# Parts that each fill a free row of the page: beside the squares there is less than above them.
@pytest.mark.parametrize(
    ("name", "paper", "most"), [("inches", "a4", 2), ("broad arc", "letter", 2), ("zones", "letter", 3)]
)
def test_parts_as_long_as_the_rows_of_a_page_share_sheets_that_alike_ones_do_not(
    name: str, paper: str, most: int
) -> None:
    assert laid(name, paper).laying.pages <= most


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_large_letters_of_every_starting_plan_are_printed_on_a4(name: str) -> None:
    assert laid(name, "a4", large=True).laying.pages


@pytest.mark.parametrize(("name", "most"), [("double-breasted", 8), ("duvet-foot", 6)])
def test_large_letters_take_no_sheet_for_a_stretch_without_a_mark(name: str, most: int) -> None:
    pieces = [one for one in laid(name, "a4", large=True).laying.pieces if one.piece.along_mm]
    marks = answer_of(name, large=True).placement.marks
    assert max(one.page for one in pieces) < most
    # What is left of an end beyond its last mark may lie beside pieces that bear some, and never on a sheet of its own.
    marked = {
        one.page
        for one in pieces
        if one.piece.along_mm and any(one.piece.along_mm[0] < mark.along_mm < one.piece.along_mm[1] for mark in marks)
    }
    assert {one.page for one in pieces} == marked


def test_long_name_of_an_opening_is_broken_within_the_band_in_large_letters() -> None:
    answer = answer_of("curved-front", True)
    shown = (answer.placement, answer.findings, answer.catalogue)
    subjects = subjects_of(*shown, swap=answer.swap, opening="centre front of the embroidered overdress")
    paper, words = load_catalogue().paper("a4"), PageWords("Brook dress", "A4")
    laying = lay_templates(list(long_pieces(subjects)), (), paper, words, type_scale(True)).laying
    # In one row beyond the band it took seven sheets.
    assert laying.pages <= 5
    said = [" ".join(one.text for one in words_on(piece.piece.items)) for piece in laying.pieces]
    assert all("CENTRE FRONT OF THE EMBROIDERED OVERDRESS, " in one for one in said)


def test_strip_that_just_fits_a_page_is_not_cut_for_room_that_was_reckoned() -> None:
    plan = load_plan(TEMPLATES / "whole-nursing-top" / "side.toml")
    answer = place_plan(plan, TEMPLATES / "whole-nursing-top" / "side.toml")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    longs = long_pieces([replace(subject, type=type_scale(True)) for subject in subjects], False)
    paper = load_catalogue().paper("letter")
    templates = lay_templates(longs, (), paper, PageWords("Brook top", paper.name), type_scale(True))
    assert [one.piece.name for one in templates.laying.pieces] == ["over", "under"] and templates.laying.pages == 1


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", ["laced-bodice", "duvet-foot"])
def test_large_letters_with_every_further_piece_are_printed_on_a4(name: str) -> None:
    assert laid(name, "a4", large=True, everything=True).laying.pages


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_cover_of_every_starting_plan_is_one_sheet(name: str) -> None:
    # The list to knit a band by stands on the cover, and what becomes of old closures, beside what the checks found.
    most = 2 if name in ("cardigan-rows", "shirt-swap") else 1
    assert booklet_of(answer_of(name), load_catalogue().paper("a4")).covers == most


def test_cover_may_begin_with_a_failed_check(monkeypatch: pytest.MonkeyPatch) -> None:
    failing = {"kind": "sew-through button", "size": "36 L", "width": "32.5 mm", "edge": 'straight = "134 mm"'}
    monkeypatch.setitem(ODD, "failing", failing | {"count": 2, "first": "15 mm", "last": "15 mm"})
    hold_words("failing")


def test_head_of_a_table_stands_again_where_a_column_begins_within_it() -> None:
    rows = tuple((str(n), f"{n}.5") for n in range(1, 151))
    chapter = Chapter("Marks", (Table("Where", ("mark", "along, mm"), rows, (1.0, 2.0)),))
    pages = word_pages((chapter,), (210.0, 297.0), PageWords("Smock", "A4"), USUAL_TYPE)

    def heads(items: tuple[Item, ...]) -> int:
        return sum((getattr(one, "text", "") == "along, mm") + heads(getattr(one, "items", ())) for one in items)

    assert [heads(page.items) for page in pages] == [2] * len(pages) and len(pages) > 1


def test_many_parts_are_not_laid_in_every_choice_of_ways() -> None:
    def ways(parts: int, count: int = 7) -> list[tuple[Part, ...]]:
        return [tuple(Part(10.0 * k, 10.0 * k + 10.0, "join", "join") for k in range(parts))] * count

    assert len(list(choices([ways(10), ways(10)]))) == 49
    assert len(list(choices([ways(42), ways(42)]))) == 7
    # A double-breasted front of 7 parts a lap is laid in all of them: one of them saves it a sheet.
    assert len(list(choices([ways(7, 10), ways(7, 10)]))) == 100
