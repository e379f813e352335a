"""The page without a browser: what it keeps, what it refuses, and that it answers as the command does."""

from __future__ import annotations

import html
import io
import json
import re
import shutil
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app as command
from closures.app.web.app import make_app
from closures.app.web.bench import MOST_STEPS, Bench, Refusal, Step
from closures.app.web.fields import FIELDS, field_named, values_of, with_fields
from closures.app.web.guard import LARGEST_UPLOAD_BYTES
from closures.app.web.moves import InHand, in_units, lock_mark, lock_of, move_anchor, move_zone, unlock_mark
from closures.app.web.placed import answer_of, plan_of, results_of
from closures.app.web.print_judged import judged
from closures.app.web.reading_page import page_of
from closures.app.web.table import MOST_BENCHES, Hand, Table, files_beside
from closures.app.web.telling import banner, keeping, picture_parts
from closures.app.web.typed_unit import with_unit
from closures.app.web.wording import in_fields
from closures.plan.editing import value_of
from closures.plan.plan import SECTIONS, TOP
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PORT = 8471
HOME = f"http://127.0.0.1:{PORT}"
STARTING = sorted(path.parent.name for path in TEMPLATES.glob("*/plan.toml"))
# What cannot be placed without being told more than the plan says is left out by its own tests, not here.
SENT = {"origin": HOME}
JSON = {"accept": "application/json", **SENT}


def bench_of(name: str) -> tuple[Table, Bench]:
    table = Table()
    return table, table.lay(*files_beside(TEMPLATES / name / "plan.toml"))


def in_hand(bench: Bench) -> InHand:
    return InHand(bench.step.text, plan_of(bench), answer_of(bench).placement)


def client_of(plan: Path) -> tuple[TestClient, str]:
    page, first = make_app(PORT, files_beside(plan))
    return TestClient(page, base_url=HOME, follow_redirects=False), first


def client_for(name: str = "curved-front") -> tuple[TestClient, str]:
    return client_of(TEMPLATES / name / "plan.toml")


def of_three_sizes(folder: Path) -> Path:
    """The starting plan of eight sizes with three of them, which say as much of what is the same and draw less."""
    text = (TEMPLATES / "eight-sizes" / "plan.toml").read_text("utf-8")
    eight = '["8", "10", "12", "14", "16", "18", "20", "22"]'
    assert eight in text
    (folder / "plan.toml").write_text(text.replace(eight, '["12", "14", "16"]'), encoding="utf-8")
    shutil.copy(TEMPLATES / "eight-sizes" / "front.svg", folder)
    return folder / "plan.toml"


@pytest.fixture
def page() -> Iterator[tuple[TestClient, str]]:
    client, first = client_for()
    with client:
        yield client, first


# The same as the command


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_starting_plan_lies_on_the_table_and_is_reported_byte_for_byte_as_by_the_command(
    name: str, tmp_path: Path
) -> None:
    plan = TEMPLATES / name / "plan.toml"
    if name == "eight-sizes":
        plan = of_three_sizes(tmp_path)
    made = CliRunner().invoke(command, ["place", str(plan), "--out", str(tmp_path / "out")])
    assert made.exit_code in (0, 1), made.output
    client, first = client_of(plan)
    answered = client.get(first)
    assert answered.status_code == 200
    assert answered.text.count('id="worn"') == 1 and 'id="mark-1"' in answered.text
    assert client.get(f"{first}/report").status_code == 200
    got = client.get(f"{first}/files/report.json")
    assert got.status_code == 200
    assert got.content == (tmp_path / "out" / "report.json").read_bytes()


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", ["curved-front", "sash-belt", "eight-sizes"])
def test_report_of_the_page_is_byte_for_byte_that_of_the_python_call(name: str, tmp_path: Path) -> None:
    """The call gives the files before they are written; what writes them adds the list of their hashes, for all three."""
    import closures
    from closures.results.standing import sealed

    path = of_three_sizes(tmp_path) if name == "eight-sizes" else TEMPLATES / name / "plan.toml"
    plan = closures.load_plan(path)
    if plan.sizes is None:
        made = closures.result_files(closures.place_plan(plan, path), "a4")
    else:
        made = closures.size_files(closures.place_sizes(plan, path), "a4")
    client, first = client_of(path)
    assert client.get(f"{first}/files/report.json").content == sealed(made)["report.json"]


def test_report_after_a_change_is_that_of_the_command_for_the_saved_plan(
    page: tuple[TestClient, str], tmp_path: Path
) -> None:
    client, first = page
    moved = {"do": "move", "what": "anchor", "n": "0", "along": "231"}
    assert client.post(f"{first}/change", data=moved, headers=JSON).json()["ok"]
    (tmp_path / "plan.toml").write_bytes(client.get(f"{first}/files/plan.toml").content)
    (tmp_path / "front.svg").write_bytes((TEMPLATES / "curved-front" / "front.svg").read_bytes())
    made = CliRunner().invoke(command, ["place", str(tmp_path / "plan.toml"), "--out", str(tmp_path / "out")])
    assert made.exit_code == 0, made.output
    for name in ("report.json", "over.svg", "under.svg", "marking.pdf", "report.md"):
        assert client.get(f"{first}/files/{name}").content == (tmp_path / "out" / name).read_bytes(), name


def test_plan_that_nobody_changed_is_saved_as_it_came(page: tuple[TestClient, str]) -> None:
    client, first = page
    saved = client.get(f"{first}/files/plan.toml").content
    assert saved == (TEMPLATES / "curved-front" / "plan.toml").read_bytes()


def test_zip_holds_the_results_the_plan_and_its_drawing(page: tuple[TestClient, str]) -> None:
    client, first = page
    packed = client.get(f"{first}/files/all.zip").content
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        names = set(archive.namelist())
        assert {"over.svg", "under.svg", "marking.pdf", "report.json", "report.md", "plan.toml", "front.svg"} <= names
    assert packed == client.get(f"{first}/files/all.zip").content


# Steps


def test_what_is_refused_together_is_marked_in_every_field_that_it_was_typed_in() -> None:
    """A field that shows what the plan does not hold, and says nothing, would be taken for what is drawn."""
    table, bench = bench_of("side-opening")
    typed = {**values_of(bench.step.text), "edge.arc.radius": "12 mm", "edge.trace.sheet": "a4"}
    # As a browser without scripts may send it: nobody said which of the ways to tell an edge is meant.
    del typed["edge.by"]
    refused = table.change(bench.name, Hand("redraw", typed)).refusal
    assert refused is not None
    assert set(refused.words) == {"edge.arc.radius", "edge.trace.sheet"}
    assert refused.words["edge.trace.sheet"] == "Not taken yet: it goes with “Radius”."
    # Which of the ways is meant is no field of its own.
    typed = {**values_of(bench.step.text), "spacing.by": "count", "spacing.count": "8 L"}
    refused = table.change(bench.name, Hand("redraw", typed)).refusal
    assert refused is not None and set(refused.words) == {"spacing.count"}


def test_undo_and_redo_go_over_the_same_texts() -> None:
    table, bench = bench_of("shirt-front")
    texts = [bench.step.text]
    for along in ("230", "240", "250"):
        typed = {"what": "anchor", "n": "0", "along": along}
        texts.append(table.change(bench.name, Hand("move", typed)).step.text)
    assert len(set(texts)) == 4
    assert [table.change(bench.name, Hand("undo", {})).step.text for _ in range(3)] == texts[2::-1]
    assert not table.find(bench.name).can_undo
    assert [table.change(bench.name, Hand("redo", {})).step.text for _ in range(3)] == texts[1:]
    assert not table.find(bench.name).can_redo


def test_gesture_is_one_step_to_undo() -> None:
    table, bench = bench_of("shirt-front")
    for along in range(220, 250):
        table.change(bench.name, Hand("move", {"what": "anchor", "n": "0", "along": str(along)}, "drag-1"))
    assert len(table.find(bench.name).steps) == 2
    assert table.change(bench.name, Hand("undo", {})).step.text == bench.step.text


def test_step_after_an_undo_drops_what_was_gone_back_over() -> None:
    bench = Bench("x", "plan.toml", {}, (Step("a"),)).taken(Step("b")).taken(Step("c")).undone().taken(Step("d"))
    assert [step.text for step in bench.steps] == ["a", "b", "d"] and not bench.can_redo


def test_same_text_again_is_no_step() -> None:
    bench = Bench("x", "plan.toml", {}, (Step("a"),))
    assert bench.taken(Step("a", gesture="drag-1")).steps == bench.steps


def test_steps_are_kept_up_to_a_limit() -> None:
    bench = Bench("x", "plan.toml", {}, (Step("0"),))
    for i in range(MOST_STEPS + 20):
        bench = bench.taken(Step(str(i)))
    assert len(bench.steps) == MOST_STEPS and bench.step.text == str(MOST_STEPS + 19)


def test_kind_and_size_that_are_changed_together_are_judged_together() -> None:
    table, bench = bench_of("sash-belt")
    refused = table.change(bench.name, Hand("redraw", {"closure.kind": "eyelet", "closure.size": "4 mm"})).refusal
    assert refused is not None and set(refused.words) == {"closure.kind", "closure.size"}
    assert "eyelets are holes at both ends" in refused.words["closure.kind"].casefold()
    assert refused.words["closure.size"] == "Not taken yet: it goes with “Closure, Kind”."


def test_undo_of_a_change_that_failed_takes_no_step_before_it_back() -> None:
    table, bench = bench_of("curved-front")
    after = table.change(bench.name, Hand("units in", {}))
    failed = table.change(bench.name, Hand("set anchor", {"along": "here"}))
    assert failed.refusal is not None and failed.refusal.sentences and failed.steps == after.steps
    back = table.change(bench.name, Hand("undo", {}))
    assert back.refusal is None and back.step == after.step
    assert table.change(bench.name, Hand("undo", {})).step == bench.step


