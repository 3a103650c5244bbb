"""Ways in which a circuit diagram could lie: each takes a Drawing and gives drawings that are wrong in one place, with words for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.record import BLACK, Circle, Drawing, Line, Mark, Point, Polyline, Text

from .labels_reader import labels
from .lines import Conductor, Lines, read_lines

Mutation = tuple[str, Drawing]


def moved_lines(drawing: Drawing, by: float = 1.0) -> Iterator[Mutation]:
    """Each line as a whole, 1 mm to the right and 1 mm down."""
    lines = read_lines(drawing)
    for index, mark in _of_conductors(drawing, lines):
        for dx, dy in ((by, 0.0), (0.0, by)):
            yield f"line {_ends(mark)} moved by {dx:g}, {dy:g}", _with(drawing, index, _shifted(mark, dx, dy))


def without_dots(drawing: Drawing) -> Iterator[Mutation]:
    """Each dot that joins taken out."""
    dots = set(read_lines(drawing).dots)
    for index, mark in enumerate(drawing.marks):
        if isinstance(mark, Circle) and mark.fill == BLACK and (mark.cx, mark.cy) in dots:
            yield f"dot at {mark.cx:.2f}, {mark.cy:.2f} taken out", replace(drawing, marks=drawing.marks[:index] + drawing.marks[index + 1:])


def false_dots(drawing: Drawing) -> Iterator[Mutation]:
    """A dot in the middle of each stretch of line, on each of its corners, and on each crossing."""
    lines = read_lines(drawing)
    places: list[Point] = []
    for line in lines.conductors:
        places += [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in line.segments()]
        places += line.points[1:-1]
    places += [point for one in lines.conductors for two in lines.conductors for point in _crossings(one, two)]
    for x, y in places:
        if not any(abs(x - dx) < 0.1 and abs(y - dy) < 0.1 for dx, dy in lines.dots):
            yield f"false dot at {x:.2f}, {y:.2f}", replace(drawing, marks=(*drawing.marks, Circle(x, y, 0.75, 0.0, BLACK)))


def without_lines(drawing: Drawing) -> Iterator[Mutation]:
    """Each line taken out."""
    for index, mark in _of_conductors(drawing, read_lines(drawing)):
        yield f"line {_ends(mark)} taken out", replace(drawing, marks=drawing.marks[:index] + drawing.marks[index + 1:])


def _of_conductors(drawing: Drawing, lines: Lines) -> Iterator[tuple[int, Mark]]:
    known = {(line.points, line.width) for line in lines.conductors}
    for index, mark in enumerate(drawing.marks):
        if isinstance(mark, (Line, Polyline)) and (_ends(mark), mark.width) in known:
            yield index, mark


def _ends(mark: Mark) -> tuple[Point, ...]:
    return mark.points if isinstance(mark, Polyline) else ((mark.x1, mark.y1), (mark.x2, mark.y2))


def _shifted(mark: Mark, dx: float, dy: float) -> Mark:
    if isinstance(mark, Polyline):
        return replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
    return replace(mark, x1=mark.x1 + dx, x2=mark.x2 + dx, y1=mark.y1 + dy, y2=mark.y2 + dy)


def _with(drawing: Drawing, index: int, mark: Mark) -> Drawing:
    return replace(drawing, marks=(*drawing.marks[:index], mark, *drawing.marks[index + 1:]))


def _crossings(flat: Conductor, upright: Conductor) -> Iterator[Point]:
    for a, b in flat.segments():
        for c, d in upright.segments():
            if a[1] == b[1] and c[0] == d[0] and min(a[0], b[0]) < c[0] < max(a[0], b[0]) and min(c[1], d[1]) < a[1] < max(c[1], d[1]):
                yield c[0], a[1]


def exchanged_labels(drawing: Drawing) -> Iterator[Mutation]:
    """The numbers of each two labels that follow each other exchanged, where they are of different wires."""
    numbers = _numbers(drawing)
    for (i, one), (j, two) in zip(numbers, numbers[1:], strict=False):
        if one.text != two.text:
            marks = list(drawing.marks)
            marks[i], marks[j] = _said(one, two.text), _said(two, one.text)
            yield f"labels of {one.text} and {two.text} exchanged", replace(drawing, marks=tuple(marks))


def _said(number: Text, text: str) -> Text:
    """Another number that ends where this one does, so that the rest of the label follows it."""
    more = text_width(number.text, number.height) - text_width(text, number.height)
    return replace(number, text=text, x=number.x + (0.0 if number.upright else more), y=number.y - (more if number.upright else 0.0))


def _numbers(drawing: Drawing) -> list[tuple[int, Text]]:
    """The numbers of the labels, with their place among the marks."""
    known = {(label.wire, label.at) for label in labels(read_lines(drawing))}
    return [(index, mark) for index, mark in enumerate(drawing.marks) if isinstance(mark, Text) and (mark.text, mark.start()) in known]
