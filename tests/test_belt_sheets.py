"""The sheets of belts and rows, read back: marks from the tip, outlines, breaks, pairs, whole straps."""

import json
import math
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest
from paper_sets import leaves
from shapely import LineString
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import load_plan, place_plan, result_files
from closures.drawing.cover import closures_in_words
from closures.drawing.ink.apart import crossings
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.room import points_on
from closures.drawing.ink.shapes import CUT, FINE, FOLD, HEAVY, LINE, Group, Words
from closures.drawing.ink.shapes import Path as Stroke
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.signs import sign_of
from closures.drawing.sheets.strap_drawing import draw_end, whole_end
from closures.drawing.sheets.strap_sheet import strap_ends
from closures.drawing.sheets.strap_words import strap_rows
from closures.errors import ClosureError
from closures.lengths import parse_length_mm
from closures.plan.reading import read_plan

SVG = "{http://www.w3.org/2000/svg}"
TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
BELT = """
title = "Belt"
[belt]
target = "760 mm"
width = "38 mm"
thickness = "3.2 mm"
settings = 5
step = "25 mm"
caps = ["20 mm", "70 mm"]
free = "30 mm"
allowance = "10 mm"
"""
SNAP = '[closure]\nkind = "prong snap"\nsize = "16 L"\ngrip = ["1 mm", "4 mm"]\n'
ROW = '[row]\nlength = "760 mm"\nheight = "40 mm"\nover = [["20 mm", "12 mm"]]\nunder = [["30 mm", "12 mm"], ["60 mm", "12 mm"]]\n'


def answer_of(text, face="outside", whole=False):
    return place_plan(read_plan((text + SNAP).encode(), "belt.toml"), None, face, whole=whole)


def drawn(answer, file):
    """Centres by mark, the finished edge's points, and all words of one sheet."""
    root = ElementTree.fromstring(result_files(answer, "a4")[file])
    centres, words = {}, []
    for group in root.iter(f"{SVG}g"):
        name = group.get("id", "")
        if name.partition("-")[2].isdigit():
            (circle,) = [c for c in group.iter(f"{SVG}circle") if c.get("class") == "centre"]
            centres[int(name.partition("-")[2])] = (float(circle.get("cx")), float(circle.get("cy")))
        if group.get("class") == "words":
            words.append(group.find(f"{SVG}title").text)
    (strap,) = [group for group in root.iter(f"{SVG}g") if group.get("id") == "strap"]
    outlines = {
        width: [points(p.get("d")) for p in strap.iter(f"{SVG}path") if p.get("stroke-width") == width]
        for width in ("0.7", "0.35", "0.5")
    }
    return centres, outlines, words


def points(data):
    """The points of a path of moves, lines and curves, control points left out."""
    found = []
    for part in data.replace("M", "|M").replace("L", "|L").replace("C", "|C").replace("Z", "|Z").split("|"):
        if part and part[0] in "MLC":
            numbers = [float(v) for v in part[1:].replace(",", " ").split()]
            found.append(tuple(numbers[-2:]))
    return found


@pytest.mark.parametrize(("lap", "way"), [("right over left", 1), ("left over right", -1)])
@pytest.mark.parametrize("face", ["outside", "inside"])
def test_marks_stand_at_their_distances_from_the_drawn_tip(lap, way, face):
    answer = answer_of(BELT + f'lap = "{lap}"\n', face)
    told = {"over.svg": {5: 20, 3: 70}, "under.svg": {n: 30 + 25 * (n - 1) for n in range(1, 8)}}
    turned = way if face == "outside" else -way
    for file, distances in told.items():
        centres, outlines, _ = drawn(answer, file)
        (edge,) = outlines["0.7"]
        points_right = (turned == 1) == (file == "over.svg")
        xs = [x for x, _ in edge]
        tip = max(xs) if points_right else min(xs)
        middle = (min(y for _, y in edge) + max(y for _, y in edge)) / 2
        assert max(y for _, y in edge) - min(y for _, y in edge) == pytest.approx(38, abs=1e-3)
        assert {n: abs(x - tip) for n, (x, _) in centres.items()} == pytest.approx(distances, abs=1e-3)
        assert [y for _, y in centres.values()] == pytest.approx([middle] * len(centres), abs=1e-3)


def test_cut_line_lies_outside_the_finished_edge_by_the_allowances():
    _, outlines, _ = drawn(answer_of(BELT + 'under_allowance = "25 mm"\n'), "under.svg")
    (edge,) = outlines["0.7"]
    cut = max(outlines["0.35"], key=lambda line: max(x for x, _ in line) - min(x for x, _ in line))
    assert min(y for _, y in edge) - min(y for _, y in cut) == pytest.approx(10, abs=1e-3)
    assert max(y for _, y in cut) - max(y for _, y in edge) == pytest.approx(10, abs=1e-3)
    assert min(x for x, _ in edge) - min(x for x, _ in cut) == pytest.approx(25, abs=1e-3)


