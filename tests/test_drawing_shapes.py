"""Shapes, lettering and figures: the parts of a drawing, before any file format."""

import math
import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from work import calls_of

from closures.drawing.ink.extents import box_of, is_apart, pieces_of, union
from closures.drawing.ink.figures import corner_figure, lettered_along
from closures.drawing.ink.hatch import hatched
from closures.drawing.ink.lettering import counts_kept_whole, fitted_size, glyph, width_of, wrapped
from closures.drawing.ink.numbers import number
from closures.drawing.ink.room import Room, Target, points_on
from closures.drawing.ink.shapes import FINE, LINE, Circle, Group, Path, Words, arrow, line, mirrored, moved, rectangle
from closures.drawing.sheets.labels import Label, Line, _leader, place_label, target_of
from closures.errors import OutputError

COORDINATE = st.floats(-5000, 5000, allow_nan=False)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.00001, "0"),
        (25.4, "25.4"),
        (1 / 3, "0.3333"),
        (1e-7, "0"),
        (123456.0, "123456"),
    ],
    ids=str,
)
def test_number_is_rounded_once_to_four_decimals(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_number_not_finite_is_refused(value: float) -> None:
    with pytest.raises(OutputError, match="figure"):
        number(value)


@given(COORDINATE)
def test_number_stays_within_half_of_its_last_decimal(value: float) -> None:
    assert abs(float(number(value)) - value) <= 0.5e-4 + 1e-9


@given(COORDINATE, COORDINATE, COORDINATE)
def test_mirrored_twice_is_the_shape_itself(x: float, y: float, ox: float) -> None:
    shape = Group("a", "b", (Circle(x, y, 2.0, LINE), Words(x, y, "first end", 3.0, "start", 30.0)))
    there_and_back = mirrored(mirrored(shape, ox), ox)
    assert isinstance(there_and_back, Group)
    circle, words = there_and_back.items
    assert isinstance(circle, Circle) and isinstance(words, Words)
    assert circle.x == pytest.approx(x, abs=1e-9) and circle.y == y
    assert (words.align, words.angle_deg, words.text) == ("start", 30.0, "first end")


def test_mirrored_words_change_side_and_stay_readable() -> None:
    words = Words(10.0, 5.0, "3", 4.0, "start")
    turned = mirrored(words, 0.0)
    assert isinstance(turned, Words)
    assert (turned.x, turned.align, turned.text) == (-10.0, "end", "3")
    (x0, _, x1, _), (a0, _, a1, _) = box_of(words), box_of(turned)
    assert (a0, a1) == pytest.approx((-x1, -x0))


def test_moved_path_keeps_its_shape() -> None:
    assert box_of(moved(rectangle((1.0, 2.0, 4.0, 8.0), LINE), 10.0, -2.0)) == (11.0, 0.0, 14.0, 6.0)


def test_arrow_ends_exactly_at_its_tip() -> None:
    _, head = arrow((0.0, 0.0), (0.0, 20.0), LINE)
    assert box_of(head)[3] == 20.0


def test_boxes_that_only_touch_are_apart() -> None:
    assert is_apart((0, 0, 1, 1), (1, 0, 2, 1))
    assert not is_apart((0, 0, 1, 1), (0.9, 0.9, 2, 2))
    assert union([(0, 0, 1, 1), (3, -1, 4, 0)]) == (0, -1, 4, 1)


def test_pieces_of_a_path_are_its_single_strokes() -> None:
    bent = line((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), pen=FINE)
    assert pieces_of([bent]) == ((0.0, 0.0, 10.0, 0.0), (10.0, 0.0, 10.0, 10.0))


def test_pieces_of_a_long_slanting_stroke_leave_the_corners_of_its_box_free() -> None:
    slanting = line((0.0, 0.0), (200.0, 100.0), pen=FINE)
    bow = Path((("M", 0.0, 0.0), ("C", 0.0, 100.0, 100.0, 200.0, 200.0, 200.0)), FINE)
    for stroke, corner in ((slanting, (150.0, 0.0, 200.0, 40.0)), (bow, (150.0, 0.0, 200.0, 150.0))):
        assert not is_apart(box_of(stroke), corner)
        assert all(is_apart(piece, corner) for piece in pieces_of([stroke]))


@given(st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=4, max_size=4), st.floats(0, 1))
def test_pieces_of_a_cubic_hold_all_of_it(points: list[tuple[float, float]], t: float) -> None:
    a, b, c, d = points
    x, y = (
        (1 - t) ** 3 * a[k] + 3 * t * (1 - t) ** 2 * b[k] + 3 * t * t * (1 - t) * c[k] + t**3 * d[k] for k in (0, 1)
    )
    boxes = pieces_of([Path((("M", *a), ("C", *b, *c, *d)), FINE)])
    assert any(x0 - 1e-6 <= x <= x1 + 1e-6 and y0 - 1e-6 <= y <= y1 + 1e-6 for x0, y0, x1, y1 in boxes)


