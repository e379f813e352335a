"""How the page looks in a narrow window, in inches and in millimetres, and in colours that its reader chose."""

from __future__ import annotations

import importlib.util
import re
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
        assert _hint(page, "spacing.first") == (
            "from the lapel to its centre, such as 16 mm, or 13 mm to 19 mm; as is usual if left empty"
        )
        assert _hint(page, "spacing.last") == "from its centre to the hem, such as 51 mm, or 51 mm to 102 mm"
        page.click("#in-in")
        page.locator("#in-in[aria-pressed='true']").wait_for()
        assert _hint(page, "spacing.pitch") == "such as 3 in"
        assert _hint(page, "spacing.last") == "from its centre to the hem, such as 2 in, or 2 in to 4 in"


def test_examples_of_a_strap_stand_in_inches_where_its_plan_does(chromium: Any) -> None:
    with looking(chromium, "sash-belt", WIDE) as page:
        page.evaluate("() => document.querySelectorAll('details').forEach(one => { one.open = true; })")
        assert "30 in" not in _hint(page, "belt.target") and _hint(page, "belt.target").startswith("such as 760 mm")
        page.click("#in-in")
        page.locator("#in-in[aria-pressed='true']").wait_for()
        assert _hint(page, "belt.target").startswith("such as 30 in")
        page.evaluate("() => document.querySelectorAll('details').forEach(one => { one.open = true; })")
        told = page.locator(".hint[id^='h-']").all_inner_texts()
        # How thick a cloth is, how a ring is cut: no example of any field is left in millimetres or centimetres.
        assert len(told) > 60 and not [text for text in told if re.search(r"\d [mc]m\b", text)]


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


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("plan", [None, "curved-front", "eight-sizes"])
def test_label_and_field_stay_on_one_line_in_a_narrow_window(chromium: Any, plan: str | None) -> None:
    with looking(chromium, plan, PHONE) as page:
        if plan:
            page.evaluate("document.querySelector('#d-how').open = true")
        assert page.locator(".how label, .pair label").count() >= 2
        assert page.evaluate(_APART) == []


def _sizes(page: Any, which: str) -> list[float]:
    """How high letters of the picture come out on the screen, in px."""
    script = """which => [...document.querySelectorAll(which)].map(one =>
      parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)"""
    return [float(size) for size in page.evaluate(script, which)]


def test_numbers_on_the_cloth_are_rimmed_where_the_edge_beneath_would_strike_them_through(chromium: Any) -> None:
    with looking(chromium, "double-breasted", WIDE) as page:
        rims = page.evaluate("""() => [...document.querySelectorAll('#worn .number')].map(one => {
          const told = getComputedStyle(one);
          return [told.paintOrder, told.stroke === getComputedStyle(document.querySelector('#worn .cloth.over')).fill,
            parseFloat(told.strokeWidth) > 0];
        })""")
        assert len(rims) == 9
        assert all(order.startswith("stroke") and is_cloth and is_wide for order, is_cloth, is_wide in rims)


_ON_EACH_OTHER = """svg => {
  const seen = [...svg.querySelectorAll("text")].filter(one => one.getBoundingClientRect().width > 0);
  const within = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.35 * Math.min(a.height, b.height);
  return seen.flatMap((one, n) => seen.slice(n + 1).filter(other =>
    within(one.getBoundingClientRect(), other.getBoundingClientRect())).map(other => [one.textContent, other.textContent]));
}"""


def test_short_row_of_a_garment_leaves_out_gaps_that_find_no_room(chromium: Any) -> None:
    with looking(chromium, None, WIDE) as page:
        page.click("button[value='whole-romper']")
        page.locator(".openings").wait_for()
        cards = page.locator(".openings li", has=page.locator("h3", has_text="crotch")).locator(".opening-picture svg")
        assert cards.count() == 2
        for card in cards.all():
            assert card.locator(".gap:visible").count() == 0
            assert card.locator(".number:visible").count() == 3
            assert card.evaluate(_ON_EACH_OTHER) == []


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("plan", ["sash-belt", "bib"])
def test_letters_along_a_strap_are_read_on_a_phone_and_no_larger_on_a_wide_board(chromium: Any, plan: str) -> None:
    with looking(chromium, plan, PHONE) as page:
        assert min(_sizes(page, "#worn .number")) >= 14.0
        assert min(_sizes(page, "#worn .end")) >= 12.0
        assert page.evaluate("document.querySelector('#told').getBoundingClientRect().height") == 0
    with looking(chromium, plan, WIDE) as page:
        assert 14.0 <= min(_sizes(page, "#worn .number")) <= max(_sizes(page, "#worn .number")) <= 22.0


