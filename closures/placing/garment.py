"""The garment around the line: which side lies on top, on which hand its cloth lies, what the ends are called.

Terms: the drawing is seen from outside. A *hand* is that of somebody who walks the over lap's finished edge from its
first end (neck, waist, tip) to its last (hem): it stays the same however the drawing is turned. What the plan says, and
what a closed outline shows, must come to the same hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closures.edges.hand import hand_by_key, hand_by_words, lies_in_words, other_hand, unknown_hand, viewers_side
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.plan.garment import GarmentWish, opening_in_words

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.edges.hand import Hand
    from closures.plan.band import Face
    from closures.plan.edge import ClothSide
    from closures.plan.garment import Opening, Pieces, SideName, State

# The tangent of 30 degrees; the scooped and crossing edges of wraps lean as far as that: our own rule.
_ACROSS = 0.577

_ENDS_OF: dict[Opening | None, tuple[str, str]] = {
    None: ("first end", "last end"),
    "front": ("neck", "hem"),
    "back": ("neck", "hem"),
    "left side": ("top", "hem"),
    "right side": ("top", "hem"),
    "left shoulder": ("neck", "armhole"),
    "right shoulder": ("neck", "armhole"),
    "crotch": ("first end", "last end"),
    "inseam": ("crotch", "hem"),
    "flat": ("first end", "last end"),
}


@frozen
class Garment:
    """The garment, with everything known that its sheets speak of.

    Attributes:
        opens: where; None where the plan does not say, and then it is taken to be the front.
        pieces: how they are cut; None where it does not matter or is not told.
        state: how far the work is; None where it is not told.
        over_side, under_side: the sides that lie on top and beneath; None for a strap whose plan does not tell.
        cloth_on: the hand on which the over lap's cloth lies.
        ends: what the first and the last end are called.
        is_meeting: the edges only meet, and nothing lies on top.
    """

    opens: Opening | None
    pieces: Pieces | None
    state: State | None
    over_side: SideName | None
    under_side: SideName | None
    cloth_on: Hand
    ends: tuple[str, str] = ("first end", "last end")
    is_meeting: bool = False

    def whose(self, lap: LapName) -> str:
        """The side that carries a lap, for people, such as "wearer's right front"; empty where it is not told."""
        side = self.over_side if lap == "over" else self.under_side
        return "" if side is None else side_in_words(self.opens, side)

    def piece(self, lap: LapName) -> str:
        """The piece that carries a lap, for people: "right front", "front piece"."""
        side = self.over_side if lap == "over" else self.under_side
        if side is None:
            return f"{lap} lap's piece"
        return f"{side} {self.opens}" if self.opens in ("front", "back") else f"{side} piece"

    @property
    def lap_in_words(self) -> str:
        """Which side lies on which, for people: "wearer's right over left, at the front"."""
        sides = f"{self.over_side} {'to' if self.is_meeting else 'over'} {self.under_side}"
        if self.opens is None:
            return f"wearer's {sides}"
        if self.opens in ("front", "back"):
            return f"wearer's {sides}, {self.opens} opening"
        if self.opens == "flat":
            return sides
        return f"{sides}, {opening_in_words(self.opens)}"


def sides_of(lap: str) -> tuple[SideName, SideName]:
    """The sides of a lap, the one on top first."""
    over, under = lap.split(" over ")
    return cast("SideName", over), cast("SideName", under)


def garment_of_strap(lap: str | None, state: State | None, cloth_on: Hand) -> Garment:
    """What is known of a strap, whose two ends close on each other."""
    over, under = (None, None) if lap is None else sides_of(lap)
    return Garment(None, None, state, over, under, cloth_on, ("under end's tip", "over end's tip"))


def side_in_words(opens: Opening | None, side: str) -> str:
    """Name a side for people."""
    if opens is None:
        return f"wearer's {side}" if side in ("right", "left") else side
    if opens in ("front", "back"):
        return f"wearer's {side} {opens}"
    if opens == "flat":
        return f"{side} side"
    return f"{side}, {opening_in_words(opens).removeprefix('at the ')}"


def ends_called(wish: GarmentWish | None) -> tuple[str, str]:
    """What the first and the last end of an edge are called."""
    wish = GarmentWish() if wish is None else wish
    return wish.ends or _ENDS_OF[wish.opens]


@frozen
class Shown:
    """What the drawing shows of the cloth.

    Attributes:
        cloth_on: the hand on which the inside of a closed outline lies; None where the edge is no part of one.
        is_stretch: the edge is told by from and to, and not by a line of its own.
        seen_from: how the drawing was made.
        is_reversed: the edge is read from the end of its line to the beginning.
        piece: the name of the closed line that shows it, where the edge is a line of its own beside it.
        is_turned: what was drawn was turned over on reading.
    """

    cloth_on: Hand | None = None
    is_stretch: bool = False
    seen_from: Face = "outside"
    is_reversed: bool = False
    piece: str = ""
    is_turned: bool = False


def know_garment(wish: GarmentWish | None, lap: str, edge: Curve, cloth: ClothSide | None, shown: Shown) -> Garment:
    """Work out what the plan and the drawing say of the garment.

    Args:
        wish: the plan's words; None where it has none.
        lap: which side lies over which.
        edge: the over lap's finished edge, first end to last, seen from outside.
        cloth: on which side of the edge as drawn the plan says that the cloth lies.
        shown: what the drawing shows.

    Returns:
        The garment.

    Raises:
        EdgeError: the drawing contradicts the words, or nothing tells where the cloth lies.
    """
    wish = GarmentWish() if wish is None else wish
    over, under = sides_of(lap)
    ends = ends_called(wish)
    by_words = hand_by_words(wish.opens, lap)
    by_key = None if cloth is None else hand_by_key(cloth, edge.start, edge.end, shown.is_turned)
    if by_words is not None and by_key is not None and by_words != by_key:
        lies = lies_in_words(viewers_side(by_words, edge.start, edge.end, shown.is_turned))
        raise EdgeError(
            f'with lap = "{lap}" the cloth of the over lap lies {lies} this edge, and cloth = "{cloth}" says otherwise',
            where=in_section("edge", "cloth"),
            mend=f'One of the two is wrong: write lap = "{under} over {over}" if the cloth does lie there, or leave '
            f"cloth out if it does not; and check that the edge runs from the {ends[0]} to the {ends[1]}.",
        )
    told = by_words or by_key
    if shown.cloth_on is not None and told is not None and told != shown.cloth_on:
        raise _contradiction(wish.opens, lap, edge, ends, shown)
    hand = told or shown.cloth_on
    if hand is None:
        raise unknown_hand(edge.start, edge.end, ends, shown.is_turned)
    return Garment(wish.opens, wish.pieces, wish.state, over, under, hand, ends, wish.is_meeting)


def runs_up(edge: Curve) -> bool:
    """Whether an edge runs clearly up the drawing from its first end to its last: more up than across."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    return y1 < y0 and y0 - y1 > abs(x1 - x0)


