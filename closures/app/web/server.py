"""The server: on this machine only, until it is stopped."""

from __future__ import annotations

import os
import socket
import threading
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from closures.errors import OutputError
from closures.frozen import frozen

if TYPE_CHECKING:
    from pathlib import Path

    import uvicorn

    from closures.app.web.garments import Laid

DEFAULT_PORT = 8471
HOST = "127.0.0.1"
_END_SECONDS = 3.0
_ENDED_BY_FORCE = 143


@frozen
class Served:
    """A page that is ready to answer.

    Attributes:
        server: run it to answer; it ends when it is interrupted.
        listener: the socket that it answers on.
        address: where a browser finds it, with the secret that lets in.
        address_once: the same, good one time: for a program that is started with it.
        rest: stops all work.
    """

    server: uvicorn.Server
    listener: socket.socket
    address: str
    address_once: str
    rest: Callable[[], None]

    def run(self, *, ends_process: bool = False) -> None:
        """Answer until interrupted, and then end, whatever is still being worked on.

        Args:
            ends_process: the process is there for the page alone, and ends with it.
        """
        try:
            self.server.run(sockets=[self.listener])
        finally:
            self.rest()
            if ends_process:
                # Work that heeds nothing, such as a library deep in its own, would keep it as long as it takes.
                clock = threading.Timer(_END_SECONDS, os._exit, (_ENDED_BY_FORCE,))
                clock.daemon = True
                clock.start()


def listen(
    port: int | None,
    open_first: tuple[bytes, str, Mapping[str, bytes]] | None = None,
    home: Path | None = None,
    remember_in: Path | None = None,
    garment: tuple[bytes, str, Mapping[str, Laid]] | None = None,
) -> Served:
    """Make the page ready to answer on this machine.

    Args:
        port: the port; None for the usual one, or any free one where that is taken.
        open_first, home, garment: as for `make_app`.
        remember_in: the folder of what is remembered from run to run; None to remember nothing.

    Returns:
        The page, listening already.

    Raises:
        OutputError: the port is taken.
        ClosureError: the plan cannot be read or placed.
    """
    import uvicorn

    from closures.app.bounds import give_memory_back
    from closures.app.web.app import make_app
    from closures.app.web.entry import Door
    from closures.app.web.memory import Memory

    give_memory_back()
    listener = _listener(port)
    taken = int(listener.getsockname()[1])
    door, at = Door(taken), f"http://{HOST}:{taken}"
    try:
        memory = None if remember_in is None else Memory(remember_in)
        app, first = make_app(taken, open_first, home, door, memory, garment)
    except BaseException:
        listener.close()
        raise
    config = uvicorn.Config(
        app,
        log_level="critical",
        access_log=False,
        server_header=False,
        date_header=False,
        proxy_headers=False,
        lifespan="off",
        timeout_graceful_shutdown=2,
    )
    addresses = door.address(at, first), door.address_once(at, first)
    return Served(uvicorn.Server(config), listener, *addresses, app.rest)


_LAST_PORT = 65_535
_LOOKED_AT = 20
"""So many ports after one that is taken are looked at for one that is free."""


def _listener(port: int | None) -> socket.socket:
    for wanted in (DEFAULT_PORT, 0) if port is None else (port,):
        listener = _bound(wanted)
        if listener is not None:
            return listener
    raise _no_port(DEFAULT_PORT if port is None else port)


def _bound(port: int) -> socket.socket | None:
    """Listen on a port; None where it cannot be had."""
    # The protocol is named, since asyncio sends small answers at once only over sockets that name it.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((HOST, port))
        listener.listen(64)
    except (OSError, OverflowError):
        listener.close()
        return None
    return listener


def _no_port(port: int) -> OutputError:
    if not 0 < port <= _LAST_PORT:
        what, begin, other_page = f"there is no port {port}: they go from 1 to {_LAST_PORT}", DEFAULT_PORT, ""
    else:
        other_page = "; or stop the other page, with Ctrl+C in its window"
        what = f"port {port} is taken, as by a page that is still open in another window, or is kept for the system"
        begin = port + 1
    free = ""
    for other in range(begin, min(begin + _LOOKED_AT, _LAST_PORT)):
        listener = _bound(other)
        if listener is not None:
            listener.close()
            free = f"--port {other} is free. "
            break
    mend = f"{free}Or leave --port out, and a free one is taken{other_page}."
    return OutputError(what, where="--port", mend=mend)
