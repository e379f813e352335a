"""What is said in two voices: to whoever writes the plan, by its keys, and on paper, to whoever sews.

A report and a terminal say what to write into a plan. A printed page goes to people who never see one, and says what
was found in a dressmaker's words alone. Both are told where a text is written, and go with it to where it is set.
"""

from __future__ import annotations

from typing import Any, Self


class Said(str):
    """A text for whoever writes the plan, with what stands on a printed page in its place.

    Attributes:
        page: what stands there; texts that are added to it are told in both.
    """

    page: str

    def __new__(cls, told: str, page: str) -> Self:
        """Make one of its two voices."""
        made = super().__new__(cls, told)
        made.page = page
        return made

    def __add__(self, other: str) -> Said:
        """Go on in both voices."""
        return Said(str(self) + str(other), self.page + _page_of(other))

    def __radd__(self, other: str) -> Said:
        """Begin in both voices."""
        return Said(str(other) + str(self), _page_of(other) + self.page)

    def __getnewargs_ex__(self) -> tuple[tuple[Any, ...], dict[str, object]]:
        """Let a text go from one process to another."""
        return (str(self), self.page), {}


def for_author(told: str, page: str = "") -> Said:
    """Say something by keys of the plan, and on a page something else, or nothing."""
    return Said(told, page)


def to_both(told: str) -> Said:
    """Say the same to a plan's author and on a page."""
    return Said(told, on_page(told))


def led_by(words: str, text: str) -> str:
    """Lead a sentence by other words, in both voices; it goes on in a small letter."""
    if isinstance(text, Said):
        return Said(led_by(words, str(text)), led_by(words, text.page) if text.page else "")
    return f"{words}{text[:1].lower()}{text[1:]}"


def to_change(keys: str) -> Said:
    """Say to a plan's author how what was taken is changed, after a sentence; on a page nothing."""
    return for_author(f" To change it: {keys}.")


def on_page(text: str) -> str:
    """What stands on a printed page for a text."""
    return text.page.strip() if isinstance(text, Said) else text


def _page_of(text: str) -> str:
    return text.page if isinstance(text, Said) else text
