"""What a plan says of pull, body and way in, written as TOML."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from closures.plan.edge_writing import text_as_toml

if TYPE_CHECKING:
    from closures.plan.body import BodyWish
    from closures.plan.plan import Plan
    from closures.plan.pull import PullWish
    from closures.plan.way_in import WayInWish

Row = tuple[str, str | None]
Quoted = Callable[[float], str]
"""Writes a length in mm as it stands in a plan, with its quotes."""


def gape_parts(plan: Plan, quoted: Quoted) -> list[tuple[str, list[Row]]]:
    """Write the sections that are there, each with its heading."""
    parts: list[tuple[str, list[Row]]] = []
    if plan.pull is not None:
        parts.append(("[pull]", _pull(plan.pull, quoted)))
    if plan.body is not None:
        parts.append(("[body]", _body(plan.body, quoted)))
    if plan.way_in is not None:
        parts.append(("[way_in]", _way_in(plan.way_in, quoted)))
    return parts


def _pull(pull: PullWish, quoted: Quoted) -> list[Row]:
    places = ", ".join(f"{{ at = {text_as_toml(one.at)}, times = {one.times!r} }}" for one in pull.elsewhere)
    return [
        ("scale", _with(pull.scale_g, "g")),
        ("scale_sitting", _with(pull.scale_sitting_g, "g")),
        ("scale_deep", _with(pull.scale_deep_g, "g")),
        ("at", text_as_toml(pull.at)),
        ("pitch", _length(pull.pitch_mm, quoted)),
        ("strip", _percent(pull.strip)),
        ("worn", _percent(pull.worn)),
        ("overhang", _length(pull.overhang_mm, quoted)),
        ("weight", _with(pull.mass_g_m2, "g/m2")),
        ("bias", _percent(pull.bias)),
        ("opens_at", _with(pull.opens_n, "N")),
        ("fit", None if pull.fit == "usual" else text_as_toml(pull.fit)),
        ("girth", _length(pull.girth_mm, quoted)),
        ("elsewhere", f"[{places}]" if places else None),
        ("coupon_rises", _with(pull.coupon_rises_g, "g")),
        ("coupon_weight", _with(pull.coupon_weight_g, "g")),
        ("coupon_lift", _length(pull.coupon_lift_mm, quoted)),
        ("coupon_apart", _length(pull.coupon_apart_mm, quoted)),
        ("coupon_pitch", _length(pull.coupon_pitch_mm, quoted)),
    ]


def _body(body: BodyWish, quoted: Quoted) -> list[Row]:
    names = ("head", "neck", "shoulders", "chest", "waist", "seat", "hand", "heel")
    return [
        *((name, _length(getattr(body, f"{name}_mm"), quoted)) for name in names),
        ("age", _with(body.age_months, "months")),
        ("sex", text_as_toml(body.sex)),
        ("share", None if body.share == 95 else str(body.share)),
    ]


def _way_in(way_in: WayInWish, quoted: Quoted) -> list[Row]:
    rings = ", ".join(
        f"{{ at = {text_as_toml(ring.name)}, level = {quoted(ring.level_mm)}, round = {quoted(ring.round_mm)} }}"
        for ring in way_in.rings
    )
    side = way_in.zip
    second = (
        None
        if side is None
        else f"{{ where = {text_as_toml(side.where)}, from = {quoted(side.from_mm)}, to = {quoted(side.to_mm)} }}"
    )
    return [
        ("neck", _length(way_in.neck_mm, quoted)),
        ("slit", _length(way_in.slit_mm, quoted)),
        ("rings", f"[{rings}]" if rings else None),
        ("ends_in", None if way_in.ends_in == "seam" else text_as_toml(way_in.ends_in)),
        ("last_opens", None if way_in.last_opens is None else str(way_in.last_opens)),
        ("zip", second),
        ("cuff", _length(way_in.cuff_mm, quoted)),
        ("hem", _length(way_in.hem_mm, quoted)),
        ("way", text_as_toml(way_in.way)),
    ]


def _length(mm: float | None, quoted: Quoted) -> str | None:
    return None if mm is None else quoted(mm)


def _plain(number: Decimal) -> str:
    whole = number.to_integral_value()
    return f"{whole:f}" if number == whole else f"{number:f}"


def _with(number: float | None, unit: str) -> str | None:
    return None if number is None else f'"{_plain(Decimal(repr(number)))} {unit}"'


def _percent(share: float | None) -> str | None:
    # In decimals throughout, so that reading gives the share back to its last digit.
    return None if share is None else f'"{_plain(Decimal(repr(share)) * 100)} %"'
