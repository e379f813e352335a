"""Input that nobody means well with, or that broke on its way: read in step with its size, or refused in a sentence."""

import re

import pytest
from edge_files import svg
from told import refusal_of
from work import calls_of

from closures.edges.listing import list_edges
from closures.errors import ClosureError

PLAN = """
drawing = "{name}"
[edge]
path = "e"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = 20
last = 20
count = 5
"""


def refused(content: bytes, name: str) -> str:
    told = refusal_of(PLAN.format(name=name), {name: content})
    assert "\n" not in told and not re.search(r"0x[0-9a-f]{6}|object at|NoneType|Traceback|_io\.", told), told
    return told


# Each once took time that doubled with every sign, or grew with the square of its length.
ENDLESS = {
    "digits and a letter that is none": lambda n: svg(f'<path id="e" d="M0 0L{"1" * n}x"/>'),
    "points of digits": lambda n: svg(f'<polyline id="e" points="{"1" * n}x"/>'),
    "an arc of digits": lambda n: svg(f'<path id="e" d="M0 0A{"1" * n}x"/>'),
    "a style without an end": lambda n: svg(f'<style>{"a " * n}</style><path id="e" d="M90 20V250"/>'),
    "comments without an end": lambda n: svg(f'<style>{"/* " * n}</style><path id="e" d="M90 20V250"/>'),
    "a length of digits": lambda n: svg(f'<line id="e" x1="{"1" * n}x" x2="90" y1="20" y2="250"/>'),
    "a length of spaces": lambda n: svg(f'<line id="e" x1="1{" " * n}!" x2="90" y1="20" y2="250"/>'),
    "a transform without an end": lambda n: svg(f'<path id="e" transform="{"w" * n}" d="M90 20V250"/>'),
}


@pytest.mark.parametrize("make", list(ENDLESS.values()), ids=list(ENDLESS))
def test_text_that_can_be_cut_in_many_ways_is_read_once(make) -> None:
    # With a pattern that tries every way, thirty signs would take minutes; twenty thousand are read here.
    refused(make(30), "front.svg")
    refused(make(20_000), "front.svg")


def test_work_on_such_a_text_grows_in_step_with_it() -> None:
    few, many = (calls_of(lambda n=n: refused(ENDLESS["points of digits"](n), "front.svg")) for n in (2_000, 8_000))
    assert many < 1.2 * few


@pytest.mark.parametrize("kind", ["svg", "pdf", "dxf", "png", "csv"])
@pytest.mark.parametrize(
    "content",
    [b"", b"\0" * 500, b"\xff\xfe\x00\xd8" * 90, b"%PDF-1.7\n" * 9, b"  0\nSECTION\n" * 9, b"<svg>" * 3000, b"\x89PNG\r\n\x1a\n" + b"\0" * 99],
    ids=["empty", "zeros", "half a pair", "pdf heads", "dxf heads", "deep", "png head"],
)  # fmt: skip
def test_file_that_is_nothing_is_refused_in_one_sentence(content: bytes, kind: str) -> None:
    assert refused(content, f"front.{kind}")
    try:
        list_edges(content, f"front.{kind}")
    except ClosureError as error:
        assert "\n" not in str(error)
