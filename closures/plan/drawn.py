"""What of a plan is told in its drawing: a drawing of which nothing is used is refused, and so is a name in one.

An edge that is told in words or by measured points begins where its first point is, and lies in no drawing: a place of
a drawing beside it would shift levels and marks by as much as the two beginnings are apart.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

from closures.errors import typed
from closures.lengths import shown_value
from closures.plan.section import Complaint

if TYPE_CHECKING:
    from closures.plan.edge import EdgeWish
    from closures.plan.plan import Plan

_IN_WORDS = (
    ("straight", "straight_mm"), ("arc", "arc"), ("points", "points"), ("points", "points_file"),
    ("arc_through", "arc_through"),
)  # fmt: skip
# What is said of a drawing, by key and field.
_OF_DRAWING = (
    ("known", "known"), ("scale", "unit_mm"), ("layers", "layers"), ("tiles", "tiles"), ("joins", "joins"),
)  # fmt: skip
_LEFT_OUT = {
    "scale": "Leave it out: lengths are written with their unit.",
    "layers": "Leave it out. It names layers of a drawing; layers of cloth are told by their cloth and thickness.",
}
_EXACT = ("straight", "arc", "arc_through")


def in_words(edge: EdgeWish | None) -> str:
    """Give the key by which an edge is told that lies in no drawing; empty for one that lies in its drawing."""
    return next((key for key, field in _IN_WORDS if getattr(edge, field, None) is not None), "")


def lines_told_by(drawing: str) -> str:
    """Say how the lines of a drawing are listed."""
    return f"the lines of {drawing} are told by closures edges {typed(drawing)}"


_ADDRESS = re.compile(r"[A-Za-z][A-Za-z+.-]+:/")
"""How an address on the web, or of a file as a browser shows it, begins; also where one of its two strokes was lost."""
_OF_WINDOWS = re.compile(r"[A-Za-z]:[\\/]")


def against_drawing(plan: Plan) -> Iterator[Complaint]:
    """Tell a drawing that lies elsewhere, and one of which the plan uses nothing."""
    for key, name in (("drawing", plan.drawing), ("supplies", plan.supplies)):
        what = ""
        if name is not None and _ADDRESS.match(name):
            what = f'"{name}" is an address, and what is read lies beside the plan'
        elif name is not None and sys.platform != "win32" and _OF_WINDOWS.match(name):
            what = f'"{name}" is a place on a computer with Windows, and this is none'
        if name is not None and what:
            bare = shown_value(re.split(r"[\\/]", name)[-1]).replace("'", '"')
            yield key, what, f"Save the file in the plan's folder and write its name alone: {key} = {bare}."
    if plan.drawing is None or (plan.way_in is not None and plan.way_in.outlines):
        return
    if plan.edge is None:
        yield "drawing", "nothing of it is used: a strap is told by its lengths", "Take drawing out."
        return
    told = in_words(plan.edge)
    if told and plan.edge.under is None and plan.edge.line is None:
        what = f"nothing of it is used: the edge is told by {told}"
        mend = f"Write path under [edge] in place of {told} ({lines_told_by(plan.drawing)}); or take drawing out."
        yield "drawing", what, mend


def against_places(plan: Plan) -> Iterator[Complaint]:
    """Tell places that are named in a drawing, of an edge that lies in none: keys of `[edge]`."""
    edge, told = plan.edge, in_words(plan.edge)
    if edge is None or not told:
        return
    if isinstance(edge.level_zero, str):
        yield (
            "level_zero",
            f"it names {shown_value(edge.level_zero)} in a drawing, and an edge that is told by {told} lies in none",
            "Write a length down from where the figures of the edge begin, such as "
            'level_zero = "-40 mm" for 40 mm above; or leave level_zero out, to measure from its first end.',
        )
    if any(isinstance(over, str) for over, _ in edge.match):
        what = f"it names a place in a drawing, and an edge that is told by {told} lies in none"
        yield "match", what, 'Write the over lap\'s place as { level = "120 mm" }.'


def against_scale(plan: Plan) -> Iterator[Complaint]:
    """Tell what is said of a drawing, or of points that are read, beside an edge that has none: keys of `[edge]`."""
    edge = plan.edge
    if edge is None:
        return
    told = in_words(edge) or ("trace" if edge.trace is not None else "")
    is_used = edge.under is not None or edge.line is not None or (plan.way_in is not None and plan.way_in.outlines)
    for key, field in _OF_DRAWING if told and not is_used else ():
        if getattr(edge, field):
            yield key, f"it is said of a drawing, and the edge is told by {told}", _LEFT_OUT.get(key, "Leave it out.")
    if edge.read_within_mm is not None and told in _EXACT:
        yield "read_within", f"no points are read: the edge is told by {told}", "Leave it out."


def against_anchors(plan: Plan) -> Iterator[Complaint]:
    """Tell anchors at a point of a drawing, of an edge that lies in none: keys of `[[anchor]]`."""
    told = in_words(plan.edge)
    for anchor in plan.anchors if told else ():
        if isinstance(anchor.at, str):
            name, place = shown_value(anchor.name), shown_value(anchor.at)
            what = f"{name} names {place} in a drawing, and an edge that is told by {told} lies in none"
            yield "at", what, "Write level or along, with a length, in place of at."