def test_text_that_is_read_names_what_was_put_in_beside_it_since_it_was_begun() -> None:
    table, bench = bench_of("curved-front")
    begun = bench.step.text
    mine = begun.replace("Saltmarsh day dress", "Heron day dress").replace('widest = "3 1/2 in"', 'widest = "85 mm"')
    for typed in ({"spacing.widest": "90"}, {"spacing.closest": "21 mm"}, {"band.under_width": "none"}):
        table.change(bench.name, Hand("redraw", typed))
    read = table.change(bench.name, Hand("text", {"text": mine}, begun=begun))
    assert read.step.text == mine and read.refusal is not None and not read.refusal.words
    told = {one.place: one.typed for one in read.refusal.dropped}
    assert told == {"spacing.widest": "90 mm", "spacing.closest": "21 mm", "band.under_width": "none"}
    put_in = table.change(bench.name, Hand("redraw", {"spacing.widest": "90 mm", "spacing.closest": "21 mm"}))
    assert plan_of(put_in).spacing.widest_mm == 90 and plan_of(put_in).title == "Heron day dress"  # type: ignore[union-attr]
    # Nothing was put in since: nothing is named. Neither is what the text tells as the field did, in other units too.
    assert table.change(bench.name, Hand("text", {"text": mine}, begun=put_in.step.text)).refusal is None
    table.change(bench.name, Hand("units in", {}))
    same = table.change(bench.name, Hand("text", {"text": begun}, begun=mine))
    assert same.refusal is not None and [one.place for one in same.refusal.dropped] == [".units"]


def test_refusal_leaves_steps_and_is_gone_after_the_next_change() -> None:
    bench = Bench("x", "plan.toml", {}, (Step("a"),)).refused(Refusal(("no",)))
    assert bench.step.text == "a" and bench.refusal is not None
    assert bench.taken(Step("b")).refusal is None


def test_plan_longest_untouched_makes_room() -> None:
    table, bench = bench_of("shirt-front")
    source = files_beside(TEMPLATES / "shirt-front" / "plan.toml")
    second = table.lay(*source)
    table.find(bench.name)
    for _ in range(MOST_BENCHES - 1):
        table.lay(*source)
    assert table.find(bench.name).name == bench.name
    with pytest.raises(Exception, match="no longer on the table"):
        table.find(second.name)


# Fields


@pytest.mark.parametrize("name", STARTING)
def test_fields_sent_back_as_they_are_shown_change_nothing(name: str) -> None:
    text = (TEMPLATES / name / "plan.toml").read_text("utf-8")
    assert with_fields(text, values_of(text)) == text


@pytest.mark.parametrize("name", STARTING)
def test_fields_alone_make_the_same_plan(name: str) -> None:
    text = (TEMPLATES / name / "plan.toml").read_text("utf-8")
    again = with_fields("", values_of(text))
    assert read_plan(again.encode(), "plan.toml") == read_plan(text.encode(), "plan.toml")


@pytest.mark.parametrize("name", STARTING)
def test_whole_form_sent_back_leaves_the_plan_as_it_stands(name: str) -> None:
    text = (TEMPLATES / name / "plan.toml").read_text("utf-8")
    assert with_fields(text, values_of(text)) == text


def test_whole_form_sent_back_gives_the_same_report() -> None:
    table, bench = bench_of("curved-front")
    before = results_of(bench)["report.json"]
    after = table.change(bench.name, Hand("redraw", values_of(bench.step.text)))
    assert after.refusal is None
    assert results_of(after)["report.json"] == before


@pytest.mark.parametrize(
    ("typed", "where", "holds"),
    [
        ({"spacing.pitch": "70 mm"}, ("spacing", "pitch"), "70 mm"),
        ({"spacing.first": "1/2 in to 3/4 in"}, ("spacing", "first"), {"from": "1/2 in", "to": "3/4 in"}),
        ({"closure.grip": "0.5 mm to 1.5 mm"}, ("closure", "grip"), ["0.5 mm", "1.5 mm"]),
        ({"closure.spare": "7"}, ("closure", "spare"), 7),
        ({"closure.spare": "many"}, ("closure", "spare"), "many"),
        ({"edge.reverse": "yes"}, ("edge", "reverse"), True),
        ({".title": "Another"}, ("title",), "Another"),
    ],
    ids=["length", "range", "span", "whole number", "no number", "switch", "title"],
)
def test_field_becomes_the_key(typed: dict[str, str], where: tuple[str, ...], holds: object) -> None:
    found: object = tomllib.loads(with_fields((TEMPLATES / "curved-front" / "plan.toml").read_text("utf-8"), typed))
    for key in where:
        assert isinstance(found, dict)
        found = found[key]
    assert found == holds


def test_switch_that_is_not_told_is_neither_on_nor_off_and_takes_a_no() -> None:
    text = (TEMPLATES / "curved-front" / "plan.toml").read_text("utf-8")
    bare = with_fields(text, {"layer.1.by": "thickness", "layer.1.thickness": "0.3 mm"})
    assert values_of(bare)["layer.1.clamped"] == ""
    told = with_fields(bare, {"layer.1.clamped": "no"})
    assert tomllib.loads(told)["layer"][1]["clamped"] is False and values_of(told)["layer.1.clamped"] == "no"
    assert with_fields(told, {"layer.1.clamped": ""}) == bare


def test_count_in_place_of_a_gap_takes_the_gap_out() -> None:
    table, bench = bench_of("curved-front")
    after = table.change(bench.name, Hand("redraw", {"spacing.by": "count", "spacing.count": "11"}))
    assert after.refusal is None, after.refusal
    assert len(answer_of(after).placement.marks) == 11 and value_of(after.step.text, "spacing", "pitch") is None


def test_rows_are_added_and_removed() -> None:
    table, bench = bench_of("curved-front")
    row = {
        "layer.0.cloth": "cotton sateen",
        "layer.0.count": "2",
        "layer.0.on": "",
        "layer.2.by": "thickness",
        "layer.2.thickness": "0.3 mm",
        "layer.2.count": "",
        "layer.2.on": "over",
    }
    added = table.change(bench.name, Hand("add layer", row))
    assert added.refusal is None and plan_of(added).layers[2].thickness_mm == 0.3
    removed = table.change(bench.name, Hand("remove layer 2", {}))
    assert [layer.cloth for layer in plan_of(removed).layers] == ["cotton sateen", "light fusible"]


def test_refused_change_keeps_the_picture_the_plan_and_what_was_typed(page: tuple[TestClient, str]) -> None:
    client, first = page
    before = client.get(first).text
    typed = {"do": "redraw", "band.width": "1,5 in"}
    answered = client.post(f"{first}/change", data=typed, headers=SENT)
    assert answered.status_code == 422
    assert "&#39;1,5 in&#39; is not a length" in answered.text and 'value="1,5 in"' in answered.text
    assert re.search(r'name="band.width"[^>]*aria-invalid="true"', answered.text)
    worn = re.compile(r'<svg id="worn".*?</svg>', re.DOTALL)
    first_found, second_found = worn.search(before), worn.search(answered.text)
    assert first_found is not None and second_found is not None and first_found[0] == second_found[0]
    assert client.get(f"{first}/files/plan.toml").content == (TEMPLATES / "curved-front" / "plan.toml").read_bytes()


def test_good_fields_are_taken_though_another_is_refused(page: tuple[TestClient, str]) -> None:
    client, first = page
    typed = {
        "do": "redraw",
        "band.width": "1,5 in",
        "spacing.pitch": "70 mm",
        "closure.spare": "5",
        "spacing.widest": "no",
    }
    parts = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert parts["ok"] is False and set(parts["words"]) == {"band.width", "spacing.widest"}
    assert parts["words"]["band.width"] == "'1,5 in' is not a length. Write 1.5 in, with a point for the decimals."
    plan = tomllib.loads(parts["text"])
    assert (plan["spacing"]["pitch"], plan["closure"]["spare"], plan["band"]["width"]) == ("70 mm", 5, "1 1/2 in")
    # What prints is what is shown: while something typed is not in the picture, nothing does.
    for name in ("marking.pdf", "over.svg", "all.zip", "report.json"):
        held = client.get(f"{first}/files/{name}")
        assert held.status_code == 422 and "Finished width; No gap wider than" in held.text
    assert client.get(f"{first}/files/plan.toml").text == parts["text"]
    # A later change is taken, and what waits still waits.
    moved = client.post(f"{first}/change", data={"do": "lock 1"}, headers=JSON).json()
    assert moved["ok"] is False and "picture" in moved and moved["values"]["band.width"] == "1,5 in"
    assert client.get(f"{first}/files/marking.pdf").status_code == 422
    mended = client.post(
        f"{first}/change", data={"do": "redraw", "band.width": "1.5 in", "spacing.widest": ""}, headers=JSON
    )
    assert mended.json()["ok"] is True
    assert client.get(f"{first}/files/marking.pdf").status_code == 200


def test_one_banner_tells_the_refusal_and_undo_takes_it_back_first(page: tuple[TestClient, str]) -> None:
    client, first = page
    client.post(f"{first}/change", data={"do": "redraw", "spacing.pitch": "70 mm"}, headers=JSON)
    parts = client.post(f"{first}/change", data={"do": "redraw", "band.width": "wide"}, headers=JSON).json()
    assert parts["result"] == "fail" and parts["brief"].startswith("Not in the picture yet: Finished width.")
    assert parts["can"]["undo"] is True
    back = client.post(f"{first}/change", data={"do": "undo"}, headers=JSON).json()
    assert back["ok"] is True and back["result"] == "pass" and back["values"]["band.width"] == "1 1/2 in"
    assert back["values"]["spacing.pitch"] == "70 mm"
    again = client.post(f"{first}/change", data={"do": "undo"}, headers=JSON).json()
    assert again["values"]["spacing.pitch"] == "3 in"


def test_words_beside_a_field_hold_no_section_key_or_bracket() -> None:
    table, bench = bench_of("curved-front")
    told = []
    for name in values_of(bench.step.text):
        found = field_named(name)
        if found is None or found[0].kind.shape in ("table", "tables"):
            continue  # These are written as "at = bust, level = 220 mm".
        for junk in ("x", "7", ""):
            table.keep(bench)
            after = table.change(bench.name, Hand("redraw", {name: junk}))
            if after.refusal is not None:
                told += [f"{name} {junk!r}: {why}" for why in after.refusal.words.values()]
    assert len(told) > 250
    texts = [line.partition(": ")[2] for line in told]
    assert [
        one for one in texts if re.search(r"[\[\]{}`]|[a-z]_[a-z]| = |toml|--|\bsection\b|without quotes", one)
    ] == []


