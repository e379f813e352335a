"""The report: its figures against the sheets, read with a plain XML reader, and its words."""

import json
import math
import re
import xml.etree.ElementTree as ElementTree
from functools import partial
from pathlib import Path

import pytest
from work import calls_of

from closures import shipped
from closures.app.job import advice_of, check_plan, load_plan, place_plan, result_files
from closures.checks.finding import Finding
from closures.plan.reading import read_plan
from closures.report.figures import report_figures
from closures.report.page import marks_in_words, report_page
from closures.report.tally import BOTH, grouped, tally, tally_in_words, wrong_in_words
from closures.report.terminal import report_terminal

SVG = "{http://www.w3.org/2000/svg}"
PLANS = {name: folder / "plan.toml" for name, folder in shipped.starting_plans().items()}
CURVED = PLANS["curved-front"]


@pytest.fixture(scope="module")
def curved():
    return place_plan(load_plan(CURVED), CURVED)


def report_of(answer):
    return report_figures(answer.placement, answer.findings, answer.sheets)


def centres(svg: bytes, lap: str) -> dict[int, tuple[float, float]]:
    found = {}
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):
        name = group.get("id", "")
        if name.startswith(f"{lap}-") and name.removeprefix(f"{lap}-").isdigit():
            (circle,) = [c for c in group.iter(f"{SVG}circle") if "centre" in (c.get("class") or "").split()]
            found[int(name.removeprefix(f"{lap}-"))] = (float(circle.get("cx")), float(circle.get("cy")))
    return found


def assert_sheets_agree(report, written):
    """Every mark of every sheet is where the report says, and both laps of a mark are one point of the garment."""
    garment = {}
    marks = [*report["marks"], *report.get("beside", ())]
    for sheet in report["sheets"]:
        root = ElementTree.fromstring(written[sheet["file"]])
        assert root.get("width").endswith("mm") and root.get("height").endswith("mm")
        size = [float(root.get(side)[:-2]) for side in ("width", "height")]
        assert size == pytest.approx(sheet["size_mm"], abs=1e-4)
        assert [float(v) for v in root.get("viewBox").split()] == pytest.approx([0, 0, *size], abs=1e-4)
        drawn = centres(written[sheet["file"]], sheet["lap"])
        carried = [mark for mark in marks if mark[sheet["lap"]] is not None]
        assert sorted(drawn) == [mark["n"] for mark in carried]
        ox, oy = sheet["origin_mm"]
        for mark in carried:
            x, y = drawn[mark["n"]]
            back = (ox - x if sheet["flipped"] else x - ox, y - oy)
            # Four decimals in the drawing and four in the report.
            on_lap = mark[sheet["lap"]]
            assert back == pytest.approx((on_lap["x_mm"], on_lap["y_mm"]), abs=2e-4)
            garment.setdefault(mark["n"], []).append(back)
    # Of a pair, the under lap's piece is the over lap's turned over: its mark too, where both lie as far from the edge.
    sign = -1.0 if report["garment"]["pieces"] == "pair" else 1.0
    for mark in marks:
        over, under = mark["over"], mark["under"]
        if over is None or under is None:
            continue
        # Columns lie unlike far from the two edges, and an eye stands out past its own.
        is_unlike = abs(over["edge_distance_mm"] - under["edge_distance_mm"]) > 2e-4
        if sign < 0 and (is_unlike or report["closure"]["kind"] in ("hook and eye", "hook tape")):
            continue
        points = garment[mark["n"]]
        assert points[0] == pytest.approx((sign * points[-1][0], points[-1][1]), abs=2e-4)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("face", ["outside", "inside"])
def test_sheets_agree_with_the_report_and_the_laps_are_the_same_points(name, face):
    answer = place_plan(load_plan(PLANS[name]), PLANS[name], face)
    written = result_files(answer, "a4")
    report = json.loads(written["report.json"])
    # The other piece of a pair is drawn the other way over.
    flipped = [face == "inside"] * 2 + ([face != "inside"] * 2 if name == "cuff" else [])
    assert [sheet["flipped"] for sheet in report["sheets"]] == flipped
    assert_sheets_agree(report, written)


