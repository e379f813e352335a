"""Lines of SVG drawings against closed forms and a second reader, and drawings that are refused."""

import math
import sys
import unicodedata

import pytest
from work import calls_of

from closures.curve import parallel
from closures.edges.svg.lines import read_path, read_paths, read_point
from closures.edges.svg.tree import Tree
from closures.errors import DrawingError

MM = 'width="300mm" height="400mm" viewBox="0 0 300 400"'


def svg(body, size=MM, head=""):
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"{head}<svg {names} {size}>{body}</svg>".encode()


def line_of(body, name="e", size=MM):
    return read_paths(svg(body, size), [name], "front.svg")[name]


@pytest.mark.parametrize(
    ("size", "mm_each"),
    [
        ('width="300mm" height="400mm" viewBox="0 0 300 400"', 1.0),
        ('width="30cm" height="40cm" viewBox="0 0 600 800"', 0.5),
        ('width="10in" height="20in" viewBox="0 0 100 200"', 2.54),
        ('width="720pt" height="1440pt" viewBox="0 0 254 508"', 1.0),
        ('width="960" height="1920"', 25.4 / 96),
        ('width="960px" height="1920px" viewBox="0 0 960 1920"', 25.4 / 96),
        ('width="200mm" height="999mm" viewBox="0 0 100 200"', 2.0),
        ('width="3000mm" height="3000mm" viewBox="0 0 3000 3000"', 1.0),
    ],
    ids=["mm", "cm", "in", "pt", "bare", "px", "meet", "3 m"],
)
def test_root_units_and_view_box_give_the_scale(size, mm_each):
    curve = line_of('<path id="e" d="M10 20 L10 90"/>', size=size)
    assert curve.start == pytest.approx((10 * mm_each, 20 * mm_each), rel=1e-12)
    assert curve.length_mm == pytest.approx(70 * mm_each, rel=1e-12)


def test_page_that_stretches_the_drawing_one_way_is_refused_with_both_scales():
    line, fit = '<path id="e" d="M10 20 L10 90"/>', 'preserveAspectRatio="none"'
    for size, way in (
        ('width="300mm" height="440mm" viewBox="0 0 300 400"', "10.0% taller"),
        ('width="330mm" height="400mm" viewBox="0 0 300 400"', "10.0% wider"),
    ):
        assert line_of(line, size=size).length_mm == pytest.approx(70), "without the word it is not stretched"
        with pytest.raises(DrawingError, match=f"stretches what is drawn one way, {way}"):
            line_of(line, size=f"{size} {fit}")
    rounded = 'width="210mm" height="297mm" viewBox="0 0 794 1123"'
    assert line_of(line, size=f"{rounded} {fit}").length_mm == pytest.approx(70 * 297 / 1123)


def test_origin_of_the_drawing_stays_where_the_view_box_begins_elsewhere():
    curve = line_of('<path id="e" d="M-14 0 V200"/>', size='width="300mm" height="400mm" viewBox="-50 -40 300 400"')
    assert curve.start == pytest.approx((-14.0, 0.0), abs=1e-12)


