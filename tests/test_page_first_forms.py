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
from closures.app.web.assets import render
from closures.app.web.first_forms import the_plan
from closures.app.web.placed import answer_of
from closures.app.web.table import Table, files_beside
from closures.app.web.telling import picture_parts
from closures.app.web.wording import of_a_plan
from closures.report.offers import swap_terminal

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


def laid(page: TestClient, form: dict[str, str]) -> str:
    """Lay a first form on the table, and give what the page shows as plain text."""
    answered = page.post("/open/numbers", data=form, headers=SENT)
    assert answered.status_code == 303, answered.text
    shown = page.get(answered.headers["location"]).text
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", shown)).split())


def test_what_was_assumed_is_told_on_the_table_in_the_words_of_its_fields(page: TestClient) -> None:
    by_pitch = {"spacing.by": "pitch", "spacing.pitch": "3 in", "spacing.first": "", "spacing.last": ""}
    shown = laid(page, IN_NUMBERS | by_pitch | {"edge.straight": "24 in"})
    # 3 in x 1.5 and x 2.5; half of 38 mm.
    assert "Assumed: First closure 12.7 mm from the neck, clear of the finished end" in shown
    assert "To change it: “Room before the first closure” under “Count and gaps”." in shown
    assert "Assumed: Last closure 114.3 mm to 190.5 mm above the hem" in shown
    assert "Assumed: The closing line lies 19 mm from the finished edge" in shown
    told_all = {"spacing.first": "16 mm", "spacing.last": "50 mm", "band.inset": "19 mm", "band.under_inset": "19 mm"}
    assert "Assumed" not in laid(page, IN_NUMBERS | told_all)


def test_checks_on_the_table_speak_of_its_fields(page: TestClient) -> None:
    shown = laid(page, IN_NUMBERS).split("The plan as text")[0]
    assert "fill in “Layers”" in shown and "[[" not in shown and "under [" not in shown


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("Say how it is cut: cut = under [band].", "Say how it is cut: “The band is cut” under “Band and lap”."),
        (
            "To change it: pitch or count under [spacing].",
            "To change it: “Wanted gap” or “How many” under “Count and gaps”.",
        ),
        ("Then leave reverse out under [edge].", "Then choose “Counted from”: “where the line begins”."),
        ("Then write reverse = true under [edge].", "Then write “Counted from”: “where the line ends” under “Edge”."),
        ("bust: mark 3 sits at it.", "bust: mark 3 sits at it."),
        (
            "No row of 11 that keeps to anchor bust point and clear zone casing is more even.",
            "No row of 11 that keeps to fixed place bust point and clear stretch casing is more even.",
        ),
        ("that keeps to the anchors and the clear zones", "that keeps to the fixed places and the clear stretches"),
        ("front [2].svg holds nothing.", "front [2].svg holds nothing."),
    ],
)
def test_key_that_is_named_becomes_its_field(said: str, told: str) -> None:
    assert of_a_plan(said) == told


def chooser_of(page: TestClient, drawing: bytes) -> str:
    return page.post("/open/drawing", files={"drawing": ("my front.svg", drawing)}, headers=SENT).headers["location"]


def message_of(answered: Any) -> str:
    assert answered.status_code == 422, answered.text
    shown = answered.text.split('<div id="message"')[1].split("</main>")[0].split("<section")[0].split("<form")[0]
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", shown.partition(">")[2])).split())


def test_first_forms_speak_of_what_they_show(page: TestClient) -> None:
    front = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    size = re.search(rb'width="([0-9.]+)mm" height="([0-9.]+)mm"', front)
    assert size is not None
    unscaled = front.replace(size[0], b'width="%bpx" height="%bpx"' % (size[1], size[2]))
    asked = [
        (front, {"edge.reverse": "yes"}),
        (front, {"edge.known.path": "over-edge", "edge.known.length": "50 mm"}),
        (unscaled, {}),
    ]
    for drawing, more in asked:
        answered = page.post(chooser_of(page, drawing), data=IN_A_DRAWING | more, headers=SENT)
        told = message_of(answered)
        assert not re.search(r"\[[a-z]|\b[a-z_]+ = |under “|Nothing was changed", told), told
        form = html.unescape(re.sub("<[^>]+>", " ", answered.text.split('<form method="post" class="numbers">')[1]))
        for called in re.findall(r"“([^”]+)”", told):
            assert called.lower() in form.lower(), (called, told)
    empty = message_of(page.post("/open/numbers", data={"shape": "straight"}, headers=SENT))
    assert "section" not in empty and "Straight, this long: Not told yet" in empty and "Kind: Not told yet" in empty


def test_scale_that_the_page_asks_for_is_told_with_all_its_decimals_and_taken(page: TestClient) -> None:
    front = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    known = IN_A_DRAWING | {"edge.known.path": "over-edge", "edge.known.length": "700 mm"}
    told = message_of(page.post(chooser_of(page, front), data=known, headers=SENT))
    scale = re.search(r"“One unit of the drawing is”: ([0-9.]+ mm)", told)
    assert scale is not None and len(scale[1]) > len("1.0126 mm"), told
    laid = page.post(chooser_of(page, front), data=known | {"edge.scale": scale[1]}, headers=SENT)
    assert laid.status_code == 303, laid.text


def test_second_plan_that_is_handed_in_is_never_dropped_without_a_word(page: TestClient) -> None:
    folder = TEMPLATES / "whole-romper"
    one, other = (("files", (name, (folder / name).read_bytes())) for name in ("front.toml", "belt.toml"))
    drawing = ("files", ("front.svg", (folder / "front.svg").read_bytes()))
    garment = ("files", ("garment.toml", (folder / "garment.toml").read_bytes()))
    two = page.post("/open/plan", files=[one, other, drawing], headers=SENT)
    assert two.status_code == 422 and "front.toml, belt.toml" in two.text and "Open one at a time" in two.text
    whole = page.post("/open/plan", files=[one, other, garment, drawing], headers=SENT)
    assert whole.status_code == 422 and "was not handed in" in whole.text
    assert page.post("/open/plan", files=[one, drawing], headers=SENT).status_code == 303


