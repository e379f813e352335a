"""How the drawing is read that an edge is in: its scale, its pages, its layers, or a picture that is traced."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.kinds import Faults, Kind, Place, choice, kind, length, more_than_nothing, points, text, whole
from closures.plan.section import Key, Section

MOST_NAMES = 200
"""Pieces that one edge is joined of: more pages than any pattern has."""

MOST_PIXELS = 100_000
"""Pixels on a side of a picture; a scan of a metre at 1200 dpi has half as many."""

MOST_TILES = 40
"""Pages across or down: a pattern of eight metres."""

MOST_PAGE = 10_000
_LEAST_APART_MM = 10


@frozen
class KnownWish:
    """Something in the drawing whose length is known.

    Attributes:
        path: the name of an open line, or of a printed test square.
        length_mm: the length of the line, or of a side of the square.
    """

    path: str
    length_mm: float


@frozen
class TilesWish:
    """Pages that lie beside each other in rows, read like text.

    Attributes:
        columns, rows: how many pages across and down.
        overlap_mm: how far a page's printed part reaches over the next one's.
        margin_mm: what is left free on every side of a page.
        first: the page that lies at the upper left, counted from 1.
    """

    columns: int
    rows: int
    overlap_mm: float = 0.0
    margin_mm: float = 0.0
    first: int = 1


@frozen
class JoinWish:
    """Two points of one page that lie on two points of another.

    Attributes:
        page, onto: the page that is laid, and the one that it is laid on.
        at: the two points (across, down) on ``page``, in mm.
        there: the same two points on ``onto``.
    """

    page: int
    onto: int
    at: tuple[tuple[float, float], ...]
    there: tuple[tuple[float, float], ...]


@frozen
class TraceWish:
    """An edge that is followed on a scan or a photo.

    Attributes:
        through: places on the edge, in pixels across and down from the upper left, first end first.
        dpi: pixels to the inch of a flatbed scan; None for a photo.
        sheet: paper of the marker sheet that lies in a photo; None for a scan.
        follow: a dark line, or the border between light and dark.
    """

    through: tuple[tuple[float, float], ...]
    dpi: float | None = None
    sheet: str | None = None
    follow: Literal["line", "border"] = "line"


@kind("table of names", "table")
def layer_names(value: object, place: Place) -> tuple[tuple[str, str], ...]:
    """Take a table that says which layer holds what, such as ``{ "sew line" = "14" }``."""
    if not isinstance(value, dict) or not value or len(value) > MOST_NAMES:
        raise place.error(f"{shown_value(value)} is not a table of layers", 'Write { "sew line" = "14" }.')
    faults = Faults()
    named = tuple((str(key), faults.read(text, name, place.inner(str(key)))) for key, name in value.items())
    faults.raise_if_any()
    return named


@kind("list of `[across, down]` in pixels", "pixels")
def pixels(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take at least two places in a picture, each in pixels across and down."""
    example = "Write pixels across and down, such as [[120, 340], [180, 2210]]."
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_NAMES:
        raise place.error(f"{shown_value(value)} does not tell where the edge runs", example)
    read = []
    for n, one in enumerate(value, start=1):
        if not isinstance(one, list) or len(one) != 2 or not all(map(_is_pixel, one)):
            raise place.inner(f"point {n}").error(f"{shown_value(one)} is not a place in a picture", example)
        read.append((float(one[0]), float(one[1])))
    return tuple(read)


def number(least: float, most: float) -> Kind:
    """Take a plain number between two limits."""

    def read(value: object, place: Place) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            raise place.error(f"{shown_value(value)} is not a number from {least:g} to {most:g}", "Write one.")
        return float(value)

    return Kind(read, f"number, {least:g} to {most:g}", "number")


@kind("list of tables", "tables")
def joins(value: object, place: Place) -> tuple[JoinWish, ...]:
    """Take a list of tables, each with two points of a page and where they lie on another."""
    example = (
        'Write [{ page = 2, onto = 1, at = [["10 mm", "20 mm"], ["10 mm", "250 mm"]], '
        'there = [["190 mm", "20 mm"], ["190 mm", "250 mm"]] }].'
    )
    if not isinstance(value, list) or not 0 < len(value) <= MOST_NAMES:
        raise place.error(f"{shown_value(value)} does not join pages", example)
    return tuple(_join(one, place.inner(f"number {n}"), example) for n, one in enumerate(value, start=1))


def _join(value: object, place: Place, example: str) -> JoinWish:
    if not isinstance(value, dict) or set(value) != {"page", "onto", "at", "there"}:
        raise place.error(f"{shown_value(value)} does not join two pages", example)
    faults = Faults()
    page = faults.read(whole(1, MOST_PIXELS), value["page"], place.inner("page"))
    onto = faults.read(whole(1, MOST_PIXELS), value["onto"], place.inner("onto"))
    ends: dict[str, Any] = {}
    for key in ("at", "there"):
        ends[key] = faults.read(points, value[key], place.inner(key))
    faults.raise_if_any()
    if page == onto or any(len(two) != 2 or math.dist(*two) < _LEAST_APART_MM for two in ends.values()):
        raise place.error("two points, 10 mm apart or more, on two different pages are needed", example)
    return JoinWish(page, onto, ends["at"], ends["there"])


