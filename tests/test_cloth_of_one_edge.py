"""One edge of a drawing that two openings of a garment read: its cloth lies on one side of it."""

from __future__ import annotations

from pathlib import Path

from test_garment_told import ON_SUIT, SUIT, worked

TWO_SIDES = ON_SUIT.replace("{path}", "front-edge").replace("{edge}", "").replace('"{lap}"', '"front over back"')


def on_one_edge(folder: Path, right: str, more: str = "") -> list[str]:
    (folder / "suit.svg").write_text(SUIT, encoding="utf-8")
    left = TWO_SIDES.format(opens="left side")
    whole = worked(folder, ("left side", left, ""), ("right side", right, more))
    return [one.text for one in whole.clearances if "along one edge of one drawing" in one.text]


def test_one_edge_told_with_its_cloth_on_both_sides_is_looked_at(tmp_path: Path) -> None:
    """Seen from outside the front lies on the viewer's left of the wearer's left side, and on the right of the right one."""
    (text,) = on_one_edge(tmp_path, TWO_SIDES.format(opens="right side"))
    assert "that of left side lies on the left of it as drawn, and that of right side lies on the right of it" in text
    assert "mirrored = true" in text and 'clear_of = ["left side"]' in text


def test_one_edge_is_no_look_where_two_pieces_share_it_or_the_cloth_is_on_one_side(tmp_path: Path) -> None:
    assert not on_one_edge(tmp_path, TWO_SIDES.format(opens="right side"), 'clear_of = ["left side"]')
    backs = TWO_SIDES.format(opens="right side").replace("front over back", "back over front")
    assert not on_one_edge(tmp_path, backs)
    # A garment that is drawn upside down has its right side where the left one was: the cloth is on one side again.
    turned = TWO_SIDES.format(opens="right side").replace('path = "front-edge"', 'path = "front-edge"\nreverse = true')
    assert not on_one_edge(tmp_path, turned)
