"""What is said about the work: the order of steps, how to mark, what to heed, each made from the facts of one job."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest

from closures.advice.advice import Advice
from closures.advice.cautions import all_cautions
from closures.advice.comparing import lie_flat
from closures.advice.facts import unknown_facts
from closures.advice.known_facts import FLAGS, GROUPS
from closures.advice.order import Step, all_steps, in_order
from closures.advice.phrases import phrases_of
from closures.advice.settings import settings
from closures.advice.tables import with_rules
from closures.advice.whole_order import shared_order
from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.catalogue.values import Provenance
from closures.drawing.extras.registry import asked_for
from closures.errors import CatalogueError, ClosureError
from closures.jobs.table.backing import back_laps
from closures.placing.lacing import lace_of
from closures.plan.reading import read_plan
from closures.report.parts import lace_in_words, parts_in_words

CATALOGUE = load_catalogue()
TABLES = Path(__file__).resolve().parent.parent / "closures" / "advice"


def advice(kind: str = "prong snap", size: str | None = None, *, closure: str = "", rest: str = "") -> Advice:
    return advice_of(check_plan(read_plan(plan_text(kind, size, closure=closure, rest=rest).encode(), "coat.toml")))


def plan_text(kind: str, size: str | None = None, *, closure: str = "", rest: str = "") -> str:
    sizes = CATALOGUE.sizes(kind)
    size = size or next((one for one in sizes if one in ("16 L", "18 L", "20 L", "3")), sizes[0])
    # A tape has a pitch of its own, and ends where its last closure lies.
    is_taped = kind in ("hook tape", "snap tape")
    taped, last = ('\n[tape]\npitch = "80 mm"\n', "") if is_taped else ("", 'last = "25 mm"\n')
    meeting = '[garment]\nopens = "back"\nedges = "meeting"\n' if kind.startswith("loop") else ""
    return (
        f'{meeting}[edge]\nstraight = "600 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        f'[closure]\nkind = "{kind}"\nsize = "{size}"\n{closure}\n'
        f'[spacing]\nfirst = "25 mm"\n{last}count = 7\n{rest}{taped}'
    )


def keys(told: Advice) -> list[str]:
    return [step.key for step in told.order.steps]


def words(told: Advice) -> str:
    steps = [f"{step.text} {step.done}" for step in told.order.steps]
    notes = [line for heading, lines in told.notes for line in (heading, *lines)]
    stop = [told.order.stop] if told.order.stop else []
    return " ".join([*steps, *stop, *told.marking, *told.cautions, *notes, *told.signs.values()])


def cloth(name: str, more: str = "") -> str:
    return f'[[layer]]\ncloth = "{name}"\ncount = 2\n{more}'


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
def test_order_of_every_kind_stops_before_what_cannot_be_undone(kind: str) -> None:
    order = advice(kind, closure='cap = "8 mm"').order
    assert [step.n for step in order.steps] == list(range(1, len(order.steps) + 1))
    sewn = CATALOGUE.describe(kind).family in ("sew-on snap", "hook", "loop")
    assert (order.stop_before is None) == sewn
    if order.stop_before is not None:
        first = order.steps[order.stop_before - 1]
        assert re.search(r"\b(Press each|Punch|Open each|Cut the|Sew band and facing of both laps)\b", first.text)
        assert order.stop.startswith(f"Stop. From step {first.n} ")
        # Leather keeps every hole of a needle, and so stops before there are marks to agree.
        agree = "the sheets measure what they say" if kind.startswith("leather") else "the marks agree"
        assert "the trial piece holds" in order.stop and agree in order.stop


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
def test_order_numbers_its_marks_says_when_a_step_is_right_and_leaves_no_gap(kind: str) -> None:
    told = advice(kind, closure='cap = "8 mm"')
    assert all(step.text and step.done for step in told.order.steps)
    # A tape keeps its own pitch: its ends are marked, and some closures between (common practice).
    named = "marks 1, 4 and 7" if kind.endswith(" tape") else "marks 1 to 7"
    assert any(named in step.text for step in told.order.steps)
    assert not re.search(r"[{}<>]|  |None|\.\.", words(told))


@pytest.mark.parametrize("kind", [k for k in CATALOGUE.kinds() if CATALOGUE.describe(k).family == "press-set snap"])
def test_press_set_snaps_are_closed_and_compared_before_the_second_half(kind: str) -> None:
    order = keys(advice(kind))
    assert order.index("set first") < order.index("compare") < order.index("set second")
    assert "socket" in advice(kind).order.steps[order.index("set first")].text


@pytest.mark.parametrize(
    "kind", [kind for kind in CATALOGUE.kinds() if kind.endswith(("prong snap", "plastic snap", "post snap"))]
)
def test_a_turned_socket_comes_to_lie_on_the_face_that_meets_the_over_lap(kind: str) -> None:
    # Of the under lap that is its outside: what goes through it comes from the wearer's side. (Common practice.)
    usual, turned = (
        {step.key: step.text for step in advice(kind, closure=f'halves = "{halves}"').order.steps}
        for halves in ("usual", "turned")
    )
    assert "through from the face that will show" in usual["set first"]
    assert "over lap" in usual["set first"]
    assert "through from the face next to the wearer" in turned["set first"]
    assert ", on the face that meets the over lap, " in turned["set first"]
    assert "will show" not in turned["set first"]
    # The stud of the other half lies on the inside of the over lap.
    assert re.search("from the face that will show|on the face that meets the under lap", turned["set second"])


def test_a_kind_for_leather_is_worked_as_leather_where_only_a_thickness_is_told() -> None:
    for layers in ("", '[[layer]]\nthickness = "1.1 mm"\ncount = 2\n'):
        told = advice("leather post snap", "24 L", rest=layers)
        assert "rest" in keys(told) and not {"wash", "press"} & set(keys(told))
        assert "press" not in " ".join(step.text for step in told.order.steps).lower()


def test_turned_edges_of_leather_are_tapped_and_glued_and_what_needles_leave_is_said_of_leather() -> None:
    told = advice("leather post snap", "24 L", rest=cloth("leather 2 oz"))
    steps = {step.key: step.text for step in told.order.steps}
    assert "tap the edge with a mallet, the allowances glued down or topstitched" in steps["edge"]
    assert "press" not in steps["edge"] and "such cloth" not in words(told)
    buttoned = words(
        advice("sew-through button", "24 L", rest=cloth("leather 2 oz") + SWAP.format(places=SEVEN, length="13.7"))
    )
    assert "such cloth" not in buttoned
    assert "stay in leather" in phrases_of({"cloth: leather"})["needle holes"]
    assert "stay in such cloth" in phrases_of({"cloth: coated"})["needle holes"]


def test_several_parts_lie_each_on_a_layer_and_a_single_one_is_not_called_every() -> None:
    row = {step.key: step.text for step in advice("sew-on snap", rest=cloth("poplin")).order.steps}
    assert "of the under lap, each through the layer it lies on" in row["set second"]
    text = (
        '[row]\npiece = "waistband"\nlength = "800 mm"\nheight = "40 mm"\nover = ["12 mm"]\nunder = ["24 mm"]\n'
        'lap = "left over right"\n[closure]\nkind = "hook and bar"\nsize = "one size"\n'
    )
    told = advice_of(check_plan(read_plan((text + cloth("wool suiting")).encode(), "plan.toml")))
    band = {step.key: step.text for step in told.order.steps}
    assert "look whether the hook lies on the mark of the under end" in band["compare settings"]
    assert "under end, through the layer it lies on" in band["set second"]


def test_backing_of_a_stretch_lace_is_sewn_since_glue_comes_through_a_sheer() -> None:
    lace = '[[layer]]\nthickness = "0.3 mm"\nstructure = ["knit", "sheer"]\ncount = 2\n'
    told = {step.key: step.text for step in advice("sew-on snap", rest=lace).order.steps}
    assert "and sew their edges down before" in told["back with strip"] and "fuse" not in told["back with strip"]


def test_several_old_holes_are_not_called_it() -> None:
    text = advice("prong snap", "16 L", rest=cloth("poplin") + SWAP.format(places=SEVEN, length="13.7"))
    closed = {step.key: step.text for step in text.order.steps}["close holes"]
    assert "buttonholes 1 to 7: lay the edges of each together, darn or sew them shut flat" in closed
    assert "behind each on the inside" in closed and " it " not in closed


def test_cloth_that_is_not_told_is_washed_and_pressed_as_it_bears() -> None:
    steps = {step.key: step.text for step in advice("sew-on snap").order.steps}
    for key in ("wash", "press"):
        assert "leather and coated cloth are neither washed nor pressed" in steps[key]
    assert "leather with a mallet, coated cloth and pile by hand" in steps["edge"]
    told = {step.key: step.text for step in advice("sew-on snap", rest=cloth("quilting cotton")).order.steps}
    assert "bears" not in told["wash"] + told["press"] + told["edge"]


@pytest.mark.parametrize("state", ["sewn band", "finished"])
def test_a_backing_page_for_a_made_band_keeps_its_step_and_tells_its_place(state: str) -> None:
    rest = cloth("jersey") + f'[garment]\nstate = "{state}"\n[sheets]\nbacking = "as needed"\n'
    checked = check_plan(read_plan(plan_text("prong snap", rest=rest).encode(), "polo.toml"))
    step = next(step for step in advice_of(checked).order.steps if step.key == "back")
    assert "before the band closes" not in step.text
    assert "against its inner face" in step.text
    assert all(
        "against its inner face" in one.side for one in back_laps(checked.placement, checked.findings, load_catalogue())
    )


def test_a_fusible_backing_is_laid_once_and_tried_before_a_band_closes() -> None:
    sheets = '[sheets]\nbacking = "as needed"\nbacking_cloth = "light fusible"\n'
    found = keys(advice("prong snap", rest=cloth("jersey") + sheets))
    assert "fuse" not in found
    assert found.index("trial") < found.index("back") < found.index("edge")


def test_press_set_snaps_with_halves_turned_begin_with_the_under_lap() -> None:
    steps = {step.key: step.text for step in advice("capped prong snap", closure='halves = "turned"').order.steps}
    assert "of the under lap" in steps["set first"] and "cap" in steps["set first"]
    assert "of the over lap" in steps["set second"] and "stud" in steps["set second"]


@pytest.mark.parametrize(
    ("layers", "first", "never"),
    [
        pytest.param(cloth("poplin"), ["wash", "press"], "steam held|neither water", id="cotton is washed"),
        pytest.param(
            cloth("wool suiting"),
            ["steam", "press damp"],
            "[Ww]ash and dry|[Pp]ress it flat|steam held above|steam and smooth",
            id="wool is pressed under a damp cloth",
        ),
        pytest.param(cloth("silk habotai"), ["steam", "press silk"], "[Ww]ash and dry|steam held above", id="silk"),
        pytest.param(
            cloth("melton"), ["steam", "press damp"], "[Ww]ash and dry|[Pp]ress it flat|steam held above", id="melton"
        ),
        pytest.param(cloth("leather 4 oz"), ["rest"], "[Ww]ash and dry|[Pp]ress it|steam", id="leather takes neither"),
        pytest.param(cloth("oilcloth"), ["rest"], "[Ww]ash and dry|[Pp]ress it|steam", id="coated cloth"),
        pytest.param(
            cloth("linen", '[shrinkage]\nalong = "4 %"\nacross = "2 %"\nmeasured = "washed"\n'),
            ["keep unwashed", "press dry"],
            "[Ww]ash and dry the cloth",
            id="sheets for unwashed cloth",
        ),
    ],
)
def test_first_steps_follow_the_cloth_and_the_state_of_the_sheets(layers: str, first: list[str], never: str) -> None:
    told = advice("post snap", "20 L", rest=layers)
    assert keys(told)[: len(first)] == first
    assert not re.search(never, words(told))


def test_cloth_that_shrinks_is_washed_last_and_told_what_it_comes_to() -> None:
    told = advice(rest='[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n')
    assert keys(told)[-2:] == ["first wash", "measure washed"]
    assert "570 mm" in told.order.steps[-1].text


def test_garment_with_openings_of_unlike_lengths_is_washed_once_and_measured_at_each() -> None:
    shrinks = '[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n'
    orders = {
        name: advice_of(
            check_plan(read_plan(plan_text("prong snap", "16 L", rest=shrinks).replace("600", long).encode(), "p.toml"))
        ).order
        for name, long in (("front", "600"), ("back", "400"))
    }
    steps = shared_order(orders)
    assert [step.openings for step in steps if "Now wash it" in step.text] == [("front", "back")]
    measured = [(step.openings, step.text) for step in steps if step.key == "measure washed"]
    assert [openings for openings, _ in measured] == [("front",), ("back",)]
    assert "570 mm" in measured[0][1] and "380 mm" in measured[1][1]


def test_laps_of_unlike_length_are_measured_each_by_its_own_figure_after_the_wash() -> None:
    """By hand: the edges come to 600 and 612 mm when they are washed, as the plan tells them."""
    drawing = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="800mm" viewBox="0 0 500 800">'
        b'<path id="over" d="M 200 50 V 650"/><path id="under" d="M 300 50 V 662"/></svg>'
    )
    text = (
        'drawing = "h.svg"\n[edge]\npath = "over"\nunder = "under"\nunder_lies = "apart"\ncloth = "left"\n[garment]\n'
        'opens = "front"\npieces = "separate"\nstate = "cut pieces"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "20 mm"\nlast = "40 mm"\ncount = 7\n'
        '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
        '[shrinkage]\nalong = "5 %"\nacross = "3 %"\nmeasured = "washed"\n'
    )
    plan = read_plan(text.encode(), "h.toml")
    last = advice_of(check_plan(plan, {"h.svg": drawing})).order.steps[-1]
    assert (
        "the over lap's closing line should come to 600 mm, its gaps to 90 mm; the under lap's should come to 612 mm."
        in last.text
    )
    assert "same length" not in last.done and "Each lap has come to its length" in last.done


def test_stop_of_a_garment_tells_why_and_what_must_be_known() -> None:
    orders = {
        name: advice_of(check_plan(read_plan(plan_text(*closure, rest=rest).encode(), "p.toml"))).order
        for name, closure, rest in (
            ("front", ("prong snap", "16 L"), cloth("poplin")),
            ("back", ("sew-through button", "24 L"), cloth("poplin")),
        )
    }
    steps = shared_order(orders)
    (final,) = [(n, step) for n, step in enumerate(steps, 1) if step.is_first_final]
    assert final[1].stop.startswith(f"Stop. From step {final[0]} nothing can be undone: ")
    why = "pierced cloth keeps its holes; a cut buttonhole stays"
    told = f"{why}. Go on when what failed in the checks is mended, the trial piece holds, the sheets measure"
    assert told in final[1].stop
    assert not [step.stop for step in steps if not step.is_first_final and step.stop]


def test_stop_has_what_failed_in_the_checks_mended_before_work_goes_on() -> None:
    """The page of work may be read without the cover, which tells that a check failed."""
    for name, fails in (("poplin", False), ("denim 14 oz", True)):
        text = plan_text("prong snap", "15 L", rest=cloth(name).replace("count = 2", "count = 4"))
        answer = check_plan(read_plan(text.encode(), "p.toml"))
        assert any(one.result == "fail" for one in answer.findings) is fails
        stop = advice_of(answer).order.stop
        assert ("Go on when what failed in the checks is mended, the trial" in stop) is fails


@pytest.mark.parametrize(("name", "fails"), [("poplin", False), ("denim 14 oz", True)])
def test_page_of_work_of_a_row_that_fails_a_check_begins_with_that(name: str, fails: bool) -> None:
    """What mends it may be a wider band: the stop before what is pierced would come too late for that."""
    text = plan_text("prong snap", "15 L", rest=cloth(name).replace("count = 2", "count = 4"))
    answer = place_plan(asked_for(read_plan(text.encode(), "p.toml"), ("order",)))
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    order = words.rpartition("Order of work A check of this plan failed")[2] if fails else words
    assert ("A check of this plan failed; the cover and the report say which" in words) is fails
    assert not fails or "The parts, in the order they stack" in order


# The way to mark, on the key of the sheet, on the page on marking and in the order alike: common practice.
@pytest.mark.parametrize(
    ("name", "sign", "way"),
    [
        ("leather 4 oz", "touch with an awl", "awl"),
        ("oilcloth", "point on tape", "paper tape"),
        ("jersey", "thread at the dot", "a cut loop runs"),
        ("polar fleece", "thread at the dot", "lost in the pile"),
        ("towelling", "thread at the dot", "lost in the pile"),
        ("chiffon", "thread at the dot", "stay to be seen"),
        ("silk charmeuse", "thread at the dot", "stay to be seen"),
        ("quilted cotton", "thread at the dot", "through all that is quilted together"),
        ("oxford", "prick through the dot", "touch each prick with chalk"),
        ("felt", "chalk at the dot", "touch the cloth through it with sharp chalk"),
    ],
)
def test_marking_is_told_alike_on_every_page(name: str, sign: str, way: str) -> None:
    told = advice("sew-on snap", "3", rest=cloth(name))
    step = next(step for step in told.order.steps if step.key == "mark")
    assert sign in told.signs["mark"] and way in told.marking[0] and way in step.text
    if "prick" not in sign:
        assert not re.search(r"\b(prick through|touch each prick)\b", words(told))


@pytest.mark.parametrize("name", ["polar fleece", "boiled wool"])
def test_knit_that_is_matted_is_not_said_to_run(name: str) -> None:
    # Common practice: felted wool and fleece of filaments are cut and left raw.
    for kind in ("prong snap", "sew-through button", "hook and eye"):
        told = advice(kind, closure='cap = "9 mm"', rest=cloth(name))
        assert not re.search(r"(?:loop|knits|often) runs?\b|fray|cut loops", f"{words(told)} {told.order.removal}")
        assert "Do not pull the cloth" in words(told)
    beside = advice("prong snap", "16 L", rest=cloth(name) + cloth("jersey"))
    assert "a cut loop runs" in words(beside)


def test_marking_of_a_knit_does_not_depend_on_how_its_thickness_was_told() -> None:
    named = advice(rest=cloth("jersey"))
    measured = advice(rest='[[layer]]\nstructure = "knit"\nthickness = "1 mm"\n')
    assert named.marking == measured.marking and named.signs == measured.signs


def test_buttonholes_of_unwashed_cloth_are_longer_by_what_it_loses() -> None:
    # 20 L is 12.7 mm (US Federal Specification V-B-871F); with a button 3 mm thick 15.7 mm (Bulletin 576), once washed.
    # The edge runs straight down, so a hole along it loses what the cloth loses along: 15.7 / 0.95 = 16.526.
    shrinks = '[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n'
    for way, share in (("along", 0.95), ("across", 0.98)):
        closure = f'thickness = "3 mm"\nhole = "{way}"'
        hole = advice("sew-through button", "20 L", closure=closure, rest=cloth("poplin") + shrinks)
        step = next(step for step in hole.order.steps if step.key == "mark buttonholes")
        assert f"{round(15.7 / share, 1):g} mm (15.7 mm once washed)" in step.done
    plain = advice("sew-through button", "20 L", closure='thickness = "3 mm"', rest=cloth("poplin"))
    assert "15.7 mm long" in next(step for step in plain.order.steps if step.key == "mark buttonholes").done


def test_unwashed_cloth_is_fused_dry_after_a_scrap_was_washed() -> None:
    shrinks = '[shrinkage]\nalong = "4 %"\nacross = "2 %"\nmeasured = "washed"\n[[layer]]\ncloth = "light fusible"\n'
    told = advice("sew-through button", "20 L", rest=cloth("linen") + shrinks)
    order = keys(told)
    assert order.index("press dry") < order.index("fuse dry") < order.index("edge") and "fuse" not in order
    steps = {step.key: step.text for step in told.order.steps}
    assert "wash the scrap" in steps["fuse dry"] and "with a dry iron and no steam" in steps["edge"]


def test_laps_are_compared_in_a_way_that_a_person_can_do() -> None:
    button = {
        step.key: step.text for step in advice("sew-through button", "20 L", closure='hole = "across"').order.steps
    }
    assert (
        "put a pin through each buttonhole, 3.2 mm from its end nearer to the edge, into the under lap"
        in button["compare"]
    )
    snap = {step.key: step.text for step in advice("prong snap", "16 L").order.steps}
    assert "Chalk each socket, close the garment" in snap["compare"] and "on to the under lap" in snap["compare"]
    # What is chalked is what meets the other half, though the cap is what the lap is known by.
    leather = {step.key: step.text for step in advice("post snap", "20 L", rest=cloth("leather 3 oz")).order.steps}
    assert "chalk each socket" in leather["compare"] and "push each on to the paper" in leather["compare"]


# Common practice: a mark is gone once its thread is drawn out, so the part or its hole holds the place first.
@pytest.mark.parametrize(
    ("kind", "key", "held"),
    [
        ("prong snap", "set first", "Leave each loose stitch in till the prongs stand clear round it"),
        ("capped prong snap", "set first", "so far through round each loose stitch that they prick the cloth"),
        ("post snap", "set first", "Punch through the loose stitch"),
        ("eyelet", "set second", "Punch through the loose stitch"),
        ("plastic snap", "set first", "Put the awl in at the loose stitch"),
        ("tack button", "set second", "Put the awl in at the loose stitch"),
        ("magnetic snap", "set first", "Cut the slits to either side of each loose stitch"),
        ("sew-on snap", "set first", "Make one stitch at each mark before the loose one there is drawn out"),
        ("sew-through button", "work buttonholes", "Set the needle down at the loose stitch of one end before"),
        ("sew-through button", "set second", "Make one stitch at each mark before"),
        ("snap tape", "set first", "once the tape is pinned on both sides of it"),
    ],
)
def test_marking_thread_stays_in_till_its_place_is_held(kind: str, key: str, held: str) -> None:
    told = advice(kind, closure='cap = "8 mm"', rest=cloth("satin"))
    steps = {step.key: step.text for step in told.order.steps}
    assert held in steps[key]
    assert not re.search(r"just before its own place|as each place is worked", words(told))
    # Chalk is lost on such cloth: what is brought through to another layer is a stitch too.
    assert "chalk at its point" not in words(told)
    assert "loose stitch" not in words(advice(kind, closure='cap = "8 mm"', rest=cloth("poplin")))


LASTING = (
    "back",
    "back with strip",
    "back the bands",
    "knit the bands",
    "sew the bands on",
    "sew the backing on",
    "edge left open",
    "edge open for magnets",
    "open for magnets",
    "edge of bedding",
    "edge",
    "edge that meets",
    "edge with loops",
    "edge of the buttons",
    "bones",
    "tape the edge",
    "stand",
    "cut out the strap",
    "make the strap",
    "cut the strap",
    "bound",
    "take off",
    "close holes",
    "cover holes",
    "set first",
    "cut buttonholes",
)
"""What is not undone without a trace, or not without unmaking much."""


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
@pytest.mark.parametrize(
    "rest",
    [
        pytest.param("", id="cloth untold"),
        pytest.param(cloth("interlock"), id="knit"),
        pytest.param(cloth("leather 2 oz"), id="leather"),
        pytest.param(cloth("poplin") + '[sheets]\nbacking = "strip"\n', id="backed"),
        pytest.param(cloth("poplin") + '[garment]\nstate = "sewn band"\n', id="sewn band"),
        pytest.param(cloth("poplin") + '[garment]\nstate = "finished"\n', id="finished"),
    ],
)
def test_trial_comes_before_all_that_it_could_change(kind: str, rest: str) -> None:
    # Common practice: what a trial shows is of no use once edge, backing or cloth cannot follow it any more.
    if kind.startswith("loop") and "[garment]" in rest:
        pytest.skip("the plan of loops tells its garment already")
    order = keys(advice(kind, closure='cap = "8 mm"', rest=rest))
    tried = next(n for n, key in enumerate(order) if key in ("trial", "trial sewn", "trial swatch"))
    assert set(order) & set(LASTING)
    assert [key for key in order[:tried] if key in LASTING] == []


@pytest.mark.parametrize(
    ("name", "told"),
    [("interlock", "a knit often runs from them"), ("poplin", "woven cloth may close after steaming")],
)
def test_pricks_of_what_comes_off_are_told_of_the_cloth_in_hand_alone(name: str, told: str) -> None:
    assert f"; {told}. The parts" in advice(rest=cloth(name)).order.removal
    assert "woven cloth may close after steaming, knits often run" in advice().order.removal


def test_band_of_a_row_with_one_magnet_is_sewn_once_and_open_after_every_trial() -> None:
    # Common practice: a band that is sewn shut for the buttons has no room for a washer between its layers.
    single = '[[single]]\nalong = "8 mm"\nkind = "magnetic snap"\nsize = "14 mm"\n'
    told = advice("sew-through button", "20 L", rest=cloth("wool suiting") + single)
    order = keys(told)
    assert "edge" not in order and order.count("edge open for magnets") == 1
    edge = order.index("edge open for magnets")
    tried = [n for n, key in enumerate(order) if key == "trial sewn"]
    assert len(tried) == 2 and max(tried) < edge and order.index("back with strip") < edge
    assert order.index("set second") < order.index("close over magnets")


def test_trial_of_a_strap_and_the_squares_of_its_sheets_come_before_it_is_made_or_cut() -> None:
    """Its cloth is cut by these sheets: a sheet that is printed small shows in its squares before that."""
    belt = (
        '[belt]\nwaist = "600 mm"\nwidth = "30 mm"\nsettings = 5\nstep = "25 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "post snap"\nsize = "20 L"\n'
    )
    for name, made in (("chino", "cut out the strap"), ("leather 2 oz", "cut the strap")):
        order = keys(advice_of(check_plan(read_plan(f"{belt}{cloth(name)}".encode(), "belt.toml"))))
        assert order.index("trial") < order.index("measure sheets first") < order.index(made)
        assert "measure sheets" not in order


@pytest.mark.parametrize("name", ["silk charmeuse", "silk habotai", "satin", "chiffon", "leather 2 oz", "oilcloth"])
def test_cloth_that_shows_a_needle_is_not_said_to_be_unpicked_and_stops_before_its_first_stitch(name: str) -> None:
    # Common practice: filaments, sheers, coats and skins do not close over the hole of a needle.
    for kind, sewn in (("sew-through button", "work buttonholes"), ("sew-on snap", "set first")):
        told = advice(kind, rest=cloth(name))
        assert "up to here they can be unpicked" not in words(told)
        assert told.order.stop_before is not None and told.order.stop_before <= keys(told).index(sewn) + 1
        assert re.search("holes? of a needle|point of an awl", told.order.stop)
    cotton = advice("sew-through button", rest=cloth("poplin"))
    assert "up to here they can be unpicked" in words(cotton)
    assert cotton.order.stop_before == keys(cotton).index("cut buttonholes") + 1


@pytest.mark.parametrize("closure", ["", "bound = true"])
def test_trial_buttonhole_lies_in_the_grain_and_as_far_from_an_edge_as_on_the_garment(closure: str) -> None:
    # Common practice: along, across and on the cross a hole draws in otherwise, and so it does near an edge.
    told = words(advice("sew-through button", closure=closure, rest=cloth("poplin")))
    assert "one bound buttonhole" in told if closure else "Work and cut one buttonhole" in told
    assert "along the same grain and as far from a finished edge as on the garment" in told
    leather = words(advice("sew-through button", rest=cloth("leather 2 oz")))
    assert "as far from a finished edge as on the garment" in leather and "same grain" not in leather


def test_hole_that_reaches_past_a_new_cap_is_covered_before_it_is_marked_and_one_without_a_cap_at_last() -> None:
    """By geometry: a slit of 15 mm reaches past a cap of 10 mm at the place of its button, and a button for show has
    no cloth to be sewn to there; beside the closures it has."""
    old = 'kind = "sew-through button"\nsize = "18 L"\nhole = { way = "along", length = "15 mm", made = true }'
    for place, key, never in ((25.0, "hide holes past", "hide holes"), (70.8, "hide holes", "hide holes past")):
        rest = f'{cloth("oxford")}[swap]\n{old}\nplaces = ["{place} mm"]\n'
        plan = read_plan(plan_text("capped prong snap", "16 L", rest=rest).encode(), "coat.toml")
        swap = check_plan(plan).swap
        assert swap is not None
        best = next(offer.n for offer in swap.offers if offer.name.startswith("the best spacing"))
        told = keys(advice_of(check_plan(plan, take=best)))
        assert key in told and never not in told
        marked, covered = told.index("mark"), told.index(key)
        assert covered < marked if key == "hide holes past" else covered > told.index("set second")


def test_sheets_are_measured_before_anything_is_marked_by_them() -> None:
    for kind, size, closure in (
        ("sew-through button", "20 L", "bound = true"),
        ("prong snap", "16 L", ""),
        ("eyelet", "5.5 mm", ""),
    ):
        order = keys(advice(kind, size, closure=closure, rest=cloth("poplin")))
        measured = next(i for i, key in enumerate(order) if key.startswith("measure sheets"))
        assert [key for key in order if key.startswith("measure sheets")] == [order[measured]]
        assert measured < next(i for i, key in enumerate(order) if "mark" in key.split())


def test_edges_that_meet_are_both_marked_before_either_is_punched() -> None:
    steps = {step.key: step.text for step in advice("eyelet", "5.5 mm", rest=cloth("coutil")).order.steps}
    assert "marks 1 to 7 of the over lap and marks 1 to 7 of the under lap" in steps["mark both"]
    assert "lace it on the body; sit and reach" in steps["try laced"] and "try" not in steps and "mark" not in steps


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
def test_points_are_looked_for_on_what_is_pressed_or_struck_and_on_nothing_else(kind: str) -> None:
    # Common practice: prongs, posts and rims stand up where they were not clenched flat; what is sewn on has none.
    told = advice(kind, closure='cap = "8 mm"', rest='[wearer]\nprofiles = ["child"]\n')
    worked = kind.endswith(("prong snap", "post snap", "plastic snap", "tack button", "eyelet"))
    assert ("try children" in keys(told)) == worked


def test_child_is_laced_in_last_of_all_and_no_grown_person_is() -> None:
    child = advice("eyelet", rest=cloth("coutil") + '[wearer]\nprofiles = ["child"]\n')
    assert keys(child)[-1] == "try laced on a child" and "try laced" not in keys(child)
    assert "lace it on the child" in words(child) and "sit and reach" not in words(child)


SHRINKS = '[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n'


@pytest.mark.parametrize(
    ("kind", "shrinks"),
    # A tape is not carried to cloth that shrinks: such a plan is refused.
    [(kind, shrinks) for kind in CATALOGUE.kinds() for shrinks in ("", SHRINKS) if not (shrinks and "tape" in kind)],
)
def test_child_is_put_into_it_only_after_points_and_loose_parts_are_looked_for(kind: str, shrinks: str) -> None:
    # Common practice: whatever stands up or lies loose, a first wash among its causes, is found before anybody small is
    # in the garment.
    told = advice(kind, closure='cap = "8 mm"', rest=f'[wearer]\nprofiles = ["child under three"]\n{shrinks}')
    steps = {step.key: step.text for step in told.order.steps}
    order = list(steps)
    if kind == "magnetic snap":
        # What fails for the child is not set at all: `test_held_back.py`.
        assert order == ["change the plan"]
        return
    worn = next(n for n, text in enumerate(steps.values()) if re.search(r"[Pp]ut it on|lace it on", text))
    assert worn == len(order) - 1 > order.index("count parts")
    assert ("first wash" in order) is bool(shrinks)
    if shrinks:
        looks = [n for n, key in enumerate(order) if key in ("try children", "count parts")]
        assert order.index("first wash") < order.index("measure washed") < min(looks)
    if "try children" in order:
        assert order.index("try children") < order.index("count parts") and "new parts" in steps["try children"]
    assert all("child" not in steps[key] for key in order[:worn])


def test_last_trial_is_worn_by_whom_the_garment_is_for() -> None:
    child = words(
        advice("plastic snap", "16", rest='[wearer]\nprofiles = ["child under three"]\n' + cloth("interlock"))
    )
    assert "put it on the child" in child and "put it on, sit" not in child
    grown = words(advice("plastic snap", "16", rest=cloth("interlock")))
    assert "put it on, sit and reach" in grown
    # Nothing of a plastic snap rusts.
    assert "rust" not in grown and "rust" in words(advice("prong snap", "16 L", rest=cloth("interlock")))


def test_leather_stops_before_its_edge_is_sewn_and_takes_no_interfacing_by_default() -> None:
    bands = '[bands]\nallowance = "10 mm"\n'
    leather = advice("shank button", rest=cloth("leather 2 oz", bands))
    # Bands that are sewn on pierce it before its own edge does.
    assert leather.order.stop_before == keys(leather).index("bands on") + 1
    assert "keeps every hole of a needle" in leather.order.stop and "sew in" not in keys(leather)
    assert "sew in" in keys(advice("shank button", rest=cloth("leather 2 oz", f"{bands}interfacing = 1")))
    poplin = advice("shank button", rest=cloth("poplin", f"{bands}interfacing = 1"))
    assert poplin.order.stop_before > keys(poplin).index("edge") + 1 and "fuse" in keys(poplin)


def test_hook_tape_is_sewn_by_hand_through_no_layer_that_shows() -> None:
    # Common practice: stitches through the face of a bodice show along its whole back.
    meeting = '[garment]\nopens = "back"\nedges = "meeting"\n'
    told = advice("hook tape", "any", closure='cap = "9 mm"', rest=cloth("satin", meeting))
    sewn = [step.text for step in told.order.steps if step.key in ("set first", "set second")]
    assert len(sewn) == 2 and all("by hand, through the inner layers only" in text for text in sewn)
    lapped = words(advice("hook tape", "any", closure='cap = "9 mm"', rest=cloth("satin")))
    assert "sew it by hand, through the layer it lies on and what backs that" in lapped


@pytest.mark.parametrize(
    ("line", "ends"),
    [("stitches", "no tighter than"), ("front rows", "with their fronts"), ("band rows", "and sew them to the fronts")],
)
def test_knitted_bands_are_cast_off_and_sewn_on_only_where_they_were_knitted_apart(line: str, ends: str) -> None:
    text = plan_text("shank button", rest=f'[gauge]\nstitches = 20\nrows = 28\nline = "{line}"\n')
    text = text.replace('= "25 mm"', '= { from = "15 mm", to = "35 mm" }')
    told = advice_of(check_plan(read_plan(text.encode(), "cardigan.toml")))
    step = next(step.text for step in told.order.steps if step.key == "sew the bands on")
    assert step.startswith("Cast both bands off") and ends in step
    assert "snaps and hooks" not in words(told)


def test_bound_buttonhole_has_a_stay_where_no_interfacing_is_told() -> None:
    plain = words(advice("sew-through button", closure="bound = true", rest=cloth("poplin")))
    assert "through outer cloth and a stay of thin firm cloth where no interfacing lies behind it" in plain
    fused = cloth("poplin", '[[layer]]\ncloth = "light fusible"\n')
    assert "through outer cloth and interfacing," in words(
        advice("sew-through button", closure="bound = true", rest=fused)
    )


def test_bedding_has_hems_and_leather_is_not_called_cloth() -> None:
    text = plan_text("prong snap", "16 L", rest='[garment]\nopens = "flat"\n' + cloth("poplin"))
    text = text.replace("right over left", "upper over lower").replace("[edge]", '[edge]\ncloth = "left"')
    flat = advice_of(check_plan(read_plan(text.encode(), "bed.toml")))
    assert "edge of bedding" in keys(flat) and "band and facing" not in words(flat)
    sewn = words(advice("sew-through button", "20 L", rest=cloth("leather 2 oz")))
    assert "the leather round the hole does not pull" in sewn and "the cloth round" not in sewn


@pytest.mark.parametrize("kind", CATALOGUE.kinds())
@pytest.mark.parametrize(
    ("sold", "told", "not_told"),
    [
        ('["EU"]', r"Europe: CEN/TS 17394-1", r"US: |16 CFR|ASTM"),
        ('["US"]', r"US: use|US: the use", r"Europe: |EN 1\d{4}|CEN/TS"),
        ('["EU", "elsewhere"]', r"Europe: CEN/TS 17394-1", r"US: |16 CFR|ASTM"),
        ('["elsewhere"]', r"product-safety law of the place", r"US: |Europe: |16 CFR|EN 1\d{4}"),
    ],
)
def test_law_of_the_places_where_it_is_sold_is_told_and_no_other(
    kind: str, sold: str, told: str, not_told: str
) -> None:
    said = words(advice(kind, closure='cap = "8 mm"', rest=f'[wearer]\nprofiles = ["child"]\nsold = {sold}\n'))
    # The cylinder in which small parts are tried is a measure here, and only its source says whose.
    said = said.replace("(derived: 16 CFR 1501 (small parts), US Code", "")
    assert re.search(told, said) and not re.search(not_told, said)


def test_implant_that_the_plan_tells_is_not_asked_for_again() -> None:
    asked = words(advice("magnetic snap", rest='[wearer]\nprofiles = ["implants"]\n'))
    assert "Ask first: does" in asked and "Ask about implants" in asked
    told = words(advice("magnetic snap", rest='[wearer]\nprofiles = ["implants"]\nimplants = "some"\n'))
    assert "before their clinic was asked" in told and "says that somebody has an implant" in told
    allowed = words(advice("magnetic snap", rest='[wearer]\nprofiles = ["implants"]\nimplants = "allowed"\n'))
    assert "have the answer in writing at hand" in allowed and "keep to what the answer says" in allowed
    assert not re.search("Ask first: does|Ask about implants|before the(ir)? clinic was asked", allowed)
    assert not re.search("Ask first: does|Ask about implants", told)
    sewn = words(advice("sew-on snap", rest='[wearer]\nprofiles = ["implants"]\nimplants = "some"\n'))
    assert "No magnet is in this closure" in sewn and "Ask first: does" not in sewn


def test_lace_is_as_long_in_the_order_of_work_as_on_the_shopping_list() -> None:
    bodice = Path(__file__).resolve().parent.parent / "templates" / "laced-bodice" / "plan.toml"
    answer = check_plan(read_plan(bodice.read_bytes(), "plan.toml"), bodice)
    (step,) = [step for step in advice_of(answer).order.steps if step.key == "lace"]
    told = float(re.search(r"Cut the lace to ([\d.]+) mm", step.text)[1])  # type: ignore[index]
    assert told == lace_of(answer.placement).cut_mm  # type: ignore[union-attr]
    assert lace_in_words(answer.placement)[0].startswith(f"Lace of {told:g} mm")


FIFTEEN = (
    '[edge]\nstraight = "390 mm"\n[garment]\nopens = "back"\nedges = "meeting"\ngap = "50 mm"\n[band]\nwidth = "35 mm"\n'
    'inset = "14 mm"\nlap = "right over left"\n[closure]\nkind = "eyelet"\nsize = "5.5 mm"\n[spacing]\nfirst = 20\n'
    'last = 20\ncount = 15\n[lacing]\ntied = "300 mm"\n'
)


def crossed_mm(between_mm: float) -> float:
    """A crossed lace through fifteen pairs 25 mm apart, 14 mm from either edge, by hand."""
    across = between_mm + 28
    return across + 28 * math.hypot(25, across)


def test_bodice_whose_lace_does_not_let_the_wearer_in_is_not_put_on_laced() -> None:
    answer = check_plan(read_plan(FIFTEEN.encode(), "plan.toml"))
    lace, told = lace_of(answer.placement), words(advice_of(answer))
    assert lace is not None
    assert lace.cut_mm == pytest.approx(crossed_mm(50) + 600, abs=10)
    assert crossed_mm(lace.most_mm) == pytest.approx(lace.cut_mm - 200, abs=0.01)
    said = f"{math.floor(lace.most_mm)} mm"
    assert f"Draw the lace out, or let it out where the {said} between the edges" in told
    assert f"lets the edges open to {said}" in lace_in_words(answer.placement)[-1]


def test_edges_that_are_worn_apart_are_compared_apart_and_those_that_meet_against_each_other() -> None:
    for gap, said in (("50 mm", "lie level"), ("0 mm", "hold each eyelet that is set against its mark")):
        text = FIFTEEN.replace('gap = "50 mm"', f'gap = "{gap}"')
        order = advice_of(check_plan(read_plan(text.encode(), "plan.toml"))).order
        (told,) = [step.text for step in order.steps if step.key == "compare meeting"]
        assert said in told and ("against its mark" in told) == (gap == "0 mm")


def test_bodice_that_is_to_be_put_on_laced_gets_a_lace_that_lets_it_open_so_far() -> None:
    answer = check_plan(read_plan((FIFTEEN + 'let_out = "220 mm"\n').encode(), "plan.toml"))
    lace, told = lace_of(answer.placement), words(advice_of(answer))
    assert lace is not None
    assert lace.opened_mm == pytest.approx(crossed_mm(220), abs=0.01)
    assert 0 <= lace.cut_mm - (crossed_mm(220) + 200) < 10
    assert "Let the lace out till the edges stand 220 mm apart all along, put it on so" in told
    tied = (lace.cut_mm - crossed_mm(50)) / 2
    assert f"and {tied:.1f} mm" in lace_in_words(answer.placement)[0]
    let_out = lace_in_words(answer.placement)[-1]
    assert "Let out till the edges stand 220 mm" in let_out
    # The cover says why so much is left to tie; of a lace that is to be tied alone there is nothing to explain.
    assert let_out in parts_in_words(answer.placement)
    tied_alone = check_plan(read_plan(FIFTEEN.encode(), "plan.toml")).placement
    assert not set(lace_in_words(tied_alone)[1:]) & set(parts_in_words(tied_alone))


def test_bodice_that_would_open_less_than_it_is_worn_is_refused() -> None:
    with pytest.raises(ClosureError, match="40 mm apart, less than the gap of 50 mm that is worn"):
        read_plan((FIFTEEN + 'let_out = "40 mm"\n').encode(), "plan.toml")


OLD_BUTTONS = '[swap]\nkind = "sew-through button"\nsize = "18 L"\nplaces = ["60 mm", "150 mm", "240 mm"]\nhole = { made = true }\n'


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        ('[garment]\nstate = "sewn band"\n', r'\[garment\] tells state = "sewn band"'),
        ('[garment]\nstate = "finished"\n', r'\[garment\] tells state = "finished"'),
        (OLD_BUTTONS, r"\[swap\] are on a garment in hand"),
    ],
)
def test_bound_buttonholes_of_a_band_that_is_sewn_are_refused(rest: str, said: str) -> None:
    with pytest.raises(ClosureError, match=rf"made before the facing is sewn on, and .*{said}.*Leave bound out"):
        advice("sew-through button", "20 L", closure="bound = true", rest=rest)


@pytest.mark.parametrize(
    ("trial", "said"),
    [
        (0, r"layers and backing\. Nothing is bought for it: take spare parts.$"),
        (1, r"layers and backing\.$"),
        (3, r"have 3 closures for it: where the first is not right, try again with the next\.$"),
    ],
)
def test_trial_says_how_many_closures_are_bought_for_it(trial: int, said: str) -> None:
    told = advice("sew-on snap", closure=f"trial = {trial}", rest=cloth("poplin"))
    assert re.search(said, next(step.text for step in told.order.steps if step.key == "trial sewn"))


def test_marking_of_a_cloth_that_is_not_told_says_so() -> None:
    assert "which the plan does not tell" in advice().marking[0]


@pytest.mark.parametrize(
    ("name", "over"), [("wool suiting", "press the edge under a damp cloth"), ("satin", "the edge under a press cloth")]
)
def test_edge_that_an_iron_would_shine_is_pressed_under_a_cloth_and_so_is_a_finished_one(name: str, over: str) -> None:
    assert over in words(advice(rest=cloth(name)))
    finished = words(advice(rest=cloth(name) + '[garment]\nstate = "finished"\n'))
    assert f"press its closing edges flat {over[over.index('under') :]}" in finished


@pytest.mark.parametrize("name", ["poplin", "wool suiting", "interlock"])
def test_bound_buttonholes_are_marked_with_thread_after_their_trial_and_cut_with_scissors(name: str) -> None:
    told = advice("sew-through button", "20 L", closure="bound = true", rest=cloth(name))
    order = keys(told)
    assert order.index("trial sewn") < order.index("bound mark")
    assert (
        told.signs["mark"] == "mark: thread at the dot; of a buttonhole, its ends"
        and "loose stitch of thread" in told.marking[0]
    )
    assert not re.search(r"touch each prick|prick through|Ink that heat|a pin across", words(told))
    assert "small sharp scissors" in " ".join(told.cautions)


def test_leather_is_called_leather_when_a_sewn_part_is_right() -> None:
    told = advice("sew-on snap", "3", rest=cloth("leather 2 oz"))
    assert "the leather round it does not pull" in words(told) and "cloth round it" not in words(told)


def test_bound_buttonholes_are_made_before_the_facing() -> None:
    # Bulletin 576, Buttons and Buttonholes, Univ. of Minnesota, 1965.
    told = advice("sew-through button", "20 L", closure="bound = true", rest=cloth("poplin"))
    order = keys(told)
    assert order.index("trial sewn") < order.index("bound") < order.index("edge") < order.index("open the facing")
    assert told.order.stop_before == order.index("bound") + 1
    assert "work buttonholes" not in order and "set first" not in order


def test_the_facing_of_a_bound_buttonhole_is_felled_of_cloth_and_of_leather_a_window() -> None:
    # UMN Bulletin 576 fells the facing round the hole; leather is cut out and no edge of it turned: common practice.
    for outside, facing, is_window in (("melton", "poplin", False), ("melton", "leather 2 oz", True)):
        layers = "".join(f'[[layer]]\ncloth = "{one}"\n' for one in (outside, facing))
        told = advice("sew-through button", "20 L", closure="bound = true", rest=layers)
        order = keys(told)
        assert ("open the leather facing" in order, "open the facing" in order) == (is_window, not is_window)
        assert ("turn no edge of it under" in words(told)) is is_window


def test_hook_ends_are_what_the_marks_mean() -> None:
    steps = {step.key: step.text for step in advice("hook and eye", "2", closure='cap = "8 mm"').order.steps}
    assert "the end of each at its mark" in steps["set first"]
    # A hook cannot be pressed on to the other lap as a snap is.
    assert "put a pin into the under lap at the end of each hook" in steps["compare"]


@pytest.mark.parametrize(
    ("kind", "rest", "must", "must_not"),
    [
        ("magnetic snap", "", ["pacemaker", "shunt valve", "hearing implant", "young children"], ["EN 17394"]),
        (
            "prong snap",
            "",
            ["eye protection", "steel hammer", "fingers out of a press", "stab", "0.5 µg"],
            ["child", "lead"],
        ),
        (
            "plastic snap",
            '[wearer]\nprofiles = ["child"]\n',
            ["wash test", "31.7 mm", "1501.3(d)", "100 ppm of lead, of whatever material"],
            ["70 N", "0.5 µg"],
        ),
        ("plastic snap", '[wearer]\nprofiles = ["child"]\nsold = ["EU"]\n', ["wash test"], ["100 ppm"]),
        ("plastic snap", "", [], ["100 ppm"]),
        (
            "sew-through button",
            '[wearer]\nprofiles = ["child"]\n',
            ["70 N", "50 N", "36 months", "980 mm", "laboratory", "product-safety law", "EN 17394-2", "100 ppm"],
            ["wash test", "hammer"],
        ),
        (
            "prong snap",
            '[wearer]\nprofiles = ["child"]\n',
            ["its part 3", "1500.48", "cotton wool", "100 ppm"],
            ["70 N"],
        ),
        (
            "prong snap",
            '[wearer]\nprofiles = ["child"]\nsold = ["EU"]\n',
            ["its part 3"],
            ["16 CFR 1500.51", "100 ppm"],
        ),
        ("prong snap", '[wearer]\nprofiles = ["child"]\nsold = ["US"]\n', ["1500.51", "100 ppm"], ["its part 3"]),
        ("eyelet", '[wearer]\nprofiles = ["child"]\n', ["EN 14682", "rivets, to a wash test"], ["70 N"]),
        ("shank button", "", ["metal shank"], ["hammer", "child"]),
        ("sew-through button", "", ["Cut away"], ["nickel", "hammer", "stab"]),
        ("prong snap", '[wearer]\nprofiles = ["child under three"]\n', ["Under three", "backing behind every one"], []),
        ("magnetic snap", '[wearer]\nimplants = "none"\n', ["nobody asked has an implant"], ["Ask first"]),
        (
            "prong snap",
            '[wearer]\nprofiles = ["weak hands"]\n',
            ["Of 97 women", "AJOT" and "36(8):515"],
            ["less force"],
        ),
    ],
)
def test_cautions_stand_where_they_apply_and_only_there(
    kind: str, rest: str, must: list[str], must_not: list[str]
) -> None:
    text = words(advice(kind, rest=rest))
    # The names of sources stand in brackets and claim nothing.
    without_sources = re.sub(r" \((?:published|derived|from memory)[^()]*(?:\([^()]*\)[^()]*)*\)", "", text)
    assert [word for word in must if word not in text] == []
    assert [word for word in must_not if word in without_sources] == []


@pytest.mark.parametrize("state", ["cut pieces", "sewn band"])
def test_magnets_go_through_the_layers_that_meet_and_their_washers_lie_within_the_band(state: str) -> None:
    """Through all layers of a closed band the tabs would lie on the face of the over lap."""
    garment = f'[garment]\nopens = "front"\nstate = "{state}"\n'
    told = advice("magnetic snap", rest=cloth("poplin") + garment)
    order, texts = keys(told), {step.key: step.text for step in told.order.steps}
    opened = "edge open for magnets" if state == "cut pieces" else "open for magnets"
    assert order.index(opened) < order.index("set first") < order.index("set second")
    assert order.index("set second") < order.index("close over magnets") < order.index("try")
    assert "edge" not in order
    for key in ("set first", "set second"):
        assert "through the layers that meet the other lap" in texts[key] and "between the layers" in texts[key]


@pytest.mark.parametrize(
    ("name", "way"),
    [
        ("poplin", "with sharp chalk"),
        ("cotton velvet", "one loose stitch through either slot"),
        ("leather 4 oz", "scribe both slits lightly"),
        ("oilcloth", "on the tape"),
    ],
)
@pytest.mark.parametrize("state", ["cut pieces", "finished"])
def test_slits_of_magnets_are_drawn_through_the_washer_before_they_are_cut(name: str, way: str, state: str) -> None:
    """The sheet shows which way they run alone: its key sends the reader to the washer."""
    told = advice("magnetic snap", rest=cloth(name) + f'[garment]\nopens = "front"\nstate = "{state}"\n')
    order, steps = keys(told), {step.key: step for step in told.order.steps}
    assert order.index("mark") < order.index("draw slits first") < order.index("set first")
    assert order.index("compare") < order.index("draw slits second") < order.index("set second")
    # Leather and velvet have their stop before anything is marked, and coated cloth before its edge is sewn or opened.
    is_later = name == "poplin"
    assert ("drawn through the washer" in told.order.stop) == is_later
    for key in ("draw slits first", "draw slits second"):
        assert "the way that the sheet draws the slits" in steps[key].text and way in steps[key].text
        assert "midway between its two slits" in steps[key].done


def test_backing_of_magnets_lies_on_the_layers_that_they_go_through() -> None:
    """On the over lap that is the facing: a strip on the outer cloth would hold nothing."""
    asked = '[sheets]\nbacking = "as needed"\n'
    plan = read_plan(plan_text("magnetic snap", rest=cloth("poplin") + asked).encode(), "coat.toml")
    answer = check_plan(plan)
    sides = {one.lap: one.side for one in back_laps(answer.placement, answer.findings, load_catalogue())}
    assert "wrong side of the facing" in sides["over"] and "wrong side of the outer cloth" in sides["under"]
    told = {step.key: step.text for step in advice_of(answer).order.steps}
    assert "on the over lap against the wrong side of the facing" in told["back"]
    assert "past every part, on the layers that meet the other lap, and fuse or sew" in words(
        advice("magnetic snap", rest=cloth("poplin"))
    )


def test_washers_of_magnets_on_a_finished_garment_are_told_to_show() -> None:
    garment = '[garment]\nopens = "front"\nstate = "finished"\n'
    assert "Washer and tabs show" in words(advice("magnetic snap", rest=cloth("poplin") + garment))


def test_a_magnet_in_leather_is_marked_where_a_part_covers_the_point_of_the_awl() -> None:
    told = {step.key: step.text for step in advice("magnetic snap", rest=cloth("leather 4 oz")).order.steps}
    assert told["mark"].startswith("Turn the over lap over and lay its sheet, inside face up")


@pytest.mark.parametrize("kind", ["loop and ball button", "hook tape", "snap tape"])
def test_loops_and_tapes_are_right_when_they_hang_or_lie_as_such_parts_do(kind: str) -> None:
    """A ball button on a shank rocks, a loop does not lie flat, a tape has no turning parts."""
    told = words(advice(kind, closure='cap = "8 mm"'))
    assert "rocks under a finger" not in told
    assert ("one length and stand level" if "loop" in kind else "The tape lies flat") in told


def test_magnet_is_asked_about_before_anything_else() -> None:
    told = advice("magnetic snap")
    assert "pacemaker" in told.cautions[0]
    assert keys(told)[0] == "ask"


def test_every_row_says_where_it_comes_from() -> None:
    for one in (*all_steps(), *all_cautions()):
        assert one.provenance.kind in ("published", "derived", "common practice", "from memory")
        assert one.provenance.source or one.provenance.kind in ("common practice", "from memory")


def test_every_fact_is_asked_for_by_some_row() -> None:
    text = "".join((TABLES / f"{name}.toml").read_text(encoding="utf-8") for name in ("steps", "cautions", "marking"))
    assert [flag for flag in FLAGS if flag not in text] == []
    assert set(settings()) == set(GROUPS["set"])


def test_facts_of_every_way_of_setting_are_facts_that_jobs_have() -> None:
    for setting in settings().values():
        assert unknown_facts(setting.facts) == (), setting.key


def test_slip_in_a_condition_is_found() -> None:
    assert unknown_facts(("cloth: knit or cloth: nit", "not press-set", "not presset")) == ("cloth: nit", "presset")


def test_figure_of_a_rule_that_is_not_there_is_refused() -> None:
    assert with_rules("<nickel release> µg") == "0.5 µg"
    with pytest.raises(CatalogueError, match="no rule 'nickel'"):
        with_rules("<nickel>")


def _step(key: str, *after: str) -> Step:
    return Step(key, (), after, key, key, "no", "", "", False, Provenance("common practice"))


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        pytest.param((), "", id="none"),
        pytest.param((_step("a"),), "a", id="one"),
        pytest.param((_step("a", "b"), _step("b")), "ba", id="what it names comes first"),
        pytest.param((_step("b"), _step("a")), "ba", id="else the table's own order"),
        pytest.param((_step("a", "gone"), _step("b")), "ab", id="a step that is not taken holds nothing up"),
    ],
)
def test_steps_stand_after_those_they_name(steps: tuple[Step, ...], found: str) -> None:
    assert "".join(step.key for step in in_order(list(steps))) == found


def test_steps_that_wait_for_each_other_are_refused() -> None:
    with pytest.raises(CatalogueError, match="wait for each other"):
        in_order([_step("a", "b"), _step("b", "a")])


@pytest.mark.parametrize(
    ("garment", "first", "never"),
    [
        pytest.param('washing = "washed"', "press", r"Wash and dry", id="washed already"),
        pytest.param('washing = "never"', "rest", r"Wash and dry", id="never washed"),
        pytest.param('state = "sewn band"', "press", r"Sew band and facing|Wash and dry", id="the band is made"),
        pytest.param('state = "finished"', "press finished", r"Sew band and facing|Wash and dry", id="finished"),
    ],
)
def test_order_follows_the_state_of_the_garment(garment: str, first: str, never: str) -> None:
    told = advice(rest=f"[garment]\n{garment}\n{cloth('poplin')}")
    assert keys(told)[0] == first
    assert not re.search(never, words(told))


def test_what_nobody_wears_is_not_put_on() -> None:
    rest = '[garment]\nopens = "flat"\n'
    text = (
        '[edge]\nstraight = "600 mm"\ncloth = "right"\n[band]\nwidth = "40 mm"\nlap = "upper over lower"\n'
        f'[closure]\nkind = "plastic snap"\nsize = "20"\n{rest}'
    )
    told = advice_of(check_plan(read_plan(text.encode(), "duvet.toml")))
    assert "put it on" not in words(told) and keys(told)[-1] == "try filled"


QUOTED = ("CARR", "PENAVA")
"""Sources that nobody here read: what they say was read where another quotes them."""


def _rows_with_a_basis(table: object) -> Iterator[dict[str, object]]:
    if isinstance(table, dict):
        if "basis" in table:
            yield table
        for value in table.values():
            yield from _rows_with_a_basis(value)
    elif isinstance(table, list):
        for value in table:
            yield from _rows_with_a_basis(value)


@pytest.mark.parametrize("path", sorted(TABLES.parent.rglob("*.toml")), ids=lambda path: path.stem)
def test_published_is_said_only_of_what_was_read_in_its_source(path: Path) -> None:
    rows = list(_rows_with_a_basis(tomllib.loads(path.read_text(encoding="utf-8"))))
    assert rows or path.stem == "sources"
    for row in rows:
        told = row.get("source", "")
        sources = [told] if isinstance(told, str) else list(told)  # type: ignore[call-overload]
        if row["basis"] == "published":
            assert sources and all(sources), row
            assert not set(sources) & set(QUOTED), row
            assert not any("not looked up" in one for one in sources), row
        if row["basis"] == "second hand":
            assert sources and all(sources), row


@pytest.mark.parametrize("table", ["steps", "cautions", "marking", "settings"])
def test_every_row_of_the_work_has_a_basis(table: str) -> None:
    data = tomllib.loads((TABLES / f"{table}.toml").read_text(encoding="utf-8"))
    rows = [row for section in data.values() for row in section]
    assert rows and [row for row in rows if "basis" not in row] == []


SWAP = (
    '[swap]\nkind = "sew-through button"\nsize = "18 L"\nplaces = [{places}]\n'
    'hole = {{ made = true, way = "along", length = "{length} mm" }}\n'
)
SEVEN = ", ".join(f'"{25 + 550 * i / 6:.4f} mm"' for i in range(7))


@pytest.mark.parametrize(
    ("length", "steps", "told"),
    [
        # 20 L is 12.7 mm (US Federal Specification V-B-871F); with a button 3 mm thick 15.7 mm (Bulletin 576).
        ("15.7", ["try old holes"], "Pass a new button through each old buttonhole of the over lap, marks 1 to 7"),
        ("13.7", ["trial sewn", "lengthen holes"], "Lengthen the old buttonholes 1 to 7 by 2 mm, to 15.7 mm"),
        ("18.7", ["trial sewn", "shorten holes"], "Sew the old buttonholes 1 to 7 shut by 3 mm, to 15.7 mm"),
    ],
)
def test_old_buttonholes_that_serve_again_are_neither_marked_nor_cut_anew(
    length: str, steps: list[str], told: str
) -> None:
    swap = SWAP.format(places=SEVEN, length=length)
    order = advice("sew-through button", "20 L", closure='thickness = "3 mm"', rest=cloth("poplin") + swap).order
    taken = [step.key for step in order.steps]
    about = ("try old holes", "trial sewn", "lengthen holes", "shorten holes", "mark buttonholes", "work buttonholes")
    assert [key for key in taken if key in (*about, "cut buttonholes")] == steps
    assert told in " ".join(step.text for step in order.steps)
    # A button that is sewn on comes off again; a slit that was cut longer stays.
    assert (order.stop_before is not None) == ("lengthen holes" in steps)
    if order.stop_before is not None:
        assert "a buttonhole that was cut longer stays longer" in order.stop
    assert taken.index("compare") < taken.index("set second")


def test_new_buttonholes_beside_old_ones_are_alone_marked_and_cut() -> None:
    swap = SWAP.format(places='"25 mm", "300 mm", "575 mm"', length="13.7")
    text = plan_text("sew-through button", "20 L", closure='thickness = "3 mm"', rest=cloth("poplin") + swap)
    plan = read_plan(text.encode(), "coat.toml")
    made = check_plan(plan).swap
    assert made is not None
    offer = next(one for one in made.offers if len(one.placement.marks) == 7)
    assert [mark for mark, _ in offer.reused] == [1, 4, 7]
    steps = {step.key: step.text for step in advice_of(check_plan(plan, {}, offer.n)).order.steps}
    assert "Lengthen the old buttonholes 1 to 3 by 2 mm" in steps["lengthen holes"]
    assert "At both ends of every new buttonhole, marks 2, 3, 5 and 6, " in steps["mark buttonholes"]
    assert "at marks 2, 3, 5 and 6 of the over lap" in steps["cut buttonholes"]
    assert "Sew the buttons on at marks 1 to 7 of the under lap" in steps["set second"]


def test_one_new_buttonhole_has_one_mark() -> None:
    swap = SWAP.format(places='"25 mm", "575 mm"', length="15.7")
    text = plan_text("sew-through button", "20 L", closure='thickness = "3 mm"', rest=cloth("poplin") + swap)
    made = check_plan(read_plan(text.replace("count = 7", "count = 3").encode(), "coat.toml")).swap
    assert made is not None
    told = [change for offer in made.offers for change in offer.changes if change.startswith("Work 1 buttonhole ")]
    assert told and all("on the over lap, mark 2: " in change for change in told)


def test_buttonholes_that_are_only_drawn_are_worked_like_new_ones() -> None:
    swap = SWAP.format(places=SEVEN, length="13.7").replace("made = true", "made = false")
    taken = keys(advice("sew-through button", "20 L", closure='thickness = "3 mm"', rest=cloth("poplin") + swap))
    assert "mark buttonholes" in taken and "cut buttonholes" in taken and "lengthen holes" not in taken


@pytest.mark.parametrize("kind", ["prong snap", "sew-on snap", "sew-through button"])
def test_nothing_of_a_finished_garment_is_touched_before_the_trial_and_the_sheets_are_right(kind: str) -> None:
    size = {"prong snap": "16 L", "sew-on snap": "1", "sew-through button": "24 L"}[kind]
    taken = keys(advice(kind, size, rest=cloth("poplin") + SWAP.format(places=SEVEN, length="13.7")))
    first = taken.index("take off")
    assert {"measure sheets", *({"trial", "trial sewn"} & set(taken))} <= set(taken[:first])
    changes = {"close holes", "cover holes", "back with strip", "hide holes", "false buttons", "lengthen holes"}
    assert changes & set(taken) and not changes & set(taken[:first])
    for key in {"hide holes", "false buttons"} & set(taken):
        assert taken.index(key) > taken.index("set second")


def test_old_holes_in_leather_are_not_darned_and_their_patches_are_glued() -> None:
    swap = SWAP.format(places=SEVEN, length="16")
    told = advice("leather post snap", "20 L", rest=cloth("leather 2 oz") + swap)
    step = next(step for step in told.order.steps if step.key == "close holes")
    assert "not darned" in step.text and "glue a patch" in step.text
    assert not re.search("darn or sew|sew a patch", words(told))


def test_the_trial_of_a_button_for_show_takes_none_that_is_still_on_the_garment() -> None:
    told = advice("prong snap", "16 L", rest=cloth("poplin") + SWAP.format(places=SEVEN, length="16"))
    taken = keys(told)
    step = next(step for step in told.order.steps if step.key == "trial of show")
    assert taken.index("trial of show") < taken.index("take off")
    assert "a spare button" in step.text and "snipped off first" in step.text


def test_padded_cloth_is_not_pressed_flat_and_satin_only_under_a_cloth() -> None:
    assert "press" not in keys(advice(rest=cloth("quilted cotton")))
    step = next(step for step in advice(rest=cloth("satin")).order.steps if step.key == "press")
    assert step.text == "Press it flat, from the wrong side and under a press cloth."


# Common practice: a hot iron makes polyester and nylon shine, and then melts them; cotton and linen bear it.
@pytest.mark.parametrize(
    ("layer", "feared"),
    [
        pytest.param(cloth("organza"), True, id="polyester sheer"),
        pytest.param(cloth("chiffon"), True, id="another"),
        pytest.param(cloth("polyester woven"), True, id="polyester woven"),
        pytest.param(cloth("ponte"), True, id="polyester knit"),
        pytest.param('[[layer]]\nthickness = 0.2\nstructure = "sheer"\ncount = 2\n', True, id="sheer of unknown fibre"),
        pytest.param(cloth("cotton voile"), False, id="cotton sheer"),
        pytest.param(
            '[[layer]]\ncloth = "cotton voile"\nstructure = "sheer"\ncount = 2\n',
            False,
            id="a sheer whose fibre is told",
        ),
        pytest.param(cloth("poplin") + '[[layer]]\ncloth = "light fusible"\n', False, id="poplin on a fusible"),
    ],
)
def test_what_an_iron_makes_shine_or_melts_gets_a_press_cloth_and_a_caution(layer: str, feared: bool) -> None:
    for state in ("", '[garment]\nstate = "finished"\n'):
        told = advice(rest=layer + state)
        flat = [step.text for step in told.order.steps if re.search(r"press its closing|^Press it flat", step.text)]
        assert flat and all(("under a press cloth" in text) == feared for text in flat)
        assert any("at the lowest heat" in text for text in told.cautions) == feared
    assert (
        next(step for step in advice(rest=cloth("poplin")).order.steps if step.key == "press").text == "Press it flat."
    )


def test_stitches_that_mark_the_other_lap_are_drawn_out_there() -> None:
    steps = {step.key: step.text for step in advice(rest=cloth("interlock")).order.steps}
    assert "each with a loose stitch" in steps["compare"]
    assert steps["set second"].endswith("and draw it out before the socket or stud is laid on.")


def test_backing_of_cloth_that_will_shrink_is_sewn_and_shrinks_with_it() -> None:
    shrinks = '[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n[sheets]\nbacking = "strip"\n'
    steps = {step.key: step.text for step in advice(rest=cloth("poplin") + shrinks).order.steps}
    assert "and sew them down" in steps["back"] and "that shrinks as the cloth does" in steps["back"]


def test_outer_cloth_of_bound_buttonholes_is_backed_before_it_is_marked() -> None:
    told = advice("sew-through button", "24 L", closure="bound = true", rest=cloth("jersey"))
    order = keys(told)
    assert order.index("back with strip") < order.index("bound mark")


def test_trial_of_a_finished_garment_asks_for_no_piece_of_its_own_cloth() -> None:
    told = advice(rest=cloth("oxford") + '[garment]\nstate = "finished"\n')
    assert "as like the garment's as you have" in words(told) and "of the same cloth" not in words(told)


def test_finished_opening_that_nobody_wears_is_never_put_on() -> None:
    flat = '[garment]\nopens = "flat"\nstate = "finished"\n'
    swap = SWAP.format(places=SEVEN, length="16")
    text = words_of_flat(cloth("poplin", flat) + swap)
    assert "Lay the opening closed and flat" in text
    assert not re.search(r"as it is worn|[Pp]ut it on", text)


def words_of_flat(rest: str) -> str:
    text = (
        '[edge]\nstraight = "600 mm"\ncloth = "right"\n[band]\nwidth = "40 mm"\nlap = "upper over lower"\n'
        f'[closure]\nkind = "plastic snap"\nsize = "20"\n[spacing]\nfirst = "25 mm"\nlast = "25 mm"\ncount = 7\n{rest}'
    )
    return words(advice_of(check_plan(read_plan(text.encode(), "duvet.toml"))))


def test_thread_at_a_button_of_a_loop_is_drawn_out() -> None:
    kind = next(kind for kind in CATALOGUE.kinds() if kind.startswith("loop"))
    steps = {step.key: step.text for step in advice(kind, rest=cloth("satin")).order.steps}
    assert "loose stitch" in steps["mark both"]
    assert "Make one stitch at each mark before the loose one" in steps["set second"]
    assert "Tack both feet of a loop down before" in steps["set first"]


def test_belt_of_a_child_has_the_caution_on_cords_and_belts() -> None:
    # EN 14682, 16 CFR 1120 and ASTM F1816 are about belts at the waist too (from memory, as the caution says).
    belt = (
        '[belt]\nwaist = "600 mm"\nwidth = "30 mm"\nthickness = "4 mm"\nsettings = 5\nstep = "25 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "post snap"\nsize = "20 L"\n'
    )
    child = '[wearer]\nprofiles = ["child"]\n'
    told = {who: words(advice_of(check_plan(read_plan(f"{belt}{who}".encode(), "belt.toml")))) for who in ("", child)}
    assert "EN 14682" in told[child] and "EN 14682" not in told[""]
    assert "EN 14682" not in words(advice(rest=child))


def test_carriers_of_a_belt_are_cut_and_sewn_to_the_garment() -> None:
    belt = (
        '[belt]\nwaist = "860 mm"\nwidth = "45 mm"\nthickness = "5 mm"\nsettings = 5\nstep = "30 mm"\ncarriers = {}\n'
        'lap = "right over left"\n[closure]\nkind = "post snap"\nsize = "24 L"\n'
    )
    told = advice_of(check_plan(read_plan(belt.format(4).encode(), "belt.toml")))
    # 45 mm and 1 1/2 in: the belt's width, ease and two turnings (a magazine answer of 2000).
    assert "Cut 4 carriers, each 84 mm long" in told.order.steps[keys(told).index("carriers")].text
    assert "carriers" not in keys(advice_of(check_plan(read_plan(belt.format(0).encode(), "belt.toml"))))


def test_backing_of_snaps_set_beneath_the_outer_layer_lies_on_what_they_go_through() -> None:
    swap = SWAP.format(places=SEVEN, length="13.7").replace("made = true", "made = false")
    text = plan_text("prong snap", "16 L", rest=cloth("linen") + swap + '[sheets]\nbacking = "as needed"\n')
    plan = read_plan(text.encode(), "shirt.toml")
    made = check_plan(plan).swap
    assert made is not None
    hidden = check_plan(plan, {}, next(one.n for one in made.offers if one.kind == "hidden"))
    sides = {one.lap: one.side for one in back_laps(hidden.placement, hidden.findings, load_catalogue())}
    assert "against the wrong side of the facing" in sides["over"]
    assert "outer cloth" in sides.get("under", "outer cloth")
    step = next(one for one in advice_of(hidden).order.steps if one.key == "back")
    # Of the under lap, for which no piece is cut, nothing is told.
    over_alone = "for the over lap, against the wrong side of the facing"
    assert (over_alone if "under" not in sides else "on the over lap against the wrong side of the facing") in step.text


def test_edge_of_a_laced_bodice_is_stiffened_and_the_edge_of_buttons_for_loops_is_faced_before_they_come() -> None:
    meeting = '[garment]\nedges = "meeting"\n'
    laced = advice("eyelet", rest=cloth("coutil") + meeting)
    assert keys(laced).index("bones") < keys(laced).index("set first") and "a bone in a channel" in words(laced)
    # A tape is taken in as the edge is made: once it is faced and turned there is no way in.
    assert keys(laced).index("tape or bones") < keys(laced).index("edge that meets") < keys(laced).index("bones")
    looped = keys(advice("loop and ball button", rest=cloth("poplin")))
    faced = looped.index("edge of the buttons")
    assert looped.index("edge with loops") < faced < looped.index("mark both") < looped.index("set second")


@pytest.mark.parametrize("backing", ["", '[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n'])
@pytest.mark.parametrize("wearer", ["", '[wearer]\nprofiles = ["child"]\n'])
def test_laced_edge_that_is_backed_takes_one_strip_and_no_tape_beside_it(backing: str, wearer: str) -> None:
    told = advice("eyelet", rest=f'{cloth("jersey")}[garment]\nedges = "meeting"\n{backing}{wearer}')
    assert not {"tape the edge", "tape or bones"} & set(keys(told))
    assert words(told).count("of the two lay one alone") == 1
    chosen = next(at for at, key in enumerate(keys(told)) if key.startswith("one strip"))
    assert chosen < keys(told).index("back" if backing else "back with strip")


@pytest.mark.parametrize("state", ["cut pieces", "sewn band", "finished"])
def test_laced_edge_of_a_child_is_stiffened_by_a_tape_and_never_by_bones(state: str) -> None:
    garment = f'[garment]\nedges = "meeting"\nstate = "{state}"\n[wearer]\nprofiles = ["child"]\n'
    told = keys(advice("eyelet", rest=cloth("poplin") + garment))
    assert not {"bones", "see the bones", "tape or bones"} & set(told)
    if state == "cut pieces":
        assert told.index("tape the edge") < told.index("edge that meets") < told.index("set first")
    else:
        assert told.index("see the tape") < told.index("set first")


def test_eyelets_that_lap_are_marked_through_each_other_and_tried_with_a_cord_through_both() -> None:
    lapped = '[garment]\nopens = "front"\nedges = "lapped"\n'
    for more, through in (
        (cloth("poplin"), "put a pin through the middle of each eyelet into the under lap"),
        (cloth("silk habotai"), "through the middle of each eyelet"),
        ("", "put a pin through the middle of each eyelet into the under lap"),
    ):
        order = advice("eyelet", rest=more + lapped).order
        told = {step.key: step.text for step in order.steps}
        assert through in told["compare"] and "halk each eyelet" not in told["compare"]
        assert "a cord through each eyelet of the over lap and the one that lies beneath it" in told["try laced"]
        assert not {"bones", "compare meeting", "mark both", "lace"} & set(told)


# What is said of several, and of a single one never.
_OF_SEVERAL = re.compile(
    r"\b[Tt]he (?:buttonholes|hooks|eyes|bars|buttons|holes(?! of the needle)|loops|eyelets|(?:covered )?(?:ball|socket) halves)\b"
    r"|\b[Ee]ach (?:ring|cap|post|place|socket|ball half|magnet half|hook|loop|eyelet|buttonhole|mark|slit|sits|takes|bow)"
    r"|\b[Ee]very (?:button|buttonhole|part)\b|hold the places|mark them there|None turns|none turns|two even rows"
    r"|each dot|each of mark \d+\b|[^{]\bmarks \d"
    r"|[Tt]heir own shank|over each\b|new closures|closed buttonholes|[Ee]ach patch|each buttonhole|[Ee]very closure|that each is"
)


def _single(kind: str, size: str, more: str, state: str = "") -> Advice:
    meeting = kind.startswith("loop") or kind == "eyelet"
    garment = '[garment]\nopens = "back"\n' + ('edges = "meeting"\n' if meeting else "")
    garment += f'state = "{state}"\n' if state else ""
    return advice_of(
        check_plan(
            read_plan(
                (
                    f'[edge]\nstraight = "100 mm"\n{garment}[band]\nwidth = "60 mm"\nlap = "right over left"\n'
                    f'[closure]\nkind = "{kind}"\nsize = "{size}"\ncap = "12 mm"\n'
                    f'[spacing]\nfirst = "40 mm"\nlast = "60 mm"\ncount = 1\n{more}'
                ).encode(),
                "one.toml",
            )
        )
    )


@pytest.mark.parametrize("cloth", ["cotton poplin", "silk charmeuse", "leather 2 oz", "interlock", "oilcloth"])
@pytest.mark.parametrize("kind", [one for one in CATALOGUE.kinds() if not one.endswith(" tape")])
def test_steps_of_a_single_closure_speak_of_one(kind: str, cloth: str) -> None:
    told = _single(kind, CATALOGUE.sizes(kind)[0], f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n')
    for step in told.order.steps:
        said = f"{step.text} {step.done}"
        assert not _OF_SEVERAL.search(said), (step.key, said)
        assert not re.search(r"[{}|]", said), (step.key, said)


@pytest.mark.parametrize("cloth", ["cotton poplin", "leather 2 oz"])
@pytest.mark.parametrize("kind", [one for one in CATALOGUE.kinds() if not one.endswith(" tape")])
def test_all_that_is_said_of_a_single_closure_in_whatever_state_speaks_of_one(kind: str, cloth: str) -> None:
    layers = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    child = '[wearer]\nprofiles = ["child under three"]\n'
    for state in ("cut pieces", "sewn band", "finished"):
        for more in ("", child):
            told = _single(kind, CATALOGUE.sizes(kind)[0], layers + more, state)
            # Two sheets have a dot each, a closure has two parts, and a cord has an eyelet on either lap.
            lines = [*(f"{step.text} {step.done}" for step in told.order.steps), *told.marking, *told.cautions]
            for line in lines:
                found = _OF_SEVERAL.search(line.replace("each dot", "").replace("every part", ""))
                assert not found or kind == "eyelet", (state, found, line)


@pytest.mark.parametrize(
    ("old", "hole"),
    [
        (("sew-through button", "18 L"), ', way = "along", length = "16 mm"'),
        (("prong snap", "16 L"), ""),
        (("post snap", "20 L"), ""),
    ],
)
@pytest.mark.parametrize("cloth", ["cotton poplin", "leather 2 oz"])
def test_steps_of_a_single_closure_in_place_of_another_speak_of_one(
    cloth: str, old: tuple[str, str], hole: str
) -> None:
    swap = f'[swap]\nkind = "{old[0]}"\nsize = "{old[1]}"\nplaces = ["{{}}"]\nhole = {{{{ made = true{hole} }}}}\n'
    for kind in ("capped prong snap", "magnetic snap", "sew-on snap", "ball button", "sew-through button"):
        for place in ("40 mm", "46 mm"):
            more = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n{swap.format(place)}'
            try:
                told = _single(kind, CATALOGUE.sizes(kind)[0], more, "finished")
            except ClosureError:
                continue
            if "mark 2" in str(told.order) or "marks 1" in str(told.order):
                continue
            for step in told.order.steps:
                said = f"{step.text} {step.done}"
                assert not _OF_SEVERAL.search(said), (kind, place, step.key, said)


def test_steps_of_several_closures_speak_of_several() -> None:
    for kind in ("sew-through button", "prong snap", "hook and eye", "eyelet"):
        assert _OF_SEVERAL.search(words(advice(kind))), kind


STAND = '[stand]\nheight = "32 mm"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[[layer]]\ncloth = "linen"\ncount = 2\n'


def test_bound_buttonhole_of_a_stand_is_made_on_the_loose_stand_by_its_own_sheet() -> None:
    """Common practice: it is made before the facing, and the stand is sewn on once the fronts are faced."""
    closure = 'bound = true\nhole = "across"'
    text = plan_text("sew-through button", "20 L", closure=closure, rest=STAND)
    told = advice_of(check_plan(read_plan(text.replace('first = "25 mm"\n', "").encode(), "coat.toml")))
    steps = {one.key: one for one in told.order.steps}
    assert "marks 2 to" in steps["bound mark"].text and "marks 1 to" not in steps["bound mark"].text
    own = steps["bound on the stand"]
    assert "at mark 1" in own.text and "stand's own sheet" in own.text
    order = keys(told)
    assert order.index("bound") < order.index("bound on the stand") < order.index("stand")


def test_row_without_a_stand_has_no_step_for_one() -> None:
    told = advice("sew-through button", "20 L", closure="bound = true")
    assert "bound on the stand" not in keys(told)
    assert "marks 1 to" in next(one.text for one in told.order.steps if one.key == "bound mark")


LEATHER = "the {} of leather 2 oz, since leather hardens and shrinks in water and heat, and its dye runs"


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        (
            cloth("poplin") + '[sheets]\nbacking = "patches"\nbacking_cloth = "leather 2 oz"\n',
            LEATHER.format("backing,"),
        ),
        (cloth("wool suiting") + '[sheets]\nbacking = "patches"\nbacking_cloth = "leather 2 oz"\n', ""),
        (cloth("leather 2 oz") + '[sheets]\nbacking = "patches"\nbacking_cloth = "leather 2 oz"\n', ""),
        (cloth("poplin") + '[sheets]\nbacking = "patches"\nbacking_cloth = "cotton lawn"\n', ""),
        (
            cloth("leather 2 oz") + '[garment]\nwashing = "to be washed"\n',
            "the leather 2 oz, which the plan says is washed",
        ),
        (cloth("leather 2 oz") + '[garment]\nwashing = "never"\n', ""),
    ],
)
def test_what_does_not_bear_the_wash_of_its_garment_is_warned_of(rest: str, said: str) -> None:
    # Common practice: leather on a shirt comes out of the wash hard and shrunken, and its dye in the shirt.
    told = advice("prong snap", rest=rest)
    heeded = [line for line in told.cautions if line.startswith("Not all of this garment may bear its wash: ")]
    assert len(heeded) == (1 if said else 0)
    assert all(said in line for line in heeded)


def test_patches_of_leather_on_a_finished_shirt_are_warned_of() -> None:
    shirt = (
        '[edge]\nstraight = "600 mm"\n[band]\nwidth = "32 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\n[swap]\nkind = "sew-through button"\nsize = "18 L"\nplaces = ["60 mm", "150 mm", "240 mm"]\n'
        'hole = { made = true, way = "along", length = "16 mm" }\npatch = "30 mm"\npatch_cloth = "leather 2 oz"\n'
    ) + cloth("oxford")
    told = advice_of(check_plan(read_plan(shirt.encode(), "shirt.toml")))
    assert any(LEATHER.format("patches,") in line for line in told.cautions)


def test_coated_cloth_that_the_plan_washes_is_tried_in_the_wash_before_any_is_cut() -> None:
    coated = cloth("laminated knit") + '[garment]\nwashing = "{}"\n'
    assert keys(advice("plastic snap", rest=coated.format("to be washed")))[0] == "try the wash"
    assert keys(advice("plastic snap", rest=coated.format("never")))[0] == "rest"


def test_buttonhole_of_a_strap_is_told_by_the_strap() -> None:
    strap = (
        '[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\n[closure]\nkind = "sew-through button"\n'
        'size = "16 L"\n{}[[layer]]\ncloth = "poplin"\ncount = 2\n'
    )
    for hole, told in (("", "along the strap"), ('hole = "along"\n', "across the strap")):
        answer = check_plan(read_plan(strap.format(hole).encode(), "cuff.toml"))
        order = advice_of(answer).order
        assert all("closing line" not in step.done for step in order.steps if step.key == "mark buttonholes")
        assert any(f"runs {told};" in step.done for step in order.steps if step.key == "mark buttonholes")
        assert not any("Buttonholes across the closing line" in line for line in answer.placement.assumed)


@pytest.mark.parametrize(
    ("edge", "pieces", "meeting", "is_flat"),
    [
        ('straight = "600 mm"', "pair", False, True),
        ('arc = { length = "600 mm", radius = "1500 mm", bows = "out" }', "pair", False, False),
        ('arc = { length = "600 mm", radius = "1500 mm", bows = "out" }', "separate", False, True),
        ('arc = { length = "600 mm", radius = "1500 mm", bows = "out" }', "pair", True, False),
        ('straight = "600 mm"', "pair", True, True),
    ],
)
def test_laps_that_bow_opposite_ways_are_not_laid_flat_on_each_other(
    edge: str, pieces: str, meeting: bool, is_flat: bool
) -> None:
    """By hand: of an arc of 600 mm and radius 1500 the middle stands 30 mm off the chord, on the other side on the lap
    that is turned over: laid end on end both rows are some 50 mm apart. A band that lies beneath has the same curve."""
    closure = 'kind = "hook and eye"\nsize = "2"\ncap = "9 mm"' if meeting else 'kind = "prong snap"\nsize = "16 L"'
    text = (
        f'[edge]\n{edge}\ncloth = "right"\n[garment]\nopens = "back"\npieces = "{pieces}"\nstate = "cut pieces"\n'
        f'{"edges = " + chr(34) + "meeting" + chr(34) if meeting else ""}\n[band]\nwidth = "30 mm"\n'
        f'lap = "right over left"\ncut = "shaped"\n[closure]\n{closure}\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\n'
        'count = 8\n[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
    )
    placement = check_plan(read_plan(text.encode(), "p.toml")).placement
    assert lie_flat(placement) is is_flat
    order = advice_of(check_plan(read_plan(text.encode(), "p.toml"))).order
    (told,) = [step for step in order.steps if step.key in ("compare", "compare meeting")]
    assert ("Laid flat, these two" in told.text) is not is_flat
    assert ("follow the sheet" in told.done) is not is_flat


@pytest.mark.parametrize("state", ["cut pieces", "finished"])
@pytest.mark.parametrize("is_flat", [True, False])
@pytest.mark.parametrize(
    "other",
    [
        '[[differs]]\nat = "neck"\nkind = "sew-through button"\nsize = "18 L"\n',
        '[[differs]]\nmarks = [2, 5]\nkind = "capped prong snap"\nsize = "16 L"\n',
        '[[single]]\nkind = "hook and eye"\nsize = "2"\nlevel = "5 mm"\n',
    ],
    ids=["a button", "two snaps", "a hook"],
)
def test_laps_lie_flat_for_all_that_closes_them_or_for_none(other: str, is_flat: bool, state: str) -> None:
    """Whether laps lie flat on each other is a fact of the laps (common practice): the same arc as above, on which one
    mark alone, or two, could be laid on each other."""
    edge = "straight" if is_flat else "arc"
    length = '"600 mm"' if is_flat else '{ length = "600 mm", radius = "1500 mm", bows = "out" }'
    text = (
        f'[edge]\n{edge} = {length}\ncloth = "right"\n[garment]\nopens = "front"\npieces = "pair"\n'
        f'state = "{state}"\n[band]\nwidth = "30 mm"\nlap = "left over right"\ncut = "shaped"\n[closure]\n'
        'kind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "40 mm"\nlast = "20 mm"\ncount = 8\n'
        f'{other}[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
    )
    order = advice_of(check_plan(read_plan(text.encode(), "p.toml"))).order
    compared = [step for step in order.steps if step.key == "compare"]
    assert len(compared) == 2
    for step in compared:
        assert ("no place is taken from one to the other" in step.text) is not is_flat
        assert ("lying on the table" in step.text) is is_flat
        assert ("follow the sheet" in step.done) is not is_flat
    told = " ".join(step.done for step in order.steps)
    assert ("lies flat by itself" in told) is (not is_flat and state == "finished")
    assert ("flat on each other" in told) is (is_flat and state == "finished")
    assert is_flat or "laps lie flat" not in told


def test_what_one_lap_is_longer_by_is_told_where_it_is_eased_in() -> None:
    """By hand: 560 mm between the marks of the over lap, 5 mm more on the under lap's own edge."""
    drawing = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="800mm" viewBox="0 0 500 800">'
        b'<path id="over" d="M 200 50 V 650"/><path id="under" d="M 300 50 V 655"/></svg>'
    )
    text = (
        'drawing = "h.svg"\n[edge]\npath = "over"\nunder = "under"\nunder_lies = "apart"\ncloth = "left"\n[garment]\n'
        'opens = "front"\npieces = "separate"\nstate = "cut pieces"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "20 mm"\nlast = "20 mm"\ncount = 7\n'
        '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
    )
    answer = check_plan(read_plan(text.encode(), "h.toml"), {"h.svg": drawing})
    (told,) = [step.text for step in advice_of(answer).order.steps if step.key == "compare"]
    longer = answer.placement.marks[-1].under.along_mm - answer.placement.marks[0].under.along_mm - 560
    assert longer == pytest.approx(560 * 5 / 600, abs=0.01)
    assert "The under lap is longer by 4.7 mm from mark 1 to mark 7: ease that in evenly." in told


