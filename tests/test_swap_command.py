"""The swap command: its listing, its JSON, its refusals, and the drawn sheets read back."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from closures.app.command import app

ROOT = Path(__file__).resolve().parent.parent
TEMPLATE = ROOT / "templates" / "shirt-swap" / "plan.toml"
SVG = "{http://www.w3.org/2000/svg}"
PLACES = [60, 147, 234, 321, 408, 495, 582]


def run(*arguments: object) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, [str(argument) for argument in arguments])
    return result.exit_code, result.stdout, result.stderr


def changed(folder: Path, *changes: tuple[str, str]) -> Path:
    """The starting plan with some of its text changed."""
    text = TEMPLATE.read_text(encoding="utf-8")
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    plan = folder / "plan.toml"
    plan.write_text(text, encoding="utf-8")
    return plan


def report(plan: Path, *arguments: object) -> dict[str, Any]:
    code, out, err = run("swap", plan, *arguments, "--json")
    assert code == 0, err
    figures: dict[str, Any] = json.loads(out)
    return figures


def groups(svg: bytes) -> dict[str, ElementTree.Element]:
    return {g.attrib["id"]: g for g in ElementTree.fromstring(svg).iter(f"{SVG}g") if "id" in g.attrib}


def numbers(path: ElementTree.Element) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", path.attrib["d"])]


def test_listing_tells_every_offer_and_how_to_take_one(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("COLUMNS", "100")
    code, out, _ = run("swap", TEMPLATE)
    assert code == 0
    assert "7 × sew-through button 18 L to prong snap 16 L" in out
    for n in range(1, 9):
        assert re.search(rf"^{n}  \w", out, re.MULTILINE)
    assert "<- recommended" in out and "--take 8" in out
    assert out.count("\n   old        x==") == 8


def test_report_holds_the_offers_with_their_named_keys():
    figures = report(TEMPLATE)
    first = figures["offers"][0]
    assert {"n", "name", "along_mm", "largest_mm", "clashes", "unused_holes", "changes"} <= set(first)
    assert first["along_mm"] == PLACES and first["largest_mm"] == 87
    assert [clash["hole"] for clash in first["clashes"]] == [1, 2, 3, 4, 5, 6, 7]
    for clash in first["clashes"]:
        assert {"mark", "hole", "distance_mm", "kind"} <= set(clash)
        assert clash["kind"] == "overlaps" and clash["distance_mm"] == pytest.approx(-5.08)
    taken = figures["swap"]["taken"]
    assert [mark["along_mm"] for mark in figures["marks"]] == figures["offers"][taken - 1]["along_mm"]


@pytest.mark.parametrize("command", ["place", "check"])
def test_place_and_check_take_the_recommended_offer(command: str, tmp_path: Path):
    out = ("--out", tmp_path / "s") if command == "place" else ()
    code, told, _ = run(command, TEMPLATE, *out, "--json")
    assert code == 0
    figures, listed = json.loads(told), report(TEMPLATE)
    assert figures["marks"] == listed["marks"]
    assert figures["offers"] == listed["offers"]
    assert figures["swap"]["taken"] == figures["swap"]["recommended"]


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("take", range(1, 8))
def test_taken_offer_is_written_as_listed(take: int, tmp_path: Path):
    code, told, err = run("swap", TEMPLATE, "--take", take, "--out", tmp_path)
    assert code == 0, err
    assert {path.name for path in tmp_path.iterdir()} == {
        "over.svg",
        "under.svg",
        "marking.pdf",
        "report.json",
        "report.md",
    }
    figures = json.loads((tmp_path / "report.json").read_text())
    assert figures["swap"]["taken"] == take
    assert [mark["along_mm"] for mark in figures["marks"]] == figures["offers"][take - 1]["along_mm"]
    assert f"Swap: offer {take} of 8" in told
    page = (tmp_path / "report.md").read_text()
    assert f"## The swap: offer {take}," in page
    for change in figures["offers"][take - 1]["changes"]:
        assert change in page


def test_listing_writes_nothing(tmp_path: Path):
    plan = changed(tmp_path)
    run("swap", plan)
    assert list(tmp_path.iterdir()) == [plan]


def test_sheets_show_old_holes_and_parts_where_they_lie(tmp_path: Path):
    assert run("swap", TEMPLATE, "--take", 3, "--out", tmp_path)[0] == 0
    figures = json.loads((tmp_path / "report.json").read_text())
    origin = {sheet["lap"]: sheet["origin_mm"] for sheet in figures["sheets"]}
    over, under = (groups((tmp_path / f"{lap}.svg").read_bytes()) for lap in ("over", "under"))
    for hole in figures["swap"]["holes"]:
        oval = over[f"old-over-{hole['n']}"].findall(f"{SVG}path")[0]
        x, y = numbers(oval)[:2]
        start, end = ([a + b for a, b in zip(point, origin["over"], strict=True)] for point in hole["ends_mm"])
        assert [x, y] == pytest.approx(start, abs=0.01)
        assert numbers(oval)[6:8] == pytest.approx(end, abs=0.01)
        # 16 mm long, from 1/8 in before its button (UMN 576, ICAR, ASDP).
        assert hole["ends_mm"][0][1] == pytest.approx(PLACES[hole["n"] - 1] - 3.175, abs=0.01)
        assert end[1] - start[1] == pytest.approx(16, abs=0.01)
    for n, place in enumerate(PLACES, 1):
        corners = numbers(under[f"old-under-{n}"].findall(f"{SVG}path")[0])
        assert sum(corners[1::2]) / 4 == pytest.approx(place + origin["under"][1], abs=0.01)
        # A square as wide as the button: 18 lines of 1/40 in (US Federal Specification V-B-871F).
        assert max(corners[0::2]) - min(corners[0::2]) == pytest.approx(18 / 40 * 25.4, abs=0.01)
    for mark in figures["marks"]:
        centre = next(c for c in over[f"over-{mark['n']}"].iter(f"{SVG}circle") if c.attrib.get("class") == "centre")
        assert float(centre.attrib["cy"]) == pytest.approx(mark["y_mm"] + origin["over"][1], abs=0.01)


def test_each_closed_hole_is_told_its_own_patch(tmp_path: Path):
    assert run("swap", TEMPLATE, "--take", 3, "--out", tmp_path)[0] == 0
    page = (tmp_path / "report.md").read_text(encoding="utf-8")
    step = next(line for line in page.splitlines() if "Close buttonholes 5 to 7" in line)
    assert re.search(
        r"39 mm along[^;]*at buttonhole 5;.* 18 mm along[^;]*at buttonhole 6;.* 38 mm along[^;]*at buttonhole 7\.", step
    )


def test_helper_is_counted_apart_from_the_closures_of_the_row(tmp_path: Path):
    assert run("swap", TEMPLATE, "--take", 8, "--out", tmp_path)[0] == 0
    sheet = (tmp_path / "over.svg").read_text(encoding="utf-8")
    # What finds no room in the head in letters that can be read stands in rows of its own.
    assert "this lap, and the helper at mark 3" in sheet
    assert "8 closures alike" not in (tmp_path / "report.md").read_text(encoding="utf-8")


def test_old_and_new_differ_by_shape_and_not_by_colour(tmp_path: Path):
    assert run("swap", TEMPLATE, "--take", 1, "--out", tmp_path)[0] == 0
    for lap in ("over", "under"):
        svg = (tmp_path / f"{lap}.svg").read_bytes()
        found = groups(svg)
        assert not list(found[f"old-{lap}-1"].iter(f"{SVG}circle"))
        assert list(found[f"{lap}-1"].iter(f"{SVG}circle"))


def test_pattern_sheet_strikes_out_what_is_only_drawn(tmp_path: Path):
    plan = changed(tmp_path, ("made = true }", "made = false }"))
    assert run("swap", plan, "--take", 4, "--out", tmp_path / "s")[0] == 0
    figures = json.loads((tmp_path / "s" / "report.json").read_text())
    assert figures["offers"][3]["struck_out"] == [1, 2, 3, 4, 5, 6, 7]
    for lap in ("over", "under"):
        svg = (tmp_path / "s" / f"{lap}.svg").read_bytes()
        found = groups(svg)
        for n in range(1, 8):
            title = found[f"old-{lap}-{n}"].find(f"{SVG}title")
            assert title is not None and title.text is not None and title.text.startswith("struck out")
            # The shape, and the strokes across it.
            assert len(found[f"old-{lap}-{n}"].findall(f"{SVG}path")) == 2
        assert b"struck out" in svg
    assert figures["swap"]["holes"][0]["made"] is False


def test_lengthened_pattern_shows_the_cut(tmp_path: Path):
    change = "[closure]\n", '[change]\nlengthen = { at = "300 mm", by = "30 mm" }\n\n[closure]\n'
    plan = changed(tmp_path, change, ("made = true }", "made = false }"))
    code, _, err = run("swap", plan, "--take", 2, "--out", tmp_path / "s")
    assert code == 0, err
    figures = json.loads((tmp_path / "s" / "report.json").read_text())
    assert figures["swap"]["lengthened"] == {"at_mm": 300, "by_mm": 30}
    assert figures["closing_line"]["length_mm"] == 670
    cut = groups((tmp_path / "s" / "over.svg").read_bytes())["pattern-cut"].findall(f"{SVG}path")
    ys = sorted(numbers(path)[1] for path in cut)
    assert ys[1] - ys[0] == pytest.approx(30, abs=0.01)


def test_swap_that_cannot_work_says_so_first_and_ends_with_one(tmp_path: Path):
    plan = changed(tmp_path, ('width = "32 mm"', 'width = "14 mm"'), ('inset = "16 mm"', 'inset = "7 mm"'))
    code, out, _ = run("swap", plan)
    assert code == 1
    assert out.startswith("This swap cannot work as it stands")
    assert out.index("Tried, and this would make it work") < out.index("1  keep every old place")
    code, out, _ = run("swap", plan, "--json")
    figures = json.loads(out)["swap"]
    assert code == 1 and figures["works"] is False and figures["cannot"] and figures["would_work"]
    assert figures["lap_needs"][0]["grow_mm"] == pytest.approx(16 / 80 * 25.4 + 6.35 - 7, abs=1e-4)


@pytest.mark.parametrize(
    ("changes", "arguments", "match"),
    [
        pytest.param([], ["--take", "12"], "there is no offer 12.*from 1 to 8", id="no such offer"),
        pytest.param([], ["--take", "0"], "there is no offer 0", id="offer zero"),
        pytest.param([('way = "along", ', "")], [], "length.*goes with way only", id="no way"),
        pytest.param([(", made = true }", " }")], [], "made.*missing", id="made not told"),
        pytest.param([('"582 mm"]', '"682 mm"]')], [], "682 mm along", id="off the line"),
        pytest.param([("[swap]", "[swop]")], [], r"swop.*Did you mean swap", id="misspelt section"),
        pytest.param([], ["--take", "1", "--paper", "napkin"], "no paper", id="no such paper"),
        pytest.param([], ["--take", "1", "--face", "up"], "not a face", id="no such face"),
    ],
)
def test_bad_swap_is_refused_with_two_and_writes_nothing(
    changes: list[tuple[str, str]], arguments: list[str], match: str, tmp_path: Path
):
    plan = changed(tmp_path, *changes)
    code, out, err = run("swap", plan, *arguments)
    assert code == 2 and out == ""
    assert re.search(match, err), err
    assert list(tmp_path.iterdir()) == [plan]


def test_plan_without_old_closures_is_refused():
    code, _, err = run("swap", ROOT / "templates" / "curved-front" / "plan.toml")
    assert code == 2 and "does not tell what is there now" in err


def test_offers_picture_shows_a_row_for_each_offer(tmp_path: Path):
    code, _, _ = run("swap", TEMPLATE, "--picture", tmp_path / "offers.svg")
    assert code == 0
    found = groups((tmp_path / "offers.svg").read_bytes())
    assert {f"offer-{n}" for n in range(1, 8)} <= set(found)
    for n, offer in enumerate(report(TEMPLATE)["offers"], 1):
        circles = [c for c in found[f"offer-{n}"].iter(f"{SVG}circle") if float(c.attrib["r"]) > 1]
        # 190 mm stand for the whole line of 640, which begins at 10.
        expected = [10 + 190 * place / 640 for place in offer["along_mm"]]
        assert [float(c.attrib["cx"]) for c in circles] == pytest.approx(expected, abs=0.01)


def test_offers_picture_tells_what_is_kept_what_is_in_the_way_and_which_offer_is_recommended(tmp_path: Path):
    assert run("swap", TEMPLATE, "--picture", tmp_path / "offers.svg")[0] == 0
    found, told = groups((tmp_path / "offers.svg").read_bytes()), report(TEMPLATE)
    assert sum(offer["recommended"] for offer in told["offers"]) == 1
    for offer in told["offers"]:
        group = found[f"offer-{offer['n']}"]
        words = " ".join("".join(one.itertext()) for one in group.iter())
        assert ("recommended" in words) == offer["recommended"]
        in_way = [one for one in offer["clashes"] if one["kind"] == "overlaps"]
        holes = len({one["hole"] for one in in_way})
        said = re.search(r"(\d+) old holes? in the way", words)
        assert (int(said[1]) if said else 0) == holes
        # A fine upright line leads from a new closure to the old hole that is in its way, and none from any other.
        ends = [numbers(one) for one in group.iter(f"{SVG}path") if one.get("d")]
        upright = {round(one[0], 2) for one in ends if len(one) == 4 and one[0] == one[2] and one[3] < one[1]}
        expected = {round(10 + 190 * offer["along_mm"][one["mark"] - 1] / 640, 2) for one in in_way}
        assert upright == expected, offer["n"]
        # Squares of 3.4 mm are the old closures, in their order; those whose places are given up are dashed.
        drawn = [
            one for one in group.iter(f"{SVG}path") if one.get("d", "").endswith("Z") and "C" not in one.get("d", "")
        ]
        squares = [one for one in drawn if numbers(one)[2] - numbers(one)[0] == pytest.approx(3.4, abs=1e-3)]
        dashed = [n for n, one in enumerate(squares, 1) if "stroke-dasharray" in one.attrib]
        assert len(squares) == 7 and dashed == offer["given_up"]
        # An old buttonhole begins 1/8 in before its button, 87 mm after the one before.
        slits = [numbers(one)[0] for one in group.findall(f"{SVG}path") if "C" in one.get("d", "")]
        assert slits == pytest.approx([10 + 190 * (60 + 87 * n - 3.175) / 640 for n in range(7)], abs=1e-3)


def test_every_figure_of_the_report_is_the_same_on_a_second_run(tmp_path: Path):
    for folder in ("a", "b"):
        run("swap", TEMPLATE, "--take", 2, "--out", tmp_path / folder)
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes()


def test_false_buttons_on_a_pattern_are_bought_not_taken_off(tmp_path: Path):
    drawn = report(changed(tmp_path, ("made = true }", "made = false }")))["offers"]
    made = report(TEMPLATE)["offers"]
    told = [next(o["changes"] for o in offers if "false" in o["name"]) for offers in (drawn, made)]
    assert any("they are bought besides" in change for change in told[0])
    assert any("those taken off will do" in change for change in told[1])


def test_failed_check_is_told_once_and_names_its_lap(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("COLUMNS", "100")
    _, out, _ = run("swap", changed(tmp_path, ('cloth = "oxford"', 'cloth = "melton"')))
    offer = out[out.index("1  keep every old place") : out.index("2  keep the two ends")]
    assert offer.count("too short by") + offer.count("too\n     short by") <= 2
    for lap in ("over", "under"):
        assert f"FAIL layer thickness, {lap} lap, as told above" in offer


@pytest.mark.parametrize("key", ["swap", "change"])
def test_wide_gap_is_refused_where_old_closures_are_told(key: str, tmp_path: Path):
    plan = changed(tmp_path)
    text = plan.read_text(encoding="utf-8") + '\n[sheets]\nclosing = "wide gap"\n'
    if key == "change":
        start, end = text.index("[swap]"), text.index("# What is wanted.")
        text = text[:start] + '[change]\nlengthen = { at = "300 mm", by = "30 mm" }\n' + text[end:]
    plan.write_text(text, encoding="utf-8")
    code, out, err = run("swap", plan)
    assert code == 2 and out == ""
    assert re.search(r"\[sheets\] closing: no offer has a wide gap.*numbers", err)


def test_offers_picture_explains_its_signs_and_shows_slits_across(tmp_path: Path):
    plan = changed(tmp_path, ('way = "along"', 'way = "across"'))
    assert run("swap", plan, "--picture", tmp_path / "offers.svg")[0] == 0
    svg = (tmp_path / "offers.svg").read_bytes()
    found = groups(svg)
    for words in ("old, its place stays", "old, its place is given up", "old buttonhole", "old hole in the way"):
        assert words.encode() in svg
    assert "key" in found
    # A slit across the line stands upright above its place.
    spans = []
    for path in (one for one in found["offer-1"].iter(f"{SVG}path") if one.get("d")):
        values = numbers(path)
        spans.append((max(values[0::2]) - min(values[0::2]), max(values[1::2]) - min(values[1::2])))
    assert sum(1 for w, h in spans if w < 2.5 and h == pytest.approx(5.8, abs=0.01)) == 7


@pytest.mark.parametrize(
    ("cloth", "says"), [("oxford", "close with steam"), ("coated polyester", "stay in such cloth")]
)
def test_how_an_old_closure_comes_off_is_told_for_the_cloth_and_leaves_no_brace(cloth: str, says: str, tmp_path: Path):
    plan = changed(tmp_path, ('cloth = "oxford"', f'cloth = "{cloth}"'))
    _, out, _ = run("swap", plan)
    run("swap", plan, "--take", 2, "--out", tmp_path / "out")
    removal = report(plan)["swap"]["from"]["removal"]
    page = (tmp_path / "out" / "report.md").read_text(encoding="utf-8")
    for words in (removal, " ".join(out.split()), page):
        assert says in words and "{" not in words
