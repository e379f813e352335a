"""How the marks get from the sheet on to the cloth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import CatalogueError

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement

_FIRST = "Wash and press, fuse the interfacing, and only then mark: fusing moves cloth, and heat changes many marks."
_WAYS = {
    "leather": "Prick with an awl through paper and leather: leather keeps the point, and a pen does not come off. "
    "Mark only where a part will cover it.",
    "brushed": "Mark with thread: take one loose stitch through paper and cloth at each dot, tear the paper off, and "
    "leave the ends long. Pricks and chalk are lost in the pile.",
    "knit": "Mark with thread, one loose stitch at each dot. Do not prick: a cut loop runs. Do not pull the cloth "
    "while the sheet lies on it.",
    "woven": "Prick through paper and cloth with a pin or an awl, and touch each prick with chalk. Through two layers "
    "mark with thread.",
}
_WARNINGS = (
    "Ink that heat takes away comes back in the cold: a winter's day, a car, a freezer. Keep it inside the seam.",
    "An iron sets ink that water should take out: rinse before you press.",
    "Try every pen and chalk on a scrap of this cloth, wash and press it, and look again.",
)


def ways_to_mark(placement: Placement, catalogue: Catalogue) -> tuple[str, ...]:
    """Say how to mark the cloth in hand, with what to beware of; all of it is common practice.

    Args:
        placement: for its layers and its closure.
        catalogue: where a cloth's making is looked up.

    Returns:
        Whole sentences: what comes first, the way that suits, the warnings.
    """
    kinds = {_kind_of(name, catalogue) for name in (layer.cloth for layer in placement.plan.layers) if name}
    found = [way for key, way in _WAYS.items() if key in kinds]
    if "knit" in kinds and "brushed" in kinds:
        found = [_WAYS["knit"]]
    return (_FIRST, *(found or [_WAYS["woven"]]), *_WARNINGS)


def _kind_of(name: str, catalogue: Catalogue) -> str:
    try:
        cloth = catalogue.cloth(name)
    except CatalogueError:
        return "woven"
    if cloth.structure in ("leather", "knit"):
        return cloth.structure
    return "brushed" if cloth.is_brushed else "woven" if cloth.structure == "woven" else ""
