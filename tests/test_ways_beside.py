"""A closure beside the row: which way its buttonhole runs, and whether one snap alone holds a waistband."""

from __future__ import annotations

import pytest

from closures.app.job import Answer, check_plan
from closures.placing.buttonhole import slits_of
from closures.plan.reading import read_plan
from closures.shipped import starting_plans

BAND = """
title = "Sedge waistband"
[edge]
straight = "40 mm"
[garment]
opens = "front"
ends = ["upper edge", "lower edge"]
[band]
width = "60 mm"
inset = "16 mm"
under_inset = "{under}"
lap = "left over right"
[closure]
{closure}
[spacing]
first = "20 mm"
last = "20 mm"
count = 1
[[layer]]
cloth = "wool suiting"
count = 2
"""
BUTTON = 'kind = "sew-through button"\nsize = "28 L"\nthickness = "3 mm"\nhole = "across"'
SNAP = 'kind = "capped prong snap"\nsize = "20 L"'
INNER = (
    '[[single]]\nkind = "sew-through button"\nsize = "20 L"\nthickness = "2.5 mm"\nlevel = "20 mm"\n'
    'inset = "46 mm"\nhidden = true\n'
)
HOOK = '[[single]]\nkind = "hook and bar"\nsize = "one size"\nlevel = "20 mm"\n'


def band(closure: str, more: str = "", under: str = "44 mm") -> Answer:
    return check_plan(read_plan((BAND.format(closure=closure, under=under) + more).encode(), "sedge.toml"))


def ways(answer: Answer) -> dict[int, str]:
    return {n: slit.way for (_, n), slit in slits_of(answer.placement, answer.catalogue).items()}


def told(answer: Answer) -> list[str]:
    return [line for line in answer.placement.assumed if "beside the row runs" in line]


@pytest.mark.parametrize(
    ("closure", "more", "way", "said"),
    [
        (BUTTON, INNER, "across", "across its line, as the row's own do"),
        (BUTTON.replace("across", "along"), INNER, "along", "along its line, as the row's own do"),
        (SNAP, INNER, "across", "across its line, as a waistband has them, where it pulls"),
        (BUTTON, INNER + 'hole = "along"\n', "along", ""),
    ],
)
def test_hole_of_a_hidden_button_runs_as_the_row_is_pulled_and_is_told(
    closure: str, more: str, way: str, said: str
) -> None:
    answer = band(closure, more)
    assert ways(answer)[2] == way
    assert [line for line in told(answer) if said and said in line] == told(answer)
    assert bool(told(answer)) == bool(said)


def test_hole_that_has_no_room_across_its_lap_runs_along_and_says_why() -> None:
    """5 mm inside the under lap's edge: 1/8 in of the hole and 3 mm of cloth beside it are 6.2 mm."""
    answer = band(BUTTON, INNER.replace("46 mm", "55 mm"))
    assert ways(answer)[2] == "along"
    (line,) = told(answer)
    assert "since the band is 1.2 mm too narrow beside it for one across" in line


@pytest.mark.parametrize(("kind", "size"), [("post snap", "24 L"), ("sew-through button", "36 L")])
def test_hole_of_the_hidden_button_of_a_double_breasted_coat_runs_across(kind: str, size: str) -> None:
    text = (starting_plans()["double-breasted"] / "plan.toml").read_text(encoding="utf-8")
    text = text.replace('kind = "sew-through button"\nsize = "36 L"\nthickness = "4 mm"\nhole = "across"', "KIND")
    closure = f'kind = "{kind}"\nsize = "{size}"' + ('\nhole = "across"' if "button" in kind else "")
    text = text.replace("[column]\n", "[column]\nworks = true\n").replace("KIND", closure)
    answer = check_plan(read_plan(text.encode(), "coat.toml"))
    hidden = answer.placement.all_marks[-1].n
    assert ways(answer)[hidden] == "across" and len(told(answer)) == 1


def side_pull(answer: Answer) -> list[tuple[str, str]]:
    return [(one.result, one.text) for one in answer.findings if one.rule == "side pull"]


def test_one_snap_of_a_waistband_is_looked_at_told_as_a_strap_or_by_its_ends_as_laps() -> None:
    strap = (
        '[row]\npiece = "waistband"\nlength = "760 mm"\nheight = "40 mm"\nover = ["16 mm"]\noverlap = "60 mm"\n'
        f'[closure]\n{SNAP}\n[[layer]]\ncloth = "wool suiting"\ncount = 2\n'
    )
    (of_strap,) = side_pull(check_plan(read_plan(strap.encode(), "strap.toml")))
    (of_laps,) = side_pull(band(SNAP))
    assert of_strap[0] == of_laps[0] == "warn"
    assert of_laps[1].startswith("One snap alone holds this band, 40 mm high. Where that is a waistband, bending and")
    assert of_laps[1].endswith("or a second snap beside it, by [[single]].")


