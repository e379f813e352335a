"""The buttonhole a button needs: how long, which way, and where it lies from the mark.

Terms: a buttonhole *across* runs square to the closing line and takes the pull of a fitted
closure; one *along* runs on the line, and suits a narrow band. Either way the button is
drawn to one end of it, so the mark is not its middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.plan.closure import ClosureWish


@dataclass(frozen=True, slots=True)
class Buttonhole:
    """A buttonhole as it lies from its mark, in mm.

    Attributes:
        way: "across" or "along" the closing line.
        length_mm: of the slit.
        before_mm: how far it reaches from the mark towards the edge (across) or towards the
            first end (along).
        thickness_mm: of the button that was reckoned with.
    """

    way: Literal["across", "along"]
    length_mm: float
    before_mm: float
    thickness_mm: float

    @property
    def after_mm(self) -> float:
        """How far it reaches from the mark the other way."""
        return self.length_mm - self.before_mm


def buttonhole_for(fastener: Fastener, closure: ClosureWish, catalogue: Catalogue) -> Buttonhole | None:
    """Work out the buttonhole of a button.

    Its length is the button's diameter and thickness (Univ. of Minnesota, Bulletin 576,
    1965). Its end stands 1/8 in past the mark: towards the edge when it runs across,
    towards the first end when it runs along (the same bulletin; ICAR; ASDP).

    Args:
        fastener: the closure.
        closure: the plan's own wishes for it.
        catalogue: where the eighth of an inch is kept.

    Returns:
        The buttonhole, or None for a closure that has none.
    """
    if fastener.mark.over != "buttonhole" and fastener.mark.under != "buttonhole":
        return None
    past = catalogue.rule("buttonhole past line").value.value
    thickness = _thickness_mm(fastener)
    return Buttonhole(closure.hole or "along", fastener.cap_mm + thickness, past, thickness)


def _thickness_mm(fastener: Fastener) -> float:
    """The greater thickness where a range is known: a hole that is too short cannot be mended."""
    return 0.0 if fastener.thickness is None else fastener.thickness[1].value