@pytest.mark.parametrize(
    ("body", "start", "end"),
    [
        ('<line id="e" x1="1" y1="2" x2="3" y2="50"/>', (1, 2), (3, 50)),
        ('<line id="e" y2="1in"/>', (0, 0), (0, 96)),
        ('<polyline id="e" points="0,0 5,50 5 90"/>', (0, 0), (5, 90)),
        ('<path id="e" d="m1 2l3 4 5 60"/>', (1, 2), (9, 66)),
        (
            '<g transform="translate(10,20)"><g transform="scale(2)"><path id="e" d="M0 0V9"/></g></g>',
            (10, 20),
            (10, 38),
        ),
        ('<path id="e" style="transform: translate(10px, 5px)" d="M0 0V9"/>', (10, 5), (10, 14)),
        (
            '<style>.m{transform:rotate(90deg)}</style><g class="m"><path id="e" d="M0 0H9"/></g>',
            (0, 0),
            (0, 9),
        ),
        (
            '<defs><path id="d" d="M0 0V9"/></defs><use id="e" xlink:href="#d" x="3" transform="scale(2)"/>',
            (6, 0),
            (6, 18),
        ),
        (
            '<defs><path id="e" d="M0 0V9"/></defs><g transform="translate(4 4)"><use href="#e" y="1"/></g>',
            (4, 5),
            (4, 14),
        ),
        ('<g id="e"><path d="M0 0V9"/></g>', (0, 0), (0, 9)),
        ('<g x="7" cx="5"><line id="e" x2="30"/></g>', (0, 0), (30, 0)),
        ('<svg x="10" y="20"><line id="e" x2="30"/></svg>', (10, 20), (40, 20)),
        ('<path id="e" d="M0 0q0 10 20 20t20 20"/>', (0, 0), (40, 40)),
    ],
    ids=[
        "line",
        "units",
        "polyline",
        "relative",
        "nested",
        "style",
        "css",
        "use",
        "defs",
        "group",
        "inherited",
        "nested svg",
        "quadratic",
    ],
)
def test_shapes_and_transforms_are_read(body, start, end):
    curve = line_of(body)
    assert curve.start == pytest.approx(start, abs=1e-9)
    assert curve.end == pytest.approx(end, abs=1e-9)


def ellipse_points(rx, ry, a0, a1, matrix, count=60):
    a, b, c, d, e, f = matrix
    for i in range(count + 1):
        t = a0 + (a1 - a0) * i / count
        x, y = rx * math.cos(t), ry * math.sin(t)
        yield (a * x + c * y + e, b * x + d * y + f)


@pytest.mark.parametrize(
    "matrix",
    [(1, 0, 0.6, 1, 10, 20), (2, 0, 0, 0.7, 0, 0), (0.8, 0.3, -0.5, 1.1, 5, 5)],
    ids=["skew", "uneven", "both"],
)
def test_arc_under_skew_is_where_the_matrix_puts_the_ellipse(matrix):
    body = f'<g transform="matrix{matrix}"><path id="e" d="M100 0 A100 40 0 0 1 -100 0"/></g>'
    curve = line_of(body)
    for point in ellipse_points(100, 40, 0, math.pi, matrix):
        assert curve.nearest(point).distance_mm < 0.0001


@pytest.mark.parametrize("radius", ["1e-309", "-1e-309", "1e-200"])
def test_arc_whose_radius_is_none_beside_its_chord_is_a_line(radius):
    curve = line_of(f'<path id="e" d="M0 0 A{radius} 1e150 30 0 1 100 40"/>')
    assert curve.length_mm == pytest.approx(math.hypot(100, 40), abs=1e-9)


def test_circular_arc_stays_exact():
    curve = line_of('<g transform="rotate(30) scale(2)"><path id="e" d="M110 0A110 110 0 0 1 0 110"/></g>')
    assert curve.length_mm == pytest.approx(110 * math.pi, abs=1e-9)
    assert curve.tightest().radius_mm == pytest.approx(220.0, abs=1e-9)
    mirrored = line_of('<g transform="scale(-2 2)"><path id="e" d="M110 0A110 110 0 0 1 0 110"/></g>')
    assert mirrored.end == pytest.approx((0.0, 220.0), abs=1e-9)
    assert mirrored.curvature_at(9.0) == pytest.approx(-1 / 220)


def test_second_reader_agrees_on_a_path_of_all_commands():
    svgpathtools = pytest.importorskip("svgpathtools")
    d = "M10 20 h15 v30 l8,12 c0 30 20 35 22 60 s-10 40 -6 55 q5 30 -10 48 t-8 44 a60 45 20 0 1 -30 50"
    curve, other = line_of(f'<path id="e" d="{d}"/>'), svgpathtools.parse_path(d)
    assert curve.length_mm == pytest.approx(other.length(error=1e-9), abs=0.001)
    for i in range(1, 40):
        z = other.point(i / 40)
        assert curve.nearest((z.real, z.imag)).distance_mm < 0.0001


