"""Whose number it is, measured on the finished files: a number is nearer to its own mark than to any other, or a leader that is seen ties it."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from paper_sets import ODD, PLAN, STARTING, TEMPLATES, USUAL

from closures.app.job import load_plan, place_plan, result_files
from closures.app.options import lettered_as
from closures.drawing.ink.extents import union
from closures.drawing.ink.lettering import CAP_HEIGHT
from closures.drawing.ink.type_scale import type_scale
from closures.plan.reading import read_plan
from closures.verifying.page_read import read_pages

SVG = "{http://www.w3.org/2000/svg}"
LEAST_LEADER_MM = 6.0
"""A shorter one beside another mark is taken for a part of that."""
AT_WORDS_MM = 2.3
DENSE = {
    f"{pitch} mm apart in {units}": {
        "kind": "sew-on snap", "size": "2/0" if pitch == 15 else "4/0", "units": units,
        "edge": f'straight = "{40 + 39 * pitch} mm"', "count": 40,
    }
    for pitch in (15, 12)
    for units in ("mm", "in")
}  # fmt: skip

Box = tuple[float, float, float, float]
Point = tuple[float, float]


@dataclass
class Numbered:
    """A large number as a file shows it, the boxes of its figures, and the stroke drawn just before it."""

    text: str
    box: Box
    leader: tuple[Point, Point] | None
    rows: list[Box] = field(default_factory=list)


def off(box: Box, at: Point) -> float:
    return math.hypot(max(box[0] - at[0], at[0] - box[2], 0.0), max(box[1] - at[1], at[1] - box[3], 0.0))


def strays(numbers: list[Numbered], marks: list[tuple[str, Point]]) -> Iterator[str]:
    """The numbers of a sheet or page of which nobody can tell whose they are."""
    for one in numbers:
        middle = ((one.box[0] + one.box[2]) / 2, (one.box[1] + one.box[3]) / 2)

        def nearest(to: Point) -> set[str]:
            least = min(math.dist(to, at) for _, at in marks)
            # Of a hidden button behind one for show both are the nearest.
            return {text for text, at in marks if math.dist(to, at) < least + 0.05}

        if one.text in nearest(middle):
            continue
        if one.leader is None:
            yield f"{one.text} lies nearest to {nearest(middle)}"
        elif math.dist(*one.leader) < LEAST_LEADER_MM:
            yield f"{one.text} lies nearest to {nearest(middle)}, and its leader is {math.dist(*one.leader):.1f} mm long"
        elif one.text not in nearest(one.leader[0]):
            yield f"the leader of {one.text} ends at {nearest(one.leader[0])}"
        elif off(union((one.box, *one.rows)), one.leader[1]) > AT_WORDS_MM:
            yield f"the leader of {one.text} comes from other words"


def read_svg(svg: bytes, number_mm: float) -> tuple[list[Numbered], list[tuple[str, Point]]]:
    """Numbers and marks of a whole sheet with its words as text."""
    root = ET.fromstring(svg)
    marks = []
    for group in root.iter(f"{SVG}g"):
        if found := re.fullmatch(r"(?:over|under)-(\d+)", group.get("id", "")):
            dots = [one for one in group.iter(f"{SVG}circle") if one.get("class") == "centre"]
            marks += [(found[1], (float(one.get("cx", "")), float(one.get("cy", "")))) for one in dots]
    words = [one for g in root.iter(f"{SVG}g") if g.get("id") in ("words", "words-over-marks") for one in g]
    numbers: list[Numbered] = []
    stroke: tuple[Point, Point] | None = None
    for one in words:
        if one.tag == f"{SVG}path":
            ends = [float(text) for text in re.findall(r"-?[\d.]+", one.get("d", ""))]
            stroke = ((ends[0], ends[1]), (ends[2], ends[3])) if len(ends) == 4 else None
            continue
        text = one.find(f"{SVG}text")
        if text is None:
            stroke = None
            continue
        x, y = (float(v) for v in re.findall(r"-?[\d.]+", one.get("transform", ""))[:2])
        long, size = float(text.get("textLength", "0")), float(text.get("font-size", "0"))
        left = x - {"start": 0.0, "middle": long / 2, "end": long}[text.get("text-anchor", "start")]
        box = (left, y - CAP_HEIGHT * size, left + long, y)
        if (text.text or "").isdigit() and abs(size - number_mm) < 1e-3:
            numbers.append(Numbered(text.text or "", box, stroke))
        elif numbers and stroke is None:
            numbers[-1].rows.append(box)
        stroke = None
    return numbers, marks


def read_pdf(pdf: bytes, number_mm: float) -> Iterator[tuple[list[Numbered], list[tuple[str, Point]]]]:
    """Numbers and marks of every page, both laps of a page together."""
    for page in read_pages(pdf):
        marks = [
            (found[1], disc.at)
            for disc in page.discs
            if disc.is_inked and abs(disc.radius_mm - 0.3) < 0.03 and (found := re.match(r"mark (\d+)\b", disc.told))
        ]
        numbers: list[Numbered] = []
        for words in page.words:
            xs, ys = zip(*words.corners, strict=True)
            box = (min(xs), min(ys), max(xs), max(ys))
            is_line = words.stroke is not None and not words.stroke.is_dashed and len(words.stroke.points) == 2
            if words.text.isdigit() and abs(words.height_mm - number_mm) < 0.05:
                ends = words.stroke.points if is_line and words.stroke is not None else None
                numbers.append(Numbered(words.text, box, (ends[0], ends[1]) if ends else None))
            elif numbers and words.stroke is None and words.text.endswith((" mm", " in")):
                numbers[-1].rows.append(box)
        if marks:
            yield numbers, marks


@cache
def files_of(name: str, large: bool) -> dict[str, bytes]:
    path = TEMPLATES / name / "plan.toml"
    text = PLAN.format(**(USUAL | (ODD | DENSE).get(name, {}))).encode()
    plan = load_plan(path) if name in STARTING else read_plan(text, "plan.toml")
    beside: Path | None = path if name in STARTING else None
    return result_files(place_plan(lettered_as(plan, large, "text"), beside), "a3" if large else "a4")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("name", "large"), [*((n, False) for n in (*STARTING, *ODD, *DENSE)), *((n, True) for n in (*ODD, *DENSE))]
)
def test_every_number_of_the_finished_files_is_its_own_marks(name: str, large: bool) -> None:
    files, size = files_of(name, large), type_scale(large).number
    sheets = [read_svg(files[name], size) for name in files if name.endswith(".svg") and b'id="words"' in files[name]]
    pages = list(read_pdf(files["marking.pdf"], size))
    assert sheets and pages
    for numbers, marks in (*sheets, *pages):
        assert sorted(one.text for one in numbers) == sorted(text for text, _ in marks)
        assert list(strays(numbers, marks)) == []


def test_number_that_stands_by_another_mark_is_seen() -> None:
    numbers, marks = read_svg(files_of("15 mm apart in mm", False)["over.svg"], type_scale(False).number)
    third = numbers[2]
    x0, y0, x1, y1 = third.box
    moved = Numbered(third.text, (x0, y0 + 15.0, x1, y1 + 15.0), None)
    assert list(strays([moved], marks)) == ["3 lies nearest to {'4'}"]
    stub = Numbered(moved.text, moved.box, (marks[2][1], (marks[2][1][0] - 2.0, marks[2][1][1])))
    assert list(strays([stub], marks)) == ["3 lies nearest to {'4'}, and its leader is 2.0 mm long"]
