"""PDF pages, read back by other programs."""

import io
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pdfplumber
import pikepdf
import pypdfium2
import pytest
from PIL import Image

import closures
from closures.app.job import Answer, place_plan
from closures.catalogue.loading import load_catalogue
from closures.catalogue.values import Paper
from closures.drawing.paper.cuts import KEEP_MM, OVERLAP_MM
from closures.drawing.paper.printed import Printed, printed_pages
from closures.drawing.sheets.sheet import Sheet
from closures.drawing.write.pdf import write_pdf
from closures.drawing.write.svg import write_svg
from closures.plan.reading import read_plan

MM = 72 / 25.4
# ISO 216; ANSI/ASME Y14.1: 8.5 by 11 in. The roll's width is common practice.
SIZES = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
PLAN = """
title = "Saltmarsh smock"
units = "mm"
[edge]
{edge}
[garment]
pieces = "separate"

[band]
width = "38 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "{first}"
last = "{last}"
count = {count}
"""
EDGES = {
    "long straight": ('straight = "1400 mm"', "50 mm", "50 mm", 8),
    "curved": (
        'points = [["0 mm","0 mm"], ["16 mm","150 mm"], ["30 mm","320 mm"], ["0 mm","620 mm"]]',
        "16 mm",
        "50 mm",
        9,
    ),
    "very long": ('straight = "6 m"', "50 mm", "50 mm", 30),
    "short": ('arc = { length = "150 mm", radius = "300 mm", bows = "out" }', "16 mm", "16 mm", 3),
}

USUAL = ("long straight", "curved", "short")


@cache
def answer(name: str) -> Answer:
    edge, first, last, count = EDGES[name]
    plan = PLAN.format(edge=edge, first=first, last=last, count=count)
    return place_plan(read_plan(plan.encode(), f"{name}.toml"))


def paper(key: str) -> Paper:
    return load_catalogue().paper(key)


@cache
def file(name: str, key: str) -> bytes:
    return write_pdf(answer(name).sheets, paper(key))


@cache
def pages(name: str, key: str) -> tuple[tuple[Sheet, Printed], ...]:
    found: list[tuple[Sheet, Printed]] = []
    for sheet in answer(name).sheets:
        found += [(sheet, page) for page in printed_pages(sheet, paper(key), [page for _, page in found])]
    return tuple(found)


@cache
def shapes(name: str, key: str) -> list[list[tuple[float, float, float, float]]]:
    """For each page the boxes in mm of everything drawn that is no lettering."""
    found = []
    with pdfplumber.open(io.BytesIO(file(name, key))) as pdf:
        for page in pdf.pages:
            drawn = [*page.rects, *page.curves, *page.lines]
            found.append([tuple(float(o[k]) / MM for k in ("x0", "top", "x1", "bottom")) for o in drawn])
    return found


@pytest.mark.parametrize("key", SIZES)
@pytest.mark.parametrize("name", USUAL)
def test_pages_are_exactly_the_paper(name: str, key: str) -> None:
    with pikepdf.open(io.BytesIO(file(name, key))) as pdf:
        assert len(pdf.pages) == len(pages(name, key))
        for page in pdf.pages:
            left, bottom, width, height = (float(v) for v in page.MediaBox)
            assert (left, bottom) == (0.0, 0.0)
            assert sorted((width / MM, height / MM)) == pytest.approx(SIZES[key], abs=1e-4)


def test_roll_page_is_as_wide_as_the_roll_and_holds_a_lap_whole() -> None:
    with pikepdf.open(io.BytesIO(file("long straight", "roll"))) as pdf:
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            width, height = (float(v) / MM for v in page.MediaBox[2:])
            assert width == pytest.approx(paper("roll").width_mm, abs=1e-4) and height > 1400.0


def test_roll_longer_than_a_pdf_page_may_be_is_cut() -> None:
    # 14,400 units of 1/72 in, 5080 mm: ISO 32000-1, annex C.
    with pikepdf.open(io.BytesIO(file("very long", "roll"))) as pdf:
        assert len(pdf.pages) == 4
        assert all(float(v) <= 14_400 for page in pdf.pages for v in page.MediaBox)


