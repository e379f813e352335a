"""Lengths held against GNU units, a program of another origin with a list of its own.

Its `buttonline` is the line of 1/40 inch.
"""

import shutil
import subprocess

import pytest

from closures.lengths import parse_length_mm

UNITS = shutil.which("units")

pytestmark = pytest.mark.skipif(UNITS is None, reason="GNU units is not installed here")

CASES = {
    "12 mm": "12 mm",
    "1.5 cm": "1.5 cm",
    "5/8 in": "(5|8) inch",
    "1 1/2 in": "(1 + 1|2) inch",
    "1-1/2 in": "(1 + 1|2) inch",
    '1½"': "(1 + 1|2) inch",
    "⅝ in": "(5|8) inch",
    "3⁄8 in": "(3|8) inch",
    "1.5in": "1.5 inch",
    "2 yd": "2 yard",
    "3 ft": "3 foot",
    "0.6 m": "0.6 meter",
    "16 L": "16 buttonline",
    "24 line": "24 buttonline",
    "45 ligne": "45 buttonline",
}


def _units_mm(expression: str) -> float:
    assert UNITS is not None
    command = [UNITS, "--terse", "--output-format", "%.17g", expression, "mm"]
    ran = subprocess.run(command, capture_output=True, text=True, check=True, stdin=subprocess.DEVNULL)
    return float(ran.stdout)


@pytest.mark.parametrize(("text", "expression"), CASES.items(), ids=CASES)
def test_parse_length_agrees_with_gnu_units(text: str, expression: str) -> None:
    assert parse_length_mm(text, sizes=True) == pytest.approx(_units_mm(expression), rel=1e-14)
