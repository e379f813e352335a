"""The page of a whole garment: its openings, what lies between them, what to buy, and one print of the whole set."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from closures import shipped
from closures.app.web import assets
from closures.app.web.answers import PAPERS, message, plain_file
from closures.app.web.garment_faults import told_of_openings
from closures.app.web.garments import GarmentSet, Held, Rack, plans_handed_in, plans_on_disk
from closures.app.web.printed_pages import wish_of
from closures.app.web.sent import read_form
from closures.app.web.start_page import start_page
from closures.app.web.table import refusal
from closures.app.web.telling import brief, notes_counted, notes_to_read
from closures.app.web.wording import in_sentences, of_a_plan
from closures.app.web.worn import draw_worn
from closures.app.whole import order_of
from closures.app.whole import told as worked
from closures.errors import ClosureError, PlanError
from closures.report.openings import between_of, found_of, measured_of
from closures.report.shopping import packs_in_words
from closures.report.tally import wrong_in_words
from closures.series import how_many

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.whole import Whole
    from closures.checks.finding import Result
    from closures.plan.garment_file import Opening

_BUT_FAILED: tuple[Result, ...] = ("warn", "pass")
_SIGNS = {"fail": "✕", "warn": "!", "pass": "✓"}


def garment_html(rack: Rack, hung: GarmentSet) -> str:
    """The page of a garment.

    Raises:
        ClosureError: a plan of it is not open any more.
    """
    told: dict[str, Any] = {"hung": hung, "garment": hung.garment, "papers": PAPERS, "at": rack.turns(hung)}
    told |= {"trouble": None, "failed": (), "openings": (), "between": (), "bought": (), "order": ()}
    told |= {"looks": (), "measured": ()}
    told |= {"called": {bench: rack.sharing(hung, plan) for plan, bench in hung.benches.items()}}
    told |= {"benches": tuple(dict.fromkeys(hung.benches.values())), **_state(rack, hung)}
    try:
        whole = rack.placed(hung)
    except ClosureError as error:
        # Each opening can be placed by itself; together they cannot, and then nothing prints.
        return assets.render("garment.html", **told | {"trouble": told_of_openings(rack, hung, error)})
    rows = [
        {
            "name": opening.name,
            "bench": hung.benches[opening.plan],
            "mirrored": bool(opening.mirrored),
            "half_of": _other_half(hung, opening),
            "over": None if opening.crossing is None else opening.crossing.over,
            **card,
            "picture": _still(draw_worn(answer, is_small=True), n),
        }
        for n, (opening, answer, card) in enumerate(
            zip(whole.garment.openings, whole.answers, told["cards"], strict=True)
        )
    ]
    own = rack.names(hung)
    told |= {
        "openings": rows,
        "failed": [
            *_found(whole, "fail", own),
            *(of_a_plan(text, own=own) for _, text in between_of(whole.clearances, "fail")),
        ],
        "looks": _found(whole, "warn", own),
        "measured": [of_a_plan(f"{whose}: {text}", own=own) for whose, text in measured_of(worked(whole))],
        "between": [
            (result, _SIGNS[result], of_a_plan(text, own=own))
            for result in _BUT_FAILED
            for _, text in between_of(whole.clearances, result)
        ],
        "bought": whole.bought,
        "packs": packs_in_words(whole.bought),
        "order": order_of(whole),
    }
    return assets.render("garment.html", **told)


def _state(rack: Rack, hung: GarmentSet, shown: str = "") -> dict[str, Any]:
    """Tell in one line what the garment came to, or what is not in its pictures, and how bad that is.

    Args:
        rack: where the garment hangs.
        hung: the garment.
        shown: the turns of what a page shows; empty for the page that is being made.
    """
    held = rack.held(hung)
    told: dict[str, Any] = {"hung": hung, "held": held, "is_stale": bool(shown) and shown != rack.turns(hung)}
    told["cards"] = _cards(rack, hung, held, shown)
    told["aside"] = rack.aside(hung)
    try:
        whole = rack.placed(hung)
    except ClosureError:
        return told | {"result": "fail", "brief": "These openings do not go together."}
    count = sum(len(answer.placement.all_marks) for answer in whole.answers)
    said = f"{how_many(len(whole.answers), 'opening')}, {how_many(count, 'closure')}"
    if held:
        # What is found of the pictures is no answer to what is not in them.
        waits = ", ".join(dict.fromkeys(one.openings for one in held))
        return told | {"result": "fail", "brief": f"Not in the picture yet: {waits}. Shown without it: {said}."}
    if told["is_stale"]:
        return told | {"result": "fail", "brief": "This page shows the garment as it was before a plan was changed."}
    said += f"; {wrong_in_words([one for answer in whole.answers for one in answer.findings])}"
    counted: tuple[tuple[Result, str], ...] = (("fail", "failed"), ("warn", "to look at"))
    for result, words in counted:
        if between := between_of(whole.clearances, result):
            said += f"; {len(between)} {words} between openings"
    said += notes_counted(sum(notes_to_read(answer) for answer in whole.answers))
    beside = "; ".join(openings for _, openings in told["aside"])
    beside = f"Not what the files hold now: {beside}. " if beside else ""
    result = "warn" if beside and whole.result == "pass" else whole.result
    return told | {"result": result, "brief": f"{beside}{said}."}


def _other_half(hung: GarmentSet, opening: Opening) -> str:
    """Name the opening that an opening mirrors: the one of the same plan that is as drawn."""
    as_drawn = (one.name for one in hung.garment.openings if one.plan == opening.plan and not one.mirrored)
    return next(as_drawn, "the plan")


def _cards(rack: Rack, hung: GarmentSet, held: tuple[Held, ...], shown: str) -> list[dict[str, str]]:
    """Tell of each opening what its picture came to; what is not in its picture first, and then no verdict on it."""
    try:
        answers = {
            one.name: answer for one, answer in zip(hung.garment.openings, rack.placed(hung).answers, strict=True)
        }
    except ClosureError:
        answers = {}
    now, then = rack.turns(hung).split("."), shown.split(".")
    changed = {name for name, turn, old in zip(hung.benches.values(), now, then, strict=False) if shown and turn != old}
    cards = []
    for opening in hung.garment.openings:
        bench = hung.benches[opening.plan]
        waits = "; ".join(one.said for one in held if one.bench == bench)
        if waits:
            sign, said = _SIGNS["fail"], f"Not in the picture yet: {waits}."
        elif bench in changed:
            sign, said = _SIGNS["warn"], "Its plan was changed since this page was loaded."
        elif opening.name in answers:
            sign, said = _SIGNS[answers[opening.name].result], brief(answers[opening.name])
        else:
            sign, said = _SIGNS["fail"], "It does not go together with the others."
        cards.append({"sign": sign, "brief": said})
    return cards


def _found(whole: Whole, result: Result, own: tuple[str, ...]) -> list[str]:
    """What the checks of one result say, with the openings that it is said of."""
    told = found_of(worked(whole), result)
    return [of_a_plan(f"{whose}, {at}: {text}", own=own) for whose, at, text in told]


def _still(drawn: str, n: int) -> str:
    """A picture that only shows, with names of its own beside others on one page."""
    drawn = re.sub(r' (?:data-[a-z]+|tabindex|aria-value[a-z]*)="[^"]*"', "", drawn)
    drawn = drawn.replace(' role="group"', ' role="img"', 1)
    return re.sub(r' id="', f' id="o{n}-', drawn).replace("url(#", f"url(#o{n}-")


def garment_routes(page: Page) -> list[Route]:
    """The addresses of garments."""

    async def shown(request: Request) -> Response:
        name = request.path_params["name"]
        try:
            return HTMLResponse(await page.hands.by_hand(lambda: garment_html(page.rack, page.rack.find(name))))
        except ClosureError as error:
            return start_page(page, refusal(error), 404)

    async def state(request: Request) -> Response:
        name, at = request.path_params["name"], request.query_params.get("at", "")

        def tell() -> dict[str, Any]:
            told = _state(page.rack, page.rack.find(name), at)
            return {
                "result": told["result"],
                "brief": told["brief"],
                "holds": bool(told["held"] or told["is_stale"]),
                "cards": told["cards"],
                "told": " ".join(bench.name for bench, _ in told["aside"]),
                "held_html": assets.render("garment_held.html", **told),
            }

        try:
            return JSONResponse(await page.hands.by_hand(tell))
        except ClosureError as error:
            return JSONResponse({"message": in_sentences(error)}, 404)

    async def file(request: Request) -> Response:
        name, wanted, query = request.path_params["name"], request.path_params["file"], request.query_params

        def make() -> tuple[bytes | None, str]:
            hung = page.rack.find(name)
            made = page.rack.files(hung, wish_of(query), query.get("at", ""), query.get("told", "").split())
            if wanted == "all.zip":
                return _zipped({**made, **page.rack.sources(hung)}), hung.garment.title
            return made.get(wanted), hung.garment.title

        try:
            data, title = await page.hands.at_printer(make)
        except ClosureError as error:
            why = _why(page.rack, name, error)
            return message(422, why, (f"/garment/{name}", "this garment, as it is now"))
        if data is None:
            raise HTTPException(404)
        return plain_file(title, wanted, data)

    async def open_starting(request: Request) -> Response:
        typed, _ = await read_form(request)

        def hang() -> GarmentSet:
            folder = shipped.starting_garments().get(typed.get("name", ""))
            if folder is None:
                raise PlanError("there is no such garment", mend="Choose one from the list.")
            return page.rack.hang(*plans_on_disk(folder / "garment.toml", is_own=False))

        try:
            hung = await page.hands.by_hand(hang)
        except ClosureError as error:
            return start_page(page, refusal(error), 422)
        return RedirectResponse(f"/garment/{hung.name}", 303)

    return [
        Route("/open/garment", open_starting, methods=["POST"]),
        Route("/garment/{name}", shown),
        Route("/garment/{name}/state", state),
        Route("/garment/{name}/files/{file}", file),
    ]


def _why(rack: Rack, name: str, error: ClosureError) -> str:
    """Why nothing of a garment is given out."""
    try:
        return "\n".join(told_of_openings(rack, rack.find(name), error))
    except ClosureError:
        return in_sentences(error)


def hang_handed_in(page: Page, garment: tuple[str, bytes], handed: Mapping[str, bytes]) -> str:
    """Lay a garment on the table whose file was handed in with its plans and drawings.

    Returns:
        Its address.

    Raises:
        ClosureError: one is missing, or cannot be read or placed, or not within the limits.
    """
    title, text = garment
    plans = plans_handed_in(text, title, handed)
    for plan, laid in plans.items():
        page.reader.look_at_plan(laid.text, plan, laid.beside)
    return page.hall.hang(text, title, plans)


def _zipped(made: Mapping[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in made.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()