@pytest.mark.parametrize("lap", ["over", "under"])
def test_a_mark_moved_by_a_hundredth_of_a_millimetre_is_noticed(curved, lap):
    written = result_files(curved, "a4")
    root = ElementTree.fromstring(written[f"{lap}.svg"])
    (group,) = [group for group in root.iter(f"{SVG}g") if group.get("id") == f"{lap}-2"]
    (circle,) = [circle for circle in group.iter(f"{SVG}circle") if circle.get("class") == "centre"]
    circle.set("cx", str(float(circle.get("cx")) + 0.01))
    with pytest.raises(AssertionError):
        assert_sheets_agree(report_of(curved), {**written, f"{lap}.svg": ElementTree.tostring(root)})


def test_report_holds_what_programs_rely_on(curved):
    report = report_of(curved)
    assert set(report) >= {"title", "closure", "closing_line", "spacing", "marks", "checks", "parts", "sheets"}
    assert set(report["closing_line"]) >= {"length_mm", "edge_length_mm", "tightest_radius_mm"}
    assert set(report["spacing"]) >= {"count", "gaps_mm", "smallest_mm", "largest_mm", "spread_mm", "departure_mm"}
    assert set(report["marks"][0]) >= {
        "n",
        "along_mm",
        "level_mm",
        "x_mm",
        "y_mm",
        "anchor",
        "shift_mm",
        "straight_to_next_mm",
        "over",
        "under",
    }
    assert set(report["marks"][0]["over"]) >= {"edge_distance_mm", "stack_mm"}
    assert set(report["checks"][0]) == {"rule", "lap", "mark", "result", "found_mm", "limit_mm", "text", "source"}
    assert {"file", "lap", "face", "flipped", "origin_mm", "size_mm"} <= set(report["sheets"][0])


def test_report_figures_agree_among_themselves(curved):
    report = report_of(curved)
    marks, gaps = report["marks"], report["spacing"]["gaps_mm"]
    for mark, after, gap in zip(marks, marks[1:], gaps, strict=False):
        assert after["along_mm"] - mark["along_mm"] == pytest.approx(gap, abs=2e-4)
        chord = math.dist((mark["x_mm"], mark["y_mm"]), (after["x_mm"], after["y_mm"]))
        assert mark["straight_to_next_mm"] == pytest.approx(chord, abs=2e-4)
        assert chord <= gap + 1e-4
    assert marks[-1]["straight_to_next_mm"] is None
    assert report["spacing"]["spread_mm"] == pytest.approx(max(gaps) - min(gaps), abs=2e-4)


def test_report_counts_parts_with_spare_and_trial_pieces():
    plan = read_plan(CURVED.read_bytes().replace(b"spare = 2", b"spare = 3"), "plan.toml")
    report = report_of(check_plan(plan, CURVED))
    count = report["spacing"]["count"]
    assert {(p["part"], p["lap"], p["count"], p["spare"], p["trial"], p["total"]) for p in report["parts"]} == {
        (part, lap, count, 3, 1, count + 4)
        for part, lap in (("cap", "over"), ("socket", "over"), ("stud", "under"), ("prong ring", "under"))
    }


def test_running_distances_on_the_page_are_rounded_once_each():
    # A duvet: 7 gaps of 185.714; a pitch rounded to 1/8 in and stepped would end 10.95 mm short.
    path = PLANS["duvet-foot"]
    answer = check_plan(load_plan(path), path)
    from closures.lengths import format_inches, parse_length_mm

    for mark in answer.placement.marks:
        shown = parse_length_mm(format_inches(mark.along_mm))
        assert abs(shown - mark.along_mm) <= 25.4 / 32 + 1e-9
        assert f"| {mark.n} |" in report_page(answer.placement, answer.findings, (), advice_of(answer)).decode()


def test_page_keeps_a_title_with_markup_in_one_line():
    plan = read_plan(CURVED.read_bytes().replace(b"Saltmarsh day dress", b"A | *bold* <b> # `x`"), "plan.toml")
    answer = check_plan(plan, CURVED)
    first = report_page(answer.placement, answer.findings, (), advice_of(answer)).decode().splitlines()[0]
    assert first == r"# A \| \*bold\* \<b\> \# \`x\`"


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        pytest.param([], "", id="none"),
        pytest.param([3], ", mark 3", id="one"),
        pytest.param([1, 2], ", marks 1 and 2", id="two"),
        pytest.param([1, 2, 3, 7], ", marks 1 to 3 and 7", id="a run and one more"),
    ],
)
def test_marks_in_words(marks, words):
    assert marks_in_words(marks) == words


