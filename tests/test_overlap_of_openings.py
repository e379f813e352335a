"""Rows of one garment on one drawing: closures of one where the laps of another lie on each other, and what is counted."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app
from closures.app.whole import Whole, work_garment
from closures.errors import PlanError

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
        # Square to the front's edge, rounded up to what a tape shows: 41.08.
        assert 'Write first = "41.1 mm" under [spacing] of crotch.toml' in text


def told_first(folder: Path, end: str = "first") -> str:
    """What the finding says to write."""
    whole = work_garment(folder / "garment.toml", draw=False)
    said = {re.search(rf'Write {end} = "([^"]+)" under \[spacing\] of crotch\.toml', one.text)
            for one in whole.clearances if "laps over itself" in one.text}  # fmt: skip
    (told,) = {found[1] for found in said if found is not None}
    assert None not in said
    return told


# Straight at 30 degrees to the square, either way, where each mm along brings a closure cos 30 = 0.866 mm further from the
# front's edge, and bent. Obeyed it passes; a tenth of a mm less does not.
@pytest.mark.parametrize("first_mm", [18, 27, 32])
@pytest.mark.parametrize(
    "line",
    [
        "M 200 400 L 90 463.5",
        "M 200 400 L 90 336.5",
        "M 200 400 C 180 401 120 386 60 366",
        "M 200 400 Q 180 430 80 450",
    ],
)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_first_that_is_told_keeps_the_row_clear_when_it_is_written(
    tmp_path: Path, line: str, first_mm: float, units: str
) -> None:
    romper(tmp_path, first_mm)
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", line))
    crotch.write_text(f'units = "{units}"\n' + crotch.read_text())
    told = told_first(tmp_path)
    crotch.write_text(crotch.read_text().replace(f'first = "{first_mm} mm"', f'first = "{told}"'))
    assert not lapped_over(work_garment(tmp_path / "garment.toml", draw=False))
    if units == "mm":
        less = f'first = "{float(told.split()[0]) - 0.1:.2f} mm"'
        crotch.write_text(crotch.read_text().replace(f'first = "{told}"', less))
        assert lapped_over(work_garment(tmp_path / "garment.toml", draw=False))


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_the_first_of_cloth_that_shrinks_is_told_as_it_was_measured(tmp_path: Path, measured: str) -> None:
    romper(tmp_path, 18)
    for name in ("front", "crotch"):
        plan = tmp_path / f"{name}.toml"
        plan.write_text(plan.read_text() + f'[shrinkage]\nalong = "6%"\nacross = "3%"\nmeasured = "{measured}"\n')
    told = told_first(tmp_path)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text().replace('first = "18 mm"', f'first = "{told}"'))
    assert not lapped_over(work_garment(tmp_path / "garment.toml", draw=False))


def test_the_last_is_told_where_a_row_ends_at_the_front(tmp_path: Path) -> None:
    romper(tmp_path, 14)
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 80 400 H 200"))
    crotch.write_text(crotch.read_text().replace('last = "14 mm"', 'last = "20 mm"'))
    assert told_first(tmp_path, "last") == "41.1 mm"
    crotch.write_text(crotch.read_text().replace('last = "20 mm"', 'last = "41.1 mm"'))
    assert not lapped_over(work_garment(tmp_path / "garment.toml", draw=False))


def test_a_row_for_which_no_first_is_free_is_told_to_leave_a_closure_out(tmp_path: Path) -> None:
    """By hand: from 41.08 to the end less 14 mm are 15.9 mm, and 3 snaps want two gaps of 16.2 mm."""
    romper(tmp_path, 18)
    svg = tmp_path / "front.svg"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 200 400 H 129"))
    fails = [
        one.text for one in work_garment(tmp_path / "garment.toml", draw=False).clearances if one.second == "front"
    ]
    assert len(fails) == 2 and not any("Write first" in text for text in fails)
    assert all("further from that edge, square to it, or leave such a closure out" in text for text in fails)


ENDS = '[spacing]\nfirst = "18 mm"\nlast = "14 mm"\ncount = 3\n'
TAPED = '[tape]\npitch = "19 mm"\n'
OLD = """[swap]
kind = "sew-through button"
size = "16 L"
places = ["18 mm", "50 mm", "90 mm"]
hole = { made = false, way = "along" }
take = "keep every old place"
"""
SINGLE = '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "20 mm"\n'


def spaced(crotch: str, ends: str, kind: str = "") -> str:
    assert ENDS in crotch
    told = crotch.replace(ENDS, ends)
    return told.replace('kind = "prong snap"\nsize = "16 L"', f'kind = "{kind}"\nsize = "any"') if kind else told


def cured(folder: Path, find: str, put: str) -> None:
    """What is offered at either half, written into the plan, leaves none in the overlap and nothing that fails."""
    path, crotch = folder / "garment.toml", folder / "crotch.toml"
    before = work_garment(path, draw=False)
    texts = [one.text for one in before.clearances if "laps over itself" in one.text]
    assert texts and all(put in text for text in texts), texts
    assert find in crotch.read_text()
    crotch.write_text(crotch.read_text().replace(find, find if put.startswith("a [[clear]]") else written(put)))
    if put.startswith("a [[clear]]"):
        along = put.split("along = ")[1]
        crotch.write_text(crotch.read_text() + f'[[clear]]\nname = "overlap"\nalong = {along}\n')
    after = work_garment(path, draw=False)
    assert not lapped_over(after)
    assert after.result != "fail"


def written(put: str) -> str:
    return put.split(" under ")[0]


# By hand: the snap of a tape is 10 mm across, and is clear 36 + 5 mm from the front's edge.
@pytest.mark.parametrize(
    ("ends", "find", "put"),
    [
        ('[spacing]\nfirst = "18 mm"\n', 'first = "18 mm"', 'first = "41 mm" under [spacing] of crotch.toml'),
        (
            '[spacing]\nfirst = { from = "9.5 mm", to = "28.5 mm" }\nlast = "14 mm"\n',
            'first = { from = "9.5 mm", to = "28.5 mm" }',
            # Whole pitches: 120 - 14 - 3 x 19.
            'first = "49 mm" under [spacing] of crotch.toml',
        ),
        (
            '[spacing]\nfirst = { from = "9.5 mm", to = "28.5 mm" }\nlast = "14.5 mm"\n',
            'first = { from = "9.5 mm", to = "28.5 mm" }',
            'first = { from = "41 mm", to = "60 mm" } under [spacing] of crotch.toml',
        ),
        (
            '[spacing]\nfirst = "18 mm"\ncount = 4\n',
            'first = "18 mm"',
            'first = "41 mm" under [spacing] of crotch.toml',
        ),
    ],
    ids=["its other end free", "whole pitches to its other end", "no whole pitches in whole mm", "its count told"],
)
def test_a_tape_in_an_overlap_is_told_where_to_begin(tmp_path: Path, ends: str, find: str, put: str) -> None:
    romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(spaced(crotch.read_text(), ends + TAPED, "snap tape"))
    cured(tmp_path, find, put)


def test_a_row_in_place_of_an_old_one_is_told_which_offer_keeps_it_clear(tmp_path: Path) -> None:
    romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    ends = '[spacing]\nfirst = "50 mm"\nlast = "14 mm"\npitch = "20 mm"\n'
    crotch.write_text(spaced(crotch.read_text(), ends + OLD))
    cured(tmp_path, 'take = "keep every old place"', 'take = "the best spacing there is" under [swap] of crotch.toml')


def test_a_row_whose_every_offer_lies_in_the_overlap_is_told_an_end_beside_the_offer(tmp_path: Path) -> None:
    romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    ends = '[spacing]\nfirst = "18 mm"\nlast = "14 mm"\npitch = "20 mm"\n'
    crotch.write_text(spaced(crotch.read_text(), ends + OLD))
    text = next(
        one.text for one in work_garment(tmp_path / "garment.toml", draw=False).clearances if one.second == "front"
    )
    assert (
        'first = "41.1 mm" under [spacing] and take = "the best spacing there is" under [swap] of crotch.toml' in text
    )
    new = ends.replace("18 mm", "41.1 mm") + OLD.replace("keep every old place", "the best spacing there is")
    crotch.write_text(crotch.read_text().replace(ends + OLD, new))
    assert not lapped_over(work_garment(tmp_path / "garment.toml", draw=False))


def test_a_single_closure_in_an_overlap_is_told_its_own_along(tmp_path: Path) -> None:
    """In whole mm past 41.08, and clear of the row's first: 42 and 70 mm."""
    romper(tmp_path, 70)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text() + SINGLE)
    cured(tmp_path, 'along = "20 mm"', 'along = "42 mm" under [[single]] of crotch.toml')


