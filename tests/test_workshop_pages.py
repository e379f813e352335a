"""The further pages, read back: every one is printed true and says what the placement says."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pdfplumber
import pytest
from paper_sets import TEMPLATES, answer_of, extra_of, groups, laid, words_on
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon

from closures.app.job import Answer, advice_of, load_plan, place_plan, result_files
from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.drawing.cover import how_to_print
from closures.drawing.extras import bands, coupon
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.measured import Rectangle, measured_piece, notches_in_words
from closures.drawing.extras.registry import asked_for
from closures.drawing.extras.stack_picture import stack_picture, thickest
from closures.drawing.ink.extents import box_of, is_apart
from closures.drawing.ink.shapes import CUT, INK, Circle, Group, Path, Words
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.parts import Part
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.sheets.drawing import subjects_of
from closures.errors import EdgeError, PlanError
from closures.jobs.table.backing import back_laps
from closures.jobs.table.bands import NOTCHES, band_pieces, end_to_end_mm, rectangle_mm, straight_between_mm
from closures.jobs.table.counting import closing_scheme
from closures.jobs.table.handover import hand_over, handover_csv, tenth
from closures.jobs.table.strip import stride_mm, strides
from closures.placing.buttonhole import slits_of
from closures.placing.lap_area import chords, lap_area
from closures.placing.layers_between import as_they_lie
from closures.plan.reading import read_plan

MM = 72 / 25.4
PLAN = """
title = "Saltmarsh smock"
units = "{units}"
[edge]
{edge}
[garment]
pieces = "separate"

