"""The pattern pieces of both laps' bands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan.kinds import choice, cloth_name, length, whole
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.plan.plan import Plan

MOST_INTERFACINGS = 8


@frozen
class BandsWish:
    """The pattern pieces of both laps' bands.

    Attributes:
        allowance_mm: beyond the finished outline, all round.
        made: a band and a facing sewn together on the finished edge, or one piece folded on it.
        turn_mm: how much of the inner edge, of a facing or of the inner half, is turned under; it lies in the stack.
        turn_cloth: the cloth that is turned; None where nothing is.
        interfacing: how many pieces of interfacing each lap takes; None where the plan leaves it to its layers.
        as_told: none is cut where the layers are not known for what they are: of pieces asked for besides the plan.
        of_laps: how many the band of each lap takes, where the plan leaves it to its layers and they tell it apart.
    """

    allowance_mm: float
    made: Literal["two pieces", "folded"] = "two pieces"
    turn_mm: float = 0.0
    turn_cloth: str | None = None
    interfacing: int | None = None
    of_laps: tuple[tuple[LapName, int], ...] = ()
    as_told: bool = False

    @property
    def interfacings(self) -> int:
        """How many pieces of interfacing each lap takes, where no cloth says otherwise."""
        return 1 if self.interfacing is None else self.interfacing

    def interfacings_of(self, lap: LapName) -> int:
        """How many pieces of interfacing the band of one lap takes."""
        return dict(self.of_laps).get(lap, self.interfacings)

    @property
    def bare(self) -> tuple[LapName, ...]:
        """The laps that take none where the other does."""
        return tuple(lap for lap, count in self.of_laps if not count)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "turn" in fields and "allowance" in fields and fields["turn"] > fields["allowance"]:
        yield "turn", "it is more than the allowance", "Write a turn that is no more than the allowance."
    if fields.get("turn") and "turn_cloth" not in fields:
        yield "turn", "what is turned is not known", 'Add turn_cloth = "cotton sateen", so that it is counted.'


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.bands is None:
        return
    if plan.gauge is not None:
        yield (
            "",
            "bands to cut from cloth are asked for, and [gauge] tells that they are knitted",
            "Leave one of them out.",
        )
    if plan.garment is not None and plan.garment.state in ("sewn band", "finished"):
        yield (
            "",
            f'bands to cut are asked for, and [garment] tells state = "{plan.garment.state}"',
            'Leave [bands] out; or write the state of what is to be made, such as state = "cut pieces".',
        )


BANDS = Section(
    name="bands",
    title="Band pieces to cut",
    meaning="The pattern pieces of both laps' bands: [how to](../how-to/bands.md).",
    keys=(
        Key("allowance", length(), '"10 mm"', "added all round", label="Seam allowance, all round", needed=True),
        Key(
            "made",
            choice("two pieces", "folded"),
            '"two pieces"',
            "band and facing, or both in one, folded on a straight finished edge",
            label="Cut as",
            default='"two pieces"',
        ),
        Key(
            "turn",
            length(),
            '"8 mm"',
            "how much of the inner edge of facing or inner half is turned under; not more than the allowance",
            label="Turned under at the inner edge",
            default="0",
        ),
        Key(
            "turn_cloth",
            cloth_name,
            '"cotton sateen"',
            "a cloth of the catalogue; needed with a turn, and counted where it lies",
            label="What is turned",
        ),
        Key(
            "interfacing",
            whole(0, MOST_INTERFACINGS),
            "1",
            "pieces for each lap",
            label="Interfacings for each lap",
            default="as many as the layers tell; where they are not named, 1, or 0 on a lap of leather",
        ),
    ),
    value=BandsWish,
    not_with=("belt", "row"),
    only_with=(("turn_cloth", "turn"),),
    complaints=_complaints,
    against=_against,
)
