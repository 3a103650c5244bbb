"""The record and the pen: what is recorded, bounds, code-point boxes."""

from __future__ import annotations

import dataclasses

import pytest

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import (
    Arc,
    Circle,
    Line,
    Link,
    Polyline,
    Rect,
    Text,
    bounds,
)


def test_the_pen_records_every_kind_of_mark():
    pen = Pen(100, 50)
    pen.line(1, 2, 3, 4, tag="wire:204")
    pen.polyline([(0, 0), (1, 1)], 0.5)
    pen.polygon([(0, 0), (1, 1), (0, 1)], 0.0, fill="#000000")
    pen.rect(1, 2, 3, 4)
    pen.circle(5, 5, 2)
    pen.dot(5, 5)
    pen.arc(5, 5, 2, 0, 90)
    pen.text(5, 5, "K8", 2.5, "middle", "bold", upright=True)
    pen.link(1, 1, 2, 2, "pinout")
    drawing = pen.drawing()
    assert drawing.marks == (
        Line(1, 2, 3, 4, 0.25, (), "#000000", "wire:204"),
        Polyline(((0, 0), (1, 1)), 0.5),
        Polyline(((0, 0), (1, 1), (0, 1)), 0.0, "#000000", True),
        Rect(1, 2, 3, 4, 0.25),
        Circle(5, 5, 2, 0.25),
        Circle(5, 5, 0.6, 0.0, "#000000"),
        Arc(5, 5, 2, 0, 90),
        Text(5, 5, "K8", 2.5, "middle", "bold", True),
        Link(1, 1, 2, 2, "pinout"),
    )
    assert (drawing.width_mm, drawing.height_mm, drawing.missing) == (100, 50, ())
    with pytest.raises(dataclasses.FrozenInstanceError):
        drawing.marks[0].x1 = 9


def test_an_empty_text_records_nothing():
    pen = Pen(100, 50)
    assert pen.text(1, 1, "") == 0.0
    assert pen.drawing().marks == ()


@pytest.mark.parametrize(("anchor", "left"), [("start", 50.0), ("middle", None), ("end", None)])
def test_a_text_with_a_missing_character_keeps_anchor_and_width(anchor, left):
    pen = Pen(100, 50)
    text = "on \U0001f600\U0001f600 \u202eoff"
    width = pen.text(50, 20, text, 2.5, anchor)
    assert width == pytest.approx(text_width(text, 2.5))
    marks = pen.drawing().marks
    assert pen.drawing().missing == ("\U0001f600", "\u202e")
    assert [m.text for m in marks if isinstance(m, Text)] == [
        "on ", "U+1F600", "U+1F600", " ", "U+202E", "off"
    ]  # fmt: skip
    start = {"start": 50, "middle": 50 - width / 2, "end": 50 - width}[anchor]
    assert bounds(marks[0])[0] == pytest.approx(start)
    assert bounds(marks[-1])[2] == pytest.approx(start + width)
    boxes = [m for m in marks if isinstance(m, Rect)]
    for box, code in zip(boxes, [m for m in marks if isinstance(m, Text) and "+" in m.text], strict=True):
        inner = bounds(code)
        assert box.x < inner[0] and inner[2] < box.x + box.w
        assert box.y < inner[1] and inner[3] < box.y + box.h


def test_an_upright_text_with_a_missing_character_reads_upward():
    pen = Pen(100, 100)
    width = pen.text(50, 80, "A\U0001f600B", upright=True)
    first, box, code, last = pen.drawing().marks
    assert bounds(first)[3] == pytest.approx(80)
    assert bounds(last)[1] == pytest.approx(80 - width)
    inner = bounds(code)
    assert box.x < inner[0] and inner[2] < box.x + box.w
    assert box.y < inner[1] and inner[3] < box.y + box.h


def test_bounds():
    assert bounds(Line(5, 5, 1, 2, 0.5)) == (0.75, 1.75, 5.25, 5.25)
    assert bounds(Polyline(((0, 0), (4, 2)), 0.0)) == (0, 0, 4, 2)
    assert bounds(Circle(5, 5, 2, 0.0)) == (3, 3, 7, 7)
    assert bounds(Rect(1, 1, 2, 3, 0.0)) == (1, 1, 3, 4)
    w = text_width("K8", 2.5)
    assert bounds(Text(10, 10, "K8", anchor="end"))[:3] == pytest.approx((10 - w, 7.5, 10))
    assert bounds(Text(10, 10, "K8", upright=True))[:2] == pytest.approx((7.5, 10 - w))
    assert bounds(Text(10, 10, "K8", anchor="middle", upright=True))[3] == pytest.approx(10 + w / 2)
