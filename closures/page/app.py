"""The page's addresses: what is asked at each, and what is answered."""

from __future__ import annotations

import asyncio
import io
import secrets
import zipfile
from collections import OrderedDict
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, TypeVar

from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from closures import files
from closures.errors import ClosureError, PlanError
from closures.job import offers_picture
from closures.page import assets
from closures.page.drawings import (
    MOST_LINES,
    PLAN_NAME,
    corners_of,
    draw_lines,
    is_on_pages,
    listed,
    plan_text,
)
from closures.page.fields import read_text, values_of
from closures.page.guard import LARGEST_UPLOAD_BYTES, TOO_LARGE, Guard
from closures.page.reading_page import page_of
from closures.page.table import Hand, Table, answer_of, files_beside, plain_name, refusal, results_of
from closures.page.telling import fields_by_name, form_parts, picture_parts, sizes_by_kind

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.page.bench import Bench, Refusal

Answered = TypeVar("Answered")

# Drawings that were handed in and whose edge is not chosen yet.
_MOST_DRAWINGS = 8
_MOST_FIELDS = 1200
_PAPERS = ("a4", "letter", "a3", "roll")

_TYPES = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "json": "application/json",
    "md": "text/markdown; charset=utf-8",
    "toml": "application/toml; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "png": "image/png",
}


