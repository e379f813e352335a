"""A closure seen from the side: its parts above and below the layers of either lap, as they stack when closed.

Terms: the *mating side* of a part is the one that meets the other half. On top is the outside of the garment,
at the bottom the wearer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.checks.finding import share_in_words
from closures.drawing.extras.stack_parts import HALF_MM, Figure, figure_of, loop_past_an_edge, slit
from closures.drawing.ink.hatch import hatched
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import (
    FINE,
    HATCH,
    LINE,
    Item,
    Path,
    Pen,
    Words,
    line,
    moved,
    rectangle,
    strokes,
)
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Picture
from closures.drawing.write.svg import write_shapes
from closures.lengths import format_mm
from closures.placing.layers_between import as_they_lie
from closures.placing.looped import SETTING
from closures.placing.role import face_of, is_for_show

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer, Stack

WIDTH_MM = 88.0
"""No wider than a column of words on any paper, so that it stands under its own."""
_MIDDLE = 23.0
_CLOTH_HALF = 17.0
_WORDS_AT = 43.0
_NAME_MM = 3.4
_PART_MM = 6.0
_PART_GAP_MM = 1.6
_LEAST_LAYER_MM = 1.16 * USUAL_TYPE.figure
_MOST_STACK_MM = 15.0
_BETWEEN_MM = 4.0
_OFF_TOTAL_MM = 1.0
FIGURE_MM = USUAL_TYPE.figure
_ROW_MM = 1.16 * FIGURE_MM
_LOOP_EDGE, _LOOP_SEWN_MM = _MIDDLE - _CLOTH_HALF + 8.0, 9.0
"""Where cloth ends that a loop comes out of, beside the figure of all layers; how far within it the loop is sewn."""
_LOOP_TELLS_MM, _LOOP_LEADS_MM = 3.5, 2.2
"""How far past that edge the line to its name begins, and how far under the middle of its cord."""
_NEVER_TURNED = ("eyelet",)
"""Parts that meet no mate: their tube goes into the cloth below them on either lap."""


def stack_picture(placement: Placement, laps: tuple[LapName, ...] = ("over", "under"), heading: str = "") -> Picture:
    """Draw the stack of one or both laps.

    Args:
        placement: for the parts and the layers; of the layers those at the thickest mark are drawn.
        laps: which, from the outside inwards.
        heading: over it, or empty.

    Returns:
        The picture, `WIDTH_MM` wide.
    """
    laps = ("over",) if is_for_show(placement) else laps
    garment = placement.plan.garment
    is_worn = garment is None or garment.opens != "flat"
    top, bottom = ("outside of the garment", "the wearer") if is_worn else ("outside", "inside")
    items: list[Item] = [Words(_MIDDLE, 3.0, top, FIGURE_MM, "middle")]
    y = 6.0
    scale = _scale(placement, laps)
    for lap in laps:
        drawn, y = _lap(placement, lap, y, scale)
        items += drawn
        if lap != laps[-1]:
            items.append(line((0.0, y + 1.2), (WIDTH_MM, y + 1.2), pen=Pen(0.18, (1.2, 1.2))))
            y += 4.0
    items.append(Words(_MIDDLE, y + 2.0, bottom, FIGURE_MM, "middle"))
    return Picture(tuple(items), (WIDTH_MM, y + 3.0), _told(placement, laps), heading)


def draw_stacks(placement: Placement) -> bytes:
    """Draw the stack of both laps as an SVG, of closures that differ one below another."""
    items: list[Item] = []
    y = 0.0
    for share in placement.shares:
        for row in _heading(placement, share):
            items.append(Words(0.0, y + 3.0, row, FIGURE_MM, "start", 0.0, "bold"))
            y += _ROW_MM
        picture = stack_picture(share)
        items += [moved(item, 0.0, y) for item in picture.items]
        y += picture.size_mm[1] + _BETWEEN_MM
    return write_shapes(stacks_in_words(placement), WIDTH_MM, y, items)


def stacks_high_mm(placement: Placement) -> float:
    """How high that drawing is, mm; it is `WIDTH_MM` wide."""
    return sum(
        len(_heading(placement, share)) * _ROW_MM + stack_picture(share).size_mm[1] + _BETWEEN_MM
        for share in placement.shares
    )


def stacks_in_words(placement: Placement) -> str:
    """Tell what that drawing shows."""
    told: list[str] = []
    for share in placement.shares:
        told += [f"{share_in_words(share)}."] if placement.is_mixed else ()
        told.append(_told(share, ("over",) if is_for_show(share) else ("over", "under")))
    return " ".join(told)


def _heading(placement: Placement, share: Placement) -> Sequence[str]:
    """Of closures that differ, which of them a picture shows."""
    return wrapped(share_in_words(share), FIGURE_MM, WIDTH_MM) if placement.is_mixed else ()


def not_drawn(findings: Sequence[Finding], side: str) -> tuple[str, ...]:
    """Say that a backing which the checks ask for is no part of the picture; nothing where none is asked for.

    Args:
        findings: of the checks.
        side: what lies over or under, a lap or an end.
    """
    laps = dict.fromkeys(one.lap for one in findings if one.rule == "backing" and one.result != "pass" and one.lap)
    if not laps:
        return ()
    where = " and ".join(f"the {lap} {side}" for lap in laps)
    return (f"Not drawn: the backing that {where} still want{'s' if len(laps) == 1 else ''}.",)


def _told(placement: Placement, laps: tuple[LapName, ...]) -> str:
    """What the picture shows, in words."""
    rows = []
    for lap in laps:
        names = ", ".join(part.name for part in placement.fastener.parts_on(lap)) or "buttonhole"
        names += ", for show, on the outside" if is_for_show(placement) else ""
        stack = thickest(placement, lap)
        lying = () if stack is None else as_they_lie(stack.layers, placement, lap)
        layers = "" if stack is None else "; layers: " + ", ".join(f"{one.plies} × {one.name}" for one in lying)
        rows.append(f"{lap} {placement.side_word}: {names}{layers}")
    return f"The closure from the side, outside on top. {'. '.join(rows)}."


def thickest(placement: Placement, lap: LapName) -> Stack | None:
    """The thickest stack of a lap, None where no layers are told."""
    marks = [mark.on(lap) for mark in placement.marks]
    stacks = [mark.stack for mark in marks if mark is not None and mark.stack is not None]
    return max(stacks, key=lambda stack: stack.typical_mm, default=None)


def _scale(placement: Placement, laps: tuple[LapName, ...]) -> float:
    stacks = [stack for stack in (thickest(placement, lap) for lap in laps) if stack is not None]
    # A layer that reaches no closure leaves a stack of nothing.
    most = max((stack.typical_mm for stack in stacks), default=0.0)
    return max(1.0, _MOST_STACK_MM / max(most, _MOST_STACK_MM / 10.0))


def _lap(placement: Placement, lap: LapName, y: float, scale: float) -> tuple[list[Item], float]:
    chosen = placement.laps[lap]
    side = f", {chosen.whose}" if chosen.whose else ""
    name = f"{lap.upper()} {placement.side_word.upper()}{side}"
    items: list[Item] = []
    for row in wrapped(name, _NAME_MM, WIDTH_MM, "bold"):
        items.append(Words(0.0, y + 2.4, row, _NAME_MM, "start", 0.0, "bold"))
        y += 1.16 * _NAME_MM
    y += 5.0 - 1.16 * _NAME_MM
    parts = placement.fastener.parts_on(lap)
    if placement.fastener.family == "magnetic snap":
        drawn, y = _magnet_lap(placement, lap, y, scale)
        return items + drawn, y
    if is_for_show(placement):
        items += _part(f"{parts[0].name}, for show", y, True, figure_of(placement.fastener, parts[0].name))
        drawn, y = _layers(placement, lap, y + _PART_MM + _PART_GAP_MM, scale)
        return items + drawn, y + _PART_GAP_MM
    if placement.fastener.setting == SETTING and lap == "over":
        drawn, y = _looped_lap(placement, y, scale)
        return items + drawn, y
    # The last part of the over lap and the first of the under lap meet each other.
    above = parts[:-1] if lap == "over" else parts[:1]
    below = parts[-1:] if lap == "over" else parts[1:]
    is_inside = len(parts) == 1 and face_of(placement, placement.marks[0].n, lap) == "inside"
    if len(parts) == 1:
        above, below = ((), parts) if is_inside else (parts, ())
    fastener = placement.fastener
    for part in above:
        items += _part(part.name, y, lap == "under", figure_of(fastener, part.name))
        y += _PART_MM + _PART_GAP_MM
    if not parts:
        items += _part(_hole(placement), y, False, slit)
        y += _PART_MM + _PART_GAP_MM
    drawn, y = _layers(placement, lap, y, scale)
    items += drawn
    y += _PART_GAP_MM
    for part in below:
        items += _part(part.name, y, lap == "under" and not is_inside, figure_of(fastener, part.name))
        y += _PART_MM + _PART_GAP_MM
    return items, y


def _looped_lap(placement: Placement, y: float, scale: float) -> tuple[list[Item], float]:
    """Draw a lap with loops: they come out past its edge between the cloth and what faces it, or behind a made edge."""
    stack = thickest(placement, "over")
    layers = () if stack is None else as_they_lie(stack.layers, placement, "over")
    items, below = _drawn_layers(layers, y, scale, _LOOP_EDGE)
    at = below + _PART_GAP_MM
    is_faced = (placement.plan.state or "cut pieces") == "cut pieces" and placement.plan.gauge is None
    if is_faced:
        at = y + (below - y) * _share_outside(layers, scale)
    items.append(loop_past_an_edge(_LOOP_SEWN_MM, _LOOP_EDGE, at))
    (part,) = placement.fastener.parts_on("over")
    told = below + _PART_GAP_MM + _PART_MM / 2
    out = _LOOP_EDGE - _LOOP_TELLS_MM
    items.append(line((out, at + _LOOP_LEADS_MM), (out, told), (_WORDS_AT - 1.4, told), pen=FINE))
    where = "between the cloth and its facing" if is_faced else "sewn on behind the edge"
    items += [*_named(part.name, told), Words(_WORDS_AT, told + 1.0 + _ROW_MM, where, FIGURE_MM)]
    return items, told + _PART_MM / 2 + _PART_GAP_MM + _ROW_MM / 2


def _share_outside(layers: Sequence[Layer], scale: float) -> float:
    """What share of the layers, as they are drawn, is the cloth on the outside with what is fused to it."""
    if not layers:
        return 0.5
    heights = [_height_mm(layer, scale) for layer in layers]
    outside = heights[0] / layers[0].plies
    for layer, height in zip(layers[1:], heights[1:], strict=True):
        if layers[0].plies > 1 or "fusible" not in layer.structures:
            break
        outside += height
    return outside / sum(heights)


def _hole(placement: Placement) -> str:
    """What a buttonhole goes through: a bound one is made before the facing, a knitted one lies in the band alone."""
    if placement.plan.gauge is not None:
        return "buttonhole, knitted in"
    if placement.plan.closure.bound:
        return "bound buttonhole; facing opened behind"
    return "buttonhole, through all layers"


def _magnet_lap(placement: Placement, lap: LapName, y: float, scale: float) -> tuple[list[Item], float]:
    """Draw a lap with a magnetic half: it clamps the layers that meet the other lap, the washer lies behind those."""
    names = [part.name for part in placement.fastener.parts_on(lap)]
    half = next(name for name in names if name != "washer")
    washer = [name for name in names if name == "washer"]
    stack = thickest(placement, lap)
    far, near = ((), ()) if stack is None else (stack.beyond, as_they_lie(stack.layers, placement, lap))
    inwards: list[str | tuple[Layer, ...]] = [*([far] if far else []), *washer, near, half]
    items: list[Item] = []
    for one in inwards if lap == "over" else reversed(inwards):
        if isinstance(one, str):
            items += _part(one, y, lap == "under", figure_of(placement.fastener, one))
            y += _PART_MM
        else:
            drawn, y = _drawn_layers(one, y, scale)
            items += drawn
        y += _PART_GAP_MM
    return items, y


def _layers(placement: Placement, lap: LapName, y: float, scale: float) -> tuple[list[Item], float]:
    stack = thickest(placement, lap)
    return _drawn_layers(() if stack is None else as_they_lie(stack.layers, placement, lap), y, scale)


def _height_mm(layer: Layer, scale: float) -> float:
    """How high a layer is drawn: as its thickness, and no lower than its words."""
    return max(_ROW_MM * _rows_of(layer.name, layer.plies), 2.0 * min(layer.plies, 4), layer.typical_mm * scale)


def _drawn_layers(
    layers: Sequence[Layer], y: float, scale: float, begins: float = _MIDDLE - _CLOTH_HALF
) -> tuple[list[Item], float]:
    top = y
    items: list[Item] = []
    named = [("layers not told", 2 * _LEAST_LAYER_MM, "", 1)]
    if layers:
        named = [
            (
                layer.name,
                _height_mm(layer, scale),
                format_mm(layer.typical_mm, 2),
                layer.plies,
            )
            for layer in layers
        ]
    total = format_mm(sum(layer.typical_mm for layer in layers), 2)
    # The figure of all of them stands upright beside them: thin ones are drawn as high as it is long.
    least = width_of(total, FIGURE_MM, "semibold") + _OFF_TOTAL_MM if layers else 0.0
    grown = max(1.0, least / sum(height for _, height, _, _ in named))
    for name, own, thick, plies in named:
        height = grown * own
        box = (begins, y, _MIDDLE + _CLOTH_HALF, y + height)
        corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
        items.append(rectangle(box, Pen(0.25, fill=1.0)))
        if "fusible" in name:
            items.append(strokes(hatched(corners, 1.2, 45.0), HATCH))
        else:
            shared = [y + height * k / min(plies, 12) for k in range(1, min(plies, 12))]
            items += [line((box[0], at), (box[2], at), pen=FINE) for at in shared]
        text = f"{plies} × {name}, {thick}" if thick else name
        items += _pointer(y + height / 2, text)
        y += height
    if layers:
        bar = _MIDDLE - _CLOTH_HALF - 1.6
        items.append(line((bar + 0.8, top), (bar, top), (bar, y), (bar + 0.8, y), pen=LINE))
        items.append(Words(bar - 0.8, (top + y) / 2, total, FIGURE_MM, "middle", -90.0, "semibold"))
    return items, y


def _pointer(y: float, text: str) -> list[Item]:
    rows = wrapped(text, FIGURE_MM, WIDTH_MM - _WORDS_AT)
    words = [
        Words(_WORDS_AT, y + 0.33 * FIGURE_MM + _ROW_MM * (k - (len(rows) - 1) / 2), row, FIGURE_MM)
        for k, row in enumerate(rows)
    ]
    return [line((_MIDDLE + _CLOTH_HALF, y), (_WORDS_AT - 1.4, y), pen=FINE), *words]


def _rows_of(name: str, plies: int) -> int:
    """How many rows the name of a layer takes, its count and thickness with it."""
    return len(wrapped(f"{plies} × {name}, 00.00 mm", FIGURE_MM, WIDTH_MM - _WORDS_AT))


def _part(name: str, y: float, mates_up: bool, figure: Figure) -> list[Item]:
    """Draw a part with its mating side up or down; a figure is made with the mating side down."""
    middle = _PART_MM / 2
    items: list[Item] = []
    for item in figure():
        if mates_up and name not in _NEVER_TURNED and isinstance(item, Path):
            flipped = tuple(
                (command[0], *((-float(v) if i % 2 else float(v)) for i, v in enumerate(command[1:])))
                for command in item.commands
            )
            item = Path(flipped, item.pen)
        items.append(moved(item, _MIDDLE, y + middle))
    items.append(line((_MIDDLE + HALF_MM + 0.8, y + middle), (_WORDS_AT - 1.4, y + middle), pen=FINE))
    return items + _named(name, y + middle)


def _named(name: str, middle: float) -> list[Item]:
    """Write what a part is beside it."""
    items: list[Item] = []
    rows = wrapped(name, _NAME_MM, WIDTH_MM - _WORDS_AT, "semibold")
    leading = min(1.16 * _NAME_MM, (_PART_MM + _PART_GAP_MM) / len(rows))
    for k, row in enumerate(rows):
        at = middle + 1.0 + leading * (k - (len(rows) - 1) / 2)
        items.append(Words(_WORDS_AT, at, row, _NAME_MM, "start", 0.0, "semibold"))
    return items
