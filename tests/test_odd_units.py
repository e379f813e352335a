"""A length that proves a drawing's scale, where it gives a unit that no drawing program has: mistyped, or a scaled print."""

import pytest

from closures.app.job import check_plan
from closures.plan.reading import read_plan

# 1,814 units: 480 mm in px of 96 to the inch (CSS Values and Units, level 4), 640 mm in points.
SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 3000 3000"><path id="edge" d="M 200 20 V 1834"/></svg>'


def scale_told(tmp_path, length: str) -> str:
    (tmp_path / "front.svg").write_bytes(SVG)
    text = f"""
drawing = "front.svg"
[edge]
path = "edge"
known = {{ path = "edge", length = "{length}" }}
[garment]
opens = "front"
[band]
width = "36 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
"""
    plan = read_plan(text.encode(), "front.toml")
    notes = check_plan(plan, tmp_path / "front.toml").placement.notes
    return next(note for note in notes if note.startswith("Scale:"))


@pytest.mark.parametrize("length", ["480 mm", "18 7/8 in", "486 mm", "64 cm", "1814 mm"])
def test_length_that_gives_a_usual_unit_is_told_without_a_question(tmp_path, length):
    assert "No drawing program" not in scale_told(tmp_path, length)


@pytest.mark.parametrize("length", ["48 mm", "480 cm", "460 mm"])
def test_length_that_gives_no_usual_unit_is_asked_back_with_what_the_line_may_be(tmp_path, length):
    told = scale_told(tmp_path, length)
    assert (
        "No drawing program has such a unit: edge would be 480 mm (18 7/8 in) in px of 96 to the inch or 639.9 mm"
        in told
    )
    assert told.count("?") == 1 and "tracing" in told
