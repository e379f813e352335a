"""The reader at the door: it passes what is right, and stops whatever is moved, missing, doubled or out of scale."""

import json
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner
from work import calls_of

from closures.app.command import app
from closures.app.job import load_plan, place_plan, result_files
from closures.app.verified import promises_of
from closures.plan.editing import set_key
from closures.plan.reading import read_plan
from closures.verifying.measured import lines_of_path, measured
from closures.verifying.promises import AnchorPromised, Promises, StepsPromised, ZonePromised
from closures.verifying.steps import faults_of_steps
from closures.verifying.verify import UnsoundError, faults_of_places, require_sound

FRONT = Path(__file__).resolve().parent.parent / "templates" / "curved-front" / "plan.toml"


@pytest.fixture(scope="module", params=["outside", "inside"])
def sound(request):
    answer = place_plan(load_plan(FRONT), FRONT, request.param)
    return result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)


def told_of(files, promises):
    with pytest.raises(UnsoundError) as told:
        require_sound(files, promises)
    return " | ".join(told.value.faults)


def with_sheet(files, name, old, new, count=1):
    text = files[name].decode()
    changed = re.sub(old, new, text, count=count)
    assert changed != text
    return {**files, name: changed.encode()}


def test_what_was_made_is_sound(sound):
    require_sound(*sound)


@pytest.mark.parametrize("lap", ["over", "under"])
def test_mark_that_is_moved_by_a_hundredth_is_seen(sound, lap):
    files, promises = sound
    x = re.search(rf'id="{lap}-4".*?class="centre" cx="([\d.]+)"', files[f"{lap}.svg"].decode())[1]
    # With its rim, which is held to the centre by itself.
    moved = with_sheet(files, f"{lap}.svg", rf'cx="{re.escape(x)}"', f'cx="{float(x) + 0.01:.4f}"', 0)
    assert re.search(r"mark 4 lies 0\.01\d* mm from where the report says", told_of(moved, promises))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (r'id="over-4"', 'id="over-44"', "mark over-44 is told as mark 4"),
        (r'id="over-4"', 'id="over-3"', "two marks named over-3"),
        (r'id="over-4"', 'id="under-4"', "it has the marks"),
        (r'class="centre"', 'class="rim"', "has no centre"),
        (r'width="([\d.]+)mm"', 'width="210mm"', "its size is"),
        (r'viewBox="0 0 ', 'viewBox="0 0 2', "its size is"),
        (r'height="([\d.]+)mm"', r'height="\1"', "not in mm"),
        (r'id="square-50-mm"', 'id="square-50"', "square-50-mm measures 0.0000"),
        (r'id="band"', 'id="bands"', "no line is drawn on which all marks lie"),
        (r"</svg>", "", "it is no SVG"),
        (r"<title>mark 2\b", "<title>mark 3", "mark over-2 is told as mark 3"),
        (r'class="rim" cx="[\d.]+"', 'class="rim" cx="10"', "mm from its centre"),
        (r'cx="[\d.]+"', 'cx="nan"', "mark"),
    ],
    ids=["renamed", "doubled", "of the other lap", "no centre", "width", "scale", "no unit", "no square", "no line", "broken", "told as another", "rim",
         "no number"],
)  # fmt: skip
def test_sheet_that_is_not_what_the_report_says_is_seen(sound, old, new, says):
    files, promises = sound
    if new == 'cx="nan"':
        files = with_sheet(files, "over.svg", r'(class="centre" cx=")[\d.]+', r"\g<1>nan")
        assert "mark 1 lies nan" in told_of(files, promises)
        return
    assert says in told_of(with_sheet(files, "over.svg", old, new), promises)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (r'<g id="over-3">', '<g id="over-3" transform="translate(0.2 0)">', "over-3 is drawn elsewhere"),
        (r'(<circle class="centre")', r'\1 transform="scale(1.001)"', "a shape is drawn elsewhere"),
        (r'(?s)(<svg [^>]*>)(.*)</svg>', r'\1<g transform="translate(400 0) scale(-1 1)">\2</g></svg>', "a shape is drawn elsewhere"),
        (r'(?s)(<svg [^>]*>)(.*)</svg>', r'\1<svg viewBox="0 0 99 99">\2</svg></svg>', "a shape is drawn elsewhere"),
        (r'(<g id="over-3">)', r'\1<g class="words" transform="translate(9 0)"><g /></g>', "more than lettering"),
    ],
    ids=["a mark moved", "a centre scaled", "all mirrored", "a sheet within", "under the name of words"],
)  # fmt: skip
def test_sheet_that_is_drawn_elsewhere_than_its_figures_say_is_seen(sound, old, new, says):
    # SVG 2, 8.4: a transform applies to all that an element holds, whatever its own coordinates are.
    files, promises = sound
    assert says in told_of(with_sheet(files, "over.svg", old, new), promises)


