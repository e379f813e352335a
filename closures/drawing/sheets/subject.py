"""One lap of a placement, and everything that decides how it is drawn."""

from __future__ import annotations

import math
from dataclasses import field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of
from closures.drawing.ink.type_scale import USUAL_TYPE, TypeScale
from closures.drawing.sheets.marks import Look, Stand, draw_mark, look_of, reach_mm
from closures.drawing.sheets.view import Place, View
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.catalogue.values import LapName
    from closures.drawing.ink.rigid import Rigid
    from closures.drawing.ink.shapes import Box
    from closures.drawing.sheets.lap_words import Form
    from closures.jobs.swap.swap import Swap
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.plan.band import Face


@frozen
class Subject:
    """One lap, drawn.

    Attributes:
        placement: the row and its garment.
        name: which lap.
        faces: which face of the cloth of either lap lies up; the outside where it is not told.
        buttonhole: the buttonhole of a button, None for other closures.
        swap: the closures that were there before, None where there were none.
        type: the sizes of lettering.
        failures: failed checks in words, empty where none failed.
        opening: of a garment with several openings, the name of this one; else empty.
        differing: the looks of marks that are not like the others, by their numbers.
        known: places of its line that were found already.
        is_strip: draw the band about the closing line alone, where the finished edge lies far from it.
        form: how the labels of its marks are set, where that was found already: it takes a look at all of them.
        arms_mm: how far the crosses of its marks may reach along the line.
    """

    placement: Placement
    name: LapName
    faces: Mapping[LapName, Face] = field(default_factory=dict)
    buttonhole: Buttonhole | None = None
    swap: Swap | None = None
    type: TypeScale = field(default=USUAL_TYPE)
    failures: str = ""
    opening: str = ""
    differing: Mapping[int, Look] = field(default_factory=dict)
    known: dict[float, Place] = field(default_factory=dict, compare=False, repr=False)
    is_strip: bool = False
    form: Form | None = field(default=None, compare=False)
    arms_mm: float = math.inf

    @property
    def face(self) -> Face:
        """Which face of its cloth lies up."""
        return self.faces.get(self.name, "outside")

    @property
    def lap(self) -> Lap:
        """The lap itself."""
        return self.whole_lap.as_strip if self.is_strip else self.whole_lap

    @property
    def whole_lap(self) -> Lap:
        """The lap with its finished edge, whatever is drawn of it."""
        return self.placement.laps[self.name]

    @property
    def is_cut_off(self) -> bool:
        """Whether what is drawn ends before the finished edge."""
        return self.lap.edge is not self.whole_lap.edge

    @property
    def is_piece_whole(self) -> bool:
        """Whether what is drawn is the cloth between a far edge and the closing line: it has no band to be drawn."""
        return self.lap.is_far and not self.is_strip

    @property
    def strip(self) -> str:
        """What its strip is called: the lap, and before it the opening where there are several."""
        return f"{self.opening}, {self.name}" if self.opening else self.name

    @property
    def is_flipped(self) -> bool:
        """Whether it is turned over."""
        return self.face == "inside"

    @property
    def units(self) -> str:
        """The unit that is written first."""
        return self.placement.plan.units

    @property
    def length_mm(self) -> float:
        """Of its closing line."""
        return self.lap.line.length_mm

    def foot_mm(self, mark: LapMark) -> float:
        """How far along the row's closing line a mark lies, square across.

        A mark beside the row tells how far along its own line it lies, which is longer or shorter on a bend.
        """
        marks = self.placement.marks
        # Looked up by its number, not by going through the row: every part of a long row asks this of every mark.
        k = mark.n - marks[0].n if marks else -1
        if (0 <= k < len(marks) and marks[k].on(self.name) == mark) or mark in self.placement.on(self.name):
            return mark.along_mm
        return self.lap.line.nearest(mark.at).along_mm

    @property
    def look(self) -> Look:
        """What its marks look like, but for those that differ."""
        return replace(look_of(self.placement.fastener, self.name, self.buttonhole), arms_mm=self.arms_mm)

    def look_at(self, n: int) -> Look:
        """What one mark looks like."""
        look = self.differing.get(n)
        look = self.look if look is None else replace(look, arms_mm=self.arms_mm)
        return replace(look, stays=True) if n in self.placement.staying else look

    def reaches_at(self, n: int) -> tuple[float, float]:
        """How far the ink of one mark reaches from its centre across the closing line, and along it."""
        return _reaches(self.look_at(n))

    def inward_at(self, n: int) -> float:
        """How far the ink of a loop reaches away from the edge, out of which all the rest of it stands; of others 0."""
        look = self.look_at(n)
        if look.style != "loop":
            return 0.0
        return _ink_of(look)[3]

    def edgeward_at(self, n: int) -> float:
        """How far the ink of one mark reaches towards the edge: a slit across reaches further the other way."""
        return -_ink_of(self.look_at(n))[1]

    @property
    def reaches_mm(self) -> tuple[float, float]:
        """How far the ink of any mark reaches from its centre across the closing line, and along it."""
        across, along = zip(*(_reaches(look) for look in (self.look, *self.differing.values())), strict=True)
        return (max(across), max(along))

    @property
    def closest_mm(self) -> float:
        """The smallest distance between neighbours of the row on this lap, along its line; endless with one mark."""
        return min(
            (b.along_mm - a.along_mm for a, b in pairwise(self.placement.on(self.name))),
            default=math.inf,
        )

    @property
    def ends(self) -> tuple[str, str]:
        """What both ends are called."""
        return self.placement.laps.garment.ends

    def view(self, turn: Rigid) -> View:
        """See it, turned on the paper."""
        return View(self.placement.laps, self.lap, self.is_flipped, turn, self.known)


def _ink_of(look: Look) -> Box:
    """The box of a mark's ink about its centre, the last end to the right and the edge at the top."""
    return box_of(draw_mark("over", 0, "", Stand(0.0, 0.0, (1.0, 0.0), (0.0, -1.0)), look))


def _reaches(look: Look) -> tuple[float, float]:
    slit = look.buttonhole if look.style == "buttonhole" else None
    round_mm = reach_mm(replace(look, buttonhole=None))
    if slit is None and not look.is_round:
        # A hook is long across the line and narrow along it: between neighbours there is room for a join.
        x0, _, x1, _ = _ink_of(look)
        return (round_mm, min(round_mm, max(-x0, x1)))
    if slit is None:
        return (round_mm, min(round_mm, max(look.rim_mm, look.arms_mm)))
    return (reach_mm(look), round_mm) if slit.way == "across" else (round_mm, reach_mm(look))
