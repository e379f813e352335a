"""How stiff a band of known layers may be, where it was not measured: wide ranges, from memory."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.jobs.gape import formulas
from closures.jobs.gape.ranges import Between, exactly, over, summed
from closures.jobs.gape.tables import figure

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Cloth
    from closures.plan.plan import Plan

_KNOWN = ("woven", "knit", "nonwoven", "leather", "fusible")


def estimate_bending(plan: Plan, catalogue: Catalogue) -> tuple[Between, str]:
    """Estimate the bending stiffness of the over lap's band.

    Args:
        plan: with its layers.
        catalogue: where cloths are looked up.

    Returns:
        A range in µN·m, and how it was come by.
    """
    cloths = _over_cloths(plan, catalogue)
    told = figure("bending stiffness, any band")
    if not cloths:
        return told.range, told.told
    parts = []
    for cloth, count in cloths:
        if cloth.mass_g_m2 is None:
            return told.range, told.told
        # A bending length is half the overhang that the formula takes.
        length = figure(f"bending length, {cloth.structure}").range
        each = over(formulas.bending_stiffness_unm, exactly(cloth.mass_g_m2), length.times(2.0, 2.0))
        parts.append(each.times(count, count))
    together = figure("layers that are fused" if _has_fusible(cloths) else "layers that slide").range
    if sum(count for _, count in cloths) == 1:
        together = exactly(1.0)
    found = summed(tuple(parts)).times(together.low, together.high)
    return found, f"reckoned from the layers told, with usual bending lengths ({told.provenance.text})"


def estimate_shear(plan: Plan, catalogue: Catalogue) -> tuple[Between, str]:
    """Estimate the shear rigidity of the over lap's band, N/m, and tell how it was come by."""
    cloths = _over_cloths(plan, catalogue)
    told = figure("shear rigidity, any band")
    if not cloths:
        return told.range, told.told
    parts = tuple(figure(f"shear rigidity, {cloth.structure}").range.times(count, count) for cloth, count in cloths)
    return summed(parts), f"reckoned from the layers told, with usual shear rigidities ({told.provenance.text})"


def is_fused(plan: Plan, catalogue: Catalogue) -> bool | None:
    """Whether the over lap's band holds a fusible; None where its layers are not told."""
    cloths = _over_cloths(plan, catalogue)
    return _has_fusible(cloths) if cloths else None


def _has_fusible(cloths: tuple[tuple[Cloth, int], ...]) -> bool:
    return any(cloth.structure == "fusible" for cloth, _ in cloths)


def _over_cloths(plan: Plan, catalogue: Catalogue) -> tuple[tuple[Cloth, int], ...]:
    """The cloths that lie all along the over lap's whole band, with their count; empty where one is not known."""
    found = []
    for layer in plan.layers:
        if layer.on == "under" or layer.along_mm is not None or layer.across_mm is not None:
            continue
        if layer.cloth is None:
            return ()
        cloth = catalogue.cloth(layer.cloth)
        if cloth.structure not in _KNOWN:
            return ()
        found.append((cloth, layer.count))
    return tuple(found)
