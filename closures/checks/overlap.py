"""Whether both laps lie under every rim.

Where the edges are drawn and not told by widths, the laps may meet in a lens or run apart
towards an end; the *overlap* is the cloth that both of them cover.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.checked import Checked, first_least
from closures.checks.finding import Finding
from closures.said import for_author

if TYPE_CHECKING:
    from shapely import Polygon

    from closures.curve import Curve
    from closures.placing.lap import Lap

# The overlap is cut out of chords that leave their curves by this much.
_SAGITTA_MM = 0.005


def check_overlap(checked: Checked) -> list[Finding]:
    """Does every rim lie wholly where the over lap lies on the under lap?"""
    (edge, _, _), laps = checked.placement.plan.along_an_edge, checked.placement.laps
    if checked.fastener.family == "eyelet" and not laps.garment.is_meeting:
        wish = checked.placement.plan.garment
        return [_of_eyelets(is_told=wish is not None and wish.edges == "lapped")]
    if (edge.under is None and edge.line is None) or not laps.is_one_frame:
        # On a piece of its own a mark is held against that lap's own edges: see edge distance and band width.
        return []
    over, under = (_outline(lap) for lap in laps.both)
    if over is None or under is None:
        return []
    from shapely import Point

    overlap = over.intersection(under)
    rooms = []
    for mark in checked.placement.marks:
        centre = Point(mark.x_mm, mark.y_mm)
        to_border = overlap.boundary.distance(centre) if not overlap.is_empty else 0.0
        inside = not overlap.is_empty and overlap.contains(centre)
        rooms.append((mark.n, (to_border if inside else -to_border) - checked.rim_mm))
    short = [(n, room) for n, room in rooms if room < -_SAGITTA_MM]
    if not short:
        n, room = first_least(rooms, lambda entry: entry[1])
        text = f"Both laps reach at least {checked.show(max(room, 0.0))} past every rim."
        return [Finding("overlap", "pass", text, "geometry", None, n, room, 0.0, "least")]
    return [
        Finding(
            "overlap",
            "fail",
            f"The rim reaches {checked.show(-room)} past the cloth that both laps cover. Widen a lap there, move the "
            "closing line, or move the mark.",
            "geometry",
            None,
            n,
            room,
            0.0,
            "least",
        )
        for n, room in short
    ]


def _of_eyelets(*, is_told: bool) -> Finding:
    """Ask what closes eyelets in laps: both rows are holes, and a cord through both is no part of the plan."""
    side_by_side = 'write edges = "meeting" under [garment], with its gap'
    if is_told:
        text = (
            "These edges lap, and both rows are eyelets: nothing here closes one lap on the other. The eyelets of the "
            "over lap lie on those of the under lap, and what is drawn through both, such as a cord, is not in this "
            "plan."
        ) + for_author(
            f" For edges that are laced side by side, {side_by_side}; or take a closure whose halves meet, such as a "
            "snap.",
            " Are the edges laced side by side? Else take a closure whose halves meet, such as a snap.",
        )
    else:
        text = (
            "Eyelets are laced through edges that meet, and where the plan does not say so these lap: nothing here "
            "closes one lap on the other, while the steps are those of edges side by side."
        ) + for_author(
            f' For such edges {side_by_side}; for laps, edges = "lapped"; or take a closure whose halves meet, such '
            "as a snap.",
            " For laps take a closure whose halves meet, such as a snap.",
        )
    return Finding("overlap", "warn", text, "common practice")


def _outline(lap: Lap) -> Polygon | None:
    """The band of a lap as one piece, None where its inner edge is not known or it is no plain piece."""
    from shapely import Polygon

    if lap.inner is None:
        return None
    outline = Polygon([*_chords(lap.edge), *reversed(_chords(lap.inner))])
    return outline if outline.is_valid else None


def _chords(curve: Curve) -> list[tuple[float, float]]:
    return list(curve.approximate_polyline(_SAGITTA_MM))
