"""The guide's pages: what there is, in which order, and which page a topic means.

Terms: a page's *key* is its path below docs/ without the ending, for example ``how-to/belts``.
The *contents* are the lists of the index page: a heading, and the pages under it in order.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from closures.errors import PlanError
from closures.nearest import nearest_name

INDEX = "index"

_LINK = re.compile(r"\[([^\]]+)\]\(([^)#\s]+)\.md(?:#[^)]*)?\)")
_HEADING = re.compile(r"^#+ +(.+?) *$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class GuidePage:
    """One page.

    Attributes:
        key: its path below docs/ without the ending.
        title: its first heading.
        text: its Markdown.
    """

    key: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the contents.

    Attributes:
        title: its heading on the index page.
        keys: its pages, in order.
    """

    title: str
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Guide:
    """All pages.

    Attributes:
        pages: by key.
        parts: the contents; every page but the index stands in exactly one.
    """

    pages: Mapping[str, GuidePage]
    parts: tuple[Part, ...]

    @property
    def order(self) -> tuple[str, ...]:
        """All keys in reading order, the index first."""
        return (INDEX, *(key for part in self.parts for key in part.keys))

    def page_about(self, topic: str) -> GuidePage:
        """Find the page that a topic means: its name, its title, or the one that says most of it.

        Args:
            topic: as typed, in any capitals, words parted by spaces or hyphens.

        Raises:
            PlanError: no page speaks of it.
        """
        wanted = _plain(topic)
        for page in self.pages.values():
            if wanted in (_plain(page.key), _plain(page.key.rpartition("/")[2]), _plain(page.title)):
                return page
        words = [word.removesuffix("s") for word in wanted.split()]
        scored = sorted(
            ((self._weight(self.pages[key], words), -place) for place, key in enumerate(self.order)), reverse=True
        )
        if words and scored[0][0] > 0:
            return self.pages[self.order[-scored[0][1]]]
        names = [key.rpartition("/")[2] for key in self.order]
        near = nearest_name(topic, names)
        raise PlanError(
            f"the guide has nothing on '{topic}'",
            where="closures help",
            mend=f"Did you mean {near}?" if near else "closures help alone lists its pages.",
        )

    def _weight(self, page: GuidePage, words: list[str]) -> float:
        """How much a page says of all these words; nothing where it lacks one of them."""
        title, text = _plain(f"{page.key} {page.title}"), _plain(page.text)
        if not all(word in text or word in title for word in words):
            return 0.0
        said = sum(text.count(word) for word in words) / (len(text) + 1)
        return said + sum(word in title for word in words)


def make_guide(texts: Mapping[str, str]) -> Guide:
    """Put the guide together.

    Args:
        texts: Markdown by key; ``index`` among them.

    Returns:
        The guide. Pages that the index does not name come last, under a heading of their own.
    """
    pages = {key: GuidePage(key, _title(text, key), text) for key, text in sorted(texts.items())}
    parts: list[Part] = []
    taken = {INDEX}
    for title, body in _chapters(texts[INDEX]):
        keys = [key for _, key in _LINK.findall(body) if key in pages and key not in taken]
        keys = list(dict.fromkeys(keys))
        taken.update(keys)
        if keys:
            parts.append(Part(title, tuple(keys)))
    left = tuple(key for key in pages if key not in taken)
    return Guide(pages, (*parts, Part("More", left)) if left else tuple(parts))


def _chapters(index: str) -> list[tuple[str, str]]:
    """The index page in parts: what stands before its first second-rank heading is the beginning."""
    first, *rest = re.split(r"^## +", index, flags=re.MULTILINE)
    return [("To begin", first), *((part.partition("\n")[0].strip(), part) for part in rest)]


def _title(text: str, key: str) -> str:
    found = _HEADING.search(text)
    return found[1] if found else key


def _plain(text: str) -> str:
    return " ".join(re.findall(r"[\w½⅝¼¾.]+", text.casefold().replace("-", " ").replace("/", " ")))
