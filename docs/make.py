"""Write the pages of the reference that are made of tables: run ``python docs/make.py``.

Three are tables of the catalogue; in three more what stands between two marks is made of the table of
keys, or of that of cautions.

Made pages are checked in like any other; a test tells when one is older than its table.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from keys import key_tables, option_table  # noqa: E402

from closures.advice.cautions import all_cautions  # noqa: E402
from closures.catalogue.loading import load_catalogue  # noqa: E402

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Figure

_MADE = "<!-- Made by docs/make.py from the catalogue. Change the catalogue, not this page. -->"


def pages() -> dict[str, str]:
    """Make the pages.

    Returns:
        File name within ``docs/reference`` to text.
    """
    catalogue = load_catalogue()
    return {
        "sources.md": _sources(catalogue),
        "fasteners.md": _fasteners(catalogue),
        "cloths.md": _cloths(catalogue),
        "plan.md": _filled("plan.md", "keys", key_tables()),
        "command.md": _filled("command.md", "options", option_table()),
        "../cautions.md": _filled("../cautions.md", "cautions", _cautions()),
    }


def _filled(name: str, part: str, text: str) -> str:
    """Put a made part between its two marks in a page that is written by hand otherwise."""
    begin, end = f"<!-- {part}: made by docs/make.py -->", f"<!-- end of {part} -->"
    before, _, rest = (HERE / "reference" / name).read_text(encoding="utf-8").partition(begin)
    after = rest.partition(end)[2]
    return f"{before}{begin}\n\n{text}\n\n{end}{after}"


def _cautions() -> str:
    groups: dict[str, list[str]] = {}
    for caution in all_cautions():
        groups.setdefault(f"For {caution.under}" if caution.under else "For everybody", []).append(f"- {caution.told}")
    return "\n\n".join(f"## {heading}\n\n" + "\n".join(lines) for heading, lines in groups.items())


def _sources(catalogue: Catalogue) -> str:
    rows = [
        (f"`{source.key}`", source.title, source.publisher, "" if source.year is None else str(source.year))
        for source in catalogue.sources.values()
    ]
    notes = [f"- `{source.key}`: {source.note}" for source in catalogue.sources.values() if source.note]
    rules = [
        (rule.text, _span(rule.value, rule.high, rule.unit), rule.value.provenance.text)
        for rule in catalogue.rules.values()
    ]
    return _page(
        "Sources",
        "Where the figures come from. *Published* means that it was read in the source named; *derived*, worked "
        "out from one; *common practice*, done in the trade but found in no source; *our own rule*, a limit "
        "of this program; *from memory*, to be "
        "replaced by your pack or your calliper. A source listed here but not named beside a figure was read as "
        "background.",
        _table(("key", "title", "publisher", "year"), rows),
        "\n".join(notes),
        "## Every limit and default",
        "Those that the checks use are on [their page](checks.md); defaults, cautions and what is reckoned rest on the "
        "others.",
        _table(("what", "figure", "from"), rules),
    )


def _fasteners(catalogue: Catalogue) -> str:
    rows = []
    for fastener in catalogue.fasteners:
        grip = "any" if fastener.grip is None else _span(fastener.grip[0], fastener.grip[1], "")
        cap = "" if fastener.cap is None else f"{fastener.cap.value:g}"
        thickness = "" if fastener.thickness is None else _span(*fastener.thickness, "")
        way = "" if fastener.hole is None else fastener.hole.way
        rows.append((fastener.kind, fastener.size, cap, grip, f"{fastener.least_pitch.value:g}", thickness, way))
    kinds = [catalogue.describe(kind) for kind in catalogue.kinds()]
    other = [(k.kind, ", ".join(k.aliases), k.note) for k in kinds]
    words = [f"- *{word}* may be {' or '.join(meant)}" for word, meant in catalogue.trade_words.items()]
    return _page(
        "Fasteners",
        "Lengths in millimetres. *Cap* is the largest part, across; *grip* is what one closure clamps on one lap; "
        "*least pitch* is the closest that two may sit, centre to centre. Where each figure comes from: "
        "`closures fasteners KIND`. Most grips are from memory: the figure on your pack "
        "[wins](../how-to/own-pack.md).",
        _table(("kind", "size", "cap", "grip", "least pitch", "thickness", "cloth is"), rows),
        "## Other names for a kind",
        _table(("kind", "also written", "what it is"), other),
        "These words may mean several kinds, so the program asks which:",
        "\n".join(words),
    )


def _cloths(catalogue: Catalogue) -> str:
    rows = [
        (
            cloth.name,
            ", ".join(cloth.aliases),
            "" if cloth.mass_g_m2 is None else f"{cloth.mass_g_m2:g}",
            ", ".join(dict.fromkeys((cloth.structure, *cloth.also, *(("pile",) if cloth.is_brushed else ())))),
            " / ".join(f"{figure.value:g}" for figure in (cloth.low, cloth.typical, cloth.high)),
            cloth.typical.provenance.text,
        )
        for cloth in catalogue.cloths
    ]
    return _page(
        "Cloths",
        "One layer, lying free under a light foot (about 1 to 5 kPa), in millimetres: thin, typical, thick. A "
        "fastener presses harder: woven cloth comes to about 0.55 to 0.75 of this under a flange, knits to 0.5 to 0.7, "
        "pile and padded cloth to 0.25 to 0.45, felted cloth to 0.5 to 0.75, and leather, coated cloth and fusible "
        "hardly give way, 0.85 to 1 (all from memory). A stack is held against the grip as such a range. Squeeze your "
        'own layers and measure them where it matters: `thickness = "..."` and `clamped = true`. Leather goes by the '
        "ounce: `leather 4 oz`, a fifth thinner or thicker (from memory), or `leather 3-4 oz` where it is sold "
        "between two weights.",
        _table(("cloth", "also written", "g/m²", "made as", "thin / typical / thick", "from"), rows),
    )


def _span(low: Figure, high: Figure | None, unit: str) -> str:
    figures = dict.fromkeys(f"{figure.value:g}" for figure in (low, high) if figure is not None)
    return f"{' to '.join(figures)} {unit}".strip()


def _page(title: str, *parts: str) -> str:
    return "\n\n".join([f"# {title}", _MADE, *(part for part in parts if part)]) + "\n"


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [headings, ["---"] * len(headings), *rows]
    return "\n".join(f"| {' | '.join(cell.replace('|', '/') for cell in row)} |" for row in lines)


def main() -> None:
    """Write the pages."""
    for name, text in pages().items():
        (HERE / "reference" / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
