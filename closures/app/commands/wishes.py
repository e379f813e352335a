"""The options that describe a job without a plan file, given to every command that takes them."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import wraps
from typing import Annotated

import typer

from closures.app.options import WISHES


def with_wishes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that describe a job; it gets them as one table, `wishes`."""

    @wraps(command)
    def told(**given: object) -> None:
        wishes = {wish.key: given.pop(wish.key) for wish in WISHES}
        command(**given, wishes={key: value for key, value in wishes.items() if value not in (None, [])})

    own = [p for p in inspect.signature(command, eval_str=True).parameters.values() if p.name != "wishes"]
    options = [
        inspect.Parameter(
            wish.key,
            inspect.Parameter.KEYWORD_ONLY,
            default=None,
            annotation=Annotated[
                wish.kind | None,  # type: ignore[operator]
                typer.Option(wish.name, help=wish.says, metavar=wish.word or None, rich_help_panel=wish.about),
            ],
        )
        for wish in WISHES
    ]
    own = [parameter.replace(kind=inspect.Parameter.KEYWORD_ONLY) for parameter in own]
    told.__signature__ = inspect.Signature([*own, *options])  # type: ignore[attr-defined]
    told.__annotations__ = {parameter.name: parameter.annotation for parameter in [*own, *options]}
    del told.__wrapped__
    return told
