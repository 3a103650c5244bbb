"""Marks of revision: letters inside their triangle, bows inside their rectangle, the line through what is struck."""

from __future__ import annotations

import pytest
from sheets.checks import _crosses, _segments, inked_box

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import THIN, Arc, Line, Polyline, Text
from harnessdoc.drawing.revision_marks import BULGE, HIGH, LETTERS, SIDE, draw_cloud, draw_struck, draw_triangle


def _triangle(letter: str):
    pen = Pen(20, 20)
    draw_triangle(pen, 5.0, 6.0, letter)
    return pen.drawing().marks


@pytest.mark.parametrize("letter", [*"ABCDEFGHIJKLMNOPQRSTUVWXYZ", "Å", "AA", "MW", "12", "99", "A very long one"])
def test_letters_stand_inside_their_triangle(letter: str) -> None:
    marks = _triangle(letter)
    outline = next(mark for mark in marks if isinstance(mark, Polyline))
    text = next(mark for mark in marks if isinstance(mark, Text))
    assert not [segment for segment in _segments(outline) if _crosses(segment, inked_box(text))]
    assert 5.0 < text.start()[0] and text.start()[0] + text_width(text.text, text.height, text.weight) < 5.0 + SIDE
    assert {mark.tag for mark in marks} == {"revision"}


def test_one_letter_is_as_high_as_a_column_head_and_more_are_lower() -> None:
    assert [mark.height for letter in ("W", "AA") for mark in _triangle(letter) if isinstance(mark, Text)] == [LETTERS[0], 1.6]
    assert [mark.text for mark in _triangle("2026-11") if isinstance(mark, Text)] == ["20…"]
    assert not any(isinstance(mark, Text) for mark in _triangle(""))


def test_a_triangle_takes_the_room_it_says() -> None:
    points = next(mark for mark in _triangle("A") if isinstance(mark, Polyline)).points
    assert (min(x for x, _ in points), min(y for _, y in points)) == (5.0, 6.0)
    assert (max(x for x, _ in points), max(y for _, y in points)) == pytest.approx((5.0 + SIDE, 6.0 + HIGH))


@pytest.mark.parametrize(("w", "h"), [(40.0, 8.0), (7.3, 6.6), (4.0, 4.0), (2.5, 6.0), (250.0, 60.0)])
def test_bows_stay_in_the_margin_of_their_rectangle_and_close(w: float, h: float) -> None:
    pen = Pen(300, 100)
    draw_cloud(pen, 10.0, 20.0, w, h)
    arcs = [mark for mark in pen.drawing().marks if isinstance(mark, Arc)]
    margin = BULGE + THIN
    for arc in arcs:
        for step in range(21):
            x, y = arc.at(arc.start_deg + (arc.end_deg - arc.start_deg) * step / 20)
            inside = min(x - 10.0, 10.0 + w - x, y - 20.0, 20.0 + h - y)
            assert THIN / 2 - 1e-6 <= inside <= margin - THIN / 2 + 1e-6
    starts, ends = ([arc.at(getattr(arc, key)) for arc in arcs] for key in ("start_deg", "end_deg"))
    for (x1, y1), (x2, y2) in zip(ends, [*starts[1:], starts[0]], strict=True):
        assert (x1, y1) == pytest.approx((x2, y2))


def test_the_line_goes_through_the_letters() -> None:
    pen = Pen(60, 20)
    width = draw_struck(pen, 5.0, 10.0, "0.5 mm²")
    text, line = pen.drawing().marks
    assert isinstance(text, Text) and isinstance(line, Line)
    assert (line.x1, line.x2) == pytest.approx((5.0, 5.0 + width))
    assert line.y1 == line.y2 and 10.0 - 2.5 < line.y1 < 10.0
    assert {text.tag, line.tag} == {"struck"}
    empty = Pen(60, 20)
    assert draw_struck(empty, 5.0, 10.0, "") == 0.0
    assert not empty.drawing().marks
