"""A plan as frozen values: what the user asked for, in mm, with every default filled in.

Terms: the *edge* is the over lap's finished edge, the *band* the strip behind it, the
*inset* the way from the edge to the closing line. A *level* is measured straight down from
the level zero, *along* on the closing line from its first end.

A value here holds wishes only. Whether they can be met is found further down the flow.
"""

from dataclasses import dataclass
from typing import Literal

LapOrder = Literal["right over left", "left over right"]
Face = Literal["outside", "inside"]
Units = Literal["mm", "in"]


@dataclass(frozen=True, slots=True)
class Range:
    """From one length to another, both in mm, low first; the two may be equal."""

    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class ArcWish:
    """An edge that is one circular arc.

    Attributes:
        length_mm: measured on the arc.
        radius_mm: of the arc.
        bows: "out" where the edge bows away from the cloth, "in" where it bows into it.
    """

    length_mm: float
    radius_mm: float
    bows: Literal["in", "out"]


@dataclass(frozen=True, slots=True)
class EdgeWish:
    """The over lap's finished edge; exactly one of path, points, straight_mm and arc is set.

    Attributes:
        path: the edge's id in the drawing.
        points: measured points (across, down) in mm, first end first, at least two.
        straight_mm: length of an edge that runs straight down.
        arc: an edge that is one arc.
        under: id of the under lap's own finished edge, drawn in the closed position.
        line: id of the closing line, where it is not an inset of the edge.
        reverse: the edge was drawn from its last end to its first.
        level_zero: where levels are measured from: an id in the drawing, or a y in mm;
            None for the first end of the edge.
    """

    path: str | None = None
    points: tuple[tuple[float, float], ...] | None = None
    straight_mm: float | None = None
    arc: ArcWish | None = None
    under: str | None = None
    line: str | None = None
    reverse: bool = False
    level_zero: str | float | None = None


@dataclass(frozen=True, slots=True)
class BandWish:
    """The strip that carries the closures, on either lap.

    Attributes:
        width_mm, under_width_mm: finished width on the over and on the under lap.
        inset_mm, under_inset_mm: finished edge to closing line, likewise.
        lap: the wearer's side that lies on top.
        seen_from: how the drawing was made.
    """

    width_mm: float
    under_width_mm: float
    inset_mm: float
    under_inset_mm: float
    lap: LapOrder
    seen_from: Face = "outside"


@dataclass(frozen=True, slots=True)
class ClosureWish:
    """The closure, and what the user measured of it; a measured value wins over a catalogue.

    Attributes:
        kind, size: as the catalogue or the user's pack names them; the size is kept as text.
        cap_mm: diameter of the largest part.
        grip_mm: least and most thickness that it clamps.
        thickness_mm: how thick it is itself, as a button is.
        hole: which way a buttonhole runs: along the closing line, or across it.
        halves: "usual" puts the cap on the over lap, "turned" puts it on the under lap.
        spare: how many to have over, beside those that are placed.
        trial: how many to set on a trial piece.
    """

    kind: str
    size: str
    cap_mm: float | None = None
    grip_mm: tuple[float, float] | None = None
    thickness_mm: float | None = None
    hole: Literal["along", "across"] | None = None
    halves: Literal["usual", "turned"] = "usual"
    spare: int = 0
    trial: int = 0


@dataclass(frozen=True, slots=True)
class SpacingWish:
    """How the closures are spaced, in mm along the closing line, centre to centre.

    Attributes:
        first: first end to first centre.
        last: last centre to last end.
        pitch_mm: the wanted gap; None where a count is given.
        count: how many closures; None where a pitch is given.
        widest_mm, closest_mm: limits on every gap, None where there is none.
    """

    first: Range
    last: Range
    pitch_mm: float | None = None
    count: int | None = None
    widest_mm: float | None = None
    closest_mm: float | None = None


@dataclass(frozen=True, slots=True)
class AnchorWish:
    """A place where a closure must sit; exactly one of level_mm and along_mm is set.

    Attributes:
        name: what it is called.
        level_mm: straight down from the level zero; negative above it.
        along_mm: on the closing line from its first end.
        within_mm: how far the closure may sit from it, along the closing line.
        which: the crossing meant where the line meets the level more than once, 1 for the
            one nearest the first end.
    """

    name: str
    level_mm: float | None = None
    along_mm: float | None = None
    within_mm: float = 0.0
    which: int | None = None


@dataclass(frozen=True, slots=True)
class ClearWish:
    """A stretch where no closure may sit; exactly one of level_mm and along_mm is set.

    Attributes:
        name: what it is called.
        level_mm: the stretch as levels; along_mm: the stretch along the closing line.
        room: "rim" where no part of a closure may enter, "centre" where no centre may.
    """

    name: str
    level_mm: Range | None = None
    along_mm: Range | None = None
    room: Literal["rim", "centre"] = "rim"


@dataclass(frozen=True, slots=True)
class LayerWish:
    """Cloth that a fastener clamps; exactly one of cloth and thickness_mm is set.

    Attributes:
        cloth: a name in the catalogue or in the user's supplies.
        thickness_mm: of one layer, measured.
        on: the lap or laps it lies on.
        count: how many times it lies there.
        across_mm: where it lies, from the finished edge inwards; None for the whole band.
        along_mm: where it lies along the line; None for all of it.
    """

    cloth: str | None = None
    thickness_mm: float | None = None
    on: Literal["over", "under", "both"] = "both"
    count: int = 1
    across_mm: Range | None = None
    along_mm: Range | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the user asked for.

    Attributes:
        title: printed on the sheets.
        units: what a bare number in the plan means, and what people are answered in first.
        where: the plan's file name as messages give it, empty for a plan made of options.
        drawing, supplies: file names, looked up beside the plan.
        edge, band, closure, spacing, anchors, clear, layers: its sections.
    """

    title: str
    units: Units
    where: str
    drawing: str | None
    supplies: str | None
    edge: EdgeWish
    band: BandWish
    closure: ClosureWish
    spacing: SpacingWish
    anchors: tuple[AnchorWish, ...] = ()
    clear: tuple[ClearWish, ...] = ()
    layers: tuple[LayerWish, ...] = ()