def test_single_closures_that_lie_together_in_an_overlap_are_told_to_move_together(tmp_path: Path) -> None:
    """The nearer one to whole mm past 41.08, and the other as much further: 15 mm lie between them."""
    romper(tmp_path, 70)
    crotch = tmp_path / "crotch.toml"
    two = SINGLE + SINGLE.replace("20 mm", "5 mm")
    crotch.write_text(crotch.read_text() + two)
    text = next(
        one.text for one in work_garment(tmp_path / "garment.toml", draw=False).clearances if "laps" in one.text
    )
    assert 'Write along = "57 mm" of [[single]] 1 and along = "42 mm" of [[single]] 2 of crotch.toml' in text
    crotch.write_text(crotch.read_text().replace('"20 mm"', '"57 mm"').replace('"5 mm"', '"42 mm"'))
    after = work_garment(tmp_path / "garment.toml", draw=False)
    assert not lapped_over(after) and after.result != "fail"


def test_a_single_closure_that_lies_there_with_the_row_is_moved_with_it(tmp_path: Path) -> None:
    """The single one to whole mm past 41.08; the row's first as it is told by itself, and clear of that one's rim."""
    romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text() + SINGLE.replace("20 mm", "30 mm"))
    text = next(
        one.text for one in work_garment(tmp_path / "garment.toml", draw=False).clearances if "laps" in one.text
    )
    found = re.search(
        r'Write first = "([0-9.]+ mm)" under \[spacing\] and along = "([0-9.]+ mm)" under \[\[single\]\]', text
    )
    assert found is not None, text
    assert float(found[2].split()[0]) >= 41.08 and float(found[1].split()[0]) >= 41.08
    crotch.write_text(crotch.read_text().replace('first = "18 mm"', f'first = "{found[1]}"'))
    crotch.write_text(crotch.read_text().replace('along = "30 mm"', f'along = "{found[2]}"'))
    after = work_garment(tmp_path / "garment.toml", draw=False)
    assert not lapped_over(after) and after.result != "fail"


