"""Tables of measured points: across and down, chord and offset, tape and level; and arcs through three points."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from edge_files import plan
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from closures.app.command import app
from closures.edges.reading import read_edges
from closures.edges.shapes import three_point_arc
from closures.edges.tables import read_table_of_points
from closures.errors import EdgeError
from closures.plan.reading import read_plan

RUN = CliRunner()


def points_of(text: str, units: str = "mm"):
    return read_table_of_points(text.encode(), "edge.csv", units).points


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("0, 0\n6, 80\n9, 160\n", "mm"),
        ("across, down\n0, 0\n6, 80\n9, 160\n", "mm"),
        ("Across;Down\n0;0\n6 mm;80 mm\n9 mm;16 cm\n", "in"),
        ("across (mm)\tdown (cm)\n0\t0\n6\t8\n9\t16\n", "in"),
        ("# measured on the table\n0, 0\n\n6, 80\n9, 160\n\n", "mm"),
        ("\ufeffacross,down\r\n0,0\r\n6,80\r\n9,160\r\n", "mm"),
        ("across;down\r0;0\r6;80\r9;160\r", "mm"),
        ("along, offset\n0, 0\n80, 6\n160, 9\n", "mm"),
    ],
    ids=[
        "bare",
        "headed",
        "units in cells",
        "units in the heading",
        "notes and gaps",
        "as spreadsheets write",
        "rows that end as on an old Mac",
        "offsets",
    ],
)
def test_table_in_any_of_its_forms_gives_the_points(text: str, units: str) -> None:
    assert points_of(text, units) == ((0, 0), (6, 80), (9, 160))


def test_points_that_are_all_corners_are_an_edge(tmp_path: Path) -> None:
    rows = [(-12.94, -0.3), (21.5, 23.22), (29.67, 51.05), (1.47, 71.16), (23.85, 100.45), (12, 124.09), (-29.99, 151.1),
            (9.2, 176.89), (-4.77, 201.33), (9.7, 221.26), (25.91, 253.24), (17.65, 271.68), (-10.59, 301.32), (6.78, 327.78)]  # fmt: skip
    data = "\n".join(f"{x}, {y}" for x, y in rows).encode()
    edges = read_edges(read_plan(plan('points = "edge.csv"').encode(), "a.toml"), {"edge.csv": data})
    assert len(edges.over.segments) == len(rows) - 1


def test_table_in_inches_reads_fractions() -> None:
    assert points_of("0, 0\n1/4 in, 3 in\n3/8, 6 1/2 in\n".replace("3/8", "3/8 in"), "in")[1:] == (
        (6.35, 76.2),
        (9.525, 165.1),
    )


def test_edge_of_a_table_passes_all_its_points_and_tells_the_one_that_stands_out(tmp_path: Path) -> None:
    # On a parabola but for point 6, which is 2 mm out; the curve through its neighbours, 3 on either side, lies
    # within some tenths of the parabola.
    rows = [(y * y / 4000 + (2.0 if y == 250 else 0.0), float(y)) for y in range(0, 501, 50)]
    (tmp_path / "edge.csv").write_text("across, down\n" + "\n".join(f"{x}, {y}" for x, y in rows))
    text = plan('points = "edge.csv"')
    edges = read_edges(read_plan(text.encode(), "a.toml"), {"edge.csv": (tmp_path / "edge.csv").read_bytes()})
    assert max(edges.over.nearest(row).distance_mm for row in rows) < 1e-9
    note = next(note for note in edges.notes if "Furthest" in note)
    assert "point 6, by 1.8 mm" in note
    (tmp_path / "a.toml").write_text(text)
    result = RUN.invoke(app, ["check", str(tmp_path / "a.toml")])
    assert "point 6" in result.output


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 1.0), st.floats(-0.6, 0.6), st.integers(6, 24))
def test_tape_and_level_find_the_arc_that_was_measured(lean: float, turn: float, count: int) -> None:
    # An arc of radius r that leans from straight down by an angle a: its points are r (cos, sin) of it.
    if lean + min(turn, 0) < 0.08:
        return
    length, k = 400.0, turn / 400.0
    rows, true = [], []
    for i in range(count + 1):
        s = length * i / count
        if abs(k) < 1e-9:
            x, y = s * math.sin(lean), s * math.cos(lean)
        else:
            x, y = (math.cos(lean) - math.cos(lean + k * s)) / k, (math.sin(lean + k * s) - math.sin(lean)) / k
        rows.append(f"{s!r}, {y!r}")
        true.append((x, y))
    found = points_of("along, level\n" + "\n".join(rows))
    assert max(math.dist(a, b) for a, b in zip(found, true, strict=True)) < 0.05


def test_tape_and_level_that_lean_left_go_to_the_left_and_say_how_sure_they_are() -> None:
    text = "along, level, leans\n0, 0, \n50, 40, left\n100, 80, left\n150, 120, left\n"
    measured = read_table_of_points(text.encode(), "edge.csv", "mm")
    # Steps of a 3, 4, 5 triangle.
    expected = ((0, 0), (-30, 40), (-60, 80), (-90, 120))
    assert all(math.dist(a, b) < 1e-9 for a, b in zip(measured.points, expected, strict=True))
    assert any("moves the edge sideways by up to 1.7 mm" in note for note in measured.notes)


BAD = {
    "empty": ("", "the table is empty"),
    "one row": ("0, 0\n", "two points at least"),
    "unknown columns": ("left, right\n0, 0\n1, 9\n", "columns left, right are not known"),
    "three cells": ("0, 0\n6, 80, 5\n", "line 2: 3 columns, not 2"),
    "no length": ("0, 0\nsix, 80\n", "line 2, across: 'six' is not a length"),
    "no unit known": ("0, 0\n6 ell, 80\n", "line 2, across"),
    "tape too short": ("along, level\n0, 0\n50, 60\n", "changes by 60 mm on 50 mm of tape"),
    "tape back": ("along, level\n0, 0\n50, 40\n30, 60\n", "row 3 is not further along"),
    "leans nowhere": ("along, level, leans\n0, 0, left\n50, 40, up\n", "'up' is neither right nor left"),
    "too many": ("\n".join(f"0, {n}" for n in range(1200)), "more than 1000 rows"),
}


@pytest.mark.parametrize(("text", "told"), list(BAD.values()), ids=list(BAD))
def test_table_that_is_wrong_is_refused_with_its_line(text: str, told: str, tmp_path: Path) -> None:
    (tmp_path / "edge.csv").write_text(text)
    (tmp_path / "a.toml").write_text(plan('points = "edge.csv"'))
    result = RUN.invoke(app, ["check", str(tmp_path / "a.toml")])
    assert result.exit_code == 2 and re.search(re.escape(told), result.stderr), result.stderr


def test_table_that_is_not_there_or_no_text_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(plan('points = "edge.csv"'))
    assert "there is no such points file" in RUN.invoke(app, ["check", str(tmp_path / "a.toml")]).stderr
    (tmp_path / "edge.csv").write_bytes(b"\xff\xfe0\x00")
    assert "not text in UTF-8" in RUN.invoke(app, ["check", str(tmp_path / "a.toml")]).stderr


@settings(max_examples=60, deadline=None)
@given(st.floats(50, 900), st.floats(-3, 3), st.floats(0.2, 5.0), st.floats(0.1, 0.9), st.booleans())
def test_arc_through_three_points_is_the_arc_they_lie_on(
    radius: float, begin: float, sweep: float, share: float, turned: bool
) -> None:
    # Closed form: radius times angle.
    way = -sweep if turned else sweep
    points = [(40 + radius * math.cos(begin + way * t), 7 + radius * math.sin(begin + way * t)) for t in (0, share, 1)]
    edge = three_point_arc(points, "here")
    assert edge.length_mm == pytest.approx(radius * sweep, rel=1e-6)
    assert math.dist(edge.start, points[0]) < 1e-6 and math.dist(edge.end, points[2]) < 1e-6
    assert edge.nearest(points[1]).distance_mm < 1e-6


def test_arc_through_three_points_stands_in_a_plan(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(plan("arc_through = [[0, 0], [12, 110], [0, 220]]"))
    assert RUN.invoke(app, ["check", str(tmp_path / "a.toml")]).exit_code == 0


@pytest.mark.parametrize("points", [[(0, 0), (0, 50), (0, 100)], [(0, 0), (0, 0), (9, 9)], [(0, 0), (5, 5), (0, 0)]])
def test_arc_through_points_on_a_line_is_refused(points) -> None:
    with pytest.raises(EdgeError, match="one straight line, or two of them are the same"):
        three_point_arc(points, "here")
