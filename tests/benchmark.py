"""How long the work takes, as multiples of what cannot be helped: run ``python tests/benchmark.py``.

What a command costs is told as a multiple of a bare interpreter in the same environment, in processor time; what goes on
after start, in milliseconds and seconds of a processor. Each figure is the least of several runs, since everything that
disturbs a run makes it longer. Beside it stands what is aimed at.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PLANS = Path(__file__).resolve().parent.parent / "templates"
FIVE_PIECES = (
    "M0 0 C10 60 30 100 24 160 C20 200 10 250 12 300 C14 340 30 380 26 430 C24 480 6 520 8 570 C10 610 20 640 18 690"
)
PLAN = """
drawing = "front.svg"
[garment]
opens = "front"
pieces = "pair"
[edge]
path = "edge"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = { from = "30 mm", to = "60 mm" }
count = 12
[[anchor]]
name = "bust point"
level = "230 mm"
[[anchor]]
name = "waist"
level = "400 mm"
within = "10 mm"
[[clear]]
name = "belt"
level = ["440 mm", "460 mm"]
[[layer]]
cloth = "poplin"
count = 2
"""


def least_seconds(command: list[str], runs: int = 7) -> float:
    """Run a command several times and take the least processor time, which other work on the machine does not add to."""
    # As it is installed: its modules compiled already, which the environment of a developer may forbid.
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as folder:
        env["PYTHONPYCACHEPREFIX"] = folder
        subprocess.run(command, check=True, capture_output=True, env=env)
        times = []
        for _ in range(runs):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run(command, check=True, capture_output=True, env=env)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            times.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return min(times)


def interpreter_multiples(runs: int = 7) -> dict[str, float]:
    """``--help``, ``check`` and ``place`` of a starting plan, as multiples of an interpreter that does nothing."""
    plan = str(PLANS / "curved-front" / "plan.toml")
    bare = least_seconds([sys.executable, "-c", "pass"], runs)
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        for name, words in (
            ("--help", ["--help"]),
            ("check", ["check", plan]),
            ("place", ["place", plan, "--out", folder]),
        ):
            found[name] = least_seconds([sys.executable, "-m", "closures", *words], runs) / bare
    return found


def verifier_ms(runs: int = 20) -> float:
    """Reading a front's finished files back and holding them against every rule, in milliseconds."""
    from closures.app.job import load_plan, place_plan, result_files
    from closures.app.verified import require_sound_results

    path = PLANS / "curved-front" / "plan.toml"
    answer = place_plan(load_plan(path), path)
    files = result_files(answer, "a4")
    times = []
    for _ in range(runs):
        start = time.process_time()
        require_sound_results(answer.placement, files, answer.catalogue)
        times.append(time.process_time() - start)
    return min(times) * 1000


def placement_ms(runs: int = 30) -> float:
    """Spacing, placement and checks in process, after imports, in milliseconds."""
    from closures.catalogue.loading import load_catalogue
    from closures.checks.rules import check
    from closures.edges.reading import read_edges
    from closures.placing.placement import place
    from closures.plan.reading import read_plan

    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="700mm" viewBox="0 0 100 700"><path id="edge" d="{FIVE_PIECES}"/></svg>'
    plan, catalogue = read_plan(PLAN.encode(), "bench.toml"), load_catalogue()
    edges = read_edges(plan, {"front.svg": svg.encode()})
    times = []
    for _ in range(runs):
        start = time.process_time()
        placement = place(plan, edges, catalogue)
        check(placement, catalogue)
        times.append(time.process_time() - start)
    return min(times) * 1000


SIZES = [str(2 * k) for k in range(1, 21)]
GRADE = """
[sizes]
names = {names}
base = "22"
grade = [["1 mm", "0 mm"], ["1 mm", "1 mm"], ["1 mm", "2 mm"], ["1 mm", "3 mm"], ["1 mm", "4 mm"], ["1.5 mm", "5 mm"]]
level = {{ "bust point" = {{ step = "1.5 mm" }} }}
"""


def sizes_seconds(cores: int, runs: int = 3) -> float:
    """Twenty sizes, both laps, all sheets and one layered PDF, after start: what the process that is told to do it works."""
    from closures.app.sizing import place_sizes, size_files
    from closures.plan.reading import read_plan

    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="700mm" viewBox="0 0 100 700"><path id="edge" d="{FIVE_PIECES}"/></svg>'
    text = PLAN.split("[[clear]]")[0] + '[[layer]]\ncloth = "poplin"\ncount = 2\n'
    plan = read_plan((text + GRADE.format(names=str(SIZES).replace("'", '"'))).encode(), "bench.toml")
    times = []
    for _ in range(runs):
        start = time.process_time()
        size_files(place_sizes(plan, {"front.svg": svg.encode()}, cores=cores), "a3", cores=cores)
        times.append(time.process_time() - start)
    return min(times)


def collection_seconds(plans: int = 200) -> tuple[float, float]:
    """A collection of plans by one command, and the same plans one after the other on one core, in seconds."""
    from closures.app.collection import run_one, tasks_for

    text = (PLANS / "shirt-front" / "plan.toml").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / f"plan-{k:03}.toml" for k in range(plans)]
        for path in paths:
            path.write_text(text, encoding="utf-8")
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "closures", "place", *map(str, paths)], check=True, capture_output=True)
        together = time.perf_counter() - start
        start = time.perf_counter()
        for task in tasks_for(paths, None, True, "a4", "outside", False):
            run_one(task)
        return together, time.perf_counter() - start


if __name__ == "__main__":
    aims = {"--help": 4, "check": 9, "place": 18}
    for what, times_bare in interpreter_multiples().items():
        print(f"{what:8} in bare interpreters:                    {times_bare:6.2f}   (aimed at: {aims[what]})")
    print(f"12 closures placed and checked, milliseconds:  {placement_ms():6.2f}   (aimed at: 10)")
    print(f"a front read back and verified, milliseconds:  {verifier_ms():6.2f}")
    print(f"20 sizes, all sheets, layered PDF, seconds:    {sizes_seconds(1):6.2f}")
    print(f"the same, the share of the first of two cores:  {sizes_seconds(2):6.2f}   (aimed at: 1.2)")
    together, alone = collection_seconds()
    print(f"200 plans by one command, seconds:             {together:6.2f}   (one by one on one core: {alone:.2f})")