@pytest.mark.parametrize("take", ["keep every old place", "keep the two ends, divide anew between them"])
def test_an_offer_that_keeps_its_old_places_is_not_told_an_end_that_would_not_move_it(
    tmp_path: Path, take: str
) -> None:
    """Of a row that keeps its old places no `first` moves any; and up to 110 mm from its other end none is clear."""
    romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    ends = '[spacing]\nfirst = "18 mm"\nlast = "110 mm"\npitch = "20 mm"\n'
    crotch.write_text(spaced(crotch.read_text(), ends + OLD.replace("keep every old place", take)))
    text = next(
        one.text for one in work_garment(tmp_path / "garment.toml", draw=False).clearances if "laps" in one.text
    )
    assert text.endswith("was found to keep the row clear of it (take tried).")


def test_a_single_closure_that_bites_by_less_than_a_step_is_told_the_next(tmp_path: Path) -> None:
    romper(tmp_path, 70)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text() + SINGLE.replace("20 mm", "41 mm"))
    cured(tmp_path, 'along = "41 mm"', 'along = "42 mm" under [[single]] of crotch.toml')


def test_a_closure_between_the_ends_of_a_row_is_told_a_clear_zone(tmp_path: Path) -> None:
    """By hand: the line begins 60 mm beyond the front's edge, so that the overlap's 36 mm run from 60 to 96 mm along it."""
    path = romper(tmp_path, 18, GARMENT.split('[[opening]]\nname = "left crotch"')[0])
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 260 400 H 80"))
    crotch.write_text(spaced(crotch.read_text(), '[spacing]\nfirst = "14 mm"\nlast = "14 mm"\npitch = "30 mm"\n'))
    text = next(one.text for one in work_garment(path, draw=False).clearances if one.second == "front")
    zone = re.search(
        r'Write a \[\[clear\]\] with name = "overlap" and along = (\["([0-9.]+) mm", "([0-9.]+) mm"\])', text
    )
    assert zone is not None and float(zone[2]) <= 60.5 and float(zone[3]) >= 95.5
    cured(tmp_path, "", f'a [[clear]] with name = "overlap" and along = {zone[1]}')


