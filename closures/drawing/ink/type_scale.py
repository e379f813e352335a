"""How large lettering is: one size for each use, so that what matters most is seen first.

Sizes are of the em, in mm; capitals are `CAP_HEIGHT` of it. Paper that lies on a cutting table is read from
half a metre off, and a poor printer fills small letters in: nothing on a template has capitals lower than 2 mm,
the figures of the rulers apart (our own rule, from prints looked at).
"""

from __future__ import annotations

from dataclasses import fields

from closures.drawing.ink.lettering import CAP_HEIGHT
from closures.frozen import frozen

LEAST_CAPITALS_MM = 2.0
INSTRUCTION_CAPITALS_MM = 2.4


def em(capitals_mm: float) -> float:
    """The size whose capitals are so high, in mm; a hair more, so that rounding leaves none lower."""
    return capitals_mm * 1.001 / CAP_HEIGHT


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
    """

    number: float
    figure: float
    name: float
    text: float
    heading: float
    title: float

    def scaled(self, by: float) -> TypeScale:
        """The same, larger."""
        return TypeScale(**{field.name: by * getattr(self, field.name) for field in fields(self)})

    @property
    def grown(self) -> float:
        """How much larger than usual."""
        return self.text / USUAL_TYPE.text

    @property
    def leading(self) -> float:
        """From line to line of instructions, in mm."""
        return 1.26 * self.text


USUAL_TYPE = TypeScale(
    number=em(4.2),
    figure=em(LEAST_CAPITALS_MM),
    name=em(2.2),
    text=em(INSTRUCTION_CAPITALS_MM),
    heading=em(2.9),
    title=em(3.4),
)
LARGE_TYPE = USUAL_TYPE.scaled(1.5)


def type_scale(is_large: bool) -> TypeScale:
    """The sizes for a plan: the usual ones, or half as large again."""
    return LARGE_TYPE if is_large else USUAL_TYPE
