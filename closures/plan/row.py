"""A waistband, cuff, collar, bib or wing whose closures the user places on both ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from closures.frozen import frozen
from closures.lengths import format_both
from closures.plan.band import LapOrder
from closures.plan.kinds import choice, more_than_nothing, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.strap import KEYS_OF_BOTH, Making, SpotWish, TipShape, corner_complaints, spots

Piece = Literal["waistband", "cuff", "collar", "bib", "wing", "strap"]


@frozen
class RowWish:
    """A strap whose closures the user places on both ends.

    Attributes:
        length_mm: finished, tip to tip.
        height_mm: finished width of the strap.
        over, under: the places on either end, each empty where the plan does not say; `under` also where the overlap
            gives it.
        piece: what the strap is, for words and advice.
        overlap_mm: of the two ends when closed as usual; None for the middle setting.
        target_mm: closed length as usual, along the middle of the cloth; likewise.
        thickness_mm: of the strap; None where the layers tell it or nobody knows.
        pair: made twice, left and right mirrored; the plan is of the wearer's left one.
        ends, corner_mm, allowance_mm, under_allowance_mm, made, lap, between_rims_mm, rim_to_edge_mm: as of a belt.
    """

    length_mm: float
    height_mm: float
    over: tuple[SpotWish, ...] = ()
    under: tuple[SpotWish, ...] = ()
    piece: Piece = "strap"
    overlap_mm: float | None = None
    target_mm: float | None = None
    thickness_mm: float | None = None
    pair: bool = False
    ends: TipShape = "square"
    corner_mm: float | None = None
    allowance_mm: float = 0.0
    under_allowance_mm: float = 0.0
    made: Making | None = None
    lap: LapOrder | None = None
    between_rims_mm: float | None = None
    rim_to_edge_mm: float | None = None


def _row(**given: Any) -> RowWish:
    given.setdefault("under_allowance_mm", given.get("allowance_mm", 0.0))
    return RowWish(**given)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "target" in fields and "overlap" in fields:
        yield "target", "it says the same as overlap", "Keep one of them."
    yield from corner_complaints(fields, "height")
    height = fields.get("height")
    for key in ("over", "under"):
        for spot in fields.get(key, ()):
            if height is not None and spot.height_mm is not None and spot.height_mm >= height:
                yield (
                    key,
                    f"a height of {format_both(spot.height_mm)} from the lower edge is off the strap, "
                    f"{format_both(height)} high",
                    "Write a height less than that of the strap.",
                )


ROW = Section(
    name="row",
    title="Piece",
    meaning="A waistband, cuff, collar, bib or wing with closures that you place on both ends. A place is a distance "
    "from the tip, or `[distance, height from the lower edge]`.",
    keys=(
        Key("length", more_than_nothing, '"250 mm"', "finished, tip to tip", label="Finished length", needed=True),
        Key("height", more_than_nothing, '"65 mm"', "finished width of the strap", label="Height", needed=True),
        Key(
            "over",
            spots,
            '["13 mm"]',
            "on the over end",
            label="On the over end, from its tip",
            default="one, clear of the tip; a hook 1/8 in from it",
        ),
        Key(
            "under",
            spots,
            '["13 mm", "33 mm"]',
            "on the under end, likewise",
            label="On the under end, from its tip",
            default="from `overlap` or `target`, else one, clear of the tip",
        ),
        Key(
            "piece",
            choice("waistband", "cuff", "collar", "bib", "wing", "strap"),
            '"cuff"',
            "what it is, for the words",
            label="What it is",
            default='"strap"',
        ),
        Key(
            "overlap",
            more_than_nothing,
            '"45 mm"',
            "of the two ends, closed as usual",
            label="The ends overlap by",
            default="the middle setting",
        ),
        Key(
            "target",
            more_than_nothing,
            '"224 mm"',
            "closed length as usual. Not with `overlap`",
            label="Closed length",
            default="the middle setting",
        ),
        Key(
            "pair",
            yes_or_no,
            "true",
            "made twice, left and right mirrored",
            label="Made twice, mirrored",
            default="false",
        ),
        *KEYS_OF_BOTH,
    ),
    value=_row,
    complaints=_complaints,
    instead_of=("edge", "band", "spacing"),
    not_with=("anchor", "clear", "swap", "change"),
)
