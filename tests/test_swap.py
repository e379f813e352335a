"""Offers of a swap: places, clashes and laps in closed form, properties, and a brute-force oracle."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import accumulate, combinations, pairwise
from pathlib import Path

import pytest
from edge_files import edges_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from paper_sets import groups

from closures.advice.advice import advise
from closures.advice.settings import setting_of
from closures.advice.swap_facts import swap_figures
from closures.app.job import advice_of, place_plan
from closures.app.pages import booklet_of
from closures.catalogue.loading import load_catalogue
from closures.curve import Curve, Line
from closures.drawing.extras.handover import _parts
from closures.drawing.extras.worn_front import worn_front
from closures.drawing.ink.shapes import Circle, Words
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.sheet import faces_of_sheets, lap_sheet
from closures.errors import ClosureError, EdgeError, PlanError
from closures.jobs.swap.clash import between_mm
from closures.jobs.swap.fewest import fewest_changes
from closures.jobs.swap.needs import needs_in_words
from closures.jobs.swap.offer import FALSE_BUTTONS
from closures.jobs.swap.old_row import left_by
from closures.jobs.swap.patches import small_sewn_snap
from closures.jobs.swap.swap import Swap, _off_the_pitch_mm, make_swap, need_swap
from closures.jobs.table.backing import back_laps
from closures.jobs.table.backing_side import is_made
from closures.jobs.table.handover import HEADINGS, hand_over
from closures.jobs.table.trial import judge_trial
from closures.lengths import parse_length_mm
from closures.placing.placement import place
from closures.plan.reading import read_plan
from closures.report.offers import swap_terminal, to_buy
from closures.report.offers_page import swap_page
from closures.report.parts import count_parts
from closures.spacing import Anchor, Clear, Wish
from closures.spacing.advice import is_possible

CATALOGUE = load_catalogue()
RIM = 16 / 40 * 25.4 / 2  # 16 lines of 1/40 in (US Federal Specification V-B-871F)
PLACES = [60, 147, 234, 321, 408, 495, 582]

EDGE = '[edge]\nstraight = "640 mm"\n'
BAND = '[garment]\npieces = "separate"\n[band]\nwidth = "{width} mm"\nlap = "right over left"\n'
NEW = '[closure]\nkind = "prong snap"\nsize = "16 L"\n'
SPACING = "[spacing]\nfirst = { from = 15, to = 60 }\nlast = { from = 40, to = 100 }\npitch = 76\nwidest = 89\n"
ANCHOR = '[[anchor]]\nname = "chest"\nalong = 196\nwithin = 3\n'
LAYER = '[[layer]]\nthickness = "0.4 mm"\ncount = 2\n'
HOLE = '{ way = "along", length = 16, made = true }'


def old(
    kind: str = "sew-through button", size: str = "18 L", places: object = PLACES, hole: str = HOLE, more: str = ""
) -> str:
    # Told in whole mm, so that figures can be worked by hand; where nothing is told a slit reaches 1/8 in past its button.
    hole = hole.replace("{ way", "{ past = 3, way") if "past" not in hole else hole
    told = f"hole = {hole}\n" if hole else ""
    return f'[swap]\nkind = "{kind}"\nsize = "{size}"\nplaces = {places}\n{told}{more}\n'


def swapped(
    swap: str | None = None,
    *,
    edge: str = EDGE,
    new: str = NEW,
    spacing: str = SPACING,
    rest: str = ANCHOR + LAYER,
    width: float = 32,
    drawing: bytes | None = None,
) -> Swap:
    text = "\n".join([edge, BAND.format(width=width), new, spacing, rest, old() if swap is None else swap])
    plan = read_plan(text.encode(), "plan.toml")
    return make_swap(plan, edges_of(plan, drawing), CATALOGUE)


def offer_of(swap: Swap, kind: str):
    found = [offer for offer in swap.offers if offer.kind == kind]
    assert len(found) == 1, kind
    return found[0]


def test_offers_are_at_least_the_four_and_numbered_from_one():
    swap = swapped()
    assert [offer.kind for offer in swap.offers][:4] == ["keep", "ends", "best", "fewest"]
    assert [offer.n for offer in swap.offers] == list(range(1, len(swap.offers) + 1))


def test_offer_that_keeps_every_place_has_the_old_places():
    offer = offer_of(swapped(), "keep")
    assert offer.places_mm == pytest.approx(PLACES, abs=1e-9)
    assert offer.placement.spacing.largest_mm == pytest.approx(87)
    assert offer.kept == (1, 2, 3, 4, 5, 6, 7) and offer.change_count == 0


def test_offer_that_keeps_the_ends_divides_between_them_with_the_anchor():
    # Seven between 60 and 582 without an anchor: 522 / 6 = 87.
    plain = offer_of(swapped(rest=LAYER, spacing=SPACING.replace("pitch = 76", "count = 7")), "ends")
    assert plain.places_mm == pytest.approx([60 + 87 * i for i in range(7)], abs=0.01)
    # Of ten, the fourth within nothing of 196 and the ends held: (196 - 60) / 2 = 68, (582 - 196) / 5 = 77.2.
    anchored = offer_of(swapped(rest=ANCHOR.replace("within = 3", "within = 0") + LAYER, spacing=SPACING), "ends")
    assert anchored.places_mm[0] == 60 and anchored.places_mm[-1] == 582
    assert anchored.places_mm == pytest.approx([60, 128, 196, *(196 + 77.2 * i for i in range(1, 6))], abs=0.01)


def test_best_offer_is_what_the_plan_alone_would_be():
    swap = swapped()
    plan = replace(offer_of(swap, "best").placement.plan, swap=None)
    alone = place(plan, edges_of(plan), CATALOGUE)
    assert offer_of(swap, "best").places_mm == alone.spacing.positions_mm


@pytest.mark.parametrize(
    ("at", "distance", "kind"),
    [
        # The slit of the button at 234 runs from 231 to 247; the rim is 5.08 from the mark.
        pytest.param(239, -RIM, "overlaps", id="on the slit"),
        pytest.param(252, 5 - RIM, "overlaps", id="0.08 over its end"),
        pytest.param(254, 7 - RIM, "overlaps", id="1.92 past its end"),
        pytest.param(224, 7 - RIM, "overlaps", id="1.92 before it"),
        pytest.param(254.08, None, None, id="2 past its end"),
        pytest.param(260, None, None, id="far"),
    ],
)
def test_made_slit_along_clashes_within_two_millimetres_of_the_rim(at, distance, kind):
    spacing = f"[spacing]\nfirst = {at}\nlast = {640 - at}\ncount = 1\n"
    offer = offer_of(swapped(old(places=[234]), spacing=spacing, rest=LAYER), "best")
    if kind is None:
        assert offer.clashes == () and offer.unused == (1,)
    else:
        (clash,) = offer.clashes
        assert (clash.mark, clash.hole, clash.lap, clash.kind) == (1, 1, "over", kind)
        assert clash.distance_mm == pytest.approx(distance, abs=1e-9)
        assert offer.unused == ()


def test_slit_across_begins_an_eighth_of_an_inch_past_the_line_towards_the_edge():
    swap = swapped(old(places=[234], hole='{ made = true, length = 16, way = "across" }'))
    (hole,) = swap.old.holes
    # UMN 576, ICAR, ASDP: 1/8 in past the line.
    # "Right over left": the over lap's cloth, and so the garment, lies towards less x; the line is at -16.
    assert hole.ends[0] == pytest.approx((-16 + 3.175, 234), abs=1e-9)
    assert hole.ends[1] == pytest.approx((-32 + 3.175, 234), abs=1e-9)


@pytest.mark.parametrize(("patch", "kind"), [(27.9, "overlaps"), (28.0, "covered"), (30.0, "covered")])
def test_hole_is_covered_when_a_patch_hides_it_with_one_millimetre_to_spare(patch, kind):
    # The far end of a slit of 16 that reaches 3 past its button lies 13 from it: 2 x (13 + 1) = 28.
    offer = offer_of(swapped(old(places=[234], more=f"patch = {patch}"), rest=LAYER), "keep")
    (clash,) = offer.clashes
    assert clash.kind == kind
    assert clash.spare_mm == pytest.approx(patch / 2 - 13, abs=1e-9)
    assert clash.distance_mm == pytest.approx(-RIM, abs=1e-9)


def test_hole_only_drawn_never_clashes_and_is_struck_out():
    for offer in swapped(old(hole=HOLE.replace("true", "false"))).offers:
        assert offer.clashes == () and offer.unused == () and offer.struck == (1, 2, 3, 4, 5, 6, 7)
        assert any(change.startswith("Strike out") for change in offer.changes)


def test_distances_on_an_arc_are_true_ones():
    # Edge radius 420 bowing out, inset 16: the line has radius 404. Marks at 300, holes of a button at 280.
    edge = '[edge]\narc = { length = 600, radius = 420, bows = "out" }\n'
    spacing = "[spacing]\nfirst = 292\nlast = { from = 0, to = 600 }\ncount = 1\n"
    along = offer_of(swapped(old(places=[280]), edge=edge, spacing=spacing, rest=LAYER), "best")
    # The slit ends at 280 + 13 and the mark lies on it; no, at 292 it lies inside: the distance is the rim alone.
    assert along.clashes[0].distance_mm == pytest.approx(-RIM, abs=1e-6)
    beyond = offer_of(swapped(old(places=[280]), edge=edge, spacing=spacing.replace("292", "299"), rest=LAYER), "best")
    chord = 2 * 404 * math.sin(6 / 404 / 2)
    assert beyond.clashes[0].distance_mm == pytest.approx(chord - RIM, abs=1e-6)
    across = old(places=[280], hole='{ way = "across", length = 16, made = true }')
    beside = offer_of(swapped(across, edge=edge, spacing=spacing.replace("292", "286"), rest=LAYER), "best")
    # A slit across lies on a radius: the foot of the mark on it is 404 cos a from the centre, inside the slit.
    assert beside.clashes[0].distance_mm == pytest.approx(404 * math.sin(6 / 404) - RIM, abs=1e-6)


def test_offer_clear_of_every_hole_keeps_two_millimetres_from_all_slits():
    offer = offer_of(swapped(), "clear")
    assert offer.clashes == ()
    for place_mm in offer.places_mm:
        for at in PLACES:
            assert max(at - 3 - place_mm, place_mm - at - 13) - RIM >= 2 - 1e-6
    assert offer.unused == (1, 2, 3, 4, 5, 6, 7)


def test_helper_sits_at_the_missed_strain_point_between_two_that_stay():
    offer = offer_of(swapped(), "helper")
    assert offer.places_mm == pytest.approx([60, 147, 196, 234, 321, 408, 495, 582], abs=1e-9)
    assert offer.added == (3,) and offer.given_up == ()
    assert offer.anchors[0].is_met
    assert not offer_of(swapped(), "keep").anchors[0].is_met


def test_helper_without_room_or_need_is_not_offered_with_the_reason():
    near = {no.name: no.why for no in swapped(rest=ANCHOR.replace("196", "152") + LAYER).not_offered}
    assert "no room for one more" in near["keep every old place, with a helper at a strain point"]
    met = {no.name: no.why for no in swapped(rest=ANCHOR.replace("196", "234") + LAYER).not_offered}
    assert "Every anchor has an old closure" in met["keep every old place, with a helper at a strain point"]


def test_snap_behind_each_hole_sits_at_its_middle_where_a_patch_hides_it():
    offer = offer_of(swapped(old(more="patch = 18")), "behind")
    # The middle of a slit from 3 before to 13 past its button lies 5 past it.
    assert offer.places_mm == pytest.approx([at + 5 for at in PLACES], abs=1e-9)
    assert {clash.kind for clash in offer.clashes} == {"covered"}
    assert {round(clash.spare_mm, 9) for clash in offer.clashes} == {1.0}
    refused = {no.name: no.why for no in swapped().not_offered}
    assert 'patch = "18 mm"' in refused["a snap behind each old hole"]


def test_false_buttons_hide_small_holes_and_are_told():
    # A hole of 8 reaches 5 past its button of 11.43: 11.43 / 2 - 5 = 0.715, short of 1; of 7 it reaches 4.
    offer = offer_of(swapped(old(hole='{ way = "along", length = 7, made = true }')), "hidden")
    assert {clash.kind for clash in offer.clashes} == {"covered"}
    assert offer.clashes[0].spare_mm == pytest.approx(18 / 40 * 25.4 / 2 - 4, abs=1e-9)
    assert any("7 buttons on the over lap for show" in change for change in offer.changes)


def test_snap_holes_are_covered_by_a_button_and_the_buttonhole_is_told():
    # Univ. of Minnesota, Bulletin 576: the length is diameter and thickness; a 2012 text: 3/4 x 1/8 in takes 7/8 in.
    new = '[closure]\nkind = "sew-through button"\nsize = "30 L"\nthickness = "3.175 mm"\n'
    swap = swapped(old("post snap", "20 L", hole="{ made = true }"), new=new, width=60)
    assert swap.buttonhole.length_mm == pytest.approx(7 / 8 * 25.4, abs=1e-9)
    assert swap.buttonhole.before_mm == pytest.approx(25.4 / 8)
    keep = offer_of(swap, "keep")
    assert {(clash.lap, clash.kind) for clash in keep.clashes} == {("over", "covered"), ("under", "covered")}
    # A post's hole of 4 mm under a button of 3/4 in: 9.525 - 2.
    assert keep.clashes[0].spare_mm == pytest.approx(9.525 - 2, abs=1e-9)
    assert any("Work 7 buttonholes on the over lap" in change for change in keep.changes)


@pytest.mark.parametrize(
    ("size", "told"),
    [
        pytest.param("24 L", "Lengthen buttonholes 1 to 7 by 2.2 mm", id="larger"),
        pytest.param("16 L", "shut by 2.8 mm", id="smaller"),
        pytest.param("13 mm", "each serves again", id="as long"),
    ],
)
def test_buttons_of_another_size_use_the_old_buttonholes(size, told):
    new = f'[closure]\nkind = "sew-through button"\nsize = "{size}"\nthickness = 3\n'
    keep = offer_of(swapped(new=new), "keep")
    assert keep.clashes == () and keep.unused == () and len(keep.reused) == 7
    assert any(told in change for change in keep.changes), keep.changes


@pytest.mark.parametrize("face", ["usual", "inside"])
@pytest.mark.parametrize("size", ["24 L", "16 L", "13 mm"])
def test_a_lap_whose_old_buttonholes_all_serve_again_is_marked_nowhere(size: str, face: str):
    new = f'[closure]\nkind = "sew-through button"\nsize = "{size}"\nthickness = 3\n'
    take = old(more='take = "keep every old place"\n')
    text = "\n".join([EDGE, BAND.format(width=32), new, SPACING, CLOTH, take])
    answer = place_plan(read_plan(text.encode(), "plan.toml"), face=face)
    told = advise(
        answer.placement, answer.findings, answer.catalogue, answer.swap, faces=faces_of_sheets(answer.sheets)
    )
    assert "on the over lap nothing, its old buttonholes serve" in told.signs["mark"]
    assert [line for line in told.marking if line.startswith("Over lap: ")] == [
        "Over lap: mark nothing there, since its old buttonholes serve again."
    ]
    (under,) = [line for line in told.marking if line.startswith("Under lap: ")]
    assert "chalk" in under


def test_new_buttonhole_that_runs_into_an_old_one_clashes_by_its_slit():
    new = '[closure]\nkind = "sew-through button"\nsize = "18 L"\nthickness = 3\n'
    spacing = "[spacing]\nfirst = 218\nlast = 422\ncount = 1\n"
    offer = offer_of(swapped(old(places=[234]), new=new, spacing=spacing, rest=LAYER), "best")
    # The new slit ends at 218 + 14.43 - 3.175 = 229.255, the old one begins at 231; the rims are further off.
    assert offer.clashes[0].distance_mm == pytest.approx(231 - (218 + 11.43 + 3 - 3.175), abs=1e-9)


def test_new_buttonhole_that_runs_into_a_round_spot_tells_how_far_in_words():
    new = '[closure]\nkind = "sew-through button"\nsize = "18 L"\nthickness = 3\n'
    spacing = "[spacing]\nfirst = 224\nlast = 416\ncount = 1\n"
    # Prongs of 16 line leave a spot as wide as their flange, here 9 mm: 238.5 to 247.5, about 243. The new slit of
    # 14.43 mm ends at 224 + 14.43 - 3.175 = 235.255, 3.245 before it; moved on by 15 it crosses the spot's middle.
    made = swapped(
        old("prong snap", "16 L", places=[243], hole="{ made = true }"), new=new, spacing=spacing, rest=LAYER
    )
    spot = made.old.holes[0].length_mm / 2
    assert offer_of(made, "best").clashes == ()
    near = swapped(
        old("prong snap", "16 L", places=[236.255], hole="{ made = true }"), new=new, spacing=spacing, rest=LAYER
    )
    best = offer_of(near, "best")
    assert best.clashes[0].distance_mm == pytest.approx(1 - spot, abs=1e-6)
    page = swap_page(near)
    assert (
        f"1: {spot - 1:.1f} mm under it" in page and " by " not in page.partition("## All offers")[2].partition("##")[0]
    )
    assert "steam it, stroke the threads back over its pricks" in " ".join(best.changes)
    assert "darn or sew" not in " ".join(best.changes)


def test_table_of_offers_is_told_in_the_units_of_its_plan():
    text = (
        'units = "in"\n[edge]\nstraight = "27 1/2 in"\n[garment]\nstate = "finished"\n[band]\nwidth = "1 1/4 in"\n'
        'lap = "left over right"\n[closure]\nkind = "prong snap, open ring"\nsize = "16 L"\n'
        f'{LAYER}[swap]\nkind = "sew-through button"\nsize = "18 L"\nplaces = ["3 in", "6 1/2 in", "10 in"]\nhole = {{ way = "along", made = true }}\n'
    )
    plan = read_plan(text.encode(), "plan.toml")
    page = swap_page(make_swap(plan, edges_of(plan, None), CATALOGUE))
    table = page.partition("## All offers")[2].partition("##")[0]
    assert "| along, in | largest gap, in |" in table
    assert "| 3, 6 1/2, 10 | 3 1/2 |" in table
    assert " mm" not in table.replace("- Not offered", "\0").partition("\0")[0]


def test_lap_that_has_less_than_usual_and_no_less_than_it_must_is_told_to_grow_by_no_strip():
    """The usual is the standard of the Association of Sewing and Design Professionals, the least that of the checks."""

    def told(width):
        found = swapped(new='[closure]\nkind = "prong snap"\nsize = "16 L"', width=width, rest=LAYER)
        return " ".join(needs_in_words(need, True) for need in found.needs)

    usual, near, short = told(30), told(22), told(15)
    assert "It is wide enough" in usual
    assert "no less than it must be" in near and "grow" not in near
    assert "must grow" in short


@pytest.mark.parametrize(
    ("diameter", "need"),
    [
        # Association of Sewing and Design Professionals, garment standards: half the width and 1/4 in.
        pytest.param("1/2 in", 0.5, id="half an inch"),
        pytest.param("1 in", 0.75, id="one inch"),
    ],
)
def test_lap_needs_half_the_button_and_a_quarter_inch(diameter, need):
    new = f'[closure]\nkind = "sew-through button"\nsize = "{diameter}"\n'
    for lap in swapped(new=new, width=30, rest=LAYER).needs:
        assert lap.need_mm == pytest.approx(need * 25.4, abs=1e-9)
        assert lap.have_mm == pytest.approx(15, abs=1e-9)
        assert lap.grow_mm == pytest.approx(max(need * 25.4 - 15, 0), abs=1e-9)
        # ICAR asks for half the diameter, R. Carr for the whole of it.
        floors = [floor.mm for floor in lap.floors]
        assert floors[2:] == pytest.approx([(2 * need - 0.5) * k * 25.4 for k in (0.5, 0.75, 1)], abs=1e-9)


def test_swap_on_too_narrow_a_lap_says_so_and_what_would_work():
    swap = swapped(width=14, rest=LAYER)
    assert all(offer.result == "fail" for offer in swap.offers)
    assert any("edge distance" in text for text in swap.cannot)
    assert any("Laps wider by 4.5 mm past the closing line" in text for text in swap.would)
    # What it tells does work: the lap reaches 7 + 4.5 past the line, and 7 + 1.1 behind it.
    text = BAND.format(width=14 + 4.5 + 1.1) + "inset = 11.5\nunder_inset = 11.5\n"
    plan = read_plan("\n".join([EDGE, text, NEW, SPACING, LAYER, old()]).encode(), "plan.toml")
    assert make_swap(plan, edges_of(plan), CATALOGUE).cannot == ()


def test_stack_out_of_grip_names_closures_that_do_reach_through():
    thick = LAYER.replace("count = 2", "count = 6")
    swap = swapped(rest=thick)
    assert any("layer thickness" in text for text in swap.cannot)
    (told,) = [text for text in swap.would if text.startswith("Another closure")]
    kind, size = "long prong snap", "18 L"
    assert f"{kind} {size}" in told
    assert swapped(rest=thick, new=f'[closure]\nkind = "{kind}"\nsize = "{size}"\n').cannot == ()


def test_pull_names_the_wearers_sides():
    assert "over lap is drawn to the wearer's right" in swapped().pull
    assert "back to the wearer's right" in swapped().pull


@pytest.mark.parametrize(
    ("swap", "new"),
    [
        pytest.param(old("post snap", "20 L", hole=""), NEW, id="snap to snap"),
        pytest.param(old(), '[closure]\nkind = "sew-through button"\nsize = "20 L"\n', id="button to button"),
        pytest.param(
            old("hook and eye", "2", hole=""), '[closure]\nkind = "hook and eye"\nsize = "3"\n', id="hook to hook"
        ),
    ],
)
def test_pull_that_is_taken_as_before_is_told_once(swap, new):
    told = swapped(swap, new=new).pull
    assert "As until now, " in told and "Until now" not in told and "Now " not in told


def test_pull_that_is_taken_otherwise_is_told_before_and_after():
    told = swapped().pull
    assert "Until now each button bore on the side" in told and "Now the two halves of each snap hold it" in told


def test_recommended_offer_has_no_more_failed_checks_or_missed_anchors_than_any_other():
    swap = swapped()

    def figures(offer):
        return (
            sum(finding.result == "fail" for finding in offer.findings),
            sum(not anchor.is_met for anchor in offer.anchors),
            len(offer.in_sight),
        )

    assert figures(swap.offer) == min(figures(offer) for offer in swap.offers)
    # The trade's usual answer on a finished garment: the old buttons for show, snaps beneath, a helper at the bust.
    assert swap.offer.kind in ("hidden", "hidden helper")
    clear = next(offer for offer in swap.offers if offer.kind == "clear")
    assert clear.in_sight and any("in sight" in f.text and f.result == "warn" for f in clear.findings)


@pytest.mark.parametrize("new", [NEW, '[closure]\nkind = "sew-on snap"\nsize = "3"\n'])
def test_nothing_is_sewn_on_for_show_under_three(new):
    small = swapped(new=new, rest=ANCHOR + LAYER + '[wearer]\nprofiles = ["child under three"]\n')
    assert not any(offer.kind in FALSE_BUTTONS for offer in small.offers)
    told = [no.why for no in small.not_offered if "false buttons" in no.name]
    assert len(told) == 2 and all("what comes loose goes into the mouth" in why for why in told)


@pytest.mark.parametrize("more", ["", 'patch = "20 mm"\npatch_cloth = "cotton lawn"\n'])
def test_buttons_for_show_are_offered_to_a_child_and_never_recommended(more):
    # With patches told, a snap behind each old hole hides them as well, and needs no buttons.
    assert swapped(old(more=more)).offer.kind in (*FALSE_BUTTONS, *(("behind helper",) if more else ()))
    child = swapped(old(more=more), rest=ANCHOR + LAYER + '[wearer]\nprofiles = ["child"]\n')
    assert any(offer.kind in FALSE_BUTTONS for offer in child.offers)
    assert child.offer.kind not in FALSE_BUTTONS and child.offer.result != "fail"


@pytest.mark.parametrize("new", ["prong snap 16 L", "capped snap 18 L", "plastic snap 20", "sew-on snap 2/0"])
@pytest.mark.parametrize("more", ["", 'patch = "20 mm"\npatch_cloth = "cotton lawn"\n', 'patch = "34 mm"\n'])
def test_of_offers_that_can_be_set_and_meet_their_anchors_none_with_fewer_holes_in_sight_is_passed_over(new, more):
    kind, _, size = new.partition(" snap ")
    told = f'[closure]\nkind = "{kind} snap"\nsize = "{size}"\n'
    try:
        swap = swapped(old(more=more), new=told, rest=ANCHOR + CLOTH)
    except ClosureError:
        pytest.skip("no such closure in the catalogue")
    failed = {offer.n: sum(finding.result == "fail" for finding in offer.findings) for offer in swap.offers}
    missed = {offer.n: sum(not anchor.is_met for anchor in offer.anchors) for offer in swap.offers}
    least = min((failed[offer.n], missed[offer.n]) for offer in swap.offers)
    equal = [offer for offer in swap.offers if (failed[offer.n], missed[offer.n]) == least]
    assert swap.offer in equal
    assert len(swap.offer.in_sight) == min(len(offer.in_sight) for offer in equal)


def test_every_old_hole_that_stays_in_sight_is_named_wherever_the_offer_is_told():
    # A slit of 16 mm from 3 mm past a button reaches 13 mm from its mark: no snap of 16 lines (rim 5.08 mm) hides it.
    for offer in (swap := swapped()).offers:
        if not offer.in_sight:
            continue
        assert set(offer.unused) < set(offer.in_sight) or offer.unused == offer.in_sight
        (look,) = (f.text for f in offer.findings if f.rule == "old hole" and "in sight" in f.text)
        changes = " ".join(offer.changes)
        steps = " ".join(step.text for step in advise(*_of(swap, offer)).order.steps)
        for n in offer.in_sight:
            assert _names(look, n) and _names(changes, n)
        assert "Where you would rather not see" in steps
    kept = next(offer for offer in swap.offers if offer.kind == "clear")
    past = next(o for o in swap.offers if o.kind not in ("hidden", "hidden helper") and set(o.in_sight) - set(o.unused))
    assert kept.in_sight and "Seen past the new closures, also when closed: buttonhole" in " ".join(past.changes)


def _of(swap: Swap, offer):
    taken = replace(swap, taken=offer.n)
    return taken.offer.placement, taken.offer.findings, CATALOGUE, taken


def _names(text: str, n: int) -> bool:
    return any(int(a) <= n <= int(b or a) for a, b in re.findall(r"(\d+)(?: to (\d+))?", text))


def test_gap_that_is_wider_than_wished_counts_more_than_one_that_is_closer():
    offers = {offer.kind: offer for offer in swapped().offers}
    assert _off_the_pitch_mm(offers["best"]) <= min(_off_the_pitch_mm(offer) for offer in offers.values())


def test_patch_is_a_part_and_lies_in_the_stack():
    plain = swapped()
    patched = swapped(swap=old() + 'patch = "28 mm"\npatch_cloth = "cotton poplin"\n')
    stacks = [one.offer.placement.marks[0].over.stack.typical_mm for one in (plain, patched)]
    assert stacks[1] - stacks[0] == pytest.approx(0.24)
    counts = {(part.part, part.lap): part.count for part in count_parts(patched.offer.placement)}
    assert counts["patch", "over"] == counts["patch", "under"] == len(patched.offer.placement.marks)


CLOTH = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'


def test_patch_behind_an_old_hole_lies_in_the_stack_and_among_the_parts():
    offer = offer_of(swapped(rest=ANCHOR + CLOTH), "keep")
    poplin = 0.24  # one layer, typical: the table of cloths
    stacks = {lap: offer.placement.marks[0].on(lap).stack.typical_mm for lap in ("over", "under")}
    assert stacks == {"over": pytest.approx(3 * poplin), "under": pytest.approx(2 * poplin)}
    counts = {(part.part, part.lap): part.count for part in count_parts(offer.placement)}
    assert counts["patch behind an old hole", "over"] == 7
    assert ("patch behind an old hole", "under") not in counts
    assert not any(finding.rule == "ridge" and finding.result != "pass" for finding in offer.findings)
    told = swapped(rest=ANCHOR + CLOTH, swap=old() + 'patch_cloth = "cotton woven"\n')
    assert any("a patch of cotton woven of at least" in change for change in offer_of(told, "keep").changes)


@pytest.mark.parametrize(
    ("rest", "more", "told"),
    [
        pytest.param(CLOTH, "", ["behind old holes are of cotton poplin, as the lap is"], id="as the lap"),
        pytest.param(
            '[[layer]]\ncloth = "melton"\ncount = 2\n',
            "",
            ["of cotton poplin, thin and firm, since the lap's own cloth is bulky"],
            id="a thick coat",
        ),
        pytest.param(
            '[[layer]]\ncloth = "cotton velvet"\n[[layer]]\ncloth = "silk habotai"\n',
            "",
            ["of cotton poplin, thin and firm, since the lap's own cloth is bulky or has a pile"],
            id="a pile",
        ),
        pytest.param(
            '[[layer]]\ncloth = "leather 5 oz"\n', "", ["are of leather 5 oz, as the lap is"], id="thick leather"
        ),
        pytest.param(CLOTH, 'patch_cloth = "cotton woven"\n', [], id="told"),
        pytest.param("", "", [], id="no cloth known"),
        pytest.param(CLOTH, "patch = 20\n", ["are of cotton poplin"], id="outside"),
    ],
)
def test_what_patches_are_taken_to_be_of_is_said_beside_how_to_change_it(rest, more, told):
    offer = offer_of(swapped(rest=ANCHOR + rest, swap=old() + more), "keep")
    lines = [line for line in offer.placement.assumed if "atches" in line]
    assert len(lines) == len(told)
    assert all(
        words in line and line.endswith("patch_cloth under [swap].") for words, line in zip(told, lines, strict=True)
    )


def trial_of(swap: Swap, kind: str) -> str:
    """The step in which the trial piece is made, with an offer taken."""
    taken = swap.take(offer_of(swap, kind).n)
    steps = advise(taken.offer.placement, taken.offer.findings, CATALOGUE, taken).order.steps
    return next(step.text for step in steps if step.key == "trial")


MEASURED = '[[layer]]\nthickness = "0.5 mm"\nclamped = true\n'


@pytest.mark.parametrize(
    ("more", "marks"),
    [
        pytest.param("", {"over": range(1, 8)}, id="behind old holes"),
        pytest.param('patch = "20 mm"\n', {"over": range(1, 8), "under": range(1, 8)}, id="on either lap"),
    ],
)
def test_patch_of_which_nothing_is_told_is_asked_for_and_no_stack_over_it_passes(more, marks):
    """0.5 mm of cloth in a grip of 0.5 to 1.5 mm: 1 mm is left for the patch, whatever it is of."""
    offer = offer_of(swapped(old(more=more), rest=ANCHOR + MEASURED), "keep")
    found = [finding for finding in offer.findings if finding.rule == "layer thickness"]
    for lap in ("over", "under"):
        own = [finding for finding in found if finding.lap == lap]
        asked = [finding for finding in own if "patch_cloth under [swap]" in finding.text]
        assert [finding.mark for finding in asked] == list(marks.get(lap, ()))
        assert {finding.result for finding in asked} <= {"warn"}
        assert all("which leaves 1 mm for it" in finding.text for finding in asked)
        assert any(finding.result == "pass" for finding in own) == (lap not in marks)
    page = hand_over(offer.placement, CATALOGUE)
    held = [row[HEADINGS.index("stack_mm")] for row in page.rows if row[0] == "over"]
    assert held == [""] * 7
    assert any("marks 1 to 7: a patch besides" in line for line in page.layers["over"])
    told = offer_of(swapped(old(more=more + 'patch_cloth = "cotton poplin"\n'), rest=ANCHOR + MEASURED), "keep")
    assert not any("patch_cloth" in finding.text for finding in told.findings)
    # Each patch adds a ply of poplin, as thick as the table of cloths tells it: one behind the hole, one on the outside.
    poplin, plies = CATALOGUE.cloth("cotton poplin").typical.value, 1 + ("patch" in more)
    held_mm = [mark.over.stack.typical_mm for mark in told.placement.marks]
    assert held_mm == pytest.approx([0.5 + plies * poplin] * 7)


def test_patch_where_no_layer_is_told_is_asked_for_with_the_layers():
    offer = offer_of(swapped(rest=ANCHOR), "keep")
    over, under = (f.text for f in offer.findings if f.rule == "layer thickness")
    assert "patch_cloth under [swap]" in over and "patch" not in under


def test_patches_on_the_outside_are_handed_over_and_tried():
    patched = swapped(old(more='patch = "20 mm"\npatch_cloth = "cotton poplin"\n'), rest=ANCHOR + CLOTH)
    placement = offer_of(patched, "clear").placement
    rows = _parts(placement, frozenset())
    for lap in ("over", "under"):
        assert any(row.startswith(f"{lap} lap") and row.endswith(f": {len(placement.marks)} × patch") for row in rows)
    assert ", with the patch." in trial_of(patched, "clear")


def test_holes_that_a_told_patch_does_not_cover_are_named_where_the_patches_go_on():
    patched = swapped(old(more='patch = "20 mm"\npatch_cloth = "cotton poplin"\n'), rest=ANCHOR + CLOTH)
    for offer in patched.offers:
        past = sorted(set(offer.in_sight) - set(offer.unused))
        taken = patched.take(offer.n)
        steps = {s.key: s.text for s in advise(offer.placement, offer.findings, CATALOGUE, taken).order.steps}
        assert ("hide holes past patches" in steps) is bool(past)
        if past:
            words, keys = steps["hide holes past patches"], list(steps)
            assert all(re.search(rf"\b{n}\b| to ", words) for n in past)
            assert keys.index("hide holes past patches") < keys.index("patch")
    assert any(set(offer.in_sight) - set(offer.unused) for offer in patched.offers)


def test_stack_is_not_called_too_thin_where_a_patch_of_cloth_not_told_comes_to_it():
    thin = '[[layer]]\ncloth = "chiffon"\n'
    offer = offer_of(swapped(old(more='patch = "20 mm"\n'), rest=ANCHOR + thin), "clear")
    said = [finding for finding in offer.findings if finding.rule in ("layer thickness", "backing")]
    assert said and not any("too long" in f.text or "add a layer" in f.text or "one layer" in f.text for f in said)
    assert any("wants " in f.text and "Write patch_cloth" in f.text for f in said)
    # Told, it lies in the stack, and what is then too thin is said to be.
    told = offer_of(swapped(old(more='patch = "20 mm"\npatch_cloth = "chiffon"\n'), rest=ANCHOR + thin), "clear")
    assert any("too long" in f.text for f in told.findings)


def test_trial_is_with_the_patch_and_without_it_where_only_some_closures_stand_on_one():
    patched = swapped(rest=ANCHOR + CLOTH)
    assert "backing, with the patch." in trial_of(patched, "keep")
    some = offer_of(patched, "best")
    assert 0 < len({patch.mark for patch in some.patches}) < len(some.placement.marks)
    assert "backing, once with the patch and once without." in trial_of(patched, "best")
    assert "with the patch" not in trial_of(patched, "clear")


def test_trial_over_a_patch_of_which_nothing_is_told_is_kept_of_no_cloth():
    placement = offer_of(swapped(old(more='patch = "20 mm"\n'), rest=ANCHOR + CLOTH), "keep").placement
    with pytest.raises(PlanError, match="a patch is clamped on the over lap, and the plan does not tell what it is of"):
        judge_trial(placement, "right", CATALOGUE, "over")


def test_nothing_is_said_of_patches_where_no_hole_needs_one():
    offer = offer_of(swapped(rest=ANCHOR + CLOTH), "clear")
    assert offer.patches == () and not any("atches" in line for line in offer.placement.assumed)


def test_hole_that_a_new_cap_hides_is_backed_and_counted_as_well():
    # A 20 L cap (12.7 mm) hides the pricks of a 16 L ring (9 mm, from memory) with more than 1 mm to spare.
    new = '[closure]\nkind = "capped prong snap"\nsize = "20 L"\n'
    was = old("prong snap", "16 L", hole="{ made = true }")
    offer = offer_of(swapped(rest=ANCHOR + CLOTH, new=new, swap=was), "keep")
    assert {clash.kind for clash in offer.clashes} == {"covered"}
    counts = {(part.part, part.lap): part.count for part in count_parts(offer.placement)}
    assert counts["patch behind an old hole", "over"] == counts["patch behind an old hole", "under"] == 7
    assert offer.placement.marks[0].over.stack.typical_mm == pytest.approx(3 * 0.24)
    assert any(change.startswith("Hidden") and "a patch of cotton poplin" in change for change in offer.changes)


@pytest.mark.parametrize("patch", ["leather 2 oz", "cotton velvet", "satin", "cotton jersey", "cotton poplin"])
def test_cloth_of_an_outside_patch_decides_the_mark_on_the_patch_and_nothing_else(patch):
    wool = '[[layer]]\ncloth = "wool suiting"\ncount = 2\n'
    told = old(
        "sew-through button", "24 L", hole='{ way = "across", length = 20, made = true }', more='patch = "22 mm"'
    )

    def advised(more: str):
        swap = swapped(told + more, rest=ANCHOR + wool, width=40)
        taken = replace(swap, taken=offer_of(swap, "best").n)
        return advise(taken.offer.placement, (), CATALOGUE, taken), taken

    (plain, bare), (patched, taken) = advised(""), advised(f'patch_cloth = "{patch}"\n')
    # Leather on a garment that is washed is warned of, and is all that it adds.
    warned = {"bears no wash"} if patch == "leather 2 oz" else set()
    assert taken.offer.cloth == bare.offer.cloth and patched.facts.words == plain.facts.words | warned
    assert patched.order.stop_before == plain.order.stop_before
    more = [line for line in patched.cautions if line not in plain.cautions]
    assert len(more) == len(warned) == len(patched.cautions) - len(plain.cautions)
    assert all("may bear its wash: the patches, of leather 2 oz" in line for line in more)
    own, other = ({step.key: step.text for step in advice.order.steps} for advice in (plain, patched))
    # Patches that back old holes are of the same, and are named there.
    changed = {key for key in own if own[key] != other[key].replace(patch, "wool suiting")}
    kept_by_thread = patch not in ("leather 2 oz", "cotton poplin")
    marked = {"leather 2 oz": "with an awl", "cotton poplin": "prick through paper"}.get(patch, "one loose stitch")
    assert own.keys() == other.keys() and marked in other["mark"] and "prick through paper" in own["mark"]
    assert changed == {
        key for key, is_other in (("mark", patch != "cotton poplin"), ("set first", kept_by_thread)) if is_other
    }
    assert ("loose stitch" in other["set first"]) == kept_by_thread
    page = [line for line in patched.marking if line.startswith("On the patches")]
    assert len(page) == (patch != "cotton poplin") == ("on a patch" in patched.signs["mark"])


SHANK = '[closure]\nkind = "shank button"\nsize = "24 L"\n'


def snaps_to_buttons(cloth: str) -> Swap:
    was = old("prong snap", "16 L", hole="{ made = true }", more=f'patch_cloth = "{cloth}"')
    return swapped(rest=CLOTH, new=SHANK, swap=was)


def test_patch_that_a_buttonhole_is_worked_through_lies_in_the_stack_of_either_lap():
    poplin, denim = (CATALOGUE.cloth(name).typical.value for name in ("cotton poplin", "denim 12 oz"))
    offer = offer_of(snaps_to_buttons("denim 12 oz"), "keep")
    stacks = [on.stack.typical_mm for mark in offer.placement.marks for on in (mark.over, mark.under)]
    assert stacks == pytest.approx([2 * poplin + denim] * 14)
    handed = hand_over(offer.placement, CATALOGUE)
    at = HEADINGS.index("stack_mm")
    assert {row[at] for row in handed.rows} == {f"{2 * poplin + denim:.2f}"}
    assert not [one for one in offer.findings if one.rule == "ridge" and one.result != "pass"]


def test_bulky_patch_asks_for_a_longer_buttonhole_and_reaches_past_it():
    swaps = [snaps_to_buttons(cloth) for cloth in ("denim 12 oz", "melton")]
    plain, bulky = (offer_of(swap, "keep") for swap in swaps)
    more = CATALOGUE.rule("buttonhole bulky extra").value.value
    assert bulky.buttonhole.length_mm == pytest.approx(plain.buttonhole.length_mm + more)
    assert swaps[1].buttonhole == bulky.buttonhole
    assert any(f"{bulky.buttonhole.length_mm:.1f} mm long" in change for change in bulky.changes)
    long = [max(patch.along_mm for patch in offer.patches) for offer in (plain, bulky)]
    assert long[1] >= 2 * (bulky.buttonhole.after_mm + 5) > long[0]


def test_patch_behind_a_slit_reaches_past_the_old_pricks_and_the_rim_across_it():
    """Pricks of 9 mm and 5 mm either way are 19; the rim of 15.24 mm and 3 mm of room either way are more."""
    offer = offer_of(snaps_to_buttons("denim 12 oz"), "keep")
    assert {patch.across_mm for patch in offer.patches if patch.lap == "over"} == {22}
    small = SHANK.replace("24 L", "14 L")
    was = old("prong snap", "16 L", hole="{ made = true }")
    offer = offer_of(swapped(rest=CLOTH, new=small, swap=was), "keep")
    assert {patch.across_mm for patch in offer.patches if patch.lap == "over"} == {19}


def test_patches_of_unlike_sizes_are_told_with_their_laps():
    swap = snaps_to_buttons("denim 12 oz")
    told = next(change for change in offer_of(swap, "keep").changes if change.startswith("Hidden"))
    assert "back each on the over lap with a patch of denim 12 oz of at least" in told
    assert "and on the under lap with a patch of denim 12 oz" in told and " or " not in told
    swap = swap.take(offer_of(swap, "keep").n)
    step = swap_figures(swap, set(), CATALOGUE)["back the hole"]
    assert "on the over lap a patch" in step and "; on the under lap a patch" in step
    assert step.count("at holes 1 to 7") == 2


def test_what_is_done_with_several_old_holes_is_said_of_each():
    several = next(one for one in offer_of(swapped(), "keep").changes if one.startswith("Close buttonholes"))
    assert "sew each shut flat, and back each with a patch" in several
    single = offer_of(swapped(swap=old(places=[234])), "keep").changes
    assert any("sew it shut flat, and back it with a patch" in one for one in single if "buttonhole 1 (" in one)


def test_patch_behind_an_old_hole_is_no_wider_than_the_band():
    # The middle of the slit lies 5 mm past its mark along the line; a flange of 5.08 mm keeps 3 mm of room.
    offer = offer_of(swapped(rest=ANCHOR + CLOTH), "keep")
    assert {(patch.along_mm, patch.across_mm, patch.cut_at) for patch in offer.patches} == {(27, 17, None)}
    across = old(hole='{ way = "across", length = 30, made = true }')
    offer = offer_of(swapped(rest=ANCHOR + CLOTH, swap=across), "keep")
    assert {(patch.along_mm, patch.across_mm, patch.cut_at) for patch in offer.patches} == {(17, 25, "inner")}
    across = old(hole='{ way = "across", length = 14, made = true }')
    offer = offer_of(swapped(rest=ANCHOR + CLOTH, swap=across, width=18), "keep")
    assert {(patch.along_mm, patch.across_mm, patch.cut_at) for patch in offer.patches} == {(17, 18, "band")}
    assert any("18 mm across (as wide as the band, " in change for change in offer.changes)


@pytest.mark.parametrize(
    ("way", "cut_at"), [pytest.param("along", None, id="along"), pytest.param("across", "inner", id="across")]
)
def test_patch_laid_with_its_middle_behind_the_hole_takes_in_the_hole_and_the_part(way, cut_at):
    wide, inset = 32, 16
    was = old(places=[30, 350], hole=f'{{ way = "{way}", length = 17, past = 3, made = true }}')
    swap = swapped(rest=CLOTH, swap=was, spacing="[spacing]\nfirst = 23\nlast = 60\ncount = 8\n")
    offer = offer_of(swap, "best")
    patch = next(patch for patch in offer.patches if patch.hole == 1)
    flange = offer.placement.fastener.rim_mm + 3
    # The middle of the hole from the mark, worked by hand: 7 mm down to the old place, and 5.5 mm from there.
    along, across = (7 + 5.5, 0.0) if way == "along" else (7.0, 5.5)
    assert patch.along_mm / 2 >= along + flange > patch.along_mm / 2 - 1
    assert patch.cut_at == cut_at
    middle = inset + across
    from_edge, to_edge = (
        (middle - patch.across_mm / 2, middle + patch.across_mm / 2)
        if cut_at is None
        else (wide - patch.across_mm, wide)
    )
    assert from_edge <= inset - flange and to_edge >= min(inset + flange, wide)
    words = {None: "(centred on the hole)", "inner": "(from the inner edge of the band outwards, "}[cut_at]
    assert any(words in change for change in offer.changes)


def test_hidden_helper_is_sewn_on_and_takes_none_of_the_snaps():
    offer = offer_of(swapped(rest=ANCHOR + CLOTH), "hidden helper")
    helper = next(mark for mark in offer.placement.marks if mark.anchor == "chest")
    assert offer.placement.sewn_apart == {helper.n}
    assert helper.over.stack is None and helper.under.stack is None
    counts = {(part.part, part.lap): part.count for part in count_parts(offer.placement)}
    assert counts["socket", "over"] == counts["stud", "under"] == len(offer.placement.marks) - 1
    assert counts["ball half of a small sew-on snap 2/0", "over"] == 1
    sewn = offer_of(swapped(rest=ANCHOR + CLOTH, new='[closure]\nkind = "sew-on snap"\nsize = "1"\n'), "hidden helper")
    assert sewn.placement.sewn_apart == frozenset()


def test_sewn_helper_is_drawn_by_its_own_rim_and_told_with_its_size():
    made = swapped(rest=ANCHOR + CLOTH)
    made = made.take(offer_of(made, "hidden helper").n)
    (n,) = made.offer.placement.sewn_apart
    for subject in subjects_of(made.offer.placement, (), CATALOGUE, swap=made):
        assert 2 * subject.look_at(n).rim_mm == 7.5 and subject.look_at(n).style == "stitch points"
        assert 2 * subject.look_at(1).rim_mm == 10.16
        sheet = lap_sheet(subject)
        assert "the helper at mark" in sheet.text.closure
        assert "a sew-on snap 2/0, 7.5 mm across" in sheet.text.closure and "stitch" in sheet.text.signs
    assert any("a small sew-on snap 2/0, 7.5 mm across" in change for change in made.offer.changes)
    # Never wider than what the row was checked with.
    assert small_sewn_snap(CATALOGUE.fastener("sew-on snap", "4/0"), CATALOGUE).size == "4/0"


def closure(kind: str, size: str) -> str:
    return f'[closure]\nkind = "{kind}"\nsize = "{size}"\n'


DRAWN = old(hole=HOLE.replace("true", "false"))
# Sizes named by line are diameters in 1/40 in (US Federal Specification V-B-871F): 16, 18, 20 L are 10.16, 11.43, 12.7 mm.


@pytest.mark.parametrize(
    ("new", "swap", "rest", "hiding"),
    [
        pytest.param(closure("prong snap", "16 L"), old(), CLOTH, "ring", id="ring within the button"),
        pytest.param(closure("prong snap", "18 L"), old(), CLOTH, "ring", id="ring as wide as the button"),
        pytest.param(closure("prong snap", "18 L"), old(size="16 L"), CLOTH, "ring of", id="ring around the button"),
        pytest.param(closure("capped prong snap", "20 L"), old(), CLOTH, "cap lies", id="cap"),
        pytest.param(closure("capped prong snap", "16 L"), old(), CLOTH, "cap lies", id="cap within the button"),
        pytest.param(
            closure("capped prong snap", "16 L") + 'halves = "turned"\n',
            old() + 'halves = "usual"\n',
            CLOTH,
            "ring",
            id="cap beneath",
        ),
        pytest.param(closure("plastic snap", "20 short"), old(), CLOTH, "cap lies", id="plastic"),
        pytest.param(closure("magnetic snap", "14 mm"), old(), CLOTH, "washer lies", id="magnet"),
        pytest.param(closure("sew-on snap", "4"), old(), CLOTH, "sewn", id="sewn, wider than the button"),
        pytest.param(closure("sew-on snap", "1"), old("tack button", "27 L"), CLOTH, "driven on", id="tack button"),
        pytest.param(closure("capped prong snap", "20 L"), DRAWN, CLOTH, "beneath", id="cap on a pattern"),
        pytest.param(closure("capped prong snap", "20 L"), DRAWN, "", "beneath", id="layers not told"),
        pytest.param(
            closure("capped prong snap", "20 L"), DRAWN, CLOTH.replace("2", "1"), "single layer", id="single layer"
        ),
        pytest.param(closure("prong snap", "16 L"), DRAWN, CLOTH.replace("2", "1"), "ring", id="ring, single layer"),
    ],
)
def test_snaps_hide_under_buttons_only_where_a_button_can_be_sewn_over_them(new, swap, rest, hiding):
    made = swapped(swap, new=new, rest=ANCHOR + rest)
    found = {offer.kind: offer.hiding for offer in made.offers if offer.hiding is not None}
    if hiding in ("ring", "sewn", "beneath"):
        assert found == {"hidden": hiding, "hidden helper": hiding}
        return
    assert found == {}
    assert made.offer.kind not in ("hidden", "hidden helper")
    (why,) = [way.why for way in made.not_offered if way.name == "hidden under false buttons"]
    assert hiding in why


TURNED, USUAL = 'halves = "turned"\n', 'halves = "usual"\n'
BUTTON = closure("sew-through button", "18 L") + 'thickness = "3 mm"\n'


@pytest.mark.parametrize(
    ("new", "told", "off", "holes", "stays"),
    [
        pytest.param(closure("prong snap", "16 L"), "", "under", "over", False, id="nothing told"),
        pytest.param(closure("prong snap", "16 L"), TURNED, "over", "under", False, id="old turned"),
        pytest.param(closure("prong snap", "16 L") + TURNED, USUAL, "under", "over", False, id="new turned"),
        pytest.param(BUTTON, TURNED, "over", "under", False, id="the same, turned back"),
        pytest.param(BUTTON + TURNED, USUAL, "under", "over", False, id="the same, turned over"),
        pytest.param(BUTTON + TURNED, "", "under", "over", True, id="the same, turned as they were"),
        pytest.param(BUTTON + TURNED, TURNED, "under", "over", True, id="both turned"),
    ],
)
def test_each_row_of_a_swap_has_its_halves_on_the_laps_that_it_was_told(new, told, off, holes, stays):
    # A button is sewn on one lap and its hole is cut in the other: geometry, and what a button is.
    kept = offer_of(swapped(old(more=told), new=new), "keep")
    assert bool(kept.placement.staying) is stays
    told_of = " ".join(kept.changes)
    if stays:
        assert "nothing is to be set" in told_of
        return
    assert f"Take off 7 sew-through buttons ({off} lap)" in told_of
    assert {clash.lap for clash in kept.overlaps} == {holes}


def test_turned_closures_in_place_of_others_ask_how_the_old_ones_lie():
    with pytest.raises(PlanError, match="told to be turned, and not how those of the old sew-through buttons lie") as e:
        swapped(new=closure("prong snap", "16 L") + TURNED)
    assert 'halves = "usual" under [swap] where they have the buttonhole on the over lap' in str(e.value)


def test_no_buttons_for_show_are_offered_where_the_old_ones_were_hidden():
    made = swapped(old(more=TURNED), new=closure("prong snap", "16 L"))
    assert not [offer for offer in made.offers if "hidden" in offer.kind or "behind" in offer.kind]


@pytest.mark.parametrize("state", ["sewn band", "finished"])
def test_lap_that_is_closed_hides_no_cap_though_no_buttonhole_is_cut(state):
    text = "\n".join([EDGE, BAND.format(width=32), closure("capped prong snap", "20 L"), SPACING, CLOTH, DRAWN])
    text = text.replace("[garment]", f'[garment]\nstate = "{state}"')
    plan = read_plan(text.encode(), "plan.toml")
    assert not any(offer.hiding for offer in make_swap(plan, edges_of(plan), CATALOGUE).offers)


def test_patches_are_told_with_their_number_size_and_face_on_a_page_that_every_set_has():
    text = "\n".join([EDGE, BAND.format(width=32), NEW, SPACING, CLOTH, old(more='take = "keep every old place"\n')])

    def cover(more: str) -> str:
        plan = read_plan(text.replace("[swap]\n", f"[swap]\n{more}").encode(), "plan.toml")
        pages = booklet_of(place_plan(plan), CATALOGUE.paper("a4")).pages
        return " ".join(one.title for page in pages for one in groups(page.items))

    behind = cover("")
    assert "Patches on the inside of the over lap: 7, each a patch of cotton poplin of at least " in behind
    assert "behind buttonholes 1 to 7, laid by the hole before anything is marked" in behind
    outside = cover('patch = "24 mm"\npatch_cloth = "cotton poplin"\n')
    for face, lap in (("outside", "over"), ("inside", "under")):
        # The order of work puts them on the outside of the over lap, and behind the other.
        assert f"Patches on the {face} of the {lap} lap: 7, 24 mm across, one at every new closure" in outside


def test_parts_beneath_the_outer_layer_do_not_clamp_it():
    fusible = '[[layer]]\ncloth = "light fusible"\n'
    swap = swapped(DRAWN, rest=ANCHOR + fusible + CLOTH)
    kept, hidden = (offer_of(swap, kind).placement.marks[0] for kind in ("keep", "hidden"))
    poplin = 0.24  # one layer, typical: the table of cloths
    assert kept.over.stack.typical_mm - hidden.over.stack.typical_mm == pytest.approx(poplin)
    assert hidden.under.stack.typical_mm == pytest.approx(kept.under.stack.typical_mm)
    assert [layer.name for layer in hidden.over.stack.layers] == ["light fusible", "cotton poplin"]


def test_parts_beneath_the_outer_layer_are_set_before_the_band_is_closed_and_buttons_come_after():
    made = swapped(DRAWN, new=closure("prong snap", "16 L"), rest=ANCHOR + CLOTH)
    made = made.take(offer_of(made, "hidden").n)
    told = {step.key: step for step in advise(made.offer.placement, made.offer.findings, CATALOGUE, made).order.steps}
    order = ["edge left open", "mark", "fold away", "set first", "set second", "close the band", "false buttons"]
    assert [key for key in told if key in (*order, "edge")] == order
    assert "from the face inside the band" in told["set first"].text
    assert "closed buttonholes" not in told["false buttons"].text


@pytest.mark.parametrize(
    ("swap", "new", "told", "done"),
    [
        (DRAWN, "prong snap", "taking up the outer cloth alone", "It hides what is beneath"),
        (None, "prong snap", "to the cloth inside its ring", "well inside the ring"),
        (None, "sew-on snap", "taking up the outer cloth alone", "It hides what is beneath"),
    ],
)
def test_button_for_show_is_tried_in_a_step_before_anything_is_pierced(swap, new, told, done):
    size = "1" if new == "sew-on snap" else "16 L"
    made = swapped(swap, new=closure(new, size), rest=ANCHOR + CLOTH)
    made = made.take(next(offer for offer in made.offers if offer.kind in ("hidden", "hidden helper")).n)
    order = advise(made.offer.placement, made.offer.findings, CATALOGUE, made).order
    steps = {step.key: step for step in order.steps}
    assert told in steps["trial of show"].text and done in steps["trial of show"].done
    trial = next(step for step in order.steps if step.key in ("trial", "trial sewn"))
    assert trial.n < steps["trial of show"].n < (order.stop_before or steps["set first"].n)
    assert not order.stop or "a button for show hides its closure" in order.stop


def test_handover_page_counts_a_sewn_helper_as_itself_and_not_as_a_snap():
    rows = _parts(offer_of(swapped(rest=ANCHOR + CLOTH), "hidden helper").placement, frozenset())
    assert any("over lap" in row and "7 × (prong ring + socket)" in row for row in rows)
    assert any("under lap" in row and "1 × socket half of a small sew-on snap 2/0" in row for row in rows)


@pytest.mark.parametrize(("length", "slits"), [(16, 7), (7, 0)])
def test_front_after_shows_closed_buttonholes_that_reach_past_buttons_for_show(length, slits):
    # A slit of 7 ends 4 mm past its place, under a button of 18 L with a radius of 5.7 mm; one of 16 shows.
    made = swapped(old(hole=f'{{ way = "along", length = {length}, made = true }}'))
    section, picture = worn_front(made.take(offer_of(made, "hidden").n))
    dashed = [item for item in picture.items if getattr(getattr(item, "pen", None), "dash_mm", ())]
    assert len(dashed) == slits
    assert ("show past them" in section.paragraphs[0]) == bool(slits)


def test_button_for_show_is_not_said_to_hide_a_longer_buttonhole():
    # 18 L is 11.43 mm across (US Federal Specification V-B-871F): of a slit that ends 13 mm past the mark, 7.3 mm show.
    words = " ".join(offer_of(swapped(), "hidden").changes)
    assert "7.3 mm of the closed buttonhole show past it" in words
    short = " ".join(offer_of(swapped(swap=old(hole='{ way = "along", length = 7, made = true }')), "hidden").changes)
    assert "show past it" not in short


@pytest.mark.parametrize(
    ("swap", "error", "match"),
    [
        (old(hole=""), PlanError, "does not say how they lie"),
        (old(hole="{ made = true }"), PlanError, "does not say how they lie"),
        (old("post snap", "20 L"), PlanError, "has no buttonhole"),
        (old(places=[60, 700]), EdgeError, "700 mm along, but the closing line is 640 mm long"),
        (old(places=[2, 90]), PlanError, "would lie 2 mm from the first end, and is 11.4 mm wide"),
        (old(places=[60, 636]), PlanError, "old closure 2 would lie 4 mm from the last end"),
        (old(places=[6, 90], hole=HOLE.replace("{", "{ past = 7,")), EdgeError, "would run from -1 mm to 15 mm"),
        (old(places=[90, 60]), PlanError, "number 2 does not lie beyond"),
        (old(hole='{ way = "along", length = 3, past = 4, made = true }'), PlanError, "wholly beside it"),
        (old("sewn button", "18 L"), ClosureError, "may be one of several kinds"),
        ('[swap]\nkind = "post snap"\nsize = "20 L"\nfirst = 60\n', PlanError, "needs last and count"),
        ('[swap]\nkind = "post snap"\nsize = "20 L"\nfirst = 400\nlast = 300\ncount = 4\n', EdgeError, "no room"),
        ('[swap]\nkind = "post snap"\nsize = "20 L"\n', PlanError, "exactly one of places, first"),
    ],
)
def test_old_row_that_makes_no_sense_is_refused(swap, error, match):
    with pytest.raises(error, match=match):
        swapped(swap)


def test_even_old_row_is_divided_by_its_gaps():
    swap = swapped('[swap]\nkind = "post snap"\nsize = "20 L"\nfirst = 60\nlast = 58\ncount = 7\n')
    assert swap.old.places_mm == pytest.approx(PLACES, abs=1e-9)


lengths = st.floats(0, 600)


@settings(max_examples=40, deadline=None)
@given(st.floats(6, 60), st.lists(st.floats(20, 90), min_size=1, max_size=6), lengths)
def test_offers_hold_whatever_the_old_row(first, gaps, anchor):
    places = [round(place, 1) for place in accumulate([first, *gaps])]
    # Rounding must not bring two nearer than the fastener allows.
    assume(all(b - a >= 20 for a, b in pairwise(places)))
    swap = swapped(old(places=places), rest=ANCHOR.replace("196", f"{anchor:.1f}") + LAYER)
    assert offer_of(swap, "keep").places_mm == pytest.approx(places, abs=1e-9)
    for offer in swap.offers:
        marks = [mark.along_mm for mark in offer.placement.marks]
        assert marks == list(offer.places_mm)
        assert set(offer.kept) | set(offer.given_up) == set(range(1, len(places) + 1))
        assert set(offer.unused) == {n for n in range(1, len(places) + 1) if n not in {c.hole for c in offer.clashes}}
        if offer.kind in ("ends", "fewest", "clear", "best"):
            assert offer.anchors[0].is_met
        if offer.kind == "ends":
            assert (offer.places_mm[0], offer.places_mm[-1]) == pytest.approx((places[0], places[-1]), abs=1e-6)


@pytest.mark.parametrize(("within", "is_met"), [(1.999, False), (2.0, True), (2.001, True)])
def test_anchor_is_met_within_what_the_plan_allows_and_no_further(within, is_met):
    # The nearest old closure sits 2 mm from the anchor, nearer than what is said about as a gape.
    swap = swapped(
        old(places=[40, 118, 196, 274]), rest=f'[[anchor]]\nname = "chest"\nalong = 198\nwithin = {within}\n'
    )
    assert offer_of(swap, "keep").anchors[0].is_met is is_met


def fewest_by_trial(wish: Wish, row: tuple[float, ...]) -> int | None:
    """The fewest changes, by trying every set of old places as anchors of one whole row, at every count."""
    best = None
    for kept in range(len(row), -1, -1):
        for held in combinations(row, kept):
            for count in range(max(kept, 1), len(row) + 5):
                changes = max(len(row) - kept, count - kept)
                if best is not None and changes >= best:
                    continue
                anchors = (*wish.anchors, *(Anchor("kept", at) for at in held))
                if is_possible(replace(wish, anchors=anchors, count=count, pitch_mm=None)):
                    best = changes
    return best


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(2, 38), min_size=2, max_size=5, unique=True),
    st.integers(1, 39),
    st.integers(0, 2),
    st.integers(9, 20),
    st.integers(5, 30),
)
def test_fewest_changes_agrees_with_trying_every_set(tens, anchor, within, widest, zone):
    row = tuple(10.0 * ten for ten in sorted(tens))
    # Ends may lie anywhere, so that an old end that stays is judged alike by both.
    wish = Wish(400, (0, 400), (0, 400), 15, 10.0 * widest, 80, None, (Anchor("a", 10.0 * anchor, within),),
                (Clear("z", 10.0 * zone + 1, 10.0 * zone + 22),))  # fmt: skip
    found = fewest_changes(wish, row)
    expected = fewest_by_trial(wish, row)
    if expected is None:
        assert found is None
        return
    kept = sum(any(abs(a - b) < 1e-6 for b in found) for a in row)
    assert max(len(row) - kept, len(found) - kept) == expected
    assert min(abs(place - 10 * anchor) for place in found) <= within + 1e-6


def test_fewest_changes_meet_every_anchor_past_an_old_end_and_not_one_of_them_alone():
    row = (100.0, 200.0, 300.0)
    anchors = (Anchor("met", 300.0, 2.0), Anchor("missed", 350.0, 2.0))
    found = fewest_changes(Wish(400, (0, 400), (0, 400), 15, 150, 80, None, anchors), row)
    assert found is not None and set(row) <= {round(place, 9) for place in found}
    assert min(abs(place - 350.0) for place in found) <= 2.0 + 1e-6


def test_fewest_changes_keep_no_old_place_on_the_border_between_two_zones_that_touch():
    row = (20.0, 100.0, 180.0, 260.0)
    wish = Wish(300, (0, 300), (0, 300), 15, 150, 80, None, (), (Clear("z", 70, 100), Clear("y", 100, 120)))
    assert fewest_changes(replace(wish, clear=wish.clear[:1]), row) == row
    found = fewest_changes(wish, row)
    assert found is not None and 100.0 not in found and {20.0, 180.0, 260.0} <= {round(place, 9) for place in found}


def test_patch_for_an_old_hole_is_told_apart_from_the_piece_on_the_backing_page():
    words = "besides a piece of backing where one is cut for it"
    plain = swapped(rest=ANCHOR + LAYER)
    backed = swapped(rest=ANCHOR + LAYER + '[sheets]\nbacking = "patches"\n')
    assert not any(words in change for change in offer_of(plain, "keep").changes)
    assert any(words in change and "patch of at least" in change for change in offer_of(backed, "keep").changes)


@pytest.mark.parametrize(("kind", "buttons", "says"), [("hidden", 7, "no snap in sight"), ("clear", 7, "sewn shut")])
def test_front_is_drawn_before_and_after_as_the_wearer_sees_it(kind: str, buttons: int, says: str):
    swap = swapped()
    swap = swap.take(offer_of(swap, kind).n)
    section, picture = worn_front(swap)
    circles = [item for item in picture.items if isinstance(item, Circle)]
    words = " ".join([*section.paragraphs, *(item.text for item in picture.items if isinstance(item, Words))])
    shown = len(swap.offer.placement.marks)
    # A button is drawn with its two holes, a snap with its inner ring.
    assert len(circles) == 3 * len(swap.old.places_mm) + (3 if kind == "hidden" else 2) * shown
    assert "before" in words and "after" in words and says in words


def test_what_would_hide_old_holes_is_said_and_does() -> None:
    """A patch that is told for hiding the holes is enough for an offer that does: it is rounded up, not to the nearest."""
    new = NEW.replace("prong snap", "capped prong snap")
    hole = HOLE.replace("16", "14.43")

    def look(swap: Swap) -> str:
        offer = next(offer for offer in swap.offers if offer.kind == "clear")
        return next(f.text for f in offer.findings if f.rule == "old hole" and f.result == "warn")

    bare = look(swapped(old(hole=hole), new=new))
    assert "No offer hides the old holes. What would:" in bare
    patch = bare.split('patch = "')[1].split('"')[0]
    patched = swapped(old(hole=hole, more=f'patch = "{patch}"'), new=new)
    behind = next(offer for offer in patched.offers if offer.kind == "behind")
    assert behind.in_sight == () and f"What hides the old holes: offers {behind.n} and {behind.n + 1}" in look(patched)


def test_made_holes_on_cut_pieces_are_refused() -> None:
    plan = EDGE + BAND.format(width=32).replace("[garment]", '[garment]\nstate = "cut pieces"') + NEW + SPACING + old()
    with pytest.raises(PlanError, match="cut pieces have no closures yet"):
        need_swap(read_plan(plan.encode(), "plan.toml"))


def test_reference_tells_how_far_an_old_buttonhole_is_taken_to_reach_past_its_button():
    page = (Path(__file__).resolve().parent.parent / "docs" / "reference" / "plan.md").read_text()
    told = next(line.split("|")[3].strip() for line in page.splitlines() if line.startswith("| `past`"))
    assert parse_length_mm(told) == load_catalogue().rule("buttonhole past line").value.value


LEATHER = '[[layer]]\nthickness = "1.2 mm"\nstructure = "leather"\ncount = 2\n'
JACKET = [60, 150, 240, 330, 420, 510]


def jacket(kind: str, size: str, *, rest: str = LEATHER, old_kind: str = "leather post snap", old_size: str = "20 L"):
    swap = old(old_kind, old_size, JACKET, "{ made = true }")
    new = f'[closure]\nkind = "{kind}"\nsize = "{size}"\n'
    return swapped(swap, new=new, rest=rest, width=44)


@pytest.mark.parametrize(("kind", "size"), [("leather post snap", "24 L"), ("shank button", "30 L")])
# Told by a structure, or by nothing but a kind that is made for leather, be it the old one.
@pytest.mark.parametrize("rest", [LEATHER, '[[layer]]\nthickness = "2.4 mm"\n'])
def test_round_holes_in_leather_are_neither_drawn_together_nor_fused(kind: str, size: str, rest: str):
    swap = jacket(kind, size, rest=rest)
    # Of posts the recommended offer opens the old holes and closes none.
    swap = swap.take(offer_of(swap, "best").n)
    for offer in swap.offers:
        told = " ".join((*offer.changes, *(f.text for f in offer.findings if f.rule == "old hole")))
        assert not [word for word in ("fuse", "darn", "edge to edge", "Sew each shut") if word in told], told
    told = " ".join(offer_of(swap, "best").changes)
    assert "leave it round and put no stitch through it" in told.lower() and "glue a patch" in told
    steps = {step.key: step.text for step in advise(offer_of(swap, "best").placement, (), CATALOGUE, swap).order.steps}
    assert "each round" in steps["close holes"] and "edges of each" not in steps["close holes"]


def test_round_holes_of_leather_left_in_sight_are_backed_with_glue():
    offer = offer_of(jacket("leather post snap", "24 L"), "clear")
    assert any("Glue a patch behind each on the inside" in text for text in offer.changes)


def test_a_slit_in_leather_is_laid_edge_to_edge():
    swap = swapped(new='[closure]\nkind = "leather post snap"\nsize = "20 L"\n', rest=ANCHOR + LEATHER)
    told = " ".join(offer_of(swap, "keep").changes)
    assert "edge to edge and not darned" in told and "leave it round" not in told


def test_a_part_that_bites_where_an_old_one_did_is_looked_at_though_its_cap_hides_the_place():
    # 16 L prongs stand 4.5 mm from the centre, an 18 L cap of 11.43 mm hides them, and bites among them.
    cloth = '[[layer]]\ncloth = "oxford"\ncount = 2\n'
    swap = jacket("prong snap", "18 L", rest=cloth, old_kind="prong snap", old_size="16 L")
    offer = offer_of(swap, "keep")
    assert {clash.kind for clash in offer.clashes} == {"covered"}
    found = [finding for finding in offer.findings if finding.rule == "old hole"]
    assert len(found) == 12 and {finding.result for finding in found} == {"warn"}
    assert all("patch of oxford" in finding.text for finding in found)


def test_a_new_buttonhole_through_a_hole_that_its_button_hides_is_looked_at():
    offer = offer_of(jacket("shank button", "30 L"), "keep")
    found = [finding for finding in offer.findings if finding.rule == "old hole"]
    # Cut on the over lap alone: on the under lap the button is sewn on over the hole.
    assert {(finding.lap, finding.result) for finding in found} == {("over", "warn")}
    assert "Cut no buttonhole through an old hole before a backing is glued behind both." in offer.changes


def test_a_garment_whose_holes_are_not_told_is_finished_on_every_page():
    untold = swapped(old("prong snap", "16 L", JACKET, ""), rest=LAYER, new=NEW.replace("16 L", "18 L"))
    plan = untold.offer.placement.plan
    assert plan.state == "finished" and is_made(plan)
    assumed = " ".join(untold.offer.placement.assumed)
    assert "The old holes are made" in assumed and "hole under [swap]" in assumed
    assert "The garment is finished" in assumed and "state under [garment]" in assumed
    drawn = swapped(old("prong snap", "16 L", JACKET, "{ made = false }"), rest=LAYER, new=NEW.replace("16 L", "18 L"))
    assert drawn.offer.placement.plan.state is None and not is_made(drawn.offer.placement.plan)
    assert "The garment is finished" not in " ".join(drawn.offer.placement.assumed)


def test_both_ends_of_the_old_row_are_told_from_where_they_are_measured():
    row = '[swap]\nkind = "prong snap"\nsize = "16 L"\nfirst = 60\nlast = 90\ncount = 6\nhole = { made = true }\n'
    assert "along from the first end, the last 90 mm from the last end" in swap_terminal(swapped(row, rest=LAYER))
    with pytest.raises(EdgeError, match="last from the last old closure on to the last end, such as the hem"):
        swapped(row.replace("last = 90", "last = 590"), rest=LAYER)


@pytest.mark.parametrize(("way", "size"), [("along", (36, 10)), ("across", (10, 36))])
def test_patch_behind_a_new_buttonhole_reaches_past_both_ends_of_its_slit(way, size):
    # A slit of 15.7 mm, 3.175 mm of it before the mark: 12.5 and 5 mm past its far end, doubled, and 5 mm to its sides.
    new = f'[closure]\nkind = "sew-through button"\nsize = "20 L"\nhole = "{way}"\n'
    snaps = old(kind="post snap", size="20 L", hole="{ made = true }")
    patched = swapped(snaps, new=new, rest=ANCHOR + CLOTH, width=40)
    found = [patch for patch in offer_of(patched, "ends").patches if patch.mark == 1]
    over, under = (next(patch for patch in found if patch.lap == lap) for lap in ("over", "under"))
    assert patched.buttonhole is not None
    reach = math.ceil(2 * (patched.buttonhole.after_mm + 5))
    assert (over.along_mm, over.across_mm) == ((reach, over.across_mm) if way == "along" else (over.along_mm, reach))
    assert reach == 36 and min(over.along_mm, over.across_mm) >= size[0 if way == "across" else 1]
    assert "along the line and" in over.told(str) and "along the line" not in under.told(str)


@pytest.mark.parametrize(("first", "size"), [(23, 44), (33, 31), (36, 37)])
def test_patch_reaches_past_a_new_slit_by_the_end_that_lies_there(first: float, size: int) -> None:
    """The old slit of 17 mm from 27 to 44 has its middle at 35.5; the new one runs from 3.175 above its mark to 12.525 below.

    From there, half the patch is the most of 5 mm past either slit's ends (13.5 past the old) and 9.35 of flange:
    at 23: 12.5 + 9.35; at 33: 33 + 17.525 - 35.5 = 15.03; at 36: 36 + 17.525 - 35.5 = 18.03.
    """
    was = old(
        kind="sew-through button",
        size="20 L",
        places=[30, 350],
        hole='{ way = "along", length = 17, past = 3, made = true }',
    )
    new = '[closure]\nkind = "sew-through button"\nsize = "20 L"\nhole = "along"\n'
    spacing = f"[spacing]\nfirst = {first}\nlast = 60\ncount = 8\n"
    swap = swapped(rest=CLOTH, swap=was, new=new, width=40, spacing=spacing)
    patch = next(one for one in offer_of(swap, "best").patches if one.hole == 1)
    assert (patch.lap, patch.along_mm) == ("over", size)


def test_trial_with_and_without_the_patch_is_counted_twice_with_one_patch():
    patched = swapped(rest=ANCHOR + CLOTH)
    for kind, trial in (("keep", 1), ("best", 2)):
        parts = {part.part: part.trial for part in count_parts(offer_of(patched, kind).placement)}
        assert parts["socket"] == trial and parts["patch behind an old hole"] == 1


@pytest.mark.parametrize(
    ("cloth", "said"),
    [
        ("polar fleece", "rub the nap over"),
        ("towelling", "lift the pile back"),
        ("flannel", "stroke the threads back"),
        ("interlock", "catch each loop"),
    ],
)
def test_pricks_of_old_snaps_close_as_the_cloth_lets_them(cloth, said):
    layers = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    new = '[closure]\nkind = "sew-through button"\nsize = "20 L"\n'
    told = swapped(old(kind="prong snap", size="16 L", hole="{ made = true }"), new=new, rest=ANCHOR + layers, width=60)
    words = " ".join(change for offer in told.offers for change in offer.changes)
    assert said in words and ("catch each loop" in words) == (cloth == "interlock")


def test_a_hole_of_which_the_pack_gives_a_range_is_left_as_wide_as_the_wider_end():
    # The darn and what covers it must reach over the hole that there may be.
    supplies = b'[[fastener]]\nkind = "post snap"\nsize = "24 L"\nhole = [3.0, 4.5]\nbasis = "measured by the user"\nsource = "own pack"\n'
    ranged = load_catalogue(supplies)
    text = "\n".join(
        [EDGE, BAND.format(width=32), NEW, SPACING, LAYER, old("post snap", "24 L", hole="{ made = true }")]
    )
    plan = read_plan(text.encode(), "plan.toml")
    holes = make_swap(plan, edges_of(plan, None), ranged).old.holes
    assert {(hole.lap, hole.way, hole.length_mm) for hole in holes} == {("over", "round", 4.5), ("under", "round", 4.5)}


def test_eyelets_that_are_taken_out_leave_the_hole_of_their_tube_in_either_lap():
    # One on each lap; the tube of one of 5.5 mm is 6.3 mm wide outside (from memory).
    holes = swapped(old("eyelet", "5.5 mm", hole="{ made = true }")).old.holes
    assert [(hole.lap, hole.n, hole.way, hole.length_mm) for hole in holes] == [
        (lap, n, "round", 6.3) for lap in ("over", "under") for n in range(1, 8)
    ]


FINISHED = (
    '[edge]\nstraight = "640 mm"\n[garment]\nopens = "front"\nstate = "{state}"\n[band]\nwidth = "32 mm"\ninset = "16 mm"\n'
    'lap = "left over right"\n[closure]\nkind = "plastic snap"\nsize = "20"\n[swap]\nkind = "sew-through button"\nsize = "18 L"\n'
    'thickness = "3 mm"\nplaces = ["60 mm", "147 mm", "234 mm", "321 mm", "408 mm", "495 mm", "582 mm"]\n'
    'hole = {{ way = "along", length = "15 mm", made = {made} }}\n[spacing]\npitch = "85 mm"\n{more}'
    '[[layer]]\ncloth = "oxford"\ncount = 2\n'
)


def rows_offered(state="finished", made="true", more=""):
    plan = read_plan(FINISHED.format(state=state, made=made, more=more).encode(), "shirt.toml")
    return make_swap(plan, edges_of(plan), CATALOGUE)


def test_row_of_a_finished_front_ends_where_the_old_one_ends():
    """Common practice: facing, hem and the look of neck and hem were made for the ends that are there."""
    swap = rows_offered()
    for offer in swap.offers:
        # What keeps clear of every old hole cannot end on one: it ends in the whole cloth right beside it.
        reach = 25 if offer.kind == "clear" else 1e-6
        assert offer.places_mm[0] == pytest.approx(60, abs=reach), offer.n
        assert offer.places_mm[-1] == pytest.approx(582, abs=reach), offer.n
    assert "clear" in {offer.kind for offer in rows_offered(more='closest = "20 mm"\nwidest = "140 mm"\n').offers}
    told = "\n".join(swap.offers[0].placement.assumed)
    assert "First closure 60 mm from the neck, where the old one sits (common practice)" in told
    assert "Last closure 58 mm from the hem, where the old one sits (common practice)" in told


def test_end_that_the_plan_tells_stands_over_the_old_one():
    best = next(one for one in rows_offered(more='first = "20 mm"\n').offers if one.kind == "best")
    assert (best.places_mm[0], best.places_mm[-1]) == pytest.approx((20, 582), abs=1e-6)


def test_pattern_that_is_not_cut_yet_has_its_row_as_if_nothing_were_there():
    best = next(one for one in rows_offered("cut pieces", "false").offers if one.kind == "best")
    assert best.places_mm[0] < 20 and best.places_mm[-1] < 560


def test_place_beyond_the_old_ends_takes_the_row_there():
    neck = '[[anchor]]\nname = "collar"\nalong = "15 mm"\n'
    best = next(one for one in rows_offered(more=neck).offers if one.kind == "best")
    assert best.places_mm[0] == pytest.approx(15, abs=0.1)


def test_offer_that_keeps_old_places_says_which_told_count_and_ends_it_has_otherwise():
    told = "[spacing]\nfirst = 40\nlast = 58\ncount = 6\n"
    swap = swapped(spacing=told)
    looks = {o.kind: [f.text for f in o.findings if f.rule == "kept places"] for o in swap.offers}
    (keep,) = looks["keep"]
    assert "6 closures and 40 mm between the first closure and the first end; this offer has 7 and 60 mm," in keep
    assert not looks["best"]
    for offer in swap.offers:
        is_as_told = len(offer.places_mm) == 6 and abs(offer.places_mm[0] - 40) < 0.05
        assert bool(looks[offer.kind]) != is_as_told, offer.kind
    assert "You told 6 closures and 40 mm" in " ".join(swap_terminal(swap).split())


def test_offer_is_held_to_nothing_that_was_not_told():
    # What keeps to a widest that is told is taken by who told it.
    for told in ("", SPACING):
        for offer in swapped(spacing=told).offers:
            assert not [f for f in offer.findings if f.rule == "kept places"], (told, offer.kind)


@pytest.mark.parametrize("pitch", [70, 79, 80, 87, 95, 97, 120])
def test_offer_that_keeps_old_places_says_from_a_tenth_on_that_the_told_pitch_is_missed(pitch):
    # One closure more or fewer in a row of ten: our own rule.
    for offer in swapped(spacing=f"[spacing]\npitch = {pitch}\n").offers:
        largest = max(offer.placement.spacing.gaps_mm)
        texts = [f.text for f in offer.findings if f.rule == "kept places" and "gaps of" in f.text]
        assert bool(texts) == (largest > pitch * 1.1 + 0.05), (offer.kind, largest)
        assert all(f"gaps of {pitch} mm" in text for text in texts)


def test_old_holes_in_leather_are_hidden_without_a_stitch():
    leather = '[[layer]]\ncloth = "leather 3 oz"\ncount = 2\n'
    told = '[closure]\nkind = "leather post snap"\nsize = "20 L"\n'
    swap = swapped(old("leather post snap", "20 L", hole=""), new=told, rest=leather, width=50)
    offer = next(o for o in swap.offers if o.unused and o.kind == "ends")
    steps = " ".join(step.text for step in advise(*_of(swap, offer)).order.steps)
    told = re.findall(r"Where you would rather not see[^.]*(?:\.\d[^.]*)*\.", steps)
    # Those beside which a new part stands are hidden before it is set.
    (step,) = [one for one in told if "what is left of" not in one]
    assert "glue a patch of its kind over" in step and "glue" in " ".join(told) and "sew nothing on" in step


TACKS = old(
    "tack button", "27 L", places=[30, 130, 230, 330, 430, 530], hole='{ way = "across", length = 22, made = true }'
)
FRONT = '[edge]\nstraight = "620 mm"\n'
DENIM = '[[layer]]\ncloth = "denim 10 oz"\ncount = 2\n'


@pytest.mark.parametrize(
    ("kind", "size", "cap_mm"), [("capped prong snap", "24 L", 15.24), ("plastic snap", "24", 14.2)]
)
def test_a_row_clear_of_old_tack_buttons_is_clear_of_the_holes_of_their_tacks(kind, size, cap_mm):
    """The tack leaves a hole of 2 mm on the closing line of the under lap, and 2 mm are kept from a rim (our own rule)."""
    new = f'[closure]\nkind = "{kind}"\nsize = "{size}"\n'
    swap = swapped(TACKS, edge=FRONT, new=new, spacing="", rest=DENIM, width=40)
    assert [hole.length_mm for hole in swap.old.holes if hole.lap == "under"] == [2.0] * 6
    clear = offer_of(swap, "clear")
    rooms = [abs(at - place) - cap_mm / 2 - 1.0 for at in clear.places_mm for place in swap.old.places_mm]
    assert min(rooms) >= 2.0 - 1e-6
    (good,) = [one for one in clear.findings if one.rule == "old hole" and one.result == "pass"]
    assert good.found_mm >= 2.0 - 1e-6
    assert clear.unused_under == (1, 2, 3, 4, 5, 6)
    told = " ".join(clear.changes)
    assert "Left on the under lap, where the over lap lies on it: holes 1 to 6. Sew each shut." in told


def test_snaps_behind_the_old_holes_have_a_helper_at_an_anchor_that_they_miss():
    """The slits run from 3 mm before their buttons to 12 mm after them: middles at 34.5 and every 100 mm on."""
    holes = old(
        places=[30, 130, 230, 330, 430, 530], hole='{ way = "along", length = 15, made = true }', more="patch = 18"
    )
    new, bust = NEW.replace("prong snap", "capped prong snap"), '[[anchor]]\nname = "bust"\nalong = {}\nwithin = 3\n'
    swap = swapped(holes, edge=FRONT, new=new, spacing="", rest=bust.format(180) + LAYER, width=40)
    helped = offer_of(swap, "behind helper")
    middles = [34.5, 134.5, 234.5, 334.5, 434.5, 534.5]
    assert helped.places_mm == pytest.approx(sorted([*middles, 180]))
    assert helped.in_sight == () and all(anchor.is_met for anchor in helped.anchors)
    assert swap.recommended == helped.n
    # Where the row meets the bust itself, and where no patch hides the holes, there is nothing to help.
    for bust_mm, patch, why in (
        (134.5, "patch = 18", "has a closure at it"),
        (180, "", "cannot be hidden each behind a snap"),
    ):
        more = holes.replace("patch = 18", patch)
        other = swapped(more, edge=FRONT, new=new, spacing="", rest=bust.format(bust_mm) + LAYER, width=40)
        (no,) = [one for one in other.not_offered if one.name.startswith("a snap behind each old hole, with")]
        assert why in no.why


def test_a_part_set_over_the_hole_of_a_tack_has_it_closed_and_backed_on_the_under_lap():
    swap = swapped(TACKS, edge=FRONT, new=NEW.replace("16 L", "18 L"), spacing="", rest=DENIM, width=40)
    keep = offer_of(swap, "keep")
    assert {(clash.lap, clash.hole) for clash in keep.clashes} == {
        (lap, n) for lap in ("over", "under") for n in range(1, 7)
    }
    assert {(p.part, p.lap): p.count for p in count_parts(keep.placement) if p.part.startswith("patch")} == {
        ("patch behind an old hole", lap): 6 for lap in ("over", "under")
    }
    assert {one.lap for one in keep.findings if one.rule == "old hole" and one.mark is not None} == {"over", "under"}
    # Sewn shut, and a buttonhole is no round hole.
    figures = swap_figures(swap.take(keep.n), {"swap"}, CATALOGUE)
    assert figures["holes closed"] == "buttonholes 1 to 6 of the over lap and holes 1 to 6 of the under lap"
    assert figures["shut"] == (
        "of the buttonholes, lay the edges of each together, darn or sew them shut flat; of the holes, darn or sew each "
        "shut flat"
    )
    over, under = (lap_sheet(one).text.signs for one in subjects_of(keep.placement, (), CATALOGUE, swap=swap))
    assert "old buttonhole" in over and "old hole" not in over and "old hole" in under and "buttonhole" not in under
    assert "on the under lap each leaves a hole of up to 2 mm" in re.sub(r"\s+", " ", swap_terminal(swap))


def test_an_old_hole_that_a_new_closure_meets_on_one_lap_alone_is_told_on_the_other():
    """A slit reaches further than the rim of its button: hole 2 is in its way, and on the under lap nothing is."""
    button = '[closure]\nkind = "shank button"\nsize = "28 L"\nhole = "along"\n'
    snaps = old("plastic snap", "20", places=[30, 130, 230, 330, 430, 530], hole="{ made = true }")
    spacing = "[spacing]\nfirst = 30\nlast = 90\ncount = 7\n"
    ends = offer_of(swapped(snaps, edge=FRONT, new=button, spacing=spacing, rest=DENIM, width=40), "best")
    on = {lap: {clash.hole for clash in ends.clashes if clash.lap == lap} for lap in ("over", "under")}
    assert on["over"] > on["under"]
    alone = tuple(sorted(on["over"] - on["under"]))
    assert ends.unused_under == alone and not set(alone) & set(ends.unused)
    assert set(ends.unused) | on["over"] == {1, 2, 3, 4, 5, 6}


def test_a_closure_that_stays_where_it_is_has_no_old_hole_in_its_way():
    same = '[closure]\nkind = "plastic snap"\nsize = "20"\n'
    snaps = old("plastic snap", "20", places=[60, 147, 234, 321], hole="{ made = true }")
    keep = offer_of(swapped(snaps, new=same, rest=DENIM, width=40), "keep")
    assert keep.clashes == () and keep.unused == () and keep.patches == ()


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
def test_what_a_kind_leaves_in_a_lap_is_what_taking_it_off_is_said_to_leave(kind):
    """Both tables are common practice, and must not contradict each other."""
    says = {
        "pricks": r"ring of .*pricks",
        "slits": "two slits",
        "hole": "round hole|hole of",
        "needle holes": "needle holes",
    }
    fastener = CATALOGUE.describe(kind).fasteners[0]
    removal = setting_of(fastener.setting).removal.replace("{pricks}", "")
    for lap in ("over", "under"):
        way = fastener.leaves.on(lap)
        assert (way == "buttonhole") == (fastener.mark.on(lap) == "buttonhole")
        assert way == "buttonhole" or re.search(says[way], removal)
        assert (left_by(fastener, lap) > 0) == (way in ("pricks", "slits", "hole"))
        assert fastener.turned().leaves.on("under" if lap == "over" else "over") == way


# A sew-on snap, a covered one and a magnet lie between the laps, out of sight once closed (needlework schoolbooks): what
# nobody sees hides no hole that everybody does.
@pytest.mark.parametrize(
    ("new", "old_part"),
    [
        ('[closure]\nkind = "sew-on snap"\nsize = "4"\n', "post snap"),
        ('[closure]\nkind = "covered snap"\nsize = "21 mm"\n', "post snap"),
        ('[closure]\nkind = "magnetic snap"\nsize = "14 mm"\n', "prong snap"),
    ],
)
def test_part_within_hides_no_hole_of_the_over_lap_and_one_on_the_under_lap_it_lies_on(new: str, old_part: str):
    row = old(old_part, "16 L" if old_part == "prong snap" else "20 L", hole="{ made = true }")
    offer = offer_of(swapped(row, new=new, rest=LAYER), "keep")
    assert {(clash.lap, clash.kind) for clash in offer.clashes} == {("over", "overlaps"), ("under", "covered")}
    assert offer.in_sight == (1, 2, 3, 4, 5, 6, 7) and offer.result != "pass"
    (seen,) = [change for change in offer.changes if change.startswith("Seen past")]
    assert "A patch on the outside, at least" in seen and "a cap" not in seen


def test_cap_hides_the_hole_of_the_over_lap_that_it_lies_on():
    row = old("prong snap", "16 L", hole="{ made = true }")
    offer = offer_of(swapped(row, new='[closure]\nkind = "capped prong snap"\nsize = "24 L"\n', rest=LAYER), "keep")
    assert {(clash.lap, clash.kind) for clash in offer.clashes} == {("over", "covered"), ("under", "covered")}
    assert not offer.in_sight


def test_patch_outside_hides_the_holes_that_a_part_within_does_not():
    row = old("post snap", "20 L", hole="{ made = true }", more="patch = 18")
    offer = offer_of(swapped(row, new='[closure]\nkind = "sew-on snap"\nsize = "4"\n', rest=LAYER), "keep")
    assert {clash.kind for clash in offer.clashes} == {"covered"} and not offer.in_sight


def test_hole_left_in_sight_is_covered_only_where_a_cover_lies_beside_the_new_closures():
    # A slit of 16 wants a cover 18 across. One across has its middle 5 beside the line, from where a closure d further
    # along with a rim of 5.08 lies hypot(d, 5) - 5.08 off: from d = 13.16 on, a cover of 9 round the middle lies beside it.
    def told(by: float, new: str = NEW) -> list[str]:
        change = f"last = {{ from = {58 - by}, to = {58 - by} }}"
        spacing = SPACING.replace("last = { from = 40, to = 100 }", change)
        spacing = spacing.replace("first = { from = 15, to = 60 }", f"first = {{ from = {60 + by}, to = {60 + by} }}")
        row = old(hole='{ way = "across", length = 16, made = true }')
        spacing = spacing.replace("pitch = 76", "count = 7")
        offer = offer_of(swapped(row, new=new, spacing=spacing, rest=LAYER), "best")
        assert offer.unused == (1, 2, 3, 4, 5, 6, 7)
        assert offer.places_mm == pytest.approx([at + by for at in PLACES])
        return [change for change in offer.changes if change.startswith("Left in sight") and "or cover each" in change]

    assert told(13.3) and not told(13.0)
    # The half of a sewn-on snap lies inside the lap: nothing of it is in the way of a cover outside.
    assert told(13.0, closure("sew-on snap", "1"))


@pytest.mark.parametrize(
    ("ends", "apart"),
    [
        pytest.param(((-20.0, 240.0), (-12.0, 240.0)), 0.0, id="across it"),
        pytest.param(((-21.0, 236.0), (-11.0, 243.0)), 0.0, id="aslant across it"),
        pytest.param(((-13.0, 240.0), (-5.0, 240.0)), 3.0, id="ends beside it"),
        pytest.param(((-16.0, 250.0), (-16.0, 260.0)), 3.0, id="on from its end"),
        pytest.param(((-20.0, 250.0), (-12.0, 250.0)), 3.0, id="past its end"),
    ],
)
def test_new_slit_meets_an_old_one_where_they_cross_and_else_lies_as_far_off_as_its_nearest_place(
    ends: tuple[tuple[float, float], tuple[float, float]], apart: float
):
    # The slit of the button at 234 runs along the line at -16, from 231 to 247.
    (hole,) = swapped(old(places=[234])).old.holes
    assert between_mm(Curve((Line(*ends),)), hole) == pytest.approx(apart, abs=1e-3)


def test_offer_tells_of_what_is_usual_only_what_it_goes_by():
    """Where the old places stay, no usual gap is taken; where the row ends elsewhere, no usual end is."""
    text = FINISHED.format(state="finished", made="true", more="").replace('[spacing]\npitch = "85 mm"\n', "")
    plan = read_plan(text.encode(), "shirt.toml")
    told = {one.kind: " ".join(one.placement.assumed) for one in make_swap(plan, edges_of(plan), CATALOGUE).offers}
    by_pitch = {kind for kind, lines in told.items() if "Gaps of about" in lines}
    assert by_pitch == {"ends", "best", "clear"} and {"keep", "fewest"} <= told.keys()
    assert "First closure 60 mm" in told["best"] and "First closure 60 mm" in told["keep"]
    drawn = rows_offered(state="cut pieces", made="false")
    keep = next(one for one in drawn.offers if one.kind == "keep")
    assert "First closure" not in " ".join(keep.placement.assumed) and keep.places_mm[0] == pytest.approx(60)
    best = next(one for one in drawn.offers if one.kind == "best")
    assert "First closure" in " ".join(best.placement.assumed)


PLAYSUIT = (
    '[garment]\nopens = "front"\nstate = "finished"\n[wearer]\nprofiles = ["child under three"]\n[edge]\n'
    'straight = "420 mm"\n[band]\nwidth = "30 mm"\nlap = "left over right"\n[closure]\nkind = "prong snap"\n'
    'size = "16 L"\n[swap]\nkind = "sew-through button"\nsize = "18 L"\nthickness = "2.5 mm"\nplaces = {places}\n'
    'hole = {{ way = "along", length = "15 mm", made = true }}\n{more}[[layer]]\ncloth = "interlock"\ncount = 2\n'
)


@pytest.mark.parametrize(
    ("gap", "more", "is_fewest"),
    [(50, "", True), (76, "", True), (100, "", False), (50, '[spacing]\npitch = "38 mm"\n', False)],
    ids=["gaps within the limit", "gaps that held till now", "gaps that gape", "gaps that are told"],
)
def test_fewer_closures_are_better_on_a_small_child_where_no_gap_is_too_wide(gap, more, is_fewest):
    """Our own rule: each is two holes more, and one thing more that comes off and is swallowed."""
    places = list(range(20, 330, gap))
    plan = read_plan(PLAYSUIT.format(places=places, more=more).encode(), "suit.toml")
    swap = make_swap(plan, edges_of(plan), CATALOGUE)
    least = min(len(offer.places_mm) for offer in swap.offers)
    assert (len(swap.offer.places_mm) == least) == is_fewest
    assert max(len(offer.places_mm) for offer in swap.offers) > least


def test_magnet_on_a_closed_band_has_its_washer_outside_and_no_button_over_it():
    row = old(hole='{ way = "along", length = 7, made = true }')
    refused = {
        no.name: no.why for no in swapped(row, new='[closure]\nkind = "magnetic snap"\nsize = "14 mm"\n').not_offered
    }
    assert "each washer lies on the outside" in refused["hidden under false buttons"]


@pytest.mark.parametrize(("kind", "size"), [("prong snap", "16 L"), ("sew-through button", "18 L")])
def test_closures_of_the_same_kind_that_stay_are_neither_bought_nor_set_again(kind: str, size: str):
    """A press set to where a snap sits breaks it; geometry."""
    hole = HOLE if "button" in kind else "{ made = true }"
    new = f'[closure]\nkind = "{kind}"\nsize = "{size}"\n' + ('hole = "along"\n' if "button" in kind else "")
    swap = swapped(old(kind, size, hole=hole), new=new)
    offer = offer_of(swap, "helper")
    (fresh,) = offer.added
    assert offer.placement.staying == {mark.n for mark in offer.placement.marks} - {fresh}
    assert {part.count for part in count_parts(offer.placement) if part.part != "patch behind an old hole"} == {1}
    told = advise(offer.placement, offer.findings, CATALOGUE, replace(swap, taken=offer.n)).order
    steps = " ".join(step.text for step in told.steps)
    assert f"at mark {fresh} of the over lap" in steps and not re.search(r"at marks \d", steps)
    assert not offer_of(swapped(), "keep").placement.staying


def test_offer_whose_gaps_are_far_wider_than_the_pitch_told_says_so():
    layers = '[[layer]]\ncloth = "leather 3 oz"\n'
    text = (
        '[edge]\nstraight = "560 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "40 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "leather post snap"\nsize = "20 L"\n[spacing]\npitch = "{pitch} mm"\n'
        f'{layers}[swap]\nkind = "leather post snap"\nsize = "20 L"\nfirst = "60 mm"\nlast = "80 mm"\ncount = 4\n'
        "hole = {{ made = true }}\n"
    )
    for pitch, is_told in ((90, True), (120, False)):
        plan = read_plan(text.format(pitch=pitch).encode(), "plan.toml")
        keep = offer_of(make_swap(plan, edges_of(plan, None), CATALOGUE), "keep")
        told = [one.text for one in keep.findings if one.rule == "kept places"]
        assert any("You told gaps of 90 mm; this offer has one of 140 mm" in one for one in told) == is_told


SAME_AGAIN = (
    '[edge]\nstraight = "560 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "{band} mm"\n'
    'lap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\npitch = "90 mm"\n'
    + LAYER
    + '[swap]\nkind = "{kind}"\nsize = "{old}"\n{more}first = "40 mm"\nlast = "60 mm"\ncount = 5\n'
    'hole = {{ way = "{way}", made = true }}\n'
)


def same_again(
    size: str, *, old: str = "", kind: str = "shank button", band: int = 40, way: str = "across", more: str = ""
):
    """A finished front whose buttons become buttons of that kind, of another size where an `old` one is told."""
    text = SAME_AGAIN.format(kind=kind, size=size, old=old or size, band=band, way=way, more=more)
    plan = read_plan(text.encode(), "plan.toml")
    return make_swap(plan, edges_of(plan, None), CATALOGUE)


@pytest.mark.parametrize("way", ["along", "across"])
def test_new_buttonholes_lie_as_the_old_ones_do_where_nothing_else_is_told(way: str):
    made = same_again("30 L", kind="sew-through button", way=way)
    assert made.offer.placement.plan.closure.hole == way
    # The button is the same, and so are the places that are kept: nothing sound is closed there.
    assert not [line for line in offer_of(made, "keep").changes if "Close buttonhole" in line]


def test_nothing_is_asked_for_where_every_closure_is_there_and_stays():
    # A narrow band and a thin stack would ask for wider laps and for backing, were these snaps new.
    text = (
        '[edge]\nstraight = "420 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "24 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "plastic snap"\nsize = "20"\n[spacing]\npitch = "70 mm"\n'
        '[[layer]]\ncloth = "interlock"\ncount = 2\n[swap]\nkind = "plastic snap"\nsize = "20"\nfirst = "20 mm"\n'
        'last = "40 mm"\ncount = {count}\nhole = {{ made = true }}\n[sheets]\nbacking = "as needed"\n'
    )
    plan = read_plan(text.format(count=6).encode(), "plan.toml")
    keep = offer_of(make_swap(plan, edges_of(plan, None), CATALOGUE), "keep")
    assert keep.changes == ("All 6 old places stay, and their closures with them: nothing is to be set.",)
    assert keep.placement.is_all_there
    assert back_laps(keep.placement, keep.findings, CATALOGUE) == ()


@pytest.mark.parametrize(("thickness", "is_same"), [("", True), ('thickness = "6 mm"\n', False)])
def test_old_buttonholes_of_the_same_button_are_taken_as_long_as_new_ones(thickness: str, is_same: bool):
    # One button goes through both, so that nobody sews a new hole shorter than its neighbours.
    made = same_again("32 L", more=thickness)
    assert made.buttonhole is not None
    assert (made.old.holes[0].length_mm == pytest.approx(made.buttonhole.length_mm)) == is_same


def test_a_larger_button_whose_buttonhole_has_no_room_across_is_not_held_to_the_old_way():
    made = same_again("28 L", old="20 L", band=30)
    assert made.offer.placement.plan.closure.hole == "along"
    assert made.cannot == ()


def test_nothing_is_bought_where_every_closure_is_there_and_stays():
    keep = offer_of(same_again("18 L", kind="sew-through button", way="along"), "keep")
    assert sum(part.total for part in count_parts(keep.placement)) == 0
    assert to_buy(keep) == ""


_JACKET = (
    '[edge]\nstraight = "520 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "45 mm"\n'
    'inset = "20 mm"\nlap = "left over right"\n[swap]\nkind = "{old}"\nsize = "{size}"\nfirst = "{first} mm"\n'
    'last = "60 mm"\ncount = 5\n{more}[closure]\nkind = "leather post snap"\nsize = "24 L"\n{spacing}'
    '[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
)


@pytest.mark.parametrize(("cloth", "room"), [("leather 3 oz", 8.0), ("oilcloth", 8.0), ("chino", 2.0)])
def test_new_parts_keep_clear_of_the_patch_that_holds_a_slit_shut(cloth: str, room: float) -> None:
    """Glued 5 mm past the slit it ends there, and 3 mm more keep a flange flat; a slit sewn shut has no patch."""
    hole = 'hole = { way = "across", length = "24 mm", made = true }\n'
    text = _JACKET.format(
        old="sew-through button",
        size="30 L",
        first=30,
        more=hole,
        spacing='[spacing]\nwidest = "110 mm"\n',
        cloth=cloth,
    )
    swap = place_plan(read_plan(text.encode(), "jacket.toml")).swap
    assert swap is not None
    clear = next(one for one in swap.offers if one.kind == "clear")
    rim = clear.placement.fastener.rim_mm
    lie = [hole.nearest_mm(on.at) - rim for hole in swap.old.holes for on in clear.placement.on(hole.lap)]
    assert min(lie) >= room - 1e-4 and not clear.overlaps
    assert any("5 mm past it all round" in text for text in clear.changes) == (room > 2.0)


def test_a_patch_on_the_outside_lies_under_the_whole_part_that_stands_beside_the_hole() -> None:
    # The hole lies 10 mm from the mark: the patch takes in the flange and 3 mm, 10 + 7.62 + 3 mm from its middle.
    text = _JACKET.format(
        old="leather post snap",
        size="20 L",
        first=30,
        more='take = "the best spacing there is"\n',
        spacing='[spacing]\ncount = 4\nfirst = "40 mm"\nlast = "70 mm"\n',
        cloth="leather 3 oz",
    )
    answer = place_plan(read_plan(text.encode(), "jacket.toml"))
    (step,) = [one.text for one in advice_of(answer).order.steps if one.key == "hide holes past"]
    assert "at least 42 mm along the line and 22 mm across (centred on the hole), under all of the part" in step
