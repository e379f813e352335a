"""Beginnings: three questions for every kind of work, no text, and a first sheet out of the answers."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from lxml import html as lxml_html
from starlette.testclient import TestClient

from closures.app.job import check_plan
from closures.app.web.app import make_app
from closures.app.web.beginnings import Beginning, answered, beginnings, plan_begun
from closures.app.web.fields import FIELDS, in_inches, values_of
from closures.app.web.unit_meant import refuse_far_length
from closures.errors import PlanError, Where
from closures.plan.kinds import Place
from closures.plan.one_line import meant
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PORT = 8474
HOME = f"http://127.0.0.1:{PORT}"
SENT = {"origin": HOME}

# One answer to the second question of each, as people write it.
ANSWERS = {
    "edge.straight": "24 in",
    "edge.arc.length": "345 mm",
    "edge.arc.radius": "220 mm",
    "gauge.stitches": "22",
    "gauge.rows": "30",
    "belt.waist": "28 in",
    "belt.over": "4 mm",
    "row.length": "31 cm",
    "swap.places": "60 mm, 147 mm, 234 mm, 321 mm, 408 mm, 495 mm",
}


def answers(one: Beginning) -> dict[str, str]:
    told = {name: text for name, text in ANSWERS.items() if name in one.ask}
    return told | ({one.lap_key: one.laps[0]} if one.laps else {})


def fields_of(text: str) -> dict[str, str]:
    """What a form shows in its fields."""
    return dict(lxml_html.fromstring(text).forms[0].fields)


@pytest.fixture
def page() -> Iterator[TestClient]:
    app, _ = make_app(PORT)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        yield client


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", beginnings())
def test_answers_to_three_questions_make_a_first_sheet(page: TestClient, name: str) -> None:
    one = beginnings()[name]
    shown = page.get(f"/begin/{name}")
    assert shown.status_code == 200 and html.escape(one.title) in shown.text and shown.text.count("<svg") >= 2
    chosen = {"closure": "|".join(one.closures[0])}
    laid = page.post(f"/begin/{name}", data=answers(one) | chosen, headers=SENT)
    assert laid.status_code == 303, re.sub(r"<[^>]+>", " ", laid.text)
    table = page.get(laid.headers["location"]).text
    banner = re.search(r'<p id="live"[^>]*class="(\w+)"', table)
    assert banner is not None and banner[1] in ("pass", "warn")
    assert page.get(f"{laid.headers['location']}/files/marking.pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize("name", beginnings())
def test_every_closure_that_is_offered_can_be_placed(name: str) -> None:
    one = beginnings()[name]
    for kind, size in one.closures:
        plan = read_plan(plan_begun(one, answers(one) | {"closure": f"{kind}|{size}"}).encode(), "plan.toml")
        assert check_plan(plan).placement.fastener.size == size


@pytest.mark.parametrize("name", ["shoulder", "crotch", "bib"])
def test_what_is_a_babys_by_its_name_is_held_to_a_childs_rules_unless_told_otherwise(
    page: TestClient, name: str
) -> None:
    """Magnets that come off get swallowed: no closure of a child's garment holds by them."""
    one = beginnings()[name]
    asked = fields_of(page.get(f"/begin/{name}").text)["wearer.profiles"]
    assert asked == "child under three"
    told = answers(one) | {"closure": "magnetic snap|14 mm", "wearer.profiles": asked}
    at = page.post(f"/begin/{name}", data=told, headers=SENT).headers["location"]
    table = page.get(at).text
    assert 'profiles = ["child under three"]' in page.get(f"{at}/files/plan.toml").text
    assert "No magnets on anything for young children" in table and 'id="live" role="status" class="fail"' in table
    # It stands with what was assumed, beside what changes it and what it means; there the cautions are.
    told_of = lxml_html.fromstring(table).xpath('//p[@class="note"][contains(., "Worn by a child under three")]')[0]
    report, field = (link.get("href") for link in told_of.findall(".//a"))
    assert field == "#f-wearer.profiles" and lxml_html.fromstring(table).get_element_by_id(field[1:]) is not None
    assert report == f"{at}/report#cautions"
    cautions = lxml_html.fromstring(page.get(f"{at}/report").text).get_element_by_id("cautions")
    assert cautions.text == "Cautions"
    # Who says that nobody that young wears it is believed.
    at = page.post(f"/begin/{name}", data=told | {"wearer.profiles": ""}, headers=SENT).headers["location"]
    assert "[wearer]" not in page.get(f"{at}/files/plan.toml").text and "Worn by" not in page.get(at).text


