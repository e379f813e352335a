"""What a tailor found that a plan was answered with, and was not this garment's: its bands, its hem, its sleeve, its wash.

Common practice, where no source stands beside the check.
"""

from __future__ import annotations

import pytest

from closures.app.job import Answer, advice_of, check_plan
from closures.jobs.table.bands import band_pieces
from closures.plan.reading import read_plan

FRONT = (
    '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "30 mm"\nlap = "right over left"\n'
    '[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\nfirst = "30 mm"\nlast = "{last} mm"\ncount = 7\n'
)
BANDS = '[bands]\nallowance = "10 mm"\n'
LEATHER = '[[layer]]\ncloth = "leather 2 oz"\ncount = 2\non = "{}"\n'
CHINO = '[[layer]]\ncloth = "chino"\ncount = 2\non = "{}"\n'
SLIT = (
    '[edge]\nstraight = "{long} mm"\ncloth = "left"\n[garment]\nopens = "flat"\n{ends}\n[band]\nwidth = "25 mm"\n'
    'lap = "upper over lower"\n[closure]\nkind = "{kind}"\nsize = "16 L"\n{row}[[layer]]\ncloth = "oxford"\ncount = 2\n'
)


def answered(text: str) -> Answer:
    return check_plan(read_plan(text.encode(), "job.toml"))


def front(rest: str, kind: str = "prong snap", size: str = "16 L", last: int = 60) -> Answer:
    return answered(FRONT.format(kind=kind, size=size, last=last) + rest)


def told(answer: Answer, rule: str) -> list[tuple[str, str]]:
    return [(one.result, one.text) for one in answer.findings if one.rule == rule]


@pytest.mark.parametrize("made", ["two pieces", "folded"])
@pytest.mark.parametrize(
    ("leather", "chino"), [("over", "under"), ("under", "over")], ids=["leather on top", "leather beneath"]
)
def test_band_of_the_lap_that_is_not_leather_has_the_interfacing_that_its_layers_tell(
    leather: str, chino: str, made: str
) -> None:
    fusible = f'[[layer]]\ncloth = "light fusible"\non = "{chino}"\n'
    found = front(LEATHER.format(leather) + CHINO.format(chino) + fusible + f'{BANDS}made = "{made}"\n')
    cut = {(piece.lap, piece.name): piece.interfacing for piece in band_pieces(found.placement)}
    first = "band" if made == "two pieces" else "folded band"
    assert cut[leather, first] == 0 and cut[chino, first] == 1
    assert any(f"No interfacing is cut for the {leather} lap's band" in line for line in found.placement.assumed)
    # Only that lap is fused.
    steps = [step.text for step in advice_of(found).order.steps if step.key in ("fuse", "sew in")]
    assert len(steps) == 1 and steps[0].startswith(f"The {chino} lap: Fuse the interfacing")


@pytest.mark.parametrize("cloth", ["chino", "cotton velvet", "wool coating", "jersey", "oilcloth", "silk habotai"])
def test_no_interfacing_is_cut_or_fused_where_the_layers_tell_none(cloth: str) -> None:
    """What a stack does not count is cut for nobody, unless the plan asks for it by its number (our own rule)."""
    layers = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    found = front(layers + BANDS)
    assert not any(piece.interfacing for piece in band_pieces(found.placement))
    assert any("No interfacing is cut for the bands: no layer tells one" in line for line in found.placement.assumed)
    assert not {"fuse", "fuse scrap", "sew in"} & {step.key for step in advice_of(found).order.steps}
    asked = front(layers + BANDS + "interfacing = 1\n")
    assert all(piece.interfacing == 1 for piece in band_pieces(asked.placement) if piece.name == "band")
    assert any("interfacing of [bands] is not in the layers" in one.text for one in asked.findings)


def test_interfacing_that_a_layer_tells_of_leather_is_cut_and_glued_and_done_right_without_a_stitch() -> None:
    found = front(LEATHER.format("both") + '[[layer]]\ncloth = "light fusible"\n' + BANDS)
    assert {piece.interfacing for piece in band_pieces(found.placement) if piece.name == "band"} == {1}
    glued = next(step for step in advice_of(found).order.steps if step.key == "sew in")
    assert "glue it to the wrong side" in glued.text
    assert "holds all over" in glued.done and "stitch" not in glued.done
    coated = front('[[layer]]\ncloth = "oilcloth"\ncount = 2\n[[layer]]\ncloth = "light fusible"\n')
    assert "no stitch of it lies outside" in next(s.done for s in advice_of(coated).order.steps if s.key == "sew in")


