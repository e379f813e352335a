"""What the words of a whole set say of a cloth: nothing spoils it, and no page says what another denies.

What is held here is common practice where no source is named.
"""

from __future__ import annotations

import re

import pytest
from test_advice_jobs import SHIRT, cloth, contradictions, front, out_of_order, steps_of, whole_set

from closures.advice.marks_off import clear_marks

BELT = (
    '[belt]\nwaist = "820 mm"\nwidth = "40 mm"\nsettings = 5\nstep = "25 mm"\ncaps = ["20 mm", "70 mm"]\n'
    'lap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n'
)
UNDER_THREE = '[wearer]\nprofiles = ["child under three"]\n'


def told(text: str) -> dict[str, str]:
    return {key: words for key, words, _ in steps_of(text)}


def stop_of(text: str) -> str:
    return next(key for key, _, is_first_final in steps_of(text) if is_first_final)


def test_child_under_three_is_offered_no_ties() -> None:
    """EN 14682 and 16 CFR 1120 are about cords and ties on children's clothing: what could be tied is not advised."""
    words = whole_set(front("sew-on snap", "1", rest=cloth("poplin") + UNDER_THREE))
    assert "a way in without parts, such as cloth that overlaps or a neck that stretches" in words
    assert not re.search(r"\bties\b", words)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("name", "washing", "washes"),
    [
        ("melton", "", False),
        ("wool suiting", "", False),
        ("silk charmeuse", "", False),
        ("cotton velvet", "", False),
        ("wool suiting", "to be washed", True),
        ("cotton velvet", "washed", True),
        ("corduroy", "", True),
        ("linen", "", True),
    ],
)
@pytest.mark.parametrize(("kind", "size"), [("sew-on snap", "1"), ("plastic snap", "20"), ("magnetic snap", "14 mm")])
def test_parts_on_cloth_that_is_cleaned_are_asked_to_bear_no_wash(
    name: str, washing: str, washes: bool, kind: str, size: str
) -> None:
    garment = f'[garment]\nopens = "front"\nwashing = "{washing}"\n' if washing else ""
    words = whole_set(front(kind, size, rest=cloth(name) + garment))
    assert bool(re.search(r"its wash\b", words)) is washes
    # Pile is steamed and never ironed, washed or not; of plastic nothing is asked about an iron.
    is_steamed = name in ("cotton velvet", "corduroy") and kind != "plastic snap"
    assert ("its steam" in words) is (not washes or is_steamed)
    assert not (is_steamed and "its iron" in words)
    assert ("Wash and dry the cloth" in words) is (washes and washing != "washed")
    if kind == "magnetic snap":
        assert ("whether the magnets bear a wash" in words) is washes
        assert ("whether the magnets bear how it is cleaned" in words) is not washes


@pytest.mark.parametrize(
    ("name", "kind", "size", "held"),
    [
        ("leather 3 oz", "leather post snap", "20 L", "glue it between the layers"),
        ("oilcloth", "capped prong snap", "20 L", "tape it to the wrong side of one layer"),
    ],
)
def test_interfacing_of_a_strap_that_bears_no_heat_is_laid_into_cut_layers(
    name: str, kind: str, size: str, held: str
) -> None:
    rest = cloth(name, 2, fusible=True)
    text = BELT.format(kind=kind, size=size) + rest
    steps = told(text)
    keys = list(steps)
    assert held in steps["stiffen the strap"] and "sew in" not in steps
    # Leather is cut to its outline and joined when its layers lie on each other; other cloth is cut, sewn and turned.
    cut, made = ("cut the strap", "finish the strap") if "leather" in name else ("cut out the strap", "make the strap")
    assert keys.index(cut) < keys.index("stiffen the strap") < keys.index(made)
    words = whole_set(text)
    assert "low heat" not in words and "may not bear its heat" not in words


