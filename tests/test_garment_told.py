"""What a garment file says of its openings: their names, what is told twice, and the names of their files."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from closures.app.job import advice_of, place_plan
from closures.app.whole import Whole, garment_files, order_of, work_garment
from closures.errors import PlanError
from closures.plan.reading import read_plan

ROW = """
title = "Sorrel {name}"
{garment}
[edge]
straight = "300 mm"
{edge}
[band]
width = "30 mm"
lap = "{lap}"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "2.5 mm"
[spacing]
{first}
last = "100 mm"
count = 3
[[layer]]
cloth = "poplin"
count = 2
"""
STRAP = """
title = "Sorrel {piece}"
[row]
piece = "{piece}"
{pair}
length = "{length}"
height = "32 mm"
overlap = "32 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "2.5 mm"
[[layer]]
cloth = "poplin"
count = 2
"""


def row(opens: str, more: str = "", ends: str = "") -> str:
    lap = "right over left" if opens in ("front", "back", "") else "front over back"
    lap, edge = ("upper over lower", 'cloth = "left"') if opens == "flat" else (lap, "")
    edge = 'cloth = "left"' if "shoulder" in opens else edge
    garment = f'[garment]\nopens = "{opens}"\n{ends}' if opens else ""
    first = "" if "[stand]" in more else 'first = "20 mm"'
    return ROW.format(name=opens, garment=garment, edge=edge, lap=lap, first=first) + more


COLLAR = STRAP.format(piece="collar", pair="", length="430 mm")
CUFFS = STRAP.format(piece="cuff", pair="pair = true", length="235 mm")
SLIT = row("flat", ends='ends = ["cuff", "elbow"]')
STAND = '[stand]\nheight = "32 mm"\n'


def garment(folder: Path, *openings: tuple[str, str, str]) -> Path:
    """Write a garment file: each opening's name, its plan and what its entry tells besides."""
    listed = ['title = "Sorrel shirt"']
    files: dict[str, str] = {}
    for name, plan, more in openings:
        file = files.setdefault(plan, f"{len(files)}.toml")
        (folder / file).write_text(plan, encoding="utf-8")
        listed.append(f'[[opening]]\nname = "{name}"\nplan = "{file}"\n{more}')
    (folder / "garment.toml").write_text("\n".join(listed), encoding="utf-8")
    return folder / "garment.toml"


def worked(folder: Path, *openings: tuple[str, str, str]) -> Whole:
    return work_garment(garment(folder, *openings), draw=False)


MIRRORED = "mirrored = true"


@pytest.mark.parametrize(
    ("name", "opens", "more", "told", "mend"),
    [
        ("right side", "left side", "", "opens at the wearer's left side", "write mirrored = true below its name"),
        ("Left side", "left side", MIRRORED, "turned over by mirrored = true, opens at", "Leave mirrored out"),
        ("right shoulder", "left shoulder", "", "opens at the wearer's left shoulder", "a name that says left"),
        ("front placket", "back", "", "opens at the back", 'Write opens = "front" under [garment] of 0.toml'),
        ("back", "", "", "does not tell what opens, and is taken as the front", 'Write opens = "back"'),
        ("left sleeve", "back", "", "opens at the back", "a name that says back"),
        ("collar", "left side", "", "opens at the wearer's left side", "a name that says left side"),
        ("rear vent", "front", "", "opens at the front", 'Write opens = "back"'),
        ("crotch", "front", "", "opens at the front", 'Write opens = "crotch"'),
        ("crotch", "", "", "does not tell what opens, and is taken as the front", 'Write opens = "crotch"'),
        (
            "left shoulder",
            "left side",
            "",
            "opens at the wearer's left side",
            'opens = "left shoulder" or opens = "right',
        ),
        (
            "neck and side",
            "right shoulder",
            "",
            "opens at the wearer's right shoulder",
            "a name that says right shoulder",
        ),
    ],
)
def test_name_that_says_the_other_side_of_the_body_than_its_plan_is_refused(
    tmp_path: Path, name: str, opens: str, more: str, told: str, mend: str
) -> None:
    with pytest.raises(PlanError, match="its sheets would bear the one and be of the other") as raised:
        worked(tmp_path, (name, row(opens), more))
    (fault,) = raised.value.faults
    assert f"'{name}' says" in fault.what and told in fault.what and mend in fault.mend, str(fault)


