"""What must be known before a hole is made stands where it is read: on the printed pages and in the list to buy."""

from __future__ import annotations

from contextlib import suppress

import pypdfium2
import pytest
from paper_sets import STARTING, TEMPLATES
from test_advice_jobs import JOBS, SHIRT, cloth, contradictions, front, mispointed, out_of_order, steps_of, whole_set

from closures.app.job import load_plan, place_plan, result_files
from closures.drawing.extras.registry import asked_for
from closures.errors import ClosureError
from closures.plan.reading import read_plan
from closures.report.parts import parts_in_words


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", STARTING)
def test_no_page_of_a_starting_plan_has_two_points_side_by_side(name: str) -> None:
    path = TEMPLATES / name / "plan.toml"
    plan = load_plan(path)
    with suppress(ClosureError):
        plan = asked_for(plan, ("order", "coupon", "handover", "strip"))
    made = result_files(place_plan(plan, path), "a4")
    pages = pypdfium2.PdfDocument(next(data for file, data in made.items() if file.endswith(".pdf")))
    words = [made["report.md"].decode(), *(page.get_textpage().get_text_range() for page in pages)]
    assert mispointed(" ".join(" ".join(words).split())) == []


@pytest.mark.parametrize(
    "told", ["names,. At mark", "tip it names, .", "end.. At", "the mark ; it", "at {there}.", "so:."]
)
def test_two_points_side_by_side_are_seen(told: str) -> None:
    assert mispointed(told) != []


@pytest.mark.parametrize("name", ["flannel", "cotton velvet", "towelling", "interlock"])
def test_pricks_are_smoothed_in_one_way_on_the_cover_in_the_list_and_in_the_order(name: str) -> None:
    rest = cloth(name, fusible=True) + SHIRT.format(kind="prong snap", size="16 L", hole="")
    words = whole_set(front("sew-through button", "20 L", rest=rest, width=36))
    ways = ("lift the pile back", "stroke the threads back", "rub the nap over", "catch each loop that runs")
    assert len([way for way in ways if way in words]) == 1 and contradictions(words) == []


def printed(text: str) -> str:
    """Every word of the printed pages alone, with the order of work asked for."""
    answer = place_plan(asked_for(read_plan(text.encode(), "job.toml"), ("order",)))
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


BAND = JOBS["waistband with inner button"][0]


def test_waistband_of_one_snap_has_what_else_holds_it_on_its_printed_pages() -> None:
    words = printed(BAND)
    chosen, sewn = (
        "Choose what takes the pull of bending and sitting",
        "mark inside the waistband where what was chosen",
    )
    order = [words.index(told) for told in (chosen, "Press the cap through", sewn, "then put it on, sit and reach")]
    assert order == sorted(order)
    keys = [key for key, _, _ in steps_of(BAND)]
    assert keys[0] == "choose what holds" and keys.index("set second") < keys.index("set what holds") < keys.index(
        "try"
    )


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(BAND.replace('["16 mm"]', '["16 mm", "60 mm"]'), id="two snaps"),
        pytest.param(JOBS["wool trousers"][0], id="hook and bar"),
        pytest.param(JOBS["belt over a coat"][0], id="belt"),
        pytest.param(JOBS["denim"][0], id="front"),
    ],
)
def test_what_holds_without_a_second_closure_is_asked_for_none(text: str) -> None:
    words = whole_set(text)
    assert "takes the pull of bending" not in words and "what was chosen" not in words


@pytest.mark.parametrize("state", ["cut pieces", "sewn band", "finished"])
def test_inner_closure_is_asked_for_in_every_state_of_a_waistband(state: str) -> None:
    words = whole_set(f'{BAND}[garment]\nopens = "front"\nstate = "{state}"\n')
    assert "takes the pull of bending" in words and "what was chosen" in words
    assert contradictions(words) == [] and out_of_order(words) == []


