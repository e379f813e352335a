"""What a sheet says in words, and what is known of a drawing besides its shapes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Path, Pen, Point


@frozen
class Orientation:
    """Which way the first end and the edge lie at one place of the closing line.

    Attributes:
        at: the place.
        to_first_end, to_edge: unit directions.
        mark: the number of the mark there, 0 where there is none.
    """

    at: Point
    to_first_end: Point
    to_edge: Point
    mark: int


@frozen
class KeepClear:
    """A mark: its number, centre, and centre to rim in mm.

    Where the number alone does not tell which mark is meant, `name` does.
    """

    n: int
    x: float
    y: float
    rim_mm: float
    name: str = ""


@frozen
class LapDrawing:
    """A lap as it is seen.

    `cut_off` is what stands outside a strap's finished edge and must outlast the cutting; `untold` are the numbers of
    the marks beside which there was no room for how far they lie from its tip.
    """

    items: tuple[Item, ...]
    edge: Path
    keep_clear: tuple[KeepClear, ...]
    orientations: tuple[Orientation, ...]
    cut_off: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()


@frozen
class SheetText:
    """What every page of a lap says in words.

    Attributes:
        title: the plan's.
        closure: kind, size and how many.
        lap_words: which lap, whose side, which face is up.
        check: the check distances of the taped set, a line each.
        failures: failed checks in words, empty where none failed.
        signs: the names of the signs that the drawing uses, for its key.
        ways: what the two sides of the corner point to, the end first.
        blocks: further headings, each with the lines under it.
        samples: the line of every size, and the size's name, where the drawing shows several.
        run: the run mark, empty where there is none.
        sign_words: what the key says of signs whose meaning the work decides, in place of its own words.
        grown: how much larger than usual its letters are.
        reasons: the failed checks with how far each is off, told where they find the room.
    """

    title: str
    closure: str
    lap_words: str
    check: tuple[str, ...]
    failures: str
    signs: tuple[str, ...]
    ways: tuple[str, str] = ("first end", "finished edge")
    blocks: tuple[tuple[str, tuple[str, ...]], ...] = ()
    samples: tuple[tuple[Pen, str], ...] = ()
    sign_words: tuple[tuple[str, str], ...] = ()
    run: str = ""
    grown: float = 1.0
    reasons: str = ""
