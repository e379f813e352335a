"""The command: what it writes, prints and answers, and how it refuses."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

import closures
from closures import shipped
from closures.app.command import COMMANDS, Command, app
from closures.plan.options import OPTIONS

RUN = CliRunner()
BY_OPTIONS = [
    "--straight",
    "24 in",
    "--band",
    "1 1/2 in",
    "--lap",
    "right over left",
    "--closure",
    "prong snap",
    "--size",
    "16 L",
    "--first",
    "5/8 in",
    "--last",
    "2 in",
]
PLAN = """
title = "Bramble tunic"
[edge]
straight = "600 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 8
[[layer]]
cloth = "poplin"
count = 3
"""
WRITTEN = ["marking.pdf", "over.svg", "report.json", "report.md", "under.svg"]


@pytest.fixture
def plan(tmp_path):
    path = tmp_path / "tunic.toml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def listing(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_place_writes_a_folder_beside_the_plan_named_after_it(plan):
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 0, done.output
    assert sorted(p.name for p in (plan.parent / "tunic").iterdir()) == WRITTEN
    assert "8 closures: 7 gaps of 80 mm" in done.stdout


def test_place_twice_writes_the_same_bytes(plan):
    RUN.invoke(app, ["place", str(plan), "--out", str(plan.parent / "a")])
    RUN.invoke(app, ["place", str(plan), "--out", str(plan.parent / "b")])
    assert listing(plan.parent / "a") == listing(plan.parent / "b")


def test_check_writes_nothing(plan):
    before = listing(plan.parent)
    done = RUN.invoke(app, ["check", str(plan)])
    assert done.exit_code == 0
    assert listing(plan.parent) == before


def test_json_is_the_report_and_nothing_else(plan):
    done = RUN.invoke(app, ["place", str(plan), "--json"])
    report = json.loads(done.stdout)
    assert done.stdout.encode() == (plan.parent / "tunic" / "report.json").read_bytes()
    assert report["spacing"]["count"] == 8
    checked = json.loads(RUN.invoke(app, ["check", str(plan), "--json"]).stdout)
    # Only what was written has sheets, pages, and files with their hashes.
    written = {key: report[key] for key in ("files", "pages", "printing")}
    assert {**report, "sheets": []} == {**checked, **written}


def test_options_alone_give_the_same_row_as_the_plan(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = RUN.invoke(app, ["place", *BY_OPTIONS, "--count", "8", "--json"])
    assert done.exit_code == 0, done.output
    marks = json.loads(done.stdout)["marks"]
    # (24 - 5/8 - 2) / 7 in, in closed form
    exact = [(0.625 + i * (24 - 0.625 - 2) / 7) * 25.4 for i in range(8)]
    assert [mark["along_mm"] for mark in marks] == pytest.approx(exact, abs=1e-4)
    assert sorted(p.name for p in (tmp_path / "marking").iterdir()) == WRITTEN


def test_failed_check_writes_the_sheets_says_so_on_them_and_exits_1(plan):
    plan.write_text(PLAN.replace('width = "40 mm"', 'width = "14 mm"'), encoding="utf-8")
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 1
    assert "FAIL  edge distance" in done.stdout
    sheet = (plan.parent / "tunic" / "over.svg").read_text(encoding="utf-8")
    assert "edge distance" in sheet.casefold() and "fail" in sheet.casefold()


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "roll"])
def test_every_paper_is_taken(plan, paper):
    assert RUN.invoke(app, ["place", str(plan), "--paper", paper]).exit_code == 0


def test_inside_face_is_flipped(plan):
    report = json.loads(RUN.invoke(app, ["place", str(plan), "--face", "inside", "--json"]).stdout)
    assert [(sheet["face"], sheet["flipped"]) for sheet in report["sheets"]] == [("inside", True)] * 2


REFUSED = {
    "no file": (None, "there is no such plan file"),
    "broken TOML": ("title = ", "tunic.toml"),
    "not a text": (b"\xff\xfe\x00", "tunic.toml"),
    "unknown key": (PLAN.replace("count = 8", "cuont = 8"), "count"),
    "two faults at once": (PLAN.replace("40 mm", "4,0 mm").replace('"20 mm"', '"nan"', 1), "nan"),
    "no lap": (PLAN.replace('lap = "right over left"', ""), "lap"),
    "count of a million": (PLAN.replace("count = 8", "count = 1000000"), "count"),
    "count that cannot be": (PLAN.replace("count = 8", "count = 80"), "80"),
    "unknown kind": (PLAN.replace("prong snap", "prong snpa"), "Did you mean"),
    "unknown size": (PLAN.replace("16 L", "17 L"), "16 L"),
    "unknown cloth": (PLAN.replace('"poplin"', '"poplim"'), "poplin"),
    "drawing not there": (
        PLAN.replace('straight = "600 mm"', 'path = "a"').replace("[edge]", 'drawing = "a.svg"\n[edge]'),
        "a.svg",
    ),
    "supplies not there": ('supplies = "mine.toml"\n' + PLAN, "mine.toml"),
    "an edge of nothing": (PLAN.replace("600 mm", "0 mm"), "straight"),
    "first and last beyond the line": (PLAN.replace('last = "20 mm"', 'last = "900 mm"'), "last"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_bad_input_ends_in_one_message_and_leaves_all_as_it_was(tmp_path, name):
    text, words = REFUSED[name]
    plan = tmp_path / "tunic.toml"
    out = tmp_path / "tunic"
    out.mkdir()
    (out / "over.svg").write_bytes(b"earlier")
    if text is not None:
        plan.write_bytes(text if isinstance(text, bytes) else text.encode())
    before = listing(tmp_path)
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert listing(tmp_path) == before


def test_two_faults_are_told_together(plan):
    plan.write_text(REFUSED["two faults at once"][0], encoding="utf-8")
    told = RUN.invoke(app, ["check", str(plan)]).stderr.strip().splitlines()
    assert len(told) == 2 and "[band] width" in told[0] and "[spacing] first" in told[1]


def test_wishes_beside_a_plan_file_are_refused(plan):
    done = RUN.invoke(app, ["place", str(plan), "--count", "9"])
    assert done.exit_code == 2 and "--count cannot go with a plan file" in done.stderr


@pytest.mark.parametrize(("option", "value"), [("--paper", "a5"), ("--face", "front")])
def test_unknown_paper_and_face_are_refused(plan, option, value):
    done = RUN.invoke(app, ["place", str(plan), option, value])
    assert done.exit_code == 2 and value in done.stderr
    assert not (plan.parent / "tunic").exists()


@pytest.mark.skipif(os.geteuid() == 0 if hasattr(os, "geteuid") else True, reason="root writes anywhere")
def test_folder_that_cannot_be_written_is_told(plan):
    plan.parent.chmod(0o500)
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 2 and "cannot be written" in done.stderr


def test_fasteners_lists_kinds_and_one_kind_with_sources():
    assert "prong snap" in RUN.invoke(app, ["fasteners"]).stdout
    told = RUN.invoke(app, ["fasteners", "post snap"]).stdout
    assert "15.24" in told and "V-B-871F" in told
    done = RUN.invoke(app, ["fasteners", "prong snpa"])
    assert done.exit_code == 2 and "Did you mean prong snap" in done.stderr


def test_start_lists_and_copies(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    listed = RUN.invoke(app, ["start"]).stdout
    for name in shipped.starting_plans():
        assert name in listed
    done = RUN.invoke(app, ["start", "curved-front"])
    assert done.exit_code == 0 and (tmp_path / "curved-front" / "plan.toml").is_file()
    assert RUN.invoke(app, ["start", "curved-front"]).exit_code == 2
    assert RUN.invoke(app, ["start", "curved-frond"]).exit_code == 2


def test_colour_and_control_signs_stay_out_of_a_pipe(plan):
    assert "\x1b" not in RUN.invoke(app, ["check", str(plan)]).stdout


def test_help_needs_none_of_the_heavy_packages():
    code = (
        "import sys; sys.argv = ['closures', '--help']\n"
        "from closures.app.command import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'pint', 'shapely', 'numpy', 'svgwrite', 'cairosvg', 'pikepdf', 'svgelements', 'fontTools', 'rich'}\n"
        "print('LOADED', sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("LOADED []")


@pytest.mark.parametrize("command", ["check", "place"])
def test_plan_in_mm_and_inches_is_worked_without_the_library_of_units(plan, command):
    code = (
        "import sys\n"
        "from closures.app.command import main\n"
        f"sys.argv = ['closures', {command!r}, {str(plan)!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('LOADED', sorted({'pint', 'numpy', 'rich'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("LOADED []")


def test_one_job_looks_for_no_rings_among_what_it_made_neither_while_working_nor_at_its_end(plan):
    code = (
        "import gc, sys\n"
        "from closures.__main__ import main\n"
        f"sys.argv = ['closures', 'place', {str(plan)!r}]\n"
        "looks = []\n"
        "gc.callbacks.append(lambda phase, told: looks.append(phase))\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('LOOKS', len(looks), 'LEFT', gc.get_freeze_count() > 50_000)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("LOOKS 0 LEFT True")


def test_every_command_stands_in_the_help_with_its_group() -> None:
    text = RUN.invoke(app, ["--help"]).output
    for command in COMMANDS:
        assert f"  {command.name} " in text and f"{command.about}:" in text


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_command_answers_to_both_names_of_help(command: Command) -> None:
    short = RUN.invoke(app, [command.name, "-h"])
    assert short.exit_code == 0 and short.output == RUN.invoke(app, [command.name, "--help"]).output


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_values_of_options_are_called_by_words_of_the_trade_not_by_their_type(command: Command) -> None:
    text = RUN.invoke(app, [command.name, "--help"]).output
    assert not re.search(r"<\w+|\b(TEXT|INTEGER|PATH|str|int)\b", text), text


def test_options_stand_under_the_section_that_they_tell() -> None:
    text = RUN.invoke(app, ["place", "--help"]).output
    for option in OPTIONS:
        under = text.partition(f"\n{option.about}:\n")[2].split("\n\n")[0]
        assert re.search(rf"^  {option.name}\b", under, re.MULTILINE), option.name


def test_version_is_told() -> None:
    assert RUN.invoke(app, ["--version"]).output == f"closures {closures.__version__}\n"


def test_error_that_was_not_foreseen_leaves_by_three_and_keeps_its_details(tmp_path: Path) -> None:
    code = (
        "import sys, closures.app.job\n"
        "def broken(*given, **named): raise RuntimeError('a wire is loose')\n"
        "closures.app.job.check_plan = broken\n"
        "from closures.app.command import main\n"
        "sys.argv = ['closures', 'check', sys.argv[1]]\n"
        "main()\n"
    )
    plan = shipped.starting_plans()["curved-front"] / "plan.toml"
    ran = subprocess.run(
        [sys.executable, "-c", code, str(plan)],
        capture_output=True,
        text=True,
        env={**os.environ, "TMPDIR": str(tmp_path)},
    )
    assert ran.returncode == 3 and "Traceback" not in ran.stderr and "did not foresee" in ran.stderr
    (kept,) = tmp_path.glob("closures-*.txt")
    assert str(kept) in ran.stderr and "a wire is loose" in kept.read_text()


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("my.toml", "Write: closures place my.toml"),
        ("front.SVG", "closures edges front.SVG"),
        ("plaice", "Did you mean: closures place"),
        ("closure", "the program is called so"),
        ("xyzzy", "closures -h"),
    ],
)
def test_word_that_is_no_command_is_answered_with_what_to_type(word: str, said: str) -> None:
    ran = RUN.invoke(app, [word])
    assert ran.exit_code == 2 and said in ran.stderr


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("front.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", 'write drawing = "front.svg" into it'),
        ("front.svg", b"\xef\xbb\xbf\n<?xml version='1.0'?><svg/>", "closures edges front.svg"),
        ("front.pdf", b"%PDF-1.7", "closures edges front.pdf"),
        ("front.dxf", b"0\r\nSECTION\r\n", "closures edges front.dxf"),
        ("plan.docx", b"PK\x03\x04...", "Save it as plain text"),
        ("plan.doc", b"\xd0\xcf\x11\xe0...", "Save it as plain text"),
        ("plan.rtf", b"{\\rtf1\\ansi", "Save it as plain text"),
        ("front.png", b"\x89PNG\r\n", "[edge] trace"),
        ("report.json", b'{\n  "title": "x"', "whose name ends in .toml"),
        ("report.md", b"# Short belt\n", "whose name ends in .toml"),
    ],
)
def test_file_of_another_kind_in_place_of_a_plan_is_said_for_what_it_is(
    tmp_path: Path, name: str, content: bytes, said: str
) -> None:
    (tmp_path / name).write_bytes(content)
    ran = RUN.invoke(app, ["check", str(tmp_path / name)])
    assert ran.exit_code == 2 and "not a plan" in ran.stderr and said in ran.stderr


def test_plan_with_line_ends_of_old_systems_is_read(plan: Path) -> None:
    before = RUN.invoke(app, ["check", str(plan)]).output
    plan.write_bytes(plan.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r"))
    assert RUN.invoke(app, ["check", str(plan)]).output == before


def test_shell_that_is_named_after_the_completion_option_is_not_passed_over() -> None:
    ran = RUN.invoke(app, ["--install-completion", "fish"])
    assert ran.exit_code == 2 and "Type it in fish itself" in ran.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["swap"], "PLAN is missing. Write, for example: closures swap plan.toml"),
        (["trial", "plan.toml"], "RESULT is missing. Write, for example: closures trial plan.toml rattles"),
        (["edges"], "FILE is missing. Write, for example: closures edges front.svg"),
        (["same", "marking.pdf"], "PLAN is missing. Write, for example: closures same marking.pdf plan.toml"),
        (["pull"], "PLAN is missing. Write, for example: closures pull plan.toml"),
        (["print-check"], "ACROSS is missing. Write, for example: closures print-check 48.5 50.2 --of 50"),
    ],
    ids=lambda one: one[0] if isinstance(one, list) else "",
)
def test_command_that_lacks_an_argument_asks_for_it_by_an_example(words, told):
    answer = RUN.invoke(app, words)
    assert answer.exit_code == 2 and told in answer.output