MEETING = '[garment]\nopens = "back"\nedges = "meeting"\ngap = "50 mm"\n'
LACED = front("eyelet", "5.5 mm", rest=cloth("coutil"), count=8)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("", 'write edges = "meeting" under [garment] and [lacing]'),
        (MEETING, "Write [lacing], and its length is told"),
    ],
)
def test_eyelets_without_a_lace_say_in_the_list_to_buy_that_none_is_listed(more: str, told: str) -> None:
    words = printed(LACED + more)
    assert "No lace or cord is listed: the plan does not tell how it is laced" in words
    # What to write into the plan stands in the report, and on no page.
    report = result_files(place_plan(read_plan((LACED + more).encode(), "job.toml")), "a4")["report.md"].decode()
    assert told in " ".join(report.split()) and told not in words
    laced = printed(f"{LACED}{MEETING}[lacing]\n")
    assert "No lace or cord is listed" not in laced and "Lace of" in laced
    assert "No lace or cord" not in printed(JOBS["denim"][0])


@pytest.mark.parametrize(
    ("tied", "result", "said"),
    [
        ("0 mm", "warn", "too little to tie, or to hold it by"),
        ("40 mm", "warn", "A bow takes about 300 mm: write that as tied"),
        ("94 mm", "warn", "for which 100 mm are reckoned"),
        ("100 mm", "pass", "100 mm at either end are there to tie, as is told; a bow takes about 300 mm"),
        ("290 mm", "pass", "a bow takes about 300 mm"),
        ("300 mm", "pass", "300 mm at either end are there to tie, as is told or usual"),
    ],
)
def test_lace_too_short_to_be_tied_is_looked_at(tied: str, result: str, said: str) -> None:
    answer = place_plan(read_plan(f'{LACED}{MEETING}[lacing]\ntied = "{tied}"\n'.encode(), "job.toml"))
    (found,) = [one for one in answer.findings if one.rule == "lace"]
    assert found.result == result and said in found.text, found.text


@pytest.mark.parametrize(
    ("lacing", "result"),
    [
        ("", "pass"),
        ('tied = "300 mm"\n', "pass"),
        ('tied = "300 mm"\nlet_out = "60 mm"\n', "pass"),
        ('tied = "300 mm"\nlet_out = "220 mm"\n', "warn"),
        ('let_out = "220 mm"\n', "warn"),
    ],
)
def test_lace_that_is_longer_than_told_is_a_finding(lacing: str, result: str) -> None:
    answer = place_plan(read_plan(f"{LACED}{MEETING}[lacing]\n{lacing}".encode(), "job.toml"))
    (found,) = [one for one in answer.findings if one.rule == "lace"]
    assert found.result == result
    assert ("hang at either end, where 300 mm to tie is" in found.text) == (result == "warn")
    # The list to buy and the finding tell one length.
    lace = next(line for line in parts_in_words(answer.placement) if line.startswith("Lace of "))
    assert f"cut to {lace.removeprefix('Lace of ').split(' (')[0].split(',')[0]}" in found.text


@pytest.mark.parametrize(
    ("kind", "size", "cap", "told", "never"),
    [
        ("hook and eye", "2", 'cap = "9 mm"', "hook and eye 2, 3/8 in wide", "3/8 in across"),
        ("hook and bar", "one size", 'cap = "12 mm"', "1/2 in wide", "1/2 in across"),
        ("eyelet", "5.5 mm", "", "eyelet 5.5 mm, 3/8 in across the rim", "3/8 in across ·"),
        ("prong snap", "16 L", "", "in across", "wide"),
    ],
)
def test_part_is_told_by_what_is_measured_of_it(kind: str, size: str, cap: str, told: str, never: str) -> None:
    words = printed('units = "in"\n' + front(kind, size, closure=cap, rest=cloth("coutil"), count=5))
    assert told in words and f"{kind} {size}, {never}" not in words and never not in words.partition("OVER LAP")[0]
