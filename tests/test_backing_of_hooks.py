"""Backing of hooks and eyes: it lies where their rings are sewn, as the sheets draw them, and not where they catch."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

import pytest
from paper_sets import extra_of
from shapely.geometry import LineString, Point, Polygon

from closures.app.job import Answer, place_plan, result_files
from closures.jobs.table.backing import Backing, back_laps
from closures.placing.lap_area import lap_area
from closures.plan.reading import read_plan

SVG = "{http://www.w3.org/2000/svg}"
PLAN = """
title = "Rushlight bodice"
[edge]
{edge}
[garment]
opens = "back"
pieces = "pair"
edges = "meeting"
gap = "{gap}"
[band]
width = "{width}"
lap = "right over left"
[closure]
kind = "hook and eye"
size = "2"
cap = "{cap}"
[spacing]
first = "15 mm"
last = "15 mm"
count = 8
[[layer]]
cloth = "cotton woven"
count = 2
[sheets]
backing = "{form}"
{more}
"""
EDGES = {
    "straight": 'straight = "390 mm"',
    "curved": 'points = [["0 mm","0 mm"], ["12 mm","130 mm"], ["20 mm","260 mm"], ["0 mm","390 mm"]]',
}


def placed(
    edge: str = "straight",
    form: str = "strip",
    gap: str = "4 mm",
    width: str = "26 mm",
    cap: str = "12 mm",
    more: str = "",
) -> Answer:
    told = PLAN.format(edge=EDGES[edge], form=form, gap=gap, width=width, cap=cap, more=more)
    return place_plan(read_plan(told.encode(), "bodice.toml"))


def backings(found: Answer) -> tuple[Backing, ...]:
    return tuple(back_laps(found.placement, found.findings, found.catalogue))


def drawn_rings(found: Answer, lap: str) -> dict[int, list[Polygon]]:
    """Both rings of every mark, as its sheet draws them, in the frame of the garment."""
    files = result_files(found, "a4")
    svg = files[f"{lap}.svg"].decode()
    sheet = next(one for one in json.loads(files["report.json"])["sheets"] if one["lap"] == lap)
    (ox, oy), sign = sheet["origin_mm"], -1.0 if sheet["flipped"] else 1.0
    rings = {}
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):
        name = re.fullmatch(rf"{lap}-(\d+)", group.get("id", ""))
        if name is not None:
            circles = group.findall(f"{SVG}circle[@class='ring']")
            told = [[float(circle.get(key, "nan")) for key in ("cx", "cy", "r")] for circle in circles]
            rings[int(name[1])] = [Point(sign * (x - ox), y - oy).buffer(r) for x, y, r in told]
    return rings


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("form", ["strip", "patches"])
@pytest.mark.parametrize("edge", EDGES)
def test_backing_of_hooks_and_eyes_reaches_past_their_rings_or_ends_with_the_band(edge: str, form: str) -> None:
    found = placed(edge, form)
    told = backings(found)
    assert [one.lap for one in told] == ["over", "under"] and not any(one.trouble for one in told)
    for one in told:
        lap = found.placement.laps[one.lap]
        area, rings = lap_area(lap), drawn_rings(found, one.lap)
        (piece,) = one.pieces
        assert sorted(rings) == list(piece.marks) == list(range(1, 9))
        assert piece.copies == (8 if form == "patches" else 1)
        shape = Polygon(piece.outline)
        assert area.buffer(0.05).contains(shape)
        edge_line = LineString(lap.edge.approximate_polyline())
        for n, both in rings.items():
            if form == "patches" and n != 1:
                continue
            assert len(both) == 2
            for ring in both:
                assert shape.buffer(0.02).contains(ring), (one.lap, n)
                missing = ring.buffer(5.0).intersection(area).difference(shape.buffer(0.02))
                # A patch ends 1 mm inside an edge that it would reach past.
                assert missing.is_empty or edge_line.buffer(1.0 if form == "strip" else 1.6).contains(missing)


def test_band_too_narrow_behind_the_rings_is_told_with_what_it_lacks() -> None:
    found = placed(width="18 mm")
    over, under = backings(found)
    # A hook 12 mm long and 6 wide lies 3.2 mm inside its edge: its rings' middle 3.2 + 10.8, and 3.9 about both.
    assert "reaches 0.1 mm past the rings, and a backing needs 5 mm" in over.trouble
    # The eye stands 7.2 mm out: the middle of its rings lies 3.6 mm inside its edge.
    assert not under.trouble


def test_rings_off_the_cloth_cannot_be_backed_and_say_so() -> None:
    found = placed(gap="8 mm")
    over, under = backings(found)
    assert not over.trouble and "rings do not lie on the cloth of the under lap" in under.trouble
    assert "wider band" not in under.trouble


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ('backing_cloth = "cotton woven"', "The plan asks for it."),
        ('backing_cloth = "medium fusible"', "The plan asks for it."),
    ],
)
def test_backing_of_the_cloth_of_the_garment_is_one_layer_beside_the_others(more: str, why: str) -> None:
    assert {one.reasons for one in backings(placed(more=more))} == {(why,)}


def test_backing_of_the_only_other_cloth_is_what_holds_a_single_layer() -> None:
    text = PLAN.replace("count = 2\n", "").format(
        edge=EDGES["straight"],
        form="strip",
        gap="4 mm",
        width="26 mm",
        cap="12 mm",
        more='backing_cloth = "cotton woven"',
    )
    found = place_plan(read_plan(text.encode(), "bodice.toml"))
    assert all("one layer alone" in one.reasons[0] for one in backings(found))
    # Where one layer is all there is, there is no facing to lay it under.
    assert {one.side.partition(", ")[2] for one in backings(found)} == {"against the wrong side of its one layer"}
    # Hooks and eyes are sewn through the inner layers alone, so what backs them lies on the facing.
    told = {one.side.partition(": ")[2] for one in backings(placed())}
    assert told == {"against the wrong side of the facing, which each part is sewn to, under the outer cloth"}


def test_page_of_backing_says_that_its_circles_are_not_the_marks() -> None:
    words = extra_of(placed(), "backing")[1]
    assert "The dashed circles and crosses are not the marks" in words and "flanges" not in words


TAPED = PLAN.replace("hook and eye", "hook tape").replace('size = "2"', 'size = "any"').replace("count = 8", "")
TAPED = re.sub("(first|last) = .*", r'\1 = {{ from = "5 mm", to = "30 mm" }}', TAPED) + '[tape]\npitch = "19 mm"\n'
LOOPED = PLAN.replace("hook and eye", "loop and button").replace('size = "2"\ncap = "{cap}"', 'size = "18 L"')


@pytest.mark.parametrize(
    ("plan", "told"),
    [
        (TAPED, ("A tape backs its closures itself", "A tape backs its closures itself")),
        (LOOPED, ("The loops of the over lap are sewn in at its edge", "")),
    ],
    ids=["tape", "loops"],
)
def test_tapes_and_loops_are_backed_by_nothing_and_told_no_cure_that_does_not_help(
    plan: str, told: tuple[str, str]
) -> None:
    text = plan.format(edge=EDGES["straight"], form="strip", gap="0 mm", width="26 mm", cap="9 mm", more="")
    found = place_plan(read_plan(text.encode(), "bodice.toml"))
    for one, words in zip(backings(found), told, strict=True):
        assert (words in one.trouble) if words else not one.trouble
        assert "wider band" not in one.trouble


def backing_told(kind: str, size: str, layers: str, rest: str = "") -> list[tuple[str | None, str, str]]:
    """What the look at the backing tells of either lap of a waistband: the lap, its result and its words."""
    text = (
        '[edge]\nstraight = "160 mm"\n[garment]\nopens = "back"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        f'[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\ncount = 3\n{layers}{rest}'
    )
    found = place_plan(read_plan(text.encode(), "waistband.toml")).findings
    return [(one.lap, one.result, one.text) for one in found if one.rule == "backing"]


LINEN = '[[layer]]\ncloth = "linen"\ncount = 2\n'


@pytest.mark.parametrize(("kind", "size"), [("hook and eye", "2"), ("hook and bar", "one size")])
def test_hooks_sewn_to_one_of_two_layers_are_told_so_on_either_lap(kind: str, size: str) -> None:
    """Two layers lie there, and the stitches take up one of them (common practice)."""
    told = backing_told(kind, size, LINEN)
    assert {lap for lap, result, _ in told if result == "warn"} == {"over", "under"}
    assert all(
        "inner layers alone" in words if lap == "over" else "layer it lies on" in words for lap, _, words in told
    )


@pytest.mark.parametrize(
    ("layers", "rest"),
    [
        (LINEN + '[[layer]]\ncloth = "light fusible"\n', ""),
        ('[[layer]]\ncloth = "linen"\ncount = 3\n', ""),
        (LINEN, '[bands]\nallowance = "10 mm"\ninterfacing = 1\n'),
        ('[[layer]]\ncloth = "leather 3 oz"\ncount = 2\n', ""),
    ],
    ids=["fusible", "three layers", "interfacing that is cut", "leather"],
)
def test_hooks_with_something_behind_what_they_are_sewn_to_are_not_looked_at(layers: str, rest: str) -> None:
    assert {result for _, result, _ in backing_told("hook and bar", "one size", layers, rest)} == {"pass"}


def test_snaps_sewn_to_one_of_two_layers_are_not_told_to_hold_in_two() -> None:
    told = backing_told("sew-on snap", "1", LINEN)
    assert [result for _, result, _ in told] == ["pass", "pass"]
    assert all("held by one layer" in words and "two layers" not in words for _, _, words in told)


@pytest.mark.parametrize("made", ["two pieces", "folded"])
@pytest.mark.parametrize("count", [1, 2])
def test_hooks_of_a_strap_hold_in_the_side_whose_interfacing_is_told(made: str, count: int) -> None:
    """One lies behind the side outside, which backs the bars; the hooks are sewn to the facing (common practice)."""
    text = (
        '[row]\npiece = "waistband"\nlength = "760 mm"\nheight = "35 mm"\nover = ["14 mm", "40 mm"]\n'
        f'under = ["14 mm", "40 mm"]\ntarget = "706 mm"\nallowance = "10 mm"\nmade = "{made}"\n'
        'lap = "left over right"\n[closure]\nkind = "hook and bar"\nsize = "one size"\n'
        f'{LINEN}[[layer]]\ncloth = "light fusible"\ncount = {count}\n'
    )
    answer = place_plan(read_plan(text.encode(), "waistband.toml"))
    told = [(one.lap, one.text) for one in answer.findings if one.rule == "backing" and one.result == "warn"]
    assert {lap for lap, _ in told} == ({"over"} if count == 1 else set())
    assert all("behind the side that will lie outside" in words for _, words in told)
    strap = answer.placement.strap
    assert strap is not None
    assert ("outside" in strap.stiffened_in_words) == (count == 1)


@pytest.mark.parametrize(
    ("outer", "inner", "knit_on"),
    [
        ("linen", "jersey", {"over"}),
        ("jersey", "linen", {"under"}),
        ("linen", "cotton lawn", set()),
        # Leather bears a part in one layer, where that is the layer that the part is sewn to.
        ("jersey", "leather 2 oz", {"under"}),
        ("leather 2 oz", "jersey", {"over"}),
    ],
)
def test_snap_sewn_to_a_layer_of_knit_is_looked_at_though_a_woven_one_lies_by_it(
    outer: str, inner: str, knit_on: set[str]
) -> None:
    """On the over lap its stitches take up the facing, on the under lap the cloth outside (common practice)."""
    told = backing_told("sew-on snap", "1", f'[[layer]]\ncloth = "{outer}"\n[[layer]]\ncloth = "{inner}"\n')
    assert {lap for lap, result, _ in told if result == "warn"} == knit_on
    assert all("a knit, which stretches out from under it" in words for lap, _, words in told if lap in knit_on)
