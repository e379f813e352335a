"""Sheets of paper at their limits, by hand: ``python tests/paper_limits.py [COUNT] [SEED]``, some seconds for each plan.

Three things are told. How many sheets the sets take for which the least was once found by hand. For small plans, how
many they take at the least: every cut on a grid, in every way to hold the page, every place in a corner. And for COUNT
random plans (300 if left out), whether the pages keep what `test_paper.py` asks of its own: nothing cut, nothing empty,
every strip named, marks read back through the rings.
"""

from __future__ import annotations

import itertools
import random
import sys
import traceback
from collections.abc import Iterator, Sequence
from functools import cache

import test_paper
import test_word_pages
from paper_sets import ODD, answer_of, laid

from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.registry import further_pieces
from closures.drawing.ink.extents import is_apart
from closures.drawing.ink.shapes import Box, Point
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.join_places import OVERLAP_MM
from closures.drawing.paper.packing import GAP_MM, fits
from closures.drawing.paper.page import PageFrame, PageWords, head_on, page_frames
from closures.drawing.paper.parts import Strip
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.sheets.drawing import long_pieces, subjects_of
from closures.errors import ClosureError

BY_HAND = {
    "shirt-front": 6, "curved-front": 6, "side-opening": 4, "duvet-foot": 12, "slant": 6, "long arc": 20, "big": 4,
}  # fmt: skip
_GRID_MM = 8.0
_CLEAR_MM = 8.0
_MOST_RATIO = 1.1


def frames_of(paper: str, title: str) -> tuple[PageFrame, ...]:
    """Every way to hold and divide a page."""
    chosen = load_catalogue().paper(paper)
    words = PageWords(title, chosen.name)
    sides = sorted((chosen.width_mm, chosen.height_mm or 0.0))
    return tuple(
        frame
        for width, height in (sides, sides[::-1])
        for frame in page_frames(width, height, head_on(words, width, USUAL_TYPE).deep_mm, USUAL_TYPE)
    )


def cuts_of(strip: Strip, most: int) -> Iterator[tuple[Point, ...]]:
    """The sizes of the parts, for every way to cut a strip on the grid into so many parts or fewer."""
    open_places = [
        place
        for k in range(1, int(strip.length_mm / _GRID_MM) + 1)
        if not any(
            thing.low_mm - _CLEAR_MM - OVERLAP_MM < (place := k * _GRID_MM) < thing.high_mm + _CLEAR_MM
            for thing in strip.things
        )
    ]
    for count in range(most):
        for cuts in itertools.combinations(open_places, count):
            ends = [0.0, *cuts, strip.length_mm]
            parts = [
                (low, high if high == strip.length_mm else high + OVERLAP_MM) for low, high in itertools.pairwise(ends)
            ]
            if all(strip.fits(*part) for part in parts):
                yield tuple(strip.size(*part) for part in parts)


def can_pack(sizes: Sequence[Point], frame: PageFrame, pages: int) -> bool:
    """Whether rectangles lie on so many pages: each is tried in every corner that others and the page make, turned or not."""
    taken = [(a, b, c + GAP_MM, d + GAP_MM) for a, b, c, d in frame.squares]
    x0, y0, x1, y1 = frame.body
    ordered = sorted(sizes, key=lambda size: -size[0] * size[1])

    def lay(k: int, on: list[list[Box]]) -> bool:
        if k == len(ordered):
            return True
        for boxes in on:
            xs = {x0, *(box[2] for box in (*boxes, *taken))}
            ys = {y0, *(box[3] for box in (*boxes, *taken))}
            for width, height in {ordered[k], ordered[k][::-1]}:
                for x, y in itertools.product(xs, ys):
                    box = (x, y, x + width + GAP_MM, y + height + GAP_MM)
                    if x + width > x1 + 1e-6 or y + height > y1 + 1e-6:
                        continue
                    if all(is_apart(box, other) for other in (*boxes, *taken)):
                        boxes.append(box)
                        if lay(k + 1, on):
                            return True
                        boxes.pop()
            if not boxes:
                break
        return False

    return lay(0, [[] for _ in range(pages)])


