"""Seam allowances that a plan tells, where they reach under a part that clamps: trimming them is common practice."""

from __future__ import annotations

import re

import pytest

from closures.app.job import advice_of, place_plan
from closures.checks.mended_first import RIDGE_FIRST
from closures.drawing.extras.extra import Drawn
from closures.plan.reading import read_plan

_PLACKET = (
    '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[band]\nwidth = "{width} mm"\n'
    'lap = "left over right"\n[closure]\nkind = "capped prong snap"\nsize = "20 L"\ncap = "12 mm"\n[spacing]\n'
    'count = 5\nfirst = "20 mm"\nlast = "30 mm"\n[bands]\nallowance = "{allowance} mm"\nmade = "{made}"\n'
    'interfacing = 0\n[[layer]]\ncloth = "canvas 10 oz"\ncount = {count}\n{more}'
)


@pytest.mark.parametrize("made", ["two pieces", "folded"])
@pytest.mark.parametrize(
    ("width", "allowance", "room"),
    [
        # Mid-band, a rim of 6 mm and 3 mm more: of 28 mm 14 - 9 = 5 mm are clear, of 38 mm 10, of 20 mm 1. No strip
        # under 2 mm is cut off (our own rule), where what is left still holds its seam.
        (28, 13, 5.0),
        (28, 5, None),
        (28, 5.5, 3.5),
        (38, 10, None),
        (38, 10.5, 8.5),
        # Too wide by less than half a mm it is left as it is (our own rule).
        (38, 10.4, None),
        (28, 7, 5.0),
        (26, 4.5, 4.0),
        (20, 10, 0.0),
    ],
)
def test_allowances_under_a_flange_are_asked_for_and_trimmed(
    width: int, allowance: float, room: float | None, made: str
) -> None:
    text = _PLACKET.format(width=width, allowance=allowance, made=made, count=2, more="")
    answer = place_plan(read_plan(text.encode(), "p.toml"))
    told = [one.text for one in answer.findings if one.rule == "ridge" and one.result == "warn"]
    seams = {"at the inner edge of the band"} | ({"at the finished edge"} if made == "two pieces" else set())
    steps = " ".join(step.text for step in advice_of(answer).order.steps)
    passed = [one for one in answer.findings if one.rule == "ridge" and one.result == "pass"]
    if room is None:
        assert not told and len(passed) == 2 and "trim the allowances" not in steps
        return
    # Five closures on either lap.
    assert len(told) == 10 * len(seams) and not passed
    assert all(any(f"pressed in {seam} " in one for one in told) for seam in seams)
    trims = steps.count(f"trim the allowances of that seam to {room:g} mm")
    assert trims == (len(seams) if room else 0)
    assert all(("cannot be trimmed" in one) == (not room) for one in told)


@pytest.mark.parametrize("made", ["two pieces", "folded"])
def test_seam_of_a_band_that_cannot_be_trimmed_clear_is_laid_into_the_garment(made: str) -> None:
    """Out of the band no part clamps it (common practice); within, 10 - 9 = 1 mm is too narrow to hold."""
    text = _PLACKET.format(width=20, allowance=10, made=made, count=2, more="")
    answer = place_plan(read_plan(text.encode(), "p.toml"))
    steps = {step.key: step.text for step in advice_of(answer).order.steps}
    assert "the seam allowances out of the band and into the garment. Leave them untrimmed: no" in steps["bands on"]
    assert "into the band" not in steps["bands on"]
    told = {one.text.partition("pressed in at the ")[2][:5]: one.text for one in answer.findings if one.rule == "ridge"}
    assert "out of the band and into the garment, where no part clamps it. Do so; or take a" in told["inner"]
    if made == "two pieces":
        # That of the edge can lie nowhere else.
        assert "into the garment" not in told["finis"]
        assert "its allowances end under parts and are in no figure" in steps["edge"]
        assert steps["bands on"].startswith("Do first what the check of ridges says of the finished edge: ")
    else:
        assert steps["bands on"].startswith("Sew each band")


@pytest.mark.parametrize(
    ("made", "width", "is_first"), [("two pieces", 20, True), ("two pieces", 28, False), ("folded", 20, False)]
)
def test_pages_of_work_begin_with_a_ridge_whose_cure_may_change_the_bands(
    made: str, width: int, is_first: bool
) -> None:
    """Of 28 mm 5 mm are clear of the rim, and the allowances are trimmed to that; a fold has none (geometry)."""
    text = _PLACKET.format(width=width, allowance=10, made=made, count=2, more="[sheets]\norder = true\n")
    answer = place_plan(read_plan(text.encode(), "p.toml"))
    assert all(one.result != "fail" for one in answer.findings)
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets, answer.swap)
    assert [one.text for one in drawn.mended_first] == ([RIDGE_FIRST] if is_first else [])
    assert all(not one.sign for one in drawn.mended_first), "nothing failed"


