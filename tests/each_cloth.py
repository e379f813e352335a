"""What is said of each cloth of a job, and of either lap, read for what would spoil it.

The reading knows nothing of how the words are chosen, nor of how layers are laid: it goes by what the plan tells of
them, and by what the table of cloths has of them. What spoils a cloth is common practice, and that silk keeps the spots of water is from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from closures.advice.advice import Advice
from closures.app.job import Answer
from closures.catalogue.loading import load_catalogue
from closures.catalogue.values import Cloth
from closures.plan.layers import LayerWish
from closures.plan.plan import Plan

LAPS = ("over", "under")
CATALOGUE = load_catalogue()
NAMES = "|".join(sorted((re.escape(one.name) for one in CATALOGUE.cloths), key=len, reverse=True)) + r"|leather \d+ oz"
"""Leather is in the table by how thick one ounce of it is."""
APART = re.compile(rf"((?:(?:{NAMES}|the (?:over|under) lap)(?:, | and |(?=: )))+): (.*)", re.IGNORECASE | re.DOTALL)
"""A step that is done to some of the cloth by itself: what it begins with, and what is done."""

PREPARED = (
    "try the wash",
    "try the first wash",
    "wash beside",
    "wash",
    "steam",
    "rest",
    "press silk",
    "press",
    "press napped",
    "press damp",
)
PREPARED += ("press dry", "smooth unwashed", "raise")
FUSED = ("fuse", "fuse dry", "fuse scrap", "fuse scrap dry", "fuse pieces", "sew in")
IRONED = r"[Pp]ress it|with a dry iron|damp cloth"
FLATTENED = re.compile(
    r"(press|tap|smooth|steam and smooth|flatten) (?:the edge|the neck seam|the seam allowances|that|those|them|it)\b"
    r"(?: of the (over|under) lap)?([^:.]*?)(?=, and (?:press|tap|smooth|steam)|[:.]|, before)"
)


INWARDS = ("outer", "interlining", "facing", "lining")


def as_they_lie(told: Plan, lap: str) -> list[tuple[LayerWish, Cloth, str]]:
    """The plies of a lap from the outside inwards, each with what it is for, as its plan tells it.

    Layers are told from the outside inwards, the first of them outside. Where some are told with what they are for, the
    innermost of the others is the facing if none is told, and what is left is sewn in. Where none is, one ply of another
    cloth after two that are alike is sewn in between them, while the band is still to be sewn.
    """
    own = [(one, CATALOGUE.cloth(one.cloth)) for one in told.layers if one.on in (lap, "both") and one.cloth]
    is_ply = [one.across_mm is one.along_mm is None and "fusible" not in cloth.structures for one, cloth in own]
    told_plies = [one for one, ply in zip(own, is_ply, strict=True) if ply for _ in range(one[0].count)]
    plies = [(one, cloth, str(one.purpose)) for one, cloth in told_plies]
    rest = [(one, cloth, "") for (one, cloth), ply in zip(own, is_ply, strict=True) if not ply]
    both = [n for n, (_, _, purpose) in enumerate(plies) if purpose == "outer and facing"]
    for n in both:
        plies[n] = (*plies[n][:2], "facing" if n else "outer")
    if any(purpose for _, _, purpose in plies):
        plies[0] = (*plies[0][:2], "outer")
        untold = [n for n, (_, _, purpose) in enumerate(plies) if not purpose]
        has_facing = any(purpose == "facing" for _, _, purpose in plies)
        for n in untold:
            plies[n] = (*plies[n][:2], "facing" if n == untold[-1] and not has_facing else "interlining")
        plies.sort(key=lambda one: INWARDS.index(one[2]))
    elif len(plies) == 3 and plies[0][0] is plies[1][0] and plies[2][1] != plies[1][1]:
        if told.state in (None, "cut pieces") and told.gauge is None and told.strap is None:
            plies = [plies[0], (*plies[2][:2], "interlining"), plies[1]]
    elif len(plies) == 3 and len({cloth.name for _, cloth, _ in plies}) > 1:
        plies[1] = (*plies[1][:2], "interlining")
    return plies + rest


class Cloths:
    """The layers of a job's laps, from the outside inwards, by what the table of cloths has of them."""

    def __init__(self, answer: Answer, told: Plan) -> None:
        lying = {lap: as_they_lie(told, lap) for lap in LAPS}
        self.layers = {lap: [(wish, cloth) for wish, cloth, _ in plies] for lap, plies in lying.items()}
        self.hidden = {
            lap: {cloth.name for _, cloth, purpose in plies if purpose == "interlining"}
            - {cloth.name for _, cloth, purpose in plies if purpose != "interlining"}
            for lap, plies in lying.items()
        }
        self.own = {
            lap: [(wish, cloth) for wish, cloth in told if "fusible" not in cloth.structures]
            for lap, told in self.layers.items()
        }
        self.names = {cloth.name: cloth for told in self.own.values() for _, cloth in told}
        self.within = {sheet.lap for sheet in answer.sheets if sheet.face == "inside"}

    def kinds(self, name: str) -> set[str]:
        """What a cloth is, in the words that decide how it is treated."""
        cloth = self.names[name]
        kinds = set(cloth.structures) | ({cloth.fibre} & {"silk", "wool"}) | ({"satin"} if "satin" in name else set())
        return kinds - {"pile"} if cloth.has_nap else kinds

    def of(self, lap: str) -> set[str]:
        """What lies anywhere in a lap."""
        return {kind for _, cloth in self.own[lap] for kind in self.kinds(cloth.name)}

    def at_closures(self, lap: str) -> set[str]:
        """What lies on a lap where its closures are, as far as it is not said to lie at the edge alone."""
        return {kind for wish, one in self.own[lap] if wish.across_mm is None for kind in self.kinds(one.name)}

    def pierced(self, lap: str) -> set[str]:
        """What of it shows a hole: a cloth that is sewn in between two layers of another shows none."""
        names = [one.name for wish, one in self.own[lap] if wish.across_mm is None]
        seen = [name for name in names if name not in self.hidden[lap]]
        return {kind for name in seen for kind in self.kinds(name)}

    def face(self, lap: str) -> set[str]:
        """What lies outside on a lap; its binding is none."""
        wide = self._wide(lap)
        return self.kinds(wide[0].name) if wide else set()

    def inner(self, lap: str) -> set[str]:
        """What lies inside on a lap, its facing."""
        wide = self._wide(lap)
        return self.kinds(wide[-1].name) if wide else set()

    def marked(self, lap: str) -> set[str]:
        """What its sheet is laid on: what lies outside on a lap, or inside where the sheet is for that face."""
        wide = self._wide(lap)
        return self.kinds(wide[-1 if lap in self.within else 0].name) if wide else set()

    def where_it_meets(self, lap: str) -> set[str]:
        """What lies on the face of a lap that meets the other: inside on the over lap, outside on the under lap."""
        wide = self._wide(lap)
        return self.kinds(wide[-1 if lap == "over" else 0].name) if wide else set()

    def _wide(self, lap: str) -> list[Cloth]:
        return [cloth for wish, cloth in self.own[lap] if wish.across_mm is None] or [c for _, c in self.own[lap]]


