"""Twenty-six jobs, each read as a master reads the pages before the cloth is cut: the whole set, for what must and must not stand there."""

from __future__ import annotations

import io
import json
import math
import random
import re
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
from each_cloth import without_apart

from closures.app.job import Answer, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.checks.cloth import _lacking
from closures.drawing.extras.registry import asked_for
from closures.errors import ClosureError
from closures.jobs.knitting.instructions import knit
from closures.jobs.knitting.words import list_to_knit_by
from closures.jobs.table.strip import strides
from closures.lengths import format_mm
from closures.placing.buttonhole import cut_lengths
from closures.placing.role import tried_alike
from closures.plan.reading import read_plan

ROOT = Path(__file__).resolve().parent.parent
FRONT = '[edge]\nstraight = "600 mm"\n[band]\nwidth = "{width} mm"\nlap = "right over left"\n'
SHIRT = (
    '[swap]\nkind = "{kind}"\nsize = "{size}"\nplaces = ["60 mm", "150 mm", "240 mm", "330 mm", "420 mm", "510 mm"]\n'
    "hole = {{ made = true{hole} }}\n"
)


def front(kind: str, size: str, *, closure: str = "", rest: str = "", width: int = 50, count: int | None = 6) -> str:
    row = "" if count is None else f'[spacing]\nfirst = "30 mm"\nlast = "60 mm"\ncount = {count}\n'
    return f'{FRONT.format(width=width)}[closure]\nkind = "{kind}"\nsize = "{size}"\n{closure}\n{row}{rest}'


def cloth(name: str, count: int = 2, fusible: bool = False) -> str:
    more = '[[layer]]\ncloth = "light fusible"\n' if fusible else ""
    return f'[[layer]]\ncloth = "{name}"\ncount = {count}\n{more}'


def whole_set(text: str) -> str:
    """Every word of every page and file of a plan, with the order of work asked for."""
    plan = asked_for(read_plan(text.encode(), "job.toml"), ("order", "coupon"))
    answer = place_plan(plan)
    made = result_files(answer, "a4")
    # Words that are set in two columns are read column by column, as they stand in the file.
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made["marking.pdf"])]
    return " ".join(" ".join([made["report.md"].decode(), made["report.json"].decode(), *pages]).split())


WASH, PRESS, PRICK = r"Wash and dry the cloth", r"[Pp]ress it flat|press the edge", r"[Pp]rick through|touch each prick"