@pytest.mark.parametrize(
    ("kind", "size", "sides"),
    [
        # Sewn through the inner layers of the over lap alone: behind the outer cloth a strip would hold nothing there.
        ("sew-on snap", "3", {"over": "facing", "under": "outer cloth"}),
        ("covered snap", "18 mm", {"over": "facing", "under": "outer cloth"}),
        ("prong snap", "16 L", {"over": "outer cloth", "under": "outer cloth"}),
    ],
)
def test_backing_lies_on_the_layer_that_its_parts_are_sewn_to(kind: str, size: str, sides: dict[str, str]) -> None:
    asked = '[sheets]\nbacking = "as needed"\nbacking_cloth = "poplin"\n'
    jersey = '[[layer]]\ncloth = "merino jersey"\ncount = 2\n'
    answer = check_plan(read_plan(plan_text(kind, size, rest=jersey + asked).encode(), "cardigan.toml"))
    found = back_laps(answer.placement, answer.findings, load_catalogue())
    assert {one.lap: re.findall("wrong side of the (facing|outer cloth)", one.side)[0] for one in found} == sides
    text = next(step.text for step in advice_of(answer).order.steps if step.key == "back")
    assert ("against the wrong side of the facing" in text) == ("facing" in sides.values())
    held = [one.side for one in found if "facing, which" in one.side]
    assert all("which each part is sewn to" in side for side in held)


