"""Pages that follow the strip: nothing cut, nothing on anything else, few sheets, and marks that read back true."""

from __future__ import annotations

import copy
import itertools
import math
import random
import re
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paper_sets import (
    ODD,
    STARTING,
    answer_of,
    dots_of,
    groups,
    laid,
    leaves,
    pdf_of,
    rings_of,
    words_on,
    words_on_lines,
)
from shapely import LineString, Polygon

from closures.catalogue.loading import load_catalogue, paper_keys
from closures.curve import Curve, Line
from closures.drawing.cover import cover_chapter, how_to_print, pages_table
from closures.drawing.cover_map import lap_maps
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.registry import further_pieces
from closures.drawing.ink.apart import crossings
from closures.drawing.ink.extents import box_of, grown, is_apart
from closures.drawing.ink.lettering import CAP_HEIGHT, LEAST_FIGURE_HEIGHT, spelt, width_of
from closures.drawing.ink.rigid import QUARTER, UNTURNED, along_x
from closures.drawing.ink.room import Room, points_on
from closures.drawing.ink.shapes import HEAVY, Box, Circle, Group, Path, Words
from closures.drawing.ink.type_scale import USUAL_TYPE, type_scale
from closures.drawing.ink.upright import LEAST_DEG, MOST_DEG, upright
from closures.drawing.marking import Marking
from closures.drawing.paper.booklet import Templates, lay_templates, template_page
from closures.drawing.paper.join_places import CLEAR_MM, LEAST_CLEAR_MM, OVERLAP_MM, Closed, Thing
from closures.drawing.paper.joins import draw_join_after, draw_join_before, ring_depths
from closures.drawing.paper.laying import LaidPiece, Laying
from closures.drawing.paper.letters import letter_of
from closures.drawing.paper.packing import empty_page, fewest, pack, pages_taken
from closures.drawing.paper.page import EDGE_MM, PageWords, furniture, page_frames, rules_of
from closures.drawing.paper.parts import BEYOND_MM, NoPlaceForJoinError, Part, Strip, numbered, ways_to_cut
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.paper.stubs import without_stubs
from closures.drawing.paper.words import Section, Table
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.lanes import STRIDE_MM, letter_rows
from closures.drawing.sheets.lap_drawing import draw_lap, whole_part
from closures.drawing.sheets.lettered import Lettered
from closures.drawing.sheets.spread import Spread
from closures.drawing.sheets.view import Spot
from closures.errors import OutputError

PAPERS = ("a4", "letter")
EVERY_PAPER = paper_keys()
LAPS = [name for name in (*STARTING, *ODD)]


# -- packing

rectangles = st.lists(st.tuples(st.floats(5, 120), st.floats(5, 120)), min_size=1, max_size=12)


@settings(max_examples=60, deadline=None)
@given(rectangles)
def test_packed_rectangles_lie_apart_inside_and_off_what_is_taken(sizes: list[tuple[float, float]]) -> None:
    room, taken = (22.0, 30.0, 287.0, 200.0), [(22.0, 150.0, 130.0, 200.0)]
    found = pack(sizes, room, taken, 2.0)
    assert found is not None
    boxes: dict[int, list[Box]] = {}
    for (w, h), one in zip(sizes, found, strict=True):
        w, h = (h, w) if one.turned else (w, h)
        boxes.setdefault(one.page, []).append((*one.at, one.at[0] + w, one.at[1] + h))
    for on_page in boxes.values():
        for k, box in enumerate(on_page):
            assert box[0] >= room[0] - 1e-6 and box[1] >= room[1] - 1e-6
            assert box[2] <= room[2] + 1e-6 and box[3] <= room[3] + 1e-6
            for other in (*on_page[:k], *taken):
                assert is_apart(grown(box, 1.99 / 2), grown(other, 1.99 / 2))
    assert len(boxes) >= fewest(sizes, room, taken, 2.0)


def test_rectangle_larger_than_a_page_is_not_packed() -> None:
    assert pack([(300.0, 10.0)], (0.0, 0.0, 200.0, 100.0), (), 2.0) is None


def test_rectangles_that_fill_a_page_to_the_last_digit_share_it() -> None:
    found = pack([(100.0, 49.0), (100.0, 49.0)], (0.0, 0.0, 100.0, 100.0), (), 2.0)
    assert found is not None and {one.page for one in found} == {0}


# -- cutting


def strip_of(length: float, things: list[tuple[float, float]], page: float = 250.0) -> Strip:
    placed = tuple(Thing(low, high) for low, high in things)
    return Strip(length, placed, lambda a, b: (b - a, 50.0), lambda a, b: b - a <= page)


def test_short_strip_is_one_part() -> None:
    ways = ways_to_cut(strip_of(200.0, [(20.0, 30.0)]))
    assert (Part(0.0, 200.0, "end", "end"),) in ways


@settings(max_examples=150, deadline=None)
@given(
    st.floats(100, 2500),
    st.lists(st.floats(0.02, 0.98), min_size=1, max_size=25),
    st.floats(2, 9),
)
def test_parts_cover_the_strip_or_say_what_is_left_out(length: float, shares: list[float], half: float) -> None:
    things = [(share * length - half, share * length + half) for share in sorted(shares)]
    strip = strip_of(length, things)
    try:
        ways = ways_to_cut(strip)
    except NoPlaceForJoinError:
        # Refused only where neighbours touch, or almost.
        assert any(b[0] - a[1] < 2 * LEAST_CLEAR_MM for a, b in itertools.pairwise(things))
        return
    for parts in (*ways, *without_stubs(strip, ways)):
        for part in parts[:-1]:
            if part.after == "join":
                assert all(not low - 0.49 < part.high_mm < high + 0.49 for low, high in things)
        assert parts[0].low_mm == 0.0 and parts[0].before == "end"
        for one, other in itertools.pairwise(parts):
            if one.after == "join":
                assert other.before == "join" and one.high_mm == other.low_mm
            else:
                assert one.after == other.before == "break"
                assert other.low_mm - one.high_mm == pytest.approx(one.left_out_mm)
        last = parts[-1]
        assert last.high_mm + last.left_out_mm == pytest.approx(length)
        assert all(strip.fits(part.low_mm, part.high_mm) for part in parts)
        # What holds something is never left out.
        for low, high in things:
            middle = (low + high) / 2
            assert any(part.low_mm <= middle <= part.high_mm for part in parts)


def test_part_that_holds_nothing_before_a_break_is_left_out_as_well() -> None:
    """It told no more than how much follows it, and was printed and taped on for that."""
    strip = strip_of(900.0, [(25.0 + 120 * k, 55.0 + 120 * k) for k in range(5)], 200.0)
    ways = ways_to_cut(strip)
    (stub,) = {parts[-1] for parts in ways if parts[-1].after == "break" and parts[-1].low_mm > 535.0}
    kept = without_stubs(strip, ways)
    assert stub not in {part for parts in kept for part in parts}
    for parts in kept:
        last = parts[-1]
        assert last.low_mm < 520.0 and last.high_mm + last.left_out_mm == pytest.approx(900.0)
    # Where the words at the break find no room on that page the part stays.
    short = replace(strip, fits=lambda low, high: strip.fits(low, high) and high != stub.low_mm + BEYOND_MM["break"])
    assert stub in {part for parts in without_stubs(short, ways) for part in parts}