JOBS: dict[str, tuple[str, list[str], list[str]]] = {
    "leather jacket": (
        front("leather post snap", "20 L", rest=cloth("leather 3 oz")),
        [r"touch each dot with an awl", r"mark: touch with an awl", r"neither water nor heat", r"Punch a hole of 3.5 mm", r"trial piece of the same leather", r"will be cleaned; metal must not rust", r"gap on a coat or jacket"],
        [WASH, PRESS, PRICK, r"[Ff]use the interfacing to", r"its iron", r"shirt front", r"with a pin", r"same cloth, layers", r"pin across"],
    ),
    "melton coat": (
        front("shank button", "36 L", closure='hole = "across"', rest=cloth("melton"), width=80),
        [r"hold steam over it", r"press the edge under a damp cloth", r"touch the cloth through it with sharp chalk", r"for bulky cloth", r"by their own shanks", r"gap on a coat or jacket"],
        [WASH, r"[Pp]ress it flat", r"loose stitch", r"the pile", r"flatten it", r"thread shank as long", r"shirt front"],
    ),
    "satin bodice": (
        front("hook and eye", "2", rest=cloth("satin")),
        ["mark: thread at the dot", "one loose stitch of thread"],
        [PRICK, r"Ink that heat"],
    ),
    "silk blouse": (
        front("sew-through button", "16 L", rest=cloth("silk charmeuse")),
        [r"loose stitch", r"steam", r"mark: thread at the dot", r"needle holes may stay to be seen", r"with a dry iron, from the wrong side", r"press the edge with a dry iron under a press cloth"],
        [WASH, PRICK, r"Ink that heat", r"hammer", r"holes close with steam", r"nickel", r"up to here they can be unpicked", r"put a pin (?:through|into)", r", a pin across"],
    ),
    "baby interlock": (
        front("prong snap", "15 L", rest=cloth("interlock") + '[wearer]\nprofiles = ["child"]\n'),
        [r"it fits", r"knit alone", r"loose stitch", r"its part 3", r"cotton wool", r"laboratory", r"1500\.51", r"1501\.3\(d\)", r"100 ppm", r"Pull every closure"],
        [r"FAIL", r"leather post", r"post snap", PRICK, r"70 N", r"hoods? and neck"],
    ),
    "fleece": (
        front("plastic snap", "20", rest=cloth("polar fleece")),
        [r"loose stitch", r"Keep the iron off the parts", r"[Ss]team held|steam held above"],
        [PRESS, PRICK, r"nickel"],
    ),
    "towelling bathrobe": (
        front("sew-through button", "36 L", rest=cloth("towelling"), width=70),
        [r"loose stitch", r"lost in the pile", r"for bulky cloth"],
        [PRICK, PRESS],
    ),
    "oilcloth bib": (
        front("plastic snap", "20 short", rest=cloth("oilcloth") + '[wearer]\nprofiles = ["child under three"]\n'),
        [r"paper tape", r"coating takes no heat", r"take the tape off", r"Under three", r"wash test"],
        [WASH, PRESS, PRICK, r"nickel release", r"70 N", r"[Kk]eep the iron off"],
    ),
    "wool trousers": (
        '[row]\npiece = "waistband"\nlength = "800 mm"\nheight = "40 mm"\nover = ["12 mm"]\nunder = ["24 mm"]\n'
        'lap = "left over right"\n[closure]\nkind = "hook and bar"\nsize = "one size"\n' + cloth("wool suiting"),
        [r"[Ss]team|steam", r"its end at its mark", r"bar", r"through the layer it lies on and what backs that", r"press it under a damp cloth", r"lifting the iron and not sliding it", r"this cloth is not put into water", r"Sew and turn the waistband, the garment's upper edge taken in"],
        [WASH, PRESS, r"rinse before", r"steam held above", r"STOP", r"hammer", r"shirt front", r"[Cc]lose the garment as it is worn"],
    ),
    "sheer": (
        front("sew-on snap", "4/0", rest=cloth("chiffon")),
        [r"loose stitch", r"stay to be seen", r"ball halves on at marks 1 to 6 of the over lap, three or more stitches to a hole, through the inner layers only", r"of the under lap, each through the layer it lies on", r"Metal is seen through a sheer", r"A hot iron makes polyester"],
        [PRICK, r"[Pp]unch", r"Ink that heat", r"post snap", r"steam closes", r"of the under lap, through the inner layers only"],
    ),
    "denim": (
        front("tack button", "27 L", rest=cloth("denim 12 oz", 3)),
        [WASH, PRESS, r"drive the button on", r"eye protection", r"Work the buttonholes", r"Ink that heat takes away", r"An iron sets ink", r"Try every pen and chalk", r"hole stays|hole of a tack"],
        [r"loose stitch", r"thread shank"],
    ),
    "finished shirt to snaps": (
        front("prong snap", "16 L", rest=cloth("oxford", fusible=True) + SHIRT.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"') + '[[anchor]]\nname = "bust"\nlevel = "195 mm"\nwithin = "3 mm"\n', width=32, count=None),
        [r"false buttons", r"note where it gapes or pulls now", r"Sew 6 buttons for show on the closed buttonholes", r"woven cloth may close after steaming\.", r"Take the 6 sew-through buttons off", r"from cloth as like the garment's as you have", r"behind old holes are of oxford, as the lap is", r"the ball to the over lap through its inner layer alone, and the socket to the under lap through the layer it lies on", r"helper", r"Close buttonholes", r"6 on each lap, and the helper at", r"7 × patch behind an old hole, over lap \(1 for trial", r"1 × ball half of a small sew-on snap", r"sewn on, not pierced", r"layers and backing, with the patch"],
        [r"\b7 × (?:socket|stud)", r"hides? (?:it|the buttonhole)\.", WASH, r"[Bb]efore the band is closed", r"Sew band and facing", r"[Ff]use the interfacing to", r"(?:of|from) the same cloth"],
    ),
    "snaps to buttons": (
        front("sew-through button", "20 L", rest=cloth("oxford", fusible=True) + SHIRT.format(kind="prong snap", size="16 L", hole=""), width=36, count=6),
        [r"Stop: what comes off here cannot be set again\. Go on when the trial piece holds.*Take the 6 prong snaps off both laps", r"Cut the buttonholes", r"end-cutting pliers", r"steam each, stroke the threads back over its pricks"],
        [WASH, r"\bdarn\b", r"Sew band and facing", r"false button", r"(?:of|from) the same cloth"],
    ),
    "corset": (
        front("eyelet", "5.5 mm", rest=cloth("coutil"), count=None),
        [r"beside each other", r"Face both edges, turn them", r"outside of the tube", r"Punch", r"Both laps carry the same", r"sheet of either lap", r"lace it (?:close|on the body); sit and reach", r"Set one eyelet in either, and pull at a cord", r"Lay a tape along the wrong side of either lap now.*Stiffen the edge of either lap before a hole"],
        [r"[Cc]lose the garment as it is worn", r"child", r"numbers that pair", r"after 50 times", r"usual side of each half", r"[Oo]pens? and closes? (?:it )?ten", r"shirt front"],
    ),
    "duvet": (
        front("plastic snap", "20 short", rest='[garment]\nopens = "flat"\n' + cloth("quilting cotton", 3), count=None).replace("right over left", "upper over lower").replace("[band]", 'cloth = "right"\n[band]'),
        [WASH, r"awl", r"Finish both edges as they are planned", r"Open and close the whole row ten times", r"gap of an opening that nobody wears", r"close the opening, lying on the table", r"Now fill what it closes and shake it"],
        [r"nickel", r"hammer", r"as it is worn", r"put it on", r"shirt front", r"wearer"],
    ),
    "dungarees": (
        front("tack button", "30 L", rest=cloth("denim 10 oz", 3) + '[wearer]\nprofiles = ["child"]\n'),
        [r"70 N from 6 mm", r"EN 17394-2", r"sharp points", r"Count the loose parts"],
        [r"wash test\. ", r"its part 3"],
    ),
    "raincoat": (
        front("post snap", "20 L", rest=cloth("coated polyester", 4)),
        [r"paper tape", r"lets water through", r"coating takes no heat", r"take the tape off before the part goes in", r"taped in"],
        [WASH, PRESS, PRICK, r"shirt front", r"its iron", r"takes neither water", r"fusible would do", r"[Cc]halk each socket, close the garment as it is worn, lying on the table, and push each on to the under"],
    ),
    "knit cardigan": (
        front("sew-through button", "24 L", rest=cloth("rib")),
        [r"loose stitch", r"not stretched", r"knit alone", r"Do not pull the cloth while the sheet"],
        [PRICK, r"hammer"],
    ),
    "costume quick change": (
        front("capped prong snap", "24 L", rest=cloth("chino", 3) + '[wearer]\nprofiles = ["quick change"]\n'),
        [r"As few closures as hold", r"Rehearse it in the dark", r"few are wanted"],
        [r"child", r"arthritis", r"use more closures"],
    ),
    "weak hands": (
        front("shank button", "30 L", rest=cloth("linen") + '[wearer]\nprofiles = ["weak hands"]\n', width=60),
        [r"Of 97 women with arthritis", r"upright buttonhole", r"few are wanted", r"Large enough for such hands"],
        [r"less force", r"child", r"use more closures"],
    ),
    "implants": (
        front("magnetic snap", "14 mm", rest=cloth("chino") + '[wearer]\nprofiles = ["implants"]\n'),
        [r"whether the magnets bear a wash", r"pacemaker", r"programmable shunt valve", r"hearing implant", r"Ask about implants, in the words", r"FAIL"],
        [r"\d+ (?:mm|cm) from (?:the|an) implant", r"No magnet is in this closure"],
    ),
    "child under three": (
        front("sew-on snap", "1", rest=cloth("poplin") + '[wearer]\nprofiles = ["child under three"]\nsold = ["EU"]\n'),
        [r"Under three", r"31\.7 mm", r"laboratory", r"cleaned as the garment will be", r"few are wanted", r"sewn to the inner layers alone, so that no stitch shows, and that is a single one here", r"Back the closures of the over lap: along the whole closing line.*Sew the ball halves on"],
        [r"1500\.51", r"lead; ask", r"US: ", r"use more closures", r"[Mm]agnet"],
    ),
    "belt over a coat": (
        '[belt]\nwaist = "820 mm"\nover = "6 mm"\nwidth = "40 mm"\nsettings = 5\nstep = "25 mm"\ncaps = ["20 mm", "70 mm"]\n'
        'lap = "right over left"\n[closure]\nkind = "capped prong snap"\nsize = "20 L"\n' + cloth("chino", 3),
        [r"over end on the under end at its tightest and at its loosest setting", r"stud each time", r"buckle belt worn in its place takes 1010.1 mm", r"37.7 mm longer", r"tells 3 layers of cloth, and what is cut makes 2", r"turn the belt, and press it.*slides through without folding"],
        [r"follow the cap", r"[Cc]lose the garment as it is worn"],
    ),
    "waistband with inner button": (
        '[row]\npiece = "waistband"\nlength = "780 mm"\nheight = "40 mm"\nover = ["16 mm"]\nunder = ["16 mm"]\n'
        'lap = "left over right"\n[closure]\nkind = "capped prong snap"\nsize = "24 L"\n' + cloth("chino", 4),
        [r"One snap alone", r"inner button", r"Sew and turn the waistband", r"over end on the under end as it is worn", r"no seam allowance in it"],
        [r"[Cc]lose the garment as it is worn", r"at its tightest", r"[Oo]pen and close the whole row", r"turn the waistband, and"],
    ),
    "leather waistcoat": (
        front("sew-through button", "28 L", closure='hole = "across"', rest=cloth("leather 2 oz")),
        [r"point on the tape at each dot", r"Stitch a narrow box round the line of each buttonhole", r"Slit the leather between the stitches", r"Stop\. From step 4 nothing can be undone: leather keeps every hole of a needle. Go on when the trial piece holds and the sheets measure", r"needle holes stay"],
        [r"with an awl", r"Work the buttonholes round", r"a pin across"],
    ),
    "velvet snaps": (
        front("prong snap", "14 L", rest=cloth("cotton velvet", 1, fusible=True)),
        [r"Fuse the interfacing to a scrap first, from the wrong side and under a press cloth", r"Treat the pieces as the scrap was treated", r"Hold a strip of paper along the under lap", r"chalk each socket"],
        [r"to the wrong side, and let it cool"],
    ),
    "bound buttonholes": (
        front("sew-through button", "30 L", closure='bound = true\nhole = "across"', rest=cloth("wool suiting", fusible=True), width=70),
        [r"Fuse the interfacing to a scrap first.*Then treat the pieces", r"Measure the two squares.*with tacking thread.*Make the bound buttonholes", r"before the facing is sewn on", r"Open the facing behind each bound buttonhole", r"Bulletin 576", r"mark: thread at the dot", r"small sharp scissors", r"press the edge under a damp cloth", r"or its seam line where none is made yet", r"lips of a bound buttonhole can be sewn together"],
        [r"A cut buttonhole can", r"rinse before", r"Work the buttonholes round", WASH, PRICK, r"a pin across", r"Ink that heat"],
    ),
}  # fmt: skip


def test_there_are_as_many_jobs_as_must_hold() -> None:
    assert len(JOBS) == 27


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", JOBS)
def test_whole_set_of_pages_of_a_job(name: str) -> None:
    text, must, must_not = JOBS[name]
    words = whole_set(text)
    assert [pattern for pattern in must if not re.search(pattern, words)] == []
    assert [pattern for pattern in must_not if re.search(pattern, words)] == []
    assert not re.search(r"\b(?:safe|safely|compliant|banned)\b", words, re.IGNORECASE)
    assert contradictions(words) == [] and out_of_order(words) == []
    assert of_one_kind(words) == [] and mispointed(words) == []


@pytest.mark.parametrize("kind", ["prong snap", "sew-on snap"])
def test_marks_on_quilted_cloth_go_through_what_is_quilted_and_not_through_a_lining_that_keeps_them(kind: str) -> None:
    size = {"prong snap": "16 L", "sew-on snap": "1"}[kind]
    layers = '[[layer]]\ncloth = "quilted cotton"\n[[layer]]\ncloth = "satin"\n'
    words = whole_set(front(kind, size, rest=layers))
    assert "through all that is quilted together" in words and contradictions(words) == []


SHOWS = r"stay to be seen (?:in such cloth|on the inside)"
NO_HEAT = r"neither water nor heat|coating takes no heat"

CONTRADICTIONS = (
    # What fails for its wearer is held back.
    (
        r"Buy, mark, cut and set nothing of what is planned",
        r"as the signs say|touch each|one loose stitch|on a trial piece(?! with its backing)|for trial|when you (?:hammer|buy)|push the tabs",
    ),
    # A row whose closures are all there and stay: nothing on any page sets, marks, cuts, buys, backs or tries one.
    (
        r"Set nothing, mark nothing and cut nothing",
        r"mark: |as the signs say|touch each|one loose stitch|on a trial piece|of the trial piece|for trial|\d comes? off\b|part, comes off|To change them over|"
        r"before you mark|Pierce nothing|when you (?:hammer|buy)|Cut away from|backing pieces|Work \d+ buttonhole|\*\*Stop",
    ),
    (r"All closures of the row are there, and stay", r"\d × [a-z -]+, (?:over|under) lap \(|\b[1-9] spare"),
    (r"All closures of the row are there, and stay", r"before a pack is bought|count the old parts as they come off"),
    (r"(?:All|Both) (?:\d+ )?old places stay, and their closures with them", r"\bstruck out\b|Strike out|Take off"),
    (r"Over lap: buttonhole", r"To change them over"),
    (r"cleaned once as the garment will be|neither water nor heat", r"fused and pressed like|after one wash"),
    (r"number \d+ or \d+,", r"the one in the middle"),
    (r"through the paper, only where a part will cover it", r"[Aa]t both ends of every buttonhole"),
    (r"up to here they can be unpicked", rf"{NO_HEAT}|stay to be seen"),
    (r"close with steam|steam closes|after steaming", rf"{NO_HEAT}|has met no water and no steam"),
    (r"lost in the pile|stay to be seen in such cloth|leather keeps every point|point on tape", r"\bChalk each"),
    (r"an iron set down on it would", r"Fuse the interfacing to the wrong side|fuse or sew"),
    (
        r"does not bear its heat|neither water nor heat|coating takes no heat",
        r"fuse or sew (?:them|their)|fusible would do",
    ),
    (r"stay to be seen in such cloth|cut loop runs", r"put a pin (?:through|into)"),
    (r"rinse before you press", r"has met no water"),
    (r"put a pin across the end|a pin across each end", NO_HEAT),
    (r"^(?!.*inside face up on the inside).*lay paper tape on the", r"take one loose stitch"),
    # A lap that is marked on its inside is marked as its facing bears, and the other as its own cloth does.
    (
        rf"^(?!.*inside face up on the inside).*(?:{PRICK})",
        r"thread at the dot|a pin would cut|touch with an awl|point on tape",
    ),
    (r"^(?!.*inside face up on the inside).*thread at the dot", r"touch with an awl|point on tape"),
    (WASH, rf"Leave the cloth unwashed|{NO_HEAT}|cleaned, and let it dry lying"),
    (PRESS, NO_HEAT),
    (r"[Ss]team held|hold steam|with steam held", rf"{NO_HEAT}|has met no water and no steam"),
    (r"[Ff]use the interfacing to (?:the wrong side|a scrap)", r"does not bear its heat"),
    (NO_HEAT, r"low heat"),
    (r"steam and smooth", r"has met no water and no steam"),
    (r"is not put into water", r"\bits wash\b|bear a wash"),
    (r"hold steam over it, or have it cleaned", r"\bits wash\b|bear a wash"),
    (r"Sew band and facing|before the band is closed", r"Lay the garment closed as it is worn and"),
    (r"No magnet is in this closure", r"magnet half"),
    (r"nobody asked has an implant", r"Ask first: does"),
    (r"[Ss]omebody has an implant", r"Ask first: does|Ask about implants"),
    (r"Only now (?:put it|lace it) on the child", r"sit and reach"),
    (r"Lay the edges beside each other", r"[Cc]lose the garment as it is worn, lying"),
    # Words in two columns are read across them too, so that "lap" may stand in the other: "under ends" is no end.
    (r"of the under end\b", r"of the under lap[ ;,.]"),
    (r"up to here they can be unpicked", r"Make the bound buttonholes"),
    (r"by their own shanks", r"thread shank as long"),
    (r"under a damp cloth", rf"steam and smooth|an iron set down on it|{NO_HEAT}"),
    (r"Make the bound buttonholes", r"a pin across|touch each prick|Ink that heat"),
    (r"the plan does not tell: a pin", r"thread at the dot|prick through the dot|touch with an awl"),
    (r"[Oo]pen and close (?:it|the whole row) ten times", r"(?:lace it on the body|lace it close|draw it close); sit"),
    (r"at its tightest and at its loosest", r"over end on the under end as it is worn"),
    (r"[Ll]eave each loose stitch in", PRICK),
    (r"Ink that heat takes away|rinse before you press", r"thread at the dot|No pen and no chalk"),
    (
        r"Fuse the interfacing to a scrap first, with a dry iron",
        r"[Hh]old steam|steam held|press the edge(?! with a dry iron)|Press it flat|damp cloth",
    ),
    (r"Leather bears a closure in one layer", r"Every closure has two layers|Cut:\*\* 2"),
    (r"fill what it closes and shake it", r"as it is worn|put it on, sit"),
    (r"Both laps carry the same", r"usual side of each half"),
    (r"Lying free the stack", r"Squeezed, the stack comes"),
    (SHOWS, r"holes close with steam|which steam closes|after steaming"),
    (r"few are wanted", r"use more closures"),
    (
        r"as like the garment's as you have",
        r"(?:of|from) the same (?:cloth|leather)|band closes|sew and turn|Face both edges",
    ),
    (
        r"closed as it is worn and|opening closed and flat and",
        r"band closes|before the facing is sewn|Cut, sew and turn",
    ),
    (NO_HEAT, r"its iron, its dry-cleaning|put a pin (?:through|into)|tacking thread|press the (?:edge|neck seam)"),
    (r"the plan says that it is never washed", r"its iron, its dry-cleaning|bear a wash|Now wash it|\bfirst wash\b"),
    (r"Make the bound buttonholes", r"Cut the buttonholes open|Work the buttonholes round"),
    (r"Knit one buttonhole", r"Cut the buttonholes|Work the buttonholes|Cut a trial one"),
    (r"No magnet is in this closure", r"whether the magnets bear|No magnets on anything"),
    (r"Somebody has an implant", r"[Nn]obody asked has an implant"),
    (r"take the tape off", r"mark: (?:prick|thread|chalk)"),
    (r"This cloth bears the holes", r"widens in a knit, and the part|frays in a sheer, and|bends? on leather, which"),
    (r"fill what it closes and shake it", r"on the skin|Lay the garment|arthritis"),
    (
        r"Sew one pair|Sew the (?:hook|ball half)",
        r"when you hammer|a press and of setting pliers|test for sharp points",
    ),
    (r"under lap, through the inner layers only", r"lying on the table"),
    (r"small for such hands", r"Large enough for such hands"),
    (r"Lay the edges beside each other|lie flat beside each other", r"lie flat on each other"),
    (r"ribbon or another backing behind", r"Back the closures?(?: of the \w+ \w+)?: along the whole closing line"),
    (WASH, r"Now wash it as it will be washed"),
    (r"lift the pile back", r"stroke the threads back"),
    (r"catch each loop that runs", r"rub the nap over|lift the pile back"),
    (r"with a leather needle", r"with tacking thread"),
    (r"rinse before you press", r"is not put into water|hold steam over it, or have it cleaned"),
    (r"coating takes no heat|neither water nor heat", r"[Kk]eep the iron off the parts"),
    (r"a pin would cut", r"a pin straight down|with a pin and look"),
    (r"dot[^.]*; through all layers", r"Go no deeper than"),
    # What backs a laced row lies where a tape would that stiffens its edge.
    (
        r"Lay the backing pieces|Back the closures",
        r"Lay a tape along the wrong side|lay a firm tape along its wrong side",
    ),
    (NO_HEAT, r"a pin straight down|with a pin and look"),
    (r"Only now put it on the child", r"with a pin and look|or a button for show, \d"),
    (r"pricks and chalk are lost in the pile|lie flat for a night; an iron", r"creases with a dry iron"),
    (r"lips of a bound buttonhole|that was knitted is sewn shut", r"A cut buttonhole can be sewn shut"),
    (r"Knit one buttonhole", r"one buttonhole of each length"),
    (r"Leave the cloth unwashed", r"A square marked on it beforehand no longer shrinks|hold steam over it"),
    (r"No magnet is in this closure", r"push the tabs through"),
    # A lining that runs is told apart, and only then does a pin come near it.
    (
        r"^(?!.*(?:Go no deeper|inside face up on the inside)).*(?:[Pp]rick through|touch each prick)",
        r"a cut loop runs",
    ),
    # Of a belt for a child too the law on cords is told.
    (
        r"^(?!.*(?:turn the belt|the belt to|\bbelts? is\b|lace)).*(?:EN 14682|16 CFR 1120|strangle)",
        r"Press (?:each|the) (?:ring|cap)|lay (?:its|the) socket on|Sew the (?:ball|button)|drive the button",
    ),
    (r"leather keeps every|needle holes? stay|they stay in leather", r"holes that close|steam closes"),
    (r"Press (?:each|the) (?:ring|cap) through", r"^(?!.*Prise the (?:ring|cap) and the socket)"),
    (r"Open and close [a-z ]+ ten times", r"Open and close [a-z ]+ a hundred times"),
    (r"over\.svg`: over \w+, outside face up", r"Turn the over \w+ over and lay its sheet, inside"),
    (r"over\.svg`: over \w+, inside face up", r"Lay the sheet of the over \w+ to its finished edge"),
    (r"OVER LAP[^.]{0,60} · outside face up", r"OVER LAP[^.]{0,60} · inside face up"),
    (
        r"so that no stitch shows outside|through the inner layers only",
        r"of the over lap, three or more stitches to a hole, through all",
    ),
    (r"from the wrong side: on the right side an iron", r"from the right side"),
    (r"by their own shanks|by its own shank", r"thread shank as long"),
    (r"an iron set down on it|An iron would flatten", r"its (?:wash|steam), its iron"),
    (r"(?:held by clips|clip)", r"Pin (?:and|the)|\bpin it on\b"),
    (r"prongs, and clench it|spread the post|clenched point", r"parts can be used again"),
    (
        r"Lay the over end on the under end",
        r"[Cc]lose the garment as it is worn, lying|Hold a strip of paper along the",
    ),
    (r"(?:press|smooth) its closing edges", r"trial piece of the same (?:cloth|leather)"),
    (r"[Oo]ver (?:lap|end): buttonhole", r"push the tack through from the face that will show"),
    (r"Keep the iron off the parts", r"press with an iron"),
    (r"A metal shank that lies on the skin", r"thread shank as long"),
    (r"on the right side an iron would lay", r"flat from the right side"),
    (
        r"opened and closed ten times|opens and closes ten times|passes ten times",
        r"Open and close [a-z ]+ (?:twenty|fifty|a hundred) times",
    ),
    (NO_HEAT, r"\b[Pp]in and sew|\bPin (?:band|the)\b"),
    # A slit along the line has its button at an end of it, one across at the edge.
    (
        r"^(?!.*runs across|.*hole across).*runs along the closing line",
        r"^(?!.*runs across|.*hole across).*from its end nearer to the edge\b",
    ),
    (
        r"^(?!.*runs along|.*hole along).*runs across the closing line",
        r"^(?!.*runs along|.*hole along).*from its end nearer to (?:the )?(?:neck|hem|waist|first end)\b",
    ),
)
"""What no two pages of one run may say."""

HAMMERED = r"spread the post|prongs, and clench it|drive the button on to it|the washers? on, and spread (?:it|them)"
NOT_WITHOUT = (
    (r"It is there and stays: pull at it", r"Pull at (?:every closure that stays|the closure that stays)"),
    (r"Pull every closure that stays by hand", r"Pull at (?:every closure that stays|the closure that stays)"),
    (r"is there and stays: make no mark|its closure stays: make no mark", r"stays?\b.*Pull at"),
    (r"no magnets near that person", r"till their clinic was asked|no magnets before their clinic was asked"),
    (
        r"Then no magnets before their clinic was asked",
        r"[Aa]sk about implants, in the words|Take another kind of closure",
    ),
    (HAMMERED, r"Wear eye protection when you hammer"),
    (r"prongs, and clench it|drive the button on to it|lay the socket on its point", r"Prongs, tacks and awls stab"),
    (r"push the tabs through", r"pacemaker|says that somebody has an implant"),
    (r"push the tabs through", r"magnets that come off get swallowed"),
    (
        r"^(?=.*press the edge).*lay the socket on its point",
        r"Keep the iron off the parts",
    ),
    (r"Only now (?:put it|lace it) on the child", r"Count the loose parts that are left"),
    (
        rf"^(?=.*Only now (?:put it|lace it) on the child).*(?:{HAMMERED}|lay the socket on its point)",
        r"Draw cotton wool",
    ),
    (r"Only now (?:put it|lace it) on the child", r"This looks at geometry and thickness and at no more"),
    (r"Leave the cloth unwashed", r"Now wash it as it will be washed"),
    (r"Now wash it as it will be washed", r"Leave the cloth unwashed"),
    (r"Make the bound buttonholes?", r"Open the facing behind"),
    (r"Cut the buttonholes? open", r"Cut away from your fingers"),
    (r"leather keeps every|stay to be seen (?:in such cloth|on the inside)", r"Which half goes where"),
    (rf"## Order of work.*(?:{HAMMERED}|push the tabs through|Cut the buttonholes? open)", r"\*\*Stop"),
    (r"Take the \d+ [a-z -]+ off", r"count the old parts"),
    (r"\*\*Stop\. From|Press (?:each|the) (?:ring|cap) through", r"Measure the two squares"),
    # What the stop goes by was done before it.
    (r"Go on when[^.]*the trial piece holds", r"on a trial piece|on a piece of \w+ as like the [a-z ]+'s as you"),
    (r"Go on when[^.]*the swatch holds", r"in the swatch and pass the button"),
    (r"Go on when[^.]*the slits are drawn", r"draw both slits|scribe both slits|through either slot"),
    (r"Go on when[^.]*both laps agree", r"agree to a millimetre|meets its mark|level with (?:its|their) mark"),
    # Nothing is set where nothing is marked, and the second half never without a look at the first.
    (
        r"## Order of work.*(?:Press (?:each|the) (?:ring|cap) through|Open (?:each|the) place with the awl|"
        r"Cut the two slits|Sew the (?:ball|hook)|Punch (?:a|the) holes?)",
        r"Lay the sheet of|over and lay its sheet|Lay each sheet(?:, on the face that it names,)? to|[Ll]ay each sheet to its own edge|Lay the sheets? of either lap",
    ),
    (
        r"## Order of work.*(?:lay the stud on|set the counter half|Sew the (?:covered )?socket hal|Sew the bar|"
        r"Sew the buttons? on at)",
        r"to a millimetre",
    ),
    (r"Cut the two slits at", r"draw both slits|scribe both slits|through either slot"),
    (r"loose stitch through either slot", r"draw (?:all of them|every stitch) out before the washer"),
    (r"Work the buttonholes? round", r"Cut the buttonholes? open|Slit the leather"),
    (r"Work the buttonholes? round|Stitch a narrow box round", r"[Aa]t both ends of"),
    (
        r"Leave (?:both bands|the band of the \w+ lap) open|Open the inner side of the band behind",
        r"shut over the washers|over the parts of the",
    ),
    (r"fold the outer layer away", r"Lay the outer layer back"),
    (r"open on its inner side: its parts go", r"fold the outer layer away"),
    (r"Close (?:the )?buttonholes?\b[^.]*darn|Close holes? \d", r"Take the \d+ [a-z -]+ off"),
    (r"Sew [a-z0-9 ]+ for show on", r"sew [^.]* over it for show"),
    (
        r"Fuse the interfacing to a scrap first",
        r"[Tt]reat (?:the|a|either|each|that|those|this)|sew an interfacing in that",
    ),
    (
        r"(?<!silk )[Tt]ake one loose stitch of thread|each with a loose stitch",
        r"[Dd]rawn? [^.]{0,40}\bout\b|pick out what is left",
    ),
    (r"lay paper tape on the", r"tape off|tear it off|take that off"),
    (r"Cut each band|Sew each band, cut by its own piece", r"Sew band and facing|Fold (?:both|the)"),
    (r"Wear eye protection when you hammer", r"Strike a hardened steel die"),
    (r"Only now (?:put it|lace it) on the child", r"Pull every closure (?:of the trial piece|that stays) by hand"),
    (r"push the tabs through", r"Ask the maker whether the magnets|is never washed|bear the way in which"),
    (r"prongs, and clench it|spread the post|lay the socket on its point", r"Keep your fingers out of a press"),
    (
        r"^(?=.*(?:put it on|the garment on), sit).*(?:prongs, and clench it|spread the post|Sew the ball|drive the button on)",
        r"Metal that stays on the skin",
    ),
    (r"^(?!.*(?:Set nothing, mark nothing|Buy, mark, cut and set nothing)).*## Order of work", r"The parts must bear"),
    (r"[Ll]ace it on the child|Lace it up and draw", r"catch and strangle"),
    # It is tried when it is done, and on a child at the very last.
    (
        r"^(?!.*Buy, mark, cut and set nothing).*## Order of work",
        r"Open and close [a-z ]+ ten times|Put it on open and lace|[Ll]ace it (?:close|on)|Lace it up",
    ),
    (r"ten times, with nobody in it", r"(?:Only now (?:put it|lace it)|Do not put it) on the child"),
    (r"Only now (?:put it|lace it) on the child", r"with nobody in it"),
    (r"Now wash it as it will be washed", r"Measure both laps again"),
    # What is sewn of cut pieces has its edges finished before a sheet is laid to them, and a strap is cut.
    (
        r"## Order of work.*(?:Wash and dry the cloth|hold steam over it|Leave the cloth unwashed|flat for a night)"
        r".*Lay the sheet of the",
        r"Sew band and facing|Finish (?:both edges|the \w+ lap's edge)|Face (?:both edges|the edge)|Fold |"
        r"(?:Baste|Lay paper tape) along the finished edge",
    ),
    (r"Sew and turn (?:the|both) \w+", r"Cut (?:the|both) \w+ out"),
    (
        r"shut over the washers",
        r"Leave (?:both bands|the band of the \w+ lap) open|Open the inner side of the band|open the band on its inner side|to its inner side",
    ),
    (r"Choose what takes the pull", r"where what was chosen will lie"),
    (r"where what was chosen will lie", r"Choose what takes the pull"),
    (r"by the list under Knit it", r"Cast both bands off.*Block the knitting.*(?:Sew ribbon|sew their edges down)"),
    (r"Block the knitting", r"by the list under Knit it"),
    (r"Face the edge of the", r"(?:Baste|Lay paper tape) along the finished edge|as a single layer is finished"),
    (r"(?:Baste|Lay paper tape) along the finished edge", r"Face the edge of the|as a single layer is finished"),
    (r"on a piece of \w+ as like the [a-z ]+'s as you", r"its closing edges (?:flat|by hand)"),
    (
        r"Lay the edges beside each other.*each eyelet|push the eyelets? through.*Put it on open",
        r"[Ss]tiffen the edge of either lap|Feel along the edge of either lap",
    ),
)
"""What one page may not say where no other says what belongs to it."""

OF_ONE_KIND = (
    (r"push the tabs through", r"strikes or squeezes|when you hammer|Strike a hardened|stitches to a hole or ring"),
    (r"Wear eye protection when you hammer", r"length of the slits for the tabs"),
    (r"lay the socket on its point", r"nickel that it gives off|Wear eye protection"),
    (
        r"how sewn-on, toggle and tack buttons are pulled",
        r"prongs, and clench it|spread the post|or more stitches to a hole|push the tabs|lay the socket on its point",
    ),
    (r"its part 3 is the method", r"lay the socket on its point|Sew the buttons? on at|drive the button"),
)
"""What no two pages may say of a row in which nothing differs."""

SETS = (
    r"Press (?:each|the) (?:ring|cap) through|Open (?:each|the) place with the awl|Punch the holes? at|push the tabs through|"
    r"Cut the buttonholes? open|Slit the leather|Sew the (?:ball|socket|hook|button)s?(?: half| halves)? on at mark|"
    r"Punch a hole of"
)
MARKED = r"[Pp]rick through|lay paper tape on the|take one loose stitch|touch each dot"
IN_ORDER = (
    (r"Wash and dry the cloth", r"Fuse the interfacing to the wrong"),
    (r"Wash and dry the cloth|hold steam over it|Leave the cloth unwashed", MARKED),
    (r"Fuse the interfacing to the wrong", MARKED),
    (r"Take the \d+ [a-z -]+ off", r"Close (?:the )?buttonholes?\b"),
    (r"Ask about implants|Ask the clinic", r"push the tabs through|Set one"),
    (r"Leave the cloth unwashed", r"Now wash it"),
    (r"Leave (?:both bands|the band of the \w+ lap) open", r"push the tabs through"),
    (r"push the tabs through", r"shut over the washers"),
    (MARKED, r"push the tabs through|Cut the buttonholes open|Sew the (?:ball halves|buttons) on at"),
    (r"Cut the buttonholes open", r"Sew the buttons on at"),
    (r"sew and turn the belt", r"The belt slides through"),
    (r"Set one|[Ww]ork and cut one|Sew one", r"\*\*Stop"),
    (r"\*\*Stop", r"push the tabs through|Cut the buttonholes open|Punch a hole"),
    (MARKED, r"Press (?:each|the) (?:ring|cap) through|Open (?:each|the) place with the awl|Punch the holes"),
    (r"Measure the two squares", r"\*\*Stop\. From"),
    (r"Wash and dry the cloth", r"Press it flat|Take creases out with steam"),
    (
        r"Sew band and facing",
        r"Lay the sheet of the (?:over|under) lap to its finished edge\. At|over and lay its sheet",
    ),
    (r"Draw cotton wool over", r"Only now (?:put it|lace it) on the child"),
    (r"[Cc]ut the \w+ out\b", r"Sew and turn the"),
    (r"At both ends of (?:the|every) (?:new )?buttonhole", r"Work the buttonholes? round|Stitch a narrow box round"),
    (r"Work the buttonholes? round|Stitch a narrow box round", r"Cut the buttonholes? open|Slit the leather"),
    (SETS, r"Open and close [a-z ]+ ten times|Put it on open|Lace it up and draw it"),
    (SETS, r"Sew [a-z0-9 ]+ for show on|Sew the helper on"),
    (SETS, r"Cut the lace to"),
    (r"Fuse the interfacing to", r"Sew band and facing|Sew and turn the"),
    (r"Back the closures?(?: of the \w+ \w+)?:|Lay the backing pieces", rf"{SETS}|Sew band and facing"),
    (r"Take the \d+ [a-z -]+ off", rf"{SETS}|Lay the sheet of either lap to its finished edge, and"),
    (r"Make the bound buttonholes?", r"Sew band and facing|Open the facing behind"),
    (r"Open the facing behind", r"Sew the buttons? on at"),
    (r"Stiffen the edge of either lap", r"Punch the holes?"),
    (r"[Cc]ut the \w+ out\b|Cut the \w+ to its finished outline", r"Lay each sheet to the tip"),
    (r"Sew and turn the", r"Lay each sheet to the tip"),
    (r"Measure the two squares", rf"Lay each sheet to the tip|Lay the sheet of the (?:over|under) lap|{SETS}"),
    (r"Set one|[Ww]ork and cut one|Sew one|Punch one", SETS),
    (r"Choose what takes the pull", r"[Cc]ut the \w+ out\b"),
    (r"The belt slides through each", r"Open and close [a-z ]+ ten times"),
    (r"draw both slits|scribe both slits|through either slot", r"Cut the two slits at"),
    (r"Sew each band, cut by its own piece", r"Sew band and facing|Fold (?:both bands|the band)"),
    (r"Fuse the interfacing to a scrap", r"Sew band and facing|Sew each band|Sew and turn the"),
    (r"fold the outer layer away", r"Lay the outer layer back"),
    (r"Punch the holes?|Press (?:each|the) (?:ring|cap) through", r"Draw cotton wool over"),
    (
        r"Close (?:the )?buttonholes?\b[^.]*darn|Close holes? \d",
        r"Lay the sheet of the (?:over|under) lap to its|over and lay its sheet",
    ),
    (r"[Ll]ay each sheet to its own edge again", r"Open and close [a-z ]+ ten times"),
    (r"Open and close [a-z ]+ ten times", r"Now wash it as it will be washed"),
    (r"Now wash it as it will be washed", r"Measure both laps again"),
)
"""What stands before what in an order of work that says both."""


def out_of_order(words: str) -> list[tuple[str, str]]:
    """What an order of work on a page of words has the wrong way round."""
    order = words[words.index("## Order of work") :] if "## Order of work" in words else ""
    order = order.partition(" ## ")[0] if " ## " in order else order
    found = [(one, other, re.search(one, order), re.search(other, order)) for one, other in IN_ORDER]
    return [(one, other) for one, other, before, after in found if before and after and before.start() > after.start()]


def contradictions(words: str) -> list[tuple[str, str]]:
    """What of a run's words contradicts itself, or lacks what belongs to it."""
    # What is done to some of its cloth alone is read by itself, in tests/each_cloth.py.
    words = without_apart(" ".join(words.split()))
    both = [(one, other) for one, other in CONTRADICTIONS if re.search(one, words) and re.search(other, words)]
    without = [(one, f"without {other}") for one, other in NOT_WITHOUT if is_without(one, other, words)]
    return [*both, *without, *halves_on_other_laps(words)]


MISPOINTED = re.compile(
    r"[^.\s],\.|[,;:]\s*[,;.](?!\.|\d)|(?<=[a-z)])\s[,;.](?=\s|$)|(?<!\.)\.\.(?![./])|(?<!\bal)\.[,;](?=\s)|\{[a-z][a-z ]*[?}]"
)
"""Points that no sentence has side by side, as where a word between them was left out; and a brace left open."""


def mispointed(words: str) -> list[str]:
    """What of a run's words is pointed twice, or has a gap before its point."""
    return [words[max(0, found.start() - 40) : found.end() + 20] for found in MISPOINTED.finditer(words)]


def is_without(one: str, other: str, words: str) -> bool:
    return bool(re.search(one, words)) and not re.search(other, words)


SET_ON = {
    r"\bstud\b": r"lay the stud on [^.]*? of the (over|under) (?:lap|end)",
    r"\bsocket\b(?! half)": r"lay (?:its|the) socket on [^.]*? of the (over|under) (?:lap|end)",
    r"\bball half": r"Sew the ball hal(?:f|ves) on at [^.]*? of the (over|under) (?:lap|end)",
    r"\bsocket half": r"Sew the (?:covered )?socket hal(?:f|ves) on at [^.]*? of the (over|under) (?:lap|end)",
    r"\bbutton\b": r"(?:Sew the buttons? on|drive the button on) at [^.]*? of the (over|under) (?:lap|end)",
    r"\btack\b": r"with the awl at [^.]*? of the (over|under) (?:lap|end), push the tack",
    r"\bbuttonhole\b": r"Cut the buttonholes? open [^.]*? of the (over|under) (?:lap|end)",
    r"\bhook\b": r"Sew the hooks? on at [^.]*? of the (over|under) (?:lap|end)",
    r"\b(?:eye|bar)\b": r"Sew the (?:straight |round )?(?:eye|bar)s? on at [^.]*? of the (over|under) (?:lap|end)",
    r"\bmagnet half\b": r"Cut the two slits at [^.]*? of the (over|under) (?:lap|end)",
    r"\bcounter half\b": r"attracts; cut the two slits at [^.]*? of the (over|under) (?:lap|end)",
}
"""Each part as the halves name it, and the lap that a step sets it on."""


def halves_on_other_laps(words: str) -> list[tuple[str, str]]:
    """Steps that set a part on a lap of which the sentence on the halves says another, or both halves on one lap."""
    said = {
        lap: " ".join(re.findall(rf"\b{lap} (?:lap|end): ([^;.]*)[;.]", words, re.IGNORECASE))
        for lap in ("over", "under")
    }
    found = []
    for part, setting in SET_ON.items():
        named = {lap for lap, parts in said.items() if re.search(part, parts)}
        laps = set(re.findall(setting, words))
        if named and laps - named:
            found.append((part, f"set on the {', '.join(laps - named)} lap"))
    eyelets = re.search(r"eyelets? through.*?Punch and set (?:those|that) at [^.]*? of the (over|under) lap", words)
    first = re.search(r"Punch the holes? at [^.]*? of the (over|under) lap", words)
    if eyelets and first and eyelets[1] == first[1]:
        found.append(("eyelets", f"both halves on the {first[1]} lap"))
    return found


def of_one_kind(words: str) -> list[tuple[str, str]]:
    """What is said of a row in which nothing differs, and does not go together there."""
    return [pair for pair in OF_ONE_KIND if all(re.search(one, words) for one in pair)]


def test_table_of_contradictions_finds_one() -> None:
    assert contradictions("mark: prick through the dot. mark: thread at the dot") != []
    assert out_of_order("## Order of work 1. Leave both bands open. 2. push the tabs through ## Parts") == []
    assert out_of_order("## Order of work 1. push the tabs through. 2. Leave both bands open ## Parts") != []


def _words(answer: Answer) -> str:
    made = result_files(answer, "a4")
    with pdfplumber.open(io.BytesIO(made["marking.pdf"])) as pdf:
        pages = [page.extract_text() for page in pdf.pages]
    return " ".join(" ".join([made["report.md"].decode(), *pages]).split())


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("path", sorted((ROOT / "templates").glob("*/plan.toml")), ids=lambda path: path.parent.name)
def test_no_two_pages_of_a_starting_plan_contradict_each_other(path: Path) -> None:
    plan = read_plan(path.read_bytes(), "plan.toml")
    if plan.sizes is not None:
        pytest.skip("its sizes are plans of their own, told from the same facts")
    words = _words(place_plan(asked_for(plan, ("order",)), path))
    assert contradictions(words) == [] and out_of_order(words) == []


def template(name: str, *also: str) -> str:
    path = ROOT / "templates" / name / "plan.toml"
    return _words(place_plan(asked_for(read_plan(path.read_bytes(), "plan.toml"), also), path))


def test_double_breasted_front_tries_nothing_for_show_and_judges_a_mark_alone_by_its_own_place() -> None:
    words = template("double-breasted", "order", "coupon")
    assert "Trial piece" not in words or "for show, trial" not in words
    # The key tells the sign of what is for show beside the pieces of the trial: it is the button that none is made of.
    assert not re.search(r"trial[^)]{0,80}button for show", words)
    step = re.search(r"At both ends of the buttonhole, mark 9,.*?Right when: (.*?) \d+\. Work", words)
    assert step is not None and "mark 1 to mark 4" not in step[1] and "stands where the sheet has it" in step[1]
    # What is for show waits for the pieces to be fused, and for the edge.
    order = [
        words.index(told)
        for told in ("treat the pieces", "turn them, and press the edge under a damp", "Mark the places of the buttons")
    ]
    assert order == sorted(order)


def test_hidden_button_behind_bound_buttonholes_is_worked_once_the_facing_is_on() -> None:
    column = '[column]\napart = "100 mm"\nworks = true\ninner = { kind = "sew-through button", size = "24 L", hole = "along" }\n'
    closure = 'bound = true\nhole = "across"'
    words = whole_set(
        front("shank button", "24 L", closure=closure, rest=column + cloth("wool suiting"), width=170, count=3)
    )
    steps = words[words.index("## Order of work") :]
    bound, facing, worked = (
        steps.index(x) for x in ("Make the bound", "Sew band and facing", "At both ends of the buttonhole, mark 7,")
    )
    assert bound < facing < worked
    assert not re.search(PRICK, words) and "Mark 7 (sew-through button 24 L, hole along): Make one bound" not in words


def test_knitted_front_has_its_ribbon_behind_the_buttons_alone_and_its_band_measured_by_tape() -> None:
    path = ROOT / "templates" / "cardigan-rows" / "plan.toml"
    answer = place_plan(read_plan(path.read_bytes(), "plan.toml"), path)
    mark = answer.placement.marks[0]
    assert mark.over is not None and mark.under is not None and mark.over.stack is not None
    assert [layer.name for layer in mark.over.stack.layers] == ["rib"]
    assert mark.under.stack is not None and len(mark.under.stack.layers) == 2
    assert [one.text for one in answer.findings if one.rule == "backing" and one.result != "pass"] == []
    assert "lying relaxed and measured with a tape, from mark 1" in template("cardigan-rows", "order")


def test_list_of_a_knitted_band_is_printed_beside_the_steps_that_send_to_it() -> None:
    gauge = '[gauge]\nstitches = 20\nrows = 28\nline = "stitches"\nacross = 10\n'
    text = front("sew-through button", "28 L", rest=gauge + cloth("rib", 1, fusible=True), width=36, count=7).replace(
        'first = "30 mm"\nlast = "60 mm"', "first = { from = 26, to = 36 }\nlast = { from = 50, to = 70 }"
    )
    answer = place_plan(asked_for(read_plan(text.encode(), "job.toml"), ("order",)))
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    printed = " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())
    knitted = knit(answer.placement, answer.catalogue)
    assert knitted is not None and "by the list under Knit it" in printed
    assert [line for line in list_to_knit_by(knitted, "mm") if line not in printed] == []
    # What is told as fused is tried once there is knitting, and no iron goes over it before.
    assert printed.index("Cast both bands off") < printed.index("The plan tells a fusible for these bands")
    assert "Fuse the interfacing" not in printed


def test_button_that_is_hidden_is_not_sewn_through_to_the_face() -> None:
    words = template("hidden-button", "order")
    hidden = re.search(r"Sew the button on at mark \d+ of the over lap[^.]*\.[^.]*\.", words)
    assert hidden is not None and "through the inner layers alone" in hidden[0]
    assert "patch or flat button" not in hidden[0]
    # Those that show lie on the under lap, where what stands behind them is hidden.
    assert re.search(r"Sew the button on at mark \d+ of the under lap[^.]*and a small patch or flat button", words)
    # The list to buy counts no stay buttons, so that none is asked for.
    assert "stay button" not in words


@pytest.mark.parametrize(
    ("count", "first"), [(6, "one of the two in the middle, number 3 or 4,"), (7, "the one in the middle, number 4,")]
)
def test_row_with_numbers_names_the_closure_to_begin_with(count: int, first: str) -> None:
    assert first in whole_set(front("prong snap", "16 L", rest='[sheets]\nclosing = "numbers"\n', count=count))


@pytest.mark.parametrize(
    ("name", "child", "must", "must_not"),
    [
        ("oxford", False, "hold it shut there with a pin", "there by hand"),
        (
            "oxford",
            True,
            "Put it on the child and note where it gapes or pulls now; hold it shut there by hand",
            "there with a pin",
        ),
        ("silk charmeuse", False, "hold it shut there by hand", "there with a pin"),
        ("leather 2 oz", False, "hold it shut there by hand", "there with a pin"),
    ],
)
def test_finished_front_is_tried_on_without_a_pin_where_child_or_cloth_bears_none(
    name: str, child: bool, must: str, must_not: str
) -> None:
    wearer = '[wearer]\nprofiles = ["child under three"]\n' if child else ""
    swap = SHIRT.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"')
    words = whole_set(front("sew-on snap", "1", rest=cloth(name) + wearer + swap))
    assert must in words and must_not not in words


@pytest.mark.parametrize(
    ("wearer", "cover"),
    [
        ("", "a patch or a button for show, 18 mm or more across"),
        ('[wearer]\nprofiles = ["child under three"]\n', "a patch, no button more, 18 mm or more across"),
    ],
)
def test_holes_in_sight_on_a_child_are_covered_with_nothing_that_could_come_off(wearer: str, cover: str) -> None:
    swap = SHIRT.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"')
    layers = cloth("cotton poplin", 3) + cloth("denim 12 oz")
    words = whole_set(front("post snap", "20 L", rest=layers + wearer + swap, width=60))
    assert f"cover each now with {cover}, through the outer cloth alone" in words
    assert ("a patch or a button for show" in words) == (not wearer)


@pytest.mark.parametrize(
    ("name", "through"),
    [("chino", "a pin straight down"), ("jersey", "a fine blunt needle straight down, between the threads")],
)
def test_mark_is_brought_through_to_a_magnets_layers_as_the_cloth_bears(name: str, through: str) -> None:
    words = whole_set(front("magnetic snap", "14 mm", rest=cloth(name)))
    assert f"to the face that meets the other lap, {through}" in words


def test_pile_that_is_washed_last_is_smoothed_without_an_iron_and_without_steam() -> None:
    shrinks = '[shrinkage]\nalong = "3 %"\nacross = "1 %"\nmeasured = "washed"\n'
    words = whole_set(front("long prong snap", "18 L", rest=cloth("towelling") + shrinks))
    assert "Smooth creases out by hand and let the cloth lie flat for a night" in words
    assert "dry iron" not in words


def test_kind_is_named_with_its_article() -> None:
    words = whole_set(front("eyelet", "4 mm", rest=cloth("sweatshirt fleece", 1) + cloth("poplin")))
    assert "The hole that an eyelet needs widens in a knit" in words


@pytest.mark.parametrize(
    ("kind", "size", "count", "fused", "profile", "asks"),
    [
        ("sew-on snap", "1", 2, False, "child under three", True),
        ("hook and eye", "2", 2, False, "child", True),
        ("sew-on snap", "1", 3, False, "child", False),
        ("sew-on snap", "1", 2, True, "child", False),
        ("sew-on snap", "1", 2, False, "weak hands", False),
        ("prong snap", "16 L", 2, False, "child", False),
    ],
)
def test_part_that_hangs_on_one_inner_layer_of_a_childs_wear_asks_for_a_backing(
    kind: str, size: str, count: int, fused: bool, profile: str, asks: bool
) -> None:
    rest = cloth("poplin", count, fused) + f'[wearer]\nprofiles = ["{profile}"]\n'
    found = place_plan(read_plan(front(kind, size, rest=rest).encode(), "job.toml")).findings
    told = [one for one in found if one.rule == "backing" and "a single one here" in one.text]
    assert bool(told) is asks and {one.lap for one in told} <= {"over"}


@pytest.mark.parametrize(("hidden", "asks"), [("true", True), ("false", False)])
def test_hidden_button_of_a_childs_wear_hangs_on_one_inner_layer_too(hidden: str, asks: bool) -> None:
    """The row's own buttons go on the under lap, through what they lie on and what backs that."""
    single = f'[[single]]\nkind = "sew-through button"\nsize = "14 L"\nthickness = "2 mm"\nalong = "70 mm"\nhidden = {hidden}\n'
    rest = cloth("poplin", 2) + '[wearer]\nprofiles = ["child"]\n' + single
    found = place_plan(read_plan(front("sew-through button", "18 L", rest=rest).encode(), "job.toml")).findings
    assert bool([one for one in found if one.rule == "backing" and "a single one here" in one.text]) is asks


def drawn(seed: int) -> str:
    """A job put together by chance: kind, cloth, state, interfacing, wearer, halves."""
    chance = random.Random(seed)
    catalogue = load_catalogue()
    # A tape and loops need a plan of their own.
    kinds = [one for one in catalogue.kinds() if not one.endswith(" tape") and not one.startswith("loop")]
    kind = chance.choice(kinds)
    size = chance.choice(catalogue.sizes(kind))
    layers = "".join(
        cloth(one.name, chance.randint(1, 3)) for one in chance.sample(catalogue.cloths, chance.randint(1, 2))
    )
    wearer = chance.choice(("", "child", "child under three", "weak hands", "quick change", "implants"))
    sold = chance.choice(("", 'sold = ["EU"]\n', 'sold = ["US"]\n'))
    more = [
        f'[wearer]\nprofiles = ["{wearer}"]\nimplants = "{chance.choice(("none", "some"))}"\n{sold}' if wearer else "",
        '[shrinkage]\nalong = "3 %"\nacross = "1 %"\nmeasured = "washed"\n' if chance.random() < 0.2 else "",
        f'[sheets]\nbacking = "{chance.choice(("strip", "as needed"))}"\n' if chance.random() < 0.4 else "",
    ]
    closure = ['cap = "12 mm"', f'halves = "{chance.choice(("usual", "turned"))}"']
    is_bound = chance.random() < 0.2
    closure += ["bound = true"] if is_bound and catalogue.fastener(kind, size).mark.buttonhole_lap is not None else []
    swap = SHIRT.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"')
    # Where the new halves are turned, it is told how the old lie.
    swap += 'halves = "usual"\n' if 'halves = "turned"' in closure else ""
    is_swap = chance.random() < 0.25 and not more[1] and "bound = true" not in closure
    rest = "".join([layers, *more, swap if is_swap else ""])
    return front(kind, size, closure="\n".join(closure), rest=rest, width=60)


@pytest.mark.parametrize("seed", [7, 57, 111, 165])
def test_printed_pages_of_a_job_drawn_by_chance_do_not_contradict_each_other(seed: int) -> None:
    # Four of them here; tests/contradictions.py reads the pages of all.
    words = whole_set(drawn(seed))
    assert contradictions(words) == [] and mispointed(words) == []


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("tens", range(20))
def test_no_two_pages_of_jobs_drawn_by_chance_contradict_each_other(tens: int) -> None:
    read = 0
    for seed in range(10 * tens, 10 * tens + 10):
        try:
            answer = place_plan(asked_for(read_plan(drawn(seed).encode(), "job.toml"), ("order",)))
        except ClosureError:
            continue
        from closures.app.job import advice_of
        from closures.report.advice import advice_sections

        read += 1
        signs = [words for sheet in answer.sheets for _, words in sheet.text.sign_words]
        words = " ".join([*advice_sections(advice_of(answer)), *signs])
        assert contradictions(words) == [] and out_of_order(words) == [] and of_one_kind(words) == [], seed
        assert mispointed(words) == [], seed
        for sold, other in (("EU", r"\bUS: "), ("US", r"\bEurope: ")):
            assert f'sold = ["{sold}"]' not in drawn(seed) or not re.search(other, words), seed
        assert not re.search(r"[{}]|  ", " ".join(words.split())), seed
    assert read >= 5


ON_EDGES = {
    "hook tape": ("any", '[tape]\npitch = "19 mm"\n'),
    "snap tape": ("any", '[tape]\npitch = "25 mm"\n'),
    "loop and button": ("18 L", ""),
    "loop and ball button": ("10 mm", ""),
    "hook and eye": ("2", ""),
    "eyelet": ("5.5 mm", "[lacing]\n"),
}


def drawn_on_edges(kind: str, seed: int) -> str:
    """A job on edges that meet, or of a tape, put together by chance."""
    chance = random.Random(f"{kind} {seed}")
    catalogue = load_catalogue()
    _, more = ON_EDGES[kind]
    size = chance.choice(catalogue.sizes(kind))
    layers = "".join(
        cloth(one.name, chance.randint(1, 3)) for one in chance.sample(catalogue.cloths, chance.randint(1, 2))
    )
    wearer = chance.choice(("", "child under three", "weak hands", "quick change", "implants"))
    profile = f'[wearer]\nprofiles = ["{wearer}"]\nimplants = "none"\n' if wearer else ""
    state = chance.choice(("cut pieces", "finished"))
    meeting = "" if kind == "snap tape" else 'edges = "meeting"\n'
    return (
        f'[edge]\nstraight = "390 mm"\n[garment]\nopens = "back"\n{meeting}state = "{state}"\n'
        f'[band]\nwidth = "40 mm"\nlap = "left over right"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n'
        f'cap = "9 mm"\n[spacing]\ncount = 6\n{layers}{profile}{more}'
    )


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("kind", ON_EDGES)
def test_no_two_pages_of_tapes_loops_and_laces_drawn_by_chance_contradict_each_other(kind: str) -> None:
    read = 0
    for seed in range(5):
        try:
            words = whole_set(drawn_on_edges(kind, seed))
        except ClosureError as error:
            last = error
            continue
        read += 1
        assert contradictions(words) == [] and out_of_order(words) == [], seed
    assert read >= 3, last


WAVY_BACK = (
    '[edge]\npoints = [["0 mm", "0 mm"], ["30 mm", "100 mm"], ["-8 mm", "200 mm"], ["12 mm", "340 mm"]]\n'
    '[garment]\nopens = "back"\nedges = "meeting"\npieces = "pair"\n[band]\nwidth = "25 mm"\nlap = "left over right"\n'
    '[closure]\nkind = "hook and eye"\nsize = "2"\ncap = "9 mm"\n'
    '[spacing]\nfirst = "12 mm"\nlast = "12 mm"\ncount = 15\n[sheets]\norder = true\n'
)


def test_sheets_of_unlike_lines_are_each_proved_by_their_own_distance() -> None:
    answer = place_plan(read_plan(WAVY_BACK.encode(), "back.toml"))
    over, under = (answer.placement.on(lap) for lap in ("over", "under"))
    told = [f"{round(math.dist(marks[0].at, marks[-1].at), 1):g} mm" for marks in (over, under)]
    assert told[0] != told[1]
    words = whole_set(WAVY_BACK)
    each = f"it is {told[0]} on the over lap's and {told[1]} on the under lap's"
    assert f"and from mark 1 to mark 15 {each}" in words
    assert f"From mark 1 to mark 15 {each}, straight across, as on the sheets." in words


def test_strip_and_cover_give_the_figures_of_either_lap_where_their_lines_differ() -> None:
    plan = read_plan(WAVY_BACK.replace("order = true", "strip = true").encode(), "back.toml")
    answer = place_plan(plan)
    rows = strides(answer.placement)
    for lap in ("over", "under"):
        placed = [row.from_mm + at for row in rows if row.lap == lap for _, at in row.marks]
        assert placed == pytest.approx([mark.along_mm for mark in answer.placement.on(lap)], abs=1e-9)
    files = result_files(answer, "a4")
    report, page = json.loads(files["report.json"]), files["report.md"].decode()
    assert {row["lap"] for row in report["strides"]} == {"over", "under"}
    without = page.partition("## Without a printer")[2]
    over, _, under = without.partition("The under lap has a line and figures of its own:")
    words = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(files["marking.pdf"]))
    assert "on the over and on the under lap" in " ".join(words.split())
    for lap, part in (("over", over), ("under", under)):
        last = answer.placement.on(lap)[-1].along_mm
        at = f"{last - max(row.from_mm for row in rows if row.lap == lap):.1f}"
        assert f"| 15 | {at} |" in part
        assert f"stride 2 ({lap} lap)" in words
        assert f"{last:.1f}" in words


