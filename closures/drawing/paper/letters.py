"""The letters by which taping rings are told apart."""

from __future__ import annotations

_LETTERS = "abcdefghkmnpqrstuvwxyz"
"""Of i, j, l and o one is taken for another, or for a figure or the ring itself: our own rule."""


def letter_of(k: int) -> str:
    """The letter of a join: a to z without i, j, l and o, then aa, ab and so on."""
    many = len(_LETTERS)
    letter = _LETTERS[k % many]
    return letter if k < many else f"{letter_of(k // many - 1)}{letter}"
