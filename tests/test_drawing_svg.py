"""SVG files: measured, not compared with last time's."""

import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import pytest

from closures.app.job import Answer, place_plan
from closures.drawing.ink.shapes import Group, Words
from closures.drawing.write.picture import write_picture
from closures.drawing.write.svg import write_shapes, write_svg
from closures.errors import OutputError
from closures.plan.reading import read_plan

SVG = "{http://www.w3.org/2000/svg}"
PLAN = """
title = "Reed & Rush <smock>"
units = "mm"
[edge]
points = [["0 mm","0 mm"], ["14 mm","90 mm"], ["20 mm","200 mm"], ["0 mm","300 mm"]]
[garment]
pieces = "separate"

[band]
width = "36 mm"
lap = "left over right"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "25 mm"
count = 5
"""


@pytest.fixture(scope="module", params=["outside", "inside"])
def answer(request: pytest.FixtureRequest) -> Answer:
    return place_plan(read_plan(PLAN.encode(), "smock.toml"), face=request.param)


@pytest.fixture(scope="module")
def trees(answer: Answer) -> dict[str, ET.Element]:
    return {sheet.lap: ET.fromstring(write_svg(sheet)) for sheet in answer.sheets}


def by_id(tree: ET.Element, name: str) -> ET.Element:
    (only,) = [element for element in tree.iter() if element.get("id") == name]
    return only


def differences(answer: Answer, trees: dict[str, ET.Element]) -> list[float]:
    """How far every centre in the files lies from where the placement and the origin put it."""
    found = []
    for sheet in answer.sheets:
        ox, oy = sheet.origin_mm
        for mark in answer.placement.marks:
            dot = by_id(trees[sheet.lap], f"{sheet.lap}-{mark.n}").find(f"{SVG}circle[@class='centre']")
            assert dot is not None
            x = ox - mark.x_mm if sheet.flipped else ox + mark.x_mm
            found += [abs(float(dot.get("cx", "")) - x), abs(float(dot.get("cy", "")) - mark.y_mm - oy)]
    return found


def test_centres_are_where_the_placement_puts_them(answer: Answer, trees: dict[str, ET.Element]) -> None:
    found = differences(answer, trees)
    assert len(found) == 20 and max(found) <= 0.0001


def test_centre_moved_by_a_hundredth_would_be_seen(answer: Answer) -> None:
    trees = {sheet.lap: ET.fromstring(write_svg(sheet)) for sheet in answer.sheets}
    dot = by_id(trees["under"], "under-3").find(f"{SVG}circle[@class='centre']")
    assert dot is not None
    dot.set("cx", str(float(dot.get("cx", "")) + 0.01))
    assert max(differences(answer, trees)) > 0.005


def test_size_is_in_mm_and_a_user_unit_is_one(answer: Answer, trees: dict[str, ET.Element]) -> None:
    for sheet in answer.sheets:
        tree = trees[sheet.lap]
        width, height = (float(tree.get(name, "").removesuffix("mm")) for name in ("width", "height"))
        assert tree.get("width", "").endswith("mm")
        assert [float(v) for v in tree.get("viewBox", "").split()] == [0.0, 0.0, width, height]
        assert (width, height) == sheet.size_mm


def test_centres_have_no_transform_above_them(trees: dict[str, ET.Element]) -> None:
    for lap, tree in trees.items():
        parents = {child: parent for parent in tree.iter() for child in parent}
        element = by_id(tree, f"{lap}-1")
        while element in parents:
            assert element.get("transform") is None
            element = parents[element]


@pytest.mark.parametrize(("name", "side"), [("square-50-mm", 50.0), ("square-2-in", 50.8)])
def test_squares_measure_what_they_say(trees: dict[str, ET.Element], name: str, side: float) -> None:
    for tree in trees.values():
        outline = by_id(tree, name).find(f"{SVG}path")
        assert outline is not None
        numbers = [float(v) for v in re.findall(r"-?[\d.]+", outline.get("d", ""))]
        xs, ys = numbers[0::2], numbers[1::2]
        assert max(xs) - min(xs) == pytest.approx(side, abs=1e-4)
        assert max(ys) - min(ys) == pytest.approx(side, abs=1e-4)


