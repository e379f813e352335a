"""A plan that is handed in and that no row meets: it is not laid on the table, and ways to mend it are offered."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from closures.app.repairing import repairs
from closures.app.web.kept import Kept
from closures.app.web.table import MOST_KEPT_BYTES, MOST_OFFERS
from closures.errors import ClosureError, PlanError
from closures.spacing.advice import NoSpacing

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from closures.app.web.bench import Bench, Refusal
    from closures.app.web.table import Table

_MOST_UNLAID = 8


@dataclass(frozen=True, slots=True)
class Unlaid:
    """A plan that could not be laid, with ways to mend it that were placed.

    Attributes:
        text, title, beside, home: as for `Table.lay`.
        offers: in words, and each whole text.
        why: what is wrong with it.
    """

    text: bytes
    title: str
    beside: Mapping[str, bytes]
    home: Path | None
    offers: tuple[tuple[str, str], ...]
    why: str


class Offered(ClosureError):
    """No row meets a plan, and ways to mend it are kept under a key."""

    def __init__(self, error: NoSpacing, key: str, unlaid: Unlaid) -> None:
        super().__init__(unlaid.why, where=error.faults[0].where)
        self.key, self.unlaid = key, unlaid


class Hall:
    """Where plans wait that are not laid yet."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._waiting: Kept[Unlaid] = Kept(MOST_KEPT_BYTES, _MOST_UNLAID)

    def lay(self, text: bytes, title: str, beside: Mapping[str, bytes], home: Path | None = None) -> Bench:
        """Lay a plan on the table.

        Raises:
            Offered: no row meets it, and it can be mended.
            ClosureError: it cannot be read or placed.
        """
        try:
            return self._table.lay(text, title, beside, home)
        except NoSpacing as error:
            found = repairs(text.decode("utf-8-sig"), title, beside)[:MOST_OFFERS]
            if not found:
                raise
            offers = tuple((" and ".join(one.words), one.text) for one in found)
            unlaid = Unlaid(text, title, dict(beside), home, offers, error.faults[0].what)
            key = secrets.token_urlsafe(18)
            self._waiting.put(key, unlaid, len(text) + sum(map(len, beside.values())))
            raise Offered(error, key, unlaid) from None

    def find(self, key: str) -> Unlaid:
        """Find a plan that waits.

        Raises:
            PlanError: it waits no longer.
        """
        found = self._waiting.get(key)
        if found is None:
            raise PlanError("these offers are no longer kept", mend="Open the plan again.")
        return found

    def take(self, key: str, do: str) -> Bench:
        """Lay a plan mended as one of its offers has it; in its own file too, where it has one.

        Raises:
            ClosureError: there is no such offer, or the plan cannot be placed.
        """
        unlaid = self.find(key)
        number = do.removeprefix("repair ")
        if not (number.isdecimal() and len(number) < 3 and int(number) < len(unlaid.offers)):
            raise PlanError("this offer is no longer here", mend="Open the plan again.")
        mended = unlaid.offers[int(number)][1].encode()
        return self._table.lay(mended, unlaid.title, unlaid.beside, unlaid.home, unlaid.text)


def with_offers(told: Refusal, error: ClosureError) -> Refusal:
    """Add the ways to mend a plan that waits."""
    if not isinstance(error, Offered):
        return told
    return replace(told, offers=error.unlaid.offers, kept_as=error.key)
