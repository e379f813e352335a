"""What a garment has once: its wearer, where it is sold, its state, the wash of one cloth."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest
from test_advice_jobs import contradictions
from test_pages_without_keys import KEYS
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import load_plan, place_plan, result_files
from closures.app.whole import garment_files, work_garment
from closures.errors import PlanError
from closures.jobs.whole.tellers import are_both_sides, without_side
from closures.plan.reading import read_plan
from closures.plan.wearer import WearerWish
from closures.said import on_page

RUN = CliRunner()
ROW = """
title = "Tansy {name}"
[garment]
opens = "{name}"
{garment}
[edge]
straight = "400 mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 5
[[layer]]
cloth = "{cloth}"
count = 2
"""
BELT = """
title = "Tansy belt"
{garment}
[belt]
waist = "480 mm"
width = "30 mm"
lap = "right over left"
allowance = "10 mm"
[closure]
kind = "magnetic snap"
size = "14 mm"
[[layer]]
cloth = "chino"
count = 2
"""
FOR_A_CHILD = '[wearer]\nprofiles = ["child under three"]\nimplants = "none"\nsold = ["EU"]\n'
UNWASHED = '[shrinkage]\nalong = "6 %"\nmeasured = "unwashed"\n'


def row(name: str, garment: str = "", more: str = "", cloth: str = "chino") -> str:
    return ROW.format(name=name, garment=garment, cloth=cloth) + more


def belt(garment: str = "", more: str = "") -> str:
    return BELT.format(garment=f"[garment]\n{garment}" if garment else "") + more


def garment_of(folder: Path, **plans: str) -> Path:
    names = list(plans)
    for name, text in plans.items():
        (folder / f"{name}.toml").write_text(text)
    (folder / "garment.toml").write_text(
        'title = "Tansy dress"\n'
        + "".join(
            f'[[opening]]\nname = "{name}"\nplan = "{name}.toml"\nclear_of = {json.dumps(names[:n])}\n'.replace(
                "clear_of = []\n", ""
            )
            for n, name in enumerate(names)
        )
    )
    return folder / "garment.toml"


def told_between(path: Path) -> list[tuple[str, str]]:
    return [(one.result, one.text) for one in work_garment(path, draw=False).clearances]


def test_magnets_on_a_belt_fail_for_the_child_that_the_fronts_plan_tells(tmp_path: Path) -> None:
    path = garment_of(tmp_path, front=row("front", more=FOR_A_CHILD), belt=belt())
    ran = RUN.invoke(app, ["check", str(path)])
    assert ran.exit_code == 1 and "FAIL  belt, wearer: No magnets on anything for young children" in ran.output
    (carried,) = [text for result, text in told_between(path) if result == "pass" and "does not tell" in text]
    assert carried.startswith("belt does not tell profiles (child under three), implants (none) and sold (EU)")


def test_implants_that_another_opening_answered_are_not_asked_about(tmp_path: Path) -> None:
    path = garment_of(tmp_path, front=row("front", more='[wearer]\nimplants = "none"\n'), belt=belt())
    made = garment_files(work_garment(path), "a4")
    words = made["report.md"].decode() + made["belt-report.md"].decode()
    assert "Ask about implants" not in words and "Ask first: does" not in words
    alone = work_garment(garment_of(tmp_path, front=row("front"), belt=belt()))
    assert "Ask first: does" in garment_files(alone, "a4")["report.md"].decode()


def test_opening_is_as_its_plan_with_the_garments_wearer_gives_it_alone_but_for_the_names_of_its_files(
    tmp_path: Path,
) -> None:
    path = garment_of(tmp_path, front=row("front", more=FOR_A_CHILD), back=row("back"))
    made = garment_files(work_garment(path), "a4")
    plan = load_plan(tmp_path / "back.toml")
    wearer = WearerWish(("child under three",), "none", None, ("EU",))
    for file, content in result_files(place_plan(replace(plan, wearer=wearer), tmp_path / "back.toml"), "a4").items():
        if file not in ("report.json", "marking.pdf"):
            # Its page calls its sheets by the names that they have in the set.
            own = made[f"back-{file}"].replace(b"`back-over.svg`", b"`over.svg`")
            assert own.replace(b"`back-under.svg`", b"`under.svg`") == content, file


def test_wearer_is_carried_key_by_key(tmp_path: Path) -> None:
    front, back = '[wearer]\nprofiles = ["child"]\n', '[wearer]\nsold = ["US", "EU"]\n'
    whole = work_garment(garment_of(tmp_path, front=row("front", more=front), back=row("back", more=back)), draw=False)
    for answer in whole.answers:
        wearer = answer.placement.plan.wearer
        assert wearer is not None
        assert (wearer.profiles, wearer.implants, set(wearer.sold)) == (("child",), "not asked", {"EU", "US"})


@pytest.mark.parametrize(
    ("front", "back", "said"),
    [
        pytest.param(
            {"more": '[wearer]\nprofiles = ["child"]\n'},
            {"more": FOR_A_CHILD},
            'front tells profiles = ["child"] and back tells profiles = ["child under three"]. Under [wearer] write',
            id="profiles",
        ),
        pytest.param(
            {"more": '[wearer]\nimplants = "some"\n'},
            {"more": FOR_A_CHILD},
            'front tells implants = "some" and back tells implants = "none". Under [wearer] write',
            id="implants",
        ),
        pytest.param(
            {"more": '[wearer]\nsold = ["US"]\n'},
            {"more": FOR_A_CHILD},
            'front tells sold = ["US"] and back tells sold = ["EU"]. Under [wearer] write the same sold',
            id="sold",
        ),
        pytest.param(
            {"more": '[body]\nchest = "1100 mm"\n'},
            {"more": '[body]\nchest = "900 mm"\n'},
            'under [body] front tells chest = "1100 mm" and back tells chest = "900 mm". Under [body] write the same',
            id="girths",
        ),
        pytest.param(
            {"more": '[body]\nsex = "boy"\nage = "4 years"\n'},
            {"more": '[body]\nsex = "boy"\nage = "6 years"\n'},
            'front tells age = "48 months" and back tells age = "72 months"',
            id="age",
        ),
        pytest.param(
            {"more": '[wearer]\nprofiles = ["child"]\n'},
            {"more": '[body]\nsex = "man"\n'},
            "front tells a child, and back tells the body of a grown person",
            id="child and man",
        ),
        pytest.param(
            {"garment": 'state = "finished"'},
            {"garment": 'state = "cut pieces"'},
            "front is finished while back tells cut pieces. Under [garment] write state",
            id="state",
        ),
        pytest.param(
            {"garment": 'state = "finished"'},
            {},
            "front is finished while back tells no state, which is worked as cut pieces",
            id="state not told",
        ),
        pytest.param(
            {"more": UNWASHED},
            {},
            "front tells what it loses in its first wash while back tells nothing",
            id="unwashed",
        ),
        pytest.param(
            {"more": UNWASHED},
            {"more": UNWASHED.replace("6 %", "4 %")},
            "front tells 6 % along and 0 % across and back tells 4 % along and 0 % across. Under [shrinkage] write",
            id="shares lost",
        ),
        pytest.param(
            {"garment": 'washing = "washed"'},
            {"garment": 'washing = "to be washed"'},
            'front tells washing = "washed" and back tells washing = "to be washed"',
            id="washing",
        ),
    ],
)
def test_openings_that_tell_what_cannot_hold_of_one_garment_are_refused(
    tmp_path: Path, front: dict[str, str], back: dict[str, str], said: str
) -> None:
    path = garment_of(tmp_path, front=row("front", **front), back=row("back", **back))
    with pytest.raises(PlanError) as refused:
        work_garment(path, draw=False)
    assert said in str(refused.value) and str(refused.value).startswith("garment.toml: ")
    assert len(refused.value.faults) == 1


def test_piece_of_one_cloth_on_the_other_grain_is_a_look_that_names_both(tmp_path: Path) -> None:
    turned = UNWASHED.replace("along", "across").replace("unwashed", "washed")
    ((result, text),) = told_between(
        garment_of(tmp_path, front=row("front", more=UNWASHED), back=row("back", more=turned))
    )
    assert result == "warn" and text.startswith(
        "Of one chino, front tells 6 % along and 0 % across and back tells 0 % along and 6 % across. That is right where"
    )
    # The state in which a plan was measured may be another.
    alike = UNWASHED.replace("unwashed", "washed")
    path = garment_of(tmp_path, front=row("front", more=UNWASHED), back=row("back", more=alike))
    assert told_between(path) == []


def test_all_that_differs_is_told_together(tmp_path: Path) -> None:
    path = garment_of(
        tmp_path,
        front=row("front", 'state = "finished"', '[wearer]\nsold = ["US"]\n'),
        back=row("back", more=FOR_A_CHILD),
    )
    with pytest.raises(PlanError) as refused:
        work_garment(path, draw=False)
    assert len(refused.value.faults) == 2


def test_what_is_sewn_beside_what_is_cut_and_another_cloth_unwashed_are_no_contradiction(tmp_path: Path) -> None:
    sewn = garment_of(tmp_path, front=row("front", 'state = "sewn band"'), back=row("back"))
    assert told_between(sewn) == []
    other = garment_of(tmp_path, front=row("front", more=UNWASHED), back=row("back", cloth="linen"))
    assert told_between(other) == []


def test_belt_cut_for_a_finished_front_is_a_look_that_names_both(tmp_path: Path) -> None:
    finished = row("front", 'state = "finished"')
    ((result, text),) = told_between(garment_of(tmp_path, front=finished, belt=belt()))
    assert result == "warn" and text.startswith("front is finished, and belt is worked as cut pieces.")
    ((result, text),) = told_between(garment_of(tmp_path, front=row("front"), belt=belt('state = "finished"')))
    assert result == "warn" and text.startswith("front is still being made, and belt is finished.")
    assert told_between(garment_of(tmp_path, front=finished, belt=belt('state = "finished"'))) == []


def test_belt_of_the_cloth_of_an_unwashed_front_is_a_look_that_names_both(tmp_path: Path) -> None:
    ((result, text),) = told_between(garment_of(tmp_path, front=row("front", more=UNWASHED), belt=belt()))
    assert result == "warn" and "The sheets of front are for chino before its first wash, and those of belt" in text


def test_order_of_work_of_a_garment_does_not_contradict_itself(tmp_path: Path) -> None:
    path = garment_of(
        tmp_path, front=row("front", 'state = "finished"', FOR_A_CHILD), back=row("back", 'state = "finished"')
    )
    assert contradictions(garment_files(work_garment(path), "a4")["report.md"].decode()) == []


def lapped_apart(path: Path) -> list[tuple[str, str]]:
    return [one for one in told_between(path) if "closes the same way" in one[1]]


def test_openings_in_one_place_that_lap_in_opposite_ways_are_a_look(tmp_path: Path) -> None:
    turned = row("front").replace("right over left", "left over right")
    (found,) = lapped_apart(garment_of(tmp_path, fly=turned, waistband=row("front"), back=row("back")))
    assert found[0] == "warn"
    assert 'fly tells lap = "left over right" and waistband tells lap = "right over left"' in found[1]
    assert "At one front" in found[1] and "[band]" in found[1]


def test_openings_that_lap_the_same_way_or_in_other_places_are_no_look(tmp_path: Path) -> None:
    turned = row("back").replace("right over left", "left over right")
    assert not lapped_apart(garment_of(tmp_path, fly=row("front"), waistband=row("front"), back=turned, belt=belt()))


def test_strap_that_laps_the_other_way_than_the_opening_it_closes_with_is_a_look(tmp_path: Path) -> None:
    turned = belt().replace("right over left", "left over right")
    (found,) = lapped_apart(garment_of(tmp_path, fly=row("front"), waistband=turned))
    assert found[0] == "warn"
    assert 'fly tells lap = "right over left" and waistband tells lap = "left over right"' in found[1]
    assert "under [band] and [belt] of both plans" in found[1]


def test_strap_closes_where_it_says_or_where_the_opening_does_that_it_runs_over(tmp_path: Path) -> None:
    turned = belt().replace("right over left", "left over right")
    back = row("back").replace("right over left", "left over right")
    path = garment_of(tmp_path, front=row("front"), back=back, sash=turned)
    assert len(lapped_apart(path)) == 1
    path.write_text(path.read_text() + 'over = "back"\nlevel = "200 mm"\n')
    assert not lapped_apart(path)
    told_there = belt('opens = "back"').replace("right over left", "left over right")
    assert not lapped_apart(garment_of(tmp_path, front=row("front"), back=back, sash=told_there))


def test_strap_of_other_sides_is_not_held_against_a_front(tmp_path: Path) -> None:
    tab = belt().replace("right over left", "front over back")
    assert not lapped_apart(garment_of(tmp_path, front=row("front"), tab=tab))


def twice(folder: Path, text: str, *more: str) -> Path:
    """A garment of one plan in two openings."""
    (folder / "row.toml").write_text(text)
    parts = [f'[[opening]]\nname = "{name}"\nplan = "row.toml"\n{own}\n' for name, own in zip("ab", more, strict=True)]
    (folder / "garment.toml").write_text('title = "Tansy dress"\n' + "".join(parts))
    return folder / "garment.toml"


@pytest.mark.parametrize(
    ("one", "other", "told"),
    [
        ("", "", "both name row.toml, and neither is mirrored. Leave one out; or write mirrored = true in one"),
        ("mirrored = false", "", "neither is mirrored"),
        ("mirrored = true", "mirrored = true", "both are mirrored. Leave one out; or write mirrored = false in one"),
    ],
)
def test_one_row_twice_on_one_side_of_a_garment_is_refused(tmp_path: Path, one: str, other: str, told: str) -> None:
    side = row("left side").replace("right over left", "front over back")
    with pytest.raises(PlanError) as refused:
        work_garment(twice(tmp_path, side, one, other), draw=False)
    assert "a and b are one row on one side of the body" in str(refused.value) and told in str(refused.value)
    assert 'clear_of = ["a"] in b' in str(refused.value)


@pytest.mark.parametrize("second", ["./row.toml", "copy.toml"])
def test_one_row_is_known_by_what_it_tells_and_not_by_the_name_of_its_file(tmp_path: Path, second: str) -> None:
    side = row("left side").replace("right over left", "front over back")
    path = twice(tmp_path, side, "", "")
    (tmp_path / "copy.toml").write_text(side)
    head, _, tail = path.read_text().rpartition("row.toml")
    path.write_text(head + second + tail)
    with pytest.raises(
        PlanError, match=r"one row on one side of the body: row\.toml and .* tell the same, and neither"
    ):
        work_garment(path, draw=False)


def test_one_row_under_another_title_is_still_one_row(tmp_path: Path) -> None:
    (tmp_path / "one.toml").write_text(row("front"))
    (tmp_path / "other.toml").write_text(row("front").replace("Tansy front", "Tansy front, other half"))
    (tmp_path / "garment.toml").write_text(
        '[[opening]]\nname = "right front"\nplan = "one.toml"\n[[opening]]\nname = "left front"\nplan = "other.toml"\n'
    )
    with pytest.raises(PlanError, match="right front and left front are one row on one side of the body"):
        work_garment(tmp_path / "garment.toml", draw=False)


def test_one_plan_for_both_sides_for_straps_and_for_pieces_of_their_own_is_no_row_twice(tmp_path: Path) -> None:
    side = row("left side").replace("right over left", "front over back")
    work_garment(twice(tmp_path, side, "", "mirrored = true"), draw=False)
    work_garment(twice(tmp_path, side, "", 'clear_of = ["a"]'), draw=False)
    work_garment(twice(tmp_path, belt(), "", ""), draw=False)
    work_garment(
        twice(
            tmp_path,
            row("flat").replace("right over left", "upper over lower").replace("[edge]", "[edge]\ncloth = 'left'"),
            "",
            "",
        ),
        draw=False,
    )


TAPED = """
[garment]
opens = "{name}"
pieces = "pair"
edges = "meeting"
gap = "{gap}"
[edge]
straight = "400 mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "{kind}"
size = "{size}"
{more}
"""
HOOKED = TAPED.format(name="back", gap="{gap}", kind="hook and eye", size="2", more="")
ON_TAPE = TAPED.format(
    name="front", gap="0 mm", kind="hook tape", size="any", more='[tape]\npitch = "19 mm"\n[spacing]\ncount = 8'
)


def packed(folder: Path, own: str = "", top: str = "", **plans: str) -> Path:
    found = garment_of(folder, **plans)
    found.write_text(top + found.read_text().replace('name = "taped"', f'name = "taped"\n{own}'))
    return found


def test_packs_of_a_tape_are_refused(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="those of taped come on a tape, which is bought by its length"):
        work_garment(packed(tmp_path, "pack = 12", taped=ON_TAPE, back=row("back")), draw=False)
    with pytest.raises(PlanError, match="those of taped come on a tape"):
        work_garment(packed(tmp_path, "", "pack = 12\n", taped=ON_TAPE), draw=False)
    # Told for the garment, a pack is one of its other openings.
    found = work_garment(packed(tmp_path, "", "pack = 12\n", taped=ON_TAPE, back=row("back")), draw=False)
    assert [one.packs for one in found.bought if "tape" in one.kind] == [None] * len(
        [one for one in found.bought if "tape" in one.kind]
    )
    assert any(one.packs for one in found.bought)


@pytest.mark.parametrize(("gap", "is_told"), [("0 mm", False), ("6 mm", True)])
def test_unlike_gaps_of_edges_that_meet_in_one_place_are_asked_about(tmp_path: Path, gap: str, is_told: bool) -> None:
    plans = {"upper": HOOKED.format(gap="0 mm"), "lower": HOOKED.format(gap=gap).replace("400 mm", "300 mm")}
    whole = work_garment(garment_of(tmp_path, **plans), draw=False)
    told = [one.text for one in whole.clearances if "tells a gap of" in one.text]
    assert bool(told) is is_told
    if is_told:
        assert "At one back, upper tells a gap of 0 mm and lower tells a gap of 6 mm" in told[0]


@pytest.mark.parametrize(("lap", "is_told"), [("right over left", False), ("left over right", True)])
def test_hooks_that_change_sides_on_edges_that_meet_in_one_place_are_asked_about(
    tmp_path: Path, lap: str, is_told: bool
) -> None:
    upper = HOOKED.format(gap="0 mm")
    assert 'lap = "right over left"' in upper
    lower = upper.replace("400 mm", "300 mm").replace("right over left", lap)
    whole = work_garment(garment_of(tmp_path, upper=upper, lower=lower), draw=False)
    told = [one.text for one in whole.clearances if "by which hooks or loops sit on one side" in one.text]
    assert bool(told) is is_told
    if is_told:
        assert 'upper tells lap = "right over left" and lower tells lap = "left over right"' in told[0]


def test_both_sides_of_a_garment_that_lap_in_opposite_ways_are_a_look(tmp_path: Path) -> None:
    left = row("left side").replace("right over left", "front over back")
    right = row("right side").replace("right over left", "back over front").replace("400 mm", "390 mm")
    whole = work_garment(garment_of(tmp_path, left=left, right=right), draw=False)
    (text,) = [one.text for one in whole.clearances if "closes the same way" in one.text]
    assert 'At one side, left tells lap = "front over back" and right tells lap = "back over front"' in text


GAUGE = '[gauge]\nstitches = {stitches}\nrows = {rows}\n{over}line = "band rows"\n'


@pytest.mark.parametrize(
    ("gauge", "is_told"),
    [
        (GAUGE.format(stitches=22, rows=30, over=""), False),
        (GAUGE.format(stitches=44, rows=60, over='over = "20 cm"\n'), False),
        (GAUGE.format(stitches=30, rows=40, over=""), True),
    ],
)
def test_two_gauges_of_one_knitting_are_asked_about(tmp_path: Path, gauge: str, is_told: bool) -> None:
    told = (
        'first = "20 mm"\nlast = "20 mm"',
        'first = { from = "15 mm", to = "35 mm" }\nlast = { from = "15 mm", to = "35 mm" }',
    )
    front, back = (
        row(name, cloth="rib", more=its).replace(*told)
        for name, its in (("front", GAUGE.format(stitches=22, rows=30, over="")), ("back", gauge))
    )
    whole = work_garment(garment_of(tmp_path, front=front, back=back), draw=False)
    asked = [one.text for one in whole.clearances if "have one gauge" in one.text]
    assert bool(asked) is is_told
    if is_told:
        assert "front tells 22 stitches and 30 rows and back tells 30 stitches and 40 rows to 10 cm" in asked[0]


def test_inseams_that_lap_in_opposite_ways_are_a_look_though_one_is_mirrored(tmp_path: Path) -> None:
    inseam = row("inseam").replace("[edge]", '[edge]\ncloth = "left"')
    (tmp_path / "right.toml").write_text(inseam.replace("right over left", "front over back"))
    (tmp_path / "left.toml").write_text(
        inseam.replace("right over left", "back over front").replace("400 mm", "390 mm")
    )
    (tmp_path / "garment.toml").write_text(
        '[[opening]]\nname = "right inseam"\nplan = "right.toml"\nmirrored = false\n'
        '[[opening]]\nname = "left inseam"\nplan = "left.toml"\nmirrored = true\nclear_of = ["right inseam"]\n'
    )
    whole = work_garment(tmp_path / "garment.toml", draw=False)
    (text,) = [one.text for one in whole.clearances if "closes the same way" in one.text]
    assert "At one inseam" in text


SIZES = '[sizes]\nnames = ["S", "M"]\nbase = "S"\ngrade = [[0, 0], [0, "10 mm"]]\n[wearer]\nsize = "{size}"\n'


def test_two_sizes_in_one_garment_are_refused(tmp_path: Path) -> None:
    plans = {name: row(name, more=SIZES.format(size=size)) for name, size in (("front", "S"), ("back", "M"))}
    with pytest.raises(PlanError, match='one garment is cut in one size, and front tells size = "S" and back tells'):
        work_garment(garment_of(tmp_path, **plans), draw=False)


def test_child_of_three_in_one_plan_is_not_under_three_in_another(tmp_path: Path) -> None:
    old = row("front", more='[body]\nsex = "girl"\nage = "9 years"\n')
    young = row("back", more='[wearer]\nprofiles = ["child under three"]\n')
    with pytest.raises(PlanError, match="back tells a child under three, and front tells an age of three or more"):
        work_garment(garment_of(tmp_path, front=old, back=young), draw=False)


@pytest.mark.parametrize(
    ("body", "profile", "told"),
    [
        ('sex = "woman"', "child", "woman is grown"),
        ('sex = "girl"\nage = "9 years"', "child under three", "108 months are three years or more"),
        ('sex = "girl"\nage = "9 years"', "child", ""),
        ('sex = "girl"\nage = "30 months"', "child under three", ""),
    ],
)
def test_body_that_is_not_the_wearers_is_refused_in_one_plan(body: str, profile: str, told: str) -> None:
    text = row("front", more=f'[body]\n{body}\n[wearer]\nprofiles = ["{profile}"]\n').encode()
    if not told:
        read_plan(text, "front.toml")
        return
    with pytest.raises(PlanError, match=told):
        read_plan(text, "front.toml")


def test_row_lies_behind_another_only_where_both_open(tmp_path: Path) -> None:
    for name, opens, is_wrong in (("inner", "front", False), ("inner", "back", True)):
        (tmp_path / "front.toml").write_text(row("front"))
        (tmp_path / "inner.toml").write_text(row(opens).replace("400 mm", "380 mm"))
        (tmp_path / "garment.toml").write_text(
            f'[[opening]]\nname = "front"\nplan = "front.toml"\n[[opening]]\nname = "{name}"\nplan = "inner.toml"\n'
            'behind = ["front"]\n'
        )
        if is_wrong:
            with pytest.raises(PlanError, match="inner opens at the back while front opens at the front"):
                work_garment(tmp_path / "garment.toml", draw=False)
        else:
            work_garment(tmp_path / "garment.toml", draw=False)


def test_ends_of_a_mirrored_side_are_named_by_its_own_side(tmp_path: Path) -> None:
    side = row("left side", 'ends = ["left armhole", "hip"]').replace("right over left", "front over back")
    whole = work_garment(twice(tmp_path, side, "", "mirrored = true"), draw=False)
    assert [answer.placement.ends for answer in whole.answers] == [("left armhole", "hip"), ("right armhole", "hip")]


def test_pair_of_cuffs_told_twice_is_refused(tmp_path: Path) -> None:
    cuff = (
        'title = "Tansy cuff"\n[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\nover = ["15 mm"]\n'
        'under = ["15 mm"]\npair = true\n[closure]\nkind = "sew-through button"\nsize = "18 L"\n'
    )
    with pytest.raises(PlanError, match="a and b are one pair told twice"):
        work_garment(twice(tmp_path, cuff, "", 'clear_of = ["a"]'), draw=False)


def test_row_that_only_counts_other_spares_is_still_one_row(tmp_path: Path) -> None:
    (tmp_path / "one.toml").write_text(row("front"))
    (tmp_path / "other.toml").write_text(row("front").replace('size = "18 L"', 'size = "18 L"\nspare = 3'))
    openings = ("one", "other")
    (tmp_path / "garment.toml").write_text(
        "".join(f'[[opening]]\nname = "{name} half"\nplan = "{name}.toml"\n' for name in openings)
    )
    with pytest.raises(PlanError, match="one half and other half are one row on one side of the body"):
        work_garment(tmp_path / "garment.toml", draw=False)


def test_crotch_from_leg_to_leg_has_no_other_half(tmp_path: Path) -> None:
    crotch = row("crotch", 'ends = ["right leg", "left leg"]').replace("right over left", "front over back")
    crotch = crotch.replace("[edge]", '[edge]\ncloth = "above"')
    with pytest.raises(PlanError, match="runs from one side of the body to the other, as its ends are called"):
        work_garment(twice(tmp_path, crotch, "", 'mirrored = true\nclear_of = ["a"]'), draw=False)


@pytest.mark.parametrize(("level", "is_told"), [("157 mm", True), ("159 mm", False)])
def test_belts_that_are_told_clear_and_lie_on_each_other_by_their_levels_are_a_look(
    tmp_path: Path, level: str, is_told: bool
) -> None:
    """By hand: two belts of 30 mm lie on each other while their middles are less than 30 mm apart, 128 and up to 158."""
    (tmp_path / "front.toml").write_text(row("front"))
    (tmp_path / "belt.toml").write_text(belt())
    (tmp_path / "garment.toml").write_text(
        '[[opening]]\nname = "front"\nplan = "front.toml"\n'
        '[[opening]]\nname = "belt"\nplan = "belt.toml"\nover = "front"\nlevel = "128 mm"\n'
        f'[[opening]]\nname = "hip belt"\nplan = "belt.toml"\nover = "front"\nlevel = "{level}"\nclear_of = ["belt"]\n'
    )
    whole = work_garment(tmp_path / "garment.toml", draw=False)
    assert any("by their levels over front they lie on each other" in one.text for one in whole.clearances) is is_told


@pytest.mark.parametrize(("every", "is_told"), [("20 mm", False), ("23 mm", True)])
def test_two_repeats_of_one_cloth_are_asked_about(tmp_path: Path, every: str, is_told: bool) -> None:
    told = (
        'first = "20 mm"\nlast = "20 mm"',
        'first = { from = "5 mm", to = "60 mm" }\nlast = { from = "5 mm", to = "60 mm" }',
    )
    plans = {
        name: row(name, more=f'[stripe]\nevery = "{mm}"\nat = "0 mm"\n').replace(*told)
        for name, mm in (("front", "20 mm"), ("back", every))
    }
    whole = work_garment(garment_of(tmp_path, **plans), draw=False)
    assert any("One cloth has one repeat" in one.text for one in whole.clearances) is is_told


SIZED = '[sizes]\nnames = ["S", "M", "L"]\nbase = "M"\ngrade = [[0, 0], [0, "10 mm"]]\n'


def test_size_that_is_cut_stands_on_the_cover_and_in_every_head_of_a_garment(tmp_path: Path) -> None:
    told = SIZED + '[wearer]\nsize = "L"\n'
    made = garment_files(
        work_garment(garment_of(tmp_path, front=row("front", more=told), back=row("back", more=told))), "a4"
    )
    assert made["report.md"].decode().startswith("# Tansy dress, size L\n")
    pages = [page.extract_text() for page in pdfplumber.open(io.BytesIO(made["marking.pdf"])).pages]
    assert len(pages) > 3 and all("Tansy dress, size L" in page for page in pages)
    one = garment_files(work_garment(garment_of(tmp_path, front=row("front"), back=row("back"))), "a4")
    assert one["report.md"].decode().startswith("# Tansy dress\n")


def test_plan_of_several_sizes_is_told_how_one_of_them_is_put_together(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match=r"or write the size that is cut under \[wearer\] of this one"):
        work_garment(garment_of(tmp_path, front=row("front", more=SIZED), back=row("back")), draw=False)


@pytest.mark.parametrize(
    ("one", "other", "are_both"),
    [
        ("left cuff", "Right cuff", True),
        ("cuff left", "the right one", True),
        ("left cuff", "left leg", False),
        ("cuff", "right cuff", False),
        ("left or right cuff", "right cuff", False),
    ],
)
def test_names_of_both_sides_are_told_by_their_words(one: str, other: str, are_both: bool) -> None:
    assert are_both_sides(one, other) == are_both_sides(other, one) == are_both


def test_name_without_its_side_is_what_both_halves_share() -> None:
    assert without_side("Left trouser cuff") == without_side("right Trouser cuff") == ["trouser", "cuff"]


def test_what_is_looked_at_between_openings_stands_on_a_cover_without_keys_of_a_plan(tmp_path: Path) -> None:
    turned = row("front").replace("right over left", "left over right")
    striped = [
        row(name, more=f'[stripe]\nevery = "{mm} mm"\nat = "0 mm"\n') for name, mm in (("front", 20), ("back", 23))
    ]
    free = '{ from = "5 mm", to = "60 mm" }'
    striped = [text.replace('first = "20 mm"\nlast = "20 mm"', f"first = {free}\nlast = {free}") for text in striped]
    grains = [f'[shrinkage]\nalong = "{a} %"\nacross = "{b} %"\nmeasured = "unwashed"\n' for a, b in ((6, 3), (3, 6))]
    pulls = {name: row(name, more=f'[pull]\ngirth = "{mm} mm"\n') for name, mm in (("front", 600), ("back", 1100))}
    layer = '[[layer]]\ncloth = "poplin"\nthickness = "{} mm"\n'
    garments = (
        {"fly": turned, "waistband": row("front")},
        {"front": row("front", 'state = "finished"'), "belt": belt()},
        {"front": striped[0], "back": striped[1]},
        {"front": row("front", more=grains[0]), "back": row("back", more=grains[1])},
        {"upper": HOOKED.format(gap="0 mm"), "lower": HOOKED.format(gap="6 mm").replace("400 mm", "300 mm")},
        {"front": row("front", more='[body]\nwaist = "1000 mm"\n'), "belt": belt().replace("480 mm", "400 mm")},
        {"front": row("front", more=layer.format(0.2)), "back": row("back", more=layer.format(0.9))},
        pulls,
    )
    for n, plans in enumerate(garments):
        folder = tmp_path / str(n)
        folder.mkdir()
        looked = [one.text for one in work_garment(garment_of(folder, **plans), draw=False).clearances]
        told = [on_page(text) for text in looked if text != on_page(text)]
        assert told and not [text for text in told if KEYS.search(text)], (n, looked)
