"""DXF in and out, against ezdxf; and files that are broken, endless or too large."""

from __future__ import annotations

import json
import math
import re
import unicodedata
from pathlib import Path

import ezdxf
import pytest
from click.testing import Result
from edge_files import EDGE, dxf_bytes, edges_of, plan
from ezdxf.math import Vec3
from typer.testing import CliRunner
from work import calls_of

from closures.app.command import app
from closures.curve import Curve
from closures.edges.dxf.drawing import DxfDrawing
from closures.edges.listing import list_edges
from closures.errors import DrawingError
from closures.plan.reading import read_plan

RUN = CliRunner()


def new(units: int = 4, version: str = "R2010"):
    document = ezdxf.new(version)
    document.header["$INSUNITS"] = units
    return document


def flipped(points):
    return [(x, -y) for x, y in points]


def close(some, others, within: float = 1e-3) -> bool:
    return len(some) == len(others) and all(math.dist(a, b) < within for a, b in zip(some, others, strict=True))


def add_edge(layout, layer: str = "14", scale: float = 1.0) -> None:
    for one in EDGE.segments:
        four = [(x * scale, -y * scale) for x, y in (one.p0, one.p1, one.p2, one.p3)]
        layout.add_open_spline(four, degree=3, dxfattribs={"layer": layer})


def over(edge: str, data: bytes) -> Curve:
    return edges_of(read_plan(plan(edge, "front.dxf").encode(), "front.toml"), data).over


def is_edge(curve: Curve, within: float = 1e-6) -> bool:
    return abs(curve.length_mm - EDGE.length_mm) < within and math.dist(curve.start, EDGE.start) < within


@pytest.mark.parametrize(
    ("units", "scale"), [(1, 1 / 25.4), (2, 1 / 304.8), (4, 1.0), (5, 0.1), (6, 0.001), (14, 0.01)],
    ids=["inches", "feet", "mm", "cm", "m", "dm"],
)  # fmt: skip
def test_dxf_in_the_units_of_its_header_gives_the_edge(units: int, scale: float) -> None:
    document = new(units)
    add_edge(document.modelspace(), scale=scale)
    assert is_edge(over('path = "sew line"', dxf_bytes(document)), 1e-5)


@pytest.mark.parametrize("told", ['scale = "1 in"', 'known = { path = "RULER", length = "4 in" }'])
def test_dxf_without_units_takes_them_from_the_plan(told: str) -> None:
    document = new(0)
    add_edge(document.modelspace(), scale=1 / 25.4)
    document.modelspace().add_line((0, 0), (4, 0), dxfattribs={"layer": "RULER"})
    assert is_edge(over(f'path = "sew line"\n{told}', dxf_bytes(document)), 1e-5)


def test_dxf_without_units_is_refused_and_asks_for_them() -> None:
    document = new(0)
    add_edge(document.modelspace())
    with pytest.raises(DrawingError, match=r'does not say its units.*scale = "1 mm"'):
        over('path = "14"', dxf_bytes(document))


@pytest.mark.parametrize(
    "name", ["14", "layer 14", "sew line", "Sew Line", "block FRONT", "FRONT", "block FRONT, layer 14"]
)
def test_dxf_line_is_found_by_layer_block_or_both(name: str) -> None:
    document = new()
    add_edge(document.blocks.new("FRONT"))
    document.modelspace().add_blockref("FRONT", (0, 0))
    document.modelspace().add_line((0, 0), (9, 9), dxfattribs={"layer": "1"})
    assert is_edge(over(f'path = "{name}"', dxf_bytes(document)))


def test_accent_that_is_kept_as_a_sign_of_its_own_is_the_same_letter_in_a_layer() -> None:
    """Unicode Standard Annex 15: both forms are one text."""
    apart, whole = (unicodedata.normalize(form, "Côté") for form in ("NFD", "NFC"))
    document = new()
    add_edge(document.modelspace(), apart)
    assert is_edge(over(f'path = "{whole}"', dxf_bytes(document)))