[band]
width = "38 mm"
lap = "{lap}"
[closure]
kind = "{kind}"
size = "{size}"
[spacing]
first = "25 mm"
last = "25 mm"
count = {count}
{more}
"""
EDGES = {
    "straight": 'straight = "600 mm"',
    "curved": 'points = [["0 mm","0 mm"], ["16 mm","150 mm"], ["30 mm","320 mm"], ["0 mm","620 mm"]]',
    "rounded": 'arc = { length = "345.575 mm", radius = "220 mm", bows = "out" }',
}
ALL = """
[[layer]]
cloth = "jersey"
count = 2
[sheets]
coupon = true
order = true
strip = true
handover = true
backing = "as needed"
closing = "numbers"
stencil = true
roll = true
projector = true
[bands]
allowance = "10 mm"
[wearer]
profiles = ["weak hands", "child"]
"""


@cache
def answer(
    edge: str = "curved",
    more: str = ALL,
    kind: str = "capped prong snap",
    size: str = "18 L",
    count: int = 7,
    lap: str = "right over left",
    units: str = "mm",
) -> Answer:
    text = PLAN.format(edge=EDGES[edge], more=more, kind=kind, size=size, count=count, lap=lap, units=units)
    return place_plan(read_plan(text.encode(), "smock.toml"))


@cache
def made(edge: str, paper: str = "a4") -> dict[str, bytes]:
    return result_files(answer(edge), paper)


def words_of(found: Answer, name: str) -> str:
    """Everything that a further sheet says."""
    return extra_of(found, name)[1]


def groups_of(found: Answer, name: str, prefix: str) -> dict[str, Group]:
    return {group.id: group for group in groups(extra_of(found, name)[0]) if group.id.startswith(prefix)}


def test_sheets_come_in_the_order_of_work_and_are_told_in_the_report() -> None:
    told = " ".join(page["shows"] for page in json.loads(made("curved")["report.json"])["pages"])
    names = ["cover", "over 1 of", "trial piece, over lap", "stride 1", "tags 1 to 7", "Order of work", "Handing over"]
    places = [told.index(name) for name in names]
    assert places[0] < places[1] and places[-2] < places[-1]
    for piece in ("band, over lap", "facing, under lap", "backing, over lap", "Backing", "Trial coupon"):
        assert piece in told


def test_plan_that_asks_for_nothing_gets_nothing_more() -> None:
    plain = answer("straight", more="")
    files = result_files(plain, "a4")
    assert set(files) == {"over.svg", "under.svg", "marking.pdf", "report.json", "report.md"}
    shown = [page["shows"] for page in json.loads(files["report.json"])["pages"]]
    assert all(one == "cover" or one.startswith(("over", "under")) for one in shown)


STACKS = """
[[layer]]
cloth = "cotton sateen"
count = 2
[[layer]]
cloth = "light fusible"
on = "over"
[[layer]]
thickness = "0.9 mm"
on = "under"
across = ["0 mm", "38 mm"]
[sheets]
coupon = true
"""


@pytest.mark.parametrize(
    "kind", ["capped prong snap", "post snap", "sew-through button", "magnetic snap", "eyelet", "hook and eye"]
)
def test_coupon_shows_the_stack_of_the_plan_and_one_full_set_of_parts(kind: str) -> None:
    sizes = {"post snap": "20 L", "magnetic snap": "14 mm", "eyelet": "5.5 mm", "hook and eye": "2"}
    found = answer("straight", STACKS, kind, sizes.get(kind, "18 L"))
    words = words_of(found, "coupon")
    for lap in ("over", "under"):
        stack = thickest(found.placement, lap)
        assert stack is not None
        marks = [mark.over if lap == "over" else mark.under for mark in found.placement.marks]
        assert stack.typical_mm == max(mark.stack.typical_mm for mark in marks if mark and mark.stack)
        # Of the two of the cloth, a magnet clamps the one that meets the other lap: the other lies past the washer.
        assert stack.layers[0].plies == (1 if kind == "magnetic snap" else 2)
        for layer in stack.layers:
            assert f"{layer.plies} × {layer.name}" in words
        assert f"{round(stack.typical_mm, 2):g} mm" in words
        # The mark itself is drawn as on the lap's own sheet.
        assert groups_of(found, "coupon", f"coupon-{lap}")
    for part in found.placement.fastener.parts:
        assert part.name in words


def test_trial_pieces_lie_in_the_grain_and_as_far_from_an_edge_as_on_the_garment() -> None:
    found = answer("straight", STACKS, "sew-through button", "18 L")
    inset = found.placement.laps.over.inset_mm
    words = words_of(found, "coupon")
    assert f"finish that side as the garment's edge, {inset:g} mm" in words and "in the grain of the garment" in words
    assert words.count("finished edge") == 2
    # The page is not at hand where the edge is turned: each piece says it too.
    drawn = words_on(extra_of(found, "coupon")[0])
    assert sum(one.text == f"{inset:g} mm" for one in drawn) == 2
    # A strap has no such edge, and is laid in its own grain.
    belt = place_plan(read_plan(f"{BELT}\n[sheets]\ncoupon = true\n".encode(), "belt.toml"))
    assert "same grain as the strap" in words_of(belt, "coupon")


@pytest.mark.parametrize("size", ["14 L", "18 L", "36 L"])
def test_every_trial_piece_that_shows_an_edge_draws_how_far_it_lies_off(size: str) -> None:
    """A long buttonhole leaves no room above itself: the arrow then stands below it."""
    found = answer("straight", STACKS, "sew-through button", size)
    inset = found.placement.laps.over.inset_mm
    drawn = Drawn(found.placement, found.findings, found.catalogue, found.sheets, found.swap)
    pieces = coupon.EXTRA.pieces(drawn)
    assert len(pieces) == 2
    for piece in pieces:
        (figure,) = (one for one in words_on(piece.items) if one.text == f"{inset:g} mm")
        (edge,) = (box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == CUT)
        (mark,) = (box_of(one) for one in groups(piece.items) if one.id.startswith("coupon-"))
        heads = [box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == INK]
        tips = [one for one in heads if min(abs(edge[0] - one[0]), abs(edge[0] - one[2])) < 0.01]
        assert len(tips) == 1 and edge[1] <= tips[0][1] and tips[0][3] <= edge[3], size
        assert not (tips[0][1] < mark[3] and mark[1] < tips[0][3]), "the arrow runs beside the mark, and not through it"
        assert abs(figure.y - (tips[0][1] + tips[0][3]) / 2) < 2.0


def test_words_beside_the_edge_of_a_trial_piece_keep_off_a_hook_that_reaches_past_it() -> None:
    found = place_plan(load_plan(TEMPLATES / "hook-back" / "plan.toml"), TEMPLATES / "hook-back" / "plan.toml")
    piece = coupon.EXTRA.pieces(Drawn(found.placement, found.findings, found.catalogue, found.sheets, found.swap))[0]
    (edge,) = (box_of(one) for one in piece.items if isinstance(one, Path) and one.pen == CUT)
    (mark,) = (box_of(one) for one in groups(piece.items) if one.id == "coupon-over")
    (told,) = (box_of(one) for one in words_on(piece.items) if one.text == "finished edge")
    assert mark[0] < edge[0] < mark[2]
    assert told[2] <= mark[0] or told[0] >= mark[2]


def test_trial_pieces_that_show_no_edge_are_not_told_to_finish_one() -> None:
    text = PLAN.format(
        edge=EDGES["straight"],
        more=STACKS,
        kind="sew-through button",
        size="18 L",
        count=7,
        lap="right over left",
        units="mm",
    )
    wide = text.replace('width = "38 mm"', 'width = "190 mm"\n{}')
    lies = {}
    for told in ('inset = "19 mm"\nunder_inset = "150 mm"', 'inset = "150 mm"\nunder_inset = "150 mm"'):
        assert wide != text
        lies[told] = words_of(place_plan(read_plan(wide.format(told).encode(), "wrap.toml")), "coupon")
    one, none = lies.values()
    assert (
        "on the piece of the over lap finish that side as the garment's edge, 19 mm from" in one
        and "150 mm from" not in one
    )
    assert "further off than either piece reaches" in none and "finish that side" not in none


def test_coupon_has_a_table_to_note_how_it_went() -> None:
    words = words_of(answer("straight", STACKS), "coupon")
    assert "strikes or squeezes" in words and "cleaned once as the garment will be" in words and "try 3" in words


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("form", ["strip", "patches", "as needed"])
@pytest.mark.parametrize("edge", EDGES)
def test_backing_covers_every_flange_by_5_mm_and_stays_inside_the_lap(edge: str, form: str) -> None:
    found = answer(edge, f'[[layer]]\ncloth = "jersey"\n[sheets]\nbacking = "{form}"')
    placement = found.placement
    backings = back_laps(placement, found.findings, load_catalogue())
    assert [backing.lap for backing in backings] == ["over", "under"]
    for backing in backings:
        lap = placement.laps.over if backing.lap == "over" else placement.laps.under
        (piece,) = backing.pieces
        assert piece.marks == tuple(mark.n for mark in placement.marks)
        # The lap again, from a tenfold finer sampling of its own edges.
        edges = [
            [curve.point_at(curve.length_mm * k / 3000) for k in range(3001)]
            for curve in (lap.edge, lap.inner)
            if curve
        ]
        area = Polygon([*edges[0], *reversed(edges[1])]).buffer(0.02)
        first = placement.marks[0]
        for mark in placement.marks:
            shift = (mark.x_mm - first.x_mm, mark.y_mm - first.y_mm) if backing.form == "patches" else (0.0, 0.0)
            shape = Polygon([(x + shift[0], y + shift[1]) for x, y in piece.outline])
            assert area.contains(shape)
            flange = Point(mark.x_mm, mark.y_mm).buffer(placement.fastener.rim_mm + 5.0, quad_segs=64)
            assert shape.contains(flange)
        assert piece.copies == (len(placement.marks) if backing.form == "patches" else 1)


def test_backing_is_for_the_lap_that_lacks_it_and_says_why() -> None:
    more = '[[layer]]\ncloth = "cotton lawn"\n[[layer]]\ncloth = "cotton sateen"\ncount = 2\non = "under"\n[sheets]\nbacking = "as needed"'
    found = answer("straight", more)
    (backing,) = back_laps(found.placement, found.findings, load_catalogue())
    assert backing.lap == "over"
    assert any("one layer alone" in reason for reason in backing.reasons)
    text = result_files(found, "a4")["report.md"].decode()
    assert "**over lap:** strip" in text and "one layer alone" in text


@pytest.mark.parametrize(
    ("closure", "more", "told"),
    [
        pytest.param("", "", "buttonhole, through all layers", id="worked"),
        pytest.param("bound = true", "", "bound buttonhole; facing opened behind", id="bound before the facing"),
        pytest.param(
            "",
            '[gauge]\nstitches = 20\nrows = 28\nline = "stitches"\nacross = 10\n',
            "buttonhole, knitted in",
            id="knitted",
        ),
    ],
)
def test_picture_of_the_stack_tells_what_a_buttonhole_goes_through(closure: str, more: str, told: str) -> None:
    # UMN576: a bound buttonhole is made through outer cloth and interfacing, the facing is opened behind it.
    text = PLAN.format(
        units="mm",
        edge=EDGES["straight"],
        lap="right over left",
        kind="sew-through button",
        size="20 L",
        count=5,
        more=more,
    ).replace("[spacing]", f"{closure}\n[spacing]")
    if more:
        # Stitches leave no row to the millimetre.
        text = text.replace('= "25 mm"', '= { from = "15 mm", to = "40 mm" }')
    placement = place_plan(read_plan(text.encode(), "smock.toml")).placement
    items = stack_picture(placement, ("over",)).items
    assert told in " ".join(item.text for item in items if isinstance(item, Words))


def test_layer_that_reaches_no_closure_is_told_and_no_stack_is_drawn_of_it() -> None:
    # The line lies 20 mm from the finished edge, and the only layer begins 35 mm from it.
    found = answer("straight", '[[layer]]\ncloth = "linen"\ncount = 2\nacross = ["35 mm", "40 mm"]')
    told = {finding.text for finding in found.findings if finding.rule == "backing"}
    assert all(text.startswith("No layer that is told lies under it") for text in told) and told
    stack = thickest(found.placement, "over")
    assert stack is not None and stack.layers == ()
    assert stack_picture(found.placement).size_mm[1] > 0


def test_backing_cloth_is_counted_in_the_stack_and_ends_the_lack() -> None:
    without = answer("straight", '[[layer]]\ncloth = "jersey"\ncount = 2')
    backed = answer(
        "straight",
        '[[layer]]\ncloth = "jersey"\ncount = 2\n[sheets]\nbacking = "strip"\nbacking_cloth = "medium fusible"',
    )
    stacks = [found.placement.marks[0].over.stack.typical_mm for found in (without, backed)]  # type: ignore[union-attr]
    # Medium fusible, fused: 0.20 mm (the catalogue, from memory).
    assert stacks[1] - stacks[0] == pytest.approx(0.20)
    assert any(f.rule == "backing" and f.result == "warn" for f in without.findings)
    assert not any(f.rule == "backing" and f.result == "warn" for f in backed.findings)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        pytest.param('backing_width = "12 mm"', "does not reach 5 mm past the flange", id="too narrow a strip"),
        pytest.param('backing_width = "60 mm"', "", id="wider than the lap is cut to it"),
    ],
)
def test_backing_of_a_wished_width_is_cut_or_refused(more: str, told: str) -> None:
    found = answer("straight", f'[[layer]]\ncloth = "jersey"\n[sheets]\nbacking = "strip"\n{more}')
    for backing in back_laps(found.placement, found.findings, load_catalogue()):
        assert told in backing.trouble
        assert bool(backing.pieces) is not bool(told)
        lap = found.placement.laps.over if backing.lap == "over" else found.placement.laps.under
        assert all(lap_area(lap).buffer(1e-6).contains(Polygon(piece.outline)) for piece in backing.pieces)


def test_backing_that_cannot_reach_past_the_flange_is_told_on_its_page() -> None:
    text = PLAN.replace('width = "38 mm"', 'width = "19 mm"').format(
        edge=EDGES["straight"], more='[[layer]]\ncloth = "jersey"\n[sheets]\nbacking = "strip"', kind="capped prong snap",
        size="18 L", count=7, lap="right over left", units="mm",
    )  # fmt: skip
    found = place_plan(read_plan(text.encode(), "smock.toml"))
    # 9.5 to the edge, less half of 11.43: 3.785 past the flange.
    assert "3.8 mm past the flange" in words_of(found, "backing")


@pytest.mark.parametrize("kind", ["capped prong snap", "sew-on snap", "sew-through button"])
def test_order_page_tells_every_step_with_the_stop_before_the_first_that_cannot_be_undone(kind: str) -> None:
    found = answer("straight", STACKS.replace("coupon", "order"), kind, {"sew-on snap": "3"}.get(kind, "18 L"))
    order = advice_of(found).order
    words = words_of(found, "order")
    for step in order.steps:
        assert f"{step.text} Right when: {step.done}" in words
    assert order.removal in words
    if order.stop_before is None:
        assert "STOP" not in words
    else:
        before, after = (order.steps[order.stop_before - k].text for k in (2, 1))
        assert words.index(before) < words.index("STOP") < words.index(after)


def test_halves_turned_are_drawn_turned_and_said_to_be() -> None:
    plan = PLAN.replace('size = "{size}"', 'size = "{size}"\nhalves = "turned"').format(
        edge=EDGES["straight"], more=STACKS.replace("coupon", "order"), kind="capped prong snap", size="18 L",
        count=7, lap="right over left", units="mm",
    )  # fmt: skip
    usual = answer("straight", STACKS.replace("coupon", "order"))
    turned = place_plan(read_plan(plan.encode(), "smock.toml"))
    parts = ["cap", "socket", "stud", "prong ring"]
    drawn = [
        [item.text for item in stack_picture(found.placement).items if isinstance(item, Words) and item.text in parts]
        for found in (usual, turned)
    ]
    # From the outside of the garment to the wearer.
    assert drawn == [parts, parts[::-1]]
    assert "Turned on purpose" in words_of(turned, "order")
    assert "Turned on purpose" not in words_of(usual, "order")


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("edge", EDGES)
def test_strides_never_drift_and_fit_half_a_sheet(edge: str, units: str) -> None:
    placement = answer(edge, ALL, units=units).placement
    step = stride_mm(placement.plan.units)
    # Half of A4 is 210 x 148.5 mm (ISO 216), half of Letter 8 1/2 x 5 1/2 in (ASME Y14.1).
    assert step < 210.0
    for group in groups_of(answer(edge, ALL, units=units), "strip", "stride-").values():
        box = box_of(group)
        assert box[2] - box[0] <= 210.0 and box[3] - box[1] <= 5.5 * 25.4
    assert step == {"mm": 180.0, "in": 7 * 25.4}[units]
    placed = {n: row.from_mm + at for row in strides(placement) for n, at in row.marks}
    for mark in placement.marks:
        assert placed[mark.n] == pytest.approx(mark.along_mm, abs=1e-9)
    # Rounded once to a sixteenth, every running distance is within half of one.
    for row in strides(placement):
        for n, at in row.marks:
            rounded = round(at / 25.4 * 16) / 16 * 25.4
            assert abs(row.from_mm + rounded - placement.marks[n - 1].along_mm) <= 25.4 / 32 + 1e-9
    assert all(b.from_mm == a.from_mm + step for a, b in pairwise(strides(placement)))


@pytest.mark.parametrize("edge", EDGES)
def test_sheet_words_of_a_stride_are_not_read_on_from_its_figures(edge: str) -> None:
    for name, group in groups_of(answer(edge, ALL), "strip", "stride-").items():
        words = words_on((group,))
        (sheet,) = [one for one in words if one.text.startswith("sheet ")]
        x0, y0, x1, y1 = box_of(sheet)
        for other in words:
            a0, b0, a1, b1 = box_of(other)
            if other is not sheet:
                beside, above = max(a0 - x1, x0 - a1), max(b0 - y1, y0 - b1)
                assert beside >= 1.4 * sheet.size_mm or above >= 0.7 * sheet.size_mm, f"{name}: {other.text}"


def test_strip_page_measures_true() -> None:
    found = answer("curved")
    dots: dict[str, list[float]] = {}
    starts = {}
    for name, group in groups_of(found, "strip", "stride-").items():
        dots[name] = [item.x for item in group.items if isinstance(item, Circle)]
        starts[name] = box_of(group.items[0])[0]
    for row in strides(found.placement):
        name = f"stride-{row.n}"
        assert [x - starts[name] for x in dots[name]] == pytest.approx([at for _, at in row.marks], abs=1e-9)


def test_tags_pair_on_both_laps() -> None:
    found = answer("curved")
    tags = groups_of(found, "numbers", "tag-")
    assert set(tags) == {f"tag-{lap}-{n}" for lap in ("over", "under") for n in range(1, 8)}


def test_handover_table_file_holds_every_mark_of_both_laps() -> None:
    found = answer("curved")
    rows = list(csv.DictReader(io.StringIO(made("curved")["handover.csv"].decode())))
    assert len(rows) == 2 * len(found.placement.marks)
    for row in rows:
        mark = found.placement.marks[int(row["mark"]) - 1]
        on_lap = mark.over if row["lap"] == "over" else mark.under
        assert on_lap is not None and on_lap.stack is not None
        assert float(row["from_first_end_mm"]) == pytest.approx(mark.along_mm, abs=0.05)
        assert float(row["from_finished_edge_mm"]) == pytest.approx(on_lap.edge_distance_mm, abs=0.05)
        assert float(row["stack_mm"]) == pytest.approx(on_lap.stack.typical_mm, abs=0.005)
        # Halves that must meet: a millimetre on either lap, our own rule.
        assert float(row["tolerance_mm"]) == 1.0
        assert row["side"] == {"over": "right", "under": "left"}[row["lap"]]
    words = words_of(found, "handover")
    for told in (
        "From the first end",
        "± 1 mm on its own lap",
        "7 × (cap + socket)",
        "2 × jersey",
        "clamps 0.6 mm to 1.8 mm",
    ):
        assert told in words


@pytest.mark.parametrize("lap", ["right over left", "left over right"])
@pytest.mark.parametrize("edge", EDGES)
def test_band_pieces_are_the_band_with_its_allowance(edge: str, lap: str) -> None:
    placement = answer(edge, ALL, lap=lap).placement
    pieces = band_pieces(placement)
    assert [(piece.lap, piece.name) for piece in pieces] == [
        ("over", "band"), ("over", "facing"), ("under", "band"), ("under", "facing"),
    ]  # fmt: skip
    for piece in pieces:
        chosen = placement.laps.over if piece.lap == "over" else placement.laps.under
        finished, cut = Polygon(piece.finished), Polygon(piece.cut)
        assert cut.contains(finished)
        # The allowance is 10 mm square to every edge: nearer nowhere, and as near along the whole edge.
        assert cut.exterior.distance(finished) == pytest.approx(10.0, abs=0.02)
        for x, y in chords(chosen.edge)[1:-1]:
            assert cut.exterior.distance(Point(x, y)) == pytest.approx(10.0, abs=0.05)
        assert piece.side == chosen.side
        each = NOTCHES[piece.side]
        assert len(piece.notches) == (2 * each if piece.name == "band" else each)
        for notch in piece.notches:
            assert cut.exterior.distance(Point(notch.start)) < 0.02
            assert not finished.contains(Point(notch.end))
    assert {piece.side for piece in pieces} == {"right", "left"}


def test_band_that_is_a_rectangle_tells_its_sides() -> None:
    # 600 mm by 38 mm, and 10 mm more on every side.
    for piece in band_pieces(answer("straight").placement):
        assert rectangle_mm(piece) == pytest.approx((620.0, 58.0), abs=1e-6)
    words = " ".join(words_of(answer("straight"), "bands").split())
    assert words.count("a rectangle, 620 mm / 24 7/16 in long and 58 mm / 2 5/16 in wide with the allowance") == 4
    assert words.count("A rectangle that is too long for the paper, or takes a sheet more, is drawn small") == 1
    for edge in ("curved", "rounded"):
        assert [rectangle_mm(piece) for piece in band_pieces(answer(edge).placement)] == [None] * 4
        assert "rectangle" not in words_of(answer(edge), "bands")


def test_outline_with_four_corners_that_are_not_square_is_no_rectangle() -> None:
    (piece, *_) = band_pieces(answer("straight").placement)
    leaning = replace(piece, cut=((0.0, 0.0), (100.0, 0.0), (110.0, 50.0), (10.0, 50.0), (0.0, 0.0)))
    assert rectangle_mm(leaning) is None
    # A point on a side is no corner, and a tapered outline no rectangle.
    upright = replace(piece, cut=((0.0, 0.0), (40.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0), (0.0, 0.0)))
    assert rectangle_mm(upright) == (100.0, 50.0)
    assert rectangle_mm(replace(piece, cut=((0.0, 0.0), (100.0, 0.0), (100.0, 49.0), (0.0, 50.0)))) is None


def shown_of(piece: Piece) -> Polygon:
    """What of its cut outline a part of a band shows, as it lies on its piece."""
    (body,) = [item for item in piece.items if isinstance(item, Group) and item.clip]
    return Polygon(points_of(body.items[0])).intersection(Polygon(body.clip))


def test_straight_band_too_long_for_its_paper_is_told_by_its_measures() -> None:
    placement = answer_of("double-breasted", everything=True).placement
    pieces = {one.piece.name: one.piece for one in laid("double-breasted", "letter", everything=True).laying.pieces}
    for piece in band_pieces(placement):
        drawn = pieces[f"{piece.name}, {piece.lap} lap"]
        told = " ".join(words.text for words in words_on(drawn.items))
        assert drawn.by_measures and drawn.count == 1 and not drawn.strip and "drawn small" in told
        # The facing: 760 mm by 190 mm, and 10 mm all round.
        assert "780 mm · 30 11/16 in" in told and "210 mm" in told and "10 mm / 3/8 in within every side" in told
        assert "lapel" in told and f"{piece.name.upper()}, {piece.lap} lap" in told and "cut 1 of" in told
        # One notch is the right side, two the left: in the middle of the finished edge, at a quarter of the inner one.
        middle, quarter = ("390 mm", "200 mm") if piece.side == "right" else ("386 mm", "196 mm")
        assert f"finished edge: {middle}" in told
        assert (f"inner edge: {quarter}" in told) is (piece.name == "band")
    # A strip that is seen from inside is drawn so: the edge of a facing lies on the other side of it than its band's.
    ways = {name: [w.text for w in words_on(one.items) if w.text.endswith("edge")] for name, one in pieces.items()}
    assert ways["band, over lap"] == ways["facing, under lap"] != ways["facing, over lap"] == ways["band, under lap"]


@pytest.mark.parametrize("large", [False, True])
def test_words_of_a_piece_drawn_small_keep_apart_and_it_fits_its_paper_whatever_it_is_called(large: bool) -> None:
    end = "where the lapel of the wearer breaks away from the front, measured on the roll line"
    shape = Rectangle(
        1420.0, 98.0, end, True, ("finished edge", "inner edge"), 10.0, False, ((706.0, True), (714.0, True))
    )
    for name, sides, fold in (("band", shape.sides, False), ("folded band", ("", ""), True)):
        head = f"CENTRE FRONT OF THE EMBROIDERED OVERDRESS WITH LONG SLEEVES, {name.upper()}, over lap"
        one = replace(shape, sides=sides, has_fold=fold)
        rows = ("upper side · cut 1 of quilting cotton", *notches_in_words(one, "mm"), "sheet 1 of 2")
        piece = measured_piece(name, head, True, one, rows, "mm", type_scale(large))
        assert piece.size_mm[0] < 250.0 and piece.size_mm[1] < 100.0
        boxes = [box_of(words) for words in words_on(piece.items)]
        assert all(is_apart(a, b) for a, b in combinations(boxes, 2))
        assert all(low >= 0.0 for box in boxes for low in box[:2])


def test_band_that_fits_its_paper_whole_is_drawn_at_full_size_where_that_takes_no_sheet_more() -> None:
    for name, paper in (("double-breasted", "roll"), ("eighty snaps", "a4")):
        pieces = [one.piece for one in laid(name, paper, everything=True).laying.pieces]
        bands = [piece for piece in pieces if piece.name.startswith(("band", "facing"))]
        assert len(bands) == 4
        assert not any(piece.by_measures or piece.count > 1 for piece in bands)


def test_bands_that_fit_a_sheet_of_a0_take_no_second_one() -> None:
    laying = laid("double-breasted", "a0", everything=True).laying
    assert laying.pages == 1 and sum(one.piece.by_measures for one in laying.pieces) == 4


def test_what_is_drawn_small_says_so_on_the_cover() -> None:
    answer = answer_of("double-breasted")
    subjects = subjects_of(answer.placement, answer.findings, answer.catalogue)
    for everything in (True, False):
        steps = how_to_print(laid("double-breasted", everything=everything), "all sheets on A4", subjects)
        assert any("by the lengths that stand on it" in step for step in steps) is everything


def test_straight_band_is_broken_off_where_nothing_stands_on_it_and_measures_what_it_says() -> None:
    for name in ("facing, over lap", "facing, under lap"):
        templates = laid("double-breasted", "letter", everything=True, in_full=True)
        parts = [one.piece for one in templates.laying.pieces]
        parts = sorted((one for one in parts if one.strip == name), key=lambda one: one.number)
        said = [[words.text for words in words_on(one.items)] for one in parts]
        out = [float(text.split(": ")[1].split(" mm")[0]) for texts in said for text in texts if "left out" in text]
        assert len(parts) == 3 and len(out) == 2 * 2 and all(one.breaks for one in parts)
        # Each length stands at both pieces that it lies between. The facing: 760 mm by 190 mm, and 10 mm all round.
        assert sum(shown_of(one).area for one in parts) + sum(out) / 2 * 210.0 == pytest.approx(780 * 210.0, rel=1e-4)
        for texts in said:
            told = " ".join(texts)
            assert "end to end" in told and "780 mm" in told and ("straight on to" in told)


def test_nothing_of_a_band_is_left_out_where_it_bends_or_all_is_asked_for() -> None:
    def may_break(edge: str, more: str) -> set[bool]:
        found = answer(edge, more)
        drawn = bands.EXTRA.pieces(Drawn(found.placement, found.findings, found.catalogue))
        return {one.strip_for(lambda size: True, 0.0).may_break for one in drawn if isinstance(one, LongPiece)}

    asked = '[bands]\nallowance = "10 mm"\n'
    assert may_break("straight", asked) == {True}
    assert may_break("straight", asked + "[sheets]\nwhole = true\n") == {False}
    assert may_break("curved", asked) == may_break("rounded", asked) == {False}


def test_ends_of_a_straight_band_that_slant_stay_whole() -> None:
    found = answer("straight").placement
    (piece, *_) = band_pieces(found)
    lap = found.laps[piece.lap]
    (x, y), (ix, iy) = lap.line.tangent_at(0.0), lap.inward(lap.line.tangent_at(0.0))
    sx, sy = lap.line.start

    def at(along: float, deep: float) -> tuple[float, float]:
        return (sx + along * x + deep * ix, sy + along * y + deep * iy)

    # The corner of one end lies 40 mm from it, that of the other 25 mm.
    slanted = replace(piece, cut=(at(-10, -20), at(575, -20), at(610, 30), at(40, 30)))
    assert straight_between_mm(slanted, lap) == pytest.approx((40.0, 575.0))
    assert end_to_end_mm(slanted, lap) == pytest.approx(620.0)


def test_band_pieces_turned_over_are_never_their_neighbour() -> None:
    pieces = {(piece.lap, piece.name): piece for piece in band_pieces(answer("straight").placement)}
    over, under = pieces["over", "band"], pieces["under", "band"]
    # Turned over, the over band has the outline of the under band; its notches still tell them apart.
    assert Polygon(over.cut).area == pytest.approx(Polygon(under.cut).area)
    assert len(over.notches) != len(under.notches)
    words = words_of(answer("straight"), "bands")
    for piece in pieces.values():
        assert f"{piece.name.upper()}, {piece.lap} lap" in words and piece.whose in words
    assert words.count("right side of the cloth up") == len(pieces)


@pytest.mark.parametrize(("cut", "off_deg"), [("", 0.0), ("shaped", 0.0), ("cross", 90.0), ("bias", 45.0)])
def test_grain_of_a_band_is_one_direction_for_all_its_parts(cut: str, off_deg: float) -> None:
    told = f"""
