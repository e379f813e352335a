"""How words beside a strip stand to each other on its pieces: in the order of reading, together, and close to it."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import permutations

import pytest
from paper_sets import ODD, STARTING, laid, words_on

from closures.drawing.ink.extents import box_of, pieces_of
from closures.drawing.ink.figures import lettered_along
from closures.drawing.paper.piece import Piece
from closures.drawing.sheets.lettered import Lettered, in_rows_within, is_read_on

SHORT = {"edge": 'straight = "60 mm"', "count": 2, "first": "12 mm", "last": "12 mm"}
FLAP = SHORT | {"kind": "sew-on snap", "size": "1", "width": "14 mm"}
WRAP = {
    "edge": 'points = [["0 mm", "0 mm"], ["120 mm", "60 mm"], ["260 mm", "160 mm"], ["380 mm", "300 mm"], ["430 mm", "460 mm"]]',
    "width": "35 mm", "kind": "post snap", "size": "20 L", "last": "160 mm",
    "more": "\n".join(
        f'[[clear]]\nname = "{name}"\nalong = ["{low} mm", "{high} mm"]'
        for name, low, high in (("waist seam allowance", 300, 312), ("sash", 306, 335))
    ),
}  # fmt: skip
_NAME, _FACE = re.compile(r"LAP( \d+ of \d+)?$"), re.compile(r"\w+ face up$")
_SHEET, _RUN = re.compile(r"sheet \S+ of \S+$"), re.compile(r"run \S+$")
# More white than this right across a piece is paper that no word is worth; our own rule.
_MOST_WHITE_MM = 20.0


@pytest.fixture(autouse=True)
def _odd_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(ODD, "flap", FLAP)
    monkeypatch.setitem(ODD, "wrap", WRAP)


def pieces_of_set(name: str, large: bool, paper: str = "a4") -> list[Piece]:
    return [one.piece for one in laid(name, paper, large).laying.pieces if one.piece.lap and one.piece.along_mm]


@pytest.mark.in_turn(12)
@pytest.mark.parametrize("large", [True, False])
@pytest.mark.parametrize("name", [*STARTING, "flap", "zones", "short ends"])
def test_face_is_read_on_from_the_name_of_its_lap(name: str, large: bool) -> None:
    for piece in pieces_of_set(name, large):
        words = words_on(piece.items)
        for before, after in ((_NAME, _FACE), (_SHEET, _RUN)):
            firsts = [one for one in words if before.search(one.text)]
            for one in words:
                if after.fullmatch(one.text) and not piece.ends_apart and (firsts or after is _FACE):
                    assert any(is_read_on(first, one) for first in firsts), f"{piece.name}: {one.text}"


def test_rows_that_a_saying_is_broken_into_part_neither_the_name_of_a_lap_nor_a_count() -> None:
    """What reads finished pages finds the marks of a lap by its name in one row: of a short cuff it found none."""
    row = Lettered("Tarn cuffs, OVER END 2 of 3 · outside face up", 4.0, "bold")
    for width in range(5, 80, 5):
        lines = in_rows_within(row, width).lines
        assert " ".join(lines) == row.text.replace(" · ", " ")
        assert sum("OVER END" in line for line in lines) == sum("2 of 3" in line for line in lines) == 1
    assert len(in_rows_within(row, 40.0).lines) > 2


def test_words_wider_than_a_short_part_stand_in_rows_within_its_deep_band() -> None:
    """Facings 190 mm deep, parts 72 mm long: in large letters each saying stood below the piece, too deep for a page."""
    templates = laid("double-breasted", "letter", large=True, everything=True, in_full=True)
    bands = [one.piece for one in templates.laying.pieces if one.piece.name.startswith(("band", "facing"))]
    assert bands
    for piece in bands:
        # The facing, its allowance of 10 mm on either side, and the ends of its lines where it is broken off.
        assert max(piece.size_mm) < 190.0 + 2 * 10.0 + 12.0, piece.name


def white_across(piece: Piece) -> float:
    """How deep the deepest band without any ink is that goes right across a piece, in either direction."""
    deepest = 0.0
    for low, high in ((0, 2), (1, 3)):
        reached = 0.0
        for start, end in sorted((box[low], box[high]) for box in pieces_of(piece.items)):
            deepest, reached = max(deepest, start - reached), max(reached, end)
    return deepest


@pytest.mark.parametrize("name", ["flap", "hidden-button", "sixty", "side-opening"])
def test_no_word_stands_far_off_its_strip_in_large_letters(name: str) -> None:
    assert max(map(white_across, pieces_of_set(name, True))) <= _MOST_WHITE_MM


def test_names_of_overlapping_zones_are_not_read_on_from_each_other() -> None:
    for piece in pieces_of_set("wrap", True):
        words = [one for one in words_on(piece.items) if re.search(r"keep clear|allowance|\d mm to \d", one.text)]
        for one, other in permutations(words, 2):
            (_, top, right, low), (left, upper, _, lower) = box_of(one), box_of(other)
            if min(low, lower) > max(top, upper) and left >= box_of(one)[0] + 1.0:
                assert left - right >= 0.6 * one.size_mm, f"{piece.name}: {one.text} {other.text}"


def test_words_are_read_on_under_or_beside_those_before_and_nowhere_else() -> None:
    name = lettered_along("OVER LAP", (0.0, 0.0), (1.0, 0.0), 4.0, "bold")
    face = lettered_along("outside face up", (0.0, 5.0), (1.0, 0.0), 4.0, "bold")
    assert is_read_on(name, face)
    assert not is_read_on(face, name) and not is_read_on(name, replace(face, y=face.y + 8.0))
    assert not is_read_on(name, replace(face, angle_deg=90.0))
    right, left = box_of(name)[2], box_of(face)[0]
    assert is_read_on(name, replace(face, y=name.y, x=right - left + 2.0))
    assert not is_read_on(name, replace(face, y=name.y, x=right - left + 20.0))
