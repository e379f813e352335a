"""Closures of a row that are not like the others: of another kind or size, or with a buttonhole the other way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.closure import MOST_CLOSURES, ClosureWish
from closures.plan.kinds import (
    Faults,
    Place,
    choice,
    closure_kind,
    closure_size,
    kind,
    text,
    whole,
)
from closures.plan.section import Complaint, Fields, Key, Section

_NUMBER = whole(1, MOST_CLOSURES)


@frozen
class DiffersWish:
    """Closures of the row that differ; None for what is as `[closure]` has it.

    Attributes:
        at: the name of an anchor, or of an end of the row.
        mark, marks: their numbers.
        kind, size: as the catalogue or the user's pack names them.
        cap_mm, grip_mm, thickness_mm, hole: as of a closure.
        halves: as of a closure; another kind stands the usual way where nothing is told, whatever is turned of the row.
    """

    at: str | None = None
    mark: int | None = None
    marks: tuple[int, ...] = ()
    kind: str | None = None
    size: str | None = None
    cap_mm: float | None = None
    grip_mm: tuple[float, float] | None = None
    thickness_mm: float | None = None
    hole: Literal["along", "across"] | None = None
    halves: Literal["usual", "turned"] | None = None

    def closure(self, row: ClosureWish) -> ClosureWish:
        """What is set there, where the row has this closure: what was measured of one kind is not true of another.

        Told with the row's own kind and size it is the row's own closure, and what was measured of that holds.
        """
        other = not (_is_same(self.kind, row.kind) and _is_same(self.size, row.size))
        return replace(
            row,
            kind=(self.kind or row.kind) if other else row.kind,
            size=(self.size or row.size) if other else row.size,
            cap_mm=self.cap_mm if other or self.cap_mm is not None else row.cap_mm,
            grip_mm=self.grip_mm if other or self.grip_mm is not None else row.grip_mm,
            thickness_mm=self.thickness_mm if other or self.thickness_mm is not None else row.thickness_mm,
            hole=self.hole or row.hole,
            halves=self.halves or (row.halves if _is_same(self.kind, row.kind) else "usual"),
        )


def _is_same(told: str | None, of_the_row: str) -> bool:
    """Whether a name that may be left out is the row's own, in whatever letters and with whatever blanks."""
    return told is None or "".join(told.casefold().split()) == "".join(of_the_row.casefold().split())


@kind("list of numbers of marks", "numbers")
def mark_numbers(value: object, place: Place) -> tuple[int, ...]:
    """Take the numbers of some marks."""
    if not isinstance(value, list) or not value:
        raise place.error("these are no numbers of marks", "Write them in a list, such as [1, 8].")
    faults = Faults()
    found = [faults.read(_NUMBER, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1)]
    faults.raise_if_any()
    return tuple(dict.fromkeys(found))


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "kind" in fields and "size" not in fields:
        yield "size", "another kind has a size of its own", "Add size."
    if not fields.keys() & {"kind", "size", "cap", "grip", "thickness", "hole", "halves"}:
        yield "", "nothing of it differs", 'Say what does: kind and size, or hole = "across".'


ALIKE_ONLY = ("belt", "row", "swap", "change", "gauge", "pull", "body", "way_in")
"""Sections that know only one row of closures that are all alike."""

ON_A_STRAP = (
    "All closures of a strap are alike: leave [[differs]] out. Where one of a cuff or a waistband differs, tell its "
    "two ends as laps: its height as a straight edge, its overlap as inset and under_inset together."
)

DIFFERS = Section(
    name="differs",
    title="Closures that differ",
    meaning="Closures of the row that are not like the others: another kind or size, or a buttonhole that runs the "
    "other way. They stay in the one row, and have their own marks, parts, checks and steps: "
    "[how to](../how-to/closures-that-differ.md).",
    keys=(
        Key(
            "at",
            text,
            '"waist"',
            "the name of an anchor, or of an end of the edge (`neck`, `hem`), or `first` or `last`, for the first "
            "or the last closure",
            label="At the fixed place or end called",
        ),
        Key("mark", _NUMBER, "1", "one mark, counted from the first end", label="Mark"),
        Key("marks", mark_numbers, "[1, 8]", "several marks", label="Marks"),
        Key("kind", closure_kind, '"hook and bar"', "another kind; with its size", label="Kind"),
        Key("size", closure_size, '"18 L"', "another size", label="Size"),
        Key(
            "hole", choice("along", "across"), '"across"', "its buttonhole runs the other way", label="Buttonhole runs"
        ),
        Key("cap", sound.cap, '"11.5 mm"', "its largest part across, measured", label="Largest part, measured"),
        Key("grip", sound.grip, '["0.5 mm", "1.5 mm"]', "what it clamps, from its pack", label="Grip, from its pack"),
        Key("thickness", sound.button_thickness, '"3 mm"', "of its button, measured", label="Thickness of its button"),
        Key(
            "halves",
            choice("usual", "turned"),
            '"turned"',
            "turned changes over which lap carries which half of it",
            label="Its halves",
            default="those of the row where it is of the row's kind, and the usual way where it is of another",
        ),
    ),
    value=DiffersWish,
    repeated=True,
    one_of=(("at", "mark", "marks"),),
    not_with=ALIKE_ONLY,
    instead=(
        ("belt", ON_A_STRAP),
        ("row", ON_A_STRAP),
        (
            "swap",
            "Old closures are all met by one new kind: place those that differ by a copy of the plan with their own "
            "kind and places.",
        ),
        (
            "gauge",
            "A knitted row is counted for holes that are all alike: leave [[differs]] out, or take a [[single]].",
        ),
        (
            "pull",
            "Whether a row holds is worked out for closures that are all alike: judge a copy without [[differs]].",
        ),
    ),
    complaints=_complaints,
)
