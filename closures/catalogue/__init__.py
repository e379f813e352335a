"""The catalogue: fasteners, cloths, papers and rules, each figure with its source.

>>> load_catalogue().fastener("prong snap", "16 L").cap_mm
10.16
"""

from closures.catalogue.catalogue import Catalogue
from closures.catalogue.loading import load_catalogue
from closures.catalogue.values import (
    Cloth,
    Fastener,
    Figure,
    Hole,
    Kind,
    KindSummary,
    LapName,
    MarkStyle,
    MarkWay,
    Order,
    Paper,
    Part,
    Provenance,
    Rule,
    Source,
)

__all__ = [
    "Catalogue",
    "Cloth",
    "Fastener",
    "Figure",
    "Hole",
    "Kind",
    "KindSummary",
    "LapName",
    "MarkStyle",
    "MarkWay",
    "Order",
    "Paper",
    "Part",
    "Provenance",
    "Rule",
    "Source",
    "load_catalogue",
]
