"""The form of circuit diagrams: nothing printed over anything, nothing outside the frame, lines apart, each wire and each label there.

Letters are measured by pypdfium2 in the PDF. Each check is seen to fail on a drawing that is wrong.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from examples import raw

from harnessdoc.drawing.record import BLACK, Circle, Drawing, Line, Mark, Rect, Text
from harnessdoc.steps import load

from . import hand_drawn
from .circuit_sheets import Page, draw
from .labels_reader import labels, nearest
from .lines import read_lines
from .printed import letters, outside, overlaps, too_near
from .reader import read_page

PRINTED = pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
SUBJECTS = (*raw.NAMES, *raw.MERGES)


@cache
def pages(name: str) -> tuple[Page, ...]:
    return tuple(draw(load(raw.main_file(name))))


def on_pages(name: str, check) -> list[str]:
    return [f"{page.sheet}: {fault}" for page in pages(name) for fault in check(page.drawing)]


@PRINTED
@pytest.mark.parametrize("name", SUBJECTS)
def test_no_text_lies_over_a_line_a_symbol_or_a_text(name: str):
    assert on_pages(name, overlaps) == []


@PRINTED
@pytest.mark.parametrize("name", SUBJECTS)
def test_nothing_leaves_the_frame(name: str):
    assert on_pages(name, outside) == []


@pytest.mark.parametrize("name", SUBJECTS)
def test_parallel_lines_are_apart(name: str):
    assert on_pages(name, lambda drawing: list(too_near(read_lines(drawing)))) == []


@pytest.mark.parametrize("name", SUBJECTS)
def test_lines_and_dots_keep_the_form(name: str):
    assert on_pages(name, lambda drawing: read_page(drawing).faults) == []


@pytest.mark.parametrize("name", SUBJECTS)
def test_a_line_longer_than_80_mm_has_a_label_at_both_ends(name: str):
    missing = []
    for page in pages(name):
        lines = read_lines(page.drawing)
        found = Counter(nearest(lines, label.box) for label in labels(lines))
        for index, count in found.items():
            length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in lines.conductors[index].segments())
            if length > 80.02 and count < 2:
                missing.append(f"{page.sheet}: a line of {length:.0f} mm from {lines.conductors[index].points[0]}")
    assert missing == []


# ------------------------------------------------------------ the checks are seen to fail

def added(*marks: Mark) -> Drawing:
    drawing = hand_drawn.page()
    return replace(drawing, marks=(*drawing.marks, *marks))


def test_the_drawing_made_by_hand_is_sound():
    drawing = hand_drawn.page()
    assert (overlaps(drawing), outside(drawing), list(too_near(read_lines(drawing))), list(read_page(drawing).faults)) == ([], [], [], [])


def test_the_letters_of_the_pdf_are_those_of_the_drawing():
    drawing = hand_drawn.page()
    written = sorted("".join(mark.text.split()) for mark in drawing.marks if isinstance(mark, Text) and mark.text.strip())
    assert sorted(found.text for found in letters(drawing)) == written


@pytest.mark.parametrize("mark", [
    Text(38.0, 110.0, "over"),                              # over a line
    Text(56.0, 78.0, "86"),                                 # over a symbol: the coil
    Text(42.0, 100.5, "on"),                                # over the text of wire 3
    Text(117.0, 100.5, "on", upright=True),                 # over the broken edge of the unit
], ids=lambda mark: mark.text)
def test_a_text_over_something_is_seen(mark: Text):
    assert overlaps(added(mark))


def test_a_text_over_a_dot_is_seen():
    assert overlaps(added(Text(99.0, 25.9, "x", 1.8)))


@pytest.mark.parametrize("mark", [Text(280.0, 100.0, "far out"), Line(250, 60, 290, 60, 0.25), Rect(280, 60, 12, 4), Text(100.0, 200.5, "low")])
def test_what_leaves_the_frame_is_seen(mark: Mark):
    assert outside(added(mark))


def test_lines_too_near_are_seen():
    assert list(too_near(read_lines(added(Line(101.4, 36, 101.4, 50, 0.5)))))
    assert not list(too_near(read_lines(added(Line(101.6, 36, 101.6, 50, 0.5)))))


@pytest.mark.parametrize(("mark", "said"), [
    (Line(200, 50, 200, 60, 0.5), "loose end"),
    (Line(30, 60, 40, 60, 0.5), "ends on another"),
    (Line(60, 95, 60, 99, 0.5), "without a dot"),
    (Line(60, 95, 50, 95, 0.5), "without a dot"),
    (Line(200, 50, 210, 60, 0.5), "aslant"),
    (Circle(70.0, 50.0, 0.75, 0.0, BLACK), "joins nothing"),
    (Circle(120.0, 80.0, 0.75, 0.0, BLACK), "joins nothing"),
    (Circle(200.0, 80.0, 0.75, 0.0, BLACK), "joins nothing"),
    (Line(114, 90, 114, 100, 0.5), "it has no terminal"),
])
def test_a_breach_of_form_is_told(mark: Mark, said: str):
    assert any(said in fault for fault in read_page(added(mark)).faults)
