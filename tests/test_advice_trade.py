"""What a tailor finds wrong in words that are right by themselves: the order within a step, and what the plan does not have.

All of it is common practice, where no source stands beside the check.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from closures.advice.advice import Advice
from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.errors import EdgeError
from closures.plan.reading import read_plan
from closures.report.parts import count_parts

FRONT = (
    '[edge]\nstraight = "600 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
    '[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\nfirst = "25 mm"\nlast = "25 mm"\ncount = 7\n'
)
CUFF = (
    '[row]\npiece = "cuff"\npair = true\nlength = "300 mm"\nheight = "60 mm"\nover = ["18 mm"]\nunder = ["18 mm", "42 mm"]\n'
    'allowance = "10 mm"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n'
)
TWO = '[[layer]]\ncloth = "{}"\ncount = 2\n'
FUSIBLE = '[[layer]]\ncloth = "medium fusible"\n'


def told(text: str) -> Advice:
    return advice_of(check_plan(read_plan(text.encode(), "job.toml")))


def steps(text: str) -> list[str]:
    return [step.text for step in told(text).order.steps]


def step(text: str, key: str) -> str:
    return next(step.text for step in told(text).order.steps if step.key == key)


def front(kind: str, size: str, rest: str) -> str:
    return FRONT.format(kind=kind, size=size) + rest


def cuff(kind: str, size: str, rest: str) -> str:
    return CUFF.format(kind=kind, size=size) + rest


@pytest.mark.parametrize("make", [front, cuff])
def test_halves_of_covered_snaps_are_covered_before_either_is_sewn_on(make) -> None:
    order = steps(make("covered snap", "18 mm", TWO.format("wool suiting")))
    covered = next(n for n, text in enumerate(order) if text.startswith("Cover ") and "circle of thin lining" in text)
    sewn = next(n for n, text in enumerate(order) if "halves on at" in text or "half on at" in text)
    assert covered == sewn and sum("circle of thin lining" in text for text in order) == 1
    assert order[covered].index("circle of thin lining") < order[covered].index("on at")


def test_strap_is_fused_as_a_block_that_it_is_cut_from() -> None:
    text = cuff("sew-through button", "18 L", TWO.format("poplin") + FUSIBLE)
    order = [one.key for one in told(text).order.steps]
    assert order.index("fuse") < order.index("cut out the strap")
    assert "a block of the cloth, larger than both cuffs" in step(text, "fuse")
    # The plan tells one interfacing, and a cuff is cut twice.
    assert step(text, "cut out the strap").startswith(
        "Cut both cuffs out, the pieces that will lie outside of what is fused"
    )
    fused = next(one for one in told(text).order.steps if one.key == "fuse")
    assert "the block is no shorter" in fused.done
    # The pieces of a front are there: they are cut out by their own pattern.
    plain = front("sew-through button", "18 L", TWO.format("poplin") + FUSIBLE)
    assert "block" not in " ".join(steps(plain))


def test_cloth_that_is_sold_of_silk_too_says_what_is_washed() -> None:
    for name in ("organza", "satin"):
        assert "a silk one is steamed" in step(front("sew-on snap", "1", TWO.format(name)), "wash")
    assert "silk" not in step(front("sew-on snap", "1", TWO.format("poplin")), "wash")


def test_single_layer_has_no_facing_to_be_sewn_to_it() -> None:
    one = front("sew-through button", "20 L", '[[layer]]\ncloth = "boiled wool"\n')
    assert "Sew band and facing" not in " ".join(steps(one)) and "single layer" in step(one, "edge")
    assert "Sew band and facing" in step(front("sew-through button", "20 L", TWO.format("boiled wool")), "edge")
    snap = front("sew-on snap", "1", '[[layer]]\ncloth = "boiled wool"\n')
    assert "inner layers" not in " ".join(steps(snap)) and "what backs the cloth alone" in step(snap, "set first")


@pytest.mark.parametrize(
    ("name", "pressed", "edge"),
    [
        ("wool coating", "from the wrong side under a damp cloth", "press the edge under a damp cloth"),
        ("melton", "from the wrong side under a damp cloth", "press the edge under a damp cloth"),
        ("boiled wool", "from the wrong side under a damp cloth", "press the edge under a damp cloth"),
        ("flannel", "Press it flat from the wrong side", "press the edge under a press cloth"),
    ],
)
def test_nap_is_pressed_as_its_cloth_is_and_not_as_a_pile(name: str, pressed: str, edge: str) -> None:
    order = " ".join(steps(front("sew-through button", "24 L", TWO.format(name))))
    assert pressed in order and edge in order
    assert "would flatten it" not in order and "lost in the pile" not in order


@pytest.mark.parametrize("name", ["cotton velvet", "corduroy", "towelling", "polar fleece"])
def test_pile_is_never_pressed_by_an_iron_set_down_on_it(name: str) -> None:
    order = " ".join(steps(front("sew-through button", "24 L", TWO.format(name))))
    assert "an iron set down on it would flatten it" in order and "steam and smooth the edge" in order


def test_nap_beside_a_pile_is_pressed_as_the_pile() -> None:
    layers = '[[layer]]\ncloth = "melton"\n[[layer]]\ncloth = "cotton velvet"\n'
    assert "an iron set down on it would flatten it" in " ".join(steps(front("sew-through button", "24 L", layers)))


COLUMN = (
    '[edge]\nstraight = "480 mm"\n[garment]\nopens = "front"\npieces = "pair"\nstate = "cut pieces"\n'
    '[band]\nwidth = "200 mm"\ninset = "30 mm"\nlap = "left over right"\n[column]\napart = "140 mm"\n{more}'
    '[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\nfirst = "20 mm"\nlast = "150 mm"\ncount = 4\n'
)


def test_tack_button_is_not_sewn_on_for_show_since_it_is_driven() -> None:
    text = COLUMN.format(kind="tack button", size="27 L", more="") + TWO.format("denim 12 oz")
    with pytest.raises(EdgeError, match="a tack button is driven on, so it is not sewn on for show"):
        check_plan(read_plan(text.encode(), "job.toml"))
    working = text.replace('apart = "140 mm"\n', 'apart = "140 mm"\nworks = true\n')
    assert "for show" not in " ".join(steps(working))


def test_stop_says_no_reason_twice() -> None:
    inner = 'works = true\ninner = { kind = "sew-through button", size = "24 L" }\n'
    text = COLUMN.format(kind="tack button", size="27 L", more=inner) + TWO.format("melton")
    stop = told(text).order.stop
    assert "a cut buttonhole stays, and so does the hole of a tack" in stop
    assert stop.count("a cut buttonhole stays") == 1


MEETING = '[garment]\nopens = "front"\nedges = "meeting"\nstate = "cut pieces"\n'
SILK = TWO.format("poplin")


def lines_of(text: str, rule: str) -> list[str]:
    return [one.text for one in check_plan(read_plan(text.encode(), "job.toml")).findings if one.rule == rule]


@pytest.mark.parametrize(("garment", "eye", "drawn"), [("", "straight eye", "bar"), (MEETING, "round eye", "eye")])
def test_edges_that_lap_take_a_straight_eye_and_those_that_meet_a_round_one(garment: str, eye: str, drawn: str) -> None:
    """Text-Book on Domestic Art (hooks and eyes): the round eye is used for edges, the flat one for lapping."""
    text = garment + front("hook and eye", "2", SILK)
    placed = check_plan(read_plan(text.encode(), "job.toml"))
    fastener = placed.placement.fastener
    assert [part.name for part in fastener.parts] == ["hook", eye]
    assert (fastener.mark.over, fastener.mark.under) == ("hook", drawn)
    assert f"Sew the {eye}s on at" in step(text, "set second")
    is_lapped = not garment
    assert ("round ones are for edges that meet" in step(text, "set second")) == is_lapped
    files = result_files(place_plan(read_plan(text.encode(), "job.toml")), "a4")
    assert eye in files["report.md"].decode() and f"{eye}s" in files["report.md"].decode()
    # A straight eye is sewn at both its ends, on the line; a round one by two rings behind its bow.
    under = files["under.svg"].decode()
    assert ('class="stitch"' in under) == is_lapped and ('class="ring"' in under) == (not is_lapped)


def test_eye_of_a_cuff_or_beside_a_row_is_straight_where_its_laps_lie_on_each_other() -> None:
    placed = check_plan(read_plan(cuff("hook and eye", "2", SILK).encode(), "job.toml")).placement
    assert [part.name for part in placed.fastener.parts] == ["hook", "straight eye"]
    single = '[[single]]\nalong = "8 mm"\nkind = "hook and eye"\nsize = "2"\n'
    beside = check_plan(read_plan((front("sew-on snap", "1", SILK) + single).encode(), "job.toml")).placement.beside
    assert [part.name for part in beside[0].fastener.parts] == ["hook", "straight eye"]


def test_distance_of_a_hook_is_told_of_its_end_and_of_no_rim_that_nobody_knows() -> None:
    """Guide C-232, New Mexico State University: 1/8 in from the edge to the hook's end."""
    over, under = lines_of(front("hook and eye", "2", SILK), "edge distance")
    assert over.startswith("The end of the hook lies 3.2 mm from the finished edge")
    assert under.startswith("The bar lies ")
    (beside,) = lines_of(front("hook and eye", "2", SILK), "neighbour distance")
    assert "two rims" not in beside and "how wide each part is was not told" in beside
    tips = lines_of(
        cuff("hook and bar", "one size", SILK).replace('over = ["18 mm"]', 'over = ["4 mm"]'), "edge distance"
    )
    assert tips[0].startswith("From the end of the hook to the finished tip 4 mm; ")
    assert all("the centre" not in one and "rim" not in one for one in tips)
    # What is known to be so wide is told by its rims as before.
    assert "two rims" in lines_of(front("sew-on snap", "1", SILK), "neighbour distance")[0]


