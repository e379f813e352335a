"""What each ply of a lap is for: told, following from what is told, or asked for.

That an interlining lies behind the outer cloth, a facing inside the band and a lining behind that is geometry; which
cloth is cut and sewn as what is common practice.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from test_advice_jobs import front
from typer.testing import CliRunner

from closures.advice.piece_cloths import cloth_of_piece, lie_behind
from closures.app.command import app
from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.app.slips import layer_meant
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.stack_picture import thickest
from closures.errors import ClosureError
from closures.jobs.table.bands import band_pieces
from closures.placing.layers_between import as_they_lie
from closures.placing.plies import plies_on
from closures.placing.run_mark import run_mark
from closures.plan.editing import value_of
from closures.plan.layers import LAYER
from closures.plan.reading import read_plan
from closures.said import on_page
from closures.shipped import starting_plans

CATALOGUE = load_catalogue()
BANDS = '[bands]\nallowance = "8 mm"\n'
CUT = '[garment]\nopens = "front"\nstate = "cut pieces"\n'


def layer(cloth: str, count: int = 1, purpose: str = "", more: str = "") -> str:
    told = f'as = "{purpose}"\n' if purpose else ""
    return f'[[layer]]\ncloth = "{cloth}"\ncount = {count}\n{told}{more}'


def placed(layers: str, garment: str = CUT, kind: str = "sew-on snap", size: str = "3") -> Answer:
    return place_plan(read_plan(front(kind, size, rest=garment + layers).encode(), "front.toml"))


def lying(answer: Answer, lap: str = "over") -> list[str]:
    stack = thickest(answer.placement, lap)  # type: ignore[arg-type]
    assert stack is not None
    plies = as_they_lie(stack.layers, answer.placement, lap)  # type: ignore[arg-type]
    return [one.name for one in plies for _ in range(one.plies)]


def asked(answer: Answer) -> list[str]:
    return [one.text for one in answer.findings if "Nobody told what" in one.text]


MELTON_AND_SATIN = layer("melton", 2) + layer("satin")


@pytest.mark.parametrize(
    ("layers", "names", "facing"),
    [
        (layer("melton", 2) + layer("satin", 1, "interlining"), ["melton", "satin", "melton"], "melton"),
        (layer("melton", 2) + layer("satin", 1, "lining"), ["melton", "melton", "satin"], "melton"),
        (layer("melton", 2) + layer("satin", 1, "facing"), ["melton", "melton", "satin"], "satin"),
        (
            layer("melton", 2, "outer and facing") + layer("satin", 1, "interlining"),
            ["melton", "satin", "melton"],
            "melton",
        ),
        (
            layer("melton", 1, "outer") + layer("satin", 1, "facing") + layer("organza", 2, "interlining"),
            ["melton", "organza", "organza", "satin"],
            "satin",
        ),
        (
            layer("melton", 1, "outer") + layer("poplin", 1, "facing") + layer("satin", 1, "lining"),
            ["melton", "cotton poplin", "satin"],
            "cotton poplin",
        ),
        (layer("melton", 1, "outer") + layer("satin", 1, "lining"), ["melton", "satin"], "satin"),
    ],
    ids=["between", "innermost", "facing", "two in one", "two between", "all three", "lining for a facing"],
)
def test_layers_lie_as_they_are_told_to_be(layers: str, names: list[str], facing: str) -> None:
    answer = placed(BANDS + layers)
    assert lying(answer) == lying(answer, "under") == names
    plies = plies_on(answer.placement.plan, "over", CATALOGUE)
    assert plies is not None and plies.is_settled and plies.facing is not None and plies.facing.name == facing
    assert asked(answer) == [] and not any("sewn in between" in line for line in answer.placement.assumed)


@pytest.mark.parametrize(
    ("layers", "write"),
    [
        (MELTON_AND_SATIN, 'as = "interlining" in its [[layer]]'),
        (layer("coutil", 2) + layer("cotton sateen"), 'as = "interlining" in its [[layer]]'),
        (
            layer("cotton velvet") + layer("canvas 10 oz") + layer("calico"),
            'as = "interlining" in the [[layer]] of canvas 10 oz',
        ),
        (layer("melton", 1, "outer") + layer("melton", 1, "facing") + layer("organza"), 'as = "lining" where it lies'),
    ],
    ids=["a lining or not", "outside or not", "three cloths", "told last beside what is told"],
)
@pytest.mark.parametrize("bands", ["", BANDS], ids=["no pieces", "pieces"])
def test_what_a_third_ply_is_for_is_asked_for_where_nobody_told_it(layers: str, write: str, bands: str) -> None:
    answer = placed(bands + layers)
    texts = asked(answer)
    assert len(texts) == 2 and all(write in text for text in texts)
    assert {one.result for one in answer.findings if "Nobody told what" in one.text} == {"warn"}
    assert all("[[layer]]" not in on_page(text) for text in texts)
    assert any("as under [[layer]]" in line for line in answer.placement.assumed)


@pytest.mark.parametrize("told", ["interlining", "lining"])
def test_what_the_check_says_to_write_ends_it(told: str) -> None:
    assert asked(placed(MELTON_AND_SATIN)) != []
    assert asked(placed(layer("melton", 2) + layer("satin", 1, told))) == []


@pytest.mark.parametrize(
    ("layers", "garment"),
    [
        (layer("poplin", 2) + layer("light fusible"), CUT),
        (layer("quilting cotton", 3), CUT),
        (layer("linen") + layer("silk habotai"), CUT),
        (layer("crepe de chine") + layer("organza") + layer("crepe de chine"), CUT),
        (layer("cotton sateen") + layer("coutil", 2), CUT),
        (MELTON_AND_SATIN, CUT.replace("cut pieces", "finished")),
        (MELTON_AND_SATIN, CUT.replace("cut pieces", "sewn band")),
    ],
    ids=["a fusible", "one cloth", "two plies", "alike on either side", "told first", "finished", "sewn band"],
)
def test_nothing_is_asked_where_it_cannot_matter(layers: str, garment: str) -> None:
    assert asked(placed(layers, garment)) == []


def test_no_starting_plan_is_asked_what_its_layers_are_for() -> None:
    for name, folder in starting_plans().items():
        for path in sorted(Path(str(folder)).glob("*.toml")):
            text = path.read_text(encoding="utf-8")
            if "[[layer]]" not in text:
                continue
            plan = read_plan(text.encode(), path.name)
            for lap in ("over", "under"):
                plies = plies_on(plan, lap, CATALOGUE)  # type: ignore[arg-type]
                assert plies is None or plies.is_settled, (name, path.name)


@pytest.mark.parametrize(
    ("layers", "what"),
    [
        (layer("melton", 1, "outer") + layer("satin", 1, "outer"), "more than one is the outer cloth of the over lap"),
        (layer("melton", 2, "outer and facing") + layer("satin", 1, "facing"), "more than one is the facing"),
        (layer("satin", 1, "lining") + layer("melton", 1, "outer"), "before any other cloth of the over lap"),
        (layer("organza", 1, "interlining") + layer("melton", 2), "before any other cloth of the over lap"),
        (layer("organza") + layer("melton", 1, "outer"), "the outer cloth, after organza"),
        (
            layer("melton", 1, "outer") + layer("satin", 1, "lining") + layer("poplin", 1, "facing"),
            "cotton poplin is told as the facing, after satin as the lining",
        ),
        (layer("light fusible", 1, "outer") + layer("poplin", 1, "facing"), "and is a fusible"),
        (layer("poplin", 2) + layer("light fusible", 1, "lining"), "and is a fusible"),
        (layer("melton", 2, "outer"), "one ply is the outer cloth, and count tells 2"),
        (layer("melton", 1, "outer and facing"), "that is two plies, and count tells 1"),
        (
            BANDS + layer("melton", 1, "outer") + layer("organza", 1, "interlining"),
            "a band and its facing are two layers, and the plan tells one layer of cloth of either lap",
        ),
    ],
)
def test_what_contradicts_itself_is_refused(layers: str, what: str) -> None:
    with pytest.raises(ClosureError, match=re.escape(what)):
        placed(layers)


def test_each_lap_may_have_an_outer_cloth_of_its_own_and_a_fusible_may_be_told_first() -> None:
    own = 'on = "over"\n', 'on = "under"\n'
    laps = layer("melton", 1, "outer", own[0]) + layer("wool suiting", 1, "outer", own[1])
    answer = placed(layer("light fusible", 1, "interlining") + laps + layer("satin", 1, "facing"))
    assert lying(answer)[0] == "melton" and lying(answer, "under")[0] == "wool suiting"
    stretch = layer("linen", 1, "outer", 'along = ["0 mm", "100 mm"]\n')
    assert "melton" in lying(placed(layer("melton", 2, "outer and facing") + stretch))


def test_words_of_a_lining_are_of_what_is_seen_and_of_an_interlining_of_what_is_hidden() -> None:
    """Satin keeps the holes of pins (common practice): as a lining it is seen, between two layers of flannel it is not."""
    words = {}
    for told in ("interlining", "lining"):
        advice = advice_of(placed(layer("wool flannel", 2) + layer("satin", 1, told)))
        words[told] = " ".join([*advice.marking, *(step.text for step in advice.order.steps)])
    assert "loose stitch" not in words["interlining"] and "loose stitch" in words["lining"]
    assert "satin and is not fused" in words["interlining"] and "is not fused" not in words["lining"]


def test_pieces_are_cut_of_what_the_plan_tells_them_to_be() -> None:
    layers = layer("melton", 1, "outer") + layer("satin", 1, "facing") + layer("organza", 2, "interlining")
    answer = placed(BANDS + layers)
    pieces = [one for one in band_pieces(answer.placement) if one.lap == "over"]
    told = [
        (cloth_of_piece(answer.placement, one, CATALOGUE), *lie_behind(answer.placement, one, CATALOGUE))
        for one in pieces
    ]
    assert told == [("melton",), ("satin", "2 of organza to sew in")]


def test_a_lining_behind_the_facing_is_no_third_ply_of_the_band() -> None:
    def counted(answer: Answer) -> list[str]:
        return [one.text for one in answer.findings if "plies of cloth over the whole" in one.text]

    assert counted(placed(BANDS + layer("melton", 2) + layer("satin", 1, "lining"))) == []
    assert counted(placed(BANDS + layer("melton", 3))) != []


def test_what_layers_are_for_moves_no_hole_and_no_run_mark() -> None:
    """Told in full or not told, plies that lie alike are the same work: sheets that are printed still hold."""
    one, other = (
        placed(layers, kind="sew-through button", size="20 L")
        for layers in (layer("melton") + layer("satin"), layer("melton", 1, "outer") + layer("satin", 1, "lining"))
    )
    assert run_mark(one.placement) == run_mark(other.placement)


def test_all_files_of_told_plies_are_sound() -> None:
    """They are read back as a stranger would, and refused where they are not."""
    for layers in (layer("melton", 2) + layer("satin", 1, "lining"), layer("melton", 2, "outer and facing")):
        assert "marking.pdf" in result_files(placed(BANDS + layers), "a4")


def test_purposes_are_told_on_one_line() -> None:
    assert LAYER.row is not None
    assert LAYER.row("2 x linen as outer and facing") == {"cloth": "linen", "count": 2, "as": "outer and facing"}
    assert LAYER.row("organza on over as interlining") == {"cloth": "organza", "on": "over", "as": "interlining"}
    assert LAYER.row("0.4 mm as lining") == {"thickness": "0.4 mm", "as": "lining"}
    assert layer_meant("two layers of linen as the outer and facing") == "2 x linen as outer and facing"
    assert layer_meant("1 organza on the over lap as an interlining") == "1 x organza on over as interlining"
    assert layer_meant("2 x linen") == "2 x linen"


@pytest.mark.parametrize(
    ("layers", "answer", "rows"),
    [
        (("2 x melton", "1 x satin"), "interlining", [("melton", 2, None), ("satin", 1, "interlining")]),
        (("2 x melton", "1 x satin"), "lining", [("melton", 2, None), ("satin", 1, "lining")]),
        (("2 x melton", "1 x satin"), "outer", [("satin", 1, "outer"), ("melton", 2, None)]),
        (("2 x melton", "1 x satin"), "I don't know", [("melton", 2, None), ("satin", 1, None)]),
        (
            ("1 x denim 10 oz", "1 x canvas 10 oz", "1 x calico"),
            "facing",
            [("denim 10 oz", 1, None), ("canvas 10 oz", 1, "facing"), ("calico", 1, "lining")],
        ),
        (("2 x melton as outer and facing", "1 x satin as interlining"), None, None),
        (("2 x melton", "1 x light fusible"), None, None),
    ],
)
def test_new_plan_asks_what_a_third_cloth_is_for(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    layers: tuple[str, ...],
    answer: str | None,
    rows: list[tuple[str, int, str | None]] | None,
) -> None:
    monkeypatch.chdir(tmp_path)
    before = ("Coat", "in", "front", "", "24", "1 1/2 in", "right over left", "sew-on snap", "3", "6", "", "")
    given = (*before, *layers, "", *(() if answer is None else (answer,)), "", "")
    done = CliRunner().invoke(app, ["new", "coat.toml"], input="".join(f"{one}\n" for one in given))
    assert done.exit_code == 0, done.output
    assert ("What is" in done.output and " for?" in done.output) == (answer is not None)
    told = value_of((tmp_path / "coat.toml").read_text(), "layer")
    if rows is not None:
        assert [(one["cloth"], one["count"], one.get("as")) for one in told] == rows


ORGANZA_OVER = layer("poplin", 2) + layer("organza", 1, "interlining", 'on = "over"\n')
FUSIBLE_UNDER = layer("light fusible", 1, "", 'on = "under"\n')


@pytest.mark.parametrize("bands", ["", BANDS], ids=["no pieces", "pieces"])
@pytest.mark.parametrize(("kind", "size"), [("sew-on snap", "3"), ("sew-through button", "20 L")])
@pytest.mark.parametrize(
    "layers",
    [ORGANZA_OVER + FUSIBLE_UNDER, ORGANZA_OVER.replace('on = "over"\n', "") + FUSIBLE_UNDER],
    ids=["one sewn in, one fused", "both sewn in, one fused besides"],
)
def test_only_the_lap_that_has_a_fusible_is_fused(layers: str, kind: str, size: str, bands: str) -> None:
    steps = advice_of(placed(bands + layers, kind=kind, size=size)).order.steps
    (fused,) = [step.text for step in steps if step.key == "fuse"]
    assert fused.startswith("The under lap") and "over" not in fused


def test_each_lap_is_cut_as_much_interfacing_as_its_layers_tell() -> None:
    both = ORGANZA_OVER.replace('on = "over"\n', "") + FUSIBLE_UNDER
    answer = placed(BANDS + both, kind="sew-through button", size="20 L")
    behind = {
        one.lap: lie_behind(answer.placement, one, CATALOGUE)
        for one in band_pieces(answer.placement)
        if one.name == "band"
    }
    assert behind == {"over": ("1 of organza to sew in",), "under": ("1 of interfacing", "1 of organza to sew in")}
    assert not [one for one in answer.findings if "of it on this lap" in one.text]


@pytest.mark.parametrize(("on", "whose"), [("", "each band"), ('on = "over"\n', "the over lap's band")])
def test_folded_band_that_is_fused_is_named(on: str, whose: str) -> None:
    layers = layer("poplin", 2) + layer("light fusible", 1, "", on)
    answer = placed(BANDS + 'made = "folded"\n' + layers, kind="sew-through button", size="20 L")
    (fused,) = [step.text for step in advice_of(answer).order.steps if step.key == "fuse"]
    assert f"to the wrong side of {whose}, behind the half that will lie outside" in fused