def spoiled(answer: Answer, advice: Advice, told: Plan) -> list[str]:
    """List what the words of a job ask for that one of its cloths does not bear, or leave it without.

    Args:
        answer: of the job.
        advice: its words.
        told: its plan, as it was read.
    """
    cloths = Cloths(answer, told)
    if not all(cloths.own.values()):
        return []
    found = [*_prepared(answer, advice, cloths), *_marked(advice, cloths), *_washed(answer, advice, cloths)]
    found += [*_slit(answer, advice, cloths), *_compared(answer, advice, cloths), *_held(answer, advice, cloths)]
    if answer.placement.strap is None:
        found += _flattened(advice, cloths)
    return found


def _prepared(answer: Answer, advice: Advice, cloths: Cloths) -> Iterator[str]:
    """What is done to each cloth before it meets any other."""
    state = answer.placement.plan.state or "cut pieces"
    if state != "cut pieces" or answer.placement.plan.gauge is not None:
        return
    told: dict[str, list[str]] = {name: [] for name in cloths.names}
    for step in advice.order.steps:
        if step.key not in PREPARED:
            continue
        apart = APART.fullmatch(step.text)
        named = {one.lower() for one in re.findall(NAMES, apart[1], re.IGNORECASE)} if apart else set()
        for name in told if apart is None else [one for one in told if one.lower() in named]:
            told[name].append(step.text if apart is None else apart[2])
    garment = answer.placement.plan.garment
    is_told = garment is not None and garment.washing is not None
    unwashed = answer.placement.plan.shrinkage is not None
    tender = any({"leather", "coated"} & cloths.kinds(name) for name in told)
    cleaned = any(
        {"silk", "wool"} & cloths.kinds(name) and not {"leather", "coated"} & cloths.kinds(name) for name in told
    )
    for name, said in told.items():
        kinds, words = cloths.kinds(name), " ".join(said)
        if {"leather", "coated"} & kinds:
            if re.search(rf"Wash and dry|{IRONED}|[Ss]team (?:over|held)", words):
                yield f"{name} is washed, steamed or ironed: {words}"
            continue
        if tender and re.search(r"Wash and dry the cloth as the garment", words):
            yield f"{name} is washed as a garment of leather is: {words}"
        if kinds & {"pile", "padded"} and re.search(IRONED, words):
            yield f"an iron is set on {name}: {words}"
        if "silk" in kinds and "damp cloth" in words:
            yield f"{name} is pressed damp: {words}"
        if is_told or unwashed:
            continue
        if cleaned and "hold steam over it" not in words:
            yield f"{name} is not shrunk by steam: {words}"
        if not cleaned and not re.search(r"Wash and dry|hold steam", words):
            yield f"{name} is not shrunk: {words}"
        if "wool" in kinds and not kinds & {"pile", "padded", "silk", "knit"} and "damp cloth" not in words:
            yield f"{name} is not pressed under a damp cloth: {words}"