@pytest.mark.parametrize("more", [INNER, HOOK])
def test_snap_of_a_waistband_that_a_closure_beside_it_helps_to_hold_is_not(more: str) -> None:
    assert side_pull(band(SNAP, more)) == [("pass", "2 closures share the pull round the waist.")]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (SNAP, BUTTON),
        ('["upper edge", "lower edge"]', '["neck", "slit\'s end"]'),
        ('opens = "front"', 'opens = "flat"'),
        ('straight = "40 mm"', 'straight = "101 mm"'),
    ],
    ids=["a button", "a slit at the neck", "flat goods", "longer than a band is high"],
)
def test_what_is_no_waistband_of_one_snap_has_no_side_pull(old: str, new: str) -> None:
    text = BAND.format(closure=SNAP, under="44 mm").replace(old, new).replace('last = "20 mm"\n', "")
    text = text.replace("left over right", "upper over lower") if "flat" in new else text
    text = text.replace('straight = "40 mm"', 'straight = "40 mm"\ncloth = "left"') if "flat" in new else text
    assert side_pull(check_plan(read_plan(text.encode(), "sedge.toml"))) == []


def changed(closure: str, more: str, *changes: tuple[str, str]) -> Answer:
    text = BAND.format(closure=closure, under="44 mm") + more
    for find, put in changes:
        assert find in text
        text = text.replace(find, put)
    return check_plan(read_plan(text.encode(), "sedge.toml"))


# By hand: worn, the hole's 1/8 in and 3 mm of cloth want 6.175 mm; 5 mm told as washed lack 1.175 mm, and as unwashed
# they are worn as 4.5 mm and lack 1.675 mm, which are 1.675 / 0.9 = 1.861 mm before the wash. Told so, 60 - 6.175 = 53.825
# mm from the front's edge is the most, and 60 - 6.175 / 0.9 = 53.139 mm.
@pytest.mark.parametrize(("measured", "narrow", "inset"), [("washed", "1.2 mm", 53.8), ("unwashed", "1.9 mm", 53.1)])
def test_what_lacks_for_a_hole_across_on_cloth_that_shrinks_is_told_as_the_plan_was_measured(
    measured: str, narrow: str, inset: float
) -> None:
    washed = f'[shrinkage]\nacross = "10 %"\nmeasured = "{measured}"\n'
    (line,) = told(band(BUTTON, INNER.replace("46 mm", "55 mm") + washed))
    assert f"since the band is {narrow} too narrow beside it for one across" in line
    # What is told is enough, and a tenth of a mm less is not.
    assert ways(band(BUTTON, INNER.replace("46 mm", f"{inset} mm") + washed))[2] == "across"
    assert ways(band(BUTTON, INNER.replace("46 mm", f"{inset + 0.1} mm") + washed))[2] == "along"


@pytest.mark.parametrize(("opens", "way"), [("front", "across"), ("flat", "along")])
def test_hole_beside_a_row_of_snaps_runs_as_on_a_coat_where_somebody_wears_the_coats_cloth(
    opens: str, way: str
) -> None:
    """Longer than a waistband is high, so that only its cloth makes it a coat; nothing pulls across on flat goods."""
    changes = [("wool suiting", "melton"), ('"40 mm"', '"140 mm"'), ('last = "20 mm"\n', "")]
    if opens == "flat":
        changes += [("left over right", "upper over lower"), ('opens = "front"', 'opens = "flat"')]
        changes += [('straight = "140 mm"', 'straight = "140 mm"\ncloth = "left"')]
    answer = changed(SNAP, INNER, *changes)
    assert ways(answer)[2] == way
    assert ("as a coat has them" in told(answer)[0]) is (opens == "front")


# By hand: the laps overlap by 16 + 44 = 60 mm, so that 20 mm from the over lap's edge is 40 mm from the under lap's, and
# 10 mm is 50. The hole of 12.7 + 2.5 mm reaches 15.2 - 3.175 = 12.025 mm inward, and wants 3 mm of cloth: 55.025, 65.025.
@pytest.mark.parametrize(
    ("inset", "under_width", "way", "narrow"),
    [
        (20, "50 mm", "along", "5.1 mm"),
        (20, "55 mm", "along", "0.1 mm"),
        (20, "55.1 mm", "across", ""),
        (10, "65 mm", "along", "0.1 mm"),
        (10, "65.1 mm", "across", ""),
    ],
)
def test_room_of_a_hole_on_the_under_lap_is_that_of_the_under_lap(
    inset: int, under_width: str, way: str, narrow: str
) -> None:
    answer = changed(
        SNAP,
        INNER,
        ('"40 mm"', '"90 mm"'),
        ('level = "20 mm"', 'level = "70 mm"'),
        ('last = "20 mm"\n', ""),
        ('inset = "46 mm"', f'inset = "{inset} mm"'),
        ("under_inset", f'under_width = "{under_width}"\nunder_inset'),
    )
    assert ways(answer)[2] == way
    assert (f"the band is {narrow} too narrow" in told(answer)[0]) is bool(narrow)
