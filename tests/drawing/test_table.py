"""Tables: rows that grow, rules, links, the split over pages, the marks of what changed."""

from __future__ import annotations

import itertools

import pytest
from drawing.sample import COLUMNS, rows
from sheets.revision_reader import clouds

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Drawing, Line, Link, Rect, Text, bounds
from harnessdoc.drawing.revision_marks import BULGE
from harnessdoc.drawing.table import (
    BOX_HEIGHT,
    CLOUD_PAD,
    MARK_WIDTH,
    MARKED_PITCH,
    MAX_LINES,
    PAD,
    WORD_WIDTH,
    Band,
    Cell,
    Clouded,
    Column,
    EmptyBox,
    LinkText,
    Mark,
    Struck,
    draw_table,
    lay_out,
    mark_width,
    paginate,
)


def drawn(layout, start=0, stop=None):
    pen = Pen(210, 2000)
    bottom = draw_table(pen, 20, 10, layout, start, stop)
    return pen.drawing().marks, bottom


def test_no_text_leaves_its_cell_or_touches_another():
    layout = lay_out(COLUMNS, rows(20), 172)
    marks, bottom = drawn(layout)
    texts = [m for m in marks if isinstance(m, Text)]
    rules = [m for m in marks if isinstance(m, Line) and m.tag == "table"]
    for one, other in itertools.combinations(texts, 2):
        a, b = ((*bounds(m)[:3], m.y) for m in (one, other))
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (one, other)
    for text in texts:
        left, top, right, low = bounds(text)
        for rule in rules:
            x1, y1, x2, y2 = bounds(rule)
            assert not (left < x2 and x1 < right and top < y2 and y1 < low), (text, rule)
    assert bottom == pytest.approx(10 + layout.height(0, len(layout.rows)))


def test_rows_are_at_least_the_pitch_and_grow_with_their_lines():
    layout = lay_out([Column("A", 20), Column("B")], [("1", "x"), ("2", ("a", "b", "c"))], 60)
    assert [r.height for r in layout.rows] == [5.5, 5.5 + 2 * 4.0]


def test_a_wide_rule_after_every_five_rows():
    layout = lay_out([Column("A", 20)], [(str(i),) for i in range(12)], 20)
    marks, bottom = drawn(layout)
    level = [m for m in marks if isinstance(m, Line) and m.y1 == m.y2]
    wide = sorted(m.y1 for m in level if m.width == 0.5)
    head = 10 + layout.head_height
    assert wide == pytest.approx([10, head, head + 5 * 5.5, head + 10 * 5.5, bottom])
    assert len(level) == 14


def test_text_stands_in_the_middle_of_its_row():
    layout = lay_out([Column("A", 20), Column("B", 20)], [("1", ("a", "b"))], 40)
    marks, bottom = drawn(layout)
    one, a, b = [m for m in marks if isinstance(m, Text)][-3:]
    middle = (10 + layout.head_height + bottom) / 2
    assert one.y - one.height / 2 == pytest.approx(middle)
    assert (a.y - a.height + b.y) / 2 == pytest.approx(middle)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_links_lie_on_their_text_and_every_line_of_it(anchor):
    cell = (LinkText("first far end of a long name", "sheet-2"), "plain", LinkText("K8", "sheet-3"))
    layout = lay_out([Column("A", 21, anchor=anchor)], [(cell,)], 21)
    marks, _ = drawn(layout)
    links = [m for m in marks if isinstance(m, Link)]
    texts = [m for m in marks if isinstance(m, Text)][1:]
    assert [t.text for t in texts] == ["first far end", "of a long", "name", "plain", "K8"]
    assert [m.target for m in links] == ["sheet-2"] * 3 + ["sheet-3"]
    for link, text in zip(links, [*texts[:3], texts[4]], strict=True):
        left, top, right, _ = bounds(text)
        assert (link.x, link.x + link.w) == pytest.approx((left, right))
        assert link.y <= top and link.y + link.h >= text.y


def test_cells_that_draw_themselves_and_boxes_stay_inside():
    seen = []
    cell = Cell(lambda pen, x, y, w, h: seen.append((x, y, w, h)), min_width=12, min_height=9)
    layout = lay_out([Column("A", 5), Column("B", 30)], [(cell, EmptyBox(tag="value:1"))], 50)
    assert layout.widths == (14, 30)
    assert layout.rows[0].height == 11
    marks, bottom = drawn(layout)
    assert seen == [(21, 10 + layout.head_height + 1, 12, 9)]
    box = next(m for m in marks if isinstance(m, Rect))
    assert box.tag == "value:1" and box.y > 10 + layout.head_height and box.y + box.h < bottom


