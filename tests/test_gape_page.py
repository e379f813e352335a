"""The page asks for what was measured, one by one with a picture, and tells two rows side by side."""

from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient

from closures.app.web.app import make_app
from closures.app.web.table import files_beside
from closures.jobs.gape.asking import MEASURES

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PORT = 8472
HOME = f"http://127.0.0.1:{PORT}"


@pytest.fixture
def opened():
    def client(name):
        page, first = make_app(PORT, files_beside(TEMPLATES / name / "plan.toml"))
        return TestClient(page, base_url=HOME, follow_redirects=True), first

    return client


@pytest.mark.in_turn(3)
def test_page_asks_for_each_measurement_with_a_picture(opened):
    client, first = opened("calm-front")
    with client:
        html = client.get(first).text
        for one in MEASURES:
            assert one.title in html
            for key in one.keys:
                assert f'name="pull.{key}"' in html
            picture = client.get(f"{first}/files/measure-{one.name}.svg?look=1")
            assert picture.status_code == 200 and picture.content.lstrip().startswith(b"<")
        assert client.get(f"{first}/files/measure-nothing.svg").status_code == 404


def test_page_tells_gape_and_both_rows(opened):
    client, first = opened("calm-front")
    with client:
        html = client.get(first).text
        assert "Will it gape, will it hold" in html
        assert "not tried on cloth" in html
        rows = client.get(f"{first}/files/rows.svg?look=1")
        assert rows.status_code == 200
        assert b"row-even" in rows.content and b"row-calm" in rows.content


def test_plan_without_pull_has_no_answer_and_no_rows(opened):
    client, first = opened("curved-front")
    with client:
        assert "Will it gape, will it hold" not in client.get(first).text
        assert client.get(f"{first}/files/rows.svg").status_code == 404


def test_measured_pull_typed_into_its_field_is_answered(opened):
    client, first = opened("curved-front")
    with client:
        sent = {"do": "redraw", "pull.scale": "120 g"}
        answer = client.post(
            f"{first}/change", data=sent, headers={"origin": HOME, "accept": "application/json"}
        ).json()
        assert answer["ok"], answer
        assert '[pull]\nscale = "120 g"' in answer["text"]
        assert "gape number" in answer["findings_html"]


@pytest.mark.parametrize("told", ["", 'coupon_pitch = "60 mm"'])
def test_row_of_one_closure_asks_for_the_coupons_gap_before_it_asks_for_the_coupon(told):
    # A waistband of one button, without its hidden one.
    row = (TEMPLATES / "hidden-button" / "plan.toml").read_text("utf-8").partition("[[single]]")[0]
    plan = f"{row}\n[pull]\n{told}\n"
    page, first = make_app(PORT, (plan.encode(), "plan.toml", {}))
    with TestClient(page, base_url=HOME, follow_redirects=True) as client:
        assert ("there is no coupon to print without it" in client.get(first).text) == (not told)
