"""A file that is no drawing, or none that can be read: told for what it seems to be, and how a drawing is exported."""

from __future__ import annotations

import gzip
import io
import re
import zipfile
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app
from closures.app.listing import edges_of
from closures.errors import DrawingError

SVG = (shipped.starting_plans()["curved-front"] / "front.svg").read_bytes()
PDF = next(shipped.starting_plans()["from-pdf"].glob("*.pdf")).read_bytes()
HTML = b"<!DOCTYPE html>\n<html><head><title>front.svg</title></head><body>front</body></html>"
DXF = b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n0\n10\n0\n20\n0\n11\n0\n21\n600\n"
# What a reader of files says of itself, and nobody who sews knows.
PARSER = re.compile(
    r"well-formed|token|syntax|codec|xml\b|line \d+, column|trailer|xref|exception|element|parse|0x|unpack|decode|tag\b",
    re.IGNORECASE,
)
# Names of programs and makers have no place in a message.
EXPORT = re.compile(r"drawing program|print it to a (?:new )?PDF|PNG or JPEG|Unpack it|anew|file itself|drawing itself")


def packed(*names: str) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name in names:
            archive.writestr(name, "x")
    return made.getvalue()


# How each begins is told by its own format: PostScript (%!PS), a preview in front of it (C5 D0 D3 C6), RIFF's form type,
# the brand in the first box of ISO base media files, the signatures of ZIP, OLE2, GZIP, EMF, WMF and HPGL.
FILES = {
    "old.ai": (b"%!PS-Adobe-3.0\n%%BoundingBox: 0 0 9 9\n", "a drawing kept as PostScript (.eps, .ai, .ps)"),
    "a.eps": (b"%!PS-Adobe-3.0 EPSF-3.0\n", "a drawing kept as PostScript"),
    "preview.eps": (b"\xc5\xd0\xd3\xc6" + bytes(60), "a drawing kept as PostScript"),
    "a.cdr": (b"RIFF\x10\0\0\0CDRAvrsn" + bytes(50), "a drawing that only the program opens which made it (.cdr)"),
    "new.cdr": (packed("mimetype", "content/root.dat"), "a packed file: a drawing that only the program opens"),
    "a.docx": (packed("[Content_Types].xml", "word/document.xml"), "a word processor's or another office file"),
    "a.odt": (packed("mimetype", "content.xml"), "a word processor's or another office file"),
    "a.doc": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(90), "a word processor's or another office file"),
    "a.rtf": (b"{\\rtf1\\ansi front}", "a word processor's or another office file"),
    "a.zip": (packed("pattern/front.svg"), "a packed folder (.zip) that holds 'front.svg'"),
    "cut.zip": (packed("pattern/front.svg")[:40], "that is cut off"),
    "a.svgz": (gzip.compress(SVG), "a packed SVG (.svgz)"),
    "a.heic": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "a photo as a phone keeps it (.heic, .avif)"),
    "a.mp4": (b"\0\0\0\x20ftypisom" + bytes(50), "a film, not a drawing"),
    "a.psd": (b"8BPS\0\1" + bytes(50), "a picture of a kind that is not read"),
    "a.emf": (b"\1\0\0\0" + bytes(36) + b" EMF" + bytes(50), "an office drawing (.emf, .wmf)"),
    "a.plt": (b"IN;SP1;PU0,0;PD100,100;", "a file for a plotter or a cutter (.plt)"),
    "a.exe": (b"MZ\x90\0" + bytes(60), "a program, not a drawing"),
    "a.url": (b"[InternetShortcut]\nURL=front.svg\n", "a link to the drawing"),
    "html.svg": (HTML, "a web page, not an SVG drawing"),
    "html.pdf": (HTML, "a web page, not an SVG drawing"),
    "html.dxf": (HTML, "a web page, not an SVG drawing"),
    "json.svg": (b'{"front": 1}', "a text for programs (JSON)"),
    "plan.svg": (b'units = "mm"\n[edge]\nstraight = "24 in"\n', "a text such as a plan"),
    "words.svg": (b"The front, 24 in long.", "this is a text, not an SVG drawing"),
    "other.svg": (b"<?xml version='1.0'?><note/>", "marked-up text, but not an SVG drawing"),
    "broken.svg": (
        SVG.replace(b"</title>", b"</titel>"),
        "not an SVG drawing that can be read: it has a fault in line",
    ),
    "utf.svg": (SVG.decode().encode("utf-16")[:1800], "not an SVG drawing that can be read: it has a fault"),
    "cut.svg": (SVG[:900], "it ends before its last tag"),
    "zeros.svg": (bytes(2000), "holds nothing but zeros"),
    "empty.svg": (b"", "the file is empty"),
    "noise.svg": (bytes(range(1, 32)) * 9, "nor any file that is known here"),
    "cut.pdf": (PDF[: len(PDF) // 3], "this PDF ends before its end: it is cut off"),
    "cut in its last table.pdf": (PDF[:-300], "this PDF ends before its end: it is cut off"),
    "begun.pdf": (b"%PDF-1.4\n", "this PDF ends before its end: it is cut off"),
    "cut.dxf": (DXF, "this DXF ends before its end mark, EOF"),
}


@pytest.mark.parametrize("name", FILES)
def test_unreadable_drawing_says_what_it_seems_to_be_and_how_to_export_one_in_no_words_of_a_parser(name: str) -> None:
    data, told = FILES[name]
    with pytest.raises(DrawingError) as refused:
        edges_of(data, name)
    (fault,) = refused.value.faults
    assert told in fault.what and fault.where == name
    assert EXPORT.search(fault.mend) or fault.mend == "Save the drawing again.", fault.mend
    assert not PARSER.search(fault.what.replace("its last tag", "")), fault.what


def test_drawing_that_is_called_otherwise_is_read_for_what_it_is() -> None:
    assert edges_of(PDF, "new.ai").candidates and edges_of(SVG, "front").candidates


def test_sound_pdf_with_a_tail_is_no_cut_off_one() -> None:
    assert edges_of(PDF + b"\n" * 300, "front.pdf").candidates


def test_plan_that_names_such_a_file_tells_it_by_the_drawing(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_bytes(HTML)
    text = (shipped.starting_plans()["curved-front"] / "plan.toml").read_text(encoding="utf-8")
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    done = CliRunner().invoke(app, ["check", str(tmp_path / "plan.toml")])
    assert done.exit_code == 2 and done.stderr.startswith("front.svg: this is a web page"), done.stderr
