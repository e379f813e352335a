"""A plan as frozen values: what the user asked for, in mm, with every default filled in.

Terms: the *edge* is the over lap's finished edge, the *band* the strip behind it, the
*inset* the way from the edge to the closing line. A *level* is measured straight down from
the level zero, *along* on the closing line from its first end.

A value here holds wishes only. Whether they can be met is found further down the flow.
"""

from dataclasses import dataclass
from typing import Literal

from closures.plan.edge_values import JoinWish, KnownWish, PlaceWish, TilesWish, TraceWish
from closures.plan.size_values import FitWish, Move, SizesWish
from closures.plan.strap_values import BeltWish, RowWish
from closures.plan.workshop_values import BandsWish, SheetsWish, ShrinkageWish, StripeWish, WearerWish

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
    """The over lap's finished edge; exactly one of the ways to tell it is set.

    The ways are path, pieces, points, points_file, straight_mm, arc, arc_through and trace.

    Attributes:
        path: the edge's id in the drawing.
        pieces: ids of the pieces it is joined of.
        points: measured points (across, down) in mm, first end first, at least two.
        straight_mm: length of an edge that runs straight down.
        points_file: a table of measured points, beside the plan.
        arc: an edge that is one arc.
        arc_through: three points (across, down) in mm on an edge that is one arc.
        trace: an edge that is followed on a picture.
        begins, ends: where the edge begins and ends on a longer line; both or neither.
        via: a place that it passes on the way.
        under: id of the under lap's own finished edge, drawn in the closed position.
        line: id of the closing line, where it is not an inset of the edge.
        reverse: the edge was drawn from its last end to its first.
        level_zero: where levels are measured from: an id in the drawing, or a y in mm;
            None for the first end of the edge.
        known: something in the drawing whose length is known.
        unit_mm: how long a unit of the drawing is, where the drawing does not say, or says it wrongly.
        layers: what the layers of a drawing are called here, and by what name they stand in it.
        tiles, joins: how the pages of a pattern lie beside each other.
        moved: how far a graded edge moved from where it is told, at its first and its last end or at every
            control point; empty where it did not.
        longer: levels, and how much longer the edge became there.
    """

    path: str | None = None
    pieces: tuple[str, ...] = ()
    points: tuple[tuple[float, float], ...] | None = None
    points_file: str | None = None
    straight_mm: float | None = None
    arc: ArcWish | None = None
    arc_through: tuple[tuple[float, float], ...] | None = None
    trace: TraceWish | None = None
    begins: PlaceWish | None = None
    ends: PlaceWish | None = None
    via: PlaceWish | None = None
    under: str | None = None
    line: str | None = None
    reverse: bool = False
    level_zero: str | float | None = None
    known: KnownWish | None = None
    unit_mm: float | None = None
    layers: tuple[tuple[str, str], ...] = ()
    tiles: TilesWish | None = None
    joins: tuple[JoinWish, ...] = ()
    moved: tuple[Move, ...] = ()
    longer: tuple[Move, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The lines of the drawing that the edge is made of."""
        return self.pieces if self.path is None else (self.path,)


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
    """A place where a closure must sit; exactly one of level_mm, along_mm and at is set.

    Attributes:
        name: what it is called.
        level_mm: straight down from the level zero; negative above it.
        along_mm: on the closing line from its first end.
        at: a notch or another point of the drawing; the place on the closing line that is nearest to it.
        within_mm: how far the closure may sit from it, along the closing line.
        which: the crossing meant where the line meets the level more than once, 1 for the
            one nearest the first end.
    """

    name: str
    level_mm: float | None = None
    along_mm: float | None = None
    within_mm: float = 0.0
    which: int | None = None
    at: PlaceWish | None = None


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
class HoleWish:
    """The hole that an old closure has in the cloth.

    Attributes:
        made: it is cut or pierced already; False where it is only drawn on a pattern.
        way: of a buttonhole, along the closing line or across it; None for any other hole.
        length_mm: of a buttonhole; None where it follows from the button.
        past_mm: how far a buttonhole reaches past its closure, towards the edge (across) or the
            first end (along); None where it is as usual.
    """

    made: bool
    way: Literal["along", "across"] | None = None
    length_mm: float | None = None
    past_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SwapWish:
    """The closures that are there now; either places_mm, or first_mm, last_mm and count are set.

    Attributes:
        kind, size: as the catalogue or the user's pack names them.
        cap_mm: diameter of the largest part, measured.
        thickness_mm: of a button, measured.
        places_mm: along the closing line from its first end, ascending.
        first_mm, last_mm: first end to first centre, last centre to last end, of an even row.
        count: how many the even row has.
        hole: what they leave in the cloth; None where nothing is said.
        patch_mm: diameter of a patch that goes on at every new closure; None for none.
    """

    kind: str
    size: str
    cap_mm: float | None = None
    thickness_mm: float | None = None
    places_mm: tuple[float, ...] | None = None
    first_mm: float | None = None
    last_mm: float | None = None
    count: int | None = None
    hole: HoleWish | None = None
    patch_mm: float | None = None


@dataclass(frozen=True, slots=True)
class LengthenWish:
    """A pattern made longer: what lies below a place moves down.

    Attributes:
        at_mm: the place, along the closing line from its first end.
        by_mm: how much longer.
    """

    at_mm: float
    by_mm: float


@dataclass(frozen=True, slots=True)
class ChangeWish:
    """What was changed on the pattern since the old closures were placed.

    Attributes:
        lengthen: where it was made longer, and by how much.
    """

    lengthen: LengthenWish


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the user asked for.

    Attributes:
        title: printed on the sheets.
        units: what a bare number in the plan means, and what people are answered in first.
        where: the plan's file name as messages give it, empty for a plan made of options.
        drawing, supplies: file names, looked up beside the plan.
        edge, band, closure, spacing, anchors, clear, layers, swap, change: its sections; edge, band
            and spacing are None where belt or row stands in their place, and only there.
        belt, row: a strap whose two ends close, instead of an edge.
        sizes: the sizes of a pattern, of which the other sections tell the base; None for one size.
        sheets, bands, shrinkage, stripe, wearer: what is asked for the work at the table.
    """

    title: str
    units: Units
    where: str
    drawing: str | None
    supplies: str | None
    edge: EdgeWish | None
    band: BandWish | None
    closure: ClosureWish
    spacing: SpacingWish | None
    anchors: tuple[AnchorWish, ...] = ()
    clear: tuple[ClearWish, ...] = ()
    layers: tuple[LayerWish, ...] = ()
    swap: SwapWish | None = None
    change: ChangeWish | None = None
    belt: BeltWish | None = None
    row: RowWish | None = None
    sizes: SizesWish | None = None
    sheets: SheetsWish | None = None
    bands: BandsWish | None = None
    shrinkage: ShrinkageWish | None = None
    stripe: StripeWish | None = None
    wearer: WearerWish | None = None

    @property
    def strap(self) -> BeltWish | RowWish | None:
        """What the plan says of a strap, None where closures run along an edge."""
        return self.belt or self.row

    @property
    def speaks_of_old(self) -> bool:
        """Whether it tells of closures that are there already."""
        return self.swap is not None or self.change is not None

    @property
    def asks_for_pages(self) -> bool:
        """Whether it asks for pages or files besides the marking templates."""
        return self.sheets is not None or self.bands is not None

    @property
    def fit(self) -> FitWish | None:
        """What differs for one wearer, None for the pattern as printed."""
        return None if self.wearer is None else self.wearer.fit

    @property
    def lap(self) -> LapOrder | None:
        """The wearer's side that lies on top, None where a strap's plan does not tell it."""
        if self.band is not None:
            return self.band.lap
        return None if self.strap is None else self.strap.lap

    @property
    def along_an_edge(self) -> tuple[EdgeWish, BandWish, SpacingWish]:
        """The sections of a plan whose closures run along an edge.

        Raises:
            ValueError: it is a strap's plan and has none of them.
        """
        if self.edge is None or self.band is None or self.spacing is None:
            raise ValueError("a strap's plan has no edge, band and spacing")
        return self.edge, self.band, self.spacing
