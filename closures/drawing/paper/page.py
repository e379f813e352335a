"""How a page of templates is divided: a rule across, a rule down, a head, two squares, and room for pieces.

Printers leave up to 10 mm along the paper's edge unprinted, so nothing needed stands there. The squares stand in a
corner, and no cut runs through them: what is left of a page still shows whether it was printed true.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import counts_kept_whole, fitted_size, wrapped
from closures.drawing.ink.shapes import FINE, LINE, Box, Group, Item, Point, Weight, Words, line, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.gauges import INCH_MM, RULE_FIGURE_MM, SQUARE_MM, rule_across, rule_deep_mm, rule_down
from closures.drawing.paper.head import Head, head_of
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale

_Row = tuple[str, float, Weight]
EDGE_MM = 10.0
LEAST_RULE_MM = 150.0
_LONGEST_RULE_MM = 500.0
_RULE_END_MM = 7.0
_GAP_MM = 1.5
SQUARES_GAP_MM = 3.0
TWO_INCHES_MM = 2 * INCH_MM
_INSET_MM = 2.6
_LEAD = 1.3
_MOST_ROWS = 7
# From row to row in a square, as shares of the letters: as usual, and where they are many or large.
_LEADINGS = (1.26, 1.2, 1.14)
# The figure of a square stands out from the words under it by this at the least.
_LEAST_FIGURE = 1.3
_WHITE_MM = 3.0


@frozen
class PageFrame:
    """A page of paper and what goes where on it, in mm from its top left corner.

    Attributes:
        width_mm, height_mm: the paper.
        zero: where both rules begin.
        across_mm, down_mm: their lengths.
        head: the strip for the title.
        body: the room for pieces, the squares among it.
        square_50_at, square_2_in_at: the top left corners of the squares.
        has_squares: whether they stand there; where not, the rules are measured.
    """

    width_mm: float
    height_mm: float
    zero: Point
    across_mm: float
    down_mm: float
    head: Box
    body: Box
    square_50_at: Point
    square_2_in_at: Point
    has_squares: bool = True

    @property
    def squares(self) -> tuple[Box, ...]:
        """The room that the squares take."""
        if not self.has_squares:
            return ()
        (ax, ay), (bx, by) = self.square_50_at, self.square_2_in_at
        return (
            (ax, ay, ax + SQUARE_MM, ay + SQUARE_MM),
            (bx, by, bx + TWO_INCHES_MM, by + TWO_INCHES_MM),
        )


@frozen
class PageWords:
    """What stands on every page of a set.

    Attributes:
        title: the plan's, with the size or sizes where there are several.
        paper: the name of the paper that the page is for.
        run: the run mark, empty where there is none.
        failures: failed checks in words, empty where none failed.
        note: what else every page says, such as that it is stretched for one printer.
    """

    title: str
    paper: str
    run: str = ""
    failures: str = ""
    note: str = ""


def papers_in_words(paper: str, of_words: str) -> str:
    """Say what is printed on which paper: "all sheets on A4", or the templates and the words apart."""
    return f"all sheets on {paper}" if paper == of_words else f"templates on {paper} and words on {of_words}, all"


def head_on(words: PageWords, width_mm: float, scale: TypeScale) -> Head:
    """Set the title on a page of templates so wide."""
    return head_of(words.title, _right_words(words, "88", "88"), width_mm - EDGE_MM - _zero_mm(scale), scale)


def _rule_figure_mm(scale: TypeScale) -> float:
    return RULE_FIGURE_MM * scale.grown


def _zero_mm(scale: TypeScale) -> float:
    """Where both rules begin, from the paper's corner: larger figures want deeper strips."""
    return EDGE_MM + rule_deep_mm(_rule_figure_mm(scale)) + _GAP_MM


def _right_words(words: PageWords, sheet: str, count: str) -> str:
    run = f" · run {words.run}" if words.run else ""
    return f"sheet {sheet} of {count} · for {words.paper}{run}"


def page_frames(width_mm: float, height_mm: float, head_mm: float, scale: TypeScale) -> tuple[PageFrame, ...]:
    """Divide a page below a head so deep, its squares beside each other at the bottom, or one below the other."""
    zero = _zero_mm(scale)
    right, bottom = width_mm - EDGE_MM, height_mm - EDGE_MM
    head = (zero, zero, right, zero + 1.0 + head_mm)
    body = (zero, head[3] + _GAP_MM, right, bottom)
    across, down = _rule_length(right - zero, scale), _rule_length(bottom - zero, scale)
    shelf = ((zero, bottom - TWO_INCHES_MM), (zero + SQUARE_MM + SQUARES_GAP_MM, bottom - TWO_INCHES_MM))
    side = right - TWO_INCHES_MM
    column = ((side, bottom - TWO_INCHES_MM - SQUARES_GAP_MM - SQUARE_MM), (side, bottom - TWO_INCHES_MM))
    return tuple(
        PageFrame(width_mm, height_mm, (zero, zero), across, down, head, body, first, second)
        for first, second in (shelf, column)
        if first[1] >= body[1] and first[0] >= body[0]
    )


