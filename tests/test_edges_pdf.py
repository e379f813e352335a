"""Vector pages of a PDF: matrices, forms, layers, tiles and scale, against pypdfium2; and files that are broken."""

from __future__ import annotations

import contextlib
import ctypes
import io
import math
import re
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from click.testing import Result
from edge_files import EDGE, HEIGHT_MM, IN_MM, edges_of, pdf_bytes, pdf_path, plan
from typer.testing import CliRunner
from work import calls_of

from closures.app.command import app
from closures.curve import Curve
from closures.edges.pdf.pages import PdfDrawing
from closures.errors import DrawingError
from closures.plan.reading import read_plan

RUN = CliRunner()
SQUARE = b" 10 10 50 50 re S"
KNOWN = 'known = { path = "page 1, 2", length = "50 mm" }'


def over(edge: str, data: bytes) -> Curve:
    return edges_of(read_plan(plan(edge, "front.pdf").encode(), "front.toml"), data).over


def is_edge(curve: Curve, within: float = 1e-4) -> bool:
    return abs(curve.length_mm - EDGE.length_mm) < within and math.dist(curve.start, EDGE.start) < within


PAGE = IN_MM + pdf_path(EDGE.segments) + SQUARE


def test_pdf_page_gives_the_edge_once_its_scale_is_proved() -> None:
    assert is_edge(over(f'path = "page 1, 1"\n{KNOWN}', pdf_bytes(PAGE)))
    notes = edges_of(read_plan(plan(f'path = "page 1, 1"\n{KNOWN}', "a.pdf").encode(), "a.toml"), pdf_bytes(PAGE)).notes
    assert any("proved" in note and "50.00 mm for 50 mm" in note for note in notes)


def test_what_a_library_says_of_a_broken_pdf_goes_to_nobody(caplog: pytest.LogCaptureFixture) -> None:
    data = pdf_bytes(PAGE, PAGE)
    broken = re.sub(rb"(/Kids ?\[ ?\d+ 0 R)( \d+ 0 R)", rb"\1RR\2", data)
    assert broken != data
    with contextlib.suppress(DrawingError):
        over(f'path = "page 1, 1"\n{KNOWN}', broken)
    assert caplog.records == []


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("", "the scale of a page is not proved.*known ="),
        (
            'known = { path = "page 1, 2", length = "2 in" }',
            r'measures 50.00 mm, 98.4% of the 50.8 mm.*scale = "0.358422',
        ),
        ('known = { path = "page 1, 9", length = "2 in" }', "there is no such line; 2 are there"),
        ('known = { path = "page 3, 1", length = "2 in" }', "there is no page 3, only 1"),
    ],
)
def test_pdf_whose_scale_is_not_proved_is_not_trusted(more: str, told: str) -> None:
    with pytest.raises(DrawingError, match=told):
        over(f'path = "page 1, 1"\n{more}', pdf_bytes(PAGE))


def test_pdf_printed_too_small_is_read_at_the_scale_that_the_message_says() -> None:
    small = b"0.97 0 0 0.97 0 0 cm " + PAGE
    with pytest.raises(DrawingError, match=r"97\.0%") as refused:
        over(f'path = "page 1, 1"\n{KNOWN}', pdf_bytes(small))
    scale = re.search(r'scale = "([^"]+)"', str(refused.value))
    assert scale is not None
    edge = over(f'path = "page 1, 1"\n{KNOWN}\nscale = "{scale[1]}"', pdf_bytes(small))
    assert edge.length_mm == pytest.approx(EDGE.length_mm, abs=1e-4)


def with_forms() -> bytes:
    """A page whose edge is drawn by a form in a form, each with a matrix, under layers."""
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(200 * 72 / 25.4, 270 * 72 / 25.4))
    groups = [
        pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=name)) for name in ("size 12", "size 14")
    ]
    pdf.Root.OCProperties = pikepdf.Dictionary(
        OCGs=pikepdf.Array(groups), D=pikepdf.Dictionary(OFF=pikepdf.Array([groups[1]]))
    )
    inner = pdf.make_stream(pdf_path(EDGE.segments))
    inner.Type, inner.Subtype, inner.BBox = pikepdf.Name.XObject, pikepdf.Name.Form, [0, 0, 9, 9]
    inner.Matrix = [0, 1, -1, 0, 0, 0]
    # The quarter turn is turned back here, and a shift is put right: (x, y) -> (y, -x) + (7, -3).
    outer = pdf.make_stream(b"q 0 -1 1 0 7 -3 cm /In Do Q")
    outer.Type, outer.Subtype, outer.BBox = pikepdf.Name.XObject, pikepdf.Name.Form, [0, 0, 9, 9]
    outer.Matrix = [1, 0, 0, 1, -7, 3]
    outer.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(In=inner))
    page.Resources = pikepdf.Dictionary(
        XObject=pikepdf.Dictionary(Out=outer), Properties=pikepdf.Dictionary(A=groups[0], B=groups[1])
    )
    page.Contents = pdf.make_stream(
        IN_MM + b"/OC /A BDC /Out Do EMC /OC /B BDC 0 0 m 90 0 l S EMC (a\\)(b) Tj) Tj " + SQUARE
        + b" BI /W 1 /H 1 /BPC 8 /CS /G ID \x00 EI 5 5 m 5 60 l S"
    )  # fmt: skip
    made = io.BytesIO()
    pdf.save(made)
    return made.getvalue()