@pytest.mark.parametrize("ends", ["pointed", "rounded"])
def test_cut_line_of_a_shaped_tip_keeps_its_distance(ends):
    """Every point of the cut line is the allowance away; a point is blunted where it would stand out further."""
    _, outlines, _ = drawn(answer_of(BELT + f'ends = "{ends}"\n'), "over.svg")
    (edge,) = outlines["0.7"]
    cut = max(outlines["0.35"], key=lambda line: max(x for x, _ in line) - min(x for x, _ in line))
    top, bottom = min(y for _, y in edge), max(y for _, y in edge)
    # Where the tip begins: half a width short of it, for either shape.
    shoulder, middle = max(x for x, y in edge if abs(y - top) < 1e-6), (top + bottom) / 2
    if ends == "pointed":
        assert max(edge) == pytest.approx((shoulder + 19, middle), abs=1e-3)
        assert max(x for x, _ in cut) == pytest.approx(shoulder + 19 + 10, abs=1e-3)
        (x0, y0), (x1, y1) = sorted(point for point in cut if point[1] < middle)[-2:]
        # The slanting part of the cut line: its distance from the tip, which lies on the finished slant.
        across = abs((x1 - x0) * (middle - y0) - (y1 - y0) * (shoulder + 19 - x0))
        assert across / math.dist((x0, y0), (x1, y1)) == pytest.approx(10, abs=1e-3)
    else:
        round_it = [point for point in cut if point[0] > shoulder]
        assert [math.dist(p, (shoulder, middle)) for p in round_it] == pytest.approx([29] * len(round_it), abs=2e-3)
        assert len(round_it) > 2


SHIRT_CUFF = (
    'title = "Two-button cuffs"\n[row]\npiece = "cuff"\npair = true\nlength = "240 mm"\nheight = "70 mm"\n'
    'over = [["14 mm", "18 mm"], ["14 mm", "52 mm"]]\nunder = [["14 mm", "18 mm"], ["14 mm", "52 mm"]]\n'
    'allowance = "10 mm"\nends = "rounded"\n[closure]\nkind = "sew-through button"\nsize = "16 L"\n'
    '[[layer]]\ncloth = "poplin"\ncount = 2\n'
)


def cuff_of(text):
    return place_plan(read_plan(text.encode(), "cuff.toml"))


@pytest.mark.parametrize(("corner", "radius"), [("", 15.0), ('corner = "22 mm"\n', 22.0), ('corner = "35 mm"\n', 35.0)])
def test_cuff_is_rounded_at_its_corners_and_cut_at_its_distance_from_them(corner, radius):
    """Common practice: a shirt cuff is rounded at its two corners, and only a tab ends in half a circle."""
    answer = cuff_of(SHIRT_CUFF.replace('ends = "rounded"\n', f'ends = "rounded"\n{corner}'))
    _, outlines, _ = drawn(answer, "over.svg")
    (edge,) = outlines["0.7"]
    cut = max(outlines["0.35"], key=lambda line: max(x for x, _ in line) - min(x for x, _ in line))
    top, bottom = min(y for _, y in edge), max(y for _, y in edge)
    tip = max(x for x, _ in edge)
    shoulder = max(x for x, y in edge if abs(y - top) < 1e-6)
    assert bottom - top == pytest.approx(70, abs=1e-3) and tip - shoulder == pytest.approx(radius, abs=1e-3)
    straight = [y for x, y in edge if tip - x < 1e-3]
    assert max(straight) - min(straight) == pytest.approx(70 - 2 * radius, abs=1e-2)
    # Each corner of the cut line runs round the same centre, the allowance further out.
    for centre, low, high in ((top + radius, -math.inf, top + radius), (bottom - radius, bottom - radius, math.inf)):
        round_it = [p for p in cut if p[0] > shoulder + 1e-6 and (p[1] < high - 1e-6) and (p[1] > low + 1e-6)]
        assert round_it
        assert [math.dist(p, (shoulder, centre)) for p in round_it] == pytest.approx(
            [radius + 10] * len(round_it), abs=2e-3
        )


