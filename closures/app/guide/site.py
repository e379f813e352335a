"""The guide as a folder of web pages: one page each, linked, with contents and a search. Nothing is asked outside."""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from closures.app.guide.pages import INDEX, Guide, GuidePage

if TYPE_CHECKING:
    from jinja2 import Template

_BELOW = "docs"
"""Pages keep their place beside the folder of pictures, so that links between them hold in both forms."""

_PICTURE = re.compile(r"""(?:src="|\]\()((?:\.\./)+gallery/[\w.-]+)""")


def site_files(guide: Guide, pictures: Mapping[str, bytes]) -> dict[str, bytes]:
    """Make the whole guide.

    Args:
        guide: the pages.
        pictures: file names of the gallery to their bytes; those that a page shows are taken along.

    Returns:
        Path to content: ``index.html``, which leads on to ``docs/index.html``, the pages, style and script,
        and the pictures that are shown.
    """
    made: dict[str, bytes] = {"index.html": _leads_on().encode()}
    shown: set[str] = set()
    for key, page in guide.pages.items():
        made[f"{_BELOW}/{key}.html"] = page_html(guide, page).encode()
        shown |= {posixpath.basename(found) for found in _PICTURE.findall(page.text)}
    made |= {f"gallery/{name}": content for name, content in pictures.items() if name in shown}
    made[f"{_BELOW}/guide.css"] = static("guide.css")
    made[f"{_BELOW}/guide.js"] = static("guide.js")
    made[f"{_BELOW}/words.js"] = _words(guide).encode()
    return made


def static(name: str) -> bytes:
    """A style sheet or script of the guide."""
    return files("closures.app.guide").joinpath("static", name).read_bytes()


def page_html(guide: Guide, page: GuidePage) -> str:
    """One page as HTML."""
    up = "../" * page.key.count("/")
    order = guide.order
    at = order.index(page.key)
    return _template().render(
        page=page,
        body=html_of(page.text),
        up=up,
        parts=[
            (part.title, [(f"{up}{key}.html", guide.pages[key].title, key == page.key) for key in part.keys])
            for part in guide.parts
        ],
        before=None if at == 0 else (f"{up}{order[at - 1]}.html", guide.pages[order[at - 1]].title),
        after=None if at + 1 == len(order) else (f"{up}{order[at + 1]}.html", guide.pages[order[at + 1]].title),
        home=f"{up}{INDEX}.html",
    )


def html_of(markdown: str) -> str:
    """Markdown of this project as HTML: headings with a place to link to, and links to pages as pages."""
    reader = _reader()
    signs = reader.parse(markdown)
    for sign, words in pairwise(signs):
        if sign.type == "heading_open":
            sign.attrSet("id", _anchor(words.content))
        elif sign.type == "table_open":
            sign.attrSet("tabindex", "0")
    for sign in signs:
        for inner in sign.children or ():
            target = inner.attrGet("href")
            if inner.type == "link_open" and isinstance(target, str) and "://" not in target:
                inner.attrSet("href", re.sub(r"\.md(?=#|$)", ".html", target))
    html: str = reader.renderer.render(signs, reader.options, {})
    return html


@lru_cache(maxsize=1)
def _reader() -> Any:
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"html": True}).enable("table")


@lru_cache(maxsize=1)
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    source = files("closures.app.guide").joinpath("templates", "page.html").read_text("utf-8")
    made = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return made.from_string(source)


def _anchor(heading: str) -> str:
    """The name that a heading is linked by, as forges make it."""
    return re.sub(r"[^\w -]", "", heading.casefold()).replace(" ", "-")


def _words(guide: Guide) -> str:
    """What the search looks through, as a script, since a page from a folder may read no other kind of file."""
    told = [
        {"at": f"{key}.html", "title": guide.pages[key].title, "text": _spoken(guide.pages[key].text)}
        for key in guide.order
    ]
    return f"const GUIDE_WORDS = {json.dumps(told, ensure_ascii=False)};\n"


def _spoken(markdown: str) -> str:
    """The words of a page without its signs."""
    text = re.sub(r"<[^>]+>|\]\([^)]*\)", " ", markdown)
    return " ".join(re.sub(r"[#*`|\[\]>]+", " ", text).split())


def _leads_on() -> str:
    at = f"{_BELOW}/{INDEX}.html"
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Closures: the guide</title>'
        f'<meta http-equiv="refresh" content="0; url={at}"><a href="{at}">The guide</a></html>\n'
    )
