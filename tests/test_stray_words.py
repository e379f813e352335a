"""Words on a command line that are no plan files: refused before anything is placed."""

import pytest
from typer.testing import CliRunner

from closures.app.command import app

PLAN = """
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
count = 8
"""
JOB = ("--lap", "right over left", "--closure", "prong snap", "--size", "16 L", "--first", "20", "--count", "6")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("plan.toml", "my plan.toml", "my long front.toml"):
        (tmp_path / name).write_text(PLAN)
    (tmp_path / "front.svg").write_text("<svg/>")
    return tmp_path


@pytest.mark.parametrize("command", ["place", "check"])
@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("plan.toml", "—paper", "letter"), "two short ones: type --paper."),
        (("—straight", "24 in", *JOB), "two short ones: type --straight."),
        (("–-straight", "24 in", *JOB), "two short ones: type --straight."),
        (("--straight", "24 in", "--band", "1", "1/2", *JOB), "1/2: this is no plan file. A value of several words"),
        (("--band", "1", "1/2", "--lap", "right", "over", "left"), "1/2, over, left: these are no plan files"),
        (("front.svg", "--path", "edge", *JOB), "Beside options it is named by one: --drawing front.svg."),
        (("my", "plan.toml"), 'A name with spaces stands between quotes: "my plan.toml".'),
        (("plan.toml", "my", "long", "front.toml"), 'stands between quotes: "my long front.toml".'),
    ],
    ids=["dash", "dash for a job", "two dashes", "one word", "words", "drawing", "blank", "two blanks"],
)
def test_stray_words_are_refused_and_nothing_is_written(folder, command, words, told):
    before = sorted(folder.iterdir())
    answer = CliRunner().invoke(app, [command, *words])
    assert answer.exit_code == 2 and told in answer.stderr
    assert sorted(folder.iterdir()) == before


def test_a_folder_with_a_blank_is_told_in_quotes_and_nothing_is_written(folder):
    before = sorted(folder.iterdir())
    answer = CliRunner().invoke(app, ["place", "plan.toml", "--out", "my", "folder"])
    assert answer.exit_code == 2 and answer.stdout == ""
    assert answer.stderr == 'folder: this is no plan file. A name with spaces stands between quotes: "my folder".\n'
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(
    "address", ["https://example.org/patterns/front.svg", "file:///C:/patterns/front.svg", r"C:\Users\sewing\front.svg"]
)
def test_an_address_in_place_of_a_drawing_is_told_as_it_was_written(folder, address, monkeypatch):
    monkeypatch.setattr("sys.platform", "linux")
    (folder / "far.toml").write_text(f"drawing = '{address}'\n" + PLAN.replace('straight = "600 mm"', 'path = "edge"'))
    answer = CliRunner().invoke(app, ["check", "far.toml"])
    assert answer.exit_code == 2
    assert address in answer.stderr and 'write its name alone: drawing = "front.svg".' in answer.stderr


def test_several_plans_of_which_one_is_missing_are_still_placed(folder):
    answer = CliRunner().invoke(app, ["check", "plan.toml", "other.toml"])
    assert answer.exit_code == 2 and "8" in answer.stdout and "other.toml" in answer.stdout


def test_a_drawing_with_a_blank_is_told_in_quotes(folder):
    (folder / "my front.svg").write_text("<svg/>")
    assert 'closures edges "my front.svg"' in CliRunner().invoke(app, ["check", "my front.svg"]).stderr
