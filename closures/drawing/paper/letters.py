"""The letters by which taping rings are told apart."""

from __future__ import annotations

_LETTERS = "ABCDEFGHKLMNPRSTXY"
"""Loose parts lie any way up: of two letters that turn into each other one is left out.

So are W beside M, Z beside N, U beside C, V beside A; and I, J, O and Q, which are taken for a figure, for one another
or for the ring itself (our own rule).
"""
_TOLD_BY = "".join(letter for letter in _LETTERS if letter not in "HNSX")
"""With which names of several letters begin: HN upside down would read NH, where RN reads as no letter at all."""


def letter_of(k: int) -> str:
    """The letter of a join: one of the 18 that stay apart however they lie, then AA, AB and so on."""
    return _name(k, _LETTERS)


def _name(k: int, firsts: str) -> str:
    if k < len(firsts):
        return firsts[k]
    before, last = divmod(k - len(firsts), len(_LETTERS))
    return f"{_name(before, _TOLD_BY)}{_LETTERS[last]}"