@pytest.mark.parametrize("kind", ['kind = "hook and eye"\nsize = "2"', 'kind = "sew-on snap"\nsize = "1"'])
def test_what_is_sewn_to_try_is_told_in_plain_words(kind: str) -> None:
    plan = f'[edge]\nstraight = "300 mm"\n[band]\nwidth = "30 mm"\nlap = "right over left"\n[closure]\n{kind}\n'
    assert "Sew one pair on a trial piece of the same cloth" in whole_set(plan)


@pytest.mark.parametrize("name", ["silk charmeuse", "silk habotai", "chiffon"])
def test_fine_cloth_that_is_too_thin_for_a_snap_is_offered_what_is_sewn_on_before_a_stiffening(name: str) -> None:
    # Common practice: so much fusible makes a board of silk, and its heat may spoil it.
    words = " ".join(
        one.text
        for one in place_plan(read_plan(front("prong snap", "16 L", rest=cloth(name)).encode(), "job.toml")).findings
        if one.rule == "layer thickness"
    )
    assert "Cloth so fine is closed with what is sewn on, a sew-on snap" in words
    assert words.index("sewn on") < words.index("a layer of backing") and "fusible would do" not in words
    assert "sewn on" not in " ".join(
        one.text
        for one in place_plan(read_plan(front("post snap", "20 L", rest=cloth("poplin")).encode(), "j.toml")).findings
        if one.rule == "layer thickness"
    )