def test_dxf_layers_may_have_other_names() -> None:
    document = new()
    add_edge(document.modelspace(), "STITCH")
    assert is_edge(over('path = "sew line"\nlayers = { "sew line" = "STITCH" }', dxf_bytes(document)))


def test_dxf_handle_and_chain_name_one_line_and_what_it_touches() -> None:
    document = new()
    add_edge(document.modelspace())
    first = document.modelspace()[0].dxf.handle
    drawing = DxfDrawing(dxf_bytes(document), "a.dxf")
    assert drawing.edge(f"handle {first}").curve.length_mm == pytest.approx(EDGE.segments[0].length_mm)
    assert is_edge(drawing.edge(f"chain {first}").curve)
    assert [line.name for line in drawing.all_lines()] == [f"chain {first}"]


def _entities(layout):
    """One of each kind, in odd places."""
    return [
        layout.add_line((10, 20), (60, 90)),
        layout.add_arc((30, -40), 50, 340, 75),
        layout.add_ellipse((5, 6), (40, 13), 0.45, 0.3, 4.1),
        layout.add_lwpolyline([(0, 0, 0.4), (50, 10, 0), (80, 60, -1.3), (90, 90, 0)], format="xyb"),
        layout.add_lwpolyline([(0, 0, 0.2), (50, 10, -0.1), (80, 60, 0)], format="xyb", close=True),
        layout.add_polyline2d([(0, 0, 0.4), (50, 10, 0), (80, 60, 0)], format="xyb"),
        layout.add_open_spline([(0, 0), (20, 60), (60, -30), (90, 40), (120, 0), (150, 80)], degree=3),
        layout.add_open_spline([(0, 0), (20, 60), (60, -30), (90, 40)], degree=2),
        layout.add_rational_spline([(0, 0), (20, 60), (60, -30), (90, 40), (99, 0)], [1, 2, 1, 3, 1], degree=3),
        layout.add_spline([(0, 0), (20, 60), (60, 30), (90, 40)]),
        layout.add_arc((30, 40), 20, 10, 200, dxfattribs={"extrusion": (0, 0, -1)}),
    ]


def points_on(entity):
    """Points that the library finds on an entity; those it flattens by lie on it."""
    kind = entity.dxftype()
    if kind == "LINE":
        return [entity.dxf.start, entity.dxf.end]
    if kind in ("LWPOLYLINE", "POLYLINE"):
        return [point for part in entity.virtual_entities() for point in points_on(part)]
    return [Vec3(point) for point in entity.flattening(0.01)]


def test_dxf_lines_that_climb_or_lean_are_not_read_too_short() -> None:
    document = new()
    space = document.modelspace()
    space.add_line((0, 0, 7), (90, 0, 7))
    space.add_line((0, 0, 0), (90, 0, 90))
    space.add_spline([(0, 0, 0), (30, 20, 10), (90, 0, 40)])
    space.add_polyline3d([(0, 0, 0), (30, 20, 10), (90, 0, 40)])
    space.add_ellipse((0, 0), (40, 0), 0.5, 0, 2, dxfattribs={"extrusion": (0, 0.6, 0.8)})
    block = document.blocks.new("PIECE")
    block.add_line((0, 0), (0, 90))
    space.add_blockref("PIECE", (5, 5), dxfattribs={"extrusion": (0, 0.6, 0.8)})
    (line,) = DxfDrawing(dxf_bytes(document), "front.dxf").all_lines()
    assert (line.length_mm, line.start) == (90, (0, 0))


PLACINGS = {
    "as drawn": {},
    "turned": {"rotation": 33},
    "evenly scaled": {"rotation": -70, "xscale": 2.5, "yscale": 2.5},
    "unevenly scaled": {"rotation": 20, "xscale": 2, "yscale": 0.5},
    "mirrored": {"rotation": 15, "xscale": -1, "yscale": 1.3},
}


