"""What the scissors take: words of a lap that stand past its finished edge are told on the cover, to be written over."""

from __future__ import annotations

import re
from pathlib import Path

import pypdfium2

from closures.app.job import Answer, load_plan, place_plan, result_files
from closures.app.options import lettered_as
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"

CASSOCK = """
[edge]
points = [[0,0],[30,150],[60,320],[40,480],[20,640]]
[garment]
opens = "front"
pieces = "pair"
[band]
width = "30 mm"
lap = "left over right"
[closure]
kind = "sew-on snap"
size = "2/0"
[spacing]
count = 40
closest = "10 mm"
[[anchor]]
name = "bust point"
along = "250 mm"
within = "8 mm"
[[clear]]
name = "waist seam"
along = ["400 mm", "404 mm"]
room = "centre"
[sheets]
large = {large}
"""


def placed(large: bool) -> Answer:
    return place_plan(read_plan(CASSOCK.format(large="true" if large else "false").encode(), "cassock.toml"))


def words_of(answer: Answer, paper: str = "a4") -> str:
    pdf = pypdfium2.PdfDocument(result_files(answer, paper)["marking.pdf"])
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())


def told_on_cover(answer: Answer) -> set[tuple[str, int]]:
    found = re.search(r"are cut off: (.*?)\. Write them over", words_of(answer, "letter"))
    pieces = re.findall(r"(over|under)(?: \d+ of \d+)?: numbers? ([\d, ]+)", found[1]) if found else []
    return {(lap, int(n)) for lap, row in pieces for n in row.replace(" ", "").strip(",").split(",")}


def test_numbers_past_the_finished_edge_are_told() -> None:
    """On these sheets two numbers of forty find room only beyond the edge: looked at as pictures."""
    answer = placed(large=True)
    assert told_on_cover(answer) == {("over", 25), ("over", 30), ("under", 25), ("under", 30)}


def test_nothing_is_told_where_all_words_stay_on_the_strip() -> None:
    assert told_on_cover(placed(large=False)) == set()


def test_name_that_is_cut_off_with_the_paper_is_told() -> None:
    path = TEMPLATES / "bib" / "plan.toml"
    answer = place_plan(lettered_as(load_plan(path), False, None), path)
    told = "are cut off: under end: its name. Write them over inside it first."
    assert told in words_of(answer)