[garment]
opens = "front"
pieces = "pair"
state = "cut pieces"
[edge]
arc = {{ length = "500 mm", radius = "420 mm", bows = "out" }}
[band]
width = "40 mm"
lap = "right over left"
{f'cut = "{cut}"' if cut else ""}
[closure]
kind = "prong snap"
size = "16 L"
[bands]
allowance = "10 mm"
"""
    made = place_plan(read_plan(told.encode(), "plan.toml"))
    drawn = bands.EXTRA.pieces(Drawn(made.placement, made.findings, made.catalogue))
    for piece, one in zip(band_pieces(made.placement), drawn, strict=True):
        line = made.placement.laps[piece.lap].line
        wide = line.length_mm / 3
        parts = [one.draw(Part(k * wide, (k + 1) * wide, "end", "end", number=k + 1, count=3)) for k in range(3)]
        for drawn_part in parts:
            items = list(drawn_part.items)
            outline = points_of(next(item for item in items if isinstance(item, Group)).items[0])
            word = next(k for k, item in enumerate(items) if isinstance(item, Words) and item.text == "grain")
            # How the outline was turned tells how the piece lies; of a facing it lies turned over.
            flip = -1.0 if piece.mirrored else 1.0
            turned = angle_of(outline[0], outline[1]) - angle_of(*((flip * x, y) for x, y in piece.cut[:2]))
            ends = [(flip * x, y) for x, y in (line.start, line.end)]
            away = angle_of(*points_of(items[word - 4])) - turned - angle_of(*ends) - flip * off_deg
            assert (away + 90.0) % 180.0 - 90.0 == pytest.approx(0.0, abs=0.01)


def points_of(path) -> list[tuple[float, float]]:
    return [(float(one[1]), float(one[2])) for one in path.commands if len(one) == 3]


def angle_of(one: tuple[float, float], other: tuple[float, float]) -> float:
    return math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))


def test_band_pieces_of_leather_are_cut_of_leather_and_without_interfacing() -> None:
    more = '[[layer]]\ncloth = "{}"\ncount = 2\n[bands]\nallowance = "10 mm"\n'
    fusible = '[[layer]]\ncloth = "light fusible"\n'
    told = {
        name: words_of(answer("straight", more.format(name) + layer), "bands")
        for name, layer in (("leather 2 oz", ""), ("poplin", fusible))
    }
    assert "cut 1 of leather" in told["leather 2 oz"] and "interfacing" not in told["leather 2 oz"]
    assert "cut 1 of cloth, 1 of interfacing" in told["poplin"]


@pytest.mark.parametrize(
    ("layers", "cut"),
    [
        ("", {"over": 0, "under": 0}),
        ('[[layer]]\ncloth = "fusible, heavy"\n', {"over": 1, "under": 1}),
        # An interfacing that is sewn in is told by what it is, and not by its name.
        ('[[layer]]\ncloth = "felt"\n', {"over": 1, "under": 1}),
        ('[[layer]]\ncloth = "felt"\non = "over"\n', {"over": 1, "under": 0}),
        ('[[layer]]\ncloth = "light fusible"\ncount = 2\n', {"over": 2, "under": 2}),
        ('[[layer]]\ncloth = "light fusible"\nalong = ["0 mm", "40 mm"]\n', {"over": 0, "under": 0}),
    ],
)
def test_bands_asked_for_besides_the_plan_take_the_interfacings_that_its_layers_tell(
    layers: str, cut: dict[str, int]
) -> None:
    more = f'[[layer]]\ncloth = "poplin"\ncount = 2\n{layers}'
    plan = asked_for(answer("straight", more).placement.plan, ["bands"])
    pieces = band_pieces(place_plan(plan).placement)
    assert {one.lap: one.interfacing for one in pieces if one.name == "band"} == cut
    assert not any(one.interfacing for one in pieces if one.name == "facing")


def test_folded_band_is_twice_as_wide_and_only_on_a_straight_edge() -> None:
    more = '[bands]\nallowance = "10 mm"\nmade = "folded"'
    for piece in band_pieces(answer("straight", more).placement):
        assert Polygon(piece.finished).area == pytest.approx(2 * 38 * 600)
        assert Polygon(piece.cut).area == pytest.approx((2 * 38 + 20) * (600 + 20))
        assert piece.fold is not None
    with pytest.raises(EdgeError, match="curved and cannot be a fold"):
        result_files(answer("curved", more), "a4")


def test_facing_turned_under_is_counted_where_the_flange_lies_on_it() -> None:
    layers = '[[layer]]\ncloth = "cotton sateen"\ncount = 2\n[bands]\nallowance = "10 mm"\nturn = "{turn} mm"\nturn_cloth = "cotton sateen"'
    # Band 38, closing line at 19, flange to 24.7: a turn of 10 reaches from 28 to 38, one of 16 from 22.
    stacks = []
    for turn in (10, 16):
        found = answer("straight", layers.format(turn=turn).replace('allowance = "10 mm"', 'allowance = "20 mm"'))
        on_lap = found.placement.marks[0].over
        assert on_lap is not None and on_lap.stack is not None
        stacks.append(on_lap.stack.typical_mm)
    # Cotton sateen: 0.26 mm a layer (the catalogue, from memory).
    assert stacks == pytest.approx([2 * 0.26, 3 * 0.26])


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("lap", ["over", "under"])
@pytest.mark.parametrize("edge", EDGES)
def test_stencil_has_holes_at_the_marks_an_outline_and_nothing_else(edge: str, lap: str) -> None:
    root = ElementTree.fromstring(made(edge)[f"{lap}-stencil.svg"])
    space = "{http://www.w3.org/2000/svg}"
    drawn = [
        element
        for element in root.iter()
        if element.tag in {space + tag for tag in ("path", "circle", "rect", "text", "line")}
    ]
    circles = [element for element in drawn if element.tag == space + "circle"]
    marks = answer(edge).placement.marks
    assert len(drawn) == len(circles) + 1 and len(circles) == len(marks)
    assert all(float(element.attrib["stroke-width"]) <= 0.1 and element.attrib["fill"] == "none" for element in drawn)
    places = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in circles]
    moved = [(mark.x_mm, mark.y_mm) for mark in marks]
    for (ax, ay), (bx, by), (px, py), (qx, qy) in zip(places, places[1:], moved, moved[1:], strict=False):
        assert (bx - ax, by - ay) == pytest.approx((qx - px, qy - py), abs=2e-4)
    assert {float(c.attrib["r"]) for c in circles} == {0.75}


@pytest.mark.parametrize(("cloth", "holes"), [("satin", 6), ("poplin", 7)])
def test_stencil_has_no_hole_where_a_mark_is_measured_on_the_other_face(cloth: str, holes: int) -> None:
    """A chalk dot or an awl's point stays to be seen in satin, and a snap sewn on inside covers nothing: common practice."""
    text = """
[edge]
straight = "560 mm"
[garment]
opens = "front"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "2.5 mm"
[spacing]
count = 7
[[anchor]]
name = "bust"
along = "178 mm"
within = "40 mm"
[[differs]]
at = "bust"
kind = "sew-on snap"
size = "1"
[[layer]]
cloth = "CLOTH"
count = 2
[sheets]
stencil = true
order = true
"""
    files = result_files(place_plan(read_plan(text.replace("CLOTH", cloth).encode(), "plan.toml")), "a4")
    assert files["over-stencil.svg"].decode().count("<circle") == holes
    assert files["under-stencil.svg"].decode().count("<circle") == 7
    assert ("turn the lap over and measure" in files["report.md"].decode()) == (holes == 6)


