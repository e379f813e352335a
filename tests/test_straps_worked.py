"""What the order of work says of straps: each end marked from its own sheet, each half right when its own signs say so.

All of it is common practice.
"""

from __future__ import annotations

import io
import re

import pdfplumber
import pytest

from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.errors import EdgeError
from closures.plan.reading import read_plan
from closures.report.strap import strap_words

ROW = (
    '[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\nover = ["12 mm"]\nunder = ["12 mm", "30 mm"]\n'
    'lap = "front over back"\n'
)
BELT = '[belt]\nwaist = "720 mm"\nwidth = "40 mm"\nlap = "right over left"\nsettings = 3\n'
BUTTONS = [("sew-through button", "18 L"), ("shank button", "18 L"), ("ball button", "20 L"), ("tack button", "27 L")]


def steps(strap: str, kind: str, size: str, cloth: str = "denim 10 oz") -> dict[str, tuple[str, str]]:
    text = f'{strap}[closure]\nkind = "{kind}"\nsize = "{size}"\n[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    order = advice_of(check_plan(read_plan(text.encode(), "strap.toml"))).order
    return {step.key: (step.text, step.done) for step in order.steps}


@pytest.mark.parametrize("cloth", ["denim 10 oz", "leather 3 oz", "waxed cotton", "velvet"])
@pytest.mark.parametrize(("kind", "size"), BUTTONS)
@pytest.mark.parametrize("strap", [ROW, BELT], ids=["row", "belt"])
def test_end_with_the_buttons_is_marked_from_its_own_sheet_before_the_ends_are_compared(
    strap: str, kind: str, size: str, cloth: str
) -> None:
    told = steps(strap, kind, size, cloth)
    keys = list(told)
    assert told["mark second end"][0].startswith("Lay the sheet of the under end to the tip that it names. At mark")
    order = [keys.index(key) for key in ("mark buttonholes", "mark second end", "compare settings", "set second")]
    assert order == sorted(order)


@pytest.mark.parametrize(("kind", "size"), [("prong snap", "16 L"), ("hook and bar", "one size"), ("sew-on snap", "3")])
@pytest.mark.parametrize("strap", [ROW, BELT], ids=["row", "belt"])
def test_both_ends_of_other_kinds_are_marked_at_once(strap: str, kind: str, size: str) -> None:
    told = steps(strap, kind, size)
    assert "mark second end" not in told and "of the under end and" in told["mark ends"][0]


@pytest.mark.parametrize("strap", [ROW, BELT], ids=["row", "belt"])
def test_hooks_are_looked_at_as_hooks_and_bars_as_bars(strap: str) -> None:
    told = steps(strap, "hook and bar", "one size")
    for text, done in (told["set first"], told["set second"]):
        is_hook = text.startswith("Sew the hook")
        assert ("its end does not show past the edge" in done) == is_hook and "takes its hook" not in done


@pytest.mark.parametrize("strap", [ROW, BELT], ids=["row", "belt"])
def test_eyelets_close_no_strap(strap: str) -> None:
    with pytest.raises(EdgeError, match="nothing here closes the one on the other"):
        steps(strap, "eyelet", "4 mm")


@pytest.mark.parametrize(
    ("count", "told"),
    [(1, ", the piece that will lie outside of what is fused, and its facing of"), (2, " of what is fused")],
)
def test_as_many_pieces_are_cut_of_what_is_fused_as_the_plan_tells(count: int, told: str) -> None:
    more = f'[[layer]]\ncloth = "medium fusible"\ncount = {count}\n'
    text = f'{ROW}[closure]\nkind = "prong snap"\nsize = "16 L"\n[[layer]]\ncloth = "wool flannel"\ncount = 2\n{more}'
    order = advice_of(check_plan(read_plan(text.encode(), "strap.toml"))).order
    assert f"Cut the cuff out{told}" in {step.key: step.text for step in order.steps}["cut out the strap"]


