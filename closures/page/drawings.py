"""A drawing that was handed in: its lines to choose the edge from, and the plan that is made of the choice."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from html import escape
from typing import TYPE_CHECKING, Any

from closures.curve import Curve
from closures.edges.listing import Listing
from closures.listing import edges_of
from closures.page.fields import with_fields
from closures.page.ink import path_data, tag
from closures.plan import write_plan
from closures.plan.naming import FileNaming
from closures.plan.reading import read_table

if TYPE_CHECKING:
    from closures.edges.listing import Candidate

MOST_LINES = 60
"""So many lines are offered, the longest first: an edge is among them."""

PLAN_NAME = "plan.toml"


@lru_cache(maxsize=4)
def listed(data: bytes, name: str) -> Listing:
    """List what in a drawing could be an edge.

    Raises:
        DrawingError: it cannot be read, or holds nothing.
    """
    return edges_of(data, name)


def draw_lines(listing: Listing) -> str:
    """Draw the lines of a drawing, each to be chosen by clicking it.

    Args:
        listing: what the drawing holds.

    Returns:
        One `svg` element; line n, from 0, has the data ``n``.
    """
    shown = listing.candidates[:MOST_LINES]
    boxes = [one.box_mm for one in shown] or [(0.0, 0.0, 1.0, 1.0)]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    pad = max(x1 - x0, y1 - y0, 1.0) * 0.04
    lines = "".join(_line(one, n) for n, one in enumerate(shown))
    return tag(
        "svg",
        lines,
        id="drawing",
        viewBox=f"{x0 - pad:.2f} {y0 - pad:.2f} {x1 - x0 + 2 * pad:.2f} {y1 - y0 + 2 * pad:.2f}",
        role="img",
        aria_label=f"The lines of {listing.where}. Choose one in the list, or click it here.",
    )


def _line(one: Candidate, n: int) -> str:
    data = path_data(Curve(one.line.segments).path())
    title = tag("title", escape(one.path))
    return tag(
        "g", title + tag("path", d=data, class_="wide") + tag("path", d=data, class_="thin"), class_="line", data_n=n
    )


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
    sections: dict[str, Any] = {} if drawing is None else {"drawing": drawing}
    sections |= {"units": "in" if typed.get("units") == "in" else "mm"}
    sections = with_fields(sections, typed)
    edge = sections.setdefault("edge", {})
    if typed.get("shape") == "arc":
        edge.pop("straight", None)
        edge["arc"] = {key: typed.get(f"arc.{key}", "").strip() for key in ("length", "radius", "bows")}
    known, length = typed.get("known.path", "").strip(), typed.get("known.length", "").strip()
    if known and length:
        edge["known"] = {"path": known, "length": length}
    return write_plan(read_table(sections, FileNaming(PLAN_NAME), where=PLAN_NAME))