def test_two_buttons_of_an_ordinary_cuff_have_cloth_enough_at_its_corners():
    placed = cuff_of(SHIRT_CUFF)
    failed = [one.text for one in placed.findings if one.result == "fail"]
    assert failed == []
    # 14 mm from the tip and 18 mm from the long side; the corner of 15 mm begins 15 mm from that side.
    marks = placed.placement.on("over")
    assert [mark.to_end_mm for mark in marks] == pytest.approx([14, 14], abs=1e-6)
    half = cuff_of(SHIRT_CUFF.replace('ends = "rounded"\n', 'ends = "rounded"\ncorner = "35 mm"\n'))
    # Of half a circle, sqrt(21^2 + 17^2) from its centre: 35 - 27.019 mm to the edge.
    assert [mark.to_end_mm for mark in half.placement.on("over")] == pytest.approx(
        [35 - math.hypot(21, 17)] * 2, abs=1e-3
    )
    told = "\n".join(placed.placement.strap.notes)
    assert "rounded at its two corners, 15 mm in radius" in told
    assert "half a circle, 35 mm in radius" in "\n".join(half.placement.strap.notes)


def test_tab_that_tells_no_corner_ends_in_half_a_circle_as_before():
    answer = cuff_of(SHIRT_CUFF.replace('"cuff"', '"bib"').replace("pair = true\n", ""))
    assert "half a circle, 35 mm in radius" in "\n".join(answer.placement.strap.notes)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (
            'ends = "rounded"\ncorner = "36 mm"\n',
            r"two corners of 36 mm \(1 7/16 in\) have no room on 70 mm \(2 3/4 in\) of height",
        ),
        ('corner = "15 mm"\n', r"only a rounded tip has such corners"),
        ('ends = "pointed"\ncorner = "15 mm"\n', r"only a rounded tip has such corners"),
    ],
)
def test_corner_that_the_tip_has_no_room_or_no_use_for_is_refused(told, said):
    with pytest.raises(ClosureError, match=said):
        cuff_of(SHIRT_CUFF.replace('ends = "rounded"\n', told))


def test_length_left_out_and_both_ends_make_the_whole_strap():
    answer = answer_of(BELT)
    drawn_mm, told = 0.0, set()
    for file in ("over.svg", "under.svg"):
        _, outlines, words = drawn(answer, file)
        (edge,) = outlines["0.7"]
        drawn_mm += max(x for x, _ in edge) - min(x for x, _ in edge)
        (at,) = [i for i, text in enumerate(words) if text.startswith("left out")]
        near = [text for text in words[at - 1 : at + 2] if " · " in text]
        told |= {parse_length_mm(near[0].split(" · ")[0])}
    assert len(told) == 1
    assert drawn_mm + told.pop() == pytest.approx(910, abs=0.05)


def test_strap_on_a_roll_is_drawn_whole():
    answer = answer_of(BELT, whole=True)
    for file in ("over.svg", "under.svg"):
        _, outlines, words = drawn(answer, file)
        xs = [x for edge in outlines["0.7"] for x, _ in edge]
        assert max(xs) - min(xs) == pytest.approx(910, abs=1e-3)
        assert not any(text.startswith("left out") for text in words)


def test_short_strap_is_drawn_whole():
    answer = answer_of('[row]\nlength = "220 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "33 mm"]\n')
    _, outlines, words = drawn(answer, "over.svg")
    xs = [x for edge in outlines["0.7"] for x, _ in edge]
    assert max(xs) - min(xs) == pytest.approx(220, abs=1e-3)
    assert "marked apart" in words


def test_folded_strap_shows_its_fold_and_no_cut_there():
    _, outlines, words = drawn(answer_of(BELT + 'made = "folded"\n'), "under.svg")
    # Dotted, as in the key: the closing line and the middle are dashes with a dot between.
    assert FOLD.dash_mm[0] < CUT.dash_mm[0] and sign_of("fold")[0][0].pen == FOLD
    (fold,) = outlines["0.5"]
    assert len({y for _, y in fold}) == 1
    cut = max(outlines["0.35"], key=lambda line: max(x for x, _ in line) - min(x for x, _ in line))
    assert min(y for _, y in cut) == pytest.approx(fold[0][1], abs=1e-3)
    assert "upper edge, on the fold" in words


@pytest.mark.parametrize("ends", ["square", "rounded", "pointed"])
@pytest.mark.parametrize(
    ("piece", "fold", "sewn"),
    [("cuff", "lower", "upper"), ("waistband", "upper", "lower"), ("collar", "upper", "lower")],
)
def test_fold_lies_across_from_the_edge_that_is_sewn_to_the_garment(piece: str, fold: str, sewn: str, ends: str):
    """A cuff hangs from its sleeve, folded at the wrist; waistband and collar stand on theirs: common practice."""
    text = (
        f'[row]\npiece = "{piece}"\nlength = "230 mm"\nheight = "70 mm"\nends = "{ends}"\nmade = "folded"\n'
        'over = [["14 mm", "20 mm"]]\nunder = [["14 mm", "20 mm"]]\nallowance = "10 mm"\n'
    )
    for file in ("over.svg", "under.svg"):
        marks, outlines, words = drawn(answer_of(text), file)
        ((_, mark),) = marks.values()
        # The mark lies 20 mm up from the lower edge, and 50 mm down from the upper; down is more on a sheet.
        lower, upper = mark + 20.0, mark - 50.0
        assert {y for line in outlines["0.5"] for _, y in line} and all(
            y == pytest.approx(lower if fold == "lower" else upper, abs=2e-3)
            for line in outlines["0.5"]
            for _, y in line
        )
        cuts = [y for line in outlines["0.35"] for _, y in line]
        assert max(cuts) == pytest.approx(lower if fold == "lower" else lower + 10.0, abs=2e-3)
        assert min(cuts) == pytest.approx(upper if fold == "upper" else upper - 10.0, abs=2e-3)
        assert f"{fold} edge, on the fold" in words and f"{sewn} edge" in words


