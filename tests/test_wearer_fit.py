"""A pattern fitted to one wearer: divided again, and what moved against the printed one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.job import Answer, check_plan
from closures.errors import PlanError, SpacingError
from closures.plan.reading import read_plan

TEMPLATE = Path(__file__).resolve().parent.parent / "templates" / "eight-sizes" / "plan.toml"
SHIRT = """
title = "Shirt"
[edge]
straight = "600 mm"
[garment]
pieces = "separate"

[band]
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = { from = "60 mm", to = "100 mm" }
pitch = "75 mm"
[[anchor]]
name = "bust point"
level = "170 mm"
[[anchor]]
name = "waist"
level = "320 mm"
within = "10 mm"
[[clear]]
name = "belt"
level = ["380 mm", "400 mm"]
[[layer]]
cloth = "poplin"
count = 2
"""


def fitted(wearer: str, text: str = SHIRT) -> Answer:
    """Check a plan with a wearer."""
    return check_plan(read_plan(f"{text}[wearer]\n{wearer}\n".encode(), "plan.toml"))


def levels(answer: Answer) -> dict[str, float]:
    """The levels of a placement's anchors."""
    return {anchor.name: round(anchor.level_mm, 6) for anchor in answer.placement.anchors}


def test_own_bust_level_wins_and_the_row_is_divided_again() -> None:
    answer = fitted('bust_level = "190 mm"')
    assert levels(answer) == {"bust point": 190, "waist": 320}
    by_hand = check_plan(read_plan(SHIRT.replace('level = "170 mm"', 'level = "190 mm"').encode(), "plan.toml"))
    assert [m.along_mm for m in answer.placement.marks] == [m.along_mm for m in by_hand.placement.marks]
    assert any(mark.anchor == "bust point" and mark.level_mm == pytest.approx(190) for mark in answer.placement.marks)


def test_what_moved_is_told_mark_by_mark() -> None:
    answer, printed = fitted('bust_level = "190 mm"'), check_plan(read_plan(SHIRT.encode(), "plan.toml"))
    assert answer.fit is not None
    for one, mark, before in zip(answer.fit.moved, answer.placement.marks, printed.placement.marks, strict=False):
        assert one.printed_along_mm == before.along_mm and one.by_mm == pytest.approx(mark.along_mm - before.along_mm)
    assert "Bust point: at level 190 mm, the wearer's own; 20 mm lower." in answer.fit.changes


def test_longer_pattern_moves_what_lies_below_and_keeps_what_lies_above() -> None:
    answer = fitted('longer = [{ line = "above the waist", level = "250 mm", by = "15 mm" }]')
    assert levels(answer) == {"bust point": 170, "waist": 335}
    assert answer.placement.zones[0].level_mm == (395, 415)
    assert answer.placement.laps.over.edge.length_mm == pytest.approx(615)
    # The same as a plan that was drawn 15 mm longer.
    longer = (
        SHIRT.replace('"600 mm"', '"615 mm"')
        .replace('"320 mm"', '"335 mm"')
        .replace('["380 mm", "400 mm"]', '["395 mm", "415 mm"]')
    )
    by_hand = check_plan(read_plan(longer.encode(), "plan.toml"))
    assert [m.along_mm for m in answer.placement.marks] == pytest.approx(
        [m.along_mm for m in by_hand.placement.marks], abs=1e-6
    )


def test_own_levels_are_taken_as_they_are_after_a_change_of_length() -> None:
    answer = fitted('waist_level = "330 mm"\nlonger = [{ line = "above the waist", level = "250 mm", by = "15 mm" }]')
    assert levels(answer)["waist"] == 330
    assert answer.fit is not None
    assert "Waist: at level 330 mm, the wearer's own; 5 mm higher." in answer.fit.changes


def test_several_changes_of_length_add_up_below_each() -> None:
    answer = fitted(
        'longer = [{ line = "chest", level = "100 mm", by = "-10 mm" }, { line = "waist", level = "250 mm", by = "15 mm" }]'
    )
    assert levels(answer) == {"bust point": 160, "waist": 325}
    assert answer.placement.laps.over.edge.length_mm == pytest.approx(605)


def test_bust_level_is_reckoned_from_the_girth_with_its_scatter() -> None:
    # ANSUR II women, own statistics: 5.26 cm + 0.111 x bust girth below the pit of the neck, scatter 2 cm (1 SD).
    answer = fitted('bust_girth = "96 cm"\nneck = "10 mm"')
    assert levels(answer)["bust point"] == pytest.approx(10 + 52.6 + 0.111 * 960)
    (finding,) = [finding for finding in answer.findings if finding.rule == "bust level"]
    assert finding.result == "warn" and finding.limit_mm == 20
    assert "one wearer in three lies more than 20 mm off it" in finding.text and "ANSUR" in finding.source


def test_pit_of_the_neck_is_asked_for_where_levels_begin_elsewhere() -> None:
    """The level is reckoned from the pit of the neck (ANSUR II women, own statistics), and a shoulder lies above it."""
    from_shoulder = SHIRT.replace('"600 mm"', '"600 mm"\nlevel_zero = "-30 mm"')
    with pytest.raises(PlanError, match=r"neck: it is missing: a bust level is reckoned from the pit of the neck"):
        fitted('bust_girth = "96 cm"', from_shoulder)
    for more, text, is_taken in (
        ('neck = "30 mm"', from_shoulder, False),
        ('neck = "0 mm"', from_shoulder, False),
        ("", SHIRT, True),
    ):
        (finding,) = [one for one in fitted(f'bust_girth = "96 cm"\n{more}', text).findings if one.rule == "bust level"]
        assert ("taken as the pit of the neck" in finding.text) == is_taken
    fitted('bust_level = "190 mm"', from_shoulder)


