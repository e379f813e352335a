"""The catalogue as one value, and how it is asked."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from typing import Literal, TypeVar

from closures.catalogue.cloths import cloth_names, leather_by_ounce
from closures.catalogue.fasteners import Measures, RimToRim, by_line, kind_names, make_fastener
from closures.catalogue.names import both_ways, find_size, folded, length_mm, rightly_written
from closures.catalogue.values import Cloth, Fastener, Figure, Hole, Kind, KindSummary, Paper, Provenance, Rule, Source
from closures.errors import CatalogueError
from closures.frozen import frozen
from closures.nearest import nearest_name

Value = TypeVar("Value")
_MEASURED = Provenance("measured by the user", "the plan")
# Buttons are made from about 14 to 40 lines; a figure outside is reckoned only where it was measured:
# from memory.
_BUTTON_LINES = (14.0, 40.0)


@frozen
class Catalogue:
    """Fasteners, cloths, papers and rules, each figure with where it comes from.

    Attributes:
        fasteners: every kind and size, in catalogue order.
        cloths, rules, papers, sources: likewise.
        trade_words: words that may mean several kinds, with those kinds.
        not_marked: words for what closes cloth and is no kind here, each with why.
    """

    fasteners: tuple[Fastener, ...]
    cloths: tuple[Cloth, ...]
    rules: Mapping[str, Rule]
    papers: Mapping[str, Paper]
    sources: Mapping[str, Source]
    trade_words: Mapping[str, tuple[str, ...]]
    kinds_by_name: Mapping[str, Kind]
    not_marked: Mapping[str, str] = field(default_factory=dict)
    # Every name of every cloth and kind is asked for at each layer and closure, and does not change.
    _cloth_names: dict[str, str] = field(default_factory=dict, init=False, compare=False, repr=False)
    _kind_names: dict[str, str] = field(default_factory=dict, init=False, compare=False, repr=False)

    def kinds(self) -> tuple[str, ...]:
        """The names of the kinds, in catalogue order."""
        return tuple(self.kinds_by_name)

    def sizes(self, kind: str) -> tuple[str, ...]:
        """The sizes of a kind, in catalogue order.

        Raises:
            CatalogueError: there is no such kind.
        """
        name = self._kind(kind).name
        return tuple(f.size for f in self.fasteners if f.kind == name)

    def describe(self, kind: str) -> KindSummary:
        """A kind with all its sizes, for a listing.

        Raises:
            CatalogueError: there is no such kind.
        """
        known = self._kind(kind)
        sizes = tuple(f for f in self.fasteners if f.kind == known.name)
        return KindSummary(known.name, known.aliases, known.family, known.note, sizes)

    def fastener(
        self,
        kind: str,
        size: str = "",
        *,
        cap_mm: float | None = None,
        grip_mm: tuple[float, float] | None = None,
        thickness_mm: float | None = None,
        halves: Literal["usual", "turned"] = "usual",
        takes_cap: bool = True,
    ) -> Fastener:
        """Look up a fastener; what the user measured wins over the catalogue.

        Args:
            kind: a kind's name, or another name for it.
            size: its size, or a text of the same length; may be empty where there is one size only.
            cap_mm: diameter of the largest part, measured.
            grip_mm: least and most that it clamps on one lap, measured or from the pack.
            thickness_mm: of a button, measured.
            halves: "turned" changes the halves over.
            takes_cap: a cap can be told where this stands in a plan.

        Returns:
            The fastener. A size that the catalogue does not have, with a cap that was measured,
            has no grip but the one given.

        Raises:
            CatalogueError: there is no such kind or size, or a measure makes no sense.
        """
        _refuse_measures(cap_mm, grip_mm, thickness_mm)
        found = self._unmeasured(self._kind(kind), size, cap_mm, takes_cap)
        measured = self._measured(found, cap_mm, grip_mm, thickness_mm)
        return measured.turned() if halves == "turned" else measured

    def cloth(self, name: str) -> Cloth:
        """Look up a cloth, or reckon leather from its ounces (``leather 4 oz``).

        Raises:
            CatalogueError: there is no such cloth.
        """
        if not self._cloth_names:
            self._cloth_names.update(cloth_names(self.cloths))
        names = self._cloth_names
        own = names.get(folded(name))
        if own is not None:
            return next(cloth for cloth in self.cloths if cloth.name == own)
        leather = leather_by_ounce(name, self.rule("leather ounce"))
        if leather is not None:
            return leather
        otherwise = (
            "`closures cloths` lists them. A thickness will do instead, and leather goes by the ounce: leather 4 oz."
        )
        # A fibre alone tells neither how thick its cloth is nor what it bears.
        kinds = [one.name for one in self.cloths if folded(name) in one.name.casefold().split()]
        mend = _meant(name, (*names.values(), *names), otherwise)
        if kinds and folded(name):
            mend = f"Which one is it? {', '.join(kinds)}. {otherwise}"
        if "leather" in folded(name).split():
            mend = (
                'Leather goes by the ounce, such as leather 4 oz, or by a thickness beside structure = "leather". '
                "Coated cloth that looks like it is imitation leather. `closures cloths` lists all."
            )
        raise CatalogueError(f"there is no cloth {name!r} in the catalogue", mend=mend)

    def rule(self, key: str) -> Rule:
        """Look up a limit or default.

        Raises:
            CatalogueError: there is no such rule.
        """
        return _looked_up(key, self.rules, "rule")

    def paper(self, key: str) -> Paper:
        """Look up a paper.

        Raises:
            CatalogueError: there is no such paper.
        """
        return _looked_up(key.casefold(), self.papers, "paper")

    def source(self, key: str) -> Source:
        """Look up a source.

        Raises:
            CatalogueError: there is no such source.
        """
        return _looked_up(key, self.sources, "source")

    def _kind(self, name: str) -> Kind:
        if not self._kind_names:
            self._kind_names.update(kind_names(self.kinds_by_name.values()))
        names = self._kind_names
        one = folded(name).removesuffix("s")
        own = names.get(folded(name)) or names.get(one)
        if own is not None:
            return self.kinds_by_name[own]
        raise self._no_kind(name)

    def _no_kind(self, name: str) -> CatalogueError:
        """Why a word is no kind here, with what it may mean: rightly spelt, or as the sort that its last words name."""
        names, words, out = self._kind_names, self.trade_words, self.not_marked
        known = f"Known kinds: {', '.join(self.kinds_by_name)}."
        own, spelt = folded(name), _rightly_spelt(name, (*names, *words))
        # What is spelt in another way is offered, and never refused for what it may have meant.
        why = next((out[one] for one in _both(own, _sort_of(own, out)) if one in out), "")
        if why:
            return CatalogueError(f"{name!r} is no kind of closure here: {why}", mend=known)
        every = (*names, *words)
        near = ""
        for one in _both(own, spelt, _sort_of(own, every), _sort_of(spelt, every)):
            if one in words and not near:
                which = ", ".join(words[one])
                if len(words[one]) == 1:
                    return CatalogueError(f"{name!r} is called otherwise here", mend=f"Write {which}.")
                return CatalogueError(f"{name!r} may be one of several kinds", mend=f"Write which one: {which}.")
            near = near or names.get(one, "")
        near = near or names.get(folded(nearest_name(spelt, (*self.kinds_by_name, *names)) or ""), "")
        mend = f"Did you mean {near}? {known}" if near else known
        return CatalogueError(f"there is no kind of closure {name!r} in the catalogue", mend=mend)

    def _unmeasured(self, kind: Kind, size: str, cap_mm: float | None, takes_cap: bool) -> Fastener:
        """The catalogue's own fastener, or one without figures where a measured cap makes up for it."""
        sizes = self.sizes(kind.name)
        label = find_size(size, sizes)
        if label is not None:
            return next(f for f in self.fasteners if f.kind == kind.name and f.size == label)
        is_size = kind.size_is_diameter
        may_mean = [
            one
            for one in both_ways(size, sizes)
            if (is_size and length_mm(one) is not None) or find_size(one, sizes) is not None
        ]
        if may_mean:
            told = [f"{one} ({length_mm(one):.1f} mm)" if one.endswith(" L") else one for one in may_mean]
            raise CatalogueError(
                f"the size {size.strip()!r} of {kind.name} tells neither lines nor mm",
                mend=f"Write {' or '.join(told)}. Known sizes: {', '.join(sizes)}.",
            )
        diameter_mm = length_mm(size)
        if kind.size_is_diameter and diameter_mm is not None:
            lines = diameter_mm / self.rule("line").value.value
            if _BUTTON_LINES[0] <= round(lines, 6) <= _BUTTON_LINES[1]:
                return self._bare(kind, size.strip(), lines, like=sizes[0])
        if cap_mm is None:
            raise self._no_size(kind, size, sizes, takes_cap)
        hole = None
        if kind.hole == "bore":
            if diameter_mm is None:
                what = f"the size {size!r} of an {kind.name} tells no bore"
                raise CatalogueError(what, mend="Write the bore, for example 5 mm.")
            tube = self.rule("eyelet tube").value
            hole = Hole("bore", Figure(diameter_mm + tube.value, tube.provenance))
        return make_fastener(kind, size.strip(), Measures(Figure(cap_mm, _MEASURED), hole=hole), self._rim_to_rim)

    def _bare(self, kind: Kind, size: str, lines: float, like: str) -> Fastener:
        """A button of a size between those listed: its diameter is its size, the rest is as usual."""
        usual = next(f for f in self.fasteners if f.kind == kind.name and f.size == like)
        measures = Measures(by_line(lines, self.sources), thickness=usual.thickness)
        return make_fastener(kind, size, measures, self._rim_to_rim)

    def _measured(
        self,
        found: Fastener,
        cap_mm: float | None,
        grip_mm: tuple[float, float] | None,
        thickness_mm: float | None,
    ) -> Fastener:
        if cap_mm is not None:
            cap = Figure(cap_mm, _MEASURED)
            extent = None if found.extent is None else (cap, found.extent[1])
            found = replace(found, cap=cap, extent=extent, least_pitch=self._least_pitch(found, cap_mm))
        if grip_mm is not None:
            found = replace(found, grip=(Figure(grip_mm[0], _MEASURED), Figure(grip_mm[1], _MEASURED)))
        if thickness_mm is not None:
            thickness = Figure(thickness_mm, _MEASURED)
            found = replace(found, thickness=(thickness, thickness))
        return found

    @property
    def _rim_to_rim(self) -> RimToRim:
        return RimToRim(self.rule("rim to rim").value, self.rule("rim to rim, sewn").value)

    def _least_pitch(self, found: Fastener, cap_mm: float) -> Figure:
        """A pack's own least pitch stands; any other follows the measured cap."""
        if found.least_pitch.provenance.kind == "measured by the user":
            return found.least_pitch
        room_mm = self._rim_to_rim.of(found.setting, found.cap).value
        return replace(found.least_pitch, value=cap_mm + room_mm)

    def _no_size(self, kind: Kind, size: str, sizes: tuple[str, ...], takes_cap: bool) -> CatalogueError:
        others = [
            other.name
            for other in self.kinds_by_name.values()
            if other.family == kind.family and other is not kind and find_size(size, self.sizes(other.name))
        ]
        written = rightly_written(size)
        is_size = bool(written) and (
            find_size(written, sizes) is not None or (kind.size_is_diameter and length_mm(written) is not None)
        )
        meant = f"Write {written}. " if is_size else ""
        mend = f"{meant}Known sizes: {', '.join(sizes)}."
        if others and size.strip():
            mend += f" {size.strip()} is a size of {' and '.join(others)}."
        mend += (
            " Or measure the largest part and give it as the cap."
            if takes_cap
            else " Another size is told by a row of your own, in the file that supplies names."
        )
        what = f"there is no size {size!r} of {kind.name}" if size.strip() else f"{kind.name} needs a size"
        return CatalogueError(what, mend=mend)


