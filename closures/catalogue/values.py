"""Fasteners, cloths, papers and rules as frozen values, every figure with where it comes from.

Terms: the *cap* is the part that shows; the *socket* grips the *stud*; a *post* passes through
a hole and is clenched; a *prong ring* pierces the cloth by itself; the *grip* is the range of
clamped thickness, on one lap, that a fastener is made for; a *line* is 1/40 in of diameter.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from closures.catalogue.by_lap import Leaves, MarkStyle
from closures.frozen import frozen

ProvenanceKind = Literal[
    "published", "second hand", "derived", "common practice", "our own rule", "from memory", "measured by the user"
]
Family = Literal["press-set snap", "sew-on snap", "magnetic snap", "button", "hook", "eyelet", "loop"]
HoleWay = Literal["pierced", "hole", "awl", "slits", "buttonhole", "bore", "prongs 2", "none"]
MarkWay = Literal[
    "prick", "hole", "stitch points", "buttonhole", "button", "shank", "two slits", "hook", "eye", "bar", "bore", "loop"
]
SettingName = Literal[
    "prong ring",
    "prong cap",
    "post",
    "plastic",
    "sew-on",
    "covered snap",
    "magnetic",
    "tack button",
    "sewn button",
    "hook",
    "eyelet",
    "hook tape",
    "snap tape",
    "loop",
]
SEWN_SETTINGS: frozenset[SettingName] = frozenset({"sew-on", "covered snap", "sewn button", "hook", "loop"})
"""How closures are set that a needle alone sews on, one by one."""
LapName = Literal["over", "under"]
Structure = Literal[
    "woven", "knit", "pile", "sheer", "leather", "coated", "padded", "nonwoven", "fusible", "openwork", "fine", "waxed"
]

PROVENANCE_KINDS: tuple[ProvenanceKind, ...] = (
    "published",
    "second hand",
    "derived",
    "common practice",
    "our own rule",
    "from memory",
    "measured by the user",
)

_OTHER: dict[LapName, LapName] = {"over": "under", "under": "over"}


@frozen
class Source:
    """Where a published figure was read.

    Attributes:
        key: short name that rows point to.
        title: author and title, or number and title of a standard.
        publisher: who published it.
        year: of the edition read, None where it is not dated.
        note: what it is used for, or a limit of it.
    """

    key: str
    title: str
    publisher: str
    year: int | None = None
    note: str = ""

    @property
    def text(self) -> str:
        """One line for people: title, publisher, year."""
        parts = [self.title, self.publisher, "" if self.year is None else str(self.year)]
        return ", ".join(part for part in parts if part)


@frozen
class Provenance:
    """Where a figure comes from.

    Attributes:
        kind: how far it can be trusted.
        source: the source in words, or empty where there is none to name.
        key: the source's key in the table of sources, several with commas between, empty where it is
            none of those.
    """

    kind: ProvenanceKind
    source: str = ""
    key: str = ""

    @property
    def text(self) -> str:
        """One phrase for people, for example ``published: Garment standards, ASDP``."""
        return f"{self.kind}: {self.source}" if self.source else self.kind


@frozen
class Figure:
    """A number with where it comes from.

    Attributes:
        value: in mm, or in the unit that its holder names.
        provenance: where it comes from.
    """

    value: float
    provenance: Provenance


@frozen
class Hole:
    """How a fastener passes through the cloth.

    Attributes:
        way: what is made in the cloth; "pierced" and "prongs 2" need nothing cut beforehand.
        diameter: of the hole, bore or awl point, None where there is none.
        diameter_high: the wider end, where the pack gives a range.
    """

    way: HoleWay
    diameter: Figure | None = None
    diameter_high: Figure | None = None


@frozen
class Part:
    """One part of a closure.

    Attributes:
        name: trade name, in the singular.
        lap: the lap that carries it.
        each: how many of it one closure takes on that lap.
    """

    name: str
    lap: LapName
    each: int = 1


ANY_SIZE = "any"
"""What the catalogue writes as the size of a kind that is cut from a tape."""


@frozen
class Fastener:
    """One kind of closure in one size, with everything known of it. Lengths in mm.

    Attributes:
        kind, size: as the catalogue writes them.
        family: the group of kinds that are set and marked alike.
        cap: diameter of the largest part, or the greater side of a hook and bar; None only
            where no figure is known, and then it must be measured.
        inner: diameter of the flange that presses on the inside.
        hole: how it passes through the cloth.
        grip: least and most clamped thickness on one lap, None where any will do or none is known.
        least_pitch: least distance between two centres, for the tool.
        thickness: of a button, least and most.
        extent: width and height of a part that is not round.
        parts: in the order in which they stack, from the outside inwards, over lap first.
        mark: what is marked on each lap.
        leaves: what is left in each lap when it is taken off.
        setting: the way it is set, by which its steps, cautions and removal are found.
        note: one line about this kind and size.
        clamps: the laps on which it clamps the cloth, and where the grip matters.
        halves: where the usual side of each half comes from.
        is_ball: it is a ball, so that a buttonhole must let half its girth through.
        is_apart_from_mark: a part that lies on the inside of a lap is not sewn over a mark there.
    """

    kind: str
    size: str
    family: Family
    cap: Figure | None
    inner: Figure | None
    hole: Hole | None
    grip: tuple[Figure, Figure] | None
    least_pitch: Figure
    thickness: tuple[Figure, Figure] | None
    extent: tuple[Figure, Figure] | None
    parts: tuple[Part, ...]
    mark: MarkStyle
    leaves: Leaves
    setting: SettingName
    note: str = ""
    clamps: tuple[LapName, ...] = ("over", "under")
    halves: Provenance | None = None
    is_ball: bool = False
    is_apart_from_mark: bool = False

    @property
    def name(self) -> str:
        """Its kind and size as people say them; of a kind that comes in one size alone, the kind."""
        return self.kind if self.size == ANY_SIZE else f"{self.kind} {self.size}"

    @property
    def cap_mm(self) -> float:
        """Diameter of the largest part in mm; 0 where none is known."""
        return 0.0 if self.cap is None else self.cap.value

    @property
    def cap_way(self) -> str:
        """How that part is measured, to stand after its figure: a hook is wide, and of an eyelet it is the rim."""
        ways = {"hook": "wide", "eyelet": "across the rim", "loop": "across the button"}
        return ways.get(self.family, "across")

    @property
    def rim_mm(self) -> float:
        """Half the cap: from the centre to the outer boundary, in mm."""
        return self.cap_mm / 2

    @property
    def extent_mm(self) -> tuple[float, float] | None:
        """Width and height in mm of a part that is not round."""
        return None if self.extent is None else (self.extent[0].value, self.extent[1].value)

    @property
    def is_sewn(self) -> bool:
        """Whether it is sewn on one by one: a needle sets it, and no tool has to reach round it."""
        return self.setting in SEWN_SETTINGS

    @property
    def is_taped(self) -> bool:
        """Whether it comes on a tape, which is sewn on along both its edges."""
        return self.setting in ("hook tape", "snap tape")

    def parts_on(self, lap: LapName) -> tuple[Part, ...]:
        """The parts that one lap carries, in stacking order."""
        return tuple(part for part in self.parts if part.lap == lap)

    def turned(self) -> Fastener:
        """The same closure with its halves changed over: what was on the over lap is on the under lap."""
        return replace(
            self,
            parts=tuple(replace(part, lap=_OTHER[part.lap]) for part in reversed(self.parts)),
            mark=MarkStyle(self.mark.under, self.mark.over),
            leaves=Leaves(self.leaves.under, self.leaves.over),
            clamps=tuple(_OTHER[lap] for lap in reversed(self.clamps)),
        )

    def lies_as(self, other: Fastener) -> bool:
        """Whether either lap carries the same half of it as of another of its kind."""
        return self.mark == other.mark and {(p.name, p.lap) for p in self.parts} == {
            (p.name, p.lap) for p in other.parts
        }


@frozen
class Cloth:
    """One cloth, one layer.

    Attributes:
        name: as plans write it.
        mass_g_m2: areal mass, None where the row names none.
        fibre: main fibre, or ``leather``.
        structure: how it is made.
        low, typical, high: free thickness in mm, under about 1 to 5 kPa; the same figure three times
            where the user measured one.
        is_brushed: it has a nap or a pile, and gives way more when it is clamped.
        aliases: other names for it.
        also: further words on how it is made; net is openwork, fine what a hole frays in, waxed what bears no glue.
        clamped: least and most thickness of one layer under a flange, where a trial or a gauge told it.
        loops_keep: a knit whose loops are so matted that none runs where it is cut, and no edge frays.
        marks: its pile or face keeps what a needle, a pin or an iron does to it.
        has_nap: what is brushed of it is a nap, which bears an iron, and no pile.
        is_cleaned: it is steamed or cleaned and not washed, whatever its fibre bears.
        nap_is_inside: its nap lies on the inside of the garment, and its face is smooth.
        is_ribbed: a knit whose ribs an iron presses flat and wide for good.
    """

    name: str
    mass_g_m2: float | None
    fibre: str
    structure: Structure
    low: Figure
    typical: Figure
    high: Figure
    is_brushed: bool = False
    aliases: tuple[str, ...] = ()
    also: tuple[Structure, ...] = ()
    clamped: tuple[Figure, Figure] | None = None
    loops_keep: bool = False
    marks: bool = False
    has_nap: bool = False
    is_cleaned: bool = False
    nap_is_inside: bool = False
    is_ribbed: bool = False

    @property
    def structures(self) -> frozenset[Structure]:
        """Every word on how it is made; a nap counts as pile."""
        nap: tuple[Structure, ...] = ("pile",) if self.is_brushed else ()
        return frozenset((self.structure, *self.also, *nap))


@frozen
class Rule:
    """A limit or default with its meaning.

    Attributes:
        key: readable name.
        value: the figure, in mm unless `unit` says otherwise.
        text: what it limits.
        unit: "mm", or the unit of a figure that is not a length.
        high: the upper end of a published range, None for a single figure.
    """

    key: str
    value: Figure
    text: str
    unit: str = "mm"
    high: Figure | None = None


@frozen
class Paper:
    """A sheet or a roll.

    Attributes:
        key: as options write it.
        name: for people.
        width_mm: the lesser side, or the width of the roll.
        height_mm: the greater side, None for a roll.
        provenance: where the size comes from.
    """

    key: str
    name: str
    width_mm: float
    height_mm: float | None
    provenance: Provenance

    @property
    def is_roll(self) -> bool:
        """Whether it comes from a roll, so that a page is as long as is needed."""
        return self.height_mm is None


@frozen
class Kind:
    """What holds for every size of a kind of fastener.

    Attributes:
        name: its name.
        aliases: other names for it.
        family: its group.
        parts: from the outside inwards, over lap first.
        mark: what is marked on each lap.
        leaves: what is left in each lap when it is taken off.
        hole: how it passes through the cloth.
        clamps: the laps on which it clamps the cloth.
        setting: the way it is set.
        note: one line about it.
        halves: where the usual side of each half comes from.
        size_is_diameter: any line size is its own diameter, as with buttons.
        is_ball: it is a ball.
        is_apart_from_mark: a part that lies on the inside of a lap is not sewn over a mark there.
    """

    name: str
    aliases: tuple[str, ...]
    family: Family
    parts: tuple[Part, ...]
    mark: MarkStyle
    leaves: Leaves
    hole: HoleWay
    clamps: tuple[LapName, ...]
    setting: SettingName
    note: str
    halves: Provenance
    size_is_diameter: bool = False
    is_ball: bool = False
    is_apart_from_mark: bool = False


@frozen
class KindSummary:
    """A kind of fastener as a listing shows it.

    Attributes:
        kind: its name.
        aliases: other names for it.
        family: its group.
        note: one line about it.
        fasteners: every size, in catalogue order.
    """

    kind: str
    aliases: tuple[str, ...]
    family: Family
    note: str
    fasteners: tuple[Fastener, ...]
