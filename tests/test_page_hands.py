"""Nothing that hands do is lost where answers are slow: each way by itself, and a sample of the random walks of hands."""

import importlib.util
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

_spec = importlib.util.spec_from_file_location("page_hands", Path(__file__).with_name("page_hands.py"))
assert _spec is not None and _spec.loader is not None
page_hands = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_hands)


def _answered(page: Any) -> None:
    page_hands.until(page, "() => window.asked > 0 && window.asked === window.answered.length")
    page_hands.until(page, "() => document.getElementById('slow').textContent === ''")


def test_field_typed_before_a_slow_answer_does_not_take_a_drag_back(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.8) as page:
        handle = page.locator("#handle-anchor-0-whole")
        before = float(handle.get_attribute("data-along"))
        handle.focus()
        page.keyboard.press("PageUp")
        page.locator('[id="f-spacing.widest"]').fill("95 mm")
        page.locator('[id="f-spacing.widest"]').blur()
        page_hands.until(page, "() => document.getElementById('text').value.includes('95 mm')")
        _answered(page)
        # One key of a plan told in inches is a sixteenth, Page Up ten of them.
        assert abs(float(handle.get_attribute("data-along")) - before + 15.875) < 0.2


def test_field_typed_before_a_slow_answer_does_not_bring_back_what_was_undone(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.8) as page:
        page.locator('[id="f-spacing.pitch"]').fill("60 mm")
        page.locator('[id="f-spacing.pitch"]').blur()
        page_hands.until(page, "() => document.getElementById('text').value.includes('60 mm')")
        page.locator("#undo").click()
        page.locator('[id="f-spacing.widest"]').fill("95 mm")
        page.locator('[id="f-spacing.widest"]').blur()
        page_hands.until(page, "() => document.getElementById('text').value.includes('95 mm')")
        assert "60 mm" not in page.locator("#text").input_value()


def test_enter_key_asks_once_for_what_was_typed_and_takes_a_new_row_with_it(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.8) as page:
        asked: list[str] = []
        page.on("request", lambda one: asked.append(one.post_data or "") if one.url.endswith("/change") else None)
        page.locator('[id="f-spacing.pitch"]').fill("60 mm")
        page.keyboard.press("Enter")
        page_hands.until(page, "() => document.getElementById('text').value.includes('60 mm')")
        _answered(page)
        assert len(asked) == 1
        page.locator('[id="f-anchor.1.name"]').evaluate("one => { one.closest('details').open = true; }")
        page.locator('[id="f-anchor.1.name"]').fill("hip")
        page.locator('[id="f-anchor.1.level"]').fill("300 mm")
        page.locator('[id="f-spacing.pitch"]').fill("61 mm")
        page.keyboard.press("Enter")
        page_hands.until(page, "() => document.getElementById('text').value.includes('hip')")
        assert "61 mm" in page.locator("#text").input_value()


def test_row_that_is_being_filled_in_stays_where_another_row_is_added_by_a_click(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.8) as page:
        rows = page.locator('#form fieldset:not(.new) [name^="anchor."][name$=".name"]').count()
        page.locator("#adds").select_option("anchor")
        page.locator("#caret").focus()
        # In the middle of the line lies a clear stretch.
        for _ in range(6):
            page.keyboard.press("PageDown")
        page.keyboard.press("Enter")
        page.locator(f'[id="f-anchor.{rows}.name"]').fill("hip")
        page.locator(f'[id="f-anchor.{rows}.level"]').fill("300 mm")
        page.locator("#add-anchor").click()
        page_hands.until(page, "() => document.getElementById('text').value.includes('hip')")
        said = page.locator("#text").input_value()
        assert 'name = "place 1"' in said and 'name = "hip"' in said, said


