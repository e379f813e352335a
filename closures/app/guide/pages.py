"""The guide's pages: what there is, in which order, and which page a topic means.

Terms: a page's *key* is its path below docs/ without the ending, for example ``how-to/belts``.
The *contents* are the lists of the index page: a heading, and the pages under it in order.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from closures.errors import PlanError
from closures.frozen import frozen
from closures.nearest import nearest_name

INDEX = "index"

_LINK = re.compile(r"\[([^\]]+)\]\(([^)#\s]+)\.md(?:#[^)]*)?\)")
_HEADING = re.compile(r"^#+ +(.+?) *$", re.MULTILINE)


@frozen
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


@frozen
class Part:
    """One part of the contents.

    Attributes:
        title: its heading on the index page.
        keys: its pages, in order.
    """

    title: str
    keys: tuple[str, ...]


@frozen
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

    def pages_about(self, topic: str) -> tuple[GuidePage, ...]:
        """Find the pages that a topic means.

        Args:
            topic: as typed, in any capitals, words parted by spaces or hyphens.

        Returns:
            One page where the topic is its name, its title or words of those; else all that speak of it, the one that
            says most of it first.

        Raises:
            PlanError: no page speaks of it.
        """
        wanted = _plain(topic)
        for page in self.pages.values():
            if wanted in (_plain(page.key), _plain(page.key.rpartition("/")[2]), _plain(page.title)):
                return (page,)
        words = [_stem(word) for word in wanted.split() if word not in _SMALL_WORDS]
        named = self._by_weight(words, lambda page: f"{page.key} {page.title}")
        if len(named) == 1:
            return named
        spoken = self._by_weight(words, lambda page: page.text)
        found = tuple(dict.fromkeys((*named, *spoken)))
        if found:
            return found
        names = [key.rpartition("/")[2] for key in self.order]
        near = nearest_name(topic, names)
        raise PlanError(
            f"the guide has nothing on '{topic}'",
            where="closures help",
            mend=f"Did you mean {near}?" if near else "closures help alone lists its pages.",
        )

    def _by_weight(self, words: list[str], of: Callable[[GuidePage], str]) -> tuple[GuidePage, ...]:
        """The pages where a text holds all these words, the one of which they are the largest part first."""
        weights: dict[str, float] = {}
        for key in self.order[1:] if words else ():
            text = [_stem(word) for word in _plain(of(self.pages[key])).split()]
            said = [sum(one.startswith(word) for one in text) for word in words]
            if all(said):
                weights[key] = sum(said) / len(text)
        return tuple(self.pages[key] for key in sorted(weights, key=lambda key: -weights[key]))


_SMALL_WORDS = frozenset(
    ("a", "an", "and", "are", "as", "at", "by", "can", "do", "does", "for", "from", "how", "i", "in")
) | {*("is", "it", "my", "of", "on", "or", "the", "to", "what", "where", "with")}
_ENDINGS = ("ing", "ed", "es", "s")


def _stem(word: str) -> str:
    """A word without its ending, so that printing, prints and print are one."""
    ending = next((one for one in _ENDINGS if word.endswith(one) and len(word) > len(one) + 2), "")
    return word.removesuffix(ending)


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