def test_backing_that_is_a_knit_itself_is_named_and_not_asked_for_again() -> None:
    backing = '[sheets]\nbacking = "strip"\nbacking_cloth = "jersey"\n'
    plan = front("prong snap", "15 L", rest=cloth("interlock") + backing)
    told = " ".join(
        one.text for one in place_plan(read_plan(plan.encode(), "j.toml")).findings if one.rule == "backing"
    )
    assert "The backing that is told, jersey, is a knit too" in told and "Back it with interfacing" not in told
    # An interfacing that is knitted is fused, and holds along its length.
    placement = place_plan(read_plan(plan.encode(), "j.toml")).placement
    stack = placement.marks[0].over.stack if placement.marks[0].over is not None else None
    assert stack is not None and _lacking(stack, 2, is_knitted=False)
    fused = tuple(replace(layer, structures=layer.structures | {"fusible"}) for layer in stack.layers[-1:])
    assert not _lacking(replace(stack, layers=(*stack.layers[:-1], *fused)), 2, is_knitted=False)


def test_each_length_of_buttonholes_on_unwashed_cloth_is_tried() -> None:
    edge = '[edge]\npoints = [["0 mm", "0 mm"], ["120 mm", "150 mm"], ["130 mm", "500 mm"]]\n'
    shrinks = '[shrinkage]\nalong = "10 %"\nacross = "1 %"\nmeasured = "washed"\n'
    plan = front("sew-through button", "36 L", rest=cloth("linen") + shrinks, width=60, count=5)
    plan = plan.replace('[edge]\nstraight = "600 mm"\n', edge + '[garment]\npieces = "pair"\n')
    words = whole_set(plan)
    lengths = re.search(r"one buttonhole of each length, ([\d.]+ mm), ([\d.]+ mm) and ([\d.]+ mm),", words)
    assert lengths is not None and "pass the button through each" in words
    assert all(f"cut {lengths[n]}" in words for n in (1, 2, 3))


