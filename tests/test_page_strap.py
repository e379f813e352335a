"""A strap on the page: both its ends up to a break, and its settings counted in place of its marks."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from closures.app.job import Answer, check_plan, load_plan
from closures.app.web.met import worn_laps
from closures.app.web.picture_words import in_words, legend
from closures.app.web.telling import brief
from closures.app.web.worn import draw_worn
from closures.placing.counted import closures_of
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
STRAPS = ("bib", "cuff", "sash-belt", "waistband")

CUFF = """title = "Rushlight cuff"
[row]
piece = "cuff"
length = "260 mm"
height = "65 mm"
over = {over}
under = {under}
allowance = "10 mm"
[closure]
kind = "prong snap"
size = "15 L"
[[layer]]
cloth = "poplin"
count = 2
"""


def _answer(name: str) -> Answer:
    return check_plan(load_plan(TEMPLATES / name / "plan.toml"))


def _cuff(over: str, under: str) -> Answer:
    return check_plan(read_plan(CUFF.format(over=over, under=under), "plan.toml"))


def _points(data: str) -> list[tuple[float, float]]:
    """The places that a path of straight lines and arcs comes to."""
    found = []
    for letter, figures in re.findall(r"([A-Z])([^A-Z]*)", data):
        values = [float(one) for one in figures.split()]
        found += [(values[-2], values[-1])] if letter in "MLCA" else []
    return found


@pytest.mark.parametrize("name", STRAPS)
def test_both_ends_are_drawn_up_to_a_break_within_the_picture_and_the_rest_is_told(name: str) -> None:
    answer = _answer(name)
    strap, drawn = answer.placement.strap, draw_worn(answer)
    assert strap is not None
    left, top, wide, high = map(float, re.search(r'viewBox="([^"]+)"', drawn)[1].split())
    cloths = [_points(data) for data in re.findall(r'<path d="([^"]+)" class="cloth', drawn)]
    breaks = [_points(data) for data in re.findall(r'<path d="([^"]+)" class="broken', drawn)]
    assert len(cloths) == len(breaks) == 2
    lengths, laps = [], worn_laps(answer.placement)
    # The under end is drawn first, since the other lies on it.
    for lap, cloth, torn in zip((laps.under, laps.over), cloths, breaks, strict=True):
        carried = answer.placement.on(lap.name)
        assert lap.tip is not None and set(torn) <= set(cloth)
        assert all(left < x < left + wide and top < y < top + high for x, y in cloth), (
            "no cloth runs out of the picture"
        )
        depth = lap.tip.distance_to(torn[0])
        assert depth == pytest.approx(lap.tip.distance_to(torn[-1]))
        assert all(0 < (mark.from_tip_mm or 0.0) < depth for mark in carried)
        lengths.append(depth)
    # What is drawn of both ends, and what is told as left out between them, is the strap from tip to tip.
    told = re.search(r"not drawn: (.+) of the", legend(answer)["broken"])
    assert told is not None and told[1] in in_words(answer.placement, False)
    whole = 25.4 if answer.placement.plan.units == "in" else 1.0
    figure = told[1].removesuffix(" mm").removesuffix(" in").split()
    left_out = whole * sum(_fraction(one) for one in figure)
    assert sum(lengths) + left_out == pytest.approx(strap.finished_mm, abs=0.06 if whole == 1.0 else 25.4 / 32)
    assert left_out > 0


def _fraction(text: str) -> float:
    over, _, under = text.partition("/")
    return float(over) / float(under or 1)


def test_a_belt_counts_its_settings_and_what_either_end_carries() -> None:
    answer = _answer("sash-belt")
    assert brief(answer).startswith("5 settings, 25 mm apart; ")
    assert closures_of(answer.placement) == "5 settings"
    # Two caps, and the seven studs that five settings of two caps twice a step apart come to.
    assert "with 2 marks on the over end and 7 on the under end, numbered" in in_words(answer.placement, False)


def test_settings_that_are_not_evenly_apart_are_told_by_the_least_and_the_most() -> None:
    # One cap on studs 18, 38 and 68 mm from the tip: the steps are 20 and 30 mm.
    assert brief(_cuff('["18 mm"]', '["18 mm", "38 mm", "68 mm"]')).startswith("3 settings, 20 mm to 30 mm apart; ")


def test_a_strap_of_one_setting_whose_ends_carry_alike_counts_its_closures() -> None:
    answer = _cuff('["18 mm", "48 mm"]', '["18 mm", "48 mm"]')
    assert brief(answer).startswith("2 closures, gaps of 30 mm; ") and closures_of(answer.placement) == "2"
    assert brief(_cuff('["18 mm"]', '["18 mm"]')).startswith("1 closure; ")
