"""Every rule at its limit, just under and just over it: on either lap, left over right, and seen from inside.

Each row is a plan with one figure left open. The plan is read as a user writes it and the report as a program reads
it, so that the rows say what the tool promises, not how it comes to it. Where the limit is published, the row says by
whom; all others are common practice or geometry.
"""

from dataclasses import dataclass
from typing import Any

import pytest
from told import checks_of, refusal_of, report_of

JUST_MM = 0.001
"""Just under and just over: a hundredth of what a chalk can mark, a thousand times what the sums may be out by."""

PLAN = """
{top}
[edge]
{edge}
[garment]
pieces = "separate"

[band]
{band}
lap = "right over left"
[closure]
{closure}
[spacing]
{spacing}
{rest}
"""
STRAIGHT = 'straight = "600 mm"'
WIDE = 'width = "60 mm"'
SNAP = 'kind = "prong snap"\nsize = "16 L"'
POST = 'kind = "post snap"\nsize = "24 L"\ngrip = ["1.0 mm", "2.2 mm"]'
BUTTON = 'kind = "sew-through button"\nsize = "40 L"\nthickness = "6.35 mm"'
EIGHT = "first = 20\nlast = 20\ncount = 8"
RIM = 5.08  # half of 16 line at 0.635 mm (FED871)

WAYS = {
    "right over left": lambda text: text,
    "left over right": lambda text: text.replace('"right over left"', '"left over right"'),
    "seen from inside": lambda text: text.replace('lap = "', 'seen_from = "inside"\nlap = "'),
    "left over right, seen from inside": lambda text: text.replace(
        'lap = "right over left"', 'seen_from = "inside"\nlap = "left over right"'
    ),
}


@dataclass(frozen=True)
class Row:
    """A rule at one of its limits.

    `plan` holds parts of the plan with {x} for the open figure; `under`, `at` and `over` are the results there; `found`
    the figure that the report must tell for it, from the open one; `lap` and `mark` where it must say so.
    """

    name: str
    rule: str
    x: float
    under: str
    at: str
    over: str
    plan: dict[str, str]
    lap: str | None = None
    mark: int | None = None
    found: Any = None
    limit: float | None = None
    just: float = JUST_MM
    files: tuple[tuple[str, str], ...] = ()


def words_of(row: Row, x: float) -> str:
    parts = {
        "top": "", "edge": STRAIGHT, "band": WIDE, "closure": SNAP, "spacing": EIGHT, "rest": "",
    } | row.plan  # fmt: skip
    return PLAN.format(**{name: part.replace("{x}", f"{x:.9g}") for name, part in parts.items()})


def on(lap: str, over: str, under: str) -> str:
    return over if lap == "over" else under


LAPS = ("over", "under")
TIGHT_PACK = '[[fastener]]\nkind = "prong snap"\nsize = "16 L"\ncap = 10.16\nleast_pitch = 8\nsource = "caliper"\n'

