"""Which face of a lap is marked: the outside, unless a mark would stay to be seen there and its part is sewn within.

A snap that is sewn on, a hook, an eye, half of a magnet lie on the inside of the over lap, and where edges meet on that
of both. A prick, a point of an awl or a chalk dot outside is then covered by nothing: common practice is to mark the
face on which the part is sewn; so it is where what lies inside keeps or runs from the pin that would come through.
Cloth that closes over a pin is marked through, from outside, as for other closures.
A tape is pinned along its marks, and the loops of an edge that is made already are sewn to its inside: they are marked
where they are seen while that is done, whatever the cloth (common practice).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.cloth_marks import face_among, has_nap_alone, own_layers
from closures.placing.knitted import keeps_loops
from closures.placing.role import face_of
from closures.placing.single_layer import MADE_ALREADY
from closures.placing.stack import cloths_among, layers_on

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer
    from closures.plan.band import Face, FaceWish
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")
# What keeps a prick, a point, a stitch or chalk on its face, or lets nothing of it through: common practice.
_KEEPS = {"leather", "coated", "silk", "satin", "sheer", "pile", "nonwoven"}


def faces_to_mark(placement: Placement, catalogue: Catalogue, wish: FaceWish = "usual") -> Mapping[LapName, Face]:
    """Tell which face of either lap its sheet lies on.

    Args:
        placement: a row, or a share of one: the sheet is that of the whole row.
        catalogue: where cloths are looked up.
        wish: a face for both laps, or the usual one of each.
    """
    if wish != "usual":
        return {lap: wish for lap in _LAPS}
    row = placement.row
    within = {
        lap
        for lap in _LAPS
        if _is_pinned_within(row, lap)
        or (_lie_within(row, lap, row.all_on(lap)) and _bears_no_mark(row, catalogue, lap))
    }
    return {lap: "inside" if lap in within else "outside" for lap in _LAPS}


def _is_pinned_within(row: Placement, lap: LapName) -> bool:
    """Whether a tape is pinned to the inside of a lap, or loops are sewn to the inside of an edge that is made."""
    fastener, marks = row.fastener, row.all_on(lap)
    is_loop = fastener.setting == "loop" and fastener.mark.on(lap) == "loop" and row.plan.state in MADE_ALREADY
    if not (fastener.is_taped or is_loop) or not marks:
        return False
    return all(face_of(row, mark.n, lap) == "inside" for mark in marks)


def is_marked_within(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether the parts of a share on a lap all lie on its inside alone, and its outside bears no mark of them."""
    return is_sewn_within(placement, lap) and _bears_no_mark(placement, catalogue, lap)


