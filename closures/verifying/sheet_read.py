"""A finished sheet, read back from its SVG: its size, its squares, its marks, and the lines that are drawn on it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import field
from xml.etree import ElementTree

from closures.frozen import frozen
from closures.verifying.measured import Measured, Point, lines_of_path, measured

_SVG = "{http://www.w3.org/2000/svg}"
_MARK = re.compile(r"(over|under)-(\d+)")
_LINES_IN = ("band", "lap", "strap")
_BOLD_MM = 0.65
_FOLD_PEN = (0.5, "0.8 1.4")
"""How wide and with which dashes the fold of a strap is drawn: it is one of the strap's two finished long edges."""
_SLIT_PEN_MM = 0.5
"""How wide the slit of a buttonhole is drawn: one stroke by itself."""
_PART_PEN_MM = 0.35
"""How wide the outline of a hook, an eye, a bar or a loop is drawn."""
_ROUND_MM = 0.002
"""How far the rim of a mark may lie from its centre: the promise for sheets."""


@frozen
class SheetRead:
    """What a sheet shows.

    Attributes:
        size_mm: width and height that it claims.
        units_mm: what one of its units comes to, across and down.
        marks: lap and number to the centre of each mark.
        squares_mm: width and height of each square, by the name of its group.
        lines: the open lines drawn on the cloth, as points.
        edges: those of them that are drawn boldly: the finished edge, which the sheet is laid by; and a strap's fold.
        slits: lap and number to both ends of each stroke of that mark that is drawn as a slit is.
        bars: lap and number to the bars at both ends of a slit.
        parts: lap and number to points round the part itself, where it is drawn by its outline, as a hook is.
    """

    size_mm: tuple[float, float]
    units_mm: tuple[float, float]
    marks: dict[tuple[str, int], Point]
    squares_mm: dict[str, tuple[float, float]]
    lines: tuple[tuple[Point, ...], ...]
    edges: tuple[Measured, ...] = ()
    slits: dict[tuple[str, int], tuple[tuple[Point, Point], ...]] = field(default_factory=dict)
    bars: dict[tuple[str, int], tuple[tuple[Point, Point], ...]] = field(default_factory=dict)
    parts: dict[tuple[str, int], tuple[Point, ...]] = field(default_factory=dict)


def read_sheet(svg: bytes) -> SheetRead:
    """Read a finished sheet.

    Args:
        svg: the file.

    Returns:
        What it shows.

    Raises:
        ValueError: it is no sheet that can be read.
    """
    try:
        root = ElementTree.fromstring(svg)
    except ElementTree.ParseError as error:
        raise ValueError(f"it is no SVG ({error})") from None
    require_still(root)
    width, height = (_mm(root.get(name, "")) for name in ("width", "height"))
    box = [float(word) for word in root.get("viewBox", "").split()]
    if len(box) != 4 or not box[2] or not box[3]:
        raise ValueError("it has no viewBox")
    marks: dict[tuple[str, int], Point] = {}
    groups: list[tuple[ElementTree.Element, str, Point]] = []
    slits: dict[tuple[str, int], tuple[tuple[Point, Point], ...]] = {}
    bars: dict[tuple[str, int], tuple[tuple[Point, Point], ...]] = {}
    parts: dict[tuple[str, int], tuple[Point, ...]] = {}
    squares: dict[str, tuple[float, float]] = {}
    lines: list[tuple[Point, ...]] = []
    edges: list[Measured] = []
    for group in root.iter(f"{_SVG}g"):
        name = group.get("id", "")
        if found := _MARK.fullmatch(name):
            key = (found[1], int(found[2]))
            if key in marks:
                raise ValueError(f"it has two marks named {name}")
            marks[key] = centre_of(group, name)
            slits[key], bars[key] = _slits(group), _bars(group)
            parts[key] = _part(group)
            groups.append((group, name, marks[key]))
        elif name.startswith("square-"):
            squares[name] = _largest(group)
        elif name in _LINES_IN:
            for path in group.findall(f"{_SVG}path"):
                drawn = [tuple(line) for line in lines_of_path(path.get("d", ""))]
                lines += drawn
                if float(path.get("stroke-width", "0")) >= _BOLD_MM or (name == "strap" and _is_fold(path)):
                    edges += [measured(line) for line in drawn if len(line) > 1]
    for group, name, centre in groups:
        _require_one_mark(group, name, centre)
    units = (width / box[2], height / box[3])
    return SheetRead((width, height), units, marks, squares, tuple(lines), tuple(edges), slits, bars, parts)


