"""A frozen value does what a frozen dataclass with slots does, and writes none of its functions before it is needed."""

import copy
import pickle
import sys
from dataclasses import KW_ONLY, FrozenInstanceError, InitVar, asdict, dataclass, field, fields, replace
from typing import ClassVar

import pytest

from closures.frozen import frozen


def fields_of_all_kinds(decorator):
    class Spot:
        """With a field of every kind that there is."""

        x: float
        y: float = 2.0
        notes: tuple = field(default=(), repr=False)
        seen: dict = field(default_factory=dict, compare=False)
        length: float = field(init=False, repr=False, compare=False)
        marks: list = field(init=False, default_factory=list, compare=False)

        def __post_init__(self):
            object.__setattr__(self, "length", (self.x**2 + self.y**2) ** 0.5)

    Spot.__qualname__ = "Spot"
    return decorator(Spot)


Spot = fields_of_all_kinds(frozen)
Ready = fields_of_all_kinds(dataclass(frozen=True, slots=True))


@frozen
class Named:
    """A value that others inherit from."""

    name: str


@frozen
class Placed(Named):
    """One that inherits a field and adds one."""

    at: float = 0.0


@frozen
class Lone:
    """A value of one field, and with words of its own."""

    it: float

    def __str__(self):
        return "lone"

    def __hash__(self):
        return 7


@frozen
class Nothing:
    """A value without fields."""


BOTH = pytest.mark.parametrize("kind", [Spot, Ready], ids=["frozen", "dataclass"])


@BOTH
def test_a_value_is_set_up_as_a_dataclass_is(kind):
    value = kind(3.0, notes=("n",), y=4.0)
    assert (value.x, value.y, value.notes, value.seen, value.length, value.marks) == (3.0, 4.0, ("n",), {}, 5.0, [])
    assert kind(1.0).seen is not kind(1.0).seen
    assert repr(value) == "Spot(x=3.0, y=4.0, seen={}, marks=[])"
    assert kind.__match_args__ == ("x", "y", "notes", "seen")


@BOTH
def test_equal_fields_make_equal_values_and_hashes_but_those_left_out(kind):
    assert kind(1.0, seen={"a": 1}) == kind(1.0)
    assert hash(kind(1.0, seen={"a": 1})) == hash(kind(1.0)) == hash((1.0, 2.0, ()))
    assert kind(1.0) != kind(1.5)
    assert kind(1.0) != (1.0, 2.0, ())
    assert len({kind(1.0), kind(1.0), kind(2.0)}) == 2


@BOTH
@pytest.mark.parametrize("name", ["x", "other"])
def test_no_field_can_be_set_or_deleted(kind, name):
    value = kind(1.0)
    with pytest.raises((FrozenInstanceError, TypeError)):
        setattr(value, name, 2.0)
    with pytest.raises((FrozenInstanceError, TypeError)):
        delattr(value, name)
    assert value.x == 1.0
    assert not hasattr(value, "__dict__")


@BOTH
def test_wrong_arguments_are_told_in_the_words_of_python(kind):
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'x'"):
        kind()
    with pytest.raises(TypeError, match="unexpected keyword argument 'z'"):
        kind(1.0, z=2)


@BOTH
def test_replace_and_the_rest_of_dataclasses_go_on_working(kind):
    value = kind(3.0, 4.0)
    assert replace(value, x=0.0).length == 4.0
    assert [one.name for one in fields(kind)] == ["x", "y", "notes", "seen", "length", "marks"]
    assert asdict(value) == {"x": 3.0, "y": 4.0, "notes": (), "seen": {}, "length": 5.0, "marks": []}
    assert copy.copy(value) == copy.deepcopy(value) == value


@pytest.mark.parametrize("value", [Placed("a", 2.0), Lone(1.0), Nothing()], ids=repr)
def test_a_value_comes_whole_out_of_another_process(value):
    assert pickle.loads(pickle.dumps(value)) == value


def test_a_value_inherits_fields_and_is_no_other_kind():
    assert Placed("a", at=1.0).name == "a"
    assert Placed("a") != Named("a")
    assert repr(Placed("a")) == "Placed(name='a', at=0.0)"


def test_what_a_class_says_of_itself_stands():
    assert (str(Lone(1.0)), hash(Lone(1.0))) == ("lone", 7)
    assert Lone(1.0) == Lone(1.0) != Lone(2.0)
    assert Nothing() == Nothing()


def keyword_only_field():
    class Odd:
        """A dataclass takes `up` by its name alone."""

        down: float
        up: float = field(kw_only=True)

    return Odd


def keyword_only_after():
    class Odd:
        """A dataclass takes what follows by its name alone."""

        down: float
        _: KW_ONLY
        up: float = 1.0

    return Odd


def argument_alone():
    class Odd:
        """A dataclass hands `up` to `__post_init__`, and keeps no field of it."""

        down: float
        up: InitVar[float]

    return Odd


def argument_with_default():
    class Odd:
        """The same with a default."""

        down: float
        up: InitVar[float] = 1.0

    return Odd


@pytest.mark.parametrize(
    "written",
    [keyword_only_field, keyword_only_after, argument_alone, argument_with_default],
    ids=lambda one: one.__name__,
)
def test_a_field_that_would_be_set_up_otherwise_than_in_a_dataclass_is_refused_as_the_class_is_made(written):
    odd = written()
    with pytest.raises(TypeError, match=r"Odd\.up: a frozen value has neither keyword-only fields nor InitVars"):
        frozen(odd)


def test_what_belongs_to_the_class_alone_is_no_field():
    @frozen
    class Kept:
        """With a figure that all share."""

        most: ClassVar[int] = 3
        at: float

    assert (Kept(1.0).at, Kept.most, [one.name for one in fields(Kept)]) == (1.0, 3, ["at"])


def test_not_a_number_is_equal_to_itself_alone():
    value = float("nan")
    assert Lone(value) == Lone(value)
    assert Lone(value) != Lone(float("nan"))


def test_a_class_compiles_nothing_before_its_first_value_is_made():
    compiled = []

    def note(event, arguments):
        if event == "compile" and is_watched:
            compiled.append(arguments)

    is_watched = True
    sys.addaudithook(note)
    try:
        kind = fields_of_all_kinds(frozen)
        assert compiled == []
        kind(1.0)
        assert len(compiled) == 1
        kind(2.0)
        assert len(compiled) == 1
    finally:
        is_watched = False
