"""Cloth that shrinks unlike across and along, on a bent edge: what is told along the line lies there by a tape."""

from __future__ import annotations

import io
import math
from itertools import pairwise

import pdfplumber
import pytest

from closures.app.job import Answer, check_plan, place_plan, result_files
from closures.errors import EdgeError, SpacingError
from closures.placing.sewn_metal import metal_reach_mm
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
    # By its rings: round the bend these lie otherwise than the end of the hook.
    assert hook.spacing.positions_mm[0] == pytest.approx(250, abs=0.2)


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
    with pytest.raises(SpacingError, match="all of these are lengths of the unwashed cloth") as refused:
        check_plan(read_plan(text.format(measured="unwashed").encode(), "bent.toml"))
    assert "no gap wider than 77 mm; no gap closer than 75 mm" in str(refused.value)
    alike = text.replace('across = "1 %"', 'across = "8 %"').format(measured="unwashed")
    with pytest.raises(SpacingError, match="all of these are lengths of the unwashed cloth") as refused:
        check_plan(read_plan(alike.encode(), "bent.toml"))
    assert "no gap wider than 77 mm; no gap closer than 75 mm" in str(refused.value)
    with pytest.raises(SpacingError) as refused:
        check_plan(read_plan(text.format(measured="washed").encode(), "bent.toml"))
    assert "washed garment" not in str(refused.value) and "unwashed" not in str(refused.value)


def taped(spacing: str, more: str = "", first: float = 25) -> tuple[list[float], Answer]:
    """The gaps that a tape finds on the unwashed cloth, which loses 10 % down and nothing across."""
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {ROUND}\n[band]\nwidth = "40 mm"\n'
        'inset = "20 mm"\nunder_inset = "20 mm"\ncut = "shaped"\nlap = "left over right"\n[closure]\n'
        f'kind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "{first} mm"\nlast = "25 mm"\n{spacing}\n{more}'
        '[shrinkage]\nalong = "10 %"\nacross = "0 %"\nmeasured = "unwashed"\n'
    )
    found = place_plan(read_plan(text.encode(), "round.toml"))
    line = found.placement.laps.line
    places = [line.nearest((mark.x_mm, mark.y_mm)).along_mm for mark in found.placement.marks]
    return [after - before for before, after in pairwise(places)], found


# Straight down, round a corner, and nearly level: there each mm that is worn was a mm of cloth, and above 1.11 mm.
ROUND = (
    '[["0 mm","0 mm"], ["0 mm","150 mm"], ["0 mm","300 mm"], ["-25 mm","400 mm"], ["-110 mm","470 mm"], '
    '["-210 mm","490 mm"]]'
)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("spacing", "closest", "widest"),
    [
        ('pitch = "76 mm"\nwidest = "76 mm"', 0, 76),
        ('pitch = "80 mm"\nclosest = "74 mm"', 74, math.inf),
        ('pitch = "80 mm"\nclosest = "74 mm"\nwidest = "84 mm"', 74, 84),
        ('pitch = "80 mm"\nclosest = "75 mm"\nwidest = "75.3 mm"', 75, 75.3),
        ('count = 9\nwidest = "75.2 mm"', 0, 75.2),
    ],
)
def test_every_gap_of_a_bent_edge_keeps_what_was_told_of_the_unwashed_cloth_by_a_tape(spacing, closest, widest):
    gaps, found = taped(spacing)
    assert closest - 1e-5 <= min(gaps) and max(gaps) <= widest + 1e-5
    (said,) = [one for one in found.findings if one.rule == "widest gap"]
    if widest < math.inf:
        assert said.found_mm == pytest.approx(max(gaps), abs=1e-5) and said.limit_mm == widest
        assert f"at most {widest} mm is wanted, both on the unwashed cloth" in said.text
    # Each end of a gap that is worn is the same point of the cloth.
    worn = found.placement.as_worn
    for mark, washed in zip(found.placement.marks, worn.marks, strict=True):
        assert (washed.x_mm, washed.y_mm) == pytest.approx((mark.x_mm, mark.y_mm * 0.9), abs=0.2)
    assert result_files(found, "a4")