@pytest.mark.parametrize(
    ("said", "place", "told"),
    [
        (
            'it is missing. Add width = "1 1/2 in".',
            "band.width",
            "“Finished width” is not told yet. Such as: 1 1/2 in.",
        ),
        (
            "exactly one of pitch, count is needed, and there are pitch and count. Keep one of them.",
            "spacing.count",
            "Just one of “Wanted gap”, “How many” is needed, and there are “Wanted gap” and “How many”. Keep one of them.",
        ),
        (
            'the plan does not say it. Write pieces = "pair" under [garment] (or --pieces pair).',
            "garment.pieces",
            "It is not told. Write “The pieces are”: “cut twice, one turned over” under “Garment”.",
        ),
        ("it goes with under only. Leave match out.", "edge.match", None),
        (
            'it lies above it: write lap = "left over right" under [band]',
            "garment.opens",
            "It lies above it: write “Which side lies on top”: left over right under “Band and lap”",
        ),
        ('it is missing. Add length = "2 in".', "edge.known.length", "“Its length” is not told yet. Such as: 2 in."),
        ('it is missing. Add length = "2 in".', "edge.known", "“Its length” is not told yet. Such as: 2 in."),
        (
            'it is missing. Add length = "2 m".',
            "edge.arc.length",
            "“Length along the arc” is not told yet. Such as: 2 m.",
        ),
        (
            "no row can have both: anchor bust at 9 mm; clear zone belt",
            "spacing.widest",
            "No row can have both: fixed place bust at 9 mm; clear stretch belt",
        ),
    ],
)
def test_fault_is_told_in_the_words_of_the_fields(said: str, place: str, told: str | None) -> None:
    assert in_fields(said, place) == (
        told or f"It only goes with “{FIELDS['edge.under'].label}”. Empty “{FIELDS['edge.match'].label}”."
    )


@pytest.mark.parametrize(
    ("units", "told", "least", "most"),
    [
        ("mm", "2 to 4 in", 50.8, 101.6),
        ("in", "2 to 4", 50.8, 101.6),
        ("in", "2–4", 50.8, 101.6),
        ("in", '2–4"', 50.8, 101.6),
        ("in", "1 1/2 to 4", 38.1, 101.6),
        ("in", "1½–4 in", 38.1, 101.6),
        ("mm", "5 cm to 10 cm", 50.0, 100.0),
    ],
)
def test_range_is_read_as_people_write_it(units: str, told: str, least: float, most: float) -> None:
    table, bench = bench_of("curved-front")
    table.change(bench.name, Hand(f"units {units}", {}))
    after = table.change(bench.name, Hand("redraw", {"spacing.last": told}))
    assert after.refusal is None, after.refusal
    spacing = plan_of(after).spacing
    assert spacing is not None and spacing.last is not None
    last = spacing.last
    assert (last.low_mm, last.high_mm) == pytest.approx((least, most))


def test_what_no_row_meets_is_offered_repairs_that_place_each_taken_with_a_button() -> None:
    table, bench = bench_of("curved-front")
    typed = {"spacing.by": "count", "spacing.count": "3", "spacing.pitch": "", "closure.cap": "wide"}
    refused = table.change(bench.name, Hand("redraw", typed)).refusal
    assert refused is not None and refused.offers and "spacing.count" in refused.asked
    after = table.change(bench.name, Hand("repair 0", {}))
    assert after.step.text == refused.offers[0][1]
    assert after.refusal is not None and list(after.refusal.words) == ["closure.cap"]
    assert answer_of(after).placement.marks


EIGHT = {"spacing.by": "count", "spacing.count": "8", "spacing.widest": ""}


def test_kept_row_is_told_beside_the_one_in_hand_and_taken_back(page: tuple[TestClient, str]) -> None:
    client, first = page

    def do(**typed: str) -> dict[str, Any]:
        return dict(client.post(f"{first}/change", data=typed, headers=JSON).json())

    assert "Keep this row to compare" in do(do="redraw")["compare_html"]
    do(do="compare keep")
    told = do(do="redraw", **{"spacing.pitch": "", **EIGHT})["compare_html"]
    kept, now = re.findall(r'<th scope="row">(?:Kept|Now)</th><td class="differs">([0-9]+)</td>', told)
    assert (kept, now) == ("10", "8") and '<td></td><th scope="col">Closures</th>' in told
    assert told.count('class="part"') == 18
    back = do(do="compare take")
    assert back["values"]["spacing.pitch"] == "3 in" and back["brief"].startswith("10 closures")
    assert do(do="undo")["values"]["spacing.count"] == "8"
    assert "<th scope=" not in do(do="compare drop")["compare_html"]


def test_field_that_another_choice_hides_is_not_asked_for_again(page: tuple[TestClient, str]) -> None:
    client, first = page
    chosen = {"do": "redraw", "spacing.by": "count"}
    client.post(f"{first}/change", data=chosen | {"spacing.pitch": "3 in", "spacing.count": ""}, headers=JSON)
    # A hand that types on before the answer is there sends the hidden field as it stood.
    typed = chosen | {"spacing.pitch": "3 in", "spacing.count": "11"}
    parts = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert parts["words"] == {} and parts["brief"].startswith("11 closures")
    assert parts["values"]["spacing.pitch"] == ""


def test_belt_tells_every_setting_and_which_one_is_worn() -> None:
    client, first = client_for("sash-belt")
    told = client.get(f"{first}/files/report.json").json()["belt"]["settings"]
    shown = client.get(first).text.split('aria-label="The settings"')[1].split("</tbody>")[0]
    rows = [re.sub(r"<[^>]+>", "|", row) for row in re.findall(r"<tr(?: class.*?)?><th scope=\"row\">.*?</tr>", shown)]
    assert [int(re.findall(r"\d+", row)[0]) for row in rows] == [one["n"] for one in told] and len(rows) > 1
    assert [("worn" in row) for row in rows] == [one["is_target"] for one in told]


def test_plan_is_saved_also_where_its_sheets_are_too_large_for_the_paper() -> None:
    client, first = client_for("cape-corner")
    typed = {"do": "redraw", "band.width": "400 mm", "band.inset": "20 mm", "edge.arc.radius": "2000 mm"}
    parts = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert parts["ok"] is True, parts["words"]
    assert client.get(f"{first}/files/marking.pdf").status_code == 422
    assert client.get(f"{first}/files/plan.toml").text == parts["text"]


@pytest.mark.parametrize("name", ["curved-front", "sash-belt"])
def test_banner_counts_the_notes_that_stand_below_it(name: str) -> None:
    _, bench = bench_of(name)
    told, brief = picture_parts(bench), banner(bench)["brief"]
    # The first note is the tape's, which is there always.
    notes = len(told["notes"]) - 1
    assert ("note" in brief) == bool(notes) and (not notes or f"{notes} note" in brief)


def home_of(tmp_path: Path) -> Path:
    shutil.copytree(TEMPLATES / "curved-front", tmp_path / "own")
    return tmp_path / "own" / "plan.toml"


def test_plan_with_a_home_is_kept_there_key_by_key_and_undone_there(tmp_path: Path) -> None:
    home = home_of(tmp_path)
    was, table = home.read_text(encoding="utf-8"), Table()
    bench = table.lay(*files_beside(home), home)
    table.change(bench.name, Hand("redraw", {"spacing.pitch": "70 mm"}))
    lines = list(zip(was.splitlines(), home.read_text(encoding="utf-8").splitlines(), strict=True))
    changed = [now for before, now in lines if before != now]
    assert len(changed) == 1 and changed[0].startswith('pitch = "70 mm" ') and "# the gap" in changed[0]
    table.change(bench.name, Hand("redraw", {"band.width": "wide"}))
    assert 'width = "wide"' not in home.read_text(encoding="utf-8")
    table.change(bench.name, Hand("undo", {}))
    table.change(bench.name, Hand("undo", {}))
    assert home.read_text(encoding="utf-8") == was


def test_home_that_another_program_changed_is_left_alone_and_it_is_said(tmp_path: Path) -> None:
    home, table = home_of(tmp_path), Table()
    bench = table.lay(*files_beside(home), home)
    others = home.read_text(encoding="utf-8") + "\n# by somebody else\n"
    home.write_text(others, encoding="utf-8")
    # A page that is loaded anew before anything is changed shows what was read, and says so.
    assert "Not kept in plan.toml any more (another program changed the file)" in keeping(table.find(bench.name))
    after = table.change(bench.name, Hand("redraw", {"spacing.pitch": "70 mm"}))
    assert home.read_text(encoding="utf-8") == others
    assert "Not kept in plan.toml any more" in keeping(after) and "70 mm" in after.step.text


def test_home_that_another_program_changed_is_told_to_an_open_window_and_taken_by_a_button(tmp_path: Path) -> None:
    home = home_of(tmp_path)
    app, first = make_app(8471, files_beside(home), home)
    client = TestClient(app, base_url="http://127.0.0.1:8471", headers={"origin": "http://127.0.0.1:8471"})
    assert 'id="from-file" hidden' in client.get(first).text
    was = home.read_text(encoding="utf-8")
    home.write_text(was.replace("pitch =", 'pitch = "60 mm" # was', 1), encoding="utf-8")
    # Printed before the window heard of it: it is told in place of the sheet, with a way back, however often it is asked.
    for wanted in ("files/marking.pdf?at=0", "files/over.svg?at=0", "files/all.zip", "report", "report"):
        told = client.get(f"{first}/{wanted}")
        assert told.status_code == 422 and "Another program changed the file" in told.text, wanted
    assert "Another program changed the file" in client.get(f"{first}/sheets?at=0").text
    heard = client.get(f"{first}/turn").json()
    assert (
        "Not kept in plan.toml any more" in heard["kept"] and heard["aside"] == "This is not what plan.toml holds now."
    )
    shown = client.get(first).text
    assert 'class="pass aside"' in shown and ">This is not what plan.toml holds now. " in shown
    assert 'name="told" value="yes"' in shown and f'href="{first}/report?told=yes#work"' in shown
    assert 'id="from-file"><button' in shown and "Go on from the file" in shown
    # Who was told may print what is shown.
    for wanted in ("files/marking.pdf?at=0&told=yes", "files/over.svg?at=0&told=yes", "report?told=yes"):
        assert client.get(f"{first}/{wanted}").status_code == 200, wanted
    # The plan that is saved is the one that stands here.
    assert client.get(f"{first}/files/plan.toml").text == was
    parts = client.post(f"{first}/change", data={"do": "file", "at": "0"}, headers=JSON).json()
    assert parts["ok"] and parts["kept"].startswith("Kept in") and "60 mm" in parts["text"] and parts["aside"] == ""
    assert client.get(f"{first}/report").status_code == 200
    parts = client.post(f"{first}/change", data={"do": "undo"}, headers=JSON).json()
    assert parts["text"] == was == home.read_text(encoding="utf-8")