def test_stencil_hole_follows_the_post_or_the_plan() -> None:
    post = result_files(answer("straight", "[sheets]\nstencil = true", "post snap", "20 L"), "a4")["over-stencil.svg"]
    own = result_files(answer("straight", '[sheets]\nstencil = true\nstencil_hole = "3 mm"'), "a4")["over-stencil.svg"]
    # The post of a 20 L post snap takes a hole of 4 mm (the catalogue, from memory).
    assert b' r="2"' in post and b' r="1.5"' in own


@pytest.mark.parametrize("lap", ["over", "under"])
def test_projector_sheet_is_white_on_black_with_a_true_grid(lap: str) -> None:
    root = ElementTree.fromstring(made("curved")[f"{lap}-projector.svg"])
    space = "{http://www.w3.org/2000/svg}"
    width, height = (float(root.attrib[key].removesuffix("mm")) for key in ("width", "height"))
    assert [float(value) for value in root.attrib["viewBox"].split()] == [0, 0, width, height]
    circles = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter(space + "circle")]
    for (ax, ay), (bx, by), one, other in zip(
        circles, circles[1:], answer("curved").placement.marks, answer("curved").placement.marks[1:], strict=False
    ):
        assert (bx - ax, by - ay) == pytest.approx((other.x_mm - one.x_mm, other.y_mm - one.y_mm), abs=2e-4)
    groups = {group.attrib.get("id"): group for group in root.iter(space + "g")}
    for name, side in (("square-50-mm", 50.0), ("square-2-in", 50.8)):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", groups[name].find(space + "path").attrib["d"])]  # type: ignore[union-attr]
        assert max(numbers[0::2]) - min(numbers[0::2]) == pytest.approx(side)
        assert max(numbers[1::2]) - min(numbers[1::2]) == pytest.approx(side)
    assert all(circle.attrib["fill"] == "#ffffff" for circle in root.iter(space + "circle"))


