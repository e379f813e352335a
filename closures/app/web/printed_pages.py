"""The sheets of paper before they are printed: how many there are, and a small picture of each."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from closures.app.web import assets
from closures.app.web.answers import PAPERS, message
from closures.app.web.held import hold_back
from closures.app.web.placed import PrintWish, booklet_of
from closures.app.web.wording import in_sentences
from closures.errors import ClosureError, PlanError
from closures.plan.band import face_of_word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.requests import Request

    from closures.app.web.app import Page

_MOST_SHOWN = 60
"""A large garment on small paper has hundreds of sheets; a picture of each helps nobody."""


def wish_of(query: Mapping[str, str]) -> PrintWish:
    """Read what was chosen beside the button that prints.

    Raises:
        PlanError: there is no such choice.
    """
    paper, face = query.get("paper", "a4"), face_of_word(query.get("face", "usual"))
    if paper not in PAPERS or face is None:
        raise PlanError("there is no such paper or face", mend="Choose one from the lists.")
    return PrintWish(paper, face, query.get("only", ""), query.get("large", "") == "yes")


def is_told(query: Mapping[str, str]) -> bool:
    """Whether the page that asks says that the plan's own file holds another plan."""
    return query.get("told", "") == "yes"


def sheet_routes(page: Page) -> list[Route]:
    """The addresses of the sheets before they are printed."""

    async def sheets(request: Request) -> Response:
        name, query = request.path_params["name"], request.query_params

        def make() -> str:
            bench = page.table.find(name)
            wish = wish_of(query)
            try:
                hold_back(bench, _turn(query), window=query.get("window", ""), is_told=is_told(query))
            except PlanError as waits:
                # Hands are quick: that nothing prints just now is an answer, and no failed request.
                return assets.render("sheets_none.html", text=in_sentences(waits))
            booklet = booklet_of(bench, wish)
            asked = urlencode(
                {"paper": wish.paper, "face": wish.face, "only": wish.only, "large": "yes" if wish.large else ""}
                | {"at": bench.turn}
            )
            shown = [(n, one.name, one.shows) for n, one in enumerate(booklet.pages[:_MOST_SHOWN])]
            return assets.render(
                "sheets.html", bench=bench, told=booklet.told, shown=shown, asked=asked, count=len(booklet.pages)
            )

        try:
            return HTMLResponse(await page.hands.at_printer(make))
        except ClosureError as error:
            return HTMLResponse(assets.render("sheets_none.html", text=in_sentences(error)), 422)

    async def sheet(request: Request) -> Response:
        name, n = request.path_params["name"], request.path_params["n"]

        def make() -> bytes | None:
            from closures.drawing.write.svg import write_shapes

            bench = page.table.find(name)
            pages = booklet_of(bench, wish_of(request.query_params)).pages
            if n >= len(pages):
                return None
            one = pages[n]
            told = f"Sheet {one.name}: {one.shows}"
            return write_shapes(told, one.width_mm, one.height_mm, (*one.rules, *one.items), has_live_text=True)

        try:
            drawn = await page.hands.at_printer(make)
        except ClosureError as error:
            return message(422, in_sentences(error), (f"/plan/{name}", "this plan, as it is now"))
        if drawn is None and _turn(request.query_params) != page.table.find(name).turn:
            # A picture of sheets that there are not any more: nothing shows it, and nothing is wrong.
            return Response(status_code=204)
        if drawn is None:
            raise HTTPException(404)
        return Response(drawn, media_type="image/svg+xml")

    return [Route("/plan/{name}/sheets", sheets), Route("/plan/{name}/sheets/{n:int}.svg", sheet)]


def _turn(query: Mapping[str, str]) -> int | None:
    told = query.get("at", "")
    return int(told) if told.isdecimal() and len(told) < 10 else None
