"""What the plan says of where either lap's cloth lies beside the edge, and of the under lap's own edge."""

from closures.plan.kinds import choice, in_drawing
from closures.plan.place import matches
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
