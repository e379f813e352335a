"""What is kept between two requests, bounded in bytes: what was not used for longest makes room."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Kept(Generic[Value]):
    """Values by key.

    Args:
        most_bytes: about how much all of it may take; the last one put in stays whatever it takes.
        most: how many there may be.
    """

    def __init__(self, most_bytes: int, most: int) -> None:
        self._most_bytes, self._most = most_bytes, most
        self._kept: OrderedDict[Hashable, tuple[Value, int]] = OrderedDict()
        self._bytes = 0
        self._lock = threading.Lock()

    def __contains__(self, key: Hashable) -> bool:
        return key in self._kept

    @property
    def bytes_kept(self) -> int:
        """About how much is kept."""
        return self._bytes

    def get(self, key: Hashable) -> Value | None:
        """What is kept under a key, which is used by that; None where there is nothing."""
        with self._lock:
            if key not in self._kept:
                return None
            self._kept.move_to_end(key)
            return self._kept[key][0]

    def put(self, key: Hashable, value: Value, size: int) -> Value:
        """Keep a value of about so many bytes."""
        with self._lock:
            if key in self._kept:
                self._bytes -= self._kept.pop(key)[1]
            self._kept[key] = (value, size)
            self._bytes += size
            while len(self._kept) > 1 and (self._bytes > self._most_bytes or len(self._kept) > self._most):
                self._bytes -= self._kept.popitem(last=False)[1][1]
        return value

    def drop(self, key: Hashable) -> None:
        """Keep nothing under a key any more."""
        with self._lock:
            if key in self._kept:
                self._bytes -= self._kept.pop(key)[1]

    def made(self, key: Hashable, make: Callable[[], Value], size: int) -> Value:
        """What is kept under a key, or is made now and kept."""
        found = self.get(key)
        return found if found is not None else self.put(key, make(), size)
