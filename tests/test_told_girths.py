"""Girths, lengths and places that one body, one cloth or one name cannot have, told in one plan or in two of a garment."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import get_args

import pytest
from test_one_garment import BELT, ROW, garment_of, told_between
from told import checks_of, refusal_of, report_of

from closures.app.whole import work_garment
from closures.catalogue.loading import load_catalogue
from closures.checks.usual import usual_mm
from closures.errors import PlanError
from closures.plan.body import BodyWish
from closures.plan.garment import Opening

CHILD = '[body]\nsex = "girl"\nage = "4 years"\n'
WOMAN = '[body]\nsex = "woman"\nchest = "900 mm"\n'
CUFF = """
title = "Tansy cuff"
[row]
length = "{length}"
height = "60 mm"
piece = "{piece}"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
[[layer]]
cloth = "poplin"
count = 2
"""
LACED = """
title = "Tansy bodice"
[edge]
straight = "365 mm"
[garment]
opens = "back"
edges = "meeting"
gap = "{gap}"
ends = ["top", "lower edge"]
[band]
width = "35 mm"
inset = "14 mm"
lap = "right over left"
[lacing]
tied = "450 mm"
[closure]
kind = "eyelet"
size = "5.5 mm"
[spacing]
first = "16 mm"
last = "16 mm"
pitch = "25 mm"
[[layer]]
cloth = "cotton woven"
count = 3
"""
LOOPS = """
title = "Tansy back"
[edge]
straight = "300 mm"
[garment]
opens = "back"
edges = "meeting"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "loop and ball button"
size = "16 L"
[loop]
sewn = "{sewn}"
[spacing]
first = "15 mm"
last = "15 mm"
count = 16
[[layer]]
cloth = "poplin"
count = 2
"""


def row(name: str = "front", more: str = "", garment: str = "", cloth: str = "chino") -> str:
    return ROW.format(name=name, garment=garment, cloth=cloth) + more


def looked_at(plan: str, rule: str) -> list[str]:
    return [one["text"] for one in checks_of(report_of(plan), rule) if one["result"] == "warn"]


@pytest.mark.parametrize(("girth", "is_unlike"), [(539, True), (540, False), (1440, False), (1441, True)])
def test_girth_where_the_front_pulls_is_held_against_the_body(girth: int, is_unlike: bool) -> None:
    found = looked_at(row(more=f'{WOMAN}[pull]\ngirth = "{girth} mm"\n'), "girth")
    assert bool(found) == is_unlike
    assert not found or (
        f"girth under [pull] tells {girth} mm" in found[0] and "[body] tells chest = 900 mm" in found[0]
    )


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ('[body]\nchest = "38 mm"\n', "chest under [body] tells 38 mm, and it is seldom less than 240 mm. Look at chest and its "
         "unit. Was it meant as 38 cm (380 mm) or as 38 in (965.2 mm)?"),
        ('[body]\nchest = "240 mm"\n', ""),
        ('[body]\nhead = "701 mm"\n', "head under [body] tells 701 mm, and it is seldom more than 700 mm."),
        ('[body]\nhead = "700 mm"\n', ""),
        ('[pull]\ngirth = "96 mm"\n', "girth under [pull] tells 96 mm, and it is seldom less than 240 mm."),
        ('[pull]\ngirth = "2200 mm"\n', ""),
    ],
)  # fmt: skip
def test_girth_that_no_body_has_asks_for_its_unit(told: str, said: str) -> None:
    found = looked_at(row(more=told), "girth")
    assert len(found) == bool(said) and (not said or said in found[0])


def test_every_usual_length_is_that_of_an_opening_a_piece_or_a_girth() -> None:
    catalogue = load_catalogue()
    girths = {field.name.removesuffix("_mm") for field in fields(BodyWish) if field.name.endswith("_mm")}
    asked = {*get_args(Opening), *girths, "girth", "belt", "waistband", "cuff", "collar", "bib"}
    assert all(usual_mm(catalogue, what) is not None for what in asked)
    told = {key.removeprefix("usual, ") for key in catalogue.rules if key.startswith("usual, ")}
    assert told == {what.removeprefix("left ").removeprefix("right ") for what in asked}
    # Of what nothing is known nothing is asked; of an edge of which nothing is said, the widest bounds.
    assert usual_mm(catalogue, "strap") is None and usual_mm(catalogue, None) == (35.0, 5000.0)


def test_girth_where_the_front_pulls_is_not_held_against_a_head() -> None:
    assert not looked_at(row(more='[body]\nhead = "560 mm"\n[pull]\ngirth = "1100 mm"\n'), "girth")


def belt(waist: str, more: str) -> str:
    return (
        BELT.format(garment="")
        .replace("480 mm", waist)
        .replace("magnetic snap", "prong snap")
        .replace('"14 mm"', '"16 L"')
        + more
    )


@pytest.mark.parametrize(
    ("waist", "more", "said"),
    [
        ("720 mm", '[body]\nwaist = "1000 mm"\n', "[body] tells waist = 1000 mm"),
        ("899 mm", '[body]\nwaist = "1000 mm"\n', "[body] tells waist = 1000 mm"),
        ("900 mm", '[body]\nwaist = "1000 mm"\n', ""),
        ("720 mm", '[body]\nchest = "1000 mm"\n', ""),
        ("1601 mm", '[body]\nwaist = "1000 mm"\n', "[body] tells waist = 1000 mm"),
        ("1500 mm", '[wearer]\nprofiles = ["child"]\n', "a child wears it, who is seldom more than 1000 mm round"),
        ("1000 mm", '[wearer]\nprofiles = ["child"]\n', ""),
        ("1500 mm", "", ""),
    ],
)
def test_belt_is_held_against_the_body_it_goes_round(waist: str, more: str, said: str) -> None:
    found = looked_at(belt(waist, more), "girth")
    assert len(found) == bool(said)
    assert not found or (f"told to go round {waist}" in found[0] and said in found[0])


@pytest.mark.parametrize(
    ("piece", "length", "said"),
    [
        ("cuff", "2500 mm", "seldom longer than 600 mm"),
        ("cuff", "600 mm", ""),
        ("cuff", "79 mm", "seldom shorter than 80 mm"),
        ("collar", "149 mm", "seldom shorter than 150 mm"),
        ("waistband", "250 mm", "seldom shorter than 300 mm"),
        ("waistband", "300 mm", ""),
        ("strap", "250 mm", ""),
    ],
)
def test_piece_is_as_long_as_what_it_is_called(piece: str, length: str, said: str) -> None:
    found = looked_at(CUFF.format(piece=piece, length=length), "length")
    assert len(found) == bool(said)
    assert not found or (said in found[0] and f"told {length} long and 60 mm high" in found[0])


@pytest.mark.parametrize(("sewn", "is_little"), [("0 mm", True), ("4 mm", True), ("5 mm", False), ("10 mm", False)])
def test_loop_is_sewn_in(sewn: str, is_little: bool) -> None:
    assert len(looked_at(LOOPS.format(sewn=sewn), "loop")) == is_little


@pytest.mark.parametrize(("gap", "is_far"), [("200 mm", False), ("201 mm", True), ("400 mm", True)])
def test_laced_edges_stand_no_further_apart_than_a_lace_draws(gap: str, is_far: bool) -> None:
    found = [text for text in looked_at(LACED.format(gap=gap), "lace") if "laced over" in text]
    assert len(found) == is_far and all(f"stand {gap} apart" in text for text in found)


@pytest.mark.parametrize(("ring", "apart"), [("219 mm", ""), ("220 mm", "10 mm"), ("350 mm", "140 mm")])
def test_waist_of_a_girth_and_of_a_fixed_place_is_one_place(ring: str, apart: str) -> None:
    more = f'{WOMAN}shoulders = "900 mm"\n[way_in]\nrings = [{{ at = "Waist", level = "{ring}", round = "1000 mm" }}]\n'
    found = looked_at(
        row(more=more + '[[anchor]]\nname = "waist"\nlevel = "210 mm"\nwithin = "40 mm"\n'), "named places"
    )
    assert len(found) == bool(apart)
    assert not found or f"one name, two places {apart} apart" in found[0]


def test_clear_zone_and_fixed_place_of_one_name_lie_together() -> None:
    waist = '[[anchor]]\nname = "waist"\nlevel = "210 mm"\nwithin = "40 mm"\n'
    zone = '[[clear]]\nname = "waist"\nlevel = ["100 mm", "120 mm"]\n'
    (found,) = looked_at(row(more=waist + zone), "named places")
    assert found.startswith(
        'The fixed place "waist" lies at the level 210 mm, and the clear zone "waist" lies from 100 mm'
    )
    assert not looked_at(row(more=waist + zone.replace("waist", "pocket")), "named places")


def test_one_cloth_is_told_with_one_thickness() -> None:
    layers = '[[layer]]\ncloth = "poplin"\nthickness = "0.2 mm"\n[[layer]]\ncloth = "poplin"\nthickness = "{}"\n'
    (found,) = [text for text in looked_at(row(more=layers.format("0.9 mm")), "cloth") if "poplin" in text]
    assert found.startswith("One layer of poplin is told 0.2 mm thick, and another 0.9 mm.")
    pressed = layers.format("0.9 mm") + "clamped = true\n"
    for plan in (row(more=layers.format("0.3 mm")), row(more=pressed)):
        assert not [text for text in looked_at(plan, "cloth") if "poplin" in text]


@pytest.mark.parametrize(("slit", "is_long"), [("400 mm", False), ("401 mm", True), ("900 mm", True)])
def test_neck_opens_no_further_than_its_edge(slit: str, is_long: bool) -> None:
    found = looked_at(row(more=f'{CHILD}[way_in]\nneck = "560 mm"\nslit = "{slit}"\n'), "way in")
    assert len(found) == is_long and all(f"opens {slit} below its edge" in text for text in found)


def crotch(more: str) -> str:
    turned = row("crotch", more).replace("right over left", "front over back")
    return turned.replace('straight = "400 mm"', 'straight = "400 mm"\ncloth = "left"')


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (crotch(f'{CHILD}[way_in]\nneck = "400 mm"\n'), "the row of a crotch does not open it"),
        (
            row(garment='ends = ["waist", "hem"]', more=f'{CHILD}[way_in]\nneck = "400 mm"\n'),
            "begins at the waist does",
        ),
        (crotch(f'{CHILD}[way_in]\nneck = "400 mm"\nslit = "0 mm"\n'), ""),
        (row(more=f'{CHILD}[way_in]\nneck = "400 mm"\n'), ""),
    ],
)
def test_how_far_the_neck_opens_is_asked_of_a_row_that_opens_no_neck(plan: str, said: str) -> None:
    refused = refusal_of(plan)
    assert bool(refused) == bool(said) and said in refused
    assert not refused or ("[way_in] slit" in refused and "Add slit" in refused)


@pytest.mark.parametrize("key", ["neck", "cuff", "hem"])
def test_two_girths_of_one_closed_edge_are_refused(tmp_path: Path, key: str) -> None:
    body = f'{CHILD}hand = "150 mm"\nheel = "250 mm"\n'
    plans = {name: row(name, f'{body}[way_in]\n{key} = "{mm} mm"\n') for name, mm in (("front", 560), ("back", 700))}
    with pytest.raises(PlanError) as refused:
        work_garment(garment_of(tmp_path, **plans), draw=False)
    assert f'under [way_in] front tells {key} = "560 mm" and back tells {key} = "700 mm"' in str(refused.value)


def looks(path: Path) -> list[str]:
    return [text for result, text in told_between(path) if result == "warn"]


def test_one_girth_in_mm_and_in_inches_is_one(tmp_path: Path) -> None:
    inches = 'units = "in"\n' + row("back", '[body]\nwaist = "{}"\n')
    front = row("front", '[body]\nwaist = "1000 mm"\n')
    assert not looks(garment_of(tmp_path, front=front, back=inches.format("39 3/8 in")))
    with pytest.raises(PlanError, match='front tells waist = "1000 mm" and back tells waist = "38 3/8 in"'):
        work_garment(garment_of(tmp_path, front=front, back=inches.format("38 3/8 in")), draw=False)


def test_closed_girths_of_one_name_are_looked_at(tmp_path: Path) -> None:
    ring = '{}shoulders = "900 mm"\n[way_in]\nrings = [{{ at = "{}", level = "100 mm", round = "{}" }}]\n'
    front = row("front", ring.format(WOMAN, "bust", "980 mm"))
    (found,) = looks(garment_of(tmp_path, front=front, back=row("back", ring.format(WOMAN, "Bust", "1100 mm"))))
    assert 'at the bust, under [way_in] front tells round = "980 mm" and back tells round = "1100 mm"' in found
    assert not looks(garment_of(tmp_path, front=front, back=row("back", ring.format(WOMAN, "hem", "1100 mm"))))


def test_girth_and_belt_are_held_against_the_body_of_another_plan(tmp_path: Path) -> None:
    front = row("front", '[body]\nwaist = "1000 mm"\n')
    (found,) = looks(garment_of(tmp_path, front=front, belt=belt("720 mm", "")))
    assert found.endswith("belt tells the one, and front the body.") and "[body] tells waist = 1000 mm" in found
    (found,) = looks(garment_of(tmp_path, front=front, back=row("back", '[pull]\ngirth = "400 mm"\n')))
    assert "girth under [pull] tells 400 mm" in found and "back tells the one, and front the body" in found
    (found,) = looks(garment_of(tmp_path, front=row("front", CHILD), belt=belt("1500 mm", "")))
    assert "a child wears it" in found
    assert not looks(garment_of(tmp_path, front=front, belt=belt("1010 mm", "")))


def test_two_girths_where_two_plans_pull_are_held_against_each_other(tmp_path: Path) -> None:
    pulls = {name: row(name, f'[pull]\ngirth = "{mm} mm"\n') for name, mm in (("front", 600), ("back", 1100))}
    (found,) = looks(garment_of(tmp_path, **pulls))
    assert "front tells girth = 600 mm and back tells girth = 1100 mm" in found


def test_cloth_measured_in_two_plans_is_one_cloth(tmp_path: Path) -> None:
    layer = '[[layer]]\ncloth = "poplin"\nthickness = "{}"\n'
    front = row("front", layer.format("0.2 mm"))
    (found,) = looks(garment_of(tmp_path, front=front, back=row("back", layer.format("0.9 mm"))))
    assert found.startswith("Of one poplin, front tells 0.2 mm and back tells 0.9 mm as the thickness of a layer.")
    assert not looks(garment_of(tmp_path, front=front, back=row("back", layer.format("0.3 mm"))))


@pytest.mark.parametrize(
    ("zone", "strap", "level", "is_astray"),
    [
        ("belt", "belt", ("40 mm", "70 mm"), True),
        ("waist", "belt", ("40 mm", "70 mm"), True),
        ("belt", "belt", ("140 mm", "180 mm"), False),
        ("pocket", "belt", ("40 mm", "70 mm"), False),
        ("waist", "hip belt", ("40 mm", "70 mm"), False),
    ],
)
def test_clear_zone_lies_where_the_belt_runs_whose_name_it_bears(
    tmp_path: Path, zone: str, strap: str, level: tuple[str, str], is_astray: bool
) -> None:
    kept = f'[[clear]]\nname = "{zone}"\nlevel = ["{level[0]}", "{level[1]}"]\n'
    path = garment_of(tmp_path, front=row("front", kept), belt=belt("720 mm", ""))
    path.write_text(
        path.read_text().replace('name = "belt"', f'name = "{strap}"').replace('clear_of = ["front"]\n', "")
    )
    path.write_text(path.read_text() + 'over = "front"\nlevel = "160 mm"\n')
    found = [text for text in looks(path) if "it keeps clear what lies elsewhere" in text]
    assert len(found) == is_astray
    assert (
        not found or f'The clear zone "{zone}" of front runs from 40 mm to 70 mm, and {strap} runs over it' in found[0]
    )


@pytest.mark.parametrize(
    ("key", "own", "girth", "is_far"),
    [
        ("neck", "head", 1679, False),
        ("neck", "head", 1681, True),
        ("cuff", "hand", 799, False),
        ("cuff", "hand", 801, True),
        ("hem", "heel", 1499, False),
        ("hem", "heel", 1501, True),
    ],
)
def test_closed_girth_that_anybody_passes_is_looked_at(key: str, own: str, girth: int, is_far: bool) -> None:
    body = '[body]\nhead = "560 mm"\nhand = "200 mm"\nheel = "300 mm"\n'
    found = looked_at(row(more=f'{body}[way_in]\n{key} = "{girth} mm"\n'), "way in")
    assert len(found) == is_far
    assert not found or f"told {girth} mm round, and the {own} that passes it" in found[0]


@pytest.mark.parametrize(
    ("rings", "found"),
    [
        ((("bust", 100, 9800),), 1),
        ((("hem", 390, 9800),), 0),
        ((("bust", 100, 980), ("skirt", 390, 9800)), 0),
        ((("bust", 100, 4001), ("hem", 390, 9800)), 1),
        ((("bust", 100, 3999), ("hem", 390, 9800)), 0),
    ],
)
def test_ring_that_anybody_passes_is_looked_at_but_for_a_full_hem(
    rings: tuple[tuple[str, int, int], ...], found: int
) -> None:
    told = ", ".join(
        f'{{ at = "{at}", level = "{level} mm", round = "{round_mm} mm" }}' for at, level, round_mm in rings
    )
    plan = row(more=f'[body]\nshoulders = "1000 mm"\n[way_in]\nrings = [{told}]\nends_in = "hem"\n')
    assert len([text for text in looked_at(plan, "way in") if "anybody passes it" in text]) == found


@pytest.mark.parametrize(
    ("levels", "says"),
    [
        ((150, 390), ""),
        ((150, 410), ""),
        ((150, 411), "past the lowest that the plan tells of the garment, 400 mm"),
        ((400, 430), "below all that the plan tells of the garment, which ends at 400 mm"),
        ((1500, 4000), "below all that the plan tells"),
        ((-200, 0), "above all that the plan tells of the garment, which begins at 0 mm"),
    ],
)
def test_second_opening_off_the_garment_is_looked_at(levels: tuple[int, int], says: str) -> None:
    rings = (
        '[{ at = "waist", level = "200 mm", round = "740 mm" }, { at = "hem", level = "390 mm", round = "1400 mm" }]'
    )
    zipped = f'zip = {{ where = "left side", from = "{levels[0]} mm", to = "{levels[1]} mm" }}'
    plan = row(more=f'[body]\nseat = "1020 mm"\n[way_in]\nrings = {rings}\n{zipped}\nends_in = "seam"\n')
    found = [text for text in looked_at(plan, "way in") if "The second opening (left side) is told" in text]
    assert len(found) == bool(says) and all(says in text for text in found), found


def test_second_opening_without_rings_that_it_could_open_is_refused() -> None:
    zipped = 'zip = { where = "left side", from = "150 mm", to = "400 mm" }'
    told = refusal_of(row(more=f'[body]\nhead = "560 mm"\n[way_in]\nneck = "320 mm"\n{zipped}\n'))
    assert "[way_in] zip" in told and "rings" in told


def laced(gap: str = "50 mm", last: str = "50 mm", tied: str = "300 mm") -> str:
    return (
        f'[edge]\nstraight = "390 mm"\n[garment]\nopens = "back"\nedges = "meeting"\ngap = "{gap}"\ngap_last = "{last}"\n'
        '[band]\nwidth = "35 mm"\ninset = "14 mm"\nlap = "right over left"\n[closure]\nkind = "eyelet"\nsize = "5.5 mm"\n'
        f'[spacing]\nfirst = 20\nlast = 20\ncount = 15\n[lacing]\ntied = "{tied}"\n'
    )


@pytest.mark.parametrize(
    ("tied", "says"),
    [
        ("1500 mm", ""),
        ("1501 mm", "1501 mm of the lace are told to tie at either end"),
        ("4.5 m", "4500 mm of the lace"),
    ],
)
def test_lace_of_which_more_is_told_to_tie_than_anybody_ties_is_looked_at(tied: str, says: str) -> None:
    found = looked_at(laced(tied=tied), "lace")
    assert len(found) == bool(says) and all(says in text for text in found), found


@pytest.mark.parametrize(
    ("gap", "last", "is_far"),
    [("200 mm", "50 mm", False), ("201 mm", "50 mm", True), ("50 mm", "200 mm", False), ("50 mm", "201 mm", True)],
)
def test_laced_edges_that_stand_far_apart_at_either_end_are_looked_at(gap: str, last: str, is_far: bool) -> None:
    found = [
        text for text in looked_at(laced(gap, last), "lace") if "and more than 200 mm is seldom laced over" in text
    ]
    assert len(found) == is_far


@pytest.mark.parametrize(
    ("names", "is_turned"),
    [
        (("waist", "hip"), True),
        (("hip", "waist"), False),
        (("lower pocket", "hip"), False),
        (("bust", "armhole"), False),
        (("button", "hip"), False),
        (("neck", "shoulder"), False),
        (("knee", "hem"), False),
    ],
)
def test_places_lie_in_the_order_that_the_body_has_them(names: tuple[str, str], is_turned: bool) -> None:
    more = "".join(
        f'[[anchor]]\nname = "{name}"\nlevel = "{mm} mm"\nwithin = "40 mm"\n'
        for name, mm in zip(names, (300, 200), strict=True)
    )
    found = looked_at(row(more=more), "named places")
    assert len(found) == is_turned
    assert (
        not found or '"hip" lies at the level 200 mm, and the fixed place "waist" lies at the level 300 mm' in found[0]
    )


@pytest.mark.parametrize(
    ("names", "waist", "is_typed_twice"),
    [
        (("bust", "waist"), 200, True),
        (("bust point", "waist"), 201, True),
        (("bust", "waist"), 203, False),
        (("neck", "shoulder"), 200, False),
        (("bust", "armhole"), 200, False),
        (("pocket", "waist"), 200, False),
    ],
)
def test_places_one_below_the_other_at_one_level_are_looked_at(
    names: tuple[str, str], waist: int, is_typed_twice: bool
) -> None:
    more = "".join(
        f'[[anchor]]\nname = "{name}"\nlevel = "{mm} mm"\nwithin = "40 mm"\n'
        for name, mm in zip(names, (200, waist), strict=True)
    )
    found = looked_at(row(more=more), "named places")
    assert len(found) == is_typed_twice
    assert not found or "one place for two that lie one below the other" in found[0]


@pytest.mark.parametrize(("waist", "is_turned"), [(209, False), (210, True)])
def test_places_that_lie_the_other_way_round_by_a_tapes_slip_are_no_look(waist: int, is_turned: bool) -> None:
    more = "".join(
        f'[[anchor]]\nname = "{name}"\nlevel = "{mm} mm"\nwithin = "40 mm"\n'
        for name, mm in (("waist", waist), ("hip", 200))
    )
    assert bool(looked_at(row(more=more), "named places")) == is_turned


@pytest.mark.parametrize(("height", "is_wide"), [("250 mm", False), ("251 mm", True)])
def test_cuff_is_no_wider_than_one_is(height: str, is_wide: bool) -> None:
    plan = CUFF.format(piece="cuff", length="300 mm").replace("60 mm", height)
    found = looked_at(plan, "length")
    assert len(found) == is_wide and all("Look at height under [row]" in text for text in found)


def test_belt_is_no_wider_than_one_is() -> None:
    (found,) = looked_at(belt("900 mm", "").replace('width = "30 mm"', 'width = "300 mm"'), "length")
    assert "The belt is told 300 mm wide" in found and "Look at width under [belt]" in found


@pytest.mark.parametrize(
    ("key", "one", "other", "is_unlike"),
    [
        ("thickness", "3 mm", "2 mm", True),
        ("thickness", "3 mm", "2.7 mm", False),
        ("cap", "11 mm", "12 mm", True),
        ("cap", "11 mm", "11.4 mm", False),
        ("cap", "11 mm", "11.5 mm", True),
    ],
)
def test_closure_of_one_size_that_two_plans_measured_is_one(
    tmp_path: Path, key: str, one: str, other: str, is_unlike: bool
) -> None:
    plans = {
        name: row(name).replace('size = "18 L"', f'size = "18 L"\n{key} = "{mm}"')
        for name, mm in (("front", one), ("back", other))
    }
    found = looks(garment_of(tmp_path, **plans))
    assert len(found) == is_unlike
    said = (
        f'Of one sew-through button 18 L, front tells {key} = "{one}" and back tells {key} = "{other}" under [closure]'
    )
    assert not found or found[0].startswith(said)


def sides(folder: Path, *plans: tuple[str, str]) -> Path:
    path = garment_of(folder, **{name.replace(" ", "_"): text for name, text in plans})
    path.write_text(
        path.read_text().replace("_", " ").replace("clear of", "clear_of").replace(" side.toml", "_side.toml")
    )
    return path


@pytest.mark.parametrize(
    ("find", "put", "said"),
    [
        ("400 mm", "401.9 mm", ""),
        (
            "400 mm",
            "410 mm",
            "left side is 400 mm long with 5 closures, and right side is 410 mm long with 5 closures.",
        ),
        ("count = 5", "count = 6", "left side is 400 mm long with 5 closures, and right side is 400 mm long with 6 "),
    ],
)
def test_right_side_that_was_not_changed_with_the_left_is_looked_at(
    tmp_path: Path, find: str, put: str, said: str
) -> None:
    left, right = (row(f"{hand} side").replace("right over left", "front over back") for hand in ("left", "right"))
    found = [
        text
        for text in looks(sides(tmp_path, ("left side", left), ("right side", right.replace(find, put))))
        if "two sides" in text
    ]
    assert len(found) == bool(said) and all(text.startswith(said) for text in found)


def test_left_and_right_cuff_are_alike_and_a_front_is_no_half_of_them(tmp_path: Path) -> None:
    cuffs = {length: CUFF.format(piece="cuff", length=length) for length in ("250 mm", "290 mm")}
    for one, other, is_unlike in (("250 mm", "290 mm", True), ("250 mm", "250 mm", False)):
        names = {"front": row("front"), "left": cuffs[one], "right": cuffs[other] + "# a copy\n"}
        path = garment_of(tmp_path, **names)
        path.write_text(
            path.read_text().replace('name = "left"', 'name = "left cuff"').replace('"right"', '"right cuff"')
        )
        path.write_text(path.read_text().replace('"left"', '"left cuff"'))
        found = [text for text in looks(path) if "two sides of a body" in text]
        assert len(found) == is_unlike
        assert not found or found[0].startswith("left cuff is 250 mm long with 1 closure, and right cuff is 290 mm")


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('head = "560 mm"\nneck = "561 mm"', "a neck is less round than its head"),
        ('head = "560 mm"\nneck = "560 mm"', ""),
        ('chest = "900 mm"\nwaist = "270 mm"', "chest = 900 mm and waist = 270 mm: girths of one body seldom"),
        ('chest = "900 mm"\nwaist = "560 mm"\nseat = "1400 mm"', ""),
        ('chest = "900 mm"\nwaist = "70 mm"', "waist under [body] tells 70 mm, and it is seldom less than 240 mm"),
    ],
)
def test_girths_of_one_body_are_held_against_each_other(body: str, said: str) -> None:
    found = looked_at(row(more=f"[body]\n{body}\n"), "girth")
    assert len(found) == bool(said) and all(said in text for text in found)


@pytest.mark.parametrize(
    ("name", "body", "is_tight"),
    [
        ("bust", 'chest = "901 mm"', True),
        ("bust", 'chest = "900 mm"', False),
        ("hips", 'seat = "1000 mm"', True),
        ("waist", 'chest = "1000 mm"', False),
        ("bust", 'sex = "woman"', False),
    ],
)
def test_ring_that_is_less_than_the_body_there_does_not_close(name: str, body: str, is_tight: bool) -> None:
    ring = f'[way_in]\nrings = [{{ at = "{name}", level = "100 mm", round = "900 mm" }}]\nends_in = "hem"\n'
    more = "" if "sex" in body else 'shoulders = "900 mm"\n'
    found = looked_at(row(more=f"[body]\n{body}\n{more}{ring}"), "way in")
    assert len([text for text in found if "so it does not close" in text]) == is_tight


@pytest.mark.parametrize(("girth", "is_wide"), [("1000 mm", False), ("1001 mm", True)])
def test_girth_where_a_child_pulls_is_a_childs(girth: str, is_wide: bool) -> None:
    found = looked_at(row(more=f'{CHILD}[pull]\ngirth = "{girth}"\n'), "girth")
    assert len(found) == is_wide and all("a child wears it" in text for text in found)


@pytest.mark.parametrize(("gap", "is_far"), [("6 mm", False), ("7 mm", True)])
def test_hook_tape_closes_edges_no_further_apart_than_its_hooks_reach(gap: str, is_far: bool) -> None:
    plan = LACED.format(gap=gap).replace('[lacing]\ntied = "450 mm"', '[tape]\npitch = "19 mm"')
    plan = plan.replace('"eyelet"\nsize = "5.5 mm"', '"hook tape"\nsize = "any"\ncap = "9 mm"')
    plan = plan.replace('first = "16 mm"\nlast = "16 mm"\npitch = "25 mm"', "")
    found = [text for text in looked_at(plan, "tape") if "hooks of a tape" in text]
    assert len(found) == is_far and all(f"stand {gap} apart" in text for text in found)


@pytest.mark.parametrize(
    ("name", "piece", "is_refused"),
    [
        ("cuff", "waistband", True),
        ("waistband", "cuff", True),
        ("left cuff", "cuff", False),
        ("collar", "strap", False),
        ("cuff of the waistband", "waistband", False),
    ],
)
def test_strap_that_is_called_another_piece_than_its_plan_tells_is_refused(
    tmp_path: Path, name: str, piece: str, is_refused: bool
) -> None:
    path = garment_of(tmp_path, front=row("front"), own=CUFF.format(piece=piece, length="400 mm"))
    path.write_text(path.read_text().replace('name = "own"', f'name = "{name}"'))
    if is_refused:
        with pytest.raises(PlanError, match=f"'{name}' says {name}, and its plan, own.toml, is of a {piece}"):
            work_garment(path, draw=False)
    else:
        work_garment(path, draw=False)


def test_left_and_right_cuff_of_one_plan_are_asked_for_their_pair(tmp_path: Path) -> None:
    cuff = CUFF.format(piece="cuff", length="250 mm")
    path = garment_of(tmp_path, one=cuff, other=cuff)
    names = path.read_text().replace('"one"', '"left cuff"').replace('name = "other"', 'name = "right cuff"')
    path.write_text(names)
    (found,) = [text for text in looks(path) if "mirror image" in text]
    assert found.startswith("left cuff and right cuff are told alike") and "leave right cuff out" in found
    path.write_text(names.replace("left cuff", "cuff of a").replace("right cuff", "cuff of b"))
    assert not [text for text in looks(path) if "mirror image" in text]


def test_belt_and_waistband_of_one_garment_go_round_one_waist(tmp_path: Path) -> None:
    band = CUFF.format(length="760 mm", piece="waistband")
    (found,) = looks(garment_of(tmp_path, band=band, belt=belt("1500 mm", "")))
    assert "band tells a waistband round 760 mm and belt a belt round 1500 mm" in found
    assert not looks(garment_of(tmp_path, band=band, belt=belt("900 mm", "")))
    # A cuff goes round no waist.
    assert not looks(garment_of(tmp_path, cuff=CUFF.format(length="230 mm", piece="cuff"), belt=belt("900 mm", "")))


@pytest.mark.parametrize(
    ("at", "is_told"),
    [((100, 222), True), ((165, 222), False), ((150, 222), False)],
    ids=["bust point in the piece", "notch at the edge", "point near the line"],
)
def test_point_in_the_piece_is_not_level_with_its_place_on_a_slanting_line(at: tuple[int, int], is_told: bool) -> None:
    """The line leans by 10 in 100: 66 mm off, the nearest place of it lies some 6 mm higher than the point."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">'
        f'<path id="e" d="M 150 60 L 210 660"/><circle id="bp" cx="{at[0]}" cy="{at[1]}" r="2"/></svg>'
    )
    plan = row(more='[[anchor]]\nname = "bust"\nat = "bp"\nwithin = "60 mm"\n', garment='pieces = "pair"')
    plan = 'drawing = "a.svg"\n' + plan.replace('straight = "400 mm"', 'path = "e"')
    found = [
        one["text"]
        for one in checks_of(report_of(plan, {"a.svg": drawing.encode()}), "named places")
        if one["result"] == "warn"
    ]
    assert len(found) == is_told
    assert not found or "at the level 162 mm; taken is the place of the line nearest to it" in found[0]