@pytest.mark.parametrize(
    ("kind", "size", "last", "is_told"),
    [
        ("sew-through button", "18 L", 60, True),
        # Six gaps and the last: 570 = 6 gap + 1.5 gap, so 114 mm are left below and 76 mm lie between.
        ("sew-through button", "18 L", 114, False),
        ("sew-through button", "18 L", 113, True),
        ("prong snap", "16 L", 60, False),
    ],
)
def test_last_buttonhole_nearer_the_hem_than_one_and_a_half_gaps_is_told_and_is_no_fault(
    kind: str, size: str, last: int, is_told: bool
) -> None:
    """At least 1.5 gaps above the hem: R. Carr, Couture, second hand."""
    found = told(front('[[layer]]\ncloth = "oxford"\ncount = 2\n', kind, size, last), "end distance")
    assert [result for result, _ in found] == ["pass", "pass"]
    assert "1.5 gaps" not in found[0][1]
    assert ("One text leaves at least 1.5 gaps below the last buttonhole" in found[1][1]) is is_told
    if last == 60:
        assert ("here 127.5 mm (second hand: R. Carr" in found[1][1]) is is_told


def test_slit_of_a_sleeve_is_worn_and_the_foot_of_a_duvet_is_not() -> None:
    sleeve = answered(SLIT.format(long=120, ends='ends = ["elbow", "cuff"]', kind="sew-through button", row=""))
    duvet = answered(SLIT.format(long=1200, ends="", kind="sew-through button", row=""))
    tried = {name: advice_of(one).order.steps for name, one in (("sleeve", sleeve), ("duvet", duvet))}
    assert "put it on, sit and reach" in tried["sleeve"][-1].text
    assert all("put it on" not in step.text for step in tried["duvet"])
    # The New Dressmaker, 1921: about 2 in on a placket that bears no strain.
    gaps = {name: " ".join(one.placement.assumed) for name, one in (("sleeve", sleeve), ("duvet", duvet))}
    assert "Gaps of about 50.8 mm: gap on a placket that bears no strain" in gaps["sleeve"]
    assert "gap of an opening that nobody wears" in gaps["duvet"]
    assert "nobody wears" not in " ".join(text for _, text in told(sleeve, "widest gap"))


@pytest.mark.parametrize(
    ("kind", "long", "at"),
    [
        ("prong snap", 25, 12.5),
        # A slit of 13.16 mm reaches 3.175 mm before its mark: it lies midway with the mark at (25 - 13.16) / 2 + 3.175.
        ("sew-through button", 25, 9.095),
        ("prong snap", 26, 12.7),
    ],
)
def test_one_closure_of_a_narrow_cuff_lies_midway_and_is_not_looked_at(kind: str, long: int, at: float) -> None:
    ends = 'ends = ["wrist", "elbow"]'
    found = answered(SLIT.format(long=long, ends=ends, kind=kind, row="[spacing]\ncount = 1\n"))
    (mark,) = found.placement.marks
    assert mark.along_mm == pytest.approx(at, abs=1e-3)
    assert {result for result, _ in told(found, "end distance") + told(found, "buttonhole")} == {"pass"}
    # An edge that leaves it no cloth beyond its rim is still told.
    near = answered(SLIT.format(long=14, ends=ends, kind=kind, row="[spacing]\ncount = 1\n"))
    assert {"warn", "fail"} & {result for result, _ in told(near, "end distance")}


@pytest.mark.parametrize(("told_key", "way"), [("along", "Across"), ("across", "Down")])
def test_way_in_which_a_shrinking_cloth_loses_nothing_is_told_where_the_plan_left_it_out(
    told_key: str, way: str
) -> None:
    layers = '[[layer]]\ncloth = "oxford"\ncount = 2\n'
    shrinks = f'[shrinkage]\n{told_key} = "4 %"\n{{}}measured = "washed"\n'
    other = "across" if told_key == "along" else "along"
    line = f"{way} the drawing the cloth loses nothing in its first wash (not told). To change it: {other} under [shrinkage]."
    assert line in front(layers + shrinks.format("")).placement.assumed
    assert line not in front(layers + shrinks.format(f'{other} = "0 %"\n')).placement.assumed


@pytest.mark.parametrize(
    ("name", "edge", "removal"),
    [
        ("silk charmeuse", "press the edge with a dry iron under a press cloth:", ""),
        ("coated polyester", "smooth the edge by hand, topstitched where it does not lie flat by itself:", ""),
        ("poplin", "press the edge:", "woven cloth may close after steaming."),
        ("interlock", "press the edge:", "a knit often runs from them."),
    ],
)
def test_edge_is_flattened_and_pricks_are_told_of_as_this_cloth_bears(name: str, edge: str, removal: str) -> None:
    order = advice_of(front(f'[[layer]]\ncloth = "{name}"\ncount = 2\n')).order
    assert edge in next(step.text for step in order.steps if step.key == "edge")
    assert removal in order.removal
