"""A plan file that is wrong: every fault is told, with its place and how to mend it."""

import pickle
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.app.job import load_plan
from closures.errors import PlanError, Where
from closures.files import other_file
from closures.plan.edge import ARC
from closures.plan.naming import FileNaming
from closures.plan.plan import SECTIONS, TOP
from closures.plan.reading import read_plan, read_table

SMALL = """
units = "mm"
[edge]
straight = "24 in"
[band]
width = "1 1/2 in"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "5/8 in"
last = "2 in"
count = 8
"""


def faults_of(text: str | bytes) -> list[str]:
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(PlanError, match=r".") as refused:
        read_plan(data, "front.toml")
    return str(refused.value).split("\n")


# What stands in the small plan, what is put for it, and the one fault that follows.
ONE_FAULT = {
    "unknown key": ('size = "16 L"', 'size = "16 L"\nsizze = 1', "[closure] sizze: .*Did you mean size?"),
    "unknown key, dashed": ("count = 8", "count = 8\nwid-est = 90", "Did you mean widest?"),
    "unknown key, nothing near": ("count = 8", "count = 8\nzz = 1", "Known here: first, last, pitch"),
    "misspelt needed key": ("width =", "widht =", "[band] widht: .*Did you mean width?"),
    "misspelt choice of keys": ("count = 8", "cuont = 8", "[spacing] cuont: .*Did you mean count?"),
    "key of another section": ("count = 8", "count = 8\ncap = 9", "[spacing] cap: .*belongs under [closure]"),
    "title too late": (
        "count = 8",
        'count = 8\ntitle = "x"',
        "It belongs at the top, before the first section",
    ),
    "key of several sections": ("\n[edge]", '\n[cloth]\nname = "melton"\n[edge]', "under [edge] or under [[layer]]"),
    "key before its section": ("\n[edge]", "\nwidth = 3\n[edge]", "width: .*It belongs under [band]"),
    "unknown section": ("count = 8", "count = 8\n[bandd]", "bandd: .*Did you mean band?"),
    "strange key": ("count = 8", 'count = 8\n"a b\\n" = 1', "[spacing] 'a b\\n': it is not a key known here"),
    "unit abroad": ('"1 1/2 in"', '"1 1/2 Zoll"', "[band] width: 'Zoll' in .*Did you mean in?"),
    "thousands parted by a space": ('"24 in"', '"1 000 mm"', "[edge] straight: .*Write 1000 mm, with nothing between"),
    "thousands parted by an apostrophe": ('"24 in"', '"1\u2019000.5 mm"', "Write 1000.5 mm"),
    "no length": ('"1 1/2 in"', '""', "[band] width: no length is told. Write one number in figures"),
    "units in full": ('units = "mm"', 'units = "inches"', 'units: .*Write "in".'),
    "units in cm": (
        'units = "mm"',
        'units = "cm"',
        'units: .*and cm behind every length that is in cm, as in "60 cm".',
    ),
    "count as a range": ("count = 8", 'count = "6 to 8"', "[spacing] count: .*Write one number, 6 or 8"),
    "choice among other words": ("\n[edge]", '\n[garment]\nopens = "Front opening"\n[edge]', 'Write "front".'),
    "inset as wide as the band": (
        'width = "1 1/2 in"',
        'width = "1 1/2 in"\ninset = "38.1 mm"',
        "[band] inset: the band is 38.1 mm (1 1/2 in) wide.*lies on its seam. Write less: half the width, 19.1 mm (3/4 in)",
    ),
    "inset of the under lap beyond its band": (
        'width = "1 1/2 in"',
        'width = "3 in"\nunder_width = "1 1/2 in"\nunder_inset = "2 in"',
        "[band] under_inset: .*lies beyond its seam",
    ),
    "length": ('"1 1/2 in"', '"1,5 in"', "[band] width: '1,5 in' is not a length. Write 1.5 in"),
    "length without unit": ('"1 1/2 in"', '"1 1/2"', "[band] width: '1 1/2' has no unit. Write 1 1/2 in"),
    "length as yes": ('"1 1/2 in"', "true", "[band] width: true is not a length"),
    "length as nan": ('"1 1/2 in"', "nan", "[band] width: nan is not a length"),
    "length as inf": ('"1 1/2 in"', "inf", "[band] width: inf is not a length"),
    "length as a list": ('"1 1/2 in"', '["1 in"]', "[band] width: a list is not a length"),
    "length as a date": ('"1 1/2 in"', "2024-02-03", "[band] width: 2024-02-03 is not a length"),
    "length of many digits": (
        '"1 1/2 in"',
        "9" * 4000,
        "[band] width: a number of many digits is more than 100 m",
    ),
    "no width": ('"1 1/2 in"', "0", "[band] width: 0 is nothing"),
    "negative inset": ("width =", "inset = -1\nwidth =", "[band] inset: -1 is negative"),
    "lap missing": ('lap = "right over left"', "", "[band] lap: it is missing. .*never guessed"),
    "lap guessed": (
        '"right over left"',
        '"right"',
        '[band] lap: .*Write "right over left" or "left over right"',
    ),
    "lap misspelt": ('"right over left"', '"rigth over left"', 'Write "right over left".'),
    "size as a number": ('"16 L"', "16", '[closure] size: 16 is not a size. Write "16 L" for lines'),
    "kind empty": ('"prong snap"', '" "', "[closure] kind: the text is empty"),
    "kind of two lines": ('"prong snap"', r'"prong\nsnap"', "[closure] kind: .*cannot be printed"),
    "kind without end": (
        '"prong snap"',
        f'"{"a" * 201}"',
        "[closure] kind: a text of 201 characters is too long",
    ),
    "size missing": ('size = "16 L"', "", '[closure] size: it is missing. Add size = "16 L"'),
    "grip of one": (
        'size = "16 L"',
        'size = "16 L"\ngrip = ["1 mm"]',
        "[closure] grip: a list of 1 is not two",
    ),
    "grip reversed": (
        'size = "16 L"',
        'size = "16 L"\ngrip = [2, 1]',
        "[closure] grip: the range runs backwards",
    ),
    "grip of nothing": (
        'size = "16 L"',
        'size = "16 L"\ngrip = [0, 0]',
        "[closure] grip: the range is nothing",
    ),
    "spare negative": ('size = "16 L"', 'size = "16 L"\nspare = -1', "[closure] spare: -1 is too few"),
    "spare with a point": (
        'size = "16 L"',
        'size = "16 L"\nspare = 1.0',
        "[closure] spare: 1.0 is not a whole",
    ),
    "hole unknown": ('size = "16 L"', 'size = "16 L"\nhole = "up"', 'Write "along" or "across"'),
    "first as a list": ('"5/8 in"', "[1, 2]", '[spacing] first: .*{ from = "1/2 in", to = "3/4 in" }'),
    "first without to": ('"5/8 in"', "{ from = 1 }", "[spacing] first: a range has a from and a to"),
    "first with more": (
        '"5/8 in"',
        "{ from = 1, to = 2, by = 3 }",
        "[spacing] first: .*it holds 'from', 'to', 'by'",
    ),
    "first empty": ('"5/8 in"', "{}", "[spacing] first: .*it is empty"),
    "first reversed": ('"5/8 in"', "{ from = 2, to = 1 }", "[spacing] first: the range runs backwards"),
    "first half wrong": ('"5/8 in"', '{ from = "1,5 in", to = 90 }', "[spacing] first from: '1,5 in' is not"),
    "both pitch and count": ("count = 8", "count = 8\npitch = 60", "and there are pitch and count. Keep one"),
    "count of none": ("count = 8", "count = 0", "[spacing] count: 0 is too few"),
    "count one over": ("count = 8", "count = 5001", "[spacing] count: 5001 is too many. Write 5000 or less"),
    "count of many digits": (
        "count = 8",
        "count = 1" + "0" * 4000,
        "[spacing] count: a number of many digits",
    ),
    "count as yes": ("count = 8", "count = true", "[spacing] count: true is not a whole number"),
    "count as a text": ("count = 8", 'count = "8"', "[spacing] count: '8' is not a whole number. Write 8, without"),
    "count in words": ("count = 8", 'count = "eight"', "'eight' is not a whole number. Write 8, without"),
    "count with more": ("count = 8", 'count = "8 snaps"', "'8 snaps' is not a whole number. Write 8, without"),
    "count from to": ("count = 8", 'count = "7–8"', "'7–8' is not a whole number. Write one number, 7 or 8"),
    "count of decimals": ("count = 8", "count = 8.0", "8.0 is not a whole number. Write 8, without"),
    "pitch of nothing": ("count = 8", "pitch = 0", "[spacing] pitch: 0 is nothing"),
    "closest over widest": (
        "count = 8",
        "count = 8\nclosest = 9\nwidest = 8",
        "[spacing] closest: it is more than",
    ),
    "no edge": (
        'straight = "24 in"',
        "",
        "[edge]: exactly one of straight, arc, points, path, arc_through, trace is needed",
    ),
    "two edges": (
        "straight =",
        "points = [[0, 0], [0, 9]]\nstraight =",
        "there are straight and points. Keep one",
    ),
    "path without drawing": ('straight = "24 in"', 'path = "e"', "[edge] path: .*no drawing. Add drawing ="),
    "under without drawing": (
        "straight =",
        'under = "e"\nstraight =',
        "[edge] under: it names 'e' in a drawing",
    ),
    "line without drawing": (
        "straight =",
        'line = "e"\nstraight =',
        "[edge] line: it names 'e' in a drawing",
    ),
    "level zero without drawing": (
        "straight =",
        'level_zero = "e"\nstraight =',
        "[edge] level_zero: it names 'e'",
    ),
    "level zero, a bad length": (
        "straight =",
        'level_zero = "1,5 cm"\nstraight =',
        "[edge] level_zero: '1,5 cm' is",
    ),
    "level zero, a yes": (
        "straight =",
        "level_zero = true\nstraight =",
        "[edge] level_zero: true is not a length",
    ),
    "reverse as a text": (
        "straight =",
        'reverse = "no"\nstraight =',
        "[edge] reverse: 'no' is neither true nor",
    ),
    "one point": (
        'straight = "24 in"',
        "points = [[0, 0]]",
        "[edge] points: a list of 1 does not make an edge",
    ),
    "points as a text": ('straight = "24 in"', 'points = "0"', "[edge] points: '0' does not make an edge"),
    "half a point": (
        'straight = "24 in"',
        "points = [[0, 0], [1]]",
        "[edge] points point 2: a list of 1 is not two",
    ),
    "too many points": (
        'straight = "24 in"',
        f"points = {[[0, 0]] * 1001}",
        "[edge] points: 1001 points are too",
    ),
    "arc as a text": (
        'straight = "24 in"',
        'arc = "9 in"',
        "[edge] arc: '9 in' is not a table. Write arc = { length",
    ),
    "arc without radius": (
        'straight = "24 in"',
        'arc = { length = 9, bows = "in" }',
        "[edge] arc radius: it is missing",
    ),
    "arc without bow": (
        'straight = "24 in"',
        "arc = { length = 9, radius = 9 }",
        "[edge] arc bows: it is missing",
    ),
    "arc, unknown key": (
        'straight = "24 in"',
        'arc = { length = 9, radius = 9, bows = "in", angel = 3 }',
        "[edge] arc angel: it is not a key known here",
    ),
    "arc beyond its circle": (
        'straight = "24 in"',
        'arc = { length = 63, radius = 10, bows = "in" }',
        "[edge] arc length: the arc is longer than its circle",
    ),
    "units": ('units = "mm"', 'units = "cm"', "units: 'cm' is not one of mm, in"),
    "section missing": (
        '[closure]\nkind = "prong snap"\nsize = "16 L"',
        "",
        "[closure]: this section is missing",
    ),
    "section as a value": (
        '[edge]\nstraight = "24 in"',
        "edge = 3",
        "[edge]: 3 is not a section. Write [edge]",
    ),
    "section in double brackets": ("[band]", "[[band]]", "[band]: it stands in double brackets"),
    "anchor in single brackets": (
        "count = 8",
        'count = 8\n[anchor]\nname = "a"',
        "[[anchor]]: it stands in single",
    ),
    "anchor as a value": ("\n[edge]", "\nanchor = 3\n[edge]", "[[anchor]]: 3 is not a section"),
    "anchor as a list of values": ("\n[edge]", "\nanchor = [3]\n[edge]", "[[anchor]] 1: 3 is not a section"),
    "anchor nowhere": (
        "count = 8",
        'count = 8\n[[anchor]]\nname = "a"',
        '[[anchor]] 1 "a": exactly one of level, along',
    ),
    "anchor twice placed": (
        "count = 8",
        'count = 8\n[[anchor]]\nname = "a"\nlevel = 3\nalong = 3',
        '[[anchor]] 1 "a": .*there are level and along. Keep one',
    ),
    "anchor without name": (
        "count = 8",
        "count = 8\n[[anchor]]\nlevel = 3",
        "[[anchor]] 1 name: it is missing",
    ),
    "second anchor": (
        "count = 8",
        'count = 8\n[[anchor]]\nname = "a"\nlevel = 3\n[[anchor]]\nname = "b"\nalong = -3',
        '[[anchor]] 2 "b" along: -3 is negative',
    ),
    "anchor, which of what": (
        "count = 8",
        'count = 8\n[[anchor]]\nname = "a"\nalong = 3\nwhich = 1',
        '[[anchor]] 1 "a" which: it goes with level only',
    ),
    "anchor, which none": (
        "count = 8",
        'count = 8\n[[anchor]]\nname = "a"\nlevel = 3\nwhich = 0',
        '[[anchor]] 1 "a" which: 0 is too few',
    ),
    "clear nowhere": (
        "count = 8",
        'count = 8\n[[clear]]\nname = "a"',
        '[[clear]] 1 "a": exactly one of level, along',
    ),
    "clear reversed": (
        "count = 8",
        'count = 8\n[[clear]]\nname = "a"\nlevel = [17, 15]',
        '[[clear]] 1 "a" level: the range runs backwards',
    ),
    "clear of one length": (
        "count = 8",
        'count = 8\n[[clear]]\nname = "a"\nlevel = 17',
        '[[clear]] 1 "a" level: 17 is not two lengths. .*["15 in", "17 in"]',
    ),
    "layer of nothing": (
        "count = 8",
        "count = 8\n[[layer]]\ncount = 2",
        "[[layer]] 1: at least one of cloth, thickness",
    ),
    "layer squeezed": (
        "count = 8",
        'count = 8\n[[layer]]\ncloth = "a"\nclamped = true',
        '[[layer]] 1 "a" clamped: it goes with thickness only',
    ),
    "layer on what": (
        "count = 8",
        'count = 8\n[[layer]]\ncloth = "a"\non = "top"',
        "[[layer]] 1 \"a\" on: 'top' is not one",
    ),
}


