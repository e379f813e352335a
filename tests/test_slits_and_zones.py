"""No buttonhole is cut into a stretch that is to stay clear: it reaches further than the rim of its button."""

import math
from dataclasses import replace

import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.app.verified import promises_of
from closures.catalogue.loading import load_catalogue
from closures.checks.checked import Checked
from closures.checks.row import check_clear_zone
from closures.edges.reading import read_edges
from closures.errors import SpacingError
from closures.jobs.sizes.family import plan_of_size
from closures.jobs.sizes.hold import plan_holding
from closures.jobs.sizes.run import size_all
from closures.placing.buttonhole import slits_of
from closures.placing.placement import place_on, prepare
from closures.plan.reading import read_plan
from closures.spacing import NoSpacing
from closures.verifying.verify import UnsoundError, require_sound

CATALOGUE = load_catalogue()
STRAIGHT = 'straight = "520 mm"'
BOWED = 'points = [["0 mm", "0 mm"], ["40 mm", "130 mm"], ["55 mm", "260 mm"], ["40 mm", "390 mm"], ["0 mm", "520 mm"]]'
LEVELS = 'level = ["250 mm", "262 mm"]'
ALONG = 'along = ["250 mm", "262 mm"]'


def plan_of(edge: str = STRAIGHT, zone: str = LEVELS, hole: str = "along"):
    text = f"""
title = "Slit and seam"
[edge]
{edge}
[garment]
opens = "front"
pieces = "separate"
[band]
width = "60 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "24 L"
thickness = "4 mm"
hole = "{hole}"
[spacing]
first = "20 mm"
last = "60 mm"
pitch = "75 mm"
[[clear]]
name = "waist seam"
{zone}
"""
    return read_plan(text.encode(), "slit.toml")


def slit_levels(placement):
    """From where to where each slit lies below the level zero, from its sheet's own figures."""
    slits = slits_of(placement, CATALOGUE)
    for mark in placement.marks:
        (_, one), (_, other) = slits["over", mark.n].ends_mm
        yield sorted((mark.level_mm + one, mark.level_mm + other))


@pytest.mark.parametrize("edge", [STRAIGHT, BOWED], ids=["straight", "bowed"])
@pytest.mark.parametrize("zone", [LEVELS, ALONG], ids=["levels", "along"])
def test_no_slit_lies_in_a_clear_stretch(edge, zone):
    # Bulletin 576, Univ. of Minnesota: the hole is as long as the button is wide and thick, an eighth of it above the mark.
    answer = check_plan(plan_of(edge, zone))
    told = next(one for one in answer.findings if one.rule == "clear zone")
    assert told.result == "pass"
    if zone == LEVELS:
        assert all(high <= 250 + 1e-6 or low >= 262 - 1e-6 for low, high in slit_levels(answer.placement))
    else:
        reach = 15.24 + 4.0 - 3.175
        for mark in answer.placement.marks:
            assert mark.along_mm + reach <= 250.05 or mark.along_mm - max(3.175, 7.62) >= 261.95


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("edge", [STRAIGHT, BOWED], ids=["straight", "bowed"])
@pytest.mark.parametrize("face", ["outside", "inside"])
@pytest.mark.parametrize("zone", [LEVELS, ALONG], ids=["levels", "along"])
def test_sheet_whose_slit_reaches_into_a_clear_stretch_is_not_let_out(edge, face, zone):
    answer = place_plan(plan_of(edge, zone), None, face)
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, CATALOGUE)
    require_sound(files, promises)
    # A stretch that begins 12 mm past a mark is clear of its rim of 7.62 mm, and not of its slit of 16.065 mm.
    mark = next(one for one in reversed(answer.placement.marks) if one.along_mm < 250)
    begins = 12.0 + (mark.level_mm if zone == LEVELS else mark.along_mm)
    (asked,) = promises.zones
    moved = replace(asked, **{"level_mm" if zone == LEVELS else "along_mm": (begins, begins + 5.0)})
    with pytest.raises(
        UnsoundError, match=rf"over\.svg: the buttonhole of mark {mark.n} reaches [345]\.\d+ mm into 'waist"
    ):
        require_sound(files, replace(promises, zones=(moved,)))
    require_sound(files, replace(promises, zones=(replace(moved, keeps_slits=False),)))


@pytest.mark.parametrize("zone", [LEVELS, ALONG], ids=["levels", "along"])
@pytest.mark.parametrize(("off_mm", "result"), [(0.01, "pass"), (-0.01, "fail")], ids=["just clear", "just in"])
def test_slit_at_the_border_of_a_clear_stretch_is_judged_by_its_own_end(zone, off_mm, result):
    plan = plan_of(zone=zone)
    prepared = prepare(plan, read_edges(plan), CATALOGUE)
    # Below its mark the hole reaches 15.24 + 4 - 3.175 = 16.065 mm; the rim only 7.62.
    placement = place_on(prepared, (250 - 16.065 - off_mm, 400.0), CATALOGUE)
    told = check_clear_zone(Checked(placement, CATALOGUE))[0]
    assert (told.result, told.mark) == (result, 1)
    assert "buttonhole" in told.text
    assert told.found_mm == pytest.approx(off_mm, abs=1e-6)