FOLDED = """
title = "Tansy {piece}"
[row]
piece = "{piece}"
length = "300 mm"
height = "40 mm"
lap = "left over right"
{made}
[closure]
kind = "{kind}"
size = "{size}"
[[layer]]
cloth = "{cloth}"
{more}
[sheets]
order = true
"""


def _order(**told: str) -> str:
    usual = {
        "piece": "waistband",
        "made": "",
        "kind": "tack button",
        "size": "27 L",
        "cloth": "denim 12 oz",
        "more": "count = 2",
    }
    order = advice_of(check_plan(read_plan(FOLDED.format(**(usual | told)).encode(), "strap.toml"))).order
    return " ".join(f"{step.text} {step.done}" for step in order.steps)


@pytest.mark.parametrize(("fusibles", "is_half"), [(1, True), (2, False)])
def test_half_of_what_is_folded_is_fused_where_its_stack_holds_one_interfacing(fusibles: int, is_half: bool) -> None:
    # Fused all over it would lie twice in the fold: geometry.
    more = f'count = 2\n[[layer]]\ncloth = "woven fusible"\ncount = {fusibles}'
    text = _order(made='made = "folded"', more=more)
    assert ("with the fold at the border of what is fused" in text) == is_half
    assert ("one half of a block of the cloth" in text) == is_half
    assert "Inside its allowance it measures 300 mm by 80 mm, and folded lengthwise 40 mm." in text


# How a band, a cuff or a collar is joined to its garment: common practice.
@pytest.mark.parametrize(
    ("told", "joined"),
    [
        ({}, ", the garment's upper edge taken in between its layers"),
        ({"piece": "cuff"}, ", the sleeve's lower edge taken in between its layers"),
        ({"piece": "collar"}, ", the garment's neck edge taken in between its layers"),
        (
            {"kind": "leather post snap", "size": "24 L", "cloth": "leather 4 oz", "more": ""},
            "Lay the waistband over the garment's upper edge, stitch it down there, and finish its edges",
        ),
    ],
)
def test_what_is_worn_on_a_garment_is_joined_to_it(told: dict[str, str], joined: str) -> None:
    text = _order(**told)
    assert joined in text
    assert ("through the one layer of the over end, with thread of its colour" in text) == ("stitch it down" in joined)


def test_folded_cuff_takes_its_sleeve_in_across_from_its_fold() -> None:
    cuff = _order(piece="cuff", made='made = "folded"')
    assert "the sleeve's lower edge taken in between its layers along its upper edge, across from the fold" in cuff
    band = _order(made='made = "folded"')
    assert "the garment's upper edge taken in between its layers along its lower edge, across from the fold" in band
    assert "across from the fold" not in _order(piece="cuff")


def test_folded_leather_is_cut_twice_as_wide_and_folded() -> None:
    text = _order(made='made = "folded"', kind="leather post snap", size="24 L", cloth="leather 2 oz", more="count = 2")
    assert "Fold the waistband lengthwise and join its halves" in text
    assert "It measures 300 mm by 80 mm, and folded lengthwise 40 mm." in text


def test_layers_of_leather_are_glued_stitched_and_dry_before_they_are_punched() -> None:
    """Glue first, a row of stitches 3 mm from the edge, and no hole through wet glue: common practice."""
    joined = ": glue them, with a glue that its pack names for leather, and stitch them all round, 3 mm from the edge."
    leather = {"kind": "leather post snap", "size": "24 L", "cloth": "leather 2 oz"}
    text = _order(**leather, more="count = 2")
    assert f"Join the layers of the waistband, the garment's upper edge taken in between its layers{joined}" in text
    assert text.index("Let the glue dry before anything is punched") < text.index("Finish its edges")
    assert "glue them" not in _order() and "glue them" not in _order(**leather, more="")


