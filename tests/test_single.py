"""One closure beside the row: a hook above it near the edge, a hidden button that holds the end of a waistband."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from pathlib import Path

import pytest

from closures import shipped
from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.app.whole import work_garment
from closures.errors import ClosureError, PlanError
from closures.plan.reading import read_plan

BLOUSE = """
title = "Alder blouse"
[edge]
straight = "500 mm"
[garment]
opens = "back"
[band]
width = "32 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
[spacing]
first = "30 mm"
last = "60 mm"
count = 6
"""
HOOK = '[[single]]\nkind = "hook and eye"\nsize = "2"\ncap = "9 mm"\nalong = "6 mm"\n'
WAISTBAND = """
title = "Bramble waistband"
[edge]
straight = "40 mm"
[garment]
opens = "front"
ends = ["upper edge", "lower edge"]
[band]
width = "60 mm"
inset = "16 mm"
under_inset = "44 mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "28 L"
thickness = "3 mm"
hole = "across"
spare = 0
trial = 0
[spacing]
first = "20 mm"
last = "20 mm"
count = 1
"""
INNER = """[[single]]
kind = "sew-through button"
size = "20 L"
thickness = "2.5 mm"
level = "20 mm"
inset = "46 mm"
hidden = true
hole = "across"
"""


def placed(text: str):
    return check_plan(read_plan(text.encode(), "plan.toml")).placement


@pytest.mark.parametrize("cloth", ["linen", "leather 2 oz", "jersey"])
def test_place_of_a_hidden_button_is_found_from_the_inside(cloth: str) -> None:
    """Its buttonhole lies beneath the over lap, where no pin from above goes through it."""
    plan = read_plan((WAISTBAND + INNER + f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n').encode(), "plan.toml")
    told = [step.text for step in advice_of(check_plan(plan)).order.steps if step.key == "compare"]
    row, inner = (next(text for text in told if f"Mark {n} " in text) for n in (1, 2))
    assert re.search(r"turn it over closed[^;]*, and from the inside (put a pin|make a point)", inner)
    assert "from the inside" not in row


def test_a_hook_above_the_row_lies_an_eighth_of_an_inch_inside_the_edge():
    placement = placed(BLOUSE + HOOK)
    plain = placed(BLOUSE)
    assert placement.marks == plain.marks
    hook = placement.all_marks[-1]
    assert hook.n == 7 and hook.along_mm == pytest.approx(6)
    # New Mexico State University, Guide C-232: 1/8 in from the edge to the hook's end. Closed, the laps overlap by
    # twice 16 mm, so that the eye lies at 32 - 3.175 from the under lap's edge.
    assert hook.over.edge_distance_mm == pytest.approx(3.175)
    assert hook.under.edge_distance_mm == pytest.approx(32 - 3.175)
    assert hook.over.at == pytest.approx(hook.under.at)


def test_a_hidden_button_holds_the_under_end_of_a_waistband():
    row, inner = placed(WAISTBAND + INNER).all_marks
    # The ends overlap by 16 + 44 = 60 mm: 46 mm from the over end's tip is 14 mm from the under end's.
    assert (row.over.edge_distance_mm, row.under.edge_distance_mm) == pytest.approx((16, 44))
    assert (inner.over.edge_distance_mm, inner.under.edge_distance_mm) == pytest.approx((46, 14))


def test_a_hidden_button_is_bought_for_the_over_lap_and_worked_in_the_under_lap():
    files = result_files(place_plan(read_plan((WAISTBAND + INNER).encode(), "plan.toml")), "a4")
    report = json.loads(files["report.json"])
    parts = [(part["part"], part["closure"], part["lap"], part["count"]) for part in report["parts"]]
    assert parts == [
        ("button", "sew-through button 28 L", "under", 1),
        ("button", "sew-through button 20 L", "over", 1),
    ]
    words = files["report.md"].decode()
    assert "Sew the button" in words and "mark 2 of the over lap" in words
    assert re.search(r"Cut the buttonholes? open at mark 2 of the under lap", words)
    # A mark alone knows its own slit: 20 L is 12.7 mm (Federal Specification V-B-871F), and 2.5 mm thick.
    assert "15.2 mm long" in words
    assert b'id="over-2"' in files["over.svg"] and b'id="under-2"' in files["under.svg"]


def test_a_hook_on_a_button_of_the_row_fails():
    findings = check_plan(
        read_plan((BLOUSE + HOOK.replace('along = "6 mm"', 'along = "30 mm"\ninset = "16 mm"')).encode(), "plan.toml")
    ).findings
    assert any(one.rule == "columns apart" and one.result == "fail" and "[[single]]" in one.text for one in findings)


@pytest.mark.parametrize(
    ("along", "end", "fails"),
    [(4.4, "neck", True), (4.5, "neck", False), (495.5, "hem", False), (495.6, "hem", True), (500, "hem", True)],
)
def test_a_single_closure_that_hangs_past_an_end_fails(along: float, end: str, fails: bool):
    """The rim of a hook 9 mm wide reaches 4.5 mm to either side; the edge is 500 mm long."""
    text = BLOUSE + HOOK.replace('along = "6 mm"', f'along = "{along} mm"')
    told = [one for one in check_plan(read_plan(text.encode(), "plan.toml")).findings if one.rule == "end distance"]
    beside = [one for one in told if one.mark == 7]
    assert [one.result for one in beside] == ["fail"] * fails
    assert all(end in one.text and "[[single]]" in one.text for one in beside)


@pytest.mark.parametrize("pieces", ["", 'pieces = "pair"'])
def test_a_hook_above_a_stand_is_told_from_the_stands_upper_edge(pieces: str):
    text = BLOUSE.replace('first = "30 mm"\n', "").replace('"back"', f'"back"\n{pieces}')
    text += '[stand]\nheight = "30 mm"\n'
    plain, placement = placed(text), placed(text + HOOK)
    assert placement.marks == plain.marks
    hook = placement.all_marks[-1]
    # The neck seam is level zero, and the stand's upper edge lies its height above it.
    assert hook.along_mm == pytest.approx(6) and hook.level_mm == pytest.approx(6 - 30)
    assert hook.over.edge_distance_mm == pytest.approx(3.175)
    assert (hook.under.along_mm, hook.under.y_mm) == pytest.approx((6, 6 - 30))


def test_the_level_of_a_hook_is_counted_from_the_upper_end_of_the_edge():
    lower = BLOUSE.replace('straight = "500 mm"', 'points = [["0 mm", "40 mm"], ["0 mm", "540 mm"]]')
    hook = placed(lower + HOOK.replace("along", "level")).all_marks[-1]
    assert (hook.along_mm, hook.level_mm) == pytest.approx((6, 6))


def test_two_hooks_beside_the_row_have_a_number_each():
    numbered = [(mark.n, mark.along_mm) for mark in placed(BLOUSE + HOOK + HOOK.replace("6 mm", "494 mm")).all_marks]
    assert numbered[6:] == [(7, pytest.approx(6)), (8, pytest.approx(494))]


@pytest.mark.parametrize("pieces", ["pair", "separate"])
def test_a_hook_on_a_curved_edge_leaves_the_row_and_lies_inside_each_edge(pieces: str):
    arc = 'arc = { length = "500 mm", radius = "1200 mm", bows = "out" }'
    curved = BLOUSE.replace('straight = "500 mm"', arc).replace('"back"', f'"back"\npieces = "{pieces}"')
    plain, placement = placed(curved), placed(curved + HOOK)
    assert placement.marks == plain.marks
    hook = placement.all_marks[-1]
    assert hook.over.edge_distance_mm == pytest.approx(3.175)
    assert hook.under.edge_distance_mm == pytest.approx(32 - 3.175)
    # 6 mm along a line 3.175 mm inside an arc: both halves at the same angle about the arc's middle.
    angle = 6 / (1200 - 3.175)
    middle, own = 1200, 1200 - (32 - 3.175 if pieces == "pair" else 3.175)
    assert hook.over.along_mm / (middle - 3.175) == pytest.approx(angle)
    assert hook.under.along_mm / own == pytest.approx(angle)


def test_a_hook_on_a_sharp_curve_is_not_held_to_what_two_lines_ease():
    # A circle of 400 mm: 28.825 mm deep on the under lap, the hook's line there is 500 * (400 - 28.825) / 400 = 463.97 mm
    # and 496.03 on the over lap. They differ by 6.5 %, and one hook eases nothing; the row closes on one line of both.
    arc = 'arc = { length = "500 mm", radius = "400 mm", bows = "out" }'
    curved = BLOUSE.replace('straight = "500 mm"', arc).replace('"back"', '"back"\npieces = "pair"')
    hook = placed(curved + HOOK).all_marks[-1]
    assert hook.over.edge_distance_mm == pytest.approx(3.175)
    assert hook.under.edge_distance_mm == pytest.approx(32 - 3.175)


def test_a_hook_stands_beside_a_double_breasted_front():
    coat = BLOUSE.replace('width = "32 mm"', 'width = "150 mm"\ninset = "25 mm"').replace('"back"', '"front"')
    coat += '[column]\napart = "90 mm"\ninner = { kind = "sew-through button", size = "16 L" }\n'
    plain, placement = placed(coat), placed(coat + HOOK)
    assert placement.all_marks[:-1] == plain.all_marks
    # 6 of the row, 6 of the column, the hidden one, the hook.
    assert [mark.n for mark in placement.all_marks] == list(range(1, 15))
    hook = placement.all_marks[-1]
    # The laps overlap by 25 + 90 + 25 mm.
    assert hook.over.edge_distance_mm == pytest.approx(3.175)
    assert hook.under.edge_distance_mm == pytest.approx(140 - 3.175)
    report = json.loads(result_files(place_plan(read_plan((coat + HOOK).encode(), "plan.toml")), "a4")["report.json"])
    assert [(part["part"], part["count"]) for part in report["parts"]][-2:] == [("hook", 1), ("straight eye", 1)]


SIZED = BLOUSE.replace('straight = "500 mm"', 'points = [["0 mm", "0 mm"], ["0 mm", "500 mm"]]') + HOOK
SIZES = """[sizes]
names = ["8", "10", "12"]
base = "10"
grade = [["0 mm", "0 mm"], ["0 mm", "40 mm"]]
hold = "pitch"
"""


def test_every_size_has_the_hook_where_its_plan_alone_would_have_it():
    files = size_files(place_sizes(read_plan((SIZED + SIZES).encode(), "plan.toml")), "a4")
    rows = list(csv.DictReader(io.StringIO(files["sizes.csv"].decode())))
    for size, last, count in (("8", 460, 6), ("10", 500, 6), ("12", 540, 7)):
        alone = placed(SIZED.replace('"500 mm"', f'"{last} mm"').replace("count = 6", f"count = {count}"))
        marks = alone.all_marks
        own = [row for row in rows if row["size"] == size]
        for lap in ("over", "under"):
            listed = [
                (int(row["mark"]), float(row["from_first_end_mm"]), float(row["from_finished_edge_mm"]))
                for row in own
                if row["lap"] == lap
            ]
            assert listed == [
                pytest.approx((mark.n, mark.along_mm, mark.on(lap).edge_distance_mm), abs=0.051) for mark in marks
            ]
        hook = f"{size}-{len(marks)}"
        assert f'id="over-{hook}"'.encode() in files["nest-over.svg"]
        assert f'id="under-{hook}"'.encode() in files["nest-under.svg"]
    assert "Size 12, mark 8, beside the row, 3.2 mm inside the over lap's edge" in files["report.md"].decode()


REFUSED = {
    "off the under lap": (BLOUSE + HOOK + 'inset = "32 mm"\n', "there is no under lap"),
    "past the band": (
        BLOUSE.replace('width = "32 mm"', 'width = "32 mm"\ninset = "20 mm"\nunder_inset = "20 mm"')
        + HOOK
        + 'inset = "33 mm"\n',
        "past the over lap's band",
    ),
    # The eye lies 32 - 3.175 from the under lap's edge.
    "past the under band": (
        BLOUSE.replace('width = "32 mm"', 'width = "32 mm"\nunder_width = "28 mm"\nunder_inset = "16 mm"') + HOOK,
        "past the under lap's band",
    ),
    "half on a button of the row": (
        BLOUSE + HOOK.replace("6 mm", "33 mm") + 'inset = "16 mm"\n',
        "3 mm from mark 1, half on it",
    ),
    "past the end": (BLOUSE + HOOK.replace("6 mm", "501 mm"), "lies past the end"),
    "off every level": (
        BLOUSE + HOOK.replace('along = "6 mm"', 'level = "-4 mm"'),
        "does not meet its line, which runs between levels",
    ),
    "no place": (BLOUSE + HOOK.replace('along = "6 mm"\n', ""), "exactly one of"),
    "a pull": (BLOUSE + HOOK + '[pull]\nscale = "60 g"\n', "what lies beside it holds too"),
    "edges that meet": (
        BLOUSE.replace('opens = "back"', 'opens = "back"\nedges = "meeting"')
        .replace("sew-through button", "hook and eye")
        .replace('"18 L"', '"2"')
        .replace("thickness", "cap")
        + HOOK,
        "count = 1, first and last as far as it lies from either end. A garment file puts both together",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_contradicts_a_single_closure_is_refused(name: str):
    text, told = REFUSED[name]
    with pytest.raises(ClosureError, match=re.escape(told)) as refused:
        placed(text)
    assert all(fault.mend for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            '[belt]\nwidth = "40 mm"\nwaist = "800 mm"\n',
            "tell its two ends as laps: the strap's height as a straight edge",
        ),
        (
            '[row]\nlength = "250 mm"\nheight = "65 mm"\n[[differs]]\nmark = 1\nhole = "across"\n',
            "All closures of a strap are alike: leave [[differs]] out.",
        ),
    ],
    ids=["belt", "differing on a strap"],
)
def test_what_does_not_go_with_a_single_closure_is_told_what_to_do(more: str, said: str):
    with pytest.raises(ClosureError, match=re.escape(said)):
        read_plan((BLOUSE + HOOK + more).encode(), "plan.toml")


def test_a_refusal_on_unwashed_cloth_tells_lengths_as_the_plan_does():
    # 32 wide, 16 and 20 in: the eye would lie 20 + 16 - 3.175 washed, and so much more of the unwashed cloth.
    over = BLOUSE.replace('width = "32 mm"', 'width = "32 mm"\ninset = "16 mm"\nunder_inset = "20 mm"') + HOOK
    unwashed = over + '[shrinkage]\nalong = "4 %"\nacross = "2 %"\nmeasured = "unwashed"\n'
    with pytest.raises(ClosureError, match=r"past the under lap's band, 32\.8 mm from its edge"):
        placed(unwashed)


@pytest.mark.parametrize("kind", ["sew-through button", "prong snap"])
def test_nothing_is_tried_on_or_washed_before_everything_is_set_and_each_once(kind: str):
    # Common practice: a buttonhole is cut, and a snap set, before the garment goes into the wash.
    blouse = BLOUSE.replace("sew-through button", kind).replace('thickness = "3 mm"\n', "")
    wash = '[shrinkage]\nalong = "5 %"\nacross = "3 %"\nmeasured = "washed"\n'
    steps = advice_of(check_plan(read_plan((blouse + HOOK + wash).encode(), "plan.toml"))).order.steps
    keys = [step.key for step in steps]
    assert keys[-3:] == ["try", "first wash", "measure washed"]
    assert [keys.count(key) for key in ("keep unwashed", "try", "first wash")] == [1, 1, 1]
    assert "5 % along and 3 % across" in steps[0].text and "come to 500 mm" in steps[-1].text


def test_of_a_hook_weak_hands_are_told_no_width_and_velvet_is_marked_in_one_sentence():
    text = (
        BLOUSE
        + HOOK.replace('cap = "9 mm"\n', "")
        + '[wearer]\nprofiles = ["weak hands"]\n[[layer]]\ncloth = "velvet"\n'
    )
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    told = [one.text for one in answer.findings if one.rule == "wearer" and "Mark 7" in one.text]
    assert len(told) == 1 and "No width is known" in told[0] and "0 mm" not in told[0]
    marking = advice_of(answer).marking
    assert sum("Take one loose stitch" in line for line in marking) == 1 and "both ends" in marking[0]
    # The hook lies within, where the sheet of the buttonholes does not lie.
    assert sum("turn the lap over and measure on its inside" in line for line in marking) == 1


def test_a_hook_above_a_lace_is_had_by_the_way_that_the_refusal_of_a_single_one_names(tmp_path: Path) -> None:
    (tmp_path / "back.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="500mm" viewBox="0 0 300 500">'
        '<path id="edge" d="M 150 20 V 380"/></svg>'
    )
    own = (
        'drawing = "back.svg"\n[edge]\npath = "edge"\n[garment]\nopens = "back"\nedges = "meeting"\npieces = "pair"\n'
        '[band]\nwidth = "35 mm"\n{band}lap = "right over left"\n[closure]\n{closure}[spacing]\n{spacing}'
    )
    lace = own.format(
        band='inset = "14 mm"\n',
        closure='kind = "eyelet"\nsize = "5.5 mm"\n',
        spacing='first = "22 mm"\nlast = "18 mm"\ncount = 9\n',
    )
    hook = own.format(
        band="",
        closure='kind = "hook and eye"\nsize = "3"\ncap = "11 mm"\n',
        spacing='first = "6 mm"\nlast = "354 mm"\ncount = 1\n',
    )
    with pytest.raises(ClosureError, match="a plan of its own, of the same edge, with count = 1"):
        read_plan((lace + HOOK).encode(), "plan.toml")
    (tmp_path / "lace.toml").write_text(lace)
    (tmp_path / "hook.toml").write_text(hook)
    (tmp_path / "garment.toml").write_text(
        '[[opening]]\nname = "lace"\nplan = "lace.toml"\n[[opening]]\nname = "hook"\nplan = "hook.toml"\n'
    )
    whole = work_garment(tmp_path / "garment.toml")
    assert [len(one.placement.marks) for one in whole.answers] == [9, 1]
    # Rim to rim, by hand: eyelet 1 lies 22 mm down and 14 in, the hook 6 mm down and an eighth of an inch in.
    (between,) = whole.clearances
    rims = [one.placement.fastener.rim_mm for one in whole.answers]
    assert between.found_mm == pytest.approx(math.hypot(16, 14 - 3.175) - sum(rims), abs=0.01)


def test_a_single_closure_beside_old_ones_is_told_the_way_that_its_refusal_names(tmp_path: Path) -> None:
    swap = (shipped.starting_plans()["shirt-swap"] / "plan.toml").read_text()
    single = '\n[[single]]\nkind = "sew-through button"\nsize = "18 L"\nlevel = "620 mm"\nhidden = true\n'
    with pytest.raises(PlanError, match=r'plan of its own, of the same edge, with count = 1.*halves = "turned"'):
        read_plan((swap + single).encode(), "plan.toml")
    own = (
        '[edge]\nstraight = "640 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "32 mm"\n'
        'inset = "16 mm"\nlap = "left over right"\n[closure]\nkind = "sew-through button"\nsize = "18 L"\n'
        'halves = "turned"\n[spacing]\nfirst = "620 mm"\nlast = "20 mm"\ncount = 1\n'
    )
    (tmp_path / "front.toml").write_text(swap)
    (tmp_path / "hidden.toml").write_text(own)
    (tmp_path / "garment.toml").write_text(
        'title = "Both"\n[[opening]]\nname = "front"\nplan = "front.toml"\n[[opening]]\nname = "hidden"\n'
        'plan = "hidden.toml"\n'
    )
    front, hidden = (one.placement for one in work_garment(tmp_path / "garment.toml", draw=False).answers)
    assert len(front.marks) > 1 and [mark.along_mm for mark in hidden.marks] == [620.0]
    # The button lies on the inside of the over lap, as a hidden single one's does.
    assert [(part.name, part.lap) for part in hidden.fastener.parts] == [("button", "over")]


def looks_of(text: str, rule: str, lap: str, results: tuple[str, ...] = ("warn", "fail")) -> list[str]:
    findings = check_plan(read_plan(text.encode(), "plan.toml")).findings
    return [one.text for one in findings if (one.rule, one.lap, one.mark) == (rule, lap, 7) and one.result in results]


def test_a_hidden_hook_lies_an_eighth_of_an_inch_inside_the_under_laps_edge_which_carries_it():
    placement = placed(BLOUSE + HOOK + "hidden = true\n")
    hook = placement.all_marks[-1]
    assert hook.under.edge_distance_mm == pytest.approx(3.175)
    assert hook.over.edge_distance_mm == pytest.approx(32 - 3.175)
    (told,) = [one for one in placement.assumed if "hook" in one]
    assert "hook and eye 2, lies 3.2 mm inside the under lap's edge (published" in told
    assert told.endswith("To change it: inset under [[single]], which is from the over lap's edge.")
    assert looks_of(BLOUSE + HOOK + "hidden = true\n", "edge distance", "under") == []


def test_a_hidden_hook_beneath_which_the_under_laps_edge_is_drawn_lies_on_the_rows_line_and_is_told():
    from edge_files import edges_of

    from closures.catalogue.loading import load_catalogue
    from closures.placing.placement import place

    drawn = BLOUSE.replace('straight = "500 mm"', 'path = "over"\nunder = "under"')
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="520mm" viewBox="0 0 100 520">'
        '<path id="over" d="M 50 10 V 510"/><path id="under" d="M 80 10 V 510"/></svg>'
    )
    drawn = drawn.replace("title", 'drawing = "d.svg"\ntitle').replace(
        'lap = "right over left"', 'lap = "left over right"'
    )
    plan = read_plan((drawn + HOOK + "hidden = true\n").encode(), "plan.toml")
    for text in (drawing, drawing.replace("M 80", "M 20")):
        try:
            placement = place(plan, edges_of(plan, text.encode()), load_catalogue())
        except ClosureError:
            continue
        break
    assert any(
        "hook and eye 2 lies on the row's line, 16 mm inside the over lap's edge" in one for one in placement.assumed
    )
    assert placement.all_marks[-1].over.edge_distance_mm == pytest.approx(16)


def test_a_single_closure_on_the_rows_line_is_told_as_assumed():
    snap = '[[single]]\nkind = "sew-on snap"\nsize = "2/0"\nalong = "8 mm"\n'
    told = (
        "sew-on snap 2/0 lies on the row's line, 16 mm inside the over lap's edge (our own rule). To change it: inset"
    )
    assert any(one.startswith(told) for one in placed(BLOUSE + snap).assumed)
    assert not any("row's line" in one for one in placed(BLOUSE + snap + 'inset = "16 mm"\n').assumed)


@pytest.mark.parametrize(
    ("more", "lap", "cure"),
    [
        ('inset = "16 mm"\n', "over", "Lessen its inset under [[single]]."),
        ('inset = "16 mm"\nhidden = true\n', "under", "Widen its inset under [[single]]."),
    ],
)
def test_a_single_hook_far_from_its_edge_is_cured_by_its_own_inset(more, lap, cure):
    (text,) = looks_of(BLOUSE + HOOK + more, "edge distance", lap)
    assert text.endswith(f"the most in print. {cure}")


@pytest.mark.parametrize(("inset", "near", "off"), [("4 mm", "over", "under"), ("28 mm", "under", "over")])
def test_a_single_snap_near_an_edge_is_cured_by_its_own_inset_and_the_cure_holds(inset, near, off):
    snap = '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "12 mm"\ninset = "{}"\n'
    (text,) = looks_of(BLOUSE + snap.format(inset), "edge distance", near)
    more, by = re.search(r"(Widen|Lessen) its inset under \[\[single\]\] by ([0-9.]+) mm", text).groups()
    assert more == ("Widen" if near == "over" else "Lessen")
    moved = float(inset.split()[0]) + float(by) * (1 if near == "over" else -1)
    assert looks_of(BLOUSE + snap.format(f"{moved} mm"), "edge distance", near, ("fail",)) == []
    (text,) = looks_of(BLOUSE + snap.format(inset), "band width", off)
    assert f"{more.lower()} its inset under [[single]] or take a smaller size" in text


def test_what_is_wrong_with_a_single_or_a_differing_closure_names_its_own_section():
    single = '[[single]]\nkind = "sew-through button"\nsize = "99 L"\nhole = "across"\nalong = "8 mm"\n'
    differs = '[[differs]]\nat = "neck"\nsize = "99 L"\nhole = "across"\n'
    for text, where in ((HOOK + single, "[[single]] 2: there is no"), (differs, "[[differs]] 1: there is no")):
        with pytest.raises(ClosureError) as caught:
            placed(BLOUSE + text)
        assert where in str(caught.value)
    curved = BLOUSE.replace('straight = "500 mm"', 'arc = { length = "75 mm", radius = "25 mm", bows = "out" }')
    curved = curved.replace(
        'width = "32 mm"', 'width = "60 mm"\ninset = "14 mm"\nunder_inset = "14 mm"\ncut = "shaped"'
    ).replace('opens = "back"', 'opens = "back"\npieces = "pair"')
    curved = (
        curved.replace('"30 mm"', '"10 mm"')
        .replace('last = "60 mm"', 'last = "5 mm"')
        .replace("count = 6", "count = 2")
    )
    placed(curved)
    with pytest.raises(ClosureError, match=r"\[\[single\]\] 1 inset: the closing line through it: it cannot lie 26 mm"):
        placed(curved + HOOK + 'inset = "26 mm"\n')