def test_slit_across_a_level_stretch_takes_none_of_it():
    plan = plan_of(hole="across")
    prepared = prepare(plan, read_edges(plan), CATALOGUE)
    told = check_clear_zone(Checked(place_on(prepared, (250 - 7.63, 400.0), CATALOGUE), CATALOGUE))[0]
    assert told.result == "pass" and "rim, of mark 1" in told.text
    assert told.found_mm == pytest.approx(0.01, abs=1e-6)


@pytest.mark.parametrize("row", ["along", "across"])
def test_closure_that_differs_keeps_off_a_zone_by_the_slit_that_it_has_itself(row):
    """At 300 mm a slit across of 36 L ends 3.6 mm above a seam at 315; one along would reach 24 mm down, into it."""
    text = f"""
[edge]
straight = "600 mm"
[garment]
opens = "front"
[band]
width = "60 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
hole = "{row}"
[spacing]
first = "30 mm"
last = "90 mm"
count = 7
[[anchor]]
name = "waist"
level = "300 mm"
[[clear]]
name = "seam"
level = ["315 mm", "330 mm"]
[[differs]]
at = "waist"
kind = "sew-through button"
size = "36 L"
thickness = "4 mm"
hole = "HOLE"
"""
    across = read_plan(text.replace("HOLE", "across").encode(), "row.toml")
    placement = check_plan(across).placement
    assert placement.spacing.positions_mm[3] == pytest.approx(300)
    assert all(high <= 315 or low >= 330 for low, high in slit_levels(placement))
    along = read_plan(text.replace("HOLE", "along").encode(), "row.toml")
    with pytest.raises(SpacingError, match="clear zone seam"):
        check_plan(along)


def test_place_from_which_a_slit_ends_at_a_level_is_exact_on_a_bow():
    plan = plan_of(BOWED)
    prepared = prepare(plan, read_edges(plan), CATALOGUE)
    low, high = prepared.zones[0].closed_mm[0]
    line = prepared.laps.line
    for place, reach, level in ((low, 16.065, 250.0), (high, -3.175, 262.0)):
        x, y = line.tangent_at(place)
        assert math.hypot(x, y) == pytest.approx(1.0)
        slit = line.point_at(place)[1] + reach * y - prepared.laps.level_zero_mm
        rim = line.point_at(place)[1] + math.copysign(7.62, reach) - prepared.laps.level_zero_mm
        ends = (slit, rim)
        assert (max(ends) if reach > 0 else min(ends)) == pytest.approx(level, abs=1e-6)


OWN = """
[edge]
straight = "600 mm"
[garment]
opens = "front"
[band]
width = "60 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
hole = "along"
[spacing]
first = "30 mm"
last = "90 mm"
{asked}
[[clear]]
name = "seam"
level = ["290 mm", "300 mm"]
[[differs]]
mark = {mark}
kind = "sew-through button"
size = "36 L"
thickness = "4 mm"
"""


@pytest.mark.parametrize("asked", ["count = 7", 'pitch = "80 mm"'])
def test_large_button_far_from_a_zone_moves_no_small_one_near_it(asked: str) -> None:
    """Even gaps are 80 mm: mark 4, at 270, is a small button whose slit ends by 282; one of 36 L would reach 294."""
    placement = check_plan(read_plan(OWN.format(asked=asked, mark=1).encode(), "row.toml")).placement
    assert placement.spacing.positions_mm == pytest.approx([30 + 80 * n for n in range(7)])
    assert all(high <= 290 or low >= 300 for low, high in slit_levels(placement))


def test_large_button_near_a_zone_keeps_its_own_slit_off_it() -> None:
    placement = check_plan(read_plan(OWN.format(asked="count = 7", mark=4).encode(), "row.toml")).placement
    assert placement.spacing.positions_mm[3] != pytest.approx(270, abs=1)
    assert all(high <= 290 or low >= 300 for low, high in slit_levels(placement))


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_rows_that_shrink_give_each_slit_its_own_room_too(measured: str) -> None:
    """On a straight edge the row in the state that was told is the one without a wash."""
    wash = f'[shrinkage]\nalong = "6 %"\nacross = "6 %"\nmeasured = "{measured}"\n'
    text = OWN.format(asked="count = 7", mark=1) + wash
    placement = check_plan(read_plan(text.encode(), "row.toml")).placement
    assert placement.as_told.spacing.positions_mm == pytest.approx([30 + 80 * n for n in range(7)])


