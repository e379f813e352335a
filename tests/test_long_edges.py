"""A long edge costs work in step with its length: parts are cut, and pages filled, without measuring all that is left."""

from __future__ import annotations

import pytest
from work import calls_of

from closures.app.job import check_plan
from closures.drawing.ink.rigid import UNTURNED
from closures.drawing.paper.packing import fits, pages_taken
from closures.drawing.paper.parts import ways_to_cut
from closures.drawing.sheets import lap_strip
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.spread import Spread
from closures.plan.reading import read_plan

ARC = """
[edge]
arc = {{ length = "{mm} mm", radius = "{radius} mm", bows = "out" }}
[garment]
opens = "front"
pieces = "separate"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
pitch = "100 mm"
first = "50 mm"
last = "50 mm"
"""
BODY = (10.0, 10.0, 200.0, 287.0)


def _subject(mm: int, radius: float):
    answer = check_plan(read_plan(ARC.format(mm=mm, radius=radius).encode(), "arc.toml"))
    return subjects_of(answer.placement, answer.findings, answer.catalogue)[0]


def _fits_page(size):
    return fits(size, BODY, (), 2.0)


def test_no_stretch_much_longer_than_a_page_is_measured(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rest of 8 m was measured anew for each of its parts, place by place."""
    asked: list[float] = []

    measured = Spread.size

    def noted(spread, low, high):
        asked.append(high - low)
        return measured(spread, low, high)

    monkeypatch.setattr(Spread, "size", noted)
    assert ways_to_cut(lap_strip.lap_piece(_subject(8000, 5300.0)).strip_for(_fits_page, 0.0))
    assert max(asked) < 400.0


def test_filling_pages_with_alike_parts_grows_in_step_with_their_number() -> None:
    def work(count: int) -> int:
        sizes = [(230.0 + k % 7, 66.0 + k % 3) for k in range(count)]
        return calls_of(lambda: pages_taken(sizes, BODY, (), 2.0))

    assert work(320) < 2.6 * work(160)


@pytest.mark.parametrize("radius", [95.0, 300.0, 4000.0])
def test_what_is_called_too_long_by_its_ends_fits_no_page_when_it_is_measured(radius: float) -> None:
    subject = _subject(560, radius)
    piece = lap_strip.lap_piece(subject)
    spot = subject.view(UNTURNED).spot_on_line
    spread = Spread(spot, lambda along: (spot(along).at, spot(along).at), subject.length_mm, 0.0)
    strip = piece.strip_for(_fits_page, 0.0)
    told = 0
    for low in range(0, 500, 20):
        for high in range(low + 20, 541, 20):
            if spread.is_too_long(_fits_page, float(low), float(high)):
                told += 1
                assert not _fits_page(strip.size(float(low), float(high)))
    assert (told > 0) == (radius > 200)