@pytest.mark.parametrize(
    ("name", "opens", "ends", "lies"),
    [
        ("neck", "left side", ("hip", "hem"), "above"),
        ("Collar", "", ("waist", "knee"), "above"),
        ("hip vent", "back", ("neck", "bust"), "below"),
        ("hip vent", "back", ("waist", "hem"), ""),
        ("neck", "front", ("neck", "waist"), ""),
        ("waist tie", "front", ("neck", "crossing"), ""),
        ("lower front", "front", ("neck", "waist"), ""),
        ("hem placket", "front", ("neck", "waist"), ""),
        ("knee", "inseam", ("crotch", "hem"), ""),
        ("crotch", "inseam", ("left hem", "right hem"), ""),
    ],
)
def test_name_of_a_place_that_the_edge_does_not_come_to_is_refused(
    tmp_path: Path, name: str, opens: str, ends: tuple[str, str], lies: str
) -> None:
    told = f'ends = ["{ends[0]}", "{ends[1]}"]'
    plan = row(opens, ends=told) if opens else row("").replace("[edge]", f"[garment]\n{told}\n[edge]")
    plan = plan.replace('straight = "300 mm"', 'straight = "300 mm"\ncloth = "left"') if opens == "inseam" else plan
    if not lies:
        assert worked(tmp_path, (name, plan, "mirrored = false" if opens == "inseam" else "")).result
        return
    with pytest.raises(PlanError) as raised:
        worked(tmp_path, (name, plan, ""))
    (fault,) = raised.value.faults
    assert f"'{name}' says a place that lies {lies} the edge of its plan, 0.toml" in fault.what, str(fault)
    assert f"from the {ends[0]} to the {ends[1]}" in fault.what and "ends under [garment] of 0.toml" in fault.mend


@pytest.mark.parametrize(
    ("name", "opens", "more"),
    [
        ("left side", "left side", ""),
        ("right side", "left side", MIRRORED),
        ("front over back, left side", "left side", "mirrored = false"),
        ("left to right side", "left side", ""),
        ("right front", "front", ""),
        ("left front crotch", "crotch", "mirrored = false"),
        ("back pocket", "flat", ""),
        ("placket", "back", ""),
        ("side front", "front", ""),
        ("inseam", "crotch", "mirrored = false"),
        ("front shoulder", "left shoulder", ""),
    ],
)
def test_name_that_agrees_or_says_nothing_of_the_side_is_taken(
    tmp_path: Path, name: str, opens: str, more: str
) -> None:
    plan = row(opens)
    plan = plan.replace('straight = "300 mm"', 'straight = "300 mm"\ncloth = "left"') if opens == "crotch" else plan
    assert worked(tmp_path, (name, plan, more)).result != "fail"


def test_stand_that_a_front_and_a_collar_both_tell_is_looked_at(tmp_path: Path) -> None:
    whole = worked(tmp_path, ("front", row("front", STAND), ""), ("neck", COLLAR, 'clear_of = ["front"]'))
    (found,) = whole.clearances
    assert (found.result, found.names) == ("warn", ("front", "neck"))
    assert "bought, printed and worked twice: leave the [[opening]] neck out" in found.text


@pytest.mark.parametrize(
    ("front", "piece"),
    [(row("front"), COLLAR), (row("front", STAND), CUFFS)],
    ids=["a front without a stand", "a cuff"],
)
def test_stand_that_is_told_once_is_not_looked_at(tmp_path: Path, front: str, piece: str) -> None:
    assert worked(tmp_path, ("front", front, ""), ("piece", piece, 'clear_of = ["front"]')).clearances == ()


