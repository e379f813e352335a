"""Files that were handed in are looked at in a process of their own first, which can be ended whatever it does.

Only what it read within its limits of time and memory is read here as well. The process is kept warm; where it had to
be ended, the next file starts another.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from closures.errors import ClosureError, Fault

MOST_SECONDS = 20.0
"""Of a processor, for one file with the plan that names it."""
MOST_BYTES = 4_000_000_000
"""Of addresses, of which a library of figures takes some two thousand million before it does anything."""
_MOST_WAITED_SECONDS = 90.0
"""By the clock, for a process that does not even heed its own limit."""


class Reader:
    """A process that reads what was handed in."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None

    def look_at_drawing(self, data: bytes, name: str) -> None:
        """List a drawing's lines.

        Raises:
            ClosureError: it cannot be read, or not within the limits.
        """
        self._ask(("drawing", data, name), name)

    def look_at_plan(self, text: bytes, title: str, beside: Mapping[str, bytes]) -> None:
        """Read and place a plan with its files; one that names none is not looked at.

        Raises:
            ClosureError: it cannot be placed, or not within the limits.
        """
        if beside:
            self._ask(("plan", text, title, dict(beside)), title)

    def _ask(self, task: tuple[object, ...], where: str) -> None:
        with self._lock:
            process = self._process
            if process is None or process.poll() is not None:
                process = self._process = _started()
            clock = threading.Timer(_MOST_WAITED_SECONDS, process.kill)
            clock.daemon = True
            clock.start()
            try:
                answer = _exchanged(process, task)
            except (OSError, EOFError, pickle.UnpicklingError):
                self._end()
                raise ClosureError(
                    "reading this took more time or memory than there is for it, and was given up",
                    where=where,
                    mend="Save the pattern piece alone, or a picture with fewer points.",
                ) from None
            finally:
                clock.cancel()
        if answer:
            raise ClosureError.of(answer)

    def _end(self) -> None:
        if self._process is not None:
            with suppress(OSError):
                self._process.kill()
            for stream in (self._process.stdin, self._process.stdout):
                with suppress(OSError):
                    stream.close()  # type: ignore[union-attr]
            self._process.wait()
            self._process = None

    def rest(self) -> None:
        """End the process; whoever waits for it is told that it gave up."""
        if self._process is not None:
            with suppress(OSError):
                self._process.kill()


def _started() -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", "from closures.app.web.files_first import work; work()"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        # Ctrl+C at the keyboard goes to all of a group: the page ends this one itself.
        start_new_session=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )


def _exchanged(process: subprocess.Popen[bytes], task: object) -> tuple[Fault, ...]:
    if process.stdin is None or process.stdout is None:
        raise EOFError
    pickle.dump(task, process.stdin)
    process.stdin.flush()
    faults: tuple[Fault, ...] = pickle.load(process.stdout)
    return faults


def work() -> None:
    """Be such a process: read tasks until there are no more."""
    from closures.app.bounds import limit_memory

    limit_memory(MOST_BYTES)
    tasks, answers = sys.stdin.buffer, sys.stdout.buffer
    # Whatever a library says goes nowhere near the answers.
    sys.stdout = sys.stderr
    with suppress(EOFError):
        while True:
            pickle.dump(_answered(pickle.load(tasks)), answers)
            answers.flush()


def _answered(task: tuple[Any, ...]) -> tuple[Fault, ...]:
    from closures.app.bounds import bounded

    kind, *told = task
    try:
        with bounded(MOST_SECONDS, told[1]):
            if kind == "drawing":
                from closures.app.listing import edges_of

                edges_of(told[0], told[1])
            else:
                from closures.app.job import check_plan
                from closures.app.known_names import names_known
                from closures.plan.reading import read_plan
                from closures.spacing.advice import NoSpacing

                try:
                    check_plan(read_plan(told[0], told[1], names_known(told[2])), told[2])
                except NoSpacing:
                    # Its files are read within the limits: what mends its row is found where it is laid.
                    return ()
    except ClosureError as error:
        return error.faults
    return ()