def _washed(answer: Answer, advice: Advice, cloths: Cloths) -> Iterator[str]:
    """Whether leather that a plan washes is tried first."""
    plan = answer.placement.plan
    loses = plan.shrinkage is not None
    asked = loses or (plan.garment is not None and plan.garment.washing == "to be washed")
    tender = any({"leather", "coated"} & cloths.kinds(name) for name in cloths.names)
    if asked and tender and plan.state in (None, "cut pieces") and plan.gauge is None:
        keys = [step.key for step in advice.order.steps]
        tried = "try the first wash" if loses else "try the wash"
        if tried not in keys or {"wash", "keep unwashed"} & set(keys[: keys.index(tried)]):
            yield "leather or coated cloth is washed before a piece of it was"


def _flattened(advice: Advice, cloths: Cloths) -> Iterator[str]:
    """How the edge of either lap is made flat."""
    for step in advice.order.steps:
        for how, lap, over in FLATTENED.findall(step.text):
            second = re.search(r"Face the edge of the (over|under) lap", step.text)
            for one in (lap,) if lap else (second[1],) if second else LAPS:
                kinds, face = cloths.of(one), cloths.face(one)
                if how == "tap" and ("leather" not in face or kinds & {"pile", "padded"}):
                    yield f"a mallet is taken to {kinds} of the {one} lap"
                if "with a mallet" in over and "leather" not in face:
                    yield f"a mallet is taken to {kinds} of the {one} lap"
                if how == "press" and kinds & {"leather", "coated", "pile", "padded"}:
                    yield f"an iron is set on {kinds} of the {one} lap"
                if how == "steam and smooth" and kinds & {"leather", "coated"}:
                    yield f"steam is held over {kinds} of the {one} lap"
                if "damp" in over and "silk" in kinds:
                    yield f"silk of the {one} lap is pressed damp"
        if step.key == "press finished":
            kinds = cloths.of("over") | cloths.of("under")
            if kinds & {"leather", "coated", "pile", "padded"} or ("silk" in kinds and "damp" in step.text):
                yield f"a finished edge of {kinds} is pressed: {step.text}"


