"""A file that is named by itself: it is written whole, and over nothing but what this program wrote.

What it wrote is known by its last bytes, which carry the program's name where readers of its kind pass over it.
"""

from __future__ import annotations

import os
import tempfile
import zlib
from pathlib import Path

from closures.errors import OutputError

_SIGNATURE = b"made by closures"
_PNG_END = b"\x00\x00\x00\x00IEND\xaeB`\x82"


def write_single(path: Path, content: bytes, read: frozenset[str]) -> None:
    """Write a file that is named by itself; only a file that this program wrote is written over.

    Args:
        path: the file; its folder must be there.
        content: an SVG, a PDF or a PNG.
        read: the files that this run has read, as real paths: they are never written over.

    Raises:
        OutputError: another file is in the way, or it cannot be written.
    """
    signed = _signed(content)
    try:
        if path.is_dir():
            raise OutputError("this is a folder, not a file to write", where=str(path), mend="Name a file in it.")
        if path.exists() and (os.path.realpath(path) in read or not _is_signed(path)):
            raise OutputError(
                "a file of this name is there already, and this program did not write it",
                where=str(path),
                mend="Name another file: nothing was written.",
            )
        handle, making = tempfile.mkstemp(dir=path.parent, prefix=".closures-making-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(signed)
            os.chmod(making, 0o666 & ~_mask())
            os.replace(making, path)
        except BaseException:
            os.remove(making)
            raise
    except PermissionError:
        raise OutputError(
            "this file cannot be written: it is open in another program, or protected",
            where=str(path),
            mend="Close it there, or name another file.",
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise OutputError(f"this cannot be written ({reason})", where=str(path), mend="Name another file.") from None


def _mask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _signed(content: bytes) -> bytes:
    """Put this program's name at the end of a file, where readers of its kind pass over it."""
    if content.endswith(_PNG_END):
        # A text chunk of its own (PNG, 11.3.4.3) before the chunk that ends the picture.
        chunk = b"tEXtSoftware\0" + _SIGNATURE
        length, check = (len(chunk) - 4).to_bytes(4, "big"), zlib.crc32(chunk).to_bytes(4, "big")
        return content[: -len(_PNG_END)] + length + chunk + check + _PNG_END
    if content.startswith(b"%PDF"):
        return content + b"% " + _SIGNATURE + b"\n"
    return content.rstrip() + b"\n<!-- " + _SIGNATURE + b" -->\n"


def _is_signed(path: Path) -> bool:
    with open(path, "rb") as file:
        file.seek(0, os.SEEK_END)
        file.seek(max(file.tell() - 100, 0))
        return _SIGNATURE in file.read()