def test_join_keeps_clear_of_things_where_there_is_room() -> None:
    # Eight closures on 1400 mm at 185.7 mm, 14 mm wide with their rims.
    things = [(50 + k * 1300 / 7 - 7, 50 + k * 1300 / 7 + 7) for k in range(8)]
    for parts in ways_to_cut(strip_of(1400.0, things)):
        for part in parts:
            if part.after == "join":
                for low, high in things:
                    assert part.high_mm + OVERLAP_MM <= low - CLEAR_MM + 1e-6 or part.high_mm >= high + CLEAR_MM - 1e-6


def test_join_among_dense_things_cuts_none() -> None:
    things = [(20 + 15 * k - 6.5, 20 + 15 * k + 6.5) for k in range(40)]
    for parts in ways_to_cut(strip_of(625.0, things)):
        for part in parts:
            if part.after == "join":
                assert not any(low < part.high_mm < high for low, high in things)


def test_letters_of_joins_are_single_in_a_set() -> None:
    parts = ways_to_cut(strip_of(1400.0, []))[0]
    one = numbered(parts, 0)
    other = numbered(parts, sum(part.after == "join" for part in parts))
    letters = [part.letter_after for part in (*one, *other) if part.letter_after]
    assert len(letters) == len(set(letters)) and letter_of(17) == "Y" and letter_of(18) == "AA"
    many = [letter_of(k) for k in range(1000)]
    assert len(set(many)) == 1000 and not set("".join(many)) & set("IJOQ")


def test_no_name_of_a_join_reads_as_another_when_its_part_lies_upside_down() -> None:
    over = {**dict(zip("HINOSXZ", "HINOSXZ", strict=True)), "M": "W", "W": "M"}
    many = [letter_of(k) for k in range(1000)]
    turned = {"".join(over[letter] for letter in reversed(name)): name for name in many if set(name) <= set(over)}
    assert {"H", "N", "S", "X"} <= set(turned)
    assert {name: other for name, other in turned.items() if name in many and name != other} == {}


@pytest.mark.parametrize("pair", ["bq", "dp", "nu", "MW", "NZ", "CU", "AV", "HI", "JL"])
def test_no_letter_of_a_join_reads_as_another_on_a_part_that_lies_upside_down_or_on_its_side(pair: str) -> None:
    """Pairs of sans-serif letters that turn into each other by half a turn or a quarter, from memory."""
    letters = set("".join(letter_of(k) for k in range(1000)))
    assert letters == {letter.upper() for letter in letters}
    assert not set(pair) <= letters


@pytest.mark.parametrize("large", [False, True])
def test_letters_of_joins_are_capitals_of_two_millimetres_at_least(large: bool) -> None:
    found = 0
    for piece in (one.piece for one in laid("double-breasted", "letter", large).laying.pieces):
        for letter in piece.letters:
            heights = [CAP_HEIGHT * words.size_mm for words in words_on(piece.items) if words.text == letter]
            assert letter.isupper()
            # One by each of the two rings.
            assert len(heights) == 2 and min(heights) >= 2.0 * (1.5 if large else 1.0)
            found += 1
    assert found >= 10


# -- turning


@given(st.floats(-500, 500), st.floats(-500, 500), st.floats(-500, 500), st.floats(-500, 500))
def test_turning_keeps_lengths_and_lays_the_chord_level(ax: float, ay: float, bx: float, by: float) -> None:
    if math.dist((ax, ay), (bx, by)) < 1.0:
        return
    turn = along_x((ax, ay), (bx, by))
    one, other = turn.point((ax, ay)), turn.point((bx, by))
    assert other[0] - one[0] == pytest.approx(math.dist((ax, ay), (bx, by)))
    assert other[1] == pytest.approx(one[1], abs=1e-9)


def test_quarter_turn_turns_words_with_everything_else() -> None:
    turned = QUARTER.item(Words(10.0, 0.0, "x", 3.0))
    assert isinstance(turned, Words)
    assert (turned.x, turned.y, turned.angle_deg) == pytest.approx((0.0, 10.0, 90.0))


# -- pages


def pieces_by_page(name: str, paper: str, large: bool = False, everything: bool = False) -> list[list[LaidPiece]]:
    templates = laid(name, paper, large, everything)
    return [list(templates.on(page)) for page in range(templates.laying.pages)]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", LAPS)
def test_nothing_is_cut_and_no_page_is_empty(
    name: str, paper: str, large: bool = False, everything: bool = False
) -> None:
    frames = laid(name, paper, large, everything).laying.frames
    for frame, pieces in zip(frames, pieces_by_page(name, paper, large, everything), strict=True):
        assert pieces
        for k, piece in enumerate(pieces):
            box = piece.box
            assert box[0] >= frame.body[0] - 1e-6 and box[1] >= frame.body[1] - 1e-6
            assert box[2] <= frame.body[2] + 1e-6 and box[3] <= frame.body[3] + 1e-6
            assert all(is_apart(box, other.box) for other in pieces[:k])
            assert all(is_apart(box, square) for square in frame.squares)
            for item in piece.items():
                x0, y0, x1, y1 = box_of(item)
                assert x0 >= box[0] - 0.01 and y0 >= box[1] - 0.01
                assert x1 <= box[2] + 0.01 and y1 <= box[3] + 0.01


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", LAPS)
def test_words_of_a_page_are_read_from_two_of_its_sides(name: str, paper: str) -> None:
    for pieces in pieces_by_page(name, paper):
        for piece in pieces:
            for words in words_on(piece.items()):
                assert LEAST_DEG < words.angle_deg <= MOST_DEG, (piece.piece.name, words.text)


@given(
    st.sampled_from((-180.0, -90.0, 0.0, 90.0, 180.0)) | st.floats(-180, 180),
    st.lists(st.text("abgjp XW", min_size=1, max_size=9), min_size=1, max_size=3),
)
def test_words_turned_half_round_keep_their_place_and_the_order_of_their_rows(angle: float, texts: list[str]) -> None:
    down = math.radians(angle + 90.0)
    rows = tuple(
        Words(7.0 + 4.0 * k * math.cos(down), 3.0 + 4.0 * k * math.sin(down), text, 3.0, "middle", angle)
        for k, text in enumerate(texts)
    )
    (block,) = upright([Group("", "", rows)])
    assert isinstance(block, Group)
    if angle % 90.0 == 0.0:
        assert box_of(block) == pytest.approx(box_of(Group("", "", rows)), abs=1e-6)
    turned = [row for row in block.items if isinstance(row, Words)]
    for one, other in itertools.pairwise(turned):
        down = math.radians(one.angle_deg + 90.0)
        assert (other.x - one.x) * math.cos(down) + (other.y - one.y) * math.sin(down) == pytest.approx(4.0)
    assert all(LEAST_DEG < row.angle_deg <= MOST_DEG for row in turned)


def test_words_that_stand_apart_in_a_group_change_no_places() -> None:
    # The names of both ends of a strip run one way: each is turned where it stands.
    ends = (Words(0.0, 0.0, "neck", 3.0, "middle", -90.0), Words(90.0, 0.0, "hem", 3.0, "middle", -90.0))
    (group,) = upright([Group("", "", ends)])
    assert isinstance(group, Group)
    assert [box_of(one) for one in group.items] == [pytest.approx(box_of(one)) for one in ends]


def test_what_fits_no_page_is_refused_with_its_name_and_the_papers_that_do() -> None:
    catalogue = load_catalogue()
    broad = Piece("coupon", (Words(3.0, 3.0, "x", 3.0),), (280.0, 210.0), "")
    ways: tuple[LongPiece, ...] = ()
    with pytest.raises(OutputError, match=r"A4 is too small for these pieces: coupon\. It fits with --paper a3, roll"):
        lay_templates(
            ways, (broad,), catalogue.paper("a4"), PageWords("", "A4"), USUAL_TYPE, None, catalogue.papers.values()
        )
    with pytest.raises(OutputError, match="No paper here is large enough"):
        lay_templates(ways, (broad,), catalogue.paper("a4"), PageWords("", "A4"), USUAL_TYPE)


