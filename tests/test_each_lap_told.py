"""Where the halves of a mark lie unlike far along their own lines, or past an edge, everything that is handed on says so."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import ezdxf
import pytest

from closures.advice.of_sizes import advise_sizes
from closures.app.job import check_plan, cutter_files
from closures.app.sizing import check_sizes
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.guide import size_guide
from closures.drawing.extras.handover import _table
from closures.drawing.extras.stack_picture import stack_picture
from closures.drawing.ink.shapes import Words
from closures.jobs.table.handover import hand_over, handover_csv
from closures.placing.looped import loop_of
from closures.placing.tape import length_both_ways
from closures.plan.reading import read_plan
from closures.report.shopping import needed_by
from closures.report.sizes import parts_of_size
from closures.report.sizes_words import sizes_page, sizes_terminal

if TYPE_CHECKING:
    from closures.placing.placement import Placement

BACK = """
title = "Dove bodice"
units = "mm"
[garment]
opens = "back"
edges = "meeting"
pieces = "pair"
gap = "4 mm"
[edge]
{edge}
[band]
width = "26 mm"
lap = "right over left"
[closure]
{closure}
[spacing]
first = "16 mm"
last = "16 mm"
count = 8
[[layer]]
cloth = "cotton woven"
count = 2
"""
HOOKS = 'kind = "hook and eye"\nsize = "2"\ncap = "12 mm"'
LOOPS = 'kind = "loop and ball button"\nsize = "20 L"\nspare = 2\ntrial = 1\n[loop]\nfeet = 6'
LACED = 'kind = "eyelet"\nsize = "5.5 mm"\n[lacing]'
STRAIGHT = "straight = 390"
BENT = 'arc = { length = 380, radius = 300, bows = "out" }'


def bodice(closure: str = HOOKS, edge: str = STRAIGHT, more: str = "") -> Placement:
    return check_plan(read_plan(BACK.format(edge=edge, closure=closure) + more, "bodice.toml")).placement


def rows_of(placement: Placement, lap: str) -> list[dict[str, str]]:
    text = handover_csv(hand_over(placement, load_catalogue())).decode()
    return [row for row in csv.DictReader(io.StringIO(text)) if row["lap"] == lap]


def test_eyes_are_handed_over_as_lying_past_their_edge() -> None:
    placement = bodice()
    past = placement.laps.under.past_edge_mm
    assert past > 5.0
    assert [row["from_finished_edge_mm"] for row in rows_of(placement, "under")] == [f"{-past:.1f}"] * 8
    assert all(float(row["from_finished_edge_mm"]) > 0 for row in rows_of(placement, "over"))
    (lies,) = [line for line in hand_over(placement, load_catalogue()).measured if "square to it" in line]
    assert "inside the over lap's finished edge" in lies and "past the under lap's" in lies
    assert all(row[-2] == f"{past:.1f} past it" for row in _table(placement).rows)


def test_each_lap_is_handed_over_by_its_own_line_where_the_lines_differ() -> None:
    placement = bodice(edge=BENT)
    under = rows_of(placement, "under")
    for mark, row in zip(placement.marks, under, strict=True):
        assert mark.under is not None and row["from_first_end_mm"] == f"{mark.under.along_mm:.1f}"
    assert float(under[-1]["from_first_end_mm"]) - placement.marks[-1].along_mm > 5.0
    assert not any(row["level_mm"] for row in under) and all(row["level_mm"] for row in rows_of(placement, "over"))
    table = _table(placement)
    assert "under lap from neck, mm" in table.head
    own = table.head.index("under lap from neck, mm")
    assert table.rows[-1][own] == f"{placement.marks[-1].under.along_mm:.1f}"  # type: ignore[union-attr]
    (lies,) = [line for line in hand_over(placement, load_catalogue()).measured if "square to it" in line]
    assert lies.endswith("on the under lap: each lap is marked by its own figures.")


def test_halves_that_lie_alike_are_handed_over_by_one_column() -> None:
    placement = bodice()
    assert not any("lap from" in head for head in _table(placement).head)
    assert [row["level_mm"] for row in rows_of(placement, "under")] == [f"{m.level_mm:.1f}" for m in placement.marks]


def test_button_of_a_loop_is_handed_over_as_sewn_to_the_outside() -> None:
    placement = bodice(LOOPS)
    assert {row["face"] for row in rows_of(placement, "under")} == {"outside"}
    assert {row["parts"] for row in rows_of(placement, "under")} == {"button"}


SIZED = """
[sizes]
names = ["8", "10", "12"]
base = "10"
grade = [["0 mm", "0 mm"], ["0 mm", "10 mm"]]
"""


def test_sizes_of_a_bent_meeting_edge_have_figures_for_either_lap() -> None:
    sizes = check_sizes(read_plan(BACK.format(edge=BENT, closure=HOOKS) + SIZED, "bodice.toml"))
    assert sizes.marked_by == ("over", "under")
    page = sizes_page(sizes, advise_sizes(sizes)).decode()
    assert "Both laps are marked from the same figures" not in page and "Each lap has a table of its own." in page
    of_under = page.split("to each mark, under lap, mm")[1].split("##")[0]
    for size in sizes.placed:
        last = size.placement.marks[-1].under
        assert last is not None and abs(last.along_mm - size.placement.marks[-1].along_mm) > 1.0
        assert f"{last.along_mm:.1f}".removesuffix(".0") in of_under
    told = repr(size_guide(sizes, parts_of_size))
    assert "Each lap has tables of its own." in told and "under lap, mm" in told
    assert "lies on top (over lap)" not in told and "neither lies on top" in told


def test_sizes_whose_halves_lie_alike_have_one_table() -> None:
    sizes = check_sizes(read_plan(BACK.format(edge=STRAIGHT, closure=HOOKS) + SIZED, "bodice.toml"))
    assert sizes.marked_by == ("over",)
    assert "Both laps are marked from the same figures." in sizes_page(sizes, advise_sizes(sizes)).decode()


@pytest.mark.parametrize(("closure", "what"), [(LACED, "lace"), (LOOPS, "cord for loops")])
def test_what_sizes_take_by_length_is_told_for_each(closure: str, what: str) -> None:
    sizes = check_sizes(read_plan(BACK.format(edge=STRAIGHT, closure=closure) + SIZED, "bodice.toml"))
    assert f"; {what}: " in sizes_terminal(sizes, width=10_000)
    rows = [line for line in sizes_page(sizes, advise_sizes(sizes)).decode().splitlines() if line.endswith(" mm |")]
    assert len(rows) == len(sizes.placed) + 1 and what in sizes_page(sizes, advise_sizes(sizes)).decode()
    assert dict(parts_of_size(sizes.base))[what].endswith(" mm")


def test_cord_of_loops_is_in_the_list_of_all_openings() -> None:
    """What is bought by its length is in the one list, as laces and tapes are: 8 loops, 2 spare and 1 for a trial."""
    placement = bodice(LOOPS)
    (cord,) = [one.part for one in needed_by(placement, "back") if "cord" in one.part]
    loop = loop_of(placement)
    assert loop is not None and cord == f"{length_both_ways(11 * loop.cut_mm, 'mm')} of cord for loops"


def test_cutter_drills_nothing_for_an_eye_or_a_loop_and_notches_the_edge() -> None:
    """Layers as ASTM D6673 numbers them, from memory: 4 notches, 8 lines inside, 13 drill holes; read with ezdxf."""
    for closure, lap, notches in ((HOOKS, "under", 8), (LOOPS, "over", 16)):
        answer = check_plan(read_plan(BACK.format(edge=STRAIGHT, closure=closure), "bodice.toml"))
        files = cutter_files(answer)
        other = "over" if lap == "under" else "under"
        block = ezdxf.read(io.StringIO(files[f"{lap}.dxf"].decode())).blocks[lap.upper()]
        assert not block.query('POINT[layer=="13"]') and len(block.query('POINT[layer=="8"]')) == 8
        cut = block.query('LINE[layer=="4"]')
        assert len(cut) == notches
        edge, cloth = answer.placement.laps[lap].edge, answer.placement.laps[lap]  # type: ignore[index]
        for one in cut:
            start, end = ((p.x, -p.y) for p in (one.dxf.start, one.dxf.end))
            assert edge.nearest(start).distance_mm < 1e-3
            assert cloth.inner is not None
            assert cloth.inner.nearest(end).distance_mm == pytest.approx(cloth.inner.nearest(start).distance_mm - 3.0)
        opposite = ezdxf.read(io.StringIO(files[f"{other}.dxf"].decode())).blocks[other.upper()]
        assert len(opposite.query('POINT[layer=="8"]')) == 8 and not opposite.query('LINE[layer=="4"]')


CUT = """
[edge]
points = [[0, 0], [{sign}6, 150], [{sign}14, 300], [{sign}12, 450], [{sign}20, 600]]
{shows}
[garment]
opens = "front"
pieces = "pair"
[band]
width = "36 mm"
lap = "right over left"
cut = "shaped"
seen_from = "{seen}"
[closure]
{closure}
[spacing]
count = 8
"""


def cutter_points(text: str) -> dict[str, dict[str, list[tuple[float, float]]]]:
    """By lap and layer, the points of the files for a cutter, read with ezdxf; y down."""
    files = cutter_files(check_plan(read_plan(text, "front.toml")))
    found: dict[str, dict[str, list[tuple[float, float]]]] = {"over": {}, "under": {}}
    for lap, layers in found.items():
        for one in ezdxf.read(io.StringIO(files[f"{lap}.dxf"].decode())).blocks[lap.upper()].query("POINT"):
            layers.setdefault(one.dxf.layer, []).append((one.dxf.location.x, -one.dxf.location.y))
    return found


@pytest.mark.parametrize(
    ("closure", "over", "under"),
    [
        pytest.param('kind = "post snap"\nsize = "24 L"', "13", "13", id="post"),
        pytest.param('kind = "eyelet"\nsize = "5.5 mm"', "13", "13", id="eyelet"),
        pytest.param('kind = "tack button"\nsize = "27 L"', "8", "13", id="tack button and its buttonhole"),
        pytest.param('kind = "prong snap"\nsize = "16 L"', "8", "8", id="prongs"),
        pytest.param('kind = "sew-on snap"\nsize = "1"', "8", "8", id="sewn on"),
        pytest.param('kind = "sew-through button"\nsize = "18 L"\nthickness = "3 mm"', "8", "8", id="button"),
    ],
)
def test_cutter_drills_only_where_setting_a_part_cuts_a_hole(closure: str, over: str, under: str) -> None:
    """A hole on the outside of what is sewn inside, or within a ring of prongs, could not be undone: common practice."""
    found = cutter_points(CUT.format(sign="", shows="", seen="outside", closure=closure))
    assert {lap: {layer: len(spots) for layer, spots in found[lap].items()} for lap in found} == {
        "over": {over: 8},
        "under": {under: 8},
    }


@pytest.mark.parametrize(
    ("seen", "shows"),
    [("inside", ""), ("outside", 'shows = "under"')],
    ids=["drawn from inside", "the under lap's piece drawn"],
)
def test_files_for_a_cutter_show_each_lap_from_outside_however_it_was_drawn(seen: str, shows: str) -> None:
    """A shape drawn from its other face is its mirror image: geometry. The cloth is the same, and so are its files."""
    kind = 'kind = "prong snap"\nsize = "16 L"'
    plain = cutter_points(CUT.format(sign="", shows="", seen="outside", closure=kind))
    turned = cutter_points(CUT.format(sign="-", shows=shows, seen=seen, closure=kind))
    for lap in ("over", "under"):
        for one, other in zip(plain[lap]["8"], turned[lap]["8"], strict=True):
            assert one == pytest.approx(other, abs=1e-4)


@pytest.mark.parametrize(("closure", "part", "is_inside"), [(HOOKS, "round eye", True), (LOOPS, "button", False)])
def test_picture_of_the_parts_draws_a_half_on_the_face_that_it_is_sewn_to(
    closure: str, part: str, is_inside: bool
) -> None:
    """An eye was drawn on the outside of a back, where its stitches would show; outside is on top in the picture."""
    words = [one for one in stack_picture(bodice(closure)).items if isinstance(one, Words)]
    heading = next(one.y for one in words if one.text.startswith("UNDER LAP"))
    (own,) = [one.y for one in words if one.text == part and one.y > heading]
    cloth = next(one.y for one in words if one.text.startswith("2 × cotton woven") and one.y > heading)
    assert (own > cloth) == is_inside