@pytest.fixture(
    scope="module",
    params=[("shirt-front", "outside"), ("double-breasted", "inside"), ("stand-shirt", "outside")],
    ids=["along", "across, turned over", "differing"],
)
def buttoned(request):
    name, face = request.param
    path = FRONT.parent.parent / name / "plan.toml"
    answer = place_plan(load_plan(path), path, face)
    return result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)


TURNED = {"seen from inside": ("band", "seen_from", "inside"), "drawn under lap": ("edge", "shows", "under")}


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("turn", TURNED.values(), ids=TURNED)
@pytest.mark.parametrize("name", ["cardigan-band", "double-breasted", "linen-smock", "stand-shirt", "cardigan-rows"])
def test_sheets_of_a_drawing_that_is_turned_over_are_read_back_as_they_lie(name, turn):
    path = FRONT.parent.parent / name / "plan.toml"
    text = set_key(path.read_text(encoding="utf-8"), *turn)
    answer = place_plan(read_plan(text.encode(), "plan.toml"), path)
    promises = promises_of(answer.placement, answer.catalogue)
    assert promises.slits
    require_sound(result_files(answer, "a4"), promises)


def test_buttons_of_both_sides_of_a_body_are_read_back_as_they_lie(tmp_path):
    source = FRONT.parent.parent / "whole-nursing-top"
    for one in source.glob("*.toml"):
        text = one.read_text(encoding="utf-8")
        text = text.replace(
            'kind = "plastic snap"\nsize = "16"', 'kind = "sew-through button"\nsize = "16 L"\nhole = "across"'
        )
        (tmp_path / one.name).write_text(text, encoding="utf-8")
    done = CliRunner().invoke(app, ["place", str(tmp_path / "garment.toml"), "--out", str(tmp_path / "made")])
    assert done.exit_code in (0, 1), done.output
    assert 'stroke-width="0.5"' in (tmp_path / "made" / "right-side-over.svg").read_text(encoding="utf-8")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("moved", [0.04, 0.06, None], ids=["within what is allowed", "moved", "left out"])
def test_bar_that_does_not_stand_at_the_end_of_a_buttonhole_is_seen(buttoned, moved: float | None):
    files, promises = buttoned
    text = files["over.svg"].decode()
    group = re.search(r'<g id="over-2">.*?</g>', text)[0]
    bars = re.search(r'<path d="M[^ML]*L[^ML]*M[^ML]*L[^ML]*" fill="none" stroke="#\w+" stroke-width="0.5" />', group)[
        0
    ]
    first = re.search(r'd="M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)', bars)
    other = ""
    if moved is not None:
        x, y, u, v = (float(one) + moved * (k % 2) for k, one in enumerate(first.groups()))
        other = bars.replace(first[0], f'd="M{x} {y}L{u} {v}')
    changed = {**files, "over.svg": text.replace(group, group.replace(bars, other)).encode()}
    if moved == 0.04:
        require_sound(changed, promises)
        return
    with pytest.raises(UnsoundError, match="no bar stands across an end of the buttonhole of mark 2"):
        require_sound(changed, promises)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        # The slit is cut in the cloth: each is wrong by itself, while its mark stands where it must.
        (lambda c, a, b: [c + (a - c) * 1j, c + (b - c) * 1j], "mm from where it belongs"),
        (lambda c, a, b: [c - (a - c), c - (b - c)], "mm from where it belongs"),
        (lambda c, a, b: [a, b + (a - b) / abs(a - b) * 0.06], "an end 0.060 mm from where it belongs"),
        (lambda c, a, b: [a + 0.06, b + 0.06], "an end 0.060 mm from where it belongs"),
        (lambda c, a, b: [], "mark 2 has 0 buttonholes drawn, and needs 1"),
        (lambda c, a, b: [a + 0.04, b + 0.04], ""),
    ],
    ids=["turned", "turned round", "shortened", "moved", "left out", "within what is allowed"],
)
def test_buttonhole_that_is_not_drawn_as_it_must_be_is_seen(buttoned, change, says):
    files, promises = buttoned
    text = files["over.svg"].decode()
    group = re.search(r'<g id="over-2">.*?</g>', text)[0]
    slit = re.search(
        r'<path d="M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)" fill="none" stroke="#\w+" stroke-width="0.5" />', group
    )
    centre = re.search(r'class="centre" cx="([\d.]+)" cy="([\d.]+)"', group)
    x, y, u, v = map(float, slit.groups())
    ends = change(complex(*map(float, centre.groups())), complex(x, y), complex(u, v))
    words = "L".join(f"{at.real:.4f} {at.imag:.4f}" for at in ends)
    path = re.sub(r' d="[^"]*"', f' d="M{words}"', slit[0]) if ends else ""
    changed = {**files, "over.svg": text.replace(group, group.replace(slit[0], path)).encode()}
    del changed["marking.pdf"]
    if says:
        assert says in told_of(changed, promises)
    else:
        require_sound(changed, promises)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            lambda report: report["marks"][2].update(along_mm=report["marks"][2]["along_mm"] + 0.05),
            "along the drawn line",
        ),
        (
            lambda report: [at.update(x_mm=500.0) for at in (report["marks"][2], report["marks"][2]["over"])],
            "from where the report says",
        ),
        (lambda report: report["marks"][2].update(straight_to_next_mm=1.0), "not 1.0"),
        (
            lambda report: report["marks"][2]["under"].update(edge_distance_mm=19.1),
            "mark 3 lies 19.050 mm from the fin",
        ),
        (lambda report: report["marks"].pop(), "it has the marks"),
        (lambda report: report["sheets"][0].update(flipped=not report["sheets"][0]["flipped"]), "from where"),
        (lambda report: report["sheets"][0].update(file="nowhere.svg"), "nowhere.svg"),
        (lambda report: report.pop("marks"), "cannot be read back"),
    ],
)
def test_report_that_is_not_what_the_sheets_show_is_seen(sound, change, says):
    files, promises = sound
    report = json.loads(files["report.json"])
    change(report)
    assert says in told_of({**files, "report.json": json.dumps(report).encode()}, promises)


