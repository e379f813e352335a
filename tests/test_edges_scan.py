"""An edge followed on pictures that are made here: a clean scan, a noisy one, a photo at a slant; and bad pictures."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from edge_files import EDGE, HEIGHT_MM, WIDTH_MM, plan
from typer.testing import CliRunner

from closures.app.command import app
from closures.curve import Curve
from closures.edges.scan.markers import SIDE_MM, black_fields, find_sheet, laid, markers_on
from closures.edges.scan.trace import trace_edge
from closures.errors import DrawingError
from closures.plan.drawing import TraceWish

cv2 = pytest.importorskip("cv2", reason="the scan extra is not installed")
np = pytest.importorskip("numpy", reason="the scan extra is not installed")

RUN = CliRunner()
DPI = 200
DOTS = DPI / 25.4


def to_pixels(points, dots: float = DOTS):
    """Places in mm as pixels of the picture: the first pixel's middle is half a pixel from the corner."""
    return [(x * dots - 0.5, y * dots - 0.5) for x, y in points]


def drawn(line_mm: float = 0.7, dots: float = DOTS, noise: float = 0.0, more=()) -> np.ndarray:
    """A scan of the edge as a pencil line on paper, drawn three times as fine and then made smaller."""
    fine = 3
    picture = np.full((round(HEIGHT_MM * dots) * fine, round(WIDTH_MM * dots) * fine), 245, np.uint8)

    def draw(points, width, grey):
        # A place x of the small picture's corner frame is 3 x in the fine one; pixel middles are half off.
        places = np.array([[(x * dots * fine - 0.5) * 16, (y * dots * fine - 0.5) * 16] for x, y in points])
        cv2.polylines(
            picture, [np.rint(places).astype(np.int32)], False, grey, round(width * dots * fine), cv2.LINE_AA, 4
        )

    draw(EDGE.approximate_polyline(0.005), line_mm, 60)
    for points in more:
        draw(points, 0.5, 90)
    small = cv2.resize(picture, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA)
    if noise:
        rough = np.random.default_rng(4).normal(0, noise, small.shape)
        small = np.clip(small + rough, 0, 255).astype(np.uint8)
    return small


def png(picture) -> bytes:
    return bytes(cv2.imencode(".png", picture)[1])


def clicks(*shares: float, off: float = 0.0):
    """Places on the edge at shares of its length, clicked so many mm beside it."""
    return tuple(to_pixels([(x + off, y) for x, y in (EDGE.point_at(EDGE.length_mm * s) for s in shares)]))


def furthest(curve: Curve, other: Curve = EDGE) -> float:
    return max(other.nearest(curve.point_at(curve.length_mm * i / 200)).distance_mm for i in range(201))


@pytest.mark.parametrize(
    ("picture", "through", "within"),
    [
        (drawn(), clicks(0, 0.4, 1), 0.1),
        (drawn(line_mm=1.2), clicks(0, 1), 0.1),
        (drawn(noise=12), clicks(0, 0.3, 0.7, 1), 0.15),
        (drawn(), clicks(0, 0.4, 1, off=1.0), 0.3),
        (drawn(more=[[(20, 60), (180, 90)], [(40, 20), (40, 250)], [(100, 10), (106, 60)]]), clicks(0, 0.5, 1), 0.3),
    ],
    ids=["clean", "a broad line", "noisy", "clicked beside it", "other lines near and across"],
)
def test_scan_is_followed_to_within_what_it_promises(picture, through, within: float) -> None:
    traced = trace_edge(png(picture), "scan.png", TraceWish(through, dpi=DPI))
    assert furthest(traced.curve) < within <= 0.3
    assert furthest(EDGE.stretch(1.5, EDGE.length_mm - 1.5), traced.curve) < within
    assert traced.curve.length_mm == pytest.approx(EDGE.length_mm, abs=1.0)
    assert any("±0.3 mm" in note and "draft" in note for note in traced.notes)
    # The places found are read as any points are: a few spans, no closer than a line is even.
    assert any("furthest at point" in note for note in traced.notes) and len(traced.points) > 200
    assert len(traced.curve.segments) <= 6 and traced.curve.tightest().radius_mm > 75


