"""Magnets in laps of a single layer: there is no inner side to open, and washer and tabs show behind (common practice)."""

from __future__ import annotations

import pytest
from test_advice_jobs import asked_for, cloth, front

from closures.app.job import advice_of, check_plan
from closures.plan.reading import read_plan


def steps(rest: str) -> dict[str, str]:
    plan = asked_for(read_plan(front("magnetic snap", "14 mm", rest=rest).encode(), "job.toml"), ("order",))
    return {step.key: step.text for step in advice_of(check_plan(plan)).order.steps}


@pytest.mark.parametrize("name", ["denim 12 oz", "leather 4 oz", "polar fleece"])
def test_no_band_of_a_single_layer_is_left_open(name: str) -> None:
    told = steps(cloth(name, 1))
    assert not {"edge open for magnets", "open for magnets", "close over magnets"} & told.keys()
    assert (
        "Washer and tabs show behind either lap" in told["set first"] and "between the layers" not in told["set first"]
    )
    assert "Finish both edges as a single layer is finished" in told["edge"]


def test_band_of_several_layers_is_left_open_and_sewn_shut() -> None:
    told = steps(cloth("denim 12 oz", 2))
    assert "Leave both bands open on their inner side" in told["edge open for magnets"]
    assert "Sew the inner side of both bands shut" in told["close over magnets"]
