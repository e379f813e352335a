"""The over lap's finished edge, and the ways to tell it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.plan.arc import ARC, ArcWish
from closures.plan.drawing import (
    KNOWN,
    MOST_NAMES,
    TILES,
    TRACE,
    JoinWish,
    KnownWish,
    TilesWish,
    TraceWish,
    joins,
    layer_names,
    unit_of_drawing,
)
from closures.plan.drawn import against_places, against_scale
from closures.plan.kinds import Faults, Place, in_drawing, kind, more_than_nothing, points, text, yes_or_no
from closures.plan.place import Move, PlaceWish, cuts, id_or_level, moves, place_on_line
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.sizes import IDS
from closures.plan.under import UNDER, UNDER_ONLY_WITH

if TYPE_CHECKING:
    from closures.plan.plan import Plan

ClothSide = Literal["left", "right", "above", "below"]

TABLES = (".csv", ".tsv", ".txt")
"""How the name of a table of points ends."""


@frozen
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
        under, under_begins, under_ends, under_via: id of the under lap's own finished edge, and the same three of it.
        under_lies: "closed" where that was drawn where it lies on the closed garment, "apart" on a piece of its own.
        match: pairs of places, on the over and on the under lap drawn apart, that are sewn level with each other.
        cloth: on which side of the edge as drawn the over lap's cloth lies; None where the opening tells it.
        shows: the lap whose piece the drawing shows.
        line: id of the closing line, where it is not an inset of the edge.
        reverse: the edge was drawn from its last end to its first.
        level_zero: where levels are measured from: an id in the drawing, or a y in mm;
            None for the first end of the edge.
        known: something in the drawing whose length is known.
        unit_mm: how long a unit of the drawing is, where the drawing does not say, or says it wrongly.
        read_within_mm: what points that stand for a curve may be out by; None for what is usual.
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
    under_begins: PlaceWish | None = None
    under_ends: PlaceWish | None = None
    under_via: PlaceWish | None = None
    under_lies: Literal["closed", "apart"] = "closed"
    match: tuple[tuple[PlaceWish, PlaceWish], ...] = ()
    cloth: ClothSide | None = None
    shows: Literal["over", "under"] = "over"
    line: str | None = None
    reverse: bool = False
    level_zero: str | float | None = None
    known: KnownWish | None = None
    unit_mm: float | None = None
    read_within_mm: float | None = None
    layers: tuple[tuple[str, str], ...] = ()
    tiles: TilesWish | None = None
    joins: tuple[JoinWish, ...] = ()
    moved: tuple[Move, ...] = ()
    longer: tuple[Move, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The lines of the drawing that the edge is made of."""
        return self.pieces if self.path is None else (self.path,)


def _edge(points: Any = None, path: Any = None, **given: Any) -> EdgeWish:
    return EdgeWish(
        path=path if isinstance(path, str | None) else None,
        pieces=path if isinstance(path, tuple) else (),
        points=None if isinstance(points, str) else points,
        points_file=points if isinstance(points, str) else None,
        **given,
    )


@kind("name, or a list of names", "names", is_one_or_more=True)
def name_or_names(value: object, place: Place) -> str | tuple[str, ...]:
    """Take the name of one line in the drawing, or a list of the pieces it is joined of."""
    if not isinstance(value, list):
        return str(text(value, place))
    if not 0 < len(value) <= MOST_NAMES:
        raise place.error(f"a list of {len(value)} names", f"Write one to {MOST_NAMES} names.")
    faults = Faults()
    names = tuple(faults.read(text, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1))
    faults.raise_if_any()
    return names


@kind("list of `[across, down]`, or the name of a table", "points")
def points_or_file(value: object, place: Place) -> str | tuple[tuple[float, float], ...]:
    """Take measured points, or the name of a file that holds them."""
    if isinstance(value, str) and value.strip().lower().endswith(TABLES):
        return str(text(value, place))
    read: tuple[tuple[float, float], ...] = points(value, place)
    return read


