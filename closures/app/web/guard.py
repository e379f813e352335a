"""What stands before the page: it answers its own name only, and its own user, and refuses what comes from elsewhere.

A page in the same browser can send requests here, and a name that is made to lead to this machine can
read the answers (DNS rebinding). Both are told by the headers that a browser sets itself and no page can
change: Host, Origin and Sec-Fetch-Site.
"""

from __future__ import annotations

import asyncio
import html
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from closures.app.web.entry import LOCKED, Door, Entered
from closures.files import LARGEST_DRAWING_BYTES

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_UPLOAD_BYTES = LARGEST_DRAWING_BYTES
# Names and borders of a form with a file in it.
_FORM_BYTES = 64_000
# An answer before the whole of a large upload was heard would reach no browser; more than this is cut off.
_MOST_HEARD_BYTES = 10 * LARGEST_UPLOAD_BYTES

_IDLE_SECONDS = 20.0
"""How long a body may pause; a browser on this machine sends on at once."""
_WHOLE_SECONDS = 120.0
_MOST_IN_FLIGHT_BYTES = 8 * LARGEST_UPLOAD_BYTES
"""Of all bodies that are heard or worked on at a time."""
TOO_SLOW = "What was sent did not come to its end in time. Send it again."
TOO_MUCH = "Too much is being sent at a time. Send it again in a moment."

TOO_LARGE = (
    f"This is larger than {LARGEST_UPLOAD_BYTES // 1_000_000} MB, the most that is read. "
    "Take out what the closure does not need."
)

HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    # Not "no-referrer": then a browser hides the origin of the page's own forms, and they would be refused.
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
    "cache-control": "no-store",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}
"""What goes with every answer: nothing from elsewhere is loaded, run, framed or kept."""

_READS = ("GET", "HEAD")


class Guard:
    """Lets a request through to the page, or refuses it with a sentence.

    Args:
        app: the page.
        port: the port that it answers on.
        rest: stops all work behind the page.
        door: lets in who knows the secret; without one, whoever is on this machine.
    """

    def __init__(self, app: App, port: int, rest: Callable[[], None] = lambda: None, door: Door | None = None) -> None:
        self.app = app
        self.rest = rest
        self.door = door
        self.in_flight = 0
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers = {key.decode("latin-1").lower(): value.decode("latin-1") for key, value in scope["headers"]}
        told = self._refusal(scope["method"], headers)
        if told is not None:
            await _answer(send, *told)
            return
        if self.door is not None and not await self._is_let_in(self.door, scope, headers, send):
            return
        await self._taken(scope, receive, send)

    async def _is_let_in(self, door: Door, scope: Scope, headers: dict[str, str], send: Send) -> bool:
        """Whether a request comes from who started the page; who does not is answered here."""
        entered = None
        if scope["method"] in _READS:
            entered = door.enter(scope["path"], scope["query_string"].decode("latin-1"))
        if isinstance(entered, Entered):
            # A page that goes on by itself, and no redirect: after one, a cookie that is kept from other sites is not
            # sent where another program opened the address.
            text = _GO_ON.format(to=html.escape(entered.to))
            await _answer(send, 200, text, "text/html", [(b"set-cookie", entered.cookie.encode())])
            return False
        if door.knows(headers.get("cookie", "")):
            return True
        await _answer(send, 403, entered or LOCKED)
        return False

    async def _taken(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hear a body and hand the request on; what it takes is counted until it is answered."""
        mine = 0

        def count(size: int) -> bool:
            nonlocal mine
            mine += size
            self.in_flight += size
            return self.in_flight <= _MOST_IN_FLIGHT_BYTES

        try:
            try:
                async with asyncio.timeout(_WHOLE_SECONDS):
                    body = await _hear(receive, count)
            except TimeoutError:
                await _answer(send, 408, TOO_SLOW)
                return
            except _TooMuchError:
                await _answer(send, 503, TOO_MUCH)
                return
            if body is None:
                await _answer(send, 413, TOO_LARGE)
                return
            await self.app(scope, _replayed(body), _with_headers(send))
        finally:
            self.in_flight -= mine

    def _refusal(self, method: str, headers: dict[str, str]) -> tuple[int, str] | None:
        if headers.get("host", "").lower() not in self.hosts:
            return 421, "This page answers at 127.0.0.1 only."
        if method in _READS:
            # A link from elsewhere may lead to the first page; nothing else is for other pages to ask.
            if headers.get("sec-fetch-site") == "cross-site" and headers.get("sec-fetch-mode") != "navigate":
                return 403, "Another page asked for this. Only the page itself may."
            return None
        if method != "POST":
            return 405, "This page reads and takes forms, and nothing else."
        if headers.get("origin", "").lower() not in {f"http://{host}" for host in self.hosts}:
            return 403, "This was not sent by the page itself, and was not taken."
        if headers.get("sec-fetch-site", "same-origin") != "same-origin":
            return 403, "This was sent by another page, and was not taken."
        return None


class _TooMuchError(Exception):
    """More is in flight than may be."""


async def _hear(receive: Receive, count: Callable[[int], bool]) -> bytes | None:
    """Hear a request's body out; None where it is too large. What is kept of it is counted."""
    parts: list[bytes] = []
    heard = 0
    while True:
        async with asyncio.timeout(_IDLE_SECONDS):
            message = await receive()
        if message["type"] != "http.request":
            return None
        part = message.get("body", b"")
        heard += len(part)
        if heard <= LARGEST_UPLOAD_BYTES + _FORM_BYTES:
            if not count(len(part)):
                raise _TooMuchError
            parts.append(part)
        else:
            parts.clear()
        if heard > _MOST_HEARD_BYTES:
            return None
        if not message.get("more_body", False):
            return b"".join(parts) if heard <= LARGEST_UPLOAD_BYTES + _FORM_BYTES else None


def _replayed(body: bytes) -> Receive:
    told = False

    async def receive() -> Message:
        nonlocal told
        if told:
            return {"type": "http.disconnect"}
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receive


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", ()), *_encoded()]
        await send(message)

    return sending


def _encoded() -> list[tuple[bytes, bytes]]:
    return [(key.encode(), value.encode()) for key, value in HEADERS.items()]


_GO_ON = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Closures</title>'
    '<link rel="icon" href="/page/sign.svg">'
    '<meta http-equiv="refresh" content="0; url={to}"></head>'
    '<body><main><h1>Closures</h1><p><a href="{to}">Go on to the page</a></p></main></body></html>'
)


async def _answer(
    send: Send, status: int, text: str, kind: str = "text/plain", more: list[tuple[bytes, bytes]] | None = None
) -> None:
    body = f"{text}\n".encode()
    headers = [
        (b"content-type", f"{kind}; charset=utf-8".encode()),
        *(more or ()),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
        *_encoded(),
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