def test_a_stand_whose_closure_lies_in_an_overlap_is_told_its_height(tmp_path: Path) -> None:
    """By hand: the neck seam 15 mm within the front's edge, half the height above it and the rim of 5.08 mm: 2 x 20.08."""
    garment = GARMENT.split('[[opening]]\nname = "left crotch"')[0].replace("right crotch", "right back")
    path = romper(tmp_path, 18, garment)
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 185 400 H 20"))
    told = spaced(crotch.read_text(), '[spacing]\nlast = "14 mm"\npitch = "60 mm"\n[stand]\nheight = "30 mm"\n')
    told = told.replace('opens = "crotch"', 'opens = "back"').replace("front over back", "left over right")
    crotch.write_text(told)
    text = next(one.text for one in work_garment(path, draw=False).clearances if one.second == "front")
    assert 'Write height = "41 mm" under [stand] of crotch.toml' in text


def test_what_is_offered_against_an_overlap_fails_nowhere_else(tmp_path: Path) -> None:
    """By hand: a side's last snap lies 200 - 42 mm in, where the crotch's first is just clear; rims want 2 x 5.08 more."""
    path = romper(tmp_path, 18, GARMENT + '[[opening]]\nname = "side"\nplan = "side.toml"\n')
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("</svg>", '<path id="side" d="M 176 200 V 399"/></svg>'))
    side = ROW.format(name="left side", cloth="left", lap="front over back", first=16, last=17)
    (tmp_path / "side.toml").write_text(side.replace('path = "left side"', 'path = "side"'))
    before = work_garment(path, draw=False)
    assert not [one for one in before.clearances if one.result == "fail" and "side" in one.names]
    told = float(told_first(tmp_path).removesuffix(" mm"))
    assert told >= 42 + 10.16
    crotch.write_text(crotch.read_text().replace('first = "18 mm"', f'first = "{told} mm"'))
    after = work_garment(path, draw=False)
    assert not lapped_over(after)
    assert after.result != "fail"
    crotch.write_text(crotch.read_text().replace(f'first = "{told} mm"', 'first = "41.1 mm"'))
    assert work_garment(path, draw=False).result == "fail"


# By hand: a rim of 5.08 and 18 and 18 mm of overlap, as above.
@pytest.mark.parametrize(("first_mm", "result"), [(18, "warn"), (35.99, "warn"), (36.01, ""), (50, "")])
def test_rows_that_are_told_clear_of_the_front_are_a_look_where_the_drawing_shows_them_in_its_overlap(
    tmp_path: Path, first_mm: float, result: str
) -> None:
    clear = GARMENT.replace('plan = "crotch.toml"', 'plan = "crotch.toml"\nclear_of = ["front"]')
    whole = work_garment(romper(tmp_path, first_mm, clear), draw=False)
    assert lapped_over(whole) == ([(result, "right crotch"), (result, "left crotch")] if result else [])
    said = "clear_of says that right crotch and front are clear of each other, and the drawing shows that they are not"
    assert any(said in one.text for one in whole.clearances) == bool(result)


@pytest.mark.parametrize(("last", "result"), [("12 mm", "warn"), ("24 mm", "")])
def test_rows_that_are_told_clear_are_a_look_where_the_drawing_shows_that_they_overlap(
    tmp_path: Path, last: str, result: str
) -> None:
    """By hand: the front's last lies `last` above its end, 18 mm in; the crotch's first 18 mm in, 18 mm above its edge."""
    clear = GARMENT.replace('plan = "crotch.toml"', 'plan = "crotch.toml"\nclear_of = ["front"]')
    path = romper(tmp_path, 18, clear)
    front = tmp_path / "front.toml"
    front.write_text(front.read_text().replace('last = "80 mm"', f'last = "{last}"'))
    # Centres 18 - 12 = 6 mm apart, with 10.16 mm of rims; 18 - 24 likewise: then the crotch is moved.
    if not result:
        crotch = tmp_path / "crotch.toml"
        crotch.write_text(crotch.read_text().replace('first = "18 mm"', 'first = "50 mm"'))
    found = [
        one for one in work_garment(path, draw=False).clearances if "overlap by" in one.text and "front" in one.names
    ]
    assert [one.result for one in found] == ([result, result] if result else [])
    assert all(one.text.startswith("clear_of says that front and") for one in found)


def test_a_row_of_another_place_cannot_be_told_behind_the_front_to_end_what_the_overlap_says(tmp_path: Path) -> None:
    behind = GARMENT.replace('plan = "crotch.toml"', 'plan = "crotch.toml"\nbehind = ["front"]')
    with pytest.raises(PlanError, match="right crotch opens at the crotch while front opens at the front"):
        work_garment(romper(tmp_path, 18, behind), draw=False)


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


