"""Whose number it is: every number on pages, sheets and in nests belongs to one mark alone, by nearness or by a leader."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise, takewhile

import pytest
from paper_sets import (
    ODD,
    PLAN,
    STARTING,
    TEMPLATES,
    USUAL,
    answer_of,
    groups,
    ink_box,
    laid,
    leaves,
    words_on,
    words_on_lines,
)
from work import calls_of

from closures.app.job import Answer, load_plan, place_plan, result_files
from closures.app.options import lettered_as
from closures.app.sizing import pages_of_sizes, place_sizes
from closures.catalogue.loading import load_catalogue
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import FINE, HEAVY, Box, Circle, Item, Path, Point, Words
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.booklet import lay_templates
from closures.drawing.paper.column import key_blocks
from closures.drawing.paper.frame import COLUMN_MM
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.parts import Part
from closures.drawing.sheets import lanes, lap_words
from closures.drawing.sheets.drawing import long_pieces, subjects_of
from closures.drawing.sheets.labels import Label, Line, place_label, target_of
from closures.drawing.sheets.nest import nest_sheet
from closures.drawing.sheets.nest_strip import nest_piece
from closures.drawing.sheets.nest_words import NUMBER_MM
from closures.plan.reading import read_plan

BELT = """
title = "Belt"
[belt]
waist = "900 mm"
width = "{width} mm"
settings = {settings}
step = "{step} mm"
caps = ["20 mm"]
free = "30 mm"
ends = "{ends}"
allowance = "10 mm"
thickness = "3.2 mm"
lap = "left over right"
[closure]
kind = "prong snap"
size = "16 L"
"""
# Rows so close that their figures find no room side by side, on lines straight and bent, from one part to the next.
CROWDED = {
    "belt": BELT.format(width=38, settings=7, step=25, ends="pointed"),
    "narrow belt": BELT.format(width=25, settings=9, step=18, ends="rounded"),
    "hooks": PLAN.format(**(USUAL | {
        "edge": 'straight = "615 mm"', "kind": "hook and eye", "size": "2", "width": "25 mm", "count": 40,
        "first": "15 mm", "last": "15 mm",
    })),
    "buttonholes": PLAN.format(**(USUAL | {
        "edge": 'straight = "612 mm"', "kind": "sew-through button", "size": "14 L", "closure": 'hole = "across"',
        "width": "24 mm", "count": 40, "first": "14 mm", "last": "14 mm",
    })),
    "bent": PLAN.format(**(USUAL | {
        "edge": 'arc = { length = "630 mm", radius = "400 mm", bows = "out" }', "kind": "sew-on snap", "size": "4/0",
        "width": "20 mm", "count": 40, "first": "12 mm", "last": "30 mm",
    })),
}  # fmt: skip


@dataclass(frozen=True)
class Mark:
    """A mark as it is drawn: its centre and the box of its ink."""

    n: int
    at: Point
    ink: Box


def between(one: Box, other: Box) -> float:
    """How far two boxes lie apart."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    return math.hypot(across, max(one[1] - other[3], other[1] - one[3], 0.0))


def box_at(*points: Point) -> Box:
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def marks_on(items: tuple[Item, ...], lap: str) -> list[Mark]:
    found = []
    for group in groups(items):
        name, _, number = group.id.rpartition("-")
        if name == lap and number.isdigit():
            (dot,) = [one for one in leaves(group.items) if isinstance(one, Circle) and one.role == "centre"]
            found.append(Mark(int(number), (dot.x, dot.y), box_of(group)))
    return found


def ends_of(path: Path) -> tuple[Point, Point] | None:
    """Both ends of a single straight stroke."""
    if [command[0] for command in path.commands] != ["M", "L"]:
        return None
    (_, ax, ay), (_, bx, by) = path.commands
    return (float(ax), float(ay)), (float(bx), float(by))


