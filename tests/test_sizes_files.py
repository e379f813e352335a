"""The files of a run of all sizes: layered pages, the page for the envelope, the table for the factory, the reports."""

from __future__ import annotations

import csv
import io
import json
import math
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest
from typer.testing import CliRunner
from work import calls_of

from closures.advice.of_sizes import by_size, orders_of_sizes
from closures.advice.order import Order, Told
from closures.app.command import app
from closures.app.job import advice_of, load_plan, place_plan
from closures.app.sizing import place_sizes, size_files
from closures.drawing.extras.guide import _is_at_anchor
from closures.jobs.sizes.family import plan_of_size
from closures.jobs.sizes.sized import Sizes
from closures.lengths import format_mm
from closures.plan.reading import read_plan
from closures.report.figures import report_figures

TEMPLATE = Path(__file__).resolve().parent.parent / "templates" / "eight-sizes" / "plan.toml"
NAMES = ["8", "10", "12", "14", "16", "18", "20", "22"]


@cache
def run() -> tuple[Sizes, dict[str, bytes]]:
    """The starting plan with its files."""
    sizes = place_sizes(load_plan(TEMPLATE), TEMPLATE)
    return sizes, size_files(sizes, "a4")


FEW = ("12", "14", "16")


@cache
def few() -> tuple[Sizes, dict[str, bytes]]:
    """Three of its sizes with their files: for what is the same of three as of eight, and drawn anew."""
    sizes = place_sizes(load_plan(TEMPLATE), TEMPLATE, only=FEW)
    return sizes, size_files(sizes, "a4")


