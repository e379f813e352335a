"""How the garment is put on: its closed girths, how far it opens, and a second opening beside the row."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.kinds import Faults, Place, any_length, choice, kind, length, more_than_nothing, text, whole
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

MOST_RINGS = 40
MOST_CLOSURES = 1000


@frozen
class RingWish:
    """A girth of the closed garment at a level.

    Attributes:
        name: what it is called.
        level_mm: straight down from the level zero.
        round_mm: the girth, in a knit stretched; None where it is to be taken from the drawing.
    """

    name: str
    level_mm: float
    round_mm: float | None


@frozen
class OutlineWish:
    """A pattern piece that goes round the body.

    Attributes:
        path: its closed outline in the drawing.
        cut: how many copies of it go round.
        less_mm: what each copy loses across, to seam allowances, darts, and where it overlaps another.
        zero: a point of the drawing where its levels begin; None for the plan's level zero.
    """

    path: str
    cut: int
    less_mm: float
    zero: str | None = None


@frozen
class ZipWish:
    """A second opening: where it is, and the levels from its top stop to its lower end."""

    where: str
    from_mm: float
    to_mm: float


@frozen
class WayInWish:
    """How the garment is put on.

    Attributes:
        neck_mm: neck edge of the closed garment, stretched as far as it gives; None where it is not asked.
        slit_mm: how far the neck opens below its edge; None for down to the last closure that opens.
        rings: girths of the closed garment at levels.
        outlines: pieces of the drawing that girths are taken from.
        ends_in: what is below the last closure: a hem, so that the edges hang free, or a seam.
        last_opens: number of the last closure that opens; None for all.
        zip: a second opening.
        cuff_mm, hem_mm: girths of a cuff and of a trouser hem that stay closed.
        way: how it is put on; None for either.
    """

    neck_mm: float | None = None
    slit_mm: float | None = None
    rings: tuple[RingWish, ...] = ()
    outlines: tuple[OutlineWish, ...] = ()
    ends_in: Literal["hem", "seam"] = "seam"
    last_opens: int | None = None
    zip: ZipWish | None = None
    cuff_mm: float | None = None
    hem_mm: float | None = None
    way: Literal["over the head", "stepping in"] | None = None


@kind("list of tables", "tables")
def rings(value: object, place: Place) -> tuple[RingWish, ...]:
    """Take a list of girths of the closed garment, each at its level."""
    example = 'Write [{ at = "bust", level = "220 mm", round = "96 cm" }].'
    if not isinstance(value, list) or not 0 < len(value) <= MOST_RINGS:
        raise place.error(f"{shown_value(value)} tells no girths", example)
    faults = Faults()
    read = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, dict) or set(one) not in ({"at", "level", "round"}, {"at", "level"}):
            raise inner.error(f"{shown_value(one)} does not tell a place, a level and a girth", example)
        name = faults.read(text, one["at"], inner.inner("at"))
        level = faults.read(any_length, one["level"], inner.inner("level"))
        girth = faults.read(more_than_nothing, one["round"], inner.inner("round")) if "round" in one else None
        read.append(RingWish(name, level, girth))
    faults.raise_if_any()
    if len({ring.level_mm for ring in read}) < len(read):
        raise place.error("two girths stand at one level", "Keep one of them.")
    return tuple(read)


@kind("list of tables", "tables")
def outlines(value: object, place: Place) -> tuple[OutlineWish, ...]:
    """Take a list of pattern pieces that go round the body: path, cut, less, zero."""
    example = 'Write [{ path = "front", cut = 2, less = "30 mm" }].'
    if not isinstance(value, list) or not 0 < len(value) <= MOST_RINGS:
        raise place.error(f"{shown_value(value)} names no pieces", example)
    faults = Faults()
    read = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, dict) or "path" not in one or set(one) - {"path", "cut", "less", "zero"}:
            raise inner.error(f"{shown_value(one)} is not a piece", example)
        path = faults.read(text, one["path"], inner.inner("path"))
        cut = faults.read(whole(1, MOST_RINGS), one["cut"], inner.inner("cut")) if "cut" in one else 2
        less = faults.read(length(), one["less"], inner.inner("less")) if "less" in one else 0.0
        zero = faults.read(text, one["zero"], inner.inner("zero")) if "zero" in one else None
        read.append(OutlineWish(path, cut, less, zero))
    faults.raise_if_any()
    return tuple(read)


@kind("table", "table")
def second_opening(value: object, place: Place) -> ZipWish:
    """Take a second opening: ``{ where = "left side", from = "150 mm", to = "400 mm" }``."""
    example = 'Write { where = "left side", from = "150 mm", to = "400 mm" }, as levels.'
    if not isinstance(value, dict) or set(value) != {"where", "from", "to"}:
        raise place.error(f"{shown_value(value)} is no second opening", example)
    faults = Faults()
    where = faults.read(text, value["where"], place.inner("where"))
    top = faults.read(any_length, value["from"], place.inner("from"))
    end = faults.read(any_length, value["to"], place.inner("to"))
    faults.raise_if_any()
    if end <= top:
        raise place.error("it ends above where it begins", "Write the level of its top stop first.")
    return ZipWish(where, top, end)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if not {"neck", "rings", "cuff", "hem"} & fields.keys():
        yield "", "nothing is told that the body must pass", "Add neck, rings, cuff or hem."
    if "rings" in fields and "outlines" not in fields:
        for ring in fields["rings"]:
            if ring.round_mm is None:
                what = f"the girth at {shown_value(ring.name)} is not told"
                yield "rings", what, 'Add round = "96 cm" to it, or outlines to take it from the drawing.'


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.way_in is not None and plan.body is None:
        yield "", "whose body is to get in is not told", 'Add [body], with girths or sex = "woman".'
    if plan.way_in is not None and plan.shrinkage is not None and plan.shrinkage.measured == "unwashed":
        yield (
            "",
            "a body gets into the washed garment, and this plan tells lengths of the unwashed cloth",
            'Measure the washed garment, and write measured = "washed" under [shrinkage]; or leave [way_in] out.',
        )
    if plan.way_in is not None and plan.way_in.outlines and plan.drawing is None:
        yield "outlines", "it names pieces of a drawing, and the plan has no drawing", 'Add drawing = "front.svg".'


WAY_IN = Section(
    name="way_in",
    title="Girths of the closed garment",
    meaning="How the garment is put on: [how to](../how-to/will-it-go-on.md). Only with `[body]`.",
    keys=(
        Key(
            "neck",
            more_than_nothing,
            '"320 mm"',
            "round the closed neck edge, stretched as far as it gives",
            label="Neck edge, stretched",
        ),
        Key(
            "slit",
            length(),
            '"105 mm"',
            "how far the neck opens below its edge. Only with `neck`",
            label="The neck opens down by",
            default="down to the last closure that opens",
        ),
        Key(
            "rings",
            rings,
            '[{ at = "bust", level = "220 mm", round = "96 cm" }]',
            "girths of the closed garment at levels, in a knit stretched; without `round` it is taken from `outlines`",
            label="Closed, it measures",
        ),
        Key(
            "outlines",
            outlines,
            '[{ path = "front", cut = 2, less = "30 mm" }]',
            "pieces of the drawing that go round the body: how many copies, what each loses across to allowances, "
            "darts and overlap, and a point (`zero`) where its levels begin. Only with `rings`",
            label="Pieces of the drawing that go round",
        ),
        Key(
            "ends_in",
            choice("hem", "seam"),
            '"hem"',
            "what is below the last closure: a hem, where the edges hang free, or a seam",
            label="Below the last closure is",
            default='"seam"',
        ),
        Key(
            "last_opens",
            whole(1, MOST_CLOSURES),
            "6",
            "number of the last closure that opens",
            label="Last closure that opens",
            default="all open",
        ),
        Key(
            "zip",
            second_opening,
            '{ where = "left side", from = "150 mm", to = "400 mm" }',
            "a second opening, from the level of its top stop to that of its lower end. Only with `rings`",
            label="A second opening",
        ),
        Key("cuff", more_than_nothing, '"21 cm"', "round a cuff that stays closed", label="Cuff that stays closed"),
        Key("hem", more_than_nothing, '"34 cm"', "round a trouser hem that stays closed", label="Trouser hem"),
        Key(
            "way",
            choice("over the head", "stepping in"),
            '"stepping in"',
            "how it is put on",
            label="It is put on",
            default="either",
        ),
    ),
    value=WayInWish,
    only_with=(("slit", "neck"), ("ends_in", "rings"), ("outlines", "rings"), ("zip", "rings")),
    not_with=("belt", "row"),
    complaints=_complaints,
    against=_against,
)