def test_widths_fixed_and_shared():
    columns = [Column("A", 20), Column("B"), Column("C", weight=3.0)]
    assert lay_out(columns, [], 100).widths == (20, 20, 60)


def test_faults_of_the_caller():
    with pytest.raises(ValueError, match="columns of"):
        lay_out([Column("A", 60), Column("B", 60)], [], 100)
    with pytest.raises(ValueError, match="a row of 1 cells in a table of 2 columns"):
        lay_out([Column("A"), Column("B")], [("1",)], 100)


def test_a_flood_of_text_is_cut_in_sight():
    layout = lay_out([Column("A", 20)], [("word " * 500,), Band("word " * 500)], 20)
    for row in layout.rows:
        assert len(row.cells[0]) == MAX_LINES and row.cells[0][-1] == "…"


def test_pages_hold_what_they_promise_and_every_row_once():
    layout = lay_out(COLUMNS, rows(60), 172)
    pages = paginate(layout, 80, 150)
    assert pages[0][0] == 0 and pages[-1][1] == len(layout.rows)
    assert all(one[1] == other[0] for one, other in itertools.pairwise(pages))
    for index, (start, stop) in enumerate(pages):
        room = 80 if index == 0 else 150
        assert layout.height(start, stop) <= room
        if stop < len(layout.rows):
            assert layout.height(start, stop + 1) > room
        marks, bottom = drawn(layout, start, stop)
        assert bottom - 10 == pytest.approx(layout.height(start, stop))
        assert "Cavity" in [m.text for m in marks if isinstance(m, Text)], "heads on every page"


def test_a_heading_is_not_left_at_the_foot_and_an_empty_table_has_a_page():
    table = [(str(i),) for i in range(3)] + [Band("Next spool"), ("4",)]
    layout = lay_out([Column("A", 40)], table, 40)
    room = layout.height(0, 4)
    assert paginate(layout, room, room) == [(0, 3), (3, 5)]
    assert paginate(lay_out([Column("A", 40)], [], 40), 100, 100) == [(0, 0)]
    assert paginate(layout, 1, 1) == [(i, i + 1) for i in range(5)], "at least a row a page"


def test_a_remark_is_not_left_alone_at_the_head_of_a_page():
    remarks = [Band("empty: 3, 14", "regular"), Band("empty: 9", "regular")]
    layout = lay_out([Column("A", 40)], [*((str(i),) for i in range(4)), *remarks], 40)
    for held in (4, 5):
        room = layout.height(0, held)
        assert paginate(layout, room, room)[:2] == [(0, 3), (3, 6)], "the last row goes along with all that is said below it"
    alone = lay_out([Column("A", 40)], [("1",), *remarks], 40)
    assert paginate(alone, alone.height(0, 1), 100) == [(0, 1), (1, 3)], "the only row of a page stays"
    assert paginate(alone, alone.height(0, 2), 100) == [(0, 2), (2, 3)], "nor does a page lose all but its first row for nothing"
    under = lay_out([Column("A", 40)], [("1",), ("2",), Band("GR1"), Band("no wire described", "regular")], 40)
    assert paginate(under, under.height(0, 3), 100) == [(0, 2), (2, 4)], "with its heading"


def test_a_clouded_cell_holds_its_cloud_its_texts_and_what_is_struck():
    layout = lay_out([Column("A", 30), Column("B", 30, anchor="end"), Column("Rev.", MARK_WIDTH)],
                     [("1", "same", ""), ("2", Clouded(("new", Struck("old"))), Mark("B")), (Struck("3"), Struck("gone"), Mark("B"))], 60 + MARK_WIDTH)
    marks, _ = drawn(layout)
    assert layout.rows[0].height == 5.5, "a row without a mark is as it was"
    assert layout.rows[1].height == MARKED_PITCH + 4.0
    assert layout.rows[2].height == MARKED_PITCH
    texts = {m.text: m for m in marks if isinstance(m, Text)}
    top = 10 + layout.head_height + 5.5
    ((left, upper, right, lower),) = clouds(Drawing(210, 2000, tuple(marks)))
    assert 50 < left and right < 80 and top < upper and lower < top + layout.rows[1].height
    for name in ("new", "old"):
        assert upper + BULGE < texts[name].y - 2.5 and texts[name].y < lower - BULGE
        assert bounds(texts[name])[2] == pytest.approx(80 - PAD - CLOUD_PAD)
    assert [texts[name].tag for name in ("new", "old", "gone")] == ["table", "struck", "struck"]
    assert [m.text for m in marks if m.tag == "revision" and isinstance(m, Text)] == ["B", "B"]
    struck = [m for m in marks if isinstance(m, Line) and m.tag == "struck"]
    assert [bounds(m)[2] - m.width / 2 for m in struck][0] == pytest.approx(80 - PAD - CLOUD_PAD)