def test_letter_that_the_font_lacks_is_told_without_a_word_of_paper() -> None:
    def draw(part: Part) -> Piece:
        spelt("left \N{SNOWMAN} crotch")
        raise AssertionError

    long = LongPiece("left", lambda fits, more: Strip(100.0, (), lambda a, b: (b - a, 40.0), lambda a, b: True), draw)
    with pytest.raises(OutputError, match=r"their font has no .*SNOWMAN") as told:
        lay_templates((long,), (), load_catalogue().paper("a4"), PageWords("", "A4"), USUAL_TYPE)
    assert "paper" not in str(told.value).lower()


LARGE_OR_NOT = [(name, large) for name in LAPS for large in (False, True)]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "large"), LARGE_OR_NOT)
def test_words_of_a_piece_lie_on_no_other_words_and_on_no_mark(name: str, large: bool) -> None:
    for pieces in pieces_by_page(name, "a4", large):
        for piece in pieces:
            # Looked at as the piece itself lies, where words stand level.
            words = [w for w in words_on(piece.piece.items) if abs(w.angle_deg) < 1e-6]
            boxes = [grown(box_of(w), -0.1) for w in words]
            # A mark may be wide where it crosses the line and narrow beyond: each of its shapes by itself.
            marks = [
                box_of(item) for group in groups(piece.piece.items)
                if group.id.startswith((f"{piece.piece.lap}-",)) and group.id.rpartition("-")[2].isdigit()
                for item in group.items
            ]  # fmt: skip
            for k, box in enumerate(boxes):
                for j in range(k):
                    assert is_apart(box, boxes[j]), (words[k].text, words[j].text)
                assert all(is_apart(box, mark) for mark in marks), words[k].text


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "large"), LARGE_OR_NOT)
def test_words_of_a_piece_lie_on_no_line(name: str, large: bool) -> None:
    """The tail of a letter that lies on an edge or on a taping ring makes both hard to read."""
    for pieces in pieces_by_page(name, "a4", large):
        for piece in pieces:
            assert not words_on_lines(piece.piece.items), piece.piece.name


@pytest.mark.parametrize("along", [(1.0, 0.0), (0.995, 0.0999), (0.97, -0.243), (0.8, 0.6)])
@pytest.mark.parametrize("size_mm", [USUAL_TYPE.figure, type_scale(True).figure])
def test_letter_of_a_ring_stands_off_its_ring_and_its_cross_on_a_strip_that_leans(
    along: tuple[float, float], size_mm: float
) -> None:
    inward = (-along[1], along[0])
    for letter in ("A", "C", "M", "R", "X", "AM"):
        for draw in (draw_join_after, draw_join_before):
            group = draw(Spot((0.0, 0.0), along, inward, (0.0, 0.0), 15.0, 15.0), letter, ("on top",), size_mm, Room())
            assert letter not in words_on_lines(group.items)


@pytest.mark.parametrize(("name", "large"), LARGE_OR_NOT)
def test_no_letters_are_smaller_than_can_be_read(name: str, large: bool) -> None:
    least = 2.0 * (1.5 if large else 1.0)
    for pieces in pieces_by_page(name, "a4", large):
        for piece in pieces:
            for words in words_on(piece.piece.items):
                assert words.size_mm * CAP_HEIGHT >= least - 1e-9, words.text


def test_words_on_the_face_of_a_short_piece_stand_under_its_name() -> None:
    parted = 0
    for pieces in pieces_by_page("far apart", "a4"):
        for piece in pieces:
            at = {words.text: words.y for words in words_on(piece.items())}
            name = f"{piece.piece.lap.upper()} LAP {piece.piece.number} of {piece.piece.count}"
            if "outside face up" in at:
                assert at[name] < at["outside face up"], name
                parted += 1
            else:
                assert f"{name} · outside face up" in at
    assert parted == 6


@pytest.mark.parametrize("name", LAPS)
def test_every_strip_names_itself_its_face_its_edge_and_its_sheet(name: str) -> None:
    for pieces in pieces_by_page(name, "a4"):
        for piece in pieces:
            said = [words.text for words in words_on(piece.piece.items)]
            told = " ".join(said).lower()
            assert piece.piece.lap in told and "face up" in told
            assert "finished edge" in told or "upper edge" in told
            assert any("\ue000" in text for text in said)
            assert f"{piece.piece.number} of {piece.piece.count}" in told or piece.piece.count == 1


def test_row_that_finds_no_room_at_all_is_refused_by_its_words() -> None:
    (subject, _) = subjects_of(*(getattr(answer_of("sixty"), key) for key in ("placement", "findings", "catalogue")))
    rows, room, spot = (Lettered("sheet 1 of 2", 3.0),), Room(), subject.view(UNTURNED).spot_on_line
    assert letter_rows(rows, spot, 0.0, 60.0, room)
    room.take((-900.0, -900.0, 900.0, 900.0))
    assert letter_rows(rows, spot, 0.0, 60.0, room, inside_only=True) == ()
    with pytest.raises(OutputError, match=r'no room on a strip for the words "sheet 1 of 2"'):
        letter_rows(rows, spot, 0.0, 60.0, room)


@pytest.mark.parametrize("high_mm", [36.0, 40.0, 60.0, 120.0])
@pytest.mark.parametrize("size_mm", [3.0, 4.5])
def test_arrow_to_the_edge_is_short_and_goes_through_no_ring(size_mm: float, high_mm: float) -> None:
    (subject, _) = subjects_of(*(getattr(answer_of("long arc"), key) for key in ("placement", "findings", "catalogue")))
    view, room = subject.view(UNTURNED), Room()
    for along in (0.0, high_mm):
        spot = view.spot_on_line(along)
        for depth in ring_depths(spot):
            room.take_strip(spot.moved(-4.0, depth), spot.moved(4.0, depth), 4.0)
    # Marks take all the band between its ends.
    for k in range(8, int(high_mm) - 7):
        spot = view.spot_on_line(float(k))
        room.take_strip(spot.moved(0.0, 2.0 - spot.to_edge_mm), spot.moved(0.0, spot.to_inner_mm), 1.0)
    before = copy.deepcopy(room)
    rows = (Lettered("finished edge", size_mm, sign="edge", near_edge=True),)
    stroke, head, *_ = letter_rows(rows, view.spot_on_line, 0.0, high_mm, room)
    assert isinstance(stroke, Path) and isinstance(head, Path)
    (tail, start), tip = ((float(x), float(y)) for _, x, y in stroke.commands), head.commands[0][1:3]
    x, y = (float(value) for value in tip)
    assert 2.5 <= math.dist(tail, (x, y)) <= 11.5
    # It ends at the edge, and meets nothing on its way.
    assert min(math.dist((x, y), view.spot_on_line(k / 4).edge_at) for k in range(int(4 * high_mm))) < 0.3
    assert before.lets_through(tail, start)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", LAPS)
def test_every_mark_stands_whole_on_exactly_one_piece(name: str, paper: str) -> None:
    answer = answer_of(name)
    shown: dict[str, list[int]] = {}
    for piece in laid(name, paper).laying.pieces:
        for group in groups(piece.piece.items):
            lap, _, number = group.id.rpartition("-")
            if lap == piece.piece.lap and number.isdigit():
                shown.setdefault(
                    piece.piece.name.removesuffix(f" {piece.piece.number} of {piece.piece.count}"), []
                ).append(int(number))
    for strip, numbers in shown.items():
        lap = "over" if "over" in strip else "under"
        assert sorted(numbers) == sorted(mark.n for mark in answer.placement.all_on(lap)), strip  # type: ignore[arg-type]


