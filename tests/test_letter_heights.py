"""No letters that are printed are too small to be read: measured on the outlines of all that is written, file by file."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import replace
from pathlib import Path

import pytest
from paper_sets import STARTING, TEMPLATES, groups, words_on

import closures.drawing.extras
import closures.drawing.write.pdf
import closures.drawing.write.svg
from closures.app.job import load_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.app.whole import garment_files, work_garment
from closures.drawing.extras.marker_sheet import marker_page
from closures.drawing.extras.registry import asked_for
from closures.drawing.ink.lettering import EM, LEAST_CAP_HEIGHT, LEAST_FIGURE_HEIGHT, glyph
from closures.drawing.ink.shapes import Item, Words
from closures.drawing.ink.type_scale import INSTRUCTION_CAPITALS_MM, LEAST_CAPITALS_MM, type_scale
from closures.plan.plan import Plan
from closures.plan.sheets import SheetsWish

CAPITALS_MM, INSTRUCTIONS_MM, FIGURES_OF_RULERS_MM = 2.0, 2.4, 1.6
WEIGHTS = ("regular", "semibold", "bold")
FOLDERS = sorted(one.name for one in TEMPLATES.iterdir() if one.is_dir())
OF_SIZES = [name for name in FOLDERS if (TEMPLATES / name / "plan.toml").is_file() and name not in STARTING]
OF_GARMENTS = [name for name in FOLDERS if (TEMPLATES / name / "garment.toml").is_file()]


def height_of(words: Words, letters: str = "HEFT") -> float:
    """How high flat letters are drawn among these words, whatever they say, in mm."""
    return min(glyph(letter, words.weight).box[3] for letter in letters) / EM * words.size_mm


class Written:
    """What was written: the words of every page and file, those of rulers apart."""

    def __init__(self) -> None:
        self.words: list[Words] = []
        self.of_rulers: list[Words] = []

    def take(self, items: tuple[Item, ...]) -> None:
        ruled = [one for one in groups(items) if one.id in ("rule-across", "rule-down")]
        own = {id(words) for one in ruled for words in words_on(one.items)}
        for words in words_on(items):
            (self.of_rulers if id(words) in own else self.words).append(words)


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> Written:
    """Look over the shoulder of both writers, wherever they are called from."""
    seen = Written()
    pages, shapes = closures.drawing.write.pdf.write_pages, closures.drawing.write.svg.write_shapes

    def seen_pages(printed, *rest, **more):
        for page in printed:
            seen.take((*page.rules, *page.items))
        return pages(printed, *rest, **more)

    def seen_shapes(title, width_mm, height_mm, items, *rest, **more):
        seen.take(tuple(items))
        return shapes(title, width_mm, height_mm, items, *rest, **more)

    modules = [closures.drawing.write.pdf, closures.drawing.write.svg]
    path = closures.drawing.extras.__path__
    modules += [importlib.import_module(f"closures.drawing.extras.{one.name}") for one in pkgutil.iter_modules(path)]
    for module in modules:
        for name, instead in (("write_pages", seen_pages), ("write_shapes", seen_shapes)):
            if hasattr(module, name):
                monkeypatch.setattr(module, name, instead)
    return seen


def require_readable(seen: Written, by: float = 1.0) -> None:
    small = {words.text: round(height_of(words), 3) for words in seen.words if height_of(words) < by * CAPITALS_MM}
    assert small == {}
    figures = {words.text: round(height_of(words, "1457"), 3) for words in seen.of_rulers}
    assert {text: high for text, high in figures.items() if high < by * FIGURES_OF_RULERS_MM} == {}
    assert len(seen.words) > 100 and len(seen.of_rulers) > 20


def as_large(plan: Plan) -> Plan:
    return replace(plan, sheets=replace(plan.sheets or SheetsWish(), large=True))


def files_of(path: Path, large: bool, paper: str) -> None:
    plan = as_large(load_plan(path)) if large else load_plan(path)
    if plan.sizes is None:
        result_files(place_plan(asked_for(plan, ["all"]), path), paper)
    else:
        size_files(place_sizes(plan, path), paper)


@pytest.mark.in_turn(12)
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("large", [False, True], ids=["usual", "large"])
@pytest.mark.parametrize("name", [*STARTING, *OF_SIZES])
def test_no_letters_of_a_starting_plan_with_all_its_sheets_are_too_small(
    name: str, large: bool, paper: str, written: Written
) -> None:
    files_of(TEMPLATES / name / "plan.toml", large, paper)
    require_readable(written, 1.5 if large else 1.0)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", OF_GARMENTS)
def test_no_letters_of_a_garment_are_too_small(name: str, written: Written) -> None:
    garment_files(work_garment(TEMPLATES / name / "garment.toml"), "a4")
    require_readable(written)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_letters_of_the_marker_sheet_are_too_small(paper: str) -> None:
    assert min(height_of(words) for words in words_on(marker_page(paper).items)) >= CAPITALS_MM


def test_capitals_and_figures_are_as_high_as_is_reckoned_with() -> None:
    for letters, least in (("BDEFHIKLMNPRTXZ", LEAST_CAP_HEIGHT), ("0123456789", LEAST_FIGURE_HEIGHT)):
        heights = [glyph(one, weight).box[3] / EM for one in letters for weight in WEIGHTS]
        assert min(heights) == pytest.approx(least, abs=5e-4)


@pytest.mark.parametrize("large", [False, True])
def test_instructions_are_drawn_as_high_as_they_promise(large: bool) -> None:
    by = 1.5 if large else 1.0
    assert (LEAST_CAPITALS_MM, INSTRUCTION_CAPITALS_MM) == (CAPITALS_MM, INSTRUCTIONS_MM)
    for weight in WEIGHTS:
        drawn = height_of(Words(0.0, 0.0, "", type_scale(large).text, weight=weight))
        assert by * INSTRUCTIONS_MM <= drawn <= by * INSTRUCTIONS_MM * 1.01


def test_measure_sees_letters_that_are_too_small() -> None:
    seen = Written()
    seen.take(tuple(Words(0.0, 0.0, f"row {k}", 2.9) for k in range(200)))
    with pytest.raises(AssertionError, match=r"1\.9"):
        require_readable(seen)