def test_widest_gap_is_told_with_the_usual_one_and_the_limit_each_once() -> None:
    """What is usual has its source with its rule; that half as much again is looked at is our own rule."""
    wide = front("sew-on snap", "1", SILK).replace("count = 7", "count = 7").replace('"600 mm"', '"640 mm"')
    wide = wide.replace('first = "25 mm"\nlast = "25 mm"', 'first = "59 mm"\nlast = "59 mm"')
    told = lines_of(wide, "widest gap")
    assert told[0].startswith(
        "The gap to the next mark is 87 mm, wider than 76.2 mm, half as much again as the 50.8 mm that is usual (gap on a "
        "placket that bears no strain). It may gape"
    )
    assert told[0].count("76.2 mm") == 1


OLD = '[swap]\nkind = "{}"\nsize = "{}"\nplaces = [{}]\nhole = {{ made = true }}\n'


@pytest.mark.parametrize("old", [("prong snap", "16 L"), ("plastic snap", "20"), ("post snap", "20 L")])
@pytest.mark.parametrize("cloth", ["leather 2 oz", "waxed cotton", "poplin", "cotton velvet", "interlock", "flannel"])
def test_old_holes_that_stay_are_right_by_what_was_done_to_them(cloth: str, old: tuple[str, str]) -> None:
    """Nobody looks for a thread where a patch was glued, nor for a patch where pricks were only smoothed."""
    places = ", ".join(f'"{mm} mm"' for mm in (60, 137, 230, 301, 396, 470))
    row = front("sew-on snap", "1", TWO.format(cloth)).replace("count = 7", "count = 3")
    text = row + '[garment]\nopens = "front"\nstate = "finished"\n' + OLD.format(*old, places)
    plan = read_plan(text.encode(), "job.toml")
    covered = [one for one in advice_of(check_plan(plan)).order.steps if one.key == "cover holes"]
    assert covered
    for one in covered:
        assert ("patch" in one.done) == ("patch" in one.text), one
        works_thread = "Sew shut" in one.text or "threads back" in one.text or "catch each loop" in one.text
        assert not ("thread stands" in one.done and ("glue" in one.text or "tape or" in one.text)), one
        assert not works_thread or "thread stands" in one.done, one


