"""Garment files: openings put together in one set, what lies between them, what to buy, one order of work."""

from __future__ import annotations

import io
import itertools
import json
import re
import shutil
from itertools import permutations
from pathlib import Path
from typing import Literal

import pdfplumber
import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.advice.order import Order, Told, all_steps
from closures.advice.whole_order import in_making_order, shared_order
from closures.app.command import app
from closures.app.job import check_plan, load_plan, place_plan, result_files
from closures.app.web.telling import brief
from closures.app.whole import Whole, garment_files, order_of, told, work_garment
from closures.catalogue.loading import load_catalogue
from closures.drawing.paper.words import Chapter, Picture, Section, Table
from closures.drawing.shared_chapters import chapters_of_all
from closures.errors import ClosureError, PlanError
from closures.jobs.whole.clearances import Clearance
from closures.lengths import format_length
from closures.placing.buttonhole import buttonhole_for
from closures.placing.placement import Placement
from closures.plan.reading import read_garment, read_plan
from closures.report.garment_terminal import garment_terminal
from closures.report.openings import between_of
from closures.report.shopping import Bought, added_up, needed_by, packs_in_words

RUN = CliRunner()
FRONT = """
title = "Front"
drawing = "front.svg"
[edge]
path = "{edge}"
[band]
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
spare = 2
trial = 1
[spacing]
first = "{first}"
last = "{last}"
count = 5
"""
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
    '<path id="upper" d="M 200 20 V 300"/><path id="lower" d="M 200 {at} V 580"/></svg>'
)


@pytest.fixture
def romper(tmp_path: Path) -> Path:
    folder = tmp_path / "romper"
    shutil.copytree(shipped.starting_garments()["whole-romper"], folder)
    return folder / "garment.toml"


def two_rows(folder: Path, at: float, last: str = "20 mm", more: str = "") -> Path:
    """An upper and a lower row on one drawing; the lower edge begins at this height."""
    (folder / "front.svg").write_text(DRAWING.format(at=at))
    (folder / "upper.toml").write_text(FRONT.format(edge="upper", first="20 mm", last=last))
    (folder / "lower.toml").write_text(FRONT.format(edge="lower", first="20 mm", last="20 mm"))
    (folder / "garment.toml").write_text(
        'title = "Two rows"\npack = 12\n[[opening]]\nname = "upper"\nplan = "upper.toml"\n'
        f'[[opening]]\nname = "lower"\nplan = "lower.toml"\n{more}'
    )
    return folder / "garment.toml"


def belt_over_front(whole: Whole) -> Clearance:
    (found,) = [one for one in whole.clearances if (one.first, one.second) == ("front", "belt")]
    return found


def test_every_opening_is_as_its_plan_alone_gives_it_but_for_the_names_of_its_files(romper: Path) -> None:
    """A wearer that another plan tells is the exception: tests/test_one_garment.py."""
    made = garment_files(work_garment(romper), "a4")
    for name, prefix in (("front", "front"), ("crotch", "right-crotch"), ("belt", "belt")):
        path = romper.parent / f"{name}.toml"
        alone = result_files(place_plan(load_plan(path), path), "a4")
        for file, content in alone.items():
            if file == "report.json":
                # All but the pages, which are those of the whole set.
                told = json.loads(content)
                expected = {key: value for key, value in told.items() if key not in ("pages", "printing")}
                for sheet in expected["sheets"]:
                    sheet["file"] = f"{prefix}-{sheet['file']}"
                assert json.loads(made[f"{prefix}-{file}"]) == expected
            elif file == "report.md":
                own = re.sub(rf"`{prefix}-((?:over|under)\.svg)`", r"`\1`", made[f"{prefix}-{file}"].decode())
                assert own == content.decode(), name
            elif file != "marking.pdf":
                assert made[f"{prefix}-{file}"] == content, f"{name} {file}"


def test_one_set_is_written_with_one_pdf_and_one_summary(romper: Path) -> None:
    ran = RUN.invoke(app, ["place", str(romper)])
    assert ran.exit_code == 0, ran.output
    written = {path.name for path in (romper.parent / "garment").iterdir() if not path.name.startswith(".")}
    assert {"marking.pdf", "report.json", "report.md", "front-over.svg", "belt-under.svg"} <= written
    report = json.loads((romper.parent / "garment" / "report.json").read_text())
    assert [one["name"] for one in report["openings"]] == ["front", "right crotch", "left crotch", "belt"]
    assert report["openings"][0]["report"]["title"] == "Meadow romper, front"


def test_check_writes_nothing_and_tells_the_same(romper: Path) -> None:
    ran = RUN.invoke(app, ["check", str(romper), "--json"])
    assert ran.exit_code == 0 and not (romper.parent / "garment").exists()
    assert [one["between"] for one in json.loads(ran.output)["clearances"]] == [
        ["front", "right crotch"],
        ["front", "left crotch"],
        ["right crotch", "left crotch"],
        ["front", "belt"],
        ["right crotch", "belt"],
        ["left crotch", "belt"],
    ]


def test_closure_under_a_strap_is_a_look_that_names_it_and_the_levels(romper: Path) -> None:
    front = romper.parent / "front.toml"
    text = front.read_text()
    front.write_text(text[: text.index("# The belt runs here")] + text[text.index("[[layer]]") :])
    romper.write_text(romper.read_text().replace('level = "332 mm"', 'level = "212 mm"'))
    found = belt_over_front(work_garment(romper, draw=False))
    assert found.result == "warn" and found.first_mark is not None and found.second_mark is None
    assert f"front {found.first_mark} lies under the belt, which covers the levels 194 mm to 230 mm" in found.text


def test_strap_over_a_row_told_as_washed_is_held_in_washed_figures(tmp_path: Path) -> None:
    """Marks 20 to 260 of an edge from 20 mm down, told washed, along 8 %: their unwashed places lie up to 22 mm lower."""
    path = two_rows(tmp_path, 299.0)
    belt = shipped.starting_garments()["whole-romper"] / "belt.toml"
    shutil.copy(belt, tmp_path / "belt.toml")
    told = 'title = "Belted"\n[[opening]]\nname = "front"\nplan = "upper.toml"\n[[opening]]\nname = "belt"\nplan = "belt.toml"\n'
    plan = tmp_path / "upper.toml"
    plan.write_text(plan.read_text() + '[shrinkage]\nalong = "8 %"\nacross = "2 %"\nmeasured = "washed"\n')
    # Five closures, 60 mm apart: the fourth lies at 200. The belt is 36 mm wide, a snap of 16 lines has a rim of 5.08 mm.
    for level, found_mm, says in ((200.0, -23.08, "lies under"), (230.0, 30 - 18 - 5.08, "clears front")):
        path.write_text(f'{told}over = "front"\nlevel = "{level} mm"\n')
        found = belt_over_front(work_garment(path, draw=False))
        assert found.found_mm == pytest.approx(found_mm, abs=0.01) and says in found.text
        assert found.first_mark in ((4,) if level == 200.0 else (4, 5))
        assert level == 230.0 or "levels 182 mm to 218 mm" in found.text


@pytest.mark.parametrize(
    ("level", "result"), [(223.08, "warn"), (226.07, "warn"), (226.08, "pass"), (226.09, "pass"), (223.07, "warn")]
)
def test_a_rim_nearer_to_a_strap_than_to_a_ridge_is_a_look(tmp_path: Path, level: float, result: str) -> None:
    """3 mm from a flange to a ridge or a step in thickness (common practice); a belt's edge is one, and shifts."""
    path = two_rows(tmp_path, 299.0)
    shutil.copy(shipped.starting_garments()["whole-romper"] / "belt.toml", tmp_path / "belt.toml")
    path.write_text(
        'title = "Belted"\n[[opening]]\nname = "front"\nplan = "upper.toml"\n[[opening]]\nname = "belt"\n'
        f'plan = "belt.toml"\nover = "front"\nlevel = "{level} mm"\n'
    )
    found = belt_over_front(work_garment(path, draw=False))
    # The fourth of five closures lies at 200; its rim is 5.08 mm, half the belt 18 mm.
    assert found.result == result and found.found_mm == pytest.approx(level - 200 - 18 - 5.08)
    if result == "warn" and level > 223.075:
        assert found.limit_mm == 3.0 and "shifts as it is worn" in found.text
        low, high = level - 21, level + 21
        assert f"the levels {format_length(low, 'mm')} to {format_length(high, 'mm')}" in found.text


def told_in_order(folder: Path, names: tuple[str, ...]) -> set[tuple[object, ...]]:
    """What is found of a belt over a waistband over a front, whose openings are told in some order."""
    over = {"front": "", "band": 'over = "front"\nlevel = "332 mm"\n', "belt": 'over = "band"\nlevel = "0 mm"\n'}
    plans = {"front": "front.toml", "band": "belt.toml", "belt": "belt.toml"}
    text = "".join(f'[[opening]]\nname = "{name}"\nplan = "{plans[name]}"\n{over[name]}' for name in names)
    path = folder / "garment.toml"
    path.write_text('title = "Belted"\n' + text)
    found = work_garment(path, draw=False).clearances
    return {(one.result, one.names, one.first_mark, one.found_mm) for one in found if one.first_mark is not None}


def test_a_strap_over_a_strap_is_found_in_every_order_of_the_openings(romper: Path) -> None:
    found = told_in_order(romper.parent, ("front", "band", "belt"))
    assert {names for _, names, *_ in found} == {("front", "band"), ("band", "belt")}
    for names in permutations(("front", "band", "belt")):
        assert told_in_order(romper.parent, names) == found, names


@pytest.mark.parametrize("straps", [("b1", "b2"), ("b1", "b2", "b3")])
def test_straps_that_run_over_each_other_in_a_ring_are_refused(straps: tuple[str, ...]) -> None:
    text = "".join(
        f'[[opening]]\nname = "{name}"\nplan = "b.toml"\nover = "{over}"\nlevel = "0 mm"\n'
        for name, over in zip(straps, (*straps[1:], straps[0]), strict=True)
    )
    with pytest.raises(PlanError) as refused:
        read_garment(text.encode(), "g.toml")
    (fault,) = refused.value.faults
    assert "each lies on the other: 'b1' runs over 'b2', 'b2' runs over" in fault.what


DOUBLE = """
[edge]
straight = "760 mm"
[garment]
opens = "front"
[band]
width = "190 mm"
inset = "28 mm"
lap = "right over left"
[column]
apart = "130 mm"
inner = {{ kind = "sew-through button", size = "24 L" }}
[closure]
kind = "sew-through button"
size = "36 L"
thickness = "4 mm"
hole = "across"
[spacing]
first = "20 mm"
last = "380 mm"
count = 4
[[single]]
kind = "sew-through button"
size = "24 L"
level = "600 mm"
hidden = true
[shrinkage]
along = "6 %"
across = "4 %"
measured = "{0}"
"""