@pytest.mark.parametrize("key", [*SIZES, "roll"])
@pytest.mark.parametrize("name", USUAL)
def test_every_page_has_both_squares_and_both_rules(name: str, key: str) -> None:
    for boxes in shapes(name, key):
        sides = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes]
        for side in (50.0, 50.8):
            assert sum(1 for w, h in sides if abs(w - side) < 0.002 and abs(h - side) < 0.002) == 1
        assert any(w >= 150.0 and h < 0.01 and abs(w / 10 - round(w / 10)) < 0.001 for w, h in sides)
        assert any(h >= 150.0 and w < 0.01 and abs(h / 10 - round(h / 10)) < 0.001 for w, h in sides)


def centres_on(name: str, key: str) -> dict[tuple[str, int], list[float]]:
    """How far each dot of 0.6 mm on a page lies from a mark, once put back on its sheet."""
    found: dict[tuple[str, int], list[float]] = {}
    for (sheet, page), boxes in zip(pages(name, key), shapes(name, key), strict=True):
        dots = [b for b in boxes if abs(b[2] - b[0] - 0.6) < 0.005 and abs(b[3] - b[1] - 0.6) < 0.005]
        for x0, y0, x1, y1 in dots:
            x, y = (x0 + x1) / 2 - page.shift[0], (y0 + y1) / 2 - page.shift[1]
            mark = min(sheet.keep_clear, key=lambda m: abs(m.x - x) + abs(m.y - y))
            found.setdefault((sheet.lap, mark.n), []).append(max(abs(mark.x - x), abs(mark.y - y)))
    return found


@pytest.mark.parametrize("key", ["a4", "letter", "roll"])
@pytest.mark.parametrize("name", USUAL)
def test_marks_on_pages_map_back_to_the_sheet(name: str, key: str) -> None:
    found = centres_on(name, key)
    assert set(found) == {(lap, m.n) for lap in ("over", "under") for m in answer(name).placement.marks}
    assert max(value for values in found.values() for value in values) < 0.002


@pytest.mark.parametrize("key", SIZES)
@pytest.mark.parametrize("name", USUAL)
def test_no_mark_comes_near_a_join(name: str, key: str) -> None:
    for sheet, page in pages(name, key):
        assert page.tile is not None and page.tile.near == ()
        x0, y0, x1, y1 = page.window
        for join in page.tile.joins:
            for mark in sheet.keep_clear:
                at = mark.x if join.side in ("left", "right") else mark.y
                if x0 <= mark.x <= x1 and y0 <= mark.y <= y1:
                    assert max(join.at_mm - at, at - join.at_mm - OVERLAP_MM) >= KEEP_MM


def test_long_opening_is_joined_by_pages_that_show_every_mark_once() -> None:
    for lap in ("over", "under"):
        shown = [
            m.n
            for sheet, page in pages("long straight", "a4")
            if sheet.lap == lap
            for m in sheet.keep_clear
            if page.window[0] <= m.x <= page.window[2] and page.window[1] <= m.y <= page.window[3]
        ]
        assert sorted(shown) == list(range(1, 9))


@pytest.mark.parametrize("key", ["a4", "letter"])
def test_words_can_be_searched_on_every_page(key: str) -> None:
    pdf = pypdfium2.PdfDocument(file("curved", key))
    for (sheet, page), read in zip(pages("curved", key), pdf, strict=True):
        text = " ".join(read.get_textpage().get_text_bounded().split())
        for words in (
            "Saltmarsh smock",
            f"{sheet.lap.upper()} LAP — wearer's",
            "outside face up",
            "void unless this square measures 50 mm",
            "2 in",
            "first end",
            "finished edge",
            page.name,
        ):
            assert words in text, (page.name, words)


def test_page_does_not_hold_words_of_other_pages() -> None:
    pdf = pypdfium2.PdfDocument(file("long straight", "a4"))
    assert "1350 mm" not in pdf[0].get_textpage().get_text_bounded()


def test_viewer_is_asked_not_to_scale() -> None:
    with pikepdf.open(io.BytesIO(file("short", "a4"))) as pdf:
        wishes = pdf.Root.ViewerPreferences
        assert wishes.PrintScaling == "/None" and list(wishes.Enforce) == ["/PrintScaling"]
        assert wishes.PickTrayByPDFSize is True
        assert pdf.Root.Lang == "en"
        assert "Saltmarsh smock" in str(pdf.docinfo["/Title"])
        assert not {"/CreationDate", "/ModDate"} & set(pdf.docinfo.keys())