ROWS = [
    # Half the cap and 1/4 in: ASDP garment standards (closures).
    *(
        Row(
            f"edge distance, half the cap and a quarter inch, {lap}", "edge distance", RIM + 6.35, "warn", "pass",
            "pass", {"band": WIDE + on(lap, '\ninset = "{x} mm"', '\ninset = "30 mm"\nunder_inset = "{x} mm"')},
            lap, found=lambda x: x, limit=RIM + 6.35,
        )
        for lap in LAPS
    ),
    *(
        Row(
            f"edge distance, half the cap and 3 mm, {lap}", "edge distance", RIM + 3, "fail", "warn", "warn",
            {"band": WIDE + on(lap, '\ninset = "{x} mm"', '\ninset = "30 mm"\nunder_inset = "{x} mm"')},
            lap, found=lambda x: x,
        )
        for lap in LAPS
    ),
    # Hooks stand 1/8 in from the edge: NMSU C-232.
    Row(
        "edge distance of a hook", "edge distance", 3.175, "warn", "pass", "pass",
        {"closure": 'kind = "hook and eye"\nsize = "2"', "band": 'width = "30 mm"\ninset = "{x} mm"'},
        "over", found=lambda x: x, limit=3.175,
    ),
    Row(
        "neighbour distance, room for the tool", "neighbour distance", 6, "warn", "pass", "pass",
        {
            "top": 'supplies = "pack.toml"', "edge": 'straight = "{x} mm"',
            "spacing": "first = 20\nlast = 20\ncount = 2",
        },
        found=lambda x: x, limit=6, files=(("pack.toml", TIGHT_PACK),),
    ),
    Row(
        "neighbour distance, the rims meet", "neighbour distance", 2 * JUST_MM, "warn", "warn", "warn",
        {
            "top": 'supplies = "pack.toml"', "edge": 'straight = "{x} mm"',
            "spacing": "first = 20\nlast = 20\ncount = 2",
        },
        files=(("pack.toml", TIGHT_PACK),),
    ),
    Row(
        "neighbour distance, the rims overlap", "neighbour distance", 0, "fail", "fail", "warn",
        {
            "top": 'supplies = "pack.toml"', "edge": 'straight = "{x} mm"',
            "spacing": "first = 20\nlast = 20\ncount = 2",
        },
        files=(("pack.toml", TIGHT_PACK),),
    ),
    *(
        Row(
            f"band width, clear of the seam, {lap}", "band width", 20 + RIM + 3, "warn", "pass", "pass",
            {"band": on(lap, 'width = "{x} mm"\nunder_width = "60 mm"', 'width = "60 mm"\nunder_width = "{x} mm"')
             + '\ninset = "20 mm"\nunder_inset = "20 mm"'},
            lap, found=lambda x: x - 20 - RIM, limit=3,
        )
        for lap in LAPS
    ),
    *(
        Row(
            f"band width, the rim on the band, {lap}", "band width", 20 + RIM, "fail", "warn", "warn",
            {"band": on(lap, 'width = "{x} mm"\nunder_width = "60 mm"', 'width = "60 mm"\nunder_width = "{x} mm"')
             + '\ninset = "20 mm"\nunder_inset = "20 mm"'},
            lap, found=lambda x: x - 20 - RIM,
        )
        for lap in LAPS
    ),
    *(
        Row(
            f"layer thickness, the grip's {end}, {lap}", "layer thickness", x, under, "pass", over,
            {"closure": POST, "rest": f'[[layer]]\nthickness = "{{x}} mm"\non = "{lap}"\n[[layer]]\nthickness = "1.5 mm"\non = "{other}"'},
            # Thicknesses are told, and judged, in hundredths of a millimetre.
            lap, found=lambda x: x, just=0.01,
        )
        for lap, other in (LAPS, LAPS[::-1])
        for end, x, under, over in (("least", 1.0, "fail", "pass"), ("most", 2.2, "pass", "fail"))
    ),
    *(
        Row(
            f"ridge, near the rim, {lap}", "ridge", 30 - RIM - 3, "pass", "pass", "warn",
            {"rest": f'[[layer]]\nthickness = 0.3\n[[layer]]\nthickness = 0.3\non = "{lap}"\nacross = ["0 mm", "{{x}} mm"]'},
            lap,
        )
        for lap in LAPS
    ),
    *(
        Row(
            f"ridge, under the flange, {lap}", "ridge", 30 - RIM, "warn", "warn", "fail",
            {"rest": f'[[layer]]\nthickness = 0.3\n[[layer]]\nthickness = 0.3\non = "{lap}"\nacross = ["0 mm", "{{x}} mm"]'},
            lap, found=lambda x: 30 - RIM - x, limit=3,
        )
        for lap in LAPS
    ),
    Row(
        "ridge, a layer that ends along the line", "ridge", 20 + RIM, "fail", "warn", "warn",
        {"rest": '[[layer]]\nthickness = 0.3\n[[layer]]\nthickness = 0.3\nalong = ["0 mm", "{x} mm"]'},
        "over", mark=1, found=lambda x: x - 20 - RIM, limit=3,
    ),
    # A strip on the bias bears 10 % across its width, so a radius of five widths: from memory.
    *(
        Row(
            f"curve, band widths, bows {bows}, {lap}", "curve", 90, "warn", "pass", "pass",
            {
                "edge": f'arc = {{{{ length = "300 mm", radius = "{{x}} mm", bows = "{bows}" }}}}'.replace("{{", "{").replace("}}", "}"),
                "band": on(lap, 'width = "{w} mm"\nunder_width = "14 mm"', 'width = "14 mm"\nunder_width = "{w} mm"')
                .replace("{w}", str((90 - 12 * way) / 5)) + '\ninset = "12 mm"\ncut = "bias"',
                "spacing": "first = 20\nlast = 20\ncount = 4",
            },
            lap, found=lambda x, way=way: x - 12 * way, limit=90 - 12 * way,
        )
        for lap in LAPS
        for bows, way in (("out", 1), ("in", -1))
    ),
    # Even gaps on the front of a shirt, 3 to 3 1/2 in: ICAR.
    Row(
        "widest gap, usual on a shirt", "widest gap", 88.9, "pass", "pass", "warn",
        {"edge": 'straight = "{x} mm"', "spacing": "first = 20\nlast = 20\ncount = 2"},
        mark=1, found=lambda x: x, limit=88.9,
    ),
    # First and last at least 1/2 in from a finished end: an industry patternmaker.
    *(
        Row(
            f"end distance, half an inch, {end}", "end distance", 12.7, "warn", "pass", "pass",
            {"spacing": on(end, 'first = "{x} mm"\nlast = 20\ncount = 8', 'first = 20\nlast = "{x} mm"\ncount = 8')},
            mark=mark, found=lambda x: x, limit=12.7,
        )
        for end, mark in (("over", 1), ("under", 8))
    ),
    *(
        Row(
            f"end distance, the rim at the end, {end}", "end distance", RIM, "fail", "warn", "warn",
            {"spacing": on(end, 'first = "{x} mm"\nlast = 20\ncount = 8', 'first = 20\nlast = "{x} mm"\ncount = 8')},
            mark=mark, found=lambda x: x,
        )
        for end, mark in (("over", 1), ("under", 8))
    ),
    # 1 in across and 1/4 in thick: 31.75 mm long, of which 3.175 before the mark (Bulletin 576).
    *(
        Row(
            f"buttonhole along, {end} {what}", "buttonhole", reach + room, under, at, over,
            {
                "closure": BUTTON, "band": 'width = "80 mm"',
                "spacing": on(end, 'first = "{x} mm"\nlast = 40\ncount = 6', 'first = 30\nlast = "{x} mm"\ncount = 6'),
            },
            "over", mark=mark, found=lambda x, reach=reach: x - reach,
        )
        for end, mark, reach in (("over", 1, 3.175), ("under", 6, 28.575))
        for what, room, under, at, over in (
            ("with cloth beyond it", 3, "warn", "pass", "pass"), ("on the cloth", 0, "fail", "warn", "warn"),
        )
    ),
    *(
        Row(
            f"buttonhole across, towards the {end} {what}", "buttonhole", reach + room, under, at, over,
            {
                "closure": BUTTON + '\nhole = "across"',
                "band": on(end, 'width = "90 mm"\ninset = "{x} mm"', f'width = "{reach + 40 + room} mm"\ninset = "{{x}} mm"'),
                "spacing": "first = 30\nlast = 40\ncount = 6",
            },
            "over", found=lambda x, reach=reach: x - reach,
        )
        for end, reach in (("over", 3.175),)
        for what, room, under, at, over in (
            ("with cloth beyond it", 3, "warn", "pass", "pass"), ("on the cloth", 0, "fail", "warn", "warn"),
        )
    ),
    *(
        Row(
            f"buttonhole across, towards the seam {what}", "buttonhole", 40 + 28.575 + room, under, at, over,
            {
                "closure": BUTTON + '\nhole = "across"', "band": 'width = "{x} mm"\ninset = "40 mm"',
                "spacing": "first = 30\nlast = 40\ncount = 6",
            },
            "over", found=lambda x: x - 40 - 28.575,
        )
        for what, room, under, at, over in (
            ("with cloth beyond it", 3, "warn", "pass", "pass"), ("on the cloth", 0, "fail", "warn", "warn"),
        )
    ),
    Row(
        "wearer, a cap for weak hands", "wearer", 15, "warn", "pass", "pass",
        {"closure": SNAP + '\ncap = "{x} mm"', "rest": '[wearer]\nprofiles = ["weak hands"]'},
        found=lambda x: x, limit=15,
    ),
]  # fmt: skip

