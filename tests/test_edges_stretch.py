"""A stretch of a longer line: cut between two places, whichever way the line was drawn, whatever it is made of."""

from __future__ import annotations

import json
import math
from itertools import pairwise

import pytest
from edge_files import BACK, EDGE, closed_path_data, edges_of, path_data, plan, svg
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from closures.app.command import app
from closures.curve import Arc, Cubic, Curve, Line
from closures.edges.drawing import Drawn
from closures.edges.pieces import join_overlapping, join_pieces
from closures.edges.stretch import cut_stretch
from closures.errors import DrawingError, EdgeError
from closures.placing.laps import laps_of
from closures.plan.place import LevelPlace
from closures.plan.reading import read_plan

OUTLINE = svg(
    f'<path id="outline" d="{closed_path_data()}"/><circle id="neck" cx="90" cy="20" r="1"/>'
    '<circle id="hem" cx="118" cy="250" r="1"/><circle id="bust" cx="132" cy="150" r="1"/>'
)


def over(edge: str, drawing: bytes = OUTLINE) -> Curve:
    return edges_of(read_plan(plan(edge, "front.svg").encode(), "front.toml"), drawing).over


def same(one: Curve, other: Curve, within: float = 1e-6) -> bool:
    return abs(one.length_mm - other.length_mm) < within and all(
        math.dist(one.point_at(one.length_mm * i / 20), other.point_at(other.length_mm * i / 20)) < within
        for i in range(21)
    )


@pytest.mark.parametrize(
    "places",
    [
        'from = "neck"\nto = "hem"\nvia = "bust"',
        'from = ["90 mm", "20 mm"]\nto = [118, 250]\nvia = { level = 130, which = 2 }',
        "from = [90.2, 19.8]\nto = [118.2, 250.1]\nvia = [132, 150]",
        'from = { level = 20, which = 2 }\nto = { level = 250, which = 1 }\nvia = "bust"',
    ],
    ids=["ids", "points", "near corners", "levels"],
)
def test_stretch_of_a_closed_outline_is_the_edge_itself(places: str) -> None:
    assert same(over(f'path = "outline"\n{places}'), EDGE)


def test_stretch_from_and_to_exchanged_runs_the_other_way() -> None:
    back = over('path = "outline"\nfrom = "hem"\nto = "neck"\nvia = "bust"')
    assert same(back.reversed(), EDGE)


def test_stretch_via_the_other_side_goes_round_the_back() -> None:
    back = over('path = "outline"\nfrom = "neck"\nto = "hem"\nvia = [50, 130]')
    points = [(90.0, 20.0), *reversed(BACK), (118.0, 250.0)]
    assert back.length_mm == pytest.approx(sum(math.dist(a, b) for a, b in pairwise(points)))


def test_stretch_without_via_takes_the_shorter_way() -> None:
    # Round the back it is 30 + 114 + 125 + 60 = 330 mm, over the front some 237.
    assert same(over('path = "outline"\nfrom = "neck"\nto = "hem"'), EDGE)


@pytest.mark.parametrize("begin", range(4))
@pytest.mark.parametrize("turned", [False, True], ids=["as drawn", "drawn the other way"])
def test_stretch_is_the_same_wherever_the_outline_was_begun(begin: int, turned: bool) -> None:
    corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 300.0), (0.0, 300.0)]
    ring = corners[begin:] + corners[: begin + 1]
    ring = ring[::-1] if turned else ring
    segments = [Line(a, b) for a, b in pairwise(ring)]
    cut = cut_stretch([segments], (100.0, 40.0), (100.0, 260.0), None, "ring")
    assert (cut.curve.start, cut.curve.end) == ((100.0, 40.0), (100.0, 260.0))
    assert cut.curve.length_mm == pytest.approx(220.0, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1))
def test_stretch_of_a_circle_is_the_shorter_arc(one: float, other: float) -> None:
    # Closed form: an arc of radius r over the angle a is r a long.
    angle = abs((one - other + 0.5) % 1 - 0.5) * math.tau
    circle = [Arc((0.0, 0.0), 100.0, 0.0, math.pi), Arc((0.0, 0.0), 100.0, math.pi, math.pi)]
    places = [(100 * math.cos(t * math.tau), 100 * math.sin(t * math.tau)) for t in (one, other)]
    if angle * 100 < 2 or abs(angle - math.pi) < 0.1:
        return
    cut = cut_stretch([circle], places[0], places[1], None, "circle")
    # A place a ten-thousandth of a mm from a joint of the line is set on it.
    assert cut.curve.length_mm == pytest.approx(100 * angle, abs=2.1e-4)
    assert math.dist(cut.curve.start, places[0]) < 1.1e-4 and math.dist(cut.curve.end, places[1]) < 1.1e-4


