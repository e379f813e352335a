"""The content of a PDF page as operators with what stands before them (ISO 32000-1, section 7.8.2)."""

from __future__ import annotations

import re
from collections.abc import Iterator

Operand = float | str | None
"""A number, a name without its slash, or None for what no line is drawn by: texts, lists, dictionaries."""

# White space, comments, numbers, names, texts, and the words that are operators.
_TOKEN = re.compile(
    rb"[\x00\t\n\x0c\r ]+|%[^\r\n]*"
    rb"|(?P<number>[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?=[\x00\t\n\x0c\r ()<>\[\]{}/%]|$))"
    rb"|/(?P<name>[^\x00\t\n\x0c\r ()<>\[\]{}/%]*)"
    rb"|(?P<text>\()|(?P<dict><<|>>)|<(?P<hex>[0-9A-Fa-f\x00\t\n\x0c\r ]*)>|(?P<list>[\[\]{}])"
    rb"|(?P<word>[^\x00\t\n\x0c\r ()<>\[\]{}/%]+)|(?P<odd>.)",
    re.DOTALL,
)
_IMAGE_END = re.compile(rb"[\x00\t\n\x0c\r ]EI(?=[\x00\t\n\x0c\r ]|$)")

# More operands than any operator takes: what came before was garbage.
_MOST_OPERANDS = 64


def operators(data: bytes) -> Iterator[tuple[str, list[Operand]]]:
    """Go through the operators of a content stream.

    Args:
        data: the stream, decoded.

    Yields:
        The operator and its operands; texts, lists and dictionaries are passed over.
    """
    place, depth = 0, 0
    operands: list[Operand] = []
    while place < len(data):
        match = _TOKEN.match(data, place)
        if match is None:
            return
        place = match.end()
        kind = match.lastgroup
        if kind == "number":
            if depth == 0:
                operands.append(float(match["number"]))
        elif kind == "word":
            word = match["word"].decode("latin-1")
            if word == "ID":
                end = _IMAGE_END.search(data, place)
                place = len(data) if end is None else end.end()
                operands = []
            elif depth == 0:
                yield word, operands
                operands = []
        elif kind == "name":
            if depth == 0:
                operands.append(_name(match["name"]))
        elif kind == "text":
            place = _text_end(data, place)
        elif kind in ("dict", "list"):
            depth = max(0, depth + (1 if (match["dict"] or match["list"]) in (b"<<", b"[", b"{") else -1))
        if len(operands) > _MOST_OPERANDS:
            del operands[:-_MOST_OPERANDS]


def _text_end(data: bytes, place: int) -> int:
    """The place after the bracket that closes a text; brackets may stand in it in pairs."""
    depth = 1
    while depth and place < len(data):
        sign = data[place]
        if sign == 0x5C:
            place += 1
        elif sign == 0x28:
            depth += 1
        elif sign == 0x29:
            depth -= 1
        place += 1
    return place


def _name(raw: bytes) -> str:
    plain = re.sub(rb"#([0-9a-fA-F]{2})", lambda match: bytes([int(match[1], 16)]), raw)
    return plain.decode("utf-8", "replace")