def test_promise_that_the_row_does_not_keep_is_seen(sound):
    files, _ = sound
    assert "of its own" not in told_of(files, Promises(closest_mm=500.0))
    assert "the gap after mark 1 is" in told_of(files, Promises(closest_mm=500.0))
    assert "closures, and 4 were asked for" in told_of(files, Promises(count=4))


@pytest.mark.parametrize("turn", [10, 25])
def test_mark_on_the_outside_of_a_corner_lies_square_to_its_sides_and_further_from_the_corner(tmp_path, turn):
    """Geometry: 12 mm square to both sides of a corner of an edge are 12 mm / cos of half the turn from the corner."""
    half = math.radians(turn) / 2
    x, y = 100 - 200 * math.sin(2 * half), 240 + 200 * math.cos(2 * half)
    (tmp_path / "bent.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600">'
        f'<path id="edge" d="M 100 40 L 100 240 L {x} {y}"/></svg>'
    )
    (tmp_path / "plan.toml").write_text(
        'drawing = "bent.svg"\n[edge]\npath = "edge"\n[garment]\npieces = "pair"\nopens = "front"\n[band]\nwidth = "24 mm"\n'
        'inset = "12 mm"\nlap = "left over right"\n[closure]\nkind = "sew-on snap"\nsize = "1"\n[spacing]\nfirst = "20 mm"\n'
        f'last = "30 mm"\npitch = "60 mm"\n[[anchor]]\nname = "turn"\nalong = "{200 + 12 * math.tan(half)} mm"\n'
    )
    made = place_plan(load_plan(tmp_path / "plan.toml"), tmp_path / "plan.toml")
    files, promises = result_files(made, "a4"), promises_of(made.placement, made.catalogue)
    (mark,) = [one for one in made.placement.marks if abs(one.along_mm - 200 - 12 * math.tan(half)) < 0.01]
    assert mark.over.edge_distance_mm == pytest.approx(12 / math.cos(half), abs=0.002)
    require_sound(files, promises)
    off = replace(promises, inside_mm={lap: 12.05 for lap in promises.inside_mm})
    assert "12.050 mm was asked for" in told_of(files, off)


@pytest.mark.parametrize(
    ("lap", "asked", "is_seen"), [("over", 19.06, False), ("over", 19.08, True), ("under", 15.0, True)]
)
def test_row_that_lies_further_from_its_edge_than_was_asked_is_seen(sound, lap, asked, is_seen):
    files, promises = sound
    assert promises.inside_mm == pytest.approx({"over": 19.05, "under": 19.05})
    other = replace(promises, inside_mm={**promises.inside_mm, lap: asked})
    if is_seen:
        assert f"from the finished edge, and {asked:.3f} mm was asked for" in told_of(files, other)
    else:
        require_sound(files, other)


def test_sheet_without_its_finished_edge_is_seen(sound):
    files, promises = sound
    assert "no finished edge is drawn" in told_of(
        with_sheet(files, "over.svg", 'stroke-width="0.7"', 'stroke-width="0.6"', 0), promises
    )


