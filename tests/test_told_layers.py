"""Layers that are no cloth by themselves, a knitted band of woven layers, a stand that nobody wears: each is looked at."""

from __future__ import annotations

import pytest

from closures.app.job import check_plan
from closures.placing.strap.carrier_words import carriers_in_words
from closures.placing.strap.values import Carriers
from closures.plan.reading import read_plan


def looks(layers: str, rule: str = "cloth", more: str = "", first: str = 'first = "60 mm"\n') -> list[str]:
    text = (
        '[edge]\nstraight = "640 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        f'[closure]\nkind = "sew-through button"\nsize = "18 L"\nthickness = "3 mm"\nhole = "across"\n[spacing]\n{first}'
        f'last = {{ from = "90 mm", to = "110 mm" }}\ncount = 7\n{layers}{more}'
    )
    findings = check_plan(read_plan(text.encode(), "p.toml")).findings
    return [one.text for one in findings if one.rule == rule and one.result == "warn"]


def layer(cloth: str, more: str = "") -> str:
    return f"[[layer]]\n{cloth}\n{more}"


POPLIN, FUSIBLE, JERSEY = ('cloth = "poplin"', 'cloth = "light fusible"', 'cloth = "jersey"')
GAUGE = '[gauge]\nstitches = 22\nrows = 30\nline = "band rows"\n'
RANGE = 'first = { from = "50 mm", to = "65 mm" }\n'


@pytest.mark.parametrize(
    ("layers", "found"),
    [
        (layer(FUSIBLE, "count = 2\n"), 2),
        (layer(POPLIN) + layer(FUSIBLE), 0),
        (layer(POPLIN, 'on = "over"\n') + layer(FUSIBLE), 1),
        (layer(POPLIN, "count = 2\n"), 0),
        (layer('thickness = "0.5 mm"'), 0),
        ("", 0),
    ],
    ids=["fusible alone", "cloth and fusible", "cloth on one lap", "cloth", "measured", "none"],
)
def test_a_lap_of_interfacing_alone_is_looked_at(layers: str, found: int) -> None:
    told = looks(layers)
    assert len(told) == found
    assert all("The only layer told is light fusible, which is ironed onto a cloth" in text for text in told)


@pytest.mark.parametrize(
    ("layers", "found"),
    [
        (layer(POPLIN, "count = 2\n"), 2),
        (layer(JERSEY) + layer(POPLIN), 0),
        (layer('thickness = "2.5 mm"') + layer(POPLIN), 0),
        (layer(JERSEY), 0),
        ("", 0),
    ],
    ids=["woven", "knit and its backing", "measured and its backing", "knit", "none"],
)
def test_a_knitted_band_of_woven_layers_is_looked_at(layers: str, found: int) -> None:
    told = looks(layers, more=GAUGE, first=RANGE)
    assert len(told) == found
    assert all("[gauge] says that this lap is knitted, and the layers told are cotton poplin" in text for text in told)


@pytest.mark.parametrize(("height", "found"), [("32 mm", 0), ("60 mm", 0), ("60.1 mm", 1), ("120 mm", 1)])
def test_a_stand_higher_than_one_is_asked_about(height: str, found: int) -> None:
    told = looks(layer(POPLIN, "count = 2\n"), "stand", f'[stand]\nheight = "{height}"\n', first="")
    assert len([text for text in told if "in the way of the chin" in text]) == found


def test_places_of_carriers_at_half_a_mm_go_the_same_way() -> None:
    """690 mm round with three carriers: 172.5, 345 and 517.5 mm."""
    carriers = Carriers(73.0, (172.5, 345.0, 517.5), "both side seams and centre back", "common practice")
    _, places, _ = carriers_in_words(carriers, "mm")
    assert places == ("173 mm", "345 mm", "518 mm")
