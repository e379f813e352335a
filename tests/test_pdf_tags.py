"""The tree of a file's elements, for those who listen, held on a plan, a whole garment and a nest by readers of others."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from functools import cache

import pdfplumber
import pikepdf
import pypdfium2
import pytest
from paper_sets import TEMPLATES, answer_of

from closures.app.job import load_plan
from closures.app.pages import booklet_of, pages_as_pdf
from closures.app.sizing import place_sizes, size_files
from closures.app.whole import garment_files, work_garment
from closures.catalogue.loading import load_catalogue

# Each in its own way to a file: one plan with every further sheet, a garment of two openings and of three, a nest.
FILES = (
    "curved-front",
    # Two of its sheets have rules to measure in the place of squares.
    "double-breasted",
    "whole-nursing-top",
    "whole-romper",
    "whole-romper all",
    "eight-sizes",
    "eight-sizes guide",
)


# Of the nest three sizes say as much as eight.
FEW = ("12", "14", "16")


@cache
def file(name: str) -> bytes:
    name, _, more = name.partition(" ")
    plan = TEMPLATES / name / "plan.toml"
    if not plan.is_file():
        return garment_files(work_garment(TEMPLATES / name / "garment.toml", also=(more,) if more else ()), "a4")[
            "marking.pdf"
        ]
    if "[sizes]" in plan.read_text(encoding="utf-8"):
        return size_files(place_sizes(load_plan(plan), plan, only=FEW), "a4")["guide.pdf" if more else "marking.pdf"]
    return pages_as_pdf(booklet_of(answer_of(name, everything=True), load_catalogue().paper("a4")))


def elements(node: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Every element of a tree, in the order in which it is read."""
    if isinstance(node, pikepdf.Dictionary) and "/S" in node:
        yield node
    kids = node.get("/K") if isinstance(node, pikepdf.Dictionary) else node
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary):
            yield from elements(kid)


@cache
def heard(name: str) -> list[list[tuple[str, str]]]:
    """The elements that hold content, page by page in the order of the tree, with their words, by another reader."""
    pages = []
    with pdfplumber.open(io.BytesIO(file(name))) as pdf:
        for page in pdf.pages:
            words: dict[int, str] = {}
            for char in page.chars:
                if char["mcid"] is not None:
                    words[char["mcid"]] = words.get(char["mcid"], "") + char["text"]
            pages.append(list(_spoken(page.structure_tree, words)))
    return pages


def _spoken(nodes: list[dict[str, object]], words: dict[int, str]) -> Iterator[tuple[str, str]]:
    for node in nodes:
        own = node.get("mcids", [])
        if own:
            yield str(node["type"]), "".join(words.get(k, "") for k in own)  # type: ignore[attr-defined]
        yield from _spoken(node.get("children", []), words)  # type: ignore[arg-type]


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", FILES)
def test_every_piece_of_content_belongs_to_the_tree_or_is_an_artifact(name: str) -> None:
    with pikepdf.open(io.BytesIO(file(name))) as pdf:
        assert pdf.Root.MarkInfo.Marked is True and pdf.Root.Lang == "en" and str(pdf.docinfo["/Title"])
        numbers = pdf.Root.StructTreeRoot.ParentTree.Nums
        parents = {int(numbers[k]): numbers[k + 1] for k in range(0, len(numbers), 2)}
        reached = {node.objgen for node in elements(pdf.Root.StructTreeRoot.K[0])}
        for page in pdf.pages:
            assert page.Tabs == "/S"
            owned = parents[int(page.StructParents)]
            depth, seen = 0, []
            for operands, operator in pikepdf.parse_content_stream(page):
                op = str(operator)
                if op in ("BDC", "BMC"):
                    depth += 1
                    if op == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]:
                        seen.append(int(operands[1]["/MCID"]))
                elif op == "EMC":
                    depth -= 1
                elif op in ("S", "f", "B", "Tj"):
                    assert depth, "something is drawn that is nothing"
            assert seen == list(range(len(owned)))
            for number, element in enumerate(owned):
                assert int(element.K) == number and element.Pg.objgen == page.obj.objgen
                assert element.objgen in reached, "a reader that follows the tree never comes to it"


@pytest.mark.parametrize("name", FILES)
def test_tree_has_a_section_for_every_page_headings_in_step_and_tables_of_rows(name: str) -> None:
    with pikepdf.open(io.BytesIO(file(name))) as pdf:
        (document,) = pdf.Root.StructTreeRoot.K
        assert document.S == "/Document" and [str(one.S) for one in document.K] == ["/Sect"] * len(pdf.pages)
        for section, page in zip(document.K, pdf.pages, strict=True):
            tags = [str(node.S) for node in elements(section)]
            heads = [int(tag[2:]) for tag in tags if re.fullmatch(r"/H\d", tag)]
            # A chapter that goes on has its head on the page before; a head that runs on is none to listen to twice.
            assert heads and set(heads) <= {1, 2}, str(section.T)
            assert heads[0] == 1 or section.objgen != document.K[0].objgen
            assert all(node.Pg.objgen == page.obj.objgen for node in elements(section) if "/Pg" in node)
        for node in elements(document):
            if node.S == "/Table":
                (across, *rows) = node.K
                assert rows, "a table of a head alone"
                assert all(cell.S == "/TH" and cell.A.Scope == "/Column" for cell in across.K)
                assert {len(row.K) for row in rows} == {len(across.K)}
                # A table that goes on in the next column has its head again.
                for row in rows:
                    scope = "/Row" if any(cell.S == "/TD" for cell in row.K) else "/Column"
                    assert all(cell.A.Scope == scope for cell in row.K if cell.S == "/TH")
            if node.S == "/Figure":
                assert str(node.Alt).strip(), "a figure without a text"