def test_measured_bust_level_and_a_girth_together_are_refused() -> None:
    with pytest.raises(PlanError, match="bust_girth: the bust level was measured, so none is reckoned"):
        fitted('bust_girth = "96 cm"\nbust_level = "190 mm"')


def test_level_without_an_anchor_of_its_name_gets_one() -> None:
    text = SHIRT[: SHIRT.index("[[anchor]]")] + SHIRT[SHIRT.index("[[clear]]") :]
    answer = fitted('bust_level = "190 mm"', text)
    assert levels(answer) == {"bust point": 190}


def test_two_anchors_that_could_be_the_bust_are_refused() -> None:
    text = SHIRT + '[[anchor]]\nname = "under the bust"\nlevel = "245 mm"\n'
    with pytest.raises(PlanError, match="2 anchors could be the bust: bust point, under the bust"):
        fitted('bust_level = "190 mm"', text)


@pytest.mark.parametrize(
    ("below", "above", "told"),
    [
        (
            '[[anchor]]\nname = "notch"\nalong = "500 mm"\n',
            '[[anchor]]\nname = "notch"\nalong = "95 mm"\nwithin = "5 mm"\n',
            r'\[\[anchor\]\] "notch": it reaches 500 mm along',
        ),
        (
            '[[clear]]\nname = "seam"\nalong = ["490 mm", "500 mm"]\n',
            '[[clear]]\nname = "seam"\nalong = ["140 mm", "150 mm"]\n',
            r'\[\[clear\]\] "seam": it reaches 500 mm along',
        ),
        (
            '[[layer]]\ncloth = "poplin"\nalong = ["0 mm", "500 mm"]\n',
            '[[layer]]\ncloth = "poplin"\nalong = ["0 mm", "40 mm"]\n',
            r"\[\[layer\]\] 2: it reaches 500 mm along",
        ),
    ],
    ids=["anchor", "zone", "layer"],
)
def test_what_is_told_along_the_line_below_a_cut_is_refused_and_above_it_kept(
    below: str, above: str, told: str
) -> None:
    longer = 'longer = [{ line = "waist", level = "250 mm", by = "15 mm" }]'
    with pytest.raises(PlanError, match=told):
        fitted(longer, SHIRT + below)
    plan, printed = fitted(longer, SHIRT + above).placement.plan, read_plan((SHIRT + above).encode(), "plan.toml")
    assert (plan.anchors[2:], plan.clear[1:], plan.layers) == (printed.anchors[2:], printed.clear[1:], printed.layers)


def test_printed_pattern_that_cannot_be_spaced_does_not_stop_the_fit() -> None:
    text = SHIRT.replace('name = "waist"\nlevel = "320 mm"\nwithin = "10 mm"', 'name = "waist"\nlevel = "175 mm"')
    with pytest.raises(SpacingError, match="bust point"):
        check_plan(read_plan(text.encode(), "plan.toml"))
    answer = fitted('waist_level = "320 mm"', text)
    assert answer.fit is not None and answer.fit.printed is None
    assert all(one.by_mm is None for one in answer.fit.moved)


def test_size_of_a_family_is_fitted_from_its_own_printed_pattern(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_bytes(TEMPLATE.with_name("front.svg").read_bytes())
    path = tmp_path / "plan.toml"
    path.write_text(
        TEMPLATE.read_text(encoding="utf-8") + '\n[wearer]\nsize = "18"\nbust_level = "240 mm"\n', encoding="utf-8"
    )
    result = CliRunner().invoke(app, ["place", str(path), "--json"])
    assert result.exit_code == 0, result.output
    report: dict[str, Any] = json.loads(result.stdout)
    assert report["title"] == "Millrace tunic, size 18, fitted"
    assert [a["level_mm"] for a in report["anchors"]] == [240]
    assert report["wearer"]["printed_count"] == 8 and report["wearer"]["size"] == "18"
    # The printed bust level of size 18 is two steps of 3 mm below the base's 222 mm.
    assert "12 mm lower" in " ".join(report["wearer"]["changes"])
    page = (tmp_path / "plan" / "report.md").read_text(encoding="utf-8")
    assert "## Fitted to the wearer" in page
    text = CliRunner().invoke(app, ["check", str(path)]).stdout
    assert "Fitted to the wearer:" in text and "12 mm lower" in text


@pytest.mark.parametrize(
    ("wearer", "told"),
    [
        ('bust_level = "240 mm"', 'it is missing, and the plan has several sizes. Add size = "14"'),
        ('size = "19"\nbust_level = "240 mm"', "there is no size '19'"),
    ],
    ids=["no size", "wrong size"],
)
def test_wearer_of_a_family_without_a_size_of_it_is_refused(wearer: str, told: str) -> None:
    text = TEMPLATE.read_text(encoding="utf-8") + f"\n[wearer]\n{wearer}\n"
    with pytest.raises(PlanError, match=told):
        read_plan(text.encode(), "plan.toml")


def test_size_of_a_plan_without_sizes_is_refused() -> None:
    with pytest.raises(PlanError, match="the plan has one size only"):
        fitted('size = "12"\nbust_level = "190 mm"')