def test_under_end_says_what_each_setting_closes_at():
    _, _, words = drawn(answer_of(BELT), "under.svg")
    assert [text for text in words if text.startswith("closes")] == [
        f"closes {mm} mm" for mm in (810, 785, 760, 735, 710)
    ]
    assert "setting 3, on mark 5, worn: 760 mm / 29 15/16 in" in " ".join(words)


def test_heights_are_told_from_the_lower_edge():
    answer = answer_of(ROW)
    centres, outlines, words = drawn(answer, "under.svg")
    (edge,) = outlines["0.7"]
    assert max(y for _, y in edge) - centres[1][1] == pytest.approx(12, abs=1e-3)
    assert words.count("12 mm up") == 2


def test_every_size_has_its_own_length_left_out():
    text = BELT.replace('target = "760 mm"', 'sizes = { S = "650 mm", M = "700 mm", L = "760 mm" }')
    _, _, words = drawn(answer_of(text), "over.svg")
    told = {
        line.partition(":")[0]: parse_length_mm(line.partition(": ")[2].split(" · ")[0])
        for line in words
        if line[:3] in ("S: ", "M: ", "L: ") and " · " in line
    }
    # Of a smaller size the lap's own thickness takes a little more: 3.2 * 130 (1 / R - 1 / R'), about 0.3 mm.
    assert told["M"] - told["S"] == pytest.approx(50 - 0.3, abs=0.11)
    assert told["L"] - told["M"] == pytest.approx(60 - 0.3, abs=0.11)
    assert any(line.startswith("S: cut 2, ") for line in words)


def test_pair_is_drawn_left_and_right_mirrored():
    plan = TEMPLATES / "cuff" / "plan.toml"
    answer = place_plan(load_plan(plan), plan)
    written = result_files(answer, "a4")
    sheets = {sheet["file"]: sheet for sheet in json.loads(written["report.json"])["sheets"]}
    assert list(sheets) == ["over.svg", "under.svg", "over-right.svg", "under-right.svg"]
    for lap in ("over", "under"):
        left, _, left_words = drawn(answer, f"{lap}.svg")
        right, _, right_words = drawn(answer, f"{lap}-right.svg")
        for n, (x, y) in left.items():
            ox, oy = sheets[f"{lap}.svg"]["origin_mm"]
            mirrored_ox, mirrored_oy = sheets[f"{lap}-right.svg"]["origin_mm"]
            assert right[n] == pytest.approx((mirrored_ox - (x - ox), y - oy + mirrored_oy), abs=1e-3)
        assert any(text.startswith("WEARER'S LEFT CUFF") for text in left_words)
        assert any(text.startswith("WEARER'S RIGHT CUFF") for text in right_words)
    text = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(written["marking.pdf"]))
    assert "WEARER'S LEFT CUFF, UNDER END" in text and "WEARER'S RIGHT CUFF, OVER END" in text


def test_side_that_is_not_told_is_not_named():
    _, _, words = drawn(answer_of(BELT), "over.svg")
    assert not any("wearer" in text for text in words)
    _, _, words = drawn(answer_of(BELT + 'lap = "left over right"\n'), "over.svg")
    assert "OVER END — wearer's left — outside face up" in words


@pytest.mark.parametrize("name", ["sash-belt", "waistband", "bib"])
def test_both_ends_fit_a_page_each(name):
    plan = TEMPLATES / name / "plan.toml"
    written = result_files(place_plan(load_plan(plan), plan), "a4")
    assert len(pypdfium2.PdfDocument(written["marking.pdf"])) == 2
    assert written == result_files(place_plan(load_plan(plan), plan), "a4")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("ends", "made", "width", "allowance"),
    [
        (e, m, w, a)
        for e in ("square", "pointed", "rounded")
        for m in ("two pieces", "folded")
        for w in (16, 120)
        for a in (0, 1, 15)
    ],
)
def test_strap_of_any_shape_is_drawn(ends, made, width, allowance):
    text = BELT.replace("38 mm", f"{width} mm").replace('allowance = "10 mm"', f'allowance = "{allowance} mm"')
    for whole in (False, True):
        answer = answer_of(text + f'ends = "{ends}"\nmade = "{made}"\n', whole=whole)
        centres, outlines, _ = drawn(answer, "over.svg")
        assert sorted(centres) == [3, 5]
        tops = [p for edge in outlines["0.7"] for p in edge]
        assert max(y for _, y in tops) - min(y for _, y in tops) <= width + 1e-6


