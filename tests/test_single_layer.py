"""Laps of a single layer: nothing to open for magnets, to turn or to sew through (common practice)."""

from __future__ import annotations

import pytest
from test_advice_jobs import asked_for, cloth, front

from closures.app.job import advice_of, check_plan
from closures.errors import PlanError
from closures.jobs.table.backing import back_laps
from closures.plan.reading import read_plan


def steps(rest: str) -> dict[str, str]:
    plan = asked_for(read_plan(front("magnetic snap", "14 mm", rest=rest).encode(), "job.toml"), ("order",))
    return {step.key: step.text for step in advice_of(check_plan(plan)).order.steps}


@pytest.mark.parametrize("name", ["denim 12 oz", "leather 4 oz", "polar fleece"])
def test_no_band_of_a_single_layer_is_left_open(name: str) -> None:
    told = steps(cloth(name, 1))
    assert not {"edge open for magnets", "open for magnets", "close over magnets"} & told.keys()
    assert "which is the outside of the over lap" in told["set first"] and "between the layers" not in told["set first"]
    assert "Finish both edges as a single layer is finished" in told["edge"]


def test_band_of_several_layers_is_left_open_and_sewn_shut() -> None:
    told = steps(cloth("denim 12 oz", 2))
    assert "Leave both bands open on the inner side" in told["edge open for magnets"]
    assert "Sew the inner side of both bands shut" in told["close over magnets"]


@pytest.mark.parametrize(("lap", "other", "face"), [("over", "under", "outside"), ("under", "over", "inside")])
def test_only_a_band_of_several_layers_is_left_open_where_the_other_lap_is_one(lap: str, other: str, face: str) -> None:
    one = f'[[layer]]\ncloth = "denim 12 oz"\non = "{lap}"\n'
    told = steps(one + f'[[layer]]\ncloth = "denim 12 oz"\ncount = 2\non = "{other}"\n')
    assert f"Leave the band of the {other} lap open" in told["edge open for magnets"]
    assert told["close over magnets"] == f"Sew the inner side of the band of the {other} lap shut over the washers."
    first, second = ("set first", "set second") if lap == "over" else ("set second", "set first")
    assert f"to be seen on the {face} of that lap" in told[first] and "between the layers" not in told[first]
    assert "between the layers" in told[second] and "to be seen" not in told[second]
    assert not any("both bands" in text for text in told.values())


FUSIBLE = '[[layer]]\ncloth = "medium fusible"\n'


@pytest.mark.parametrize("name", ["denim 12 oz", "cotton poplin"])
def test_interfacing_is_no_facing(name: str) -> None:
    """What is fused to one layer of cloth leaves it one layer: no facing is turned, opened, or sewn through."""
    told = steps(cloth(name, 1) + FUSIBLE)
    assert not {"edge open for magnets", "open for magnets", "close over magnets"} & told.keys()
    assert "Finish both edges as a single layer is finished" in told["edge"]
    assert "the plan tells one layer of cloth" in told["edge"]


@pytest.mark.parametrize("interfacing", ["", FUSIBLE])
def test_what_is_sewn_to_one_layer_goes_through_no_inner_layers(interfacing: str) -> None:
    rest = cloth("cotton poplin", 1) + interfacing
    plan = read_plan(front("sew-on snap", "4", rest=rest).encode(), "job.toml")
    told = {step.key: step.text for step in advice_of(check_plan(plan)).order.steps}
    # What is backed there is sewn to its backing.
    held = "taking up the back of the cloth alone" if interfacing else "through what backs the cloth alone"
    assert held in told["set first"]
    assert "through its one layer and what backs that" in told["set second"]
    assert "inner layers" not in told["set first"] and "not through to the inside" not in told["set second"]


def test_cloth_too_thin_to_have_a_back_is_sewn_to_what_backs_it_else_taken_up_by_threads() -> None:
    plan = read_plan(front("covered snap", "21 mm", rest=cloth("silk habotai", 1)).encode(), "job.toml")
    told = next(step.text for step in advice_of(check_plan(plan)).order.steps if step.key == "set first")
    assert "through what backs the cloth alone" in told and "back of the cloth alone, so" not in told
    plan = read_plan(front("covered snap", "21 mm", rest=cloth("silk habotai", 1) + FUSIBLE).encode(), "job.toml")
    told = next(step.text for step in advice_of(check_plan(plan)).order.steps if step.key == "set first")
    assert "one or two threads at a stitch" in told


def test_bound_buttonholes_in_one_layer_with_interfacing_are_refused() -> None:
    rest = cloth("cotton poplin", 1) + FUSIBLE
    text = front("sew-through button", "20 L", closure='thickness = "3 mm"\nhole = "across"\nbound = true', rest=rest)
    with pytest.raises(PlanError, match="a single layer of cloth"):
        check_plan(read_plan(text.encode(), "job.toml"))


def test_backing_of_one_layer_with_interfacing_lies_under_no_facing() -> None:
    rest = cloth("interlock", 1) + FUSIBLE + '[sheets]\nbacking = "strip"\n'
    answer = check_plan(read_plan(front("prong snap", "16 L", rest=rest).encode(), "job.toml"))
    backings = back_laps(answer.placement, answer.findings, answer.catalogue)
    assert backings and all("its one layer" in backing.side for backing in backings)


@pytest.mark.parametrize("interfacing", ["", FUSIBLE])
def test_order_and_page_back_one_layer_of_cloth_on_no_facing(interfacing: str) -> None:
    """Also where parts are sewn within, which are backed on the facing that holds them wherever there is one."""
    for count, on_facing in ((1, False), (2, True)):
        rest = cloth("jersey", count) + interfacing + '[sheets]\nbacking = "strip"\n'
        answer = check_plan(read_plan(front("sew-on snap", "4", rest=rest).encode(), "job.toml"))
        told = " ".join(step.text for step in advice_of(answer).order.steps)
        (over,) = (one for one in back_laps(answer.placement, answer.findings, answer.catalogue) if one.lap == "over")
        assert ("facing" in over.side.partition("under the facing")[0]) == on_facing, over.side
        assert ("wrong side of the facing" in told) == on_facing
