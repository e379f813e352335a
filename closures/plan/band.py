"""The band: the strip that carries the closures on either lap, and which lap lies on top."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, get_args

from closures.frozen import frozen
from closures.lengths import SAME_MM, format_both, shown_value
from closures.nearest import nearest_name
from closures.plan.garment import SIDES_OF, opening_in_words
from closures.plan.kinds import Place, choice, length, more_than_nothing
from closures.plan.section import Complaint, Fields, Key, Section, Table

if TYPE_CHECKING:
    from closures.plan.plan import Plan

LapOrder = Literal[
    "right over left",
    "left over right",
    "front over back",
    "back over front",
    "upper over lower",
    "lower over upper",
]
Face = Literal["outside", "inside"]
FaceWish = Literal["outside", "inside", "usual"]
"""The face that sheets are to lie on; usually the outside, or the inside where marks would stay to be seen."""
Cut = Literal["straight", "cross", "bias", "shaped"]

_LAPS = choice(
    "right over left",
    "left over right",
    "front over back",
    "back over front",
    "upper over lower",
    "lower over upper",
)
_SHORT = {"r": "right", "l": "left", "f": "front", "b": "back"}


def _lap(value: object, place: Place) -> str:
    """Take which side lies on top; no side is ever guessed from a word that is near, since either would be a hole."""
    if isinstance(value, str) and " ".join(value.lower().split()) not in _LAPS.choices:
        fitting = place.fitting or _LAPS.choices
        words = " ".join(re.findall(r"\w+", value.lower()))
        sides = {one.split()[0] for one in fitting}
        over, under = (_SHORT.get(one) or nearest_name(one, sides) for one in words.partition(" over ")[::2])
        meant = f"{over} over {under}"
        if meant in fitting:
            raise place.error(f"{shown_value(value)} is not how a lap is told", f'Write "{meant}".')
        raise place.error(*_no_lap(value, words.split(), fitting))
    return str(_LAPS(value, place))


def _no_lap(value: str, words: Sequence[str], fitting: Sequence[str]) -> tuple[str, str]:
    sides = sorted({one.split()[0] for one in fitting})
    whose = " The sides are the wearer's own, not those that are seen from in front." if "right" in sides else ""
    listed = " or ".join(f'"{one}"' for one in fitting)
    told = [side for side in sides if side in words]
    if len(told) == 1:
        what = f"{shown_value(value)} names one side, and not whether it lies on top or beneath"
        return what, f"Write {listed}, the side that lies on top first.{whose}"
    mend = f"Look which side lies on top when it is closed, and write {listed}, that side first.{whose}"
    return f"{shown_value(value)} is not one of {', '.join(fitting)}", mend


lap_order = replace(_LAPS, read=_lap)


def laps_of(table: Table) -> tuple[str, ...]:
    """List the laps that an opening has; none where the plan's table does not tell what opens."""
    garment = table.get("garment")
    opens = garment.get("opens") if isinstance(garment, dict) else None
    told = next((sides for opening, sides in SIDES_OF.items() if opening is not None and opening == opens), None)
    return () if told is None else (f"{told[0]} over {told[1]}", f"{told[1]} over {told[0]}")


def face_of_word(word: str) -> FaceWish | None:
    """Which face of the cloth a word asks for; None where it asks for none."""
    faces: tuple[FaceWish, ...] = get_args(FaceWish)
    return next((face for face in faces if face == word), None)


@frozen
class BandWish:
    """The strip that carries the closures, on either lap.

    Attributes:
        width_mm, under_width_mm: finished width on the over and on the under lap.
        inset_mm, under_inset_mm: finished edge to closing line, likewise.
        lap: which of the garment's two sides lies on top.
        seen_from: how the drawing was made.
        cut: how the strip is cut; "shaped" follows the edge. None where the plan does not say.
        assumes_inset: neither inset is told, and the line was taken to lie in the middle of the band.
        is_inset_told, is_under_inset_told: the plan tells that inset.
        assumes_under_inset: the over lap's inset is told, and the under lap's was taken as half its width.
    """

    width_mm: float
    under_width_mm: float
    inset_mm: float
    under_inset_mm: float
    lap: LapOrder
    seen_from: Face = "outside"
    cut: Cut | None = None
    assumes_under_inset: bool = False
    assumes_inset: bool = False
    is_inset_told: bool = False
    is_under_inset_told: bool = False


def _band(
    width_mm: float,
    lap: LapOrder,
    under_width_mm: float | None = None,
    inset_mm: float | None = None,
    under_inset_mm: float | None = None,
    seen_from: Face = "outside",
    cut: Cut | None = None,
) -> BandWish:
    under_width_mm = width_mm if under_width_mm is None else under_width_mm
    return BandWish(
        width_mm=width_mm,
        under_width_mm=under_width_mm,
        inset_mm=width_mm / 2 if inset_mm is None else inset_mm,
        under_inset_mm=under_width_mm / 2 if under_inset_mm is None else under_inset_mm,
        lap=lap,
        seen_from=seen_from,
        cut=cut,
        assumes_under_inset=inset_mm is not None and under_inset_mm is None,
        assumes_inset=inset_mm is None and under_inset_mm is None,
        is_inset_told=inset_mm is not None,
        is_under_inset_told=under_inset_mm is not None,
    )