def double_with_belt(folder: Path, state: str, level_mm: float, width_mm: float) -> Path:
    """A double-breasted front with marks at 20, 140, 260 and 380 as its plan tells them, and a belt over it."""
    belt = (shipped.starting_garments()["whole-romper"] / "belt.toml").read_text()
    (folder / "belt.toml").write_text(belt.replace('width = "36 mm"', f'width = "{width_mm} mm"'))
    (folder / "front.toml").write_text(DOUBLE.format(state))
    (folder / "garment.toml").write_text(
        'title = "Belted coat"\n[[opening]]\nname = "front"\nplan = "front.toml"\n[[opening]]\nname = "belt"\n'
        f'plan = "belt.toml"\nover = "front"\nlevel = "{level_mm} mm"\n'
    )
    return folder / "garment.toml"


def test_belt_over_a_row_told_as_unwashed_covers_what_it_covers_as_worn(tmp_path: Path) -> None:
    # Worn, mark 4 lies (417.5 - 380) * 0.94 = 35.25 from the belt's middle, nearer than 25 of the belt and a rim of
    # 11.43 of 36 L: 1.18 of it are covered. Of the plan's levels the belt covers 25 / 0.94 = 26.6 either way.
    found = belt_over_front(work_garment(double_with_belt(tmp_path, "unwashed", 417.5, 50), draw=False))
    assert (found.result, found.found_mm) == ("warn", pytest.approx(-1.18, abs=0.001))
    assert "front 4 and 8 lie under the belt, which covers the levels 390.9 mm to 444.1 mm" in found.text


def test_all_closures_under_a_belt_are_named_with_what_moves_each(tmp_path: Path) -> None:
    # 120 mm of belt about 600: the single closure alone. About 320, 260 to 380: marks 3 and 4, and 7 and 8 beside them.
    path = double_with_belt(tmp_path, "washed", 600, 120)
    found = belt_over_front(work_garment(path, draw=False))
    assert "front 10 lies under the belt" in found.text and "clear zone" not in found.text
    assert "move 10 by its own level or along under [[single]]" in found.text
    path.write_text(path.read_text().replace("600 mm", "320 mm"))
    found = belt_over_front(work_garment(path, draw=False))
    assert "front 3, 4, 7 and 8 lie under the belt" in found.text and "a clear zone of these levels" in found.text
    # The hidden closure stands level with mark 1, at 20.
    path.write_text(path.read_text().replace("320 mm", "20 mm"))
    found = belt_over_front(work_garment(path, draw=False))
    assert "front 1, 5 and 9 lie under" in found.text and "move the hidden closure, 9, by level" in found.text


def test_closures_beside_a_row_are_counted_in_the_summary(tmp_path: Path) -> None:
    # Two columns of four, the button behind them, and one more by itself.
    ran = RUN.invoke(app, ["check", str(double_with_belt(tmp_path, "washed", 320, 36))])
    row = next(line for line in ran.output.splitlines() if line.startswith("front "))
    assert re.split(r"  +", row)[:2] == ["front", "4 + 6 beside"]


def test_carriers_are_told_for_the_unwashed_garment_that_they_are_sewn_to(tmp_path: Path) -> None:
    path = double_with_belt(tmp_path, "washed", 420, 36)
    belt = path.parent / "belt.toml"
    belt.write_text(belt.read_text().replace('waist = "720 mm"', 'waist = "740 mm"'))
    whole = work_garment(path, draw=False)
    # A quarter of 740 is 185, and so much more unwashed that 4 % less is that: 185 / 0.96 = 192.7, 385.4, 578.1.
    (step,) = (step.text for step in order_of(whole) if "carriers, each" in step.text)
    assert "round the garment 193 mm, 385 mm and 578 mm" in step and "before its first wash" in step


def test_carriers_of_a_belt_are_sewn_on_before_the_garment_is_faced_and_closed(romper: Path) -> None:
    """Common practice: their ends go into seams; the belt that slides through them is made by then."""
    keys = [step.key for step in order_of(work_garment(romper, draw=False))]
    assert keys.index("make the strap") < keys.index("carriers") < keys.index("edge") < keys.index("mark")
    assert max(n for n, key in enumerate(keys) if key.startswith("trial")) < keys.index("cut out the strap")


def belted_side(folder: Path, carriers: int, opens: str, band: str = "30 mm", clear: str = "") -> Path:
    """A dress that opens at a seam, and a belt of 720 mm round the waist."""
    belt = (shipped.starting_garments()["whole-romper"] / "belt.toml").read_text()
    (folder / "belt.toml").write_text(belt.replace('lap = "right', f'carriers = {carriers}\nlap = "right'))
    lap = "right over left" if opens == "back" else "front over back"
    (folder / "side.toml").write_text(
        f'[edge]\nstraight = "400 mm"\n[garment]\nopens = "{opens}"\n[band]\nwidth = "{band}"\nlap = "{lap}"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\ncount = 5\n'
    )
    (folder / "garment.toml").write_text(
        'title = "Belted dress"\n[[opening]]\nname = "seam"\nplan = "side.toml"\n'
        f'[[opening]]\nname = "belt"\nplan = "belt.toml"\n{clear}'
    )
    return folder / "garment.toml"


@pytest.mark.parametrize(
    ("carriers", "opens", "band", "clear", "says"),
    [
        # Round 720: three stand at 180, 360 and 540, which are both sides and the back.
        (3, "left side", "30 mm", "", "Carrier 1 or 3 of the belt would stand where the left side opens"),
        (3, "back", "30 mm", "", "Carrier 2 of the belt would stand where the back opens"),
        # Two stand at 240 and 480, 60 from a side: clear of a band of 60, and not of one that is wider.
        (2, "right side", "60 mm", "", ""),
        (2, "right side", "61 mm", "", "Carrier 1 or 2 of the belt would stand where the right side opens"),
        (0, "left side", "30 mm", "", ""),
        (3, "left side", "30 mm", 'clear_of = ["seam"]\n', ""),
    ],
)
def test_no_carrier_is_sewn_onto_a_seam_that_opens(
    tmp_path: Path, carriers: int, opens: str, band: str, clear: str, says: str
) -> None:
    whole = work_garment(belted_side(tmp_path, carriers, opens, band, clear), draw=False)
    told_of = [one for one in whole.clearances if "Carrier" in one.text]
    steps = [step.text for step in order_of(whole) if "sew them to the garment" in step.text]
    assert len(steps) == (carriers > 0)
    if not says:
        assert told_of == [] and all("opens, sew that one" not in step for step in steps)
        return
    (found,) = told_of
    assert found.result == "warn" and found.text.startswith(says)
    assert f"where the {opens} opens, sew that one beside the opening, clear of both laps" in steps[0]


def test_a_seam_that_is_told_clear_of_the_belt_has_no_carrier_on_it_either(tmp_path: Path) -> None:
    path = belted_side(tmp_path, 3, "left side")
    path.write_text(path.read_text().replace('plan = "side.toml"\n', 'plan = "side.toml"\nclear_of = ["belt"]\n'))
    assert not any("Carrier" in one.text for one in work_garment(path, draw=False).clearances)


# The belt of 36 mm runs from 152 to 188 mm down the drawing.
@pytest.mark.parametrize(
    ("edge", "is_told"),
    [
        (("V 20", "V 300"), True),
        (("V 320", "V 580"), False),
        (("V 187", "V 400"), True),
        (("V 189", "V 400"), False),
        (("V 20", "V 153"), True),
        (("V 20", "V 151"), False),
    ],
)
def test_carriers_are_held_against_an_opening_that_the_belt_passes(
    tmp_path: Path, edge: tuple[str, str], is_told: bool
) -> None:
    """The belt runs 150 mm below the neck of the front, and the side opens there on the same drawing, or further down."""
    path = belted_side(tmp_path, 3, "left side")
    (tmp_path / "front.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        f'<path id="front" d="M 200 20 V 580"/><path id="side" d="M 60 {edge[0][2:]} {edge[1]}"/></svg>'
    )
    front = FRONT.format(edge="front", first="20 mm", last="20 mm")
    (tmp_path / "front.toml").write_text(front.replace("[band]", '[garment]\nopens = "front"\n[band]'))
    side = tmp_path / "side.toml"
    side.write_text('drawing = "front.svg"\n' + side.read_text().replace('straight = "400 mm"', 'path = "side"'))
    path.write_text(
        path.read_text() + 'over = "front"\nlevel = "150 mm"\n[[opening]]\nname = "front"\nplan = "front.toml"\n'
    )
    whole = work_garment(path, draw=False)
    assert any("would stand where the left side opens" in one.text for one in whole.clearances) == is_told


def test_strap_that_clears_the_row_says_by_how_much(romper: Path) -> None:
    whole = work_garment(romper, draw=False)
    found = belt_over_front(whole)
    marks = whole.answers[0].placement.marks
    # The belt is 36 mm wide and its middle at 332 mm; a snap of 16 lines has a rim of 5.08 mm.
    assert found.result == "pass" and found.found_mm == pytest.approx(
        min(abs(mark.level_mm - 332.0) for mark in marks) - 18.0 - 5.08, abs=1e-9
    )


@pytest.mark.parametrize(
    ("at", "result"),
    [
        (299.0, "pass"),  # the last snap at 280, the first at 319: 39 apart
        (276.17, "pass"),  # 16.17 apart, less two rims of 5.08: 6.01
        (276.15, "warn"),  # 5.99
        (270.2, "warn"),  # 0.04 between the rims
        (270.1, "fail"),  # the rims overlap by 0.06
    ],
)
def test_rims_of_two_rows_on_one_drawing_are_held_apart(tmp_path: Path, at: float, result: str) -> None:
    (found,) = work_garment(two_rows(tmp_path, at), draw=False).clearances
    assert found.result == result and (found.first_mark, found.second_mark) == (5, 1)
    assert found.found_mm == pytest.approx(at + 20.0 - 280.0 - 10.16, abs=1e-6)


def test_a_second_column_is_held_apart_from_the_other_row_too(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 270.1)
    upper, lower = tmp_path / "upper.toml", tmp_path / "lower.toml"
    wide = 'width = "90 mm"\ninset = "{}"'
    column = '[column]\napart = "40 mm"\nworks = true\n[closure]'
    upper.write_text(upper.read_text().replace('width = "36 mm"', wide.format("18 mm")).replace("[closure]", column))
    # The lower row lies on the line of the upper one's second column, 18 + 40 from the edge.
    lower.write_text(lower.read_text().replace('width = "36 mm"', wide.format("58 mm")))
    (found,) = work_garment(path, draw=False).clearances
    assert (found.result, found.first_mark, found.second_mark) == ("fail", 10, 1)
    assert found.found_mm == pytest.approx(-0.06, abs=1e-6)


def test_rows_on_two_drawings_are_asked_for_until_they_are_told_clear(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 299.0)
    shutil.copyfile(tmp_path / "front.svg", tmp_path / "other.svg")
    lower = tmp_path / "lower.toml"
    lower.write_text(lower.read_text().replace("front.svg", "other.svg"))
    whole = work_garment(path, draw=False)
    (found,) = whole.clearances
    assert (found.result, found.names, found.found_mm) == ("warn", ("upper", "lower"), None)
    assert "was not reckoned" in found.text and 'clear_of = ["lower"] in the [[opening]] upper' in found.text
    assert whole.result == "warn"
    path.write_text(path.read_text() + 'clear_of = "upper"\n')
    assert work_garment(path, draw=False).clearances == ()


