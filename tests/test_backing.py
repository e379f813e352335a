"""Where backing lies, and where none may lie: common practice."""

import pytest

from closures.app.job import advice_of, place_plan
from closures.plan.reading import read_plan


@pytest.mark.parametrize(("new", "is_told"), [("sew-through button", True), ("prong snap", False)])
def test_no_backing_lies_over_a_buttonhole_that_serves_again(new: str, is_told: bool) -> None:
    size = "28 L" if is_told else "16 L"
    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "40 mm"\n'
        f'lap = "right over left"\n[closure]\nkind = "{new}"\nsize = "{size}"\n[spacing]\ncount = 6\n'
        '[[layer]]\ncloth = "merino jersey"\ncount = 2\n[swap]\nkind = "sew-through button"\nsize = "32 L"\n'
        'first = "20 mm"\nlast = "40 mm"\ncount = 7\nhole = { way = "along", made = true }\n'
    )
    made = place_plan(read_plan(text.encode(), "swap.toml"))
    back = [step.text for step in advice_of(made).order.steps if step.key.startswith("back")]
    assert back
    assert all(("none over the buttonholes that serve again" in one) == is_told for one in back)


@pytest.mark.parametrize(
    ("cloth", "count", "back", "side"),
    [
        # Closed, two layers hold; opened, one alone does: backed only where it is opened.
        ("wool suiting", 2, "Where the band was opened, back the closures", ", within it, on the layers that meet"),
        # Knit alone holds neither way.
        (
            "interlock",
            2,
            "Back the closures",
            " on the inside of the band, or where it was opened within it, on the layers",
        ),
    ],
)
def test_a_finished_band_is_backed_where_its_magnets_go_in(cloth: str, count: int, back: str, side: str) -> None:
    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "50 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "magnetic snap"\nsize = "14 mm"\n[spacing]\ncount = 5\n'
        f'[[layer]]\ncloth = "{cloth}"\ncount = {count}\n'
    )
    steps = {step.key: step.text for step in advice_of(place_plan(read_plan(text.encode(), "coat.toml"))).order.steps}
    assert steps["back with strip"].startswith(back)
    assert side in steps["back with strip"] and "which is closed" not in steps["back with strip"]
    assert list(steps).index("choose for magnets") < list(steps).index("back with strip")
