"""Cloths: their thickness against what was published and what is possible."""

import pytest

from closures.catalogue.loading import load_catalogue
from closures.catalogue.values import Cloth
from closures.errors import CatalogueError
from closures.placing.stack import clamped_part

CATALOGUE = load_catalogue()

# Densities of solid fibre in g/cm3, written out here apart from the table of rules: from memory.
DENSITIES = {
    "cotton": 1.54,
    "linen": 1.50,
    "wool": 1.31,
    "polyester": 1.38,
    "silk": 1.34,
    "viscose": 1.52,
    "nylon": 1.14,
}


@pytest.mark.parametrize("cloth", CATALOGUE.cloths, ids=lambda cloth: cloth.name)
def test_cloth_is_no_thinner_than_its_fibre(cloth: Cloth) -> None:
    assert cloth.mass_g_m2 is not None
    solid_mm = cloth.mass_g_m2 / (DENSITIES[cloth.fibre] * 1000)
    assert solid_mm <= cloth.low.value <= cloth.typical.value <= cloth.high.value


# Penava et al., Fibres & Textiles in Eastern Europe, 2014, tables 1 and 3.
@pytest.mark.parametrize(
    ("name", "mass_g_m2", "thickness_mm"),
    [("cotton woven", 150.3, 0.318), ("wool woven", 234.8, 0.568), ("polyester woven", 164.6, 0.252)],
)
def test_cloth_that_was_measured_has_the_published_figure(name: str, mass_g_m2: float, thickness_mm: float) -> None:
    cloth = CATALOGUE.cloth(name)
    assert cloth.mass_g_m2 == mass_g_m2
    assert cloth.typical.value == thickness_mm
    # One specimen says nothing of the next bolt: a fifth thinner and thicker, from memory.
    assert (cloth.low.value, cloth.high.value) == pytest.approx((0.8 * thickness_mm, 1.2 * thickness_mm))
    assert cloth.low.provenance.kind == cloth.high.provenance.kind == "from memory"
    assert cloth.typical.provenance.kind == "second hand"
    assert cloth.typical.provenance.key == "PENAVA"


# From memory: low, typical and high in mm.
@pytest.mark.parametrize(
    ("name", "band", "structure"),
    [
        ("lawn", (0.13, 0.16, 0.20), "woven"),
        ("cotton poplin", (0.20, 0.24, 0.30), "woven"),
        ("cotton sateen", (0.22, 0.26, 0.33), "woven"),
        ("Quilting Cotton", (0.25, 0.30, 0.38), "woven"),
        ("denim 14 oz", (0.78, 0.92, 1.10), "woven"),
        ("melton", (1.5, 2.0, 2.8), "woven"),
        ("jersey", (0.42, 0.50, 0.62), "knit"),
        ("french terry", (0.8, 0.95, 1.2), "knit"),
        ("polar fleece", (1.8, 2.2, 2.8), "knit"),
        ("felt", (0.9, 1.2, 1.5), "nonwoven"),
        ("light fusible", (0.08, 0.12, 0.18), "fusible"),
        ("fusible, woven", (0.20, 0.26, 0.35), "fusible"),
    ],
)
def test_cloth_has_its_band(name: str, band: tuple[float, ...], structure: str) -> None:
    cloth = CATALOGUE.cloth(name)
    assert (cloth.low.value, cloth.typical.value, cloth.high.value) == band
    assert cloth.structure == structure
    assert cloth.typical.provenance.kind == "from memory"


# Leather trade: 1 oz is 1/64 in, 0.397 mm. Of one weight a fifth less to a fifth more, from memory.
@pytest.mark.parametrize(
    ("name", "low_mm", "high_mm"),
    [
        ("leather 4 oz", 0.8 * 25.4 / 16, 1.2 * 25.4 / 16),
        ("Leather 3-4 oz", 3 * 25.4 / 64, 25.4 / 16),
        ("leather 2.5 ounces", 2 * 25.4 / 64, 3 * 25.4 / 64),
    ],
)
def test_leather_is_reckoned_from_its_ounces(name: str, low_mm: float, high_mm: float) -> None:
    leather = CATALOGUE.cloth(name)
    assert (leather.low.value, leather.high.value) == pytest.approx((low_mm, high_mm))
    assert leather.typical.value == pytest.approx((low_mm + high_mm) / 2)
    assert leather.structure == "leather"
    assert leather.typical.provenance.kind == "derived"
    is_one = "-" not in name
    assert leather.low.provenance.kind == leather.high.provenance.kind == ("from memory" if is_one else "derived")


def test_brushed_cloths_are_told_from_plain_ones() -> None:
    brushed = {cloth.name for cloth in CATALOGUE.cloths if cloth.is_brushed}
    assert brushed == {
        "flannel",
        "melton",
        "sweatshirt fleece",
        "polar fleece",
        "corduroy",
        "cotton velvet",
        "towelling",
        "wool coating",
        "boiled wool",
        "wool flannel",
        "needlecord",
        "knitted velour",
        "knitted plush",
    }


# What is left of free thickness under a flange: from memory.
@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("oxford", (0.55, 0.75)),
        ("chiffon", (0.55, 0.75)),
        ("interlock", (0.5, 0.7)),
        ("polar fleece", (0.25, 0.45)),
        ("towelling", (0.25, 0.45)),
        ("quilted cotton", (0.25, 0.45)),
        ("melton", (0.55, 0.75)),
        ("boiled wool", (0.5, 0.7)),
        ("felt", (0.5, 0.75)),
        ("leather 4 oz", (0.85, 1.0)),
        ("oilcloth", (0.85, 1.0)),
        ("laminated knit", (0.85, 1.0)),
        ("light fusible", (0.85, 1.0)),
    ],
)
def test_cloth_gives_way_under_a_flange_by_how_it_is_made(name: str, part: tuple[float, float]) -> None:
    assert clamped_part(CATALOGUE.cloth(name).structures, CATALOGUE) == part


def test_cloth_that_is_coated_and_knit_is_both() -> None:
    assert CATALOGUE.cloth("laminated knit").structures == {"coated", "knit"}


# 1 oz/yd2 is 33.906 g/m2.
@pytest.mark.parametrize("ounces", [8, 10, 12, 14])
def test_denim_mass_follows_its_ounces(ounces: int) -> None:
    ounce = 28.349523125 / 0.9144**2
    assert CATALOGUE.cloth(f"denim {ounces} oz").mass_g_m2 == pytest.approx(ounces * ounce, abs=0.06)


@pytest.mark.parametrize("name", ["leather 0 oz", "leather 400 oz", "leather", "sattin", ""])
def test_cloth_unknown_is_refused(name: str) -> None:
    with pytest.raises(CatalogueError, match="no cloth"):
        CATALOGUE.cloth(name)


def test_cloth_misspelt_names_the_nearest() -> None:
    with pytest.raises(CatalogueError, match=r"no cloth 'coton sateen'.*Did you mean cotton sateen\?"):
        CATALOGUE.cloth("coton sateen")
