"""The content of a PDF page as operators with what stands before them (ISO 32000-1, section 7.8.2)."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

Operand = float | str
"""A number, or a name without its slash; no line is drawn by texts, lists and dictionaries."""


def operators(data: bytes) -> Iterator[tuple[str, list[Operand]]]:
    """Go through the operators of a content stream.

    Args:
        data: the stream, decoded. A stream that breaks off shows what stands before the break.

    Yields:
        The operator and its operands; texts, lists, dictionaries and images within the stream are passed over.
    """
    import pikepdf

    with pikepdf.new() as empty, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            read = list(pikepdf.parse_content_stream(pikepdf.Stream(empty, data)))
        except pikepdf.PdfError:
            return
        for one in read:
            if isinstance(one, pikepdf.ContentStreamInstruction):
                yield str(one.operator), list(_operands(one.operands, pikepdf.Name))


def _operands(values: Any, name: type) -> Iterator[Operand]:
    for value in values:
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            yield float(value)
        elif isinstance(value, name):
            yield str(value).removeprefix("/")
