"""Tags with numbers that pair on both laps, to cut apart and pin on."""

from __future__ import annotations

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.lettering import fitted_size
from closures.drawing.ink.shapes import INK, Group, Item, Pen, Words, rectangle
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section
from closures.jobs.table.counting import closing_scheme

_TAG_MM = (14.0, 15.0)
_GAP_MM = 2.0
_ACROSS = 8


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    """Draw a black tag for the over lap and a white one for the under lap beside it, for every number."""
    scheme = closing_scheme(drawn.placement)
    labels = () if scheme is None else scheme.labels
    groups = [labels[k : k + _ACROSS] for k in range(0, len(labels), _ACROSS)]
    return tuple(_row(group, drawn.type.figure, drawn.run.removeprefix("run ")) for group in groups)


def _row(labels: tuple[str, ...], size: float, run: str) -> Piece:
    wide, high = _TAG_MM
    items: list[Item] = []
    for i, label in enumerate(labels):
        x = i * (wide + _GAP_MM)
        for j, (pen, grey, lap) in enumerate(((INK, 1.0, "over"), (Pen(0.5, fill=1.0), 0.0, "under"))):
            top = j * (high + _GAP_MM)
            box = rectangle((x, top, x + wide, top + high), pen)
            number = Words(x + wide / 2, top + 6.6, label, 7.0, "middle", 0.0, "bold", grey)
            name = Words(x + wide / 2, top + 10.6, lap, min(size, 4.6), "middle", 0.0, "semibold", grey)
            mark = Words(
                x + wide / 2, top + 13.8, run, fitted_size(run, size, wide - 1.0), "middle", 0.0, "regular", grey
            )
            items.append(Group(f"tag-{lap}-{label}", f"number {label}, {lap} lap", (box, number, name, mark)))
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
)
