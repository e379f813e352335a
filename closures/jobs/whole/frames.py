"""Which openings lie in one frame: on one drawing, read alike, on pieces that were drawn as they lie when worn.

The other side of a body is the mirror image of what was drawn. Where a front or back closes on the same drawing, its
two halves lie on each other along its closing line (laps are closed centre to centre: common practice), so what belongs
to them is mirrored about that line, as it runs where it comes nearest. Of edges that meet it is the
middle between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.plan.garment import ON_LIMBS
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.curve import Curve, Point
    from closures.placing.placement import Placement
    from closures.plan.garment_file import Opening

PENCIL_MM = 1.0
"""Pieces that meet at a seam are drawn on each other within a pencil's width (common practice)."""
_SAGITTA_MM = 0.05


@frozen
class Worked:
    """One opening with its placement.

    Attributes:
        opening: as the garment file tells it.
        placement: its closures.
        drawing: the file that its edge lies in, the same for the same file; None where it lies in none.
    """

    opening: Opening
    placement: Placement
    drawing: str | None


@frozen
class Part:
    """What a closure takes of the cloth: round a line, as the drawing has it.

    Attributes:
        n: of its mark.
        ends: of the line; alike for a rim, which is round a point.
        round_mm: how far it reaches round that.
    """

    n: int
    ends: tuple[Point, Point]
    round_mm: float


@frozen
class Centre:
    """The line about which a body is alike.

    Attributes:
        name: of the opening that closes there.
        point: on the line.
        towards: its unit direction.
        is_gap: it is the middle between two edges that meet, and no closing line.
    """

    name: str
    point: Point
    towards: Point
    is_gap: bool = False

    def mirrored(self, point: Point) -> Point:
        """The same place on the other side."""
        (px, py), (tx, ty) = self.point, self.towards
        along = (point[0] - px) * tx + (point[1] - py) * ty
        return (2 * (px + along * tx) - point[0], 2 * (py + along * ty) - point[1])


def parts_of(one: Worked, catalogue: Catalogue) -> list[Part]:
    """The rim of every closure, and its buttonhole where it has one, as worn; of a mirrored opening as its plan's."""
    from closures.placing.buttonhole import slits_of

    placement = one.placement.as_worn
    turn = turn_of(placement)
    slits = {n: slit.ends_mm for (_, n), slit in slits_of(placement, catalogue).items()}
    parts = []
    for mark in placement.all_marks:
        x, y = mark.x_mm, mark.y_mm
        at = (turn * x, y)
        parts.append(Part(mark.n, (at, at), placement.fastener_of(mark.n).rim_mm))
        if mark.n in slits:
            (a, b), (c, d) = slits[mark.n]
            parts.append(Part(mark.n, ((turn * (x + a), y + b), (turn * (x + c), y + d)), 0.0))
    return parts


def across(parts: Sequence[Part], centre: Centre) -> list[Part]:
    """The same closures on the other side of the body."""
    return [Part(one.n, (centre.mirrored(one.ends[0]), centre.mirrored(one.ends[1])), one.round_mm) for one in parts]


def centre_of(worked: Sequence[Worked], turned: Worked, parts: Sequence[Part]) -> Centre | None:
    """The line about which what is drawn is mirrored to the body's other side; None where no front or back closes.

    Args:
        worked: all openings.
        turned: the mirrored one.
        parts: its closures.
    """
    for one in worked:
        placement = one.placement.as_worn
        closes_there = placement.laps.garment.opens in ("front", "back") and not one.opening.mirrored
        is_alike = one.drawing == turned.drawing and _reading(one.placement) == _reading(turned.placement)
        if not (closes_there and is_alike):
            continue
        # Edges that meet lie on either side of the middle of their gap; laps are closed centre to centre.
        laps, is_meeting = placement.laps, placement.laps.garment.is_meeting
        lies = laps.over.edge if is_meeting else laps.line
        line = lies if turn_of(placement) > 0 else lies.mirrored()
        feet = (line.nearest(point) for part in parts for point in part.ends)
        nearest = min(feet, key=lambda found: found.distance_mm)
        towards = line.tangent_at(nearest.along_mm)
        point = nearest.point
        if is_meeting:
            share = nearest.along_mm / line.length_mm
            point = _off_the_cloth(placement, point, towards, half_gap_mm(placement, share))
        return Centre(one.opening.name, point, towards, is_meeting)
    return None


def half_gap_mm(placement: Placement, share: float) -> float:
    """How far an edge that meets another lies from the middle between them, so far along it, from 0 to 1."""
    wish = placement.plan.garment
    if wish is None:
        return 0.0
    first, last = wish.gaps_mm
    return (first + share * (last - first)) / 2


def _off_the_cloth(placement: Placement, at: Point, towards: Point, by_mm: float) -> Point:
    """A point so far outside a finished edge, square to it: the cloth lies on the other side, where the row does."""
    turn = turn_of(placement)
    line = placement.laps.line if turn > 0 else placement.laps.line.mirrored()
    x, y = line.nearest(at).point
    is_left = towards[0] * (y - at[1]) - towards[1] * (x - at[0]) > 0
    sign = -1.0 if is_left else 1.0
    return (at[0] - sign * towards[1] * by_mm, at[1] + sign * towards[0] * by_mm)