def _refuse_measures(cap_mm: float | None, grip_mm: tuple[float, float] | None, thickness_mm: float | None) -> None:
    for name, value in (("cap", cap_mm), ("thickness", thickness_mm)):
        if value is not None and not (math.isfinite(value) and value > 0):
            raise CatalogueError(f"a {name} of {value!r} mm makes no sense", mend="Write what you measured.")
    if grip_mm is None:
        return
    low, high = grip_mm
    if not (math.isfinite(low) and math.isfinite(high) and 0 <= low <= high and high > 0):
        what = f"a grip from {low!r} to {high!r} mm makes no sense"
        raise CatalogueError(what, mend="Write the least first and the most last.")


# So many names fit into a message.
_FEW = 12


def _rightly_spelt(name: str, names: Iterable[str]) -> str:
    """A name whose slips in single words are mended: of `snap buton` the second is a button, and the first is known."""
    words = sorted({word for known in names for word in known.split()})
    spelt = [word if word in words else nearest_name(word, words) or word for word in folded(name).split()]
    return " ".join(spelt)


def _both(*names: str) -> list[str]:
    """Names as they are, and of one alone what several of them are called."""
    return [one for name in names for one in (name, name.removesuffix("s"))]


def _sort_of(name: str, names: Iterable[str]) -> str:
    """The longest of the names that a name ends with, as an invisible zip is a zip; empty where it ends with none."""
    ends = [one for one in names if name.endswith((f" {one}", f" {one}s"))]
    return max(ends, key=len, default="")


def _looked_up(key: str, table: Mapping[str, Value], what: str) -> Value:
    if key not in table:
        known = f"There are: {', '.join(table)}." if len(table) <= _FEW else ""
        raise CatalogueError(f"there is no {what} {key!r} in the catalogue", mend=_meant(key, table, known))
    return table[key]


def _meant(name: str, known: Iterable[str], otherwise: str) -> str:
    near = nearest_name(name, tuple(known))
    return " ".join(part for part in (f"Did you mean {near}?" if near else "", otherwise) if part)
