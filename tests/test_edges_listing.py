"""`closures edges`: what a drawing holds, by names that a plan's path takes."""

from __future__ import annotations

import io
import json
import math
import re
from pathlib import Path

import ezdxf
import pytest
from edge_files import EDGE, IN_MM, closed_path_data, dxf_bytes, path_data, pdf_bytes, pdf_path, plan, svg
from PIL import Image
from typer.testing import CliRunner
from work import calls_of

from closures.app.command import app
from closures.drawing.ink.extents import box_of
from closures.edges.listing import list_edges
from closures.edges.opening import open_drawing
from closures.plan.edge import EdgeWish

RUN = CliRunner()


def svg_file() -> bytes:
    return svg(
        f'<g inkscape:label="front"><path id="edge" d="{path_data(EDGE.segments)}"/><path d="{closed_path_data()}"/></g>'
        '<line id="grain" x1="20" y1="30" x2="20" y2="200"/><circle id="notch-1" cx="132" cy="150" r="1"/>'
        '<path id="tiny" d="M0 0H2"/><defs><path id="kept" d="M0 0H99"/></defs><text id="words">a</text>'
        '<path id="bad" d="M0 0 L"/>'
    )


def dxf_file() -> bytes:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    layout = document.modelspace()
    for one in EDGE.segments:
        layout.add_open_spline(
            [(x, -y) for x, y in (one.p0, one.p1, one.p2, one.p3)], degree=3, dxfattribs={"layer": "14"}
        )
    layout.add_lwpolyline([(0, 0), (100, 0), (100, -50)], close=True, dxfattribs={"layer": "1"})
    layout.add_point((20, -30), dxfattribs={"layer": "13"})
    return dxf_bytes(document)


def pdf_file() -> bytes:
    return pdf_bytes(IN_MM + pdf_path(EDGE.segments), IN_MM + b"10 10 50 50 re S 5 5 m 5 100 l S")


FILES = {"front.svg": svg_file, "front.dxf": dxf_file, "front.pdf": pdf_file}


def listed(tmp_path: Path, name: str, data: bytes) -> dict:
    (tmp_path / name).write_bytes(data)
    result = RUN.invoke(app, ["edges", str(tmp_path / name), "--json"])
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


@pytest.mark.parametrize("name", FILES)
def test_every_open_line_that_is_listed_is_what_a_plan_path_takes(name: str, tmp_path: Path) -> None:
    edges = listed(tmp_path, name, FILES[name]())["edges"]
    assert len(edges) >= 2
    more = '\nscale = "1/72 in"' if name.endswith("pdf") else ""
    for one in edges:
        places = "" if one["open"] else "\nfrom = [1, 1]\nto = [9, 9]"
        if one["open"] and one["length_mm"] > 100:
            (tmp_path / "plan.toml").write_text(plan(f'path = "{one["path"]}"{more}{places}', name))
            result = RUN.invoke(app, ["check", str(tmp_path / "plan.toml"), "--json"])
            assert result.exit_code in (0, 1), result.stderr
            assert json.loads(result.stdout)["closing_line"]["edge_length_mm"] == pytest.approx(
                one["length_mm"], abs=1e-3
            )


def test_listing_tells_length_ends_shape_layer_and_box(tmp_path: Path) -> None:
    told = listed(tmp_path, "front.svg", svg_file())
    by_path = {one["path"]: one for one in told["edges"]}
    assert set(by_path) == {"edge", "shape 2", "grain", "notch-1"}
    assert by_path["grain"] == {
        "path": "grain", "length_mm": 170, "open": True, "box_mm": [20, 30, 20, 200], "shape": "straight", "layer": "",
    }  # fmt: skip
    edge, outline = by_path["edge"], by_path["shape 2"]
    assert (edge["open"], edge["shape"], edge["layer"]) == (True, "smooth", "front")
    assert edge["length_mm"] == pytest.approx(EDGE.length_mm, abs=1e-3)
    assert edge["box_mm"] == pytest.approx(list(EDGE.box), abs=1e-3)
    assert (outline["open"], outline["shape"]) == (False, "cornered")
    assert told["edges"][0]["path"] == "shape 2"
    assert told["points"] == [{"at": "notch-1", "kind": "notch", "x_mm": 132, "y_mm": 150}]


def test_listing_as_text_holds_the_same_names_and_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_bytes(svg_file())
    result = RUN.invoke(app, ["edges", str(tmp_path / "front.svg"), "--units", "in"])
    assert result.exit_code == 0
    for words in ('"edge"', '"shape 2"', "closed", "6 11/16 in", "from and to", "1 line under 5 mm", '"notch-1"'):
        assert words in result.stdout, words