def test_nearness_is_asked_only_of_openings_that_can_come_near_each_other(tmp_path: Path) -> None:
    whole = worked(
        tmp_path,
        ("front", row("front"), ""),
        ("collar", COLLAR, ""),
        ("cuffs", CUFFS, ""),
        ("left slit", SLIT, ""),
        ("right slit", SLIT, MIRRORED),
        ("pocket", row("flat"), ""),
    )
    asked = {one.names for one in whole.clearances if "was not reckoned" in one.text}
    assert asked == {
        ("front", "collar", "pocket"),
        ("collar", "pocket"),
        ("cuffs", "left slit", "right slit", "pocket"),
        ("left slit", "pocket"),
        ("right slit", "pocket"),
    }


def test_slit_of_a_sleeve_is_not_filled_and_shaken_and_a_cover_is(tmp_path: Path) -> None:
    shirt = order_of(worked(tmp_path, ("front", row("front"), ""), ("slit", SLIT, "")))
    cover = order_of(worked(tmp_path, ("flap", row("flat"), ""), ("end", row("flat").replace("300 mm", "310 mm"), "")))
    assert not any("shake it" in step.text for step in shirt)
    # Its sleeve is put on with the rest of the shirt.
    assert not any(step.key == "try flat" for step in shirt)
    assert all("slit" in step.openings or not step.openings for step in shirt if "put it on" in step.text)
    assert [step.openings for step in cover if "shake it" in step.text] == [("flap", "end")]


STAND_AS_LAPS = row("front").replace("300 mm", "{high}").replace('first = "20 mm"\nlast = "100 mm"\ncount = 3', "{at}")


@pytest.mark.parametrize(
    ("name", "high", "more", "is_seen"),
    [
        ("collar stand", "32 mm", "", True),
        ("stand", "30 mm", "", True),
        # Called by nothing that tells, it is as long as the stand is high: 32 mm, or 1 1/4 in told in inches.
        ("top", "32 mm", "", True),
        ("top", "1.26 in", "", True),
        # That it lies on a piece of its own does not buy its button once.
        ("collar stand", "32 mm", 'clear_of = ["front"]', True),
        ("placket below", "60 mm", "", False),
    ],
)
def test_stand_told_as_laps_beside_a_front_with_a_stand_is_looked_at(
    tmp_path: Path, name: str, high: str, more: str, is_seen: bool
) -> None:
    # Braces of the plan itself come in by what is filled in.
    within = '{ from = "10 mm", to = "50 mm" }'
    laps = STAND_AS_LAPS.format(high=high, at=f"first = {within}\nlast = {within}\ncount = 1")
    whole = worked(tmp_path, ("front", row("front", STAND), ""), (name, laps, more))
    told = [one for one in whole.clearances if "told twice" in one.text]
    assert [(one.result, one.names) for one in told] == [("warn", ("front", name))] * is_seen


def test_slits_own_report_is_tried_as_its_garment_is(tmp_path: Path) -> None:
    pocket = row("flat")
    made = garment_files(work_garment(garment(tmp_path, ("front", row("front"), ""), ("pocket", pocket, ""))), "a4")
    assert "Open and close" in made["pocket-report.md"].decode()
    assert not [file for file in ("report.md", "pocket-report.md") if "shake it" in made[file].decode()]
    # Alone nothing tells that a pocket is on clothes; a slit that ends at a cuff is.
    alone = {plan: place_plan(read_plan(plan.encode(), "plan.toml")) for plan in (pocket, SLIT)}
    shaken = [
        plan for plan, answer in alone.items() for step in advice_of(answer).order.steps if "shake it" in step.text
    ]
    assert shaken == [pocket]


def test_reports_of_a_set_name_files_that_are_in_it(tmp_path: Path) -> None:
    openings = (("front", row("front"), ""), ("left slit", SLIT, ""), ("Cuffs, both", CUFFS, ""))
    made = garment_files(work_garment(garment(tmp_path, *openings)), "a4")
    told = [one["report"] for one in json.loads(made["report.json"])["openings"]]
    told += [json.loads(made[f"{start}-report.json"]) for start in ("front", "left-slit", "cuffs-both")]
    names = [sheet["file"] for report in told for sheet in report["sheets"]]
    assert set(names) <= set(made) and {"front-over.svg", "left-slit-under.svg", "cuffs-both-over.svg"} <= set(names)
    page = made["front-report.md"].decode()
    assert "- `front-over.svg`: over lap" in page and "`over.svg`" not in page


