"""The page's addresses: what is asked at each, and what is answered."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from closures import shipped
from closures.app.web import assets
from closures.app.web.answers import as_file, message, redraw_parts, refused_request, whole_page, zipped
from closures.app.web.at_home import aside
from closures.app.web.begin_page import begin_routes
from closures.app.web.bench import Refusal
from closures.app.web.drawing_page import drawing_routes
from closures.app.web.drawings import PLAN_NAME, plan_text
from closures.app.web.files_first import Reader
from closures.app.web.first_forms import a_garment, as_plans, not_yet, refuse_other, refuse_without_plan, the_plan
from closures.app.web.garment_page import garment_routes, hang_handed_in
from closures.app.web.garments import Rack
from closures.app.web.guard import Guard
from closures.app.web.hands import Hands
from closures.app.web.held import hold_back
from closures.app.web.kept import Kept
from closures.app.web.laid_tape import laid_tape_route
from closures.app.web.left_typed import left_html, left_routes, note
from closures.app.web.looked_at import looked_at
from closures.app.web.placed import answer_of, results_of
from closures.app.web.printed_pages import is_told, sheet_routes, wish_of
from closures.app.web.reading_page import page_of
from closures.app.web.sent import by_name, read_form
from closures.app.web.size_grid import size_grid_route
from closures.app.web.start_page import start_page, start_routes
from closures.app.web.table import MOST_KEPT_BYTES, Hand, Table, files_beside, refusal
from closures.app.web.tape import tape_route
from closures.app.web.telling import keeping
from closures.app.web.unlaid import Hall, Offered, with_offers
from closures.app.web.wording import in_sentences, of_a_plan
from closures.errors import ClosureError, PlanError
from closures.files import with_lines

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.requests import Request

    from closures.app.web.bench import Bench
    from closures.app.web.entry import Door
    from closures.app.web.garments import Laid
    from closures.app.web.memory import Memory
    from closures.plan.top import Units

Answered = TypeVar("Answered")

# One for all pages of this process: it is kept warm.
_READER = Reader()

# Drawings that were handed in and whose edge is not chosen yet.
_MOST_DRAWINGS = 8


def _is_plan(name: str) -> bool:
    return name.lower().endswith(".toml")


class Page:
    """The page: its open plans, and an answer for every address."""

    def __init__(self, memory: Memory | None = None) -> None:
        self.table = Table(memory)
        self.rack = Rack(self.table)
        self.hall = Hall(self.table, self.rack)
        self.drawings: Kept[tuple[str, bytes]] = Kept(MOST_KEPT_BYTES, _MOST_DRAWINGS)
        self.hands = Hands()
        self.reader = _READER

    def routes(self) -> list[Route]:
        """Every address."""
        return [
            *start_routes(self),
            Route("/page/{name}", self.asset),
            *begin_routes(self),
            *drawing_routes(self),
            *sheet_routes(self),
            *garment_routes(self),
            *left_routes(self),
            tape_route(),
            laid_tape_route(self),
            size_grid_route(self),
            Route("/open/plan", self.open_plan, methods=["POST"]),
            Route("/open/starting-plan", self.open_starting_plan, methods=["POST"]),
            Route("/open/numbers", self.open_numbers, methods=["POST"]),
            Route("/open/mended/{name}", self.open_mended, methods=["GET", "POST"]),
            Route("/plan/{name}", self.plan),
            Route("/plan/{name}/change", self.change, methods=["POST"]),
            Route("/plan/{name}/turn", self.turn),
            Route("/plan/{name}/report", self.report),
            Route("/plan/{name}/print-check", self.print_check, methods=["POST"]),
            Route("/plan/{name}/files/{file:path}", self.file),
        ]

    def _start_page(self, trouble: Refusal | None = None, status: int = 200) -> Response:
        return start_page(self, trouble, status)

    async def asset(self, request: Request) -> Response:
        found = assets.static(request.path_params["name"])
        if found is None:
            raise HTTPException(404)
        data, kind = found
        return Response(data, media_type=kind)

    async def open_plan(self, request: Request) -> Response:
        typed, handed = await read_form(request)
        handed = [(name, with_lines(data) if _is_plan(name) else data) for name, data in as_plans(handed)]
        plans = [(name, data) for name, data in handed if _is_plan(name)]

        def lay() -> str:
            files, garment = by_name(handed), a_garment(plans)
            if garment is not None:
                return hang_handed_in(self, garment, files)
            if not plans:
                refuse_without_plan(handed)
            name, data = the_plan(plans)
            refuse_other(name, data)
            beside = {one: held for one, held in files.items() if one != name}
            return self.hall.lay_handed(data, name, beside, self.reader)

        return await self._opened(lay, typed, partial(refusal, as_text=True))

    async def open_starting_plan(self, request: Request) -> Response:
        typed, _ = await read_form(request)

        def lay() -> str:
            folder = shipped.starting_plans().get(typed.get("name", ""))
            if folder is None:
                raise PlanError("there is no such starting plan", mend="Choose one from the list.")
            return self.hall.lay(*files_beside(folder / PLAN_NAME))

        return await self._opened(lay, typed)

    async def open_numbers(self, request: Request) -> Response:
        typed, _ = await read_form(request)

        def lay() -> str:
            return self.hall.lay(plan_text(None, typed).encode(), PLAN_NAME, {})

        return await self._opened(lay, typed, not_yet)

    async def open_mended(self, request: Request) -> Response:
        """Show the ways to mend a plan that could not be laid, or take one of them."""
        key = request.path_params["name"]
        if request.method == "POST":
            typed, _ = await read_form(request)
            return await self._opened(lambda: self.hall.take(key, typed.get("do", "")), {})
        try:
            unlaid = self.hall.find(key)
        except ClosureError as error:
            return self._start_page(refusal(error), 404)
        why = f"{unlaid.title}: {of_a_plan(unlaid.why, 'spacing')}."
        return self._start_page(Refusal((why,), offers=unlaid.offers, kept_as=key))

    async def _opened(
        self,
        lay: Callable[[], str],
        typed: Mapping[str, str],
        tell: Callable[[ClosureError, Mapping[str, str]], Refusal] = refusal,
    ) -> Response:
        try:
            return RedirectResponse(await self._by_hand(lay), 303)
        except ClosureError as error:
            return self._start_page(with_offers(tell(error, typed), error), 422)

    async def plan(self, request: Request) -> Response:
        name = request.path_params["name"]
        try:
            html = await self._by_hand(lambda: self._plan_html(name), name)
        except ClosureError as error:
            return self._start_page(refusal(error), 404)
        return HTMLResponse(html)

    def _plan_html(self, name: str) -> str:
        bench = self.table.find(name)
        return whole_page(bench, carried=self.rack.carried(bench))

    async def change(self, request: Request) -> Response:
        name = request.path_params["name"]
        typed, _ = await read_form(request)
        if not typed:
            raise HTTPException(400)  # cut off on its way: every form of a plan sends something
        do = typed.pop("do", "") or "redraw"
        turn = _turn(typed.pop("at", "") or request.query_params.get("at", ""))
        mine = frozenset(typed.pop("mine").split()) if "mine" in typed else None
        gesture, rows = typed.pop("gesture", "")[:40], _rows(typed.pop("rows", ""))
        seq = typed.pop("seq", "")[:20]
        units, stands = _units(typed.pop("shown", "")), _stands(typed.pop("stands", ""))
        begun = typed.pop("begun").replace("\r\n", "\n") if "begun" in typed else None
        window, left, to = typed.pop("window", ""), typed.pop("left", ""), typed.pop("to", "")
        hand = Hand(do, typed, gesture, turn, mine, rows, units, stands, begun)
        wants_parts = "application/json" in request.headers.get("accept", "")

        def make() -> tuple[Bench, dict[str, Any]]:
            bench = self.table.change(name, hand)
            if bench.refusal is None or not bench.refusal.is_elsewhere:
                bench = note(self.table, name, window, left)
            parts = redraw_parts(bench, hand, seq) if wants_parts else {}
            return bench, parts | {"left_html": left_html(bench, window)}

        try:
            bench, parts = await self._by_hand(make, name)
        except ClosureError as error:
            if wants_parts:
                return JSONResponse({"ok": False, "seq": seq, "message": in_sentences(error)}, 404)
            return self._start_page(refusal(error), 404)
        if wants_parts:
            return JSONResponse(parts)
        if bench.refusal is None:
            is_garment = to == "garment" and bench.garment
            return RedirectResponse(f"/garment/{bench.garment}" if is_garment else f"/plan/{name}#worn", 303)
        return HTMLResponse(await self._by_hand(lambda: whole_page(bench), name), 422)

    async def turn(self, request: Request) -> Response:
        """Tell how many changes were asked for so far, and of the plan's file: a window compares what it shows."""
        try:
            name = request.path_params["name"]
            bench = self.table.find(name)
            return JSONResponse({"turn": bench.turn, "kept": keeping(bench), "aside": aside(bench)})
        except ClosureError as error:
            return JSONResponse({"message": in_sentences(error)}, 404)

    async def report(self, request: Request) -> Response:
        name = request.path_params["name"]

        try:
            bench = await self._by_hand(lambda: self.table.find(name))
        except ClosureError as error:
            return self._start_page(refusal(error), 404)

        def make() -> str:
            hold_back(bench, None, is_told=is_told(request.query_params))
            return assets.render("report.html", bench=bench, page=page_of(results_of(bench)["report.md"].decode()))

        try:
            return HTMLResponse(await self._at_printer(make))
        except ClosureError as error:
            return message(422, in_sentences(error), (f"/plan/{name}", "this plan, as it is now"))

    async def print_check(self, request: Request) -> Response:
        from closures.app.web.print_judged import judged

        name = request.path_params["name"]
        typed, _ = await read_form(request)

        def judge() -> dict[str, Any]:
            return judged(typed, answer_of(self.table.find(name)).placement.plan.units)

        try:
            verdict = await self._by_hand(judge, name)
            if "application/json" in request.headers.get("accept", ""):
                return JSONResponse(verdict)
            html = await self._by_hand(lambda: whole_page(self.table.find(name), verdict=verdict, checked=typed), name)
            return HTMLResponse(html)
        except ClosureError as error:
            return self._start_page(refusal(error), 404)

    async def file(self, request: Request) -> Response:
        name, wanted, query = request.path_params["name"], request.path_params["file"], request.query_params

        def make() -> bytes | None:
            bench = self.table.find(name)
            wish = wish_of(query)
            if not query.get("look"):
                shown, window = _turn(query.get("at", "")), query.get("window", "")
                hold_back(bench, shown, wanted, window, is_told=is_told(query))
            if wanted == "plan.toml":
                # It is saved also where its sheets are too large for the paper.
                return bench.step.text.encode()
            picture = looked_at(wanted, bench)
            if picture is not None:
                return picture
            made = results_of(bench, wish)
            return zipped(made, bench) if wanted == "all.zip" else made.get(wanted)

        try:
            # The plan is text: it waits for no sheet that is being drawn.
            data = await (self._by_hand(make) if wanted == "plan.toml" else self._at_printer(make))
        except ClosureError as error:
            return message(422, in_sentences(error), (f"/plan/{name}", "this plan, as it is now"))
        if data is None:
            raise HTTPException(404)

        inline = bool(query.get("look"))
        return await self._by_hand(lambda: as_file(self.table.find(name), wanted, data, inline=inline))

    async def _by_hand(self, work: Callable[[], Answered], plan: str = "") -> Answered:
        return await self.hands.by_hand(work, plan)

    async def _at_printer(self, work: Callable[[], Answered]) -> Answered:
        return await self.hands.at_printer(work)

    def rest(self) -> None:
        """Stop all work: the page is closed."""
        self.hands.rest()
        self.reader.rest()


