"""Who does the work behind the page: a few hands, each plan's changes in order, and a limit to every piece of work.

What a hand does runs in a thread, so that one plan never waits for another's. A thread cannot be ended from outside,
but told to give up between two steps of its own; a library that takes no such steps only reads files, and files are
looked at in a process of their own first (`files_first`).
"""

from __future__ import annotations

import asyncio
import ctypes
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar
from weakref import WeakValueDictionary

from closures.errors import ClosureError

Answered = TypeVar("Answered")

MOST_HAND_SECONDS = 30.0
"""For a change: six times what the largest work within the stated limits takes, for a machine that is busy."""
MOST_PRINTER_SECONDS = 180.0
"""For all files of a plan, which for many sizes are some hundred pages."""


_AGAIN_SECONDS = 0.2
"""Told once more after so long: where a thread is just tidying up, Python drops what is raised there."""


class _GiveUp(BaseException):
    """Raised within a thread whose time is up; no handler of plain errors takes it."""


def _say_nothing_of_it() -> None:
    """Keep Python from writing that it dropped what was raised in a thread that was just tidying up: it comes again."""
    stood = sys.unraisablehook
    if getattr(stood, "is_quiet", False):
        return

    def quiet(dropped: sys.UnraisableHookArgs) -> None:
        if not issubclass(dropped.exc_type, _GiveUp):
            stood(dropped)

    quiet.is_quiet = True  # type: ignore[attr-defined]
    sys.unraisablehook = quiet


class Hands:
    """Threads that work for the page."""

    def __init__(self) -> None:
        self._hands = ThreadPoolExecutor(4, "hand")
        self._printer = ThreadPoolExecutor(2, "printer")
        self._turns: WeakValueDictionary[str, asyncio.Lock] = WeakValueDictionary()
        self._at_work: dict[int, None] = {}
        self._lock = threading.Lock()

    async def by_hand(self, work: Callable[[], Answered], plan: str = "") -> Answered:
        """Do work that somebody waits for; that of one plan in the order in which it came.

        Raises:
            ClosureError: it took too long.
        """
        loop = asyncio.get_running_loop()
        if not plan:
            return await loop.run_in_executor(self._hands, self._limited, work, MOST_HAND_SECONDS)
        turn = self._turns.setdefault(plan, asyncio.Lock())
        async with turn:
            return await loop.run_in_executor(self._hands, self._limited, work, MOST_HAND_SECONDS)

    async def at_printer(self, work: Callable[[], Answered]) -> Answered:
        """Make files, which keep no hand waiting.

        Raises:
            ClosureError: it took too long.
        """
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._printer, self._limited, work, MOST_PRINTER_SECONDS)

    def _limited(self, work: Callable[[], Answered], seconds: float) -> Answered:
        thread = threading.get_ident()
        clock = threading.Timer(seconds, self._give_up, (thread,))
        clock.daemon = True
        try:
            try:
                with self._lock:
                    self._at_work[thread] = None
                clock.start()
                return work()
            finally:
                self._done(thread, clock)
        except _GiveUp:
            raise ClosureError(
                f"this takes more than {seconds:.0f} seconds, and was given up",
                mend="Save the pattern piece alone, or ask for fewer closures, zones, layers or sizes.",
            ) from None

    def _done(self, thread: int, clock: threading.Timer) -> None:
        while True:
            try:
                clock.cancel()
                with self._lock:
                    self._at_work.pop(thread, None)
                return
            except _GiveUp:
                # It came just as the work was done; while the work is listed here more may come, and none after.
                continue

    def _give_up(self, thread: int) -> None:
        """Tell a thread to stop what it does, until it does or is done."""
        with self._lock:
            if thread not in self._at_work:
                return
            _say_nothing_of_it()
            ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(_GiveUp))
        again = threading.Timer(_AGAIN_SECONDS, self._give_up, (thread,))
        again.daemon = True
        again.start()

    def rest(self) -> None:
        """Tell everybody to stop, and take no more work."""
        for pool in (self._hands, self._printer):
            pool.shutdown(wait=False, cancel_futures=True)
        for thread in list(self._at_work):
            self._give_up(thread)
