"""Gape, hold and way in: figures for programs, a section for the page, a block for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.jobs.gape.asking import BY_COMMAND, measures_for, most_narrowing
from closures.jobs.gape.formulas import RIPPLES_ABOVE
from closures.jobs.gape.holding import hold_in_words
from closures.report.telling import plain, rounded

if TYPE_CHECKING:
    from closures.jobs.gape.asking import Measure
    from closures.jobs.gape.calm import Beside
    from closures.jobs.gape.formulas import Band
    from closures.jobs.gape.getting_in import WayIn
    from closures.jobs.gape.helps import Help, Helps
    from closures.jobs.gape.known import Input
    from closures.jobs.gape.ranges import Between
    from closures.jobs.gape.row import Gap, Gape
    from closures.placing.placement import Placement

COMPUTED = "Computed, and not tried on cloth: a number and a comparison, no promise."
# A number of which the most is more than so many times the least tells nothing by itself.
_SAYS_NOTHING = 30.0
_UNITS = {"pull": "N/m", "stiffness": "µN·m", "shear": "N", "hold": "N"}
_NAMES = {
    "pull": "pull across the line",
    "stiffness": "bending stiffness of the band",
    "shear": "shear stiffness of the band",
    "hold": "what opens the closure",
}


def gape_figures(gape: Gape, placement: Placement, helps: Helps) -> dict[str, Any]:
    """Put a row's gape and hold into plain figures, each a least and a most; a length only where the pull was measured.

    Args:
        gape: the row as judged.
        placement: the same row.
        helps: what would help it.
    """
    hold = gape.known.hold
    return {
        "gape": [_gap_figures(gap) for gap in gape.gaps],
        "gape_worst_in_states": [
            {"state": name, "gap": gap.gap, "number": _two(gap.number), "band": gap.band} for name, gap in gape.states
        ],
        "gape_rests_on": [
            {
                "what": _NAMES[one.name],
                "range": _two(one.range),
                "unit": _UNITS[one.name],
                "measured": one.is_measured,
                "text": one.told,
            }
            for one in inputs_of(gape)
        ],
        "hold": {
            "load_n": _two(gape.most_load.load_n),
            "mark": gape.most_load.mark,
            "opens_at_n": None if hold is None else _two(hold.range),
            "text": _hold_text(gape, placement),
        },
        "gape_helps": [
            {
                "help": one.name,
                "title": one.title,
                "number": _two(one.number),
                "times": rounded(one.times),
                "hold_times": rounded(one.hold_times),
                "text": one.text,
            }
            for one in helps.ranked
        ],
        "gape_note": " ".join(part for part in (COMPUTED, helps.closures_alone) if part),
    }


def way_in_figures(way_in: WayIn) -> dict[str, Any]:
    """Put what the rules of getting in found into plain figures."""
    return {
        "way_in": [
            {
                "rule": one.passage.rule,
                "needs_mm": rounded(one.passage.needs_mm),
                "has_mm": rounded(one.passage.has_mm),
                "result": one.passage.result,
                "text": one.text,
                "source": one.source,
            }
            for one in way_in.found
        ]
    }


def _gap_figures(gap: Gap) -> dict[str, Any]:
    return {
        "gap": gap.gap,
        "from_mark": gap.from_mark,
        "to_mark": gap.to_mark,
        "pitch_mm": rounded(gap.pitch_mm),
        "number": _two(gap.number),
        "band": gap.band,
        "bands": list(gap.bands),
        "load_n": _two(gap.pull_n_m.times(gap.pitch_mm / 1000, gap.pitch_mm / 1000)),
        "pull_apart_mm": None if gap.apart_mm is None else _two(gap.apart_mm),
        "lift_mm": None if gap.lift_mm is None else _two(gap.lift_mm),
    }


def inputs_of(gape: Gape) -> tuple[Input, ...]:
    """Everything that the answer rests on, in the order in which it is told."""
    known = gape.known
    return tuple(one for one in (*(i for _, i in known.states), known.stiffness, known.shear, known.hold) if one)


def gape_section(gape: Gape, placement: Placement, helps: Helps) -> str:
    """Write a row's gape and hold as a section of the report's page."""
    with_lengths = any(gap.apart_mm is not None for gap in gape.gaps)
    rows = ["## Will it gape, will it hold", "", f"{COMPUTED} {plain(summary(gape))}", ""]
    extra = " one lap drawn apart, mm |" if with_lengths else ""
    rows += [
        f"| gap | marks | gape number | which is | load, N |{extra}",
        f"|---|---|---|---|---|{'---|' if extra else ''}",
    ]
    for gap in gape.gaps:
        apart = f" {span(gap.apart_mm)} |" if gap.apart_mm is not None else (" |" if with_lengths else "")
        load = span(gap.pull_n_m.times(gap.pitch_mm / 1000, gap.pitch_mm / 1000))
        rows.append(
            f"| {gap.gap} | {gap.from_mark} to {gap.to_mark} | {span(gap.number)} | {bands_in_words(gap.bands)} "
            f"| {load} |{apart}"
        )
    rows += [
        "",
        "A gape number up to 1 lies calm, up to 5 ripples, above that the edge stands off. " + _why_no_mm(gape),
    ]
    rows += ["", *(f"- {plain(line)}" for line in _lines(gape, placement))]
    helped = help_lines(helps)
    rows += (
        [
            "",
            "What would help, each placed and reckoned anew:",
            "",
            *(f"{n}. {plain(line)}" for n, line in enumerate(helped, 1)),
        ]
        if helped
        else []
    )
    rows += [row for line in _idle_lines(helps) for row in ("", plain(line))]
    rows += ["", f"**{plain(helps.closures_alone)}**"] if helps.closures_alone else []
    rows += ["", "What this rests on:", ""]
    rows += [
        f"- **{_NAMES[one.name]}**: {span(one.range)} {_UNITS[one.name]}, {plain(one.told)}" for one in inputs_of(gape)
    ]
    return "\n".join(rows)


def way_in_section(way_in: WayIn) -> str:
    """Write what the rules of getting in found as a section of the report's page."""
    words = {"pass": "good", "warn": "look", "fail": "FAIL"}
    rows = [
        "## Does the body get in",
        "",
        "A tape's answer: try it on, or try a trial garment on, before cloth is cut.",
        "",
    ]
    rows += [f"- **{words[one.passage.result]}** · {plain(one.text)} *({plain(one.source)})*" for one in way_in.found]
    return "\n".join(rows)


