"""What a browser sent: the fields of a form, and the files handed in with it."""

from __future__ import annotations

import re
from pathlib import PurePath
from typing import TYPE_CHECKING

from python_multipart.exceptions import FormParserError
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from closures.app.web.guard import LARGEST_UPLOAD_BYTES, TOO_LARGE

if TYPE_CHECKING:
    from starlette.requests import Request

_MOST_FIELDS = 1200
# A garment of many openings brings a plan and a drawing for each; their bytes are bounded together.
_MOST_FILES = 100


async def read_form(request: Request) -> tuple[dict[str, str], list[tuple[str, bytes]]]:
    """Read what was sent: fields, and files with the last part of their names.

    Raises:
        HTTPException: it is no form, or a file in it is too large.
    """
    try:
        form = await request.form(max_files=_MOST_FILES, max_fields=_MOST_FIELDS, max_part_size=2_000_000)
    except FormParserError as error:
        # Some versions of starlette answer this themselves, others let it through.
        raise HTTPException(400) from error
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


def plain_name(name: str, otherwise: str) -> str:
    """Keep the last part of a file's name, as it may stand in a plan."""
    last = PurePath(name.replace("\\", "/")).name
    kept = re.sub(r"[^\w .()+-]", "", last).strip(". ")[:80]
    return kept or otherwise
