"""What the options of the command mean: a job told without a plan file, and the words that some options take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures.errors import PlanError
from closures.frozen import frozen
from closures.plan import any_key
from closures.plan.band import face_of_word
from closures.plan.options import OPTIONS, Option, plan_from_options

if TYPE_CHECKING:
    from closures.jobs.table.printer import Correction
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units


@frozen
class Wish:
    """An option of the command that tells something of a plan.

    Attributes:
        name: such as ``--band``.
        kind: the type of what is typed.
        says: what its help says.
        key: the name that the plan's reader gives it.
        about: the heading of the help that it stands under.
        word: what the help calls its value.
    """

    name: str
    kind: object
    says: str
    key: str
    about: str
    word: str


def _typed(option: Option) -> object:
    if option.key is None:
        return list[str]
    return int if option.is_whole else bool if option.is_switch else str


WISHES = (
    *(Wish(each.name, _typed(each), each.says, each.field, each.about, each.word) for each in OPTIONS),
    Wish(any_key.OPTION, list[str], any_key.SAYS, "set", "Any key of a plan", "WORDS"),
)
"""Every option that tells something of a plan, all from the table of keys."""


def plan_asked(path: Path | None, wishes: dict[str, Any]) -> Plan:
    """The plan of a file, or of options; both together are refused."""
    from closures.app.job import load_plan
    from closures.app.known_names import names_known

    if path is None:
        return plan_from_options(names_known(None), **{key: _as_typed(value) for key, value in wishes.items()})
    told = [_as_typed(text) for text in wishes.get("set", ())]
    if set(wishes) - {"set"}:
        names = ", ".join(wish.name for wish in WISHES if wish.key in wishes and wish.key != "set")
        raise PlanError(
            f"{names} cannot go with a plan file",
            where=str(path),
            mend="Write it into the plan, or leave the file out; --set changes any key of a plan file for this once.",
        )
    if told:
        return _plan_with(path, told)
    return load_plan(path)


def _plan_with(path: Path, told: list[str]) -> Plan:
    """The plan of a file with some keys told otherwise for this once; the file stays as it is."""
    from closures import files
    from closures.app.known_names import names_known
    from closures.plan.reading import read_plan

    data = files.read_plan_file(path)
    read_plan(data, path.name)
    text = any_key.in_text(data.decode("utf-8-sig"), any_key.read_told(told))
    return read_plan(text.encode(), path.name, names_known(path))


def one_row(plan: Plan) -> Plan:
    """The plan, which is of one row.

    Raises:
        PlanError: it is of two, which only a plan file by itself can tell: they are one set, named after it.
    """
    if plan.garment is not None and plan.garment.pair_of_rows:
        from closures.errors import in_section

        raise PlanError(
            "both sides of a body are one set, made of one plan file",
            where=in_section("garment", "pair_of_rows"),
            mend="Write it into the plan file, and place that by itself.",
        )
    return plan


def lettered_as(plan: Plan, large: bool, words: str | None) -> Plan:
    """The plan with larger letters on its sheets, or with words as text in the SVG.

    Raises:
        PlanError: there is no such lettering.
    """
    from dataclasses import replace

    from closures.plan.sheets import SheetsWish

    if words not in (None, "outlines", "text"):
        raise PlanError(f"'{words}' is no lettering", where="--words", mend="Write outlines or text.")
    if not large and words is None:
        return plan
    wish = plan.sheets or SheetsWish()
    return replace(plan, sheets=replace(wish, large=large or wish.large, words=words or wish.words))  # type: ignore[arg-type]


def _as_typed(value: Any) -> Any:
    """Words of an option as they were typed: a system without a language setting hands on bytes that it cannot read."""
    if isinstance(value, list):
        return [_as_typed(one) for one in value]
    if isinstance(value, str) and any("\udc80" <= sign <= "\udcff" for sign in value):
        try:
            return value.encode("utf-8", "surrogateescape").decode("utf-8")
        except UnicodeDecodeError:
            return value
    return value


def units_asked(word: str) -> Units:
    """What a bare number means, by its word."""
    if word not in ("mm", "in"):
        raise PlanError(f"'{word}' is neither mm nor in", where="--units", mend="Write mm or in.")
    return "in" if word == "in" else "mm"


def face_asked(word: str) -> FaceWish:
    """A face of the cloth, by its word."""
    face = face_of_word(word)
    if face is None:
        raise PlanError(f"'{word}' is not a face of the cloth", where="--face", mend="Write outside, inside or usual.")
    return face


def lengths_measured(across: str, down: str, of: str) -> tuple[float, float, float]:
    """What was measured across and down, and what the sheet says, in mm."""
    from closures.lengths import parse_length_mm

    told = ((across, "across"), (down, "down"), (of, "--of"))
    first, second, third = (parse_length_mm(text, "mm", zero=False, where=where) for text, where in told)
    return first, second, third


def correction_asked(correct: tuple[str, str] | None, of: str | None) -> Correction | None:
    """The correction that two measurements ask for; a length without them, or they without it, is refused."""
    if correct is None and of is None:
        return None
    if correct is None or of is None:
        raise PlanError(
            "--correct and --of go together",
            where="--of" if of is None else "--correct",
            mend="Write --correct 149.2 150.6 --of 150: measured across, down, and what the sheet says.",
        )
    from closures.jobs.table.printer import correction_for

    return correction_for(*lengths_measured(*correct, of))