def least_of(name: str, paper: str, found: int, everything: bool = False) -> int:
    """The least number of sheets of both laps, or of all further pieces as well, as far as the grid shows.

    Nothing is left out, and every page is held one way and has squares.
    """
    answer = answer_of(name, everything=everything)
    further = further_pieces(Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets, answer.swap))
    further = [piece for piece in further if everything]
    short = [piece.size_mm for piece in further if isinstance(piece, Piece)]
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue, swap=answer.swap)
    for pages in range(1, found):
        for frame in frames_of(paper, answer.placement.plan.title):
            area = (frame.body[2] - frame.body[0]) * (frame.body[3] - frame.body[1]) - 2 * 50.0**2
            fits_page = cache(lambda size, f=frame: fits(size, f.body, f.squares, GAP_MM))
            longs = [*long_pieces(subjects, True), *(piece for piece in further if isinstance(piece, LongPiece))]
            strips = [long.strip_for(fits_page, 0.0) for long in longs]
            ways = [list(cuts_of(strip, pages + 1)) for strip in strips]
            for choice in itertools.product(*ways):
                sizes = [*short, *(size for parts in choice for size in parts)]
                if sum(w * h for w, h in sizes) <= pages * area and can_pack(sizes, frame, pages):
                    return pages
    return found


def random_plan(dice: random.Random, small: bool = False) -> dict[str, object]:
    """A plan in the words of `paper_sets`, that may well be one that is refused."""
    length = dice.uniform(120, 420) if small else dice.choice([dice.uniform(60, 400), dice.uniform(400, 2400)])
    bend = dice.uniform(-120, 120)
    points = ", ".join(
        f'["{bend * (k / 8) * (1 - k / 8) * 4 + dice.uniform(-2, 2):.1f} mm", "{length * k / 8:.1f} mm"]'
        for k in range(9)
    )
    kind, size, least = dice.choice([
        ("prong snap", "16 L", 17.0), ("prong snap", "14 L", 15.0), ("sew-through button", "18 L", 26.0),
        ("sew-through button", "36 L", 44.0), ("magnetic snap", "18 mm", 34.0), ("plastic snap", "20", 18.0),
    ])  # fmt: skip
    edge = dice.choice([
        f'straight = "{length:.1f} mm"', f"points = [{points}]",
        f'arc = {{ length = "{length:.1f} mm", radius = "{dice.uniform(0.5, 3) * length + 120:.1f} mm", bows = "{dice.choice(["in", "out"])}" }}',
    ])  # fmt: skip
    names = ["waist", "the fullest part of the bust, measured standing over all that is worn beneath", "hip"]
    more = "".join(
        f'[[anchor]]\nname = "{dice.choice(names)}"\nalong = "{length * dice.uniform(0.2, 0.8):.1f} mm"\nwithin = "200 mm"\n'
        for _ in range(dice.choice([0, 0, 1]))
    )
    # Zones that may lie on each other, and may well leave no row: then another plan is drawn.
    for name in dice.choice([(), (), ("belt",), ("belt", "pocket flap")]):
        low = dice.uniform(0.2, 0.7) * length
        more += f'[[clear]]\nname = "{name}"\nalong = ["{low:.1f} mm", "{low + dice.uniform(3, 30):.1f} mm"]\n'
    return {
        "edge": edge, "kind": kind, "size": size, "width": f"{dice.uniform(18, 60):.1f} mm",
        "closure": dice.choice(["", 'hole = "across"', 'hole = "along"']) if "button" in kind else "",
        "count": dice.randint(2, max(2, min(40, int(length / (least + 12))))), "first": "15 mm",
        "last": f"{dice.choice([15.0, 15.0, 0.4 * length]):.1f} mm", "more": more, "units": dice.choice(["mm", "in"]),
    }  # fmt: skip


def hold_words(name: str) -> None:
    """Ask that no page of words of a plan with every further sheet is empty, and nothing on it is cut."""
    made = booklet_of(answer_of(name, everything=True), load_catalogue().paper("a4"))
    pages = test_word_pages.word_sheets(made)
    test_word_pages.hold(pages, {made.covers - 1, len(pages) - 1}, name)


class Refusal(str):
    """Further pieces that no plan asked for are refused in words: no fault."""