def _slit(answer: Answer, advice: Advice, cloths: Cloths) -> Iterator[str]:
    """How buttonholes are made, by the lap that each row of them is in."""
    for share in answer.placement.shares:
        lap = share.fastener.mark.buttonhole_lap
        if lap is None or share.plan.closure.bound or share.plan.gauge is not None:
            continue
        numbers = {str(mark.n) for mark in share.marks}
        steps = [step for step in advice.order.steps if step.key == "cut buttonholes" and numbers & _numbers(step.text)]
        is_leather = "leather" in cloths.face(lap)
        for step in steps:
            if ("Slit the leather" in step.text) != is_leather:
                yield f"{cloths.face(lap)} of the {lap} lap is cut so: {step.text}"
            if re.search(r", a (?:fine )?pin across", step.text) and cloths.of(lap) & {"coated"}:
                yield f"a pin goes through {cloths.of(lap)} of the {lap} lap"
        if len(answer.placement.shares) == 1:
            worked = " ".join(step.text for step in advice.order.steps if step.key == "work buttonholes")
            if worked and ("narrow box" in worked) != is_leather:
                yield f"{cloths.face(lap)} of the {lap} lap is worked so: {worked}"


def _numbers(text: str) -> set[str]:
    """The marks that a sentence names, those between two ends with them."""
    found: set[str] = set()
    for first, last in re.findall(r"(\d+)(?: to (\d+))?", " ".join(re.findall(r"marks? [\d, to and]+", text))):
        found |= {str(n) for n in range(int(first), int(last or first) + 1)}
    return found


WAYS = {
    "leather": r"with an awl|on the tape|point on tape|on paper tape",
    "coated": r"on the tape|point on tape|on paper tape",
    "thread": r"loose stitch|thread at the dot",
    "nonwoven": r"sharp chalk|chalk at the dot",
    "woven": r"prick through",
}


SHOWN = WAYS | {"nonwoven": "there with chalk", "woven": "there with chalk"}
"""How the same cloth is marked where the other lap shows its places."""


def _way(face: set[str]) -> str:
    for kind in ("leather", "coated"):
        if kind in face:
            return kind
    if face & {"knit", "pile", "sheer", "padded", "silk", "satin"}:
        return "thread"
    return "nonwoven" if "nonwoven" in face else "woven" if "woven" in face else ""


def _marked(advice: Advice, cloths: Cloths) -> Iterator[str]:
    """How either lap is marked, on the page about it and in the key of its sheet."""
    if {"any bound", "swap", "knitted"} & advice.facts.words or advice.facts.patches:
        return
    page = " ".join(advice.marking)
    side = "end" if "on: strap" in advice.facts.words else "lap"
    for lap in LAPS:
        own = re.search(rf"{lap} {side}: (.*?)(?=(?:Over|Under) {side}: |$)", page, re.IGNORECASE)
        text = own[1] if own else page
        if "shown on its" in text:
            # No mark is made through its sheet: its places come from the other lap, on to the face that meets that.
            kinds = cloths.where_it_meets(lap)
            if (way := _way(kinds)) and not re.search(SHOWN[way], text):
                yield f"{kinds} of the {lap} lap is marked so: {text}"
            if "shown by the" not in advice.signs["mark"]:
                yield f"the {lap} lap has the sign {advice.signs['mark']}"
            continue
        way = _way(cloths.marked(lap))
        if not way:
            continue
        if not re.search(WAYS[way], text, re.IGNORECASE):
            yield f"{cloths.marked(lap)} of the {lap} lap is marked so: {text}"
        sign = re.search(rf"on the {lap} {side} ([^;]*)", advice.signs["mark"])
        if not re.search(WAYS[way], sign[1] if sign else advice.signs["mark"]):
            yield f"{cloths.marked(lap)} of the {lap} lap has the sign {advice.signs['mark']}"
        for step in advice.order.steps:
            # What is marked at its lap's own sheet alone.
            is_own = step.key in ("mark", "mark buttonholes") and re.match(
                f"(Lay the sheet of|Turn) the {lap}", step.text
            )
            if is_own and not re.search(WAYS[way], step.text, re.IGNORECASE):
                yield f"{cloths.marked(lap)} of the {lap} lap is marked so: {step.text}"
            if step.key == "mark both":
                part = re.search(rf"At [^.]*? of the {lap} lap (?!and)(.*)", step.text)
                if part and not re.search(WAYS[way], part[1], re.IGNORECASE):
                    yield f"{cloths.marked(lap)} of the {lap} lap is marked so: {step.text}"