@pytest.mark.parametrize("pause", [0.0, 0.6])
def test_row_typed_before_the_units_are_changed_keeps_the_unit_that_it_was_typed_in(
    chromium: Any, pause: float
) -> None:
    with page_hands.at_work(chromium, "shirt-front", lambda: pause) as page:
        page.locator("#in-in").click()
        page_hands.until(page, "() => document.body.classList.contains('in-inches')")
        _answered(page)
        for name, text in {"clear.0.name": "belt", "clear.0.level": "5 to 7", "anchor.1.level": "7 1/2"}.items():
            page.locator(f'[id="f-{name}"]').evaluate("one => { one.closest('details').open = true; }")
            page.locator(f'[id="f-{name}"]').fill(text)
        page.locator("#in-mm").click()
        if not pause:
            page_hands.until(page, "() => !document.body.classList.contains('in-inches')")
            _answered(page)
            assert page.locator('[id="f-clear.0.level"]').input_value() == "5 in to 7 in"
            assert page.locator('[id="f-anchor.1.level"]').input_value() == "7 1/2 in"
        # Pressed before the answer, too: the row was typed in inches.
        page.locator("#add-clear").click()
        page_hands.until(page, "() => document.getElementById('text').value.includes('belt')")
        assert 'level = ["5 in", "7 in"]' in page.locator("#text").input_value()


def test_field_refused_in_mm_is_not_taken_in_inches_after_the_units_are_changed(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.0) as page:
        pitch = page.locator('[id="f-spacing.pitch"]')
        pitch.fill("3")
        pitch.blur()
        page_hands.until(page, "() => document.getElementById('w-spacing.pitch') !== null")
        said = page.locator('[id="w-spacing.pitch"]').inner_text()
        page.locator("#in-in").click()
        page_hands.until(page, "() => document.body.classList.contains('in-inches')")
        _answered(page)
        assert pitch.input_value() == "3 mm" and page.locator('[id="w-spacing.pitch"]').inner_text() == said
        page.locator('[id="f-spacing.widest"]').fill("4 in")
        page.locator('[id="f-spacing.widest"]').blur()
        _answered(page)
        assert pitch.input_value() == "3 mm" and page.locator('[id="w-spacing.pitch"]').count() == 1
        assert "pitch = 3" not in page.locator("#text").input_value()


@pytest.mark.parametrize("what", ["row", "layer", "text", "field"])
def test_what_stands_typed_is_there_again_after_a_reload_that_was_warned_of(chromium: Any, what: str) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.0) as page:
        warned: list[str] = []

        def go(dialog: Any) -> None:
            warned.append(dialog.type)
            dialog.accept()

        page.on("dialog", go)
        names = {"row": "f-anchor.1.name", "layer": "f-layer.2.count", "text": "text", "field": "f-spacing.widest"}
        typed = {
            "row": "hip",
            "layer": "2",
            "text": page.locator("#text").input_value() + "# to be read",
            "field": "95 mm",
        }
        one = page.locator(f'[id="{names[what]}"]')
        one.evaluate("one => { one.closest('details').open = true; }")
        # A browser asks nothing of who has not touched the page.
        one.click()
        one.fill(typed[what])
        page.reload()
        page_hands.until(page, "() => document.body.classList.contains('ready')")
        assert warned == ["beforeunload"]
        page_hands.until(
            page, "([name, text]) => document.getElementById(name).value === text", [names[what], typed[what]]
        )
        assert one.is_visible()
        if what == "field":
            page_hands.until(page, "() => document.getElementById('text').value.includes('95 mm')")
            return
        assert page.locator("#print-held").inner_text()
        if what == "text":
            page.locator("#undo").click()
        elif what == "row":
            page.locator('[id="f-anchor.1.level"]').fill("300 mm")
            page.locator("#add-anchor").click()
            page_hands.until(page, "() => document.getElementById('text').value.includes('hip')")
        else:
            one.fill("")
        # Nothing of it comes again once it is in the plan, or taken back.
        page_hands.until(page, "() => document.getElementById('print-held').innerText === ''")
        page.reload()
        page_hands.until(page, "() => document.body.classList.contains('ready')")
        assert not page.locator("#print-held").inner_text()
        held = page.evaluate(
            "() => [...document.querySelectorAll('#form .new input')].map((one) => one.value).join('')"
        )
        assert held == ""


