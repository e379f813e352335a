"""From where levels are counted, where a plan tells some and does not say where they begin."""

from __future__ import annotations

import pickle
from pathlib import Path

import pypdfium2
import pytest
from fronts import FRONT

from closures.advice.of_sizes import advise_sizes
from closures.app.job import check_plan, load_plan, place_plan, result_files
from closures.app.sizing import check_sizes, place_sizes, size_files
from closures.errors import EdgeError
from closures.placing.assumed import about, reworded
from closures.placing.counted_from import level_zero_told
from closures.plan.as_options import in_options
from closures.plan.reading import read_plan
from closures.report.sizes_words import sizes_page, sizes_terminal
from closures.report.terminal import report_terminal

BUST = '[[anchor]]\nname = "bust"\nlevel = "235 mm"\n'
BELT = '[[clear]]\nname = "belt"\nlevel = ["380 mm", "420 mm"]\n'
GRADED = '[sizes]\nnames = ["S", "M"]\nbase = "S"\nhold = "count"\ngrade = [["0 mm", "0 mm"], ["0 mm", "10 mm"]]\n'


def told(text: str) -> list[str]:
    """What is said of where levels begin."""
    assumed = check_plan(read_plan(text.encode(), "plan.toml")).placement.assumed
    return [line for line in assumed if "level_zero" in line]


def test_levels_told_without_a_zero_say_from_where_they_are_counted():
    assert told(FRONT + BUST) == [
        "The level of bust is counted straight down from the neck end of the edge, not from the shoulder; another place is "
        "told as a height, -80 mm being 80 mm above it (as this program has it). To change it: level_zero under [edge]."
    ]
    assert told(FRONT + BUST + BELT)[0].startswith("The levels of bust and belt are counted straight down")
    inches = (FRONT + BUST).replace("title =", 'units = "in"\ntitle =')
    assert "a height, -3 in being 3 in above it" in told(inches)[0]


def test_what_the_line_offers_is_taken_and_moves_the_mark_up():
    moved = (FRONT + BUST).replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "-80 mm"')
    assert told(moved) == []
    marks = check_plan(read_plan(moved.encode(), "plan.toml")).placement.marks
    assert [mark.along_mm for mark in marks if mark.anchor == "bust"] == [pytest.approx(155)]


@pytest.mark.parametrize(
    "text",
    [
        FRONT,
        FRONT + BUST.replace("level", "along"),
        (FRONT + BUST).replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "0 mm"'),
    ],
    ids=["no level", "along the line", "told to be the end itself"],
)
def test_nothing_is_said_where_no_level_is_told_or_its_zero_is(text: str):
    assert told(text) == []


def test_no_shoulder_is_named_where_there_is_none():
    side = (FRONT + BUST).replace('"front"', '"left side"').replace("right over left", "front over back")
    side = side.replace('pieces = "pair"', 'pieces = "separate"')
    assert "the top end of the edge; another" in told(side)[0]


def test_measured_points_are_told_by_their_own_heights():
    points = 'points = [["0 mm", "40 mm"], ["3 mm", "300 mm"], ["0 mm", "640 mm"]]'
    assert (
        "told as a height in the figures of the edge" in told((FRONT + BUST).replace('straight = "600 mm"', points))[0]
    )


def test_drawn_edge_is_told_by_a_point_of_its_drawing():
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">'
    svg += b'<path id="e" d="M 200 20 V 620"/></svg>'
    text = 'drawing = "f.svg"' + (FRONT + BUST).replace('straight = "600 mm"', 'path = "e"')
    assumed = check_plan(read_plan(text.encode(), "plan.toml"), {"f.svg": svg}).placement.assumed
    assert any("told as the name of its point in the drawing" in line for line in assumed)


def test_a_stand_counts_from_the_neck_seam():
    stand = (FRONT + BUST).replace('first = "15 mm"\n', "") + '[stand]\nheight = "30 mm"\n'
    stand = stand.replace("prong snap", "sew-through button").replace("16 L", "18 L")
    assert "counted straight down from the neck seam" in told(stand)[0]


def test_the_cover_says_it_and_what_opens_where_that_is_not_told():
    text = (FRONT + BUST).replace('opens = "front"\n', "")
    words = _words(result_files(place_plan(read_plan(text.encode(), "plan.toml")), "a4")["marking.pdf"])
    assert "Assumed: This is a front; what opens was not told." in words
    assert "Assumed: The level of bust is counted straight down from the first end of the edge" in words