@pytest.mark.parametrize("paper", PAPERS)
# Rows of 15 and 19 mm have no stretch that is clear of marks by so much.
@pytest.mark.parametrize("name", [name for name in LAPS if name not in ("dense", "hook-back")])
def test_no_join_comes_near_a_mark(name: str, paper: str) -> None:
    for piece in laid(name, paper).laying.pieces:
        marks = [g for g in groups(piece.piece.items) if g.id.rpartition("-")[0] == piece.piece.lap]
        for group in groups(piece.piece.items):
            if group.id.startswith("join-"):
                rings = [one for one in leaves(group.items) if isinstance(one, Circle)]
                (ax, ay), (bx, by) = ((one.x, one.y) for one in rings)
                for mark in marks:
                    if not mark.id.rpartition("-")[2].isdigit():
                        continue
                    dot = next(i for i in mark.items if isinstance(i, Circle) and i.role == "centre")
                    far = abs((bx - ax) * (ay - dot.y) - (ax - dot.x) * (by - ay)) / math.dist((ax, ay), (bx, by))
                    assert far >= CLEAR_MM, (piece.piece.name, mark.id)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize(("name", "paper"), [("knit-jacket", "a4"), ("knit-jacket", "letter"), ("curved-front", "a4")])
def test_words_at_a_join_run_through_no_ring_and_stay_on_their_piece(name: str, paper: str, large: bool) -> None:
    met = 0
    for pieces in pieces_by_page(name, paper, large, everything=True):
        for piece in pieces:
            for group in groups(piece.piece.items):
                if group.id.startswith("join-"):
                    rings = [one for one in leaves(group.items) if isinstance(one, Circle) and one.role == "ring"]
                    said = [one for one in words_on(group.items) if one.weight == "regular"]
                    (text,) = said
                    half = width_of(text.text, text.size_mm) / 2
                    for ring in rings:
                        # How far the ring lies along the words, from their middle.
                        way = math.radians(text.angle_deg)
                        along = (ring.x - text.x) * math.cos(way) + (ring.y - text.y) * math.sin(way)
                        off = abs((ring.x - text.x) * math.sin(way) - (ring.y - text.y) * math.cos(way))
                        assert off > 6.0 or abs(along) >= half + 1.0, (piece.piece.name, text.text)
                        met += 1
    assert met


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("large", [False, True])
def test_name_of_a_backing_stands_inside_the_line_that_it_is_cut_on_or_is_told_to_be_written_over(large: bool) -> None:
    backings = [
        one.piece
        for one in laid("knit-jacket", "a4", large, True).laying.pieces
        if one.piece.strip.startswith("backing")
    ]
    assert len(backings) == 4
    for piece in backings:
        (name,) = [words for words in words_on(piece.items) if words.text.startswith("BACKING")]
        (body,) = [group for group in groups(piece.items) if group.id.startswith("backing-") and group.clip]
        (path,) = [item for item in leaves(body.items) if isinstance(item, Path)]
        way, half = math.radians(name.angle_deg), width_of(name.text, name.size_mm, "bold") / 2
        drop = CAP_HEIGHT * name.size_mm / 2
        x, y = name.x + drop * math.sin(way), name.y - drop * math.cos(way)
        ends = [(x + side * half * math.cos(way), y + side * half * math.sin(way)) for side in (-1, 1)]
        letters = LineString(ends).buffer(drop, cap_style="flat")
        is_inside = Polygon(list(points_on(path.commands, 0.5))).covers(letters)
        assert is_inside == (piece.cut_off == ()), piece.name
        assert is_inside or large or piece.number == 2
    steps = _cover_steps("knit-jacket", large, True)
    assert all(any(f"{one.name}: its name" in step for step in steps) == bool(one.cut_off) for one in backings)


def test_rings_and_letters_of_one_join_stand_near_no_other() -> None:
    for name in ("curved-front", "dense", "long arc", "slant"):
        for pieces in pieces_by_page(name, "a4"):
            for piece in pieces:
                rings = [(letter, point) for letter, points in rings_of(piece).items() for point in points]
                for (one, a), (other, b) in itertools.combinations(rings, 2):
                    assert one == other or math.dist(a, b) > 20.0


def chained(name: str, paper: str) -> dict[str, dict[int, tuple[float, float]]]:
    """Where every mark comes to lie when the parts of each strip are laid ring on ring, read from the pages."""
    templates = laid(name, paper)
    dots = dots_of(pdf_of(templates, name))

    def read(page: int, at: tuple[float, float], r: float) -> tuple[float, float]:
        near = [d for d in dots if d.page == page and abs(d.r - r) < 0.01 and math.dist((d.x, d.y), at) < 1.0]
        best = min(near, key=lambda d: math.dist((d.x, d.y), at))
        return (best.x, best.y)

    strips: dict[str, list[LaidPiece]] = {}
    for one in templates.laying.pieces:
        strips.setdefault(one.piece.name.removesuffix(f" {one.piece.number} of {one.piece.count}"), []).append(one)
    found: dict[str, dict[int, tuple[float, float]]] = {}
    for strip, pieces in strips.items():
        pieces.sort(key=lambda one: one.piece.number)
        turn, before = (1.0, 0.0, 0.0, 0.0), {}
        for piece in pieces:
            rings = {k: [read(piece.page, at, 1.8) for at in v] for k, v in rings_of(piece).items()}
            shared = [letter for letter in rings if letter in before]
            if shared:
                turn = _laid_on(rings[shared[0]], before[shared[0]])
            place = lambda p, t=turn: (t[0] * p[0] - t[1] * p[1] + t[2], t[1] * p[0] + t[0] * p[1] + t[3])  # noqa: E731
            before = {letter: [place(point) for point in points] for letter, points in rings.items()}
            for group in groups(piece.items()):
                lap, _, number = group.id.rpartition("-")
                if lap == piece.piece.lap and number.isdigit():
                    dot = next(i for i in group.items if isinstance(i, Circle) and i.role == "centre")
                    found.setdefault(strip, {})[int(number)] = place(read(piece.page, (dot.x, dot.y), 0.3))
    return found


def _laid_on(rings: list[tuple[float, float]], on: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    """The turn and the move that lay two rings on two others."""
    (ax, ay), (bx, by) = rings
    (cx, cy), (dx, dy) = on
    one, other = complex(bx - ax, by - ay), complex(dx - cx, dy - cy)
    turn = other / one
    turn /= abs(turn)
    return (turn.real, turn.imag, cx - turn.real * ax + turn.imag * ay, cy - turn.imag * ax - turn.real * ay)


BROKEN = {"far apart", "short ends"}


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [name for name in LAPS if name not in BROKEN])
def test_marks_read_back_through_the_rings_lie_where_the_report_says(name: str, paper: str) -> None:
    answer = answer_of(name)
    for strip, places in chained(name, paper).items():
        lap = "over" if "over" in strip else "under"
        marks = {mark.n: mark.at for mark in answer.placement.all_on(lap)}  # type: ignore[arg-type]
        for one, other in itertools.combinations(places, 2):
            assert math.dist(places[one], places[other]) == pytest.approx(math.dist(marks[one], marks[other]), abs=0.05)


