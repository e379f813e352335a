"""A trial piece narrows the range of its cloth in the user's own supplies file."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import check_plan
from closures.app.trying import try_piece
from closures.plan.reading import read_plan

PLAN = """# a note that stays
[edge]
straight = "600 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "{size}"
[[layer]]
cloth = "{cloth}"
count = {count}
"""


def run(folder: Path, *words: str, size: str = "14 L", cloth: str = "interlock", count: int = 2) -> tuple[int, str]:
    plan = folder / "plan.toml"
    if not plan.exists():
        plan.write_text(PLAN.format(size=size, cloth=cloth, count=count))
    found = CliRunner().invoke(app, ["trial", str(plan), *words])
    return found.exit_code, found.output


def row(folder: Path) -> dict[str, object]:
    rows = tomllib.loads((folder / "my-supplies.toml").read_text())["cloth"]
    assert len(rows) == 1
    return dict(rows[0])


# Two layers of interlock come to 0.75 to 1.4 mm when squeezed; a 14 L prong snap clamps 0.4 to 1.0 (from memory).
@pytest.mark.parametrize(
    ("result", "clamped"),
    [
        pytest.param("right", [0.38, 0.5], id="it sits right: no more than 1.0"),
        pytest.param("bulges", [0.5, 0.7], id="it bulges: at least 1.0"),
    ],
)
def test_trial_narrows_the_range_and_the_plan_reads_it(tmp_path: Path, result: str, clamped: list[float]) -> None:
    code, out = run(tmp_path, result)
    assert code == 0, out
    assert row(tmp_path)["clamped"] == pytest.approx(clamped, abs=0.01)
    text = (tmp_path / "plan.toml").read_text()
    assert "# a note that stays" in text and 'supplies = "my-supplies.toml"' in text
    checked = CliRunner().invoke(app, ["check", str(tmp_path / "plan.toml")])
    word = "it fits" if result == "right" else "too short|too thick"
    assert any(part in " ".join(checked.output.split()) for part in word.split("|")) or result == "right"


def test_trial_that_rattles_narrows_from_above(tmp_path: Path) -> None:
    # Two layers of jersey: 0.42 to 0.868 mm; a 16 L prong snap clamps from 0.5.
    code, out = run(tmp_path, "rattles", size="16 L", cloth="jersey")
    assert code == 0, out
    assert row(tmp_path)["clamped"] == pytest.approx([0.21, 0.25], abs=0.01)


def test_trial_of_a_cloth_that_was_measured_narrows_the_measured_layer(tmp_path: Path) -> None:
    # Two layers of 0.75 mm come to 0.75 to 1.05 mm squeezed (0.5 to 0.7 of them, from memory); 14 L clamps 0.4 to 1.0.
    plan = tmp_path / "plan.toml"
    plan.write_text(PLAN.format(size="14 L", cloth="interlock", count=2) + 'thickness = "0.75 mm"\n')
    assert run(tmp_path, "right")[0] == 0
    assert row(tmp_path)["clamped"] == pytest.approx([0.375, 0.5], abs=0.006)
    answer = check_plan(
        read_plan(plan.read_bytes(), "plan.toml"), {"my-supplies.toml": (tmp_path / "my-supplies.toml").read_bytes()}
    )
    on_lap = answer.placement.marks[0].over
    assert on_lap is not None and on_lap.stack is not None
    assert on_lap.stack.clamped_mm == pytest.approx((0.75, 1.0), abs=0.011)


def test_trial_is_not_kept_as_that_of_the_cloth_beside_a_layer_without_a_name(tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    layer = 'structure = "knit"\nthickness = "0.9 mm"\ncount = 2\n'
    plan.write_text(PLAN.format(size="14 L", cloth="light fusible", count=1) + f"[[layer]]\n{layer}")
    code, out = run(tmp_path, "right")
    assert code == 2 and "told without its cloth" in out and not (tmp_path / "my-supplies.toml").exists()
    code, out = run(tmp_path, "right", "--cloth", "light fusible")
    assert code == 0 and "too little is known" in out


def test_second_trial_changes_the_row_and_keeps_notes(tmp_path: Path) -> None:
    assert run(tmp_path, "right")[0] == 0
    supplies = tmp_path / "my-supplies.toml"
    supplies.write_text("# my own words\n" + supplies.read_text())
    assert run(tmp_path, "right")[0] == 0
    assert "# my own words" in supplies.read_text()
    assert row(tmp_path)["clamped"] == pytest.approx([0.38, 0.5], abs=0.01)


def test_trial_of_a_cloth_by_another_name_changes_its_own_row_and_keeps_where_it_was_measured(tmp_path: Path) -> None:
    supplies = tmp_path / "my-supplies.toml"
    supplies.write_text('[[cloth]]\nname = "Wool melton"\nthickness = [1.4, 1.6, 1.8]\nsource = "caliper"\n')
    plan = PLAN.format(size="18 L", cloth="wool melton", count=2)
    (tmp_path / "plan.toml").write_text(f'supplies = "my-supplies.toml"\n{plan}')
    # 2 × 1.4 × 0.55 = 1.54 is the least; 18 L clamps up to 1.8.
    for _ in range(2):
        code, out = run(tmp_path, "right")
        assert code == 0, out
    assert row(tmp_path)["clamped"] == pytest.approx([0.77, 0.9])
    assert row(tmp_path)["source"] == "caliper; trial piece: prong snap 18 L, 2 of it in the over lap: right"


def test_trial_of_leather_by_the_ounce_writes_a_row_that_loads(tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(PLAN.format(size="24 L", cloth="leather 6 oz", count=1).replace("prong snap", "leather post snap"))
    assert run(tmp_path, "right")[0] == 0
    assert CliRunner().invoke(app, ["check", str(plan)]).exit_code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("wobbles",), "rattles, right or bulges"),
        (("bulges", "--cloth", "oxford"), "no layer of oxford"),
        (("rattles",), "cannot be one that rattles"),
    ],
)
def test_trial_that_cannot_be_is_refused_and_writes_nothing(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    code, out = run(tmp_path, *words)
    assert code == 2 and says in out
    assert [path.name for path in tmp_path.iterdir()] == ["plan.toml"]


def test_trial_without_a_file_gives_both_texts_and_writes_nothing(tmp_path: Path) -> None:
    text = PLAN.format(size="14 L", cloth="interlock", count=2)
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    found = try_piece(answer, text, None, "right")
    assert found.trial.after_mm == pytest.approx((0.38, 0.5), abs=0.01)
    assert found.supplies_name == "my-supplies.toml" and "# a note that stays" in found.plan_text
    again = check_plan(
        read_plan(found.plan_text.encode(), "plan.toml"), {found.supplies_name: found.supplies_text.encode()}
    )
    stack = again.placement.marks[0].over
    assert stack is not None and stack.stack is not None
    assert stack.stack.clamped_mm == pytest.approx((0.76, 1.0), abs=0.03)
    # A second result is kept in the same file, and the plan's text stays as it is.
    twice = try_piece(again, found.plan_text, found.supplies_text, "right")
    assert twice.plan_text == found.plan_text and twice.supplies_text.count("[[cloth]]") == 1
    assert list(tmp_path.iterdir()) == []