SUIT = """<svg xmlns="http://www.w3.org/2000/svg" width="220mm" height="520mm" viewBox="0 0 220 520">
<path id="front-edge" d="M 160,20 L 160,460"/><path id="crotch-edge" d="M 160,460 C 140,461 110,452 70,436"/>
<path id="gusset" d="M 160,460 C 180,470 190,480 200,500"/><path id="below" d="M 160,460.5 L 160,510"/></svg>"""
ON_SUIT = """
title = "Sorrel suit"
drawing = "suit.svg"
[edge]
path = "{path}"
{edge}
[garment]
opens = "{opens}"
pieces = "separate"
ends = ["upper", "lower"]
[band]
width = "24 mm"
lap = "{lap}"
cut = "shaped"
[closure]
kind = "prong snap"
size = "15 L"
[spacing]
count = 2
[[layer]]
cloth = "interlock"
count = 2
"""


def on_suit(folder: Path, front: str, path: str, cloth: str, more: str = "", svg: str = SUIT) -> Whole:
    (folder / "suit.svg").write_text(svg, encoding="utf-8")
    crotch = ON_SUIT.format(path=path, edge=f'cloth = "{cloth}"\n{more}', opens="crotch", lap="front over back")
    of_front = ON_SUIT.format(path="front-edge", edge="", opens="front", lap=front)
    return worked(folder, ("front", of_front, ""), ("crotch", crotch, "mirrored = false"))


RIGHT, LEFT = "right over left", "left over right"


@pytest.mark.parametrize(
    ("front", "path", "cloth", "wrong"),
    [
        (RIGHT, "crotch-edge", "above", ""),
        # Neither lies on the other's cloth: a corner that turns inwards.
        (LEFT, "crotch-edge", "below", ""),
        (LEFT, "crotch-edge", "above", "that of front lies on the right of its edge as drawn, away from"),
        (RIGHT, "crotch-edge", "below", "that of crotch lies below its edge as drawn, away from"),
        # An edge that runs on straight shows no side of the other.
        (LEFT, "below", "left", ""),
    ],
)
def test_edges_that_meet_at_a_corner_with_their_cloth_on_two_sides_are_looked_at(
    tmp_path: Path, front: str, path: str, cloth: str, wrong: str
) -> None:
    told = [one.text for one in on_suit(tmp_path, front, path, cloth).clearances if "meet at a corner" in one.text]
    assert len(told) == bool(wrong) and all(wrong in text for text in told), told


def test_one_drawing_that_two_plans_read_to_two_scales_is_told_as_that(tmp_path: Path) -> None:
    whole = on_suit(tmp_path, RIGHT, "crotch-edge", "above", 'scale = "1.25 mm"')
    (text,) = [one.text for one in whole.clearances if "was not reckoned" in one.text]
    assert "both lie on suit.svg, which their plans read unlike, by scale" in text and "no drawing" not in text


def test_order_of_work_names_the_openings_of_a_step_that_some_of_them_have(tmp_path: Path) -> None:
    """By hand: the cloth of all is washed at once; only a front and a back have bands, and cuffs are cut by themselves."""
    openings = (("front", row("front"), ""), ("back", row("back"), ""), ("cuffs", CUFFS, ""))
    made = garment_files(work_garment(garment(tmp_path, *openings)), "a4")
    pages = pypdfium2.PdfDocument(made["marking.pdf"])
    sheets = " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())
    report = made["report.md"].decode()
    for told, both in ((sheets, "Front and back:"), (report, "**Front, back:**")):
        of_all = "All openings:" if told is sheets else "**All openings:**"
        of_cuffs = "Cuffs:" if told is sheets else "**Cuffs:**"
        assert f"{of_all} Wash and dry the cloth" in told
        assert f"{both} Sew band and facing of both laps" in told
        assert f"{of_cuffs} Cut both cuffs out" in told
        # Washed and pressed: nothing else is done on all three.
        assert told.count(of_all) == 2