def test_row_whose_answer_comes_after_the_page_was_loaded_anew_is_not_offered_once_more(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.6) as page:
        page.on("dialog", lambda dialog: dialog.accept())
        for name, text in {"anchor.1.name": "hip", "anchor.1.level": "300 mm", "clear.1.name": "pocket"}.items():
            page.locator(f'[id="f-{name}"]').evaluate("one => { one.closest('details').open = true; }")
            page.locator(f'[id="f-{name}"]').fill(text)
        with page.expect_request(lambda one: one.url.endswith("/change")):
            page.locator("#add-anchor").click()
        page.wait_for_timeout(1500)
        page_hands.until(page, "() => document.getElementById('text').value.includes('hip')")
        # As if the answer had been lost with the page that asked.
        page.evaluate(
            """() => { const told = JSON.parse(sessionStorage.getItem('typed ' + location.pathname));
               told.rows = told.rows.filter(([name]) => !name.startsWith('anchor.'));
               told.rows.push(['anchor.1.name', 'hip'], ['anchor.1.level', '300 mm']);
               window.lostAnswer = JSON.stringify({ ...told, at: '0' });
               addEventListener('pagehide', () => sessionStorage.setItem('typed ' + location.pathname, window.lostAnswer)); }"""
        )
        page.reload()
        page_hands.until(page, "() => document.body.classList.contains('ready')")
        assert page.locator('[id="f-anchor.1.name"]').input_value() == "hip"
        assert page.locator('[id="f-anchor.2.name"]').input_value() == ""
        assert page.locator('[id="f-clear.1.name"]').input_value() == "pocket"


def test_what_stands_typed_is_told_where_the_plan_has_other_units_after_a_reload(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.0) as page:
        page.on("dialog", lambda dialog: dialog.accept())
        one = page.locator('[id="f-anchor.1.level"]')
        one.evaluate("one => { one.closest('details').open = true; }")
        one.click()
        one.fill("300")
        page.evaluate(
            """() => fetch(location.pathname + '/change', { method: 'POST', headers: { accept: 'application/json' },
               body: new URLSearchParams({ do: 'units in' }) }).then(() => true)"""
        )
        page.reload()
        page_hands.until(page, "() => document.body.classList.contains('ready')")
        assert "“300”" in page.locator("#message").inner_text() and one.input_value() == ""


def test_row_that_was_added_leaves_the_next_one_empty(chromium: Any) -> None:
    """What was taken is not offered again: pressed once more, the button would add it twice."""
    empty = '() => [...document.querySelectorAll(\'#form .new :is([name$=".name"], [name$=".count"])\')].every((one) => !one.value)'
    with page_hands.at_work(chromium, "shirt-front", lambda: 0.0) as page:
        text = page.locator("#text")
        page.locator('[id="f-anchor.1.name"]').evaluate("one => { one.closest('details').open = true; }")
        page.locator('[id="f-anchor.1.name"]').fill("pocket")
        page.locator('[id="f-anchor.1.level"]').fill("300 mm")
        page.locator("#add-anchor").click()
        page_hands.until(page, "() => document.getElementById('text').value.includes('pocket')")
        _answered(page)
        assert page.locator('[id="f-anchor.1.name"]').input_value() == "pocket"
        assert page.evaluate(empty) and not page.locator("#print-held").inner_text()
        # One that was refused first, and is taken as soon as it is mended.
        page.locator('[id="f-layer.2.cloth"]').evaluate("one => { one.closest('details').open = true; }")
        page.locator('[id="f-layer.2.count"]').fill("2")
        page.locator('[id="f-layer.2.cloth"]').fill("popplin")
        page.locator("#add-layer").click()
        page_hands.until(page, "() => document.querySelector('#form .new [aria-invalid]') !== null")
        page.locator('[id="f-layer.2.cloth"]').fill("chino")
        page.locator('[id="f-layer.2.cloth"]').blur()
        page_hands.until(page, "() => document.getElementById('text').value.includes('chino')")
        _answered(page)
        assert page.evaluate(empty) and not page.locator("#print-held").inner_text()
        assert text.input_value().count("chino") == 1


