"""Rules that a placed row always keeps, asked about rows that do not: they are the second look at the spacing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from closures.app.simple import place
from closures.catalogue.loading import load_catalogue
from closures.checks.checked import Checked
from closures.checks.place import check_band_width
from closures.checks.row import check_clear_zone, check_strain_point
from closures.placing.placement import Placement

PLAN = b"""
[edge]
straight = "600 mm"
[garment]
opens = "front"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = 20
last = 20
count = 8
[[anchor]]
name = "bust"
along = 180
within = 10
[[clear]]
name = "belt"
level = [300, 340]
room = "centre"
"""


@pytest.fixture(scope="module")
def placed() -> Placement:
    return place(PLAN)


@pytest.mark.parametrize(
    ("level", "result", "found"),
    [(290.0, "pass", 10.0), (300.0, "pass", 0.0), (345.0, "pass", 5.0)],
    ids=["above", "at its edge", "below"],
)
def test_clear_zone_by_level_is_measured_to_its_nearer_level(
    placed: Placement, level: float, result: str, found: float
) -> None:
    marks = tuple(replace(mark, level_mm=level if mark.n == 1 else 599.0) for mark in placed.marks)
    (finding,) = check_clear_zone(Checked(replace(placed, marks=marks), load_catalogue()))
    assert (finding.result, finding.mark) == (result, 1)
    assert finding.found_mm == pytest.approx(found)


def test_rim_within_a_clear_zone_fails(placed: Placement) -> None:
    zones = tuple(replace(zone, room="rim") for zone in placed.zones)
    marks = tuple(replace(mark, level_mm=345.0 if mark.n == 3 else 10.0) for mark in placed.marks)
    (finding,) = check_clear_zone(Checked(replace(placed, marks=marks, zones=zones), load_catalogue()))
    assert (finding.result, finding.mark) == ("fail", 3)
    assert finding.found_mm == pytest.approx(5.0 - 5.08)


@pytest.mark.parametrize(
    ("over", "result"), [(-0.002, "pass"), (0.0, "pass"), (0.002, "warn")], ids=["under", "at", "over"]
)
def test_strain_point_may_be_off_by_the_limit_and_no_further(placed: Placement, over: float, result: str) -> None:
    checked = Checked(placed, load_catalogue())
    off = checked.limit_mm("strain point") + over
    marks = (replace(placed.marks[0], along_mm=placed.anchors[0].along_mm + off),)
    (finding,) = check_strain_point(Checked(replace(placed, marks=marks), load_catalogue()))
    assert finding.result == result and finding.found_mm == pytest.approx(off)


def test_band_without_an_inner_line_has_what_the_edge_leaves_of_its_width(placed: Placement) -> None:
    marks = tuple(replace(mark, over=replace(mark.over, inner_distance_mm=None)) for mark in placed.marks)  # type: ignore[type-var]
    found = check_band_width(Checked(replace(placed, marks=marks), load_catalogue()))
    (over,) = (finding for finding in found if finding.lap == "over")
    assert over.found_mm == pytest.approx(40.0 - 20.0 - 5.08)
