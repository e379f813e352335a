"""What is kept for its user between two runs: a folder of files that nobody else may read."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def aside_folder(platform: str, environment: Mapping[str, str], home: str) -> Path:
    """Find where a system keeps what a program remembers.

    Args:
        platform: as Python names it: ``win32``, ``darwin``, or anything else for the systems that follow the XDG base
            directory specification of freedesktop.org.
        environment: the environment's variables.
        home: the user's own folder.
    """
    if platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or Path(home, "AppData", "Local"), "closures")
    if platform == "darwin":
        return Path(home, "Library", "Application Support", "closures")
    return Path(environment.get("XDG_STATE_HOME") or Path(home, ".local", "state"), "closures")


def size_aside(path: Path) -> int:
    """How many bytes a file has; 0 where it is not there."""
    try:
        return path.stat().st_size
    except OSError:
        return 0


def read_aside(path: Path) -> bytes | None:
    """Read a file; None where it is not there or cannot be read."""
    try:
        return path.read_bytes()
    except OSError:
        return None


def list_aside(folder: Path, ending: str) -> list[tuple[Path, float, int]]:
    """List the files of one kind, what was changed last first: path, seconds since 1970, bytes."""
    found = []
    try:
        for path in folder.glob(f"*{ending}"):
            told = path.stat()
            found.append((path, told.st_mtime, told.st_size))
    except OSError:
        return []
    return sorted(found, key=lambda one: -one[1])


def add_aside(path: Path, data: bytes) -> None:
    """Add to the end of a file.

    Raises:
        OSError: it cannot be written.
    """
    with open(path, "ab") as file:
        file.write(data)


def write_aside(path: Path, data: bytes) -> None:
    """Write a file, whole or not at all.

    Raises:
        OSError: it cannot be written.
    """
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    # A file that is made so is its owner's alone.
    handle, making = tempfile.mkstemp(dir=path.parent, prefix=".making-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.replace(making, path)
    except BaseException:
        os.remove(making)
        raise


def drop_aside(path: Path) -> None:
    """Take a file away, if it is there."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return
