"""What systems do differently when files change places: exchanging two folders, locking a name, waiting with signals.

Each has a twin for systems that lack it; nothing here knows what the files are.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import signal
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from types import FrameType, TracebackType

_AT_FDCWD = -100  # linux/fcntl.h
_RENAME_EXCHANGE = 2  # linux/fs.h
_RENAME_SWAP = 2  # sys/stdio.h of macOS
_NOT_HERE = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EXDEV, errno.EBUSY, errno.ENOTTY)
"""What a system answers that cannot exchange two folders there."""


def exchange(new: Path, folder: Path, old: Path) -> bool:
    """Let a new folder take the place of another, in one step where the system has one.

    Args:
        new: the folder that was made.
        folder: whose place it takes; it may not be there.
        old: where the former folder goes on a system that needs two steps; on others it is then at `new`.

    Returns:
        Whether it was done; where not, all is as it was.
    """
    if not folder.exists():
        try:
            os.rename(new, folder)
        except FileExistsError:
            return False
        except OSError as error:
            if error.errno in (errno.ENOTEMPTY, errno.EEXIST, errno.EACCES):
                return False
            raise
        return True
    if not _likened(new, folder):
        return False
    if exchanged_at_once(new, folder):
        return True
    return _exchanged_in_two_steps(new, folder, old)


def _likened(new: Path, folder: Path) -> bool:
    """Give a new folder the rights and the group of another; False where that may not be."""
    try:
        shutil.copystat(folder, new)
        if hasattr(os, "chown") and new.stat().st_gid != folder.stat().st_gid:
            os.chown(new, -1, folder.stat().st_gid)
    except OSError:
        return False
    return True


def exchanged_at_once(one: Path, other: Path) -> bool:
    """Exchange two folders in one step of the system; False where it has none."""
    if not sys.platform.startswith(("linux", "darwin")):
        return False
    import ctypes

    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            failed = library.renamex_np(os.fsencode(one), os.fsencode(other), _RENAME_SWAP)
        else:
            failed = library.renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE)
    except (OSError, AttributeError):
        return False
    if failed:
        code = ctypes.get_errno()
        if code in _NOT_HERE:
            return False
        raise OSError(code, os.strerror(code), str(other))
    return True


def _exchanged_in_two_steps(new: Path, folder: Path, old: Path) -> bool:
    with holding_signals():
        try:
            os.rename(folder, old)
        except OSError:
            # Somebody holds a file in it open, or stands in it.
            return False
        try:
            os.rename(new, folder)
        except OSError:
            os.rename(old, folder)
            return False
    return True


class Lock:
    """A file that is locked while its maker lives; a lock that can be had belongs to nobody.

    Raises:
        BlockingIOError: another run holds it.
        OSError: it cannot be made.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.handle = -1

    def __enter__(self) -> Lock:
        self.handle = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self.handle)
            # Where another run has just taken the name away, the lock is on nothing.
            if not os.path.samestat(os.fstat(self.handle), os.stat(self.path)):
                raise FileNotFoundError
        except OSError:
            os.close(self.handle)
            raise BlockingIOError(errno.EAGAIN, "in use", str(self.path)) from None
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if sys.platform == "win32":
            # There an open file cannot be taken away.
            os.close(self.handle)
            with contextlib.suppress(OSError):
                os.remove(self.path)
        else:
            with contextlib.suppress(OSError):
                os.remove(self.path)
            os.close(self.handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextlib.contextmanager
def holding_signals() -> Iterator[None]:
    """Let Ctrl+C and a request to end wait until the block is through."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        came.append(number)

    before = {one: signal.signal(one, note) for one in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for one, handler in before.items():
            signal.signal(one, signal.SIG_DFL if handler is None else handler)
        for number in came:
            signal.raise_signal(number)
