"""What a window says that nobody touches: that another window changed its plan, and that nothing answers it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("playwright", reason="playwright is not installed")

import page_browser

COLOUR = "getComputedStyle(document.getElementById('live')).borderLeftColor"


@pytest.fixture
def windows(chromium: Any) -> Iterator[tuple[Any, Any]]:
    """Two windows of one plan."""
    with page_browser.serving() as address:
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        one, other = context.new_page(), context.new_page()
        for page in (one, other):
            page.goto(address if page is one else one.url)
            page.wait_for_function(page_browser.READY)
        yield one, other
        context.close()


def changed(page: Any, name: str, text: str) -> None:
    was = page.locator("#at").input_value()
    page.locator(f'[id="f-{name}"]').fill(text)
    page.locator(f'[id="f-{name}"]').blur()
    page.wait_for_function("was => document.getElementById('at').value !== was", arg=was)


def test_window_that_is_not_touched_hears_that_another_changed_the_plan_and_takes_it_up(windows: Any) -> None:
    one, other = windows
    green = other.evaluate(COLOUR)
    newer = other.locator("#newer")
    assert not newer.is_visible()
    changed(one, "spacing.pitch", "60 mm")
    shown = one.locator("#live").inner_text()
    newer.wait_for(timeout=10_000)
    line = other.locator("#live").inner_text()
    assert line.startswith("Another window changed this plan, and this one shows it as it was.") and shown not in line
    assert "every check passes" not in line and other.evaluate(COLOUR) != green
    assert page_browser.breaches_of(other) == []
    # Nothing prints from it meanwhile: a hand is led to what holds it.
    other.locator("#get-pdf").click()
    assert "Another window changed this plan" in other.locator("#print-held").inner_text()
    newer.get_by_role("button").click()
    other.wait_for_function("() => document.getElementById('f-spacing.pitch')?.value === '60 mm'")
    other.wait_for_function(page_browser.READY)
    assert not other.locator("#newer").is_visible() and other.locator("#live").inner_text() == shown
    assert other.evaluate(COLOUR) == green
    # The window that made the change heard nothing of it, and goes on.
    one.wait_for_timeout(3000)
    assert not one.locator("#newer").is_visible() and one.locator("#live").inner_text() == shown


def test_change_in_a_window_that_shows_an_older_plan_shows_how_it_stands_now(windows: Any) -> None:
    one, other = windows
    changed(one, "spacing.pitch", "60 mm")
    other.locator("#newer").wait_for(timeout=10_000)
    changed(other, "spacing.widest", "95 mm")
    assert "your last change was not made" in other.locator("#message").inner_text()
    assert not other.locator("#newer").is_visible() and other.locator("#print-held").inner_text() == ""
    assert other.locator("#live").inner_text() == one.locator("#live").inner_text()


def test_window_without_an_answer_does_not_say_that_its_plan_is_kept(chromium: Any, tmp_path: Path) -> None:
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    home = tmp_path / "plan.toml"
    home.write_bytes((page_browser.TEMPLATES / "shirt-front" / "plan.toml").read_bytes())
    context = chromium.new_context()
    page = context.new_page()
    with page_browser.running(listen(0, files_beside(home), home)) as address:
        page.goto(address)
        page.wait_for_function(page_browser.READY)
        kept = page.locator("#kept")
        assert kept.inner_text() == "Kept in plan.toml as you change it."
        context.set_offline(True)
        page.wait_for_function(
            "() => document.getElementById('kept').textContent.startsWith('closures serve does not')"
        )
        context.set_offline(False)
        page.wait_for_function("() => document.getElementById('kept').textContent.startsWith('Kept in plan.toml')")
        assert page.locator("#print-held").inner_text() == ""
        # Nor is it green while another program has changed the file.
        green, was = page.evaluate(COLOUR), home.read_bytes()
        assert page.locator("#live").get_attribute("class").split() == ["pass"]
        home.write_bytes(was + b"# by somebody else")
        page.wait_for_function("() => document.getElementById('live').textContent.startsWith('This is not what plan')")
        assert page.evaluate(COLOUR) != green
        home.write_bytes(was)
        page.wait_for_function("() => document.getElementById('kept').textContent.startsWith('Kept in plan.toml')")
        assert page.evaluate(COLOUR) == green
    page.wait_for_function("() => document.getElementById('kept').textContent.startsWith('closures serve does not')")
    # The line says it too, and nothing prints from what may be another by now.
    page.wait_for_function("() => document.getElementById('live').textContent.startsWith('closures serve does not')")
    assert page.evaluate(COLOUR) != green and "every check passes" not in page.locator("#live").inner_text()
    page.locator("#get-pdf").click()
    assert "closures serve does not answer" in page.locator("#print-held").inner_text()
    # A change says so at once.
    page.locator('[id="f-spacing.last"]').fill("70 mm")
    page.locator('[id="f-spacing.last"]').blur()
    page.wait_for_function("() => document.getElementById('message').textContent.includes('does not answer')")
    assert kept.inner_text().startswith("closures serve does not answer: nothing that is changed here is kept")
    context.close()


def test_window_of_a_garment_hears_of_a_changed_file_and_of_a_page_that_is_gone(chromium: Any, tmp_path: Path) -> None:
    from closures.app.web.garments import plans_on_disk
    from closures.app.web.server import listen

    folder = Path(shutil.copytree(page_browser.TEMPLATES / "whole-romper", tmp_path / "own"))
    belt = folder / "belt.toml"
    context = chromium.new_context()
    page = context.new_page()
    with page_browser.running(listen(0, garment=plans_on_disk(folder / "garment.toml"))) as address:
        page.goto(address)
        page.wait_for_function(page_browser.READY)
        green, line = page.evaluate(COLOUR), page.locator("#live")
        belt.write_text(belt.read_text(encoding="utf-8").replace("settings = 3", "settings = 2"), encoding="utf-8")
        button = page.get_by_role("button", name="Go on from the file")
        button.wait_for(timeout=10_000)
        assert line.inner_text().startswith("Not what the files hold now: belt. 4 openings")
        assert page.evaluate(COLOUR) != green and page_browser.breaches_of(page) == []
        button.click()
        page.wait_for_function("() => document.getElementById('live')?.textContent.startsWith('4 openings')")
        page.wait_for_function(page_browser.READY)
        assert button.count() == 0 and page.evaluate(COLOUR) == green
        assert "2 settings" in page.locator(".card-told").last.inner_text()
    page.wait_for_function("() => document.getElementById('live').textContent.startsWith('closures serve does not')")
    assert page.evaluate(COLOUR) != green
    context.close()
