"""What the plan says of where either lap's cloth lies beside the edge, and of the under lap's own edge."""

from closures.plan.kinds import choice, in_drawing
from closures.plan.place import matches, place_on_line
from closures.plan.section import Key

UNDER = (
    Key(
        "under",
        in_drawing,
        '"under-edge"',
        "the under lap's own finished edge, drawn where it lies when closed or, with `under_lies`, apart",
        label="The under lap's own edge",
        hint="A name in the drawing",
        default="beyond the closing line by `under_inset`",
        option="--under",
        says="The under lap's own edge in the drawing.",
    ),
    Key(
        "under_lies",
        choice("closed", "apart"),
        '"apart"',
        "how that edge was drawn: where it lies on the closed garment, or apart, on a piece of its own",
        label="It was drawn",
        default='"closed"',
        option="--under-lies",
        says="How the under lap's edge was drawn: closed, or apart on its own piece.",
    ),
    Key(
        "under_from",
        place_on_line,
        '"under-neck"',
        "where the under lap's edge begins on a longer line or a closed outline, level with the first end of the over "
        "lap's edge; goes with `under_to`",
        label="The under lap's edge begins at",
        hint="A corner of the line; else its own end",
        default="the end of the line",
        field="under_begins",
    ),
    Key(
        "under_to",
        place_on_line,
        '["12 mm", "340 mm"]',
        "where it ends",
        label="and ends at",
        hint="A corner; across, down; or a name",
        default="the end of the line",
        field="under_ends",
    ),
    Key(
        "under_via",
        place_on_line,
        '["20 mm", "180 mm"]',
        "a place that it passes",
        label="by way of",
        hint="Where a closed line could be gone round either way",
        default="the shorter way round",
    ),
    Key(
        "match",
        matches,
        '[["over-notch", "under-notch"]]',
        "of pieces drawn apart: places that are sewn level with each other, the over lap's first; the ends always are",
        label="Sewn level with each other",
        hint="A line for each: over lap's notch, under lap's notch",
        default="the ends alone",
    ),
    Key(
        "cloth",
        choice("left", "right", "above", "below"),
        '"left"',
        "on which side of the edge, as drawn, the over lap's cloth lies: needed where neither the opening nor a "
        "closed outline tells it",
        label="The cloth lies",
        hint="Left, right, above or below the edge as drawn",
        default="as the opening and the lap tell it",
        option="--cloth-lies",
        says="On which side of the edge as drawn the over lap's cloth lies: left, right, above, below.",
    ),
    Key(
        "shows",
        choice("over", "under"),
        '"under"',
        "the lap whose piece the drawing shows; of a pair one piece is enough",
        label="The drawing shows the piece of the",
        default='"over"',
    ),
)
"""Keys of `[edge]`."""

UNDER_ONLY_WITH = (
    ("under_lies", "under"),
    ("match", "under"),
    ("under_from", "under"),
    ("under_from", "under_to"),
    ("under_to", "under_from"),
    ("under_via", "under_from"),
)
"""Which of them need which other."""
