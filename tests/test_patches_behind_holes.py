"""Patches behind old holes: what they are of, how many there are, and where none is wanted."""

from __future__ import annotations

import pytest
from test_old_buttonholes import CATALOGUE, POPLIN, plan_of, steps_of, swapped

from closures.report.parts import count_parts


def layers(*names: str) -> str:
    return "".join(f'[[layer]]\ncloth = "{name}"\n' for name in names)


KNITS = ["interlock", "rib", "merino jersey", "scuba knit", "ponte", "jersey"]
SNAP, BUTTON = ("capped prong snap", "16 L"), ("sew-through button", "20 L")


@pytest.mark.parametrize("knit", [name for name in KNITS if name in {one.name for one in CATALOGUE.cloths}])
def test_patch_behind_a_hole_in_a_knit_is_woven(knit: str) -> None:
    """Common practice: what a part bites into must not stretch away from it, as the backing of a knit does not."""
    keep = swapped(SNAP, BUTTON, length=16, layers=layers(knit, knit)).offers[0]
    assert {patch.layer.cloth for patch in keep.patches if patch.layer} == {"cotton poplin"}
    told = " ".join(keep.placement.assumed)
    assert "of cotton poplin, woven and firm, since the lap's own cloth stretches" in told or "is bulky" in told


def test_patch_behind_a_hole_in_woven_cloth_is_as_the_lap_is() -> None:
    keep = swapped(SNAP, BUTTON, length=16, layers=layers("chino", "cotton poplin")).offers[0]
    assert {patch.layer.cloth for patch in keep.patches if patch.layer} == {"chino"}


def test_one_patch_serves_two_closures_at_one_hole() -> None:
    # The hole of the third runs from 216.8 to 246.8 mm, and the helper stands at 250 mm.
    anchor = '[[anchor]]\nname = "bust point"\nalong = "250 mm"\n'
    made = swapped(("sew-on snap", "1"), BUTTON, length=30, count=4, first=20, last=240, more=anchor)
    helper = next(offer for offer in made.offers if offer.kind == "helper")
    at = {(patch.mark, patch.hole) for patch in helper.patches}
    assert {hole for _, hole in at} == {1, 2, 3, 4} and len(at) > 4
    counted = {(one.part, one.lap): one.count for one in count_parts(helper.placement)}
    assert counted["patch behind an old hole", "over"] == 4
    sizes = {patch.hole: set() for patch in helper.patches}
    for patch in helper.patches:
        sizes[patch.hole].add((patch.along_mm, patch.across_mm))
    assert all(len(each) == 1 for each in sizes.values())
    told = " ".join(helper.changes)
    assert told.count("behind buttonhole 3") <= 1


def test_patch_that_serves_two_is_clamped_once_by_each() -> None:
    anchor = '[[anchor]]\nname = "bust point"\nalong = "250 mm"\n'
    made = swapped(SNAP, BUTTON, length=30, count=4, first=20, last=240, more=anchor, layers=POPLIN)
    helper = next(offer for offer in made.offers if offer.kind == "helper")
    shared = [patch.mark for patch in helper.patches if patch.hole == 3]
    assert len(shared) > 1
    # Poplin is 0.24 mm, typical: the table of cloths. Two layers and one patch.
    stacks = [helper.placement.marks[n - 1].on("over").stack for n in shared]
    assert all(stack.typical_mm == pytest.approx(3 * 0.24) for stack in stacks)
    assert steps_of(SNAP, BUTTON, length=30, count=4, first=20, last=240, more=anchor)["close holes"]


def posts(new: tuple[str, str], old: tuple[str, str], *cloth: str):
    from closures.app.job import check_plan
    from closures.plan.reading import read_plan

    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "50 mm"\n'
        f'inset = "22 mm"\nunder_inset = "22 mm"\nlap = "left over right"\n[closure]\nkind = "{new[0]}"\nsize = "{new[1]}"\n'
        f'[swap]\nkind = "{old[0]}"\nsize = "{old[1]}"\nfirst = "25 mm"\nlast = "55 mm"\ncount = 6\nhole = {{ made = true }}\n'
        + layers(*cloth)
    )
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    return answer, next(offer for offer in answer.swap.offers if offer.kind == "keep")


LEATHER = ("leather 3 oz", "leather 3 oz")


def test_old_hole_in_leather_that_the_new_post_fills_is_opened_and_not_patched() -> None:
    """Common practice: a punched hole is opened to the width that the new post asks for."""
    _, keep = posts(("leather post snap", "24 L"), ("leather post snap", "20 L"), *LEATHER)
    assert keep.patches == () and keep.clashes == () and keep.unused == ()
    # 4.5 mm: the table of fasteners.
    assert any("each is opened to 4.5 mm, and the new part fills it" in told for told in keep.changes)
    # Two of 3 oz, 1.19 mm each: a patch would be a third.
    stack = keep.placement.marks[0].over.stack
    assert stack.typical_mm == pytest.approx(2 * CATALOGUE.cloth("leather 3 oz").typical.value)
    assert not [one for one in keep.findings if one.rule == "layer thickness" and one.result != "pass"]


@pytest.mark.parametrize(
    ("new", "old", "cloth"),
    [
        pytest.param(("leather post snap", "20 L"), ("leather post snap", "24 L"), LEATHER, id="narrower than the old"),
        pytest.param(("prong snap", "16 L"), ("leather post snap", "20 L"), LEATHER, id="prongs fill no hole"),
        pytest.param(
            ("leather post snap", "24 L"), ("post snap", "20 L"), ("denim 12 oz", "denim 12 oz"), id="cloth frays"
        ),
    ],
)
def test_old_hole_that_the_new_part_does_not_fill_is_patched(new, old, cloth) -> None:
    _, keep = posts(new, old, *cloth)
    assert keep.patches and not any("fills it" in told for told in keep.changes)


def told_of(*cloth: str, new=SNAP, old=BUTTON, **more):
    from closures.advice.advice import advise
    from closures.app.job import check_plan

    answer = check_plan(
        plan_of(new, old, length=16, layers=layers(*cloth), more='take = "keep every old place"\n', **more)
    )
    return advise(answer.placement, answer.findings, answer.catalogue, answer.swap)


@pytest.mark.parametrize("cloth", ["waxed cotton", "oilcloth", "leather 3 oz"])
def test_stop_stands_before_the_first_stitch_in_an_old_buttonhole_whose_hole_stays(cloth: str) -> None:
    order = told_of(cloth, cloth).order
    keys = [step.key for step in order.steps]
    assert order.stop_before is not None
    assert keys[order.stop_before - 1] == "close holes"
    assert "keeps every hole of a needle" in order.stop


def test_stop_waits_for_the_first_hole_in_cloth_that_forgives_a_stitch() -> None:
    order = told_of("poplin", "poplin").order
    keys = [step.key for step in order.steps]
    assert "close holes" in keys[: order.stop_before - 1]


def test_wax_is_told_to_hold_neither_tape_nor_glue() -> None:
    waxed, other = (" ".join(told_of(cloth, cloth).cautions) for cloth in ("waxed cotton", "oilcloth"))
    assert "Tape and glue hold badly on wax" in waxed and "on wax" not in other