def test_roll_holds_each_lap_whole() -> None:
    with pdfplumber.open(io.BytesIO(made("curved")["roll.pdf"])) as pdf:
        assert len(pdf.pages) == 1
        # 24 in nominal, common practice.
        assert all(min(abs(float(side) / MM - 610) for side in (page.width, page.height)) < 1e-3 for page in pdf.pages)


def test_backing_is_told_for_a_stack_too_thin_for_the_grip() -> None:
    # An 18 L capped prong snap clamps from 0.6 mm (from memory); two layers of lawn are 0.4 mm at the most, and
    # squeezed no more than three quarters of that.
    found = answer("straight", '[[layer]]\ncloth = "cotton lawn"\ncount = 2\n[sheets]\nbacking = "as needed"')
    backings = back_laps(found.placement, found.findings, load_catalogue())
    assert [backing.lap for backing in backings] == ["over", "under"]
    assert all("too long by 0.3 mm" in " ".join(backing.reasons) for backing in backings)


def test_backing_is_not_made_where_nothing_asks_for_it() -> None:
    found = answer("straight", '[[layer]]\ncloth = "chino"\ncount = 2\n[sheets]\nbacking = "as needed"')
    assert back_laps(found.placement, found.findings, load_catalogue()) == ()
    assert "None is needed: every closure" in result_files(found, "a4")["report.md"].decode()
    untold = result_files(answer("straight", '[sheets]\nbacking = "as needed"'), "a4")["report.md"].decode()
    assert "not known: the plan tells no layers" in untold and "None is needed" not in untold


@pytest.mark.parametrize(
    ("layers", "told", "is_needed"),
    [
        ('cloth = "leather 4 oz"', "None is needed: leather bears a closure in one layer", False),
        ('thickness = "0.9 mm"', "Whether any is needed is not known. The plan tells a thickness", True),
    ],
)
def test_the_backing_page_gives_the_reason_of_the_check(layers: str, told: str, is_needed: bool) -> None:
    found = answer("straight", f'[[layer]]\n{layers}\n[sheets]\nbacking = "as needed"')
    text = result_files(found, "a4")["report.md"].decode()
    assert told in text and "every closure has two layers" not in text.partition("## Backing")[2].partition("##")[0]
    assert ("None is needed" not in text) == is_needed


def test_closures_that_stay_in_knit_alone_are_not_said_to_need_no_backing() -> None:
    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "40 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "16 L"\n[spacing]\ncount = 5\n'
        '[[layer]]\ncloth = "jersey"\n[swap]\nkind = "sew-through button"\nsize = "16 L"\nfirst = "20 mm"\n'
        'last = "40 mm"\ncount = 5\nhole = { way = "along", made = true }\n[sheets]\nbacking = "as needed"\n'
    )
    page = result_files(place_plan(read_plan(text.encode(), "vest.toml")), "a4")["report.md"].decode()
    told = page.partition("## Backing")[2].partition("##")[0]
    # Every closure is there already and stays: whether it wants a backing was answered when it was set.
    assert "None is needed" not in told and "None is laid: every closure is there already and stays." in told


