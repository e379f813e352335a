"""The border of what came from outside: whatever a reading library raises becomes one sentence, without its insides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

from closures.errors import ClosureError, DrawingError

_LONGEST_REASON = 60
# What a library says of itself, and not of the file.
_INSIDES = re.compile(
    r"<|0x[0-9a-f]|object|none|attribut|argument|subscript|hashable|iterable|indic|operand|unpack|codec|module|\bint\b",
    re.IGNORECASE,
)


def reason_of(error: BaseException) -> str:
    """What a library says of a file, in brackets after a space; empty where it speaks of its own insides."""
    reason = " ".join(str(error).split())
    if not reason or isinstance(error, TypeError | AttributeError | KeyError | IndexError) or _INSIDES.search(reason):
        return ""
    return f" ({reason[:_LONGEST_REASON].rstrip('.')})"


@contextmanager
def from_outside(where: str) -> Iterator[None]:
    """Let nothing through but this program's own errors.

    Args:
        where: the file as the user knows it.

    Raises:
        DrawingError: in place of whatever else was raised.
    """
    try:
        yield
    except ClosureError:
        raise
    except (MemoryError, RecursionError):
        raise DrawingError(
            "it holds more than can be read here, or things within things without an end",
            where=where,
            mend="Save the pattern piece alone, as plain as the program can.",
        ) from None
    except Exception as error:
        raise DrawingError(
            f"it is broken in a way that cannot be read{reason_of(error)}",
            where=where,
            mend="Open it in the program that it came from, and save it anew.",
        ) from error
