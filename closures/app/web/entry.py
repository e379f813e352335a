"""Who may come in: another user of this machine reaches the same address, and is told from its own by a secret.

The address that is printed carries the secret, lasting as long as the page runs. A browser is opened with a ticket in
place of it, that is good once: what a program is started with can be read by every user of the machine. Either is
handed in at the door for a cookie, which only this browser holds and sends with no request that another site began.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlencode

from closures.frozen import frozen

SECRET, TICKET = "key", "once"

LOCKED = (
    "This page belongs to whoever started it. Open it by the whole address that closures serve printed, with what "
    "stands after the question mark, in this browser once."
)
USED = (
    "This address was good once, and has been used. Open the page by the address that closures serve printed. If you "
    "did not use it yourself, stop the page with Ctrl+C: another user of this machine did."
)


@frozen
class Entered:
    """An address that let somebody in.

    Attributes:
        to: where they wanted to go, without the secret.
        cookie: what their browser is to keep.
    """

    to: str
    cookie: str


@dataclass(slots=True)
class Door:
    """Knows the secret of one run of the page.

    Attributes:
        port: the port, after which the cookie is named: a browser sends a cookie to every port of a machine.
    """

    port: int
    _secret: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    _tickets: set[str] = field(default_factory=set)

    def address(self, home: str, path: str) -> str:
        """Give the address that lets in for as long as the page runs."""
        return f"{home}{path}?{urlencode({SECRET: self._secret})}"

    def address_once(self, home: str, path: str) -> str:
        """Give an address that lets in one time."""
        ticket = secrets.token_urlsafe(24)
        self._tickets.add(ticket)
        return f"{home}{path}?{urlencode({TICKET: ticket})}"

    def knows(self, cookies: str) -> bool:
        """Whether a browser was let in before."""
        try:
            held = SimpleCookie(cookies).get(self._cookie)
        except CookieError:
            return False
        return held is not None and _is_same(held.value, self._secret)

    def enter(self, path: str, query: str) -> Entered | str | None:
        """Let somebody in by what their address carries.

        Returns:
            Where to and with which cookie; why not; or None where the address carries nothing.
        """
        carried = parse_qsl(query, keep_blank_values=True)
        told = dict(carried)
        if SECRET not in told and TICKET not in told:
            return None
        if TICKET in told:
            found = next((one for one in self._tickets if _is_same(one, told[TICKET])), None)
            if found is None:
                return USED
            self._tickets.discard(found)
        elif not _is_same(told[SECRET], self._secret):
            return LOCKED
        rest = urlencode([(name, value) for name, value in carried if name not in (SECRET, TICKET)])
        # Two slashes in front would lead to another machine.
        to = "/" + path.lstrip("/") + (f"?{rest}" if rest else "")
        return Entered(to, f"{self._cookie}={self._secret}; Path=/; HttpOnly; SameSite=Strict")

    @property
    def _cookie(self) -> str:
        return f"closures-{self.port}"


def _is_same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode(), other.encode())