def gape_terminal(gape: Gape, placement: Placement, helps: Helps, width: int) -> str:
    """Write a row's gape and hold for a terminal, without a final line break."""
    import textwrap

    lines = [*head_lines(gape, placement), *helping_lines(helps)]
    return "\n".join("\n".join(textwrap.wrap(line, width, subsequent_indent="  ")) for line in lines)


def summary(gape: Gape) -> str:
    """The answer in a sentence or two."""
    worst = gape.worst
    if worst is None:
        return "One closure has no gap beside it to judge."
    alike = max(gap.number.high for gap in gape.gaps) <= 1.02 * min(gap.number.high for gap in gape.gaps)
    where = (
        "every gap"
        if alike and len(gape.gaps) > 1
        else f"the worst gap, between marks {worst.from_mark} and {worst.to_mark},"
    )
    text = f"{where[0].upper()}{where[1:]} has a gape number of {span(worst.number)}: {bands_in_words(worst.bands)}."
    return f"{text} So wide a range says one thing only: measure." if worst.number.ratio > _SAYS_NOTHING else text


def head_lines(gape: Gape, placement: Placement) -> tuple[str, ...]:
    """The answer, its states, the hold, and what was assumed."""
    return (f"Gape: {summary(gape)} {COMPUTED}", *_lines(gape, placement))


def gap_lines(gape: Gape) -> tuple[str, ...]:
    """Each gap on a line."""
    lines = []
    for gap in gape.gaps:
        apart = "" if gap.apart_mm is None else f"; one lap drawn apart by {span(gap.apart_mm)} mm"
        lines.append(
            f"Gap {gap.gap}, marks {gap.from_mark} to {gap.to_mark}: gape number {span(gap.number)}, "
            f"{bands_in_words(gap.bands)}{apart}"
        )
    return tuple(lines)


def helping_lines(helps: Helps) -> tuple[str, ...]:
    """What would help, under its heading; nothing where nothing need."""
    helped = help_lines(helps)
    lines = ["What would help, each placed and reckoned anew:"] if helped else []
    lines += [f"  {n}. {line}" for n, line in enumerate(helped, 1)]
    lines += _idle_lines(helps)
    return (*lines, *([helps.closures_alone] if helps.closures_alone else []))


def measures_left(gape: Gape, placement: Placement) -> tuple[Measure, ...]:
    """What can still be measured, what narrows the gape number most first."""
    known = gape.known
    measured = {one.name: one.is_measured for one in inputs_of(gape)}
    left = [one for one in measures_for(placement) if one.name != "coupon" and not measured.get(one.of, True)]
    best = None if gape.worst is None else most_narrowing(known, gape.worst.number.ratio)
    return tuple(sorted(left, key=lambda one: best is None or one != best.measure))


