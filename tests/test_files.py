"""Files: read within limits, and never over somebody's own."""

import os
import subprocess
import sys

import pytest

from closures import files, shipped
from closures.errors import ClosureError, DrawingError, OutputError, PlanError


def test_read_plan_that_is_not_there_is_told(tmp_path):
    with pytest.raises(PlanError, match="no such plan file"):
        files.read_plan_file(tmp_path / "none.toml")


def test_read_plan_that_is_a_folder_is_told(tmp_path):
    with pytest.raises(PlanError, match="this is a folder"):
        files.read_plan_file(tmp_path)


def test_read_plan_over_the_limit_is_told(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_bytes(b"#" * (files.LARGEST_PLAN_BYTES + 1))
    with pytest.raises(PlanError, match="at most 1,000,000 are read"):
        files.read_plan_file(plan)


def test_read_plan_with_a_null_in_its_name_is_told(tmp_path):
    with pytest.raises(PlanError, match=r"cannot be read|no such plan file"):
        files.read_plan_file(tmp_path / "a\0b.toml")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_read_plan_that_is_a_pipe_does_not_wait_for_it(tmp_path):
    os.mkfifo(tmp_path / "plan.toml")
    with pytest.raises(PlanError, match="not a plan file"):
        files.read_plan_file(tmp_path / "plan.toml")


def test_read_drawing_is_looked_up_beside_the_plan(tmp_path):
    (tmp_path / "front.svg").write_bytes(b"<svg/>")
    assert files.read_beside(tmp_path / "plan.toml", "front.svg", "drawing") == b"<svg/>"
    with pytest.raises(DrawingError, match="no such drawing file"):
        files.read_beside(tmp_path / "plan.toml", "back.svg", "drawing")


@pytest.mark.parametrize(
    ("held", "written"), [("e\u0301te\u0301.svg", "\u00e9t\u00e9.svg"), ("\u00e9t\u00e9.svg", "e\u0301te\u0301.svg")]
)
def test_file_is_found_however_its_accents_are_spelled(tmp_path, held, written):
    (tmp_path / held).write_bytes(b"<svg/>")
    assert files.read_beside(tmp_path / "plan.toml", written, "drawing") == b"<svg/>"
    assert files.read_beside({held: b"<svg/>"}, written, "drawing") == b"<svg/>"


def test_file_with_a_name_too_long_is_told(tmp_path):
    with pytest.raises(DrawingError, match="cannot be read"):
        files.read_beside(tmp_path / "plan.toml", "a" * 5000 + ".svg", "drawing")


def test_copy_starting_plan_refuses_a_folder_with_files(tmp_path):
    name = next(iter(shipped.starting_plans()))
    (tmp_path / "mine.txt").write_bytes(b"mine")
    with pytest.raises(OutputError, match="not empty"):
        shipped.copy_starting_plan(name, tmp_path)


def test_copy_starting_plan_with_a_wrong_name_gives_the_nearest(tmp_path):
    name = next(iter(shipped.starting_plans()))
    with pytest.raises(PlanError, match=f"Did you mean '{name}'"):
        shipped.copy_starting_plan(name + "s", tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_copy_starting_plan_copies_plan_and_drawing(tmp_path):
    for name, folder in shipped.starting_plans().items():
        copied = shipped.copy_starting_plan(name, tmp_path / name)
        assert copied.read_bytes() == (folder / "plan.toml").read_bytes()
        assert {p.name for p in copied.parent.iterdir()} == {p.name for p in folder.iterdir() if p.is_file()}


@pytest.mark.parametrize("name", ["patterns/front.svg", r"patterns\front.svg", r".\patterns\front.svg"])
def test_file_beside_a_plan_is_found_with_either_slash(tmp_path, name):
    (tmp_path / "patterns").mkdir()
    (tmp_path / "patterns" / "front.svg").write_bytes(b"<svg/>")
    assert files.read_beside(tmp_path / "plan.toml", name, "drawing") == b"<svg/>"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("front.svgz", "Did you mean front.svg?"),
        ("Front.SVG", "Did you mean front.svg?"),
        ("front", "Did you mean front.svg?"),
        ("elsewhere/front.svg", "no folder"),
        ("moonlight.dxf", "Check the name and the folder."),
    ],
)
def test_file_that_is_not_there_is_told_with_the_nearest_name(tmp_path, name, said):
    (tmp_path / "front.svg").write_bytes(b"<svg/>")
    with pytest.raises(ClosureError, match="there is no such drawing file") as caught:
        files.read_beside(tmp_path / "plan.toml", name, "drawing")
    assert said in str(caught.value)


def test_name_of_a_drawing_with_an_accent_is_found_where_the_system_takes_plain_letters_alone(tmp_path):
    (tmp_path / "frönt.svg").write_bytes(b"<svg/>")
    code = f"from pathlib import Path; from closures import files; print(files.read_beside(Path({str(tmp_path)!r}) / 'plan.toml', 'fr\\xf6nt.svg', 'drawing'))"
    plain = os.environ | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    done = subprocess.run([sys.executable, "-c", code], env=plain, capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "b'<svg/>'", done.stderr
