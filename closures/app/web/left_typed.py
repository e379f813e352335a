"""What stands typed in a window and was not asked for: the window tells it, and no other prints as if it were not."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from closures.app.web import assets
from closures.app.web.bench import Left
from closures.app.web.held import left_in
from closures.app.web.sent import read_form
from closures.app.web.wording import in_sentences
from closures.errors import ClosureError

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.web.bench import Bench
    from closures.app.web.table import Table

_MOST_WINDOWS, _MOST_SAID, _MOST_LETTERS = 12, 12, 240


def note(table: Table, name: str, window: str, told: str) -> Bench:
    """Note what stands typed in a window of a plan, in place of what was noted of it before.

    Args:
        table: where the plan lies.
        name: the plan's.
        window: names the window.
        told: a list of sentences as JSON; an empty one where nothing stands typed.

    Raises:
        PlanError: the plan is not open.
    """
    bench = table.find(name)
    said = _said(told)
    if not window or said is None:
        return bench
    one = Left(window[:40], said)
    left = (*(each for each in bench.left if each.window != one.window), *((one,) if said else ()))[-_MOST_WINDOWS:]
    return bench if left == bench.left else table.keep(replace(bench, left=left))


def _said(told: str) -> tuple[str, ...] | None:
    try:
        read = json.loads(told)
    except ValueError:
        return None
    return tuple(str(one)[:_MOST_LETTERS] for one in read[:_MOST_SAID]) if isinstance(read, list) else None


def left_html(bench: Bench, window: str = "") -> str:
    """Show what stands typed in windows of a plan, but in one, with a way to leave it out."""
    return assets.render("left.html", bench=bench, left=left_in(bench, window))


def left_routes(page: Page) -> list[Route]:
    """The address at which a window tells what stands typed in it, and at which a hand leaves that out."""

    async def left(request: Request) -> Response:
        name = request.path_params["name"]
        typed, _ = await read_form(request)
        is_dropped = typed.get("do") == "leave out"
        window, told = typed.get("window", ""), "[]" if is_dropped else typed.get("left", "")
        try:
            bench = await page.hands.by_hand(lambda: note(page.table, name, window, told), name)
        except ClosureError as error:
            return JSONResponse({"message": in_sentences(error)}, 404)
        if not is_dropped:
            return JSONResponse({"left_html": left_html(bench, window)})
        is_garment = typed.get("to") == "garment" and bench.garment
        return RedirectResponse(f"/garment/{bench.garment}" if is_garment else f"/plan/{name}", 303)

    return [Route("/plan/{name}/left", left, methods=["POST"])]