@pytest.mark.parametrize(
    ("edge", "held"),
    [
        ('straight = "600 mm"', {"over": 12.0, "under": 14.0}),
        ('path = "down"\nline = "line"', {"under": 14.0}),
        ('path = "down"\nunder = "other"', {"over": 12.0}),
        ('path = "down"\nunder = "other"\nunder_lies = "apart"', {"over": 12.0, "under": 14.0}),
    ],
)
def test_inset_is_promised_where_neither_the_line_nor_the_edge_beside_it_is_drawn(edge, held):
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="700mm" height="700mm" viewBox="0 0 700 700">'
        + "".join(
            f'<path id="{name}" d="M{x} 20L{x} 620"/>' for name, x in (("down", 250), ("line", 238), ("other", 224))
        )
        + "</svg>"
    )
    drawing = 'drawing = "f.svg"\n' if "path" in edge else ""
    text = (
        f'{drawing}[edge]\n{edge}\n[garment]\nopens = "front"\npieces = "separate"\n[band]\nwidth = "36 mm"\n'
        'lap = "right over left"\ninset = "12 mm"\nunder_inset = "14 mm"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\n[spacing]\nfirst = "16 mm"\nlast = "40 mm"\ncount = 8\n'
    )
    answer = place_plan(read_plan(text.encode(), "f.toml"), {"f.svg": svg.encode()})
    promises = promises_of(answer.placement, answer.catalogue)
    assert promises.inside_mm == held
    require_sound(result_files(answer, "a4"), promises)


# Places told by hand on a straight line of 361 mm, which runs straight down from level 0.
LINE = measured([(0.0, 0.0), (0.0, 361.0)])
EVEN = [40 + 29.3 * i for i in range(10)]
JUST, MORE = 0.02 - 1e-6, 0.02 + 1e-6  # what is promised of every figure of a row


@pytest.mark.parametrize(
    ("promises", "says"),
    [
        (Promises((40, 48), (10, 131), 29.3, 29.3, 10), ""),
        # Count 10, closest 35: the row has gaps of 29.3 mm, which was once called good.
        (Promises((10, 48), (10, 131), 35.0, math.inf, 10), "the gap after mark 1 is 29.300 mm"),
        (Promises(closest_mm=29.3 + MORE), "the gap after mark 1"),
        (Promises(closest_mm=29.3 + JUST), ""),
        (Promises(widest_mm=29.3 - MORE), "the gap after mark 1"),
        (Promises(widest_mm=29.3 - JUST), ""),
        (Promises(first_mm=(40 + MORE, 50)), "the first closure lies 40.000 mm"),
        (Promises(first_mm=(0, 40 - MORE)), "the first closure lies"),
        (Promises(last_mm=(57.3 + MORE, 90)), "the last closure lies 57.300 mm"),
        (Promises(last_mm=(0, 57.3 - MORE)), "the last closure lies"),
        (Promises(count=9), "there are 10 closures"),
        (Promises(anchors=(AnchorPromised("bust point", 0.0, along_mm=69.3),)), ""),
        (Promises(anchors=(AnchorPromised("bust point", 1.0, along_mm=71.0),)), "'bust point' lies 1.700 mm"),
        (Promises(anchors=(AnchorPromised("bust point", 1.7, level_mm=71.0),)), ""),
        (Promises(anchors=(AnchorPromised("bust point", 0.0, level_mm=900.0),)), "'bust point' lies inf"),
        (Promises(zones=(ZonePromised("belt", 5.08, level_mm=(74.38, 93.52)),)), ""),
        (Promises(zones=(ZonePromised("belt", 5.08, level_mm=(74.3, 93.52)),)), "mark 2 lies 5.000 mm from 'belt'"),
        (Promises(zones=(ZonePromised("belt", 5.08, along_mm=(74.38, 93.6)),)), "mark 3 lies 5.000 mm from 'belt'"),
        (Promises(zones=(ZonePromised("belt", 0.0, along_mm=(60.0, 80.0)),)), "mark 2 lies -9.300 mm from 'belt'"),
        (Promises(zones=(ZonePromised("belt", 0.0, level_mm=(60.0, 80.0)),)), "mark 2 lies -9.300 mm from 'belt'"),
        (Promises(zones=(ZonePromised("belt", 0.0, along_mm=(60.0, 69.3)),)), ""),
        (
            Promises(
                zones=(ZonePromised("b", 0.0, along_mm=(69.3, 75.0)), ZonePromised("a", 0.0, along_mm=(60.0, 69.3)))
            ),
            "mark 2 lies -5.700 mm from 'a and b'",
        ),
    ],
)
def test_row_is_held_against_every_hard_rule(promises, says):
    told = " | ".join(faults_of_places(EVEN, LINE, 0.0, promises))
    assert (says in told) if says else not told, told


