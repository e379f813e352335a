"""Input that nobody means well with, or that broke on its way: read in step with its size, or refused in a sentence."""

import random
import re
from itertools import pairwise

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


# What once ended in a traceback


def dxf(body: str, variables: str = "") -> bytes:
    head = f"0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n{variables}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    return (head + body + "0\nENDSEC\n0\nEOF\n").encode()


def line(*points: tuple[float, float]) -> str:
    return "".join(f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n" for (a, b), (c, d) in pairwise(points))  # fmt: skip


DXF = {
    "vertices without coordinates": "0\nLWPOLYLINE\n8\n0\n90\n3\n70\n0\n10\n10\n",
    "a polyline of no vertices": "0\nPOLYLINE\n8\n0\n66\n1\n70\n0\n0\nVERTEX\n8\n0\n0\nVERTEX\n8\n0\n0\nSEQEND\n",
    "a figure past all figures": "0\nLINE\n8\n0\n10\n1e309\n20\n0\n11\n0\n21\n100\n",
    "a figure that is none": "0\nLINE\n8\n0\n10\nnan\n20\n0\n11\n0\n21\n100\n",
    "knots that are none": "0\nSPLINE\n8\n0\n70\n8\n71\n3\n72\n4\n73\n4\n40\n0\n40\n0\n40\n9\n40\n1\n10\n0\n20\n0\n10\n9\n20\n9\n10\n9\n20\n50\n10\n0\n20\n99\n",
    "a bulge past all bulges": "0\nLWPOLYLINE\n8\n0\n90\n2\n70\n0\n10\n0\n20\n0\n42\n1e9\n10\n0\n20\n300\n",
    "an arc of no radius": "0\nARC\n8\n0\n10\n0\n20\n0\n40\n0\n50\n0\n51\n90\n",
    "an ellipse of no axis": "0\nELLIPSE\n8\n0\n10\n0\n20\n0\n11\n0\n21\n0\n40\n1\n41\n0\n42\n3\n",
    "an ellipse without an end": "0\nELLIPSE\n8\n0\n10\n0\n20\n0\n11\n50\n21\n0\n40\n0.5\n41\n0\n42\n1e309\n",
    "an insert of nothing": "0\nINSERT\n8\n0\n2\nNOWHERE\n10\n0\n20\n0\n",
}  # fmt: skip


@pytest.mark.parametrize("body", list(DXF.values()), ids=list(DXF))
def test_dxf_with_what_no_figure_should_be_is_read_or_refused_in_a_sentence(body: str) -> None:
    for name in ('path = "1"', 'path = "layer 0"'):
        told = refusal_of(PLAN.format(name="a.dxf").replace('path = "e"', name), {"a.dxf": dxf(body)})
        assert "\n" not in told and not re.search(r"NoneType|object|attribute|0x|NaN|broken in a way", told), told
    try:
        list_edges(dxf(body), "a.dxf")
    except ClosureError as error:
        assert "\n" not in str(error)


def test_dxf_with_a_bulge_past_all_bulges_beside_its_edge_is_read() -> None:
    vertices = "".join(
        f"0\nVERTEX\n8\n2\n10\n{x}\n20\n{y}\n42\n{b}\n" for x, y, b in ((272.35, 206.21, 370.7), (291, 148.889, 1e9))
    )
    piece = f"0\nPOLYLINE\n8\n2\n66\n1\n70\n1\n{vertices}0\nSEQEND\n"
    plan = PLAN.format(name="a.dxf").replace('path = "e"', 'path = "layer 0"')
    assert refusal_of(plan, {"a.dxf": dxf(line((0, 0), (0, 300)) + piece, "9\n$ACADVER\n1\nAC1009\n")}) == ""


def test_dxf_fillet_that_misses_its_line_is_joined_or_told() -> None:
    arc = "0\nARC\n8\n0\n10\n0.1\n20\n300\n40\n0.1\n50\n180\n51\n270\n"
    body = line((0.05, 0), (0.05, 300)) + arc + line((0.1, 299.85), (40, 299.9))
    told = refusal_of(PLAN.format(name="a.dxf").replace('path = "e"', 'path = "chain 1"'), {"a.dxf": dxf(body)})
    assert "\n" not in told


@pytest.mark.parametrize("last", [0.51, 0.6, 0.9])
def test_nodes_in_line_with_a_long_last_chord_are_read(last: float) -> None:
    rest = 300 * (1 - last) / 4
    points = " L".join(f"{90 + n % 2 / 1000} {20 + n * rest}" for n in range(5))
    drawing = svg(f'<path id="e" d="M{points} L90 220"/>')
    assert refusal_of(PLAN.format(name="a.svg"), {"a.svg": drawing}) == ""


@pytest.mark.parametrize("unit", ["cm", "m", "ft", "yd"])
def test_plan_in_any_unit_is_read(unit: str) -> None:
    per = {"cm": 10, "m": 1000, "ft": 304.8, "yd": 914.4}[unit]
    words = PLAN.replace('drawing = "{name}"', 'units = "mm"').replace(
        'path = "e"', f'straight = "{600 / per:.6f} {unit}"'
    )
    assert refusal_of(words) == ""


@pytest.mark.parametrize("length", [1, 5, 12, 15.9, 16, 16.1])
def test_edge_shorter_than_its_notches_stand_apart_has_its_bands(length: float) -> None:
    import closures

    words = PLAN.replace('drawing = "{name}"', "").replace('path = "e"', f'straight = "{length} mm"').replace("first = 20\nlast = 20\ncount = 5", "first = { from = 0, to = 20 }\nlast = { from = 0, to = 20 }\ncount = 1")  # fmt: skip
    plan = closures.read_plan((words + '\n[bands]\nallowance = "10 mm"\n').encode(), "test.toml")
    try:
        closures.place_plan(plan, {})
    except closures.ClosureError as error:
        assert "\n" not in str(error)


@pytest.mark.parametrize("gap", [16.16, 16.16 + 1e-9, 16.2, 22.16])
def test_backing_at_the_least_gap_is_one_strip_or_patches(gap: float) -> None:
    import closures

    for form in ("patches", "strip"):
        words = PLAN.replace('drawing = "{name}"', "").replace('path = "e"', f'straight = "{40 + 4 * gap} mm"')
        words += f'\n[sheets]\nbacking = "{form}"\n'
        try:
            closures.place_plan(closures.read_plan(words.encode(), "test.toml"), {})
        except closures.ClosureError as error:
            assert all("Traceback" not in line for line in str(error).splitlines())


def test_supplies_of_lists_in_lists_without_an_end_are_refused() -> None:
    words = PLAN.replace('drawing = "{name}"', 'supplies = "pack.toml"').replace('path = "e"', 'straight = "600 mm"')
    assert "too deep" in refusal_of(words, {"pack.toml": b"a = " + b"[" * 3000 + b"]" * 3000})


def test_layers_of_a_pdf_that_are_none_are_no_layers() -> None:
    import io

    import pikepdf
    from edge_files import EDGE, pdf_bytes, pdf_path

    with pikepdf.open(io.BytesIO(pdf_bytes(pdf_path(EDGE.segments)))) as pdf:
        for odd in (pikepdf.Array([1]), pikepdf.String("x"), pikepdf.Dictionary(D=pikepdf.Array([2]), OCGs=3)):
            pdf.Root.OCProperties = odd
            made = io.BytesIO()
            pdf.save(made)
            assert list_edges(made.getvalue(), "a.pdf").candidates


@pytest.mark.skipif(__import__("sys").platform in ("win32", "darwin"), reason="there every name is Unicode")
def test_file_whose_name_is_no_text_is_placed(tmp_path) -> None:
    import os
    import subprocess
    import sys

    words = PLAN.replace('drawing = "{name}"', "").replace('path = "e"', 'straight = "600 mm"')
    plan = os.fsencode(tmp_path) + b"/pl\xffan.toml"
    with open(plan, "w", encoding="utf-8") as file:
        file.write(words)
    done = subprocess.run([sys.executable, "-m", "closures", "place", plan], capture_output=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert b"over.svg" in done.stdout


@pytest.mark.parametrize("seed", [1])
def test_broken_and_moved_plans_end_as_they_should(seed: int) -> None:
    import fuzz

    assert fuzz.hostile(60, random.Random(seed)) == []
    assert fuzz.metamorphic(10, random.Random(seed)) == []
    assert fuzz.made(40, random.Random(seed)) == []
    assert fuzz.ENDS["placed"] > 3 and fuzz.ENDS["refused"] > 10 and fuzz.ENDS["sound rows"] > 3