def opened(folder: Path, first_mm: float, opens: str, lap: str, garment: str) -> Path:
    """The same piece, drawn with another opening down its edge."""
    path = romper(folder, first_mm, garment)
    front = folder / "front.toml"
    told = front.read_text().replace('opens = "front"\n', opens)
    front.write_text(told.replace('lap = "right over left"', f'lap = "{lap}"'))
    return path


# By hand: as at the front, both insets of 18 mm and a rim of 5.08 mm. Seen from outside, the piece left of a back's edge
# is the wearer's left.
@pytest.mark.parametrize(
    ("first_mm", "result"), [(18, "fail"), (35.99, "fail"), (36.01, "warn"), (41.07, "warn"), (41.09, "")]
)
def test_a_crotch_snap_under_the_overlap_of_a_back_is_told_as_under_that_of_a_front(
    tmp_path: Path, first_mm: float, result: str
) -> None:
    garment = GARMENT.replace('name = "front"', 'name = "back"')
    path = opened(tmp_path, first_mm, 'opens = "back"\n', "left over right", garment)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text().replace("front over back", "back over front"))
    whole = work_garment(path, draw=False)
    found = [one for one in whole.clearances if "laps over itself" in one.text]
    assert [(one.result, one.first, one.second) for one in found] == (
        [(result, "right crotch", "back"), (result, "left crotch", "back")] if result else []
    )
    assert all("where the back laps over itself, 36 mm from its edge" in one.text for one in found)


@pytest.mark.parametrize(("first_mm", "result"), [(18, "fail"), (41.09, "")])
def test_what_opens_is_taken_as_the_front_where_nothing_is_told(tmp_path: Path, first_mm: float, result: str) -> None:
    whole = work_garment(opened(tmp_path, first_mm, "", "right over left", GARMENT), draw=False)
    assert lapped_over(whole) == ([(result, "right crotch"), (result, "left crotch")] if result else [])


# A rim of 5.08 mm reaches over the edge that the snap is 4 mm from; a gap leaves no cloth there to lie on either.
@pytest.mark.parametrize(
    ("kind", "size", "more", "gap"), [("hook and eye", "2", "", "0 mm"), ("eyelet", "5.5 mm", "[lacing]\n", "40 mm")]
)
@pytest.mark.parametrize("first_mm", [4, 18])
def test_edges_that_meet_have_no_overlap_that_a_crotch_snap_could_lie_in(
    tmp_path: Path, first_mm: float, kind: str, size: str, more: str, gap: str
) -> None:
    path = romper(tmp_path, first_mm)
    front = tmp_path / "front.toml"
    told = front.read_text().replace('pieces = "pair"', f'pieces = "pair"\nedges = "meeting"\ngap = "{gap}"')
    told = told.replace('kind = "prong snap"\nsize = "16 L"', f'kind = "{kind}"\nsize = "{size}"')
    front.write_text(told + more)
    whole = work_garment(path, draw=False)
    assert whole.answers[0].placement.laps.garment.is_meeting
    assert not lapped_over(whole)


def round_a_bay(folder: Path, stretches: tuple[int, int, int], ends: str) -> Path:
    """A crotch whose line leaves the front, turns back towards it on a half circle, and leaves it again on another.

    Its line lies 8 mm above the drawn edge: it runs from x 200 to the first stretch, round with 38 mm, back to the second,
    round with 22 mm, and to the third. The front's overlap reaches from x 200 to 164, and a rim 5.08 mm past it.
    """
    path = romper(folder, 18, GARMENT.split('[[opening]]\nname = "left crotch"')[0])
    svg, crotch = folder / "front.svg", folder / "crotch.toml"
    out, back, end = stretches
    line = f"M 200 300 H {out} A 30 30 0 0 0 {out} 360 H {back} A 30 30 0 0 1 {back} 420 H {end}"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", line))
    told = crotch.read_text().replace('width = "36 mm"', 'width = "16 mm"')
    crotch.write_text(told.replace(ENDS, f"[spacing]\n{ends}"))
    return path