def test_scan_of_a_dark_piece_is_followed_along_its_border() -> None:
    picture = np.full((round(HEIGHT_MM * DOTS), round(WIDTH_MM * DOTS)), 240, np.uint8)
    outline = [*to_pixels(EDGE.approximate_polyline(0.005)), *to_pixels([(30, 250), (30, 20)])]
    cv2.fillPoly(picture, [np.rint(np.array(outline) * 16).astype(np.int32)], 50, cv2.LINE_AA, 4)
    wish = TraceWish(clicks(0.02, 0.5, 0.98), dpi=DPI, follow="border")
    assert furthest(trace_edge(png(picture), "scan.png", wish).curve) < 0.3


def photo(lean: float = 0.00025):
    """A marker sheet with a line across it, seen at a slant: the picture, and mm to its pixels."""
    dots = 8
    sheet = np.full((297 * dots, 210 * dots), 250, np.uint8)
    for marker in markers_on("a4"):
        for i, j in black_fields(marker.number):
            side = SIDE_MM / 6
            x, y = (marker.x_mm + i * side) * dots, (marker.y_mm + j * side) * dots
            sheet[round(y) : round(y + side * dots), round(x) : round(x + side * dots)] = 15
    inner = EDGE.stretch(20, 215)
    places = np.array(
        [[(x * dots - 0.5) * 16, (y * dots - 0.5) * 16] for x, y in inner.moved(-20, 10).approximate_polyline(0.005)]
    )
    cv2.polylines(sheet, [np.rint(places).astype(np.int32)], False, 40, 8, cv2.LINE_AA, 4)
    slant = np.array([[0.86, 0.12, 120], [-0.05, 0.9, 150], [lean / 8, lean / 5, 1.0]])
    seen = cv2.warpPerspective(sheet, slant, (2100, 2600), flags=cv2.INTER_AREA, borderValue=120)
    onto = slant @ np.diag([dots, dots, 1]) + 0.0
    shift = np.array([[1, 0, -0.5 / dots], [0, 1, -0.5 / dots], [0, 0, 1]])
    return seen, onto @ shift, inner.moved(-20, 10)


def test_photo_is_straightened_by_the_markers_and_followed() -> None:
    seen, onto, true = photo()
    through = laid(np.array([true.point_at(s) for s in (0.0, 90.0, true.length_mm)]), onto)
    wish = TraceWish(tuple((float(x), float(y)) for x, y in through), sheet="a4")
    traced = trace_edge(png(seen), "photo.png", wish)
    assert furthest(traced.curve, true) < 0.3
    assert any("±1 mm" in note for note in traced.notes)


def test_markers_of_the_sheet_are_all_found_where_they_are() -> None:
    seen, onto, _ = photo()
    found = find_sheet(seen, "a4", "photo.png")
    assert found.seen == len(markers_on("a4")) == 20
    corners = np.array([corner for marker in markers_on("a4") for corner in marker.corners])
    back = laid(laid(corners, onto), found.onto)
    assert float(np.abs(back - corners).max()) < 0.1


def test_marker_sheet_that_is_printed_is_the_one_that_is_looked_for(tmp_path: Path) -> None:
    import pypdfium2

    file = tmp_path / "sheet.pdf"
    result = RUN.invoke(app, ["marker-sheet", "--out", str(file)])
    assert result.exit_code == 0, result.stderr
    page = pypdfium2.PdfDocument(file)[0]
    assert (page.get_width(), page.get_height()) == (
        pytest.approx(210 * 72 / 25.4, abs=0.01),
        pytest.approx(297 * 72 / 25.4, abs=0.01),
    )
    picture = page.render(scale=2).to_numpy()
    found = find_sheet(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), "a4", "sheet")
    assert found.seen == 20 and found.off_mm < 0.1
    # A page unit is 1/72 in, and two pixels each.
    assert found.onto[0, 0] / found.onto[2, 2] == pytest.approx(25.4 / 144, rel=1e-3)