def _pattern(text: str) -> str:
    return r".*".join(re.escape(part) for part in text.split(".*"))


@pytest.mark.parametrize(("old", "new", "told"), ONE_FAULT.values(), ids=ONE_FAULT)
def test_plan_with_one_thing_wrong_tells_that_one_thing(old: str, new: str, told: str) -> None:
    assert old in SMALL
    with pytest.raises(PlanError, match=_pattern(told)) as refused:
        read_plan(SMALL.replace(old, new, 1).encode(), "front.toml")
    assert len(refused.value.faults) == 1, str(refused.value)
    fault = refused.value.faults[0]
    assert fault.where.startswith("front.toml, ")
    assert fault.mend.endswith((".", "?"))


def test_plan_with_many_things_wrong_tells_them_all_at_once() -> None:
    told = faults_of(
        """
        titel = "Moss coat"
        [edge]
        straight = "1,5 m"
        [band]
        widht = "40 mm"
        inset = -3
        [closure]
        kind = 3
        [spacing]
        first = "5/8"
        last = { from = 9, to = 8 }
        [[anchor]]
        level = "nan"
        [[clear]]
        name = "belt"
        """
    )
    places = [fault.split(": ")[0].removeprefix("front.toml, ") for fault in told]
    assert places == [
        "titel",
        "[edge] straight",
        "[band] widht",
        "[band] inset",
        "[band] lap",
        "[closure] kind",
        "[closure] size",
        "[spacing] first",
        "[spacing] last",
        "[[anchor]] 1 level",
        "[[anchor]] 1 name",
        '[[clear]] 1 "belt"',
    ]


