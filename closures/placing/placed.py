"""What placing comes to: a plan prepared, and its closures placed, as frozen values."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.edges.beside import NOTHING_SEEN, Seen
from closures.frozen import frozen
from closures.placing.differing import Differing
from closures.placing.marking import LapMark, Mark
from closures.placing.meeting import PlacedAnchor, PlacedZone
from closures.placing.nothing_set import withheld

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Curve, Point
    from closures.placing.lap import Laps
    from closures.placing.strap.values import Strap
    from closures.placing.usual_row import UsualLength
    from closures.plan.plan import Plan
    from closures.spacing import Spacing, Wish


@frozen
class Prepared:
    """A plan prepared: its closing line, with everything that closures are spaced by.

    Attributes:
        plan: what was asked.
        fastener: the closure chosen, with the plan's own measures in it.
        rim_mm: of the largest closure of the row.
        laps: the closing line and the laps.
        anchors, zones: as they meet the closing line.
        wish: the spacing asked for, as numbers.
        notes: how the edge was found, for people.
        outline: the closed outline that the edge is a stretch of, None where there is none.
        under_outline: the same of an under lap's edge that is drawn on its own.
        read: the points that stood for the edge, where it was read from points.
        column: the laps with the line of a second column, None where there is none.
        singles: the laps with the line of each single closure.
        seen: what lies beside the edge in its drawing.
        picture: the edge drawn over the picture that it was followed on, a PNG.
        assumed: what was filled in where the plan does not say, a line each.
        usual: what of it are lengths of the row.
    """

    plan: Plan
    fastener: Fastener
    rim_mm: float
    laps: Laps
    anchors: tuple[PlacedAnchor, ...]
    zones: tuple[PlacedZone, ...]
    wish: Wish
    notes: tuple[str, ...] = ()
    picture: bytes | None = None
    assumed: tuple[str, ...] = ()
    outline: Curve | None = None
    read: tuple[Point, ...] = ()
    under_outline: Curve | None = None
    column: Laps | None = None
    singles: tuple[Laps, ...] = ()
    seen: Seen = NOTHING_SEEN
    usual: tuple[UsualLength, ...] = ()


@frozen
class Washed:
    """A row as the garment is worn, after the shrinkage that was told; in mm along its own closing line.

    Attributes:
        positions_mm: the places.
        gaps_mm: the gaps.
        length_mm: of the closing line.
        worn: the closures there, with what lies beside the row.
        told: the plan as it was told, in the one state in which it was measured.
    """

    positions_mm: tuple[float, ...]
    gaps_mm: tuple[float, ...]
    length_mm: float
    worn: Placement
    told: Plan


@frozen
class Carried:
    """Places beside a row that were found on the washed garment, carried to the unwashed cloth.

    Attributes:
        along_mm: along their own line.
        under_mm: along that of the under lap; None where both laps have one.
    """

    along_mm: tuple[float, ...]
    under_mm: tuple[float, ...] | None


@frozen
class Unbacked:
    """A mark on a lap behind which no piece of the backing that the plan tells is cut.

    Attributes:
        mark, lap: which.
        why: in whole sentences; empty where none is asked for there.
        is_short: one was to be cut, and there is no room for it.
    """

    mark: int
    lap: LapName
    why: str = ""
    is_short: bool = True


@frozen
class Placement:
    """A garment's closures, placed.

    Attributes:
        plan: what was asked.
        laps: the closing line and the laps.
        fastener: the closure chosen, with the plan's own measures in it.
        spacing: the row as numbers.
        marks: from the first end.
        anchors, zones: as they meet the closing line.
        strap: what a belt or a row came to, None where closures run along an edge.
        notes, picture, outline, under_outline, read, seen: as of what was prepared.
        differing: what is set alike, the row's own closures first; empty where all are like them.
        beside: closures beside the row on a line of their own, numbered on from it: a second
            column, a hidden one, single ones.
        whole: of a share, the placement that it is a share of.
        washed: the same row on the washed garment, None where no shrinkage is told.
        assumed: what was filled in where the plan does not say, a line each.
        sewn_apart: numbers of the marks whose closure is another, sewn on: nothing is pierced or clamped there.
        staying: numbers of the marks whose closure is there already and stays: nothing is marked, bought or set there.
        helper: what is sewn on at those.
        besides: what is needed beside the closures themselves, part, lap and how many.
        is_beneath: the parts of the over lap go through its inner layers alone, beneath the outer one.
        patched: marks and laps at which a patch lies under the closure: on the outside, or behind an old hole.
        uncounted: those of them at which it is clamped and nothing tells what it is of, so that no stack holds it.
        unbacked: marks and laps behind which no piece of the backing that is told is cut: no stack holds it there.
    """

    plan: Plan
    laps: Laps
    fastener: Fastener
    spacing: Spacing
    marks: tuple[Mark, ...]
    anchors: tuple[PlacedAnchor, ...]
    zones: tuple[PlacedZone, ...]
    strap: Strap | None = None
    notes: tuple[str, ...] = ()
    picture: bytes | None = None
    washed: Washed | None = None
    assumed: tuple[str, ...] = ()
    outline: Curve | None = None
    read: tuple[Point, ...] = ()
    under_outline: Curve | None = None
    seen: Seen = NOTHING_SEEN
    sewn_apart: frozenset[int] = frozenset()
    staying: frozenset[int] = frozenset()
    helper: Fastener | None = None
    besides: tuple[tuple[str, LapName, int], ...] = ()
    is_beneath: bool = False
    patched: frozenset[tuple[int, LapName]] = frozenset()
    uncounted: frozenset[tuple[int, LapName]] = frozenset()
    unbacked: tuple[Unbacked, ...] = ()
    differing: tuple[Differing, ...] = ()
    beside: tuple[Placement, ...] = ()
    whole: Placement | None = None

    @property
    def as_worn(self) -> Placement:
        """On the garment as it is worn: after the first wash, where one is told."""
        return self if self.washed is None else self.washed.worn

    @property
    def as_told(self) -> Placement:
        """In the state of the cloth in which the plan was measured."""
        shrinkage = self.plan.shrinkage
        return self.as_worn if shrinkage is not None and shrinkage.measured == "washed" else self

    @property
    def cloth_state(self) -> str:
        """What must be said on paper of the cloth that it is for; nothing where a wash does not change it."""
        return "" if self.washed is None else "for unwashed cloth"

    @property
    def told_plan(self) -> Plan:
        """The plan to place anew, changed or not: `plan` of a row that was carried to unwashed cloth is carried too."""
        return self.plan if self.washed is None else self.washed.told

    @property
    def to_set(self) -> Placement:
        """The share of the row that is set anew; the row itself where nothing stays, or nothing is new."""
        return replace(self, marks=self.new_marks, whole=self.row) if self.is_partly_there else self

    @property
    def new_marks(self) -> tuple[Mark, ...]:
        """The row's marks at which something is set: all but those whose closure is there and stays."""
        return tuple(mark for mark in self.marks if mark.n not in self.staying)

    @property
    def is_all_there(self) -> bool:
        """Whether every closure of the row is there already and stays: nothing is marked, cut, bought or set."""
        return bool(self.staying) and not self.new_marks

    @property
    def is_withheld(self) -> bool:
        """Whether something of the row would be set that fails for whoever wears it, so that nothing is."""
        return bool(self.row.new_marks or self.row.beside) and bool(withheld(self.row))

    @property
    def sets_nothing(self) -> bool:
        """Whether nothing is bought, marked, cut or set: `nothing_set` has what pages say of it."""
        return self.is_all_there or self.is_withheld

    @property
    def is_partly_there(self) -> bool:
        """Whether some closures of the row stay and others are new."""
        return bool(self.staying) and bool(self.new_marks) and len(self.new_marks) < len(self.marks)

    @property
    def row(self) -> Placement:
        """The whole row, also of a share of it."""
        return self.whole or self

    @property
    def shares(self) -> tuple[Placement, ...]:
        """What is set alike, each as a placement of its own marks on the same line; itself where nothing differs."""
        if not self.is_mixed:
            return (self,)
        return tuple(share for line in (self, *self.beside) for share in line.alike(self))

    @property
    def is_mixed(self) -> bool:
        """Whether there is more than one kind of closure, or more than one column."""
        return bool(self.differing or self.beside)

    @property
    def all_marks(self) -> tuple[Mark, ...]:
        """The row's marks, then those beside it."""
        return (*self.marks, *(mark for other in self.beside for mark in other.marks))

    @property
    def is_partly_patched(self) -> bool:
        """Whether some of its own closures stand on a patch and some on none, so that each is to be tried."""
        own = {mark.n for mark in self.all_marks} - self.sewn_apart
        return 0 < len(own & {n for n, _ in self.patched}) < len(own)

    def all_on(self, lap: LapName) -> tuple[LapMark, ...]:
        """Every mark that one lap carries, those beside the row last."""
        return (*self.on(lap), *(on_lap for other in self.beside for on_lap in other.on(lap)))

    def new_on(self, lap: LapName) -> tuple[LapMark, ...]:
        """The row's marks of one lap at which something is set."""
        return tuple(on_lap for on_lap in self.on(lap) if on_lap.n not in self.staying)

    def all_new_on(self, lap: LapName) -> tuple[LapMark, ...]:
        """Every mark of one lap at which something is set, those beside the row last."""
        return tuple(on_lap for on_lap in self.all_on(lap) if on_lap.n not in self.staying)

    def alike(self, whole: Placement | None = None) -> tuple[Placement, ...]:
        """The marks of this line alone, by what is set alike; shares of `whole`, or of the line itself."""
        whole = whole or self
        if not self.differing:
            return (replace(self, beside=(), whole=whole),)
        return tuple(self._share(one, self.differing[:nth], whole) for nth, one in enumerate(self.differing))

    def _share(self, one: Differing, before: tuple[Differing, ...], whole: Placement) -> Placement:
        # Of one kind and size, spare and trial pieces are had once.
        is_more = any(
            (other.closure.kind, other.closure.size) == (one.closure.kind, one.closure.size) for other in before
        )
        closure = replace(one.closure, spare=0, trial=0) if is_more else one.closure
        marks = tuple(mark for mark in self.marks if mark.n in one.marks)
        plan = replace(self.plan, closure=closure, differs=())
        if plan.stand is not None and plan.stand.holes and plan.shrinkage is not None and one.marks == {1}:
            plan = replace(plan, shrinkage=replace(plan.shrinkage, holes=plan.stand.holes))
        return replace(
            self,
            plan=plan,
            fastener=one.fastener,
            marks=marks,
            differing=(),
            beside=(),
            whole=whole,
        )

    def is_second_column(self, n: int) -> bool:
        """Whether a mark belongs to the second column of a double-breasted front."""
        return self.plan.column is not None and any(mark.n == n for one in self.beside[:1] for mark in one.marks)

    def is_single(self, n: int) -> bool:
        """Whether a mark is a single closure's; they are numbered last."""
        return n > len(self.all_marks) - len(self.plan.singles)

    def is_hidden(self, n: int) -> bool:
        """Whether a mark was told to lie out of sight: the inner closure of a column, a single one that is hidden."""
        if self.is_single(n):
            return self.plan.singles[n - 1 - len(self.all_marks) + len(self.plan.singles)].hidden
        is_of_column = self.plan.column is not None and all(mark.n != n for mark in self.marks)
        return is_of_column and not self.is_second_column(n)

    def share_of(self, n: int) -> Placement:
        """The share that a mark belongs to."""
        if not self.is_mixed:
            return self
        return next((share for share in self.shares if any(mark.n == n for mark in share.marks)), self)

    def fastener_of(self, n: int) -> Fastener:
        """What is set at a mark."""
        if self.helper is not None and n in self.sewn_apart:
            return self.helper
        found = (one.fastener for one in self.differing if n in one.marks)
        others = (one.fastener_of(n) for one in self.beside if any(mark.n == n for mark in one.marks))
        return next(iter((*found, *others)), self.fastener)

    @property
    def rim_mm(self) -> float:
        """Of the largest closure of the row."""
        return max((one.fastener.rim_mm for one in self.differing), default=self.fastener.rim_mm)

    @property
    def side_word(self) -> str:
        """What lies over or under: a lap, or the end of a strap."""
        return "lap" if self.strap is None else "end"

    @property
    def least_pitch_mm(self) -> float:
        """The least distance that any two closures of the row may have, for the tool."""
        return max((one.fastener.least_pitch.value for one in self.differing), default=self.fastener.least_pitch.value)

    @property
    def ends(self) -> tuple[str, str]:
        """What the first and the last end are called."""
        return self.laps.garment.ends

    def is_backed(self, n: int, lap: LapName) -> bool:
        """Whether the backing that the plan tells is cut for a mark on a lap; of a plan that tells none, not."""
        is_told = self.plan.sheets is not None and self.plan.sheets.backing is not None and self.strap is None
        return is_told and all((one.mark, one.lap) != (n, lap) for one in self.unbacked)

    def on(self, lap: LapName) -> tuple[LapMark, ...]:
        """The marks that one lap carries, from its first end."""
        return tuple(on_lap for mark in self.marks if (on_lap := mark.on(lap)) is not None)