def marks_told(name: str) -> list[str]:
    with pikepdf.open(io.BytesIO(file(name))) as pdf:
        told = [str(node.Alt) for node in elements(pdf.Root.StructTreeRoot.K[0]) if node.S == "/Figure"]
    return [text for text in told if re.match(r"(size \w+, )?mark \d+[,:]", text)]


def test_every_mark_of_a_plan_is_told_on_both_laps() -> None:
    told = marks_told("curved-front")
    for mark in answer_of("curved-front").placement.marks:
        name = f", {mark.anchor}" if mark.anchor else ""
        assert sum(text.startswith(f"mark {mark.n}{name}: ") for text in told) == 2, mark.n
    assert any(text.startswith("mark 3, bust point: 153.1 mm, 6 in from the ") for text in told)


@pytest.mark.parametrize("name", ["whole-nursing-top", "whole-romper"])
def test_every_mark_of_every_opening_of_a_garment_is_told_under_the_name_of_its_piece(name: str) -> None:
    whole = work_garment(TEMPLATES / name / "garment.toml", draw=False)
    with pikepdf.open(io.BytesIO(file(name))) as pdf:
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True):
            for lap in ("over", "under"):
                told = [
                    str(node.Alt)
                    for node in elements(pdf.Root.StructTreeRoot.K[0])
                    if node.S == "/Figure"
                    and re.match(rf"{opening.name}, {lap} (lap|end)", str(node.P.get("/T", "")), re.I)
                    if str(node.Alt).startswith("mark ")
                ]
                numbers = sorted(int(re.split(r"[ ,:]", text)[1]) for text in told)
                assert numbers == sorted(mark.n for mark in answer.placement.all_on(lap)) != [], (opening.name, lap)


def test_every_mark_of_every_size_is_told_with_its_size() -> None:
    plan = TEMPLATES / "eight-sizes" / "plan.toml"
    sizes = place_sizes(load_plan(plan), plan, only=FEW)
    told = marks_told("eight-sizes")
    for size in sizes.placed:
        for mark in size.placement.marks:
            same = [text for text in told if text.startswith(f"size {size.name}, mark {mark.n},")]
            # Parts of both laps share sheets, and the marks of both are alike in all but whose they are.
            assert sorted(text.rpartition(": ")[2] for text in same) == ["over lap", "under lap"], (size.name, mark.n)


def test_lines_of_every_size_are_told_on_every_part_of_both_laps() -> None:
    with pikepdf.open(io.BytesIO(file("eight-sizes"))) as pdf:
        told = [str(node.get("/Alt", "")) for node in elements(pdf.Root.StructTreeRoot.K[0])]
    for size in FEW:
        for lap in ("over", "under"):
            start = f"size {size}, {lap} lap, part "
            parts = [text.removeprefix(start) for text in told if text.startswith(start)]
            count = len(parts)
            ends = ": its edge and its closing line"
            assert parts == [f"{k} of {count}{ends}" for k in range(1, count + 1)] != []


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", FILES)
def test_words_are_heard_one_by_one_in_the_order_of_the_page(name: str) -> None:
    # A third reader says which words there are: it parts them by where they stand, and sees no tree.
    document = pypdfium2.PdfDocument(file(name))
    for page, spoken in zip(document, heard(name), strict=True):
        seen = set(page.get_textpage().get_text_range().split())
        for tag, words in spoken:
            if tag != "Figure":
                assert (words.split() or tag in ("TH", "TD")) and set(words.split()) <= seen, (tag, words)


@pytest.mark.parametrize(
    ("name", "order"),
    [
        ("curved-front", ["Marking templates", "Print, measure, tape", "What lies on which sheet", "Where each mark lies"]),
        ("whole-nursing-top", ["Marking templates of a whole garment", "Left side", "Right side", "Print, measure, tape", "To buy"]),
        ("eight-sizes", ["Marking templates, all sizes", "Print, measure, tape", "The line of every size", "What each size takes"]),
    ],
)  # fmt: skip
def test_headings_are_heard_in_the_order_in_which_they_are_needed(name: str, order: list[str]) -> None:
    heads = [words for tag, words in heard(name)[0] if tag == "H2"]
    places = [next(k for k, head in enumerate(heads) if head.startswith(one)) for one in order]
    assert places == sorted(places)


@pytest.mark.parametrize("name", FILES[:-1])
def test_bookmarks_lead_to_pages_and_pages_are_labelled_by_their_numbers(name: str) -> None:
    with pikepdf.open(io.BytesIO(file(name))) as pdf, pdf.open_outline() as outline:
        pages = {page.obj.objgen for page in pdf.pages}
        titles = []
        for item in outline.root:
            for one in (item, *item.children):
                titles.append(one.title)
                assert (one.destination or one.action.D)[0].objgen in pages
        assert titles and all(titles)
        labels = pdf.Root.PageLabels.Nums
        assert [str(labels[k + 1].P) for k in range(0, len(labels), 2)] == [str(k + 1) for k in range(len(pdf.pages))]