def walk(items: tuple[Item, ...], lap: str, number_mm: float, where: str) -> int:
    """Hold the numbers of a drawing against its marks; tell how many there are."""
    marks = marks_on(items, lap)
    # Of marks at one place the numbers are drawn after the marks.
    drawn = [one for group in groups(items) if group.id in ("words", "words-over-marks") for one in group.items]
    labels = [
        k for k, one in enumerate(drawn)
        if isinstance(one, Words) and one.text.isdigit() and one.weight == "bold" and one.size_mm == number_mm
    ]  # fmt: skip
    assert sorted(int(drawn[k].text) for k in labels) == sorted(mark.n for mark in marks), where  # type: ignore[union-attr]
    for k in labels:
        head = drawn[k]
        assert isinstance(head, Words)
        (own,) = [mark for mark in marks if str(mark.n) == head.text]
        # Marks of two columns may fall on one place: what is nearest to one is so to both.
        others = [mark for mark in marks if math.dist(mark.at, own.at) > 0.05]
        number = box_of(head)
        following = takewhile(lambda one: isinstance(one, Words) and not one.text.isdigit(), drawn[k + 1 : k + 9])
        lines = [one for one in following if isinstance(one, Words)]
        block = union([number, *(box_of(one) for one in lines if one.x == lines[0].x)])
        holds_to_one_mark(own, others, block, number, drawn[k - 1] if k else None, f"{where}, number {own.n}")
        stays_on_what_is_kept(items, block, f"{where}, number {own.n}")
    told = [(drawn[k].text, ends_of(before)) for k in labels if k and isinstance(before := drawn[k - 1], Path)]  # type: ignore[union-attr]
    for i, (number_of, leader) in enumerate(told):
        for other_of, other in told[i + 1 :]:
            # Two that meet in a point beside two numbers leave it open which is whose.
            assert leader and other and math.dist(leader[1], other[1]) > 2.5, f"{where}: {number_of} and {other_of}"
    return len(labels)


def holds_to_one_mark(own: Mark, others: list[Mark], block: Box, number: Box, before: Item | None, where: str) -> None:
    middle = ((number[0] + number[2]) / 2, (number[1] + number[3]) / 2)
    leader = ends_of(before) if isinstance(before, Path) else None
    if leader is None:
        assert between(block, own.ink) <= 4.0, f"{where} stands away from its mark, and no line leads to it"
        for other in others:
            assert between(block, own.ink) < between(block, other.ink), f"{where} lies nearer to {other.n}"
            assert math.dist(middle, own.at) < math.dist(middle, other.at), f"{where} lies nearer to {other.n}"
        return
    start, end = leader
    assert between(box_at(start), own.ink) <= 0.7, f"{where}: its leader ends in empty cloth"
    assert between(box_at(end), block) <= 2.2, f"{where}: its leader comes from other words"
    for other in others:
        assert math.dist(start, own.at) < math.dist(start, other.at), f"{where}: its leader ends at {other.n}"
        steps = [
            (start[0] + (end[0] - start[0]) * i / 200, start[1] + (end[1] - start[1]) * i / 200) for i in range(201)
        ]
        assert all(between(box_at(step), other.ink) > 0 for step in steps), f"{where}: its leader crosses {other.n}"


def stays_on_what_is_kept(items: tuple[Item, ...], block: Box, where: str) -> None:
    """Hold that words lie on the side of a join's line on which the letters of its rings stand."""
    for group in groups(items):
        if not group.id.startswith("join-"):
            continue
        (ax, ay), (bx, by) = [(r.x, r.y) for r in leaves(group.items) if isinstance(r, Circle) and r.role == "ring"]
        letters = [one for one in leaves(group.items) if isinstance(one, Words) and one.text == group.id[5:]]
        long = math.dist((ax, ay), (bx, by))

        def off(x: float, y: float, ax=ax, ay=ay, bx=bx, by=by, long=long) -> float:  # type: ignore[no-untyped-def]
            return ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long

        kept = math.copysign(1.0, off(letters[0].x, letters[0].y))
        for x, y in ((block[0], block[1]), (block[2], block[1]), (block[2], block[3]), (block[0], block[3])):
            # A part that bends far round may come behind a join's line again, far from it.
            assert not -50.0 < kept * off(x, y) < 0.0, f"{where} lies beyond join {group.id[5:]}"


def walk_pages(answer: Answer, large: bool, where: str) -> int:
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    paper, scale = load_catalogue().paper("a3" if large else "a4"), type_scale(large)
    lettered = [replace(subject, type=scale) for subject in subjects]
    words = PageWords("Page", paper.name)
    count = 0
    for one in lay_templates(long_pieces(lettered, False), (), paper, words, scale).laying.pieces:
        count += walk(one.piece.items, one.piece.lap, scale.number, f"{where}, {one.piece.name}")
    return count


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "large"), [(name, large) for name in [*STARTING, *ODD] for large in (False, True)])
def test_every_number_on_a_page_belongs_to_its_own_mark(name: str, large: bool) -> None:
    answer = answer_of(name)
    shown = sum(len(answer.placement.on(lap)) for lap in ("over", "under"))  # type: ignore[arg-type]
    assert walk_pages(answer, large, name) >= shown


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "large"), [(name, large) for name in CROWDED for large in (False, True)])
def test_every_number_of_a_crowded_row_belongs_to_its_own_mark(name: str, large: bool) -> None:
    answer = place_plan(read_plan(CROWDED[name].encode(), "plan.toml"), None)
    assert walk_pages(answer, large, name) >= len(answer.placement.marks)


