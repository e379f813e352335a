"""The hand and the focus stay with the very closure, fixed place or stretch that was taken hold of, whatever number it gets."""

import importlib.util
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

_spec = importlib.util.spec_from_file_location("page_hands", Path(__file__).with_name("page_hands.py"))
assert _spec is not None and _spec.loader is not None
page_hands = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_hands)


class Hand:
    """A hand on the picture of a page, that waits for every answer."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.steps = 0

    def press(self, *keys: str) -> None:
        for key in keys:
            before = self.turn()
            self.page.keyboard.press(key)
            page_hands.until(
                self.page,
                "turn => document.getElementById('at').value !== turn && !document.getElementById('slow').textContent",
                before,
            )

    def turn(self) -> str:
        return str(self.page.locator("#at").input_value())

    def focus(self) -> str:
        return str(self.page.evaluate("document.activeElement.id"))

    def along(self, name: str) -> float:
        return float(self.page.locator(f"#{name}").get_attribute("data-along"))

    def count(self) -> int:
        return int(self.page.locator("#worn .mark").count())

    def told(self) -> str:
        return str(self.page.locator("#told").inner_text())


@pytest.fixture
def hand(chromium: Any) -> Iterator[Any]:
    with page_hands.page_browser.serving("curved-front") as address:
        page = chromium.new_page(viewport={"width": 1280, "height": 1000})
        try:
            page.goto(address)
            page_hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
            yield Hand(page)
        finally:
            page.close()


def test_closure_that_is_moved_past_others_stays_in_hand_and_comes_back_with_undo(hand: Any) -> None:
    hand.page.locator("#mark-9").focus()
    began = hand.along("mark-9")
    hand.press(*["PageUp"] * 12)
    held = hand.focus()
    assert held != "mark-9" and hand.page.locator(f"#{held}.locked").count() == 1
    assert abs(hand.along(held) - (began - 120)) < 1.0
    # The next key is one of the same movement, and goes on from where the thing lies.
    hand.press("PageUp")
    assert abs(hand.along(hand.focus()) - (began - 130)) < 1.0
    hand.press("Control+z")
    assert hand.focus() == "mark-9" and hand.along("mark-9") == began
    hand.press("Control+y")
    assert hand.page.locator(f"#{hand.focus()}.locked").count() == 1


def test_closure_that_is_taken_out_leaves_its_place_in_hand_and_no_key_takes_the_next_one(hand: Any) -> None:
    hand.page.locator("#mark-6").focus()
    count, lay = hand.count(), hand.along("mark-6")
    hand.press("Delete")
    assert hand.count() == count - 1 and hand.focus() == "caret"
    assert abs(hand.along("caret") - lay) < 0.01
    assert "Mark 6 is not there any more" in hand.told()
    before = hand.turn()
    hand.page.keyboard.press("Delete")
    hand.page.keyboard.press("l")
    hand.page.wait_for_timeout(300)
    assert hand.turn() == before and hand.count() == count - 1
    hand.press("Control+z")
    assert hand.focus() == "mark-6" and hand.count() == count


def test_closure_in_hand_gets_another_number_where_one_is_added_before_it(hand: Any) -> None:
    hand.page.locator("#mark-6").focus()
    # Another hand of the same page adds one at the first gap: by a script, so that what is in hand stays there.
    hand.page.evaluate(
        "async () => { const { change } = await import('/page/asking.js'); change({ do: 'set mark', along: '119' }); }"
    )
    page_hands.until(hand.page, "() => document.querySelector('#worn .mark.locked') !== null")
    assert hand.focus() == "mark-7"
    assert hand.told().startswith("mark 7:")


def test_fixed_place_that_is_taken_out_is_told_and_comes_back_into_hand_with_undo(hand: Any) -> None:
    hand.page.locator("#handle-anchor-0-whole").focus()
    hand.press("Delete")
    assert hand.focus() == "caret" and "“bust point” is not there any more" in hand.told()
    hand.press("Control+z")
    assert hand.focus() == "handle-anchor-0-whole"


FORTY = """title = "Forty"
[edge]
straight = "800 mm"
[garment]
opens = "front"
pieces = "pair"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 40
[[anchor]]
name = "bust"
along = "260 mm"
within = "12 mm"
[[anchor]]
name = "waist"
along = "410 mm"
within = "12 mm"
[[clear]]
name = "seam"
along = ["421 mm", "423 mm"]
room = "centre"
"""
TAKEN = """async () => {
  const picture = document.getElementById('picture'), missed = [];
  picture.setPointerCapture = () => {};
  for (const one of document.querySelectorAll('#worn .handle:not(#caret)')) {
    one.scrollIntoView({ block: 'center', behavior: 'instant' });
    await new Promise(requestAnimationFrame);
    const box = (one.querySelector('.hold, .halo') || one).getBoundingClientRect();
    const how = { bubbles: true, cancelable: true, clientX: box.left + box.width / 2, clientY: box.top + box.height / 2,
      pointerId: 1, pointerType: 'touch', isPrimary: true };
    const target = document.elementFromPoint(how.clientX, how.clientY);
    target.dispatchEvent(new PointerEvent('pointerdown', how));
    if (document.activeElement !== one) missed.push([one.id, document.activeElement.id]);
    target.dispatchEvent(new PointerEvent('pointerup', how));
  }
  return missed;
}"""


def test_finger_takes_each_of_forty_closures_on_a_phone(chromium: Any, tmp_path: Path) -> None:
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    (tmp_path / "plan.toml").write_text(FORTY, encoding="utf-8")
    with page_hands.page_browser.running(listen(0, files_beside(tmp_path / "plan.toml"))) as address:
        context = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
        page = context.new_page()
        page.goto(address)
        page_hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
        # 40 closures, two places, and a stretch with its two ends; they lie nearer than a fingertip is wide.
        assert page.locator("#worn .handle:not(#caret)").count() == 45
        assert page.evaluate(TAKEN) == []
        context.close()


def test_window_hears_that_another_program_changed_the_file_and_a_button_takes_it(
    chromium: Any, tmp_path: Path
) -> None:
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    home = tmp_path / "plan.toml"
    home.write_text(FORTY, encoding="utf-8")
    with page_hands.page_browser.running(listen(0, files_beside(home), home)) as address:
        page = chromium.new_page(viewport={"width": 1280, "height": 900})
        page.goto(address)
        page_hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
        button = page.locator("#from-file button")
        assert not button.is_visible()
        home.write_text(FORTY.replace("count = 40", "count = 38"), encoding="utf-8")
        # Nothing is touched: the window asks by itself.
        button.wait_for(timeout=10_000)
        assert "another program changed the file" in page.locator("#kept").inner_text()
        line = page.locator("#live")
        assert line.inner_text().startswith("This is not what plan.toml holds now. 40 closures")
        assert "aside" in line.get_attribute("class").split()
        # It was told, and what it shows prints, its report too.
        assert page.locator("#file-told").input_value() == "yes"
        assert all(one.get_attribute("href").count("?told=yes") == 1 for one in page.locator("a[data-prints]").all())
        page.screenshot(path=str(tmp_path / "header.png"))
        button.click()
        page_hands.until(page, "() => document.querySelectorAll('#worn .mark.handle').length === 38")
        page_hands.until(page, "() => document.getElementById('kept').textContent.startsWith('Kept in')")
        assert not button.is_visible() and line.inner_text().startswith("38 closures")
        assert "aside" not in line.get_attribute("class").split()
        assert page.locator("#file-told").input_value() == ""
        page.close()