@pytest.mark.parametrize("cloth", ["jersey", "poplin", "leather 3 oz"])
def test_strap_of_one_layer_is_cut_before_it_is_backed_and_finished(cloth: str) -> None:
    # What is backed before it is cut is backed where nobody knows yet where its closures come.
    text = (
        '[row]\npiece = "cuff"\npair = true\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\n'
        'under = ["13 mm", "33 mm"]\nmade = "one layer"\n[closure]\nkind = "prong snap"\nsize = "15 L"\n'
        f'[[layer]]\ncloth = "{cloth}"\n'
    )
    steps = {step.key: step.text for step in advice_of(check_plan(read_plan(text.encode(), "c.toml"))).order.steps}
    order = list(steps)
    assert "join" not in steps["cut the strap"] and steps["finish the strap"].startswith(
        "Lay each cuff over its sleeve"
    )
    assert "each over each" not in " ".join(steps.values())
    assert order.index("cut the strap") < order.index("finish the strap") < order.index("mark ends")
    if cloth.startswith("leather"):
        assert "back with strip" not in steps
        return
    assert order.index("cut the strap") < order.index("back with strip") < order.index("finish the strap")
    assert "on the wrong side of the one layer" in steps["back with strip"]


@pytest.mark.parametrize(
    ("inner", "held"),
    [
        # An iron flattens pile for good, and a needle marks it; padded cloth is flattened too: common practice.
        ("cotton velvet", "and hold the turn with clips, "),
        ("corduroy", "and hold the turn with clips, "),
        ("quilted cotton", "and tack the turn, "),
        ("cotton poplin", "and press it, "),
        ("silk charmeuse", "and press it with a dry iron under a press cloth, "),
        ("wool suiting", "and press it under a damp cloth, "),
    ],
)
def test_the_turn_of_a_lining_is_held_as_the_lining_bears(inner: str, held: str) -> None:
    text = (
        '[row]\npiece = "cuff"\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "33 mm"]\n'
        '[closure]\nkind = "leather post snap"\nsize = "20 L"\n[[layer]]\ncloth = "leather 3 oz"\n'
        f'[[layer]]\ncloth = "{inner}"\n'
    )
    steps = {step.key: step.text for step in advice_of(check_plan(read_plan(text.encode(), "c.toml"))).order.steps}
    # What nobody told of the allowance is taken as 10 mm, which the step trims at the tips, under a part.
    assert re.search(rf"{held}(the allowances trimmed to [^,]+ at the tips, )?and lay it", steps["finish the strap"])


@pytest.mark.parametrize(
    ("inner", "is_turned"),
    [("satin", True), ("cotton poplin", True), ("leather 2 oz", False), ("felt", False)],
)
def test_the_lining_of_a_leather_strap_is_turned_under_where_it_frays(inner: str, is_turned: bool) -> None:
    # Leather is cut to its outline; woven cloth frays there: common practice.
    text = (
        '[row]\npiece = "cuff"\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm", "33 mm"]\n'
        '[closure]\nkind = "post snap"\nsize = "20 L"\n[[layer]]\ncloth = "leather 3 oz"\n'
        f'[[layer]]\ncloth = "{inner}"\n[sheets]\norder = true\n'
    )
    answer = place_plan(read_plan(text.encode(), "c.toml"))
    steps = {step.key: step.text for step in advice_of(answer).order.steps}
    words = f"the leather alone, and the lining of {inner}, with your own seam allowance on every side, to turn under"
    assert (words in steps["cut the strap"]) == is_turned
    assert ("Turn the allowance of the lining under" in steps["finish the strap"]) == is_turned
    files = result_files(answer, "a4")
    assert ("1 of the leather" in files["report.md"].decode()) == is_turned
    assert ("1 of the lining" in files["report.md"].decode()) == is_turned
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pdf:
        printed = " ".join(" ".join(page.extract_text() or "" for page in pdf.pages).split())
    assert ("leather: cut 1" in printed) == is_turned


