"""The DXF and PDF of the starting plans are as their script makes them."""

from __future__ import annotations

import importlib.util
import io
from pathlib import Path
from types import ModuleType

import pikepdf

ROOT = Path(__file__).resolve().parent.parent


def load_script() -> ModuleType:
    """Import gallery/make_drawings.py, which is no package."""
    spec = importlib.util.spec_from_file_location("make_drawings", ROOT / "gallery" / "make_drawings.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def contents(data: bytes) -> list[bytes]:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return [page.Contents.read_bytes() for page in pdf.pages]


def test_dxf_of_the_starting_plan_is_as_made() -> None:
    assert (ROOT / "templates" / "from-dxf" / "front.dxf").read_bytes() == load_script().dxf_piece()


def test_pdf_of_the_starting_plan_is_as_made() -> None:
    # Packing may differ from one version of the library to the next; what is drawn may not.
    assert contents((ROOT / "templates" / "from-pdf" / "pattern.pdf").read_bytes()) == contents(
        load_script().pdf_pattern()
    )
