"""A lace on what a child wears is looked at, and at the neck of one under seven held back: EN 14682, 16 CFR 1120 with
ASTM F1816.

The standards are named from memory and were not looked up; the words say so.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import pdfplumber
import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.plan.ends import is_neck
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from collections.abc import Mapping

EU, US = "Europe: EN 14682 allows no cords at hood and neck under seven.", "US: 16 CFR 1120 with ASTM F1816"


def plan(wearer: str, opens: str = "front", more: str = "", kind: str = "eyelet", ends: str = "") -> bytes:
    lace = '[lacing]\nway = "crossed"\n' + more if kind == "eyelet" else ""
    size = "5.5 mm" if kind == "eyelet" else "2"
    return (
        f'[edge]\nstraight = "340 mm"\n[garment]\nopens = "{opens}"\nedges = "meeting"\ngap = "20 mm"\n{ends}[band]\n'
        f'width = "32 mm"\nlap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\n'
        'first = "15 mm"\nlast = "15 mm"\ncount = 14\n[[layer]]\ncloth = "cotton woven"\ncount = 3\n'
        f"{lace}[wearer]\n{wearer}\n"
    ).encode()


def told(text: bytes, result: str = "warn") -> list[str]:
    findings = check_plan(read_plan(text, "plan.toml")).findings
    return [one.text for one in findings if one.rule == "wearer" and "cords catch" in one.text and one.result == result]


OF_AGE = 'profiles = ["child"]\n[body]\nsex = "girl"\nage = "{}"'


@pytest.mark.parametrize(
    ("wearer", "is_asked"),
    [
        ('profiles = ["child under three"]', False),
        (OF_AGE.format("83 months"), False),
        # Nobody told how old: it may be under seven, and the age is asked for.
        ('profiles = ["child"]', True),
    ],
)
def test_a_lace_at_the_neck_of_a_child_under_seven_fails_and_is_held_back(wearer: str, is_asked: bool) -> None:
    (text,) = told(plan(wearer), "fail")
    assert text.startswith("A lace at the neck closes what a child wears, and 300 mm of it are tied or hang")
    assert EU in text and US in text and "or ask first" not in text
    assert ('age = "8 years"' in text) is is_asked and not told(plan(wearer))
    answer = check_plan(read_plan(plan(wearer), "plan.toml"))
    assert answer.placement.is_withheld
    assert [one.source for one in answer.findings if one.result == "fail"] == ["from memory: named, not looked up"]


def test_a_lace_at_the_neck_from_seven_on_is_a_look_and_is_set() -> None:
    text = plan(OF_AGE.format("84 months"))
    (look,) = told(text)
    assert EU not in look and "or ask first" in look and not told(text, "fail")
    assert not check_plan(read_plan(text, "plan.toml")).placement.is_withheld


@pytest.mark.parametrize(
    ("sold", "result", "eu", "us"),
    [
        ('["EU"]', "fail", True, False),
        ('["US"]', "warn", False, True),
        ('["elsewhere"]', "warn", False, False),
    ],
)
def test_only_the_standards_of_where_it_is_sold_are_told(sold: str, result: str, eu: bool, us: bool) -> None:
    (text,) = told(plan(f'profiles = ["child"]\nsold = {sold}'), result)
    assert (EU in text, US in text) == (eu, us)


def test_the_cord_of_a_hood_is_held_back_as_one_at_the_neck() -> None:
    hood = 'ends = ["hood", "chin"]\n'
    assert told(plan('profiles = ["child under three"]', ends=hood), "fail")
    assert not told(plan(OF_AGE.format("9 years"), ends=hood), "fail")


def test_a_lace_at_the_back_and_one_below_the_neck_are_looked_at_as_well() -> None:
    back = 'ends = ["top", "waist"]\n'
    (text,) = told(plan('profiles = ["child"]', "back", 'tied = "600 mm"\n', ends=back))
    assert text.startswith("A lace at the back closes") and "600 mm of it" in text
    assert "EN 14682 has its own on cords at the back" in text and EU not in text
    (text,) = told(plan('profiles = ["child"]', ends='ends = ["waist", "hem"]\n'))
    assert text.startswith("A lace closes what a child wears") and EU not in text


def test_no_child_and_no_lace_is_no_look() -> None:
    assert not told(plan('profiles = ["weak hands"]'))
    assert not told(plan('profiles = ["child"]', kind="hook and eye"))


def cover_of(files: Mapping[str, bytes]) -> str:
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pages:
        return " ".join((pages.pages[0].extract_text() or "").split())


def test_the_look_stands_in_the_report_and_on_the_cover() -> None:
    wearer = OF_AGE.format("9 years").replace("\n", '\nsold = ["EU"]\n', 1)
    files = result_files(place_plan(read_plan(plan(wearer), "plan.toml")), "a4")
    assert "Look: a lace on a child" in cover_of(files) and "EN 14682 holds how long" in cover_of(files)
    assert "EN 14682 holds how long cords may be" in " ".join(files["report.md"].decode().split())


def test_what_is_held_back_buys_and_cuts_no_lace() -> None:
    text = plan('profiles = ["child under three"]') + b"[sheets]\norder = true\n"
    files = result_files(place_plan(read_plan(text, "plan.toml")), "a4")
    page = " ".join(files["report.md"].decode().split())
    assert "Buy, mark, cut and set nothing of what is planned here. A lace at the neck" in page
    assert "Look: a lace on a child" not in cover_of(files) and "held back" in cover_of(files).lower()
    assert "Lace of " not in page and "Cut the lace" not in page and "lace it on the child" not in page


@pytest.mark.parametrize(("name", "found"), [("neck", True), ("back neck", True), ("top", False), ("necklace", False)])
def test_a_neck_is_known_by_its_name(name: str, found: bool) -> None:
    assert is_neck(name) is found


def test_the_look_stands_on_the_cover_of_all_sizes() -> None:
    sizes = '[sizes]\nnames = ["98", "104"]\nbase = "98"\nlast = { step = "4 mm" }\n'
    run = place_sizes(read_plan(plan(OF_AGE.format("9 years")) + sizes.encode(), "plan.toml"))
    assert "Look: a lace on a child" in cover_of(size_files(run, "a4"))