@pytest.mark.parametrize(
    ("name", "most"),
    [
        # The fewest that were found by hand, turning and following the edge.
        ("shirt-front", 6), ("curved-front", 6), ("side-opening", 4), ("duvet-foot", 12), ("slant", 6),
        ("long arc", 20), ("big", 4),
    ],
)  # fmt: skip
@pytest.mark.parametrize("paper", PAPERS)
def test_few_sheets_are_enough(name: str, most: int, paper: str) -> None:
    assert laid(name, paper).laying.pages <= most


@pytest.mark.parametrize("paper", EVERY_PAPER)
@pytest.mark.parametrize("name", ["curved-front", "sixty", "long arc", "sash-belt", "names"])
def test_every_paper_is_laid_out(name: str, paper: str) -> None:
    templates = laid(name, paper)
    assert templates.laying.pages >= 1
    for piece in templates.laying.pieces:
        frame = templates.laying.frames[piece.page]
        assert piece.box[0] >= EDGE_MM and piece.box[2] <= frame.width_mm - EDGE_MM + 1e-6
        assert all(is_apart(piece.box, square) for square in frame.squares)
    if paper.startswith("roll"):
        assert templates.laying.pages == 1 and not any(p.piece.letters for p in templates.laying.pieces)


def test_stretch_that_holds_nothing_is_broken_out_with_its_length_written() -> None:
    templates = laid("far apart", "a4")
    answer = answer_of("far apart")
    marks = answer.placement.on("over")
    over = sorted((p.piece for p in templates.laying.pieces if p.piece.lap == "over"), key=lambda p: p.number)
    said = [[words.text for words in words_on(piece.items)] for piece in over]
    breaks = [text for texts in said for text in texts if text.startswith("left out: ")]
    # Three marks 570 mm apart, and a tail of 700 mm: two stretches are left out between marks, one behind.
    assert len(breaks) == 2 * 2 + 1
    lengths = [float(text.removeprefix("left out: ").split(" mm")[0]) for text in breaks]
    between, behind = sum(lengths[:-1]) / 2, lengths[-1]
    covered = sum(piece.along_mm[1] - piece.along_mm[0] for piece in over if piece.along_mm)
    assert covered + between + behind == pytest.approx(answer.placement.laps.over.line.length_mm, abs=0.3)
    assert len(marks) == 3
    told = [step for step in _cover_steps("far apart") if "zigzag" in step]
    assert len(told) == 2 and "lay the next piece" in told[0] and "the last end lies as far" in told[1]


def test_break_of_a_band_is_told_without_a_closing_line_that_it_does_not_show() -> None:
    told = [step for step in _cover_steps("calm-front", everything=True, in_full=True) if "zigzag breaks" in step]
    assert len(told) == 1 and "a band or a facing" in told[0] and "closing line" not in told[0]


def test_cover_tells_at_which_joins_marks_stand_close() -> None:
    (told,) = [step for step in _cover_steps("dense") if "stand close" in step]
    letters = {letter for one in laid("dense").laying.pieces for letter in one.piece.letters}
    named = told.removeprefix("Marks stand close to joins ").partition(":")[0].replace(" and ", ", ").split(", ")
    assert named == sorted(letters) and "none over a mark" in told
    assert not [step for step in _cover_steps("duvet-foot") if "stand close" in step]


def test_cover_speaks_of_no_next_piece_where_only_the_rest_is_left_out() -> None:
    pieces = [one.piece for one in laid("closed-outline").laying.pieces]
    assert any(piece.breaks_off for piece in pieces)
    (told,) = [step for step in _cover_steps("closed-outline") if "zigzag" in step]
    assert "next piece" not in told and "is not printed" in told


def _cover_steps(name: str, large: bool = False, everything: bool = False, in_full: bool = False) -> tuple[str, ...]:
    templates = laid(name, large=large, everything=everything, in_full=in_full)
    answer = answer_of(name, large, everything)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    marking = Marking(answer.placement, answer.findings, answer.catalogue, answer.sheets)
    maps_of = partial(lap_maps, subjects, templates, scale=type_scale(large))
    cover = cover_chapter(
        marking,
        subjects,
        templates,
        "all sheets on A4",
        "",
        2,
        type_scale(large),
        maps_of,
    )
    (how,) = [part for part in cover.parts if isinstance(part, Section) and part.heading == "Print, measure, tape"]
    return how.paragraphs


@pytest.mark.parametrize(
    ("name", "large"),
    [("double-breasted", False), ("crossed-wrap", False), ("duvet-foot", True), ("curved-front", True)],
)
def test_leaders_of_the_map_cross_no_other_and_pass_over_no_mark(name: str, large: bool) -> None:
    answer = answer_of(name, large)
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap):
        drawn = leaves(lap_maps((subject,), laid(name, "a4", large), 2, type_scale(large))[0].items)
        dots = [(one.x, one.y) for one in drawn if isinstance(one, Circle)]
        # A leader stands before the words that it leads to.
        leaders = [
            [(float(x), float(y)) for _, x, y in one.commands]
            for one, after in itertools.pairwise(drawn)
            if isinstance(one, Path) and isinstance(after, Words) and len(one.commands) == 2 and after.size_mm < 5.0
        ]
        assert len(dots) == len(answer.placement.all_on(subject.name))
        for one, other in itertools.combinations(leaders, 2):
            assert not crossings((tuple(one), tuple(other))), (one, other)
        for (ax, ay), (bx, by) in leaders:
            far = math.dist((ax, ay), (bx, by))
            for x, y in dots:
                along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / far
                aside = abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / far
                assert not (1.0 < along < far and aside < 2.0), (subject.name, (x, y))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", ["double-breasted", "hidden-button"])
def test_map_numbers_the_marks_beside_the_row_nearer_to_them_than_to_any_other(name: str, large: bool) -> None:
    answer = answer_of(name, large)
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap):
        drawn = leaves(lap_maps((subject,), laid(name, "a4", large), 2, type_scale(large))[0].items)
        marks = answer.placement.all_on(subject.name)
        dots = {
            mark.n: (one.x, one.y) for mark, one in zip(marks, (c for c in drawn if isinstance(c, Circle)), strict=True)
        }
        told = [one for one in drawn if isinstance(one, Words) and one.text.replace(", ", "").isdigit()]
        assert sorted(n for one in told for n in map(int, one.text.split(", "))) == sorted(dots)
        for one in told:
            x0, y0, x1, y1 = box_of(one)
            far = {n: math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) for n, (x, y) in dots.items()}
            own = [far.pop(n) for n in map(int, one.text.split(", "))]
            assert max(own) < min(far.values()), (subject.name, one.text)


def test_border_of_a_strip_is_not_told_as_an_edge_to_lay_on() -> None:
    steps = _cover_steps("crossed-wrap")
    assert any(step.startswith("Cut along the finished edge, but not on the under lap, lay") for step in steps)
    assert any("strip's border and no edge of the cloth" in step for step in steps)
    assert not [step for step in _cover_steps("duvet-foot") if "border and no edge" in step or "but not on" in step]


