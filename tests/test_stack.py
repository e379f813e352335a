"""The stack under a flange: sums in closed form, borders, and thicknesses from the catalogue."""

import pytest

from closures.placing.stack import Layer, stack_under


def layer(thickness, across=None, along=None, plies=1, structures=(), spread=0.0):
    ends = (thickness - spread, thickness + spread)
    return Layer("cloth", ends[0], thickness, ends[1], plies, frozenset(structures), across, along, ends)


def test_stack_without_layers_is_not_known():
    assert stack_under((), 19, 100, 5, 3) is None


def test_stack_of_a_thick_placket_is_the_sum_of_its_layers():
    # canvas 0.8 + facing 0.8 + two turned allowances 0.4 each + fusible 0.3 = 2.7
    layers = (layer(0.8), layer(0.8), layer(0.8, plies=2), layer(0.3))
    stack = stack_under(layers, 20, 100, 7.5, 3)
    assert stack.typical_mm == pytest.approx(2.7)
    assert stack.step_mm == 0
    assert stack.border_mm is None


@pytest.mark.parametrize(
    ("across", "thickest", "thinnest", "border"),
    [
        pytest.param((0, 10), 0.5, 0.5, None, id="border well clear"),
        pytest.param((0, 12), 0.5, 0.5, 7.0, id="border within the ridge's reach but off the flange"),
        pytest.param((0, 16), 0.8, 0.5, 3.0, id="border under the flange"),
        pytest.param((0, 22), 0.8, 0.5, 3.0, id="border under the flange on the far side"),
        pytest.param((0, 30), 0.8, 0.8, None, id="carried under the whole flange and past its reach"),
    ],
)
def test_stack_across_a_border_takes_the_thickest_place(across, thickest, thinnest, border):
    stack = stack_under((layer(0.5), layer(0.3, across=across)), 19, 100, 5, 3)
    assert stack.typical_mm == pytest.approx(thickest)
    assert stack.thinnest_mm == pytest.approx(thinnest)
    assert stack.border_mm == (None if border is None else pytest.approx(border))


def test_stack_of_two_layers_that_never_lie_on_each_other_is_not_their_sum():
    layers = (layer(0.5), layer(0.3, across=(0, 17)), layer(0.4, across=(21, 38)))
    assert stack_under(layers, 19, 100, 5, 3).typical_mm == pytest.approx(0.9)


def test_stack_at_a_turned_end_counts_only_there():
    layers = (layer(0.5), layer(0.3, along=(0, 15)))
    assert stack_under(layers, 19, 5, 4, 3).typical_mm == pytest.approx(0.8)
    assert stack_under(layers, 19, 100, 4, 3).typical_mm == pytest.approx(0.5)


def test_stack_keeps_the_range_of_its_cloths():
    stack = stack_under((layer(0.5, spread=0.1), layer(0.3)), 19, 100, 5, 3)
    assert (stack.low_mm, stack.high_mm) == (pytest.approx(0.7), pytest.approx(0.9))


@pytest.mark.parametrize(
    ("layers", "lap", "clamped", "beyond"),
    [
        ((layer(0.5, plies=2), layer(0.2, structures=["fusible"])), "over", 0.45, 0.25),
        ((layer(1.0), layer(0.4)), "over", 0.4, 1.0),
        ((layer(1.0), layer(0.4)), "under", 1.0, 0.4),
        ((layer(1.0), layer(0.2, structures=["fusible"])), "over", 1.2, 0.0),
        ((layer(1.0),), "over", 1.0, 0.0),
    ],
    ids=["two of one cloth", "outer and facing", "the under lap's inside", "one cloth", "told as one"],
)
def test_stack_of_what_ends_within_the_band_leaves_out_the_cloth_beyond(layers, lap, clamped, beyond):
    stack = stack_under(layers, 19, 100, 5, 3, lap)
    assert stack.typical_mm == pytest.approx(clamped)
    assert stack.clamped_mm == (pytest.approx(clamped), pytest.approx(clamped))
    assert sum(one.typical_mm for one in stack.beyond) == pytest.approx(beyond)


def test_stack_border_at_the_finished_edge_is_the_fold_and_no_ridge():
    assert stack_under((layer(0.5, across=(0, 40)),), 4, 100, 5, 3).border_mm is None


def test_stack_corner_of_a_layer_outside_the_round_flange_adds_nothing():
    # The corner of this layer lies within 5 mm across and along, but 5.66 mm from the centre.
    layers = (layer(0.5), layer(0.3, across=(23, 40), along=(104, 140)))
    assert stack_under(layers, 19, 100, 5, 0).typical_mm == pytest.approx(0.5)
