"""The report as a web page: the few forms of Markdown that the report itself uses."""

from __future__ import annotations

import re
from html import escape
from itertools import groupby

_FORMS = (
    ("table", re.compile(r"\|")),
    ("ul", re.compile(r"- ")),
    ("ol", re.compile(r"\d+\. ")),
    ("quote", re.compile(r"> ")),
    ("head", re.compile(r"#{1,6} ")),
)


def page_of(report: str) -> str:
    """Turn the report into HTML; everything in it is escaped.

    Args:
        report: the report's Markdown.

    Returns:
        The body of a page, its first heading left to the page.
    """
    parts = []
    for form, lines in groupby(report.splitlines(), _form):
        parts.append(_part(form, list(lines)))
    return "".join(parts)


def _form(line: str) -> str:
    if not line.strip():
        return ""
    return next((name for name, begins in _FORMS if begins.match(line)), "p")


def _part(form: str, lines: list[str]) -> str:
    if form == "":
        return ""
    if form == "head":
        return "".join(_heading(line) for line in lines)
    if form in ("ul", "ol"):
        items = "".join(f"<li>{_inline(re.sub(r'^(- |[0-9]+[.] )', '', line))}</li>" for line in lines)
        return f"<{form}>{items}</{form}>"
    if form == "table":
        return _table(lines)
    if form == "quote":
        return f"<blockquote><p>{_inline(' '.join(line[2:] for line in lines))}</p></blockquote>"
    return f"<p>{_inline(' '.join(lines))}</p>"


def _heading(line: str) -> str:
    signs, _, text = line.partition(" ")
    level = min(max(len(signs), 2), 4)
    return f"<h{level}>{_inline(text)}</h{level}>"


def _table(lines: list[str]) -> str:
    rows = [[cell.strip() for cell in re.split(r"(?<!\\)\|", line.strip().strip("|"))] for line in lines]
    head, *body = [row for row in rows if not all(re.fullmatch(r":?-+:?", cell) for cell in row)]
    told = "".join(f'<th scope="col">{_inline(cell)}</th>' for cell in head)
    cells = "".join("<tr>" + "".join(f"<td>{_inline(cell)}</td>" for cell in row) + "</tr>" for row in body)
    return f'<table tabindex="0"><thead><tr>{told}</tr></thead><tbody>{cells}</tbody></table>'


def _inline(text: str) -> str:
    plain = escape(re.sub(r"\\([\\`*_{}\[\]<>()#+.!|-])", r"\1", text), quote=False)
    return re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", plain)
