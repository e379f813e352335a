"""The section of a plan that tells the edge, and the tables within it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from closures.plan.edge_kinds import (
    joins,
    layer_names,
    name_or_names,
    number,
    pixels,
    place_on_line,
    points_or_file,
    three_points,
)
from closures.plan.edge_values import KnownWish, TilesWish, TraceWish
from closures.plan.kinds import choice, id_or_level, length, text, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.size_kinds import cuts, moves
from closures.plan.values import ArcWish, EdgeWish

MOST_TILES = 40
"""Pages across or down: a pattern of eight metres."""

MOST_PAGE = 10_000

_MORE_THAN_NOTHING = length(zero=False)


def _arc(length: float, radius: float, bows: Any) -> ArcWish:
    return ArcWish(length_mm=length, radius_mm=radius, bows=bows)


def _edge(
    straight: float | None = None,
    points: Any = None,
    path: Any = None,
    scale: float | None = None,
    to: Any = None,
    **given: Any,
) -> EdgeWish:
    return EdgeWish(
        straight_mm=straight,
        path=path if isinstance(path, str | None) else None,
        pieces=path if isinstance(path, tuple) else (),
        points=None if isinstance(points, str) else points,
        points_file=points if isinstance(points, str) else None,
        unit_mm=scale,
        begins=given.pop("from", None),
        ends=to,
        **given,
    )


def _known(path: str, length: float) -> KnownWish:
    return KnownWish(path, length)


def _tiles(columns: int, rows: int, overlap: float = 0.0, margin: float = 0.0, first: int = 1) -> TilesWish:
    return TilesWish(columns, rows, overlap, margin, first)


def _arc_complaints(fields: Fields) -> Iterator[Complaint]:
    if "length" in fields and "radius" in fields and fields["length"] >= 2 * math.pi * fields["radius"]:
        yield "length", "the arc is longer than its circle", "Write a shorter length or a larger radius."


def _edge_complaints(fields: Fields) -> Iterator[Complaint]:
    if "from" in fields and "reverse" in fields:
        yield "reverse", "from and to tell already which end is first", "Leave reverse out."
    if "tiles" in fields and "joins" in fields:
        yield "joins", "the pages are laid by tiles already", "Keep tiles or joins, not both."


ARC = Section(
    name="arc",
    field="arc",
    keys=(
        Key("length", _MORE_THAN_NOTHING, '"600 mm"', needed=True),
        Key("radius", _MORE_THAN_NOTHING, '"420 mm"', needed=True),
        Key(
            "bows",
            choice("out", "in"),
            '"out"',
            needed=True,
            note='"out": away from the cloth, "in": into it.',
        ),
    ),
    make=_arc,
    complaints=_arc_complaints,
)

KNOWN = Section(
    name="known",
    field="known",
    keys=(
        Key("path", text, '"ruler"', needed=True),
        Key("length", _MORE_THAN_NOTHING, '"2 in"', needed=True),
    ),
    make=_known,
)

TILES = Section(
    name="tiles",
    field="tiles",
    keys=(
        Key("columns", whole(1, MOST_TILES), "3", needed=True),
        Key("rows", whole(1, MOST_TILES), "2", needed=True),
        Key("overlap", length(), '"10 mm"'),
        Key("margin", length(), '"10 mm"'),
        Key("first", whole(1, MOST_PAGE), "2"),
    ),
    make=_tiles,
)

TRACE = Section(
    name="trace",
    field="trace",
    keys=(
        Key("through", pixels, "[[120, 340], [180, 2210]]", needed=True),
        Key("dpi", number(50, 4800), "300"),
        Key("sheet", choice("a4", "letter"), '"a4"'),
        Key("follow", choice("line", "border"), '"line"'),
    ),
    make=TraceWish,
    one_of=(("dpi", "sheet"),),
)

EDGE = Section(
    name="edge",
    field="edge",
    keys=(
        Key("path", name_or_names, '"over-edge"'),
        Key("points", points_or_file, '[["0 mm", "0 mm"], ["6 mm", "80 mm"]]'),
        Key("straight", _MORE_THAN_NOTHING, '"24 in"'),
        Key("arc", ARC, '{ length = "600 mm", radius = "420 mm", bows = "out" }'),
        Key("arc_through", three_points, '[["0 mm", "0 mm"], ["12 mm", "80 mm"], ["0 mm", "160 mm"]]'),
        Key("trace", TRACE, "{ through = [[120, 340], [180, 2210]], dpi = 300 }"),
        Key("from", place_on_line, '"neck-point"'),
        Key("to", place_on_line, '["12 mm", "340 mm"]'),
        Key("via", place_on_line, '["20 mm", "180 mm"]'),
        Key("under", text, '"under-edge"'),
        Key("line", text, '"closing-line"'),
        Key("reverse", yes_or_no, "true"),
        Key("level_zero", id_or_level, '"shoulder-point"'),
        Key("known", KNOWN, '{ path = "ruler", length = "2 in" }'),
        Key("scale", _MORE_THAN_NOTHING, '"1 mm"'),
        Key("layers", layer_names, '{ "sew line" = "14" }'),
        Key("tiles", TILES, '{ columns = 3, rows = 2, overlap = "10 mm", margin = "10 mm" }'),
        Key(
            "joins",
            joins,
            '[{ page = 2, onto = 1, at = [["10 mm", "20 mm"], ["10 mm", "250 mm"]], '
            'there = [["190 mm", "20 mm"], ["190 mm", "250 mm"]] }]',
        ),
        Key("moved", moves, '[["0 mm", "0 mm"], ["2 mm", "6 mm"]]'),
        Key("longer", cuts, '[["300 mm", "15 mm"]]'),
    ),
    make=_edge,
    needed=True,
    one_of=(("straight", "arc", "points", "path", "arc_through", "trace"),),
    only_with=(("from", "path"), ("from", "to"), ("to", "from"), ("via", "from")),
    complaints=_edge_complaints,
)