def test_plan_that_is_empty_tells_the_three_sections_it_needs() -> None:
    told = faults_of("")
    assert [fault.split(":")[0] for fault in told] == [f"front.toml, [{name}]" for name in ("edge", "band", "closure")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("title = 'a'\nwidth = 1 1/2 in\n", r"front\.toml, line 2: .*width = 1 1/2 in\. .*straight quotes"),
        ('width = "1 1/2""', r"front\.toml, line 1: .*single quotes"),
        ("a = 1\na = 2", r"front\.toml, line 2: .*Write every key and every section once"),
        ("[edge]\n[edge]\n", r"front\.toml, line 2: .*once"),
        ("[edge", r"front\.toml, line 1: "),
        ('a = "b', r"front\.toml, line 1: "),
        (f"a = {'9' * 5000}", r"too many digits"),
        ("a = " + "[" * 100_000, r"front\.toml: lists stand too deep"),
        (b"title = 'a'\nb = '\xff'", r"front\.toml, line 2: a sign is not text in UTF-8, right behind b = '\."),
        ("title = 'Fr\u00f6ck'".encode("latin-1"), r"line 1: a sign is not text in UTF-8, right behind title = 'Fr\."),
        (SMALL.encode("utf-16"), r"front\.toml: the file is kept in UTF-16, .* choose UTF-8 as its encoding"),
        (SMALL.encode("utf-16-be"), r"kept in UTF-16"),
    ],
    ids=[
        "no quotes",
        "inch mark",
        "key twice",
        "section twice",
        "open bracket",
        "open quote",
        "digits",
        "deep",
        "latin",
        "accent",
        "utf-16",
        "utf-16 without its mark",
    ],
)
def test_plan_that_is_not_toml_tells_the_line(text: str | bytes, told: str) -> None:
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(PlanError, match=told):
        read_plan(data, "front.toml")