@pytest.mark.parametrize(("name", "axis"), [("rule-across", 0), ("rule-down", 1)])
def test_rules_have_a_tick_at_every_mm_and_sixteenth(trees: dict[str, ET.Element], name: str, axis: int) -> None:
    for tree in trees.values():
        base, ticks = by_id(tree, name).findall(f"{SVG}path")
        ends = [float(v) for v in re.findall(r"-?[\d.]+", base.get("d", ""))]
        start, length = ends[axis], ends[axis + 2] - ends[axis]
        assert length >= 150.0
        places = sorted({float(pair[axis]) - start for pair in re.findall(r"M([\d.]+) ([\d.]+)", ticks.get("d", ""))})
        wanted = {float(k) for k in range(int(length) + 1)}
        wanted |= {k * 25.4 / 16 for k in range(int(length / 25.4 * 16) + 1)}
        assert all(min(abs(place - want) for place in places) <= 1e-4 for want in wanted)


def test_lettering_is_outlines_with_the_words_kept_as_titles(answer: Answer, trees: dict[str, ET.Element]) -> None:
    for tree in trees.values():
        assert not list(tree.iter(f"{SVG}text"))
        titles = [element.text for element in tree.iter(f"{SVG}title")]
        for words in ("Reed & Rush <smock>", "first end", "void unless this square", "50 mm"):
            assert words in titles
        lettered = [e for e in tree.iter(f"{SVG}g") if e.get("class") == "words"]
        assert len(lettered) > 30
        assert all(e.find(f"{SVG}title") is not None and e.find(f"{SVG}path") is not None for e in lettered)


def test_ids_are_single(trees: dict[str, ET.Element]) -> None:
    for tree in trees.values():
        ids = [element.get("id") for element in tree.iter() if element.get("id")]
        assert len(ids) == len(set(ids))


def test_numbers_have_at_most_four_decimals(answer: Answer) -> None:
    for sheet in answer.sheets:
        text = write_svg(sheet).decode()
        assert not re.search(r"\d\.\d{5}|-0[ \",]|nan|inf\b", re.sub(r"<title>.*?</title>", "", text))


def test_same_sheet_gives_the_same_bytes(answer: Answer) -> None:
    assert [write_svg(s) for s in answer.sheets] == [write_svg(s) for s in answer.sheets]


@pytest.mark.parametrize("fault", [ImportError, OSError], ids=["no package", "no system library"])
def test_picture_without_cairo_says_what_to_install(fault: type[Exception], monkeypatch: pytest.MonkeyPatch) -> None:
    class Gone:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "cairosvg":
                raise fault("no cairo here")

    monkeypatch.delitem(sys.modules, "cairosvg", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Gone(), *sys.meta_path])
    with pytest.raises(OutputError, match=r"\.\[pictures\].*It needs the system library cairo as well"):
        write_picture(b"<svg xmlns='http://www.w3.org/2000/svg'/>", 10)


def test_picture_is_as_wide_as_asked(answer: Answer) -> None:
    picture = write_picture(write_svg(answer.sheets[0]), 300)
    assert picture.startswith(b"\x89PNG") and int.from_bytes(picture[16:20], "big") == 300