@pytest.mark.parametrize("large", [False, True])
def test_numbers_of_a_belt_stand_inside_the_edge_on_which_its_paper_is_cut(large: bool) -> None:
    answer = place_plan(read_plan(CROWDED["belt"].encode(), "plan.toml"), None)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    scale, paper = type_scale(large), load_catalogue().paper("a4")
    longs = long_pieces([replace(subject, type=scale) for subject in subjects], False)
    found = 0
    for one in lay_templates(longs, (), paper, PageWords("Page", paper.name), scale).laying.pieces:
        (strap,) = [group for group in groups(one.piece.items) if group.id == "strap"]
        x0, y0, x1, y1 = union(
            [box_of(path) for path in leaves(strap.items) if isinstance(path, Path) and path.pen == HEAVY]
        )
        for words in words_on(one.piece.items):
            if words.weight == "bold" and words.size_mm == scale.number and words.text.isdigit():
                a0, b0, a1, b1 = box_of(words)
                assert x0 < a0 and a1 < x1 and y0 < b0 and b1 < y1, (one.piece.name, words.text)
                found += 1
    assert found == len(answer.placement.on("over")) + len(answer.placement.on("under"))


def test_numbers_beside_a_join_stand_straight_out_of_their_marks() -> None:
    close = USUAL | {
        "edge": 'straight = "508 mm"', "kind": "hook and eye", "size": "0", "width": "30 mm", "count": 40,
    }  # fmt: skip
    answer = place_plan(read_plan(PLAN.format(**close).encode(), "plan.toml"), None)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    paper, scale, count = load_catalogue().paper("a4"), type_scale(False), 0
    words = PageWords("Page", paper.name)
    for one in lay_templates(long_pieces(subjects, False), (), paper, words, scale).laying.pieces:
        at = {mark.n: mark.at for mark in marks_on(one.piece.items, one.piece.lap)}
        for head in words_on(one.piece.items):
            if head.text.isdigit() and head.weight == "bold" and head.size_mm == scale.number:
                x0, y0, x1, y1 = box_of(head)
                x, y = at[int(head.text)]
                # Pushed along by a ring that kept more room than it takes, it stood above its neighbour's number.
                assert min(abs((x0 + x1) / 2 - x), abs((y0 + y1) / 2 - y)) <= 4.5, (one.piece.name, head.text)
                count += 1
    assert count >= 80


@pytest.mark.parametrize("along", [15, 19, 20, 22])
def test_number_of_a_wide_button_is_its_own_beside_a_hook_under_its_rim(along: int) -> None:
    """The reader of the finished pages refuses a number whose leader begins nearer to another mark."""
    near = f'[[single]]\nkind = "hook and eye"\nsize = "2"\nalong = "{along} mm"\n'
    told = {"kind": "sew-through button", "size": "24 L", "edge": 'straight = "300 mm"', "width": "30 mm"}
    text = PLAN.format(**(USUAL | told | {"count": 5, "first": "25 mm", "last": "40 mm"}))
    text = text.replace("[closure]", '[closure]\ncap = "15 mm"\nthickness = "3 mm"\nhole = "across"', 1) + near
    assert "marking.pdf" in result_files(place_plan(read_plan(text.encode(), "plan.toml"), None), "a4")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", [*STARTING, *ODD, *CROWDED])
def test_every_number_on_a_whole_sheet_belongs_to_its_own_mark(name: str) -> None:
    answer = place_plan(read_plan(CROWDED[name].encode(), "plan.toml"), None) if name in CROWDED else answer_of(name)
    for sheet in answer.sheets:
        walk(sheet.drawing, sheet.lap, type_scale(False).number, f"{name}, {sheet.lap}")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", [*(n for n in STARTING if answer_of(n).placement.strap is None), *ODD, "hooks 12"])