@pytest.mark.parametrize(
    ("name", "held"), [("leather 2 oz", "glue it to the wrong side"), ("oilcloth", "tape it to the wrong side")]
)
def test_interfacing_of_cloth_that_bears_no_heat_is_never_tried_with_an_iron(name: str, held: str) -> None:
    text = front("plastic snap", "20", rest=cloth(name, 2, fusible=True))
    assert held in told(text)["sew in"] and "iron" not in told(text)["sew in"]
    assert "low heat" not in whole_set(text)


@pytest.mark.parametrize(
    ("name", "stops_at", "why"),
    [
        ("leather 3 oz", "cut the strap", "leather that is cut stays cut, and it keeps every hole of a needle"),
        ("oilcloth", "make the strap", "coated cloth keeps every hole of a needle"),
        ("chino", "set first", "pierced cloth keeps its holes"),
    ],
)
def test_strap_that_keeps_needle_holes_has_its_stop_before_it_is_cut_or_sewn(
    name: str, stops_at: str, why: str
) -> None:
    text = BELT.format(kind="capped prong snap", size="20 L") + cloth(name)
    assert stop_of(text) == stops_at
    assert why in whole_set(text)


@pytest.mark.parametrize(
    ("name", "held"), [("leather 2 oz", "glue"), ("oilcloth", "tape"), ("linen", "sew"), ("waxed cotton", "sew")]
)
def test_backing_puts_no_needle_through_what_keeps_its_holes(name: str, held: str) -> None:
    backing = '[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n'
    step = told(front("plastic snap", "20", rest=cloth(name, 1) + backing))["back"]
    assert f"{held} them down" in step
    assert ("sew" in step) is (held == "sew")
    # Tape and glue hold badly on wax: from memory.
    assert ("fresh wax rubbed over every hole" in step) is (name == "waxed cotton")


@pytest.mark.parametrize(("of", "held"), [("cotton poplin", "sew"), ("woven fusible", "fuse"), (None, "fuse or sew")])
def test_only_a_fusible_is_told_to_be_fused(of: str | None, held: str) -> None:
    # What is no fusible has nothing that melts to hold it: common practice.
    backing = '[sheets]\nbacking = "strip"\n' + ("" if of is None else f'backing_cloth = "{of}"\n')
    assert f"and {held} them down" in told(front("plastic snap", "20", rest=cloth("linen", 1) + backing))["back"]


@pytest.mark.parametrize(
    ("kind", "size", "more", "how"),
    [
        ("post snap", "20 L", "", "Punch through the tape"),
        ("eyelet", "5.5 mm", "", "Punch through the tape"),
        ("plastic snap", "20", "", "Put the awl in through the tape"),
        ("tack button", "27 L", "", "Put the awl in through the tape"),
        ("magnetic snap", "14 mm", "", "Cut through the tape"),
        ("sew-through button", "18 L", "", "Stitch through the tape, and tear it off before a slit is cut"),
        ("prong snap", "16 L", "", "just so far that they prick the cloth, take the tape off that place"),
        ("hook tape", "any", '[tape]\npitch = "19 mm"\n', "take that off before a stitch goes in"),
        ("loop and button", "18 L", '[garment]\nopens = "back"\nedges = "meeting"\n', "Hold both feet of a loop by"),
    ],
)
def test_paper_tape_comes_off_in_the_way_the_place_is_worked(kind: str, size: str, more: str, how: str) -> None:
    steps = told(front(kind, size, rest=more + cloth("coated polyester", 4), count=None if more else 6))
    worked = " ".join(steps.values())
    assert how in worked
    # One place is opened once.
    assert not re.search(r"Open (?:the|each) place through the tape", worked)


