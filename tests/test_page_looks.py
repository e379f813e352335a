"""How the page looks in a narrow window, in inches and in millimetres, and in colours that its reader chose."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

_spec = importlib.util.spec_from_file_location("page_browser", Path(__file__).with_name("page_browser.py"))
assert _spec is not None and _spec.loader is not None
page_browser = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_browser)

PHONE = {"width": 320, "height": 700}
WIDE = {"width": 1366, "height": 900}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with page_browser.browser() as opened:
        yield opened


@contextmanager
def looking(chromium: Any, plan: str | None, viewport: dict[str, int], path: str = "", **look: Any) -> Iterator[Any]:
    """Open a page as a browser of that window shows it."""
    with page_browser.serving(plan) as address:
        context = chromium.new_context(viewport=viewport, **look)
        try:
            page = context.new_page()
            page.goto(address)
            page.wait_for_load_state("networkidle")
            if path:
                page.goto(page.evaluate("path => new URL(path, location.href).href", path))
            # What a script shows or folds stands as it will once it has run.
            page.locator("body.ready, body:not(:has(#picture))").wait_for(state="attached")
            yield page
        finally:
            context.close()


def _hint(page: Any, field: str) -> str:
    """What is read beside a field."""
    return str(page.locator(f"[id='h-{field}']").inner_text())


def test_examples_stand_in_the_unit_of_the_page(chromium: Any) -> None:
    with looking(chromium, "double-breasted", WIDE) as page:
        assert _hint(page, "spacing.pitch") == "such as 76 mm"
        assert _hint(page, "spacing.first") == "such as 16 mm, or 13 mm to 19 mm; as is usual if left empty"
        assert _hint(page, "spacing.last") == "such as 51 mm, or 51 mm to 102 mm"
        page.click("#in-in")
        page.locator("#in-in[aria-pressed='true']").wait_for()
        assert _hint(page, "spacing.pitch") == "such as 3 in"
        assert _hint(page, "spacing.last") == "such as 2 in, or 2 in to 4 in"


@pytest.mark.parametrize(
    ("path", "field", "metric", "inches"),
    [("", "edge.straight", "610 mm", "24 in"), ("/begin/swap", "edge.straight", "610 mm", "24 in")],
    ids=["numbers alone", "swap"],
)
def test_examples_of_a_first_form_stand_in_the_unit_of_its_bare_numbers(
    chromium: Any, path: str, field: str, metric: str, inches: str
) -> None:
    with looking(chromium, None, WIDE, path) as page:
        assert _hint(page, field) == f"such as {metric}"
        page.select_option("#units", "in")
        assert _hint(page, field) == f"such as {inches}"


_APART = """() => [...document.querySelectorAll(".how label, .pair label")].filter(one => {
  const other = document.getElementById(one.htmlFor).getBoundingClientRect(), own = one.getBoundingClientRect();
  return own.height > 0 && (other.bottom <= own.top || own.bottom <= other.top);
}).map(one => one.textContent)"""


@pytest.mark.parametrize("plan", [None, "curved-front", "eight-sizes"])
def test_label_and_field_stay_on_one_line_in_a_narrow_window(chromium: Any, plan: str | None) -> None:
    with looking(chromium, plan, PHONE) as page:
        if plan:
            page.evaluate("document.querySelector('#d-how').open = true")
        assert page.locator(".how label, .pair label").count() >= 2
        assert page.evaluate(_APART) == []