def test_helper_that_is_sewn_on_is_handed_over_as_that_and_through_neither_face() -> None:
    path = TEMPLATES / "shirt-swap" / "plan.toml"
    found = place_plan(load_plan(path), path)
    rows = list(csv.DictReader(io.StringIO(handover_csv(hand_over(found.placement, load_catalogue())).decode())))
    (helper,) = found.placement.sewn_apart
    assert [(row["lap"], row["face"], row["what"]) for row in rows if row["mark"] == str(helper)] == [
        ("over", "inside", "helper"),
        ("under", "outside", "helper"),
    ]
    assert {row["face"] for row in rows if row["mark"] != str(helper)} == {"through"}


@pytest.mark.parametrize(("mm", "told"), [(31.75, "31.8"), (69.85, "69.9"), (27.0, "27.0"), (-0.04, "0.0")])
def test_figures_of_the_table_file_are_rounded_as_on_every_page(mm: float, told: str) -> None:
    assert tenth(mm) == told


@pytest.mark.parametrize(("thickness", "filled"), [("0.7 mm", True), ("1.2 mm", False)])
def test_page_of_backing_says_that_the_grip_is_filled_only_where_the_check_does(thickness: str, filled: bool) -> None:
    layer = f'[[layer]]\nthickness = "{thickness}"\ncount = 2\n[sheets]\nbacking = "as needed"'
    found = answer("straight", layer)
    judged = {one.result for one in found.findings if one.rule == "layer thickness"}
    assert (
        judged == ({"pass"} if filled else {"fail"})
        and back_laps(found.placement, found.findings, load_catalogue()) == ()
    )
    report = result_files(found, "a4")["report.md"].decode()
    assert ("and fills its grip" in report) == filled
    assert ("for the checks and the trial piece to tell" in report) != filled


BELT = """
[belt]
target = "760 mm"
width = "38 mm"
settings = 5
step = "25 mm"
caps = ["20 mm", "70 mm"]
[closure]
kind = "capped prong snap"
size = "18 L"
[[layer]]
cloth = "chino"
count = 2
"""


def test_belt_gets_a_coupon_and_an_order_of_work() -> None:
    plan = asked_for(read_plan(BELT.encode(), "belt.toml"), ["all"])
    found = place_plan(plan)
    # The stack is drawn once, with the order of work.
    assert "trial" in words_of(found, "coupon") and "2 × chino" in words_of(found, "order")
    assert "Order of work" in words_of(found, "order")
    assert set(result_files(found, "a4")) >= {"roll.pdf", "marking.pdf"}


def test_belt_is_refused_what_only_a_band_has() -> None:
    with pytest.raises(PlanError, match="bands, stencil cannot be made for a belt"):
        asked_for(read_plan(BELT.encode(), "belt.toml"), ["stencil", "bands"])


def test_pages_asked_for_beside_a_plan_are_added_to_its_own() -> None:
    plan = asked_for(answer("straight", STACKS).placement.plan, ["numbers", "bands", "backing"])
    assert plan.sheets is not None and plan.bands is not None
    assert (plan.sheets.coupon, plan.sheets.closing, plan.sheets.backing) == (True, "numbers", "as needed")
    assert plan.bands.allowance_mm == 10.0


@pytest.mark.parametrize(
    "line",
    [
        "strip = true",
        "handover = true",
        'closing = "numbers"',
        "stencil = true",
        "projector = true",
    ],
)
def test_belt_plan_that_asks_for_what_only_a_band_has_is_refused(line: str) -> None:
    with pytest.raises(PlanError, match=rf"\[sheets\] {line.split()[0]}: it cannot be made for a belt or a row"):
        read_plan(f"{BELT}\n[sheets]\n{line}\n".encode(), "belt.toml")


def test_backing_of_a_belt_is_told_as_a_layer_as_its_refusal_says() -> None:
    with pytest.raises(PlanError, match=r"\[sheets\] backing: .* add a \[\[layer\]\] of what backs it"):
        read_plan(f'{BELT}\n[sheets]\nbacking = "strip"\n'.encode(), "belt.toml")

    knit = BELT.replace("chino", "interlock")

    def backed(more: str) -> set[str]:
        found = place_plan(read_plan(f"{knit}{more}".encode(), "belt.toml"))
        return {finding.result for finding in found.findings if finding.rule == "backing"}

    assert backed("") == {"warn"}
    assert backed('[[layer]]\ncloth = "medium fusible"\n') == {"pass"}


def test_belt_plan_may_ask_for_what_a_belt_has() -> None:
    plan = read_plan(f"{BELT}\n[sheets]\ncoupon = true\norder = true\nroll = true\n".encode(), "belt.toml")
    assert plan.sheets is not None and plan.sheets.coupon


@pytest.mark.parametrize(("kind", "prongs"), [("capped prong snap", 8), ("post snap", 0)])
def test_cap_is_drawn_with_prongs_where_it_pierces(kind: str, prongs: int) -> None:
    size = {"capped prong snap": "18 L", "post snap": "20 L"}[kind]
    picture = stack_picture(answer("straight", STACKS, kind, size).placement)
    # A prong is a black three-cornered figure: four on the cap and four on the ring.
    black = [i for i in picture.items if hasattr(i, "commands") and i.pen.fill == 0.0 and len(i.commands) == 4]
    assert len(black) == prongs


def test_halves_are_told_with_their_source_in_brackets() -> None:
    assert "That is the usual side of each half (published: practitioners" in words_of(answer(), "order")


def test_stride_is_told_in_the_unit_in_which_it_is_whole() -> None:
    assert "mark its right end: 180 mm." in words_of(answer(), "strip")
    assert "mark its right end: 7 in." in words_of(answer(units="in"), "strip")


def in_short(length: int, count: int, also: str) -> tuple[str, str]:
    """The words of a further sheet of a short row, and the report."""
    text = (
        f'[edge]\nstraight = "{length} mm"\n[band]\nwidth = "30 mm"\ninset = "14 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "sew-through button"\nsize = "20 L"\n'
        f'[spacing]\nfirst = "15 mm"\nlast = "{25 if count > 1 else length - 15} mm"\ncount = {count}\n'
    )
    found = place_plan(asked_for(read_plan(text.encode(), "neck.toml"), [also]))
    return words_of(found, also), result_files(found, "a4")["report.md"].decode()


def test_strip_tells_only_strides_that_there_are() -> None:
    one, report = in_short(60, 1, "strip")
    assert "its right end comes to lie at the last end. Mark the closure." in one
    assert not any(word in one for word in ("tride 2", "180 mm", "and so on", "strides"))
    assert "stride 2" not in report and "180 mm" not in report
    two, report = in_short(300, 4, "strip")
    assert "Lay stride 2 with its left end there, it ends at the last end." in two and "and so on" not in two + report
    three, report = in_short(500, 6, "strip")
    assert "and so on to the last end" in three and "lay stride 2 there, and so on." in report


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (1, "needs no numbers"),
        (2, "Close number 1 first, then number 2:"),
        (3, "Close the one in the middle, number 2, first, then the two ends:"),
        (4, "Close one of the two in the middle, number 2 or 3, first, then the two ends:"),
    ],
)
def test_pairing_numbers_begin_where_there_is_a_closure(count: int, told: str) -> None:
    words, report = in_short(300, count, "numbers")
    assert told in words and told in report
    assert count > 1 or not any(word in words + report for word in ("in the middle", "two ends", "black"))


@pytest.mark.parametrize(("cloth", "is_sewn"), [("leather 3 oz", False), ("cotton sateen", True)])
def test_numbers_are_never_sewn_as_stitches_where_every_hole_stays(cloth: str, is_sewn: bool) -> None:
    more = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n[sheets]\nclosing = "numbers"'
    scheme = closing_scheme(answer("straight", more).placement)
    assert scheme is not None and ("as many stitches" in scheme.lines[0]) == is_sewn
    assert "write the numbers inside" in scheme.lines[0]


def test_pieces_whose_names_hold_commas_are_parted_by_semicolons() -> None:
    shows = [page["shows"] for page in json.loads(made("straight")["report.json"])["pages"]]
    (told,) = [one for one in shows if "trial piece, over lap" in one]
    assert "; trial piece, over lap" in told and "over lap, " not in told


def test_every_join_says_what_is_laid_there() -> None:
    import pypdfium2

    document = pypdfium2.PdfDocument(made("curved")["marking.pdf"])
    words = " ".join(page.get_textpage().get_text_range() for page in document)
    assert len(re.findall(r"\bcut(?: on this line)?,(?: lay)? on|\bcut on this line\b", words)) >= 4
    assert len(re.findall(r"\bon top\b", words)) >= 4


