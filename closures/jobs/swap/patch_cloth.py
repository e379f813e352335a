"""What patches behind old holes are of, where the plan does not tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.plan.layers import LayerWish
from closures.said import to_change

if TYPE_CHECKING:
    from collections.abc import Iterable

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.plan.plan import Plan

# Behind cloth that is bulky, has a pile or stretches: common practice.
_THIN_FIRM = "cotton poplin"


def cloth_of_patch(plan: Plan, lap: LapName, catalogue: Catalogue) -> LayerWish | None:
    """What a patch is of: the cloth told for patches, else the first cloth of the lap that is no interfacing.

    Bulky cloth doubled is more than most closures clamp, and a knit stretches away from what holds in it: behind either
    goes a thin firm cotton (common practice).
    """
    if plan.swap is not None and plan.swap.patch_cloth is not None:
        return LayerWish(cloth=plan.swap.patch_cloth)
    own = _own_cloth(plan, lap, catalogue)
    return LayerWish(cloth=_THIN_FIRM) if own is not None and _why_not_own(own, catalogue) else own


def _own_cloth(plan: Plan, lap: LapName, catalogue: Catalogue) -> LayerWish | None:
    """The first cloth of a lap that is no interfacing; None where none is told by name."""
    named = (layer for layer in plan.layers if layer.on in (lap, "both") and layer.cloth is not None)
    return next((one for one in named if "fusible" not in catalogue.cloth(one.cloth or "").structures), None)


def _why_not_own(wish: LayerWish, catalogue: Catalogue) -> str:
    """Why a patch is of other cloth than its lap; leather and coated cloth are patched with their like."""
    cloth = catalogue.cloth(wish.cloth or "")
    if cloth.structures & {"leather", "coated"}:
        return ""
    free_mm = cloth.typical.value if wish.thickness_mm is None else wish.thickness_mm
    # Pile on pile creeps and stands up under a part; that of a felted cloth is no more than a nap.
    is_pile = cloth.structures & {"pile", "nonwoven"} == {"pile"}
    if is_pile or free_mm >= catalogue.rule("bulky cloth").value.value:
        return "thin and firm, since the lap's own cloth is bulky or has a pile"
    return "woven and firm, since the lap's own cloth stretches" if "knit" in cloth.structures else ""


def cloth_in_words(
    plan: Plan, patches: Iterable[tuple[LapName, LayerWish | None]], catalogue: Catalogue
) -> tuple[str, ...]:
    """Say what patches behind old holes were taken to be of, where the plan does not tell; nothing where it does.

    Args:
        plan: as told.
        patches: the lap of each, and what it is of.
        catalogue: cloths and rules.
    """
    wish = plan.swap
    if wish is None or wish.patch_cloth is not None:
        return ()
    cloths: dict[str, None] = {}
    for lap, layer in patches:
        own = _own_cloth(plan, lap, catalogue)
        if own is not None and layer is not None and layer.cloth:
            cloths[f"{layer.cloth}, {_why_not_own(own, catalogue) or 'as the lap is'}"] = None
    if not cloths:
        return ()
    told = f"The patches behind old holes are of {' and '.join(cloths)} (as this program has it)."
    return (told + to_change("patch_cloth under [swap]"),)
