"""What stands typed on a page and was not asked for, in a real browser: no window prints as if it were not there."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

pytest.importorskip("playwright", reason="playwright is not installed")

import page_browser

NAME, LEVEL, ADD = '[id="f-anchor.1.name"]', '[id="f-anchor.1.level"]', "#add-anchor"
HELD = "() => document.getElementById('get-pdf').disabled"


def until(page: Any, script: str) -> None:
    from playwright.sync_api import Error

    for _ in range(400):
        try:
            if page.evaluate(script):
                return
        except Error as error:
            if "navigat" not in str(error) and "context was destroyed" not in str(error):
                raise
        page.wait_for_timeout(25)
    raise AssertionError(f"{script} stayed untrue: {page.locator('main').inner_text()[:800]}")


@contextmanager
def garment_open(chromium: Any) -> Iterator[tuple[Any, Any, str]]:
    """A context, the page of a garment in it, and the address of its front."""
    from closures.app.web.garments import plans_on_disk
    from closures.app.web.server import listen

    path = page_browser.TEMPLATES / "whole-romper" / "garment.toml"
    served = listen(0, garment=plans_on_disk(path, is_own=False))
    with page_browser.running(served) as address:
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        try:
            page = context.new_page()
            page.on("dialog", lambda dialog: dialog.accept())
            page.goto(address)
            until(page, page_browser.READY)
            yield context, page, page.locator("a.button[href^='/plan/']").first.evaluate("one => one.href")
        finally:
            context.close()


def opened(context: Any, address: str) -> Any:
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(address)
    until(page, page_browser.READY)
    return page


def fill_a_row(page: Any) -> None:
    page.locator(NAME).evaluate("one => { one.closest('details').open = true; }")
    page.locator(NAME).fill("bust")
    page.locator(LEVEL).fill("120 mm")


def test_row_typed_in_another_window_of_an_opening_holds_the_garment_until_it_is_added(chromium: Any) -> None:
    with garment_open(chromium) as (context, garment, front):
        assert not garment.evaluate(HELD) and garment.locator("#live").get_attribute("class") != "fail"
        plan = opened(context, front)
        fill_a_row(plan)
        until(garment, HELD)
        said = garment.locator("#garment-held").inner_text()
        assert "front: typed and not asked for, “Another fixed place”, under “Fixed places”: bust, 120 mm" in said
        assert garment.locator("#live").get_attribute("class") == "fail"
        assert "every check passes" not in garment.locator("#live").inner_text()
        assert garment.locator("#garment-held a").first.evaluate("one => one.href") == front
        card = garment.locator(f".openings li:has(a[href='{front[front.index('/plan/') :]}'])")
        assert card.locator(".of-card").inner_text() == "✕"
        assert card.locator(".card-told").inner_text().startswith("Not in the picture yet: “Another fixed place”")
        plan.locator(ADD).click()
        until(plan, "() => document.getElementById('text').value.includes('bust')")
        # The plan is another one now: what the garment's page shows is older, and it says so.
        until(garment, "() => document.getElementById('garment-held').textContent.includes('load it anew')")
        assert "not asked for" not in garment.locator("#garment-held").inner_text() and garment.evaluate(HELD)
        garment.locator("#garment-held a").click()
        until(
            garment, "() => document.body?.classList.contains('ready') && !document.getElementById('get-pdf').disabled"
        )


def test_row_left_typed_in_the_same_window_holds_the_garment_and_is_there_again_or_is_left_out(chromium: Any) -> None:
    with garment_open(chromium) as (_, page, front):
        page.goto(front)
        until(page, page_browser.READY)
        fill_a_row(page)
        garment = (
            "() => !!document.querySelector('#garment-held .trouble') && document.getElementById('get-pdf').disabled"
        )
        page.locator("a.home >> text=The whole garment").click()
        until(page, garment)
        page.locator("#garment-held a").click()
        until(page, "() => document.getElementById('f-anchor.1.name')?.value === 'bust'")
        page.locator("a.home >> text=The whole garment").click()
        until(page, garment)
        page.locator("#garment-held button").click()
        until(
            page, "() => document.querySelector('#garment-held') && !document.querySelector('#garment-held .trouble')"
        )
        page.wait_for_timeout(400)
        assert not page.evaluate(HELD)
        page.goto(front)
        until(page, page_browser.READY)
        assert page.locator(NAME).input_value() == ""


def test_row_typed_in_one_window_holds_the_print_of_another_of_the_same_plan(chromium: Any) -> None:
    with garment_open(chromium) as (context, _, front):
        one, other = opened(context, front), opened(context, front)
        fill_a_row(one)
        one.wait_for_timeout(600)
        assert not one.locator("#left-typed .held").count()
        other.locator('[id="f-spacing.last"]').evaluate("one => { one.closest('details').open = true; }")
        other.locator("#in-in").click()
        until(other, "() => document.querySelector('#left-typed .held') !== null")
        assert "bust, 120 mm" in other.locator("#left-typed").inner_text()
        assert "unfinished" in other.locator("#live").get_attribute("class")
        other.locator("#get-pdf").click()
        assert other.evaluate("() => document.activeElement.id") == "left-typed"
        other.locator("#left-typed button").click()
        until(
            other,
            "() => document.querySelector('#left-typed .held') === null && document.body.classList.contains('ready')",
        )
        assert "unfinished" not in other.locator("#live").get_attribute("class")


def test_line_above_the_picture_tells_of_no_checks_while_a_row_stands_typed(chromium: Any) -> None:
    with garment_open(chromium) as (context, _, front):
        page = opened(context, front)
        before = page.locator("#live").inner_text()
        fill_a_row(page)
        said = page.locator("#live").inner_text()
        assert said.startswith("Not all that you typed is in the picture. The picture shows ")
        assert "check" not in said and "look at" not in said and "failed" not in said
        for each in (NAME, LEVEL):
            page.locator(each).fill("")
        assert page.locator("#live").inner_text() == before