@pytest.mark.parametrize("cloth", ["poplin", "silk habotai", "leather 2 oz"])
@pytest.mark.parametrize("count", [1, 2])
def test_what_marks_magnets_inside_does_not_say_that_their_washers_cover_nothing(cloth: str, count: int) -> None:
    layers = TWO.format(cloth).replace("count = 2", f"count = {count}")
    for face in ("usual", "outside"):
        plan = read_plan(front("magnetic snap", "18 mm", layers).encode(), "job.toml")
        said = " ".join(advice_of(place_plan(plan, None, face)).marking)  # type: ignore[arg-type]
        assert "would cover" not in said
        assert cloth == "poplin" or "there the part" in said


TAPE = '[tape]\npitch = "{}"\n'


@pytest.mark.parametrize(
    ("kind", "pitch", "garment"),
    [
        ("snap tape", "25 mm", ""),
        ("hook tape", "19 mm", '[garment]\nopens = "back"\nedges = "meeting"\n'),
    ],
)
@pytest.mark.parametrize("cloth", ["poplin", "silk habotai", "leather 2 oz"])
def test_tape_is_laid_by_its_line_and_its_ends(kind: str, pitch: str, garment: str, cloth: str) -> None:
    row = FRONT.format(kind=kind, size="any").partition("[spacing]")[0]
    plan = read_plan((row + TAPE.format(pitch) + garment + TWO.format(cloth)).encode(), "job.toml")
    answer = check_plan(plan)
    last = answer.placement.marks[-1].n
    order = {one.key: one.text for one in advice_of(answer).order.steps}
    own = "mark both" if garment else "mark"
    marks = re.search(rf"marks (1, [\d, and]*{last})\b", order[own])
    assert marks is not None
    # The first, the last, and never more than five apart between them.
    named = [int(n) for n in re.findall(r"\d+", marks[1])]
    assert len(named) < last / 3 and all(2 <= after - before <= 5 for before, after in pairwise(named))
    for key in ("set first", "set second", "compare meeting" if garment else "compare"):
        assert marks[1] in order[key] and f"marks 1 to {last}" not in order[key], order[key]
    assert f"with {last} closures on it" in order["set first"]
    assert any(marks[1] in line for line in advice_of(answer).marking)