def test_listing_of_a_drawing_without_size_says_so(tmp_path: Path) -> None:
    told = listed(tmp_path, "a.svg", svg('<path id="e" d="M0 0V100"/>', 'viewBox="0 0 9 9"'))
    assert told["has_size"] is False and told["edges"][0]["length_mm"] == 100
    assert "does not say how large it is" in RUN.invoke(app, ["edges", str(tmp_path / "a.svg")]).stdout


def test_listing_as_a_picture_shows_every_line_with_its_number(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_bytes(svg_file())
    result = RUN.invoke(app, ["edges", str(tmp_path / "front.svg"), "--picture", str(tmp_path / "seen.png")])
    assert result.exit_code == 0, result.stderr
    with Image.open(tmp_path / "seen.png") as picture:
        assert picture.format == "PNG" and max(picture.size) > 700
        low, high = picture.convert("L").getextrema()
        assert (low, high) == (low, 255) and low < 60


def test_listing_is_drawn_in_the_format_of_its_name(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_bytes(svg_file())
    seen = tmp_path / "seen.svg"
    assert RUN.invoke(app, ["edges", str(tmp_path / "front.svg"), "--picture", str(seen)]).exit_code == 0
    assert b"<svg" in seen.read_bytes()[:200]
    refused = RUN.invoke(app, ["edges", str(tmp_path / "front.svg"), "--picture", str(tmp_path / "seen.jpg")])
    assert refused.exit_code == 2 and "End its name in .svg or .png" in refused.output


def test_picture_shows_points_and_the_curve_that_they_are_read_as(tmp_path: Path) -> None:
    points = [(90 + 30 * math.sin(i / 13) + 0.04 * (-1) ** i, 5 + 4.0 * i) for i in range(61)]
    (tmp_path / "front.svg").write_bytes(
        svg(f'<polyline id="e" points="{" ".join(f"{x:.3f},{y:.3f}" for x, y in points)}"/>')
    )
    seen = tmp_path / "seen.svg"
    result = RUN.invoke(app, ["edges", str(tmp_path / "front.svg"), "--picture", str(seen)])
    assert result.exit_code == 0, result.stderr
    assert re.search(
        r"No\. 1, points and curve: The edge was read from 61 points, to ±0\.0\d mm; furthest", result.stdout
    )
    # A dot for each point, one for the number; and a line of a few curves, no stroke from point to point.
    drawn = seen.read_text()
    assert drawn.count("<circle") == 62
    assert 0 < len(re.findall("[Cc]", " ".join(re.findall(r' d="(M[^"]*)" fill="none"', drawn)))) < 30


def test_picture_of_more_lines_has_more_numbers() -> None:
    from closures.drawing.extras.edge_picture import edge_picture
    from closures.drawing.ink.shapes import Words

    listing = list_edges(svg_file(), "front.svg")
    _, _, items = edge_picture(listing, 60)
    assert [item.text for item in items if isinstance(item, Words)] == ["1", "2", "3", "4"]
    _, _, fewer = edge_picture(listing, 2)
    assert [item.text for item in fewer if isinstance(item, Words)] == ["1", "2"]


def test_picture_of_a_pdf_lays_its_pages_side_by_side() -> None:
    from closures.drawing.extras.edge_picture import edge_picture
    from closures.drawing.ink.shapes import Path as Drawn

    file = Path(__file__).resolve().parent.parent / "templates" / "from-pdf" / "pattern.pdf"
    listing = list_edges(file.read_bytes(), file.name)
    pages = [one.page for one in listing.candidates]
    assert set(pages) == {"page 1", "page 2", "page 3"}
    _, _, items = edge_picture(listing, 60)
    boxes = [box_of(item) for item in items if isinstance(item, Drawn)]
    for one, other in (("page 1", "page 2"), ("page 2", "page 3")):
        right = max(box[2] for box, page in zip(boxes, pages, strict=True) if page == one)
        assert all(box[0] > right for box, page in zip(boxes, pages, strict=True) if page == other)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "the file is empty"),
        (b"<svg", "not an SVG drawing"),
        (svg(""), "nothing in it is a line"),
        (b"\x00\x01\x02" * 50, "not an SVG drawing"),
    ],
)
def test_file_that_holds_no_line_is_refused(data: bytes, told: str, tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_bytes(data)
    result = RUN.invoke(app, ["edges", str(tmp_path / "a.svg")])
    assert result.exit_code == 2 and told in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1


def test_file_that_is_not_there_and_units_that_are_none_are_refused(tmp_path: Path) -> None:
    assert "no such drawing file" in RUN.invoke(app, ["edges", str(tmp_path / "a.svg")]).stderr
    (tmp_path / "a.svg").write_bytes(svg_file())
    result = RUN.invoke(app, ["edges", str(tmp_path / "a.svg"), "--units", "ell"])
    assert result.exit_code == 2 and "neither mm nor in" in result.stderr


def test_drawing_of_very_many_lines_is_listed_with_bounded_work() -> None:
    many = svg("".join(f'<path d="M0 {n}H{n + 9}"/>' for n in range(1500)))
    assert len(list_edges(many, "many.svg").candidates) == 1500
    assert calls_of(lambda: list_edges(many, "many.svg")) < 15_000_000
    assert io.BytesIO(many).getbuffer().nbytes < 100_000


def test_path_read_quickly_is_the_one_that_is_drawn(monkeypatch):
    # The same drawing with and without the quick way, which knows nothing but groups and their transforms.
    from closures.edges.svg.tree import Tree

    drawing = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="10 5 600 600">'
        b'<g transform="translate(3 4) rotate(20)"><g transform="scale(1.2 0.7) skewX(10)">'
        b'<path id="a" d="m 10 20 c 30 0 40 50 80 90 l 5 60 a 20 30 15 0 1 40 40 q 3 4 40 9"/>'
        b'<path id="b" transform="matrix(1 .2 -.3 .9 7 8)" d="M0 0 L 50 60 H 90 V 120"/></g></g>'
        b'<path id="c" d="M 5 6 h 100 v 40"/><g style="display:none"><path id="d" d="M 0 0 H 90"/></g>'
        b'<path id="e" display="none" d="M 0 0 H 90"/></svg>'
    )
    quick = list_edges(drawing, "a.svg")
    monkeypatch.setattr(Tree, "transforms_of", lambda self, element, where="": None)
    whole = list_edges(drawing, "a.svg")
    assert [one.path for one in quick.candidates] == [one.path for one in whole.candidates]
    assert {one.path for one in quick.candidates} == {"a", "b", "c"}
    for one, other in zip(quick.candidates, whole.candidates, strict=True):
        assert one.length_mm == pytest.approx(other.length_mm, abs=1e-9)
        assert one.box_mm == pytest.approx(other.box_mm, abs=1e-9)


