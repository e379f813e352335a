"""A sample of the random walks over the page and of wrong words in its fields; `tests/page_walks.py` and `page_wrong.py` go as many as are wished."""

import importlib.util
import random
from dataclasses import replace
from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

_spec = importlib.util.spec_from_file_location("page_walks", Path(__file__).with_name("page_walks.py"))
assert _spec is not None and _spec.loader is not None
page_walks = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_walks)

_wrong = importlib.util.spec_from_file_location("page_wrong", Path(__file__).with_name("page_wrong.py"))
assert _wrong is not None and _wrong.loader is not None
page_wrong = importlib.util.module_from_spec(_wrong)
_wrong.loader.exec_module(page_wrong)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("word", page_wrong.WRONG, ids=ascii)
def test_wrong_word_in_a_field_is_told_holds_the_print_and_goes(word: str) -> None:
    page_wrong.try_one(page_walks.Walk("curved-front", random.Random(0)), "band.under_width", word)


def test_each_wrong_word_of_a_row_is_told_beside_its_own_field_once() -> None:
    walk = page_walks.Walk("curved-front", random.Random(0))
    n = walk._rows("anchor")
    row = {
        f"anchor.{n}.{key}": text
        for key, text in {"along": "both", "within": "DWG", "by": "along", "name": "hip"}.items()
    }
    parts = walk.client.post(f"{walk.first}/change", data={**row, "do": "add anchor"}, headers=page_walks.JSON).json()
    along, within = parts["words"][f"anchor.{n}.along"], parts["words"][f"anchor.{n}.within"]
    assert along.startswith("'both'") and within.startswith("'DWG'")
    assert "DWG" not in along and "both" not in within


def test_wrong_word_that_is_refused_without_a_word_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    from closures.app.web import table

    real = table.with_typed
    monkeypatch.setattr(table, "with_typed", lambda bench, typed: replace(real(bench, typed), refusal=None))
    with pytest.raises(AssertionError):
        walk = page_walks.Walk("curved-front", random.Random(0))
        page_wrong.DONE.clear()
        page_wrong.try_one(walk, "band.width", "DWG")
        assert page_wrong.DONE["refused"] == 1


# What waits in a part that another closes, and in a row whose number another change takes away.
@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", [*range(8), 1293, 1321])
def test_fields_picture_saved_plan_and_print_agree_on_a_random_walk(seed: int) -> None:
    page_walks.walk(seed, steps=5 if seed > 8 else 3)


def test_walk_notices_a_field_that_shows_something_else(monkeypatch: pytest.MonkeyPatch) -> None:
    from closures.app.web import telling

    real = telling.values_of
    monkeypatch.setattr(telling, "values_of", lambda text: {**real(text), "band.width": "99 mm"})
    with pytest.raises(AssertionError, match=r"band\.width shows"):
        page_walks.walk(3, steps=1)
