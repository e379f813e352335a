"""A plan's text cut into its sections, so that one can be changed and every other byte stays.

A *block* is one section as it stands: its heading, the lines of its keys, and the notes and empty lines after the last
of them, which most often speak of what follows.
"""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from typing import Any

from closures.frozen import frozen

_TOKEN = re.compile(
    r"""
    (?P<comment>\#[^\n]*)
  | (?P<string>\"{3}(?:\\.|[^\\])*?\"{3,5} | '{3}.*?'{3,5} | \"(?:\\.|[^\"\\\n])*\" | '[^'\n]*')
  | (?P<end>\n)
  | (?P<open>[\[{])
  | (?P<close>[\]}])
  | (?P<other>[^\#"'\n\[\]{}]+|.)
    """,
    re.VERBOSE | re.DOTALL,
)


@frozen
class Block:
    """One section of a plan's text.

    Attributes:
        path: its name, with those of the sections it is in before it; empty for what stands before the first heading.
        repeated: it stands in double brackets.
        head: its heading's line.
        body: the lines of its keys, to the end of the last one's.
        tail: notes and empty lines after them.
    """

    path: tuple[str, ...]
    repeated: bool
    head: str
    body: str
    tail: str

    @property
    def text(self) -> str:
        """The block as it stands."""
        return self.head + self.body + self.tail


# A hand that drags asks for one change after another of the same text.
@lru_cache(maxsize=8)
def cut(text: str) -> tuple[Block, ...]:
    """Cut a text that is TOML into its blocks, which put together are the text again."""
    blocks: list[Block] = []
    head, kept, lines = "", "", ""
    for line, is_heading, is_key in _lines(text):
        if is_heading:
            blocks.append(_block(head, kept, lines))
            head, kept, lines = line, "", ""
        elif is_key:
            kept, lines = kept + lines + line, ""
        else:
            lines += line
    blocks.append(_block(head, kept, lines))
    return tuple(blocks)


def joined(blocks: tuple[Block, ...]) -> str:
    """Put blocks together again."""
    return "".join(block.text for block in blocks)


def _block(head: str, body: str, tail: str) -> Block:
    return Block(*_headed(head), head, body, tail)


@lru_cache(maxsize=512)
def _headed(head: str) -> tuple[tuple[str, ...], bool]:
    """Read a heading: the way to its table, and whether that may stand several times."""
    path, held = [], tomllib.loads(head)
    repeated = False
    while held:
        ((name, inner),) = held.items()
        path.append(name)
        repeated = isinstance(inner, list)
        held = inner[0] if isinstance(inner, list) else inner
    return tuple(path), repeated


def _lines(text: str) -> list[tuple[str, bool, bool]]:
    """Part a text where a line begins that is not within a value: the line, is it a heading, is it a key."""
    lines: list[tuple[str, bool, bool]] = []
    depth, begun, first = 0, 0, ""
    for token in _TOKEN.finditer(text):
        kind = str(token.lastgroup)
        if not first and kind not in ("comment", "end") and token[0].strip():
            first = kind
        if kind == "open" and first != "open":
            depth += 1
        elif kind == "close" and first != "open":
            depth -= 1
        elif kind == "end" and depth == 0:
            lines.append((text[begun : token.end()], first == "open", bool(first) and first != "open"))
            begun, first = token.end(), ""
    if begun < len(text):
        lines.append((text[begun:], first == "open", bool(first) and first != "open"))
    return lines


def key_lines(body: str) -> list[str]:
    """Part the body of a block where a key or a note begins, with all lines of a value together."""
    return [line for line, _, _ in _lines(body)]


def held_in(block: Block) -> dict[str, Any]:
    """What the keys of a block hold."""
    return tomllib.loads(block.body)
