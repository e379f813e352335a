"""A plan edited key by key: what is asked changes, and every other byte stays."""

import tomllib
from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closures.plan.blocks import cut, joined
from closures.plan.editing import add_section, nth_of, remove_key, remove_section, set_aside, set_key, value_of
from closures.plan.reading import read_plan

PLAN = """\
# Fern coat: measured by hand, do not round!
title = 'Fern coat'   # as on the label
units = "in"

# The edge was walked with a tape.
[edge]
straight = "24 in"      # twice

# 3/4 is on purpose, though it is half the width
[band]
inset = "3/4 in"
width = "1 1/2 in"
lap = "right over left"

[closure]
kind = "prong snap"
size = "16 L"

[spacing]
first = { from = "1/2 in", to = "3/4 in" }  # either
last = '2"'
pitch = 3

# Nobody but the wearer knows
[[anchor]]
name = "bust point"
level = "9 1/4 in" # measured
[[anchor]]
name = "waist"
along = "16 in"

[[clear]]
name = "belt"
level = [
  "14 in",   # top of the belt
  "15 in",
]
# the end
"""


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """The lines that went and the lines that came, in the one place where two texts differ."""
    old, new = before.splitlines(keepends=True), after.splitlines(keepends=True)
    while old and new and old[0] == new[0]:
        old, new = old[1:], new[1:]
    while old and new and old[-1] == new[-1]:
        old, new = old[:-1], new[:-1]
    return old, new


def test_a_key_that_is_set_keeps_its_note_and_its_place() -> None:
    after = set_key(PLAN, "edge", "straight", "25 in")
    assert changed_lines(PLAN, after) == (
        ['straight = "24 in"      # twice\n'],
        ['straight = "25 in"      # twice\n'],
    )


def test_a_list_that_changes_in_one_part_keeps_the_notes_within() -> None:
    after = set_key(PLAN, "clear", "level", ["13 1/2 in", "15 in"], nth=1)
    assert changed_lines(PLAN, after) == (
        ['  "14 in",   # top of the belt\n'],
        ['  "13 1/2 in",   # top of the belt\n'],
    )


def test_a_table_that_changes_in_one_part_keeps_the_rest() -> None:
    after = set_key(PLAN, "spacing", ("first", "to"), "1 in")
    assert changed_lines(PLAN, after)[1] == ['first = { from = "1/2 in", to = "1 in" }  # either\n']


def test_a_new_key_stands_after_the_last_of_its_section_and_before_the_notes_on_the_next() -> None:
    after = set_key(PLAN, "edge", "reverse", True)
    assert changed_lines(PLAN, after) == ([], ["reverse = true\n"])
    assert 'straight = "24 in"      # twice\nreverse = true\n\n# 3/4 is on purpose' in after


def test_a_key_that_stays_as_it_is_changes_nothing() -> None:
    assert set_key(PLAN, "band", "inset", "3/4 in") == PLAN
    assert remove_key(PLAN, "band", "under_width") == PLAN
    assert remove_section(PLAN, "swap") == PLAN


def test_a_figure_that_is_at_its_default_stays_when_something_else_changes() -> None:
    assert 'inset = "3/4 in"' in set_key(PLAN, "band", "width", "2 in")


def test_one_of_several_is_changed_and_removed_by_its_number_or_by_the_users_name() -> None:
    assert nth_of(PLAN, "anchor", "waist") == 2
    assert nth_of(PLAN, "anchor", "hip") is None
    assert changed_lines(PLAN, set_key(PLAN, "anchor", "within", "1/8 in", nth=1))[1] == ['within = "1/8 in"\n']
    after = remove_section(PLAN, "anchor", nth_of(PLAN, "anchor", "waist") or 0)
    assert changed_lines(PLAN, after) == (["[[anchor]]\n", 'name = "waist"\n', 'along = "16 in"\n'], [])


