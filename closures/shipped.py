"""What comes with the program: starting plans, starting garments, the pages and pictures of the guide."""

from __future__ import annotations

import shutil
from pathlib import Path

from closures.errors import OutputError, PlanError
from closures.files import read_plan_file
from closures.nearest import nearest_name

_PICTURES = (".png", ".svg")


def starting_plans_folder() -> Path:
    """Find the starting plans: beside the package in a checkout, inside it when installed.

    Raises:
        OutputError: they were not installed with the package.
    """
    return _installed("starting_plans", "templates")


def starting_plans() -> dict[str, Path]:
    """List the starting plans by name, in alphabetical order."""
    folder = starting_plans_folder()
    return {plan.parent.name: plan.parent for plan in sorted(folder.glob("*/plan.toml"))}


def starting_garments() -> dict[str, Path]:
    """List the starting garments by name: folders in which a garment file puts plans together."""
    folder = starting_plans_folder()
    return {garment.parent.name: garment.parent for garment in sorted(folder.glob("*/garment.toml"))}


def begins_with(folder: Path) -> Path:
    """The file of a starting plan or garment that is placed."""
    garment = folder / "garment.toml"
    return garment if garment.is_file() else folder / "plan.toml"


def first_words(plan_folder: Path) -> str:
    """What a starting plan or garment says of itself: the comment on its first line."""
    return read_plan_file(begins_with(plan_folder)).decode().partition("\n")[0].lstrip("# ").strip()


def copy_starting_plan(name: str, folder: Path) -> Path:
    """Copy a starting plan for the user to change.

    Args:
        name: of the starting plan.
        folder: where to; it must not hold files yet.

    Returns:
        The copied plan file.

    Raises:
        PlanError: there is no starting plan of this name.
        OutputError: the folder holds files already, or cannot be written.
    """
    plans = starting_plans() | starting_garments()
    if name not in plans:
        near = nearest_name(name, plans)
        raise PlanError(
            f"there is no starting plan '{name}'",
            where="closures start",
            mend=f"Did you mean '{near}'?" if near else f"There are: {', '.join(plans)}.",
        )
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise OutputError(
                "this folder is not empty", where=str(folder), mend="Name a new folder: nothing is overwritten."
            )
        folder.mkdir(parents=True, exist_ok=True)
        for source in sorted(plans[name].iterdir()):
            if source.is_file():
                shutil.copyfile(source, folder / source.name)
    except OSError as error:
        raise OutputError(f"it cannot be copied here ({error.strerror})", where=str(folder)) from None
    return begins_with(folder)


def guide_texts() -> dict[str, str]:
    """Read the pages of the guide: Markdown by path below docs/, without the ending.

    Raises:
        OutputError: the guide was not installed with the package.
    """
    folder = _installed("guide_pages", "docs")
    texts = {
        page.relative_to(folder).with_suffix("").as_posix(): page.read_text(encoding="utf-8")
        for page in sorted(folder.rglob("*.md"))
    }
    if "index" not in texts:
        raise OutputError("the guide was not installed", mend="Install the package anew.")
    return texts


def guide_pictures() -> dict[str, bytes]:
    """Read the pictures of the guide by file name."""
    folder = _installed("pictures", "gallery")
    return {picture.name: picture.read_bytes() for picture in sorted(folder.glob("*.*")) if picture.suffix in _PICTURES}


def _installed(inside: str, beside: str) -> Path:
    """Find a folder that comes with the package: inside it when installed, beside it in a checkout."""
    here = Path(__file__).resolve().parent
    for folder in (here / inside, here.parent / beside):
        if folder.is_dir():
            return folder
    raise OutputError(f"the folder {beside} was not installed", mend="Install the package anew.")