def test_length_of_a_buttonhole_that_lies_on_another_grain_is_tried_with_those_of_the_row() -> None:
    stand = (
        '[garment]\nopens = "front"\nstate = "cut pieces"\n[stand]\nheight = "32 mm"\nhole = "along"\ngrain = "round"\n'
    )
    shrinks = '[shrinkage]\nalong = "14 %"\nacross = "1 %"\nmeasured = "washed"\n'
    plan = front("sew-through button", "28 L", closure='hole = "along"', rest=cloth("linen") + shrinks + stand)
    answer = place_plan(read_plan(plan.replace('first = "30 mm"\n', "").encode(), "job.toml"))
    (alike,) = tried_alike(answer.placement)
    each = {mark for share in alike for _, marks in cut_lengths((share,), answer.catalogue) for mark in marks}
    lengths = [length for length, _ in cut_lengths(alike, answer.catalogue)]
    # A length up the front loses 14 of 100, one up a stand whose threads run round the neck 1 of 100.
    assert each == set(range(1, 7)) and lengths[0] / lengths[1] == pytest.approx(0.99 / 0.86)
    words = whole_set(plan.replace('first = "30 mm"\n', ""))
    told = [format_mm(length) for length in lengths]
    assert all(f"cut {one}" in words for one in told), told
    assert f"one buttonhole of each length, {told[0]} and {told[1]}," in words