def test_second_figure_stands_by_every_mark_of_a_lap_or_by_none(name: str) -> None:
    answer = answer_of(name)
    strips: dict[str, list[str]] = {}
    for one in laid(name).laying.pieces:
        strips.setdefault(one.piece.lap, []).extend(words.text for words in words_on(one.piece.items))
    for sheet in answer.sheets:
        marks = answer.placement.on(sheet.lap)
        figures = [both_ways(mark.along_mm, answer.placement.plan.units) for mark in marks]
        for texts in (strips[sheet.lap], [words.text for words in words_on(sheet.drawing)]):
            assert all(first in texts for first, _ in figures)
            assert len({second in texts for _, second in figures}) == 1, (name, sheet.lap)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("large", [False, True])
def test_words_on_parts_of_a_nest_lie_on_no_line(large: bool) -> None:
    plan = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(lettered_as(load_plan(plan), large, None), plan)
    for paper in (load_catalogue().paper(key) for key in ("a4", "letter")):
        longs = [nest_piece(sizes, lap, "outside", "8X7-NQ2") for lap in ("over", "under")]
        laid = lay_templates(longs, (), paper, PageWords("Nest", paper.name), type_scale(large))
        for one in laid.laying.pieces:
            # A leader runs up to its number, and never on it: a frame stands round a size.
            assert not words_on_lines(one.piece.items), (paper.name, one.piece.name)


@pytest.mark.parametrize("large", [False, True])
def test_every_number_in_a_nest_belongs_to_its_own_mark(large: bool) -> None:
    """Every label of a nest has a leader, whose other end lies nearer to the dot of its size than to any other."""
    plan = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(lettered_as(load_plan(plan), large, None), plan)
    paper, scale = load_catalogue().paper("a4"), type_scale(large)
    for lap in ("over", "under"):
        longs = [nest_piece(sizes, lap, "outside")]  # type: ignore[arg-type]
        pieces = lay_templates(longs, (), paper, PageWords("Nest", paper.name), scale).laying.pieces
        drawings = [nest_sheet(sizes, lap, "outside").drawing, *(one.piece.items for one in pieces)]  # type: ignore[arg-type]
        assert len(drawings) > 2
        for items in drawings:
            layers = [group for group in groups(items) if group.id.startswith("size-")]
            dots = {
                (layer.layer, int(group.id.rpartition("-")[2])): (one.x, one.y)
                for layer in layers for group in groups(layer.items) for one in group.items
                if isinstance(one, Circle) and one.role == "centre"
            }  # fmt: skip
            numbers = 0
            for layer in layers:
                for before, one in pairwise(layer.items):
                    if not (isinstance(one, Words) and one.text.isdigit() and one.size_mm == NUMBER_MM * scale.grown):
                        continue
                    numbers += 1
                    own = dots[layer.layer, int(one.text)]
                    assert isinstance(before, Path)
                    start = tuple(float(v) for v in before.commands[0][1:])
                    assert all(
                        math.dist(start, own) < math.dist(start, dot) or dot == pytest.approx(own, abs=1e-6)
                        for dot in dots.values()
                    ), (layer.layer, one.text)
                    stays_on_what_is_kept(items, box_of(one), f"{lap}, size {layer.layer}, number {one.text}")
            assert numbers == len(dots)


@pytest.mark.parametrize("name", ["bib", "belt", "far apart"])
def test_no_words_of_a_strip_run_into_its_zigzag(name: str) -> None:
    answer = place_plan(read_plan(CROWDED[name].encode(), "plan.toml"), None) if name in CROWDED else answer_of(name)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    paper = load_catalogue().paper("a4")
    pieces = lay_templates(
        long_pieces(subjects, False), (), paper, PageWords("Page", paper.name), type_scale(False)
    ).laying.pieces
    found = 0
    for one in pieces:
        for group in groups(one.piece.items):
            if not group.id.startswith("break-"):
                continue
            found += 1
            zigzag = [leaf for leaf in leaves(group.items) if isinstance(leaf, Path)]
            corners = [tuple(float(v) for v in command[1:]) for path in zigzag for command in path.commands[2:5]]
            for leaf in leaves(one.piece.items):
                if isinstance(leaf, Words):
                    assert all(between(box_at(corner), box_of(leaf)) > 1.0 for corner in corners), leaf.text
    assert found


ANCHORED = [
    name
    for name in (*STARTING, "names")
    if answer_of(name).placement.anchors and answer_of(name).placement.strap is None
]


