"""Printed pages speak to whoever sews: no key of a plan stands on any, whatever failed, was assumed or is to be looked at."""

from __future__ import annotations

import pickle
import re
from dataclasses import replace

import pytest
from paper_sets import STARTING, TEMPLATES, groups, words_on

from closures.app.job import Answer, check_plan, load_plan, place_plan
from closures.app.pages import booklet_of, marking_of
from closures.app.whole import shared_of, work_garment
from closures.catalogue.loading import load_catalogue
from closures.checks.finding import Finding
from closures.checks.page_words import PAGE_WORDS, findings_on_page, missed_in_words, worst_missed
from closures.drawing.extras.registry import asked_for
from closures.drawing.marking import make_set
from closures.drawing.paper.booklet import Booklet
from closures.drawing.sheets.sheet import failures_in_words
from closures.plan.reading import read_plan
from closures.said import for_author, on_page

CATALOGUE = load_catalogue()
KEYS = re.compile(r"\[+[a-z][a-z_]*\]+|\b[a-z_]+ = |`|\b[a-z]+_[a-z]+|--[a-z]")
"""A section, a key with its value, anything as it is typed, a key of two words, an option."""

GARMENTS = sorted(path.parent.name for path in TEMPLATES.glob("*/garment.toml"))

FRONT = """
title = "Kelp smock"
units = "{units}"
[edge]
straight = "{length}"
[garment]
opens = "{opens}"
state = "{state}"
{garment}
[band]
width = "{width}"
lap = "right over left"
{band}
[closure]
kind = "{kind}"
size = "{size}"
{closure}
[spacing]
first = "{first}"
last = "{last}"
{count}
{more}
"""
USUAL = {
    "units": "mm", "length": "600 mm", "opens": "front", "state": "cut pieces", "garment": "", "width": "34 mm",
    "band": "", "kind": "prong snap", "size": "16 L", "closure": "", "first": "20 mm", "last": "40 mm",
    "count": "count = 8", "more": '[[layer]]\ncloth = "oxford"\ncount = 2\n[[layer]]\ncloth = "light fusible"\n',
}  # fmt: skip
SWAP = (
    '[swap]\nkind = "{kind}"\nsize = "{size}"\nplaces = ["60 mm", "150 mm", "240 mm", "330 mm", "420 mm", "510 mm"]\n'
    "hole = {{ made = true{hole} }}\n"
)
BUTTONS = SWAP.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"')
POPLIN, LAYERS = USUAL["more"], '[[layer]]\ncloth = "{}"\ncount = {}\n'
FINISHED = {"state": "finished"}
BUTTON = {"kind": "sew-through button", "size": "18 L"}
UNLIKE: dict[str, dict[str, str]] = {
    "too near the edge": {"band": 'inset = "5 mm"'},
    "nearer than usual": {"band": 'inset = "9 mm"'},
    "a narrow band": {"width": "14 mm"},
    "rims that meet": {"length": "190 mm", "count": "count = 8", "last": "20 mm", "more": POPLIN + '[[single]]\nalong = "30 mm"\nkind = "prong snap"\nsize = "16 L"\n'},
    "past the end": {"first": "3 mm"},
    "few and far": {"count": "count = 3"},
    "uneven": {"count": 'pitch = "77 mm"', "more": POPLIN + '[[anchor]]\nname = "bust"\nlevel = "201 mm"\n'},
    "a place missed": {"more": POPLIN + '[[anchor]]\nname = "bust"\nlevel = "130 mm"\nwithin = "1 mm"\n'},
    "in a clear zone": {"more": POPLIN + '[[clear]]\nname = "belt"\nalong = ["90 mm", "110 mm"]\n'},
    "no layers": {"more": ""},
    "too thick": {"more": LAYERS.format("denim 12 oz", 6)},
    "too thin": {"kind": "leather post snap", "size": "20 L"},
    "knit alone": {"more": LAYERS.format("interlock", 2)},
    "interfacing alone": {"more": LAYERS.format("medium fusible", 2)},
    "silk and a hammer": {"more": LAYERS.format("silk charmeuse", 2)},
    "a child": {"more": POPLIN + '[wearer]\nprofiles = ["child under three"]\n'},
    "magnets of whom nobody asked": {"kind": "magnetic snap", "size": "14 mm", "width": "50 mm"},
    "magnets and an implant": {
        "kind": "magnetic snap", "size": "14 mm", "width": "50 mm", "more": POPLIN + '[wearer]\nimplants = "some"\n',
    },
    "magnets in a finished band": {**FINISHED, "kind": "magnetic snap", "size": "14 mm", "width": "50 mm"},
    "a turned button": {**BUTTON, "closure": 'halves = "turned"'},
    "holes that meet": {**BUTTON, "size": "36 L", "count": "count = 15", "closure": 'hole = "along"'},
    "a hole past the band": {**BUTTON, "size": "40 L", "closure": 'hole = "across"', "width": "30 mm"},
    "eyelets that lap": {"kind": "eyelet", "size": "5.5 mm"},
    "eyelets that meet": {"kind": "eyelet", "size": "5.5 mm", "garment": 'edges = "meeting"'},
    "hooks": {"kind": "hook and eye", "size": "2", "more": ""},
    "loops": {"kind": "loop and button", "size": "18 L", "garment": 'edges = "meeting"'},
    "bands of another interfacing": {"more": POPLIN + '[bands]\nmade = "folded"\nallowance = "10 mm"\ninterfacing = 2\n'},
    "bands": {"more": POPLIN + '[bands]\nallowance = "10 mm"\ninterfacing = 1\n'},
    "a wide band": {"width": "300 mm"},
    "shrinks": {"more": POPLIN + '[shrinkage]\nalong = "6 %"\nacross = "3 %"\nmeasured = "unwashed"\n'},
    "leather that is washed": {
        "more": LAYERS.format("leather 3 oz", 2), "kind": "leather post snap", "size": "20 L",
        "garment": 'washing = "washed"',
    },
    "buttons to snaps": {**FINISHED, "more": POPLIN + BUTTONS},
    "buttons to snaps, a patch": {**FINISHED, "more": POPLIN + BUTTONS + 'patch = "24 mm"\n'},
    "buttons to larger ones": {**FINISHED, **BUTTON, "size": "24 L", "count": 'pitch = "90 mm"', "more": POPLIN + BUTTONS},
    "the same buttons": {**FINISHED, **BUTTON, "count": 'pitch = "90 mm"', "more": POPLIN + BUTTONS},
    "snaps to buttons": {**FINISHED, **BUTTON, "more": POPLIN + SWAP.format(kind="prong snap", size="16 L", hole="")},
    "turned over": {**FINISHED, "closure": 'halves = "turned"', "more": POPLIN + BUTTONS + 'halves = "usual"\n'},
    "backed": {"more": POPLIN + '[sheets]\nbacking = "patches"\n', "width": "20 mm"},
    "inches": {
        "units": "in", "length": "24 in", "width": "1 in", "band": 'inset = "0.2 in"', "first": "0.1 in",
        "last": "2 in",
    },
    "a back": {"opens": "back", "band": 'inset = "9 mm"', "more": POPLIN + '[[anchor]]\nname = "waist"\nlevel = "300 mm"\n'},
}  # fmt: skip


