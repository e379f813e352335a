"""The keys before the first section: the plan's title, its units, and the files it names."""

from __future__ import annotations

from typing import Literal

from closures.frozen import frozen
from closures.plan.drawn import against_drawing
from closures.plan.kinds import choice, file_name, text
from closures.plan.section import Key, Section

Units = Literal["mm", "in"]


@frozen
class Bare:
    """Numbers without a unit in a plan that does not say what they are.

    Attributes:
        told: what is said of them, a sentence or none.
        is_all: no length of the plan has a unit.
        named: the numbers, each with its key, where other lengths have their unit.
    """

    told: tuple[str, ...] = ()
    is_all: bool = False
    named: str = ""


NOT_BARE = Bare()

TOP = Section(
    name="",
    title="Title and files",
    keys=(
        Key(
            "title",
            text,
            '"Summer dress"',
            "printed on the sheets",
            label="Title",
            hint="Printed on the sheets",
            default="the file's name",
            option="--title",
            says="Printed on the sheets.",
        ),
        Key(
            "units",
            choice("mm", "in"),
            '"mm"',
            "what a bare number means, and what you are answered in first",
            label="Lengths in",
            default='"mm"',
            option="--units",
            says="What a bare number means: mm or in.",
        ),
        Key(
            "drawing",
            file_name,
            '"front.svg"',
            "a drawing (SVG, [DXF](../how-to/to-a-cutter.md), [PDF](../how-to/from-a-pdf-pattern.md)) or a "
            "[picture](../how-to/from-a-paper-pattern.md), looked up beside the plan",
            label="Drawing",
            default="none",
            option="--drawing",
            says="The file of a drawing that holds the edge.",
        ),
        Key(
            "supplies",
            file_name,
            '"my-pack.toml"',
            "[your own fasteners and cloths](../how-to/own-pack.md), beside the plan",
            label="Your own supplies",
            default="none",
            option="--supplies",
            says="A file of your own fasteners and cloths.",
        ),
    ),
    value=dict,
    against=against_drawing,
)
