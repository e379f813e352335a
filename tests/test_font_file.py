"""Letters as they are read from the font's file, held against a reader from outside: fontTools."""

from pathlib import Path

import font_source_sans_pro
import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from closures.drawing.ink.font_file import FontFile

FACES = ("SourceSansPro", "SourceSansProSemibold", "SourceSansProBold")
LETTERS = {"moveTo": "M", "lineTo": "L", "curveTo": "C", "closePath": "Z"}


def font_of(face: str) -> FontFile:
    return FontFile(Path(font_source_sans_pro.font_files_otf[face]).read_bytes())


@pytest.mark.parametrize("face", FACES)
def test_every_letter_of_a_face_is_as_another_reader_has_it(face: str) -> None:
    font, other = font_of(face), TTFont(font_source_sans_pro.font_files_otf[face])
    glyphs, names = other.getGlyphSet(), other.getBestCmap()
    assert len(names) > 1200
    for code, name in names.items():
        pen = DecomposingRecordingPen(glyphs)
        glyphs[name].draw(pen)
        told = tuple((LETTERS[way], *(round(v) for point in points for v in point)) for way, points in pen.value)
        assert font.outline(chr(code)) == told, name
        assert font.advance(chr(code)) == glyphs[name].width, name


def test_a_letter_is_in_the_font_where_another_reader_finds_one_and_nowhere_else() -> None:
    font, names = font_of("SourceSansPro"), TTFont(font_source_sans_pro.font_files_otf["SourceSansPro"]).getBestCmap()
    assert [code for code in range(0x110000) if chr(code) in font] == sorted(names)


def test_an_operator_that_is_not_known_is_refused_and_not_passed_over() -> None:
    font = font_of("SourceSansPro")
    at, end = font._outlines.span(font._glyph("I"))
    # 12 35 is a flex, which no letter of the font has.
    broken = FontFile(font.data[:at] + bytes([12, 35]) + font.data[at + 2 : end] + font.data[end:])
    with pytest.raises(ValueError, match="an operator that is not known here: 12"):
        broken.outline("I")


def test_a_font_without_its_map_of_all_letters_is_refused() -> None:
    data = font_of("SourceSansPro").data
    maps = data.index(b"\x00\x03\x00\x0a", 12)
    with pytest.raises(ValueError, match="does not tell its letters"):
        FontFile(data[:maps] + b"\x00\x03\x00\x01" + data[maps + 4 :])