def test_openings_that_are_told_clear_are_a_look_where_one_drawing_shows_that_they_overlap(tmp_path: Path) -> None:
    assert work_garment(two_rows(tmp_path, 265.0), draw=False).result == "fail"
    (look,) = work_garment(two_rows(tmp_path, 265.0, more='clear_of = ["upper"]\n'), draw=False).clearances
    assert look.result == "warn" and look.text.startswith("clear_of says that upper and lower are clear of each other")
    # 7 mm further apart they do not overlap, and how near they come was measured by whoever tells it.
    (near,) = work_garment(two_rows(tmp_path, 272.0), draw=False).clearances
    assert near.result == "warn" and "come within" in near.text
    assert work_garment(two_rows(tmp_path, 272.0, more='clear_of = ["upper"]\n'), draw=False).clearances == ()


# 265 and 272 mm as above: rims on each other, and nearer than the tool wants. 299 leaves them apart as before.
@pytest.mark.parametrize(
    ("at", "without", "said"),
    [
        (265.0, "fail", "upper 5 and lower 1 lie on each other as drawn, on layers of their own, as behind tells."),
        (272.0, "warn", "upper 5 and lower 1 lie near each other as drawn, on layers of their own, as behind tells."),
        (299.0, "pass", "are the nearest"),
    ],
)
def test_a_row_that_is_told_to_lie_behind_another_is_no_look(
    tmp_path: Path, at: float, without: str, said: str
) -> None:
    (before,) = work_garment(two_rows(tmp_path, at), draw=False).clearances
    assert before.result == without
    assert (without == "fail") == ('write behind = ["upper"] in the [[opening]] lower' in before.text)
    (told,) = work_garment(two_rows(tmp_path, at, more='behind = "upper"\n'), draw=False).clearances
    assert told.result == "pass" and said in told.text and told.found_mm == before.found_mm


def test_what_lies_behind_one_row_is_still_held_against_another(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 265.0, more='behind = ["upper"]\n')
    path.write_text(path.read_text() + '[[opening]]\nname = "third"\nplan = "lower.toml"\nclear_of = ["lower"]\n')
    found = work_garment(path, draw=False).clearances
    assert [(one.result, one.names) for one in found] == [("pass", ("upper", "lower")), ("fail", ("upper", "third"))]


def test_rows_on_two_drawings_of_which_one_lies_behind_the_other_are_not_asked_for(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 299.0, more='behind = ["upper"]\n')
    shutil.copyfile(tmp_path / "front.svg", tmp_path / "other.svg")
    lower = tmp_path / "lower.toml"
    lower.write_text(lower.read_text().replace("front.svg", "other.svg"))
    assert work_garment(path, draw=False).clearances == ()


@pytest.mark.parametrize(
    ("more", "upper", "text"),
    [
        (
            'behind = ["upper"]\nclear_of = ["upper"]\n',
            "",
            "'lower' is told to lie behind 'upper', and to be clear of it",
        ),
        (
            'behind = ["upper"]\n',
            'clear_of = ["lower"]\n',
            "'lower' is told to lie behind 'upper', and to be clear of it",
        ),
        ('behind = ["upper"]\n', 'behind = ["lower"]\n', "'upper' and 'lower' are each told to lie behind the other"),
        ('behind = ["uper"]\n', "", "there is no opening 'uper' to lie behind. Did you mean upper?"),
        ('behind = ["lower"]\n', "", "there is no opening 'lower' to lie behind"),
    ],
)
def test_what_cannot_lie_behind_is_refused(tmp_path: Path, more: str, upper: str, text: str) -> None:
    path = two_rows(tmp_path, 299.0, more=more)
    path.write_text(path.read_text().replace('plan = "upper.toml"\n', f'plan = "upper.toml"\n{upper}'))
    with pytest.raises(PlanError, match=re.escape(text)) as refused:
        work_garment(path, draw=False)
    assert str(refused.value).count("behind") >= 1


def test_openings_that_are_told_clear_of_another_one_are_compared_with_the_rest(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 265.0, more='clear_of = ["third"]\n')
    text = path.read_text().replace('plan = "upper.toml"\n', 'plan = "upper.toml"\nclear_of = ["third"]\n')
    path.write_text(text + '[[opening]]\nname = "third"\nplan = "lower.toml"\n')
    found = work_garment(path, draw=False).clearances
    # The third lies where the lower does, as one drawing shows; of each other both are one row on two pieces.
    assert [(one.result, one.names) for one in found] == [("fail", ("upper", "lower")), ("warn", ("upper", "third"))]


@pytest.mark.parametrize(("reading", "is_compared"), [("", True), ('scale = "0.9 mm"', False)])
def test_rows_are_compared_only_where_both_plans_read_the_drawing_alike(
    tmp_path: Path, reading: str, is_compared: bool
) -> None:
    path = two_rows(tmp_path, 299.0)
    lower = tmp_path / "lower.toml"
    lower.write_text(lower.read_text().replace("[band]", f"{reading}\n[band]"))
    (found,) = work_garment(path, draw=False).clearances
    assert (found.found_mm is not None) == is_compared


@pytest.mark.parametrize(
    ("x", "top", "is_compared"),
    [(200, 300, True), (240, 20, False)],
    ids=["below at a seam", "beside, as for cutting"],
)
def test_pieces_that_are_drawn_beside_each_other_are_not_compared(
    tmp_path: Path, x: int, top: int, is_compared: bool
) -> None:
    path = two_rows(tmp_path, 299.0)
    (tmp_path / "front.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="700mm" viewBox="0 0 500 700">'
        f'<path id="upper" d="M 200 20 v 280 h -100 v -280 Z"/><path id="lower" d="M {x} {top} v 280 h -30 v -280 Z"/></svg>'
    )
    for name, right, begins in (("upper", 200, 20), ("lower", x, top)):
        plan = tmp_path / f"{name}.toml"
        told = f'path = "{name}"\nfrom = [{right}, {begins}]\nto = [{right}, {begins + 280}]\nvia = [{right}, {begins + 9}]'
        plan.write_text(plan.read_text().replace(f'path = "{name}"', told))
    (found,) = work_garment(path, draw=False).clearances
    assert (found.found_mm is not None) == is_compared


def test_the_other_half_is_held_against_the_front_and_against_its_own_half(tmp_path: Path) -> None:
    # The front closes straight down at 200 less its inset; the crotch runs from there to the viewer's left.
    path = two_rows(tmp_path, 299.0)
    (tmp_path / "front.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        '<path id="upper" d="M 200 20 V 300"/><path id="lower" d="M 175 310 H 20"/></svg>'
    )
    upper, lower = tmp_path / "upper.toml", tmp_path / "lower.toml"
    upper.write_text(upper.read_text() + '[garment]\nopens = "front"\n')
    lower.write_text(
        lower.read_text()
        .replace('path = "lower"', 'path = "lower"\ncloth = "above"')
        .replace("right over left", "front over back")
        + '[garment]\nopens = "crotch"\n'
    )
    path.write_text(path.read_text() + '[[opening]]\nname = "other"\nplan = "lower.toml"\nmirrored = true\n')
    whole = work_garment(path, draw=False)
    front, crotch = whole.answers[0].placement, whole.answers[1].placement
    (centre,) = {mark.x_mm for mark in front.marks}
    told = {one.names: one.found_mm for one in whole.clearances}
    last, first = front.marks[-1], crotch.marks[0]
    own = ((last.x_mm - first.x_mm) ** 2 + (last.y_mm - first.y_mm) ** 2) ** 0.5 - 2 * 5.08
    assert told["upper", "lower"] == pytest.approx(own, abs=1e-9)
    assert told["upper", "other"] == pytest.approx(own, abs=1e-9)
    assert told["lower", "other"] == pytest.approx(2 * (centre - first.x_mm) - 2 * 5.08, abs=1e-9)


def test_failed_clearance_is_the_result_of_the_garment(tmp_path: Path) -> None:
    ran = RUN.invoke(app, ["check", str(two_rows(tmp_path, 265.0))])
    assert ran.exit_code == 1 and "FAIL  upper 5 and lower 1 overlap" in ran.output


def test_what_fails_stands_first_with_its_opening_lap_and_marks(romper: Path) -> None:
    """On the terminal and in the summary: of both halves of one plan once, and not once for each mark."""
    crotch = romper.parent / "crotch.toml"
    assert 'width = "28 mm"' in crotch.read_text()
    crotch.write_text(crotch.read_text().replace('width = "28 mm"', 'width = "12 mm"'))
    ran = RUN.invoke(app, ["place", str(romper)])
    assert ran.exit_code == 1
    said = " ".join(ran.output.split("\n\n")[1].split()).replace("FAIL", "FAIL ")
    summary = (romper.parent / "garment" / "report.md").read_text().split("\n\n")[3]
    for lines, sign in ((said, "FAIL  "), (summary, "- **FAIL** · ")):
        for lap in ("over", "under"):
            start = f"{sign}right crotch and left crotch, edge distance, {lap} lap, marks 1 to 3: The centre lies 6 mm"
            assert lines.count(start) == 1
        assert lines.count(sign) == 2
    table = ran.output.split("\n\n")[2].splitlines()
    assert re.split(r"  +", table[0]) == ["opening", "closures", "gaps", "failed", "to look at", "result"]
    assert re.split(r"  +", table[2]) == ["right crotch", "3", "24.9 mm", "2", "1", "FAIL"]
    looks = " ".join(ran.output.split("\n\n")[4].split())
    assert looks.startswith("look right crotch and left crotch, band width, both laps, marks 1 to 3: Only 0.9 mm")
    assert max(map(len, ran.output.splitlines()[:-1])) <= 100


def test_of_good_pairs_the_nearest_of_each_opening_is_told_and_of_others_all() -> None:
    def pair(result: Literal["pass", "warn", "fail"], names: str, found: float | None) -> Clearance:
        return Clearance(result, names[0], names[1], 1, 1, found, 10.0, names)

    # a b is the nearest of a, b c of b and c, a d of d; a c and b d are the nearest of none.
    good = [pair("pass", *one) for one in (("ab", 20.0), ("ac", 30.0), ("bc", 15.0), ("ad", 40.0), ("bd", 41.0))]
    further = "2 further pairs clear each other, no nearer than the nearest of either opening."
    assert [text for _, text in between_of(good, "warn", "pass")] == ["ab", "bc", "ad", further]
    # What is wrong is told whether it is the nearest or not, and so is what was not reckoned.
    wrong = [pair("fail", "ae", -2.0), pair("fail", "be", -1.0), pair("warn", "ce", 9.0), pair("warn", "de", None)]
    assert [text for _, text in between_of([*good, *wrong], "fail", "warn")] == ["ae", "be", "ce", "de"]


