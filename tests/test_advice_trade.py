"""What a tailor finds wrong in words that are right by themselves: the order within a step, and what the plan does not have.

All of it is common practice, where no source stands beside the check.
"""

from __future__ import annotations

import pytest

from closures.advice.advice import Advice
from closures.app.job import advice_of, check_plan
from closures.errors import EdgeError
from closures.plan.reading import read_plan

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
    assert step(text, "cut out the strap").startswith("Cut both cuffs out of what is fused")
    fused = next(one for one in told(text).order.steps if one.key == "fuse")
    assert "the block is no shorter" in fused.done
    # The pieces of a front are there: they are cut out by their own pattern.
    plain = front("sew-through button", "18 L", TWO.format("poplin") + FUSIBLE)
    assert "block" not in " ".join(steps(plain))


def test_single_layer_has_no_facing_to_be_sewn_to_it() -> None:
    one = front("sew-through button", "20 L", '[[layer]]\ncloth = "boiled wool"\n')
    assert "Sew band and facing" not in " ".join(steps(one)) and "single layer" in step(one, "edge")
    assert "Sew band and facing" in step(front("sew-through button", "20 L", TWO.format("boiled wool")), "edge")
    snap = front("sew-on snap", "1", '[[layer]]\ncloth = "boiled wool"\n')
    assert "inner layers" not in " ".join(steps(snap)) and "the back of the cloth alone" in step(snap, "set first")


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
