"""What failed in the checks is mended before anything else is done: every page of work says so first."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from closures.app.job import place_plan, result_files
from closures.app.pages import marking_of
from closures.app.whole import shared_of, work_garment
from closures.drawing.extras.registry import asked_for
from closures.drawing.garment_cover import order_chapter
from closures.drawing.paper.words import Notice
from closures.plan.reading import read_plan

ROW = (
    'title = "Rook placket"\nunits = "mm"\n[edge]\nstraight = "300 mm"\n[garment]\nopens = "front"\n'
    'state = "cut pieces"\n[band]\nwidth = "34 mm"\nlap = "left over right"\n[closure]\nkind = "prong snap"\n'
    'size = "15 L"\n[spacing]\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\n[[layer]]\ncloth = "{cloth}"\n'
    "count = {count}\n"
)
STRAP = (
    'title = "Rook cuff"\nunits = "mm"\n[row]\npiece = "cuff"\nlength = "200 mm"\nheight = "50 mm"\nover = ["20 mm"]\n'
    'under = ["20 mm"]\n[closure]\nkind = "prong snap"\nsize = "15 L"\n[[layer]]\ncloth = "{cloth}"\n'
    "count = {count}\n"
)
THIN, THICK = {"cloth": "cotton poplin", "count": 2}, {"cloth": "denim 14 oz", "count": 4}
FIRST = "Have it mended, and the sheets printed anew, before anything is cut, sewn or pierced"


def read(text: str, *also: str) -> tuple[str, str]:
    """All pages as words, and the report."""
    made = result_files(place_plan(asked_for(read_plan(text.encode(), "p.toml"), also)), "a4")
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"])]
    return " ".join(" ".join(pages).split()), made["report.md"].decode()


@pytest.mark.parametrize(
    ("text", "also", "pages"),
    [(ROW, ("order", "bands"), 3), (ROW, ("bands",), 2), (STRAP, ("order",), 2)],
    ids=["cover, bands and work of a row", "cover and bands", "cover and work of a strap"],
)
def test_cover_and_every_page_of_work_begin_with_what_is_mended(text: str, also: tuple[str, ...], pages: int) -> None:
    words, report = read(text.format(**THICK), *also)
    assert words.count(FIRST) == pages and report.count(FIRST) == 1
    assert (
        report.index("## Order of work") < report.index(FIRST) < report.index("1. ", report.index("## Order of work"))
    )
    words, report = read(text.format(**THIN), *also)
    assert FIRST not in words + report


def test_order_of_a_garment_begins_with_what_is_mended_in_each_of_its_openings(tmp_path: Path) -> None:
    for name, cloth in (("front", THICK), ("back", THIN)):
        text = ROW.format(**cloth).replace('"front"', f'"{name}"')
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    garment = tmp_path / "garment.toml"
    garment.write_text(
        'title = "Rook frock"\n[[opening]]\nname = "front"\nplan = "front.toml"\n'
        '[[opening]]\nname = "back"\nplan = "back.toml"\n',
        encoding="utf-8",
    )
    whole = work_garment(garment)
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    first, *rest = order_chapter(shared_of(whole), markings).parts
    assert isinstance(first, Notice) and first.text.startswith("A check of front failed") and FIRST in first.text
    assert not any(isinstance(part, Notice) and FIRST in part.text for part in rest)
