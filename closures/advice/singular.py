"""Sentences about a row, told of one closure: the tables speak of several, as most rows have.

Terms: what is *one* here is the mark; it still has two halves, and its buttonhole two ends.
"""

from __future__ import annotations

import re

_OF_ONE = (
    "ring|cap|post|socket|stud|ball half|socket half|magnet half|counter half|eyelet|loop|hook|eye|bar|buttonhole|"
    "button|snap|place|mark|tack|loose stitch|slit"
)
_SEWN = "ball|socket|covered socket|counter|magnet"
_ONE: tuple[tuple[str, str], ...] = (
    # Two laps, or two ends of a slit, are two pricks; of one mark on one lap there is one.
    (r"^(?!.*both ends)(?!.*either lap)(.*At mark .*)touch each prick", r"\1touch the prick"),
    (r"^(?!.*either lap)(?!.*both ends)(.*At mark .*)each dot", r"\1the dot"),
    (r"the ends of each on", "its ends on"),
    (r"the end of each at its mark and towards", "its end at the mark and towards"),
    (r"the edges of each together", "its edges together"),
    (r"one over each of", "over"),
    (r"closed buttonholes of the", "closed buttonhole of the"),
    (r", each to the cloth", ", to the cloth"),
    (r"mark them there, each with", "mark it there with"),
    (r"hold the places against(.*?) mark them\b", r"hold the place against\1 mark it"),
    (r"hold the places against", "hold the place against"),
    (r"\bmark them there", "mark it there"),
    (r"\bThey agree to a millimetre at\b", "The two agree to a millimetre at"),
    (r"push each on", "push it on"),
    (rf"\b(through|at) each of? ?({_OF_ONE})\b", r"\1 the \2"),
    (rf"\b[Ee]very ({_OF_ONE})\b(?! clear)", r"the \1"),
    (rf"\b[Ee]ach ({_OF_ONE})\b", r"the \1"),
    (rf"\b({_SEWN}) halves\b(?= on at)", r"\1 half"),
    (r"set the counter halves with their washers", "set the counter half with its washer"),
    (r"\b(button|hook|eye|bar)s on at mark\b", r"\1 on at mark"),
    (
        r"push the eyelets through from the face that shows, lay the washers on, and spread them",
        ("push the eyelet through from the face that shows, lay the washer on, and spread it"),
    ),
    (r"Punch the holes at mark", "Punch the hole at mark"),
    (r"Make the loops of one length, (.*?) from foot to foot", r"Make the loop \1 from foot to foot"),
    (
        r"Let them lie on the cloth, face the edge and turn it: they stand out",
        ("Let it lie on the cloth, face the edge and turn it: it stands out"),
    ),
    (r"All loops are of one length and stand level, and each lets", "The loop is of that length, and lets"),
    (r"Work the buttonholes round; up to here they can", "Work the buttonhole round; up to here it can"),
    (r"\bno slit is shorter than its mark", "the slit is no shorter than its mark"),
    (r"Cut the buttonholes open", "Cut the buttonhole open"),
    (r"\bthe buttonholes\b", "the buttonhole"),
    (r"\bEach (sits|takes|lets|hangs)\b", r"It \1"),
    (r", and none turns or rocks\b", ", and does not turn or rock"),
    (r", and none turns\b", ", and does not turn"),
    (r"on their own shanks or, where they have none", "on its own shank or, where it has none"),
    (r"by their own shanks", "by its own shank"),
    (r"Back the closures:", "Back the closure:"),
    (r"Take the 1 ", "Take the "),
    (r"\bsew 1 button\b", "sew the button"),
    (r"\bLeave each round\b", "Leave it round"),
    (r"\bleave each round\b", "leave it round"),
    (r"\bcover each now\b", "cover it now"),
)
_SENTENCE = re.compile(r"(^|[.:] )([a-z])(?=(?:he|his) )")


def of_one(text: str) -> str:
    """Write a sentence about a row so that it speaks of the one closure that the row has.

    Args:
        text: with its figures filled in.
    """
    for several, one in _ONE:
        text = re.sub(several, one, text)
    # What began a sentence as "Each button" begins it as "The button".
    return _SENTENCE.sub(lambda found: found[1] + (found[2] if found[1] == ": " else found[2].upper()), text)
