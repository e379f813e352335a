"""Who a child is comes out the same however it is told: by a profile, by an age, by whose tables stand for the body.

The bounds are those of the calendar; what follows from them has its sources beside each rule and caution.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from closures.app.job import advice_of, check_plan, place_plan, swap_plan
from closures.app.whole import work_garment
from closures.errors import PlanError
from closures.jobs.swap.offer import FALSE_BUTTONS
from closures.plan.reading import read_plan

PROFILE = '[wearer]\nprofiles = ["{}"]\n'
BODY = '[body]\nage = "{}"\nsex = "girl"\n'
UNDER_THREE = (PROFILE.format("child under three"), BODY.format("9 months"), BODY.format("17 months"))
OLDER = (PROFILE.format("child") + BODY.format("5 years"), BODY.format("36 months"), BODY.format("7 years"))
FRONT = (
    '[edge]\nstraight = "340 mm"\n[garment]\nopens = "front"\n{garment}[band]\nwidth = "40 mm"\ninset = "20 mm"\n'
    'lap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n{spacing}'
    '[[layer]]\ncloth = "{cloth}"\ncount = {layers}\n'
)
SPACING = '[spacing]\nfirst = "15 mm"\nlast = "15 mm"\ncount = 5\n'
SWAPPED = (
    '[swap]\nkind = "sew-through button"\nsize = "18 L"\nfirst = "20 mm"\nlast = "20 mm"\ncount = 6\n'
    'hole = { way = "along", length = "13 mm", made = true }\n'
)


def front(told: str, kind: str = "sew-on snap", size: str = "1", *, layers: int = 3) -> bytes:
    text = FRONT.format(kind=kind, size=size, garment="", spacing=SPACING, cloth="cotton woven", layers=layers)
    return (text + told).encode()


def swapped(told: str) -> bytes:
    text = FRONT.format(
        kind="sew-on snap", size="1", garment='state = "finished"\n', spacing="", cloth="cotton woven", layers=3
    )
    return (text + SWAPPED + told).encode()


@pytest.mark.parametrize("told", [*UNDER_THREE, *OLDER])
def test_plan_tells_a_child_and_its_age_alike_whichever_way_it_is_told(told: str) -> None:
    plan = read_plan(front(told), "plan.toml")
    assert (plan.is_for_child, plan.is_under_three) == (True, told in UNDER_THREE)


@pytest.mark.parametrize(
    "told", ["", '[body]\nsex = "woman"\n', '[body]\nchest = "95 cm"\n', '[wearer]\nsold = ["EU"]\n']
)
def test_nobody_told_is_no_child(told: str) -> None:
    plan = read_plan(front(told), "plan.toml")
    assert (plan.is_for_child, plan.is_under_three) == (False, False)


@pytest.mark.parametrize("among", [UNDER_THREE, OLDER], ids=["under three", "older"])
def test_cautions_order_and_looks_are_the_same_whichever_way_it_is_told(among: tuple[str, ...]) -> None:
    found = []
    for told in among:
        answer = place_plan(read_plan(front(told), "plan.toml"))
        looks = [(one.rule, one.result, one.text) for one in answer.findings if one.rule != "way in"]
        advice = advice_of(answer)
        # Of an age that is told, the tests of that age alone are named.
        notes = [(heading, [line for line in lines if "use and abuse" not in line]) for heading, lines in advice.notes]
        found.append((notes, advice.cautions, advice.order, advice.marking, looks))
    assert found[0] == found[1] == found[2]
    nobody = advice_of(place_plan(read_plan(front(""), "plan.toml")))
    assert len(nobody.notes) < len(found[0][0]), "a child's cautions are its own"


@pytest.mark.parametrize("told", [*UNDER_THREE, *OLDER])
def test_magnets_fail_on_any_child(told: str) -> None:
    text = front(told, "magnetic snap", "18 mm")
    findings = check_plan(read_plan(text, "plan.toml")).findings
    assert any(one.result == "fail" and one.text.startswith("No magnets on anything for young") for one in findings)


@pytest.mark.parametrize("told", UNDER_THREE)
def test_swap_sews_nothing_for_show_on_who_is_under_three(told: str) -> None:
    def kinds(told: str) -> set[str]:
        swap = swap_plan(read_plan(swapped(told), "plan.toml")).swap
        assert swap is not None
        return {offer.kind for offer in swap.offers}

    assert kinds(told) and not kinds(told) & set(FALSE_BUTTONS)
    assert kinds("") & set(FALSE_BUTTONS), "buttons for show are offered to others"


def test_what_one_opening_tells_of_the_body_holds_for_the_whole_garment_and_is_said(tmp_path: Path) -> None:
    (tmp_path / "front.toml").write_bytes(front(BODY.format("18 months")))
    (tmp_path / "back.toml").write_bytes(front("").replace(b'opens = "front"', b'opens = "back"'))
    path = tmp_path / "garment.toml"
    path.write_text(
        '[[opening]]\nname = "front"\nplan = "front.toml"\n[[opening]]\nname = "back"\nplan = "back.toml"\n'
    )
    whole = work_garment(path, draw=False)
    assert [answer.placement.plan.is_under_three for answer in whole.answers] == [True, True]
    said = [one.text for one in whole.clearances if "profiles" in one.text]
    assert said == [
        "back does not tell profiles (child under three), and is worked as the garment's other plans tell: one garment "
        "has one wearer."
    ]


def test_a_child_beside_the_body_of_a_grown_person_is_refused(tmp_path: Path) -> None:
    (tmp_path / "front.toml").write_bytes(front(BODY.format("18 months")))
    back = front('[body]\nsex = "woman"\n').replace(b'opens = "front"', b'opens = "back"')
    (tmp_path / "back.toml").write_bytes(back)
    path = tmp_path / "garment.toml"
    path.write_text(
        '[[opening]]\nname = "front"\nplan = "front.toml"\n[[opening]]\nname = "back"\nplan = "back.toml"\n'
    )
    with pytest.raises(PlanError, match="one garment has one wearer"):
        work_garment(path, draw=False)


@pytest.mark.parametrize(
    ("age", "tests"),
    # 16 CFR 1500.51 goes to 18 months, .52 to 36, .53 to 96.
    [
        ("11 months", "1500.51"),
        ("18 months", "1500.51"),
        ("19 months", "1500.52"),
        ("8 years", "1500.53"),
        ("9 years", ""),
    ],
)
def test_cautions_name_the_tests_of_the_age_that_is_told(age: str, tests: str) -> None:
    told = advice_of(place_plan(read_plan(front(BODY.format(age)), "plan.toml")))
    lines = [line for _, lines in told.notes for line in lines if "use and abuse" in line]
    assert len(lines) == bool(tests) and all(tests in line for line in lines)


def test_a_child_of_untold_age_is_told_the_tests_of_all_ages() -> None:
    told = advice_of(place_plan(read_plan(front(PROFILE.format("child")), "plan.toml")))
    lines = " ".join(line for _, lines in told.notes for line in lines if "use and abuse" in line)
    assert all(f"1500.{part}" in lines for part in (51, 52, 53))


def test_a_girl_of_forty_is_refused() -> None:
    with pytest.raises(PlanError, match="no girl's age"):
        read_plan(front(BODY.format("40 years")), "plan.toml")


@pytest.mark.parametrize(("age", "is_under"), [("35 months", True), ("36 months", False), ("3 years", False)])
def test_under_three_ends_with_the_third_birthday(age: str, is_under: bool) -> None:
    assert read_plan(front(BODY.format(age)), "plan.toml").is_under_three is is_under


@pytest.mark.parametrize("told", UNDER_THREE)
def test_a_child_is_told_alike_where_edges_meet(told: str) -> None:
    text = front("", "hook and eye", "2").replace(
        b'opens = "front"\n', b'opens = "front"\nedges = "meeting"\ngap = "0 mm"\n'
    )
    assert check_plan(read_plan(text + told.encode(), "plan.toml")).placement.plan.is_under_three
