"""Ends a write of results in the middle, again and again, and looks at what stands there: run it by hand.

    python tests/kills.py                    300 ends at random moments: killed, Ctrl+C, asked to end
    python tests/kills.py steps whole        one kill at every step that the write takes
    python tests/kills.py steps two-step     the same on a system that cannot exchange two folders
    python tests/kills.py steps files        the same in a folder whose files change places one by one

A set that stands there must be the old one or the new one; in a folder whose files change places one by one, files of
one of them, never of both. What is no result must stand there untouched, and the next run must clear all else.
"""

from __future__ import annotations

import contextlib
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from closures.results import standing, switching, whole

NOTE = b"a note of somebody's own"


def set_of(kind: bytes, more: int = 0) -> dict[str, bytes]:
    """A set of results whose every file begins with its kind."""
    body = kind * 20_000
    report = b'{"title": "' + kind + b'"}'
    return {
        **{name: body for name in ("over.svg", "under.svg", "marking.pdf", "report.md")},
        **{f"stencil-{n}.svg": body for n in range(more)},
        "report.json": report,
    }


OLD, NEW = set_of(b"old ", more=2), set_of(b"new ")


def ended(work: Callable[[], object], end: Callable[[int], None], before: Callable[[], None] = lambda: None) -> int:
    """Do work in a process of its own and end it; the status that it left with comes out."""
    ends = (signal.SIGINT, signal.SIGTERM)
    # An end that comes before the child is within the lines below would make it tidy up as its parent does.
    signal.pthread_sigmask(signal.SIG_BLOCK, ends)
    child = os.fork()
    if child == 0:
        with contextlib.suppress(BaseException):
            signal.signal(signal.SIGINT, signal.default_int_handler)
            signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
            signal.pthread_sigmask(signal.SIG_UNBLOCK, ends)
            before()
            work()
        os._exit(0)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, ends)
    end(child)
    return os.waitpid(child, 0)[1]


def state_of(folder: Path) -> set[str]:
    """Which sets the files that stand in a folder belong to, and whether they are all of it."""
    if not folder.exists():
        return {"nothing"}
    files = [file for file in folder.iterdir() if file.is_file() and not file.name.startswith(".closures-")]
    here = {file.name: file.read_bytes() for file in files}
    here.pop("note.txt", None)
    found = set()
    for name, content in ((("old"), standing.sealed(OLD)), ("new", standing.sealed(NEW))):
        mine = {one for one, data in here.items() if data == content.get(one)}
        if mine:
            found.add(name if mine == set(content) else f"part of {name}")
            for one in mine:
                here.pop(one)
    return found | {f"unknown {name}" for name in here} or {"nothing"}


def prepared(folder: Path, mode: str) -> Path:
    """A folder with the old set in it and a note; with a folder in it too, its files change places one by one."""
    results = folder / "results"
    whole.write_set(results, OLD)
    (results / "note.txt").write_bytes(NOTE)
    if mode == "files":
        (results / "own").mkdir()
    return results


def look_after(results: Path, allowed: tuple[set[str], ...]) -> str:
    """What is wrong after an end, and after the next run; empty where nothing is."""
    found = state_of(results)
    if found not in allowed:
        return f"stands there: {sorted(found)}"
    if found != {"nothing"} and (results / "note.txt").read_bytes() != NOTE:
        return "the note was changed"
    whole.write_set(results, NEW)
    if state_of(results) != {"new"}:
        return f"after the next run: {sorted(state_of(results))}"
    if (results / "note.txt").read_bytes() != NOTE:
        return "the note is lost"
    left = [one.name for place in (results, results.parent) for one in place.iterdir() if ".closures" in one.name]
    return f"left there: {left}" if left else ""


ALLOWED = {
    "whole": ({"old"}, {"new"}),
    "two-step": ({"old"}, {"new"}, {"nothing"}),
    "files": ({"old"}, {"new"}, {"part of old"}, {"part of new"}, {"nothing"}),
}


def each_step(mode: str) -> list[str]:
    """Kill a write at every step that it takes with files, one after the other."""
    if mode == "two-step":
        switching.exchanged_at_once = lambda one, other: False  # type: ignore[assignment]
    wrong, step = [], 0
    while True:
        step += 1
        with tempfile.TemporaryDirectory() as folder:
            results = prepared(Path(folder), mode)
            status = ended(partial(whole.write_set, results, NEW), lambda child: None, partial(kill_at, step))
            trouble = look_after(results, ALLOWED[mode])
        if trouble:
            wrong.append(f"step {step}: {trouble}")
        if not os.WIFSIGNALED(status):
            print(f"{step - 1} steps, killed at each")
            return wrong


WATCHED = {
    "open", "os.rename", "os.link", "os.mkdir", "os.rmdir", "os.remove", "os.scandir", "shutil.rmtree", "ctypes.dlsym", "os.chmod",
}  # fmt: skip


def kill_at(step: int) -> None:
    """End this process as it takes so many steps with files; only the system's own hook sees them all."""
    taken = 0

    def watch(event: str, _: object) -> None:
        nonlocal taken
        if event in WATCHED:
            taken += 1
            if taken == step:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(watch)


def at_random(times: int, seed: int) -> list[str]:
    """End writes at random moments: killed, Ctrl+C, or asked to end."""
    dice = random.Random(seed)
    wrong = []
    seen: dict[str, int] = {}
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        whole.write_set(Path(folder) / "a", NEW)
        took = time.perf_counter() - begun
    for n in range(times):
        how = dice.choice((signal.SIGKILL, signal.SIGKILL, signal.SIGINT, signal.SIGTERM))
        with tempfile.TemporaryDirectory() as folder:
            results = prepared(Path(folder), "whole")

            def end(child: int, how: int = how) -> None:
                time.sleep(dice.uniform(0, 1.5 * took))
                os.kill(child, how)

            ended(partial(whole.write_set, results, NEW), end)
            (state,) = state_of(results) if len(state_of(results)) == 1 else ("mixed",)
            seen[state] = seen.get(state, 0) + 1
            trouble = look_after(results, ALLOWED["whole"])
        if trouble:
            wrong.append(f"end {n}: {trouble}")
    print(f"{times} ends from seed {seed}: {seen}")
    return wrong


if __name__ == "__main__":
    if sys.argv[1:2] == ["steps"]:
        faults = each_step(sys.argv[2])
    else:
        words = [int(word) for word in sys.argv[1:]]
        faults = at_random(words[0] if words else 300, words[1] if len(words) > 1 else random.randrange(10**6))
    print("\n".join(faults))
    sys.exit(bool(faults))
