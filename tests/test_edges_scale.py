"""A drawing whose size is told in px or without a unit is asked for its scale; a wrong known length is recognised."""

from __future__ import annotations

import pytest
from told import refusal_of, report_of

PLAN = """
drawing = "a.svg"
[edge]
path = "over-edge"
{more}
[band]
width = "34 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 6
"""

# 595 by 842 px is A4 where a px is a point (ISO 216; ISO 32000: 72 to the inch).
SIZES = {"px": 'width="595px" height="842px"', "no unit": 'width="595" height="842" viewBox="0 0 595 842"'}
BODY = (
    '<path id="over-edge" d="M 300 100 V 800"/><path id="ruler" d="M 50 50 H 122"/>'
    '<rect id="square" x="50" y="100" width="141.732" height="141.732"/>'
)


def svg(size):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{BODY}</svg>'.encode()


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_px_are_asked_for_their_scale_with_both_answers_in_figures(size):
    message = refusal_of(PLAN.format(more=""), {"a.svg": svg(size)})
    # 700 px: at 96 to the inch 185.2 mm, at 72 to the inch 246.9 mm.
    assert '"over-edge" 185.2 mm' in message and '"over-edge" 246.9 mm' in message
    assert "at 72 to the inch the page is A4" in message
    assert 'scale = "0.26458333 mm"' in message and 'scale = "0.35277778 mm"' in message


def test_scale_and_known_length_answer_it():
    by_scale = report_of(PLAN.format(more='scale = "0.35277778 mm"'), {"a.svg": svg(SIZES["px"])})
    assert by_scale["closing_line"]["edge_length_mm"] == pytest.approx(700 * 25.4 / 72, abs=0.001)
    known = 'known = { path = "ruler", length = "1 in" }'
    by_ruler = report_of(PLAN.format(more=known), {"a.svg": svg(SIZES["px"])})
    assert by_ruler["closing_line"]["edge_length_mm"] == pytest.approx(700 * 25.4 / 72, abs=0.001)


def test_size_in_mm_is_not_asked_for():
    told = report_of(PLAN.format(more=""), {"a.svg": svg('width="595mm" height="842mm" viewBox="0 0 595 842"')})
    assert told["closing_line"]["edge_length_mm"] == 700


def test_known_length_of_the_wrong_line_names_the_one_that_fits():
    # The edge is no 50 mm; the square is, where a px is a point.
    wrong = 'known = { path = "over-edge", length = "50 mm" }'
    message = refusal_of(PLAN.format(more=wrong), {"a.svg": svg(SIZES["px"])})
    assert '"square" is 50 mm' in message and "72 px to the inch" in message
    told = 'width="595mm" height="842mm" viewBox="0 0 595 842"'
    wrong = 'known = { path = "over-edge", length = "72 mm" }'
    assert '"ruler" measures 72 mm' in refusal_of(PLAN.format(more=wrong), {"a.svg": svg(told)})


@pytest.mark.parametrize(
    ("length", "is_asked"), [("25 mm", True), ("1 in", False), ("25.3 mm", False), ("24 mm", False)]
)
def test_ruler_of_a_round_figure_is_asked_where_another_one_near_it_is_told(length: str, is_asked: bool):
    """Of a ruler of an inch, drawn in points, 25 mm is told: the same slip as 4 in of one of 10 cm, 8 mm on a front.

    What is as near as a tape (0.5 %) is taken, and a scale further off (2 %) is told to be no usual one.
    """
    message = refusal_of(
        PLAN.format(more=f'known = {{ path = "ruler", length = "{length}" }}'), {"a.svg": svg(SIZES["px"])}
    )
    if is_asked:
        assert '"ruler" is 25.4 mm (1 in) at 72 px to the inch, a round figure, and 25 mm' in message
        assert 'write length = "25.4 mm" in known' in message and "write scale =" in message
    else:
        assert message == ""


