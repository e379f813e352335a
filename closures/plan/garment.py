"""The garment around the line: what opens, how its pieces are cut, what its ends are called, in which state it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.ends import RUNS_DOWN, runs_upwards
from closures.plan.kinds import Faults, Place, choice, kind, text, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

Opening = Literal[
    "front", "back", "left side", "right side", "left shoulder", "right shoulder", "crotch", "inseam", "flat"
]
Pieces = Literal["pair", "separate"]
State = Literal["cut pieces", "sewn band", "finished"]
Washing = Literal["washed", "to be washed", "never"]
SideName = Literal["right", "left", "front", "back", "upper", "lower"]

_WEARER: tuple[SideName, SideName] = ("right", "left")
_FACES: tuple[SideName, SideName] = ("front", "back")
_LAYERS: tuple[SideName, SideName] = ("upper", "lower")
SIDES_OF: dict[Opening | None, tuple[SideName, SideName]] = {
    None: _WEARER,
    "front": _WEARER,
    "back": _WEARER,
    "left side": _FACES,
    "right side": _FACES,
    "left shoulder": _FACES,
    "right shoulder": _FACES,
    "crotch": _FACES,
    "inseam": _FACES,
    "flat": _LAYERS,
}
"""The two sides that an opening has; the wearer's own where the plan does not say what opens."""

ON_LIMBS = frozenset(("cuff", "wrist", "sleeve", "elbow", "ankle"))
"""What flat openings and their ends are called on a sleeve or a leg, which somebody wears."""

# Names of ends are lettered on sheets beside the marks.
_LONGEST_END = 24


@frozen
class GarmentWish:
    """What the plan says of the garment; None for what it does not say.

    Attributes:
        opens: where the garment opens; "flat" for a duvet, a cushion, a bag or a cape's end.
        pieces: "pair" where one pattern piece is cut twice, the second turned over; "separate" for two pattern pieces.
        ends: what the two ends of the edge are called, first end first.
        state: how far the work is.
        edges: whether they lap or only meet; None for lapped.
        gap_mm: between edges that meet, as it is worn; at the first end where they spread.
        gap_last_mm: at the last end, where laced edges spread; None where the gap is the same all along.
        washing: whether its cloth was washed, is to be washed before it is marked, or never is.
        pair_of_rows: the body has the same opening on its other side, whose row is the mirror image.
        on_clothes: it lies flat on what somebody wears, as the other plans of its garment tell.
    """

    opens: Opening | None = None
    pieces: Pieces | None = None
    ends: tuple[str, str] | None = None
    state: State | None = None
    washing: Washing | None = None
    edges: Literal["lapped", "meeting"] | None = None
    gap_mm: float = 0.0
    gap_last_mm: float | None = None
    pair_of_rows: bool = False
    on_clothes: bool = False

    @property
    def gaps_mm(self) -> tuple[float, float]:
        """The gap at the first end and at the last."""
        return self.gap_mm, self.gap_mm if self.gap_last_mm is None else self.gap_last_mm

    @property
    def is_filled(self) -> bool:
        """Whether it is flat goods that are filled, as a duvet or a bag is, and no slit of a sleeve or a leg."""
        return self.opens == "flat" and not self.on_clothes and not self._is_on_limb

    @property
    def is_worn(self) -> bool:
        """Whether somebody is in it as it is closed: a garment, or flat goods that are a slit of a sleeve or a leg."""
        return self.opens != "flat" or self._is_on_limb

    @property
    def _is_on_limb(self) -> bool:
        ends = {word for name in self.ends or () for word in name.casefold().split()}
        return not ends.isdisjoint(ON_LIMBS)

    @property
    def is_meeting(self) -> bool:
        """Whether the edges only meet, and nothing lies on top."""
        return self.edges == "meeting"


def opening_in_words(opens: Opening) -> str:
    """Where a garment opens: "at the front", "at the wearer's left side"."""
    if opens in ("front", "back", "crotch", "inseam"):
        return f"at the {opens}"
    return "on flat goods" if opens == "flat" else f"at the wearer's {opens}"


@kind("list of two names", "names")
def two_names(value: object, place: Place) -> tuple[str, str]:
    """Take the names of both ends, the first end's first."""
    if not isinstance(value, list) or len(value) != 2:
        raise place.error("the edge has two ends", 'Write both, the first end first, such as ["neck", "hem"].')
    faults = Faults()
    names = [faults.read(text, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1)]
    faults.raise_if_any()
    if names[0].casefold() == names[1].casefold():
        raise place.error(f'both ends are called "{names[0]}"', 'Give each a name of its own, such as ["neck", "hem"].')
    for name in names:
        if len(name) > _LONGEST_END:
            raise place.error(f'"{name}" is {len(name)} characters long', f"Keep it to {_LONGEST_END}.")
    return (names[0], names[1])


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "gap" in fields and fields.get("edges") != "meeting":
        yield "gap", "laps have no gap between their edges", 'Leave gap out, or write edges = "meeting".'
    if "gap_last" in fields and "gap" not in fields:
        yield "gap_last", "the gap at the first end is not told beside it", 'Add gap, such as gap = "30 mm".'
    ends = fields.get("ends")
    if ends is not None and fields.get("opens") in RUNS_DOWN and runs_upwards(ends):
        low, high = ends
        yield (
            "ends",
            f"the {low} lies lower on the body than the {high}, and a row begins at its upper end",
            f'Write ends = ["{high}", "{low}"], and exchange first and last under [spacing]. Where the edge is drawn '
            f"from the {low} up, write reverse = true under [edge] as well.",
        )


ONCE = ("front", "back")
"""Openings that a body has once: there is no mirror image of them."""
_ONE_ROW_ONLY = ("swap", "change", "belt", "row")


