"""Cross-sections at named stations: every conductor once, to scale as measured back from the PDF, and where they are on the layout."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from math import hypot

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of
from sheets.marked_contexts import all_of, edited, since_context
from sheets.revision_reader import clouded, struck
from sheets.test_cross_section import _listed, rims, scales
from sheets.test_layout_1to1 import MM, _points

from harnessdoc.book.draw import make_context
from harnessdoc.drawing.page import BOOKLET_PAPERS, PAPERS
from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.record import Circle, Drawing, Line, Text
from harnessdoc.geometry.cuts import Cut, cuts
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.cross_section import draw_cross_sections
from harnessdoc.sheets.layout import draw_layout
from harnessdoc.sheets.layout_1to1 import draw_layout_1to1
from harnessdoc.sheets.layout_map import layout_of
from harnessdoc.steps import load

REF = SheetRef(41, "layout-sections", SheetKind.CROSS_SECTIONS, "the bundle cut across")
LAYOUT = SheetRef(40, "layout", SheetKind.LAYOUT, "the bundle")
BOARD = SheetRef("1:1", "layout-1to1", SheetKind.LAYOUT_1TO1, "to build on")
HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: rubber tube, covering-wall: 1.2 mm, grommet: 30 mm, sections: {A: 60 mm, at the splice: 150 mm, C: 400 mm}}
      T2: {from: P2, to: P3, length: 300 mm, covering: tape, sections: {D: 100 mm, E: 150 mm}}
      T3: {from: P2, to: P4, length: 200 mm, sections: {F: 20 mm}}
    connectors:
      X1: {place: P1, face: [[1..20]], view: wire side}
      X3: {place: P3, face: [[1..20]], view: wire side}
      X4: {place: P4, face: [[1..20]], view: wire side}
    splices:
      S1: {at: 150 mm from P1 toward P2}
    cables:
      W1: {diameter: 5 mm, colour: GY}
    wires:
      1: {from: X1.1, to: S1, size: 1.5 mm2, colour: BN}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BN/WH}
      3: {from: S1, to: X3.1, size: 2.5 mm2, colour: RD/BK}
      4: {from: X1.3, to: X3.3, size: 0.5 mm2, colour: GN}
      5: {from: X1.4, to: X3.4, size: 4 mm2, colour: BK}
      6: {from: X1.5, to: X3.5, diameter: 3.1 mm, colour: VT, cable: W1}
      7: {from: X1.6, to: X3.6, diameter: 3.1 mm, colour: VT/WH, cable: W1}
"""
papers = pytest.mark.parametrize("paper", [*PAPERS, *BOOKLET_PAPERS])


def stations(context: Context) -> dict[str, Cut]:
    return {cut.name: cut for cut in cuts(context.harness, context.geometry)}


def pages_of(context: Context) -> dict[str, Drawing]:
    """Station -> the page with its picture; each of these harnesses has one picture a page."""
    found: dict[str, Drawing] = {}
    for page in draw_cross_sections(context, REF):
        for text in texts(page):
            if ": station " in text and page not in found.values():
                found[text.partition(": station ")[2].partition(",")[0]] = page
    return found


def one_station(name: str) -> Context:
    """The harness with this station alone, so that its picture stands on a page of its own."""
    context = context_of(HARNESS)
    at = stations(context)[name]
    text = "\n".join(line.partition(", sections")[0] + "}" if "sections" in line else line for line in HARNESS.replace(", grommet: 30 mm", "").splitlines())
    whole = next(line for line in text.splitlines() if f" {at.segment}: " in line)
    return context_of(text.replace(whole, f"{whole[:-1]}, sections: {{{name}: {at.at_mm:g} mm}}}}"))


NAMES = ("A", "at the splice", "C", "D", "E")
each = pytest.mark.parametrize("name", NAMES)