def runs_across(edge: Curve) -> bool:
    """Whether an edge runs far more across the drawing than down it: by more than 60 degrees from straight down."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    return abs(y1 - y0) < _ACROSS * abs(x1 - x0)


def runs_down(edge: Curve) -> bool:
    """Whether an edge runs far more down or up the drawing than across it: by less than 30 degrees from upright."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    return abs(x1 - x0) < _ACROSS * abs(y1 - y0)


def _contradiction(opens: Opening | None, lap: str, edge: Curve, ends: tuple[str, str], shown: Shown) -> EdgeError:
    drawn: Hand = shown.cloth_on or "right"
    wanted = other_hand(drawn)
    over, under = lap.split(" over ")
    said = f'lap = "{lap}"' + (f' and opens = "{opens}"' if opens else "")
    mends = []
    if runs_up(edge):
        turn = "leave reverse out" if shown.is_reversed else "write reverse = true"
        turn = "exchange from and to" if shown.is_stretch else turn
        mends.append(f"the edge runs from the {ends[1]} to the {ends[0]}: {turn} under [edge]")
    mends.append(f'the other side lies on top: write lap = "{under} over {over}" under [band]')
    if shown.seen_from == "outside":
        mends.append('the drawing was made from the inside: write seen_from = "inside" under [band]')
    else:
        mends.append('the drawing was made from the outside: write seen_from = "outside" under [band]')
    mends.append('this is the under lap\'s piece: write shows = "under" under [edge]')
    if opens in (None, "front", "back"):
        other = "front" if opens == "back" else "back"
        mends.append(f'the garment opens at the {other}: write opens = "{other}" under [garment]')
    elif opens in ("left side", "right side"):
        other = "right side" if opens == "left side" else "left side"
        mends.append(f'it is the wearer\'s {other}: write opens = "{other}" under [garment]')
    if shown.is_stretch:
        mends.append("it is another edge of the piece: write the corners of the one that closes as from and to")
    shows, lies = (viewers_side(hand, edge.start, edge.end, shown.is_turned) for hand in (drawn, wanted))
    if shown.piece:
        mends.append(
            f'"{shown.piece}" is not the piece of the over lap, but a facing folded out, or another piece: '
            f'write cloth = "{lies}" under [edge]'
        )
    listed = "; ".join(f"({n}) {mend}" for n, mend in enumerate(mends, 1))
    outline = f'the outline "{shown.piece}"' if shown.piece else "the outline"
    return EdgeError(
        f"{outline} shows the cloth {lies_in_words(shows)} this edge, and by {said} it lies {lies_in_words(lies)} it",
        where=in_section("edge"),
        mend=f"One of these is so: {listed}.",
    )