def cover_of(text):
    """The words of the first page of the templates, in one line."""
    page = pypdfium2.PdfDocument(result_files(answer_of(text), "a4")["marking.pdf"])[0]
    return " ".join(page.get_textpage().get_text_range().split())


def test_cover_cuts_cloth_on_the_outer_line_and_paper_on_the_inner():
    cover = cover_of(BELT)
    assert "have two lines, 10 mm apart: cut the cloth on the outer, thin one, while the paper is whole." in cover
    assert "cut the paper on the inner, heavy one" in cover and "Cut along the finished edge" not in cover
    assert "cut line: cut cloth here" in cover and "finished edge: cut paper here" in cover
    bare = cover_of(BELT.replace("10 mm", "0 mm"))
    assert "two lines" not in bare and "Cut along the finished edge" in bare and "cut cloth here" not in bare
    assert "thin one, its fold on the fold, while" in cover_of(BELT + 'made = "folded"\n')


def test_cover_tells_what_a_zigzag_of_a_strap_leaves_out():
    cover = cover_of(BELT)
    assert "up to the other end's zigzag. Lay each end by its own tip" in cover and "broken off, by the" in cover
    short = cover_of('[row]\nlength = "220 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "33 mm"]\n')
    assert "zigzag" not in short and "broken off" not in short


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", ["sash-belt", "waistband", "cuff"])
def test_lower_edge_has_an_arrow_to_the_finished_edge_and_no_figure_stands_alone(name, large):
    text = (TEMPLATES / name / "plan.toml").read_text() + ("\n[sheets]\nlarge = true\n" if large else "")
    answer = place_plan(read_plan(text.encode(), "belt.toml"), None)
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue):
        for end in strap_ends(subject, whole=False)[:2]:
            items = [item for group in draw_end(end, whole_end(end), ()).items for item in leaves((group,))]
            at = next(k for k, item in enumerate(items) if isinstance(item, Words) and item.text == "lower edge")
            head = items[at - 1]
            tip_y = head.commands[0][2]
            # The head is drawn from its tip: on the edge, or just above it.
            assert end.at(0, end.half)[1] - 1.5 * end.subject.type.figure < tip_y <= end.at(0, end.half)[1] + 1e-6
            told = [item.text for item in items if isinstance(item, Words)]
            assert any("allowance" in one for one in told)
            marked = {text for mark in end.carried() for text in both_ways(mark.from_tip_mm, end.subject.units)}
            assert both_ways(end.strap.allowance_mm, end.subject.units)[0] not in set(told) - marked


