"""Old closures on the page: tapped along a tape drawn to scale, and the offers in their place as fronts."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("jinja2", reason="the page is an extra")

from starlette.testclient import TestClient
from typer.testing import CliRunner

from closures import check_plan
from closures.app.command import app as command
from closures.app.web.app import make_app
from closures.app.web.beginnings import beginnings, plan_begun
from closures.app.web.bench import Bench, Step
from closures.app.web.fields import values_of
from closures.app.web.offered import offer_picture, offers_shown
from closures.app.web.placed import answer_of
from closures.app.web.table import Hand, Table, files_beside
from closures.app.web.tape import ends_told, tape_told
from closures.app.web.telling import banner
from closures.errors import PlanError
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"

ASKED = {"length": "640 mm", "units": "mm"}


def on_tape(told: dict[str, str]) -> list[float]:
    """Where the closures lie on the tape that was drawn, read from its picture, in mm."""
    svg = told["tape"]
    left, scale = (float(re.findall(rf'data-{name}="([^"]+)"', svg)[0]) for name in ("left", "scale"))
    return [(float(cx) - left) / scale for cx in re.findall(r'<circle cx="([^"]+)"', svg)]


def test_tape_without_a_length_is_none_and_says_what_is_wanted() -> None:
    assert tape_told({}) == {"tape": "", "places": "", "told": "Tell the length first: then a tape lies here."}


@pytest.mark.parametrize(
    ("places", "at", "moved", "told"),
    [
        ("", "95.4", "", "95 mm"),
        ("95 mm", "14.6", "", "15 mm, 95 mm"),
        ("15 mm, 95 mm", "95.4", "", "15 mm"),
        ("15 mm, 95 mm", "97", "", "15 mm, 95 mm, 97 mm"),
        ("15 mm, 95 mm", "200", "1", "95 mm, 200 mm"),
        ("15 mm", "700", "", "15 mm, 640 mm"),
        ("15 mm", "-9000", "", "0 mm, 15 mm"),
        ("15 mm, 95 mm", "95", "1", "95 mm"),
    ],
    ids=[
        "set",
        "in order",
        "taken out",
        "beside another",
        "moved",
        "not past the end",
        "not before the first end",
        "moved onto another",
    ],
)
def test_tap_on_the_tape_is_told_in_its_field(places: str, at: str, moved: str, told: str) -> None:
    answered = tape_told(ASKED | {"places": places, "at": at, "from": moved})
    assert answered["places"] == told
    # A hundredth of the picture's unit is the finest that it is written in.
    assert on_tape(answered) == pytest.approx([float(one.removesuffix(" mm")) for one in told.split(", ")], abs=0.01)


def test_one_is_taken_out_by_its_number_and_none_by_a_number_that_is_not_there() -> None:
    assert tape_told(ASKED | {"places": "15 mm, 95 mm", "out": "1"})["places"] == "95 mm"
    for number in ("0", "3", "x", "-1"):
        assert tape_told(ASKED | {"places": "15 mm, 95 mm", "out": number})["places"] == "15 mm, 95 mm"


def test_tap_in_inches_comes_to_a_sixteenth() -> None:
    answered = tape_told({"length": "24", "units": "in", "places": "1 1/2", "at": "79.5"})
    assert answered["places"] == "1 1/2 in, 3 1/8 in"
    assert on_tape(answered) == pytest.approx([38.1, 79.375], abs=0.01)


def test_place_that_is_no_length_is_told_and_stays_as_it_was_typed() -> None:
    answered = tape_told(ASKED | {"places": "15 mm, 9 cubits", "at": "200"})
    assert answered["tape"] == "" and answered["places"] == "15 mm, 9 cubits" and "cubits" in answered["told"]


def test_place_past_the_end_is_told() -> None:
    assert "700 mm lies beyond the end" in tape_told(ASKED | {"places": "15 mm, 700 mm"})["told"]


def test_front_of_every_offer_shows_its_closures_and_the_old_ones() -> None:
    text = plan_begun(
        beginnings()["swap"],
        {
            "edge.straight": "640 mm",
            "swap.places": "15 mm, 95 mm, 175 mm",
            "band.lap": "left over right",
            "closure": "prong snap|16 L",
        },
    )
    answer = answer_of(Bench("one", "plan.toml", {}, (Step(text),)))
    assert answer.swap is not None
    shown = offers_shown(answer.swap)
    # Those that come to the same row and the same work stand there once, and are named.
    named = [one.n for one in shown] + [int(same.split(".")[0]) for one in shown for same in one.same]
    assert sorted(named) == [offer.n for offer in answer.swap.offers]
    assert len(shown) == 3 and shown[0].same[0] == "2. keep the two ends, divide anew between them"
    assert sum(one.is_taken for one in shown) == 1 and sum(one.is_recommended for one in shown) == 1
    rows = {offer.n: [mark.along_mm for mark in offer.placement.marks] for offer in answer.swap.offers}
    assert rows[1] == rows[2] == rows[3] == rows[4] != rows[5]
    pictures = [offer_picture(one.front, answer) for one in shown]
    assert all(picture is not None and picture.startswith(b"<?xml") for picture in pictures)
    # Offers that show buttons and offers that show snaps are other fronts.
    assert len(set(pictures)) > 1
    assert offer_picture("front-0.svg", answer) is None and offer_picture("front-99.svg", answer) is None


ENDS = {
    "a front": ({"garment.opens": "front"}, ("neck", "hem")),
    "a shoulder": ({"garment.opens": "left shoulder"}, ("neck", "armhole")),
    "names of one's own": ({"garment.opens": "front", "garment.ends": "lapel, hem"}, ("lapel", "hem")),
    "half a name": ({"garment.opens": "back", "garment.ends": "lapel"}, ("neck", "hem")),
    "nothing told": ({}, ("first end", "last end")),
    "no opening": ({"garment.opens": "everywhere"}, ("first end", "last end")),
}


@pytest.mark.parametrize(("values", "ends"), ENDS.values(), ids=ENDS.keys())
def test_ends_of_a_tape_are_called_as_the_wearer_calls_them(values: dict[str, str], ends: tuple[str, str]) -> None:
    assert ends_told(values) == ends
    drawn = tape_told(ASKED | {"first": ends[0], "last": ends[1]})["tape"]
    assert f"the {ends[0]} on the left, the {ends[1]} on the right" in drawn
    assert f">{ends[0]}<" in drawn and f">{ends[1]}, 640 mm<" in drawn


def test_a_tape_whose_ends_are_not_named_has_a_first_and_a_last_one_and_no_markup_gets_in() -> None:
    assert "the first end on the left, the last end on the right" in tape_told(ASKED)["tape"]
    assert "<b>" not in tape_told(ASKED | {"first": "<b>neck"})["tape"]


def answered(name: str, *steps: str) -> tuple[TestClient, str, list[dict[str, Any]]]:
    """Ask one step after another of the page of a starting plan: the page, its address, and what was answered."""
    page, first = make_app(8471, files_beside(TEMPLATES / name / "plan.toml"))
    client = TestClient(page, base_url="http://127.0.0.1:8471", follow_redirects=False)
    sent = {"accept": "application/json", "origin": "http://127.0.0.1:8471"}
    return client, first, [client.post(f"{first}/change", data={"do": do}, headers=sent).json() for do in steps]


def test_offer_that_is_taken_is_in_the_plan_that_is_saved_and_the_command_prints_what_is_shown(tmp_path: Path) -> None:
    client, first, (taken,) = answered("shirt-swap", "take 3")
    assert taken["ok"] and taken["values"]["swap.take"] == "the best spacing there is"
    saved = tmp_path / "plan.toml"
    saved.write_bytes(client.get(f"{first}/files/plan.toml").content)
    assert CliRunner().invoke(command, ["place", str(saved), "--out", str(tmp_path / "out")]).exit_code == 0
    for name in ("report.json", "over.svg", "marking.pdf"):
        assert (tmp_path / "out" / name).read_bytes() == client.get(f"{first}/files/{name}").content, name
    report = json.loads((tmp_path / "out" / "report.json").read_text())
    assert report["swap"]["taken"] == 3 != report["swap"]["recommended"]
    listed = CliRunner().invoke(command, ["swap", str(saved)]).output
    assert re.search(r"(?m)^3 .*<- taken by the plan$", listed) and listed.count("<- taken by the plan") == 1
    other = CliRunner().invoke(command, ["swap", str(saved), "--take", "2", "--json"])
    assert json.loads(other.output)["swap"]["taken"] == 2


def test_offer_that_is_taken_goes_back_with_undo_and_with_its_field(tmp_path: Path) -> None:
    _, _, (_, back) = answered("shirt-swap", "take 3", "undo")
    assert back["values"]["swap.take"] == ""
    client, first, _ = answered("shirt-swap", "take 3")
    sent = {"accept": "application/json", "origin": "http://127.0.0.1:8471"}
    emptied = client.post(f"{first}/change", data={"do": "redraw", "swap.take": ""}, headers=sent).json()
    assert emptied["ok"] and "take" not in tomllib.loads(emptied["text"])["swap"]
    refused = client.post(f"{first}/change", data={"do": "redraw", "swap.take": "40"}, headers=sent).json()
    assert "number" in refused["words"]["swap.take"] and "keep every old place" in refused["words"]["swap.take"]


def test_longer_pattern_without_old_closures_told_keeps_its_offer_too() -> None:
    text = (TEMPLATES / "shirt-front" / "plan.toml").read_text("utf-8")
    plan = read_plan(
        text
        + '\n[change]\nlengthen = { at = "300 mm", by = "30 mm" }\ntake = "keep the two ends, divide anew between them"\n',
        "plan.toml",
    )
    swap = check_plan(plan).swap
    assert swap is not None and swap.taken == 2
    both = (
        (TEMPLATES / "shirt-swap" / "plan.toml")
        .read_text("utf-8")
        .replace("[swap]\n", '[swap]\ntake = "keep every old place"\n')
    )
    with pytest.raises(PlanError, match=r"\[change\] take: one offer is taken, and take under \[swap\] tells it too"):
        read_plan(
            both + '\n[change]\nlengthen = { at = "300 mm", by = "30 mm" }\ntake = "keep every old place"\n',
            "plan.toml",
        )


def test_garment_wears_the_offer_that_was_taken_on_the_page_of_its_opening() -> None:
    folder = TEMPLATES / "shirt-swap"
    garment = 'title = "Shirt"\n[[opening]]\nname = "front"\nplan = "plan.toml"\n[[opening]]\nname = "placket"\nplan = "b.toml"\n'
    page, _ = make_app(8471)
    client = TestClient(page, base_url="http://127.0.0.1:8471", follow_redirects=False)
    sent = {"origin": "http://127.0.0.1:8471"}
    plan = (folder / "plan.toml").read_bytes()
    files = [("garment.toml", garment.encode()), ("plan.toml", plan), ("b.toml", plan.replace(b"196 mm", b"200 mm"))]
    where = client.post("/open/plan", files=[("files", one) for one in files], headers=sent).headers["location"]
    opening = re.findall(r'href="(/plan/[^"]+)"', client.get(where).text)[0]
    client.post(f"{opening}/change", data={"do": "take 3"}, headers=sent)
    told = client.get(f"{where}/files/report.json").json()["openings"]
    assert [one["report"]["swap"]["taken"] for one in told] == [3, told[1]["report"]["swap"]["recommended"]]


def test_offer_that_the_plan_names_stays_the_same_way_where_another_wish_numbers_the_offers_anew() -> None:
    text = (TEMPLATES / "shirt-swap" / "plan.toml").read_text("utf-8")
    named = text.replace("[swap]\n", '[swap]\ntake = "hidden under false buttons"\n')
    anchor = named[named.index("[[anchor]]") : named.index("[[layer]]")]
    found = [check_plan(read_plan(one, "plan.toml")).swap for one in (named, named.replace(anchor, ""))]
    numbers = [swap.taken for swap in found if swap is not None]
    assert len(set(numbers)) == 2, numbers
    assert [swap.offer.kind for swap in found if swap is not None] == ["hidden", "hidden"]


@pytest.mark.parametrize(
    ("take", "told"),
    [
        ("3", "3 is a number, and other wishes number the offers anew"),
        ('"3"', "'3' is a number, and other wishes number the offers anew"),
        ('"keep every place"', "is not one of keep every old place"),
        ('"keep every old place, with a helper at a strain point"', 'at a strain point" cannot be offered here'),
    ],
    ids=["number", "number in quotes", "no name", "not offered"],
)
def test_offer_that_is_not_there_is_refused_and_never_another_one_placed(take: str, told: str) -> None:
    text = (TEMPLATES / "shirt-swap" / "plan.toml").read_text("utf-8")
    anchor = text[text.index("[[anchor]]") : text.index("[[layer]]")]
    plan = text.replace(anchor, "").replace("[swap]\n", f"[swap]\ntake = {take}\n")
    with pytest.raises(PlanError) as refused:
        check_plan(read_plan(plan, "plan.toml"))
    assert told in str(refused.value) and "keep every old place" in str(refused.value)


def test_kind_that_the_offer_in_hand_is_not_there_for_names_the_offer() -> None:
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "shirt-swap" / "plan.toml"))
    bench = table.change(bench.name, Hand("take 5", {}))
    typed = values_of(bench.step.text) | {"closure.kind": "sew-through button", "closure.size": "18 L"}
    refused = table.change(bench.name, Hand("redraw", typed))
    assert refused.refusal is not None
    words, named = refused.refusal.words, "What is there now, The offer that is taken"
    assert (
        words["closure.kind"] == f"“{named}”: {words['swap.take']}" and "cannot be offered here" in words["swap.take"]
    )
    assert banner(refused)["waits"].startswith(f"Not in the picture yet: {named}; Closure, Kind; Closure, Size.")
    # An offer that is there, or none, mends it.
    after = table.change(bench.name, Hand("redraw", typed | {"swap.take": ""}))
    assert after.refusal is None and "sew-through button" in after.step.text.split("[closure]")[1]
