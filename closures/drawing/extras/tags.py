"""Tags with numbers that pair on both laps, to cut apart and pin on."""

from __future__ import annotations

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.lettering import fitted_size, width_of, wrapped
from closures.drawing.ink.shapes import INK, Group, Item, Pen, Words, rectangle
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section
from closures.jobs.table.counting import closing_scheme

_WIDTH_MM = 14.0
_GAP_MM = 2.0
_LEAD = 1.2
_NUMBER_MM = 6.6
"""From the top of a tag to the foot of its number."""
_BELOW_MM = 1.2
_ROW_MM = 126.0
"""How wide a row of tags may be: it fits on every paper, either way up."""


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw a black tag for the over lap and a white one for the under lap beside it, for every number."""
    scheme = closing_scheme(drawn.placement)
    labels = () if scheme is None else scheme.labels
    run, size = drawn.run.removeprefix("run "), drawn.type.figure
    wide = max(_WIDTH_MM, width_of(run, size) + 1.0)
    across = int((_ROW_MM + _GAP_MM) / (wide + _GAP_MM))
    groups = [labels[k : k + across] for k in range(0, len(labels), across)]
    rows = wrapped(drawn.opening, size, wide - 1.0) if drawn.opening else ()
    return tuple(_row(group, size, wide, (run, *rows)) for group in groups)


def _row(labels: tuple[str, ...], size: float, wide: float, told: tuple[str, ...]) -> Piece:
    # Large letters take their own room, one row below the other.
    named = _NUMBER_MM + max(4.0, _LEAD * size)
    first = named + max(3.2, 1.04 * size)
    high = first + _LEAD * size * (len(told) - 1) + _BELOW_MM
    items: list[Item] = []
    for i, label in enumerate(labels):
        x = i * (wide + _GAP_MM)
        for j, (pen, grey, lap) in enumerate(((INK, 1.0, "over"), (Pen(0.5, fill=1.0), 0.0, "under"))):
            top = j * (high + _GAP_MM)
            box = rectangle((x, top, x + wide, top + high), pen)
            number = Words(x + wide / 2, top + _NUMBER_MM, label, 7.0, "middle", 0.0, "bold", grey)
            name = Words(x + wide / 2, top + named, lap, min(size, 4.6), "middle", 0.0, "semibold", grey)
            rows = [
                Words(
                    x + wide / 2,
                    top + first + _LEAD * size * k,
                    row,
                    fitted_size(row, size, wide - 1.0),
                    "middle",
                    0.0,
                    "regular",
                    grey,
                )
                for k, row in enumerate(told)
            ]
            items.append(Group(f"tag-{lap}-{label}", f"number {label}, {lap} lap", (box, number, name, *rows)))
    called = f"tags {labels[0]} to {labels[-1]}" if len(labels) > 1 else f"tag {labels[0]}"
    return piece_of(called, items, f"{called.capitalize()}: black for the over lap, white for the under lap.")


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    scheme = closing_scheme(drawn.placement)
    if scheme is None or scheme.name != "numbers":
        return ()
    return (Chapter("Closing without counting", (Section("", scheme.lines),)),)


EXTRA = Extra(
    "numbers",
    "numbers that pair on both laps",
    60,
    *switched("closing", "numbers"),
    pieces=_pieces,
    chapters=_chapters,
    for_closing=True,
)