@pytest.mark.parametrize("name", ["bib", "sash-belt", "waistband", "cuff"])
def test_large_letters_of_a_strap_are_placed_and_read_back(name, tmp_path):
    """A number in the middle above its lines stood 10 mm off its leader, and the finished sheets were refused."""
    out = tmp_path / "out"
    done = CliRunner().invoke(app, ["place", str(TEMPLATES / name / "plan.toml"), "--large", "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert (out / "marking.pdf").is_file()


def test_cover_counts_the_closures_of_each_end_and_not_of_this_end() -> None:
    plan = load_plan(TEMPLATES / "cuff" / "plan.toml")
    told = closures_in_words(place_plan(plan, TEMPLATES / "cuff" / "plan.toml").sheets)
    assert told == (
        "prong snap 15 L, 9.5 mm across · 1 on the over end",
        "prong snap 15 L, 9.5 mm across · 2 on the under end",
    )
    front = place_plan(load_plan(TEMPLATES / "duvet-foot" / "plan.toml"), TEMPLATES / "duvet-foot" / "plan.toml")
    (row,) = closures_in_words(front.sheets)
    assert row.endswith(" on each lap")


def test_words_under_the_marks_of_a_strap_stand_well_apart() -> None:
    beside = TEMPLATES / "bib" / "plan.toml"
    under = next(sheet for sheet in place_plan(load_plan(beside), beside).sheets if sheet.lap == "under")
    words = [one for one in leaves(under.drawing) if isinstance(one, Words)]
    figures = {"16 mm", "36 mm", "56 mm"}
    closes = [
        [one for one in words if one.text == "closes"],
        [one for one in words if re.fullmatch("2[579]8 mm", one.text)],
    ]
    for row in closes:
        boxes = sorted(box_of(one) for one in row)
        assert len(boxes) == 3 and all(b[0] - a[2] > 1.6 for a, b in pairwise(boxes))
    # Each number with its figure, then the next number.
    numbered = [one for one in words if one.text in figures or (one.text.isdigit() and one.weight == "bold")]
    named = sorted((box_of(one), one.text) for one in numbered)
    assert [text for _, text in named] == ["1", "16 mm", "2", "36 mm", "3", "56 mm"]
    assert all(b[0] - a[2] > 1.6 for (a, _), (b, _) in list(pairwise(named))[1::2])


def test_no_page_of_a_strap_calls_an_end_a_lap():
    told = answer_of(BELT + "[sheets]\ncoupon = true\norder = true\n\n")
    pages = pypdfium2.PdfDocument(result_files(told, "a4")["marking.pdf"])
    text = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    assert "prong ring, over end" in text and "OVER END" in text and "trial" in text
    assert not re.findall(r"(?i).{0,30}\blaps?\b.{0,20}", text)


CUFF = '[row]\npiece = "cuff"\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "{second}"]\n'
CUFF += 'allowance = "10 mm"\n[closure]\nkind = "prong snap"\nsize = "15 L"\n[sheets]\nlarge = true\n'
NARROW = '[row]\npiece = "strap"\nlength = "300 mm"\nheight = "20 mm"\nover = ["14 mm", "30 mm"]\n'
NARROW += 'under = ["14 mm", "30 mm", "46 mm", "62 mm", "78 mm"]\nallowance = "8 mm"\n'
NARROW += '[closure]\nkind = "plastic snap"\nsize = "16"\n[sheets]\nlarge = true\n'


def ends_drawn(text):
    """Both ends of a strap, each with its drawing, and the words of all pages: a cover may take two."""
    answer = place_plan(read_plan(text.encode(), "strap.toml"))
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    ends = strap_ends(subjects_of(answer.placement, answer.findings, answer.catalogue)[0], whole=False)
    drawings = {end.lap.name: (end, draw_end(end, whole_end(end), strap_rows(end, whole_end(end), ""))) for end in ends}
    return drawings, " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


@pytest.mark.parametrize("second", ["33 mm", "25 mm"])
def test_number_outlasts_the_cutting_where_its_figures_cannot(second):
    drawings, cover = ends_drawn(CUFF.format(second=second))
    end, drawing = drawings["under"]
    heads = [one for one in leaves(drawing.items) if isinstance(one, Words) and one.text in ("1", "2")]
    assert len(heads) == 2 and all(end.holds(box_of(one)) for one in heads)
    assert not any("number" in one for _, each in drawings.values() for one in each.cut_off)
    assert "under end: number" not in cover


def test_cover_lists_what_is_cut_off():
    drawings, cover = ends_drawn(NARROW)
    end, drawing = drawings["under"]
    assert drawing.cut_off == ("numbers 1, 2, 3, 4, 5", "its name", "which face is up")
    assert "are cut off: over end: number" in cover and "under end: numbers 1, 2, 3, 4, 5" in cover
    rows = {}
    for one in leaves(drawing.items):
        if (
            isinstance(one, Words)
            and one.text[0].isdigit()
            and " · " not in one.text
            and one.text.endswith((" in", " mm"))
        ):
            rows.setdefault(round(one.y, 1), []).append(box_of(one))
    gap = width_of("  ", end.subject.type.figure)
    near = [(a, b, gap) for boxes in rows.values() for a, b in pairwise(sorted(boxes)) if b[0] - a[2] < gap - 0.05]
    assert not near


FOUR_ON_A_CUFF = """
title = "Deep cuffs"
units = "in"
[row]
piece = "cuff"
pair = true
length = "9 1/2 in"
height = "2 1/4 in"
over = [["1/2 in", "5/8 in"], ["1/2 in", "1 5/8 in"]]
under = [["1/2 in", "5/8 in"], ["1/2 in", "1 5/8 in"], ["1 1/4 in", "5/8 in"], ["1 1/4 in", "1 5/8 in"]]
allowance = "3/8 in"
[closure]
kind = "sew-through button"
size = "16 L"
[[layer]]
cloth = "oxford"
count = 2
"""


def test_each_mark_of_two_rows_tells_the_length_that_its_setting_has_on_the_cover():
    """The cover named mark 1 of a setting, the sheet told the length at mark 2 alone."""
    answer = place_plan(read_plan(FOUR_ON_A_CUFF.encode(), "cuff.toml"), None, "outside")
    _, _, said = drawn(answer, "under.svg")
    assert [one for one in said if one == "closes"] == ["closes"] * 4
    assert said.count("8 1/2 in") == said.count("7 3/4 in") == 2
    told = [
        row
        for sheet in answer.sheets
        for name, rows in sheet.text.blocks
        if name.startswith("Closes at")
        for row in rows
    ]
    assert "setting 1, on marks 1 and 2, worn: 8 1/2 in / 215.9 mm" in told
    assert "setting 2, on marks 3 and 4: 7 3/4 in / 196.9 mm" in told


def test_leaders_of_marks_in_two_rows_cross_no_other_and_reach_no_figures_by_another_mark():
    answer = place_plan(read_plan(FOUR_ON_A_CUFF.encode(), "cuff.toml"), None, "outside")
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue):
        for end in strap_ends(subject, whole=False)[:2]:
            drawing = draw_end(end, whole_end(end), strap_rows(end, whole_end(end), ""))
            (words,) = [group for group in drawing.items if group.id == "words"]
            marks = {mark.n: end.view.point(*mark.at) for mark in end.carried()}
            leaders = [leaf for leaf in leaves(words.items) if isinstance(leaf, Stroke) and leaf.pen == FINE]
            ways = [tuple(tuple(map(float, command[1:])) for command in one.commands) for one in leaders]
            assert len(ways) == len(marks)
            assert crossings(ways, len(ways)) == 0
            for start, stop in ways:
                own = min(marks.values(), key=lambda at: math.dist(at, start))
                # What it leads to stands nearer to that mark than to all others.
                assert min(marks.values(), key=lambda at: math.dist(at, stop)) == own


THREE_IN_A_CUFF = """
title = "Gauntlet cuffs"
[row]
piece = "cuff"
length = "250 mm"
height = "90 mm"
over = [["13 mm", "15 mm"], ["13 mm", "45 mm"], ["13 mm", "75 mm"]]
under = [["13 mm", "15 mm"], ["13 mm", "45 mm"], ["13 mm", "75 mm"]]
ends = "rounded"
corner = "15 mm"
allowance = "10 mm"
[closure]
kind = "prong snap"
size = "15 L"
[[layer]]
cloth = "poplin"
count = 2
"""


@pytest.mark.parametrize("text", [THREE_IN_A_CUFF, FOUR_ON_A_CUFF], ids=["three", "four"])
def test_height_over_the_lower_edge_stands_nearest_to_its_own_mark_or_is_led_to_it(text):
    """Of three marks one above the other the last row of the first one's figures reached over to the second."""
    answer = place_plan(read_plan(text.encode(), "cuff.toml"), None, "outside")
    seen = 0
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue):
        for end in strap_ends(subject, whole=False):
            drawing = draw_end(end, whole_end(end), strap_rows(end, whole_end(end), ""))
            (words,) = [group for group in drawing.items if group.id == "words"]
            marks = {mark.n: (end.view.point(*mark.at), mark.y_mm) for mark in end.carried()}
            strokes = [leaf for leaf in leaves(words.items) if isinstance(leaf, Stroke) and leaf.pen == FINE]
            ways = [tuple(tuple(map(float, command[1:])) for command in one.commands) for one in strokes]
            for one in leaves(words.items):
                if not (isinstance(one, Words) and one.text.endswith((" mm up", " in up"))):
                    continue
                own = {
                    n
                    for n, (_, y) in marks.items()
                    if one.text.startswith(both_ways(end.half - y, end.subject.units)[0])
                }
                x0, y0, x1, y1 = box_of(one)
                off = {
                    n: math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0))
                    for n, ((x, y), _) in marks.items()
                }
                # A stub says nothing: the arm of the mark's own cross runs the same way.
                led = [
                    a for a, b in ways if math.dist(a, b) > 8.0 and x0 - 9.0 < b[0] < x1 and y0 - 9.0 < b[1] < y1 + 1.0
                ]
                to = {min(marks, key=lambda n: math.dist(marks[n][0], a)) for a in led}
                # Beside its number a figure is read with it.
                heads = [box_of(w) for w in leaves(words.items) if isinstance(w, Words) and w.text in map(str, own)]
                to |= own if any(abs(head[2] - x0) < 3.0 and abs(head[3] - y1) < 8.0 for head in heads) else set()
                assert min(off, key=lambda n: off[n]) in own or to & own, (end.lap.name, one.text)
                seen += 1
    assert seen >= 6


