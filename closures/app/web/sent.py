"""What a browser sent: the fields of a form, and the files handed in with it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from python_multipart.exceptions import FormParserError
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from closures.app.web.guard import LARGEST_UPLOAD_BYTES, TOO_LARGE
from closures.errors import PlanError
from closures.nearest import same_name

if TYPE_CHECKING:
    from starlette.requests import Request

_MOST_FIELDS = 1200
# A garment of many openings brings a plan and a drawing for each; their bytes are bounded together.
_MOST_FILES = 100
_MOST_NAME = 255
"""Letters of a file's name; more than any common file system takes."""


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
    """Keep the last part of a file's name as its owner wrote it: by this name the plan calls it.

    Signs that nobody sees, as of control, are left out.
    """
    last = PurePath(name.replace("\\", "/")).name
    kept = "".join(sign for sign in last if sign.isprintable()).strip()
    return kept[-_MOST_NAME:] if kept.strip(".") else otherwise


def by_name(handed: Sequence[tuple[str, bytes]]) -> dict[str, bytes]:
    """The files handed in by their names.

    Raises:
        PlanError: two are called the same, and the plan cannot say which it means.
    """
    files: dict[str, bytes] = {}
    for name, data in handed:
        spelled = same_name(name, files)
        if spelled is not None and files[spelled] != data:
            raise PlanError(
                "two files of this name were handed in, and they are not the same",
                where=name,
                mend="Hand in the one that is meant alone.",
            )
        files[name] = data
    return files
