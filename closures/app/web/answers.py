"""What the page answers: a plan's whole page, the parts that a redraw changed, all results in one file, a refusal."""

from __future__ import annotations

import io
import re
import unicodedata
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from closures.app.web import assets
from closures.app.web.fields import REPEATED, values_of
from closures.app.web.guard import TOO_LARGE
from closures.app.web.left_typed import left_html
from closures.app.web.more_fields import more_parts
from closures.app.web.placed import plan_of
from closures.app.web.size_grid import awaited_grid
from closures.app.web.telling import banner, form_parts, keeping, picture_parts
from closures.app.web.typed_unit import units_of, with_units_typed
from closures.catalogue.loading import load_catalogue
from closures.plan.editing import value_of

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.bench import Bench
    from closures.app.web.table import Hand

PAPERS = {key: paper.name for key, paper in load_catalogue().papers.items()}
"""The papers that can be chosen, every one in the catalogue: key to name."""

_TYPES = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "json": "application/json",
    "md": "text/markdown; charset=utf-8",
    "toml": "application/toml; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "png": "image/png",
}


def redraw_parts(bench: Bench, hand: Hand, seq: str) -> dict[str, Any]:
    """What a redraw answers: the parts of the page that it changed.

    Args:
        bench: the plan as it is now.
        hand: what was asked for.
        seq: the number of the question.
    """
    parts: dict[str, Any] = {"ok": bench.refusal is None, "seq": seq, "turn": bench.turn}
    parts["message"] = assets.render("message.html", refusal=bench.refusal, bench=bench)
    parts["wrong"] = [] if bench.refusal is None else list(bench.refusal.places)
    parts["words"] = {} if bench.refusal is None else dict(bench.refusal.words)
    parts |= banner(bench)
    parts["kept"] = keeping(bench)
    if hand.units is not None and hand.units != units_of(bench.step.text):
        parts["standing"] = with_units_typed(hand.stands, hand.units)
    parts["can"] = {"undo": bench.can_undo, "redo": bench.can_redo}
    is_stale = bench.refusal is not None and bench.refusal.is_elsewhere
    parts["stale"] = is_stale
    has_dropped = is_stale or hand.do == "text"
    parts["dropped_html"] = assets.render("dropped.html", refusal=bench.refusal, bench=bench) if has_dropped else ""
    if bench.refusal is not None and not bench.refusal.is_partly and not is_stale:
        return parts
    told = picture_parts(bench)
    parts |= {key: told[key] for key in ("picture", "brief", "result", "units", "title", "shape")}
    parts["size"] = bench.step.size or told["base"]
    parts["findings_html"] = assets.render("findings.html", **told)
    parts["legend_html"] = assets.render("legend.html", **told)
    parts["marks_html"] = assets.render("marks.html", **told)
    parts["compare_html"] = assets.render("compare.html", **told)
    parts["trial_html"] = assets.render("trial.html", **told)
    parts["can"] = {"undo": bench.can_undo, "redo": bench.can_redo}
    parts["text"] = bench.step.text
    if hand.do.split()[0] in ("move", "size") and not is_stale:
        parts["values"] = values_of(bench.step.text) | dict(_waiting(bench))
        # A closure that is dragged is locked, which is a row more: its fields come once, and not with every move.
        return parts | ({"form_html": form_html(form_parts(bench))} if _has_other_rows(bench, hand.rows) else {})
    fields = form_parts(bench)
    parts["values"] = fields["values"]
    parts["parts_picture"], parts["usual_row"] = fields["parts_picture"], fields["usual_row"]
    # A row that was added has its own fields now, whichever button was pressed.
    if is_stale or hand.do.split()[0] != "redraw" or _has_more_rows(bench):
        parts["form_html"] = form_html(fields)
    return parts


def _has_more_rows(bench: Bench) -> bool:
    """Whether the last step has other rows than the one before it."""
    texts = (bench.step.text, bench.steps[max(bench.at - 1, 0)].text)
    return any(len({len(value_of(text, one.name) or ()) for text in texts}) > 1 for one in REPEATED)


