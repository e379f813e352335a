"""Results as one thing: a set of files is written aside and switched in one step, whole or not at all.

The set is written into a folder of its own beside the results folder, and the two folders then
change places in one step of the system. Whoever looks, at whatever moment the work was ended,
finds the old set or the new one. What stands in the folder and is no result is carried over by
a second name for the same file, so that it is never moved or copied.

Where a system cannot do that (a folder of another owner, one that somebody stands in, one that is
a disk of its own), the old files are put aside before the first new one is put in place: then an
end in the middle leaves files of one set missing, but never files of two.

Terms: the *set* is all files of one run; a *left-over* a file of an earlier run that this one
does not write; the *workspace* the folder in which a set is made, locked as long as its run lives.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import shutil
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path

from closures.errors import OutputError
from closures.frozen import frozen
from closures.results.standing import REPORT, Standing, entries_of, look_at, sealed
from closures.results.switching import Lock, exchange, holding_signals

_OWN = ".closures-"
_MOST_OTHERS = 200
"""Files that are no results are carried over by name up to this many; a fuller folder is no folder of results."""
_TRIES = 5
_NAMES = "names"


@frozen
class Written:
    """What came of writing a set.

    Attributes:
        report: the report as it was written, empty where the set has none.
        left: files that an earlier run wrote and somebody has changed since; they were left where they are.
    """

    report: bytes = b""
    left: tuple[str, ...] = ()


def write_set(folder: Path, content: Mapping[str, bytes], read: frozenset[str] = frozenset()) -> Written:
    """Write a set of files whole, or leave the old one whole.

    Args:
        folder: where it goes; made when it is not there.
        content: name to content; its report names the others, so that a later run knows them.
        read: the files that this run has read, as real paths: they are never written over.

    Returns:
        What was left of an earlier run.

    Raises:
        OutputError: something is in the way, or the folder cannot be made or written.
    """
    content, made = sealed(content), []
    try:
        real = Path(os.path.realpath(folder))
        if real.exists() and not real.is_dir():
            raise OutputError(
                "a file of this name is in the way of the folder", where=str(folder), mend="Choose another --out."
            )
        made = _make_parents(real)
        _clear_abandoned(real)
        written = _written(folder, real, content, read)
        made = []
        return written
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise OutputError(
            f"the results cannot be written here ({reason})", where=str(folder), mend="Choose another --out."
        ) from None
    finally:
        for parent in made:
            with contextlib.suppress(OSError):
                parent.rmdir()


def _make_parents(real: Path) -> list[Path]:
    """Make the folders above the results; those that were made come out, innermost first."""
    made = []
    for parent in (real.parent, *real.parent.parents):
        if parent.exists():
            break
        made.append(parent)
    real.parent.mkdir(parents=True, exist_ok=True)
    return made


def _written(folder: Path, real: Path, content: Mapping[str, bytes], read: frozenset[str]) -> Written:
    standing = look_at(folder, real, content, read)
    if standing.is_same:
        return Written(content.get(REPORT, b""), standing.changed)
    if _may_change_places(real, standing):
        with contextlib.suppress(PermissionError, NotADirectoryError), _workspace(real.parent, real) as aside:
            new = aside / "new"
            _write_aside(new, content)
            if _carry_over(standing, new) and exchange(new, real, aside / "old"):
                _rescue(aside, real, standing, content)
                return Written(content.get(REPORT, b""), standing.changed)
    real.mkdir(exist_ok=True)
    with _workspace(real, real) as aside:
        new, old = aside / "new", aside / "old"
        _write_aside(new, content)
        (aside / _NAMES).write_text(json.dumps(list(content)), encoding="utf-8")
        old.mkdir()
        _switch_files(folder, real, new, old, tuple(content), (*standing.replaced, *standing.dropped))
    return Written(content.get(REPORT, b""), standing.changed)


def _may_change_places(real: Path, standing: Standing) -> bool:
    """Whether the whole folder may be exchanged: nobody stands in it, and all else in it can be carried over."""
    if not real.exists():
        return True
    try:
        here = os.path.realpath(os.getcwd())
    except OSError:
        here = ""
    if here == str(real) or here.startswith(str(real) + os.sep) or os.path.ismount(real):
        return False
    if len(standing.others) > _MOST_OTHERS or not all(one.is_file(follow_symlinks=False) for one in standing.others):
        return False
    own = real.stat()
    return not hasattr(os, "getuid") or own.st_uid == os.geteuid()


def _write_aside(new: Path, content: Mapping[str, bytes]) -> None:
    """Write all files and have the system put them on the disk, so that a power cut leaves no empty ones either."""
    new.mkdir()
    with contextlib.ExitStack() as open_files:
        written = []
        for name, data in content.items():
            file = open_files.enter_context(open(new / name, "xb"))
            file.write(data)
            file.flush()
            written.append(file)
        for file in written:
            os.fsync(file.fileno())


def _carry_over(standing: Standing, new: Path) -> bool:
    """Give files that are no results a second name among the new ones; False where the system has no second names."""
    try:
        for entry in standing.others:
            os.link(entry.path, new / entry.name, follow_symlinks=False)
    except (OSError, NotImplementedError):
        return False
    return True


def _rescue(aside: Path, real: Path, standing: Standing, content: Mapping[str, bytes]) -> None:
    """Move over what somebody put into the old folder while the new one was made."""
    known = {*standing.replaced, *standing.dropped, *content, *(entry.name for entry in standing.others)}
    for old in (aside / "new", aside / "old"):
        for entry in entries_of(old) if old.is_dir() else ():
            if entry.name not in known and not entry.name.startswith(_OWN) and not (real / entry.name).exists():
                os.rename(entry.path, real / entry.name)


def _switch_files(
    folder: Path, real: Path, new: Path, old: Path, names: tuple[str, ...], standing: tuple[str, ...]
) -> None:
    """Put the old files aside, then the new ones in place; what fails is undone.

    The names are taken away once all is done, or undone: from then on there is nothing to bring back.
    """
    with holding_signals():
        moved: list[tuple[Path, Path]] = []
        try:
            for source, target in (
                *((real / name, old / name) for name in standing),
                *((new / name, real / name) for name in names),
            ):
                os.rename(source, target)
                moved.append((source, target))
            os.remove(new.with_name(_NAMES))
        except OSError as error:
            for back, there in reversed(moved):
                os.rename(there, back)
            os.remove(new.with_name(_NAMES))
            if isinstance(error, PermissionError) and source.parent == real:
                raise OutputError(
                    "this file cannot be replaced: it is open in another program, or protected",
                    where=str(folder / source.name),
                    mend="Close it there and run this again; the earlier results are as they were.",
                ) from None
            raise


@contextlib.contextmanager
def _workspace(parent: Path, real: Path) -> Iterator[Path]:
    """Make a folder to work in, locked for as long as this run lives; it goes in the end, however that comes."""
    with contextlib.ExitStack() as held:
        for tries_left in reversed(range(_TRIES)):
            name = f"{_mark_of(real)}{secrets.token_hex(4)}"
            try:
                held.enter_context(Lock(parent / f"{name}.lock"))
                break
            except BlockingIOError:
                # Another run took it for abandoned, in the moment before it was locked.
                if not tries_left:
                    raise
        aside = parent / name
        try:
            os.mkdir(aside, 0o700)
            yield aside
        finally:
            _clear(aside, parent, real)


def _mark_of(real: Path) -> str:
    """How workspaces of a results folder are named, in few letters whatever its own name is."""
    return f"{_OWN}{hashlib.sha256(os.path.normcase(real.name).encode(errors='surrogateescape')).hexdigest()[:8]}-"


def _remove(aside: Path) -> None:
    def loosen(function: object, path: str, _: object) -> None:
        # What was written without the right to change it is taken away all the same.
        with contextlib.suppress(OSError):
            os.chmod(path, stat.S_IRWXU)
            os.remove(path)

    shutil.rmtree(aside, onerror=loosen)


def _clear_abandoned(real: Path) -> None:
    """Clear what runs that were ended in the middle have left, and bring back what they had put aside."""
    for parent in (real.parent, real):
        with contextlib.suppress(OSError):
            for entry in entries_of(parent):
                if entry.name.startswith(_mark_of(real)):
                    _clear_one(parent, entry.name.removesuffix(".lock"), real)


def _clear_one(parent: Path, name: str, real: Path) -> None:
    with contextlib.suppress(OSError), Lock(parent / f"{name}.lock"):
        _clear(parent / name, parent, real)


def _clear(aside: Path, parent: Path, real: Path) -> None:
    """Take a workspace away; where something in it cannot be brought back, it is left to the next run."""
    with contextlib.suppress(OSError, ValueError):
        _bring_back(aside, parent, real)
        _remove(aside)


def _bring_back(aside: Path, parent: Path, real: Path) -> None:
    """Undo a switch that was ended half way."""
    old, new = aside / "old", aside / "new"
    if not old.is_dir() or (parent == real and not (aside / _NAMES).exists()):
        return
    if parent != real:
        # The old folder had been put aside, and the new one not yet in its place.
        if not real.exists():
            os.rename(old, real)
        return
    waiting = {entry.name for entry in entries_of(new)}
    if not waiting:
        return
    # Some new files may be in place and some are not: they give way to the old ones.
    for name in json.loads((aside / _NAMES).read_text(encoding="utf-8")):
        if name not in waiting:
            os.remove(real / name)
    for entry in entries_of(old):
        os.rename(entry.path, real / entry.name)
