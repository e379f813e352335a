"""Edges that meet: hooks and eyes by their working ends, eyelets with a lace; each side on its own edge."""

from __future__ import annotations

import json
import math
import random
import re
from itertools import pairwise

import numpy as np
import pytest
from paper_sets import groups

from closures.advice.comparing import eased
from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.order import EXTRA as ORDER
from closures.drawing.extras.registry import asked_for
from closures.drawing.paper.words import Picture
from closures.errors import ClosureError
from closures.jobs.table.bands import band_pieces
from closures.jobs.table.handover import hand_over
from closures.placing.easing import gaps_on_under
from closures.placing.lacing import lace_of
from closures.plan.reading import read_plan
from closures.report.parts import lace_in_words

HOOKS = """
title = "Orchard back"
[edge]
straight = "390 mm"
[garment]
opens = "back"
edges = "meeting"
[band]
width = "26 mm"
lap = "right over left"
[closure]
kind = "hook and eye"
size = "2"
cap = "9 mm"
[spacing]
first = "15 mm"
last = "15 mm"
count = 19
"""
LACED = """
title = "Rowan bodice"
[edge]
straight = "{length} mm"
[garment]
opens = "back"
edges = "meeting"
gap = "{gap} mm"
[band]
width = "40 mm"
inset = "{inset} mm"
under_inset = "{under} mm"
lap = "right over left"
[lacing]
way = "{way}"
tied = "450 mm"
[closure]
kind = "eyelet"
size = "5.5 mm"
[spacing]
first = "20 mm"
last = "20 mm"
count = {count}
"""
CURVED = HOOKS.replace('straight = "390 mm"', 'arc = { length = "390 mm", radius = "700 mm", bows = "out" }').replace(
    'edges = "meeting"', 'edges = "meeting"\npieces = "pair"'
)


SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="500mm" viewBox="0 0 300 500">
<path id="e" d="M150 20 C150 120 118 130 118 190 C118 250 160 270 160 380"/>
<path id="u" d="M150 20 C140 130 168 150 176 205 C184 260 140 290 144 378.5"/>
<path id="a" d="M100 20 V400"/><path id="b" d="M200 20 V408"/></svg>"""
WAVY = HOOKS.replace('straight = "390 mm"', 'path = "e"').replace('"meeting"', '"meeting"\npieces = "pair"')
APART = HOOKS.replace('straight = "390 mm"', 'path = "e"\nunder = "u"').replace(
    '"meeting"', '"meeting"\npieces = "separate"'
)


def checked(plan: str):
    if "path =" in plan:
        plan = f'drawing = "b.svg"\n{plan}'
    return check_plan(read_plan(plan.encode(), "plan.toml"), {"b.svg": SVG.encode()})


def placed(plan: str):
    return checked(plan).placement


class Walked:
    """An edge walked in fine chords, by the cubics of the drawing alone: what the program knows of curves is not asked."""

    def __init__(self, name: str, turned: bool) -> None:
        numbers = re.search(rf'id="{name}" d="([^"]*)"', SVG).group(1)
        points = np.array([float(n) for n in re.findall(r"[\d.]+", numbers)]).reshape(-1, 2)
        t = np.linspace(0.0, 1.0, 20001)[:, None]
        parts = [
            (1 - t) ** 3 * points[k] + 3 * (1 - t) ** 2 * t * points[k + 1] + 3 * (1 - t) * t**2 * points[k + 2]
            + t**3 * points[k + 3]
            for k in (0, 3)
        ]  # fmt: skip
        self.points = np.concatenate(parts) * ((-1.0 if turned else 1.0), 1.0)
        self.along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(self.points, axis=0).T))])

    def foot_mm(self, at: tuple[float, float]) -> float:
        begin, step = self.points[:-1], np.diff(self.points, axis=0)
        size = (step**2).sum(axis=1)
        share = np.clip((((at - begin) * step).sum(axis=1)) / np.where(size == 0.0, 1.0, size), 0.0, 1.0)
        far = np.hypot(*(begin + share[:, None] * step - at).T)
        k = int(np.argmin(far))
        return float(self.along[k] + share[k] * (self.along[k + 1] - self.along[k]))


@pytest.mark.parametrize("gap", [0, 12])
def test_on_a_wavy_edge_hook_and_eye_lie_opposite_each_other_on_the_finished_edge(gap: int):
    placement = placed(WAVY.replace('"meeting"', f'"meeting"\ngap = "{gap} mm"'))
    over, under = Walked("e", False), Walked("e", True)
    for hook, eye in zip(placement.on("over"), placement.on("under"), strict=True):
        assert under.foot_mm(eye.at) == pytest.approx(over.foot_mm(hook.at), abs=0.01)


def test_on_edges_drawn_apart_the_feet_keep_step_in_proportion_along_both_finished_edges():
    placement = placed(APART)
    over, under = Walked("e", False), Walked("u", False)
    share = under.along[-1] / over.along[-1]
    for hook, eye in zip(placement.on("over"), placement.on("under"), strict=True):
        assert under.foot_mm(eye.at) == pytest.approx(share * over.foot_mm(hook.at), abs=0.01)


def test_a_pin_of_edges_that_meet_holds_along_the_finished_edges():
    notches = 'under = "u"\nunder_lies = "apart"\nmatch = [[["118 mm", "190 mm"], ["173.638 mm", "192.002 mm"]]]'
    placement = placed(APART.replace('under = "u"', notches))
    over, under = Walked("e", False), Walked("u", False)
    one, other = over.foot_mm((118.0, 190.0)), under.foot_mm((173.638, 192.002))
    assert placement.laps.under.pins_mm[0] == pytest.approx((one, other), abs=0.01)
    for hook, eye in zip(placement.on("over"), placement.on("under"), strict=True):
        foot = over.foot_mm(hook.at)
        rest = (under.along[-1] - other) / (over.along[-1] - one)
        wanted = foot * other / one if foot <= one else other + (foot - one) * rest
        assert under.foot_mm(eye.at) == pytest.approx(wanted, abs=0.01)


def test_the_step_eases_edges_that_meet_along_themselves_and_not_along_their_rows():
    """Straight edges of 380 and 388 mm, the pin at 180 and 182 mm: 2 mm above it and 6 mm below, whatever the rows are."""
    pin = 'under = "b"\nunder_lies = "apart"\nmatch = [[["100 mm", "200 mm"], ["200 mm", "202 mm"]]]'
    answer = checked(APART.replace('"e"', '"a"').replace('under = "u"', pin))
    (found,) = [one for one in answer.findings if one.rule == "two lines"]
    assert "2 mm of the under lap from neck to pin 1, 6 mm of the under lap from pin 1 to" in found.text
    told = eased(answer.placement)
    assert "2 mm of the under lap from neck to pin 1 and 6 mm of the under lap from pin 1 to" in told
    assert "180 mm from the neck along the over lap's finished edge, 182 mm along the under lap's." in told


# By hand: a rim of 9 / 2 = 4.5 mm, and 12.7 mm from it to the end at the most (our own rule).
@pytest.mark.parametrize(
    ("first", "result"), [(4.4, "fail"), (4.5, "pass"), (6, "pass"), (12, "pass"), (17.2, "pass"), (17.3, "warn")]
)
def test_the_top_hook_of_edges_that_meet_begins_at_the_end(first: float, result: str):
    plan = HOOKS.replace('first = "15 mm"', f'first = "{first} mm"')
    found = [one for one in checked(plan).findings if one.rule == "end distance" and one.mark == 1]
    assert [one.result for one in found] == [result]
    assert ("edges may part above it. Hooks begin right at the neck" in found[0].text) == (result == "warn")
    assert "Move it in" not in found[0].text or result == "fail"


def test_a_tape_of_hooks_that_meet_is_not_looked_at_for_the_ends_that_the_program_chose():
    """A tape of 17.5 mm from hook to hook on 333 mm: 19 hooks, the first 9 mm from the end."""
    plan = (
        '[edge]\nstraight = "333 mm"\n[garment]\nopens = "back"\nedges = "meeting"\nstate = "sewn band"\n[band]\n'
        'width = "26 mm"\nlap = "right over left"\n[closure]\nkind = "hook tape"\nsize = "any"\ncap = "9 mm"\n'
        '[tape]\npitch = "17.5 mm"\n[[layer]]\ncloth = "cotton woven"\ncount = 2\n'
    )
    findings = checked(plan).findings
    assert {one.result for one in findings if one.rule == "end distance"} == {"pass"}


def test_a_row_of_one_closure_has_no_gap_and_is_looked_at_for_what_it_holds_alone():
    ends = 'first = "6 mm"\nlast = "384 mm"\ncount = 1'
    plan = HOOKS.replace('first = "15 mm"\nlast = "15 mm"\ncount = 19', ends)
    (found,) = [one for one in checked(plan).findings if one.rule == "widest gap"]
    assert found.result == "warn" and "there is no gap" in found.text
    assert "6 mm to the neck and 384 mm to the hem" in found.text
    assert "If a row of another plan closes those, all is well" in found.text


def test_a_place_of_the_row_goes_to_the_other_edge_and_back():
    under = placed(APART).laps.under
    for place in (0.0, 0.4, 77.7, 201.3, 360.0):
        assert under.row_of(under.along(place)) == pytest.approx(place, abs=1e-6)


def test_edges_are_held_to_each_other_by_their_own_lengths_and_not_by_those_of_the_rows():
    """On a radius of 100 mm the hooks' row and the eyes' differ by 6 %; the edges are one line cut twice."""
    findings = checked(CURVED.replace("700 mm", "100 mm")).findings
    (found,) = [one for one in findings if one.rule == "two lines"]
    assert found.result == "pass" and "The finished edges are 390 mm" in found.text


def test_finished_edges_of_unlike_lengths_are_told_as_such():
    plan = APART.replace('"e"', '"a"').replace('"u"', '"b"')
    findings = checked(plan).findings
    (found,) = [one for one in findings if one.rule == "two lines"]
    assert found.result == "warn" and found.text.startswith("The finished edges are 380 mm on the over lap and 388 mm")


@pytest.mark.parametrize("plan", [HOOKS, CURVED], ids=["straight", "curved pair"])
def test_a_hook_ends_an_eighth_inside_its_edge_and_the_eye_stands_out_by_as_much(plan: str):
    # New Mexico State Univ., Guide C-232; Association of Sewing and Design Professionals: 1/8 in.
    placement = placed(plan)
    for lap, depth in (("over", 3.175), ("under", -3.175)):
        chosen = placement.laps[lap]
        for mark in placement.on(lap):
            near = chosen.edge.nearest(mark.at)
            inwards = chosen.inward(chosen.edge.tangent_at(near.along_mm))
            x, y = mark.x_mm - near.point[0], mark.y_mm - near.point[1]
            assert x * inwards[0] + y * inwards[1] == pytest.approx(depth, abs=1e-6)


def test_hooked_in_both_working_ends_are_one_point():
    """Lay the two straight edges side by side: the under lap's piece moved so that the edges touch."""
    placement = placed(HOOKS)
    over, under = placement.laps.over.edge, placement.laps.under.edge
    dx = over.start[0] - under.start[0]
    for hook, eye in zip(placement.on("over"), placement.on("under"), strict=True):
        assert math.dist(hook.at, (eye.x_mm + dx, eye.y_mm)) < 1e-9