def test_supplies_are_not_taken_for_the_plan_whichever_comes_first() -> None:
    plan = ("plan.toml", b'supplies = "a-pack.toml"\n[edge]\n')
    pack = ("a-pack.toml", b"[[fastener]]\n")
    assert the_plan([pack, plan]) == plan and the_plan([plan, pack]) == plan


def mended(page: TestClient, answered: Any) -> list[tuple[str, str, str]]:
    """The buttons of a refusal: where each is sent, what it sends, and what it says."""
    found = re.findall(
        r'<li><form method="post" action="([^"]+)"[^>]*><button name="do" value="(repair \d)">[^<]*</button>([^<]*)',
        answered.text,
    )
    return [(to, do, html.unescape(words).strip()) for to, do, words in found]


def unmet_plan() -> bytes:
    text = (TEMPLATES / "curved-front" / "plan.toml").read_text("utf-8")
    section = '[spacing]\ncount = 6\nfirst = "16 mm"\nlast = "50 mm"\nwidest = "70 mm"\n'
    return re.sub(r"\[spacing\]\n(?:[^\[\n].*\n|\n)*", section + "\n", text).encode()


def test_plan_that_no_row_meets_is_offered_its_repairs_when_it_is_handed_in(page: TestClient) -> None:
    drawing = ("files", ("front.svg", (TEMPLATES / "curved-front" / "front.svg").read_bytes()))
    refused = page.post("/open/plan", files=[("files", ("my.toml", unmet_plan())), drawing], headers=SENT)
    assert refused.status_code == 422 and "no row of closures on a line of" in refused.text.lower()
    offers = mended(page, refused)
    assert offers and "would do" not in message_of(refused)
    for to, do, _ in offers:
        taken = page.post(to, data={"do": do}, headers=SENT)
        assert taken.status_code == 303, taken.text
        report = page.get(f"{taken.headers['location']}/files/report.json")
        assert report.status_code == 200, report.text
    assert page.post(offers[0][0], data={"do": "repair 77"}, headers=SENT).status_code == 422
    assert page.get("/open/mended/nothing").status_code == 404


def test_served_plan_that_no_row_meets_opens_with_its_repairs_and_keeps_the_taken_one(tmp_path: Path) -> None:
    home = tmp_path / "plan.toml"
    home.write_bytes(unmet_plan())
    beside = {"front.svg": (TEMPLATES / "curved-front" / "front.svg").read_bytes()}
    app, first = make_app(PORT, (unmet_plan(), "plan.toml", beside), home)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        shown = client.get(first)
        offers = mended(client, shown)
        assert shown.status_code == 200 and offers
        assert home.read_bytes() == unmet_plan()
        to, do, _ = offers[0]
        taken = client.post(to, data={"do": do}, headers=SENT)
        assert taken.status_code == 303
        assert home.read_text("utf-8") == client.get(f"{taken.headers['location']}/files/plan.toml").text
        assert home.read_bytes() != unmet_plan()


def test_title_that_the_sheets_cannot_letter_is_told_beside_its_field_and_not_at_the_printer(page: TestClient) -> None:
    form = IN_NUMBERS | {".title": "Linen 服"}
    told_beside(page.post("/open/numbers", data=form, headers=SENT), ".title", "Linen 服", "their font has no 服", form)
    to = page.post("/open/numbers", data=IN_NUMBERS, headers=SENT).headers["location"]
    typed = {"do": "redraw", ".title": "Linen 服", "spacing.by": "count", "spacing.count": "9"}
    parts = page.post(f"{to}/change", data=typed, headers={"accept": "application/json", **SENT}).json()
    assert "their font has no 服" in parts["words"][".title"] and parts["values"]["spacing.count"] == "9"
    mended = page.post(f"{to}/change", data={"do": "redraw", ".title": "Łan ø"}, headers=SENT)
    assert mended.status_code == 303


def test_every_offer_of_a_swap_tells_what_decides_as_the_terminal_does() -> None:
    bench = Table().lay(*files_beside(TEMPLATES / "shirt-swap" / "plan.toml"))
    swap = answer_of(bench).swap
    assert swap is not None
    shown = html.unescape(render("findings.html", **picture_parts(bench)))
    terminal = " ".join(swap_terminal(swap).split())
    told = [re.sub("<[^>]+>", "", item).removeprefix("✕ ") for item in re.findall(r"<li>(.*?)</li>", shown)]
    assert any("MISSED" in one for one in told) and sum(one.startswith("To buy: ") for one in told) == len(swap.offers)
    by_terminal = [one for one in told if "MISSED" in one or one.startswith("To buy: ")]
    assert all(one in terminal for one in by_terminal)
    assert all(change in told for offer in swap.offers for change in offer.changes if "[" not in change)
    # What is counted for the card is what stands in its sentences, and its front shows every place of the offer.
    for offer, part in zip(swap.offers, shown.split('<li id="offer-')[1:], strict=True):
        assert f"Closures: {len(offer.places_mm)}, largest gap" in part
        closed, seen = len({clash.hole for clash in offer.overlaps}), len(offer.in_sight)
        assert (
            f"in the way of a closure: {closed or 'none'}; old holes in sight afterwards, sewn shut: {seen or 'none'}"
            in part
        )
        assert ("In hand" in part) == (offer.n == swap.taken)
