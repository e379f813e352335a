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
