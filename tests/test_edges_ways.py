"""The same edge, five ways in: the marks agree, whichever file it came by."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from edge_files import EDGE, IN_MM, closed_path_data, dxf_bytes, path_data, pdf_bytes, pdf_path, plan, svg
from typer.testing import CliRunner

import closures
from closures.app.command import app
from closures.app.job import check_plan
from closures.edges import ways
from closures.edges.ways.registry import all_ways
from closures.errors import PlanError
from closures.frozen import frozen
from closures.plan.edge import EdgeWish
from closures.plan.plan import Plan
from closures.plan.reading import read_plan

PACKAGE = Path(closures.__file__).parent

RUN = CliRunner()


def marks(folder: Path, edge: str, name: str = "", data: bytes = b"", table: str = "") -> list[tuple[float, float]]:
    if name:
        (folder / name).write_bytes(data)
    if table:
        (folder / "edge.csv").write_text(table)
    (folder / "plan.toml").write_text(plan(edge, name))
    result = RUN.invoke(app, ["check", str(folder / "plan.toml"), "--json"])
    assert result.exit_code == 0, result.stderr
    return [(mark["x_mm"], mark["y_mm"]) for mark in json.loads(result.stdout)["marks"]]


def straight_svg(folder: Path):
    return marks(folder, 'path = "e"', "a.svg", svg(f'<path id="e" d="{path_data(EDGE.segments)}"/>'))


def closed_svg(folder: Path):
    edge = 'path = "piece"\nfrom = [90, 20]\nto = [118, 250]\nvia = [132, 150]'
    return marks(folder, edge, "a.svg", svg(f'<path id="piece" d="{closed_path_data()}"/>'))


def chords_svg(folder: Path):
    # A vertex every 2 mm, rounded to a hundredth, as programs for patterns write.
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in (EDGE.point_at(EDGE.length_mm * i / 118) for i in range(119)))
    return marks(folder, 'path = "e"', "a.svg", svg(f'<polyline id="e" points="{points}"/>'))


def dxf(folder: Path):
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 1
    block = document.blocks.new("FRONT")
    for one in EDGE.segments:
        four = [(x / 25.4, -y / 25.4) for x, y in (one.p0, one.p1, one.p2, one.p3)]
        block.add_open_spline(four, degree=3, dxfattribs={"layer": "14"})
    document.modelspace().add_blockref("FRONT", (0, 0))
    return marks(folder, 'path = "sew line"', "a.dxf", dxf_bytes(document))


def pdf(folder: Path):
    edge = 'path = "page 1, 1"\nknown = { path = "page 1, 2", length = "50 mm" }'
    return marks(folder, edge, "a.pdf", pdf_bytes(IN_MM + pdf_path(EDGE.segments) + b" 10 10 50 50 re S"))


def table(folder: Path):
    rows = "\n".join(f"{x:.4f}, {y:.4f}" for x, y in (EDGE.point_at(EDGE.length_mm * i / 48) for i in range(49)))
    return marks(folder, 'points = "edge.csv"', table=f"across, down\n{rows}\n")


def scan(folder: Path):
    pytest.importorskip("cv2", reason="the scan extra is not installed")
    from test_edges_scan import DPI, clicks, drawn, png, told

    return marks(folder, f"trace = {{ through = {told(clicks(0, 0.5, 1))}, dpi = {DPI} }}", "a.png", png(drawn()))


@pytest.mark.parametrize(
    ("way", "within"),
    # Vertices rounded to 0.01 leave the direction at an end, and with it where the inset begins, a little open.
    [(closed_svg, 0.02), (chords_svg, 0.03), (dxf, 0.02), (pdf, 0.02), (table, 0.02), (scan, 0.3)],
    ids=["closed SVG", "SVG of chords", "DXF", "PDF", "table", "scan"],
)
def test_marks_of_one_edge_agree_whichever_way_it_came(way, within: float, tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "other").mkdir()
    expected, found = straight_svg(tmp_path / "one"), way(tmp_path / "other")
    assert len(expected) == len(found) == 5
    assert max(math.dist(a, b) for a, b in zip(expected, found, strict=True)) < within


WALKED = """
from closures.curve import Curve, Line
from closures.edges.ways.way import FileNeeded, Way

def edge(arrival):
    steps = [float(word) for word in arrival.given["walk.txt"].split()]
    return arrival.turned(Curve((Line((0.0, 0.0), (steps[0], steps[1])),)))

WAYS = (Way(lambda wish: hasattr(wish, "walked"), edge, lambda wish: (FileNeeded(wish.walked, "walk"),)),)
"""


@frozen
class WalkedWish(EdgeWish):
    """What one key more would fill in."""

    walked: str = "walk.txt"


@pytest.fixture
def walked_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Plan]:
    """A way in that is nothing but a module in its room, and a plan that takes it."""
    (tmp_path / "walked.py").write_text(WALKED)
    monkeypatch.setattr(ways, "__path__", [*ways.__path__, str(tmp_path)])
    all_ways.cache_clear()
    known = read_plan(plan('straight = "1 m"').encode(), "plan.toml")
    yield replace(known, edge=WalkedWish())
    all_ways.cache_clear()


def test_further_way_in_is_a_module_and_nothing_else(walked_way: Plan, tmp_path: Path) -> None:
    (tmp_path / "walk.txt").write_text("30 400")
    on_disk = check_plan(walked_way, tmp_path / "plan.toml")
    assert on_disk.placement.laps.over.edge.length_mm == pytest.approx(math.hypot(30, 400))
    handed_in = check_plan(walked_way, {"walk.txt": b"0 500"})
    assert handed_in.placement.laps.over.edge.length_mm == 500.0
    with pytest.raises(PlanError, match=r"walk\.txt: the walk file was not handed in"):
        check_plan(walked_way, {})


def test_job_and_page_name_no_file_of_a_way_in() -> None:
    rooms = [path for room in ("app", "jobs") for path in (PACKAGE / room).rglob("*.py")]
    named = [path.name for path in rooms if "points_file" in path.read_text(encoding="utf-8")]
    assert not named
