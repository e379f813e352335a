"""Plans of many shapes as booklets, and what is read back from their pages."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path as FilePath

import pdfplumber
from shapely import LineString, Point, Polygon, STRtree, box
from shapely.affinity import rotate, translate

from closures.app.job import Answer, load_plan, place_plan
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.registry import asked_for, further_pieces
from closures.drawing.ink.lettering import ink_of, start_of, width_of
from closures.drawing.ink.room import points_on
from closures.drawing.ink.shapes import PAPER, Circle, Command, Group, Item, Path, Words
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.booklet import Templates, lay_templates
from closures.drawing.paper.laying import LaidPiece
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.piece import LongPiece
from closures.drawing.sheets.drawing import long_pieces, subjects_of
from closures.drawing.write.pdf import write_pages
from closures.plan.reading import read_plan

MM = 72 / 25.4
TEMPLATES = FilePath(__file__).resolve().parent.parent / "templates"
PLAN = """
title = "{title}"
units = "{units}"
[edge]
{edge}
[garment]
pieces = "pair"
[band]
width = "{width}"
lap = "right over left"
[closure]
kind = "{kind}"
size = "{size}"
{closure}
[spacing]
first = "{first}"
last = "{last}"
count = {count}
{more}
"""
TAPE = """
title = "Kelp bustier"
[edge]
straight = "400 mm"
[garment]
pieces = "pair"
opens = "back"
{edges}
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "{kind}"
size = "any"
cap = "{cap} mm"
[tape]
pitch = "{pitch} mm"
"""
USUAL = {
    "title": "Kelp smock",
    "units": "mm",
    "edge": 'straight = "600 mm"',
    "width": "38 mm",
    "kind": "prong snap",
    "size": "16 L",
    "closure": "",
    "first": "20 mm",
    "last": "20 mm",
    "count": 8,
    "more": "",
}
POINTS = ", ".join(f'["{40 * math.sin(k / 12 * 2 * math.pi):.1f} mm", "{600 * k / 12:.1f} mm"]' for k in range(13))
SLANT = ", ".join(
    f'["{260 * k / 12 + 45 * math.sin(k / 12 * 2 * math.pi):.1f} mm", "{540 * k / 12:.1f} mm"]' for k in range(13)
)
BULGE = ", ".join(
    f'["{x} mm", "{y} mm"]'
    for x, y in (
        (1.7, 0.0), (50.7, 36.8), (84.1, 73.7), (107.5, 110.5), (113.1, 147.4), (108.9, 184.2), (87.5, 221.1),
        (51.9, 257.9), (1.7, 294.8),
    )
)  # fmt: skip
ODD: dict[str, dict[str, object]] = {
    "sixty": {"edge": 'straight = "60 mm"', "count": 2, "first": "12 mm", "last": "12 mm"},
    "ninety buttons": {
        "edge": 'straight = "90 mm"', "kind": "sew-through button", "size": "18 L", "count": 2, "first": "15 mm",
        "last": "15 mm",
    },
    "eighty snaps": {"edge": 'straight = "80 mm"', "width": "30 mm", "count": 2, "first": "15 mm", "last": "15 mm"},
    "long arc": {"edge": 'arc = { length = "2400 mm", radius = "1500 mm", bows = "out" }', "count": 30},
    "dense": {"kind": "sew-on snap", "size": "2/0", "edge": 'straight = "625 mm"', "count": 40, "first": "20 mm", "last": "20 mm"},
    "slant": {"edge": f"points = [{SLANT}]", "count": 9},
    "wave": {"edge": f"points = [{POINTS}]", "count": 9},
    "narrow": {"width": "14 mm", "kind": "prong snap", "size": "14 L"},
    "names": {
        "title": "A smock whose title is far longer than any head of any page could ever hold in one line of type",
        "more": "\n".join(
            f'[[anchor]]\nname = "{name}"\nalong = "{along} mm"\nwithin = "200 mm"'
            for name, along in (
                ("where the fullest part of the bust lies when standing straight", 130),
                ("natural waist, measured over the petticoat and the first belt", 400),
            )
        ),
    },
    "zones": {
        "edge": 'straight = "800 mm"',
        "more": "\n".join(
            f'[[clear]]\nname = "{name}"\nalong = ["{low} mm", "{high} mm"]'
            for name, low, high in (("belt", 250, 300), ("pocket flap", 280, 330), ("seam", 600, 606))
        ),
    },
    "zones among many": {
        "edge": 'straight = "2033.4 mm"', "width": "43.9 mm", "count": 39, "first": "15 mm", "last": "813.4 mm",
        "more": "\n".join(
            f'[[clear]]\nname = "{name}"\nalong = ["{low} mm", "{high} mm"]'
            for name, low, high in (("belt", 694.2, 699.4), ("pocket flap", 1088.7, 1103.0))
        ),
    },
    "broad arc": {
        "edge": 'arc = { length = "396.9 mm", radius = "1194.9 mm", bows = "out" }', "width": "57.3 mm", "count": 5,
        "first": "15 mm", "last": "15 mm",
    },
    "inches": {
        "units": "in", "edge": 'straight = "27 in"', "width": "1 1/4 in", "first": "1 in", "last": "2 in",
    },
    "holes along": {
        "edge": 'straight = "720 mm"', "kind": "sew-through button", "size": "36 L", "closure": 'hole = "along"',
        "width": "44 mm", "count": 6, "first": "30 mm", "last": "60 mm",
    },
    "holes close": {
        "edge": 'straight = "600 mm"', "kind": "sew-through button", "size": "36 L", "closure": 'hole = "along"',
        "width": "28 mm", "count": 12, "first": "35 mm", "last": "60 mm",
    },
    "far apart": {"edge": 'straight = "1900 mm"', "count": 3, "first": "60 mm", "last": "700 mm"},
    "big": {
        "edge": 'straight = "500 mm"', "kind": "magnetic snap", "size": "18 mm", "width": "50 mm", "count": 5,
        "first": "30 mm", "last": "30 mm",
    },
    "short ends": {  # Parts of 51 mm, that a mark as wide as the band and a break leave little room to name.
        "edge": 'arc = { length = "331.7 mm", radius = "429 mm", bows = "in" }', "units": "in", "width": "25.7 mm",
        "kind": "sew-through button", "size": "36 L", "closure": 'hole = "across"',
        "count": 2, "first": "15 mm", "last": "15 mm",
    },
    "slanting break": {  # Two rows of unlike length, lettered aslant and turned half round on the page.
        "edge": f"points = [{BULGE}]", "width": "46.1 mm", "count": 10, "first": "15 mm", "last": "117.9 mm",
    },
}  # fmt: skip
STARTING = tuple(
    sorted(
        folder.name
        for folder in TEMPLATES.iterdir()
        if (folder / "plan.toml").is_file() and "[sizes]" not in (folder / "plan.toml").read_text(encoding="utf-8")
    )
)


@cache
def answer_of(name: str, large: bool = False, everything: bool = False) -> Answer:
    """Place a plan: one of `ODD`, hooks at a pitch such as "hooks 12", a tape such as "hook tape 8 7", or a starting plan.

    Of a tape, the numbers are its pitch and how long one half is, in mm.
    """
    if name.startswith("hooks "):
        pitch = float(name.removeprefix("hooks "))
        count = int(460.0 / pitch)
        odd = {
            "kind": "hook and eye",
            "size": "2",
            "edge": f'straight = "{40 + pitch * (count - 1)} mm"',
            "count": count,
        }
        plan, beside = read_plan(PLAN.format(**(USUAL | odd)).encode(), f"{name}.toml"), None
    elif " tape " in name:
        kind, pitch, cap = name.rsplit(" ", 2)
        edges = 'edges = "meeting"' if kind.startswith("hook") else ""
        text = TAPE.format(kind=kind, pitch=pitch, cap=cap, edges=edges)
        plan, beside = read_plan(text.encode(), "tape.toml"), None
    elif name in ODD:
        text = PLAN.format(**(USUAL | ODD[name]))
        plan, beside = read_plan(text.encode(), f"{name}.toml"), None
    else:
        beside = TEMPLATES / name / "plan.toml"
        plan = load_plan(beside)
    if everything:
        plan = asked_for(plan, ["all"])
    if large:
        from closures.plan.sheets import SheetsWish

        plan = replace(plan, sheets=replace(plan.sheets or SheetsWish(), large=True))
    return place_plan(plan, beside)


@cache
def laid(
    name: str, paper: str = "a4", large: bool = False, everything: bool = False, in_full: bool = False
) -> Templates:
    """Both laps on templates, without anything else, or with every further piece that there is.

    In full, long pieces are cut into parts where they could be told by their measures.
    """
    answer = answer_of(name, large, everything)
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    chosen = load_catalogue().paper(paper)
    words = PageWords(answer.placement.plan.title, chosen.name)
    longs, short = list(long_pieces(subjects, chosen.is_roll)), []
    if everything:
        drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets, answer.swap)
        for piece in further_pieces(drawn):
            piece = replace(piece, shorter=None) if in_full and isinstance(piece, LongPiece) else piece
            (longs if isinstance(piece, LongPiece) else short).append(piece)  # type: ignore[arg-type]
    return lay_templates(longs, short, chosen, words, type_scale(large))


def leaves(items: tuple[Item, ...]) -> list[Item]:
    """Everything that is drawn, out of its groups."""
    flat: list[Item] = []
    for item in items:
        flat += leaves(item.items) if isinstance(item, Group) else [item]
    return flat


def words_on(items: tuple[Item, ...]) -> list[Words]:
    """The lettering among items."""
    return [item for item in leaves(items) if isinstance(item, Words)]


def groups(items: tuple[Item, ...]) -> list[Group]:
    """All groups among items, inner ones too."""
    found: list[Group] = []
    for item in items:
        if isinstance(item, Group):
            found += [item, *groups(item.items)]
    return found


@dataclass(frozen=True)
class Dot:
    """A circle read from a page, in mm."""

    page: int
    x: float
    y: float
    r: float


def dots_of(pdf: bytes) -> list[Dot]:
    """Every round thing on the pages of a file, read by another program."""
    found = []
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages):
            for one in page.curves:
                x0, x1, top, bottom = (float(one[key]) / MM for key in ("x0", "x1", "top", "bottom"))
                if abs((x1 - x0) - (bottom - top)) < 0.002:
                    found.append(Dot(number, (x0 + x1) / 2, (top + bottom) / 2, (x1 - x0) / 2))
    return found


def rings_of(piece: LaidPiece) -> dict[str, list[tuple[float, float]]]:
    """The rings of a piece by the letter of their join, as they were drawn on the page."""
    found: dict[str, list[tuple[float, float]]] = {}
    for group in groups(piece.items()):
        if group.id.startswith("join-"):
            rings = [one for one in leaves(group.items) if isinstance(one, Circle) and one.role == "ring"]
            found[group.id.removeprefix("join-")] = [(one.x, one.y) for one in rings]
    return found


def pdf_of(templates: Templates, name: str) -> bytes:
    """The templates as a file."""
    from closures.drawing.paper.booklet import template_page

    scale = type_scale(False)
    words = PageWords(name, "paper")
    pages = [
        template_page(templates, k, k + 1, templates.laying.pages, words, scale) for k in range(templates.laying.pages)
    ]
    return write_pages(pages, name)


def extra_of(answer: Answer, name: str) -> tuple[tuple[Item, ...], str]:
    """What a further sheet draws at full size, long pieces whole, and everything that it says."""
    from closures.drawing.extras.registry import all_extras
    from closures.drawing.paper.parts import Part
    from closures.drawing.paper.words import Key, Notice, Picture, Section, Table

    drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets, answer.swap)
    (extra,) = [one for one in all_extras() if one.name == name]
    items: list[Item] = []
    for one in extra.pieces(drawn):
        if isinstance(one, LongPiece):
            length = one.strip_for(lambda size: True, 0.0).length_mm
            items += one.draw(Part(0.0, length, "end", "end")).items
        else:
            items += one.items
    said = [words.text for words in words_on(tuple(items))]
    for chapter in extra.chapters(drawn):
        said.append(chapter.title)
        for part in chapter.parts:
            if isinstance(part, Section):
                said += [part.heading, *part.paragraphs]
            elif isinstance(part, Table):
                said += [part.heading, *part.head, *(cell for row in part.rows for cell in row)]
            elif isinstance(part, Picture):
                said += [part.heading, part.text, *(words.text for words in words_on(part.items))]
                items += part.items
            elif isinstance(part, Notice):
                said += [part.sign, part.text]
            elif isinstance(part, Key):
                said += [row.text for row in part.rows]
    return tuple(items), " ".join(said)


def strokes_of(items: tuple[Item, ...]) -> list[LineString]:
    """Every line that is drawn, as far as it shows: what is white, as behind the words of a zone, covers what lies under it."""
    found: list[LineString] = []
    for item, clips in _clipped(items):
        if isinstance(item, Path) and item.pen == PAPER:
            white = Polygon(list(points_on(item.commands, 0.5)))
            found = [stroke.difference(white) for stroke in found]
            continue
        drawn = [Point(item.x, item.y).buffer(item.r).exterior] if isinstance(item, Circle) else []
        if isinstance(item, Path):
            drawn = [LineString(list(points_on(commands, 0.5))) for commands in _subpaths(item.commands)]
        for stroke in drawn:
            for clip in clips:
                stroke = stroke.intersection(clip)
            found.append(stroke)
    return [stroke for stroke in found if not stroke.is_empty]


def _clipped(items: tuple[Item, ...], clips: tuple[Polygon, ...] = ()) -> Iterator[tuple[Item, tuple[Polygon, ...]]]:
    """Everything that is drawn, from the lowest, with the figures outside which nothing of it shows."""
    for item in items:
        if isinstance(item, Group):
            yield from _clipped(item.items, (*clips, Polygon(item.clip).buffer(0.0)) if item.clip else clips)
        else:
            yield item, clips


def _subpaths(commands: tuple[Command, ...]) -> list[list[Command]]:
    """A path as the lines that it is drawn in, closed ones with their last stroke."""
    found: list[list[Command]] = []
    for name, *rest in commands:
        if name == "M":
            found.append([])
        found[-1].append(("L", *found[-1][0][1:]) if name == "Z" else (name, *rest))
    return [one for one in found if len(one) > 1]


def ink_box(words: Words) -> Polygon:
    """The room of a row of letters, turned as they are, a hair within their ink."""
    low, high = ink_of(words.text, words.weight)
    left = start_of(words)[0]
    right = left + width_of(words.text, words.size_mm, words.weight)
    level = box(left, -high * words.size_mm, right, -low * words.size_mm).buffer(-0.1, join_style="mitre")
    return translate(rotate(level, words.angle_deg, origin=(0.0, 0.0)), words.x, words.y)


def words_on_lines(items: tuple[Item, ...]) -> list[str]:
    """The words that lie on a line of a drawing."""
    strokes = strokes_of(items)
    tree = STRtree(strokes)
    return [
        words.text
        for words in words_on(items)
        for room in [ink_box(words)]
        if words.text.strip() and any(room.intersection(strokes[k]).length > 0.05 for k in tree.query(room))
    ]