def test_where_a_far_edge_cuts_into_its_strip_the_cloth_is_seen_to_end() -> None:
    """At the crossing of a wrap the edge runs through the corner of the strip, where the words send one further out."""
    answer = answer_of("crossed-wrap")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    under = replace(subjects[1], is_strip=True, known={})
    lap = under.whole_lap
    (within,) = lap.edge_within(0.0, lap.line.length_mm)
    # From the end of the strip, square across the closing line, to its border 15 mm from that line. The edge, looked
    # at every millimetre, meets that end between 12.5 and 13.3 mm.
    far = [lap.line.nearest(place).distance_mm for place in (within.start, within.end)]
    assert far == pytest.approx([12.9, 15.0], abs=0.4)
    drawn = leaves(draw_lap(under, under.view(UNTURNED), whole_part(under), ()).items)
    bold = [one for one in drawn if isinstance(one, Path) and one.pen == HEAVY]
    assert len(bold) == 1 and bold[0].commands == under.view(UNTURNED).path(within)
    assert any("Where a bold line runs within the strip" in step for step in _cover_steps("crossed-wrap"))
    straight = Line((0.0, -10.0), (0.0, 90.0))
    # By hand: the edge slants over a line of 100 mm, within 15 mm on either side of it from 27.5 to 42.5 mm along.
    crossing = replace(lap, line=Curve((straight,)), edge=Curve((Line((-50.0, 0.0), (50.0, 50.0)),)))
    (within,) = crossing.edge_within(0.0, 100.0)
    assert sorted((within.start[0], within.end[0])) == pytest.approx([-15.0, 15.0], abs=1e-3)
    (part,) = crossing.edge_within(35.0, 100.0)
    assert sorted((part.start[0], part.end[0])) == pytest.approx([0.0, 15.0], abs=1e-3)


def test_map_of_a_wrap_shows_the_strip_and_not_the_whole_front() -> None:
    answer = answer_of("crossed-wrap")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    drawn = leaves(lap_maps(subjects[1:], laid("crossed-wrap"), 2, type_scale(False))[0].items)
    dots = [(one.x, one.y) for one in drawn if isinstance(one, Circle)]
    border = [one for one in drawn if isinstance(one, Path) and one.pen.dash_mm]
    assert len(border) == 1
    # The row is 244.3 mm long from dot to dot, straight across: a strip 30 mm wide is 0.123 of it.
    wide = 0.123 * math.dist(dots[0], dots[-1])
    words = [one for one in drawn if isinstance(one, Words) and one.text.isdigit()]
    assert words and all(
        min(math.dist(dots[int(one.text) - 1], (x, y)) for x in box_of(one)[::2] for y in box_of(one)[1::2])
        < wide + 6.0
        for one in words
    )


@pytest.mark.parametrize("large", [False, True])
def test_figures_of_the_rules_grow_with_the_letters_and_stay_on_their_strip(large: bool) -> None:
    scale = type_scale(large)
    for frame in page_frames(210.0, 297.0, 1.2 * scale.title, scale):
        (x, y), figures = frame.zero, words_on(rules_of(frame, scale))
        assert {round(words.size_mm, 6) for words in figures} == {
            round((2.4 if large else 1.6) / LEAST_FIGURE_HEIGHT, 6)
        }
        for words in figures:
            x0, y0, x1, y1 = box_of(words)
            on_across, on_down = y0 >= EDGE_MM and y1 <= y, x0 >= EDGE_MM and x1 <= x
            assert (on_across or on_down) and x1 <= 210.0 - EDGE_MM + 0.5 and y1 <= 297.0 - EDGE_MM + 0.5, words.text


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize(
    ("note", "failures", "shows"),
    [
        ("", "", "over"),
        ("", "", "under 2 of 3; trial piece, over lap; trial piece, under lap"),
        ("", "", "; ".join(f"left side, over {k} of 9" for k in range(1, 6))),
        ("Stretched on purpose for a printer that prints 99.5 mm for 100 mm across and 100.5 mm down.", "", "over"),
        ("", "the row, the rim at mark 1, the thickness", "over"),
        ("", ", ".join(f"the rim at mark {k}" for k in range(20)), "over"),
    ],
)
def test_words_that_void_a_sheet_are_as_large_as_all_others(note: str, failures: str, shows: str, large: bool) -> None:
    scale, words = type_scale(large), PageWords("Kelp smock", "A4", note=note, failures=failures)
    for frame in page_frames(210.0, 297.0, 1.2 * scale.title, scale):
        _, squares = furniture(frame, words, 1, 2, shows, 5, scale)
        for group in groups((squares,)):
            if not group.id.startswith("square-"):
                continue
            rows = words_on((group,))
            void = [
                row for row in rows if row.text in ("void unless this", "square measures", "void unless this square")
            ]
            assert void and all(row.size_mm == pytest.approx(scale.text, abs=1e-6) for row in void)
            assert all(row.size_mm >= USUAL_TYPE.figure for row in rows)
            boxes = [box_of(row) for row in rows]
            assert all(is_apart(one, other) for k, one in enumerate(boxes) for other in boxes[:k]), shows
            side, inside = box_of(group), [box_of(row) for row in rows]
            assert all(side[0] < b[0] and b[2] < side[2] and side[1] < b[1] and b[3] < side[3] for b in inside)


@pytest.mark.parametrize("name", ["hidden-button", "double-breasted", "shirt-front", "holes along", "holes close"])
def test_leader_of_a_buttonhole_ends_at_its_button_or_at_its_slit(name: str) -> None:
    answer = answer_of(name)
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue):
        for one in laid(name).laying.pieces:
            drawn = leaves(one.piece.items)
            marks = {group.id: group for group in groups(one.piece.items) if group.id.startswith(f"{subject.name}-")}
            for path, words in itertools.pairwise(drawn):
                if not (isinstance(path, Path) and isinstance(words, Words) and words.text.isdigit()):
                    continue
                group = marks.get(f"{subject.name}-{words.text}")
                look = subject.look_at(int(words.text))
                if (
                    group is None
                    or one.piece.lap != subject.name
                    or look.style != "buttonhole"
                    or len(path.commands) != 2
                ):
                    continue
                start = (float(path.commands[0][1]), float(path.commands[0][2]))
                (centre,) = [c for c in group.items if isinstance(c, Circle) and c.role == "centre"]
                slit = next(p for p in group.items if isinstance(p, Path) and len(p.commands) == 2)
                (ax, ay), (bx, by) = ((float(c[1]), float(c[2])) for c in slit.commands)
                aside = abs((start[0] - ax) * (by - ay) - (start[1] - ay) * (bx - ax)) / math.dist((ax, ay), (bx, by))
                off_rim = abs(math.dist(start, (centre.x, centre.y)) - look.rim_mm)
                assert off_rim < 0.6 or aside < 3.2, (name, subject.name, words.text)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", ["linen-smock", "sixty", "back-dress"])
def test_words_beside_the_edge_of_a_trial_piece_keep_off_its_border(name: str, large: bool) -> None:
    pieces = [one.piece for one in laid(name, "letter", large, everything=True).laying.pieces]
    trials = [piece for piece in pieces if piece.name.startswith("trial piece")]
    assert trials
    for piece in trials:
        x0, y0, x1, y1 = max((box_of(item) for item in leaves(piece.items) if isinstance(item, Path)), key=_area)
        for words in words_on(piece.items):
            box = box_of(words)
            assert box[0] - x0 >= 0.5 and x1 - box[2] >= 0.5 and box[1] - y0 >= 0.5 and y1 - box[3] >= 0.5, words.text


def _area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def test_whole_strip_is_drawn_on_a_roll() -> None:
    pieces = laid("far apart", "roll").laying.pieces
    assert [piece.piece.name for piece in pieces] == ["over", "under"]
    assert not any(piece.piece.breaks for piece in pieces)


@pytest.mark.parametrize("name", ["shirt-swap", "curved-front", "cape-corner", "double-breasted"])
def test_squares_beside_long_strips_make_no_roll_longer(name: str) -> None:
    templates = laid(name, "roll")
    (frame,) = templates.laying.frames
    low = max(one.box[3] for one in templates.laying.pieces)
    # 54 mm more where they stood at the foot, 475 mm of paper free beside the strips; a roll is cut at 250 mm or more.
    assert frame.height_mm == pytest.approx(max(250.0, low + EDGE_MM))
    assert all(is_apart(one.box, square) for one in templates.laying.pieces for square in frame.squares)
    assert all(square[2] <= frame.width_mm - EDGE_MM + 1e-6 for square in frame.squares)


