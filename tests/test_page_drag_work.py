"""The work of a drag, counted and not timed: what a move of the pointer costs the page, and a redraw the server."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from work import calls_of

from closures.app.job import check_plan
from closures.app.web.bench import Bench
from closures.app.web.table import Hand, Table, files_beside
from closures.app.web.worn import draw_worn
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"


def _beside(name: str) -> Any:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


page_speed = _beside("page_speed")

COUNT = """(() => {
  window.work = { moves: 0, laid: 0, read: 0, written: 0, asked: 0 };
  const count = (of, name, what) => {
    const real = of[name];
    of[name] = function (...given) { if (window.counting) window.work[what] += 1; return real.apply(this, given); };
  };
  count(Element.prototype, 'getBoundingClientRect', 'laid');
  count(SVGGraphicsElement.prototype, 'getScreenCTM', 'laid');
  count(JSON, 'parse', 'read');
  count(Element.prototype, 'setAttribute', 'written');
  count(window, 'fetch', 'asked');
  addEventListener('pointermove', () => { if (window.counting) window.work.moves += 1; }, true);
})()"""


@contextmanager
def _at_row(opened: Any, folder: Path, text: str, listens: str) -> Iterator[Any]:
    """The page of a plan, listened to from its first line on."""
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    hands = page_speed.page_hands
    (folder / "plan.toml").write_text(text, encoding="utf-8")
    with hands.page_browser.running(listen(0, files_beside(folder / "plan.toml"))) as address:
        context = opened.new_context(viewport={"width": 1280, "height": 900})
        page = context.new_page()
        page.add_init_script(listens)
        page.goto(address)
        hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
        yield page
        context.close()


def _work_of_moves(opened: Any, folder: Path, closures: int, anchors: int, moves: int) -> dict[str, int]:
    """Drag a fixed place by so many moves while the server holds its answer, and count what the page does for them."""
    with _at_row(opened, folder, page_speed.plan_text(closures, anchors), COUNT) as page:
        page.route("**/change", lambda route: None)
        box = page.locator("#handle-anchor-2-whole .anchor").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        # The first move reads the line of this picture.
        page.mouse.move(x, y + 3)
        page.evaluate("window.counting = true")
        for n in range(moves):
            page.mouse.move(x, y + 4 + n % 5)
        page.evaluate("window.counting = false")
        counted: dict[str, int] = page.evaluate("window.work")
    return counted


def test_move_of_the_pointer_costs_the_page_the_same_for_ten_closures_and_for_sixty(
    chromium: Any, tmp_path: Path
) -> None:
    few, many = (_work_of_moves(chromium, tmp_path, *row, moves=20) for row in ((10, 5), (60, 30)))
    for work in (few, many):
        # One look at where the picture lies, and one transform written; no question while one is under way. A browser may
        # tell several moves at once.
        assert 0 < work["moves"] <= 20
        assert work["laid"] == work["written"] == work["moves"]
        assert work["read"] == 0 and work["asked"] == 0


def test_work_of_a_redraw_grows_in_step_with_the_row() -> None:
    def drawn(closures: int, anchors: int) -> int:
        answer = check_plan(read_plan(page_speed.plan_text(closures, anchors).encode(), "plan.toml"))
        draw_worn(answer)
        return calls_of(lambda: draw_worn(answer))

    one, two = drawn(30, 15), drawn(60, 30)
    assert two < 2.2 * one
    # What a closure more costs: lengths that the last picture told, the room of letters and what the whole row has alike are
    # not worked out for each mark anew.
    assert two - one < 30 * 700


def test_drag_to_where_no_row_can_be_costs_less_than_one_to_where_one_can() -> None:
    """Of a place that no row meets all rules are left out in turn: each took thousands of steps where closures may touch."""
    table = Table()
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))

    def to(along: float) -> Bench:
        moved = {"what": "anchor", "n": "0", "part": "whole", "along": f"{along:.1f}"}
        return table.change(bench.name, Hand("move", moved, "drag"))

    assert to(258.0).refusal is None and to(300.0).refusal is not None
    refused, drawn = calls_of(lambda: to(301.0)), calls_of(lambda: to(261.0))
    assert to(302.0).refusal is not None and to(259.0).refusal is None
    assert refused < 2.5 * drawn


READ = """(() => {
  window.read = 0;
  const add = (html) => { if (!html.includes('<fieldset')) window.read += html.length; };
  const set = Object.getOwnPropertyDescriptor(Element.prototype, 'innerHTML').set;
  Object.defineProperty(Element.prototype, 'innerHTML', {
    ...Object.getOwnPropertyDescriptor(Element.prototype, 'innerHTML'), set(html) { add(html); set.call(this, html); },
  });
  const real = Range.prototype.createContextualFragment;
  Range.prototype.createContextualFragment = function (html) { add(html); return real.call(this, html); };
})()"""


def test_an_answer_that_moves_one_closure_is_not_read_anew_as_a_whole(chromium: Any, tmp_path: Path) -> None:
    """Between two fixed places a move changes three closures of sixty: of picture, checks and table a small share is read."""
    exact = page_speed.plan_text(60, 30).replace('within = "1 mm"\n', "")
    with _at_row(chromium, tmp_path, exact, READ) as page:
        whole = page.evaluate(
            "['picture', 'findings', 'marks'].reduce((n, id) => n + document.getElementById(id).innerHTML.length, 0)"
        )
        page.locator("#handle-anchor-15-whole").focus()
        for _ in range(2):
            page.evaluate("window.read = 0")
            was = page.locator("#text").input_value()
            page.keyboard.press("ArrowDown")
            page_speed.page_hands.until(page, f"() => document.getElementById('text').value !== {was!r}")
        assert 0 < page.evaluate("window.read") < 0.2 * whole


def _styled(page: Any, press: str, wait: str) -> int:
    """How many elements the browser asks its style rules about, from a key's press until something holds."""
    heard: list[dict[str, Any]] = []
    ended: list[bool] = []
    session = page.context.new_cdp_session(page)
    session.on("Tracing.dataCollected", lambda told: heard.extend(told["value"]))
    session.on("Tracing.tracingComplete", lambda told: ended.append(True))
    session.send("Tracing.start", {"transferMode": "ReportEvents", "categories": "devtools.timeline"})
    page.keyboard.press(press)
    page_speed.page_hands.until(page, wait)
    # The frame that shows it is styled before a script is called for the one after it.
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    session.send("Tracing.end")
    while not ended:
        page.wait_for_timeout(20)
    return sum(one["args"].get("elementCount", 0) for one in heard if one["name"] == "UpdateLayoutTree")