def test_two_kinds_at_two_zones_each_keep_off_by_their_own() -> None:
    """Mark 4 gives way to the first zone with its 36 L; mark 6, of 18 L, keeps the place that it had without it."""
    zone = '[[clear]]\nname = "pocket"\nlevel = ["448 mm", "460 mm"]\n'
    text = OWN.format(asked='pitch = "80 mm"', mark=4).replace("[[differs]]", zone + "[[differs]]")
    answer = check_plan(read_plan(text.encode(), "row.toml"))
    (told,) = {one.result for one in answer.findings if one.rule == "clear zone"}
    assert told == "pass"
    places = answer.placement.spacing.positions_mm
    # 18 L with 3 mm reaches 11.43 + 3 - 3.175 = 11.255 mm below its mark; 36 L with 4 mm 23.685, into the pocket.
    assert 448 - 23.685 < places[5] < 448 - 11.255
    assert all(
        high <= level or low >= level + wide
        for low, high in slit_levels(answer.placement)
        for level, wide in ((290, 10), (448, 12))
    )


def test_one_count_for_all_sizes_gives_each_slit_its_own_room() -> None:
    """Held against each count placed in each size by itself."""
    sizes = """
[sizes]
names = ["S", "M", "L"]
base = "M"
hold = "best"
clear = { seam = { step = "9 mm" } }
last = { step = "-12 mm" }
"""
    plan = read_plan((OWN.format(asked='pitch = "80 mm"', mark=1) + sizes).encode(), "row.toml")
    found = size_all(plan, check_plan)
    base = next(one for one in found.placed if one.name == "M")
    assert base.placement.spacing.positions_mm == pytest.approx([30 + 80 * n for n in range(7)])
    off: dict[int, float] = {}
    for count in range(4, 11):
        rows = []
        for name in ("S", "M", "L"):
            try:
                own = plan_holding(plan_of_size(plan, name), "count", replace(found.held, count=count), near=True)
                rows.append(check_plan(own).placement.spacing)
            except SpacingError:
                break
        if len(rows) == 3:
            off[count] = max(abs(gap - 80) for row in rows for gap in row.gaps_mm)
    best = min(off, key=lambda count: off[count])
    assert found.one_count is not None
    assert (found.one_count.count, found.one_count.departure_mm) == (best, pytest.approx(off[best], abs=0.01))


APART = """
[edge]
straight = "{long} mm"
[band]
width = "60 mm"
lap = "right over left"
[garment]
opens = "front"
pieces = "pair"
[closure]
kind = "sew-through button"
size = "18 L"
hole = "across"
[spacing]
first = {{ from = "15 mm", to = "{first} mm" }}
last = {{ from = "{last[0]} mm", to = "{last[1]} mm" }}
count = {count}
[[clear]]
name = "belt"
along = {belt}
[[differs]]
marks = [{mark}]
size = "34 L"
"""


def test_row_whose_closures_keep_off_by_unlike_sizes_is_the_most_even_there_is() -> None:
    """Mark 9, an 18 L, lies nearer to the belt than a 34 L may; with all as far off as that, gaps differ by 34.7 mm."""
    text = APART.format(long=500, first=25, last=(60, 110), count=9, belt='["333 mm", "390 mm"]', mark=8)
    answer = check_plan(read_plan(text.encode(), "row.toml"))
    assert answer.placement.spacing.spread_mm == pytest.approx(29.6, abs=0.05)
    assert "no row of 9 that keeps to clear zone belt is more even" in answer.placement.spacing.reason
    (look,) = [found for found in answer.findings if found.rule == "evenness"]
    assert "cannot look even" in look.text and "clear zone belt" in look.text


def test_row_that_is_there_by_each_size_is_found() -> None:
    """The 34 L at mark 3 and the 18 L at the waist each keep off by their own; by the larger there is no row."""
    text = APART.format(long=300, first=60, last=(20, 120), count=4, belt='["150 mm", "190 mm"]', mark=3)
    text += '[[anchor]]\nname = "waist"\nalong = "196 mm"\n'
    answer = check_plan(read_plan(text.encode(), "row.toml"))
    places = answer.placement.spacing.positions_mm
    # A 34 L is 21.59 mm across and an 18 L 11.43: their rims end where the belt begins and after it ends.
    assert places[2] <= 150 - 21.59 / 2 + 1e-6
    assert places[3] == pytest.approx(196) and places[3] - 11.43 / 2 > 190
    assert not [found for found in answer.findings if found.rule == "clear zone" and found.result != "pass"]


def test_refusal_of_closures_that_differ_offers_what_does() -> None:
    text = APART.format(long=300, first=60, last=(20, 120), count=4, belt='["150 mm", "190 mm"]', mark=3)
    text += '[[anchor]]\nname = "waist"\nalong = "194 mm"\n'
    with pytest.raises(NoSpacing, match=r"clear zone belt, .* nor as near to it as some of these closures are large"):
        check_plan(read_plan(text.encode(), "row.toml"))
    moved = text.replace('"194 mm"', '"195.8 mm"')
    assert check_plan(read_plan(moved.encode(), "row.toml")).placement.spacing.positions_mm[3] == pytest.approx(195.8)
