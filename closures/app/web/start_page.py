"""The first page: what can be begun, what is open, and what was worked on before."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from closures import shipped
from closures.app.web import assets
from closures.app.web.beginnings import beginnings
from closures.app.web.memory import read_title
from closures.app.web.sent import read_form
from closures.app.web.telling import fields_by_name, sizes_by_kind
from closures.catalogue.loading import load_catalogue

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.web.bench import Refusal

_SHOWN = 12
"""So many that were worked on before are shown at once; the others lie behind a heading."""


def start_page(page: Page, trouble: Refusal | None = None, status: int = 200) -> Response:
    """Show the first page, with what went wrong where something did."""
    plans = {name: shipped.first_words(folder) for name, folder in shipped.starting_plans().items()}
    remembered = () if page.table.memory is None else page.table.memory.listed()
    kept = () if page.table.memory is None else page.table.memory.sets()
    rows = [(one, _day(one.changed)) for one in remembered]
    html = assets.render(
        "start.html",
        plans=plans,
        garments={name: shipped.first_words(folder) for name, folder in shipped.starting_garments().items()},
        hung=[(name, read_title(told), _day(changed)) for name, changed, told in kept],
        beginnings=beginnings().values(),
        opened=[row for row in rows if page.table.is_open(row[0].name)],
        earlier=[row for row in rows if not page.table.is_open(row[0].name)],
        most=_SHOWN,
        refusal=trouble,
        values={} if trouble is None or trouble.typed is None else trouble.typed,
        wrong={} if trouble is None else trouble.beside,
        fields=fields_by_name(),
        kinds=sizes_by_kind(load_catalogue()),
    )
    return HTMLResponse(html, status)


def _day(seconds: float) -> str:
    return time.strftime("%d %B %Y, %H:%M", time.localtime(seconds))


def start_routes(page: Page) -> list[Route]:
    """The addresses of the first page."""

    async def start(request: Request) -> Response:
        return await page.hands.by_hand(lambda: start_page(page))

    async def forget(request: Request) -> Response:
        typed, _ = await read_form(request)
        await page.hands.by_hand(lambda: page.table.forget(typed.get("name", "")))
        return RedirectResponse("/#h-work", 303)

    return [Route("/", start), Route("/forget", forget, methods=["POST"])]