def test_loose_stitches_of_each_lap_are_counted_by_its_own_marks_and_slits_alone_by_themselves() -> None:
    thread = clear_marks("thread", {"set: sew-on snap"}, set())
    assert "{first marks?the|each} mark" in thread["draw out"] and "second" not in thread["draw out"]
    assert "{second marks?the|each} mark" in thread["clear second"] and "first" not in thread["clear second"]
    # Chalk outside is brushed off as ever; the stitches of the slits within, on cloth that takes one, are drawn out.
    chalk = clear_marks("chalk", {"set: magnetic"}, {"cloth: woven"})
    assert set(chalk.values()) == {
        " Cut along the loose stitches of the slits, and draw every stitch out before the washer goes on."
    }
    assert set(clear_marks("chalk", {"set: magnetic"}, {"pens do"}).values()) == {""}
    assert set(clear_marks("chalk", {"set: sew-on snap"}, {"cloth: woven"}).values()) == {""}


@pytest.mark.parametrize(
    ("kind", "size", "left", "is_sharp"),
    [
        ("sew-through button", "18 L", "No thread is left in the cloth", False),
        ("prong snap", "16 L", "No piece of a part is left in the cloth", True),
        ("plastic snap", "20", "No piece of a part is left in the cloth", True),
    ],
)
def test_what_comes_off_is_looked_for_as_what_it_was(kind: str, size: str, left: str, is_sharp: bool) -> None:
    swap = SHIRT.format(kind=kind, size=size, hole=', way = "along", length = "16 mm"' if "button" in kind else "")
    words = whole_set(front("sew-on snap", "1", rest=cloth("oxford") + swap, count=None))
    assert left in words and "no metal is left" not in words
    assert ("cut ones are sharp" in words) is is_sharp


def test_trial_of_a_tack_button_asks_whether_it_turns() -> None:
    words = whole_set(front("tack button", "27 L", rest=cloth("denim 12 oz", 3)))
    assert "does not turn on its tack" in words
    assert "on its tack" not in whole_set(front("shank button", "27 L", rest=cloth("denim 12 oz", 3)))


def test_bound_buttonholes_are_cut_once_their_marks_agree_with_the_sheets() -> None:
    text = front("sew-through button", "30 L", closure="bound = true", rest=cloth("wool suiting"), width=70)
    words = whole_set(text)
    assert stop_of(text) == "bound"
    assert re.search(r"cut for a bound buttonhole\. Go on when [^.]*the marks agree with the sheets\.", words)


def test_leather_facing_stops_nothing_before_a_seam_meets_it_and_a_bound_hole_that_is_cut_is_named() -> None:
    alone = '[bands]\nallowance = "12 mm"\n'
    bands = f'{alone}[[layer]]\ncloth = "leather 2 oz"\n'
    text = front("shank button", "28 L", closure="bound = true", rest=cloth("wool coating", 1) + bands, width=60)
    assert stop_of(text) == "bound"
    assert "the cloth is cut for a bound buttonhole; leather keeps every hole of a needle." in whole_set(text)
    leather = front("shank button", "28 L", closure="bound = true", rest=cloth("leather 2 oz", 2) + alone, width=60)
    assert stop_of(leather) == "bands on"
    assert "leather keeps every hole of a needle; the cloth is cut for a bound buttonhole." in whole_set(leather)


@pytest.mark.parametrize(
    ("name", "kind", "size", "step", "stop"),
    [
        ("tulle", "sew-through button", "20 L", "cut buttonholes", "Stop: a cut buttonhole stays."),
        ("cotton velvet", "post snap", "24 L", "set first", "Stop: a punched hole stays."),
        ("leather 2 oz", "post snap", "24 L", "set first", "Stop: a punched hole stays."),
        ("chino", "post snap", "24 L", "", ""),
    ],
)
def test_what_cuts_or_pierces_has_a_stop_of_its_own_where_that_of_the_cloth_stands_before_the_marks(
    name: str, kind: str, size: str, step: str, stop: str
) -> None:
    """Marks are proved after such cloth could first be spoilt: what is cut waits for them (our own rule)."""
    text = front(kind, size, rest=cloth(name, 2), width=40)
    again = {key: words for key, words in told(text).items() if words.startswith("Stop: ")}
    assert list(again) == [step] * bool(step)
    for words in again.values():
        assert words.startswith(f"{stop} Go on when the marks agree with the sheets. ")