def test_letters_are_measured_as_they_are_spelt() -> None:
    # The sign that stands for the number of a sheet is measured as two figures.
    assert spelt("\ue000") == "00" and spelt("\ue001") == "00"


def test_numbers_on_the_small_picture_of_a_long_row_lie_across_the_row_from_the_names_of_its_parts() -> None:
    answer = answer_of("dense")
    over = subjects_of(answer.placement, answer.findings, answer.catalogue)[0]
    (only,) = lap_maps([over], laid("dense", "a4"), 2, USUAL_TYPE)
    words = words_on(only.items)
    middle = next(one.x for one in leaves(only.items) if isinstance(one, Circle))
    sides = {(one.text.isdigit(), one.x > middle) for one in words if one.text.isdigit() or "sheet" in one.text}
    assert len(sides) == 2, sides


def test_a_sheet_counts_the_pieces_that_lie_on_it_and_a_refusal_parts_their_names() -> None:
    catalogue = load_catalogue()
    ways: tuple[LongPiece, ...] = ()
    names = [f"trial piece, over lap: mark {n} (sew-through button 28 L, hole across)" for n in range(1, 5)]
    pieces = [Piece(name, (Words(3.0, 3.0, "x", 3.0),), (40.0, 40.0), "") for name in names]
    templates = lay_templates(ways, pieces, catalogue.paper("a4"), PageWords("", "A4"), USUAL_TYPE)
    page = template_page(templates, 0, 1, 1, PageWords("", "A4"), USUAL_TYPE)
    assert "4 pieces; the cover lists" in " ".join(words.text for words in words_on(page.items))
    broad = [replace(piece, size_mm=(900.0, 900.0)) for piece in pieces[:2]]
    with pytest.raises(OutputError, match=re.escape(f"these pieces: {names[0]}; {names[1]}")):
        lay_templates(ways, broad, catalogue.paper("a4"), PageWords("", "A4"), USUAL_TYPE)


def test_pieces_that_fit_one_way_to_hold_a_page_alone_make_no_other_piece_lie_that_way() -> None:
    laying = laid("duvet-foot", everything=True).laying
    # 1400 mm of bands and facings, printed whole, took 22 sheets with all the rest, and broken off between notches 11.
    assert laying.pages <= 9
    others = [one for one in laying.pieces if laying.frames[one.page] != laying.frames[0]]
    # No lap lies another way than the rest of them do.
    assert {one.piece.name.split(",")[0] for one in others} <= {"pull coupon"}


@pytest.mark.in_turn(3)
def test_piece_that_leaves_no_room_for_squares_lies_on_a_page_that_tells_how_long_its_rules_must_be() -> None:
    templates = laid("double-breasted", "a4", everything=True, in_full=True)
    bare = [k for k, frame in enumerate(templates.laying.frames) if not frame.has_squares]
    # Marks are measured by squares; of all pieces the pull coupons and the bands alone may do without.
    alone = {one.piece.name.partition(" lap")[0] for k in bare for one in templates.on(k)}
    laps = ("over", "under")
    assert alone == {f"{name}, {lap}" for name in ("pull coupon", "band", "facing") for lap in laps}
    # Broad bands that were printed whole took five parts each, and eight where squares found room beside them.
    assert all(one.piece.count <= 4 for k in bare for one in templates.on(k) if one.piece.strip)
    letters = [letter for one in templates.laying.pieces for letter in one.piece.letters]
    assert all(letters.count(letter) == 2 for letter in letters)
    # Seven of them bear bands; told by their measures, these find room beside the laps.
    assert templates.laying.pages <= 17 and laid("double-breasted", "a4", everything=True).laying.pages <= 10
    test_nothing_is_cut_and_no_page_is_empty("double-breasted", "a4", everything=True)
    failed = PageWords("", "A4", failures="gap 2")
    frame = templates.laying.frames[bare[0]]
    page = template_page(templates, bare[0], 3, 9, failed, USUAL_TYPE)
    told = " ".join(words.text for words in words_on(page.items))
    assert f"void unless its rules measure {frame.across_mm:.0f} mm across and {frame.down_mm:.0f} mm down" in told
    assert "CHECK FAILED: gap 2" in told and "at 100 %" in told
    assert not any(isinstance(item, Group) and item.id == "squares" for item in page.items)
    answer = answer_of("double-breasted")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    steps = how_to_print(templates, "all sheets on A4", subjects)
    assert any("A sheet without squares says how long its rules must be." in step for step in steps)


def test_refusal_names_no_strip_that_would_fit_by_itself() -> None:
    answer = answer_of("double-breasted", everything=True)
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets, answer.swap)
    bands = [piece for piece in further_pieces(drawn) if isinstance(piece, LongPiece)]
    assert any(piece.name.startswith("facing") for piece in bands)
    high = Piece("coupon", (Words(3.0, 3.0, "x", 3.0),), (151.0, 232.0), "")
    with pytest.raises(OutputError, match=r"too small for these pieces: coupon\."):
        lay_templates(bands, (high,), load_catalogue().paper("a4"), PageWords("", "A4"), USUAL_TYPE, None, ())


def test_piece_that_needs_squares_is_refused_where_it_leaves_no_room_for_them() -> None:
    catalogue = load_catalogue()
    high = Piece("coupon", (Words(3.0, 3.0, "x", 3.0),), (151.0, 232.0), "")
    words = PageWords("", "A4")
    with pytest.raises(OutputError, match="A4 is too small for these pieces: coupon"):
        lay_templates((), (high,), catalogue.paper("a4"), words, USUAL_TYPE)
    small = replace(high, size_mm=(40.0, 40.0))
    without = replace(high, without_squares=True)
    laying = lay_templates((), (small, without), catalogue.paper("a4"), words, USUAL_TYPE).laying
    assert [frame.has_squares for frame in laying.frames] == [True, False]


def test_join_spares_a_clear_zone_where_as_many_parts_do_without_it() -> None:
    things = [Thing(40.0 * k - 6.0, 40.0 * k + 6.0) for k in range(1, 20)]
    zone = Thing(380.0, 420.0)
    usual = Strip(800.0, tuple(things), lambda low, high: (high - low, 50.0), lambda low, high: high - low <= 420.0)
    sparing = replace(usual, spared=(zone,))
    least = min(len(parts) for parts in ways_to_cut(usual))
    alike = [parts for parts in ways_to_cut(sparing) if len(parts) == least and not sparing.cut_through(parts)]
    assert alike and all(part.high_mm - part.low_mm <= 420.0 for parts in alike for part in parts)
    # One that is longer than a page cannot be spared, and keeps nothing from being cut.
    long = replace(usual, spared=(Thing(100.0, 700.0),))
    assert ways_to_cut(long) == ways_to_cut(usual)


@pytest.mark.parametrize("name", ["zones", "zones among many"])
def test_laps_with_clear_zones_are_cut_beside_them_on_as_few_sheets(name: str) -> None:
    answer, templates = answer_of(name), laid(name)
    stretches = [stretch for zone in answer.placement.zones for stretch in zone.stretches_mm]
    joins = [one.piece.along_mm[0] for one in templates.laying.pieces if one.piece.along_mm and one.piece.number > 1]
    # With labels of zones that nothing reckoned with they took four and eight sheets, and cut zones three times.
    assert not [at for at in joins for low, high in stretches if low < at < high]
    assert templates.laying.pages <= {"zones": 3, "zones among many": 6}[name]