@pytest.mark.parametrize(
    ("body", "point"),
    [
        ('<circle id="p" cx="10" cy="20" r="3"/>', (10, 20)),
        ('<ellipse id="p" cx="10" cy="20" rx="3" ry="1"/>', (10, 20)),
        ('<rect id="p" x="10" y="20" width="6" height="2"/>', (13, 21)),
        ('<path id="p" d="M7 8L20 8"/>', (7, 8)),
        ('<line id="p" x1="7" y1="8" x2="9" y2="9"/>', (7, 8)),
        ('<g transform="scale(2)"><path id="p" d="M7 8L8 8L8 9z"/></g>', (15, 17)),
        ('<path id="p" d="M 20 10 l 10 10 -10 10 -10 -10 z"/>', (20, 20)),
        ('<path id="p" d="M 20 10 a 10 10 0 0 1 0 20 a 10 10 0 0 1 0 -20 z"/>', (20, 20)),
        ('<path id="p" d="M 20 10 v 20 M 10 20 h 20"/>', (20, 20)),
        ('<path id="p" d="M 0 15 l 6 5 -6 5"/>', (0, 20)),
        ('<polygon id="p" points="0,0 4,0 4,4 0,4"/>', (2, 2)),
    ],
    ids=[
        *("circle", "ellipse", "rect", "path", "line", "closed path", "diamond", "ring", "cross", "V notch", "polygon"),
    ],
)
def test_point_like_things_are_read(body, point):
    assert read_point(Tree(svg(body), "front.svg"), "p") == pytest.approx(point, abs=1e-9)


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (
            '<path id="p" d="M 60 60 L 90 105"/>',
            r"it is a line from x 60 mm \(2 3/8 in\), y 60 mm \(2 3/8 in\) to x 90 mm \(3 9/16 in\), y 105 mm",
        ),
        (
            '<path id="p" d="M 10 5 H 60 V 95 H 10 z"/>',
            r"it is 50 mm \(1 15/16 in\) wide and 90 mm \(3 9/16 in\) high, and no point",
        ),
    ],
    ids=["shoulder", "piece"],
)
def test_line_or_piece_in_place_of_a_point_is_refused_since_any_of_its_points_could_be_meant(body, told):
    with pytest.raises(DrawingError, match=told):
        read_point(Tree(svg(body), "front.svg"), "p")