@pytest.mark.parametrize(
    ("cloth", "how"),
    [
        ("leather 2 oz", " with a mallet, the allowances glued down or topstitched"),
        ("oilcloth", " by hand, topstitched where it does not lie flat by itself"),
        ("polyester satin", " under a press cloth"),
    ],
)
def test_how_a_seam_is_flattened_that_is_laid_into_the_garment_stands_before_why(cloth: str, how: str) -> None:
    """Leather is tapped, coated cloth takes no iron, and satin shines under a bare one (common practice)."""
    text = _PLACKET.format(width=20, allowance=10, made="two pieces", count=2, more="").replace("canvas 10 oz", cloth)
    answer = place_plan(read_plan(text.encode(), "p.toml"))
    told = next(step.text for step in advice_of(answer).order.steps if step.key == "bands on")
    assert f"out of the band and into the garment{how}. Leave them untrimmed: " in told
    assert told.endswith("cannot be trimmed clear of them and hold.")


@pytest.mark.parametrize(
    ("cloth", "sewn"),
    [
        ("canvas 10 oz", "notch on notch, stitch it twice, trim the allowances of that seam to 5 mm, and press"),
        (
            "interlock",
            "trim the allowances of that seam to 5 mm and overcast them together, with a stitch that gives, and",
        ),
        ("leather 2 oz", "notch on notch, trim the allowances of that seam to 5 mm, and"),
        # A second row of holes would let in as much water again.
        ("oilcloth", "notch on notch, trim the allowances of that seam to 5 mm, and"),
    ],
)
def test_seam_that_carries_the_pull_holds_though_it_is_trimmed_or_is_pressed_out_of_the_band(cloth: str, sewn: str):
    """Stitching twice, overcasting a knit, and pressing the seam out of the band are common practice."""
    text = _PLACKET.format(width=28, allowance=13, made="two pieces", count=2, more="")
    answer = place_plan(read_plan(text.replace("canvas 10 oz", cloth).encode(), "p.toml"))
    told = next(step.text for step in advice_of(answer).order.steps if step.key == "bands on")
    assert sewn in told and "Or lay them untrimmed the other way, out of the band and into the garment" in told
    inner = [one.text for one in answer.findings if "pressed in at the inner edge" in one.text]
    assert inner and all("or lays it the other way, into the garment" in one for one in inner)


@pytest.mark.parametrize(
    ("count", "more", "left"),
    [
        (4, "", set()),
        (
            2,
            '[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\nacross = ["0 mm", "13 mm"]\n',
            {"at the inner edge of the band"},
        ),
        (2, '[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\nacross = ["15 mm", "28 mm"]\n', {"at the finished edge"}),
        # What lies on a stretch along the line tells nothing of the seams on the rest of it.
        (
            2,
            '[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\nalong = ["0 mm", "60 mm"]\n',
            {"at the finished edge", "at the inner edge of the band"},
        ),
    ],
)
def test_allowances_that_layers_tell_are_not_asked_for(count: int, more: str, left: set[str]) -> None:
    text = _PLACKET.format(width=28, allowance=13, made="two pieces", count=count, more=more)
    found = place_plan(read_plan(text.encode(), "p.toml")).findings
    told = {one.text.split("pressed in ")[1].split(" ends")[0] for one in found if "pressed in" in one.text}
    assert told == left


@pytest.mark.parametrize(
    ("allowance", "is_asked"),
    [
        # Mid-band of 28 mm, a rim of 6 mm: what ends 8 to 20 mm from a seam ends under the flange (geometry).
        (14, True),
        (19, True),
        (20, False),
        (8, False),
    ],
)
def test_allowance_that_ends_under_a_flange_is_asked_for_though_the_layers_were_measured(
    allowance: int, is_asked: bool
) -> None:
    text = _PLACKET.format(width=28, allowance=allowance, made="two pieces", count=2, more="")
    text = text.replace('cloth = "canvas 10 oz"', 'thickness = "0.5 mm"')
    told = [one.text for one in place_plan(read_plan(text.encode(), "p.toml")).findings if "pressed in" in one.text]
    assert bool(told) == is_asked
    # Whether the measured thickness counts it is not known.
    assert all("whatever your measured thickness counts" in one and "in no figure" not in one for one in told)


