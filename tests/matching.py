"""How much work a pattern makes of a text, counted step by step, and the texts that make it work hardest.

A pattern that can cut one text in many ways tries them all. No clock tells that well, so a pattern is followed here as
Python's own engine follows it, one step counted for each sign looked at and each way gone back.
"""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Callable, Iterator
from re import _compiler, _parser  # type: ignore[attr-defined]
from typing import Any

Then = Callable[[int], bool]
Step = Callable[[int, Then], bool]
MOST_STEPS = 400_000
_DEEPEST = 20_000
_SIGNS = "a 1.-\"'[]{}<>(),;:=#/|*_Zx½@\n\\"
_REPEATS = (_parser.MAX_REPEAT, _parser.MIN_REPEAT, _parser.POSSESSIVE_REPEAT)
_ONE_SIGN = (_parser.LITERAL, _parser.NOT_LITERAL, _parser.ANY, _parser.IN)
_INNER = 3
_AHEAD = 1


class Followed:
    """A pattern that can be followed.

    Args:
        pattern: as compiled.
    """

    def __init__(self, pattern: re.Pattern[Any]) -> None:
        source = pattern.pattern if isinstance(pattern.pattern, str) else pattern.pattern.decode("latin-1")
        self.flags = pattern.flags & ~(re.UNICODE | re.DEBUG)
        self.parsed = _parser.parse(source, self.flags)
        self.text, self.steps, self.found = "", 0, False
        self._step = self._sequence(self.parsed)

    def work(self, text: str, way: str) -> int:
        """Steps of ``fullmatch``, ``match`` or of looking for every place in a text."""
        self.text, self.steps, self.found = text, 0, False
        place = 0
        ends: list[int] = []

        def ended(at: int) -> bool:
            if way == "fullmatch" and at != len(text):
                return False
            ends.append(at)
            return True

        before = sys.getrecursionlimit()
        sys.setrecursionlimit(_DEEPEST)
        try:
            while place <= len(text):
                self.steps += 1
                found = self._step(place, ended)
                self.found = self.found or found
                if way != "search":
                    break
                place = max(ends[-1], place + 1) if found else place + 1
        except _TooMuch:
            pass
        finally:
            sys.setrecursionlimit(before)
        return self.steps

    def finds(self, text: str, way: str) -> bool:
        """Whether the pattern meets the text, or any place in it where every place is looked for."""
        self.work(text, way)
        return self.found

    def hard_texts(self, times: int) -> Iterator[str]:
        """Texts that repeat what the pattern repeats, after what it wants before, and end with what it does not want."""
        used = "".join(sign for sign in _SIGNS if any(one.fullmatch(sign) for one in self._every_sign(self.parsed)))[
            :12
        ]
        begins, bodies = {""}, set(used)
        for before, body in self._repeats(self.parsed, ""):
            begins.add(before)
            bodies.add(body)
        for begin in sorted(begins, key=len)[:6]:
            for body in sorted(bodies - {""}):
                for end in ("\x00", ""):
                    yield begin + body * times + end

    def _counted(self) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise _TooMuch

    def _sequence(self, nodes: Any) -> Step:
        steps = [self._node(op, told) for op, told in nodes]

        def go(at: int, then: Then) -> bool:
            def from_(k: int, here: int) -> bool:
                return then(here) if k == len(steps) else steps[k](here, lambda there: from_(k + 1, there))

            return from_(0, at)

        return go

    def _sign(self, op: Any, told: Any) -> re.Pattern[str]:
        one = _parser.SubPattern(self.parsed.state, [(op, told)])
        compiled: re.Pattern[str] = _compiler.compile(one, self.flags)
        return compiled

    def _node(self, op: Any, told: Any) -> Step:
        if op in _ONE_SIGN:
            return self._run(self._sign(op, told), 1, 1, is_lazy=False, keeps=False)
        if op in _REPEATS:
            low, high, body = told
            lazy, keeps = op is _parser.MIN_REPEAT, op is _parser.POSSESSIVE_REPEAT
            if len(body) == 1 and body[0][0] in _ONE_SIGN:
                return self._run(self._sign(*body[0]), low, high, is_lazy=lazy, keeps=keeps)
            return self._loop(self._sequence(body), low, high, lazy)
        if op is _parser.SUBPATTERN:
            return self._sequence(told[_INNER])
        if op is _parser.ATOMIC_GROUP:
            return self._kept(self._sequence(told))
        if op is _parser.BRANCH:
            ways = [self._sequence(way) for way in told[1]]
            return lambda at, then: any(way(at, then) for way in ways)
        if op in (_parser.ASSERT, _parser.ASSERT_NOT):
            return self._looked(told, is_wanted=op is _parser.ASSERT)
        if op is _parser.AT:
            place = self._sign(op, told)
            return lambda at, then: place.match(self.text, at) is not None and then(at)
        raise NotImplementedError(str(op))

    def _run(self, sign: re.Pattern[str], low: int, high: int, *, is_lazy: bool, keeps: bool) -> Step:
        def go(at: int, then: Then) -> bool:
            most = 0
            while most < high and at + most < len(self.text) and sign.match(self.text, at + most):
                self._counted()
                most += 1
                if is_lazy and most >= low and then(at + most):
                    return True
            self._counted()
            if is_lazy:
                return False
            for k in range(most, (most if keeps else low) - 1, -1):
                self._counted()
                if k >= low and then(at + k):
                    return True
            return False

        return (lambda at, then: then(at) or go(at, then)) if is_lazy and low == 0 else go

    def _loop(self, body: Step, low: int, high: int, is_lazy: bool) -> Step:
        def go(at: int, then: Then, done: int = 0) -> bool:
            self._counted()

            def once_more() -> bool:
                return done < high and body(at, lambda there: there != at and go(there, then, done + 1))

            def enough() -> bool:
                return done >= low and then(at)

            return (enough() or once_more()) if is_lazy else (once_more() or enough())

        return go

    def _kept(self, body: Step) -> Step:
        def go(at: int, then: Then) -> bool:
            ends: list[int] = []
            return body(at, lambda there: ends.append(there) or True) and then(ends[0])

        return go

    def _looked(self, told: Any, *, is_wanted: bool) -> Step:
        way, inner = told
        body = self._sequence(inner)
        width = inner.getwidth()[0]

        def go(at: int, then: Then) -> bool:
            start = at if way == _AHEAD else at - width
            found = start >= 0 and body(start, lambda _: True)
            return found == is_wanted and then(at)

        return go

    def _every_sign(self, nodes: Any) -> Iterator[re.Pattern[str]]:
        for op, told in nodes:
            if op in _ONE_SIGN:
                yield self._sign(op, told)
            for inner in _inner(op, told):
                yield from self._every_sign(inner)

    def _repeats(self, nodes: Any, before: str) -> Iterator[tuple[str, str]]:
        """Every repeat of a pattern: a text that leads up to it, and one that it takes once."""
        for op, told in nodes:
            if op in _REPEATS:
                yield before, self._taken(told[2])
            for inner in _inner(op, told):
                yield from self._repeats(inner, before)
            before += self._taken([(op, told)])

    def _taken(self, nodes: Any) -> str:
        found = ""
        for op, told in nodes:
            if op in _ONE_SIGN:
                sign = self._sign(op, told)
                found += next((one for one in (*_SIGNS, *map(chr, range(256)), "⟦") if sign.fullmatch(one)), "?")
            elif op is _parser.BRANCH:
                found += self._taken(told[1][0])
            elif op in _REPEATS:
                found += self._taken(told[2]) * max(told[0], 1)
            elif op in (_parser.SUBPATTERN, _parser.ATOMIC_GROUP):
                found += self._taken(_inner(op, told)[0])
        return found


class _TooMuch(Exception):
    pass


def _inner(op: Any, told: Any) -> list[Any]:
    if op in _REPEATS:
        return [told[2]]
    if op is _parser.SUBPATTERN:
        return [told[_INNER]]
    if op is _parser.ATOMIC_GROUP:
        return [told]
    return list(told[1]) if op is _parser.BRANCH else []


def growth(pattern: re.Pattern[Any], way: str, times: int = 16) -> tuple[float, str]:
    """How many times the work grows where a text grows four times as long, for the hardest text that is found, and it."""
    followed = Followed(pattern)
    short, long = (list(followed.hard_texts(n)) for n in (times, 4 * times))
    worst = (0.0, "")
    for few, many in zip(short, long, strict=True):
        least, most = followed.work(few, way), followed.work(many, way)
        worst = max(worst, (math.inf if least > MOST_STEPS else most / least, few))
    return worst