LEATHER = """
title = "Narrow leather belt"
[belt]
waist = "82 cm"
width = "22 mm"
thickness = "3 mm"
settings = 7
step = "{step} mm"
ends = "rounded"
lap = "right over left"
made = "one layer"
[closure]
kind = "leather post snap"
size = "16 L"
[sheets]
large = true
"""


@pytest.mark.parametrize("step", [16.2, 18, 20, 25])
def test_in_large_letters_every_mark_tells_how_far_it_lies_from_its_tip_by_itself_or_on_the_cover(step: float) -> None:
    """Where figures of close settings found no room beside their numbers the printed set told no distance at all."""
    answer = place_plan(read_plan(LEATHER.format(step=step).encode(), "belt.toml"), None, "outside")
    for subject in subjects_of(answer.placement, answer.findings, answer.catalogue)[:1]:
        for end, sheet in zip(strap_ends(subject, whole=False), answer.sheets, strict=True):
            drawing = draw_end(end, whole_end(end), ())
            said = " ".join(leaf.text for leaf in leaves(drawing.items) if isinstance(leaf, Words))
            blocks = [rows for name, rows in sheet.text.blocks if name == f"From the tip of the {end.lap.name} end"]
            told = [row for rows in blocks for row in rows]
            for mark in end.carried():
                far = both_ways(mark.from_tip_mm, "mm")[0]
                on_cover = any(row.startswith(f"mark {mark.n}: {far} / ") for row in told)
                assert (f"{far} " in f"{said} ") != on_cover, (mark.n, said, told)