def written(tmp_path: Path, data: bytes, trace: str, name: str = "scan.png") -> Path:
    (tmp_path / name).write_bytes(data)
    (tmp_path / "plan.toml").write_text(plan(f"trace = {trace}", name))
    return tmp_path / "plan.toml"


def told(through) -> str:
    return "[" + ", ".join(f"[{x!r}, {y!r}]" for x, y in through) + "]"


def test_scan_placed_writes_the_edge_over_the_picture_and_says_how_far_to_trust_it(tmp_path: Path) -> None:
    file = written(tmp_path, png(drawn()), f"{{ through = {told(clicks(0, 0.5, 1))}, dpi = {DPI} }}")
    result = RUN.invoke(app, ["place", str(file), "--json"])
    assert result.exit_code == 0, result.stderr
    report = json.loads(result.stdout)
    assert any("draft" in note for note in report["notes"])
    shown = cv2.imread(str(tmp_path / "plan" / "traced.png"))
    scale = shown.shape[1] / drawn().shape[1]
    purple = (shown[..., 2] > 150) & (shown[..., 0] > 150) & (shown[..., 1] < 120)
    green = (shown[..., 1] > 120) & (shown[..., 0] < 80) & (shown[..., 2] < 80)
    for s in (33, 123, 203):
        ((x, y),) = to_pixels([EDGE.point_at(s)])
        assert purple[round(y * scale), round(x * scale)]
    # The places found lie on the line, one of six of them.
    ys, xs = np.nonzero(green)
    assert len(ys) > 200
    assert (
        max(
            EDGE.nearest(((x + 0.5) / scale / DOTS, (y + 0.5) / scale / DOTS)).distance_mm
            for x, y in zip(xs, ys, strict=True)
        )
        < 1
    )
    assert "draft" in (tmp_path / "plan" / "report.md").read_text()


SMALL = drawn(dots=3.0)
BAD = {
    "no picture": (b"\x89PNG\r\n\x1a\n" + bytes(40), "neither a PNG|cannot be read|more than"),
    "cut short": (png(SMALL)[:60], "cannot be read"),
    "a huge one": (
        png(SMALL)[:16] + b"\x00\x0f\x00\x00" * 2 + png(SMALL)[24:],
        "983040 by 983040 pixels, more than 52 million",
    ),
    "blank": (png(np.full_like(SMALL, 240)), "no edge is seen"),
    "not a picture": (b"<svg/>", "neither a PNG nor a JPEG"),
    "empty": (b"", "neither a PNG nor a JPEG"),
}


@pytest.mark.parametrize(("data", "message"), list(BAD.values()), ids=list(BAD))
def test_picture_that_is_bad_is_refused(data: bytes, message: str, tmp_path: Path) -> None:
    file = written(tmp_path, data, "{ through = [[250, 80], [330, 700]], dpi = 76 }")
    result = RUN.invoke(app, ["check", str(file)])
    assert result.exit_code == 2, result.output
    assert len(result.stderr.strip().splitlines()) == 1 and re.search(message, result.stderr), result.stderr


@pytest.mark.parametrize(
    ("trace", "message"),
    [
        ("{ through = [[250, 80], [330, 700]] }", "exactly one of dpi, sheet"),
        ("{ through = [[250, 80]], dpi = 76 }", "does not tell where the edge runs"),
        ("{ through = [[250, 80], [9000, 700]], dpi = 76 }", "point 2 of trace lies outside the picture"),
        ("{ through = [[250, 80], [251, 81]], dpi = 76 }", "points 1 and 2 of trace are the same"),
        ("{ through = [[250, 80], [330, 700]], dpi = 0 }", "0 is not a number from 50 to 4800"),
        ('{ through = [[250, 80], [330, 700]], sheet = "a4" }', "0 markers of the sheet are seen"),
        ('{ through = [[250, 80], [330, 700]], dpi = 76, follow = "light" }', "is not one of line, border"),
    ],
)
def test_trace_that_cannot_be_followed_is_refused(trace: str, message: str, tmp_path: Path) -> None:
    file = written(tmp_path, png(SMALL), trace)
    result = RUN.invoke(app, ["check", str(file)])
    assert result.exit_code == 2 and re.search(message, result.stderr), result.stderr


