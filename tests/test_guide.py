"""The guide: every page is reached, every link and picture leads somewhere, topics find their page."""

from __future__ import annotations

import posixpath
from html.parser import HTMLParser
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app, has_desktop
from closures.app.guide.pages import INDEX, make_guide
from closures.app.guide.site import html_of, site_files
from closures.errors import PlanError

GUIDE = make_guide(shipped.guide_texts())
SITE = site_files(GUIDE, shipped.guide_pictures())


class Links(HTMLParser):
    """What a page leads to, and the places on it that can be led to."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.places: set[str] = set()
        self.pictures_without_words: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.places.add(given.get("id") or "")
        if tag in ("a", "link") and given.get("href"):
            self.targets.append(str(given["href"]))
        if tag in ("img", "script") and given.get("src"):
            self.targets.append(str(given["src"]))
        if tag == "img" and not given.get("alt"):
            self.pictures_without_words.append(str(given.get("src")))


PAGES = {name: Links(content.decode()) for name, content in SITE.items() if name.endswith(".html")}


@pytest.mark.parametrize("name", sorted(PAGES))
def test_everything_that_a_page_leads_to_is_there(name: str) -> None:
    for target in PAGES[name].targets:
        assert "//" not in target, f"{name} asks another computer: {target}"
        path, _, place = target.partition("#")
        at = posixpath.normpath(posixpath.join(posixpath.dirname(name), path)) if path else name
        assert at in SITE, f"{name} leads to {target}"
        assert not place or place in PAGES[at].places, f"{name} leads to {target}"


@pytest.mark.parametrize("name", sorted(PAGES))
def test_every_picture_has_words(name: str) -> None:
    assert not PAGES[name].pictures_without_words


def test_every_page_is_in_the_contents_once() -> None:
    assert sorted(GUIDE.order) == sorted(GUIDE.pages)
    assert all(part.title != "More" for part in GUIDE.parts), "docs/index.md does not name every page"


@pytest.mark.parametrize(
    ("topic", "key"),
    [
        ("belts", "how-to/belts"),
        ("Belts, waistbands, cuffs and bibs", "how-to/belts"),
        ("GLOSSARY", "glossary"),
        ("print and tape", "how-to/print-and-tape"),
        ("own-pack", "how-to/own-pack"),
        ("index", INDEX),
    ],
)
def test_topic_finds_its_page(topic: str, key: str) -> None:
    assert [page.key for page in GUIDE.pages_about(topic)] == [key]


def test_word_that_stands_in_no_title_lists_the_pages_that_speak_of_it() -> None:
    found = [page.key for page in GUIDE.pages_about("svg")]
    assert "how-to/own-drawing" in found and INDEX not in found
    ran = CliRunner().invoke(app, ["help", "svg"])
    assert ran.exit_code == 0 and ran.output.startswith("These pages speak of 'svg':") and "own-drawing" in ran.output
    # Endings of a word do not part it from its page.
    assert "how-to/print-and-tape" in [page.key for page in GUIDE.pages_about("printing")][:2]


def test_topic_that_no_page_speaks_of_is_refused_with_the_nearest() -> None:
    with pytest.raises(PlanError, match=r"the guide has nothing on 'butonholes'.*Did you mean buttonholes"):
        GUIDE.pages_about("butonholes")


def test_links_to_pages_become_links_to_web_pages() -> None:
    assert html_of("[a](b.md#c) [d](https://example.org/e.md)") == (
        '<p><a href="b.html#c">a</a> <a href="https://example.org/e.md">d</a></p>\n'
    )


def test_command_writes_the_whole_guide(tmp_path: Path) -> None:
    ran = CliRunner().invoke(app, ["help", "belts", "--out", str(tmp_path / "guide")])
    assert ran.exit_code == 0 and ran.output.rstrip().endswith("belts.html")
    written = {path.relative_to(tmp_path / "guide").as_posix() for path in (tmp_path / "guide").rglob("*.*")}
    assert written == set(SITE)


def test_command_shows_a_page_without_signs_of_markup() -> None:
    ran = CliRunner().invoke(app, ["help", "print", "and", "tape"])
    assert ran.exit_code == 0 and ran.output.startswith("Print at true size and tape the pages\n=====")
    assert "](" not in ran.output and "**" not in ran.output


def test_command_alone_lists_what_there_is_where_no_browser_can_be_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    ran = CliRunner().invoke(app, [])
    assert ran.exit_code == 0 and "closures start curved-front" in ran.output
    assert "There is no desktop here on which a browser could open the page." in ran.output


@pytest.mark.parametrize(
    ("platform", "environment", "has"),
    [
        ("win32", {}, True),
        ("darwin", {}, True),
        ("linux", {}, False),
        ("linux", {"DISPLAY": ":0"}, True),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, True),
    ],
)
def test_desktop_is_known_by_system_and_environment(platform: str, environment: dict[str, str], has: bool) -> None:
    assert has_desktop(platform, environment) is has
