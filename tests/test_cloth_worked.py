"""Which cloth of a job is worked as one, and what is said of both laps at once, asked of each by itself.

What each cloth bears is common practice; in which words it is told, and of which lap, is held here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from test_advice_jobs import front

from closures.advice.both_laps import both_laps, cloth_of
from closures.advice.worked import Worked, all_alike, laps_worked, prepared_apart, whole_cloth, with_cloth, with_face
from closures.app.job import Answer, check_plan
from closures.catalogue.values import LapName
from closures.plan.band import Face
from closures.plan.reading import read_plan

LEATHER = frozenset({"cloth: leather", "press: none", "wash: never"})
WOVEN = frozenset({"cloth: woven", "press: iron", "wash: first", "heat: bears", "pens do"})
PILE = frozenset({"cloth: pile", "press: steam", "wash: first", "heat: bears", "marks"})

OUTSIDE: dict[LapName, Face] = {"over": "outside", "under": "outside"}


def layer(name: str, on: str = "both", more: str = "") -> str:
    return f'[[layer]]\ncloth = "{name}"\non = "{on}"\n{more}'


def job(*layers: str, kind: str = "prong snap", size: str = "18 L", garment: str = "", width: int = 60) -> Answer:
    rest = f'[garment]\nopens = "front"\npieces = "pair"\n{garment}' + "".join(layers)
    return check_plan(read_plan(front(kind, size, rest=rest, width=width).encode(), "job.toml"))


def worked(answer: Answer, words: frozenset[str] = frozenset({"state: cut pieces"})) -> Mapping[LapName, Worked]:
    state = next(word.removeprefix("state: ") for word in words if word.startswith("state: "))
    whole = whole_cloth(answer.placement, answer.catalogue, state)
    return laps_worked(answer.placement, answer.catalogue, state, words | whole, frozenset(), OUTSIDE)


def apart(answer: Answer, state: str = "cut pieces", more: Sequence[str] = ()) -> dict[str, frozenset[str]]:
    words = frozenset({f"state: {state}", *more, *whole_cloth(answer.placement, answer.catalogue, state)})
    laps = laps_worked(answer.placement, answer.catalogue, state, words, frozenset(), OUTSIDE)
    return {one.name: one.words for one in prepared_apart(answer.placement, answer.catalogue, state, words, laps)}


def at(words: Mapping[str, frozenset[str]] | frozenset[str], group: str) -> set[str]:
    return {word for word in words if word.startswith(group)}


def test_cloth_that_is_cleaned_has_all_that_is_washed_beside_it_steamed() -> None:
    """What is sewn of wool and cotton is cleaned as one: the cotton is shrunk by steam, and not by a wash."""
    found = apart(job(layer("wool suiting", "over"), layer("cotton poplin", "under")))
    assert {name: at(words, "wash: ") for name, words in found.items()} == {
        "wool suiting": {"wash: steam"},
        "cotton poplin": {"wash: steam"},
    }


def test_leather_is_left_out_of_what_is_washed_and_the_cloth_beside_it_is_told_so() -> None:
    found = apart(job(layer("leather 2 oz", "over"), layer("cotton poplin", "under")))
    assert at(found["leather 2 oz"], "wash: ") == {"wash: never"} and "beside" not in found["leather 2 oz"]
    assert at(found["cotton poplin"], "wash: ") == {"wash: first"} and "beside" in found["cotton poplin"]


def test_interfacing_is_laid_in_later_and_is_no_cloth_that_is_prepared() -> None:
    found = apart(job(layer("leather 2 oz", "over"), layer("cotton poplin", "under"), layer("light fusible")))
    assert set(found) == {"leather 2 oz", "cotton poplin"}


def test_cloth_that_nobody_names_is_treated_as_the_rest() -> None:
    unnamed = '[[layer]]\nthickness = "0.4 mm"\non = "under"\n'
    assert set(apart(job(layer("wool suiting", "over"), unnamed))) == {""}


@pytest.mark.parametrize(
    ("state", "more", "names"),
    [
        ("cut pieces", (), {"leather 2 oz", "cotton poplin"}),
        ("sewn band", (), {"the over lap", "the under lap"}),
        ("finished", (), {""}),
        ("cut pieces", ("knitted",), {""}),
    ],
)
def test_what_is_prepared_by_itself_goes_by_the_state_of_the_garment(
    state: str, more: tuple[str, ...], names: set[str]
) -> None:
    garment = f'state = "{state}"\n'
    answer = job(layer("leather 2 oz", "over"), layer("cotton poplin", "under"), garment=garment)
    assert set(apart(answer, state, more)) == names


def test_what_is_treated_alike_is_prepared_together() -> None:
    found = apart(job(layer("leather 2 oz", "over"), layer("cotton poplin", "under"), layer("linen", "under")))
    assert set(found) == {"leather 2 oz", "cotton poplin and linen"}


def test_what_is_prepared_together_has_the_facts_of_all_of_it() -> None:
    """Jersey and poplin are washed and pressed alike; whatever else is asked of either is asked of both."""
    found = apart(job(layer("leather 2 oz", "over"), layer("cotton poplin", "under"), layer("jersey", "under")))
    assert {"cloth: woven", "cloth: knit"} <= found["cotton poplin and jersey"]


def test_leather_that_is_not_named_is_prepared_as_leather_and_by_that_name() -> None:
    unnamed = '[[layer]]\nthickness = "1 mm"\nstructure = ["leather"]\non = "over"\n'
    found = apart(job(unnamed, layer("cotton poplin", "under")))
    assert set(found) == {"leather that is not named", "cotton poplin"}


def test_face_of_a_lap_is_its_outermost_cloth() -> None:
    laps = worked(job(layer("cotton velvet", "over"), layer("leather 1 oz", "over"), layer("cotton poplin", "under")))
    over = laps["over"]
    assert {"cloth: pile", "cloth: leather"} <= over.words
    assert "cloth: pile" in over.face and "cloth: leather" not in over.face


def test_layer_at_the_edge_alone_is_cloth_of_its_lap_and_not_of_its_closures() -> None:
    """A binding of leather 5 mm wide: the rim of an 18 L snap, 5.7 mm, on a line 30 mm in, lies clear of it."""
    laps = worked(job(layer("cotton poplin"), layer("leather 2 oz", "over", 'across = ["0 mm", "5 mm"]\n')))
    over, under = laps["over"], laps["under"]
    assert "cloth: leather" in over.words and "cloth: leather" not in over.closed
    assert "cloth: leather" not in under.words and under.closed == under.words


@pytest.mark.parametrize(("begins", "is_at"), [("35 mm", True), ("38 mm", True), ("47 mm", False)])
def test_layer_lies_at_a_buttonhole_as_far_as_it_is_cut(begins: str, is_at: bool) -> None:
    """A button of 20 L, 12.7 mm, has a rim of 6.35 mm round a line 30 mm in, and a buttonhole of some 16 mm."""
    stripe = layer("leather 2 oz", "over", f'across = ["{begins}", "60 mm"]\n')
    laps = worked(job(layer("cotton poplin"), stripe, kind="sew-through button", size="20 L"))
    assert ("cloth: leather" in laps["over"].closed) is is_at


@pytest.mark.parametrize(("along", "is_at"), [("10 mm", False), ("26 mm", True), ("400 mm", True)])
def test_layer_lies_at_closures_where_it_reaches_one_along_the_line(along: str, is_at: bool) -> None:
    stripe = layer("leather 2 oz", "over", f'along = ["0 mm", "{along}"]\n')
    assert ("cloth: leather" in worked(job(layer("cotton poplin"), stripe))["over"].closed) is is_at


def test_lap_of_which_nothing_is_told_is_worked_as_the_whole() -> None:
    laps = worked(job(layer("leather 2 oz", "over")))
    assert "cloth: leather" in laps["over"].words
    assert laps["under"].words == laps["under"].face == laps["under"].outer


def test_outermost_cloth_by_itself_is_with_its_interfacing_and_without_what_lies_within() -> None:
    laps = worked(job(layer("cotton velvet", "over"), layer("leather 1 oz", "over"), layer("light fusible", "over")))
    assert "cloth: leather" in laps["over"].words
    assert {"cloth: pile", "fusible"} <= laps["over"].outer and "cloth: leather" not in laps["over"].outer


def test_cloth_in_the_place_of_another_brings_its_own_facts_alone() -> None:
    job_words = frozenset({"state: finished", "worn", "beside", *WOVEN})
    assert with_cloth(job_words, set(LEATHER)) == {"state: finished", "worn", *LEATHER}


@pytest.mark.parametrize(
    ("own", "state", "is_first"),
    [
        ({"fusible", "heat: bears", "marks"}, "cut pieces", True),
        ({"fusible", "heat: bears", "press: steam"}, "cut pieces", True),
        ({"fusible", "heat: bears", "press: iron"}, "cut pieces", False),
        ({"fusible", "marks"}, "cut pieces", False),
        ({"fusible", "heat: bears", "marks"}, "sewn band", False),
    ],
)
def test_scrap_is_fused_first_of_cloth_that_keeps_what_an_iron_does(own: set[str], state: str, is_first: bool) -> None:
    assert ("scrap first" in with_cloth(frozenset({f"state: {state}"}), own)) is is_first


def test_no_pen_marks_a_bound_buttonhole() -> None:
    assert "pens do" in with_cloth(frozenset(), {"pens do"}) and "pens do" in with_face(frozenset(), WOVEN)
    assert "pens do" not in with_cloth(frozenset({"any bound"}), {"pens do"})
    assert "pens do" not in with_face(frozenset({"any bound"}), WOVEN)


def test_face_tells_what_the_cloth_is_and_not_how_it_is_pressed() -> None:
    found = with_face(
        frozenset({"press: steam", "loops keep", "pens do", "cloth: knit"}), frozenset({"cloth: leather"})
    )
    assert found == {"press: steam", "cloth: leather"}


def lap(words: frozenset[str], name: LapName = "over", **other: frozenset[str]) -> Worked:
    sets = {"words": words, "face": words, "closed": words, "outer": words, "marked": words, "facing": words}
    return replace(all_alike(name, words), **(sets | other))


def said(
    over: Worked, under: Worked, *, first: LapName = "over", lead: LapName = "over", more: str = ""
) -> dict[str, str]:
    placement = job(layer("cotton poplin")).placement
    words = frozenset({"state: cut pieces", more} - {""}) | over.words | under.words
    both: dict[LapName, Worked] = {"over": over, "under": under}
    return both_laps(placement, words, both, first, lead)


def test_both_laps_of_one_cloth_are_flattened_in_one_breath_and_of_two_each_by_its_name() -> None:
    assert said(lap(WOVEN), lap(WOVEN))["flatten edge"] == "press the edge"
    told = said(lap(LEATHER), lap(WOVEN))["flatten edge"]
    assert told.startswith("tap the edge of the over lap with a mallet") and told.endswith(
        "and press that of the under lap"
    )


def test_laps_that_are_pressed_alike_and_under_other_cloths_are_told_apart() -> None:
    damp = frozenset({"cloth: woven", "press: damp", "wash: steam", "heat: bears"})
    assert said(lap(WOVEN), lap(damp, "under"))["flatten edge"] == (
        "press the edge of the over lap, and press that of the under lap under a damp cloth"
    )


@pytest.mark.parametrize(("first", "how"), [("over", "press it"), ("under", "tap it with a mallet")])
def test_lap_that_is_set_second_is_flattened_as_its_own_cloth_bears(first: LapName, how: str) -> None:
    assert said(lap(LEATHER), lap(WOVEN), first=first)["flatten second"].startswith(how)


def test_needle_goes_through_what_lies_at_the_closures_of_the_lap_that_does_not_lead() -> None:
    bound = lap(WOVEN | LEATHER, "under", closed=WOVEN)
    assert said(lap(LEATHER), bound)["needle holes"] == "the needle holes close with steam"
    assert said(lap(LEATHER), bound, lead="under")["needle holes"] == "the needle holes stay in leather"


def test_ends_of_bound_buttonholes_are_tacked_as_the_lap_bears_that_is_set_first() -> None:
    coated = frozenset({"cloth: coated", "press: none", "wash: never"})
    one, other = lap(coated), lap(WOVEN, "under")
    for first, tacked in (("over", "on paper tape"), ("under", "with tacking thread")):
        told = said(one, other, first=first)  # type: ignore[arg-type]
        assert told["tacked"] == tacked and ("tear it off" in told["tacked off"]) == (tacked == "on paper tape")


@pytest.mark.parametrize(("lead", "says"), [("over", "A slit in leather"), ("under", "A cut buttonhole")])
def test_buttonhole_that_stays_is_that_of_the_lap_that_leads(lead: LapName, says: str) -> None:
    assert said(lap(LEATHER), lap(WOVEN, "under"), lead=lead)["hole stays"].startswith(says)


def test_what_holds_of_either_lap_is_told_of_each_where_it_differs() -> None:
    told = said(lap(LEATHER), lap(WOVEN, "under"))
    assert told["pricks"].startswith("on the over lap they stay in leather; on the under lap woven cloth may close")
    assert told["needle holes that"].startswith("on the over lap needle holes, which stay in leather, and on the under")
    assert told["helper mark"] == "a point on paper tape on the over lap and chalk on the under lap"
    assert not {"pricks", "needle holes that", "helper mark"} & said(lap(WOVEN), lap(WOVEN, "under")).keys()


@pytest.mark.parametrize(
    ("state", "held"),
    [
        ("cut pieces", "fuse or sew them down"),
        ("sewn band", "glue those of the over lap down and fuse or sew those of the under lap down"),
    ],
)
def test_backing_is_held_to_the_outer_cloth_of_pieces_and_to_all_of_a_made_band(state: str, held: str) -> None:
    """Leather within: of pieces the backing lies behind the outer cloth alone."""
    within = lap(WOVEN | LEATHER, outer=WOVEN)
    placement = job(layer("cotton poplin")).placement
    words = frozenset({f"state: {state}", *WOVEN})
    found = both_laps(placement, words, {"over": within, "under": lap(WOVEN, "under")}, "over", "over")
    assert found["held them down"] == held


def test_trial_is_of_each_laps_own_cloth_where_one_is_of_leather() -> None:
    assert said(lap(WOVEN), lap(WOVEN, "under"))["coupon cloth"] == "the same cloth"
    told = said(lap(LEATHER), lap(WOVEN, "under"))
    assert told["trial cloth"] == "the same cloth and leather" and told["coupon cloth"] == "that lap's own cloth"
    finished = both_laps(
        job(layer("cotton poplin")).placement,
        frozenset({"state: finished"}),
        {"over": lap(LEATHER), "under": lap(WOVEN, "under")},
        "over",
        "over",
    )
    assert finished["coupon cloth"] == "what is as like that lap's own cloth as you have"
    assert finished["trial cloth"] == "cloth and leather as like the garment's as you have"


def test_cloth_is_called_by_what_it_is_of_outside() -> None:
    assert cloth_of(lap(WOVEN, face=LEATHER)) == "leather" and cloth_of(lap(LEATHER, face=WOVEN)) == "cloth"


def strap(one: Worked, other: Worked) -> dict[str, str]:
    text = (
        '[belt]\nwaist = "820 mm"\nwidth = "40 mm"\nsettings = 5\nstep = "25 mm"\ncaps = ["20 mm", "70 mm"]\n'
        'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n'
    )
    placement = check_plan(read_plan((text + layer("cotton poplin") + "count = 2\n").encode(), "job.toml")).placement
    return both_laps(placement, one.words | other.words, {"over": one, "under": other}, "over", "over")


def test_leather_within_a_strap_is_laid_in_once_what_is_outside_is_pressed() -> None:
    within = lap(WOVEN | LEATHER, face=WOVEN, outer=WOVEN)
    both = strap(within, within)["strap sewn"]
    assert ", and press {it}" in both and "between its layers after that" in both
    steamed = lap(PILE | LEATHER, face=WOVEN, outer=WOVEN)
    assert ", and press {it}" in strap(steamed, steamed)["strap sewn"]
    assert "between its layers at the over end after that" in strap(within, lap(WOVEN, "under"))["strap sewn"]
    all_leather = strap(lap(LEATHER), lap(LEATHER, "under"))["strap sewn"]
    assert ", and tap {it}" in all_leather and "Slide the leather" not in all_leather
    assert said(lap(WOVEN), lap(WOVEN, "under"))["strap sewn"] == ""


def test_cloth_that_is_alike_has_one_set_of_facts() -> None:
    one = all_alike("over", WOVEN)
    assert one.words == one.face == one.closed == one.outer == WOVEN
    assert one.with_more({"worn", "cloth: leather", "marks"}).words == WOVEN | {"worn"}