NEIGHBOURS = {row.name for row in ROWS if row.rule == "neighbour distance"}


def result_at(row: Row, x: float, way: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The decisive check of a row's rule and the whole report."""
    if row.name in NEIGHBOURS:
        x += 40 + 2 * RIM  # the open figure is the room between two rims; the edge is longer by two caps and both ends
    if row.name.startswith("widest"):
        x += 40
    told = report_of(WAYS[way](words_of(row, x)), {name: text.encode() for name, text in row.files})
    order = ("pass", "warn", "fail")
    found = checks_of(told, row.rule, row.lap)
    return max(found, key=lambda one: (order.index(one["result"]), one["mark"] == row.mark)), told


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("way", list(WAYS))
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_rule_at_its_limit_just_under_and_just_over(row: Row, way: str) -> None:
    for x, result in ((row.x - row.just, row.under), (row.x, row.at), (row.x + row.just, row.over)):
        found, told = result_at(row, x, way)
        assert found["result"] == result, (x, found["text"])
        if row.found is not None and found["found_mm"] is not None:
            assert found["found_mm"] == pytest.approx(row.found(x), abs=2e-4), found["text"]
        if row.limit is not None and result != "fail":
            assert found["limit_mm"] == pytest.approx(row.limit, abs=1e-4), found["text"]
        if row.mark is not None and result != "pass":
            assert found["mark"] == row.mark
        if row.lap is not None:
            others = checks_of(told, row.rule, "under" if row.lap == "over" else "over")
            assert {one["result"] for one in others} <= {"pass"} or "along" in row.name, others


# What is counted


@pytest.mark.parametrize("lap", LAPS)
@pytest.mark.parametrize(
    ("layer", "result"),
    [
        # Two layers of cloth or an interfacing: ICAR; NMSU C-232.
        pytest.param('cloth = "poplin"\ncount = 1', "warn", id="one layer"),
        pytest.param('cloth = "poplin"\ncount = 2', "pass", id="two layers"),
        pytest.param('cloth = "poplin"\ncount = 3', "pass", id="three layers"),
        pytest.param('cloth = "jersey"\ncount = 4', "warn", id="knit alone"),
    ],
)
def test_backing_counts_layers_on_each_lap(lap: str, layer: str, result: str) -> None:
    other = "under" if lap == "over" else "over"
    rest = f'[[layer]]\n{layer}\non = "{lap}"\n[[layer]]\ncloth = "poplin"\ncount = 2\non = "{other}"\n'
    told = report_of(words_of(plain(rest=rest), 0))
    assert {one["result"] for one in checks_of(told, "backing", lap)} == {result}
    assert {one["result"] for one in checks_of(told, "backing", other)} == {"pass"}


def plain(**parts: str) -> Row:
    """A plan with nothing left open."""
    return Row("", "", 0, "", "", "", parts)


@pytest.mark.parametrize(("inset", "result"), [(25.9, "pass"), (26, "warn"), (28, "warn"), (29, "fail")])
def test_turned_edge_of_a_facing_lies_at_the_inner_end_of_the_band(inset: float, result: str) -> None:
    # On a band of 40 mm what is turned under by 6 lies from 34 to 40 mm: a rim of 5.08 meets it from an inset of 28.92.
    rest = (
        '[bands]\nallowance = "10 mm"\nturn = "6 mm"\nturn_cloth = "poplin"\n[[layer]]\ncloth = "poplin"\ncount = 2\n'
    )
    told = report_of(words_of(plain(band=f'width = "40 mm"\ninset = "{inset} mm"', rest=rest), 0))
    # The allowance of 10 beside it is asked for by itself.
    found = [one for one in checks_of(told, "ridge", "over") if "seam allowance" not in one["text"]]
    assert {one["result"] for one in found} == ({result} - {"pass"})


@pytest.mark.parametrize(("count", "result"), [(5, "pass"), (6, "pass"), (7, "warn")])
def test_quick_change_counts_closures(count: int, result: str) -> None:
    rest = '[wearer]\nprofiles = ["quick change"]'
    told = report_of(words_of(plain(rest=rest, spacing=f"first = 20\nlast = 20\ncount = {count}"), 0))
    assert [one["result"] for one in checks_of(told, "wearer")] == [result]


@pytest.mark.parametrize(
    ("kind", "wearer", "result"),
    [
        ("magnetic snap", "", "warn"),
        ("magnetic snap", '[wearer]\nprofiles = ["implants"]', "fail"),
        ("magnetic snap", '[wearer]\nimplants = "some"', "fail"),
        ("magnetic snap", '[wearer]\nimplants = "none"', "pass"),
        ("magnetic snap", '[wearer]\nprofiles = ["child"]\nimplants = "none"', "fail"),
        ("prong snap", '[wearer]\nprofiles = ["implants"]', "pass"),
    ],
)
def test_magnets_are_asked_about_before_they_are_chosen(kind: str, wearer: str, result: str) -> None:
    size = "18 mm" if kind == "magnetic snap" else "16 L"
    told = report_of(words_of(plain(closure=f'kind = "{kind}"\nsize = "{size}"', rest=wearer), 0))
    results = {one["result"] for one in checks_of(told, "wearer")}
    assert result in results and ("fail" in results) == (result == "fail")


# What no row may break: the placing itself at its limits

HARD = [
    # On a straight of 600 mm, two closures: the one gap is what the ends leave.
    ("closest", 560, 'straight = "{x} mm"', "first = 0\nlast = 0\ncount = 2\nclosest = 560", "no", "yes", "yes"),
    ("widest", 560, 'straight = "{x} mm"', "first = 0\nlast = 0\ncount = 2\nwidest = 560", "yes", "yes", "no"),
    # A prong snap of 16 line takes its cap and 6 mm for the tool.
    ("the closure's own least pitch", 16.16, 'straight = "{x} mm"', "first = 0\nlast = 0\ncount = 2", "no", "yes", "yes"),
    ("first, its least", 40, STRAIGHT, "first = {{ from = {x}, to = 100 }}\nlast = 0\ncount = 2\nclosest = 560", "yes", "yes", "no"),
    ("first, its most", 40, STRAIGHT, "first = {{ from = 0, to = {x} }}\nlast = 0\ncount = 2\nwidest = 560", "no", "yes", "yes"),
    ("last, its most", 40, STRAIGHT, "first = 0\nlast = {{ from = 0, to = {x} }}\ncount = 2\nwidest = 560", "no", "yes", "yes"),
    ("last, its least", 40, 'straight = "600 mm"', "first = 0\nlast = {{ from = {x}, to = 100 }}\ncount = 2\nclosest = 560", "yes", "yes", "no"),
]  # fmt: skip


@pytest.mark.parametrize("way", list(WAYS))
@pytest.mark.parametrize(("name", "x", "edge", "spacing", "under", "at", "over"), HARD, ids=[row[0] for row in HARD])
def test_hard_rule_at_its_limit(
    name: str, x: float, edge: str, spacing: str, under: str, at: str, over: str, way: str
) -> None:
    for figure, placed in ((x - JUST_MM, under), (x, at), (x + JUST_MM, over)):
        row = plain(edge=edge, spacing=spacing.replace("{{", "{").replace("}}", "}"))
        text = WAYS[way](PLAN.format(top="", band=WIDE, closure=SNAP, rest="", **{
            part: words.replace("{x}", f"{figure:.9g}") for part, words in row.plan.items()
        }))  # fmt: skip
        refused = refusal_of(text)
        assert (refused == "") == (placed == "yes"), (figure, refused)


@pytest.mark.parametrize("way", list(WAYS))
@pytest.mark.parametrize(
    ("room", "rim"), [pytest.param("rim", RIM, id="no rim"), pytest.param("centre", 0.0, id="no centre")]
)
@pytest.mark.parametrize("told_as", ["along", "level"])
def test_clear_zone_is_kept_clear_to_its_border_and_no_further(told_as: str, room: str, rim: float, way: str) -> None:
    def row(low: float, high: float) -> str:
        rest = f'[[clear]]\nname = "belt"\n{told_as} = ["{low:.9g} mm", "{high:.9g} mm"]\nroom = "{room}"'
        return WAYS[way](words_of(plain(spacing="first = 20\nlast = 20\ncount = 8", rest=rest), 0))

    even = [20 + 80 * i for i in range(8)]
    # Marks 3 and 4 stand at 180 and 260: a zone that just leaves them alone changes nothing.
    for low, high, stays in (
        (180 + rim, 260 - rim, True),
        (180 + rim + JUST_MM, 260 - rim - JUST_MM, True),
        (180 + rim - 0.01, 260 - rim, False),
        (180 + rim, 260 - rim + 0.01, False),
    ):
        told = report_of(row(low, high))
        found = [mark["along_mm"] for mark in told["marks"]]
        assert (found == pytest.approx(even, abs=1e-3)) == stays, (low, high)
        assert all(not low - rim + 2e-4 < at < high + rim - 2e-4 for at in found)
        (check,) = checks_of(told, "clear zone")
        assert check["result"] == "pass" and check["found_mm"] >= -1e-4


@pytest.mark.parametrize("way", list(WAYS))
def test_clear_zone_from_the_first_end_leaves_no_centre_on_that_end(way: str) -> None:
    # A zone from 0 closes the end itself too: a closure whose centre stood on it would be half inside.
    rest = '[[clear]]\nname = "hem turn"\nalong = ["0 mm", "30 mm"]'
    spacing = "first = { from = 0, to = 60 }\nlast = 20\ncount = 8"
    told = report_of(WAYS[way](words_of(plain(spacing=spacing, rest=rest), 0)))
    assert told["marks"][0]["along_mm"] >= 30 + RIM - 1e-4
    rest = '[[clear]]\nname = "hem turn"\nalong = ["560 mm", "600 mm"]'
    spacing = "first = 20\nlast = { from = 0, to = 60 }\ncount = 8"
    told = report_of(WAYS[way](words_of(plain(spacing=spacing, rest=rest), 0)))
    assert told["marks"][-1]["along_mm"] <= 560 - RIM + 1e-4
    spacing = "first = 0\nlast = 20\ncount = 8"
    rest = '[[clear]]\nname = "hem turn"\nalong = ["0 mm", "30 mm"]'
    assert "hem turn" in refusal_of(WAYS[way](words_of(plain(spacing=spacing, rest=rest), 0)))


@pytest.mark.parametrize("way", list(WAYS))
def test_anchor_is_met_within_what_it_allows_and_no_further(way: str) -> None:
    for within, meets in ((5 - 0.02, False), (5, True), (5 + JUST_MM, True)):
        # The ends are fixed and so is the count: the mark at 180 may move only as the other gaps do.
        rest = f'[[anchor]]\nname = "bust point"\nalong = "185 mm"\nwithin = "{within:.9g} mm"'
        told = report_of(WAYS[way](words_of(plain(rest=rest), 0)))
        (mark,) = [mark for mark in told["marks"] if mark["anchor"] == "bust point"]
        assert abs(mark["along_mm"] - 185) <= within + 1e-4
        assert mark["shift_mm"] == pytest.approx(mark["along_mm"] - 185, abs=2e-4)
        assert (told["spacing"]["spread_mm"] < 1e-3) == meets


@pytest.mark.parametrize("way", list(WAYS))
def test_each_anchor_names_the_mark_that_serves_it(way: str) -> None:
    rest = "".join(
        f'[[anchor]]\nname = "{name}"\nalong = "{at} mm"\n' for name, at in (("bust point", 180), ("waist", 420))
    )
    told = report_of(WAYS[way](words_of(plain(rest=rest), 0)))
    assert {mark["anchor"]: mark["n"] for mark in told["marks"] if mark["anchor"]} == {"bust point": 3, "waist": 6}


def test_anchor_that_two_names_share_is_told_by_the_first_of_them() -> None:
    rest = "".join(
        f'[[anchor]]\nname = "{name}"\nalong = "{at} mm"\nwithin = "30 mm"\n'
        for name, at in (("bust point", 178), ("rib", 183))
    )
    told = report_of(words_of(plain(rest=rest), 0))
    (served,) = [mark for mark in told["marks"] if mark["anchor"]]
    assert (served["n"], served["anchor"], served["shift_mm"]) == (3, "bust point", pytest.approx(2, abs=1e-3))
    assert [one["name"] for one in told["anchors"]] == ["bust point", "rib"]


# A line that meets one level three times: down, up a little, and down again.
WAVE = b"""<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="600mm" viewBox="0 0 400 600">
<path id="edge" d="M 100 100 V 300 C 100 400 200 400 200 330 C 200 260 300 260 300 360 V 500"/>
<circle id="bust" cx="118" cy="200" r="1"/></svg>"""


@pytest.mark.parametrize("which", [0, 1, 2, 3, 4])
def test_which_of_several_crossings_counts_from_one_to_all_of_them(which: int) -> None:
    rest = f'[[anchor]]\nname = "dart"\nlevel = "235 mm"\nwhich = {which}\n'
    text = words_of(
        plain(
            top='drawing = "wave.svg"', edge='path = "edge"', band='width = "30 mm"', rest=rest,
            spacing="first = { from = 10, to = 40 }\nlast = { from = 10, to = 80 }\npitch = 60",
        ), 0,
    )  # fmt: skip
    if which in (0, 4):
        assert "which" in refusal_of(text, {"wave.svg": WAVE})
        return
    one_by_one = [
        report_of(text.replace(f"which = {which}", f"which = {n}"), {"wave.svg": WAVE})["anchors"][0]["along_mm"]
        for n in (1, 2, 3)
    ]
    assert one_by_one == sorted(one_by_one) and len(set(one_by_one)) == 3
    told = report_of(text, {"wave.svg": WAVE})
    (mark,) = [mark for mark in told["marks"] if mark["anchor"] == "dart"]
    assert mark["along_mm"] == pytest.approx(one_by_one[which - 1], abs=1e-3)
    assert mark["level_mm"] == pytest.approx(235, abs=1e-3)


# A front drawn twice: from outside, and mirrored as it is seen from inside. Both must come to the same marks.
def front(mirrored: bool) -> bytes:
    def x(value: float) -> float:
        return 300 - value if mirrored else value

    edge = f"M {x(200)} 40 C {x(214)} 140 {x(230)} 220 {x(226)} 300 C {x(222)} 400 {x(206)} 480 {x(210)} 560"
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        f'<path id="edge" d="{edge}"/><circle id="bust" cx="{x(212)}" cy="262" r="2"/></svg>'
    ).encode()


