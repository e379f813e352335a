"""Wadding under a part: taken out where the stack is longer than what clamps it, before the band is closed over it.

That quilted cloth is thinned so, round a part and a little past it, is common practice.
"""

from __future__ import annotations

import pytest

from closures.advice.wadding import laps_too_thick
from closures.app.job import Answer, advice_of, check_plan
from closures.catalogue.loading import load_catalogue
from closures.plan.reading import read_plan

CATALOGUE = load_catalogue()
PLAN = (
    'title = "Hyssop jacket"\n[garment]\nopens = "front"\nstate = "{state}"\n[edge]\nstraight = "600 mm"\n[band]\n'
    'width = "50 mm"\nlap = "left over right"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\n'
    'first = "40 mm"\nlast = "60 mm"\ncount = 5\n{layers}'
)
QUILTED = '[[layer]]\ncloth = "quilted cotton"\ncount = 2\n'
MEASURED = '[[layer]]\ncloth = "quilted cotton"\ncount = 2\nthickness = "{}"\nclamped = true\n'


def answered(state: str = "cut pieces", layers: str = QUILTED, kind: str = "plastic snap", size: str = "20") -> Answer:
    text = PLAN.format(state=state, layers=layers, kind=kind, size=size)
    return check_plan(read_plan(text.encode(), "jacket.toml"))


def steps(answer: Answer) -> dict[str, tuple[int, str, str]]:
    return {step.key: (step.n, step.text, step.done) for step in advice_of(answer).order.steps}


def test_wadding_is_taken_out_while_the_layers_lie_open_by_sheets_that_were_measured():
    told = steps(answered())
    n, text, done = told["take the wadding out"]
    assert told["trial"][0] < told["measure sheets first"][0] < n < told["edge"][0] < told["mark"][0]
    assert text.startswith("Where the trial piece came out too thick, take the wadding out at marks 1 to 5 of the over")
    # 12.4 mm across, and 3 mm from the flange on all sides, as near as a layer may end: 18.4 mm.
    assert "in a round place 18.4 mm across" in text
    assert "measure 0.7 mm to 1.6 mm, which the part clamps" in done
    assert "make another with the wadding taken out there" in told["trial"][1]


@pytest.mark.parametrize("state", ["cut pieces", "sewn band", "finished"])
def test_stop_stands_before_wadding_is_taken_out_and_again_before_cloth_is_pierced(state: str):
    order = advice_of(answered(state)).order
    n = next(step.n for step in order.steps if step.key.startswith("take the wadding out"))
    assert order.stop_before == n and "quilting that is opened and emptied stays so" in order.stop
    assert "the trial piece holds" in order.stop and "the sheets measure what they say" in order.stop
    if state == "cut pieces":
        # Of a band that is still open the marks are made after that.
        pierces = next(step for step in order.steps if step.key == "set first")
        assert pierces.text.startswith("Stop: ") and "the marks agree with the sheets" in pierces.text


def test_stack_that_is_too_thick_in_any_case_has_no_where():
    answer = answered(layers=MEASURED.format("3 mm"))
    assert all(certain for _, certain in laps_too_thick(answer.placement, answer.findings, CATALOGUE).values())
    told = steps(answer)
    assert told["take the wadding out"][1].startswith("Take the wadding out at marks 1 to 5")
    assert "Take the wadding out of it there first" in told["trial"][1]


@pytest.mark.parametrize("state", ["sewn band", "finished"])
def test_band_that_is_made_is_opened_for_its_wadding_and_sewn_shut(state: str):
    told = steps(answered(state))
    assert "take the wadding out" not in told
    n, text, _ = told["take the wadding out of a band"]
    assert told["mark"][0] < n < told["set first"][0] < told["set second"][0] < told["close the thinned band"][0]
    assert "of the over lap and at marks 1 to 5 of the under lap, once its marks are made" in text


@pytest.mark.parametrize(
    ("layers", "kind", "size"),
    [
        (MEASURED.format("0.5 mm"), "plastic snap", "20"),
        (QUILTED, "shank button", "32 L"),
        ('[[layer]]\ncloth = "melton"\ncount = 3\n', "plastic snap", "20"),
    ],
    ids=["it fits", "clamps nothing", "no wadding"],
)
def test_wadding_stays_where_nothing_is_too_thick_or_none_is_there(layers: str, kind: str, size: str):
    assert not [key for key in steps(answered(layers=layers, kind=kind, size=size)) if "wadding" in key]


CUFF = (
    '[row]\npiece = "cuff"\nlength = "220 mm"\nheight = "60 mm"\nover = ["20 mm"]\nunder = ["20 mm"]\n{state}'
    '[closure]\nkind = "prong snap"\nsize = "16 L"\n[[layer]]\ncloth = "quilted cotton"\ncount = 2\n'
)


def test_wadding_of_a_strap_is_taken_out_before_it_is_sewn_together():
    told = steps(check_plan(read_plan(CUFF.format(state="").encode(), "cuff.toml")))
    n, text, _ = told["take the wadding out of a strap"]
    assert told["measure sheets first"][0] < told["cut out the strap"][0] < n < told["make the strap"][0]
    # The rim of 10.16 mm and 3 mm to either side: geometry.
    assert "at mark 1 of the over end and at mark 1 of the under end, in a round place 16.2 mm across" in text
    assert "lay the sheet of each end" in text and "of the cuff" in text


@pytest.mark.parametrize("state", ["sewn band", "finished"])
def test_strap_that_is_made_is_opened_for_its_wadding_and_sewn_shut(state: str):
    made = CUFF.format(state=f'[garment]\nstate = "{state}"\n')
    told = steps(check_plan(read_plan(made.encode(), "cuff.toml")))
    n, text, _ = told["take the wadding out of a band"]
    assert told["mark ends"][0] < n < told["set first"][0] < told["close the thinned band"][0]
    assert "open the cuff on its inner side" in text and "once its marks are made" not in text
    assert told["close the thinned band"][1].startswith("Where the cuff was opened")
