"""Values as people write them, for options and for the page: every key's example is shown and understood again."""

import re
import tomllib
from collections.abc import Iterator

import pytest

from closures.errors import PlanError, Where
from closures.plan.kinds import Place
from closures.plan.one_line import meant, shown, two_of
from closures.plan.plan import SECTIONS, TOP
from closures.plan.reading import read_plan
from closures.plan.section import Key, Section

PLACE = Place(Where(told="here"), "here", "mm")


def keys_of(section: Section, way: str = "") -> Iterator[tuple[str, Key]]:
    for key in section.keys:
        name = f"{way or section.name} {key.name}"
        if isinstance(key.kind, Section):
            yield from keys_of(key.kind, name)
        else:
            yield name, key


EVERY_KEY = [pair for section in (TOP, *SECTIONS) for pair in keys_of(section)]


@pytest.mark.parametrize(("name", "key"), EVERY_KEY, ids=[name for name, _ in EVERY_KEY])
def test_an_example_is_shown_as_people_write_it_and_meant_again(name: str, key: Key) -> None:
    assert not isinstance(key.kind, Section)
    held = tomllib.loads(f"key = {key.example}")["key"]
    text = shown(key.kind, held)
    assert not set(text) & set("[]\"'"), text
    assert key.kind(meant(key.kind, text), PLACE) == key.kind(held, PLACE), text


@pytest.mark.parametrize(("name", "key"), EVERY_KEY, ids=[name for name, _ in EVERY_KEY])
def test_a_default_that_is_a_value_can_be_read(name: str, key: Key) -> None:
    assert not isinstance(key.kind, Section)
    if key.default.startswith('"') and key.default.endswith('"'):
        key.kind(tomllib.loads(f"key = {key.default}")["key"], PLACE)


@pytest.mark.parametrize(
    ("way", "text", "held"),
    [
        ("spacing first", "1/2 in to 3/4 in", {"from": "1/2 in", "to": "3/4 in"}),
        ("spacing first", "2–4 in", {"from": "2 in", "to": "4 in"}),
        ("spacing first", "5/8 in", "5/8 in"),
        ("clear level", "15 in to 17 in", ["15 in", "17 in"]),
        ("row over", "13 mm, 33 mm", ["13 mm", "33 mm"]),
        ("row over", "12 mm at 10 mm, 33 mm", [["12 mm", "10 mm"], "33 mm"]),
        ("edge from", "12 mm, 340 mm", ["12 mm", "340 mm"]),
        ("edge from", "level 120 mm, crossing 2", {"level": "120 mm", "which": 2}),
        ("edge path", "over-edge", "over-edge"),
        ("edge path", "page 2, 1; page 3, 1", ["page 2, 1", "page 3, 1"]),
        ("edge path", "page 2, 1", "page 2, 1"),
        ("edge points", "0 mm, 0 mm\n6 mm, 80 mm", [["0 mm", "0 mm"], ["6 mm", "80 mm"]]),
        ("edge points", "measured.csv", "measured.csv"),
        ("edge trace through", "120, 340; 180, 2210", [[120, 340], [180, 2210]]),
        ("edge layers", "sew line = STITCH, boundary = 1", {"sew line": "STITCH", "boundary": "1"}),
        ("belt sizes", "S = 26 in, M = 28 in", {"S": "26 in", "M": "28 in"}),
        ("sizes steps", "-1, 0, 1.5", [-1, 0, 1.5]),
        ("sizes first", "8 = 1/2 in to 3/4 in, 10 = 20 mm", {"8": {"from": "1/2 in", "to": "3/4 in"}, "10": "20 mm"}),
        (
            "sizes level",
            "bust point: step = 4 mm\nwaist: 8 = 1 in",
            {"bust point": {"step": "4 mm"}, "waist": {"8": "1 in"}},
        ),
        ("wearer profiles", "weak hands, child", ["weak hands", "child"]),
        ("sheets coupon", "yes", True),
        ("spacing count", "8", 8),
        ("spacing count", "eight", "eight"),
    ],
)
def test_a_text_means_what_a_plan_would_hold(way: str, text: str, held: object) -> None:
    kind = dict(EVERY_KEY)[way].kind
    assert not isinstance(kind, Section)
    assert meant(kind, text) == held


