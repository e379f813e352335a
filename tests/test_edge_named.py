"""What names the finished edge: cloth is cut by that line, so an arrow goes from the words to the edge and ends on it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path as FilePath

import pytest
from paper_sets import TEMPLATES, groups, laid, leaves

from closures.app.job import check_plan, load_plan
from closures.app.sizing import place_sizes
from closures.catalogue.loading import load_catalogue
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.room import points_on
from closures.drawing.ink.shapes import CUT, HEAVY, INK, Item, Path, Words
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.booklet import lay_templates
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.parts import Part
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.lap_words import _edge_words
from closures.drawing.sheets.nest_strip import nest_piece
from closures.plan.reading import read_plan

NAMED = ("finished edge", "border; the finished edge")


def off_edge_mm(drawn: list[Item], edges: list[Path]) -> list[float]:
    """How far from the nearest edge the arrows of the words that name it end."""
    places = [place for edge in edges for place in points_on(edge.commands, 0.1)]
    found = []
    for k, words in enumerate(drawn):
        if isinstance(words, Words) and words.text.startswith(NAMED):
            head = drawn[k - 1]
            assert isinstance(head, Path) and head.pen == INK, words.text
            x, y = map(float, head.commands[0][1:])
            x0, y0, x1, y1 = box_of(words)
            assert math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) > 0.0
            found.append(min(math.dist((x, y), place) for place in places))
    return found


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize(
    "name",
    ["hook-tape", "cardigan-band", "hook-back", "hidden-button", "loop-back", "crossed-wrap", "knit-jacket", "sixty"],
)
def test_the_arrow_of_the_words_finished_edge_ends_on_that_edge(name: str, large: bool) -> None:
    pieces = [one.piece for one in laid(name, large=large).laying.pieces]
    for piece in pieces:
        bands = [group for group in groups(piece.items) if group.id == "band"]
        edges = [item for band in bands for item in leaves(band.items) if isinstance(item, Path)]
        edges = [item for item in edges if item.pen in (HEAVY, CUT)]
        off = off_edge_mm(leaves(piece.items), edges)
        assert off, piece.name
        # Bold lines are 0.7 mm wide.
        assert max(off) < 0.35, (piece.name, off)


@pytest.mark.parametrize("lap", ["over", "under"])
def test_in_a_nest_the_arrow_ends_on_the_finished_edge_of_a_size(lap: str) -> None:
    path = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(load_plan(path), path)
    whole = nest_piece(sizes, lap, "outside")  # type: ignore[arg-type]
    strip = whole.strip_for(lambda size: True, 0.0)
    piece = whole.draw(Part(0.0, strip.length_mm, "end", "end"))
    lines = [item for item in leaves(piece.items) if isinstance(item, Path) and item.pen != INK]
    # The heads and shafts of arrows are lines as well: an edge is far longer than either.
    edges = [
        item for item in lines if max(box_of(item)[2] - box_of(item)[0], box_of(item)[3] - box_of(item)[1]) > 200.0
    ]
    off = off_edge_mm(leaves(piece.items), edges)
    assert off and max(off) < 0.35


MANY = """
title = "Seven sizes"
[edge]
points = [["0 mm", "0 mm"], ["12 mm", "80 mm"], ["30 mm", "180 mm"], ["34 mm", "300 mm"], ["20 mm", "420 mm"],
    ["0 mm", "540 mm"]]
[garment]
opens = "front"
pieces = "pair"
[band]
width = "34 mm"
lap = "right over left"
cut = "shaped"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "14 mm"
last = { from = "20 mm", to = "70 mm" }
pitch = "75 mm"
[[anchor]]
name = "bust point"
level = "205 mm"
[sizes]
names = ["6", "8", "10", "12", "14", "16", "18"]
base = "12"
grade = [["0 mm", "0 mm"], ["3 mm", "6 mm"]]
hold = "count"
level = { "bust point" = { step = "4 mm" } }
[sheets]
large = true
"""


def lies_within(place: tuple[float, float], around: tuple[tuple[float, float], ...]) -> bool:
    """Whether a place lies within a ring of places."""
    x, y = place
    is_within = False
    for (x0, y0), (x1, y1) in pairwise((*around, around[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            is_within = not is_within
    return is_within


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_in_large_letters_the_arrow_on_a_piece_of_a_nest_ends_on_an_edge_drawn_on_that_piece(paper: str) -> None:
    """Beside the names of the ends no edge is drawn: arrows ended in empty paper and on closing lines there."""
    sizes = place_sizes(read_plan(MANY.encode(), "plan.toml"), FilePath("plan.toml"))
    longs = tuple(nest_piece(sizes, lap, "outside") for lap in ("over", "under"))
    on = sizes.catalogue.paper(paper)
    words, scale = PageWords(sizes.plan.title, on.name, "", ""), type_scale(True)
    pieces = [one.piece for one in lay_templates(longs, (), on, words, scale).laying.pieces]
    assert len(pieces) > 6
    for piece in pieces:
        # Of a size's lines the edge is the first.
        lines = [group for group in groups(piece.items) if str(group.id).startswith("lines-")]
        drawn = [
            place
            for group in lines
            for place in points_on(next(leaf for leaf in leaves(group.items) if isinstance(leaf, Path)).commands, 0.1)
            if not group.clip or lies_within(place, group.clip)
        ]
        items = leaves(piece.items)
        named = [k for k, item in enumerate(items) if isinstance(item, Words) and item.text.startswith("finished")]
        assert named, piece.name
        for k in named:
            head = items[k - 1]
            assert isinstance(head, Path) and head.pen == INK
            tip = tuple(map(float, head.commands[0][1:]))
            assert min(math.dist(tip, place) for place in drawn) < 0.35, piece.name


@pytest.mark.parametrize(("first", "words"), [("13 mm", "from within it to"), ("none", "up to")])
def test_border_of_a_wraps_strip_says_where_the_edge_runs_through_it(first: str, words: str) -> None:
    """At the crossing the left front's edge lies 7.5 mm from the closing line, and the strip ends 15 mm from it."""
    path = TEMPLATES / "crossed-wrap" / "plan.toml"
    placement = check_plan(load_plan(path), path).placement
    under = placement.laps.under
    if first == "none":
        # The same with the strip's border within the nearest place of the edge.
        under = replace(under, inset_mm=6.0, width_mm=20.0)
        placement = replace(placement, laps=replace(placement.laps, under=under))
    assert (under.edge_lies_mm[0] < under.inset_mm) == (first != "none")
    _, subject = subjects_of(placement, (), load_catalogue())
    assert f"border; the finished edge lies {words} " in _edge_words(replace(subject, is_strip=True))