def test_a_key_that_is_set_aside_stays_as_a_note_where_one_stands_on_its_line() -> None:
    assert changed_lines(PLAN, set_aside(PLAN, "edge", "straight")) == (
        ['straight = "24 in"      # twice\n'],
        ['# straight = "24 in"      # twice\n'],
    )
    assert value_of(set_aside(PLAN, "edge", "straight"), "edge", "straight") is None
    long = '[edge]\npoints = [\n  ["0", "0"], # neck\n]  # taped\n'
    assert set_aside(long, "edge", "points") == '[edge]\n# points = [\n#   ["0", "0"], # neck\n# ]  # taped\n'
    for section, key, nth in (("anchor", "along", 2), ("spacing", ("first", "to"), 0), ("band", "under_width", 0)):
        assert set_aside(PLAN, section, key, nth) == remove_key(PLAN, section, key, nth)
    windows = PLAN.replace("\n", "\r\n")
    assert set_aside(windows, "edge", "straight") == set_aside(PLAN, "edge", "straight").replace("\n", "\r\n")


def test_a_section_that_is_removed_leaves_the_notes_around_it() -> None:
    after = remove_section(PLAN, "clear", 1)
    assert after.endswith('along = "16 in"\n\n# the end\n')
    assert "# Nobody but the wearer knows\n" in remove_section(PLAN, "anchor", 1)


def test_a_section_that_is_added_stands_after_the_last_of_its_name() -> None:
    after = add_section(PLAN, "anchor", {"name": "hip", "level": "20 in", "within": None})
    assert changed_lines(PLAN, after) == ([], ["[[anchor]]\n", 'name = "hip"\n', 'level = "20 in"\n', "\n"])
    assert [row["name"] for row in tomllib.loads(after)["anchor"]] == ["bust point", "waist", "hip"]


def test_a_section_of_a_new_name_stands_at_the_end() -> None:
    after = add_section(PLAN, "sheets", {"coupon": True})
    assert after == PLAN + "\n[sheets]\ncoupon = true\n"
    assert set_key(PLAN, "sheets", "coupon", True) == after


def test_a_first_key_before_the_first_section_stands_after_the_notes_on_the_plan() -> None:
    assert set_key("# A coat.\n\n[edge]\nstraight = 3\n", "", "units", "mm") == (
        '# A coat.\n\nunits = "mm"\n\n[edge]\nstraight = 3\n'
    )
    assert set_key("[edge]\nstraight = 3\n", "", "units", "mm") == 'units = "mm"\n\n[edge]\nstraight = 3\n'


def test_a_text_of_one_line_without_an_end_can_be_added_to() -> None:
    assert set_key("[edge]\nstraight = 3", "edge", "reverse", True) == "[edge]\nstraight = 3\nreverse = true\n"
    assert add_section("[edge]\nstraight = 3", "band", {"width": 2}) == "[edge]\nstraight = 3\n\n[band]\nwidth = 2\n"
    assert add_section("", "band", {"width": 2}) == "[band]\nwidth = 2\n"
    assert set_key("[edge]", "edge", "straight", 3) == "[edge]\nstraight = 3\n"


def test_lines_keep_the_ends_that_they_had() -> None:
    text = PLAN.replace("\n", "\r\n")
    for after in (
        set_key(text, "band", "under_width", "2 in"),
        add_section(text, "anchor", {"name": "hip"}),
        remove_section(text, "clear"),
    ):
        assert after.count("\n") == after.count("\r\n")


@pytest.mark.parametrize(
    "text",
    [
        'band = { width = "3 in", lap = "x" }\n',
        'band.width = "3 in"\nband.lap = "x"\n',
        '[band]\nwidth = "3 in"\nlap = "x"\n',
        '["band"]\n"width" = "3 in"\n\'lap\' = "x"\n',
    ],
)
def test_a_section_is_edited_in_whatever_form_it_stands(text: str) -> None:
    after = tomllib.loads(set_key(set_key(text, "band", "width", "4 in"), "band", "inset", "1 in"))
    assert after == {"band": {"width": "4 in", "lap": "x", "inset": "1 in"}}
    assert tomllib.loads(remove_key(text, "band", "lap")) == {"band": {"width": "3 in"}}
    assert tomllib.loads(remove_section(text, "band")) == {}