@pytest.mark.parametrize("at", ['"bust"', '["212 mm", "262 mm"]'], ids=["a point of the drawing", "two figures"])
def test_point_of_a_drawing_seen_from_inside_is_turned_over_with_its_edge(at: str) -> None:
    def row(inside: bool) -> dict[str, Any]:
        where = at.replace("212 mm", "88 mm") if inside else at
        text = words_of(
            plain(
                top='drawing = "front.svg"', edge='path = "edge"', band='width = "34 mm"',
                rest=f'[[anchor]]\nname = "bust point"\nat = {where}',
                spacing="first = { from = 10, to = 40 }\nlast = { from = 10, to = 60 }\npitch = 76",
            ), 0,
        )  # fmt: skip
        text = WAYS["seen from inside"](text) if inside else text
        return report_of(text, {"front.svg": front(inside)})

    outside, inside = row(False), row(True)
    for one, other in zip(outside["marks"], inside["marks"], strict=True):
        # x and y are those of the drawing: the one drawn from inside is mirrored about x = 150.
        assert (one["x_mm"], one["y_mm"]) == pytest.approx((300 - other["x_mm"], other["y_mm"]), abs=2e-4)
        assert (one["along_mm"], one["level_mm"]) == pytest.approx((other["along_mm"], other["level_mm"]), abs=2e-4)
        assert one["anchor"] == other["anchor"]
        for lap in ("over", "under"):
            assert {key: value for key, value in one[lap].items() if key != "x_mm"} == pytest.approx(
                {key: value for key, value in other[lap].items() if key != "x_mm"}, abs=2e-4
            )
    assert any(mark["anchor"] == "bust point" for mark in outside["marks"])