def groups_of(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """The layers of a file by name."""
    return {str(group.Name): group for group in pdf.Root.OCProperties.OCGs}


def ink(pdf: bytes, page: int) -> int:
    """How many dots of a page are dark."""
    picture = pypdfium2.PdfDocument(pdf)[page].render(scale=2).to_pil().convert("L")
    return sum(picture.histogram()[:128])


def switched(pdf: bytes, name: str) -> bytes:
    """The file after a reader chose another layer."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        groups = groups_of(opened)
        default = opened.Root.OCProperties.D
        default.ON = pikepdf.Array([groups[name]])
        default.OFF = pikepdf.Array([group for other, group in groups.items() if other != name])
        changed = io.BytesIO()
        opened.save(changed)
    return changed.getvalue()


@pytest.mark.in_turn(3)
def test_layers_of_the_pages_are_the_sizes_and_all_of_them_show() -> None:
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        properties = pdf.Root.OCProperties
        assert list(groups_of(pdf)) == NAMES
        default = properties.D
        assert [str(group.Name) for group in default.ON] == NAMES and "/OFF" not in default
        assert [str(group.Name) for group in default.Order] == NAMES
        # No usage is told, so that what is on the screen is printed.
        assert all("/Usage" not in group for group in properties.OCGs) and "/AS" not in default


def test_content_of_every_page_lies_in_layers_that_exist_and_are_closed() -> None:
    used: set[str] = set()
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        members = {name: str(one.Name) for name, one in pdf.pages[0].Resources.Properties.items()}
        for page in pdf.pages:
            inside: list[str] = []
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "BDC":
                    if str(operands[0]) == "/OC":
                        assert "/OC" not in inside
                        used.add(members[str(operands[1])])
                    inside.append(str(operands[0]))
                elif str(operator) == "BMC":
                    inside.append(str(operands[0]))
                elif str(operator) == "EMC":
                    inside.pop()
            assert not inside
    assert used == set(NAMES)


@pytest.mark.parametrize("page", [1, -1], ids=["first page", "last page"])
def test_reader_shows_all_sizes_and_one_when_it_is_chosen(page: int) -> None:
    pdf = run()[1]["marking.pdf"]
    page = page % len(pypdfium2.PdfDocument(pdf))
    every, one, other = (ink(file, page) for file in (pdf, switched(pdf, "8"), switched(pdf, "22")))
    assert one != other
    assert every > one and every > other


def test_layers_together_ink_what_each_inks_alone() -> None:
    # Of the first page: what is drawn of all sizes is less the furniture counted eight times, up to overlaps.
    pdf = run()[1]["marking.pdf"]
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        groups = groups_of(opened)
        opened.Root.OCProperties.D.ON = pikepdf.Array([])
        opened.Root.OCProperties.D.OFF = pikepdf.Array(list(groups.values()))
        none = io.BytesIO()
        opened.save(none)
    bare = ink(none.getvalue(), 1)
    alone = [ink(switched(pdf, name), 1) - bare for name in NAMES]
    together = ink(pdf, 1) - bare
    assert all(own > 0 for own in alone)
    assert 0.5 * sum(alone) < together <= sum(alone)


def test_every_page_names_its_sizes_and_the_cover_has_a_line_and_a_row_for_each() -> None:
    document = pypdfium2.PdfDocument(run()[1]["marking.pdf"])
    texts = [page.get_textpage().get_text_range() for page in document]
    assert all("sizes 8 to 22" in text for text in texts)
    assert all(f"size {name}" in texts[0] for name in NAMES) and "What each size takes" in texts[0]


def test_cover_of_all_sizes_has_a_tape_for_each_what_a_step_comes_to_and_the_row_small() -> None:
    sizes, files = run()
    document = pypdfium2.PdfDocument(files["marking.pdf"])
    text = " ".join(document[0].get_textpage().get_text_range().split())
    for size in sizes.placed:
        row = size.placement.on("over")
        straight = math.dist((row[0].x_mm, row[0].y_mm), (row[-1].x_mm, row[-1].y_mm))
        edge = size.placement.laps["over"].edge.length_mm
        assert f" {size.name} {format_mm(edge)} {format_mm(straight)} " in text
    # A step moves the hem by 10 mm down and 3 across, and the edge runs aslant there; gaps share what the row gains.
    edges = [size.placement.laps["over"].edge.length_mm for size in sizes.placed]
    assert all(10.0 < other - one < 10.2 for one, other in pairwise(edges))
    assert "finished edge, neck to hem, +10.1 mm; largest gap +1.5 mm. Every size has 8 marks." in text
    assert "The row of size 14, and which part of all sizes is on which sheet" in text
    parts = [f"{k} of 5 sheet {sheet}" for k, sheet in enumerate((2, 3, 3, 4, 8), 1)]
    assert all(part in text for part in parts), parts


@pytest.mark.parametrize("name", NAMES)
def test_file_of_every_size_is_made_in_the_same_run(name: str) -> None:
    files = run()[1]
    text = " ".join(
        page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(files[f"marking-{name}.pdf"])
    )
    assert f"size {name}" in text and "OVER LAP" in text and "UNDER LAP" in text


@pytest.mark.in_turn(3)
def test_files_are_the_same_on_every_run() -> None:
    again = size_files(place_sizes(load_plan(TEMPLATE), TEMPLATE, only=FEW), "a4")
    assert again == few()[1]


@pytest.mark.in_turn(3)
def test_pages_on_other_papers_are_made() -> None:
    for paper in ("letter", "a3", "roll"):
        files = size_files(few()[0], paper)
        assert len(pypdfium2.PdfDocument(files["marking.pdf"])) >= 2


def test_guide_holds_the_figures_of_every_mark_of_every_size() -> None:
    sizes, files = run()
    document = pypdfium2.PdfDocument(files["guide.pdf"])
    text = "\n".join(page.get_textpage().get_text_range() for page in document)
    for size in sizes.placed:
        figures = [format_mm(mark.along_mm).removesuffix(" mm") for mark in size.placement.marks]
        row = next(line for line in text.splitlines() if line.split()[:1] == [size.name] and figures[-1] in line)
        assert [figure.removesuffix("*") for figure in row.split()[1:9]] == figures
    assert "nothing on it is at true size" in " ".join(text.split())
    assert "Prong snap 16 L," in text
    listed = [one.get_title() for one in document.get_toc()]
    assert "How to use it" in listed and any(title.startswith("From the neck") for title in listed)


def test_cover_tells_the_joins_that_marks_of_any_size_stand_close_to() -> None:
    document = pypdfium2.PdfDocument(run()[1]["marking.pdf"])
    cover = " ".join(document[0].get_textpage().get_text_range().split())
    assert "Marks stand close to joins C, D, G and H: stick the tape beside the row there" in cover


def test_table_for_the_factory_has_a_row_for_every_mark_on_either_lap() -> None:
    sizes, files = run()
    rows = list(csv.DictReader(io.StringIO(files["sizes.csv"].decode())))
    assert [row["size"] for row in rows] == [name for name in NAMES for _ in range(16)]
    for size in sizes.placed:
        for lap in ("over", "under"):
            own = [row for row in rows if row["size"] == size.name and row["lap"] == lap]
            along = [float(row["from_first_end_mm"]) for row in own]
            assert along == pytest.approx([mark.along_mm for mark in size.placement.marks], abs=0.05)


def test_report_holds_for_each_size_all_that_a_report_of_one_plan_holds() -> None:
    sizes, files = run()
    report = json.loads(files["report.json"])
    assert [size["size"] for size in report["sizes"]] == NAMES
    for size, told in zip(sizes.placed, report["sizes"], strict=True):
        alone = place_plan(size.placement.plan, TEMPLATE)
        expected = report_figures(alone.placement, alone.findings, size.sheets)
        assert {key: told[key] for key in expected} == expected
        assert {cost["kept"] for cost in told["costs"]} == {"count", "pitch"}
        assert [sheet["file"] for sheet in told["sheets"]] == [f"over-{size.name}.svg", f"under-{size.name}.svg"]
    assert set(files) >= {sheet["file"] for told in report["sizes"] for sheet in told["sheets"]}
    # 8 closures, 1 spare, 1 trial, of 8 sizes.
    assert {part["total"] for part in report["run_parts"]} == {80}
    assert [nest["layers"] for nest in report["nest"]] == [NAMES, NAMES]


def test_report_page_tells_what_each_choice_costs() -> None:
    page = run()[1]["report.md"].decode()
    assert "## What it costs to keep the count or the pitch" in page
    costs = page.split("## What it costs")[1].split("\n## ")[0]
    rows = [line for line in costs.splitlines() if line.startswith("| 22 |")]
    assert [row.split("|")[2].strip() for row in rows] == ["count", "pitch"]
    assert [row.split("|")[-2].strip() for row in rows] == ["chosen", ""]


def test_report_page_lists_every_file_that_is_written_beside_it() -> None:
    files = run()[1]
    page = files["report.md"].decode()
    assert [name for name in files if not name.startswith("report.") and f"`{name}`" not in page] == []
    assert sum(name.startswith("marking-") for name in files) == len(NAMES)


def test_command_with_one_size_only_writes_what_a_plan_of_that_size_writes(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["place", str(TEMPLATE), "--only", "18", "--out", str(tmp_path), "--json"])
    assert result.exit_code == 0, result.output
    assert {path.name for path in tmp_path.iterdir()} == {
        "over.svg",
        "under.svg",
        "marking.pdf",
        "report.json",
        "report.md",
    }
    size = next(size for size in run()[0].placed if size.name == "18")
    assert json.loads(result.stdout)["marks"] == report_figures(size.placement, (), ())["marks"]


def test_command_with_some_sizes_writes_those(tmp_path: Path) -> None:
    command = ["place", str(TEMPLATE), "--only", "8", "--only", "22", "--out", str(tmp_path)]
    assert CliRunner().invoke(app, command).exit_code == 0
    assert {path.name for path in tmp_path.glob("over-*.svg")} == {"over-8.svg", "over-22.svg"}
    with pikepdf.open(tmp_path / "marking.pdf") as pdf:
        assert list(groups_of(pdf)) == ["8", "22"]


def test_base_that_is_not_among_the_sizes_wanted_is_told_as_such(tmp_path: Path) -> None:
    sizes = place_sizes(load_plan(TEMPLATE), TEMPLATE, only=("18", "20"))
    files = size_files(sizes, "a4")
    report = json.loads(files["report.json"])
    assert (report["base"], report["shown"]) == ("14", "18")
    page = files["report.md"].decode()
    assert "**Base:** size 14, which is not among these; size 18 has the whole line" in page and "(base)" not in page
    told = [name for sheet in sizes.nest for _, name in sheet.text.samples]
    assert told == ["18", "20"] * 2


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--only", "17"], "there is no size 17. There are 8, 10, 12"),
        (
            ["--dxf"],
            "--dxf: it cannot go with several sizes. It is drawn of one row, and this plan has one for each of 8 sizes. "
            "Choose one, as in --only 14, and run it once more for every other size",
        ),
        (["--also", "all"], "one for each of 8 sizes. Choose one, as in --only 14, and run it once more"),
        (
            ["--only", "8", "--only", "10", "--also", "coupon"],
            "--also: it cannot go with several sizes. It is drawn of one row, and this plan has one for each of 2 sizes. "
            "Choose one, as in --only 8, ",
        ),
    ],
    ids=["no such size", "dxf", "all pages", "more pages of two"],
)
def test_command_that_asks_for_what_cannot_be_is_refused(arguments: list[str], told: str, tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["place", str(TEMPLATE), "--out", str(tmp_path / "out"), *arguments])
    assert result.exit_code == 2 and told in result.stderr
    assert not (tmp_path / "out").exists()


def test_pages_of_all_sizes_are_stretched_for_one_printer(tmp_path: Path) -> None:
    command = ["place", str(TEMPLATE), "--out", str(tmp_path), "--correct", "149.2", "150.6", "--of", "150"]
    command += [word for size in FEW for word in ("--only", size)]
    result = CliRunner().invoke(app, [*command, "--json"])
    assert result.exit_code == 0, result.output
    with pikepdf.open(tmp_path / "marking.pdf") as pdf:
        # The paper stays A4 (ISO 216); what is on a template is stretched by 150 over what was measured.
        page = next(page for page in pdf.pages[1:])
        sides = [float(side) for side in page.MediaBox][2:]
        assert sorted(sides) == pytest.approx([595.276, 841.890], abs=0.01)
        matrix = next(one.operands for one in pikepdf.parse_content_stream(page) if str(one.operator) == "cm")
    across, down = (149.2, 150.6) if sides[0] < sides[1] else (150.6, 149.2)
    assert float(matrix[0]) == pytest.approx(72 / 25.4 * 150 / across, rel=1e-6)
    assert float(matrix[3]) == pytest.approx(-72 / 25.4 * 150 / down, rel=1e-6)
    told = {"across": 1.005362, "down": 0.996016, "measured": "149.2 across and 150.6 down for 150 mm"}
    assert json.loads(result.stdout)["print_correction"] == told
    assert json.loads((tmp_path / "report.json").read_bytes())["print_correction"] == told
    assert "stretched for a printer" in (tmp_path / "report.md").read_text()
    # Nothing else is stretched.
    assert all((tmp_path / name).read_bytes() == few()[1][name] for name in ("nest-over.svg", "guide.pdf", "sizes.csv"))


@pytest.mark.in_turn(3)
def test_cost_grows_in_step_with_the_number_of_sizes() -> None:
    plan = load_plan(TEMPLATE)

    def calls(only: tuple[str, ...]) -> int:
        return calls_of(lambda: size_files(place_sizes(plan, TEMPLATE, only=only), "a4"))

    # The first run reads the catalogue and the letters, which later ones find read.
    few()
    two, five = calls(("12", "14")), calls(("10", "12", "14", "16", "18"))
    assert five < 2.5 * two * 1.25, (two, five)


def test_layers_hold_outlines_and_no_letters_of_a_font() -> None:
    # Some readers keep a letter as it was first drawn: drawn first in a layer that is off, it is missing ever after.
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        spans = 0
        for page in pdf.pages:
            open_marks: list[str] = []
            for operands, operator in pikepdf.parse_content_stream(page):
                name = str(operator)
                if name in ("BDC", "BMC"):
                    open_marks.append(str(operands[0]))
                    spans += open_marks[-1] == "/Span" and "/OC" in open_marks
                elif name == "EMC":
                    open_marks.pop()
                else:
                    assert not (name == "BT" and "/OC" in open_marks)
        # The words are there all the same, for those who search or listen.
        assert spans > 50


def test_run_of_all_sizes_says_where_the_further_pages_are(tmp_path: Path) -> None:
    from closures.report.sizes_words import sizes_terminal

    text = TEMPLATE.read_text(encoding="utf-8") + "\n[sheets]\ncoupon = true\n"
    for file in TEMPLATE.parent.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    plan = tmp_path / "plan.toml"
    plan.write_text(text, encoding="utf-8")
    sizes = place_sizes(load_plan(plan), plan, only=FEW)
    told = "The pages and files that [sheets] asks for are made for one size at a time: closures place PLAN --only 14."
    assert told in size_files(sizes, "a4")["report.md"].decode()
    assert told in sizes_terminal(sizes, 200)
    assert told not in sizes_terminal(run()[0], 200)


def test_star_of_the_guide_is_told_before_the_tables_that_bear_it() -> None:
    sizes, files = few()
    first = pypdfium2.PdfDocument(files["guide.pdf"])[0].get_textpage().get_text_range()
    assert any(_is_at_anchor(mark) for size in sizes.placed for mark in size.placement.all_marks)
    words = " ".join(first.split())
    assert words.index("A star (*) stands by a mark that sits at: bust point") < words.index("From the")


BABY = """
title = "Pinafore of two sizes"
[edge]
straight = "300 mm"
[garment]
opens = "front"
state = "cut pieces"
[band]
width = "26 mm"
lap = "left over right"
[closure]
kind = "prong snap"
size = "15 L"
[spacing]
first = "20 mm"
last = "40 mm"
pitch = "60 mm"
[sizes]
names = ["3m", "6m", "9m"]
base = "3m"
hold = "pitch"
grade = [["0 mm", "0 mm"], ["0 mm", "30 mm"]]
[[layer]]
cloth = "interlock"
count = 2
[wearer]
profiles = ["child under three"]
"""


def pages_read(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


@pytest.mark.parametrize("order", ["", "[sheets]\norder = true\n"])
def test_run_of_all_sizes_says_of_the_work_and_its_dangers_what_each_size_alone_says(order: str) -> None:
    """Sharp points of prongs, and parts that a child can take off: 16 CFR 1500.48 and 16 CFR 1501."""
    plan = read_plan((BABY + order).encode(), "baby.toml")
    files = size_files(place_sizes(plan), "a4")
    page, work = files["report.md"].decode(), json.loads(files["report.json"])["work"]
    alone = [advice_of(place_plan(plan_of_size(plan, name))) for name in ("3m", "6m", "9m")]
    for advice in alone:
        assert set(advice.cautions) <= set(work["cautions"])
        assert [step.key for step in advice.order.steps] == [step.key for step in alone[0].order.steps]
        assert work["stop"] == advice.order.stop
    assert len(work["steps"]) == len(alone[0].order.steps)
    for told in ("eye protection", "1500.48", "## For a child", "cotton wool", "Only now put it on the child"):
        assert told in page
    # By hand: the row is 240 mm in the base and 30 mm more in each size, one gap of 60 mm more in two of them.
    assert any("it is (size 3m: 240 mm from mark 1 to mark 5; size 6m: 270 mm" in one["done"] for one in work["steps"])
    words = pages_read(files["marking.pdf"])
    assert ("For a child" in words and "Wear eye protection" in words) is bool(order)
    assert words.count("Draw cotton wool over both faces") == bool(order)


def test_sheets_of_all_sizes_send_to_those_of_one_for_what_is_cut() -> None:
    """They hold dots alone: a slit across the line that was cut about its dot would lie off by half of its button."""
    text = (
        '[edge]\nstraight = "520 mm"\n[sizes]\nnames = ["small", "large"]\nbase = "small"\ngrade = [["0 mm", "0 mm"], ["4 mm", "14 mm"]]\n'
        '[garment]\nopens = "front"\npieces = "pair"\n[band]\nwidth = "40 mm"\nlap = "right over left"\ncut = "shaped"\n'
        '[closure]\nkind = "shank button"\nsize = "20 L"\nhole = "across"\n[sheets]\norder = true\n'
    )
    sizes = place_sizes(read_plan(text.encode(), "plan.toml"), {})
    pdf = pypdfium2.PdfDocument(size_files(sizes, "a4")["marking.pdf"])
    words = " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())
    assert "of a buttonhole, its ends, your size only" not in words
    assert "Dots alone are drawn here" in words and "cut nothing by these sheets" in words
    # The cover may lie elsewhere while a strip is marked by: each part says it, two or more of either lap.
    assert words.count("dots alone: cut nothing by this strip") >= 4
    assert "Work from the file of one size" in words


@pytest.mark.parametrize(
    ("told", "once"),
    [
        ({"a": "It lies flat.", "b": "It lies flat."}, "It lies flat."),
        ({"a": "At marks 1 to 5 prick.", "b": "At marks 1 to 6 prick."}, "At marks 1 to (size a: 5; size b: 6) prick."),
        ({"a": "It is 1 1/2 in.", "b": "It is 2 in."}, "It is (size a: 1 1/2 in; size b: 2 in)."),
        ({"a": "Take 5.", "b": "Take 5.", "c": "Take 6."}, "Take (sizes a and b: 5; size c: 6)."),
        ({"a": "Press it.", "b": "Press it dry."}, "Press (size a: it; size b: it dry)."),
        ({"a": "Sew it on.", "b": "Sew it by hand on."}, "Sew (size a: it; size b: it by hand) on."),
    ],
)
def test_what_differs_by_size_is_said_by_size(told: dict[str, str], once: str) -> None:
    assert by_size(told) == once


def test_step_that_only_some_sizes_have_is_named_with_them() -> None:
    def order(*steps: str) -> Order:
        told = tuple(Told(n, text, f"Do {text}.", "It is done.") for n, text in enumerate(steps, 1))
        return Order(told, None, "", "")

    told = orders_of_sizes({"3m": order("wash", "back", "set"), "6m": order("wash", "set"), "9m": order("wash", "set")})
    assert [step.text for step in told.steps] == ["Do wash.", "Size 3m: Do back.", "Do set."]