@pytest.mark.parametrize("name", ANCHORED)
def test_every_anchor_has_a_tick_on_the_edge_of_both_laps_and_its_name_beside_it(name: str) -> None:
    answer = answer_of(name)
    for sheet in answer.sheets:
        drawn = leaves(sheet.drawing)
        strokes = [
            (tuple(map(float, item.commands[0][1:])), tuple(map(float, item.commands[1][1:])), k)
            for k, item in enumerate(drawn)
            if isinstance(item, Path) and [command[0] for command in item.commands] == ["M", "L"]
        ]
        lap = answer.placement.laps[sheet.lap]
        for anchor in answer.placement.anchors:
            at = lap.line.point_at(min(lap.along(anchor.along_mm), lap.line.length_mm))
            x, y = lap.edge.nearest(at).point if lap.as_strip is lap else at
            place = ((-x if sheet.flipped else x) + sheet.origin_mm[0], y + sheet.origin_mm[1])
            ticks = [
                k
                for (ax, ay), (bx, by), k in strokes
                if math.dist(((ax + bx) / 2, (ay + by) / 2), place) < 0.01 and 5.0 < math.dist((ax, ay), (bx, by)) < 5.5
            ]
            assert len(ticks) == 1, (name, sheet.lap, anchor.name)
            named = next(item for item in drawn[ticks[0] :] if isinstance(item, Words))
            # Whatever else stood there would be taken for the place: only a leader from the tick to the name may.
            before = drawn[ticks[0] + 1 : drawn.index(named)]
            leaders = [ends_of(item) for item in before if isinstance(item, Path)]
            assert len(leaders) == len(before) < 2
            assert all(leader and math.dist(leader[0], place) < 4.0 for leader in leaders), (name, anchor.name)
            assert anchor.name.startswith(named.text) and between(box_of(named), box_at(place)) < 40.0


def test_words_of_a_zone_stand_on_it_or_by_its_bracket() -> None:
    found = 0
    for one in laid("zones").laying.pieces:
        zones = {
            group.title: union(map(box_of, leaves(group.items)))
            for group in groups(one.piece.items)
            if group.id.startswith("clear-")
        }
        for words in words_on(one.piece.items):
            if words.text in zones:
                assert between(box_of(words), zones[words.text]) < 5.5, (one.piece.name, words.text)
                found += 1
    assert found >= 4


def test_form_of_labels_is_found_once_for_a_lap_and_not_for_every_strip(monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[str] = []
    takes_mm = lap_words._takes_mm
    answer = answer_of("long arc")

    def counted(subject, view, form):
        looked.append(subject.name)
        return takes_mm(subject, view, form)

    monkeypatch.setattr(lap_words, "_takes_mm", counted)
    pieces = long_pieces(subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap))
    for piece in pieces:
        for low in range(0, 1600, 80):
            piece.draw(Part(low, low + 60, "join", "join", letter_before="A", letter_after="B"))
    assert len(looked) <= len(pieces) * len(lap_words.FORMS)


ALONG = ["shirt-front", "back-dress", "cardigan-band", "closed-outline", "holes along"]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "large"), [(name, large) for name in ALONG for large in (False, True)])
def test_figures_of_a_slit_along_the_line_are_tied_to_its_dot_not_to_its_far_end(name: str, large: bool) -> None:
    answer = answer_of(name)
    assert answer.placement.plan.closure.hole == "along"
    scale, paper = type_scale(large), load_catalogue().paper("a4")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    rim = subjects[0].look.rim_mm
    longs = long_pieces([replace(subject, type=scale) for subject in subjects], False)
    found = 0
    for one in lay_templates(longs, (), paper, PageWords("Page", paper.name), scale).laying.pieces:
        (words,) = [group for group in groups(one.piece.items) if group.id == "words"]
        dots = {str(mark.n): mark for mark in marks_on(one.piece.items, "over")}
        for before, head in pairwise((None, *words.items)):
            if not (isinstance(head, Words) and head.text in dots and head.size_mm == scale.number):
                continue
            own, leader = dots[head.text], ends_of(before) if isinstance(before, Path) else None
            ends = [
                (float(command[1]), float(command[2])) for group in groups(one.piece.items)
                if group.id == f"over-{own.n}" for path in group.items
                if isinstance(path, Path) and path.pen.width_mm == 0.5 for command in path.commands
            ]  # fmt: skip
            far = max(ends, key=lambda end: math.dist(end, own.at))
            near = box_of(head) if leader is None else box_at(leader[0])
            assert between(near, box_at(own.at)) < between(near, box_at(far)), (one.piece.name, own.n)
            assert leader is None or math.dist(leader[0], own.at) < rim + 1.0, (one.piece.name, own.n)
            found += 1
    assert found >= len(answer.placement.on("over"))