def test_rules_of_laps_are_not_asked_of_edges_that_meet():
    rules = {finding.rule: finding.result for finding in check_plan(read_plan(HOOKS.encode(), "p")).findings}
    assert not rules.keys() & {"overlap", "band width"}
    assert rules["edge distance"] == "pass"


def test_an_eye_that_stands_out_past_the_edge_is_marked_at_its_rings_and_keeps_its_paper():
    """At the dot of such an eye there is no cloth: nothing may ask for a prick there, nor for the paper to be cut off."""
    made = place_plan(read_plan(HOOKS.encode(), "plan.toml"))
    files = result_files(made, "a4")
    page = files["report.md"].decode()
    assert "3.2 mm past the edge, where there is no cloth: mark the two rings of each instead" in page
    assert "| 3.2 | 3.2 past it |" in page
    eyes = [one.text for one in made.findings if one.rule == "edge distance" and one.lap == "under"]
    assert eyes == ["The bow of the eye stands 3.2 mm past the finished edge; at least 3.2 mm is wanted."]
    assert "of an eye, its rings" in " ".join(re.findall(r"<title>([^<]*)</title>", files["under.svg"].decode()))
    pages = booklet_of(made, load_catalogue().paper("a4")).pages
    cover = " ".join(one.title for page in pages[:2] for one in groups(page.items))
    assert "Cut along the finished edge, but not on the under lap" in cover
    assert "Leave the paper of the under lap whole past the edge" in cover


