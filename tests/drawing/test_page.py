"""Frame, grid references, title block and free area on every paper; nothing in the title block overlaps."""

from __future__ import annotations

import itertools

import pytest
from drawing.sample import BLOCK

from harnessdoc.drawing.page import BLOCK_HEIGHT, BLOCK_TAG, PAPERS, TitleBlock, new_page, zone_of
from harnessdoc.drawing.record import Line, Rect, Text, bounds

LONG = "Engine control unit, plug 1 of 2, as found in the donor before the loom was cut at the bulkhead"
FULL = TitleBlock(
    title=LONG, document_type=LONG, sheet="117.12", page=117, pages=128, owner=LONG,
    identification=LONG, created_by=LONG, approved_by=LONG, date="2024-05-01 or later",
    revision=LONG, made_from="a/very/long/path/to/the/description/of/the/harness/file.yaml",
)  # fmt: skip
PAGES = list(itertools.product(PAPERS.values(), ("portrait", "landscape")))


def overlap(one, other) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@pytest.mark.parametrize(("paper", "orientation"), PAGES)
def test_frame_after_iso_5457(paper, orientation):
    """Margins 20 mm on the filing side, 10 mm on the others, frame 0.7 mm: facts.md section 10."""
    pen, area = new_page(paper, BLOCK, orientation)
    drawing = pen.drawing()
    size = (paper.width_mm, paper.height_mm)
    assert (drawing.width_mm, drawing.height_mm) == (size if orientation == "portrait" else size[::-1])
    frame = next(m for m in drawing.marks if isinstance(m, Rect))
    assert (frame.x, frame.y, frame.width) == (20, 10, 0.7)
    assert frame.x + frame.w == pytest.approx(drawing.width_mm - 10)
    assert frame.y + frame.h == pytest.approx(drawing.height_mm - 10)
    assert BLOCK_HEIGHT <= 24
    assert area.x > frame.x and area.right < frame.x + frame.w
    assert area.bottom < frame.y + frame.h - BLOCK_HEIGHT


def grid_references(paper, orientation):
    """The references as drawn: (letters down, numbers across, the lines between them)."""
    marks = [m for m in new_page(paper, BLOCK, orientation)[0].drawing().marks if m.tag == "frame"]
    texts = [m for m in marks if isinstance(m, Text)]
    return [t for t in texts if t.text.isalpha()], [t for t in texts if t.text.isdigit()], [m for m in marks if isinstance(m, Line)]


def test_the_fields_of_a4_are_those_of_iso_5457():
    """4 by 6 fields of 50 mm from the axes on, letters 3.5 mm high: facts.md section 10, from memory."""
    letters, numbers, lines = grid_references(PAPERS["a4"], "portrait")
    assert [t.text for t in letters] == ["A", "B", "C", "D", "E", "F"] and [t.text for t in numbers] == ["1", "2", "3", "4"]
    assert {t.height for t in (*letters, *numbers)} == {3.5}
    across = sorted({line.x1 for line in lines if line.x1 == line.x2 and line.y1 < 20})
    down = sorted({line.y1 for line in lines if line.y1 == line.y2 and line.x1 > 190})
    assert across == [55, 105, 155] and down == [48.5, 98.5, 148.5, 198.5, 248.5]


@pytest.mark.parametrize(("paper", "orientation"), PAGES)
def test_grid_references_lie_between_frame_and_edge_and_name_the_field_they_stand_at(paper, orientation):
    pen, _ = new_page(paper, BLOCK, orientation)
    letters, numbers, lines = grid_references(paper, orientation)
    assert [t.text for t in letters] == list("ABCDEFGHJK"[: len(letters)]) and [t.text for t in numbers] == [str(n) for n in range(1, len(numbers) + 1)]
    for text in (*letters, *numbers):
        left, top, right, _ = box = bounds(text)
        assert 0 < top and right < pen.width_mm and (text.y <= 10 or left >= pen.width_mm - 10)
        assert not any(overlap(box, bounds(line)) for line in lines)
    for number in numbers:
        assert zone_of(pen.width_mm, pen.height_mm, number.x, pen.height_mm / 2 + 1)[1:] == number.text
    for letter in letters:
        assert zone_of(pen.width_mm, pen.height_mm, pen.width_mm / 2 + 1, letter.y - 1.75)[0] == letter.text


