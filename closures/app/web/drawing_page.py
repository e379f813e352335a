"""The pages of a drawing that was handed in: its edge is chosen among its lines, or followed on a picture of it."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from closures.app.web import assets
from closures.app.web.drawings import MOST_LINES, PLAN_NAME, corners_of, draw_lines, is_on_pages, listed, plan_text
from closures.app.web.first_forms import not_yet
from closures.app.web.sent import read_form
from closures.app.web.start_page import start_page
from closures.app.web.table import refusal
from closures.app.web.telling import fields_by_name, sizes_by_kind
from closures.app.web.told_length import refuse_other_length
from closures.app.web.unlaid import with_offers
from closures.catalogue.loading import load_catalogue
from closures.edges.opening import kind_of
from closures.errors import ClosureError, DrawingError, PlanError

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.web.bench import Refusal

_SHOWN = ((b"\x89PNG", "image/png"), (b"\xff\xd8\xff", "image/jpeg"))
"""How pictures begin that every browser shows, and what they are called there."""


def lay_drawing(page: Page, handed: tuple[str, bytes]) -> str:
    """Look at a drawing that was handed in, and put it on the table.

    Returns:
        Where it lies.

    Raises:
        ClosureError: it cannot be read, or not within the limits.
    """
    name, data = handed
    if kind_of(data, name) != "picture":
        page.reader.look_at_drawing(data, name)
        listed(data, name)
    elif _shown_as(data) is None:
        raise DrawingError(
            "this is a picture of a kind that not every browser shows", where=name, mend="Save it as PNG or JPEG."
        )
    key = secrets.token_urlsafe(18)
    page.drawings.put(key, (name, data), len(data))
    return key


def _shown_as(data: bytes) -> str | None:
    return next((kind for begins, kind in _SHOWN if data.startswith(begins)), None)


def drawing_routes(page: Page) -> list[Route]:
    """The addresses of a drawing that was handed in."""

    async def handed_in(request: Request) -> Response:
        _, handed = await read_form(request)

        def look() -> str:
            if not handed:
                raise PlanError("no drawing was chosen", mend="Choose an SVG, DXF or PDF file, or a picture.")
            return lay_drawing(page, handed[0])

        try:
            key = await page.hands.by_hand(look)
        except ClosureError as error:
            return start_page(page, refusal(error), 422)
        return RedirectResponse(f"/drawing/{key}", 303)

    async def drawing(request: Request) -> Response:
        found = page.drawings.get(request.path_params["name"])
        if found is None:
            trouble = PlanError("this drawing is no longer on the table", mend="Open it again.")
            return start_page(page, refusal(trouble), 404)
        name, data = found
        # What was answered before the drawing was handed in comes with the address.
        typed: Mapping[str, str] = {key: told for key, told in request.query_params.items() if len(told) < 500}
        trouble_told: Refusal | None = None
        if request.method == "POST":
            sent, _ = await read_form(request)
            typed = {**typed, **sent}
            made = typed

            def lay() -> str:
                text = plan_text(name, made).encode()
                page.reader.look_at_plan(text, PLAN_NAME, {name: data})
                refuse_other_length(text, PLAN_NAME, {name: data}, made)
                return page.hall.lay(text, PLAN_NAME, {name: data})

            try:
                return RedirectResponse(await page.hands.by_hand(lay), 303)
            except ClosureError as error:
                trouble_told = with_offers(not_yet(error, typed), error)
        told = await page.hands.by_hand(lambda: _told(name, data, typed))
        html = assets.render(
            "drawing.html" if "listing" in told else "traced.html",
            name=name,
            key=request.path_params["name"],
            refusal=trouble_told,
            values=typed,
            wrong={} if trouble_told is None else trouble_told.beside,
            fields=fields_by_name(),
            kinds=sizes_by_kind(load_catalogue()),
            **told,
        )
        return HTMLResponse(html, 200 if trouble_told is None else 422)

    async def picture(request: Request) -> Response:
        found = page.drawings.get(request.path_params["name"])
        kind = None if found is None else _shown_as(found[1])
        if found is None or kind is None:
            raise HTTPException(404)
        return Response(found[1], media_type=kind)

    return [
        Route("/open/drawing", handed_in, methods=["POST"]),
        Route("/drawing/{name}", drawing, methods=["GET", "POST"]),
        Route("/drawing/{name}/picture", picture),
    ]


def _told(name: str, data: bytes, typed: Mapping[str, str]) -> dict[str, Any]:
    """What the page of a drawing shows of its lines; nothing of a picture, which the browser shows itself."""
    if kind_of(data, name) == "picture":
        return {}
    listing = listed(data, name)
    return {
        "lines": listing.candidates[:MOST_LINES],
        "corners": [corners_of(line) for line in listing.candidates[:MOST_LINES]],
        "on_pages": is_on_pages(listing),
        "needs_scale": not listing.has_size or name.lower().endswith(".pdf"),
        "is_closed": any(line.path == typed.get("edge.path") and not line.is_open for line in listing.candidates),
        "listing": listing,
        "picture": draw_lines(listing),
    }
