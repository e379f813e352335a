"""A user's supplies laid over the catalogue, and rows that do not load."""

import tomllib
from collections.abc import Callable
from importlib.resources import files
from typing import Any

import pytest

from closures.catalogue.loading import catalogue_of, load_catalogue
from closures.errors import CatalogueError

PACK = b"""
[[fastener]]
kind = "prong snap"
size = "16 line"
cap = 10.4
grip = ["0.6 mm", 1.4]
source = "pack"

[[fastener]]
kind = "drawer snap"
like = "post snap"
size = 21
cap = "1/2 in"
hole = 4.2
grip = [1.1, 2.4]
least_pitch = 20
source = "caliper, three pieces"

[[cloth]]
name = "cotton sateen"
thickness = 0.29
source = "micrometer"

[[cloth]]
name = "boat canvas"
structure = "woven"
fibre = "cotton"
mass = 400
thickness = [0.7, 0.9]
source = "micrometer"
"""

POST = 'kind = "post snap"\nsize = "20 L"\n'
PLAIN = 'name = "x cloth"\nthickness = 1\nstructure = "woven"\nsource = "a"\n'


def _faults(text: str) -> list[str]:
    with pytest.raises(CatalogueError) as caught:
        load_catalogue(text.encode(), where="my-pack.toml")
    return [str(fault) for fault in caught.value.faults]


def test_supplies_row_of_a_known_size_replaces_its_figures() -> None:
    found = load_catalogue(PACK).fastener("prong snap", "16 L")
    assert found.cap is not None and found.grip is not None and found.inner is not None
    assert (found.cap.value, found.grip[0].value, found.grip[1].value) == (10.4, 0.6, 1.4)
    assert found.cap.provenance.text == "measured by the user: pack"
    assert found.least_pitch.value == pytest.approx(16.4)
    assert found.inner.provenance.kind == "from memory"


def test_supplies_leave_the_built_in_catalogue_alone() -> None:
    load_catalogue(PACK)
    assert load_catalogue().fastener("prong snap", "16 L").cap_mm == pytest.approx(10.16)
    assert "drawer snap" not in load_catalogue().kinds()


def test_supplies_kind_of_its_own_is_set_like_a_known_one() -> None:
    found = load_catalogue(PACK).fastener("drawer snap", "21")
    assert found.cap_mm == pytest.approx(12.7)
    assert found.hole is not None and found.hole.diameter is not None
    assert (found.hole.way, found.hole.diameter.value) == ("hole", 4.2)
    assert [part.name for part in found.parts] == ["cap", "socket", "stud", "post"]
    assert found.least_pitch.value == 20
    assert found.setting == "post"


def test_supplies_least_pitch_stands_when_the_plan_measures_the_cap() -> None:
    assert load_catalogue(PACK).fastener("drawer snap", "21", cap_mm=13.0).least_pitch.value == 20


def test_supplies_cloths_replace_and_add() -> None:
    supplied = load_catalogue(PACK)
    sateen, canvas = supplied.cloth("sateen"), supplied.cloth("boat canvas")
    assert (sateen.low.value, sateen.typical.value, sateen.high.value) == (0.29, 0.29, 0.29)
    assert sateen.structure == "woven"
    assert (canvas.low.value, canvas.typical.value, canvas.high.value) == pytest.approx((0.7, 0.8, 0.9))
    assert canvas.typical.provenance.text == "measured by the user: micrometer"


@pytest.mark.parametrize(
    "data",
    [PACK.replace(b"\n", b"\r\n"), b"\xef\xbb\xbf" + PACK],
    ids=["windows lines", "byte order mark"],
)
def test_supplies_as_other_editors_save_them_load_alike(data: bytes) -> None:
    assert load_catalogue(data) == load_catalogue(PACK)


def test_supplies_empty_change_nothing() -> None:
    assert load_catalogue(b"") == load_catalogue()


