"""Setting chapters of words on pages: in columns, with no ruler and no square, a chapter after the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import FINE, Group, Item, line, moved
from closures.drawing.paper.blocks import TALLEST_WHOLE_MM, SetBlock, height_of, set_chapter, set_heading
from closures.drawing.paper.head import Head, head_of
from closures.drawing.paper.piece import numbered_items
from closures.drawing.paper.words import Chapter
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.paper.page import PageWords

MARGIN_MM = 12.0
COLUMN_GAP_MM = 8.0
_LEAST_COLUMN_MM = 78.0
_TWO_COLUMNS_MM = 300.0
_HEAD_GAP_MM = 4.0
_BELOW_TITLE_MM = 2.0
_LEAST_START_MM = 45.0
_GAPS = (1.0, 0.75, 0.5, 0.3)
"""How much of what is left free between blocks is kept: less where that saves a sheet."""
_CLOSE_LINES = (1.2, 1.12)
"""From line to line, as shares of the em, where that saves a sheet: letters are never smaller for it."""
_WHOLES_MM = (TALLEST_WHOLE_MM, TALLEST_WHOLE_MM / 3.0, 0.0)
"""How tall a part may be that is kept in one column: less where that saves a sheet."""
_TABLE = 5
"""A table that goes on elsewhere, or a picture that stands there without its words, is as bad as five paragraphs that
do: our own rule."""
_ROOMY = 2
"""How many more things may be parted so that a set need not be closer by a step; our own rule, from sets looked at."""
_TALLEST_BESIDE_MM = 130.0
"""A chapter of less than half a page reads well in one column, with the next one beside it; our own rule."""
_TALLEST_ALONE_MM = 50.0
"""Below that, a chapter that stands alone is not worth two columns of some lines each; our own rule."""
_BETWEEN_CHAPTERS_MM = 3.0


@frozen
class WordPage:
    """A page of words.

    Attributes:
        items: what stands on it, from the paper's top left corner; numbers of sheets are still signs.
        titles: of the chapters that begin on it.
        parted: how often something goes on at the top of one of its columns, a table weighing more.
    """

    items: tuple[Item, ...]
    titles: tuple[str, ...]
    parted: int = 0


def word_pages(
    chapters: Sequence[Chapter], size_mm: tuple[float, float], words: PageWords, scale: TypeScale
) -> tuple[WordPage, ...]:
    """Set chapters on pages.

    Args:
        chapters: in order; one on its own sheet begins a new page and ends it.
        size_mm: width and height of the paper.
        words: what stands at the head of every page.
        scale: the sizes of lettering.
    """
    known: dict[tuple[int, bool], list[SetBlock]] = {}
    ways = [(k, _Setter(size_mm, words, scale, known, gaps, mm)) for k, gaps in enumerate(_GAPS) for mm in _WHOLES_MM]
    first = _set(chapters, ways[0][1])
    if len(first.pages) <= 1:
        return first.finished()
    told = [(first, 0), *((_set(chapters, setter), k) for k, setter in ways[1:])]
    # The fewest sheets; of those, what is parted least often, and roomy.
    best = min(told, key=lambda one: (len(one[0].pages), sum(one[0].parted) + _ROOMY * one[1]))[0]
    for line_em in _CLOSE_LINES:
        close = replace(scale, line=line_em)
        own: dict[tuple[int, bool], list[SetBlock]] = {}
        tight = [_set(chapters, _Setter(size_mm, words, close, own, _GAPS[-1], mm)) for mm in _WHOLES_MM]
        fewest = min(tight, key=lambda one: (len(one.pages), sum(one.parted)))
        if len(fewest.pages) < len(best.pages):
            return fewest.finished()
    return best.finished()


def _set(chapters: Sequence[Chapter], setter: _Setter) -> _Setter:
    beside: list[tuple[Chapter, list[SetBlock]]] = []
    for k, chapter in enumerate(chapters):
        short = setter.in_a_column(chapter)
        is_apart = chapter.own_sheet or (k > 0 and chapters[k - 1].own_sheet)
        if is_apart or short is None:
            setter.add_beside(beside)
            beside = []
        if is_apart:
            setter.new_page()
        if short is None:
            setter.add(chapter)
        else:
            beside.append((chapter, short))
    setter.add_beside(beside)
    return setter


def columns_of(width_mm: float, scale: TypeScale) -> tuple[int, float]:
    """How many columns of words a page of a width has, and how wide one is, in mm."""
    # Larger letters want wider columns; but tables, lists and maps in one column would leave half of a sheet white.
    least = _LEAST_COLUMN_MM if width_mm < _TWO_COLUMNS_MM else _LEAST_COLUMN_MM * max(1.0, scale.grown)
    most = 2 if width_mm < _TWO_COLUMNS_MM else 8
    room = width_mm - 2 * MARGIN_MM
    count = max(1, min(most, int((room + COLUMN_GAP_MM) / (least + COLUMN_GAP_MM))))
    return count, (room - COLUMN_GAP_MM * (count - 1)) / count


@dataclass
class _Setter:
    """Pages in the making."""

    size: tuple[float, float]
    words: PageWords
    scale: TypeScale
    known: dict[tuple[int, bool], list[SetBlock]]
    """Chapters that were set already, by identity and whether what is short stays whole."""
    gaps: float = 1.0
    whole_mm: float = TALLEST_WHOLE_MM
    pages: list[list[_Put]] = field(default_factory=list)
    """What stands on each, and where: of many ways to set it one is taken, and drawn."""
    titles: list[list[str]] = field(default_factory=list)
    parted: list[int] = field(default_factory=list)
    y: float = 0.0
    begun: float = 0.0
    """Where the words of the last page begin, below its head and the name of a chapter that goes on."""
    chapter: str = ""
    """The chapter that goes on where a page begins in the middle of it."""

    @property
    def room(self) -> float:
        """The width between the margins."""
        return self.size[0] - 2 * MARGIN_MM

    @property
    def column(self) -> tuple[int, float]:
        """How many columns, and how wide one is."""
        return columns_of(self.size[0], self.scale)

    @property
    def bottom(self) -> float:
        return self.size[1] - MARGIN_MM

    def new_page(self) -> None:
        """Begin a page, unless the last one is still empty."""
        if self.pages and self._is_fresh() and not self.titles[-1]:
            return
        self.pages.append([(self._head(), 0.0, 0.0)])
        self.titles.append([])
        self.parted.append(0)
        self.y = self._top(len(self.pages) == 1)
        if self.chapter:
            # Of a loose sheet its columns alone would not tell to what they belong.
            told = set_heading(f"{self.chapter} (continued)", self.room, 1.12 * self.scale.heading, True)
            self._put(told, MARGIN_MM, self.y)
            self.y += told.height_mm + _BELOW_TITLE_MM
        self.begun = self.y

    def _is_fresh(self) -> bool:
        """Whether nothing stands yet below the head of the last page."""
        return self.y <= self.begun + 1e-6

    def _head_on(self, is_first: bool) -> Head:
        return head_of(self.words.title, self._right("88", "88"), self.room, self.scale, is_first)

    def _right(self, sheet: str, count: str) -> str:
        run = f" · run {self.words.run}" if self.words.run else ""
        return f"sheet {sheet} of {count}{run}"

    def _top(self, is_first: bool) -> float:
        return MARGIN_MM + self._head_on(is_first).deep_mm + _HEAD_GAP_MM

    def _head(self) -> tuple[Item, ...]:
        head, x1 = self._head_on(not self.pages), self.size[0] - MARGIN_MM
        words = head.words((MARGIN_MM, MARGIN_MM), x1, self._right("\ue000", "\ue001"))
        y = MARGIN_MM + head.deep_mm
        rule = line((MARGIN_MM, y), (x1, y), pen=FINE)
        tag = "Artifact" if self.pages else "H1"
        return (Group("head", self.words.title, (*words, rule), tag=tag),)

    def add(self, chapter: Chapter) -> None:
        """Set a chapter after what stands already."""
        count, column = self.column
        blocks = self._blocks(chapter)
        title = set_heading(chapter.title, self.room, 1.12 * self.scale.heading, True, "H1") if chapter.title else None
        # A title stands on the sheet on which what it stands over begins.
        begins = (title.height_mm + _BELOW_TITLE_MM if title else 0.0) + height_of(
            self._groups(blocks)[0] if blocks else []
        )
        if not self.pages or self.bottom - self.y < max(_LEAST_START_MM, begins):
            self.new_page()
        if title:
            self._put(title, MARGIN_MM, self.y)
            self.y += title.height_mm + _BELOW_TITLE_MM
        self.chapter = chapter.title
        self.titles[-1].append(chapter.title)
        run: list[SetBlock] = []
        waiting: list[SetBlock] = []
        for block in blocks:
            if block.wide:
                self._flush(run, count, column)
                run = []
                waiting.append(block)
                if not self._stays(block):
                    self._put_wide(waiting)
                    waiting = []
            else:
                run.append(block)
        self._flush(run, count, column)
        self.y += _BETWEEN_CHAPTERS_MM
        self.chapter = ""

    def _blocks(self, chapter: Chapter) -> list[SetBlock]:
        """Set the parts of a chapter, as close as this way has them."""
        which = (id(chapter), self.whole_mm > 0.0)
        if which not in self.known:
            self.known[which] = set_chapter(chapter, self.column[1], self.room, self.scale, may_part=not which[1])
        return [replace(block, gap_mm=self.gaps * block.gap_mm) for block in self.known[which]]

    def _stays(self, block: SetBlock) -> bool:
        """Whether a block stays with the one after it."""
        return block.joined or (block.whole_mm is not None and block.whole_mm <= self.whole_mm)

    def in_a_column(self, chapter: Chapter) -> list[SetBlock] | None:
        """Set a short chapter to stand whole in one column, its title over it; None where it is not short."""
        count, column = self.column
        if not chapter.title or chapter.own_sheet or not self.whole_mm or count == 1:
            return None
        blocks = self._blocks(chapter)
        if any(block.wide for block in blocks):
            return None
        title = set_heading(chapter.title, column, 1.12 * self.scale.heading, False, "H1")
        blocks = [replace(title, title=chapter.title, gap_mm=_BELOW_TITLE_MM), *blocks]
        if height_of(blocks) > _TALLEST_BESIDE_MM:
            return None
        last = replace(blocks[-1], joined=False, gap_mm=blocks[-1].gap_mm + _BETWEEN_CHAPTERS_MM)
        return [*(replace(block, joined=True) for block in blocks[:-1]), last]

    def add_beside(self, chapters: Sequence[tuple[Chapter, Sequence[SetBlock]]]) -> None:
        """Set short chapters beside each other, each whole in one column; one alone only where it is very short."""
        if len(chapters) == 1 and height_of(chapters[0][1]) > _TALLEST_ALONE_MM:
            self.add(chapters[0][0])
        elif chapters:
            if not self.pages:
                self.new_page()
            self._flush([block for _, blocks in chapters for block in blocks], *self.column)

    def _put(self, block: SetBlock, x: float, y: float) -> None:
        self.pages[-1].append((block.items, x, y))

    def _put_wide(self, blocks: Sequence[SetBlock]) -> None:
        height = sum(block.height_mm + block.gap_mm for block in blocks) - blocks[-1].gap_mm
        if self.y + height > self.bottom + 0.01:
            self.new_page()
            blocks = (*_head_again(blocks), *blocks)
            self.parted[-1] += _weight(blocks[0], blocks[-1])
        for block in blocks:
            self._put(block, MARGIN_MM, self.y)
            self.y += block.height_mm + block.gap_mm

    def _flush(self, blocks: list[SetBlock], count: int, column: float) -> None:
        """Set blocks in columns, page after page, the last page's columns of like height."""
        left = self._groups(self._under_one_heading(blocks, count))
        while left:
            room = self.bottom - self.y
            is_top = self._is_fresh()
            taken, filled = _fill(left, count, room, is_top)
            if not taken:
                if not is_top:
                    self.new_page()
                    continue
                # One that is taller than a page is set all the same: it is never left out.
                taken, filled = 1, [[left[0]]]
            if taken == len(left):
                filled = _levelled(left, count, room, is_top) or filled
            lowest = self.y
            for k, stack in enumerate(filled):
                y = self.y
                first = stack[0]
                self.parted[-1] += _weight(first[0], first[-1])
                for group in stack:
                    for block in group:
                        if block.title:
                            self.titles[-1].append(block.title)
                        self._put(block, MARGIN_MM + k * (column + COLUMN_GAP_MM), y)
                        y += block.height_mm + block.gap_mm
                lowest = max(lowest, y)
            left = left[taken:]
            self.y = lowest
            if left:
                self.new_page()

    def _under_one_heading(self, blocks: list[SetBlock], count: int) -> list[SetBlock]:
        """Set the heading of a section that stands alone over all columns, where all of it finds room; give the rest.

        In columns of its own it would be said to be continued a few lines after it began.
        """
        told = blocks[1].continued if blocks[2:] and blocks[0].continued is None else None
        if told is None or any(block.continued is not told or block.again for block in blocks[1:]):
            return blocks
        rest = [replace(block, continued=None, whole_mm=None) for block in blocks[1:]]
        (heading,) = blocks[0].items
        lead = set_heading(heading.title, self.room, self.scale.heading, True)  # type: ignore[union-attr]
        groups, room = self._groups(rest), self.bottom - self.y - lead.height_mm - lead.gap_mm
        if len(groups) < 2 or _levelled(groups, count, room, False) is None:
            return blocks
        self._put(lead, MARGIN_MM, self.y)
        self.y += lead.height_mm + lead.gap_mm
        return rest

    def _groups(self, blocks: Sequence[SetBlock]) -> list[_GroupOf]:
        """Blocks that stay together, such as a heading with its first paragraph."""
        groups: list[_GroupOf] = []
        is_open = False
        for block in blocks:
            if is_open:
                groups[-1].append(block)
            else:
                groups.append([block])
            is_open = self._stays(block)
        return groups

    def finished(self) -> tuple[WordPage, ...]:
        """The pages."""
        return tuple(
            WordPage(tuple(moved(item, x, y) for items, x, y in put for item in items), tuple(titles), parted)
            for put, titles, parted in zip(self.pages, self.titles, self.parted, strict=True)
        )