@pytest.mark.in_turn(5)
@pytest.mark.parametrize(
    ("kind", "size", "other", "other_size"),
    [
        ("prong snap", "16 L", "magnetic snap", "14 mm"),
        ("magnetic snap", "14 mm", "prong snap", "16 L"),
        ("tack button", "27 L", "magnetic snap", "14 mm"),
    ],
)
@pytest.mark.parametrize("profile", ["", "implants", "child"])
def test_row_with_magnets_and_hammered_parts_says_of_each_what_holds_of_it(
    kind: str, size: str, other: str, other_size: str, profile: str
) -> None:
    wearer = f'[wearer]\nprofiles = ["{profile}"]\n' if profile else ""
    differs = f'[[differs]]\nmarks = [1]\nkind = "{other}"\nsize = "{other_size}"\n'
    words = whole_set(front(kind, size, rest=cloth("chino") + wearer + differs))
    is_set = not profile
    assert ("push the tabs through" in words and "when you hammer" in words) is is_set
    assert "No magnet is in this closure" not in words and "No magnets are in this closure" not in words
    assert out_of_order(words) == []
    assert ("strikes or squeezes" in words and "length of the slits for the tabs" in words) is is_set
    assert ("Buy, mark, cut and set nothing" in words) is not is_set
    assert "magnets that come off get swallowed" in words
    assert contradictions(words) in ([], [(r"Over lap: buttonhole", r"To change them over")])


