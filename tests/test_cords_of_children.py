"""A lace on what a child wears is looked at, on the terminal and on the cover: EN 14682, 16 CFR 1120 with ASTM F1816.

The standards are named from memory and were not looked up; the words say so.
"""

from __future__ import annotations

import io

import pdfplumber
import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.plan.ends import is_neck
from closures.plan.reading import read_plan

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


def told(text: bytes) -> list[str]:
    findings = check_plan(read_plan(text, "plan.toml")).findings
    return [one.text for one in findings if one.rule == "wearer" and "cords catch" in one.text and one.result == "warn"]


@pytest.mark.parametrize("profile", ["child", "child under three"])
def test_a_lace_at_the_neck_of_a_child_is_a_look_that_names_the_standards(profile: str) -> None:
    (text,) = told(plan(f'profiles = ["{profile}"]'))
    assert text.startswith("A lace at the neck closes what a child wears, and 300 mm of it are tied or hang")
    assert EU in text and US in text


@pytest.mark.parametrize(
    ("sold", "eu", "us"), [('["EU"]', True, False), ('["US"]', False, True), ('["elsewhere"]', False, False)]
)
def test_only_the_standards_of_where_it_is_sold_are_told(sold: str, eu: bool, us: bool) -> None:
    (text,) = told(plan(f'profiles = ["child"]\nsold = {sold}'))
    assert (EU in text, US in text) == (eu, us)


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


def test_the_look_stands_in_the_report_and_on_the_cover() -> None:
    answer = place_plan(read_plan(plan('profiles = ["child under three"]\nsold = ["EU"]'), "plan.toml"))
    files = result_files(answer, "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pages:
        cover = " ".join((pages.pages[0].extract_text() or "").split())
    assert "Look: a lace on a child" in cover and "EN 14682 allows no cords at hood" in cover
    assert "no cords at hood and neck" in " ".join(files["report.md"].decode().split())


@pytest.mark.parametrize(("name", "found"), [("neck", True), ("back neck", True), ("top", False), ("necklace", False)])
def test_a_neck_is_known_by_its_name(name: str, found: bool) -> None:
    assert is_neck(name) is found


def test_the_look_stands_on_the_cover_of_all_sizes() -> None:
    sizes = '[sizes]\nnames = ["98", "104"]\nbase = "98"\nlast = { step = "4 mm" }\n'
    run = place_sizes(read_plan(plan('profiles = ["child"]\nsold = ["EU"]') + sizes.encode(), "plan.toml"))
    files = size_files(run, "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pages:
        cover = " ".join((pages.pages[0].extract_text() or "").split())
    assert "Look: a lace on a child" in cover
