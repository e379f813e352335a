"""Which gap is usual where a plan does not say: by kind, cloth, place, and how old the wearer is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.placing.garment import ends_called
from closures.placing.stack import layers_on

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, Rule
    from closures.plan.plan import Plan

SMALL_SNAP_MM = 8.0
"""The smallest sew-on snaps of the catalogue measure up to this across, from memory."""
BABYWEAR = "gap, babywear"
"""The rule of gaps on clothes for children under three."""
AGE_TOLD = "age and sex under [body]"
"""What tells how old a child is."""
_OURS = "our own rule"
_BY_AGE = (BABYWEAR, "gap, coat", "gap, shirt front", "gap against gaping")
# What coats and jackets are made of and shirts are not, also where one layer is thin: our own rule.
_COATS = frozenset(("leather", "coated", "padded"))


FEW_WANTED: frozenset[str] = frozenset(("weak hands", "single hand", "quick change", "child under three"))
"""Wearers for whom as few closures as hold are advised: they are not told to add some without a second thought."""
_SHIRTS = ("gap, shirt front", "gap against gaping")
"""What is judged by the front of a shirt; every other kind, cloth and place has a gap of its own."""
_OVER_USUAL = 1.5
"""Times what is usual: a gap over this is looked at where only a usual gap is known, no widest one; our own rule."""


@frozen
class WidestGap:
    """The gap that is looked at where one is wider, and nobody told how wide they may be.

    Attributes:
        mm: how wide.
        usual_mm: what is usual, which for a shirt is the widest itself.
        rule: the rule that tells it.
        source: where it comes from.
    """

    mm: float
    usual_mm: float
    rule: Rule
    source: str

    @property
    def is_of_a_shirt(self) -> bool:
        """Whether a widest gap is known, and not a usual one alone."""
        return self.mm == self.usual_mm


@frozen
class UsualGap:
    """A gap that is usual.

    Attributes:
        mm: how wide.
        text: what it is for.
        source: where it comes from.
        or_by: what else than the gap itself would change it; empty where nothing would.
        widest: what is looked at where a gap is wider; None where nothing is known of that.
    """

    mm: float
    text: str
    source: str
    or_by: str = ""
    widest: WidestGap | None = None


def usual_gap(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> UsualGap:
    """Find the gap that is usual for this kind, cloth, place and wearer.

    Args:
        plan: with its garment, layers and wearer.
        fastener: its closure.
        catalogue: where the usual gaps are kept.
    """
    key = usual_gap_key(plan, fastener, catalogue)
    rule = catalogue.rule(key)
    mm = rule.value.value if rule.high is None else (rule.value.value + rule.high.value) / 2
    text, source = rule.text, rule.value.provenance.text
    widest = widest_gap(plan, fastener, catalogue)
    if key not in _BY_AGE or not plan.is_for_child:
        return UsualGap(mm, text, source, widest=widest)
    untold = is_of_untold_age(plan)
    or_by = AGE_TOLD if untold else ""
    if key == BABYWEAR:
        return UsualGap(
            mm, f"{text}{', since the age of this one is not told' if untold else ''}", source, or_by, widest
        )
    source += "" if source == _OURS else f"; of a child: {_OURS}"
    taken = ", for which this one is taken in a coat's cloth" if untold else ""
    return UsualGap(mm, f"{text}, also of a child of three or more{taken}", source, or_by, widest)


def widest_gap(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> WidestGap | None:
    """Find the gap over which one is looked at; None where no limit is known for such an opening.

    Args:
        plan, fastener, catalogue: as of `usual_gap`.
    """
    key = usual_gap_key(plan, fastener, catalogue)
    rule = catalogue.rule("gap, shirt front" if key in _SHIRTS else key)
    mm = rule.value.value if rule.high is None else rule.high.value
    source = rule.value.provenance.text
    if key not in _SHIRTS:
        # The usual gap has its own source; how far over it is looked at has none.
        judged = source if source == _OURS else f"{source}; half as much again: {_OURS}"
        return WidestGap(_OVER_USUAL * mm, mm, rule, judged)
    if plan.garment is not None and plan.garment.opens not in (None, "front", "back"):
        return None
    return WidestGap(mm, mm, rule, source)


def is_of_coat_cloth(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether the cloth is that of a coat or a jacket, whoever wears it."""
    return any(layer.is_bulky or layer.structures & _COATS for layer in layers_on("over", plan.layers, catalogue))


def is_of_untold_age(plan: Plan) -> bool:
    """Whether a child wears it of whom nothing tells that it is under three, or older."""
    is_told = plan.body is not None and plan.body.age_months is not None
    return plan.is_for_child and not plan.is_under_three and not is_told


def _is_coat_of_untold_age(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether the cloth is a coat's; coated cloth alone is also a bib's, but for a front from neck to hem."""
    is_front = plan.garment is not None and plan.garment.opens == "front"
    coats = _COATS if is_front and ends_called(plan.garment) == ("neck", "hem") else _COATS - {"coated"}
    layers = layers_on("over", plan.layers, catalogue)
    return any(layer.is_bulky or layer.structures & coats for layer in layers)


def _has_babys_gaps(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether the gaps of small children's clothes hold: under three, and of an age that is not told but on a coat."""
    return plan.is_under_three or (is_of_untold_age(plan) and not _is_coat_of_untold_age(plan, catalogue))


def usual_gap_key(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> str:
    """Name the rule that holds the gap usual for this kind, cloth, place and wearer."""
    if fastener.family == "eyelet":
        return "eyelet spacing"
    if fastener.family == "loop":
        return "gap, loops"
    if fastener.family == "hook":
        return "gap, hooks at a fitted waist"
    opens = "" if plan.garment is None else plan.garment.opens or ""
    if fastener.family == "sew-on snap" and "side" in opens:
        return "gap, skirt placket"
    is_slit = opens == "flat" and plan.garment is not None and plan.garment.is_worn
    if opens == "flat" and not is_slit:
        return "gap, duvet"
    if _has_babys_gaps(plan, catalogue):
        return BABYWEAR
    if is_of_coat_cloth(plan, catalogue):
        return "gap, coat"
    if is_slit:
        return "gap, placket without strain"
    if fastener.family == "sew-on snap":
        return "gap, small sew-on snaps" if fastener.cap_mm <= SMALL_SNAP_MM else "gap, placket without strain"
    return "gap against gaping" if plan.pull is not None and plan.pull.fit == "close" else "gap, shirt front"