@pytest.mark.parametrize(
    ("strap", "worked"),
    [
        (
            '[belt]\nwaist = "760 mm"\nwidth = "40 mm"\nsettings = 3\ncaps = ["20 mm"]\n',
            "Work the buttonhole round; up to here it can be unpicked.",
        ),
        (
            '[row]\nlength = "300 mm"\nheight = "40 mm"\nover = ["15 mm"]\nunder = ["15 mm", "45 mm"]\n',
            "Work the buttonhole round; up to here it can be unpicked.",
        ),
        (
            '[belt]\nwaist = "760 mm"\nwidth = "40 mm"\nsettings = 3\ncaps = ["20 mm", "70.8 mm"]\n',
            "Work the buttonholes round; up to here they can be unpicked.",
        ),
    ],
    ids=["belt", "row", "two buttonholes"],
)
def test_one_buttonhole_that_goes_over_one_of_several_buttons_is_told_of_as_one(strap: str, worked: str) -> None:
    closure = '[closure]\nkind = "sew-through button"\nsize = "24 L"\n[[layer]]\ncloth = "linen"\ncount = 2\n'
    told = advice_of(check_plan(read_plan((strap + closure).encode(), "sash.toml")))
    assert worked in [step.text for step in told.order.steps]


# Small parts are a matter of articles for those under three: 16 CFR 1501.2, from memory.
@pytest.mark.parametrize(
    ("who", "is_told"),
    [
        ('[body]\nsex = "girl"\nage = "35 months"\n', True),
        ('[body]\nsex = "girl"\nage = "36 months"\n', False),
        ('[body]\nsex = "girl"\nage = "17 years"\n', False),
        ('[wearer]\nprofiles = ["child"]\n', True),
        ("", False),
    ],
    ids=["just under three", "three", "seventeen", "age not told", "not told to be a child"],
)
def test_small_parts_are_told_under_three_and_where_no_age_is_told(who: str, is_told: bool) -> None:
    said = words(advice("prong snap", closure='cap = "8 mm"', rest=who))
    assert ("small parts are tried" in said, "1501.3(d)" in said) == (is_told, is_told)
    assert ("product-safety law of the place" in said) is bool(who)
