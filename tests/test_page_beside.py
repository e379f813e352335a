"""What lies beside the row, on the page: listed, named, bought, pictured from the side, tried, and told apart in the picture."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from starlette.testclient import TestClient

from closures import check_plan
from closures.app.web.app import make_app
from closures.app.web.listed_marks import listed_marks
from closures.app.web.worn import draw_worn
from closures.checks.finding import Finding
from closures.jobs.table.trial import tried_share
from closures.plan.reading import read_plan

PORT = 5006
COAT = """
title = "Hornbeam coat"
[edge]
straight = "760 mm"
[garment]
opens = "front"
pieces = "pair"
state = "cut pieces"
[band]
width = "190 mm"
inset = "28 mm"
lap = "right over left"
[column]
apart = "130 mm"
works = false
inner = { kind = "sew-through button", size = "24 L" }
[closure]
kind = "sew-through button"
size = "36 L"
thickness = "4 mm"
hole = "across"
[spacing]
first = "25 mm"
last = "375 mm"
count = 4
"""
BLOUSE = """
title = "Hornbeam blouse"
[edge]
straight = "500 mm"
[garment]
opens = "back"
[band]
width = "32 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
[spacing]
first = "40 mm"
last = "60 mm"
count = 6
[[layer]]
cloth = "cotton poplin"
count = 2
[[single]]
kind = "SINGLE"
size = "SIZE"
along = "10 mm"
"""
WITH_SNAP = BLOUSE.replace("SINGLE", "prong snap").replace("SIZE", "16 L")
WITH_HOOK = BLOUSE.replace("SINGLE", "hook and eye").replace("SIZE", "2")


def page_of(text: str, folder: Path) -> str:
    """The page of a plan, as the server sends it."""
    from closures.app.web.table import files_beside

    (folder / "plan.toml").write_text(text, encoding="utf-8")
    page, first = make_app(PORT, files_beside(folder / "plan.toml"))
    answer = TestClient(page, base_url=f"http://127.0.0.1:{PORT}").get(first)
    assert answer.status_code == 200
    return " ".join(answer.text.split())


def rows_of(page: str) -> dict[int, str]:
    """The rows of the list of marks, without their elements."""
    found = re.findall(r'<tr id="row-(\d+)">(.*?)</tr>', page)
    return {int(n): " ".join(re.sub(r"<[^>]*>", " ", row).split()) for n, row in found}


def hung_at(drawn: str, seen: str) -> list[tuple[float, float, str]]:
    """Where lettering of a class hangs in the picture, and what it says."""
    hung = rf'translate\(([-\d.]+) ([-\d.]+)\)"><text[^>]*?\bx="([-\d.]+)"[^>]*?\by="([-\d.]+)"[^>]*class="{seen}[^"]*"[^>]*>([^<]+)<'
    return [(float(x0) + float(x), float(y0) + float(y), text) for x0, y0, x, y, text in re.findall(hung, drawn)]


def test_every_mark_beside_the_row_is_listed_with_what_it_is_and_how_far_it_lies_from_the_edges(tmp_path: Path) -> None:
    rows = rows_of(page_of(COAT, tmp_path))
    assert list(rows) == list(range(1, 10))
    assert "sew-through button for show 36 L" in rows[5] and "158 mm in from the over lap’s edge" in rows[5]
    assert "under lap" not in rows[5]
    assert "hidden: sew-through button 24 L" in rows[9] and "28 mm in from the under lap’s edge" in rows[9]
    assert "Lock" in rows[1] and "Lock" not in rows[5]


def test_kinds_that_differ_are_listed_and_bought_by_their_names(tmp_path: Path) -> None:
    page = re.sub(r"<[^>]*>", "", page_of(WITH_HOOK, tmp_path))
    assert "Marks 1 to 6 (sew-through button 18 L, hole along)" in page and "Mark 7 (hook and eye 2)" in page
    assert "hook, hook and eye 2" in page and "button, sew-through button 18 L" in page


def test_a_row_of_one_kind_lists_no_kinds(tmp_path: Path) -> None:
    page = page_of(BLOUSE.split("[[single]]")[0], tmp_path)
    assert "What is set" not in page and "On the under lap" not in page


def test_an_under_lap_with_figures_of_its_own_has_them_listed() -> None:
    placement = check_plan(read_plan(BLOUSE.split("[[single]]")[0].encode(), "plan.toml")).placement
    assert {row["under"] for row in listed_marks(placement, can_lock=False)} == {""}
    longer = tuple(
        replace(mark, under=None if mark.under is None else replace(mark.under, along_mm=1.1 * mark.along_mm))
        for mark in placement.marks
    )
    listed = listed_marks(replace(placement, marks=longer), can_lock=False)
    assert (listed[0]["along"], listed[0]["under"]) == ("40 mm", "44 mm")


def test_the_stack_picture_says_whose_stack_each_is(tmp_path: Path) -> None:
    page = page_of(WITH_SNAP, tmp_path)
    told = re.search(r'<img class="beside stack"[^>]*alt="([^"]*)"', page)
    assert told is not None
    assert "Marks 1 to 6 (sew-through button 18 L, hole along). The closure" in told[1]
    assert "Mark 7 (prong snap 16 L). The closure" in told[1]


def test_a_snap_beside_buttons_can_be_tried(tmp_path: Path) -> None:
    answer = check_plan(read_plan(WITH_SNAP.encode(), "plan.toml"))
    assert tried_share(answer.placement).fastener.kind == "prong snap"
    page = page_of(WITH_SNAP, tmp_path)
    assert "Set one of those of mark 7 (prong snap 16 L) on a scrap" in page and 'id="trial-keep"' in page
    assert 'id="trial-keep"' not in page_of(WITH_HOOK, tmp_path)


def test_gaps_stand_by_the_row_that_they_are_of() -> None:
    answer = check_plan(read_plan(COAT.encode(), "plan.toml"))
    row, column = answer.placement.marks[0].x_mm, answer.placement.beside[0].marks[0].x_mm
    gaps = hung_at(draw_worn(answer), "gap")
    assert len(gaps) == 3
    # The figure begins by its row; where it ends is as far as its letters are wide.
    assert all(abs(x - row) < abs(x - column) for x, _, _ in gaps)


def test_a_mark_beside_the_row_that_a_check_speaks_of_is_marked_and_found_by_its_link() -> None:
    answer = check_plan(read_plan(COAT.encode(), "plan.toml"))
    wrong = Finding("edge distance", "fail", "it lies too near", "", mark=6, lap="over")
    drawn = draw_worn(replace(answer, findings=(*answer.findings, wrong)))
    assert {f'id="mark-{n}"' in drawn for n in range(1, 10)} == {True}
    assert re.search(r'<g id="mark-6" class="mark fail over"', drawn) is not None
    assert "✕ 6" in {text for _, _, text in hung_at(drawn, "number")}
    assert re.search(r'<g id="mark-7" class="mark pass over"', drawn) is not None


def test_figures_of_gaps_beside_a_slanted_row_stand_whole_in_the_picture() -> None:
    from closures.app.web.table import files_beside

    plan = Path(__file__).resolve().parent.parent / "templates" / "side-opening" / "plan.toml"
    text, title, files = files_beside(plan)
    drawn = draw_worn(check_plan(read_plan(text, title), files))
    left = float(re.search(r'viewBox="([-\d.]+) ', drawn)[1])  # type: ignore[index]
    em = float(re.search(r'data-em="([\d.]+)"', drawn)[1])  # type: ignore[index]
    figures = hung_at(drawn, "gap")
    assert len(figures) == 6
    # They end where they hang; letters of a usual sans serif are 0.6 of their size wide, these 0.85 of the picture's.
    assert min(x - 0.85 * 0.6 * len(told) * em for x, _, told in figures) > left
