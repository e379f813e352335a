"""The pages of a finished PDF, read as a stranger would: what is inked where, in mm from the top left corner.

The file is taken apart by pikepdf, its content by the grammar of ISO 32000-1, 7.2 and 8: nothing here knows how the
pages were made. Curves become chords; letters stay words at a place.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from closures.frozen import frozen
from closures.verifying.measured import Point, chords

_MM = 25.4 / 72.0
_ROUND_MM = 2e-3
"""How far a disc may be from round: its figures are written to four places."""
_ROUND_SHARE = 0.05
"""A page that is stretched for a printer shows its discs so much wider than high at most."""
_TOKEN = re.compile(rb"<<|>>|<[0-9A-Fa-f\s]*>|[\[\]]|/[^\s<>\[\]/]*|[^\s<>\[\]/]+")
_CAPITALS = 0.66
"""How high capitals and figures are, as a share of the letters' size; near enough to say which words are meant."""
_CLIP_SAMPLES = 40
_Matrix = tuple[float, float, float, float, float, float]
_Font = tuple[dict[int, str], dict[int, float]]
"""The letter of every code, and how far it advances at a size of 1."""


@frozen
class Disc:
    """Something round: its middle, its radius, whether it is filled with ink, and what a listener is told."""

    at: Point
    radius_mm: float
    is_inked: bool
    told: str


@frozen
class Stroke:
    """A line that is drawn.

    Attributes:
        points: of it, curves as chords.
        width_mm, is_dashed, is_closed: how it is drawn.
        layer: the name of its layer, empty where it has none.
        shows_at: a place at which it lies within all borders.
    """

    points: tuple[Point, ...]
    width_mm: float
    is_dashed: bool
    is_closed: bool
    layer: str
    shows_at: Point

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return (min(xs), min(ys), max(xs), max(ys))


@frozen
class Lettered:
    """Words on a page.

    Attributes:
        at: where they begin.
        text: what they say.
        corners: round their capitals; where they begin, for words that are drawn as outlines.
        height_mm: of their letters, 0 for outlines.
        stroke: the line that was drawn between the words before and these, if there was one.
        layer: the name of their layer, empty where they have none.
    """

    at: Point
    text: str
    corners: tuple[Point, ...]
    height_mm: float
    stroke: Stroke | None
    layer: str


@dataclass(slots=True)
class PageRead:
    """What one page shows.

    Attributes:
        size_mm: width and height of the paper.
        discs, strokes, words: what is on it, in the order of the file.
    """

    size_mm: Point
    discs: list[Disc] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    words: list[Lettered] = field(default_factory=list)


def read_pages(pdf: bytes) -> list[PageRead]:
    """Read the pages of a file.

    Raises:
        ValueError: it cannot be read.
    """
    import pikepdf

    # From bytes that are here already: nothing is opened in the file system.
    from_bytes = pikepdf.Pdf.open
    try:
        with from_bytes(io.BytesIO(pdf)) as opened:
            told = _told_by_page(opened)
            fonts: dict[Any, _Font] = {}
            return [_read_page(page, told, fonts) for page in opened.pages]
    except pikepdf.PdfError as error:
        raise ValueError(f"it is no PDF that can be read ({error})") from None


def _read_page(page: Any, told: dict[int, dict[int, str]], fonts: dict[Any, _Font]) -> PageRead:
    if page.obj.get("/Rotate", 0) or page.obj.get("/CropBox", page.MediaBox) != page.MediaBox:
        raise ValueError("a page of it is shown turned, or a part of it alone")
    unit = _MM * float(page.obj.get("/UserUnit", 1))
    left, low, right, high = (unit * float(value) for value in page.MediaBox)
    letters = {}
    for name, font in page.Resources.get("/Font", {}).items():
        if font.objgen not in fonts:
            fonts[font.objgen] = _font_of(font)
        letters[name.encode()] = fonts[font.objgen]
    layers = {name.encode(): str(one.Name) for name, one in page.Resources.get("/Properties", {}).items()}
    read = PageRead((right - left, high - low))
    content = b"\n".join(stream.read_bytes() for stream in page.Contents)
    # Down the paper in mm.
    matrix = (unit, 0.0, 0.0, -unit, -left, high)
    _Reader(read, matrix, told.get(int(page.obj.get("/StructParents", -1)), {}), letters, layers).run(content)
    return read


def _told_by_page(pdf: Any) -> dict[int, dict[int, str]]:
    """What is said about the marked content of every page, by its numbers (ISO 32000-1, 14.7.4.4)."""
    if "/StructTreeRoot" not in pdf.Root:
        return {}
    numbers = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
    return {
        int(page): {k: str(element.Alt) for k, element in enumerate(elements) if "/Alt" in element}
        for page, elements in zip(numbers[::2], numbers[1::2], strict=True)
    }


def _font_of(font: Any) -> _Font:
    first, scale = int(font.get("/FirstChar", 0)), float(font.get("/FontMatrix", (0.001,))[0])
    widths = {first + k: scale * float(width) for k, width in enumerate(font.get("/Widths", ()))}
    return _letters_of(font), widths


