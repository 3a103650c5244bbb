"""Blocks set over pages."""

from __future__ import annotations

from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.flag_notes import Flags
from harnessdoc.drawing.record import Polyline, Text
from harnessdoc.drawing.table import MARK_WIDTH, Band, Column, Layout, Mark, lay_out
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.flow import AFTER, DATA, HEADING, LINE, Drawn, Heading, Words, free_area, height_of, set_pages

CONTEXT = context_of("title: t")
REF = ref_of(CONTEXT, SheetKind.INDEX)
AREA = free_area(CONTEXT.paper, "portrait")


def table(rows: int) -> Layout:
    return lay_out([Column("Head"), Column("Other")], [(f"row {number}", "x") for number in range(rows)], AREA.w)


def test_no_block_gives_one_empty_page() -> None:
    page, = set_pages(CONTEXT, REF, [])
    assert "1 of 1" in texts(page)


def test_a_table_goes_on_under_its_heads_and_loses_no_row() -> None:
    pages = set_pages(CONTEXT, REF, [Words("before"), table(100), Words("after")])
    found = [text for page in pages for text in texts(page)]
    assert [text for text in found if text.startswith("row ")] == [f"row {number}" for number in range(100)]
    assert found.count("Head") == len(pages) == 3
    assert found[-1] == "after"
    for page in pages:
        assert_tidy(page)


def test_a_heading_never_stands_alone_at_the_foot() -> None:
    for height in range(200, 247, 3):
        pages = set_pages(CONTEXT, REF, [Drawn(float(height), lambda pen, x, y: None), Heading("heading"), lay_out([Column("Head")], [Band("spool"), ("row",)], AREA.w)])
        on = [number for number, page in enumerate(pages) for text in texts(page) if text in ("heading", "spool", "row")]
        assert len(set(on)) == 1, height


def test_a_heading_with_few_words_stands_where_what_they_speak_of_begins() -> None:
    for words in ([Words("live: run.")], [Words("one line."), Words("another line.")]):
        for height in range(190, 247, 3):
            pages = set_pages(CONTEXT, REF, [Drawn(float(height), lambda pen, x, y: None), Heading("heading"), *words, table(30)])
            on = {number for number, page in enumerate(pages) for text in texts(page) if text in ("heading", "row 0", *(one.text for one in words))}
            assert len(on) == 1, height


def test_a_heading_with_many_words_may_begin_a_page_before_their_table() -> None:
    long = Words("word " * 150)
    left = HEADING + 6 * DATA * LINE
    pages = set_pages(CONTEXT, REF, [Drawn(AREA.h - left - AFTER, lambda pen, x, y: None), Heading("heading"), long, table(30)])
    assert "heading" in texts(pages[0]) and "row 0" not in texts(pages[0])


def test_a_heading_keeps_to_its_own_words_and_not_to_the_next_heading() -> None:
    height = AREA.h - AFTER - 15.0
    pages = set_pages(CONTEXT, REF, [Drawn(height, lambda pen, x, y: None), Heading("first"), Words("few."), Heading("second"), table(30)])
    assert "first" in texts(pages[0]) and "second" in texts(pages[1])


def test_flags_stand_behind_a_heading_however_long_it_is() -> None:
    for text in ("fan", "words " * 60):
        for numbers in ((3,), tuple(range(1, 80))):
            page, = set_pages(CONTEXT, REF, [Heading(text, Flags(numbers, "findings")), table(2)])
            assert_tidy(page)
            assert str(numbers[0]) in texts(page) and ("…" in texts(page)) == (len(numbers) > 1)


def test_the_height_of_blocks_is_what_they_take() -> None:
    blocks = [Heading("heading"), table(3)]
    assert abs(height_of(blocks, AREA) - (3.5 + 2.5 + table(3).height(0, 3))) < 1e-6
    assert height_of([], AREA) == 0.0


def test_what_fits_by_height_stands_on_one_page() -> None:
    for rows in range(35, 50):
        blocks = [Heading("heading"), table(rows)]
        assert (len(set_pages(CONTEXT, REF, blocks)) == 1) == (height_of(blocks, AREA) <= AREA.h), rows


def test_words_that_differ_stand_right_of_their_triangle_over_what_was_said() -> None:
    page, = set_pages(CONTEXT, REF, [Words("new words", mark=Mark("B"), was=" ".join(f"old words {number}" for number in range(16))), Words("", was="gone", mark=Mark("B")), Words("after")])
    assert_tidy(page)
    found = {mark.text: mark for mark in page.marks if isinstance(mark, Text)}
    triangles = [mark for mark in page.marks if isinstance(mark, Polyline) and mark.tag == "revision"]
    tops, lows = ([edge(y for _, y in mark.points) for mark in triangles] for edge in (min, max))
    assert tops[0] >= AREA.y and lows[0] < tops[1] and lows[1] < found["after"].y
    assert (found["new words"].tag, found["gone"].tag) == ("words", "struck")
    assert found["new words"].x == found["gone"].x == AREA.x + MARK_WIDTH and found["after"].x == AREA.x
    old = [mark for mark in found.values() if "words 1" in mark.text]
    assert len(old) == 2 and all(mark.tag == "struck" and found["new words"].y < mark.y < found["gone"].y for mark in old)