@pytest.mark.parametrize("styled", [False, True], ids=["plain", "with a style sheet"])
def test_cost_of_a_list_grows_in_step_with_its_lines(styled):
    def drawing(count):
        style = "<style>.x { stroke: black }</style>" if styled else ""
        paths = "".join(
            f'<path id="p{i}" d="M {i % 50 * 10} {i // 50 * 10} c 2 3 4 5 8 9 l 3 4"/>' for i in range(count)
        )
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">'
            f"{style}<g>{paths}</g></svg>"
        ).encode()

    few, many = (calls_of(lambda n=n: list_edges(drawing(n), "a.svg")) for n in (60, 240))
    assert many < 4 * few * 1.25, (few, many)


def test_labels_are_listed_first_and_things_with_one_label_are_told_apart():
    drawing = (
        b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
        b'width="300mm" height="300mm" viewBox="0 0 300 300">'
        b'<path id="path1" inkscape:label="front edge" d="M 10 10 V 200"/>'
        b'<g><path id="path2" inkscape:label="grain" d="M 30 10 V 180"/></g>'
        b'<path id="path3" inkscape:label="grain" d="M 40 10 V 150"/></svg>'
    )
    listed = {one.path: one.length_mm for one in list_edges(drawing, "a.svg").candidates}
    assert listed == {"front edge": 190.0, "grain 1": 170.0, "grain 2": 140.0}
    from closures.edges.svg.drawing import SvgDrawing
    from closures.errors import DrawingError

    opened = SvgDrawing(drawing, "a.svg")
    assert [line.length_mm for line in opened.lines("grain 2")] == [140.0]
    assert [line.length_mm for line in opened.lines("path3")] == [140.0]
    with pytest.raises(DrawingError) as refusal:
        opened.lines("grain")
    assert "2 things have this name" in str(refusal.value) and "grain 1" in str(refusal.value)


def test_line_that_is_called_like_its_layer_is_listed_and_found_by_that_name_alone():
    drawing = (
        b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
        b'width="100mm" height="300mm" viewBox="0 0 100 300"><g inkscape:groupmode="layer" inkscape:label="front">'
        b'<g id="g12"><path id="path1" inkscape:label="front" d="M 10 10 V 200"/><path id="hem" d="M 10 200 H 90"/></g></g></svg>'
    )
    listing = list_edges(drawing, "front.svg")
    assert [(one.path, one.layer) for one in listing.candidates] == [("front", "front"), ("hem", "front")]
    drawn = open_drawing(drawing, "front.svg", EdgeWish(), None).lines("front")
    assert [line.length_mm for line in drawn] == [190.0]
