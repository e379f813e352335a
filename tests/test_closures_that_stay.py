"""Closures that are there and stay: the pages of such runs, read against each other for what must and must not stand there.

That a part which was set is not set again, that what holds on a garment is judged by pulling at it, and that a child's
closures are looked at before every wear, is common practice; that magnets disturb implants: FDA, as the caution names it.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pypdfium2
import pytest
from test_advice_jobs import contradictions, out_of_order

from closures.advice.whole_order import shared_order
from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.app.whole import garment_files, work_garment
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.registry import asked_for
from closures.jobs.swap.kept import KEPT_CLOSURES
from closures.jobs.table.backing import back_laps
from closures.plan.reading import read_plan
from closures.report.parts import count_parts
from closures.verifying.sheet_read import read_sheet

CATALOGUE = load_catalogue()
POPLIN = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n[[layer]]\ncloth = "woven fusible"\n'
KNIT = '[[layer]]\ncloth = "interlock"\ncount = 2\n'
ROW = (
    'title = "Teasel"\n[garment]\nopens = "front"\nstate = "{state}"\n{wearer}[edge]\nstraight = "{length} mm"\n[band]\n'
    'width = "{width} mm"\nlap = "left over right"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n{layers}[swap]\n'
    'kind = "{kind}"\nsize = "{old}"\nfirst = "20 mm"\nlast = "{last} mm"\ncount = {count}\nhole = {{ {hole} }}\n'
    'take = "{take}"\n{more}[sheets]\nbacking = "as needed"\norder = true\nhandover = true\n'
)
HELPER = {
    "take": "keep every old place, with a helper at a strain point",
    "more": '[[anchor]]\nname = "bust"\nalong = "{at} mm"\nwithin = "3 mm"\n',
}


def row(kind: str, size: str, **told: str | int) -> str:
    """A plan of closures that become closures of the same kind."""
    usual = {
        "state": "finished", "wearer": "", "length": 620, "width": 34, "layers": POPLIN, "old": size, "last": 60,
        "count": 7, "hole": "made = true", "take": "keep every old place", "more": "",
    }  # fmt: skip
    return ROW.format(**{**usual, "kind": kind, "size": size, **told})


SHIRT = ("sew-through button", "18 L")
ALONG = 'way = "along", made = {}'
BABY = {"length": 240, "width": 26, "layers": KNIT, "last": 20, "count": 5}
CHILD = '[wearer]\nprofiles = ["child under three"]\n'
MAGNETS = {"length": 480, "width": 40, "layers": POPLIN, "last": 60, "count": 5}

ALL_STAY = {
    "shirt": row(*SHIRT, hole=ALONG.format("true")),
    "baby": row("prong snap", "16 L", wearer=CHILD, **BABY),
    "magnets": row("magnetic snap", "14 mm", wearer='[wearer]\nimplants = "some"\n', **MAGNETS),
    "magnets of whom nobody asked": row("magnetic snap", "14 mm", **MAGNETS),
    "hooks": row("hook and eye", "2", layers=POPLIN, width=40),
    "one alone": row(*SHIRT, hole=ALONG.format("true"), count=1, last=600),
}
ONE_NEW = {
    "shirt": row(*SHIRT, hole=ALONG.format("true"), **{**HELPER, "more": HELPER["more"].format(at=245)}),
    "baby": row("prong snap", "16 L", wearer=CHILD, **BABY, **{**HELPER, "more": HELPER["more"].format(at=95)}),
}


def answered(text: str, *also: str) -> Answer:
    return place_plan(asked_for(read_plan(text.encode(), "teasel.toml"), also))


def pages_of(pdf: bytes) -> str:
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def read(answer: Answer) -> tuple[str, dict[str, bytes]]:
    """Every word of the report and of all pages, and the files."""
    made = result_files(answer, "a4")
    return " ".join(f"{made['report.md'].decode()} {pages_of(made['marking.pdf'])}".split()), made


@pytest.mark.parametrize("name", ALL_STAY)
def test_pages_of_a_row_of_which_all_stays_ask_for_nothing_to_be_made(name: str):
    answer = answered(ALL_STAY[name])
    words, made = read(answer)
    assert contradictions(words) == [] and out_of_order(words) == []
    assert answer.placement.is_all_there and count_parts(answer.placement) == ()
    for told in ("RECORD: all stay, mark nothing", "Set nothing, mark nothing and cut nothing", "None to buy"):
        assert told in words, told
    assert re.search(r"Pull at (?:every closure|the closure) that stays", words)
    assert not re.search(
        r"\b0 × |\d comes? off\b|part, comes off|signs say|How to mark|backing patch|Trial coupon|1 come\b", words
    )
    assert "old 1" not in words and "stencil" not in " ".join(made)
    whats = {line["what"] for line in csv.DictReader(io.StringIO(made["handover.csv"].decode()))}
    assert whats == {"stays"} and "not to be set" in words
    for lap in ("over", "under"):
        svg = made[f"{lap}.svg"]
        # The sheet has every closure where it is, and no dot to mark one by.
        assert len(read_sheet(svg).marks) == len(answer.placement.marks) and b", stays" in svg
        assert not re.search(rb'class="centre"[^>]*r="0\.3"|r="0\.3"[^>]*class="centre"', svg)


def test_all_further_pages_are_made_of_a_row_of_which_all_stays_but_those_to_set_by():
    words, made = read(answered(ALL_STAY["shirt"], "all"))
    assert "Trial coupon" not in words and not [name for name in made if "stencil" in name or "projector" in name]
    assert "Handing over" in words and "roll.pdf" in made and contradictions(words) == []
    assert "on one that stays" in words and not re.search(
        r"as you set the parts|trial coupon|pull coupon|mark its inside", words
    )


def test_kept_snaps_of_a_baby_are_pulled_at_and_its_loose_parts_counted_with_nobody_in_it():
    words, _ = read(answered(ALL_STAY["baby"]))
    order = [
        words.index(step)
        for step in (
            "Pull at every closure that stays", "with nobody in it", "Draw cotton wool", "Count the loose parts",
            "Only now put it on the child", "have the plan fix a closure at that place",
        )
    ]  # fmt: skip
    assert order == sorted(order)
    assert "Pull every closure that stays by hand" in words and "This looks at geometry and thickness" in words
    assert "The backing that" not in words and "hammer" not in words


def test_kept_magnets_are_kept_from_who_has_an_implant_and_the_failed_check_stands():
    words, _ = read(answered(ALL_STAY["magnets"]))
    assert "keep it away from whoever has the implant till their clinic was asked" in words
    assert "A check failed: wearer" in words and "Read the report before it is worn again" in words
    assert "before a pack is bought" not in words
    asked, _ = read(answered(ALL_STAY["magnets of whom nobody asked"]))
    assert "ask about implants, in the words that stand under the cautions, before anybody wears" in asked
    assert "pacemaker" in asked


def steps_of(text: str) -> list[str]:
    made = result_files(answered(text), "a4")["report.md"].decode()
    return re.findall(r"^\d+\. (.+)$", made.partition("## Order of work")[2].partition("\n## ")[0], re.MULTILINE)


ONE_MAGNET_NEW = {**MAGNETS, **HELPER, "more": HELPER["more"].format(at=170)}
MAGNETS_OUT = {"length": 480, "width": 40, "last": 60, "count": 5, "hole": "made = true", "take": "best spacing"}


def magnets_out(**told: str | int) -> str:
    """Magnets that become snaps that are sewn on."""
    text = row("sew-on snap", "3", **{**MAGNETS_OUT, "old": "14 mm", **told})
    return text.replace('[swap]\nkind = "sew-on snap"', '[swap]\nkind = "magnetic snap"').replace(
        'take = "best spacing"\n', ""
    )


@pytest.mark.parametrize(
    ("told", "begins"),
    [
        ("", "The magnets are in it already: ask about implants"),
        ('[wearer]\nimplants = "some"\n', "keep it away from whoever has the implant"),
        (CHILD, "keep it from every child, and take them all off"),
        (CHILD + 'implants = "none"\n', "keep it from every child, and take them all off"),
    ],
)
@pytest.mark.parametrize("magnets", [MAGNETS, ONE_MAGNET_NEW], ids=["all stay", "one new"])
def test_first_step_keeps_magnets_that_are_in_it_from_whom_they_harm(
    magnets: dict[str, str | int], told: str, begins: str
):
    # Magnets and implants: FDA; magnets that are swallowed: medical press, both as the cautions name them.
    steps = steps_of(row("magnetic snap", "14 mm", wearer=told, hole="made = true", **magnets))
    assert begins in steps[0]
    put_on = [n for n, step in enumerate(steps) if re.search(r"\bput it on\b", step, re.IGNORECASE)]
    if "child" in told:
        assert not put_on and not any("Pull at" in step for step in steps)
        # Nothing is bought, slit or set before another kind is chosen.
        assert not any(re.search(r"\b(magnet half|washer|slit|Mark|trial)", step) for step in steps[1:])
    if "some" in told and magnets is ONE_MAGNET_NEW:
        # What is new fails for whoever has the implant, and is not set.
        assert not put_on and steps[1].startswith("Buy, mark, cut and set nothing") and len(steps) == 2
    elif "some" in told:
        (last,) = put_on
        assert last > 2 and "whoever has the implant only where the answer allows it" in steps[last]


@pytest.mark.parametrize(
    ("told", "begins"),
    [
        ("", "The magnets are in it already: ask about implants"),
        ('[wearer]\nprofiles = ["implants"]\nimplants = "some"\n', "The old closures are magnets: keep the garment"),
        (CHILD, "The old closures are magnets, and magnets that come off get swallowed"),
    ],
)
def test_old_magnets_that_come_off_are_told_of_before_all_else(told: str, begins: str):
    text = magnets_out(wearer=told)
    steps, answer = steps_of(text), answered(text)
    assert steps[0].startswith(begins)
    off = next(n for n, step in enumerate(steps) if step.startswith("Take the 5 magnetic snaps off"))
    put_on = [n for n, step in enumerate(steps) if re.search(r"\bput it on\b", step, re.IGNORECASE)]
    assert put_on and (not told or min(put_on) > off)
    found = [one for one in answer.findings if one.rule == "wearer"]
    assert any("The old closures are magnets" in one.text and one.result == "warn" for one in found)
    words, _ = read(answer)
    assert "No magnet is in this closure" not in words and "No magnets are in this closure" not in words
    # Of magnets on a pattern alone none is in the garment.
    drawn = steps_of(magnets_out(wearer=told, hole="made = false", state="cut pieces"))
    assert not any("magnets" in step for step in drawn)


def test_garment_of_which_one_row_has_magnets_is_put_on_no_child():
    baby = row("prong snap", "16 L", wearer=CHILD, hole="made = true", **BABY)
    magnets = row("magnetic snap", "14 mm", wearer=CHILD, hole="made = true", **MAGNETS)

    def told(*texts: str) -> str:
        orders = {str(n): advice_of(answered(text)).order for n, text in enumerate(texts)}
        return " ".join(step.text for step in shared_order(orders))

    assert "put it on the child" in told(baby, baby)
    assert "keep it from every child" in told(magnets, baby) and "put it on the child" not in told(magnets, baby)


@pytest.mark.parametrize("name", ONE_NEW)
def test_pages_of_a_row_with_one_new_closure_ask_for_that_one_alone(name: str):
    answer = answered(ONE_NEW[name])
    words, made = read(answer)
    assert contradictions(words) == [] and out_of_order(words) == []
    (new,) = (mark.n for mark in answer.placement.new_marks)
    kept = sorted(answer.placement.staying)
    assert not re.search(r"At marks \d|of marks \d[^.]*set|\bcomes? off\b", words)
    assert f"mark {new} of the" in words and "signs say" in words and "RECORD" not in words
    assert re.search(r"Pull at every closure that stays, marks 1", words)
    # What is felt, tried and worn is the whole row, the new closure and those that stay.
    assert "behind the closure" not in words
    for backing in back_laps(answer.placement, answer.findings, CATALOGUE):
        assert {n for piece in backing.pieces for n in piece.marks} == {new}
    roles = {row["mark"]: row["what"] for row in csv.DictReader(io.StringIO(made["handover.csv"].decode()))}
    assert {n: roles[str(n)] for n in (*kept, new)} == {**dict.fromkeys(kept, "stays"), new: "row"}
    for lap in ("over", "under"):
        titles = re.findall(r"<title>mark (\d+)(, stays)?[,:]", made[f"{lap}.svg"].decode())
        assert {int(n): bool(stays) for n, stays in titles} == {**dict.fromkeys(kept, True), new: False}


def test_backing_that_a_new_snap_wants_is_asked_for_it_alone_and_the_kept_are_looked_at():
    findings = answered(ONE_NEW["baby"]).findings
    assert {one.mark for one in findings if one.rule == "backing" and one.result != "pass"} == {3}
    assert {one.mark for one in findings if one.rule == KEPT_CLOSURES} == {1, 2, 4, 5, 6}


def test_cutter_and_stencil_pierce_no_place_of_a_closure_that_stays():
    made = result_files(answered(ONE_NEW["shirt"], "stencil", "projector"), "a4")
    for name in ("over-stencil.svg", "over-projector.svg"):
        assert len(re.findall(rb'class="centre"', made[name])) == 1, name


def test_same_button_on_a_pattern_not_yet_sewn_is_set_as_ever():
    answer = answered(row(*SHIRT, state="cut pieces", hole=ALONG.format("false")))
    words, _ = read(answer)
    assert contradictions(words) == [] and out_of_order(words) == []
    assert not answer.placement.staying and "signs say" in words and "RECORD" not in words
    assert not re.search(r"come off|Strike|struck|the order of work tells", words)
    assert "7 × sew-through button 18 L: all stay" in words


def test_larger_button_for_which_nothing_fits_takes_the_old_ones_off():
    text = row("sew-through button", "30 L", old="18 L", width=14, hole='way = "across", made = true')
    words, _ = read(answered(text))
    assert contradictions(words) == []
    assert "Take off 7 sew-through buttons" in words and "A check failed" in words and "RECORD" not in words


def test_garment_of_which_one_row_stays_marks_the_other_alone(tmp_path: Path):
    both = {
        "front": ALL_STAY["shirt"],
        "back": row("prong snap", "16 L", length=150, count=2, last=30, hole=ALONG.format("true"))
        .replace('[swap]\nkind = "prong snap"', '[swap]\nkind = "sew-through button"')
        .replace('"front"', '"back"'),
    }
    words = _garment(tmp_path, both)
    assert "Front: Set nothing, mark nothing and cut nothing" in words
    assert "Cut the strips of the front, over and front, under lap along the finished edge" in words
    assert "Back: Lay the sheet of the over lap" in words and "button, sew-through button 18 L" not in words
    assert not re.search(r"Front: (?:Lay the sheet|Prick|Wear eye|Press)|front[^.]{0,20}for trial", words)


def test_belt_goes_with_a_front_of_which_all_stays(tmp_path: Path):
    belt = (
        '[belt]\nwaist = "720 mm"\nwidth = "36 mm"\nthickness = "2 mm"\nsettings = 3\nstep = "25 mm"\nfree = "30 mm"\n'
        'caps = ["20 mm", "70 mm"]\nallowance = "10 mm"\nlap = "left over right"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\ngrip = ["0.5 mm", "2 mm"]\n[[layer]]\nthickness = "1.4 mm"\nclamped = true\n'
    )
    words = _garment(tmp_path, {"front": ALL_STAY["shirt"], "belt": belt})
    assert "Front: Set nothing" in words and "Belt: Lay each sheet to the tip it names" in words
    assert "snap 16 L" in words and "button, sew-through button 18 L" not in words


def test_garment_of_which_every_row_stays_buys_nothing(tmp_path: Path):
    words = _garment(tmp_path, {"front": ALL_STAY["shirt"], "back": ALL_STAY["hooks"].replace('"front"', '"back"')})
    assert "Nothing: no closure is set anew" in words
    assert not re.search(r"signs say|before you mark|Pierce nothing", words)


def _garment(folder: Path, plans: dict[str, str]) -> str:
    told = 'title = "Teasel"\n' + "".join(f'[[opening]]\nname = "{n}"\nplan = "{n}.toml"\n' for n in plans)
    for name, text in {**plans, "garment": told}.items():
        (folder / f"{name}.toml").write_text(text)
    made = garment_files(work_garment(folder / "garment.toml"), "a4")
    reports = [data.decode() for name, data in made.items() if name.endswith(".md")]
    return " ".join(" ".join([*reports, pages_of(made["marking.pdf"])]).split())


@pytest.mark.parametrize("more", [{}, {**HELPER, "more": HELPER["more"].format(at=245)}], ids=["all stay", "one new"])
def test_buttons_that_stay_are_drawn_on_the_laps_that_turned_halves_tell(more: dict[str, str]):
    # One kind and size lies one way: common practice, and the report tells that it is taken so.
    text = row(*SHIRT, hole=ALONG.format("true"), **more).replace("[closure]", '[closure]\nhalves = "turned"')
    words, made = read(answered(text))
    assert b"staying buttonhole 1:" in made["under.svg"] and b"staying buttonhole" not in made["over.svg"]
    assert "The old closures lie as the new are told, halves turned" in words and contradictions(words) == []
    usual, sheets = read(answered(text.replace('halves = "turned"', 'halves = "usual"')))
    assert b"staying buttonhole 1:" in sheets["over.svg"] and b"staying buttonhole" not in sheets["under.svg"]
    assert "halves turned" not in usual


def test_band_behind_magnets_that_stay_is_not_opened_and_not_judged_as_if_it_were():
    linen = '[[layer]]\ncloth = "linen"\ncount = 2\n'
    told = {**MAGNETS, "hole": "made = true", "layers": linen}
    kept = answered(row("magnetic snap", "14 mm", **told)).findings
    assert not [one for one in kept if one.is_if_opened or one.rule == KEPT_CLOSURES]
    new = answered(row("magnetic snap", "14 mm", **{**told, **ONE_MAGNET_NEW, "layers": linen, "hole": "made = true"}))
    (mark,) = new.placement.new_marks
    assert {one.mark for one in new.findings if one.is_if_opened} == {mark.n}


def test_no_opening_is_cut_out_of_patches_where_buttonholes_stay():
    text = row(*SHIRT, hole=ALONG.format("true"), **{**HELPER, "more": HELPER["more"].format(at=245), "layers": KNIT})
    words, made = read(answered(text))
    assert "patch" in words and "First cut the opening" not in words
    assert b"opening about the old buttonhole" not in b"".join(data for name, data in made.items() if "svg" in name)


def test_kept_closure_near_the_end_takes_the_backing_from_no_new_one():
    # A backing reaches 5 mm past every flange: common practice. The first snap, which stays, lies too near the end.
    jersey = '[[layer]]\ncloth = "jersey"\ncount = 1\n'
    told = {"length": 330, "width": 36, "layers": jersey, "hole": "made = true", "last": 80, "count": 4, **HELPER}
    text = row("plastic snap", "16", **{**told, "more": HELPER["more"].format(at=130)})
    text = text.replace('first = "20 mm"', 'first = "10 mm"')
    text = text.replace('backing = "as needed"', 'backing = "as needed"\nbacking_cloth = "cotton lawn"')
    answer = answered(text)
    (new,) = answer.placement.new_marks
    assert not [one for one in answer.findings if one.rule == "backing pieces"]
    for backing in back_laps(answer.placement, answer.findings, CATALOGUE):
        assert [n for piece in backing.pieces for n in piece.marks] == [new.n], backing.trouble


def test_hand_over_tells_buttonholes_that_are_cut_already_and_serve_another_button():
    text = row("sew-through button", "20 L", old="18 L", hole='way = "along", length = "16 mm", made = true')
    words, _ = read(answered(text))
    assert "7 × (old buttonhole) there already, serves again" in words
    assert "× (buttonhole)" not in words and "7 × (button)" in words