def _complaints(fields: Fields) -> Iterator[Complaint]:
    """Tell a closing line that lies on the seam of its band or beyond it."""
    width = fields.get("width")
    for key, wide in (("inset", width), ("under_inset", fields.get("under_width", width))):
        inset = fields.get(key)
        if not isinstance(inset, float) or not isinstance(wide, float) or inset < wide - SAME_MM:
            continue
        where = "on its seam" if inset <= wide + SAME_MM else "beyond its seam"
        what = (
            f"the band is {format_both(wide)} wide, and a closing line {format_both(inset)} from its edge lies {where}"
        )
        yield (
            key,
            what,
            f"Write less: half the width, {format_both(wide / 2)}, is usual. Or check the width, and the unit.",
        )


def _unlike_shrinking(band: BandWish, plan: Plan) -> Iterator[Complaint]:
    """A strip cut otherwise than the front loses along the row what the front loses across, or a share between both."""
    wish = plan.shrinkage
    if wish is None or wish.along == wish.across or band.cut not in ("cross", "bias"):
        return
    along, across = f"{100 * wish.along:g} %", f"{100 * wish.across:g} %"
    if band.cut == "cross":
        what = "a band cut across the grain does not shrink as the front does"
    else:
        what = "what a band on the bias loses follows from no share of its cloth"
    yield (
        "cut",
        f"{what}, of cloth that loses {along} down and {across} across: the marks would lie on cloth of another "
        "measure than the edge's",
        "Wash the cloth of both before they are cut, measure it washed, and leave [shrinkage] out; or cut the band "
        'along the grain, cut = "straight".',
    )


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell a lap whose sides the opening does not have, and a band whose cloth shrinks otherwise than the front's."""
    if plan.band is None:
        return
    yield from _unlike_shrinking(plan.band, plan)
    opens = None if plan.garment is None else plan.garment.opens
    one, other = SIDES_OF[opens]
    if plan.band.lap in (f"{one} over {other}", f"{other} over {one}"):
        return
    if opens is None:
        what, mend = (
            f'nothing tells what opens, and "{plan.band.lap}" is no lap of a front or a back',
            'Write opens under [garment]: "left side", "right side", "left shoulder", "right shoulder", "crotch" or '
            '"inseam" for front and back, "flat" for upper and lower.',
        )
    else:
        where = opening_in_words(opens)
        what = f'{where} nothing lies "{plan.band.lap}"'
        mend = f'Write lap = "{one} over {other}" or lap = "{other} over {one}", or another opens under [garment].'
    yield "lap", what, mend


BAND = Section(
    name="band",
    title="Band and lap",
    meaning="The strip that carries the closures, on either lap. Which side the cloth is on follows from `lap`: "
    "walking the edge from its first end to its last, the over lap's cloth is on your right hand for right over left, "
    "on your left for left over right.",
    keys=(
        Key(
            "width",
            more_than_nothing,
            '"1 1/2 in"',
            "finished, edge to seam",
            label="Finished width",
            needed=True,
            option="--band",
            says="Finished width of the band.",
        ),
        Key(
            "under_width",
            more_than_nothing,
            '"1 1/2 in"',
            "of the under lap, where it differs",
            label="Width of the under lap",
            hint="As the over lap if left empty",
            default="`width`",
            option="--under-band",
            says="The same of the under lap, where it differs.",
        ),
        Key(
            "inset",
            length(),
            '"3/4 in"',
            "finished edge to closing line, square to the edge",
            label="Finished edge to the closing line",
            hint="Half the width if left empty; of hooks 1/8 in",
            default="half of `width`; 1/8 in of hooks",
            option="--inset",
            says="Finished edge to closing line; half the band if left out.",
        ),
        Key(
            "under_inset",
            length(),
            '"3/4 in"',
            "under lap's finished edge to closing line",
            label="Inset of the under lap",
            hint="Half its width if left empty",
            default="half of `under_width`, and told so where `inset` is not half of `width`; 1/8 in of hooks",
            option="--under-inset",
            says="The same of the under lap, where it differs.",
        ),
        Key(
            "lap",
            lap_order,
            '"right over left"',
            "which side lies on top: right or left, the wearer's own, at the front and the back; front or back at a "
            "side, a shoulder, the crotch or an inseam; upper or lower on flat goods. Never guessed",
            label="Which side lies on top",
            needed=True,
            note="Or left over right: the sides are the wearer's own, and they are never guessed.",
            option="--lap",
            says='Which side lies on top: "right over left" or "left over right", the wearer\'s sides; "front over '
            'back" and "upper over lower" where the opening has those.',
        ),
        Key(
            "cut",
            choice("straight", "cross", "bias", "shaped"),
            '"shaped"',
            "how the band is cut: a straight strip along the grain, across it or on the bias, or shaped to the edge",
            label="The band is cut",
            default="not told",
        ),
        Key(
            "seen_from",
            choice("outside", "inside"),
            '"outside"',
            "how the drawing or the points were made; an inside one is turned over on reading",
            label="The drawing was made as seen from",
            default='"outside"',
            option="--seen-from",
            says="outside, or inside: how the drawing was made.",
        ),
    ),
    value=_band,
    needed=True,
    complaints=_complaints,
    against=_against,
)