@pytest.mark.parametrize(
    ("made", "allowance", "width", "told"),
    [
        # A rim of 6 mm, 13 mm from the long sides and 20 mm from the tip, and 3 mm more: 4 and 11 mm are clear, less where
        # no strip of 2 mm would come off.
        ("two pieces", 12, 26, {"along the long sides": "4 mm", "at the tip": "10 mm"}),
        ("two pieces", 4, 26, {}),
        ("two pieces", 11.5, 50, {"at the tip": "9.5 mm"}),
    ],
)
def test_allowances_of_a_strap_are_asked_for_too(made: str, allowance: float, width: int, told: dict[str, str]) -> None:
    text = (
        f'[row]\nlength = "300 mm"\nheight = "{width} mm"\nover = ["20 mm"]\nunder = ["20 mm"]\nmade = "{made}"\n'
        f'ends = "square"\nallowance = "{allowance} mm"\n[closure]\nkind = "capped prong snap"\nsize = "20 L"\n'
        'cap = "12 mm"\n[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\n'
    )
    answer = place_plan(read_plan(text.encode(), "r.toml"))
    asked = {
        one.text.split("pressed in ")[1].split(" ends")[0]: one.text
        for one in answer.findings
        if "pressed in" in one.text
    }
    assert set(asked) == set(told)
    steps = " ".join(step.text for step in advice_of(answer).order.steps)
    for seam, to in told.items():
        assert f"trims it to {to}" in asked[seam] and f"to {to} {seam}" in steps


@pytest.mark.parametrize(
    ("made", "width", "told"),
    [
        # A rim of 6 mm and 3 mm more: of 10 mm that are taken, 26 / 2 - 9 = 4 mm are clear, and of 50 mm all of them.
        ("two pieces", 26, "4 mm"),
        ("folded", 26, "4 mm"),
        ("two pieces", 50, ""),
        # One layer is cut to its finished outline.
        ("one layer", 26, None),
    ],
)
def test_allowance_that_whoever_cuts_a_strap_adds_is_taken_told_and_trimmed(made: str, width: int, told: str | None):
    text = (
        f'[row]\nlength = "300 mm"\nheight = "{width} mm"\nover = ["20 mm"]\nunder = ["20 mm"]\nmade = "{made}"\n'
        'ends = "square"\n[closure]\nkind = "capped prong snap"\nsize = "20 L"\ncap = "12 mm"\n[[layer]]\n'
        f'cloth = "canvas 10 oz"\ncount = {1 if made == "one layer" else 2}\n'
    )
    answer = place_plan(read_plan(text.encode(), "r.toml"))
    found = [one for one in answer.findings if one.rule == "ridge"]
    # Of a folded strip one long side is the fold, and has no seam.
    where = "along the long side that is sewn" if made == "folded" else "along the long sides"
    along = [one.text for one in found if where in one.text]
    steps = " ".join(step.text for step in advice_of(answer).order.steps)
    if told:
        assert len(along) == 2 and not [one for one in found if one.result == "pass"]
        assert all(one.startswith("Your own seam allowance, taken as 10 mm since the plan tells none") for one in along)
        assert all(f"trims it to {told}" in one for one in along)
        assert f"allowances trimmed to {told} {where}" in steps
    else:
        assert not along and "trimmed" not in steps
        assert {one.result for one in found} == {"pass"}
        assert all(("taken as 10 mm" in one.text) == (told == "") for one in found)


@pytest.mark.parametrize(
    ("piece", "height", "is_asked"),
    # A rim of 6 mm, 3 mm more and 10 mm of allowance want 19 mm from the side that is sewn; a fold has no allowance.
    [("cuff", 14, False), ("cuff", 56, True), ("waistband", 14, True), ("waistband", 56, False)],
)
def test_allowance_of_a_folded_strap_lies_across_from_its_fold(piece: str, height: int, is_asked: bool):
    text = (
        f'[row]\npiece = "{piece}"\nlength = "300 mm"\nheight = "70 mm"\nover = [["40 mm", "{height} mm"]]\n'
        f'under = [["40 mm", "{height} mm"]]\nmade = "folded"\nallowance = "10 mm"\n[closure]\n'
        'kind = "capped prong snap"\nsize = "20 L"\ncap = "12 mm"\n[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\n'
    )
    found = [one for one in place_plan(read_plan(text.encode(), "r.toml")).findings if one.rule == "ridge"]
    assert {one.result for one in found} == {"warn" if is_asked else "pass"}
    assert all(("along the long side that is sewn" in one.text) == is_asked for one in found)