def test_words_of_a_zone_follow_each_other_as_they_are_read_on_the_page() -> None:
    found = 0
    for one in laid("curved-front").laying.pieces:
        words = words_on(one.items())
        for k, first in enumerate(words):
            if not first.text.startswith("keep"):
                continue
            down = math.radians(first.angle_deg + 90.0)
            depths = [row.x * math.cos(down) + row.y * math.sin(down) for row in words[k : k + 2]]
            assert depths == sorted(depths), (one.piece.name, words[k + 1].text)
            found += 1
    assert found >= 2


@pytest.mark.parametrize("name", ["shirt-front", "narrow"])
def test_words_at_a_join_say_which_part_lies_on_top_in_the_shortest_wording_too(name: str) -> None:
    answer = answer_of(name, large=True)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    scale, paper = type_scale(True), load_catalogue().paper("a4")
    longs = long_pieces([replace(subject, type=scale) for subject in subjects], False)
    told = []
    for one in lay_templates(longs, (), paper, PageWords("Page", paper.name), scale).laying.pieces:
        for group in groups(one.piece.items):
            if group.id.startswith("join-"):
                told.append(group.title.split(": ")[1])
                # "cut, lay on 1" told nobody on which lap's. Between rings that stand nearest large letters have room
                # for no more than that: that the dashed line is cut on, the cover tells as well.
                says = re.fullmatch(r"(cut(( on this line)?, lay)?,? )?on (over|under) \d+(: .*)?", told[-1])
                assert says or " on top" in told[-1], (one.piece.name, told[-1])
    assert any(re.fullmatch(r"(cut, )?on (over|under) \d+", words) for words in told) and any(
        " on top" in words for words in told
    )


BESIDE_A_ZONE = USUAL | {  # In large letters the name of the anchor stood in the only way out of the zone beside it.
    "edge": 'arc = { length = "227.4 mm", radius = "540.9 mm", bows = "out" }', "kind": "plastic snap", "size": "20",
    "units": "in", "width": "27.5 mm", "count": 5, "first": "15 mm", "last": "91 mm",
    "more": '''[[anchor]]
name = "the fullest part of the bust, measured standing over all that is worn beneath"
along = "103.6 mm"
within = "200 mm"
[[clear]]
name = "belt"
along = ["87.7 mm", "100.3 mm"]
''',
}  # fmt: skip


def test_leader_of_a_zone_runs_through_no_name_of_an_anchor() -> None:
    plan = lettered_as(read_plan(PLAN.format(**BESIDE_A_ZONE).encode(), "plan.toml"), True, None)
    answer = place_plan(plan, None)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    longs, paper = long_pieces(subjects, False), load_catalogue().paper("a4")
    for one in lay_templates(longs, (), paper, PageWords("Page", paper.name), type_scale(True)).laying.pieces:
        told = [words for words in words_on(one.piece.items) if words.text.startswith(("keep clear", "4 1/16 in"))]
        assert len(told) == 2 and not words_on_lines(one.piece.items)


@pytest.mark.parametrize("large", [False, True])
def test_name_of_an_end_stands_beyond_a_slit_that_runs_past_it(large: bool) -> None:
    """Such a plan fails, and its sheets show why: the name of the end lay on the slit."""
    told = {"edge": 'straight = "300 mm"', "kind": "sew-through button", "size": "36 L", "closure": 'hole = "along"'}
    text = PLAN.format(**(USUAL | told | {"width": "30.4 mm", "count": 3, "first": "40 mm", "last": "15 mm"}))
    answer = place_plan(lettered_as(read_plan(text.encode(), "plan.toml"), large, None), None)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    longs, paper = long_pieces(subjects, True), load_catalogue().paper("a3")
    laid_pieces = lay_templates(longs, (), paper, PageWords("Page", paper.name), type_scale(large)).laying.pieces
    assert len(laid_pieces) == 2
    for one in laid_pieces:
        assert not words_on_lines(one.piece.items), one.piece.name


def test_leaders_of_two_marks_on_one_place_end_at_the_rims_of_their_own() -> None:
    """A button for show, 36 L, is sewn on over a hidden one, 24 L: both leaders ended at the rim of the smaller."""
    rims = {"5": 36 * 0.635 / 2, "9": 24 * 0.635 / 2}  # A ligne is 0.635 mm: common practice.
    seen = set()
    for one in laid("double-breasted").laying.pieces:
        for mark in groups(one.piece.items):
            if mark.id != "over-5":
                continue
            at = next((c.x, c.y) for c in leaves(mark.items) if isinstance(c, Circle) and c.role == "centre")
            heads = [w for w in words_on(one.piece.items) if w.text in rims and w.size_mm > 6.0]
            fine = [path for path in leaves(one.piece.items) if isinstance(path, Path) and path.pen == FINE]
            for path in fine:
                points = [tuple(map(float, rest)) for _, *rest in path.commands]
                if len(points) == 2 and 1.0 < math.dist(points[0], at) < 16.0:
                    number = min(heads, key=lambda w: math.dist((w.x, w.y), points[1])).text
                    assert rims[number] <= math.dist(points[0], at) <= rims[number] + 1.0, number
                    seen.add(number)
    assert "9" in seen


