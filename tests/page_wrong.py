"""Wrong values in every field of the page: each is refused in words beside it or taken, nothing breaks, and nothing prints meanwhile.

    python tests/page_wrong.py            7,200 values, from a seed of their own
    python tests/page_wrong.py 500 7      so many, from a seed

Every starting plan is opened, and words that people, programs and word processors bring along are typed into its fields, one
field at a time. A word that is refused is told beside its field in the words of fields, holds the print, and goes when what stood there
is typed again.
"""

from __future__ import annotations

import importlib.util
import random
import re
import sys
from collections import Counter
from pathlib import Path
from typing import Any

_spec = importlib.util.spec_from_file_location("page_walks_wrong", Path(__file__).with_name("page_walks.py"))
assert _spec is not None and _spec.loader is not None
page_walks = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_walks)

WRONG = (
    "DWG", "seven", "600,5", "1.200,5 mm", "24 – 30 mm", "— 24 mm", "24 mm // the lap", '"24 mm"', "-3 mm", "1e9", "nan", "0/0 in",
    "[spacing]", "{ from = 1 }", 'x" y = "z', "'''", "#", "\\", "\0", "\u202e24 mm", "٣ mm", "999999999999 mm", "½½ in", "a" * 5000,
    "1; 2; 3", "true", "💡", "12 mm\n[band]\nwidth = 3", "S = 1 in, S = 2 in", "../../x.svg", "left", "wearers right", "96", "96 px",
    "1:1", "100 %", "« 24 mm »", "1 000 mm", "1’200 mm", "1 1/2 Zoll", "2 layers", "6 to 8", ".5", "38.", "0", "99999 m", "16 ligne",
    "{}", "[1, 2]", "a = b", "level 5", "from 3 to 4", "Ja", "None", "<b>x</b>", "%s", "“24 mm”", "１２ mm", "buttons", "zip", "Leinen",
)  # fmt: skip
IN_A_FILE = re.compile(
    r"[\[\]`]|\bkeys?\b|\bsections?\b|\bTOML\b|\.toml\b|(?<![\w-])--[a-z]|\bclosures (?:edges|cloths|new|start|swap|help|place|check)\b"
)
"""What the text of a plan and a terminal have, and no field."""
DONE: Counter[str] = Counter()


def try_one(walk: Any, name: str, word: str) -> None:
    """Type one word into one field, hold what is answered, and take it back."""
    stood = walk.shown.fields[name]

    def typed(text: str) -> dict[str, Any]:
        turn = walk.client.get(f"{walk.first}/turn").json()["turn"]
        sent = {name: text, "do": "redraw", "at": turn}
        answer = walk.client.post(f"{walk.first}/change", data=sent, headers=page_walks.JSON)
        assert answer.status_code == 200, f"{answer.status_code}: {answer.text[:300]}"
        parts: dict[str, Any] = answer.json()
        assert "Traceback" not in answer.text
        return parts

    parts = typed(word)
    DONE["taken" if parts["ok"] else "refused"] += 1
    if not parts["ok"]:
        said = " ".join(parts["words"].values()) or parts["message"]
        assert said.strip(), "it is refused without a word"
        assert name in parts["words"], f"it is refused, and not beside its field: {list(parts['words'])}"
        odd = IN_A_FILE.search(parts["words"][name].replace(word, ""))
        assert odd is None or odd[0] in repr(word), f"no words of fields: {parts['words'][name]}"
        held = walk.client.get(f"{walk.first}/files/report.json")
        assert held.status_code == 422, "a word that is in no picture, and it prints"
    if parts["ok"]:
        walk.client.post(f"{walk.first}/change", data={"do": "undo"}, headers=page_walks.JSON)
    back = typed(stood)
    assert name not in back["words"], f"what stood there is refused: {back['words']}"


def main(count: int, seed: int) -> int:
    """Try so many, and tell what came of them; Ctrl+C ends them earlier."""
    dice, failed, tried = random.Random(seed), 0, 0
    names = sorted(path.parent.name for path in page_walks.TEMPLATES.glob("*/plan.toml"))
    each = -(-count // len(names))
    try:
        for plan in names:
            walk = page_walks.Walk(plan, dice)
            for _ in range(min(each, count - tried)):
                name, word = dice.choice(sorted(walk.shown.fields)), dice.choice(WRONG)
                tried += 1
                if tried % 100 == 0:
                    print(f"{tried} wrong values, {failed} of them badly answered", file=sys.stderr, flush=True)
                try:
                    try_one(walk, name, word)
                except Exception as error:
                    failed += 1
                    print(f"{plan}, {name} = {word[:60]!r}: {type(error).__name__}: {error}"[:700], flush=True)
                    walk = page_walks.Walk(plan, dice)
    except KeyboardInterrupt:
        pass
    print(f"{tried} wrong values, {failed} of them badly answered")
    for what, times in sorted(DONE.items()):
        print(f"  {times:6} {what}")
    return 1 if failed else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    sys.exit(main(*(given + [7200, 1][len(given) :])))
