"""Limits of time and memory for one piece of work, so that no drawing holds a machine; and memory given back.

Where a system has no such limits (Windows), and outside the main thread, work runs without them.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType

from closures.errors import ClosureError

MOST_SECONDS = 120.0
"""Of a processor: some ten times what the largest work takes that is within the stated limits."""
MOST_BYTES = 6_000_000_000
"""Of addresses, of which a library of figures takes some two thousand million before it does anything."""


@contextmanager
def bounded(seconds: float = MOST_SECONDS, where: str = "") -> Iterator[None]:
    """Refuse work that takes longer, or more memory, than any that is meant.

    Args:
        seconds: of a processor.
        where: what is worked on, for the message.

    Raises:
        ClosureError: it took more.
    """
    loosen = limit_memory()
    timed = hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()

    def stop(number: int, frame: FrameType | None) -> None:
        raise ClosureError(
            f"this takes more than {seconds:.0f} seconds of work, and was given up",
            where=where,
            mend="Save the pattern piece alone, or ask for fewer closures, zones or layers.",
        )

    if timed:
        before = signal.signal(signal.SIGPROF, stop)
        signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    except MemoryError:
        raise ClosureError(
            "this takes more memory than there is for it, and was given up",
            where=where,
            mend="Save the pattern piece alone, or a picture with fewer points.",
        ) from None
    finally:
        # Whoever is started afterwards, such as a browser, has the memory that there is.
        loosen()
        if timed:
            signal.setitimer(signal.ITIMER_PROF, 0.0)
            signal.signal(signal.SIGPROF, before)


def limit_memory(most_bytes: int = MOST_BYTES) -> Callable[[], None]:
    """Let this process have so many bytes of addresses at most; an own lower limit stays.

    Returns:
        What puts the limit back that was there before.
    """
    with suppress(ImportError, ValueError, OSError):
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_AS)
        if soft == resource.RLIM_INFINITY or soft > most_bytes:
            resource.setrlimit(resource.RLIMIT_AS, (most_bytes, hard))
            return lambda: resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
    return lambda: None


# As malloc.h of glibc numbers them (mallopt(3)): what lies free at the end of the heap before it is given back, the
# least piece that is had by itself and given back at once, and how many heaps threads share. The first two are glibc's
# own first values, which it raises by itself as long as nobody tells them.
_GLIBC_SAYS = ((-1, 128 * 1024), (-3, 128 * 1024), (-8, 2))


def give_memory_back() -> bool:
    """Have a process that works on for long, in many threads, give back memory that it no longer uses.

    glibc gives threads heaps of their own, eight for each core, each with what lay there once; and keeps larger pieces
    the larger those were that it had: what is in use stays the same, and the process grows by the hour.

    Returns:
        Whether this system could be told so; others have their own ways.
    """
    import ctypes

    try:
        tell = ctypes.CDLL(None).mallopt
    except (AttributeError, OSError, TypeError):
        return False
    return all([tell(what, much) == 1 for what, much in _GLIBC_SAYS])
