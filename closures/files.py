"""The only code that opens files: plans, drawings and supplies in, results out.

What is read is limited in size before it is read, and never written over. How a set of
results is put in place, whole or not at all, stands in `results/`.
"""

from __future__ import annotations

import getpass
import os
import shutil
import stat
import tempfile
from collections.abc import Mapping
from pathlib import Path, PureWindowsPath

from closures.errors import ClosureError, DrawingError, OutputError, PlanError, typed
from closures.nearest import nearest_name, same_name
from closures.results.single import write_single
from closures.results.whole import Written, write_set

# A plan is typed by hand; a drawing may hold a whole pattern.
LARGEST_PLAN_BYTES = 1_000_000

_AS_DRAWING = (
    'A plan is a text that names its drawing: copy one with closures start, and write drawing = "{name}" into it. '
    "What is in the drawing is told by: closures edges {typed}"
)
_AS_TEXT = "Save it as plain text: a plan is a text file whose name ends in .toml."
_AS_PAGE = "Where it was loaded from, choose to save the file itself, not the page that shows it."
_AS_LINES = "A plan is written line by line, a name, =, and what it is: copy one with closures start."
_AS_MADE = "It was made of a plan, whose name ends in .toml: give that."
_OTHER_FILES = (
    (b"%pdf-", "a PDF", _AS_DRAWING),
    (b"<svg", "a drawing", _AS_DRAWING),
    (b"<?xml", "a drawing or another file of marked-up text", _AS_DRAWING),
    (b"<!doctype html", "a web page", _AS_PAGE),
    (b"<html", "a web page", _AS_PAGE),
    (b"<!doctype", "a drawing", _AS_DRAWING),
    (b"0\nsection", "a DXF drawing", _AS_DRAWING),
    (b"0\r\nsection", "a DXF drawing", _AS_DRAWING),
    (b"pk\x03\x04", "a word processor's or another packed file", _AS_TEXT),
    (b"\xd0\xcf\x11\xe0", "a word processor's file", _AS_TEXT),
    (b"{\\rtf", "a word processor's file", _AS_TEXT),
    (b'{\n  "', "a report of figures for programs", _AS_MADE),
    (b'{\r\n  "', "a report of figures for programs", _AS_MADE),
    (b"{", "a text in JSON", _AS_LINES),
    (b"\x89png", "a picture", "A picture is followed with [edge] trace: see closures help paper pattern."),
    (b"\xff\xd8\xff", "a picture", "A picture is followed with [edge] trace: see closures help paper pattern."),
)
"""How files begin that are given in place of a plan, what they are, and what to do."""

_READ: set[str] = set()
"""The real path of every file that was read for somebody's results: no result is ever written over one."""

LARGEST_DRAWING_BYTES = 20_000_000


def read_plan_file(path: Path) -> bytes:
    """Read a plan.

    Args:
        path: the plan file.

    Returns:
        Its bytes.

    Raises:
        PlanError: it is not there, is a folder, is too large or cannot be read.
    """
    data = _read(path, LARGEST_PLAN_BYTES, PlanError, "plan")
    if other := other_file(data):
        what, mend = other
        raise PlanError(
            f"this is {what}, not a plan", where=str(path), mend=mend.format(name=path.name, typed=typed(path.name))
        )
    if path.suffix.lower() == ".md" and data.lstrip()[:1] == b"#":
        raise PlanError("this is a report to read, not a plan", where=str(path), mend=_AS_MADE)
    return with_lines(data)


def other_file(data: bytes) -> tuple[str, str] | None:
    """Tell by how a file begins what it is that is no plan, and what to do at a terminal; None where it may be one."""
    head = data[:4096].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    return next(((what, mend) for begins, what, mend in _OTHER_FILES if head.startswith(begins)), None)


def with_lines(data: bytes) -> bytes:
    """End the lines of a plan as systems do now; long ago some ended them with a sign that nothing else of it holds."""
    return data if b"\n" in data else data.replace(b"\r", b"\n")


Beside = Path | Mapping[str, bytes] | None
"""Where the files that a plan names are looked up: beside the plan file, among files that were handed in by
name, or in the current folder."""


