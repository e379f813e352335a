"""A strap worked out: its settings, the places on both ends, its lengths.

Terms: the *over end* lies on top, the *under end* beneath it; the *tip* is the finished end of
either; the *overlap* reaches from one tip to the other when the strap is closed. A *setting* is
one way to close it; the *target* is the one it is meant to be worn at. A *carrier* is a belt loop.
Lengths *along the middle* are those of the middle of the strap's thickness; the *inside* lies on
the body and is shorter by pi times the thickness, all the way round.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.interfaced import OUTER_HALF

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.lap import Laps
    from closures.plan.strap import Making, TipShape

SAME_SEAT_MM = 0.005
"""Places nearer than this are one place: lengths are written to hundredths, and no pen is finer."""


NO_ALLOWANCE = "no seam allowance in it: add yours on every side"
"""What is said wherever the size to cut is told of a strap that lacks it."""


@frozen
class Seat:
    """A place on one end: from its tip along the strap, and up from the lower edge, in mm."""

    from_tip_mm: float
    height_mm: float


@frozen
class Setting:
    """One way to close a strap.

    Attributes:
        n: its number, 1 for the loosest.
        overlap_mm: from tip to tip.
        outer_on_mm: where the over end's closure nearest to its tip sits, from the under end's tip.
        middle_mm: closed length along the middle.
        inside_mm: closed length along the inside, None where the thickness is not known.
        is_target: it is the one meant to be worn.
        engaged: how many closures hold in it.
    """

    n: int
    overlap_mm: float
    outer_on_mm: float
    middle_mm: float
    inside_mm: float | None
    is_target: bool
    engaged: int


@frozen
class Carriers:
    """The belt loops.

    Attributes:
        cut_mm: length of each.
        round_mm: where they go round the garment, from the closure at centre front.
        where: the same in words.
        source: where the length comes from.
        loses: what the garment that they are sewn to still loses round it in its first wash, a share; it is in
            `round_mm` already.
    """

    cut_mm: float
    round_mm: tuple[float, ...]
    where: str
    source: str
    loses: float = 0.0


@frozen
class SizeRow:
    """One size of a chart.

    Attributes:
        name: as the chart calls it.
        waist_mm: as the chart gives it.
        finished_mm, cut_mm: length of its strap.
        middle_mm: closed lengths along the middle, loosest first.
        serves_mm: least and greatest waist that its settings serve.
        to_next_mm: from its greatest to the next size's least, negative where they overlap; None for the last.
    """

    name: str
    waist_mm: float
    finished_mm: float
    cut_mm: float
    middle_mm: tuple[float, ...]
    serves_mm: tuple[float, float]
    to_next_mm: float | None


@frozen
class Layout:
    """Where a strap's closures lie when it is closed at its target.

    Attributes:
        laps: both ends and the line that they close on.
        along_mm: the places on that line, ascending.
        points: the centres, which lie off the line where the plan gives heights.
        carried: for each the ends that carry a part there.
    """

    laps: Laps
    along_mm: tuple[float, ...]
    points: tuple[tuple[float, float], ...]
    carried: tuple[frozenset[LapName], ...]


@frozen
class Strap:
    """A strap, worked out.

    Attributes:
        section: the plan's section that it stands in.
        piece: what it is called.
        finished_mm: from tip to tip.
        width_mm: finished.
        thickness_mm: None where it is not known.
        measured: where the plan measures it.
        ends, made: the over end's shape, and how the strap is cut.
        allowance_mm, under_allowance_mm: beyond the finished edge at the over and at the under end; the first
            along both long sides too.
        settings: loosest first.
        over, under: the places on each end, nearest its tip first.
        between_rims_mm, rim_to_edge_mm: the plan's own least distances.
        layout: the closed strap.
        pieces: how many of it are made: 2 for a pair.
        carriers: None where there are none.
        sizes: the size chart.
        least_step_mm: the nearest that two settings could come with this fastener.
        notes: what the user should know, in sentences.
        belting_mm: what a buckle belt for this waist would take, and the source; None without a waist.
        cover_mm: how much longer its cover is cut at the point and at the buckle, and the source; None without a waist.
        corner_mm: radius of a rounded tip's corners; None for half the width, which makes half a circle.
        is_of_leather: both its ends are leather outside, which is cut to its outline and not turned.
        is_made: it is sewn already, and nothing of it is cut.
        interfacings: how many are told of it; of one that is cut in two the outer side has the first (common practice).
        cloths: of two pieces of two cloths, the one that lies outside and the inner one, by name; else empty.
        leather_within: what the second of these is, where it is leather behind cloth: the lining, or a core that lies
            between two of the first; leather is cut to the finished outline and not turned under.
        lining: of leather in two pieces, the cloth of the inner one, which frays and is turned under; else empty.
    """

    section: Literal["belt", "row"]
    piece: str
    finished_mm: float
    width_mm: float
    thickness_mm: float | None
    measured: Literal["inside", "middle"]
    ends: TipShape
    made: Making
    allowance_mm: float
    under_allowance_mm: float
    settings: tuple[Setting, ...]
    over: tuple[Seat, ...]
    under: tuple[Seat, ...]
    between_rims_mm: float | None
    rim_to_edge_mm: float | None
    layout: Layout
    pieces: int = 1
    carriers: Carriers | None = None
    sizes: tuple[SizeRow, ...] = ()
    least_step_mm: float | None = None
    notes: tuple[str, ...] = ()
    belting_mm: tuple[float, str] | None = None
    cover_mm: tuple[float, float, str] | None = None
    corner_mm: float | None = None
    is_of_leather: bool = False
    is_made: bool = False
    lining: str = ""
    cloths: tuple[str, ...] = ()
    leather_within: Literal["", "lining", "core"] = ""
    interfacings: int = 0

    @property
    def in_size(self) -> str:
        """Which size of a chart its own lengths are of, to stand behind them; empty where there is none."""
        own = (size.name for size in self.sizes if abs(size.finished_mm - self.finished_mm) <= SAME_MM)
        return next((f" in size {name}" for name in own), "")

    def on(self, lap: LapName) -> tuple[Seat, ...]:
        """The places on one end, nearest its tip first."""
        return self.over if lap == "over" else self.under

    @property
    def tip_depth_mm(self) -> float:
        """How far from its tip the over end begins to narrow; half the width where it is square."""
        return self.width_mm / 2 if self.corner_mm is None else min(self.corner_mm, self.width_mm / 2)

    @property
    def fold(self) -> Literal["", "upper edge", "lower edge"]:
        """Which long side of a folded strap is its fold; empty of others.

        The other one is sewn to the garment: a cuff hangs from its sleeve by its upper edge, so that its fold lies at
        the wrist; a waistband and a collar stand on what they are sewn to (common practice). Of what is sewn to nothing
        either would do.
        """
        if self.made != "folded":
            return ""
        return "lower edge" if self.piece == "cuff" else "upper edge"

    @property
    def lacks_allowance(self) -> bool:
        """Whether it is sewn, and the plan tells no seam allowance that could be in what is cut."""
        return not self.allowance_mm and not self.is_cut_to_size and not self.is_made

    @property
    def is_cut_to_size(self) -> bool:
        """Whether it is cut to its finished outline: one layer is not sewn to another and turned, nor is leather."""
        return (self.made == "one layer" and not self.allowance_mm) or self.is_of_leather

    @property
    def stiffened_in_words(self) -> str:
        """Behind which of its pieces interfacing lies, as a half clause; empty where none is told or nothing is cut.

        The side that lies outside is the one that is stiffened, and its facing stays soft: common practice.
        """
        if not self.interfacings or self.is_made:
            return ""
        if self.made == "one layer":
            return "interfacing behind all of it"
        if self.interfacings > 1:
            return "interfacing behind both halves" if self.made == "folded" else "interfacing behind every piece"
        if self.made == "folded":
            return f"interfacing behind {OUTER_HALF}"
        if self.pieces > 1:
            return "interfacing behind those that will lie outside, none behind their facings"
        return "interfacing behind the one that will lie outside, none behind its facing"

    @property
    def cloths_in_words(self) -> str:
        """How many pieces are cut of either of its two cloths; empty where both are of one."""
        if not self.cloths:
            return ""
        outer, inner = self.cloths
        outline = "cut to the finished outline, without an allowance"
        if self.leather_within == "core":
            return f"{2 * self.pieces} of {outer}, and {self.pieces} of {inner}, to lie between them, {outline}"
        if self.leather_within:
            return f"{self.pieces} of {outer}, to lie outside, and {self.pieces} of {inner}, to lie inside, {outline}"
        return f"{self.pieces} of {outer}, to lie outside, and {self.pieces} of {inner}, to lie inside"

    @property
    def lining_in_words(self) -> str:
        """How its lining is cut: leather ends raw, and a cloth that frays is turned under there (common practice)."""
        whose = "the seam allowance" if self.allowance_mm else "your own seam allowance"
        return f"{self.lining}, with {whose} on every side, to turn under"

    @property
    def target(self) -> Setting:
        """The setting meant to be worn."""
        return next(setting for setting in self.settings if setting.is_target)

    @property
    def cut_mm(self) -> float:
        """Length to cut: finished, and the allowance of either end; leather ends raw, and is cut as it is finished."""
        if self.is_of_leather and not self.lining:
            return self.finished_mm
        return self.finished_mm + self.allowance_mm + self.under_allowance_mm

    @property
    def cut_width_mm(self) -> float:
        """Width to cut: with the allowance on both long sides, and twice the strap where it is folded."""
        if self.is_of_leather and not self.lining:
            return (2 if self.made == "folded" else 1) * self.width_mm
        return (2 if self.made == "folded" else 1) * self.width_mm + 2 * self.allowance_mm

    @property
    def cut_pieces(self) -> int:
        """How many to cut for one strap."""
        if self.is_made:
            return 0
        return 2 if self.made == "two pieces" else 1

    @property
    def has_heights(self) -> bool:
        """Whether some closure lies off the middle line."""
        return any(abs(seat.height_mm - self.width_mm / 2) > SAME_SEAT_MM for seat in (*self.over, *self.under))

    def closes_at(self, from_under_tip_mm: float, height_mm: float) -> Setting | None:
        """The setting in which an outermost closure of the over end sits at a place of the under end.

        Of two rows one above the other both outermost closures sit somewhere.
        """
        first = min(seat.from_tip_mm for seat in self.over)
        outer = [seat.height_mm for seat in self.over if seat.from_tip_mm - first <= SAME_SEAT_MM]
        if all(abs(height - height_mm) > SAME_SEAT_MM for height in outer):
            return None
        return next((s for s in self.settings if abs(s.outer_on_mm - from_under_tip_mm) <= SAME_SEAT_MM), None)


def inside_mm(middle_mm: float, thickness_mm: float | None, on_mm: float) -> float | None:
    """Find the inside length of a closed strap from its middle length.

    On a body of radius r the middle of the under end runs at r + t/2, and that of the over end, where it lies
    on the under end, one thickness further out. From the stud round to the cap on it the middle is therefore
    (2 pi - a)(r + t/2) + a (r + 3t/2) = 2 pi r + pi t + a t long, with a = s / (r + t/2) the angle from the
    under tip to the stud. With R = r + t/2 that is 2 pi R + t s / R, a quadratic in R.

    Args:
        middle_mm: along the strap's middle from the stud round to the cap.
        thickness_mm: of the strap, None where it is not known.
        on_mm: from the under end's tip to the stud that the outermost cap sits on, where the over end lies on it.
    """
    if thickness_mm is None:
        return None
    lapped = max(on_mm, 0.0) * thickness_mm
    within = max(middle_mm * middle_mm - 8 * math.pi * lapped, 0.0)
    radius = (middle_mm + math.sqrt(within)) / (4 * math.pi)
    return 2 * math.pi * radius - math.pi * thickness_mm


def middle_over_inside_mm(inside: float, thickness_mm: float, on_mm: float) -> float:
    """The middle length of a closed strap from its inside length; the other way of `inside_mm`."""
    radius = inside / (2 * math.pi) + thickness_mm / 2
    return 2 * math.pi * radius + thickness_mm * max(on_mm, 0.0) / radius
