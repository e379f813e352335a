"""Many plans at once: each for itself, a bad one told and passed over, the exit code of the worst."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.collection import Done, figures_of, in_words, run, run_one, tasks_for, worst_code
from closures.app.command import app
from closures.app.job import check_plan, load_plan
from closures.errors import PlanError

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"

GOOD = """
title = "Title {n}"
[edge]
straight = "500 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = {n}
[[layer]]
cloth = "chino"
count = 2
"""
FAILS = GOOD.replace('width = "40 mm"', 'width = "10 mm"')
BAD = GOOD.replace("count = {n}", "count = 900")


def make(folder: Path, **texts: str) -> list[Path]:
    """Write plans."""
    paths = []
    for n, (name, text) in enumerate(texts.items(), start=7):
        path = folder / f"{name}.toml"
        path.write_text(text.replace("{n}", str(n)), encoding="utf-8")
        paths.append(path)
    return paths


def command(*arguments: str) -> tuple[int, str, str]:
    """Run the command; give exit code, standard output, standard error."""
    result = CliRunner().invoke(app, list(arguments))
    return result.exit_code, result.stdout, result.stderr


def test_bad_plan_does_not_stop_the_rest_and_the_worst_code_is_given(tmp_path: Path) -> None:
    paths = make(tmp_path, a=GOOD, b=BAD, c=FAILS, d=GOOD, e="[edge", f=GOOD)
    code, out, _ = command("place", *map(str, paths))
    assert code == 2
    results = [line.split()[-1] for line in out.splitlines()[1:7]]
    assert results == ["good", "REFUSED", "FAIL", "good", "REFUSED", "good"]
    assert "6 plans: 3 good, 1 failed, 2 refused." in out
    assert f"{paths[1]}, [spacing]" in out
    for name in "acdf":
        assert (tmp_path / name / "marking.pdf").exists()
    assert not (tmp_path / "b").exists() and not (tmp_path / "e").exists()


def test_what_failed_of_each_plan_is_named_with_lap_and_marks(tmp_path: Path) -> None:
    sizes = FAILS + '[sizes]\nnames = ["S", "M"]\nbase = "M"\nwidth = { "S" = "40 mm", "M" = "10 mm" }\n'
    paths = make(tmp_path, a=GOOD, b=FAILS, c=sizes)
    code, out, _ = command("check", *map(str, paths))
    assert code == 1, out
    assert f"{paths[1]}: FAIL  edge distance, both laps: marks 1 to 8" in out
    assert f"{paths[2]}: FAIL  size M: edge distance, both laps: marks 1 to 9" in out
    assert f"{paths[0]}: " not in out and "size S:" not in out


@pytest.mark.parametrize(
    ("texts", "code"), [((GOOD, GOOD), 0), ((GOOD, FAILS), 1), ((BAD, FAILS), 2)], ids=["good", "fail", "bad"]
)
def test_exit_code_is_that_of_the_worst(texts: tuple[str, str], code: int, tmp_path: Path) -> None:
    paths = make(tmp_path, a=texts[0], b=texts[1])
    assert command("check", *map(str, paths))[0] == code
    assert {path.suffix for path in tmp_path.iterdir()} == {".toml"}, "a check writes nothing"


@pytest.mark.in_turn(3)
def test_collection_gives_each_plan_what_it_gives_alone(tmp_path: Path) -> None:
    paths = make(tmp_path, a=GOOD, b=GOOD, c=GOOD, d=GOOD, e=GOOD)
    assert command("place", *map(str, paths), "--out", str(tmp_path / "together"))[0] == 0
    for path in paths:
        assert command("place", str(path), "--out", str(tmp_path / "alone" / path.stem))[0] == 0
        for file in (tmp_path / "alone" / path.stem).iterdir():
            assert file.read_bytes() == (tmp_path / "together" / path.stem / file.name).read_bytes(), file.name


def test_plans_of_one_name_get_folders_of_their_own(tmp_path: Path) -> None:
    paths = []
    for name in ("shirt", "dress"):
        (tmp_path / name).mkdir()
        paths += make(tmp_path / name, plan=GOOD)
    code, _, _ = command("place", *map(str, paths), "--out", str(tmp_path / "out"))
    assert code == 0
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"shirt", "dress"}


def test_report_of_a_collection_as_json_holds_each_report(tmp_path: Path) -> None:
    paths = make(tmp_path, a=GOOD, b=BAD)
    code, out, _ = command("check", *map(str, paths), "--json")
    plans = json.loads(out)["plans"]
    assert code == 2
    assert [(one["plan"], one["exit"]) for one in plans] == [(str(paths[0]), 0), (str(paths[1]), 2)]
    assert len(plans[0]["report"]["marks"]) == 7 and "report" not in plans[1]
    assert "count" in plans[1]["error"] or "closures" in plans[1]["error"]


def test_same_plan_twice_is_refused(tmp_path: Path) -> None:
    (path,) = make(tmp_path, a=GOOD)
    code, _, err = command("place", str(path), str(path))
    assert code == 2 and "this plan is named twice" in err


@pytest.mark.parametrize(
    ("option", "told"),
    [
        (("--only", "8"), "--only: it cannot go with several plans"),
        (("--count", "5"), "cannot go with several plans"),
        (("--dxf",), "--dxf"),
    ],
    ids=["only", "wish", "dxf"],
)
def test_options_for_one_plan_are_refused_for_several(option: tuple[str, ...], told: str, tmp_path: Path) -> None:
    paths = make(tmp_path, a=GOOD, b=GOOD)
    code, _, err = command("place", *map(str, paths), *option)
    assert code == 2 and told in err


def test_progress_is_told_after_every_plan(tmp_path: Path) -> None:
    paths = make(tmp_path, a=GOOD, b=BAD, c=GOOD, d=GOOD, e=GOOD)
    told: list[tuple[int, int]] = []
    done = run(tasks_for(paths, None, False, "a4", "outside", False), lambda n, of: told.append((n, of)))
    assert told == [(n, 5) for n in range(1, 6)]
    assert [one.title for one in done] == ["Title 7", "Title 8", "Title 9", "Title 10", "Title 11"]
    assert worst_code(done) == 2


def test_plan_file_that_is_not_there_is_told_in_the_table(tmp_path: Path) -> None:
    (task,) = tasks_for([tmp_path / "none.toml"], None, True, "a4", "outside", False)
    done = run_one(task)
    assert isinstance(done, Done) and done.code == 2 and "there is no such plan file" in done.error
    assert "REFUSED" in in_words([done])
    with pytest.raises(PlanError, match="named twice"):
        tasks_for([tmp_path / "a.toml"] * 2, None, True, "a4", "outside", False)


def test_what_is_said_of_a_plan_names_it_once(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[band]\nwidht = 3\n")
    ran = CliRunner().invoke(app, ["check", str(tmp_path / "none.toml"), str(tmp_path / "bad.toml")])
    said = [line for line in ran.stdout.splitlines() if line.startswith(f"{tmp_path}/") and ": " in line]
    assert [line.count(".toml") for line in said] == [1] * len(said) and len(said) > 2
    assert f"{tmp_path}/none.toml: there is no such plan file." in ran.stdout


def test_plan_that_ends_its_worker_has_its_line_and_the_others_are_done(tmp_path):
    code = (
        "import os, signal, sys\n"
        "import closures.app.job as job\n"
        "load = job.load_plan\n"
        "def killed(path):\n"
        "    if path.stem == 'b': os.kill(os.getpid(), signal.SIGKILL)\n"
        "    if path.stem == 'c': raise RuntimeError('a wire is loose')\n"
        "    return load(path)\n"
        "job.load_plan = killed\n"
        "from closures.app.command import main\n"
        "sys.argv = ['closures', 'check', *sys.argv[1:]]\n"
        "main()\n"
    )
    text = (TEMPLATES / "shirt-front" / "plan.toml").read_text(encoding="utf-8")
    plans = [tmp_path / f"{name}.toml" for name in "abcdef"]
    for path in plans:
        path.write_text(text, encoding="utf-8")
    words = [sys.executable, "-c", code, *map(str, plans)]
    done = subprocess.run(
        words, capture_output=True, text=True, env={**os.environ, "TMPDIR": str(tmp_path)}, timeout=300
    )
    assert done.returncode == 3 and "Traceback" not in done.stdout + done.stderr, done.stdout + done.stderr
    assert "6 plans: 4 good, 0 failed, 0 refused. 2 not done" in done.stdout
    assert "b.toml: the system ended the work on this plan" in done.stdout
    assert "did not foresee (RuntimeError)" in done.stdout


def test_table_of_plans_counts_what_lies_beside_a_row() -> None:
    ran = CliRunner().invoke(app, ["check", *(str(TEMPLATES / n / "plan.toml") for n in ("double-breasted", "cuff"))])
    placement = check_plan(load_plan(TEMPLATES / "double-breasted" / "plan.toml")).placement
    row, beside = len(placement.marks), sum(len(one.marks) for one in placement.beside)
    assert beside > row and re.search(rf"double-breasted.plan.toml .* {row} \+ {beside} beside +\d", ran.output)
    assert re.search(r"cuff.plan.toml .*  2  ", ran.output)


def test_parts_of_all_plans_are_added_up(tmp_path: Path) -> None:
    row = (
        'title = "Row"\n[edge]\nstraight = "300 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "30 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "16 L"\nspare = 2\ntrial = 1\n'
        '[spacing]\nfirst = "20 mm"\nlast = "20 mm"\ncount = {count}\n'
    )
    plans = []
    for name, kind, count in (("a", "prong snap", 4), ("b", "sew-through button", 5), ("c", "prong snap", 6)):
        plans.append(tmp_path / f"{name}.toml")
        plans[-1].write_text(row.format(kind=kind, count=count))
    done = run(tasks_for(plans, None, False, "a4", "outside", True))
    parts = {(row["closure"]["kind"], row["part"]): row for row in figures_of(done)["parts"]}
    # By hand: ten prong snaps, a ring on either lap of each, and three more of each for either plan.
    rings = parts["prong snap", "prong ring"]
    assert (rings["count"], rings["total"]) == (20, 20 + 12)
    assert rings["plans"] == [str(plans[0]), str(plans[2])]
    assert parts["sew-through button", "button"]["total"] == 8
    assert "16 × stud, prong snap 16 L (6 of them spare and trial)" in in_words(done)


DRAWN = GOOD.replace("title", 'drawing = "front.svg"\ntitle', 1).replace('straight = "500 mm"', 'path = "{path}"')
TWO_EDGES = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
    '<path id="one" d="M 150 20 V 520"/><path id="two" d="M 158 20 V 520"/><path id="far" d="M 280 20 V 520"/></svg>'
)


def on_one_drawing(folder: Path, *paths: str) -> list[Path]:
    (folder / "front.svg").write_text(TWO_EDGES)
    return make(folder, **{f"plan{n}": DRAWN.replace("{path}", path) for n, path in enumerate(paths)})


def test_plans_on_one_drawing_whose_closures_lie_on_each_other_are_a_look(tmp_path: Path) -> None:
    plans = on_one_drawing(tmp_path, "one", "two", "far")
    done = run(tasks_for(plans, None, False, "a4", "outside", False))
    assert worst_code(done) == 0
    (near,) = figures_of(done)["between"]
    # Both rows begin 20 mm below their ends, 8 mm from each other: rims of 16 lines, 10.16 mm, overlap by 2.16.
    assert near["plans"] == [str(plans[0]), str(plans[1])] and near["found_mm"] == pytest.approx(8 - 10.16)
    told = " ".join(in_words(done).split())
    assert f"look {plans[0]} 1 and {plans[1]} 1 overlap by 2.2 mm." in told
    assert "Both plans lie on front.svg. Right as it is where they are not openings of one garment" in told


def test_plans_on_one_drawing_that_are_clear_of_each_other_or_on_others_say_nothing(tmp_path: Path) -> None:
    plans = on_one_drawing(tmp_path, "one", "far")
    done = run(tasks_for(plans, None, False, "a4", "outside", False))
    assert figures_of(done)["between"] == [] and "look  " not in in_words(done)
    (tmp_path / "other").mkdir()
    apart = [*on_one_drawing(tmp_path, "one"), *on_one_drawing(tmp_path / "other", "two")]
    assert figures_of(run(tasks_for(apart, None, False, "a4", "outside", False)))["between"] == []


def test_a_plan_that_cannot_be_read_does_not_keep_others_from_being_held_against_each_other(tmp_path: Path) -> None:
    plans = on_one_drawing(tmp_path, "one", "two")
    (tmp_path / "bad.toml").write_text('drawing = "front.svg\n')
    done = run(tasks_for([*plans, tmp_path / "bad.toml"], None, False, "a4", "outside", False))
    assert worst_code(done) == 2 and len(figures_of(done)["between"]) == 1


def test_six_plans_on_one_drawing_are_held_against_each_other_by_workers_too(tmp_path: Path) -> None:
    plans = on_one_drawing(tmp_path, *("one", "two") * 3)
    between = figures_of(run(tasks_for(plans, None, False, "a4", "outside", False)))["between"]
    assert {name for near in between for name in near["plans"]} == {str(plan) for plan in plans}