def test_band_pieces_name_no_mark() -> None:
    assert not [name for name in groups_of(answer(), "bands", "over-") if name.rpartition("-")[2].isdigit()]


def test_every_further_sheet_is_found_by_its_module_and_can_be_asked_for() -> None:
    from closures.drawing.extras.registry import all_extras

    names = [one.name for one in all_extras()]
    assert len(names) == len(set(names)) and {"coupon", "strip", "stencil", "handover"} <= set(names)
    plain = answer("straight", STACKS).placement.plan
    # The ends of a stand come with the stand of the plan.
    for one in (one for one in all_extras() if one.name != "stand"):
        assert one.is_asked(asked_for(plain, [one.name])), one.name


@pytest.mark.parametrize("key", [key for key, paper in load_catalogue().papers.items() if paper.is_roll])
def test_a_paper_without_a_height_is_a_roll_wherever_it_is_used(key: str) -> None:
    from closures.app.job import is_roll

    assert is_roll(key)
    pages = booklet_of(answer("straight", STACKS), load_catalogue().paper(key))
    assert pages.templates == 1


def test_handover_page_of_a_plan_in_inches_has_inches_first() -> None:
    beside = TEMPLATES / "shirt-front" / "plan.toml"
    answer = place_plan(load_plan(beside), beside)
    told = hand_over(answer.placement, answer.catalogue)
    assert "The closing line lies 5/8 in (15.9 mm) inside" in told.measured[1]
    assert "7/16 in (11.43 mm) across" in told.sizes[0]


@pytest.mark.parametrize(
    ("cell", "is_figure"), [("14.3", True), ("−14.3", True), ("1 13/16", True), ("−", False), ("waist", False)]
)
def test_level_above_the_level_zero_is_a_figure_of_its_column(cell: str, is_figure: bool) -> None:
    from closures.drawing.paper.blocks import _is_figure

    assert _is_figure(cell) is is_figure


@pytest.mark.parametrize("form", ["strip", "patches"])
@pytest.mark.parametrize("hole", ["along", "across"])
@pytest.mark.parametrize("edge", ["straight", "curved"])
def test_backing_behind_buttonholes_reaches_past_both_ends_of_every_slit(edge: str, hole: str, form: str) -> None:
    text = PLAN.format(
        units="mm",
        edge=EDGES[edge],
        lap="right over left",
        kind="sew-through button",
        size="40 L",
        count=5,
        more=f'[[layer]]\ncloth = "linen"\n[sheets]\nbacking = "{form}"',
    ).replace("[spacing]", f'hole = "{hole}"\n[spacing]').replace('"25 mm"', '"40 mm"')  # fmt: skip
    found = place_plan(read_plan(text.replace('"38 mm"', '"70 mm"').encode(), "smock.toml"))
    placement, catalogue = found.placement, found.catalogue
    over = next(one for one in back_laps(placement, found.findings, catalogue) if one.lap == "over")
    slits = slits_of(placement, catalogue)
    (piece,) = over.pieces
    first = placement.on("over")[0]
    for mark in placement.on("over"):
        shape = Polygon(piece.outline)
        if form == "patches":
            turn = math.degrees(math.atan2(*reversed(mark.tangent)) - math.atan2(*reversed(first.tangent)))
            shape = rotate(shape, turn, origin=first.at)
            shape = translate(shape, mark.x_mm - first.x_mm, mark.y_mm - first.y_mm)
        ends = [(mark.x_mm + x, mark.y_mm + y) for x, y in slits["over", mark.n].ends_mm]
        # A 40 L button of 25.4 mm and its thickness: the slit is longer than a flange with 5 mm about it.
        assert math.dist(*ends) > 25.4
        assert shape.buffer(0.02).contains(LineString(ends).buffer(5.0))
        assert lap_area(placement.laps.over).buffer(0.05).contains(shape)
    assert piece.copies == (5 if form == "patches" else 1)
    words = words_of(found, "backing")
    assert "buttonholes: the piece reaches 5 mm or more past each" in words
    assert ("along the line and" in words) is (form == "patches")


def test_backing_behind_buttonholes_ends_with_a_band_that_has_no_more_room_and_is_refused_past_it() -> None:
    plan = PLAN.replace("[spacing]", 'hole = "across"\n[spacing]').replace('"25 mm"', '"40 mm"')
    given = {"units": "mm", "edge": EDGES["straight"], "lap": "right over left", "kind": "sew-through button"}
    more = '[[layer]]\ncloth = "linen"\n[sheets]\nbacking = "patches"'
    found = place_plan(read_plan(plan.format(**given, size="24 L", count=5, more=more).encode(), "smock.toml"))
    over = next(one for one in back_laps(found.placement, found.findings, found.catalogue) if one.lap == "over")
    # Slits of 15.2 mm and the button's thickness: 19 mm either way is all that the band of 38 mm has.
    (piece,) = over.pieces
    assert piece.width_mm == pytest.approx(2 * 19.0)
    near = '[[layer]]\ncloth = "linen"\n[sheets]\nbacking = "strip"'
    found = place_plan(read_plan(plan.format(**given, size="40 L", count=5, more=near).encode(), "smock.toml"))
    over = next(one for one in back_laps(found.placement, found.findings, found.catalogue) if one.lap == "over")
    assert over.pieces == () and "reaches 0 mm past the slit, and a backing needs 5 mm" in over.trouble


@pytest.mark.parametrize(
    ("kind", "size", "noted", "not_noted"),
    [
        ("prong snap", "16 L", ["squeezes, over lap", "squeezes, under lap"], ["slits for the tabs", "stitches to"]),
        ("magnetic snap", "14 mm", ["slits for the tabs", "nothing turns"], ["squeezes", "stitches to"]),
        ("tack button", "27 L", ["squeezes, under lap", "length of the hole"], ["squeezes, over lap"]),
        (
            "sew-on snap",
            "1",
            ["stitches to a hole", " closes: easy", "cloth, needle, date", "only then work on the garment"],
            ["squeezes", "slits for the tabs", "nothing turns", "length of the hole", "die", "pierce", "goes through"],
        ),
        ("prong snap", "18 L", ["cloth, die, date", "only then pierce the garment"], ["needle,", "cut into"]),
        ("magnetic snap", "18 mm", ["cloth, date", "only then cut into the garment"], ["needle,", "die", "pierce"]),
        ("tack button", "22 L", ["cloth, needle, die, date", "only then pierce or cut into"], ["stitches to"]),
        (
            "sew-through button",
            "18 L",
            ["length of the hole and stitches to a hole", "goes through: easy", "only then cut into the garment"],
            ["ring", "die", "pierce", "closes: easy"],
        ),
        ("shank button", "24 L", ["stitches to a shank"], ["stitches to a hole", "die"]),
        ("hook and eye", "2", ["stitches to a ring", " closes: easy"], ["length of the hole", "die", "pierce"]),
        ("hook and bar", "one size", ["stitches to a hole"], ["ring", "die", "pierce"]),
    ],
)
def test_coupon_asks_of_each_kind_what_is_done_to_it(
    kind: str, size: str, noted: list[str], not_noted: list[str]
) -> None:
    text = PLAN.format(
        units="mm", edge=EDGES["straight"], lap="right over left", kind=kind, size=size, count=5, more=STACKS
    )
    words = words_of(place_plan(read_plan(text.encode(), "smock.toml")), "coupon")
    assert [one for one in noted if one not in words] == [one for one in not_noted if one in words] == []


def test_coupon_of_a_row_of_mixed_kinds_asks_of_all_of_them() -> None:
    differs = f'{STACKS}\n[[differs]]\nmarks = [1]\nkind = "sew-through button"\nsize = "16 L"\n'
    words = words_of(answer("straight", differs), "coupon")
    assert "squeezes, under lap" in words and "length of the hole" in words


@pytest.mark.parametrize(
    ("more", "lap", "told"),
    [
        pytest.param(
            '[[layer]]\ncloth = "linen"\ncount = 2\n[[layer]]\ncloth = "light fusible"\n', "over",
            "1 × linen, 1 × light fusible, 1 × linen", id="fusible told last",
        ),
        pytest.param(
            '[[layer]]\ncloth = "linen"\ncount = 2\n[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n', "under",
            "1 × linen, 1 × cotton lawn, 1 × linen", id="backing under the facing",
        ),
        pytest.param(
            '[[layer]]\ncloth = "linen"\ncount = 2\n'
            '[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n', "over",
            "2 × linen, 1 × cotton lawn", id="backing of a sewn band",
        ),
        pytest.param('[[layer]]\ncloth = "linen"\ncount = 2\n', "over", "2 × linen.", id="nothing between"),
    ],
)  # fmt: skip
def test_stack_is_drawn_as_its_layers_lie_whatever_the_order_of_the_plan(more: str, lap: str, told: str) -> None:
    text = PLAN.format(
        edge=EDGES["straight"], more=more, kind="prong snap", size="16 L", count=7, lap="right over left", units="mm"
    )
    if "2 × linen, 1" in told:
        text = text.replace("[garment]", '[garment]\nstate = "sewn band"')
    found = place_plan(read_plan(text.encode(), "smock.toml"))
    lying = as_they_lie(thickest(found.placement, lap).layers, found.placement, lap)  # type: ignore[union-attr, arg-type]
    listed = ", ".join(f"{one.plies} × {one.name}" for one in lying)
    assert listed == told.rstrip(".") and told in stack_picture(found.placement).text
    whole = thickest(found.placement, lap)
    assert whole is not None and sum(one.typical_mm for one in lying) == pytest.approx(whole.typical_mm)