OPEN = '<path id="e" d="M0 0V90"/>'


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (svg(OPEN, 'viewBox="0 0 300 400"'), r"it has no width.*true size, such as width="),
        (svg(OPEN, 'width="100%" height="100%" viewBox="0 0 1 1"'), 'its width is "100%"'),
        (svg(OPEN, 'width="30mm"'), "it has no height"),
        (svg(OPEN, 'width="0mm" height="3mm"'), "does not say how large"),
        (svg(OPEN, 'width="1e999mm" height="3mm"'), "does not say how large"),
        (svg(OPEN, 'width="3mm" height="3mm" viewBox="0 0 nan 4"'), "is not four numbers"),
        (svg(OPEN, 'width="3mm" height="3mm" viewBox="0 0 0 4"'), "is not four numbers"),
        (b"not a drawing", "not an SVG drawing"),
        (b"", "not an SVG drawing"),
        (svg(OPEN)[:-9], "not an SVG drawing"),
        (b"\xff\xfe\x00", "not an SVG drawing"),
        (b"<html></html>", "not an SVG drawing"),
        (svg("&b;", head='<!DOCTYPE s [<!ENTITY a "x"><!ENTITY b "&a;&a;&a;">]>'), "DOCTYPE declares text of its own"),
        (svg(OPEN, head='<?xml version="1.0" encoding="utf-16"?>'), "not an SVG drawing"),
        (b"<svg>" + b" " * 20_000_000, "20 MB, more than 20"),
        (svg("<g>" * 300 + "</g>" * 300), "deep in each other"),
    ],
    ids=[
        "no width", "percent", "no height", "zero", "endless", "nan box", "flat box", "text", "empty",
        "cut", "binary", "html", "entities", "encoding", "large", "deep",
    ],
)  # fmt: skip
def test_drawing_that_cannot_be_trusted_is_refused(data, text):
    with pytest.raises(DrawingError, match=text) as caught:
        read_paths(data, ["e"], "front.svg")
    assert str(caught.value).startswith("front.svg")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("body", "text"),
    [
        (OPEN + OPEN, "2 elements have the id"),
        ('<path id="e" d="M0 0V90M5 5V9"/>', "has 2 separate parts"),
        ('<path id="e" d="M0 0V90H9Z"/>', "is closed"),
        ('<path id="e" d="M0 0V90H9L0 0"/>', "is closed"),
        ('<rect id="e" width="9" height="9"/>', "is closed"),
        ('<circle id="e" r="9"/>', "is closed"),
        ('<polygon id="e" points="0,0 9,9 0,9"/>', "is closed"),
        ('<path id="e" d="M0 0L nan 9"/>', "not a number"),
        ('<path id="e" d="M0 0L 1e999 9"/>', "not finite"),
        ('<path id="e" d="M0 0L 9 9 9"/>', "L with 3 numbers"),
        ('<path id="e" d="M0 0L 9 9 #"/>', "not a number"),
        ('<path id="e" d="M0 0A 9 9 0 2 1 9 9"/>', "arc that is not whole"),
        ('<path id="e" d=""/>', "has no path data"),
        ('<path id="e"/>', "has no path data"),
        ('<path id="e" d="M5 5"/>', "no length"),
        ('<path id="e" d="M5 5L5 5"/>', "no length"),
        ('<line id="e"/>', "no length"),
        ('<line id="e" x2="50%"/>', "not a length that can be read"),
        ('<line id="e" x2="nan"/>', "not a length that can be read"),
        ('<polyline id="e" points="0,0 9"/>', "odd number"),
        ('<polyline id="e" points="0,0 9,x"/>', "not numbers"),
        ('<path id="e" d="M0 0L0 90L1 0"/>', "turns back on itself by 179°"),
        ('<path id="e" d="M0 0C0 200 0 -100 0 100"/>', "turns back on itself in a cusp"),
        ('<path id="e" d="M0 0C200 100 -100 100 100 0"/>', r"crosses itself at x 50 mm \(1 15/16 in\), y 30 mm"),
        ('<path id="e" style="display:none" d="M0 0V90"/>', "nothing is drawn here"),
        ('<g display="none"><path id="e" d="M0 0V90"/></g>', "nothing is drawn here"),
        ('<text id="e">words</text>', "this is a <text>, not a line"),
        ('<g id="e"><path id="a" d="M0 0V9"/><path id="b" d="M0 0V9"/></g>', "Name one of: a, b"),
        ('<defs><path id="e" d="M0 0V9"/></defs>', "definition that no <use>"),
        ('<defs><path id="e" d="M0 0V9"/></defs><use href="#e"/><use href="#e" x="9"/>', "that 2 <use>"),
        ('<use id="e" href="#f"/><use id="f" href="#e"/>', "leads back to itself"),
        ('<use id="e" href="#gone"/>', "nothing in the drawing is called so"),
        ('<g id="e"><g id="f"><use href="#e"/></g></g>', "leads back to itself"),
        ('<clipPath><path id="e" d="M0 0V9"/></clipPath>', "is not drawn"),
        ('<path id="e" transform="scale(0)" d="M0 0V9"/>', "transform leaves nothing"),
        (
            '<path id="e" transform="rotate(9)" style="transform-origin:50px 50px" d="M0 0V9"/>',
            "transform-origin",
        ),
        ("<style>g path{transform:scale(2)}</style>" + OPEN, "style rule 'g path'"),
        ('<path id="e" transform="turn(9)" d="M0 0V9"/>', 'transform="turn\\(9\\)" cannot be read'),
        ('<path id="e" transform="rotate(9 5)" d="M0 0V9"/>', "cannot be read"),
        ('<g transform="matrix(nan 0 0 1 0 0)"><path id="e" d="M0 0V9"/></g>', "cannot be read"),
        ('<path id="e" d="M0 0V1e7"/>', "beyond 100 m"),
        ('<svg viewBox="0 0 9 9"><path id="e" d="M0 0V9"/></svg>', "viewBox of its own"),
    ],
)
def test_line_that_is_no_edge_is_refused(body, text):
    with pytest.raises(DrawingError, match=text) as caught:
        line_of(body)
    assert str(caught.value).startswith("front.svg")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("held", ["NFC", "NFD"])
