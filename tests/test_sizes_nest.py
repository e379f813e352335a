"""The nest of all sizes: every mark where it lies, and told apart by a black and white printer."""

from __future__ import annotations

import io
import math
import re
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closures.app.job import load_plan
from closures.app.sizing import check_sizes, place_sizes
from closures.curve import Curve
from closures.drawing.ink.apart import distance_to_stroke, pulled_apart
from closures.drawing.ink.extents import box_of, grown, is_apart
from closures.drawing.ink.lettering import CAP_HEIGHT
from closures.drawing.ink.shapes import Circle, Group, Item, Point, Words, line
from closures.drawing.ink.shapes import Path as Drawn
from closures.drawing.ink.type_scale import LEAST_CAPITALS_MM
from closures.drawing.sheets.nest import nest_sheet
from closures.drawing.sheets.nest_strip import _BESIDE_MM, _Nest
from closures.drawing.sheets.nest_words import LEADER, NUMBER_MM, ROW_MM
from closures.drawing.sheets.sheet import Sheet
from closures.drawing.sheets.size_lines import size_pens
from closures.drawing.write.picture import write_picture
from closures.drawing.write.svg import write_shapes, write_svg
from closures.jobs.sizes.sized import Sizes
from closures.plan.reading import read_plan

TEMPLATE = Path(__file__).resolve().parent.parent / "templates" / "eight-sizes" / "plan.toml"
SVG = "{http://www.w3.org/2000/svg}"
# A front edge that all sizes share, as on many blouses: only the marks move, by a few mm, from size to size.
SHARED = """
title = "Shared edge"
[edge]
straight = "500 mm"
[garment]
pieces = "separate"

[band]
width = "30 mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "18 L"
[spacing]
first = "15 mm"
last = "60 mm"
count = 8
[sizes]
names = ["XXS", "XS", "S", "M", "L", "XL", "XXL", "3X", "4X", "5X"]
base = "S"
grade = [["0 mm", "0 mm"], ["0 mm", "3 mm"]]
"""
ACROSS = SHARED.replace(
    'straight = "500 mm"', 'points = [["0 mm", "0 mm"], ["250 mm", "30 mm"], ["500 mm", "20 mm"]]'
).replace('[["0 mm", "0 mm"], ["0 mm", "3 mm"]]', '[["0 mm", "0 mm"], ["4 mm", "2 mm"], ["9 mm", "1 mm"]]')
LARGE = "[sheets]\nlarge = true\n"


@cache
def nest_of(name: str) -> tuple[Sizes, Sheet]:
    """The over lap's nest of one of the plans above, or of the starting plan."""
    if name == "eight":
        sizes = place_sizes(load_plan(TEMPLATE), TEMPLATE)
        return sizes, sizes.nest[0]
    sizes = check_sizes(
        read_plan({"shared": SHARED, "across": ACROSS, "large": SHARED + LARGE}[name].encode(), "plan.toml")
    )
    return sizes, nest_sheet(sizes, "over", "outside")


NESTS = ["eight", "shared", "across", "large"]


def flat(items: tuple[Item, ...]) -> list[Item]:
    """Everything drawn, out of its groups."""
    found: list[Item] = []
    for item in items:
        found += flat(item.items) if isinstance(item, Group) else [item]
    return found


def dots(sheet: Sheet) -> list[Circle]:
    """The centres of all marks."""
    return [item for item in flat(sheet.drawing) if isinstance(item, Circle) and item.role == "centre"]


def leaders(sheet: Sheet) -> list[list[Point]]:
    """The leaders, each as its points."""
    found = [item for item in flat(sheet.drawing) if isinstance(item, Drawn) and item.pen == LEADER]
    return [[(float(x), float(y)) for _, x, y in item.commands] for item in found]  # type: ignore[misc]