@pytest.mark.parametrize("state", ["sewn band", "finished"])
def test_nothing_is_cut_of_a_cuff_that_is_made_already(state: str) -> None:
    text = (
        '[row]\npiece = "cuff"\npair = true\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\n'
        'under = ["13 mm", "33 mm"]\nallowance = "10 mm"\n[closure]\nkind = "prong snap"\nsize = "15 L"\n'
        f'[garment]\nstate = "{state}"\n[[layer]]\ncloth = "poplin"\ncount = 2\n[sheets]\norder = true\n'
    )
    answer = place_plan(read_plan(text.encode(), "c.toml"))
    files = result_files(answer, "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pdf:
        printed = " ".join(" ".join(page.extract_text() or "" for page in pdf.pages).split())
    pages = (files["report.md"].decode(), printed, strap_words(answer.placement))
    assert all(not re.search(r"(?<!not )cut \d|Cut:\*\* \d|add yours|seam allowance", words) for words in pages)
    assert "made already" in pages[0] and "nothing is cut" in pages[1]


@pytest.mark.parametrize(
    ("made", "fusibles", "told"),
    [
        ("two pieces", 0, ""),
        ("two pieces", 1, "interfacing behind the one that will lie outside, none behind its facing"),
        ("two pieces", 2, "interfacing behind every piece"),
        ("folded", 1, "interfacing behind the half that will lie outside, up to the fold"),
        ("one layer", 1, "interfacing behind all of it"),
    ],
)
def test_the_cover_says_which_of_the_pieces_is_fused(made: str, fusibles: int, told: str) -> None:
    # The side that lies outside is stiffened: common practice.
    fused = f'[[layer]]\ncloth = "light fusible"\ncount = {fusibles}\n' if fusibles else ""
    text = (
        '[row]\npiece = "bib"\nlength = "250 mm"\nheight = "65 mm"\nover = ["13 mm"]\nunder = ["13 mm"]\n'
        f'made = "{made}"\nallowance = "10 mm"\n[closure]\nkind = "prong snap"\nsize = "15 L"\n[[layer]]\n'
        f'cloth = "poplin"\ncount = {1 if made == "one layer" else 2}\n{fused}'
    )
    files = result_files(place_plan(read_plan(text.encode(), "c.toml")), "a4")
    with pdfplumber.open(io.BytesIO(files["marking.pdf"])) as pdf:
        printed = " ".join(" ".join(page.extract_text(layout=False) or "" for page in pdf.pages).split())
    report = files["report.md"].decode()
    assert told in report and ("interfacing behind" in report) == bool(told)
    assert ("interfacing behind" in printed) == bool(told)


@pytest.mark.parametrize("size", ["S", "M", "L"])
def test_belt_in_sizes_is_cut_by_every_size_and_what_is_of_one_says_so(size: str) -> None:
    """The finished lengths are those of the sizes' own table; three carriers stand at quarters of each way round."""
    belt = '[belt]\nsizes = { S = "650 mm", M = "700 mm", L = "800 mm" }\nwidth = "40 mm"\nlap = "right over left"\n'
    text = f'{belt}settings = 3\ncarriers = 3\n[closure]\nkind = "leather post snap"\nsize = "24 L long"\n'
    placed = place_plan(read_plan(f'{text}[[layer]]\ncloth = "leather 9 oz"\n'.encode(), "belt.toml"))
    strap = placed.placement.strap
    assert strap is not None and strap.in_size == " in size M"
    own = next(one.finished_mm for one in strap.sizes if one.name == size)
    told = {step.key: (step.text, step.done) for step in advice_of(placed).order.steps}
    assert f"{own:.1f}".removesuffix(".0") + f" mm ({size})" in told["cut the strap"][1]
    assert "175 mm, 350 mm and 525 mm in size M; in every other size, one after the other 1/4 of the way round" in next(
        text for text, _ in told.values() if "carriers" in text
    )
    assert "Finished in size M " in strap_words(placed.placement)
