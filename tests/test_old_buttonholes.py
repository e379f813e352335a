"""Old buttonholes of which nobody told how long they are: reckoned as new ones are, asked for, and never cut by a guess."""

from __future__ import annotations

import math

import pytest
from edge_files import edges_of

from closures.advice.advice import advise
from closures.app.job import check_plan
from closures.catalogue.loading import load_catalogue
from closures.errors import PlanError
from closures.jobs.swap.served import OLD_LENGTH
from closures.jobs.swap.swap import Swap, make_swap
from closures.plan.reading import read_plan

CATALOGUE = load_catalogue()
FRONT = (
    '[edge]\nstraight = "{long} mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "{band} mm"\n'
    'lap = "right over left"\n[closure]\nkind = "{new[0]}"\nsize = "{new[1]}"\n{hole}{layers}[swap]\nkind = "{old[0]}"\n'
    'size = "{old[1]}"\nfirst = "{first} mm"\nlast = "{last} mm"\ncount = {count}\n'
    'hole = {{ way = "{way}", made = {made}{length} }}\n{more}'
)
POPLIN = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
MELTON = '[[layer]]\ncloth = "melton"\n[[layer]]\ncloth = "satin"\n'


def plan_of(new, old, *, way="along", made="true", length="", layers=POPLIN, more="", **at):
    hole = f'hole = "{way}"\n' if "button" in new[0] else ""
    where = {"long": 560, "band": 30, "first": 25, "last": 45, "count": 7, **at}
    if length:
        length = f', length = "{length} mm"'
    text = FRONT.format(
        new=new, old=old, way=way, made=made, length=length, layers=layers, hole=hole, more=more, **where
    )
    return read_plan(text.encode(), "plan.toml")


def swapped(*args, **more) -> Swap:
    plan = plan_of(*args, **more)
    return make_swap(plan, edges_of(plan, None), CATALOGUE)


def steps_of(*args, **more) -> dict[str, str]:
    answer = check_plan(plan_of(*args, **more))
    told = advise(answer.placement, answer.findings, answer.catalogue, answer.swap)
    return {step.key: step.text for step in told.order.steps}


COAT = {"way": "across", "layers": MELTON, "long": 800, "band": 90, "first": 60, "last": 260, "count": 5}


def test_untold_buttonholes_of_a_ball_are_half_the_way_round_it_and_an_eighth() -> None:
    """Guide C-231, New Mexico State University. 20 L are 12.7 mm (US Federal Specification V-B-871F)."""
    made = swapped(("capped prong snap", "16 L"), ("ball button", "20 L"))
    assert made.old.holes[0].length_mm == pytest.approx(math.pi * 12.7 / 2 + 25.4 / 8)


def test_untold_buttonholes_in_bulky_cloth_are_an_eighth_longer() -> None:
    """Bulletin 576, University of Minnesota Agricultural Extension, 1965."""
    old = ("sew-through button", "36 L")
    thin, bulky = (swapped(("shank button", "24 L"), old, **{**COAT, "layers": layers}) for layers in (POPLIN, MELTON))
    assert bulky.old.holes[0].length_mm - thin.old.holes[0].length_mm == pytest.approx(25.4 / 8)


BUTTONS = [
    (one.kind, one.size)
    for one in CATALOGUE.fasteners
    if one.kind in ("sew-through button", "ball button", "shank button") and one.size in ("20 L", "24 L", "36 L")
]


@pytest.mark.parametrize(("kind", "size"), BUTTONS, ids=[" ".join(one) for one in BUTTONS])
def test_untold_old_buttonholes_are_as_long_as_those_of_the_same_button_anew(kind: str, size: str) -> None:
    made = swapped((kind, size), (kind, size), **COAT)
    assert made.buttonhole is not None
    assert made.old.holes[0].length_mm == pytest.approx(made.buttonhole.length_mm)


@pytest.mark.parametrize(
    ("new", "old", "how"),
    [
        (("sew-through button", "34 L"), ("sew-through button", "36 L"), COAT),
        (("sew-through button", "36 L"), ("sew-through button", "34 L"), COAT),
        (("ball button", "18 L"), ("ball button", "20 L"), {}),
        (("sew-through button", "24 L"), ("ball button", "20 L"), {}),
    ],
    ids=["smaller on a coat", "larger on a coat", "smaller ball", "flat for a ball"],
)
def test_a_buttonhole_that_nobody_measured_is_measured_and_never_told_to_be_cut_by_so_much(new, old, how) -> None:
    made = swapped(new, old, **how)
    for offer in made.offers:
        told = " ".join(offer.changes)
        assert "Lengthen" not in told and " shut by " not in told
        assert not offer.reused or "Measure buttonhole" in told
        assert [one.result for one in offer.findings if one.rule == OLD_LENGTH] == ["warn"]
    steps = steps_of(new, old, more='take = "keep every old place"\n', **how)
    assert "measure old holes" in steps and "fit old holes" in steps
    assert not {"lengthen holes", "shorten holes", "try old holes"} & set(steps)
    # Measured, it is told by how much.
    steps = steps_of(new, old, more='take = "keep every old place"\n', length=30, **how)
    assert "shorten holes" in steps and not {"measure old holes", "fit old holes"} & set(steps)


def test_nothing_is_asked_where_the_same_button_goes_through_the_same_hole_or_none_is_cut() -> None:
    button = ("sew-through button", "24 L")
    keep = swapped(button, button).offers[0]
    assert keep.kind == "keep" and not [one for one in keep.findings if one.rule == OLD_LENGTH]
    drawn = swapped(("prong snap", "16 L"), button, made="false")
    assert not [one for offer in drawn.offers for one in offer.findings if one.rule == OLD_LENGTH]
    told = swapped(("prong snap", "16 L"), button, length=17)
    assert not [one for offer in told.offers for one in offer.findings if one.rule == OLD_LENGTH]


def test_new_parts_keep_clear_of_untold_buttonholes_as_long_as_new_ones_and_a_tape_is_asked_for() -> None:
    made = swapped(("capped prong snap", "16 L"), ("ball button", "20 L"))
    clear = next(offer for offer in made.offers if offer.kind == "clear")
    long = math.pi * 12.7 / 2 + 25.4 / 8
    for at in clear.places_mm:
        for old in made.old.places_mm:
            low, high = old - 25.4 / 8, old - 25.4 / 8 + long
            # 2 mm is our own rule of how far a rim keeps from an old hole.
            assert max(low - at, at - high) - 10.16 / 2 >= 2 - 1e-6
    assert [one for one in clear.findings if one.rule == OLD_LENGTH]


@pytest.mark.parametrize(
    ("at", "why"),
    [
        ({"first": 25, "last": 12}, "past the last end"),
        ({"first": 25, "last": 45, "count": 25}, "do not fit between closures"),
    ],
)
def test_untold_buttonholes_that_could_not_be_so_long_are_asked_for(at, why: str) -> None:
    with pytest.raises(PlanError, match=f"nobody told how long the old buttonholes are.*{why}") as refused:
        swapped(("prong snap", "16 L"), ("ball button", "20 L"), **at)
    assert "from end to end" in str(refused.value)
