"""What pages say fits the garment at hand: no layer that it has not, no stitch where nothing is sewn, no pin in coats.

How such cloth is held, marked and cut is common practice.
"""

from __future__ import annotations

import pypdfium2
import pytest

from closures.advice.piece_cloths import cloth_of_piece, lie_behind, two_cloths
from closures.app.job import Answer, advice_of, place_plan
from closures.app.sizing import place_sizes, size_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.stack_picture import thickest
from closures.jobs.table.bands import band_pieces
from closures.placing.layers_between import as_they_lie
from closures.plan.reading import read_plan

_FRONT = (
    'title = "Sundial jacket"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[edge]\nstraight = "500 mm"\n[band]\n'
    'width = "50 mm"\nlap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n[spacing]\n'
    'first = "30 mm"\nlast = "50 mm"\ncount = 5\n{more}'
)


def front(kind: str, size: str, more: str) -> Answer:
    return place_plan(read_plan(_FRONT.format(kind=kind, size=size, more=more).encode(), "front.toml"))


_SIZES = (
    'title = "Ferry shirt"\nunits = "in"\n[edge]\nstraight = "24 in"\n[garment]\nopens = "front"\n'
    'state = "cut pieces"\n[band]\nwidth = "1 1/4 in"\nlap = "right over left"\n[closure]\n'
    'kind = "sew-through button"\nsize = "20 L"\n[spacing]\nfirst = "1 in"\nlast = "3 in"\npitch = "3 1/4 in"\n'
    '[[differs]]\nat = "last"\nkind = "prong snap"\nsize = "16 L"\n[[layer]]\ncloth = "chambray"\ncount = 2\n'
    '[shrinkage]\nalong = "{loss} %"\nmeasured = "unwashed"\n[sizes]\nnames = ["8", "10", "12"]\nbase = "10"\n'
    'grade = [[0, 0], [0, "{step} in"]]\nhold = "{hold}"\n'
)


def sizes_of(step: float, hold: str) -> dict[str, bytes]:
    plan = read_plan(_SIZES.format(loss=1, step=step, hold=hold).encode(), "sizes.toml")
    return size_files(place_sizes(plan), "a4")


def steps(answer: Answer) -> dict[str, str]:
    return {step.key: step.text for step in advice_of(answer).order.steps}


def cautions(answer: Answer) -> str:
    return " ".join(advice_of(answer).cautions)


def cloth(name: str, count: int = 2) -> str:
    return f'[[layer]]\ncloth = "{name}"\ncount = {count}\n'


def test_pin_at_a_slit_goes_through_stitches_only_where_the_slit_has_some():
    magnets = cautions(front("magnetic snap", "18 mm", '[wearer]\nimplants = "none"\n' + cloth("wool suiting")))
    assert "put a pin across the end of a slit, so that" in magnets and "stitches" not in magnets
    assert "a pin across the end of a slit, within its stitches" in cautions(
        front("sew-through button", "24 L", cloth("poplin"))
    )


@pytest.mark.parametrize(("outside", "is_clipped"), [("oilcloth", True), ("quilting cotton", False)])
def test_strap_of_coated_cloth_is_held_by_clips_till_it_is_sewn(outside: str, is_clipped: bool):
    text = (
        'title = "Kettle strap"\n[row]\nlength = "300 mm"\nheight = "32 mm"\nover = ["16 mm"]\nunder = ["16 mm"]\n'
        'allowance = "6 mm"\n[closure]\nkind = "plastic snap"\nsize = "20"\n'
    )
    text += cloth(outside, 1) + cloth("quilting cotton", 1)
    told = steps(place_plan(read_plan(text.encode(), "strap.toml")))["make the strap"]
    assert ("(held by clips: a pin's hole stays)" in told) == is_clipped


def test_hidden_button_is_sewn_through_no_layer_that_nobody_told():
    hidden = '[[single]]\nkind = "sew-through button"\nsize = "20 L"\nlevel = "30 mm"\ninset = "38 mm"\nhidden = true\n'
    told = " ".join(steps(front("sew-through button", "24 L", hidden + cloth("poplin"))).values())
    assert "through the inner layers alone: no stitch comes through" in told
    assert "interlining" not in told and "interfacing" not in told


