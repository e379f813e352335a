"""The sections of a plan that speak of the work at the table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from closures.errors import Fault
from closures.plan.kinds import choice, length, text, whole, yes_or_no
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.size_sections import FIT_KEYS, fit_complaints, fit_of
from closures.plan.workshop_kinds import percent, some_of
from closures.plan.workshop_values import BandsWish, SheetsWish, ShrinkageWish, StripeWish, WearerWish

if TYPE_CHECKING:
    from closures.plan.values import Plan

MOST_INTERFACINGS = 8
_ONLY_ON_EDGES = ("backing", "strip", "handover", "closing", "stencil", "projector")

_MORE_THAN_NOTHING = length(zero=False)


def _sheets(**given: Any) -> SheetsWish:
    renamed = {"backing_width": "backing_width_mm", "stencil_hole": "stencil_hole_mm"}
    return SheetsWish(**{renamed.get(key, key): value for key, value in given.items()})


def _bands(allowance: float, turn: float = 0.0, **given: Any) -> BandsWish:
    return BandsWish(allowance_mm=allowance, turn_mm=turn, **given)


def _bands_complaints(fields: Fields) -> Iterator[Complaint]:
    if "turn" in fields and "allowance" in fields and fields["turn"] > fields["allowance"]:
        yield "turn", "it is more than the allowance", "Write a turn that is no more than the allowance."
    if fields.get("turn") and "turn_cloth" not in fields:
        yield "turn", "what is turned is not known", 'Add turn_cloth = "cotton sateen", so that it is counted.'


def _shrinkage(measured: Any, along: float = 0.0, across: float = 0.0) -> ShrinkageWish:
    return ShrinkageWish(along, across, measured)


def _shrinkage_complaints(fields: Fields) -> Iterator[Complaint]:
    if "along" not in fields and "across" not in fields:
        yield "along", "neither along nor across is told", 'Add along = "3 %".'


def _stripe(every: float, at: float, on: Any = "repeat", across: bool = True) -> StripeWish:
    return StripeWish(every, at, on)


def _stripe_complaints(fields: Fields) -> Iterator[Complaint]:
    if fields.get("across") is False:
        yield (
            "across",
            "stripes that run lengthwise put a closure nowhere along the edge",
            "Leave [stripe] out, and choose the inset so that the closing line lies on a stripe.",
        )


def _wearer(**given: Any) -> WearerWish:
    own = {key: value for key, value in given.items() if key in ("profiles", "implants")}
    return WearerWish(**own, fit=fit_of({key: value for key, value in given.items() if key not in own}))


SHEETS = Section(
    name="sheets",
    field="sheets",
    keys=(
        Key("coupon", yes_or_no, "true"),
        Key("order", yes_or_no, "true"),
        Key("strip", yes_or_no, "true"),
        Key("handover", yes_or_no, "true"),
        Key("backing", choice("as needed", "strip", "patches"), '"as needed"'),
        Key("backing_cloth", text, '"medium fusible"'),
        Key("backing_width", _MORE_THAN_NOTHING, '"25 mm"'),
        Key("closing", choice("numbers", "wide gap"), '"numbers"'),
        Key("stencil", yes_or_no, "true"),
        Key("stencil_hole", _MORE_THAN_NOTHING, '"1.5 mm"'),
        Key("roll", yes_or_no, "true"),
        Key("projector", yes_or_no, "true"),
    ),
    make=_sheets,
    only_with=(("backing_cloth", "backing"), ("backing_width", "backing"), ("stencil_hole", "stencil")),
)

BANDS = Section(
    name="bands",
    field="bands",
    keys=(
        Key("allowance", length(), '"10 mm"', needed=True),
        Key("made", choice("two pieces", "folded"), '"two pieces"'),
        Key("turn", length(), '"8 mm"'),
        Key("turn_cloth", text, '"cotton sateen"'),
        Key("interfacing", whole(0, MOST_INTERFACINGS), "1"),
    ),
    make=_bands,
    not_with=("belt", "row"),
    only_with=(("turn_cloth", "turn"),),
    complaints=_bands_complaints,
)

SHRINKAGE = Section(
    name="shrinkage",
    field="shrinkage",
    keys=(
        Key("along", percent, '"3 %"'),
        Key("across", percent, '"1 %"'),
        Key(
            "measured",
            choice("washed", "unwashed"),
            '"unwashed"',
            needed=True,
            note="Or washed: the state of the cloth when the lengths of this plan were measured.",
        ),
    ),
    make=_shrinkage,
    not_with=("belt", "row", "swap", "change"),
    complaints=_shrinkage_complaints,
)

STRIPE = Section(
    name="stripe",
    field="stripe",
    keys=(
        Key("every", _MORE_THAN_NOTHING, '"32 mm"', needed=True),
        Key("at", length(least_mm=None), '"24 mm"', needed=True),
        Key("on", choice("repeat", "between"), '"repeat"'),
        Key("across", yes_or_no, "true"),
    ),
    make=_stripe,
    not_with=("belt", "row", "swap", "change"),
    complaints=_stripe_complaints,
)

WEARER = Section(
    name="wearer",
    field="wearer",
    keys=(
        Key("profiles", some_of("weak hands", "single hand", "quick change", "child", "implants"), '["weak hands"]'),
        Key("implants", choice("none", "some", "not asked"), '"none"'),
        *FIT_KEYS,
    ),
    make=_wearer,
    only_with=(("neck", "bust_girth"),),
    complaints=fit_complaints,
)

WORKSHOP_SECTIONS = (SHEETS, BANDS, SHRINKAGE, STRIPE, WEARER)


def sheets_faults(plan: Plan, where: str) -> Iterator[Fault]:
    """Tell what `[sheets]` asks for that the rest of the plan leaves no room for."""
    place, wish = f"{where}, " if where else "", plan.sheets
    if wish is None:
        return
    if plan.strap is not None:
        for key in _ONLY_ON_EDGES:
            if getattr(wish, key):
                what = "it cannot be made for a belt or a row, whose own sheets tell it already"
                yield Fault(f"{place}[sheets] {key}", what, f"Leave {key} out.")
    if plan.speaks_of_old and wish.closing == "wide gap":
        what = "no offer has a wide gap: each goes by the old places, or by the spacing that the plan asks for"
        yield Fault(f"{place}[sheets] closing", what, 'Write closing = "numbers".')