def test_an_answer_styles_what_it_changed_and_not_the_page(chromium: Any, tmp_path: Path) -> None:
    """A rule that asks what the picture has in it would have every element styled anew for each closure that moves."""
    with _at_row(chromium, tmp_path, page_speed.plan_text(60, 30), "") as page:
        page.locator("#handle-anchor-15-whole").focus()
        page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        was = page.locator("#text").input_value()
        styled = _styled(page, "ArrowDown", f"() => document.getElementById('text').value !== {was!r}")
        every = page.evaluate("document.querySelectorAll('*').length")
    assert 0 < styled < 0.2 * every


def test_tables_beside_a_picture_wait_for_a_hand_that_drags_and_come_as_it_lets_go(
    chromium: Any, tmp_path: Path
) -> None:
    told = "() => [...document.querySelectorAll('#marks tbody tr')].map(one => parseFloat(one.cells[1].textContent))"
    drawn = "() => [...document.querySelectorAll('#worn .mark')].map(one => Number(one.dataset.along))"
    with _at_row(chromium, tmp_path, page_speed.plan_text(12, 4), "") as page:
        # No clock of the page goes on by itself: what waits for a hand to stay still waits here until it lets go.
        page.clock.install()
        page.clock.pause_at("2100-01-01")
        before = page.evaluate(told)
        box = page.locator("#handle-anchor-2-whole .anchor").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x, y + 6)
        page_speed.page_hands.until(
            page, f"before => Math.max(...({drawn})().map((at, n) => Math.abs(at - before[n]))) > 1", before
        )
        assert page.evaluate(told) == before
        assert page.locator("#slow").inner_text() == ""
        page.mouse.up()
        assert page.evaluate(told) == pytest.approx(page.evaluate(drawn), abs=0.051)
