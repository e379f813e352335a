"""A job told by options alone is answered by options: no message names a section of a plan that nobody has."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

import closures
from closures.app.command import app
from closures.errors import to_install
from closures.plan.as_options import in_options
from closures.plan.one_line import shown
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section

SMALL = (
    *("--straight", "24 in", "--band", "1 1/2 in", "--lap", "right over left", "--opens", "front"),
    *("--closure", "prong snap", "--size", "16 L", "--first", "5/8 in", "--last", "2 in", "--count", "8"),
)
NAMES = "|".join(section.name for section in SECTIONS)
HEADING = re.compile(rf"\[\[?(?:{NAMES})\]|⟦")


def every_key() -> Iterator[tuple[str, Key]]:
    def walk(section: Section, path: str) -> Iterator[tuple[str, Key]]:
        for key in section.keys:
            if isinstance(key.kind, Section):
                yield from walk(key.kind, f"{path}{key.name}.")
            else:
                yield f"{path}{key.name}", key

    for section in (TOP, *SECTIONS):
        yield from walk(section, f"{section.name}.{'1.' if section.repeated else ''}" if section.name else "")


def answer(folder: Path, *options: str) -> str:
    result = CliRunner().invoke(app, ["check", *options])
    assert result.exception is None or isinstance(result.exception, SystemExit), options
    return result.stdout + result.stderr


@pytest.mark.in_turn(3)
def test_no_refusal_of_options_names_a_section(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each key of a plan with what is no value, and with its own example, beside a whole job and beside none."""
    monkeypatch.chdir(tmp_path)
    named = []
    for name, key in every_key():
        assert not isinstance(key.kind, Section)
        example = shown(key.kind, tomllib.loads(f"it = {key.example}")["it"])
        for value in ("?", example):
            said = answer(tmp_path, *SMALL, "--set", f"{name} = {value}")
            if HEADING.search(said):
                named.append((name, value, said))
    assert not named


@pytest.mark.parametrize(
    "options",
    [
        (),
        ("--band", "24 in", "--count", "3", "--pitch", "20", "--lap", "front over back"),
        ("--path", "edge", "--lap", "left over right", "--band", "30"),
        (*SMALL, "--count", "80"),
        (*SMALL, "--closest", "20 in"),
        (*SMALL, "--anchor", "bust"),
        (*SMALL, "--clear", "belt @ 3 in to 1 in"),
        (*SMALL, "--layer", "zephyr cloth of the moon"),
        (*SMALL, "--pieces", "pair", "--under", "under-edge"),
        (*SMALL, "--hole", "along", "--halves", "turned", "--grip", "1 mm to 2 mm"),
        (*SMALL, "--inset", "3 in"),
        (*SMALL, "--first", "20 in", "--last", "20 in"),
        (*SMALL, "--radius", "10 mm"),
        ("--straight", "24 in", "--band", "1 1/2 in", "--lap", "right over left", "--closure", "flat hook"),
    ],
)
def test_no_answer_to_options_names_a_section(
    options: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert not HEADING.search(answer(tmp_path, *options))


@pytest.mark.in_turn(3)
def test_no_result_of_options_names_a_section(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    kept = [option for option in SMALL if option not in ("--first", "5/8 in", "--last", "2 in", "--opens", "front")]
    result = CliRunner().invoke(app, ["place", *kept, "--also", "all", "--out", "made", "--words", "text"])
    assert result.exit_code == 0, result.stderr
    assert "To change it: --inset." in " ".join(result.stdout.split())
    assert "write --opens front or --opens back" in " ".join(result.stdout.split())
    for file in sorted(Path("made").glob("*.[jms]*")):
        assert not HEADING.search(file.read_text(encoding="utf-8")), file
    import pdfplumber

    with pdfplumber.open("made/marking.pdf") as pages:
        assert not HEADING.search("\n".join(page.extract_text() for page in pages.pages))


def test_the_same_job_in_a_file_is_answered_by_sections(tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(
        '[edge]\nstraight = "24 in"\n[band]\nwidth = "1 1/2 in"\nlap = "right over left"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n',
        encoding="utf-8",
    )
    said = " ".join(CliRunner().invoke(app, ["check", str(plan)]).stdout.split())
    assert "To change it: inset under [band]." in said
    assert 'write opens = "front" or opens = "back" under [garment]' in said


def texts() -> Iterator[tuple[str, str]]:
    """What the program may say with a section in it, by where it stands; what is worked out on the way is an X."""
    for file in sorted(Path(closures.__file__).parent.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        silent = {
            id(node.body[0].value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
            and node.body
            and isinstance(node.body[0], ast.Expr)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                silent |= {id(part) for part in node.values}
                text = "".join(str(part.value) if isinstance(part, ast.Constant) else "X" for part in node.values)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                text = node.value
            else:
                continue
            if id(node) not in silent and HEADING.search(text) and "(?" not in text and "⟦" not in text:
                yield f"{file.name}:{node.lineno}", text


@pytest.mark.in_turn(3)
def test_every_text_with_a_section_in_it_can_be_told_by_options() -> None:
    found = list(texts())
    assert len(found) > 60
    left = [(where, in_options(text)) for where, text in found if HEADING.search(in_options(text))]
    assert not left


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ('write inset = "18 mm" under [band]', 'write --inset "18 mm"'),
        ("pitch or count under [spacing]", "--pitch or --count"),
        ('write opens = "left side" under [garment]', 'write --opens "left side"'),
        ("write reverse = true under [edge], or exchange", "write --reverse, or exchange"),
        ("add a [[layer]].", "add --layer."),
        ('Add [[anchor]] name = "bust".', 'Add --anchor "bust @ ...".'),
        ("Say how it is cut: cut = under [band].", 'Say how it is cut: --set "band.cut = ...".'),
        (
            'known = { path = "page 1, 4", length = "50 mm" } under [edge]',
            '--set "edge.known.path = page 1, 4" --set "edge.known.length = 50 mm"',
        ),
        ("Leave [stand] out, or mend opens.", 'Leave --set "stand. ..." out, or mend opens.'),
        ("Under [sheets] write closing = true", 'Write --set "sheets.closing = yes"'),
        (to_install("dxf"), to_install("dxf")),
        ("nothing of a plan is named", "nothing of a plan is named"),
    ],
)
def test_words_of_a_plan_are_told_by_options(said: str, told: str) -> None:
    assert in_options(said) == told


def test_belt_is_told_by_options_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    told = (
        "waist = 28 in",
        "width = 38 mm",
        "settings = 5",
        "step = 1 in",
        "caps = 20 mm, 70.8 mm",
        "thickness = 3.2 mm",
    )
    belt = [part for each in told for part in ("--set", f"belt.{each}")]
    result = CliRunner().invoke(app, ["check", *belt, "--closure", "prong snap", "--size", "16 L"])
    assert result.stderr == ""
    assert "belt" in result.stdout
    without = CliRunner().invoke(app, ["check", *belt[2:], "--closure", "prong snap", "--size", "16 L"])
    assert "exactly one of --set belt.waist, --set belt.target, --set belt.sizes is needed" in without.stderr


def test_key_that_is_a_common_word_too_is_told_by_its_option_in_a_list_of_keys() -> None:
    told = in_options("Write under [pull]: scale, at, pitch.")
    assert told == 'Write --set "pull.scale = ...", --set "pull.at = ...", --set "pull.pitch = ...".'