def test_home_that_cannot_be_placed_as_another_program_left_it_is_not_taken(tmp_path: Path) -> None:
    home, table = home_of(tmp_path), Table()
    bench = table.lay(*files_beside(home), home)
    home.write_text(home.read_text(encoding="utf-8").replace("pitch =", 'pitch = "wide" # was', 1), encoding="utf-8")
    after = table.change(bench.name, Hand("file", {}))
    assert after.refusal is not None and after.refusal.sentences and after.step.text == bench.step.text
    assert keeping(after).startswith("Not kept")


@pytest.mark.parametrize(
    ("wanted", "saved"),
    [
        ("marking.pdf", "saltmarsh-day-dress-marking.pdf"),
        ("plan.toml", "plan.toml"),
        ("all.zip", "saltmarsh-day-dress-all.zip"),
    ],
)
def test_download_carries_the_name_of_its_plan(page: tuple[TestClient, str], wanted: str, saved: str) -> None:
    client, first = page
    got = client.get(f"{first}/files/{wanted}")
    assert got.headers["content-disposition"] == f'attachment; filename="{saved}"'


BAD = {"do": "redraw", "band.width": "wide"}


@pytest.mark.parametrize(
    "typed",
    [
        {"do": "units in"},
        {"do": "lock 1"},
        {"do": "lock 99"},
        {"do": "redo"},
        {"do": "remove clear 0", "band.inset": ""},
        {"do": "redraw", "spacing.pitch": "70 mm"},
        {"do": "text", "text": "[band"},
        {"do": "move", "what": "x"},
    ],
    ids=lambda typed: typed["do"],
)
def test_what_waits_in_a_field_waits_through_every_other_change(
    page: tuple[TestClient, str], typed: dict[str, str]
) -> None:
    client, first = page
    client.post(f"{first}/change", data={"do": "redraw", "spacing.widest": ""}, headers=JSON)
    client.post(f"{first}/change", data={"do": "undo"}, headers=JSON)
    client.post(f"{first}/change", data=BAD, headers=JSON)
    parts = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert "is not a length" in parts["words"]["band.width"] and parts["result"] == "fail"
    assert 'value="wide"' in client.get(first).text
    for name in ("files/marking.pdf", "report"):
        held = client.get(f"{first}/{name}")
        assert held.status_code == 422 and "Finished width" in held.text


def test_text_that_is_refused_holds_the_print_until_it_is_read_or_taken_back(page: tuple[TestClient, str]) -> None:
    client, first = page
    parts = client.post(f"{first}/change", data={"do": "text", "text": "[band"}, headers=JSON).json()
    assert list(parts["words"]) == ["text"] and parts["brief"].startswith("Not in the picture yet: The plan as text.")
    client.post(f"{first}/change", data={"do": "redraw", "spacing.pitch": "70 mm"}, headers=JSON)
    assert client.get(f"{first}/files/marking.pdf").status_code == 422
    assert client.post(f"{first}/change", data={"do": "undo"}, headers=JSON).json()["ok"] is True
    assert client.get(f"{first}/files/marking.pdf").status_code == 200


def test_row_taken_out_takes_what_waits_in_it_along_and_those_after_it_move_up() -> None:
    table, bench = bench_of("curved-front")
    table.change(bench.name, Hand("redraw", {"layer.0.thickness": "x", "layer.1.count": "many"}))
    after = table.change(bench.name, Hand("remove layer 0", {}))
    assert after.refusal is not None and list(after.refusal.words) == ["layer.0.count"]
    assert after.refusal.typed is not None and after.refusal.typed["layer.0.count"] == "many"


def test_change_and_print_of_a_window_that_shows_an_older_plan_are_not_taken(page: tuple[TestClient, str]) -> None:
    client, first = page
    seen = re.search(r'name="at" value="(\d+)"', client.get(first).text)
    assert seen is not None
    typed = {"do": "redraw", "band.inset": "15 mm", "at": seen[1]}
    other = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert other["ok"] is True
    # The other window still shows the old inset in its field: sent back, it would undo the change without a word.
    stale = {"do": "redraw", "band.inset": "3/4 in", "spacing.pitch": "70 mm", "at": seen[1]}
    parts = client.post(f"{first}/change", data=stale, headers=JSON).json()
    assert parts["ok"] is False and "changed in another window" in parts["message"]
    assert parts["values"]["band.inset"] == "15 mm" and "form_html" in parts and parts["turn"] == other["turn"]
    refused = client.get(f"{first}/files/marking.pdf?at={seen[1]}")
    assert refused.status_code == 422
    # Loaded anew it is refused again: what leads on is a way back to this very plan.
    assert f'href="{first}">Back to this plan' in refused.text and "anew" not in refused.text
    assert client.get(f"{first}/files/marking.pdf?at={other['turn']}").status_code == 200
    assert client.post(f"{first}/change", data=stale | {"at": parts["turn"]}, headers=JSON).json()["ok"] is True


def test_what_was_typed_into_an_older_picture_is_named_and_can_be_put_in_again(page: tuple[TestClient, str]) -> None:
    client, first = page
    turn = client.get(f"{first}/turn").json()["turn"]
    client.post(f"{first}/change", data={"do": "redraw", "band.inset": "15 mm", "at": turn}, headers=JSON)
    typed = {"band.inset": "3/4 in", "spacing.pitch": "70 mm", "anchor.0.along": "200 mm"}
    mine = {"mine": "spacing.pitch anchor.0.along", "rows": "anchor.7"}
    told = client.post(f"{first}/change", data={"do": "redraw", "at": turn, **typed, **mine}, headers=JSON).json()[
        "dropped_html"
    ]
    # The inset was not typed here: it is what the other window changed.
    assert ": “70 mm”" in told and "3/4 in" not in told
    assert '<input type="checkbox" name="spacing.pitch" value="70 mm" checked>' in told
    # A row may be another one's now: its text is told, and put into no field.
    assert "200 mm" in told and 'name="anchor.0.along"' not in told
    plain = client.post(f"{first}/change", data={"do": "redraw", "at": turn, **typed}, headers=SENT).text
    # A browser without scripts sends all its fields: nothing is ticked, since some of it is older than the plan.
    assert 'name="band.inset" value="3/4 in">' in plain and 'name="spacing.pitch" value="70 mm">' in plain
    again = {"do": "redraw", "spacing.pitch": "70 mm", "mine": "spacing.pitch"}
    taken = client.post(f"{first}/change", data=again, headers=JSON).json()
    assert (
        taken["ok"] is True and taken["values"]["band.inset"] == "15 mm" and taken["values"]["spacing.pitch"] == "70 mm"
    )


def test_two_fields_that_only_go_together_are_taken_together() -> None:
    table, bench = bench_of("curved-front")
    after = table.change(bench.name, Hand("redraw", {"spacing.closest": "2.9 in", "spacing.widest": "3.2 in"}))
    assert after.refusal is None or after.refusal.words
    again = table.change(
        bench.name, Hand("redraw", {"spacing.by": "count", "spacing.count": "10", "spacing.pitch": "3 in"})
    )
    assert tomllib.loads(again.step.text)["spacing"].get("pitch") is None


def test_field_that_no_row_allows_is_refused_and_the_others_are_taken() -> None:
    table, bench = bench_of("curved-front")
    typed = {"spacing.by": "count", "spacing.count": "3", "spacing.widest": "4 in", "closure.trial": "2"}
    after = table.change(bench.name, Hand("redraw", typed))
    assert after.refusal is not None and after.refusal.is_partly
    plan = tomllib.loads(after.step.text)
    assert plan["closure"]["trial"] == 2 and plan["spacing"]["widest"] == "4 in" and plan["spacing"]["pitch"] == "3 in"
    assert {name.partition(".")[0] for name in after.refusal.words} == {"spacing"}


def test_row_that_is_filled_in_counts_on_the_main_button() -> None:
    table, bench = bench_of("curved-front")
    typed = {"anchor.1.name": "hip", "anchor.1.by": "along", "anchor.1.along": "500 mm", "anchor.1.within": "3 mm"}
    after = table.change(bench.name, Hand("redraw", typed))
    assert after.refusal is None, after.refusal
    assert [anchor.name for anchor in plan_of(after).anchors] == ["bust point", "hip"]
    again = table.change(bench.name, Hand("redraw", {"anchor.2.name": "", "anchor.2.level": "10 in"}))
    assert (again.refusal is not None and "anchor.2.name" in again.refusal.places[0]) or "anchor.2" in str(
        again.refusal.places
    )


def test_impossible_spacing_is_refused_with_what_would_do(page: tuple[TestClient, str]) -> None:
    client, first = page
    typed = {"do": "redraw", "spacing.by": "count", "spacing.count": "3"}
    parts = client.post(f"{first}/change", data=typed, headers=JSON).json()
    assert parts["ok"] is False and "picture" not in parts
    # It speaks of the field, not of the plan's file and sections.
    assert list(parts["words"]) and "plan.toml" not in parts["message"] and "[spacing]" not in parts["message"]


def test_page_works_without_its_script(page: tuple[TestClient, str]) -> None:
    client, first = page
    answered = client.post(f"{first}/change", data={"do": "redraw", "spacing.pitch": "70 mm"}, headers=SENT)
    assert answered.status_code == 303 and answered.headers["location"].startswith(first)
    assert 'value="70 mm"' in client.get(first).text
    assert client.post(f"{first}/change", data={"do": "undo"}, headers=SENT).status_code == 303
    assert 'value="3 in"' in client.get(first).text


# What hands do


def test_dragged_anchor_takes_its_closure_along_and_stays_a_level() -> None:
    table, bench = bench_of("curved-front")
    after = table.change(bench.name, Hand("move", {"what": "anchor", "n": "0", "along": "160.2"}))
    answer, plan = answer_of(after), plan_of(after)
    assert plan.anchors[0].level_mm is not None and plan.anchors[0].along_mm is None
    assert answer.placement.anchors[0].along_mm == pytest.approx(160.2, abs=25.4 / 32)
    nearest = min(abs(mark.along_mm - answer.placement.anchors[0].along_mm) for mark in answer.placement.marks)
    assert nearest < 1e-6


