"""Rows of one garment on one drawing: closures of one where the laps of another lie on each other, and what is counted."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app
from closures.app.whole import Whole, work_garment

RUN = CliRunner()
# A front whose edge runs straight down at x 200, and its lower edge from there to the left, to the leg.
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
    '<path id="front" d="M 200 20 V 400"/><path id="crotch" d="M 200 400 H 80"/></svg>'
)
ROW = """
title = "{name}"
drawing = "front.svg"
[edge]
path = "{name}"
cloth = "{cloth}"
[garment]
opens = "{name}"
pieces = "pair"
[band]
width = "36 mm"
lap = "{lap}"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "{first} mm"
last = "{last} mm"
count = 3
"""
GARMENT = """title = "Romper"
[[opening]]
name = "front"
plan = "front.toml"
[[opening]]
name = "right crotch"
plan = "crotch.toml"
[[opening]]
name = "left crotch"
plan = "crotch.toml"
mirrored = true
"""


def romper(folder: Path, first_mm: float, garment: str = GARMENT) -> Path:
    (folder / "front.svg").write_text(DRAWING)
    front = ROW.format(name="front", cloth="left", lap="right over left", first=16, last=80)
    (folder / "front.toml").write_text(front)
    crotch = ROW.format(name="crotch", cloth="above", lap="front over back", first=first_mm, last=14)
    (folder / "crotch.toml").write_text(crotch)
    (folder / "garment.toml").write_text(garment)
    return folder / "garment.toml"


def lapped_over(whole: Whole) -> list[tuple[str, str]]:
    return [(one.result, one.first) for one in whole.clearances if "laps over itself" in one.text]


# By hand: the fronts overlap by both insets, 18 and 18 mm; a rim of a 16 L snap is 10.16 / 2 = 5.08 mm.
@pytest.mark.parametrize(
    ("first_mm", "result"),
    [(18, "fail"), (30, "fail"), (35.99, "fail"), (36.01, "warn"), (41.07, "warn"), (41.09, ""), (50, "")],
)
def test_a_crotch_snap_under_the_fronts_overlap_is_told_on_both_halves(
    tmp_path: Path, first_mm: float, result: str
) -> None:
    whole = work_garment(romper(tmp_path, first_mm), draw=False)
    both = [(result, "right crotch"), (result, "left crotch")] if result else []
    assert lapped_over(whole) == both
    if result == "fail":
        text = next(one.text for one in whole.clearances if "laps over itself" in one.text)
        assert "right crotch 1 lies where the front laps over itself, 36 mm from its edge" in text
        assert f"lies {41.08 - first_mm:.1f}".rstrip("0").rstrip(".") in text


def test_rows_that_are_told_to_be_clear_of_the_front_are_not_held_to_its_overlap(tmp_path: Path) -> None:
    clear = GARMENT.replace('plan = "crotch.toml"', 'plan = "crotch.toml"\nclear_of = ["front"]')
    assert not lapped_over(work_garment(romper(tmp_path, 18, clear), draw=False))


def test_a_row_of_the_same_opening_shares_its_overlap(tmp_path: Path) -> None:
    path = romper(tmp_path, 50, GARMENT + '[[opening]]\nname = "inner"\nplan = "inner.toml"\n')
    inner = ROW.format(name="front", cloth="left", lap="right over left", first=40, last=100)
    (tmp_path / "inner.toml").write_text(inner)
    assert not lapped_over(work_garment(path, draw=False))


def test_the_starting_romper_keeps_its_crotch_out_of_the_overlap_and_is_told_where_it_does_not(tmp_path: Path) -> None:
    folder = shipped.starting_garments()["whole-romper"]
    for file in folder.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    assert not lapped_over(work_garment(tmp_path / "garment.toml", draw=False))
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text().replace('first = "46 mm"', 'first = "30 mm"'))
    assert lapped_over(work_garment(tmp_path / "garment.toml", draw=False)) == [
        ("fail", "right crotch"),
        ("fail", "left crotch"),
    ]
    assert RUN.invoke(app, ["check", str(tmp_path / "garment.toml")]).exit_code == 1


def test_two_plans_on_one_drawing_are_told_so_without_a_garment_file(tmp_path: Path) -> None:
    romper(tmp_path, 30)
    ran = RUN.invoke(app, ["check", str(tmp_path / "front.toml"), str(tmp_path / "crotch.toml")])
    assert "laps over itself" in " ".join(ran.output.split())


def test_the_summary_counts_what_is_found_between_openings(tmp_path: Path) -> None:
    """The right crotch's snap fails once, in the overlap; the front's own row has nothing to look at."""
    ran = RUN.invoke(app, ["check", str(romper(tmp_path, 30))])
    rows = [
        line.split() for line in ran.output.splitlines() if line.startswith(("front ", "right crotch ", "left crotch "))
    ]
    results = {line[0]: line[-3:] for line in rows if line[-1] in ("good", "look", "FAIL")}
    assert results["right"][0] == "1" and results["right"][2] == "FAIL" and results["left"][2] == "FAIL"