# Zones that overlap and that end beside joins: their brackets stand beside each other, and by the rings.
OVER_EACH_OTHER = PLAN.format(**(USUAL | {
    "edge": 'straight = "620 mm"', "kind": "prong snap", "size": "16 L", "width": "30 mm", "closure": "",
    "count": 8, "first": "15 mm", "last": "45 mm",
    "more": "\n".join(
        f'[[clear]]\nname = "{name}"\nalong = ["{low} mm", "{high} mm"]'
        for name, low, high in (
            ("pocket", 300, 306), ("belt loop", 303, 309), ("waist seam", 306, 312), ("drawstring", 309, 315)
        )
    ),
}))  # fmt: skip


def strokes_of(path: Path) -> list[tuple[Point, Point]]:
    """The straight strokes of a line that is drawn at one go."""
    places = [(float(command[1]), float(command[2])) for command in path.commands]
    return list(pairwise(places))


def off_stroke(at: Point, stroke: tuple[Point, Point]) -> float:
    """How far a place lies from a stroke."""
    (ax, ay), (bx, by) = stroke
    long = math.dist((ax, ay), (bx, by))
    share = min(1.0, max(0.0, ((at[0] - ax) * (bx - ax) + (at[1] - ay) * (by - ay)) / max(1e-12, long * long)))
    return math.dist(at, (ax + share * (bx - ax), ay + share * (by - ay)))


def along(stroke: tuple[Point, Point]) -> list[Point]:
    (ax, ay), (bx, by) = stroke
    return [(ax + (bx - ax) * k / 40, ay + (by - ay) * k / 40) for k in range(41)]


def test_words_of_zones_that_overlap_are_led_to_their_own_brackets_which_keep_off_the_rings() -> None:
    plan = read_plan(OVER_EACH_OTHER.encode(), "over-each-other.toml")
    answer = place_plan(plan, None)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    a4 = load_catalogue().paper("a4")
    pieces = lay_templates(list(long_pieces(subjects)), [], a4, PageWords(plan.title, a4.name), type_scale(False))
    led = 0
    for one in pieces.laying.pieces:
        drawn = groups(one.piece.items)
        # The bracket is drawn last of a zone, after its hatching and its borders.
        brackets = {
            group.title: strokes_of(group.items[-1])
            for group in drawn
            if group.id.startswith("clear-") and isinstance(group.items[-1], Path)
        }
        rings = [item for group in drawn if group.id.startswith("join-") for item in leaves(group.items)]
        rings = [
            item for item in rings if isinstance(item, Circle) or (isinstance(item, Words) and len(item.text) == 1)
        ]
        for title, strokes in brackets.items():
            for ring in rings:
                assert all(between(box_of(ring), box_at(place)) > 0.3 for stroke in strokes for place in along(stroke)), (
                    one.piece.name, title)  # fmt: skip
        all_words = [words for words in words_on(one.piece.items) if words.text]
        laid_out = leaves(one.piece.items)
        for title, own in brackets.items():
            words = next((words for words in all_words if words.text == title), None)
            before = laid_out[laid_out.index(words) - 1] if words is not None else None
            if words is None or not isinstance(before, Path):
                continue
            leader = ends_of(before)
            others = [stroke for name, strokes in brackets.items() if name != title for stroke in strokes]
            if leader is None:
                # Words on the zone itself stand on white paper.
                continue
            led += 1
            assert min(off_stroke(leader[0], stroke) for stroke in own) < 0.01, (one.piece.name, title)
            assert between(box_of(words), box_at(leader[1])) < 4.0
            for place in along(leader):
                assert all(off_stroke(place, stroke) > 0.5 for stroke in others), (one.piece.name, title)
                assert all(between(box_of(w), box_at(place)) > 0.2 for w in all_words), (one.piece.name, title)
    assert led >= 4