@pytest.mark.parametrize(
    "text",
    [
        '[edge]\narc = { length = "3 in", bows = "in" }\n',
        '[edge]\narc.length = "3 in"\narc.bows = "in"\n',
        '[edge]\n[edge.arc]\nlength = "3 in"\nbows = "in"\n',
        '[edge.arc]\nlength = "3 in" # it\nbows = "in"\n[edge]\n',
    ],
)
def test_a_table_within_a_section_is_edited_in_whatever_form_it_stands(text: str) -> None:
    after = set_key(set_key(text, "edge", ("arc", "length"), "4 in"), "edge", ("arc", "radius"), "9 in")
    assert tomllib.loads(after) == {"edge": {"arc": {"length": "4 in", "bows": "in", "radius": "9 in"}}}
    assert value_of(remove_key(text, "edge", "arc"), "edge", "arc") is None


def test_sections_that_stand_as_a_list_on_one_line_are_edited_there() -> None:
    text = 'anchor = [{ name = "a", along = 3 }, { name = "b", along = 5 }]  # both\n[edge]\nstraight = 9\n'
    assert '{ name = "b", along = 6 }]  # both\n' in set_key(text, "anchor", "along", 6, nth=2)
    after = add_section(text, "anchor", {"name": "c", "along": 7})
    assert [row["along"] for row in tomllib.loads(after)["anchor"]] == [3, 5, 7]
    assert tomllib.loads(remove_section(text, "anchor", 1))["anchor"] == [{"name": "b", "along": 5}]


def test_a_text_that_looks_like_a_heading_within_a_value_is_none() -> None:
    text = 'title = """\n[band]\nwidth = 3\n"""\n[edge]\npoints = [\n[1, 2],\n[3, 4]]\n'
    assert [block.path for block in cut(text)] == [(), ("edge",)]
    assert value_of(set_key(text, "edge", "points", [[1, 2], [3, 5]]), "edge", "points") == [[1, 2], [3, 5]]


def test_a_section_of_several_that_is_not_there_cannot_be_set() -> None:
    with pytest.raises(ValueError, match="no anchor number 3"):
        set_key(PLAN, "anchor", "within", 1, nth=3)


def test_an_edited_plan_is_read_as_any_other() -> None:
    after = set_key(PLAN, "spacing", "widest", "3 1/2 in")
    assert read_plan(after.encode(), "coat.toml").spacing.widest_mm == 88.9  # type: ignore[union-attr]


# Plans of any look: each key with what stands around it, so that what should come of an edit can be said to the byte.


@dataclass(frozen=True)
class Line:
    before: str
    name: str
    between: str
    value: str
    after: str

    @property
    def text(self) -> str:
        return f"{self.before}{self.name}{self.between}{self.value}{self.after}\n"


@dataclass(frozen=True)
class Part:
    heading: str
    lines: tuple[Line, ...]
    tail: str

    @property
    def text(self) -> str:
        return self.heading + "".join(line.text for line in self.lines) + self.tail


NOTES = st.sampled_from(["", "", "# a note\n", "\n", '  # a [band] = "note"\n\n', "#\n\n#\n"])
VALUES = st.sampled_from(
    ['"1 1/2 in"', "'12\"'", "12", "-3.5", "true", '["1 in", "2 in"]', '[\n  "1 in", # low\n  "2 in",\n]',
     '{ from = "1 in", to = "2 in" }', '"""a\n[b]\nc"""', '"# no note"', "'''\n[[x]]'''", '"\\"]"']
)  # fmt: skip
NAMES = ("width", "inset", "lap", "under_width", "seen_from")
lines = st.builds(
    Line,
    before=st.tuples(NOTES, st.sampled_from(["", "  ", "\t"])).map("".join),
    name=st.sampled_from(NAMES),
    between=st.sampled_from([" = ", "=", "  =  ", "\t= "]),
    value=VALUES,
    after=st.sampled_from(["", "", "  ", "  # why", " #[x]"]),
)
parts = st.builds(
    Part,
    heading=st.sampled_from(
        ["[edge]\n", "[band] # note\n", "[[anchor]]\n", "[[ anchor ]] # [x]\n", "[[clear]]\n", "  [spacing]\n"]
    ),
    lines=st.lists(lines, max_size=4, unique_by=lambda line: line.name).map(tuple),
    tail=NOTES,
)
plans = st.lists(
    parts, min_size=1, max_size=6, unique_by=lambda part: (part.heading, part.heading[:2] == "[[" and id(part))
)
NEW = st.sampled_from(["9 1/4 in", 7, 2.5, False, ["1 in", "3 in"], {"from": "1 in", "to": "4 in"}])