@pytest.mark.parametrize("placing", list(PLACINGS.values()), ids=list(PLACINGS))
def test_dxf_entities_in_blocks_lie_where_ezdxf_puts_them(placing: dict) -> None:
    document = new()
    block = document.blocks.new("PIECE")
    entities = _entities(block)
    insert = document.modelspace().add_blockref("PIECE", (31, -17), dxfattribs=placing)
    drawing = DxfDrawing(dxf_bytes(document), "a.dxf")
    assert len(drawing.drawn) == len(entities)
    matrix = insert.matrix44()
    for line, entity in zip(drawing.drawn, entities, strict=True):
        curve = Curve(line.segments)
        # Figures of an array that are no plain floats reach the writers, which refuse them.
        assert "np." not in repr(line.segments), entity.dxftype()
        flat = [matrix.transform(p) for p in points_on(entity)]
        away = max(curve.nearest((p.x, -p.y)).distance_mm for p in flat)
        assert away < 1e-4, entity.dxftype()
        if "POLYLINE" in entity.dxftype():
            # Its arcs come out of the library all in one sense, so that their ends do not follow each other.
            continue
        ends = {(round(p.x, 3), round(-p.y, 3)) for p in (flat[0], flat[-1])}
        mine = {(round(x, 3), round(y, 3)) for x, y in (curve.start, curve.end)}
        assert all(min(math.dist(a, b) for b in mine) < 0.003 for a in ends), entity.dxftype()
        assert curve.length_mm == pytest.approx(sum(map(math.dist, flat, flat[1:])), rel=2e-3)


def test_dxf_block_in_block_and_rows_of_a_block() -> None:
    document = new()
    inner = document.blocks.new("IN")
    inner.add_line((0, 0), (10, 0), dxfattribs={"layer": "A"})
    document.blocks.new("OUT").add_blockref("IN", (5, 5), dxfattribs={"xscale": 2})
    document.modelspace().add_blockref(
        "OUT",
        (100, 0),
        dxfattribs={"rotation": 90, "row_count": 2, "column_count": 3, "column_spacing": 50, "row_spacing": 7},
    )
    lines = list(DxfDrawing(dxf_bytes(document), "a.dxf").drawn)
    assert len(lines) == 6 and all(line.length_mm == pytest.approx(20) for line in lines)
    # A quarter turn takes (5, 5) to (-5, 5); with y down that is (95, -5).
    assert (lines[0].start, lines[0].end) == (pytest.approx((95, -5)), pytest.approx((95, -25)))


def test_dxf_points_notches_and_small_circles_are_offered_as_anchors() -> None:
    document = new()
    layout = document.modelspace()
    add_edge(layout)
    layout.add_point((120, -130), dxfattribs={"layer": "13"})
    layout.add_circle((50, -60), 2, dxfattribs={"layer": "13"})
    layout.add_line((132, -150), (137, -150), dxfattribs={"layer": "4"})
    layout.add_circle((50, -60), 30, dxfattribs={"layer": "8"})
    spots = list(DxfDrawing(dxf_bytes(document), "a.dxf").points())
    assert [(spot.kind, spot.x_mm, spot.y_mm) for spot in spots] == [
        ("drill hole", 120, 130), ("drill hole", 50, 60), ("notch", 132, 150),
    ]  # fmt: skip


