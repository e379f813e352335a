"""A whole garment as text for a terminal: what fails first, then its openings, and what to buy for all of them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from closures.report.openings import HEAD, RESULTS, Worked, between_of, cells_of, found_of, measured_of
from closures.report.shopping import bought_in_words, packs_in_words
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.checks.finding import Result
    from closures.jobs.whole.clearances import Clearance
    from closures.plan.garment_file import GarmentFile
    from closures.report.shopping import Bought


def garment_terminal(
    garment: GarmentFile,
    worked: Worked,
    clearances: Sequence[Clearance],
    bought: Sequence[Bought],
    width: int = 100,
) -> str:
    """Write the summary, without a final line break.

    Args:
        garment: as told.
        worked: each opening's name, placement and findings.
        clearances: what lies between openings.
        bought: the parts of all.
        width: of the terminal, in signs.
    """
    rows = [(name, *cells_of(name, placement, found, clearances)) for name, placement, found in worked]
    table = text_table([HEAD, *rows], (1, 3, 4))
    blocks = (
        [garment.title],
        [*_found(worked, "fail", width), *_lines(between_of(clearances, "fail"), width)],
        table,
        _set((f"{whose}: {line}" for whose, line in measured_of(worked)), width, "  "),
        [*_found(worked, "warn", width), *_lines(between_of(clearances, "warn", "pass"), width)],
        ["To buy:", *_set((*map(bought_in_words, bought), *packs_in_words(bought)), width, "  ")],
    )
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _found(worked: Worked, result: Result, width: int) -> list[str]:
    return _lines([(RESULTS[result], f"{whose}, {at}: {text}") for whose, at, text in found_of(worked, result)], width)


def _lines(told: Iterable[tuple[str, str]], width: int) -> list[str]:
    return _set((f"{word}  {text}" for word, text in told), width, " " * 6)


def _set(lines: Iterable[str], width: int, indent: str) -> list[str]:
    return [textwrap.fill(line, max(width, 46), subsequent_indent=indent) for line in lines]
