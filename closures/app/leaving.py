"""How the command leaves: its exit code and its last words, whatever happened.

Exit codes 0 to 2 come from the commands. What nobody foresaw, and an answer that could not be said, leave by 3; what
was stopped, or no longer listened to, leaves by the code that shells know for it.
"""

from __future__ import annotations

import codecs
import errno
import io
import os
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from types import FrameType
from typing import Any

UNFORESEEN = 3
"""An error that this program did not foresee, or an answer that could not be said."""

STOPPED, TOLD_TO_END = 128 + signal.SIGINT, 128 + signal.SIGTERM

HAD_ENOUGH = 128 + 13
"""The reader of the answer, such as `head`, closed its end: the number of SIGPIPE, which Windows does not have."""

_BYTES_KEPT = "closures-bytes-kept"
"""How a name is said whose letters the system's own encoding does not know."""


_MOST_FAULTS = 3


class UnheardError(Exception):
    """What was to be said could not be written to the output."""

    def __init__(self, error: OSError) -> None:
        super().__init__(error.strerror or str(error))
        # A reader that has had enough, such as `head`, closes its end: there is nothing to say of that.
        self.is_quiet = error.errno in (errno.EPIPE, errno.EINVAL, errno.ESHUTDOWN)


class _Voice(io.TextIOWrapper):
    """Standard output, where a failure is told from all other failures of files."""

    def write(self, text: str) -> int:
        try:
            return super().write(text)
        except OSError as error:
            raise UnheardError(error) from None

    def flush(self) -> None:
        try:
            super().flush()
        except OSError as error:
            raise UnheardError(error) from None


def leave_well(command: Callable[[], Any]) -> None:
    """Run the command, and end the process as is right.

    Args:
        command: gives the exit code, or raises what the library of commands raises.

    Raises:
        SystemExit: always.
    """
    _open_voice()
    with suppress(ValueError):
        # Only the main thread may say what happens then.
        signal.signal(signal.SIGTERM, _end)
    try:
        code = command()
        sys.stdout.flush()
        if code == STOPPED:
            # What the library makes of Ctrl+C within a command.
            stopped()
    except KeyboardInterrupt:
        stopped()
    except UnheardError as error:
        _silence()
        if error.is_quiet:
            raise SystemExit(HAD_ENOUGH) from None
        _last_words(f"The answer could not be written to the output ({error}).")
        raise SystemExit(UNFORESEEN) from None
    except Exception as error:
        _last_words(unforeseen_words(error))
        raise SystemExit(UNFORESEEN) from None
    finally:
        # All is tidied up. Python still waits for threads at work; a signal that broke into that would end in a
        # traceback, and abort where a library of C++ runs in one of them.
        for number in (signal.SIGINT, signal.SIGTERM):
            with suppress(ValueError):
                signal.signal(number, _end_at_once)
    raise SystemExit(code or 0)


def unforeseen_words(error: Exception) -> str:
    """What is said of an error that was not foreseen; its details are kept in a file.

    It is called while the error is handled.
    """
    from closures.files import keep_details
    from closures.verifying.verify import UnsoundError

    kept = keep_details()
    if isinstance(error, UnsoundError):
        return (
            "The finished sheets were read back, and they do not keep what was asked: nothing was written.\n"
            f"{_first_few(error.faults)}.\n"
            f"The details are in {kept}. Please send it and your plan to whoever gave you this program."
        )
    return (
        f"Something went wrong that this program did not foresee ({type(error).__name__}). Nothing was finished.\n"
        f"The details are in {kept}. Please send that file to whoever gave you this program."
    )


def _first_few(faults: Sequence[str]) -> str:
    """Faults in one row of words; a set that is wrong throughout is told by its first ones."""
    more = len(faults) - _MOST_FAULTS
    return "; ".join([*faults[:_MOST_FAULTS], *([f"and {more} more"] if more > 0 else [])])


def stopped() -> None:
    """End as one who was stopped at the keyboard.

    Raises:
        SystemExit: always.
    """
    _last_words("Stopped. Results that stood there before are as they were.")
    raise SystemExit(STOPPED) from None


def _end(number: int, frame: FrameType | None) -> None:
    # Once is enough: who asks again must not break into the tidying up.
    signal.signal(number, signal.SIG_IGN)
    raise SystemExit(TOLD_TO_END)


def _end_at_once(number: int, frame: FrameType | None) -> None:
    os._exit(128 + number)


def _open_voice() -> None:
    """Write UTF-8 whatever the console's own encoding: it would stop at the first ½ or ź."""
    # A program that was started without them has none: what it would say goes nowhere, and nobody answers it.
    sys.stdin = sys.stdin or os.fdopen(os.open(os.devnull, os.O_RDONLY))
    sys.stdout = sys.stdout or os.fdopen(os.open(os.devnull, os.O_WRONLY), "w")
    sys.stderr = sys.stderr or os.fdopen(os.open(os.devnull, os.O_WRONLY), "w")
    codecs.register_error(_BYTES_KEPT, _as_typed_in)
    if isinstance(sys.stderr, io.TextIOWrapper):
        sys.stderr.reconfigure(encoding="utf-8", errors=_BYTES_KEPT)
    if type(sys.stdout) is io.TextIOWrapper:
        lines = sys.stdout.line_buffering
        sys.stdout = _Voice(sys.stdout.detach(), encoding="utf-8", errors=_BYTES_KEPT, line_buffering=lines)


def _as_typed_in(error: UnicodeError) -> tuple[str | bytes, int]:
    """Say the letters of a name as they were typed.

    Where the system takes plain letters alone, Python keeps each further byte of a name as half a sign. Bytes that
    are letters in UTF-8 are said as these; any other byte is told by its number, as in ``caf\\xe9.toml``.
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    halves = error.object[error.start : error.end]
    with suppress(UnicodeError):
        kept = halves.encode("ascii", "surrogateescape")
        return kept.decode("utf-8", "backslashreplace").encode(), error.end
    return halves.encode("ascii", "backslashreplace"), error.end


def _silence() -> None:
    """Leave nothing that the interpreter would try to write at its end."""
    with suppress(Exception):
        handle = os.open(os.devnull, os.O_WRONLY)
        os.dup2(handle, sys.stdout.fileno())


def _last_words(text: str) -> None:
    with suppress(Exception):
        sys.stderr.write(f"{text}\n")
        sys.stderr.flush()