def test_words_turned_a_quarter_are_as_tall_as_they_were_wide() -> None:
    level, upright = (box_of(Words(0.0, 0.0, "finished edge", 3.0, "middle", angle)) for angle in (0.0, -90.0))
    assert upright[3] - upright[1] == pytest.approx(level[2] - level[0])


def test_width_of_figures_is_the_same_for_every_digit() -> None:
    assert len({width_of(digit, 3.0) for digit in "0123456789"}) == 1


@pytest.mark.parametrize("char", list("⅝½×·—’éßÅ°"), ids=str)
def test_glyph_of_trade_and_names_is_drawn(char: str) -> None:
    assert glyph(char, "bold").commands != glyph("?", "bold").commands


def test_letters_that_the_font_lacks_are_refused_by_name() -> None:
    with pytest.raises(
        OutputError, match=r"cannot letter '日本 coat': their font has no 日 .CJK UNIFIED IDEOGRAPH-65E5., 本"
    ):
        width_of("日本 coat", 3.0)
    with pytest.raises(OutputError, match="CJK UNIFIED IDEOGRAPH-4E2D"):
        glyph("\u4e2d", "regular")


def test_letters_written_in_two_signs_are_drawn_as_one_and_invisible_ones_left_out() -> None:
    assert width_of("Cafe\u0301", 3.0) == width_of("Café", 3.0)
    assert width_of("soft\u00adly\u200b", 3.0) == width_of("softly", 3.0)


def test_wrapped_lines_hold_every_word_and_fit() -> None:
    text = "Check the squares of every page first and then tape the pages together"
    rows = wrapped(text, 3.0, 40.0)
    assert " ".join(rows) == text and len(rows) > 1
    assert all(width_of(row, 3.0) <= 40.0 for row in rows)


@pytest.mark.parametrize("room", [22.0 + 0.5 * k for k in range(60)])
def test_wrapped_lines_part_no_figure_from_its_fraction_or_unit(room: float) -> None:
    text = "A square that measures 2 in, at 100 %, or 158 mm (6 1/4 in) from it, for a 36 L button."
    rows = wrapped(text, 3.0, room)
    assert " ".join(rows) == text and all(width_of(row, 3.0) <= room for row in rows)
    for whole in ("2 in,", "100 %,", "158 mm", "(6 1/4 in)", "36 L"):
        assert any(whole in row for row in rows), rows


def test_figure_wider_than_its_room_is_parted_from_its_unit() -> None:
    assert wrapped("6 15/16 in", 3.0, 8.0) == ("6", "15/16", "in")


def test_word_longer_than_a_line_goes_on_in_the_next_and_loses_nothing() -> None:
    rows = wrapped("a " + "x" * 200 + " b", 3.0, 40.0)
    assert "".join(rows).replace(" ", "") == "a" + "x" * 200 + "b" and all(width_of(row, 3.0) <= 40.0 for row in rows)


def test_word_longer_than_a_line_is_parted_at_its_hyphens() -> None:
    rows = wrapped("Wilhelmina Featherstonehaugh-Cholmondeley's gown", 6.0, 70.0, "bold")
    assert rows == ("Wilhelmina", "Featherstonehaugh-", "Cholmondeley's gown")
    # Never where it fits a line as it is.
    assert wrapped("Wilhelmina Featherstonehaugh-Cholmondeley's gown", 3.0, 70.0, "bold")[0].endswith("-Cholmondeley's")


@pytest.mark.parametrize("room", [13.0 + 0.5 * k for k in range(60)])
def test_wrapped_lines_keep_a_length_in_both_units_together(room: float) -> None:
    rows = wrapped("setting 1, on mark 3: 764.4 mm / 30 1/8 in", 3.0, room)
    assert " ".join(rows) == "setting 1, on mark 3: 764.4 mm / 30 1/8 in"
    assert all(width_of(row, 3.0) <= room for row in rows) and not any(row.endswith("/") for row in rows)
    assert any("764.4 mm / 30 1/8 in" in row for row in rows) == (width_of("764.4 mm / 30 1/8 in", 3.0) <= room)


@pytest.mark.parametrize("room", [20.0 + 0.5 * k for k in range(60)])
def test_counts_of_parts_are_kept_whole_where_rows_are_broken(room: float) -> None:
    text = "over 2 of 7, under 2 of 7, under 7 of 7"
    rows = wrapped(counts_kept_whole(text), 4.0, room)
    assert " ".join(rows) == text and all(width_of(row, 4.0) <= room for row in rows)
    assert all(row.count(" of ") == len(re.findall(r"\d of \d", row)) for row in rows)