def test_moved_anchor_in_inches_comes_to_lie_on_a_sixteenth() -> None:
    table, bench = bench_of("shirt-front")
    after = table.change(bench.name, Hand("move", {"what": "anchor", "n": "0", "along": "230.0"}))
    level = plan_of(after).anchors[0].level_mm
    assert level is not None and (level / (25.4 / 16)) % 1 == pytest.approx(0.0, abs=1e-9)
    assert ' in"' in after.step.text.split("[[anchor]]")[1].splitlines()[2]


@pytest.mark.parametrize(
    ("part", "along", "low", "high"),
    [("whole", 330.0, -25.4, 25.4), ("from", 310.0, 0.0, None), ("to", 345.0, None, 0.0)],
    ids=["whole", "upper end", "lower end"],
)
def test_clear_stretch_moves_whole_or_by_an_end(part: str, along: float, low: float | None, high: float | None) -> None:
    table, bench = bench_of("curved-front")
    before = answer_of(bench).placement.zones[0].stretches_mm[0]
    typed = {"what": "clear", "n": "0", "part": part, "along": str(along)}
    after = table.change(bench.name, Hand("move", typed))
    assert after.refusal is None, after.refusal
    found = answer_of(after).placement.zones[0].stretches_mm[0]
    assert found[0] == pytest.approx(before[0] if low is None else along + low, abs=1.2)
    assert found[1] == pytest.approx(before[1] if high is None else along + high, abs=1.2)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", ["curved-front", "side-opening"])
def test_what_a_hand_moves_is_written_as_people_write_it_also_at_the_very_ends(name: str, units: str) -> None:
    table, bench = bench_of(name)
    bench = table.change(bench.name, Hand(f"units {units}", {}))
    bench = table.change(bench.name, Hand("set clear", {"along": "101.3"}))
    had, moved = set(bench.step.text.splitlines()), 0
    for what, n, part, along in (
        ("anchor", "0", "whole", "0"), ("anchor", "0", "whole", "231.777"), ("clear", "0", "whole", "0"),
        ("clear", "0", "whole", "5000"), ("clear", "0", "from", "5000"), ("clear", "0", "to", "5000"),
        ("clear", "0", "to", "0"), ("clear", "0", "whole", "94.131"), ("mark", "1", "whole", "20.37"),
    ):  # fmt: skip
        typed = {"what": what, "n": n, "part": part, "along": along}
        bench = table.change(bench.name, Hand("move", typed))
        for line in set(bench.step.text.splitlines()) - had:
            moved += 1
            assert not re.search(r"\d\.\d{3,}", line), line
    assert moved > 4


def test_locked_mark_stays_while_the_others_move() -> None:
    table, bench = bench_of("curved-front")
    at = answer_of(bench).placement.marks[7].along_mm
    locked = table.change(bench.name, Hand("lock 8", {}))
    # It is written to a hundredth of a millimetre.
    fixed = plan_of(locked).anchors[1].along_mm
    assert fixed == pytest.approx(at, abs=0.0051) and plan_of(locked).anchors[1].within_mm == 0.0
    moved = table.change(bench.name, Hand("redraw", {"spacing.pitch": "50 mm"}))
    assert moved.refusal is None, moved.refusal
    places = [mark.along_mm for mark in answer_of(moved).placement.marks]
    assert min(abs(place - fixed) for place in places) < 1e-6 and len(places) > 10


@pytest.mark.parametrize("n", range(1, 11))
def test_every_mark_can_be_locked_and_unlocked(n: int) -> None:
    _, bench = bench_of("curved-front")
    hand = in_hand(bench)
    at = hand.placement.marks[n - 1].along_mm
    assert read_plan(lock_mark(hand, n, exactly=True).encode(), bench.title).anchors[-1].along_mm == at
    locked = lock_mark(hand, n)
    plan = read_plan(locked.encode(), bench.title)
    assert plan.anchors[-1].along_mm == pytest.approx(at, abs=0.0051)
    assert unlock_mark(InHand(locked, plan, hand.placement), n) == bench.step.text


def test_lock_names_no_place_that_a_move_would_make_untrue() -> None:
    table, bench = bench_of("curved-front")
    table.change(bench.name, Hand("lock 2", {}))
    locked = table.change(bench.name, Hand("lock 5", {}))
    assert [anchor.name for anchor in plan_of(locked).anchors[1:]] == ["lock 1", "lock 2"]


@pytest.mark.parametrize(("units", "read"), [("mm", r"\d+(\.\d{1,2})? mm"), ("in", r"[\d /.]{1,8} in")])
@pytest.mark.parametrize("name", ["curved-front", "scooped-wrap", "side-opening"])
def test_lock_is_written_in_figures_that_a_person_reads_and_moves_nothing(name: str, units: str, read: str) -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / name / "plan.toml"))
    bench = table.change(bench.name, Hand(f"units {units}", {}))
    before = answer_of(bench).placement.marks
    free = next(mark.n for mark in before if mark.anchor is None and mark.n > 1)
    locked = table.change(bench.name, Hand(f"lock {free}", {}))
    after = answer_of(locked).placement.marks
    assert all(abs(a.along_mm - b.along_mm) < 0.05 for a, b in zip(before, after, strict=True))
    assert re.fullmatch(read, value_of(locked.step.text, "anchor")[-1]["along"])
    assert lock_of(plan_of(locked), answer_of(locked).placement, free) is not None


def test_lock_keeps_every_digit_where_a_rounded_one_would_move_the_row() -> None:
    rows = """
[edge]
straight = "600 mm"
[garment]
opens = "front"
[band]
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = 8
first = "20.005 mm"
last = "20.004 mm"
widest = "79.99872 mm"
"""
    table = Table()
    bench = table.lay(rows.encode(), "plan.toml", {})
    before = [mark.along_mm for mark in answer_of(bench).placement.marks]
    locked = table.change(bench.name, Hand("lock 2", {}))
    assert locked.refusal is None
    after = [mark.along_mm for mark in answer_of(locked).placement.marks]
    assert after == pytest.approx(before, abs=0.01)


def test_closure_that_is_added_by_hand_keeps_the_note_of_the_gap_that_the_count_takes_the_place_of() -> None:
    table = Table()
    plan, title, beside = files_beside(TEMPLATES / "curved-front" / "plan.toml")
    noted = re.sub(rb"(?m)^pitch = .*$", b'pitch = "3 in"  # as on the old coat', plan)
    assert noted != plan
    for typed in (Hand("set mark", {"along": "200"}), Hand("redraw", {"spacing.by": "count", "spacing.count": "9"})):
        changed = table.change(table.lay(noted, title, beside).name, typed)
        assert changed.refusal is None and value_of(changed.step.text, "spacing", "pitch") is None
        assert '# pitch = "3 in"  # as on the old coat\n' in changed.step.text


def test_units_at_a_switch_change_no_length() -> None:
    table, bench = bench_of("curved-front")
    before = [mark.along_mm for mark in answer_of(bench).placement.marks]
    after = table.change(bench.name, Hand("units in", {}))
    assert plan_of(after).units == "in"
    assert [mark.along_mm for mark in answer_of(after).placement.marks] == pytest.approx(before, abs=1e-9)
    with pytest.raises(Exception, match="neither mm nor in"):
        in_units(in_hand(after), "ell")


@pytest.mark.parametrize(
    ("name", "told", "units", "written"),
    [
        ("clear.0.level", "5 to 7", "in", "5 in to 7 in"),
        ("clear.0.level", "7 – 5", "mm", "7 mm to 5 mm"),
        ("anchor.1.level", "240", "mm", "240 mm"),
        ("anchor.1.level", "7 3/8", "in", "7 3/8 in"),
        ("spacing.pitch", "3", "mm", "3 mm"),
        ("spacing.first", "1/2 to 3/4", "in", "1/2 in to 3/4 in"),
        ("layer.1.thickness", "0.4", "mm", "0.4 mm"),
        ("swap.places", "10, 20 in", "in", "10 in, 20 in"),
        # What has its unit, is no length or is none at all stays as it was typed.
        ("clear.0.level", "5 cm – 7 cm", "in", "5 cm – 7 cm"),
        ("clear.0.name", "12", "in", "12"),
        ("spacing.count", "7", "in", "7"),
        ("spacing.pitch", "wide", "in", "wide"),
        ("spacing.pitch", "0", "in", "0"),
        ("band.width", "0.0", "mm", "0.0"),
        ("text", "3", "in", "3"),
    ],
)
def test_length_that_was_typed_keeps_the_unit_that_it_was_typed_in(
    name: str, told: str, units: Any, written: str
) -> None:
    assert with_unit(name, told, units) == written


def test_refused_zero_stays_as_it_was_typed_where_the_units_change() -> None:
    table, bench = bench_of("curved-front")
    for units, typed in (("mm", "0"), ("in", "0")):
        table.change(bench.name, Hand(f"units {units}", {}))
        refused = table.change(bench.name, Hand("redraw", {"spacing.pitch": typed}))
        assert refused.refusal is not None and refused.refusal.typed == {"spacing.pitch": "0"}
        after = table.change(bench.name, Hand("units in" if units == "mm" else "units mm", {}))
        assert after.refusal is not None and after.refusal.typed == {"spacing.pitch": "0"}


def test_what_waits_keeps_its_unit_where_a_button_undo_or_another_window_changes_the_units() -> None:
    table, bench = bench_of("curved-front")
    table.change(bench.name, Hand("units mm", {}))
    refused = table.change(bench.name, Hand("redraw", {"spacing.pitch": "3"}))
    assert refused.refusal is not None and set(refused.refusal.words) == {"spacing.pitch"}
    after = table.change(bench.name, Hand("units in", {}))
    assert after.refusal is not None and after.refusal.typed == {"spacing.pitch": "3 mm"}
    assert after.refusal.words == refused.refusal.words
    # A window that still showed mm: what it names and keeps at hand was typed in mm.
    late = Hand("redraw", {"spacing.widest": "90"}, turn=after.turn - 1, mine=frozenset({"spacing.widest"}), units="mm")
    told = table.change(bench.name, late).refusal
    assert told is not None and [one.typed for one in told.dropped] == ["90 mm"]