def test_words_in_the_allowance_of_a_tip_stand_clear_of_the_arms_of_a_mark():
    """The hook of a waistband stands 3.2 mm from its tip: an arm of its cross struck "allowance 10 mm" through."""
    text = (
        '[row]\npiece = "waistband"\nlength = "820 mm"\nheight = "40 mm"\noverlap = "45 mm"\nallowance = "10 mm"\n'
        'made = "folded"\nlap = "left over right"\n[closure]\nkind = "hook and bar"\nsize = "one size"\n'
    )
    answer = place_plan(read_plan(text.encode(), "waistband.toml"), None, "outside")
    (subject, _) = subjects_of(answer.placement, answer.findings, answer.catalogue)
    end = strap_ends(subject, whole=False)[0]
    drawing = draw_end(end, whole_end(end), strap_rows(end, whole_end(end), ""))
    mark = next(group for group in drawing.items if group.id == "over-1")
    struck = [(x, y) for leaf in leaves(mark.items) for x, y in points_on(getattr(leaf, "commands", ()), 0.2)]
    assert struck
    for leaf in leaves(drawing.items):
        if isinstance(leaf, Words):
            x0, y0, x1, y1 = box_of(leaf)
            assert not any(x0 < x < x1 and y0 < y < y1 for x, y in struck), leaf.text
    # Where they found no room the cover tells it.
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    told = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    assert "have two lines, 10 mm apart" in told


SLIM = """
title = "Slim sash"
[belt]
waist = "700 mm"
over = "1.5 mm"
width = "12 mm"
settings = 5
step = "25 mm"
caps = ["20 mm", "70 mm"]
free = "30 mm"
ends = "pointed"
allowance = "6 mm"
lap = "right over left"
[closure]
kind = "sew-on snap"
size = "2/0"
[[layer]]
cloth = "linen"
count = 2
[[layer]]
cloth = "fusible medium"
count = 2
"""


@pytest.mark.parametrize("name", ["slim", "bib", "sash-belt", "cuff"])
def test_words_in_an_allowance_keep_off_the_line_that_bends_round_the_tip(name):
    plan = read_plan(SLIM.encode(), "slim.toml") if name == "slim" else load_plan(TEMPLATES / name / "plan.toml")
    answer = place_plan(plan, TEMPLATES / name / "plan.toml" if name != "slim" else None)
    told = 0
    for end in strap_ends(subjects_of(answer.placement, answer.findings, answer.catalogue)[0], whole=False):
        drawing = draw_end(end, whole_end(end), strap_rows(end, whole_end(end), ""))
        (strap,) = [item for item in drawing.items if isinstance(item, Group) and item.id == "strap"]
        lines = [
            LineString(list(points_on(item.commands, 0.2)))
            for item in leaves(strap.items)
            if isinstance(item, Stroke) and item.pen in (HEAVY, LINE)
        ]
        for words in leaves(drawing.items):
            if not isinstance(words, Words) or not words.text.startswith(("seam allowance", "lower edge")):
                continue
            # From capitals to tails, from where the words begin to where they end.
            half = width_of(words.text, words.size_mm, words.weight) / 2
            row = LineString([(words.x - half, words.y - 0.7), (words.x + half, words.y - 0.7)]).buffer(
                1.3, cap_style="flat"
            )
            assert all(row.distance(one) > 0.1 for one in lines), words.text
            told += 1
    assert told >= 2


def test_check_distance_of_a_belt_is_written_as_all_lengths_are() -> None:
    answer = place_plan(load_plan(TEMPLATES / "sash-belt" / "plan.toml"))
    first, *_, last = (mark for mark in answer.placement.marks if mark.over is not None)
    assert math.dist(first.over.at, last.over.at) == pytest.approx(50.0)
    assert answer.sheets[0].text.check[-1] == "50 mm / 1 15/16 in"