@pytest.mark.parametrize("name", ["cotton velvet", "corduroy", "silk habotai", "organza", "satin"])
@pytest.mark.parametrize("fused", [True, False])
@pytest.mark.parametrize("kind", ["shank button", "sew-on snap", "prong snap"])
def test_cloth_that_keeps_marks_has_its_stop_before_needle_and_iron(name: str, fused: bool, kind: str) -> None:
    size = {"shank button": "24 L", "sew-on snap": "1", "prong snap": "15 L"}[kind]
    steps = steps_of(front(kind, size, rest=cloth(name, fusible=fused)))
    keys = [key for key, _, _ in steps]
    stop = next(n for n, (_, _, is_first_final) in enumerate(steps) if is_first_final)
    assert keys[stop] == ("fuse pieces" if fused else "edge")
    assert {"measure sheets first", *({"fuse scrap"} if fused else {})} <= set(keys[:stop])
    assert any(key.startswith("trial") for key in keys[:stop])
    assert not {"edge", "mark", "mark buttonholes", "back", "back with strip", "set first"} & set(keys[:stop])


@pytest.mark.parametrize(("name", "stops_at"), [("corduroy", "fuse pieces"), ("towelling", "fuse pieces")])
def test_cloth_that_an_iron_flattens_has_its_stop_before_it_is_fused(name: str, stops_at: str) -> None:
    steps = steps_of(front("shank button", "30 L", rest=cloth(name, fusible=True), width=80))
    assert [key for key, _, is_first_final in steps if is_first_final] == [stops_at]


def test_pile_of_no_named_cloth_is_taken_to_keep_marks() -> None:
    layers = '[[layer]]\nthickness = "0.8 mm"\nstructure = ["woven", "pile"]\ncount = 2\n'
    assert [key for key, _, final in steps_of(front("sew-on snap", "1", rest=layers)) if final] == ["edge"]


def steps_of(text: str) -> list[tuple[str, str, bool]]:
    """The steps of a plan: the key of each, its words, and whether it is the first that cannot be undone."""
    from closures.app.job import advice_of

    order = advice_of(place_plan(read_plan(text.encode(), "job.toml"))).order
    return [(step.key, step.text, step.n == order.stop_before) for step in order.steps]


@pytest.mark.parametrize("line", ["band rows", "front rows", "stitches"])
def test_knitted_bands_are_blocked_once_made_and_measured_and_backed_after_it(line: str) -> None:
    gauge = f'[gauge]\nstitches = 20\nrows = 30\nline = "{line}"\n'
    steps = steps_of(front("sew-through button", "28 L", rest=gauge + cloth("rib", 1), count=None))
    keys = [key for key, _, _ in steps]
    made = [keys.index(key) for key in ("knit the bands", "sew the bands on", "block", "back the bands", "compare")]
    assert made == sorted(made) and "wash it as the swatch was washed" in steps[keys.index("block")][1]


def test_last_button_of_a_cardigan_sits_as_near_its_end_as_the_first() -> None:
    gauge = '[gauge]\nstitches = 20\nrows = 30\nline = "stitches"\n'
    answer = place_plan(read_plan(front("sew-through button", "28 L", rest=gauge, count=None).encode(), "job.toml"))
    marks = answer.placement.marks
    assert 600 - marks[-1].along_mm < 45 and any(
        "from the hem" in line or "as at the first" in line for line in answer.placement.assumed
    )


@pytest.mark.parametrize(
    ("made", "told", "not_told"),
    [
        ("folded", "Fold both bands along the finished edge", "Sew band and facing"),
        ("two pieces", "Sew band and facing", "Fold both"),
    ],
)
def test_bands_that_are_cut_are_sewn_to_their_fronts_before_their_edge(made: str, told: str, not_told: str) -> None:
    bands = f'[bands]\nallowance = "10 mm"\nmade = "{made}"\n'
    steps = steps_of(front("prong snap", "16 L", rest=bands + cloth("oxford", fusible=True)))
    keys = [key for key, _, _ in steps]
    assert keys.index("fuse") < keys.index("bands on") < keys.index("edge") < keys.index("mark")
    assert told in steps[keys.index("edge")][1] and not_told not in steps[keys.index("edge")][1]
    plain = [key for key, _, _ in steps_of(front("prong snap", "16 L", rest=cloth("oxford", fusible=True)))]
    assert "bands on" not in plain


