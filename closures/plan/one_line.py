"""Values as people write them: for the options of the command and the fields of the page.

A range is ``1/2 in to 3/4 in``, a list ``13 mm, 33 mm``, a point ``12 mm, 340 mm``, a point more after a semicolon or
on the next line. A table is ``S = 26 in, M = 28 in``, a table of tables a line for each: ``bust point: step = 4 mm``.
What comes back is what a plan file would hold, for the reader to judge; nothing is refused here.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from closures.errors import LengthError
from closures.lengths import is_length, parse_length_mm, unit_of

if TYPE_CHECKING:
    from closures.plan.kinds import Kind

_LONG_MM = re.compile(r"((?<!\d)-?\d+\.\d{4,}) mm")
_NEXT_NAME = re.compile(r"[,;]\s*+(?=[^,;=]+=)")
# A plain hyphen parts two ends as a dash does; from a whole number to a fraction it may stand within one figure, as in
# 1-1/2 in.
_ENDS = re.compile(
    r"(?<!\s)\s+to\s+|(?<!\s)\s*[–—‒]\s*|(?<=[\dnmc\"'½¼¾⅛⅜⅝⅞])\s*-\s*(?=[\d.])(?!\d+/\d)"
    r"|(?:(?<=/\d)|(?<=/\d\d)|(?<=[nmc\"'½¼¾⅛⅜⅝⅞]))\s*-\s*(?=\d+/\d)"
)
# One length: a figure, with a fraction or as one, and its unit where it has one; taken whole, and never in two ways.
_LENGTH = re.compile(
    r"(?>\d+(?: +|-)\d+[/⁄]\d+|\d+[/⁄]\d+|\d+(?:\.\d+)?[½¼¾⅛⅜⅝⅞⅓⅔]?|[½¼¾⅛⅜⅝⅞⅓⅔])"
    r"(?> *(?:mm|cm|inches|inch|in|[\"″”])(?![a-z]))?+"
)
_SPACED = re.compile(rf"{_LENGTH.pattern}(?:\s++{_LENGTH.pattern})++")
_PAIR = re.compile(rf"(-?{_LENGTH.pattern})\s++(-?{_LENGTH.pattern})")
_THOUSANDS = re.compile(r"\d{1,2}\s\d{3}(?:\.\d+)?(?: *[a-z]+)?")
_WHOLE_SPACED = re.compile(r"[-−]?\d{1,3}(?:\s+[-−]?\d{1,3})+")
# Sizes are figures, or letters as clothes have them; of other names a space is a part.
_SIZE_NAME = r"(?:\d{1,3}|X{0,4}S|M|X{0,4}L|\d{1,2}X[SL])"
_SIZES_SPACED = re.compile(rf"{_SIZE_NAME}(?:\s+{_SIZE_NAME})+", re.IGNORECASE)
_YES = {"yes": True, "true": True, "no": False, "false": False}


def two_of(text: str) -> list[str] | str:
    """Make a list of two of ``a to b``; anything else stays as it is.

    A unit that stands once, after the second, holds for both: ``2 to 4 in`` is from 2 in to 4 in.
    """
    parts = _ENDS.split(text.strip())
    if len(parts) != 2 or not all(parts):
        return text
    unit = unit_of(parts[1])
    if unit is not None and unit_of(parts[0]) is None and is_length(f"{parts[0]} {unit}"):
        parts[0] = f"{parts[0]} {unit}"
    return parts


def meant(kind: Kind, text: str) -> Any:
    """Find what a text that people wrote would be in a plan file."""
    text = text.strip()
    shape = kind.shape
    if shape in ("whole", "number"):
        return _number(text)
    if shape == "switch":
        return _YES.get(text.lower(), text)
    if shape == "range":
        ends = two_of(text)
        return {"from": ends[0], "to": ends[1]} if isinstance(ends, list) else ends
    if shape == "stretch":
        return two_of(text)
    if shape == "list":
        return [_spot(part) for part in spaced(text) or _parts(text, r",|;|\n|\sto\s|\sand\s")]
    if shape == "numbers":
        return [_number(part) for part in _parts(text, r"\s" if _WHOLE_SPACED.fullmatch(text) else r",|;|\n")]
    if shape == "names":
        # The name of a line in a drawing may hold a comma: "page 2, 1".
        is_spaced = not kind.choices and _SIZES_SPACED.fullmatch(text) is not None
        names = _parts(text, r"\s" if is_spaced else r";|\n" if kind.is_one_or_more else r",|;|\n")
        return names[0] if len(names) == 1 and kind.is_one_or_more else names
    if shape == "place":
        return _place(text)
    if shape in ("points", "pixels"):
        return _points(text, in_pixels=shape == "pixels")
    if shape == "table":
        return _table(kind, text)
    if shape == "tables":
        return [_row(line) for line in _parts(text, r"\n")]
    return text


def shown(kind: Kind, value: Any) -> str:
    """Show a value of a plan as people write it; a length of many decimals is shown to a thousandth."""
    if kind.shape == "stretch" and isinstance(value, list) and len(value) == 2:
        return " to ".join(map(_shown, value))
    if kind.shape == "list" and isinstance(value, list):
        return ", ".join(" at ".join(map(_shown, one)) if isinstance(one, list) else _shown(one) for one in value)
    if kind.is_one_or_more and isinstance(value, list):
        return "; ".join(map(_shown, value))
    if kind.shape == "place" and isinstance(value, dict) and "level" in value:
        crossing = f", crossing {value['which']}" if "which" in value else ""
        return f"level {_shown(value['level'])}{crossing}"
    return _shown(value)


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return _shown_table(value)
    if isinstance(value, list):
        return _shown_list(value)
    return _LONG_MM.sub(lambda found: f"{float(found[1]):.3f}".rstrip("0").rstrip(".") + " mm", str(value))


def _shown_table(value: dict[str, Any]) -> str:
    if set(value) == {"from", "to"}:
        return f"{_shown(value['from'])} to {_shown(value['to'])}"
    if any(isinstance(one, dict | list) and not _is_stretch(one) for one in value.values()):
        return "\n".join(f"{name}: {_shown(one).replace(chr(10), '; ')}" for name, one in value.items())
    return ", ".join(f"{name} = {_in_entry(one)}" for name, one in value.items())


def _shown_list(value: list[Any]) -> str:
    if value and isinstance(value[0], dict):
        return "\n".join(", ".join(f"{name} = {_in_entry(one)}" for name, one in row.items()) for row in value)
    if value and any(isinstance(one, list) for one in value):
        return "\n".join(", ".join(map(_shown, pair)) if isinstance(pair, list) else _shown(pair) for pair in value)
    return ", ".join(map(_shown, value))


def _in_entry(value: Any) -> str:
    """Show a value of a table, where two lengths are a stretch."""
    if _is_stretch(value):
        return " to ".join(map(_shown, value))
    return _shown(value).replace("\n", "; ")


def _is_stretch(value: Any) -> bool:
    if isinstance(value, dict):
        return set(value) == {"from", "to"}
    return isinstance(value, list) and len(value) == 2 and not any(isinstance(one, list) for one in value)


def _parts(text: str, between: str) -> list[str]:
    return [part.strip() for part in re.split(between, text) if part.strip()]


def _number(text: str) -> Any:
    if re.fullmatch(r"[-−]?\d{1,9}", text):
        return int(text.replace("−", "-"))
    return float(text) if re.fullmatch(r"-?\d{1,9}\.\d{1,9}", text) else text


def _spot(text: str) -> Any:
    """A distance from a tip, or with ``at`` a height as well: ``12 mm at 10 mm``."""
    parts = re.split(r"(?<!\s)\s+at\s+", text)
    return parts if len(parts) == 2 else text


def _place(text: str) -> Any:
    if re.match(r"level\s", text):
        level, _, last = text.removeprefix("level").rpartition(",")
        which = re.fullmatch(r"\s*crossing\s+(\d{1,4})", last)
        return {"level": level.strip(), "which": int(which[1])} if which else {"level": text[6:].strip()}
    parts = [part.strip() for part in text.split(",")]
    return parts if len(parts) == 2 else text


def spaced(text: str) -> list[str]:
    """Part lengths with nothing but spaces between them: ``60 147 234``, ``60 147 234 mm``, ``1/2 in 1 1/2 in``.

    Such a list is read where it can be meant in one way alone: every length stands further on than the one before it.
    A unit that stands once, behind the last, holds for all.

    Returns:
        The lengths; empty where there are no two, or where they may be parts of one: ``1 200`` may be 1200.
    """
    text = text.strip()
    if not _SPACED.fullmatch(text):
        return []
    parts = [" ".join(part.split()) for part in _LENGTH.findall(text)]
    units = [unit_of(part) for part in parts]
    if len(parts) < 2 or (any(units) and not all(units) and any(units[:-1])):
        return []
    if units[-1] is not None and units[0] is None:
        parts = [*(f"{part} {units[-1]}" for part in parts[:-1]), parts[-1]]
    try:
        lies = [parse_length_mm(part if unit_of(part) else f"{part} in") for part in parts]
    except LengthError:
        return []
    if any(a >= b for a, b in pairwise(lies)):
        return []
    # Two figures of which the second has three may be one in thousands, which no list of three is.
    return [] if len(parts) == 2 and _THOUSANDS.fullmatch(text) else parts


def _points(text: str, *, in_pixels: bool) -> Any:
    lines = _parts(text, r"\n|;")
    pairs = [found.groups() for line in lines if (found := _PAIR.fullmatch(line)) is not None]
    if len(lines) > 1 and len(pairs) == len(lines):
        # A point is two lengths, so that each line of two is one.
        return [[_number(part) if in_pixels else part for part in pair] for pair in pairs]
    if "," not in text and "\n" not in text:
        # The name of a table of points.
        return text
    points = [_parts(line, ",") for line in _parts(text, r"\n|;")]
    return [[_number(part) for part in point] for point in points] if in_pixels else points


def _table(kind: Kind, text: str) -> Any:
    """Read a table; what names nothing, or one thing twice, stays the text that it is, for no part of it to be lost."""
    inner = kind.parts
    told = _told(kind, text)
    if told is None or _twice(told):
        return text
    return {name: value if inner is None else meant(inner, value) for name, value in told}


def _row(line: str) -> Any:
    told = _entries(line)
    return line if told is None or _twice(told) else {name: _in_table(value) for name, value in told}


def told_twice(kind: Kind, value: object) -> str | None:
    """Find the name that a text tells twice where a table was meant; None where it does not."""
    if kind.shape == "tables" and isinstance(value, list):
        rows = (_entries(one) for one in value if isinstance(one, str))
        return next((name for row in rows if row is not None and (name := _twice(row))), None)
    told = _told(kind, value) if kind.shape == "table" and isinstance(value, str) else None
    return None if told is None else _twice(told)


def _twice(told: list[tuple[str, str]]) -> str | None:
    names = [name for name, _ in told]
    return next((name for name in names if names.count(name) > 1), None)


def _told(kind: Kind, text: str) -> list[tuple[str, str]] | None:
    """Part a table into names and what stands for each; None where something in it has no name."""
    inner = kind.parts
    if inner is None or inner.shape not in ("table", "points"):
        return _entries(text)
    lines = [line.partition(":") for line in _parts(text, r"\n")]
    return [(name.strip(), value.strip()) for name, _, value in lines] if all(sign for _, sign, _ in lines) else None


def _entries(text: str) -> list[tuple[str, str]] | None:
    """Part ``a = 1, b = 2, 3; 4, 5`` into names and what stands for each; None where something has no name."""
    parts = [part.partition("=") for part in _NEXT_NAME.split(text.replace("\n", ", ").strip(" ,;"))]
    return [(name.strip(), _bare(value)) for name, _, value in parts] if all(sign for _, sign, _ in parts) else None


def _bare(value: str) -> str:
    """A value without the quotes about it that a plan file asks for; an inch mark stands behind alone."""
    told = value.strip()
    return told[1:-1].strip() if len(told) > 1 and told[0] == told[-1] == '"' else told


def _in_table(value: str) -> Any:
    return _points(value, in_pixels=False) if ";" in value else _number(value)