def crosses(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two strokes cross within both."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < -1e-9 and side(c, d, a) * side(c, d, b) < -1e-9


@pytest.mark.parametrize("lap", ["over", "under"])
@pytest.mark.parametrize("face", ["outside", "inside"])
def test_every_mark_of_every_size_lies_on_the_nest_where_its_report_says(lap: str, face: str) -> None:
    sizes, _ = nest_of("eight")
    sheet = nest_sheet(sizes, lap, face)  # type: ignore[arg-type]
    root = ElementTree.fromstring(write_svg(sheet))
    groups = {group.get("id"): group for group in root.iter(f"{SVG}g")}
    ox, oy = sheet.origin_mm
    for size in sizes.placed:
        layer = groups[f"size-{size.name}"]
        assert layer.get("class") == "layer"
        for mark in size.placement.on(lap):  # type: ignore[arg-type]
            own = next(g for g in layer.iter(f"{SVG}g") if g.get("id") == f"{lap}-{size.name}-{mark.n}")
            (centre,) = [circle for circle in own.iter(f"{SVG}circle") if circle.get("class") == "centre"]
            x = ox - mark.x_mm if sheet.flipped else ox + mark.x_mm
            assert float(centre.get("cx", "")) == pytest.approx(x, abs=1e-4)
            assert float(centre.get("cy", "")) == pytest.approx(oy + mark.y_mm, abs=1e-4)


@pytest.mark.parametrize("name", NESTS)
def test_ids_on_a_nest_are_single(name: str) -> None:
    svg = write_svg(nest_of(name)[1])
    ids = re.findall(rb' id="([^"]+)"', svg)
    layers = re.findall(rb'id="size-([^"]+)" inkscape:groupmode="layer" inkscape:label="size ([^"]+)"', svg)
    assert [label.decode() for _, label in layers] == [size.name for size in nest_of(name)[0].placed]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", NESTS)
def test_nest_is_told_apart_without_colour(name: str) -> None:
    svg = write_svg(nest_of(name)[1]).decode()
    colours = set(re.findall(r"#([0-9a-f]{6})", svg)) | set(re.findall(r'(?:fill|stroke)="([a-z]+)"', svg))
    for colour in colours - {"none", "white"}:
        assert colour[0:2] == colour[2:4] == colour[4:6], colour
    # Every layer is black: no grey, which a printer breaks up into dots.
    _, sheet = nest_of(name)
    for item in flat(sheet.drawing):
        assert (item.grey if isinstance(item, Words) else item.pen.grey) == 0.0


@pytest.mark.parametrize("name", NESTS)
def test_labels_of_a_nest_meet_neither_each_other_nor_a_mark(name: str) -> None:
    _, sheet = nest_of(name)
    words = [box_of(item) for item in flat(sheet.drawing) if isinstance(item, Words)]
    for one, other in combinations(words, 2):
        assert is_apart(one, other)
    for dot in dots(sheet):
        assert all(is_apart(box, grown((dot.x, dot.y, dot.x, dot.y), 1.0)) for box in words)


@pytest.mark.parametrize("name", NESTS)
def test_lettering_of_a_nest_is_large_enough_to_read(name: str) -> None:
    # Capitals of 1.5 mm are those of 6 point type, the smallest of printed patterns: common practice.
    _, sheet = nest_of(name)
    sizes = {item.size_mm for item in flat(sheet.drawing) if isinstance(item, Words)}
    grown = 1.5 if name == "large" else 1.0
    assert min(sizes) * CAP_HEIGHT >= grown * LEAST_CAPITALS_MM and max(sizes) == grown * NUMBER_MM


@pytest.mark.parametrize("name", NESTS)
def test_marks_of_neighbouring_sizes_that_nearly_touch_have_labels_of_their_own(name: str) -> None:
    sizes, sheet = nest_of(name)
    spots = dots(sheet)
    near = [(a, b) for a, b in combinations(spots, 2) if 0 < math.dist((a.x, a.y), (b.x, b.y)) < 3.0]
    assert near, "a nest without neighbours within 3 mm would prove nothing"
    ends = [leader[0] for leader in leaders(sheet)]
    labels = [leader[-1] for leader in leaders(sheet)]
    # As many leaders as marks and ends, no two to one place, and labels a row apart.
    assert len(ends) == len(spots) + 2 * len(sizes.placed)
    for side in {round(x if name != "across" else y, 3) for x, y in labels}:
        column = sorted(
            y if name != "across" else x for x, y in labels if round(x if name != "across" else y, 3) == side
        )
        assert all(b - a >= ROW_MM - 1e-6 for a, b in pairwise(column))


@pytest.mark.parametrize("name", NESTS)
def test_leader_runs_to_its_own_mark_and_passes_no_other(name: str) -> None:
    _, sheet = nest_of(name)
    layers = [item for item in sheet.drawing if isinstance(item, Group)]
    everywhere = [(dot.x, dot.y) for dot in dots(sheet)]
    for layer in layers:
        own = [(item.x, item.y) for item in flat(layer.items) if isinstance(item, Circle) and item.role == "centre"]
        strokes = [item for item in flat(layer.items) if isinstance(item, Drawn) and item.pen == LEADER]
        for stroke in strokes[: len(own)]:
            points = [(float(x), float(y)) for _, x, y in stroke.commands]  # type: ignore[misc]
            nearest = min(everywhere, key=lambda spot: math.dist(spot, points[0]))
            served = [spot for spot in own if math.dist(spot, points[0]) < 1.0]
            if not served:
                continue
            assert nearest in served
            others = [spot for spot in everywhere if math.dist(spot, served[0]) > 0.6]
            clear = min(distance_to_stroke(spot, a, b) for spot in others for a, b in pairwise(points))
            # A dot has a radius of 0.3 mm.
            assert clear > 0.4, f"{layer.id}: a leader passes {clear:.2f} mm from another dot"


@pytest.mark.parametrize("name", NESTS)
def test_leaders_of_marks_do_not_cross(name: str) -> None:
    _, sheet = nest_of(name)
    strokes = [pair for leader in leaders(sheet) for pair in pairwise(leader)]
    found = sum(crosses(a, b, c, d) for (a, b), (c, d) in combinations(strokes, 2))
    assert found == 0


@pytest.mark.parametrize("said", ["neck", *"12345678", "hem"])
def test_labels_of_a_row_of_sizes_stand_in_the_order_of_the_sizes(said: str) -> None:
    _, sheet = nest_of("eight")
    columns: dict[bool, list[tuple[float, int]]] = {}
    middle = sum(dot.x for dot in dots(sheet)) / len(dots(sheet))
    for k, layer in enumerate(item for item in sheet.drawing if isinstance(item, Group)):
        for words in flat(layer.items):
            # The number of a mark is larger than the name of a size that may be written alike.
            if isinstance(words, Words) and words.text == said and (not said.isdigit() or words.size_mm == NUMBER_MM):
                columns.setdefault(words.x > middle, []).append((words.y, k))
    assert sum(map(len, columns.values())) == 8
    for column in columns.values():
        order = [k for _, k in sorted(column)]
        assert order in (sorted(order), sorted(order, reverse=True)), (said, order)


def runs(pen_width: float, dash: tuple[float, ...]) -> tuple[tuple[bool, int], ...]:
    """A line as a black and white printer of 300 dots to the inch prints it: black and white in turn, in dots."""
    from PIL import Image

    from closures.drawing.ink.shapes import Pen

    svg = write_shapes("line", 80.0, 4.0, [line((2.0, 2.0), (78.0, 2.0), pen=Pen(pen_width, dash))])
    with Image.open(io.BytesIO(write_picture(svg, round(80 / 25.4 * 300)))) as picture:
        page = picture.convert("L").point(lambda grey: 255 if grey > 127 else 0)
        row = [page.getpixel((x, page.height // 2)) == 0 for x in range(page.width)]
    changes = [0, *(k for k in range(1, len(row)) if row[k] != row[k - 1]), len(row)]
    return tuple((row[a], b - a) for a, b in pairwise(changes))[1:-1]


def test_lines_of_eight_sizes_differ_as_a_black_and_white_printer_prints_them() -> None:
    pens = size_pens(8, 3)
    printed = [runs(pen.width_mm, pen.dash_mm) for pen in pens]
    assert len(printed[3]) == 1, "the base is one whole line"
    for one, other in combinations(range(8), 2):
        a, b = printed[one], printed[other]
        # Two dots of 300 to the inch, 0.17 mm, is what an eye and a printer may both miss.
        assert len(a) != len(b) or max(abs(p[1] - q[1]) for p, q in zip(a, b, strict=True)) > 8, (one, other)
    for pen, marks in zip(pens, printed, strict=True):
        for is_black, length in marks[1:-1]:
            assert length >= 5, f"{pen.dash_mm}: {'dash' if is_black else 'gap'} of {length} dots"


@pytest.mark.parametrize("count", [1, 2, 8, 20, 27])
def test_no_two_sizes_have_one_line(count: int) -> None:
    pens = size_pens(count, count // 2)
    assert len({(pen.width_mm, pen.dash_mm) for pen in pens}) == count
    assert pens[count // 2].dash_mm == ()
    assert all(one.dash_mm != other.dash_mm for one, other in pairwise(pens))


@given(st.lists(st.floats(0, 500), min_size=1, max_size=40))
def test_labels_pulled_apart_keep_their_order_their_room_and_their_middle(wanted: list[float]) -> None:
    wanted = sorted(wanted)
    places = pulled_apart(wanted, [4.0] * len(wanted))
    assert all(b - a >= 4.0 - 1e-6 for a, b in pairwise(places))
    assert sum(places) == pytest.approx(sum(wanted), abs=1e-6)


def test_labels_that_have_room_stay_where_they_are_wanted() -> None:
    assert pulled_apart([1.0, 10.0, 30.0], [4.0, 4.0, 4.0]) == pytest.approx((1.0, 10.0, 30.0))


def test_labels_in_a_crowd_move_as_little_as_can_be() -> None:
    # Three at one place, 4 mm each: least squares puts them 4 mm apart about it.
    assert pulled_apart([10.0, 10.0, 10.0], [4.0] * 3) == pytest.approx((6.0, 10.0, 14.0))
    assert pulled_apart([], []) == ()


def test_sizes_laid_with_their_first_ends_on_each_other_begin_in_one_place() -> None:
    text = ACROSS.replace('["0 mm", "0 mm"], ["4 mm", "2 mm"]', '["5 mm", "3 mm"], ["4 mm", "2 mm"]')
    drawn = nest_sheet(check_sizes(read_plan(text.encode(), "p.toml")), "over", "outside")
    laid = nest_sheet(check_sizes(read_plan((text + 'laid = "first end"\n').encode(), "p.toml")), "over", "outside")

    def first_marks(sheet: Sheet) -> list[Point]:
        layers = [item for item in sheet.drawing if isinstance(item, Group)]
        return [next((i.x, i.y) for i in flat(g.items) if isinstance(i, Circle) and i.role == "centre") for g in layers]

    def spread(points: list[Point]) -> float:
        return max(math.dist(a, b) for a, b in combinations(points, 2))

    assert spread(first_marks(laid)) < 1.0 < 20.0 < spread(first_marks(drawn))


@pytest.mark.parametrize(("name", "lap"), [("eight", "over"), ("eight", "under"), ("shared", "over")])
def test_outermost_edge_of_a_nest_is_found_among_few_of_its_sizes(
    name: str, lap: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every edge was looked for beside every place where words were tried: a quarter of the work on twenty sizes."""
    sizes, _ = nest_of(name)
    nest = _Nest(sizes, lap, "inside" if lap == "under" else "outside", "")

    def by_all(along_mm: float) -> Point | None:
        spot = nest.spot(along_mm)
        own = nest.line.point_at(min(max(along_mm - nest.before, 0.0), nest.line.length_mm))
        places = [one.view.point(*one.view.lap.edge.nearest_point(own)[1]) for one in nest.seen]
        out = [(x - spot.at[0], y - spot.at[1], (x, y)) for x, y in places]
        beside = [one for one in out if abs(one[0] * spot.along[0] + one[1] * spot.along[1]) <= _BESIDE_MM]
        # Beyond all of them, beside the names of the ends, there is none.
        return max(beside, key=lambda one: one[0] * spot.to_edge[0] + one[1] * spot.to_edge[1], default=(0, 0, None))[2]

    # There and back, and far from the place before: what was found before changes nothing.
    places = [nest.length * k / 97 for k in range(98)]
    places += [nest.length * (31 * k % 97) / 97 for k in range(98)]
    expected = [by_all(place) for place in places]
    asked = []
    look = Curve.nearest_point
    monkeypatch.setattr(Curve, "nearest_point", lambda edge, point: asked.append(point) or look(edge, point))
    assert [nest.outermost_edge_at(place) for place in places] == expected
    if name == "eight":
        assert len(places) <= len(asked) < len(places) * len(nest.seen) / 2