def test_terminal_draws_the_row_in_proportion(curved):
    # The names of the ends stand above the row.
    _, row = report_terminal(curved.placement, curved.findings).split("\n\n")[1].splitlines()[:2]
    marks = [i for i, sign in enumerate(row) if sign == "o"]
    assert len(marks) == len(curved.placement.marks)
    length = curved.placement.laps.line.length_mm
    for at, mark in zip(marks, curved.placement.marks, strict=True):
        assert abs(at - 1 - mark.along_mm / length * (len(row) - 3)) <= 0.51


def test_terminal_uses_colour_only_when_told(curved):
    assert "\x1b" not in report_terminal(curved.placement, curved.findings)
    assert "\x1b[32mgood\x1b[0m" in report_terminal(curved.placement, curved.findings, colour=True)


def test_every_starting_plan_lies_in_the_templates_folder():
    assert all(path.parent.parent.name == "templates" for path in PLANS.values())
    assert Path(shipped.starting_plans_folder()).name == "templates"


def of(*results):
    return [Finding("rule", result, f"text {n}", "") for n, result in enumerate(results)]


@pytest.mark.parametrize(
    ("results", "says"),
    [
        (["pass"] * 3, "Every check passes: 3 good."),
        (["warn", "pass"], "1 to look at, 1 good."),
        (["fail", "pass", "pass"], "1 failed, 2 good."),
        (["fail", "warn", "warn", "pass"], "1 failed, 2 to look at, 1 good."),
        (["fail"], "1 failed."),
    ],
    ids=["none", "looks", "fails", "both", "nothing good"],
)
def test_checks_are_told_in_a_true_and_short_sentence(results, says):
    assert tally_in_words(of(*results)) == says


def test_what_spoils_all_else_is_told_before_what_is_not_known():
    told = [("layer thickness", "warn"), ("ends", "warn"), ("edge distance", "fail"), ("two lines", "pass")]
    found = [Finding(rule, result, "text", "") for rule, result in told]
    assert [finding.rule for finding, _ in grouped(found)] == ["edge distance", "ends", "layer thickness", "two lines"]


def test_what_is_said_of_seven_marks_at_once_counts_once_wherever_it_is_counted(curved):
    seven = [Finding("widest gap", "warn", "the gap to the next mark is wide", "", None, n) for n in range(1, 8)]
    findings = [*seven, *of("pass", "pass")]
    assert tally_in_words(findings) == "1 to look at, 2 good."
    assert wrong_in_words(findings) == "1 to look at"
    listed = [
        line
        for line in report_page(curved.placement, findings, (), advice_of(curved)).decode().splitlines()
        if line.startswith("- **look**")
    ]
    assert len(listed) == 1
    told = report_terminal(curved.placement, findings)
    assert told.count("\nlook  ") == 1 and "good  2 checks passed." in told


def test_what_is_wrong_in_the_same_words_on_both_laps_is_told_and_counted_once(tmp_path: Path) -> None:
    text = (shipped.starting_plans()["shirt-front"] / "plan.toml").read_text()
    (tmp_path / "plan.toml").write_text(
        re.sub(r"(?m)^inset.*\n", "", re.sub(r"(?m)^width = .*", 'width = "12 mm"', text))
    )
    answer = check_plan(load_plan(tmp_path / "plan.toml"))
    # Edge distance is mended by `inset` on one lap and by `under_inset` on the other: two failures.
    told = [(one.result, one.rule, one.lap) for one, _ in grouped(answer.findings) if one.result != "pass"]
    assert told == [
        ("fail", "edge distance", "over"),
        ("fail", "edge distance", "under"),
        ("warn", "band width", "both"),
    ]
    said = report_terminal(answer.placement, answer.findings)
    assert said.count("look  band width, both laps, marks 1 to 7: ") == said.count("look  band width") == 1
    assert tally(answer.findings)[:2] == (2, 1)


def test_findings_are_put_together_in_step_with_their_number() -> None:
    def on_both_laps(count: int) -> list[Finding]:
        return [Finding("gap", "fail", f"gap {k}", "", lap) for lap in ("over", "under") for k in range(count)]

    assert [(one.lap, marks) for one, marks in grouped(on_both_laps(2))] == [(BOTH, []), (BOTH, [])]
    few, many = (calls_of(partial(grouped, on_both_laps(count))) for count in (100, 400))
    assert many < 5 * few