def test_dxf_written_for_a_cutter_reads_back_to_the_same_points(tmp_path: Path) -> None:
    document = new()
    add_edge(document.modelspace())
    (tmp_path / "front.dxf").write_bytes(dxf_bytes(document))
    (tmp_path / "front.toml").write_text(plan('path = "14"', "front.dxf"))
    result = RUN.invoke(app, ["place", str(tmp_path / "front.toml"), "--dxf", "--json"])
    assert result.exit_code == 0, result.stderr
    marks = [(mark["x_mm"], mark["y_mm"]) for mark in json.loads(result.stdout)["marks"]]
    for lap in ("over", "under"):
        file = tmp_path / "front" / f"{lap}.dxf"
        spots = [(s.x_mm, s.y_mm) for s in DxfDrawing(file.read_bytes(), lap).points()]
        assert close(spots, marks)
        theirs = ezdxf.readfile(file)
        assert theirs.header["$INSUNITS"] == 4
        points = [
            e.dxf.location
            for insert in theirs.modelspace()
            for e in insert.virtual_entities()
            if e.dxftype() == "POINT"
        ]
        assert close(flipped((p.x, p.y) for p in points), marks)
        layers = {e.dxf.layer for e in theirs.blocks.get(lap.upper())}
        assert {"1", "8"} <= layers
        assert not theirs.audit().has_errors
    edge = DxfDrawing((tmp_path / "front" / "over.dxf").read_bytes(), "over").lines("boundary")[0]
    outline = Curve(edge.segments)
    assert max(outline.nearest(EDGE.point_at(s)).distance_mm for s in range(0, 230, 5)) < 0.011


