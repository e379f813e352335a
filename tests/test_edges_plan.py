"""What a plan says of its drawing is written down and read back the same."""

from __future__ import annotations

import pytest
from edge_files import plan

from closures.plan.reading import read_plan
from closures.plan.writing import write_plan

EDGES = {
    "pieces": 'path = ["page 2, 1", "page 3, 1"]',
    "stretch by ids": 'path = "e"\nfrom = "neck"\nto = "hem"\nvia = "bust"',
    "stretch by points": 'path = "e"\nfrom = ["1/8 in", "3 in"]\nto = [4.25, 300]',
    "stretch by levels": 'path = "e"\nfrom = { level = "12 mm", which = 2 }\nto = { level = "-3 in" }',
    "a known length": 'path = "e"\nknown = { path = "ruler \\"a\\"", length = "2 in" }',
    "a scale": 'path = "e"\nscale = "1/72 in"',
    "layers": 'path = "e"\nlayers = { "sew line" = "STITCH", boundary = "CUT" }',
    "tiles": 'path = "e"\ntiles = { columns = 3, rows = 2, overlap = "1 cm", margin = "1/4 in", first = 2 }',
    "joins": 'path = "e"\njoins = [{ page = 2, onto = 1, at = [[0, 0], [0, 90]], there = [["7 in", 0], ["7 in", 90]] }]',
    "a table": 'points = "edge.csv"',
    "an arc": "arc_through = [[0, 0], [12, 110], [0, 220]]",
    "a scan": 'trace = { through = [[120, 340.5], [180, 2210]], dpi = 300, follow = "border" }',
    "a photo": 'trace = { through = [[120, 340], [180, 2210]], sheet = "letter" }',
}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("edge", list(EDGES.values()), ids=list(EDGES))
def test_edge_of_a_plan_reads_back_as_it_was(edge: str, units: str) -> None:
    text = f'units = "{units}"\n{plan(edge, "front.pdf")}[[anchor]]\nname = "waist"\nat = "notch"\n[[anchor]]\nname = "b"\nat = [3, 4]\n'
    first = read_plan(text.replace("24 mm", "1 in").encode(), "a.toml")
    assert read_plan(write_plan(first).encode(), "a.toml") == first
