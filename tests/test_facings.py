"""Bands and facings as their pages tell them: each piece of its own cloth, and the inner edge of a facing made in its place.

That a facing's raw inner edge is turned or neatened and held down before closures are marked, is common practice.
"""

from __future__ import annotations

import json
import re

import pypdfium2
import pytest

from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.registry import asked_for
from closures.jobs.table.backing import back_laps
from closures.plan.reading import read_plan

CATALOGUE = load_catalogue()
COAT = (
    'title = "Gorse coat"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[edge]\nstraight = "400 mm"\n[band]\n'
    'width = "60 mm"\nlap = "left over right"\n[bands]\nmade = "{made}"\nallowance = "10 mm"\n{bands}[closure]\n'
    'kind = "{kind}"\nsize = "{size}"\n{closure}[spacing]\nfirst = "40 mm"\nlast = "40 mm"\ncount = 4\n{layers}{more}'
)
MELTON = '[[layer]]\ncloth = "melton"\n[[layer]]\ncloth = "cotton poplin"\n'
BUTTON = ("shank button", "32 L")


def coat(
    layers: str = MELTON, bands: str = "", made: str = "two pieces", kind: tuple[str, str] = BUTTON, more: str = "",
    closure: str = "",
) -> str:  # fmt: skip
    return COAT.format(layers=layers, bands=bands, made=made, kind=kind[0], size=kind[1], more=more, closure=closure)


def answered(text: str) -> Answer:
    return place_plan(asked_for(read_plan(text.encode(), "coat.toml"), ("order",)))


def steps(text: str) -> dict[str, tuple[int, str, str]]:
    return {step.key: (step.n, step.text, step.done) for step in advice_of(answered(text)).order.steps}


@pytest.mark.parametrize(
    ("layers", "band", "facing"),
    [
        (MELTON, "melton", "cotton poplin"),
        ('[[layer]]\ncloth = "leather 3 oz"\n[[layer]]\ncloth = "cotton poplin"\n', "leather 3 oz", "cotton poplin"),
        ('[[layer]]\ncloth = "melton"\ncount = 2\n', "cloth", "cloth"),
    ],
)
def test_pieces_report_and_order_name_the_same_cloth_of_a_band_and_its_facing(layers: str, band: str, facing: str):
    made = result_files(answered(coat(layers)), "a4")
    report = made["report.md"].decode()
    pages = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"]))
    pages = " ".join(pages.split())
    for name, of in (("band", band), ("facing", facing)):
        assert re.search(rf"\| {name} \| over \| left \| 1 \| {of} \|", report)
        assert {one["of"] for one in json.loads(made["report.json"])["bands"] if one["piece"] == name} == {of}
        assert f"cut 1 of {of}" in pages
    assert f"on the right side of single {' or '.join(dict.fromkeys((band, facing)))}" in pages
    told = steps(coat(layers))
    assert (f"Sew each band of {band}, cut by its own piece" in told["bands on"][1]) is (band != facing)
    assert (f"the band of {band}, the facing of {facing}" in told["edge"][1]) is (band != facing)


def test_laps_of_unlike_cloth_are_told_apart():
    own = '[[layer]]\ncloth = "melton"\non = "{}"\n[[layer]]\ncloth = "{}"\non = "{}"\n'
    told = steps(coat(own.format("over", "cotton poplin", "over") + own.format("under", "linen", "under")))
    assert "each band of its own cloth" in told["bands on"][1]
    assert "on the over lap the band of melton, the facing of cotton poplin; on the under lap" in told["edge"][1]


@pytest.mark.parametrize(
    ("text", "begins", "after"),
    [
        (coat(), "Neaten the inner edge of each facing flat", "edge"),
        (
            coat(bands='turn = "8 mm"\nturn_cloth = "cotton poplin"\n'),
            "Turn 8 mm under along the inner edge of each facing, and tack the turn",
            "edge",
        ),
        (coat('[[layer]]\ncloth = "leather 3 oz"\ncount = 2\n'), "Leave the inner edge of each facing as it is", "edge"),
        (
            coat('[[layer]]\ncloth = "waxed cotton"\ncount = 2\n', bands='turn = "8 mm"\nturn_cloth = "waxed cotton"\n'),
            "Turn 8 mm under along the inner edge of each facing, and hold the turn with clips",
            "edge",
        ),
    ],
    ids=["flat", "turned", "leather", "coated"],
)  # fmt: skip
def test_inner_edge_of_a_facing_is_made_and_held_down_before_anything_is_marked(text: str, begins: str, after: str):
    told = steps(text)
    n, words, done = told["facing down"]
    assert words.startswith(begins) and "sew it down there" in words
    assert "seam of its band" in done and "nothing puckers" in done
    marked = min(told[key][0] for key in told if key.startswith("mark"))
    assert told[after][0] < n < marked


