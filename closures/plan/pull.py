"""What was measured at the table: the pull across the closing line, the band, and what opens the closure.

Everything is optional: what is not measured is taken as a range from tables, said to be wide.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import format_length, shown_value
from closures.nearest import nearest_name
from closures.plan.kinds import Faults, Place, choice, kind, length, more_than_nothing, text
from closures.plan.section import Complaint, Fields, Key, Section
from closures.plan.weights import force, mass_of_cloth, stretch, times, weight
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.anchors import AnchorWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units

Fit = Literal["close", "usual", "easy"]
MOST_PLACES = 20


@frozen
class ElsewhereWish:
    """The pull at one place of the line.

    Attributes:
        at: an anchor's name.
        times: the pull there over the pull where it was measured.
    """

    at: str
    times: float


@frozen
class PullWish:
    """What was measured; None for what was not.

    Attributes:
        scale_g: what a luggage scale shows when one open closure's lines are drawn until they meet, the wearer
            standing; scale_sitting_g, scale_deep_g: sitting, and in a deep breath.
        at: the anchor where it was measured.
        pitch_mm: of the closures when it was measured; None for that of the row.
        strip: stretch of a strip 50 mm wide under 500 g, as a share; worn: stretch of the garment as worn.
        overhang_mm: of a strip of the finished band at 41.5 degrees; mass_g_m2: of that strip.
        bias: stretch of a bias strip 50 mm wide under 25 g, as a share.
        opens_n: what opens the coupon's closure, the least of several readings, N.
        fit: how the garment fits.
        girth_mm: of the body where the front pulls.
        elsewhere: how the pull differs along the line; empty where nothing is told.
        coupon_rises_g: weight on the pull coupon under which its free edge begins to rise.
        coupon_weight_g: weight under which its lift and its pull-apart were read.
        coupon_lift_mm, coupon_apart_mm: what was read.
        coupon_pitch_mm: of the coupon's two closures; None for the widest gap of the row.
    """

    scale_g: float | None = None
    scale_sitting_g: float | None = None
    scale_deep_g: float | None = None
    at: str | None = None
    pitch_mm: float | None = None
    strip: float | None = None
    worn: float | None = None
    overhang_mm: float | None = None
    mass_g_m2: float | None = None
    bias: float | None = None
    opens_n: float | None = None
    fit: Fit = "usual"
    girth_mm: float | None = None
    elsewhere: tuple[ElsewhereWish, ...] = ()
    coupon_rises_g: float | None = None
    coupon_weight_g: float | None = None
    coupon_lift_mm: float | None = None
    coupon_apart_mm: float | None = None
    coupon_pitch_mm: float | None = None

    @property
    def is_measured(self) -> bool:
        """Whether the pull itself was measured: by the scale, or by a strip and the stretch as worn."""
        return self.scale_g is not None or (self.strip is not None and self.worn is not None)


@kind("list of tables", "tables")
def elsewhere(value: object, place: Place) -> tuple[ElsewhereWish, ...]:
    """Take a list of anchors and how many times the pull is there."""
    example = 'Write [{ at = "waist", times = 0.5 }].'
    if not isinstance(value, list) or not 0 < len(value) <= MOST_PLACES:
        raise place.error(f"{shown_value(value)} tells the pull nowhere", example)
    faults = Faults()
    read = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, dict) or set(one) != {"at", "times"}:
            raise inner.error(f"{shown_value(one)} does not tell a place and a number", example)
        at, found = faults.read(text, one["at"], inner.inner("at")), faults.read(times, one["times"], inner)
        read.append(ElsewhereWish(at, found))
    faults.raise_if_any()
    return tuple(read)


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "scale" in fields and "worn" in fields:
        yield "worn", "the scale told the pull already", "Keep scale, or strip and worn, not both."
    for name in ("scale_sitting", "scale_deep"):
        if "scale" in fields and name in fields and fields[name] < fields["scale"]:
            yield name, "it is less than the reading standing", "Read both again: the lines must meet each time."
    if "coupon_weight" in fields and not {"coupon_lift", "coupon_apart"} & fields.keys():
        yield "coupon_weight", "nothing was read under it", 'Add coupon_apart = "2 mm", or coupon_lift.'


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell the places that are named and are no anchors, or several, and those that are told twice."""
    pull = plan.pull
    if pull is None:
        return
    names = tuple(anchor.name for anchor in plan.anchors)
    told = [("at", pull.at)] if pull.at is not None else []
    told += [("elsewhere", place.at) for place in pull.elsewhere]
    for nth, (key, name) in enumerate(told):
        if name not in names:
            near = nearest_name(name, names)
            known = f"The anchors are: {', '.join(names)}." if names else f'Add [[anchor]] name = "{name}".'
            yield key, f"there is no anchor {shown_value(name)}", f"Did you mean {near}?" if near else known
        elif names.count(name) > 1:
            places = [_place(anchor, plan.units) for anchor in plan.anchors if anchor.name == name]
            what = f"{len(places)} anchors are called {shown_value(name)}, {in_a_row(places)}"
            yield key, what, "Give each [[anchor]] a name of its own, and write here the one that is meant."
        elif ("at", name) in told[:nth]:
            yield key, f"{shown_value(name)} is where the pull was measured", "Leave it out here: it is 1 there."
        elif (key, name) in told[:nth]:
            yield key, f"the pull at {shown_value(name)} is told twice", "Keep one of them."