@pytest.mark.parametrize(
    ("text", "two"),
    [
        ("2 to 4 in", ["2 in", "4 in"]),
        ("2–4 in", ["2 in", "4 in"]),
        ("2 — 4 in", ["2 in", "4 in"]),
        ("2-4 in", ["2 in", "4 in"]),
        ("20 mm - 1 1/4 in", ["20 mm", "1 1/4 in"]),
        # A whole number and a fraction with a hyphen between them are one figure.
        ("1-1/2 in", "1-1/2 in"),
        ("1/2 - 3/4 in", ["1/2 in", "3/4 in"]),
        ("1/2-3/4 in", ["1/2 in", "3/4 in"]),
        ("1-1/2 in - 1 3/4 in", ["1-1/2 in", "1 3/4 in"]),
        ("3/16-5/8 in", ["3/16 in", "5/8 in"]),
        ("1/2 in - 3/4 in", ["1/2 in", "3/4 in"]),
        ("-5 mm", "-5 mm"),
        ("1/2 to 3/4 in", ["1/2 in", "3/4 in"]),
        ("1 1/2 to 2 in", ["1 1/2 in", "2 in"]),
        ("2 mm to 4 in", ["2 mm", "4 in"]),
        ("2 to 4", ["2", "4"]),
        ("2 in", "2 in"),
    ],
)
def test_unit_that_stands_once_holds_for_both_ends_of_a_range(text: str, two: list[str] | str) -> None:
    assert two_of(text) == two


@pytest.mark.parametrize("first", ['"2 to 4 in"', '"2 in to 4 in"', '{ from = "2 in", to = "4 in" }'])
def test_range_is_understood_in_a_plan_file_as_people_write_it(first: str) -> None:
    text = (
        f'[edge]\nstraight = "600 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\n'
        f'size = "16 L"\n[spacing]\nfirst = {first}\nlast = "30 mm"\ncount = 5\n'
        '[[clear]]\nname = "belt"\nlevel = "300 to 320 mm"\n'
    )
    plan = read_plan(text.encode(), "plan.toml")
    assert plan.spacing is not None and (plan.spacing.first.low_mm, plan.spacing.first.high_mm) == (50.8, 101.6)
    assert plan.clear[0].level_mm is not None and plan.clear[0].level_mm.high_mm == 320.0


@pytest.mark.parametrize(
    ("way", "text", "name"),
    [
        ("sizes inset", "step = 1 mm, step = 2 mm", "step"),
        ("sizes level", "bust point: step = 4 mm, step = 5 mm", "step"),
        ("sizes level", "bust point: step = 4 mm\nbust point: step = 6 mm", "bust point"),
        ("belt sizes", "S = 26 in, S = 28 in, M = 30 in", "S"),
        ("way_in rings", "at = bust, at = waist, level = 220 mm, round = 96 cm", "at"),
        ("pull elsewhere", "at = waist, times = 0.5\nat = hip, times = 1, times = 2", "times"),
    ],
)
def test_what_is_told_twice_is_refused_in_place_of_one_of_both_being_dropped(way: str, text: str, name: str) -> None:
    kind = dict(EVERY_KEY)[way].kind
    assert not isinstance(kind, Section)
    with pytest.raises(PlanError, match=f"'{name}' is told twice. Tell it once"):
        kind(meant(kind, text), PLACE)


