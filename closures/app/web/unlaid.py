"""A plan that is handed in and cannot be laid on the table as it is: ways to mend it are offered.

That is one that no row meets, or one whose drawing was handed in under another name than the plan says.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.job import check_plan
from closures.app.known_names import names_known
from closures.app.repairing import repairs
from closures.app.web.handed import missing_from, refuse_missing, under_their_names
from closures.app.web.kept import Kept
from closures.app.web.table import MOST_KEPT_BYTES, MOST_OFFERS
from closures.app.web.wording import offers_in_words
from closures.errors import ClosureError, PlanError
from closures.frozen import frozen
from closures.plan.reading import read_plan
from closures.spacing.advice import NoSpacing

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from closures.app.web.bench import Refusal
    from closures.app.web.files_first import Reader
    from closures.app.web.garments import Laid, Rack
    from closures.app.web.table import Table

_MOST_UNLAID = 8


@frozen
class Unlaid:
    """A plan that could not be laid, with ways to mend it that were placed.

    Attributes:
        title: what it is called.
        offers: in words, and each whole text.
        why: what is wrong with it.
        resume: lays it as one of these texts has it, and gives the address of what lies there then.
    """

    title: str
    offers: tuple[tuple[str, str], ...]
    why: str
    resume: Callable[[bytes], str]


class Offered(ClosureError):
    """A plan cannot be laid, and ways to mend it are kept under a key."""

    def __init__(self, where: str, key: str, unlaid: Unlaid) -> None:
        super().__init__(unlaid.why, where=where)
        self.key, self.unlaid = key, unlaid


class Hall:
    """Where plans wait that are not laid yet."""

    def __init__(self, table: Table, rack: Rack) -> None:
        self._table, self._rack = table, rack
        self._waiting: Kept[Unlaid] = Kept(MOST_KEPT_BYTES, _MOST_UNLAID)

    def lay(self, text: bytes, title: str, beside: Mapping[str, bytes], home: Path | None = None) -> str:
        """Lay a plan on the table.

        Args:
            text, title, beside, home: as for `Table.lay`.

        Returns:
            Its address.

        Raises:
            Offered: no row meets it, and it can be mended.
            ClosureError: it cannot be read or placed.
        """
        try:
            return f"/plan/{self._table.lay(text, title, beside, home).name}"
        except NoSpacing as error:
            raise self._offered(
                error, text, title, beside, lambda mended: self._mended(mended, title, beside, home, text)
            ) from None

    def _mended(self, mended: bytes, title: str, beside: Mapping[str, bytes], home: Path | None, kept: bytes) -> str:
        return f"/plan/{self._table.lay(mended, title, beside, home, kept).name}"

    def hang(self, text: bytes, title: str, plans: Mapping[str, Laid]) -> str:
        """Lay a garment on the table; an opening that no row meets is mended first.

        Args:
            text, title, plans: as for `Rack.hang`.

        Returns:
            Its address.

        Raises:
            Offered: no row meets one of its plans, and it can be mended.
            ClosureError: one of them is missing, or cannot be read or placed.
        """
        try:
            return f"/garment/{self._rack.hang(text, title, plans).name}"
        except NoSpacing as error:
            plan = next(plan for plan, laid in plans.items() if _is_unmet(plan, laid))
            laid = plans[plan]

            def resume(mended: bytes) -> str:
                kept = laid.text if laid.kept is None else laid.kept
                return self.hang(text, title, {**plans, plan: replace(laid, text=mended, kept=kept)})

            raise self._offered(error, laid.text, plan, laid.beside, resume) from None

    def _offered(
        self, error: NoSpacing, text: bytes, title: str, beside: Mapping[str, bytes], resume: Callable[[bytes], str]
    ) -> ClosureError:
        found = repairs(text.decode("utf-8-sig"), title, beside)[:MOST_OFFERS]
        if not found:
            return error
        offers = offers_in_words(found, text.decode("utf-8-sig"))
        unlaid = Unlaid(title, offers, error.faults[0].what, resume)
        return self._kept(error.faults[0].where, unlaid, len(text) + sum(map(len, beside.values())))

    def _kept(self, where: str, unlaid: Unlaid, size: int) -> Offered:
        key = secrets.token_urlsafe(18)
        self._waiting.put(key, unlaid, size)
        return Offered(where, key, unlaid)

    def lay_handed(self, text: bytes, title: str, handed: Mapping[str, bytes], reader: Reader) -> str:
        """Lay a plan on the table that was handed in with its files, which are looked at first.

        Args:
            text, title: the plan's bytes and its name.
            handed: the files by the last part of their names.
            reader: looks at them within limits of time and memory.

        Returns:
            Its address.

        Raises:
            Offered: it names a file that was not handed in, and others may be meant; or no row meets it.
            ClosureError: it cannot be read or placed.
        """
        beside = under_their_names(text, title, handed)
        missing = missing_from(text, title, beside, lambda tried: reader.look_at_plan(tried, title, beside))
        if missing is None:
            reader.look_at_plan(text, title, beside)
            return self.lay(text, title, beside)
        if not missing.offers:
            refuse_missing(missing, title)

        def resume(mended: bytes) -> str:
            return self.lay(mended, title, beside)

        size = len(text) + sum(map(len, beside.values()))
        raise self._kept(title, Unlaid(title, missing.offers, missing.why, resume), size)

    def find(self, key: str) -> Unlaid:
        """Find a plan that waits.

        Raises:
            PlanError: it waits no longer.
        """
        found = self._waiting.get(key)
        if found is None:
            raise PlanError("these offers are no longer kept", mend="Open the plan again.")
        return found

    def take(self, key: str, do: str) -> str:
        """Lay a plan mended as one of its offers has it; in its own file too, where it has one.

        Returns:
            The address of what lies on the table then.

        Raises:
            ClosureError: there is no such offer, or the plan cannot be placed.
        """
        unlaid = self.find(key)
        number = do.removeprefix("repair ")
        if not (number.isdecimal() and len(number) < 3 and int(number) < len(unlaid.offers)):
            raise PlanError("this offer is no longer here", mend="Open the plan again.")
        return unlaid.resume(unlaid.offers[int(number)][1].encode())


def _is_unmet(plan: str, laid: Laid) -> bool:
    try:
        check_plan(read_plan(laid.text, plan, names_known(laid.beside)), laid.beside)
    except NoSpacing:
        return True
    return False


def with_offers(told: Refusal, error: ClosureError) -> Refusal:
    """Add the ways to mend a plan that waits."""
    if not isinstance(error, Offered):
        return told
    return replace(told, offers=error.unlaid.offers, kept_as=error.key)