def test_drawing_of_a_babys_shoulder_is_a_childs_too(page: TestClient) -> None:
    typed = {"band.lap": "front over back", "wearer.profiles": "child under three", "closure": "plastic snap|20"}
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    at = page.post("/begin/shoulder", data=typed, files={"drawing": ("s.svg", drawing)}, headers=SENT).headers[
        "location"
    ]
    sent = {"edge.path": "over-edge", "edge.level_zero": "shoulder-point", "garment.ends": "neck, arm"}
    laid = page.post(at, data=sent, headers=SENT)
    assert laid.status_code == 303, re.sub(r"<[^>]+>", " ", laid.text)
    assert 'profiles = ["child under three"]' in page.get(f"{laid.headers['location']}/files/plan.toml").text


def test_gap_and_count_that_were_both_told_are_asked_about(page: TestClient) -> None:
    one = beginnings()["shirt"]
    told = answers(one) | {"closure": "prong snap|16 L", "spacing.pitch": "3 in", "spacing.count": "8"}
    refused = page.post("/begin/shirt", data=told, headers=SENT)
    assert refused.status_code == 422
    words = lxml_html.fromstring(refused.text)
    for name in ("spacing.pitch", "spacing.count"):
        assert "Keep one of them" in words.get_element_by_id(f"w-{name}").text_content()
        assert words.get_element_by_id(f"f-{name}").get("value") == told[name]
    # Beside a drawing they are asked about before its edge is chosen.
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    assert page.post("/begin/shirt", data=told, files={"drawing": ("f.svg", drawing)}, headers=SENT).status_code == 422
    # A gap that stood there before is what is usual without a count.
    stood = answers(beginnings()["back"]) | {"spacing.pitch": "55 mm", "spacing.count": "8"}
    assert "spacing.pitch" not in answered(beginnings()["back"], stood)


@pytest.mark.parametrize(
    ("name", "told", "asks"),
    [
        ("shirt", {"edge.straight": "24"}, ["24 in (609.6 mm)", "24 cm (240 mm)"]),
        ("shirt", {"edge.straight": "61"}, ["61 in (1549.4 mm)", "61 cm (610 mm)"]),
        ("shirt", {"edge.straight": "610", "units": "in"}, ["610 mm (610 mm)"]),
        ("shoulder", {"edge.straight": "12"}, ["12 cm (120 mm)"]),
        ("corner", {"edge.arc.length": "34.5"}, ["34.5 cm (345 mm)"]),
        ("belt", {"belt.waist": "28"}, ["28 in (711.2 mm)"]),
        ("cuff", {"row.length": "25"}, ["25 cm (250 mm)"]),
        ("shirt", {"edge.straight": "5"}, []),
    ],
)
def test_bare_length_that_an_opening_never_has_is_asked_for_its_unit(
    page: TestClient, name: str, told: dict[str, str], asks: list[str]
) -> None:
    one = beginnings()[name]
    sent = answers(one) | {"closure": "|".join(one.closures[0])} | told
    refused = page.post(f"/begin/{name}", data=sent, headers=SENT)
    assert refused.status_code == 422
    field = next(iter(told))
    words = lxml_html.fromstring(refused.text).get_element_by_id(f"w-{field}").text_content()
    assert all(one in words for one in asks) and ("Was it meant as" in words) == bool(asks), words
    assert "Write the unit beside the number" in words and "Take this" not in refused.text


def test_length_that_an_opening_can_have_or_that_has_its_unit_is_taken() -> None:
    shirt = beginnings()["shirt"]
    for told in ("150", "610", "1700", "61 mm", "24 in", "61 cm"):
        assert plan_begun(shirt, answers(shirt) | {"edge.straight": told, "closure": "prong snap|16 L"})
    for told in ("149", "1701"):
        with pytest.raises(PlanError, match="its unit is not written"):
            plan_begun(shirt, answers(shirt) | {"edge.straight": told, "closure": "prong snap|16 L"})


def test_starting_plans_are_as_long_as_their_openings_can_be() -> None:
    for plan in sorted(TEMPLATES.glob("*/plan.toml")):
        if plan.parent.name == "hidden-button":
            # The front of a waistband alone, 40 mm high, which would be asked about without its unit.
            continue
        values = values_of(plan.read_text("utf-8"))
        refuse_far_length({name: re.sub(r" mm$", "", told) for name, told in values.items() if told})


