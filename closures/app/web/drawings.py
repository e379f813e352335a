"""A drawing that was handed in: its lines to choose the edge from, and the plan that is made of the choice."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING

from closures.app.listing import edges_of
from closures.app.web.fields import FIELDS, with_fields
from closures.app.web.ink import path_data, tag
from closures.app.web.kept import Kept
from closures.app.web.unit_meant import refuse_far_length
from closures.curve import Curve
from closures.drawing.ink.numbers import number
from closures.edges.listing import Listing
from closures.plan.naming import spoken_stem
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from closures.edges.listing import Candidate

MOST_LINES = 60
"""So many lines are offered, the longest first: an edge is among them."""

PLAN_NAME = "plan.toml"

# A turn of this and more is a corner that an edge may begin or end at; a line of more corners is lettering.
_CORNER_DEG = 10.0
_MOST_CORNERS = 40
_BETWEEN_PAGES_MM = 20.0
_ON_PAGE = re.compile(r"page (\d+), ")


_LISTINGS: Kept[Listing] = Kept(100_000_000, 4)
_PER_BYTE_READ = 6


def listed(data: bytes, name: str) -> Listing:
    """List what in a drawing could be an edge.

    Raises:
        DrawingError: it cannot be read, or holds nothing.
    """
    return _LISTINGS.made((data, name), lambda: edges_of(data, name), _PER_BYTE_READ * len(data))


def draw_lines(listing: Listing) -> str:
    """Draw the lines of a drawing, each to be chosen by clicking it, the pages of a pattern side by side.

    Args:
        listing: what the drawing holds.

    Returns:
        One `svg` element; line n, from 0, has the data ``n``, and so have its corners, with their place.
    """
    shown = listing.candidates[:MOST_LINES]
    shifts = _shifts(shown)
    boxes = [_shifted(one.box_mm, shifts[_page_of(one)]) for one in shown] or [(0.0, 0.0, 1.0, 1.0)]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    pad = max(x1 - x0, y1 - y0, 1.0) * 0.04
    lines = "".join(_line(one, n, shifts[_page_of(one)]) for n, one in enumerate(shown))
    corners = "".join(_corners(one, n, shifts[_page_of(one)], 0.4 * pad) for n, one in enumerate(shown))
    return tag(
        "svg",
        lines + corners,
        id="drawing",
        viewBox=f"{x0 - pad:.2f} {y0 - pad:.2f} {x1 - x0 + 2 * pad:.2f} {y1 - y0 + 2 * pad:.2f}",
        role="img",
        aria_label=f"The lines of {listing.where}. Choose one in the list, or click it here.",
    )


def corners_of(one: Candidate) -> tuple[str, ...]:
    """Name the places where a line turns sharply and, where it is open, its ends, as a plan takes them."""
    curve = Curve(one.line.segments)
    places = [point for along, _ in curve.corners(_CORNER_DEG)[:_MOST_CORNERS] for point in [curve.point_at(along)]]
    if one.is_open or not places or _is_corner(one):
        places.insert(0, one.line.start)
    if one.is_open:
        places.append(one.line.end)
    return tuple(f"{number(x, 2)} mm, {number(y, 2)} mm" for x, y in places)


def is_on_pages(listing: Listing) -> bool:
    """Whether the lines lie on several pages, which do not tell how they belong together."""
    return len({_page_of(one) for one in listing.candidates[:MOST_LINES]}) > 1


def _is_corner(one: Candidate) -> bool:
    """Whether a closed line turns sharply where it begins."""
    (ax, ay), (bx, by) = one.line.segments[-1].tangent(1.0), one.line.segments[0].tangent(0.0)
    return abs(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))) >= _CORNER_DEG


def _page_of(one: Candidate) -> int:
    found = _ON_PAGE.match(one.path)
    return int(found[1]) if found else 0


def _shifts(shown: Sequence[Candidate]) -> dict[int, float]:
    """How far to the right each page is drawn, so that no page lies on another."""
    boxes: dict[int, list[tuple[float, float, float, float]]] = {}
    for one in shown:
        boxes.setdefault(_page_of(one), []).append(one.box_mm)
    shifts, free = {}, 0.0
    for page in sorted(boxes):
        low, high = min(b[0] for b in boxes[page]), max(b[2] for b in boxes[page])
        shifts[page] = free - low if len(boxes) > 1 else 0.0
        free += (high - low) + _BETWEEN_PAGES_MM
    return shifts


def _shifted(box: tuple[float, float, float, float], right: float) -> tuple[float, float, float, float]:
    return (box[0] + right, box[1], box[2] + right, box[3])


def _moved(right: float) -> str | None:
    return f"translate({right:.2f} 0)" if right else None


def _line(one: Candidate, n: int, right: float) -> str:
    data = path_data(Curve(one.line.segments).path())
    title = tag("title", escape(one.path))
    inside = title + tag("path", d=data, class_="wide") + tag("path", d=data, class_="thin")
    return tag("g", inside, class_="line", data_n=n, transform=_moved(right))


def _corners(one: Candidate, n: int, right: float, radius: float) -> str:
    dots = []
    for place in corners_of(one):
        x, y = (float(part.removesuffix(" mm")) for part in place.split(", "))
        dots.append(tag("circle", tag("title", place), cx=x, cy=y, r=radius, class_="corner", data_n=n, data_at=place))
    return tag("g", "".join(dots), transform=_moved(right))


def plan_text(drawing: str | None, typed: Mapping[str, str]) -> str:
    """Make a plan's text of what was filled in.

    Args:
        drawing: the drawing's name, None for an edge in numbers.
        typed: the fields.

    Returns:
        The text of a plan file.

    Raises:
        PlanError: something is missing or wrong.
    """
    given = {name: told for name, told in typed.items() if told.strip()}
    given[".units"] = "in" if typed.get("units") == "in" else "mm"
    if drawing is not None:
        given[".drawing"] = drawing
        # Until it is given a title it is called as its drawing.
        given.setdefault(".title", spoken_stem(drawing))
    left_out = ["spacing.pitch" if typed.get("spacing.by") == "count" else "spacing.count"]
    if typed.get("shape") == "arc":
        left_out.append("edge.straight")
    elif "shape" in typed:
        left_out += [f"edge.arc.{key}" for key in ("length", "radius", "bows")]
    if not ("edge.known.path" in given and "edge.known.length" in given):
        left_out += ["edge.known.path", "edge.known.length"]
    fields = {name: given[name] for name in FIELDS if name in given and name not in left_out}
    if drawing is None:
        refuse_far_length(fields)
    text = with_fields("", fields)
    read_plan(text.encode(), PLAN_NAME)
    return text
