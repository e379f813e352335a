"""Rows of cloths, made into values; leather by the ounce."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import cast, get_args

from closures.catalogue.names import folded
from closures.catalogue.rows import Row
from closures.catalogue.values import Cloth, Figure, Provenance, Rule, Structure

_CLOTH_KEYS = (
    "name",
    "aliases",
    "mass",
    "fibre",
    "structure",
    "also",
    "brushed",
    "thickness",
    "clamped",
    "loops_keep",
    "marks",
    "nap",
    "cleaned",
    "nap_inside",
    "ribbed",
)
_LEATHER = re.compile(r"leather (\d+(?:\.\d+)?)(?: (\d+(?:\.\d+)?))? ?(?:oz|ounces?)")
# Sole leather, the thickest that is sold, comes to less than this: from memory.
_HEAVIEST_LEATHER_OZ = 32
# One figure says nothing of the next bolt or hide: a fifth thinner or thicker, from memory.
_SPECIMENS_VARY = 0.2


def read_cloths(
    rows: Iterable[Row], known: Mapping[str, Cloth], densities_g_cm3: Mapping[str, float]
) -> dict[str, Cloth]:
    """Read rows of cloths.

    Args:
        rows: of one file; `thickness` is one figure, or the least and the most, or the least,
            the typical and the most.
        known: the cloths known so far, by name; a row of the same name keeps what it does not give.
        densities_g_cm3: of fibres. A cloth cannot be thinner than its areal mass of solid fibre.

    Returns:
        The cloths of these rows, by name. Faults are left in the rows.
    """
    names = cloth_names(known.values())
    read: dict[str, Cloth] = {}
    for row in rows:
        faults_before = len(row.faults)
        cloth = _read_cloth(row, known, names)
        if cloth is None:
            continue
        if cloth.name in read:
            row.fault("name", f"{cloth.name} stands in this file twice", "Keep one of the rows.")
        _check_solid(row, cloth, densities_g_cm3)
        if len(row.faults) == faults_before:
            read[cloth.name] = cloth
    return read


def cloth_names(cloths: Iterable[Cloth]) -> dict[str, str]:
    """Every name of every cloth, folded, with the cloth's own name."""
    names: dict[str, str] = {}
    for cloth in cloths:
        for name in (cloth.name, *cloth.aliases):
            names.setdefault(folded(name), cloth.name)
    return names


def leather_by_ounce(name: str, ounce: Rule) -> Cloth | None:
    """Reckon leather from the trade's ounces: 1 oz is 1/64 in of thickness.

    Args:
        name: such as ``leather 4 oz``, a fifth thinner or thicker; or ``leather 3-4 oz``, sold between two weights.
        ounce: the rule that holds the thickness of an ounce.

    Returns:
        The leather, or None where the name is of another form.
    """
    match = _LEATHER.fullmatch(folded(name))
    if match is None:
        return None
    low, high = sorted((float(match[1]), float(match[2] or match[1])))
    if not 0 < low <= high <= _HEAVIEST_LEATHER_OZ:
        return None
    least, middle, most = (
        Figure(ounces * ounce.value.value, ounce.value.provenance) for ounces in (low, (low + high) / 2, high)
    )
    if low == high:
        # A hide is split to a weight and runs thinner and thicker than that.
        least, most = (_varied(middle, way, "the one weight that was told") for way in (-1, 1))
    return Cloth(" ".join(name.split()), None, "leather", "leather", least, middle, most)


def _read_cloth(row: Row, known: Mapping[str, Cloth], names: Mapping[str, str]) -> Cloth | None:
    row.check_keys(_CLOTH_KEYS)
    written = row.text("name", is_required=True)
    base = known.get(names.get(folded(written), ""))
    provenance = row.provenance()
    figures = row.figures("thickness", provenance, (1, 2, 3))
    clamped = row.range_("clamped", provenance)
    if figures is None and base is not None and clamped is not None:
        figures = (base.low, base.typical, base.high)
    if figures is None:
        if "thickness" not in row.table:
            row.fault("thickness", "missing", "Write thickness = 0.26, in mm, of one layer.")
        return None
    if base is None and "structure" not in row.table:
        row.fault("structure", "missing", f"Write one of: {', '.join(get_args(Structure))}.")
    mass = row.number("mass")
    also = row.texts("also")
    for word in also:
        if word not in get_args(Structure):
            row.fault("also", f"{word!r} is none of those known", f"Write some of: {', '.join(get_args(Structure))}.")
    return Cloth(
        name=base.name if base else written,
        mass_g_m2=mass if mass is not None or base is None else base.mass_g_m2,
        fibre=row.text("fibre") or (base.fibre if base else ""),
        structure=row.one_of("structure", get_args(Structure), base.structure if base else "woven"),
        low=figures[0] if row.is_users or len(figures) > 1 else _varied(figures[0], -1),
        typical=_typical(figures),
        high=figures[-1] if row.is_users or len(figures) > 1 else _varied(figures[0], 1),
        is_brushed=row.flag("brushed") if "brushed" in row.table or base is None else base.is_brushed,
        aliases=row.texts("aliases") or (base.aliases if base else ()),
        also=cast("tuple[Structure, ...]", also) or (base.also if base else ()),
        clamped=clamped or (base.clamped if base else None),
        loops_keep=row.flag("loops_keep") if "loops_keep" in row.table or base is None else base.loops_keep,
        marks=row.flag("marks") if "marks" in row.table or base is None else base.marks,
        has_nap=row.flag("nap") if "nap" in row.table or base is None else base.has_nap,
        is_cleaned=row.flag("cleaned") if "cleaned" in row.table or base is None else base.is_cleaned,
        nap_is_inside=row.flag("nap_inside") if "nap_inside" in row.table or base is None else base.nap_is_inside,
        is_ribbed=row.flag("ribbed") if "ribbed" in row.table or base is None else base.is_ribbed,
    )


def _varied(figure: Figure, way: int, one: str = "the one specimen that was published") -> Figure:
    """A thin or a thick piece of a cloth of which one figure is known; from memory."""
    source = f"a fifth {'more' if way > 0 else 'less'} than {one}"
    return Figure(figure.value * (1 + way * _SPECIMENS_VARY), Provenance("from memory", source))


def _typical(figures: tuple[Figure, ...]) -> Figure:
    """The middle of three; of two, halfway between them."""
    if len(figures) == 2:
        return Figure((figures[0].value + figures[1].value) / 2, figures[0].provenance)
    return figures[len(figures) // 2]


def _check_solid(row: Row, cloth: Cloth, densities_g_cm3: Mapping[str, float]) -> None:
    density = densities_g_cm3.get(cloth.fibre)
    if cloth.mass_g_m2 is None or density is None:
        return
    # g/m2 over g/cm3 is micrometres.
    solid_mm = cloth.mass_g_m2 / density / 1000
    if cloth.low.value < solid_mm:
        solid = f"{cloth.mass_g_m2:g} g/m2 of solid {cloth.fibre}, {solid_mm:.3f} mm"
        what = f"{cloth.low.value:g} mm is thinner than {solid}"
        row.fault("thickness", what, "Check the mass and the thickness of one layer.")