def test_marks_close_together_are_cut_alike_beside_the_widest_gap_far_off() -> None:
    things = [Thing(30.0 * k - 10.0, 30.0 * k + 10.0) for k in range(1, 30)]
    things += [Thing(30.0 * k - 7.0, 30.0 * k + 7.0) for k in range(30, 34)]
    strip = Strip(1020.0, tuple(things), lambda low, high: (high - low, 50.0), lambda low, high: high - low <= 230.0)
    counts = {len(parts) for parts in ways_to_cut(strip)}
    assert len(counts) > 1, counts


def test_parts_of_unlike_length_share_sheets_that_alike_ones_do_not() -> None:
    # In two parts each, both laps of it took three sheets.
    assert laid("broad arc").laying.pages == 2


@given(
    st.lists(st.tuples(st.floats(10, 180), st.floats(10, 250)), min_size=1, max_size=9), st.sampled_from([1, 2, 3, 99])
)
def test_pages_that_cuts_are_judged_by_are_pages_on_which_they_lie(sizes: list[tuple[float, float]], most: int) -> None:
    """Judged with a laying in order of reading, which nobody looked at: a third of the time for packing."""
    room, taken = (8.0, 8.0, 202.0, 289.0), ((8.0, 239.0, 58.0, 289.0),)
    all_tried = pages_taken(sizes, room, taken, 2.0)
    laid = pack(sizes, room, taken, 2.0)
    assert (all_tried is None) == (laid is None)
    if all_tried is not None and laid is not None:
        assert fewest(sizes, room, taken, 2.0) <= max(one.page for one in laid) + 1 <= all_tried
        assert pages_taken(sizes, room, taken, 2.0, most) == (all_tried if all_tried <= most else None)


def test_trials_that_share_an_empty_page_count_as_each_alone_would() -> None:
    room, taken = (8.0, 8.0, 202.0, 289.0), ((8.0, 239.0, 58.0, 289.0),)
    chance = random.Random(41)
    sides = [(chance.uniform(20, 185), chance.uniform(20, 220)) for _ in range(5)]
    shared = empty_page(room, taken, 2.0)
    for _ in range(200):
        sizes = chance.choices(sides, k=chance.randint(1, 8))
        most = chance.choice([2, 4, math.inf])
        assert pages_taken(sizes, room, taken, 2.0, most, shared) == pages_taken(sizes, room, taken, 2.0, most)


def test_furthest_open_place_is_the_furthest_of_all_that_are_asked_in_turn() -> None:
    chance = random.Random(42)
    for _ in range(200):
        lows = [chance.uniform(0, 500) for _ in range(chance.randint(0, 9))]
        things = [Thing(low, low + chance.uniform(0, 60)) for low in lows]
        beyond, clear = chance.choice([0.0, OVERLAP_MM]), chance.choice([CLEAR_MM, LEAST_CLEAR_MM])
        low, high = chance.uniform(0, 500), chance.uniform(0, 500)
        closed = Closed(things, beyond, clear)
        asked = [high, *(thing.low_mm - clear - beyond for thing in things)]
        places = [place for place in asked if low <= place <= high and not closed.holds(place)]
        assert closed.furthest(low, high) == max(places, default=None)


@pytest.mark.parametrize("name", ["curved-front", "shirt-front"])
def test_stretch_measured_on_the_grid_is_as_large_as_its_points_lie_apart(name: str) -> None:
    answer = answer_of(name)
    subject = subjects_of(answer.placement, answer.findings, answer.catalogue)[0]
    spot = subject.view(UNTURNED).spot_on_line

    def sides(along: float) -> tuple[tuple[float, float], tuple[float, float]]:
        one = spot(along)
        return one.moved(0.0, -one.to_edge_mm), one.moved(0.0, one.to_inner_mm)

    length = subject.length_mm
    spread = Spread(spot, sides, length, 4.0)
    for low, high in ((0.0, length), (0.0, 131.7), (57.3, 222.2), (301.0, length), (41.0, 42.0)):
        first = math.ceil(low / STRIDE_MM)
        last = max(first, math.floor(high / STRIDE_MM))
        places = [spot(min(length, STRIDE_MM * k)) for k in range(first, last + 1)]
        points = [point for k in range(first, last + 1) for point in sides(min(length, STRIDE_MM * k))]
        for one in places[:1] * (low > 0.0) + places[-1:] * (high < length):
            edge, inner = ring_depths(one)
            points += [one.moved(0.0, edge - 4.0), one.moved(0.0, inner + 4.0)]
        turn = along_x(places[0].at, places[-1].at)
        xs, ys = zip(*(turn.point(point) for point in points), strict=True)
        beyond = high - low - STRIDE_MM * (last - first)
        assert spread.size(low, high) == pytest.approx((max(xs) - min(xs) + beyond, max(ys) - min(ys)), abs=1e-9)


@pytest.mark.parametrize("large", [False, True], ids=["", "large"])
def test_small_pictures_of_a_bent_strip_name_its_parts_outside_the_bend_and_no_leader_crosses_a_word(
    large: bool,
) -> None:
    answer = answer_of("long arc", large=large)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue)
    for subject in subjects:
        (picture,) = lap_maps((subject,), laid("long arc", "a4", large), 2, type_scale(large))
        drawn = leaves(picture.items)
        words = [one for one in drawn if isinstance(one, Words)]
        dots = [one for one in drawn if isinstance(one, Circle)]
        named = [one for one in words if "sheet" in one.text]
        numbers = [one for one in words if one.text.isdigit()]
        assert len(named) >= 5
        # Half way down the bend lies furthest from the chord of the outermost dots: the names stand beyond it.
        first, half, last = dots[0], dots[len(dots) // 2], dots[-1]
        bow = half.x - (first.x + last.x) / 2
        beside = [min(them, key=lambda one: abs(one.y - half.y)).x - half.x for them in (named, numbers)]
        assert beside[0] * bow > 0 > beside[1] * bow, (subject.name, bow, beside)
        boxes = [box_of(one) for one in words]
        for path in drawn:
            if isinstance(path, Path) and [name for name, *_ in path.commands] == ["M", "L"]:
                (_, x0, y0), (_, x1, y1) = path.commands
                for share in (0.05 * k for k in range(1, 20)):
                    x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
                    assert not any(a + 0.1 < x < c - 0.1 and b + 0.1 < y < d - 0.1 for a, b, c, d in boxes)
        assert picture.size_mm[1] < 190.0


def test_cover_tells_the_sheets_of_a_strip_that_is_not_taped_sheet_after_sheet() -> None:
    def piece(strip: str, number: int, page: int) -> LaidPiece:
        name = f"{strip} {number} of 2"
        return LaidPiece(Piece(name, (), (40.0, 40.0), "", number=number, count=2, strip=strip), page, UNTURNED)

    laid_on = {"over": (0, 1), "under": (1, 0)}
    pieces = tuple(piece(strip, k + 1, page) for strip, pages in laid_on.items() for k, page in enumerate(pages))
    frames = laid("far apart").laying.frames[:1] * 2
    table, told = pages_table(Templates(Laying(frames, pieces, 0.0), ((1.0, 1.0),) * 2), 3)
    assert isinstance(table, Table) and [row[0] for row in table.rows] == ["3", "4"]
    assert isinstance(told, Section)
    assert told.paragraphs == (
        "Cut all parts out before you tape them.",
        "Parts 1 to 2 of under lie on sheets 4 and 3.",
    )
    (alone,) = pages_table(Templates(Laying(frames, pieces[:2], 0.0), ((1.0, 1.0),) * 2), 3)
    assert isinstance(alone, Table)