def read_beside(plan_path: Beside, name: str, what: str) -> bytes:
    """Read a file that a plan names, looked up beside the plan.

    Args:
        plan_path: the plan file; files handed in, by name, beside which no other is read; or None for the
            current folder.
        name: as the plan gives it.
        what: "drawing" or "supplies", for messages.

    Returns:
        Its bytes.

    Raises:
        DrawingError, PlanError: it is not there, is a folder, is too large or cannot be read.
    """
    kind = DrawingError if what == "drawing" else PlanError
    if isinstance(plan_path, Mapping):
        spelled = same_name(name, plan_path)
        if spelled is None:
            raise kind(
                f"the {what} file was not handed in with the plan", where=name[:80], mend="Hand both in together."
            )
        return plan_path[spelled]
    folder = Path() if plan_path is None else plan_path.parent
    return _read(_beside(folder, name), LARGEST_DRAWING_BYTES, kind, what)


def read_drawing(path: Path) -> bytes:
    """Read a drawing that is named by itself.

    Args:
        path: the drawing.

    Returns:
        Its bytes.

    Raises:
        DrawingError: it is not there, is a folder, is too large or cannot be read.
    """
    return _read(path, LARGEST_DRAWING_BYTES, DrawingError, "drawing")


def read_made(path: Path) -> bytes:
    """Read a file that was made before, to see what it bears.

    Raises:
        DrawingError: it is not there, is a folder, is too large or cannot be read.
    """
    return _read(path, LARGEST_DRAWING_BYTES, DrawingError, "result")


def _beside(folder: Path, name: str) -> Path:
    """A file by the name that a plan gives it; a name written on Windows has backslashes between its folders."""
    at = folder / _as_kept(name)
    try:
        if "\\" in name and not at.exists():
            at = folder.joinpath(*PureWindowsPath(name).parts)
        if at.exists() or not at.parent.is_dir():
            return at
        return at.with_name(same_name(at.name, sorted(found.name for found in at.parent.iterdir())) or at.name)
    except OSError:
        return at  # what is wrong with it is told when it is read


def _as_kept(name: str) -> str:
    """A name as the system keeps it: where it takes plain letters alone, others by their bytes."""
    try:
        os.fsencode(name)
    except UnicodeEncodeError:
        return os.fsdecode(name.encode("utf-8", "surrogateescape"))
    return name


_LONG_DASHES = ("\N{EN DASH}", "\N{EM DASH}", "\N{MINUS SIGN}")


def without_long_dash(name: str) -> str:
    """What to say of a word that begins with a long dash, as an option does that was pasted; empty for any other."""
    bare = name.lstrip("".join(("-", *_LONG_DASHES)))
    if not name.startswith(_LONG_DASHES) and not name.lstrip("-").startswith(_LONG_DASHES):
        return ""
    return f"It begins with a long dash, as a word processor makes of two short ones: type --{bare}."


def _near(path: Path) -> str:
    """What to do where a file is not: the nearest name beside it, whatever its capitals and its ending."""
    if dashed := without_long_dash(path.name):
        return dashed
    if not path.parent.is_dir():
        return f"There is no folder {path.parent} either. Check the name of the folder."
    try:
        names = sorted(found.name for found in path.parent.iterdir() if found.is_file())
    except OSError:
        names = []  # a folder that may not be listed
    folded = {name.casefold(): name for name in names}
    near = folded.get(path.name.casefold()) or next((name for name in names if Path(name).stem == path.name), None)
    near = near or nearest_name(path.name, names)
    spaced = next((name for name in names if name.startswith(f"{path.name} ")), None)
    if spaced and near is None:
        return f'A name with spaces stands between quotes: "{spaced}".'
    return f"Did you mean {near}?" if near else "Check the name and the folder."


