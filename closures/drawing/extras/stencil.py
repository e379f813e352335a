"""A template to cut out of card or plastic: holes, an outline, hairlines, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Pen, line, moved
from closures.drawing.sheets.view import View
from closures.drawing.write.svg import write_shapes
from closures.placing.looped import loop_of
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from collections.abc import Collection

    from closures.catalogue.values import LapName
    from closures.placing.placement import LapMark, Placement
    from closures.plan.band import Face

HAIR = Pen(0.05)
"""What cutting machines take for a cut rather than a picture."""

AWL_MM = 1.5
_MARGIN_MM = 5.0
_NOTCH_MM = 2.0
"""How wide a notch in the edge is, and how deep: a pencil marks its middle."""


def stencil_hole_mm(placement: Placement) -> float:
    """How wide the holes are: as the plan says, as wide as the post, or as an awl."""
    wish = placement.plan.sheets
    if wish is not None and wish.stencil_hole_mm is not None:
        return wish.stencil_hole_mm
    hole = placement.fastener.hole
    if hole is not None and hole.diameter is not None and hole.way in ("hole", "awl"):
        return hole.diameter.value
    return AWL_MM


def stencil_svg(
    placement: Placement,
    lap: LapName,
    opening: str = "",
    face: Face = "outside",
    elsewhere: Collection[int] = (),
) -> bytes:
    """Draw the stencil of one lap, 1:1 in user units of 1 mm.

    Its outline is the finished edge, both ends, and the line where the band ends (or a line a little past the
    holes).

    Args:
        placement: closures along an edge.
        lap: which lap.
        opening: of a garment with several openings, the name of this one; else empty.
        face: which face of the cloth it is laid on.
        elsewhere: marks that are measured on the other face: nothing is cut for them.
    """
    # Of a piece far wider than its band the band alone is cut.
    chosen = placement.laps[lap].as_strip
    view = View(placement.laps, chosen, face == "inside")
    radius = {mark.n: stencil_hole_mm(share) / 2 for share in placement.shares for mark in share.marks}
    marks = [mark for mark in placement.all_new_on(lap) if mark.n not in elsewhere]
    holes = [Group(f"{lap}-{m.n}", *_cut_at(placement, view, m, radius[m.n])) for m in marks]
    edge, inner = chosen.edge, chosen.inner or chosen.line
    back = inner.reversed()
    commands = (
        *view.path(edge),
        *(("L", *command[1:]) if k == 0 else command for k, command in enumerate(view.path(back))),
        ("Z",),
    )
    shapes: list[Item] = [Group("outline", "outline to cut", (Path(commands, HAIR),))]
    if chosen.inner is None:
        # No band ends here, so the holes would lie on the outline: a line further in is cut instead.
        shapes = [Group("outline", "outline to cut", _box(placement, view))]
    items = [*shapes, *holes]
    box = union(box_of(item) for item in items)
    dx, dy = _MARGIN_MM - box[0], _MARGIN_MM - box[1]
    size = (box[2] - box[0] + 2 * _MARGIN_MM, box[3] - box[1] + 2 * _MARGIN_MM)
    # In words that no machine cuts: letters on it would be holes.
    of = f"{opening}, " if opening else ""
    title = f"{placement.plan.title}: {of}stencil, {lap} lap, {face} face up, run {run_mark(placement)}"
    return write_shapes(title, *size, [moved(item, dx, dy) for item in items], is_on_paper=False)


def _cut_at(placement: Placement, view: View, mark: LapMark, radius_mm: float) -> tuple[str, tuple[Item, ...]]:
    """What is cut at a mark, with its name: a hole; or where that would lie on the edge or past it, notches in it."""
    style = placement.fastener_of(mark.n).mark.on(view.lap.name)
    spot = view.spot_of(mark)
    if style != "loop" and not view.lap.past_edge_mm:
        return f"hole {mark.n}", (Circle(*spot.at, radius_mm, HAIR, "centre"),)
    loop = loop_of(placement) if style == "loop" else None
    feet = 0.0 if loop is None else loop.marked_mm
    at_edge = replace(spot, at=spot.edge_at)
    notches = tuple(
        line(*(at_edge.moved(u + du, deep) for du, deep in ((-half, 0.0), (0.0, 2 * half), (half, 0.0))), pen=HAIR)
        for half in (_NOTCH_MM / 2,)
        for u in dict.fromkeys((-feet / 2, feet / 2))
    )
    told = "notches at the feet of loop" if len(notches) > 1 else f"notch at {style}"
    return f"{told} {mark.n}", notches


def _box(placement: Placement, view: View) -> tuple[Item, ...]:
    edge = view.lap.edge
    spots = [view.spot(view.row_mm * k / 200) for k in range(201)]
    far = [spot.moved(0.0, placement.rim_mm + 8.0) for spot in reversed(spots)]
    closed = (view.point(*edge.end), *far, view.point(*edge.start))
    return (Path(view.path(edge), HAIR), line(*closed, pen=HAIR))


def _files(drawn: Drawn) -> dict[str, bytes]:
    laps = drawn.placement.laps.both
    faces = drawn.faces
    return {
        f"{lap.name}-stencil.svg": stencil_svg(
            drawn.placement, lap.name, drawn.opening, faces[lap.name], _measured_elsewhere(drawn, lap.name)
        )
        for lap in laps
    }


def _measured_elsewhere(drawn: Drawn, lap: LapName) -> frozenset[int]:
    """Marks whose part lies on the other face of a lap, and that would stay to be seen on this one."""
    return frozenset(
        mark.n
        for share in drawn.placement.shares
        if drawn.face_marked(share, lap) != drawn.faces[lap]
        for mark in share.marks
    )


EXTRA = Extra(
    "stencil", "a template to cut for either lap, as SVG", 62, *switched("stencil"), files=_files, for_setting=True
)
