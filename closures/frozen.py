"""Frozen values whose classes cost little to make.

A frozen dataclass with slots writes and compiles six functions of its own as its module is imported. There are
hundreds of such classes here, and a command makes instances of few of them: that was a third of what a start cost. So
what all classes can have alike they share, and what sets an instance up is written when the first one is made. All
else is a dataclass: ``field``, ``fields``, ``replace``, ``asdict`` and ``__post_init__`` are those of ``dataclasses``.
"""

from __future__ import annotations

from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar, dataclass_transform

if TYPE_CHECKING:
    from collections.abc import Callable

_Value = TypeVar("_Value")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[_Value]) -> type[_Value]:
    """Make a class a frozen dataclass with slots: it compares, hashes, prints, copies and pickles by its fields.

    Args:
        cls: a class with fields written as those of a dataclass. What it inherits is frozen too.

    Returns:
        The class anew, with slots.

    Raises:
        TypeError: a field is keyword-only, or stands for an argument alone.
    """
    made: Any = dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    # What sets an instance up takes the fields in their order: a keyword-only one is matched by no place, an InitVar is
    # matched and is no field.
    matched, taken = made.__match_args__, [one.name for one in fields(made) if one.init]
    if odd := [name for name in (*taken, *matched) if name not in matched or name not in taken]:
        raise TypeError(f"{cls.__qualname__}.{odd[0]}: a frozen value has neither keyword-only fields nor InitVars")
    compared = _values_of(tuple(one.name for one in fields(made) if one.compare))

    def __eq__(self: Any, other: object) -> bool:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __hash__(self: Any) -> int:
        return hash(compared(self))

    def __init__(self: Any, *given: Any, **named: Any) -> None:
        made.__init__ = _initialiser(made)
        made.__init__(self, *given, **named)

    own = {"__init__": __init__, "__eq__": __eq__, "__hash__": __hash__, "__repr__": _written}
    for name, function in own.items():
        if name not in cls.__dict__ or (name == "__hash__" and cls.__dict__[name] is None):
            setattr(made, name, function)
    made.__setattr__ = made.__delattr__ = _refuse
    made.__getstate__, made.__setstate__ = _state, _set_state
    result: type[_Value] = made
    return result


def _values_of(names: tuple[str, ...]) -> Callable[[Any], tuple[Any, ...]]:
    """A function that gives the values of some fields as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: tuple(getattr(value, name) for name in names)


def _initialiser(cls: type[Any]) -> Callable[..., None]:
    """Write and compile what sets up an instance: each slot is filled past the ban on assignments."""
    told: list[str] = ["self"]
    lines: list[str] = []
    known: dict[str, Any] = {"_missing": MISSING}
    for one in fields(cls):
        known[f"_set_{one.name}"] = getattr(cls, one.name).__set__
        known[f"_default_{one.name}"], known[f"_make_{one.name}"] = one.default, one.default_factory
        has_default, has_factory = one.default is not MISSING, one.default_factory is not MISSING
        if one.init:
            default = f"=_default_{one.name}" if has_default else "=_missing" if has_factory else ""
            told.append(one.name + default)
        given = one.name if one.init else f"_default_{one.name}"
        if has_factory:
            given = f"_make_{one.name}() if {given} is _missing else {given}"
        if one.init or has_default or has_factory:
            lines.append(f"_set_{one.name}(self, {given})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    exec(f"def __init__({', '.join(told)}):\n    " + "\n    ".join(lines or ["pass"]), known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    return made


def _written(self: Any) -> str:
    told = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
    return f"{type(self).__qualname__}({told})"


def _refuse(self: Any, name: str, *_: Any) -> NoReturn:
    raise FrozenInstanceError(f"cannot change field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, one.name) for one in fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for one, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, one.name, value)