@pytest.mark.parametrize(
    ("do", "typed"),
    [
        ("fly", {}),
        ("lock", {}),
        ("lock 99", {}),
        ("unlock 2", {}),
        ("move", {"what": "anchor", "n": "7", "along": "1"}),
        ("move", {"what": "anchor", "n": "0", "along": "nan"}),
        ("move", {"what": "clear", "n": "-1", "along": "1"}),
        ("take 99", {}),
        ("text", {"text": "title = "}),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_sentence(do: str, typed: dict[str, str]) -> None:
    table, bench = bench_of("curved-front")
    after = table.change(bench.name, Hand(do, typed))
    assert after.refusal is not None and after.step == bench.step
    assert all(sentence.endswith((".", "?")) for sentence in after.refusal.sentences)


def test_moving_what_is_not_there_is_refused() -> None:
    _, bench = bench_of("shirt-front")
    hand = in_hand(bench)
    with pytest.raises(Exception, match="no such fixed place"):
        move_anchor(hand, 4, 1.0)
    with pytest.raises(Exception, match="no such clear stretch"):
        move_zone(hand, 0, "whole", 1.0)


def test_another_offer_is_taken_and_reported_as_the_command_does(tmp_path: Path) -> None:
    client, first = client_for("shirt-swap")
    parts = client.post(f"{first}/change", data={"do": "take 2"}, headers=JSON).json()
    assert parts["ok"] and re.search(r'<li id="offer-2" class="taken".*?<strong>In hand', parts["findings_html"], re.S)
    plan = TEMPLATES / "shirt-swap" / "plan.toml"
    made = CliRunner().invoke(command, ["swap", str(plan), "--take", "2", "--out", str(tmp_path)])
    assert made.exit_code in (0, 1)
    assert client.get(f"{first}/files/report.json").content == (tmp_path / "report.json").read_bytes()


def test_sizes_are_looked_at_one_by_one() -> None:
    table, bench = bench_of("eight-sizes")
    names = plan_of(bench).sizes
    assert names is not None
    lengths = []
    for name in names.names:
        shown = table.change(bench.name, Hand("size", {"size": name}))
        assert shown.refusal is None
        lengths.append(answer_of(shown).placement.laps.line.length_mm)
    assert lengths == sorted(lengths) and len(set(lengths)) > 1
    refused = table.change(bench.name, Hand("size", {"size": "giant"}))
    assert refused.refusal is not None


@pytest.mark.parametrize("name", ["curved-front", "sash-belt", "cuff", "shirt-swap", "eight-sizes"])
def test_every_key_that_a_plan_may_hold_has_a_field(name: str) -> None:
    client, first = client_for(name)
    shown = client.get(first).text
    names = set(re.findall(r' name="([^"]+)"', shown))
    given = {section.name for section in SECTIONS if section.name in tomllib.loads(plan_text_of(name))}
    for section in (TOP, *SECTIONS):
        against = {*section.instead_of, *section.not_with}
        others = {other for one in SECTIONS if one.name in given for other in (*one.instead_of, *one.not_with)}
        if section.name in others or (section.name not in given and against & given):
            continue
        for field in FIELDS.values():
            if field.section is section and field.name not in (".drawing", ".supplies", ".units"):
                own = f"{section.name}.0.{field.key.name}" if section.repeated else field.name
                assert own in names, f"no field for {own}"
                assert f'for="f-{own}"' in shown or "lap" in own or own in ("spacing.by",), f"no label for {own}"


@pytest.mark.parametrize("name", ["curved-front", "eight-sizes", "double-breasted", "jacket-placket"])
def test_row_of_several_stands_once_with_one_button_to_take_it_out(name: str) -> None:
    client, first = client_for(name)
    shown = client.get(first).text
    buttons = re.findall(r'value="((?:remove|add) [^"]+)"', shown)
    assert len(buttons) == len(set(buttons)) > 3


def plan_text_of(name: str) -> str:
    return (TEMPLATES / name / "plan.toml").read_text("utf-8")


@pytest.mark.parametrize("name", ["curved-front", "sash-belt", "eight-sizes"])
def test_form_sent_as_the_page_shows_it_changes_nothing(name: str) -> None:
    client, first = client_for(name)
    shown = client.get(first).text
    form = shown[shown.index('<form id="change"') : shown.index("</form>", shown.index('<form id="change"'))]
    typed: dict[str, str] = dict(re.findall(r'<input id="[^"]*" name="([^"]+)" value="([^"]*)"', form))
    for field, inside in re.findall(r'<select id="[^"]*" name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        options = re.findall(r"<option([^>]*)>([^<]*)", inside)
        chosen = next((one for one in options if "selected" in one[0]), options[0])
        value = re.search(r'value="([^"]*)"', chosen[0])
        typed[field] = chosen[1] if value is None else value[1]
    typed |= dict(re.findall(r'<textarea id="[^"]*" name="([^"]+)"[^>]*>([^<]*)</textarea>', form))
    assert len(typed) > 60
    typed = {field: html.unescape(text) for field, text in typed.items()}
    parts = client.post(f"{first}/change", data=typed | {"do": "redraw"}, headers=JSON).json()
    assert parts["ok"], parts["words"]
    assert client.get(f"{first}/files/plan.toml").text == plan_text_of(name)


# What is opened


def test_drawing_is_handed_in_and_an_edge_chosen(page: tuple[TestClient, str]) -> None:
    client, _ = page
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    sent = client.post("/open/drawing", files={"drawing": ("my front.svg", drawing)}, headers=SENT)
    assert sent.status_code == 303
    chooser = client.get(sent.headers["location"])
    assert "over-edge" in chooser.text and "checked" not in chooser.text.split("band.lap")[1].split("</fieldset>")[0]
    wanted = {
        "edge.path": "over-edge",
        "band.width": "38 mm",
        "closure.kind": "prong snap",
        "closure.size": "16 L",
        "spacing.by": "count",
        "spacing.count": "9",
        "spacing.first": "16 mm",
        "spacing.last": "50 mm",
    }
    refused = client.post(sent.headers["location"], data=wanted, headers=SENT)
    assert refused.status_code == 422 and "“Which side lies on top” is not told yet" in refused.text
    laid = client.post(
        sent.headers["location"], data=wanted | {"band.lap": "right over left", "garment.pieces": "pair"}, headers=SENT
    )
    assert laid.status_code == 303
    report = client.get(f"{laid.headers['location']}/files/report.json").json()
    assert report["spacing"]["count"] == 9 and report["lap"] == "right over left"


def test_numbers_alone_are_enough(page: tuple[TestClient, str]) -> None:
    client, _ = page
    typed = {
        "shape": "straight",
        "edge.straight": "24",
        "units": "in",
        "band.width": "1.5",
        "garment.opens": "front",
        "garment.pieces": "separate",
        "band.lap": "right over left",
        "closure.kind": "prong snap",
        "closure.size": "16 L",
        "spacing.by": "count",
        "spacing.count": "8",
        "spacing.first": "5/8 in",
        "spacing.last": "2 in",
    }
    laid = client.post("/open/numbers", data=typed, headers=SENT)
    assert laid.status_code == 303, laid.text
    # (24 - 5/8 - 2) in / 7 gaps
    gap = (24 - 0.625 - 2) * 25.4 / 7
    report = client.get(f"{laid.headers['location']}/files/report.json").json()
    assert report["spacing"]["gaps_mm"] == pytest.approx([gap] * 7, abs=1e-4)
    arc = typed | {
        "shape": "arc",
        "edge.arc.length": "20 in",
        "edge.arc.radius": "15 in",
        "edge.arc.bows": "out",
        "edge.straight": "",
    }
    assert client.post("/open/numbers", data=arc, headers=SENT).status_code == 303
    assert client.post("/open/numbers", data=typed | {"band.lap": ""}, headers=SENT).status_code == 422


def test_plan_of_ones_own_is_opened_with_its_drawing(page: tuple[TestClient, str]) -> None:
    client, _ = page
    folder = TEMPLATES / "curved-front"
    plan, drawing = (folder / "plan.toml").read_bytes(), (folder / "front.svg").read_bytes()
    both = [("files", ("my-dress.toml", plan)), ("files", ("front.svg", drawing))]
    assert client.post("/open/plan", files=both, headers=SENT).status_code == 303
    alone = client.post("/open/plan", files=both[:1], headers=SENT)
    assert alone.status_code == 422 and "was not handed in" in alone.text
    none = client.post("/open/plan", files=both[1:], headers=SENT)
    assert none.status_code == 422 and "this is a drawing" in none.text and "not a plan" in none.text


@pytest.mark.parametrize(
    "name", ["l'été.svg", "devant – 2.svg", "devant & dos.svg", "front, right.svg", "#1 “front”.svg", "ż" * 90 + ".svg"]
)
def test_drawing_that_is_handed_in_is_called_as_its_owner_calls_it(page: tuple[TestClient, str], name: str) -> None:
    client, _ = page
    folder = TEMPLATES / "curved-front"
    plan, drawing = (folder / "plan.toml").read_text("utf-8"), (folder / "front.svg").read_bytes()
    text = plan.replace('"front.svg"', f'"{name}"')
    handed = [("files", ("my-dress.toml", text.encode())), ("files", (name, drawing))]
    laid = client.post("/open/plan", files=handed, headers=SENT, follow_redirects=False)
    assert laid.status_code == 303, laid.text
    kept = client.get(f"{laid.headers['location']}/files/plan.toml").text
    assert f'drawing = "{name}"' in kept


def test_drawing_is_the_one_of_that_very_name_among_those_handed_in(page: tuple[TestClient, str]) -> None:
    client, _ = page
    folder = TEMPLATES / "curved-front"
    plan, drawing = (folder / "plan.toml").read_bytes(), (folder / "front.svg").read_bytes()
    other = drawing.replace(b"<svg ", b'<svg data-other="1" ')
    assert other != drawing
    lengths = set()
    for beside in (
        [("front.svg", drawing), ("front's.svg", b"junk")],
        [("front's.svg", b"junk"), ("front.svg", drawing)],
    ):
        handed = [("files", ("my-dress.toml", plan)), *(("files", one) for one in beside)]
        laid = client.post("/open/plan", files=handed, headers=SENT, follow_redirects=False)
        assert laid.status_code == 303, laid.text
        lengths.add(
            client.get(f"{laid.headers['location']}/files/report.json").json()["closing_line"]["edge_length_mm"]
        )
    assert len(lengths) == 1
    twice = [("files", ("my-dress.toml", plan)), ("files", ("front.svg", drawing)), ("files", ("front.svg", other))]
    refused = client.post("/open/plan", files=twice, headers=SENT)
    assert refused.status_code == 422 and "two files of this name" in refused.text


# Kept to itself


def test_plan_of_an_old_system_is_opened(page: tuple[TestClient, str]) -> None:
    client, _ = page
    text = (TEMPLATES / "curved-front" / "plan.toml").read_bytes().replace(b"front.svg", b"FRONT.SVG")
    drawing = ("files", ("FRONT.SVG", (TEMPLATES / "curved-front" / "front.svg").read_bytes()))
    # Names in capitals, lines that end as they did long ago, and more files beside it than are needed.
    more = [("files", (f"{n}.svg", drawing[1][1])) for n in range(20)]
    handed = [("files", ("PLAN.TOML", text.replace(b"\n", b"\r"))), drawing, *more]
    answered = client.post("/open/plan", files=handed, headers=SENT, follow_redirects=False)
    assert answered.status_code == 303, answered.text


def test_form_that_was_cut_off_on_its_way_is_no_change(page: tuple[TestClient, str]) -> None:
    client, first = page
    before = client.get(f"{first}/turn").json()
    kind = {"content-type": "multipart/form-data; boundary=x"}
    for body in (b"", b"--x\r\nContent-Disposition: form-da"):
        assert client.post(f"{first}/change", content=body, headers=SENT | kind).status_code == 400
    assert client.get(f"{first}/turn").json() == before


@pytest.mark.parametrize(
    "name", ["/etc/passwd", "../../../../etc/passwd", "file:///etc/passwd", "templates/curved-front/front.svg"]
)
def test_plan_reads_no_file_that_was_not_handed_in(page: tuple[TestClient, str], name: str, tmp_path: Path) -> None:
    client, first = page
    secret = tmp_path / "secret.svg"
    secret.write_bytes((TEMPLATES / "curved-front" / "front.svg").read_bytes())
    text = (TEMPLATES / "curved-front" / "plan.toml").read_text("utf-8")
    for asked in (name, str(secret)):
        plan = text.replace('"front.svg"', json.dumps(asked)).encode()
        answered = client.post("/open/plan", files=[("files", ("plan.toml", plan))], headers=SENT)
        told = "is an address" if asked.startswith("file:") else "was not handed in"
        assert answered.status_code == 422 and told in answered.text
        changed = client.post(f"{first}/change", data={"do": "text", "text": plan.decode()}, headers=JSON).json()
        assert changed["ok"] is False
    supplies = 'supplies = "/etc/passwd"\n' + text
    answered = client.post(f"{first}/change", data={"do": "text", "text": supplies}, headers=JSON).json()
    assert answered["ok"] is False and "was not handed in" in answered["message"]


@pytest.mark.parametrize(
    "path",
    [
        "/page/../app.py",
        "/page/%2e%2e/app.py",
        "/page/app.py",
        "/plan/x/files/..%2f..%2fetc%2fpasswd",
        "/etc/passwd",
        "/page/",
    ],
)
def test_address_of_no_page_shows_nothing(page: tuple[TestClient, str], path: str) -> None:
    client, first = page
    for asked in (path, path.replace("/plan/x", first)):
        answered = client.get(asked)
        assert answered.status_code in (404, 422) and "import" not in answered.text and "root:" not in answered.text


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:8471", "127.0.0.1", "127.0.0.1:80", "127.0.0.1.evil.example:8471", "[::1]:8471", ""],
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_other_host_names_are_refused(page: tuple[TestClient, str], host: str, method: str) -> None:
    client, first = page
    answered = client.request(method, first, headers={"host": host, "origin": f"http://{host}"})
    assert answered.status_code == 421 and "worn" not in answered.text


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"LOCALHOST:{PORT}"])
def test_own_host_names_are_answered(page: tuple[TestClient, str], host: str) -> None:
    client, first = page
    assert client.get(first, headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "null"},
        {"origin": "http://evil.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"origin": HOME, "sec-fetch-site": "cross-site"},
        {"origin": HOME, "sec-fetch-site": "same-site"},
    ],
    ids=["no origin", "null", "another site", "another port", "another scheme", "said to be cross-site", "same-site"],
)
def test_forms_sent_by_others_are_refused(page: tuple[TestClient, str], headers: dict[str, str]) -> None:
    client, first = page
    before = client.get(f"{first}/files/plan.toml").content
    answered = client.post(f"{first}/change", data={"do": "redraw", "spacing.pitch": "60 mm"}, headers=headers)
    assert answered.status_code == 403
    assert client.get(f"{first}/files/plan.toml").content == before


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS"])
def test_other_methods_are_refused(page: tuple[TestClient, str], method: str) -> None:
    client, first = page
    assert client.request(method, first, headers=SENT).status_code == 405