@pytest.mark.parametrize(
    ("inset", "refused"),
    [("0 mm", True), ("0.005 mm", True), ("0.02 mm", False)],
    ids=["on it", "all but", "beside it"],
)
def test_closing_line_on_the_edge_is_refused(inset: str, refused: bool) -> None:
    # Drawn along the edge itself, and told by an inset: no closure can be set on an edge.
    moved = float(inset.split()[0])
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        f'<path id="edge" d="M 200 40 V 540"/><path id="line" d="M {200 - moved} 40 V 540"/></svg>'
    ).encode()
    text = words_of(plain(top='drawing = "a.svg"', edge='path = "edge"\nline = "line"'), 0)
    told = refusal_of(text, {"a.svg": drawing})
    assert ("is not on the cloth" in told) == refused, told
    wrong = drawing.replace(b'"line" d="M %s ' % str(200 - moved).encode(), b'"line" d="M 220 ').replace(
        b'"line" d="M 200 ', b'"line" d="M 220 '
    )
    assert "is not on the cloth of the over lap" in refusal_of(text, {"a.svg": wrong})


def test_inset_is_half_the_width_where_it_is_not_told_and_the_under_band_follows_the_over_band() -> None:
    told = report_of(words_of(plain(band='width = "50 mm"'), 0))
    assert {(m["over"]["edge_distance_mm"], m["under"]["edge_distance_mm"]) for m in told["marks"]} == {(25.0, 25.0)}
    told = report_of(words_of(plain(band='width = "50 mm"\nunder_width = "36 mm"'), 0))
    assert {(m["over"]["edge_distance_mm"], m["under"]["edge_distance_mm"]) for m in told["marks"]} == {(25.0, 18.0)}
    told = report_of(words_of(plain(band='width = "50 mm"\nunder_width = "36 mm"\ninset = "20 mm"'), 0))
    assert {m["over"]["edge_distance_mm"] for m in told["marks"]} == {20.0}