def test_pdf_forms_matrices_and_layers_are_applied() -> None:
    data = with_forms()
    drawing = PdfDrawing(data, "a.pdf")
    assert is_edge(drawing.edge("page 1, layer size 12").curve)
    assert is_edge(drawing.edge("layer size 12").curve)
    # The second size is switched off: it is not listed, but can be named.
    assert [line.layer for line in drawing.all_lines()] == ["size 12", "", ""]
    assert drawing.edge("page 1, layer size 14").curve.length_mm == pytest.approx(90)


def paths_by_pdfium(data: bytes) -> list[list[tuple[float, float]]]:
    """Points of every path of the first page, in mm from its upper left corner, as pypdfium2 finds them."""
    page = pdfium.PdfDocument(data)[0]
    found = []

    def walk(objects, outer):
        for one in objects:
            matrix = one.get_matrix().multiply(outer) if outer else one.get_matrix()
            if one.type == raw.FPDF_PAGEOBJ_FORM:
                continue
            if one.type != raw.FPDF_PAGEOBJ_PATH:
                continue
            points = []
            for i in range(raw.FPDFPath_CountSegments(one.raw)):
                segment = raw.FPDFPath_GetPathSegment(one.raw, i)
                x, y = ctypes.c_float(), ctypes.c_float()
                raw.FPDFPathSegment_GetPoint(segment, x, y)
                points.append(matrix.on_point(x.value, y.value))
            found.append([(px * 25.4 / 72, (page.get_height() - py) * 25.4 / 72) for px, py in points])

    walk(page.get_objects(max_depth=1), None)
    return found


def test_pdf_paths_lie_where_pdfium_finds_them() -> None:
    content = (
        b"q 2 0.3 -0.4 1.5 40 60 cm 10 10 m 60 20 90 80 70 120 c 30 130 5 90 v 7 60 9 40 y h S Q "
        b"0.5 0 0 0.5 100 300 cm 10 20 100 50 re f 5 5 m 80 5 l 80 90 l b* 1 0 0 -1 0 0 cm 7 9 m 70 90 l S 1 1 m 2 2 l n"
    )
    data = pdf_bytes(content)
    mine = [line for line in PdfDrawing(data, "a.pdf").lines("page 1")]
    theirs = [points for points in paths_by_pdfium(data)]
    assert len(mine) == 4
    for line, points in zip(mine, theirs, strict=False):
        corners = [line.segments[0].start, *(segment.end for segment in line.segments)]
        # Single precision there: some 1e-5 of a page.
        assert max(min(math.dist(corner, point) for point in points) for corner in corners) < 0.003
        x0, y0, _, _ = Curve(line.segments).box
        assert (x0, y0) <= (min(p[0] for p in points) + 30, min(p[1] for p in points) + 30)


def test_pdf_crop_box_beyond_the_sheet_ends_with_it() -> None:
    with pikepdf.open(io.BytesIO(pdf_bytes(b"10 20 m 100 20 l S"))) as document:
        document.pages[0].obj["/CropBox"] = pikepdf.Array([-50, -50, 9000, 9000])
        kept = io.BytesIO()
        document.save(kept)
    seen = pdfium.PdfDocument(kept.getvalue())[0].get_height() * 25.4 / 72
    (line,) = PdfDrawing(kept.getvalue(), "a.pdf").lines("page 1")
    assert line.start == pytest.approx((10 * 25.4 / 72, seen - 20 * 25.4 / 72), abs=1e-4)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_pdf_page_that_is_turned_lies_as_it_is_seen(turn: int) -> None:
    data = pdf_bytes(IN_MM + b"20 30 m 80 30 l S", Rotate=turn)
    line = PdfDrawing(data, "a.pdf").lines("page 1, 1")[0]
    page = pdfium.PdfDocument(data)[0]
    size = (page.get_width() * 25.4 / 72, page.get_height() * 25.4 / 72)
    picture = page.render(scale=72 / 25.4 / 72 * 25.4 * 2).to_numpy()[..., 0]
    rows, columns = (picture < 128).nonzero()
    seen = ((columns.min() + 0.5, rows.min() + 0.5), (columns.max() + 0.5, rows.max() + 0.5))
    dots = picture.shape[1] / size[0]
    low, high = (min(line.start[0], line.end[0]), min(line.start[1], line.end[1])), (
        max(line.start[0], line.end[0]), max(line.start[1], line.end[1]),
    )  # fmt: skip
    assert math.dist(low, (seen[0][0] / dots, seen[0][1] / dots)) < 0.6
    assert math.dist(high, (seen[1][0] / dots, seen[1][1] / dots)) < 0.6