@kind("list of three `[across, down]`", "points")
def three_points(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take the three points through which an arc goes."""
    read: tuple[tuple[float, float], ...] = points(value, place)
    if len(read) != 3:
        raise place.error(f"{len(read)} points do not tell an arc", "Write its first end, its middle and its last end.")
    return read


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "from" in fields and "reverse" in fields:
        yield "reverse", "from and to tell already which end is first", "Leave reverse out."
    if "match" in fields and fields.get("under_lies") != "apart":
        yield "match", "edges drawn closed lie on each other already", 'Write under_lies = "apart", or leave match out.'
    if "line" in fields and fields.get("under_lies") == "apart":
        yield "line", "each lap of pieces drawn apart has a line of its own", "Leave line out, and write inset."
    if "tiles" in fields and "joins" in fields:
        yield "joins", "the pages are laid by tiles already", "Keep tiles or joins, not both."


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell a piece of which nothing says how the other is made; and what contradicts the base of `[sizes]`."""
    if plan.edge is None:
        return
    yield from against_places(plan)
    yield from against_scale(plan)
    if plan.edge.shows == "under" and (plan.garment is None or plan.garment.pieces != "pair"):
        yield (
            "shows",
            "only of a pair does one piece show the other, turned over",
            'Write pieces = "pair" under [garment]; or of two pattern pieces name the over lap\'s edge as path and '
            "this "
            "one as under.",
        )
    if plan.sizes is None:
        return
    for key in IDS:
        of_base, own = getattr(plan.sizes, key), getattr(plan.edge, key)
        if of_base is not None and own != of_base.replace("{size}", plan.sizes.base):
            what = f"it is not that of the base, size {plan.sizes.base}"
            yield key, what, f"Leave {key} out of [edge]: [sizes] tells it."


EDGE = Section(
    name="edge",
    title="Edge",
    meaning="The over lap's finished edge, from its first end (neck, waist, tip) to its last end (hem), at most 20 m "
    "long. A *place* is "
    'the id of a point, a point `[across, down]` in the drawing, or `{ level = "120 mm", which = 1 }`, where the line '
    "crosses a level.",
    keys=(
        Key(
            "path",
            name_or_names,
            '"over-edge"',
            'the edge in the drawing: an id, a layer, a handle, `"page 3, 17"`, as [`closures edges`](command.md) '
            "lists them; of a list, the pieces are joined where they touch within 0.2 mm",
            label="Line in the drawing",
            option="--path",
            says="The edge in the drawing, by the name that closures edges lists.",
        ),
        Key(
            "points",
            points_or_file,
            '[["0 mm", "0 mm"], ["6 mm", "80 mm"]]',
            "a smooth curve through [measured points](../how-to/from-a-paper-pattern.md); at least two, at most 1000",
            label="Measured points",
            hint="A line for each: across, down",
        ),
        Key(
            "straight",
            more_than_nothing,
            '"24 in"',
            "a straight edge that runs straight down from (0, 0)",
            label="Straight, this long",
            option="--straight",
            says='A straight edge of this length, for example "24 in".',
        ),
        Key(
            "arc",
            ARC,
            '{ length = "600 mm", radius = "420 mm", bows = "out" }',
            "one arc; its chord runs straight down from (0, 0)",
            label="One arc",
            option="--arc",
        ),
        Key(
            "arc_through",
            three_points,
            '[["0 mm", "0 mm"], ["12 mm", "80 mm"], ["0 mm", "160 mm"]]',
            "the one arc through them: first end, a point between, last end",
            label="One arc through three points",
            hint="A line for each: across, down",
        ),
        Key(
            "trace",
            TRACE,
            "{ through = [[120, 340], [180, 2210]], dpi = 300 }",
            "an edge followed on a scan or a photo",
            label="Followed on a picture",
        ),
        Key(
            "from",
            place_on_line,
            '"neck-point"',
            "where the edge begins on a longer line or a closed outline; goes with `to`",
            label="The edge begins at",
            hint="A corner of the line; else its own end",
            default="the end of the line",
            field="begins",
        ),
        Key(
            "to",
            place_on_line,
            '["12 mm", "340 mm"]',
            "where it ends; the edge runs from `from` to `to`",
            label="and ends at",
            hint="A corner; across, down; or a name",
            default="the end of the line",
            field="ends",
        ),
        Key(
            "via",
            place_on_line,
            '["20 mm", "180 mm"]',
            "a place that the stretch passes",
            label="by way of",
            hint="Where a closed line could be gone round either way",
            default="the shorter way round",
        ),
        *UNDER,
        Key(
            "line",
            in_drawing,
            '"closing-line"',
            "the closing line itself, where it is not an inset of the edge",
            label="The closing line itself",
            hint="A name in the drawing, where it is not an inset of the edge",
            default="the edge moved in by `inset`",
            option="--line",
            says="The closing line in the drawing, where it is not an inset of the edge.",
        ),
        Key(
            "reverse",
            yes_or_no,
            "true",
            "the edge was drawn from its last end to its first",
            label="Counted from",
            default="false",
            option="--reverse",
            says="The edge was drawn from its last end to its first.",
        ),
        Key(
            "level_zero",
            id_or_level,
            '"shoulder-point"',
            "where levels are measured from; a height is counted down from where y is 0 in the drawing, as `from` and "
            "`to` are (its top, unless its viewBox begins elsewhere or it is a DXF), or from where the figures of an "
            "edge without one begin (of `straight` and `arc` its first end), with minus above that",
            label="Levels are measured from",
            hint="Empty: the first end, such as the neck. A name in the drawing; or a height, -3 in being above",
            default="the first end of the edge",
            option="--level-zero",
            says="Where levels are measured from: a point of the drawing, or a length down.",
        ),
        Key(
            "known",
            KNOWN,
            '{ path = "ruler", length = "2 in" }',
            "something in the drawing whose length is known; a PDF needs it, or `scale`",
            label="Something whose length is known",
        ),
        Key(
            "scale",
            unit_of_drawing,
            '"1 mm"',
            "how long one unit of the drawing is, where it does not say or says it wrongly",
            label="One unit of the drawing is",
            default="what the drawing says",
            field="unit_mm",
        ),
        Key(
            "read_within",
            more_than_nothing,
            '"0.15 mm"',
            "what points of a line that was traced, measured, digitised or exported as short strokes may be out by, a "
            "standard deviation; the smooth line that they stand for is read from them",
            label="Points may be out by",
            hint="Where a line was traced or measured",
            default="0.15 mm",
            field="read_within_mm",
        ),
        Key(
            "layers",
            layer_names,
            '{ "sew line" = "14" }',
            'what the layers of a DXF are called: `{ "sew line" = "STITCH" }`; known are `boundary`, `notches`, '
            "`grain line`, `internal lines`, `drill holes`, `sew line`",
            label="What the layers are called",
            default="layers 1, 4, 7, 8, 13, 14",
        ),
        Key(
            "tiles",
            TILES,
            '{ columns = 3, rows = 2, overlap = "10 mm", margin = "10 mm" }',
            "how the pages of a PDF lie beside each other",
            label="How the pages lie",
            default="each page alone",
        ),
        Key(
            "joins",
            joins,
            '[{ page = 2, onto = 1, at = [["10 mm", "20 mm"], ["10 mm", "250 mm"]], '
            'there = [["190 mm", "20 mm"], ["190 mm", "250 mm"]] }]',
            "instead of `tiles`: two points of a `page`, `at`, and where they lie `there` on the page that it lies "
            "`onto`",
            label="Pages joined by two points",
            default="none",
        ),
        Key(
            "moved",
            moves,
            '[["0 mm", "0 mm"], ["2 mm", "6 mm"]]',
            "how far a graded edge moved: its first and its last end, or every control point",
            label="How far it was moved",
            hint="A line for each end or control point: across, down",
        ),
        Key(
            "longer",
            cuts,
            '[["300 mm", "15 mm"]]',
            "where the edge was cut straight across, and how much longer it became",
            label="Where it was made longer",
            hint="A line for each: level, by how much",
        ),
    ),
    value=_edge,
    needed=True,
    one_of=(("straight", "arc", "points", "path", "arc_through", "trace"),),
    only_with=(
        ("from", "path"),
        ("from", "to"),
        ("to", "from"),
        ("via", "from"),
        *UNDER_ONLY_WITH,
    ),
    complaints=_complaints,
    against=_against,
    option="the edge",
)
