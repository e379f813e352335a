"""PDF pages, read back by other programs."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pdfplumber
import pikepdf
import pypdfium2
import pytest
from paper_sets import MM, answer_of

import closures
from closures.app.pages import booklet_of, pages_as_pdf
from closures.catalogue.loading import load_catalogue
from closures.drawing.paper.booklet import Booklet
from closures.drawing.write.svg import write_svg

# ISO 216; ANSI/ASME Y14.1: 8.5 by 11 in. The rolls' widths are common practice.
SIZES = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4), "a0": (841.0, 1189.0)}
USUAL = ("curved-front", "duvet-foot", "sixty", "sash-belt")


@cache
def booklet(name: str, key: str = "a4", everything: bool = False) -> Booklet:
    return booklet_of(answer_of(name, everything=everything), load_catalogue().paper(key))


@cache
def file(name: str, key: str = "a4", everything: bool = False) -> bytes:
    return pages_as_pdf(booklet(name, key, everything))


@cache
def texts(name: str, key: str = "a4", everything: bool = False) -> list[str]:
    """The words of every page in the order of the page's content, as another program reads them."""
    document = pypdfium2.PdfDocument(file(name, key, everything))
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("key", SIZES)
@pytest.mark.parametrize("name", USUAL)
def test_pages_are_exactly_the_paper(name: str, key: str) -> None:
    set_ = booklet(name, key)
    templates = range(set_.covers, set_.covers + set_.templates)
    with pikepdf.open(io.BytesIO(file(name, key))) as pdf:
        assert len(pdf.pages) == len(set_.pages)
        for number, page in enumerate(pdf.pages):
            left, bottom, width, height = (float(v) for v in page.MediaBox)
            assert (left, bottom) == (0.0, 0.0)
            # Nobody prints a sheet of A0 to read a cover: what is read is on paper that is at home.
            own = "a4" if key == "a0" and number not in templates else key
            assert sorted((width / MM, height / MM)) == pytest.approx(SIZES[own], abs=1e-4)


@pytest.mark.parametrize(
    ("covers", "templates", "words", "kinds"),
    [
        (1, 1, 1, "1 cover, 1 template, 1 of words"),
        (2, 3, 0, "2 covers, 3 templates"),
        (1, 0, 2, "1 cover, 2 of words"),
    ],
)
def test_sheets_to_print_are_counted_in_the_number_that_they_have(
    covers: int, templates: int, words: int, kinds: str
) -> None:
    pages = booklet("curved-front", "a4").pages[:1] * (covers + templates + words)
    one = replace(booklet("curved-front", "a4"), covers=covers, templates=templates, words=words, pages=pages)
    assert one.told.endswith(f" to print: {kinds}")


def test_words_beside_templates_on_large_sheets_are_told_and_printed_on_a4() -> None:
    set_ = booklet("curved-front", "a0")
    assert set_.told == f"1 sheet of A0 and {set_.covers + set_.words} of A4 to print: 1 cover, 1 template"
    cover, *sheets = texts("curved-front", "a0")
    assert "Print templates on A0 and words on A4, all at 100 %" in cover
    assert "1 sheet of A0 and 1 of A4: 1 of this cover, 1 of templates." in cover
    assert all("for A0" in text for text in sheets)


@pytest.mark.parametrize("key", ["roll", "roll36"])
def test_roll_page_is_as_wide_as_the_roll_and_holds_both_laps_whole(key: str) -> None:
    with pikepdf.open(io.BytesIO(file("duvet-foot", key))) as pdf:
        width, height = (float(v) / MM for v in list(pdf.pages[1].MediaBox)[2:])
        assert width == pytest.approx(load_catalogue().paper(key).width_mm, abs=1e-4) and 1400.0 < height < 1700.0


def test_roll_longer_than_a_pdf_page_may_be_is_cut() -> None:
    # 14,400 units of 1/72 in, 5080 mm: ISO 32000-1, annex C.
    from closures.app.job import place_plan
    from closures.plan.reading import read_plan

    plan = (
        'title = "Long"\n[edge]\nstraight = "6 m"\n[band]\nwidth = "38 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "50 mm"\nlast = "50 mm"\ncount = 30\n'
    )
    made = pages_as_pdf(booklet_of(place_plan(read_plan(plan.encode(), "x.toml")), load_catalogue().paper("roll")))
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert len(pdf.pages) >= 2
        assert all(float(v) <= 14_400 for page in pdf.pages for v in page.MediaBox)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("key", [*SIZES, "roll"])
@pytest.mark.parametrize("name", USUAL)
def test_every_template_page_has_both_squares_and_both_rules(name: str, key: str) -> None:
    set_ = booklet(name, key)
    with pdfplumber.open(io.BytesIO(file(name, key))) as pdf:
        for page in pdf.pages[set_.covers : set_.covers + set_.templates]:
            drawn = [*page.rects, *page.curves, *page.lines]
            boxes = [tuple(float(o[k]) / MM for k in ("x0", "top", "x1", "bottom")) for o in drawn]
            sides = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes]
            for side in (50.0, 50.8):
                assert sum(1 for w, h in sides if abs(w - side) < 0.002 and abs(h - side) < 0.002) == 1
            assert any(w >= 150.0 and h < 0.01 and abs(w / 10 - round(w / 10)) < 0.001 for w, h in sides)
            assert any(h >= 150.0 and w < 0.01 and abs(h / 10 - round(h / 10)) < 0.001 for w, h in sides)