def _read(path: Path, largest: int, kind: type[ClosureError], what: str) -> bytes:
    try:
        # Asked once: whether what cannot be looked at "is there" is told differently from one Python to the next.
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise kind(f"this is a folder, not a {what} file", where=str(path), mend=f"Name the {what} file in it.")
        if not stat.S_ISREG(found.st_mode):
            raise kind(f"this is not a {what} file", where=str(path), mend=f"Name a {what} file.")
        size = found.st_size
        if size > largest:
            raise kind(
                f"the {what} file holds {size:,} bytes, and at most {largest:,} are read",
                where=str(path),
                mend="Take out what the closure does not need.",
            )
        _READ.add(os.path.realpath(path))
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise kind(f"there is no such {what} file", where=str(path), mend=_near(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise kind(f"the {what} file cannot be read ({reason})", where=str(path)) from None


def write_results(folder: Path, content: Mapping[str, bytes]) -> Written:
    """Write a set of files whole, or leave the old one whole; what this run has read is never written over.

    Args:
        folder: where they go; made when it is not there.
        content: name to content.

    Returns:
        What was left of an earlier run.

    Raises:
        OutputError: something is in the way, or the folder cannot be made or written.
    """
    return write_set(folder, content, frozenset(_READ))


def write_one(path: Path, content: bytes) -> None:
    """Write an SVG, a PDF or a PNG that is named by itself; only a file that this program wrote is written over.

    Raises:
        OutputError: another file is in the way, or it cannot be written.
    """
    write_single(path, content, frozenset(_READ))


def write_edited(path: Path, text: str, before: str | None) -> None:
    """Write a text that the user asked to have changed, in one step: the whole new one, or the old one stays.

    Args:
        path: the file.
        text: what it shall hold.
        before: what it held when it was read, None where there was none; a file that changed since is left alone.

    Raises:
        OutputError: it changed since it was read, or it cannot be written.
    """
    try:
        now = path.read_bytes().decode("utf-8-sig") if path.exists() else None
        if now != before:
            raise OutputError("the file changed while this ran", where=str(path), mend="Run it again.")
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, making = tempfile.mkstemp(dir=path.parent, prefix=".closures-making-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(text.encode())
            if path.exists():
                shutil.copymode(path, making)
            else:
                os.chmod(making, 0o644)
            os.replace(making, path)
        except BaseException:
            Path(making).unlink(missing_ok=True)
            raise
    except (OSError, UnicodeDecodeError) as error:
        raise OutputError(
            f"it cannot be written: {error}", where=str(path), mend="Close it elsewhere, or free it."
        ) from error


def keep_details() -> str:
    """Write the details of the error in hand beside the system's temporary files.

    Returns:
        The file's name, or words that say that it could not be written.
    """
    import traceback

    try:
        handle, name = tempfile.mkstemp(prefix="closures-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as kept:
            kept.write(traceback.format_exc())
    except OSError:
        return "no file: it could not be written"
    return name


def guide_folder() -> Path:
    """Where the guide is kept when it is opened: among the system's temporary files, one folder for each user."""
    return Path(tempfile.gettempdir()) / f"closures-guide-{getpass.getuser()}"


def write_tree(folder: Path, content: Mapping[str, bytes]) -> None:
    """Write files into folders below one folder, over what stands there.

    Args:
        folder: where they go; made when it is not there.
        content: path below it, with slashes, to content.

    Raises:
        OutputError: something cannot be written.
    """
    try:
        for name, data in content.items():
            at = folder.joinpath(*name.split("/"))
            at.parent.mkdir(parents=True, exist_ok=True)
            at.write_bytes(data)
    except OSError as error:
        raise OutputError(
            f"this cannot be written here ({error.strerror or error})", where=str(folder), mend="Choose another --out."
        ) from None


def write_entry(path: Path, content: str, is_program: bool) -> None:
    """Write an entry of the system's menu.

    Raises:
        OutputError: it cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8", newline="")
        if is_program:
            path.chmod(0o755)
    except OSError as error:
        raise OutputError(f"this cannot be written ({error.strerror or error})", where=str(path)) from None


def remove_entry(path: Path) -> None:
    """Take an entry of the system's menu away.

    Raises:
        OutputError: it is not there, or cannot be taken away.
    """
    try:
        path.unlink()
    except FileNotFoundError:
        raise OutputError("there is no such entry", where=str(path), mend="There is nothing to take away.") from None
    except OSError as error:
        raise OutputError(f"this cannot be taken away ({error.strerror or error})", where=str(path)) from None