def test_board_is_quiet_and_cloth_is_outlined_in_colours_that_the_reader_chose(chromium: Any) -> None:
    with looking(chromium, "curved-front", WIDE, forced_colors="active") as page:
        told = page.evaluate("""() => Object.fromEntries(['.square', '.cloth.over', '.cloth.under'].map(which => {
          const one = getComputedStyle(document.querySelector('#worn ' + which));
          return [which, [one.stroke, parseFloat(one.strokeWidth), parseFloat(one.strokeOpacity)]];
        }))""")
        ink = page.evaluate("getComputedStyle(document.querySelector('#worn .edge')).stroke")
    _, width, opacity = told[".square"]
    assert width <= 0.5
    assert opacity <= 0.5
    for cloth in (".cloth.over", ".cloth.under"):
        assert told[cloth][0] == ink
        assert told[cloth][1] > width


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("plan", "wide"), [("eight-sizes", 360), ("eight-sizes", 390), ("double-breasted", 360), ("sash-belt", 1280)]
)
def test_figure_and_unit_of_a_mark_stand_on_one_line(chromium: Any, plan: str, wide: int) -> None:
    with looking(chromium, plan, {"width": wide, "height": 800}) as page:
        lines = page.evaluate("""() => [...document.querySelectorAll('#marks td.num')].map(cell => {
          const range = document.createRange();
          range.selectNodeContents(cell);
          return new Set([...range.getClientRects()].map(one => Math.round(one.top))).size;
        })""")
        assert len(lines) > 10
        assert max(lines) == 1
        assert (
            page.evaluate("(one => one.scrollWidth - one.clientWidth)(document.querySelector('#marks .scroll'))") <= 0
        )


def test_rows_that_large_letters_would_cut_off_at_the_side_stand_below_each_other_figure_by_figure(
    chromium: Any,
) -> None:
    with looking(chromium, "sash-belt", {"width": 360, "height": 740}) as page:
        over = "() => [...document.querySelectorAll('.stacks')].map(one => one.scrollWidth - one.clientWidth)"
        heads = "() => [...document.querySelectorAll('.stacks thead')].map(one => getComputedStyle(one).display)"
        assert page.evaluate(heads) == ["table-header-group"] * 2
        page.evaluate("() => { document.documentElement.style.fontSize = '32px'; }")
        page.wait_for_timeout(200)
        assert max(page.evaluate(over)) <= 0 and page.evaluate(heads) == ["none"] * 2
        told = "() => getComputedStyle(document.querySelector('.stacks td[data-head]'), '::before').content"
        assert page.evaluate(told) == '"Closed inside: "'


# What is read in a picture, as it stands on the screen.
LETTERED = """() => {
  const board = document.getElementById('picture').getBoundingClientRect();
  return [...document.querySelectorAll('#worn text')].map(one => [one, one.getBoundingClientRect()])
    .filter(([one, box]) => box.width > 0 && getComputedStyle(one).display !== 'none')
    .map(([one, box]) => [one.textContent, box.left - board.left, box.top - board.top, box.right - board.left,
      box.bottom - board.top, parseFloat(one.getAttribute('font-size')) * one.getScreenCTM().a, board.width, board.height]);
}"""


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("wide", [320, 480])
@pytest.mark.parametrize("plan", ["crotch-flap", "hidden-button", "sash-belt", "waistband"])
def test_what_lies_is_read_on_a_small_board_and_nothing_of_it_is_cut_off_or_written_over(
    chromium: Any, plan: str, wide: int
) -> None:
    with looking(chromium, plan, {"width": wide, "height": 740}) as page:
        every = page.evaluate(LETTERED)
        assert len(every) >= 4
        for text, left, top, right, bottom, px, width, height in every:
            assert left >= -1 and top >= -1 and right <= width + 1 and bottom <= height + 1, text
            # As large as the numbers of an upright front are on the same phone, or larger.
            assert px > 8.5, text
        for n, one in enumerate(every):
            for other in every[n + 1 :]:
                # A line of letters has some room of its own above and below.
                across, high = (
                    min(one[3], other[3]) - max(one[1], other[1]),
                    min(one[4], other[4]) - max(one[2], other[2]),
                )
                assert across < 1.5 or high < 0.35 * (one[4] - one[2]), (one[0], other[0])


