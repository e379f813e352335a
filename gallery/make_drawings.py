"""Make the drawings of the starting plans that are not drawn by hand: a DXF piece and a PDF pattern.

Run it from anywhere::

    python gallery/make_drawings.py
"""

from __future__ import annotations

import io
import sys
from itertools import pairwise
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent / "templates"
sys.path.insert(0, str(HERE.parent))

from closures.curve import Cubic, Curve, Line, Segment
from closures.drawing.ink.numbers import number
from closures.drawing.write.dxf import DRILL_HOLES, GRAIN, NOTCHES, OUTLINE, SEW_LINE, dxf_of, line, polyline, spot

STEP_MM = 3.0
"""Programs for patterns write curves as chords of about this length."""


def vest_front() -> Curve:
    """The finished front of a waistcoat as one closed outline, neck corner first."""
    outline: list[Segment] = [
        Cubic((210.0, 190.0), (240.0, 270.0), (262.0, 330.0), (262.0, 400.0)),
        Cubic((262.0, 400.0), (262.0, 450.0), (256.0, 500.0), (244.0, 548.0)),
        Line((244.0, 548.0), (214.0, 600.0)),
        Line((214.0, 600.0), (30.0, 540.0)),
        Cubic((30.0, 540.0), (34.0, 460.0), (34.0, 400.0), (24.0, 300.0)),
        Cubic((24.0, 300.0), (66.0, 270.0), (92.0, 200.0), (80.0, 60.0)),
        Line((80.0, 60.0), (160.0, 30.0)),
        Cubic((160.0, 30.0), (160.0, 110.0), (168.0, 164.0), (210.0, 190.0)),
    ]
    return Curve(tuple(outline))


def chords(curve: Curve) -> list[tuple[float, float]]:
    """Points along a closed curve: its corners, and every few mm on what is bent between them."""
    points = []
    for segment in curve.segments:
        count = 1 if isinstance(segment, Line) else max(1, round(segment.length_mm / STEP_MM))
        points += [segment.point(segment.at_length(segment.length_mm * i / count)) for i in range(count)]
    return points


def dxf_piece() -> bytes:
    """The waistcoat front on the layers by which patterns are exchanged."""
    sewn = vest_front()
    front = Curve(sewn.segments[:2])
    cut = [(x + dx * 10.0, y + dy * 10.0) for (x, y), (dx, dy) in outwards(chords(sewn))]
    notch = front.segments[0].end
    entities = [
        *polyline(OUTLINE, cut, is_closed=True),
        *polyline(SEW_LINE, chords(sewn), is_closed=True),
        *line(NOTCHES, notch, (notch[0] + 10.0, notch[1])),
        *line(GRAIN, (130.0, 200.0), (130.0, 480.0)),
        *spot(DRILL_HOLES, (120.0, 430.0)),
    ]
    return dxf_of("FRONT", entities)


def outwards(points: list[tuple[float, float]]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Each point of a ring, with the way from it to the ring a millimetre outside, mitred at corners."""
    turned = []
    for before, at, after in zip([points[-1], *points], points, [*points[1:], points[0]], strict=False):
        (ax, ay), (bx, by) = _normal(before, at), _normal(at, after)
        share = 1 + ax * bx + ay * by
        turned.append((at, ((ax + bx) / share, (ay + by) / share)))
    return turned


def _normal(start: tuple[float, float], end: tuple[float, float]) -> tuple[float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = (dx * dx + dy * dy) ** 0.5
    return (dy / size, -dx / size)


A4_MM = (210.0, 297.0)
MARGIN_MM = 10.0
OVERLAP_MM = 10.0
POINTS_IN_MM = 72 / 25.4


def tunic_edge() -> Curve:
    """The front edge of a tunic, longer than a page, in the frame of the first page of the pattern."""
    return Curve(
        (
            Cubic((120.0, 34.0), (128.0, 120.0), (168.0, 160.0), (170.0, 250.0)),
            Cubic((170.0, 250.0), (172.0, 340.0), (150.0, 420.0), (142.0, 520.0)),
        )
    )


def pdf_pattern() -> bytes:
    """A pattern on three A4 pages: a test square, then the piece cut into an upper and a lower page."""
    import pikepdf

    printed = A4_MM[1] - 2 * MARGIN_MM
    edge, lines = tunic_edge(), [Curve((Line((60.0, 60.0), (60.0, 500.0)),))]
    pages = [b"0.5 w " + _drawn(Curve(_square(80.0, 60.0, 50.0)), 0.0) + b"\n"]
    for nth in range(2):
        shift = nth * (printed - OVERLAP_MM)
        top, bottom = MARGIN_MM + shift, MARGIN_MM + shift + printed
        parts = [part for curve in (edge, *lines) for part in _between(curve, top, bottom)]
        pages.append(b"0.5 w " + b"\n".join(_drawn(part, shift) for part in parts) + b"\n")
    pdf = pikepdf.new()
    for content in pages:
        page = pdf.add_blank_page(page_size=tuple(side * POINTS_IN_MM for side in A4_MM))
        page.Contents = pdf.make_stream(content)
    made = io.BytesIO()
    pdf.save(made, deterministic_id=True)
    return made.getvalue()


def _square(x: float, y: float, side: float) -> tuple[Segment, ...]:
    corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)]
    return tuple(Line(a, b) for a, b in pairwise(corners))


def _between(curve: Curve, top: float, bottom: float) -> list[Curve]:
    return [curve.stretch(low, high) for low, high in curve.level_stretches(top, bottom) if high - low > 1e-6]


def _drawn(curve: Curve, shift: float) -> bytes:
    """A curve as PDF writes it, in points from the lower left corner."""
    signs = {"M": "m", "L": "l", "C": "c"}
    words = []
    for name, *values in curve.path():
        numbers = [
            float(value) * POINTS_IN_MM if i % 2 == 0 else (A4_MM[1] - float(value) + shift) * POINTS_IN_MM
            for i, value in enumerate(values)
        ]
        words.append(" ".join([*map(number, numbers), signs[str(name)]]))
    return " ".join([*words, "S"]).encode("ascii")


def main() -> None:
    """Write the drawings."""
    (HERE / "from-pdf").mkdir(exist_ok=True)
    (HERE / "from-pdf" / "pattern.pdf").write_bytes(pdf_pattern())
    (HERE / "from-dxf" / "front.dxf").write_bytes(dxf_piece())


if __name__ == "__main__":
    main()
