"""A plan's text as a table, and what is said about a line that is no TOML."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from closures.errors import PlanError
from closures.nearest import in_figures


def table_of(data: bytes | str, where: str) -> dict[str, Any]:
    """Read a plan's text as a table.

    Args:
        data: the file's bytes, or its text.
        where: its name, for messages.

    Raises:
        PlanError: it is no text, or no TOML; told with the line, and with what to write where the slip is a usual one.
    """
    if isinstance(data, bytes) and _is_utf16(data):
        what = "the file is kept in UTF-16, and a plan is kept in UTF-8"
        raise PlanError(what, where=where, mend=_SAVE_ANEW)
    try:
        # Some editors put a byte order mark before the text.
        source = data.removeprefix("\ufeff") if isinstance(data, str) else data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _not_utf8(error, where) from None
    try:
        return tomllib.loads(source)
    except RecursionError:
        raise PlanError("lists stand too deep in lists", where=where, mend="Take brackets out.") from None
    except ValueError as error:
        raise _broken(str(error), source, where) from None


_SAVE_ANEW = "Save it anew, and choose UTF-8 as its encoding."


def _is_utf16(data: bytes) -> bool:
    """Tell text of two bytes a sign, by the mark before it or by the noughts in it."""
    head = data[:_LOOKED_AT]
    return head.startswith((b"\xff\xfe", b"\xfe\xff")) or head.count(0) > len(head) // 4


def _not_utf8(error: UnicodeDecodeError, where: str) -> PlanError:
    """Make the error of a file whose letters are kept in another way, with the line and the letter that show it."""
    head = error.object[: error.start].decode()
    line, before = head.count("\n") + 1, head.rpartition("\n")[2][-_SHOWN_BEFORE:]
    what = f"a sign is not text in UTF-8{f', right behind {before.strip()}' if before.strip() else ''}"
    return PlanError(what, where=f"{where}, line {line}", mend=f"{_SAVE_ANEW} Or type that sign anew.")


_SHOWN_BEFORE = 20
"""So many signs before a broken one are shown, so that it is found in its line."""
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
    if "overwrite" in told or "twice" in told or "Duplicate" in told:
        return PlanError(f"this line cannot be read{quoted}", where=place, mend=_once(lines, number))
    mend = _mend_of(told, line)
    if mend is None:
        mend = 'A text or a length stands between straight quotes, as in width = "1 1/2 in".'
        mend = f"{mend} Or put # before the line, and it is a note."
    return PlanError(f"{'this line' if at else 'the plan'} cannot be read{quoted}", where=place, mend=mend)


def _once(lines: list[str], number: int) -> str:
    """Say what to do with a key or a section that stands for the second time, and where it stood first."""
    usual = "Write every key and every section once; of [[ ]] there may be several."
    line = lines[number - 1].split("#")[0].strip()[:_LOOKED_AT]
    is_section = line.startswith("[")
    head = _head_of(line.strip("[]"))
    if head.startswith("[[") and head != line:
        return f"There may be several of it: write each in double brackets, {head}."
    for n in range(number - 1, 0, -1):
        before = lines[n - 1].split("#")[0].strip()[:_LOOKED_AT]
        if is_section and before == line:
            return f"It stands in line {n} already: put what is below it there, and take this line out. {usual}"
        if not is_section and before.startswith("["):
            return usual
        if not is_section and before.partition("=")[0].strip() == line.partition("=")[0].strip():
            return f"It is told in line {n} already: take one of the two out. {usual}"
    return usual


def _head_of(name: str) -> str:
    """How the name of a section is written; empty where none is called so."""
    from closures.plan.plan import SECTIONS

    known = next((one for one in SECTIONS if one.name == name), None)
    return "" if known is None else f"[[{name}]]" if known.repeated else f"[{name}]"


def _mend_of(told: str, line: str) -> str | None:
    """What to write in place of a line that is no TOML, where its fault is a usual one."""
    written = line.split("#")[0].strip()
    if "digits" in told:
        return "Its number has too many digits: write a shorter one."
    if word := re.fullmatch(r"([a-z_]+)\s*=\s*(True|False)", written):
        return f"Write it in small letters: {word[1]} = {word[2].lower()}."
    if two := _TWO_KEYS.fullmatch(written):
        return f"Each key stands on a line of its own: {two[1]}, and below it {two[2]}."
    if inches := _MARK_AND_IN.fullmatch(written):
        return f'An inch mark and in say the same twice: write {inches[1]} = "{inches[2]} in".'
    if note := _NOTE.fullmatch(line):
        head, told = (one.strip() for one in note.groups())
        stands = f"{head.split('#')[0].rstrip('; ')}  # " if head else "# "
        if bare := _BARE.fullmatch(head):
            stands = f"{bare[1]} = {_bare_value(bare[2])}  # "
        return f"A note stands after the sign #: {stands}{told}"
    if ended := _ENDED.fullmatch(written):
        return f"A line ends without a sign: {ended[1]}."
    if bare := _BARE.fullmatch(written):
        value = _bare_value(bare[2])
        if bare[1] in _COUNTS and (counted := re.match(r"\d{1,4}(?= [a-z])", bare[2])):
            return f"Write the number alone: {bare[1]} = {counted[0]}."
        if in_figures(bare[2]) is not None:
            return f"Write the number in figures: {bare[1]} = {value}."
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", bare[2]):
            whole = bare[2].replace(",", "")
            return (
                f"Write {bare[1]} = {whole} if the comma parts thousands, or {bare[1]} = {value} if it parts decimals."
            )
        if _FIGURES.fullmatch(bare[2]):
            return f"Write a point for the decimals, and nothing between thousands: {bare[1]} = {value}."
        if value[0].isdecimal():
            return f"Write figures before and behind the point, or no point: {bare[1]} = {value}."
        if bare[2].casefold() in _YES_OR_NO:
            return f"Write true or false, without quotes: {bare[1]} = {_YES_OR_NO[bare[2].casefold()]}."
        return f"A text or a length stands between straight quotes: {bare[1]} = {value}."
    if found := re.fullmatch(r"([a-z_]+)\s*[-–—]?\s*([\"'].*)", written):
        return f"Write = between a name and what it is: {found[1]} = {found[2]}."
    if found := re.fullmatch(r"([a-z_]+)\s*:|\(([a-z_]+)\)", written):
        name = found[1] or found[2]
        return f"The name of a section stands in brackets: {_head_of(name) or f'[{name}]'}."
    if head := _head_of(written):
        return f"The name of a section stands in brackets: {head}."
    if found := re.fullmatch(r"(\[{1,2}[a-z_]+\]{1,2})\s*(\w.*)", written):
        return f"Beside the name of a section a note stands after the sign #: {found[1]}  # {found[2]}"
    if re.fullmatch(r"\w+(?: [\w,.'-]+)+", written):
        return f"A note stands after the sign #: # {written}"
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
    if re.search(r"[“”„‘’«»‹›]", _outside_quotes(line)):
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


_NOTE = re.compile(r"((?:[^\"']|\"[^\"]*\"|'[^']*')*?)(?<!\S)(?://|--|/\*|;)\s*([^\"']*?)\s*(?:\*/)?")
"""A note as other languages have it, after what may stand before it."""
_TWO_KEYS = re.compile(r"([a-z_]+ *= *(?:\"[^\"]*\"|'[^']*'|[\w.+-]+)) *[,;]? *(?<=[\"' ,;])([a-z_]+ *= *[^= ].*)")
_MARK_AND_IN = re.compile(r"([a-z_]+) *= *\"?([\d][\d ./-]*)[\"″”] *in(?:ch(?:es)?)?\.?\"?")
_BARE = re.compile(r"([a-z_]+)\s*=\s*([\w./-][\w ,./–—-]*?)\s*")
_ENDED = re.compile(r"([a-z_]+ *= *(?:\"[^\"]*\"|'[^']*'|[\d.]+)) *[,;]")
_COUNTS = ("count", "settings", "spare", "trial", "carriers")
"""Keys of whole numbers, behind which people write what is counted."""
_YES_OR_NO = {"yes": "true", "on": "true", "no": "false", "off": "false"}
_FIGURES = re.compile(r"\d[\d.]*,\d+|\d{1,3}(?: \d{3})+")


def _bare_value(value: str) -> str:
    """How a value without quotes is to be written: a number in figures, with a point; all else between quotes."""
    if _FIGURES.fullmatch(value):
        whole, comma, decimals = value.replace(" ", "").partition(",")
        return f"{whole.replace('.', '')}.{decimals}" if comma else whole
    if decimal := re.fullmatch(r"(\d+),(\d+)( ?[A-Za-z]+)", value):
        value = f"{decimal[1]}.{decimal[2]}{decimal[3]}"
    if re.fullmatch(r"(?:\d+ )?\d+/\d+|\d{0,9} ?[¼½¾⅓⅔⅛⅜⅝⅞]", value):
        value += " in"  # nobody counts mm in fractions
    if begun := re.fullmatch(r"\.(\d+)|(\d+)\.", value):
        return f"0.{begun[1]}" if begun[1] else begun[2]
    return in_figures(value) or (value if re.fullmatch(r"\d+(?:\.\d+)?", value) else f'"{value}"')


def _outside_quotes(line: str) -> str:
    return re.sub(r"\"[^\"]*\"|'[^']*'", "", line)
