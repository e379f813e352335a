"""A plan written as a file reads back to the same plan."""

import tomllib
import unicodedata
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.plan.anchors import AnchorWish, ClearWish
from closures.plan.band import BandWish
from closures.plan.closure import ClosureWish
from closures.plan.edge import ArcWish, EdgeWish
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish
from closures.plan.options import plan_from_options
from closures.plan.plan import Plan
from closures.plan.reading import read_plan
from closures.plan.spacing import SpacingWish
from closures.plan.writing import write_plan

INCH = 25.4
# What a plan file can say: any float of mm, and lengths of whole 64ths of an inch. The least
# and the largest are the limits of a length.
positive = st.floats(1e-6, 100_000) | st.integers(1, 9_000).map(lambda n: n * INCH / 64)
some = st.just(0.0) | positive
signed = some | positive.map(lambda mm: -mm)
texts = (
    st.text(min_size=1, max_size=30)
    .filter(lambda text: not any(unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") for sign in text))
    .filter(lambda text: not set(text) & set("\ufffe\uffff"))
    .map(str.strip)
    .filter(bool)
) | st.sampled_from(['8" of \\n "lace"', "'tis", "½ a # day", 'a"""b', "= [x]", "\u200b", "\U0001f9f5"])
ids = st.sampled_from(["edge", "Édge-1", "in", "x y", 'q"q', "_1"])


def ranges(lengths: st.SearchStrategy[float]) -> st.SearchStrategy[Range]:
    return st.tuples(lengths, lengths).map(lambda two: Range(min(two), max(two)))


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


@st.composite
def arcs(draw: st.DrawFn) -> ArcWish:
    radius = draw(st.floats(1, 20_000))
    return ArcWish(radius * draw(st.floats(0.001, 5)), radius, draw(st.sampled_from(["in", "out"])))


@st.composite
def edges(draw: st.DrawFn) -> EdgeWish:
    shape = draw(st.sampled_from(["path", "points", "straight_mm", "arc"]))
    shapes: dict[str, st.SearchStrategy[Any]] = {
        "path": ids,
        "points": st.lists(st.tuples(signed, signed), min_size=2, max_size=4).map(tuple),
        "straight_mm": positive,
        "arc": arcs(),
    }
    return EdgeWish(
        **{shape: draw(shapes[shape])},
        under=draw(maybe(ids)),
        line=draw(maybe(ids)),
        reverse=draw(st.booleans()),
        level_zero=draw(maybe(ids | signed)),
    )


bands = st.builds(
    BandWish,
    width_mm=positive,
    under_width_mm=positive,
    inset_mm=some,
    under_inset_mm=some,
    lap=st.sampled_from(["right over left", "left over right"]),
    seen_from=st.sampled_from(["outside", "inside"]),
) | positive.map(lambda mm: BandWish(mm, mm, mm / 2, mm / 2, "right over left"))

closures = st.builds(
    ClosureWish,
    kind=texts,
    size=texts,
    cap_mm=maybe(positive),
    grip_mm=maybe(ranges(positive).map(lambda span: (span.low_mm, span.high_mm))),
    thickness_mm=maybe(positive),
    hole=maybe(st.sampled_from(["along", "across"])),
    halves=st.sampled_from(["usual", "turned"]),
    spare=st.integers(0, 5000),
    trial=st.integers(0, 5000),
)


@st.composite
def spacings(draw: st.DrawFn) -> SpacingWish:
    by_pitch = draw(st.booleans())
    limits = draw(ranges(positive))
    return SpacingWish(
        first=draw(ranges(some)),
        last=draw(ranges(some)),
        pitch_mm=draw(positive) if by_pitch else None,
        count=None if by_pitch else draw(st.integers(1, 5000)),
        widest_mm=draw(maybe(st.just(limits.high_mm))),
        closest_mm=draw(maybe(st.just(limits.low_mm))),
    )


anchors = st.builds(
    AnchorWish, name=texts, level_mm=signed, within_mm=some, which=maybe(st.integers(1, 5000))
) | st.builds(AnchorWish, name=texts, along_mm=some, within_mm=some)
rooms = st.sampled_from(["rim", "centre"])
zones = st.builds(ClearWish, name=texts, level_mm=ranges(signed), room=rooms) | st.builds(
    ClearWish, name=texts, along_mm=ranges(some), room=rooms
)
sides = st.sampled_from(["over", "under", "both"])
layers = st.builds(
    LayerWish, cloth=texts, on=sides, count=st.integers(1, 100), across_mm=maybe(ranges(some))
) | st.builds(LayerWish, thickness_mm=positive, on=sides, along_mm=maybe(ranges(some)))

plans = st.builds(
    Plan,
    title=texts,
    units=st.sampled_from(["mm", "in"]),
    where=st.sampled_from(["", "front.toml"]),
    # An edge may name an id, so that there always is a drawing.
    drawing=texts,
    supplies=maybe(texts),
    edge=edges(),
    band=bands,
    closure=closures,
    spacing=spacings(),
    anchors=st.lists(anchors, max_size=2).map(tuple),
    clear=st.lists(zones, max_size=2).map(tuple),
    layers=st.lists(layers, max_size=2).map(tuple),
)


@pytest.mark.long
@settings(max_examples=200, deadline=None)
@given(plans)
def test_write_plan_of_any_plan_reads_back_to_the_same_plan(plan: Plan) -> None:
    assert read_plan(write_plan(plan).encode(), plan.where) == plan


def _plan(**options: Any) -> Plan:
    small: dict[str, Any] = {
        "straight": "24 in",
        "band": "1 1/2 in",
        "lap": "right over left",
        "closure": "prong snap",
        "size": "16 L",
        "first": "5/8 in",
        "last": "1/3 in to 2 in",
        "count": 8,
    }
    return plan_from_options(**{**small, **options})


def test_write_plan_in_inches_writes_sixteenths_and_mm_where_that_is_not_exact() -> None:
    table = tomllib.loads(write_plan(_plan(units="in")))
    assert table["edge"] == {"straight": "24 in"}
    assert table["band"]["width"] == "1 1/2 in"
    assert table["spacing"]["first"] == "5/8 in"
    assert table["spacing"]["last"] == {"from": "8.466666666666667 mm", "to": "2 in"}


def test_write_plan_in_mm_writes_mm() -> None:
    table = tomllib.loads(write_plan(_plan(cap="10 mm")))
    assert table["band"]["width"] == "38.1 mm"
    assert table["closure"]["cap"] == "10 mm"


def test_write_plan_leaves_out_what_is_at_its_default() -> None:
    table = tomllib.loads(write_plan(_plan(layer=["felt"])))
    assert set(table) == {"title", "units", "edge", "band", "closure", "spacing", "layer"}
    assert set(table["band"]) == {"width", "lap"}
    assert table["layer"] == [{"cloth": "felt"}]


def test_write_plan_of_a_length_that_is_none_is_an_error_of_the_caller() -> None:
    from dataclasses import replace

    plan = _plan()
    with pytest.raises(ValueError, match="nan is not a length"):
        write_plan(replace(plan, edge=EdgeWish(straight_mm=float("nan"))))
