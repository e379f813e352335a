"""The fields that the form does not draw by hand: every other key that the plan in hand may hold, by section.

So a key that is added to the table has a field at once, and a section of its own place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from closures.app.web.fields import FIELDS, Field
from closures.frozen import frozen
from closures.plan.editing import value_of
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Section

_NAMES = re.compile(r' name="([^"]+)"')
_BY_OTHERS = (".drawing", ".supplies", ".units")
"""What is chosen elsewhere: files are handed in, units have their switch."""


@frozen
class Row:
    """The fields of one section, or of one of several.

    Attributes:
        name: what its fields' names begin with.
        legend: what this one of several is called; empty for a section that stands once.
        n: which of several, from 0.
        is_new: it is not in the plan yet.
        ways: the keys of which exactly one is given, with their labels, where the form does not choose already.
        fields: name and field.
    """

    name: str
    legend: str
    n: int
    is_new: bool
    ways: tuple[tuple[str, str], ...]
    fields: tuple[tuple[str, Field], ...]


@frozen
class Part:
    """What the form shows of one section beside what is drawn by hand.

    Attributes:
        id: the section's name.
        title: its heading.
        now: that the plan says something of it.
        is_wrong: one of its fields was refused.
        rows: its fields.
    """

    id: str
    title: str
    now: str
    is_wrong: bool
    rows: tuple[Row, ...]


def more_parts(text: str, form: str, values: Mapping[str, str], wrong: Mapping[str, str]) -> tuple[Part, ...]:
    """Find what a form does not show yet.

    Args:
        text: the plan's text.
        form: the form as it is drawn by hand.
        values: field name to what stands in it.
        wrong: the fields that were refused.
    """
    shown = set(_NAMES.findall(form))
    given = {section.name for section in SECTIONS if value_of(text, section.name) is not None}
    closed = {other for one in SECTIONS if one.name in given for other in (*one.instead_of, *one.not_with)}
    parts = []
    for section in (TOP, *SECTIONS):
        is_closed = section.name not in given and {*section.instead_of, *section.not_with} & given
        # What was typed there and waits is seen until it is mended or taken back.
        waits = any(name.startswith(f"{section.name}.") for name in wrong)
        if (section.name in closed or is_closed) and not waits:
            continue
        rows = tuple(row for row in _rows(section, text, values, shown) if row.fields)
        if rows:
            begins = f"{section.name}."
            is_wrong = any(name.startswith(begins) for row in rows for name, _ in row.fields if name in wrong)
            is_half = any(name.startswith(begins) for name in shown)
            title = section.title or section.name
            now = "" if is_half or section.name not in given else "in the plan"
            parts.append(Part(section.name or "top", f"{title}: more" if is_half else title, now, is_wrong, rows))
    return tuple(parts)


def _rows(section: Section, text: str, values: Mapping[str, str], shown: set[str]) -> Iterator[Row]:
    own = [field for field in FIELDS.values() if field.section is section and field.name not in _BY_OTHERS]
    if not section.repeated:
        yield _row(section, section.name, "", 0, False, own, shown)
        return
    held = value_of(text, section.name)
    count = len(held) if isinstance(held, list) else 0
    for n in range(count + 1):
        name = f"{section.name}.{n}"
        called = values.get(f"{name}.{section.named_by}") or f"{section.title or section.name} {n + 1}"
        yield _row(section, name, "Another" if n == count else called, n, n == count, own, shown)


def _row(section: Section, name: str, legend: str, n: int, is_new: bool, own: list[Field], shown: set[str]) -> Row:
    named = ((f"{name}.{'.'.join(field.path)}", field) for field in own)
    fields = tuple((one, field) for one, field in named if one not in shown)
    one_of = section.one_of[0] if section.one_of else ()
    drawn = {field.key.name for _, field in fields}
    ways = tuple((key.name, key.label or key.name) for key in section.keys if key.name in one_of)
    is_told = f"{name}.by" in shown or not drawn & set(one_of)
    return Row(name, legend, n, is_new, () if is_told or not section.repeated else ways, fields)
