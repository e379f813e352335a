"""The starting plans: each places without a failed check, and gives the figures worked out by hand."""

from __future__ import annotations

import json
import math
import re
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from closures.app.command import app

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PLANS = sorted(path.parent.name for path in TEMPLATES.glob("*/plan.toml"))
DRAWINGS = sorted(str(path.relative_to(TEMPLATES)) for path in TEMPLATES.glob("*/*.svg"))
EXPECTED = {
    "eight-sizes",
    "curved-front",
    "scooped-wrap",
    "shirt-front",
    "crotch-flap",
    "jacket-placket",
    "side-opening",
}

BESIDES = {
    "handover": {"handover.csv"},
    "stencil": {"over-stencil.svg", "under-stencil.svg"},
    "projector": {"over-projector.svg", "under-projector.svg"},
    "roll": {"roll.pdf"},
}
"""What a switch of `[sheets]` adds to the files."""

STRAIGHT_MM = 0.05
"""What a straight row may differ from closed form."""

CURVED_MM = 0.1
"""What a curved row may differ from closed form or from a row found on 400,000 chords."""


def run(*arguments: str) -> tuple[int, str, str]:
    """Run the command; give exit code, standard output, standard error."""
    result = CliRunner().invoke(app, list(arguments))
    return result.exit_code, result.stdout, result.stderr


@cache
def report_of(name: str) -> dict[str, Any]:
    """The report of a starting plan, checked only."""
    code, out, err = run("check", str(TEMPLATES / name / "plan.toml"), "--json")
    assert code == 0, out + err
    report: dict[str, Any] = json.loads(out)
    return report


def alongs(name: str) -> list[float]:
    """Running distances of a starting plan's marks, in mm."""
    return [mark["along_mm"] for mark in report_of(name)["marks"]]


