"""What a drawing holds, as text and as figures."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from closures.lengths import format_length
from closures.report.telling import rounded
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.edges.listing import Listing
    from closures.plan.top import Units

MOST_SHOWN = 60
"""Lines that a terminal and a picture show; the figures hold them all."""


def list_edges_text(listing: Listing, units: Units = "mm") -> str:
    """List the lines and points of a drawing as a table, the longest line first.

    Args:
        listing: what the drawing holds.
        units: what lengths are told in.

    Returns:
        The text, without a final line break.
    """
    shown = listing.candidates[:MOST_SHOWN]
    rows = [("no.", "path", "length", "open", "shape", "box from", "box to", "layer")]
    for n, one in enumerate(shown, 1):
        x0, y0, x1, y1 = one.box_mm
        rows.append(
            (
                str(n),
                f'"{one.path}"',
                format_length(one.length_mm, units),
                "open" if one.is_open else "closed",
                one.shape,
                f"{x0:.0f}, {y0:.0f}",
                f"{x1:.0f}, {y1:.0f}",
                one.layer,
            )
        )
    lines = [listing.where, "", *text_table(rows)]
    rest = len(listing.candidates) - len(shown)
    if rest:
        lines.append(f"... and {rest} shorter ones; --json lists them all.")
    if listing.left_out:
        count = listing.left_out
        lines.append(f"{count} line{'s' if count > 1 else ''} under 5 mm {'are' if count > 1 else 'is'} left out.")
    if listing.points:
        points = [("at", "what", "across, down")]
        points += [
            (f'"{one.name}"', one.kind, f"{one.x_mm:.1f}, {one.y_mm:.1f}") for one in listing.points[:MOST_SHOWN]
        ]
        lines += ["", "Points that an anchor can sit at:", *text_table(points)]
    lines += ["", *_advice(listing)]
    return "\n".join(lines)


def how_read_text(listing: Listing) -> list[str]:
    """How well each line that is shown follows the points that stand for it, a line of text for each that has any."""
    told = ((n, one.as_read().notes) for n, one in enumerate(listing.candidates[:MOST_SHOWN], 1))
    return [f"No. {n}, points and curve: {' '.join(notes)}" for n, notes in told if notes]


def _advice(listing: Listing) -> list[str]:
    lines = list(listing.notes)
    if not listing.has_size:
        lines.append(
            "The drawing does not say how large it is: none of these lengths is to be trusted before known or scale "
            "stands under [edge]."
        )
    first = listing.candidates[0] if listing.candidates else None
    if first is not None and any(not one.is_open for one in listing.candidates):
        lines.append("An edge on a closed line: name it as path, and write from and to (and via) under [edge].")
    return lines or ["Write the one you mean as path under [edge]."]


def edges_json(listing: Listing) -> bytes:
    """Write the lines and points of a drawing as JSON."""
    figures: dict[str, Any] = {
        "file": listing.where,
        "has_size": listing.has_size,
        "edges": [
            {
                "path": one.path,
                "length_mm": rounded(one.length_mm),
                "open": one.is_open,
                "box_mm": [rounded(value) for value in one.box_mm],
                "shape": one.shape,
                "layer": one.layer,
            }
            for one in listing.candidates
        ],
        "points": [
            {"at": one.name, "kind": one.kind, "x_mm": rounded(one.x_mm), "y_mm": rounded(one.y_mm)}
            for one in listing.points
        ],
        "notes": list(listing.notes),
    }
    return (json.dumps(figures, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()