def test_facing_of_a_band_that_stays_open_for_parts_is_sewn_down_once_they_are_in():
    told = steps(coat(kind=("magnetic snap", "14 mm"), more='[wearer]\nimplants = "none"\n'))
    assert told["facing down"][1].endswith("It is sewn down once the parts are in.")
    assert told["facing down"][0] < told["close over magnets"][0]
    assert "sew it down there" not in told["facing down"][1]


@pytest.mark.parametrize("cloth", ["cotton poplin", "satin", "leather 2 oz"])
@pytest.mark.parametrize("kind", [("loop and button", "18 L"), ("hook and eye", "2"), ("eyelet", "5.5 mm")])
def test_facing_of_edges_that_meet_is_sewn_down_after_either_edge_is_faced(kind: tuple[str, str], cloth: str):
    """Nothing is sewn down over a seam that is still to be sewn, and the stop stands after trial and measuring."""
    text = re.sub(
        r"\[bands\].*?(?=\[closure\])", "", coat(f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n', kind=kind), flags=re.S
    )
    text = text.replace('opens = "front"', 'opens = "front"\nedges = "meeting"')
    order = advice_of(place_plan(asked_for(read_plan(text.encode(), "coat.toml"), ("order", "bands")))).order
    at = {step.key: step.n for step in order.steps}
    looped = kind[0].startswith("loop")
    down = at["facing down past loops" if looped else "facing down"]
    edges = ("edge of the buttons", "set first") if looped else ("edge that meets",)
    assert {key for key in at if key.startswith("facing down")} == {
        "facing down past loops" if looped else "facing down"
    }
    assert max(at[key] for key in ("bands on", *edges)) < down < at["set second"]
    if order.stop_before is not None and cloth != "cotton poplin":
        assert max(at.get("trial", 0), at.get("trial sewn", 0)) < order.stop_before
        assert re.search("Go on when (what failed in the checks is mended, )?the trial piece holds", order.stop)


@pytest.mark.parametrize(
    ("bands", "begins"),
    [
        ("", "Neaten the inner edge of each band's inner half flat, overcast or bound"),
        (
            'turn = "8 mm"\nturn_cloth = "oxford"\n',
            "Turn 8 mm under along the inner edge of each band's inner half, and tack the turn",
        ),
    ],
)
def test_inner_half_of_a_folded_band_is_made_and_sewn_down_as_a_facing_is(bands: str, begins: str):
    layers = '[[layer]]\ncloth = "oxford"\ncount = 2\n'
    text = coat(layers, bands, made="folded", kind=("sew-through button", "18 L"))
    told = steps(text)
    assert told["facing down"][1].startswith(begins) and "sew it down there" in told["facing down"][1]
    assert told["edge"][0] < told["facing down"][0] < told["mark buttonholes"][0]
    # It is sewn down once its inner edge is made, and not as the band is folded.
    assert "sew" not in told["edge"][1]
    pages = pypdfium2.PdfDocument(result_files(answered(text), "a4")["marking.pdf"])
    words = " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())
    assert ("under at the inner edge of its inner half; it is counted in the stack" in words) is bool(bands)


def test_inner_half_of_a_folded_band_is_told_flat_where_its_seam_is_trimmed():
    layers = '[[layer]]\ncloth = "oxford"\ncount = 2\n'
    text = coat(layers, made="folded", kind=("prong snap", "16 L")).replace("60 mm", "24 mm", 1)
    told = steps(text)
    # Mid-band, a rim of 5.1 mm and 3 mm more: of 12 mm 3.5 are clear, in steps of half a millimetre.
    assert "trim the allowances of that seam to 3.5 mm" in told["bands on"][1]
    assert "to turn it under would lay one layer more there" in told["facing down"][1]


def test_bedding_with_bands_to_cut_is_told_of_those_and_not_of_a_hem():
    text = coat('[[layer]]\ncloth = "oxford"\ncount = 2\n', kind=("sew-through button", "18 L"))
    text = text.replace('opens = "front"', 'opens = "flat"').replace("left over right", "upper over lower")
    told = steps(text.replace('straight = "400 mm"', 'straight = "400 mm"\ncloth = "left"'))
    assert "Sew band and facing" in told["edge"][1] and "edge of bedding" not in told


def test_backing_of_a_folded_band_lies_under_its_inner_half_and_under_no_facing():
    layers = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
    sheets = '[sheets]\nbacking = "strip"\n'
    for made, inner in (("folded", "the half that is folded within"), ("two pieces", "the facing")):
        text = coat(layers, made=made, kind=("plastic snap", "20"), more=sheets)
        report = result_files(answered(text), "a4")["report.md"].decode()
        assert f"against the wrong side of the outer cloth, under {inner};" in report


def test_order_lays_backing_on_those_laps_alone_that_pieces_are_cut_for():
    leather = '[[layer]]\ncloth = "leather 3 oz"\n[[layer]]\ncloth = "cotton poplin"\n'
    more = '[sheets]\nbacking = "as needed"\n[wearer]\nimplants = "none"\n'
    text = coat(leather, bands="interfacing = 0\n", kind=("magnetic snap", "14 mm"), more=more)
    answer = answered(text)
    assert [one.lap for one in back_laps(answer.placement, answer.findings, CATALOGUE)] == ["over"]
    told = steps(text)["back"][1]
    assert "strips or patches for the over lap, against the wrong side of the facing" in told
    assert "under lap" not in told


STRAP = (
    'title = "Puddle bib"\n[row]\npiece = "cuff"\n{pair}length = "230 mm"\nheight = "60 mm"\nover = ["16 mm"]\n'
    'under = ["16 mm"]\nends = "square"\nallowance = "6 mm"\n[closure]\nkind = "sew-on snap"\nsize = "1"\n{layers}'
)


@pytest.mark.parametrize(("pair", "each"), [("", 1), ("pair = true\n", 2)])
def test_strap_of_two_cloths_is_cut_of_one_of_each_on_cover_order_and_report(pair: str, each: int):
    told = f"{each} of quilting cotton, to lie outside, and {each} of French terry, to lie inside"
    two = '[[layer]]\ncloth = "quilting cotton"\n[[layer]]\ncloth = "french terry"\n'
    answer = answered(STRAP.format(pair=pair, layers=two))
    made = result_files(answer, "a4")
    pages = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"]))
    assert told in " ".join(pages.split()) and told in made["report.md"].decode()
    assert told in next(step.text for step in advice_of(answer).order.steps if step.key == "cut out the strap")
    alike = answered(STRAP.format(pair=pair, layers='[[layer]]\ncloth = "quilting cotton"\ncount = 2\n'))
    assert "to lie outside" not in result_files(alike, "a4")["report.md"].decode()


@pytest.mark.parametrize(("inner", "is_glued"), [("satin", True), ("cotton poplin", True), ("leather 1 oz", False)])
def test_cloth_behind_leather_is_glued_at_slits_before_its_facing_is_sewn_down(inner: str, is_glued: bool):
    """Closed in on every side, no glue reaches the slit any more (common practice)."""
    text = (
        'title = "Bramble coat"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[edge]\nstraight = "520 mm"\n[band]\n'
        'width = "44 mm"\nlap = "right over left"\n[closure]\nkind = "shank button"\nsize = "28 L"\nthickness = "6 mm"\n'
        f'[[layer]]\ncloth = "leather 2 oz"\n[[layer]]\ncloth = "{inner}"\n[bands]\nallowance = "10 mm"\n'
    )
    steps_told = [(step.key, step.text) for step in advice_of(answered(text)).order.steps]
    told = dict(steps_told)
    glued, _, sewn = told["facing down"].partition("sew it down there")
    assert ("Glue the cloth behind the leather to it there, 5 mm round each slit" in glued) is is_glued and sewn
    assert "Glue the cloth" not in told["work buttonholes"]
    assert ("Keep the box within what is glued" in told["work buttonholes"]) is is_glued
    keys = [key for key, _ in steps_told]
    assert keys.index("facing down") < keys.index("work buttonholes")
