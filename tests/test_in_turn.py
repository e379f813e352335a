"""The usual run leaves out cases of long tests; over the turns it asks each of them, and a named file it asks whole."""

import subprocess
import sys
from pathlib import Path

import in_turn
import pytest

CASES = (
    [(f"test_a.py::test_sweep[{i}]", 5) for i in range(32)]
    + [(f"test_b.py::test_papers[{i}-{paper}]", 5) for i in range(4) for paper in ("a4", "a3")]
    + [(f"test_c.py::test_long_{i}", 3) for i in range(7)]
    + [("test_d.py::test_short", None)]
)


@pytest.mark.parametrize("start", [0, 1, 4_000_000_019])
def test_each_case_is_asked_once_in_as_many_turns_as_it_waits(start):
    for name, n in CASES:
        turns = [turn for turn in range(start, start + 15) if name in in_turn.drawn(CASES, turn)]
        assert len(turns) == 15 // (n or 1)


def test_every_turn_asks_its_share_of_each_test():
    for turn in range(15):
        asked = in_turn.drawn(CASES, turn)
        assert sum(name.startswith("test_a.py") for name in asked) in (6, 7)
        assert sum(name.startswith("test_b.py") for name in asked) in (1, 2)
        assert sum(name.startswith("test_c.py") for name in asked) in (2, 3)
        assert "test_d.py::test_short" in asked


def _asked(folder, *options):
    told = subprocess.run(
        [sys.executable, "-m", "pytest", "--collect-only", "-q", "-p", "no:cacheprovider", *options],
        cwd=folder,
        capture_output=True,
        text=True,
    ).stdout
    return [line for line in told.splitlines() if "::" in line]


def test_run_of_everything_draws_and_a_named_file_or_a_wish_for_the_whole_does_not(tmp_path):
    own = Path(__file__).parent
    (tmp_path / "tests").mkdir()
    for name in ("conftest.py", "in_turn.py"):
        (tmp_path / "tests" / name).write_text((own / name).read_text("utf-8"), "utf-8")
    (tmp_path / "pytest.ini").write_text(
        "[pytest]\ntestpaths = tests\npythonpath = tests\nmarkers =\n    core: c\n    long: l\n    in_turn: t\n",
        "utf-8",
    )
    (tmp_path / "tests" / "test_many.py").write_text(
        "import pytest\n\n@pytest.mark.in_turn(5)\n@pytest.mark.parametrize('i', range(20))\ndef test_many(i):\n    pass\n",
        "utf-8",
    )
    assert len(_asked(tmp_path)) == 4
    assert len(_asked(tmp_path, "--whole")) == 20
    assert len(_asked(tmp_path, "tests/test_many.py")) == 20
