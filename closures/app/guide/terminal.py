"""A page of the guide as text for a terminal."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence

from closures.app.guide.pages import Guide, GuidePage


def contents_text(guide: Guide) -> str:
    """List the pages, part by part, with the word to ask for each."""
    width = max(len(_name(key)) for part in guide.parts for key in part.keys)
    lines = []
    for part in guide.parts:
        lines.append(f"{part.title}:")
        lines += [f"  {_name(key):<{width}}  {guide.pages[key].title}" for key in part.keys]
        lines.append("")
    return "\n".join([*lines, "Read one: closures help NAME, or closures help --open for all with pictures."])


_MOST_FOUND = 8


def found_text(topic: str, found: Sequence[GuidePage]) -> str:
    """List the pages that speak of a topic, the one that says most of it first."""
    listed = found[:_MOST_FOUND]
    width = max(len(_name(page.key)) for page in listed)
    lines = [f"These pages speak of '{topic}':"]
    lines += [f"  {_name(page.key):<{width}}  {page.title}" for page in listed]
    return "\n".join([*lines, "", f"Read one: closures help {_name(listed[0].key)}"])


def page_text(page: GuidePage, width: int) -> str:
    """Set one page for a terminal: paragraphs are filled, blocks and tables stay as they are.

    Args:
        page: the page.
        width: columns of the terminal.
    """
    lines: list[str] = []
    for block in _blocks(page.text):
        if block.startswith("```"):
            lines += [f"    {line}" for line in block.splitlines()[1:-1]]
        elif block.startswith("#"):
            words = _plain(block.lstrip("# "))
            lines += [words, "=" * len(words)] if block.startswith("# ") else [words, "-" * len(words)]
        elif block.startswith("|"):
            lines += [_plain(line) for line in block.splitlines() if not re.fullmatch(r"[|\s:-]+", line)]
        elif block.startswith("<"):
            found = re.search(r'alt="([^"]*)"', block)
            lines += textwrap.wrap(f"[Picture: {found[1]}]", width) if found else []
        else:
            lines += _filled(block, width)
        lines.append("")
    return "\n".join(lines).rstrip()


def _filled(block: str, width: int) -> list[str]:
    items = re.split(r"\n(?=(?:[-*]|\d+\.) )", block)
    filled: list[str] = []
    for item in items:
        sign = re.match(r"(?:[-*]|\d+\.) ", item)
        indent = "" if sign is None else " " * len(sign[0])
        filled += textwrap.wrap(_plain(" ".join(item.split())), width, subsequent_indent=indent)
    return filled


def _blocks(text: str) -> list[str]:
    parts = re.split(r"(^```.*?^```$)", text, flags=re.MULTILINE | re.DOTALL)
    blocks: list[str] = []
    for part in parts:
        if part.startswith("```"):
            blocks.append(part)
        else:
            blocks += [block.strip("\n") for block in re.split(r"\n\s*\n|\n(?=#)", part) if block.strip()]
    return blocks


def _plain(text: str) -> str:
    text = re.sub(r"!\[([^\]]*)\]\([^)]*\)", r"[Picture: \1]", text)
    text = re.sub(r"\[([^\]]+)\]\([^)]*\)", r"\1", text)
    return re.sub(r"\*\*|`", "", text)


def _name(key: str) -> str:
    return key.rpartition("/")[2]