def _turn(told: str) -> int | None:
    return int(told) if told.isdecimal() and len(told) < 10 else None


def _units(told: str) -> Units | None:
    return "in" if told == "in" else "mm" if told == "mm" else None


def _stands(told: str) -> dict[str, str]:
    """Read what stands typed on a page beside what it asks for: field name to text."""
    try:
        read = json.loads(told or "{}")
    except ValueError:
        return {}
    return {str(name): str(text) for name, text in read.items()} if isinstance(read, dict) else {}


def _rows(told: str) -> dict[str, int]:
    """Read how many rows a form has, such as ``anchor.1,clear.1``."""
    pairs = (one.strip().partition(".") for one in told[:400].split(","))
    return {section: int(many) for section, _, many in pairs if section and many.isdecimal() and len(many) <= 6}


def make_app(
    port: int,
    open_first: tuple[bytes, str, Mapping[str, bytes]] | None = None,
    home: Path | None = None,
    door: Door | None = None,
    memory: Memory | None = None,
    garment: tuple[bytes, str, Mapping[str, Laid]] | None = None,
) -> tuple[Guard, str]:
    """Make the page.

    Args:
        port: the port that it answers on.
        open_first: a plan to lay on the table: its bytes, its name, and the files that it names.
        home: that plan's own file, where every change is to be kept in it.
        door: lets in who knows the secret; without one, whoever is on this machine.
        memory: what is remembered from run to run; None for nothing.
        garment: a garment file to lay on the table in place of a plan: its bytes, its name, its plans.

    Returns:
        The page, and the path to begin at.

    Raises:
        ClosureError: the plan cannot be read or placed, and nothing is known that mends it.
    """
    page = Page(memory)
    first = "/"
    try:
        if garment is not None:
            first = page.hall.hang(*garment)
        elif open_first is not None:
            first = page.hall.lay(*open_first, home)
    except Offered as error:
        first = f"/open/mended/{error.key}"
    app = Starlette(
        routes=page.routes(), exception_handlers={HTTPException: refused_request, Exception: refused_request}
    )
    return Guard(app, port, page.rest, door), first
