"""The gallery: pictures of every starting plan, made by one command."""

from __future__ import annotations

import importlib.util
import io
import re
from pathlib import Path
from types import ModuleType

import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
GALLERY = ROOT / "gallery"
PLANS = sorted(path.parent.name for path in (ROOT / "templates").glob("*/plan.toml"))
GARMENTS = sorted(path.parent.name for path in (ROOT / "templates").glob("*/garment.toml"))
LARGEST_BYTES = 150_000
STEPS = {path.name for path in GALLERY.glob("step-*.png")}


def load_make(name: str = "make") -> ModuleType:
    """Import a script of the gallery, which is no package."""
    spec = importlib.util.spec_from_file_location(f"gallery_{name}", GALLERY / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def is_blank(picture: Image.Image) -> bool:
    """Whether a picture shows one grey only."""
    low, high = picture.convert("L").getextrema()
    return low == high


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("what", ["over", "under", "page"])
def test_gallery_pictures_every_starting_plan(name: str, what: str) -> None:
    path = GALLERY / f"{name}-{what}.png"
    assert path.stat().st_size < LARGEST_BYTES
    with Image.open(path) as picture:
        assert picture.format == "PNG"
        assert picture.width <= 900 and picture.height <= 1701
        assert not is_blank(picture)


def test_gallery_page_shows_every_picture_and_no_other() -> None:
    page = (GALLERY / "README.md").read_text(encoding="utf-8")
    shown = set(re.findall(r"\]\(([^)/]+\.png)\)", page))
    assert shown == {path.name for path in GALLERY.glob("*.png")} - STEPS
    offers = {f"{name}-offers.png" for name in PLANS if "swap" in name}
    plans = {name: (ROOT / "templates" / name / "plan.toml").read_text(encoding="utf-8") for name in PLANS}
    tables = {f"{name}-table.png" for name, text in plans.items() if "\n[sheets]" in text or "\n[stand]" in text}
    assert len(GARMENTS) > 1
    tables |= {f"{name}-table.png" for name in GARMENTS}
    assert shown == {"the-page.png"} | offers | tables | {
        f"{name}-{what}.png" for name in PLANS for what in ("over", "under", "page")
    }


def test_every_picture_of_a_step_stands_in_the_guide_with_a_text_of_its_own() -> None:
    pages = [path.read_text(encoding="utf-8") for path in (ROOT / "docs").rglob("*.md")]
    told = [found for page in pages for found in re.findall(r"!\[([^\]]*)\]\(\S*?(step-[\w-]+\.png)\)", page)]
    assert {name for _, name in told} == STEPS
    assert all(len(text) > 40 for text, _ in told)
    assert all((GALLERY / name).stat().st_size < LARGEST_BYTES // 3 for name in STEPS)


def test_gallery_made_anew_gives_the_same_page_and_the_same_sizes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make = load_make()
    few = {name: ROOT / "templates" / name for name in ("cape-corner", "side-opening")}
    monkeypatch.setattr(make.shipped, "starting_plans", lambda: few)
    garment = {"whole-nursing-top": ROOT / "templates" / "whole-nursing-top"}
    monkeypatch.setattr(make.shipped, "starting_garments", lambda: garment)
    make.main(tmp_path)
    pictures = {f"{name}-{what}.png" for name in few for what in ("over", "under", "page")}
    assert {path.name for path in tmp_path.iterdir()} == pictures | {"README.md", "whole-nursing-top-table.png"}
    page = (GALLERY / "README.md").read_text(encoding="utf-8")
    for part in (tmp_path / "README.md").read_text(encoding="utf-8").split("\n## ")[1:]:
        assert part.strip() in page
    for path in tmp_path.glob("*.png"):
        with Image.open(path) as new, Image.open(GALLERY / path.name) as kept:
            assert new.size == kept.size


def test_blank_picture_is_told_from_a_drawn_one() -> None:
    blank, drawn = Image.new("L", (4, 4), 255), Image.new("L", (4, 4), 255)
    drawn.putpixel((1, 1), 0)
    assert is_blank(blank) and not is_blank(drawn)


def test_picture_in_greys_keeps_its_size_and_stands_on_white() -> None:
    picture = io.BytesIO()
    Image.new("RGBA", (5, 3), (0, 0, 0, 0)).save(picture, "PNG")
    with Image.open(io.BytesIO(load_make().in_greys(picture.getvalue()))) as seen:
        assert seen.size == (5, 3)
        assert seen.convert("L").getextrema() == (255, 255)


def test_picture_of_the_page_is_written_over_the_one_that_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shoot = load_make("shoot")
    (tmp_path / "the-page.png").write_bytes(b"the page as it was")
    monkeypatch.setattr(shoot.shutil, "which", lambda name: f"/{name}")
    monkeypatch.setattr(shoot, "picture", lambda chromium: b"the page as it is")
    shoot.main(tmp_path)
    assert (tmp_path / "the-page.png").read_bytes() == b"the page as it is"