@pytest.mark.parametrize(
    ("name", "opens", "lap", "is_seen"),
    [
        ("keyhole", "front", "right over left", True),
        ("keyhole", "back", "right over left", False),
        ("vent", "left side", "front over back", False),
        # What is called so is looked at wherever it opens: a stand may close at the back.
        ("stand", "back", "right over left", True),
    ],
)
def test_laps_as_long_as_a_stand_is_high_are_none_where_they_open_elsewhere(
    tmp_path: Path, name: str, opens: str, lap: str, is_seen: bool
) -> None:
    within = '{ from = "10 mm", to = "50 mm" }'
    laps = STAND_AS_LAPS.format(high="32 mm", at=f"first = {within}\nlast = {within}\ncount = 1")
    laps = laps.replace('opens = "front"', f'opens = "{opens}"').replace("right over left", lap)
    whole = worked(tmp_path, ("front", row("front", STAND), ""), (name, laps, ""))
    told = [one for one in whole.clearances if "told twice" in one.text]
    assert [(one.result, one.names) for one in told] == [("warn", ("front", name))] * is_seen


def test_row_that_has_a_stand_of_its_own_is_no_stand_whatever_it_is_called(tmp_path: Path) -> None:
    """Neither of another front, as of a hidden row below a shown one, nor of itself."""
    inner = row("front", STAND).replace("300 mm", "280 mm")
    openings = (("front with stand", row("front", STAND), ""), ("row below the stand", inner, ""))
    whole = worked(tmp_path, *openings)
    assert not [one for one in whole.clearances if "told twice" in one.text]


# From the same corner first to the left, then round below the front's edge and past it, to the right.
ROUND = '<path id="round" d="M 160,460 C 150,450 130,450 120,470 C 110,500 180,520 200,515"/></svg>'


@pytest.mark.parametrize("front", [RIGHT, LEFT])
def test_edge_that_runs_round_to_both_sides_of_another_shows_no_side_of_it(tmp_path: Path, front: str) -> None:
    """By hand: a tenth along, it lies left of x 160, and it ends at x 200."""
    whole = on_suit(tmp_path, front, "round", "below", svg=SUIT.replace("</svg>", ROUND))
    assert not [one.text for one in whole.clearances if "meet at a corner" in one.text]


@pytest.mark.parametrize(("front", "cloth"), [(RIGHT, "above"), (RIGHT, "below"), (LEFT, "above"), (LEFT, "below")])
@pytest.mark.parametrize("which", ["crotch", "front"])
def test_edges_that_are_drawn_as_seen_from_two_faces_show_no_corner(
    tmp_path: Path, which: str, front: str, cloth: str
) -> None:
    """The corner lies at x 0, where turned over it still is, while the edges there run on to other sides."""
    svg = SUIT.replace('viewBox="0 0', 'viewBox="-160 0').replace("M 160,20 L 160,460", "M 0,20 L 0,460")
    svg = svg.replace("M 160,460 C 140,461 110,452 70,436", "M 0,460 C -20,461 -50,452 -90,436")
    (tmp_path / "suit.svg").write_text(svg, encoding="utf-8")
    plans = {
        "front": ON_SUIT.format(path="front-edge", edge="", opens="front", lap=front),
        "crotch": ON_SUIT.format(path="crotch-edge", edge=f'cloth = "{cloth}"', opens="crotch", lap="front over back"),
    }
    plans[which] = plans[which].replace("[band]\n", '[band]\nseen_from = "inside"\n')
    whole = worked(tmp_path, ("front", plans["front"], ""), ("crotch", plans["crotch"], "mirrored = false"))
    edges = [answer.placement.as_told.laps.over.edge for answer in whole.answers]
    assert edges[0].end == pytest.approx(edges[1].start) and edges[0].end[0] == pytest.approx(0.0)
    assert not [one.text for one in whole.clearances if "meet at a corner" in one.text]