def test_fitted_size_fills_the_room_and_never_grows() -> None:
    assert fitted_size("first end", 3.0, 1000.0) == 3.0
    size = fitted_size("first end", 30.0, 10.0)
    assert width_of("first end", size) == pytest.approx(10.0)


def test_hatched_square_has_the_strokes_that_its_area_asks_for() -> None:
    square = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))
    drawn = hatched(square, 0.5, 45.0)
    # Strokes at a step of s cover an area A with a total length of A / s.
    assert sum(math.dist(a, b) for a, b in drawn) == pytest.approx(400.0 / 0.5, rel=0.01)
    assert all(-1e-9 <= v <= 20.0 + 1e-9 for stroke in drawn for point in stroke for v in point)


def test_hatched_notch_stays_empty() -> None:
    notched = (
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 20.0),
        (20.0, 20.0),
        (20.0, 10.0),
        (10.0, 10.0),
        (10.0, 20.0),
        (0.0, 20.0),
    )
    for (x0, y0), (x1, y1) in hatched(notched, 1.0, 45.0):
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        assert not (10.01 < x < 19.99 and y > 10.01)


@pytest.mark.parametrize("turn", [0.0, 0.4, 1.6, 3.0], ids=str)
@pytest.mark.parametrize("hand", [1.0, -1.0], ids=["right", "left"])
def test_corner_figure_points_to_edge_and_first_end(turn: float, hand: float) -> None:
    first = (math.cos(turn), math.sin(turn))
    edge = (-hand * first[1], hand * first[0])
    (_, x, y), *rest, _ = corner_figure((0.0, 0.0), first, edge, 10.0).commands
    assert (
        float(x) * first[0] + float(y) * first[1],
        float(x) * edge[0] + float(y) * edge[1],
    ) == pytest.approx((5, 5))
    for _, px, py in rest:
        reach = (float(px) * first[0] + float(py) * first[1]) + (float(px) * edge[0] + float(py) * edge[1])
        assert reach == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_lettering_along_a_line_is_never_upside_down(degrees: int) -> None:
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    words = lettered_along("last end", (5.0, 5.0), along, 3.0, "regular")
    assert -90.0 <= words.angle_deg < 90.0
    assert math.sin(math.radians(words.angle_deg) - math.atan2(along[1], along[0])) == pytest.approx(0.0, abs=1e-6)


def test_room_taken_is_not_free() -> None:
    room = Room()
    room.take((0.0, 0.0, 10.0, 10.0))
    room.take_path((("M", 50.0, 0.0), ("L", 50.0, 100.0)))
    assert not room.is_free((5.0, 5.0, 30.0, 8.0))
    assert not room.is_free((40.0, 50.0, 60.0, 52.0))
    assert room.is_free((12.0, 0.0, 40.0, 5.0))
    assert not room.lets_through((-5.0, 5.0), (20.0, 5.0))
    assert room.lets_through((40.0, 50.0), (60.0, 50.0))


def test_labels_of_a_long_row_are_set_in_step_with_their_number() -> None:
    def label_row(count: int) -> None:
        room, marks = Room(), [(0.0, 20.0 * k) for k in range(count)]
        for x, y in marks:
            room.take_target(target_of((x, y), (1.0, 0.0), 5.0, 5.5, (x - 5.5, y - 5.5, x + 5.5, y + 5.5)))
        for n, at in enumerate(marks):
            lines = (Line("1234.5 mm", 2.8), Line("48 5/8 in", 2.8))
            place_label(Label(str(n), 5.0, lines, at, (1.0, 0.0), 5.5, kind="mark"), room)

    label_row(3)
    few, many = (calls_of(lambda n=n: label_row(n)) for n in (60, 240))
    assert many < 5 * few


def test_points_on_a_cubic_lie_on_it() -> None:
    # The parabola y = x * x / 100 as a cubic, from its quadratic control point (50, 0).
    curve = (("M", 0.0, 0.0), ("C", 100 / 3, 0.0, 200 / 3, 100 / 3, 100.0, 100.0))
    points = list(points_on(curve, 2.0))
    assert all(y == pytest.approx(x * x / 100, abs=1e-9) for x, y in points)
    assert max(math.dist(a, b) for a, b in pairwise(points)) < 3.0


def test_where_a_leader_begins_is_told_by_the_nearest_mark_alone() -> None:
    def target(y: float) -> Target:
        return target_of((0.0, y), (1.0, 0.0), 0.0, 5.5, (-5.5, y - 0.2, 5.5, y + 0.2))

    label = Label("1", 5.0, (), (0.0, 0.0), (1.0, 0.0), 5.5, kind="mark")
    others = [target(float(k)) for k in range(1, 401)]
    box = (30.0, -2.5, 35.0, 2.5)
    found = _leader(label, box, target(0.0), others)
    assert found == _leader(label, box, target(0.0), others[:1])
    assert calls_of(lambda: _leader(label, box, target(0.0), others)) < 100