@pytest.mark.parametrize(
    ("text", "told"),
    [("<!DOCTYPE html><html>", "this is a web page"), ("<html>", "this is a web page"), ('{"title": 1}', "in JSON")],
)
def test_page_or_report_in_place_of_a_plan_is_told_for_what_it_is(text: str, told: str) -> None:
    found = other_file(text.encode())
    assert found is not None and found[0].endswith(told.removeprefix("this is ")), found


def test_plan_of_another_kind_of_file_is_told_in_few_lines() -> None:
    assert len(faults_of("\n".join(f"key{n} = {n}" for n in range(5000)) + SMALL)) == 1
    anchors = '[[anchor]]\nname = "a"\nlevel = true\n' * 501
    assert faults_of(SMALL + anchors) == ["front.toml, [[anchor]]: it stands 501 times. Keep it to 500."]


_NAMES = sorted({key.name for section in (TOP, ARC, *SECTIONS) for key in section.keys})
_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["12 mm", "1 1/2 in", "1,5", "both", "in", "right over left"])
)
_VALUES = st.recursive(
    _SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(_NAMES) | st.text(max_size=5), inner, max_size=4)
    ),
    max_leaves=8,
)
_TABLES = st.dictionaries(st.sampled_from(_NAMES) | st.text(max_size=5), _VALUES, max_size=6)