def _letters_of(font: Any) -> dict[int, str]:
    """The letter of every code of a font, by its own table (ISO 32000-1, 9.10.3)."""
    if "/ToUnicode" not in font:
        return {}
    table = font.ToUnicode.read_bytes()
    found = {}
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        for code, letter in re.findall(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block):
            found[int(code, 16)] = bytes.fromhex(letter.decode()).decode("utf-16-be")
    return found


class _Reader:
    """The state of a page's content while it is read."""

    def __init__(
        self,
        page: PageRead,
        matrix: _Matrix,
        told: dict[int, str],
        letters: dict[bytes, _Font],
        layers: dict[bytes, str],
    ) -> None:
        self.page, self.matrix, self.told, self.letters, self.names = page, matrix, told, letters, layers
        self.kept: list[tuple[_Matrix, float, bool, float, list[list[Point]]]] = []
        self.clips: list[list[Point]] = []
        """The borders beyond which nothing shows."""
        self.width, self.is_dashed, self.grey = 1.0, False, 0.0
        self.lines: list[tuple[list[Point], bool, bool]] = []
        """Points as they lie on the paper, whether all is curves, whether it was closed."""
        self.marked: list[str] = []
        self.layers: list[str] = [""]
        self.seen = 0
        """How many lines were drawn up to the last words."""
        self.spelt: str | None = None
        self.at = (0.0, 0.0)
        self.font: _Font = ({}, {})
        self.text, self.size, self.advance = "", 0.0, 0.0
        self.lie: tuple[float, ...] = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

    def run(self, content: bytes) -> None:
        """Read content to its end."""
        if b"(" in content or b" BI" in content:
            raise ValueError("it holds content of a kind that these pages never have")
        steps, stack = _STEPS, []
        for token in _TOKEN.findall(content):
            step = steps.get(token)
            if step is None:
                stack.append(token)
            else:
                step(self, stack)
                stack.clear()

    def point(self, x: bytes, y: bytes) -> Point:
        """Where a point lies on the paper."""
        a, b, c, d, e, f = self.matrix
        u, v = float(x), float(y)
        return (a * u + c * v + e, b * u + d * v + f)

    def keep(self, _: Sequence[bytes]) -> None:
        self.kept.append((self.matrix, self.width, self.is_dashed, self.grey, list(self.clips)))

    def give_back(self, _: Sequence[bytes]) -> None:
        self.matrix, self.width, self.is_dashed, self.grey, self.clips = self.kept.pop()

    def turn(self, words: Sequence[bytes]) -> None:
        a, b, c, d, e, f = (float(word) for word in words)
        p, q, r, s, t, u = self.matrix
        self.matrix = (
            p * a + r * b, q * a + s * b, p * c + r * d, q * c + s * d, p * e + r * f + t, q * e + s * f + u,
        )  # fmt: skip
        if self.spelt:
            # Letters that are drawn as outlines have their words beside them (14.9.4).
            self.note(self.matrix[4:], self.spelt, (self.matrix[4:],), 0.0)
            self.spelt = ""

    def move(self, words: Sequence[bytes]) -> None:
        if self.spelt is None:
            self.lines.append(([self.point(*words)], True, False))

    def line(self, words: Sequence[bytes]) -> None:
        if self.spelt is None:
            points, _, closed = self.lines[-1]
            points.append(self.point(*words))
            self.lines[-1] = (points, False, closed)

    def curve(self, words: Sequence[bytes]) -> None:
        if self.spelt is None:
            points = self.lines[-1][0]
            points.extend(chords(points[-1], [self.point(*words[k : k + 2]) for k in (0, 2, 4)]))

    def close(self, _: Sequence[bytes]) -> None:
        if self.spelt is None:
            points, curved, _closed = self.lines[-1]
            if points[-1] != points[0]:
                points.append(points[0])
            self.lines[-1] = (points, curved, True)

    def set_width(self, words: Sequence[bytes]) -> None:
        self.width = float(words[0])

    def set_dash(self, words: Sequence[bytes]) -> None:
        self.is_dashed = len(words) > 3

    def set_grey(self, words: Sequence[bytes]) -> None:
        self.grey = float(words[0])

    def stroke(self, _: Sequence[bytes]) -> None:
        self.paint(strokes=True, fills=False)

    def fill(self, _: Sequence[bytes]) -> None:
        self.paint(strokes=False, fills=True)

    def both(self, _: Sequence[bytes]) -> None:
        self.paint(strokes=True, fills=True)

    def clip(self, _: Sequence[bytes]) -> None:
        self.clips += [points for points, _, _ in self.lines]

    def leave(self, _: Sequence[bytes]) -> None:
        self.lines = []

    def pass_by(self, _: Sequence[bytes]) -> None:
        """What changes nothing that is looked at."""

    def paint(self, strokes: bool, fills: bool) -> None:
        """Note what a path that is painted shows."""
        scale = math.sqrt(abs(self.matrix[0] * self.matrix[3] - self.matrix[1] * self.matrix[2]))
        told = next((one for one in reversed(self.marked) if one), "")
        for points, curved, closed in self.lines:
            middle = points[len(points) // 2]
            shown = self.shown(points if self.layers[-1] else (middle,)) if self.clips else middle
            if shown is None:
                continue
            round_ = _round(points) if curved and len(points) > 8 else None
            if round_ is not None:
                self.page.discs.append(Disc(*round_, fills and self.grey == 0.0, told))
            elif strokes and len(points) > 1:
                self.page.strokes.append(
                    Stroke(tuple(points), self.width * scale, self.is_dashed, closed, self.layers[-1], shown)
                )
        self.lines = []

    def shown(self, points: Sequence[Point]) -> Point | None:
        """One of some points that lies within all borders: a line of a layer is drawn whole on each of its parts."""
        some = points[:: max(1, len(points) // _CLIP_SAMPLES)]
        return next((point for point in some if all(_holds(border, point) for border in self.clips)), None)

    def note(self, at: Point, text: str, corners: tuple[Point, ...], height: float) -> None:
        """Note words, and what was drawn before them."""
        strokes = self.page.strokes
        before = strokes[-1] if len(strokes) > self.seen else None
        self.seen = len(strokes)
        self.page.words.append(Lettered(at, text, corners, height, before, self.layers[-1]))

    def begin_marked(self, words: Sequence[bytes]) -> None:
        told = ""
        self.layers.append(self.names.get(words[1], "") if words[0] == b"/OC" else self.layers[-1])
        if b"/MCID" in words:
            told = self.told.get(int(words[words.index(b"/MCID") + 1]), "")
        if b"/ActualText" in words:
            text = words[words.index(b"/ActualText") + 1]
            self.spelt = bytes.fromhex(text[1:-1].decode()).decode("utf-16").lstrip("\ufeff")
            told = "\0"
        self.marked.append(told)

    def end_marked(self, _: Sequence[bytes]) -> None:
        self.layers.pop()
        if self.marked.pop() == "\0":
            self.spelt = None
            self.lines = []

    def begin_text(self, _: Sequence[bytes]) -> None:
        self.text, self.advance = "", 0.0

    def place_text(self, words: Sequence[bytes]) -> None:
        self.at = self.point(*words[4:6])
        self.lie = tuple(float(word) for word in words)

    def set_font(self, words: Sequence[bytes]) -> None:
        self.font, self.size = self.letters.get(words[0], ({}, {})), float(words[1])

    def show(self, words: Sequence[bytes]) -> None:
        letters, widths = self.font
        codes = bytes.fromhex(words[0][1:-1].decode())
        self.text += "".join([letters.get(code, "\ufffd") for code in codes])
        self.advance += self.size * sum([widths.get(code, 0.0) for code in codes])

    def end_text(self, _: Sequence[bytes]) -> None:
        if self.text:
            a, b, c, d, e, f = self.lie
            p, q, r, s, t, u = self.matrix
            right, up = self.advance, _CAPITALS * self.size
            places = [
                (a * x + c * y + e, b * x + d * y + f) for x, y in ((0.0, 0.0), (right, 0.0), (right, up), (0.0, up))
            ]
            corners = tuple([(p * x + r * y + t, q * x + s * y + u) for x, y in places])
            self.note(self.at, self.text, corners, self.size * math.hypot(c, d))


_STEPS = {
    b"q": _Reader.keep, b"Q": _Reader.give_back, b"cm": _Reader.turn, b"m": _Reader.move, b"l": _Reader.line,
    b"c": _Reader.curve, b"h": _Reader.close, b"w": _Reader.set_width, b"d": _Reader.set_dash, b"g": _Reader.set_grey,
    b"G": _Reader.pass_by, b"S": _Reader.stroke, b"f": _Reader.fill, b"B": _Reader.both, b"n": _Reader.leave,
    b"W": _Reader.clip, b"BDC": _Reader.begin_marked, b"BMC": _Reader.begin_marked, b"EMC": _Reader.end_marked,
    b"BT": _Reader.begin_text, b"Tm": _Reader.place_text, b"Tf": _Reader.set_font, b"Tj": _Reader.show,
    b"ET": _Reader.end_text,
}  # fmt: skip


def _holds(border: Sequence[Point], at: Point) -> bool:
    """Whether a border goes round a point, by how often a ray to the right meets it."""
    x, y = at
    return (
        sum(
            (b > y) != (d > y) and x < a + (y - b) * (c - a) / (d - b)
            for (a, b), (c, d) in zip(border, [*border[1:], border[0]], strict=True)
        )
        % 2
        == 1
    )


def _round(points: Sequence[Point]) -> tuple[Point, float] | None:
    """The middle and the radius of a closed line that is round; None where it is not."""
    if math.dist(points[0], points[-1]) > _ROUND_MM:
        return None
    xs, ys = [x for x, _ in points], [y for _, y in points]
    across, down = max(xs) - min(xs), max(ys) - min(ys)
    if not across or abs(across - down) > _ROUND_MM + _ROUND_SHARE * across:
        return None
    x, y, r = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2, (across + down) / 4
    if any(abs(math.hypot(u - x, v - y) - r) > _ROUND_MM + _ROUND_SHARE * r for u, v in points):
        return None
    return ((x, y), r)