def test_all_sizes_say_it_in_their_report_and_on_their_cover():
    plan = read_plan((FRONT + BUST + GRADED).encode(), "plan.toml")
    sizes = check_sizes(plan)
    begins = "The level of bust is counted straight down from the neck end of the edge"
    assert f"Assumed: {begins}" in sizes_terminal(sizes)
    assert f"**Assumed:** {begins}" in sizes_page(sizes, advise_sizes(sizes)).decode()
    assert f"Assumed: {begins}" in _words(size_files(place_sizes(plan), "a4")["marking.pdf"])


def test_a_job_of_options_names_the_option():
    assert "To change it: --level-zero." in in_options(told(FRONT + BUST)[0])


def test_the_line_knows_what_it_is_about_whatever_its_words_are_and_wherever_it_goes():
    """It was told by the key that stands in it, which another line, or the title of a plan, may name too."""
    plan = read_plan((FRONT + BUST.replace("bust", "level_zero")).encode(), "plan.toml")
    lines = check_plan(plan).placement.assumed
    own = [line for line in lines if about("beginning of levels", line)]
    assert len(own) == 1 and own[0].startswith("The level of level_zero is counted")
    assert not about("beginning of levels", str(own[0])) and "level_zero" in str(own[0])
    for same in (pickle.loads(pickle.dumps(own[0])), reworded(own[0], in_options)):
        assert about("beginning of levels", same)


UPWARDS = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="700mm" viewBox="0 0 300 700">'
    b'<path id="e" d="M 200 620 V 40"/><circle id="shoulder" cx="150" cy="20" r="1"/>'
    b'<circle id="below" cx="150" cy="640" r="1"/></svg>'
)


def upwards(more: str, edge: str = "", zero: str = "shoulder"):
    """A front on a line of a drawing that runs up it, with a place where levels begin."""
    zero = f'level_zero = "{zero}"\n' if zero else ""
    text = 'drawing = "f.svg"' + (FRONT + more).replace('straight = "600 mm"', f'path = "e"\n{zero}{edge}')
    return check_plan(read_plan(text.encode(), "plan.toml"), {"f.svg": UPWARDS})


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (BUST, "and the level of bust is told straight down"),
        (BUST + BELT, "and the levels of bust and belt are told straight down"),
        ("", "and levels begin at a place above both"),
    ],
    ids=["a level", "two", "a zero alone"],
)
def test_an_edge_drawn_from_the_hem_up_that_levels_contradict_is_refused(more: str, said: str):
    with pytest.raises(EdgeError) as refused:
        upwards(more)
    told = str(refused.value)
    assert f"the neck lies 580 mm lower in the drawing than the hem, {said}" in told
    assert "write reverse = true under [edge]" in told
    # What is offered is taken, and the bust lies where a tape from the shoulder finds it.
    marks = upwards(more, "reverse = true").placement.marks
    assert [mark.y_mm for mark in marks if mark.anchor] == [pytest.approx(255)] * bool(more)


def test_an_edge_reversed_into_running_up_is_told_to_leave_that_out():
    downwards = UPWARDS.replace(b"M 200 620 V 40", b"M 200 40 V 620")
    text = 'drawing = "f.svg"' + (FRONT + BUST).replace(
        'straight = "600 mm"', 'path = "e"\nreverse = true\nlevel_zero = "shoulder"'
    )
    with pytest.raises(EdgeError, match="from the hem to the neck, leave reverse out under"):
        check_plan(read_plan(text.encode(), "plan.toml"), {"f.svg": downwards})


@pytest.mark.parametrize(
    ("more", "zero"),
    [
        ("", ""),
        (BUST.replace("235", "-235"), ""),
        (BUST.replace("235", "-235"), "below"),
        (BUST.replace("level", "along"), ""),
    ],
    ids=["no level", "negative", "negative from below", "along"],
)
def test_a_drawing_that_may_lie_upside_down_is_looked_at(more: str, zero: str):
    ends = [one for one in upwards(more, zero=zero).findings if one.rule == "ends"]
    assert [one.result for one in ends] == ["warn"]


def _words(pdf: bytes) -> str:
    text = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))
    return " ".join(text.split())