_PER_INCH = re.compile(r"(\d{1,6}(?:[.,]\d{1,6})?)? ?(?:px|pixels?|dpi|ppi)\b.*", re.IGNORECASE)
_AS_PRINTED = re.compile(
    r"\d{1,4} ?[:/] ?\d{1,4}|\d{1,6}(?:[.,]\d{1,6})? ?%|full|(?:full|actual|true) size", re.IGNORECASE
)
# A unit of a drawing longer than this is none that a program draws in, an inch being 25.4 mm: our own rule.
_MOST_UNIT = 26.0
_MM_TO_INCH = 25.4


def _scale(value: object, place: Place) -> Any:
    """Take how long one unit of a drawing is; what people write for how many go to an inch is asked about."""
    text = value.strip() if isinstance(value, str) else ""
    per_inch = _PER_INCH.fullmatch(text)
    if per_inch is not None:
        both = " or ".join(f'"{_MM_TO_INCH / n:.8g} mm" where {n:g} px make an inch' for n in _usual_px(per_inch[1]))
        what = f"{shown_value(value)} tells pixels, and this asks how long one unit of the drawing is"
        raise place.error(what, f"Write {both}. Where the drawing tells its size in mm, leave it out.")
    if _AS_PRINTED.fullmatch(text):
        what = f"{shown_value(value)} tells how large it is printed, and this asks how long one unit of the drawing is"
        mend = 'Write "1 mm" where it was drawn at full size in mm; where the drawing tells its size, leave it out.'
        raise place.error(what, mend)
    bare = _bare_number(value)
    if bare is not None and bare * (_MM_TO_INCH if place.units == "in" else 1.0) > _MOST_UNIT:
        per = f'"{_MM_TO_INCH / bare:.8g} mm" if {bare:g} units make an inch'
        what = (
            f"{shown_value(value)} may mean {bare:g} units to the inch, or units that are {bare:g} {place.units} long"
        )
        raise place.error(what, f'Write {per}, or "{bare:g} {place.units}" if one unit is that long.')
    return more_than_nothing(value, place)


def _usual_px(told: str | None) -> tuple[float, ...]:
    """The pixels to an inch that may be meant: those that were told, or the two that programs draw in."""
    number = float((told or "0").replace(",", "."))
    return (number,) if number >= _MOST_UNIT else (96.0, 72.0)


def _bare_number(value: object) -> float | None:
    if isinstance(value, str):
        value = float(value) if re.fullmatch(r"\d{1,9}(?:\.\d{1,9})?", value.strip()) else None
    is_number = isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < MOST_PIXELS
    return float(value) if is_number else None  # type: ignore[arg-type]


unit_of_drawing = replace(more_than_nothing, read=_scale)
"""How long one unit of a drawing is."""


def _is_pixel(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= MOST_PIXELS


KNOWN = Section(
    name="known",
    keys=(
        Key("path", text, '"ruler"', "an open line, or a printed test square", label="Line or square", needed=True),
        Key(
            "length",
            more_than_nothing,
            '"2 in"',
            "of the line, or of a side of the square; a drawing with a scale of its own must agree within 0.5 %",
            label="Its length",
            needed=True,
        ),
    ),
    value=KnownWish,
)

TILES = Section(
    name="tiles",
    keys=(
        Key(
            "columns",
            whole(1, MOST_TILES),
            "3",
            "pages beside each other",
            label="Pages beside each other",
            needed=True,
        ),
        Key("rows", whole(1, MOST_TILES), "2", "pages below each other", label="Pages below each other", needed=True),
        Key(
            "overlap",
            length(),
            '"10 mm"',
            "how far a page's printed part reaches over the next one's",
            label="They overlap by",
            default="0",
        ),
        Key(
            "margin",
            length(),
            '"10 mm"',
            "what is left free on every side of a page",
            label="Margin of each page",
            default="0",
        ),
        Key(
            "first",
            whole(1, MOST_PAGE),
            "2",
            "the page at the upper left; the others follow like the lines of a text",
            label="The page at the upper left",
            default="1",
        ),
    ),
    value=TilesWish,
)

TRACE = Section(
    name="trace",
    keys=(
        Key(
            "through",
            pixels,
            "[[120, 340], [180, 2210]]",
            "places on the edge, first end first, as a picture program shows them",
            label="Places on the edge, in pixels",
            needed=True,
        ),
        Key(
            "dpi",
            number(50, 4800),
            "300",
            "pixels to the inch of a flatbed scan; this or `sheet`",
            label="Pixels to the inch",
        ),
        Key(
            "sheet",
            choice("a4", "letter"),
            '"a4"',
            "paper of the [marker sheet](command.md) that lies in a photo",
            label="Marker sheet in the photo",
        ),
        Key(
            "follow",
            choice("line", "border"),
            '"line"',
            "a dark line, or where light meets dark",
            label="Follow",
            default='"line"',
        ),
    ),
    value=TraceWish,
    one_of=(("dpi", "sheet"),),
)