def lines_of(booklet: Booklet) -> list[str]:
    """Everything that is read on the pages: each paragraph whole, and each row of letters as it stands."""
    found = []
    for page in booklet.pages:
        found += [one.title for one in groups(page.items)] + [one.text for one in words_on(page.items)]
    return found


def hold(lines: list[str]) -> None:
    assert [line for line in dict.fromkeys(lines) if KEYS.search(line)] == []


def placed(name: str, *also: str) -> Answer:
    return place_plan(asked_for(read_plan(FRONT.format(**USUAL | UNLIKE[name]).encode(), "smock.toml"), also))


def whole(answer: Answer) -> list[str]:
    made = booklet_of(answer, CATALOGUE.paper("a3"))
    sheets = [one.text for sheet in answer.sheets for one in words_on(sheet.drawing)]
    return lines_of(made) + sheets + [sheet.text.reasons for sheet in answer.sheets]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_no_key_of_a_plan_stands_on_a_page_of_a_starting_plan(name: str) -> None:
    plan = TEMPLATES / name / "plan.toml"
    hold(whole(place_plan(asked_for(load_plan(plan), ("all",)), plan)))


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", GARMENTS)
def test_no_key_of_a_plan_stands_on_a_page_of_a_starting_garment(name: str) -> None:
    made = work_garment(TEMPLATES / name / "garment.toml")
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(made.garment.openings, made.answers, strict=True)
    ]
    hold(lines_of(make_set(markings, made.garment.title, CATALOGUE.paper("a4"), shared=shared_of(made))))


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", UNLIKE)
def test_no_key_of_a_plan_stands_on_a_page_of_what_fails_or_is_looked_at(name: str) -> None:
    hold(whole(placed(name, "order", "coupon")))


def test_the_plans_of_these_tests_fail_and_are_looked_at_in_unlike_ways() -> None:
    found = {
        (one.result, one.rule)
        for name in UNLIKE
        for one in check_plan(read_plan(FRONT.format(**USUAL | UNLIKE[name]).encode(), "smock.toml")).findings
        if one.result != "pass"
    }
    assert len({rule for _, rule in found}) >= 15 and len([one for one in found if one[0] == "fail"]) >= 5


def test_every_rule_has_words_for_a_page() -> None:
    reference = (TEMPLATES.parent / "docs" / "reference" / "checks.md").read_text(encoding="utf-8")
    rules = set(re.findall(r"^## ([a-z ]+)$", reference, re.M))
    assert rules <= PAGE_WORDS.keys()
    assert not [words for words in PAGE_WORDS.values() if KEYS.search(words)]


