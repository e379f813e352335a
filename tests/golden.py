"""What stands on ten sheets, as lines of text that somebody can read; `python tests/golden.py` writes them anew.

A sheet is compared by what it shows: every circle, line and word, with its place to a hundredth of a millimetre. How
the file spells it (the order of attributes, digits that nobody sees, one path or two) is no part of it. Write them anew
only when a sheet was meant to change, and look at the difference.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent
GOLDEN = Path(__file__).with_name("golden")
SHEETS = {
    "cape-corner": "over", "cardigan-band": "under", "crotch-flap": "over", "cuff": "under", "curved-front": "over",
    "duvet-foot": "under", "jacket-placket": "over", "scooped-wrap": "under", "shirt-front": "over", "side-opening": "under",
}  # fmt: skip
_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?\d*\.?\d+(?:e-?\d+)?")


def sheet_of(name: str, lap: str) -> tuple[bytes, dict[str, object]]:
    """The sheet of a starting plan, and its report."""
    import json

    from closures.app.job import load_plan, place_plan, result_files

    plan = ROOT / "templates" / name / "plan.toml"
    files = result_files(place_plan(load_plan(plan), plan), "a4")
    return files[f"{lap}.svg"], json.loads(files["report.json"])


def content_of(svg: bytes) -> str:
    """List what a sheet shows, a line to each thing, in the order of their places."""
    root = ElementTree.fromstring(svg)
    told = sorted(_told(root, ""))
    return "\n".join([f"sheet {root.get('width')} by {root.get('height')}", *told]) + "\n"


def _told(element: ElementTree.Element, within: str) -> list[str]:
    found = []
    for one in element:
        tag = one.tag.removeprefix(_SVG)
        if tag == "g" and one.get("class") == "words":
            found.append(f"{within} words {_title(one)!r} at {_rounded(one.get('transform', ''))}")
        elif tag == "g":
            found += _told(one, one.get("id") or within)
        elif tag == "circle":
            place = " ".join(_rounded(one.get(key, "")) for key in ("cx", "cy", "r"))
            found.append(f"{within} circle {one.get('class', '')} {place} {_look(one)}")
        elif tag == "path":
            found.append(f"{within} path {_box(one.get('d', ''))} {_look(one)}")
        elif tag == "rect":
            found.append(
                f"{within} rect " + " ".join(_rounded(one.get(key, "")) for key in ("x", "y", "width", "height"))
            )
    return found


def _title(group: ElementTree.Element) -> str:
    return next((one.text or "" for one in group if one.tag == f"{_SVG}title"), "")


def _look(element: ElementTree.Element) -> str:
    return " ".join(
        f"{key}={element.get(key)}"
        for key in ("fill", "stroke", "stroke-width", "stroke-dasharray")
        if element.get(key)
    )


def _rounded(text: str) -> str:
    return _NUMBER.sub(lambda number: f"{float(number[0]) + 0.0:.2f}".replace("-0.00", "0.00"), text)


def _box(data: str) -> str:
    """Where a path begins and ends, and the box of its points; its commands may be spelled in many ways."""
    numbers = [float(word) for word in _NUMBER.findall(data)]
    if "H" in data or "V" in data or len(numbers) < 4:
        return _rounded(data)
    xs, ys = numbers[::2], numbers[1::2]
    return _rounded(f"{xs[0]} {ys[0]} to {xs[-1]} {ys[-1]} in {min(xs)} {min(ys)} {max(xs)} {max(ys)}")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    GOLDEN.mkdir(exist_ok=True)
    for plan_name, its_lap in SHEETS.items():
        (GOLDEN / f"{plan_name}-{its_lap}.txt").write_text(
            content_of(sheet_of(plan_name, its_lap)[0]), encoding="utf-8"
        )
