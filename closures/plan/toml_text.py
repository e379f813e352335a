"""A plan's text as a table, and what is said about a line that is no TOML."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from closures.errors import PlanError


def table_of(data: bytes | str, where: str) -> dict[str, Any]:
    """Read a plan's text as a table.

    Args:
        data: the file's bytes, or its text.
        where: its name, for messages.

    Raises:
        PlanError: it is no text, or no TOML; told with the line, and with what to write where the slip is a usual one.
    """
    try:
        # Some editors put a byte order mark before the text.
        source = data.removeprefix("\ufeff") if isinstance(data, str) else data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise PlanError(
            "the file is not text in UTF-8", where=f"{where}, line {line}", mend="Save it as UTF-8."
        ) from None
    try:
        return tomllib.loads(source)
    except RecursionError:
        raise PlanError("lists stand too deep in lists", where=where, mend="Take brackets out.") from None
    except ValueError as error:
        raise _broken(str(error), source, where) from None


_QUOTES_OF_ONE_TEXT = 2
_LOOKED_AT = 300
"""So many signs of a broken line are looked at for a usual slip: some ways of looking grow faster than the line."""


def _broken(reason: str, source: str, where: str) -> PlanError:
    """Make the error of a file that is not TOML, with the line that broke it."""
    at = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)$", reason)
    # Not as Python parts lines: a line separator within a line is a slip of its own.
    lines = source.split("\n")
    number = int(at[1]) if at and at[1] else max(1, len(lines) - (lines[-1] == ""))
    told = reason[: at.start()] if at else reason
    line = lines[number - 1].strip(" \t\r")[:_LOOKED_AT] if number <= len(lines) else ""
    place = f"{where}, line {number}" if at else where
    quoted = f": {line[:80]}" if line and at else ""
    mend = _mend_of(told, line)
    if mend is None:
        usual = 'A text or a length stands between straight quotes, as in width = "1 1/2 in".'
        return PlanError(f"this cannot be read as TOML ({told}){quoted}", where=place, mend=usual)
    return PlanError(f"this line cannot be read{quoted}", where=place, mend=mend)


def _mend_of(told: str, line: str) -> str | None:
    """What to write in place of a line that is no TOML, where its fault is a usual one."""
    written = line.split("#")[0].strip()
    if "digits" in told:
        return "Its number has too many digits: write a shorter one."
    if "overwrite" in told or "twice" in told or "Duplicate" in told:
        return "Write every key and every section once; of [[ ]] there may be several."
    if word := re.fullmatch(r"([a-z_]+)\s*=\s*(True|False)", written):
        return f"Write it in small letters: {word[1]} = {word[2].lower()}."
    if bare := re.fullmatch(r"([a-z_]+)\s*=\s*([\w./-][\w ./-]*)", written):
        return f'A text or a length stands between straight quotes: {bare[1]} = "{bare[2]}".'
    if written.endswith(";"):
        return f"A line ends without a sign: {written.rstrip('; ')}."
    if re.search(r"[^\S \t]|[\u200b-\u200f\u2060\ufeff]", _outside_quotes(line)):
        return "It holds a no-break space or another sign that cannot be seen: type the line anew."
    if re.search(r'"[^"]*\\', line):
        return "In straight quotes \\ has a meaning of its own: write / in the names of files and folders."
    if re.search(r"\{.*[\"'\d]\s+[a-z_]+\s*=.*\}", written):
        return "A comma is missing between two figures in the braces."
    if re.match(r"\[{1,2}[^\]]*$", line):
        return f"Close the bracket: {written}{']' * written.count('[')}."
    if colon := re.match(r"([A-Za-z_]+)\s*:\s*(.+)", written):
        return f"Write = in place of the colon: {colon[1]} = {colon[2]}."
    if re.search(r"[“”„‘’]", _outside_quotes(line)):
        return 'Its quotes are curled, as a word processor makes them: type straight ones, as in width = "24 mm".'
    if re.search(r"'[^']*\w'\w[^']*'", written):
        return 'A text with an apostrophe stands between double quotes, as in title = "The girl\'s dress".'
    if line.count('"') % 2 and re.search(r'\d"\s*"|\d"\s*$', written):
        return "An inch mark stands between single quotes, as in width = '1 1/2\"'; or write in for it."
    if line.count('"') % 2:
        return "A text stands between two straight quotes; one that holds a quote itself, between single ones."
    if written.count('"') > _QUOTES_OF_ONE_TEXT and "newline" in told:
        return "A text that holds a quote stands between single quotes, as in title = 'The \"best\" dress'."
    return None


def _outside_quotes(line: str) -> str:
    return re.sub(r"\"[^\"]*\"|'[^']*'", "", line)