FLAT = '[garment]\nopens = "flat"\n'
SHRINKS = '[shrinkage]\nalong = "3 %"\nacross = "1 %"\nmeasured = "washed"\n'


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("kind", "size", "more"),
    [
        ("plastic snap", "20 short", ""),
        ("sew-through button", "24 L", SHRINKS),
        ("prong snap", "16 L", 'state = "finished"\n'),
        ("plastic snap", "20", '[wearer]\nprofiles = ["child"]\n'),
        ("magnetic snap", "14 mm", 'washing = "never"\n'),
    ],
)
def test_what_nobody_wears_is_called_no_garment(kind: str, size: str, more: str) -> None:
    text = front(kind, size, rest=FLAT + more + cloth("quilting cotton", 3), count=None)
    text = text.replace("right over left", "upper over lower").replace("[band]", 'cloth = "right"\n[band]', 1)
    words = whole_set(text)
    assert re.findall(r".{30}\b(?:the|this) garment\b|as it is worn", words, re.IGNORECASE) == []
    assert "finished piece" in words
    # What is worn keeps its name.
    assert "finished piece" not in whole_set(front(kind, size, rest=cloth("quilting cotton", 3)))


@pytest.mark.parametrize(
    ("name", "press"),
    [
        ("jersey", "Press it flat, setting the iron down and lifting it"),
        ("interlock", "Press it flat, setting the iron down and lifting it"),
        ("rib", "Take creases out with steam held above the cloth"),
        ("polar fleece", "Take creases out with steam held above the cloth"),
        # Its face is smooth, and what is brushed lies inside.
        ("sweatshirt fleece", "Press it flat, setting the iron down and lifting it"),
        ("flannel", "Press it flat from the wrong side"),
        ("chino", "Press it flat."),
    ],
)
def test_iron_is_set_down_on_a_knit_and_never_on_ribs_or_pile(name: str, press: str) -> None:
    words = whole_set(front("sew-through button", "24 L", rest=cloth(name)))
    assert press in words
    assert ("pushed along, it stretches a knit" in words) is ("setting the iron down" in press)
    assert ("lost in the pile" in words) is (name == "polar fleece")


@pytest.mark.parametrize(
    ("kind", "size", "name", "state", "side"),
    [
        ("prong snap", "15 L", "interlock", "cut pieces", "on the wrong side of the outer cloth, and"),
        ("sew-on snap", "1", "jersey", "cut pieces", "on the wrong side of the layer that each is sewn to, and"),
        ("prong snap", "15 L", "interlock", "finished", "on the inside of the band, which is closed, and"),
    ],
)
def test_backing_without_a_page_of_its_own_says_on_which_side_it_lies(
    kind: str, size: str, name: str, state: str, side: str
) -> None:
    garment = f'[garment]\nopens = "front"\nstate = "{state}"\n'
    assert side in told(front(kind, size, rest=garment + cloth(name)))["back with strip"]


def test_trial_piece_of_leather_lies_in_the_hide_and_not_in_a_grain() -> None:
    words = whole_set(front("leather post snap", "20 L", rest=cloth("leather 3 oz")))
    assert "Lay both the way of the hide that they have on the garment" in words and "in the grain" not in words
    belt = whole_set(BELT.format(kind="leather post snap", size="20 L") + cloth("leather 3 oz"))
    assert "Lay the pieces the way of the hide that the strap has" in belt and "same grain" not in belt
    assert "in the grain of the garment" in whole_set(front("prong snap", "16 L", rest=cloth("chino")))


def layer(name: str, on: str = "both", count: int = 1) -> str:
    return f'[[layer]]\ncloth = "{name}"\non = "{on}"\ncount = {count}\n'


