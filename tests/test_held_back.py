"""What fails for whoever wears it is set nowhere: no page of such a plan buys, marks, cuts or sets a part.

Magnets that come off get swallowed: medical press; magnets disturb implants: FDA; no cords at the neck under seven:
EN 14682, from memory; all as the cautions name them.
"""

from __future__ import annotations

import csv
import io
import json
import re

import pypdfium2
import pytest

from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.registry import asked_for
from closures.placing.nothing_set import HELD_BACK, nothing_set, withheld
from closures.plan.reading import read_plan
from closures.report.parts import count_parts, lengths_to_buy

CATALOGUE = load_catalogue()
CHILD = '[wearer]\nprofiles = ["child under three"]\nimplants = "none"\n'
IMPLANT = '[wearer]\nimplants = "some"\n'
NOT_ANSWERED = '[wearer]\nprofiles = ["implants"]\n'
MAGNETS = 'kind = "magnetic snap"\nsize = "14 mm"\n'
ROW = (
    'title = "Wicket romper"\n[garment]\nopens = "front"\nstate = "cut pieces"\n{wearer}[edge]\nstraight = "300 mm"\n'
    '[band]\nwidth = "34 mm"\nlap = "left over right"\n[closure]\n{closure}[spacing]\nfirst = "30 mm"\n'
    'last = "30 mm"\ncount = 4\n[[layer]]\ncloth = "chino"\ncount = 2\n{more}'
)
JOBS = {
    "row": ROW.format(wearer=CHILD, closure=MAGNETS, more=""),
    "implant": ROW.format(wearer=IMPLANT, closure=MAGNETS, more=""),
    "not answered": ROW.format(wearer=NOT_ANSWERED, closure=MAGNETS, more=""),
    "one of a row": ROW.format(
        wearer=CHILD, closure='kind = "sew-on snap"\nsize = "1"\n',
        more=f"[[differs]]\nmarks = [1]\n{MAGNETS}",
    ),
    "lace": ROW.format(
        wearer='edges = "meeting"\ngap = "10 mm"\n' + CHILD, closure='kind = "eyelet"\nsize = "5.5 mm"\n',
        more='[lacing]\nway = "crossed"\n',
    ),
}  # fmt: skip
STRAPS = {
    "cuff": f'{CHILD}[row]\nlength = "180 mm"\nheight = "40 mm"\nover = ["18 mm"]\nunder = ["18 mm"]\n[closure]\n{MAGNETS}'
    '[[layer]]\ncloth = "denim 8 oz"\ncount = 2\n',
    "belt": f'{NOT_ANSWERED}[belt]\nwaist = "700 mm"\nwidth = "40 mm"\nsettings = 3\n[closure]\n{MAGNETS}'
    '[[layer]]\ncloth = "denim 8 oz"\ncount = 2\n',
    "belt with allowances": f'{NOT_ANSWERED}[belt]\nwaist = "700 mm"\nwidth = "40 mm"\nsettings = 3\ncarriers = 5\n'
    f'allowance = "10 mm"\n[closure]\n{MAGNETS}[[layer]]\ncloth = "denim 8 oz"\ncount = 2\n',
}
DONE = re.compile(
    r"prick|push the tabs|\d+ × magnet half|[Ss]lit the|trial piece|Sew one|Set one|Mark the|mark as the signs say"
)


def answered(text: str, also: tuple[str, ...] = ("all",)) -> Answer:
    return place_plan(asked_for(read_plan(text.encode(), "job.toml"), also))


def pages(text: str) -> tuple[str, dict[str, bytes]]:
    made = result_files(answered(text), "a4")
    read = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"])]
    return " ".join(" ".join([made["report.md"].decode(), *read]).split()), dict(made)