@pytest.mark.parametrize(
    ("inside", "way", "is_within"),
    [
        ("cotton velvet", "one loose stitch", True),
        ("satin", "one loose stitch", True),
        ("imitation leather", "paper tape", True),
        ("jersey", "one loose stitch", True),
        ("poplin", "with a pin", False),
    ],
)
def test_snap_that_is_sewn_within_is_marked_on_the_face_it_lies_on_as_that_cloth_bears(
    inside: str, way: str, is_within: bool
):
    answer = front("sew-on snap", "2/0", cloth("linen", 1) + cloth(inside, 1))
    told = steps(answer)["mark"]
    assert way in told and ("lay its sheet, inside face up" in told) == is_within
    # Linen closes over a needle: nothing of a stitch would stay to be seen outside.
    assert "come through to the outside" not in told and "no deeper" not in told
    # The other half lies on the outside of the under lap, and its mark goes through the linen alone.
    assert ("Go no deeper than the cloth outside, linen" in " ".join(advice_of(answer).marking)) == is_within


def test_mark_that_differs_alike_in_every_size_is_told_once():
    told = sizes_of(0.25, "count")["report.md"].decode()
    assert told.count("mark 7: prong snap 16 L") == 1 and "- Every size, mark 7: prong snap 16 L" in told
    told = sizes_of(2.0, "pitch")["report.md"].decode()
    # 18, 20 and 22 in between the end marks, in steps of 3 1/4 in as near as can be: 6, 6 and 7 gaps.
    assert "- Sizes 8 and 10, mark 7: prong snap 16 L" in told and "- Size 12, mark 8: prong snap 16 L" in told


def test_guide_of_a_plan_in_inches_tells_inches_first():
    document = pypdfium2.PdfDocument(sizes_of(0.25, "pitch")["guide.pdf"])
    words = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    assert words.index("to each mark, inches") < words.index("to each mark, mm")
    assert "the gap, 3 1/4 in (82.6 mm)" in words


def test_buttonhole_that_comes_out_as_long_once_washed_is_told_once():
    text = _SIZES.partition("[sizes]")[0]
    one = advice_of(place_plan(read_plan(text.format(loss=1).encode(), "one.toml"))).order.steps
    done = next(step.done for step in one if "Each slit is" in step.done)
    assert "once washed" not in done
    much = advice_of(place_plan(read_plan(text.format(loss=8).encode(), "one.toml"))).order.steps
    assert any("once washed" in step.done for step in much)


BANDS = '[bands]\nallowance = "8 mm"\n'


@pytest.mark.parametrize(
    ("layers", "facing"),
    [
        (cloth("crepe de chine") + cloth("organza", 1), None),
        (cloth("crepe de chine", 1) + cloth("organza", 1) + cloth("crepe de chine", 1), None),
        (cloth("crepe de chine", 1) + cloth("organza", 1) + cloth("silk habotai", 1), "silk habotai"),
    ],
    ids=["told last", "told between", "of two cloths"],
)
def test_organza_between_band_and_facing_is_sewn_in_and_no_facing(layers: str, facing: str | None):
    answer = front("sew-through button", "16 L", BANDS + layers)
    told = steps(answer)
    assert told["lay in"].startswith("The interfacing of organza is not fused")
    assert not any("Fuse the interfacing" in text or "the facing of organza" in text for text in told.values())
    assert [key for key in told if key.startswith("fuse")] == []
    two = two_cloths(answer.placement, "over", load_catalogue())
    assert (None if two is None else two[1].name) == facing


def test_interfacing_that_is_a_fusible_is_fused():
    told = steps(front("sew-through button", "16 L", BANDS + cloth("poplin") + cloth("light fusible", 1)))
    assert "fuse" in told and "lay in" not in told


def test_buttonhole_that_is_worked_beside_bound_ones_is_not_called_bound():
    hidden = '[[single]]\nkind = "sew-through button"\nsize = "20 L"\nlevel = "60 mm"\ninset = "38 mm"\nhidden = true\n'
    text = _FRONT.format(kind="sew-through button", size="28 L", more=hidden + cloth("wool coating"))
    text = text.replace('size = "28 L"\n', 'size = "28 L"\nbound = true\nhole = "across"\n')
    advice = advice_of(place_plan(read_plan(text.encode(), "coat.toml")))
    marked = next(step.text for step in advice.order.steps if "Lay the sheet of the under lap" in step.text)
    assert "so that all marks of the row are alike" in marked and "bound" not in marked
    assert all("bound" not in line for line in advice.marking if line.startswith("Mark 6"))
    assert any("a bound buttonhole is worked from both faces" in line for line in advice.marking)


