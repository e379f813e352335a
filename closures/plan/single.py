"""Single closures beside the row: a hook above it near the edge, a hidden button that holds the under lap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.beside import against_beside
from closures.plan.closure import ClosureWish
from closures.plan.kinds import (
    any_length,
    choice,
    closure_kind,
    closure_size,
    length,
    more_than_nothing,
    yes_or_no,
)
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class SingleWish:
    """One closure beside the row.

    Attributes:
        kind, size: as the catalogue or the user's pack names them.
        along_mm: from the first end, on its own line; None where a level is told.
        level_mm: straight down from the level zero; None where `along_mm` is told.
        inset_mm: from the over lap's finished edge; None for what is usual of its kind.
        hidden: its half that shows is sewn to the inside of the over lap, and the other to the under lap.
        cap_mm, grip_mm, thickness_mm, hole: as of a closure.
    """

    kind: str
    size: str
    along_mm: float | None = None
    level_mm: float | None = None
    inset_mm: float | None = None
    hidden: bool = False
    cap_mm: float | None = None
    grip_mm: tuple[float, float] | None = None
    thickness_mm: float | None = None
    hole: Literal["along", "across"] | None = None

    def closure(self, row: ClosureWish) -> ClosureWish:
        """What is set there: spare and trial pieces are had as of the row's closure, and nothing else of it is."""
        return replace(
            row,
            kind=self.kind,
            size=self.size,
            cap_mm=self.cap_mm,
            grip_mm=self.grip_mm,
            thickness_mm=self.thickness_mm,
            hole=self.hole,
            halves="turned" if self.hidden else "usual",
            bound=False,
        )


def _against(plan: Plan) -> Iterator[Complaint]:
    if not plan.singles:
        return
    yield from against_beside(plan, "[[single]]", ON_MEETING)
    if plan.edge is not None and plan.edge.line is not None:
        yield "", "it is placed from the over lap's edge, and a closing line is drawn", "Leave line out under [edge]."


AS_LAPS = (
    "A strap may close at several settings, and what lies beside its row would hold in one of them alone. "
    "Where a closure lies beside those of a strap, tell its two ends as laps: the strap's height as a straight edge, "
    "its overlap as inset and under_inset together, as closures start hidden-button does."
)
ON_MEETING = (
    "Leave [[single]] out, and tell its closure by a plan of its own, of the same edge, with count = 1, first and last "
    "as far as it lies from either end. A garment file puts both together."
)
BY_ITSELF = (
    "Old closures are changed on one line at a time: leave [[single]] out, and tell its closure by a plan of its own, "
    "of the same edge, with count = 1, first and last as far as it lies from either end, and "
    'halves = "turned" where it is hidden. A garment file puts both together.'
)

SINGLE = Section(
    name="single",
    title="Single closures beside the row",
    meaning="One closure more, on a line of its own: a hook above a row of buttons or a zip, near the edge; a hidden "
    "button that holds the under end of a waistband. It takes no part in the spacing, has a mark numbered on from the "
    "row's, and parts, checks and steps of its own: [how to](../how-to/closures-that-differ.md#one-closure-beside-the-"
    "row).",
    keys=(
        Key("kind", closure_kind, '"hook and eye"', "of this closure", label="Kind", needed=True),
        Key("size", closure_size, '"2"', "of this closure", label="Size", needed=True),
        Key("along", length(), '"6 mm"', "from the first end, beside the edge", label="Along"),
        Key(
            "level",
            any_length,
            '"20 mm"',
            "straight down from the level zero",
            label="Level",
            hint="From the first end, such as the neck, where “Levels are measured from” is empty",
        ),
        Key(
            "inset",
            more_than_nothing,
            '"38 mm"',
            "from the over lap's edge to it",
            label="From the over lap's edge",
            default="a hook 1/8 in, a hidden one as far from the under lap's edge; anything else as the row",
        ),
        Key(
            "hidden",
            yes_or_no,
            "false",
            "its half that shows lies on the inside of the over lap, the other on the under lap",
            label="It is hidden",
            default="false",
        ),
        Key("cap", sound.cap, '"11.5 mm"', "its largest part across, measured", label="Largest part, measured"),
        Key("grip", sound.grip, '["0.5 mm", "1.5 mm"]', "what it clamps, from its pack", label="Grip, from its pack"),
        Key("thickness", sound.button_thickness, '"3 mm"', "of its button, measured", label="Thickness of its button"),
        Key("hole", choice("along", "across"), '"across"', "which way its buttonhole runs", label="Buttonhole runs"),
    ),
    value=SingleWish,
    repeated=True,
    one_of=(("along", "level"),),
    not_with=("belt", "row", "swap", "change"),
    instead=(
        ("belt", AS_LAPS),
        ("row", AS_LAPS),
        ("swap", BY_ITSELF),
        ("change", BY_ITSELF),
    ),
    against=_against,
)
