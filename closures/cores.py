"""Work that falls into jobs of their own, on several cores: each is done by whoever comes to it first."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.sharedctypes import Synchronized

_Found = TypeVar("_Found")


def all_done(jobs: Sequence[Callable[[], _Found]], cores: int) -> list[_Found]:
    """Do several jobs, the longest of which had better come first.

    What was read and worked out is there in every process, for each is a copy of this one; only what a job comes to is
    sent back. A job that fails in another process, or is lost with it, is done again here: so what comes out, and what
    is raised, are those of one core.

    Args:
        jobs: none of which needs what another leaves behind.
        cores: how many may be at work; more than one only from a process without threads.

    Returns:
        What each came to, in the order given.
    """
    others = min(cores, len(jobs)) - 1
    # Elsewhere a process cannot be copied, or not without danger for what the system runs in it.
    if others < 1 or sys.platform != "linux":
        return [job() for job in jobs]
    from multiprocessing import get_context

    context = get_context("fork")
    taken = context.Value("i", 0)
    helpers = []
    try:
        for _ in range(others):
            here, there = context.Pipe(duplex=False)
            helper = context.Process(target=_help, args=(jobs, taken, there), daemon=True)
            helper.start()
            there.close()
            helpers.append((helper, here))
        found = _some_done(jobs, taken)
        for _, here in helpers:
            with suppress(EOFError, OSError):
                found.update(here.recv())
    finally:
        for helper, here in helpers:
            here.close()
            helper.terminate()
            helper.join()
    return [found[n] if n in found else job() for n, job in enumerate(jobs)]


def end_with_parent() -> None:
    """Let this process end once the one that started it is gone, however that ended: nobody else would tell it."""
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    parent = parent_process()
    if parent is not None:
        Thread(target=lambda: wait([parent.sentinel]) and os._exit(1), daemon=True).start()


def _help(jobs: Sequence[Callable[[], _Found]], taken: Synchronized[int], there: Connection) -> None:
    end_with_parent()
    # Who stops the command tells the process that was started, and that one ends its helpers.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    found = _some_done(jobs, taken)
    with suppress(OSError):
        there.send(found)


def _some_done(jobs: Sequence[Callable[[], _Found]], taken: Synchronized[int]) -> dict[int, _Found]:
    """Take one job after the other as long as there are any; by their numbers what those came to that did not fail."""
    found: dict[int, _Found] = {}
    while True:
        with taken.get_lock():
            n = taken.value
            taken.value += 1
        if n >= len(jobs):
            return found
        # Its reason is told when it is done again, after those before it.
        with suppress(Exception):
            found[n] = jobs[n]()