def test_field_of_a_row_goes_with_it_where_the_row_before_it_is_taken_out(chromium: Any) -> None:
    with page_hands.at_work(chromium, "jacket-placket", lambda: 0.8) as page:
        rows = page.locator('#form fieldset:not(.new) [name^="layer."][name$=".count"]')
        assert rows.count() > 1
        name = page.locator('[id="f-layer.1.cloth"]').input_value()
        page.locator("#remove-layer-0").click()
        page.locator('[id="f-layer.1.count"]').fill("7")
        page.locator('[id="f-layer.1.count"]').blur()
        _answered(page)
        assert page.locator('[id="f-layer.0.cloth"]').input_value() == name
        assert page.locator('[id="f-layer.0.count"]').input_value() == "7"


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("ten", range(3))
def test_nothing_is_lost_on_random_walks_of_hands(chromium: Any, ten: int) -> None:
    for seed in range(10):
        page_hands.walk(chromium, 10 * ten + seed, steps=5, seconds=0.1)
    assert page_hands.DONE["printed"] > 0


def test_what_was_typed_in_a_row_that_is_gone_is_said(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0.8) as page:
        page.locator("#remove-anchor-0").click()
        page.locator('[id="f-anchor.0.within"]').fill("3 mm")
        page.locator("#in-mm").click()
        _answered(page)
        page_hands.until(
            page, "() => document.getElementById('message').textContent.includes('“3 mm” was typed in a row')"
        )


PRESSED = {
    "a button": ("#lock-2", "() => document.getElementById('lock-2').textContent.startsWith('Unlock')"),
    "what opens a part": ("#d-passed > summary", "() => document.getElementById('d-passed').open"),
    "one of several": ("#trial-right", "() => document.getElementById('trial-right').checked"),
}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("by", ["mouse", "space"])
@pytest.mark.parametrize("what", PRESSED)
def test_press_under_which_an_answer_comes_is_not_lost(chromium: Any, what: str, by: str) -> None:
    """Who types and goes on to press something at once presses while the picture is being drawn."""
    where, done = PRESSED[what]
    with page_hands.at_work(chromium, "curved-front", lambda: 0.2) as page:
        one = page.locator(where)
        field = page.locator('[id="f-spacing.pitch"]')
        field.evaluate("one => { one.focus(); one.select(); }")
        page.keyboard.type("60 mm")
        one.evaluate("one => one.scrollIntoView({ block: 'center', behavior: 'instant' })")
        if by == "mouse":
            box = one.bounding_box()
            page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
            page.mouse.down()
        else:
            one.evaluate("one => one.focus({ preventScroll: true })")
            page.keyboard.down("Space")
        page_hands.until(page, "() => window.answered.length === 1")
        # Whatever the answer would take away is gone after two frames.
        page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        page.mouse.up() if by == "mouse" else page.keyboard.up("Space")
        page_hands.until(page, done)
        page_hands.until(page, "() => /pitch = \"60 mm\"/.test(document.getElementById('text').value)")


# The parts as the server tells them whole, without what only a hand puts there.
AS_WHOLE = """async () => {
  const whole = new DOMParser().parseFromString(await (await fetch(location.href)).text(), 'text/html');
  const bare = (of, id) => {
    const one = of.getElementById(id).cloneNode(true);
    for (const own of one.querySelectorAll('#caret, #laid')) own.remove();
    for (const each of one.querySelectorAll('pattern')) each.removeAttribute('patternTransform');
    for (const each of one.querySelectorAll('*')) { each.classList.remove('shown'); each.normalize(); }
    return one.innerHTML.replaceAll(/at=\\d+/g, '').replaceAll(' class=""', '');
  };
  return ['picture', 'findings', 'marks'].filter((id) => bare(document, id) !== bare(whole, id));
}"""


