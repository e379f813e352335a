"""The row on the piece it belongs to: a picture to look at, in which a wrong end, side or piece shows at once.

It is no marking template: both pieces stand side by side at one scale, as they are seen from outside, with the whole
outline where the drawing has one and the band where it has not.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, grown, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import CLOSING, HEAVY, INK, LINE, Circle, Item, Path, Pen, Words, moved
from closures.drawing.sheets.view import View
from closures.drawing.write.svg import write_shapes
from closures.edges.around import within
from closures.placing.tape import tape_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.curve import Curve
    from closures.drawing.ink.shapes import Align, Box, Point
    from closures.drawing.sheets.view import Spot
    from closures.edges.around import Around
    from closures.placing.lap import Lap
    from closures.placing.placement import Placement

# Of the height of the pieces: letters that are read on a screen when the whole picture is seen.
_LETTERS = 1 / 42
_LETTERS_ACROSS = 1 / 60
_LEAST_LETTERS_MM = 5.0
_BESIDE = 3.2
# So many of the points that an edge was read from are shown at most.
_MOST_POINTS = 400
_MARGIN = 2.0
# Where along a line its name may stand.
_SHARES = (0.5, 0.2, 0.8, 0.05, 0.95)


def piece_picture(placement: Placement, around: Sequence[Around] = ()) -> bytes:
    """Draw the row on both laps' pieces, as an SVG.

    Args:
        placement: closures along an edge.
        around: what else the drawing shows; what lies on a piece is drawn on it.

    Raises:
        ValueError: the placement is of a strap.
    """
    if placement.strap is not None:
        raise ValueError("a strap has no piece with an edge")
    size = letters_mm(placement)
    pieces = [_piece(placement, lap, size, around) for lap in placement.laps.both]
    # Seen from outside, the lap whose cloth lies on the viewer's left stands on the left.
    pieces.sort(key=lambda piece: piece[1])
    items: list[Item] = []
    x = _MARGIN * size
    for drawn, _ in pieces:
        box = union(box_of(item) for item in drawn)
        items += [moved(item, x - box[0], (_MARGIN + 5.5) * size) for item in drawn]
        x += box[2] - box[0] + _BESIDE * size
    top = min(box_of(item)[1] for item in items)
    items = [moved(item, 0.0, (_MARGIN + 5.5) * size - top) for item in items]
    head = (placement.plan.title, placement.laps.garment.lap_in_words, tape_in_words(placement))
    words = [
        Words(
            _MARGIN * size, (_MARGIN + 0.6 + 1.5 * n) * size, line, size, "start", 0.0, "bold" if n == 0 else "regular"
        )
        for n, line in enumerate(head)
    ]
    box = union(box_of(item) for item in (*items, *words))
    width, height = box[2] + _MARGIN * size, box[3] + _MARGIN * size
    return write_shapes(f"{placement.plan.title}: the row on its piece", width, height, [*items, *words])


def letters_mm(placement: Placement) -> float:
    """How large letters stand: by the whole picture, so that a short edge on a wide piece can be read as well."""
    boxes = [(_outline_of(placement, lap) or lap.edge).box for lap in placement.laps.both]
    tall = max(box[3] - box[1] for box in boxes)
    wide = sum(box[2] - box[0] for box in boxes)
    return max(tall * _LETTERS, wide * _LETTERS_ACROSS, _LEAST_LETTERS_MM)


def _piece(placement: Placement, lap: Lap, size: float, around: Sequence[Around]) -> tuple[list[Item], float]:
    """One lap's piece, and how far its cloth lies to the right of its edge."""
    # Words stand beside the band, also where the finished edge lies far from it.
    view = View(placement.laps, lap.as_strip, False)
    units = placement.plan.units
    items: list[Item] = []
    if lap.inner is not None:
        items.append(Path(view.path(lap.inner), LINE))
    outline = _outline_of(placement, lap)
    if outline is not None:
        items.append(Path(view.path(outline), Pen(0.5, grey=0.45)))
    lying = _lying_on(placement, lap, size, around)
    items += [Path(view.path(curve), Pen(0.35, grey=0.45)) for _, curve in lying]
    items.append(Path(view.path(lap.edge), Pen(0.004 * size * 40)))
    items += [Path(view.path(one), CLOSING) for one in lap.lines_on_cloth]
    if lap.name == "over":
        # The points that the edge was read from, so that eyes can tell how well the line follows them.
        shown = placement.read[:: max(1, len(placement.read) // _MOST_POINTS)]
        items += [Circle(*view.point(x, y), 0.2 * size, Pen(0.3)) for x, y in shown]
    marks = placement.on(lap.name)
    spots = [view.spot_of(mark) for mark in marks]
    for mark, spot in zip(marks, spots, strict=True):
        reach = max(placement.fastener_of(mark.n).rim_mm, 0.28 * size)
        items += [Circle(*spot.at, reach, HEAVY), Circle(*spot.at, 0.3, INK)]
        x, y = spot.moved(0.0, spot.to_inner_mm + 0.9 * size)
        name = f"{mark.n} {placement.marks[mark.n - 1].anchor or ''}".strip()
        items.append(Words(x, y + 0.3 * size, name, size, _away(spot.inward), 0.0, "bold"))
    for mark in placement.all_on(lap.name)[len(marks) :]:
        at = view.spot_of(mark).at
        items += [Circle(*at, max(placement.fastener_of(mark.n).rim_mm, 0.28 * size), HEAVY), Circle(*at, 0.3, INK)]
        items.append(Words(at[0], at[1] - 0.5 * size, str(mark.n), size, "middle", 0.0, "bold"))
    for one, other in pairwise(marks):
        spot = view.spot_on_line((one.along_mm + other.along_mm) / 2)
        x, y = spot.moved(0.0, -spot.to_edge_mm - (0.5 if _is_beside(spot) else 1.2) * size)
        gap = both_ways(other.along_mm - one.along_mm, units)[0]
        items.append(Words(x, y + 0.3 * size, gap, 0.8 * size, _away(spot.to_edge)))
    first, last = view.spot(0.0), view.spot(view.row_mm)
    for spot, way, name in ((first, -1.0, placement.ends[0]), (last, 1.0, placement.ends[1])):
        x, y = spot.moved((1.7 if _is_beside(spot) else 0.9) * way * size, 0.0)
        towards = (way * spot.along[0], way * spot.along[1])
        items.append(Words(x, y + 0.3 * size, name, 1.1 * size, _away(towards), 0.0, "bold"))
    items += _names(lying, view, size, items)
    # Which piece it is, above or below all of it.
    box = union(box_of(item) for item in items)
    under = Words(
        (box[0] + box[2]) / 2, box[1] - 1.4 * size, f"{lap.name} lap: {lap.whose}", size, "middle", 0.0, "bold"
    )
    return [*items, under], first.inward[0]


def _outline_of(placement: Placement, lap: Lap) -> Curve | None:
    """The outline of a lap's piece, as it lies on that lap; None where the drawing has none."""
    if lap.name == "over":
        return placement.outline
    if placement.laps.garment.pieces == "pair":
        return None if placement.outline is None else placement.outline.mirrored()
    return placement.under_outline


def _lying_on(placement: Placement, lap: Lap, size: float, around: Sequence[Around]) -> list[tuple[str, Curve]]:
    """Notches, grain and whatever else lies on a lap's piece, with the names that people gave them."""
    is_turned = lap.name == "under" and placement.laps.garment.pieces == "pair"
    if lap.name == "under" and not (is_turned or placement.laps.is_apart):
        return []
    drawn = placement.laps.over if is_turned else lap
    outline = _outline_of(placement, drawn)
    box = grown(drawn.edge.box, 6 * size) if outline is None else grown(outline.box, size)
    lying = [one for one in around if within(one.curve, box)]
    return [(one.name, one.curve.mirrored() if is_turned else one.curve) for one in lying]


def _names(lying: Sequence[tuple[str, Curve]], view: View, size: float, items: Sequence[Item]) -> list[Item]:
    """The names of lines beside the edge, each once, where they hide no other word."""
    taken = [box_of(item) for item in items if isinstance(item, Words)]
    names: dict[str, Words] = {}
    for name, curve in lying:
        for share in _SHARES if name and name not in names else ():
            x, y = view.point(*curve.point_at(share * curve.length_mm))
            words = Words(x, y - 0.3 * size, name, 0.7 * size, "middle", grey=0.35)
            if not any(_meet(box_of(words), other) for other in taken):
                names[name] = words
                taken.append(box_of(words))
                break
    return list(names.values())


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _is_beside(spot: Spot) -> bool:
    """Whether the line runs down the picture there, so that words stand beside it and not above."""
    return abs(spot.along[1]) > abs(spot.along[0])


def _away(towards: Point) -> Align:
    """How words are set that stand on one side of a line."""
    return "middle" if abs(towards[0]) < 0.5 else "start" if towards[0] > 0 else "end"