def test_stretch_of_an_outline_of_chords_is_smooth_through_its_ends() -> None:
    # A ring of radius 150 as chords of 2 mm: its quarter is 150 pi / 2 long, the chords' 0.0017 mm less each 100.
    n = 471
    ring = [(150 * math.cos(i / n * math.tau), 150 * math.sin(i / n * math.tau)) for i in range(n)]
    segments = [Line(a, b) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]
    cut = cut_stretch([segments], (150.0, 0.0), (0.0, 150.0), None, "ring")
    assert cut.curve.length_mm == pytest.approx(150 * math.pi / 2, abs=0.01)
    assert cut.curve.tightest().radius_mm == pytest.approx(150, rel=0.02)


def test_corner_inside_the_stretch_is_told() -> None:
    segments = [Line((0.0, 0.0), (0.0, 100.0)), Line((0.0, 100.0), (30.0, 200.0))]
    notes = cut_stretch([segments], (0.0, 10.0), (30.0, 190.0), None, "line").notes
    # atan(30 / 100) = 16.7 degrees, 90 mm from the first end.
    assert any("corner of 17° at 90 mm along" in note for note in notes)


@pytest.mark.parametrize("gap", [0.0, 0.05, 0.19])
def test_pieces_that_touch_are_joined(gap: float) -> None:
    pieces = [
        Drawn("a", (Line((0.0, 0.0), (0.0, 100.0)),)),
        Drawn("b", (Line((5.0, 250.0 + gap), (0.0, 100.0 + gap)),)),
        Drawn("c", (Cubic((5.0, 250.0), (8.0, 300.0), (8.0, 310.0), (9.0, 350.0)),)),
        Drawn("d", (Arc((9.0, 400.0), 50.0 - gap, -math.pi / 2, math.pi / 2),)),
    ]
    (chain,) = join_pieces(pieces)
    joined = Curve(chain)
    assert {joined.start, joined.end} == {(0.0, 0.0), (59.0 - gap, 400.0)}


def test_pieces_further_apart_than_a_pen_are_not_joined() -> None:
    pieces = [Drawn("a", (Line((0.0, 0.0), (0.0, 100.0)),)), Drawn("b", (Line((0.0, 100.21), (0.0, 200.0)),))]
    assert len(join_pieces(pieces)) == 2


def test_piece_drawn_twice_counts_once() -> None:
    a = Drawn("a", (Line((0.0, 0.0), (0.0, 100.0)),))
    b = Drawn("b", (Line((0.0, 100.0), (0.0, 0.0)),))
    assert [Curve(chain).length_mm for chain in join_pieces([a, b])] == [100.0]


def test_joined_where_three_meet_goes_on_straight() -> None:
    pieces = [
        Drawn("a", (Line((0.0, 0.0), (0.0, 100.0)),)),
        Drawn("side", (Line((0.0, 100.0), (40.0, 100.0)),)),
        Drawn("b", (Line((0.0, 100.0), (0.0, 200.0)),)),
    ]
    assert sorted(Curve(chain).length_mm for chain in join_pieces(pieces)) == [40.0, 200.0]


def test_pieces_that_overlap_are_one_line_of_the_true_length() -> None:
    one, other = EDGE.stretch(0, 150).segments, EDGE.stretch(140, EDGE.length_mm).reversed().segments
    (chain,) = join_overlapping(join_pieces([Drawn("a", one), Drawn("b", other)]))
    assert Curve(chain).length_mm == pytest.approx(EDGE.length_mm, abs=1e-6)


def test_edge_of_pieces_named_in_a_list_is_joined() -> None:
    first, second = EDGE.segments
    drawing = svg(f'<path id="a" d="{path_data([second])}"/><path id="b" d="{path_data([first])}"/>')
    edge = over('path = ["b", "a"]', drawing)
    assert same(edge, EDGE)


@pytest.mark.parametrize("turned", [(), ("a",), ("b",), ("c",), ("a", "b", "c")])
@pytest.mark.parametrize(("listed", "first_y"), [('"a", "b", "c"', 10.0), ('"c", "b", "a"', 310.0)])
def test_edge_of_listed_pieces_runs_as_they_are_listed(listed: str, first_y: float, turned: tuple[str, ...]) -> None:
    ys = {"a": (10, 110), "b": (110, 210), "c": (210, 310)}
    drawn = {name: ends[::-1] if name in turned else ends for name, ends in ys.items()}
    drawing = svg("".join(f'<path id="{name}" d="M50 {one}L50 {other}"/>' for name, (one, other) in drawn.items()))
    edge = over(f"path = [{listed}]", drawing)
    assert edge.start[1] == pytest.approx(first_y)
    assert over(f"path = [{listed}]\nreverse = true", drawing).end[1] == pytest.approx(first_y)