def test_accent_that_is_kept_as_a_sign_of_its_own_is_the_same_letter(held):
    """Unicode Standard Annex 15: both forms are one text, and which of them stands in a file is its program's matter."""
    given = {"NFC": "NFD", "NFD": "NFC"}[held]
    name, asked = (unicodedata.normalize(form, "devant cousu, côté") for form in (held, given))
    assert name != asked
    assert line_of(f'<path id="{name}" d="M10 20V120"/>', asked).start == (10, 20)


def test_unknown_id_names_the_place():
    with pytest.raises(DrawingError, match=r'front\.svg, id "over-egde": .*Nearest: over-edge\.'):
        line_of('<path id="over-edge" d="M0 0V90"/>', "over-egde")


@pytest.mark.parametrize("kind", ["path", "polyline"])
def test_line_of_too_many_segments_is_refused_quickly(kind):
    numbers = " ".join(f"{i % 2} {i}" for i in range(200_002))
    shape = f'<path id="e" d="M{numbers}"/>' if kind == "path" else f'<polyline id="e" points="{numbers}"/>'

    def read() -> None:
        with pytest.raises(DrawingError, match="more than 200000 segments"):
            line_of(shape)

    # Refused from the numbers alone, before a segment is made of each.
    assert calls_of(read) < 500_000


def test_a_large_drawing_is_read_for_its_one_line():
    def beside(lines):
        return "".join(f'<path id="n{i}" d="M0 {i}L9 {i}"/>' for i in range(lines)) + OPEN

    assert line_of(beside(20_000)).length_mm == pytest.approx(90.0)
    few, many = (calls_of(lambda n=n: line_of(beside(n))) for n in (1000, 4000))
    assert many < 4 * few * 1.3, (few, many)


def test_exported_curve_of_short_chords_is_read_smooth():
    points = " ".join(f"{220 * math.cos(i / 400):.3f},{220 * math.sin(i / 400):.3f}" for i in range(401))
    curve = line_of(f'<polyline id="e" points="{points}"/>')
    assert curve.length_mm == pytest.approx(220.0, abs=0.005)
    assert parallel(curve, 12.0).length_mm == pytest.approx(208.0, abs=0.05)
    assert parallel(curve, 12.0).point_at(104.0) == pytest.approx((208 * math.cos(0.5), 208 * math.sin(0.5)), abs=0.01)


def test_read_path_of_the_tree_is_the_same():
    tree = Tree(svg(OPEN), "front.svg")
    assert read_path(tree, "e").curve.segments == line_of(OPEN).segments


@pytest.mark.parametrize(
    "head",
    [
        "<!DOCTYPE svg>",
        '<?xml version="1.0"?>\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">',
    ],
    ids=["bare", "as older programs write it"],
)
def test_a_doctype_that_declares_nothing_is_passed_over(head):
    from closures.edges.svg.tree import Tree

    data = (
        f'{head}<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><path id="e" d="M0 0 L0 9"/></svg>'
    )
    assert Tree(data.encode(), "d.svg").by_id["e"]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"PK\x03\x04rest", "a packed or a word processor's file that is cut off"),
        (b"\x1f\x8b\x08rest", r"a packed SVG \(.svgz\)"),
        (b"%!PS-Adobe-3.0", "PostScript"),
        (b"\x00\x00\x00\x18ftypheic", r"a photo as a phone keeps it \(.heic, .avif\)"),
        (b"RIFF\x24\0\0\0WAVEfmt ", "this is a sound, a film or another file of that make, not a drawing"),
        (
            b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><image href="a.png"/></svg>',
            "it holds a picture, and no lines",
        ),
        (b"AC1032rest", "a DWG"),
        (b'# A shirt.\n[edge]\npath = "front"\n', "a text such as a plan"),
        (b'title = "Shirt"\n', "a text such as a plan"),
        (b"x,y\r\n0,0\r\n6,80\r\n", 'points = "measured.csv"'),
        (b"0;0\n6;80\n", 'points = "measured.csv"'),
        ("x\ty\r\n0\t0\r\n".encode("utf-16"), 'points = "measured.csv"'),
        (b"no drawing at all", "not an SVG drawing"),
    ],
    ids=[
        "zip",
        "gzip",
        "eps",
        "heic",
        "sound",
        "picture alone",
        "dwg",
        "plan",
        "title",
        "table",
        "semicolons",
        "UTF-16",
        "else",
    ],
)
def test_other_file_in_place_of_a_drawing_is_told_for_what_it_is(data: bytes, told: str) -> None:
    with pytest.raises(DrawingError, match=told):
        read_paths(data, ["front"], "front.svg")