@pytest.mark.parametrize(
    ("layers", "cut", "facing"),
    [
        (cloth("coutil", 1) + cloth("coutil", 1) + cloth("cotton sateen", 1), "coutil", "cotton sateen"),
        (cloth("cotton velvet", 1) + cloth("canvas 10 oz", 1) + cloth("calico", 1), "canvas 10 oz", "calico"),
        (cloth("coutil") + cloth("cotton sateen", 1), "cotton sateen", "cloth"),
        (cloth("coutil") + cloth("light fusible", 1), "", "cloth"),
    ],
    ids=["alike, told one by one", "three cloths", "told last", "a fusible"],
)
def test_cloth_that_is_sewn_in_is_cut_by_its_own_name_and_told(layers: str, cut: str, facing: str):
    """Three plies lie as they are told one by one; else the odd one lies between two that are alike: our own rule."""
    answer = front("sew-through button", "16 L", BANDS + layers)
    band, other = (one for one in band_pieces(answer.placement) if one.lap == "over")
    behind = f"1 of {cut} to sew in" if cut else "1 of interfacing"
    assert lie_behind(answer.placement, band, load_catalogue()) == (behind,)
    assert lie_behind(answer.placement, other, load_catalogue()) == ()
    assert cloth_of_piece(answer.placement, other, load_catalogue()) == facing
    told = [line for line in answer.placement.assumed if "is sewn in between the band and its facing" in line]
    assert [line.lower().startswith(f"{cut} is sewn in") for line in told] == ([True] if cut else [])


def test_cloth_that_is_sewn_in_lies_between_in_every_word_and_picture():
    """The plan tells it last; band and facing lie on either side of it, and nobody sees what a pin does to it."""
    layers = cloth("wool flannel") + cloth("satin", 1)
    answer = front("sew-on snap", "3", BANDS + layers)
    stack = thickest(answer.placement, "over")
    assert stack is not None
    lying = [(one.plies, one.name) for one in as_they_lie(stack.layers, answer.placement, "over")]
    assert lying == [(1, "wool flannel"), (1, "satin"), (1, "wool flannel")]
    advice = advice_of(answer)
    words = " ".join([*advice.marking, *(step.text for step in advice.order.steps)])
    assert "lay in" in steps(answer) and "no deeper" not in words and "loose stitch" not in words
    # Told ply by ply with satin as the facing, it is seen, and its pricks with it.
    seen = front("sew-on snap", "3", BANDS + cloth("wool flannel", 1) + cloth("canvas 10 oz", 1) + cloth("satin", 1))
    told = advice_of(seen)
    assert "satin" in " ".join([*told.marking, *(step.text for step in told.order.steps)])
    assert "loose stitch" in " ".join(told.marking)


def test_cloth_that_is_told_last_of_a_finished_garment_lies_there():
    layers = cloth("wool flannel") + cloth("satin", 1)
    text = _FRONT.format(kind="sew-on snap", size="3", more=layers).replace("cut pieces", "finished")
    placement = place_plan(read_plan(text.encode(), "front.toml")).placement
    stack = thickest(placement, "over")
    assert stack is not None
    assert [one.name for one in as_they_lie(stack.layers, placement, "over")] == ["wool flannel", "satin"]
    assert not any("sewn in" in line for line in placement.assumed)


def test_taken_layer_is_told_without_bands_to_cut_and_both_laps_keep_their_own():
    layers = cloth("wool flannel") + cloth("satin", 1) + 'on = "over"\n'
    placement = front("sew-on snap", "3", layers).placement
    assert [line for line in placement.assumed if line.startswith("Satin is sewn in between")]
    laps = {lap: thickest(placement, lap) for lap in ("over", "under")}
    told = {lap: [(one.plies, one.name) for one in stack.layers] for lap, stack in laps.items() if stack is not None}
    assert told["over"] == [(1, "wool flannel"), (1, "satin"), (1, "wool flannel")]
    assert told["under"] == [(2, "wool flannel")]


def test_interfacing_that_no_layer_tells_is_fused_beside_cloth_that_is_sewn_in():
    """The under lap has two cloths and no third: what is cut for it by interfacing = 1 is no canvas, and no seam has it."""
    layers = cloth("poplin", 1) + 'on = "over"\n' + cloth("canvas 10 oz", 1) + cloth("calico", 1)
    answer = front("sew-on snap", "3", BANDS + "interfacing = 1\n" + layers)
    told = steps(answer)
    assert told["fuse"].startswith("The under lap's band: Fuse the interfacing to the wrong side")
    assert told["lay in"].startswith("The interfacing of canvas 10 oz is not fused")
    both = steps(front("sew-on snap", "3", BANDS + cloth("poplin") + cloth("organza", 1) + cloth("light fusible", 1)))
    assert "the other interfacing" in both["fuse"] and both["lay in"].startswith("The interfacing of organza")
