"""The first forms, numbers alone and one's own drawing: what is not yet right is told beside its field."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient

from closures.app.web.app import make_app

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PORT = 8473
HOME = f"http://127.0.0.1:{PORT}"
SENT = {"origin": HOME}


@pytest.fixture
def page() -> Iterator[TestClient]:
    app, _ = make_app(PORT)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        yield client


SLIPS = [
    ("band.width", "1,5 in", "1.5 in"),
    ("band.width", "1 1/2", "1 1/2 in"),
    ("band.width", "0", "is nothing"),
    ("band.width", "", "is not told yet"),
    ("band.width", "3 Zoll", "not a unit known here"),
    ("band.width", "abc", "is not a length"),
    ("spacing.count", "8,5", "not a whole number"),
    ("spacing.count", "8 snaps", "not a whole number"),
    ("spacing.count", "0", "too few"),
    ("spacing.count", "1000000", "too many"),
    ("spacing.pitch", "7,5", "7.5"),
    ("spacing.first", "1 cm bis 2 cm", "is not a length"),
    ("band.lap", "", "is not told yet"),
]
FIRST_FORM = {
    "band.width": "38 mm",
    "garment.opens": "front",
    "garment.pieces": "pair",
    "band.lap": "right over left",
    "closure.kind": "prong snap",
    "closure.size": "16 L",
    "spacing.by": "count",
    "spacing.count": "8",
    "spacing.first": "16 mm",
    "spacing.last": "50 mm",
    ".title": "Linen <coat> & belt",
}
IN_NUMBERS = FIRST_FORM | {"shape": "straight", "edge.straight": "610 mm", "garment.pieces": "separate"}
IN_A_DRAWING = FIRST_FORM | {"edge.path": "over-edge", "units": "mm"}


def told_beside(answered: Any, name: str, told: str, words: str, form: dict[str, str]) -> None:
    """Hold that a refused form says what is wrong beside the field, and still has all that was typed."""
    assert answered.status_code == 422, answered.text
    beside = re.search(rf'<span class="wrong-words" id="w-{re.escape(name)}">(.*?)</span>', answered.text)
    assert beside is not None and words in html.unescape(beside[1]), answered.text
    for field, typed in (form | {name: told}).items():
        is_radio = re.search(rf'<input type="radio"[^>]* name="{re.escape(field)}"', answered.text)
        shown = re.findall(rf'<input id="f-{re.escape(field)}" name="[^"]*" value="([^"]*)"', answered.text)
        if shown:
            assert html.unescape(shown[0]) == typed, field
        elif is_radio and typed:
            assert re.search(rf'name="{re.escape(field)}"[^>]* value="{re.escape(typed)}" checked', answered.text), (
                field
            )
        elif typed and field != "units":
            select = answered.text.split(f'name="{field}"')[1].split("</select>")[0]
            chosen = re.search(r'<option(?: [^>]*value="([^"]*)")?[^>]*selected>([^<]*)', select)
            assert chosen is not None and typed in (chosen[1], chosen[2]), field


@pytest.mark.parametrize(("name", "told", "words"), [*SLIPS, ("edge.straight", "24,5 in", "24.5 in")])
def test_slip_in_numbers_is_told_beside_its_field(page: TestClient, name: str, told: str, words: str) -> None:
    form = IN_NUMBERS | _given(name)
    told_beside(page.post("/open/numbers", data=form | {name: told}, headers=SENT), name, told, words, form)


@pytest.mark.parametrize(
    ("name", "told", "words"),
    [*SLIPS, ("edge.known.length", "5,0 cm", "5.0 cm"), ("edge.from", "5,5", "and ends at")],
)
def test_slip_beside_a_drawing_is_told_beside_its_field(page: TestClient, name: str, told: str, words: str) -> None:
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    sent = page.post("/open/drawing", files={"drawing": ("my front.svg", drawing)}, headers=SENT)
    form = IN_A_DRAWING | _given(name)
    answered = page.post(sent.headers["location"], data=form | {name: told}, headers=SENT)
    told_beside(answered, name, told, words, form)
    assert "the picture is the last one" not in answered.text


def _given(name: str) -> dict[str, str]:
    """What else is filled in where this field is used."""
    gap = {"spacing.by": "pitch", "spacing.pitch": ""} if name == "spacing.pitch" else {}
    return gap | ({"edge.known.path": "over-edge"} if name == "edge.known.length" else {})
