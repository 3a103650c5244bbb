"""The flags of findings: numbers in hexagons."""

from __future__ import annotations

import pytest
from sheets.checks import inked_box

from harnessdoc.drawing.flag_notes import FLAG_HIGH, Flags, broken_flags, draw_flags, draw_some, flag_width, flags_width, number_drawn, some_width
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Link, Polyline, Text, bounds
from harnessdoc.drawing.table import PAD, Column, draw_table, lay_out


def drawn(numbers: tuple[int, ...]) -> Pen:
    pen = Pen(100, 20)
    draw_flags(pen, 10, 10, Flags(numbers, "findings"))
    return pen


@pytest.mark.parametrize("numbers", [(1,), (9, 10), (123, 4, 1234)])
def test_each_number_stands_inside_a_hexagon_of_its_own_that_leads_to_the_list(numbers: tuple[int, ...]) -> None:
    marks = drawn(numbers).drawing().marks
    hexagons = [mark for mark in marks if isinstance(mark, Polyline)]
    texts = [mark for mark in marks if isinstance(mark, Text)]
    assert [mark.text for mark in texts] == [str(number) for number in numbers] and {mark.height for mark in texts} == {1.8}
    for number, hexagon, text in zip(numbers, hexagons, texts, strict=True):
        assert hexagon.closed and len(hexagon.points) == 6 and hexagon.fill is None and number_drawn(hexagon.tag) == number
        left, top, right, bottom = inked_box(text)
        corners = sorted(hexagon.points)
        assert corners[1][0] - 0.01 <= left and right <= corners[4][0] + 0.01, "between the corners, where the hexagon is whole"
        assert bounds(hexagon)[1] + 0.25 < top and bottom < bounds(hexagon)[3] - 0.25
    assert [mark.target for mark in marks if isinstance(mark, Link)] == ["findings"] * len(numbers)
    edges = [bounds(hexagon) for hexagon in hexagons]
    assert all(one[2] < other[0] for one, other in zip(edges, edges[1:], strict=False)), "flags do not touch"
    assert edges[-1][2] - edges[0][0] == pytest.approx(flags_width(Flags(numbers, "")) + 0.25)


def test_a_ninth_and_a_tenth_finding_take_the_same_room() -> None:
    assert flag_width(9) == flag_width(10) < flag_width(100)


def test_flags_are_broken_where_the_room_ends_and_one_alone_is_never_lost() -> None:
    flags = Flags((1, 2, 3), "t")
    wide = flag_width(1)
    assert broken_flags(flags, 3 * wide + 2) == [flags]
    assert [line.numbers for line in broken_flags(flags, 2 * wide + 1)] == [(1, 2), (3,)]
    assert [line.numbers for line in broken_flags(flags, 0.1)] == [(1,), (2,), (3,)]


def test_what_finds_no_room_is_told_by_an_ellipsis() -> None:
    flags = Flags(tuple(range(1, 9)), "t")
    pen = Pen(100, 20)
    draw_some(pen, 10, 10, flags, 20)
    marks = pen.drawing().marks
    texts = [mark.text for mark in marks if isinstance(mark, Text)]
    assert texts == ["1", "2", "3", "…"] and some_width(flags, 20) <= 20 < flags_width(Flags((1, 2, 3, 4), "t"))
    assert max(bounds(mark)[2] for mark in marks) <= 30 + 0.2


def test_a_line_of_a_cell_holds_flags_as_high_as_a_row_bears() -> None:
    pen = Pen(100, 60)
    layout = lay_out([Column("Id", 12), Column("What")], [(("GB3", Flags((1, 22, 3), "findings")), "text"), ("GB4", "text")], 60)
    draw_table(pen, 10, 5, layout)
    hexagons = [mark for mark in pen.drawing().marks if isinstance(mark, Polyline)]
    assert [number_drawn(mark.tag) for mark in hexagons] == [1, 22, 3]
    low = 5 + layout.height(0, 1)
    for hexagon in hexagons:
        left, top, right, bottom = bounds(hexagon)
        assert 10 + PAD - 0.2 <= left and right <= 22 - PAD + 0.2 and bottom < low - 0.25 and bottom - top == pytest.approx(FLAG_HIGH + 0.25)


def test_another_tag_is_no_flag() -> None:
    assert number_drawn("wire:12") is None and number_drawn("finding:7") == 7