def test_importing_the_drawing_loads_no_writer() -> None:
    code = (
        "import sys, closures.drawing; "
        "print([m for m in ('svgwrite', 'pikepdf', 'cairosvg', 'fontTools', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_svgwrite_comes_in_without_the_patterns_of_its_checks_and_has_them_once_it_checks() -> None:
    code = (
        "import sys\n"
        "from closures.drawing.write.svg import write_shapes\n"
        "write_shapes('nothing', 10.0, 10.0, ())\n"
        "print([m for m in ('svgwrite.data.svgparser', 'urllib.request') if m in sys.modules])\n"
        "import svgwrite\n"
        "svgwrite.Drawing(debug=True).g(transform='rotate(3)')\n"
        "try:\n    svgwrite.Drawing(debug=True).g(transform='rotten(3)')\n"
        "except TypeError:\n    print('refused')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n") == ["[]", "refused", ""]


LAYERS = "{http://www.inkscape.org/namespaces/inkscape}"


def test_sheet_has_layers_named_for_people_and_colours_beside_weights() -> None:
    from paper_sets import answer_of

    answer = answer_of("curved-front")
    root = ET.fromstring(write_svg(answer.sheets[0]))
    tops = {group.get("id"): group for group in root.findall(f"{SVG}g")}
    assert list(tops) == ["rulers", "frame", "keep-clear", "lines", "words", "marks"]
    assert all(group.find(f"{SVG}title") is not None for group in tops.values())
    # Groups alone are no layers where people draw: that takes attributes in a namespace of its own.
    layers = [group for group in root.iter(f"{SVG}g") if group.get(f"{LAYERS}groupmode") == "layer"]
    assert layers == list(tops.values())
    assert [group.get(f"{LAYERS}label") for group in layers] == [group.findtext(f"{SVG}title") for group in layers]
    colours = {
        name: {one.get("stroke") for one in tops[name].iter() if one.get("stroke")}
        for name in ("lines", "marks", "frame")
    }
    assert len({frozenset(found) for found in colours.values()}) == 3
    # Dark enough for a printer without colour: a fifth of white's light at most (sRGB, relative luminance).
    for colour in colours["lines"] | colours["marks"]:
        red, green, blue = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
        assert 0.2126 * red + 0.7152 * green + 0.0722 * blue < 0.25 or red == green == blue


def test_words_as_text_stand_where_outlines_do_and_are_as_wide() -> None:
    from paper_sets import answer_of

    sheet = answer_of("curved-front").sheets[0]
    outlined, live = (ET.fromstring(write_svg(sheet, has_live_text=text)) for text in (False, True))
    titles = [
        [one.findtext(f"{SVG}title") for one in root.iter(f"{SVG}g") if one.get("class") == "words"]
        for root in (outlined, live)
    ]
    assert titles[0] == titles[1]
    texts = list(live.iter(f"{SVG}text"))
    assert [text.text for text in texts] == titles[1] and not list(outlined.iter(f"{SVG}text"))
    assert all(float(text.get("textLength", "0")) > 0 for text in texts)


def test_projector_sheets_show_buttonholes_anchors_and_zones() -> None:
    from paper_sets import answer_of

    from closures.drawing.extras.projector import projector_svg
    from closures.drawing.sheets.drawing import subjects_of

    def told(name: str) -> list[str]:
        answer = answer_of(name)
        over = subjects_of(answer.placement, answer.findings, answer.catalogue)[0]
        root = ET.fromstring(projector_svg(over))
        return [title.text or "" for title in root.iter(f"{SVG}title")]

    assert {"anchor: bust point", "keep clear: casing"} <= set(told("curved-front"))
    answer = answer_of("shirt-front")
    over = subjects_of(answer.placement, answer.findings, answer.catalogue)[0]
    root = ET.fromstring(projector_svg(over))
    slits = [one for one in root.iter(f"{SVG}path") if one.get("stroke-width") == "1.6"]
    assert len(slits) == len(answer.placement.marks)


def test_words_with_signs_of_markup_come_back_as_they_were() -> None:
    told = 'a & b <c> "d" ]]> é'
    words = Words(1.0, 2.0, told, 3.0)
    for live in (False, True):
        svg = write_shapes(
            told, 10, 10, (Group("one", told, (words,), layer="x"),), has_live_text=live, has_layers=True
        )
        root = ET.fromstring(svg)
        titles = [one.text for one in root.iter("{http://www.w3.org/2000/svg}title")]
        assert titles == [told] * 3
        assert root.find("{http://www.w3.org/2000/svg}g").get(f"{LAYERS}label") == told
    assert [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")] == [told]


@pytest.mark.parametrize("flipped", [False, True])
def test_place_of_a_drawing_is_found_again_on_the_line_that_it_was_drawn_from(flipped: bool) -> None:
    from closures.drawing.ink.rigid import along_x
    from closures.drawing.sheets.view import View

    answer = place_plan(read_plan(PLAN.encode(), "smock.toml"))
    laps = answer.placement.laps
    view = View(laps, laps.over, flipped, along_x((0.0, 0.0), (3.0, 4.0)).then_moved(12.0, -7.0))
    for along in (0.0, 33.3, 151.7, laps.line.length_mm):
        spot = view.spot_on_line(along)
        assert math.dist(view.spot_nearest(spot.moved(0.0, 6.0)).at, spot.at) < 1e-6