def test_picture_asked_for_by_another_page_is_refused(page: tuple[TestClient, str]) -> None:
    client, first = page
    asked = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    assert client.get(f"{first}/files/over.svg", headers=asked).status_code == 403


@pytest.mark.parametrize("path", ["/", "{first}", "{first}/files/over.svg", "/page/page.js", "/nothing"])
def test_every_answer_forbids_what_comes_from_elsewhere(page: tuple[TestClient, str], path: str) -> None:
    client, first = page
    headers = client.get(path.format(first=first)).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "*" not in policy and "http" not in policy
    assert headers["x-content-type-options"] == "nosniff" and headers["cache-control"] == "no-store"


def test_pages_ask_for_nothing_from_elsewhere_and_hold_no_code(page: tuple[TestClient, str]) -> None:
    client, first = page
    for path in ("/", first, f"{first}/report"):
        html = client.get(path).text
        assert not re.search(r"""(src|href|action|formaction)=["'](https?:)?//""", html)
        assert not re.search(r"\son\w+=|javascript:|<style|\sstyle=", html)
        assert re.findall(r"<script[^>]*>(.*?)</script>", html) == [""]


def test_what_people_write_is_escaped(page: tuple[TestClient, str]) -> None:
    client, first = page
    nasty = '<img src=x onerror="boom()">'
    row = {"anchor.rows": "1", "anchor.0.name": nasty, "anchor.0.by": "level", "anchor.0.place": "9 1/4 in"}
    parts = client.post(f"{first}/change", data={"do": "redraw", ".title": nasty} | row, headers=JSON).json()
    assert parts["ok"], parts["message"]
    for text in (client.get(first).text, client.get(f"{first}/report").text, parts["picture"], parts["marks_html"]):
        assert "<img src=x" not in text


def test_upload_that_is_too_large_is_refused_in_a_sentence(page: tuple[TestClient, str]) -> None:
    client, _ = page
    large = b"<svg>" + b" " * LARGEST_UPLOAD_BYTES
    for size in (len(large), len(large) + 500_000):
        sent = large.ljust(size)
        answered = client.post("/open/drawing", files={"drawing": ("a.svg", sent)}, headers=SENT)
        assert answered.status_code == 413 and "20 MB" in answered.text


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x00\xff" * 300,
        b"<svg",
        b"<!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]><svg>&e;</svg>",
        b"%PDF-1.4 no",
    ],
    ids=["empty", "noise", "cut off", "entity", "no pdf"],
)
def test_bad_drawing_is_refused_in_a_sentence(page: tuple[TestClient, str], data: bytes) -> None:
    client, _ = page
    answered = client.post("/open/drawing", files={"drawing": ("a.svg", data)}, headers=SENT)
    assert answered.status_code == 422
    assert "Traceback" not in answered.text and "This will not do" in answered.text and "root:" not in answered.text


@pytest.mark.parametrize(
    ("path", "data"),
    [
        ("/open/plan", b"junk"),
        ("{first}/change", b"\xff\xfe%%%"),
        ("{first}/print-check", b""),
        ("/open/numbers", b"a=1"),
    ],
)
def test_junk_is_answered_with_a_sentence(page: tuple[TestClient, str], path: str, data: bytes) -> None:
    client, first = page
    for kind in (
        "multipart/form-data; boundary=x",
        "multipart/form-data",
        "application/x-www-form-urlencoded",
        "text/plain",
    ):
        answered = client.post(path.format(first=first), content=data, headers=SENT | {"content-type": kind})
        assert answered.status_code < 500 and "Traceback" not in answered.text


