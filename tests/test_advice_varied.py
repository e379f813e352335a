"""Every job in other states: unwashed, finished, washed, stiffened, for a child, in inches; and the tables that read them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from test_advice_jobs import JOBS, cloth, contradictions, front, out_of_order, whole_set

from closures.advice.advice import signs_of_key
from closures.app.job import Answer, advice_of, load_plan, place_plan, result_files
from closures.drawing.extras.registry import asked_for
from closures.drawing.sheets.sheet import faces_of_sheets
from closures.errors import ClosureError
from closures.plan.reading import read_plan
from closures.report.advice import advice_sections

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
GARMENT = '[garment]\nopens = "front"\n'
VARIED = {
    "unwashed": '[shrinkage]\nalong = "3 %"\nacross = "1 %"\nmeasured = "washed"\n',
    "finished": f'{GARMENT}state = "finished"\n',
    "sewn band": f'{GARMENT}state = "sewn band"\n',
    "never washed": f'{GARMENT}washing = "never"\n',
    "to be washed": f'{GARMENT}washing = "to be washed"\n',
    "stiffened": '[[layer]]\ncloth = "medium fusible"\n',
    "lined": '[[layer]]\ncloth = "satin"\n',
    "a child's": '[wearer]\nprofiles = ["child under three"]\n',
}
CUT_TO_MEASURE = r"does not go with \[shrinkage\].*cut to its finished measures .*wash its cloth first"
OLD_AND_NEW = r"does not go with \[shrinkage\].*old and new places are measured as it lies, and lose alike"
FACED = r"bound buttonholes are made before the facing is sewn on.*Leave bound out"
REFUSED = {
    ("wool trousers", "unwashed"): CUT_TO_MEASURE,
    ("belt over a coat", "unwashed"): CUT_TO_MEASURE,
    ("waistband with inner button", "unwashed"): CUT_TO_MEASURE,
    ("finished shirt to snaps", "unwashed"): OLD_AND_NEW,
    ("snaps to buttons", "unwashed"): OLD_AND_NEW,
    ("bound buttonholes", "finished"): FACED,
    ("bound buttonholes", "sewn band"): FACED,
}
"""Every job that is refused in a state, each read and found right, with the words of its refusal; no other is."""


def varied(name: str, how: str) -> str:
    """A job in another state: what its own plan tells of a section stands, and the state is told in it."""
    text, more = JOBS[name][0], VARIED[how]
    section, _, keys = more.partition("\n")
    if section == "[wearer]" and section in text:
        # A job's own wearers stay, and the child is one more.
        return re.sub(r'profiles = \[(?!"child under three")', 'profiles = ["child under three", ', text)
    if section == "[garment]" and section in text:
        return text.replace(f"{section}\n", f"{section}\n{keys.replace(GARMENT.partition(chr(10))[2], '')}", 1)
    return text + more


def answered(text: str) -> Answer:
    return place_plan(asked_for(read_plan(text.encode(), "job.toml"), ("order",)))


@pytest.mark.parametrize(("name", "how"), REFUSED)
def test_job_that_cannot_be_done_in_a_state_is_refused_in_words(name: str, how: str) -> None:
    with pytest.raises(ClosureError, match=re.compile(REFUSED[name, how], re.DOTALL)):
        answered(varied(name, how))


def told(answer: Answer) -> str:
    signs = [words for sheet in answer.sheets for _, words in sheet.text.sign_words]
    return " ".join(" ".join([*advice_sections(advice_of(answer)), *signs]).split())


@pytest.mark.parametrize("plan", ["curved-front", "double-breasted", "shirt-swap", "hook-back"])
def test_signs_of_a_key_are_those_of_all_the_advice(plan: str) -> None:
    path = TEMPLATES / plan / "plan.toml"
    answer = place_plan(load_plan(path), path)
    placement, faces = answer.placement, faces_of_sheets(answer.sheets)
    alone = signs_of_key(placement, answer.findings, answer.catalogue, answer.swap, faces)
    assert alone == advice_of(answer).signs and alone["mark"]


def halves_apart(answer: Answer) -> list[str]:
    """Parts that the list to buy has on one lap, and the sentence on the halves on the other or nowhere."""
    halves = advice_of(answer).halves
    parts = json.loads(result_files(answer, "a4")["report.json"])["parts"]
    side = answer.placement.side_word
    return [
        part["part"]
        for part in parts
        if " of " not in part["part"]
        and "patch" not in part["part"]
        and "Both" not in halves
        and not re.search(rf"{part['lap']} {side}: [^;.]*\b{part['part']}\b", halves, re.IGNORECASE)
    ]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(("name", "how"), [(n, h) for n in JOBS for h in VARIED if (n, h) not in REFUSED])
def test_no_two_sentences_of_a_varied_job_contradict_each_other(name: str, how: str) -> None:
    answer = answered(varied(name, how))
    words = told(answer)
    assert contradictions(words) == [] and out_of_order(words) == []
    assert not re.search(r"[{}]", words)
    order = advice_of(answer).order
    if order.stop_before is not None:
        assert order.stop.startswith(f"Stop. From step {order.stop_before} nothing can be undone")
        assert re.findall(r"Stop\. From step (\d+)", words) == [str(order.stop_before)]
        # The stop stands between the step before and the one that it names.
        before = "" if order.stop_before == 1 else rf"{order.stop_before - 1}\. .*"
        assert re.search(rf"{before}Stop\. From step.*\b{order.stop_before}\. ", words)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", JOBS)
def test_parts_to_buy_lie_on_the_laps_that_the_halves_are_said_of(name: str) -> None:
    assert halves_apart(answered(JOBS[name][0])) == []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("steam and smooth the edge", "The cloth has met no water and no steam"),
        ("this cloth is not put into water", "The parts must bear what the cloth bears: its wash, its iron"),
        ("its coating takes no heat", "try it on a scrap at low heat under a cloth"),
        ("thread at the dot", "prick through paper and cloth with a pin"),
        ("Only now put it on the child", "then put it on, sit and reach"),
        ("Sew the ball half on", "Wear eye protection when you hammer"),
        ("by their own shanks", "with a thread shank as long as"),
        ("fill what it closes and shake it", "then put it on, sit and reach"),
        ("Prick through paper and cloth with a pin", "a cut loop runs"),
        ("Lay the over end on the under end", "Hold a strip of paper along the under end"),
        ("smooth its closing edges by hand", "on a trial piece of the same cloth"),
        ("Over lap: buttonhole; under lap: tack button", "push the tack through from the face that will show"),
        ("the needle holes stay in leather", "It leaves needle holes, which steam closes"),
        ("Over lap: cap and socket; under lap: stud", "lay the stud on the prongs, at marks 1 to 6 of the over lap"),
        ("Over lap: buttonhole; under lap: button.", "Sew the buttons on at marks 1 to 6 of the over lap"),
        ("A metal shank that lies on the skin", "with a thread shank as long as the layer is thick"),
        ("on the right side an iron would lay its nap down", "Press it flat from the right side"),
        ("opened and closed ten times nothing turns", "Open and close the whole row a hundred times"),
        ("it takes neither water nor heat", "Pin and sew band and facing together"),
        ("runs along the closing line", "a pin, 3.2 mm from its end nearer to the edge, into"),
        ("runs across the closing line", "a pin, 3.2 mm from its end nearer to the neck, into"),
    ],
)
def test_table_of_contradictions_notices_a_planted_one(one: str, other: str) -> None:
    assert against_each_other(f"{one}. {other}.") != []
    assert against_each_other(f"{one}.") == [] and against_each_other(f"{other}.") == []


def against_each_other(words: str) -> list[tuple[str, str]]:
    """What contradicts itself in words that are no whole page, on which more would have to stand."""
    return [pair for pair in contradictions(words) if not pair[1].startswith("without ")]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Cut the buttonholes open at marks 1 to 6", "Sew the buttons on at marks 1 to 6"),
        ("prick through paper and cloth", "Press each ring through from"),
        ("prick through paper and cloth", "Open each place with the awl"),
        ("prick through paper and cloth", "Punch the holes at marks"),
        ("Measure the two squares", "**Stop. From step 3"),
        ("Wash and dry the cloth", "Press it flat"),
        ("Sew band and facing of both laps", "Lay the sheet of the over lap to its finished edge. At"),
        ("Draw cotton wool over both faces", "Only now put it on the child"),
        ("Cut the belt out", "Sew and turn the belt"),
        ("At both ends of every buttonhole", "Work the buttonholes round"),
        ("Work the buttonholes round", "Cut the buttonholes open at marks 1 to 6"),
        ("Sew the buttons on at marks 1 to 6", "Open and close the whole row ten times"),
        ("Lay the stud on; Press the ring through", "Sew 6 buttons for show on the over lap"),
        ("Punch the holes at marks 1 to 6", "Cut the lace to 2 m"),
        ("Make the bound buttonholes", "Sew band and facing"),
        ("Fuse the interfacing to the wrong side", "Sew and turn the waistband"),
        ("Stiffen the edge of either lap", "Punch the holes at marks"),
        ("Sew and turn the cuff", "Lay each sheet to the tip"),
        ("Set one whole closure", "Open each place with the awl"),
        ("The belt slides through each", "Open and close the whole row ten times"),
        ("take one loose stitch through either slot", "Cut the two slits at marks 1 to 6"),
        ("Sew each band, cut by its own piece", "Sew band and facing of both laps"),
        ("Fuse the interfacing to a scrap first", "Sew each band to its lap"),
        ("fold the outer layer away", "Lay the outer layer back"),
        ("Press each ring through from", "Draw cotton wool over both faces"),
        ("Close buttonholes 1 to 6: darn each", "Lay the sheet of the over lap to its finished edge"),
        ("lay each sheet to its own edge again", "Open and close the whole row ten times"),
        ("Open and close the whole row ten times", "Now wash it as it will be washed"),
        ("Now wash it as it will be washed", "Measure both laps again"),
    ],
)
def test_table_of_orders_notices_what_is_the_wrong_way_round(one: str, other: str) -> None:
    order = "## Order of work 1. {}. 2. {} ## Parts"
    assert out_of_order(order.format(one, other)) == []
    assert out_of_order(order.format(other, one)) != []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("lay the socket on the prongs, and clench it", "Wear eye protection when you hammer"),
        ("push the tabs through", "do they have a pacemaker"),
        ("Only now put it on the child", "Count the loose parts that are left"),
        ("Leave the cloth unwashed", "Now wash it as it will be washed"),
        ("Make the bound buttonholes", "Open the facing behind each"),
        ("Take the 6 prong snaps off", "count the old parts as they come off"),
        ("Go on when the trial piece holds", "Set one on a trial piece of the same cloth"),
        ("Go on when the slits are drawn through the washer", "draw both slits through its slots"),
        ("Go on when both laps agree", "They agree to a millimetre"),
        ("## Order of work 1. Press each ring through from", "Lay the sheet of the over lap to"),
        ("## Order of work 1. lay the stud on the prongs", "They agree to a millimetre at marks 1 to 6"),
        ("Cut the two slits at marks 1 to 6", "scribe both slits lightly through its slots"),
        ("take one loose stitch through either slot", "draw every stitch out before the washer goes on"),
        ("Work the buttonholes round", "Cut the buttonholes open at marks 1 to 6"),
        ("Work the buttonholes round", "At both ends of every buttonhole, prick"),
        ("Leave both bands open on the inner side", "Sew the inner side of both bands shut over the washers"),
        ("fold the outer layer away", "Lay the outer layer back over the parts"),
        ("Leave it open on its inner side: its parts go", "fold the outer layer away"),
        ("Close buttonholes 1 to 6: darn each", "Take the 6 sew-through buttons off"),
        ("Sew 6 buttons for show on", "sew a spare button over it for show"),
        ("Fuse the interfacing to a scrap first", "Treat the pieces as the scrap was treated"),
        ("mark them there, each with a loose stitch", "draw the stitch out once the hole is open"),
        ("lay paper tape on the cloth", "take the tape off before the part goes in"),
        ("Sew each band, cut by its own piece", "Sew band and facing of both laps"),
        ("Wear eye protection when you hammer", "Strike a hardened steel die"),
        ("Only now put it on the child", "Pull every closure of the trial piece by hand"),
        ("lay the socket on the prongs, and clench it", "Keep your fingers out of a press"),
        ("then put it on, sit and reach. spread the post", "Metal that stays on the skin"),
        ("## Order of work 1. Wash", "The parts must bear what the cloth bears"),
        ("Only now lace it on the child", "laces catch and strangle"),
        ("## Order of work 1. Wash", "Open and close the whole row ten times"),
        ("Open and close it ten times, with nobody in it", "Only now put it on the child"),
        ("Only now put it on the child", "Open and close it ten times, with nobody in it"),
        ("Now wash it as it will be washed", "Measure both laps again"),
        ("## Order of work 1. Wash and dry the cloth 2. Lay the sheet of the over lap", "Sew band and facing"),
        ("Sew and turn the belt", "Cut the belt out"),
        ("shut over the washers", "Leave both bands open on the inner side"),
        ("Choose what takes the pull", "inside the waistband where what was chosen will lie"),
        ("where what was chosen will lie", "Choose what takes the pull"),
        ("by the list under Knit it", "Cast both bands off. Block the knitting. Sew ribbon behind"),
        ("Block the knitting", "Knit both bands by the list under Knit it"),
        ("Face the edge of the under lap", "Baste along the finished edge of the over lap"),
        ("Baste along the finished edge of the over lap", "Face the edge of the under lap"),
        ("on a piece of cloth as like the garment's as you have", "press its closing edges flat"),
        ("push the eyelets through, spread them. Put it on open", "Stiffen the edge of either lap"),
    ],
)
def test_table_notices_what_stands_without_what_belongs_to_it(one: str, other: str) -> None:
    def lacking(words: str) -> list[str]:
        return [what for _, what in contradictions(words) if what.startswith("without ") and re.search(what[8:], other)]

    assert lacking(f"{one}.") != [] and lacking(f"{one}. {other}.") == []


def test_magnets_of_a_plan_that_says_nothing_of_its_wearer_ask_about_implants() -> None:
    words = whole_set(front("magnetic snap", "14 mm", rest=cloth("chino")))
    assert "pacemaker" in words and "Ask about implants" in words and contradictions(words) == []


def test_stop_of_a_printed_set_stands_once_before_the_step_it_names() -> None:
    words = whole_set(front("prong snap", "16 L", rest=cloth("chino")))
    assert re.findall(r"STOP From step (\d+)", words) == ["7"]
    assert re.search(
        r"STOP From step 7 nothing[^:]*: [^.]*\. Go on when [^.]*\. (?:job .*?\(continued\) )?7 Press", words
    )