def test_rows_that_overlap_are_told_first(tmp_path: Path) -> None:
    ran = RUN.invoke(app, ["place", str(two_rows(tmp_path, 265.0))])
    summary = (tmp_path / "garment" / "report.md").read_text()
    assert ran.output.split("\n\n")[1].startswith("FAIL  upper 5 and lower 1 overlap")
    assert summary.split("\n\n")[3].startswith("- **FAIL** · upper 5 and lower 1 overlap")
    assert ran.output.count("overlap by") == summary.count("overlap by") == 1


def test_terminal_and_summary_tell_what_to_lay_a_tape_on(romper: Path) -> None:
    """The proof of scale, of ends and of the right piece is asked for of every opening."""
    ran = RUN.invoke(app, ["place", str(romper)])
    summary = (romper.parent / "garment" / "report.md").read_text()
    said = " ".join(ran.output.split())
    for line in (
        "front: Finished edge 555.7 mm (21 7/8 in), neck to crotch. Lay a tape on yours.",
        "right crotch and left crotch: Finished edge 110 mm (4 5/16 in), front edge to leg. Lay a tape on yours.",
        "belt: Finished belt 853.1 mm (33 9/16 in), tip to tip. Lay a tape on yours.",
    ):
        assert line in said and line in summary


def test_files_that_were_changed_since_are_named_of_a_garment_too(romper: Path) -> None:
    assert RUN.invoke(app, ["place", str(romper)]).exit_code == 0
    kept = romper.parent / "garment" / "belt-report.md"
    kept.write_text(kept.read_text() + "my own notes\n")
    openings = romper.read_text()
    romper.write_text(openings[: openings.rindex("[[opening]]")])
    ran = RUN.invoke(app, ["place", str(romper)])
    assert ran.exit_code == 0 and "Left there: belt-report.md" in ran.output and "my own notes" in kept.read_text()


def test_parts_of_all_openings_are_one_list_with_packs(tmp_path: Path) -> None:
    bought = {row.part: row for row in work_garment(two_rows(tmp_path, 299.0), draw=False).bought}
    # Ten closures, spare of both plans, one for the trial piece that both share: 15 of a pack of twelve are two packs.
    assert (bought["socket"].count, bought["socket"].extra, bought["socket"].packs) == (10, 5, 2)
    # An open-ring snap has a ring on either lap: 30 rings, of which a pack for twelve closures holds 24.
    assert (bought["prong ring"].total, bought["prong ring"].packs) == (30, 2)
    # A pack holds every part of a closure: two in all, not two for each part.
    assert [words for words in packs_in_words(tuple(bought.values())) if ": 2 packs of prong snap" in words]
    assert bought["stud"].openings == ("upper", "lower")


def test_one_closure_is_bought_for_every_trial_that_the_order_of_work_asks_for(romper: Path) -> None:
    """Front and crotch are one stack, and the belt another: two trial pieces, and two spare of each of four plans."""
    whole = work_garment(romper, draw=False)
    trials = [step.openings for step in order_of(whole) if step.key == "trial"]
    assert sorted(trials) == [("belt",), ("front", "right crotch", "left crotch")]
    bought = {row.part: row.extra for row in whole.bought}
    assert bought == {"prong ring": 2 * (4 * 2 + 2), "socket": 4 * 2 + 2, "stud": 4 * 2 + 2}


def test_order_list_and_coupons_of_a_garment_tell_of_the_same_trials(romper: Path) -> None:
    """A trial piece for every trial that is asked for and bought for: one for front and crotches, one for the belt."""
    whole = work_garment(romper, also=("coupon",))
    trials = [step.openings for step in order_of(whole) if step.key == "trial"]
    pieces, words = coupons_of(whole)
    assert pieces == {
        "front, right crotch and left crotch, trial piece, over lap",
        "front, right crotch and left crotch, trial piece, under lap",
        "belt, trial piece, over end",
        "belt, trial piece, under end",
    }
    assert len(trials) == len(pieces) / 2 == words.count("What it took")
    # The crotch's snaps lie 14 mm from their edge, those of the front 18 mm: the nearer edge tries both.
    assert "serves front, right crotch and left crotch, whose closure and stack are the same" in words
    assert "as for the right crotch, where the closures lie nearest to their edge" in words
    assert "the garment's edge, 14 mm from the closure" in words and "18 mm from the closure" not in words
    assert words.count("FRONT, RIGHT CROTCH AND LEFT CROTCH, OVER LAP, trial") == 1
    assert not re.search("LAP, (wearer's|front|back)[^.]*, trial", words)


def test_buttonholes_as_far_from_unlike_edges_are_tried_apart(romper: Path) -> None:
    """Cloth gives round a buttonhole by how near its edge is, and by the grain: order, list and coupons go by both."""
    for name in ("front", "crotch"):
        plan = romper.parent / f"{name}.toml"
        text = plan.read_text().replace(
            'kind = "prong snap"\nsize = "16 L"', 'kind = "sew-through button"\nsize = "16 L"'
        )
        plan.write_text(re.sub("grip = .*", 'thickness = "2.5 mm"', text))
    whole = work_garment(romper, also=("coupon",))
    trials = [step.openings for step in order_of(whole) if step.key == "trial sewn"]
    assert sorted(trials) == [("front",), ("right crotch", "left crotch")]
    pieces, words = coupons_of(whole)
    assert {name.partition(", trial")[0] for name in pieces} == {"front", "right crotch and left crotch", "belt"}
    assert "whose closure and stack are the same" not in words and words.count("What it took") == 3
    button = next(row for row in whole.bought if row.part == "button")
    # Two spare of each of three plans, one for either trial piece.
    assert button.extra == 2 * 3 + 2


def coupons_of(whole: Whole) -> tuple[set[str], str]:
    """The names of all trial pieces of a garment's set, and all its words."""
    from dataclasses import replace

    from paper_sets import words_on

    from closures.app.pages import marking_of
    from closures.app.whole import shared_of
    from closures.drawing.marking import make_set

    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    made = make_set(markings, "Romper", load_catalogue().paper("a4"), shared=shared_of(whole))
    shown = "; ".join(shows for _, shows in made.listing)
    named = {name for name in re.split("; ", shown) if ", trial piece" in name}
    return named, " ".join(" ".join(one.text for one in words_on(page.items)) for page in made.pages)


def test_nothing_is_sewn_before_the_cloth_of_every_opening_is_washed(romper: Path) -> None:
    """The belt does not tell its cloth, and so is washed in words of its own."""
    steps = order_of(work_garment(romper, draw=False))
    washed = [n for n, step in enumerate(steps) if step.key in ("wash", "press", "fuse", "trial")]
    assert {steps[n].openings for n in washed} >= {("belt",), ("front", "right crotch", "left crotch")}
    assert washed == list(range(len(washed)))


def test_steps_on_bare_cloth_follow_none_on_cloth_that_is_sewn() -> None:
    """So they can stand first of all openings, and each keeps the order of its own work."""
    prepared = {step.key for step in all_steps() if step.prepares}
    assert {"wash", "fuse", "trial"} <= prepared
    assert all(set(step.after) <= prepared for step in all_steps() if step.key in prepared)


def test_snaps_of_one_name_and_unlike_measures_are_bought_apart(romper: Path) -> None:
    """Told from its pack, a snap of 11.4 mm that clamps 2.5 to 4 mm is no spare for one that clamps 0.5 to 2 mm."""
    belt = romper.parent / "belt.toml"
    text = belt.read_text().replace('thickness = "2 mm"', 'thickness = "6 mm"').replace('"1.4 mm"', '"3 mm"')
    belt.write_text(text.replace('grip = ["0.5 mm", "2 mm"]', 'cap = "11.4 mm"\ngrip = ["2.5 mm", "4 mm"]'))
    whole = work_garment(romper, draw=False)
    sockets = {row.name: row for row in whole.bought if row.part == "socket"}
    assert {name: row.openings for name, row in sockets.items()} == {
        "prong snap 16 L, 10.2 mm across, clamps 0.5 mm to 2 mm": ("front", "right crotch", "left crotch"),
        "prong snap 16 L, 11.4 mm across, clamps 2.5 mm to 4 mm": ("belt",),
    }
    assert all(row.packs is not None for row in sockets.values())
    assert any("packs of prong snap 16 L, 10.2 mm across" in words for words in packs_in_words(whole.bought))


@pytest.mark.parametrize(
    ("thick", "lines"),
    [
        (("2 mm", "5 mm"), ["sew-through button 28 L, 2 mm thick", "sew-through button 28 L, 5 mm thick"]),
        (("2 mm", "2.03 mm"), ["sew-through button 28 L"]),
        (("2 mm", ""), ["sew-through button 28 L"]),
    ],
)
def test_buttons_are_bought_apart_where_both_thicknesses_are_told_and_read_unlike(
    thick: tuple[str, str], lines: list[str]
) -> None:
    needed = []
    for by, mm in zip("ab", thick, strict=True):
        told = f'thickness = "{mm}"\n' if mm else ""
        text = (
            '[edge]\nstraight = "300 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n[closure]\n'
            f'kind = "sew-through button"\nsize = "28 L"\n{told}[spacing]\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\n'
        )
        needed += needed_by(place_plan(read_plan(text.encode(), by)).placement, by)
    assert [row.name for row in added_up(needed)] == lines


def test_packs_are_counted_once_for_buttons_that_close_and_buttons_for_show(tmp_path: Path) -> None:
    path = double_with_belt(tmp_path, "washed", 320, 36)
    path.write_text(path.read_text().replace("\n", "\npack = 12\n", 1))
    whole = work_garment(path, draw=False)
    # Four that close, four for show and 2 + 1 spare and trial are eleven of one pack, and no pack for each.
    (row,) = [one for one in whole.bought if one.size == "36 L"]
    assert (row.kind, row.count, row.extra, row.packs) == ("sew-through button", 8, 3, 1)
    # The one behind and the single one are of 24 L, of which spare and trial are had once.
    (other,) = [one for one in whole.bought if one.size == "24 L"]
    assert (other.count, other.extra) == (2, 3)
    # A button is one part; of the belt's snaps a pack holds all parts, which is said once.
    assert len(packs_in_words(whole.bought)) == 1


def test_what_a_pack_holds_is_said_once_for_all_kinds_and_packs_of_two_sizes_are_not_taken_for_one() -> None:
    def rows(kind: str, pack: int, *packs: int) -> list[Bought]:
        return [Bought(kind, "16", f"part {n}", 20, 0, ("front",), one, pack) for n, one in enumerate(packs)]

    bought = [*rows("prong snap", 12, 2, 2), *rows("prong snap", 10, 1, 1), *rows("plastic snap", 12, 3, 2)]
    assert packs_in_words(bought) == (
        "A pack holds whole closures, all parts of each: 2 packs of prong snap 16, 12 in each, 1 pack of prong snap 16, "
        "10 in each and 3 packs of plastic snap 16 in all, not as many for every part.",
    )


def turned_round(path: Path, more: str = "") -> Path:
    """A garment file with its openings told last to first."""
    top, *openings = path.read_text().split("[[opening]]")
    path.write_text(top + more + "".join(f"[[opening]]{one.rstrip()}\n" for one in reversed(openings)))
    return path