@pytest.mark.parametrize(
    ("name", "thick", "closure", "said"),
    [
        ("belt", "1.5 mm", "leather post snap|24 L", "Choose capped prong snap 18 L or post snap 20 L, or mend"),
        ("belt", "3 mm", "capped prong snap|18 L", "Choose leather post snap 24 L, or mend the thickness"),
        ("waistband", "1/8 in", "post snap|20 L", "Choose tack button 27 L or hook and bar one size, or mend"),
    ],
)
def test_closure_that_the_told_thickness_does_not_suit_is_asked_about(
    page: TestClient, name: str, thick: str, closure: str, said: str
) -> None:
    one = beginnings()[name]
    field = "belt.thickness" if name == "belt" else "row.thickness"
    typed = answers(one) | {"closure": closure, field: thick}
    answer = page.post(f"/begin/{name}", data=typed, headers=SENT)
    assert answer.status_code == 422
    told = " ".join(lxml_html.fromstring(answer.text).xpath(f"//*[@id='w-{field}']")[0].text_content().split())
    assert " clamps " in told and said in told
    # Each that is named is taken.
    named = re.findall(
        r"((?:leather |capped )?(?:post|prong) snap|tack button|hook and bar) (\d+ L|one size)", told.split("Choose")[1]
    )
    for kind, size in named:
        assert page.post(f"/begin/{name}", data=typed | {"closure": f"{kind}|{size}"}, headers=SENT).status_code == 303
    assert len(named) >= 1


def test_first_closure_of_a_strap_suits_the_thickness_that_its_form_begins_with(page: TestClient) -> None:
    one = beginnings()["belt"]
    typed = fields_of(page.get("/begin/belt").text) | {
        "belt.waist": "700 mm",
        "belt.over": "4 mm",
        one.lap_key: one.laps[0],
    }
    assert typed["belt.thickness"]
    told = {name: text for name, text in typed.items() if isinstance(text, str)}
    assert page.post("/begin/belt", data=told, headers=SENT).status_code == 303


def test_nobody_chooses_the_wearers_side_for_them(page: TestClient) -> None:
    for name, one in beginnings().items():
        checked = re.findall(r'name="(?:band|belt|row)\.lap" value="([^"]+)" checked', page.get(f"/begin/{name}").text)
        assert checked == ([one.laps[0]] if one.lap_is_usual else []), name
        assert one.lap_is_usual or not one.laps or "right" in one.laps[0]


@pytest.mark.parametrize(
    ("name", "told", "field", "words"),
    [
        ("shirt", {}, "edge.straight", "Not told yet"),
        ("shirt", {"edge.straight": "24,5 in"}, "edge.straight", "24.5 in"),
        ("shirt", {"band.lap": ""}, "band.lap", "not told yet"),
        ("belt", {"belt.thickness": "thick"}, "belt.thickness", "is not a length"),
        ("swap", {"swap.places": "60 mm, 40 mm"}, "swap.places", ""),
    ],
)
def test_slip_is_told_beside_its_field_and_the_answers_stay(
    page: TestClient, name: str, told: dict[str, str], field: str, words: str
) -> None:
    one = beginnings()[name]
    typed = answers(one) | {"closure": "|".join(one.closures[-1])}
    typed = {**typed, **told} if told else {key: text for key, text in typed.items() if key != field}
    refused = page.post(f"/begin/{name}", data=typed, headers=SENT)
    assert refused.status_code == 422
    beside = re.search(rf'id="w-{re.escape(field)}">([^<]*)<', refused.text)
    assert beside is not None and words in html.unescape(beside[1]), refused.text
    assert f'value="{typed["closure"]}" checked' in refused.text
    assert not re.search(r"\[\[?[a-z_]+\]", beside[1])


def test_answer_in_inches_is_answered_in_inches() -> None:
    one = beginnings()["shirt"]
    assert answered(one, {"edge.straight": "24 in"})[".units"] == "in"
    assert answered(one, {"edge.straight": "61 cm"})[".units"] == "mm"
    # A bare number means what the page says beside it.
    assert answered(one, {"edge.straight": "24", "band.width": "1 in"})[".units"] == "mm"
    assert answered(one, {"edge.straight": "24", "units": "in"})[".units"] == "in"


def test_crotch_flap_of_numbers_has_its_cloth_where_the_drawn_one_has_it() -> None:
    """The front's cloth lies above an edge that is drawn from the right leg to the left, seen from outside."""
    one = beginnings()["crotch"]
    drawn = check_plan(
        read_plan((TEMPLATES / "crotch-flap" / "plan.toml").read_bytes(), "plan.toml"), TEMPLATES / "crotch-flap" / "x"
    ).placement.laps.over
    told = answered(one, answers(one))
    assert told["garment.ends"] == "right leg, left leg" and drawn.edge.point_at(0.0)[0] < drawn.edge.point_at(50.0)[0]
    assert told["edge.cloth"] == "left"
    turned = answered(one, answers(one) | {"band.lap": "back over front"})
    assert turned["edge.cloth"] == "right"