def test_edge_of_listed_pieces_that_contradict_or_close_is_refused() -> None:
    three = svg('<path id="a" d="M50 10V110"/><path id="b" d="M50 110V210"/><path id="c" d="M50 210V310"/>')
    with pytest.raises(DrawingError, match=r'another order.*path = \["a", "b", "c"\]'):
        over('path = ["a", "c", "b"]', three)
    told = 'path = ["a", "c", "b"]\nfrom = ["50 mm", "10 mm"]\nto = ["50 mm", "310 mm"]'
    assert over(told, three).start[1] == pytest.approx(10.0)
    ring = svg('<path id="a" d="M50 10H150V110"/><path id="b" d="M150 110.1H50V10.1"/>')
    with pytest.raises(DrawingError, match="closed, and an edge needs two ends"):
        over('path = ["a", "b"]', ring)


@pytest.mark.parametrize(
    ("edge", "told"),
    [
        ('path = "outline"', "closed, and an edge needs two ends.*from and to"),
        ('path = "outline"\nfrom = "neck"', "from: it goes with to only"),
        ('path = "outline"\nto = "neck"', "to: it goes with from only"),
        ('straight = "9 in"\nfrom = [0, 0]\nto = [0, 9]', "from: it goes with path only"),
        ('path = "outline"\nfrom = "neck"\nto = "hem"\nreverse = true', "reverse: from and to tell already"),
        ('path = "outline"\nfrom = "neck"\nto = "neck"', "the same place"),
        ('path = "outline"\nfrom = "nek"\nto = "hem"', 'id "nek": nothing in the drawing.*Nearest: neck'),
        ('path = "outline"\nfrom = [300, 20]\nto = "hem"', "x 300 mm, y 20 mm lies 2[0-9.]+ mm from the line"),
        ('path = "outline"\nfrom = { level = 130 }\nto = "hem"', "meets y 130 mm 2 times"),
        ('path = "outline"\nfrom = { level = 800 }\nto = "hem"', "does not meet y 800 mm"),
        ('path = "outline"\nfrom = 12\nto = "hem"', "is not a place"),
        ('path = "ring"\nfrom = [0, 10]\nto = [20, 10]', "both ways round.*via"),
        ('path = ["outline", "stick"]', "2 lines that do not touch"),
    ],
)
def test_stretch_that_cannot_be_is_refused_with_words(edge: str, told: str, tmp_path) -> None:
    drawing = OUTLINE.replace(b"</svg>", b'<path id="ring" d="M0 0H20V20H0Z"/><path id="stick" d="M1 1V9"/></svg>')
    (tmp_path / "front.svg").write_bytes(drawing)
    (tmp_path / "front.toml").write_text(plan(edge, "front.svg"))
    result = CliRunner().invoke(app, ["check", str(tmp_path / "front.toml")])
    import re

    assert result.exit_code == 2
    assert re.search(told, result.stderr, re.DOTALL), result.stderr


def test_stretch_that_cannot_be_is_refused_in_the_units_of_the_plan(tmp_path) -> None:
    (tmp_path / "front.svg").write_bytes(OUTLINE)
    told = plan('path = "outline"\nfrom = { level = "30 in" }\nto = "hem"', "front.svg")
    (tmp_path / "front.toml").write_text(f'units = "in"\n{told}')
    result = CliRunner().invoke(app, ["check", str(tmp_path / "front.toml")])
    assert result.exit_code == 2 and "does not meet y 30 in (762 mm); it lies between" in result.stderr, result.stderr


def test_levels_of_a_stretch_are_measured_from_the_level_zero() -> None:
    edge = over(
        'path = "outline"\nlevel_zero = "neck"\nfrom = { level = 0, which = 2 }\n'
        'to = { level = 230, which = 1 }\nvia = "bust"'
    )
    assert same(edge, EDGE)


