"""The fields of the page: the keys of a plan as people fill them in, and back again.

A field holds text. A range or a stretch is written "1/2 in to 3/4 in", a list "13 mm, 33 mm". What a field
does not cover stays in the plan as it is.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from closures.lengths import is_length

Shape = Literal["text", "ends", "span", "list", "place", "whole", "switch", "points", "hidden"]
Sections = dict[str, Any]

_LONG_MM = re.compile(r"(-?\d+\.\d{4,}) mm")


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a section that the page lets people fill in.

    Attributes:
        section, key: as in a plan.
        label: what it is called on the page.
        hint: an example, or what it is for.
        shape: what its text becomes in the plan.
        choices: what it is chosen from; empty where it is written.
    """

    section: str
    key: str
    label: str
    hint: str = ""
    shape: Shape = "text"
    choices: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Its name in the form."""
        return f"{self.section}.{self.key}"


FIELDS: tuple[Field, ...] = (
    Field("", "title", "Title", "Printed on the sheets"),
    Field("edge", "straight", "Straight, this long", "24 in"),
    Field("edge", "points", "Measured points", "A line for each: across, down", "points"),
    Field("edge", "level_zero", "Levels are measured from", "A name in the drawing, or a length down"),
    Field("edge", "from", "The edge begins at", "A corner of the line; else its own end", "place"),
    Field("edge", "to", "and ends at", "A corner; across, down; or a name", "place"),
    Field("edge", "via", "by way of", "Where a closed line could be gone round either way", "place"),
    Field("edge", "reverse", "It was drawn from last end to first", shape="switch"),
    Field("band", "width", "Finished width", "1 1/2 in"),
    Field("band", "inset", "Finished edge to the closing line", "Half the width if left empty"),
    Field("band", "under_width", "Width of the under lap", "As the over lap if left empty"),
    Field("band", "under_inset", "Inset of the under lap", "Half its width if left empty"),
    Field("band", "lap", "Which side lies on top", choices=("right over left", "left over right")),
    Field("closure", "kind", "Kind"),
    Field("closure", "size", "Size"),
    Field("closure", "cap", "Largest part, measured", "Wins over the table"),
    Field("closure", "grip", "Grip, from the pack", "0.5 mm to 1.5 mm", "span"),
    Field("closure", "thickness", "Thickness of the button", "3 mm"),
    Field("closure", "hole", "Buttonholes run", choices=("", "along", "across")),
    Field("closure", "halves", "Halves", choices=("usual", "turned")),
    Field("closure", "spare", "Spare", "To have over", "whole"),
    Field("closure", "trial", "For a trial piece", "Closures to try first", "whole"),
    Field("spacing", "first", "First end to first closure", "5/8 in, or 1/2 in to 3/4 in", "ends"),
    Field("spacing", "last", "Last closure to last end", "2 in, or 2 in to 4 in", "ends"),
    Field("spacing", "pitch", "Wanted gap", "3 in"),
    Field("spacing", "count", "How many", "8", "whole"),
    Field("spacing", "widest", "No gap wider than", "3 1/2 in"),
    Field("spacing", "closest", "No gap closer than", "1 in"),
    Field("belt", "waist", "Waist", "30 in"),
    Field("belt", "target", "Closed length it is worn at", "30 in"),
    Field("belt", "width", "Width", "32 mm"),
    Field("belt", "settings", "Settings", "5", "whole"),
    Field("belt", "step", "From setting to setting", "1 in"),
    Field("belt", "caps", "Caps, from the tip", "25 mm, 50 mm", "list"),
    Field("belt", "free", "Free tip past the cap", "3 in"),
    Field("row", "length", "Finished length", "250 mm"),
    Field("row", "height", "Height", "65 mm"),
    Field("row", "over", "On the over end, from its tip", "13 mm", "list"),
    Field("row", "under", "On the under end, from its tip", "13 mm, 33 mm", "list"),
)
"""What the page has a field for, beside fixed places, clear stretches and layers."""

ROWS: Mapping[str, tuple[str, ...]] = {
    "anchor": ("name", "by", "place", "within"),
    "clear": ("name", "by", "place", "room"),
    "layer": ("what", "count", "on"),
}
"""The sections that stand several times, and the fields of each row."""

# Rows of one section that a form may send: a page that people fill in has a handful.
_MOST_ROWS = 100


def read_text(text: str) -> Sections:
    """Read the text of a plan that is known to be right."""
    return tomllib.loads(text)


def values_of(table: Sections) -> dict[str, str]:
    """Find what stands in every field.

    Args:
        table: a plan as a table of sections.

    Returns:
        Field name to text, empty where the plan says nothing.
    """
    values = {field.name: _in_field(field, _section(table, field.section).get(field.key)) for field in FIELDS}
    values["spacing.by"] = "count" if values["spacing.count"] else "pitch"
    values["edge.path"] = _shown(_section(table, "edge").get("path"))
    for section in ROWS:
        for n, row in enumerate(table.get(section, ())):
            values |= {f"{section}.{n}.{key}": text for key, text in _row_values(section, row)}
    return values


def with_fields(table: Sections, typed: Mapping[str, str]) -> Sections:
    """Put what was typed into a plan.

    Args:
        table: the plan so far; what stands in a field as it was shown stays as exact as it is.
        typed: field name to text; fields that are not there stay as they are.

    Returns:
        A new table, for the plan's reader to judge.
    """
    before = values_of(table)
    result: Sections = {key: dict(value) if isinstance(value, dict) else value for key, value in table.items()}
    for field in (*FIELDS, Field("edge", "path", "")):
        text = typed.get(field.name)
        if text is None or " ".join(text.split()) == " ".join(before.get(field.name, "").split()):
            continue
        home = result if not field.section else result.setdefault(field.section, {})
        if text.strip() and not (field.shape == "switch" and text == "no"):
            home[field.key] = _meant(field.shape, text.strip())
        else:
            home.pop(field.key, None)
    if "spacing.by" in typed and "spacing" in result:
        result["spacing"].pop("count" if typed["spacing.by"] == "pitch" else "pitch", None)
    for section in ROWS:
        if f"{section}.rows" in typed:
            result[section] = list(_rows(section, table.get(section, []), typed, before))
            if not result[section]:
                del result[section]
    return result


def without_row(table: Sections, section: str, n: int) -> Sections:
    """Take the nth row of a section that stands several times out of a plan."""
    rows = [row for i, row in enumerate(table.get(section, ())) if i != n]
    kept = {key: value for key, value in table.items() if key != section}
    return kept | ({section: rows} if rows else {})


def _rows(section: str, old: list[Sections], typed: Mapping[str, str], before: Mapping[str, str]) -> Iterator[Sections]:
    for n in range(_MOST_ROWS):
        given = {key: typed.get(f"{section}.{n}.{key}", "").strip() for key in ROWS[section]}
        row = old[n] if n < len(old) else None
        if row is None and not any(given[key] for key in _FILLED[section]):
            if f"{section}.{n}.{ROWS[section][0]}" not in typed:
                return
            continue
        if row is not None and all(given[key] == before[f"{section}.{n}.{key}"] for key in given):
            yield row
        else:
            yield _row(section, dict(row or {}), given)


# A row of which none of these is filled in is no row.
_FILLED = {"anchor": ("name", "place"), "clear": ("name", "place"), "layer": ("what",)}


def _row(section: str, row: Sections, given: Mapping[str, str]) -> Sections:
    if section == "layer":
        key = "thickness" if is_length(given["what"]) else "cloth"
        row = {k: v for k, v in row.items() if k not in ("thickness", "cloth")}
        row |= {key: given["what"], "on": given["on"] or "both"}
        return row | ({"count": _whole(given["count"])} if given["count"] else {})
    by = given["by"] if given["by"] in ("level", "along", "at") else "level"
    row = {k: v for k, v in row.items() if k not in ("level", "along", "at", "name")}
    row = {"name": given["name"], by: _span(given["place"]) if section == "clear" else given["place"], **row}
    if by != "level":
        row.pop("which", None)
    other = "room" if section == "clear" else "within"
    row.pop(other, None)
    return row | ({other: given[other]} if given[other] else {})


def _row_values(section: str, row: Sections) -> Iterator[tuple[str, str]]:
    if section == "layer":
        yield "what", _shown(row.get("cloth", row.get("thickness")))
        yield "count", _shown(row.get("count", 1))
        yield "on", _shown(row.get("on", "both"))
        return
    by = next((key for key in ("level", "along", "at") if key in row), "level")
    yield "name", _shown(row.get("name"))
    yield "by", by
    yield "place", _shown(row.get(by))
    other = "room" if section == "clear" else "within"
    yield other, _shown(row.get(other, "rim" if other == "room" else ""))


def _section(table: Sections, name: str) -> Sections:
    found = table.get(name, {}) if name else table
    return found if isinstance(found, dict) else {}


def _in_field(field: Field, value: object) -> str:
    if field.shape in ("list", "place") and isinstance(value, list):
        return ", ".join(map(_shown, value))
    return _shown(value)


def _shown(value: object) -> str:
    """Show a value of a plan as people write it; a length of many decimals is shown to a thousandth."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return f"{_shown(value.get('from'))} to {_shown(value.get('to'))}" if "from" in value else ""
    if isinstance(value, list):
        if value and isinstance(value[0], list):
            return "\n".join(", ".join(map(_shown, pair)) for pair in value)
        return (" to " if len(value) == 2 else ", ").join(map(_shown, value))
    return _LONG_MM.sub(lambda found: f"{float(found[1]):.3f}".rstrip("0").rstrip(".") + " mm", str(value))


def _meant(shape: Shape, text: str) -> object:
    if shape == "whole":
        return _whole(text)
    if shape == "switch":
        return text == "yes"
    if shape == "ends":
        ends = _span(text)
        return {"from": ends[0], "to": ends[1]} if isinstance(ends, list) else ends
    if shape == "span":
        return _span(text)
    if shape == "list":
        return [part.strip() for part in re.split(r",|;|\sto\s", text) if part.strip()]
    if shape == "place":
        parts = [part.strip() for part in text.split(",")]
        return parts if len(parts) == 2 else text
    if shape == "points":
        return [[part.strip() for part in line.split(",")] for line in text.splitlines() if line.strip()]
    return text


def _span(text: str) -> list[str] | str:
    parts = re.split(r"\s+to\s+", text.strip())
    return parts if len(parts) == 2 else text


def _whole(text: str) -> int | str:
    return int(text) if re.fullmatch(r"\d{1,9}", text) else text