# By hand: the line is 58 + 38 pi + 28 + 22 pi + 110 = 384.5 mm long, and the middle one of three lies at
# (18 + 384.5 - last) / 2 along it, which is x 165.87 - last / 2 on the way back. First at 41.1 mm, just clear, brings it
# 11.55 mm nearer to the front: to x 158.42 and 159.42, of which the rim of the one bites.
@pytest.mark.parametrize(
    ("last_mm", "told"), [(38, 'first = "41.1 mm" under'), (36, 'first = "41.1 mm" and count = 2 under')]
)
def test_no_first_is_told_that_brings_another_closure_into_the_overlap(tmp_path: Path, last_mm: int, told: str) -> None:
    path = round_a_bay(tmp_path, (142, 170, 60), f'first = "18 mm"\nlast = "{last_mm} mm"\ncount = 3\n')
    (text,) = [one.text for one in work_garment(path, draw=False).clearances if "laps over itself" in one.text]
    assert "right crotch 1 lies where" in text and f"Write {told} [spacing] of crotch.toml" in text
    crotch = tmp_path / "crotch.toml"
    moved = crotch.read_text().replace('first = "18 mm"', 'first = "41.1 mm"')
    crotch.write_text(moved)
    assert bool(lapped_over(work_garment(path, draw=False))) is (last_mm == 36)
    crotch.write_text(moved.replace("count = 3", "count = 2"))
    assert not lapped_over(work_garment(path, draw=False))


def test_the_least_first_that_keeps_every_closure_clear_is_told_in_tenths_of_a_mm(tmp_path: Path) -> None:
    """By hand: the line is 58 + 38 pi + 34 + 22 pi + 166 = 446.5 mm long, and on its last stretch x is 456.5 less along.

    The last of four lies at 446.5 - 21.25 = 425.25, and the third at 18 + 2 / 3 of 407.25 = 289.5: at x 167. A first
    further by d brings it d / 3 out: at 42.2 mm to x 158.93, and at 42.3 to 158.90, where its rim is clear of x 164.
    """
    path = round_a_bay(tmp_path, (142, 176, 10), 'first = "18 mm"\nlast = "21.25 mm"\ncount = 4\n')
    (text,) = [one.text for one in work_garment(path, draw=False).clearances if "laps over itself" in one.text]
    assert "right crotch 1 and 3 lie where" in text
    assert 'Write first = "42.3 mm" under [spacing] of crotch.toml' in text


def test_a_tape_is_held_clear_at_its_whole_pitches_and_not_as_a_row_that_is_spaced_anew(tmp_path: Path) -> None:
    """By hand: the line is 58 + 38 pi + 28 + 22 pi + 130 = 404.5 mm long, and the last snap lies 26.5 mm from its end.

    At 92 mm they lie at 378, 286, 194, 102 and 10: the third and the fourth at x 158.6 and 158.5, where a rim of 5 mm is
    clear of x 164, and the first within. From 41 mm, where it is clear, on, whole pitches begin at 102. Three or four
    gaps of one length from there to the last would have one between 177 + 22 and 275 + 6, where x is past 164.
    """
    ends = 'first = { from = "9.5 mm", to = "28.5 mm" }\nlast = "26.5 mm"\n[tape]\npitch = "92 mm"\n'
    path = round_a_bay(tmp_path, (142, 170, 40), ends)
    crotch = tmp_path / "crotch.toml"
    tape = crotch.read_text().replace('kind = "prong snap"\nsize = "16 L"', 'kind = "snap tape"\nsize = "any"')
    crotch.write_text(tape)
    before = work_garment(path, draw=False)
    (text,) = [one.text for one in before.clearances if "laps over itself" in one.text]
    told = 'first = { from = "41 mm", to = "133 mm" }'
    assert "right crotch 1 lies where" in text and f"Write {told} under [spacing] of crotch.toml" in text
    crotch.write_text(tape.replace('first = { from = "9.5 mm", to = "28.5 mm" }', told))
    after = work_garment(path, draw=False)
    assert not lapped_over(after)
    assert after.answers[1].placement.marks[0].along_mm == pytest.approx(102.0, abs=0.01)


def test_no_first_is_told_that_a_rule_of_its_own_plan_fails(tmp_path: Path) -> None:
    """By hand: 41.1 mm is clear of the overlap, and 8.9 mm from a single snap at 50 mm, of which rims want 10.16 mm."""
    path = romper(tmp_path, 18)
    crotch = tmp_path / "crotch.toml"
    crotch.write_text(crotch.read_text() + SINGLE.replace("20 mm", "50 mm"))
    told = told_first(tmp_path)
    assert float(told.removesuffix(" mm")) >= 50 + 10.16
    text = crotch.read_text()
    crotch.write_text(text.replace('first = "18 mm"', f'first = "{told}"'))
    after = work_garment(path, draw=False)
    assert not lapped_over(after)
    assert after.result != "fail"
    crotch.write_text(text.replace('first = "18 mm"', 'first = "41.1 mm"'))
    assert work_garment(path, draw=False).result == "fail"