@each
def test_every_conductor_is_there_once_as_a_circle_and_no_two_overlap(name: str) -> None:
    context = one_station(name)
    cut, = stations(context).values()
    picture = [page for page in draw_cross_sections(context, REF) if rims(page)]
    drawn = Counter(mark.tag for page in picture for mark in page.marks if isinstance(mark, Circle) and mark.tag.startswith(("wire:", "cable:", "splice:")) and mark.fill is None)
    # what runs there by the description: wires of a cable as the cable, members at a splice as the splice
    in_it = {"A": ["1", "2", "4", "5"], "at the splice": ["4", "5"], "C": ["3", "4", "5"], "D": ["3", "4", "5"], "E": ["3", "4", "5"]}[name]
    wanted = Counter([*(f"wire:{wire}" for wire in in_it), "cable:W1", *(["splice:S1"] if name == "at the splice" else [])])
    assert drawn == wanted == Counter(f"{item.kind}:{item.id}" for item in cut.packed.section.items)
    for (ax, ay, ar), (bx, by, br) in combinations(rims(picture[0]).values(), 2):
        assert hypot(ax - bx, ay - by) >= ar + br - 0.01


def circles_of_pdf(page: Drawing) -> list[tuple[float, float]]:
    """Diameter and line width of every open circle of the page's PDF, mm."""
    pdf = pypdfium2.PdfDocument(write_pdf([PdfPage(page, "page", "1")], Meta("page")))[0]
    found = []
    for each in pdf.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        points = _points(each, pdf.get_height())
        if len(points) == 13:
            width, matrix = pdfium.c_float(), each.get_matrix()
            pdfium.FPDFPageObj_GetStrokeWidth(each.raw, width)
            found.append((max(x for x, _ in points) - min(x for x, _ in points), width.value * hypot(matrix.a, matrix.b) * MM))
    return found


@pytest.mark.outside("pypdfium2 reads the circles of the PDF")
@each
def test_measured_back_from_the_pdf_every_circle_is_as_wide_as_its_conductor_at_the_scale_that_is_printed(name: str) -> None:
    context = one_station(name)
    cut, = stations(context).values()
    page, = (page for page in draw_cross_sections(context, REF) if rims(page))
    scale, = scales(page)
    assert scale >= 1
    assert all(rims(page)[f"{item.kind}:{item.id}"][2] * 2 == pytest.approx(item.diameter_mm * scale) for item in cut.packed.section.items)
    over_all = [diameter + width for diameter, width in circles_of_pdf(page)]
    for item in cut.packed.section.items:
        assert min(abs(found - item.diameter_mm * scale) for found in over_all) < 0.02, item.id
    if cut.outside_mm is not None:
        assert min(abs(diameter - cut.outside_mm * scale) for diameter, _ in circles_of_pdf(page)) < 0.02


def test_a_picture_at_another_scale_is_seen() -> None:
    """The check above fails on a circle that is a tenth of a millimetre off."""
    context = one_station("A")
    cut, = stations(context).values()
    page, = (page for page in draw_cross_sections(context, REF) if rims(page))
    off = Drawing(page.width_mm, page.height_mm, tuple(Circle(m.cx, m.cy, m.r + 0.05, m.width, m.fill, m.tag) if isinstance(m, Circle) and m.tag == "wire:5" else m for m in page.marks), ())
    scale, = scales(page)
    five, = (item.diameter_mm for item in cut.packed.section.items if item.id == "5")
    assert min(abs(diameter + width - five * scale) for diameter, width in circles_of_pdf(off)) > 0.05


def test_every_named_station_has_its_section_and_the_table_says_its_figures() -> None:
    context = context_of(HARNESS)
    at = stations(context)
    assert set(at) == {"A", "at the splice", "C", "D", "E", "F"}
    said = [text for page in draw_cross_sections(context, REF) for text in texts(page)]
    for name, cut in at.items():
        segment = context.harness.segments[cut.segment]
        outside = "" if cut.outside_mm is None else f", {context.mm(cut.outside_mm)} outside"
        assert f"{cut.segment}, {segment.from_} to {segment.to}: station {name}{outside}" in said
        assert name in said and f"{cut.segment}, {context.mm(cut.at_mm)} from {segment.from_}" in said
        assert context.mm(cut.packed.packing.diameter) in said
    assert "wall not known" in said and "1.2 mm" in said and "none described" in said
    assert len([page for page in draw_cross_sections(context, REF) if any(text.startswith("T3, P2 to P4: station F") for text in texts(page))]) == 1, "empty, it has its heading"


@papers
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_sheets_are_tidy(paper: str, units: str) -> None:
    context = context_of(HARNESS, paper=paper, units=units)
    for page in (*draw_cross_sections(context, REF), *(draw_layout(context, LAYOUT) if paper in PAPERS else ())):
        assert_tidy(page)