def _compared(answer: Answer, advice: Advice, cloths: Cloths) -> Iterator[str]:
    """How the places of the lap that is set first come on to the other."""
    for step in advice.order.steps:
        if step.key != "compare":
            continue
        onto = re.search(r"the sheet of the (over|under) lap", step.text)
        if onto is None:
            continue
        kinds, way = cloths.pierced(onto[1]), _way(cloths.where_it_meets(onto[1]))
        if re.search(r"put a pin", step.text) and kinds & {"leather", "coated", "silk", "satin", "sheer"}:
            # Melton and woven cloth take a pin; what lies within keeps its hole all the same.
            yield f"a pin goes into {kinds} of the {onto[1]} lap: {step.text}"
        if re.search(r"Lay paper tape along", step.text) and "pile" in cloths.face(onto[1]):
            yield f"tape is laid on pile: {step.text}"
        if way in ("leather", "coated") and not re.search(WAYS[way], step.text):
            yield f"{cloths.where_it_meets(onto[1])} of the {onto[1]} lap is marked so: {step.text}"


def _held(answer: Answer, advice: Advice, cloths: Cloths) -> Iterator[str]:
    """How a backing is held on either lap of pieces."""
    plan = answer.placement.plan
    if plan.state not in (None, "cut pieces") or answer.placement.strap is not None or plan.gauge is not None:
        return
    for step in advice.order.steps:
        if step.key not in ("back", "back with strip"):
            continue
        for lap in LAPS:
            alone = re.search(r"closures of the (over|under) lap", step.text)
            if not answer.placement.on(lap) or (alone is not None and alone[1] != lap):
                continue
            held = re.search(
                rf"(fuse or sew|fuse|sew|glue|tape) (?:the edges of )?those of the {lap} lap down", step.text
            )
            how = held or re.search(r"(fuse or sew|fuse|sew|glue|tape) (?:them|their edges) down", step.text)
            # It is held to the cloth that it lies on: the facing, where the step lays it there.
            at = re.search(rf"on the {lap} lap against (the wrong side of the facing|that of the outer)", step.text)
            is_behind = "facing" in (at[1] if at else step.text.partition(": a strip for each lap, ")[2][:40])
            face = cloths.inner(lap) if is_behind else cloths.face(lap)
            # Tape and glue hold badly on wax: from memory.
            wanted = "glue" if "leather" in face else "sew" if "waxed" in face else "tape" if "coated" in face else ""
            if how is None or (wanted and how[1] != wanted) or (not wanted and how[1] in ("glue", "tape")):
                yield f"a backing on {face} of the {lap} lap is held so: {step.text}"
            elif face & {"pile", "padded", "sheer"} and "fuse" in how[1]:
                yield f"a backing is fused to {face} of the {lap} lap"


def without_apart(words: str) -> str:
    """The words of a set without what is done to some of its cloth by itself, for a reading of what is said of all."""
    names = rf"(?:{NAMES}|the (?:over|under) lap)"
    done = (
        r"(?-i:Wash and|Let the|Lay the|Press it|Take creases|Smooth creases|Fuse|Treat|The interfacing|The plan says)"
    )
    apart = rf"\b{names}(?:(?:, | and ){names})*: {done}.*?(?=Right when:|\"done\"|\}})"
    words = re.sub(apart, "", words, flags=re.IGNORECASE | re.DOTALL)
    each = r"(?:press|tap|smooth|steam and smooth) (?:the [a-z ]+|that|those) of the (?:over|under) (?:lap|end)[^:.]*?"
    words = re.sub(rf"{each}(?=, and (?:press|tap|smooth|steam)|[:.])", "", words)
    return re.sub(r"on the (?:over|under) lap (?:needle holes|they|woven cloth|a knit)[^.;\"]*", "", words)