@pytest.mark.parametrize("way", list(WAYS))
@pytest.mark.parametrize("lap", LAPS)
def test_band_that_one_lap_cannot_turn_fails_on_that_lap_alone(lap: str, way: str) -> None:
    # An arc of radius 100 that bows out: its band can be 100 mm wide and no wider.
    wide = {"over": "120 mm", "under": "40 mm"} if lap == "over" else {"over": "50 mm", "under": "150 mm"}
    band = f'width = "{wide["over"]}"\nunder_width = "{wide["under"]}"\ninset = "20 mm"\nunder_inset = "20 mm"'
    arc = 'arc = { length = "150 mm", radius = "100 mm", bows = "' + on(lap, "out", "in") + '" }'
    told = report_of(WAYS[way](words_of(plain(edge=arc, band=band, spacing="first = 15\nlast = 15\ncount = 3"), 0)))
    assert {one["lap"] for one in checks_of(told, "curve") if one["result"] == "fail"} == {lap}


@pytest.mark.parametrize(("degrees", "result"), [(19.9, "pass"), (20.1, "warn")])
def test_corner_is_told_from_twenty_degrees(degrees: float, result: str) -> None:
    import math

    x = 200 + 200 * math.tan(math.radians(degrees))
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="500mm" viewBox="0 0 400 500">'
        f'<path id="edge" d="M 200 40 V 240 L {x} 440"/></svg>'
    ).encode()
    text = words_of(
        plain(top='drawing = "a.svg"', edge='path = "edge"', band='width = "30 mm"', spacing="first = 20\nlast = 20\ncount = 5"), 0
    )  # fmt: skip
    assert {one["result"] for one in checks_of(report_of(text, {"a.svg": drawing}), "curve")} == {result}