def changed_plan(name: str, folder: Path, *changes: tuple[str, str]) -> Path:
    """Copy a starting plan with some of its text changed."""
    for source in (TEMPLATES / name).iterdir():
        (folder / source.name).write_bytes(source.read_bytes())
    text = (folder / "plan.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    (folder / "plan.toml").write_text(text, encoding="utf-8")
    return folder / "plan.toml"


def test_starting_plans_are_there() -> None:
    assert set(PLANS) >= EXPECTED


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", PLANS)
def test_starting_plan_checked_passes_every_rule(name: str) -> None:
    checks = report_of(name)["checks"]
    assert checks
    # Old buttonholes are there to be closed, and a helper between old places is no even row, whichever offer is taken.
    told = [(check["rule"], check["text"]) for check in checks if check["result"] != "pass"]
    assert [one for one in told if name != "shirt-swap" or one[0] not in ("old hole", "evenness")] == []


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", PLANS)
def test_starting_plan_placed_writes_sheets_and_report(name: str, tmp_path: Path) -> None:
    code, out, err = run("place", str(TEMPLATES / name / "plan.toml"), "--out", str(tmp_path / "marking"))
    assert code == 0, out + err
    written = {path.name for path in (tmp_path / "marking").iterdir()}
    # Of a pair the right piece's sheets come beside those of the left.
    right = {"over-right.svg", "under-right.svg"} if name == "cuff" else set()
    expected = {"over.svg", "under.svg", "marking.pdf", "report.json", "report.md"} | right
    if "sizes" in report_of(name):
        sheets = [f"{lap}-{size['size']}.svg" for size in report_of(name)["sizes"] for lap in ("over", "under")]
        pages = {"marking.pdf", "guide.pdf", "sizes.csv", "report.json", "report.md"}
        pages |= {f"marking-{size['size']}.pdf" for size in report_of(name)["sizes"]}
        expected = {"nest-over.svg", "nest-under.svg", *sheets} | pages
    asked = (TEMPLATES / name / "plan.toml").read_text(encoding="utf-8")
    for key, files in BESIDES.items():
        expected |= files if f"\n{key} = true" in asked else set()
    assert written == expected


@pytest.mark.parametrize("name", PLANS)
def test_starting_plan_report_holds_its_title_and_gaps(name: str) -> None:
    report = report_of(name)
    marks = report["marks"]
    gaps = [b["along_mm"] - a["along_mm"] for a, b in pairwise(marks)]
    assert report["title"] not in ("", "plan")
    assert report["spacing"]["count"] == len(marks)
    assert report["spacing"]["gaps_mm"] == pytest.approx(gaps, abs=1e-3)


@pytest.mark.parametrize("name", PLANS)
def test_starting_plan_text_says_in_plain_words_what_to_change(name: str) -> None:
    text = (TEMPLATES / name / "plan.toml").read_text(encoding="utf-8")
    assert "Change first:" in text
    assert not re.search(r"\b(safe|compliant)\b", text, re.IGNORECASE)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", PLANS)
def test_starting_plan_started_is_copied_and_places(name: str, tmp_path: Path) -> None:
    code, _, err = run("start", name, str(tmp_path / "mine"))
    assert code == 0, err
    code, out, err = run("check", str(tmp_path / "mine" / "plan.toml"), "--json")
    assert code == 0, err
    assert json.loads(out)["marks"] == report_of(name)["marks"]


@pytest.mark.parametrize("drawing", DRAWINGS)
def test_drawing_is_one_to_one_xml_without_references_outside(drawing: str) -> None:
    data = (TEMPLATES / drawing).read_bytes()
    assert b"<!DOCTYPE" not in data and b"<!ENTITY" not in data
    root = ElementTree.fromstring(data)
    width, height = (float(root.attrib[key].removesuffix("mm")) for key in ("width", "height"))
    assert [float(part) for part in root.attrib["viewBox"].split()] == [0.0, 0.0, width, height]
    tags = [element.tag.rpartition("}")[2] for element in root.iter()]
    assert not {"image", "use", "script", "style", "foreignObject"} & set(tags)
    assert {"title", "desc"} <= set(tags)
    for element in root.iter():
        for key, value in element.attrib.items():
            assert not key.endswith("href"), key
            assert "url(" not in value and "://" not in value, value


@pytest.mark.parametrize("drawing", DRAWINGS)
def test_drawing_ids_are_unique_and_hold_those_the_plan_names(drawing: str) -> None:
    root = ElementTree.fromstring((TEMPLATES / drawing).read_bytes())
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert len(ids) == len(set(ids))
    # A starting garment has several plans beside its drawing.
    plans = (TEMPLATES / drawing).parent.glob("*.toml")
    plan = "\n".join(path.read_text(encoding="utf-8") for path in plans)
    named = re.findall(r'^(?:path|under|line|level_zero) = "(.+?)"', plan, re.MULTILINE)
    assert named and set(named) <= set(ids)


def test_curved_front_snap_sits_at_the_bust_point_and_none_under_the_belt() -> None:
    # 9 1/4 in and 15 to 17 in, times 25.4 (exact by definition of the inch); 16 lines of 1/40 in
    # are 10.16 mm across (US Federal Specification V-B-871F).
    marks = report_of("curved-front")["marks"]
    rim = 16 / 40 * 25.4 / 2
    (bust,) = [mark for mark in marks if mark["anchor"] == "bust point"]
    assert bust["level_mm"] == pytest.approx(9.25 * 25.4, abs=1e-3)
    assert bust["shift_mm"] == pytest.approx(0.0, abs=1e-6)
    for mark in marks:
        assert mark["level_mm"] + rim <= 15 * 25.4 + 1e-3 or mark["level_mm"] - rim >= 17 * 25.4 - 1e-3


def test_curved_front_lies_inset_from_both_laps_edges() -> None:
    for mark in report_of("curved-front")["marks"]:
        assert mark["over"]["edge_distance_mm"] == pytest.approx(0.75 * 25.4, abs=1e-3)
        assert mark["under"]["edge_distance_mm"] == pytest.approx(0.75 * 25.4, abs=1e-3)


def test_jacket_placket_is_even_and_clear_of_the_waist_seam() -> None:
    # (590 - 25) / 7 = 80.714; the 5th and 6th at 25 + 4 and 25 + 5 of these.
    pitch = (590 - 25) / 7
    assert alongs("jacket-placket") == pytest.approx([25 + i * pitch for i in range(8)], abs=STRAIGHT_MM)
    assert round(pitch, 3) == 80.714
    assert alongs("jacket-placket")[4:6] == pytest.approx([347.86, 428.57], abs=STRAIGHT_MM)


def test_jacket_placket_stacks_are_summed_lap_by_lap() -> None:
    for mark in report_of("jacket-placket")["marks"]:
        assert mark["over"]["stack_mm"] == pytest.approx(0.8 + 0.8 + 2 * 0.4 + 0.3, abs=1e-6)
        assert mark["under"]["stack_mm"] == pytest.approx(0.8 + 0.8 + 0.3 + 0.4, abs=1e-6)


@pytest.mark.parametrize(
    ("grip", "lap", "found", "limit"),
    [
        # Grips 1.0 to 2.2 under a stack of 2.7, and from 2.0 under one of 1.9.
        pytest.param('["1.0 mm", "2.2 mm"]', "over", 2.7, 2.2, id="short post is short by 0.5 above"),
        pytest.param('["2.0 mm", "3.5 mm"]', "under", 1.9, 2.0, id="long post is loose by 0.1 below"),
    ],
)
def test_jacket_placket_without_its_tape_fails_on_one_lap(
    grip: str, lap: str, found: float, limit: float, tmp_path: Path
) -> None:
    tape = '[[layer]]\nthickness = "0.4 mm"\non = "under"\n'
    plan = changed_plan("jacket-placket", tmp_path, (tape, ""), ('["2.0 mm", "3.5 mm"]', grip))
    code, out, _ = run("check", str(plan), "--json")
    fails = [check for check in json.loads(out)["checks"] if check["result"] == "fail"]
    assert code == 1
    assert {(check["rule"], check["lap"]) for check in fails} == {("layer thickness", lap)}
    assert len(fails) == 8
    assert fails[0]["found_mm"] == pytest.approx(found, abs=1e-6)
    assert fails[0]["limit_mm"] == pytest.approx(limit, abs=1e-6)


@pytest.mark.parametrize(
    ("count", "nearest"),
    [
        # (590 - 25) / 8 = 70.625: the 6th of 9 would lie at 378.125, in the zone; evenly it cannot be.
        pytest.param(9, None, id="nine are refused evenly"),
        # (590 - 25) / 9 = 62.778: the 7th of 10 at 401.667, its rim 7.5 + 4.17 past 390.
        pytest.param(10, 401.667, id="ten clear it"),
    ],
)
def test_jacket_placket_other_counts_keep_the_zone_clear(count: int, nearest: float | None, tmp_path: Path) -> None:
    plan = changed_plan("jacket-placket", tmp_path, ("count = 8", f"count = {count}"))
    code, out, err = run("check", str(plan), "--json")
    assert code == 0, out + err
    report = json.loads(out)
    places = [mark["along_mm"] for mark in report["marks"]]
    assert all(place + 7.5 <= 370 + 1e-6 or place - 7.5 >= 390 - 1e-6 for place in places)
    if nearest is None:
        assert report["spacing"]["spread_mm"] > 1
    else:
        assert places[6] == pytest.approx(nearest, abs=STRAIGHT_MM)
        assert places[6] - 7.5 - 390 == pytest.approx(4.17, abs=STRAIGHT_MM)


def test_duvet_foot_runs_in_seven_even_gaps() -> None:
    # (1400 - 2 x 50) / 7 = 185.714.
    expected = [50, 235.7, 421.4, 607.1, 792.9, 978.6, 1164.3, 1350]
    assert alongs("duvet-foot") == pytest.approx(expected, abs=STRAIGHT_MM)
    marks = report_of("duvet-foot")["marks"]
    ends = [(mark["x_mm"], mark["y_mm"]) for mark in (marks[0], marks[-1])]
    assert math.dist(*ends) == pytest.approx(1300.0, abs=STRAIGHT_MM)


def test_cape_corner_follows_its_circle() -> None:
    # Quarter of a circle of 220: 345.575 long; inset 12 leaves 208, and 208 x pi / 2 = 326.726.
    report = report_of("cape-corner")
    radius, length = 220 - 12, (220 - 12) * math.pi / 2
    assert report["closing_line"]["edge_length_mm"] == pytest.approx(345.575, abs=1e-3)
    assert report["closing_line"]["length_mm"] == pytest.approx(length, abs=1e-3)
    assert report["spacing"]["gaps_mm"] == pytest.approx([71.681] * 4, abs=CURVED_MM)
    straight = [mark["straight_to_next_mm"] for mark in report["marks"]]
    assert straight[:-1] == pytest.approx([71.327] * 4, abs=CURVED_MM)
    # The plan's arc stands with its chord upright: about its centre the expected points are turned by
    # -45 degrees, and the centre lies r / sqrt 2 inside the chord, half way down it.
    half = 220 / math.sqrt(2)
    expected = [(207.04, 19.97), (188.12, 88.74), (147.08, 147.08), (88.74, 188.12), (19.97, 207.04)]
    turn = math.sqrt(0.5)
    for mark, (x, y) in zip(report["marks"], expected, strict=True):
        assert mark["x_mm"] == pytest.approx((x + y) * turn - half, abs=CURVED_MM)
        assert mark["y_mm"] == pytest.approx((y - x) * turn + half, abs=CURVED_MM)
        assert math.dist((mark["x_mm"], mark["y_mm"]), (-half, half)) == pytest.approx(radius, abs=0.01)


def test_side_opening_gives_the_seven_points_found_on_fine_chords() -> None:
    # Cubic (0,0) (0,170) (130,150) (130,320), inset 15, by 400,000 chords; drawn 120 across and 40 down.
    expected = [
        (-14.04, 24.98),
        (-4.84, 74.91),
        (16.10, 121.12),
        (46.66, 161.72),
        (79.11, 200.88),
        (103.33, 245.42),
        (113.93, 295.03),
    ]
    report = report_of("side-opening")
    assert report["closing_line"]["edge_length_mm"] == pytest.approx(355.24, abs=CURVED_MM)
    assert report["closing_line"]["length_mm"] == pytest.approx(355.24, abs=CURVED_MM)
    assert report["spacing"]["gaps_mm"] == pytest.approx([50.873] * 6, abs=CURVED_MM)
    for mark, (x, y) in zip(report["marks"], expected, strict=True):
        assert (mark["x_mm"], mark["y_mm"]) == pytest.approx((x + 120, y + 40), abs=CURVED_MM)
    straight = [mark["straight_to_next_mm"] for mark in report["marks"][:-1]]
    assert straight == pytest.approx([50.77, 50.73, 50.82, 50.86, 50.70, 50.73], abs=CURVED_MM)


def test_crotch_flap_marks_lie_on_the_drawn_line_at_their_own_distance_from_both_edges() -> None:
    report = report_of("crotch-flap")
    assert {round(mark["y_mm"], 6) for mark in report["marks"]} == {165.0}
    over = [mark["over"]["edge_distance_mm"] for mark in report["marks"]]
    under = [mark["under"]["edge_distance_mm"] for mark in report["marks"]]
    # Both edges are drawn the same, mirrored about the line; they curve away from it in the middle.
    assert over == pytest.approx(under, abs=1e-3)
    assert max(over) - min(over) > 3
    assert over == pytest.approx(over[::-1], abs=1e-3)


def test_shirt_front_keeps_a_button_at_the_chest_within_an_eighth() -> None:
    # Placement counts as good within 1/8 in (Association of Sewing and Design Professionals).
    (chest,) = [mark for mark in report_of("shirt-front")["marks"] if mark["anchor"] == "chest"]
    assert abs(chest["along_mm"] - 9 * 25.4) <= 25.4 / 8 + 1e-6
    assert abs(chest["shift_mm"]) <= 25.4 / 8 + 1e-6
