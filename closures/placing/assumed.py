"""A line on what was filled in, that knows what it is about."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

from closures.said import Said

Subject = Literal["beginning of levels"]


class Assumed(Said):
    """One line on what was filled in where a plan does not say, told apart from the others by what it is about.

    Attributes:
        about: what is assumed.
    """

    about: Subject

    def __new__(cls, line: str, page: str, about: Subject) -> Assumed:
        """Make one of its words, in both voices, and of what they are about."""
        made = super().__new__(cls, line, page)
        made.about = about
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[Any, ...], dict[str, object]]:
        """Let a line go from one process to another."""
        return (str(self), self.page, self.about), {}


def about(subject: Subject, line: str) -> bool:
    """Whether a line is about this."""
    return isinstance(line, Assumed) and line.about == subject


def reworded(line: str, words: Callable[[str], str]) -> str:
    """Say a line to its plan's author in other words; what it is about stays, and what stands on a page."""
    if isinstance(line, Assumed):
        return Assumed(words(line), line.page, line.about)
    return Said(words(line), line.page) if isinstance(line, Said) else words(line)
