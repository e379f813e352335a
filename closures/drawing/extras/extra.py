"""A further sheet: what it is called, what switches it on, and how it is drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.advice.faces_seen import marked_within_in_words
from closures.checks.mended_first import RIDGE_FIRST, mended_first
from closures.drawing.ink.type_scale import TypeScale, type_scale
from closures.drawing.paper.piece import SHEET_WORDS
from closures.drawing.paper.words import Notice
from closures.drawing.sheets.sheet import faces_of_sheets, failures_in_words
from closures.frozen import frozen
from closures.placing.marked_face import faces_marked, faces_to_mark
from closures.placing.pressed_in import pressed_in, reaches_at_edge
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.drawing.paper.piece import LongPiece, Piece
    from closures.drawing.paper.words import Chapter
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.band import Face
    from closures.plan.plan import Plan


@frozen
class Drawn:
    """What a further sheet is drawn from.

    Attributes:
        placement: the closures as placed.
        findings: what the checks found.
        catalogue: where figures are kept.
        templates: the marking templates, over lap first.
        swap: the closures that were there before, None where there were none.
        set_run: of a garment's set, the run mark that all its pieces bear; empty where this row is printed by itself.
        opening: of a garment's set, the opening that the pieces are for; else empty.
        alike: of a sheet that serves several openings of a set, all of them, this one among them; else empty.
    """

    placement: Placement
    findings: Sequence[Finding]
    catalogue: Catalogue
    templates: Sequence[Sheet] = ()
    swap: Swap | None = None
    set_run: str = ""
    opening: str = ""
    alike: tuple[Drawn, ...] = ()

    @property
    def failures(self) -> str:
        """Failed checks in words."""
        return failures_in_words(self.findings, self.placement.side_word)

    @property
    def mended_first(self) -> tuple[Notice, ...]:
        """What a page of work begins with where a check failed, or asks for what may change the bands; else nothing."""
        if told := mended_first(self.placement, self.findings):
            return (Notice(told, "FAIL"),)
        is_asked = not self.placement.is_withheld and reaches_at_edge(
            pressed_in(self.placement.row.as_worn, self.catalogue)
        )
        return (Notice(RIDGE_FIRST),) if is_asked else ()

    @property
    def faces(self) -> Mapping[LapName, Face]:
        """Which face of the cloth of either lap lies up on its template; the usual one where none is drawn."""
        return faces_of_sheets(self.templates) or faces_to_mark(self.placement, self.catalogue)

    @property
    def marked_within(self) -> tuple[str, ...]:
        """Which laps are marked on their inside, a sentence for each: where no sheet says it, a page must."""
        return marked_within_in_words(self.placement, self.catalogue, self.faces)

    def face_marked(self, share: Placement, lap: LapName) -> Face:
        """On which face of a lap the marks of a share lie: a piece that tries one shows it so."""
        return faces_marked(share, self.catalogue, self.faces)[lap]

    @property
    def run(self) -> str:
        """The run mark in words."""
        return f"run {self.set_run or run_mark(self.placement)}"

    def of_opening(self, words: str) -> str:
        """Letter a piece as the laps are: headed by the opening that it is for, where a set has several."""
        return f"{self.opening.upper()}, {words}" if self.opening else words

    @property
    def sheet_words(self) -> str:
        """What every piece says of itself: on which sheet it was printed, and of which run."""
        return f"{SHEET_WORDS} · {self.run}"

    @property
    def type(self) -> TypeScale:
        """The sizes of lettering."""
        return type_scale(self.placement.plan.has_large_letters)


def _no_pieces(drawn: Drawn) -> tuple[Piece | LongPiece, ...]:
    return ()


def _no_chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    return ()


def _no_files(drawn: Drawn) -> dict[str, bytes]:
    return {}


@frozen
class Extra:
    """A further sheet, or a further file. A module of this room that holds one as ``EXTRA`` is found by itself.

    Attributes:
        name: as ``--also`` takes it.
        what: what it is, for those who ask.
        order: its place among the pages, which is that of its use at the table, from small to large.
        is_asked: tells whether a plan asks for it.
        asked: gives a plan that asks for it.
        on_strap: it can be made of a belt or a row as well.
        pieces: draws what is printed at full size: pieces that are never cut, and long ones that are.
        chapters: writes what is read: words, tables and pictures, set in columns on pages of their own.
        files: makes its files, name to content. None of it is stretched for a printer.
        serves_alike: one set of its pieces serves all openings of a garment whose pieces are alike: a ruler does.
        serves_sides: its pieces and words serve an opening and its mirror image: what is tried on one holds for both.
        serves: names what its pieces and words serve: one set is made for all openings of one name; None to go by the
            two above.
        for_setting: it serves to set closures: none is made of a row of which nothing is set.
        for_closing: it serves closures that are on the garment: none is made of a row that must not be set.
    """

    name: str
    what: str
    order: int
    is_asked: Callable[[Plan], bool]
    asked: Callable[[Plan], Plan]
    on_strap: bool = False
    pieces: Callable[[Drawn], tuple[Piece | LongPiece, ...]] = _no_pieces
    chapters: Callable[[Drawn], tuple[Chapter, ...]] = _no_chapters
    files: Callable[[Drawn], Mapping[str, bytes]] = _no_files
    serves_alike: bool = False
    serves_sides: bool = False
    serves: Callable[[Drawn], str] | None = None
    for_setting: bool = False
    for_closing: bool = False


def switched(key: str, value: Any = True) -> tuple[Callable[[Plan], bool], Callable[[Plan], Plan]]:
    """Make the two functions of an extra that a key of ``[sheets]`` switches on.

    Args:
        key: the field of the plan's wishes for sheets.
        value: what it is set to where it is asked for by name and the plan itself says nothing.

    Returns:
        Whether a plan asks for it, and the plan that does.
    """

    def is_asked(plan: Plan) -> bool:
        return plan.sheets is not None and bool(getattr(plan.sheets, key))

    def asked(plan: Plan) -> Plan:
        from closures.plan.sheets import OF_LAPS, SheetsWish

        if key in OF_LAPS and plan.garment is not None and plan.garment.is_meeting:
            return plan
        return plan if is_asked(plan) else replace(plan, sheets=replace(plan.sheets or SheetsWish(), **{key: value}))

    return is_asked, asked