@pytest.mark.in_turn(3)
def test_answer_draws_anew_what_it_changes_and_nothing_else(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 0) as page:
        page.evaluate(
            "() => { window.mark = document.getElementById('mark-1'); window.flag = document.querySelector('.flag');"
            " const of = (all) => all.flatMap((one) => [...one.removedNodes]).filter((one) => one.textContent.trim()).length;"
            " window.changed = 0; new MutationObserver((all) => { window.changed += of(all); })"
            ".observe(document.getElementById('marks'), { subtree: true, childList: true }); }"
        )
        page.locator('[id="f-.title"]').fill("Second walk")
        page.locator('[id="f-.title"]').blur()
        page_hands.until(page, "() => document.querySelector('h1').textContent === 'Second walk'")
        assert page.evaluate("window.changed") == 0
        page.locator('[id="f-anchor.0.name"]').fill("hip")
        page.locator('[id="f-anchor.0.name"]').blur()
        page_hands.until(page, "() => /hip/.test(document.getElementById('worn').textContent)")
        assert page.evaluate("window.mark.isConnected") and not page.evaluate(
            "window.flag.isConnected && window.flag.textContent !== 'hip'"
        )
        assert page.evaluate(AS_WHOLE) == []
        page.locator('[id="f-spacing.pitch"]').fill("50 mm")
        page.locator('[id="f-spacing.pitch"]').blur()
        page_hands.until(page, "() => window.changed > 0 && window.asked === window.answered.length")
        assert page.evaluate(AS_WHOLE) == []
        page.locator("#worn .mark.handle").nth(2).focus()
        page.keyboard.press("l")
        page_hands.until(page, "() => document.querySelector('#worn .mark.locked') !== null")
        page.keyboard.press("Delete")
        page_hands.until(page, "() => document.querySelector('#worn .mark.locked') === null")
        assert page.evaluate(AS_WHOLE) == []
        page.locator("#in-in").click()
        page_hands.until(page, "() => document.getElementById('in-in').getAttribute('aria-pressed') === 'true'")
        assert page.evaluate(AS_WHOLE) == []


def test_picture_that_an_answer_moves_from_under_a_hand_at_rest_takes_nothing_along(chromium: Any) -> None:
    """A refusal is told above the picture, which then lies lower: the hand has not gone anywhere by that."""
    with page_hands.at_work(chromium, "curved-front", lambda: 0.3) as page:
        handle = page.locator("#handle-clear-0-to")
        before = float(handle.get_attribute("data-along"))
        page.locator('[id="f-spacing.closest"]').fill("-3 mm")
        x, y = page_hands.take_hold(page, handle)
        top = page.locator("#worn").bounding_box()["y"]
        page.mouse.move(x, y - 4)
        page_hands.until(page, "() => window.answered.length > 0")
        # As a message above it does, where the window is not so high that the picture stays in its place.
        page.evaluate("document.getElementById('picture').style.marginTop = '90px'")
        assert abs(page.locator("#worn").bounding_box()["y"] - top) > 60
        page.mouse.move(x, y - 8)
        page.evaluate("document.getElementById('adds').value = 'anchor'")
        scale = page.evaluate("document.getElementById('worn').getScreenCTM().a")
        page.mouse.up()
        _answered(page)
        assert abs(before - float(handle.get_attribute("data-along")) - 8 / scale) < 3
        # Nor is its letting go a click on the line, though the pointer lies elsewhere on it by now.
        assert [one["do"] for one in page.evaluate("window.answered")][-1] == "move"


