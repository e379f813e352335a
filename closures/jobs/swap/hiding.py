"""Whether snaps can be hidden under buttons sewn on for show, and how: by thread, within a ring, or beneath a layer.

A button is sewn to cloth. On a cap there is none: it can be hidden only beneath the outer layer of a lap that is still
open.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.lengths import SAME_MM
from closures.placing.single_layer import lying_all_over
from closures.placing.stack import layers_on
from closures.plan.shown import shown_beside
from closures.series import a_or_an

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.jobs.swap.old_row import OldRow
    from closures.placing.placement import Prepared
    from closures.plan.layers import LayerWish
    from closures.plan.plan import Plan

Hiding = Literal["sewn", "ring", "beneath"]
"""Sewn to the inner layer; pierced through, with cloth left inside an open ring; set beneath the outer layer."""

_RING = "prong ring"


class CannotHide(Exception):
    """Nothing can be sewn on over the parts; the text says why, and what would do."""


def hiding_of(prepared: Prepared, old: OldRow, catalogue: Catalogue) -> Hiding:
    """Find how the new snaps can lie hidden under the old buttons.

    Args:
        prepared: the closing line with the new closure.
        old: the old buttons.
        catalogue: for the layers of the over lap.

    Raises:
        CannotHide: no button can be sewn on over them, or it would not hide them.
    """
    new, plan, show = prepared.fastener, prepared.plan, shown_beside(prepared.plan.units)
    button = show(old.fastener.cap_mm)
    if old.fastener.setting == "tack button":
        raise CannotHide("A tack button is driven on, so it cannot be sewn on for show.")
    hiding = _way_of(prepared, old, catalogue)
    if new.cap_mm > old.fastener.cap_mm + SAME_MM and is_seen_through(plan, catalogue, hiding):
        raise CannotHide(
            f"The cloth of the over lap is sheer, and {a_or_an(new.kind)} of {show(new.cap_mm)} is seen through it "
            f"around a button of {button}. This asks for a snap no wider than the button."
        )
    return hiding


def is_seen_through(plan: Plan, catalogue: Catalogue, hiding: Hiding) -> bool:
    """Whether what lies within the over lap is seen from outside: all that lies over it is sheer (common practice).

    An interfacing is no cover: on a sheer it is chosen so as not to be seen.

    Args:
        plan: for its layers; nothing is known of a lap that has none told.
        catalogue: cloths.
        hiding: how the parts lie; beneath the outer layer, that one alone lies over them.
    """
    cloths = [one for one in layers_on("over", plan.layers, catalogue) if "fusible" not in one.structures]
    over = cloths[:1] if hiding == "beneath" else cloths
    return bool(over) and all("sheer" in one.structures for one in over)


def _way_of(prepared: Prepared, old: OldRow, catalogue: Catalogue) -> Hiding:
    """How the new snaps can lie beneath buttons that are sewn on, whatever is seen through the cloth.

    Raises:
        CannotHide: no button can be sewn on over them, or a ring would show around it.
    """
    new, plan, show = prepared.fastener, prepared.plan, shown_beside(prepared.plan.units)
    button = show(old.fastener.cap_mm)
    instead = f"an open ring no wider than the button ({button}), or a sew-on snap"
    if new.family == "sew-on snap":
        return "sewn"
    is_open = not old.made and plan.state in (None, "cut pieces")
    why = "The layers of the over lap can no longer be parted"
    if is_open and plan.gauge is None:
        if not plan.layers or has_inner_layer(plan, catalogue):
            return "beneath"
        why = "The plan tells a single layer of cloth on the over lap"
    elif is_open:
        why = "A knitted band is a single layer"
    if new.family == "magnetic snap" and not is_open:
        # Whether its band is opened is chosen at the garment: a button for show cannot be promised before.
        raise CannotHide(
            "Where magnets go through all layers each washer lies on the outside, and there is no cloth on it to sew a "
            f"button to; whether the band is opened is chosen at the garment. This asks for {instead}."
        )
    parts = [part.name for part in new.parts_on("over")]
    if _RING not in parts:
        # The half of a magnet meets the other lap, and what its tabs are folded over lies outside.
        outside = "part" if not parts else parts[-1] if new.family == "magnetic snap" else parts[0]
        raise CannotHide(
            f"{why}, so each {outside} lies on the outside, and there is no cloth on it to sew a button to. "
            f"This asks for {instead}."
        )
    if new.cap_mm > old.fastener.cap_mm + SAME_MM:
        raise CannotHide(
            f"{why}, and a ring of {show(new.cap_mm)} would show around a button of {button}. This asks for {instead}."
        )
    return "ring"


def has_inner_layer(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether cloth is left on the over lap, interfacing apart, when its outer layer is taken off."""
    outer = _outer(plan, catalogue)
    return outer is not None and _outer(without_outer_layer(plan, catalogue), catalogue) is not None


def without_outer_layer(plan: Plan, catalogue: Catalogue) -> Plan:
    """Take the outer layer of the over lap off, which parts set beneath it do not clamp.

    It is taken to be the first layer of the plan that lies on the whole lap and is no interfacing.

    Args:
        plan: with its layers.
        catalogue: to tell cloth from interfacing.

    Returns:
        The plan with one ply less on the over lap; the plan itself where it tells no such layer.
    """
    outer = _outer(plan, catalogue)
    if outer is None:
        return plan
    left: list[LayerWish] = []
    for layer in plan.layers:
        if layer is not outer:
            left.append(layer)
            continue
        left += [replace(layer, on="over", count=layer.count - 1)] if layer.count > 1 else []
        left += [replace(layer, on="under")] if layer.on == "both" else []
    return replace(plan, layers=tuple(left))


def _outer(plan: Plan, catalogue: Catalogue) -> LayerWish | None:
    for layer in lying_all_over(plan.layers):
        is_cloth = layer.cloth is None or "fusible" not in catalogue.cloth(layer.cloth).structures
        if layer.on in ("over", "both") and is_cloth:
            return layer
    return None
