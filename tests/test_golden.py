"""Ten sheets by what they show; beside each a measurement, since sameness proves nothing; and a comparison that can fail."""

import re

import pytest
from golden import GOLDEN, SHEETS, content_of, sheet_of

from closures.verifying.measured import measured
from closures.verifying.sheet_read import read_sheet


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "lap"), list(SHEETS.items()), ids=list(SHEETS))
def test_sheet_shows_what_it_showed_and_measures_what_the_report_says(name: str, lap: str) -> None:
    svg, report = sheet_of(name, lap)
    sheet = read_sheet(svg)
    marks = [mark for mark in report["marks"] if mark[lap] is not None]
    # Some line on the sheet lies as far from every mark as the finished edge must.
    lines = [measured(line) for line in sheet.lines if len(line) > 1]
    wanted = [mark[lap]["edge_distance_mm"] for mark in marks]
    found = [[line.place_of(sheet.marks[lap, mark["n"]])[1] for mark in marks] for line in lines]
    assert any(max(map(abs, (a - b for a, b in zip(row, wanted, strict=True)))) < 0.01 for row in found)
    assert sheet.squares_mm["square-50-mm"] == pytest.approx((50, 50), abs=0.002)
    assert content_of(svg) == (GOLDEN / f"{name}-{lap}.txt").read_text(encoding="utf-8"), "python tests/golden.py"


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r'class="centre" cx="([\d.]+)"', lambda m: f'class="centre" cx="{float(m[1]) + 0.02:.4f}"'),
        (r'stroke-width="0.7"', 'stroke-width="0.35"'),
        (r'stroke-dasharray="7 1.6 0.9 1.6"', ""),
        (r'<g class="words".*?</g>', ""),
        (r'<circle class="rim".*?/>', ""),
        (r'id="over-1"', 'id="over-9"'),
    ],
    ids=["a mark moved", "a pen", "a dash", "a word", "a rim", "a number"],
)
def test_comparison_sees(old: str, new: object) -> None:
    svg, _ = sheet_of("curved-front", "over")
    text = svg.decode()
    changed = re.sub(old, new, text, count=1)  # type: ignore[call-overload]
    assert changed != text
    assert content_of(changed.encode()) != content_of(svg)


def test_comparison_does_not_see_how_a_file_spells_it() -> None:
    svg, _ = sheet_of("curved-front", "over")
    spelled = re.sub(r'cx="(\d+\.\d+)" cy="(\d+\.\d+)"', lambda m: f'cy="{m[2]}00" cx="{m[1]}000"', svg.decode())
    assert spelled.encode() != svg and content_of(spelled.encode()) == content_of(svg)