@pytest.mark.parametrize(
    ("way", "text"),
    [
        ("sizes inset", "4 mm"),
        ("sizes inset", "step 1 mm"),
        ("sizes level", "bust point step = 4 mm"),
        ("sizes level", "bust point: 4 mm"),
        ("pull elsewhere", "waist 0.5"),
        ("way_in zip", "left side, 150 mm to 400 mm"),
    ],
)
def test_table_in_which_something_has_no_name_is_refused_with_what_was_typed(way: str, text: str) -> None:
    kind = dict(EVERY_KEY)[way].kind
    assert not isinstance(kind, Section)
    said = text.partition(": ")[2] or text
    with pytest.raises(PlanError, match=f"'{re.escape(said)}'.*Write "):
        kind(meant(kind, text), PLACE)


def test_quotes_of_a_plan_file_in_a_table_are_no_part_of_its_values() -> None:
    kind = dict(EVERY_KEY)["way_in rings"].kind
    assert not isinstance(kind, Section)
    assert meant(kind, 'at = "bust", level = "220 mm", round = "96 cm"') == meant(
        kind, "at = bust, level = 220 mm, round = 96 cm"
    )
    inches = dict(EVERY_KEY)["belt sizes"].kind
    assert not isinstance(inches, Section)
    assert meant(inches, 'S = 26", M = 28"') == {"S": '26"', "M": '28"'}


@pytest.mark.parametrize(
    ("told", "read"),
    [
        ("60 147 234", ["60", "147", "234"]),
        ("60  147\t234", ["60", "147", "234"]),
        ("60 147 234 mm", ["60 mm", "147 mm", "234 mm"]),
        ("60mm 147mm", ["60mm", "147mm"]),
        ("1/2 in 1 1/2 in 3 in", ["1/2 in", "1 1/2 in", "3 in"]),
        ("2 5 1/2 8 in", ["2 in", "5 1/2 in", "8 in"]),
        ("60; 147; 234", ["60", "147", "234"]),
        ("60\n147\n234", ["60", "147", "234"]),
        ("60, 147 and 234", ["60", "147", "234"]),
        # What may be one figure, or no list at all, stays as it was written, and is refused where it is read.
        ("1 200", ["1 200"]),
        ("1 200 2 400", ["1 200 2 400"]),
        ("300 200 100", ["300 200 100"]),
        ("1 1/2", ["1 1/2"]),
        ("60 mm 147", ["60 mm 147"]),
        ("60 cm 1 m", ["60 cm 1 m"]),
        ("1/0 2", ["1/0 2"]),
    ],
)
def test_list_with_spaces_alone_is_read_where_it_can_be_meant_in_one_way(told: str, read: list[str]) -> None:
    from closures.app.web.fields import FIELDS

    for name in ("swap.places", "belt.caps", "row.under"):
        assert meant(FIELDS[name].kind, told) == read


@pytest.mark.parametrize(
    ("name", "told", "read"),
    [
        ("differs.marks", "1 3 5", [1, 3, 5]),
        ("sizes.steps", "-1 0 1", [-1, 0, 1]),
        ("sizes.names", "8 10 12", ["8", "10", "12"]),
        ("sizes.names", "XS S M L XL", ["XS", "S", "M", "L", "XL"]),
        ("sizes.names", "size small", ["size small"]),
        ("garment.ends", "lower end", ["lower end"]),
        ("wearer.profiles", "child under three", ["child under three"]),
        ("edge.points", "0 0\n6 80\n-2 340", [["0", "0"], ["6", "80"], ["-2", "340"]]),
        ("edge.points", "0 mm 0 mm; 6 mm 80 mm", [["0 mm", "0 mm"], ["6 mm", "80 mm"]]),
        ("edge.points", "points of neck", "points of neck"),
        ("edge.trace.through", "10 20\n30 40", [[10, 20], [30, 40]]),
    ],
)
def test_other_lists_with_spaces_are_read_so_too(name: str, told: str, read: object) -> None:
    from closures.app.web.fields import FIELDS

    assert meant(FIELDS[name].kind, told) == read
