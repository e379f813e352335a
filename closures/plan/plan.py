"""The plan as one frozen value: what the user asked for, in mm, with every default filled in.

The fields of `Plan` are the list of sections: a new section is a module with its value and its keys, and one line here.

Terms: the *edge* is the over lap's finished edge, the *band* the strip behind it, the *inset* the way from the edge to
the closing line. A *level* is measured straight down from the level zero, *along* on the closing line from its first
end. A value here holds wishes only. Whether they can be met is found further down the flow.
"""

from collections.abc import Iterator
from typing import Annotated

from closures.frozen import frozen
from closures.plan.anchors import ANCHOR, CLEAR, AnchorWish, ClearWish
from closures.plan.band import BAND, BandWish, LapOrder
from closures.plan.bands import BANDS, BandsWish
from closures.plan.belt import BELT, BeltWish
from closures.plan.body import BODY, BodyWish, who_by_age
from closures.plan.closure import CLOSURE, ClosureWish
from closures.plan.column import COLUMN, ColumnWish
from closures.plan.differs import DIFFERS, DiffersWish
from closures.plan.edge import EDGE, EdgeWish
from closures.plan.garment import GARMENT, GarmentWish, State
from closures.plan.gauge import GAUGE, GaugeWish
from closures.plan.lacing import LACING, LacingWish
from closures.plan.layers import LAYER, LayerWish
from closures.plan.loop import LOOP, LoopWish
from closures.plan.pull import PULL, PullWish
from closures.plan.row import ROW, RowWish
from closures.plan.section import Complaint, Section
from closures.plan.sheets import SHEETS, SheetsWish
from closures.plan.shrinkage import SHRINKAGE, ShrinkageWish
from closures.plan.single import SINGLE, SingleWish
from closures.plan.sizes import SIZES, SizesWish
from closures.plan.spacing import SPACING, SpacingWish
from closures.plan.stand import STAND, StandWish
from closures.plan.stripe import STRIPE, StripeWish
from closures.plan.swap import CHANGE, SWAP, ChangeWish, SwapWish
from closures.plan.tape import TAPE, TapeWish
from closures.plan.top import NOT_BARE, Bare, Units
from closures.plan.top import TOP as TOP
from closures.plan.way_in import WAY_IN, WayInWish
from closures.plan.wearer import WEARER, FitWish, ProfileName, WearerWish