def test_short_tape_is_marked_at_both_ends() -> None:
    from closures.advice.tapes import guiding

    assert [guiding(range(1, n + 1)) for n in (1, 2, 3, 6, 7, 11)] == [
        [1],
        [1, 2],
        [1, 3],
        [1, 6],
        [1, 4, 7],
        [1, 6, 11],
    ]


SAME = (
    '[edge]\nstraight = "700 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "34 mm"\n'
    'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "18 L"\nhole = "{}"\n'
    '[spacing]\npitch = "80 mm"\n[[layer]]\ncloth = "poplin"\ncount = 2\n'
    '[swap]\nkind = "sew-through button"\nsize = "18 L"\nfirst = "70 mm"\nlast = "90 mm"\ncount = 6\n'
    'take = "{}"\nhole = {{ way = "along", length = "14.4 mm", made = true }}\n'
)


@pytest.mark.parametrize("take", ["keep the two ends, divide anew between them", "the fewest changes"])
@pytest.mark.parametrize("way", ["along", "across"])
def test_as_many_old_buttons_come_off_as_the_list_of_changes_tells(way: str, take: str) -> None:
    """Where the buttonholes are turned, the buttons of the places that stay come off as well, and new ones go on."""
    plan = read_plan(SAME.format(way, take).encode(), "job.toml")
    answer = check_plan(plan)
    assert answer.swap is not None
    listed = [line for line in answer.swap.offer.changes if line.startswith("Take off")]
    taken = [one.text for one in advice_of(answer).order.steps if one.key == "take off"]
    assert len(listed) == len(taken) <= 1
    if taken:
        which = re.search(r"buttons? (\d+(?: to \d+)?)", listed[0])
        count = re.search(r"Take off (\d+)", listed[0])
        assert (which and f", {which[1]}," in taken[0]) or (count and f"Take the {count[1]} " in taken[0])
    order = {one.key: one.text for one in advice_of(answer).order.steps}
    if not answer.swap.offer.given_up and not answer.swap.offer.added and way == "along":
        # All are there already: nothing is marked, bought or set, and what stays is pulled at and worn.
        assert list(order)[:2] == ["all stay", "look at kept sewn"] and not any("set" in key for key in order)
        assert "nothing is to be set" in answer.swap.offer.changes[0]
        assert all(part.total == 0 for part in count_parts(answer.placement))
        return
    marks = [int(n) for n in re.findall(r"\d+", order["set second"].partition("at mark")[2].partition(" of ")[0])]
    assert (min(marks) == 1) == (way == "across")