def test_anchor_at_a_notch_is_the_nearest_place_on_the_closing_line(tmp_path) -> None:
    (tmp_path / "front.svg").write_bytes(OUTLINE)
    text = plan('path = "outline"\nfrom = "neck"\nto = "hem"', "front.svg") + '[[anchor]]\nname = "bust"\nat = "bust"\n'
    (tmp_path / "front.toml").write_text(text)
    result = CliRunner().invoke(app, ["check", str(tmp_path / "front.toml"), "--json"])
    report = json.loads(result.stdout)
    (mark,) = [mark for mark in report["marks"] if mark["anchor"] == "bust"]
    # The notch lies on the edge, so the nearest place of the line is the inset away, square to it.
    assert math.dist((mark["x_mm"], mark["y_mm"]), (132, 150)) == pytest.approx(12.0, abs=1e-3)
    assert report["notes"]


def test_anchor_far_from_the_line_is_refused(tmp_path) -> None:
    (tmp_path / "front.svg").write_bytes(OUTLINE)
    text = plan('path = "outline"\nfrom = "neck"\nto = "hem"', "front.svg") + '[[anchor]]\nname = "x"\nat = [10, 150]\n'
    (tmp_path / "front.toml").write_text(text)
    result = CliRunner().invoke(app, ["check", str(tmp_path / "front.toml")])
    assert result.exit_code == 2 and "from the closing line" in result.stderr


def test_stretch_seen_from_inside_is_turned_over() -> None:
    text = plan('path = "outline"\nfrom = "neck"\nto = "hem"', "front.svg")
    text = text.replace('lap = "right', 'seen_from = "inside"\nlap = "right')
    edge = edges_of(read_plan(text.encode(), "front.toml"), OUTLINE).over
    assert same(edge, EDGE.mirrored())


def test_lines_that_do_not_touch_are_refused_where_no_place_chooses() -> None:
    lines = [[Line((0.0, 0.0), (0.0, 9.0))], [Line((5.0, 0.0), (5.0, 9.0))]]
    with pytest.raises(DrawingError, match="2 lines that do not touch"):
        cut_stretch(lines, LevelPlace(1.0), LevelPlace(8.0), None, "lines")


@pytest.mark.parametrize(
    ("places", "lap", "seen_from", "is_told"),
    [
        ('from = "neck"\nto = "hem"', "right over left", "outside", False),
        ('from = "neck"\nto = "hem"', "left over right", "outside", True),
        ('from = "hem"\nto = "neck"', "right over left", "outside", True),
        ('from = "neck"\nto = "hem"', "left over right", "inside", False),
        ('from = "neck"\nto = "hem"', "right over left", "inside", True),
    ],
)
def test_lap_that_puts_the_cloth_outside_the_piece_is_refused(
    places: str, lap: str, seen_from: str, is_told: bool
) -> None:
    text = plan(f'path = "outline"\n{places}', "front.svg")
    text = text.replace('lap = "right over left"', f'lap = "{lap}"\nseen_from = "{seen_from}"')
    read = read_plan(text.encode(), "front.toml")
    edges = edges_of(read, OUTLINE)
    if not is_told:
        laps_of(read, edges)
        return
    with pytest.raises(EdgeError, match="the outline shows the cloth") as refused:
        laps_of(read, edges)
    # Each of the mistakes is named as what would be written instead.
    other = "left over right" if lap == "right over left" else "right over left"
    turned = "inside" if seen_from == "outside" else "outside"
    for mend in (f'lap = "{other}"', f'seen_from = "{turned}"', 'shows = "under"', 'opens = "back"'):
        assert mend in str(refused.value)
    assert ("exchange from and to" in str(refused.value)) == (places.index("hem") < places.index("neck"))


@pytest.mark.parametrize("begin", range(4))
def test_level_of_a_level_hem_is_met_at_the_corner_and_not_in_its_middle(begin: int) -> None:
    # A front 200 wide with a level hem at 300 and its edge at x = 100: the hem runs on from its corner.
    corners = [(100.0, 0.0), (100.0, 300.0), (-100.0, 300.0), (-100.0, 0.0)]
    ring = corners[begin:] + corners[: begin + 1]
    segments = [Line(a, b) for a, b in pairwise(ring)]
    cut = cut_stretch([segments], (100.0, 20.0), LevelPlace(300.0), None, "ring")
    assert (cut.curve.start, cut.curve.end) == ((100.0, 20.0), (100.0, 300.0))
    back = cut_stretch([segments], LevelPlace(300.0), (100.0, 20.0), None, "ring")
    assert (back.curve.start, back.curve.end) == ((100.0, 300.0), (100.0, 20.0))
    far = cut_stretch([segments], (100.0, 20.0), LevelPlace(300.0), (-100.0, 150.0), "ring")
    assert far.curve.end == (-100.0, 300.0)