@pytest.mark.in_turn(3)
@pytest.mark.long
@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from([section.name for section in SECTIONS] + [key.name for key in TOP.keys]),
        _VALUES | _TABLES | st.lists(_TABLES, max_size=2),
    )
)
def test_plan_of_anything_at_all_is_a_plan_or_a_plan_error(table: dict[str, object]) -> None:
    try:
        read_table(table, FileNaming("front.toml"), where="front.toml")
    except PlanError as refused:
        assert all(fault.where and fault.what and fault.mend for fault in refused.faults)


def test_a_fault_carries_its_place_as_fields() -> None:
    with pytest.raises(PlanError) as refused:
        read_plan(
            (SMALL + '[[anchor]]\nname = "bust"\nlevel = 3\n[[anchor]]\nname = "waist"\nalong = -3\n').encode(),
            "a.toml",
        )
    (fault,) = refused.value.faults
    where = fault.where
    assert isinstance(where, Where)
    assert (where.file, where.section, where.nth, where.name, where.key) == ("a.toml", "anchor", 2, "waist", "along")
    assert str(fault) == 'a.toml, [[anchor]] 2 "waist" along: -3 is negative. Write a length of 0 or more.'


def test_a_place_within_a_value_keeps_its_key() -> None:
    with pytest.raises(PlanError) as refused:
        read_plan(SMALL.replace('first = "5/8 in"', 'first = { from = "x", to = 3 }').encode(), "a.toml")
    where = refused.value.faults[0].where
    assert isinstance(where, Where)
    assert (where.section, where.nth, where.key, str(where)) == (
        "spacing",
        0,
        "first from",
        "a.toml, [spacing] first from",
    )


def test_a_place_goes_from_one_process_to_another() -> None:
    where = Where(file="a.toml", section="anchor", nth=2, name="waist", key="along")
    again = pickle.loads(pickle.dumps(where))
    assert (again, again.parts) == (where, where.parts)


