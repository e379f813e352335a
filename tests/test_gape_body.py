"""The body's girths against their published tables, and the five rules of getting in."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closures.errors import PlanError
from closures.jobs.gape import way_in as w
from closures.jobs.gape.body import GIRTHS, from_tables, girth_rows, measured
from closures.jobs.gape.tables import figure, usual_lengths_mm

BUST, WAIST, SEAT, HEM = (
    w.Ring("bust", 0, 960),
    w.Ring("waist", 180, 740),
    w.Ring("seat", 400, 1060),
    w.Ring("hem", 900, 1400),
)
DRESS = (BUST, WAIST, SEAT, HEM)
NEEDS = w.over_seat_mm(measured("seat", 1021))


# US Centers for Disease Control and Prevention, data tables of head circumference; UK 1990; ANSUR II (US soldiers).
@pytest.mark.parametrize(
    ("of", "who", "months", "share", "cm"),
    [
        ("head", "boy", 6, 5, 41.1), ("head", "boy", 12, 50, 46.2), ("head", "boy", 24, 95, 51.0), ("head", "boy", 36, 95, 52.2),
        ("head", "girl", 6, 95, 44.3), ("head", "girl", 24, 95, 49.8), ("head", "girl", 36, 95, 51.1),
        ("head", "boy", 48, 95, 54.6), ("head", "boy", 192, 95, 59.4), ("head", "girl", 48, 95, 53.1), ("head", "girl", 192, 95, 57.6),
        ("head", "woman", None, 5, 53.2), ("head", "woman", None, 50, 56.0), ("head", "man", None, 95, 60.1),
        ("shoulders", "woman", None, 50, 102.8), ("shoulders", "man", None, 95, 128.8), ("seat", "woman", None, 95, 115.6),
        ("hand", "man", None, 50, 21.2), ("heel", "woman", None, 95, 33.7), ("waist", "woman", None, 50, 86.1),
    ],
)  # fmt: skip
def test_girth_is_that_of_the_table(of, who, months, share, cm):
    found = from_tables(of, who, months, share)
    assert found is not None
    assert found.mm == pytest.approx(cm * 10)


def test_girth_between_two_ages_is_taken_in_proportion():
    found = from_tables("head", "girl", 18, 95)
    assert found is not None
    assert found.mm == pytest.approx((470 + 498) / 2)


def test_girth_outside_the_tables_is_not_made_up():
    assert from_tables("head", "boy", 3) is None
    assert from_tables("head", "girl", 24, 50) is None
    assert from_tables("waist", "woman", share=95) is None
    assert from_tables("seat", "boy", 24) is None


def test_share_beyond_the_tables_is_refused():
    with pytest.raises(PlanError, match="5 to 95 in a hundred"):
        from_tables("head", "woman", share=99)


def test_child_of_no_age_is_refused():
    with pytest.raises(PlanError, match="of no age"):
        from_tables("head", "girl")


@given(st.sampled_from(GIRTHS), st.sampled_from(("woman", "man")), st.floats(5, 95), st.floats(5, 95))
def test_greater_share_is_never_a_smaller_girth(of, who, one, other):
    a, b = (from_tables(of, who, share=share) for share in sorted((one, other)))
    if a is not None and b is not None:
        assert a.mm <= b.mm + 1e-9


def test_every_row_says_where_it_comes_from_and_whom_it_tells_of():
    for row in girth_rows():
        assert row.provenance.key in ("CDCHEAD", "UK90", "ANSUR2ALL")
        assert row.provenance.key != "ANSUR2ALL" or "US soldiers" in row.provenance.text


def test_slit_for_a_boy_of_two_is_the_worked_figure():
    head = from_tables("head", "boy", 24, 95)
    assert head is not None
    found = w.head_passes(head, 320, 105)
    assert (found.needs_mm, found.result) == (105, "pass")
    # One that lacks a mm of the ease is looked at; one that the bare head does not pass fails.
    assert w.head_passes(head, 320, 104).result == "warn"
    assert w.head_passes(head, 320, 94.9).result == "fail"


@given(st.floats(300, 700), st.floats(200, 700), st.floats(0, 40), st.floats(0.1, 50))
def test_larger_head_never_asks_for_less_and_wider_neck_never_for_more(head, neck, ease, more):
    here = w.slit_for_head_mm(head, neck, ease)
    assert w.slit_for_head_mm(head + more, neck, ease) >= here
    assert w.slit_for_head_mm(head, neck + more, ease) <= here


def test_fitted_dress_opens_down_to_where_the_seat_passes():
    # In proportion between waist and seat: 180 + 220 x (1041 - 740) / (1060 - 740).
    assert w.must_reach_mm(DRESS, 1041) == pytest.approx(180 + 220 * 301 / 320)
    assert w.must_reach_mm((SEAT, HEM), 1041) is None


@pytest.mark.parametrize(("ends_at", "result"), [(387, "pass"), (380, "warn"), (370, "fail")])
def test_opening_is_judged_by_where_its_last_closure_opens(ends_at, result):
    opened = (w.Open("front", -math.inf, ends_at),)
    found = w.opening_reaches("stepping in", NEEDS, DRESS, opened)
    assert found is not None
    assert found.result == result
    assert w.rings_pass("stepping in", NEEDS, DRESS, opened).result == result


def test_garment_open_from_neck_to_hem_has_no_ring_that_stays_closed():
    opened = (w.Open("front", -math.inf, math.inf),)
    assert w.rings_pass("over the head", NEEDS, DRESS, opened).result == "pass"


def test_zip_beside_a_row_counts_only_where_they_overlap():
    row = w.Open("front", -math.inf, 200)
    for starts_at, result in ((150, "pass"), (200, "fail"), (260, "fail")):
        opened = (row, w.Open("left side zip", starts_at, 400))
        found = w.opening_reaches("stepping in", NEEDS, DRESS, opened)
        assert found is not None
        assert found.result == result
        assert w.rings_pass("stepping in", NEEDS, DRESS, opened).result == result


def test_zip_is_the_next_usual_length():
    assert w.zip_for_mm(150, 387) == (237, 250)
    assert w.zip_for_mm(0, 2000) == (2000, None)
    assert usual_lengths_mm("zip") == tuple(sorted(usual_lengths_mm("zip")))


def test_shoulders_are_asked_first_and_the_chest_stands_in_with_ease():
    shoulders, chest = measured("shoulders", 1028), measured("chest", 947)
    assert w.over_shoulders_mm(shoulders, chest) == (1028, shoulders, 0)
    assert w.over_shoulders_mm(None, chest) == (987, chest, 40)
    assert w.over_shoulders_mm(None, None) is None


def test_cuff_and_hem_are_judged_with_their_ease():
    hand, heel = measured("hand", 187), measured("heel", 310)
    assert [w.cuff_passes(hand, mm).result for mm in (217, 200, 186)] == ["pass", "warn", "fail"]
    assert [w.hem_passes(heel, mm).result for mm in (320, 310, 309)] == ["pass", "warn", "fail"]


ring_sets = st.lists(
    st.tuples(st.floats(0, 1000), st.floats(400, 1500)), min_size=1, max_size=6, unique_by=lambda r: r[0]
)


@given(ring_sets, st.floats(500, 1400), st.floats(0, 1000), st.floats(0, 1000))
def test_longer_opening_and_wider_rings_are_never_worse(rings, needs, end, more):
    body = (needs + 20, measured("seat", needs), 20.0)
    worst = ("pass", "warn", "fail")

    def rank(extra, wider):
        told = tuple(w.Ring(str(n), at, r + wider) for n, (at, r) in enumerate(rings))
        return worst.index(w.rings_pass("stepping in", body, told, (w.Open("front", -math.inf, end + extra),)).result)

    assert rank(more, 0) <= rank(0, 0)
    assert rank(0, more) <= rank(0, 0)


def test_figures_out_of_the_table_say_where_they_come_from():
    assert figure("waistband, fitting well").provenance.kind == "published"
    assert figure("pressure, usual").provenance.kind == "from memory"
    with pytest.raises(KeyError):
        figure("no such thing")
