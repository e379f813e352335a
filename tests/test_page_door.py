"""Who comes in to the page: its own user by a secret, and nobody else who reaches the address."""

from __future__ import annotations

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient

from closures.app.web.app import make_app
from closures.app.web.entry import Door

PORT = 8471
HOME = f"http://127.0.0.1:{PORT}"
ADDRESSES = ("/", "/page/page.js", "/begin/shirt", "/plan/x", "/plan/x/files/marking.pdf")


def outside() -> tuple[TestClient, Door]:
    door = Door(PORT)
    page, _ = make_app(PORT, door=door)
    return TestClient(page, base_url=HOME, follow_redirects=False), door


@pytest.mark.parametrize("path", ADDRESSES)
@pytest.mark.parametrize("told", ["", "?key=", "?key=guessed", "?once=guessed"])
def test_request_without_the_secret_is_refused_in_words(path: str, told: str) -> None:
    client, _ = outside()
    refused = client.get(path + told)
    assert refused.status_code == 403
    assert "closures serve printed" in refused.text
    assert "set-cookie" not in refused.headers


def test_form_without_the_secret_is_refused_though_it_names_the_right_origin() -> None:
    client, _ = outside()
    sent = client.post("/open/starting-plan", data={"name": "shirt-front"}, headers={"origin": HOME})
    assert sent.status_code == 403


def test_address_that_is_printed_lets_in_each_time_and_the_cookie_from_then_on() -> None:
    client, door = outside()
    address = door.address(HOME, "/")
    for _ in range(2):
        client.cookies.clear()
        entered = client.get(address)
        assert entered.status_code == 200 and 'url=/"' in entered.text
        cookie = entered.headers["set-cookie"]
        assert cookie.startswith(f"closures-{PORT}=")
        assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {part.strip() for part in cookie.split(";")}
        assert client.get("/").status_code == 200
    client.cookies.clear()
    assert client.get("/").status_code == 403


def test_address_that_opens_a_browser_is_good_once() -> None:
    client, door = outside()
    address = door.address_once(HOME, "/")
    assert client.get(address).status_code == 200
    client.cookies.clear()
    used = client.get(address)
    assert used.status_code == 403 and "has been used" in used.text


def test_secret_of_one_run_is_not_that_of_another() -> None:
    client, _ = outside()
    assert client.get(Door(PORT).address(HOME, "/")).status_code == 403


@pytest.mark.parametrize(
    "cookies", ["closures-8471", "closures-8471=", "a=b; closures-9=x", "\x00;=;", "closures-8471=\xff"]
)
def test_broken_cookie_lets_nobody_in(cookies: str) -> None:
    assert not Door(PORT).knows(cookies)


@pytest.mark.parametrize("path", ["//elsewhere.example/x", '/"><b>', "/plan/a%22b"])
def test_door_leads_to_this_machine_alone(path: str) -> None:
    client, door = outside()
    entered = client.get(door.address(HOME, path))
    assert "//elsewhere" not in entered.text and "<b>" not in entered.text