def test_the_names_of_a_row_that_lies_down_stand_below_all_cloth(chromium: Any) -> None:
    with looking(chromium, "crotch-flap", PHONE) as page:
        cloth = page.evaluate(
            "() => Math.max(...[...document.querySelectorAll('#worn .cloth')].map(one => one.getBoundingClientRect().bottom))"
        )
        names = page.evaluate(
            "() => [...document.querySelectorAll('#worn text.end')].map(one => one.getBoundingClientRect().top)"
        )
        assert len(names) == 4 and all(top >= cloth - 2 for top in names)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("plan", "path"),
    [(None, ""), (None, "/begin/dress"), (None, "/begin/swap"), (None, "/begin/belt"), ("curved-front", "")],
)
def test_letters_of_twice_the_size_need_no_scrolling_across_on_a_phone(
    chromium: Any, plan: str | None, path: str
) -> None:
    with looking(chromium, plan, {"width": 360, "height": 740}, path) as page:
        # Twice what the style sheet asks for, as who sets larger letters in the browser has it.
        page.evaluate("() => { document.documentElement.style.fontSize = '225%'; }")
        page.wait_for_timeout(200)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        reach = "([...document.querySelectorAll('.thumb > *')].map(one => one.getBoundingClientRect().right))"
        assert all(right <= 361 for right in page.evaluate(reach))


def test_the_size_in_hand_is_told_from_the_others_in_colours_of_the_readers_own(chromium: Any) -> None:
    seen = "one => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color, getComputedStyle(one).forcedColorAdjust]"
    with looking(chromium, "eight-sizes", WIDE, forced_colors="active") as page:
        page.locator(".size-grid button[aria-current='true']").wait_for()
        shown = page.locator(".size-grid button[aria-current='true']").evaluate(seen)
        assert shown == page.locator("#get-pdf").evaluate(seen) and shown[0] != shown[1]


_FREE = """() => Math.min(...[document.querySelector('.thumb'), document.getElementById('compare'), document.getElementById('said-above')]
    .filter(one => getComputedStyle(one).position === 'fixed' && one.offsetHeight).map(one => one.getBoundingClientRect().top))"""
# What has the focus and reaches below what is held at the foot of the window, each by its name or words.
_HIDDEN = """async free => {
    document.querySelectorAll('details').forEach(one => { one.open = true; });
    document.documentElement.style.scrollBehavior = 'auto';
    const found = [], all = document.querySelectorAll('#form input, #form select, #form button, #checks a, #marks a, #print button, #text');
    for (const one of all) {
        if (!one.offsetParent || one.type === 'hidden' || one.offsetHeight > free) continue;
        window.scrollTo(0, 0);
        one.focus();
        const box = one.getBoundingClientRect();
        if (document.activeElement === one && box.bottom > free + 1) found.push([one.id || one.textContent, box.bottom]);
    }
    return [all.length, found];
}"""


@pytest.mark.in_turn(2)
@pytest.mark.parametrize(
    "window", [(320, 640), (360, 740), (390, 844)], ids=lambda window: f"{window[0]} x {window[1]}"
)
def test_what_is_held_at_the_foot_of_a_phone_takes_a_third_of_it_at_most_and_hides_nothing_in_hand(
    chromium: Any, window: tuple[int, int]
) -> None:
    width, height = window
    with looking(chromium, "curved-front", {"width": width, "height": height}, is_mobile=True, has_touch=True) as page:
        page.locator("#compare-keep").click()
        page.locator(".two-rows").wait_for()
        # Every figure of the two rows differs, the checks as well.
        for field, text in (("spacing.first", "1 in"), ("spacing.last", "1 in"), ("spacing.pitch", "1 in")):
            page.locator(f"[id='f-{field}']").fill(text)
            page.locator(f"[id='f-{field}']").press("Enter")
            page.locator(f"xpath=//*[@id='text'][contains(., '{field.partition('.')[2]} = \"{text}\"')]").wait_for(
                state="attached"
            )
        page.locator("#compare-take").wait_for()
        assert page.locator("#compare th.agrees").count() <= 1
        free = page.evaluate(_FREE)
        assert height * 2 / 3 <= free < height - 60
        # Both rows and every button of theirs are seen without scrolling; figures that find no room are scrolled to.
        for one in [page.locator(".two-rows"), *page.locator("#compare button").all()]:
            box = one.bounding_box()
            assert free <= box["y"] and box["y"] + box["height"] <= page.locator(".thumb").bounding_box()["y"] + 1
        asked, hidden = page.evaluate(_HIDDEN, free)
        assert asked > 60 and hidden == []
        # What is said of a change that was refused takes that room, and not more than it.
        other = page.context.new_page()
        other.goto(page.url)
        other.locator("body.ready").wait_for()
        other.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        for one, field, text in ((other, "spacing.pitch", "30 mm"), (page, "spacing.widest", "90 mm")):
            one.bring_to_front()
            one.locator(f"[id='f-{field}']").fill(text)
            one.locator(f"[id='f-{field}']").press("Enter")
            if one is other:
                one.locator("xpath=//*[@id='text'][contains(., '30 mm')]").wait_for(state="attached")
        page.locator("#said-above a").wait_for()
        # Whatever is measured by an observer is told before the next frame is painted.
        page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        free = page.evaluate(_FREE)
        assert height * 2 / 3 <= free < height - 60
        assert page.evaluate(_HIDDEN, free)[1] == []