def _against_pair(plan: Plan) -> Iterator[Complaint]:
    wish = plan.garment
    if wish is None or not wish.pair_of_rows:
        return
    if wish.opens is None or wish.opens in ONCE:
        what = "nothing says what opens" if wish.opens is None else f"a body has one {wish.opens}"
        mend = 'Add opens, such as opens = "left side"' if wish.opens is None else "Leave pair_of_rows out"
        yield "pair_of_rows", what, f"{mend}; sides, shoulders, crotch halves, inseams and flat goods can be a pair."
    for name in _ONE_ROW_ONLY:
        if getattr(plan, name) is not None:
            yield (
                "pair_of_rows",
                f"[{name}] is of one row",
                f"Leave pair_of_rows out; [{name}] of the other side has a plan of its own.",
            )
    if plan.sizes is not None and plan.fit is None:
        yield (
            "pair_of_rows",
            "both sides are put together in one size, and the plan has several",
            "Leave pair_of_rows out: the sheets of every size, turned over, are those of the other side.",
        )


_LAPPED_ONLY = ("pull", "swap", "change", "stand")


def _against(plan: Plan) -> Iterator[Complaint]:
    yield from _against_pair(plan)
    wish = plan.garment
    if wish is not None and wish.gap_last_mm is not None and plan.lacing is None:
        yield "gap_last", "only a lace lets its edges spread", "Leave gap_last out, or add [lacing]."
    for name in _LAPPED_ONLY if wish is not None and wish.is_meeting else ():
        if getattr(plan, name) is not None:
            yield "edges", f"[{name}] is of laps, and these edges only meet", f"Leave [{name}] out."
    if wish is not None and wish.pieces == "pair" and plan.edge is not None and plan.edge.under is not None:
        yield (
            "pieces",
            "one piece is cut twice, and [edge] names the under lap's own edge beside it",
            'Leave under out of [edge], or write pieces = "separate"; and under_lies = "apart" where that edge was '
            "drawn "
            "on a piece of its own.",
        )


GARMENT = Section(
    name="garment",
    title="Garment",
    meaning="What the edge belongs to. From it follow the names of both sides and of both ends on every sheet, and on "
    "which side of the edge the cloth lies.",
    keys=(
        Key(
            "opens",
            choice(*(opening for opening in SIDES_OF if opening is not None)),
            '"front"',
            "where the garment opens; `flat` is a duvet, a cushion, a bag, the flap of a pocket, the end of a cape",
            label="It opens at",
            default="taken as `front`, and told so",
            option="--opens",
            says="Where the garment opens: front, back, left side, right side, left shoulder, right shoulder, crotch, "
            "inseam, flat.",
        ),
        Key(
            "pieces",
            choice("pair", "separate"),
            '"pair"',
            "`pair`: one pattern piece, cut twice, the second turned over; `separate`: two pattern pieces. A curved "
            "edge needs it",
            label="The pieces are",
            hint="Needed for a curved edge",
            default="for a straight edge it does not matter",
            option="--pieces",
            says="How the two pieces are cut: pair (one piece, the second turned over) or separate.",
        ),
        Key(
            "ends",
            two_names,
            '["neck", "hem"]',
            "what the two ends of the edge are called, the first end first, which is the upper one on the body",
            label="The ends are called",
            hint="neck, hem: the end where mark 1 lies, then the other",
            default="as the opening has them",
        ),
        Key(
            "state",
            choice("cut pieces", "sewn band", "finished"),
            '"cut pieces"',
            "how far the work is; `sewn band`: the band is closed, the garment open; `finished`: it has been worn, "
            "or is for sale",
            label="How far the work is",
            default="not told",
            option="--state",
            says="How far the work is: cut pieces, sewn band, finished.",
        ),
        Key(
            "edges",
            choice("lapped", "meeting"),
            '"lapped"',
            "`meeting`: edge to edge, with hooks and eyes or a lace; the side that `lap` tells first carries the hooks",
            label="The edges",
            default='"lapped"',
        ),
        Key(
            "gap",
            sound.edges_apart,
            '"30 mm"',
            "between edges that meet, as it is worn: where the cloth shrinks, washed. Only with `edges`",
            label="Gap between edges that meet",
            default="0",
        ),
        Key(
            "gap_last",
            sound.edges_apart,
            '"55 mm"',
            "the gap at the last end, where laced edges spread from the first end to the last",
            label="Gap at the other end, where it spreads",
            default="as the gap at the first end",
        ),
        Key(
            "washing",
            choice("washed", "to be washed", "never"),
            '"washed"',
            "whether the cloth was washed already, is to be washed before it is marked, or is never washed",
            label="The cloth is",
            default="by the cloth: leather and coated cloth never, wool and silk are steamed, others are washed first",
        ),
        Key(
            "pair_of_rows",
            yes_or_no,
            "true",
            "the body has the same opening on its other side, as a nursing top or dungarees: both are placed as one "
            "set, the other one as the mirror image: [how to](../how-to/whole-garments.md#the-same-row-on-both-sides-of"
            "-the-body)",
            label="The other side of the body has it too",
            default="false",
        ),
    ),
    value=GarmentWish,
    complaints=_complaints,
    against=_against,
)


_DRAWN_HARDEST = {"crotch": "bending down", "inseam": "bending down", "shoulder": "with the arm raised"}
"""What draws an opening hardest that no breath widens (common practice)."""


def drawn_hardest(garment: GarmentWish | None) -> str:
    """How the wearer stands when an opening is drawn hardest: in a deep breath, where nothing else does."""
    where = "" if garment is None or garment.opens is None else garment.opens.split()[-1]
    return _DRAWN_HARDEST.get(where, "in a deep breath")
