"""How large lettering is: one size for each use, so that what matters most is seen first.

Sizes are of the em, in mm; capitals are `LEAST_CAP_HEIGHT` of it, or a hair more. Paper that lies on a cutting table
is read from half a metre off, and a poor printer fills small letters in: nothing on a template has capitals lower than
2 mm, the figures of the rulers apart (our own rule, from prints looked at).
"""

from __future__ import annotations

from dataclasses import replace

from closures.drawing.ink.lettering import LEAST_CAP_HEIGHT
from closures.frozen import frozen

LEAST_CAPITALS_MM = 2.0
INSTRUCTION_CAPITALS_MM = 2.4
_SIZES = ("number", "figure", "name", "text", "heading", "title")


def em(capitals_mm: float) -> float:
    """The size whose capitals are so high, in mm; a hair more, so that rounding leaves none lower."""
    return capitals_mm * 1.001 / LEAST_CAP_HEIGHT


@frozen
class TypeScale:
    """The sizes of lettering, in mm of the em.

    Attributes:
        number: of a mark.
        figure: how far along it lies, and other figures on the drawing.
        name: of an anchor, a zone, an end.
        text: instructions.
        heading: over a paragraph.
        title: of the page.
        line: from line to line, as a share of the em.
    """

    number: float
    figure: float
    name: float
    text: float
    heading: float
    title: float
    line: float = 1.26

    def scaled(self, by: float) -> TypeScale:
        """The same, larger."""
        return replace(self, **{name: by * getattr(self, name) for name in _SIZES})

    @property
    def grown(self) -> float:
        """How much larger than usual."""
        return self.text / USUAL_TYPE.text

    @property
    def leading(self) -> float:
        """From line to line of instructions, in mm."""
        return self.line * self.text


USUAL_TYPE = TypeScale(
    number=em(4.15),
    figure=em(LEAST_CAPITALS_MM),
    name=em(2.175),
    text=em(INSTRUCTION_CAPITALS_MM),
    heading=em(2.865),
    title=em(3.36),
)
LARGE_TYPE = USUAL_TYPE.scaled(1.5)


def type_scale(is_large: bool) -> TypeScale:
    """The sizes for a plan: the usual ones, or half as large again."""
    return LARGE_TYPE if is_large else USUAL_TYPE