def test_parts_and_words_name_both_sides():
    files = result_files(place_plan(read_plan(HOOKS.encode(), "plan.toml")), "a4")
    report = json.loads(files["report.json"])
    assert [(row["part"], row["lap"], row["count"]) for row in report["parts"]] == [
        ("hook", "over", 19),
        ("round eye", "under", 19),
    ]
    page = files["report.md"].decode()
    assert "nothing lies on top" in page and "lies on top (over lap)" not in page
    texts = " ".join(step["text"] for step in report["work"]["steps"])
    assert "Let the bow of each stand out 3.2 mm past the edge" in texts


def test_the_parts_of_closures_that_differ_stand_under_their_marks_once_for_both_sides():
    differs = '[[differs]]\nmark = 10\nkind = "hook and eye"\nsize = "3"\n'
    answer = checked(HOOKS + differs)
    (chapter,) = ORDER.chapters(Drawn(answer.placement, answer.findings, answer.catalogue))
    heads = [part.heading for part in chapter.parts if isinstance(part, Picture)]
    assert heads == ["Marks 1 to 9 and 11 to 19 (hook and eye 2)", "", "Mark 10 (hook and eye 3)", ""]


def polyline_mm(way: str, over: list[tuple[float, float]], under: list[tuple[float, float]]) -> float:
    """Draw both ends of a lace from eyelet to eyelet in fine steps, and measure what was drawn."""
    ends: list[list[tuple[float, float]]] = [[over[0]], [under[0]]]
    sides = [over, under]
    drawn = [[over[0], under[0]]]
    for k in range(1, len(over)):
        for end in (0, 1):
            if way == "crossed":
                ends[end].append(sides[(end + k) % 2][k])
            else:
                # Up the side that it is on, then level across.
                side = (end + k - 1) % 2
                ends[end] += [sides[side][k], sides[1 - side][k]]
    total = 0.0
    for path in (*drawn, *ends):
        for (x0, y0), (x1, y1) in pairwise(path):
            t = np.linspace(0.0, 1.0, 200)
            x, y = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
            total += float(np.hypot(np.diff(x), np.diff(y)).sum())
    return total