def test_supplies_tell_all_faults_together() -> None:
    faults = _faults(
        """
        colour = "red"

        [[fastener]]
        kind = "prong snpa"
        size = "16 L"
        cap = 10.4
        source = "pack"

        [[fastener]]
        kind = "prong snap"
        size = "16 L"
        capp = 10.4
        grip = [2.0, 1.0]
        source = "pack"

        [[cloth]]
        name = "boat canvas"
        structure = "wovn"
        thickness = "1,5 mm"
        """
    )
    text = "\n".join(faults)
    assert "my-pack.toml: 'colour' does not belong here" in text
    assert "my-pack.toml, [[fastener]] row 1, kind: there is no kind 'prong snpa'. Did you mean prong" in text
    assert "my-pack.toml, [[fastener]] row 2, capp: not a key of such a row. Did you mean cap?" in text
    assert "my-pack.toml, [[fastener]] row 2, grip: [2.0, 1.0] does not rise" in text
    assert "my-pack.toml, [[cloth]] row 1, source: missing" in text
    assert "my-pack.toml, [[cloth]] row 1, thickness: '1,5 mm'" in text
    assert len(faults) == 6


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (POST + "cap = 12", "row 1, source: missing"),
        (POST + 'cap = 12\nsource = " "', "row 1, source: missing"),
        (POST + "cap = 12\nsource = 3", "source: 3 is not a text"),
        (POST + 'cap = -1\nsource = "pack"', "cap: -1 is not greater than 0"),
        (POST + 'cap = true\nsource = "pack"', "cap: True is not a length"),
        (POST + 'cap = nan\nsource = "pack"', "cap: nan is not a length"),
        (POST + 'cap = {cm = 1}\nsource = "pack"', "is not a figure"),
        (POST + 'grip = [1, 2, 3]\nsource = "pack"', "grip: 3 lengths where 1 or 2 belong"),
        ('kind = "post snap"\nsize = "30 L"\nsource = "pack"', "cap: missing"),
        ('kind = "post snap"\ncap = 12\nsource = "pack"', "size: missing"),
        ('kind = "post snap"\nsize = [20]\ncap = 12\nsource = "pack"', r"size: \[20\] is not a text"),
        ('size = "20 L"\ncap = 12\nsource = "pack"', "kind: missing"),
        ('kind = "toggle"\nlike = "post"\nsize = "1"\ncap = 9\nsource = "pack"', "like: there is no kind 'p"),
        (POST + 'basis = "gossip"\nsource = "pack"', "basis: 'gossip' is none"),
    ],
)
def test_supplies_fastener_row_with_a_fault_is_refused(row: str, message: str) -> None:
    with pytest.raises(CatalogueError, match=message):
        load_catalogue(f"[[fastener]]\n{row}\n".encode(), where="my-pack.toml")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ('thickness = 0.3\nstructure = "woven"\nsource = "pack"', "name: missing"),
        ('name = "x cloth"\nstructure = "woven"\nsource = "pack"', "thickness: missing"),
        ('name = "x cloth"\nthickness = 0.3\nsource = "pack"', "structure: missing"),
        (
            PLAIN.replace("= 1", "= 0.1") + 'mass = 300\nfibre = "cotton"',
            "0.1 mm is thinner than 300 g/m2 of solid cotton, 0.195 mm",
        ),
        (PLAIN + 'mass = "1"', "mass: '1' is not a number"),
        (PLAIN + "brushed = 1", "neither true nor false"),
    ],
)
def test_supplies_cloth_row_with_a_fault_is_refused(row: str, message: str) -> None:
    with pytest.raises(CatalogueError, match=message):
        load_catalogue(f"[[cloth]]\n{row}\n".encode(), where="my-pack.toml")


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"[[fastener]\n", "my-pack.toml: not TOML: .*line 1"),
        (b"\xff\xfe", "not a text in UTF-8"),
        (b"fastener = 3\n", "fastener is not a list of rows"),
        (b'[fastener]\nkind = "button"\n', "Write \\[\\[fastener\\]\\] above each row"),
        (b"[[fasteners]]\n", "Did you mean \\[\\[fastener\\]\\]"),
    ],
    ids=["broken", "not utf-8", "number", "single table", "misnamed"],
)
def test_supplies_that_are_no_supplies_are_refused(data: bytes, message: str) -> None:
    with pytest.raises(CatalogueError, match=message):
        load_catalogue(data, where="my-pack.toml")


def test_supplies_row_twice_is_refused() -> None:
    row = f'[[fastener]]\n{POST}cap = 12\nsource = "pack"\n'
    place = "my-pack.toml, [[fastener]] row 2, size"
    assert _faults(row + row.replace("20 L", "12.7 mm")) == [
        f"{place}: post snap 20 L stands in this file twice. Keep one of the rows."
    ]


def _tables() -> dict[str, dict[str, Any]]:
    names = ("sources", "rules", "papers", "fasteners", "cloths")
    package = files("closures.catalogue")
    return {name: tomllib.loads(package.joinpath(f"{name}.toml").read_text("utf-8")) for name in names}


def test_tables_as_they_stand_make_the_catalogue() -> None:
    assert catalogue_of(_tables()) == load_catalogue()


def _drop(table: str, section: str, key: str) -> Callable[[dict[str, Any]], None]:
    return lambda tables: tables[table][section][0].pop(key)


def _put(table: str, section: str, key: str, value: object) -> Callable[[dict[str, Any]], None]:
    return lambda tables: tables[table][section][0].update({key: value})


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (_drop("fasteners", "fastener", "basis"), r"fasteners.toml, \[\[fastener\]\] row 1, basis: missing"),
        (_drop("fasteners", "kind", "basis"), r"\[\[kind\]\] row 1, basis: missing"),
        (_drop("cloths", "cloth", "basis"), r"cloths.toml, \[\[cloth\]\] row 1, basis: missing"),
        (_drop("rules", "rule", "basis"), r"rules.toml, \[\[rule\]\] row 1, basis: missing"),
        (_drop("rules", "rule", "source"), r"\[\[rule\]\] row 1, source: missing"),
        (_drop("papers", "paper", "basis"), r"papers.toml, \[\[paper\]\] row 1, basis: missing"),
        (_put("rules", "rule", "source", "FED817"), "'FED817' is not in the table of sources. Did you"),
        (_put("rules", "rule", "mm", 3), "needs one of mm, inch and value"),
        (_put("fasteners", "fastener", "cap", {"mm": 9}), "cap basis: missing"),
        (
            _put("fasteners", "kind", "setting", "prongring"),
            "'prongring' is none of those known. Write one of: prong ring",
        ),
        (_drop("fasteners", "kind", "setting"), "setting: missing"),
        (_put("fasteners", "kind", "mark", {"over": "blob"}), "is no pair of marks"),
    ],
)
def test_built_in_row_without_provenance_or_sense_does_not_load(
    spoil: Callable[[dict[str, Any]], None], message: str
) -> None:
    tables = _tables()
    spoil(tables)
    with pytest.raises(CatalogueError, match=message):
        catalogue_of(tables)


def test_fastener_of_a_kind_in_one_size_alone_is_named_by_its_kind() -> None:
    catalogue = load_catalogue()
    assert {one.name for one in catalogue.fasteners if one.size == "any"} == {"snap tape", "hook tape"}
    assert not any(one.name.endswith(" any") for one in catalogue.fasteners)
    assert catalogue.fastener("prong snap", "16 L").name == "prong snap 16 L"