def test_fault_of_the_page_itself_shows_no_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    made, first = make_app(PORT, files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    client = TestClient(made, base_url=HOME, raise_server_exceptions=False)
    monkeypatch.setattr("closures.app.web.app.page_of", lambda text: 1 / 0)
    answered = client.get(f"{first}/report")
    assert (
        answered.status_code == 500 and "ZeroDivision" not in answered.text and "Something went wrong" in answered.text
    )


# The rest


@pytest.mark.parametrize(
    ("across", "down", "of", "good", "says"),
    [
        ("50", "50", "50 mm", True, "GOOD"),
        ("48.5", "50", "50 mm", False, "97.0 %"),
        ("x", "50", "50 mm", None, "not a length"),
    ],
)
def test_print_is_judged(
    page: tuple[TestClient, str], across: str, down: str, of: str, good: bool | None, says: str
) -> None:
    client, first = page
    typed = {"across": across, "down": down, "of": of}
    verdict = client.post(f"{first}/print-check", data=typed, headers=JSON).json()
    assert verdict["good"] is good and says in " ".join(verdict["lines"])
    assert says in client.post(f"{first}/print-check", data=typed, headers=SENT).text


@pytest.mark.parametrize(
    ("across", "down", "of", "good", "says"),
    [
        ("50", "50", "50 mm", True, "Across: 50 mm for 50 mm: 100.0 %"),
        ("2", "1 15/16 in", "2 in", False, "Across: 2 in for 2 in: 100.0 %, good. Down: 1 15/16 in for 2 in: 96.9 %"),
        # A fraction is told as it was written, to its last part, and is one of inches where the sheet's length is.
        ("1 63/64", "1⅞", "2", False, "Across: 1 63/64 in for 2 in: 99.2 %, too small. Down: 1⅞ in for 2 in: 93.8 %"),
        ("5 15/16", "6", "6 in", False, "Across: 5 15/16 in for 6 in: 99.0 %"),
        ("1 31/32 in", "1 31/32 in", "50 mm", True, "Across: 1 31/32 in for 50 mm: 100.0 %"),
        ("1 31/32", "50", "50 mm", None, "I measured across: '1 31/32' has no unit. Write 1 31/32 in"),
        ("1", "1", "1 in", None, "1 in is too short to judge a print from. Measure 2 in or more"),
        ("49", "49", "2 in", None, "49 in across cannot be a print of 2 in."),
        ("2", "2", "2", True, "GOOD"),
        ("5", "5", "50 mm", None, "5 mm across cannot be a print of 50 mm. Tell what you measured"),
        ("149", "149", "150 mm", False, "let the sheets be made for it. How that is done stands in the guide"),
        ("20 mm", "20 mm", "20 mm", None, "20 mm is too short to judge a print from. Measure 50 mm or more"),
        ("50", "", "50 mm", None, "And down: "),
    ],
)
def test_print_of_a_plan_in_inches_is_judged_in_the_units_of_what_was_measured(
    across: str, down: str, of: str, good: bool | None, says: str
) -> None:
    verdict = judged({"across": across, "down": down, "of": of}, "in")
    assert verdict["good"] is good and says in " ".join(verdict["lines"])
    assert not re.search(r"--|closures ", " ".join(verdict["lines"]))


def test_what_is_refused_as_a_whole_begins_as_a_sentence(page: tuple[TestClient, str]) -> None:
    client, first = page
    for do in ("lock 99", "take 3", "repair 3"):
        message = client.post(f"{first}/change", data={"do": do}, headers=JSON).json()["message"]
        said = re.findall(r'<p class="said">(.*?)</p>', message)
        assert len(said) == 1 and said[0][0].isupper(), said
    client.post(f"{first}/change", data={"do": "redraw", "band.width": "wide"}, headers=JSON)
    assert "<p>What was typed is not in the picture yet" in client.get(f"{first}/files/marking.pdf").text


def test_count_that_is_emptied_says_beside_its_field_what_was_taken() -> None:
    app, _ = make_app(PORT)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        typed = {"units": "mm", "shape": "straight", "edge.straight": "610 mm", "band.width": "32 mm"}
        typed |= {"garment.opens": "front", "garment.pieces": "pair", "band.lap": "left over right"}
        typed |= {"closure.kind": "prong snap", "closure.size": "16 L", "spacing.by": "count", "spacing.count": "7"}
        at = client.post("/open/numbers", data=typed, headers=SENT).headers["location"]
        assert re.search(r'id="usual-row"[^>]*></p>', client.get(at).text)
        fields = {"do": "redraw", "spacing.by": "count", "spacing.count": ""}
        parts = client.post(f"{at}/change", data=fields, headers=JSON).json()
        assert parts["usual_row"] == "No count is told: 6 closures lie there, as the usual gap gives."
        assert parts["usual_row"] in client.get(at).text
        told = client.post(f"{at}/change", data=fields | {"spacing.count": "5"}, headers=JSON).json()
        assert told["usual_row"] == "" and "5 closures" in told["brief"]


def test_report_page_shows_tables_and_headings() -> None:
    html = re.sub(
        r">\n<", "><", page_of("# A\n\n- **b:** <c>\n- d\n\n| x | y |\n|---:|---|\n| 1 | \\*2 |\n\n1. one\n2. two\n")
    ).strip()
    assert html == (
        "<h2>A</h2><ul><li><strong>b:</strong> &lt;c&gt;</li><li>d</li></ul>"
        '<table tabindex="0"><thead><tr><th class="number" scope="col">x</th><th scope="col">y</th></tr></thead>'
        '<tbody><tr><td class="number">1</td><td>*2</td></tr></tbody></table><ol><li>one</li><li>two</li></ol>'
    )


def test_starting_page_lists_every_starting_plan(page: tuple[TestClient, str]) -> None:
    client, _ = page
    text = client.get("/").text
    for name in shipped.starting_plans():
        assert f'value="{name}"' in text
        laid = client.post("/open/starting-plan", data={"name": name}, headers=SENT)
        assert laid.status_code == 303, name


def test_page_tells_the_finished_length_and_to_lay_a_tape_first_of_all_its_notes(page: tuple[TestClient, str]) -> None:
    client, first = page
    told = client.get(first).text
    assert "Finished edge 691.3 mm (27 3/16 in), neck to hem. Lay a tape on yours." in told


def test_banner_of_a_row_that_came_out_uneven_is_not_green(page: tuple[TestClient, str]) -> None:
    client, first = page
    even = client.post(f"{first}/change", data={"do": "redraw"}, headers=JSON).json()
    assert even["result"] == "pass" and "uneven" not in even["brief"]
    close = {"anchor.1.name": "pocket", "anchor.1.by": "along", "anchor.1.along": "190 mm", "do": "add anchor"}
    uneven = client.post(f"{first}/change", data=close, headers=JSON).json()
    assert uneven["ok"] is True and uneven["result"] != "pass" and ", uneven;" in uneven["brief"]


def hand_over(name: str, **typed: str) -> tuple[Table, Bench, Any]:
    table, bench = bench_of(name)
    done = table.change(bench.name, Hand(typed.pop("do"), typed, typed.pop("gesture", "")))
    return table, done, answer_of(done).placement


def test_closure_that_is_dragged_is_locked_where_it_is_put_and_a_drag_is_one_step() -> None:
    table, bench = bench_of("curved-front")
    for along in ("292.0", "293.2", "291.4"):
        bench = table.change(bench.name, Hand("move", {"what": "mark", "n": "5", "along": along}, "drag-1"))
        assert bench.refusal is None
    placement = answer_of(bench).placement
    assert any(mark.along_mm == 291.0 and mark.anchor == "lock 1" for mark in placement.marks)
    assert len(bench.steps) == 2 and len(plan_of(bench).anchors) == len(plan_of(bench, bench.steps[0]).anchors) + 1


def test_first_closure_dragged_is_the_room_at_its_end() -> None:
    _, done, placement = hand_over("side-opening", do="move", what="mark", n="1", along="20.1")
    assert done.refusal is None and not placement.anchors
    assert placement.marks[0].along_mm == pytest.approx(20.0)


@pytest.mark.parametrize("name", ["curved-front", "shirt-front", "cape-corner"])
def test_closure_set_and_taken_out_again_counts_one_more_and_one_less(name: str) -> None:
    table, bench = bench_of(name)
    before = answer_of(bench).placement
    mid = (before.marks[0].along_mm + before.marks[1].along_mm) / 2
    done = table.change(bench.name, Hand("set mark", {"along": f"{mid:.3f}"}))
    assert done.refusal is None
    after = answer_of(done).placement
    assert len(after.marks) == len(before.marks) + 1
    n = next(mark.n for mark in after.marks if abs(mark.along_mm - mid) < 0.8)
    done = table.change(bench.name, Hand(f"without mark {n}", {}))
    assert done.refusal is None and len(answer_of(done).placement.marks) == len(before.marks)
    assert plan_of(done).anchors == plan_of(bench).anchors


def test_closure_at_a_fixed_place_is_not_taken_out_from_under_it() -> None:
    _, bench = bench_of("curved-front")
    n = next(mark.n for mark in answer_of(bench).placement.marks if mark.anchor == "bust point")
    _, done, _ = hand_over("curved-front", do=f"without mark {n}")
    assert done.refusal is not None and "bust point" in done.refusal.sentences[0]


@pytest.mark.parametrize("what", ["anchor", "clear"])
def test_fixed_place_and_clear_stretch_are_set_and_taken_out(what: str) -> None:
    _, done, placement = hand_over("side-opening", do=f"set {what}", along="204")
    (one,) = placement.anchors if what == "anchor" else placement.zones
    assert done.refusal is None
    assert 203 < (one.along_mm if what == "anchor" else sum(one.stretches_mm[0]) / 2) < 205
    _, done, placement = hand_over("curved-front", do=f"without {what} 0")
    assert done.refusal is None and not (placement.anchors if what == "anchor" else placement.zones)
    _, done, _ = hand_over("curved-front", do=f"without {what} 7")
    assert done.refusal is not None


def test_a_strain_point_is_mended_by_the_field_of_the_page() -> None:
    text = PLAN_WITH_STRAIN
    from closures.app.job import check_plan
    from closures.app.web.wording import of_a_plan
    from closures.plan.reading import read_plan

    finding = next(one for one in check_plan(read_plan(text, "p.toml"), None).findings if one.rule == "strain point")
    assert "Lessen “May be off by” under “Fixed places”, or move the row." in of_a_plan(finding.text)


PLAN_WITH_STRAIN = """
[edge]
straight = "600 mm"
[band]
width = "38 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "50 mm"
count = 4
[[anchor]]
name = "bust point"
level = "280 mm"
within = "90 mm"
"""


@pytest.mark.parametrize("name", ["curved-front", "hook-back", "side-opening", "duvet-foot"])
def test_picture_is_headed_by_what_it_shows_whatever_opens(name: str):
    client, first = client_for(name)
    text = client.get(first).text
    assert re.search(r'<h2 id="h-board">Both laps, closed</h2>', text)
    assert "front as worn" not in text.casefold()


@pytest.mark.parametrize(("thickness", "shown"), [("2.5 mm", range(1, 8)), ("4 mm", range(1, 8, 2))])
def test_numbers_of_a_row_that_lies_down_do_not_run_into_each_other_where_each_has_a_sign(
    thickness: str, shown: range
) -> None:
    belt = f"""
[belt]
waist = "860 mm"
width = "38 mm"
thickness = "{thickness}"
settings = 5
step = "25 mm"
lap = "right over left"
[closure]
kind = "leather post snap"
size = "24 L"
"""
    table = Table()
    picture = picture_parts(table.lay(belt.encode(), "plan.toml", {}))["picture"]
    found = re.findall(r'<text [^>]*class="number( tight)?[^"]*"[^>]*>(?:[✕!] )?(\d+)<', picture)
    assert [int(n) for tight, n in found if not tight] == list(shown) and len(found) == 7


def test_key_of_a_table_within_a_section_is_called_as_its_field() -> None:
    told = in_fields("To change it: length in hole under [swap].", "swap")
    assert "hole under" not in told and "“" in told and told.endswith("under “What is there now”.")