def _has_other_rows(bench: Bench, rows: Mapping[str, int]) -> bool:
    """Whether a plan has other rows than the form that is seen."""
    return any(len(value_of(bench.step.text, section) or ()) != many for section, many in rows.items())


def _waiting(bench: Bench) -> Mapping[str, str]:
    """What was typed and is not in the picture yet."""
    return {} if bench.refusal is None or bench.refusal.typed is None else bench.refusal.typed


def whole_page(bench: Bench, **more: Any) -> str:
    """The page of one plan."""
    fields = form_parts(bench)
    told = {**fields, **picture_parts(bench), "papers": PAPERS, "form_html": form_html(fields)}
    told |= {"run_grid": awaited_grid(bench), "carried": (), "left_html": left_html(bench), **more}
    return assets.render("plan.html", **told)


def form_html(fields: Mapping[str, Any]) -> str:
    """The form: what is drawn by hand, and then every other key that the plan in hand may hold."""
    drawn = assets.render("form.html", **fields)
    parts = more_parts(fields["text"], drawn, fields["values"], fields["wrong"])
    return drawn.replace("<!-- more -->", assets.render("more.html", parts=parts, **fields))


def zipped(made: Mapping[str, bytes], bench: Bench) -> bytes:
    """Put results in one file, with the plan and what it names, the same bytes on every run."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**_beside(made, bench), **made}.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def _beside(made: Mapping[str, bytes], bench: Bench) -> dict[str, bytes]:
    """The files that a plan names, without the plan as it was handed in; none takes the place of a result."""
    given = {name.replace("\\", "/"): data for name, data in bench.files.items() if name != bench.title}
    return {f"named by the plan/{name}" if name in made else name: data for name, data in given.items()}


def download_name(bench: Bench, wanted: str) -> str:
    """Name a file that is saved after its plan, so that those of two plans are told apart in one folder."""
    last = wanted.rpartition("/")[2]
    if last == bench.title:
        return last
    # A plan of the usual name says nothing; then its title does.
    name = bench.title.removesuffix(".toml")
    return _named_after(plan_of(bench).title if name == "plan" else name, last)


def _named_after(title: str, last: str) -> str:
    plain = re.sub(r"[^a-z0-9]+", "-", unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower())
    return f"{plain.strip('-')[:60] or 'closures'}-{last}"


def as_file(bench: Bench, wanted: str, data: bytes, *, inline: bool) -> Response:
    """Give out a file of a plan, to be saved under its plan's name, or to be looked at."""
    return _given_out(download_name(bench, wanted), data, "inline" if inline else "attachment")


def plain_file(title: str, wanted: str, data: bytes) -> Response:
    """Give out a file to be saved under a title."""
    return _given_out(_named_after(title, wanted), data, "attachment")


def _given_out(name: str, data: bytes, how: str) -> Response:
    kind = _TYPES.get(name.rpartition(".")[2], "application/octet-stream")
    return Response(data, media_type=kind, headers={"content-disposition": f'{how}; filename="{name}"'})


def message(status: int, text: str, back: tuple[str, str] | None = None) -> Response:
    """A page that says one thing.

    Args:
        status: of the answer.
        text: what it says.
        back: the address of what it is said of, and what that is, as it is called after "Back to".
    """
    return HTMLResponse(assets.render("trouble.html", text=text, back=back), status)


async def refused_request(request: Request, error: Exception) -> Response:
    """Say in a sentence why a request comes to nothing, and never more."""
    status = error.status_code if isinstance(error, HTTPException) else 500
    told = {
        404: "There is nothing at this address.",
        405: "This address takes no such request.",
        413: TOO_LARGE,
    }
    otherwise = (
        "This could not be understood." if status < 500 else "Something went wrong here. Your plan is as it was."
    )
    return message(status, told.get(status, otherwise))
