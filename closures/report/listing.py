"""The catalogue's fasteners as text: the kinds, or one kind with its figures and where they come from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.cautions import all_cautions
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Cloth, Fastener, Figure

_HEADINGS = ("size", "cap", "inner part", "hole", "grip", "least pitch")


def list_kinds(catalogue: Catalogue) -> str:
    """List every kind with its sizes, a line each."""
    lines = text_table([(kind, ", ".join(catalogue.sizes(kind))) for kind in catalogue.kinds()])
    return "\n".join([*lines, "", "One kind, with its figures and where they come from: closures fasteners KIND"])


def list_sizes(catalogue: Catalogue, kind: str) -> str:
    """List one kind's sizes with their figures in mm, each with a number that points to its source.

    Raises:
        CatalogueError: there is no such kind.
    """
    told = catalogue.describe(kind)
    sources: list[str] = []
    rows = [_HEADINGS, *(_row(fastener, sources) for fastener in told.fasteners)]
    table = text_table(rows)
    first = told.fasteners[0]
    parts = {
        lap: ", ".join(f"{part.each} {part.name}" for part in first.parts_on(lap)) or "nothing"
        for lap in ("over", "under")
    }
    return "\n".join(
        [
            *_asked_first(first),
            f"{told.kind}, in mm",
            "",
            *table,
            "",
            f"Over lap: {parts['over']}. Under lap: {parts['under']}.",
            "",
            *(f"[{n}] {source}" for n, source in enumerate(sources, 1)),
            "",
            "A figure from your pack, or measured, wins: give it in the plan or in a supplies file.",
        ]
    )


def list_cloths(catalogue: Catalogue, name: str | None = None) -> str:
    """List the cloths with the thickness of one layer, lying free, in mm.

    Args:
        catalogue: where they stand.
        name: a part of a name; None for all.

    Raises:
        CatalogueError: no cloth has such a name.
    """
    wanted = "" if name is None else " ".join(name.casefold().split())
    found = [cloth for cloth in catalogue.cloths if wanted in cloth.name.casefold()]
    if not found:
        # A name that is reckoned rather than listed, such as a leather by its ounces, or one that is refused.
        found = [catalogue.cloth(wanted)]
    rows = [("cloth", "thin", "typical", "thick"), *((cloth.name, *_thicknesses(cloth)) for cloth in found)]
    lines = text_table(rows)
    lines += ["", "One layer lying free, in mm; a fastener presses it thinner. A thickness that you measured wins."]
    return "\n".join([*lines, 'Leather goes by ounces: cloth = "leather 4 oz".'])


def _thicknesses(cloth: Cloth) -> tuple[str, str, str]:
    return f"{cloth.low.value:.2f}", f"{cloth.typical.value:.2f}", f"{cloth.high.value:.2f}"


def _asked_first(fastener: Fastener) -> tuple[str, ...]:
    """What has to be asked before a kind is so much as looked at."""
    if fastener.family != "magnetic snap":
        return ()
    return (next(caution.told for caution in all_cautions() if caution.key == "implants"), "")


def _row(fastener: Fastener, sources: list[str]) -> tuple[str, ...]:
    hole = fastener.hole
    return (
        fastener.size,
        _told((fastener.cap,), sources),
        _told((fastener.inner,), sources),
        "" if hole is None else f"{hole.way} {_told((hole.diameter, hole.diameter_high), sources)}".strip(),
        "any" if fastener.grip is None else _told(fastener.grip, sources),
        _told((fastener.least_pitch,), sources),
    )


def _told(figures: tuple[Figure | None, ...], sources: list[str]) -> str:
    known = [figure for figure in figures if figure is not None]
    if not known:
        return ""
    marks = []
    for figure in known:
        text = figure.provenance.text
        if text not in sources:
            sources.append(text)
        marks.append(sources.index(text) + 1)
    numbers = ", ".join(map(str, dict.fromkeys(marks)))
    return f"{' to '.join(f'{figure.value:g}' for figure in known)} [{numbers}]"