# The rim of 5.08 mm where the drawn laps cover each other by so much, on either hand of the line.
@pytest.mark.parametrize("way", ["right over left", "left over right"])
@pytest.mark.parametrize("narrow", LAPS)
@pytest.mark.parametrize(("room", "result"), [(RIM - 0.01, "fail"), (RIM, "pass"), (RIM + 0.01, "pass")])
def test_overlap_of_drawn_laps_at_the_rim(room: float, result: str, narrow: str, way: str) -> None:
    sign = 1 if way == "right over left" else -1
    over, under = (room, 20) if narrow == "over" else (20, room)
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        f'<path id="over" d="M {150 + sign * over} 40 V 540"/><path id="under" d="M {150 - sign * under} 40 V 540"/>'
        '<path id="line" d="M 150 40 V 540"/></svg>'
    ).encode()
    text = WAYS[way](
        words_of(plain(top='drawing = "a.svg"', edge='path = "over"\nunder = "under"\nline = "line"', spacing="first = 20\nlast = 20\ncount = 5"), 0)
    )  # fmt: skip
    told = checks_of(report_of(text, {"a.svg": drawing}), "overlap")
    assert {one["result"] for one in told} == {result}
    assert told[0]["found_mm"] == pytest.approx(room - RIM, abs=1e-3)


@pytest.mark.parametrize("way", ["right over left", "left over right"])
def test_centre_outside_what_both_laps_cover_is_told_by_how_far(way: str) -> None:
    # The over band ends 5 mm before it reaches the line.
    sign = 1 if way == "right over left" else -1
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
        f'<path id="over" d="M {150 + sign * 65} 40 V 540"/><path id="under" d="M {150 - sign * 20} 40 V 540"/>'
        '<path id="line" d="M 150 40 V 540"/></svg>'
    ).encode()
    edge = 'path = "over"\nunder = "under"\nline = "line"'
    text = WAYS[way](words_of(plain(top='drawing = "a.svg"', edge=edge), 0))
    told = checks_of(report_of(text, {"a.svg": drawing}), "overlap")
    assert {one["result"] for one in told} == {"fail"}
    assert told[0]["found_mm"] == pytest.approx(-5.0 - RIM, abs=1e-3)


@pytest.mark.parametrize("turned", ["line", "under"])
def test_way_in_which_a_further_line_is_drawn_changes_nothing(turned: str) -> None:
    # Only the edge says which end is the first; the row is longer at its last end.
    ways = {"under": "M 130 40 V 540", "line": "M 150 40 V 540"}
    spacing = "first = 20\nlast = 90\ncount = 5"

    def told(lines: dict[str, str]) -> list[float]:
        drawing = (
            '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
            f'<path id="over" d="M 170 40 V 540"/><path id="under" d="{lines["under"]}"/>'
            f'<path id="line" d="{lines["line"]}"/></svg>'
        ).encode()
        edge = 'path = "over"\nunder = "under"\nline = "line"'
        text = words_of(plain(top='drawing = "a.svg"', edge=edge, spacing=spacing), 0)
        return [mark["y_mm"] for mark in report_of(text, {"a.svg": drawing})["marks"]]

    back = {**ways, turned: ways[turned].replace(" 40 V 540", " 540 V 40")}
    assert told(back) == pytest.approx(told(ways)) and told(ways)[0] == pytest.approx(60.0)


