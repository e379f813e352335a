"""Jobs on several cores: what comes out, and what is raised, are those of one."""

import os
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from functools import partial
from pathlib import Path
from threading import Thread

import pytest

from closures.app.job import load_plan
from closures.app.sizing import place_sizes, size_files
from closures.cores import all_done
from closures.verifying.verify import UnsoundError, require_sound_sizes

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PLAN = TEMPLATES / "eight-sizes" / "plan.toml"
FEW = ("12", "14", "16")


def tenfold(n: int) -> int:
    if n in (5, 7):
        raise ValueError(f"no {n}")
    return 10 * n


@pytest.mark.parametrize("cores", [1, 2, 3, 9])
def test_jobs_on_any_number_of_cores_come_back_in_their_order(cores: int) -> None:
    assert all_done([partial(tenfold, n) for n in range(5)], cores) == [0, 10, 20, 30, 40]
    assert all_done([], cores) == []


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_jobs_that_fail_raise_what_the_first_of_them_raises(cores: int) -> None:
    with pytest.raises(ValueError, match="no 5"):
        all_done([partial(tenfold, n) for n in reversed(range(8)) if n != 7] + [partial(tenfold, 7)], cores)


@pytest.mark.skipif(sys.platform != "linux", reason="one process does all")
def test_jobs_are_done_elsewhere_as_well_and_what_is_lost_there_is_done_here() -> None:
    here = os.getpid()

    def by_whom() -> int:
        # Long enough for every helper to come to one.
        sum(range(300_000))
        return os.getpid()

    def lost_elsewhere() -> int:
        if os.getpid() != here:
            os._exit(1)
        return by_whom()

    assert len(set(all_done([by_whom] * 60, 2))) == 2
    assert set(all_done([lost_elsewhere] * 60, 3)) == {here}


KILLED = """
import os, signal, time
from closures.cores import all_done

here = os.getpid()

def job():
    if os.getpid() == here:
        # All others have come to a job, and wait for their answers to be read.
        time.sleep(1.0)
        os.kill(here, signal.SIGKILL)
    return "x" * 4_000_000

all_done([job] * 3, 3)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="one process does all")
def test_helpers_of_a_command_that_is_killed_end_by_themselves() -> None:
    # Every helper holds the output open: it comes to its end when the last of them has ended.
    ran = subprocess.run([sys.executable, "-c", KILLED], stdout=subprocess.PIPE, timeout=60, check=False)
    assert ran.returncode == -signal.SIGKILL


@pytest.mark.skipif(sys.platform != "linux", reason="it is found by its parent there")
def test_workers_of_a_collection_that_is_killed_end_by_themselves(tmp_path: Path) -> None:
    """Each held the queue's other end open itself, and waited at it for ever."""
    plans = [tmp_path / f"plan{n}.toml" for n in range(12)]
    for plan in plans:
        shutil.copy(TEMPLATES / "shirt-front" / "plan.toml", plan)
    command = [sys.executable, "-m", "closures", "place", *map(str, plans)]
    running = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, start_new_session=True)
    try:
        assert running.stdout is not None
        begun = time.monotonic()
        while not list(tmp_path.glob("*/report.json")):
            assert time.monotonic() - begun < 60.0
            time.sleep(0.05)
        running.kill()
        # Every worker holds the output open: it comes to its end when the last of them has ended.
        ended = Thread(target=running.stdout.read, daemon=True)
        ended.start()
        ended.join(30)
        assert not ended.is_alive()
    finally:
        with suppress(ProcessLookupError):
            os.killpg(running.pid, signal.SIGKILL)
        running.wait()


@pytest.mark.in_turn(3)
def test_sizes_on_two_cores_have_the_files_of_one_and_are_verified() -> None:
    plan = load_plan(PLAN)
    one, two = (size_files(place_sizes(plan, PLAN, only=FEW, cores=n), "a4", cores=n) for n in (1, 2))
    assert list(one.items()) == list(two.items())
    pages = sorted(name for name in one if name.startswith("marking-"))
    assert len(pages) == len(FEW)
    changed = {**one, pages[0]: one[pages[1]]}
    told = []
    for cores in (1, 2):
        with pytest.raises(UnsoundError) as raised:
            require_sound_sizes(changed, dict.fromkeys(FEW), cores)
        told.append(raised.value.faults)
    assert told[0] == told[1]


def test_report_that_leaves_out_a_size_is_refused() -> None:
    sizes = place_sizes(load_plan(PLAN), PLAN, only=FEW)
    files = size_files(sizes, "a4")
    with pytest.raises(UnsoundError, match="every size once"):
        require_sound_sizes(files, dict.fromkeys((*FEW, "18")))
