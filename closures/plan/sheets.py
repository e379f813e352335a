"""Which pages and files are made beside the two marking templates."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan.kinds import choice, cloth_name, more_than_nothing, yes_or_no
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

BackingForm = Literal["as needed", "strip", "patches"]
ClosingScheme = Literal["numbers", "wide gap"]
SheetWords = Literal["outlines", "text"]

OF_LAPS = ("pull_coupon", "measuring")
"""What asks how laps gape, and goes with no edges that only meet."""

_ONLY_ON_EDGES = (
    "backing",
    "strip",
    "handover",
    "closing",
    "stencil",
    "projector",
    "pull_coupon",
    "measuring",
    "way_in",
)


@frozen
class SheetsWish:
    """Which pages and files are made beside the two marking templates.

    Attributes:
        coupon: a trial piece for either lap, with a table to note how it went.
        pull_coupon: one gap of both laps, to hang weights from and read.
        measuring: how to measure at the table whether it gapes and holds.
        way_in: rings of the body and of the garment, level by level.
        order: the order of work, the parts in the order they stack, and how to mark.
        strip: running distances and a strip to step along with.
        handover: a page for a colleague or a factory, and the same as a table file.
        backing: pieces that back the closures; None for none.
        backing_cloth: what they are cut from, counted in every stack that it backs.
        backing_width_mm: of a strip or a patch; None for as narrow as will do.
        closing: a scheme for closing without counting; None for none.
        stencil: a template to cut out of card or plastic, for either lap.
        stencil_hole_mm: diameter of its holes; None for as the closure asks.
        roll: both laps again, each whole on paper from a roll.
        projector: a sheet for either lap to throw on the cloth with light.
        large: lettering half as large again.
        words: whether the lettering of the SVG sheets is outlines or text.
        whole: nothing is left out of the pages, also where a strip holds nothing.
    """

    coupon: bool = False
    order: bool = False
    strip: bool = False
    handover: bool = False
    backing: BackingForm | None = None
    backing_cloth: str | None = None
    backing_width_mm: float | None = None
    closing: ClosingScheme | None = None
    stencil: bool = False
    stencil_hole_mm: float | None = None
    roll: bool = False
    projector: bool = False
    pull_coupon: bool = False
    measuring: bool = False
    way_in: bool = False
    large: bool = False
    words: SheetWords = "outlines"
    whole: bool = False


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell what `[sheets]` asks for that the rest of the plan leaves no room for."""
    wish = plan.sheets
    if wish is None:
        return
    if plan.strap is not None:
        for key in _ONLY_ON_EDGES:
            if getattr(wish, key):
                yield _of_strap(key)
    if plan.garment is not None and plan.garment.is_meeting:
        for key in OF_LAPS:
            if getattr(wish, key):
                yield key, "it asks how laps gape, and these edges only meet", f"Leave {key} out."
    if plan.speaks_of_old and wish.closing == "wide gap":
        what = "no offer has a wide gap: each goes by the old places, or by the spacing that the plan asks for"
        yield "closing", what, 'Write closing = "numbers".'
    for name, is_told, places in (
        ("stripe", plan.stripe is not None, "on a repeat of the stripes"),
        ("gauge", plan.gauge is not None, "on a whole row or stitch"),
    ):
        if is_told and wish.closing == "wide gap":
            what = f"a first gap that is wider would leave no closure {places}, as [{name}] asks"
            yield "closing", what, f'Write closing = "numbers", or leave [{name}] out.'


def _of_strap(key: str) -> Complaint:
    """Tell why a strap has no such page, and how what it asks for is had."""
    if key == "backing":
        what = "what backs a belt or a row is as long and as wide as the strap, so no piece of its own is drawn for it"
        return (
            key,
            what,
            "Leave backing out, and add a [[layer]] of what backs it, which every stack then counts; cut it by the "
            "strap's own sheet, along the finished edge.",
        )
    return key, "it cannot be made for a belt or a row, whose own sheets tell it already", f"Leave {key} out."