def squares_on_top(frame: PageFrame) -> tuple[PageFrame, ...]:
    """The same page, its squares in the top right corner, beside each other and one below the other.

    What is cut off a roll as long as need be is no longer for its squares where there is room beside what lies on it.
    """
    right, top = frame.body[2], frame.body[1]
    side = right - TWO_INCHES_MM
    beside = ((side - SQUARES_GAP_MM - SQUARE_MM, top), (side, top))
    below = ((side, top), (side, top + SQUARE_MM + SQUARES_GAP_MM))
    return tuple(
        replace(frame, square_50_at=first, square_2_in_at=second)
        for first, second in (beside, below)
        if first[0] >= frame.body[0]
    )


def page_without_squares(width_mm: float, height_mm: float, words: PageWords, scale: TypeScale) -> PageFrame | None:
    """Divide a page for a piece that leaves no room for squares; None where its rules are too short to measure."""
    zero = _zero_mm(scale)
    right, bottom = width_mm - EDGE_MM, height_mm - EDGE_MM
    across, down = _rule_length(right - zero, scale), _rule_length(bottom - zero, scale)
    if min(across, down) < LEAST_RULE_MM:
        return None
    told = wrapped(_of_rules(across, down, words), scale.text, right - zero, "semibold")
    low = zero + 1.0 + head_on(words, width_mm, scale).deep_mm + _LEAD * scale.text * len(told)
    body, nowhere = (zero, low + _GAP_MM, right, bottom), (zero, low)
    head = (zero, zero, right, low)
    return PageFrame(width_mm, height_mm, (zero, zero), across, down, head, body, nowhere, nowhere, has_squares=False)


def _of_rules(across_mm: float, down_mm: float, words: PageWords) -> str:
    """What is measured on a page without squares, and what else they would tell."""
    failed = f"CHECK FAILED: {words.failures}. See the cover. " if words.failures else ""
    return (
        f"{failed}No squares stand here: this sheet is void unless its rules measure {across_mm:.0f} mm across "
        f"and {down_mm:.0f} mm down, from 0. {_advice(words)}"
    )


def _rule_length(room_mm: float, scale: TypeScale) -> float:
    """The whole centimetres that fit, with room for the name of the unit at the end."""
    return max(0.0, min(_LONGEST_RULE_MM, 10.0 * int((room_mm - _RULE_END_MM * scale.grown) / 10.0)))


def furniture(
    frame: PageFrame, words: PageWords, sheet: int, count: int, shows: str, pieces: int, scale: TypeScale
) -> tuple[Item, ...]:
    """Draw what every page carries round its pieces.

    Args:
        frame: the page.
        words: what stands on every page.
        sheet, count: which page of how many.
        shows: what lies on this page, in words.
        pieces: how many lie there.
        scale: the sizes of lettering.
    """
    x0, y0, x1, y1 = frame.head
    head_set = head_on(words, frame.width_mm, scale)
    right = _right_words(words, str(sheet), str(count))
    items: list[Item] = [*head_set.words((x0, y0), x1, right), line((x0, y1), (x1, y1), pen=FINE)]
    if not frame.has_squares:
        y = y0 + head_set.deep_mm - 0.6
        rows = wrapped(_of_rules(frame.across_mm, frame.down_mm, words), scale.text, x1 - x0, "semibold")
        told = tuple(
            Words(x0, y + _LEAD * scale.text * (k + 0.9), row, scale.text, "start", 0.0, "semibold")
            for k, row in enumerate(rows)
        )
        head = Group("head", f"{words.title}, sheet {sheet} of {count}: {shows}", tuple(items), tag="H1")
        return (head, Group("rules-to-measure", "rules to measure", told, tag="P"))
    squares = (*_square_50(frame, words, scale), *_square_2_in(frame, words, shows, pieces, scale))
    head = Group("head", f"{words.title}, sheet {sheet} of {count}: {shows}", tuple(items), tag="H1")
    return (head, Group("squares", "squares to measure", squares, tag="Artifact"))


def rules_of(frame: PageFrame, scale: TypeScale) -> tuple[Item, ...]:
    """Draw both rules."""
    figure = _rule_figure_mm(scale)
    across = rule_across(frame.zero, frame.across_mm, figure, _GAP_MM)
    return (across, rule_down(frame.zero, frame.down_mm, reads_down=True, figure_mm=figure, gap_mm=_GAP_MM))