def test_how_far_closures_are_to_be_moved_is_told_of_the_one_that_lies_furthest_in(tmp_path: Path) -> None:
    """By hand: of 71 mm three lie at 6, 22.5 and 39 mm; 36 - 6 and a rim of 5.08 are 35.08 mm, up to what a tape shows.

    No first is free: 41.08 mm lies past the last, at 39.
    """
    path = romper(tmp_path, 6, GARMENT.split('[[opening]]\nname = "left crotch"')[0])
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 200 400 H 129"))
    crotch.write_text(crotch.read_text().replace('last = "14 mm"', 'last = "32 mm"'))
    (found,) = [one for one in work_garment(path, draw=False).clearances if "laps over itself" in one.text]
    assert "right crotch 1 and 2 lie where" in found.text and found.first_mark == 1
    assert "Move such a closure 35.1 mm or more further from that edge" in found.text


def test_a_single_closure_at_the_other_end_is_told_to_move_back(tmp_path: Path) -> None:
    """By hand: at 100 of 120 mm it lies 20 mm from the front's edge; 120 - 41.08 is 78.9, and in whole mm 78."""
    romper(tmp_path, 14)
    svg, crotch = tmp_path / "front.svg", tmp_path / "crotch.toml"
    svg.write_text(svg.read_text().replace("M 200 400 H 80", "M 80 400 H 200"))
    told = crotch.read_text().replace('last = "14 mm"\ncount = 3', 'last = "80 mm"\ncount = 2')
    crotch.write_text(told + SINGLE.replace("20 mm", "100 mm"))
    cured(tmp_path, 'along = "100 mm"', 'along = "78 mm" under [[single]] of crotch.toml')


# By hand: worn, an overlap told as unwashed is 36 x 0.97 = 34.92 mm wide, and with a rim that loses nothing 40 mm; those
# were 40 / 0.97 = 41.24 mm before the wash. Told as washed it is 41.08 mm.
@pytest.mark.parametrize(("measured", "first"), [("unwashed", "41.3 mm"), ("washed", "41.1 mm")])
@pytest.mark.parametrize("first_mm", ["18", "41"])
def test_the_least_first_of_cloth_that_shrinks_is_told_in_tenths_as_it_was_measured(
    tmp_path: Path, measured: str, first: str, first_mm: str
) -> None:
    romper(tmp_path, int(first_mm))
    for name in ("front", "crotch"):
        plan = tmp_path / f"{name}.toml"
        plan.write_text(plan.read_text() + f'[shrinkage]\nalong = "6%"\nacross = "3%"\nmeasured = "{measured}"\n')
    assert told_first(tmp_path) == first


@pytest.mark.parametrize("first_mm", [36.01, 41, 41.05])
def test_a_first_that_bites_by_less_than_a_step_is_told_the_next(tmp_path: Path, first_mm: float) -> None:
    romper(tmp_path, first_mm)
    assert told_first(tmp_path) == "41.1 mm"


@pytest.mark.parametrize(("gap", "apart"), [("0 mm", 25.84), ("40 mm", 65.84)])
def test_halves_of_a_body_whose_edges_meet_lie_on_either_side_of_the_gap(
    tmp_path: Path, gap: str, apart: float
) -> None:
    """By hand: closures 18 mm from either edge have centres 36 mm and the gap apart, and a rim of 5.08 mm each."""
    path = romper(tmp_path, 18)
    front = tmp_path / "front.toml"
    laced = front.read_text().replace('pieces = "pair"', f'pieces = "pair"\nedges = "meeting"\ngap = "{gap}"')
    front.write_text(laced.replace('kind = "prong snap"\nsize = "16 L"', 'kind = "hook and eye"\nsize = "2"'))
    found = next(
        one for one in work_garment(path, draw=False).clearances if set(one.names) == {"right crotch", "left crotch"}
    )
    assert found.result == "pass" and found.found_mm == pytest.approx(apart, abs=0.01)
    assert "meet in the middle between the edges of front" in found.text
