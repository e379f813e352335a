"""Whether a print is true, in words and percent, and pages stretched for one printer."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pdfplumber
import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.catalogue.loading import load_catalogue
from closures.errors import PlanError
from closures.jobs.table.printer import correction_for, judge_print

# ISO 32000-1: 72 units to the inch.
MM = 72 / 25.4


@pytest.mark.parametrize(
    ("across", "down", "of", "good", "words"),
    [
        pytest.param(48.5, 50.2, 50, False, "Across: 48.5 for 50: 97.0 %, too small.", id="fitted to the page"),
        pytest.param(48.5, 50.2, 50, False, "Down: 50.2 for 50: 100.4 %, good.", id="only one way is off"),
        pytest.param(50.0, 50.0, 50, True, "GOOD", id="true"),
        pytest.param(50.25, 49.75, 50, True, "GOOD", id="half a percent is the limit"),
        pytest.param(50.26, 50.0, 50, False, "Across: 50.26 for 50: 100.52 %, too large.", id="just past the limit"),
        pytest.param(149.2, 150.6, 150, False, "--correct 149.2 150.6 --of 150", id="the printer's own error"),
        pytest.param(48.5, 48.5, 50, False, "150 mm or more", id="too short to correct from"),
        pytest.param(145.5, 145.5, 150, False, "--correct 145.5 145.5 --of 150", id="three percent may be the printer"),
        pytest.param(144.0, 144.0, 150, False, "a setting is wrong", id="four percent is a setting"),
        pytest.param(50.8, 50.8, 50.8, True, "GOOD", id="the 2 in square"),
    ],
)
def test_print_measured_is_judged_in_words_and_percent(
    across: float, down: float, of: float, good: bool, words: str
) -> None:
    verdict = judge_print(across, down, of)
    assert verdict.is_good is good
    assert words in "\n".join((*verdict.lines, verdict.correct)) and "--" not in "".join(verdict.lines)
    assert (verdict.across, verdict.down) == (pytest.approx(across / of), pytest.approx(down / of))


@pytest.mark.parametrize(
    ("across", "down", "of", "told"),
    [
        pytest.param(20, 20, 20, "too short to judge", id="under 50 mm"),
        pytest.param(49.9, 49.9, 49.9, "too short to judge", id="just under"),
        pytest.param(2, 50, 50, "2 mm across cannot be a print of 50 mm", id="inches for mm"),
    ],
)
def test_print_measured_on_too_little_is_refused(across: float, down: float, of: float, told: str) -> None:
    with pytest.raises(PlanError, match=told):
        judge_print(across, down, of)


@pytest.mark.parametrize(
    ("across", "down", "of", "told"),
    [
        pytest.param(49.5, 50, 50, "too short to correct", id="from the square"),
        pytest.param(149, 149, 149, "too short to correct", id="under 150 mm"),
        pytest.param(145, 150, 150, "more than a printer's own error", id="more than three percent"),
    ],
)
def test_correction_from_too_little_or_too_much_is_refused(across: float, down: float, of: float, told: str) -> None:
    with pytest.raises(PlanError, match=told):
        correction_for(across, down, of)


def test_correction_times_the_print_is_true() -> None:
    correction = correction_for(149.2, 150.6, 150)
    assert correction.across * 149.2 == pytest.approx(150)
    assert correction.down * 150.6 == pytest.approx(150)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        pytest.param(["48.5", "50.2", "--of", "50"], 1, "97.0 %", id="void"),
        pytest.param(["149.2", "150.6", "--of", "150"], 1, "closures place PLAN --correct 149.2 150.6 --of", id="own"),
        pytest.param(["6 in", "6 in", "--of", "6 in"], 0, "GOOD", id="inches"),
        pytest.param(["20", "20", "--of", "20"], 2, "too short", id="too short"),
        pytest.param(["48,5", "50", "--of", "50"], 2, "48.5, with a point", id="a comma"),
    ],
)
def test_print_check_command_answers_and_leaves(words: list[str], code: int, told: str) -> None:
    result = CliRunner().invoke(app, ["print-check", *words])
    assert result.exit_code == code, result.output
    assert told in result.output


JOB = [
    *("--band", "38 mm", "--lap", "right over left", "--closure", "prong snap", "--size", "16 L"),
    *("--first", "20 mm", "--last", "20 mm", "--layer", "2 x cotton sateen", "--layer", "light fusible"),
]
SHORT = ["--straight", "180 mm", "--count", "3"]
LONG = ["--arc", "500 mm", "--radius", "300 mm", "--bows", "out", "--pieces", "separate", "--count", "7"]
CORRECT = ["--correct", "149.2", "150.6", "--of", "150"]


def placed(folder: Path, *words: str) -> Path:
    result = CliRunner().invoke(app, ["place", *JOB, *words, "--out", str(folder)])
    assert result.exit_code == 0, result.output
    return folder


@pytest.mark.parametrize("paper", ["a4", "letter", "roll"])
@pytest.mark.parametrize("edge", [SHORT, LONG], ids=["short", "curved"])
def test_corrected_page_squares_come_out_true_of_that_printer(edge: list[str], paper: str, tmp_path: Path) -> None:
    folder = placed(tmp_path, *edge, "--paper", paper, "--also", "coupon", "--also", "strip", *CORRECT)
    told = json.loads((folder / "report.json").read_text())["pages"]
    chosen = load_catalogue().paper(paper)
    with pdfplumber.open(folder / "marking.pdf") as pdf:
        templates = [
            page
            for page, one in zip(pdf.pages, told, strict=True)
            if one["shows"] != "cover" and not one["shows"].startswith(("Trial coupon", "Step along"))
        ]
        assert templates
        for page in templates:
            width, height = (float(side) / MM for side in (page.width, page.height))
            if chosen.height_mm is not None:
                assert sorted((width, height)) == pytest.approx([chosen.width_mm, chosen.height_mm], abs=1e-3)
            # The printer feeds the paper's short side, or the roll's width, across.
            is_lying = width > height if chosen.height_mm else abs(width - chosen.width_mm) > 1e-3
            prints = (149.2 / 150, 150.6 / 150)
            kx, ky = reversed(prints) if is_lying else prints
            sides = [
                ((float(o["x1"]) - float(o["x0"])) * kx / MM, (float(o["bottom"]) - float(o["top"])) * ky / MM)
                for o in page.rects
            ]
            for side in (50.0, 50.8):
                assert sum(1 for w, h in sides if abs(w - side) < 0.002 and abs(h - side) < 0.002) == 1
            # Read within the square where it stands: turned words of a strip beside it would come between.
            (square,) = (o for o, (w, h) in zip(page.rects, sides, strict=True) if abs(w - 50) < 0.002 > abs(h - 50))
            box = (square["x0"], square["top"], square["x1"], square["bottom"])
            assert "Stretched on purpose" in " ".join(page.crop(box).extract_text().split())
            for drawn in (*page.rects, *page.curves, *page.lines):
                assert float(drawn["x0"]) >= -1e-6 and float(drawn["x1"]) <= float(page.width) + 1e-6


def test_corrected_pages_keep_the_report_and_the_svg_true(tmp_path: Path) -> None:
    plain, corrected = placed(tmp_path / "plain", *SHORT), placed(tmp_path / "corrected", *SHORT, *CORRECT)
    assert (plain / "over.svg").read_bytes() == (corrected / "over.svg").read_bytes()
    reports = [json.loads((folder / "report.json").read_text()) for folder in (plain, corrected)]
    told = reports[1].pop("print_correction")
    # The report names what each file holds; of a corrected set the pages alone differ.
    held = [report.pop("files") for report in reports]
    assert {name for name in held[0] if held[0][name] != held[1][name]} <= {"marking.pdf", "report.md"}
    # Pages are laid out a little smaller, so that the pieces may lie otherwise on them.
    assert all([report.pop("pages") for report in reports])
    assert reports[0] == reports[1]
    assert told["across"] == pytest.approx(150 / 149.2, abs=1e-6)
    assert told["down"] == pytest.approx(150 / 150.6, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        pytest.param(["--correct", "149.2", "150.6"], "go together", id="without of"),
        pytest.param(["--of", "150"], "go together", id="of alone"),
        pytest.param(["--correct", "49.5", "50", "--of", "50"], "too short to correct", id="too short"),
        pytest.param(["--also", "coupn"], "Did you mean coupon", id="a page not known"),
    ],
)
def test_place_with_options_that_make_no_sense_writes_nothing(words: list[str], told: str, tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["place", *JOB, *SHORT, *words, "--out", str(tmp_path / "out")])
    assert result.exit_code == 2
    assert told in result.output
    assert not (tmp_path / "out").exists()


def test_uncorrected_pages_are_as_they_were(tmp_path: Path) -> None:
    with pdfplumber.open(io.BytesIO((placed(tmp_path, *SHORT) / "marking.pdf").read_bytes())) as pdf:
        assert "Stretched on purpose" not in " ".join(page.extract_text() for page in pdf.pages)
