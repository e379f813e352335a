"""Things by their names: several in one row, ``a, b and c``, or one, ``an eyelet``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def in_a_row(parts: Sequence[str], last: str = "and") -> str:
    """Name several things in a row.

    Args:
        parts: one at least.
        last: the word before the last.

    Returns:
        ``a``, ``a and b`` or ``a, b and c``.
    """
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}" if parts[1:] else parts[0]


def runs_of(numbers: Iterable[int]) -> str:
    """Write numbers in order, their runs together: ``1 to 4 and 7``."""
    runs: list[list[int]] = []
    for n in sorted(set(numbers)):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    told = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    return in_a_row(told) if told else ""


def numbered(word: str, numbers: Iterable[int]) -> str:
    """Name things by a word and their numbers, ``mark 3`` or ``marks 1 to 4 and 7``; empty where there are none."""
    each = set(numbers)
    return f"{word}{'s' if len(each) > 1 else ''} {runs_of(each)}" if each else ""


def how_many(count: int, thing: str) -> str:
    """Count things whose name takes an s, ``1 closure`` or ``3 closures``."""
    return f"{count} {thing}{'' if count == 1 else 's'}"


def a_or_an(name: str) -> str:
    """Name one thing by its article, ``a post snap`` or ``an eyelet``."""
    return f"{'an' if name[:1] in 'aeiou' else 'a'} {name}"