def said_of_the_zero(text: str) -> list[str]:
    return list(level_zero_told(check_plan(read_plan(text.encode(), "plan.toml")).placement))


@pytest.mark.parametrize(
    ("zero", "place"),
    [
        ("-80 mm", "80 mm above the neck end of the edge"),
        ("80 mm", "80 mm below the neck end of the edge"),
        ("0 mm", "the height of the neck end of the edge"),
    ],
)
def test_told_zero_is_said_with_the_side_it_lies_on_and_on_the_cover(zero: str, place: str):
    """A minus left out puts every level twice as much too low: the word says so."""
    text = (FRONT + BUST + BELT).replace('straight = "600 mm"', f'straight = "600 mm"\nlevel_zero = "{zero}"')
    line = f"The levels of bust and belt are counted straight down from {place}, as was told."
    assert said_of_the_zero(text) == [line]
    assert said_of_the_zero(text.replace(BUST, "").replace(BELT, "")) == []
    answer = place_plan(read_plan(text.encode(), "plan.toml"))
    assert line in report_terminal(answer.placement, answer.findings)
    pages = result_files(answer, "a4")["marking.pdf"]
    cover = pypdfium2.PdfDocument(pages)[0].get_textpage().get_text_range()
    assert line in " ".join(cover.split())


def test_told_zero_of_a_shirt_with_a_stand_is_said_from_the_neck_seam():
    text = (FRONT + BUST).replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "-80 mm"')
    text = text.replace("prong snap", "sew-through button").replace("16 L", "18 L")
    text = text.replace('first = "15 mm"\n', "") + '[stand]\nheight = "30 mm"\n'
    assert said_of_the_zero(text) == [
        "The level of bust is counted straight down from 80 mm above the neck seam, as was told."
    ]


def test_told_zero_of_unwashed_cloth_is_said_in_the_lengths_of_the_plan():
    text = (FRONT + BUST).replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "-80 mm"')
    for state in ("washed", "unwashed"):
        wash = f'[shrinkage]\nalong = "6 %"\nacross = "6 %"\nmeasured = "{state}"\n'
        assert "from 80 mm above the neck end" in said_of_the_zero(text + wash)[0]


def test_told_zero_is_said_of_each_size_once_where_sizes_are_alike():
    text = (FRONT + BUST + GRADED).replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "-80 mm"')
    sizes = place_sizes(read_plan(text.encode(), "plan.toml"))
    line = "The level of bust is counted straight down from 80 mm above the neck end of the edge, as was told."
    assert sizes_terminal(sizes).count("as was told") == 1 and line in " ".join(sizes_terminal(sizes).split())
    assert f"- {line}" in sizes_page(sizes, advise_sizes(sizes)).decode()
    assert line in _words(size_files(sizes, "a4")["marking.pdf"])


def test_one_size_drawn_from_the_hem_up_is_told_to_turn_its_own_line():
    """To reverse the edge of the plan would turn the lines of all the other sizes."""
    drawn = UPWARDS.replace(b'<path id="e" d="M 200 620 V 40"/>', b'<path id="e-S" d="M 200 40 V 620"/>')
    drawn = drawn.replace(b"<circle", b'<path id="e-M" d="M 200 630 V 40"/><circle', 1)
    text = 'drawing = "f.svg"' + FRONT.replace('straight = "600 mm"', 'path = "e-S"\nlevel_zero = "shoulder"') + BUST
    text += '[sizes]\nnames = ["S", "M"]\nbase = "S"\nhold = "count"\npath = "e-{size}"\n'
    sizes = check_sizes(read_plan(text.encode(), "plan.toml"), {"f.svg": drawn})
    (refused,) = sizes.refused
    assert refused.name == "M" and refused.why.startswith("the neck lies 590 mm lower in the drawing than the hem")
    assert "Turn the line of this size round in the drawing" in refused.why and "reverse" not in refused.why


def test_levels_across_a_waistband_are_counted_from_its_edge_and_no_shoulder_is_spoken_of() -> None:
    plan = Path(__file__).resolve().parent.parent / "templates" / "hidden-button" / "plan.toml"
    (told,) = [one for one in check_plan(load_plan(plan), plan).placement.assumed if "counted" in one]
    assert "straight down from the upper edge; another place" in told and "shoulder" not in told