def _name(part: Part) -> str:
    return part.heading.partition("#")[0].strip("[ ]\n")


def _nth(made: list[Part], n: int) -> int:
    if "[[" not in made[n].heading:
        return 0
    return sum(_name(part) == _name(made[n]) for part in made[: n + 1])


def _text(made: list[Part]) -> str:
    return "".join(part.text for part in made)


def _loads(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


@given(plans, st.data())
def test_blocks_put_together_are_the_text(made: list[Part], data: st.DataObject) -> None:
    text = _text(made)
    assert joined(cut(text)) == text
    if _loads(text) is not None:
        assert [block.path for block in cut(text)] == [(), *((_name(part),) for part in made)]


@given(plans, st.data(), NEW)
def test_after_any_key_is_set_every_other_byte_is_as_it_was(made: list[Part], data: st.DataObject, new: object) -> None:
    text = _text(made)
    before = _loads(text)
    n = data.draw(st.integers(0, len(made) - 1))
    name = data.draw(st.sampled_from(NAMES))
    if before is None:
        return
    nth = _nth(made, n)
    after = set_key(text, _name(made[n]), name, new, nth)
    assert value_of(after, _name(made[n]), name, nth) == new
    at = next((i for i, line in enumerate(made[n].lines) if line.name == name), None)
    front = _text(made[:n]) + made[n].heading
    if at is None:
        front += "".join(line.text for line in made[n].lines)
        back = made[n].tail + _text(made[n + 1 :])
    else:
        line = made[n].lines[at]
        front += "".join(one.text for one in made[n].lines[:at]) + line.before + line.name + line.between
        back = line.after + "\n" + "".join(one.text for one in made[n].lines[at + 1 :]) + made[n].tail
        back += _text(made[n + 1 :])
    assert after.startswith(front)
    assert after.endswith(back)


@given(plans, st.data())
def test_after_any_key_is_removed_every_other_line_is_as_it_was(made: list[Part], data: st.DataObject) -> None:
    text = _text(made)
    n = data.draw(st.integers(0, len(made) - 1))
    if _loads(text) is None or not made[n].lines:
        return
    at = data.draw(st.integers(0, len(made[n].lines) - 1))
    line = made[n].lines[at]
    after = remove_key(text, _name(made[n]), line.name, _nth(made, n))
    notes = replace(line, before=line.before.rstrip("\t "), name="", between="", value="", after="").text[:-1]
    kept = [*made[n].lines[:at], *made[n].lines[at + 1 :]]
    front = _text(made[:n]) + made[n].heading + "".join(one.text for one in made[n].lines[:at])
    back = "".join(one.text for one in made[n].lines[at + 1 :]) + made[n].tail + _text(made[n + 1 :])
    assert after == front + notes + back
    assert len(kept) == len(value_of(after, _name(made[n]), (), _nth(made, n)))


@given(plans, st.data())
def test_after_any_section_is_removed_every_note_and_every_other_line_is_as_it_was(
    made: list[Part], data: st.DataObject
) -> None:
    text = _text(made)
    n = data.draw(st.integers(0, len(made) - 1))
    before = _loads(text)
    if before is None:
        return
    after = remove_section(text, _name(made[n]), _nth(made, n))
    expected = _text(made[:n]) + made[n].tail + _text(made[n + 1 :])
    # Of empty lines one may go with the section that it set off.
    assert [line for line in after.split("\n") if line] == [line for line in expected.split("\n") if line]
    assert len(expected) - len(after) in (0, 1)


@given(plans, st.sampled_from(["anchor", "sheets", "edge"]))
def test_after_any_section_is_added_every_line_before_stands_in_its_order(made: list[Part], section: str) -> None:
    text = _text(made)
    before = _loads(text)
    if before is None:
        return
    after = add_section(text, section, {"name": "new", "along": "3 in"})
    rest = iter(after.split("\n"))
    assert all(line in rest for line in text.rstrip("\n").split("\n"))
    held = value_of(after, section)
    assert (held[-1] if isinstance(held, list) else held).items() >= {"name": "new", "along": "3 in"}.items()
    others = tomllib.loads(after)
    assert {key: value for key, value in others.items() if key != section} == {
        key: value for key, value in before.items() if key != section
    }