_GroupOf = list[SetBlock]
_Put = tuple[tuple[Item, ...], float, float]


def _head_again(blocks: Sequence[SetBlock]) -> list[SetBlock]:
    """What stands again above blocks that a column begins with: their heading, as continued, and a table's head."""
    return [head for head in (blocks[0].continued, blocks[0].again) if head is not None]


def _weight(first: SetBlock, block: SetBlock) -> int:
    """How much it weighs that a column begins with this: nothing, unless it says again what the block there is of."""
    if all(first is not head for head in _head_again([block])):
        return 0
    return _TABLE if block.again is not None or any(one.tag == "Figure" for one in block.items) else 1  # type: ignore[union-attr]


def _fill(groups: Sequence[_GroupOf], count: int, room: float, is_top: bool) -> tuple[int, list[list[_GroupOf]]]:
    """Fill columns one after the other, of a page's top or below what stands there; how many groups found room."""
    columns: list[list[_GroupOf]] = [[]]
    y, taken = 0.0, 0
    for group in groups:
        again = _head_again(group) if not columns[-1] and (is_top or len(columns) > 1) else []
        height = height_of(group) + height_of(again)
        # What is left free below the last block needs no room.
        if y + height - group[-1].gap_mm > room:
            if len(columns) == count or height - group[-1].gap_mm > room:
                break
            columns.append([])
            y, again = 0.0, _head_again(group)
            height = height_of(group) + height_of(again)
        columns[-1].append([*again, *group])
        y += height
        taken += 1
    return taken, columns if taken else []


def _levelled(groups: Sequence[_GroupOf], count: int, room: float, is_top: bool) -> list[list[_GroupOf]] | None:
    """Fill columns to the least height at which all groups find room."""
    low, high = 0.0, room
    best = None
    for _ in range(24):
        middle = (low + high) / 2
        taken, columns = _fill(groups, count, middle, is_top)
        if taken == len(groups):
            best, high = columns, middle
        else:
            low = middle
    return best


def numbered_page(page: WordPage, sheet: int, count: int) -> tuple[Item, ...]:
    """The items of a page with its number in place."""
    return numbered_items(page.items, sheet, count)