def test_gaps_kept_on_the_unwashed_cloth_keep_a_belt_clear_of_worn_rims_as_well():
    belt = '[[clear]]\nname = "belt"\nalong = ["360 mm", "390 mm"]\n'
    gaps, found = taped('pitch = "70 mm"\nclosest = "62 mm"\nwidest = "84 mm"', belt)
    assert min(gaps) >= 62 - 1e-5 and max(gaps) <= 84 + 1e-5
    assert [one.result for one in found.findings if one.rule == "clear zone"] == ["pass"]


def test_pitch_told_of_unwashed_cloth_is_that_of_the_stretch_between_the_ends_of_the_row():
    # The row lies where the edge runs nearly level and loses next to nothing, above it much: a mean would take 4 gaps.
    gaps, found = taped('pitch = "67 mm"', first=400)
    between = found.placement.laps.line.length_mm - 400 - 25
    assert sum(gaps) == pytest.approx(between, abs=1e-5)
    # The nearer to the pitch of the gaps that an even row can have here.
    assert len(gaps) == min(range(2, 6), key=lambda n: abs(between / n - 67)) == 3


def test_inset_of_a_single_closure_shrinks_as_the_band_does_across():
    text = BENT.replace('along = "250 mm"', 'along = "250 mm"\ninset = "12 mm"').format(measured="unwashed")
    placement = check_plan(read_plan(text.encode(), "bent.toml")).placement
    (marked,), (worn,) = placement.beside, placement.as_worn.beside
    assert marked.laps.over.inset_mm == pytest.approx(12, abs=0.5)
    # Its rings lie a reach r further in, and keep 99 % of that where the edge runs down; where it bends, less, to 92 %.
    (one,), r = marked.on("over"), metal_reach_mm(marked.fastener, "over")
    assert one.edge_distance_mm == pytest.approx(12, abs=r * (1 / 0.92 - 1 / 0.99))
    assert worn.on("over")[0].edge_distance_mm < 12


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


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_everything_that_is_laid_on_cloth_says_that_it_is_for_unwashed_cloth(measured: str):
    text = BENT.format(measured=measured)
    files = result_files(place_plan(read_plan(text.encode(), "bent.toml")), "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pdf:
        # In the order in which they are set: words along a bent strip are told line by line among their neighbours.
        cover, *pages = ["".join("".join(char["text"] for char in page.chars).split()) for page in pdf.pages]
    # Its two columns are read across, so the sentence is held where it stands alone.
    assert "unwashedcloth" in cover
    told = "These sheets are for unwashed cloth, which loses 8 % down and 1 % across: mark before the first wash."
    assert told in files["report.md"].decode()
    # A cover may take a second sheet, and is laid on nothing.
    on_cloth = [page for page in pages if "faceup" in page]
    assert len(on_cloth) == 3 and all("forunwashedcloth" in page for page in on_cloth)
    for name in ("over.svg", "under.svg"):
        assert b"for unwashed cloth" in files[name]
    plain = result_files(place_plan(read_plan(text.partition("[shrinkage]")[0].encode(), "bent.toml")), "a4")
    assert b"unwashed" not in plain["over.svg"]


def told_short(spacing: str, more: str = "", across: str = "6 %") -> str:
    return (
        '[edge]\nstraight = "300 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        f'[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "32.6 mm"\nlast = "38.4 mm"\n{spacing}\n'
        f'{more}[shrinkage]\nalong = "6 %"\nacross = "{across}"\nmeasured = "unwashed"\n'
    )


@pytest.mark.parametrize("across", ["6 %", "1 %"])
def test_figures_offered_for_unwashed_cloth_are_its_own_and_are_taken_when_they_are_written(across: str) -> None:
    with pytest.raises(SpacingError) as refused:
        check_plan(read_plan(told_short('count = 3\nwidest = "61.8 mm"', across=across).encode(), "short.toml"))
    told = str(refused.value)
    # From end to end 300 - 32.6 - 38.4 = 229 mm, in two gaps.
    assert "the first closure 32.6 mm from the neck" in told and "gaps of up to 114.5 mm" in told
    check_plan(read_plan(told_short('count = 3\nwidest = "114.5 mm"', across=across).encode(), "short.toml"))
    # One end let in by what the two gaps lack.
    assert "the first closure 32.6 mm to 138 mm from the neck" in told
    moved = told_short('count = 3\nwidest = "61.8 mm"', across=across).replace(
        'first = "32.6 mm"', 'first = { from = "32.6 mm", to = "138 mm" }'
    )
    check_plan(read_plan(moved.encode(), "short.toml"))


@pytest.mark.parametrize("end", ["first", "last"])
def test_end_of_a_row_past_a_short_line_of_unwashed_cloth_is_refused_with_words(end: str) -> None:
    # With the pitch, which is carried by the stretch between the ends.
    plan = told_short('pitch = "46 mm"', across="1 %").replace('straight = "300 mm"', 'straight = "60 mm"')
    plan = plan.replace(f'{end} = "3', f'{end} = "13')
    with pytest.raises(SpacingError, match=f"the {end} closure 13.* mm from the .* lies beyond .*unwashed cloth"):
        check_plan(read_plan(plan.encode(), "short.toml"))


@pytest.mark.parametrize("at", ['along = "310 mm"', 'level = "310 mm"'])
def test_place_off_the_line_of_unwashed_cloth_is_refused_in_the_lengths_of_the_plan(at: str) -> None:
    anchor = f'[[anchor]]\nname = "bust"\n{at}\n'
    with pytest.raises(EdgeError) as refused:
        check_plan(read_plan(told_short("count = 3", anchor).encode(), "short.toml"))
    assert "310.0 mm" in str(refused.value) and "300" in str(refused.value) and "282" not in str(refused.value)
    single = f'[[single]]\nkind = "prong snap"\nsize = "16 L"\n{at}\n'
    with pytest.raises(EdgeError) as refused:
        check_plan(read_plan(told_short("count = 3", single).encode(), "short.toml"))
    assert "310 mm" in str(refused.value) and "300 mm" in str(refused.value)


def test_place_that_is_offered_on_a_line_lies_on_it() -> None:
    # The line is 293.68 mm long: 293.7 would lie past its end.
    plan = told_short("count = 3", '[[anchor]]\nname = "bust"\nalong = "293.7 mm"\nwithin = "60 mm"\n')
    plan = plan.replace("300 mm", "293.68 mm")
    with pytest.raises(EdgeError, match=r"Give an along between 0 and 293\.6 mm"):
        check_plan(read_plan(plan.encode(), "short.toml"))
    check_plan(read_plan(plan.replace("293.7 mm", "293.6 mm").encode(), "short.toml"))


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
@pytest.mark.parametrize("lap", ["left over right", "right over left"])
def test_place_just_before_the_end_of_a_line_is_none_past_it_in_the_other_state(lap: str, measured: str) -> None:
    # Outside a bend a line is longer than its edge and inside it is shorter, and each loses its own share of length.
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {ROUND}\n[band]\nwidth = "80 mm"\n'
        f'inset = "20 mm"\nunder_inset = "20 mm"\ncut = "shaped"\nlap = "{lap}"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\n[spacing]\ncount = 5\nfirst = "20 mm"\nlast = "20 mm"\n'
        f'[shrinkage]\nalong = "20 %"\nacross = "0 %"\nmeasured = "{measured}"\n'
    )
    length = check_plan(read_plan(text.encode(), "end.toml")).placement.as_told.laps.line.length_mm
    near = f'[[anchor]]\nname = "tip"\nalong = "{length - 0.2:.3f} mm"\nwithin = "60 mm"\n'
    found = check_plan(read_plan((text + near).encode(), "end.toml")).placement.as_told
    assert found.anchors[0].along_mm == pytest.approx(length - 0.2, abs=1e-3)
    clear = f'[[clear]]\nname = "tip"\nalong = ["{length - 0.2:.3f} mm", "{length + 5:.3f} mm"]\n'
    found = check_plan(read_plan((text + clear).encode(), "end.toml")).placement.as_told
    assert found.zones[0].stretches_mm[0][0] == pytest.approx(length - 0.2, abs=1e-3)