def _place(anchor: AnchorWish, units: Units) -> str:
    """Where an anchor was told to lie."""
    if anchor.level_mm is not None:
        return f"one at the level {format_length(anchor.level_mm, units)}"
    return (
        "one at a point of the drawing"
        if anchor.along_mm is None
        else f"one {format_length(anchor.along_mm, units)} along"
    )


_SCALE = "The closures above and below are closed, the lines drawn until they meet"

PULL = Section(
    name="pull",
    title="Will it gape",
    meaning="What was measured at the table, to judge whether the row gapes and holds: "
    "[how to](../how-to/will-it-gape.md). Any of these; what is left out is a range from tables, and a wide one.",
    keys=(
        Key(
            "scale",
            weight,
            '"120 g"',
            f"what a luggage scale shows at one open closure, the wearer standing at ease. {_SCALE}",
            label="Scale at the open closure, standing",
            field="scale_g",
        ),
        Key(
            "scale_sitting", weight, '"300 g"', "likewise, sitting", label="likewise, sitting", field="scale_sitting_g"
        ),
        Key(
            "scale_deep",
            weight,
            '"900 g"',
            "likewise, in a deep breath; at a crotch or inseam bending down, at a shoulder with the arm raised",
            label="likewise, in a deep breath",
            field="scale_deep_g",
        ),
        Key("at", text, '"bust point"', "the anchor where it was measured", label="Measured at"),
        Key(
            "pitch",
            more_than_nothing,
            '"76 mm"',
            "from closure to closure where it was measured",
            label="From closure to closure there",
            default="the row's own",
        ),
        Key(
            "strip",
            stretch,
            '"4 %"',
            "how much longer a strip of the garment's cloth, 50 mm wide, becomes under 500 g",
            label="A strip under 500 g stretches by",
        ),
        Key("worn", stretch, '"2 %"', "how much the cloth is stretched when worn", label="Worn, it is stretched by"),
        Key(
            "overhang",
            more_than_nothing,
            '"76 mm"',
            "how far a strip of the finished band hangs over a slope of 41.5° before it touches",
            label="Overhang of the finished band",
        ),
        Key(
            "weight",
            mass_of_cloth,
            '"280 g/m2"',
            "what that strip weighs, all its layers. Only with `overhang`",
            label="It weighs",
            field="mass_g_m2",
        ),
        Key(
            "bias",
            stretch,
            '"4.7 %"',
            "how much longer a bias strip of the finished band, 50 mm wide, becomes under 25 g",
            label="A bias strip under 25 g stretches by",
        ),
        Key(
            "opens_at",
            force,
            '"12 N"',
            "what opens the coupon's closure, the least of several readings; or as a scale shows it",
            label="The coupon's closure opens at",
            field="opens_n",
        ),
        Key(
            "fit",
            choice("close", "usual", "easy"),
            '"usual"',
            "how the garment fits; used where the pull was not measured",
            label="Fit",
            default='"usual"',
        ),
        Key(
            "girth",
            more_than_nothing,
            '"94 cm"',
            "round the body where the front pulls; used where the pull was not measured",
            label="Round the body there",
            default="a range from tables",
        ),
        Key(
            "elsewhere",
            elsewhere,
            '[{ at = "waist", times = 0.5 }]',
            "the pull at other anchors, against where it was measured",
            label="The pull elsewhere",
            default="at anchors as much, between them perhaps less",
        ),
        Key(
            "coupon_rises",
            weight,
            '"60 g"',
            "the weight on the pull coupon under which its free edge begins to rise; it replaces overhang and weight",
            label="The coupon's edge begins to rise at",
            field="coupon_rises_g",
        ),
        Key(
            "coupon_weight",
            weight,
            '"400 g"',
            "a greater weight, under which lift and pull-apart were read",
            label="The coupon was read under",
            field="coupon_weight_g",
        ),
        Key("coupon_lift", length(), '"6 mm"', "the lift that was read", label="Its edge stands off by"),
        Key(
            "coupon_apart",
            more_than_nothing,
            '"1.5 mm"',
            "the pull-apart of one lap that was read; it replaces bias",
            label="One lap's line is drawn off by",
        ),
        Key(
            "coupon_pitch",
            more_than_nothing,
            '"76 mm"',
            "from closure to closure on the coupon",
            label="From closure to closure on the coupon",
            default="the row's widest gap",
        ),
    ),
    value=PullWish,
    only_with=(
        ("weight", "overhang"),
        ("overhang", "weight"),
        ("worn", "strip"),
        ("scale_sitting", "scale"),
        ("scale_deep", "scale"),
        ("at", "scale"),
        ("pitch", "scale"),
        ("coupon_lift", "coupon_weight"),
        ("coupon_apart", "coupon_weight"),
    ),
    not_with=("belt", "row"),
    complaints=_complaints,
    against=_against,
)