@frozen
class Plan:
    """Everything the user asked for.

    Attributes:
        title: printed on the sheets.
        units: what a bare number in the plan means, and what people are answered in first.
        where: the plan's file name as messages give it, empty for a plan made of options.
        bare: its numbers without a unit, where the plan does not say what they are.
        of_run: of a plan of one size out of a run, what the other sizes show of it.
        drawing, supplies: file names, looked up beside the plan.
        Every other: a section, or what stands in it each time; None where it is not there. Edge, band
            and spacing are None where belt or row stands in their place, and only there.
    """

    title: str
    units: Units
    where: str
    drawing: str | None
    supplies: str | None
    edge: Annotated[EdgeWish | None, EDGE]
    band: Annotated[BandWish | None, BAND]
    closure: Annotated[ClosureWish, CLOSURE]
    spacing: Annotated[SpacingWish | None, SPACING]
    anchors: Annotated[tuple[AnchorWish, ...], ANCHOR] = ()
    clear: Annotated[tuple[ClearWish, ...], CLEAR] = ()
    layers: Annotated[tuple[LayerWish, ...], LAYER] = ()
    swap: Annotated[SwapWish | None, SWAP] = None
    change: Annotated[ChangeWish | None, CHANGE] = None
    belt: Annotated[BeltWish | None, BELT] = None
    row: Annotated[RowWish | None, ROW] = None
    sizes: Annotated[SizesWish | None, SIZES] = None
    sheets: Annotated[SheetsWish | None, SHEETS] = None
    bands: Annotated[BandsWish | None, BANDS] = None
    shrinkage: Annotated[ShrinkageWish | None, SHRINKAGE] = None
    stripe: Annotated[StripeWish | None, STRIPE] = None
    gauge: Annotated[GaugeWish | None, GAUGE] = None
    wearer: Annotated[WearerWish | None, WEARER] = None
    pull: Annotated[PullWish | None, PULL] = None
    body: Annotated[BodyWish | None, BODY] = None
    way_in: Annotated[WayInWish | None, WAY_IN] = None
    garment: Annotated[GarmentWish | None, GARMENT] = None
    lacing: Annotated[LacingWish | None, LACING] = None
    loop: Annotated[LoopWish | None, LOOP] = None
    tape: Annotated[TapeWish | None, TAPE] = None
    column: Annotated[ColumnWish | None, COLUMN] = None
    stand: Annotated[StandWish | None, STAND] = None
    differs: Annotated[tuple[DiffersWish, ...], DIFFERS] = ()
    singles: Annotated[tuple[SingleWish, ...], SINGLE] = ()
    bare: Bare = NOT_BARE
    of_run: tuple[str, ...] = ()

    def in_words(self, text: str) -> str:
        """Say what is told in the words of a plan as its user types it: by options, where there is no plan file."""
        if self.where:
            return text
        from closures.plan.as_options import in_options

        return in_options(text)

    @property
    def strap(self) -> BeltWish | RowWish | None:
        """What the plan says of a strap, None where closures run along an edge."""
        return self.belt or self.row

    @property
    def speaks_of_old(self) -> bool:
        """Whether it tells of closures that are there already."""
        return self.swap is not None or self.change is not None

    @property
    def state(self) -> State | None:
        """The garment's state: as told, or finished where it has old closures already; None where neither tells."""
        told = None if self.garment is None else self.garment.state
        if told is not None or self.swap is None:
            return told
        # Who tells of closures that are made has a garment in hand.
        return "finished" if self.swap.hole is None or self.swap.hole.made else None

    @property
    def asks_for_pages(self) -> bool:
        """Whether it asks for pages or files besides the marking templates."""
        return self.sheets is not None or self.bands is not None or self.stand is not None

    @property
    def has_large_letters(self) -> bool:
        """Whether it wishes for lettering half as large again."""
        return self.sheets is not None and self.sheets.large

    @property
    def fit(self) -> FitWish | None:
        """What differs for one wearer, None for the pattern as printed."""
        return None if self.wearer is None else self.wearer.fit

    @property
    def profiles(self) -> frozenset[ProfileName]:
        """Whose rules and notes hold: as told, and a child's where age or tables tell one; under three is both."""
        told = frozenset[ProfileName](() if self.wearer is None else self.wearer.profiles)
        return told | who_by_age(self.body) | ({"child"} if "child under three" in told else set())

    @property
    def is_for_child(self) -> bool:
        """Whether a child wears it."""
        return "child" in self.profiles

    @property
    def is_under_three(self) -> bool:
        """Whether a child wears it that takes into its mouth what comes loose."""
        return "child under three" in self.profiles

    @property
    def lap(self) -> LapOrder | None:
        """The wearer's side that lies on top, None where a strap's plan does not tell it."""
        if self.band is not None:
            return self.band.lap
        return None if self.strap is None else self.strap.lap

    @property
    def is_turned(self) -> bool:
        """Whether what was drawn is turned over on reading, x to -x: it was seen from inside.

        Of a pair, the under lap's piece turned over is the over lap's.
        """
        if self.edge is None or self.band is None:
            return False
        return (self.band.seen_from == "inside") != (self.edge.shows == "under")

    @property
    def along_an_edge(self) -> tuple[EdgeWish, BandWish, SpacingWish]:
        """The sections of a plan whose closures run along an edge.

        Raises:
            ValueError: it is a strap's plan and has none of them.
        """
        if self.edge is None or self.band is None or self.spacing is None:
            raise ValueError("a strap's plan has no edge, band and spacing")
        return self.edge, self.band, self.spacing


FIELD_OF: dict[str, Section] = {
    field: note for field, held in Plan.__annotations__.items() for note in getattr(held, "__metadata__", ())
}
"""The field of `Plan` that holds each section."""

SECTIONS = tuple(FIELD_OF.values())
"""Every section of a plan but the keys before the first: the table of keys."""


def against_itself(plan: Plan) -> Iterator[tuple[Section, Complaint]]:
    """Tell what is wrong between each section of a plan and the rest of it."""
    for section in (TOP, *SECTIONS):
        for complaint in section.against(plan):
            yield section, complaint