def measure_lines(gape: Gape, placement: Placement) -> tuple[str, ...]:
    """What can still be measured, step by step."""
    left = measures_left(gape, placement)
    if not left:
        pull = placement.plan.pull
        if pull is not None and (pull.coupon_rises_g, pull.coupon_weight_g) != (None, None):
            return ("Everything was measured.",)
        return (f"Everything was measured but the pull coupon, which tries it all at once: {BY_COMMAND}.",)
    lines = ["What to measure at the table, the most useful first (closures place PLAN --also measuring draws it):"]
    for n, one in enumerate(left, 1):
        keys = ", ".join(one.keys)
        lines += [f"  {n}. {one.title}. In [pull]: {keys}.", *(f"     {step}" for step in one.how)]
    return tuple(lines)


def measure_figures(gape: Gape, placement: Placement) -> list[dict[str, Any]]:
    """The same as plain figures."""
    return [
        {"measure": one.name, "keys": list(one.keys), "title": one.title, "how": list(one.how)}
        for one in measures_left(gape, placement)
    ]


def rows_figures(rows: Beside) -> list[dict[str, Any]]:
    """The even row and the calm one as plain figures."""
    return [
        {
            "for": name,
            "along_mm": [rounded(place) for place in placement.spacing.positions_mm],
            "spread_mm": rounded(placement.spacing.spread_mm),
            "worst_number": None if gape.worst is None else _two(gape.worst.number),
        }
        for name, placement, gape in (("even", rows.even, rows.even_gape), ("calm", rows.calm, rows.calm_gape))
    ]


def help_lines(helps: Helps) -> list[str]:
    """What would help, the most helpful first."""
    return [f"{one.title}: {_effect(one)}. {one.text}" for one in helps.ranked if one.is_of_use]


def _idle_lines(helps: Helps) -> list[str]:
    """What was tried and changes next to nothing, in one line; none where all of it helps."""
    idle = [one.title for one in helps.ranked if not one.is_of_use]
    return [f"Tried too, and hardly any help here: {'; '.join(idle)}."] if idle else []


def _effect(one: Help) -> str:
    number = f"a gape number of {span(one.number)}"
    becomes_calm = one.is_calm and one.number.middle / one.times > RIPPLES_ABOVE
    if one.number.ratio > _SAYS_NOTHING and one.name != "larger":
        return f"{digits(one.times)} times the gape number, whatever that is"
    if one.name == "larger":
        return f"the load is {digits(one.hold_times)} times as near to what opens it, the gape as before"
    return f"{number}, {digits(one.times)} times what it is" + (" and calm by the middle" if becomes_calm else "")


def bands_in_words(bands: tuple[Band, ...]) -> str:
    """What a range of gape numbers means."""
    return bands[0] if len(bands) == 1 else f"{bands[0]} to {bands[-1]}"


def span(ends: Between) -> str:
    """A range in words, two digits to each end."""
    low, high = digits(ends.low), digits(ends.high)
    return low if low == high else f"{low} to {high}"


def digits(value: float) -> str:
    """A number with two digits that count, without an exponent."""
    if value == 0:
        return "0"
    from math import floor, log10

    places = 1 - floor(log10(abs(value)))
    return f"{round(value, places):.{max(places, 0)}f}"


def _lines(gape: Gape, placement: Placement) -> list[str]:
    lines = [
        f"Worst {name}: gape number {span(gap.number)}, {bands_in_words(gap.bands)}." for name, gap in gape.states[1:]
    ]
    hold = gape.known.hold
    opens = "" if hold is None else f", and it opens at {span(hold.range)} N"
    lines.append(
        f"Hold: closure {gape.most_load.mark} carries most, {span(gape.most_load.load_n)} N{opens}. "
        f"{_hold_text(gape, placement)}"
    )
    lines.append(gape.profile.text)
    worst = gape.worst
    narrowing = None if worst is None else most_narrowing(gape.known, worst.number.ratio)
    if narrowing is not None:
        lines.append(narrowing.text)
    return lines


def _hold_text(gape: Gape, placement: Placement) -> str:
    return hold_in_words(gape, placement.fastener.family, placement.plan.is_for_child)


def _why_no_mm(gape: Gape) -> str:
    if gape.known.pull.is_measured:
        return "The pull was measured, so the drawing apart is told in mm, as a range."
    return "The pull was not measured, so nothing is told in mm."


def _two(ends: Between) -> list[float]:
    return [rounded(ends.low), rounded(ends.high)]