@pytest.mark.parametrize("name", JOBS)
def test_plan_that_fails_for_its_wearer_is_bought_marked_cut_and_set_nowhere(name: str) -> None:
    words, made = pages(JOBS[name])
    assert not DONE.search(words), DONE.search(words)
    assert "Buy, mark, cut and set nothing of what is planned here" in words
    assert HELD_BACK.to_buy in words and HELD_BACK.strip in words and HELD_BACK.heading in words
    assert HELD_BACK.hand_over in words and "planned and held back" in words
    assert {"coupon", "stencil", "projector"}.isdisjoint(one for file in made for one in file.split("-"))
    steps = [step.key for step in advice_of(answered(JOBS[name])).order.steps]
    assert steps == ["change the plan"]
    placement = answered(JOBS[name]).placement
    assert count_parts(placement) == () and lengths_to_buy(placement) == ()


@pytest.mark.parametrize("wearer", ["", CHILD, IMPLANT, NOT_ANSWERED, '[wearer]\nimplants = "allowed"\n'])
@pytest.mark.parametrize("kind", [kind for kind in CATALOGUE.kinds() if "tape" not in kind and "loop" not in kind])
def test_every_kind_is_held_back_where_and_only_where_a_look_at_the_wearer_fails(kind: str, wearer: str) -> None:
    size = next(one.size for one in CATALOGUE.fasteners if one.kind == kind)
    answer = answered(
        ROW.format(wearer=wearer, closure=f'kind = "{kind}"\nsize = "{size}"\ncap = "12 mm"\n', more=""), ()
    )
    fails = [one.text for one in answer.findings if one.rule == "wearer" and one.result == "fail"]
    assert [one.found for one in withheld(answer.placement)] == fails
    assert answer.placement.is_withheld is bool(fails) is (nothing_set(answer.placement) is HELD_BACK)
    keys = {step.key for step in advice_of(answer).order.steps}
    assert ("change the plan" in keys) is bool(fails) and (len(keys) == 1) is bool(fails)


def test_no_band_is_cut_for_what_is_held_back_and_no_tag_put_on() -> None:
    more = '[bands]\nallowance = "10 mm"\n[sheets]\nclosing = "numbers"\n'
    words, _ = pages(ROW.format(wearer=CHILD, closure=MAGNETS, more=more))
    assert "Cutting the bands" not in words and "## Bands" not in words and "Put the tags on" not in words
    sewn, _ = pages(ROW.format(wearer=CHILD, closure='kind = "sew-on snap"\nsize = "1"\n', more=more))
    assert "Cutting the bands" in sewn and "## Bands" in sewn and "Put the tags on" in sewn


def test_sheet_of_a_strap_that_is_held_back_cuts_no_cloth() -> None:
    """Its allowance is drawn and named, and the line beyond it cuts nothing before the plan was changed."""
    belt = STRAPS["belt with allowances"]
    words, _ = pages(belt)
    assert "seam allowance 10 mm" in words and "cut the cloth on the outer line" not in words
    set_all, _ = pages(belt.replace(NOT_ANSWERED, ""))
    assert "seam allowance 10 mm, cut the cloth on the outer line" in set_all


def test_magnets_that_a_clinic_allows_are_set_with_its_answer_at_hand() -> None:
    words, _ = pages(ROW.format(wearer='[wearer]\nimplants = "allowed"\n', closure=MAGNETS, more=""))
    assert "have the answer in writing at hand" in words and "push the tabs through" in words
    assert "whoever has the implant only where the answer allows it" in words
    assert "FAIL wearer" not in words and HELD_BACK.to_buy not in words


def test_garment_keeps_off_the_child_what_another_of_its_openings_has_held_back() -> None:
    from closures.advice.whole_order import shared_order

    sewn = ROW.format(wearer=CHILD, closure='kind = "sew-on snap"\nsize = "1"\n', more="")
    orders = {name: advice_of(answered(text, ())).order for name, text in {"front": sewn, "leg": JOBS["row"]}.items()}
    told = [(step.key, step.openings) for step in shared_order(orders)]
    assert told[0] == ("change the plan", ("leg",)) and ("count parts", ("front",)) in told
    assert not any(key.startswith("try on a child") for key, _ in told)