class Page:
    """The page: its open plans, and an answer for every address."""

    def __init__(self) -> None:
        self.table = Table()
        self.drawings: OrderedDict[str, tuple[str, bytes]] = OrderedDict()
        # One worker for each: changes are made in the order in which they came, and a PDF keeps no hand waiting.
        self.hands = ThreadPoolExecutor(1, "hand")
        self.printer = ThreadPoolExecutor(1, "printer")

    def routes(self) -> list[Route]:
        """Every address."""
        return [
            Route("/", self.start),
            Route("/page/{name}", self.asset),
            Route("/open/plan", self.open_plan, methods=["POST"]),
            Route("/open/starting-plan", self.open_starting_plan, methods=["POST"]),
            Route("/open/numbers", self.open_numbers, methods=["POST"]),
            Route("/open/drawing", self.open_drawing, methods=["POST"]),
            Route("/drawing/{name}", self.drawing, methods=["GET", "POST"]),
            Route("/plan/{name}", self.plan),
            Route("/plan/{name}/change", self.change, methods=["POST"]),
            Route("/plan/{name}/report", self.report),
            Route("/plan/{name}/print-check", self.print_check, methods=["POST"]),
            Route("/plan/{name}/files/{file:path}", self.file),
        ]

    async def start(self, request: Request) -> Response:
        return self._start_page()

    def _start_page(self, trouble: Refusal | None = None, status: int = 200) -> Response:
        plans = {name: files.first_words(folder) for name, folder in files.starting_plans().items()}
        from closures.catalogue import load_catalogue

        catalogue = load_catalogue()
        html = assets.render(
            "start.html",
            plans=plans,
            refusal=trouble,
            values={} if trouble is None or trouble.typed is None else trouble.typed,
            wrong=set() if trouble is None else set(trouble.places),
            fields=fields_by_name(),
            kinds=sizes_by_kind(catalogue),
        )
        return HTMLResponse(html, status)

    async def asset(self, request: Request) -> Response:
        found = assets.static(request.path_params["name"])
        if found is None:
            raise HTTPException(404)
        data, kind = found
        return Response(data, media_type=kind)

    async def open_plan(self, request: Request) -> Response:
        typed, handed = await _form(request)
        plans = [(name, data) for name, data in handed if name.endswith(".toml")]

        def lay() -> Bench:
            if not plans:
                raise PlanError("no plan was chosen", mend="Choose a plan file; its name ends in .toml.")
            name, data = plans[0]
            return self.table.lay(data, name, dict(handed))

        return await self._opened(lay, typed)

    async def open_starting_plan(self, request: Request) -> Response:
        typed, _ = await _form(request)

        def lay() -> Bench:
            folder = files.starting_plans().get(typed.get("name", ""))
            if folder is None:
                raise PlanError("there is no such starting plan", mend="Choose one from the list.")
            return self.table.lay(*files_beside(folder / PLAN_NAME))

        return await self._opened(lay, typed)

    async def open_numbers(self, request: Request) -> Response:
        typed, _ = await _form(request)
        return await self._opened(lambda: self.table.lay(plan_text(None, typed).encode(), PLAN_NAME, {}), typed)

    async def open_drawing(self, request: Request) -> Response:
        _, handed = await _form(request)

        def look() -> str:
            if not handed:
                raise PlanError("no drawing was chosen", mend="Choose an SVG, DXF or PDF file.")
            name, data = handed[0]
            listed(data, name)
            key = secrets.token_urlsafe(18)
            self.drawings[key] = (name, data)
            while len(self.drawings) > _MOST_DRAWINGS:
                self.drawings.popitem(last=False)
            return key

        try:
            key = await self._by_hand(look)
        except ClosureError as error:
            return self._start_page(refusal(error), 422)
        return RedirectResponse(f"/drawing/{key}", 303)

    async def drawing(self, request: Request) -> Response:
        key = request.path_params["name"]
        if key not in self.drawings:
            trouble = PlanError("this drawing is no longer on the table", mend="Open it again.")
            return self._start_page(refusal(trouble), 404)
        name, data = self.drawings[key]
        typed: Mapping[str, str] = {}
        trouble_told: Refusal | None = None
        if request.method == "POST":
            typed, _ = await _form(request)
            made = typed

            def lay() -> Bench:
                return self.table.lay(plan_text(name, made).encode(), PLAN_NAME, {name: data})

            try:
                bench = await self._by_hand(lay)
                return RedirectResponse(f"/plan/{bench.name}", 303)
            except ClosureError as error:
                trouble_told = refusal(error, typed)
        listing = await self._by_hand(lambda: listed(data, name))
        from closures.catalogue import load_catalogue

        catalogue = load_catalogue()
        html = assets.render(
            "drawing.html",
            name=name,
            lines=listing.candidates[:MOST_LINES],
            corners=[corners_of(line) for line in listing.candidates[:MOST_LINES]],
            on_pages=is_on_pages(listing),
            listing=listing,
            picture=draw_lines(listing),
            refusal=trouble_told,
            values=typed,
            wrong=set() if trouble_told is None else set(trouble_told.places),
            fields=fields_by_name(),
            kinds=sizes_by_kind(catalogue),
        )
        return HTMLResponse(html, 200 if trouble_told is None else 422)

    async def _opened(self, lay: Callable[[], Bench], typed: Mapping[str, str]) -> Response:
        try:
            bench = await self._by_hand(lay)
        except ClosureError as error:
            return self._start_page(refusal(error, typed), 422)
        return RedirectResponse(f"/plan/{bench.name}", 303)

    async def plan(self, request: Request) -> Response:
        name = request.path_params["name"]
        try:
            html = await self._by_hand(lambda: _whole_page(self.table.find(name)))
        except ClosureError as error:
            return self._start_page(refusal(error), 404)
        return HTMLResponse(html)

    async def change(self, request: Request) -> Response:
        name = request.path_params["name"]
        typed, _ = await _form(request)
        do = typed.pop("do", "") or "redraw"
        hand = Hand(do, typed, typed.pop("gesture", "")[:40])
        wants_parts = "application/json" in request.headers.get("accept", "")
        seq = typed.pop("seq", "")[:20]

        def make() -> tuple[Bench, dict[str, Any]]:
            bench = self.table.change(name, hand)
            return bench, _parts(bench, hand, seq) if wants_parts else {}

        try:
            bench, parts = await self._by_hand(make)
        except ClosureError as error:
            if wants_parts:
                return JSONResponse({"ok": False, "seq": seq, "message": str(error)}, 404)
            return self._start_page(refusal(error), 404)
        if wants_parts:
            return JSONResponse(parts)
        if bench.refusal is None:
            return RedirectResponse(f"/plan/{name}#worn", 303)
        return HTMLResponse(await self._by_hand(lambda: _whole_page(bench)), 422)

    async def report(self, request: Request) -> Response:
        name = request.path_params["name"]

        def make() -> str:
            bench = self.table.find(name)
            return assets.render("report.html", bench=bench, page=page_of(results_of(bench)["report.md"].decode()))

        try:
            return HTMLResponse(await self._at_printer(make))
        except ClosureError as error:
            return self._start_page(refusal(error), 404)

    async def print_check(self, request: Request) -> Response:
        from closures.lengths import parse_length_mm
        from closures.workshop import judge_print

        name = request.path_params["name"]
        typed, _ = await _form(request)

        def judge() -> dict[str, Any]:
            units = answer_of(self.table.find(name)).placement.plan.units
            try:
                figures = [parse_length_mm(typed.get(key, ""), units) for key in ("across", "down", "of")]
                verdict = judge_print(*figures)
            except ClosureError as error:
                return {"good": None, "lines": [str(fault) for fault in error.faults]}
            return {"good": verdict.is_good, "lines": list(verdict.lines)}

        try:
            verdict = await self._by_hand(judge)
            if "application/json" in request.headers.get("accept", ""):
                return JSONResponse(verdict)
            html = await self._by_hand(lambda: _whole_page(self.table.find(name), verdict=verdict, checked=typed))
            return HTMLResponse(html)
        except ClosureError as error:
            return self._start_page(refusal(error), 404)

    async def file(self, request: Request) -> Response:
        name, wanted = request.path_params["name"], request.path_params["file"]
        paper = request.query_params.get("paper", "a4")
        face = request.query_params.get("face", "outside")
        only = request.query_params.get("only", "")

        def make() -> bytes | None:
            bench = self.table.find(name)
            if paper not in _PAPERS or face not in ("outside", "inside"):
                raise PlanError("there is no such paper or face", mend="Choose one from the lists.")
            if wanted == "offers.svg":
                return offers_picture(answer_of(bench))
            made = results_of(bench, paper, "inside" if face == "inside" else "outside", only)
            return _zipped(made, bench) if wanted == "all.zip" else made.get(wanted)

        try:
            data = await self._at_printer(make)
        except ClosureError as error:
            return _message(422, str(error))
        if data is None:
            raise HTTPException(404)
        ending = wanted.rpartition(".")[2]
        how = "inline" if request.query_params.get("look") else "attachment"
        return Response(
            data,
            media_type=_TYPES.get(ending, "application/octet-stream"),
            headers={"content-disposition": f'{how}; filename="{wanted.rpartition("/")[2]}"'},
        )

    async def _by_hand(self, work: Callable[[], Answered]) -> Answered:
        return await asyncio.get_running_loop().run_in_executor(self.hands, work)

    async def _at_printer(self, work: Callable[[], Answered]) -> Answered:
        return await asyncio.get_running_loop().run_in_executor(self.printer, work)