def test_a_section_spelled_otherwise_is_not_missing_as_well() -> None:
    with pytest.raises(PlanError) as refused:
        read_plan(SMALL.replace("[band]", "[Band]").encode(), "a.toml")
    assert [str(fault) for fault in refused.value.faults] == [
        "a.toml, Band: it is not a section or key known here. Did you mean band?"
    ]


def test_an_unknown_cloth_and_closure_are_told_in_the_same_round_as_everything_else(tmp_path: Path) -> None:
    text = SMALL.replace("prong snap", "prung snap").replace("count = 8", "count = 0")
    path = tmp_path / "a.toml"
    path.write_text(text + '[[layer]]\ncloth = "coton sateen"\n[[layer]]\ncloth = "denim 12 oz"\n', encoding="utf-8")
    with pytest.raises(PlanError) as refused:
        load_plan(path)
    places = [fault.where for fault in refused.value.faults]
    assert places == [
        "a.toml, [spacing] count",
        "a.toml, [closure] kind",
        'a.toml, [[layer]] 1 "coton sateen" cloth',
    ]
    assert "Did you mean prong snap?" in str(refused.value)
    assert "Did you mean cotton sateen?" in str(refused.value)


def test_an_unknown_size_of_a_known_closure_is_told_at_its_key(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(SMALL.replace("16 L", "99 L"), encoding="utf-8")
    with pytest.raises(PlanError, match=r"^a\.toml, \[closure\] size: "):
        load_plan(path)


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("[band", "Close the bracket: [band]."),
        ("[[layer", "Close the bracket: [[layer]]."),
        ("width: 3  # the lap", "Write = in place of the colon: width = 3."),
        ("first = 5/8", 'A text or a length stands between straight quotes: first = "5/8 in".'),
        ("cloth = linen", 'A text or a length stands between straight quotes: cloth = "linen".'),
        ("level = 9 1/4 in  # down", 'A text or a length stands between straight quotes: level = "9 1/4 in".'),
        ("reverse = True", "Write it in small letters: reverse = true."),
        ('drawing = "C:\\Users\\Eva\\front.svg"', "In straight quotes \\ has a meaning of its own: write /"),
        ('first = { from = "50 mm" to = "80 mm" }', "A comma is missing"),
        ('drawing = "A "red" dress"', "A text that holds a quote stands between single quotes"),
        ('width = 1 3/8" in', 'An inch mark and in say the same twice: write width = "1 3/8 in"'),
        ('width = "1 3/8" in', 'An inch mark and in say the same twice: write width = "1 3/8 in"'),
        (
            'width = "1 in" lap = "right over left"',
            'Each key stands on a line of its own: width = "1 in", and below it lap =',
        ),
        ("width = 38, lap = 'right over left'", "Each key stands on a line of its own: width = 38, and below it lap ="),
        ('width = "1 in"; inset = 12', 'Each key stands on a line of its own: width = "1 in", and below it inset = 12'),
        ('width = "1 1/2""', "An inch mark stands between single quotes"),
        (
            'drawing = "Anna"s dress"',
            "A text stands between two straight quotes; one that holds a quote itself, between single ones",
        ),
        ("drawing = 'Anna's dress'", "A text with an apostrophe stands between double quotes"),
        ("width = “24 mm”", "Its quotes are curled"),
        ('width\u00a0= "24 mm"', "It holds a no-break space"),
        ('\u00a0width = "24 mm"', "It holds a no-break space"),
        ('width\u200b = "24 mm"', "It holds a no-break space"),
        ('units = "mm"\u2028', "It holds a no-break space"),
        ('width = "24 mm";', 'A line ends without a sign: width = "24 mm".'),
        ("count = seven", "Write the number in figures: count = 7."),
        ("straight = 600,5", "Write a point for the decimals, and nothing between thousands: straight = 600.5."),
        ("straight = 1.200,5", "Write a point for the decimals, and nothing between thousands: straight = 1200.5."),
        ("straight = 1,200", "Write straight = 1200 if the comma parts thousands, or straight = 1.200 if"),
        ("width = 2,5 cm", 'A text or a length stands between straight quotes: width = "2.5 cm".'),
        ("// the lap", "A note stands after the sign #: # the lap"),
        ("/* the lap */", "A note stands after the sign #: # the lap"),
        ('width = "24 mm" // the lap', 'A note stands after the sign #: width = "24 mm"  # the lap'),
        ("width = 24 mm -- the lap", 'A note stands after the sign #: width = "24 mm"  # the lap'),
        ("count = seven ; of them", "A note stands after the sign #: count = 7  # of them"),
        ("[band] // the lap", "A note stands after the sign #: [band]  # the lap"),
        ("[band] the lap", "Beside the name of a section a note stands after the sign #: [band]  # the lap"),
        ("the lap of it", "A note stands after the sign #: # the lap of it"),
        ("band:", "The name of a section stands in brackets: [band]."),
        ("(band)", "The name of a section stands in brackets: [band]."),
        ("band", "The name of a section stands in brackets: [band]."),
        ("anchor:", "The name of a section stands in brackets: [[anchor]]."),
        ('width "24 mm"', 'Write = between a name and what it is: width = "24 mm".'),
        ('width – "24 mm"', 'Write = between a name and what it is: width = "24 mm".'),
        ("width = «24 mm»", "Its quotes are curled"),
        ('width = "24 mm",', 'A line ends without a sign: width = "24 mm".'),
        ("width = 1½", 'A text or a length stands between straight quotes: width = "1½ in".'),
        ("width = .5", "Write figures before and behind the point, or no point: width = 0.5."),
        ("width = 38.", "Write figures before and behind the point, or no point: width = 38."),
        ("count = 2 layers", "Write the number alone: count = 2."),
        ('title = "y"', "It is told in line 1 already: take one of the two out."),
        ("width = @", 'A text or a length stands between straight quotes, as in width = "1 1/2 in". Or put #'),
    ],
    ids=[
        *(
            "bracket",
            "two brackets",
            "colon",
            "fraction",
            "bare word",
            "bare length",
            "capital",
            "backslash",
            "comma",
            "quote",
            "inch mark and in",
            "inch mark and in in quotes",
            "two keys",
            "two keys and a comma",
            "two keys and a semicolon",
            "inch mark",
        ),
        *("odd quote", "apostrophe", "curled quotes", "no-break space", "no-break indent", "no width"),
        *("line separator", "semicolon", "number in words", "decimal comma", "thousands and comma", "which comma"),
        *("comma and unit", "slashes", "starred note", "note after a value", "dashed note", "note after a semicolon"),
        *("note after a section", "words after a section", "words alone", "section with colon", "section in rounds"),
        *("bare section", "section of several with colon"),
        *("no sign", "dash for a sign", "guillemets", "comma at the end", "half a sign", "point first", "point last"),
        *("counted", "told twice", "anything else"),
    ],
)
def test_line_that_is_no_toml_is_told_with_what_to_write(line, mend):
    with pytest.raises(PlanError) as caught:
        read_plan(f'title = "x"\n{line}\n'.encode(), "plan.toml")
    fault = caught.value.faults[0]
    assert str(fault.where) == "plan.toml, line 2"
    assert fault.mend.startswith(mend) and "Expected" not in str(caught.value)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("", "nothing says what opens"),
        ('opens = "front"', "a body has one front"),
        (
            'opens = "left side"\n[sizes]\nnames = ["S", "M"]\nbase = "M"\ngrade = [["1 mm", "0 mm"], ["1 mm", "2 mm"]]',
            "the plan has several",
        ),
    ],
)
def test_both_sides_of_a_body_are_refused_where_there_are_none(more: str, said: str):
    text = f"""[edge]\nstraight = "300 mm"\n[band]\nwidth = "36 mm"\nlap = "front over back"
[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 4\n[garment]\npair_of_rows = true\n{more}\n"""
    with pytest.raises(PlanError) as caught:
        read_plan(text.encode(), "plan.toml")
    assert any(said in str(fault) and "pair_of_rows" in str(fault.where) for fault in caught.value.faults), caught.value


def test_section_of_several_in_single_brackets_twice_is_told_to_stand_in_double_ones():
    with pytest.raises(PlanError, match=r"line 5: .*write each in double brackets, \[\[layer\]\]"):
        read_plan(b'title = "x"\n[layer]\ncloth = "linen"\n\n[layer]\ncloth = "oxford"\n', "plan.toml")


def test_section_told_twice_names_the_line_of_the_first():
    with pytest.raises(PlanError, match=r"line 4: .*It stands in line 2 already"):
        read_plan(b'title = "x"\n[band]\nwidth = 9\n[band]  # again\ninset = 3\n', "plan.toml")
