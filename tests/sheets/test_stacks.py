"""Lines of a row stay level, columns fill the room."""

from __future__ import annotations

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Link, Rect, Text
from harnessdoc.drawing.table import PAD, EmptyBox, LinkText, draw_table, lay_out
from harnessdoc.sheets.stacks import DATA, break_item, fit_widths, stack_row, table_columns


def _drawn(lines, widths, whole=None):
    pen = Pen(200, 100)
    heads = {key: key for key in widths}
    layout = lay_out(table_columns(heads, widths), [stack_row(lines, widths.items(), whole)], sum(widths.values()))
    draw_table(pen, 0, 0, layout)
    return {mark.text: mark for mark in pen.drawing().marks if isinstance(mark, Text)}, pen.drawing()


def test_a_broken_item_pushes_the_next_line_down_in_all_columns() -> None:
    marks, _ = _drawn([{"a": "one two three four", "b": "x"}, {"a": "five", "b": "y"}], {"a": 14.0, "b": 14.0})
    assert marks["one two"].y == marks["x"].y
    assert marks["five"].y == marks["y"].y > marks["four"].y


def test_what_is_said_once_does_not_push() -> None:
    marks, _ = _drawn([{"b": "x"}, {"b": "y"}], {"a": 14.0, "b": 14.0}, {"a": ("one two three four",)})
    assert marks["one two"].y == marks["x"].y
    assert marks["y"].y - marks["x"].y == 4.0


def test_an_unknown_stands_as_a_box_on_the_line_of_its_wire() -> None:
    marks, drawing = _drawn([{"a": "1", "b": "x"}, {"a": "2", "b": EmptyBox("unknown:size")}], {"a": 14.0, "b": 14.0})
    box = next(mark for mark in drawing.marks if isinstance(mark, Rect) and mark.tag == "unknown:size")
    assert box.y < marks["2"].y - DATA < marks["2"].y < box.y + box.h


def test_the_number_of_a_sheet_stays_with_its_arrow() -> None:
    for width, last in ((24.0, "NAME.12 → 104"), (14.5, "→ 104")):
        lines = break_item(LinkText("CONNECTOR-OF-LONG-NAME.12 → 104", "sheet"), width)
        assert lines[-1].text == last
        assert {line.target for line in lines} == {"sheet"}
        assert all(text_width(line.text, DATA) <= width for line in lines)


def test_a_long_item_is_cut_after_four_lines() -> None:
    lines = break_item("word " * 60, 20.0)
    assert len(lines) == 4
    assert lines[-1].endswith("…")
    assert all(text_width(line, DATA) <= 20.0 for line in lines)


def test_a_link_is_as_wide_as_its_text() -> None:
    _, drawing = _drawn([{"a": LinkText("X1.1 → 4", "pinout-X1")}], {"a": 40.0})
    link = next(mark for mark in drawing.marks if isinstance(mark, Link))
    assert (link.target, round(link.w, 3)) == ("pinout-X1", round(text_width("X1.1 → 4", DATA), 3))


def test_columns_fill_the_room_and_hold_what_fits() -> None:
    heads = {"a": "A", "b": "B", "c": "C"}
    widths = fit_widths(heads, [[{"a": "short", "b": "a text that needs rather more than its fair share of the room"}]], 100.0, fixed={"c": 20.0}, grows=("c",))
    assert round(sum(widths.values()), 6) == 100.0
    assert widths["a"] >= text_width("short", DATA) + 2 * PAD
    assert widths["c"] == 20.0


def test_what_is_left_goes_where_it_is_wanted() -> None:
    widths = fit_widths({"a": "A", "b": "B"}, [[{"a": "1"}]], 100.0, fixed={"b": 20.0}, grows=("b",))
    assert widths["b"] > 80.0
    assert round(sum(widths.values()), 6) == 100.0