def test_px_of_another_unit_inside_are_counted():
    # 794 px wide for 210 units: a unit is 1 mm at 96 to the inch.
    body = svg('width="794" height="1123" viewBox="0 0 210 297"')
    message = refusal_of(PLAN.format(more=""), {"a.svg": body})
    assert "at 96 to the inch the page is A4" in message and 'scale = "1.0003' in message


def test_scale_that_is_not_the_drawings_own_is_said_with_both_lengths():
    told = 'width="595mm" height="842mm" viewBox="0 0 595 842"'
    report = report_of(PLAN.format(more='scale = "0.9 mm"'), {"a.svg": svg(told)})
    assert report["closing_line"]["edge_length_mm"] == pytest.approx(630)
    assert [note for note in report["notes"] if note.startswith("Scale:")] == [
        'Scale: "over-edge" is 630 mm (24 13/16 in) by the scale that the plan tells, and 700 mm (27 9/16 in) by the size '
        "that the drawing tells of itself. Lay a tape on the piece: where the drawing is right, leave scale out."
    ]
    for same in ('scale = "1 mm"', ""):
        assert not any("Scale:" in note for note in report_of(PLAN.format(more=same), {"a.svg": svg(told)})["notes"])
    in_px = report_of(PLAN.format(more='scale = "0.9 mm"'), {"a.svg": svg(SIZES["px"])})
    assert not any("Scale:" in note for note in in_px["notes"])


@pytest.mark.parametrize(
    ("length", "opens", "is_look"),
    [
        ("1.7 m", "front", False),
        ("1700.1 mm", "front", True),
        ("2500.1 mm", "flat", False),
        ("5 m", "flat", False),
        ("5000.1 mm", "flat", True),
    ],
)
def test_edge_longer_than_any_garment_is_a_look(length: str, opens: str, is_look: bool):
    lap, cloth = ("right over left", "") if opens == "front" else ("upper over lower", 'cloth = "left"\n')
    plan = (
        f'[garment]\nopens = "{opens}"\n[edge]\nstraight = "{length}"\n{cloth}[band]\nwidth = "34 mm"\nlap = "{lap}"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\ncount = 6\n'
    )
    found = [check for check in report_of(plan)["checks"] if check["rule"] == "finished edge"]
    assert [check["result"] for check in found] == ["warn"] * is_look


@pytest.mark.parametrize(
    ("length", "units", "count", "said"),
    [
        ("24", "mm", 2, "24 mm long, under 150 mm. Lay a tape on yours: a length in another unit or a drawing at another scale "
         "comes out so. Was it meant as 24 cm (240 mm) or as 24 in (609.6 mm)?"),
        ("149.9", "mm", 2, "149.9 mm long, under 150 mm."),
        ("150", "mm", 2, ""),
        ("620", "in", 90, "620 in (15748 mm) long, over 66 15/16 in (1700 mm). "),
        ("40", "mm", 1, ""),
    ],
)  # fmt: skip
def test_edge_shorter_than_any_such_opening_is_a_look_that_asks_for_its_unit(length, units, count, said):
    plan = (
        f'units = "{units}"\n[garment]\nopens = "front"\n[edge]\nstraight = {length}\n[band]\nwidth = "34 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "16 L"\nthickness = "3 mm"\n[spacing]\n'
        f'count = {count}\nfirst = "2 mm to 10 m"\nlast = "2 mm to 10 m"\nwidest = "1 m"\n'
    )
    found = [check["text"] for check in report_of(plan)["checks"] if check["rule"] == "finished edge"]
    assert len(found) == bool(said) and (not said or said in found[0])


def test_scale_of_a_page_whose_own_size_cannot_name_the_same_lines_breaks_nothing():
    # Told to a thousandth, the lines come out too short to be read: nothing is said of them.
    told = 'width="0.595mm" height="0.842mm" viewBox="0 0 595 842"'
    report = report_of(PLAN.format(more='scale = "1 mm"'), {"a.svg": svg(told)})
    assert report["closing_line"]["edge_length_mm"] == pytest.approx(700)
