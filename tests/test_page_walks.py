"""A sample of the random walks over the page; `tests/page_walks.py` goes as many as are wished."""

import importlib.util
from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

_spec = importlib.util.spec_from_file_location("page_walks", Path(__file__).with_name("page_walks.py"))
assert _spec is not None and _spec.loader is not None
page_walks = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_walks)


@pytest.mark.parametrize("seed", range(8))
def test_fields_picture_saved_plan_and_print_agree_on_a_random_walk(seed: int) -> None:
    page_walks.walk(seed, steps=3)


def test_walk_notices_a_field_that_shows_something_else(monkeypatch: pytest.MonkeyPatch) -> None:
    from closures.app.web import telling

    real = telling.values_of
    monkeypatch.setattr(telling, "values_of", lambda text: {**real(text), "band.width": "99 mm"})
    with pytest.raises(AssertionError, match=r"band\.width shows"):
        page_walks.walk(3, steps=1)