def tiled(columns: int, rows: int, overlap: float, margin: float) -> bytes:
    """The edge and a square cut into small pages that overlap; the square on a page of its own before."""
    width, height = 100.0, 120.0
    step_x, step_y = width - 2 * margin - overlap, height - 2 * margin - overlap
    contents = [IN_MM + SQUARE]
    for j in range(rows):
        for i in range(columns):
            x0, y0 = i * step_x, j * step_y
            window = (x0 + margin, y0 + margin, x0 + width - margin, y0 + height - margin)
            contents.append(IN_MM + b" ".join(_cut(window, x0, y0, height)))
    return pdf_bytes(*contents, size_mm=(width, height))


def _cut(window, x0, y0, height):
    """The parts of the edge inside a window, on its page."""
    x_low, y_low, x_high, y_high = window
    count, inside = 4000, []
    for n in range(count):
        x, y = EDGE.point_at(EDGE.length_mm * (n + 0.5) / count)
        if x_low <= x <= x_high and y_low <= y <= y_high:
            inside.append(n)
    runs: list[list[int]] = []
    for n in inside:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    for run in runs:
        part = EDGE.stretch(EDGE.length_mm * run[0] / count, EDGE.length_mm * (run[-1] + 1) / count)
        yield pdf_path(part.moved(-x0, -y0).segments, height)


@pytest.mark.parametrize(("overlap", "margin"), [(0.0, 0.0), (0.0, 8.0), (10.0, 8.0)])
def test_pdf_pages_laid_together_by_tiles_give_the_whole_edge(overlap: float, margin: float) -> None:
    data = tiled(2, 3, overlap, margin)
    drawing = PdfDrawing(data, "a.pdf")
    pieces = [line.name for n in range(2, 8) if not drawing._page(n).is_picture for line in drawing._page(n).paths]
    assert len(pieces) >= 3
    tiles = f'tiles = {{ columns = 2, rows = 3, overlap = "{overlap} mm", margin = "{margin} mm", first = 2 }}'
    names = ", ".join(f'"{name}"' for name in pieces)
    edge = over(f'path = [{names}]\n{tiles}\nknown = {{ path = "page 1, 1", length = "50 mm" }}', data)
    edge = edge if edge.start[1] < edge.end[1] else edge.reversed()
    lost = [s for s in range(0, int(EDGE.length_mm)) if edge.nearest(EDGE.point_at(s)).distance_mm > 0.02]
    if margin == 0:
        assert is_edge(edge, 0.25)
    # What lies in the outer margins is on no page.
    inside = [s for s in lost if margin < EDGE.point_at(s)[1] < 3 * (120 - 2 * margin - overlap)]
    assert len(inside) <= 1


def test_pdf_pages_laid_together_by_two_points_each_give_the_whole_edge() -> None:
    upper, lower = EDGE.stretch(0, 130), EDGE.stretch(130, EDGE.length_mm)
    # The second page is the lower part, turned by 5 degrees about (100, 100) and moved.
    cos, sin = math.cos(math.radians(5)), math.sin(math.radians(5))

    def put(point):
        x, y = point[0] - 100, point[1] - 100
        return (cos * x - sin * y + 90, sin * x + cos * y + 60)

    from closures.edges.affine import Affine

    onto = Affine(cos, sin, -sin, cos, 90 - cos * 100 + sin * 100, 60 - sin * 100 - cos * 100)
    turned = [one for segment in lower.segments for one in onto.segments(segment)]
    data = pdf_bytes(PAGE.replace(pdf_path(EDGE.segments), pdf_path(upper.segments)), IN_MM + pdf_path(turned))
    here, there = [put((60, 140)), put((150, 240))], [(60, 140), (150, 240)]

    def listed(points):
        return "[" + ", ".join(f'["{x!r} mm", "{y!r} mm"]' for x, y in points) + "]"

    joins = f"joins = [{{ page = 2, onto = 1, at = {listed(here)}, there = {listed(there)} }}]"
    edge = over(f'path = ["page 1, 1", "page 2, 1"]\n{KNOWN}\n{joins}', data)
    assert is_edge(edge, 1e-3)
    with pytest.raises(DrawingError, match="apart here and"):
        over(f'path = ["page 1, 1", "page 2, 1"]\n{KNOWN}\n{joins.replace(repr(here[0][0]), "70.0")}', data)