@pytest.mark.parametrize("way", ["crossed", "ladder"])
@pytest.mark.parametrize("seed", range(10))
def test_a_lace_is_as_long_as_a_measured_polyline(way: str, seed: int):
    rng = random.Random(seed)
    length, gap, inset, under = rng.randint(150, 700), rng.randint(0, 90), rng.randint(13, 25), rng.randint(13, 25)
    count = rng.randint(2, length // 25)
    placement = placed(LACED.format(length=length, gap=gap, inset=inset, under=under, count=count, way=way))
    lace = lace_of(placement)
    assert lace is not None
    # Both edges upright, the gap between them: what lies on either side of the gap, by hand.
    step = (length - 40) / (count - 1)
    levels = [20 + k * step for k in range(count)]
    for between, told in ((gap, lace.worn_mm), (0, lace.together_mm)):
        over, under_at = [(-inset, y) for y in levels], [(between + under, y) for y in levels]
        assert told == pytest.approx(polyline_mm(way, over, under_at), abs=2.0)
    assert lace.cut_mm % 10 == 0 and 0 <= lace.cut_mm - (lace.worn_mm + 900) < 10


def test_a_crossed_lace_by_hand():
    plan = LACED.format(length=160, gap=30, inset=15, under=15, count=4, way="crossed")
    # Three gaps of 40, 60 across: 60 + 6 √(40² + 60²).
    lace = json.loads(result_files(place_plan(read_plan(plan.encode(), "p")), "a4")["report.json"])["lacing"]
    assert lace["worn_mm"] == pytest.approx(60 + 6 * math.sqrt(5200), abs=1e-3)
    assert lace["together_mm"] == pytest.approx(30 + 6 * math.sqrt(2500), abs=1e-3)


def test_a_lace_opens_as_far_as_both_its_ends_are_still_held():
    lace = lace_of(placed(LACED.format(length=160, gap=30, inset=15, under=15, count=4, way="crossed")))
    # 100 mm of either end are left to hold (our own rule); the rest runs through eyelets that lie most + 30 apart.
    assert lace.held_mm == 100
    across = lace.most_mm + 30
    assert across + 6 * math.sqrt(40**2 + across**2) == pytest.approx(lace.cut_mm - 200, abs=1e-3)


@pytest.mark.parametrize("way", ["crossed", "ladder"])
@pytest.mark.parametrize("seed", range(6))
def test_a_lace_on_edges_that_spread_meets_a_polyline_measured_on_the_laid_out_pieces(seed: int, way: str):
    rng = random.Random(f"spread{seed}{way}")
    length, first, last, inset, under = (rng.randint(*of) for of in ((200, 700), (0, 60), (0, 140), (13, 25), (13, 25)))
    count = rng.randint(3, length // 25)
    told = LACED.format(length=length, gap=first, inset=inset, under=under, count=count, way=way)
    lace = lace_of(placed(told.replace("gap =", f'gap_last = "{last} mm"\ngap =')))
    assert lace is not None
    # Both edges laid on the table, turned about their first ends until their last ends are as far apart as told.
    sin = (last - first) / 2 / length
    cos = math.sqrt(1 - sin**2)
    places = [20 + k * (length - 40) / (count - 1) for k in range(count)]
    over = [(-first / 2 - t * sin - inset * cos, t * cos - inset * sin) for t in places]
    under_at = [(first / 2 + t * sin + under * cos, t * cos - under * sin) for t in places]
    assert lace.worn_mm == pytest.approx(polyline_mm(way, over, under_at), abs=2.0)
    if inset == under:
        assert lace.worn_mm == pytest.approx(polyline_mm(way, over, under_at), abs=1e-6)
    assert lace.across_last_mm == pytest.approx(math.dist(over[-1], under_at[-1]), abs=0.5)


def test_on_a_curved_edge_the_gap_of_a_lace_grows_along_the_finished_edge():
    arc = 'arc = { length = "300 mm", radius = "200 mm", bows = "out" }'
    told = LACED.format(length=300, gap=0, inset=15, under=15, count=5, way="crossed").replace(
        'straight = "300 mm"', arc
    )
    told = told.replace('"meeting"', '"meeting"\npieces = "pair"')
    lace = lace_of(placed(told.replace("gap =", 'gap_last = "60 mm"\ngap =')))
    assert lace is not None
    # 20 mm from the end of the row, on a radius of 185, are 20 / 185 * 200 along the edge. It is turned by 60 / 2 in 300.
    gap, cos = 60 * (1 - 20 / 185 * 200 / 300), math.sqrt(1 - 0.1**2)
    assert lace.across_last_mm == pytest.approx(gap + 30 * cos)


@pytest.mark.parametrize(("last", "said"), [(60, "grows evenly from 30 mm"), (10, "narrows evenly from 30 mm")])
def test_gap_of_a_lace_is_said_to_grow_or_to_narrow(last: int, said: str):
    told = LACED.format(length=300, gap=30, inset=15, under=15, count=5, way="crossed")
    words = " ".join(lace_in_words(placed(told.replace("gap =", f'gap_last = "{last} mm"\ngap ='))))
    assert f"a gap that {said}" in words


def test_edges_drawn_further_apart_than_the_gap_that_is_told_are_told():
    laced = LACED.format(length=1, gap=30, inset=15, under=15, count=9, way="crossed")
    laced = laced.replace('straight = "1 mm"', 'path = "a"\nunder = "b"').replace(
        '"meeting"', '"meeting"\npieces = "separate"'
    )
    (told,) = [line for line in placed(laced).assumed if "drawn" in line]
    assert "100 mm apart at their first ends" in told and "a gap of 30 mm all along" in told
    apart = laced.replace('under = "b"', 'under = "b"\nunder_lies = "apart"')
    assert not [line for line in placed(apart).assumed if "drawn" in line]


REFUSED = {
    "a spread of hooks": (HOOKS.replace('"meeting"', '"meeting"\ngap = 0\ngap_last = "9 mm"'), "only a lace lets its"),
    "a spread of nothing": (
        LACED.format(length=300, gap=30, inset=15, under=15, count=9, way="crossed").replace("gap =", "gap_last ="),
        "the gap at the first end is not told",
    ),
    "a button": (HOOKS.replace("hook and eye", "sew-through button").replace('"2"', '"18 L"'), "these edges only meet"),
    "a bar": (HOOKS.replace("hook and eye", "hook and bar").replace('"2"', '"one size"'), "these edges only meet"),
    "an inset of the eye": (HOOKS.replace('lap = "right', 'under_inset = "3 mm"\nlap = "right'), "the bow of an eye"),
    "turned halves": (HOOKS.replace('cap = "9 mm"', 'cap = "9 mm"\nhalves = "turned"'), "the halves are turned"),
    "a lace through hooks": (HOOKS + "[lacing]\n", "nothing is laced through a hook and eye"),
    "a lace on laps": (
        LACED.format(length=200, gap=0, inset=15, under=15, count=4, way="crossed")
        .replace('edges = "meeting"\n', "")
        .replace('gap = "0 mm"\n', ""),
        "a lace draws edges together that meet",
    ),
    "a gap of laps": (HOOKS.replace('edges = "meeting"', 'gap = "5 mm"'), "laps have no gap"),
    "a pull": (HOOKS + "[pull]\n", "[pull] is of laps"),
    "a stand": (HOOKS.replace('first = "15 mm"\n', "") + '[stand]\nheight = "30 mm"\n', "[stand] is of laps"),
    "loops in a fold": (
        HOOKS.replace('"hook and eye"\nsize = "2"\ncap = "9 mm"', '"loop and button"\nsize = "18 L"')
        + '[bands]\nallowance = "10 mm"\nmade = "folded"\n',
        "a folded band has none at its edge",
    ),
    "a curve of which nothing tells": (CURVED.replace('pieces = "pair"', ""), "the edge is curved"),
    "separate pieces with one edge": (CURVED.replace('"pair"', '"separate"'), "only one edge is told"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_contradicts_itself_is_refused(name: str):
    plan, text = REFUSED[name]
    with pytest.raises(ClosureError, match=re.escape(text)):
        check_plan(read_plan(plan.encode(), "plan.toml"))


@pytest.mark.parametrize(
    ("made", "edge"),
    [
        (
            "two pieces",
            "Sew band and facing of both laps together, trim the allowances of that seam to 5 mm, turn them",
        ),
        ("folded", "Fold both bands along the finished edge, wrong sides together, and press them"),
    ],
)
def test_bands_of_edges_that_meet_are_cut_as_told_and_as_asked_for_besides(made: str, edge: str) -> None:
    """A washer of 10 mm and 3 mm more, 13 mm inside the edge, leave 5 mm: geometry."""
    text = LACED.format(length=200, gap=0, inset=13, under=13, count=4, way="crossed")
    text = text.replace('edges = "meeting"', 'edges = "meeting"\nstate = "cut pieces"')
    text += '[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\n'
    told = place_plan(read_plan(f'{text}[bands]\nallowance = "10 mm"\nmade = "{made}"\n'.encode(), "p.toml"))
    steps = {step.key: step.text for step in advice_of(told).order.steps}
    assert edge in steps["edge that meets"]
    # A fold has no seam to take a tape into.
    held = (
        "one side of it against the fold, and catch it down"
        if made == "folded"
        else "take it into the seam of the edge"
    )
    assert held in steps["tape or bones"] and ("Mark the fold" in steps["tape or bones"]) == (made == "folded")
    asked = place_plan(asked_for(read_plan(text.encode(), "p.toml"), ("bands",)))
    cut = {(one.lap, one.name) for one in band_pieces(told.placement)}
    two = {(lap, name) for lap in ("over", "under") for name in ("band", "facing")}
    assert {(one.lap, one.name) for one in band_pieces(asked.placement)} == two
    assert cut == (two if made == "two pieces" else {("over", "folded band"), ("under", "folded band")})


@pytest.mark.parametrize("cloth", ["chino", "velvet"])
def test_finished_edges_that_meet_are_laid_beside_each_other(cloth: str) -> None:
    plan = HOOKS.replace('edges = "meeting"', 'edges = "meeting"\nstate = "finished"')
    plan += f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    first = advice_of(check_plan(read_plan(plan.encode(), "plan.toml"))).order.steps[0]
    assert first.text.startswith("Lay the garment closed as it is worn and")
    assert first.done == "Both edges lie flat beside each other, as they are worn, with no fold under them."
    lapped = plan.replace('edges = "meeting"', 'edges = "lapped"').replace("hook and eye", "sew-on snap")
    lapped = lapped.replace('size = "2"\ncap = "9 mm"', 'size = "1"')
    first = advice_of(check_plan(read_plan(lapped.encode(), "plan.toml"))).order.steps[0]
    assert first.done == "Both edges lie flat on each other, with no fold under them."


@pytest.mark.parametrize(("gap", "inside"), [(0, 4.925), (4, 0.925), (4.1, 0.825), (10, -5.075)])
def test_eye_whose_rings_reach_past_the_edge_fails(gap: float, inside: float) -> None:
    """Geometry: a metal of 9 mm has its rings' middles 8.1 mm behind its bow, and the bow lies gap and 3.175 mm out."""
    text = HOOKS.replace('edges = "meeting"', f'edges = "meeting"\ngap = "{gap} mm"')
    found = check_plan(read_plan(text, "p.toml")).findings
    off = [one for one in found if one.result == "fail"]
    # A ring of 0.9 mm about its middle has to lie on the cloth.
    assert bool(off) == (inside < 0.9)
    for one in off:
        assert one.lap == "under" and one.found_mm == pytest.approx(inside) and "not on cloth" in one.text
        # What lies inside the edge is not said to be off the cloth as a whole.
        assert ("a part of them is not on cloth" in one.text) == (inside >= 0)


HOOKED = (
    ("", "", "the edges just meet.", ""),
    ('gap = "4 mm"', "", "the edges stand 4 mm apart.", "4 mm"),
    # The metal of 9 - 0.9 mm keeps its length: over 3.2 + 8.1 mm, under 8.1 - 7.2 mm of cloth, over 0.96 each.
    (
        'gap = "4 mm"',
        '[shrinkage]\nalong = "5 %"\nacross = "4 %"\nmeasured = "washed"\n',
        "the edges stand 3.5 mm apart as long as the cloth is unwashed; after the first wash the edges stand 4 mm apart.",
        "4 mm",
    ),
    (
        "",
        '[shrinkage]\nalong = "5 %"\nacross = "4 %"\nmeasured = "washed"\n',
        "one edge lies 0.7 mm over the other as long as the cloth is unwashed; after the first wash the edges just meet.",
        "",
    ),
)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("gap", "more", "shut", "apart"), HOOKED, ids=["none", "gap", "unwashed gap", "unwashed"])
def test_edges_with_a_gap_are_hooked_by_the_gap_in_every_paper(gap: str, more: str, shut: str, apart: str):
    """A sewer who makes edges meet that are to stand apart moves every eye."""
    text = HOOKS.replace('edges = "meeting"', f'edges = "meeting"\n{gap}') + more
    answer = place_plan(read_plan(f"{text}[sheets]\nhandover = true\n".encode(), "plan.toml"))
    report = result_files(answer, "a4")["report.md"].decode()
    assert f"hooked in, {shut}" in report
    measured = " ".join(hand_over(answer.placement, answer.catalogue).measured)
    if apart:
        assert f"they are worn {apart} (3/16 in) apart, and nothing lies on top" in report
        assert f"The edges are worn {apart} (3/16 in) apart." in measured
    else:
        assert "they meet, and nothing lies on top" in report and "apart" not in measured


# By hand: one line cut twice has nothing to ease, and each gap of the eyes is that of the hooks. Their row lies 1/8 in
# inside an edge of 390 mm on a radius of 100 mm: 390 x (100 - 3.175) / 100 = 377.62 mm, or 390 x 1.03175 = 402.38 mm
# where it bows in; less 15 mm at either end, in 18 gaps. The edge itself runs 390 / 18 mm beside most of them.
@pytest.mark.parametrize(("bows", "row_mm"), [("out", 377.6175), ("in", 402.3825)])
def test_gaps_of_the_under_row_of_a_bent_pair_are_those_of_the_over_row(bows: str, row_mm: float) -> None:
    found = gaps_on_under(placed(CURVED.replace("700 mm", "100 mm").replace('bows = "out"', f'bows = "{bows}"')))
    assert found == pytest.approx([(row_mm - 30.0) / 18] * 18, abs=0.001)


def test_gaps_of_the_under_row_are_longer_by_what_its_edge_is_between_pins() -> None:
    """Straight edges of 380 and 388 mm, the pin at 180 and 182 mm: 182 / 180 above it, 206 / 200 below."""
    pin = 'under = "b"\nunder_lies = "apart"\nmatch = [[["100 mm", "200 mm"], ["200 mm", "202 mm"]]]'
    found = gaps_on_under(placed(APART.replace('"e"', '"a"').replace('under = "u"', pin)))
    gap = (380.0 - 30.0) / 18
    # The pin at 180 mm lies within the ninth gap, from 170.6 to 190 mm.
    assert found[:8] == pytest.approx([gap * 182 / 180] * 8, abs=0.001)
    assert found[9:] == pytest.approx([gap * 206 / 200] * 9, abs=0.001)
