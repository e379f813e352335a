"""The pages of the beginnings: three questions with pictures, and what becomes of the answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from closures.app.web import assets
from closures.app.web.beginnings import Beginning, answered, beginnings, closure_picture, plan_begun
from closures.app.web.drawing_page import lay_drawing
from closures.app.web.drawings import PLAN_NAME
from closures.app.web.first_forms import not_yet
from closures.app.web.sent import read_form
from closures.app.web.suited import refuse_unsuited
from closures.app.web.telling import fields_by_name, sizes_by_kind
from closures.app.web.told_length import TOLD, length_told
from closures.app.web.unlaid import with_offers
from closures.catalogue.loading import load_catalogue
from closures.errors import ClosureError, PlanError, Where

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.web.bench import Refusal


def begin_routes(page: Page) -> list[Route]:
    """The addresses of the beginnings of a page."""

    async def begin(request: Request) -> Response:
        one = beginnings().get(request.path_params["name"])
        if one is None:
            raise HTTPException(404)
        if request.method == "GET":
            return _shown(one, one.begins_with)
        typed, handed = await read_form(request)
        return await _answered(page, one, typed, handed)

    return [Route("/begin/{name}", begin, methods=["GET", "POST"])]


async def _answered(page: Page, one: Beginning, typed: Mapping[str, str], handed: list[tuple[str, bytes]]) -> Response:
    try:
        if handed and one.drawing:
            return RedirectResponse(await _to_drawing(page, one, typed, handed[0]), 303)
        laid = await page.hands.by_hand(lambda: _lay(page, one, typed))
        return RedirectResponse(laid, 303)
    except ClosureError as error:
        shape = "arc" if "edge.arc.length" in one.ask else "straight"
        told = with_offers(_as_asked(one, not_yet(error, {**typed, "shape": shape})), error)
        return _shown(one, {**one.begins_with, **typed}, told)


def _lay(page: Page, one: Beginning, typed: Mapping[str, str]) -> str:
    text = plan_begun(one, typed)
    refuse_unsuited(one, text)
    return page.hall.lay(text.encode(), PLAN_NAME, {})


async def _to_drawing(page: Page, one: Beginning, typed: Mapping[str, str], handed: tuple[str, bytes]) -> str:
    """Put a drawing on the table, and carry what was answered to where its edge is chosen."""
    told = answered(one, typed)
    if told.get("spacing.pitch") and told.get("spacing.count"):
        # A plan that is read asks which of the two is meant; the drawing has none yet.
        both = "exactly one of pitch, count is needed, and there are pitch and count"
        raise PlanError(both, where=Where(section="spacing"), mend="Keep one of them.")
    # How the edge is drawn is its drawing's to tell; the line that is chosen there is held against the length.
    carried = {field: text for field, text in told.items() if not field.startswith("edge.")}
    carried["units"] = carried.pop(".units")
    carried |= {TOLD: length} if (length := length_told(told)) else {}
    if carried.get("spacing.count"):
        carried["spacing.by"] = "count"
    return f"/drawing/{await page.hands.by_hand(lambda: lay_drawing(page, handed))}?{urlencode(carried)}"


def _as_asked(one: Beginning, refusal: Refusal) -> Refusal:
    """Tell of a field that is made of an answer beside what was asked."""
    asked = {name: tuple(re.findall(r"\{(\w+)\}", made)) for name, made in one.made.items()}
    words = {of: why for name, why in refusal.words.items() for of in asked.get(name, (name,))}
    places = tuple(of for name in refusal.places for of in asked.get(name, (name,)))
    return replace(refusal, words=words, places=places)


def _shown(one: Beginning, values: Mapping[str, str], refusal: Refusal | None = None) -> Response:
    catalogue = load_catalogue()
    told: dict[str, Any] = {
        "one": one,
        "refusal": refusal,
        "values": values,
        "wrong": {} if refusal is None else refusal.beside,
        "fields": fields_by_name(),
        "kinds": sizes_by_kind(catalogue),
        "faces": [(kind, size, closure_picture(catalogue, kind, size)) for kind, size in one.closures],
        "catalogue": catalogue,
    }
    return HTMLResponse(assets.render("begin.html", **told), 200 if refusal is None else 422)