def picture_only() -> bytes:
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(300, 300))
    image = pdf.make_stream(bytes(3), Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image, Width=1, Height=1,
                            ColorSpace=pikepdf.Name.DeviceRGB, BitsPerComponent=8)  # fmt: skip
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    page.Contents = pdf.make_stream(b"q 300 0 0 300 0 0 cm /I Do Q")
    made = io.BytesIO()
    pdf.save(made)
    return made.getvalue()


def locked() -> bytes:
    made = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf_bytes(PAGE))) as pdf:
        pdf.save(made, encryption=pikepdf.Encryption(owner="granite", user="slate"))
    return made.getvalue()


def form_in_itself() -> bytes:
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(300, 300))
    form = pdf.make_stream(b"/F Do /F Do", Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Form, BBox=[0, 0, 9, 9])
    form.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))
    page.Contents = pdf.make_stream(b"/F Do")
    made = io.BytesIO()
    pdf.save(made)
    return made.getvalue()


def bomb() -> bytes:
    """A page of 300 MB that packs into a few hundred kB."""
    import zlib

    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(300, 300))
    packing = zlib.compressobj(9)
    packed = b"".join(packing.compress(b" " * 1_000_000) for _ in range(300)) + packing.flush()
    page.Contents = pikepdf.Stream(pdf, packed, Filter=pikepdf.Name.FlateDecode)
    made = io.BytesIO()
    pdf.save(made)
    return made.getvalue()


MOST_CALLS = 15_000_000
BAD = {
    "empty": (lambda: b"", "the file is empty"),
    "cut short": (lambda: pdf_bytes(PAGE)[:300], "this PDF ends before its end: it is cut off"),
    "garbage": (lambda: b"%PDF-1.7\n" + bytes(range(256)) * 20 + b"%%EOF", "not a PDF that can be read|has 0 pages"),
    "locked": (locked, "locked with a password"),
    "a picture": (picture_only, "only a picture|only pictures"),
    "a form in itself": (form_in_itself, "forms lie more than 24 deep"),
    "a thousand pages": (lambda: pdf_bytes(*[b"0 0 m 9 9 l S"] * 1000), "has 1000 pages, and at most 200"),
    "a bomb": (bomb, "the page holds more than any pattern page"),
    "millions of operators": (lambda: pdf_bytes(b"q Q\n" * 301_000), "the page holds more"),
    "nothing painted": (lambda: pdf_bytes(b"BT (words) Tj ET"), "there is no such line; 0|nothing in it is a line"),
}  # fmt: skip


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("make", "told"), list(BAD.values()), ids=list(BAD))
@pytest.mark.parametrize("command", ["check", "edges"])
def test_pdf_that_is_broken_locked_or_endless_is_refused_soon(make, told: str, command: str, tmp_path: Path) -> None:
    (tmp_path / "front.pdf").write_bytes(make())
    (tmp_path / "front.toml").write_text(plan('path = "page 1, 1"\nscale = "1/72 in"', "front.pdf"))
    results: list[Result] = []
    words = [command, str(tmp_path / ("front.toml" if command == "check" else "front.pdf"))]
    assert calls_of(lambda: results.append(RUN.invoke(app, words))) < MOST_CALLS
    result = results[0]
    assert result.exit_code == 2, result.output
    assert len(result.stderr.strip().splitlines()) == 1 and re.search(told, result.stderr), result.stderr


def test_pdf_chain_is_what_a_line_touches() -> None:
    lines = b"10 10 m 10 90 l S 10 90 m 20 150 l S 90 9 m 90 99 l S"
    drawing = PdfDrawing(pdf_bytes(IN_MM + lines), "a.pdf")
    assert [line.name for line in drawing.all_lines()] == ["page 1, chain 1", "page 1, 3"]
    assert drawing.edge("page 1, chain 2").curve.length_mm == pytest.approx(80 + math.hypot(10, 60))
    (line,) = drawing.lines("page 1, 1")[0].segments
    assert (line.start, line.end) == (pytest.approx((10, HEIGHT_MM - 10)), pytest.approx((10, HEIGHT_MM - 90)))
