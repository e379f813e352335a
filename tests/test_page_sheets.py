"""The sheets beside the button that prints are those that are printed: as many, of the same size, in the same order."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

import pikepdf
from starlette.testclient import TestClient

from closures.app.web.app import make_app
from closures.app.web.table import files_beside

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
HOME = "http://127.0.0.1:8471"
SENT = {"origin": HOME, "accept": "application/json"}
MM = 72 / 25.4


def client_for(name: str) -> tuple[TestClient, str]:
    page, first = make_app(8471, files_beside(TEMPLATES / name / "plan.toml"))
    return TestClient(page, base_url=HOME, follow_redirects=False), first


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("name", "wish"),
    [
        ("curved-front", "paper=a4"),
        ("curved-front", "paper=letter&face=inside"),
        ("curved-front", "paper=a3&large=yes"),
        ("eight-sizes", "paper=a4&only=10"),
        ("eight-sizes", "paper=a4"),
    ],
)
def test_small_pictures_are_the_pages_that_print(name: str, wish: str) -> None:
    client, first = client_for(name)
    told = client.get(f"{first}/sheets?{wish}").text
    pictures = [found.replace("&amp;", "&") for found in re.findall(r'src="([^"]+)"', told)]
    with pikepdf.open(io.BytesIO(client.get(f"{first}/files/marking.pdf?{wish}").content)) as printed:
        sizes = [[float(side) / MM for side in page.mediabox.as_list()[2:]] for page in printed.pages]
    count = re.search(r"(\d+) sheets? of", told)
    assert count is not None and int(count[1]) == len(pictures) == len(sizes)
    for at, (wide, high) in zip(pictures, sizes, strict=True):
        drawn = client.get(at)
        assert drawn.headers["content-type"] == "image/svg+xml"
        box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn.text)
        assert box is not None
        assert (float(box[1]), float(box[2])) == pytest.approx((wide, high), abs=0.02)
        assert dict(parse_qsl(urlsplit(at).query)).items() >= dict(parse_qsl(wish)).items()


@pytest.mark.in_turn(3)
def test_large_letters_print_as_the_command_prints_them(tmp_path: Path) -> None:
    from typer.testing import CliRunner

    from closures.app.command import app as command

    client, first = client_for("curved-front")
    words = ["place", str(TEMPLATES / "curved-front" / "plan.toml"), "--large", "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(command, words).exit_code == 0
    for name in ("marking.pdf", "over.svg", "report.json"):
        assert client.get(f"{first}/files/{name}?large=yes").content == (tmp_path / "out" / name).read_bytes()
    assert client.get(f"{first}/files/over.svg").content != (tmp_path / "out" / "over.svg").read_bytes()


def test_sheets_of_what_is_not_in_the_picture_are_not_shown() -> None:
    client, first = client_for("curved-front")
    client.post(f"{first}/change", data={"band.width": "wide"}, headers=SENT)
    told = client.get(f"{first}/sheets")
    assert told.status_code == 200 and "not in the picture" in told.text and "<img" not in told.text


def test_question_about_sheets_that_a_change_overtook_is_no_failed_request() -> None:
    client, first = client_for("curved-front")
    client.post(f"{first}/change", data={"band.width": "40 mm"}, headers=SENT)
    told = client.get(f"{first}/sheets?at=0")
    assert told.status_code == 200 and "changed in another window" in told.text and "<img" not in told.text
    assert client.get(f"{first}/sheets/99.svg?at=0").status_code == 204


@pytest.mark.parametrize("path", ["sheets?paper=nothing", "sheets?face=edge", "sheets/0.svg?paper=x"])
def test_choice_that_is_not_there_is_said(path: str) -> None:
    client, first = client_for("curved-front")
    refused = client.get(f"{first}/{path}")
    assert refused.status_code == 422 and "Traceback" not in refused.text


def test_sheet_beyond_the_last_is_not_there() -> None:
    client, first = client_for("curved-front")
    turn = client.get(f"{first}/turn").json()["turn"]
    assert client.get(f"{first}/sheets/99.svg?at={turn}").status_code == 404


def test_sheets_pages_and_all_in_one_file_are_drawn_once_and_anew_where_something_else_is_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from closures.app.web import placed

    drawn: list[str] = []
    for name in ("place_plan", "result_files"):
        real = getattr(placed, name)

        def counted(*given: object, real: Any = real, name: str = name, **named: object) -> object:
            drawn.append(name)
            return real(*given, **named)

        monkeypatch.setattr(placed, name, counted)
    client, first = client_for("curved-front")
    client.post(f"{first}/change", data={"spacing.pitch": "83 mm"}, headers=SENT)
    asked = ("sheets?", "files/over.svg?look=1&", "files/marking.pdf?", "files/report.json?", "files/all.zip?")
    answers = [client.get(f"{first}/{one}paper=a4").content for one in asked]
    assert drawn == ["place_plan", "result_files"]
    inside = [client.get(f"{first}/{one}paper=a4&face=inside").content for one in asked]
    assert drawn == ["place_plan", "result_files"] * 2 and inside[1] != answers[1]
    client.post(f"{first}/change", data={"band.width": "42 mm"}, headers=SENT)
    moved = [client.get(f"{first}/{one}paper=a4").content for one in asked]
    assert drawn == ["place_plan", "result_files"] * 3 and moved[1] != answers[1]