# --------------------------------------------------------------------------- on the layout

def strokes_of(page: Drawing) -> list[Line]:
    return [mark for mark in page.marks if isinstance(mark, Line) and mark.tag.startswith("section:") and mark.width == 0.5]


def test_the_layout_marks_every_station_where_it_is_and_says_its_name() -> None:
    context = context_of(HARNESS)
    pages = draw_layout(context, LAYOUT)
    assert sum(len(strokes_of(page)) for page in pages) == 2 * 6
    said = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag.startswith("section:")]
    assert [text.partition(" → ")[0] for text in said] == [
        "section A, 60 mm", "section at the splice, 150 mm", "section C, 400 mm", "section D, 100 mm", "section E, 150 mm", "section F, 20 mm"]
    assert any("A 60 mm, at the splice 150 mm, C 400 mm" in " ".join(texts(page)) for page in pages), "the table has them, too"


def test_the_words_of_a_segment_do_not_point_at_a_station() -> None:
    text = "segments:\n  T1: {from: P1, to: P2, length: 900 mm, sections: {A: 450 mm}}\nconnectors:\n  X1: {place: P1}\n  X2: {place: P2}\nwires:\n  1: {from: X1.1, to: X2.1}\n"
    page, = layout_of(context_of(text)).pages
    at = {label.tag: (label.x, label.y) for label in page.labels}
    (ax, ay), (x, y) = at["section:T1 A"], at["segment label:T1"]
    assert hypot(ax - x, ay - y) >= 3.5


@pytest.mark.outside("the lengths as the description has them")
def test_at_full_size_the_strokes_stand_where_the_station_is() -> None:
    text = "segments:\n  T1: {from: P1, to: P2, length: 180 mm, sections: {A: 60 mm, B: 135 mm}}\nconnectors:\n  X1: {place: P1}\n  X2: {place: P2}\nwires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}\n"
    pages = draw_layout_1to1(context_of(text), BOARD)
    page, = (page for page in pages if strokes_of(page))
    points = {mark.tag: (mark.cx, mark.cy) for mark in page.marks if isinstance(mark, Circle) and mark.tag.startswith("point:")}
    x, y = points["point:P1"]
    far = sorted({round(abs((s.x1 + s.x2) / 2 - x), 6) for s in strokes_of(page)})
    assert far == pytest.approx([60.0, 135.0], abs=0.2)
    assert all(abs(abs((s.y1 + s.y2) / 2 - y) - 2.5) < 1e-6 for s in strokes_of(page))


# --------------------------------------------------------------------- in the book, marked

def test_it_is_in_the_book_behind_the_layout_where_a_station_is_named() -> None:
    text = "segments:\n  T1: {from: P1, to: P2, length: 180 mm%s}\nconnectors:\n  X1: {place: P1}\n  X2: {place: P2}\nwires:\n  1: {from: X1.1, to: X2.1}\n"
    names = [[sheet.name for sheet in make_context(load("a.yaml", {"a.yaml": text % more}).version, Options()).sheets] for more in (", sections: {A: 6 cm}", "", ", sections: {A: 6 m}")]
    assert names[0].index("layout-sections") > names[0].index("layout")
    assert "layout-sections" not in names[1] and "layout-sections" not in names[2]


def test_what_changed_is_marked() -> None:
    new = edited(HARNESS, ("covering-wall: 1.2 mm", "covering-wall: 1.5 mm"), ("A: 60 mm, ", "A: 80 mm, "), (", E: 150 mm", ""), ("size: 4 mm2, colour: BK", "size: 6 mm2, colour: BK"))
    context = _listed(since_context(HARNESS, new), REF)
    pages = draw_cross_sections(context, REF)
    assert {"1.5 mm", "T1, 80 mm from P1"} <= set(all_of(pages, clouded)) and {"1.2 mm", "T1, 60 mm from P1", "E"} <= set(all_of(pages, struck))
    laid = draw_layout(_listed(context, LAYOUT), LAYOUT)
    assert any(text.startswith("section A, 80 mm") for text in all_of(laid, clouded)) and any(text.startswith("section A, 60 mm") for text in all_of(laid, struck))
    for page in (*pages, *laid):
        assert_tidy(page)
    same = _listed(since_context(HARNESS, HARNESS), REF)
    assert not all_of(draw_cross_sections(same, REF), clouded)
