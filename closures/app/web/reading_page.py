"""The report as a web page."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt

_LEAST_HEADING, _MOST_HEADING = 2, 4
"""The page has a first heading of its own, and no use for more than three ranks below it."""
_WORK = "Order of work"
_PLACES = {_WORK: "work", "Cautions": "cautions"}
"""Headings that other pages lead to, and their places."""


def page_of(report: str) -> str:
    """Turn the report into HTML; markup that stands in it is escaped, and nothing is fetched.

    Args:
        report: the report's Markdown.

    Returns:
        The body of a page, its first heading left to the page.
    """
    reader = _reader()
    signs = reader.parse(report)
    is_work = False
    for sign, words in pairwise(signs):
        if sign.type == "heading_open" and sign.tag == "h2":
            is_work = words.content == _WORK
            if words.content in _PLACES:
                sign.attrSet("id", _PLACES[words.content])
        elif sign.type == "ordered_list_open" and is_work:
            # Its steps are ticked off: numbered on, though the stop stands between them.
            sign.attrSet("class", "ticks")
        if sign.type in ("heading_open", "heading_close"):
            sign.tag = f"h{min(max(int(sign.tag[1]), _LEAST_HEADING), _MOST_HEADING)}"
        elif sign.type == "table_open":
            sign.attrSet("tabindex", "0")
        elif sign.type in ("th_open", "td_open"):
            # The page takes no style that stands in its text.
            if sign.attrs.pop("style", None) == "text-align:right":
                sign.attrSet("class", "number")
            if sign.type == "th_open":
                sign.attrSet("scope", "col")
    return str(reader.renderer.render(signs, reader.options, {}))


@lru_cache(maxsize=1)
def _reader() -> MarkdownIt:
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")
