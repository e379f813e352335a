"""What a plan in inches is told of its lengths: in inches, with the mm in brackets where a sixteenth may hide something."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import closures
from closures.app.job import check_plan
from closures.errors import ClosureError
from closures.plan.reading import read_plan

ROOT = Path(closures.__file__).parent
# Each writes a length as it is to stand in a file, or chooses between the units itself.
WRITES_MM = {
    "edges/opening.py": "the length of a line on a page, as it is to be written",
    "edges/scale.py": "the scale of a drawing, as it is to be written",
    "edges/points.py": "how far a guess may be off, in whole mm",
    "edges/svg/exact.py": "the size of a page and a scale, as they are to be written",
    "edges/sampled.py": "hundredths of a mm, which no inch tells",
    "edges/scan/trace.py": "hundredths of a mm, which no inch tells",
    "edges/shapes.py": "a figure of a program, which may be no number at all",
    "plan/as_written.py": "a length as the plan has it",
    "plan/drawing.py": "a scale, as it is to be written",
    "plan/gauge.py": "chooses",
    "plan/kinds.py": "offers both units of a bare number",
    "plan/mixed.py": "offers both units of a bare number",
    "plan/sound.py": "chooses",
    "plan/thousands.py": "what a comma may mean, as it is to be written",
    "placing/meeting.py": "chooses",
    "placing/strap/advice.py": "chooses",
    "spacing/wish.py": "knows no plan; a plan's own figures are refused where it is read",
}


def writes_mm(module: Path) -> bool:
    """Whether a text of a module has a figure right before mm."""
    for node in ast.walk(ast.parse(module.read_text())):
        if isinstance(node, ast.JoinedStr):
            for part, after in zip(node.values, node.values[1:], strict=False):
                is_figure = isinstance(part, ast.FormattedValue) and isinstance(after, ast.Constant)
                if is_figure and re.match(r" mm\b", str(after.value)):
                    return True
    return False


def test_no_message_writes_mm_whatever_the_plan_is_in() -> None:
    found = {
        str(module.relative_to(ROOT))
        for room in ("plan", "placing", "jobs", "spacing", "edges")
        for module in (ROOT / room).rglob("*.py")
        if writes_mm(module)
    }
    assert found == set(WRITES_MM)


PINNED = """
title = "Fern vest"
units = "in"
drawing = "vest.svg"
[edge]
path = "over"
under = "under"
under_lies = "apart"
match = [{match}]
[garment]
opens = "front"
pieces = "separate"
[band]
width = "1 1/4 in"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = 4
"""
VEST = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
    '<path id="over" d="M 100 20 V 320"/><path id="under" d="M 300 20 V 320"/></svg>'
)
STRAIGHT = """
title = "Fern vest"
units = "in"
[edge]
straight = "12 in"
[band]
width = "1 1/4 in"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = 4
"""
STRAP = """
title = "Fern cuff"
units = "in"
[row]
length = "10 in"
height = "2 in"
{more}
lap = "right over left"
overlap = "1 1/2 in"
[closure]
kind = "prong snap"
size = "16 L"
"""
# Each with what it says of one length, by hand.
REFUSED = {
    "a pin far from its line": (
        PINNED.format(match='[["9 in", "6 in"], ["300 mm", "152.4 mm"]]'),
        # 228.6 - 100 less the inset of 15.875.
        r"pair 1 lies 5 (11|3)/\d+ in \(1\d\d\.\d mm\) from its closing line",
    ),
    "pins that cross": (
        PINNED.format(
            match='[["100 mm", "100 mm"], ["300 mm", "200 mm"]], [["100 mm", "200 mm"], ["300 mm", "100 mm"]]'
        ),
        r"the pins cross: 3 1/8 in \(80 mm\) and 7 1/16 in \(180 mm\) along the over lap are 7 1/16 in \(180 mm\) and "
        r"3 1/8 in \(80 mm\) along the under lap",
    ),
    "pins with too much ease": (
        PINNED.format(match='[["100 mm", "120 mm"], ["300 mm", "170 mm"]]'),
        r"the over lap is \d+ ?\d*/?\d* in \(\d+(\.\d)? mm\) long and the under lap \d+ ?\d*/?\d* in \(\d+(\.\d)? mm\): they differ",
    ),
    "a corner with no room": (
        STRAP.format(more='ends = "rounded"\ncorner = "1 1/2 in"'),
        r"corners of 38\.1 mm \(1 1/2 in\)",
    ),
    "a button too thin": (
        STRAIGHT.replace('"16 L"', '"16 L"\ncap = "1/32 in"'),
        r"1/16 in \(2 mm\) to 4 3/4 in \(120 mm\) is taken",
    ),
    "stitches too wide": (
        STRAIGHT + '[gauge]\nstitches = 1\nrows = 2\nover = "4 in"\nline = "stitches"\n',
        r"in \(102 mm\)",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_refused_in_inches_is_told_in_inches(name: str) -> None:
    plan, text = REFUSED[name]
    with pytest.raises(ClosureError, match=text) as told:
        check_plan(read_plan(plan.encode(), "vest.toml"), {"vest.svg": VEST.encode()})
    bare = [found[0] for found in re.finditer(r"(?<![(\d.])\d[\d.]* mm(?! \()", str(told.value))]
    # In a pattern to be written, mm stand in quotes.
    assert not [one for one in bare if f'"{one}"' not in str(told.value)], told.value
