"""Cloth that shrinks unlike across and along, on a bent edge: what is told along the line lies there by a tape."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.errors import SpacingError
from closures.plan.reading import read_plan

BENT = """
[garment]
opens = "front"
pieces = "pair"
[edge]
points = [["0 mm","0 mm"], ["60 mm","120 mm"], ["150 mm","260 mm"], ["170 mm","420 mm"], ["120 mm","640 mm"]]
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = {{ from = "20 mm", to = "60 mm" }}
pitch = "76 mm"
[[anchor]]
name = "bust"
along = "300 mm"
within = "0 mm"
[[clear]]
name = "belt"
along = ["420 mm", "455 mm"]
[[single]]
kind = "hook and eye"
size = "2"
cap = "9 mm"
along = "250 mm"
[shrinkage]
along = "8 %"
across = "1 %"
measured = "{measured}"
"""


def test_places_told_along_a_bent_edge_of_unwashed_cloth_lie_there_by_a_tape():
    placement = check_plan(read_plan(BENT.format(measured="unwashed").encode(), "bent.toml")).placement
    assert placement.marks[4].along_mm == pytest.approx(300, abs=1e-6)
    (zone,) = placement.zones
    assert zone.stretches_mm[0] == pytest.approx((420, 455), abs=1e-9)
    # The same stretch of the cloth, once washed: both its ends carried point by point.
    (worn,) = placement.as_worn.zones
    for place, told in zip(worn.stretches_mm[0], (420, 455), strict=True):
        x, y = placement.as_worn.laps.line.point_at(place)
        assert placement.laps.line.nearest((x / 0.99, y / 0.92)).along_mm == pytest.approx(told, abs=1e-6)
    (hook,) = placement.beside
    assert hook.spacing.positions_mm[0] == pytest.approx(250, abs=1e-6)


def test_zone_told_of_the_washed_garment_is_drawn_where_its_cloth_lies():
    placement = check_plan(read_plan(BENT.format(measured="washed").encode(), "bent.toml")).placement
    assert placement.as_worn.marks[4].along_mm == pytest.approx(300, abs=1e-6)
    (zone,) = placement.zones
    x, y = placement.as_worn.laps.line.point_at(420)
    assert placement.laps.line.nearest((x / 0.99, y / 0.92)).along_mm == pytest.approx(
        zone.stretches_mm[0][0], abs=1e-6
    )


def test_refusal_of_unwashed_cloth_says_whose_lengths_it_tells():
    text = BENT.replace('pitch = "76 mm"', 'pitch = "76 mm"\nwidest = "77 mm"\nclosest = "75 mm"')
    with pytest.raises(SpacingError, match="all of these are lengths of the washed garment"):
        check_plan(read_plan(text.format(measured="unwashed").encode(), "bent.toml"))
    with pytest.raises(SpacingError) as refused:
        check_plan(read_plan(text.format(measured="washed").encode(), "bent.toml"))
    assert "washed garment" not in str(refused.value)


def test_inset_of_a_single_closure_shrinks_as_the_band_does_across():
    text = BENT.replace('along = "250 mm"', 'along = "250 mm"\ninset = "12 mm"').format(measured="unwashed")
    placement = check_plan(read_plan(text.encode(), "bent.toml")).placement
    (marked,), (worn,) = placement.beside, placement.as_worn.beside
    assert marked.laps.over.inset_mm == pytest.approx(12)
    assert worn.laps.over.inset_mm == pytest.approx(12 * 0.99)


@pytest.mark.parametrize(("last", "least", "most"), [('"60 mm"', 60, 60), ('{ from = "40 mm", to = "60 mm" }', 40, 60)])
@pytest.mark.parametrize("stand", ["", '[stand]\nheight = "30 mm"\ngrain = "round"\n'], ids=["plain", "stand"])
def test_last_told_of_unwashed_cloth_is_found_by_a_tape_below_a_stand_too(
    last: str, least: float, most: float, stand: str
):
    text = (
        '[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = [["0 mm","0 mm"], ["0 mm","150 mm"], ["0 mm","300 mm"], '
        '["-25 mm","400 mm"], ["-110 mm","470 mm"], ["-210 mm","490 mm"]]\n[band]\nwidth = "30 mm"\ninset = "15 mm"\n'
        'under_inset = "15 mm"\ncut = "shaped"\nlap = "left over right"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n'
        f"[spacing]\nlast = {last}\ncount = 8\n{stand}"
        '[shrinkage]\nalong = "10 %"\nacross = "0 %"\nmeasured = "unwashed"\n'
    )
    placement = check_plan(read_plan(text.encode(), "bent.toml")).placement
    left = placement.laps.line.length_mm - placement.marks[-1].along_mm
    assert least - 1e-6 <= left <= most + 1e-6


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_everything_that_is_laid_on_cloth_says_that_it_is_for_unwashed_cloth(measured: str):
    text = BENT.format(measured=measured)
    files = result_files(place_plan(read_plan(text.encode(), "bent.toml")), "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pdf:
        cover, *pages = [" ".join((page.extract_text() or "").split()) for page in pdf.pages]
    # Its two columns are read across, so the sentence is held where it stands alone.
    assert "unwashed cloth" in cover
    told = "These sheets are for unwashed cloth, which loses 8 % down and 1 % across: mark before the first wash."
    assert told in files["report.md"].decode()
    assert pages and all("for unwashed cloth" in page for page in pages)
    for name in ("over.svg", "under.svg"):
        assert b"for unwashed cloth" in files[name]
    plain = result_files(place_plan(read_plan(text.partition("[shrinkage]")[0].encode(), "bent.toml")), "a4")
    assert b"unwashed" not in plain["over.svg"]