def test_order_of_work_is_that_in_which_a_garment_is_made_whatever_the_order_of_the_file(romper: Path) -> None:
    as_told = order_of(work_garment(romper, draw=False))
    turned = order_of(work_garment(turned_round(romper), draw=False))
    halves = {"left crotch": "right crotch", "right crotch": "left crotch"}
    # The halves of the crotch are alike, and keep the order in which they are told.
    assert [(one.text, {halves.get(name, name) for name in one.openings}) for one in turned] == [
        (one.text, set(one.openings)) for one in as_told
    ]
    first = [one.openings[0] for one in turned if len(one.openings) < 3 and "press" not in one.text.casefold()]
    assert first.index("front") < first.index("left crotch") < max(n for n, one in enumerate(first) if one == "belt")


def test_order_of_work_is_the_users_own_where_it_is_told(romper: Path) -> None:
    names = ["belt", "left crotch", "front", "right crotch"]
    text = romper.read_text()
    romper.write_text(text.replace("pack = 12", f"order = {json.dumps(names)}\npack = 12", 1))
    steps = order_of(work_garment(romper, draw=False))
    alone = [one.openings[0] for one in steps if one.text.startswith("Lay ") and "tightest" not in one.text]
    assert alone == ["belt", "left crotch", "front"]
    romper.write_text(text.replace("pack = 12", 'order = ["front", "belt"]\npack = 12', 1))
    ran = RUN.invoke(app, ["check", str(romper)])
    assert ran.exit_code == 2 and "Write each once: front, right crotch, left crotch, belt" in ran.output


@pytest.mark.parametrize(
    ("told", "made"),
    [
        (
            ["belt", "crotch", "inseam", "left side", "right shoulder", "back"],
            ["back", "right shoulder", "left side", "inseam", "crotch", "belt"],
        ),
        (["sewn back", "left side", "back"], ["back", "left side", "sewn back"]),
    ],
)
def test_making_order_is_middle_of_pieces_then_seams_then_belts_and_what_is_sewn_last(
    told: list[str], made: list[str]
) -> None:
    def placed(name: str) -> Placement:
        if name == "belt":
            text = shipped.starting_plans()["sash-belt"].joinpath("plan.toml").read_text()
            return check_plan(read_plan(text.encode(), "plan.toml")).placement
        opens = name.removeprefix("sewn ")
        lap = "right over left" if opens == "back" else "front over back"
        state = 'state = "sewn band"' if name.startswith("sewn") else ""
        cloth = "" if opens in ("back", "left side") else 'cloth = "left"\n'
        text = (
            f'[edge]\nstraight = "300 mm"\n{cloth}[garment]\nopens = "{opens}"\n{state}\n'
            f'[band]\nwidth = "36 mm"\nlap = "{lap}"\n'
            '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 4\n'
        )
        return check_plan(read_plan(text.encode(), "plan.toml")).placement

    assert in_making_order({name: placed(name) for name in told}) == tuple(made)


def order(*steps: str, stop_before: int | None) -> Order:
    made = tuple(Told(n, text, text, "it is so.") for n, text in enumerate(steps, start=1))
    return Order(steps=made, stop_before=stop_before, stop="", removal="")


def test_orders_are_put_together_with_what_is_shared_said_once() -> None:
    orders = {
        "front": order("fold", "mark front", "set front", "try on", stop_before=3),
        "belt": order("cut belt", "fold", "mark belt", "set belt", "try on", stop_before=4),
    }
    steps = shared_order(orders)
    assert [step.text for step in steps] == [
        "cut belt", "fold", "mark front", "mark belt", "set front", "set belt", "try on",
    ]  # fmt: skip
    assert [step.openings for step in steps if step.text in ("fold", "try on")] == [("front", "belt")] * 2
    assert [step.text for step in steps if step.is_first_final] == ["set front"]


def test_no_cloth_is_washed_when_half_of_the_garment_is_sewn() -> None:
    """Openings that tell unlike much of their cloth are washed in unlike words, and often are of one cloth."""
    orders = {
        "front": order("wash", "press", "sew the front", "set front", stop_before=4),
        "crotch": order("steam", "raise", "sew the crotch", "set crotch", stop_before=4),
    }
    assert [step.text for step in shared_order(orders)][:5] == ["wash", "press", "steam", "raise", "sew the front"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("front.toml", "fornt.toml"), "fornt.toml: there is no such plan file. Did you mean front.toml?"),
        (('over = "front"', 'over = "back"'), "there is no opening 'back' to run over"),
        (('level = "332 mm"', ""), "over: it goes with level only"),
        (('name = "belt"', 'name = "front"'), "there are two openings 'front'"),
        (
            ('name = "belt"', 'name = "Front!"'),
            "two openings whose files would bear one name, front: 'front' and 'Front!'",
        ),
        (("pack = 12", "pack = 0"), "pack"),
        (('plan = "belt.toml"', 'plan = "garment.toml"'), "this is a garment file, not a plan"),
        (('name = "belt"', 'nmae = "belt"'), "Did you mean name?"),
    ],
)
def test_garment_file_that_is_wrong_is_refused_with_what_to_write(
    romper: Path, change: tuple[str, str], said: str
) -> None:
    text = romper.read_text()
    assert change[0] in text
    romper.write_text(text.replace(*change))
    ran = RUN.invoke(app, ["place", str(romper)])
    assert ran.exit_code == 2 and said in ran.stderr and not (romper.parent / "garment").exists()


@pytest.mark.parametrize(("first", "second"), [("cuff 1", "cuff-1"), ("a b", "A  b"), ("!", "?"), ("!", "opening")])
def test_openings_whose_files_would_have_one_name_are_refused(first: str, second: str) -> None:
    text = "".join(f'[[opening]]\nname = "{name}"\nplan = "cuff.toml"\n' for name in (first, second))
    with pytest.raises(PlanError, match="two openings whose files would bear one name"):
        read_garment(text.encode(), "g.toml")


_SO = 'Write [[opening]] above each opening, and below it name = "front" and plan = "front.toml".'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            '[[openings]]\nname = "a"\nplan = "a.toml"\n',
            f"g.toml, openings: it is not a section of a garment file. {_SO}",
        ),
        (
            '[openning]\nname = "a"\nplan = "a.toml"\n',
            f"g.toml, openning: it is not a section of a garment file. {_SO}",
        ),
        ('[opening]\nname = "a"\nplan = "a.toml"\n', "g.toml, [[opening]]: it stands in single brackets."),
        ("opening = []\n", "g.toml, [[opening]]: it names no opening. Write [[opening]], and below it name"),
        (
            '[edge]\npath = "a"\n[[opening]]\nname = "a"\nplan = "a.toml"\n',
            "g.toml, edge: [edge] is a section of a plan, and this is a garment file: it names openings and their plans. "
            'Move it into a plan of its own, and name that below an [[opening]], as plan = "front.toml".',
        ),
        (
            'drawing = "a.svg"\n[[opening]]\nname = "a"\nplan = "a.toml"\n',
            "g.toml, drawing: it is a key of a plan, and this is a garment file. Write it into the plan of its opening, "
            "at its top.",
        ),
        (
            '[[opening]]\nname = "a"\nplan = "a.toml"\nlap = "right over left"\n',
            'g.toml, [[opening]] 1 "a" lap: it is a key of a plan, and this is a garment file. Write it into the plan of '
            "its opening, under [band].",
        ),
        (
            '[[opening]]\nname = "a"\nplan = "a.toml"\napart = "6 mm"\n',
            'g.toml, [[opening]] 1 "a" apart: it holds for the whole garment. Write it at the top',
        ),
        (
            'mirrored = true\n[[opening]]\nname = "a"\nplan = "a.toml"\n',
            "g.toml, mirrored: it belongs to one opening. Write it below the [[opening]] that it is of.",
        ),
        (
            'pakc = 3\n[[opening]]\nname = "a"\nplan = "a.toml"\n',
            "g.toml, pakc: it is not a key known here. Did you mean",
        ),
        (
            "".join(f'[[opening]]\nname = "a{n}"\nplan = "a.toml"\n' for n in range(41)),
            "g.toml, [[opening]]: there are 41 openings, and a garment file takes 40 at the most (our own rule). Put them",
        ),
    ],
)
def test_what_a_garment_file_does_not_take_is_told_with_where_it_belongs(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "g.toml").write_text(text)
    ran = RUN.invoke(app, ["place", str(tmp_path / "g.toml")])
    assert ran.exit_code == 2 and said in ran.stderr
    assert "known here. Known here: title, units, drawing" not in ran.stderr


def test_garment_file_among_plans_is_told_as_what_it_is_and_the_plans_are_placed(romper: Path) -> None:
    ran = RUN.invoke(app, ["check", str(romper), str(romper.parent / "front.toml")])
    assert ran.exit_code == 2 and "2 plans: 1 good, 0 failed, 1 refused." in ran.output
    assert f"{romper}: this is a garment file, not a plan. Place it by itself" in ran.output


def test_two_plans_that_read_one_drawing_from_two_faces_are_held_against_each_other(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 299.0)
    lower = tmp_path / "lower.toml"
    assert "seen_from" not in lower.read_text()
    lower.write_text(lower.read_text().replace("[band]\n", '[band]\nseen_from = "inside"\n', 1))
    told = work_garment(path, draw=False).clearances
    assert [(one.result, one.first, one.second, one.found_mm) for one in told] == [("warn", "upper", "lower", None)]
    assert "seen_from" in told[0].text


def test_belt_is_held_against_the_buttonholes_it_covers(romper: Path) -> None:
    front = romper.parent / "front.toml"
    text = front.read_text()
    text = re.sub(
        r'kind = "[^"]*"\nsize = "[^"]*"', 'kind = "sew-through button"\nsize = "24 L"\nhole = "along"', text, count=1
    )
    front.write_text(text)
    whole = work_garment(romper, draw=False)
    placement, belt = whole.answers[0].placement, belt_over_front(whole)
    level, half = 332.0, whole.answers[-1].placement.plan.belt.width_mm / 2
    # Bulletin 576, Univ. of Minnesota: 1/8 in of the hole above the mark, the rest of it below.
    hole = buttonhole_for(placement.fastener, placement.plan, load_catalogue())
    reach = [max(hole.before_mm, 7.62), max(hole.after_mm, 7.62)]
    apart = min(
        max(level - half - (mark.level_mm + reach[1] * abs(mark.tangent[1])), mark.level_mm - reach[0] - level - half)
        for mark in placement.marks
    )
    assert belt.found_mm == pytest.approx(apart, abs=0.5)


def test_opening_that_is_no_strap_runs_over_nothing(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 299.0, more='over = "upper"\nlevel = "100 mm"\n')
    with pytest.raises(ClosureError, match="'lower' is no strap, and runs over nothing"):
        work_garment(path, draw=False)


def test_faults_of_all_plans_come_together(tmp_path: Path) -> None:
    path = two_rows(tmp_path, 299.0)
    for name in ("upper", "lower"):
        plan = tmp_path / f"{name}.toml"
        plan.write_text(plan.read_text().replace('"36 mm"', '"36,5 mm"'))
    with pytest.raises(ClosureError, match=r"upper\.toml") as caught:
        work_garment(path, draw=False)
    assert "lower.toml" in str(caught.value)