@pytest.mark.in_turn(3)
def test_pages_of_words_have_no_rules_and_no_squares() -> None:
    set_ = booklet("curved-front", everything=True)
    assert set_.words >= 1
    with pdfplumber.open(io.BytesIO(file("curved-front", everything=True))) as pdf:
        for page in pdf.pages[set_.covers + set_.templates :]:
            sides = [
                (float(o["x1"]) - float(o["x0"]), float(o["bottom"]) - float(o["top"]))
                for o in (*page.rects, *page.curves)
            ]
            assert not [pair for pair in sides if abs(pair[0] / MM - 50) < 0.01 and abs(pair[1] / MM - 50) < 0.01]
            assert "void unless" not in page.extract_text()


@pytest.mark.parametrize("name", USUAL)
def test_words_can_be_searched_on_every_template_page(name: str) -> None:
    set_ = booklet(name)
    title = answer_of(name).placement.plan.title
    for k in range(set_.covers, set_.covers + set_.templates):
        text = texts(name)[k]
        count = len(set_.pages)
        for words in (title, f"sheet {k + 1} of {count} · for A4", "outside face up", "50 mm", "2 in"):
            assert words in text, (k, words)
        assert "void unless this square measures 50 mm" in text and "void unless this square measures 2 in" in text


def test_cover_tells_what_the_set_is_and_where_every_mark_lies() -> None:
    (cover, *_), placement = texts("shirt-front"), answer_of("shirt-front").placement
    for words in ("27 in (685.8 mm)", "Lay a tape on yours", "3 sheets of A4", "What lies on which sheet", "chest"):
        assert words in cover, words
    for mark in placement.marks:
        assert str(mark.n) in cover
    # Straight from the first mark to the last, in inches and in mm.
    assert "19 1/2" in cover and "495.3" in cover


def test_check_that_failed_stands_first_on_the_cover_and_on_every_page() -> None:
    from dataclasses import replace

    from closures.checks.finding import Finding
    from closures.drawing.sheets.drawing import draw_sheets

    answer = answer_of("shirt-front")
    findings = (Finding("edge distance", "fail", "too near", "", "over", 3),)
    failing = replace(answer, findings=findings, sheets=draw_sheets(answer.placement, findings, answer.catalogue))
    set_ = booklet_of(failing, load_catalogue().paper("a4"))
    document = pypdfium2.PdfDocument(pages_as_pdf(set_))
    read = [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    assert read[0].index("A check failed: edge distance") < read[0].index("Marking templates")
    assert all("CHECK FAILED: edge distance" in text for text in read[set_.covers :])
    assert all("CHECK FAILED: see the cover" in text for text in read[set_.covers :])


def test_viewer_is_asked_not_to_scale() -> None:
    with pikepdf.open(io.BytesIO(file("sixty"))) as pdf:
        wishes = pdf.Root.ViewerPreferences
        assert wishes.PrintScaling == "/None" and list(wishes.Enforce) == ["/PrintScaling"]
        assert wishes.PickTrayByPDFSize is True
        assert pdf.Root.Lang == "en"
        assert "Kelp smock" in str(pdf.docinfo["/Title"])
        assert not {"/CreationDate", "/ModDate"} & set(pdf.docinfo.keys())


def test_version_matches_what_is_used() -> None:
    # To enforce a viewer's wish came with extension level 3 of PDF 1.7, and with PDF 2.0 (ISO 32000-2, 12.2).
    with pikepdf.open(io.BytesIO(file("sixty"))) as pdf:
        assert pdf.pdf_version == "1.7"
        assert pdf.Root.Extensions.ADBE.BaseVersion == "/1.7" and pdf.Root.Extensions.ADBE.ExtensionLevel == 3


def test_file_is_the_same_on_every_run() -> None:
    code = (
        "import hashlib, pathlib; from closures.app.job import load_plan, place_plan; from closures.app.pages import booklet_of, pages_as_pdf; "
        "p = pathlib.Path('templates/crotch-flap/plan.toml'); a = place_plan(load_plan(p), p); "
        "print(hashlib.sha256(pages_as_pdf(booklet_of(a, a.catalogue.paper('a4')))).hexdigest())"
    )
    root = Path(closures.__file__).parent.parent
    seen = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
        ).stdout
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(seen) == 1


def test_files_come_out_without_cairo(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("cairosvg", "cairocffi"):
        monkeypatch.setitem(sys.modules, name, None)
    answer = answer_of("sixty")
    assert pages_as_pdf(booklet_of(answer, load_catalogue().paper("a4"))).startswith(b"%PDF")
    assert write_svg(answer.sheets[0]).startswith(b"<?xml")


def test_bookmarks_lead_to_the_cover_each_lap_and_each_part() -> None:
    with pikepdf.open(io.BytesIO(file("curved-front", everything=True))) as pdf, pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
        assert titles[:3] == ["Cover", "Over lap", "Under lap"]
        over = outline.root[1]
        assert [item.title.split(",")[0] for item in over.children] == [f"over {k} of 3" for k in range(1, 4)]
        assert "Order of work" in titles
        labels = pdf.Root.PageLabels.Nums
        assert [str(labels[k + 1].P) for k in range(0, len(labels), 2)] == [str(k + 1) for k in range(len(pdf.pages))]


@pytest.mark.parametrize("name", USUAL)
def test_no_two_sheets_bear_one_number_and_the_listing_is_the_pages(name: str) -> None:
    set_ = booklet(name)
    assert [page.name for page in set_.pages] == [str(k + 1) for k in range(len(set_.pages))]
    assert len(set_.listing) == len(set_.pages) == set_.covers + set_.templates + set_.words
    assert set_.told.startswith(f"{len(set_.pages)} sheets of A4 to print: ")