def test_a_box_in_a_cloud_stands_over_what_is_struck():
    layout = lay_out([Column("A", 30)], [(Clouded((EmptyBox("unknown:size"), Struck("0.5 mm²"))),)], 30)
    marks, _ = drawn(layout)
    box = next(m for m in marks if isinstance(m, Rect))
    text = next(m for m in marks if isinstance(m, Text) and m.text == "0.5 mm²")
    assert box.h == BOX_HEIGHT and box.y + box.h < text.y - 2.5
    assert box.x == 20 + PAD + CLOUD_PAD and box.w == 30 - 2 * (PAD + CLOUD_PAD)


def test_texts_in_a_cloud_are_broken_at_what_it_leaves():
    text = "ab ab ab"
    width = text_width(text, 2.5) + 2 * PAD + 0.2
    plain, clouded = lay_out([Column("A", width)], [(text,)], width), lay_out([Column("A", width)], [(Clouded((text,)),)], width)
    assert [len(layout.rows[0].cells[0]) for layout in (plain, clouded)] == [1, 2]


def test_the_word_of_a_mark_stands_left_of_its_triangle():
    width = mark_width(Mark("B", "gone"))
    assert (mark_width(Mark("B")), width) == (MARK_WIDTH, MARK_WIDTH + WORD_WIDTH)
    layout = lay_out([Column("A", 60 - width), Column("Rev.", width)], [("1", Mark("B", "new")), ("2", Mark("B")), Band("Spool", mark=Mark("B", "new")), Band("", was="x", mark=Mark("B", "gone"))], 60)
    marks, _ = drawn(layout)
    words = [m for m in marks if isinstance(m, Text) and m.tag == "revision" and m.text in ("new", "gone")]
    triangles = [bounds(m) for m in marks if m.tag == "revision" and not isinstance(m, Text)]
    assert [word.text for word in words] == ["new", "new", "gone"] and len(triangles) == 4
    assert len({left for left, *_ in triangles}) == 1, "one under another"
    for word, (left, top, _, bottom) in zip(words, [triangles[0], *triangles[2:]], strict=True):
        assert 80 - width + PAD / 2 < bounds(word)[0] and bounds(word)[2] <= left + 0.2
        assert top < word.y - 1.8 and word.y < bottom
    ((_, _, right, _),) = clouds(Drawing(210, 2000, tuple(marks)))
    assert right < bounds(words[1])[0]


def test_a_band_that_differs_has_its_mark_at_the_right():
    layout = lay_out([Column("A", 60)], [Band("Spool", was="Reel", mark=Mark("C")), Band("", was="Gone", mark=Mark("C"))], 60)
    marks, _ = drawn(layout)
    texts = {m.text: m for m in marks if isinstance(m, Text)}
    assert [texts[name].tag for name in ("Spool", "Reel", "Gone")] == ["table", "struck", "struck"]
    triangles = [bounds(m) for m in marks if m.tag == "revision" and not isinstance(m, Text)]
    assert all(left > 80 - MARK_WIDTH and right < 80 for left, _, right, _ in triangles) and len(triangles) == 2
    gone = 10 + layout.head_height + layout.rows[0].height
    ((_, _, right, lower),) = clouds(Drawing(210, 2000, tuple(marks)))
    assert right < 80 - MARK_WIDTH
    assert lower < gone, "no cloud round what is gone"


def test_a_page_that_goes_on_says_under_which_heading():
    layout = lay_out([Column("A", 60)], [Band("Given"), ("1",), Band("Taken"), *((str(number),) for number in range(2, 9))], 60)
    pages = paginate(layout, layout.height(0, 6), layout.height(0, 6))
    assert pages[0] == (0, 6)
    texts = [[mark.text for mark in drawn(layout, start, stop)[0] if isinstance(mark, Text)] for start, stop in pages]
    assert texts[0][:3] == ["A", "Given", "1"] and "Taken" in texts[0]
    assert texts[1][:2] == ["A", "Taken (continued)"]
    assert [text for page in texts for text in page if text.isdigit()] == [str(number) for number in range(1, 9)]
    assert layout.height(6, 10) == pytest.approx(layout.height(0, 0) + layout.rows[2].height + sum(row.height for row in layout.rows[6:10]))