def test_starting_garment_is_listed_and_copied(tmp_path: Path) -> None:
    assert "whole-romper" in RUN.invoke(app, ["start"]).output
    ran = RUN.invoke(app, ["start", "whole-romper", str(tmp_path / "mine")])
    assert ran.exit_code == 0 and (tmp_path / "mine" / "garment.toml").is_file()


def test_the_last_of_the_front_and_the_first_of_the_crotch_are_held_against_each_other(romper: Path) -> None:
    whole = work_garment(romper, draw=False)
    found = next(one for one in whole.clearances if one.second == "right crotch")
    front, crotch = (answer.placement.marks for answer in whole.answers[:2])
    nearest = min(((a.x_mm - b.x_mm) ** 2 + (a.y_mm - b.y_mm) ** 2) ** 0.5 for a in front for b in crotch)
    # Two rims of 5.08 mm, a snap of 16 lines.
    assert (found.first_mark, found.second_mark) == (len(front), 1)
    assert found.found_mm == pytest.approx(nearest - 2 * 5.08, abs=1e-9)


def test_both_halves_of_the_crotch_are_bought_and_no_snap_of_them_lies_where_the_fronts_lap(romper: Path) -> None:
    whole = work_garment(romper, draw=False)
    front, right, left, belt = (answer.placement for answer in whole.answers)
    assert [mark.along_mm for mark in right.marks] == [mark.along_mm for mark in left.marks]
    rings = next(row for row in whole.bought if row.part == "prong ring")
    # A ring on either lap of every snap; of the belt two caps and what it has of studs.
    belt_rings = len(belt.on("over")) + len(belt.on("under"))
    assert rings.count == 2 * (len(front.marks) + 2 * len(right.marks)) + belt_rings
    band = front.plan.band
    assert band is not None and right.marks[0].along_mm - 5.08 > band.width_mm


LEFT_CROTCH = '[[opening]]\nname = "left crotch"\nplan = "crotch.toml"\nmirrored = true'


@pytest.mark.parametrize(
    ("opens", "ends", "told", "looks"),
    [
        ("crotch", '["centre", "leg"]', "", True),
        ("crotch", '["right leg", "left leg"]', "", False),
        ("crotch", '["centre", "leg"]', "mirrored = false", False),
        ("inseam", '["crotch", "hem"]', "", True),
        ("inseam", '["left hem", "right hem"]', "", False),
    ],
)
def test_half_of_a_crotch_or_one_inseam_that_stands_once_is_a_look(
    romper: Path, opens: str, ends: str, told: str, looks: bool
) -> None:
    text = romper.read_text()
    assert LEFT_CROTCH in text
    romper.write_text(text.replace(LEFT_CROTCH, "").replace('plan = "crotch.toml"', f'plan = "crotch.toml"\n{told}'))
    plan = romper.parent / "crotch.toml"
    changed = plan.read_text().replace('opens = "crotch"', f'opens = "{opens}"')
    plan.write_text(changed.replace('["front edge", "leg"]', ends))
    whole = work_garment(romper, draw=False)
    found = [one for one in whole.clearances if one.second is None]
    assert [one.result for one in found] == ["warn"] * looks
    assert whole.result == ("warn" if looks else "pass")
    if looks:
        assert "right crotch is drawn and bought once." in found[0].text and "mirrored = false" in found[0].text
    ran = RUN.invoke(app, ["check", str(romper), "--json"])
    assert [["right crotch"]] * looks == [
        one["between"] for one in json.loads(ran.output)["clearances"] if len(one["between"]) == 1
    ]


def test_one_side_alone_is_said_and_no_look(nursing_top: Path) -> None:
    text = nursing_top.read_text()
    nursing_top.write_text(text[: text.rindex("[[opening]]")])
    whole = work_garment(nursing_top, draw=False)
    assert [(one.result, one.second) for one in whole.clearances] == [("pass", None)]
    assert "for the left side alone" in whole.clearances[0].text


@pytest.fixture
def nursing_top(tmp_path: Path) -> Path:
    folder = tmp_path / "top"
    shutil.copytree(shipped.starting_garments()["whole-nursing-top"], folder)
    return folder / "garment.toml"


def test_the_other_side_of_the_body_is_the_mirror_image(nursing_top: Path) -> None:
    left, right = (answer.placement for answer in work_garment(nursing_top, draw=False).answers)
    assert left.spacing.positions_mm == right.spacing.positions_mm
    for lap in ("over", "under"):
        for one, other in zip(left.on(lap), right.on(lap), strict=True):
            assert (one.x_mm, one.y_mm) == pytest.approx((-other.x_mm, other.y_mm), abs=1e-9)
        for share in (0.0, 0.3, 1.0):
            own, turned = (row.laps[lap].edge for row in (left, right))
            (x, y), (u, v) = own.point_at(share * own.length_mm), turned.point_at(share * turned.length_mm)
            assert (x, y) == pytest.approx((-u, v), abs=1e-6)
        assert left.laps[lap].cloth_on != right.laps[lap].cloth_on
    assert (left.laps.over.whose, right.laps.over.whose) == (
        left.laps.over.whose,
        left.laps.over.whose.replace("left", "right"),
    )


def a_pair(nursing_top: Path, change: tuple[str, str] = ("", "")) -> Path:
    """The plan of one side, saying that the body has it on both."""
    plan = nursing_top.parent / "side.toml"
    text = plan.read_text().replace("[garment]\n", "[garment]\npair_of_rows = true\n", 1)
    assert change[0] in text
    plan.write_text(text.replace(*change) if change[0] else text)
    return plan


def test_a_plan_of_both_sides_is_the_garment_of_both_to_the_byte(nursing_top: Path) -> None:
    by_hand = garment_files(work_garment(nursing_top), "a4")
    plan = a_pair(nursing_top)
    made = garment_files(work_garment(plan), "a4")
    assert set(made) == set(by_hand) and {"left-side-over.svg", "right-side-over.svg"} <= set(made)
    own = {name for name in made if name.startswith(("left-", "right-"))}
    assert {name for name in own if made[name] == by_hand[name]} == own
    told = json.loads(made["report.json"])
    assert [one["name"] for one in told["openings"]] == ["left side", "right side"]
    ran = RUN.invoke(app, ["place", str(plan)])
    assert ran.exit_code == 0 and (plan.parent / "side" / "right-side-under.svg").is_file(), ran.output


def test_a_fault_of_both_sides_is_told_once(tmp_path: Path) -> None:
    plan = tmp_path / "sides.toml"
    plan.write_text(
        '[edge]\nstraight = "300 mm"\n[garment]\nopens = "left side"\npieces = "separate"\npair_of_rows = true\n'
        'edges = "meeting"\n[band]\nwidth = "30 mm"\nlap = "front over back"\n[closure]\nkind = "hook and eye"\n'
        'size = "2"\ncap = "11 mm"\n[spacing]\ncount = 11\n'
    )
    ran = RUN.invoke(app, ["check", str(plan)])
    assert ran.exit_code == 2 and " ".join(ran.output.split()).count("only one edge is told") == 1, ran.output


def test_both_halves_of_a_crotch_are_named_as_drawn_and_mirrored(romper: Path) -> None:
    plan = romper.parent / "crotch.toml"
    plan.write_text(plan.read_text().replace("[garment]\n", "[garment]\npair_of_rows = true\n", 1))
    whole = work_garment(plan, draw=False)
    assert [one.name for one in whole.garment.openings] == ["crotch as drawn", "crotch mirrored"]
    # Where the halves meet no front on the drawing says in this plan.
    assert [one.result for one in whole.clearances] == ["warn"]


@pytest.mark.parametrize(
    "words", [["place", "--dxf"], ["check", "--set", "spacing.count=5"], ["place", "--picture", "front.svg"]]
)
def test_what_goes_with_one_row_alone_is_refused_of_both_sides(nursing_top: Path, words: list[str]) -> None:
    ran = RUN.invoke(app, [words[0], str(a_pair(nursing_top)), *words[1:]])
    assert ran.exit_code == 2 and "several openings" in ran.output


def test_further_pages_are_asked_for_every_opening_at_once(nursing_top: Path) -> None:
    pair, out = a_pair(nursing_top), nursing_top.parent / "asked"
    wrong = RUN.invoke(app, ["place", str(pair), "--also", "ordr"])
    assert wrong.exit_code == 2 and "Did you mean order?" in wrong.output
    ran = RUN.invoke(app, ["place", str(pair), "--also", "stencil", "--also", "projector", "--out", str(out)])
    assert ran.exit_code in (0, 1) and len(list(out.glob("*stencil*"))) == 4, ran.output
    for side in ("right side", "left side"):
        for path in out.glob(f"{side.replace(' ', '-')}*-stencil.svg"):
            assert f": {side}, stencil, " in path.read_text(encoding="utf-8"), path.name
        sheets = list(out.glob(f"{side.replace(' ', '-')}*-projector.svg"))
        assert len(sheets) == 2
        assert all(f"{side.upper()}, " in path.read_text(encoding="utf-8") for path in sheets)


def test_both_sides_are_not_made_of_one_by_other_ways_in(nursing_top: Path) -> None:
    other = nursing_top.parent / "other.toml"
    shutil.copyfile(nursing_top.parent / "side.toml", other)
    ran = RUN.invoke(app, ["check", str(other), "--set", "garment.pair_of_rows=true"])
    assert ran.exit_code == 2 and "Write it into the plan file" in ran.output
    ran = RUN.invoke(app, ["check", str(a_pair(nursing_top)), str(other)])
    assert ran.exit_code == 2 and "both sides of a body are one set" in ran.output
    # In a garment file both are told, and one of them alone is not enough.
    nursing_top.write_text(nursing_top.read_text().replace("mirrored = true", "mirrored = false"))
    ran = RUN.invoke(app, ["check", str(nursing_top)])
    assert ran.exit_code == 2 and "the garment file has one of them" in ran.output


def test_run_mark_of_both_sides_is_held_against_their_plan(nursing_top: Path) -> None:
    plan = a_pair(nursing_top)
    assert RUN.invoke(app, ["place", str(plan)]).exit_code == 0
    for file in ("marking.pdf", "right-side-over.svg"):
        ran = RUN.invoke(app, ["same", str(plan.parent / "side" / file), str(plan)])
        assert ran.exit_code == 0 and "The same" in ran.output, ran.output


def test_both_sides_are_bought_and_drawn(nursing_top: Path) -> None:
    whole = work_garment(nursing_top)
    count = len(whole.answers[0].placement.marks)
    caps = next(row for row in whole.bought if row.part == "cap")
    # A plastic snap has a cap on either lap: four for each mark of one side.
    assert caps.count == 4 * count
    made = garment_files(whole, "a4")
    assert {f"{side}-side-{lap}.svg" for side in ("left", "right") for lap in ("over", "under")} <= set(made)


