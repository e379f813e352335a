"""What stands in a folder of results before a run: its own earlier set, left-overs, and what is somebody's own."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path

from closures.errors import OutputError
from closures.frozen import frozen

REPORT = "report.json"
"""Names the files of its set, each with its hash; by it a later run knows what it may take away."""

_ALWAYS = (REPORT, "report.md", "marking.pdf")
_LARGEST_REPORT_BYTES = 50_000_000
_CHUNK = 1 << 20


@frozen
class Standing:
    """What stands in a results folder before a run.

    Attributes:
        replaced: names of the new set that stand there from an earlier run.
        dropped: left-overs that are as they were written.
        changed: left-overs that somebody has changed.
        others: everything else, which is carried over.
        is_same: whether the very set that is to be written stands there already, and no left-over.
    """

    replaced: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    others: tuple[os.DirEntry[str], ...] = ()
    is_same: bool = False


def sealed(content: Mapping[str, bytes]) -> dict[str, bytes]:
    """Name every file of a set, with its hash, in the report of the set, where it has one.

    Args:
        content: name to content; the report is JSON.

    Returns:
        The set; sealed twice is sealed once.
    """
    whole = dict(content)
    if REPORT in whole:
        told = json.loads(whole[REPORT])
        told["files"] = hashes_of({name: data for name, data in whole.items() if name != REPORT})
        whole[REPORT] = (json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()
    return whole


def hashes_of(content: Mapping[str, bytes]) -> dict[str, str]:
    """The hash of each file, by name."""
    return {name: hashlib.sha256(data).hexdigest() for name, data in content.items()}


def look_at(folder: Path, real: Path, content: Mapping[str, bytes], read: frozenset[str]) -> Standing:
    """See what stands in the folder, and refuse what would be lost."""
    if not real.exists():
        return Standing()
    earlier = _earlier_set(real)
    replaced, dropped, changed, others = [], [], [], []
    hashes = hashes_of(content)
    for entry in entries_of(real):
        if entry.name in content:
            _refuse_in_the_way(folder, entry, earlier, read)
            replaced.append(entry.name)
        elif entry.name in earlier and entry.is_file(follow_symlinks=False):
            if _hash_of(entry.path) == earlier[entry.name] and os.path.realpath(entry.path) not in read:
                dropped.append(entry.name)
            else:
                changed.append(entry.name)
                others.append(entry)
        else:
            others.append(entry)
    same = not dropped and len(replaced) == len(content)
    same = same and all(_hash_of(str(real / name)) == hashes[name] for name in replaced)
    return Standing(tuple(sorted(replaced)), tuple(sorted(dropped)), tuple(sorted(changed)), tuple(others), same)


def entries_of(folder: Path) -> list[os.DirEntry[str]]:
    with os.scandir(folder) as entries:
        return sorted(entries, key=lambda one: one.name)


def _refuse_in_the_way(folder: Path, entry: os.DirEntry[str], earlier: Mapping[str, str], read: frozenset[str]) -> None:
    where = str(folder / entry.name)
    if entry.is_dir():
        raise OutputError(
            "a folder of this name is in the way of a result",
            where=where,
            mend="Move it or give it another name, or choose another --out.",
        )
    if os.path.realpath(entry.path) in read:
        raise OutputError(
            "this file was read for the results, and they would be written over it",
            where=where,
            mend="Choose another --out: nothing was written.",
        )
    if entry.name != REPORT and entry.name not in earlier:
        raise OutputError(
            "a file of this name is in the way, and no earlier run wrote it",
            where=where,
            mend="Move it or give it another name, or choose another --out.",
        )
    if entry.name == REPORT and not earlier:
        raise OutputError(
            "this file is in the way, and it is no report of an earlier run",
            where=where,
            mend="Move it or give it another name, or choose another --out.",
        )


def _earlier_set(real: Path) -> dict[str, str]:
    """The files of the set that stands in a folder, each with its hash; empty where there is none."""
    try:
        with open(real / REPORT, "rb") as report:
            told = json.loads(report.read(_LARGEST_REPORT_BYTES))
        if "files" not in told and "closing_line" in told:
            # Written before reports named their files: what such a run wrote is known by name alone.
            return dict.fromkeys((*_ALWAYS, *(sheet["file"] for sheet in told["sheets"])), "")
        files = told["files"]
        # A report that somebody changed may name anything: only plain names of this very folder count.
        return {
            name: str(digest) for name, digest in files.items() if name == os.path.basename(name) and name != os.pardir
        } | {REPORT: ""}
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _hash_of(path: str) -> str:
    digest = hashlib.sha256()
    with open(path, "rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()