@pytest.fixture
def arrows_tried(monkeypatch: pytest.MonkeyPatch) -> Callable[[], int]:
    """How many places of words with an arrow to the edge were looked at so far."""
    tried = 0
    arrows = lanes._arrows_to_edge

    def counted(*given: object) -> object:
        nonlocal tried
        tried += 1
        return arrows(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(lanes, "_arrows_to_edge", counted)
    return lambda: tried


def test_words_that_name_the_edge_are_not_tried_where_no_short_arrow_reaches_it(
    arrows_tried: Callable[[], int],
) -> None:
    """On a crowded tape 850,000 arrows were tried, most from lanes that lie too far off: six seconds for one set."""
    plan = TEMPLATES / "hook-tape" / "plan.toml"
    place_plan(load_plan(plan), plan)
    assert 0 < arrows_tried() < 40_000


def test_words_that_name_the_edge_of_a_nest_are_not_tried_far_from_the_outermost_edge(
    arrows_tried: Callable[[], int],
) -> None:
    """Half of the work on twenty sizes was looking for room in lanes from which no short arrow reaches an edge."""
    plan = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(load_plan(plan), plan)
    before = arrows_tried()
    pages_of_sizes(sizes, "a4")
    assert 0 < arrows_tried() - before < 300


def test_setting_a_number_in_a_crowded_row_grows_little_with_the_length_of_the_row() -> None:
    """Each of hundreds of places was held against every mark of the row."""

    def work_in(row: int) -> int:
        room = Room()
        for k in range(row):
            y = 0.7 * k
            room.take_target(target_of((0.0, y), (1.0, 0.0), 0.6, 0.7, (-0.7, y - 0.7, 0.7, y + 0.7)))
        line = Line("50", 2.4, "semibold")
        label = Label("", 0.0, (line,), (0.0, 0.7 * (row // 2)), (1.0, 0.0), 0.7, kind="mark")
        return calls_of(lambda: place_label(label, room))

    work_in(10)
    assert work_in(400) < 1.5 * work_in(100)


def test_leader_leaves_a_gap_to_the_bar_at_a_buttonholes_end() -> None:
    """Begun at the bar itself, it was read as a longer slit."""
    room, pen_mm = Room(), 0.5
    for y in (0.0, 24.0, -24.0):
        room.take_target(target_of((0.0, y), (1.0, 0.0), 0.0, 10.0, (-5.0, y - 1.6, 10.0, y + 1.6)))
    # Nothing but a leader finds room right beside it.
    for top in (1.5, -21.5):
        room.take((-20.0, top, 22.0, top + 20.0))
    label = Label("2", 5.0, (Line("50", 2.4, "semibold"),), (0.0, 0.0), (1.0, 0.0), 10.0, kind="mark")
    leaders = [ends_of(item) for item in place_label(label, room) if isinstance(item, Path)]
    assert len(leaders) == 1 and leaders[0] is not None
    assert leaders[0][0][0] - 10.0 - pen_mm / 2 == pytest.approx(0.4, abs=0.05)


@pytest.mark.parametrize("name", STARTING)
def test_words_of_the_key_stay_in_their_column(name: str) -> None:
    """One line of 60 mm ran through the template beside it, over the figures of a mark."""
    for sheet in answer_of(name).sheets:
        for block in key_blocks(sheet.text.signs, math.inf, sheet.text.sign_words):
            boxes = [box_of(words) for words in block.items if isinstance(words, Words)]
            assert boxes and max(box[2] for box in boxes) <= COLUMN_MM
            assert max(box[3] for box in boxes) <= block.height_mm + 1.5


def test_names_of_zones_that_lie_on_each_other_cover_none_of_each_other() -> None:
    text = PLAN.format(
        **(USUAL | {"edge": 'straight = "500 mm"', "width": "30 mm", "count": 7, "first": "20 mm", "last": "40 mm"})
    ) + "".join(
        f'[[clear]]\nname = "{name}"\nalong = ["{low} mm", "{high} mm"]\n'
        for name, low, high in (("belt", 264, 295), ("dart", 275, 303), ("pocket flap", 285, 300))
    )
    for sheet in place_plan(read_plan(text.encode(), "zones.toml")).sheets:
        lines = [
            words for words in words_on(sheet.drawing) if re.match("keep clear|dart|belt|flap|2[679]|285", words.text)
        ]
        assert {"belt", "dart", "flap"} <= set(re.findall("belt|dart|flap", " ".join(one.text for one in lines)))
        boxes = [ink_box(one) for one in lines]
        assert not any(one.intersects(other) for k, one in enumerate(boxes) for other in boxes[k + 1 :])