def test_drawing_carries_the_answers_to_where_its_edge_is_chosen(page: TestClient) -> None:
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    typed = {"band.lap": "right over left", "closure": "prong snap|16 L", "band.width": "1 1/2 in"}
    sent = page.post("/begin/dress", data=typed, files={"drawing": ("front.svg", drawing)}, headers=SENT)
    assert sent.status_code == 303 and sent.headers["location"].startswith("/drawing/")
    shown = page.get(sent.headers["location"]).text
    assert 'value="1 1/2 in"' in shown and 'value="right over left" checked' in shown
    laid = page.post(
        sent.headers["location"], data={"edge.path": "over-edge", "edge.level_zero": "shoulder-point"}, headers=SENT
    )
    assert laid.status_code == 303, re.sub(r"<[^>]+>", " ", laid.text)
    text = page.get(f"{laid.headers['location']}/files/plan.toml").text
    assert 'kind = "prong snap"' in text and 'pieces = "pair"' in text


def test_length_told_beside_a_drawing_is_held_against_its_line(page: TestClient) -> None:
    """The edge of the starting plan is 691.3 mm long."""
    drawing = (TEMPLATES / "curved-front" / "front.svg").read_bytes()
    typed = {"band.lap": "right over left", "closure": "prong snap|16 L", "edge.straight": "600"}
    sent = page.post("/begin/dress", data=typed, files={"drawing": ("front.svg", drawing)}, headers=SENT)
    at = sent.headers["location"]
    assert 'name="told.length" value="600"' in page.get(at).text
    chosen = {"edge.path": "over-edge", "edge.level_zero": "shoulder-point", "told.length": "600"}
    refused = page.post(at, data=chosen, headers=SENT)
    assert refused.status_code == 422
    assert "you told an edge of 600 mm, and this line is 691.3 mm long" in re.sub(r"<[^>]+>", " ", refused.text)
    for told in ("690 mm", "27 1/4 in", ""):
        laid = page.post(at, data=chosen | {"told.length": told}, headers=SENT)
        assert laid.status_code == 303, re.sub(r"<[^>]+>", " ", laid.text)
    assert page.post(at, data=chosen | {"told.length": "long"}, headers=SENT).status_code == 422


def test_beginning_that_is_not_there_is_said(page: TestClient) -> None:
    assert page.get("/begin/hat").status_code == 404


def test_fraction_without_a_unit_is_one_of_inches_where_inches_were_chosen() -> None:
    told = answers(beginnings()["shirt"]) | {
        "units": "in",
        "edge.straight": "24 1/2",
        "band.width": "1 1/4",
        "closure": "prong snap|16 L",
    }
    plan = read_plan(plan_begun(beginnings()["shirt"], told).encode(), "plan.toml")
    assert plan.edge is not None and plan.band is not None
    assert (plan.edge.straight_mm, plan.band.width_mm) == (622.3, 31.75)


def test_what_cannot_be_read_of_an_answer_is_told_beside_its_own_question(page: TestClient) -> None:
    told = answers(beginnings()["sizes"]) | {"longer": "a bit", "closure": "prong snap|16 L"}
    shown = lxml_html.fromstring(page.post("/begin/sizes", data=told, headers=SENT).text)
    assert "'a bit' is not a length" in shown.get_element_by_id("w-longer").text_content()
    assert shown.get_element_by_id("f-longer").get("aria-invalid") == "true"


def test_fraction_of_inches_is_read_in_a_list_of_points_and_in_a_table_as_in_any_field() -> None:
    one = beginnings()["sizes"]
    text = plan_begun(one, answers(one) | {"units": "in", "longer": "3/8", "closure": "prong snap|16 L"})
    assert "3/8 in" in text
    for name, told in {
        "sizes.first": "step = 1/8",
        "sizes.grade": "0, 0\n0, 1 1/2",
        "row.over": "1/2, 1 at 3/4",
    }.items():
        held = meant(FIELDS[name].kind, in_inches(FIELDS[name], told, "in"))
        assert FIELDS[name].kind(held, Place(Where(), "", "in")) is not None
    assert in_inches(FIELDS["sizes.names"], "1/2, 3/4", "in") == "1/2, 3/4"


def test_places_of_old_buttons_are_read_with_spaces_alone_in_inches_too() -> None:
    assert in_inches(FIELDS["swap.places"], "2 5 1/2 8", "in") == "2, 5 1/2 in, 8"
    one = beginnings()["swap"]
    typed = {"swap.places": "2 5 1/2 8 3/8", "units": "in", "closure": "prong snap|16 L"}
    text = plan_begun(one, answers(one) | typed)
    swap = read_plan(text.encode(), "plan.toml").swap
    assert swap is not None
    assert [round(place, 4) for place in swap.places_mm] == [50.8, 139.7, 212.725]
