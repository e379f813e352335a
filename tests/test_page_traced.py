"""A picture handed in as a drawing: its edge is tapped on it and followed, and what else may be handed in is told for what it is."""

from __future__ import annotations

import importlib.util
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest

_spec = importlib.util.spec_from_file_location("page_seen_traced", Path(__file__).with_name("test_page_in_browser.py"))
assert _spec is not None and _spec.loader is not None
page_seen = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_seen)
seen = page_seen.seen

PX_MM = 25.4 / 300
WIDE, HIGH, FIRST, LAST = 1200, 2400, 100, 2300


def drawn(path: Path) -> Path:
    """A scan of 300 pixels to the inch with one straight dark line, 2,200 pixels long."""
    cv2 = pytest.importorskip("cv2", reason="opencv is not installed")
    numpy = pytest.importorskip("numpy")
    paper = numpy.full((HIGH, WIDE), 250, numpy.uint8)
    cv2.line(paper, (600, FIRST), (600, LAST), 20, 5, cv2.LINE_AA)
    cv2.imwrite(str(path), paper)
    return path


@pytest.mark.in_turn(3)
def test_edge_is_tapped_on_a_picture_and_followed(seen: Any, tmp_path: Path) -> None:
    one = seen(None)
    page = one.page
    page.locator("#drawing-file").set_input_files(drawn(tmp_path / "scan.png"))
    page.get_by_role("button", name="Choose the edge in it").click()
    one.ready("#photo")
    one.until("() => document.getElementById('photo').naturalWidth > 0")
    box = page.locator("#photo").bounding_box()
    for n, share in enumerate((FIRST / HIGH, 0.9, LAST / HIGH)):
        page.locator("#photo").click(position={"x": box["width"] / 2, "y": box["height"] * share})
        one.until("n => document.querySelectorAll('#traced circle').length === n", n + 1)
    field = page.locator('[id="f-edge.trace.through"]')
    places = [list(map(float, line.split(","))) for line in field.input_value().split("\n")]
    # A pixel of the screen is two of the scan and more.
    assert places[0] == [pytest.approx(600, abs=4), pytest.approx(FIRST, abs=4)]
    page.locator("#trace-back").click()
    assert len(field.input_value().split("\n")) == 2
    field.fill(f"600, {FIRST}\n600, {LAST}")
    assert page.locator("#traced circle").count() == 2
    page.locator('[id="f-edge.trace.dpi"]').fill("300")
    page.get_by_text("The wearer’s right on top").click()
    page.locator('[id="f-garment.opens"]').select_option("front")
    page.locator('[id="f-garment.pieces"]').select_option("pair")
    page.locator('[id="f-band.width"]').fill("24 mm")
    page.locator('[id="f-closure.kind"]').select_option("prong snap")
    page.locator('[id="f-closure.size"]').select_option("16 L")
    page.get_by_text("how many", exact=True).click()
    page.locator('[id="f-spacing.count"]').fill("4")
    page.get_by_role("button", name="Lay it on the table").click()
    one.waits_for("4 closures")
    asked = page.request.get(f"{page.url.split('#')[0]}/files/report.json")
    length_mm = asked.json()["closing_line"]["edge_length_mm"]
    assert length_mm == pytest.approx((LAST - FIRST) * PX_MM, abs=0.3)


def test_picture_without_places_says_beside_the_field_what_is_wanted(seen: Any, tmp_path: Path) -> None:
    one = seen(None)
    page = one.page
    page.locator("#drawing-file").set_input_files(drawn(tmp_path / "scan.png"))
    page.get_by_role("button", name="Choose the edge in it").click()
    one.ready("#photo")
    page.get_by_role("button", name="Lay it on the table").click()
    one.ready("#photo")
    assert "Not told yet" in page.locator('[id="w-edge.trace.through"]').inner_text()
    # A refusal that came with another page is an answer of 422, which a browser tells on its console.
    one.trouble[:] = [said for said in one.trouble if "422" not in said]


@pytest.fixture
def client() -> Any:
    from starlette.testclient import TestClient

    from closures.app.web.app import make_app

    app, first = make_app(8471, None)
    opened = TestClient(app, base_url="http://127.0.0.1:8471", follow_redirects=False)
    opened.get(first)
    return opened


def _handed(client: Any, where: str, *files: tuple[str, bytes]) -> Any:
    field = "drawing" if where == "drawing" else "files"
    sent = [(field, one) for one in files]
    return client.post(f"/open/{where}", files=sent, headers={"origin": "http://127.0.0.1:8471"})


PLAN = (page_seen.TEMPLATES / "duvet-foot" / "plan.toml").read_bytes()


def _packed() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("word/document.xml", "<w/>")
    return held.getvalue()


@pytest.mark.parametrize("name", ["plan.toml.txt", "plan.txt", "plan", "PLAN.TOML"])
def test_plan_is_opened_whatever_an_editor_hung_on_its_name(client: Any, name: str) -> None:
    answer = _handed(client, "plan", (name, PLAN))
    assert answer.status_code == 303 and answer.headers["location"].startswith("/plan/")


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("plan.docx", _packed(), "plan.docx: this is a word processor&#39;s or another packed file, not a plan. Copy its text"),
        ("plan.toml", _packed(), "plan.toml: this is a word processor&#39;s or another packed file, not a plan. Copy its text"),
        ("plan.rtf", b"{\\rtf1 title", "plan.rtf: this is a word processor&#39;s file, not a plan. Copy its text"),
        ("front.png", b"\x89PNG\r\n\x1a\n", "front.png: this is a picture, not a plan. Hand it in under “Begin from your drawing”"),
        ("front.pdf", b"%PDF-1.5", "front.pdf: this is a PDF, not a plan. Hand it in under “Begin from your drawing”"),
        ("notes.txt", b"seven snaps", "notes.txt: this is no plan. Choose a plan: a text file whose name ends in .toml"),
    ],
)  # fmt: skip
def test_other_file_in_place_of_a_plan_is_told_for_what_it_is(client: Any, name: str, data: bytes, said: str) -> None:
    answer = _handed(client, "plan", (name, data))
    assert answer.status_code == 422 and said in answer.text


def test_picture_that_no_browser_shows_is_refused_with_what_to_save(client: Any) -> None:
    answer = _handed(client, "drawing", ("scan.tif", b"II*\0" + bytes(40)))
    assert answer.status_code == 422 and "Save it as PNG or JPEG" in answer.text


def test_picture_is_shown_as_it_was_handed_in_and_no_other_is(client: Any) -> None:
    data = b"\x89PNG\r\n\x1a\n" + bytes(40)
    where = _handed(client, "drawing", ("scan.png", data)).headers["location"]
    answer = client.get(f"{where}/picture")
    assert answer.content == data and answer.headers["content-type"] == "image/png"
    assert client.get("/drawing/other/picture").status_code == 404
