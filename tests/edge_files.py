"""One edge written as each kind of file, for the tests of every way in. All of it is invented."""

from __future__ import annotations

import io
from collections.abc import Sequence

from closures.curve import Cubic, Curve, Segment
from closures.edges.reading import Edges, read_edges
from closures.plan.plan import Plan

WIDTH_MM, HEIGHT_MM = 200.0, 270.0

EDGE = Curve(
    (
        Cubic((90.0, 20.0), (96.0, 80.0), (128.0, 110.0), (132.0, 150.0)),
        Cubic((132.0, 150.0), (135.0, 180.0), (124.0, 220.0), (118.0, 250.0)),
    )
)
"""A front edge with a bust, some 235 mm long, in a frame of 200 by 270 mm."""

BACK = ((58.0, 255.0), (50.0, 130.0), (60.0, 16.0))
"""The rest of the piece: straight lines from the last end of the edge round to its first."""

PLAN = """
title = "Thicket jacket"
{drawing}
[edge]
{edge}
[garment]
pieces = "separate"

[band]
width = "24 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "14 mm"
last = "20 mm"
count = 5
"""


def plan(edge: str, drawing: str = "") -> str:
    """A plan whose edge is told as given."""
    return PLAN.format(edge=edge, drawing=f'drawing = "{drawing}"' if drawing else "")


def edges_of(plan: Plan, drawing: bytes | None = None) -> Edges:
    """Read the edges of a plan whose drawing holds the bytes."""
    return read_edges(plan, None if drawing is None else {plan.drawing or "": drawing})


def path_data(segments: Sequence[Segment], *, shift: tuple[float, float] = (0.0, 0.0), scale: float = 1.0) -> str:
    """Cubics as the data of an SVG path."""

    def put(point: tuple[float, float]) -> str:
        return f"{(point[0] + shift[0]) * scale!r} {(point[1] + shift[1]) * scale!r}"

    words = [f"M {put(segments[0].start)}"]
    for one in segments:
        assert isinstance(one, Cubic)
        words.append(f"C {put(one.p1)} {put(one.p2)} {put(one.p3)}")
    return " ".join(words)


def closed_path_data() -> str:
    """The whole piece as one closed path that begins at the last end of the edge."""
    back = " ".join(f"L {x} {y}" for x, y in BACK)
    along = path_data(EDGE.segments).removeprefix("M 90.0 20.0 ")
    return f"M 118 250 {back} L 90 20 {along} Z"


def svg(inner: str, size: str = 'width="200mm" height="270mm" viewBox="0 0 200 270"', more: str = "") -> bytes:
    """An SVG drawing."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" {size}>{more}{inner}</svg>'
    ).encode()


def dxf_bytes(document: object) -> bytes:
    """A document of ezdxf as the bytes of its file."""
    stream = io.StringIO()
    document.write(stream)  # type: ignore[attr-defined]
    return stream.getvalue().encode("utf-8")


def pdf_bytes(*contents: bytes, size_mm: tuple[float, float] = (WIDTH_MM, HEIGHT_MM), **keys: object) -> bytes:
    """A PDF with a page for each content."""
    import pikepdf

    pdf = pikepdf.new()
    for content in contents:
        page = pdf.add_blank_page(page_size=tuple(side * 72 / 25.4 for side in size_mm))
        page.Contents = pdf.make_stream(content)
        for key, value in keys.items():
            page.obj[f"/{key}"] = value
    made = io.BytesIO()
    pdf.save(made)
    return made.getvalue()


def pdf_path(segments: Sequence[Segment], height_mm: float = HEIGHT_MM) -> bytes:
    """Cubics as operators of a page whose matrix makes a unit a mm, y up."""
    words = [f"{segments[0].start[0]!r} {height_mm - segments[0].start[1]!r} m"]
    for one in segments:
        assert isinstance(one, Cubic)
        words.append(" ".join(f"{x!r} {height_mm - y!r}" for x, y in (one.p1, one.p2, one.p3)) + " c")
    return (" ".join(words) + " S").encode()


IN_MM = f"{72 / 25.4!r} 0 0 {72 / 25.4!r} 0 0 cm ".encode()