def test_picture_named_as_a_drawing_is_told_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "scan.png").write_bytes(png(SMALL))
    (tmp_path / "plan.toml").write_text(plan('path = "edge"', "scan.png"))
    for arguments in (["check", str(tmp_path / "plan.toml")], ["edges", str(tmp_path / "scan.png")]):
        result = RUN.invoke(app, arguments)
        assert result.exit_code == 2 and "trace = " in result.stderr


# How each begins: TIFF 6.0, section 2 (both orders); RIFF of WebP; GIF89a, section 17; BMP's file header, with its four
# reserved bytes; the ISO base media file format's box, in which phones keep pictures.
@pytest.mark.parametrize(
    "begins",
    [b"II*\0", b"MM\0*", b"RIFF\x24\0\0\0WEBP", b"GIF89a", b"BM\x36\x10\0\0\0\0\0\0", b"\0\0\0\x18ftypheic"],
)
def test_picture_that_cannot_be_followed_is_to_be_saved_as_one_that_can(begins: bytes, tmp_path: Path) -> None:
    (tmp_path / "scan.x").write_bytes(begins + bytes(40))
    (tmp_path / "plan.toml").write_text(plan('path = "edge"', "scan.x"))
    for arguments in (["check", str(tmp_path / "plan.toml")], ["edges", str(tmp_path / "scan.x")]):
        result = RUN.invoke(app, arguments)
        assert result.exit_code == 2 and "Save it as PNG or JPEG" in result.stderr, result.stderr


def test_scan_package_that_is_missing_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cv2", None)
    with pytest.raises(DrawingError, match=r"package that is not installed.*\.\[scan\]"):
        trace_edge(b"\x89PNG", "scan.png", TraceWish(((0, 0), (9, 9)), dpi=300))


def test_scan_of_a_jpeg_is_read_by_its_own_size() -> None:
    jpeg = bytes(cv2.imencode(".jpg", drawn(), [cv2.IMWRITE_JPEG_QUALITY, 92])[1])
    traced = trace_edge(jpeg, "scan.jpg", TraceWish(clicks(0, 0.5, 1), dpi=DPI))
    assert furthest(traced.curve) < 0.15
    assert math.dist(traced.curve.start, EDGE.start) < 1.0


@pytest.mark.in_turn(3)
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the kernel tells no memory of a process here")
@pytest.mark.parametrize("follow", ["line", "border"])
def test_largest_picture_is_read_in_few_bytes(follow: str, tmp_path: Path) -> None:
    """Of 7,200 by 7,200 pixels, which stands for a scan of A4 at 600 dpi with room to spare: A4 has 4,961 by 7,016."""
    side = 7200
    picture = np.full((side, side, 3), 250, np.uint8)
    if follow == "border":
        picture[:, : side // 2] = 60
    cv2.line(picture, (side // 2, 0), (side // 2, side), (20, 20, 20), 8)
    cv2.imwrite(str(tmp_path / "scan.png"), picture)
    code = (
        "import sys\n"
        "from closures.edges.scan.trace import trace_edge\n"
        "from closures.plan.drawing import TraceWish\n"
        f"wish = TraceWish((({side / 2}, 100), ({side / 2 + 9}, {side - 100})), dpi=600, follow={follow!r})\n"
        "traced = trace_edge(open(sys.argv[1], 'rb').read(), 'scan.png', wish)\n"
        # What a process counts of itself begins with what the one that started it held; the kernel's own figure does not.
        "most = next(line for line in open('/proc/self/status') if line.startswith('VmHWM'))\n"
        "print(traced.curve.length_mm, int(most.split()[1]) / 1000)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "scan.png")],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    length, megabytes = map(float, done.stdout.split())
    assert length == pytest.approx((side - 200) / 600 * 25.4, abs=0.5)
    assert megabytes < 500
