"""Laps of unlike cloth, and layers that are only part of a lap: each cloth is worked as it bears.

What spoils a cloth is common practice where no source is named; that silk keeps the spots of water is from memory.
"""

from __future__ import annotations

import random
import re
from dataclasses import replace

import pytest
from each_cloth import spoiled
from test_advice_jobs import asked_for, drawn, front, whole_set

from closures.advice import facts as facts_of_jobs
from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.errors import ClosureError
from closures.plan.reading import read_plan

KINDS = {
    "sew-through button": ("20 L", ""),
    "prong snap": ("18 L", ""),
    "sew-on snap": ("1", ""),
    "hook and eye": ("2", 'edges = "meeting"\n'),
    "eyelet": ("5.5 mm", 'edges = "meeting"\n'),
}
STATES = ("cut pieces", "sewn band", "finished")
OUTER = (
    "cotton poplin", "denim 10 oz", "linen", "cotton velvet", "corduroy", "melton", "wool suiting", "silk charmeuse",
    "silk habotai", "satin", "jersey", "leather 2 oz", "oilcloth", "polar fleece", "quilted cotton", "flannel",
)  # fmt: skip
INNER = ("cotton poplin", "silk habotai", "leather 1 oz", "cotton voile", "")


def layer(name: str, on: str = "both", more: str = "") -> str:
    return f'[[layer]]\ncloth = "{name}"\non = "{on}"\n{more}' if name else ""


def unlike(seed: int) -> str:
    """A job of two unlike laps, put together by chance: outer cloth of each, what lies within, kind and state."""
    chance = random.Random(f"unlike {seed}")
    kind = chance.choice(tuple(KINDS))
    size, meeting = KINDS[kind]
    over, under = chance.sample(OUTER, 2)
    within = [layer(chance.choice(INNER), on) for on in chance.choice((("both",), ("over", "under"), ("under",)))]
    fusible = layer("light fusible", chance.choice(("both", "over", "under"))) if chance.random() < 0.3 else ""
    bound = layer("leather 2 oz", "both", 'across = ["0 mm", "5 mm"]\n') if chance.random() < 0.2 else ""
    backing = '[sheets]\nbacking = "strip"\n' if chance.random() < 0.3 else ""
    state = STATES[seed % len(STATES)]
    washing = chance.choice(("", "", "", 'washing = "to be washed"\n'))
    lacing = "[lacing]\n" if kind == "eyelet" else ""
    garment = f'[garment]\nopens = "front"\npieces = "pair"\n{meeting}state = "{state}"\n{washing}'
    layers = "".join([layer(over, "over"), layer(under, "under"), bound, fusible, *within])
    return front(kind, size, rest=f"{garment}{lacing}{backing}{layers}", width=60)


def placed(text: str) -> Answer:
    return place_plan(asked_for(read_plan(text.encode(), "job.toml"), ("order", "coupon")))


def spoiled_by(text: str) -> list[str]:
    answer = placed(text)
    return spoiled(answer, advice_of(answer), read_plan(text.encode(), "job.toml"))