def require_still(root: ElementTree.Element) -> None:
    """Refuse a drawing in which anything but lettering is moved, turned, mirrored or scaled.

    All else is read where its own figures have it. A sheet within a sheet has units of its own, too.

    Raises:
        ValueError: something in it is.
    """
    for element in root.iter():
        is_lettering = element.get("class") == "words"
        if ("transform" in element.attrib and not is_lettering) or (
            element.tag == f"{_SVG}svg" and element is not root
        ):
            raise ValueError(f"{element.get('id') or 'a shape'} is drawn elsewhere than its figures say")
        if is_lettering and any(
            inner.get("id") or inner.tag == f"{_SVG}g" for inner in element.iter() if inner is not element
        ):
            raise ValueError("more than lettering lies within a group of words")


def _is_fold(path: ElementTree.Element) -> bool:
    width_mm, dashes = _FOLD_PEN
    return (
        abs(float(path.get("stroke-width", "0")) - width_mm) < 1e-6
        and path.get("stroke-dasharray", "").replace(",", " ").split() == dashes.split()
    )


def _mm(text: str) -> float:
    if not text.endswith("mm"):
        raise ValueError("its size is not in mm")
    return float(text[:-2])


def centre_of(group: ElementTree.Element, name: str) -> Point:
    """Where the centre of a mark is drawn.

    Raises:
        ValueError: the mark has none.
    """
    for element in group:
        if element.get("class") == "centre":
            if element.tag == f"{_SVG}circle":
                return (float(element.get("cx", "nan")), float(element.get("cy", "nan")))
            points = [point for line in lines_of_path(element.get("d", "")) for point in line]
            xs, ys = [x for x, _ in points], [y for _, y in points]
            return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    raise ValueError(f"mark {name} has no centre")


def _slits(group: ElementTree.Element) -> tuple[tuple[Point, Point], ...]:
    """Both ends of every single straight stroke that is as wide as a slit."""
    return tuple((lines[0][0], lines[0][-1]) for lines in _with_slit_pen(group) if len(lines) == 1)


def _bars(group: ElementTree.Element) -> tuple[tuple[Point, Point], ...]:
    """Both ends of each bar at the ends of a slit: they are drawn two in one path."""
    return tuple((line[0], line[-1]) for lines in _with_slit_pen(group) if len(lines) == 2 for line in lines)


def _with_slit_pen(group: ElementTree.Element) -> Iterator[list[list[Point]]]:
    """The straight strokes of every path that is drawn as wide as a slit, paths with others left out."""
    for path in group.findall(f"{_SVG}path"):
        if abs(float(path.get("stroke-width", "0")) - _SLIT_PEN_MM) < 1e-6 and path.get("stroke", "none") != "none":
            lines = lines_of_path(path.get("d", ""))
            if all(len(line) == 2 for line in lines):
                yield lines


def _part(group: ElementTree.Element) -> tuple[Point, ...]:
    """Points on what is drawn with the pen of outlines: a hook's bend, an eye's bow, a bar, a loop; and their rings."""
    found = [
        point
        for path in group.findall(f"{_SVG}path")
        if abs(float(path.get("stroke-width", "0")) - _PART_PEN_MM) < 1e-6 and path.get("stroke", "none") != "none"
        for line in lines_of_path(path.get("d", ""))
        for point in line
    ]
    for ring in group.findall(f"{_SVG}circle[@class='ring']"):
        x, y, r = (float(ring.get(name, "nan")) for name in ("cx", "cy", "r"))
        found += [(x + r * math.cos(k * math.pi / 180), y + r * math.sin(k * math.pi / 180)) for k in range(360)]
    return tuple(found)


def _require_one_mark(group: ElementTree.Element, name: str, centre: Point) -> None:
    """Refuse a mark that is told as another, or whose rim stands round another place.

    Raises:
        ValueError: it is one of these.
    """
    told = re.search(r"\bmark (\d+)\b", group.findtext(f"{_SVG}title", ""))
    if told is not None and told[1] != name.rpartition("-")[2]:
        raise ValueError(f"mark {name} is told as mark {told[1]}")
    for rim in group.findall(f"{_SVG}circle[@class='rim']"):
        off = math.dist(centre, (float(rim.get("cx", "nan")), float(rim.get("cy", "nan"))))
        if off > _ROUND_MM:
            raise ValueError(f"the rim of mark {name} lies {off:.4f} mm from its centre")


def _largest(group: ElementTree.Element) -> tuple[float, float]:
    """Width and height of the largest square path that is drawn in a group."""
    best = (0.0, 0.0)
    for path in group.findall(f"{_SVG}path"):
        for line in lines_of_path(path.get("d", "")):
            width = max(x for x, _ in line) - min(x for x, _ in line)
            height = max(y for _, y in line) - min(y for _, y in line)
            if path.get("stroke", "none") != "none" and width * height > best[0] * best[1]:
                best = (width, height)
    return best