@pytest.mark.parametrize("made", ["folded", "two pieces"])
def test_bound_buttonholes_of_a_folded_band_are_marked_from_its_fold(made: str) -> None:
    """Its finished edge is no seam: it lies in the middle of the cloth, and nothing shows it before it is folded."""
    bands = f'[bands]\nallowance = "10 mm"\nmade = "{made}"\n'
    more = bands + cloth("oxford", fusible=True)
    text = front("shank button", "20 L", closure='hole = "across"\nbound = true', rest=more)
    steps = {key: words for key, words, _ in steps_of(text)}
    words = whole_set(text)
    is_folded = made == "folded"
    assert ("the seam line" in steps["bound mark"]) == (not is_folded)
    assert steps["bound mark"].startswith("Mark the fold along the whole band") == is_folded
    assert ("before the band is folded" in steps["bound"]) == is_folded
    assert f"or {'the fold of its band' if is_folded else 'its seam line'} where none is made yet" in words
    assert ("dotted line: fold, which is the finished edge" in words) == is_folded
    assert ("before the facing is sewn on" in words) == (not is_folded)


@pytest.mark.parametrize(
    ("kind", "size", "name"), [("prong snap", "16 L", "cotton poplin"), ("plastic snap", "20", "linen")]
)
def test_finished_garment_is_pressed_round_the_closures_that_are_still_on_it(kind: str, size: str, name: str) -> None:
    """They come off two steps later: an iron set on them melts plastic, and presses metal into the cloth."""
    swap = SHIRT.format(kind=kind, size=size, hole="")
    words = whole_set(front("sew-on snap", "1", rest=swap + cloth(name), count=None))
    assert "press its closing edges flat, the iron led round the old closures and never over them" in words
    finished = '[garment]\nopens = "front"\nstate = "finished"\n'
    without = whole_set(front("sew-on snap", "1", rest=finished + cloth(name)))
    assert "press its closing edges flat" in without and "the iron led round" not in without


@pytest.mark.parametrize(("name", "held", "not_held"), [("oilcloth", "clip", "pin"), ("linen", "pin", "clip")])
def test_tape_is_pinned_only_on_cloth_that_closes_over_a_pins_hole(name: str, held: str, not_held: str) -> None:
    words = whole_set(front("hook tape", "any", rest='[tape]\npitch = "19 mm"\n' + cloth(name), count=None))
    for told in ("closures on it, {} it on the", "on it, {} that to the"):
        assert told.format(held) in words and told.format(not_held) not in words


@pytest.mark.parametrize("name", ["leather 3 oz", "oilcloth"])
def test_cloth_that_keeps_needle_holes_has_its_stop_before_it_is_sewn_and_no_pin_in_its_edge(name: str) -> None:
    words = whole_set(front("plastic snap", "20", rest=cloth(name)))
    kept = "leather" if "leather" in name else "coated cloth"
    assert f"nothing can be undone: {kept} keeps every hole of a needle" in words
    # Stop, seam, marks: the squares are measured before any of them.
    told = [
        "Measure the two squares",
        "nothing can be undone",
        "Sew band and facing of both laps together (held by clips",
    ]
    assert [words.index(one) for one in told] == sorted(words.index(one) for one in told)


def test_knit_that_a_pin_would_ladder_has_the_pin_at_a_slits_end_in_the_stitches_alone() -> None:
    words = whole_set(front("sew-through button", "20 L", rest=cloth("interlock")))
    assert "a pin would cut loops" in words
    assert "a fine pin across each end in the stitches alone" in words and ", a pin across each end" not in words
    assert ", a pin across each end" in whole_set(front("sew-through button", "20 L", rest=cloth("linen")))


TRIED = {
    "shirt": ("", "then put it on, sit and reach", "nobody in it|fill what it closes|Lace it up"),
    "child": ('[wearer]\nprofiles = ["child"]\n', "ten times, with nobody in it", "then put it on|fill what it closes"),
    "duvet": ('[garment]\nopens = "flat"\n', "Now fill what it closes and shake it", "put it on|nobody in it"),
}


@pytest.mark.parametrize("who", list(TRIED))
def test_finished_work_is_tried_as_it_is_used(who: str) -> None:
    rest, told, never = TRIED[who]
    text = front("sew-on snap", "1", rest=rest + cloth("linen"))
    if who == "duvet":
        text = text.replace("right over left", "upper over lower").replace(
            'mm"\n[band]', 'mm"\ncloth = "left"\n[band]', 1
        )
    words = whole_set(text)
    assert told in words and not re.search(never, words)
    if who == "child":
        assert words.index(told) < words.index("Only now put it on the child")


@pytest.mark.parametrize("is_child", [False, True])
def test_what_is_laced_is_tried_by_its_lace_and_on_nobody_small(is_child: bool) -> None:
    wearer = '[wearer]\nprofiles = ["child"]\n' if is_child else ""
    words = whole_set((ROOT / "templates" / "laced-bodice" / "plan.toml").read_text() + wearer)
    on_nobody = "draw it to the width at which it is worn, and let it out again, ten times, with nobody in it"
    assert (on_nobody in words) == is_child
    assert ("sit and reach" in words) != is_child
    assert "No eyelet turns or tears" in words


def test_wrap_has_one_band_and_its_lower_front_is_finished_as_a_piece() -> None:
    """What lies beneath a wrap reaches 320 mm past its edge: no band and facing of its own is turned there."""
    words = template("crossed-wrap")
    assert "Finish the under lap's edge as its piece is planned. Sew band and facing of the over lap together" in words
    assert "the sheet of the over lap is laid to it" in words and "the over lap is as wide as the plan says" in words
    assert "of both laps together" not in words and "a lap is as wide" not in words
    assert "Sew band and facing of both laps together" in template("scooped-wrap")


def test_pair_of_cuffs_is_worked_as_two_and_one_alone_is_said_to_be_one() -> None:
    one = (
        '[row]\npiece = "cuff"\nlength = "240 mm"\nheight = "60 mm"\n[closure]\nkind = "sew-through button"\nsize = "16 L"\n'
        + cloth("oxford")
    )
    two = one.replace("length =", "pair = true\nlength =")
    told = {key: text for key, text, _ in steps_of(two)}
    assert told["cut out the strap"].startswith("Cut both cuffs out")
    assert "What follows is done on both" in told["cut out the strap"]
    joined = "each sleeve's lower edge taken in between their layers"
    assert f"Sew and turn both cuffs, {joined}, and press each." in told["make the strap"]
    backed = [key for key, _, _ in steps_of(f'{two}[[layer]]\ncloth = "light fusible"\n')]
    assert backed.index("fuse") < backed.index("cut out the strap") < backed.index("make the strap")
    assert "Open and close both cuffs ten times" in told["try"]
    assert "to the tip that it names" in told["mark buttonholes"]
    alone = {key: text for key, text, _ in steps_of(one)}
    joined = "the sleeve's lower edge taken in between its layers"
    assert f"Sew and turn the cuff, {joined}, and press it." in alone["make the strap"] and "both" not in alone["try"]
    notes = place_plan(read_plan(one.encode(), "job.toml")).placement.strap.notes
    assert any("One cuff alone is told" in note for note in notes)
    assert not any("One cuff" in note for note in place_plan(read_plan(two.encode(), "job.toml")).placement.strap.notes)


@pytest.mark.parametrize(
    ("kind", "size", "is_slow"),
    [
        ("shank button", "24 L", True),
        ("tack button", "27 L", True),
        ("hook and eye", "2", True),
        ("hook and bar", "one size", False),
        ("prong snap", "16 L", False),
    ],
)
def test_kind_that_is_slow_in_a_quick_change_is_said_to_be(kind: str, size: str, is_slow: bool) -> None:
    wearer = '[wearer]\nprofiles = ["quick change"]\n'
    text = front(kind, size, rest=cloth("chino", 3) + wearer, count=3)
    found = [one for one in place_plan(read_plan(text.encode(), "job.toml")).findings if one.rule == "wearer"]
    assert any("is slow in a quick change" in one.text and one.result == "warn" for one in found) is is_slow


@pytest.mark.parametrize(
    ("opens", "lap", "told"),
    [
        ("front", "right over left", "in a deep breath"),
        ("crotch", "front over back", "bending down"),
        ("left shoulder", "front over back", "with the arm raised"),
    ],
)
def test_pull_is_read_as_the_place_is_drawn_hardest(opens: str, lap: str, told: str) -> None:
    from closures.jobs.gape.asking import measures_for

    text = front("prong snap", "16 L", rest=f'[garment]\nopens = "{opens}"\n' + cloth("chino"))
    text = (
        text.replace("right over left", lap).replace("[band]", 'cloth = "right"\n[band]', 1)
        if opens != "front"
        else text
    )
    placement = place_plan(read_plan(text.encode(), "job.toml")).placement
    steps = " ".join(step for one in measures_for(placement) for step in one.how)
    assert f"sitting, and {told}, each three times" in steps and ("breath" in steps) is (opens == "front")


@pytest.mark.parametrize("name", ["cotton velvet", "silk habotai"])
def test_old_button_leaves_holes_that_stay_in_cloth_that_keeps_marks_in_every_text(name: str) -> None:
    from closures.advice.swap_facts import removal_of_old

    swap = SHIRT.format(kind="sew-through button", size="18 L", hole=', way = "along", length = "16 mm"')
    answer = place_plan(read_plan(front("sew-on snap", "1", rest=cloth(name) + swap).encode(), "job.toml"))
    assert answer.swap is not None
    assert "the needle holes may stay to be seen in such cloth" in removal_of_old(answer.swap)


def test_snap_beside_bound_buttonholes_is_marked_without_a_word_of_how_they_are_worked() -> None:
    differs = '[[differs]]\nmarks = [3]\nkind = "sew-on snap"\nsize = "1"\n'
    closure = 'bound = true\nhole = "across"'
    rest = cloth("wool suiting", fusible=True) + differs
    steps = steps_of(front("sew-through button", "30 L", closure=closure, rest=rest, width=70, count=5))
    marked = next(text for key, text, _ in steps if key == "mark")
    assert "At mark 3 take one loose stitch" in marked and "buttonhole" not in marked
    assert "so that all marks of the row are alike" in marked