@pytest.mark.parametrize(("opens", "lap"), [("front", "right over left"), ("back", "left over right")])
def test_a_front_or_a_back_is_not_mirrored(nursing_top: Path, opens: str, lap: str) -> None:
    side = nursing_top.parent / "side.toml"
    text = side.read_text().replace('"left side"', f'"{opens}"').replace("front over back", lap)
    side.write_text(text.replace('ends = ["armhole", "waist"]', ""))
    with pytest.raises(ClosureError, match=f"a {opens} has no other side that is its mirror image"):
        work_garment(nursing_top, draw=False)


def test_a_belt_is_not_mirrored(romper: Path) -> None:
    romper.write_text(romper.read_text() + "mirrored = true\n")
    with pytest.raises(ClosureError, match="no other side that is its mirror image"):
        work_garment(romper, draw=False)


def test_pages_have_one_cover_one_run_mark_and_one_order_of_work(romper: Path) -> None:
    import io

    import pikepdf
    from pdfminer.high_level import extract_text

    whole = work_garment(romper)
    made = garment_files(whole, "a4")
    report = json.loads(made["report.json"])
    own = {one["report"]["run"] for one in report["openings"]}
    with pikepdf.open(io.BytesIO(made["marking.pdf"])) as pdf:
        count = len(pdf.pages)
        assert "/StructTreeRoot" in pdf.Root and str(pdf.Root.Lang) == "en"
    pages = [extract_text(io.BytesIO(made["marking.pdf"]), page_numbers=[k]) for k in range(count)]
    text = "".join(pages)
    for once in (
        "Print, measure, tape",
        "What lies on which sheet",
        "To buy, spare and trial",
        "Order of work",
        "STOP",
    ):
        assert text.count(once) - text.count(f"{once} (continued)") == 1, once
    assert all(report["run"] in page for page in pages)
    assert all(text.count(mark) == 1 for mark in own)
    assert "Front: Lay the sheet of the over lap" in " ".join(text.split())
    # A belt over the garment is measured over it: clothing counts once, and carriers quarter the garment's 720.
    assert report["openings"][3]["report"]["belt"]["carriers"]["round_mm"] == [180, 360, 540]
    # How the waist was taken moves the belt, so it is told wherever the belt is.
    asked = "The waist is taken as measured over what is worn beneath."
    printed = garment_terminal(whole.garment, told(whole), whole.clearances, whole.bought)
    for where in (made["report.md"].decode(), printed, text):
        assert " ".join(where.split()).count(asked) == 1


@pytest.mark.in_turn(3)
def test_words_that_openings_share_stand_once_in_a_set_with_all_their_names(romper: Path) -> None:
    import pikepdf

    whole = work_garment(romper, also=("all",))
    made = garment_files(whole, "a4")["marking.pdf"]
    with pdfplumber.open(io.BytesIO(made)) as document:
        text = "\n".join(page.extract_text() for page in document.pages)
    with pikepdf.open(io.BytesIO(made)) as pdf, pdf.open_outline() as outline:
        chapters = [one.title for one in outline.root]

    def count(title: str) -> int:
        """How often a heading stands; a page or a column that goes on names its own again."""
        return len(re.findall(rf"{re.escape(title)}(?!\s*\(continued\))", text))

    both = "Right crotch and left crotch: "
    for title in (
        "Cutting the bands",
        "How it is set",
        "Step along",
        "Closing without counting",
        "Handing over, both laps",
    ):
        assert sum(one.endswith(f": {title}") for one in chapters) == 2 + (title == "How it is set"), title
        assert f"Front: {title}" in chapters and f"{both}{title}" in chapters
    measuring = "Measuring at the table: will it gape, will it hold"
    # A front is read in a deep breath, a crotch bending down.
    # By its bookmarks: a long heading may stand in two rows.
    assert chapters.count(f"Front: {measuring}") == chapters.count(f"{both}{measuring}") == 1
    # Front and crotch are one stack, and the belt another; nobody is sent elsewhere from a page that is handed on.
    assert count("What it took") == 2 and count("Layers under one closure") == 2
    for said in ("Wear eye protection", "An iron sets ink"):
        assert text.count(said) == 1, said
    # What pricks leave is told of linen, and of the belt, whose cloth nobody tells, with what a knit would do.
    assert text.count("Prise the ring and the socket") == 2 and text.count("knits often run") == 1
    assert not re.search(r"^(front|right crotch|left crotch|belt): ", text, re.MULTILINE)


def test_opening_and_its_mirror_image_are_told_together_and_stepped_with_one_strip(nursing_top: Path) -> None:
    from dataclasses import replace

    from paper_sets import groups, words_on

    from closures.app.pages import marking_of
    from closures.app.whole import shared_of
    from closures.drawing.marking import make_set

    whole = work_garment(nursing_top, also=("all",))
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    made = make_set(markings, "Top", load_catalogue().paper("a4"), shared=shared_of(whole))
    titles = [bookmark.title for bookmark in made.bookmarks]
    both = "Left side and right side: "
    for title in ("Cutting the bands", "How it is set", "Step along", "Handing over, both laps"):
        assert f"{both}{title}" in titles and not {f"Left side: {title}", f"Right side: {title}"} & set(titles)
    # Both sides are of one stack: the list to buy counts one trial of them, and one piece of each lap is printed.
    assert titles.count(f"{both}Trial coupon") == 1 and "Right side: Trial coupon" not in titles
    pieces = [name for _, shows in made.listing for name in re.split("; |, (?=left|right)", shows)]
    assert [name for name in pieces if "stride" in name] == [
        "left side and right side, stride 1",
        "left side and right side, stride 2",
    ]
    assert sorted(name for name in pieces if "trial" in name) == [
        "left side and right side, trial piece, over lap",
        "left side and right side, trial piece, under lap",
    ]
    words = " ".join(one.text for page in made.pages for one in words_on(page.items))
    for lap in ("OVER LAP, front, trial", "UNDER LAP, back, trial"):
        assert words.count(f"LEFT SIDE AND RIGHT SIDE, {lap}") == 1
    # What is pinned on is for each side.
    assert {"left side, tags 1 to 6", "right side, tags 1 to 6"} <= set(pieces)
    covers = [one.title for page in made.pages[: made.covers] for one in groups(page.items) if one.tag == "H2"]
    assert [said for said in covers if "where each mark lies" in said] == [
        "Left side and right side: where each mark lies, from the armhole"
    ]
    # Which strip is whose is still told by its side.
    assert {"Left side", "Right side"} <= set(covers)


def test_openings_that_are_no_mirror_images_keep_their_sides(romper: Path, nursing_top: Path) -> None:
    from closures.drawing.extras.extra import Drawn
    from closures.drawing.shared_chapters import without_sides

    def whose(path: Path, *which: int) -> list[list[str]]:
        answers = work_garment(path).answers
        drawn = [Drawn(answers[k].placement, answers[k].findings, answers[k].catalogue) for k in which]
        return [[lap.whose for lap in one.placement.laps.both] for one in without_sides(drawn)]

    assert whose(nursing_top, 0, 1) == [["front", "back"]] * 2
    assert whose(nursing_top, 0) == [["front, wearer's left side", "back, wearer's left side"]]
    assert whose(romper, 0, 1) == [
        ["wearer's right front", "wearer's left front"],
        ["front, crotch", "back, crotch"],
    ]


def test_of_words_that_differ_in_part_a_line_says_where_the_rest_stands() -> None:
    one, two = Section("Heed", ("the same",)), Section("Parts", ("12",))
    other = Section("Parts", ("8",))
    blank = Table("Tried", ("try", "held"), (("1", ""),), (1.0, 1.0))
    told = [
        (
            "front",
            (Chapter("Set", (one, two)), Chapter("Trial", (one, blank)), Chapter("To hand on", (one, two), True)),
        ),
        ("left cuff", (Chapter("Set", (one, other)), Chapter("Trial", (one, blank)))),
        ("right cuff", (Chapter("Set", (one, other)), Chapter("To hand on", (one, other), True))),
    ]
    as_front = Section("As for front", ("Heed.",))
    assert chapters_of_all(told) == [
        Chapter("Front: Set", (one, two)),
        Chapter("Front: Trial", (one, blank)),
        Chapter("Left cuff and right cuff: Set", (other, as_front)),
        Chapter("Left cuff: Trial", (blank, as_front)),
        Chapter("Front: To hand on", (one, two), True),
        Chapter("Right cuff: To hand on", (one, other), True),
    ]


def test_picture_goes_where_the_words_before_it_go() -> None:
    """Pictures of sections that stood with another opening were left under whatever came before them."""
    slope, scale = Picture((), (88.0, 30.0), "slope"), Picture((), (88.0, 30.0), "scale")
    hangs, draws = Section("How far it hangs", ("the same",)), Section("The pull", ("the same",))
    front = Chapter("Measuring", (hangs, slope, draws, scale))
    own = Section("Own", ("its own",))
    crotch = Chapter("Measuring", (own, hangs, slope, draws, scale))
    _, told = chapters_of_all([("front", (front,)), ("crotch", (crotch,))])
    assert told.parts == (own, Section("As for front", ("How far it hangs; The pull.",)))


def test_large_letters_of_a_garment_are_half_as_large_again_on_every_piece_and_page(nursing_top: Path) -> None:
    def sizes(*options: str) -> dict[str, set[float]]:
        out = nursing_top.parent / f"out{len(options)}"
        done = CliRunner().invoke(app, ["place", str(nursing_top), "--out", str(out), *options])
        assert done.exit_code in (0, 1), done.output
        found: dict[str, set[float]] = {}
        for page in pdfplumber.open(out / "marking.pdf").pages:
            for word in page.extract_words(extra_attrs=["size"]):
                found.setdefault(word["text"], set()).add(round(word["size"], 1))
        return found

    usual, large = sizes(), sizes("--large")
    # A square to measure keeps its size, and so what is fitted into it; a figure may stand by a rule on one set alone.
    fixed = {"void", "unless", "this", "square", "measures", "Print", "nothing", "fitted"}
    words = [word for word in usual.keys() & large.keys() - fixed if word.isalpha() and len(word) > 3]
    shared = [word for word in words if len(usual[word]) == len(large[word]) == 1]
    assert len(shared) > 60
    other = {
        word: (usual[word], large[word]) for word in shared if round(min(large[word]) / min(usual[word]), 1) != 1.5
    }
    assert not other


def test_set_of_a_garment_tells_how_to_mark_and_what_to_heed(romper: Path) -> None:
    belt = romper.parent / "belt.toml"
    belt.write_text(belt.read_text() + '\n[wearer]\nprofiles = ["child under three"]\n')
    made = garment_files(work_garment(romper), "a4")
    report = made["report.md"].decode()
    pages = " ".join(page.extract_text() for page in pdfplumber.open(io.BytesIO(made["marking.pdf"])).pages)
    for heading in ("How to mark", "Heed"):
        assert f"## {heading}" in report and heading in pages
    # Directive 94/27/EC, now REACH Annex XVII entry 27: what an opening alone is told, the set is told, once.
    assert report.count("the EU limits the nickel") == 1 and "entry 27" in pages
    alone = made["belt-report.md"].decode()
    child = [line for line in alone.splitlines() if line.startswith("- ") and "child" in line.lower()]
    assert child
    for line in child:
        # Told of the belt alone, it says so.
        assert line.removeprefix("- ") in report, line


