"""The closure, and what the user measured of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.kinds import choice, closure_kind, closure_size, whole, yes_or_no
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

MOST_CLOSURES = 5000
"""Ten metres at 2 mm: far beyond any opening, and an answer still comes in reasonable time."""


@frozen
class ClosureWish:
    """The closure, and what the user measured of it; a measured value wins over a catalogue.

    Attributes:
        kind, size: as the catalogue or the user's pack names them; the size is kept as text.
        cap_mm: diameter of the largest part.
        grip_mm: least and most thickness that it clamps.
        thickness_mm: how thick it is itself, as a button is.
        hole: which way a buttonhole runs: along the closing line, or across it.
        halves: "usual" puts the cap on the over lap, "turned" puts it on the under lap.
        spare: how many to have over, beside those that are placed.
        trial: how many to set on a trial piece.
        bound: its buttonholes are bound with cloth, and so made before the facing.
        meets: it closes edges that meet, as the garment tells.
    """

    kind: str
    size: str
    cap_mm: float | None = None
    grip_mm: tuple[float, float] | None = None
    thickness_mm: float | None = None
    hole: Literal["along", "across"] | None = None
    halves: Literal["usual", "turned"] = "usual"
    spare: int = 2
    trial: int = 1
    bound: bool = False
    meets: bool = False


def as_edges_lie(plan: Plan) -> Plan:
    """Tell the closure whether it closes edges that meet."""
    if plan.garment is None or not plan.garment.is_meeting:
        return plan
    return replace(plan, closure=replace(plan.closure, meets=True))


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell of buttonholes that are bound before the facing is sewn on, and of a band that has its facing."""
    if not plan.closure.bound or plan.state not in ("sewn band", "finished"):
        return
    is_told = plan.garment is not None and plan.garment.state is not None
    said = f'[garment] tells state = "{plan.state}"' if is_told else "the closures of [swap] are on a garment in hand"
    yield (
        "bound",
        f"bound buttonholes are made before the facing is sewn on, and {said}",
        'Leave bound out: they are worked with thread then; or write state = "cut pieces" under [garment], where the '
        "facing is still to be sewn on.",
    )


CLOSURE = Section(
    name="closure",
    title="Closure",
    keys=(
        Key(
            "kind",
            closure_kind,
            '"prong snap"',
            "[of the catalogue](fasteners.md) or of your supplies",
            label="Kind",
            needed=True,
            option="--closure",
            says='The kind of closure, for example "prong snap".',
        ),
        Key(
            "size",
            closure_size,
            '"16 L"',
            'a size of that kind, or a text of the same length: `"16 L"`, `"10.16 mm"`',
            label="Size",
            needed=True,
            option="--size",
            says='Its size, for example "16 L".',
        ),
        Key(
            "cap",
            sound.cap,
            '"10.2 mm"',
            "largest part across, measured, of a square one from corner to corner; wins over the catalogue",
            label="Largest part, measured",
            hint="Corner to corner of a square one; wins over the table",
            default="the catalogue's",
            option="--cap",
            says="Measured diameter of its largest part.",
        ),
        Key(
            "grip",
            sound.grip,
            '["0.5 mm", "1.5 mm"]',
            "least and most that it clamps on one lap, from the pack; wins",
            label="Grip, from the pack",
            default="the catalogue's",
            option="--grip",
            says='From the pack, for example "0.5 mm to 1.5 mm".',
        ),
        Key(
            "thickness",
            sound.button_thickness,
            '"3 mm"',
            "of a button, measured; wins",
            label="Thickness of the button",
            default="the catalogue's",
            option="--thickness",
            says="Thickness of a button.",
        ),
        Key(
            "hole",
            choice("along", "across"),
            '"along"',
            "which way a buttonhole runs",
            label="Buttonholes run",
            default='"along"; "across" on a coat (bulky, padded or coated cloth, leather), on a belt and a row',
            option="--hole",
            says="Buttonholes along or across the closing line.",
        ),
        Key(
            "bound",
            yes_or_no,
            "true",
            "the buttonholes are bound with cloth, and made before the facing is sewn on",
            label="Bound buttonholes",
            default="false",
        ),
        Key(
            "halves",
            choice("usual", "turned"),
            '"usual"',
            "turned changes over which lap carries which half",
            label="Halves",
            default='"usual"',
            option="--halves",
            says="usual, or turned: the cap on the under lap.",
        ),
        Key(
            "spare",
            whole(0, MOST_CLOSURES),
            "2",
            "closures to have over",
            label="Spare",
            hint="To have over",
            default="2",
            option="--spare",
            says="Closures to have over.",
        ),
        Key(
            "trial",
            whole(0, MOST_CLOSURES),
            "1",
            "closures for a trial piece",
            label="For a trial piece",
            hint="Closures to try first",
            default="1",
            option="--trial",
            says="Closures for a trial piece.",
        ),
    ),
    value=ClosureWish,
    needed=True,
    against=_against,
)