def test_line_is_measured_along_its_curve():
    # A quarter circle of radius 100 as one cubic is 157.08 mm long, within the cubic's own 0.03 mm.
    k = 100 * 4 / 3 * (math.sqrt(2) - 1)
    (points,) = lines_of_path(f"M100 0C100 {k} {k} 100 0 100")
    line = measured(points)
    assert line.length_mm == pytest.approx(50 * math.pi, abs=0.03)
    place, off = line.place_of((100 * math.cos(0.5), 100 * math.sin(0.5)))
    assert place == pytest.approx(50, abs=0.03) and off < 0.03
    assert lines_of_path("m0 0l9 9") == [] and lines_of_path("M0 0H9V9Z") == [[(0, 0), (9, 0), (9, 9), (0, 0)]]


def spiral(corners: int) -> list[tuple[float, float]]:
    """A line that comes near to itself again and again, its corners 1 mm apart."""
    turns = [math.sqrt(8 * math.pi * k) / 2 for k in range(1, corners + 1)]
    return [(turn * math.cos(turn), turn * math.sin(turn)) for turn in turns]


@pytest.mark.parametrize("corners", [1, 2, 8, 9, 10, 64, 65, 66, 700])
def test_nearest_place_is_the_nearest_of_all_chords(corners):
    points = spiral(corners)
    line = measured(points)
    for k in range(40):
        point = (30 * math.cos(k * 2.4) * math.sqrt(k / 20), 30 * math.sin(k * 2.4) * math.sqrt(k / 20))
        along, off = line.place_of(point)
        alone = [measured(pair).place_of(point) for pair in pairwise(points)]
        assert off == pytest.approx(min((one for _, one in alone), default=math.inf), abs=1e-12)
        assert corners == 1 or math.dist(line.at(along), point) == pytest.approx(off, abs=1e-9)


def test_looking_for_a_place_does_not_grow_with_the_line():
    def work(corners: int) -> int:
        line = measured([(20 * math.sin(k / 50), k) for k in range(corners)])
        return calls_of(lambda: [line.place_of((k, k / 41 * corners)) for k in range(40)])

    assert work(20_000) < 2 * work(1_000)


def test_result_that_is_not_sound_is_never_written(tmp_path):
    code = (
        "import sys, closures.drawing.write.svg as svg\n"
        "write = svg.write_svg\n"
        "svg.write_svg = lambda sheet, *more: write(sheet, *more).replace(b'id=\"over-2\"', b'id=\"over-3\"', 1)\n"
        "from closures.app.command import main\n"
        "sys.argv = ['closures', 'place', *sys.argv[1:]]\n"
        "main()\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, str(FRONT), "--out", str(tmp_path / "out")],
        capture_output=True,
        text=True,
        env={**os.environ, "TMPDIR": str(tmp_path)},
    )
    assert ran.returncode == 3 and "two marks named over-3" in ran.stderr and "nothing was written" in ran.stderr
    assert not (tmp_path / "out").exists()
    (kept,) = tmp_path.glob("closures-*.txt")
    assert str(kept) in ran.stderr and "Traceback" not in ran.stderr


@pytest.mark.parametrize("name", ["curved-front", "crotch-flap", "shirt-swap"])
def test_file_for_a_cutter_has_the_marks_and_a_point_that_is_moved_is_seen(name):
    from closures.app.job import cutter_files
    from closures.report.figures import report_figures
    from closures.verifying.cutter import points_of, require_sound_cutter

    path = FRONT.parent.parent / name / "plan.toml"
    answer = place_plan(load_plan(path), path)
    files, report = cutter_files(answer), report_figures(answer.placement, (), ())
    assert len(points_of(files["under.dxf"])) == len(report["marks"])
    x = points_of(files["under.dxf"])[0][0]
    head, point, rest = files["under.dxf"].decode().partition("POINT")
    for moved in (rest.replace(f"{x:.4f}".rstrip("0").rstrip("."), f"{x + 0.01:.4f}", 1), rest.split("POINT", 1)[-1]):
        with pytest.raises(UnsoundError, match=r"under\.dxf: (the point of mark 1 lies 0\.01|it has \d+ points)"):
            require_sound_cutter({**files, "under.dxf": (head + point + moved).encode()}, report, is_turned=False)
    for units in ("1", "5"):
        # Inches and cm; 4 is mm (DXF Reference, HEADER, $INSUNITS).
        told = re.sub(rb"(\$INSUNITS\s+70\s+)4", rb"\g<1>" + units.encode(), files["over.dxf"])
        with pytest.raises(UnsoundError, match=r"over\.dxf: it does not say that its figures are mm"):
            require_sound_cutter({**files, "over.dxf": told}, report, is_turned=False)


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        (StepsPromised(29.3), ""),
        (StepsPromised(14.65), ""),
        (StepsPromised(29.3 + MORE), "mark 2 lies 0.020 mm off"),
        # From level 10.7 every 29.3: 40 and on.
        (StepsPromised(29.3, 10.7, by_level=True), ""),
        (StepsPromised(29.3, 10.7 + MORE, by_level=True), "mark 1 lies 0.020 mm off"),
        (StepsPromised(29.3, 10.7, by_level=True, before_mm=3.0), "mark 1 lies 3.000 mm off"),
        (StepsPromised(29.3, 7.7, by_level=True, before_mm=3.0), ""),
    ],
)
def test_row_is_held_against_what_it_keeps_to(steps, says):
    told = " | ".join(faults_of_steps(EVEN, LINE, 0.0, steps))
    assert (says in told) if says else not told, told