def test_a_point_just_over_a_line_is_in_the_next_field():
    assert [zone_of(210, 297, x, y) for x, y in ((54.9, 48.4), (55.1, 48.4), (54.9, 48.6), (105.1, 148.6), (209, 296))] == ["A1", "A2", "B1", "D3", "F4"]
    assert [zone_of(841, 1189, 10, y)[0] for y in (390, 400)] == ["H", "J"], "no I, which is a 1 on a copy"


@pytest.mark.parametrize("block", [BLOCK, FULL], ids=["usual", "full"])
@pytest.mark.parametrize(("paper", "orientation"), PAGES)
def test_no_text_of_the_title_block_touches_a_text_a_line_or_the_frame(paper, orientation, block):
    pen, area = new_page(paper, block, orientation)
    marks = pen.drawing().marks
    texts = [m for m in marks if isinstance(m, Text) and m.tag == BLOCK_TAG]
    lines = [m for m in marks if isinstance(m, Line)]
    assert len(texts) >= 20
    for one, other in itertools.combinations(texts, 2):
        # Above the baseline of the capitals; descenders of a caption may reach down beside ascenders.
        boxes = [(b[0], b[1], b[2], m.y) for m in (one, other) for b in (bounds(m),)]
        assert not overlap(*boxes), (one, other)
    for text in texts:
        assert text.height >= 1.8
        for line in lines:
            assert not overlap(bounds(text), bounds(line)), (text, line)
        left, top, right, bottom = bounds(text)
        if text.text.replace(".", "").isdigit():
            bottom = text.y  # Figures do not descend.
        assert left > 20.35 and right < pen.width_mm - 10.35
        assert top > area.bottom and bottom < pen.height_mm - 10.35


def test_every_line_of_a_page_is_black_and_wide_enough():
    pen, _ = new_page(PAPERS["a4"], FULL)
    for mark in pen.drawing().marks:
        if isinstance(mark, Line | Rect):
            assert mark.width >= 0.25
        if isinstance(mark, Line):
            assert mark.colour == "#000000"


def titles(title: str, paper: str = "a4") -> list[tuple[float, str]]:
    pen, _ = new_page(PAPERS[paper], TitleBlock(title, "Pinout", "1"))
    return [
        (m.height, m.text)
        for m in pen.drawing().marks
        if isinstance(m, Text) and m.weight == "bold" and m.text != "1"
    ]


def test_titles_shrink_then_break_then_are_cut():
    assert titles("Splices") == [(5.0, "Splices")]
    assert titles("Engine control unit, plug 1 of 2, host") == [(3.5, "Engine control unit, plug 1 of 2, host")]
    assert titles(LONG[:50]) == [(2.5, LONG[:50])]
    assert titles(LONG) == [
        (2.5, "Engine control unit, plug 1 of 2, as found in the"),
        (2.5, "donor before the loom was cut at the bulkhead"),
    ]
    assert titles(LONG + ", " + LONG)[1][1].endswith("…")


def test_the_fields_of_iso_7200_are_there():
    """Mandatory fields of ISO 7200 as listed in facts.md section 10, from memory."""
    pen, _ = new_page(PAPERS["a4"], BLOCK)
    texts = {m.text for m in pen.drawing().marks if isinstance(m, Text)}
    assert texts >= {
        "Legal owner", "Test bench", "Identification number", "TB-3", "Date of issue", "2024-05-01",
        "Sheet", "3.1", "Title", "Engine control unit plug 1", "Approved by", "Created by", "A. Tester",
        "Document type", "Pinout", "Revision", "B", "Made from", "bench.yaml", "Page", "1 of 2",
    }  # fmt: skip


def test_sheet_number_and_date_are_never_cut():
    for paper, orientation in PAGES:
        block = TitleBlock("Splices", "Splice diagram", "117.12", 117, 128, date="2024-05-01")
        pen, _ = new_page(paper, block, orientation)
        texts = {m.text for m in pen.drawing().marks if isinstance(m, Text)}
        assert {"117.12", "117 of 128", "2024-05-01"} <= texts
