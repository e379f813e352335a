"""The page's own files: templates, the style sheet, the scripts. Nothing else is ever read."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined

from closures.app.web.fields import CHOICES, label_of
from closures.app.web.hints import in_inches, in_mm
from closures.app.web.tape import ends_told

_TYPES = {"css": "text/css; charset=utf-8", "js": "text/javascript; charset=utf-8", "svg": "image/svg+xml"}


@lru_cache(maxsize=64)
def static(name: str) -> tuple[bytes, str] | None:
    """Find a style sheet or script by name, with its type; None where the page has no such file."""
    found = next((one for one in files("closures.app.web").joinpath("static").iterdir() if one.name == name), None)
    kind = _TYPES.get(name.rpartition(".")[2])
    return None if found is None or kind is None else (found.read_bytes(), kind)


def render(template: str, **told: Any) -> str:
    """Fill in a template; whatever is put into it is escaped unless it was drawn here."""
    return _environment().get_template(template).render(**told)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    made = Environment(
        loader=FunctionLoader(lambda name: files("closures.app.web").joinpath("templates", name).read_text("utf-8")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters["in_mm"] = in_mm
    made.filters["in_inches"] = in_inches
    made.filters["ends_told"] = ends_told
    made.globals["called"] = label_of
    made.globals["choices"] = CHOICES
    return made
