"""SVG and PDF: the same picture, text that reads back, fonts inside, links, the same bytes."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import io
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest
from compare_pictures import (
    DARK,
    assert_same_picture,
    differing,
    faults,
    pdf_picture,
    svg_picture,
)
from drawing.sample import IEC, page
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.png import MissingLibrary, to_png
from harnessdoc.drawing.record import Line, Text
from harnessdoc.drawing.svg import to_svg
from harnessdoc.drawing.swatch import draw_swatch

CAIRO = pytest.mark.outside("cairosvg on the SVG and pypdfium2 on the PDF", needs=("cairo",))

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def drawing():
    return page()


@CAIRO
def test_two_ways_the_same_picture(drawing):
    assert_same_picture(drawing)


@CAIRO
def test_letters_keep_their_shape(drawing):
    """cairo does not bend letters to the pixels: hardly a pixel differs, and not a cluster."""
    assert differing(svg_picture(drawing), pdf_picture(drawing)).sum() < 20


@CAIRO
@pytest.mark.parametrize("shift", [0.0, 0.06, 0.127, 0.19])
@pytest.mark.parametrize("upright", [False, True])
def test_a_line_of_5_mm_missing_from_either_is_seen(shift, upright):
    """Wherever the line lies on the grid of pixels."""
    pen = Pen(60, 40)
    pen.text(10, 10, "start relay")
    whole = pen.drawing()
    pen.line(20 + shift, 20 + shift, *((20 + shift, 25 + shift) if upright else (25 + shift, 20 + shift)))
    more = pen.drawing()
    assert faults(svg_picture(more), pdf_picture(more)) == []
    assert faults(svg_picture(whole), pdf_picture(more)) != []
    assert faults(svg_picture(more), pdf_picture(whole)) != []


@CAIRO
def test_other_faults_are_seen(drawing):
    """A text moved by 1 mm, a letter exchanged."""
    svg = svg_picture(drawing)
    for change in (
        lambda m: dataclasses.replace(m, x=m.x + 1) if isinstance(m, Text) and m.text == "Pinout" else m,
        lambda m: dataclasses.replace(m, text="Engine control unit plug 7") if isinstance(m, Text) and m.text == "Engine control unit plug 1" else m,
    ):
        other = dataclasses.replace(drawing, marks=tuple(map(change, drawing.marks)))
        assert other != drawing
        assert faults(svg, pdf_picture(other)) != []


@CAIRO
def test_a_lost_fill_of_any_colour_is_seen(drawing):
    """Each ink by itself. Pattern lines cover much of a swatch, so fields are looked at large: all patterns keep their pitch in them.

    White ink and white lines are too pale to be told from paper by the pictures compared here; their fills are compared as values.
    """
    for code in (*IEC, "LT GN", "DK GN", "TAN"):
        pen = Pen(60, 40)
        pen.text(5, 5, "start relay")
        draw_swatch(pen, 5, 8, 50, 28, (code,))
        whole = pen.drawing()
        ink = next(mark.fill for mark in whole.marks if getattr(mark, "fill", None))
        bare = dataclasses.replace(whole, marks=tuple(dataclasses.replace(m, fill=None) if getattr(m, "fill", None) == ink else m for m in whole.marks))
        assert bare != whole
        svg, pdf = svg_picture(whole, 200), pdf_picture(whole, 200)
        assert faults(svg, pdf) == [], code
        if 255 - min(int(ink[at:at + 2], 16) for at in (1, 3, 5)) >= DARK:
            assert faults(svg, pdf_picture(bare, 200)) != [] and faults(svg_picture(bare, 200), pdf) != [], code
        else:
            assert code == "WH" and f'fill="{ink}"' in to_svg(whole) and f'fill="{ink}"' not in to_svg(bare)


def test_svg_text_reads_back(drawing):
    root = ET.fromstring(to_svg(drawing).encode("utf-8"))
    assert root.get("width") == "210mm" and root.get("viewBox") == "0 0 210 297"
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert texts == [m.text for m in drawing.marks if isinstance(m, Text)]
    assert "Ω" in "".join(texts) and "U+1F600" in texts


def test_pdf_text_reads_back(drawing):
    book = pypdfium2.PdfDocument(write_pdf([PdfPage(drawing, "one", "1")], Meta("Bench")))
    text = book[0].get_textpage().get_text_bounded()
    for mark in drawing.marks:
        if isinstance(mark, Text) and not mark.upright:
            assert mark.text.strip() in text
    book.close()


def test_svg_carries_the_glyphs_it_uses(drawing):
    svg = to_svg(drawing)
    faces = re.findall(r"font-weight:(\w+);src:url\(data:font/woff;base64,([^)]*)\)", svg)
    assert [weight for weight, _ in faces] == ["normal", "bold"]
    for (_, data), weight in zip(faces, ("regular", "bold"), strict=True):
        font = TTFont(io.BytesIO(base64.b64decode(data)))
        used = {c for m in drawing.marks if isinstance(m, Text) and m.weight == weight for c in m.text}
        assert used <= set(map(chr, font.getBestCmap()))
    assert "font-kerning:none;font-variant-ligatures:none" in svg


def test_pdf_embeds_each_font_once(drawing):
    book = write_pdf([PdfPage(drawing, f"s{i}", str(i)) for i in range(3)], Meta("Bench"))
    reader = PdfReader(io.BytesIO(book))
    fonts = {
        str(reader.pages[i]["/Resources"]["/Font"].raw_get(name))
        for i in range(3)
        for name in reader.pages[i]["/Resources"]["/Font"]
    }
    assert len(fonts) == 2
    assert book.count(b"/FontFile2") == 2


def test_bad_texts_tags_and_targets_stay_text():
    bad = "<script>alert('1')</script>\" & \x00\x1b\ud800"
    pen = Pen(100, 50)
    pen.line(1, 1, 9, 9, tag=bad)
    pen.text(5, 20, bad, 1.8, tag=bad)
    pen.link(5, 20, 5, 5, f"../{bad.replace(chr(0xD800), '')}", tag=bad)
    svg = to_svg(pen.drawing())
    root = ET.fromstring(svg.encode("utf-8"))
    assert not list(root.iter("script")) + list(root.iter(f"{SVG}script"))
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert texts == ["<script>alert('1')</script>\" & ", "U+0000", "U+001B", "U+D800"]
    (anchor,) = root.iter(f"{SVG}a")
    href = anchor.get("{http://www.w3.org/1999/xlink}href")
    assert "/" not in href and href.endswith(".svg")
    assert root.find(f".//{SVG}line").get("data-tag") == "<script>alert('1')</script>\" & \ufffd\ufffd\ufffd"
    write_pdf([PdfPage(pen.drawing(), bad, "1", bad)], Meta("Bench"))


def test_spaces_are_kept_and_letters_placed_by_the_advances():
    pen = Pen(100, 50)
    width = pen.text(10, 20, "a  b ", 2.5)
    pen.text(10 + width, 30, "c")
    root = ET.fromstring(to_svg(pen.drawing()))
    first, second = root.iter(f"{SVG}text")
    assert first.text == "a  b "
    assert root.get("{http://www.w3.org/XML/1998/namespace}space") == "preserve"
    places = [float(x) for x in first.get("x").split()]
    assert len(places) == 5 and places[0] == 10 and places == sorted(places)
    assert float(second.get("x")) == pytest.approx(10 + width, abs=0.001)


def test_pdf_links_bookmarks_labels_and_date():
    first, second = Pen(210, 297), Pen(297, 210)
    first.link(20, 30, 10, 5, "second")
    first.link(20, 40, 10, 5, "not in this book")
    second.link(20, 30, 10, 5, "first")
    seen = []
    book = write_pdf(
        [
            PdfPage(first.drawing(), "first", "1", "Pinouts", 0),
            PdfPage(second.drawing(), "second", "2.1", "Plug Ω", 1),
            PdfPage(second.drawing(), "second", "2.2"),
        ],
        Meta("The bench", "A. Tester", "2024-05-01"),
        lambda done, whole: seen.append((done, whole)),
    )
    assert seen == [(1, 3), (2, 3), (3, 3)]
    reader = PdfReader(io.BytesIO(book))
    assert reader.page_labels == ["1", "2.1", "2.2"]
    assert reader.metadata.title == "The bench" and reader.metadata.author == "A. Tester"
    assert str(reader.metadata.creation_date)[:10] == "2024-05-01"
    top, (below,) = reader.outline
    assert (top.title, below.title) == ("Pinouts", "Plug Ω")
    assert reader.get_destination_page_number(below) == 1
    (link,) = [a.get_object() for a in reader.pages[0]["/Annots"]]
    k = 72 / 25.4
    assert [float(v) / k for v in link["/Rect"]] == pytest.approx([20, 262, 30, 267], abs=0.01)
    assert link["/Dest"][0].get_object() == reader.pages[1].get_object()
    assert float(link["/Dest"][3]) == pytest.approx(210 * k, abs=0.01), "the top of a lower page"
    (back,) = [a.get_object() for a in reader.pages[1]["/Annots"]]
    assert float(back["/Dest"][3]) == pytest.approx(297 * k, abs=0.01)


def test_without_a_date_the_clock_is_not_asked():
    book = write_pdf([PdfPage(Pen(100, 50).drawing(), "one", "1")], Meta("The bench"))
    assert str(PdfReader(io.BytesIO(book)).metadata.creation_date)[:10] == "2000-01-01"


def test_svg_links_lead_to_the_sheets_file():
    pen = Pen(100, 50)
    pen.link(1, 2, 3, 4, "pinout-X1")
    (anchor,) = ET.fromstring(to_svg(pen.drawing())).iter(f"{SVG}a")
    assert anchor.get("{http://www.w3.org/1999/xlink}href") == "pinout-X1.svg"


def test_numbers_have_fixed_decimals():
    pen = Pen(100, 50)
    pen.line(1 / 3, -0.0001, 1e-9, 2.5)
    line = ET.fromstring(to_svg(pen.drawing())).find(f".//{SVG}line")
    assert [line.get(k) for k in ("x1", "y1", "x2", "y2")] == ["0.333", "0", "0", "2.5"]


PROGRAM = """
import hashlib
from drawing.sample import IEC, page
from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.svg import to_svg
from harnessdoc.drawing.swatch import draw_swatch
d = page()
book = write_pdf([PdfPage(d, 'a', '1', 'A'), PdfPage(d, 'second', '2', 'B')], Meta('Bench'))
print(hashlib.sha256(to_svg(d).encode()).hexdigest(), hashlib.sha256(book).hexdigest())
"""


def test_two_hash_seeds_the_same_bytes():
    outputs = set()
    for seed in ("1", "2"):
        outputs.add(
            subprocess.run(
                [sys.executable, "-c", PROGRAM],
                env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parent.parent)},
                capture_output=True,
                text=True,
                check=True,
            ).stdout
        )
    assert len(outputs) == 1
    svg, _ = outputs.pop().split()
    assert svg == hashlib.sha256(to_svg(page()).encode()).hexdigest()


@CAIRO
def test_png_size():
    pen = Pen(254, 127)
    data = to_png(pen.drawing(), 100)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(data[16:20]), int.from_bytes(data[20:24])) == (1000, 500)


def test_a_missing_cairo_says_what_to_install(monkeypatch):
    class Without:
        def find_spec(self, name, path=None, target=None):
            if name == "cairosvg":
                raise OSError("no library called cairo-2 was found")

    monkeypatch.delitem(sys.modules, "cairosvg", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Without(), *sys.meta_path])
    with pytest.raises(MissingLibrary) as fault:
        to_png(Pen(10, 10).drawing())
    text = str(fault.value)
    assert "apt install libcairo2" in text and "brew install cairo" in text and "MSYS2" in text


@CAIRO
def test_no_installed_font_can_take_the_place_of_ours(drawing):
    """cairo draws with the bundled font: the title's capitals are as high as the record says."""
    pen = Pen(60, 20)
    pen.text(5, 15, "HHHHH", 10)
    rows = svg_picture(pen.drawing(), 254).max(axis=1)
    inked = [i for i, v in enumerate(rows) if v > 127]
    assert (inked[-1] - inked[0] + 1) / 10 == pytest.approx(10, abs=0.15)


def test_lines_are_the_records(drawing):
    lines = [m for m in drawing.marks if isinstance(m, Line)]
    found = list(ET.fromstring(to_svg(drawing).encode()).iter(f"{SVG}line"))
    assert len(found) == len(lines)