def test_layers_that_were_measured_at_once_are_not_told_to_be_one() -> None:
    more = '[[layer]]\nthickness = "1.2 mm"\nclamped = true\n'
    more += '[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n'
    found = answer("straight", more)
    for backing in back_laps(found.placement, found.findings, load_catalogue()):
        assert backing.reasons == ("The plan asks for it.",)


@pytest.mark.parametrize(
    ("fusibles", "told", "cut", "behind", "drawn"),
    [
        (1, "", 1, "behind the half that will lie outside, up to the fold", "interfacing: the half with"),
        (2, "", 2, "behind each half, up to the fold", "interfacing: each half, to the fold"),
        (1, "\ninterfacing = 1", 1, "behind the half that will lie outside, up to the fold", "the half with notch"),
    ],
)
def test_interfacing_of_a_folded_band_lies_as_often_behind_a_part_as_its_layers_tell(
    fusibles: int, told: str, cut: int, behind: str, drawn: str
) -> None:
    # Folded, what is cut as large as the whole piece would lie twice under every part: geometry. The half that lies
    # outside is the one that is stiffened: common practice.
    more = (
        '[[layer]]\ncloth = "poplin"\ncount = 2\n[[layer]]\n'
        f'cloth = "light fusible"\ncount = {fusibles}\n[bands]\nallowance = "10 mm"\nmade = "folded"{told}\n'
    )
    found = answer("straight", more)
    assert {piece.interfacing for piece in band_pieces(found.placement)} == {cut}
    words = " ".join(words_of(found, "bands").split())
    assert f"cut {cut} of interfacing, 600 mm" in words and "38 mm / 1 1/2 in wide, as large as one half" in words
    assert f"Lay the interfacing {behind}" in words and drawn in words
    order = " ".join(step.text for step in advice_of(found).order.steps)
    assert f"Fuse the interfacing to the wrong side of each band, {behind}" in order


@pytest.mark.parametrize(
    ("made", "size"),
    [
        ("two pieces", "cut 1 of interfacing, with the allowance"),
        (
            "folded",
            "620 mm / 24 7/16 in long and 48 mm / 1 7/8 in wide, as large as one half with the allowance, none at",
        ),
    ],
)
def test_interfacing_that_is_caught_in_the_seams_of_a_band_reaches_them(made: str, size: str) -> None:
    """Coated cloth bears no iron, and no needle outside its seams (common practice); half of 76 mm, and 10 mm."""
    more = (
        '[[layer]]\ncloth = "oilcloth"\ncount = 2\n[[layer]]\ncloth = "light fusible"\n'
        f'[bands]\nallowance = "10 mm"\nmade = "{made}"\n'
    )
    found = answer("straight", more)
    assert size in " ".join(words_of(found, "bands").split())
    step = next(step.text for step in advice_of(found).order.steps if step.key == "sew in")
    assert "cut it with the seam allowance" in step and "sew it in there within the allowance" in step
    behind = "behind the half that will lie outside, up to the fold (laid to the cut edges, it ends there)"
    assert (behind in step) == (made == "folded")


@pytest.mark.parametrize(
    ("closure", "over"),
    [
        ('kind = "magnetic snap"\nsize = "14 mm"\n', "inside"),
        ('kind = "sew-on snap"\nsize = "1"\n', "inside"),
        ('kind = "sew-through button"\nsize = "18 L"\nhalves = "turned"\n', "inside"),
        ('kind = "sew-through button"\nsize = "18 L"\n', "outside"),
        ('kind = "plastic snap"\nsize = "20"\n', "outside"),
    ],
)
@pytest.mark.parametrize("made", ["two pieces", "folded"])
def test_interfacing_lies_behind_the_layer_that_holds_the_closures(closure: str, over: str, made: str) -> None:
    """What is sewn or set within is held by the inner layers alone, and an interfacing behind the outer one holds
    nothing there (common practice)."""
    plan = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "38 mm"\nlap = "right over left"\n'
        f'[closure]\n{closure}[spacing]\ncount = 5\n[[layer]]\ncloth = "poplin"\ncount = 2\n'
        f'[[layer]]\ncloth = "light fusible"\n[bands]\nallowance = "10 mm"\nmade = "{made}"\n'
    )
    found = place_plan(read_plan(plan.encode(), "p.toml"))
    pieces = {(piece.lap, piece.name): piece for piece in band_pieces(found.placement)}
    if made == "two pieces":
        behind = {lap: name for (lap, name), piece in pieces.items() if piece.interfacing}
        assert behind == {"over": "facing" if over == "inside" else "band", "under": "band"}
        return
    halves = {lap: piece.half for (lap, _), piece in pieces.items()}
    assert halves["over"].startswith(f"the half that will lie {over}") and "outside" in halves["under"]
    step = next(step.text for step in advice_of(found).order.steps if step.key == "fuse")
    assert ("of the over lap that which will lie inside" in step) == (over == "inside")
    words = words_of(found, "bands")
    assert ("the half without notch" in words) == (over == "inside")


def _on_pieces(closure: str, outer: str, facing: str) -> tuple[Answer, dict[str, str]]:
    """A front with bands of two cloths and a fusible: the answer, and by its key what each step on interfacing says."""
    plan = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "44 mm"\nlap = "right over left"\n'
        f'[closure]\n{closure}[spacing]\ncount = 5\n[[layer]]\ncloth = "{outer}"\n[[layer]]\ncloth = "{facing}"\n'
        '[[layer]]\ncloth = "medium fusible"\n[bands]\nallowance = "10 mm"\n'
    )
    found = place_plan(read_plan(plan.encode(), "p.toml"))
    told: dict[str, str] = {}
    for step in advice_of(found).order.steps:
        if step.key in ("fuse", "fuse scrap", "fuse pieces", "sew in"):
            told[step.key] = f"{told.get(step.key, '')}{step.text} "
    return found, told


MAGNET = 'kind = "magnetic snap"\nsize = "18 mm"\n'
SEW_ON = 'kind = "sew-on snap"\nsize = "3"\n'


def test_interfacing_behind_a_facing_is_held_as_the_cloth_of_the_facing_bears() -> None:
    """Coated cloth bears no heat, leather neither heat nor needle, and an iron flattens velvet (common practice)."""
    found, told = _on_pieces(MAGNET, "wool coating", "coated polyester")
    assert told["fuse"].startswith("The under lap's band: ")
    assert told["sew in"].startswith("The over lap's facing: The interfacing is a fusible, and coated cloth does not")
    bands = " ".join(words_of(found, "bands").split())
    assert "coated polyester, cut 1 of interfacing, with the allowance" in bands
    assert "wool coating, cut 1 of interfacing, without the allowance" in bands
    _, told = _on_pieces(SEW_ON, "denim 10 oz", "leather 2 oz")
    assert told["fuse"].startswith("The under lap's band: Fuse")
    assert told["sew in"].startswith("The over lap's facing: ") and "glue it to the wrong side" in told["sew in"]
    found, told = _on_pieces(SEW_ON, "wool flannel", "cotton velvet")
    assert told["fuse scrap"].startswith("The over lap's facing: ") and "piece of itself" in told["fuse scrap"]
    assert told["fuse pieces"].startswith("The over lap's facing: ")
    order = advice_of(found).order
    pieces = next(step.n for step in order.steps if step.key == "fuse pieces")
    assert order.stop_before is not None and order.stop_before <= pieces


def test_interfacing_of_a_band_is_held_as_its_own_cloth_bears_where_that_of_the_facing_bears_more() -> None:
    _, told = _on_pieces(SEW_ON, "leather 3 oz", "wool flannel")
    assert told["fuse"].startswith("The over lap's facing: Fuse")
    assert told["sew in"].startswith("The under lap's band: ") and "leather does not bear its heat" in told["sew in"]


def test_piece_that_an_interfacing_lies_on_is_named_where_both_cloths_are_treated_alike() -> None:
    _, told = _on_pieces(SEW_ON, "poplin", "denim 10 oz")
    assert told["fuse"].startswith("The over lap's facing and the under lap's band: Fuse the interfacing to the wrong")
    # What goes through all layers is held by the band: nothing parts the laps.
    _, told = _on_pieces('kind = "sew-through button"\nsize = "18 L"\n', "poplin", "denim 10 oz")
    assert told["fuse"].startswith("Fuse the interfacing to the wrong side")