def must_not_show_outside(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether the parts of a share on a lap all lie on its inside, and its outside keeps what comes through to it."""
    return is_sewn_within(placement, lap) and _keeps_marks_outside(placement, catalogue, lap)


def is_sewn_within(placement: Placement, lap: LapName) -> bool:
    """Whether the parts of a share on a lap all lie on its inside alone."""
    return _lie_within(placement, lap, placement.on(lap))


def is_held_within(placement: Placement, lap: LapName) -> bool:
    """Whether what is sewn to a lap is sewn to its inner layers alone, wherever it is marked: a button goes where its
    buttonhole wants it. Loops are caught in the seam of the edge.
    """
    marks = placement.on(lap)
    return bool(marks) and all(
        placement.fastener_of(mark.n).setting != "loop" and face_of(placement, mark.n, lap) == "inside"
        for mark in marks
    )


def _lie_within(placement: Placement, lap: LapName, marks: Sequence[LapMark]) -> bool:
    return bool(marks) and all(
        not placement.fastener_of(mark.n).is_apart_from_mark and face_of(placement, mark.n, lap) == "inside"
        for mark in marks
    )


def _bears_no_mark(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether a mark on the outside of a lap would stay to be seen, or never reach the inside."""
    return _keeps_marks_outside(placement, catalogue, lap) or _is_tender_within(placement, catalogue, lap)


def _keeps_marks_outside(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether a mark on the outside of a lap would stay to be seen there, or let nothing of it through."""
    if _is_closed_over(placement.plan):
        return False
    outside = face_among(layers_on(lap, own_layers(placement.plan), catalogue))
    return outside is not None and bool(_made(outside, catalogue) & _KEEPS)


def _is_tender_within(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether what lies on the inside of a lap keeps the pin that would bring a mark there, or runs from it.

    The cloth outside may bear it, and is then marked for nothing: the part lies on the other face (common practice).
    """
    layers = layers_on(lap, own_layers(placement.plan), catalogue)
    outside, inside = face_among(layers), face_among(layers[::-1])
    if _is_closed_over(placement.plan) or outside is None or inside is None:
        return False
    runs = {"knit"} if not keeps_loops((inside,), placement.plan, catalogue) else set()
    return bool(_made(inside, catalogue) & (_KEEPS | runs) - _made(outside, catalogue))


def _is_closed_over(plan: Plan) -> bool:
    """Knitting closes over a stitch of thread; a patch lies outside over the mark."""
    return plan.gauge is not None or (plan.swap is not None and plan.swap.patch_mm is not None)


def _made(layer: Layer, catalogue: Catalogue) -> frozenset[str]:
    return frozenset(cloths_among((layer,))) - ({"pile"} if has_nap_alone((layer,), catalogue) else set())


def marked_cloths(
    placement: Placement, catalogue: Catalogue, laps: Sequence[LapName], up: Mapping[LapName, Face]
) -> tuple[Layer, ...]:
    """List the cloth of some laps that is marked: the outermost of each, or the innermost where its inside lies up."""
    found = []
    for lap in laps:
        layers = layers_on(lap, own_layers(placement.plan), catalogue)
        found.append(face_among(layers if up[lap] == "outside" else layers[::-1]))
    return tuple(one for one in found if one is not None)


def faces_marked(placement: Placement, catalogue: Catalogue, up: Mapping[LapName, Face]) -> Mapping[LapName, Face]:
    """Tell which face of either lap the marks of a share of a row come to lie on, whatever face its sheet is for."""
    return {**up, **measured_beyond(placement, catalogue, up)}


def measured_beyond(placement: Placement, catalogue: Catalogue, up: Mapping[LapName, Face]) -> Mapping[LapName, Face]:
    """Tell on which face of a lap the marks of a share are measured, where its sheet lies on the other.

    Args:
        placement: the share.
        catalogue: where cloths are looked up.
        up: which face of either lap its sheet lies on.

    Returns:
        The laps whose marks are not made from their sheets, with the face on which they are.
    """
    found: dict[LapName, Face] = {}
    for lap in _LAPS:
        if up[lap] == "outside" and is_marked_within(placement, catalogue, lap):
            found[lap] = "inside"
        elif (
            up[lap] == "inside"
            and _is_worked_outside(placement, lap)
            and _lets_no_mark_through(placement, catalogue, lap)
        ):
            found[lap] = "outside"
    return found


def marked_through(placement: Placement, catalogue: Catalogue, up: Mapping[LapName, Face]) -> tuple[LapName, ...]:
    """List the laps of a share whose marks are made on the inside and must be seen outside: its parts go in there.

    The points of the under half are pushed in from the inside, and stand out where the over half meets it.

    Args:
        placement: the share.
        catalogue: where cloths are looked up.
        up: which face of either lap its sheet lies on.
    """
    beyond = measured_beyond(placement, catalogue, up)
    hole = placement.fastener.hole
    found = []
    for lap in _LAPS:
        is_pierced = lap == "over" and hole is not None and hole.way == "pierced"
        is_outside = [is_pierced or face_of(placement, mark.n, lap) == "outside" for mark in placement.on(lap)]
        if up[lap] == "inside" and lap not in beyond and any(is_outside):
            found.append(lap)
    return tuple(found)


def _is_worked_outside(placement: Placement, lap: LapName) -> bool:
    """Whether the parts of a share lie on the outside of a lap alone, or their points are pushed in from there."""
    hole = placement.fastener.hole
    is_pierced = hole is not None and hole.way == "pierced"
    return any(is_pierced or face_of(placement, mark.n, lap) == "outside" for mark in placement.on(lap))


def _lets_no_mark_through(placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    layers = layers_on(lap, own_layers(placement.plan), catalogue)
    outside = face_among(layers)
    # Felt is marked with chalk, which stays on its face.
    is_chalked = outside is not None and "nonwoven" in outside.structures
    return is_chalked or bool(cloths_among(layers) & {"leather", "coated"})