@pytest.mark.in_turn(3)
def test_drag_meets_what_it_took_hold_of_where_an_answer_gives_it_another_number(chromium: Any) -> None:
    with page_hands.at_work(chromium, "curved-front", lambda: 1.5) as page:
        page.locator("#adds").select_option("anchor")
        page.locator("#caret").focus()
        # In the middle of the line lies a clear stretch.
        for _ in range(6):
            page.keyboard.press("PageDown")
        page.keyboard.press("Enter")
        _answered(page)
        count = page.locator('[id^="handle-anchor-"]').count()
        assert count == 2
        handle = page.locator(f"#handle-anchor-{count - 1}-whole")
        name, before = handle.get_attribute("aria-label"), float(handle.get_attribute("data-along"))
        page.locator("#remove-anchor-0").evaluate("one => one.click()")
        x, y = page_hands.take_hold(page, handle)
        # The answer comes between the taking hold and the first movement.
        page_hands.until(page, "count => document.querySelectorAll('[id^=handle-anchor-]').length === count - 1", count)
        page.mouse.move(x, y + 12)
        page.mouse.up()
        _answered(page)
        now = page.locator(f'[id^="handle-anchor-"][aria-label="{name}"]')
        assert float(now.get_attribute("data-along")) > before + 5


SHIRT = """title = "Shirt"
[edge]
straight = "24 in"
[garment]
opens = "front"
pieces = "pair"
[band]
width = "1 1/4 in"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
pitch = "3 1/2 in"
first = "1 in"
last = "2 in to 4 in"
"""


@pytest.fixture
def shirt(chromium: Any, tmp_path: Path) -> Iterator[Any]:
    """A row of seven on a slow server, of which the fourth was moved so far that it is the fifth once there is an answer."""
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    (tmp_path / "plan.toml").write_text(SHIRT, encoding="utf-8")
    served = page_hands.slow(listen(0, files_beside(tmp_path / "plan.toml")), lambda: 0.5)
    with page_hands.page_browser.running(served) as address:
        page = chromium.new_page(viewport={"width": 1280, "height": 1000})
        page.add_init_script(page_hands.LISTEN)
        page.goto(address)
        page_hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
        assert page.locator("#worn .mark.handle").count() == 7
        yield page
        page.close()


def _move_the_fourth(page: Any, by: str) -> float:
    handle = page.locator("#mark-4")
    before = float(handle.get_attribute("data-along"))
    if by == "keys":
        handle.focus()
        for _ in range(5):
            page.keyboard.press("PageDown")
        return before + 50
    box = handle.locator("circle").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    scale = page.evaluate("document.getElementById('worn').getScreenCTM().a")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 50 * scale, steps=4)
    page.mouse.up()
    return before + 50


def _locks(page: Any) -> list[float]:
    return [float(one.get_attribute("data-along") or "") for one in page.locator("#worn .mark.handle.locked").all()]


@pytest.mark.parametrize("by", ["keys", "mouse"])
@pytest.mark.parametrize("key", ["Delete", "l", "ArrowDown"])
def test_key_that_is_pressed_before_the_answer_to_a_movement_means_the_closure_that_was_moved(
    shirt: Any, key: str, by: str
) -> None:
    lies = _move_the_fourth(shirt, by)
    shirt.keyboard.press(key)
    _answered(shirt)
    page_hands.until(shirt, "() => document.activeElement.id !== 'mark-4'")
    if key == "Delete":
        # The moved one went, and with it what held the row: nothing is left that a hand set.
        assert shirt.locator("#worn .mark.handle").count() == 6 and not _locks(shirt)
        assert "without" not in shirt.locator("#text").input_value()
        return
    # There is one lock, on the closure that was moved: a second one would be of a neighbour.
    (lock,) = _locks(shirt)
    far = {"l": 0.0, "ArrowDown": 1.0}[key]
    assert abs(lock - lies - far) < 1.2, (lock, lies)


def test_closure_that_is_taken_out_twice_before_the_answer_takes_nothing_else_out(shirt: Any) -> None:
    lies = _move_the_fourth(shirt, "keys")
    for button in ("#hold-out", "#hold-out"):
        shirt.locator(button).click()
    _answered(shirt)
    assert shirt.locator("#worn .mark.handle").count() == 6, lies