def test_every_piece_that_is_cut_out_says_which_opening_it_is_for(romper: Path) -> None:
    from paper_sets import words_on

    from closures.drawing.extras.extra import Drawn
    from closures.drawing.extras.registry import all_extras, asked_for

    # No longer than a page, so every piece is drawn whole.
    plan = asked_for(load_plan(romper.parent / "crotch.toml"), ["all"])
    one = place_plan(plan, romper.parent / "crotch.toml")
    drawn = Drawn(one.placement, one.findings, one.catalogue, opening="left crotch")
    seen = set()
    for extra in all_extras():
        for piece in further_of(extra, drawn):
            words = " ".join(word.text for word in words_on(piece.items))
            assert "left crotch" in words.lower(), piece.name
            seen.add(piece.name.partition(",")[0].partition(" ")[0])
    assert {"band", "facing", "trial", "pull", "stride", "tags"} <= seen


def test_join_of_a_band_says_to_which_opening_the_other_part_belongs(romper: Path) -> None:
    from closures.drawing.extras.bands import EXTRA
    from closures.drawing.extras.extra import Drawn
    from closures.drawing.extras.registry import asked_for
    from closures.drawing.paper.parts import Part

    plan = asked_for(load_plan(romper.parent / "crotch.toml"), ["bands"])
    one = place_plan(plan, romper.parent / "crotch.toml")
    band = EXTRA.pieces(Drawn(one.placement, one.findings, one.catalogue, opening="top"))[0]
    first = band.draw(Part(0.0, 60.0, "end", "join", number=1, count=2, letter_after="R"))
    then = band.draw(Part(60.0, 109.0, "join", "end", number=2, count=2, letter_before="R"))
    titles = [item.title for piece in (first, then) for item in piece.items if getattr(item, "id", "") == "join-R"]
    assert titles[0].startswith("join R: top, band, over lap 2") and "lay on top, band, over lap 1" in titles[1]


def further_of(extra, drawn):
    """The pieces of a further sheet, long ones whole."""
    from closures.drawing.paper.parts import Part
    from closures.drawing.paper.piece import LongPiece

    for one in extra.pieces(drawn) if extra.is_asked(drawn.placement.plan) else ():
        if isinstance(one, LongPiece):
            length = one.strip_for(lambda size: True, 0.0).length_mm
            one = one.draw(Part(0.0, length, "end", "end"))
        yield one


SHRINKS = '\n[shrinkage]\nalong = "8 %"\nacross = "2 %"\nmeasured = "{}"\n'


@pytest.mark.parametrize(
    ("front", "crotch", "told"),
    [
        ("", "", "overlap by 6.2 mm"),
        # A crotch that tells no wash is of another cloth: two openings of one cloth tell the same.
        ("washed", "", "overlap by 6.2 mm"),
        ("washed", "washed", "overlap by 6.2 mm"),
        ("unwashed", "", "was not reckoned"),
    ],
)
def test_halves_are_held_apart_as_they_are_worn_whichever_plan_tells_of_the_wash(
    romper: Path, front: str, crotch: str, told: str
) -> None:
    folder = romper.parent
    for name, state in (("front.toml", front), ("crotch.toml", crotch)):
        text = (folder / name).read_text(encoding="utf-8") + (SHRINKS.format(state) if state else "")
        text = text if state or not front else text.replace('cloth = "linen"', 'cloth = "chino"')
        (folder / name).write_text(
            re.sub(r"(?m)^first = .*$", 'first = "20 mm"', text) if "crotch" in name else text, encoding="utf-8"
        )
    said = [one.text for one in work_garment(romper).clearances]
    assert any(told in text and "right crotch" in text and "left crotch" in text for text in said), said


@pytest.mark.parametrize(("level", "is_look"), [("332 mm", False), ("33200 mm", True), ("-500 mm", True)])
def test_belt_whose_level_misses_the_front_it_runs_over_is_a_look(romper: Path, level: str, is_look: bool) -> None:
    text = romper.read_text(encoding="utf-8")
    romper.write_text(re.sub(r'(?m)^level = "[^"]*"', f'level = "{level}"', text), encoding="utf-8")
    found = belt_over_front(work_garment(romper))
    assert (found.result == "warn", "it does not cross it" in found.text) == (is_look, is_look)


# The edge runs from 60 to 614 mm, and a belt of 36 mm reaches 18 mm past its middle, 19.6 mm on cloth yet to lose 8 %.
@pytest.mark.parametrize(
    ("state", "crosses", "misses"),
    [
        ("", ("42.1 mm", "631.9 mm"), ("41.9 mm", "632.1 mm")),
        ("unwashed", ("40.5 mm", "633.5 mm"), ("40.3 mm", "633.7 mm")),
    ],
)
def test_belt_grazes_a_front_with_its_own_border_and_its_level_is_told_as_it_was_written(
    romper: Path, state: str, crosses: tuple[str, ...], misses: tuple[str, ...]
) -> None:
    front, text = romper.parent / "front.toml", romper.read_text(encoding="utf-8")
    if state:
        words = front.read_text(encoding="utf-8").replace('cloth = "linen"', 'cloth = "chino"')
        front.write_text(words + SHRINKS.format(state), encoding="utf-8")
    for level in (*crosses, *misses):
        romper.write_text(re.sub(r'(?m)^level = "[^"]*"', f'level = "{level}"', text), encoding="utf-8")
        said = belt_over_front(work_garment(romper)).text
        runs = f"runs at the level {level}, and the edge of front runs from 60 mm to 614 mm"
        assert (runs in said) == (level in misses), said


@pytest.mark.parametrize("section", ["[[closure]]", "[closure]", "[[row]]"])
def test_a_plan_named_under_another_section_leads_to_openings(section: str) -> None:
    text = f'title = "Marram dress"\n{section}\nname = "top"\nplan = "front.toml"\n'
    with pytest.raises(PlanError, match=r"names a plan, as an opening of a garment file does\. .*\[\[opening\]\]"):
        read_plan(text.encode(), "garment.toml")


def test_parts_and_marks_of_the_romper_are_those_counted_by_hand(romper: Path) -> None:
    """Front: 8 snaps, each of two rings, a socket and a stud; crotch: 3 on either half.

    Belt: two caps 50 mm apart, worn in three settings 25 mm apart: over 0, 25 and 50 each cap closes on studs at
    0 and 50, 25 and 75, 50 and 100, so five studs; a ring behind each of the 2 sockets and 5 studs. Two spare of each
    of four plans, one for either of two trial pieces: ten closures over.
    """
    whole = work_garment(romper, draw=False)
    front, right, left, belt = (answer.placement for answer in whole.answers)
    bought = {row.part: (row.count, row.extra, row.packs) for row in whole.bought}
    assert bought == {
        "prong ring": (2 * 8 + 2 * 3 + 2 * 3 + 2 + 5, 20, 3),  # 55 of a pack of twelve closures, which holds 24
        "socket": (8 + 3 + 3 + 2, 10, 3),  # 26 of 12
        "stud": (8 + 3 + 3 + 5, 10, 3),  # 29 of 12
    }
    assert packs_in_words(whole.bought) and "3 packs" in packs_in_words(whole.bought)[0]
    # The front: 16 mm from the neck, one at the bust's 212 mm and none under the belt, 36 mm wide about 332 mm.
    levels = [mark.level_mm for mark in front.marks]
    assert front.marks[0].along_mm == pytest.approx(16)
    assert min(abs(level - 212) for level in levels) <= 3
    assert all(not 332 - 18 - 5.08 < level < 332 + 18 + 5.08 for level in levels)
    assert 30 <= front.laps.line.length_mm - front.marks[-1].along_mm <= 60
    # Half a crotch: past the 36 mm of front that lies on the other front, even gaps near 25 mm to 14 mm from the leg.
    for half in (right, left):
        places = [mark.along_mm for mark in half.marks]
        assert places[0] == pytest.approx(46)
        assert places[1] - places[0] == pytest.approx(places[2] - places[1])
        assert 14 - 1e-6 <= half.laps.line.length_mm - places[2] <= 20 + 1e-6
    assert ([mark.n for mark in belt.on("over")], [mark.n for mark in belt.on("under")]) == ([2, 4], [1, 2, 3, 4, 5])
    gaps = [b.along_mm - a.along_mm for a, b in itertools.pairwise(belt.marks)]
    assert gaps == pytest.approx([25] * 4)


def test_work_of_the_romper_runs_in_an_order_that_hands_can_follow(romper: Path) -> None:
    """By hand: cloth ready and tried, the belt's carriers on before the fronts are faced, all marked before any is pierced.

    Front before crotch, sockets of a lap before the studs that are found from them, the belt last.
    """
    steps = order_of(work_garment(romper, draw=False))

    def at(key: str, opening: str, words: str = "") -> int:
        return next(
            n for n, step in enumerate(steps) if step.key == key and opening in step.openings and words in step.text
        )

    ready = [at(key, "front") for key in ("wash", "press", "fuse", "trial")]
    assert ready == sorted(ready)
    words = [step.text for step in steps]

    def said(part: str, opening: str) -> int:
        return next(n for n, step in enumerate(steps) if part in step.text and opening in step.openings)

    carriers, faced = said("Cut 3 carriers", "belt"), said("Sew band and facing", "front")
    marked = [said("prick through paper and cloth", name) for name in ("front", "right crotch", "left crotch")]
    socket = [said("lay the socket on the prongs", name) for name in ("front", "right crotch", "belt")]
    stud = [said("lay the stud on the prongs", name) for name in ("front", "right crotch", "belt")]
    assert said("Cut the belt out", "belt") < said("Sew and turn the belt", "belt") < carriers < faced < min(marked)
    assert max(marked) < min(*socket, *stud)
    # The studs of laps are found from their sockets; those of a belt lie at their marks, and its caps are tried on them.
    assert socket[0] < stud[0] < socket[1] < stud[1] < stud[2] < socket[2] < len(words) - 1
    assert all("at marks 1 to 8" in words[n] for n in (socket[0], stud[0]))
    assert all("at marks 1 to 3" in words[n] for n in (socket[1], stud[1]))
    assert "at marks 2 and 4 of the over end" in words[socket[2]] and "at marks 1 to 5 of the under" in words[stud[2]]


def test_gaps_of_cloth_that_is_still_to_be_washed_are_told_as_worn(tmp_path: Path) -> None:
    """Of cloth that loses 5 in 100 down the edge, four gaps of (280 - 40) / 4 = 60 mm leave 57."""
    garment = two_rows(tmp_path, at=300)
    for name in ("upper", "lower"):
        plan = garment.parent / f"{name}.toml"
        told = plan.read_text() + '[shrinkage]\nalong = "5 %"\nacross = "3 %"\nmeasured = "unwashed"\n'
        plan.write_text(told)
    shown = CliRunner().invoke(app, ["check", str(garment)]).output
    assert re.search(r"^upper +5  57 mm once washed +0 ", shown, re.MULTILINE)
    assert brief(work_garment(garment).answers[0]).startswith("5 closures, gaps of 57 mm once washed; ")
