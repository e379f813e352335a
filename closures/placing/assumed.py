"""A line on what was filled in, that knows what it is about."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

Subject = Literal["beginning of levels"]


class Assumed(str):
    """One line on what was filled in where a plan does not say, told apart from the others by what it is about.

    Attributes:
        about: what is assumed.
    """

    about: Subject

    def __new__(cls, line: str, about: Subject) -> Assumed:
        """Make one of its words and of what they are about."""
        made = super().__new__(cls, line)
        made.about = about
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[str, Subject], dict[str, object]]:
        """Let a line go from one process to another."""
        return (str(self), self.about), {}


def about(subject: Subject, line: str) -> bool:
    """Whether a line is about this."""
    return isinstance(line, Assumed) and line.about == subject


def reworded(line: str, words: Callable[[str], str]) -> str:
    """Say a line in other words; what it is about stays."""
    return Assumed(words(line), line.about) if isinstance(line, Assumed) else words(line)
