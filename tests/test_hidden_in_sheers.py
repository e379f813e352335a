"""Snaps under buttons for show: in a sheer what is wider than the button is seen (common practice)."""

from __future__ import annotations

import pytest
from test_old_buttonholes import swapped
from test_patches_behind_holes import layers

SHEERS = ["organza", "chiffon", "voile", "tulle"]
ANCHOR = '[[anchor]]\nname = "bust point"\nalong = "150 mm"\n'
HIDDEN = "hidden under false buttons"


def offered(new: tuple[str, str], *cloth: str, old=("sew-through button", "18 L")) -> tuple[set[str], dict[str, str]]:
    made = swapped(new, old, length=13, layers=layers(*cloth), more=ANCHOR)
    return {one.name for one in made.offers}, {one.name: one.why for one in made.not_offered}


@pytest.mark.parametrize("cloth", SHEERS)
def test_snap_wider_than_its_button_is_not_told_to_be_hidden_in_a_sheer(cloth: str) -> None:
    names, refused = offered(("covered snap", "18 mm"), cloth, cloth, cloth)
    assert HIDDEN not in names and "is seen through it around a button of 11.4 mm" in refused[HIDDEN]


@pytest.mark.parametrize("cloth", SHEERS)
def test_snap_as_wide_as_its_button_is_hidden_in_a_sheer_and_a_helper_is_not(cloth: str) -> None:
    # Sew-on snap 1 is no wider than 18 L, 11.4 mm: the table of fasteners.
    names, refused = offered(("sew-on snap", "1"), cloth, cloth)
    assert HIDDEN in names
    assert "seen through" in refused[f"{HIDDEN}, with a helper at a strain point"]


@pytest.mark.parametrize("cloth", [("organza", "cotton poplin"), ("cotton poplin", "cotton poplin"), ()])
def test_cloth_that_lets_nothing_be_seen_hides_a_snap_of_any_width(cloth: tuple[str, ...]) -> None:
    names, _ = offered(("covered snap", "18 mm"), *cloth)
    assert {HIDDEN, f"{HIDDEN}, with a helper at a strain point"} <= names


def test_interfacing_in_a_sheer_hides_nothing() -> None:
    names, _ = offered(("covered snap", "18 mm"), "organza", "organza", "light fusible")
    assert HIDDEN not in names


@pytest.mark.parametrize(
    ("cloth", "told"), [("organza", "though it is seen through"), ("cotton poplin", "and does not show")]
)
def test_helper_is_said_not_to_show_where_it_does_not(cloth: str, told: str) -> None:
    made = swapped(
        ("prong snap", "16 L"), ("sew-through button", "18 L"), length=13, layers=layers(cloth, cloth), more=ANCHOR
    )
    helper = next(one for one in made.offers if one.kind == "helper")
    assert f"on the inner faces does as well, {told}" in " ".join(helper.changes)