def test_swap_to_what_is_held_back_says_so_before_it_tells_what_would_become_of_the_old_closures() -> None:
    swap = (
        '[swap]\nkind = "sew-through button"\nsize = "18 L"\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\n'
        'hole = { way = "along", made = true }\n'
    )
    text = ROW.format(wearer=CHILD, closure=MAGNETS, more=swap).replace("cut pieces", "finished")
    text = text.replace('[spacing]\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\n', "")
    words, _ = pages(text)
    # A magnet that stays off is no reason to take a button off.
    assert "nothing of what follows is done before the plan was changed. All 4 old places stay" in words
    assert [step.key for step in advice_of(answered(text)).order.steps] == ["change the plan"]
    sewn = pages(text.replace(MAGNETS, 'kind = "sew-on snap"\nsize = "1"\n'))[0]
    assert "Held back" not in sewn and "nothing of what follows" not in sewn


@pytest.mark.parametrize("name", [*JOBS, *STRAPS])
def test_nothing_is_printed_taped_trimmed_or_put_in_order_of_what_is_held_back(name: str) -> None:
    words, made = pages((JOBS | STRAPS)[name])
    wrong = re.search(
        r"Print all|Trim the later|check distances across the joins|stick the tape|Which half goes where|"
        r"parts, in the order they stack|The parts on each lap|nothing is set anew|order of work trims|"
        r"Cut:\*\* \d|add yours|name it there|cut paper here|cut cloth here|each cut",
        words,
    )
    assert wrong is None, wrong
    assert "These sheets" in words and "printed anew once the plan was changed" in words
    if "handover.csv" in made:
        rows = list(csv.DictReader(io.StringIO(made["handover.csv"].decode())))
        assert rows and all(row["what"].endswith(", held back") for row in rows)
    assert json.loads(made["report.json"])["held_back"] is True


def test_a_swap_that_is_held_back_takes_no_old_closure_off() -> None:
    swap = (
        '[swap]\nkind = "shank button"\nsize = "24 L"\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\npatch = "26 mm"\n'
        'hole = { way = "across", length = "20 mm", made = true }\n'
    )
    text = ROW.format(wearer=CHILD, closure=MAGNETS, more=swap).replace("cut pieces", "finished")
    text = text.replace('[spacing]\nfirst = "30 mm"\nlast = "30 mm"\ncount = 4\n', "")
    words, _ = pages(text)
    assert (
        "Held back for the sake of whoever wears it" in words
        and "Take off" not in words
        and "26 mm across" not in words
    )
    assert "Take off 4 shank buttons" in pages(text.replace(MAGNETS, 'kind = "sew-on snap"\nsize = "1"\n'))[0]


def test_what_is_not_held_back_is_printed_and_put_in_order() -> None:
    words, made = pages(ROW.format(wearer="", closure='kind = "sew-on snap"\nsize = "1"\n', more=""))
    assert "Print all sheets" in words and "Which half goes where" in words
    assert json.loads(made["report.json"])["held_back"] is False


def test_what_a_check_finds_on_both_laps_of_a_swap_is_told_once() -> None:
    text = (
        '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "40 mm"\n'
        'lap = "left over right"\n[swap]\nkind = "shank button"\nsize = "24 L"\npatch = "26 mm"\n'
        'places = ["30 mm", "118 mm", "206 mm", "294 mm"]\nhole = { way = "across", length = "20 mm", made = true }\n'
        'take = "the best spacing clear of every old hole"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n'
        '[spacing]\npitch = "80 mm"\n[[layer]]\ncloth = "chino"\ncount = 2\n'
    )
    swap = answered(text, ()).swap
    told = [line for line in swap.offer.changes if line.startswith("Layer thickness")] if swap else []
    assert len(told) == 1 and told[0].startswith("Layer thickness, both laps, marks 1 to 4: A patch is clamped here")


def test_sheets_of_all_sizes_say_that_they_are_held_back() -> None:
    sizes = '[sizes]\nnames = ["80", "86"]\nbase = "80"\ngrade = [[0, 0], [0, "10 mm"]]\n'
    made = size_files(
        place_sizes(read_plan(ROW.format(wearer=CHILD, closure=MAGNETS, more=sizes).encode(), "p.toml")), "a4"
    )
    read = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"])]
    words = " ".join(" ".join(read).split())
    assert HELD_BACK.heading in words and words.count(HELD_BACK.strip) >= 4
    assert "Print all" not in words and "mark the dots of your size" not in words.lower()