@pytest.mark.parametrize(("allowance", "is_asked"), [(9, True), (8, False)])
def test_the_lining_of_leather_that_is_turned_under_counts_as_an_allowance(allowance: int, is_asked: bool) -> None:
    # Mid-belt of 38 mm, a rim of 15.24 / 2 = 7.62 mm and 3 mm more leave 8.38 mm: geometry. Leather itself ends raw.
    text = (
        '[garment]\nopens = "flat"\n[belt]\nwaist = "820 mm"\nwidth = "38 mm"\nsettings = 5\nends = "pointed"\n'
        f'allowance = "{allowance} mm"\n[closure]\nkind = "leather post snap"\nsize = "24 L"\n[[layer]]\n'
        'cloth = "leather 4 oz"\n[[layer]]\ncloth = "{inner}"\n'
    )
    answer = place_plan(read_plan(text.replace("{inner}", "satin").encode(), "b.toml"))
    along = [one for one in answer.findings if one.rule == "ridge" and "along the long sides" in one.text]
    assert bool(along) == is_asked
    steps = " ".join(step.text for step in advice_of(answer).order.steps)
    trimmed = re.search("press it[^,]*, the allowances trimmed to 7 mm along the long sides", steps)
    assert (trimmed is not None) == is_asked
    raw = place_plan(read_plan(text.replace("{inner}", "leather 2 oz").encode(), "b.toml"))
    assert not [one for one in raw.findings if one.rule == "ridge" and one.result == "warn"]
    assert raw.placement.strap is not None
    # All of leather, it is cut as it is finished, and the cover says so.
    assert raw.placement.strap.cut_width_mm == 38 and raw.placement.strap.cut_mm == raw.placement.strap.finished_mm


TIPS = (
    '[row]\npiece = "collar"\nlength = "420 mm"\nheight = "40 mm"\nover = ["{over} mm"]\nunder = ["{under} mm"]\n'
    'ends = "square"\nmade = "two pieces"\n[closure]\nkind = "capped prong snap"\nsize = "20 L"\ncap = "12 mm"\n'
    '[[layer]]\ncloth = "canvas 10 oz"\ncount = 2\n'
)


@pytest.mark.parametrize(
    ("over", "under", "told"),
    [
        # A rim of 6 mm and 3 mm more: 9 mm of each distance from the tip are not to be had, geometry.
        (14, 14, "the allowances trimmed to 5 mm at the tips"),
        (14, 16, "the allowances trimmed to 5 mm at the over tip and to 7 mm at the under tip"),
        (14, 30, "the allowances trimmed to 5 mm at the over tip"),
        (
            11,
            14,
            "the allowances trimmed to 5 mm at the under tip (at the over tip none that holds its seam ends clear",
        ),
    ],
)
def test_each_tip_of_a_strap_is_trimmed_by_what_lies_nearest_to_it(over: int, under: int, told: str) -> None:
    answer = place_plan(read_plan(TIPS.format(over=over, under=under).encode(), "r.toml"))
    steps = " ".join(step.text for step in advice_of(answer).order.steps)
    assert told in steps.replace(", and press it", "")
    for lap, mm in (("over", over), ("under", under)):
        at_tip = [one.text for one in answer.findings if one.rule == "ridge" and one.lap == lap and "tip" in one.text]
        assert bool(at_tip) == (mm < 19)
        assert all(("cannot be trimmed clear" in text) == (mm < 12) for text in at_tip)
        assert all((f"trims it to {mm - 9} mm" in text) == (mm >= 12) for text in at_tip)


@pytest.mark.parametrize(("inner", "is_raw"), [(15, False), (14, True)])
def test_a_lining_of_leather_whose_turn_would_miss_its_stitch_is_laid_raw_there(inner: int, is_raw: bool) -> None:
    """Stitched 3 mm from the edge, a turn of less than 5 mm is caught at its raw border: common practice."""
    text = (
        f'[row]\npiece = "collar"\nlength = "420 mm"\nheight = "40 mm"\nover = ["{inner} mm"]\nunder = ["30 mm"]\n'
        '[closure]\nkind = "leather post snap"\nsize = "20 L"\n[[layer]]\ncloth = "leather 3 oz"\n'
        '[[layer]]\ncloth = "cotton velvet"\n'
    )
    answer = place_plan(read_plan(text.encode(), "r.toml"))
    finish = next(step.text for step in advice_of(answer).order.steps if step.key == "finish the strap")
    (look,) = (one.text for one in answer.findings if one.rule == "ridge" and "at the tip" in one.text)
    assert ("at the over tip a turn that the stitch holds would end under a part" in finish) == is_raw
    assert ("glue the lining down raw" in finish) == ("lays the lining raw there" in look) == is_raw
    assert ("trimmed to" in finish) == (not is_raw)