def test_a_stands_closure_keeps_to_nothing_and_the_next_does():
    steps = StepsPromised(29.3, 10.7, by_level=True, from_n=2)
    assert not list(faults_of_steps([EVEN[0] - 1.0, *EVEN[1:]], LINE, 0.0, steps))
    told = list(faults_of_steps([EVEN[0], EVEN[1] + 1.0, *EVEN[2:]], LINE, 0.0, steps))
    assert [one.split(" lies ")[0] for one in told] == ["mark 2"]


SIZES = {"hook and eye": "2", "hook and bar": "one size"}
KEPT = """[edge]
points = [[0, 0], [-12, 60], [-30, 130], [-25, 220], [-5, 300], [0, 400]]
[garment]
opens = "front"
pieces = "pair"
[band]
width = "40 mm"
lap = "right over left"
cut = "shaped"
[closure]
kind = "sew-through button"
size = "24 L"
[spacing]
first = { from = "10 mm", to = "60 mm" }
last = { from = "10 mm", to = "90 mm" }
pitch = "60 mm"
"""
WASHED = '[shrinkage]\nmeasured = "unwashed"\nalong = "5 %"\nacross = "5 %"\n'
STRIPED = '[stripe]\nevery = "11 mm"\nat = "4 mm"\n'
PULLED = '[pull]\nfit = "usual"\n'


@pytest.mark.parametrize("line", ["band rows", "front rows", "stitches"])
@pytest.mark.parametrize("more", ["", PULLED], ids=["", "pulled"])
def test_knitting_is_read_back_from_the_sheets(line, more):
    # A buttonhole that is worked to the very end of its band would be open there, and is refused.
    kept = KEPT.replace('last = { from = "10 mm"', 'last = { from = "30 mm"')
    if line == "front rows":
        # Its rows lie level: where the edge slants more, a buttonhole square to it is refused.
        kept = re.sub(r"points = .*", "points = [[0, 0], [-4, 60], [-9, 220], [-5, 400]]", kept)
    plan = read_plan(f'{kept}{more}[gauge]\nstitches = 22\nrows = 30\nline = "{line}"\n'.encode(), "plan.toml")
    answer = place_plan(plan)
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    # 22 stitches and 30 rows to 100 mm; whole stitches are picked up over the whole edge.
    length = answer.placement.laps.line.length_mm
    every = length / round(length * 0.22) if line == "stitches" else 100 / 30
    assert promises.steps.every_mm == pytest.approx(every)
    wrong = replace(promises, steps=replace(promises.steps, every_mm=promises.steps.every_mm * 1.01))
    assert "off the repeats, rows or stitches" in told_of(files, wrong)


@pytest.mark.parametrize("way", ["across", "along"])
@pytest.mark.parametrize("cast_on", ["first", "last"])
def test_rows_of_a_front_are_held_against_the_corner_where_knitting_begins(cast_on, way):
    kept = KEPT.replace('from = "10 mm"', 'from = "30 mm"').replace('size = "24 L"', f'size = "24 L"\nhole = "{way}"')
    kept = re.sub(r"points = .*", 'points = [["0 mm", "0 mm"], ["8 mm", "120 mm"], ["3 mm", "400 mm"]]', kept)
    gauge = f'[gauge]\nstitches = 22\nrows = 30\nline = "front rows"\ncast_on = "{cast_on}"\n'
    answer = place_plan(read_plan(f"{kept}{gauge}".encode(), "plan.toml"))
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    require_sound(files, promises)
    steps = promises.steps
    # 30 rows to 100 mm, and the front is 400 mm high.
    assert steps.rows_in_all == 120
    one_more = replace(promises, steps=replace(steps, rows=tuple(row + 1 for row in steps.rows)))
    assert "from the corner where knitting begins" in told_of(files, one_more)
    assert "rows of 3.333 mm are told" in told_of(files, replace(promises, steps=replace(steps, rows_in_all=119)))
    other = replace(promises, steps=replace(steps, from_first=not steps.from_first))
    assert "from the corner where knitting begins" in told_of(files, other)