def test_dxf_written_is_the_same_on_every_run(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(plan('straight = "230 mm"'))
    for out in ("one", "two"):
        assert (
            RUN.invoke(app, ["place", str(tmp_path / "a.toml"), "--dxf", "--out", str(tmp_path / out)]).exit_code == 0
        )
    assert (tmp_path / "one" / "over.dxf").read_bytes() == (tmp_path / "two" / "over.dxf").read_bytes()


def nest(depth: int, twice: bool = False) -> bytes:
    document = new()
    document.blocks.new("B0").add_line((0, 0), (100, 0))
    for n in range(1, depth + 1):
        block = document.blocks.new(f"B{n}")
        for _ in range(2 if twice else 1):
            block.add_blockref(f"B{n - 1}", (0, 0))
    document.modelspace().add_blockref(f"B{depth}", (0, 0))
    return dxf_bytes(document)


def loop() -> bytes:
    document = new()
    document.blocks.new("A").add_blockref("B", (0, 0))
    document.blocks.new("B").add_blockref("A", (0, 0))
    document.modelspace().add_blockref("A", (0, 0))
    return dxf_bytes(document)


def rows(count: int) -> bytes:
    document = new()
    document.blocks.new("A").add_line((0, 0), (1, 0))
    document.modelspace().add_blockref(
        "A", (0, 0), dxfattribs={"row_count": count, "column_count": count, "row_spacing": 2, "column_spacing": 2}
    )
    return dxf_bytes(document)


MOST_CALLS = 3_000_000
GOOD = b"0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
BAD = {
    "nothing": (lambda: b"", "the file is empty"),
    "white space": (lambda: b" \n \n", "the file is empty"),
    "cut short": (lambda: nest(1)[:3000], "this DXF ends before its end mark, EOF: it is cut off"),
    "garbage": (lambda: b"0\nSECTION\n2\nHEADER\ngarbage\n0\nEOF\n", "not a DXF drawing|does not say its units"),
    "binary": (lambda: b"AutoCAD Binary DXF\r\n\x1a\x00" + bytes(200), "binary DXF"),
    "no entities": (lambda: GOOD + b"0\nENDSEC\n0\nEOF\n", "nothing in it is a line|no layer, block or handle"),
    "figures beyond reach": (
        lambda: GOOD + b"0\nLINE\n8\n14\n10\n0\n20\n0\n11\n9e99\n21\n0\n0\nENDSEC\n0\nEOF\n", "reaches beyond 100 m",
    ),
    "a hundred blocks deep": (lambda: nest(100), "blocks lie more than 32 deep"),
    "blocks that double": (lambda: nest(30, twice=True), "more than 100,000 entities"),
    "a block in itself": (loop, "drawn inside itself"),
    "endless rows": (lambda: rows(5000), "more than 100,000 entities"),
    "fifty MB": (lambda: GOOD + b"999\n" + b"x" * 50_000_000, "holds 50,000,0.. bytes, and at most 20,000,000"),
    "more lines than a pattern has": (
        lambda: GOOD + b"0\nLINE\n8\n0\n" * 100_001 + b"0\nENDSEC\n0\nEOF\n", "holds 100,00. records, more than 100,000.*in one size",
    ),
    "thirteen MB": (lambda: GOOD + b"999\n" + b"x" * 13_000_000, "13 MB, more than 12"),
}  # fmt: skip


@pytest.mark.parametrize(("make", "told"), list(BAD.values()), ids=list(BAD))
@pytest.mark.parametrize("command", ["check", "edges"])
def test_dxf_that_is_broken_or_endless_is_refused_soon(make, told: str, command: str, tmp_path: Path) -> None:
    (tmp_path / "front.dxf").write_bytes(make())
    (tmp_path / "front.toml").write_text(plan('path = "14"', "front.dxf"))
    results: list[Result] = []
    file = "front.toml" if command == "check" else "front.dxf"
    worked = calls_of(lambda: results.append(RUN.invoke(app, [command, str(tmp_path / file)])))
    assert worked < MOST_CALLS
    result = results[0]
    assert result.exit_code == 2, result.output
    assert len(result.stderr.strip().splitlines()) == 1 and re.search(told, result.stderr), result.stderr


def lines_of(ends) -> bytes:
    document = new()
    for start, end in ends:
        document.modelspace().add_line(start, end)
    return dxf_bytes(document)


MANY = {
    "apart, all of one length": lambda n: ((n, 0), (n, 10)),
    "all from one place": lambda n: ((0, 0), ((99 + n) * math.cos(n), (99 + n) * math.sin(n))),
}


@pytest.mark.parametrize("line", list(MANY.values()), ids=list(MANY))
def test_dxf_of_many_lines_is_listed_in_step_with_their_number(line) -> None:
    # Each line was once held against every other: 8000 took above 15 s.
    few, many = (lines_of([line(n) for n in range(count)]) for count in (500, 2000))
    assert len(list_edges(many, "a.dxf").candidates) == 2000
    worked, worked_on_many = (calls_of(lambda data=data: list_edges(data, "a.dxf")) for data in (few, many))
    assert worked_on_many < 4 * worked * 1.3, (worked, worked_on_many)


def test_dxf_line_drawn_twice_is_listed_once_wherever_it_lies() -> None:
    # Over a border of the cells by which lines are found, and turned round.
    twice = [((0, 0), (0.4, 90)), ((0.404, 90), (0.004, 0))]
    assert len(list_edges(lines_of(twice), "a.dxf").candidates) == 1


def test_dxf_package_that_is_missing_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(DrawingError, match=r"package that is not installed.*\.\[dxf\]"):
        DxfDrawing(nest(1), "a.dxf")


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("sow line", "Nearest: sew line"),
        ("layer 99", "no layer, block or handle"),
        ("notches", "no layer, block or handle|nothing is drawn"),
        ("TWO", "these are 2 lines that do not touch.*Name one"),
    ],
)
def test_dxf_name_that_stands_for_no_edge_is_refused(path: str, told: str) -> None:
    document = new()
    add_edge(document.modelspace())
    for x in (0, 50):
        document.modelspace().add_line((x, 0), (x, 90), dxfattribs={"layer": "TWO"})
    with pytest.raises(DrawingError, match=told):
        over(f'path = "{path}"', dxf_bytes(document))


def test_dxf_line_with_a_point_that_is_no_number_is_left_out_whole() -> None:
    document = new()
    space = document.modelspace()
    add_edge(space)
    data = dxf_bytes(document)
    whole = is_edge(over('path = "sew line"', data))
    space.add_lwpolyline([(0, 0), (10, 5), (20, 0), (30, 5), (0, 0)], dxfattribs={"layer": "8"}, close=True)
    broken = dxf_bytes(document).replace(b"\n20.0\n", b"\n1e309\n")
    assert broken != dxf_bytes(document)
    assert whole and is_edge(over('path = "sew line"', broken))
    with pytest.raises(DrawingError) as refused:
        over('path = "layer 8"', broken)
    assert "segments do not join" not in str(refused.value)
