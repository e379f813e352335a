"""Files that are handed in with a plan: one of another name is asked about, and what is saved is what was changed."""

from __future__ import annotations

import html
import io
import re
import zipfile
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from starlette.testclient import TestClient

from closures.app.web.app import make_app

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
HOME = "http://127.0.0.1:8471"
SENT = {"origin": HOME}
PLAN = (TEMPLATES / "curved-front" / "plan.toml").read_bytes()
DRAWING = (TEMPLATES / "curved-front" / "front.svg").read_bytes()


def handed(*files: tuple[str, bytes]) -> tuple[TestClient, int, str, str]:
    """Hand files in: the page, what it answers, where that leads, and what it says."""
    page, _ = make_app(8471)
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    answer = client.post("/open/plan", files=[("files", one) for one in files], headers=SENT)
    return client, answer.status_code, answer.headers.get("location", ""), html.unescape(answer.text)


def offers_in(said: str) -> list[tuple[str, str, str]]:
    """What is offered: where it is sent, what is sent, and its words."""
    return re.findall(
        r'action="(/open/mended/[^"]+)"[^>]*><button name="do" value="([^"]+)">Take this</button> ([^<]*)', said
    )


@pytest.mark.parametrize("name", ["front (1).svg", "FRONT.SVG", "my front.svg"])
def test_drawing_of_another_name_is_asked_about_and_named_by_the_plan_once_it_is_meant(name: str) -> None:
    client, status, _, said = handed(("plan.toml", PLAN), (name, DRAWING))
    assert status == 422
    assert f"the plan names front.svg as its drawing, which was not handed in; {name} was" in said
    ((where, do, words),) = offers_in(said)
    assert words.startswith(f"{name} is meant")
    laid = client.post(where, data={"do": do}, headers=SENT)
    assert laid.status_code == 303
    assert f'drawing = "{name}"' in client.get(f"{laid.headers['location']}/files/plan.toml").text


def test_of_several_drawings_only_those_that_can_be_placed_are_offered_and_all_are_named() -> None:
    other = DRAWING.replace(b'"over-edge"', b'"another-edge"')
    _, status, _, said = handed(("plan.toml", PLAN), ("new.svg", DRAWING), ("other.svg", other))
    assert status == 422 and "new.svg, other.svg were" in said
    assert [words.partition(" ")[0] for _, _, words in offers_in(said)] == ["new.svg"]
    _, status, _, said = handed(("plan.toml", PLAN), ("other.svg", other))
    assert status == 422 and "nothing can be placed with that in its place" in said and not offers_in(said)


@pytest.mark.parametrize("name", ["pieces/front.svg", "pieces\\\\front.svg", "a/b/front.svg"])
def test_drawing_in_a_folder_below_the_plan_is_told_by_its_last_name_and_saved_in_that_folder(name: str) -> None:
    plan = PLAN.replace(b'"front.svg"', f'"{name}"'.encode())
    client, status, where, said = handed(("plan.toml", plan), ("front.svg", DRAWING))
    assert status == 303, said
    with zipfile.ZipFile(io.BytesIO(client.get(f"{where}/files/all.zip").content)) as packed:
        assert packed.read(name.replace("\\\\", "/")) == DRAWING


@pytest.mark.parametrize("name", ["../front.svg", "/home/me/front.svg"])
def test_drawing_outside_the_folder_of_the_plan_is_asked_about(name: str) -> None:
    _, status, _, said = handed(("plan.toml", PLAN.replace(b"front.svg", name.encode())), ("front.svg", DRAWING))
    assert status == 422 and f"in place of {name}" in said and len(offers_in(said)) == 1


def test_supplies_of_another_name_are_no_second_plan() -> None:
    cloth = b'[[cloth]]\nname = "my linen"\nthin = 0.4\ntypical = 0.5\nthick = 0.6\nbasis = "measured"\n'
    plan = PLAN.replace(b"units =", b'supplies = "stock.toml"\nunits =', 1)
    _, status, _, said = handed(("plan.toml", plan), ("front.svg", DRAWING), ("stock (1).toml", cloth))
    assert status == 422 and "several plans" not in said
    assert "names stock.toml as its supplies file, which was not handed in; stock (1).toml was" in said


@pytest.mark.parametrize("name", ["plan.toml", "my-dress.toml"])
def test_all_of_a_plan_that_was_handed_in_holds_it_as_it_was_changed(name: str) -> None:
    client, _, where, _ = handed((name, PLAN), ("front.svg", DRAWING))
    client.post(f"{where}/change", data={"do": "redraw", "spacing.pitch": "70 mm"}, headers=SENT)
    with zipfile.ZipFile(io.BytesIO(client.get(f"{where}/files/all.zip").content)) as packed:
        plans = [one for one in packed.namelist() if one.endswith(".toml")]
        assert plans == ["plan.toml"] and len(packed.namelist()) == len(set(packed.namelist()))
        assert b'pitch = "70 mm"' in packed.read("plan.toml") and packed.read("front.svg") == DRAWING


def test_all_of_a_garment_that_was_handed_in_holds_its_plans_as_they_were_changed() -> None:
    folder = TEMPLATES / "whole-romper"
    client, _, where, _ = handed(*((path.name, path.read_bytes()) for path in folder.iterdir()))
    opening = re.findall(r'href="(/plan/[^"]+)"', client.get(where).text)[0]
    client.post(f"{opening}/change", data={"do": "redraw", "spacing.widest": "60 mm"}, headers=SENT)
    with zipfile.ZipFile(io.BytesIO(client.get(f"{where}/files/all.zip").content)) as packed:
        assert b'widest = "60 mm"' in packed.read("front.toml")
        for source in folder.iterdir():
            assert source.name == "front.toml" or packed.read(source.name) == source.read_bytes(), source.name


def test_drawing_that_is_called_as_a_result_takes_the_place_of_none() -> None:
    plan = PLAN.replace(b"front.svg", b"over.svg")
    client, status, where, said = handed(("plan.toml", plan), ("over.svg", DRAWING))
    assert status == 303, said
    with zipfile.ZipFile(io.BytesIO(client.get(f"{where}/files/all.zip").content)) as packed:
        assert packed.read("over.svg") == client.get(f"{where}/files/over.svg").content != DRAWING
        assert packed.read("named by the plan/over.svg") == DRAWING
