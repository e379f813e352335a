"""A plan file: what is read of it, and what is filled in."""

import tomllib
from pathlib import Path

import pytest

from closures.errors import PlanError, Where
from closures.plan.anchors import AnchorWish, ClearWish
from closures.plan.edge import ARC
from closures.plan.kinds import Place, Range
from closures.plan.layers import LayerWish
from closures.plan.plan import SECTIONS, TOP, Plan
from closures.plan.reading import read_plan
from closures.plan.section import Key, Section
from closures.plan.top import NOT_BARE

SMALL = """
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


def plan_of(text: str, where: str = "front.toml") -> Plan:
    return read_plan(text.encode(), where)


def small_with(old: str, new: str) -> Plan:
    assert old in SMALL
    return plan_of(SMALL.replace(old, new))


def test_plan_of_the_needed_keys_fills_in_the_rest() -> None:
    plan = plan_of(SMALL)
    assert (plan.title, plan.units, plan.where) == ("front", "mm", "front.toml")
    assert (plan.drawing, plan.supplies) == (None, None)
    assert plan.edge.straight_mm == 609.6
    assert (plan.edge.path, plan.edge.points, plan.edge.arc) == (None, None, None)
    assert (plan.edge.reverse, plan.edge.level_zero) == (False, None)
    assert (plan.band.width_mm, plan.band.inset_mm) == (38.1, 19.05)
    assert (plan.band.under_width_mm, plan.band.under_inset_mm) == (38.1, 19.05)
    assert (plan.band.lap, plan.band.seen_from) == ("right over left", "outside")
    assert (plan.closure.kind, plan.closure.size) == ("prong snap", "16 L")
    assert (plan.closure.halves, plan.closure.spare, plan.closure.trial) == ("usual", 2, 1)
    assert plan.spacing.first == Range(15.875, 15.875)
    assert plan.spacing.last == Range(50.8, 50.8)
    assert (plan.spacing.count, plan.spacing.pitch_mm) == (8, None)
    assert (plan.anchors, plan.clear, plan.layers) == ((), (), ())


def test_plan_with_every_section_keeps_all_it_says() -> None:
    plan = plan_of(
        """
        title = "Lantern coat"
        units = "in"
        drawing = "front.svg"
        supplies = "my-pack.toml"
        [edge]
        path = "over-edge"
        under = "under-edge"
        line = "closing-line"
        reverse = true
        level_zero = "shoulder-point"
        [band]
        width = 1.5
        under_width = "50 mm"
        inset = "3/4"
        lap = "left over right"
        seen_from = "inside"
        [closure]
        kind = "button"
        size = "24 L"
        cap = "15 mm"
        grip = ["0.5 mm", "1.5 mm"]
        thickness = "3 mm"
        hole = "across"
        halves = "turned"
        spare = 2
        trial = 1
        [spacing]
        first = { from = "1/2 in", to = "3/4 in" }
        last = 2
        pitch = 3
        widest = "3 1/2 in"
        closest = 1
        [[anchor]]
        name = "bust point"
        level = "9 1/4 in"
        which = 2
        [[anchor]]
        name = "waist"
        along = 16
        within = "2 mm"
        [[clear]]
        name = "belt"
        level = ["15 in", "17 in"]
        [[clear]]
        name = "pocket"
        along = [1, 2]
        room = "centre"
        [[layer]]
        cloth = "cotton sateen"
        count = 2
        [[layer]]
        thickness = "0.26 mm"
        on = "under"
        across = ["0 mm", "12 mm"]
        along = ["0 mm", "15 mm"]
        """.replace('"3/4"', '"3/4 in"')
    )
    assert (plan.title, plan.units) == ("Lantern coat", "in")
    assert (plan.drawing, plan.supplies) == ("front.svg", "my-pack.toml")
    edge = plan.edge
    assert (edge.path, edge.under, edge.line) == ("over-edge", "under-edge", "closing-line")
    assert (edge.reverse, edge.level_zero) == (True, "shoulder-point")
    assert (plan.band.width_mm, plan.band.under_width_mm) == (38.1, 50.0)
    # Half of each lap's own width where its inset is not said.
    assert (plan.band.inset_mm, plan.band.under_inset_mm) == (19.05, 25.0)
    assert (plan.band.lap, plan.band.seen_from) == ("left over right", "inside")
    closure = plan.closure
    assert (closure.cap_mm, closure.grip_mm, closure.thickness_mm) == (15.0, (0.5, 1.5), 3.0)
    assert (closure.hole, closure.halves, closure.spare, closure.trial) == ("across", "turned", 2, 1)
    spacing = plan.spacing
    assert (spacing.first, spacing.last) == (Range(12.7, 19.05), Range(50.8, 50.8))
    assert (spacing.pitch_mm, spacing.count) == (76.2, None)
    assert (spacing.widest_mm, spacing.closest_mm) == (88.9, 25.4)
    assert plan.anchors == (
        AnchorWish("bust point", level_mm=234.95, which=2),
        AnchorWish("waist", along_mm=406.4, within_mm=2.0),
    )
    assert plan.clear == (
        ClearWish("belt", level_mm=Range(381.0, 431.8)),
        ClearWish("pocket", along_mm=Range(25.4, 50.8), room="centre"),
    )
    assert plan.layers == (
        LayerWish(cloth="cotton sateen", count=2),
        LayerWish(thickness_mm=0.26, on="under", across_mm=Range(0, 12), along_mm=Range(0, 15)),
    )


def test_plan_of_mixed_units_tells_which_numbers_were_taken_for_mm() -> None:
    mixed = SMALL.replace('"5/8 in"', "16").replace('"2 in"', "{ from = 40, to = 50 }")
    mixed += '[[clear]]\nname = "belt"\nlevel = [300, "34 cm"]\n'
    metric = mixed.replace("24 in", "600 mm").replace("1 1/2 in", "38 mm")
    (told,) = plan_of(metric).bare.told
    assert "mm, though" in told and "first = 16 under [spacing], last = 40, 50 under [spacing], level = 300" in told
    assert "count" not in told
    assert plan_of('units = "mm"\n' + metric).bare == NOT_BARE and plan_of(SMALL).bare == NOT_BARE
    # Where the plan says mm, so it is: those beside inches are named all the same, and none asked for.
    (told,) = plan_of('units = "mm"\n' + mixed).bare.told
    assert "mm, as units has it, though other lengths are in inches: first = 16 under [spacing]" in told
    only_mm = metric.replace("600 mm", "600").replace("38 mm", "38").replace("34 cm", "340")
    assert plan_of(only_mm).bare.is_all and "all are taken as mm" in plan_of(only_mm).bare.told[0]
    # Beside inches it would be a guess.
    with pytest.raises(PlanError) as refused:
        plan_of(mixed)
    assert [fault.where.rpartition(", ")[2] for fault in refused.value.faults] == [
        "[spacing] first",
        "[spacing] last",
        "[[clear]] 1 level",
    ]


def test_plan_edge_of_points_keeps_them_in_order_with_negative_ones() -> None:
    points = 'points = [["0 mm", "0 mm"], [-6, "80 mm"], ["1 in", 160.5]]'
    plan = plan_of('units = "mm"' + SMALL.replace('straight = "24 in"', points))
    assert plan.edge.points == ((0.0, 0.0), (-6.0, 80.0), (25.4, 160.5))


def test_plan_edge_of_an_arc_has_length_radius_and_bow() -> None:
    plan = small_with('straight = "24 in"', 'arc = { length = "600 mm", radius = "420 mm", bows = "out" }')
    assert plan.edge.arc is not None
    assert (plan.edge.arc.length_mm, plan.edge.arc.radius_mm, plan.edge.arc.bows) == (600.0, 420.0, "out")


@pytest.mark.parametrize(
    ("written", "level_zero"),
    [
        ('"shoulder-point"', "shoulder-point"),
        ('"in"', "in"),
        ('"12 mm"', 12.0),
        ('"12"', 12.0),
        ("-3.5", -3.5),
        ('"-1 1/2 in"', -38.1),
    ],
)
def test_plan_level_zero_is_a_y_where_it_reads_as_a_length_and_else_an_id(written: str, level_zero: object) -> None:
    text = 'units = "mm"' + SMALL.replace('straight = "24 in"', f'path = "over-edge"\nlevel_zero = {written}')
    assert plan_of(f'drawing = "front.svg"\n{text}').edge.level_zero == level_zero


@pytest.mark.parametrize(
    ("title", "where", "read"),
    [
        ('title = "Moss coat"', "front.toml", "Moss coat"),
        ('title = "  Moss coat "', "front.toml", "Moss coat"),
        ("", "some/where/moss-coat.toml", "moss-coat"),
        ("", "", "Closures"),
    ],
)
def test_plan_title_is_its_own_or_the_file_name(title: str, where: str, read: str) -> None:
    assert plan_of(f"{title}\n{SMALL}", where).title == read


def test_plan_words_of_a_choice_may_be_written_with_capitals() -> None:
    assert small_with('"right over left"', '"Right over  left"').band.lap == "right over left"


def test_plan_with_a_byte_order_mark_or_other_line_ends_reads_the_same() -> None:
    assert plan_of("\ufeff" + SMALL) == plan_of(SMALL.replace("\n", "\r\n")) == plan_of(SMALL)


def _keys() -> list[tuple[Section, Key]]:
    return [(section, key) for section in (TOP, ARC, *SECTIONS) for key in section.keys]


@pytest.mark.parametrize(("section", "key"), _keys(), ids=[f"{section.name}-{key.name}" for section, key in _keys()])
def test_plan_example_that_a_message_shows_is_itself_right(section: Section, key: Key) -> None:
    value = tomllib.loads(f"it = {key.example}")["it"]
    if isinstance(key.kind, Section):
        needed = {inner.name for inner in key.kind.keys if inner.needed}
        assert needed <= set(value) <= {inner.name for inner in key.kind.keys}
    else:
        assert key.kind(value, Place(Where(told="here"), key.name, "mm")) is not None


def test_a_plan_is_read_from_its_text_as_from_its_bytes():
    told = (Path(__file__).parent.parent / "templates/cape-corner/plan.toml").read_text(encoding="utf-8")
    assert read_plan(told, "p.toml") == read_plan(told.encode(), "p.toml") == read_plan(f"\ufeff{told}", "p.toml")