SHEETS = Section(
    name="sheets",
    title="Further pages and files",
    meaning="Pages and files beside the two marking templates: [how to](../how-to/at-the-table.md). Of a plan with "
    "`[sizes]` they are made for one size at a time, with `--only`.",
    keys=(
        Key(
            "coupon",
            yes_or_no,
            "true",
            "a trial piece for either lap, with a table for notes",
            label="A trial piece",
            default="false",
        ),
        Key(
            "pull_coupon",
            yes_or_no,
            "true",
            "one gap of both laps, to hang weights from and read: [how to](../how-to/will-it-gape.md)",
            label="A coupon to hang weights from",
            default="false",
        ),
        Key(
            "measuring",
            yes_or_no,
            "true",
            "how to measure at the table whether it gapes and holds, in pictures",
            label="How to measure at the table",
            default="false",
        ),
        Key(
            "way_in",
            yes_or_no,
            "true",
            "rings of the body and of the garment, level by level; of a plan with `[way_in]`",
            label="Rings of body and garment",
            default="false",
        ),
        Key(
            "order",
            yes_or_no,
            "true",
            "the order of work, the parts as they stack, how to mark",
            label="The order of work",
            default="false",
        ),
        Key(
            "strip",
            yes_or_no,
            "true",
            "running distances, and a strip to step along with",
            label="A strip to step along with",
            default="false",
        ),
        Key(
            "handover",
            yes_or_no,
            "true",
            "a page for a colleague or a factory, and `handover.csv`",
            label="A page to hand over",
            default="false",
        ),
        Key(
            "backing",
            choice("as needed", "strip", "patches"),
            '"as needed"',
            "pieces that back the closures",
            label="Backing",
            default="none",
        ),
        Key(
            "backing_cloth",
            cloth_name,
            '"medium fusible"',
            "a cloth of the catalogue, counted in the stack of both laps. Only with `backing`",
            label="Backing is cut from",
        ),
        Key(
            "backing_width",
            more_than_nothing,
            '"25 mm"',
            "of the strip, or across a patch. Only with `backing`",
            label="Width of the backing",
            default="as narrow as will do",
        ),
        Key(
            "closing",
            choice("numbers", "wide gap"),
            '"numbers"',
            "tags that pair, or a first gap that differs on purpose",
            label="To close it without counting",
            default="none",
        ),
        Key(
            "stencil",
            yes_or_no,
            "true",
            "`over-stencil.svg` and `under-stencil.svg`, to cut",
            label="A stencil to cut",
            default="false",
        ),
        Key(
            "stencil_hole",
            more_than_nothing,
            '"1.5 mm"',
            "diameter of its holes. Only with `stencil`",
            label="Holes of the stencil, across",
            default="the post, or 1.5 mm",
        ),
        Key(
            "roll", yes_or_no, "true", "`roll.pdf`, each lap whole", label="Each lap whole, on a roll", default="false"
        ),
        Key(
            "projector",
            yes_or_no,
            "true",
            "`over-projector.svg` and `under-projector.svg`",
            label="For a projector",
            default="false",
        ),
        Key(
            "large",
            yes_or_no,
            "true",
            "lettering half as large again, on all sheets and pages",
            label="Large letters",
            default="false",
        ),
        Key(
            "words",
            choice("outlines", "text"),
            '"text"',
            "lettering of the SVG sheets: `outlines`, alike on every machine, or `text` that an editor can change",
            label="Lettering of the SVG sheets",
            default='`"outlines"`',
        ),
        Key(
            "whole",
            yes_or_no,
            "true",
            "draws every strip to its last end, also stretches that hold nothing",
            label="Leave nothing out",
            default="false",
        ),
    ),
    value=SheetsWish,
    only_with=(("backing_cloth", "backing"), ("backing_width", "backing"), ("stencil_hole", "stencil")),
    against=_against,
)