def _parts(bench: Bench, hand: Hand, seq: str) -> dict[str, Any]:
    """What a redraw answers: the parts of the page that it changed."""
    parts: dict[str, Any] = {"ok": bench.refusal is None, "seq": seq, "turn": bench.turn}
    parts["message"] = assets.render("message.html", refusal=bench.refusal)
    parts["wrong"] = [] if bench.refusal is None else list(bench.refusal.places)
    if bench.refusal is not None:
        return parts
    told = picture_parts(bench)
    parts |= {key: told[key] for key in ("picture", "brief", "result", "units", "title")}
    parts["findings"] = [
        {"result": one.result, "head": one.head, "text": one.text, "marks": one.marks} for one in told["told"]
    ]
    parts["findings_html"] = assets.render("findings.html", **told)
    parts["legend_html"] = assets.render("legend.html", **told)
    parts["marks_html"] = assets.render("marks.html", **told)
    parts["can"] = {"undo": bench.can_undo, "redo": bench.can_redo}
    parts["text"] = bench.step.text
    if hand.do.split()[0] in ("move", "size"):
        return parts | {"values": values_of(read_text(bench.step.text))}
    fields = form_parts(bench)
    parts["values"] = fields["values"]
    parts["parts_picture"] = fields["parts_picture"]
    if hand.do.split()[0] != "redraw":
        parts["form_html"] = assets.render("form.html", **fields)
    return parts


def _whole_page(bench: Bench, **more: Any) -> str:
    return assets.render("plan.html", **{**form_parts(bench), **picture_parts(bench), "papers": _PAPERS, **more})


def _zipped(made: Mapping[str, bytes], bench: Bench) -> bytes:
    """Put results in one file, with the plan and what it names, the same bytes on every run."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**made, **bench.files}.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


async def _form(request: Request) -> tuple[dict[str, str], list[tuple[str, bytes]]]:
    """Read what was sent: fields, and files with the last part of their names."""
    form = await request.form(max_files=12, max_fields=_MOST_FIELDS, max_part_size=2_000_000)
    typed: dict[str, str] = {}
    handed: list[tuple[str, bytes]] = []
    for key, value in form.multi_items():
        if isinstance(value, UploadFile):
            data = await value.read()
            if len(data) > LARGEST_UPLOAD_BYTES:
                raise HTTPException(413, TOO_LARGE)
            if value.filename:
                handed.append((plain_name(value.filename, "drawing.svg"), data))
        else:
            typed[key] = value
    return typed, handed


def _message(status: int, text: str) -> Response:
    return HTMLResponse(assets.render("trouble.html", text=text), status)


async def _refused(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    told = {
        404: "There is nothing at this address.",
        405: "This address takes no such request.",
        413: TOO_LARGE,
    }
    otherwise = (
        "This could not be understood." if status < 500 else "Something went wrong here. Your plan is as it was."
    )
    return _message(status, told.get(status, otherwise))


def make_app(port: int, open_first: tuple[bytes, str, Mapping[str, bytes]] | None = None) -> tuple[Guard, str]:
    """Make the page.

    Args:
        port: the port that it answers on.
        open_first: a plan to lay on the table: its bytes, its name, and the files that it names.

    Returns:
        The page, and the path to begin at.

    Raises:
        ClosureError: the plan cannot be read or placed.
    """
    page = Page()
    first = "/" if open_first is None else f"/plan/{page.table.lay(*open_first).name}"
    app = Starlette(routes=page.routes(), exception_handlers={HTTPException: _refused, Exception: _refused})
    return Guard(app, port), first