def _square_50(frame: PageFrame, words: PageWords, scale: TypeScale) -> list[Item]:
    x, y = frame.square_50_at
    box = rectangle((x, y, x + SQUARE_MM, y + SQUARE_MM), LINE)
    rows: list[_Row] = [
        ("50 mm", 2.1 * scale.text, "bold"),
        *(
            (row, scale.text, "bold")
            for row in wrapped("void unless this square measures 50 mm", scale.text, 44.0, "bold")
        ),
    ]
    rows += _told(_advice(words), rows, SQUARE_MM, scale)
    return [Group("square-50-mm", "50 mm square", (box, *_stacked(rows, x, y, SQUARE_MM)))]


def _advice(words: PageWords) -> str:
    if words.note:
        return words.note
    return f"Print on {words.paper} at 100 %, nothing fitted to the page."


def _square_2_in(frame: PageFrame, words: PageWords, shows: str, pieces: int, scale: TypeScale) -> list[Item]:
    x, y = frame.square_2_in_at
    side = TWO_INCHES_MM
    box = rectangle((x, y, x + side, y + side), LINE)
    rows: list[_Row] = [("2 in", 1.6 * scale.text, "bold")]
    rows += [
        (row, scale.text, "bold") for row in wrapped("void unless this square measures 2 in", scale.text, 45.0, "bold")
    ]
    if words.failures:
        failed = _told(f"CHECK FAILED: {words.failures}. See the cover.", rows, side, scale, "bold")
        if _least_mm([*rows, *failed]) > side - _WHITE_MM:
            # Smaller letters could not be read: of a garment with many openings the cover alone has room for all.
            failed = _told("CHECK FAILED in several places: the cover names them.", rows, side, scale, "bold")
        return [Group("square-2-in", "2 in square", (box, *_stacked([*rows, *failed], x, y, side)))]
    ways: list[list[_Row]] = [
        [(row, scale.text, "regular") for row in wrapped(text, scale.text, 45.0)]
        for text in (counts_kept_whole(shows), shows)
    ]
    fitting = [way for way in ways if len(way) <= _MOST_ROWS and _least_mm([*rows, *way]) <= side - _WHITE_MM]
    # Smaller letters could not be read.
    told = fitting[0] if fitting else _told(f"{pieces} pieces; the cover lists them", rows, side, scale)
    return [Group("square-2-in", "2 in square", (box, *_stacked([*rows, *told], x, y, side)))]


def _told(text: str, above: Sequence[_Row], side: float, scale: TypeScale, weight: Weight = "regular") -> list[_Row]:
    """Rows for the room that others leave in a square, set smaller where they must be, so that those need not."""
    least = min(scale.figure, USUAL_TYPE.text)
    sizes = [scale.text - 0.1 * k for k in range(int((scale.text - least) / 0.1) + 1)]
    ways: list[list[_Row]] = [[(row, size, weight) for row in wrapped(text, size, 44.0, weight)] for size in sizes]
    return next((way for way in ways if _least_mm([*above, *way]) <= side - _WHITE_MM), ways[-1])


def _least_mm(rows: Sequence[_Row]) -> float:
    """How high rows stand at the closest, the first of them, the figure, at its smallest."""
    rest = [size for _, size, _ in rows[1:]]
    return _LEADINGS[-1] * (_LEAST_FIGURE * rest[0] + sum(rest))


def _stacked(rows: Sequence[_Row], x: float, y: float, side: float) -> list[Item]:
    """Centre rows in a square, the figure first; where they would not fit it is set smaller, then all stand closer."""
    (figure, figure_mm, weight), *rest = rows
    room, rest_mm = side - _WHITE_MM, sum(size for _, size, _ in rest)
    leading = next((one for one in _LEADINGS if one * (rest_mm + _LEAST_FIGURE * rest[0][1]) <= room), _LEADINGS[-1])
    figure_mm = min(figure_mm, max(_LEAST_FIGURE * rest[0][1], room / leading - rest_mm))
    rows = [(figure, figure_mm, weight), *rest]
    height = leading * (figure_mm + rest_mm)
    shrink = min(1.0, room / height)
    base = y + (side - shrink * height) / 2
    items: list[Item] = []
    for text, size, weight in rows:
        set_size = fitted_size(text, shrink * size, side - _INSET_MM, weight)
        base += leading * shrink * size
        items.append(Words(x + side / 2, base - 0.36 * shrink * size, text, set_size, "middle", 0.0, weight))
    return items