@pytest.mark.parametrize("more", [STRIPED, STRIPED + PULLED, STRIPED + WASHED], ids=["", "pulled", "washed"])
def test_stripes_are_read_back_from_the_sheets(more):
    answer = place_plan(read_plan(f"{KEPT}{more}".encode(), "plan.toml"))
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    assert promises.steps.every_mm == pytest.approx(11 * (0.95 if WASHED in more else 1))
    wrong = replace(promises, steps=replace(promises.steps, level_mm=promises.steps.level_mm + 0.05))
    assert "off the repeats, rows or stitches" in told_of(files, wrong)


def test_row_of_the_washed_garment_is_read_back_from_the_sheets_of_the_cloth_before():
    bust = '[[anchor]]\nname = "bust"\nalong = "180 mm"\nwithin = "2 mm"\n'
    answer = place_plan(read_plan(f"{KEPT}{WASHED}{bust}".encode(), "plan.toml"))
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    washed = answer.placement.washed
    assert (promises.worn.across, promises.worn.along) == (0.95, 0.95)
    require_sound(files, replace(promises, count=len(washed.positions_mm), widest_mm=max(washed.gaps_mm)))
    assert "the gap after mark" in told_of(files, replace(promises, widest_mm=max(washed.gaps_mm) - 0.03))
    assert "'bust'" in told_of(files, replace(promises, worn=replace(promises.worn, along=1.0, across=1.0)))


@pytest.mark.parametrize(
    ("kind", "change", "says"),
    [
        ("hook and bar", lambda at, centre: 2 * centre - at, "mm its way, and must"),
        ("hook and bar", lambda at, centre: centre + (at - centre) * 1j, "mm its way, and must"),
        ("hook and bar", lambda at, centre: centre + (at - centre) * 0.9, "mm its way, and must"),
        ("hook and bar", lambda at, centre: at + 0.1j, "lies askew"),
        # Of a hook and eye no size is published: the way alone is held.
        ("hook and eye", lambda at, centre: 2 * centre - at, "reaches the wrong way"),
        ("hook and eye", lambda at, centre: centre + (at - centre) * 1j, "lies askew"),
    ],
    ids=["turned round", "turned", "too small", "moved along", "turned round, no size", "turned, no size"],
)
def test_hook_that_does_not_lie_as_it_must_is_seen(kind, change, says):
    plan = KEPT.replace('kind = "sew-through button"\nsize = "24 L"', f'kind = "{kind}"\nsize = "{SIZES[kind]}"')
    plan = re.sub(r"points = .*", 'straight = "400 mm"', plan)
    answer = place_plan(read_plan(plan.encode(), "plan.toml"))
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    del files["marking.pdf"]
    require_sound(files, promises)
    text = files["over.svg"].decode()
    group = re.search(r'<g id="over-2">.*?</g>', text)[0]
    centre = complex(*map(float, re.search(r'class="centre" cx="([\d.]+)" cy="([\d.]+)"', group).groups()))

    def moved(x, y):
        return change(complex(float(x), float(y)), centre)

    def path(found):
        return re.sub(
            r"(-?[\d.]+) (-?[\d.]+)",
            lambda at: f"{moved(*at.groups()).real:.4f} {moved(*at.groups()).imag:.4f}",
            found[0],
        )

    turned = re.sub(r'<path d="[^"]*" fill="[^"]*" stroke="#\w+" stroke-width="0.35"', path, group)
    turned = re.sub(
        r'<circle class="ring" cx="([\d.]+)" cy="([\d.]+)"',
        lambda at: f'<circle class="ring" cx="{moved(*at.groups()).real:.4f}" cy="{moved(*at.groups()).imag:.4f}"',
        turned,
    )
    assert turned != group
    assert says in told_of({**files, "over.svg": text.replace(group, turned).encode()}, promises)


@pytest.mark.parametrize("measured", ["unwashed", "washed"])
def test_a_corner_of_cloth_that_shrinks_unlike_is_written_and_its_ends_lie_as_told_where_they_were_measured(
    measured: str,
):
    corner = (Path(__file__).parent.parent / "templates/cape-corner/plan.toml").read_text(encoding="utf-8")
    answer = place_plan(
        read_plan(f'{corner}\n[shrinkage]\nalong = "5 %"\nmeasured = "{measured}"\n'.encode(), "p.toml")
    )
    # Refused where the sheets do not keep what was asked.
    assert "over.svg" in result_files(answer, "a4")
    placement = answer.placement
    laid, length = [mark.along_mm for mark in placement.marks], placement.laps.line.length_mm
    if measured == "washed":
        assert placement.washed is not None
        laid, length = list(placement.washed.positions_mm), placement.washed.length_mm
    # By the mean of the line, 20 mm of the unwashed cloth came out as 20.38, for at its ends the edge runs across.
    assert (laid[0], length - laid[-1]) == pytest.approx((20.0, 20.0), abs=1e-6)