def steps(text: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for step in advice_of(placed(text)).order.steps:
        found[step.key] = f"{found[step.key]} {step.text}" if step.key in found else step.text
    return found


@pytest.mark.parametrize("tens", range(6))
def test_no_cloth_of_two_unlike_laps_is_asked_for_what_it_does_not_bear(tens: int) -> None:
    read = 0
    for seed in range(10 * tens, 10 * tens + 10):
        try:
            answer = placed(unlike(seed))
        except ClosureError:
            continue
        advice = advice_of(answer)
        read += 1
        assert spoiled(answer, advice, read_plan(unlike(seed).encode(), "job.toml")) == [], unlike(seed)
    assert read >= 8


def plied(seed: int) -> str:
    """A job of three or four plies of two or three cloths, which are told for what they are, in part or not at all."""
    chance = random.Random(f"plied {seed}")
    kind = chance.choice(("sew-through button", "prong snap", "sew-on snap"))
    outer, within, inner = chance.sample(OUTER, 3)
    told = chance.choice(
        (
            [(outer, 1, "outer"), (within, 1, "interlining"), (inner, 1, "facing")],
            [(outer, 1, "outer"), (inner, 1, "facing"), (within, 1, "interlining")],
            [(outer, 2, "outer and facing"), (within, 1, "interlining")],
            [(outer, 2, ""), (within, 1, "lining")],
            [(outer, 2, ""), (within, 1, "facing")],
            [(outer, 2, ""), (within, 1, "")],
            [(outer, 1, ""), (within, 1, ""), (inner, 1, "")],
            [(outer, 1, "outer"), (within, 2, "interlining"), (inner, 1, "facing")],
            [(outer, 1, "outer"), (within, 1, "facing"), (inner, 1, "lining")],
        )
    )
    layers = "".join(
        layer(name, more=f"count = {count}\n" + (f'as = "{purpose}"\n' if purpose else ""))
        for name, count, purpose in told
    )
    bands = chance.choice(("", '[bands]\nallowance = "10 mm"\n'))
    garment = f'[garment]\nopens = "front"\npieces = "pair"\nstate = "{STATES[seed % 4 % 3]}"\n'
    return front(kind, KINDS[kind][0], rest=garment + (bands if "cut pieces" in garment else "") + layers, width=60)


@pytest.mark.parametrize("tens", range(6))
def test_no_cloth_of_three_plies_is_asked_for_what_it_does_not_bear(tens: int) -> None:
    """The reading takes from the plan alone how its plies lie."""
    read = 0
    for seed in range(10 * tens, 10 * tens + 10):
        answer = placed(plied(seed))
        read += not answer.placement.is_withheld
        assert spoiled(answer, advice_of(answer), read_plan(plied(seed).encode(), "job.toml")) == [], plied(seed)
    assert read >= 8


@pytest.mark.parametrize("tens", range(20))
def test_no_cloth_of_jobs_drawn_by_chance_is_asked_for_what_it_does_not_bear(tens: int) -> None:
    for seed in range(10 * tens, 10 * tens + 10):
        try:
            answer = place_plan(read_plan(drawn(seed).encode(), "job.toml"))
        except ClosureError:
            continue
        if answer.placement.is_withheld:
            # Nothing is marked, pierced or pressed of what is held back for its wearer: its order only changes the plan.
            assert not advice_of(answer).order.stop, drawn(seed)
            continue
        assert spoiled(answer, advice_of(answer), read_plan(drawn(seed).encode(), "job.toml")) == [], drawn(seed)


def _as_one(placement, catalogue, state, words, face, up):  # type: ignore[no-untyped-def]
    """Both laps taken as of all the cloth that there is in either."""
    from closures.advice.worked import all_alike, with_face

    return {lap: all_alike(lap, words, with_face(words, face) if face else None) for lap in ("over", "under")}


def _none_apart(placement, catalogue, state, words, laps):  # type: ignore[no-untyped-def]
    from closures.advice.worked import all_alike

    return (all_alike("", words),)


def _laps_changed(**sets: str):  # type: ignore[no-untyped-def]
    """Laps of which one set of facts is taken for another."""
    from closures.advice.worked import laps_worked

    def changed(*given):  # type: ignore[no-untyped-def]
        return {
            lap: replace(one, **{name: getattr(one, other) for name, other in sets.items()})
            for lap, one in laps_worked(*given).items()
        }

    return changed


def _laps_exchanged(*given):  # type: ignore[no-untyped-def]
    from closures.advice.worked import laps_worked

    over, under = laps_worked(*given).values()
    return {"over": replace(under, name="over"), "under": replace(over, name="under")}


FAULTS = {
    "both laps are of all cloth": ("laps_worked", _as_one),
    "nothing is prepared by itself": ("prepared_apart", _none_apart),
    "laps are exchanged": ("laps_worked", _laps_exchanged),
    "what lies within is taken for the face": ("laps_worked", _laps_changed(face="words")),
    "only the face is flattened": ("laps_worked", _laps_changed(words="outer")),
    "what lies beside decides how a backing is held": ("laps_worked", _laps_changed(outer="words")),
}
"""Ways to take one cloth for another, which the reading must notice."""


@pytest.mark.parametrize("fault", FAULTS)
def test_cloth_that_is_taken_for_another_is_noticed(monkeypatch: pytest.MonkeyPatch, fault: str) -> None:
    name, planted = FAULTS[fault]
    monkeypatch.setattr(facts_of_jobs, name, planted)
    noticed = []
    for seed in range(60):
        try:
            noticed += spoiled_by(unlike(seed))
        except ClosureError:
            continue
    assert noticed


BUTTON = ("sew-through button", "20 L")


@pytest.mark.parametrize(
    ("layers", "must", "never"),
    [
        pytest.param(
            layer("cotton poplin") * 2 + layer("leather 1 oz", "under"),
            {"work buttonholes": "Work the buttonholes round", "cut buttonholes": "Cut the buttonholes open", "press": "Press it flat"},
            "Slit the leather",
            id="leather on the lap of the buttons alone",
        ),
        pytest.param(
            layer("cotton poplin") * 2 + layer("leather 1 oz", "over"),
            {"work buttonholes": "close ones cut the leather within through"},
            "Slit the leather",
            id="leather within the lap of the buttonholes",
        ),
        pytest.param(
            layer("leather 2 oz", "over") + layer("cotton poplin"),
            {"work buttonholes": "Glue the cloth behind the leather", "cut buttonholes": "Slit the leather"},
            "Work the buttonholes",
            id="leather outside on it, and cloth behind",
        ),
        pytest.param(
            layer("melton") + layer("leather 2 oz", more='across = ["0 mm", "8 mm"]\n') + layer("poplin"),
            {"steam": "Melton and cotton poplin:", "press damp": "Melton:", "work buttonholes": "they can be unpicked", "edge": "no mallet and no iron"},
            "Slit the leather|with a mallet,",
            id="edges bound with leather",
        ),
        pytest.param(
            layer("silk charmeuse", "over") + layer("wool suiting", "under") + layer("silk habotai"),
            {"press silk": "Silk charmeuse and silk habotai: Press it flat with a dry iron", "press damp": "Wool suiting:"},
            "press the edge[^.]*damp cloth",
            id="silk over wool",
        ),
        pytest.param(
            layer("cotton velvet", "over") + layer("leather 2 oz", "under") + layer("poplin"),
            {"edge": "steam and smooth the edge of the over lap, and tap that of the under lap with a mallet"},
            "Slit the leather",
            id="velvet over leather",
        ),
    ],
)  # fmt: skip
def test_each_lap_is_worked_as_its_own_cloth_bears(layers: str, must: dict[str, str], never: str) -> None:
    told = steps(front(*BUTTON, rest=layers, width=60))
    assert {key: text for key, text in must.items() if text not in told.get(key, "")} == {}
    assert not re.search(never, " ".join(told.values()))


def test_belt_of_cloth_with_a_core_of_leather_is_sewn_and_turned() -> None:
    belt = '[belt]\nwaist = "720 mm"\nwidth = "38 mm"\nallowance = "10 mm"\n[closure]\n'
    belt += 'kind = "sew-through button"\nsize = "24 L"\n' + layer("linen", more="count = 2\n")
    plain, cored = steps(belt), steps(belt + layer("leather 2 oz"))
    assert {"cut out the strap", "make the strap"} <= cored.keys() and "cut the strap" not in cored
    assert plain["make the strap"] in cored["make the strap"] and "Slide the leather in" in cored["make the strap"]
    assert "Slide the leather in" not in plain["make the strap"]
    assert "between its layers at the under end" in steps(belt + layer("leather 2 oz", "under"))["make the strap"]


STRAP = (
    '[row]\npiece = "strap"\nlength = "260 mm"\nheight = "44 mm"\nover = ["22 mm"]\nunder = ["22 mm"]\n{}[closure]\n'
)
STRAP += 'kind = "post snap"\nsize = "24 L"\n'


@pytest.mark.parametrize("name", ["denim 10 oz", "wool flannel", "cotton velvet"])
@pytest.mark.parametrize("allowance", ["", 'allowance = "10 mm"\n'])
def test_strap_of_one_cloth_lined_with_leather_is_turned_under_and_not_through(name: str, allowance: str) -> None:
    """There is one layer of cloth, with nothing to sew it to; leather is cut to the outline (common practice)."""
    answer = placed(STRAP.format(allowance) + layer(name) + layer("leather 2 oz"))
    order = advice_of(answer).order
    told = {step.key: step for step in order.steps}
    made = told["make the strap"].text
    assert f"Turn the allowance of the strap under all round, of {name} alone, and " in made
    assert "Lay the leather on its wrong side" in made and "Sew and turn" not in made and "Slide" not in made
    cut = f"1 of {name}, to lie outside, and 1 of leather 2 oz, to lie inside, cut to the finished outline, without an "
    assert cut in told["cut out the strap"].text
    # Leather that is cut stays cut: the stop stands before it.
    assert order.stop_before is not None and order.stop_before <= told["cut out the strap"].n
    report = result_files(answer, "a4")["report.md"].decode()
    assert cut in report and "the leather 260 mm (10 1/4 in) long and 44 mm (1 3/4 in) wide" in report
    assert ("the cloth 280 mm" in report) is bool(allowance)
    assert ("no seam allowance in the cloth: add yours" in report) is not bool(allowance)


def test_core_of_leather_is_cut_beside_two_of_the_cloth() -> None:
    answer = placed(STRAP.format('allowance = "10 mm"\n') + layer("poplin", more="count = 2\n") + layer("leather 2 oz"))
    told = {step.key: step.text for step in advice_of(answer).order.steps}
    assert "2 of cotton poplin, and 1 of leather 2 oz, to lie between them, cut to" in told["cut out the strap"]
    assert "Sew and turn the strap" in told["make the strap"] and "Slide the leather in" in told["make the strap"]
    assert "what is cut makes 2" not in result_files(answer, "a4")["report.md"].decode()


@pytest.mark.parametrize("name", ["oilcloth", "felt", "chino"])
@pytest.mark.parametrize("allowance", ["", 'allowance = "10 mm"\n'])
def test_strap_of_one_layer_is_never_sewn_and_turned(name: str, allowance: str) -> None:
    row = f'[row]\nlength = "320 mm"\nheight = "34 mm"\nmade = "{{made}}"\n{allowance}[closure]\n'
    row += 'kind = "plastic snap"\nsize = "20"\n'
    told = steps(row.format(made="one layer") + layer(name))
    assert not any("Sew and turn" in text for text in told.values())
    assert ("cut the strap" in told) is (not allowance)
    assert not allowance or "Hem the strap" in told["make the strap"]
    faced = steps(row.format(made="two pieces") + layer(name, more="count = 2\n"))
    assert "Sew and turn the strap" in faced["make the strap"]


@pytest.mark.parametrize("single", ["over", "under"])
def test_facing_is_spoken_of_on_the_lap_that_has_one(single: str) -> None:
    faced = "under" if single == "over" else "over"
    layers = layer("leather 4 oz", single) + layer("denim 10 oz", faced, more="count = 2\n")
    told = steps(front("post snap", "20 L", rest=layers))["edge"]
    assert f"Finish the edge of the {single} lap as a single layer is finished" in told
    assert f"Sew band and facing of the {faced} lap together" in told and "both laps" not in told
    meeting = '[garment]\nopens = "back"\nedges = "meeting"\n'
    told = steps(front("hook and eye", "2", rest=meeting + layers))["edge that meets"]
    assert f"Finish the edge of the {single} lap" in told and f"Face the edge of the {faced} lap, turn it" in told


@pytest.mark.parametrize(("single", "through"), [("over", "what backs the cloth"), ("under", "the inner layers")])
def test_half_that_is_sewn_on_asks_for_the_layers_of_its_own_lap(single: str, through: str) -> None:
    faced = "under" if single == "over" else "over"
    layers = layer("linen", single) + layer("linen", faced, more="count = 2\n")
    told = steps(front("sew-on snap", "1", rest=layers))
    over = next(told[key] for key in ("set first", "set second") if "of the over lap" in told[key])
    assert through in over


@pytest.mark.parametrize("state", STATES)
def test_laced_edges_are_stiffened_or_looked_at_before_a_hole_is_punched(state: str) -> None:
    garment = f'[garment]\nopens = "back"\nedges = "meeting"\nstate = "{state}"\n[lacing]\n'
    told = steps(front("eyelet", "5.5 mm", rest=garment + layer("linen", more="count = 2\n")))
    key = "bones" if state == "cut pieces" else "see the bones"
    assert list(told).index(key) < list(told).index("set first")
    assert len({"bones", "see the bones"} & told.keys()) == 1


@pytest.mark.parametrize(("over", "under"), [("cotton velvet", "cotton poplin"), ("cotton poplin", "leather 2 oz")])
@pytest.mark.parametrize("kind", [BUTTON, ("post snap", "20 L"), ("hook and eye", "2")])
def test_coupon_of_unlike_laps_is_cut_of_what_each_is_of(kind: tuple[str, str], over: str, under: str) -> None:
    meeting = '[garment]\nedges = "meeting"\n' if kind[0] == "hook and eye" else ""
    words = whole_set(
        front(*kind, rest=meeting + layer(over, "over") + layer(under, "under") + layer("poplin"), width=60)
    )
    is_unlike = "leather" in under
    assert ("Cut one piece for either lap from that lap's own cloth" in words) is is_unlike
    assert ("from the same cloth, with the same layers" in words) is not is_unlike


@pytest.mark.parametrize(
    ("washing", "name", "is_looked_at"),
    [
        ("to be washed", "leather 4 oz", True),
        ("to be washed", "oilcloth", True),
        ("to be washed", "denim 10 oz", False),
        ("never", "leather 4 oz", False),
        ("", "leather 4 oz", False),
    ],
)
def test_leather_that_a_plan_washes_is_looked_at_and_tried_in_the_wash(
    washing: str, name: str, is_looked_at: bool
) -> None:
    garment = f'[garment]\nopens = "front"\nwashing = "{washing}"\n' if washing else ""
    text = front(*BUTTON, rest=garment + layer(name, more="count = 2\n"), width=60)
    looks = [one for one in placed(text).findings if one.rule == "washing"]
    assert [one.result for one in looks] == ["warn"] * is_looked_at
    assert all(name in one.text and "washed as a trial" in one.text for one in looks)
    assert ("try the wash" in steps(text)) is is_looked_at


@pytest.mark.parametrize(
    ("layers", "is_looked_at"),
    [
        (layer("leather 3 oz"), True),
        (layer("leather 3 oz") + layer("cotton poplin"), True),
        (layer("waxed cotton") + layer("cotton poplin"), True),
        (layer("denim 10 oz"), False),
    ],
)
@pytest.mark.parametrize("state", ["cut pieces", "sewn band"])
def test_leather_that_is_told_to_shrink_in_the_wash_is_looked_at_as_one_that_is_told_to_be_washed(
    layers: str, is_looked_at: bool, state: str
) -> None:
    loses = f'[garment]\nopens = "front"\nstate = "{state}"\n[shrinkage]\nalong = "4 %"\nmeasured = "unwashed"\n'
    text = front(*BUTTON, rest=loses + layers, width=60)
    looks = [one for one in placed(text).findings if one.rule == "washing"]
    assert [one.result for one in looks] == ["warn"] * is_looked_at
    assert all("leave [shrinkage] out" in one.text for one in looks)
    is_tried = is_looked_at and state == "cut pieces"
    # Only a look at cut pieces may promise a step: of a band that is sewn no piece is left to begin with.
    assert all(("The order of work begins" in one.text) is is_tried for one in looks)
    keys = list(steps(text))
    assert ("try the first wash" in keys) is is_tried
    assert not is_tried or keys.index("try the first wash") < keys.index("keep unwashed")


BOUND = layer("leather 2 oz", more='across = ["0 mm", "8 mm"]\n')


@pytest.mark.parametrize(
    ("layers", "told"),
    [
        (layer("melton") + layer("cotton poplin"), {"steam"}),
        (layer("melton") + BOUND + layer("cotton poplin"), {"steam"}),
        (layer("silk charmeuse", "over") + layer("linen", "under"), {"steam"}),
        (layer("linen") + layer("cotton poplin"), {"wash"}),
        (layer("linen") + BOUND + layer("cotton poplin"), {"wash beside"}),
    ],
    ids=["wool", "wool, edges bound", "a lap of silk", "washed alone", "washed, edges bound"],
)
def test_what_is_cleaned_with_wool_or_silk_is_steamed_once_and_never_washed_first(layers: str, told: set[str]) -> None:
    """Cotton is washed before it is cut, and wool is cleaned: a garment of both is cleaned as a whole (common practice)."""
    found = steps(front(*BUTTON, rest=layers, width=60))
    assert {"wash", "wash beside", "steam"} & found.keys() == told


# By hand: a hole across for 12.7 and 3 mm is 15.7 mm long, and begins 1/8 in outside its mark, 30 mm from the edge: it
# ends at 30 + 15.7 - 3.2 = 42.5 mm. The rim of the button ends at 36.35 mm.
@pytest.mark.parametrize(("across", "is_cut"), [((0, 5), False), ((36, 60), True), ((42, 60), True), ((48, 60), False)])
def test_leather_that_a_buttonhole_reaches_beyond_the_rim_is_worked_as_cut(
    across: tuple[int, int], is_cut: bool
) -> None:
    within = layer("leather 2 oz", "over", f'across = ["{across[0]} mm", "{across[1]} mm"]\n')
    told = steps(front(*BUTTON, closure='hole = "across"', rest=layer("poplin") * 2 + within, width=60))
    assert ("close ones cut the leather within through" in told["work buttonholes"]) is is_cut
    assert ("a pin across each end" in told["cut buttonholes"]) is not is_cut


@pytest.mark.parametrize(
    ("within", "left"),
    [
        (layer("leather 2 oz", "under", 'across = ["0 mm", "5 mm"]\n'), "close with steam"),
        (layer("leather 2 oz", "under", 'across = ["20 mm", "40 mm"]\n'), "stay in leather"),
        (layer("leather 2 oz", "under"), "stay in leather"),
        (layer("leather 2 oz", "over"), "close with steam"),
        ("", "close with steam"),
    ],
    ids=["at its edge", "below the buttons", "all of it", "the lap of the holes", "none"],
)
def test_needle_holes_of_a_button_stay_where_leather_lies_below_it_and_not_at_the_edge_alone(
    within: str, left: str
) -> None:
    """The buttons lie 30 mm from the edge of the under lap; leather that binds its outer 5 mm has no thread of theirs."""
    order = advice_of(placed(front(*BUTTON, rest=layer("poplin") * 2 + within, width=60))).order
    assert f"Snip the threads under the button and draw them out: the needle holes {left}" in order.removal