def test_edge_that_was_drawn_from_its_last_end_is_turned_by_reverse() -> None:
    def told(way: str, more: str) -> list[float]:
        drawing = (
            '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="600mm" viewBox="0 0 300 600">'
            f'<path id="over" d="{way}"/></svg>'
        ).encode()
        edge, spacing = 'path = "over"' + more, "first = 20\nlast = 90\ncount = 5"
        text = words_of(plain(top='drawing = "a.svg"', edge=edge, spacing=spacing), 0)
        return [mark["y_mm"] for mark in report_of(text, {"a.svg": drawing})["marks"]]

    down = told("M 170 40 V 540", "")
    assert down[0] == pytest.approx(60.0)
    assert told("M 170 540 V 40", "\nreverse = true") == pytest.approx(down)


@pytest.mark.parametrize("end", ["first", "last"])
@pytest.mark.parametrize(("reaches", "refused"), [(20, False), (20.5, True)], ids=["as far as it may", "too far"])
def test_zone_that_reaches_an_end_leaves_no_place_at_that_end(end: str, reaches: float, refused: bool) -> None:
    # That end's closure may sit within 20 mm of it; the very end is not outside a zone that begins there.
    zone = f"[0, {reaches}]" if end == "first" else f"[{600 - reaches}, 600]"
    spacing = f"{end} = {{ from = 0, to = 20 }}\n{'last' if end == 'first' else 'first'} = 50\ncount = 6"
    rest = f'[[clear]]\nname = "seam"\nalong = {zone}\nroom = "centre"'
    text = words_of(plain(spacing=spacing, rest=rest), 0)
    if refused:
        assert "seam" in refusal_of(text)
    else:
        marks = report_of(text)["marks"]
        from_end = marks[0]["along_mm"] if end == "first" else 600.0 - marks[-1]["along_mm"]
        assert from_end == pytest.approx(20.0)


# The ends of a strap

BELT = """
[belt]
target = "760 mm"
width = "{width} mm"
thickness = "3.2 mm"
settings = {settings}
step = "{step} mm"
caps = {caps}
free = "{free} mm"
[closure]
kind = "prong snap"
size = "16 L"
"""
BELT_PARTS = {"width": "38", "settings": "3", "step": "25", "caps": '["20 mm", "70 mm"]', "free": "30"}

STRAP_ROWS = [
    # From the tip's finished edge: as far as from any finished edge, half the cap and 1/4 in (ASDP).
    ("edge distance", RIM + 6.35, {"caps": '["{x} mm"]'}, "over", ("warn", "pass", "pass")),
    ("edge distance", RIM + 3, {"caps": '["{x} mm"]'}, "over", ("fail", "warn", "warn")),
    ("edge distance", RIM + 6.35, {"free": "{x}"}, "under", ("warn", "pass", "pass")),
    ("edge distance", 2 * (RIM + 6.35), {"width": "{x}"}, "over", ("warn", "pass", "pass")),
    ("edge distance", 2 * (RIM + 3), {"width": "{x}"}, "under", ("fail", "warn", "warn")),
    ("end distance", 12.7, {"caps": '["{x} mm"]'}, "over", ("warn", "pass", "pass")),
    ("end distance", 12.7, {"free": "{x}"}, "under", ("warn", "pass", "pass")),
    ("neighbour distance", 2 * RIM + 6, {"step": "{x}", "caps": '["20 mm"]'}, "under", ("warn", "pass", "pass")),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "x", "parts", "lap", "results"), STRAP_ROWS,
    ids=[f"{row[0]}, {next(iter(row[2]))}, {row[3]}, {row[4][0]}" for row in STRAP_ROWS],
)  # fmt: skip
def test_rule_of_a_strap_at_its_limit(
    rule: str, x: float, parts: dict[str, str], lap: str, results: tuple[str, str, str]
) -> None:
    for figure, result in zip((x - JUST_MM, x, x + JUST_MM), results, strict=True):
        own = BELT_PARTS | {name: part.replace("{x}", f"{figure:.9g}") for name, part in parts.items()}
        told = report_of(BELT.format(**own))
        order = ("pass", "warn", "fail")
        assert max((one["result"] for one in checks_of(told, rule, lap)), key=order.index) == result, figure


def test_largest_gap_is_told_of_the_mark_before_it():
    rest = '[[anchor]]\nname = "waist"\nalong = "100 mm"'
    plan = PLAN.format(
        top="",
        edge='straight = "190 mm"',
        band=WIDE,
        closure=SNAP,
        spacing="first = 20\nlast = 20\ncount = 3",
        rest=rest,
    )
    (check,) = checks_of(report_of(plan), "widest gap")
    assert (check["mark"], check["found_mm"]) == (1, pytest.approx(80.0))