@pytest.mark.parametrize(
    ("kind", "layers", "must", "must_not"),
    [
        # Coat makers chalk melton whatever it is lined with; the lining keeps its needle holes all the same.
        pytest.param(
            ("shank button", "36 L"),
            (layer("melton", count=2), layer("satin")),
            [r"mark: chalk at the dot", r"touch the cloth through it with sharp chalk"],
            # Satin told besides two layers of melton is sewn in between them, where no hole of a needle is seen.
            [r"thread at the dot", r"loose stitch", r"stay to be seen"],
            id="melton with satin in between",
        ),
        pytest.param(
            ("prong snap", "16 L"),
            (layer("denim 10 oz"), layer("satin", "over")),
            [r"mark: prick through", r"Go no deeper than the cloth outside, denim 10 oz: satin within keeps every prick"],
            [r"thread at the dot", r"loose stitch", r"seen in such cloth"],
            id="one lap lined",
        ),
        pytest.param(
            ("sew-on snap", "1"),
            (layer("denim 10 oz"), layer("interlock")),
            # The ball is sewn to the interlock: a pin that stops in the denim would not show there where.
            [
                r"on the over lap thread at the dot; on the under lap prick through",
                r"Turn the over lap over and lay its sheet, inside face up",
                r"Go no deeper than the cloth outside, denim 10 oz: interlock within runs where a loop",
            ],
            [r"come through to the outside"],
            id="lined with a knit",
        ),
        pytest.param(
            ("sew-through button", "18 L"),
            (layer("silk charmeuse"), layer("cotton poplin")),
            [r"thread at the dot", r"seen in such cloth"],
            [r"[Pp]rick through", r"Go no deeper", r"on the inside, and the button"],
            id="silk on poplin",
        ),
        pytest.param(
            ("post snap", "20 L"),
            (layer("denim 12 oz"), layer("leather 2 oz")),
            [r"mark: prick through", r"Go no deeper than the cloth outside, denim 12 oz: leather 2 oz within keeps"],
            [r"touch with an awl", r"thread at the dot"],
            id="leather within",
        ),
    ],
)  # fmt: skip
def test_cloth_outside_decides_how_it_is_marked_and_what_lies_within_is_told_apart(
    kind: tuple[str, str], layers: tuple[str, ...], must: list[str], must_not: list[str]
) -> None:
    closure = 'hole = "across"' if "button" in kind[0] else ""
    words = whole_set(front(*kind, closure=closure, rest="".join(layers), width=80))
    assert [pattern for pattern in must if not re.search(pattern, words)] == []
    assert [pattern for pattern in must_not if re.search(pattern, words)] == []
    assert contradictions(words) == [] and out_of_order(words) == []


def test_layers_of_which_only_the_inner_one_is_known_are_marked_as_it_asks() -> None:
    layers = '[[layer]]\nthickness = "0.5 mm"\n' + layer("satin")
    assert "mark: thread at the dot" in whole_set(front("sew-on snap", "1", rest=layers))


@pytest.mark.parametrize(("how", "warned"), [("unwashed", True), ("never washed", False)])
def test_leather_that_a_plan_shrinks_in_a_wash_is_said_not_to_bear_it(how: str, warned: bool) -> None:
    more = {"unwashed": '[shrinkage]\nalong = "3 %"\nmeasured = "washed"\n'}.get(how, "")
    words = whole_set(front("post snap", "20 L", rest=layer("leather 3 oz") + more))
    told = "the leather 3 oz, which the plan says shrinks in its first wash, since leather hardens"
    assert (told in words) is warned


def test_a_third_cloth_is_sewn_in_where_no_bands_are_cut_too() -> None:
    words = whole_set(front("prong snap", "16 L", rest=f'{cloth("linen")}[[layer]]\ncloth = "organza"\n'))
    assert "What lies between the layers is organza and is not fused" in words
    assert contradictions(words) == [] and out_of_order(words) == []