def test_a_single_mark_at_the_end_of_a_line_shorter_than_its_band_is_read_on_its_line(tmp_path):
    """The end of the band, 38 mm long, crosses a line of 24 mm where the mark lies."""
    text = (
        '[garment]\nopens = "front"\npieces = "pair"\n[edge]\nstraight = "24 mm"\n[band]\nwidth = "38 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n'
        '[spacing]\nfirst = "0 mm"\nlast = "2 in"\npitch = "3 in"\n'
    )
    (tmp_path / "short.toml").write_text(text)
    refused = CliRunner().invoke(app, ["place", str(tmp_path / "short.toml")])
    # A last closure beyond the whole line is asked about, and no repair is made of it.
    assert "the whole closing line is 24 mm long" in refused.stderr and "--repair" not in refused.stderr
    ranged = text.replace('last = "2 in"', 'last = { from = "0 mm", to = "2 in" }')
    (tmp_path / "short.toml").write_text(ranged)
    taken = CliRunner().invoke(app, ["place", str(tmp_path / "short.toml")])
    # The closure hangs past the end, which the checks say; the sheets keep what was asked.
    assert taken.exit_code == 1 and (tmp_path / "short" / "over.svg").is_file(), taken.output


@pytest.mark.parametrize(
    "more", ["", '[shrinkage]\nalong = "5 %"\nmeasured = "unwashed"\n'], ids=["washed", "unwashed"]
)
def test_every_closure_of_a_mixed_row_keeps_off_a_zone_by_its_own_size(more):
    """A larger button at the hem asks nothing of a snap beside the seam, and is held to its own size where it lies there."""
    plan = (
        '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "plastic snap"\nsize = "16"\n[spacing]\nfirst = "20 mm"\nlast = {{ from = "18 mm", to = "51 mm" }}\n'
        'pitch = "50 mm"\n[[clear]]\nname = "seam"\nalong = ["127 mm", "143 mm"]\n[[differs]]\nmark = {}\n'
        'kind = "sew-through button"\nsize = "28 L"\n'
    )
    answer = place_plan(read_plan((plan.format(7) + more).encode(), "front.toml"))
    assert result_files(answer, "a4")
    assert min(abs(mark.along_mm - at) for mark in answer.placement.marks for at in (127, 143)) < 8.89
    near = place_plan(read_plan((plan.format(3) + more).encode(), "front.toml"))
    assert result_files(near, "a4")
    third = next(mark for mark in near.placement.as_worn.marks if mark.n == 3)
    assert not 127 - 8.89 + 1e-6 < third.along_mm < 143 + 8.89 - 1e-6


_FOLDED = (
    '[row]\npiece = "waistband"\nlength = "30 in"\nheight = "1 1/2 in"\nmade = "folded"\nallowance = "1/2 in"\n'
    'over = {over}\nunder = {over}\n[closure]\nkind = "sew-on snap"\nsize = "1"\n[[layer]]\ncloth = "linen"\ncount = 2\n'
)


@pytest.mark.parametrize(
    ("over", "is_seen"),
    [('[["1 in", "1 in"]]', True), ('[["1 in", "1/2 in"], ["1 in", "1 in"]]', True), ('[["1 in", "1/2 in"]]', False)],
)
def test_fold_of_a_strap_is_one_of_its_finished_edges(over: str, is_seen: bool) -> None:
    """By hand: 1 in up a strap of 1 1/2 in lies 1/2 in from its fold, and 1/2 in up 1/2 in from its lower edge."""
    answer = place_plan(read_plan(_FOLDED.format(over=over).encode(), "waistband.toml"))
    files, promises = result_files(answer, "a4"), promises_of(answer.placement, answer.catalogue)
    require_sound(files, promises)
    near = [mark["over"]["edge_distance_mm"] for mark in json.loads(files["report.json"])["marks"]]
    assert near == pytest.approx([12.7] * len(near))
    # Without its fold the sheet shows no edge so near to what lies above the middle.
    bare = with_sheet(files, "over.svg", 'stroke-dasharray="0.8 1.4"', 'stroke-dasharray="5 1.4"', 0)
    if not is_seen:
        require_sound(bare, promises)
    else:
        assert "25.400 mm from the finished edge, and the report says 12.7" in told_of(bare, promises)