def test_a_page_tells_no_figure_of_what_a_check_does_not_miss() -> None:
    """An uneven row was told as too even, and a stack that leaves room for a patch as too thin."""
    assert missed_in_words(Finding("evenness", "warn", "", "", None, 2, 18.2, 24.0, "most"), "mm") == ""
    assert missed_in_words(Finding("old hole", "warn", "", "", None, 2, 9.0, 2.0, "least"), "mm") == ""
    under = Finding("old hole", "warn", "", "", None, 2, -5.1, 2.0, "least")
    assert missed_in_words(under, "mm") == "5.1 mm too far in, where 2 mm clear of it is the least"
    thick, thin = (
        Finding("layer thickness", "fail", "", "", "over", 1, 2.4, 1.8, "most"),
        Finding("layer thickness", "fail", "", "", "over", 1, 0.4, 0.6, "least"),
    )
    assert missed_in_words(thick, "mm") == "2.4 mm, where 1.8 mm is the most"
    assert missed_in_words(thin, "mm") == "0.4 mm, where 0.6 mm is the least"


def test_a_figure_is_told_beside_the_end_of_its_limit_that_the_check_itself_names() -> None:
    """One rule has limits of either kind: a hook may lie too near to its edge, and too far from it."""
    far = Finding("edge distance", "warn", "", "", "over", 1, 9.0, 6.0, "most")
    assert missed_in_words(far, "mm") == "9 mm, where 6 mm is the most"
    assert missed_in_words(replace(far, limit_is="least"), "mm") == ""
    assert missed_in_words(replace(far, limit_is=None), "mm") == ""


def test_a_page_tells_the_worst_of_what_is_missed_and_not_of_what_lies_well() -> None:
    well, near, nearer = (
        Finding("edge distance", "warn", "", "", "over", n, mm, 8.0, "least")
        for n, mm in ((1, 40.0), (2, 7.0), (3, 6.0))
    )
    assert worst_missed([well, near, nearer], "mm") == "at worst 6 mm, where 8 mm is the least"
    assert worst_missed([well], "mm") == ""
    hair = Finding("edge distance", "warn", "", "", "over", 1, 7.98, 8.0, "least")
    assert missed_in_words(hair, "mm") == "just under 8 mm, where 8 mm is the least"


def test_a_page_tells_by_how_much_a_check_is_missed_in_the_units_of_the_plan() -> None:
    near = Finding("edge distance", "fail", "Write inset under [band].", "", "over", 3, 5.0, 8.08, "least")
    assert missed_in_words(near, "mm") == "5 mm, where 8.1 mm is the least"
    assert missed_in_words(near, "in") == "3/16 in (5 mm), where 5/16 in (8.1 mm) is the least"
    wide = Finding("widest gap", "warn", "Look at pitch = 90.", "", None, 2, 168.0, 135.5, "most")
    assert missed_in_words(wide, "mm") == "168 mm, where 135.5 mm is the most"
    assert missed_in_words(Finding("corner", "fail", "", "", "over", 1, -2.0, 0.0, "least"), "mm") == "2 mm too little"
    assert failures_in_words([near], "lap", "mm") == "edge distance, over lap: mark 3 (5 mm, where 8.1 mm is the least)"
    told = findings_on_page([wide, near], "lap", "mm")
    assert [line.split(":")[0] for line in told] == ["FAIL", "Look"]
    assert told[0].endswith("This asks how far the parts lie from the finished edge.")
    assert not any(KEYS.search(line) for line in told)


def test_what_is_said_to_an_author_stays_beside_what_stands_on_a_page() -> None:
    told = "Assumed: " + ("It is so." + for_author(" Write inset under [band].", " Look there."))
    assert told == "Assumed: It is so. Write inset under [band]." and on_page(told) == "Assumed: It is so. Look there."
    assert on_page(pickle.loads(pickle.dumps(told))) == on_page(told)
    assert on_page("plain") == "plain" and on_page("It is so." + for_author(" Write it.")) == "It is so."


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", UNLIKE)
def test_a_cover_says_of_what_is_looked_at_what_was_found_and_not_what_the_rule_asks(name: str) -> None:
    answer = check_plan(read_plan(FRONT.format(**USUAL | UNLIKE[name]).encode(), "smock.toml"))
    for told in findings_on_page(answer.findings, answer.placement.side_word, answer.placement.plan.units):
        assert ": This asks " not in told, told


def test_a_cover_says_which_point_of_a_measured_edge_was_found_off_its_line() -> None:
    text = (
        FRONT.format(**USUAL)
        .replace(
            'straight = "600 mm"',
            'points = [["0 mm", "0 mm"], ["4 mm", "100 mm"], ["7 mm", "200 mm"], ["49 mm", "300 mm"], ["11 mm", "400 mm"], '
            '["12 mm", "500 mm"], ["12 mm", "600 mm"]]',
        )
        .replace('state = "cut pieces"', 'state = "cut pieces"\npieces = "pair"')
    )
    answer = check_plan(read_plan(text.encode(), "smock.toml"))
    told = [line for line in findings_on_page(answer.findings, "lap", "mm") if "finished edge" in line]
    assert len(told) == 1 and told[0].startswith("Look: finished edge: Point 4 of the measured edge lies ")
    assert "Measure it again" in told[0]