def test_file_is_the_same_on_every_run() -> None:
    code = (
        "import hashlib, sys; from closures.app.job import place_plan; "
        "from closures.plan.reading import read_plan; from closures.drawing.write.pdf import write_pdf; "
        "a = place_plan(read_plan(sys.stdin.read().encode(), 'x.toml')); "
        "print(hashlib.sha256(write_pdf(a.sheets, a.catalogue.paper('a4'))).hexdigest())"
    )
    edge, first, last, count = EDGES["short"]
    plan = PLAN.format(edge=edge, first=first, last=last, count=count)
    seen = {
        subprocess.run(
            [sys.executable, "-c", code], input=plan, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(closures.__file__).parent.parent)},
        ).stdout
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(seen) == 1


def test_files_come_out_without_cairo(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("cairosvg", "cairocffi"):
        monkeypatch.setitem(sys.modules, name, None)
    sheets = answer("short").sheets
    assert write_pdf(sheets, paper("a4")).startswith(b"%PDF")
    assert write_svg(sheets[0]).startswith(b"<?xml")


def window_of_pdf(page_number: int, page: Printed, scale: float) -> "np.ndarray[tuple[int, ...], np.dtype[np.float64]]":
    """Render the part of a page that shows the drawing, and nothing else."""
    x0, y0, x1, y1 = (value + page.shift[k % 2] for k, value in enumerate(page.window))
    with pikepdf.open(io.BytesIO(file("short", "a4"))) as pdf:
        box = [x0 * MM, (page.height_mm - y1) * MM, x1 * MM, (page.height_mm - y0) * MM]
        pdf.pages[page_number].MediaBox = pikepdf.Array([round(v, 5) for v in box])
        cut = io.BytesIO()
        pdf.save(cut)
    picture = pypdfium2.PdfDocument(cut.getvalue())[page_number].render(scale=scale / MM).to_pil()
    return np.asarray(picture.convert("L"), dtype=float)


def window_of_svg(sheet: Sheet, page: Printed, scale: float, slip_mm: float = 0.0):  # type: ignore[no-untyped-def]
    """Render the same part of the whole sheet with another program."""
    import cairosvg

    x0, y0, x1, y1 = page.window
    width, height = sheet.size_mm
    text = write_svg(sheet).decode()
    start = text.index("<svg")
    head = text[start : text.index(">", start)]
    new = head.replace(f'viewBox="0 0 {width:g} {height:g}"', f'viewBox="{x0 + slip_mm} {y0} {x1 - x0} {y1 - y0}"')
    new = new.replace(f'width="{width:g}mm"', f'width="{x1 - x0}"').replace(
        f'height="{height:g}mm"', f'height="{y1 - y0}"'
    )
    assert new != head
    picture = cairosvg.svg2png(text.replace(head, new).encode(), scale=scale, background_color="white")
    return np.asarray(Image.open(io.BytesIO(picture)).convert("L"), dtype=float)


def unlike(one, other) -> float:  # type: ignore[no-untyped-def]
    """The share of ink in two pictures that is not in both, after a blur of a pixel or so."""
    height, width = (min(a, b) for a, b in zip(one.shape, other.shape, strict=True))

    def ink(picture):  # type: ignore[no-untyped-def]
        dark = 255.0 - picture[:height, :width]
        return sum(np.roll(dark, (dy, dx), (0, 1)) for dy in (-1, 0, 1) for dx in (-1, 0, 1)) / 9.0

    a, b = ink(one), ink(other)
    return float(np.abs(a - b).sum() / (a.sum() + b.sum()))


@pytest.mark.parametrize("number", [0, 1], ids=["over", "under"])
def test_page_and_sheet_look_alike_to_two_other_programs(number: int) -> None:
    sheet, page = pages("short", "a4")[number]
    assert page.tile is not None and page.tile.joins == ()
    scale = 8.0
    printed = window_of_pdf(number, page, scale)
    drawn = window_of_svg(sheet, page, scale)
    assert max(abs(a - b) for a, b in zip(printed.shape, drawn.shape, strict=True)) <= 1
    alike = unlike(printed, drawn)
    slipped = unlike(printed, window_of_svg(sheet, page, scale, slip_mm=0.25))
    assert alike < 0.12
    # The comparison tells a slip of a quarter of a millimetre from none.
    assert slipped > 3 * alike


@pytest.mark.parametrize("name", USUAL)
def test_no_two_pages_of_a_file_bear_one_name(name: str) -> None:
    names = [page.name for _, page in pages(name, "a4")]
    assert len(names) == len(set(names))
