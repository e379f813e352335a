"""Everything that a plan can say can be said on the page: the table of keys, walked key by key and value by value."""

from __future__ import annotations

import html
import importlib.util
import random
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from closures.app.web.fields import FIELDS, Field, values_of, with_fields
from closures.errors import Where
from closures.plan.kinds import Place
from closures.plan.one_line import shown

_spec = importlib.util.spec_from_file_location("page_walks_of_keys", Path(__file__).with_name("page_walks.py"))
assert _spec is not None and _spec.loader is not None
page_walks = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_walks)

ELSEWHERE = (".drawing", ".supplies", ".units")
"""What has no field: files are handed in, units have their switch."""
PLANS = ("curved-front", "sash-belt", "cuff")
"""An edge, a belt and a row: what goes with none of them, nothing can say."""


def values(field: Field) -> Iterator[Any]:
    """Values that a key may have: its example, each of its words, on and off."""
    yield tomllib.loads(f"it = {field.key.example}")["it"]
    yield from ([one] if field.kind.shape == "names" else one for one in field.kind.choices)
    if field.kind.shape == "switch":
        yield from (True, False)


def own_name(field: Field) -> str:
    """The field's name on a page, of the first where its section stands several times."""
    return f"{field.section.name}.0.{'.'.join(field.path)}" if field.section.repeated else field.name


def held_in(text: str, field: Field) -> Any:
    held: Any = tomllib.loads(text)
    for key in filter(None, (field.section.name, *field.path)):
        held = held[0] if isinstance(held, list) else held
        held = held.get(key) if isinstance(held, dict) else None
    return field.is_on if held is None and field.kind.shape == "switch" else held


@pytest.mark.parametrize("name", [name for name in FIELDS if name not in ELSEWHERE])
def test_every_value_of_a_key_is_said_in_its_field_and_shown_there(name: str) -> None:
    field = FIELDS[name]
    own, empty = own_name(field), f"[[{field.section.name}]]\n" if field.section.repeated else ""
    place = Place(Where(section=field.section.name, key=field.path[-1]), field.path[-1], "mm")
    for value in values(field):
        told = shown(field.kind, value)
        text = with_fields(empty, {own: told})
        held = held_in(text, field)
        assert held == value or field.kind(held, place) == field.kind(value, place), f"{told!r} became {held!r}"
        if field.kind.shape != "switch" or value is not field.is_on:
            assert values_of(text)[own] == told
        assert with_fields(text, values_of(text)) == text


def test_every_key_has_its_field_on_a_page_and_every_word_of_it_can_be_chosen() -> None:
    pages = [page_walks.Walk(plan, random.Random(1)).shown for plan in PLANS]
    lacking = []
    for name, field in FIELDS.items():
        own, where = (
            own_name(field),
            [page for page in pages if own_name(field) in page.fields or own_name(field) in page.choices],
        )
        if name not in ELSEWHERE and not where:
            lacking.append(name)
        for page in where:
            offered = page.choices.get(own)
            if offered is None or field.kind.shape not in ("choice", "switch"):
                continue
            ways = field.kind.choices or ("no", "yes")
            usual = field.key.default.strip('"')
            missing = [way for way in ways if way not in offered and not (way == usual and "" in offered)]
            lacking += [f"{name}: {way}" for way in missing]
    assert lacking == []


@pytest.mark.parametrize(
    "name",
    [
        "way_in.rings",
        "way_in.zip",
        "way_in.outlines",
        "pull.elsewhere",
        "wearer.longer",
        "edge.joins",
        "edge.trace.dpi",
    ],
)
def test_mend_beside_a_field_tells_what_is_to_be_typed_there(name: str) -> None:
    walk = page_walks.Walk("curved-front", random.Random(1))
    parts = walk.client.post(
        f"{walk.first}/change", data={"do": "redraw", name: "-3 mm"}, headers=page_walks.JSON
    ).json()
    wanted = FIELDS["edge.trace.through" if name == "edge.trace.dpi" else name].hint
    assert wanted in parts["words"][name], parts["words"]
    assert not re.search(r"[][{}]", parts["words"][name])


@pytest.mark.parametrize("plan", PLANS)
def test_page_speaks_of_no_section_no_option_and_no_command(plan: str) -> None:
    walk = page_walks.Walk(plan, random.Random(1))
    seen = re.sub(r"<(textarea|script)\b.*?</\1>", "", walk.client.get(walk.first).text, flags=re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", "\n", seen))
    assert len(words) > 5000
    assert re.findall(r".*(?:\[\[?[a-z_]+\]|--[a-z]|closures (?:place|check|start|trial|same) |`).*", words) == []