def test_shape_that_nothing_moves_is_read_without_the_reader_of_drawings_and_is_the_same(monkeypatch) -> None:
    inner = (
        '<g id="g" stroke="black"><path id="a" d="M 12 20 c 30 0 40 50 80 90 l 5 60 a 20 30 15 0 1 40 40"/>'
        '<line id="b" x1="1cm" y1="3" x2="40" y2="70"/><polyline id="c" points="3,4 50,60 70,61"/></g>'
        '<circle id="d" cx="2in" cy="40" r="3"/><rect id="e" x="5" y="6" width="7" height="9" rx="1"/>'
    )
    data = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="7 5 600 400">{inner}</svg>'
    ).encode()

    def read() -> tuple[object, ...]:
        tree = Tree(data, "front.svg")
        return (*(read_path(tree, name) for name in "abc"), *(read_point(tree, name) for name in "de"))

    with monkeypatch.context() as without:
        without.setitem(sys.modules, "svgelements", None)
        quickly = read()
    monkeypatch.setattr(Tree, "transforms_of", lambda self, element, where="": None)
    assert read() == quickly


@pytest.mark.parametrize("left", [0.5, 0.9])
def test_drawing_that_is_cut_off_is_told_as_that(left: float) -> None:
    drawn = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm"><g><path id="e" d="M 0 0 V 50"/></g></svg>'
    )
    with pytest.raises(
        DrawingError,
        match=r"not an SVG drawing that is whole: it ends before its last tag, </svg>\. Save or export it anew: it may be cut off",
    ):
        Tree(drawn[: int(len(drawn) * left)], "front.svg")


LETTERED = '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm"><path id="front" d="M 0 0 V 20"/></svg>'


@pytest.mark.parametrize("told", ["UTF-8", "UTF-16", ""])
@pytest.mark.parametrize(
    ("begins", "letters"),
    [
        (b"\xff\xfe", "utf-16-le"),
        (b"\xfe\xff", "utf-16-be"),
        (b"\xef\xbb\xbf", "utf-8"),
        (b"\xff\xfe\x00\x00", "utf-32-le"),
        (b"\x00\x00\xfe\xff", "utf-32-be"),
    ],
)
def test_letters_that_a_file_begins_with_win_over_what_its_first_line_says(
    begins: bytes, letters: str, told: str
) -> None:
    """XML 1.0, appendix F: the mark at the beginning tells the letters."""
    line = f'<?xml version="1.0" encoding="{told}"?>' if told else ""
    tree = Tree(begins + (line + LETTERED).encode(letters), "front.svg")
    assert tree.element("front").attrib["d"] == "M 0 0 V 20"


@pytest.mark.parametrize("letters", ["utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"])
def test_letters_of_several_bytes_without_a_mark_are_known_by_the_first(letters: str) -> None:
    line = '<?xml version="1.0" encoding="UTF-8"?>'
    assert Tree((line + LETTERED).encode(letters), "front.svg").element("front") is not None


@pytest.mark.parametrize(
    ("begins", "letters"), [(b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"), (b"", "utf-32-le")]
)
def test_text_of_its_own_is_refused_in_whichever_letters_a_drawing_declares_it(begins: bytes, letters: str) -> None:
    line = '<?xml version="1.0" encoding="UTF-8"?><!DOCTYPE s [<!ENTITY a "x">]>'
    with pytest.raises(DrawingError, match="DOCTYPE declares text of its own"):
        Tree(begins + (line + LETTERED).encode(letters), "front.svg")
