"""The facts of one job, worked out once: every step, caution and sign that is told follows from these.

A fact is a word or two that holds or does not, ``cloth: knit`` or ``final``; conditions in the tables are made of them.
Beside them stand the *figures*: what the sentences name, such as which marks and which lap.

Terms: the *setting* is the way a kind is fixed to the cloth; the *first lap* is the one whose half is set first; a
garment is *cut pieces*, a *sewn band* (the band is made, the garment open) or *finished* (it could be worn).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.backing import backed_in_words, backing_in_words, laps_backed, wanted_besides
from closures.advice.both_laps import backing_held
from closures.advice.cloth_facts import NOT_THROUGH, face_words, material_of, no_deeper, words_of_patches
from closures.advice.comparing import lie_flat
from closures.advice.faces_seen import edges_meet, faces_seen
from closures.advice.facings import faced_laps
from closures.advice.figures import figures_of, laps_in_order, on_the_front
from closures.advice.holes_left import keeps_needle_holes
from closures.advice.known_facts import FLAGS, GROUPS
from closures.advice.phrases import why_thread
from closures.advice.settings import setting_of
from closures.advice.swap_facts import new_hole_marks, swap_figures, swap_words
from closures.advice.wadding import wadding_figures
from closures.advice.washing import bears_no_wash
from closures.advice.wearer_facts import wearer_words, words_on_magnets
from closures.advice.worked import all_alike, laps_worked, prepared_apart, whole_cloth, with_face
from closures.checks.finding import numbers_in_words
from closures.frozen import frozen
from closures.jobs.swap.patches import laps_with_holes
from closures.jobs.table.backing import back_laps
from closures.placing.cloth_marks import faces_of
from closures.placing.marked_face import (
    faces_to_mark,
    marked_cloths,
    marked_through,
    measured_beyond,
    must_not_show_outside,
)
from closures.placing.nothing_set import withheld
from closures.placing.single_layer import is_of_one_layer, single_laps

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence, Set

    from closures.advice.worked import Worked
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.band import Face


@frozen
class Facts:
    """What is true of one job.

    Attributes:
        words: the facts that hold, as conditions name them.
        figures: what sentences name, by the words in their braces.
        laps: the cloth of either lap.
        first, second: the lap that is set first, and the other.
        apart: what is prepared by itself; one without a name where all cloth is treated alike.
        patches: what the patches are of on which the lap is marked that is set first; empty where there are none.
        face: of the cloth that is marked, what it is, and whether pens do; empty where no more is known than of all.
    """

    words: frozenset[str]
    figures: Mapping[str, str]
    laps: Mapping[LapName, Worked]
    first: LapName
    second: LapName
    apart: tuple[Worked, ...]
    patches: frozenset[str] = frozenset()
    face: frozenset[str] = frozenset()

    @property
    def on_face(self) -> Facts:
        """The same job, were all its cloth that on which the sheets are laid and marked."""
        return self if not self.face else replace(self, words=with_face(self.words, self.face))

    def on_lap(self, lap: LapName) -> Facts:
        """The same job, were all its cloth that of a lap on which its sheet is laid."""
        own = {name: self.figures[f"{name}, {lap}"] for name in ("no deeper", "why thread")}
        return replace(self, words=self.laps[lap].marked, figures={**self.figures, **own})

    @property
    def on_patches(self) -> Facts:
        """The same job, were its cloth that of the patches: what is done on these alone."""
        if not self.patches:
            return self.on_lap(self.first)
        kept = {word for word in self.words if not word.startswith("cloth: ") and word != "loops keep"}
        return replace(self, words=frozenset(kept | self.patches), figures={**self.figures, "no deeper": ""})

    def meets(self, conditions: tuple[str, ...]) -> bool:
        """Whether all conditions hold: a fact, several with ``or`` between, or one with ``not`` before it."""
        return all(self._meets_one(condition) for condition in conditions)

    def _meets_one(self, condition: str) -> bool:
        if condition.startswith("not "):
            return condition.removeprefix("not ") not in self.words
        return any(word in self.words for word in condition.split(" or "))


def unknown_facts(conditions: tuple[str, ...]) -> tuple[str, ...]:
    """List what conditions name and no job has, so that a slip in a table is found when the table is read."""
    known = {*FLAGS, *(f"{group}: {value}" for group, values in GROUPS.items() for value in values)}
    named = [word for condition in conditions for word in condition.removeprefix("not ").split(" or ")]
    return tuple(word for word in named if word not in known)


def facts_of(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    swap: Swap | None = None,
    among: Sequence[Placement] = (),
    faces: Mapping[LapName, Face] | None = None,
) -> Facts:
    """Work out the facts of a job.

    Args:
        placement: the closures as placed.
        findings: what the checks found, from which the need for backing is read.
        catalogue: cloths and rules.
        swap: what was there before, and the offer taken; None where nothing was.
        among: all closures of a row that differ, these with them: what is marked on one cloth is marked in one way.
        faces: which face of either lap the sheets that are printed lie on; None or empty for the usual ones.

    Returns:
        The facts.
    """
    state = placement.plan.state or "cut pieces"
    cloth = whole_cloth(placement, catalogue, state)
    words = {f"state: {state}", "on: strap" if placement.strap is not None else "on: edge"}
    words |= {*cloth, *_setting_words(placement, catalogue), *wearer_words(placement.plan)}
    if any(_is_bound(one) for one in (placement, *among)):
        words.add("any bound")
    if "any bound" in words:
        # It is worked from both faces of the cloth, and only thread is seen on both.
        words.discard("pens do")
    if any(one.fastener.setting == "magnetic" for one in (placement, *among)):
        # One magnet keeps the whole band open.
        words.add("any magnetic")
        # Two single layers have no inner side that could be opened: washer and tabs show behind them.
        words |= set() if is_of_one_layer(placement.plan, catalogue) else {"opened for magnets"}
    garment = placement.plan.garment
    words |= {"worn"} if garment is None or garment.is_worn else set()
    words |= {"filled"} if garment is not None and garment.is_filled else set()
    words |= set() if placement.plan.stand is None else {"stand"}
    words |= set() if placement.plan.bands is None else {"bands"}
    words |= {"faced apart"} if faced_laps(placement) else set()
    words |= set() if placement.strap is None or placement.strap.carriers is None else {"carriers"}
    words |= set() if placement.plan.belt is None else {"belt"}
    words |= {"fails"} if any(one.result == "fail" for one in findings) else set()
    words |= {"one snap holds"} if any(one.rule == "side pull" and one.result != "pass" for one in findings) else set()
    words |= {"ends: meeting" if edges_meet(placement) else "ends: lapped"}
    words |= set() if lie_flat(placement) else {"closed by turns"}
    words |= {"some stay"} if placement.staying else set()
    words |= {"withheld"} if placement.is_withheld else {"some new"} if placement.new_marks else set()
    words |= set() if swap is None else swap_words(swap, catalogue)
    words |= words_on_magnets(words)
    cut = None if swap is None else new_hole_marks(swap)
    face = face_words(placement, catalogue, faces_of(placement.plan, catalogue))
    seen = with_face(frozenset(words), face) if face else None
    usual = faces_to_mark(placement, catalogue)
    laid = faces or usual
    measured = measured_beyond(placement, catalogue, laid)
    words |= {"marked within"} if "inside" in laid.values() else set()
    other = {lap for lap, face in laid.items() if face != usual[lap]}
    words |= {"measured as told" if lap in measured else f"{laid[lap]} as told" for lap in other}
    first, second = laps_in_order(placement)
    up = faces_seen(placement, catalogue, laid)
    # The inside of the over lap meets the other, and the outside of the under lap.
    words |= {"marked where it meets"} if (up[first] == "inside") == (first == "over") else set()
    words |= {"both marked within"} if set(up.values()) == {"inside"} else set()
    laps = laps_worked(placement, catalogue, state, frozenset(words), face, up)
    opened = placement.fastener.mark.buttonhole_lap
    words |= {"leather facing"} if opened is not None and "cloth: leather" in laps[opened].facing else set()
    marked = face_words(placement, catalogue, marked_cloths(placement, catalogue, ("over", "under"), up))
    words |= {"scrap first"} if any("scrap first" in worked.stiffened for worked in laps.values()) else set()
    cut_first = (
        {"cloth: leather", "state: cut pieces", "on: edge"},
        {"cloth: coated", "state: cut pieces", "on: edge"},
        {"state: cut pieces", "on: strap"},
        {"cloth: leather", "set: magnetic", "opened for magnets"},
        {"cloth: coated", "set: magnetic", "opened for magnets"},
        {"marks"},
        {"scrap first"},
    )
    wadding = wadding_figures(placement, findings, catalogue)
    words |= {"wadding out"} if wadding["wadding where"] else set()
    if {"any bound", "wadding out"} & words or any(first <= words for first in cut_first):
        # The squares are measured before the first step that cannot be undone: here the cloth is cut, or leather or
        # coated cloth sewn, before the row is marked; a strap is cut by its own sheets; other cloth keeps what a needle
        # or an iron does to it.
        words.add("sheets first")
    apart = prepared_apart(placement, catalogue, state, frozenset(words), laps)
    words |= _where_cloth_lies(placement, words, laps, apart)
    with_pieces = {backing.lap for backing in back_laps(placement, findings, catalogue) if backing.pieces}
    wanted_beside = wanted_besides(placement, findings, with_pieces)
    backed = laps_backed(placement, wanted_beside, with_pieces)
    figures = figures_of(placement, catalogue, frozenset(words), laps, cut, seen, backed)
    figures |= wadding
    figures["withheld"] = " ".join(one.change for one in withheld(placement.row))
    figures["material"] = material_of(frozenset(words))
    figures["row marks"] = numbers_in_words([mark.n for mark in placement.row.all_marks])
    if swap is not None:
        old = laps_with_holes(swap.old)
        # What is done to old holes is done in the lap that they are in.
        figures |= swap_figures(swap, laps[old[0]].words if len(old) == 1 else words, catalogue)
    figures["bears no wash"] = bears_no_wash(placement.plan, words, catalogue)
    words |= {"bears no wash"} if figures["bears no wash"] else set()
    words |= {"backing pieces"} if with_pieces else set()
    figures |= backing_in_words(placement, words, single_laps(placement.plan, catalogue), with_pieces)
    # A backing is laid by the fold as well, on a piece that is still open, and before the buttonholes are marked.
    figures["fold first"] = figures["fold marked"] if with_pieces else ""
    figures["fold marked"] = "" if with_pieces else figures["fold marked"]
    sheets = placement.plan.sheets
    backing_cloth = None if sheets is None else sheets.backing_cloth
    backing = None if backing_cloth is None else catalogue.cloth(backing_cloth).structures
    held = backing_held(placement, frozenset(words), laps, with_pieces, backing)
    figures["held them down"] = held["held them down"]
    if {"state: cut pieces", "knitted"} <= words:
        # Knitted bands are backed as they are sewn on, and never over holes that were knitted.
        pass
    elif wanted_beside:
        words.add("backing wanted")
        single = single_laps(placement.plan, catalogue)
        figures |= backed_in_words(placement, wanted_beside, words, single, with_pieces, catalogue)
        wanted = {str(one.lap) for one in wanted_beside}
        figures["held edges down"] = backing_held(placement, frozenset(words), laps, wanted)["held edges down"]
    patches = words_of_patches(placement.plan, catalogue) if "patch" in words and first == "over" else frozenset()
    figures["no deeper"] = no_deeper(placement, catalogue, ("over", "under"), marked, up) if marked else ""
    if marked:
        figures["why thread"] = why_thread(with_face(frozenset(words), marked))
    for lap, worked in laps.items():
        on_mark = face_words(placement, catalogue, marked_cloths(placement, catalogue, (lap,), up))
        figures[f"no deeper, {lap}"] = no_deeper(placement, catalogue, (lap,), on_mark, up) if marked else ""
        figures[f"why thread, {lap}"] = why_thread(worked.marked)
    tender = [lap for lap in laps if up[lap] == "inside" and must_not_show_outside(placement, catalogue, lap)]
    keys = (*["no deeper"] * (len(tender) == len(laps)), *(f"no deeper, {lap}" for lap in tender))
    figures |= {key: NOT_THROUGH for key in keys if not figures[key]}
    laps = {lap: worked.with_more(words) for lap, worked in laps.items()}
    if len(measured) == len(laps):
        words |= {f"measured {face}" for face in measured.values()}
    through = [lap for lap in marked_through(placement, catalogue, laid) if up[lap] == laid[lap]]
    words |= {"marked through"} if through and not marked else set()
    for lap, worked in laps.items():
        # Of one lap, these tell how its own sheet lies.
        kept = worked.marked - ({"marked within"} if laid[lap] == "outside" else set())
        own = {f"measured {measured[lap]}"} if lap in measured else set()
        own |= {"marked through"} if lap in through else set()
        own |= {f"shown {up[lap]}"} if up[lap] != laid[lap] and lap not in measured else set()
        # The strip of a lap whose edge lies far from the line has no edge to lie to: the other lap shows its places.
        own |= {"carried over"} if lap == second and placement.laps[lap].has_strip_without_edge else set()
        laps[lap] = replace(worked, marked=kept | own)
    apart = tuple(worked.with_more(words) if worked.name else all_alike("", frozenset(words)) for worked in apart)
    return Facts(frozenset(words), figures, laps, first, second, apart, patches, marked)


def _where_cloth_lies(
    placement: Placement, words: Set[str], laps: Mapping[LapName, Worked], apart: Sequence[Worked]
) -> set[str]:
    """What holds of a job by the cloth of one of its laps, or of one that is prepared by itself."""
    found = set()
    if any({"press: iron", "press: damp"} & one.words for one in apart):
        found.add("ironed")
    if placement.strap is not None and placement.strap.is_cut_to_size:
        found.add("strap cut to size")
    slit = placement.fastener.mark.buttonhole_lap
    cut = tuple(laps.values()) if "set: magnetic" in words else () if slit is None else (laps[slit],)
    return found | {"slit by hand" if keeps_needle_holes(worked.closed) else "slit by pins" for worked in cut}


def _is_bound(placement: Placement) -> bool:
    return placement.fastener.mark.buttonhole_lap is not None and placement.plan.closure.bound


def _setting_words(placement: Placement, catalogue: Catalogue) -> set[str]:
    fastener = placement.fastener
    setting = setting_of(fastener.setting)
    words = {f"set: {setting.key}", f"family: {fastener.family}", "parts", *setting.facts}
    flags = {
        "buttonholes": fastener.mark.buttonhole_lap is not None,
        "knitted": placement.plan.gauge is not None,
        "knitted holes": placement.plan.gauge is not None and fastener.mark.buttonhole_lap is not None,
        "bound": _is_bound(placement),
        "bound on the front": _is_bound(placement) and bool(on_the_front(placement)),
        "bound on the stand": _is_bound(placement) and len(on_the_front(placement)) < len(placement.marks),
        "press-set": fastener.family == "press-set snap",
        "set one after the other": all(placement.on(lap) for lap in ("over", "under")),
        "taped": fastener.is_taped,
        "small": fastener.cap_mm < catalogue.rule("small parts cylinder").value.value,
        "lace": placement.plan.lacing is not None,
        "kind: shank button": fastener.kind == "shank button",
    }
    return words | {flag for flag, holds in flags.items() if holds}