def is_one_drawing(first: Worked, second: Worked) -> bool:
    """Whether both edges lie on one drawing that both plans read alike, on pieces drawn where they lie when worn."""
    if first.drawing is None or first.drawing != second.drawing:
        return False
    return _reading(first.placement) == _reading(second.placement) and not _lie_apart(first, second)


_READ_BY = ("known", "scale", "tiles", "join", "moved", "longer", "shows", "[shrinkage]")
"""What a plan's reading of its drawing hangs on, in the order of `_reading`, as plans tell it."""


def why_not_compared(first: Worked, second: Worked) -> str:
    """Why no drawing shows how near two openings lie, a sentence that goes on from another."""
    if first.drawing is None or first.drawing != second.drawing:
        return "no drawing shows where both lie on the garment"
    name = first.placement.plan.drawing
    readings = [_reading(one.placement) for one in (first, second)]
    if readings[0] != readings[1]:
        unlike = [key for key, own, other in zip(_READ_BY, *readings, strict=False) if own != other]
        return (
            f"both lie on {name}, which their plans read unlike, by {in_a_row(unlike)}: one drawing has one scale and "
            "one state. Tell the same in both"
        )
    if _lie_apart(first, second):
        return f"{name} shows their pieces beside each other, as for cutting, and not as they lie on the garment"
    return f"on {name} no front or back closes, about which one of them could be turned over"


def lie_on_two_sides(first: Worked, second: Worked) -> bool:
    """Whether one opening is on the body's left side or shoulder, and the other on its right: far from each other."""
    sides = [str(one.placement.laps.garment.opens).split() for one in (first, second)]
    return {words[0] for words in sides} == {"left", "right"}


_OF_A_TRUNK = ("front", "back", "side", "shoulder", "crotch")


def can_meet(first: Worked, second: Worked) -> bool:
    """Whether closures of two openings can come near each other on a body at all, however they are cut.

    What closes a sleeve lies far from the trunk, the neck and the waist, and a collar far from what is not at the neck
    or the shoulders; the slits of two sleeves lie on two arms (common practice). All else may.
    """
    places = {_place_on_body(first), _place_on_body(second)}
    if places == {"limb"}:
        # A cuff closes the slit above it; of two slits, and of two cuffs, each has an arm.
        straps = [one.placement.plan.strap is not None for one in (first, second)]
        if all(straps):
            return False
        return any(straps) or bool(first.opening.mirrored) == bool(second.opening.mirrored)
    return not any(places == {one, other} for one, other in _FAR_APART)


_FAR_APART = (
    *(("limb", place) for place in (*_OF_A_TRUNK, "collar", "waist")),
    *(("collar", place) for place in ("side", "crotch", "inseam", "waist")),
)


def _place_on_body(one: Worked) -> str:
    """Where an opening is on a body: a name of the table; empty where its plan does not tell."""
    plan, opens = one.placement.plan, one.placement.laps.garment.opens
    if plan.belt is not None:
        return "waist"
    if plan.row is not None:
        return {"cuff": "limb", "collar": "collar", "waistband": "waist"}.get(plan.row.piece, "")
    if opens == "flat":
        words = {word for name in (one.opening.name, *one.placement.ends) for word in name.casefold().split()}
        return "limb" if words & ON_LIMBS else ""
    return "front" if opens is None else opens.split()[-1]


def turn_of(placement: Placement) -> float:
    """Which way x runs in the drawing beside the frame of a placement: -1 where it was turned over on reading."""
    return -1.0 if placement.plan.is_turned else 1.0


def _reading(placement: Placement) -> tuple[object, ...]:
    """What a plan does with its drawing beside turning it over; unlike readings give frames that are unlike."""
    edge, washed = placement.plan.edge, placement.plan.shrinkage
    if edge is None:
        return (None,)
    # Places are compared as they are worn: what was drawn unwashed shrinks with the whole drawing.
    shrinks = None if washed is None or washed.measured == "washed" else (washed.along, washed.across)
    return (edge.known, edge.unit_mm, edge.tiles, edge.joins, edge.moved, edge.longer, edge.shows, shrinks)


def _lie_apart(first: Worked, second: Worked) -> bool:
    """Whether both edges are of pieces that are drawn beside each other, as for cutting."""
    import shapely

    outlines = [one.placement.as_worn.outline for one in (first, second)]
    shapes = [_shape(outline, turn_of(one.placement)) for outline, one in zip(outlines, (first, second), strict=True)]
    if shapes[0] is None or shapes[1] is None:
        return False
    return bool(shapely.distance(shapes[0], shapes[1]) > PENCIL_MM)


def _shape(outline: Curve | None, turn: float) -> object:
    import shapely

    if outline is None:
        return None
    return shapely.Polygon([(turn * x, y) for x, y in outline.approximate_polyline(_SAGITTA_MM)])
