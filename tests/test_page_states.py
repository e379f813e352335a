"""Every state of the page that is no plan on the table, held to WCAG 2.2, and every landmark to a name of its own."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from page_browser import running

_spec = importlib.util.spec_from_file_location("page_seen_too", Path(__file__).with_name("test_page_in_browser.py"))
assert _spec is not None and _spec.loader is not None
page_seen = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_seen)
LOOKS, TEMPLATES = page_seen.LOOKS, page_seen.TEMPLATES

STATES = [
    "garment",
    "first page",
    "answers",
    "refused answers",
    "opening of a garment",
    "tape",
    "offers",
    "sizes",
    "traced",
]


@contextmanager
def serving_romper(aside: Path) -> Iterator[str]:
    """A page with a whole garment on it, that remembers."""
    from closures.app.web.garments import plans_on_disk
    from closures.app.web.server import listen

    garment = plans_on_disk(TEMPLATES / "whole-romper" / "garment.toml", is_own=False)
    with running(listen(0, remember_in=aside, garment=garment)) as address:
        yield address


def go_to(one: Any, where: str) -> None:
    page, root = one.page, "/".join(one.address.split("/")[:3])
    if where == "first page":
        page.goto(f"{root}/")
    elif where == "answers":
        page.goto(f"{root}/begin/shirt")
    elif where == "refused answers":
        page.goto(f"{root}/begin/shirt")
        page.locator('[id="f-edge.straight"]').fill("1,5 in")
        page.locator(".go button").click()
        page.locator("#message .trouble").wait_for()
    elif where in ("tape", "offers", "sizes"):
        page.goto(f"{root}/begin/{'sizes' if where == 'sizes' else 'swap'}")
        page.locator('[id="f-edge.straight"]').fill("600 mm")
        if where != "sizes":
            page.locator('[id="f-swap.places"]').fill("20 mm, 110 mm, 200 mm, 290 mm")
            page.locator(".tape-one").last.wait_for()
        if where != "tape":
            page.locator('label[for="f-band.lap-1"]').click()
            page.locator(".go button").click()
            page.locator(".offers" if where == "offers" else ".size-choices").wait_for()
    elif where == "traced":
        page.goto(f"{root}/")
        sign = page_seen.page_browser.TEMPLATES.parent / "gallery"
        page.locator("#drawing-file").set_input_files(next(sign.glob("*.png")))
        page.get_by_role("button", name="Choose the edge in it").click()
        one.until("() => document.getElementById('photo')?.naturalWidth > 0")
        page.locator("#photo").click()
        page.locator("#traced circle").wait_for(state="attached")
    elif where == "opening of a garment":
        page.locator(".openings a.button").first.click()
        one.ready("#live")
    one.ready("main")


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("look", ["desk", "phone", "forced"])
@pytest.mark.parametrize("where", STATES)
def test_state_is_for_everyone(chromium: Any, tmp_path: Path, look: str, where: str) -> None:
    with serving_romper(tmp_path) as address:
        one = page_seen.Seen(chromium, address, **LOOKS[look])
        go_to(one, where)
        page = one.page
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        # Landmarks of one kind are told apart by their names.
        names = page.evaluate(
            "() => [...document.querySelectorAll('main, header, nav, section[aria-label], section[aria-labelledby],"
            " form[aria-label]')].map(one => one.tagName + ' ' + (one.getAttribute('aria-label') ||"
            " document.getElementById(one.getAttribute('aria-labelledby'))?.textContent || ''))"
        )
        assert len(names) == len(set(names)), names
        assert page_seen.page_browser.breaches_of(page, "best-practice", contrast=look == "desk") == []
        # A refusal that came with another page is an answer of 422, which a browser tells on its console.
        assert [said for said in one.trouble if "422" not in said] == []
        one.context.close()


CUT = """() => [...document.querySelectorAll('.scroll:has(table)')].filter((one) => one.scrollWidth > one.clientWidth)
  .map((one) => one.getAttribute('aria-label') + ' ' + one.scrollWidth + ' > ' + one.clientWidth)"""
PARTED = """() => [...document.querySelectorAll('.pair input[type=radio]')].filter((one) => one.checkVisibility())
  .filter((one) => one.labels[0].getBoundingClientRect().top >= one.getBoundingClientRect().bottom).map((one) => one.id)"""


# Two figures of a row that stand on one line, with too little between them to be read as two.
TOUCHING = """() => [...document.querySelectorAll('#marks td.num + td.num')].map((one) => [one.previousElementSibling, one].map((each) => {
  const range = document.createRange();
  range.selectNodeContents(each);
  return range.getBoundingClientRect();
})).filter(([one, next]) => one.width && next.width && one.top === next.top && next.left - one.right < 4).length"""


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("width", [320, 360, 768, 1280])
@pytest.mark.parametrize("name", ["eight-sizes", "sash-belt", "duvet-foot", "romper"])
def test_no_table_is_cut_and_no_choice_is_parted_from_its_words(
    chromium: Any, tmp_path: Path, name: str, width: int
) -> None:
    with serving_romper(tmp_path) if name == "romper" else page_seen.page_browser.serving(name) as address:
        one = page_seen.Seen(chromium, address, viewport={"width": width, "height": 900})
        page = one.page
        one.until(
            "() => !document.querySelector('.size-grid') || !/…/.test(document.querySelector('.size-grid').textContent)"
        )
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        assert page.locator(".scroll:has(table)").count()
        assert name == "romper" or page.locator(".pair input").count()
        assert page.evaluate(CUT) == [] and page.evaluate(PARTED) == []
        assert page.evaluate(TOUCHING) == 0
        # A strap, of which nothing is locked, has no column that stays empty.
        assert (page.locator("#marks th", has_text="Sits at").count() == 0) == (name in ("sash-belt", "romper"))
        one.context.close()


OUTSIDE = """() => [...document.querySelectorAll('#worn text')].filter((one) => one.checkVisibility()).filter((one) => {
  const at = one.getBoundingClientRect(), all = one.ownerSVGElement.getBoundingClientRect();
  return at.width > 0 && (at.left < all.left || at.right > all.right);
}).map((one) => one.textContent)"""


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("width", [320, 360, 1280])
@pytest.mark.parametrize("name", ["bust point", "WAISTMARK MW", "illicit little fit"])
def test_name_of_a_place_has_its_room_in_the_picture(chromium: Any, name: str, width: int) -> None:
    with page_seen.page_browser.serving("curved-front") as address:
        one = page_seen.Seen(chromium, address, viewport={"width": width, "height": 900})
        field = one.page.locator('[id="f-anchor.0.name"]')
        one.page.evaluate("document.querySelectorAll('#form details').forEach(one => { one.open = true; })")
        field.fill(name)
        field.blur()
        one.until("name => [...document.querySelectorAll('#worn .flag')].some(one => one.textContent === name)", name)
        assert one.page.evaluate(OUTSIDE) == []
        one.context.close()


# A list shows the words that are chosen in it: they are measured with its own letters, and its arrow takes some room.
CUT_WORDS = """() => [...document.querySelectorAll('select')].filter((one) => one.checkVisibility()).filter((one) => {
  const pen = document.createElement('canvas').getContext('2d'), style = getComputedStyle(one);
  pen.font = style.font;
  const room = one.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
  return pen.measureText(one.selectedOptions[0].textContent.trim()).width > room;
}).map((one) => one.id)"""


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("width", [768, 1280, 1920])
def test_no_chosen_words_are_cut_in_the_bar(chromium: Any, width: int) -> None:
    with page_seen.page_browser.serving("eight-sizes") as address:
        one = page_seen.Seen(chromium, address, viewport={"width": width, "height": 900})
        one.ready("#only")
        assert one.page.evaluate(CUT_WORDS) == []
        one.context.close()