def faults_of(name: str, further: bool = False, worded: bool = False) -> Iterator[str]:
    """What the pages of a plan do not keep, in usual and in large letters; with all further pieces, with all words.

    The laps of a plan that was placed must be laid. Further pieces may be refused, as where a band cannot be cut.
    """
    for paper in test_paper.PAPERS:
        try:
            is_broken = any(one.piece.breaks for one in laid(name, paper).laying.pieces)
        except ClosureError as refused:
            yield f"{name} on {paper}: {refused}"
            continue
        asked = [
            (test_paper.test_nothing_is_cut_and_no_page_is_empty, (name, paper)),
            (test_paper.test_nothing_is_cut_and_no_page_is_empty, (name, paper, True)),
            (test_paper.test_every_mark_stands_whole_on_exactly_one_piece, (name, paper)),
        ]
        if paper == "a4":
            asked += [
                (test_paper.test_words_of_a_piece_lie_on_no_other_words_and_on_no_mark, (name, False)),
                (test_paper.test_words_of_a_piece_lie_on_no_other_words_and_on_no_mark, (name, True)),
                (test_paper.test_no_letters_are_smaller_than_can_be_read, (name, False)),
                (test_paper.test_no_letters_are_smaller_than_can_be_read, (name, True)),
                (test_paper.test_every_strip_names_itself_its_face_its_edge_and_its_sheet, (name,)),
            ]
            if not is_broken:
                asked.append(
                    (test_paper.test_marks_read_back_through_the_rings_lie_where_the_report_says, (name, paper))
                )
            asked += [(test_paper.test_nothing_is_cut_and_no_page_is_empty, (name, paper, False, True))] * further
            asked += [(hold_words, (name,))] * worded
        for test, arguments in asked:
            is_further = test is hold_words or len(arguments) == 4
            try:
                test(*arguments)
            except (AssertionError, ClosureError) as found:
                told = f"{name} on {paper}: {test.__name__}: {traceback.format_exc(limit=-1).strip().splitlines()[-1]}"
                yield Refusal(told) if is_further and isinstance(found, ClosureError) else told


def told_of_random(count: int, seed: int) -> Iterator[str]:
    """Lay random plans, and tell what is wrong with them; how many were refused comes last."""
    dice = random.Random(seed)
    refused = further_refused = 0
    for k in range(count):
        name = f"random {seed}/{k}"
        ODD[name] = random_plan(dice)
        try:
            answer_of(name)
        except ClosureError:
            refused += 1
            continue
        # With every further sheet a set takes some ten times as long as the laps alone.
        for told in faults_of(name, further=k % 10 == 0, worded=k % 10 == 5):
            if isinstance(told, Refusal):
                further_refused += 1
            else:
                yield told
        laid.cache_clear()
        answer_of.cache_clear()
    further = f" With all further sheets: {further_refused} more." if further_refused else ""
    yield f"{count} random plans, {refused} of them refused before anything was laid.{further}"


def told_of_small(count: int, seed: int) -> Iterator[str]:
    """Hold small plans against the least number of sheets."""
    dice = random.Random(seed)
    over = held = 0
    while held < count:
        name = f"small {seed}/{held}"
        ODD[name] = random_plan(dice, small=True)
        try:
            found = laid(name).laying.pages
        except ClosureError:
            continue
        finally:
            laid.cache_clear()
            answer_of.cache_clear()
        held += 1
        least = least_of(name, "a4", found) if 1 < found <= 3 else 1
        if 1 < found <= 3 and found > _MOST_RATIO * least:
            over += 1
            yield f"{name}: {found} sheets, and {least} would do: {ODD[name]}"
    yield f"{count} small plans, {over} of them on more sheets than need be."


def main() -> None:
    """Tell all three."""
    count, seed = (
        (int(text) for text in (*sys.argv[1:], "300", "1")[:2]) if len(sys.argv) != 2 else (int(sys.argv[1]), 1)
    )
    for name, most in BY_HAND.items():
        pages = {paper: laid(name, paper).laying.pages for paper in test_paper.PAPERS}
        print(f"{name}: {pages['a4']} on A4, {pages['letter']} on Letter; by hand {most}", flush=True)
    for told in itertools.chain(told_of_small(max(1, count // 10), seed), told_of_random(count, seed)):
        print(told, flush=True)


if __name__ == "__main__":
    main()
