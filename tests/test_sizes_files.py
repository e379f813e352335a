"""The files of a run of all sizes: layered pages, the page for the envelope, the table for the factory, the reports."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest
from typer.testing import CliRunner
from work import calls_of

from closures.app.command import app
from closures.app.job import load_plan, place_plan
from closures.app.sizing import place_sizes, size_files
from closures.jobs.sizes.sized import Sizes
from closures.lengths import format_mm
from closures.report.figures import report_figures

TEMPLATE = Path(__file__).resolve().parent.parent / "templates" / "eight-sizes" / "plan.toml"
NAMES = ["8", "10", "12", "14", "16", "18", "20", "22"]


@cache
def run() -> tuple[Sizes, dict[str, bytes]]:
    """The starting plan with its files."""
    sizes = place_sizes(load_plan(TEMPLATE), TEMPLATE)
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


def test_layers_of_the_pages_are_the_sizes_one_at_a_time_the_base_first() -> None:
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        properties = pdf.Root.OCProperties
        assert list(groups_of(pdf)) == [*NAMES, "all sizes"]
        default = properties.D
        assert [str(group.Name) for group in default.ON] == ["14"]
        assert [str(group.Name) for group in default.OFF] == [*(name for name in NAMES if name != "14"), "all sizes"]
        assert [[str(group.Name) for group in row] for row in default.RBGroups] == [[*NAMES, "all sizes"]]
        assert [str(group.Name) for group in default.Order] == [*NAMES, "all sizes"]
        # No usage is told, so that what is on the screen is printed.
        assert all("/Usage" not in group for group in properties.OCGs) and "/AS" not in default


def test_content_of_every_page_lies_in_layers_that_exist_and_are_closed() -> None:
    used: set[str] = set()
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        members = {name: str(one.OCGs[0].Name) for name, one in pdf.pages[0].Resources.Properties.items()}
        for page in pdf.pages:
            inside: list[str] = []
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "BDC" and str(operands[0]) == "/OC":
                    assert not inside
                    used.add(members[str(operands[1])])
                    inside.append("layer")
                elif str(operator) == "BDC":
                    assert str(operands[0]) == "/Span" and inside == ["layer"]
                    inside.append("words")
                elif str(operator) == "EMC":
                    inside.pop()
                elif str(operator) in ("q", "Q"):
                    assert inside != ["layer"]
            assert not inside
        assert all(
            [str(group.Name) for group in one.OCGs] == [members[k], "all sizes"]
            for k, one in pdf.pages[0].Resources.Properties.items()
        )
    assert used == set(NAMES)


@pytest.mark.parametrize("page", [0, -1], ids=["first page", "last page"])
def test_reader_shows_the_base_and_others_when_they_are_chosen(page: int) -> None:
    pdf = run()[1]["marking.pdf"]
    page = page % len(pypdfium2.PdfDocument(pdf))
    base, other, every = (ink(one, page) for one in (pdf, switched(pdf, "8"), switched(pdf, "all sizes")))
    assert ink(switched(pdf, "14"), page) == base
    assert base != other
    assert every > base and every > other


def test_layers_together_ink_what_each_inks_alone() -> None:
    # Of the first page: what is drawn of all sizes is less the furniture counted eight times, up to overlaps.
    pdf = run()[1]["marking.pdf"]
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        groups = groups_of(opened)
        opened.Root.OCProperties.D.ON = pikepdf.Array([])
        opened.Root.OCProperties.D.OFF = pikepdf.Array(list(groups.values()))
        none = io.BytesIO()
        opened.save(none)
    bare = ink(none.getvalue(), 0)
    alone = [ink(switched(pdf, name), 0) - bare for name in NAMES]
    together = ink(switched(pdf, "all sizes"), 0) - bare
    assert all(own > 0 for own in alone)
    assert 0.5 * sum(alone) < together <= sum(alone)


def test_files_are_the_same_on_every_run() -> None:
    again = size_files(place_sizes(load_plan(TEMPLATE), TEMPLATE), "a4")
    assert again == run()[1]


def test_pages_on_other_papers_are_made() -> None:
    for paper in ("letter", "a3", "roll"):
        files = size_files(run()[0], paper)
        assert len(pypdfium2.PdfDocument(files["marking.pdf"])) >= 2


def test_guide_holds_the_figures_of_every_mark_of_every_size() -> None:
    sizes, files = run()
    document = pypdfium2.PdfDocument(files["guide.pdf"])
    assert len(document) == 1, "eight sizes of eight marks go on one page"
    text = document[0].get_textpage().get_text_range()
    for size in sizes.placed:
        figures = [format_mm(mark.along_mm).removesuffix(" mm") for mark in size.placement.marks]
        row = next(line for line in text.splitlines() if line.split()[:1] == [size.name] and figures[-1] in line)
        assert row.split()[1:9] == figures
    assert "nothing on it is at true size" in text
    assert "Prong snap 16 L," in text


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
        assert list(groups_of(pdf)) == ["8", "22", "all sizes"]
        # The base is not among them: the first that is, is shown.
        assert [str(group.Name) for group in pdf.Root.OCProperties.D.ON] == ["8"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--only", "17"], "there is no size 17. There are 8, 10, 12"),
        (["--dxf"], "--dxf: it cannot go with several sizes. Choose one size with --only."),
        (["--only", "8", "--only", "10", "--also", "coupon"], "--also: it cannot go with several sizes"),
    ],
    ids=["no such size", "dxf", "more pages"],
)
def test_command_that_asks_for_what_cannot_be_is_refused(arguments: list[str], told: str, tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["place", str(TEMPLATE), "--out", str(tmp_path / "out"), *arguments])
    assert result.exit_code == 2 and told in result.stderr
    assert not (tmp_path / "out").exists()


def test_pages_of_all_sizes_are_stretched_for_one_printer(tmp_path: Path) -> None:
    command = ["place", str(TEMPLATE), "--out", str(tmp_path), "--correct", "149.2", "150.6", "--of", "150"]
    result = CliRunner().invoke(app, [*command, "--json"])
    assert result.exit_code == 0, result.output
    with pikepdf.open(tmp_path / "marking.pdf") as pdf:
        # The paper stays A4 (ISO 216); what is on it is stretched by 150 over what was measured.
        assert [float(side) for side in pdf.pages[0].MediaBox][2:] == pytest.approx([595.276, 841.890], abs=0.01)
        matrix = next(one.operands for one in pikepdf.parse_content_stream(pdf.pages[0]) if str(one.operator) == "cm")
    assert float(matrix[0]) == pytest.approx(72 / 25.4 * 150 / 149.2, rel=1e-6)
    assert float(matrix[3]) == pytest.approx(-72 / 25.4 * 150 / 150.6, rel=1e-6)
    told = {"across": 1.005362, "down": 0.996016, "measured": "149.2 across and 150.6 down for 150 mm"}
    assert json.loads(result.stdout)["print_correction"] == told
    assert json.loads((tmp_path / "report.json").read_bytes())["print_correction"] == told
    assert "stretched for a printer" in (tmp_path / "report.md").read_text()
    # Nothing else is stretched.
    assert all((tmp_path / name).read_bytes() == run()[1][name] for name in ("nest-over.svg", "guide.pdf", "sizes.csv"))


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="a second reader of PDF is not installed")
def test_hidden_layers_take_no_letters_from_the_shown_one(tmp_path: Path) -> None:
    # A reader that keeps the picture of a font's letter keeps an empty one where a hidden layer shows it first.
    (tmp_path / "all.pdf").write_bytes(run()[1]["marking.pdf"])
    with pikepdf.open(tmp_path / "all.pdf") as pdf:
        shown = str(pdf.Root.OCProperties.D.ON[0].Name)
        properties = pdf.pages[0].Resources.Properties
        names = [str(group.OCGs[0].Name) for group in properties.values()]
        mark = f"/L{names.index(shown)}"
        for page in pdf.pages:
            kept, marks = [], []
            for one in pikepdf.parse_content_stream(page):
                operator = str(one.operator)
                if operator in ("BDC", "BMC"):
                    marks.append(str(one.operands[1]) if str(one.operands[0]) == "/OC" else "")
                if all(layer in ("", mark) for layer in marks):
                    kept.append(one)
                if operator == "EMC":
                    marks.pop()
            page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(kept))
        pdf.save(tmp_path / "one.pdf")

    def seen(name: str) -> bytes:
        command = ["pdftoppm", "-r", "80", "-gray", "-f", "1", "-l", "1", str(tmp_path / name)]
        return subprocess.run(command, check=True, capture_output=True).stdout

    assert seen("all.pdf") == seen("one.pdf")


def test_cost_grows_in_step_with_the_number_of_sizes() -> None:
    plan = load_plan(TEMPLATE)

    def calls(only: tuple[str, ...]) -> int:
        return calls_of(lambda: size_files(place_sizes(plan, TEMPLATE, only=only), "a4"))

    # The first run reads the catalogue and the letters, which later ones find read.
    calls(("12", "14"))
    two, eight = calls(("12", "14")), calls(())
    assert eight < 4 * two * 1.25, (two, eight)


def test_frame_of_a_size_stands_on_a_page_only_with_its_name() -> None:
    # Words in an overlap stand on the later page alone; an empty frame on the earlier one would puzzle.
    frames = 0
    with pikepdf.open(io.BytesIO(run()[1]["marking.pdf"])) as pdf:
        for page in pdf.pages:
            inside: list[str] = []
            pen, waiting = "", False
            for operands, operator in pikepdf.parse_content_stream(page):
                name = str(operator)
                if name == "BDC":
                    inside.append(str(operands[0]))
                pen = str(operands[0]) if name == "w" else pen
                if waiting and name in ("B", "S", "f", "BDC", "EMC"):
                    assert inside[-1] == "/Span", "a frame is followed by its name"
                    waiting = False
                if inside == ["/OC"] and name == "B" and pen == "0.25":
                    frames, waiting = frames + 1, True
                if name == "EMC":
                    inside.pop()
    # A frame for each of 8 marks and 2 ends of 8 sizes on 2 laps; one that lies on a join stands on both pages.
    assert frames >= 8 * (8 + 2) * 2


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
    sizes = place_sizes(load_plan(plan), plan)
    told = "The pages and files that [sheets] asks for are made for one size at a time: closures place PLAN --only 14."
    assert told in size_files(sizes, "a4")["report.md"].decode()
    assert told in sizes_terminal(sizes, 200)
    assert told not in sizes_terminal(run()[0], 200)
