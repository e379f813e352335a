"""Whether cloth keeps what a needle, a pin or an iron does to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import cloths_among

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.placing.stack import Layer
    from closures.plan.plan import Plan


def keeps_marks(layers: Sequence[Layer], plan: Plan, catalogue: Catalogue) -> bool:
    """Whether needle and iron leave what stays to be seen, as is feared of a pile that nobody names.

    Velvet, silk, satin and sheers do (common practice); what is knitted by hand closes over a needle.
    """
    if plan.gauge is not None:
        return False
    if {"silk", "satin", "sheer"} & cloths_among(layers):
        return True
    known = {cloth.name: cloth.marks for cloth in catalogue.cloths}
    pile = [layer for layer in layers if "pile" in layer.structures and "knit" not in layer.structures]
    return any(known.get(layer.name, True) for layer in pile)
