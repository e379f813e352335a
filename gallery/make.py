"""Make the gallery: place every starting plan and garment, and picture its sheets and its first page.

Run it from anywhere::

    python gallery/make.py

Needs the packages of the ``test`` extra, for the picture of a PDF page.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from closures import shipped
from closures.app.job import load_plan, offers_picture, picture_on_piece, place_plan
from closures.app.pages import booklet_of, pages_as_pdf
from closures.app.sizing import place_sizes, size_files
from closures.app.whole import garment_files, work_garment
from closures.drawing.write.picture import write_picture
from closures.drawing.write.svg import write_svg

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.whole import Whole
    from closures.jobs.sizes.sized import Sizes

LARGEST_PX = (900, 1700)
"""A picture fits into this width and height: wide enough to read, small enough to load."""

PAGE_PX = 620
"""Width of the picture of a printed page."""

PAGES_ACROSS = 4
"""So many pages stand side by side in the picture of what is made for the table."""

GREYS = 16
"""Black lines with soft borders need no more; the files come out a third as large."""

HEADING = """\
# Gallery

The starting plans, placed. Every picture comes from a plan in `templates/`, by `python gallery/make.py`;
to begin from one of them: `closures start NAME`. The pictures are for looking at: print the PDF that
`closures place` writes, not these.

The page, opened by `closures serve` ([how](../docs/how-to/the-page.md)), pictured by `python gallery/shoot.py`:

![The page in a browser: a shaped front with ten numbered snaps, checks and fields beside it](the-page.png)
"""

ON_PIECES = ("closed-outline", "curved-front", "back-dress", "crossed-wrap", "side-opening", "crotch-flap")
"""Starting plans that are shown on their pieces."""


def main(folder: Path = HERE) -> None:
    """Write the pictures of all starting plans, and the page that shows them.

    Args:
        folder: where they go; made when it is not there.

    Raises:
        ClosureError: a starting plan cannot be placed, or a picture cannot be made.
    """
    shown = []
    made: dict[str, bytes] = {}
    for name, plan_folder in shipped.starting_plans().items():
        plan_path = plan_folder / "plan.toml"
        plan = load_plan(plan_path)
        if plan.sizes is not None:
            sizes = place_sizes(plan, plan_path)
            made.update(pictures_of_sizes(name, sizes))
            shown.append(section_of_sizes(name, sizes))
            continue
        answer = place_plan(plan, plan_path)
        made.update(pictures(name, answer))
        shown.append(section(name, answer))
    for name, garment_folder in shipped.starting_garments().items():
        whole = work_garment(shipped.begins_with(garment_folder))
        made[f"{name}-table.png"] = in_greys(all_pages(garment_files(whole, "a4")["marking.pdf"]))
        shown.append(section_of_garment(name, whole))
    made["README.md"] = "\n".join([HEADING, *shown]).encode()
    # The gallery is no set of results: its files stand beside each other, and this program with them.
    folder.mkdir(parents=True, exist_ok=True)
    for file, data in made.items():
        (folder / file).write_bytes(data)


def pieces(folder: Path) -> None:
    """Picture rows on their pieces, for the page on what is closed."""
    for name in ON_PIECES:
        plan_path = shipped.starting_plans()[name] / "plan.toml"
        drawn = picture_on_piece(place_plan(load_plan(plan_path), plan_path), ".svg", plan_path)
        (folder / f"piece-{name}.svg").write_bytes(drawn)


def pictures(name: str, answer: Answer) -> Iterator[tuple[str, bytes]]:
    """Picture both sheets and the first templates of an answer.

    Args:
        name: of the starting plan; the file names begin with it.
        answer: its placement, with sheets.

    Yields:
        File name and PNG.
    """
    # Of a pair the first piece is shown; the other is the same, mirrored.
    for sheet in answer.sheets[:2]:
        svg = write_svg(sheet)
        yield f"{name}-{sheet.lap}.png", in_greys(write_picture(svg, width_px(svg)))
    booklet = booklet_of(answer, answer.catalogue.paper("a4"))
    pages = pages_as_pdf(booklet)
    yield f"{name}-page.png", in_greys(one_page(pages, booklet.covers))
    if answer.placement.plan.asks_for_pages:
        yield f"{name}-table.png", in_greys(all_pages(pages))
    if answer.swap is not None:
        svg = offers_picture(answer)
        yield f"{name}-offers.png", in_greys(write_picture(svg, width_px(svg)))


def pictures_of_sizes(name: str, sizes: Sizes) -> Iterator[tuple[str, bytes]]:
    """Picture the nest of both laps and its first templates.

    Args:
        name: of the starting plan; the file names begin with it.
        sizes: placed, with their sheets.

    Yields:
        File name and PNG.
    """
    for sheet in sizes.nest:
        svg = write_svg(sheet)
        yield f"{name}-{sheet.lap}.png", in_greys(write_picture(svg, width_px(svg)))
    yield f"{name}-page.png", in_greys(one_page(size_files(sizes, "a4")["marking.pdf"], 1))


def section_of_sizes(name: str, sizes: Sizes) -> str:
    """Write the part of the page that shows a plan of several sizes.

    Args:
        name: of the starting plan.
        sizes: placed.

    Returns:
        Markdown: title, what was placed, a table of pictures.
    """
    plan, names = sizes.plan, [size.name for size in sizes.placed]
    closure = sizes.base.placement.fastener.name
    return (
        f"## {plan.title}\n\n"
        f"`{name}`: sizes {names[0]} to {names[-1]}, {len(sizes.base.placement.marks)} closures ({closure}) in the "
        f"base, {plan.lap}. [Plan](../templates/{name}/plan.toml)\n\n"
        "| all sizes, over lap | all sizes, under lap | first templates of the PDF |\n|---|---|---|\n"
        f"| ![{plan.title}, over lap]({name}-over.png) | ![{plan.title}, under lap]({name}-under.png) "
        f"| ![{plan.title}, guide]({name}-page.png) |\n"
    )


def section_of_garment(name: str, whole: Whole) -> str:
    """Write the part of the page that shows a whole garment.

    Args:
        name: of the starting garment.
        whole: its openings, placed.

    Returns:
        Markdown: title, what its openings carry, a picture of the one set of pages.
    """
    title = whole.garment.title
    openings = [
        f"{opening.name}, {len(answer.placement.marks)} closures ({answer.placement.fastener.name})"
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    return (
        f"## {title}\n\n"
        f"`{name}`, {len(openings)} openings in one set: {'; '.join(openings)}. "
        f"[Plans](../templates/{name})\n\n"
        f"![{title}, the whole set]({name}-table.png)\n"
    )


def width_px(svg: bytes) -> int:
    """Choose the width at which a drawing fits the largest picture.

    Args:
        svg: a drawing whose viewBox has its proportions.

    Returns:
        The width in pixels.
    """
    _, _, width, height = map(float, ElementTree.fromstring(svg).attrib["viewBox"].split())
    return int(min(LARGEST_PX[0], LARGEST_PX[1] * width / height))


def one_page(pdf: bytes, number: int) -> bytes:
    """Picture a page of a PDF.

    Args:
        pdf: the file.
        number: of the page, from 0.

    Returns:
        A PNG.
    """
    import pypdfium2  # type: ignore[import-untyped]

    page = pypdfium2.PdfDocument(pdf)[number]
    picture = io.BytesIO()
    page.render(scale=PAGE_PX / page.get_width()).to_pil().save(picture, "PNG")
    return picture.getvalue()


def all_pages(pdf: bytes) -> bytes:
    """Picture all pages of a PDF side by side, in rows.

    Args:
        pdf: the file.

    Returns:
        A PNG.
    """
    import pypdfium2  # type: ignore[import-untyped]
    from PIL import Image

    wide = LARGEST_PX[0] // PAGES_ACROSS
    # Drawn three times as large and made smaller, so that fine lines stay fine.
    pictures = []
    for page in pypdfium2.PdfDocument(pdf):
        large = page.render(scale=3 * wide / page.get_width()).to_pil()
        pictures.append(large.resize((wide, large.height * wide // large.width), Image.Resampling.LANCZOS))
    tall = max(picture.height for picture in pictures)
    rows = -(-len(pictures) // PAGES_ACROSS)
    whole = Image.new("RGB", (wide * PAGES_ACROSS, tall * rows), "white")
    for k, picture in enumerate(pictures):
        whole.paste(picture, (wide * (k % PAGES_ACROSS), tall * (k // PAGES_ACROSS)))
    shown = io.BytesIO()
    whole.save(shown, "PNG")
    return shown.getvalue()


def in_greys(png: bytes) -> bytes:
    """Keep few greys of a picture, so that the file is small.

    Args:
        png: a picture.

    Returns:
        The same picture, on white.
    """
    from PIL import Image

    with Image.open(io.BytesIO(png)) as picture:
        seen = picture.convert("RGBA")
    white = Image.new("RGBA", seen.size, "white")
    white.alpha_composite(seen)
    small = io.BytesIO()
    white.convert("L").quantize(GREYS).save(small, "PNG", optimize=True)
    return small.getvalue()


def section(name: str, answer: Answer) -> str:
    """Write the part of the page that shows one plan.

    Args:
        name: of the starting plan.
        answer: its placement.

    Returns:
        Markdown: title, what was placed, a table of pictures.
    """
    from closures.lengths import format_length

    placement = answer.placement
    plan, spacing = placement.plan, placement.spacing
    lap = f", {plan.lap}" if plan.lap else ""
    gaps = " to ".join(
        dict.fromkeys(format_length(gap, plan.units) for gap in (spacing.smallest_mm, spacing.largest_mm))
    )
    told = f"gaps {gaps}."
    if placement.strap is not None:
        told = spacing.reason
    closure = placement.fastener.name
    offers = f"\n![{plan.title}, all offers]({name}-offers.png)\n" if answer.swap else ""
    table = f"\n![{plan.title}, the whole set]({name}-table.png)\n" if placement.plan.asks_for_pages else ""
    return (
        f"## {plan.title}\n\n"
        f"`{name}`: {len(placement.marks)} closures ({closure}){lap}, {told} "
        f"[Plan](../templates/{name}/plan.toml)\n\n"
        "| over lap | under lap | first templates of the PDF |\n|---|---|---|\n"
        f"| ![{plan.title}, over lap]({name}-over.png) | ![{plan.title}, under lap]({name}-under.png) "
        f"| ![{plan.title}, first templates]({name}-page.png) |\n"
        f"{offers}{table}"
    )


if __name__ == "__main__":
    main()
    pieces(HERE)
