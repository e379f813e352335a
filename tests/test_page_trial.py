"""A trial piece told on the page comes to the same files as the command's, byte for byte."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

pytest.importorskip("jinja2", reason="the page is an extra")

from lxml import html
from typer.testing import CliRunner

from closures.app.command import app as command
from closures.app.web.answers import whole_page
from closures.app.web.fields import values_of
from closures.app.web.held import hold_back
from closures.app.web.looked_at import looked_at
from closures.app.web.memory import Memory
from closures.app.web.placed import answer_of
from closures.app.web.table import Hand, Table, files_beside
from closures.app.web.telling import banner, picture_parts
from closures.errors import PlanError

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
NAME = "my-supplies.toml"


def by_command(folder: Path, *words: str) -> tuple[str, str]:
    made = CliRunner().invoke(command, ["trial", str(folder / "plan.toml"), *words])
    assert made.exit_code == 0, made.output
    return (folder / "plan.toml").read_text("utf-8"), (folder / NAME).read_text("utf-8")


@pytest.mark.parametrize("lap", ["over", "under"])
def test_trial_is_kept_as_the_command_keeps_it(tmp_path: Path, lap: str) -> None:
    for name in ("one", "other"):
        shutil.copytree(TEMPLATES / "curved-front", tmp_path / name)
    wanted = by_command(tmp_path / "one", "right", "--lap", lap)
    home = tmp_path / "other" / "plan.toml"
    table = Table()
    bench = table.lay(*files_beside(home), home=home)
    after = table.change(bench.name, Hand("trial", {"verdict": "right", "lap": lap}))
    assert after.refusal is None and not after.trouble
    assert (after.step.text, after.files[NAME].decode()) == wanted
    # The plan's own file and the supplies beside it stand as they are on the table.
    assert (home.read_text("utf-8"), (home.parent / NAME).read_text("utf-8")) == wanted
    assert looked_at(NAME, after) == wanted[1].encode()
    told = picture_parts(after)["trial"]
    assert told.file == NAME and any("trial piece" in line for line in told.known)


def test_second_trial_narrows_what_the_first_one_kept(tmp_path: Path) -> None:
    shutil.copytree(TEMPLATES / "curved-front", tmp_path / "one")
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    for cloth in ("linen", "light fusible"):
        wanted = by_command(tmp_path / "one", "right", "--cloth", cloth)
        bench = table.change(bench.name, Hand("trial", {"verdict": "right", "lap": "over", "cloth": cloth}))
        assert (bench.step.text, bench.files[NAME].decode()) == wanted


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "says nothing of a trial piece"),
        ({"verdict": "bulges", "lap": "over"}, "cannot be one that bulges"),
        ({"verdict": "right", "lap": "over", "cloth": "velvet"}, "No layer of velvet"),
    ],
)
def test_trial_that_cannot_be_is_refused_in_words_and_changes_nothing(typed: dict[str, str], says: str) -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    after = table.change(bench.name, Hand("trial", typed))
    assert after.refusal is not None and not after.refusal.sentences
    assert says in after.refusal.words["trial"] and "[" not in after.refusal.words["trial"]
    assert after.step == bench.step and after.files == bench.files


def test_trial_that_cannot_be_stands_beside_its_button_and_holds_the_print() -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    refused = table.change(bench.name, Hand("trial", {"verdict": "bulges", "lap": "over"}))
    assert list(refused.refusal.words if refused.refusal else ()) == ["trial"]
    assert banner(refused)["result"] == "fail" and banner(refused)["waits"].startswith(
        "Not in the picture yet: A trial piece."
    )
    button = html.fromstring(whole_page(refused)).get_element_by_id("trial-keep")
    words = button.getnext()
    assert words is not None and button.get("aria-describedby") == words.get("id") == "w-trial"
    assert "cannot be one that bulges" in words.text_content()
    with pytest.raises(PlanError, match="not in the picture yet: A trial piece"):
        hold_back(refused, None, "marking.pdf")
    # It goes on waiting while something else is changed, until a result that can be is told, or it is taken back.
    typed = table.change(bench.name, Hand("redraw", values_of(refused.step.text) | {".title": "Front"}))
    assert typed.step != refused.step and banner(typed)["result"] == "fail"
    assert banner(table.change(bench.name, Hand("trial", {"verdict": "right", "lap": "over"})))["waits"] == ""
    table.change(bench.name, Hand("trial", {"verdict": "bulges", "lap": "over"}))
    assert banner(table.change(bench.name, Hand("undo", {})))["waits"] == ""


def test_supplies_that_another_program_wrote_meanwhile_are_left_alone(tmp_path: Path) -> None:
    shutil.copytree(TEMPLATES / "curved-front", tmp_path / "one")
    home = tmp_path / "one" / "plan.toml"
    table = Table()
    bench = table.lay(*files_beside(home), home=home)
    bench = table.change(bench.name, Hand("trial", {"verdict": "right"}))
    (home.parent / NAME).write_text("# mine", encoding="utf-8")
    after = table.change(bench.name, Hand("trial", {"verdict": "right", "cloth": "light fusible"}))
    assert after.refusal is not None and "changed while this ran" in after.refusal.words["trial"]
    assert (home.parent / NAME).read_text("utf-8") == "# mine" and after.files == bench.files


def test_page_that_was_ended_comes_back_with_the_supplies_that_trials_made(tmp_path: Path) -> None:
    table = Table(Memory(tmp_path))
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    for cloth in ("linen", "light fusible"):
        bench = table.change(bench.name, Hand("trial", {"verdict": "right", "cloth": cloth}))
        again = Table(Memory(tmp_path)).find(bench.name)
        assert (again.files, again.step.text) == (bench.files, bench.step.text)
        assert answer_of(again).catalogue.cloth(cloth).clamped is not None


def test_undo_takes_the_plan_back_to_the_tables() -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    table.change(bench.name, Hand("trial", {"verdict": "right"}))
    back = table.change(bench.name, Hand("undo", {}))
    assert back.step == bench.step and answer_of(back).catalogue.cloth("linen").clamped is None


def test_plan_that_tells_no_layers_says_what_to_tell_first() -> None:
    text = (TEMPLATES / "curved-front" / "plan.toml").read_text("utf-8")
    bare = text[: text.index("[[layer]]")]
    _, name, beside = files_beside(TEMPLATES / "curved-front" / "plan.toml")
    bench = Table().lay(bare.encode(), name, beside)
    assert "“Layers”" in picture_parts(bench)["trial"].why_not
    picture = looked_at("stack.svg", bench)
    assert picture is not None and picture.startswith(b"<?xml")
